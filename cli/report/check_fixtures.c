/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/check_fixtures.c -- the tables of fixtures. */
#include "report/check_text.h"
#include "page/figure.h"
#include "page/table.h"
#include "page/words.h"

#include <string.h>

static void
add_range(struct table *table, const struct page *page, fc_range range)
{
    table_add(table, figure_range(page->units, FC_PRESSURE, range).text);
}

static void
add_place(struct table *table, const struct page *page,
          const fc_checked_fixture *f)
{
    table_add(table, figure_number(f->count, 0).text);
    table_add(table, figure_of(page->units, FC_LENGTH, f->elevation).text);
    add_range(table, page, f->static_pressure);
}

static void
add_end(struct table *table, const struct page *page,
        const fc_fixture_state *end)
{
    add_range(table, page, end->required);
    add_range(table, page, end->flowing);
    table_add(table,
              figure_margin_range(page->units, FC_PRESSURE, end->margin).text);
    table_add_tinted(table, fixture_verdict_word(end),
                     verdict_tint(end->works));
}

/* Ranges take twice the width: place and pressures then need a table each. */
static bool
has_ranges(const fc_check_result *result)
{
    for (size_t i = 0; i < result->n_fixtures; i++) {
        const fc_checked_fixture *f = &result->fixtures[i];

        if (figure_differs(result->units, FC_PRESSURE, f->static_pressure))
            return true;
        for (int s = 0; s < FC_STATES; s++)
            if (figure_differs(result->units, FC_PRESSURE,
                               f->states[s].flowing)
                || figure_differs(result->units, FC_PRESSURE,
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
            || !figure_same(result->units, s[0].required, s[1].required)
            || !figure_same(result->units, s[0].flowing, s[1].flowing))
            return false;
    }
    return true;
}

static void
print_places(struct page *page, const fc_check_result *result)
{
    const char *p = fc_unit_name(page->units, FC_PRESSURE);
    const char *l = fc_unit_name(page->units, FC_LENGTH);
    const struct column columns[] = {
        { "fixture", "", ALIGN_LEFT, 12 }, { "kind", "", ALIGN_LEFT, 16 },
        { "on", "", ALIGN_LEFT, 8 },       { "count", "", ALIGN_RIGHT, 0 },
        { "height", l, ALIGN_RIGHT, 0 },   { "static", p, ALIGN_RIGHT, 0 },
    };
    struct table table = table_new(columns, sizeof columns / sizeof *columns);

    page_heading(page, "Fixtures");
    for (size_t i = 0; i < result->n_fixtures; i++) {
        table_add(&table, result->fixtures[i].name);
        table_add(&table, result->fixtures[i].kind);
        table_add(&table, result->fixtures[i].on);
        add_place(&table, page, &result->fixtures[i]);
    }
    table_print(&table, page);
}

/* Place and pressures in one table. */
static void
print_whole(struct page *page, const fc_check_result *result, fc_state state,
            const char *when)
{
    const char *p = fc_unit_name(page->units, FC_PRESSURE);
    const char *l = fc_unit_name(page->units, FC_LENGTH);
    const struct column columns[] = {
        { "fixture", "", ALIGN_LEFT, 10 }, { "count", "", ALIGN_RIGHT, 0 },
        { "height", l, ALIGN_RIGHT, 0 },   { "static", p, ALIGN_RIGHT, 0 },
        { "required", p, ALIGN_RIGHT, 0 }, { "flowing", p, ALIGN_RIGHT, 0 },
        { "margin", p, ALIGN_RIGHT, 0 },   { "verdict", "", ALIGN_LEFT, 0 },
    };
    struct table table = table_new(columns, sizeof columns / sizeof *columns);

    page_heading(page, "Fixtures %s", when);
    for (size_t i = 0; i < result->n_fixtures; i++) {
        table_add(&table, result->fixtures[i].name);
        add_place(&table, page, &result->fixtures[i]);
        add_end(&table, page, &result->fixtures[i].states[state]);
    }
    table_print(&table, page);
}

/* Pressures alone; with the change where `change`. */
/* "short" is said of pressure alone. */
static const char *
change_in_table(const fc_checked_fixture *f)
{
    return f->change == FC_STILL_SHORT
                   && f->states[FC_RETROFIT].pressure != FC_WILL_NOT_WORK
               ? "still fails"
               : change_word(f->change);
}

static void
print_pressures(struct page *page, const fc_check_result *result,
                fc_state state, const char *when, bool change)
{
    const char *p = fc_unit_name(page->units, FC_PRESSURE);
    const struct column columns[] = {
        { "fixture", "", ALIGN_LEFT, 12 },
        { "required", p, ALIGN_RIGHT, 0 },
        { "flowing", p, ALIGN_RIGHT, 0 },
        { "margin", p, ALIGN_RIGHT, 0 },
        { "verdict", "", ALIGN_LEFT, 0 },
        { "after the\nretrofit", "", ALIGN_LEFT, 0 },
    };
    struct table table = table_new(columns, change ? 6 : 5);

    page_heading(page, "Fixtures %s", when);
    for (size_t i = 0; i < result->n_fixtures; i++) {
        const fc_checked_fixture *f = &result->fixtures[i];

        table_add(&table, f->name);
        add_end(&table, page, &f->states[state]);
        if (change)
            table_add_tinted(&table, change_in_table(f),
                             change_tint(f->change));
    }
    table_print(&table, page);
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
check_text_fixtures(struct page *page, const fc_check_result *result)
{
    fc_state state = judged_state(result);
    bool both = result->converted && same_in_both(result);
    const char *when =
        both ? "as they stand and after the retrofit: the same in both"
        : result->converted ? "after the retrofit"
                            : "as they stand";

    if (has_ranges(result)) {
        print_places(page, result);
        print_pressures(page, result, state, when, false);
    } else {
        print_whole(page, result, state, when);
    }
    if (result->converted && !both)
        print_pressures(page, result, FC_EXISTING, "as they stand", true);
    page_say(page, 2, 2,
             "Static: with no flow. Flowing: at peak, before the "
             "fixture. A group counts as many as it has.");
    if (any_below_zero(result))
        page_say(page, 2, 2,
                 "A flowing pressure below zero cannot be: it stands for the "
                 "rates of the data sheets, which then do not all flow.");
}
