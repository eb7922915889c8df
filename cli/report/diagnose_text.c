/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/diagnose_text.c -- the report of `diagnose` for a person. */
#include "report/diagnose_report.h"
#include "page/figure.h"
#include "report/shared.h"
#include "page/table.h"
#include "page/words.h"

#include <string.h>

#define MOST_LISTED 4  /* fixtures of a reading to be written down */
#define MOST_CAUSES 12 /* lines of the table; JSON has them all */
/* Columns of an answer, before its chance and what it means. */
#define ANSWER_WIDTH 16
#define TIMED_WIDTH 24
#define ANSWER_ROOM 96

/* ---- The answer ------------------------------------------------------- */

/* Of a sound building a valve that runs on looks like a contradiction: a cause
 * that explains all readings comes before it. */
enum outcome
outcome_of(const fc_diagnosis *d)
{
    if (d->contradictory && (d->as_described || !d->explained))
        return OUTCOME_CONTRADICTORY;
    if (d->as_described)
        return !d->any_flowing ? OUTCOME_STILL
               : d->too_little ? OUTCOME_TOO_LITTLE
                               : OUTCOME_AS_DESCRIBED;
    if (!d->explained)
        return OUTCOME_UNEXPLAINED;
    return d->decided ? OUTCOME_FOUND : OUTCOME_SEVERAL;
}

static void
say_several(struct page *page, const fc_diagnosis *d)
{
    if (d->n_groups == 1 && d->groups[0].single)
        page_say_tinted(page, TINT_UNSURE, "NARROWED DOWN", "to: %s.",
                        d->groups[0].text);
    else if (d->n_groups == 1)
        page_say_tinted(page, TINT_UNSURE, "SEVERAL LEFT",
                        "that these readings cannot tell apart: %s.",
                        d->groups[0].text);
    else if (d->causes[0].n_faults > 1)
        page_say_tinted(page, TINT_UNSURE, "SEVERAL LEFT:",
                        "no single cause explains the readings; of pairs the "
                        "likeliest (%s %%): %s.",
                        figure_number(100.0 * d->groups[0].weight, 0).text,
                        d->groups[0].text);
    else
        page_say_tinted(page, TINT_UNSURE, "SEVERAL LEFT:",
                        "%zu groups of causes; the likeliest (%s %%): %s.",
                        d->n_groups,
                        figure_number(100.0 * d->groups[0].weight, 0).text,
                        d->groups[0].text);
}

static void
say_as_described(struct page *page, const fc_diagnosis *d)
{
    if (d->n_readings == 1)
        page_say_tinted(page, TINT_GOOD, "AS DESCRIBED",
                        "by the one reading: it lies within its accuracy of "
                        "what the supply should give.");
    else
        page_say_tinted(page, TINT_GOOD, "AS DESCRIBED",
                        "by %s readings: they lie within their accuracy of "
                        "what the supply should give.",
                        d->n_readings == 2 ? "both" : "all");
    page_say(page, 0, 0, "Look at the valve, the bowl or the drain.");
}

static void
say_too_little(struct page *page, const fc_diagnosis *d)
{
    for (size_t i = 0; i < d->n_findings; i++)
        if (d->findings[i].code == FC_FOUND_TOO_LITTLE)
            page_say_tinted(page, TINT_BAD,
                            "AS DESCRIBED, AND TOO LITTLE:", "%s.",
                            d->findings[i].text);
    page_say(page, 0, 0,
             "All readings lie within their accuracy of what the supply "
             "should give: it is the supply, and no fault on the way.");
}

