/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_draw.h -- states of the busy period, drawn and solved. */
#ifndef FCI_FLOW_BUSY_DRAW_H
#define FCI_FLOW_BUSY_DRAW_H

#include "flow/busy_tally.h"
#include "flow/solver.h"

/* Valves with the same chance to be on. */
struct fci_busy_class {
    double on;       /* chance, above 0 */
    double scale;    /* 1 / log(1 - on): 0 where always on */
    double none;     /* no more than the chance that none is on, by a hair */
    size_t first, n; /* in `valves` */
};

/* What is drawn; it does not change, and threads share it. */
struct fci_busy_plan {
    const struct fci_network *network;
    enum fci_end end; /* all inputs at once */
    unsigned long seed;
    struct fci_busy_class *classes;
    size_t n_classes;
    size_t *valves; /* fixture of each valve, class by class */
    size_t n_valves;
    double *least; /* of each fixture: its valve's minimum, -INFINITY: none */
    double *top;   /* its pressure alone, which nothing exceeds */
    double *flow;  /* what a valve of it draws then, likewise */
    /* Where no more is to be told than how often a flush is weak: of each
     * fixture, so many valves at once surely leave it its minimum, or
     * FCI_ALWAYS_WEAK.  NULL: pressures are to be told too. */
    const int *at_once;
};

#define FCI_ALWAYS_WEAK (-1)

/* States are drawn in blocks of so many.  A block's numbers depend on the seed
 * and its own number alone. */
#define FCI_BUSY_BLOCK 1024

struct fci_busy_drawer; /* the memory of one thread */

/* FC_ENOMEM, FC_ENOCONV. */
fc_status fci_busy_plan_new(const struct fci_network *network,
                            enum fci_end end, unsigned long seed,
                            struct fci_busy_plan **plan,
                            fc_diagnostics *messages);
void fci_busy_plan_free(struct fci_busy_plan *plan);

struct fci_busy_drawer *fci_busy_drawer_new(const struct fci_busy_plan *plan);
void fci_busy_drawer_free(struct fci_busy_drawer *drawer);
/* Draw and solve one block and count its flushes in the drawer's tallies, one
 * a fixture. */
fc_status fci_busy_draw(struct fci_busy_drawer *drawer, size_t block);
/* The same of the states in which a given valve of one fixture is on: its own
 * flush in each is counted, and no other. */
fc_status fci_busy_draw_with(struct fci_busy_drawer *drawer, size_t fixture,
                             size_t block);
struct fci_tally *fci_busy_tallies(struct fci_busy_drawer *drawer);
const struct fci_solver *fci_busy_solver(const struct fci_busy_drawer *drawer);

#endif
