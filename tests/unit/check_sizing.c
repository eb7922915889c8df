/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_sizing.c -- least-cost sizes, against all there is to
 * choose. */
#include "generators/sites.h"
#include "least_cost/least_cost.h"
#include "least_cost/least_need.h"
#include "generators/sizing_trees.h"

#include <math.h>

#define CLOSE 1e-12 /* relative: sums in another order */
#define TREES 300
#define LARGE_TREES 120

/* Endless ones are alike too; Check's tolerance would have to be over 0. */
static bool
is_close(double a, double b)
{
    return a == b || fabs(a - b) <= CLOSE * fabs(b);
}

/* So much that rounding has no say. */
static double
a_little_over(double need, double share)
{
    return isinf(need) ? need : need + share * fabs(need);
}

static struct fci_sized *
sized_of(const struct fci_sizing *problem)
{
    struct fci_sized *sized = NULL;

    ck_assert_int_eq(fci_sizing_run(problem, &sized), FC_OK);
    ck_assert_ptr_nonnull(sized);
    return sized;
}

/* What the choice for so much costs, and that it is served and costs that;
 * INFINITY: none is. */
static double
cost_for(const struct fci_sizing *problem, const struct fci_sized *sized,
         const double available[FC_STATES])
{
    size_t choice[MOST_NODES];
    struct outcome outcome;
    double cost = NAN;
    size_t i;

    if (!fci_sized_choose(sized, available, choice, &cost))
        return INFINITY;
    for (i = 0; i < problem->n_nodes; i++)
        if (i > 0 && problem->nodes[i].n_choices > 0)
            ck_assert_uint_lt(choice[i], problem->nodes[i].n_choices);
        else
            ck_assert_uint_eq(choice[i], 0);
    ck_assert(sizing_tree_weigh(problem, choice, &outcome));
    ck_assert(outcome_is_served(problem, &outcome, available));
    ck_assert_msg(is_close(cost, outcome.cost), "%.17g for %.17g", cost,
                  outcome.cost);
    return cost;
}

static void
check_least(const struct fci_sizing *problem, const struct fci_sized *sized,
            const struct outcomes *outcomes, const double available[FC_STATES])
{
    const double want = least_cost(problem, outcomes, available);
    const double cost = cost_for(problem, sized, available);

    ck_assert_msg(is_close(cost, want), "%.17g for %g and %g, least %.17g",
                  cost, available[0], available[1], want);
}

/* ---- Against all choices ----------------------------------------------- */

/* One state stands for the other where it needs more for every choice.  It is
 * then to have no more available. */
static void
even_out(const struct outcomes *outcomes, double available[FC_STATES])
{
    bool first_is_harder = true, second_is_harder = true;
    size_t i;

    for (i = 0; i < outcomes->n; i++) {
        const double *need = outcomes->all[i].need;

        first_is_harder = first_is_harder && need[0] >= need[1];
        second_is_harder = second_is_harder && need[1] >= need[0];
    }
    if (first_is_harder)
        available[1] = fmax(available[0], available[1]);
    if (second_is_harder)
        available[0] = fmax(available[0], available[1]);
}

/* Just what one choice needs, or somewhat more. */
static void
query(const struct sizing_tree *tree, const struct outcomes *outcomes,
      unsigned long *seed, double available[FC_STATES])
{
    const size_t n = outcomes->n;
    const double more = next_below(seed, 2) ? 0 : next_share(seed);
    int s;

    for (s = 0; s < FC_STATES; s++) {
        const struct outcome *a = &outcomes->all[next_below(seed, n)];

        available[s] = fmin(a_little_over(a->need[s], 1e-9) + more,
                            tree->problem.available[s]);
    }
}

