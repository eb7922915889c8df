/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/least_cost/window.c -- which needs matter where, before sizes are
 * sought.
 *
 * Bottom up, the least need there can be at each outlet under each cap; then
 * top down, what can arrive there at most and what is needed there anyway.
 */
#include "least_cost/plan.h"

#include <math.h>

/* ---- The least needs --------------------------------------------------- */

static void
begin_least(struct fci_plan *plan, size_t node)
{
    size_t i;
    int s;

    for (i = plan->first_window[node]; i < plan->first_window[node + 1]; i++)
        for (s = 0; s < plan->n_states; s++)
            plan->windows[i].least[s] =
                plan->problem->nodes[node].need[plan->states[s]];
}

/* A greater need at a node's outlet cannot be met. */
static double
limit_of(const struct fci_plan *plan, size_t node, int s)
{
    const struct fci_sizing_node *v = &plan->problem->nodes[node];

    return isinf(v->past[plan->states[s]]) ? v->most[plan->states[s]]
                                           : INFINITY;
}

static void
bar_what_is_not_served(struct fci_plan *plan, size_t node)
{
    size_t i;
    int s;

    for (i = plan->first_window[node]; i < plan->first_window[node + 1]; i++)
        for (s = 0; s < plan->n_states; s++)
            if (plan->windows[i].least[s] > limit_of(plan, node, s))
                plan->windows[i].least[s] = INFINITY;
}

/* `best` becomes the less of itself and of the need at the inlet. */
static void
try_choice(const struct fci_plan *plan, size_t node, size_t cap, size_t choice,
           double best[FC_STATES])
{
    const struct fci_window *outlet = fci_plan_window(plan, node, cap);
    struct fci_shift shift;
    int s;

    if (!fci_plan_shift(plan, node, choice, &shift))
        return;
    for (s = 0; s < plan->n_states; s++)
        best[s] = fmin(best[s], fci_shifted(&shift, s, outlet->least[s]));
}

static void
raise_needs(const struct fci_plan *plan, struct fci_window *outlet,
            const double need[FC_STATES])
{
    int s;

    for (s = 0; s < plan->n_states; s++)
        outlet->least[s] = fmax(outlet->least[s], need[s]);
}

/* What a node needs at its inlet raises its parent's least needs. */
static void
pass_upstream(struct fci_plan *plan, size_t node)
{
    const struct fci_sizing_node *v = &plan->problem->nodes[node];
    const size_t first = plan->first_choice[node];
    double best[FC_STATES] = { INFINITY, INFINITY };
    const double *caps;
    const size_t n = fci_plan_caps(plan, v->parent, &caps);
    size_t cap, at = 0;

    for (cap = 0; cap < n; cap++) {
        if (!fci_plan_chooses(plan, node)) {
            best[0] = best[1] = INFINITY;
            try_choice(plan, node, cap, 0, best);
        }
        for (;
             at < v->n_choices && fci_plan_chooses(plan, node)
             && fci_plan_fits(&v->choices[plan->order[first + at]], caps[cap]);
             at++) {
            const uint32_t k = plan->order[first + at];

            try_choice(plan, node, plan->cap_of[first + k], k, best);
        }
        raise_needs(plan, fci_plan_window(plan, v->parent, cap), best);
    }
}

void
fci_plan_least(struct fci_plan *plan)
{
    size_t i;

    for (i = 0; i < plan->problem->n_nodes; i++)
        begin_least(plan, i);
    for (i = plan->problem->n_nodes; i-- > 0;) {
        bar_what_is_not_served(plan, i);
        if (i > 0)
            pass_upstream(plan, i);
    }
}

/* ---- The windows ------------------------------------------------------- */

/* Taking a shift off and adding it again may be out by rounding.  Windows are
 * so much wider; whether a need is served is judged by its own sum. */
static double
margin(double need, double shift)
{
    return 1e-12 * (fabs(need) + fabs(shift));
}

/* The greatest need at the outlet that asks for no more at the inlet. */
static double
served(const struct fci_shift *shift, int s, double need)
{
    return need - shift->past[s] > shift->most[s]
               ? need - shift->past[s]
               : fmin(need - shift->take[s], shift->most[s]);
}

static double
lower(const struct fci_shift *shift, int s, double need)
{
    const double out = served(shift, s, need);

    return isinf(need) ? need : out - margin(need, need - out);
}

