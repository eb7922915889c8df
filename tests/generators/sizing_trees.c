/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/sizing_trees.c -- generated trees of pipes, and all there
 * is to choose in them.
 *
 * Most trees have whole numbers for pressures and costs: their sums are exact,
 * and many are equal.
 */
#include "generators/sizing_trees.h"

#include <check.h>
#include <math.h>
#include <stdlib.h>

/* D. H. Lehmer's, with the multiplier 48271. */
double
next_share(unsigned long *seed)
{
    *seed = *seed * 48271UL % 2147483647UL;
    return (double)*seed / 2147483648.0;
}

size_t
next_below(unsigned long *seed, size_t n)
{
    return (size_t)(next_share(seed) * (double)n);
}

/* ---- Making ------------------------------------------------------------ */

/* What a tree is like all over. */
struct kind {
    unsigned long *seed;
    int shape;    /* chain, star, bush, any */
    bool whole;   /* numbers */
    bool orderly; /* larger sizes lose less, in both states */
    int second;   /* state: free, easier than the first, harder */
    bool free_of_cost, one_cost;
    double scale; /* of pressures and costs; the less, the more are equal */
    double odd;   /* how much of it is: stays, limits, nothing allowed */
};

static bool
by_chance(const struct kind *k, double share)
{
    return next_share(k->seed) < share;
}

static double
up_to(const struct kind *k, double most)
{
    const double x = most * k->scale * next_share(k->seed);

    return k->whole ? floor(x) : x;
}

static struct kind
kind_of(unsigned long *seed, size_t pipes)
{
    struct kind k = { .seed = seed };

    k.shape = (int)next_below(seed, 4);
    k.whole = by_chance(&k, 0.7);
    k.orderly = by_chance(&k, 0.6);
    k.second = (int)next_below(seed, 4);
    k.free_of_cost = by_chance(&k, 0.05);
    k.one_cost = by_chance(&k, 0.1);
    k.scale = by_chance(&k, 0.3) ? 1 : 10;
    k.odd = by_chance(&k, 0.5) ? 0 : fmin(0.3, 2 / (double)pipes);
    return k;
}

static size_t
parent_of(const struct kind *k, size_t node)
{
    const size_t near = node < 3 ? node : 3;

    switch (k->shape) {
    case 0:
        return node - 1;
    case 1:
        return node > 1 && by_chance(k, 0.5) ? 1 : 0;
    case 2:
        return node - 1 - next_below(k->seed, near);
    default:
        return next_below(k->seed, node);
    }
}

/* The second state's figure beside the first's. */
static double
second(const struct kind *k, double first, double most)
{
    if (k->second == 0)
        return first - up_to(k, 4);
    if (k->second == 1)
        return first + up_to(k, 4);
    return up_to(k, most);
}

/* The first is mostly the smallest, which fits everywhere. */
static size_t
size_of(const struct kind *k, size_t c)
{
    if (k->orderly || (c == 0 && by_chance(k, 0.9)))
        return 1 + c % 5;
    return 1 + next_below(k->seed, 5);
}

static void
make_choice(const struct kind *k, size_t c, struct fci_sizing_choice *choice)
{
    const size_t size = size_of(k, c);
    const double least = k->orderly ? 4 * k->scale * (5 - (double)size) : 0;

    choice->nominal = 0.01 * (double)size;
    choice->stays = by_chance(k, k->odd / 2);
    choice->cost = up_to(k, 12);
    if (k->orderly)
        choice->cost = k->scale * (double)size + up_to(k, 2);
    if (k->one_cost)
        choice->cost = 3;
    if (k->free_of_cost || (choice->stays && by_chance(k, 0.7)))
        choice->cost = 0;
    choice->loss[0] = least + up_to(k, k->orderly ? 4 : 20);
    choice->loss[1] = k->orderly && k->second > 1
                          ? least + up_to(k, 4)
                          : second(k, choice->loss[0], 20);
    if (by_chance(k, k->odd / 3))
        choice->loss[next_below(k->seed, FC_STATES)] = INFINITY;
}

static void
make_node(const struct kind *k, struct sizing_tree *tree, size_t i)
{
    struct fci_sizing_node *node = &tree->nodes[i];
    size_t c;
    int s;

    node->parent = i > 0 ? parent_of(k, i) : SIZE_MAX;
    node->take[0] = by_chance(k, 0.5) ? 0 : up_to(k, 20) - 8 * k->scale;
    node->take[1] = by_chance(k, 0.1) ? up_to(k, 20) - 8 * k->scale
                                      : second(k, node->take[0], 10);
    node->need[0] = by_chance(k, 0.6) ? up_to(k, 30) : -INFINITY;
    node->need[1] = second(k, node->need[0], 30);
    for (s = 0; s < FC_STATES; s++)
        node->most[s] =
            by_chance(k, k->odd / 2) ? k->scale * 30 + up_to(k, 90) : INFINITY;
    for (s = 0; s < FC_STATES; s++) {
        node->past[s] = INFINITY;
        if (i > 0 && node->n_choices == 0 && by_chance(k, 0.7))
            node->past[s] = node->take[s] + up_to(k, 20);
    }
    node->choices = tree->choices[i];
    for (c = 0; c < MOST_SIZES; c++)
        make_choice(k, c, &tree->choices[i][c]);
}

/* Of one state, the second figures are not to be read. */
static void
spoil_second(struct sizing_tree *tree)
{
    size_t i, c;

    tree->problem.available[1] = NAN;
    for (i = 0; i < MOST_NODES; i++) {
        tree->nodes[i].take[1] = NAN;
        tree->nodes[i].need[1] = NAN;
        tree->nodes[i].most[1] = NAN;
        tree->nodes[i].past[1] = NAN;
        for (c = 0; c < MOST_SIZES; c++)
            tree->choices[i][c].loss[1] = NAN;
    }
}

