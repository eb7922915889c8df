/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/zones.c -- what each pressure-reducing valve feeds, up to the
 * next.
 *
 * A zone has a pressure of its own, so one governing fixture for the whole
 * building tells nothing of the others.
 */
#include "check/checked.h"

#include <stdint.h>
#include <string.h>

/* By element, the zone of its outlet; zone 0 is that of no reducer.  Returns
 * how many there are, 0 when out of memory. */
static size_t
number_zones(const fc_site *site, struct fci_arena *arena, size_t **zone_of,
             const char ***names)
{
    size_t i, n = 1;

    *zone_of = fci_arena_array(arena, site->n_elements, sizeof **zone_of);
    *names = fci_arena_array(arena, site->n_elements + 1, sizeof **names);
    if (!*zone_of || !*names)
        return 0;
    for (i = 0; i < site->n_elements; i++) {
        const size_t at = site->order[i], parent = site->elements[at].parent;

        if (site->elements[at].part->kind == FCI_REDUCER
            && !fci_is_second(&site->elements[at])) {
            (*names)[n] = site->elements[at].name;
            (*zone_of)[at] = n++;
        } else if (parent != FCI_NONE) {
            (*zone_of)[at] = (*zone_of)[parent];
        }
    }
    return n;
}

static void
add_to_zone(fc_zone *zone, const fc_check_result *result, size_t fixture,
            fc_state state)
{
    const fc_fixture_state *f = &result->fixtures[fixture].states[state];

    zone->n_fixtures += (size_t)result->fixtures[fixture].count;
    if (f->required.given
        && (zone->governing == SIZE_MAX
            || fci_governs(f,
                           &result->fixtures[zone->governing].states[state])))
        zone->governing = fixture;
}

bool
fci_tell_zones(const fc_site *site, const fc_check_result *result,
               fc_state state, fc_checked_state *s, struct fci_arena *arena)
{
    const char **names;
    size_t *zone_of, i, n = number_zones(site, arena, &zone_of, &names);
    fc_zone *zones;

    if (n <= 1)
        return n > 0;
    zones = fci_arena_array(arena, n, sizeof *zones);
    if (!zones)
        return false;
    for (i = 0; i < n; i++) {
        zones[i].reducer = names[i];
        zones[i].governing = SIZE_MAX;
    }
    for (i = 0; i < site->n_fixtures; i++)
        add_to_zone(&zones[zone_of[site->fixtures[i].element]], result, i,
                    state);
    if (zones[0].n_fixtures == 0) { /* all lies downstream of one */
        zones++;
        n--;
    }
    s->zones = zones;
    s->n_zones = n;
    return true;
}
