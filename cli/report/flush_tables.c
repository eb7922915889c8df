/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/flush_tables.c -- what each gauge reads: valves, other fixtures,
 * and the elements on the way. */
#include "page/figure.h"
#include "report/flush_report.h"
#include "page/table.h"
#include "page/words.h"

#include <string.h>

fc_range
flush_margin(const fc_flush_fixture *f)
{
    fc_range margin = { 0 };

    margin.given = f->pressure.given && f->required.given;
    margin.nominal = f->pressure.nominal - f->required.nominal;
    margin.low = f->pressure.low - f->required.high;
    margin.high = f->pressure.high - f->required.low;
    return margin;
}

static bool
has_ranges(const fc_flush_result *result)
{
    for (size_t i = 0; i < result->n_fixtures; i++)
        if (figure_differs(result->units, FC_PRESSURE,
                           result->fixtures[i].pressure))
            return true;
    return false;
}

static void
add_pressure(struct table *table, const struct page *page, double si)
{
    table_add(table, figure_of(page->units, FC_PRESSURE, si).text);
}

/* "short" is what this verdict says of a valve. */
static const char *
enough_word(const fc_flush_fixture *f)
{
    return !f->required.given            ? "no minimum"
           : f->enough == FC_WORKS       ? "enough"
           : f->enough == FC_CANNOT_TELL ? "cannot tell"
                                         : "short";
}

static void
add_flushing(struct table *table, const struct page *page,
             const fc_flush_fixture *f, bool ranges)
{
    fc_unit_system u = page->units;
    enum tint tint = f->required.given ? verdict_tint(f->enough) : TINT_NONE;
    struct figure margin =
        figure_margin_range(u, FC_PRESSURE, flush_margin(f));
    char open[32];

    snprintf(open, sizeof open, "%d of %d", f->flushing, f->count);
    table_add(table, f->name);
    table_add(table, open);
    table_add(table, figure_range(u, FC_FLOW, f->flow).text);
    table_add(table, figure_range(u, FC_PRESSURE, f->still).text);
    table_add(table, figure_range(u, FC_PRESSURE, f->pressure).text);
    table_add(table, figure_range(u, FC_PRESSURE, f->required).text);
    if (ranges) { /* there is no room for a word */
        table_add_tinted(table, margin.text, tint);
    } else {
        table_add(table, margin.text);
        table_add_tinted(table, enough_word(f), tint);
    }
}

static void
print_flushing(struct page *page, const fc_flush_result *result, bool ranges)
{
    const char *p = fc_unit_name(page->units, FC_PRESSURE);
    const char *q = fc_unit_name(page->units, FC_FLOW);
    const struct column columns[] = {
        { "fixture", "", ALIGN_LEFT, 10 },
        { "open", "", ALIGN_LEFT, 0 },
        { "flow\nof one", q, ALIGN_RIGHT, 0 },
        { "nothing\nflushing", p, ALIGN_RIGHT, 0 },
        { "flowing", p, ALIGN_RIGHT, 0 },
        { "minimum", p, ALIGN_RIGHT, 0 },
        { "to spare", p, ALIGN_RIGHT, 0 },
        { "verdict", "", ALIGN_LEFT, 0 },
    };
    struct table table = table_new(columns, ranges ? 7 : 8);

    page_heading(page, "The valves that flush");
    for (size_t i = 0; i < result->n_fixtures; i++)
        if (result->fixtures[i].flushing > 0)
            add_flushing(&table, page, &result->fixtures[i], ranges);
    table_print(&table, page);
    page_say(page, 2, 2,
             "Flowing: at the inlet of the valve, where a gauge would read "
             "it. Minimum: the valve's own; of a valve that flushes alone the "
             "code's least, where that is more. Below zero to spare is "
             "short.");
}

