/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/find_claims.c -- what claims say that is not what they seem to say. */
#include "ladder.h"
#include "units.h"
#include "verify.h"

#include <math.h>
#include <stdlib.h>

/* A claim so near to a static pressure is taken for it: one tick of a common
 * gauge is twice that (common practice). */
#define SAME_ON_A_GAUGE 6894.757293168361 /* Pa: 1 psi */

/* What is at hand while one claim is put into words. */
struct telling {
    struct fci_findings *f;
    const struct fci_verify *v;
    const struct fci_claim *claim;
    const fc_checked_claim *checked;
};

static struct fci_shown
show(const struct telling *t, double pressure)
{
    return fci_show(t->v->site->settings.units, FC_PRESSURE, pressure);
}

static bool
is_near(double a, double b, double within)
{
    return fabs(a - b) <= within;
}

/* ---- Static for flowing ----------------------------------------------- */

/* Whether something flows under the claim, so that its pressure is not the
 * static one. */
static bool
something_flows(const struct telling *t)
{
    return t->claim->peak || t->claim->n_open > 0;
}

static void
find_static(const struct telling *t)
{
    const fc_checked_claim *c = t->checked;

    if (!something_flows(t))
        return;
    if (c->still_reading && is_near(c->claimed, c->still_read, c->still_within)
        && !(c->reading && is_near(c->claimed, c->read, c->within)))
        fci_find(t->f, FC_WARN, c->name, FC_STATES, "static pressure",
                 "states %s flowing at %s, which is what the reading %s "
                 "shows there with nothing flushing (%s): a static pressure "
                 "seems to be said to be flowing",
                 show(t, c->claimed).text, c->fixture, c->still_reading,
                 show(t, c->still_read).text);
    else if (!c->why_not && is_near(c->claimed, c->still, SAME_ON_A_GAUGE)
             && c->computed < c->claimed - SAME_ON_A_GAUGE)
        fci_find(t->f, FC_WARN, c->name, FC_STATES, "static pressure",
                 "states %s flowing at %s, which is what stands there with "
                 "nothing flushing (%s): a static pressure seems to be said "
                 "to be flowing",
                 show(t, c->claimed).text, c->fixture, show(t, c->still).text);
    else if (!c->why_not && c->claimed > c->still + SAME_ON_A_GAUGE)
        fci_find(t->f, FC_WARN, c->name, FC_STATES, "static pressure",
                 "states %s flowing at %s, more than stands there with "
                 "nothing flushing (%s)",
                 show(t, c->claimed).text, c->fixture, show(t, c->still).text);
}

/* ---- Readings --------------------------------------------------------- */

/* Another point of the building under the same condition shows what is
 * claimed. */
static void
find_other_place(const struct telling *t)
{
    const fc_checked_claim *c = t->checked;
    const fc_site *site = t->v->site;
    size_t i;

    if (c->reading && is_near(c->claimed, c->read, c->within))
        return;
    for (i = 0; i < site->n_parts; i++) {
        const fc_reading *r = site->parts[i].data;

        if (site->parts[i].kind != FCI_READING
            || !fci_reading_meets(t->v, r, t->claim)
            || fci_reading_is_there(t->v, r, t->claim)
            || !is_near(c->claimed, r->pressure.nominal,
                        fci_reading_within(r)))
            continue;
        fci_find(t->f, FC_WARN, c->name, FC_STATES, "place of the gauge",
                 "states %s at %s, which is what the reading %s shows at %s: "
                 "it seems to be of another point than it is claimed for",
                 show(t, c->claimed).text, c->fixture, r->name, r->at);
    }
}

static void
find_disagreement(const struct telling *t)
{
    const fc_checked_claim *c = t->checked;
    const fc_range computed = { true, c->computed, c->low, c->high };
    const bool varies = c->decided_by != NULL;

    if (!c->reading || c->why_not)
        return;
    if (c->read + c->within >= c->low && c->read - c->within <= c->high)
        return;
    fci_find(
        t->f, FC_WARN, c->name, FC_STATES, "reading",
        "the reading %s shows %s at %s, and the site as it is given "
        "%s%s: something is not as drawn; the reading decides",
        c->reading, show(t, c->read).text, c->fixture,
        fci_show_range(t->v->site->settings.units, FC_PRESSURE, computed).text,
        varies ? " in 95 % of the outcomes" : "");
}

