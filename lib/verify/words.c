/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/verify/words.c -- what claims say that is not what they seem to say. */
#include "check/holds.h"
#include "flow/ladder.h"
#include "peak/source.h"
#include "units/units.h"
#include "verify/verify.h"
#include "words/phrase.h"

#include <math.h>

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
        fci_find(
            t->f, FC_WARN, c->name, 0, FC_FOUND_STATIC_PRESSURE,
            "{claimed} flowing is claimed for {fixture}, about what reading "
            "{reading} shows there with nothing flushing ({static}): this "
            "looks like a static pressure claimed as flowing",
            FCI_WITH(FCI_AS("claimed", FC_PRESSURE, c->claimed,
                            show(t, c->claimed).text),
                     FCI_WORD("fixture", c->fixture),
                     FCI_WORD("reading", c->still_reading),
                     FCI_AS("static", FC_PRESSURE, c->still_read,
                            show(t, c->still_read).text)));
    else if (!c->why_not && is_near(c->claimed, c->still, SAME_ON_A_GAUGE)
             && c->computed < c->claimed - SAME_ON_A_GAUGE)
        fci_find(t->f, FC_WARN, c->name, 0, FC_FOUND_STATIC_PRESSURE,
                 "{claimed} flowing is claimed for {fixture}, about its "
                 "pressure with nothing flushing ({static}): this looks like "
                 "a static pressure claimed as flowing",
                 FCI_WITH(FCI_AS("claimed", FC_PRESSURE, c->claimed,
                                 show(t, c->claimed).text),
                          FCI_WORD("fixture", c->fixture),
                          FCI_AS("static", FC_PRESSURE, c->still,
                                 show(t, c->still).text)));
    else if (!c->why_not && c->claimed > c->still + SAME_ON_A_GAUGE)
        fci_find(t->f, FC_WARN, c->name, 0, FC_FOUND_STATIC_PRESSURE,
                 "{claimed} flowing is claimed for {fixture}, above its "
                 "pressure with nothing flushing ({static})",
                 FCI_WITH(FCI_AS("claimed", FC_PRESSURE, c->claimed,
                                 show(t, c->claimed).text),
                          FCI_WORD("fixture", c->fixture),
                          FCI_AS("static", FC_PRESSURE, c->still,
                                 show(t, c->still).text)));
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
                        fci_reading_within(site, r)))
            continue;
        fci_find(t->f, FC_WARN, c->name, 0, FC_FOUND_PLACE_OF_GAUGE,
                 "{claimed} is claimed for {fixture}, about what reading "
                 "{reading} shows at {at}: it may belong to that point",
                 FCI_WITH(FCI_AS("claimed", FC_PRESSURE, c->claimed,
                                 show(t, c->claimed).text),
                          FCI_WORD("fixture", c->fixture),
                          FCI_WORD("reading", r->name),
                          FCI_WORD("at", r->at)));
    }
}

static void
find_disagreement(const struct telling *t)
{
    const fc_checked_claim *c = t->checked;
    const fc_range computed = { true, c->computed, c->low, c->high };
    const bool varies = t->v->varied > 0;

    if (!c->reading || c->why_not)
        return;
    if (c->read + c->within >= c->low && c->read - c->within <= c->high)
        return;
    fci_find(
        t->f, FC_WARN, c->name, 0, FC_FOUND_READING,
        "reading {reading} comes to {read} at {fixture}; the file as entered "
        "gives {computed}{of outcomes}: something is not as entered; {counts}",
        FCI_WITH(
            FCI_WORD("reading", c->reading),
            FCI_AS("read", FC_PRESSURE, c->read, show(t, c->read).text),
            FCI_WORD("fixture", c->fixture),
            FCI_RANGE("computed", FC_PRESSURE, computed),
            FCI_WORD("of outcomes", varies ? " in 95% of the outcomes" : ""),
            FCI_WORD("counts", c->against
                                   ? "the model does not decide"
                                   : "the reading counts, not the model")));
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
    const fc_range range = { true, carried->pressure, carried->low,
                             carried->high };
    fc_support support;
    bool against;

    if (!carried->reading || c->not_flowing)
        return;
    support = fci_support_by_reading(t->claim, carried);
    against = support != FC_UNDECIDED && c->by_model != FC_UNDECIDED
              && support != c->by_model;
    fci_find(
        t->f, against ? FC_WARN : FC_NOTE, c->name, 0,
        FC_FOUND_READING_CARRIED,
        "reading {reading}, taken under another condition ({event}{state}), "
        "comes to {carried} when carried to this one as a static offset, main "
        "drop or restriction: {enough}{against}",
        FCI_WITH(
            FCI_WORD("reading", c->carried_reading),
            FCI_WORD("event", c->carried_event), FCI_WORD("state", state),
            FCI_RANGE("carried", FC_PRESSURE, range),
            FCI_WORD("enough", support == FC_SUPPORTED      ? "enough"
                               : support == FC_CONTRADICTED ? "too little"
                                                            : "not certain"),
            FCI_WORD("against",
                     against ? "; the model says otherwise, so neither decides"
                             : "")));
}

