/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/verify/claims.c -- what flushes under a claim, and what is out of the
 * model's reach. */
#include "ground/diagnostics.h"
#include "peak/source.h"
#include "check/refuse.h"
#include "verify/verify.h"

#include <math.h>

static size_t
count_claims(const fc_site *site)
{
    size_t n = 0, i;

    for (i = 0; i < site->n_parts; i++)
        n += site->parts[i].kind == FCI_CLAIM;
    return n;
}

/* ---- What flushes ----------------------------------------------------- */

/* `count` 0: all of them.  Each fixture comes once. */
static void
open_more(const struct fci_verify *v, struct fci_claim *claim, size_t fixture,
          int count)
{
    claim->open[claim->n_open++] =
        (struct fci_open){ fixture,
                           count ? count : v->site->fixtures[fixture].count };
}

static fc_status
open_claim(const struct fci_verify *v, struct fci_claim *claim)
{
    const fc_claim *given = claim->given;
    const fc_state state = given->state;
    size_t i, at = 0;

    claim->open =
        fci_arena_array(v->arena, given->n_flushing + 1, sizeof *claim->open);
    if (!claim->open)
        return FC_ENOMEM;
    if (given->condition == FC_WHILE_ALONE
        && v->site->fixtures[claim->fixture].valve[state])
        open_more(v, claim, claim->fixture, 1);
    for (i = 0; given->condition == FC_WHILE_FLUSHING && i < given->n_flushing;
         i++)
        if (fci_find_fixture_named(v->site, given->flushing[i].fixture, &at,
                                   NULL)
            == FC_OK)
            open_more(v, claim, at, given->flushing[i].count);
    for (claim->place = 0; claim->place < claim->n_open; claim->place++)
        if (claim->open[claim->place].fixture == claim->fixture)
            break;
    return FC_OK;
}

const char *
fci_name_open(const struct fci_verify *v, const struct fci_open *open,
              size_t n)
{
    const char *text = "";
    int valves = 0;
    size_t i;

    if (n == 0)
        return "nothing flushes";
    for (i = 0; i < n && text; i++) {
        text = fci_arena_printf(
            v->arena, "%s%s%d of %s", text, i == 0 ? "" : ", ", open[i].count,
            v->site->fixtures[open[i].fixture].given->name);
        valves += open[i].count;
    }
    return text ? fci_arena_printf(v->arena, "%s flush%s", text,
                                   valves == 1 ? "es" : "")
                : NULL;
}

/* ---- What does not flow ----------------------------------------------- */

/* The first fixture that can be made to flush; NULL: none can. */
static const struct fci_fixture *
any_valve(const struct fci_verify *v, fc_state state)
{
    size_t i;

    for (i = 0; i < v->site->n_fixtures; i++)
        if (v->site->fixtures[i].valve[state])
            return &v->site->fixtures[i];
    return NULL;
}

/* Why nothing flows there at peak: no units, or no known flow.  NULL: it
 * does. */
static const char *
idle_at_peak(const struct fci_verify *v, const struct fci_claim *claim)
{
    const struct fci_fixture *fixture = &v->site->fixtures[claim->fixture];
    const fc_range units = fixture->given->fixture_units;

    if (units.given && !(units.nominal > 0))
        return "%s has no share of the peak demand, so nothing flows there; "
               "give its \"fixture units\", or name what draws in \"while\"";
    if (!(fci_fixture_flow(v->site, fixture, claim->given->state).nominal > 0))
        return "what %s draws at peak is not known, so none of it counts "
               "there; give the \"flow\" of its kind in a file of tables, or "
               "name what draws in \"while\"";
    return NULL;
}

/* Of a fixture that draws nothing, whatever flushes elsewhere. */
static fc_status
find_still(const struct fci_verify *v, struct fci_claim *claim)
{
    const struct fci_fixture *fixture = &v->site->fixtures[claim->fixture];
    const char *name = fixture->given->name;
    const fc_state state = claim->given->state;
    const struct fci_fixture *other = any_valve(v, state);
    const char *idle = claim->peak ? idle_at_peak(v, claim) : NULL;

    if (claim->peak ? !idle : claim->place < claim->n_open)
        return FC_OK;
    if (idle)
        claim->not_flowing = fci_arena_printf(v->arena, idle, name);
    else if (claim->n_open > 0 && !fixture->valve[state])
        claim->not_flowing = fci_arena_printf(
            v->arena,
            "%s has no flush valve and is taken to draw nothing itself: the "
            "pressure there is a residual, and less while it runs; say peak",
            name);
    else if (fixture->valve[state])
        claim->not_flowing = fci_arena_printf(
            v->arena,
            "no valve of %s flushes; name it in \"while\", as in 1 of %s",
            name, name);
    else if (other)
        claim->not_flowing = fci_arena_printf(
            v->arena,
            "%s has no flush valve, and nothing flows there; name what "
            "flushes in \"while\", as in 1 of %s, or say peak",
            name, other->given->name);
    else
        claim->not_flowing =
            fci_arena_printf(v->arena,
                             "%s has no flush valve, and nothing flows there; "
                             "use \"while = peak\"",
                             name);
    return claim->not_flowing ? FC_OK : FC_ENOMEM;
}

/* ---- What is out of reach --------------------------------------------- */

static const fc_source *
only_source(const fc_site *site)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        if (site->elements[i].part->kind == FCI_SOURCE)
            return site->elements[i].part->data;
    return NULL;
}

bool
fci_claim_is_of_today(const struct fci_claim *claim)
{
    return !claim->given->supply.given
           || (!claim->why_not && fabs(claim->shift) < FCI_SAME_PRESSURE);
}

