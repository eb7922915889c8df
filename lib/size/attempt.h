/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/size/attempt.h -- sizes at least cost for some aims, and their check. */
#ifndef FCI_SIZE_ATTEMPT_H
#define FCI_SIZE_ATTEMPT_H

#include "size/choice.h"

struct fci_attempt {
    struct fci_size_problem problem;
    size_t *choice;          /* by node; of the least need where none serves */
    bool found;              /* every fixture is served at peak */
    bool any;                /* there is a choice at all */
    int lacking;             /* not found: a state of the sizing that is not
                            served */
    size_t blocked;          /* no choice: where */
    double least[FC_STATES]; /* by states of the sizing: what would do at the
                                source's outlet; INFINITY: nothing */
    double cost, bound;
    bool least_proved; /* = the least there is at all */
    size_t longest;
    struct fci_change_list changes;
    struct fci_trial trial; /* where there is a choice; the flush events only
                               where it serves at peak */
    fc_check_options how;   /* it is to be checked */
    fc_check_result *check; /* made when first asked for, */
    const struct fci_evidence *evidence; /* with these readings; NULL: none */
};

/* FC_OK, or what fci_size_problem_make() and fc_check() return; freed with
 * fci_attempt_free() on any outcome. */
fc_status fci_attempt_make(struct fci_attempt *attempt, const fc_site *site,
                           const struct fci_size_aims *aims,
                           const fc_size_options *options,
                           fc_diagnostics *messages);
void fci_attempt_free(struct fci_attempt *attempt);

/* Whether check finds that all works in the state to be. */
bool fci_attempt_works(const struct fci_attempt *attempt);
/* Whether it does so but for the flush events. */
bool fci_attempt_at_peak(const struct fci_attempt *attempt);
/* All that check says of it; the attempt keeps it.  Where there is a choice.
 */
fc_status fci_attempt_check(struct fci_attempt *attempt,
                            fc_diagnostics *messages);
/* The same anew, with nothing supposed of a main that nobody tested, and with
 * what would settle it. */
fc_status fci_attempt_check_as_known(struct fci_attempt *attempt,
                                     fc_diagnostics *messages);

/* The attempt with as little pressure in hand as does in the flush events. */
struct fci_best {
    struct fci_arena arena;
    struct fci_attempt attempt;
    double in_hand;          /* [Pa] */
    double cost_at_peak;     /* of the attempt with none; NAN: none serves */
    double least[FC_STATES]; /* of that attempt too */
    bool *marked; /* by fixture: it has that in hand; NULL: none has */
    double *slack[FC_STATES]; /* what each fixture has over its need with the
                                 sizes that take least; NULL: not needed */
};

/* As fci_attempt_make() (size/best.c); freed with fci_best_free() on any
 * outcome. */
fc_status fci_attempt_best(struct fci_best *best, const fc_site *site,
                           const struct fci_size_aims *aims,
                           const fc_size_options *options,
                           fc_diagnostics *messages);
void fci_best_free(struct fci_best *best);
/* One that works, with every pipe as small as check lets it be, one at a time,
 * and as far as it is found in reasonable time (size/trim.c).  FC_OK, or what
 * a check returns; it then still works. */
fc_status fci_attempt_trim(struct fci_attempt *attempt,
                           const fc_size_options *options,
                           fc_diagnostics *messages);
/* Whether some fixture has less in hand than the others. */
bool fci_best_is_bounded(const struct fci_best *best);

/* What is left at each node with a choice, in a state of the sizing.  False:
 * less than some place needs; `left` is filled all the same. */
bool fci_pressures_left(const struct fci_size_problem *problem,
                        const size_t *choice, int s, double *left);

#endif
