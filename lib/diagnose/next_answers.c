/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/next_answers.c -- the next reading: what to do, and what each
 * answer to it would mean.
 */
#include "diagnose/answer.h"
#include "units/units.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

/* Predictions nearer than this part of the accuracy mean the same. */
#define SAME_ANSWER 0.5
/* An answer spans no more accuracies than this. */
#define WIDEST_ANSWER 2

/* ---- Answers ----------------------------------------------------------- */

/* The causes from the highest prediction down. */
static void
sort_shown(const struct fci_answering *a, const double *shows, size_t *by)
{
    size_t i, j;

    for (i = 0; i < a->n; i++) {
        for (j = i; j > 0 && shows[by[j - 1]] < shows[i]; j--)
            by[j] = by[j - 1];
        by[j] = i;
    }
}

static fc_status
tell_answer(const struct fci_answering *a, const double *shows,
            const size_t *by, size_t n, fc_answer_meant *answer)
{
    bool picked[FCI_MOST_IN_PLAY] = { false }, single;
    size_t i;

    *answer =
        (fc_answer_meant){ .high = shows[by[0]], .low = shows[by[n - 1]] };
    for (i = 0; i < n; i++) {
        picked[by[i]] = true;
        answer->weight += a->causes[by[i]].weight;
        answer->value += a->causes[by[i]].weight * shows[by[i]];
    }
    answer->value /= answer->weight;
    answer->text = fci_causes_words(a->arena, a->readings, a->causes, picked,
                                    a->n, &single);
    return answer->text ? FC_OK : FC_ENOMEM;
}

static fc_status
tell_answers(struct fci_answering *a, const double *shows, double within)
{
    fc_answer_meant *answers =
        fci_arena_array(a->arena, a->n, sizeof *answers);
    fc_status status = answers ? FC_OK : FC_ENOMEM;
    size_t by[FCI_MOST_IN_PLAY], first = 0, i;

    sort_shown(a, shows, by);
    for (i = 1; status == FC_OK && i <= a->n; i++) {
        if (i < a->n && shows[by[i - 1]] - shows[by[i]] <= SAME_ANSWER * within
            && shows[by[first]] - shows[by[i]] <= WIDEST_ANSWER * within)
            continue;
        status = tell_answer(a, shows, by + first, i - first,
                             &answers[a->next.n_answers++]);
        first = i;
    }
    a->next.answers = answers;
    return status;
}

/* ---- What to do -------------------------------------------------------- */

/* "Put the gauge at riser-4 and flush two of wc-6"; "Take r3 again: ..." */
static const char *
what_to_do(const struct fci_answering *a)
{
    const char *end = fci_place_end(a->arena, a->readings->site, a->next.at);
    const char *how;

    if (!end)
        return NULL;
    if (a->next.again && a->next.dimension == FC_FLOW)
        return fci_arena_printf(a->arena, "Take the flow %s at %s again",
                                a->next.again, a->next.at);
    if (a->next.dimension == FC_FLOW)
        how = fci_arena_printf(a->arena,
                               "time a flush of %s, with nothing "
                               "else flushing",
                               a->next.at);
    else
        how = fci_arena_printf(a->arena, "put the gauge at %s%s and flush %s",
                               a->next.at, end, a->next.flushing);
    if (!how)
        return NULL;
    if (a->next.again)
        return fci_arena_printf(a->arena, "Take %s again: %s", a->next.again,
                                how);
    return fci_arena_printf(a->arena, "%c%s", toupper((unsigned char)how[0]),
                            how + 1);
}

/* A flow also by the seconds that the flush takes. */
static const char *
shown(const struct fci_answering *a, double value)
{
    const struct fci_shown figure =
        fci_show(a->readings->site->settings.units, a->next.dimension, value);

    if (a->next.dimension == FC_FLOW && a->next.volume > 0)
        return fci_arena_printf(a->arena, "%.1f s (%s)",
                                a->next.volume / value, figure.text);
    return fci_arena_printf(a->arena, "%s", figure.text);
}