/* Readings of another day or with other valves say something all the same. */
static void
find_carried(const struct telling *t)
{
    const fc_checked_claim *c = t->checked;
    const struct fci_brought *carried = &t->claim->carried;
    fc_support support;

    if (!carried->reading || c->reading || c->why_not)
        return;
    support =
        fci_support_by_reading(c->claimed, carried->pressure, carried->within);
    fci_find(t->f, c->verdict != c->by_model ? FC_WARN : FC_NOTE, c->name,
             FC_STATES, "reading carried",
             "the reading %s, taken under another condition, comes to %s when "
             "the model carries it to the claim's: within the %s that the "
             "gauge may be off it %s%s",
             carried->reading->name, show(t, carried->pressure).text,
             show(t, carried->within).text,
             support == FC_SUPPORTED      ? "speaks for the claim"
             : support == FC_CONTRADICTED ? "speaks against the claim"
                                          : "leaves the claim open",
             c->verdict != c->by_model
                 ? "; the model says otherwise, so neither decides"
                 : "");
}

static void
find_against(const struct telling *t)
{
    const struct fci_brought *read = &t->claim->read;

    if (read->against)
        fci_find(t->f, FC_WARN, t->checked->name, FC_STATES, "reading",
                 "the readings %s and %s are of this condition and cannot "
                 "both be true: neither decides; take them again",
                 read->reading->name, read->against->name);
}

/* ---- How many valves -------------------------------------------------- */

static int
valves_of(const struct fci_claim *claim)
{
    int n = 0;
    size_t i;

    for (i = 0; i < claim->n_open; i++)
        n += claim->open[i].count;
    return n;
}

static void
tell_ladder(const struct telling *t, const struct fci_rungs *rungs,
            double least)
{
    const fc_checked_claim *c = t->checked;
    const int valves = valves_of(t->claim);

    if (rungs->all)
        return;
    if (rungs->most < 2 && valves == 1)
        fci_find(t->f, FC_WARN, c->name, FC_STATES, "valves at once",
                 "is of %s while it flushes alone; with one more valve open "
                 "it falls below its own minimum of %s",
                 c->fixture, show(t, least).text);
    else if (valves < rungs->most)
        fci_find(t->f, FC_NOTE, c->name, FC_STATES, "valves at once",
                 "is of %d valve%s at once; as many as %d may flush until %s "
                 "falls below its own minimum of %s, and with them it has "
                 "less",
                 valves, valves == 1 ? "" : "s", rungs->most, c->fixture,
                 show(t, least).text);
}

/* FC_ENOMEM, FC_ENOCONV. */
static fc_status
find_valves(const struct telling *t, fc_diagnostics *messages)
{
    const struct fci_claim *claim = t->claim;
    const fc_state state = claim->given->state;
    const fc_valve *valve = t->v->site->fixtures[claim->fixture].valve[state];
    struct fci_network *network = NULL;
    struct fci_solver *solver = NULL;
    struct fci_ladder *ladder = NULL;
    struct fci_rungs rungs;
    fc_status status;

    if (claim->why_not || claim->place >= claim->n_open
        || fabs(claim->shift) > 0 || !valve->minimum_flowing.given)
        return FC_OK;
    status = fci_network_new(t->v->site, state, &network, messages);
    if (status != FC_OK)
        return status;
    solver = fci_solver_new(network);
    ladder = solver ? fci_ladder_new(network, solver) : NULL;
    status = ladder ? FC_OK : FC_ENOMEM;
    if (ladder)
        status = fci_solver_fail(
            solver,
            fci_ladder_climb(ladder, claim->fixture, FCI_NOMINAL,
                             valve->minimum_flowing.nominal, &rungs),
            messages);
    if (status == FC_OK)
        tell_ladder(t, &rungs, valve->minimum_flowing.nominal);
    fci_ladder_free(ladder);
    fci_solver_free(solver);
    fci_network_free(network);
    return status;
}

/* ---- What it rests on ------------------------------------------------- */

