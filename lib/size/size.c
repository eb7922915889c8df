/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/size/size.c -- sizes at least cost, put together. */
#include "ground/diagnostics.h"
#include "ground/call.h"
#include "laws/friction.h"
#include "variants/site_write.h"
#include "size/attempt.h"
#include "readings/readings.h"
#include "size/explain.h"
#include "size/uniform.h"
#include "check/refuse.h"
#include "check/words.h"

#include <math.h>
#include <string.h>

/* The result and all that it borrows. */
struct kept_size {
    fc_size_result result; /* first: the caller holds its address */
    const fc_site *site;
    struct fci_evidence evidence; /* of the readings of the site */
    struct fci_best best;
};

struct size {
    const fc_site *site;
    const fc_size_options *options;
    fc_diagnostics *messages;
    struct kept_size *kept;
};

/* ---- The tables ------------------------------------------------------- */

static const struct fci_element *
element_of(const struct fci_size_problem *problem, size_t node)
{
    return &problem->site->elements[fci_node_element(problem, node)];
}

static void
tell_uniform_pipe(const struct fci_size_problem *problem,
                  const struct fci_uniform *uniform, size_t node,
                  fc_sized_pipe *out)
{
    const struct fci_size *size;

    if (!uniform->found)
        return;
    size = fci_chosen_size(problem, uniform->choice, node);
    out->uniform_size = size->label;
    out->uniform_cost =
        problem->nodes[node].choices[uniform->choice[node]].cost;
}

static void
tell_pipe(const struct size *z, const struct fci_uniform *uniform, size_t node,
          fc_sized_pipe *out)
{
    const struct fci_attempt *a = &z->kept->best.attempt;

    *out = fci_sized_pipe(&a->problem, a->any ? a->choice : NULL, node);
    tell_uniform_pipe(&a->problem, uniform, node, out);
}

static fc_status
tell_pipes(struct size *z, const struct fci_uniform *uniform)
{
    const struct fci_size_problem *problem = &z->kept->best.attempt.problem;
    fc_sized_pipe *pipes = fci_arena_array(fci_arena_of(z->kept),
                                           z->site->n_elements, sizeof *pipes);
    size_t i, n = 0;

    if (!pipes)
        return FC_ENOMEM;
    for (i = 0; i < z->site->n_elements; i++)
        if (fci_is_to_choose(problem, &z->site->elements[i]))
            tell_pipe(z, uniform, problem->place[i], &pipes[n++]);
    z->kept->result.pipes = pipes;
    z->kept->result.n_pipes = n;
    return FC_OK;
}

/* ---- The hand method -------------------------------------------------- */

/* Of the pressures at peak alone, in the states that count. */
static fc_verdict
verdict_at_peak(const struct fci_size_problem *problem,
                const struct fci_verdicts *verdicts)
{
    fc_verdict worst = FC_WORKS;
    int s;

    for (s = 0; s < problem->sizing.states; s++) {
        const fc_verdict verdict = verdicts->pressure[problem->states[s]];

        if (verdict == FC_WILL_NOT_WORK)
            return verdict;
        if (verdict == FC_CANNOT_TELL)
            worst = verdict;
    }
    return worst;
}

static fc_status
check_uniform(struct size *z, const struct fci_uniform *uniform)
{
    const struct fci_size_problem *problem = &z->kept->best.attempt.problem;
    const fc_check_options peak = { .peak_only = true };
    struct fci_change_list changes = { 0 };
    struct fci_trial trial = { 0 };
    fc_status status = FC_ENOMEM;

    if (fci_choice_changes(problem, uniform->choice, &changes))
        status = fci_trial_make(&trial, z->site, &changes, &peak, z->messages);
    if (status == FC_OK) {
        z->kept->result.uniform.works =
            verdict_at_peak(problem, &trial.verdicts);
        z->kept->result.uniform.cost =
            fci_choice_cost(problem, uniform->choice);
    }
    fci_trial_free(&trial);
    fci_change_list_free(&changes);
    return status;
}