static const char *
add_answer(const struct fci_answering *a, const char *text,
           const fc_answer_meant *answer, bool last)
{
    const char *low = shown(a, answer->low), *high = shown(a, answer->high);
    const char *stop = last ? "." : ";";

    if (!low || !high)
        return NULL;
    if (strcmp(low, high) == 0)
        return fci_arena_printf(a->arena, "%s %s means %s%s", text, low,
                                answer->text, stop);
    return fci_arena_printf(a->arena, "%s %s to %s means %s%s", text, low,
                            high, answer->text, stop);
}

/* What nothing explains gives no answer a meaning. */
static fc_status
word_next(struct fci_answering *a)
{
    const char *text = what_to_do(a);
    size_t i;

    a->next.task = text;
    if (text)
        text = fci_arena_printf(
            a->arena, "%s%s", text,
            a->next.n_answers > 0
                ? ":"
                : ". Nothing that was tried explains what was read; this "
                  "reading would part what comes nearest.");
    for (i = 0; text && i < a->next.n_answers; i++)
        text = add_answer(a, text, &a->next.answers[i],
                          i + 1 == a->next.n_answers);
    a->next.text = text;
    return text ? FC_OK : FC_ENOMEM;
}

static bool
list_flush(struct fci_answering *a, const struct fci_flushing_set *set)
{
    fc_flushing *flush = fci_arena_array(a->arena, set->n + 1, sizeof *flush);
    size_t i;

    for (i = 0; flush && i < set->n; i++) {
        flush[i].count = set->open[i].count;
        flush[i].fixture =
            a->readings->site->fixtures[set->open[i].fixture].given->name;
    }
    a->next.flush = flush;
    a->next.n_flush = set->n;
    return flush != NULL;
}

/* How long a flush takes needs its volume. */
static double
volume_of(const struct fci_answering *a, const struct fci_next *found)
{
    const fc_valve *valve;

    if (!found->timed)
        return NAN;
    valve = a->readings->site->fixtures[found->place.fixture]
                .valve[a->readings->state];
    return valve->full_flush.given ? valve->full_flush.nominal : NAN;
}

fc_status
fci_answer_tell(struct fci_answering *a, const struct fci_next *found)
{
    fc_status status = FC_OK;

    a->next.at = fci_place_name(a->readings->site, found->place);
    a->next.flushing =
        fci_flushing_words(a->arena, a->readings->site, &found->set);
    a->next.apart = found->apart;
    a->next.dimension = found->timed ? FC_FLOW : FC_PRESSURE;
    a->next.volume = volume_of(a, found);
    if (!a->next.flushing || !list_flush(a, &found->set))
        return FC_ENOMEM;
    if (found->again != FCI_NONE)
        a->next.again = a->readings->gauges[found->again].name;
    if (a->explained)
        status = tell_answers(a, found->shows,
                              found->timed ? FCI_FLOW_WITHIN * found->shows[0]
                                           : fci_readings_widest(a->readings));
    return status == FC_OK ? word_next(a) : status;
}

fc_status
fci_answer_again(struct fci_answering *a, size_t gauge)
{
    const struct fci_gauge *g = &a->readings->gauges[gauge];
    const struct fci_flushing_set *set = &a->readings->events[g->event];

    a->next.at = fci_place_name(a->readings->site, g->place);
    a->next.flushing = fci_flushing_words(a->arena, a->readings->site, set);
    a->next.again = g->name;
    a->next.dimension = g->dimension;
    a->next.volume = NAN;
    if (!a->next.flushing || !list_flush(a, set))
        return FC_ENOMEM;
    a->next.task = what_to_do(a);
    a->next.text =
        a->next.task ? fci_arena_printf(a->arena, "%s.", a->next.task) : NULL;
    return a->next.text ? FC_OK : FC_ENOMEM;
}
