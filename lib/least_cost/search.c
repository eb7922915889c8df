/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/least_cost/search.c -- the frontiers of all nodes, from the leaves to
 * the root.
 *
 * A point kept takes 12 bytes with one state and 28 with two: needs and
 * choice, and with two the cost.
 */
#include "least_cost/search.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Unless told how long a frontier may be, the points of all of them are
 * limited, and so are memory and time: to a quarter of a gigabyte with one
 * state. */
#define MOST_KEPT 20000000u
#define MOST_KEPT_OF_TWO 1500000u /* they take some 20 times as long each */
#define HASTE 16u
#define LARGEST_PART 16u /* of all that one frontier may have */
#define TIMES_SHARE 16u  /* that it may have, as most have far less */
#define LEAST_SHARE 64u
#define LEAST_LIMIT 4u

/* ---- Limits ------------------------------------------------------------ */

static size_t
smaller(size_t a, size_t b)
{
    return a < b ? a : b;
}

static size_t
larger(size_t a, size_t b)
{
    return a > b ? a : b;
}

/* With one state, where few trees come near the limit, the first half goes to
 * whoever comes; otherwise what is left is shared out among those still to
 * come. */
static size_t
limit_now(const struct fci_search *s)
{
    const bool two = s->plan->n_states > 1;
    const size_t asked = s->plan->problem->most_points;
    size_t all = two ? MOST_KEPT_OF_TWO : MOST_KEPT, share;

    if (asked > 0)
        return larger(asked, LEAST_LIMIT);
    if (s->kind == FCI_HASTY)
        all /= HASTE;
    if (!two && s->kept < all / 2)
        return all / LARGEST_PART;
    share = s->kept < all ? (all - s->kept) / (s->left + 1) : 0;
    return larger(smaller(TIMES_SHARE * share, all / LARGEST_PART),
                  LEAST_SHARE);
}

static bool
limit(struct fci_search *s, struct fci_frontier *f)
{
    const size_t most = limit_now(s);

    if (f->n > s->longest)
        s->longest = f->n;
    if (f->n <= most)
        return true;
    s->thinned = true;
    return fci_frontier_thin(&s->work, f, most, s->kind == FCI_OPTIMISTIC,
                             &s->spare);
}

static void
swap(struct fci_frontier *a, struct fci_frontier *b)
{
    const struct fci_frontier kept = *a;

    *a = *b;
    *b = kept;
}

/* ---- What hangs behind an outlet --------------------------------------- */

static bool
load(struct fci_search *s, size_t node, size_t cap, struct fci_frontier *f)
{
    const struct fci_family *family = &s->families[node];
    const size_t first = family->first[cap];
    size_t i;

    f->n = family->first[cap + 1] - first;
    if (!fci_frontier_reserve(f, f->n))
        return false;
    for (i = 0; i < f->n; i++) {
        struct fci_candidate *candidate = &f->candidates[i];

        candidate->need[0] = family->need[0][first + i];
        candidate->need[1] =
            s->plan->n_states > 1 ? family->need[1][first + i] : 0;
        candidate->cost = family->cost[first + i];
        candidate->choice = 0;
    }
    return true;
}

/* Two halves into the second. */
static bool
merge(struct fci_search *s, struct fci_frontier *a, struct fci_frontier *b)
{
    if (!fci_frontier_merge(&s->work, a, b, &s->spare))
        return false;
    swap(&s->spare, b);
    return limit(s, b);
}

/* Many children are merged as equals, like the bits of their number, so that
 * each candidate takes part in few mergers. */
static bool
merge_children(struct fci_search *s, size_t node, size_t cap)
{
    const size_t *child = s->plan->children + s->plan->first_child[node];
    const size_t n =
        s->plan->first_child[node + 1] - s->plan->first_child[node];
    size_t i, bit;
    bool any = false;

    for (i = 0; i < n; i++) {
        if (!load(s, child[i], cap, &s->behind))
            return false;
        for (bit = 0; i >> bit & 1; bit++)
            if (!merge(s, &s->merged[bit], &s->behind))
                return false;
        swap(&s->behind, &s->merged[bit]);
    }
    for (bit = 0; bit < 64 && n >> bit > 0; bit++) {
        if (!(n >> bit & 1))
            continue;
        if (any && !merge(s, &s->merged[bit], &s->behind))
            return false;
        if (!any)
            swap(&s->merged[bit], &s->behind);
        any = true;
    }
    return true;
}