static void
say_outcome(struct page *page, const fc_diagnosis *d)
{
    switch (outcome_of(d)) {
    case OUTCOME_AS_DESCRIBED:
        say_as_described(page, d);
        break;
    case OUTCOME_TOO_LITTLE:
        say_too_little(page, d);
        break;
    case OUTCOME_STILL:
        page_say_tinted(page, TINT_UNSURE, "NOT TRIED FLOWING",
                        "so far: with nothing flowing the supply is as "
                        "described, which tells nothing of meters, pipes and "
                        "valves. Take a reading while one valve flushes, at "
                        "its inlet and at the supply.");
        break;
    case OUTCOME_FOUND:
        page_say_tinted(page, TINT_BAD, "FOUND",
                        "what explains the readings: %s.", d->found);
        break;
    case OUTCOME_SEVERAL:
        say_several(page, d);
        break;
    case OUTCOME_UNEXPLAINED:
        page_say_tinted(page, TINT_UNSURE, "NOT EXPLAINED",
                        "by one cause or two together: the site is not as "
                        "described in more than that, or a reading is wrong.");
        break;
    case OUTCOME_CONTRADICTORY:
        page_say_tinted(page, TINT_UNSURE, "CONTRADICTORY",
                        "readings; take them again before anything is made of "
                        "them.");
        break;
    }
    if (d->contradictory && d->explained)
        page_say(page, 0, 0,
                 "Of a sound building these readings cannot all be true; what "
                 "is named here explains them.");
}

/* ---- The next reading ------------------------------------------------- */

static void
say_answer(struct page *page, const fc_next_reading *next,
           const fc_answer_meant *answer)
{
    const fc_range range = { true, answer->value, answer->low, answer->high };
    const struct figure figure =
        figure_range_said(page->units, next->dimension, range);
    const size_t width = next->volume > 0 ? TIMED_WIDTH : ANSWER_WIDTH;
    char text[ANSWER_ROOM];

    if (next->volume > 0)
        snprintf(
            text, sizeof text, "%.40s (%s)",
            figure_said(page->units, FC_TIME, next->volume / answer->value)
                .text,
            figure.text);
    else
        snprintf(text, sizeof text, "%s", figure.text);
    page_spaces(page, 4);
    text_write(page->out, text, strlen(text));
    page_spaces(page,
                width > text_width(text) + 1 ? width - text_width(text) : 1);
    fprintf(page->out, "%3.0f %% ", 100.0 * answer->weight);
    page_go_on(page, 4 + width + 6, 4 + width + 6, "%s", answer->text);
}

/* As the site file takes it; of a whole floor it would be a long line. */
static void
print_block(struct page *page, const fc_next_reading *next)
{
    FILE *out = page->out;

    if (!next->at || next->n_flush > MOST_LISTED)
        return;
    page_say(page, 2, 2, "In the site file, under a name that is free:");
    fprintf(out, "    [reading next]\n    at = %s\n", next->at);
    fprintf(out, "    flushing = %s", next->n_flush == 0 ? "none" : "");
    for (size_t i = 0; i < next->n_flush; i++)
        fprintf(out, "%s%d of %s", i > 0 ? ", " : "", next->flush[i].count,
                next->flush[i].fixture);
    if (next->dimension == FC_FLOW && !(next->volume > 0))
        fprintf(out, "\n    flow = ____ %s\n",
                fc_unit_name(page->units, FC_FLOW));
    else if (next->dimension == FC_FLOW)
        fprintf(out, "\n    flush time = ____ s\n");
    else
        fprintf(out, "\n    pressure = ____ %s\n",
                fc_unit_name(page->units, FC_PRESSURE));
}

void
diagnose_next(struct page *page, const fc_next_reading *next)
{
    if (!next->text)
        return;
    page_heading(page, "The next reading");
    if (next->n_answers == 0)
        page_say(page, 2, 2, "%s", next->text);
    else
        page_say(page, 2, 2,
                 "%s. %s, by what chance, and that means:", next->task,
                 next->dimension == FC_FLOW ? "It takes" : "It shows");
    for (size_t i = 0; i < next->n_answers; i++)
        say_answer(page, next, &next->answers[i]);
    print_block(page, next);
}

/* ---- The readings ----------------------------------------------------- */

