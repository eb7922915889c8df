/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/work.h -- a cause as work to be done. */
#ifndef FCI_DIAGNOSE_WORK_H
#define FCI_DIAGNOSE_WORK_H

#include "diagnose/answer.h"

/* A fault whose steps are listed. */
struct fci_working {
    struct fci_arena *arena;
    const struct fci_readings *readings;
    const struct fci_fault *fault;
    const bool *between; /* by element: on its stretch, upstream first */
    const char **steps;
    size_t n, room;
    bool failed; /* out of memory */
};

void fci_work_step(struct fci_working *working, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* What lies on its stretch that can be opened, cleaned, measured or replaced:
 * what a blockage may be. */
void fci_work_stretch(struct fci_working *working);

/* Into the diagnosis: of what is found, or of the likeliest place. */
fc_status fci_work_tell(const struct fci_answering *answering,
                        fc_diagnosis *out);

#endif
