/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/verify/words.c -- what claims say that is not what they seem to say. */
#include "flow/ladder.h"
#include "units/units.h"
#include "verify/verify.h"

#include <math.h>
#include <stdlib.h>

/* A claim so near to a static pressure is taken for it: one tick of a common
 * gauge is twice that (common practice). */
#define SAME_ON_A_GAUGE 6894.757293168361 /* Pa: 1 psi */

#define MOST_NAMES 6 /* as many as a line holds */

/* What is at hand while one claim is put into words. */
struct telling {
    struct fci_findings *f;
    const struct fci_verify *v;
    const struct fci_claim *claim;
    const fc_checked_claim *checked;
};

/* As finely as the claimed pressure must be told from those beside it. */
static struct fci_shown
show(const struct telling *t, double pressure)
{
    return fci_show_with(t->v->site->settings.units, t->checked->decimals,
                         pressure);
}

static struct fci_shown
show_usual(const struct telling *t, double pressure)
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
                 "%s flowing is stated for %s, which is about what the "
                 "reading %s shows there with nothing flushing (%s): a static "
                 "pressure seems to be said to be flowing",
                 show(t, c->claimed).text, c->fixture, c->still_reading,
                 show(t, c->still_read).text);
    else if (!c->why_not && is_near(c->claimed, c->still, SAME_ON_A_GAUGE)
             && c->computed < c->claimed - SAME_ON_A_GAUGE)
        fci_find(t->f, FC_WARN, c->name, FC_STATES, "static pressure",
                 "%s flowing is stated for %s, which is about what stands "
                 "there with nothing flushing (%s): a static pressure seems "
                 "to be said to be flowing",
                 show(t, c->claimed).text, c->fixture, show(t, c->still).text);
    else if (!c->why_not && c->claimed > c->still + SAME_ON_A_GAUGE)
        fci_find(t->f, FC_WARN, c->name, FC_STATES, "static pressure",
                 "%s flowing is stated for %s, more than stands there with "
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
                 "%s is stated for %s, which is about what the reading %s "
                 "shows at %s: it seems to be of another point than it is "
                 "claimed for",
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
        "the reading %s comes to %s at %s, and the site as it is given "
        "%s%s: something is not as drawn; %s",
        c->reading, show(t, c->read).text, c->fixture,
        fci_show_range(t->v->site->settings.units, FC_PRESSURE, computed).text,
        varies ? " in 95 % of the outcomes" : "",
        c->against ? "the model does not decide"
                   : "the reading counts, not the model");
}

/* Readings of another day or with other valves say something all the same. */
static void
find_carried(const struct telling *t)
{
    const fc_checked_claim *c = t->checked;
    const struct fci_brought *carried = &t->claim->carried;
    const char *state = c->carried_state == c->state      ? ""
                        : c->carried_state == FC_RETROFIT ? ", retrofit"
                                                          : ", existing";
    fc_support support;
    bool against;

    if (!carried->reading || c->not_flowing)
        return;
    support =
        fci_support_by_reading(t->claim, carried->pressure, carried->within);
    against = support != FC_UNDECIDED && c->by_model != FC_UNDECIDED
              && support != c->by_model;
    fci_find(t->f, against ? FC_WARN : FC_NOTE, c->name, FC_STATES,
             "reading carried",
             "the reading %s, taken under another condition (%s%s), comes to "
             "%s when the model carries it to this one: within the %s that "
             "the gauge may be off that %s%s",
             c->carried_reading, c->carried_event, state,
             show(t, carried->pressure).text, show(t, carried->within).text,
             support == FC_SUPPORTED      ? "is enough"
             : support == FC_CONTRADICTED ? "is too little"
                                          : "leaves it open",
             against ? "; the model says otherwise, so neither decides" : "");
}

static void
find_against(const struct telling *t)
{
    const struct fci_brought *read = &t->claim->read;

    if (read->against)
        fci_find(t->f, FC_WARN, t->checked->name, FC_STATES, "reading",
                 "the readings %s and %s cannot both be true: neither "
                 "decides; take them again",
                 read->reading->name, read->against->name);
}

/* What is said of it where it is of a claim's own condition is enough. */
static bool
is_told(const struct fci_verify *v, const fc_reading *reading)
{
    size_t i;

    for (i = 0; i < v->n_claims; i++)
        if (!v->claims[i].why_not
            && (v->claims[i].read.reading == reading
                || v->claims[i].read.against == reading))
            return true;
    return false;
}

