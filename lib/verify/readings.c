/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/verify/readings.c -- gauge readings under the condition of a claim.
 *
 *   [J106]  JCGM 106:2012, Evaluation of measurement data: The role of
 *           measurement uncertainty in conformity assessment (from memory)
 */
#include "verify/verify.h"

#include <math.h>
#include <string.h>

/* ---- The same condition ----------------------------------------------- */

/* How many valves of a fixture flush in a reading. */
static int
flushing_of(const fc_site *site, const fc_reading *reading, size_t fixture)
{
    const struct fci_fixture *group = &site->fixtures[fixture];
    fc_flushing timed;
    size_t i, n_listed;
    const fc_flushing *list = fci_reading_flushing(reading, &timed, &n_listed);

    for (i = 0; i < n_listed; i++)
        if (fci_same_name(list[i].fixture, group->given->name))
            return list[i].count ? list[i].count : group->count;
    return 0;
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

bool
fci_reading_meets(const struct fci_verify *v, const fc_reading *reading,
                  const struct fci_claim *claim)
{
    return reading->pressure.given && !claim->peak
           && fci_claim_is_of_today(claim)
           && is_same_set(v->site, reading, claim)
           && is_same_valves(v->site, reading, claim);
}

bool
fci_reading_flows(const fc_reading *reading)
{
    return reading->n_flushing > 0 || reading->flush_time.given;
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

struct fci_brought
fci_not_brought(void)
{
    const struct fci_brought none = { NULL, NAN, NAN, NAN, NULL, NAN, NAN };

    return none;
}

static struct fci_brought
between(struct fci_brought brought)
{
    brought.low = brought.pressure - brought.within;
    brought.high = brought.pressure + brought.within;
    return brought;
}

/* A gauge at what feeds the fixture sits lower by its rise and before its
 * stop; what the rise may be off by adds to what the gauge may be. */
struct fci_brought
fci_reading_bring(const struct fci_verify *v, const fc_reading *reading,
                  const struct fci_claim *claim, double flow)
{
    const fc_site *site = v->site;
    const struct fci_fixture *fixture = &site->fixtures[claim->fixture];
    const fc_range rise = fixture->given->rise;
    struct fci_brought brought = { reading,
                                   reading->pressure.nominal,
                                   fci_reading_within(site, reading),
                                   reading->pressure.nominal,
                                   NULL,
                                   0,
                                   0 };

    if (fci_same_name(reading->at, fixture->given->name))
        return between(brought);
    brought.pressure -= fci_fixture_drop(site, fixture, flow, FCI_NOMINAL);
    brought.read = brought.pressure;
    brought.within += site->water_weight * (rise.high - rise.low) / 2;
    return between(brought);
}

/* The more accurate, of equals the lower: the order has no say. */
static bool
is_better(const struct fci_brought *a, const struct fci_brought *b)
{
    if (!b->reading || a->within != b->within)
        return !b->reading || a->within < b->within;
    return a->pressure < b->pressure;
}

/* By how much two readings are too far apart for both to be true; below 0:
 * both may be. */
static double
apart(const struct fci_brought *a, const struct fci_brought *b)
{
    return fabs(a->pressure - b->pressure) - a->within - b->within;
}

/* The readings of a claim's condition, at its place, one after the other. */
struct met {
    const struct fci_verify *v;
    const struct fci_claim *claim;
    bool still;
    double flow;
};

/* False: part i is none of them. */
static bool
bring(const struct met *m, size_t i, struct fci_brought *brought)
{
    const fc_reading *reading = m->v->site->parts[i].data;

    if (m->v->site->parts[i].kind != FCI_READING
        || !fci_reading_is_there(m->v, reading, m->claim)
        || fci_reading_is_too_high(m->v, reading))
        return false;
    if (m->still ? !reading->pressure.given || fci_reading_flows(reading)
                 : !fci_reading_meets(m->v, reading, m->claim))
        return false;
    *brought = fci_reading_bring(m->v, reading, m->claim, m->flow);
    return true;
}

/* ---- Doubts ----------------------------------------------------------- */

const fc_contradiction *
fci_reading_doubt(const struct fci_verify *v, size_t i)
{
    size_t k;

    for (k = 0; k < v->evidence.n; k++) {
        const fc_contradiction *c = &v->evidence.list[k];

        if ((c->against || c->beside || c->dimension == FC_FLOW
             || fci_is_above_ceiling(c))
            && i-- == 0)
            return c;
    }
    return NULL;
}

const fc_reading *
fci_reading_against(const struct fci_verify *v, const fc_reading *reading)
{
    const fc_contradiction *c =
        fci_evidence_against(&v->evidence, reading->name);
    const char *other;

    if (!c || !c->against)
        return NULL;
    other = fci_same_name(c->reading, reading->name) ? c->against : c->reading;
    return fci_site_find(v->site, FCI_READING, other)->data;
}

bool
fci_reading_is_too_high(const struct fci_verify *v, const fc_reading *reading)
{
    const fc_contradiction *c =
        fci_evidence_against(&v->evidence, reading->name);

    return c && !c->against && fci_is_above_ceiling(c);
}

struct fci_brought
fci_reading_for(const struct fci_verify *v, const struct fci_claim *claim,
                bool still, double flow)
{
    const struct met m = { v, claim, still, still ? 0 : flow };
    struct fci_brought best = fci_not_brought(), worst = best;
    struct fci_brought one, other;
    double widest = FCI_SAME_PRESSURE;
    size_t i, k;

    for (i = 0; i < v->site->n_parts; i++) {
        if (!bring(&m, i, &one))
            continue;
        if (is_better(&one, &best))
            best = one;
        for (k = 0; k < i; k++) {
            if (!bring(&m, k, &other) || !(apart(&one, &other) > widest))
                continue;
            widest = apart(&one, &other);
            worst = is_better(&one, &other) ? one : other;
            worst.against =
                is_better(&one, &other) ? other.reading : one.reading;
        }
    }
    return worst.reading ? worst : best;
}

/* ---- The verdict ------------------------------------------------------ */

/* [J106, 8.3.2 and 8.3.3] A guard band as wide as the gauge may be off by, on
 * either side: neither verdict rests on the gauge's error. */
fc_support
fci_support_by_reading(const struct fci_claim *claim,
                       const struct fci_brought *reading)
{
    const double least = claim->given->flowing.nominal - FCI_SAME_PRESSURE;

    if (claim->not_flowing)
        return FC_UNDECIDED;
    if (reading->high < least)
        return FC_CONTRADICTED;
    return reading->low >= least ? FC_SUPPORTED : FC_UNDECIDED;
}