/* The frontier behind an outlet under a cap, into `behind`. */
static bool
look_behind(struct fci_search *s, size_t node, size_t cap)
{
    const struct fci_plan *plan = s->plan;
    const struct fci_window *window = fci_plan_window(plan, node, cap);
    int i;

    s->behind.n = 0;
    for (i = 0; i < plan->n_states; i++)
        if (!(window->least[i] <= window->most[i])
            || window->least[i] == INFINITY)
            return true;
    if (plan->first_child[node + 1] > plan->first_child[node])
        return merge_children(s, node, cap);
    if (!fci_frontier_reserve(&s->behind, 1))
        return false;
    memset(s->behind.candidates, 0, sizeof *s->behind.candidates);
    for (i = 0; i < plan->n_states; i++)
        s->behind.candidates->need[i] = window->least[i];
    s->behind.n = 1;
    return true;
}

/* ---- An inlet ---------------------------------------------------------- */

/* What is needed at the outlet becomes what is needed at the inlet; the order
 * stays. */
static void
shift_all(const struct fci_shift *shift, int n_states, struct fci_frontier *f)
{
    size_t i;
    int s;

    for (i = 0; i < f->n; i++)
        for (s = 0; s < n_states; s++)
            f->candidates[i].need[s] =
                fci_shifted(shift, s, f->candidates[i].need[s]);
}

/* What is behind, with a choice, joins what the others make. */
static bool
join(struct fci_search *s, size_t node, size_t cap, uint32_t k,
     const struct fci_window *window)
{
    struct fci_candidate choice = { .choice = k };
    struct fci_shift shift;

    if (!fci_plan_shift(s->plan, node, k, &shift))
        return true;
    if (fci_plan_chooses(s->plan, node))
        choice.cost = s->plan->problem->nodes[node].choices[k].cost;
    if (!look_behind(s, node, cap))
        return false;
    if (s->behind.n == 0)
        return true;
    shift_all(&shift, s->plan->n_states, &s->behind);
    if (!fci_frontier_join(&s->work, &s->joined, &s->behind, &choice, window,
                           &s->spare))
        return false;
    swap(&s->joined, &s->spare);
    return limit(s, &s->joined);
}

/* The part of `joined` that matters under one cap goes to `gathered`. */
static bool
gather(struct fci_search *s, size_t cap, const struct fci_window *window)
{
    static const struct fci_candidate nothing = { .cost = 0 };
    static const struct fci_frontier none = { NULL, 0, 0 };
    struct fci_frontier *const all = &s->gathered, *const part = &s->spare;

    if (!fci_frontier_join(&s->work, &s->joined, &none, &nothing, window, part)
        || !fci_frontier_reserve(all, all->n + part->n))
        return false;
    if (part->n > 0)
        memcpy(all->candidates + all->n, part->candidates,
               part->n * sizeof *part->candidates);
    all->n += part->n;
    s->ends[cap] = all->n;
    return true;
}

/* Under each cap, the windows of it and of all greater ones together: what is
 * joined there is there for them too. */
static void
find_hulls(struct fci_search *s, size_t parent, size_t n)
{
    size_t cap;
    int i;

    for (cap = n; cap-- > 0;) {
        s->hulls[cap] = *fci_plan_window(s->plan, parent, cap);
        for (i = 0; cap + 1 < n && i < s->plan->n_states; i++) {
            s->hulls[cap].least[i] =
                fmin(s->hulls[cap].least[i], s->hulls[cap + 1].least[i]);
            s->hulls[cap].most[i] =
                fmax(s->hulls[cap].most[i], s->hulls[cap + 1].most[i]);
        }
    }
}

/* Where a node chooses, each cap lets in some choices more. */
static bool
join_choices(struct fci_search *s, size_t node)
{
    const struct fci_plan *plan = s->plan;
    const struct fci_sizing_node *v = &plan->problem->nodes[node];
    const size_t first = plan->first_choice[node];
    const double *caps;
    const size_t n = fci_plan_caps(plan, v->parent, &caps);
    size_t cap, at = 0;

    s->joined.n = 0;
    find_hulls(s, v->parent, n);
    for (cap = 0; cap < n; cap++) {
        for (;
             at < v->n_choices
             && fci_plan_fits(&v->choices[plan->order[first + at]], caps[cap]);
             at++) {
            const uint32_t k = plan->order[first + at];

            if (!join(s, node, plan->cap_of[first + k], k, &s->hulls[cap]))
                return false;
        }
        if (!gather(s, cap, fci_plan_window(plan, v->parent, cap)))
            return false;
    }
    return true;
}

static bool
pass_through(struct fci_search *s, size_t node)
{
    const size_t parent = s->plan->problem->nodes[node].parent;
    const double *caps;
    const size_t n = fci_plan_caps(s->plan, parent, &caps);
    size_t cap;

    for (cap = 0; cap < n; cap++) {
        const struct fci_window *w = fci_plan_window(s->plan, parent, cap);

        s->joined.n = 0;
        if (!join(s, node, cap, 0, w) || !gather(s, cap, w))
            return false;
    }
    return true;
}