static void
add_reading(struct table *table, fc_unit_system u,
            const fc_explained_reading *r)
{
    table_add(table, r->name);
    table_add(table, r->at);
    table_add(table, r->flushing);
    table_add(table, figure_of(u, r->dimension, r->read).text);
    table_add(table, figure_of(u, r->dimension, r->expected).text);
    table_add_tinted(table, figure_margin(u, r->dimension, r->difference).text,
                     r->as_described ? TINT_NONE : TINT_BAD);
    table_add(table, figure_of(u, r->dimension, r->within).text);
}

/* Those of one dimension, if there are any. */
static bool
print_read(struct page *page, const fc_diagnosis *d, fc_dimension dimension,
           const char *heading)
{
    const fc_unit_system u = page->units;
    const char *p = fc_unit_name(u, dimension);
    const struct column columns[] = {
        { "reading", "", ALIGN_LEFT, 8 },  { "at", "", ALIGN_LEFT, 8 },
        { "flushing", "", ALIGN_LEFT, 9 }, { "read", p, ALIGN_RIGHT, 0 },
        { "expected", p, ALIGN_RIGHT, 0 }, { "difference", p, ALIGN_RIGHT, 0 },
        { "within", p, ALIGN_RIGHT, 0 },
    };
    struct table table = table_new(columns, 7);

    for (size_t i = 0; i < d->n_readings; i++)
        if (d->readings[i].dimension == dimension)
            add_reading(&table, u, &d->readings[i]);
    if (table.n_cells == 0 && !table.failed)
        return false;
    page_heading(page, "%s", heading);
    table_print(&table, page);
    return true;
}

static void
print_readings(struct page *page, const fc_diagnosis *d)
{
    if (print_read(page, d, FC_PRESSURE, "The readings"))
        page_say(page, 2, 2,
                 "Expected: by the site as described, at the middle of every "
                 "range. Within: what the gauge may be off by; 2 psi (14 kPa) "
                 "where the file does not say.");
    if (print_read(page, d, FC_FLOW, "Flows that were read"))
        page_say(page, 2, 2,
                 "Expected: by the site as described, of one valve at a "
                 "fixture, else of the element. Within: 10 %% of what was "
                 "read, and no less than 0.1 gpm (0.4 L/min; common "
                 "practice).");
}

/* ---- The causes ------------------------------------------------------- */

static void
print_groups(struct page *page, const fc_diagnosis *d)
{
    const struct column columns[] = {
        { "group", "", ALIGN_RIGHT, 0 },
        { "weight", "%", ALIGN_RIGHT, 0 },
        { "causes that these readings cannot tell apart", "", ALIGN_LEFT, 20 },
    };
    struct table table = table_new(columns, 3);

    page_heading(page, "What may be behind them");
    for (size_t i = 0; i < d->n_groups; i++) {
        table_add(&table, figure_number((double)(i + 1), 0).text);
        table_add(&table, figure_number(100.0 * d->groups[i].weight, 1).text);
        table_add(&table, d->groups[i].text);
    }
    table_print(&table, page);
}

static void
print_causes(struct page *page, const fc_diagnosis *d)
{
    const struct column columns[] = {
        { "group", "", ALIGN_RIGHT, 0 },
        { "weight", "%", ALIGN_RIGHT, 0 },
        { "misfit", "", ALIGN_RIGHT, 0 },
        { "cause", "", ALIGN_LEFT, 20 },
    };
    struct table table = table_new(columns, 4);
    size_t i;

    page_heading(page, "The causes one by one");
    for (i = 0; i < d->n_causes && i < MOST_CAUSES; i++) {
        const fc_cause *c = &d->causes[i];

        table_add(&table, figure_number((double)(c->group + 1), 0).text);
        table_add(&table, figure_number(100.0 * c->weight, 1).text);
        table_add(&table, figure_number(c->misfit, 1).text);
        table_add(&table, c->text);
    }
    table_print(&table, page);
    if (d->n_causes > i)
        page_say(page, 2, 2, "and %zu more (all are in --format json)",
                 d->n_causes - i);
    page_say(page, 2, 2,
             "Weight: the chance among the causes tried. Misfit: what is left "
             "of the differences, squared and over the accuracy.");
}

