/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/verify_readings.c -- gauge readings under the condition of a claim.
 *
 *   [J106]  JCGM 106:2012, Evaluation of measurement data: The role of
 *           measurement uncertainty in conformity assessment (from memory)
 */
#include "verify.h"

#include <math.h>
#include <string.h>

#define USUAL_WITHIN 13789.514586336722 /* Pa: 2 psi */

double
fci_reading_within(const fc_reading *reading)
{
    return reading->within.given ? reading->within.nominal : USUAL_WITHIN;
}

/* ---- The same condition ----------------------------------------------- */

/* How many valves of a fixture flush in a reading. */
static int
flushing_of(const fc_site *site, const fc_reading *reading, size_t fixture)
{
    const struct fci_fixture *group = &site->fixtures[fixture];
    fc_flushing timed;
    size_t i, n_listed;
    const fc_flushing *list = fci_reading_flushing(reading, &timed, &n_listed);
    int n = 0;

    for (i = 0; i < n_listed; i++)
        if (fci_same_name(list[i].fixture, group->given->name))
            n += list[i].count ? list[i].count : group->count;
    return n < group->count ? n : group->count;
}

/* Of every fixture of the claim as many flush in the reading, and none
 * else: each name of the reading is one of the claim's. */
static bool
is_same_set(const fc_site *site, const fc_reading *reading,
            const struct fci_claim *claim)
{
    fc_flushing timed;
    size_t i, k, n;
    const fc_flushing *list = fci_reading_flushing(reading, &timed, &n);

    for (i = 0; i < claim->n_open; i++)
        if (flushing_of(site, reading, claim->open[i].fixture)
            != claim->open[i].count)
            return false;
    for (k = 0; k < n; k++) {
        for (i = 0; i < claim->n_open; i++)
            if (fci_same_name(
                    site->fixtures[claim->open[i].fixture].given->name,
                    list[k].fixture))
                break;
        if (i == claim->n_open)
            return false;
    }
    return true;
}

/* Whether the valves that flush under the claim are those of the reading's
 * day. */
static bool
is_same_valves(const fc_site *site, const fc_reading *reading,
               const struct fci_claim *claim)
{
    size_t i;

    for (i = 0; reading->state != claim->given->state && i < claim->n_open;
         i++) {
        const struct fci_fixture *fixture =
            &site->fixtures[claim->open[i].fixture];

        if (fixture->valve[FC_EXISTING] != fixture->valve[FC_RETROFIT])
            return false;
    }
    return true;
}

static bool
is_same_supply(const struct fci_claim *claim)
{
    return !claim->given->supply.given
           || (!claim->why_not && fabs(claim->shift) < FCI_SAME_PRESSURE);
}

bool
fci_reading_meets(const struct fci_verify *v, const fc_reading *reading,
                  const struct fci_claim *claim)
{
    return reading->pressure.given && !claim->peak && is_same_supply(claim)
           && is_same_set(v->site, reading, claim)
           && is_same_valves(v->site, reading, claim);
}

bool
fci_reading_is_there(const struct fci_verify *v, const fc_reading *reading,
                     const struct fci_claim *claim)
{
    const struct fci_fixture *fixture = &v->site->fixtures[claim->fixture];

    return fci_same_name(reading->at, fixture->given->name)
           || fci_same_name(reading->at,
                            v->site->elements[fixture->element].name);
}

/* ---- At the inlet of the fixture -------------------------------------- */

/* A gauge at what feeds the fixture sits lower by its rise and before its
 * stop; what the rise may be off by adds to what the gauge may be. */
struct fci_brought
fci_reading_bring(const struct fci_verify *v, const fc_reading *reading,
                  const struct fci_claim *claim, double flow)
{
    const fc_site *site = v->site;
    const struct fci_fixture *fixture = &site->fixtures[claim->fixture];
    const fc_range rise = fixture->given->rise;
    struct fci_brought brought = { reading, reading->pressure.nominal,
                                   fci_reading_within(reading), NULL };

    if (fci_same_name(reading->at, fixture->given->name))
        return brought;
    brought.pressure -= fci_fixture_drop(site, fixture, flow, FCI_NOMINAL);
    brought.within += site->water_weight * (rise.high - rise.low) / 2;
    return brought;
}

/* The more accurate, of equals the lower: the order has no say. */
static bool
is_better(const struct fci_brought *a, const struct fci_brought *b)
{
    if (!b->reading || a->within != b->within)
        return !b->reading || a->within < b->within;
    return a->pressure < b->pressure;
}

struct fci_brought
fci_reading_for(const struct fci_verify *v, const struct fci_claim *claim,
                bool still, double flow)
{
    const fc_site *site = v->site;
    struct fci_brought best = { NULL, NAN, NAN, NULL }, next;
    size_t i;

    for (i = 0; i < site->n_parts; i++) {
        const fc_reading *reading = site->parts[i].data;

        if (site->parts[i].kind != FCI_READING
            || !fci_reading_is_there(v, reading, claim))
            continue;
        if (still ? !reading->pressure.given || reading->n_flushing > 0
                        || reading->flush_time.given
                  : !fci_reading_meets(v, reading, claim))
            continue;
        next = fci_reading_bring(v, reading, claim, still ? 0 : flow);
        if (best.reading && !best.against
            && fabs(next.pressure - best.pressure) > next.within + best.within)
            next.against = best.reading;
        if (is_better(&next, &best)) {
            if (!next.against)
                next.against = best.against;
            best = next;
        } else if (next.against)
            best.against = reading;
    }
    return best;
}

/* ---- The verdict ------------------------------------------------------ */

/* [J106, 8.3.2 and 8.3.3] A guard band as wide as the gauge may be off by, on
 * either side: neither verdict rests on the gauge's error. */
fc_support
fci_support_by_reading(double claimed, double read, double within)
{
    if (read - within >= claimed - FCI_SAME_PRESSURE)
        return FC_SUPPORTED;
    return read + within < claimed - FCI_SAME_PRESSURE ? FC_CONTRADICTED
                                                       : FC_UNDECIDED;
}
