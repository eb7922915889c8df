/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/surge_work.h -- what the parts of surge share. */
#ifndef FCI_EFFECTS_SURGE_WORK_H
#define FCI_EFFECTS_SURGE_WORK_H

#include "effects/effects.h"
#include "effects/surge_way.h"
#include "peak/march.h"

struct fci_surge_work {
    struct fci_effects *e;
    struct fci_surge_site of;
    struct fci_at_rest *rest;
    const struct fci_arresters *arresters;
    fc_range usual_closing; /* of a valve that gives none [s] */
    fc_range usual_rating;
    fc_range *ratings; /* by element, what it says; not given: nothing */
    size_t *branch_at; /* by element with an arrester: its branch, from 1 */
    size_t *branch_of; /* by fixture; FCI_NONE: none */
    fc_surge_branch *branches;
    size_t n_branches;
    fc_surge_fixture *fixtures;
    size_t *site_fixture; /* of each of those */
    size_t n_fixtures;
    size_t worst[FC_STATES];
};

/* How far its peak is above the rating where that is most; -INFINITY: it has
 * no surge. */
static inline double
fci_surge_excess(const fc_surge *surge)
{
    return surge->surge.given ? surge->peak.high - surge->rating
                              : -(double)INFINITY;
}

/* The branches with flush valves, what stands on them and what is needed.
 * False: out of memory. */
bool fci_surge_branches(struct fci_surge_work *work);
/* At the outlets of which elements arresters that are enough for the branch
 * of a fixture in a state limit the peak; NULL: nowhere.  False: out of
 * memory. */
bool fci_surge_arrested(const struct fci_surge_work *work, size_t fixture,
                        fc_state state, struct fci_arena *arena,
                        const bool **arrested);
/* Whether any stands on its branch, enough or not. */
bool fci_surge_has_arresters(const struct fci_surge_work *work,
                             size_t fixture);
/* Marks the branches whose valves may exceed a rating. */
void fci_surge_mark_needed(struct fci_surge_work *work);

/* What an element says; not given: nothing. */
fc_range fci_surge_rating(const struct fci_element *element);
/* That, or the low end of what is usual. */
static inline double
fci_surge_rated(const struct fci_surge_work *work, size_t element)
{
    const fc_range *given = &work->ratings[element];

    return given->given ? given->nominal : work->usual_rating.low;
}
/* Without flow, at the outlet of an element. */
fc_range fci_surge_still_at(const struct fci_surge_work *work, size_t element);

/* Whether static alone reaches the rating where that is nearest. */
static inline bool
fci_surge_still(const fc_surge *surge)
{
    return surge->surge.given && surge->static_pressure.high >= surge->rating;
}

/* "150 psi"; "0.16 s", so long or longer; "0.30 to 2.00 s".  In the arena of
 * the result. */
const char *fci_surge_rating_said(struct fci_surge_work *work, double si);
/* "125 to 200 psi" */
const char *fci_surge_usual_said(struct fci_surge_work *work);
const char *fci_surge_time_said(struct fci_surge_work *work, double si);
const char *fci_surge_times_said(struct fci_surge_work *work, fc_range time);

/* What it rests on that all stay within their ratings in a state. */
const char *fci_surge_holds(struct fci_surge_work *work, fc_state state);
/* The rows of the summary. */
void fci_surge_rows(struct fci_surge_work *work);

/* Findings, rows, verdicts and assumptions. */
void fci_surge_tell(struct fci_surge_work *work);

#endif
