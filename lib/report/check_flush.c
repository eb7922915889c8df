/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/check_flush.c -- what valves that draw by their own pressure
 * leave each other: how many may flush at once, alone and in the busiest
 * period. */
#include "report/check_text.h"
#include "page/figure.h"
#include "report/words.h"

#include <limits.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A flush valve whose rate is known. */
static bool
flushes(const fc_fixture_state *end)
{
    return end->valve && end->alone.given;
}

static bool
any_flushes(const fc_check_result *result, fc_state state)
{
    for (size_t i = 0; i < result->n_fixtures; i++)
        if (flushes(&result->fixtures[i].states[state]))
            return true;
    return false;
}

/* ---- How many at once ------------------------------------------------- */

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

/* How many may be open at once before the first valve of all is starved. */
struct at_once {
    int most, low, high; /* with the inputs at their middle, worst and best */
    bool all;            /* at the middle every valve of the building */
};

static struct at_once
building_at_once(const fc_check_result *result, fc_state state)
{
    struct at_once least = { INT_MAX, INT_MAX, INT_MAX,
                             result->states[state].starved
                                 >= result->n_fixtures };

    for (size_t i = 0; i < result->n_fixtures; i++) {
        const fc_ladder *ladder = &result->fixtures[i].states[state].ladder;

        if (!ladder->given)
            continue;
        least.most = ladder->most < least.most ? ladder->most : least.most;
        least.low = ladder->low < least.low ? ladder->low : least.low;
        least.high = ladder->high < least.high ? ladder->high : least.high;
    }
    return least;
}

/* How the number moves with what is not known exactly. */
static void
put_bounds(FILE *out, const struct at_once *n)
{
    if (n->low < n->high)
        fprintf(out,
                " With what is not known exactly it is %d at worst and "
                "%d at best.",
                n->low, n->high);
}

static void
put_starved(FILE *out, const fc_checked_fixture *f, const fc_ladder *ladder)
{
    if (ladder->most == 0) {
        fprintf(out,
                "not even one everywhere: %s is below its valve's own minimum "
                "when it flushes alone.",
                f->name);
    } else {
        if (ladder->most == 1)
            fputs("any one", out);
        else
            fprintf(out, "any %d", ladder->most);
        fprintf(out,
                "; %d can bring one below its valve's own minimum: %s, with ",
                ladder->most + 1, f->name);
        put_set(out, ladder);
        fputs(" open.", out);
    }
}

static void
say_at_once(struct fci_doc *doc, const fc_check_result *result, fc_state state)
{
    const struct at_once n = building_at_once(result, state);
    size_t starved = result->states[state].starved;
    const char *when =
        state == FC_RETROFIT ? "After the retrofit" : "As it stands";
    char *text = NULL;
    size_t size;
    FILE *out = open_memstream(&text, &size);

    if (!out) {
        doc->failed = true;
        return;
    }
    if (starved < result->n_fixtures)
        put_starved(out, &result->fixtures[starved],
                    &result->fixtures[starved].states[state].ladder);
    else
        fputs("all of them; even so none is below its valve's own minimum.",
              out);
    put_bounds(out, &n);
    if (fclose(out) != 0)
        doc->failed = true;
    else
        fci_doc_say(doc, "%s: %s", when, text);
    free(text);
}

/* "any 3", "any one (0..2 with the ranges)" */
static void
put_any(FILE *out, const fc_check_result *result, fc_state state)
{
    const struct at_once n = building_at_once(result, state);

    if (n.all)
        fputs("all", out);
    else if (n.most == 0)
        fputs("not even one", out);
    else if (n.most == 1)
        fputs("any one", out);
    else
        fprintf(out, "any %d", n.most);
    if (n.low < n.high)
        fprintf(out, " (%d..%d with the ranges)", n.low, n.high);
}

void
fci_check_text_at_once(struct fci_doc *doc, const fc_check_result *result)
{
    fc_state state = fci_judged_state(result);
    char *text = NULL;
    size_t size;
    FILE *out;

    if (!any_flushes(result, state))
        return;
    out = open_memstream(&text, &size);
    if (!out) {
        doc->failed = true;
        return;
    }
    put_any(out, result, state);
    if (result->converted && any_flushes(result, FC_EXISTING)) {
        fputs(" after the retrofit, ", out);
        put_any(out, result, FC_EXISTING);
        fputs(" as it stands", out);
    }
    if (fclose(out) != 0)
        doc->failed = true;
    else
        fci_doc_say(doc, "Flush valves that may be open at once: %s.", text);
    free(text);
}

/* ---- Static, alone, at peak ------------------------------------------- */

static void
add_range(struct fci_grid *table, const struct fci_doc *doc, fc_range range)
{
    fci_cell(table, fci_figure_range(doc->units, FC_PRESSURE, range).text);
}

static struct fci_figure
said_most(const fc_ladder *ladder)
{
    struct fci_figure f = { "-" };

    if (ladder->given && ladder->low < ladder->high)
        snprintf(f.text, sizeof f.text, "%d..%d", ladder->low, ladder->high);
    else if (ladder->given)
        snprintf(f.text, sizeof f.text, "%s%d", ladder->all ? "all " : "",
                 ladder->most);
    return f;
}

