/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/size/explain.c -- why no sizes serve, in words. */
#include "size/explain.h"
#include "laws/friction.h"
#include "site/pipe_size.h"
#include "units/units.h"

#include <math.h>
#include <string.h>

struct blocked {
    const struct fci_size_problem *problem;
    size_t node;
    int s;
    const struct fci_element *element;
    struct fci_arena *arena;
};

static struct fci_shown
show(const struct blocked *b, fc_dimension dimension, double value)
{
    return fci_show(b->problem->site->settings.units, dimension, value);
}

static const char *
explain_bound(const struct blocked *b)
{
    return fci_arena_printf(
        b->arena,
        "Downstream of %s at most %s at peak; what it feeds requires more at "
        "every size.",
        b->element->name,
        show(b, FC_PRESSURE, b->problem->nodes[b->node].most[b->s]).text);
}

/* All sizes are barred: by what the largest one is. */
static const char *
explain_barred(const struct blocked *b)
{
    const struct fci_pipe *pipe = b->element->pipe;
    const struct fci_size *largest =
        &pipe->material->sizes[pipe->material->n_sizes - 1];
    const size_t at = fci_node_element(b->problem, b->node);
    const double flow =
        b->problem->demand[fci_busier_state(b->problem, at)][at]
            .flow[FCI_WORST];

    switch (fci_size_bar(b->problem, b->node, largest)) {
    case FCI_SIZE_TOO_FAST:
        return fci_arena_printf(
            b->arena,
            "%s: %s at peak is %s in %s, the largest size of %s; limit %s.",
            b->element->name, show(b, FC_FLOW, flow).text,
            fci_show_beyond(b->problem->site->settings.units, FC_VELOCITY,
                            fci_velocity(flow, largest->bore),
                            pipe->velocity_limit)
                .text,
            largest->label, pipe->material->head.name,
            show(b, FC_VELOCITY, pipe->velocity_limit).text);
    case FCI_SIZE_TOO_SMALL:
        return fci_arena_printf(
            b->arena,
            "A fixture downstream of %s requires a supply of at least %s; the "
            "largest size of %s is %s.",
            b->element->name,
            show(b, FC_SIZE, b->problem->least_size[b->node]).text,
            pipe->material->head.name, largest->label);
    default:
        return fci_arena_printf(
            b->arena,
            "No %s size of %s fits %s: %s at peak, velocity limit %s.",
            b->problem->costs.n_lists > 0 ? "priced" : "stock",
            pipe->material->head.name, b->element->name,
            show(b, FC_FLOW, flow).text,
            show(b, FC_VELOCITY, pipe->velocity_limit).text);
    }
}

static bool
all_barred(const struct blocked *b)
{
    const struct fci_sizing_node *v = &b->problem->nodes[b->node];
    size_t k;

    for (k = 0; k < v->n_choices; k++)
        if (v->choices[k].loss[b->s] < INFINITY)
            return false;
    return v->n_choices > 0;
}

/* ---- Larger than what feeds it ----------------------------------------- */

/* The nearest pipe upstream; the root: there is none. */
static size_t
feeder_of(const struct fci_size_problem *problem, size_t node)
{
    do
        node = problem->nodes[node].parent;
    while (node > 0 && problem->nodes[node].n_choices == 0);
    return node;
}

static bool
is_barred(const struct blocked *b, const struct fci_sizing_choice *choice)
{
    return !choice->stays && isinf(choice->loss[b->s]);
}

/* The label of the smallest size it may have where even that is larger than
 * the largest of its feeder; NULL: it is not, or nothing feeds it. */
static const char *
over_feeder(const struct blocked *b, size_t feeder)
{
    const struct fci_sizing_node *v = &b->problem->nodes[b->node];
    const struct fci_sizing_node *f = &b->problem->nodes[feeder];
    double most = 0;
    size_t k;

    for (k = 0; k < f->n_choices; k++)
        if (!is_barred(b, &f->choices[k]))
            most = fmax(most, f->choices[k].nominal);
    for (k = 0; k < v->n_choices && feeder > 0; k++)
        if (!is_barred(b, &v->choices[k]))
            return v->choices[k].stays || v->choices[k].nominal <= most
                       ? NULL
                       : b->problem->sizes[b->problem->first[b->node] + k]
                             ->label;
    return NULL;
}

static const char *
explain_caps(const struct blocked *b)
{
    const size_t feeder = feeder_of(b->problem, b->node);
    const char *least = over_feeder(b, feeder);

    if (least)
        return fci_arena_printf(
            b->arena,
            "%s must be at least %s, larger than %s upstream may be; no pipe "
            "may be larger than the one that feeds it.",
            b->element->name, least,
            b->problem->site->elements[fci_node_element(b->problem, feeder)]
                .name);
    return fci_arena_printf(
        b->arena,
        "Pipes downstream of %s must be larger than it may be; no pipe may be "
        "larger than the one that feeds it.",
        b->element->name);
}

static const char *
explain_blocked(const struct fci_size_problem *problem, size_t node, int s,
                struct fci_arena *arena)
{
    const struct blocked b = {
        problem, node, s,
        &problem->site->elements[fci_node_element(problem, node)], arena
    };

    if (all_barred(&b))
        return explain_barred(&b);
    if (problem->nodes[node].most[s] < INFINITY
        && isinf(problem->nodes[node].past[s]))
        return explain_bound(&b);
    return explain_caps(&b);
}

/* ---- What a check finds ------------------------------------------------ */

