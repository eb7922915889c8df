/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/diagnose.c -- what explains gauge readings, and which to take
 * next. */
#include "diagnose/diagnose.h"
#include "ground/call.h"
#include "peak/source.h"
#include "diagnose/answer.h"
#include "diagnose/fault_kinds.h"
#include "diagnose/work.h"
#include "ground/diagnostics.h"
#include "ground/ties.h"
#include "check/refuse.h"
#include "units/units.h"
#include "words/phrase.h"

#include <math.h>
#include <string.h>

/* Memory goes as their square, and time as its cube. */
#define MOST_READINGS 1000

struct diagnosing {
    const fc_site *site;
    struct fci_arena *arena;
    fc_diagnosis *out;
    struct fci_readings readings;
    struct fci_consistency consistency;
    bool *keep, *fixtures;
    struct fci_fault_trial trial;
    double *expected; /* by gauge */
    double *flows;    /* by element of the site, the most in a reading */
    struct fci_faults faults;
    struct fci_looks looks;
    struct fci_least_squares fitting;
    struct fci_cause *causes; /* the heaviest first */
    size_t n_causes;
    bool doubtful; /* see struct fci_answering */
};

/* ---- The site as described --------------------------------------------- */

static bool
mark_kept(struct diagnosing *d)
{
    const fc_site *site = d->site;
    const struct fci_readings *r = &d->readings;
    const bool meshed = site->n_loops > 0 || site->n_sources > 1;
    size_t i, k;

    d->keep = fci_arena_array(d->arena, site->n_elements, sizeof *d->keep);
    d->fixtures =
        fci_arena_array(d->arena, site->n_fixtures + 1, sizeof *d->fixtures);
    if (!d->keep || !d->fixtures)
        return false;
    for (i = 0; meshed && i < site->n_elements; i++)
        d->keep[i] = true;
    for (i = 0; i < site->n_draws; i++)
        fci_keep_way(site, d->keep, site->draws[i].element);
    for (i = 0; i < r->n; i++) {
        fci_keep_way(site, d->keep, r->gauges[i].place.element);
        if (r->gauges[i].place.fixture != FCI_NONE)
            d->fixtures[r->gauges[i].place.fixture] = true;
    }
    for (i = 0; i < r->n_events; i++)
        for (k = 0; k < r->events[i].n; k++) {
            const size_t fixture = r->events[i].open[k].fixture;

            d->fixtures[fixture] = true;
            fci_keep_way(site, d->keep, site->fixtures[fixture].element);
        }
    return true;
}

static fc_status
work_out_described(struct diagnosing *d, fc_diagnostics *messages)
{
    const fc_site *site = d->site;
    double *flows;
    fc_status status;
    size_t i;

    if (!mark_kept(d))
        return FC_ENOMEM;
    status = fci_fault_trial_make(&d->trial, &d->readings, d->keep,
                                  d->fixtures, d->keep);
    if (status != FC_OK)
        return status;
    d->expected =
        fci_arena_array(d->arena, d->readings.n, sizeof *d->expected);
    d->flows = fci_arena_array(d->arena, site->n_elements, sizeof *d->flows);
    flows = fci_arena_array(d->arena, d->trial.site.n_elements, sizeof *flows);
    if (!d->expected || !d->flows || !flows)
        return FC_ENOMEM;
    fci_looks_apply(&d->looks, &d->trial);
    status = fci_readings_show(&d->trial, &d->readings, d->expected, flows,
                               messages);
    for (i = 0; status == FC_OK && i < site->n_elements; i++)
        if (d->trial.here[i] != FCI_NONE)
            d->flows[i] = flows[d->trial.here[i]];
    return status;
}