/* ---- Families ---------------------------------------------------------- */

static void
free_family(struct fci_family *family)
{
    free(family->first);
    free(family->need[0]);
    free(family->need[1]);
    free(family->cost);
    free(family->choice);
    memset(family, 0, sizeof *family);
}

static bool
allocate_family(struct fci_family *family, size_t caps, size_t n, int n_states)
{
    int i;

    family->first = calloc(caps + 1, sizeof *family->first);
    family->cost = calloc(n + 1, sizeof *family->cost);
    family->choice = calloc(n + 1, sizeof *family->choice);
    for (i = 0; i < n_states; i++)
        family->need[i] = calloc(n + 1, sizeof *family->need[i]);
    return family->first && family->cost && family->choice && family->need[0]
           && family->need[n_states - 1];
}

/* What was gathered for a node, to be kept. */
static bool
keep(struct fci_search *s, size_t node, size_t caps)
{
    struct fci_family *const family = &s->families[node];
    size_t i;
    int k;

    if (!allocate_family(family, caps, s->gathered.n, s->plan->n_states))
        return false;
    for (i = 0; i < caps; i++)
        family->first[i + 1] = s->ends[i];
    for (i = 0; i < s->gathered.n; i++) {
        const struct fci_candidate *candidate = &s->gathered.candidates[i];

        for (k = 0; k < s->plan->n_states; k++)
            family->need[k][i] = candidate->need[k];
        family->cost[i] = candidate->cost;
        family->choice[i] = candidate->choice;
    }
    s->kept += s->gathered.n;
    s->left -= caps;
    return true;
}

/* Once a node has taken up its children's families, what was only for it. */
static void
let_go(struct fci_search *s, size_t node)
{
    const struct fci_plan *plan = s->plan;
    size_t i;

    for (i = plan->first_child[node]; i < plan->first_child[node + 1]; i++) {
        struct fci_family *const family = &s->families[plan->children[i]];

        if (s->kind == FCI_OPTIMISTIC) {
            free_family(family);
        } else if (plan->n_states == 1) {
            free(family->cost);
            family->cost = NULL;
        }
    }
}

/* ---- All --------------------------------------------------------------- */

static bool
do_node(struct fci_search *s, size_t node)
{
    const double *caps;
    size_t n;

    if (node == 0) {
        if (!look_behind(s, node, 0))
            return false;
        swap(&s->behind, &s->root);
        return true;
    }
    n = fci_plan_caps(s->plan, s->plan->problem->nodes[node].parent, &caps);
    s->gathered.n = 0;
    return (fci_plan_chooses(s->plan, node) ? join_choices(s, node)
                                            : pass_through(s, node))
           && keep(s, node, n);
}

/* Room for as many caps as there are at most. */
static bool
allocate(struct fci_search *s)
{
    const struct fci_plan *plan = s->plan;
    const size_t n = plan->problem->n_nodes;
    const double *caps;
    size_t i, most = 1, here;

    for (i = 1; i < n; i++) {
        here = fci_plan_caps(plan, plan->problem->nodes[i].parent, &caps);
        s->left += here;
        if (here > most)
            most = here;
    }
    s->families = fci_arena_array(&s->arena, n, sizeof *s->families);
    s->ends = fci_arena_array(&s->arena, most, sizeof *s->ends);
    s->hulls = fci_arena_array(&s->arena, most, sizeof *s->hulls);
    return !s->arena.failed;
}

fc_status
fci_search_run(struct fci_search *search, const struct fci_plan *plan,
               enum fci_search_kind kind)
{
    size_t i;

    memset(search, 0, sizeof *search);
    search->plan = plan;
    search->kind = kind;
    search->work.n_states = plan->n_states;
    if (!allocate(search))
        return FC_ENOMEM;
    for (i = plan->problem->n_nodes; i-- > 0;) {
        if (!do_node(search, i))
            return FC_ENOMEM;
        let_go(search, i);
    }
    return FC_OK;
}

void
fci_search_tidy(struct fci_search *search)
{
    size_t i;

    fci_frontier_work_free(&search->work);
    memset(&search->work, 0, sizeof search->work);
    fci_frontier_free(&search->behind);
    fci_frontier_free(&search->joined);
    fci_frontier_free(&search->gathered);
    fci_frontier_free(&search->spare);
    for (i = 0; i < sizeof search->merged / sizeof *search->merged; i++)
        fci_frontier_free(&search->merged[i]);
}

void
fci_search_free(struct fci_search *search)
{
    size_t i;

    fci_search_tidy(search);
    for (i = 0; search->families && i < search->plan->problem->n_nodes; i++)
        free_family(&search->families[i]);
    fci_arena_free(&search->arena);
    fci_frontier_free(&search->root);
}