void
sizing_tree_make(struct sizing_tree *tree, unsigned long seed, size_t pipes,
                 size_t sizes)
{
    struct kind k;
    size_t n = 1, i, choosing = 0;

    seed = 1 + seed * 7919 % 2147483646UL;
    for (i = 0; i < 8; i++)
        next_share(&seed); /* near seeds begin alike */
    k = kind_of(&seed, pipes);
    pipes = 1 + (size_t)(sqrt(next_share(&seed)) * (double)pipes);
    tree->nodes[0].n_choices = 0;
    for (; choosing < pipes && n < MOST_NODES; n++) {
        const bool chooses = by_chance(&k, 0.7);

        choosing += chooses;
        tree->nodes[n].n_choices =
            chooses ? 1 + (size_t)(sqrt(next_share(&seed)) * (double)sizes)
                    : 0;
    }
    for (i = 0; i < MOST_NODES; i++)
        make_node(&k, tree, i);
    tree->problem.nodes = tree->nodes;
    tree->problem.n_nodes = n;
    tree->problem.states = by_chance(&k, 0.6) ? 2 : 1;
    tree->problem.available[0] = tree->problem.available[1] = 1e6;
    tree->problem.most_points = 0;
    if (tree->problem.states == 1)
        spoil_second(tree);
}

/* ---- Weighing ---------------------------------------------------------- */

static bool
chooses(const struct fci_sizing *problem, size_t node)
{
    return node > 0 && problem->nodes[node].n_choices > 0;
}

/* Against the next choice upstream. */
static bool
may_be_fed(const struct fci_sizing *problem, const size_t *choice, size_t node)
{
    const struct fci_sizing_choice *own =
        &problem->nodes[node].choices[choice[node]];
    size_t up = problem->nodes[node].parent;

    while (up > 0 && !chooses(problem, up))
        up = problem->nodes[up].parent;
    return up == 0 || own->stays
           || own->nominal
                  < 1.001 * problem->nodes[up].choices[choice[up]].nominal;
}

/* At the root's outlet.  A loss without end makes the need so. */
static double
need_of(const struct fci_sizing *problem, const size_t *choice, int s)
{
    double need[MOST_NODES];
    size_t i;

    for (i = 0; i < problem->n_nodes; i++)
        need[i] = problem->nodes[i].need[s];
    for (i = problem->n_nodes; i-- > 0;) {
        const struct fci_sizing_node *node = &problem->nodes[i];
        double take = node->take[s];

        if (need[i] > node->most[s]) {
            if (i == 0 || isinf(node->past[s]))
                return INFINITY;
            take = node->past[s];
        }
        if (i == 0)
            break;
        if (chooses(problem, i))
            take += node->choices[choice[i]].loss[s];
        if (isinf(take)) /* even where nothing is needed */
            return INFINITY;
        need[node->parent] = fmax(need[node->parent], need[i] + take);
    }
    return need[0];
}

bool
sizing_tree_weigh(const struct fci_sizing *problem, const size_t *choice,
                  struct outcome *outcome)
{
    size_t i;
    int s;

    outcome->cost = 0;
    for (i = 1; i < problem->n_nodes; i++) {
        if (!chooses(problem, i))
            continue;
        if (!may_be_fed(problem, choice, i))
            return false;
        outcome->cost += problem->nodes[i].choices[choice[i]].cost;
    }
    for (s = 0; s < FC_STATES; s++)
        outcome->need[s] =
            s < problem->states ? need_of(problem, choice, s) : 0;
    return true;
}

/* ---- All of them ------------------------------------------------------- */

/* The next of all, as a counter goes on; false: that was the last. */
static bool
go_on(const struct fci_sizing *problem, size_t *choice)
{
    size_t i;

    for (i = 1; i < problem->n_nodes; i++) {
        if (!chooses(problem, i))
            continue;
        if (++choice[i] < problem->nodes[i].n_choices)
            return true;
        choice[i] = 0;
    }
    return false;
}

struct outcomes
sizing_tree_try_all(const struct fci_sizing *problem)
{
    struct outcomes outcomes = { NULL, 0 };
    size_t choice[MOST_NODES] = { 0 }, n = 1, i;

    for (i = 1; i < problem->n_nodes; i++)
        if (chooses(problem, i))
            n *= problem->nodes[i].n_choices;
    outcomes.all = malloc(n * sizeof *outcomes.all);
    ck_assert_ptr_nonnull(outcomes.all);
    do {
        ck_assert_uint_lt(outcomes.n, n);
        if (sizing_tree_weigh(problem, choice, &outcomes.all[outcomes.n]))
            outcomes.n++;
    } while (go_on(problem, choice));
    return outcomes;
}

bool
outcome_is_served(const struct fci_sizing *problem,
                  const struct outcome *outcome,
                  const double available[FC_STATES])
{
    int s;

    for (s = 0; s < problem->states; s++)
        if (!(outcome->need[s] <= available[s])
            || outcome->need[s] == INFINITY)
            return false;
    return true;
}

double
least_cost(const struct fci_sizing *problem, const struct outcomes *outcomes,
           const double available[FC_STATES])
{
    double least = INFINITY;
    size_t i;

    for (i = 0; i < outcomes->n; i++)
        if (outcome_is_served(problem, &outcomes->all[i], available))
            least = fmin(least, outcomes->all[i].cost);
    return least;
}