/* A chance in per cent; what is not zero does not look like it. */
static struct fci_figure
said_chance(double chance)
{
    struct fci_figure f = fci_figure_number(100.0 * chance, 1);

    if (chance > 0.0 && strcmp(f.text, "0.0") == 0)
        snprintf(f.text, sizeof f.text, "<0.1");
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
                 said_chance(busy->weak_best.estimate).text,
                 said_chance(busy->weak_worst.estimate).text);
    return f;
}

static void
add_busy(struct fci_grid *table, const struct fci_doc *doc,
         const fc_busy *busy, bool ends)
{
    if (!busy->weak.given) {
        for (int i = 0; i < 4 + ends; i++)
            fci_cell(table, "-");
        return;
    }
    fci_cell(table, said_chance(busy->weak.estimate).text);
    fci_cell(table, said_interval(&busy->weak).text);
    if (ends)
        fci_cell(table, said_ends(busy).text);
    fci_cell(table, fci_figure_of(doc->units, FC_PRESSURE, busy->mean).text);
    fci_cell(table, fci_figure_of(doc->units, FC_PRESSURE, busy->fifth).text);
}

static bool
has_ranges(const fc_check_result *result)
{
    for (size_t i = 0; i < result->n_fixtures; i++)
        for (int s = 0; s < FC_STATES; s++)
            if (fci_figure_differs(result->units, FC_PRESSURE,
                                   result->fixtures[i].static_pressure)
                || fci_figure_differs(result->units, FC_PRESSURE,
                                      result->fixtures[i].states[s].alone)
                || fci_figure_differs(result->units, FC_PRESSURE,
                                      result->fixtures[i].states[s].flowing))
                return true;
    return false;
}

/* Ranges take twice the width: then there are two tables, `part` 0 and 1; the
 * whole is part 2. */
enum part { PRESSURES, BUSY, WHOLE };

static void
print_part(struct fci_doc *doc, const fc_check_result *result, fc_state state,
           enum part part)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const struct fci_doc_column all[] = {
        { "fixture", "", FCI_LEFT, 8 },        { "static", p, FCI_RIGHT, 0 },
        { "alone", p, FCI_RIGHT, 0 },          { "at\npeak", p, FCI_RIGHT, 0 },
        { "most\nat once", "", FCI_RIGHT, 0 }, { "weak", "%", FCI_RIGHT, 0 },
        { "interval", "%", FCI_RIGHT, 0 },     { "mean", p, FCI_RIGHT, 0 },
        { "5 %\nbelow", p, FCI_RIGHT, 0 },
    };
    const struct fci_doc_column ends = { "with the\nranges", "%", FCI_RIGHT,
                                         0 };
    const struct fci_doc_column busy[] = { all[0], all[5], all[6],
                                           ends,   all[7], all[8] };
    struct fci_grid *table =
        part == BUSY ? fci_grid_new(doc, busy, 6)
                     : fci_grid_new(doc, all, part == WHOLE ? 9 : 5);

    for (size_t i = 0; i < result->n_fixtures; i++) {
        const fc_checked_fixture *f = &result->fixtures[i];
        const fc_fixture_state *end = &f->states[state];

        if (!flushes(end))
            continue;
        fci_cell(table, f->name);
        if (part != BUSY) {
            add_range(table, doc, f->static_pressure);
            add_range(table, doc, end->alone);
            add_range(table, doc, end->flowing);
            fci_cell(table, said_most(&end->ladder).text);
        }
        if (part != PRESSURES)
            add_busy(table, doc, &end->busy, part == BUSY);
    }
    fci_doc_put(doc, table);
}

static void
print_flushing(struct fci_doc *doc, const fc_check_result *result,
               fc_state state, const char *when)
{
    fci_doc_heading(doc, "When they flush, %s", when);
    if (has_ranges(result)) {
        print_part(doc, result, state, PRESSURES);
        fci_doc_gap(doc);
        print_part(doc, result, state, BUSY);
    } else {
        print_part(doc, result, state, WHOLE);
    }
}

static bool
same_busy(const struct fci_doc *doc, const fc_busy *a, const fc_busy *b)
{
    return a->weak.given == b->weak.given
           && strcmp(said_chance(a->weak.estimate).text,
                     said_chance(b->weak.estimate).text)
                  == 0
           && strcmp(fci_figure_of(doc->units, FC_PRESSURE, a->mean).text,
                     fci_figure_of(doc->units, FC_PRESSURE, b->mean).text)
                  == 0;
}

static bool
same_in_both(const struct fci_doc *doc, const fc_check_result *result)
{
    for (size_t i = 0; i < result->n_fixtures; i++) {
        const fc_fixture_state *s = result->fixtures[i].states;

        if (flushes(&s[0]) != flushes(&s[1])
            || !fci_figure_same(doc->units, s[0].alone, s[1].alone)
            || !fci_figure_same(doc->units, s[0].flowing, s[1].flowing)
            || strcmp(said_most(&s[0].ladder).text,
                      said_most(&s[1].ladder).text)
                   != 0
            || !same_busy(doc, &s[0].busy, &s[1].busy))
            return false;
    }
    return true;
}