static fc_status
tell_readings(struct diagnosing *d)
{
    const struct fci_readings *r = &d->readings;
    fc_explained_reading *told = fci_arena_array(d->arena, r->n, sizeof *told);
    size_t i;

    if (!told)
        return FC_ENOMEM;
    for (i = 0; i < r->n; i++) {
        const struct fci_gauge *g = &r->gauges[i];
        const struct fci_flushing_set *event = &r->events[g->event];

        told[i] = (fc_explained_reading){
            .name = g->name,
            .at = fci_place_name(d->site, g->place),
            .dimension = g->dimension,
            .read = g->read,
            .within = g->within,
            .expected = d->expected[i],
            .difference = g->read - d->expected[i],
            .is_static = event->n == 0,
            .as_described = fabs(g->read - d->expected[i]) <= g->within,
            .flushing = fci_flushing_words(d->arena, d->site, event)
        };
        if (!told[i].flushing)
            return FC_ENOMEM;
        d->out->any_flowing |= !told[i].is_static;
    }
    d->out->readings = told;
    d->out->n_readings = r->n;
    return FC_OK;
}

/* ---- Findings ---------------------------------------------------------- */

static size_t
n_flows(const struct fci_readings *r)
{
    size_t i, n = 0;

    for (i = 0; i < r->n; i++)
        n += r->gauges[i].dimension == FC_FLOW;
    return n;
}

/* Of the readings that are not weighed, or by a rule of thumb. */
static void
tell_weighing(struct diagnosing *d)
{
    const size_t other = d->readings.of_other_valves;
    const size_t shut = d->readings.not_flushing;

    if (shut > 0)
        fci_find(&d->consistency.found, FC_NOTE, "", 0, FC_FOUND_READINGS,
                 "{flows} flow{s} read at a fixture that was not open {are} "
                 "not used",
                 FCI_WITH(FCI_COUNT("flows", shut),
                          FCI_WORD("s", shut == 1 ? "" : "s"),
                          FCI_WORD("are", shut == 1 ? "is" : "are")));
    if (n_flows(&d->readings) > 0)
        fci_find(&d->consistency.found, FC_NOTE, "", 0, FC_FOUND_READINGS,
                 "a flow that was read may be off by 10%, and by 0.1 gpm "
                 "(0.4 L/min) at least (common practice)",
                 NULL);
    if (other > 0)
        fci_find(&d->consistency.found, FC_NOTE, "", 0, FC_FOUND_READINGS,
                 "{readings} reading{s} taken with the {state} valves {are} "
                 "not used",
                 FCI_WITH(FCI_COUNT("readings", other),
                          FCI_WORD("s", other == 1 ? "" : "s"),
                          FCI_WORD("state", d->out->state == FC_EXISTING
                                                ? "retrofit"
                                                : "existing"),
                          FCI_WORD("are", other == 1 ? "is" : "are")));
}

/* Where nothing is amiss: whether what flushed has enough. */
static fc_status
find_enough(struct diagnosing *d)
{
    const struct fci_cause *sound = fci_sound_of(d->causes, d->n_causes);
    fc_status status = FC_OK;
    bool enough = true;

    if (sound
        && !fci_cause_apply(&d->trial, d->fitting.uncertain, sound,
                            d->readings.state))
        return FC_ENOMEM;
    if (d->out->as_described)
        status = fci_enough_find(&d->trial, &d->consistency, &enough);
    d->out->too_little = !enough;
    return status;
}

static fc_status
tell_findings(struct diagnosing *d)
{
    struct fci_told told = { 0 };
    fc_status status;
    size_t i;

    fci_warn_of_pressures(&d->consistency, d->expected);
    status = find_enough(d);
    if (status != FC_OK)
        return status;
    fci_looks_tell(&d->looks, &d->consistency.found);
    tell_weighing(d);
    for (i = 0; i < d->site->n_elements; i++)
        if (d->trial.here[i] != FCI_NONE
            && d->site->elements[i].part->kind == FCI_SOURCE
            && fci_source_untested(d->site->elements[i].part->data, 0))
            fci_find(&d->consistency.found, FC_NOTE, d->site->elements[i].name,
                     0, FC_FOUND_SUPPLY,
                     "no flow test: a main that drops up to {drop} in these "
                     "readings is not called a fault",
                     FCI_WITH(FCI_ONE(
                         "drop", FC_PRESSURE,
                         fci_tables_usual(d->site->tables, FCI_USUAL_MAIN_DROP)
                             ->range.high)));
    status = fci_findings_take(&d->consistency.found, &told);
    d->out->findings = told.findings;
    d->out->n_findings = told.n_findings;
    return status;
}

