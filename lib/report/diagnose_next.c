/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/diagnose_next.c -- what is to be done: the work, the next look or
 * reading, and what is checked by hand. */
#include "ground/text_stream.h"
#include "page/screen.h"
#include "report/diagnose_report.h"
#include "report/diagnose_shape.h"

#include <string.h>

/* Columns of an answer, before its chance and what it means. */
#define ANSWER_ROOM 96

/* ---- The work ---------------------------------------------------------- */

static void
add_line(struct fci_grid *grid, const char *label, const char *text)
{
    fci_cell(grid, label);
    fci_cell(grid, text);
}

static void
add_steps(struct fci_grid *grid, const fc_work *work, size_t n)
{
    char text[48];

    for (size_t i = 0; i < n; i++) {
        snprintf(text, sizeof text, "%zu.", i + 1);
        add_line(grid, text, work->steps[i]);
    }
    if (work->n_steps > n) {
        snprintf(text, sizeof text, "and %zu more, see --full",
                 work->n_steps - n);
        add_line(grid, "", text);
    }
}

/* Whether the headline says it. */
static bool
is_said(const fc_diagnosis *d, const fc_work *work)
{
    const char *headline = d->decided ? d->found : d->likeliest;

    return d->n_work == 1 && headline && strstr(headline, work->where);
}

static void
add_where(struct fci_doc *doc, struct fci_grid *grid, const fc_work *work)
{
    const char *text = *work->loss ? fci_arena_printf(&doc->arena, "%s: %s",
                                                      work->where, work->loss)
                                   : work->where;

    add_line(grid, "Where", text);
}

#define LEAST_STEPS 2

/* What must be shown is said of the last of several with the same. */
static void
put_order(struct fci_doc *doc, const fc_diagnosis *d, const fc_work *work,
          size_t most)
{
    static const struct fci_doc_column columns[] = {
        { "", "", FCI_LEFT, 0 },
        { "", "", FCI_LEFT, 20 },
    };
    const bool is_last = work + 1 == d->work + d->n_work
                         || strcmp(work->after, work[1].after) != 0;
    const size_t room = most < LEAST_STEPS ? LEAST_STEPS : most;
    struct fci_grid *grid = fci_doc_table(doc, columns, 2);

    if (doc->forms != FCI_IN_BRIEF || !is_said(d, work))
        add_where(doc, grid, work);
    add_steps(grid, work, work->n_steps < room ? work->n_steps : room);
    if (*work->isolate) {
        add_line(grid, "Shut off", work->isolate);
        add_line(grid, "Bleed",
                 "flush to take the pressure off before you open anything; "
                 "refill slowly");
    }
    if (*work->after && is_last)
        add_line(grid, "After", work->after);
}

static void
head_looks(struct fci_doc *doc, const fc_diagnosis *d)
{
    if (d->next.at)
        fci_doc_heading(doc,
                        "Where to look; take nothing apart before "
                        "the next %s",
                        d->next.kind >= FC_TASK_STOP ? "look" : "reading");
    else
        fci_doc_heading(doc, "Where to look; take nothing apart yet");
}

static size_t
count_steps(const fc_diagnosis *d)
{
    size_t n = 0;

    for (size_t i = 0; i < d->n_work; i++)
        n += d->work[i].n_steps;
    return n;
}

/* A screen that is full has the next look or reading alone. */
static void
say_where_to_look(struct fci_doc *doc, const fc_diagnosis *d, size_t most)
{
    fci_doc_for(doc, FCI_IN_BRIEF);
    if (most > 0 && count_steps(d) > 0) {
        head_looks(doc, d);
        for (size_t i = 0; i < d->n_work; i++)
            put_order(doc, d, &d->work[i], most);
    } else if (most == 0) {
        fci_doc_say(doc, "Take nothing apart yet; where to look: "
                         "see --full.");
    }
    fci_doc_for(doc, FCI_IN_DEPTH);
    head_looks(doc, d);
    for (size_t i = 0; i < d->n_work; i++)
        put_order(doc, d, &d->work[i], FCI_SCREEN_ALL);
}

static void
say_order(struct fci_doc *doc, const fc_diagnosis *d, size_t i, size_t most)
{
    if (d->n_work > 1)
        fci_doc_heading(doc, "Work order, fault %zu", i + 1);
    else
        fci_doc_heading(doc, "Work order");
    fci_doc_for(doc, FCI_IN_BRIEF);
    put_order(doc, d, &d->work[i], most);
    fci_doc_for(doc, FCI_IN_DEPTH);
    put_order(doc, d, &d->work[i], FCI_SCREEN_ALL);
    fci_doc_for(doc, FCI_IN_ALL);
}

void
fci_diagnose_work(struct fci_doc *doc, const fc_diagnosis *d, size_t most)
{
    for (size_t i = 0; i < d->n_work && d->decided; i++)
        say_order(doc, d, i, most);
    if (d->n_work > 0 && !d->decided)
        say_where_to_look(doc, d, most);
    fci_doc_for(doc, FCI_IN_ALL);
}

/* ---- What each answer means -------------------------------------------- */

