/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/words/findings.h -- what was found and assumed, as a list. */
#ifndef FCI_WORDS_FINDINGS_H
#define FCI_WORDS_FINDINGS_H

#include "flushcalc.h"
#include "ground/memory.h"

/* A list under construction.  Texts live in the arena; the arrays are
 * malloc'ed until fci_findings_take() moves them there. */
struct fci_judge;
struct fci_findings {
    bool converted;                /* the building has two states */
    const struct fci_judge *judge; /* what its words are about; they know it */
    struct fci_arena *arena;
    fc_finding *list;
    size_t n, room;
    const char **assumptions;
    size_t n_assumptions, assumptions_room;
    bool out_of_memory;
};

/* One finding; `state` FC_STATES: it concerns no single state. */
void fci_find(struct fci_findings *f, fc_severity severity,
              const char *subject, int state, const char *about,
              const char *format, ...) __attribute__((format(printf, 6, 7)));
void fci_assume(struct fci_findings *f, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* What all that works out a flush takes for granted (words/assume_flow.c): how
 * a valve draws, that others do not, the rates of generic classes (of the
 * fixtures named; NULL: none), and stops. */
void fci_assume_valves(struct fci_findings *f);
void fci_assume_others(struct fci_findings *f);
void fci_assume_generic(struct fci_findings *f, const char *names);
void fci_assume_stops(struct fci_findings *f);

/* Moved into the arena, the most severe first. */
struct fci_told {
    const fc_finding *findings;
    size_t n_findings;
    const char *const *assumptions;
    size_t n_assumptions;
};
fc_status fci_findings_take(struct fci_findings *f, struct fci_told *told);
void fci_findings_free(struct fci_findings *f);

#endif