/* ---- Causes ------------------------------------------------------------ */

/* Nothing is amiss where that is likelier than all faults together. */
#define LIKELIER 0.5
/* So likely, no further reading is asked for. */
#define SURE_ENOUGH 0.95

static bool
is_weighed(const struct diagnosing *d, const char *reading)
{
    size_t i;

    for (i = 0; i < d->readings.n; i++)
        if (fci_same_name(d->readings.gauges[i].name, reading))
            return true;
    return false;
}

/* A check has the file as entered, not what was measured since. */
static bool
was_measured(const struct diagnosing *d)
{
    size_t i;

    for (i = 0; i < d->out->n_looks; i++)
        if (d->out->looks[i].rise.given || d->out->looks[i].length.given
            || d->out->looks[i].size.given)
            return true;
    return false;
}

/* Whether a check says that what is weighed contradicts itself or the file.
 * Its law is the stricter one, by which a gauge is never off by more than it
 * may be, and by the same in all that it reads: the fit lets each reading be
 * off by itself, so that no fault is made of what a swinging needle does. */
static fc_status
find_contradicted(struct diagnosing *d, bool *contradicted)
{
    struct fci_evidence evidence;
    fc_status status;
    size_t i;

    *contradicted = false;
    if (was_measured(d))
        return FC_OK;
    status = fci_evidence_make(&evidence, d->site, d->arena);
    for (i = 0; status == FC_OK && i < evidence.n; i++)
        *contradicted |= is_weighed(d, evidence.list[i].reading);
    return status;
}

/* Nothing is amiss, as far as the fit and a check have it. */
static void
judge_sound(struct diagnosing *d)
{
    size_t i;

    for (i = 0; i < d->n_causes; i++) {
        struct fci_cause *cause = &d->causes[i];

        if (cause->n_faults > 0 || !cause->explains
            || !(cause->weight >= LIKELIER))
            continue;
        d->doubtful = d->fitting.contradicted;
        d->out->as_described = !d->doubtful;
        cause->explains = !d->doubtful;
    }
}

static fc_status
find_causes(struct diagnosing *d)
{
    struct fci_least_squares *f = &d->fitting;
    fc_status status;

    *f = (struct fci_least_squares){ .readings = &d->readings,
                                     .trial = &d->trial,
                                     .arena = d->arena,
                                     .looks = &d->looks };
    status = find_contradicted(d, &f->contradicted);
    if (status == FC_OK)
        status = fci_least_squares_make(f, d->flows);
    if (status == FC_OK)
        status = fci_faults_list(&d->faults, &d->readings, &d->trial,
                                 &d->looks, d->flows);
    if (status != FC_OK)
        return status;
    status = fci_causes_find(f, &d->faults, &d->causes, &d->n_causes);
    if (status == FC_OK)
        judge_sound(d);
    return status;
}

static fc_status
find_flows(struct diagnosing *d, struct fci_answering *a)
{
    double *flows =
        fci_arena_array(d->arena, d->trial.site.n_elements, sizeof *flows);
    fc_status status = flows ? FC_OK : FC_ENOMEM;
    size_t i;

    for (i = 0; status == FC_OK && i < a->n; i++)
        status = fci_cause_flows(&d->fitting, &a->causes[i], flows);
    return status;
}

static fc_status
tell_causes(struct diagnosing *d, const struct fci_answering *a)
{
    fc_cause *told = fci_arena_array(d->arena, a->n + 1, sizeof *told);
    size_t i, k;

    if (!told)
        return FC_ENOMEM;
    for (i = 0; i < a->n; i++) {
        const struct fci_cause *cause = &a->causes[i];

        told[i].group = cause->group;
        told[i].n_faults = cause->n_faults;
        told[i].misfit = cause->chi2;
        told[i].weight = cause->weight;
        told[i].explains = cause->explains;
        told[i].found = cause->decided;
        for (k = 0; k < cause->n_faults; k++)
            told[i].faults[k] = fci_fault_told(&d->readings, cause, k);
        told[i].text = fci_cause_words(d->arena, &d->readings, cause);
        if (!told[i].text)
            return FC_ENOMEM;
    }
    d->out->causes = told;
    d->out->n_causes = a->n;
    d->out->groups = a->groups;
    d->out->n_groups = a->n_groups;
    d->out->next = a->next;
    return FC_OK;
}