START_TEST(least_of_all)
{
    unsigned long seed = 1 + (unsigned long)_i;
    struct sizing_tree tree;
    struct outcomes outcomes;
    struct fci_sized *sized;
    double available[FC_STATES];
    int k;

    sizing_tree_make(&tree, seed, 7, 5);
    outcomes = sizing_tree_try_all(&tree.problem);
    sized = sized_of(&tree.problem);
    check_least(&tree.problem, sized, &outcomes, tree.problem.available);
    ck_assert(!fci_sized_thinned(sized));
    for (k = 0; k < 60 && outcomes.n > 0; k++) {
        query(&tree, &outcomes, &seed, available);
        even_out(&outcomes, available);
        check_least(&tree.problem, sized, &outcomes, available);
    }
    fci_sized_free(sized);
    free(outcomes.all);
}
END_TEST

/* The most that is available bounds the search itself. */
START_TEST(least_with_little)
{
    unsigned long seed = 1 + (unsigned long)_i;
    struct sizing_tree tree;
    struct outcomes outcomes;
    int k;

    sizing_tree_make(&tree, seed, 6, 5);
    outcomes = sizing_tree_try_all(&tree.problem);
    for (k = 0; k < 25 && outcomes.n > 0; k++) {
        double *available = tree.problem.available;
        const struct fci_sizing_point *p;
        struct fci_sized *sized;
        double want;
        size_t n;

        available[0] = available[1] = 1e6;
        query(&tree, &outcomes, &seed, available);
        sized = sized_of(&tree.problem);
        check_least(&tree.problem, sized, &outcomes, available);
        want = least_cost(&tree.problem, &outcomes, available);
        ck_assert(is_close(fci_sized_bound(sized), want));
        ck_assert(fci_sized_is_least(sized));
        for (p = fci_sized_points(sized, &n); n > 0; p++, n--)
            ck_assert(
                p->need[0] <= available[0]
                && (tree.problem.states < 2 || p->need[1] <= available[1]));
        fci_sized_free(sized);
    }
    free(outcomes.all);
}
END_TEST

/* Each point is the least cost for what it needs, and undercuts or needs less
 * than any other. */
START_TEST(points)
{
    struct sizing_tree tree;
    struct outcomes outcomes;
    struct fci_sized *sized;
    const struct fci_sizing_point *p;
    double before = 0;
    size_t n, i, j;

    sizing_tree_make(&tree, 1 + (unsigned long)_i, 7, 5);
    outcomes = sizing_tree_try_all(&tree.problem);
    sized = sized_of(&tree.problem);
    p = fci_sized_points(sized, &n);
    ck_assert((n == 0)
              == isinf(least_cost(&tree.problem, &outcomes,
                                  tree.problem.available)));
    for (i = 0; i < n; i++) {
        /* A need may be out by the rounding of a few sums. */
        const double need[] = { a_little_over(p[i].need[0], CLOSE),
                                a_little_over(p[i].need[1], CLOSE) };
        const double want = least_cost(&tree.problem, &outcomes, need);

        ck_assert(is_close(p[i].cost, want));
        check_least(&tree.problem, sized, &outcomes, need);
        ck_assert_double_ge(p[i].cost, before);
        before = p[i].cost;
        for (j = 0; j < i; j++)
            ck_assert(p[i].need[0] < p[j].need[0]
                      || p[i].need[1] < p[j].need[1]);
    }
    fci_sized_free(sized);
    free(outcomes.all);
}
END_TEST

/* Whatever the other state needs; with the choice that needs so little. */
START_TEST(least_need)
{
    struct sizing_tree tree;
    struct outcomes outcomes;
    struct outcome outcome;
    size_t choice[MOST_NODES], blocked, i;
    int s;

    sizing_tree_make(&tree, 1 + (unsigned long)_i, 7, 5);
    outcomes = sizing_tree_try_all(&tree.problem);
    for (s = 0; s < tree.problem.states; s++) {
        double want = INFINITY, need = NAN;

        for (i = 0; i < outcomes.n; i++)
            want = fmin(want, outcomes.all[i].need[s]);
        ck_assert_int_eq(
            fci_sizing_least(&tree.problem, s, choice, &need, &blocked),
            FC_OK);
        ck_assert(need == want || fabs(need - want) <= CLOSE * 100);
        if (isinf(need) && need > 0)
            continue;
        ck_assert(sizing_tree_weigh(&tree.problem, choice, &outcome));
        ck_assert(outcome.need[s] == need
                  || fabs(outcome.need[s] - need) <= CLOSE * 100);
    }
    free(outcomes.all);
}
END_TEST

