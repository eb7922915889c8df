/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/looks.h -- what was looked at, and what a look would show. */
#ifndef FCI_DIAGNOSE_LOOKS_H
#define FCI_DIAGNOSE_LOOKS_H

#include "diagnose/diagnose.h"

/* What was seen at the elements and fixtures of a site. */
struct fci_looks {
    const fc_site *site;
    unsigned *element, *fixture; /* bits of fc_sight, by place */
    fc_range *rise, *inlet;      /* measured, by element and by fixture */
    fc_range *length, *size;     /* by element */
};

#define FCI_SEEN(sight) (1U << (sight))

/* FC_OK, FC_ENOMEM. */
fc_status fci_looks_take(struct fci_looks *looks, const fc_site *site,
                         struct fci_arena *arena);
/* Sets how likely each fault is by what was seen, and what was measured for
 * those that it makes known; drops those that it rules out. */
void fci_looks_weigh(const struct fci_looks *looks, struct fci_faults *faults);
/* The variant of a trial with what was measured within the ranges of the file,
 * and lengths. */
void fci_looks_apply(const struct fci_looks *looks,
                     struct fci_fault_trial *trial);

/* What was seen amiss, as findings: it is to be mended, whether or not it
 * explains the readings. */
void fci_looks_tell(const struct fci_looks *looks, struct fci_findings *found);

/* What a look tells of a kind of fault: how many times as likely it is by what
 * was seen, and which look would show it, where and what part of such faults
 * (NULL: none is asked for). */
struct fci_look_kind {
    double (*seen)(const struct fci_looks *looks,
                   const struct fci_fault *fault);
    fc_task (*task)(const struct fci_looks *looks,
                    const struct fci_fault *fault,
                    struct fci_gauge_place *place, double *share);
};

extern const struct fci_look_kind fci_look_blockage, fci_look_stop,
    fci_look_pump, fci_look_running, fci_look_height, fci_look_size;

/* The first valve among the fittings of a pipe; NULL: none. */
const fc_fitting *fci_valve_in(const struct fci_pipe *pipe);

/* A look that may show a fault: FC_TASK_NONE where none does.  `share`: the
 * part of such faults that it would show; `place`: where it is taken. */
fc_task fci_look_for(const struct fci_looks *looks,
                     const struct fci_fault *fault,
                     struct fci_gauge_place *place, double *share);
#endif