/* Whether a contradiction is of this gauge, and it was not read again since */
static bool
is_open_to_doubt(const struct diagnosing *d, size_t gauge)
{
    const char *name = d->readings.gauges[gauge].name;
    size_t i;

    for (i = 0; i < d->out->n_findings; i++)
        if (d->out->findings[i].code == FC_FOUND_CONTRADICTION
            && (d->out->findings[i].subject == name
                || d->out->findings[i].against == name))
            return fci_readings_times(&d->readings, gauge) == 1;
    return false;
}

/* How many that were read at the same place while the same flushed are as far
 * from it as both gauges may not be off. */
static size_t
n_against(const struct fci_readings *r, size_t gauge)
{
    const struct fci_gauge *g = &r->gauges[gauge];
    size_t i, n = 0;

    for (i = r->events[g->event].first; i != FCI_NONE; i = r->gauges[i].next)
        n += fci_same_gauge(&r->gauges[i], g)
             && fabs(r->gauges[i].read - g->read)
                    > r->gauges[i].within + g->within;
    return n;
}

/* The one that the likeliest cause calls wrong, or most that were taken again
 * speak against; FCI_NONE: it is one word against another. */
static size_t
stands_alone(const struct diagnosing *d, const struct fci_answering *a)
{
    const struct fci_readings *r = &d->readings;
    size_t i, worst = 0;

    for (i = 0; i < a->n; i++) {
        const size_t gauge = fci_doubted(&a->causes[i]);

        if (gauge != FCI_NONE && n_against(r, gauge) > 0)
            return gauge;
    }
    for (i = 1; i < r->n; i++)
        if (n_against(r, i) > n_against(r, worst))
            worst = i;
    return n_against(r, worst) > 1 ? worst : FCI_NONE;
}

/* All were taken again. */
static fc_status
leave_out(const struct diagnosing *d, struct fci_answering *a)
{
    const size_t gauge = stands_alone(d, a);

    a->next = (fc_next_reading){ .dimension = FC_PRESSURE, .volume = NAN };
    if (gauge != FCI_NONE)
        a->next.text = fci_arena_printf(
            d->arena,
            "Reading %s at %s does not agree with what was read there again: "
            "take it out of the file.",
            d->readings.gauges[gauge].name,
            fci_place_name(d->site, d->readings.gauges[gauge].place));
    else
        a->next.text = "Each was taken again and they still don't agree: "
                       "check the elevations and places of the gauges, and "
                       "listen for running water.";
    return a->next.text ? FC_OK : FC_ENOMEM;
}

/* Before any new one, a reading that contradicts another: the likeliest to be
 * wrong that was taken once. */
static fc_status
read_again(const struct diagnosing *d, struct fci_answering *a)
{
    size_t i;

    for (i = 0; i < a->n; i++) {
        const size_t gauge = fci_doubted(&a->causes[i]);

        if (gauge != FCI_NONE && is_open_to_doubt(d, gauge))
            return fci_answer_again(a, gauge);
    }
    for (i = 0; i < d->readings.n; i++)
        if (is_open_to_doubt(d, i))
            return fci_answer_again(a, i);
    return leave_out(d, a);
}

/* By more than that single readings are wrong, or that two heights are: with
 * those anything can be brought together. */
static bool
explained_by_a_fault(const struct fci_answering *a)
{
    size_t i;

    if (a->n == 0 || a->causes[0].n_faults == 0)
        return false;
    for (i = 0; i < a->n; i++)
        if (a->causes[i].explains && a->causes[i].n_faults > 0
            && fci_doubted(&a->causes[i]) == FCI_NONE
            && !(a->causes[i].n_faults == 2
                 && a->causes[i].fault[0]->kind == &fci_height
                 && a->causes[i].fault[1]->kind == &fci_height))
            return true;
    return false;
}