/* That the trees have all that they are made to have. */
START_TEST(trees_are_of_all_kinds)
{
    int two = 0, choices = 0, none = 0, many_points = 0;
    struct sizing_tree tree;
    unsigned long i;
    size_t n;

    for (i = 0; i < TREES; i++) {
        struct outcomes outcomes;
        struct fci_sized *sized;

        sizing_tree_make(&tree, 1 + i, 7, 5);
        outcomes = sizing_tree_try_all(&tree.problem);
        sized = sized_of(&tree.problem);
        fci_sized_points(sized, &n);
        two += tree.problem.states == 2;
        choices += outcomes.n > 1000;
        none += n == 0;
        many_points += n > 10;
        fci_sized_free(sized);
        free(outcomes.all);
    }
    ck_assert_int_ge(two, TREES / 3);
    ck_assert_int_le(two, 2 * TREES / 3);
    ck_assert_int_ge(choices, TREES / 10);
    ck_assert_int_ge(none, TREES / 50);
    ck_assert_int_ge(many_points, TREES / 10);
}
END_TEST

/* ---- Thinned ----------------------------------------------------------- */

/* With one state, something that serves always stays. */
START_TEST(thinned)
{
    unsigned long seed = 1 + (unsigned long)_i;
    struct sizing_tree tree;
    struct outcomes outcomes;
    int k;

    sizing_tree_make(&tree, seed, 7, 5);
    outcomes = sizing_tree_try_all(&tree.problem);
    for (k = 0; k < 8 && outcomes.n > 0; k++) {
        double *available = tree.problem.available;
        struct fci_sized *sized;
        double want, cost, bound;

        available[0] = available[1] = 1e6;
        if (k > 0)
            query(&tree, &outcomes, &seed, available);
        tree.problem.most_points = 1 + next_below(&seed, 8);
        sized = sized_of(&tree.problem);
        want = least_cost(&tree.problem, &outcomes, available);
        cost = cost_for(&tree.problem, sized, available);
        bound = fci_sized_bound(sized);
        ck_assert_double_ge(cost, want * (1 - CLOSE));
        ck_assert_double_le(bound, want * (1 + CLOSE));
        ck_assert(fci_sized_is_least(sized) || fci_sized_thinned(sized));
        if (fci_sized_is_least(sized)) {
            ck_assert(bound == cost);
            ck_assert(is_close(cost, want));
        }
        if (tree.problem.states == 1)
            ck_assert_int_eq(isinf(cost), isinf(want));
        fci_sized_free(sized);
    }
    free(outcomes.all);
}
END_TEST

/* Trees too large for all choices, against themselves without a limit. */
START_TEST(thinned_large)
{
    struct sizing_tree tree;
    struct fci_sized *exact, *sized;
    const struct fci_sizing_point *p;
    double want, cost;
    size_t n;

    sizing_tree_make(&tree, 1 + (unsigned long)_i, 40, 5);
    exact = sized_of(&tree.problem);
    p = fci_sized_points(exact, &n);
    if (n > 0) { /* enough for the middle one */
        tree.problem.available[0] = p[n / 2].need[0] + 1e-6;
        tree.problem.available[1] = p[n / 2].need[1] + 1e-6;
        want = cost_for(&tree.problem, exact, tree.problem.available);
        tree.problem.most_points = 12;
        sized = sized_of(&tree.problem);
        cost = cost_for(&tree.problem, sized, tree.problem.available);
        ck_assert_double_ge(cost, want * (1 - CLOSE));
        ck_assert_double_le(fci_sized_bound(sized), want * (1 + CLOSE));
        ck_assert(!fci_sized_is_least(sized) || is_close(cost, want));
        fci_sized_points(sized, &n);
        ck_assert_uint_le(n, 12);
        if (tree.problem.states == 1)
            ck_assert_double_lt(cost, INFINITY);
        fci_sized_free(sized);
    }
    fci_sized_free(exact);
}
END_TEST

