/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/check_flush.c -- what valves that draw by their own pressure
 * leave each other: how many may flush at once, alone and in the busiest
 * period. */
#include "ground/text_stream.h"
#include "report/check_text.h"
#include "report/shared.h"
#include "report/words.h"

#include <limits.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* A flush valve whose rate is known. */
static bool
flushes(const fc_fixture_state *end)
{
    return end->valve && end->alone.given;
}

static bool
any_flushes(const fc_check_result *result)
{
    for (size_t i = 0; i < result->n_fixtures; i++)
        for (int s = 0; s < FC_STATES; s++)
            if (flushes(&result->fixtures[i].states[s]))
                return true;
    return false;
}

/* ---- How many at once ------------------------------------------------- */

#define MOST_NAME 24 /* columns */

/* "3 of women-wc-6 and 1 of men-wc-6" */
static void
put_set(FILE *out, const fc_ladder *ladder)
{
    for (size_t i = 0; i < ladder->n_first; i++)
        fprintf(out, "%s%d of %s",
                i == 0                     ? ""
                : i + 1 == ladder->n_first ? " and "
                                           : ", ",
                ladder->first[i].count, ladder->first[i].fixture);
}

/* "a 4th", "a 22nd" */
static struct fci_figure
ordinal(int n)
{
    const int last = n % 100 >= 11 && n % 100 <= 13 ? 0 : n % 10;
    struct fci_figure f;

    snprintf(f.text, sizeof f.text, "%s %d%s",
             n == 8 || n == 11 || n == 18 || n / 10 == 8 ? "an" : "a", n,
             last == 1   ? "st"
             : last == 2 ? "nd"
             : last == 3 ? "rd"
                         : "th");
    return f;
}

const char *
fci_check_limit(struct fci_doc *doc, const fc_at_once *n)
{
    static const char *const said[] = {
        [FC_LIMIT_MAIN] = "%s may be too low",
        [FC_LIMIT_SUCTION] = "inlet of %s may be too low",
        [FC_LIMIT_BACKFLOW] = "backflow at %s, maybe",
        [FC_LIMIT_BACKFLOW_FIXTURE] = "backflow at %s, maybe",
        [FC_LIMIT_TANK] = "%s may run too low",
        [FC_LIMIT_ALONE] = "%s short alone",
        [FC_LIMIT_MAYBE_ALONE] = "%s alone may be short",
        [FC_LIMIT_UNTESTED_MAIN] = "%s has no flow test",
        [FC_LIMIT_READINGS] = "readings contradict the file",
    };

    if (n->limit == FC_NO_LIMIT)
        return NULL;
    return n->limit_at
               ? fci_arena_printf(&doc->arena, said[n->limit],
                                  fci_short_name(doc, n->limit_at, MOST_NAME))
               : said[n->limit];
}

static void
put_at_once(FILE *out, struct fci_doc *doc, const fc_check_result *result,
            fc_state state)
{
    const fc_at_once *n = result->states[state].at_once;
    const size_t at = result->states[state].starved;
    const char *limit = fci_check_limit(doc, n);

    if (limit) {
        if (n->low > 0)
            fprintf(out, "up to %d for certain; with more %s.", n->low, limit);
        else
            fprintf(out, "%s: %s.",
                    n->limit == FC_LIMIT_ALONE ? "not even 1" : "cannot tell",
                    limit);
    } else if (at >= result->n_fixtures) {
        fputs("all; even so none is below its valve's minimum.", out);
    } else {
        const fc_ladder *ladder = &result->fixtures[at].states[state].ladder;
        const char *name = result->fixtures[at].name;

        if (ladder->could == 0) {
            fprintf(out,
                    "not even 1; %s is below its valve's minimum when it "
                    "flushes alone.",
                    name);
        } else {
            fprintf(out, "up to %d", n->most);
            if (n->most < ladder->could)
                fprintf(out, ", proved; %d at most", ladder->could);
            fprintf(out, "; %s can starve %s (",
                    ordinal(ladder->could + 1).text, name);
            put_set(out, ladder);
            fputs(").", out);
        }
    }
    if (!limit && n->low < n->high)
        fprintf(out, " In the worst case %d, in the best case %d.", n->low,
                n->high);
}

static void
say_at_once(struct fci_doc *doc, const fc_check_result *result, fc_state state)
{
    char *text = NULL;
    size_t size;
    FILE *out = fci_text_stream(&text, &size);

    if (out && result->states[state].at_once)
        put_at_once(out, doc, result, state);
    if (!out || fclose(out) != 0 || !text)
        doc->failed = true;
    else if (*text)
        fci_doc_pair(doc,
                     !doc->converted        ? "At once"
                     : state == FC_RETROFIT ? "After retrofit"
                                            : "Existing",
                     "%s", text);
    free(text);
}

/* ---- Alone, and in the busiest period --------------------------------- */