/* So many places are told beside the likeliest, and none that is lighter than
 * this part of it. */
#define MOST_OTHERS 4
#define LIGHT 0.1

/* The places of one group from `from` on, into the list, the heaviest
 * first. */
static bool
list_places(const struct fci_answering *a, size_t group, size_t from,
            struct fci_place *list, size_t *n, bool *first)
{
    bool picked[FCI_MOST_IN_PLAY], here[FCI_MOST_IN_PLAY];
    struct fci_place *places;
    size_t i, k, n_places = 0;

    for (i = 0; i < a->n; i++)
        picked[i] = a->causes[i].group == group;
    places = fci_causes_places(a->arena, a->readings, a->causes, picked, a->n,
                               &n_places, first ? first : here);
    for (i = 0; places && i < n_places; i++) {
        k = (*n)++;
        for (; k > from && fci_is_less(list[k - 1].weight, places[i].weight);
             k--)
            list[k] = list[k - 1];
        list[k] = places[i];
    }
    return places != NULL;
}

/* Where it may be: the first of the heaviest group, then all others. */
static fc_status
tell_places(const struct fci_answering *a, fc_diagnosis *out, bool *first)
{
    struct fci_place *list = fci_arena_array(
        a->arena, a->readings->site->n_elements + 2 * a->n + 1, sizeof *list);
    const char **others =
        fci_arena_array(a->arena, MOST_OTHERS, sizeof *others);
    size_t g, i, n = 0;

    if (!list || !others)
        return FC_ENOMEM;
    for (g = 0; g < a->n_groups; g++)
        if (!list_places(a, g, g > 0, list, &n, g == 0 ? first : NULL))
            return FC_ENOMEM;
    for (i = 1;
         i < n && i <= MOST_OTHERS && list[i].weight >= LIGHT * list[0].weight;
         i++)
        others[out->n_others++] = list[i].text;
    out->likeliest = n > 0 ? list[0].text : NULL;
    out->others = others;
    out->less_likely = n > i ? n - i : 0;
    return FC_OK;
}

static struct fci_answering
answering_of(struct diagnosing *d)
{
    return (struct fci_answering){ .readings = &d->readings,
                                   .uncertain = d->fitting.uncertain,
                                   .fitting = &d->fitting,
                                   .looks = &d->looks,
                                   .arena = d->arena,
                                   .keep = d->keep,
                                   .doubtful = d->doubtful,
                                   .causes = d->causes,
                                   .n = d->n_causes };
}

static fc_status
explain(struct diagnosing *d)
{
    bool first[FCI_MOST_IN_PLAY] = { false };
    struct fci_answering a = answering_of(d);
    fc_status status;

    fci_answer_pick(&a);
    status = find_flows(d, &a);
    if (status == FC_OK)
        status = fci_answer_group(&a);
    if (status == FC_OK)
        status = fci_answer_next(&a);
    if (status != FC_OK)
        return status;
    d->out->explained = a.explained;
    if (d->out->contradictory && !a.decided && !explained_by_a_fault(&a)) {
        d->out->explained = false;
        status = a.next.again || a.next.kind >= FC_TASK_STOP
                     ? FC_OK
                     : read_again(d, &a);
    }
    d->out->decided = a.decided;
    d->out->found = a.found;
    d->out->looks_first = a.looks_first;
    d->out->n_looks_first = a.n_looks_first;
    if (status == FC_OK)
        status = tell_causes(d, &a);
    if (status == FC_OK && d->out->explained && !a.decided)
        status = tell_places(&a, d->out, first);
    return status == FC_OK && d->out->explained
               ? fci_work_tell(&a, first, d->out)
               : status;
}

