/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/verify/verify.c -- are the claims of a site true? */
#include "verify/verify.h"
#include "ground/call.h"
#include "ground/diagnostics.h"
#include "check/refuse.h"

#include <math.h>

#define DEFAULT_SEED 1
#define DEFAULT_DRAWS 20000

/* ---- The claims as they are ------------------------------------------- */

static const char *
name_event(const struct fci_verify *v, const struct fci_claim *claim)
{
    if (claim->peak)
        return "at peak demand";
    if (claim->n_open > 0 && claim->given->condition == FC_WHILE_ALONE)
        return "one flushes alone";
    return fci_name_open(v, claim->open, claim->n_open);
}

static fc_gauge_shown
shown(const fc_reading *reading)
{
    return reading ? (fc_gauge_shown){ reading->at, reading->pressure.nominal }
                   : (fc_gauge_shown){ NULL, NAN };
}

static bool
describe(const struct fci_verify *v, size_t i, const double *heights)
{
    const struct fci_claim *claim = &v->claims[i];
    const struct fci_fixture *fixture = &v->site->fixtures[claim->fixture];
    fc_checked_claim *out = &v->checked[i];

    out->name = claim->given->name;
    out->fixture = fixture->given->name;
    out->stated_in = claim->given->stated_in;
    out->state = claim->given->state;
    out->condition = claim->given->condition;
    out->event = name_event(v, claim);
    out->elevation = heights[fixture->element] + fixture->given->rise.nominal;
    out->supply =
        claim->given->supply.given ? claim->given->supply.nominal : NAN;
    out->claimed = claim->given->flowing.nominal;
    out->not_flowing = claim->not_flowing;
    out->can_be_read = !claim->peak && fci_claim_is_of_today(claim);
    out->why_not = claim->why_not;
    out->computed = out->still = out->low = out->high = NAN;
    out->probability = out->read = out->within = out->flow = NAN;
    out->probability_low = out->probability_high = NAN;
    out->carried_low = out->carried_high = NAN;
    out->still_read = out->still_within = NAN;
    out->carried_read = out->carried = out->carried_within = NAN;
    out->shown = out->carried_shown = out->still_shown = shown(NULL);
    return out->event != NULL;
}

static fc_status
describe_all(struct fci_verify *v)
{
    double *heights =
        fci_arena_array(&v->scratch, v->site->n_elements, sizeof *heights);
    size_t i;

    if (!heights)
        return FC_ENOMEM;
    fci_heights(v->site, heights);
    for (i = 0; i < v->n_claims; i++)
        if (!describe(v, i, heights))
            return FC_ENOMEM;
    return FC_OK;
}

/* ---- By the model and by gauges --------------------------------------- */

static void
take_nominal(const struct fci_verify *v, const struct fci_outcome *flowing,
             const struct fci_outcome *still)
{
    size_t i;

    for (i = 0; i < v->n_claims; i++) {
        if (v->claims[i].why_not)
            continue;
        v->checked[i].computed = flowing[i].pressure;
        v->checked[i].flow = flowing[i].all;
        v->checked[i].still = still[i].pressure;
        v->checked[i].probability =
            flowing[i].pressure >= v->checked[i].claimed - FCI_SOLVED_TO;
    }
}

/* A reading decides; two that cannot both be true do not, nor does the model
 * where a reading of another condition speaks against it or against what it is
 * made of, nor where the supply may be drawn down too far. */
static fc_support
support_of(const struct fci_claim *claim, const fc_checked_claim *out)
{
    const struct fci_brought *read = &claim->read, *carried = &claim->carried;
    fc_support other;

    if (read->against || claim->not_flowing)
        return FC_UNDECIDED;
    if (read->reading)
        return fci_support_by_reading(claim, read);
    if (out->refuted_by || out->unproved
        || (out->drawn_down && out->by_model == FC_SUPPORTED))
        return FC_UNDECIDED;
    if (!carried->reading)
        return out->by_model;
    other = fci_support_by_reading(claim, carried);
    return other != FC_UNDECIDED && other != out->by_model ? FC_UNDECIDED
                                                           : out->by_model;
}

