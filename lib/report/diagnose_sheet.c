/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/diagnose_sheet.c -- a field sheet of the readings worth taking.
 */
#include "report/report.h"
#include "report/diagnose_report.h"
#include "report/shared.h"
#include "page/figure.h"
#include "report/words.h"

#include <math.h>
#include <string.h>

#define BLANK "________"

/* A line of the sheet. */
struct entry {
    const char *name; /* of a reading that was taken; "" */
    const char *at, *flushing;
    fc_range expected; /* not given: as may be */
    double read;       /* NAN: a blank to fill in */
    double within;     /* the same */
};

static void
add_entry(struct fci_grid *table, const struct fci_doc *doc,
          fc_dimension dimension, const struct entry *entry)
{
    const fc_unit_system u = doc->units;

    fci_cell(table, entry->name);
    fci_cell(table, entry->at);
    fci_cell(table, entry->flushing);
    fci_cell(table, entry->expected.given
                        ? fci_figure_range(u, dimension, entry->expected).text
                        : "");
    fci_cell(table, isnan(entry->read)
                        ? BLANK
                        : fci_figure_of(u, dimension, entry->read).text);
    fci_cell(table, isnan(entry->within)
                        ? BLANK
                        : fci_figure_of(u, dimension, entry->within).text);
}

#define N_COLUMNS 6

static void
name_columns(struct fci_doc_column *columns, const struct fci_doc *doc,
             fc_dimension dimension)
{
    const char *p = fc_unit_name(doc->units, dimension);

    columns[0] = (struct fci_doc_column){ "reading", "", FCI_LEFT, 8 };
    columns[1] =
        (struct fci_doc_column){ dimension == FC_FLOW ? "flow at" : "gauge at",
                                 "", FCI_LEFT, 10 };
    columns[2] = (struct fci_doc_column){ "open", "", FCI_LEFT, 10 };
    columns[3] = (struct fci_doc_column){ "by file", p, FCI_RIGHT, 0 };
    columns[4] = (struct fci_doc_column){ "read", p, FCI_RIGHT, 0 };
    columns[5] = (struct fci_doc_column){ "gauge +-", p, FCI_RIGHT, 0 };
}

/* ---- What is yet to be read -------------------------------------------- */

/* From the least to the most of what its answers are. */
static struct entry
next_entry(const fc_next_reading *next)
{
    struct entry entry = { "", next->at, next->flushing, { 0 }, NAN, NAN };
    const size_t n = next->n_answers;

    if (n > 0) {
        entry.expected.given = true;
        entry.expected.high = next->answers[0].high;
        entry.expected.low = next->answers[n - 1].low;
        entry.expected.nominal =
            (entry.expected.low + entry.expected.high) / 2;
    }
    return entry;
}

/* The highest, of several the one with the least pressure. */
static const fc_flush_fixture *
find_top(const fc_flush_result *rest)
{
    const fc_flush_fixture *top = NULL;

    for (size_t i = 0; i < rest->n_fixtures; i++) {
        const fc_flush_fixture *f = &rest->fixtures[i];

        if (!top || f->elevation > top->elevation
            || (f->elevation >= top->elevation
                && f->still.nominal < top->still.nominal))
            top = f;
    }
    return top;
}

/* Whether a static one is taken there already, or is the next one. */
static bool
is_read(const fc_diagnosis *d, const char *at)
{
    if (d->next.at && d->next.kind == FC_TASK_PRESSURE && d->next.n_flush == 0
        && strcmp(d->next.at, at) == 0)
        return true;
    for (size_t i = 0; i < d->n_readings; i++)
        if (d->readings[i].is_static && d->readings[i].dimension == FC_PRESSURE
            && strcmp(d->readings[i].at, at) == 0)
            return true;
    return false;
}

static void
add_still(struct fci_grid *table, const struct fci_doc *doc, const char *at,
          fc_range still)
{
    const struct entry entry = { "", at, "nothing", still, NAN, NAN };

    add_entry(table, doc, FC_PRESSURE, &entry);
}

/* A site may have several sources. */
static void
add_sources(struct fci_grid *table, const struct fci_doc *doc,
            const fc_diagnosis *d, const fc_flush_result *rest)
{
    for (size_t i = 0; i < rest->n_elements; i++) {
        const fc_flush_element *e = &rest->elements[i];
        const fc_range still = { true, e->still, e->still, e->still };

        if (strcmp(e->kind, "source") == 0 && !is_read(d, e->name))
            add_still(table, doc, e->name, still);
    }
}