/* Where nothing seems amiss, and something well may be: what would tell. */
static fc_status
be_surer(struct diagnosing *d)
{
    struct fci_answering a = answering_of(d);
    fc_status status;

    if (fci_sound_of(d->causes, d->n_causes)->weight >= SURE_ENOUGH)
        return FC_OK;
    fci_answer_pick(&a);
    status = find_flows(d, &a);
    if (status == FC_OK)
        status = fci_answer_next(&a);
    if (status != FC_OK || !a.next.at)
        return status;
    d->out->next = a.next;
    d->out->looks_first = a.looks_first;
    d->out->n_looks_first = a.n_looks_first;
    return FC_OK;
}

static fc_diagnosed
verdict_of(const fc_diagnosis *d)
{
    size_t i = 0;

    if (d->contradictory && (d->as_described || !d->explained))
        return FC_READINGS_DISAGREE;
    if (d->as_described)
        return !d->any_flowing ? FC_STATIC_ONLY
               : d->too_little ? FC_CHECKS_OUT_SHORT
                               : FC_CHECKS_OUT;
    if (!d->explained)
        return FC_NOT_EXPLAINED;
    if (!d->decided)
        return FC_NARROWED_DOWN;
    while (i + 1 < d->n_causes && !d->causes[i].found)
        i++;
    return d->n_causes > 0 && d->causes[i].n_faults > 1 ? FC_TWO_FAULTS
                                                        : FC_ONE_FAULT;
}

/* ---- The answer in words ----------------------------------------------- */

static const char *const answers[] = {
    [FC_NOTHING_READ] = "No reading yet.",
    [FC_CHECKS_OUT] = "Checks out: piping and supply are as entered. Look at "
                      "the valve, the bowl or the drain.",
    [FC_CHECKS_OUT_SHORT] = "Piping checks out, too little pressure: piping "
                            "and supply are as entered, and that is too "
                            "little.",
    [FC_STATIC_ONLY] = "Static readings check out; they say nothing about "
                       "meters, pipes and valves. Take a reading with one "
                       "valve open.",
    [FC_NOT_EXPLAINED] = "Cannot tell: neither one fault nor two explain "
                         "these readings. More differs from the file, or a "
                         "reading is wrong.",
};

static const char *
answer_words(const struct diagnosing *d)
{
    const fc_diagnosis *out = d->out;
    const char *warning =
        out->contradictory ? "These readings don't agree with each other" : "";

    switch (out->verdict) {
    case FC_NOTHING_READ:
        return out->found ? fci_arena_printf(d->arena, "Seen: %s.", out->found)
                          : answers[out->verdict];
    case FC_READINGS_DISAGREE:
        return fci_arena_printf(d->arena, "%s. %s", warning,
                                out->next.text ? out->next.text : "");
    case FC_ONE_FAULT:
    case FC_TWO_FAULTS:
        return fci_arena_printf(
            d->arena, "%s%s%s: %s.", warning,
            out->contradictory ? "; this would explain it. " : "",
            out->verdict == FC_ONE_FAULT ? "Found" : "Two faults", out->found);
    case FC_NARROWED_DOWN:
        return fci_arena_printf(
            d->arena, "%s%sNarrowed down%s: %s.", warning,
            out->contradictory ? ". " : "",
            out->n_others + out->less_likely > 0 ? ", most likely" : "",
            out->likeliest);
    default:
        return answers[out->verdict];
    }
}

/* ---- The whole --------------------------------------------------------- */

static fc_status
begin(struct diagnosing *d, fc_state state, fc_diagnostics *messages)
{
    fc_status status;

    if (!d->site->finished)
        return fci_fail(messages, FC_ESTATE, NULL, 0,
                        "the site is not finished; a finished site is "
                        "expected");
    if (state == FC_RETROFIT && !fci_has_conversions(d->site))
        return fci_fail(messages, FC_ESTATE, NULL, 0,
                        "no fixture has a retrofit valve; the existing state "
                        "is expected");
    status = fci_looks_take(&d->looks, d->site, d->arena);
    if (status != FC_OK)
        return status;
    d->readings.site = d->site;
    d->readings.state = state;
    d->readings.diagnosed = true;
    d->consistency.readings = &d->readings;
    d->consistency.found.units = d->site->settings.units;
    d->consistency.found.arena = d->arena;
    status = fci_readings_take(&d->readings, d->arena, messages);
    if (status == FC_OK && d->readings.n > MOST_READINGS)
        return fci_fail(messages, FC_EUNSUPPORTED, NULL, 0,
                        "the site has %zu pressure and flow readings; at most "
                        "%d can be weighed together",
                        d->readings.n, MOST_READINGS);
    return status;
}

