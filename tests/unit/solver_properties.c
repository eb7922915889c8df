/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/solver_properties.c -- what holds of the flows in every building.
 */
#include "generators/solver_cases.h"
#include "peak/march.h"

#include <string.h>

#define PRESSURE 0.1 /* what a law may be off by [Pa] */
#define BALANCE 1e-9 /* what a place may be off by, of the total */

#define TREES 60

static const struct building_plan trees = { .fewest = 3, .most = 30 };
static const struct building_plan ranged = { .fewest = 3,
                                             .most = 20,
                                             .ranges = true };

static const struct building_plan meshes[] = {
    { .fewest = 3, .most = 30 },
    { .fewest = 3, .most = 30, .loops = 2 },
    { .fewest = 3, .most = 30, .sources = 2 },
    { .fewest = 3, .most = 30, .loops = 2, .sources = 1 },
};

/* ---- What comes in goes out ------------------------------------------- */

static void
take_open(const struct solved *s, const struct fci_drawn *drawn, size_t n,
          double *left)
{
    size_t i;

    for (i = 0; i < n; i++)
        left[s->site->fixtures[drawn[i].fixture].element] -=
            drawn[i].count * drawn[i].flow;
    for (i = 0; i < s->site->n_draws; i++)
        left[s->site->draws[i].element] -= s->site->draws[i].flow.nominal;
}

/* What a place may be off by: flows that circle through a pump count too, and
 * what a lavatory draws does in a building at rest. */
static double
balance_slack(const struct solved *s, size_t n)
{
    double largest = fmax(solved_total(s, n), 1e-4);
    size_t i;

    for (i = 0; i < s->site->n_elements; i++)
        largest = fmax(largest, fabs(s->elements[i].flow));
    return BALANCE * largest;
}

static void
check_balance(const struct solved *s, unsigned long seed,
              const struct fci_drawn *drawn, size_t n)
{
    const fc_site *site = s->site;
    double *left = calloc(site->n_elements, sizeof *left);
    size_t i;

    ck_assert_ptr_nonnull(left);
    for (i = 0; i < site->n_elements; i++) {
        const struct fci_element *element = &site->elements[i];

        left[element->to == FCI_NONE ? i : element->to] += s->elements[i].flow;
        if (element->parent != FCI_NONE)
            left[element->parent] -= s->elements[i].flow;
    }
    take_open(s, drawn, n, left);
    for (i = 0; i < site->n_elements; i++)
        if (site->elements[i].to == FCI_NONE)
            HOLDS(seed, fabs(left[i]) <= balance_slack(s, n),
                  "%s is left with %g of %g", site->elements[i].name, left[i],
                  solved_total(s, n));
    free(left);
}

START_TEST(flows_balance)
{
    unsigned long seed;

    for (seed = 10000; seed < 10040; seed++) {
        gsl_rng *rng = solver_random(seed);
        const struct fci_drawn *drawn;
        struct fci_open *open;
        struct building b;
        struct solved s;
        size_t n;

        building_make(&b, seed, &meshes[_i]);
        s = solved_building(&b, FC_EXISTING);
        open = some_open(s.site, FC_EXISTING, 0.6, rng, &n);
        drawn = solved_run(&s, seed, open, n);
        check_balance(&s, seed, drawn, n);
        free(open);
        solved_end(&s);
        building_free(&b);
        gsl_rng_free(rng);
    }
}
END_TEST

/* No check valve lets water back. */
START_TEST(none_runs_back)
{
    unsigned long seed;
    size_t i, n;

    for (seed = 10000; seed < 10040; seed++) {
        gsl_rng *rng = solver_random(seed);
        struct fci_open *open;
        struct building b;
        struct solved s;

        building_make(&b, seed, &meshes[_i]);
        s = solved_building(&b, FC_RETROFIT);
        open = some_open(s.site, FC_RETROFIT, 0.3, rng, &n);
        solved_run(&s, seed, open, n);
        for (i = 0; i < s.site->n_elements; i++) {
            const enum fci_kind kind = s.site->elements[i].part->kind;

            if (kind == FCI_METER || kind == FCI_BACKFLOW
                || kind == FCI_REDUCER || kind == FCI_PUMP)
                HOLDS(seed, s.elements[i].flow >= -balance_slack(&s, n),
                      "%s carries %g", s.site->elements[i].name,
                      s.elements[i].flow);
        }
        free(open);
        solved_end(&s);
        building_free(&b);
        gsl_rng_free(rng);
    }
}
END_TEST

