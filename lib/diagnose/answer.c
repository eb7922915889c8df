/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/answer.c -- causes that the readings leave in play, put into
 * groups, and whether one is found.
 *
 * One is found when nearly all of the weight is at one place, and all that is
 * left could not be told from it by any reading or look that is easily taken.
 */
#include "diagnose/answer.h"
#include "ground/ties.h"
#include "diagnose/fault_kinds.h"
#include "ground/gsl_guard.h"

#include <gsl/gsl_cdf.h>
#include <math.h>

/* Lighter by more than this than the heaviest: no longer in play. */
#define IN_PLAY 0.005
/* So many are told where none explains all readings. */
#define MOST_UNEXPLAINED 5

/* Of one unknown, with two to bear it out: common practice. */
#define LEAST_READINGS 3

/* With so much of the weight a place is taken as found, whatever else may be
 * read; and with so much where nothing that can be read parts the rest. */
#define SURE 0.985
#define DECIDED 0.9

/* ---- In play ----------------------------------------------------------- */

/* So much less may a wrong reading explain than the likeliest cause, so that
 * it is as good: chi square of one unknown at 1 %. */
#define AS_GOOD 6.6

/* One of them alone is wrong, and was taken once; or all that were taken at
 * one time, and none with the same open since. */
static bool
hangs_on_one(const struct fci_readings *r, const struct fci_cause *cause,
             const struct fci_cause *likeliest)
{
    const struct fci_fault *fault = cause->fault[0];

    if (cause->chi2 > likeliest->chi2 + AS_GOOD || cause->n_faults != 1
        || fault->gauge == FCI_NONE)
        return false;
    return fault->last_gauge == FCI_NONE
           || (fault->gauge == fault->last_gauge
               && fci_readings_times(r, fault->gauge) == 1);
}

