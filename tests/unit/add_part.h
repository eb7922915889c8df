/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/add_part.h -- a part of any kind added to a site, by its call. */
#ifndef TESTS_UNIT_ADD_PART_H
#define TESTS_UNIT_ADD_PART_H

#include "site/parts.h"

/* FC_OK, and nothing done, for what is no kind. */
static inline fc_status
add_part(fc_site *site, enum fci_kind kind, const void *part,
         fc_diagnostics *m)
{
    switch (kind) {
    case FCI_SITE:
        return fc_site_set(site, part, m);
    case FCI_SOURCE:
        return fc_site_add_source(site, part, m);
    case FCI_PIPE:
        return fc_site_add_pipe(site, part, m);
    case FCI_METER:
    case FCI_BACKFLOW:
    case FCI_DEVICE:
        return fc_site_add_device(site, part, m);
    case FCI_REDUCER:
        return fc_site_add_reducer(site, part, m);
    case FCI_PUMP:
        return fc_site_add_pump(site, part, m);
    case FCI_PRESSURE_TANK:
        return fc_site_add_pressure_tank(site, part, m);
    case FCI_FIXTURE:
        return fc_site_add_fixture(site, part, m);
    case FCI_VALVE:
        return fc_site_add_valve(site, part, m);
    case FCI_DEMAND:
        return fc_site_add_demand(site, part, m);
    case FCI_PRICES:
        return fc_site_add_prices(site, part, m);
    case FCI_HEATER:
        return fc_site_add_heater(site, part, m);
    case FCI_FIX_PRICES:
        return fc_site_set_fix_prices(site, part, m);
    case FCI_PEOPLE:
        return fc_site_add_people(site, part, m);
    case FCI_USAGE:
        return fc_site_set_usage(site, part, m);
    case FCI_READING:
        return fc_site_add_reading(site, part, m);
    case FCI_CLAIM:
        return fc_site_add_claim(site, part, m);
    case FCI_GAUGE:
        return fc_site_add_gauge(site, part, m);
    case FCI_LOOK:
        return fc_site_add_look(site, part, m);
    case FCI_FLOORS:
        return fc_site_set_floors(site, part, m);
    case FCI_TOLERANCE:
        return fc_site_set_tolerance(site, part, m);
    case FCI_KINDS:
        break;
    }
    return FC_OK;
}

#endif
