/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/quick/figures.h -- the figures that a first answer is made of. */
#ifndef FCI_QUICK_FIGURES_H
#define FCI_QUICK_FIGURES_H

#include "flushcalc/quick.h"
#include "ground/memory.h"

/* As fc_quick_keys() lists them. */
enum fci_quick_key {
    FCI_Q_MAIN,
    FCI_Q_UP,
    FCI_Q_STILL,
    FCI_Q_ONE,
    FCI_Q_TWO,
    FCI_Q_THREE,
    FCI_Q_NEED,
    FCI_Q_VALVES,
    FCI_Q_LENGTH,
    FCI_Q_SIZE,
    FCI_Q_PIPE,
    FCI_Q_FLOW,
    FCI_Q_GAL,
    FCI_Q_IN,
    FCI_Q_FLUSH,
    FCI_Q_KEYS
};
#define FCI_Q_READ 3 /* from FCI_Q_ONE on: with so many valves flushing */

struct fci_quick_figure {
    fc_range value;   /* in SI; not of FCI_Q_VALVES and FCI_Q_PIPE */
    const char *text; /* as it was typed after "="; NULL: not given */
    const char *said; /* the same, with its unit */
};

/* A kind of flush valve, by the word for it. */
struct fci_quick_valve {
    const char *word;    /* "closet" */
    const char *fixture; /* of the fixture tables */
};

struct fci_quick_figures {
    struct fci_quick_figure of[FCI_Q_KEYS];
    int valves;                          /* at once; 0: not said */
    const struct fci_quick_valve *valve; /* never NULL */
};

/* ---- quick/values.c ---- */

/* The kinds of flush valve; the first is taken where none is said. */
extern const struct fci_quick_valve fci_quick_valves[];

/* What stands behind "="; false, and said. */
bool fci_quick_read_value(struct fci_quick_figures *figures,
                          struct fci_arena *arena, enum fci_quick_key key,
                          const char *text, fc_diagnostics *messages);
/* Whether the next word is a part of the figure: "16" and "ft". */
bool fci_quick_goes_on(struct fci_arena *arena, enum fci_quick_key key,
                       const char *text, const char *word);

/* ---- quick/figures.c ---- */

/* FC_OK, FC_EINPUT and every reason, or FC_ENOMEM. */
fc_status fci_quick_read(struct fci_quick_figures *figures,
                         struct fci_arena *arena, const char *const *words,
                         size_t n, fc_diagnostics *messages);

#endif
