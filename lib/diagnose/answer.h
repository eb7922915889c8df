/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/answer.h -- what the readings leave, for its own files. */
#ifndef FCI_DIAGNOSE_ANSWER_H
#define FCI_DIAGNOSE_ANSWER_H

#include "diagnose/diagnose.h"
#include "diagnose/looks.h"
#include "diagnose/uncertain.h"

#define FCI_MOST_IN_PLAY 40 /* causes, the heaviest */
#define FCI_MOST_ANSWERS 5
#define FCI_LEAST_ANSWER 0.02 /* of the weight */

struct fci_answering {
    const struct fci_readings *readings;
    const struct fci_uncertain *uncertain;
    struct fci_least_squares *fitting;
    const struct fci_looks *looks;
    struct fci_arena *arena;
    const bool *keep; /* by element: on the way to what was read or flowed */
    struct fci_cause *causes; /* the heaviest first */
    size_t n;
    bool explained; /* by one of them */
    bool doubtful;  /* no fault would be as likely as that nothing is amiss,
                       which a check rules out: none is found */
    size_t alone;   /* the reading that all hangs on, so that it may as well be
                       wrong; FCI_NONE: two or more bear it out */
    bool decided;   /* nothing more need be read, or can be: */
    const char *found;
    fc_cause_group *groups;
    size_t n_groups;
    fc_next_reading next;
    const char *const *looks_first; /* before the gauge is moved for `next` */
    size_t n_looks_first;
};

/* What to do next. */
struct fci_next {
    fc_task kind;
    struct fci_flushing_set set;
    struct fci_gauge_place place;
    bool other_gauge;
    size_t again; /* gauge: that reading once more; FCI_NONE: a new one */
    double apart, score;
    double *shows; /* by cause: in SI; of a look 1 where it shows the fault */
};

/* The causes in play alone, and their weights among them. */
void fci_answer_pick(struct fci_answering *answering);
fc_status fci_answer_group(struct fci_answering *answering);
fc_status fci_answer_next(struct fci_answering *answering);
/* Whether both send somebody to the same place. */
bool fci_same_place(const struct fci_readings *readings,
                    const struct fci_cause *a, const struct fci_cause *b);

/* ---- diagnose/next.c: the next reading ---- */

/* `next` keeps what it has unless a reading is better. */
fc_status fci_next_reading(struct fci_next *next,
                           const struct fci_answering *answering);

/* ---- diagnose/next_look.c: the next look ---- */

void fci_next_look(struct fci_next *next,
                   const struct fci_answering *answering);
/* The looks that are worth their minute before `next` is read. */
fc_status fci_looks_first(struct fci_answering *answering,
                          const struct fci_next *next);

/* ---- diagnose/next_answers.c ---- */

fc_status fci_answer_tell(struct fci_answering *answering,
                          const struct fci_next *next);
/* "check that the curb stop at street is fully open"; NULL out of memory. */
const char *fci_look_words(const struct fci_answering *answering, fc_task task,
                           const char *name);
/* The next reading is one of those taken, once more. */
fc_status fci_answer_again(struct fci_answering *answering, size_t gauge);

#endif