/* What rests on a main that nobody tested, a flowing reading may bear out. */
static bool
is_unproved(const struct fci_verify *v, const struct fci_claim *claim,
            const fc_checked_claim *out)
{
    const struct fci_brought *carried = &claim->carried;

    return v->untested && !claim->read.reading && !claim->why_not
           && out->by_model == FC_SUPPORTED
           && !(carried->reading && fci_reading_flows(carried->reading)
                && fci_support_by_reading(claim, carried) == FC_SUPPORTED);
}

static void
take_read(const struct fci_claim *claim, fc_checked_claim *out)
{
    const struct fci_brought *read = &claim->read;

    if (read->reading)
        out->reading = read->reading->name;
    if (read->against)
        out->against = read->against->name;
    out->shown = shown(read->reading);
    out->read = read->pressure;
    out->within = read->within;
}

/* FC_ENOMEM */
static fc_status
take_carried(const struct fci_verify *v, const struct fci_claim *claim,
             fc_checked_claim *out)
{
    const struct fci_brought *carried = &claim->carried;
    const struct fci_open *open;
    fc_status status;
    size_t n;

    if (!carried->reading)
        return FC_OK;
    open = fci_reading_open(v, carried->reading, &n, &status);
    if (!open)
        return status;
    out->carried_reading = carried->reading->name;
    out->carried_event = fci_name_open(v, open, n);
    out->carried_flows = n > 0;
    out->carried_state = carried->reading->state;
    out->carried_shown = shown(carried->reading);
    out->carried_read = carried->read;
    out->carried = carried->pressure;
    out->carried_within = carried->within;
    out->carried_low = carried->low;
    out->carried_high = carried->high;
    return out->carried_event ? FC_OK : FC_ENOMEM;
}

static void
take_still(const struct fci_brought *still, fc_checked_claim *out)
{
    if (still->reading)
        out->still_reading = still->reading->name;
    out->still_shown = shown(still->reading);
    out->still_read = still->pressure;
    out->still_within = still->within;
}

static fc_status
take_reading(const struct fci_verify *v, struct fci_claim *claim, double flow,
             fc_checked_claim *out, fc_diagnostics *messages)
{
    const struct fci_brought still = fci_reading_for(v, claim, true, 0);
    const fc_contradiction *doubt = fci_reading_doubt(v, 0);
    const fc_reading *by = NULL, *borne = NULL;
    fc_status status = FC_OK;

    claim->read = fci_reading_for(v, claim, false, flow);
    if (claim->read.reading && !claim->read.against)
        claim->read.against = fci_reading_against(v, claim->read.reading);
    if (!claim->read.reading && !claim->why_not) {
        status = fci_reading_carry(v, claim, out->computed, &claim->carried,
                                   messages);
        if (status == FC_OK)
            status = fci_verify_refute(v, claim, out, &by, &borne, messages);
    }
    if (status == FC_OK)
        status = take_carried(v, claim, out);
    if (by) {
        out->refuted_by = by->name;
        out->refuted_beside = fci_fit_beside(v, by);
    } else if (!claim->read.reading && !claim->why_not
               && out->by_model != FC_UNDECIDED && doubt) {
        out->refuted_by = doubt->reading;
        out->refuted_beside = doubt->against ? doubt->against : doubt->beside;
    }
    if (is_unproved(v, claim, out))
        out->unproved = v->untested;
    if (claim->not_flowing)
        out->drawn_down = NULL;
    take_read(claim, out);
    take_still(&still, out);
    out->verdict = support_of(claim, out);
    if (v->untested && !claim->read.reading && out->verdict == FC_SUPPORTED)
        borne = claim->carried.reading;
    if (borne && out->verdict == out->by_model)
        out->borne_out_by = borne->name;
    out->decimals = fci_claim_decimals(v, out);
    return status;
}

