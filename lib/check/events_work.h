/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/events_work.h -- the flush events of one state at work, for their
 * own files. */
#ifndef FCI_CHECK_EVENTS_WORK_H
#define FCI_CHECK_EVENTS_WORK_H

#include "check/events.h"
#include "flow/ladder.h"
#include "ground/memory.h"

struct fci_running_events {
    struct fci_arena scratch;
    const fc_site *site;
    fc_state state;
    const fc_check_options *options; /* NULL where one valve alone is asked */
    struct fci_arena *arena;
    struct fci_events *events;
    const struct fci_events *other; /* of the other state; NULL: none */
    struct fci_network *network;
    struct fci_solver *solver;
    struct fci_ladder *ladder;
    double (*at_places)[FCI_ENDS]; /* room for the work */
    double *drawn_alone;           /* of each fixture, what it draws alone */
    bool verdicts_only, one_ladder;
    bool in_short;
    bool short_at_peak; /* the one fixture */
    size_t only;        /* the one that is asked about; FCI_NONE: all are */
    fc_diagnostics *messages;
};

static inline bool
fci_flushes(const struct fci_running_events *r, size_t fixture)
{
    return r->network->outlets[fixture].flushes;
}

/* What a valve that has a minimum needs while it flushes [Pa]; at its worst
 * the most. */
static inline double
fci_minimum_of(const struct fci_running_events *r, size_t fixture,
               enum fci_end end)
{
    return fci_more_is_worse(
        r->site->fixtures[fixture].valve[r->state]->minimum_flowing, end);
}

static inline enum fci_end
fci_last_end(const struct fci_running_events *r)
{
    return r->network->exact || !r->network->bounded ? FCI_NOMINAL : FCI_BEST;
}

/* ---- check/events_alone.c ---- */

/* What has to be kept while a valve flushes; false: out of memory. */
bool fci_find_places(struct fci_running_events *r);
/* One valve alone, and what that leaves at those places. */
fc_status fci_find_alone(struct fci_running_events *r, size_t fixture,
                         fc_range *alone);
/* Whether some valve alone may leave too little at a place on the way to the
 * fixture that is asked about; false: surely none does. */
bool fci_may_draw_down(const struct fci_running_events *r);
/* The worst of the places on the way to a fixture. */
fc_verdict fci_drawn_down_of(const struct fci_running_events *r,
                             size_t fixture);

/* ---- check/events_ladder.c ---- */

/* How many at once; at one end, with what that tells. */
fc_status fci_climb(struct fci_running_events *r, size_t fixture);
fc_status fci_climb_at(struct fci_running_events *r, size_t fixture,
                       enum fci_end end, enum fci_ladder_depth depth);
/* The fixture that is starved first, and what that leaves to those without a
 * flush valve. */
void fci_find_starved(struct fci_running_events *r);
fc_status fci_find_shared(struct fci_running_events *r);

/* ---- check/at_once.c ---- */

/* How many of all, once the views are judged. */
fc_status fci_find_at_once(struct fci_running_events *r);

/* ---- check/events_shortest.c ---- */

/* The same of the shortest ladder alone, at one end; of another one that it is
 * no shorter. */
fc_status fci_climb_shortest(struct fci_running_events *r, enum fci_end end);

/* ---- check/events_busy.c ---- */

fc_status fci_draw_busy(struct fci_running_events *r,
                        const fc_check_options *options);
/* How the ends of the ranges are drawn, and what is between them. */
fc_check_options fci_at_end(const fc_check_options *options);
fc_check_options fci_in_middle(const struct fci_running_events *r,
                               const fc_check_options *options);
/* Of those that are `asked` how often they are weak at one end. */
fc_status fci_ask_at(struct fci_running_events *r,
                     const fc_check_options *options, enum fci_end end,
                     const bool *asked);
/* A fixture whose verdict or warnings the busy period may change. */
bool fci_is_asked(const struct fci_running_events *r, size_t fixture);
/* Whether its valve's own minimum is known. */
bool fci_needs_valve(const struct fci_running_events *r, size_t fixture);
/* A flush of it takes longer than the time between two. */
bool fci_always_on(const struct fci_running_events *r, size_t fixture);

/* ---- check/events_one.c ---- */

/* Whether what is found asks for the fixture that is starved first: of all of
 * them, or of the one that is asked about. */
bool fci_needs_ladder(const struct fci_running_events *r);
/* How often the one that is asked about is weak, as far as its verdict and its
 * findings ask. */
fc_status fci_draw_one(struct fci_running_events *r,
                       const fc_check_options *options);

/* ---- check/events.c ---- */

/* What is known of a fixture's events, judged. */
void fci_judge_view(const struct fci_running_events *r, size_t fixture,
                    struct fci_event_view *view);

/* Whether a pressure is surely what is needed. */
fc_verdict fci_enough_for(fc_range least, fc_range pressure);

#endif
