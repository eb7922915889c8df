/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/diagnose_sheet.c -- a field sheet of the readings worth taking.
 */
#include "report/diagnose_report.h"
#include "report/shared.h"
#include "page/figure.h"
#include "page/table.h"
#include "page/words.h"

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
add_entry(struct table *table, const struct page *page, fc_dimension dimension,
          const struct entry *entry)
{
    const fc_unit_system u = page->units;

    table_add(table, entry->name);
    table_add(table, entry->at);
    table_add(table, entry->flushing);
    table_add(table, entry->expected.given
                         ? figure_range(u, dimension, entry->expected).text
                         : "");
    table_add(table, isnan(entry->read)
                         ? BLANK
                         : figure_of(u, dimension, entry->read).text);
    table_add(table, isnan(entry->within)
                         ? BLANK
                         : figure_of(u, dimension, entry->within).text);
}

#define N_COLUMNS 6

static void
name_columns(struct column *columns, const struct page *page,
             fc_dimension dimension)
{
    const char *p = fc_unit_name(page->units, dimension);

    columns[0] = (struct column){ "reading", "", ALIGN_LEFT, 8 };
    columns[1] =
        (struct column){ dimension == FC_FLOW ? "flow at" : "gauge at", "",
                         ALIGN_LEFT, 10 };
    columns[2] = (struct column){ "open", "", ALIGN_LEFT, 10 };
    columns[3] = (struct column){ "by file", p, ALIGN_RIGHT, 0 };
    columns[4] = (struct column){ "read", p, ALIGN_RIGHT, 0 };
    columns[5] = (struct column){ "gauge +-", p, ALIGN_RIGHT, 0 };
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
add_still(struct table *table, const struct page *page, const char *at,
          fc_range still)
{
    const struct entry entry = { "", at, "nothing", still, NAN, NAN };

    add_entry(table, page, FC_PRESSURE, &entry);
}

/* A site may have several sources. */
static void
add_sources(struct table *table, const struct page *page,
            const fc_diagnosis *d, const fc_flush_result *rest)
{
    for (size_t i = 0; i < rest->n_elements; i++) {
        const fc_flush_element *e = &rest->elements[i];
        const fc_range still = { true, e->still, e->still, e->still };

        if (strcmp(e->kind, "source") == 0 && !is_read(d, e->name))
            add_still(table, page, e->name, still);
    }
}

static void
print_table(struct page *page, struct table *table, const char *heading)
{
    if (table->n_cells == 0 && !table->failed)
        return;
    page_heading(page, "%s", heading);
    table_print(table, page);
}

static void
print_to_take(struct page *page, const fc_diagnosis *d,
              const fc_flush_result *rest)
{
    const fc_flush_fixture *top = find_top(rest);
    const struct entry next = next_entry(&d->next);
    struct column columns[N_COLUMNS];
    struct table table;

    name_columns(columns, page, FC_FLOW);
    table = table_new(columns, N_COLUMNS);
    if (d->next.at && d->next.kind == FC_TASK_FLUSH_TIME)
        add_entry(&table, page, FC_FLOW, &next);
    print_table(page, &table, "Flows to read");
    name_columns(columns, page, FC_PRESSURE);
    table = table_new(columns, N_COLUMNS);
    if (d->next.at && d->next.kind == FC_TASK_PRESSURE)
        add_entry(&table, page, FC_PRESSURE, &next);
    add_sources(&table, page, d, rest);
    if (top && !is_read(d, top->name))
        add_still(&table, page, top->name, top->still);
    print_table(page, &table, "To read");
}

/* ---- What was read ----------------------------------------------------- */

/* Of one dimension, if there are any. */
static void
print_taken(struct page *page, const fc_diagnosis *d, fc_dimension dimension,
            const char *heading)
{
    struct column columns[N_COLUMNS];
    struct table table;

    name_columns(columns, page, dimension);
    table = table_new(columns, N_COLUMNS);
    for (size_t i = 0; i < d->n_readings; i++) {
        const fc_explained_reading *r = &d->readings[i];
        const struct entry entry = {
            r->name,     r->at,
            r->flushing, { true, r->expected, r->expected, r->expected },
            r->read,     r->within
        };

        if (r->dimension == dimension)
            add_entry(&table, page, dimension, &entry);
    }
    print_table(page, &table, heading);
}

/* With room for what is seen. */
static void
print_visit(struct page *page, const fc_diagnosis *d)
{
    if (d->n_first_visit > 0)
        page_heading(page, "The first visit, with what the file gives");
    for (size_t i = 0; i < d->n_first_visit; i++) {
        page_say(page, 2, 5, "%zu. %s", i + 1, d->first_visit[i]);
        page_say(page, 5, 5, BLANK BLANK BLANK BLANK);
    }
}

static void
put_blanks(struct page *page)
{
    static const char *const lines[] = {
        "Date            ____________________  Hour                  "
        "________________",
        "Read by         ____________________  Gauge no., calibrated "
        "________________",
        "Water used elsewhere  ______________________________________________"
        "_______",
        "Remarks         ____________________________________________________"
        "_______",
        "                ____________________________________________________"
        "_______",
    };

    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        page_blank(page);
        fprintf(page->out, "  %s\n", lines[i]);
    }
}

void
diagnose_sheet(struct page *page, const fc_diagnosis *d,
               const fc_flush_result *rest, const char *free_gauge)
{
    page_say(page, 0, 0, "FIELD SHEET OF GAUGE READINGS");
    page_blank(page);
    page_say(page, 2, 2, "%s, %s", d->title ? d->title : "without a title",
             state_phrase(d->state));
    page_say(page, 2, 2, "So far: %s", d->text);
    part_overrides(page, d->overrides, d->n_overrides);
    print_visit(page, d);
    if (d->n_readings > 0)
        print_to_take(page, d, rest);
    if (d->decided)
        diagnose_work(page, d);
    diagnose_next(page, d, free_gauge);
    diagnose_by_hand(page, d);
    print_taken(page, d, FC_PRESSURE, "Read so far");
    print_taken(page, d, FC_FLOW, "Flows read so far");
    if (d->n_readings > 0)
        page_say(
            page, 2, 2,
            "By file: at midpoint values; of the next reading what the causes "
            "that are left would show. Read static with nothing open "
            "anywhere.");
    put_blanks(page);
}