/* No claim is about a flow. */
static void
find_flow_alone(struct fci_findings *f, const struct fci_verify *v)
{
    const fc_site *site = v->site;
    size_t i;

    for (i = 0; i < site->n_parts; i++) {
        const fc_reading *reading = site->parts[i].data;

        if (site->parts[i].kind == FCI_READING && !reading->pressure.given)
            fci_find(f, FC_NOTE, "", FC_STATES, "flow alone",
                     "the reading %s is of a flow alone and left out here; "
                     "\"flushcalc diagnose\" weighs it",
                     reading->name);
    }
}

static void
find_refuted(struct fci_findings *f, const struct fci_verify *v)
{
    const fc_unit_system units = v->site->settings.units;
    size_t i;

    for (i = 0; i < v->n_fits; i++) {
        const struct fci_fit *fit = &v->fits[i];
        const fc_range has = { true, fit->low, fit->low, fit->high };
        const char *event;

        if (!fit->refuted || is_told(v, fit->reading))
            continue;
        event = fci_name_open(v, fit->open, fit->n_open);
        if (!event) {
            f->out_of_memory = true;
            return;
        }
        fci_find(
            f, FC_WARN, "", FC_STATES, "reading",
            "the reading %s shows %s at %s (%s), and the site as it is "
            "given %s there: something is not as drawn, so the model "
            "decides nothing that no reading bears out; \"flushcalc "
            "diagnose\" tells what may be the matter",
            fit->reading->name,
            fci_show(units, FC_PRESSURE, fit->reading->pressure.nominal).text,
            fit->reading->at, event,
            fci_show_range(units, FC_PRESSURE, has).text);
    }
}

/* Drinking water where it might be drawn back. */
static void
find_no_pressure(struct fci_findings *f, const struct fci_verify *v)
{
    size_t i;

    for (i = 0; i < v->n_fits; i++) {
        const fc_reading *r = v->fits[i].reading;

        if (!r->pressure.given || r->pressure.nominal > 0)
            continue;
        fci_find(
            f, FC_WARN, r->name, FC_STATES, "no pressure",
            "%s was read at %s: pressure at or below zero draws what it "
            "meets into the drinking water; stop and report it",
            fci_show(v->site->settings.units, FC_PRESSURE, r->pressure.nominal)
                .text,
            r->at);
    }
}