static struct fci_figure
said_most(const fc_ladder *ladder)
{
    struct fci_figure f = { "-" };

    if (ladder->given && ladder->most < ladder->could)
        snprintf(f.text, sizeof f.text, "%d, maybe %d", ladder->low,
                 ladder->could);
    else if (ladder->given && ladder->low < ladder->high)
        snprintf(f.text, sizeof f.text, "%d..%d", ladder->low, ladder->high);
    else if (ladder->given)
        snprintf(f.text, sizeof f.text, "%s%d", ladder->all ? "all " : "",
                 ladder->most);
    return f;
}

double
fci_most_weak(const fc_busy *busy)
{
    return !busy->weak.given        ? (double)NAN
           : busy->weak_worst.given ? busy->weak_worst.estimate
                                    : busy->weak.estimate;
}

struct fci_figure
fci_check_chance(double chance)
{
    struct fci_figure f = fci_figure_number(100.0 * chance, 1);
    const struct fci_figure most = fci_figure_number(100.0 * FC_MOST_WEAK, 1);

    if (chance > 0.0 && strcmp(f.text, "0.0") == 0)
        snprintf(f.text, sizeof f.text, "<0.1");
    else if (chance > FC_MOST_WEAK && strcmp(f.text, most.text) == 0)
        fc_show_number(FC_UP, 2, 100.0 * chance, f.text, sizeof f.text);
    return f;
}

/* The interval, rounded outward. */
static struct fci_figure
said_interval(const fc_chance *chance)
{
    struct fci_figure f, low, high;

    fc_show_number(FC_DOWN, 1, 100.0 * chance->low, low.text, sizeof low.text);
    fc_show_number(FC_UP, 1, 100.0 * chance->high, high.text,
                   sizeof high.text);
    snprintf(f.text, sizeof f.text, "%.20s..%.20s", low.text, high.text);
    return f;
}

/* From the good ends of the inputs to the bad. */
static struct fci_figure
said_ends(const fc_busy *busy)
{
    struct fci_figure f = { "-" };

    if (busy->weak_worst.given && busy->weak_best.given)
        snprintf(f.text, sizeof f.text, "%.20s..%.20s",
                 fci_check_chance(busy->weak_best.estimate).text,
                 fci_check_chance(busy->weak_worst.estimate).text);
    return f;
}

static bool
has_ends(const fc_check_result *result)
{
    for (size_t i = 0; i < result->n_fixtures; i++)
        for (int s = 0; s < FC_STATES; s++)
            if (result->fixtures[i].states[s].busy.weak_worst.given)
                return true;
    return false;
}

static struct fci_row
alone_row(const struct fci_doc *doc, const fc_fixture_state *end)
{
    struct fci_row row = { 0 };

    fci_row_add(&row, fci_figure_range(doc->units, FC_PRESSURE, end->alone));
    fci_row_add(&row, said_most(&end->ladder));
    return row;
}

static struct fci_row
busy_row(const struct fci_doc *doc, const fc_fixture_state *end, bool ends)
{
    static const struct fci_figure none = { "-" };
    const fc_busy *busy = &end->busy;
    struct fci_row row = { 0 };

    if (!busy->weak.given) {
        for (int i = 0; i < 4 + ends; i++)
            fci_row_add(&row, none);
        return row;
    }
    fci_row_add(&row, fci_check_chance(busy->weak.estimate));
    fci_row_add(&row, said_interval(&busy->weak));
    if (ends)
        fci_row_add(&row, said_ends(busy));
    fci_row_add(&row, fci_figure_of(doc->units, FC_PRESSURE, busy->mean));
    fci_row_add(&row, fci_figure_of(doc->units, FC_PRESSURE, busy->fifth));
    return row;
}

/* Whether what feeds them limits how many, otherwise than by their own
 * minimums. */
static bool
limited(const fc_check_result *result)
{
    for (int s = 0; s < FC_STATES; s++) {
        const fc_at_once *n = result->states[s].at_once;

        if (n && n->limit != FC_NO_LIMIT && n->limit != FC_LIMIT_ALONE
            && n->limit != FC_LIMIT_MAYBE_ALONE)
            return true;
    }
    return false;
}

static void
put_alone(struct fci_doc *doc, const fc_check_result *result)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const struct fci_doc_column columns[] = {
        { "fixture", "", FCI_LEFT, 10 },
        { "alone", p, FCI_RIGHT, 0 },
        { "most\nat once", "", FCI_RIGHT, 0 },
    };
    struct fci_grid *grid = fci_check_table(doc, result, columns,
                                            sizeof columns / sizeof *columns);

    for (size_t i = 0; i < result->n_fixtures; i++) {
        const fc_fixture_state *s = result->fixtures[i].states;
        const struct fci_row rows[] = { alone_row(doc, &s[FC_EXISTING]),
                                        alone_row(doc, &s[FC_RETROFIT]) };

        if (flushes(&s[FC_EXISTING]) || flushes(&s[FC_RETROFIT]))
            fci_check_rows(grid, result, result->fixtures[i].name, rows);
    }
    fci_part_table(doc, grid, 1);
    fci_doc_say(doc,
                "Alone: it flushes by itself. Most at once: valves that may "
                "flush, itself and those that hurt it most, before it is "
                "below its valve minimum%s.",
                limited(result) ? " while its supply lasts" : "");
}

