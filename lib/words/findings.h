/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/words/findings.h -- what was found and assumed, as a list. */
#ifndef FCI_WORDS_FINDINGS_H
#define FCI_WORDS_FINDINGS_H

#include "flushcalc.h"
#include "ground/memory.h"
#include "units/units.h"

/* A list under construction.  Texts and figures live in the arena; the arrays
 * are malloc'ed until fci_findings_take() moves them there.  What cannot be
 * had is told by `failed` of the arena. */
struct fci_findings {
    bool converted;       /* the building has two states */
    fc_unit_system units; /* of the figures in the texts */
    struct fci_arena *arena;
    fc_finding *list;
    size_t n, room;
    const char **assumptions;
    size_t n_assumptions, assumptions_room;
    fc_override *overrides;
    size_t n_overrides, overrides_room;
};

/* What a {key} in a sentence stands for: a figure, or words. */
struct fci_figure {
    const char *key;
    fc_dimension dimension;
    fc_range value; /* not given: words alone */
    const char *as; /* in these words; NULL: as the report shows its value */
};

#define FCI_RANGE(key, dimension, range)                                      \
    {                                                                         \
        key, dimension, range, NULL                                           \
    }
#define FCI_ONE(key, dimension, value)                                        \
    {                                                                         \
        key, dimension, fc_exactly(value), NULL                               \
    }
#define FCI_AS(key, dimension, value, text)                                   \
    {                                                                         \
        key, dimension, fc_exactly(value), text                               \
    }
#define FCI_COUNT(key, n) FCI_ONE(key, FC_NUMBER, (double)(n))
#define FCI_WORD(key, text)                                                   \
    {                                                                         \
        key, FC_NUMBER, { 0 }, text                                           \
    }
/* As the last argument of fci_find(). */
#define FCI_WITH(...)                                                         \
    (const struct fci_figure[])                                               \
    {                                                                         \
        __VA_ARGS__, FCI_WORD(NULL, NULL)                                     \
    }

/* One finding, or NULL out of memory.  In its sentence {key} stands for what
 * `figures` (NULL: none) has under it, and {when} for " after the retrofit",
 * " as it stands" or, in a building that is not converted, nothing; what is
 * the same in both states is told of the retrofit. */
fc_finding *fci_find(struct fci_findings *f, fc_severity severity,
                     const char *subject, unsigned states,
                     fc_finding_code code, const char *sentence,
                     const struct fci_figure *figures);
/* "12.3" */
struct fci_shown fci_one_decimal(double x);
void fci_assume(struct fci_findings *f, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* What the file sets otherwise than `by`, "the code" or "the tables", in the
 * states of fc_override; each text NULL where memory was out. */
void fci_override(struct fci_findings *f, unsigned states, const char *by,
                  const char *what, const char *set, const char *code);

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
    const fc_override *overrides;
    size_t n_overrides;
};
fc_status fci_findings_take(struct fci_findings *f, struct fci_told *told);
void fci_findings_free(struct fci_findings *f);

#endif