/* A claim may be true of less than the valve works with. */
static void
find_low_claim(const struct telling *t)
{
    const fc_checked_claim *c = t->checked;
    const fc_valve *valve =
        t->v->site->fixtures[t->claim->fixture].valve[t->claim->given->state];

    if (valve && valve->minimum_flowing.given
        && c->claimed < valve->minimum_flowing.nominal)
        fci_find(t->f, FC_NOTE, c->name, FC_STATES, "minimum",
                 "%s is less than the %s that the valve of %s needs: a claim "
                 "that is true, and no proof that it works",
                 show(t, c->claimed).text,
                 show_usual(t, valve->minimum_flowing.nominal).text,
                 c->fixture);
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
    if (rungs->most < 1)
        fci_find(t->f, FC_WARN, c->name, FC_STATES, "valves at once",
                 "%s alone has less than its own minimum of %s already, by "
                 "the site as it is given",
                 c->fixture, show_usual(t, least).text);
    else if (rungs->most < 2 && valves == 1)
        fci_find(t->f, FC_WARN, c->name, FC_STATES, "valves at once",
                 "%s flushes alone under this condition; with one more valve "
                 "open it falls below its own minimum of %s",
                 c->fixture, show_usual(t, least).text);
    else if (valves < rungs->most && !(c->reading && c->read < least))
        fci_find(t->f, FC_NOTE, c->name, FC_STATES, "valves at once",
                 "%d valve%s under this condition; as many as %d may flush "
                 "until %s falls below its own minimum of %s, and with them "
                 "it has less",
                 valves, valves == 1 ? " flushes" : "s flush", rungs->most,
                 c->fixture, show_usual(t, least).text);
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
find_not_flowing(const struct telling *t)
{
    const fc_checked_claim *c = t->checked;
    const struct fci_claim *claim = t->claim;

    if (c->not_flowing)
        fci_find(t->f, FC_WARN, c->name, FC_STATES, "not flowing",
                 "%s. What stands at %s without flow supports no flowing "
                 "pressure, though too little of it contradicts one",
                 c->not_flowing, c->fixture);
    else if (!claim->peak && claim->place == claim->n_open && !c->why_not)
        fci_find(t->f, FC_WARN, c->name, FC_STATES, "residual",
                 "%s is taken to draw nothing itself: what is judged is the "
                 "residual pressure there (%s); while it runs it has less",
                 c->fixture, c->event);
}

/* A claim may be of a better day than the site has. */
static void
find_supply(const struct telling *t)
{
    const fc_checked_claim *c = t->checked;
    const fc_range today = fci_claim_static(t->v->site);

    if (isnan(c->supply) || c->why_not
        || fabs(t->claim->shift) < FCI_SAME_PRESSURE)
        return;
    if (c->supply > today.high)
        fci_find(t->f, FC_WARN, c->name, FC_STATES, "supply",
                 "worked out with %s static at the source, where the site has "
                 "%s: what is found stands for such a day only",
                 show_usual(t, c->supply).text,
                 fci_show_range(t->v->site->settings.units, FC_PRESSURE, today)
                     .text);
    else
        fci_find(t->f, FC_NOTE, c->name, FC_STATES, "supply",
                 "worked out with %s static at the source, as on the day "
                 "claimed for; readings are of another day and do not decide",
                 show_usual(t, c->supply).text);
}

static void
find_basis(const struct telling *t)
{
    const fc_checked_claim *c = t->checked;

    if (c->why_not)
        fci_find(t->f, FC_WARN, c->name, FC_STATES, "not worked out",
                 "cannot be worked out: %s", c->why_not);
    find_not_flowing(t);
    find_supply(t);
}

/* ---- What concerns all of them ---------------------------------------- */

static bool
any_flows(const struct fci_verify *v)
{
    size_t i;

    for (i = 0; i < v->n_claims; i++)
        if (!v->claims[i].not_flowing && !v->claims[i].why_not)
            return true;
    return false;
}

/* In the words of a check. */
static void
find_untested(struct fci_findings *f, const struct fci_verify *v)
{
    if (v->untested && any_flows(v))
        fci_find(f, FC_WARN, "", FC_STATES, "flow test",
                 "%s has a static pressure but no flow test: it is taken not "
                 "to sag at all under flow, which is unproved, so the model "
                 "supports nothing that no flowing reading bears out; measure "
                 "its residual pressure at a known flow",
                 v->untested);
}

static void
find_exact(struct fci_findings *f, const struct fci_verify *v)
{
    if (v->draws == 1)
        fci_find(f, FC_WARN, "", FC_STATES, "nothing varies",
                 "every input is taken as exact, so that one outcome decides; "
                 "what the inputs may be off by is expected in [tolerance] or "
                 "as ranges");
}

fc_status
fci_find_claims(struct fci_findings *f, const struct fci_verify *v,
                fc_diagnostics *messages)
{
    fc_status status = FC_OK;
    size_t i;

    find_exact(f, v);
    find_untested(f, v);
    find_no_pressure(f, v);
    find_refuted(f, v);
    find_flow_alone(f, v);
    for (i = 0; i < v->n_claims && status == FC_OK; i++) {
        const struct telling t = { f, v, &v->claims[i], &v->checked[i] };

        find_basis(&t);
        find_static(&t);
        find_low_claim(&t);
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

/* "st, foot and 3 more": readings that do not say how accurate they are. */
static const char *
name_unsaid(struct fci_findings *f, const struct fci_verify *v)
{
    const char *text = NULL;
    size_t i, n = 0;

    for (i = 0; i < v->n_fits; i++) {
        const fc_reading *reading = v->fits[i].reading;

        if (reading->within.given || n++ >= MOST_NAMES)
            continue;
        text = text ? fci_arena_printf(f->arena, "%s, %s", text, reading->name)
                    : reading->name;
        f->out_of_memory |= !text;
    }
    if (n > MOST_NAMES && text)
        text = fci_arena_printf(f->arena, "%s and %zu more", text,
                                n - MOST_NAMES);
    f->out_of_memory |= n > 0 && !text;
    return text;
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
    const char *unsaid = name_unsaid(f, v);

    if (v->draws > 1)
        fci_assume(f, "an input of which only bounds are known lies anywhere "
                      "between them with equal chance, a size at any of those "
                      "given, and independently of the others; the C of pipes "
                      "that take it from one material's table is one");
    if (any_event(v, false)) {
        fci_assume_valves(f);
        fci_assume_others(f);
    }
    if (any_event(v, true))
        fci_assume(f,
                   "at peak every element carries the peak demand %s of what "
                   "is on it",
                   v->site->settings.peak == FC_PROBABILITY ? "by probability"
                                                            : "by the code");
    fci_assume_generic(f, generic);
    fci_assume_stops(f);
    if (unsaid)
        fci_assume(
            f,
            "a gauge is right within %s (common practice) where its "
            "reading does not say: %s",
            fci_show(v->site->settings.units, FC_PRESSURE, FCI_USUAL_WITHIN)
                .text,
            unsaid);
}
