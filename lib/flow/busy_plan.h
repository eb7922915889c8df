/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/busy_plan.h -- which valves are on in the busy period, and how
 * likely. */
#ifndef FCI_FLOW_BUSY_PLAN_H
#define FCI_FLOW_BUSY_PLAN_H

#include "flow/network.h"
#include "ground/memory.h"

/* Valves with the same chance to be on. */
struct fci_busy_class {
    double on;       /* chance, above 0 */
    size_t first, n; /* in `valves` */
};

/* States by how many valves are on in all of the building. */
struct fci_stratum {
    size_t low, high; /* valves on */
    double chance;
};

/* So many strata at most. */
#define FCI_STRATA 32

/* It does not change once it is made, and threads share it. */
struct fci_busy_plan {
    const struct fci_network *network;
    enum fci_end end; /* all inputs at once */
    const double *on; /* of each fixture, the chance that a valve of it is on;
                         NULL: that of the busiest period */
    struct fci_busy_class *classes;
    size_t n_classes;
    size_t *class_of; /* of each fixture; FCI_NONE: none is ever on */
    size_t *valves;   /* fixture of each valve, class by class */
    size_t n_valves;
    double *least; /* of each fixture: its valve's minimum, -INFINITY: none */
    double *top;   /* its pressure alone, which nothing exceeds */
    double *flow;  /* what a valve of it draws then, likewise */
    bool monotone; /* more valves on leave less pressure */

    /* How many are on: up to `most`, more with a chance of `left_out`. */
    size_t most;
    double left_out;
    double *chance; /* [most + 1] */
    double *own;    /* [n_classes][most + 1]: of a class alone */
    double *rest;   /* [n_classes + 1][most + 1]: of a class and those after */
    double *others; /* [n_classes][most + 1]: of all but one valve of it */
    struct fci_stratum strata[FCI_STRATA];
    size_t n_strata; /* 0: far too many valves of too many chances */
};

/* The chance that a valve of the fixture is on, by `on` as of a plan; 0: it is
 * no flush valve. */
double fci_busy_on(const struct fci_network *network, size_t fixture,
                   enum fci_end end, const double *on);

/* It borrows `on`.  FC_ENOMEM, FC_ENOCONV. */
fc_status fci_busy_plan_new(const struct fci_network *network,
                            enum fci_end end, const double *on,
                            struct fci_busy_plan **plan,
                            fc_diagnostics *messages);
void fci_busy_plan_free(struct fci_busy_plan *plan);

/* Given that one valve of the class is on: the chance that so many of the
 * others are that the number of all that are on is in the stratum without it
 * (`with`: with it). */
double fci_busy_part(const struct fci_busy_plan *plan, size_t class,
                     size_t stratum, bool with);

#endif
