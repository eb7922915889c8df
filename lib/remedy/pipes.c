/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/pipes.c -- the cheapest pipes to replace, alone or with a lever.
 */
#include "remedy/remedies.h"
#include "size/explain.h"
#include "units/units.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define MOST_NAMED 2 /* pipes that a sentence names */

/* ---- Pipes alone ------------------------------------------------------ */

/* The site of the attempt may go: what is kept of a pipe is copied. */
static bool
copy_pipe(struct fci_arena *arena, fc_sized_pipe *pipe)
{
    const bool in_place = pipe->previous_size != NULL;

    pipe->name = fci_arena_string(arena, pipe->name);
    pipe->from = fci_arena_string(arena, pipe->from);
    pipe->material = fci_arena_string(arena, pipe->material);
    pipe->size = fci_arena_string(arena, pipe->size);
    if (in_place) {
        pipe->previous_size = fci_arena_string(arena, pipe->previous_size);
        pipe->previous_material =
            fci_arena_string(arena, pipe->previous_material);
    }
    return pipe->name && pipe->from && pipe->material && pipe->size
           && ((pipe->previous_size && pipe->previous_material) || !in_place);
}

bool
fci_tell_pipes(const struct fci_cures *c, const struct fci_attempt *a,
               fc_remedy *told)
{
    fc_sized_pipe *pipes =
        fci_arena_array(c->arena, a->changes.n + 1, sizeof *pipes);
    size_t i, n = 0;
    bool ok = pipes != NULL;

    for (i = 0; ok && i < a->problem.sizing.n_nodes; i++) {
        const size_t node = a->problem.place[i];

        if (!fci_chosen_size(&a->problem, a->choice, node))
            continue;
        pipes[n] = fci_sized_pipe(&a->problem, a->choice, node);
        ok = copy_pipe(c->arena, &pipes[n++]);
    }
    told->pipes = pipes;
    told->n_pipes = n;
    told->cost = a->cost;
    return ok;
}

bool
fci_take_changes(const struct fci_cures *c, const struct fci_attempt *a,
                 struct fci_change_list *list)
{
    bool ok = true;
    size_t i;

    for (i = 0; ok && i < a->changes.n; i++) {
        const struct fci_change *change = &a->changes.changes[i];
        const char *name = fci_arena_string(c->arena, change->name);
        const char *value =
            change->value ? fci_arena_string(c->arena, change->value) : NULL;

        ok = name && (value || !change->value)
             && fci_change_add(list, change->kind, name, change->key, value);
    }
    return ok;
}

/* "(1-1/2 in to 2 in)", "(2 in, anew)", "(to 2 in)", "(1-1/2 in to 1-1/2 in
 * copper L)" */
static const char *
what_becomes(const struct fci_cures *c, const fc_sized_pipe *pipe)
{
    if (!pipe->previous_size)
        return fci_arena_printf(c->arena, "(to %s)", pipe->size);
    if (strcmp(pipe->previous_material, pipe->material) != 0)
        return fci_arena_printf(c->arena, "(%s to %s %s)", pipe->previous_size,
                                pipe->size, pipe->material);
    if (strcmp(pipe->previous_size, pipe->size) == 0)
        return fci_arena_printf(c->arena, "(%s, new)", pipe->size);
    return fci_arena_printf(c->arena, "(%s to %s)", pipe->previous_size,
                            pipe->size);
}

const char *
fci_which_pipes(const struct fci_cures *c, const fc_remedy *told)
{
    const char *text = "", *what;
    size_t i;

    if (told->n_pipes > MOST_NAMED)
        return fci_arena_printf(c->arena, "%zu pipes", told->n_pipes);
    for (i = 0; text && i < told->n_pipes; i++) {
        what = what_becomes(c, &told->pipes[i]);
        text = what ? fci_arena_printf(c->arena, "%s%s%s %s", text,
                                       i == 0                  ? ""
                                       : i + 1 < told->n_pipes ? ", "
                                                               : " and ",
                                       told->pipes[i].name, what)
                    : NULL;
    }
    return text;
}

#define EVENTS                                                                \
    " Sized for flushes at once, not for peak demand alone; check accepts "   \
    "none of them a size smaller."

static const char *
say_pipes(const struct fci_cures *c, const fc_remedy *told, bool in_hand)
{
    const char *which = fci_which_pipes(c, told);

    return which ? fci_arena_printf(c->arena, "Replace %s.%s", which,
                                    in_hand ? EVENTS : "")
                 : NULL;
}

fc_status
fci_cure_pipes(struct fci_cures *c)
{
    const struct fci_size_aims aims = { .replace = true };
    fc_remedy told = fci_remedy_of(FC_REPLACE_PIPES, NULL, FC_NUMBER);
    struct fci_change_list list = { 0 };
    struct fci_best best;
    fc_status status =
        fci_attempt_best(&best, c->site, &aims, c->options, c->messages);
    bool ok = true;

    if (status == FC_OK)
        status = fci_explain_attempt(&best.attempt, c->arena, &told.text,
                                     c->messages);
    told.works = status == FC_OK && !told.text
                 && fci_cure_holds(c, &best.attempt.trial.verdicts);
    if (status == FC_OK && !told.text && !told.works)
        told.text =
            fci_arena_string(c->arena, "The lowest-cost sizes that work put a "
                                       "fixture over its maximum pressure.");
    if (status == FC_OK && !told.works)
        told.text = fci_arena_printf(c->arena, "%s %s",
                                     fci_has_pipe_prices(c->site)
                                         ? "None of the priced sizes works."
                                         : "No pipe sizes work.",
                                     told.text);
    if (told.works) {
        c->pipes_cost = best.attempt.cost;
        ok = fci_tell_pipes(c, &best.attempt, &told)
             && fci_take_changes(c, &best.attempt, &list);
        told.text = ok ? say_pipes(c, &told, best.in_hand > 0) : NULL;
    }
    fci_best_free(&best);
    if (status == FC_OK && ok)
        return fci_cure_add(c, &told, &list) ? FC_OK : FC_ENOMEM;
    fci_change_list_free(&list);
    return ok ? status : FC_ENOMEM;
}