static void
find_basis(const struct telling *t)
{
    const fc_checked_claim *c = t->checked;
    const struct fci_fixture *fixture =
        &t->v->site->fixtures[t->claim->fixture];

    if (c->why_not)
        fci_find(t->f, FC_WARN, c->name, FC_STATES, "not worked out",
                 "cannot be worked out: %s", c->why_not);
    if (c->condition == FC_WHILE_ALONE && !fixture->valve[c->state])
        fci_find(t->f, FC_WARN, c->name, FC_STATES, "no flush valve",
                 "is of %s, which has no flush valve: it is worked out with "
                 "nothing flowing there",
                 c->fixture);
    if (!t->claim->peak && t->claim->place == t->claim->n_open
        && fixture->kind->flushes && !c->why_not)
        fci_find(t->f, FC_WARN, c->name, FC_STATES, "not flowing",
                 "is judged with no valve flushing at %s: that is no flowing "
                 "pressure there",
                 c->fixture);
    if (!isnan(c->supply) && !c->why_not && c->still_reading
        && fabs(t->claim->shift) >= FCI_SAME_PRESSURE)
        fci_find(t->f, FC_NOTE, c->name, FC_STATES, "supply",
                 "is worked out with %s static at the source, as on its day; "
                 "the readings are of another day and do not decide it",
                 show(t, c->supply).text);
}

fc_status
fci_find_claims(struct fci_findings *f, const struct fci_verify *v,
                fc_diagnostics *messages)
{
    fc_status status = FC_OK;
    size_t i;

    if (v->draws == 1)
        fci_find(f, FC_NOTE, "", FC_STATES, "nothing varies",
                 "every input is exact, so that one outcome decides each "
                 "claim; what the inputs may be off by is expected in "
                 "[tolerance] or as ranges");
    for (i = 0; i < v->n_claims && status == FC_OK; i++) {
        const struct telling t = { f, v, &v->claims[i], &v->checked[i] };

        find_basis(&t);
        find_static(&t);
        find_other_place(&t);
        find_disagreement(&t);
        find_carried(&t);
        find_against(&t);
        if (status == FC_OK)
            status = find_valves(&t, messages);
    }
    return status;
}

/* ---- Assumptions ------------------------------------------------------ */

static bool
has_generic(const struct fci_findings *f, const struct fci_fixture *fixture,
            const void *data)
{
    const struct fci_verify *v = data;
    size_t i;

    (void)f;
    for (i = 0; i < v->n_claims; i++) {
        const fc_state state = v->claims[i].given->state;

        if (fixture->valve[state] && fixture->generic[state])
            return true;
    }
    return false;
}

static bool
any_untested(const fc_site *site)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const fc_source *source = site->elements[i].part->data;

        if (site->elements[i].part->kind == FCI_SOURCE
            && source->kind == FC_STREET_MAIN && !source->residual.given)
            return true;
    }
    return false;
}

static bool
any_event(const struct fci_verify *v, bool peak)
{
    size_t i;

    for (i = 0; i < v->n_claims; i++)
        if (v->claims[i].peak == peak && !v->claims[i].why_not)
            return true;
    return false;
}

void
fci_assume_claims(struct fci_findings *f, const struct fci_verify *v)
{
    const char *generic = fci_name_some(f, has_generic, v);

    if (v->draws > 1)
        fci_assume(f, "an input of which only bounds are known lies anywhere "
                      "between them with equal chance, a size at any of those "
                      "given, and independently of the others; the C of pipes "
                      "that take it from one material's table is one");
    if (any_event(v, false)) {
        fci_assume(f, "a valve's flow goes with the square root of the "
                      "pressure at its inlet, from the rate its data sheet "
                      "gives; a reading is of the steady middle of a flush");
        fci_assume(f, "fixtures other than the valves that flush draw "
                      "nothing; steady draws run");
    }
    if (any_event(v, true))
        fci_assume(f, "at peak every element carries the peak demand by the "
                      "code of what is on it");
    if (generic)
        fci_assume(f,
                   "the rates of generic classes stand for the valves of "
                   "%s",
                   generic);
    fci_assume(f, "a control stop takes nothing unless its \"stop\" is given");
    if (any_untested(v->site))
        fci_assume(f, "a street main without a flow test does not sag, which "
                      "is unproved");
}
