/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/size/problem.c -- a site as figures to choose sizes from. */
#include "size/problem.h"
#include "laws/friction.h"
#include "check/drawn.h"
#include "check/judge.h"
#include "peak/source.h"
#include "site/pipe_size.h"
#include "check/refuse.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* As in check: speeds and sizes come from texts in several units. */
#define SAME_SPEED (1 + 1e-9)
#define SAME_SIZE (1 - 1e-6)

/* ---- Pipes ------------------------------------------------------------ */

bool
fci_is_to_choose(const struct fci_size_problem *problem,
                 const struct fci_element *element)
{
    const struct fci_pipe *pipe = element->pipe;

    if (!pipe || !pipe->material)
        return false;
    return pipe->given->choose_size || problem->aims.replace;
}

static double
velocity_at(const struct fci_size_problem *problem, size_t node,
            const struct fci_size *size, int s)
{
    const struct fci_demand *demand = problem->demand[problem->states[s]];

    return fci_velocity(
        demand[fci_node_element(problem, node)].flow[FCI_WORST], size->bore);
}

static enum fci_size_bar
bar_of(const struct fci_size_problem *problem, size_t node,
       const struct fci_pipe *pipe, const struct fci_size *size)
{
    int s;

    for (s = 0; s < problem->sizing.states; s++)
        if (velocity_at(problem, node, size, s)
            > pipe->velocity_limit * SAME_SPEED)
            return FCI_SIZE_TOO_FAST;
    if (size->nominal < problem->least_size[node] * SAME_SIZE)
        return FCI_SIZE_TOO_SMALL;
    return isinf(fci_cost_at(&problem->costs, pipe, size)) ? FCI_SIZE_NOT_SOLD
                                                           : FCI_SIZE_FITS;
}

enum fci_size_bar
fci_size_bar(const struct fci_size_problem *problem, size_t node,
             const struct fci_size *size)
{
    const size_t at = fci_node_element(problem, node);

    return bar_of(problem, node, problem->site->elements[at].pipe, size);
}

fc_state
fci_busier_state(const struct fci_size_problem *problem, size_t element)
{
    fc_state most = problem->states[0];
    int s;

    for (s = 1; s < problem->sizing.states; s++)
        if (problem->demand[problem->states[s]][element].flow[FCI_WORST]
            > problem->demand[most][element].flow[FCI_WORST])
            most = problem->states[s];
    return most;
}

/* What a resistance comes to in the states, into a choice. */
static void
put_losses(const struct fci_size_problem *problem, size_t node,
           double resistance, struct fci_sizing_choice *choice)
{
    const size_t element = fci_node_element(problem, node);
    int s;

    for (s = 0; s < problem->sizing.states; s++)
        choice->loss[s] = fci_friction_loss(
            resistance,
            problem->demand[problem->states[s]][element].flow[FCI_WORST]);
}

static void
add_candidate(struct fci_size_problem *problem, size_t node,
              const struct fci_pipe *pipe, const struct fci_size *size)
{
    struct fci_sizing_node *v = &problem->nodes[node];
    const size_t at = problem->first[node] + v->n_choices++;
    struct fci_sizing_choice *choice = &problem->choices[at];

    problem->sizes[at] = size;
    choice->nominal = size->nominal;
    choice->stays = problem->aims.uncapped;
    choice->cost = fci_cost_at(&problem->costs, pipe, size);
    put_losses(
        problem, node,
        fci_resistance_at(problem->site->water_weight, pipe, size, FCI_WORST),
        choice);
    if (bar_of(problem, node, pipe, size) != FCI_SIZE_FITS)
        choice->loss[0] = choice->loss[1] = INFINITY;
}

static void
add_in_place(struct fci_size_problem *problem, size_t node,
             const struct fci_pipe *pipe)
{
    const size_t at = problem->first[node];
    struct fci_sizing_choice *choice = &problem->choices[at];

    problem->nodes[node].n_choices = 1;
    problem->sizes[at] = NULL;
    choice->nominal =
        pipe->given->size.given ? pipe->given->size.nominal : INFINITY;
    choice->stays = true;
    choice->cost = 0;
    put_losses(problem, node, pipe->resistance[FCI_WORST], choice);
    if (problem->aims.replace && pipe->size
        && pipe->given->size.low < problem->least_size[node] * SAME_SIZE)
        choice->loss[0] = choice->loss[1] = INFINITY;
}