fc_range
fci_claim_static(const fc_site *site)
{
    const fc_source *source = only_source(site);
    const fc_range none = { false, 0, 0, 0 };

    if (!source || source->kind == FC_TANK)
        return none;
    return source->kind == FC_STREET_MAIN ? source->static_pressure
                                          : source->pressure;
}

static const char *
find_shift(const struct fci_verify *v, struct fci_claim *claim)
{
    const fc_source *source = only_source(v->site);

    if (!claim->given->supply.given)
        return NULL;
    if (v->site->n_sources > 1)
        return "a \"supply\" does not say which of several sources it is of";
    if (!source || source->kind == FC_TANK)
        return "a \"supply\" is a pressure, and the source is a tank, which "
               "has a water level";
    claim->shift =
        claim->given->supply.nominal - fci_claim_static(v->site).nominal;
    return NULL;
}

/* Why one fixture cannot flush; NULL: it can. */
static const char *
refuse_open(const struct fci_verify *v, const struct fci_fixture *fixture,
            const fc_valve *valve)
{
    if (!valve)
        return fci_arena_printf(v->arena,
                                "\"%.60s\" is to flush but has no flush valve",
                                fixture->given->name);
    return fci_arena_printf(v->arena,
                            "the rate of the valve \"%.60s\" is not known; a "
                            "\"flow\" in [valve] such as 25 gpm at 35 psi is "
                            "expected",
                            valve->name);
}

static fc_status
refuse_event(const struct fci_verify *v, struct fci_claim *claim)
{
    size_t i;

    for (i = 0; i < claim->n_open; i++) {
        const struct fci_fixture *fixture =
            &v->site->fixtures[claim->open[i].fixture];
        const fc_valve *valve = fixture->valve[claim->given->state];

        if (fci_has_rate(valve))
            continue;
        claim->why_not = refuse_open(v, fixture, valve);
        return claim->why_not ? FC_OK : FC_ENOMEM;
    }
    return FC_OK;
}

static const char *
refuse_peak(const struct fci_verify *v, const struct fci_claim *claim)
{
    if (v->meshed)
        return "a peak demand needs one source and no loops, and the site has "
               "loops or several sources";
    if (fci_refuse_unknown_flush(v->site, claim->given->state, NULL) != FC_OK)
        return "the peak demand by probability needs the rate and the volume "
               "of each flush valve, and one is not known";
    return NULL;
}

static fc_status
take_case(struct fci_verify *v, struct fci_claim *claim)
{
    const fc_claim *given = claim->given;
    fc_status status = open_claim(v, claim);

    claim->peak = given->condition == FC_WHILE_PEAK;
    if (status == FC_OK)
        status = find_still(v, claim);
    if (status != FC_OK)
        return status;
    claim->why_not = find_shift(v, claim);
    if (!claim->why_not && given->state == FC_RETROFIT && !v->converted)
        claim->why_not = "the claim is for after retrofit, and no fixture has "
                         "a retrofit valve";
    if (claim->why_not)
        return FC_OK;
    if (!claim->peak)
        return refuse_event(v, claim);
    claim->why_not = refuse_peak(v, claim);
    return FC_OK;
}

/* ---- The cases of a claim ---------------------------------------------- */

#define MOST_CASES 4 /* alone and at peak, existing and retrofit */

static fc_status
add_case(struct fci_verify *v, const fc_claim *given, size_t fixture,
         fc_condition_of_claim condition, fc_state state)
{
    struct fci_claim *claim = &v->claims[v->n_claims++];
    fc_claim *made = fci_arena_copy(v->arena, given, sizeof *given);

    if (!made)
        return FC_ENOMEM;
    made->condition = condition;
    made->state = state;
    claim->given = made;
    claim->of = v->n_given;
    claim->fixture = fixture;
    return take_case(v, claim);
}

/* A claim that does not say its condition is one of every condition: of the
 * fixture alone, where it has a valve that flushes, and of the peak. */
static fc_status
add_conditions(struct fci_verify *v, const fc_claim *given, size_t fixture,
               fc_state state)
{
    fc_status status = FC_OK;

    if (given->condition != FC_WHILE_NOT_SAID)
        return add_case(v, given, fixture, given->condition, state);
    if (v->site->fixtures[fixture].valve[state])
        status = add_case(v, given, fixture, FC_WHILE_ALONE, state);
    return status == FC_OK ? add_case(v, given, fixture, FC_WHILE_PEAK, state)
                           : status;
}

static fc_status
take_claim(struct fci_verify *v, const fc_claim *given)
{
    const bool said = given->state_said || given->state != FC_EXISTING;
    size_t fixture = 0;
    fc_status status =
        fci_find_fixture_named(v->site, given->fixture, &fixture, NULL);

    if (status == FC_OK)
        status = add_conditions(v, given, fixture, given->state);
    if (status == FC_OK && !said && v->converted)
        status = add_conditions(v, given, fixture, FC_RETROFIT);
    v->n_given++;
    return status;
}

fc_status
fci_verify_claims(struct fci_verify *v, fc_diagnostics *messages)
{
    const fc_site *site = v->site;
    const size_t n = count_claims(site);
    fc_status status = FC_OK;
    size_t i;

    if (n == 0)
        return fci_fail(messages, FC_EINPUT, NULL, 0,
                        "the site has no claim; a [claim] with a fixture and "
                        "a flowing pressure is expected");
    v->untested = fci_untested_main(site);
    v->claims = fci_arena_array(v->arena, n, MOST_CASES * sizeof *v->claims);
    v->checked = fci_arena_array(v->arena, n, MOST_CASES * sizeof *v->checked);
    if (v->arena->failed)
        return FC_ENOMEM;
    for (i = 0; i < site->n_parts && status == FC_OK; i++)
        if (site->parts[i].kind == FCI_CLAIM)
            status = take_claim(v, site->parts[i].data);
    return status;
}
