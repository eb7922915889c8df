/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/events.h -- what the flush events tell of every fixture. */
#ifndef FCI_CHECK_EVENTS_H
#define FCI_CHECK_EVENTS_H

#include "check/words.h"
#include "effects/tank_words.h"
#include "flow/busy_tally.h"
#include "flow/solver.h"

/* One fixture in one state. */
struct fci_event_view {
    fc_range alone, shared; /* as of fc_fixture_state */
    fc_ladder ladder;
    const struct fci_open *set; /* its `first`, of n_first */
    fc_busy busy;
    fc_verdict enough; /* alone, against the code's least or the valve's own
                          minimum, whichever is more: a gauge would show it */
    fc_verdict strong; /* alone, against the valve's maximum */
    fc_verdict drawn;  /* the main and the pumps that serve it, while any valve
                          flushes alone */
    fc_verdict seldom; /* weak in the busy period no more often than allowed;
                          ranges at both ends */
    enum fci_often often[FCI_ENDS]; /* weak in the busy period, by ends */
    fc_verdict lasts;               /* the water of a tank that feeds it */
    bool unclear;                   /* drawing leaves it open at one of them */
    bool counted;      /* its weak flushes are, be it without their chance */
    const char *lacks; /* what is not given, that would tell; NULL: nothing */
    bool always_on;    /* a flush takes longer than the time between two */
};

/* A street main or a pump's inlet while the valve flushes alone that draws it
 * down most. */
struct fci_drawn_down {
    size_t element, fixture; /* fixture FCI_NONE: none flushes behind it */
    fc_range pressure, least;
    fc_verdict kept;
};

struct fci_events {
    struct fci_event_view *views; /* in the arena: one a fixture */
    struct fci_drawn_down *drawn; /* likewise: one a place */
    size_t n_drawn;
    struct fci_tank_lasts *tank; /* likewise; NULL: no tank feeds it whose
                                    water ends */
    const fc_valve *unknown; /* a valve whose rate is not known: nothing could
                                be worked out */
    bool too_large;          /* the building, for its valves one by one */
    bool volume_unknown;     /* a valve's: so the busy period is not drawn */
    size_t starved;          /* FCI_NONE: no fixture */
    fc_at_once at_once;
    bool busy;     /* the busy period was looked at */
    size_t states; /* of it that were solved */
    bool every;    /* they are all there are */
    bool narrow;
};

/* Of one fixture of a building. */
struct fci_only {
    size_t fixture;
    bool told; /* with what a check finds of it: in short its warnings, their
                  figures too; else all but the figures that no finding has.
                  Not told: what its verdict rests on, alone */
    bool short_at_peak[FC_STATES];
};

/* `only`: the one fixture that is asked about; of the others is worked out
 * what it needs.  NULL: all are.  `other`: those of the other state by the
 * same options, in the same arena, from which is taken what does not differ;
 * NULL: there are none. FC_OK, FC_ENOMEM, FC_ENOCONV. */
fc_status fci_events_run(const fc_site *site, fc_state state,
                         const struct fci_only *only,
                         const struct fci_events *other,
                         const fc_check_options *options,
                         struct fci_arena *arena, struct fci_events *events,
                         fc_diagnostics *messages);

/* Only what the verdicts rest on: each alone, and the busy period.  `only`:
 * the fixture of which the latter is asked, so that no other is judged by it;
 * FCI_NONE: of all. */
fc_status fci_events_judge(const fc_site *site, fc_state state, size_t only,
                           const fc_check_options *options,
                           struct fci_arena *arena, struct fci_events *events,
                           fc_diagnostics *messages);

/* The pressure of one fixture alone, and whether that is enough; nothing where
 * it is no flush valve of known rate and minimum. */
fc_status fci_events_alone(const fc_site *site, fc_state state, size_t fixture,
                           struct fci_event_view *view,
                           fc_diagnostics *messages);

/* A verdict with what the events say against it. */
fc_verdict fci_events_verdict(fc_verdict works,
                              const struct fci_event_view *view);

/* What decides where the events alone make it untold. */
void fci_events_decide(fc_fixture_state *s, const struct fci_event_view *view);

/* No more than so many are sure (check/at_once.c). */
void fci_at_once_limit(fc_at_once *at_once, int sure, fc_at_once_limit limit,
                       const char *at);

/* In words (check/event_words.c): of one fixture, of the building, and what
 * was assumed.  `starves`: some number of valves starves one in that state. */
void fci_find_event(struct fci_check_words *w,
                    const struct fci_fixture *fixture, fc_state state,
                    const struct fci_event_view *view,
                    const fc_checked_fixture *checked, bool starves);
void fci_find_events(struct fci_check_words *w,
                     const struct fci_events *events, fc_state state);
/* The same of what leads to a fixture, and of the fixture that is starved
 * first where it is that one. */
void fci_find_events_on_way(struct fci_check_words *w,
                            const struct fci_events *events, fc_state state,
                            size_t fixture);
/* How long the water of a tank lasts (check/tank_words.c), where one feeds the
 * site. */
void fci_find_tank(struct fci_check_words *w, const struct fci_events *events,
                   fc_state state);
/* `events`: of both states. */
void fci_assume_events(struct fci_check_words *w,
                       const struct fci_events *events);

#endif
