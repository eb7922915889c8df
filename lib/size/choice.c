/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/size/choice.c -- sizes chosen, as a building that may be checked. */
#include "size/choice.h"
#include "laws/friction.h"
#include "site/pipe_size.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

const struct fci_size *
fci_chosen_size(const struct fci_size_problem *problem, const size_t *choice,
                size_t node)
{
    if (problem->nodes[node].n_choices == 0)
        return NULL;
    return problem->sizes[problem->first[node] + choice[node]];
}

const struct fci_material *
fci_chosen_material(const struct fci_size_problem *problem,
                    const size_t *choice, size_t node)
{
    const size_t at = fci_node_element(problem, node);
    const struct fci_pipe *pipe = problem->site->elements[at].pipe;
    const struct fci_material *other = problem->aims.other;
    const struct fci_size *size = fci_chosen_size(problem, choice, node);
    size_t i;

    for (i = 0; other && i < other->n_sizes; i++)
        if (size == &other->sizes[i])
            return other;
    return pipe->material;
}

double
fci_choice_cost(const struct fci_size_problem *problem, const size_t *choice)
{
    double cost = 0;
    size_t i;

    for (i = 0; i < problem->sizing.n_nodes; i++)
        if (problem->nodes[i].n_choices > 0)
            cost += problem->nodes[i].choices[choice[i]].cost;
    return cost;
}

const char *
fci_c_put_in(const fc_site *site, const struct fci_pipe *pipe,
             const struct fci_material *material)
{
    const fc_condition condition = fci_pipe_condition(site, pipe);

    return condition == FC_NEW    ? NULL
           : condition == FC_AGED ? material->c_put_in
                                  : material->c_put_in_unknown;
}

/* A pipe put in anew does not keep what was found of the old one. */
static bool
change_pipe(const fc_site *site, const struct fci_element *element,
            const struct fci_material *material, const struct fci_size *size,
            struct fci_change_list *list)
{
    const fc_pipe *given = element->pipe->given;
    const bool in_place = !given->choose_size;
    const char *c = fci_c_put_in(site, element->pipe, material);

    return fci_change_add(list, FCI_PIPE, element->name, "size", size->label)
           && (material == element->pipe->material
               || fci_change_add(list, FCI_PIPE, element->name, "material",
                                 material->head.name))
           && (!(c ? in_place || !given->c.given : in_place && given->c.given)
               || fci_change_add(list, FCI_PIPE, element->name, "c", c))
           && (!in_place || !given->inside_diameter.given
               || fci_change_add(list, FCI_PIPE, element->name,
                                 "inside diameter", NULL));
}

bool
fci_choice_changes(const struct fci_size_problem *problem,
                   const size_t *choice, struct fci_change_list *list)
{
    const struct fci_size *size;
    size_t i;

    for (i = 0; i < problem->sizing.n_nodes; i++) {
        size = fci_chosen_size(problem, choice, i);
        if (size
            && !change_pipe(
                problem->site,
                &problem->site->elements[fci_node_element(problem, i)],
                fci_chosen_material(problem, choice, i), size, list))
            return false;
    }
    return true;
}

static void
put_chosen(const struct fci_size_problem *problem, const size_t *choice,
           size_t node, fc_sized_pipe *out)
{
    const struct fci_size *size = fci_chosen_size(problem, choice, node);
    const struct fci_material *material =
        fci_chosen_material(problem, choice, node);
    const size_t at = fci_node_element(problem, node);
    const struct fci_pipe *pipe = problem->site->elements[at].pipe;
    int s;

    out->size = size->label;
    out->material = material->head.name;
    if (material != pipe->material)
        out->velocity_limit =
            fci_pipe_of(problem->site, pipe, material).velocity_limit;
    out->cost = problem->nodes[node].choices[choice[node]].cost;
    out->velocity = fci_velocity(out->peak_flow, size->bore);
    for (s = 0; s < problem->sizing.states; s++)
        if (problem->states[s] == fci_busier_state(problem, at))
            out->friction_loss =
                problem->nodes[node].choices[choice[node]].loss[s];
}

fc_sized_pipe
fci_sized_pipe(const struct fci_size_problem *problem, const size_t *choice,
               size_t node)
{
    const fc_site *site = problem->site;
    const size_t at = fci_node_element(problem, node);
    const struct fci_element *element = &site->elements[at];
    const struct fci_pipe *pipe = element->pipe;
    fc_sized_pipe out = { .name = element->name,
                          .from = site->elements[element->parent].name,
                          .material = pipe->material->head.name,
                          .length = pipe->length.nominal,
                          .cost = NAN,
                          .uniform_cost = NAN,
                          .state = fci_busier_state(problem, at),
                          .velocity = NAN,
                          .friction_loss = NAN,
                          .velocity_limit = pipe->velocity_limit };

    if (pipe->size) {
        out.previous_size = pipe->size->label;
        out.previous_material = pipe->material->head.name;
    }
    out.peak_flow = problem->demand[out.state][at].flow[FCI_WORST];
    if (choice && fci_chosen_size(problem, choice, node))
        put_chosen(problem, choice, node, &out);
    return out;
}

fc_status
fci_trial_make(struct fci_trial *trial, const fc_site *site,
               const struct fci_change_list *changes,
               const fc_check_options *options, fc_diagnostics *messages)
{
    fc_status status;

    memset(trial, 0, sizeof *trial);
    status = fci_site_changed(site, changes->changes, changes->n, &trial->site,
                              messages);
    if (status == FC_OK)
        status = fci_verdicts_make(&trial->verdicts, trial->site, options,
                                   messages);
    return status;
}

void
fci_trial_free(struct fci_trial *trial)
{
    fci_verdicts_free(&trial->verdicts);
    fc_site_free(trial->site);
    memset(trial, 0, sizeof *trial);
}
