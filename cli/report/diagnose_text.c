/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/diagnose_text.c -- the report of `diagnose` for a person. */
#include "report/diagnose_report.h"
#include "report/shared.h"
#include "page/table.h"
#include "page/words.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

#define MOST_CAUSES 5 /* lines of a table; JSON has them all */
/* Columns of an answer, before its chance and what it means. */
#define ANSWER_WIDTH 17
#define TIMED_WIDTH 26
#define ANSWER_ROOM 96

/* ---- Figures and words ------------------------------------------------- */

struct figure
figure_span(fc_unit_system units, fc_dimension dimension, double low,
            double high)
{
    const struct figure from = figure_of(units, dimension, low);
    const char *unit = fc_unit_name(units, dimension);
    struct figure to = figure_of(units, dimension, high);
    struct figure span;

    if (strcmp(from.text, to.text) == 0)
        snprintf(span.text, sizeof span.text, "%.20s", from.text);
    else
        snprintf(span.text, sizeof span.text, "%.15s to %.15s", from.text,
                 to.text);
    if (*unit)
        snprintf(span.text + strlen(span.text),
                 sizeof span.text - strlen(span.text), " %.8s", unit);
    return span;
}

static const struct {
    const char *file, *said;
} sights[] = {
    [FC_SEEN_NOTHING] = { "", "" },
    [FC_SEEN_OPEN] = { "open", "fully open" },
    [FC_SEEN_SHUT] = { "shut", "partly closed" },
    [FC_SEEN_CLEAN] = { "clean", "clean" },
    [FC_SEEN_CLOGGED] = { "clogged", "clogged" },
    [FC_SEEN_TURNING] = { "turns", "turning" },
    [FC_SEEN_STILL] = { "still", "still" },
};

const char *
sight_word(fc_sight sight)
{
    return sights[sight].file;
}

/* ---- The answer -------------------------------------------------------- */

/* By verdict: its word, its color, and what is said behind it; NULL: what was
 * found, or what is left. */
static const struct {
    enum tint tint;
    const char *word, *sentence;
} verdicts[] = {
    [FC_NOTHING_READ] = { TINT_UNSURE,
                          "NOTHING READ YET:", "this is the first visit." },
    [FC_CHECKS_OUT] = { TINT_GOOD, "CHECKS OUT:",
                        "piping and supply are as entered. Look at the valve, "
                        "the bowl or the drain." },
    [FC_CHECKS_OUT_SHORT] = { TINT_BAD,
                              "PIPING CHECKS OUT, TOO LITTLE PRESSURE:",
                              NULL },
    [FC_STATIC_ONLY] = { TINT_UNSURE, "NOT TRIED FLOWING:",
                         "static readings check out; they say nothing about "
                         "meters, pipes and valves. Take a reading with one "
                         "valve open, at its inlet and at the supply." },
    [FC_ONE_FAULT] = { TINT_BAD, "FOUND:", NULL },
    [FC_TWO_FAULTS] = { TINT_BAD, "TWO FAULTS:", NULL },
    [FC_NARROWED_DOWN] = { TINT_UNSURE, "NARROWED DOWN:", NULL },
    [FC_NOT_EXPLAINED] = { TINT_UNSURE, "CANNOT TELL:",
                           "neither one fault nor two explain these readings. "
                           "More differs from the file, or a reading is "
                           "wrong." },
    [FC_READINGS_DISAGREE] = { TINT_UNSURE, "READINGS DON'T AGREE",
                               "with each other; take them again before "
                               "anything is made of them." },
};

static const char *
short_by(const fc_diagnosis *d)
{
    for (size_t i = 0; i < d->n_findings; i++)
        if (d->findings[i].code == FC_FOUND_TOO_LITTLE)
            return d->findings[i].text;
    return "a valve has less than its minimum";
}

