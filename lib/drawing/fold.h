/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/fold.h -- what of a building is drawn: what is alike, once.
 *
 * Two subtrees are alike when their pipes, devices and fixtures are, whatever
 * their names, and their fixtures' verdicts too.  Alike branches of one
 * element are drawn once.  So are three or more floors of a riser that follow
 * one another, each a pipe with what branches off it.
 */
#ifndef FCI_DRAWING_FOLD_H
#define FCI_DRAWING_FOLD_H

#include "drawing/drawings.h"
#include "site/site.h"

/* An element that is drawn, for itself and all that it stands for. */
struct fci_drawn {
    size_t parent;   /* drawn before it; SIZE_MAX: a source */
    bool onward;     /* leaves its parent at the end of the parent's floors */
    size_t element;  /* the first of them */
    size_t last;     /* of a run of floors: the last pipe of it */
    size_t floors;   /* in the run; 1: it is none */
    size_t branches; /* alike, of one element; 1: itself alone */
    const size_t *elements;
    size_t n_elements;
    size_t first_outlet, n_outlets; /* of fold->outlets */
};

/* Alike outlets of a drawn element: fixtures or steady draws. */
struct fci_outlet {
    bool is_draw;
    size_t shown;        /* that with the least margin, or the least pressure:
                            fixture or draw of the site */
    const size_t *alike; /* fixtures or draws */
    size_t n;
};

struct fci_fold {
    struct fci_drawn *drawn; /* each after its parent */
    size_t n_drawn;
    struct fci_outlet *outlets;
    size_t n_outlets;
    size_t most_floors; /* in a run */
};

/* The state that a check judges. */
static inline fc_state
fci_judged(const fc_check_result *result)
{
    return result && result->converted ? FC_RETROFIT : FC_EXISTING;
}

/* False: out of memory.  `result` and `points` may be NULL. */
bool fci_fold_make(struct fci_fold *fold, const fc_site *site,
                   const fc_check_result *result,
                   const struct fci_points *points, struct fci_arena *arena);

#endif
