/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/check_fixtures.c -- the tables of fixtures. */
#include "report/check_text.h"
#include "page/figure.h"
#include "report/words.h"

#include <string.h>

static void
add_range(struct fci_grid *table, const struct fci_doc *doc, fc_range range)
{
    fci_cell(table, fci_figure_range(doc->units, FC_PRESSURE, range).text);
}

static void
add_place(struct fci_grid *table, const struct fci_doc *doc,
          const fc_checked_fixture *f)
{
    fci_cell(table, fci_figure_number(f->count, 0).text);
    fci_cell(table, fci_figure_of(doc->units, FC_LENGTH, f->elevation).text);
    add_range(table, doc, f->static_pressure);
}

static void
add_end(struct fci_grid *table, const struct fci_doc *doc,
        const fc_fixture_state *end)
{
    add_range(table, doc, end->required);
    add_range(table, doc, end->flowing);
    fci_cell(
        table,
        fci_figure_margin_range(doc->units, FC_PRESSURE, end->margin).text);
    fci_cell_tinted(table, fci_fixture_verdict_word(end),
                    fci_verdict_tint(end->works));
}

/* Ranges take twice the width: place and pressures then need a table each. */
static bool
has_ranges(const fc_check_result *result)
{
    for (size_t i = 0; i < result->n_fixtures; i++) {
        const fc_checked_fixture *f = &result->fixtures[i];

        if (fci_figure_differs(result->units, FC_PRESSURE, f->static_pressure))
            return true;
        for (int s = 0; s < FC_STATES; s++)
            if (fci_figure_differs(result->units, FC_PRESSURE,
                                   f->states[s].flowing)
                || fci_figure_differs(result->units, FC_PRESSURE,
                                      f->states[s].required))
                return true;
    }
    return false;
}

/* Whether a table of each state would show the same twice. */
static bool
same_in_both(const fc_check_result *result)
{
    for (size_t i = 0; i < result->n_fixtures; i++) {
        const fc_fixture_state *s = result->fixtures[i].states;

        if (s[0].works != s[1].works
            || !fci_figure_same(result->units, s[0].required, s[1].required)
            || !fci_figure_same(result->units, s[0].flowing, s[1].flowing))
            return false;
    }
    return true;
}

static void
print_places(struct fci_doc *doc, const fc_check_result *result)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const char *l = fc_unit_name(doc->units, FC_LENGTH);
    const struct fci_doc_column columns[] = {
        { "fixture", "", FCI_LEFT, 12 }, { "kind", "", FCI_LEFT, 16 },
        { "on", "", FCI_LEFT, 8 },       { "count", "", FCI_RIGHT, 0 },
        { "height", l, FCI_RIGHT, 0 },   { "static", p, FCI_RIGHT, 0 },
    };
    struct fci_grid *table =
        fci_grid_new(doc, columns, sizeof columns / sizeof *columns);

    fci_doc_heading(doc, "Fixtures");
    for (size_t i = 0; i < result->n_fixtures; i++) {
        fci_cell(table, result->fixtures[i].name);
        fci_cell(table, result->fixtures[i].kind);
        fci_cell(table, result->fixtures[i].on);
        add_place(table, doc, &result->fixtures[i]);
    }
    fci_doc_put(doc, table);
}

/* Place and pressures in one table. */
static void
print_whole(struct fci_doc *doc, const fc_check_result *result, fc_state state,
            const char *when)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const char *l = fc_unit_name(doc->units, FC_LENGTH);
    const struct fci_doc_column columns[] = {
        { "fixture", "", FCI_LEFT, 10 }, { "count", "", FCI_RIGHT, 0 },
        { "height", l, FCI_RIGHT, 0 },   { "static", p, FCI_RIGHT, 0 },
        { "required", p, FCI_RIGHT, 0 }, { "flowing", p, FCI_RIGHT, 0 },
        { "margin", p, FCI_RIGHT, 0 },   { "verdict", "", FCI_LEFT, 0 },
    };
    struct fci_grid *table =
        fci_grid_new(doc, columns, sizeof columns / sizeof *columns);

    fci_doc_heading(doc, "Fixtures %s", when);
    for (size_t i = 0; i < result->n_fixtures; i++) {
        fci_cell(table, result->fixtures[i].name);
        add_place(table, doc, &result->fixtures[i]);
        add_end(table, doc, &result->fixtures[i].states[state]);
    }
    fci_doc_put(doc, table);
}

/* Pressures alone; with the change where `change`. */
/* "short" is said of pressure alone. */
static const char *
change_in_table(const fc_checked_fixture *f)
{
    return f->change == FC_STILL_SHORT
                   && f->states[FC_RETROFIT].pressure != FC_WILL_NOT_WORK
               ? "still fails"
               : fci_change_word(f->change);
}

static void
print_pressures(struct fci_doc *doc, const fc_check_result *result,
                fc_state state, const char *when, bool change)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const struct fci_doc_column columns[] = {
        { "fixture", "", FCI_LEFT, 12 },
        { "required", p, FCI_RIGHT, 0 },
        { "flowing", p, FCI_RIGHT, 0 },
        { "margin", p, FCI_RIGHT, 0 },
        { "verdict", "", FCI_LEFT, 0 },
        { "after the\nretrofit", "", FCI_LEFT, 0 },
    };
    struct fci_grid *table = fci_grid_new(doc, columns, change ? 6 : 5);

    fci_doc_heading(doc, "Fixtures %s", when);
    for (size_t i = 0; i < result->n_fixtures; i++) {
        const fc_checked_fixture *f = &result->fixtures[i];

        fci_cell(table, f->name);
        add_end(table, doc, &f->states[state]);
        if (change)
            fci_cell_tinted(table, change_in_table(f),
                            fci_change_tint(f->change));
    }
    fci_doc_put(doc, table);
}

/* A rate is held whatever the pressure comes to. */
static bool
any_below_zero(const fc_check_result *result)
{
    for (size_t i = 0; i < result->n_fixtures; i++)
        for (int s = 0; s < (result->converted ? FC_STATES : 1); s++)
            if (result->fixtures[i].states[s].flowing.low < 0.0)
                return true;
    return false;
}

void
fci_check_text_fixtures(struct fci_doc *doc, const fc_check_result *result)
{
    fc_state state = fci_judged_state(result);
    bool both = result->converted && same_in_both(result);
    const char *when =
        both ? "as they stand and after the retrofit: the same in both"
        : result->converted ? "after the retrofit"
                            : "as they stand";

    if (has_ranges(result)) {
        print_places(doc, result);
        print_pressures(doc, result, state, when, false);
    } else {
        print_whole(doc, result, state, when);
    }
    if (result->converted && !both)
        print_pressures(doc, result, FC_EXISTING, "as they stand", true);
    fci_doc_say(doc, "Static: with no flow. Flowing: at peak, before the "
                     "fixture. A group counts as many as it has.");
    if (any_below_zero(result))
        fci_doc_say(
            doc, "A flowing pressure below zero cannot be: it stands for the "
                 "rates of the data sheets, which then do not all flow.");
}
