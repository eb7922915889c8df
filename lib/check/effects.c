/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/effects.c -- what else a retrofit changes.
 *
 * Each area computes its part of the result on the same networks and the same
 * uses of a year, and one whose flows do not settle takes no other one with
 * it; what readings of the site refute is at most untold.
 */
#include "effects/effects.h"
#include "ground/call.h"
#include "check/judge.h"
#include "check/words.h"
#include "ground/diagnostics.h"
#include "readings/readings.h"

/* Of these a report is made, in this order; `share`: about so much of the time
 * that all take, where they take long. */
static const struct {
    fci_effect_find *find;
    fc_effect_area area;
    double share;
} areas[] = {
    { fci_effects_water, FC_WATER_EFFECT, 0 },
    { fci_effects_valves, FC_WATER_EFFECT, 0 },
    { fci_effects_batteries, FC_BATTERY_EFFECT, 0 },
    { fci_effects_hygiene, FC_HYGIENE_EFFECT, 0.15 },
    { fci_effects_renewal, FC_RENEWAL_EFFECT, 0.05 },
    { fci_effects_surge, FC_SURGE_EFFECT, 0.1 },
    { fci_effects_tank, FC_TANK_EFFECT, 0.05 },
    { fci_effects_restart, FC_RESTART_EFFECT, 0.4 },
    { fci_effects_cold_dip, FC_COLD_DIP_EFFECT, 0.25 },
};

static fc_status
make_networks(struct fci_effects *e, fc_diagnostics *messages)
{
    fc_status status = fci_year_make(e->site, &e->scratch, &e->year);

    for (int s = 0; s < fci_effect_states(e) && status == FC_OK; s++) {
        status =
            fci_network_new(e->site, (fc_state)s, &e->network[s], messages);
        if (status != FC_OK)
            break;
        e->solver[s] = fci_solver_new(e->network[s]);
        e->uses[s] = e->year.uses[s];
        if (!e->solver[s])
            status = FC_ENOMEM;
    }
    return status;
}

static fc_status
begin(struct fci_effects *e, fc_diagnostics *messages)
{
    const fc_site *site = e->site;

    if (!site->finished)
        return fci_fail(messages, FC_ESTATE, NULL, 0,
                        "the site is not finished; a finished site is "
                        "expected");
    e->result = fci_object_new(sizeof *e->result);
    if (!e->result)
        return FC_ENOMEM;
    e->arena = fci_arena_of(e->result);
    e->converted = fci_has_conversions(site);
    e->result->title = site->settings.title;
    e->result->units = site->settings.units;
    e->result->converted = e->converted;
    e->result->state = e->converted ? FC_RETROFIT : FC_EXISTING;
    e->found.converted = e->converted;
    e->found.units = site->settings.units;
    e->found.arena = e->arena;
    e->summary =
        fci_arena_array(e->arena, FCI_MOST_EFFECT_ROWS, sizeof *e->summary);
    return e->summary ? make_networks(e, messages) : FC_ENOMEM;
}

/* Where readings refute the site nothing is told of it. */
static fc_status
judge_all(struct fci_effects *e)
{
    fc_effects *result = e->result;
    struct fci_evidence evidence = { 0 };
    fc_status status = fci_evidence_make(&evidence, e->site, e->arena);
    fc_effect_verdict *verdicts =
        fci_arena_array(e->arena, FCI_EFFECT_AREAS, sizeof *verdicts);

    if (status != FC_OK || !verdicts)
        return status == FC_OK ? FC_ENOMEM : status;
    result->contradictions = evidence.list;
    result->n_contradictions = evidence.n;
    fci_evidence_tell(&evidence, &e->found);
    result->enough = FC_WORKS;
    for (size_t i = 0; i < FCI_EFFECT_AREAS; i++) {
        if (!e->judged[i].states[result->state])
            continue;
        verdicts[result->n_verdicts] = e->judged[i].verdict;
        for (int s = 0; s < FC_STATES && evidence.n > 0; s++)
            verdicts[result->n_verdicts].verdicts[s] = FC_CANNOT_TELL;
        result->enough = fci_worse_of(
            result->enough,
            verdicts[result->n_verdicts++].verdicts[result->state]);
    }
    result->verdicts = verdicts;
    if (result->n_verdicts == 0)
        result->enough = FC_CANNOT_TELL;
    return FC_OK;
}

/* What an area has told of another one goes there. */
static void
sort_summary(struct fci_effects *e)
{
    for (size_t i = 1; i < e->n_summary; i++) {
        const fc_effect row = e->summary[i];
        size_t k = i;

        for (; k > 0 && e->summary[k - 1].area > row.area; k--)
            e->summary[k] = e->summary[k - 1];
        e->summary[k] = row;
    }
}

static fc_status
put_in_words(struct fci_effects *e)
{
    struct fci_told told, set;
    fc_status status = fci_findings_take(&e->found, &told);

    if (status == FC_OK)
        status = fci_overrides_of(e->site, e->arena, &set);
    if (status != FC_OK)
        return status;
    e->result->findings = told.findings;
    e->result->n_findings = told.n_findings;
    e->result->assumptions = told.assumptions;
    e->result->n_assumptions = told.n_assumptions;
    e->result->overrides = set.overrides;
    e->result->n_overrides = set.n_overrides;
    sort_summary(e);
    e->result->summary = e->summary;
    e->result->n_summary = e->n_summary;
    return e->arena->failed ? FC_ENOMEM : FC_OK;
}

static void
end(struct fci_effects *e)
{
    for (int s = 0; s < FC_STATES; s++) {
        fci_solver_free(e->solver[s]);
        fci_network_free(e->network[s]);
    }
    fci_findings_free(&e->found);
    fci_arena_free(&e->scratch);
}

static fc_status
look_at_all(struct fci_effects *e, fc_diagnostics *messages)
{
    fc_status status = FC_OK;

    for (size_t i = 0; status == FC_OK && i < sizeof areas / sizeof *areas;
         i++) {
        e->telling.share = areas[i].share;
        status = fci_effect_look(e, areas[i].area, areas[i].find, messages);
        fci_tell(&e->telling, 1);
        e->telling.from += areas[i].share;
    }
    return status;
}

fc_status
fc_effects_find(const fc_site *site, fc_effects **effects,
                fc_diagnostics *messages)
{
    return fc_effects_find_with(site, NULL, effects, messages);
}

fc_status
fc_effects_find_with(const fc_site *site, const fc_effects_options *options,
                     fc_effects **effects, fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_GIVEN(site), FCI_GIVEN(effects)))
        return FC_EINPUT;

    struct fci_effects e = { .site = site };
    fc_status status = begin(&e, messages);

    if (options) {
        e.telling.progress = options->progress;
        e.telling.context = options->context;
    }
    if (status == FC_OK)
        status = look_at_all(&e, messages);
    if (status == FC_OK)
        status = judge_all(&e);
    if (status == FC_OK)
        status = put_in_words(&e);
    end(&e);
    if (status == FC_OK)
        *effects = e.result;
    else
        fci_object_free(e.result);
    return status;
}

void
fc_effects_free(fc_effects *effects)
{
    fci_object_free(effects);
}
