/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/diagnose_sheet.c -- a field sheet of what is to be read and
 * looked at, to be filled in. */
#include "page/figure.h"
#include "page/screen.h"
#include "report/diagnose_report.h"
#include "report/page_parts.h"
#include "report/report.h"
#include "report/shared.h"
#include "report/words.h"
#include "site/site.h"

#include <math.h>
#include <string.h>

#define BLANK "________"
#define SPARE 2 /* lines for readings that nobody thought of */

/* A line of the sheet. */
struct entry {
    const char *name; /* of a reading that was taken; "" */
    const char *at, *flushing;
    fc_range expected; /* not given: as may be */
    double read;       /* NAN: a blank to fill in */
    double within;     /* the same */
};

/* "19.8 to 50.3", or one figure. */
static struct fci_figure
span_of(fc_unit_system u, fc_dimension dimension, fc_range range)
{
    const struct fci_figure from = fci_figure_of(u, dimension, range.low);
    const struct fci_figure to = fci_figure_of(u, dimension, range.high);
    struct fci_figure span = { "" };

    if (!range.given)
        return span;
    if (strcmp(from.text, to.text) == 0)
        return from;
    snprintf(span.text, sizeof span.text, "%.20s to %.20s", from.text,
             to.text);
    return span;
}

static void
add_entry(struct fci_grid *table, const struct fci_doc *doc,
          fc_dimension dimension, const struct entry *entry)
{
    const fc_unit_system u = doc->units;

    fci_cell(table, entry->name);
    fci_cell(table, entry->at);
    fci_cell(table, entry->flushing);
    fci_cell(table, span_of(u, dimension, entry->expected).text);
    fci_cell(table, isnan(entry->read)
                        ? BLANK
                        : fci_figure_of(u, dimension, entry->read).text);
    fci_cell(table, isnan(entry->within)
                        ? BLANK
                        : fci_figure_of(u, dimension, entry->within).text);
}

#define N_COLUMNS 6

static struct fci_grid *
entry_table(struct fci_doc *doc, fc_dimension dimension)
{
    const char *p = fc_unit_name(doc->units, dimension);
    const bool flow = dimension == FC_FLOW;
    const struct fci_doc_column columns[N_COLUMNS] = {
        { "reading", "", FCI_LEFT, 8 },
        { flow ? "flow at" : "gauge at", "", FCI_LEFT, 10 },
        { "open", "", FCI_LEFT, 10 },
        { "by file", p, FCI_RIGHT, 0 },
        { "read", p, FCI_RIGHT, 0 },
        { flow ? "may be off" : "gauge +/-", p, FCI_RIGHT, 0 },
    };

    return fci_grid_new(doc, columns, N_COLUMNS);
}