/* A pipe put in anew at the size in place has another loss where that is
 * measured, rough, or not known for sure, or of another material. */
static bool
may_replace(const struct fci_pipe *pipe, const struct fci_size *size,
            bool other)
{
    const fc_pipe *given = pipe->given;

    if (given->choose_size || !given->size.given)
        return true;
    if (other || given->c.given || given->inside_diameter.given)
        return size->nominal >= given->size.low * SAME_SIZE;
    return size->nominal * SAME_SIZE > given->size.low;
}

static bool
may_be_other(const struct fci_size_problem *problem,
             const struct fci_pipe *pipe)
{
    return problem->aims.other && !pipe->given->choose_size
           && fci_is_rougher(problem->site, pipe, problem->aims.other);
}

/* Those of a material of which `anew` is. */
static void
add_material(struct fci_size_problem *problem, size_t node,
             const struct fci_pipe *pipe, const struct fci_pipe *anew)
{
    const struct fci_material *material = anew->material;
    size_t i;

    for (i = 0; i < material->n_sizes; i++)
        if (may_replace(pipe, &material->sizes[i], pipe->material != material))
            add_candidate(problem, node, anew, &material->sizes[i]);
}

static void
add_candidates(struct fci_size_problem *problem, size_t node)
{
    const struct fci_element *element =
        &problem->site->elements[fci_node_element(problem, node)];
    const struct fci_pipe *pipe = element->pipe;
    struct fci_pipe anew;

    if (!pipe)
        return;
    problem->nodes[node].choices = problem->choices + problem->first[node];
    if (!pipe->given->choose_size)
        add_in_place(problem, node, pipe);
    if (!fci_is_to_choose(problem, element))
        return;
    anew =
        pipe->given->choose_size ? *pipe : fci_pipe_anew(problem->site, pipe);
    add_material(problem, node, pipe, &anew);
    if (!may_be_other(problem, pipe))
        return;
    anew = fci_pipe_of(problem->site, pipe, problem->aims.other);
    add_material(problem, node, pipe, &anew);
}

/* ---- Other elements --------------------------------------------------- */

/* What an element takes without its pipe's friction, and the most that it can
 * pass on. */
static void
take_along(struct fci_size_problem *problem, size_t node, int s)
{
    const fc_site *site = problem->site;
    const size_t at = fci_node_element(problem, node);
    const struct fci_element *element = &site->elements[at];
    const double flow =
        problem->demand[problem->states[s]][at].flow[FCI_WORST];
    const struct fci_taking taking =
        fci_element_takes(site, element, flow, FCI_WORST);
    struct fci_sizing_node *const v = &problem->nodes[node];

    v->take[s] = taking.lift + (element->pipe ? 0 : taking.loss);
    v->most[s] = taking.most;
    v->past[s] = taking.lift + taking.past;
}

static void
raise_to(double *need, double least)
{
    *need = fmax(*need, least);
}

/* Where water flows on to a fixture there must be some pressure, and so there
 * must at a pump's inlet. */
static void
need_some(struct fci_size_problem *problem)
{
    const fc_site *site = problem->site;
    size_t i;
    int s;

    for (i = problem->sizing.n_nodes; i-- > 1;) {
        const struct fci_element *element =
            &site->elements[fci_node_element(problem, i)];
        const struct fci_sizing_node *node = &problem->nodes[i];
        struct fci_sizing_node *parent = &problem->nodes[node->parent];

        for (s = 0; s < problem->sizing.states; s++) {
            if (isinf(node->need[s]))
                continue;
            raise_to(&parent->need[s], FCI_SAME_PRESSURE);
            if (fci_adds_pressure(element))
                raise_to(
                    &parent->need[s],
                    FCI_SAME_PRESSURE
                        + site->water_weight
                              * fci_more_is_worse(element->rise, FCI_WORST));
        }
    }
}

/* ---- Fixtures --------------------------------------------------------- */