static void
print_others(struct page *page, const fc_flush_result *result, bool ranges)
{
    const char *p = fc_unit_name(page->units, FC_PRESSURE);
    const char *l = fc_unit_name(page->units, FC_LENGTH);
    const struct column name = { "fixture", "", ALIGN_LEFT, 10 };
    const struct column kind = { "kind", "", ALIGN_LEFT, 12 };
    const struct column height = { "height", l, ALIGN_RIGHT, 0 };
    const struct column still = { "nothing\nflushing", p, ALIGN_RIGHT, 0 };
    const struct column now = { "now", p, ALIGN_RIGHT, 0 };
    const struct column fall = { "fall", p, ALIGN_RIGHT, 0 };
    const struct column ends = { "low..high", p, ALIGN_RIGHT, 0 };
    const struct column columns[] = { name, kind, height, still,
                                      now,  fall, ends };
    struct table table = table_new(columns, ranges ? 7 : 6);

    page_heading(page, "The other fixtures meanwhile");
    for (size_t i = 0; i < result->n_fixtures; i++) {
        const fc_flush_fixture *f = &result->fixtures[i];

        if (f->flushing > 0)
            continue;
        table_add(&table, f->name);
        table_add(&table, f->kind);
        table_add(&table,
                  figure_of(page->units, FC_LENGTH, f->elevation).text);
        add_pressure(&table, page, f->still.nominal);
        add_pressure(&table, page, f->pressure.nominal);
        table_add(&table, figure_margin(page->units, FC_PRESSURE,
                                        f->still.nominal - f->pressure.nominal)
                              .text);
        if (ranges)
            table_add(
                &table,
                figure_range(page->units, FC_PRESSURE, f->pressure).text);
    }
    table_print(&table, page);
}

static void
print_elements(struct page *page, const fc_flush_result *result)
{
    const char *p = fc_unit_name(page->units, FC_PRESSURE);
    const struct column columns[] = {
        { "element", "", ALIGN_LEFT, 10 },
        { "kind", "", ALIGN_LEFT, 0 },
        { "height", fc_unit_name(page->units, FC_LENGTH), ALIGN_RIGHT, 0 },
        { "flow", fc_unit_name(page->units, FC_FLOW), ALIGN_RIGHT, 0 },
        { "nothing\nflushing", p, ALIGN_RIGHT, 0 },
        { "now", p, ALIGN_RIGHT, 0 },
        { "fall", p, ALIGN_RIGHT, 0 },
    };
    struct table table = table_new(columns, sizeof columns / sizeof *columns);

    page_heading(page, "Behind each element");
    for (size_t i = 0; i < result->n_elements; i++) {
        const fc_flush_element *e = &result->elements[i];

        table_add(&table, e->name);
        table_add(&table, e->kind);
        table_add(&table,
                  figure_of(page->units, FC_LENGTH, e->elevation).text);
        table_add(&table, figure_of(page->units, FC_FLOW, e->flow).text);
        add_pressure(&table, page, e->still);
        add_pressure(&table, page, e->pressure);
        table_add(&table, figure_margin(page->units, FC_PRESSURE,
                                        e->still - e->pressure)
                              .text);
    }
    table_print(&table, page);
    page_say(page, 2, 2, "Pressures at the outlet, at the height given.");
}

static bool
any_turned(const fc_flush_result *result)
{
    for (size_t i = 0; i < result->n_elements; i++)
        if (result->elements[i].flow < 0.0)
            return true;
    return false;
}

void
flush_tables(struct page *page, const fc_flush_result *result)
{
    bool ranges = has_ranges(result);
    size_t others = 0;

    for (size_t i = 0; i < result->n_fixtures; i++)
        others += result->fixtures[i].flushing == 0;
    if (result->flushing > 0)
        print_flushing(page, result, ranges);
    if (others > 0)
        print_others(page, result, ranges);
    print_elements(page, result);
    if (any_turned(result))
        page_say(page, 2, 2,
                 "Flow below zero runs against the direction in which the "
                 "element is drawn.");
    if (ranges)
        page_say(page, 2, 2,
                 "Single figures stand at the middle of what is given as a "
                 "range.");
}