void
fci_answer_pick(struct fci_answering *a)
{
    size_t i, n = 0;

    a->alone = FCI_NONE;
    for (i = 0; i < a->n; i++) {
        a->explained |= a->causes[i].explains;
        if (a->alone == FCI_NONE
            && hangs_on_one(a->readings, &a->causes[i], &a->causes[0]))
            a->alone = a->causes[i].fault[0]->gauge;
    }
    for (i = 0; i < a->n && n < FCI_MOST_IN_PLAY; i++) {
        if (a->explained ? !a->causes[i].explains : n == MOST_UNEXPLAINED)
            continue;
        if (!a->explained && a->causes[i].n_faults == 0)
            continue;
        if (n > 0 && a->causes[i].weight < IN_PLAY * a->causes[0].weight)
            break;
        a->causes[n++] = a->causes[i];
    }
    a->n = n;
    fci_causes_weigh(a->causes, a->n);
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

/* Of one element, one run of pipes, one fixture or one kind of pipe or valve.
 * Where water runs on is sought by shutting stops, not by gauges: all such are
 * one. */
static bool
at_one_place(const struct fci_fault *a, const struct fci_fault *b)
{
    if (a->outlets || b->outlets)
        return a->outlets && b->outlets;
    return a->element == b->element && a->last == b->last
           && a->fixture == b->fixture && a->gauge == b->gauge
           && a->of_gauge == b->of_gauge && a->all == b->all
           && a->shared == b->shared;
}

/* A height is taped, whichever pipe of a stretch it is of: no reading need
 * tell which. */
static bool
are_one_height(const struct fci_readings *r, const struct fci_cause *x,
               const struct fci_cause *y)
{
    size_t i;

    if (x->fault[0]->kind != &fci_height || y->fault[0]->kind != &fci_height)
        return false;
    for (i = 0; i < r->n; i++)
        if (fabs(x->shows[i] - y->shows[i]) > fci_deviation(&r->gauges[i]))
            return false;
    return true;
}

bool
fci_same_place(const struct fci_readings *r, const struct fci_cause *x,
               const struct fci_cause *y)
{
    const struct fci_fault *const *a = x->fault, *const *b = y->fault;

    if (x->n_faults != y->n_faults)
        return false;
    if (x->n_faults == 0)
        return true;
    if (x->n_faults == 1)
        return at_one_place(a[0], b[0]) || are_one_height(r, x, y);
    return (at_one_place(a[0], b[0]) && at_one_place(a[1], b[1]))
           || (at_one_place(a[0], b[1]) && at_one_place(a[1], b[0]));
}

/* Whether a pair has in it what a single cause is. */
static bool
has_in_it(const struct fci_answering *a, const struct fci_cause *pair,
          const struct fci_cause *single)
{
    size_t i, k;

    if (pair->n_faults != 2 || single->n_faults != 1)
        return false;
    for (k = 0; k < 2; k++) {
        if (at_one_place(pair->fault[k], single->fault[0]))
            return true;
        for (i = 0; i < a->n; i++)
            if (a->causes[i].n_faults == 1
                && a->causes[i].fault[0] == pair->fault[k]
                && are_one_height(a->readings, &a->causes[i], single))
                return true;
    }
    return false;
}

/* What the causes of one place weigh together. */
static double
weight_at(const struct fci_answering *a, size_t of)
{
    double sum = 0;
    size_t k;

    for (k = 0; k < a->n; k++)
        if (fci_same_place(a->readings, &a->causes[of], &a->causes[k]))
            sum += a->causes[k].weight;
    return sum;
}

/* And with those pairs that have it in them: with another fault it is still
 * there. */
static double
weight_with(const struct fci_answering *a, size_t of)
{
    double sum = weight_at(a, of);
    size_t k;

    for (k = 0; k < a->n; k++)
        if (has_in_it(a, &a->causes[k], &a->causes[of]))
            sum += a->causes[k].weight;
    return sum;
}

/* The causes of the heaviest place, and how likely it is that it is there: a
 * single one that is likelier alone than with any other, else all for
 * itself. */
static double
heaviest_place(const struct fci_answering *a, bool *picked)
{
    double most = 0, with;
    size_t i, k, of = 0;

    for (i = 0; i < a->n; i++) {
        const double weight = weight_at(a, i);

        if (fci_is_less(most, weight)) {
            most = weight;
            of = i;
        }
    }
    for (k = 0; k < a->n; k++)
        picked[k] = fci_same_place(a->readings, &a->causes[of], &a->causes[k]);
    with = weight_with(a, of);
    return most > with / 2 ? with : most;
}

static const struct fci_cause *
first_picked(const struct fci_answering *a, const bool *picked)
{
    size_t i = 0;

    while (!picked[i])
        i++;
    return &a->causes[i];
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

/* What no gauge tells any more. */
static const char *
what_now(const struct fci_cause *found)
{
    if (found->n_faults == 1 && fci_runs_on(found))
        return "With everything shut, close the stops of the outlets named "
               "one at a time and watch the pressure or the meter dial: the "
               "one that changes it won't shut off.";
    return "These readings decide it.";
}

/* Whether what was seen or taped shows it. */
static bool
was_seen(const struct fci_cause *cause)
{
    size_t k;

    for (k = 0; k < cause->n_faults; k++)
        if (!(cause->fault[k]->seen > 1))
            return false;
    return true;
}

/* A look that shows the cause, or rules it out; false: there is none. */
static bool
look_at(const struct fci_answering *a, const struct fci_cause *found,
        struct fci_next *next)
{
    double share;
    size_t i;

    next->kind = fci_look_for(a->looks, found->fault[0], &next->place, &share);
    next->set = (struct fci_flushing_set){ .first = FCI_NONE };
    next->again = FCI_NONE;
    next->other_gauge = false;
    next->apart = share;
    for (i = 0; i < a->n; i++)
        next->shows[i] =
            share * fci_same_place(a->readings, found, &a->causes[i]);
    return next->kind != FC_TASK_NONE;
}

/* `no_more`: what is said of it where no reading parts the picked; NULL: what
 * is to be done now.  A reading that the others speak against is taken again
 * before it is called wrong, and so is one that all hangs on, unless a look
 * tells as much. */
static fc_status
find_at(struct fci_answering *a, const bool *picked, struct fci_next *next,
        const char *no_more)
{
    const struct fci_cause *found = first_picked(a, picked);
    size_t k;

    for (k = 0; k < found->n_faults; k++)
        if (found->fault[k]->gauge != FCI_NONE
            && fci_readings_times(a->readings, found->fault[k]->gauge) == 1)
            return fci_answer_again(a, found->fault[k]->gauge);
    if (a->alone == FCI_NONE || was_seen(found))
        return decide(a, picked, no_more ? no_more : what_now(found));
    return look_at(a, found, next) ? fci_answer_tell(a, next)
                                   : fci_answer_again(a, a->alone);
}

/* What is found is no less likely than this to be so far off. */
#define LEAST_CHANCE 0.03

/* Whether there are more readings than unknowns, which explain anything, and
 * it fits them well. */
static bool
is_borne_out(const struct fci_answering *a, const struct fci_cause *cause)
{
    const size_t distinct = fci_readings_distinct(a->readings);
    gsl_error_handler_t *host = fci_gsl_quiet();
    const double chance = gsl_cdf_chisq_Q(cause->chi2, (double)distinct);

    fci_gsl_restore(host);
    return chance >= LEAST_CHANCE
           && distinct >= (size_t)LEAST_READINGS + (cause->n_faults > 1);
}

/* No reading tells those apart that are left. */
static fc_status
end_here(struct fci_answering *a, bool enough, struct fci_next *next)
{
    bool picked[FCI_MOST_IN_PLAY];
    const bool sure = heaviest_place(a, picked) >= DECIDED;
    size_t i;

    if (enough && sure && first_picked(a, picked)->n_faults > 0)
        return find_at(a, picked, next, NULL);
    for (i = 0; i < a->n; i++)
        picked[i] = a->causes[i].group == 0;
    if (enough && a->n_groups > 0 && a->groups[0].weight >= DECIDED
        && a->groups[0].single && a->causes[0].n_faults == 1)
        return find_at(a, picked, next,
                       "No further reading here narrows it down.");
    a->next.text = fci_readings_distinct(a->readings) < LEAST_READINGS
                       ? "Fewer than three readings settle nothing: take one "
                         "more, with other valves open or at another place."
                       : "No further reading here tells the remaining causes "
                         "apart: check them one by one.";
    return FC_OK;
}

fc_status
fci_answer_next(struct fci_answering *a)
{
    struct fci_next next = { .again = FCI_NONE };
    bool picked[FCI_MOST_IN_PLAY];
    bool enough;
    double weight;
    fc_status status;

    if (a->n == 0) {
        a->next.text =
            "Retake the readings that differ most from what is expected.";
        return FC_OK;
    }
    weight = heaviest_place(a, picked);
    /* as many unknowns as readings explain anything */
    enough = a->explained && !a->doubtful
             && is_borne_out(a, first_picked(a, picked));
    next.shows = fci_arena_array(a->arena, a->n + 1, sizeof *next.shows);
    if (!next.shows)
        return FC_ENOMEM;
    if (enough && weight >= SURE && first_picked(a, picked)->n_faults > 0)
        return find_at(a, picked, &next, NULL);
    status = fci_next_reading(&next, a);
    if (status == FC_OK && a->explained)
        fci_next_look(&next, a);
    if (status != FC_OK)
        return status;
    if (next.kind != FC_TASK_NONE) {
        status = fci_answer_tell(a, &next);
        if (status == FC_OK && a->explained)
            status = fci_looks_first(a, &next);
        /* what would say the same of all is no reading */
        if (status != FC_OK || !a->explained || a->next.n_answers > 1)
            return status;
        a->next = (fc_next_reading){ .dimension = FC_PRESSURE, .volume = NAN };
        a->n_looks_first = 0;
    }
    if (a->explained)
        return end_here(a, enough, &next);
    a->next.text = "Retake the readings that differ most from what is "
                   "expected; no other helps while nothing explains them.";
    return FC_OK;
}
