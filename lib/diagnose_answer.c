/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose_answer.c -- causes that the readings leave in play, put into
 * groups, and what the next reading would mean.
 */
#include "diagnose_answer.h"
#include "units.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Lighter by more than this than the heaviest: no longer in play. */
#define IN_PLAY 0.01
#define MOST_IN_PLAY 40
/* So many are told where none explains all readings. */
#define MOST_UNEXPLAINED 5

/* With so much of the weight a single cause or stretch is taken as found:
 * common practice. */
#define DECIDED 0.9

/* Predictions nearer than this part of the accuracy mean the same. */
#define SAME_ANSWER 0.5
/* An answer spans no more accuracies than this. */
#define WIDEST_ANSWER 2

/* ---- In play ----------------------------------------------------------- */

void
fci_answer_pick(struct fci_answering *a)
{
    size_t i, n = 0;

    for (i = 0; i < a->n; i++)
        a->explained |= a->causes[i].explains;
    for (i = 0; i < a->n && n < MOST_IN_PLAY; i++) {
        if (a->explained ? !a->causes[i].explains : n == MOST_UNEXPLAINED)
            continue;
        if (n > 0 && a->causes[i].weight < IN_PLAY * a->causes[0].weight)
            break;
        a->causes[n++] = a->causes[i];
    }
    a->n = n;
    fci_causes_weigh(a->causes, a->n, a->readings->n);
}

/* ---- Groups ------------------------------------------------------------ */

static bool
alike(const struct fci_answering *a, const struct fci_cause *x,
      const struct fci_cause *y)
{
    const struct fci_readings *r = a->readings;
    size_t i;

    for (i = 0; i < r->n; i++)
        if (fabs(x->shows[i] - y->shows[i]) > r->gauges[i].within)
            return false;
    return true;
}

/* The heaviest that has no group yet leads the next one. */
static void
gather(struct fci_answering *a)
{
    size_t i, j;

    for (i = 0; i < a->n; i++)
        a->causes[i].group = FCI_NONE;
    for (i = 0; i < a->n; i++) {
        if (a->causes[i].group != FCI_NONE)
            continue;
        for (j = i; j < a->n; j++)
            if (a->causes[j].group == FCI_NONE
                && alike(a, &a->causes[i], &a->causes[j])) {
                a->causes[j].group = a->n_groups;
                a->groups[a->n_groups].weight += a->causes[j].weight;
            }
        a->n_groups++;
    }
}

/* The heaviest group first; they are few. */
static void
order_groups(struct fci_answering *a)
{
    size_t i, j, k;

    for (i = 1; i < a->n_groups; i++)
        for (j = i; j > 0 && a->groups[j].weight > a->groups[j - 1].weight;
             j--) {
            const fc_cause_group kept = a->groups[j];

            a->groups[j] = a->groups[j - 1];
            a->groups[j - 1] = kept;
            for (k = 0; k < a->n; k++)
                if (a->causes[k].group == j || a->causes[k].group == j - 1)
                    a->causes[k].group = 2 * j - 1 - a->causes[k].group;
        }
}

fc_status
fci_answer_group(struct fci_answering *a)
{
    bool picked[MOST_IN_PLAY];
    size_t g, i;

    a->groups = fci_arena_array(a->arena, a->n + 1, sizeof *a->groups);
    if (!a->groups)
        return FC_ENOMEM;
    gather(a);
    order_groups(a);
    for (g = 0; g < a->n_groups; g++) {
        for (i = 0; i < a->n; i++)
            picked[i] = a->causes[i].group == g;
        a->groups[g].text =
            fci_causes_words(a->arena, a->readings, a->causes, picked, a->n,
                             &a->groups[g].single);
        if (!a->groups[g].text)
            return FC_ENOMEM;
    }
    return FC_OK;
}

/* ---- The next reading -------------------------------------------------- */

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
    bool picked[MOST_IN_PLAY] = { false }, single;
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
    size_t by[MOST_IN_PLAY], first = 0, i;

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