/* That thinning happens, and is at times without loss. */
START_TEST(thinning_happens)
{
    int n_thinned = 0, found = 0, least = 0;
    struct sizing_tree tree;
    unsigned long i;

    for (i = 0; i < LARGE_TREES; i++) {
        struct fci_sized *sized;

        sizing_tree_make(&tree, 1 + i, 40, 5);
        tree.problem.most_points = 12;
        sized = sized_of(&tree.problem);
        if (fci_sized_thinned(sized)) {
            ck_assert_uint_gt(fci_sized_longest(sized), 12);
            n_thinned++;
            found += cost_for(&tree.problem, sized, tree.problem.available)
                     < INFINITY;
            least += fci_sized_is_least(sized);
        }
        fci_sized_free(sized);
    }
    ck_assert_int_ge(n_thinned, LARGE_TREES / 4);
    ck_assert_int_ge(found, n_thinned / 2);
    ck_assert_int_lt(least, n_thinned);
}
END_TEST

/* ---- More and less ----------------------------------------------------- */

static double
cost_of(const struct fci_sizing *problem)
{
    struct fci_sized *sized = sized_of(problem);
    const double cost = cost_for(problem, sized, problem->available);

    ck_assert(!fci_sized_thinned(sized));
    fci_sized_free(sized);
    return cost;
}

/* Some of what may be needed, so that it matters. */
static void
make_scarce(struct sizing_tree *tree, unsigned long *seed)
{
    struct fci_sized *sized = sized_of(&tree->problem);
    const struct fci_sizing_point *p;
    size_t n, i;

    p = fci_sized_points(sized, &n);
    if (n > 0) {
        i = next_below(seed, n);
        tree->problem.available[0] = p[i].need[0] + next_share(seed);
        tree->problem.available[1] = p[i].need[1] + next_share(seed);
    }
    fci_sized_free(sized);
}

START_TEST(more_is_never_dearer)
{
    unsigned long seed = 1 + (unsigned long)_i;
    struct sizing_tree tree;
    double cost, with_more;
    int k;

    sizing_tree_make(&tree, seed, 40, 5);
    make_scarce(&tree, &seed);
    cost = cost_of(&tree.problem);
    for (k = 0; k < 8; k++) {
        tree.problem.available[next_below(&seed, FC_STATES)] +=
            10 * next_share(&seed);
        with_more = cost_of(&tree.problem);
        ck_assert_double_le(with_more, cost * (1 + CLOSE));
        cost = with_more;
    }
}
END_TEST

START_TEST(fewer_are_never_dearer)
{
    unsigned long seed = 1 + (unsigned long)_i;
    struct sizing_tree tree;
    double cost, with_fewer;

    sizing_tree_make(&tree, seed, 40, 5);
    make_scarce(&tree, &seed);
    cost = cost_of(&tree.problem);
    while (tree.problem.n_nodes > 1) { /* the last node is a leaf */
        tree.problem.n_nodes--;
        with_fewer = cost_of(&tree.problem);
        ck_assert_double_le(with_fewer, cost * (1 + CLOSE));
        cost = with_fewer;
    }
    ck_assert(cost == 0 || isinf(cost));
}
END_TEST

START_TEST(a_wider_choice_is_never_dearer)
{
    unsigned long seed = 1 + (unsigned long)_i;
    struct sizing_tree tree;
    double cost, with_more;
    size_t i;

    sizing_tree_make(&tree, seed, 40, MOST_SIZES - 1);
    make_scarce(&tree, &seed);
    cost = cost_of(&tree.problem);
    for (i = 1; i < tree.problem.n_nodes; i++)
        if (tree.nodes[i].n_choices > 0) {
            tree.nodes[i].n_choices++;
            with_more = cost_of(&tree.problem);
            ck_assert_double_le(with_more, cost * (1 + CLOSE));
            cost = with_more;
        }
}
END_TEST