static void
find_against(const struct telling *t)
{
    const struct fci_brought *read = &t->claim->read;

    if (read->against)
        fci_find(t->f, FC_WARN, t->checked->name, 0, FC_FOUND_READING,
                 "readings {reading} and {other} cannot both be true: neither "
                 "decides; take both again",
                 FCI_WITH(FCI_WORD("reading", read->reading->name),
                          FCI_WORD("other", read->against->name)));
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

        if (fci_is_reading(&site->parts[i]) && !reading->pressure.given)
            fci_find(f, FC_NOTE, "", 0, FC_FOUND_FLOW_ALONE,
                     "reading {reading} is a flow only and not used here; "
                     "\"flushcalc diagnose\" weighs it",
                     FCI_WITH(FCI_WORD("reading", reading->name)));
    }
}

static void
find_refuted(struct fci_findings *f, const struct fci_verify *v)
{
    size_t i;

    for (i = 0; i < v->n_fits; i++) {
        const struct fci_fit *fit = &v->fits[i];
        const fc_range has = { true, fit->low, fit->low, fit->high };
        const char *event;

        if (!fit->refuted || fit->beside || is_told(v, fit->reading))
            continue;
        event = fci_name_open(v, fit->open, fit->n_open);
        fci_find(
            f, FC_WARN, "", 0, FC_FOUND_READING,
            "reading {reading} shows {read} at {at} ({event}); the file as "
            "entered gives {computed}{drawn}: something is not as entered, so "
            "the model alone decides nothing; see \"flushcalc diagnose\"",
            FCI_WITH(
                FCI_WORD("reading", fit->reading->name),
                FCI_ONE("read", FC_PRESSURE, fit->reading->pressure.nominal),
                FCI_WORD("at", fit->reading->at), FCI_WORD("event", event),
                FCI_RANGE("computed", FC_PRESSURE, has),
                FCI_WORD("drawn", fci_fit_of(v, fit))));
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
        fci_find(f, FC_WARN, r->name, 0, FC_FOUND_NO_PRESSURE,
                 "{read} read at {at}: at zero or below, foul water can be "
                 "drawn into the drinking water; stop and report it",
                 FCI_WITH(FCI_ONE("read", FC_PRESSURE, r->pressure.nominal),
                          FCI_WORD("at", r->at)));
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
        fci_find(t->f, FC_NOTE, c->name, 0, FC_FOUND_MINIMUM,
                 "{claimed} is below the {needed} valve minimum of {fixture}: "
                 "even if true, it does not prove that {fixture} works",
                 FCI_WITH(FCI_AS("claimed", FC_PRESSURE, c->claimed,
                                 show(t, c->claimed).text),
                          FCI_ONE("needed", FC_PRESSURE,
                                  valve->minimum_flowing.nominal),
                          FCI_WORD("fixture", c->fixture)));
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
tell_ladder(const struct telling *t, const struct fci_rungs *rungs, int sure,
            double least)
{
    const fc_checked_claim *c = t->checked;
    const int valves = valves_of(t->claim);

    if (rungs->all)
        return;
    if (rungs->most < 1)
        fci_find(t->f, FC_WARN, c->name, 0, FC_FOUND_VALVES_AT_ONCE,
                 "{fixture} is below its valve minimum of {needed} even "
                 "alone, by the file as entered",
                 FCI_WITH(FCI_WORD("fixture", c->fixture),
                          FCI_ONE("needed", FC_PRESSURE, least)));
    else if (rungs->could < 2 && valves == 1)
        fci_find(t->f, FC_WARN, c->name, 0, FC_FOUND_VALVES_AT_ONCE,
                 "{fixture} flushes alone under this condition; one more open "
                 "valve brings it below its valve minimum of {needed}",
                 FCI_WITH(FCI_WORD("fixture", c->fixture),
                          FCI_ONE("needed", FC_PRESSURE, least)));
    else if (valves < sure && !(c->reading && c->read < least))
        fci_find(
            t->f, FC_NOTE, c->name, 0, FC_FOUND_VALVES_AT_ONCE,
            "{valves} valve{flush} under this condition; up to {most} can "
            "flush with {fixture} still at its valve minimum of {needed}, at "
            "less pressure than here",
            FCI_WITH(FCI_COUNT("valves", valves),
                     FCI_WORD("flush", valves == 1 ? " flushes" : "s flush"),
                     FCI_COUNT("most", sure), FCI_WORD("fixture", c->fixture),
                     FCI_ONE("needed", FC_PRESSURE, least)));
}

/* So many may flush with all that `flush` asks for, in the worst case. */
static fc_status
find_sure(const struct telling *t, const struct fci_network *network,
          struct fci_ladder *ladder, int *sure)
{
    const size_t fixture = t->claim->fixture;
    const fc_valve *valve =
        network->site->fixtures[fixture].valve[network->state];
    struct fci_arena scratch = { 0 };
    struct fci_limited limited;
    struct fci_rungs rungs;
    fc_status status;

    *sure = 0;
    if (fci_untested_main(network->site)
        || !(network->bounded || network->exact))
        return FC_OK;
    status =
        fci_ladder_climb(ladder, fixture, FCI_WORST,
                         valve->minimum_flowing.high, FCI_MOST_ALONE, &rungs);
    if (status != FC_OK)
        return status;
    *sure = rungs.most;
    status =
        fci_most_that_hold(network, ladder, NULL, &scratch, sure, &limited);
    fci_arena_free(&scratch);
    return status;
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
    int sure = 0;

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
        status = fci_solver_fail(solver, find_sure(t, network, ladder, &sure),
                                 messages);
    if (status == FC_OK)
        status = fci_solver_fail(
            solver,
            fci_ladder_climb(ladder, claim->fixture, FCI_NOMINAL,
                             valve->minimum_flowing.nominal, FCI_MOST_ALONE,
                             &rungs),
            messages);
    if (status == FC_OK)
        tell_ladder(t, &rungs, sure, valve->minimum_flowing.nominal);
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

    const bool residual =
        !claim->peak && claim->n_open > 0
        && !t->v->site->fixtures[claim->fixture].valve[claim->given->state];

    if (c->not_flowing)
        fci_find(t->f, FC_WARN, c->name, 0,
                 residual ? FC_FOUND_RESIDUAL : FC_FOUND_NOT_FLOWING,
                 "{not flowing}. Pressure at {fixture} without flow decides "
                 "no claim of a flowing pressure, whatever is read there",
                 FCI_WITH(FCI_WORD("not flowing", c->not_flowing),
                          FCI_WORD("fixture", c->fixture)));
}

/* Why the draws are less sure than they look, or what they are sure by. */
static void
find_how_sure(const struct telling *t)
{
    const fc_checked_claim *c = t->checked;
    const fc_range chance = { true, 100 * c->probability,
                              100 * c->probability_low,
                              100 * c->probability_high };

    if (c->drawn_down)
        fci_find(t->f, FC_WARN, c->name, 0, FC_FOUND_HOW_SURE,
                 "{drawn down}: the model supports no flowing pressure under "
                 "this condition",
                 FCI_WITH(FCI_WORD("drawn down", c->drawn_down)));
    if (c->not_flowing || c->why_not || c->reading)
        return;
    if (c->doubt == FC_DOUBT_NOT_GIVEN)
        fci_find(t->f, FC_WARN, c->name, 0, FC_FOUND_HOW_SURE,
                 "the {input} is not given: the claim may hold in one part of "
                 "its usual range and not in another. Measure it and enter it",
                 FCI_WITH(FCI_WORD("input", c->rests_on)));
    else if (c->doubt == FC_DOUBT_SAMPLING)
        fci_find(t->f, FC_WARN, c->name, 0, FC_FOUND_HOW_SURE,
                 "{chance}% of outcomes is too close to 95% or 5% to decide, "
                 "with {drawn} buildings sampled",
                 FCI_WITH(FCI_RANGE("chance", FC_NUMBER, chance),
                          FCI_COUNT("drawn", c->drawn)));
    else if (c->doubt == FC_DOUBT_MODEL)
        fci_find(t->f, FC_WARN, c->name, 0, FC_FOUND_HOW_SURE,
                 "{computed} calculated is closer to {claimed} claimed than "
                 "the model's own accuracy (friction 2%, and the gauge at the "
                 "source where not given): undecided",
                 FCI_WITH(FCI_AS("computed", FC_PRESSURE, c->computed,
                                 show(t, c->computed).text),
                          FCI_AS("claimed", FC_PRESSURE, c->claimed,
                                 show(t, c->claimed).text)));
    else if (c->doubt == FC_DOUBT_ALIKE)
        fci_find(t->f, FC_WARN, c->name, 0, FC_FOUND_HOW_SURE,
                 "{chance}% of outcomes reach it only if the {kind} are off "
                 "independently; all off the same way leaves it undecided. "
                 "Measure them, or give a typical floor \"rise.each = yes\"",
                 FCI_WITH(FCI_RANGE("chance", FC_NUMBER, chance),
                          FCI_WORD("kind", c->rests_on)));
    else if (c->doubt == FC_SURE_BY_INDEPENDENCE)
        fci_find(
            t->f, FC_WARN, c->name, 0, FC_FOUND_HOW_SURE,
            "sure only because inputs are taken as independent: with all in "
            "their {end} case together it would be {verdict}",
            FCI_WITH(FCI_WORD("end",
                              c->by_model == FC_SUPPORTED ? "worst" : "best"),
                     FCI_WORD("verdict", c->by_model == FC_SUPPORTED
                                             ? "missed"
                                             : "reached")));
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
        fci_find(t->f, FC_WARN, c->name, 0, FC_FOUND_SUPPLY,
                 "calculated with {claimed} static at the source, where the "
                 "file has {today}: the result is for such a day only",
                 FCI_WITH(FCI_ONE("claimed", FC_PRESSURE, c->supply),
                          FCI_RANGE("today", FC_PRESSURE, today)));
    else
        fci_find(t->f, FC_NOTE, c->name, 0, FC_FOUND_SUPPLY,
                 "calculated with {claimed} static at the source, as on the "
                 "day claimed; readings are of another day and do not decide",
                 FCI_WITH(FCI_ONE("claimed", FC_PRESSURE, c->supply)));
}

static void
find_not_worked_out(const struct telling *t)
{
    const fc_checked_claim *c = t->checked;

    if (c->why_not)
        fci_find(t->f, FC_WARN, c->name, 0, FC_FOUND_NOT_WORKED_OUT,
                 "cannot be calculated: {why}",
                 FCI_WITH(FCI_WORD("why", c->why_not)));
}

static void
find_basis(const struct telling *t)
{
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
        fci_find(f, FC_WARN, "", 0, FC_FOUND_FLOW_TEST,
                 "{main} has no flow test: taken not to drop under flow, "
                 "which is unproved, so the model alone supports nothing; "
                 "measure its residual at a known flow",
                 FCI_WITH(FCI_WORD("main", v->untested)));
}

static void
find_exact(struct fci_findings *f, const struct fci_verify *v)
{
    if (v->draws == 1)
        fci_find(
            f, FC_WARN, "", 0, FC_FOUND_NOTHING_VARIES,
            "no input is a range, so only the model's own accuracy counts; "
            "give the accuracy of inputs in [tolerance] or as ranges",
            NULL);
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

        find_not_worked_out(&t);
        if (!v->claims[i].shown)
            continue;
        find_basis(&t);
        find_how_sure(&t);
        find_static(&t);
        find_low_claim(&t);
        find_other_place(&t);
        find_disagreement(&t);
        find_carried(&t);
        find_against(&t);
        status = fci_find_backflow(f, v, t.claim, t.checked->name, messages);
        if (status == FC_OK)
            status = find_valves(&t, messages);
    }
    for (i = 0; fci_reading_doubt(v, i); i++)
        fci_find_contradiction(f, fci_reading_doubt(v, i));
    return status;
}

/* ---- Assumptions ------------------------------------------------------ */

static bool
has_generic(const struct fci_check_words *w, const struct fci_fixture *fixture,
            const void *data)
{
    const struct fci_verify *v = data;
    size_t i;

    (void)w;
    for (i = 0; i < v->n_claims; i++) {
        const fc_state state = v->claims[i].given->state;

        if (fixture->valve[state] && fixture->generic[state])
            return true;
    }
    return false;
}

/* "st, foot and 3 more": readings that do not say how accurate they are. */
static const char *
name_unsaid(struct fci_check_words *w, const struct fci_verify *v)
{
    const char *text = NULL;
    size_t i, n = 0;

    for (i = 0; i < v->n_fits; i++) {
        const fc_reading *reading = v->fits[i].reading;

        if (fci_reading_accuracy(v->site, reading).given || n++ >= MOST_NAMES)
            continue;
        text = text ? fci_arena_printf(w->found.arena, "%s, %s", text,
                                       reading->name)
                    : reading->name;
    }
    if (n > MOST_NAMES && text)
        text = fci_arena_printf(w->found.arena, "%s and %zu more", text,
                                n - MOST_NAMES);
    return text;
}

/* "g and h": gauges that give their full scale alone. */
static const char *
name_by_scale(struct fci_check_words *w, const struct fci_verify *v)
{
    struct fci_words words = { w->found.arena, "", 0 };
    size_t i;

    for (i = 0; i < v->site->n_parts; i++) {
        const fc_gauge *gauge = v->site->parts[i].data;

        if (v->site->parts[i].kind == FCI_GAUGE && !gauge->within.given
            && gauge->full_scale.given)
            fci_join(&words, " and ", gauge->name);
    }
    return words.n > 0 ? words.text : NULL;
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

/* What a claim leaves open. */
static void
assume_unsaid(struct fci_check_words *w, const struct fci_verify *v)
{
    size_t i;

    for (i = 0; i < v->n_given; i++) {
        const fc_checked_claim *c = &v->given[i];
        const bool state = !c->state_said && v->converted;

        if (c->condition_said && !state)
            continue;
        fci_assume(&w->found,
                   "%s does not say %s: it is judged %s, and holds only if it "
                   "holds under all of these",
                   c->name,
                   !state              ? "\"while\""
                   : c->condition_said ? "\"state\""
                                       : "\"while\" and \"state\"",
                   c->judged);
    }
}

void
fci_assume_claims(struct fci_check_words *w, const struct fci_verify *v)
{
    const char *generic = fci_name_some(w, has_generic, v);
    const char *unsaid = name_unsaid(w, v);
    const char *by_scale = name_by_scale(w, v);

    fci_assume_usual(w, FCI_NONE, FC_EXISTING);
    if (v->draws > 1)
        fci_assume(&w->found,
                   "a range is equally likely anywhere between its ends (a "
                   "size: any of those given), independently of others unless "
                   "they share a cause: a typical floor's value on all its "
                   "floors (unless \"each = yes\"); C of one material, of "
                   "which a quarter is each pipe's own (common practice); "
                   "what [tolerance] widens, by kind of value; what is not "
                   "given must not change the verdict at its worst or best");
    fci_assume(
        &w->found,
        "friction of all pipes together may be off by %.0f%%, as its formulas "
        "differ, and a gauge read at a source by %s (common practice) where "
        "the file does not say",
        100 * FCI_FRICTION_WITHIN,
        fci_show(w->found.units, FC_PRESSURE, fci_usual_within(v->site)).text);
    if (any_event(v, false)) {
        fci_assume_valves(&w->found);
        fci_assume_others(&w->found);
    }
    if (any_event(v, true))
        fci_assume(&w->found,
                   "at peak every element carries the peak demand %s of what "
                   "it feeds",
                   v->site->settings.peak == FC_PROBABILITY ? "by probability"
                                                            : "by the code");
    assume_unsaid(w, v);
    fci_assume_generic(&w->found, generic);
    fci_assume_stops(&w->found);
    if (by_scale)
        fci_assume(&w->found,
                   "a gauge is good to %.0f%% of full scale (common practice) "
                   "where its [gauge] does not say: %s",
                   100 * FCI_GAUGE_IN_SERVICE, by_scale);
    if (unsaid)
        fci_assume(&w->found,
                   "a gauge is good to %s (common practice) where its reading "
                   "does not say: %s",
                   fci_show(v->site->settings.units, FC_PRESSURE,
                            fci_usual_within(v->site))
                       .text,
                   unsaid);
}
