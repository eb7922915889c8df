/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/words/cautions.c -- the customary cautions that every report ends with.
 */
#include "flushcalc.h"

const char *const *
fc_cautions(void)
{
    static const char *const cautions[] = {
        "Isolate and relieve pressure before opening a valve: close the stop "
        "or the branch valve, flush to bleed it, expect residual spray. Old "
        "stops may not hold; know the next valve upstream.",
        "Refill slowly after a shutdown, one stop at a time; flush the lines "
        "before connecting, and watch for valves that won't shut off.",
        "Backflow: keep every vacuum breaker at its required height above the "
        "fixture. Pressure near zero anywhere, calculated or measured, is a "
        "hazard to drinking water: stop and report it.",
        "Scalding: where cold pressure drops, showers on the same main run "
        "hot. Check balancing or thermostatic valves before a load test, and "
        "warn the occupants.",
        "High pressure: after raising a PRV or adding a pump, check static at "
        "the lowest floor, and thermal expansion.",
        "Stagnation: smaller flushes turn the water in a branch over less "
        "often; follow the building's water management plan.",
        "This is an aid to judgment. Results are only as good as the figures "
        "entered; how bowls and drains work is not checked. Local code, the "
        "authority having jurisdiction and a licensed professional decide.",
        NULL
    };

    return cautions;
}