/* Whether a finding is about something that a verdict rests on. */
static bool
bears_on_verdict(const fc_finding *finding)
{
    static const fc_finding_code codes[] = {
        FC_FOUND_FLOWING_PRESSURE, FC_FOUND_MAXIMUM_STATIC,
        FC_FOUND_BACKFLOW,         FC_FOUND_ALONE,
        FC_FOUND_BUSY_PERIOD,      FC_FOUND_MAXIMUM_FLOWING,
        FC_FOUND_STREET_MAIN,      FC_FOUND_PUMP,
        FC_FOUND_SUPPLY_SIZE
    };
    size_t i;

    for (i = 0; i < sizeof codes / sizeof *codes; i++)
        if (finding->code == codes[i])
            return finding->severity == FC_WARN;
    return false;
}

/* What is found of a fixture of which it cannot be told. */
static const char *
explain_unclear(const fc_check_result *check, fc_state state,
                struct fci_arena *arena)
{
    size_t i;

    for (i = 0; i < check->n_findings; i++) {
        const fc_finding *f = &check->findings[i];

        if (bears_on_verdict(f) && (!f->states || f->states & FC_IN(state)))
            return fci_arena_printf(arena, "%s: %s", f->subject, f->text);
    }
    return fci_arena_string(arena, "some fixture is still not certain");
}

/* A verdict of its own. */
static bool
is_too_high(const fc_finding *finding)
{
    return finding->code == FC_FOUND_MAXIMUM_STATIC
           || finding->code == FC_FOUND_MAXIMUM_FLOWING;
}

/* The first that fails in a state, or that is too high; NULL: none. */
static const fc_finding *
first_failing(const fc_check_result *check, fc_state state, bool too_high)
{
    size_t i;

    for (i = 0; i < check->n_findings; i++) {
        const fc_finding *f = &check->findings[i];

        if (f->severity == FC_FAIL && is_too_high(f) == too_high
            && (!f->states || f->states & FC_IN(state)))
            return f;
    }
    return NULL;
}

/* The first thing that fails, as a clause. */
const char *
fci_explain_check(const fc_check_result *check, struct fci_arena *arena)
{
    const fc_state state = check->converted ? FC_RETROFIT : FC_EXISTING;
    const fc_finding *f = first_failing(check, state, false);

    if (!f && check->works != FC_CANNOT_TELL)
        f = first_failing(check, state, true);
    return f ? fci_arena_printf(arena, "%s: %s", f->subject, f->text)
             : explain_unclear(check, state, arena);
}

/* ---- Served, but not enough ------------------------------------------- */

/* Of the fixtures the one that lacks most, in a state. */
static const fc_checked_fixture *
shortest(const fc_check_result *check, fc_state state)
{
    const fc_checked_fixture *worst = NULL;
    size_t i;

    for (i = 0; i < check->n_fixtures; i++) {
        const fc_checked_fixture *f = &check->fixtures[i];

        if (f->states[state].required.given
            && (!worst
                || f->states[state].margin.low
                       < worst->states[state].margin.low))
            worst = f;
    }
    return worst;
}

/* Each state can be served, but no sizes were found for both. */
static const char *
explain_both(struct fci_arena *arena)
{
    return fci_arena_string(
        arena, "Some sizes work with existing valves and others after "
               "retrofit, but none were found that work for both.");
}

static const char *
explain_short(const struct fci_attempt *a, struct fci_arena *arena)
{
    const fc_unit_system units = a->problem.site->settings.units;
    const fc_state state = a->problem.states[a->lacking];
    const fc_checked_fixture *f = shortest(a->check, state);
    const double given = a->problem.sizing.available[a->lacking];

    return fci_arena_printf(
        arena,
        "Even with the lowest-loss sizes %s is short by %s at peak%s. The "
        "source gives %s; those sizes require %s.",
        f->name,
        fci_show(units, FC_PRESSURE, -f->states[state].margin.low).text,
        !a->check->converted   ? ""
        : state == FC_EXISTING ? " with existing valves"
                               : " after retrofit",
        fci_show(units, FC_PRESSURE, given).text,
        fci_show(units, FC_PRESSURE, a->least[a->lacking]).text);
}

static const char *
explain_more(const struct fci_attempt *a, struct fci_arena *arena)
{
    const char *but = fci_explain_check(a->check, arena);

    return but ? fci_arena_printf(arena,
                                  "With the sizes found every fixture has "
                                  "enough at peak, but %s; %s.",
                                  but,
                                  fci_attempt_at_peak(a)
                                      ? "the lowest-loss sizes do not fix that"
                                      : "no pipe size fixes that")
               : NULL;
}

fc_status
fci_explain_attempt(struct fci_attempt *a, struct fci_arena *arena,
                    const char **reason, fc_diagnostics *messages)
{
    fc_status status = FC_OK;

    *reason = NULL;
    if (fci_attempt_works(a))
        return FC_OK;
    if (a->any)
        status = fci_attempt_check(a, messages);
    if (status != FC_OK)
        return status;
    if (a->found)
        *reason = explain_more(a, arena);
    else if (a->any
             && a->least[a->lacking]
                    <= a->problem.sizing.available[a->lacking])
        *reason = explain_both(arena);
    else if (a->any && shortest(a->check, a->problem.states[a->lacking]))
        *reason = explain_short(a, arena);
    else if (a->any)
        *reason = fci_arena_string(
            arena, "No pressure is left on the way to its fixtures.");
    else
        *reason = explain_blocked(&a->problem, a->blocked, a->lacking, arena);
    return *reason ? FC_OK : FC_ENOMEM;
}
