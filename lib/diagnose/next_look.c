/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/next_look.c -- the look that parts the causes best.
 *
 * A look takes a minute and no gauge, so that it comes before a reading that
 * tells as much; it tells of one fault alone: it shows it, or rules it out.
 */
#include "diagnose/answer.h"
#include "diagnose/fault_kinds.h"
#include "ground/ties.h"

#include <math.h>

#define WORTH_WHILE 0.02 /* as of a reading */

struct looking {
    const struct fci_answering *answering;
    fc_task task;
    struct fci_gauge_place place;
};

static bool
same_spot(struct fci_gauge_place a, struct fci_gauge_place b)
{
    return a.element == b.element && a.fixture == b.fixture;
}

/* How likely the look shows a fault where this is the cause. */
static double
shows(const struct looking *l, const struct fci_cause *cause)
{
    double none = 1;
    size_t k;

    for (k = 0; k < cause->n_faults; k++) {
        struct fci_gauge_place place;
        double share;

        if (fci_look_for(l->answering->looks, cause->fault[k], &place, &share)
                == l->task
            && same_spot(place, l->place))
            none *= 1 - share;
    }
    return 1 - none;
}

/* The chance that it tells two causes apart. */
static double
told_apart(const struct looking *l)
{
    const struct fci_answering *a = l->answering;
    double sum = 0, all = 0;
    size_t i, j;

    for (i = 0; i < a->n; i++)
        for (j = 0; j < i; j++) {
            const double weight = a->causes[i].weight * a->causes[j].weight;

            if (fci_same_place(a->readings, &a->causes[i], &a->causes[j]))
                continue;
            all += weight;
            sum += weight
                   * fabs(shows(l, &a->causes[i]) - shows(l, &a->causes[j]));
        }
    return all > 0 ? sum / all : 0;
}

fc_status
fci_next_look(struct fci_next *next, const struct fci_answering *a)
{
    size_t i, k, c;

    for (i = 0; i < a->n; i++)
        for (k = 0; k < a->causes[i].n_faults; k++) {
            const struct fci_fault *fault = a->causes[i].fault[k];
            struct looking l = { .answering = a };
            double share, apart;

            l.task = fci_look_for(a->looks, fault, &l.place, &share);
            if (l.task == FC_TASK_NONE)
                continue;
            apart = told_apart(&l);
            if (apart < WORTH_WHILE || !fci_is_less(next->score, apart))
                continue;
            next->kind = l.task;
            next->place = l.place;
            next->set = (struct fci_flushing_set){ .first = FCI_NONE };
            next->again = FCI_NONE;
            next->other_gauge = false;
            next->apart = apart;
            next->score = apart;
            for (c = 0; c < a->n; c++)
                next->shows[c] = shows(&l, &a->causes[c]);
        }
    return FC_OK;
}
