/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/cold_dip_all.c -- the fixtures of a building that others'
 * flushes may harm.
 */
#include "effects/cold_dip.h"
#include "ground/ties.h"

#include <math.h>

static void
describe(const fc_site *site, const struct fci_fixture *fixture,
         const fc_cold_dip *dip, fc_cold_dip_fixture *f)
{
    const struct fci_fixture_kind *kind = fixture->kind;

    f->name = fixture->given->name;
    f->on = site->elements[fixture->element].name;
    f->kind = kind->head.name;
    f->count = fixture->count;
    f->emergency = kind->emergency;
    f->minimum = kind->emergency ? kind->pressure : NAN;
    f->balanced = fci_balances(fixture);
    f->heater = fixture->heater == FCI_NONE
                    ? NULL
                    : site->elements[fixture->heater].name;
    f->limit = f->emergency            ? (double)NAN
               : f->balanced == FC_YES ? dip->balanced
                                       : dip->third;
}

/* How bad it is at the most valves, the worst case. */
static double
harm_of(const fc_cold_dip_fixture *f, fc_state state)
{
    const fc_cold_dip_state *told = &f->states[state];
    const fc_dip *last = &told->dips[told->n_dips - 1];

    if (!told->given || told->n_dips == 0)
        return -INFINITY;
    if (f->emergency)
        return isnan(f->minimum) ? -INFINITY : f->minimum - last->pressure.low;
    return last->fall.given ? last->apart.high - f->limit : INFINITY;
}

static size_t
worst_of(const fc_cold_dip *dip, fc_state state, bool emergency)
{
    size_t i, worst = SIZE_MAX;

    for (i = 0; i < dip->n_fixtures; i++) {
        const fc_cold_dip_fixture *f = &dip->fixtures[i];

        if (f->emergency == emergency && !isinf(harm_of(f, state))
            && (worst == SIZE_MAX
                || fci_is_less(harm_of(&dip->fixtures[worst], state),
                               harm_of(f, state))))
            worst = i;
    }
    return worst;
}

fc_status
fci_cold_dip_all(const fc_site *site, bool converted, struct fci_arena *arena,
                 fc_cold_dip **told, fc_diagnostics *messages)
{
    fc_cold_dip *dip = fci_arena_alloc(arena, sizeof *dip);
    fc_cold_dip_fixture *list =
        fci_arena_array(arena, site->n_fixtures, sizeof *list);
    size_t *which = fci_arena_array(arena, site->n_fixtures, sizeof *which);
    fc_status status = FC_OK;
    int state;
    size_t i;

    if (!dip || !list || !which)
        return FC_ENOMEM;
    dip->third = FCI_SCALDING_FALL;
    dip->balanced =
        fci_tables_usual(site->tables, FCI_USUAL_BALANCED)->range.low;
    for (i = 0; i < site->n_fixtures; i++)
        if (fci_dips(&site->fixtures[i])) {
            describe(site, &site->fixtures[i], dip, &list[dip->n_fixtures]);
            which[dip->n_fixtures++] = i;
        }
    dip->fixtures = list;
    for (state = 0; state < FC_STATES; state++) {
        if ((state == FC_EXISTING || converted) && status == FC_OK)
            status = fci_cold_dip_find(site, (fc_state)state, arena, list,
                                       which, dip->n_fixtures, messages);
        dip->deepest[state] = worst_of(dip, (fc_state)state, false);
        dip->lowest[state] = worst_of(dip, (fc_state)state, true);
    }
    *told = dip;
    return status;
}
