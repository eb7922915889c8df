/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/solver_agreement.c -- flush events of invented buildings against
 * a second solution by another way, tests/generators/reference_solver.h.
 */
#include "generators/solver_cases.h"
#include "generators/reference_laws.h"
#include "generators/reference_solver.h"

#include <string.h>

/* Flows agree to this share of themselves, those of valves under a
 * ten-thousandth of the total to this share of that: in the second solution
 * what is shut leaks that little. */
#define SHARE 1e-6
#define LITTLE 1e-4
/* Flows balance to this share of the total, or of a cubic centimetre a second:
 * no flow is known better. */
#define BALANCE 1e-9
#define LEAST_TOTAL 1e-6
/* A law may be off by 0.1 Pa, and laws add up along the way. */
#define LAW 0.1
/* Where water may turn, what is held back at any flow turns within this flow
 * [m3/s], so that a still element has up to that. */
#define STILL 1e-9
/* Where nothing drives the water round a loop, its pipe loses no more than a
 * law may be off by, and its flow cannot be known better.  What it is off by
 * goes round the loop. */

struct comparison {
    unsigned long seed;
    const struct solved *solved;
    const struct reference_flows *reference;
    double round; /* what still loops are off by [m3/s] */
};

static void
compare_valve(const struct comparison *c, size_t i)
{
    const struct fci_drawn *got = &fci_solver_drawn(c->solved->solver)[i];
    const struct fci_drawn *want = &c->reference->drawn[i];
    const char *name = c->solved->site->fixtures[want->fixture].given->name;
    const double larger = fmax(fabs(want->flow), LITTLE * c->reference->total);

    HOLDS(c->seed, got->fixture == want->fixture && got->count == want->count,
          "valve %zu: is not the one that was opened", i);
    HOLDS(c->seed, fabs(got->flow - want->flow) <= SHARE * larger,
          "%s draws %.10g and %.10g of %.4g (at %.8g and %.8g Pa)", name,
          got->flow, want->flow, c->reference->total, got->pressure,
          want->pressure);
    if (want->flow <= SHARE * larger)
        HOLDS(c->seed, got->pressure <= LAW, "%s draws nothing at %g Pa", name,
              got->pressure);
    else
        HOLDS(c->seed,
              fabs(got->pressure - want->pressure)
                  <= LAW + 2 * SHARE * fabs(want->pressure),
              "%s has %.10g and %.10g Pa", name, got->pressure,
              want->pressure);
}

/* By how much what is off in still loops may move the flows elsewhere. */
static double
off_in_loops(const struct comparison *c)
{
    const fc_site *site = c->solved->site;
    double sum = 0, k;
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const struct fci_element *element = &site->elements[i];
        const double got = c->solved->elements[i].flow;
        const double want = c->reference->elements[i].flow;

        if (element->to == FCI_NONE)
            continue;
        k = reference_pipe(element->pipe, site->water_weight);
        if (fabs(reference_power(k, got, 0).at) <= LAW
            && fabs(reference_power(k, want, 0).at) <= LAW)
            sum += fabs(got - want);
    }
    return sum;
}

/* What is held back on the way to an element where nothing flows is anyone's:
 * from nothing to all of it. */
static bool
at_rest(const struct comparison *c, size_t i)
{
    for (; i != FCI_NONE; i = c->solved->site->elements[i].parent)
        if (fabs(c->reference->elements[i].flow) <= STILL + c->round)
            return true;
    return false;
}

static void
compare_element(const struct comparison *c, size_t i)
{
    const struct fci_at_flow *got = &c->solved->elements[i];
    const struct fci_at_flow *want = &c->reference->elements[i];
    const char *name = c->solved->site->elements[i].name;
    const double slack = SHARE * fabs(want->flow)
                         + BALANCE * fmax(c->reference->total, LEAST_TOTAL)
                         + c->round + (c->solved->network->meshed ? STILL : 0);

    HOLDS(c->seed, fabs(got->flow - want->flow) <= slack,
          "%s carries %.10g and %.10g of %.4g", name, got->flow, want->flow,
          c->reference->total);
    if (!at_rest(c, i))
        HOLDS(c->seed,
              fabs(got->pressure - want->pressure)
                  <= LAW + 2 * SHARE * fabs(want->pressure),
              "%s has %.10g and %.10g Pa", name, got->pressure,
              want->pressure);
}

static void
compare(struct comparison *c, size_t n)
{
    size_t i;

    c->round = off_in_loops(c);
    for (i = 0; i < n; i++)
        compare_valve(c, i);
    for (i = 0; i < c->solved->site->n_elements; i++)
        if (c->reference->flows[i])
            compare_element(c, i);
}