/* ---- With a lever ----------------------------------------------------- */

/* How far the lever goes beside pipes: half as far as alone, or where it does
 * not do alone as far as the fixtures bear it; 0: not at all. */
static fc_status
find_steps(const struct fci_cures *c, const struct fci_pressure_lever *lever,
           int *steps)
{
    const struct fci_turned *t = &lever->turned;

    *steps = t->outcome == FCI_CURES ? t->steps / 2 : 0;
    return t->outcome == FCI_SERVES
               ? fci_find_borne(c, lever->turn, lever, t->steps - 1, steps)
               : FC_OK;
}

/* The cheapest pipes with the lever turned so far; *told is kept unless they
 * cost less than what it has, or than pipes alone. */
static fc_status
try_combined(const struct fci_cures *c, const struct fci_pressure_lever *lever,
             int steps, fc_remedy *told, struct fci_change_list *kept)
{
    const struct fci_size_aims aims = { .replace = true };
    struct fci_change_list list = { 0 };
    const double least = told->works ? told->cost : c->pipes_cost;
    struct fci_best best = { 0 };
    fc_site *site = NULL;
    fc_status status = lever->turn(c, lever, steps, &list) ? FC_OK : FC_ENOMEM;

    if (status == FC_OK)
        status = fci_site_changed(c->site, list.changes, list.n, &site,
                                  c->messages);
    if (status == FC_OK)
        status = fci_attempt_best(&best, site, &aims, c->options, c->messages);
    if (status == FC_OK && fci_attempt_works(&best.attempt)
        && fci_cure_holds(c, &best.attempt.trial.verdicts)
        && best.attempt.cost > 0 && best.attempt.cost < least) {
        fci_change_list_free(kept);
        *kept = list;
        list = (struct fci_change_list){ 0 };
        told->works = true;
        told->subject = c->site->elements[lever->element].name;
        status = fci_tell_pipes(c, &best.attempt, told)
                         && fci_take_changes(c, &best.attempt, kept)
                     ? FC_OK
                     : FC_ENOMEM;
    }
    fci_best_free(&best);
    fc_site_free(site);
    fci_change_list_free(&list);
    return status;
}

/* A pair in the list; takes over the changes. */
static fc_status
add_combined(struct fci_cures *c, fc_remedy *told,
             const struct fci_pressure_lever *lever, const char *turned,
             struct fci_change_list *list)
{
    const char *which = fci_which_pipes(c, told);

    if (!fci_buy(c, told, lever->lever,
                 c->site->elements[lever->element].part->kind, 1)) {
        fci_change_list_free(list);
        return FC_ENOMEM;
    }
    if (turned && which)
        told->text =
            fci_arena_printf(c->arena, "%s, and replace %s.", turned, which);
    return fci_cure_add(c, told, list) ? FC_OK : FC_ENOMEM;
}

/* Of all levers the one with the cheapest pipes; where levers have prices,
 * which may tip the scale, each. */
static fc_status
combine_with_pipes(struct fci_cures *c)
{
    const fc_remedy nothing = fci_remedy_of(FC_COMBINE, NULL, FC_NUMBER);
    fc_remedy told = nothing;
    struct fci_change_list list = { 0 };
    fc_status status = FC_OK;
    const struct fci_pressure_lever *used = NULL;
    const char *turned = NULL;
    size_t i;
    int steps;

    for (i = 0; i < c->n_levers && status == FC_OK; i++) {
        if (c->levers[i].of_utility)
            continue;
        status = find_steps(c, &c->levers[i], &steps);
        if (status == FC_OK && steps > 0) {
            c->with_pipes[c->levers[i].lever] = true;
            status = try_combined(c, &c->levers[i], steps, &told, &list);
        }
        if (status == FC_OK && told.works
            && (!used
                || told.subject != c->site->elements[used->element].name)) {
            used = &c->levers[i];
            turned = fci_say_turned(c, &c->levers[i], steps);
        }
        if (status == FC_OK && told.works && fci_has_prices(c)) {
            status = add_combined(c, &told, used, turned, &list);
            list = (struct fci_change_list){ 0 };
            told = nothing;
            used = NULL;
        }
    }
    if (status == FC_OK && told.works)
        return add_combined(c, &told, used, turned, &list);
    fci_change_list_free(&list);
    return status;
}

fc_status
fci_cure_combined(struct fci_cures *c)
{
    fc_status status = combine_with_pipes(c);

    if (status == FC_OK)
        status = fci_cure_zones(c);
    return status == FC_OK ? fci_cure_pairs(c) : status;
}
