/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/check_minima.c -- what is left against the minima that are
 * quoted. */
#include "report/check_text.h"
#include "page/figure.h"
#include "report/words.h"

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
add_row(struct fci_grid *table, const struct fci_doc *doc,
        const fc_check_result *result, const fc_checked_fixture *f,
        fc_state state)
{
    fc_unit_system u = doc->units;
    const fc_fixture_state *s = &f->states[state];

    fci_cell(table, f->name);
    fci_cell(table, fci_figure_of(u, FC_PRESSURE, s->flowing.low).text);
    for (size_t i = 0; i < minima_shown(result); i++) {
        double margin = s->against_minima[i];

        fci_cell_tinted(table, fci_figure_margin(u, FC_PRESSURE, margin).text,
                        margin < 0.0 ? FCI_BAD : FCI_PLAIN_TINT);
    }
}

static void
print_rows(struct fci_doc *doc, const fc_check_result *result, fc_state state)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    struct fci_doc_column columns[2 + MOST_MINIMA] = {
        { "fixture", "", FCI_LEFT, 12 },
        { "flowing", p, FCI_RIGHT, 0 },
    };
    struct fci_figure headings[MOST_MINIMA];
    struct fci_grid *table;

    for (size_t i = 0; i < minima_shown(result); i++) {
        double least = result->minima[i].pressure;

        snprintf(
            headings[i].text, sizeof headings[i].text, "against\n%.20s",
            fci_figure_number(fc_from_si(doc->units, FC_PRESSURE, least), 0)
                .text);
        columns[2 + i].heading = headings[i].text;
        columns[2 + i].unit = p;
        columns[2 + i].align = FCI_RIGHT;
    }
    table = fci_grid_new(doc, columns, 2 + minima_shown(result));
    for (size_t i = 0; i < result->n_fixtures; i++)
        if (is_flush_valve(&result->fixtures[i], state))
            add_row(table, doc, result, &result->fixtures[i], state);
    fci_doc_put(doc, table);
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
say_source(struct fci_doc *doc, const fc_quoted_minimum *minimum)
{
    struct fci_figure least = fci_figure_number(
        fc_from_si(doc->units, FC_PRESSURE, minimum->pressure), 0);
    char *source = without_addresses(minimum->source);

    if (source)
        fci_doc_say(doc, "%s %s: %s", least.text,
                    fc_unit_name(doc->units, FC_PRESSURE), source);
    else
        doc->failed = true;
    free(source);
}

void
fci_check_text_minima(struct fci_doc *doc, const fc_check_result *result)
{
    fc_state state = fci_judged_state(result);
    bool any = false;

    for (size_t i = 0; i < result->n_fixtures; i++)
        any = any || is_flush_valve(&result->fixtures[i], state);
    if (!any || result->n_minima == 0)
        return;
    fci_doc_heading(doc,
                    "Flush valves against the minima that codes and "
                    "handbooks quote, %s",
                    fci_state_phrase(state));
    print_rows(doc, result, state);
    fci_doc_say(doc,
                "Margins at the worst end of what is given. The "
                "verdict rests on the required pressure above, not on these:");
    for (size_t i = 0; i < minima_shown(result); i++)
        say_source(doc, &result->minima[i]);
}