static fc_status
take_readings(struct fci_verify *v, const struct fci_outcome *flowing,
              fc_diagnostics *messages)
{
    fc_status status = FC_OK;
    size_t i;

    for (i = 0; i < v->n_claims && status == FC_OK; i++)
        status = take_reading(v, &v->claims[i], flowing[i].flow,
                              &v->checked[i], messages);
    return status;
}

/* As many of the buildings drawn as it takes to be sure. */
static fc_status
draw_claims(struct fci_verify *v, struct fci_bench *bench,
            const fc_verify_options *options, fc_diagnostics *messages)
{
    size_t *reach = fci_arena_array(&v->scratch, v->n_claims, sizeof *reach);
    struct fci_drawing *drawing = NULL;
    fc_status status = reach ? FC_OK : FC_ENOMEM;

    if (status == FC_OK && v->varied > 0)
        status = fci_drawing_new(v, options, &drawing);
    if (status == FC_OK && v->varied > 0)
        status = fci_drawing_first(drawing, reach, messages);
    if (status == FC_OK && v->varied > 0)
        status = fci_verify_outcomes(v, fci_bench_variant(bench), reach);
    if (status == FC_OK)
        status = fci_verify_sure(v, bench, drawing, reach, messages);
    fci_drawing_free(drawing);
    return status;
}

static fc_status
judge_claims(struct fci_verify *v, struct fci_bench *bench,
             struct fci_outcome *flowing, const fc_verify_options *options,
             fc_diagnostics *messages)
{
    struct fci_outcome *still =
        fci_arena_array(&v->scratch, v->n_claims, sizeof *still);
    fc_status status = still ? FC_OK : FC_ENOMEM;

    if (still)
        status = fci_bench_run(bench, true, still, messages);
    if (status == FC_OK)
        status = fci_bench_run(bench, false, flowing, messages);
    if (status == FC_OK) {
        take_nominal(v, flowing, still);
        status = draw_claims(v, bench, options, messages);
    }
    if (status == FC_OK)
        status = fci_evidence_make(&v->evidence, v->site, v->arena);
    if (status == FC_OK)
        status = fci_verify_fit(v, bench, messages);
    if (status == FC_OK)
        status = take_readings(v, flowing, messages);
    return status;
}

/* ---- The whole -------------------------------------------------------- */

static fc_support
worst_of(const fc_verify_result *result)
{
    fc_support worst = FC_SUPPORTED;
    size_t i;

    for (i = 0; i < result->n_claims; i++) {
        if (result->claims[i].verdict == FC_CONTRADICTED)
            return FC_CONTRADICTED;
        if (result->claims[i].verdict == FC_UNDECIDED)
            worst = FC_UNDECIDED;
    }
    return worst;
}

static void
take_source(fc_verify_result *result, const fc_site *site)
{
    const struct fci_element *first = &site->elements[site->order[0]];
    const fc_source *source = first->part->data;

    result->source = first->name;
    if (source->kind == FC_STREET_MAIN)
        result->source_static = source->static_pressure;
    else if (source->kind == FC_FIXED)
        result->source_static = source->pressure;
}

static fc_status
put_in_words(struct fci_verify *v, fc_verify_result *result,
             fc_diagnostics *messages)
{
    const struct fci_judge judge = { .site = v->site,
                                     .converted = v->converted };
    struct fci_check_words words = { .judge = &judge,
                                     .found = { .converted = v->converted,
                                                .units =
                                                    v->site->settings.units,
                                                .arena = v->arena } };
    struct fci_told told;
    fc_status status = fci_find_claims(&words.found, v, messages);

    fci_find_overrides(&words);
    fci_assume_claims(&words, v);
    if (status == FC_OK)
        status = fci_findings_take(&words.found, &told);
    fci_findings_free(&words.found);
    if (status != FC_OK)
        return status;
    result->findings = told.findings;
    result->n_findings = told.n_findings;
    result->assumptions = told.assumptions;
    result->n_assumptions = told.n_assumptions;
    result->overrides = told.overrides;
    result->n_overrides = told.n_overrides;
    return FC_OK;
}