static void
say_verdict(struct page *page, const fc_diagnosis *d)
{
    const enum tint tint = verdicts[d->verdict].tint;
    const char *word = verdicts[d->verdict].word;
    const char *sentence = verdicts[d->verdict].sentence;

    if (d->verdict == FC_NOTHING_READ && d->found)
        page_say_tinted(
            page, TINT_BAD,
            "SEEN:", "%s. No reading yet: the first visit follows.", d->found);
    else if (sentence)
        page_say_tinted(page, tint, word, "%s", sentence);
    else if (d->verdict == FC_NARROWED_DOWN)
        page_say_tinted(page, tint, word, "%s%s.",
                        d->n_others + d->less_likely > 0 ? "most likely " : "",
                        d->likeliest);
    else
        page_say_tinted(page, tint, word, "%s.",
                        d->verdict == FC_CHECKS_OUT_SHORT ? short_by(d)
                                                          : d->found);
    if (d->n_others > 0)
        page_say(page, 0, 0, "Or:");
    for (size_t i = 0; i < d->n_others; i++)
        page_say(page, 2, 4, "- %s", d->others[i]);
    if (d->less_likely > 0)
        page_say(page, 2, 4, "- %s%zu less likely",
                 d->n_others > 0 ? "and " : "or ", d->less_likely);
    if (d->verdict == FC_CHECKS_OUT_SHORT)
        page_say(page, 0, 0,
                 "Piping and supply are as entered: no fault, but too "
                 "little.");
    if (d->contradictory && d->explained && d->verdict != FC_READINGS_DISAGREE)
        page_say(page, 0, 0, "These readings don't agree with each other%s",
                 d->decided ? "; this explains why." : ".");
}

/* What was seen to be amiss, where the verdict does not say so itself. */
static void
say_seen(struct page *page, const fc_diagnosis *d)
{
    for (size_t i = 0; i < d->n_findings && !d->decided; i++)
        if (d->findings[i].code == FC_FOUND_SEEN)
            page_say(page, 0, 2, "Seen: %s.", d->findings[i].text);
}

/* A figure that fits only in the last part of its range at the end that is bad
 * for the valves. */
#define BAD_END 0.1

static bool
is_worse_when_high(const char *what)
{
    static const char *const high[] = { "drop", "rise", "length",
                                        "elevation" };

    for (size_t i = 0; i < sizeof high / sizeof *high; i++)
        if (strncmp(what, high[i], strlen(high[i])) == 0)
            return true;
    return false;
}

static bool
is_at_bad_end(const fc_learned *l)
{
    const double part =
        (l->value - l->given.low) / (l->given.high - l->given.low);

    return is_worse_when_high(l->what) ? part > 1 - BAD_END : part < BAD_END;
}

/* What the readings leave of what is known as a range. */
static void
say_learned(struct page *page, const fc_diagnosis *d)
{
    char text[1024] = "";
    size_t used = 0;

    for (size_t i = 0; i < d->n_learned && used < sizeof text; i++) {
        const fc_learned *l = &d->learned[i];
        const char *before = used > 0 ? ", " : "";
        const struct figure figure =
            figure_span(page->units, l->dimension, l->value, l->value);
        const struct figure span =
            figure_span(page->units, l->dimension, l->low, l->high);
        const struct figure given = figure_span(page->units, l->dimension,
                                                l->given.low, l->given.high);

        /* what has no unit, a C apart, is a figure of the method alone */
        if (l->dimension == FC_NUMBER && strcmp(l->what, "C") != 0)
            continue;
        if (is_at_bad_end(l))
            used += (size_t)snprintf(
                text + used, sizeof text - used,
                "%sonly with %.60s %.40s near %s (entered %s)", before,
                l->name, l->what,
                figure_of(page->units, l->dimension,
                          is_worse_when_high(l->what) ? l->given.high
                                                      : l->given.low)
                    .text,
                given.text);
        else
            used += (size_t)snprintf(text + used, sizeof text - used,
                                     "%s%.60s %.40s about %s (%s; entered %s)",
                                     before, l->name, l->what, figure.text,
                                     span.text, given.text);
    }
    if (used > 0)
        page_say(page, 0, 2, "The readings say: %s.", text);
}