static fc_status
tell_looks(struct diagnosing *d)
{
    const fc_site *site = d->site;
    fc_look *looks =
        fci_arena_array(d->arena, site->n_parts + 1, sizeof *looks);
    size_t i;

    if (!looks)
        return FC_ENOMEM;
    for (i = 0; i < site->n_parts; i++)
        if (site->parts[i].kind == FCI_LOOK)
            looks[d->out->n_looks++] = *(const fc_look *)site->parts[i].data;
    d->out->looks = looks;
    return FC_OK;
}

/* ---- Seen, and nothing read -------------------------------------------- */

/* By what was seen, of a fixture, a supply, a pipe and any other part; NULL:
 * nothing is amiss with that there. */
static const struct {
    fc_sight sight;
    const char *fixture, *source, *pipe, *other;
} amiss[] = {
    { FC_SEEN_SHUT, "%s: its control stop is partly closed: open it first",
      "%s: its curb stop is partly closed: have it opened first",
      "%s: its valve is partly closed: open it first",
      "%s: its valves are partly closed: open them first" },
    { FC_SEEN_CLOGGED, "%s: its screen is clogged: clean it first", NULL, NULL,
      "%s: its strainer is clogged: clean it first" },
};

static const char *
amiss_words(enum fci_kind kind, fc_sight sight)
{
    size_t i;

    if (kind == FCI_METER && sight == FC_SEEN_TURNING)
        return "%s turns with everything shut: find the leak, or the valve "
               "that won't shut off";
    if (kind == FCI_PUMP && sight == FC_SEEN_STILL)
        return "%s does not run: find out why first";
    for (i = 0; i < sizeof amiss / sizeof *amiss; i++)
        if (amiss[i].sight == sight)
            return kind == FCI_FIXTURE  ? amiss[i].fixture
                   : kind == FCI_SOURCE ? amiss[i].source
                   : kind == FCI_PIPE   ? amiss[i].pipe
                                        : amiss[i].other;
    return NULL;
}

/* What was seen to be amiss is what is found. */
static fc_status
tell_seen(struct diagnosing *d)
{
    const fc_site *site = d->site;
    struct fci_words w = { d->arena, "", 0 };
    size_t i;

    for (i = 0; i < site->n_parts; i++) {
        const fc_look *look = site->parts[i].data;
        const fc_reading *reading = site->parts[i].data;
        const bool looked = site->parts[i].kind == FCI_LOOK;
        const char *at, *words;

        if (!looked && site->parts[i].kind != FCI_READING)
            continue;
        at = looked ? look->at : reading->at;
        words = amiss_words(
            site->parts[fci_site_find_index(site, FCI_PIPE, at)].kind,
            looked ? look->shows : reading->dial);
        if (words)
            fci_join(&w, "; ", fci_arena_printf(d->arena, words, at));
    }
    if (w.n > 0)
        d->out->found = w.text;
    return w.text ? FC_OK : FC_ENOMEM;
}

/* ---- The readings ------------------------------------------------------ */

/* Whether what was read again is as far from what was read first as both may
 * not be off. */
static bool
differs_from_itself(const struct fci_consistency *c)
{
    const struct fci_gauge *gauges = c->readings->gauges;
    size_t i;

    for (i = 0; i < c->n_pairs; i++) {
        const struct fci_gauge *one = &gauges[c->pairs[i].gauge];
        const struct fci_gauge *other = &gauges[c->pairs[i].other];

        if (one->event == other->event && fci_same_gauge(one, other))
            return true;
    }
    return false;
}