static void
put_table(struct fci_doc *doc, struct fci_grid *table, const char *heading)
{
    if (fci_grid_is_empty(table))
        return;
    fci_doc_heading(doc, "%s", heading);
    fci_doc_put(doc, table);
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
put_to_read(struct fci_doc *doc, const fc_diagnosis *d,
            const fc_flush_result *rest)
{
    const struct entry spare = { "", BLANK, BLANK, { 0 }, NAN, NAN };
    const fc_flush_fixture *top = find_top(rest);
    const struct entry next = next_entry(&d->next);
    struct fci_grid *table = entry_table(doc, FC_FLOW);

    if (d->next.at && d->next.kind == FC_TASK_FLUSH_TIME)
        add_entry(table, doc, FC_FLOW, &next);
    put_table(doc, table, "Flows to read");
    table = entry_table(doc, FC_PRESSURE);
    if (d->next.at && d->next.kind == FC_TASK_PRESSURE)
        add_entry(table, doc, FC_PRESSURE, &next);
    add_sources(table, doc, d, rest);
    if (top && !is_read(d, top->name))
        add_still(table, doc, top->name, top->still);
    for (int i = 0; i < SPARE; i++)
        add_entry(table, doc, FC_PRESSURE, &spare);
    put_table(doc, table, "To read");
    fci_doc_say(doc,
                "By file: at midpoint values; of the next reading what the "
                "causes that are left would show. Read static with nothing "
                "open anywhere.");
}

/* What to do, with room beside it for what is seen or read. */
static void
put_tasks(struct fci_doc *doc, const char *heading, const char *const *tasks,
          size_t n)
{
    static const struct fci_doc_column columns[] = {
        { "", "", FCI_RIGHT, 0 },
        { "", "", FCI_LEFT, 20 },
        { "seen or read", "", FCI_LEFT, 0 },
    };
    struct fci_grid *table = fci_grid_new(doc, columns, 3);

    for (size_t i = 0; i < n; i++) {
        char number[24];

        snprintf(number, sizeof number, "%zu.", i + 1);
        fci_cell(table, number);
        fci_cell(table, tasks[i]);
        fci_cell(table, BLANK BLANK);
    }
    put_table(doc, table, heading);
}

/* ---- What was read ----------------------------------------------------- */

/* Of one dimension, if there are any. */
static void
put_taken(struct fci_doc *doc, const fc_diagnosis *d, fc_dimension dimension,
          const char *heading)
{
    struct fci_grid *table = entry_table(doc, dimension);

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
    put_table(doc, table, heading);
}

/* ---- The whole --------------------------------------------------------- */

static void
put_file(struct fci_doc *doc, const char *label, const char *path,
         const char *digest)
{
    fci_doc_pair(doc, label, "%s", path);
    if (digest)
        fci_doc_pair(doc, "SHA-256", "%.32s %.32s", digest, digest + 32);
}

/* What is set otherwise than by the code stands before all that rests on
 * it. */
static void
put_head(struct fci_doc *doc, const struct fci_diagnosis_view *view)
{
    const char *address = view->site->settings.address;
    const fc_diagnosis *d = view->d;

    fci_doc_for(doc, FCI_IN_TEXT); /* a page has the head of all pages */
    fci_doc_pair(doc, "Site", "%s", d->title ? d->title : "without a title");
    if (address)
        fci_doc_pair(doc, "Address", "%s", address);
    fci_doc_for(doc, FCI_IN_ALL);
    fci_part_overrides(doc, d->overrides, d->n_overrides);
    fci_doc_gap(doc);
    fci_diagnose_verdict(doc, d, FCI_SCREEN_ALL);
    fci_doc_gap(doc);
}

/* What it can be made from again. */
static void
put_origin(struct fci_doc *doc, const struct fci_diagnosis_view *view)
{
    fci_doc_for(doc, FCI_IN_TEXT);
    if (doc->options->site)
        put_file(doc, "Site file", doc->options->site,
                 fc_site_digest(view->site));
    if (view->site->settings.tables)
        put_file(doc, "Tables file", view->site->settings.tables,
                 fc_site_tables_digest(view->site));
    fci_doc_pair(doc, "Made", "%s%sby flushcalc %s",
                 doc->options->made ? doc->options->made : "",
                 doc->options->made ? " " : "", fc_version());
    fci_doc_for(doc, FCI_IN_ALL);
    fci_doc_pair(doc, "Valves", "%s", fci_state_phrase(view->d->state));
}

static void
put_blanks(struct fci_doc *doc)
{
    fci_doc_line(doc, "Date", "Time");
    fci_doc_line(doc, "Read by", "Gauge no., calibrated");
    fci_doc_line(doc, "Water used elsewhere", NULL);
    fci_doc_line(doc, "Remarks", NULL);
}

static void
put_all(struct fci_doc *doc, const struct fci_diagnosis_view *view)
{
    const fc_diagnosis *d = view->d;

    put_head(doc, view);
    put_origin(doc, view);
    put_blanks(doc);
    fci_doc_break(doc);
    put_tasks(doc, "The first visit, with what the file gives", d->first_visit,
              d->n_first_visit);
    put_tasks(doc, "To look at first", d->looks_first, d->n_looks_first);
    if (d->n_readings > 0)
        put_to_read(doc, d, view->rest);
    fci_doc_break(doc);
    if (d->decided)
        fci_diagnose_work(doc, d, FCI_SCREEN_ALL);
    fci_diagnose_next(doc, d, view->free_gauge, false, FCI_SCREEN_ALL);
    fci_doc_break(doc);
    fci_diagnose_by_hand(doc, d, FCI_SCREEN_ALL);
    fci_doc_break(doc);
    put_taken(doc, d, FC_PRESSURE, "Read so far");
    put_taken(doc, d, FC_FLOW, "Flows read so far");
    fci_doc_break(doc);
    fci_doc_for(doc, FCI_IN_DEPTH);
    fci_part_assumptions(doc, d->assumptions, d->n_assumptions);
    fci_doc_for(doc, FCI_IN_ALL);
    fci_doc_break(doc);
    fci_part_cautions(doc);
}

void
fci_sheet_compose(struct fci_doc *doc, const void *what)
{
    const struct fci_diagnosis_view *view = what;
    const char *digest = fc_site_digest(view->site);
    struct fci_page page = { .doc = doc, .site = view->site };

    doc->over = "FIELD SHEET OF GAUGE READINGS";
    doc->under = fci_arena_printf(
        &doc->arena, "%s | flushcalc %s | site file %.12s | %s",
        doc->options->made ? doc->options->made : "undated", fc_version(),
        digest ? digest : "unknown",
        view->d->title ? view->d->title : "without a title");
    fci_page_head(&page, "Field sheet of gauge readings");
    put_all(doc, view);
}