static void
say_columns(struct fci_doc *doc, const fc_check_result *result, fc_state state)
{
    const fc_checked_state *s = &result->states[state];

    fci_doc_say(
        doc, "Static: nothing flows. Alone: it flushes by itself. At peak: "
             "every pipe carries its peak demand, as in the table of "
             "fixtures. Most at once: valves, this one among them and the "
             "others those that hurt it most, until it has less than its own "
             "minimum.");
    if (s->states_drawn > 0) {
        fci_doc_say(doc,
                    "In the busiest period: the part of its flushes that have "
                    "less than the valve's own minimum, the interval in which "
                    "that part lies with 95 %% confidence, the mean flowing "
                    "pressure, and the one that 5 %% of its flushes fall "
                    "below.%s",
                    s->narrow
                        ? ""
                        : " Even all the states that were drawn leave some "
                          "intervals wide.");
        if (has_ranges(result))
            fci_doc_say(
                doc, "That is at midpoint values of the ranges, and its "
                     "interval that of the drawing alone. With the ranges: "
                     "the part that is weak in the best case and in the worst "
                     "case.");
    }
}

/* ---- What shares the pipes -------------------------------------------- */

static bool
shares(const fc_fixture_state *end)
{
    return end->shared.given;
}

static double
fall_in(const fc_checked_fixture *f, fc_state state)
{
    return f->static_pressure.nominal - f->states[state].shared.nominal;
}

/* Whether the set of either state can be seen in its pressure. */
static bool
falls(const fc_check_result *result, const fc_checked_fixture *f)
{
    struct fci_figure none = fci_figure_of(result->units, FC_PRESSURE, 0.0);
    bool any = false;

    for (int s = 0; s < (result->converted ? FC_STATES : 1); s++)
        any = any
              || strcmp(fci_figure_of(result->units, FC_PRESSURE,
                                      fall_in(f, (fc_state)s))
                            .text,
                        none.text)
                     != 0;
    return any;
}

static void
add_sharing(struct fci_grid *table, const struct fci_doc *doc,
            const fc_check_result *result, const fc_checked_fixture *f,
            fc_state state)
{
    fci_cell(table, f->name);
    fci_cell(table, f->kind);
    add_range(table, doc, f->static_pressure);
    add_range(table, doc, f->states[state].shared);
    fci_cell(
        table,
        fci_figure_margin(doc->units, FC_PRESSURE, fall_in(f, state)).text);
    if (result->converted)
        add_range(table, doc, f->states[FC_EXISTING].shared);
}

static void
print_sharing(struct fci_doc *doc, const fc_check_result *result,
              fc_state state)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const struct fci_doc_column columns[] = {
        { "fixture", "", FCI_LEFT, 10 },
        { "kind", "", FCI_LEFT, 10 },
        { "static", p, FCI_RIGHT, 0 },
        { fci_state_phrase(state), p, FCI_RIGHT, 0 },
        { "fall", p, FCI_RIGHT, 0 },
        { fci_state_phrase(FC_EXISTING), p, FCI_RIGHT, 0 },
    };
    struct fci_grid *table =
        fci_grid_new(doc, columns, result->converted ? 6 : 5);

    size_t unmoved = 0;

    for (size_t i = 0; i < result->n_fixtures; i++) {
        const fc_checked_fixture *f = &result->fixtures[i];

        if (!shares(&f->states[state]))
            continue;
        if (falls(result, f))
            add_sharing(table, doc, result, f, state);
        else
            unmoved++;
    }
    fci_doc_heading(doc, "What else hangs on the pipes, while %s",
                    result->states[state].starved < result->n_fixtures
                        ? "the set that first starves a valve flushes"
                        : "all valves flush");
    fci_doc_put(doc, table);
    if (unmoved > 0)
        fci_doc_say(doc, "%zu more keep what they have.", unmoved);
}

/* ---- The whole -------------------------------------------------------- */

void
fci_check_text_flush(struct fci_doc *doc, const fc_check_result *result)
{
    fc_state state = fci_judged_state(result);
    bool sharing = false;

    if (!any_flushes(result, state))
        return;
    fci_doc_heading(doc, "How many may flush at once");
    say_at_once(doc, result, state);
    if (result->converted)
        say_at_once(doc, result, FC_EXISTING);
    if (!result->converted) {
        print_flushing(doc, result, state, "as it stands");
    } else if (same_in_both(doc, result)) {
        print_flushing(doc, result, state,
                       "as it stands and after the retrofit: the same in "
                       "both");
    } else {
        print_flushing(doc, result, state, "after the retrofit");
        if (any_flushes(result, FC_EXISTING))
            print_flushing(doc, result, FC_EXISTING, "as it stands");
    }
    say_columns(doc, result, state);
    for (size_t i = 0; i < result->n_fixtures; i++)
        sharing = sharing || shares(&result->fixtures[i].states[state]);
    if (sharing)
        print_sharing(doc, result, state);
}