/* ---- By hand ----------------------------------------------------------- */

#define NO_NEED                                                               \
    {                                                                         \
        -INFINITY, -INFINITY                                                  \
    }
#define NO_LIMIT                                                              \
    { INFINITY, INFINITY },                                                   \
    {                                                                         \
        INFINITY, INFINITY                                                    \
    }

/* A riser with two branches; each may be 1, 2 or 3, which cost and lose
 *   riser 10, 20, 30 and 9, 3, 1;  branches 4, 8, 12 and 8, 3, 2,
 * and need 10 and 14 at their ends (in the second state 12 and 12).
 *
 * One state: what the riser's 3, 2 or 1 lets the branches be:
 *   3, 3 3: 54, needs 1 + max(12, 16) = 17   3, 2 2: 46, 18 (13 is no more
 *   3, 1 2: 42, 1 + max(18, 17) = 19         than 17); 3, 2 3: 50, 17
 *   3, 1 1: 38, 23
 *   2, 2 2: 36, 3 + 17 = 20                  2, 1 2: 32, 3 + 18 = 21
 *   2, 1 1: 28, 3 + 22 = 25                  1, 1 1: 18, 9 + 22 = 31
 * so 50 for 17, 46 for 18, 42 for 19, 36 for 20, 32 for 21, 28 for 25, 18 for
 * 31.
 */
static const struct fci_sizing_choice riser_choices[] = {
    { 1, false, 10, { 9, 9 } },
    { 2, false, 20, { 3, 3 } },
    { 3, false, 30, { 1, 1 } },
};
static const struct fci_sizing_choice branch_choices[] = {
    { 1, false, 4, { 8, 8 } },
    { 2, false, 8, { 3, 3 } },
    { 3, false, 12, { 2, 2 } },
};
static const struct fci_sizing_node hand_nodes[] = {
    { SIZE_MAX, { 0, 0 }, NO_NEED, NO_LIMIT, NULL, 0 },
    { 0, { 0, 0 }, NO_NEED, NO_LIMIT, riser_choices, 3 },
    { 1, { 0, 0 }, { 10, 12 }, NO_LIMIT, branch_choices, 3 },
    { 1, { 0, 0 }, { 14, 12 }, NO_LIMIT, branch_choices, 3 },
};
static const struct fci_sizing_point hand_points[] = {
    { { 31 }, 18 }, { { 25 }, 28 }, { { 21 }, 32 }, { { 20 }, 36 },
    { { 19 }, 42 }, { { 18 }, 46 }, { { 17 }, 50 },
};

START_TEST(by_hand)
{
    const struct fci_sizing problem = { .nodes = hand_nodes,
                                        .n_nodes = COUNT(hand_nodes),
                                        .states = 1,
                                        .available = { 40, 0 } };
    const double at_most[FC_STATES] = { 20.5, 0 }, less[FC_STATES] = { 16.9 };
    struct fci_sized *sized = sized_of(&problem);
    const struct fci_sizing_point *p;
    size_t choice[COUNT(hand_nodes)], n, blocked;
    double cost = 0, need = 0;
    int i;

    p = fci_sized_points(sized, &n);
    ck_assert_uint_eq(n, COUNT(hand_points));
    for (i = 0; i < COUNT(hand_points); i++) {
        ck_assert_double_eq(p[i].need[0], hand_points[i].need[0]);
        ck_assert_double_eq(p[i].cost, hand_points[i].cost);
    }
    ck_assert(fci_sized_choose(sized, at_most, choice, &cost));
    ck_assert_double_eq(cost, 36);
    ck_assert(choice[1] == 1 && choice[2] == 1 && choice[3] == 1);
    ck_assert(!fci_sized_choose(sized, less, choice, &cost));
    ck_assert_int_eq(fci_sizing_least(&problem, 0, choice, &need, &blocked),
                     FC_OK);
    ck_assert_double_eq(need, 17);
    ck_assert(choice[1] == 2 && choice[3] == 2);
    ck_assert_double_eq(fci_sized_bound(sized), 18);
    fci_sized_free(sized);
    fci_sized_free(NULL);
}
END_TEST

