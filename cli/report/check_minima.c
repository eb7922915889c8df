/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/check_minima.c -- what is left against the minima that are
 * quoted. */
#include "report/check_text.h"
#include "page/figure.h"
#include "page/table.h"
#include "page/words.h"

#include <stdlib.h>
#include <string.h>

#define MOST_MINIMA 6

static bool
is_flush_valve(const fc_checked_fixture *f, fc_state state)
{
    return f->states[state].against_minima != NULL;
}

static size_t
minima_shown(const fc_check_result *result)
{
    return result->n_minima < MOST_MINIMA ? result->n_minima : MOST_MINIMA;
}

static void
add_row(struct table *table, const struct page *page,
        const fc_check_result *result, const fc_checked_fixture *f,
        fc_state state)
{
    fc_unit_system u = page->units;
    const fc_fixture_state *s = &f->states[state];

    table_add(table, f->name);
    table_add(table, figure_of(u, FC_PRESSURE, s->flowing.low).text);
    for (size_t i = 0; i < minima_shown(result); i++) {
        double margin = s->against_minima[i];

        table_add_tinted(table, figure_margin(u, FC_PRESSURE, margin).text,
                         margin < 0.0 ? TINT_BAD : TINT_NONE);
    }
}

static void
print_rows(struct page *page, const fc_check_result *result, fc_state state)
{
    const char *p = fc_unit_name(page->units, FC_PRESSURE);
    struct column columns[2 + MOST_MINIMA] = {
        { "fixture", "", ALIGN_LEFT, 12 },
        { "flowing", p, ALIGN_RIGHT, 0 },
    };
    struct figure headings[MOST_MINIMA];
    struct table table;

    for (size_t i = 0; i < minima_shown(result); i++) {
        double least = result->minima[i].pressure;

        snprintf(headings[i].text, sizeof headings[i].text, "against\n%.20s",
                 figure_number(fc_from_si(page->units, FC_PRESSURE, least), 0)
                     .text);
        columns[2 + i].heading = headings[i].text;
        columns[2 + i].unit = p;
        columns[2 + i].align = ALIGN_RIGHT;
    }
    table = table_new(columns, 2 + minima_shown(result));
    for (size_t i = 0; i < result->n_fixtures; i++)
        if (is_flush_valve(&result->fixtures[i], state))
            add_row(&table, page, result, &result->fixtures[i], state);
    table_print(&table, page);
}

/* A source without the addresses of pages, which `tables` gives: ", https:..."
 * goes, what stands behind it stays. */
static char *
without_addresses(const char *source)
{
    char *text = strdup(source);
    char *address;

    while (text && (address = strstr(text, " http")) != NULL) {
        size_t length = 1 + strcspn(address + 1, " ");
        char last = address[length - 1];

        if (last == '.' || last == ',' || last == ';')
            length--;
        if (address > text && address[-1] == ',') {
            address--;
            length++;
        }
        memmove(address, address + length, strlen(address + length) + 1);
    }
    return text;
}

static void
say_source(struct page *page, const fc_quoted_minimum *minimum)
{
    struct figure least = figure_number(
        fc_from_si(page->units, FC_PRESSURE, minimum->pressure), 0);
    char *source = without_addresses(minimum->source);

    if (source)
        page_say(page, 2, 6, "%s %s: %s", least.text,
                 fc_unit_name(page->units, FC_PRESSURE), source);
    else
        page->failed = true;
    free(source);
}

void
check_text_minima(struct page *page, const fc_check_result *result)
{
    fc_state state = judged_state(result);
    bool any = false;

    for (size_t i = 0; i < result->n_fixtures; i++)
        any = any || is_flush_valve(&result->fixtures[i], state);
    if (!any || result->n_minima == 0)
        return;
    page_heading(page,
                 "Flush valves against the minima that codes and "
                 "handbooks quote, %s",
                 state_phrase(state));
    print_rows(page, result, state);
    page_say(page, 2, 2,
             "Margins at the worst end of what is given. The "
             "verdict rests on the required pressure above, not on these:");
    for (size_t i = 0; i < minima_shown(result); i++)
        say_source(page, &result->minima[i]);
}