static fc_status
lack_need(const struct fci_size_problem *problem,
          const struct fci_fixture *fixture, fc_state state)
{
    const fc_valve *valve = fixture->valve[state];

    return fci_part_fail(fixture->part, problem->messages, NULL,
                         "%s%.60s%s; a valve with a \"minimum flowing\" is "
                         "expected, as sizes are chosen to serve it",
                         valve ? "has the valve \"" : "names no valve",
                         valve ? valve->name : "",
                         valve ? "\", whose minimum is not known" : "");
}

static double
in_hand_at(const struct fci_size_aims *aims, size_t fixture, int s)
{
    if (!(aims->in_hand > 0) || (aims->marked && !aims->marked[fixture]))
        return 0;
    if (!aims->slack[s])
        return aims->in_hand;
    return fmin(aims->in_hand, aims->slack[s][fixture]);
}

double
fci_fixture_need(const struct fci_size_problem *problem, size_t at, int s)
{
    const struct fci_fixture *fixture = &problem->site->fixtures[at];
    const fc_state state = problem->states[s];
    const fc_range need =
        fci_requirement_of(problem->site, fixture, state).pressure;
    const double drop = fci_fixture_drop(
        problem->site, fixture,
        fci_fixture_flow(problem->site, fixture, state).high, FCI_WORST);

    return drop
           + fmax(FCI_SAME_PRESSURE,
                  need.given ? need.high + in_hand_at(&problem->aims, at, s)
                             : 0);
}

static fc_status
need_of_fixture(struct fci_size_problem *problem, size_t fixture, int s)
{
    const struct fci_fixture *f = &problem->site->fixtures[fixture];
    const struct fci_requirement need =
        fci_requirement_of(problem->site, f, problem->states[s]);
    const size_t at = problem->place[f->element];

    if (f->kind->flushes && !need.pressure.given)
        return lack_need(problem, f, problem->states[s]);
    raise_to(&problem->nodes[at].need[s],
             fci_fixture_need(problem, fixture, s));
    if (!isnan(need.supply_size))
        raise_to(&problem->least_size[at], need.supply_size);
    return FC_OK;
}

/* A pump needs its suction at the outlet of what feeds it. */
static void
need_of_pumps(struct fci_size_problem *problem, int s)
{
    const fc_site *site = problem->site;
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const struct fci_element *element = &site->elements[i];
        const fc_range least = fci_must_keep(site, element);

        if (least.given && element->parent != FCI_NONE)
            raise_to(&problem->nodes[problem->place[element->parent]].need[s],
                     least.high
                         + site->water_weight
                               * fci_more_is_worse(element->rise, FCI_WORST));
    }
}

/* A pipe on the way serves all that hangs behind it. */
static void
raise_supplies(struct fci_size_problem *problem)
{
    size_t i;

    for (i = problem->site->n_elements; i-- > 0;) {
        const size_t parent =
            problem->site->elements[fci_node_element(problem, i)].parent;

        if (parent != FCI_NONE)
            raise_to(&problem->least_size[problem->place[parent]],
                     problem->least_size[i]);
    }
}

static fc_status
need_of_fixtures(struct fci_size_problem *problem)
{
    fc_status status = FC_OK;
    size_t i;
    int s;

    for (i = 0; i < problem->sizing.n_nodes; i++)
        problem->nodes[i].need[0] = problem->nodes[i].need[1] = -INFINITY;
    for (s = 0; s < problem->sizing.states; s++) {
        need_of_pumps(problem, s);
        for (i = 0; i < problem->site->n_fixtures && status == FC_OK; i++)
            status = need_of_fixture(problem, i, s);
    }
    raise_supplies(problem);
    if (status == FC_OK)
        need_some(problem);
    return status;
}

/* ---- All -------------------------------------------------------------- */

static fc_status
refuse_unpriced(const struct fci_size_problem *problem)
{
    const fc_site *site = problem->site;
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const struct fci_element *element = &site->elements[i];

        if (fci_is_to_choose(problem, element)
            && !fci_is_priced(&problem->costs, element->pipe))
            return fci_part_fail(element->part, problem->messages, NULL,
                                 "is of %.40s, which has no [prices] though "
                                 "another material has; prices of each "
                                 "material are expected, or none",
                                 element->pipe->material->head.name);
    }
    return FC_OK;
}

