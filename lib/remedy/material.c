/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/material.c -- rough pipes replaced by pipe of another material.
 *
 * Where roughness is what costs, pipe of the same size does that is smooth.
 * Every pipe in place may stay, be of its own material in a larger size, or of
 * the other one in the same or a larger size: the cheapest of all these.
 */
#include "remedy/remedies.h"
#include "site/pipe_size.h"

#include <math.h>
#include <string.h>

/* What rough pipe is customarily replaced by where the site names nothing
 * (common practice). */
#define CUSTOMARY "copper L"

#define CHEAPER (1 - 1e-9) /* by more than sums are off */

/* Whether some pipe in place is rougher. */
static bool
is_of_use(const fc_site *site, const struct fci_material *material)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const struct fci_pipe *pipe = site->elements[i].pipe;

        if (pipe && pipe->material && fci_is_rougher(site, pipe, material))
            return true;
    }
    return false;
}

/* The i-th that there are prices of; NULL: there are no more. */
static const struct fci_material *
priced(const fc_site *site, size_t i)
{
    size_t k;

    for (k = 0; k < site->n_parts; k++)
        if (site->parts[k].kind == FCI_PRICES && i-- == 0)
            return fci_tables_material(
                site->tables,
                ((const fc_prices *)site->parts[k].data)->material);
    return NULL;
}

/* The i-th to try: those with prices or, without prices, the site's own and
 * the customary one; NULL: there are no more. */
static const struct fci_material *
candidate(const fc_site *site, size_t i)
{
    const char *const names[] = { site->settings.material, CUSTOMARY };

    if (priced(site, 0))
        return priced(site, i);
    if (i >= sizeof names / sizeof *names)
        return NULL;
    return fci_tables_material(site->tables, names[i] ? names[i] : CUSTOMARY);
}

/* The cheapest with one material; *told and the list are kept unless that
 * costs less than what they have, or than pipes of the materials in place. */
static fc_status
try_material(const struct fci_cures *c, const struct fci_material *material,
             fc_remedy *told, struct fci_change_list *kept)
{
    const struct fci_size_aims aims = { .replace = true, .other = material };
    const double least = told->works ? told->cost : c->pipes_cost;
    struct fci_best best;
    fc_status status =
        fci_attempt_best(&best, c->site, &aims, c->options, c->messages);

    if (status == FC_OK && fci_attempt_works(&best.attempt)
        && fci_cure_holds(c, &best.attempt.trial.verdicts)
        && best.attempt.cost < least * CHEAPER) {
        fci_change_list_free(kept);
        told->works = true;
        status = fci_tell_pipes(c, &best.attempt, told)
                         && fci_take_changes(c, &best.attempt, kept)
                     ? FC_OK
                     : FC_ENOMEM;
    }
    fci_best_free(&best);
    return status;
}

/* What each is replaced by, where that is not said of each. */
static const char *
say_replaced(const struct fci_cures *c, const fc_remedy *told)
{
    const char *which = fci_which_pipes(c, told), *material = NULL;
    size_t i, n = 0;

    for (i = 0; i < told->n_pipes; i++) {
        const fc_sized_pipe *p = &told->pipes[i];

        if (!p->previous_material
            || strcmp(p->material, p->previous_material) == 0)
            continue;
        material = p->material;
        n++;
    }
    if (!which || told->n_pipes <= 2 || !material)
        return which ? fci_arena_printf(c->arena, "Replace %s.", which) : NULL;
    return n == told->n_pipes
               ? fci_arena_printf(c->arena, "Replace %s with %s.", which,
                                  material)
               : fci_arena_printf(c->arena, "Replace %s, %zu of them with %s.",
                                  which, n, material);
}

fc_status
fci_cure_material(struct fci_cures *c)
{
    fc_remedy told = fci_remedy_of(FC_CHANGE_MATERIAL, NULL, FC_NUMBER);
    struct fci_change_list list = { 0 };
    const struct fci_material *material, *tried = NULL;
    const char *names = "";
    fc_status status = FC_OK;
    size_t i;

    for (i = 0; status == FC_OK && (material = candidate(c->site, i)) != NULL;
         i++) {
        if (material == tried || !is_of_use(c->site, material))
            continue;
        names = fci_arena_printf(c->arena, "%s%s%s", names,
                                 tried ? " or " : "", material->head.name);
        tried = material;
        status = names ? try_material(c, material, &told, &list) : FC_ENOMEM;
    }
    if (status != FC_OK || !tried
        || (!told.works && c->pipes_cost < INFINITY)) {
        fci_change_list_free(&list);
        return status;
    }
    told.text =
        told.works
            ? say_replaced(c, &told)
            : fci_arena_printf(
                c->arena,
                "Pipes of %s in place of rougher ones do not work either.",
                names);
    return fci_cure_add(c, &told, &list) ? FC_OK : FC_ENOMEM;
}