/* ---- The work ---------------------------------------------------------- */

static void
say_order(struct page *page, const fc_work *work, const char *before)
{
    page_say(page, 2, 4, "Where: %s%s%s", work->where, *work->loss ? ", " : "",
             work->loss);
    for (size_t i = 0; i < work->n_steps; i++)
        page_say(page, 4, 7, "%zu. %s", i + 1, work->steps[i]);
    if (*work->isolate)
        page_say(page, 4, 6, "Shut off: %s", work->isolate);
    if (*work->after && strcmp(work->after, before) != 0)
        page_say(page, 4, 6, "%c%s", toupper((unsigned char)work->after[0]),
                 work->after + 1);
}

void
diagnose_work(struct page *page, const fc_diagnosis *d)
{
    if (d->n_work == 0)
        return;
    page_heading(page, "%s",
                 d->decided ? "Work order" : "Where to look, opening nothing");
    for (size_t i = 0; i < d->n_work; i++)
        say_order(page, &d->work[i], i > 0 ? d->work[i - 1].after : "");
    if (!d->decided && d->next.at)
        page_say(page, 4, 4,
                 "Open, cut or replace nothing else before the next %s: it "
                 "may point elsewhere.",
                 d->next.kind >= FC_TASK_STOP ? "look" : "reading");
}

/* ---- What to do next --------------------------------------------------- */

/* "44.0 to 46.0 psi", "2.0 s (47.8 gpm)", "fully open" */
static void
write_answer(const struct page *page, const fc_next_reading *next,
             const fc_answer_meant *answer, char *text, size_t room)
{
    const struct figure figure =
        figure_span(page->units, next->dimension, answer->low, answer->high);

    if (answer->shows != FC_SEEN_NOTHING)
        snprintf(text, room, "%s", sights[answer->shows].said);
    else if (next->volume > 0)
        snprintf(
            text, room, "%.40s (%s)",
            figure_said(page->units, FC_TIME, next->volume / answer->value)
                .text,
            figure.text);
    else
        snprintf(text, room, "%s", figure.text);
}

static void
say_answer(struct page *page, const fc_next_reading *next,
           const fc_answer_meant *answer)
{
    const size_t width = next->volume > 0 ? TIMED_WIDTH : ANSWER_WIDTH;
    char text[ANSWER_ROOM];

    write_answer(page, next, answer, text, sizeof text);
    page_spaces(page, 4);
    text_write(page->out, text, strlen(text));
    page_spaces(page,
                width > text_width(text) + 1 ? width - text_width(text) : 1);
    fprintf(page->out, "%3.0f%% ", 100.0 * answer->weight);
    page_go_on(page, 4 + width + 5, 4 + width + 5, "%s", answer->text);
}

/* What is written down of a reading. */
static void
print_blank(struct page *page, const fc_next_reading *next,
            const char *free_gauge)
{
    FILE *out = page->out;

    if (next->dimension == FC_PRESSURE)
        fprintf(out, "    pressure = ____ %s\n",
                fc_unit_name(page->units, FC_PRESSURE));
    else if (next->volume > 0)
        fprintf(out, "    flush time = ____ s\n");
    else
        fprintf(out, "    flow = ____ %s\n",
                fc_unit_name(page->units, FC_FLOW));
    if (next->other_gauge)
        fprintf(out,
                "    gauge = %s\n    [gauge %s]\n"
                "    within = ____ %s\n",
                free_gauge, free_gauge,
                fc_unit_name(page->units, FC_PRESSURE));
}

static void
print_look(struct page *page, const fc_next_reading *next)
{
    FILE *out = page->out;

    fprintf(out, "    [look NAME]\n    at = %s\n", next->at);
    if (next->kind == FC_TASK_TAPE)
        fprintf(out, "    rise = ____ %s\n",
                fc_unit_name(page->units, FC_LENGTH));
    else
        fprintf(out, "    shows = ");
    for (size_t i = 0; i < next->n_answers && next->kind != FC_TASK_TAPE; i++)
        fprintf(out, "%s%s%s", i > 0 ? " | " : "",
                sight_word(next->answers[i].shows),
                i + 1 == next->n_answers ? "\n" : "");
}

