/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/answer.c -- causes that the readings leave in play, put into
 * groups, and whether one is found.
 */
#include "diagnose/answer.h"
#include "ground/ties.h"
#include "diagnose/fault_kinds.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Lighter by more than this than the heaviest: no longer in play. */
#define IN_PLAY 0.01
/* So many are told where none explains all readings. */
#define MOST_UNEXPLAINED 5

/* Of one unknown, with two to bear it out: common practice. */
#define LEAST_READINGS 3

/* With so much of the weight a single cause or stretch is taken as found:
 * common practice. */
#define DECIDED 0.9

/* ---- In play ----------------------------------------------------------- */

void
fci_answer_pick(struct fci_answering *a)
{
    size_t i, n = 0;

    for (i = 0; i < a->n; i++)
        a->explained |= a->causes[i].explains;
    for (i = 0; i < a->n && n < FCI_MOST_IN_PLAY; i++) {
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
    bool picked[FCI_MOST_IN_PLAY];
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

/* ---- Whether it is decided --------------------------------------------- */

/* What another gauge tells, and none that is put elsewhere. */
static bool
is_everywhere(const struct fci_cause *cause)
{
    return cause->n_faults == 1 && cause->fault[0]->kind->everywhere;
}

/* Of one element, one run of pipes, one fixture or one kind of pipe or valve.
 * Where water runs on is sought by shutting stops, not by gauges: all such are
 * one. */
static bool
at_one_place(const struct fci_cause *x, const struct fci_cause *y)
{
    const struct fci_fault *a = x->fault[0], *b = y->fault[0];

    if (fci_runs_on(x) || fci_runs_on(y))
        return fci_runs_on(x) && fci_runs_on(y);
    if (is_everywhere(x) && is_everywhere(y))
        return true;
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
        if (fci_is_less(most, weight)) {
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

/* The gauge that the likeliest calls wrong beside another cause, if it was not
 * taken again; FCI_NONE: there is none. */
static size_t
doubted_once(const struct fci_answering *a)
{
    size_t k;

    for (k = 0; a->n > 0 && k < a->causes[0].n_faults; k++) {
        const size_t gauge = a->causes[0].fault[k]->gauge;

        if (gauge != FCI_NONE && fci_readings_times(a->readings, gauge) == 1)
            return gauge;
    }
    return FCI_NONE;
}

/* No reading tells those apart that are left. */
static fc_status
end_here(struct fci_answering *a)
{
    bool picked[FCI_MOST_IN_PLAY];
    size_t i;

    for (i = 0; i < a->n; i++)
        picked[i] = a->causes[i].group == 0;
    if (a->n_groups > 0 && a->groups[0].weight >= DECIDED
        && a->groups[0].single && a->decidable)
        return decide(a, picked,
                      "No reading that can be taken here would narrow it "
                      "down further.");
    if (doubted_once(a) != FCI_NONE)
        return fci_answer_again(a, doubted_once(a));
    a->next.text = a->readings->n < LEAST_READINGS
                       ? "Fewer than three readings decide nothing: take one "
                         "more, with other valves flushing or at another "
                         "place."
                   : a->n == 1
                       ? "No other reading that can be taken here would bear "
                         "it out; look there, and read again when it is "
                         "mended."
                       : "No reading that can be taken here would tell the "
                         "causes that are left apart; they are to be looked "
                         "at one by one.";
    return FC_OK;
}

static bool
is_misread(const struct fci_cause *cause)
{
    return cause->n_faults == 1 && cause->fault[0]->gauge != FCI_NONE;
}

/* A reading that the others speak against is taken again before it is called
 * wrong. */
static fc_status
doubt(struct fci_answering *a, const bool *picked)
{
    const size_t gauge = a->causes[0].fault[0]->gauge;

    if (fci_readings_times(a->readings, gauge) > 1)
        return decide(a, picked, "The other readings stand.");
    return fci_answer_again(a, gauge);
}

/* Whether a cause that is left doubts a reading. */
static bool
any_doubts(const struct fci_answering *a)
{
    size_t i, k;

    for (i = 0; i < a->n; i++)
        for (k = 0; k < a->causes[i].n_faults; k++)
            if (a->causes[i].fault[k]->gauge != FCI_NONE)
                return true;
    return false;
}

/* Few readings fit anything; on one alone nothing is founded that could as
 * well be wrong; and of two causes at once many a wrong pair fits. */
static void
find_decidable(struct fci_answering *a)
{
    a->decidable = a->explained && a->causes[0].n_faults == 1
                   && a->readings->n >= LEAST_READINGS
                   && (is_misread(&a->causes[0]) || !any_doubts(a));
}

/* What no gauge tells any more. */
static const char *
what_now(const struct fci_answering *a)
{
    if (is_everywhere(&a->causes[0]))
        return "Read one place again with another gauge: where it shows the "
               "same it is the supply.";
    if (fci_runs_on(&a->causes[0]))
        return "With nothing flushing, shut the stops of those named one "
               "after the other: where the pressure rises or the meter stops, "
               "it is.";
    return "These readings decide already.";
}

fc_status
fci_answer_next(struct fci_answering *a)
{
    struct fci_next found = { .again = FCI_NONE };
    bool picked[FCI_MOST_IN_PLAY];
    fc_status status;

    find_decidable(a);
    if (a->decidable && heaviest_place(a, picked) >= DECIDED)
        return picked[0] && is_misread(&a->causes[0])
                   ? doubt(a, picked)
                   : decide(a, picked, what_now(a));
    status =
        fci_next_find(&found, a->readings, a->causes, a->n, a->keep, a->arena);
    if (status != FC_OK)
        return status;
    if (found.found)
        return fci_answer_tell(a, &found);
    if (a->explained)
        return end_here(a);
    a->next.text = "Take those again that differ most from what is expected; "
                   "no other would help as long as nothing explains them.";
    return FC_OK;
}