/* ---- One more --------------------------------------------------------- */

/* The pressures of the first n as they are now. */
static double *
pressures(const struct fci_drawn *drawn, size_t n)
{
    double *kept = calloc(n + 1, sizeof *kept);
    size_t i;

    ck_assert_ptr_nonnull(kept);
    for (i = 0; i < n; i++)
        kept[i] = drawn[i].pressure;
    return kept;
}

/* The valves of an event are opened one after the other. */
START_TEST(one_more_never_helps)
{
    unsigned long seed;

    for (seed = 11000; seed < 11000 + TREES; seed++) {
        gsl_rng *rng = solver_random(seed);
        struct fci_open *open;
        struct building b;
        struct solved s;
        double *before;
        size_t n, i, k;

        building_make(&b, seed, &trees);
        s = solved_building(&b, FC_EXISTING);
        open = some_open(s.site, FC_EXISTING, 1, rng, &n);
        for (i = 1; i < n; i++) {
            const struct fci_drawn *drawn = solved_run(&s, seed, open, i);

            before = pressures(drawn, i);
            drawn = solved_run(&s, seed, open, i + 1);
            for (k = 0; k < i; k++)
                HOLDS(seed, drawn[k].pressure <= before[k] + PRESSURE,
                      "valve %zu rises from %g to %g Pa by valve %zu", k,
                      before[k], drawn[k].pressure, i);
            free(before);
        }
        free(open);
        solved_end(&s);
        building_free(&b);
        gsl_rng_free(rng);
    }
}
END_TEST

/* Nor one more of a group. */
START_TEST(one_more_of_a_group_never_helps)
{
    unsigned long seed;

    for (seed = 11000; seed < 11000 + TREES; seed++) {
        gsl_rng *rng = solver_random(seed);
        struct fci_open *open;
        struct building b;
        struct solved s;
        double *before;
        size_t n, i, k;

        building_make(&b, seed, &trees);
        s = solved_building(&b, FC_EXISTING);
        open = some_open(s.site, FC_EXISTING, 1, rng, &n);
        for (i = 0; i < n; i++) {
            const struct fci_drawn *drawn;

            if (s.site->fixtures[open[i].fixture].count < 2)
                continue;
            open[i].count = s.site->fixtures[open[i].fixture].count - 1;
            drawn = solved_run(&s, seed, open, n);
            before = pressures(drawn, n);
            open[i].count++;
            drawn = solved_run(&s, seed, open, n);
            for (k = 0; k < n; k++)
                HOLDS(seed, drawn[k].pressure <= before[k] + PRESSURE,
                      "valve %zu rises from %g to %g Pa", k, before[k],
                      drawn[k].pressure);
            free(before);
        }
        free(open);
        solved_end(&s);
        building_free(&b);
        gsl_rng_free(rng);
    }
}
END_TEST

/* ---- More supply ------------------------------------------------------ */

#define WATER_WEIGHT 9800 /* N/m3; near enough to raise a tank */

START_TEST(more_supply_never_hurts)
{
    unsigned long seed;

    for (seed = 12000; seed < 12000 + TREES; seed++) {
        gsl_rng *rng = solver_random(seed);
        const struct fci_drawn *low, *high;
        struct fci_open *open;
        struct building b, more;
        struct solved s, t;
        size_t n, i;

        building_make(&b, seed, &trees);
        building_copy(&more, &b);
        building_shift_source(&more, 5 * PSI, WATER_WEIGHT);
        s = solved_building(&b, FC_EXISTING);
        t = solved_building(&more, FC_EXISTING);
        open = some_open(s.site, FC_EXISTING, 0.7, rng, &n);
        low = solved_run(&s, seed, open, n);
        high = solved_run(&t, seed, open, n);
        for (i = 0; i < n; i++)
            HOLDS(seed, high[i].pressure >= low[i].pressure - PRESSURE,
                  "valve %zu falls from %g to %g Pa", i, low[i].pressure,
                  high[i].pressure);
        free(open);
        solved_end(&s);
        solved_end(&t);
        building_free(&more);
        building_free(&b);
        gsl_rng_free(rng);
    }
}
END_TEST

/* ---- Nothing open ----------------------------------------------------- */