/* As the site file takes it. */
static void
print_block(struct page *page, const fc_next_reading *next,
            const char *free_gauge)
{
    FILE *out = page->out;

    if (!next->at)
        return;
    page_say(page, 2, 2, "Enter it in the site file, NAME being free:");
    if (next->kind >= FC_TASK_STOP) {
        print_look(page, next);
        return;
    }
    fprintf(out, "    [reading NAME]\n    at = %s\n", next->at);
    fprintf(out, "    open = %s", next->n_flush == 0 ? "none" : "");
    for (size_t i = 0; i < next->n_flush; i++)
        fprintf(out, "%s%d of %s", i > 0 ? ", " : "", next->flush[i].count,
                next->flush[i].fixture);
    fprintf(out, "\n");
    print_blank(page, next, free_gauge);
}

/* Why it is asked for; of several answers how likely each is follows. */
static void
say_why(struct page *page, const fc_diagnosis *d)
{
    const fc_next_reading *next = &d->next;

    if (!next->at)
        return;
    if (next->n_answers > 1)
        page_say(page, 2, 2,
                 next->kind >= FC_TASK_STOP
                     ? "Why: it takes a minute, and shows or clears one of "
                       "what is left. How likely, and what it means:"
                     : "Why: what is left would not all read the same there. "
                       "How likely, and what it means:");
    else if (next->other_gauge)
        page_say(page, 2, 2, "Why: it shows whether the first gauge is off.");
    else if (next->again)
        page_say(
            page, 2, 2, "Why: %s",
            d->contradictory
                ? "it does not agree with the others."
                : "it all rests on this one reading, which may be wrong.");
    else if (next->n_answers == 1)
        page_say(page, 2, 2,
                 "Why: it confirms what is left, or shows that something else "
                 "is the matter.");
    else
        page_say(page, 2, 2,
                 "Why: nothing tried explains the readings; this one would "
                 "tell the nearest apart.");
}

void
diagnose_next(struct page *page, const fc_diagnosis *d, const char *free_gauge)
{
    const fc_next_reading *next = &d->next;

    if (!next->text || (!next->at && d->n_work > 0 && d->decided))
        return; /* the work order says it */
    page_heading(page, "%s",
                 !next->at                    ? "What next"
                 : next->kind >= FC_TASK_STOP ? "The next look"
                                              : "The next reading");
    for (size_t i = 0; i < d->n_looks_first; i++)
        page_say(page, 2, 4, "%s%s.",
                 i == 0 ? "First, without the gauge: " : "Then: ",
                 d->looks_first[i]);
    page_say(page, 2, 2, "%s%s", next->at ? next->task : next->text,
             next->at ? "." : "");
    say_why(page, d);
    for (size_t i = 0; i < next->n_answers && next->n_answers > 1; i++)
        say_answer(page, next, &next->answers[i]);
    print_block(page, next, free_gauge);
}

static void
say_first_visit(struct page *page, const fc_diagnosis *d)
{
    if (d->n_first_visit == 0)
        return;
    page_heading(page, "The first visit, with what the file gives");
    for (size_t i = 0; i < d->n_first_visit; i++)
        page_say(page, 2, 5, "%zu. %s", i + 1, d->first_visit[i]);
}

/* ---- The readings ------------------------------------------------------ */

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
        { "reading", "", ALIGN_LEFT, 8 },
        { "at", "", ALIGN_LEFT, 8 },
        { "open", "", ALIGN_LEFT, 9 },
        { "read", p, ALIGN_RIGHT, 0 },
        { "by file", p, ALIGN_RIGHT, 0 },
        { "off by", p, ALIGN_RIGHT, 0 },
        { dimension == FC_FLOW ? "may be off by" : "gauge +-", p, ALIGN_RIGHT,
          0 },
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
    const bool pressures = print_read(page, d, FC_PRESSURE,
                                      "The readings, against the file at "
                                      "midpoint values");

    print_read(page, d, FC_FLOW,
               pressures ? "Flows read"
                         : "Flows read, against the file at midpoint values");
}

