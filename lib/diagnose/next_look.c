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

/* Each look that may show a fault of a cause in play, with what it tells
 * apart; `keep` may take it. */
static void
try_looks(const struct fci_answering *a,
          void (*keep)(void *what, const struct looking *look, double apart),
          void *what)
{
    size_t i, k;

    for (i = 0; i < a->n; i++)
        for (k = 0; k < a->causes[i].n_faults; k++) {
            struct looking l = { .answering = a };
            double share, apart;

            l.task = fci_look_for(a->looks, a->causes[i].fault[k], &l.place,
                                  &share);
            if (l.task == FC_TASK_NONE)
                continue;
            apart = told_apart(&l);
            if (apart >= WORTH_WHILE)
                keep(what, &l, apart);
        }
}

static void
keep_best(void *what, const struct looking *l, double apart)
{
    struct fci_next *next = what;
    size_t c;

    if (!fci_is_less(next->score, apart))
        return;
    next->kind = l->task;
    next->place = l->place;
    next->set = (struct fci_flushing_set){ .first = FCI_NONE };
    next->again = FCI_NONE;
    next->other_gauge = false;
    next->apart = apart;
    next->score = apart;
    for (c = 0; c < l->answering->n; c++)
        next->shows[c] = shows(l, &l->answering->causes[c]);
}

void
fci_next_look(struct fci_next *next, const struct fci_answering *a)
{
    try_looks(a, keep_best, next);
}

/* ---- Before the gauge is moved ----------------------------------------- */

/* More are no matter of a minute. */
#define MOST_FIRST 3
/* What a look tells apart, of what the reading does. */
#define WORTH_FIRST 0.2

struct first {
    struct looking looks[MOST_FIRST];
    double apart[MOST_FIRST];
    size_t n;
    double least;
};

/* The best ones, each once. */
static void
keep_first(void *what, const struct looking *l, double apart)
{
    struct first *f = what;
    size_t i;

    if (apart < f->least)
        return;
    for (i = 0; i < f->n; i++)
        if (f->looks[i].task == l->task
            && same_spot(f->looks[i].place, l->place))
            return;
    if (f->n < MOST_FIRST)
        f->n++;
    else if (!fci_is_less(f->apart[f->n - 1], apart))
        return;
    for (i = f->n - 1; i > 0 && fci_is_less(f->apart[i - 1], apart); i--) {
        f->looks[i] = f->looks[i - 1];
        f->apart[i] = f->apart[i - 1];
    }
    f->looks[i] = *l;
    f->apart[i] = apart;
}

fc_status
fci_looks_first(struct fci_answering *a, const struct fci_next *next)
{
    struct first f = { .least = fmax(WORTH_WHILE, WORTH_FIRST * next->apart) };
    const char **list = fci_arena_array(a->arena, MOST_FIRST, sizeof *list);
    size_t i;

    if (!list)
        return FC_ENOMEM;
    if (next->kind == FC_TASK_PRESSURE || next->kind == FC_TASK_FLUSH_TIME)
        try_looks(a, keep_first, &f);
    for (i = 0; i < f.n; i++) {
        list[i] = fci_look_words(
            a, f.looks[i].task,
            fci_place_name(a->readings->site, f.looks[i].place));
        if (!list[i])
            return FC_ENOMEM;
    }
    a->looks_first = list;
    a->n_looks_first = f.n;
    return FC_OK;
}
