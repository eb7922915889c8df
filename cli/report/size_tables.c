/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/size_tables.c -- the sizes chosen, and the hand method beside
 * them. */
#include "report/size_report.h"
#include "page/table.h"
#include "page/words.h"

#include <math.h>

/* Money has two decimals, inch-feet one. */
static struct figure
cost_of(const fc_size_result *result, double cost)
{
    return figure_number(cost, result->by_prices ? 2 : 1);
}

struct figure
size_cost_said(const fc_size_result *result, double cost)
{
    struct figure f;

    snprintf(f.text, sizeof f.text, "%.24s%s", cost_of(result, cost).text,
             result->by_prices ? " by the prices given" : " inch-feet");
    return f;
}

static void
add_pipe(struct table *table, const struct page *page,
         const fc_size_result *result, const fc_sized_pipe *p)
{
    fc_unit_system u = page->units;

    table_add(table, p->name);
    table_add(table, figure_of(u, FC_LENGTH, p->length).text);
    table_add(table, figure_of(u, FC_FLOW, p->peak_flow).text);
    table_add(table, p->size ? p->size : "-");
    table_add(table, figure_of(u, FC_VELOCITY, p->velocity).text);
    table_add(table, figure_of(u, FC_PRESSURE, p->friction_loss).text);
    table_add(table, cost_of(result, p->cost).text);
    table_add(table, p->uniform_size ? p->uniform_size : "-");
    table_add(table, cost_of(result, p->uniform_cost).text);
}

static void
print_pipes(struct page *page, const fc_size_result *result)
{
    const struct column columns[] = {
        { "pipe", "", ALIGN_LEFT, 10 },
        { "length", fc_unit_name(page->units, FC_LENGTH), ALIGN_RIGHT, 0 },
        { "peak", fc_unit_name(page->units, FC_FLOW), ALIGN_RIGHT, 0 },
        { "size", "", ALIGN_LEFT, 0 },
        { "velocity", fc_unit_name(page->units, FC_VELOCITY), ALIGN_RIGHT, 0 },
        { "loss", fc_unit_name(page->units, FC_PRESSURE), ALIGN_RIGHT, 0 },
        { "cost", "", ALIGN_RIGHT, 0 },
        { "by hand", "", ALIGN_LEFT, 0 },
        { "cost", "", ALIGN_RIGHT, 0 },
    };
    struct table table = table_new(columns, sizeof columns / sizeof *columns);

    page_heading(page, "Sizes");
    for (size_t i = 0; i < result->n_pipes; i++)
        add_pipe(&table, page, result, &result->pipes[i]);
    table_rule(&table);
    table_add(&table, "together");
    for (int i = 0; i < 5; i++)
        table_add(&table, "");
    table_add(&table, cost_of(result, result->cost).text);
    table_add(&table, "");
    table_add(&table, cost_of(result, result->uniform.cost).text);
    table_print(&table, page);
    page_say(page, 2, 2,
             "Peak, velocity and loss: in the state in which most flows, "
             "inputs at their worst. Cost: %s. By hand: uniform friction "
             "loss, below.",
             result->by_prices ? "by the prices given"
                               : "nominal inches times feet of length");
}

/* Friction the way a designer writes it: per 100 ft, or per metre. */
static struct figure
rate_said(fc_unit_system units, double rate)
{
    struct figure f;

    if (units == FC_US)
        snprintf(f.text, sizeof f.text, "%.24s psi per 100 ft",
                 figure_of(FC_US, FC_PRESSURE,
                           100.0 * rate / fc_from_si(FC_US, FC_LENGTH, 1.0))
                     .text);
    else
        snprintf(f.text, sizeof f.text, "%.24s kPa per m",
                 figure_with(FC_SI, FC_PRESSURE, FC_NEAREST, 2, rate).text);
    return f;
}

/* Beside what peak demand alone costs at least, as that is all it knows. */
static struct figure
more_than(const fc_size_result *result)
{
    const double least = result->cost_at_peak;
    const double more = result->uniform.cost - least;
    struct figure f;

    if (!(more > 0.005 * least))
        snprintf(f.text, sizeof f.text, "as much as the least that does");
    else if (!(least > 0.0))
        snprintf(f.text, sizeof f.text, "more than the least that does");
    else
        snprintf(f.text, sizeof f.text,
                 "%.10s %% more than the least that does",
                 figure_number(100.0 * more / least, 0).text);
    return f;
}

static void
say_saving(struct page *page, const fc_size_result *result)
{
    const fc_uniform_sizes *hand = &result->uniform;

    if (!hand->given || isnan(result->cost))
        return;
    if (hand->works != FC_WORKS)
        page_say(page, 2, 4, "Its sizes cost %s; at peak %s.",
                 size_cost_said(result, hand->cost).text,
                 hand->works == FC_CANNOT_TELL
                     ? "it cannot be told whether they serve"
                     : "they do not serve every fixture");
    else
        page_say(page, 2, 4, "Its sizes serve at peak%s and cost %s, %s.",
                 result->in_hand > 0.0 ? ", the flush events left aside," : "",
                 size_cost_said(result, hand->cost).text,
                 more_than(result).text);
}

static void
print_hand(struct page *page, const fc_size_result *result)
{
    const fc_uniform_sizes *hand = &result->uniform;
    fc_unit_system u = page->units;

    page_heading(page, "By hand: uniform friction loss");
    if (hand->fixture && hand->spare > 0.0)
        page_say(page, 2, 4,
                 "The run to %s%s governs: %s to spare for friction over a "
                 "developed length of %s, of the pipes to be sized on it, "
                 "allows %s.",
                 hand->fixture,
                 !result->converted           ? ""
                 : hand->state == FC_EXISTING ? " as it stands"
                                              : " after the retrofit",
                 figure_said(u, FC_PRESSURE, hand->spare).text,
                 figure_said(u, FC_LENGTH, hand->developed_length).text,
                 rate_said(u, hand->rate).text);
    if (!hand->given)
        page_say(page, 2, 4, "It finds no sizes: %s.", hand->lacks);
    say_saving(page, result);
}

void
size_tables(struct page *page, const fc_size_result *result)
{
    print_pipes(page, result);
    print_hand(page, result);
}