/* With nothing open and no steady draw all is as it is at rest. */
START_TEST(all_shut_is_static)
{
    unsigned long seed;
    size_t i, compared = 0;

    for (seed = 13000; seed < 13000 + TREES; seed++) {
        struct fci_at_rest *rest;
        struct building b;
        struct solved s;

        building_make(&b, seed, &trees);
        s = solved_building(&b, FC_EXISTING);
        rest = fci_march_rest(s.site);
        ck_assert_ptr_nonnull(rest);
        if (s.site->n_draws == 0) {
            solved_run(&s, seed, NULL, 0);
            for (i = 0; i < s.site->n_elements; i++) {
                HOLDS(seed, fabs(s.elements[i].flow) <= 0, "%s carries %g",
                      s.site->elements[i].name, s.elements[i].flow);
                HOLDS(
                    seed,
                    fabs(s.elements[i].pressure - rest[i].ceiling[FCI_NOMINAL])
                        <= PRESSURE,
                    "%s has %.8g Pa and %.8g at rest",
                    s.site->elements[i].name, s.elements[i].pressure,
                    rest[i].ceiling[FCI_NOMINAL]);
            }
            compared++;
        }
        free(rest);
        solved_end(&s);
        building_free(&b);
    }
    ck_assert_uint_gt(compared, 10);
}
END_TEST

/* ---- The ends of ranges ----------------------------------------------- */

/* Each open valve at its worst and at its best end. */
static void
find_ends(struct solved *s, unsigned long seed, const struct fci_open *open,
          size_t n, double *ends[2])
{
    static const enum fci_end which[] = { FCI_WORST, FCI_BEST };
    size_t i, k;

    for (i = 0; i < n; i++)
        for (k = 0; k < 2; k++) {
            fci_solver_take(s->solver, which[k], open[i].fixture);
            HOLDS(seed, fci_solver_run(s->solver, open, n) == FC_OK,
                  "end %zu of valve %zu: not settled at %s", k, i,
                  fci_solver_culprit(s->solver));
            ends[k][i] = fci_solver_drawn(s->solver)[i].pressure;
        }
}

static void
check_sample(const struct building *b, gsl_rng *rng,
             const struct fci_open *open, size_t n, double *const ends[2])
{
    const struct fci_drawn *drawn;
    struct building one;
    struct solved s;
    size_t i;

    building_sample(&one, b, rng);
    s = solved_building(&one, FC_EXISTING);
    drawn = solved_run(&s, b->seed, open, n);
    for (i = 0; i < n; i++)
        HOLDS(b->seed,
              drawn[i].pressure >= ends[0][i] - PRESSURE
                  && drawn[i].pressure <= ends[1][i] + PRESSURE,
              "valve %zu has %.8g Pa, not between %.8g and %.8g", i,
              drawn[i].pressure, ends[0][i], ends[1][i]);
    solved_end(&s);
    building_free(&one);
}

START_TEST(ends_bound_every_building)
{
    static const double shares[] = { 0.3, 0.7, 1 };
    unsigned long seed;

    for (seed = 14000; seed < 14030; seed++) {
        gsl_rng *rng = solver_random(seed);
        double *ends[2];
        struct fci_open *open;
        struct building b;
        struct solved s;
        size_t n;
        int i;

        building_make(&b, seed, &ranged);
        s = solved_building(&b, FC_EXISTING);
        open = some_open(s.site, FC_EXISTING, shares[_i], rng, &n);
        ends[0] = calloc(n + 1, sizeof *ends[0]);
        ends[1] = calloc(n + 1, sizeof *ends[1]);
        find_ends(&s, seed, open, n, ends);
        for (i = 0; i < 12; i++)
            check_sample(&b, rng, open, n, ends);
        free(ends[0]);
        free(ends[1]);
        free(open);
        solved_end(&s);
        building_free(&b);
        gsl_rng_free(rng);
    }
}
END_TEST

TCase *
solver_properties(void)
{
    const int n = (int)(sizeof meshes / sizeof *meshes);
    TCase *tcase = tcase_create("properties");

    tcase_set_timeout(tcase, 120);
    tcase_add_loop_test(tcase, flows_balance, 0, n);
    tcase_add_loop_test(tcase, none_runs_back, 0, n);
    tcase_add_test(tcase, one_more_never_helps);
    tcase_add_test(tcase, one_more_of_a_group_never_helps);
    tcase_add_test(tcase, more_supply_never_hurts);
    tcase_add_test(tcase, all_shut_is_static);
    tcase_add_loop_test(tcase, ends_bound_every_building, 0, 3);
    return tcase;
}