/* "Put the gauge at riser-4 and flush two of wc-6"; "Take r3 again: ..." */
static const char *
what_to_do(const struct fci_answering *a)
{
    const char *end = fci_place_end(a->readings->site, a->next.at);
    const char *how;

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

/* ---- Whether it is decided --------------------------------------------- */

static bool
runs_on(const struct fci_cause *cause)
{
    return cause->n_faults == 1 && cause->fault[0]->kind == FC_RUNNING_OUTLET;
}

/* Of one element, one run of pipes, one fixture or one kind of pipe or valve.
 * Where water runs on is sought by shutting stops, not by gauges: all such are
 * one. */
static bool
at_one_place(const struct fci_cause *x, const struct fci_cause *y)
{
    const struct fci_fault *a = x->fault[0], *b = y->fault[0];

    if (runs_on(x) || runs_on(y))
        return runs_on(x) && runs_on(y);
    return x->n_faults == 1 && y->n_faults == 1 && a->element == b->element
           && a->last == b->last && a->fixture == b->fixture
           && a->gauge == b->gauge && a->all == b->all
           && a->shared == b->shared;
}

/* The causes of the heaviest place, and what they weigh together. */
static double
heaviest_place(const struct fci_answering *a, bool *picked)
{
    double most = 0;
    size_t i, k, of = 0;

    for (i = 0; i < a->n; i++) {
        double weight = 0;

        for (k = 0; k < a->n; k++)
            if (k == i || at_one_place(&a->causes[i], &a->causes[k]))
                weight += a->causes[k].weight;
        if (weight > most) {
            most = weight;
            of = i;
        }
    }
    for (k = 0; k < a->n; k++)
        picked[k] = k == of || at_one_place(&a->causes[of], &a->causes[k]);
    return most;
}

static fc_status
decide(struct fci_answering *a, const bool *picked, const char *next)
{
    bool single;
    size_t i;

    for (i = 0; i < a->n; i++)
        a->causes[i].decided = picked[i];
    a->decided = true;
    a->next.text = next;
    a->found = fci_causes_words(a->arena, a->readings, a->causes, picked, a->n,
                                &single);
    return a->found ? FC_OK : FC_ENOMEM;
}

/* No reading tells those apart that are left. */
static fc_status
end_here(struct fci_answering *a)
{
    bool picked[MOST_IN_PLAY];
    size_t i;

    for (i = 0; i < a->n; i++)
        picked[i] = a->causes[i].group == 0;
    if (a->n_groups > 0 && a->groups[0].weight >= DECIDED
        && a->groups[0].single && a->decidable)
        return decide(a, picked,
                      "No reading that can be taken here would narrow it "
                      "down further.");
    a->next.text = "No reading that can be taken here would tell the causes "
                   "that are left apart; they are to be looked at one by one.";
    return FC_OK;
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

static fc_status
tell_next(struct fci_answering *a, const struct fci_next *found)
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

size_t
fci_answer_times(const struct fci_readings *r, size_t gauge)
{
    const struct fci_gauge *g = &r->gauges[gauge];
    size_t i, n = 0;

    for (i = r->events[g->event].first; i != FCI_NONE; i = r->gauges[i].next)
        n += r->gauges[i].dimension == g->dimension
             && r->gauges[i].place.element == g->place.element
             && r->gauges[i].place.fixture == g->place.fixture;
    return n;
}

static bool
is_misread(const struct fci_cause *cause)
{
    return cause->n_faults == 1 && cause->fault[0]->kind == FC_WRONG_READING;
}

/* A reading that the others speak against is taken again before it is called
 * wrong. */
static fc_status
doubt(struct fci_answering *a, const bool *picked)
{
    const size_t gauge = a->causes[0].fault[0]->gauge;

    if (fci_answer_times(a->readings, gauge) > 1)
        return decide(a, picked, "The other readings stand.");
    return fci_answer_again(a, gauge);
}

/* What takes as many unknowns as there are readings explains anything, and so
 * does what doubts one of them beside. */
static void
find_decidable(struct fci_answering *a)
{
    const struct fci_cause *first = &a->causes[0];
    const bool doubts =
        first->n_faults > 1
        && (first->fault[0]->kind == FC_WRONG_READING
            || first->fault[1]->kind == FC_WRONG_READING);

    a->decidable =
        a->explained && !doubts && a->readings->n > first->n_unknowns;
}

fc_status
fci_answer_next(struct fci_answering *a)
{
    struct fci_next found = { .again = FCI_NONE };
    bool picked[MOST_IN_PLAY];
    fc_status status;

    find_decidable(a);
    if (a->decidable && heaviest_place(a, picked) >= DECIDED)
        return is_misread(&a->causes[0])
                   ? doubt(a, picked)
                   : decide(
                       a, picked,
                       runs_on(&a->causes[0])
                           ? "With nothing flushing, shut the stops of those "
                             "named one after the other: where the pressure "
                             "rises or the meter stops, it is."
                           : "These readings decide already.");
    status =
        fci_next_find(&found, a->readings, a->causes, a->n, a->keep, a->arena);
    if (status != FC_OK)
        return status;
    if (found.found)
        return tell_next(a, &found);
    if (a->explained)
        return end_here(a);
    a->next.text = "Take those again that differ most from what is expected; "
                   "no other would help as long as nothing explains them.";
    return FC_OK;
}
