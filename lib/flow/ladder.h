/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/ladder.h -- how many valves may be open before one is short. */
#ifndef FCI_FLOW_LADDER_H
#define FCI_FLOW_LADDER_H

#include "flow/solver.h"

/* Where all may be open the climb stops after so many. */
#define FCI_RUNGS_SHOWN 8

/* One climb.  The arrays are borrowed and last until the next climb. */
struct fci_rungs {
    int most;  /* valves at once, the fixture's own among them: whichever they
                  are, it is proved */
    int could; /* it could be so many, where that is not known: a set of one
                  more starves it; else the same */
    bool all;  /* `most` is every valve */
    const double *pressures; /* with 1, 2, ... n open [Pa] */
    size_t n_pressures;
    bool worst;                 /* each is the least that any so many leave, to
                                   FCI_WORST_TO; else some so many leave it */
    const struct fci_open *set; /* the could + 1 that starve it; none where
                                   that is every valve */
    size_t n_set;
};

/* To so much the least pressures are proved [Pa]. */
#define FCI_WORST_TO 1.0

/* How much is looked for. */
enum fci_ladder_depth {
    FCI_MOST_ALONE,  /* how many at once */
    FCI_MOST_WORST,  /* and the least pressure with one more */
    FCI_EVERY_NUMBER /* and with any fewer */
};

struct fci_ladder; /* the memory of one thread */

struct fci_ladder *fci_ladder_new(const struct fci_network *network,
                                  struct fci_solver *solver);
void fci_ladder_free(struct fci_ladder *ladder);

/* How many valves may be open, whichever they are, until some of them leave
 * `fixture` less than `least` [Pa] at its inlet.  FC_ENOCONV as the solver. */
fc_status fci_ladder_climb(struct fci_ladder *ladder, size_t fixture,
                           enum fci_end end, double least,
                           enum fci_ladder_depth depth,
                           struct fci_rungs *rungs);

/* The least that any n valves leave a fixture, its own among them, and which
 * set does. */
struct fci_least {
    double pressure;            /* at its inlet [Pa] */
    bool proved;                /* no other n leave it less, to FCI_WORST_TO */
    const struct fci_open *set; /* its own first; borrowed until the next */
    size_t n_set;
};
/* n no more than there are valves; FC_ENOCONV as the solver. */
fc_status fci_ladder_least(struct fci_ladder *ladder, size_t fixture,
                           enum fci_end end, size_t n,
                           struct fci_least *least);

/* So many valves at once surely leave it `least`, known without solving, and
 * in `left` no more than what one more would leave it [Pa].  No more than
 * `looked` are looked at, which is the quicker the fewer; where so many are
 * sure `left` is not known, -INFINITY.  At the nominal inputs or the worst. */
fc_status fci_ladder_surely(struct fci_ladder *ladder, size_t fixture,
                            enum fci_end end, double least, int looked,
                            int *surely, double *left);

/* Beyond so many nothing is told of one number of valves. */
#define FCI_MOST_COUNTED 128

/* Whether some n valves may leave it less than `least` [Pa], its own among
 * them; false: surely none do.  Far quicker than a climb. */
fc_status fci_ladder_may(struct fci_ladder *ladder, size_t fixture,
                         enum fci_end end, double least, int n, bool *may);

/* Pressures with every input at its worst, or at the nominal inputs where no
 * end bounds them [Pa]. */
struct fci_left {
    double *outlets; /* by element, at its outlet */
    double *inlets;  /* by fixture: of a flush valve while it flushes, of
                        another one at rest */
    double *way;     /* room for the work */
};
/* In the arena; false: out of memory. */
bool fci_left_room(struct fci_left *left, const fc_site *site,
                   struct fci_arena *arena);
/* No n valves, whichever they are, leave less; n no more than there are.
 * `finely`: by the finest tables, nearer to what they do leave.  FC_ENOMEM,
 * FC_ENOCONV as the solver. */
fc_status fci_ladder_left(struct fci_ladder *ladder, size_t n, bool finely,
                          struct fci_left *left);

/* Of each fixture whether the ladder of one that is not so marked is no
 * longer, and its pressures no higher (flow/twins.h). */
fc_status fci_ladder_twins(const struct fci_ladder *ladder, bool *spoken_for);

#endif
