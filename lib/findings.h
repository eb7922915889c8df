/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/findings.h -- what a check found, in words. */
#ifndef FCI_FINDINGS_H
#define FCI_FINDINGS_H

#include "decide.h"
#include "judge.h"

/* A list under construction.  Texts live in the arena; the arrays are
 * malloc'ed until fci_findings_take() moves them there. */
struct fci_findings {
    const struct fci_judge *judge;
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

/* All that one judgement gives rise to.  `other` is the judgement in the other
 * state, or NULL.  `decided_by` where it cannot be told. */
void fci_find_fixture(struct fci_findings *f,
                      const struct fci_fixture *fixture, fc_state state,
                      const struct fci_judgement *judgement,
                      const struct fci_judgement *other,
                      const char *decided_by);
/* Pipes, devices and the source, in a state. */
void fci_find_elements(struct fci_findings *f, fc_state state);
/* Where the pressure to spare, or to be found, meets another limit first
 * (find_spare.c); the states of the result are filled in. */
void fci_find_spare(struct fci_findings *f, const fc_check_result *result,
                    fc_state state);
/* What concerns the whole building and no state (find_site.c). */
void fci_find_site(struct fci_findings *f);
/* What was assumed, not given (assumptions.c). */
void fci_assume_all(struct fci_findings *f);
/* Of it what concerns peak demand (assume_peak.c). */
void fci_assume_peak(struct fci_findings *f);

/* What all that works out a flush takes for granted (assume_flow.c): how a
 * valve draws, that others do not, the rates of generic classes (of the
 * fixtures named; NULL: none), and stops. */
void fci_assume_valves(struct fci_findings *f);
void fci_assume_others(struct fci_findings *f);
void fci_assume_generic(struct fci_findings *f, const char *names);
void fci_assume_stops(struct fci_findings *f);

/* " after the retrofit", " as it stands", or "" in a building that is not
 * converted. */
const char *fci_when(const struct fci_judge *judge, fc_state state);

/* "wc-1, wc-2, wc-3 and 9 more" from the names of the fixtures that `belongs`
 * picks; NULL when none does or memory is out. */
const char *fci_name_some(struct fci_findings *f,
                          bool (*belongs)(const struct fci_findings *f,
                                          const struct fci_fixture *fixture,
                                          const void *data),
                          const void *data);

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
