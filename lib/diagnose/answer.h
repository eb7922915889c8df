/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/answer.h -- what the readings leave, for its own files. */
#ifndef FCI_DIAGNOSE_ANSWER_H
#define FCI_DIAGNOSE_ANSWER_H

#include "diagnose/diagnose.h"

#define FCI_MOST_IN_PLAY 40 /* causes, the heaviest */

struct fci_answering {
    const struct fci_readings *readings;
    struct fci_arena *arena;
    const bool *keep; /* by element: on the way to what was read or flowed */
    struct fci_cause *causes; /* the heaviest first */
    size_t n;
    bool explained; /* by one of them */
    bool decidable; /* the likeliest takes fewer unknowns than readings */
    bool decided;   /* nothing more need be read, or can be: */
    const char *found;
    fc_cause_group *groups;
    size_t n_groups;
    fc_next_reading next;
};

/* The causes in play alone, and their weights among them. */
void fci_answer_pick(struct fci_answering *answering);
fc_status fci_answer_group(struct fci_answering *answering);
fc_status fci_answer_next(struct fci_answering *answering);

/* ---- diagnose/next_answers.c ---- */

fc_status fci_answer_tell(struct fci_answering *answering,
                          const struct fci_next *next);
/* The next reading is one of those taken, once more. */
fc_status fci_answer_again(struct fci_answering *answering, size_t gauge);

#endif
