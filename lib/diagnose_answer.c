/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose_answer.c -- causes that the readings leave in play, put into
 * groups, and what the next reading would mean.
 */
#include "diagnose_answer.h"
#include "units.h"

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

static struct fci_shown
pressure(const struct fci_answering *a, double value)
{
    return fci_show(a->readings->site->settings.units, FC_PRESSURE, value);
}

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
            fci_causes_words(a->arena, a->readings->site, a->causes, picked,
                             a->n, &a->groups[g].single);
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
        answer->pressure += a->causes[by[i]].weight * shows[by[i]];
    }
    answer->pressure /= answer->weight;
    answer->text = fci_causes_words(a->arena, a->readings->site, a->causes,
                                    picked, a->n, &single);
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

static fc_status
word_next(struct fci_answering *a, const struct fci_next *found)
{
    const char *text = fci_arena_printf(
        a->arena, "Put the gauge at %s and flush %s:", a->next.at,
        a->next.flushing);
    size_t i;

    if (found->set.n == 0)
        text = fci_arena_printf(
            a->arena, "Put the gauge at %s and flush nothing:", a->next.at);
    for (i = 0; text && i < a->next.n_answers; i++) {
        const fc_answer_meant *answer = &a->next.answers[i];
        const struct fci_shown low = pressure(a, answer->low);
        const struct fci_shown high = pressure(a, answer->high);

        text = strcmp(low.text, high.text) == 0
                   ? fci_arena_printf(a->arena, "%s %s means %s%s", text,
                                      low.text, answer->text,
                                      i + 1 < a->next.n_answers ? ";" : ".")
                   : fci_arena_printf(a->arena, "%s %s to %s means %s%s", text,
                                      low.text, high.text, answer->text,
                                      i + 1 < a->next.n_answers ? ";" : ".");
    }
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

/* Whether all of the first group is about one element or fixture. */
static bool
is_one_place(const struct fci_answering *a)
{
    const struct fci_cause *first = NULL;
    size_t i;

    for (i = 0; i < a->n; i++) {
        const struct fci_cause *cause = &a->causes[i];

        if (cause->group != 0)
            continue;
        if (first
            && (cause->n_faults > 1 || first->n_faults > 1
                || cause->fault[0]->element != first->fault[0]->element
                || cause->fault[0]->fixture != first->fault[0]->fixture))
            return false;
        first = cause;
    }
    return first && a->groups[0].single;
}

fc_status
fci_answer_next(struct fci_answering *a)
{
    struct fci_next found = { 0 };
    fc_status status;
    bool heavy;

    /* what takes as many unknowns as there are readings explains anything */
    heavy = a->explained && a->groups[0].weight >= DECIDED
            && a->readings->n > a->causes[0].n_unknowns;
    if (heavy && is_one_place(a)) {
        a->decided = true;
        a->next.text = "These readings decide already.";
        return FC_OK;
    }
    status =
        fci_next_find(&found, a->readings, a->causes, a->n, a->keep, a->arena);
    if (status != FC_OK)
        return status;
    if (!found.found) {
        a->decided = heavy && a->groups[0].single;
        a->next.text =
            a->explained
                ? "No reading that can be taken here would tell the causes "
                  "that are left apart; they are to be looked at one by one."
                : "Take those again that differ most from what is expected; "
                  "no other would help as long as nothing explains them.";
        return FC_OK;
    }
    a->next.at = fci_place_name(a->readings->site, found.place);
    a->next.flushing =
        fci_flushing_words(a->arena, a->readings->site, &found.set);
    a->next.apart = found.apart;
    if (!list_flush(a, &found.set))
        return FC_ENOMEM;
    if (!a->next.flushing)
        return FC_ENOMEM;
    status = tell_answers(a, found.shows, fci_readings_widest(a->readings));
    return status == FC_OK ? word_next(a, &found) : status;
}

fc_status
fci_answer_again(struct fci_answering *a, const struct fci_gauge *gauge)
{
    const struct fci_flushing_set *set = &a->readings->events[gauge->event];

    a->next.at = fci_place_name(a->readings->site, gauge->place);
    a->next.flushing = fci_flushing_words(a->arena, a->readings->site, set);
    if (!a->next.flushing || !list_flush(a, set))
        return FC_ENOMEM;
    a->next.text = fci_arena_printf(
        a->arena, "Take %s at %s again, and the one it contradicts.",
        gauge->name, a->next.at);
    return a->next.text ? FC_OK : FC_ENOMEM;
}