/* The states that count, and their flows. */
static fc_status
find_flows(struct fci_size_problem *problem)
{
    const bool converted = fci_has_conversions(problem->site);
    fc_status status = FC_OK;
    int s;

    problem->states[0] =
        converted && problem->aims.replace ? FC_RETROFIT : FC_EXISTING;
    problem->states[1] = FC_RETROFIT;
    problem->sizing.states = converted && !problem->aims.replace ? 2 : 1;
    for (s = 0; s < problem->sizing.states && status == FC_OK; s++) {
        const fc_state state = problem->states[s];

        status =
            fci_refuse_unknown_flush(problem->site, state, problem->messages);
        if (status != FC_OK)
            return status;
        problem->demand[state] = fci_demand_new(problem->site, state);
        status = problem->demand[state] ? FC_OK : FC_ENOMEM;
    }
    return status;
}

/* As many choices as there may be. */
static bool
allocate(struct fci_size_problem *problem)
{
    const fc_site *site = problem->site;
    const size_t n = site->n_elements;
    struct fci_arena *arena = &problem->arena;
    size_t i, choices = 0;

    problem->place = fci_arena_array(arena, n, sizeof *problem->place);
    problem->first = fci_arena_array(arena, n, sizeof *problem->first);
    problem->least_size =
        fci_arena_array(arena, n, sizeof *problem->least_size);
    problem->nodes = fci_arena_array(arena, n, sizeof *problem->nodes);
    if (arena->failed)
        return false;
    for (i = 0; i < n; i++) {
        const struct fci_element *element = &site->elements[site->order[i]];

        problem->place[site->order[i]] = i;
        problem->first[i] = choices;
        choices += element->pipe != NULL;
        if (fci_is_to_choose(problem, element))
            choices +=
                element->pipe->material->n_sizes
                + (problem->aims.other ? problem->aims.other->n_sizes : 0);
    }
    problem->choices =
        fci_arena_array(arena, choices + 1, sizeof *problem->choices);
    problem->sizes =
        fci_arena_array(arena, choices + 1, sizeof *problem->sizes);
    return !arena->failed;
}

static void
lay_out(struct fci_size_problem *problem)
{
    const fc_site *site = problem->site;
    const size_t source = site->order[0];
    size_t i;
    int s;

    problem->sizing.nodes = problem->nodes;
    problem->sizing.n_nodes = site->n_elements;
    for (i = 1; i < site->n_elements; i++) {
        problem->nodes[i].parent =
            problem->place[site->elements[site->order[i]].parent];
        for (s = 0; s < problem->sizing.states; s++)
            take_along(problem, i, s);
        add_candidates(problem, i);
    }
    for (s = 0; s < FC_STATES; s++)
        problem->nodes[0].most[s] = problem->nodes[0].past[s] = INFINITY;
    for (s = 0; s < problem->sizing.states; s++)
        problem->sizing.available[s] = fci_source_pressure(
            site->elements[source].part->data, site->elements[source].shape,
            site->water_weight,
            problem->demand[problem->states[s]][source].flow[FCI_WORST],
            FCI_WORST);
}

fc_status
fci_size_problem_make(struct fci_size_problem *problem, const fc_site *site,
                      const struct fci_size_aims *aims,
                      fc_diagnostics *messages)
{
    fc_status status = fci_refuse_no_tree(site, messages);

    memset(problem, 0, sizeof *problem);
    problem->site = site;
    problem->aims = *aims;
    problem->messages = messages;
    if (status == FC_OK)
        status = find_flows(problem);
    if (status == FC_OK)
        status =
            fci_costs_make(&problem->costs, site, &problem->arena, messages);
    if (status == FC_OK)
        status = refuse_unpriced(problem);
    if (status == FC_OK && !allocate(problem))
        status = FC_ENOMEM;
    if (status == FC_OK)
        status = need_of_fixtures(problem);
    if (status == FC_OK)
        lay_out(problem);
    return status;
}

void
fci_size_problem_free(struct fci_size_problem *problem)
{
    int s;

    fci_arena_free(&problem->arena);
    for (s = 0; s < FC_STATES; s++)
        free(problem->demand[s]);
}