static double
upper(const struct fci_shift *shift, int s, double need)
{
    const double out = served(shift, s, need);

    return isinf(need) ? need : out + margin(need, need - out);
}

/* An outlet's window grows by that of the inlet before a choice. */
static void
widen(const struct fci_plan *plan, const struct fci_window *inlet,
      const struct fci_shift *shift, struct fci_window *outlet)
{
    int s;

    for (s = 0; s < plan->n_states; s++) {
        outlet->least[s] =
            fmin(outlet->least[s], lower(shift, s, inlet->least[s]));
        outlet->most[s] =
            fmax(outlet->most[s], upper(shift, s, inlet->most[s]));
    }
}

/* What comes from upstream meets the node's own limits.  A need below `least`
 * is raised to it, which must not put it over `most`. */
static void
close_window(const struct fci_plan *plan, size_t node,
             const struct fci_window *come, struct fci_window *outlet)
{
    int s;

    for (s = 0; s < plan->n_states; s++) {
        outlet->most[s] = fmin(come->most[s], limit_of(plan, node, s));
        outlet->least[s] =
            fmax(outlet->least[s], fmin(come->least[s], outlet->most[s]));
    }
}

static struct fci_window
no_window(void)
{
    const struct fci_window w = { { INFINITY, INFINITY },
                                  { -INFINITY, -INFINITY } };

    return w;
}

static void
narrow_plain(struct fci_plan *plan, size_t node)
{
    const size_t parent = plan->problem->nodes[node].parent;
    const double *caps;
    const size_t n = fci_plan_caps(plan, node, &caps);
    struct fci_shift shift;
    size_t cap;

    for (cap = 0; cap < n; cap++) {
        struct fci_window come = no_window();

        if (fci_plan_shift(plan, node, 0, &shift))
            widen(plan, fci_plan_window(plan, parent, cap), &shift, &come);
        close_window(plan, node, &come, fci_plan_window(plan, node, cap));
    }
}

/* A choice may be fed through every cap from the least that it fits on, so
 * caps and choices go down together while `inlet` takes in the caps' windows.
 */
static void
gather_by_size(struct fci_plan *plan, size_t node, struct fci_window *come)
{
    static const struct fci_shift nothing = { .most = { INFINITY, INFINITY } };
    const struct fci_sizing_node *v = &plan->problem->nodes[node];
    const size_t first = plan->first_choice[node];
    struct fci_window inlet = no_window();
    const double *caps;
    size_t cap = fci_plan_caps(plan, v->parent, &caps), at;
    struct fci_shift shift;

    for (at = v->n_choices; at-- > 0;) {
        const uint32_t k = plan->order[first + at];

        for (; cap > 0 && fci_plan_fits(&v->choices[k], caps[cap - 1]); cap--)
            widen(plan, fci_plan_window(plan, v->parent, cap - 1), &nothing,
                  &inlet);
        if (fci_plan_shift(plan, node, k, &shift))
            widen(plan, &inlet, &shift, &come[plan->cap_of[first + k]]);
    }
}

static void
narrow_choosing(struct fci_plan *plan, size_t node, struct fci_window *come)
{
    const double *caps;
    const size_t n = fci_plan_caps(plan, node, &caps);
    size_t cap;

    for (cap = 0; cap < n; cap++)
        come[cap] = no_window();
    gather_by_size(plan, node, come);
    for (cap = 0; cap < n; cap++)
        close_window(plan, node, &come[cap], fci_plan_window(plan, node, cap));
}

static void
narrow_root(struct fci_plan *plan)
{
    struct fci_window come = no_window();
    int s;

    for (s = 0; s < plan->n_states; s++) {
        come.least[s] = -INFINITY;
        come.most[s] = plan->problem->available[plan->states[s]];
    }
    close_window(plan, 0, &come, fci_plan_window(plan, 0, 0));
}

fc_status
fci_plan_narrow(struct fci_plan *plan)
{
    const size_t n = plan->problem->n_nodes;
    struct fci_window *come;
    size_t most = 0, i;

    for (i = 0; i < n; i++)
        if (plan->problem->nodes[i].n_choices > most)
            most = plan->problem->nodes[i].n_choices;
    come = fci_arena_array(&plan->arena, most + 1, sizeof *come);
    if (!come)
        return FC_ENOMEM;
    narrow_root(plan);
    for (i = 1; i < n; i++)
        if (fci_plan_chooses(plan, i))
            narrow_choosing(plan, i, come);
        else
            narrow_plain(plan, i);
    return FC_OK;
}