/* In two states: with 25 available in the first and 18 in the second the first
 * asks for 2, 1 1 (28), the second for 3 + 12 + loss of 3: 2, 2 2 (36). */
START_TEST(by_hand_in_two_states)
{
    const struct fci_sizing problem = { .nodes = hand_nodes,
                                        .n_nodes = COUNT(hand_nodes),
                                        .states = 2,
                                        .available = { 25, 18 } };
    struct fci_sized *sized = sized_of(&problem);
    double cost = 0, need = 0;
    size_t choice[COUNT(hand_nodes)], blocked;

    ck_assert(fci_sized_choose(sized, problem.available, choice, &cost));
    ck_assert_double_eq(cost, 36);
    ck_assert(choice[1] == 1 && choice[2] == 1 && choice[3] == 1);
    ck_assert_int_eq(fci_sizing_least(&problem, 1, choice, &need, &blocked),
                     FC_OK);
    ck_assert_double_eq(need, 15); /* 1 + 12 + 2 */
    fci_sized_free(sized);
}
END_TEST

/* Half an inch is the same in millimetres, whatever the rounding: 12.7 mm may
 * be fed through it, 12.8 mm may not, unless it is in place. */
static const struct {
    double nominal;
    bool stays;
    double cost; /* of the least, with the dear riser's 100 */
} fed_through_half_an_inch[] = {
    { 0.0127, false, 3 },
    { 0.0127 * (1 + 4e-16), false, 3 },
    { 0.0128, false, 102 },
    { 0.0128, true, 3 },
};

START_TEST(same_size)
{
    const struct fci_sizing_choice riser[] = {
        { 0.5 * 0.0254, false, 1, { 1, 1 } },
        { 0.75 * 0.0254, false, 100, { 1, 1 } },
    };
    const struct fci_sizing_choice branch[] = {
        { fed_through_half_an_inch[_i].nominal,
          fed_through_half_an_inch[_i].stays,
          2,
          { 1, 1 } },
    };
    const struct fci_sizing_node nodes[] = {
        { SIZE_MAX, { 0, 0 }, NO_NEED, NO_LIMIT, NULL, 0 },
        { 0, { 0, 0 }, NO_NEED, NO_LIMIT, riser, 2 },
        { 1, { 0, 0 }, NO_NEED, NO_LIMIT, NULL, 0 },
        { 2, { 0, 0 }, { 10, 10 }, NO_LIMIT, branch, 1 },
    };
    const struct fci_sizing problem = {
        .nodes = nodes, .n_nodes = 4, .states = 1, .available = { 40, 0 }
    };

    ck_assert_double_eq(cost_of(&problem), fed_through_half_an_inch[_i].cost);
}
END_TEST

/* One pipe needs more in the first state, 8 or 2 of 10, but for one figure of
 * the second, by which only the dearer choice serves there. */
static const struct {
    double take, need, cheap_loss, available; /* in the second state */
    double cost;
} second_states[] = {
    { 0, 0, 1, 10, 1 },  { 9.5, 0, 1, 10, 2 }, { 0, 9.5, 1, 10, 2 },
    { 0, 0, 12, 10, 2 }, { 0, 0, 1, 0.5, 2 },
};

START_TEST(neither_state_is_harder)
{
    const struct fci_sizing_choice choices[] = {
        { 1, false, 1, { 8, second_states[_i].cheap_loss } },
        { 2, false, 2, { 2, 0 } },
    };
    const struct fci_sizing_node nodes[] = {
        { SIZE_MAX, { 0, 0 }, NO_NEED, NO_LIMIT, NULL, 0 },
        { 0,
          { 0, second_states[_i].take },
          { 0, second_states[_i].need },
          NO_LIMIT,
          choices,
          2 },
    };
    const struct fci_sizing problem = {
        .nodes = nodes,
        .n_nodes = 2,
        .states = 2,
        .available = { 10, second_states[_i].available }
    };

    ck_assert_double_eq(cost_of(&problem), second_states[_i].cost);
}
END_TEST