static void
print_table(struct fci_doc *doc, struct fci_grid *table, const char *heading)
{
    if (fci_grid_is_empty(table))
        return;
    fci_doc_heading(doc, "%s", heading);
    fci_doc_put(doc, table);
}

static void
print_to_take(struct fci_doc *doc, const fc_diagnosis *d,
              const fc_flush_result *rest)
{
    const fc_flush_fixture *top = find_top(rest);
    const struct entry next = next_entry(&d->next);
    struct fci_doc_column columns[N_COLUMNS];
    struct fci_grid *table;

    name_columns(columns, doc, FC_FLOW);
    table = fci_grid_new(doc, columns, N_COLUMNS);
    if (d->next.at && d->next.kind == FC_TASK_FLUSH_TIME)
        add_entry(table, doc, FC_FLOW, &next);
    print_table(doc, table, "Flows to read");
    name_columns(columns, doc, FC_PRESSURE);
    table = fci_grid_new(doc, columns, N_COLUMNS);
    if (d->next.at && d->next.kind == FC_TASK_PRESSURE)
        add_entry(table, doc, FC_PRESSURE, &next);
    add_sources(table, doc, d, rest);
    if (top && !is_read(d, top->name))
        add_still(table, doc, top->name, top->still);
    print_table(doc, table, "To read");
}

/* ---- What was read ----------------------------------------------------- */

/* Of one dimension, if there are any. */
static void
print_taken(struct fci_doc *doc, const fc_diagnosis *d, fc_dimension dimension,
            const char *heading)
{
    struct fci_doc_column columns[N_COLUMNS];
    struct fci_grid *table;

    name_columns(columns, doc, dimension);
    table = fci_grid_new(doc, columns, N_COLUMNS);
    for (size_t i = 0; i < d->n_readings; i++) {
        const fc_explained_reading *r = &d->readings[i];
        const struct entry entry = {
            r->name,     r->at,
            r->flushing, { true, r->expected, r->expected, r->expected },
            r->read,     r->within
        };

        if (r->dimension == dimension)
            add_entry(table, doc, dimension, &entry);
    }
    print_table(doc, table, heading);
}

/* With room for what is seen. */
static void
print_visit(struct fci_doc *doc, const fc_diagnosis *d)
{
    if (d->n_first_visit > 0)
        fci_doc_heading(doc, "The first visit, with what the file gives");
    for (size_t i = 0; i < d->n_first_visit; i++) {
        fci_doc_say(doc, "%zu. %s", i + 1, d->first_visit[i]);
        fci_doc_say(doc, BLANK BLANK BLANK BLANK);
    }
}

static void
put_blanks(struct fci_doc *doc)
{
    fci_doc_line(doc, "Date", "Hour");
    fci_doc_line(doc, "Read by", "Gauge no., calibrated");
    fci_doc_line(doc, "Water used elsewhere", NULL);
    fci_doc_line(doc, "Remarks", NULL);
}

void
fci_sheet_compose(struct fci_doc *doc, const void *what)
{
    const struct fci_diagnosis_view *view = what;
    const fc_diagnosis *d = view->d;
    const fc_flush_result *rest = view->rest;
    const char *free_gauge = view->free_gauge;
    fci_doc_title(doc, "FIELD SHEET OF GAUGE READINGS");
    fci_doc_gap(doc);
    fci_doc_say(doc, "%s, %s", d->title ? d->title : "without a title",
                fci_state_phrase(d->state));
    fci_doc_say(doc, "So far: %s", d->text);
    fci_part_overrides(doc, d->overrides, d->n_overrides);
    print_visit(doc, d);
    if (d->n_readings > 0)
        print_to_take(doc, d, rest);
    if (d->decided)
        fci_diagnose_work(doc, d);
    fci_diagnose_next(doc, d, free_gauge);
    fci_diagnose_by_hand(doc, d);
    print_taken(doc, d, FC_PRESSURE, "Read so far");
    print_taken(doc, d, FC_FLOW, "Flows read so far");
    if (d->n_readings > 0)
        fci_doc_say(
            doc,
            "By file: at midpoint values; of the next reading what the causes "
            "that are left would show. Read static with nothing open "
            "anywhere.");
    put_blanks(doc);
}
