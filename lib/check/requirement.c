/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/requirement.c -- what a fixture needs: pressure, supply, a
 * ceiling. */
#include "check/judge.h"

#include <math.h>

/* `code minimum = no` lets the valve's own minimum stand alone, where there is
 * one to stand. */
static bool
code_counts(const fc_site *site, fc_range valve)
{
    return site->settings.code_minimum != FC_NO || !valve.given;
}

static void
require_pressure(const fc_site *site, struct fci_requirement *need)
{
    const double reserve = site->settings.reserve.nominal;
    const bool code = !isnan(need->code) && code_counts(site, need->valve);

    if (!code && !need->valve.given)
        return;
    need->pressure = need->valve.given ? need->valve : fc_exactly(need->code);
    need->governor = FC_VALVE_GOVERNS;
    if (code && need->code >= need->pressure.nominal)
        need->governor = FC_CODE_GOVERNS;
    if (code) {
        need->pressure.nominal = fmax(need->pressure.nominal, need->code);
        need->pressure.low = fmax(need->pressure.low, need->code);
        need->pressure.high = fmax(need->pressure.high, need->code);
    }
    need->least = need->pressure;
    need->reserve = reserve;
    need->pressure.nominal += reserve;
    need->pressure.low += reserve;
    need->pressure.high += reserve;
}

struct fci_requirement
fci_requirement_of(const fc_site *site, const struct fci_fixture *fixture,
                   fc_state state)
{
    const fc_valve *valve = fixture->valve[state];
    struct fci_requirement need = { .governor = FC_NOTHING_GOVERNS };
    const fc_range of_place = fixture->given->maximum_static.given
                                  ? fixture->given->maximum_static
                                  : site->settings.maximum_static;

    need.code = fixture->kind->pressure;
    if (valve)
        need.valve = valve->minimum_flowing;
    require_pressure(site, &need);
    need.maximum_static = of_place.given ? of_place.nominal : INFINITY;
    need.maximum_of = fixture->given->maximum_static.given
                          ? FC_MAXIMUM_OF_FIXTURE
                          : FC_MAXIMUM_OF_SITE;
    if (valve && valve->maximum_static.given
        && valve->maximum_static.nominal < need.maximum_static) {
        need.maximum_static = valve->maximum_static.nominal;
        need.maximum_of = FC_MAXIMUM_OF_VALVE;
    }
    need.maximum_flowing = valve && valve->maximum_flowing.given
                               ? valve->maximum_flowing.nominal
                               : INFINITY;
    need.supply_size = fixture->kind->supply_size;
    if (valve && valve->supply_size.given
        && !(need.supply_size >= valve->supply_size.nominal)) {
        need.supply_size = valve->supply_size.nominal;
        need.valve_supply = true;
    }
    return need;
}