static void
take_result(const struct fci_verify *v, fc_verify_result *result)
{
    const fc_settings *settings = &v->site->settings;

    result->title = settings->title;
    result->address = settings->address;
    result->prepared_by = settings->prepared_by;
    result->date = settings->date;
    result->units = settings->units;
    result->verdict = worst_of(result);
    take_source(result, v->site);
    result->seed = v->seed;
    result->draws = v->draws;
    result->varied = v->varied;
}

/* Inputs of the site: a pipe's own part of a material's C is none beside it,
 * nor is what the model may be off by. */
static size_t
count_varied(const struct fci_variant *variant)
{
    size_t i, n = 0;

    for (i = 0; i < variant->n_inputs; i++)
        n += variant->inputs[i].cause != FCI_OWN_PART
             && variant->inputs[i].cause != FCI_OF_MODEL;
    return n;
}

static fc_status
work_out(struct fci_verify *v, const fc_verify_options *options,
         fc_verify_result *result, fc_diagnostics *messages)
{
    struct fci_bench *bench = fci_bench_new(v);
    struct fci_outcome *flowing =
        fci_arena_array(&v->scratch, v->n_claims, sizeof *flowing);
    fc_status status = describe_all(v);

    if (!bench || !flowing)
        status = FC_ENOMEM;
    if (bench) {
        v->varied = count_varied(fci_bench_variant(bench));
        if (v->varied == 0)
            v->draws = 1;
        v->outcomes = fci_arena_array(&v->scratch, v->draws,
                                      v->n_claims * sizeof *v->outcomes);
        if (!v->outcomes)
            status = FC_ENOMEM;
    }
    if (status == FC_OK)
        status = judge_claims(v, bench, flowing, options, messages);
    if (status == FC_OK)
        status = fci_verify_cases(v, result);
    if (status == FC_OK) {
        take_result(v, result);
        status = put_in_words(v, result, messages);
    }
    if (status == FC_OK)
        status = fci_verify_list(v, result);
    if (status == FC_OK)
        status = fci_verify_basis(v, result);
    fci_bench_free(bench);
    return status;
}

/* A site that no draw could work out. */
static fc_status
refuse(const fc_site *site, fc_diagnostics *messages)
{
    struct fci_network *network = NULL;
    fc_status status;

    if (!site->finished)
        return fci_fail(messages, FC_ESTATE, NULL, 0,
                        "the site is not finished; a finished site is "
                        "expected");
    status = fci_refuse_tank(site, "verify", messages);
    if (status == FC_OK)
        status = fci_network_new(site, FC_EXISTING, &network, messages);
    fci_network_free(network);
    return status;
}

fc_status
fc_verify(const fc_site *site, const fc_verify_options *options,
          fc_verify_result **result, fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_GIVEN(site), FCI_GIVEN(result),
                    FCI_AT_MOST("options->draws", FCI_OF(options, draws),
                                FCI_MOST_DRAWS, "10,000,000")))
        return FC_EINPUT;

    static const fc_verify_options defaults = { 0 };
    struct fci_verify v = { .site = site };
    fc_status status = refuse(site, messages);
    fc_verify_result *made;

    if (status != FC_OK)
        return status;
    made = fci_object_new(sizeof *made);
    if (!made)
        return FC_ENOMEM;
    if (!options)
        options = &defaults;
    v.converted = fci_has_conversions(site);
    v.meshed = site->n_loops > 0 || site->n_sources > 1;
    v.seed = options->seed ? options->seed : DEFAULT_SEED;
    v.draws = options->draws ? options->draws : DEFAULT_DRAWS;
    v.arena = fci_arena_of(made);
    status = fci_verify_claims(&v, messages);
    if (status == FC_OK)
        status = work_out(&v, options, made, messages);
    fci_arena_free(&v.scratch);
    if (status == FC_OK)
        *result = made;
    else
        fci_object_free(made);
    return status;
}

void
fc_verify_result_free(fc_verify_result *result)
{
    fci_object_free(result);
}
