/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/ladder_work.h -- a ladder at work, for its own files. */
#ifndef FCI_FLOW_LADDER_WORK_H
#define FCI_FLOW_LADDER_WORK_H

#include "flow/all_sets.h"
#include "flow/ladder.h"
#include "flow/repeats.h"
#include "flow/worst_set.h"

/* So many valves are told apart at first. */
#define FCI_FIRST_COUNTED 16

/* How finely they tell, three times. */
#define FCI_FINENESSES 3

/* The finest only in a building with no more fixtures. */
#define FCI_FEW_FIXTURES 64

/* No more pairs are looked at for all fixtures of a building, the fewer the
 * more there are beyond some number; but so many for each of them. */
#define FCI_MOST_WORK 40000000
#define FCI_MANY_FIXTURES 100
#define FCI_LEAST_WORK 10000
/* with which those that begin long are not looked at by pairs */
#define FCI_LITTLE_WORK 300000
/* and where only the shortest ladder is looked for, for each that may be */
#define FCI_WORK_IN_SHORT 5000000

struct fci_ladder {
    const struct fci_network *network;
    struct fci_solver *solver;
    struct fci_at_links at;
    struct fci_repeats repeats;
    struct fci_open *near; /* all of them, those nearest to the fixture first;
                              its own is the first */
    size_t n_near;
    size_t *meets, *placed; /* room to put them in that order */
    bool ordered;           /* they are */
    double *pressures;
    double *all_open; /* pressure of each fixture with all of them open */
    bool all_known;
    int n_valves;

    bool parts; /* more flow leaves less, and branches are apart */
    struct fci_worst *worst;
    struct fci_most_drawn *drawn[FCI_ENDS][FCI_FINENESSES];
    struct fci_all_sets *sets;

    /* the climb at hand */
    size_t fixture;
    enum fci_end end;
    double least;
    size_t work;          /* that is left for it */
    struct fci_open *set; /* that is tried */
    size_t n_set;
    bool roughly;          /* the least pressure is not to be proved */
    struct fci_open *kept; /* that starves it */
    size_t n_kept;
};

/* Whether a pressure is short, by more than rounding. */
static inline bool
fci_ladder_short(double pressure, double least)
{
    return !(pressure >= least - FCI_SOLVED_TO);
}

/* ---- flow/ladder_sets.c ---- */

/* The pressure of the fixture with `set` open. */
fc_status fci_ladder_solve(struct fci_ladder *l, double *pressure);
/* `near` for the fixture at hand. */
void fci_ladder_order(struct fci_ladder *l);
/* With the n nearest valves. */
fc_status fci_ladder_nearest(struct fci_ladder *l, size_t n, double *pressure);
/* Whether it keeps enough with all of them open; most do not. */
fc_status fci_ladder_all(struct fci_ladder *l, bool *enough);

/* ---- flow/ladder_tables.c ---- */

size_t fci_ladder_finest(const struct fci_ladder *l);
/* A table that tells so many apart, at the end at hand; NULL: out of memory.
 */
const struct fci_most_drawn *fci_ladder_drawn(struct fci_ladder *l,
                                              size_t fine, size_t counted);
/* What a valve has where so much is at the end of its link. */
double fci_own_pressure(const struct fci_outlet_law *law, double pressure);
/* What others ask of the source (flow/worst_set.h).  Nothing is told where the
 * work that is left does not do; then none is. */
fc_status fci_ladder_ask(struct fci_ladder *l, size_t fine, double pressure,
                         size_t others);
/* With so many others that ask for the most. */
fc_status fci_ladder_try(struct fci_ladder *l, size_t others,
                         double *pressure);
/* With all sets of so many in turn: the least. */
fc_status fci_ladder_every(struct fci_ladder *l, size_t n, double *pressure);
void fci_ladder_keep(struct fci_ladder *l);

/* ---- flow/ladder_number.c ---- */

struct fci_finding {
    size_t known;    /* so many surely leave it enough */
    size_t starving; /* so many do not, those that are kept; 0: none are known
                      */
    double pressure; /* that those leave it */
};

/* `all`: every valve leaves it enough. */
fc_status fci_ladder_find(struct fci_ladder *l, struct fci_finding *f,
                          bool all);

/* ---- flow/ladder.c ---- */

/* What is asked from now on. */
void fci_ladder_take(struct fci_ladder *l, size_t fixture, enum fci_end end,
                     double least);

/* ---- flow/ladder_least.c ---- */

/* The least pressures of up to n valves; those of fewer only if asked for. */
fc_status fci_ladder_pressures(struct fci_ladder *l,
                               const struct fci_finding *f, size_t n,
                               enum fci_ladder_depth depth, bool *worst);

#endif
