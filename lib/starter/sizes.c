/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/starter/sizes.c -- sizes by the velocity limit at peak demand, for pipes
 * of which nobody gave one. */
#include "laws/friction.h"
#include "size/problem.h"
#include "starter/starter.h"

#include <string.h>

/* The pipes that share a size: by the names that starter/text.c gives. */
static struct fci_starter_size *
group_of(struct fci_starter_sizes *sizes, const char *name)
{
    if (strcmp(name, "service") == 0)
        return &sizes->service;
    if (strncmp(name, "riser-", 6) == 0)
        return &sizes->riser;
    if (strncmp(name, "branch-", 7) != 0)
        return NULL;
    return &sizes->branch[name[7] >= 'a' ? name[7] - 'a' : 0];
}

/* A group keeps the largest that one of its pipes is to have. */
static void
find_size(const struct fci_size_problem *problem, size_t node,
          struct fci_starter_size *out)
{
    const size_t at = fci_node_element(problem, node);
    const fc_state state = fci_busier_state(problem, at);
    const struct fci_material *material =
        problem->site->elements[at].pipe->material;
    struct fci_starter_size found = { NULL, NULL, 0, 0, false };
    size_t i;

    for (i = 0; i < material->n_sizes && !found.next; i++) {
        if (fci_size_bar(problem, node, &material->sizes[i]) != FCI_SIZE_FITS)
            continue;
        if (found.size)
            found.next = &material->sizes[i];
        else
            found.size = &material->sizes[i];
    }
    found.too_fast = !found.size;
    if (found.too_fast)
        found.size = &material->sizes[material->n_sizes - 1];
    found.flow = problem->demand[state][at].flow[FCI_WORST];
    found.velocity = fci_velocity(found.flow, found.size->bore);
    if (!out->size || found.flow > out->flow)
        *out = found;
}

static void
find_sizes(const struct fci_size_problem *problem,
           struct fci_starter_sizes *sizes)
{
    const fc_site *site = problem->site;
    size_t node;

    for (node = 0; node < problem->sizing.n_nodes; node++) {
        const size_t at = fci_node_element(problem, node);
        const struct fci_element *element = &site->elements[at];
        struct fci_starter_size *group = group_of(sizes, element->part->name);

        if (element->part->kind == FCI_PUMP)
            sizes->boosted = problem->demand[fci_busier_state(problem, at)][at]
                                 .flow[FCI_WORST];
        else if (group && fci_is_to_choose(problem, element))
            find_size(problem, node, group);
    }
}

fc_status
fci_starter_find_sizes(const fc_site *site, struct fci_starter_sizes *sizes,
                       fc_diagnostics *messages)
{
    const struct fci_size_aims aims = { .replace = false };
    struct fci_size_problem problem;
    const fc_status status =
        fci_size_problem_make(&problem, site, &aims, messages);

    if (status == FC_OK)
        find_sizes(&problem, sizes);
    fci_size_problem_free(&problem);
    return status;
}