static void
put_busy(struct fci_doc *doc, const fc_check_result *result, fc_state state)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const bool ends = has_ends(result);
    const struct fci_doc_column all[] = {
        { "fixture", "", FCI_LEFT, 10 },
        { "weak", "%", FCI_RIGHT, 0 },
        { "interval", "%", FCI_RIGHT, 0 },
        { "with the\nranges", "%", FCI_RIGHT, 0 },
        { "mean", p, FCI_RIGHT, 0 },
        { "5%\nbelow", p, FCI_RIGHT, 0 },
    };
    struct fci_doc_column columns[sizeof all / sizeof *all];
    struct fci_grid *grid;
    size_t n = 0;

    for (size_t i = 0; i < sizeof all / sizeof *all; i++)
        if (i != 3 || ends)
            columns[n++] = all[i];
    grid = fci_check_table(doc, result, columns, n);
    fci_doc_heading(doc, "Flushes in the busiest period");
    for (size_t i = 0; i < result->n_fixtures; i++) {
        const fc_fixture_state *s = result->fixtures[i].states;
        const struct fci_row rows[] = { busy_row(doc, &s[FC_EXISTING], ends),
                                        busy_row(doc, &s[FC_RETROFIT], ends) };

        if (flushes(&s[FC_EXISTING]) || flushes(&s[FC_RETROFIT]))
            fci_check_rows(grid, result, result->fixtures[i].name, rows);
    }
    fci_part_table(doc, grid, 1);
    fci_doc_say(doc,
                "Weak: share of its flushes below the valve minimum. "
                "Interval: that share lies in it with 95%% confidence. Mean: "
                "its mean flowing pressure; 5%% of its flushes are below the "
                "last column.%s",
                result->states[state].narrow
                    ? ""
                    : " Some intervals stay wide, however many states are "
                      "drawn.");
    if (ends)
        fci_doc_say(doc, "That is at midpoint values of the ranges; its "
                         "interval is of the sampling alone. With the ranges: "
                         "best case to worst case.");
}

/* ---- What shares the pipes -------------------------------------------- */

static bool
shares(const fc_checked_fixture *f)
{
    return f->states[FC_EXISTING].shared.given
           || f->states[FC_RETROFIT].shared.given;
}

static struct fci_row
shared_row(const struct fci_doc *doc, const fc_checked_fixture *f,
           fc_state state)
{
    const fc_range shared = f->states[state].shared;
    const double fall = shared.given
                            ? f->static_pressure.nominal - shared.nominal
                            : (double)NAN;
    struct fci_row row = { 0 };

    fci_row_add(&row, fci_figure_range(doc->units, FC_PRESSURE, shared));
    fci_row_add(&row, fci_figure_margin(doc->units, FC_PRESSURE, fall));
    return row;
}

/* Whether its fall can be seen in a state. */
static bool
falls(const struct fci_doc *doc, const struct fci_row *row)
{
    const struct fci_figure none = fci_figure_of(doc->units, FC_PRESSURE, 0.0);

    return strcmp(row->texts[1].text, none.text) != 0
           && strcmp(row->texts[1].text, "-") != 0;
}

static void
put_sharing(struct fci_doc *doc, const fc_check_result *result)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const struct fci_doc_column columns[] = {
        { "fixture", "", FCI_LEFT, 10 },
        { "pressure", p, FCI_RIGHT, 0 },
        { "drop", p, FCI_RIGHT, 0 },
    };
    struct fci_grid *grid = fci_check_table(doc, result, columns,
                                            sizeof columns / sizeof *columns);
    size_t unmoved = 0;

    for (size_t i = 0; i < result->n_fixtures; i++) {
        const fc_checked_fixture *f = &result->fixtures[i];
        const struct fci_row rows[] = { shared_row(doc, f, FC_EXISTING),
                                        shared_row(doc, f, FC_RETROFIT) };

        if (shares(f) && (falls(doc, &rows[0]) || falls(doc, &rows[1])))
            fci_check_rows(grid, result, f->name, rows);
        else
            unmoved += shares(f);
    }
    fci_doc_heading(doc, "Other fixtures while as few valves flush as starve "
                         "one, or all of them");
    fci_part_table(doc, grid, 1);
    if (unmoved > 0)
        fci_doc_say(doc, "%zu more keep%s static pressure.", unmoved,
                    unmoved == 1 ? "s" : "");
}

/* ---- The whole -------------------------------------------------------- */

void
fci_check_text_flush(struct fci_doc *doc, const fc_check_result *result)
{
    bool sharing = false;

    if (!any_flushes(result))
        return;
    fci_doc_heading(doc, "Flush valves at once");
    say_at_once(doc, result, FC_EXISTING);
    if (result->converted)
        say_at_once(doc, result, FC_RETROFIT);
    fci_doc_gap(doc);
    put_alone(doc, result);
    if (result->states[FC_EXISTING].states_drawn > 0
        || result->states[FC_RETROFIT].states_drawn > 0)
        put_busy(doc, result, fci_judged_state(result));
    for (size_t i = 0; i < result->n_fixtures; i++)
        sharing = sharing || shares(&result->fixtures[i]);
    if (sharing)
        put_sharing(doc, result);
}