static fc_status
tell_uniform(struct size *z, const struct fci_uniform *uniform)
{
    const struct fci_size_problem *problem = &z->kept->best.attempt.problem;
    const struct fci_uniform_run *run = &uniform->run;
    fc_uniform_sizes *out = &z->kept->result.uniform;

    out->given = uniform->found;
    out->cost = NAN;
    out->works = FC_CANNOT_TELL;
    if (run->developed_length > 0) {
        out->state = run->state;
        out->fixture = z->site->fixtures[run->fixture].given->name;
        out->spare = run->spare;
        out->developed_length = run->developed_length;
        out->rate = run->rate;
    }
    if (out->given)
        return check_uniform(z, uniform);
    out->lacks =
        uniform->lacking ? fci_arena_printf(
            fci_arena_of(z->kept),
            "no size of %s has that little loss within its limits",
            element_of(problem, uniform->lacking)->name)
                         : "there is no pressure to spare for friction";
    return out->lacks ? FC_OK : FC_ENOMEM;
}

/* ---- All -------------------------------------------------------------- */

static void
tell_sources(struct size *z)
{
    const struct fci_attempt *a = &z->kept->best.attempt;
    int s;

    for (s = 0; s < a->problem.sizing.states; s++) {
        const fc_state state = a->problem.states[s];
        fc_source_need *out = &z->kept->result.source[state];

        out->given = true;
        out->flow =
            a->problem.demand[state][z->site->order[0]].flow[FCI_WORST];
        out->pressure = a->problem.sizing.available[s];
        out->least = z->kept->best.least[s];
    }
}

static void
tell_result(struct size *z)
{
    const struct fci_attempt *a = &z->kept->best.attempt;
    fc_size_result *r = &z->kept->result;

    r->title = z->site->settings.title;
    r->units = z->site->settings.units;
    r->converted = fci_has_conversions(z->site);
    r->by_prices = a->problem.costs.n_lists > 0;
    r->cost = a->found ? a->cost
              : a->any ? fci_choice_cost(&a->problem, a->choice)
                       : NAN;
    r->least_cost = a->found ? a->bound : NAN;
    r->exact = a->found && a->least_proved;
    r->longest_frontier = a->longest;
    r->in_hand = z->kept->best.in_hand;
    r->in_hand_bounded = fci_best_is_bounded(&z->kept->best);
    r->cost_at_peak = z->kept->best.cost_at_peak;
    r->check = a->check;
    tell_sources(z);
}

static fc_status
tell_overrides(struct size *z)
{
    fc_size_result *r = &z->kept->result;
    struct fci_told told = { 0 };
    fc_status status = FC_OK;

    if (r->check) {
        told.overrides = r->check->overrides;
        told.n_overrides = r->check->n_overrides;
    } else
        status = fci_overrides_of(z->site, fci_arena_of(z->kept), &told);
    r->overrides = told.overrides;
    r->n_overrides = told.n_overrides;
    return status;
}

static fc_status
tell_in_hand(struct size *z)
{
    const struct fci_best *best = &z->kept->best;
    const char **names = fci_arena_array(fci_arena_of(z->kept),
                                         z->site->n_fixtures, sizeof *names);
    size_t i, n = 0;

    if (!names)
        return FC_ENOMEM;
    for (i = 0; best->in_hand > 0 && i < z->site->n_fixtures; i++)
        if (best->marked[i])
            names[n++] = z->site->fixtures[i].given->name;
    z->kept->result.in_hand_at = names;
    z->kept->result.n_in_hand_at = n;
    return FC_OK;
}

/* The readings are of the site as it is given, before its sizes were chosen:
 * the check of the building with them takes over what they say. */
static fc_status
weigh_readings(struct size *z)
{
    struct fci_attempt *a = &z->kept->best.attempt;
    const fc_status status =
        fci_evidence_make(&z->kept->evidence, z->site, fci_arena_of(z->kept));

    z->kept->result.contradictions = z->kept->evidence.list;
    z->kept->result.n_contradictions = z->kept->evidence.n;
    if (z->kept->evidence.n_readings > 0) {
        fc_check_result_free(a->check);
        a->check = NULL;
        a->evidence = &z->kept->evidence;
    }
    return status;
}

/* No verdict stands on a site that its readings refute. */
static void
refute(struct size *z)
{
    fc_size_result *r = &z->kept->result;

    if (r->n_contradictions == 0)
        return;
    r->feasible = false;
    r->works = FC_CANNOT_TELL;
    r->uniform.works = FC_CANNOT_TELL;
    r->reason = r->contradictions[0].text;
}