/* Without weights, which are of those that explain. */
static void
print_nearest(struct page *page, const fc_diagnosis *d)
{
    const struct column columns[] = {
        { "misfit", "", ALIGN_RIGHT, 0 },
        { "cause", "", ALIGN_LEFT, 20 },
    };
    struct table table = table_new(columns, 2);

    page_heading(page, "What comes nearest, and does not explain them");
    for (size_t i = 0; i < d->n_causes; i++) {
        table_add(&table, figure_number(d->causes[i].misfit, 1).text);
        table_add(&table, d->causes[i].text);
    }
    table_print(&table, page);
    page_say(page, 2, 2,
             "Misfit: what is left of the differences, squared and over the "
             "accuracy.");
}

/* Nothing is made of readings that are to be taken again. */
static void
say_causes(struct page *page, const fc_diagnosis *d)
{
    const enum outcome outcome = outcome_of(d);

    if (outcome == OUTCOME_UNEXPLAINED && d->n_causes > 0)
        print_nearest(page, d);
    if (outcome != OUTCOME_FOUND && outcome != OUTCOME_SEVERAL)
        return;
    if (d->n_groups > 1 && d->n_groups < d->n_causes)
        print_groups(page, d);
    print_causes(page, d);
}

/* ---- Findings --------------------------------------------------------- */

/* They come before warnings and notes. */
static size_t
count_contradictions(const fc_diagnosis *d)
{
    size_t n = 0;

    while (n < d->n_findings && d->findings[n].severity == FC_FAIL)
        n++;
    return n;
}

static void
say_contradictions(struct page *page, const fc_diagnosis *d)
{
    const size_t n = count_contradictions(d);

    if (n == 0)
        return;
    page_heading(page, "What cannot all be true of a sound building");
    for (size_t i = 0; i < n; i++)
        page_say(page, 2, 4, "- %s", d->findings[i].text);
}

static void
say_notes(struct page *page, const fc_diagnosis *d)
{
    const size_t n = count_contradictions(d);
    const struct found found = { d->findings + n, d->n_findings - n,
                                 d->state };

    if (found.n > 0)
        part_findings(page, &found, NULL);
}

/* ---- What no pressure shows ------------------------------------------- */

static void
say_by_hand(struct page *page, const fc_diagnosis *d)
{
    if (d->n_by_hand == 0)
        return;
    page_heading(page, "To be checked by hand, the easiest first");
    for (size_t i = 0; i < d->n_by_hand; i++)
        page_say(page, 2, 5, "%zu. %s", i + 1, d->by_hand[i]);
}

/* ---- The whole -------------------------------------------------------- */

static void
say_method(struct page *page, const fc_diagnosis *d)
{
    page_heading(page, "How it was worked out");
    page_say(page, 2, 2,
             "flushcalc %s; the building %s. Each cause is one unknown, "
             "fitted to all readings by "
             "least squares weighted by their accuracy; pairs are tried where "
             "no single one does. Weight: by misfit, number of unknowns and "
             "what is usual (common practice; see the man page). Not tried: "
             "pipes that are not in the file or hang elsewhere, more than two "
             "causes at once, and what comes and goes.",
             fc_version(), state_phrase(d->state));
}

void
diagnose_text(struct page *page, const fc_diagnosis *d)
{
    part_title(page, d->title);
    say_outcome(page, d);
    part_overrides(page, d->overrides, d->n_overrides);
    say_contradictions(page, d);
    diagnose_next(page, &d->next);
    print_readings(page, d);
    say_causes(page, d);
    say_by_hand(page, d);
    say_notes(page, d);
    part_assumptions(page, d->assumptions, d->n_assumptions);
    say_method(page, d);
    part_cautions(page);
}