/* A row of three pipes: which of them cannot be served, or the root's. */
static const struct {
    double most[4];       /* at the outlets */
    double loss, nominal; /* of the last */
    size_t blocked;
} rows[] = {
    { { INFINITY, INFINITY, 12, INFINITY }, 3, 1, 2 },
    { { INFINITY, 10, INFINITY, INFINITY }, 3, 1, 1 },
    { { 14, INFINITY, INFINITY, INFINITY }, 3, 1, 0 },
    { { INFINITY, INFINITY, INFINITY, 9 }, 3, 1, 3 },
    { { INFINITY, INFINITY, INFINITY, INFINITY }, INFINITY, 1, 3 },
    { { INFINITY, INFINITY, INFINITY, INFINITY }, 3, 3, 3 },
    { { INFINITY, INFINITY, 9, 9 }, 3, 1, 3 }, /* the last of two */
};

START_TEST(blocked)
{
    const struct fci_sizing_choice first[] = {
        { 1, false, 1, { 2, 0 } },
        { 2, false, 2, { 1, 0 } },
    };
    const struct fci_sizing_choice last = {
        rows[_i].nominal, false, 1, { rows[_i].loss, 0 }
    };
    struct fci_sizing_node nodes[] = {
        { SIZE_MAX, { 0, 0 }, NO_NEED, NO_LIMIT, NULL, 0 },
        { 0, { 0, 0 }, NO_NEED, NO_LIMIT, first, 2 },
        { 1, { 1, 0 }, NO_NEED, NO_LIMIT, NULL, 0 },
        { 2, { 0, 0 }, { 10, 0 }, NO_LIMIT, &last, 1 },
    };
    const struct fci_sizing problem = {
        .nodes = nodes, .n_nodes = 4, .states = 1, .available = { 40, 0 }
    };
    size_t choice[4], where = SIZE_MAX, i, n;
    struct fci_sized *sized;
    double need = 0;

    for (i = 0; i < 4; i++)
        nodes[i].most[0] = rows[_i].most[i];
    ck_assert_int_eq(fci_sizing_least(&problem, 0, choice, &need, &where),
                     FC_OK);
    ck_assert_double_eq(need, INFINITY);
    ck_assert_uint_eq(where, rows[_i].blocked);
    sized = sized_of(&problem);
    fci_sized_points(sized, &n);
    ck_assert_uint_eq(n, 0);
    ck_assert_double_eq(fci_sized_bound(sized), INFINITY);
    fci_sized_free(sized);
}
END_TEST

/* ---- Large trees ------------------------------------------------------- */

#define MANY 100000

/* Each of a row of pipes is 2, which costs 2 and loses 1, or 1, which costs 1
 * and loses 2.  The first `dear` are 2, for none is larger than the one
 * before; they cost MANY + dear and need 2 MANY - dear. */
START_TEST(deep)
{
    static const struct fci_sizing_choice choices[] = {
        { 1, false, 1, { 2, 1 } },
        { 2, false, 2, { 1, 1.5 } },
    };
    struct fci_sizing_node *nodes = calloc(MANY + 1, sizeof *nodes);
    size_t *choice = calloc(MANY + 1, sizeof *choice), i;
    struct fci_sizing problem = { .nodes = nodes,
                                  .n_nodes = MANY + 1,
                                  .states = _i };
    struct fci_sized *sized;
    double cost = 0;

    ck_assert(nodes && choice);
    for (i = 0; i <= MANY; i++)
        nodes[i] = (struct fci_sizing_node){ i > 0 ? i - 1 : SIZE_MAX,
                                             { 0 },
                                             NO_NEED,
                                             NO_LIMIT,
                                             choices,
                                             i > 0 ? 2 : 0 };
    nodes[MANY].need[0] = nodes[MANY].need[1] = 0;
    problem.available[0] = MANY + 3; /* at most three are 1 */
    problem.available[1] = 2 * MANY;
    sized = sized_of(&problem);
    ck_assert(!fci_sized_thinned(sized));
    ck_assert(fci_sized_choose(sized, problem.available, choice, &cost));
    ck_assert_double_eq(cost, 2 * MANY - 3);
    for (i = 1; i <= MANY; i++)
        ck_assert_uint_eq(choice[i], i <= MANY - 3);
    fci_sized_free(sized);
    free(nodes);
    free(choice);
}
END_TEST

