/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/size/uniform.h -- sizes by the hand method of uniform friction loss. */
#ifndef FCI_SIZE_UNIFORM_H
#define FCI_SIZE_UNIFORM_H

#include "size/problem.h"

/* The run that governs, in the state where it allows least. */
struct fci_uniform_run {
    double rate;             /* friction allowed [Pa/m]; INFINITY: no fixture
                                has a size to choose before it */
    double spare;            /* pressure to spare for friction [Pa] */
    double developed_length; /* with fittings at the sizes chosen [m] */
    size_t fixture;
    fc_state state;
};

struct fci_uniform {
    struct fci_arena arena;
    bool found;
    size_t lacking; /* not found: node without a size that is enough; 0: there
                       is no pressure to spare */
    struct fci_uniform_run run;
    size_t *choice; /* by node */
};

/* FC_OK or FC_ENOMEM; its arena is freed on any outcome. */
fc_status fci_uniform_make(struct fci_uniform *uniform,
                           const struct fci_size_problem *problem);

#endif
