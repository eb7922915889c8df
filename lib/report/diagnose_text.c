/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/diagnose_text.c -- the report of `diagnose` for a person. */
#include "report/report.h"
#include "report/diagnose_report.h"
#include "report/shared.h"
#include "report/words.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

#define MOST_CAUSES 5 /* lines of a table; JSON has them all */
/* Columns of an answer, before its chance and what it means. */
#define ANSWER_ROOM 96

/* ---- Figures and words ------------------------------------------------- */

struct fci_figure
fci_figure_span(fc_unit_system units, fc_dimension dimension, double low,
                double high)
{
    const struct fci_figure from = fci_figure_of(units, dimension, low);
    const char *unit = fc_unit_name(units, dimension);
    struct fci_figure to = fci_figure_of(units, dimension, high);
    struct fci_figure span;

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
fci_sight_word(fc_sight sight)
{
    return sights[sight].file;
}

/* ---- The answer -------------------------------------------------------- */

/* By verdict: its word, its color, and what is said behind it; NULL: what was
 * found, or what is left. */
static const struct {
    enum fci_tint tint;
    const char *word, *sentence;
} verdicts[] = {
    [FC_NOTHING_READ] = { FCI_UNSURE,
                          "NOTHING READ YET:", "this is the first visit." },
    [FC_CHECKS_OUT] = { FCI_GOOD, "CHECKS OUT:",
                        "piping and supply are as entered. Look at the valve, "
                        "the bowl or the drain." },
    [FC_CHECKS_OUT_SHORT] = { FCI_BAD,
                              "PIPING CHECKS OUT, TOO LITTLE PRESSURE:",
                              NULL },
    [FC_STATIC_ONLY] = { FCI_UNSURE, "NOT TRIED FLOWING:",
                         "static readings check out; they say nothing about "
                         "meters, pipes and valves. Take a reading with one "
                         "valve open, at its inlet and at the supply." },
    [FC_ONE_FAULT] = { FCI_BAD, "FOUND:", NULL },
    [FC_TWO_FAULTS] = { FCI_BAD, "TWO FAULTS:", NULL },
    [FC_NARROWED_DOWN] = { FCI_UNSURE, "NARROWED DOWN:", NULL },
    [FC_NOT_EXPLAINED] = { FCI_UNSURE, "CANNOT TELL:",
                           "neither one fault nor two explain these readings. "
                           "More differs from the file, or a reading is "
                           "wrong." },
    [FC_READINGS_DISAGREE] = { FCI_UNSURE, "READINGS DON'T AGREE",
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
say_verdict(struct fci_doc *doc, const fc_diagnosis *d)
{
    const enum fci_tint tint = verdicts[d->verdict].tint;
    const char *word = verdicts[d->verdict].word;
    const char *sentence = verdicts[d->verdict].sentence;

    if (d->verdict == FC_NOTHING_READ && d->found)
        fci_doc_verdict(
            doc, FCI_BAD,
            "SEEN:", "%s. No reading yet: the first visit follows.", d->found);
    else if (sentence)
        fci_doc_verdict(doc, tint, word, "%s", sentence);
    else if (d->verdict == FC_NARROWED_DOWN)
        fci_doc_verdict(doc, tint, word, "%s%s.",
                        d->n_others + d->less_likely > 0 ? "most likely " : "",
                        d->likeliest);
    else
        fci_doc_verdict(doc, tint, word, "%s.",
                        d->verdict == FC_CHECKS_OUT_SHORT ? short_by(d)
                                                          : d->found);
    if (d->n_others > 0)
        fci_doc_say(doc, "Or:");
    for (size_t i = 0; i < d->n_others; i++)
        fci_doc_item(doc, "%s", d->others[i]);
    if (d->less_likely > 0)
        fci_doc_item(doc, "%s%zu less likely",
                     d->n_others > 0 ? "and " : "or ", d->less_likely);
    if (d->verdict == FC_CHECKS_OUT_SHORT)
        fci_doc_say(doc, "Piping and supply are as entered: no fault, but too "
                         "little.");
    if (d->contradictory && d->explained && d->verdict != FC_READINGS_DISAGREE)
        fci_doc_say(doc, "These readings don't agree with each other%s",
                    d->decided ? "; this explains why." : ".");
}

/* What was seen to be amiss, where the verdict does not say so itself. */
static void
say_seen(struct fci_doc *doc, const fc_diagnosis *d)
{
    for (size_t i = 0; i < d->n_findings && !d->decided; i++)
        if (d->findings[i].code == FC_FOUND_SEEN)
            fci_doc_say(doc, "Seen: %s.", d->findings[i].text);
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
say_learned(struct fci_doc *doc, const fc_diagnosis *d)
{
    char text[1024] = "";
    size_t used = 0;

    for (size_t i = 0; i < d->n_learned && used < sizeof text; i++) {
        const fc_learned *l = &d->learned[i];
        const char *before = used > 0 ? ", " : "";
        const struct fci_figure figure =
            fci_figure_span(doc->units, l->dimension, l->value, l->value);
        const struct fci_figure span =
            fci_figure_span(doc->units, l->dimension, l->low, l->high);
        const struct fci_figure given = fci_figure_span(
            doc->units, l->dimension, l->given.low, l->given.high);

        /* what has no unit, a C apart, is a figure of the method alone */
        if (l->dimension == FC_NUMBER && strcmp(l->what, "C") != 0)
            continue;
        if (is_at_bad_end(l))
            used += (size_t)snprintf(
                text + used, sizeof text - used,
                "%sonly with %.60s %.40s near %s (entered %s)", before,
                l->name, l->what,
                fci_figure_of(doc->units, l->dimension,
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
        fci_doc_say(doc, "The readings say: %s.", text);
}

/* ---- The work ---------------------------------------------------------- */

static void
say_order(struct fci_doc *doc, const fc_work *work, const char *before)
{
    fci_doc_say(doc, "Where: %s%s%s", work->where, *work->loss ? ", " : "",
                work->loss);
    for (size_t i = 0; i < work->n_steps; i++)
        fci_doc_say(doc, "%zu. %s", i + 1, work->steps[i]);
    if (*work->isolate)
        fci_doc_say(doc, "Shut off: %s", work->isolate);
    if (*work->after && strcmp(work->after, before) != 0)
        fci_doc_say(doc, "%c%s", toupper((unsigned char)work->after[0]),
                    work->after + 1);
}

void
fci_diagnose_work(struct fci_doc *doc, const fc_diagnosis *d)
{
    if (d->n_work == 0)
        return;
    fci_doc_heading(doc, "%s",
                    d->decided ? "Work order"
                               : "Where to look, opening nothing");
    for (size_t i = 0; i < d->n_work; i++)
        say_order(doc, &d->work[i], i > 0 ? d->work[i - 1].after : "");
    if (!d->decided && d->next.at)
        fci_doc_say(doc,
                    "Open, cut or replace nothing else before the next %s: it "
                    "may point elsewhere.",
                    d->next.kind >= FC_TASK_STOP ? "look" : "reading");
}

/* ---- What to do next --------------------------------------------------- */

/* "44.0 to 46.0 psi", "2.0 s (47.8 gpm)", "fully open" */
static void
write_answer(const struct fci_doc *doc, const fc_next_reading *next,
             const fc_answer_meant *answer, char *text, size_t room)
{
    const struct fci_figure figure = fci_figure_span(
        doc->units, next->dimension, answer->low, answer->high);

    if (answer->shows != FC_SEEN_NOTHING)
        snprintf(text, room, "%s", sights[answer->shows].said);
    else if (next->volume > 0)
        snprintf(
            text, room, "%.40s (%s)",
            fci_figure_said(doc->units, FC_TIME, next->volume / answer->value)
                .text,
            figure.text);
    else
        snprintf(text, room, "%s", figure.text);
}

static void
say_answer(struct fci_doc *doc, struct fci_grid *table,
           const fc_next_reading *next, const fc_answer_meant *answer)
{
    char text[ANSWER_ROOM];

    write_answer(doc, next, answer, text, sizeof text);
    fci_cell(table, text);
    snprintf(text, sizeof text, "%.0f%%", 100.0 * answer->weight);
    fci_cell(table, text);
    fci_cell(table, answer->text);
}

/* What is written down of a reading. */
static void
put_blank(FILE *out, fc_unit_system u, const fc_next_reading *next,
          const char *free_gauge)
{
    if (next->dimension == FC_PRESSURE)
        fprintf(out, "pressure = ____ %s\n", fc_unit_name(u, FC_PRESSURE));
    else if (next->volume > 0)
        fprintf(out, "flush time = ____ s\n");
    else
        fprintf(out, "flow = ____ %s\n", fc_unit_name(u, FC_FLOW));
    if (next->other_gauge)
        fprintf(out, "gauge = %s\n[gauge %s]\nwithin = ____ %s\n", free_gauge,
                free_gauge, fc_unit_name(u, FC_PRESSURE));
}

static void
put_look(FILE *out, fc_unit_system u, const fc_next_reading *next)
{
    fprintf(out, "[look NAME]\nat = %s\n", next->at);
    if (next->kind == FC_TASK_TAPE)
        fprintf(out, "rise = ____ %s\n", fc_unit_name(u, FC_LENGTH));
    else
        fprintf(out, "shows = ");
    for (size_t i = 0; i < next->n_answers && next->kind != FC_TASK_TAPE; i++)
        fprintf(out, "%s%s%s", i > 0 ? " | " : "",
                fci_sight_word(next->answers[i].shows),
                i + 1 == next->n_answers ? "\n" : "");
}

static void
put_reading(FILE *out, fc_unit_system u, const fc_next_reading *next,
            const char *free_gauge)
{
    fprintf(out, "[reading NAME]\nat = %s\n", next->at);
    fprintf(out, "open = %s", next->n_flush == 0 ? "none" : "");
    for (size_t i = 0; i < next->n_flush; i++)
        fprintf(out, "%s%d of %s", i > 0 ? ", " : "", next->flush[i].count,
                next->flush[i].fixture);
    fprintf(out, "\n");
    put_blank(out, u, next, free_gauge);
}

/* As the site file takes it. */
static void
print_block(struct fci_doc *doc, const fc_next_reading *next,
            const char *free_gauge)
{
    char *text = NULL;
    size_t size = 0;
    FILE *out = next->at ? open_memstream(&text, &size) : NULL;

    if (!next->at)
        return;
    if (out && next->kind >= FC_TASK_STOP)
        put_look(out, doc->units, next);
    else if (out)
        put_reading(out, doc->units, next, free_gauge);
    if (!out || fclose(out) != 0 || !text) {
        doc->failed = true;
    } else {
        fci_doc_say(doc, "Enter it in the site file, NAME being free:");
        fci_doc_code(doc, "%s", text);
    }
    free(text);
}

/* Why it is asked for; of several answers how likely each is follows. */
static void
say_why(struct fci_doc *doc, const fc_diagnosis *d)
{
    const fc_next_reading *next = &d->next;

    if (!next->at)
        return;
    if (next->n_answers > 1)
        fci_doc_say(
            doc, next->kind >= FC_TASK_STOP
                     ? "Why: it takes a minute, and shows or clears one of "
                       "what is left. How likely, and what it means:"
                     : "Why: what is left would not all read the same there. "
                       "How likely, and what it means:");
    else if (next->other_gauge)
        fci_doc_say(doc, "Why: it shows whether the first gauge is off.");
    else if (next->again)
        fci_doc_say(
            doc, "Why: %s",
            d->contradictory
                ? "it does not agree with the others."
                : "it all rests on this one reading, which may be wrong.");
    else if (next->n_answers == 1)
        fci_doc_say(
            doc, "Why: it confirms what is left, or shows that something else "
                 "is the matter.");
    else
        fci_doc_say(doc,
                    "Why: nothing tried explains the readings; this one would "
                    "tell the nearest apart.");
}

void
fci_diagnose_next(struct fci_doc *doc, const fc_diagnosis *d,
                  const char *free_gauge)
{
    static const struct fci_doc_column columns[] = {
        { "", "", FCI_LEFT, 0 },
        { "", "", FCI_RIGHT, 0 },
        { "", "", FCI_LEFT, 20 },
    };
    const fc_next_reading *next = &d->next;
    struct fci_grid *table;

    if (!next->text || (!next->at && d->n_work > 0 && d->decided))
        return; /* the work order says it */
    fci_doc_heading(doc, "%s",
                    !next->at                    ? "What next"
                    : next->kind >= FC_TASK_STOP ? "The next look"
                                                 : "The next reading");
    for (size_t i = 0; i < d->n_looks_first; i++)
        fci_doc_say(doc, "%s%s.",
                    i == 0 ? "First, without the gauge: " : "Then: ",
                    d->looks_first[i]);
    fci_doc_say(doc, "%s%s", next->at ? next->task : next->text,
                next->at ? "." : "");
    say_why(doc, d);
    table = fci_grid_new(doc, columns, 3);
    for (size_t i = 0; i < next->n_answers && next->n_answers > 1; i++)
        say_answer(doc, table, next, &next->answers[i]);
    fci_doc_put(doc, table);
    print_block(doc, next, free_gauge);
}

static void
say_first_visit(struct fci_doc *doc, const fc_diagnosis *d)
{
    if (d->n_first_visit == 0)
        return;
    fci_doc_heading(doc, "The first visit, with what the file gives");
    for (size_t i = 0; i < d->n_first_visit; i++)
        fci_doc_say(doc, "%zu. %s", i + 1, d->first_visit[i]);
}

/* ---- The readings ------------------------------------------------------ */

static void
add_reading(struct fci_grid *table, fc_unit_system u,
            const fc_explained_reading *r)
{
    fci_cell(table, r->name);
    fci_cell(table, r->at);
    fci_cell(table, r->flushing);
    fci_cell(table, fci_figure_of(u, r->dimension, r->read).text);
    fci_cell(table, fci_figure_of(u, r->dimension, r->expected).text);
    fci_cell_tinted(table,
                    fci_figure_margin(u, r->dimension, r->difference).text,
                    r->as_described ? FCI_PLAIN_TINT : FCI_BAD);
    fci_cell(table, fci_figure_of(u, r->dimension, r->within).text);
}

/* Those of one dimension, if there are any. */
static bool
print_read(struct fci_doc *doc, const fc_diagnosis *d, fc_dimension dimension,
           const char *heading)
{
    const fc_unit_system u = doc->units;
    const char *p = fc_unit_name(u, dimension);
    const struct fci_doc_column columns[] = {
        { "reading", "", FCI_LEFT, 8 },
        { "at", "", FCI_LEFT, 8 },
        { "open", "", FCI_LEFT, 9 },
        { "read", p, FCI_RIGHT, 0 },
        { "by file", p, FCI_RIGHT, 0 },
        { "off by", p, FCI_RIGHT, 0 },
        { dimension == FC_FLOW ? "may be off by" : "gauge +-", p, FCI_RIGHT,
          0 },
    };
    struct fci_grid *table = fci_grid_new(doc, columns, 7);

    for (size_t i = 0; i < d->n_readings; i++)
        if (d->readings[i].dimension == dimension)
            add_reading(table, u, &d->readings[i]);
    if (fci_grid_is_empty(table))
        return false;
    fci_doc_heading(doc, "%s", heading);
    fci_doc_put(doc, table);
    return true;
}

static void
print_readings(struct fci_doc *doc, const fc_diagnosis *d)
{
    const bool pressures = print_read(doc, d, FC_PRESSURE,
                                      "The readings, against the file at "
                                      "midpoint values");

    print_read(doc, d, FC_FLOW,
               pressures ? "Flows read"
                         : "Flows read, against the file at midpoint values");
}

/* ---- The causes -------------------------------------------------------- */

/* Without chances, which are of causes that explain. */
static void
print_causes(struct fci_doc *doc, const fc_diagnosis *d)
{
    const bool chances = d->verdict != FC_NOT_EXPLAINED;
    const struct fci_doc_column columns[] = {
        { "likely", "%", FCI_RIGHT, 0 },
        { "cause", "", FCI_LEFT, 20 },
    };
    struct fci_grid *table =
        fci_grid_new(doc, columns + !chances, chances ? 2 : 1);
    size_t i;

    fci_doc_heading(doc, "%s",
                    chances
                        ? "Causes one by one"
                        : "The nearest, which do not explain the readings");
    for (i = 0; i < d->n_causes && i < MOST_CAUSES; i++) {
        const fc_cause *c = &d->causes[i];

        if (chances)
            fci_cell(table, fci_figure_number(100.0 * c->weight, 1).text);
        fci_cell(table, c->text);
    }
    fci_doc_put(doc, table);
    if (d->n_causes > i)
        fci_doc_say(doc, "and %zu less likely (all in --format json)",
                    d->n_causes - i);
}

/* Nothing is made of readings that are to be taken again. */
static void
say_causes(struct fci_doc *doc, const fc_diagnosis *d)
{
    const bool told = d->verdict == FC_ONE_FAULT || d->verdict == FC_TWO_FAULTS
                      || d->verdict == FC_NARROWED_DOWN;

    if (d->n_causes == 0 || (!told && d->verdict != FC_NOT_EXPLAINED))
        return;
    print_causes(doc, d);
    fci_doc_say(doc, "%sHow well each fits: --format json.",
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
say_contradictions(struct fci_doc *doc, const fc_diagnosis *d)
{
    const size_t n = count_contradictions(d);

    if (n == 0)
        return;
    fci_doc_heading(doc, "These readings don't agree with each other");
    for (size_t i = 0; i < n; i++)
        fci_doc_item(doc, "%s", d->findings[i].text);
}

static void
say_notes(struct fci_doc *doc, const fc_diagnosis *d)
{
    const size_t n = count_contradictions(d);
    struct fci_found found = { NULL, d->n_findings - n, d->state };

    if (found.n == 0)
        return;
    found.findings = d->findings + n;
    fci_part_findings(doc, &found, NULL);
}

/* ---- What no pressure shows ------------------------------------------- */

void
fci_diagnose_by_hand(struct fci_doc *doc, const fc_diagnosis *d)
{
    if (d->n_by_hand == 0)
        return;
    fci_doc_heading(doc, "Check by hand, in this order");
    for (size_t i = 0; i < d->n_by_hand; i++)
        fci_doc_say(doc, "%zu. %s", i + 1, d->by_hand[i]);
}

/* ---- The whole -------------------------------------------------------- */

static void
say_method(struct fci_doc *doc, const fc_diagnosis *d)
{
    fci_doc_gap(doc);
    fci_doc_say(
        doc,
        "flushcalc %s; the building %s; method: flushcalc(1). Not tried: "
        "pipes missing from the file, three faults at once, and what "
        "comes and goes.",
        fc_version(), fci_state_phrase(d->state));
}

void
fci_diagnosis_compose(struct fci_doc *doc, const void *what)
{
    const struct fci_diagnosis_view *view = what;
    const fc_diagnosis *d = view->d;
    const char *free_gauge = view->free_gauge;
    fci_part_title(doc, d->title);
    say_verdict(doc, d);
    say_seen(doc, d);
    say_learned(doc, d);
    fci_part_overrides(doc, d->overrides, d->n_overrides);
    say_contradictions(doc, d);
    say_first_visit(doc, d);
    fci_diagnose_work(doc, d);
    fci_diagnose_next(doc, d, free_gauge);
    print_readings(doc, d);
    say_causes(doc, d);
    fci_diagnose_by_hand(doc, d);
    say_notes(doc, d);
    fci_part_assumptions(doc, d->assumptions, d->n_assumptions);
    if (d->n_readings > 0)
        say_method(doc, d);
    fci_part_cautions(doc);
}
