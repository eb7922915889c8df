/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/path.h -- the pressure budget of one fixture. */
#ifndef FLUSHCALC_PATH_H
#define FLUSHCALC_PATH_H

#include "flushcalc/check.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct fc_path_step {
    const char *element;
    const char *kind; /* "source", "pipe", ..., "fixture" */
    double flow;      /* peak [m3/s] */
    /* pressure taken [Pa]; negative: given (a fall, a pump) */
    double elevation_loss, friction_loss, fitting_loss, device_loss;
    double pressure;   /* left behind it */
    double darcy_loss; /* friction and fittings by Darcy-Weisbach, for
                          comparison; NAN where no roughness is known */
    double sag;        /* of a street main: static less its pressure at peak */
    double set;        /* of a pressure-reducing valve that controls: its set
                          pressure, of which device_loss is the fall-off; 0: it
                          does not control, or is none */
    double throttled;  /* what that one takes to come down to its set pressure,
                          which is no loss */
    /* of a pipe, nominal [m]; 0: of anything else */
    double length, equivalent_length; /* the latter of its fittings */
    const char *beside; /* of two pressure-reducing valves side by side the
                           second one; NULL: there is none.  `set` is then the
                           higher of both */
    FC_ROOM(2);
} fc_path_step;

/** What becomes of the pressure, from where it starts: `start` less all of
 * what follows is what the fixture has, flowing.  A pressure-reducing valve
 * that controls sets it afresh, so that what is lost upstream of it is no loss
 * to the fixture. */
typedef struct fc_budget {
    const char *from; /* the last pressure-reducing valve that controls; NULL:
                         the source */
    double start;     /* its set pressure; of a source the static pressure */
    double throttled; /* by that valve [Pa] */
    double sag;       /* of the street main */
    double elevation, friction, fittings;
    double devices;     /* meters, other devices and the fixture's stop */
    double backflow;    /* backflow preventers */
    double reducers;    /* fall-off, or wide open */
    double pumps;       /* given, so that it counts against the losses */
    const char *beside; /* the valve side by side with `from`; NULL: none */
    FC_ROOM(7);
} fc_budget;

typedef struct fc_path {
    const char *fixture;
    fc_state state;
    fc_fixture_state end; /* what the fixture is judged by, nominal and ends;
                             without the figures of ladder and busy
                             period */
    const fc_path_step *steps; /* from the source */
    size_t n_steps;
    fc_proviso proviso; /* of a fixture that it cannot be told of */
    const fc_contradiction *contradictions; /* as of fc_check_result */
    size_t n_contradictions;
    fc_budget budget;
    /* From fc_path_find_with(), else NULL: what a check tells of this fixture
     * and of what leads to it.  It has no other fixture, no pipe and no zone,
     * and its states count this fixture alone. */
    const fc_check_result *check;
} fc_path;

/**
 * Where the pressure goes on the way from the source to one fixture, at the
 * nominal inputs and at peak.  The fixture is judged as by fc_check(): at
 * peak, while it flushes alone and in the busy period.  Returns as fc_check(),
 * or FC_EUNKNOWN when the site has no such fixture (the nearest name is said).
 */
fc_status fc_path_find(const fc_site *site, const char *fixture,
                       fc_state state, fc_path **path,
                       fc_diagnostics *messages);
/**
 * As fc_path_find(), with options (NULL: the defaults), and with `check`: the
 * findings that fc_check_with() has of this fixture and of what leads to it,
 * overrides and assumptions.  Chances and numbers at once are worked out as
 * far as those findings tell them.  `in_short` leaves all findings out that
 * are no warning, and the other state, which is FC_CANNOT_TELL then.
 */
fc_status fc_path_find_with(const fc_site *site, const char *fixture,
                            fc_state state, const fc_check_options *options,
                            fc_path **path, fc_diagnostics *messages);
/**
 * The same at peak alone, in a moment however large the building: the steps
 * and the budget.  Flush events and readings are left out of `end`, and
 * nothing of `proviso` and `contradictions` is given.
 */
fc_status fc_path_at_peak(const fc_site *site, const char *fixture,
                          fc_state state, fc_path **path,
                          fc_diagnostics *messages);
void fc_path_free(fc_path *path);

#ifdef __cplusplus
}
#endif

#endif