/* ---- The buildings ---------------------------------------------------- */

static const struct {
    const char *name;
    unsigned long first, buildings;
    struct building_plan plan;
} kinds[] = {
    { "trees", 0, 150, { .fewest = 3, .most = 30 } },
    { "tall trees", 1000, 30, { .fewest = 40, .most = 80 } },
    { "weak mains", 2000, 40, { .fewest = 3, .most = 25, .weak_main = true } },
    { "one loop", 3000, 80, { .fewest = 3, .most = 30, .loops = 1 } },
    { "three loops", 4000, 60, { .fewest = 8, .most = 40, .loops = 3 } },
    { "two sources", 5000, 60, { .fewest = 3, .most = 30, .sources = 1 } },
    { "three sources and two loops",
      6000,
      60,
      { .fewest = 6, .most = 30, .loops = 2, .sources = 2 } },
};

static const double shares[] = { 0.2, 0.6, 1 };

#define EVENTS (sizeof shares / sizeof *shares)

/* How many of the events were compared. */
static size_t
try_building(unsigned long seed, const struct building_plan *plan)
{
    const fc_state state = seed % 2 ? FC_RETROFIT : FC_EXISTING;
    gsl_rng *rng = solver_random(seed);
    struct reference_flows flows;
    struct reference *reference;
    struct building b;
    struct solved s;
    struct fci_open *open;
    size_t i, n, compared = 0;

    building_make(&b, seed, plan);
    s = solved_building(&b, state);
    reference = reference_new(s.site, state);
    for (i = 0; i < EVENTS; i++) {
        open = some_open(s.site, state, shares[i], rng, &n);
        solved_run(&s, seed, open, n);
        if (reference_solve(reference, open, n, &flows)) {
            compare(&(struct comparison){ seed, &s, &flows, 0 }, n);
            compared++;
        }
        reference_flows_free(&flows);
        free(open);
    }
    reference_free(reference);
    solved_end(&s);
    building_free(&b);
    gsl_rng_free(rng);
    return compared;
}

/* The second solution may fail to be found, but seldom. */
START_TEST(agrees)
{
    const unsigned long first = kinds[_i].first, n = kinds[_i].buildings;
    size_t compared = 0;
    unsigned long seed;

    for (seed = first; seed < first + n; seed++)
        compared += try_building(seed, &kinds[_i].plan);
    ck_assert_msg((double)compared >= 0.95 * (double)(n * EVENTS),
                  "%s: only %zu of %lu events could be compared",
                  kinds[_i].name, compared, n * EVENTS);
}
END_TEST

/* ---- The third way ---------------------------------------------------- */

/* On trees, the way of tests/generators/reference_tree.c too, which `make
 * bench` times: it stops at 0.1 Pa, so that pressures are compared. */
START_TEST(third_way)
{
    static const struct building_plan plan = { .fewest = 3, .most = 30 };
    size_t found = 0, tried = 0, n, i;
    unsigned long seed;

    for (seed = 7000; seed < 7060; seed++) {
        gsl_rng *rng = solver_random(seed);
        struct reference_tree *tree;
        const struct fci_drawn *drawn;
        struct fci_drawn *third;
        struct fci_open *open;
        struct building b;
        struct solved s;

        building_make(&b, seed, &plan);
        s = solved_building(&b, FC_EXISTING);
        tree = reference_tree_new(s.site, FC_EXISTING);
        open = some_open(s.site, FC_EXISTING, 0.7, rng, &n);
        third = calloc(n + 1, sizeof *third);
        drawn = solved_run(&s, seed, open, n);
        tried++;
        if (reference_tree_solve(tree, open, n, third)) {
            found++;
            for (i = 0; i < n; i++)
                HOLDS(seed,
                      fabs(third[i].flow - drawn[i].flow)
                          <= 1e-4 * solved_total(&s, n),
                      "valve %zu draws %g and %g", i, drawn[i].flow,
                      third[i].flow);
        }
        free(third);
        free(open);
        reference_tree_free(tree);
        solved_end(&s);
        building_free(&b);
        gsl_rng_free(rng);
    }
    ck_assert_msg((double)found >= 0.8 * (double)tried,
                  "%zu of %zu were found", found, tried);
}
END_TEST

TCase *
solver_agreement(void)
{
    TCase *tcase = tcase_create("agreement");

    tcase_set_timeout(tcase, 120);
    tcase_add_loop_test(tcase, agrees, 0, (int)(sizeof kinds / sizeof *kinds));
    tcase_add_test(tcase, third_way);
    return tcase;
}