/* "44.0 to 46.0 psi", "2.0 s (47.8 gpm)", "fully open" */
static void
write_answer(const struct fci_doc *doc, const fc_next_reading *next,
             const fc_answer_meant *answer, char *text, size_t room)
{
    const struct fci_figure figure = fci_figure_span(
        doc->units, next->dimension, answer->low, answer->high);

    if (answer->shows != FC_SEEN_NOTHING)
        snprintf(text, room, "%s", fci_sight_said(answer->shows));
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
put_answers(struct fci_doc *doc, const fc_next_reading *next, unsigned forms,
            size_t n, size_t most)
{
    const struct fci_doc_column columns[] = {
        { next->kind >= FC_TASK_STOP && next->kind != FC_TASK_TAPE
              ? "if it is"
              : "if it reads",
          "", FCI_LEFT, 0 },
        { "chance", "", FCI_RIGHT, 0 },
        { "it means", "", FCI_LEFT, 20 },
    };
    struct fci_grid *table;

    fci_doc_for(doc, forms);
    table = fci_doc_table(doc, columns, 3);
    for (size_t i = 0; i < n; i++) {
        char text[ANSWER_ROOM];

        write_answer(doc, next, &next->answers[i], text, sizeof text);
        fci_cell(table, text);
        snprintf(text, sizeof text, "%.0f%%", 100.0 * next->answers[i].weight);
        fci_cell(table, text);
        fci_cell(table, fci_screen_short(doc, next->answers[i].text, most));
    }
}

static void
say_answers(struct fci_doc *doc, const fc_next_reading *next, size_t most)
{
    const size_t least = most < 2 ? 2 : most;
    const size_t n = next->n_answers;

    if (n < 2)
        return;
    put_answers(doc, next, FCI_IN_BRIEF, n < least ? n : least, most);
    put_answers(doc, next, FCI_IN_DEPTH, n, FCI_SCREEN_ALL);
    fci_screen_rest(doc, n, least);
    fci_doc_say(doc, "Chance: percent of all causes tried.");
}

/* Why it is asked for, where its answers do not say so. */
static void
say_why(struct fci_doc *doc, const fc_diagnosis *d)
{
    const fc_next_reading *next = &d->next;
    char expected[ANSWER_ROOM];

    if (!next->at || next->n_answers > 1)
        return;
    if (next->other_gauge) {
        fci_doc_say(doc, "Why: it shows whether the first gauge is off.");
    } else if (next->again) {
        fci_doc_say(
            doc, "Why: %s",
            d->contradictory
                ? "it does not agree with the others."
                : "all of it rests on this one reading, which may be wrong.");
    } else if (next->n_answers == 1) {
        write_answer(doc, next, &next->answers[0], expected, sizeof expected);
        fci_doc_say(doc,
                    "Why: %s confirms it; anything else shows that something "
                    "else is wrong.",
                    expected);
    } else {
        fci_doc_say(doc,
                    "Why: nothing tried explains the readings; this one tells "
                    "the nearest causes apart.");
    }
}

/* ---- What is typed into the site file ----------------------------------- */

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
                fci_word_of(&fci_shows_words, (int)next->answers[i].shows),
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

static void
say_block(struct fci_doc *doc, const fc_next_reading *next,
          const char *free_gauge)
{
    char *text = NULL;
    size_t size = 0;
    FILE *out = next->at ? fci_text_stream(&text, &size) : NULL;

    if (!next->at)
        return;
    if (out && next->kind >= FC_TASK_STOP)
        put_look(out, doc->units, next);
    else if (out)
        put_reading(out, doc->units, next, free_gauge);
    if (!out || fclose(out) != 0 || !text) {
        doc->failed = true;
    } else {
        fci_doc_say(
            doc, "Add it to the site file, with a name of your own for NAME:");
        fci_doc_code(doc, "%s", text);
    }
    free(text);
}

/* ---- The next look or reading ------------------------------------------ */

/* On a screen that is full the first stands for all. */
static void
say_looks_first(struct fci_doc *doc, const fc_diagnosis *d, size_t most)
{
    const bool full = most == 0 && d->n_looks_first > 1;

    if (full) {
        fci_doc_for(doc, FCI_IN_BRIEF);
        fci_doc_say(doc,
                    "First, without the gauge (1 of %zu, see --full): %s.",
                    d->n_looks_first, d->looks_first[0]);
    }
    fci_doc_for(doc, full ? FCI_IN_DEPTH : FCI_IN_ALL);
    for (size_t i = 0; i < d->n_looks_first; i++)
        fci_doc_say(doc, "%s%s.",
                    i == 0 ? "First, without the gauge: " : "Then: ",
                    d->looks_first[i]);
    fci_doc_for(doc, FCI_IN_ALL);
}

void
fci_diagnose_next(struct fci_doc *doc, const fc_diagnosis *d,
                  const char *free_gauge, bool looks, size_t most)
{
    const fc_next_reading *next = &d->next;
    const bool look = next->kind >= FC_TASK_STOP;

    if (!next->text || (!next->at && d->n_work > 0 && d->decided))
        return; /* the work order says it */
    fci_doc_heading(doc, "%s",
                    !next->at         ? "What next"
                    : d->as_described ? look ? "To be surer: a look"
                                             : "To be surer: a reading"
                    : look            ? "The next look"
                                      : "The next reading");
    if (looks)
        say_looks_first(doc, d, most);
    fci_doc_say(doc, "%s%s", next->at ? next->task : next->text,
                next->at ? "." : "");
    say_why(doc, d);
    say_answers(doc, next, most);
    say_block(doc, next, free_gauge);
}

#define LEAST_BY_HAND 3

void
fci_diagnose_by_hand(struct fci_doc *doc, const fc_diagnosis *d, size_t most)
{
    if (d->n_by_hand == 0)
        return;
    fci_doc_heading(doc, "Check by hand, in this order");
    fci_screen_numbered(doc, d->by_hand, d->n_by_hand,
                        most < LEAST_BY_HAND ? LEAST_BY_HAND : most);
}