/* What the readings say, from the site as described on. */
static fc_status
weigh_readings(struct diagnosing *d, fc_diagnostics *messages)
{
    fc_status status = work_out_described(d, messages);

    if (status == FC_OK)
        status = tell_readings(d);
    if (status == FC_OK)
        status = fci_consistency_make(&d->consistency);
    d->out->contradictory = d->consistency.found.n > 0;
    if (status == FC_OK)
        status = find_causes(d);
    /* what gauges may be off by parts readings that a rule of thumb would not
     * let stand, but for what was read twice */
    if (status == FC_OK && d->out->as_described
        && !differs_from_itself(&d->consistency)) {
        status = fci_measured_against(&d->fitting, &d->faults,
                                      fci_sound_of(d->causes, d->n_causes),
                                      &d->out->contradictory);
        d->consistency.found.n = 0;
        d->out->as_described = !d->out->contradictory;
        if (d->out->contradictory)
            fci_find(
                &d->consistency.found, FC_FAIL, "", 0, FC_FOUND_CONTRADICTION,
                "the readings fit the file, not what was taped or measured: "
                "measure again, and check that the gauges were where entered",
                NULL);
    }
    if (status == FC_OK)
        status = tell_findings(d);
    if (status == FC_OK)
        status = fci_diagnose_assume(&d->readings, &d->trial.variant, d->arena,
                                     d->out);
    if (status == FC_OK && d->out->as_described)
        status = fci_learn(&d->fitting, fci_sound_of(d->causes, d->n_causes),
                           d->out);
    if (status == FC_OK)
        status = d->out->as_described ? be_surer(d) : explain(d);
    if (status != FC_OK)
        return status;
    d->out->verdict = verdict_of(d->out);
    if (d->out->verdict == FC_TWO_FAULTS
        && strncmp(d->out->found, fci_two_faults, strlen(fci_two_faults)) == 0)
        d->out->found += strlen(fci_two_faults); /* the verdict says so */
    return status;
}

static fc_status
diagnose(struct diagnosing *d, const fc_diagnose_options *options,
         fc_diagnostics *messages)
{
    fc_status status = fci_refuse_tank(d->site, "diagnose", messages);

    if (status == FC_OK)
        status = begin(d, options->state, messages);
    if (status == FC_OK)
        status = tell_looks(d);
    if (status == FC_OK && d->readings.n == 0)
        status = tell_seen(d);
    if (status == FC_OK)
        status = d->readings.n > 0 ? weigh_readings(d, messages)
                                   : fci_first_visit(d->site, options->state,
                                                     d->arena, d->out);
    if (status != FC_OK)
        return status;
    d->out->by_hand = fci_by_hand(options->symptom, &d->out->n_by_hand);
    d->out->text = answer_words(d);
    return d->out->text ? FC_OK : FC_ENOMEM;
}

fc_status
fc_diagnose(const fc_site *site, const fc_diagnose_options *options,
            fc_diagnosis **diagnosis, fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_GIVEN(site), FCI_GIVEN(diagnosis),
                    FCI_ENUM_OF(options, state, FC_RETROFIT),
                    FCI_ENUM_OF(options, symptom, FC_SPLASH)))
        return FC_EINPUT;

    const fc_diagnose_options defaults = { 0 };
    struct diagnosing d = { .site = site };
    fc_status status;

    d.out = fci_object_new(sizeof *d.out);
    if (!d.out)
        return FC_ENOMEM;
    if (!options)
        options = &defaults;
    d.arena = fci_arena_of(d.out);
    d.out->title = site->settings.title;
    d.out->units = site->settings.units;
    d.out->state = options->state;
    status = diagnose(&d, options, messages);
    fci_fault_trial_free(&d.trial);
    fci_findings_free(&d.consistency.found);
    fci_faults_free(&d.faults);
    if (status == FC_OK)
        *diagnosis = d.out;
    else
        fci_object_free(d.out);
    return status;
}

void
fc_diagnosis_free(fc_diagnosis *diagnosis)
{
    fci_object_free(diagnosis);
}