static fc_status
tell(struct size *z)
{
    struct fci_uniform uniform;
    struct fci_attempt *attempt = &z->kept->best.attempt;
    fc_status status = weigh_readings(z);

    if (status == FC_OK && attempt->any)
        status = fci_attempt_check(attempt, z->messages);
    if (status != FC_OK)
        return status;
    if (attempt->any)
        status = fci_attempt_check_as_known(attempt, z->messages);
    if (status != FC_OK)
        return status;
    tell_result(z);
    status = tell_overrides(z);
    if (status == FC_OK)
        status = tell_in_hand(z);
    if (status != FC_OK)
        return status;
    z->kept->result.found = z->kept->best.attempt.found;
    z->kept->result.feasible = fci_attempt_works(&z->kept->best.attempt);
    z->kept->result.works = z->kept->best.attempt.found
                                ? z->kept->result.check->works
                                : FC_WILL_NOT_WORK;
    z->kept->result.too_high = z->kept->result.check
                                   ? z->kept->result.check->too_high
                                   : FC_CANNOT_TELL;
    status = fci_explain_attempt(&z->kept->best.attempt, fci_arena_of(z->kept),
                                 &z->kept->result.reason, z->messages);
    if (status != FC_OK)
        return status;
    /* that method knows nothing of flush events */
    z->kept->best.attempt.problem.aims.in_hand = 0;
    status = fci_uniform_make(&uniform, &z->kept->best.attempt.problem);
    if (status == FC_OK)
        status = tell_uniform(z, &uniform);
    if (status == FC_OK)
        status = tell_pipes(z, &uniform);
    refute(z);
    fci_arena_free(&uniform.arena);
    return status;
}

static fc_status
refuse_nothing(const fc_site *site, fc_diagnostics *messages)
{
    size_t i;

    for (i = 0; site->finished && i < site->n_elements; i++)
        if (site->elements[i].pipe
            && site->elements[i].pipe->given->choose_size)
            return FC_OK;
    return site->finished
               ? fci_fail(messages, FC_EINPUT,
                          site->n_parts > 0 ? site->parts[0].path : NULL, 0,
                          "no pipe has its size to choose; \"size = choose\" "
                          "is expected of at least one; to look for a fix: "
                          "flushcalc size --remedy")
               : FC_OK;
}

fc_status
fc_size(const fc_site *site, const fc_size_options *options,
        fc_size_result **result, fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_GIVEN(site), FCI_GIVEN(result),
                    FCI_STATES_TRIED(options, check.most_states)))
        return FC_EINPUT;

    static const fc_size_options defaults = { .most_points = 0 };
    const struct fci_size_aims aims = { .replace = false };
    fc_size_options steady = options ? *options : defaults;
    struct size z = { site, &steady, messages, NULL };
    fc_status status = refuse_nothing(site, messages);

    if (status != FC_OK)
        return status;
    z.kept = fci_object_new(sizeof *z.kept);
    if (!z.kept)
        return FC_ENOMEM;
    z.kept->site = site;
    /* sizes for a main that nobody tested are those for one that does not
     * drop; what is told of them is not */
    steady.check.steady_main = steady.check.no_proviso = true;
    status = fci_attempt_best(&z.kept->best, site, &aims, z.options, messages);
    if (status == FC_OK)
        status = tell(&z);
    if (status == FC_OK)
        *result = &z.kept->result;
    else
        fc_size_result_free(&z.kept->result);
    return status;
}

void
fc_size_result_free(fc_size_result *result)
{
    struct kept_size *kept = (struct kept_size *)(void *)result;

    if (!kept)
        return;
    fci_best_free(&kept->best);
    fci_object_free(kept);
}

fc_status
fc_size_text(const fc_size_result *result, const char *folder, char **text,
             fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_GIVEN(result), FCI_GIVEN(text)))
        return FC_EINPUT;

    const struct kept_size *kept =
        (const struct kept_size *)(const void *)result;
    const struct fci_attempt *a = &kept->best.attempt;

    if (!a->found)
        return fci_fail(messages, FC_ESTATE, NULL, 0,
                        "no sizes work at peak; there is nothing to write");
    return fci_site_write_elsewhere(
        kept->site, a->changes.changes, a->changes.n,
        result->n_contradictions > 0
            ? "Pipe sizes chosen at lowest cost for peak demand.\nGauge "
              "readings contradict the file as entered: see diagnose."
        : result->feasible
            ? "Pipe sizes chosen at lowest cost."
            : "Pipe sizes chosen at lowest cost for peak demand.\ncheck finds "
              "more that no pipe size fixes.",
        folder, text, messages);
}
