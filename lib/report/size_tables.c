/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/size_tables.c -- the sizes chosen, and the hand method beside
 * them. */
#include "report/size_report.h"
#include "report/shared.h"

#include <math.h>

/* Money has two decimals, inch-feet one. */
static struct fci_figure
cost_of(const fc_size_result *result, double cost)
{
    return fci_figure_number(cost, result->by_prices ? 2 : 1);
}

struct fci_figure
fci_size_cost_said(const fc_size_result *result, double cost)
{
    struct fci_figure f;

    snprintf(f.text, sizeof f.text, "%.24s%s", cost_of(result, cost).text,
             result->by_prices ? " by the prices given" : " inch-feet");
    return f;
}

static void
add_pipe(struct fci_grid *table, const struct fci_doc *doc,
         const fc_size_result *result, const fc_sized_pipe *p, bool hand)
{
    fc_unit_system u = doc->units;

    fci_cell(table, p->name);
    fci_cell(table, fci_figure_of(u, FC_LENGTH, p->length).text);
    fci_cell(table, fci_figure_of(u, FC_FLOW, p->peak_flow).text);
    fci_cell(table, p->size ? p->size : "-");
    fci_cell(table, fci_figure_of(u, FC_VELOCITY, p->velocity).text);
    fci_cell(table, fci_figure_of(u, FC_PRESSURE, p->friction_loss).text);
    fci_cell(table, cost_of(result, p->cost).text);
    if (!hand)
        return;
    fci_cell(table, p->uniform_size ? p->uniform_size : "-");
    fci_cell(table, cost_of(result, p->uniform_cost).text);
}

void
fci_size_pipes(struct fci_doc *doc, const fc_size_result *result,
               const fc_sized_pipe *pipes, size_t n, bool hand)
{
    const struct fci_doc_column columns[] = {
        { "pipe", "", FCI_LEFT, 10 },
        { "length", fc_unit_name(doc->units, FC_LENGTH), FCI_RIGHT, 0 },
        { "peak", fc_unit_name(doc->units, FC_FLOW), FCI_RIGHT, 0 },
        { "size", "", FCI_LEFT, 0 },
        { "velocity", fc_unit_name(doc->units, FC_VELOCITY), FCI_RIGHT, 0 },
        { "loss", fc_unit_name(doc->units, FC_PRESSURE), FCI_RIGHT, 0 },
        { "cost", "", FCI_RIGHT, 0 },
        { "by hand", "", FCI_LEFT, 0 },
        { "cost", "", FCI_RIGHT, 0 },
    };
    struct fci_grid *table = fci_grid_new(
        doc, columns, sizeof columns / sizeof *columns - (hand ? 0 : 2));

    for (size_t i = 0; i < n; i++)
        add_pipe(table, doc, result, &pipes[i], hand);
    fci_grid_rule(table);
    fci_cell(table, "total");
    for (int i = 0; i < 5; i++)
        fci_cell(table, "");
    fci_cell(table, cost_of(result, result->cost).text);
    if (hand) {
        fci_cell(table, "");
        fci_cell(table, cost_of(result, result->uniform.cost).text);
    }
    fci_doc_put(doc, table);
}

/* Friction the way a designer writes it: per 100 ft, or per metre. */
static struct fci_figure
rate_said(fc_unit_system units, double rate)
{
    struct fci_figure f;

    if (units == FC_US)
        snprintf(
            f.text, sizeof f.text, "%.24s psi per 100 ft",
            fci_figure_of(FC_US, FC_PRESSURE,
                          100.0 * rate / fc_from_si(FC_US, FC_LENGTH, 1.0))
                .text);
    else
        snprintf(
            f.text, sizeof f.text, "%.24s kPa per m",
            fci_figure_with(FC_SI, FC_PRESSURE, FC_NEAREST, 2, rate).text);
    return f;
}

/* Beside what peak demand alone costs at least, as that is all it knows. */
static struct fci_figure
more_than(const fc_size_result *result)
{
    const double least = result->cost_at_peak;
    const double more = result->uniform.cost - least;
    const bool same = !(more > 0.005 * least);
    struct fci_figure f;
    char by[16] = "";

    if (!same && least > 0.0)
        snprintf(by, sizeof by, "%.5s%% ",
                 fci_figure_number(100.0 * more / least, 0).text);
    snprintf(f.text, sizeof f.text, "%.8s%.10sthe lowest cost that serves", by,
             same ? "" : "more than ");
    return f;
}

void
fci_size_by_hand(struct fci_doc *doc, const fc_size_result *result)
{
    const fc_uniform_sizes *hand = &result->uniform;

    if (!hand->given)
        fci_doc_say(doc, "By hand (uniform friction loss): no sizes, %s.",
                    hand->lacks);
    else if (isnan(result->cost))
        return;
    else if (hand->works == FC_WORKS)
        fci_doc_say(doc, "By hand (uniform friction loss): %s, %s at peak%s.",
                    fci_size_cost_said(result, hand->cost).text,
                    more_than(result).text,
                    result->in_hand > 0.0 ? ", flush events left aside" : "");
    else
        fci_doc_say(doc,
                    "By hand (uniform friction loss): %s, and %s at peak.",
                    fci_size_cost_said(result, hand->cost).text,
                    hand->works == FC_CANNOT_TELL
                        ? "cannot tell whether these sizes serve every fixture"
                        : "these sizes leave a fixture short");
}

static void
print_hand(struct fci_doc *doc, const fc_size_result *result)
{
    const fc_uniform_sizes *hand = &result->uniform;
    fc_unit_system u = doc->units;

    fci_doc_heading(doc, "By hand: uniform friction loss");
    if (hand->fixture && hand->spare > 0.0)
        fci_doc_say(doc,
                    "The run to %s%s governs: %s to spare for friction over a "
                    "developed length of %s, of the pipes to be sized on it, "
                    "allows %s.",
                    hand->fixture, fci_state_said(doc, hand->state),
                    fci_figure_said(u, FC_PRESSURE, hand->spare).text,
                    fci_figure_said(u, FC_LENGTH, hand->developed_length).text,
                    rate_said(u, hand->rate).text);
    fci_size_by_hand(doc, result);
}

void
fci_size_tables(struct fci_doc *doc, const fc_size_result *result)
{
    fci_doc_heading(doc, "Sizes");
    fci_size_pipes(doc, result, result->pipes, result->n_pipes, true);
    fci_doc_say(doc,
                "Peak, velocity and loss: in the state in which most flows, "
                "worst case. Cost: %s. By hand: uniform friction loss, below.",
                result->by_prices ? "by the prices given"
                                  : "nominal inches times feet of length");
    print_hand(doc, result);
}