/* All on one: each by itself takes the cheaper size if that serves it. */
START_TEST(wide)
{
    static const struct fci_sizing_choice choices[] = {
        { 1, false, 1, { 4, 4 } },
        { 2, false, 3, { 1, 1 } },
    };
    struct fci_sizing_node *nodes = calloc(MANY + 1, sizeof *nodes);
    size_t *choice = calloc(MANY + 1, sizeof *choice), i, dear = 0;
    struct fci_sizing problem = { .nodes = nodes,
                                  .n_nodes = MANY + 1,
                                  .states = _i,
                                  .available = { 10, 10 } };
    struct fci_sized *sized;
    double cost = 0;

    ck_assert(nodes && choice);
    nodes[0] = (struct fci_sizing_node){ SIZE_MAX, { 0 }, NO_NEED,
                                         NO_LIMIT, NULL,  0 };
    for (i = 1; i <= MANY; i++) {
        nodes[i] = (struct fci_sizing_node){
            0,        { 0 },   { (double)(i % 9), (double)(8 - i % 9) },
            NO_LIMIT, choices, 2
        };
        /* Over 6, and in the second state below 2, it must be 2. */
        dear += i % 9 > 6 || (_i == 2 && i % 9 < 2);
    }
    sized = sized_of(&problem);
    ck_assert(!fci_sized_thinned(sized));
    ck_assert(fci_sized_choose(sized, problem.available, choice, &cost));
    ck_assert_double_eq(cost, (double)(MANY + 2 * dear));
    for (i = 1; i <= MANY; i++)
        ck_assert_uint_eq(choice[i], i % 9 > 6 || (_i == 2 && i % 9 < 2));
    fci_sized_free(sized);
    free(nodes);
    free(choice);
}
END_TEST

/* ---- All --------------------------------------------------------------- */

int
main(void)
{
    Suite *suite = suite_create("sizing");
    TCase *t = tcase_create("by hand");

    tcase_add_test(t, by_hand);
    tcase_add_test(t, by_hand_in_two_states);
    tcase_add_loop_test(t, same_size, 0, COUNT(fed_through_half_an_inch));
    tcase_add_loop_test(t, neither_state_is_harder, 0, COUNT(second_states));
    tcase_add_loop_test(t, blocked, 0, COUNT(rows));
    suite_add_tcase(suite, t);
    t = tcase_create("all choices");
    tcase_add_test(t, trees_are_of_all_kinds);
    tcase_add_sampled_test(t, least_of_all, TREES);
    tcase_add_sampled_test(t, least_with_little, TREES);
    tcase_add_sampled_test(t, points, TREES);
    tcase_add_sampled_test(t, least_need, TREES);
    suite_add_tcase(suite, t);
    t = tcase_create("thinned");
    tcase_add_counting_test(t, thinning_happens);
    tcase_add_sampled_test(t, thinned, TREES);
    tcase_add_sampled_test(t, thinned_large, LARGE_TREES);
    suite_add_tcase(suite, t);
    t = tcase_create("more and less");
    tcase_add_sampled_test(t, more_is_never_dearer, LARGE_TREES);
    tcase_add_sampled_test(t, fewer_are_never_dearer, LARGE_TREES);
    tcase_add_sampled_test(t, a_wider_choice_is_never_dearer, LARGE_TREES);
    suite_add_tcase(suite, t);
    t = tcase_create("large");
    tcase_add_loop_test(t, deep, 1, 3);
    tcase_add_loop_test(t, wide, 1, 3);
    suite_add_tcase(suite, t);
    return run_suite(suite);
}