/* ---- The causes -------------------------------------------------------- */

/* Without chances, which are of causes that explain. */
static void
print_causes(struct page *page, const fc_diagnosis *d)
{
    const bool chances = d->verdict != FC_NOT_EXPLAINED;
    const struct column columns[] = {
        { "likely", "%", ALIGN_RIGHT, 0 },
        { "cause", "", ALIGN_LEFT, 20 },
    };
    struct table table = table_new(columns + !chances, chances ? 2 : 1);
    size_t i;

    page_heading(page, "%s",
                 chances ? "Causes one by one"
                         : "The nearest, which do not explain the readings");
    for (i = 0; i < d->n_causes && i < MOST_CAUSES; i++) {
        const fc_cause *c = &d->causes[i];

        if (chances)
            table_add(&table, figure_number(100.0 * c->weight, 1).text);
        table_add(&table, c->text);
    }
    table_print(&table, page);
    if (d->n_causes > i)
        page_say(page, 2, 2, "and %zu less likely (all in --format json)",
                 d->n_causes - i);
}

/* Nothing is made of readings that are to be taken again. */
static void
say_causes(struct page *page, const fc_diagnosis *d)
{
    const bool told = d->verdict == FC_ONE_FAULT || d->verdict == FC_TWO_FAULTS
                      || d->verdict == FC_NARROWED_DOWN;

    if (d->n_causes == 0 || (!told && d->verdict != FC_NOT_EXPLAINED))
        return;
    print_causes(page, d);
    page_say(page, 2, 2, "%sHow well each fits: --format json.",
             told ? "Likely: of the causes tried. " : "");
}

/* ---- Findings ---------------------------------------------------------- */

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
    page_heading(page, "These readings don't agree with each other");
    for (size_t i = 0; i < n; i++)
        page_say(page, 2, 4, "- %s", d->findings[i].text);
}

static void
say_notes(struct page *page, const fc_diagnosis *d)
{
    const size_t n = count_contradictions(d);
    struct found found = { NULL, d->n_findings - n, d->state };

    if (found.n == 0)
        return;
    found.findings = d->findings + n;
    part_findings(page, &found, NULL);
}

/* ---- What no pressure shows ------------------------------------------- */

void
diagnose_by_hand(struct page *page, const fc_diagnosis *d)
{
    if (d->n_by_hand == 0)
        return;
    page_heading(page, "Check by hand, in this order");
    for (size_t i = 0; i < d->n_by_hand; i++)
        page_say(page, 2, 5, "%zu. %s", i + 1, d->by_hand[i]);
}

/* ---- The whole -------------------------------------------------------- */

static void
say_method(struct page *page, const fc_diagnosis *d)
{
    page_blank(page);
    page_say(page, 0, 0,
             "flushcalc %s; the building %s; method: flushcalc(1). Not tried: "
             "pipes missing from the file, three faults at once, and what "
             "comes and goes.",
             fc_version(), state_phrase(d->state));
}

void
diagnose_text(struct page *page, const fc_diagnosis *d, const char *free_gauge)
{
    part_title(page, d->title);
    say_verdict(page, d);
    say_seen(page, d);
    say_learned(page, d);
    part_overrides(page, d->overrides, d->n_overrides);
    say_contradictions(page, d);
    say_first_visit(page, d);
    diagnose_work(page, d);
    diagnose_next(page, d, free_gauge);
    print_readings(page, d);
    say_causes(page, d);
    diagnose_by_hand(page, d);
    say_notes(page, d);
    part_assumptions(page, d->assumptions, d->n_assumptions);
    if (d->n_readings > 0)
        say_method(page, d);
    part_cautions(page);
}
