/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/check_minima.c -- the margin against the minimums that are
 * quoted. */
#include "report/check_text.h"
#include "report/shared.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define MOST_MINIMA 6

static bool
is_flush_valve(const fc_checked_fixture *f)
{
    return f->states[FC_EXISTING].against_minima
           || f->states[FC_RETROFIT].against_minima;
}

static size_t
minima_shown(const fc_check_result *result)
{
    return result->n_minima < MOST_MINIMA ? result->n_minima : MOST_MINIMA;
}

static struct fci_row
row_of(const struct fci_doc *doc, const fc_check_result *result,
       const fc_fixture_state *end)
{
    struct fci_row row = { 0 };

    for (size_t i = 0; i < minima_shown(result); i++) {
        const double margin =
            end->against_minima ? end->against_minima[i] : (double)NAN;

        fci_row_add_tinted(
            &row, fci_figure_margin(doc->units, FC_PRESSURE, margin).text,
            margin < 0.0 ? FCI_BAD : FCI_PLAIN_TINT);
    }
    return row;
}

static void
put_rows(struct fci_doc *doc, const fc_check_result *result)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    struct fci_doc_column columns[1 + MOST_MINIMA] = {
        { "fixture", "", FCI_LEFT, 12 },
    };
    struct fci_grid *grid;

    for (size_t i = 0; i < minima_shown(result); i++) {
        const double least =
            fc_from_si(doc->units, FC_PRESSURE, result->minima[i].pressure);

        columns[1 + i].heading = fci_arena_printf(
            &doc->arena, "against\n%s", fci_figure_number(least, 0).text);
        columns[1 + i].unit = p;
        columns[1 + i].align = FCI_RIGHT;
    }
    if (doc->arena.failed)
        return;
    grid = fci_check_table(doc, result, columns, 1 + minima_shown(result));
    for (size_t i = 0; i < result->n_fixtures; i++) {
        const fc_checked_fixture *f = &result->fixtures[i];
        const struct fci_row rows[] = {
            row_of(doc, result, &f->states[FC_EXISTING]),
            row_of(doc, result, &f->states[FC_RETROFIT]),
        };

        if (is_flush_valve(f))
            fci_check_rows(grid, result, f->name, rows);
    }
    fci_part_table(doc, grid, 1);
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
    bool any = false;

    for (size_t i = 0; i < result->n_fixtures; i++)
        any = any || is_flush_valve(&result->fixtures[i]);
    if (!any || result->n_minima == 0)
        return;
    fci_doc_heading(doc, "Flush valves against the minimums that codes and "
                         "handbooks quote");
    put_rows(doc, result);
    fci_doc_say(doc, "Margins in the worst case. The verdict rests on the "
                     "required pressure above, not on these:");
    for (size_t i = 0; i < minima_shown(result); i++)
        say_source(doc, &result->minima[i]);
}
