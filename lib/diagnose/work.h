/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/work.h -- a cause as work to be done. */
#ifndef FCI_DIAGNOSE_WORK_H
#define FCI_DIAGNOSE_WORK_H

#include "diagnose/answer.h"

/* What may be the matter with an element, as bits. */
enum fci_suspect {
    FCI_NOT_SUSPECT,
    FCI_MAY_BE_PLUGGED = 1,
    FCI_MAY_BE_SCALED = 2,
    FCI_MAY_BE_SIZE = 4,    /* the file's */
    FCI_MAY_BE_HEIGHT = 8,  /* the file's */
    FCI_MAY_BE_PRV = 16,    /* not in the file */
    FCI_MAY_BE_SMOOTH = 32, /* the file's C */
};

/* A fault whose steps are listed. */
struct fci_working {
    struct fci_arena *arena;
    const struct fci_readings *readings;
    const struct fci_fault *fault;
    double value;            /* as it is told */
    bool looks_only;         /* nothing is to be opened yet */
    const bool *running;     /* by fixture: it may be the outlet that won't
                                shut off */
    const unsigned *suspect; /* by element: bits of fci_suspect */
    bool *doubted;           /* by element: a valve there may be what it is */
    size_t opened;           /* the topmost element that a step opens */
    bool fixture_opened;     /* parts of the fault's fixture are */
    const char **steps;
    size_t n, room;
    bool failed; /* out of memory */
};

void fci_work_step(struct fci_working *working, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* The same of work that opens, cuts or replaces something at an element, or
 * parts of the fault's fixture (FCI_NONE): none as long as only looks are
 * asked for. */
void fci_work_open(struct fci_working *working, size_t element,
                   const char *format, ...)
    __attribute__((format(printf, 3, 4)));
/* The size that the file gives; "" and failed out of memory. */
const char *fci_size_words(struct fci_working *working,
                           const struct fci_pipe *pipe);
/* What is under suspicion, what was seen to be amiss alone where there is
 * that: looks, then what is opened. */
void fci_work_stretch(struct fci_working *working);

/* Into the diagnosis: of what is found, with all its steps; else of the causes
 * that `first` marks, which are told first, what to look at. */
fc_status fci_work_tell(const struct fci_answering *answering,
                        const bool *first, fc_diagnosis *out);

#endif
