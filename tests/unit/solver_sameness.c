/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/solver_sameness.c -- what changes nothing in what flows. */
#include "generators/solver_cases.h"

#include <string.h>

#define SHARE 1e-6  /* of a flow */
#define LITTLE 1e-6 /* of the total: under it, a share of that */

static const struct building_plan plans[] = {
    { .fewest = 3, .most = 30 },
    { .fewest = 3, .most = 30, .loops = 2 },
    { .fewest = 3, .most = 30, .loops = 1, .sources = 1 },
};

#define PLANS (int)(sizeof plans / sizeof *plans)

static bool
same_flow(double a, double b, double total)
{
    return fabs(a - b) <= SHARE * fmax(fmax(fabs(a), fabs(b)), LITTLE * total);
}

/* The flows of the first n as they are now. */
static double *
flows(const struct fci_drawn *drawn, size_t n)
{
    double *kept = calloc(n + 1, sizeof *kept);
    size_t i;

    ck_assert_ptr_nonnull(kept);
    for (i = 0; i < n; i++)
        kept[i] = drawn[i].flow;
    return kept;
}

/* ---- The start -------------------------------------------------------- */

/* An event comes out the same after another, after itself and afresh. */
START_TEST(start)
{
    unsigned long seed;

    for (seed = 20000; seed < 20060; seed++) {
        gsl_rng *rng = solver_random(seed);
        struct fci_open *open, *other;
        const struct fci_drawn *drawn;
        struct building b;
        struct solved s;
        double *first, total;
        size_t n, m, i;
        int k;

        building_make(&b, seed, &plans[_i]);
        s = solved_building(&b, FC_EXISTING);
        open = some_open(s.site, FC_EXISTING, 0.5, rng, &n);
        other = some_open(s.site, FC_EXISTING, 0.8, rng, &m);
        first = flows(solved_run(&s, seed, open, n), n);
        total = solved_total(&s, n);
        for (k = 0; k < 3; k++) {
            if (k == 1)
                solved_run(&s, seed, other, m);
            if (k == 2)
                fci_solver_forget(s.solver);
            drawn = solved_run(&s, seed, open, n);
            for (i = 0; i < n; i++)
                HOLDS(seed, same_flow(first[i], drawn[i].flow, total),
                      "start %d: valve %zu draws %.10g and %.10g", k, i,
                      first[i], drawn[i].flow);
        }
        free(first);
        free(open);
        free(other);
        solved_end(&s);
        building_free(&b);
        gsl_rng_free(rng);
    }
}
END_TEST

/* The open ones in reverse. */
START_TEST(order_of_the_open)
{
    unsigned long seed;

    for (seed = 20000; seed < 20060; seed++) {
        gsl_rng *rng = solver_random(seed);
        struct fci_open *open, kept;
        const struct fci_drawn *drawn;
        struct building b;
        struct solved s;
        double *first;
        size_t n, i;

        building_make(&b, seed, &plans[_i]);
        s = solved_building(&b, FC_EXISTING);
        open = some_open(s.site, FC_EXISTING, 0.5, rng, &n);
        first = flows(solved_run(&s, seed, open, n), n);
        for (i = 0; i < n / 2; i++) {
            kept = open[i];
            open[i] = open[n - 1 - i];
            open[n - 1 - i] = kept;
        }
        fci_solver_forget(s.solver);
        drawn = solved_run(&s, seed, open, n);
        for (i = 0; i < n; i++)
            HOLDS(seed,
                  drawn[i].fixture == open[i].fixture
                      && same_flow(first[n - 1 - i], drawn[i].flow,
                                   solved_total(&s, n)),
                  "valve %zu draws %.10g and %.10g", i, first[n - 1 - i],
                  drawn[i].flow);
        free(first);
        free(open);
        solved_end(&s);
        building_free(&b);
        gsl_rng_free(rng);
    }
}
END_TEST

/* ---- Sections and units ----------------------------------------------- */

/* The same valves in another site of the same building. */
static struct fci_open *
translate(const struct solved *from, const struct fci_open *open, size_t n,
          const struct solved *to)
{
    struct fci_open *same = calloc(n + 1, sizeof *same);
    size_t i;

    ck_assert_ptr_nonnull(same);
    for (i = 0; i < n; i++) {
        same[i].count = open[i].count;
        same[i].fixture = solved_fixture(
            to, from->site->fixtures[open[i].fixture].given->name);
    }
    return same;
}

/* Takes the other site. */
static void
compare_site(struct solved *s, unsigned long seed, const struct fci_open *open,
             size_t n, fc_site *other, const char *what)
{
    struct solved t = solved_site(other, FC_EXISTING);
    struct fci_open *same = translate(s, open, n, &t);
    const struct fci_drawn *one = solved_run(s, seed, open, n);
    const struct fci_drawn *two = solved_run(&t, seed, same, n);
    size_t i;

    for (i = 0; i < n; i++)
        HOLDS(seed, same_flow(one[i].flow, two[i].flow, solved_total(s, n)),
              "%s: valve %zu draws %.10g and %.10g", what, i, one[i].flow,
              two[i].flow);
    free(same);
    solved_end(&t);
}

START_TEST(sections_and_units)
{
    const struct building_style us = { FC_US, NULL, NULL };
    const struct building_style si = { FC_SI, NULL, NULL };
    unsigned long seed;

    for (seed = 21000; seed < 21040; seed++) {
        gsl_rng *rng = solver_random(seed);
        struct fci_open *open;
        struct building b;
        struct solved s;
        size_t n, *order;

        building_make(&b, seed, &plans[_i]);
        s = solved_building(&b, FC_EXISTING);
        open = some_open(s.site, FC_EXISTING, 0.6, rng, &n);
        order = building_order(b.n_parts, rng);
        compare_site(&s, seed, open, n, building_site(&b, order), "order");
        compare_site(&s, seed, open, n, building_read(&b, &us), "US units");
        compare_site(&s, seed, open, n, building_read(&b, &si), "SI units");
        free(order);
        free(open);
        solved_end(&s);
        building_free(&b);
        gsl_rng_free(rng);
    }
}
END_TEST

/* ---- Groups ----------------------------------------------------------- */

#define MEMBERS 5

/* The group with the name, taken apart into fixtures of one. */
static void
take_apart(struct building *b, const char *name)
{
    struct building_part *group = building_find(b, true, name);
    fc_fixture one;
    int i;

    group->as.fixture.count = 1;
    one = group->as.fixture;
    for (i = 1; i < MEMBERS; i++) {
        one.name = fci_arena_printf(&b->texts, "%s.%d", name, i);
        building_add(b, FCI_FIXTURE)->as.fixture = one;
    }
}

static void
open_apart(const struct solved *s, const char *name, int n,
           struct fci_open *open)
{
    char member[80];
    int i;

    for (i = 0; i < n; i++) {
        snprintf(member, sizeof member, i ? "%s.%d" : "%s", name, i);
        open[i].fixture = solved_fixture(s, member);
        open[i].count = 1;
    }
}

static void
compare_group(struct building *b, const char *name, fc_state state)
{
    struct fci_open together, apart[MEMBERS];
    struct building parts;
    struct solved s, t;
    int n, i;

    building_copy(&parts, b);
    building_find(b, true, name)->as.fixture.count = MEMBERS;
    take_apart(&parts, name);
    s = solved_building(b, state);
    t = solved_building(&parts, state);
    together.fixture = solved_fixture(&s, name);
    for (n = 1; n <= MEMBERS; n++) {
        const struct fci_drawn *one, *many;

        together.count = n;
        open_apart(&t, name, n, apart);
        one = solved_run(&s, b->seed, &together, 1);
        many = solved_run(&t, b->seed, apart, (size_t)n);
        for (i = 0; i < n; i++)
            HOLDS(b->seed,
                  same_flow(one->flow, many[i].flow, solved_total(&s, 1)),
                  "%d of %s: %.10g and %.10g", n, name, one->flow,
                  many[i].flow);
    }
    solved_end(&s);
    solved_end(&t);
    building_free(&parts);
}

/* n valves of one group are n groups of one at the same place. */
START_TEST(groups)
{
    unsigned long seed;
    size_t n;

    for (seed = 22000; seed < 22060; seed++) {
        gsl_rng *rng = solver_random(seed);
        struct fci_open *open;
        struct building b;
        struct solved s;
        const char *name;

        building_make(&b, seed, &plans[_i]);
        s = solved_building(&b, FC_EXISTING);
        open = some_open(s.site, FC_EXISTING, 1, rng, &n);
        name = n ? fci_arena_string(
                   &b.texts, s.site->fixtures[open[0].fixture].given->name)
                 : NULL;
        solved_end(&s);
        if (name)
            compare_group(&b, name, FC_EXISTING);
        free(open);
        building_free(&b);
        gsl_rng_free(rng);
    }
}
END_TEST

/* ---- Places ----------------------------------------------------------- */

/* One element, all on the way to it, and all of the building have the same. */
START_TEST(places)
{
    unsigned long seed;
    size_t n, i, at;

    for (seed = 23000; seed < 23060; seed++) {
        gsl_rng *rng = solver_random(seed);
        struct fci_open *open;
        struct building b;
        struct solved s;
        double *way;

        building_make(&b, seed, &plans[_i]);
        s = solved_building(&b, FC_EXISTING);
        open = some_open(s.site, FC_EXISTING, 0.5, rng, &n);
        solved_run(&s, seed, open, n);
        way = calloc(s.site->n_elements, sizeof *way);
        ck_assert_ptr_nonnull(way);
        for (i = 0; i < s.site->n_fixtures; i++) {
            at = s.site->fixtures[i].element;
            fci_solver_way(s.solver, at, way);
            for (; at != FCI_NONE; at = s.site->elements[at].parent)
                HOLDS(seed,
                      way[at] == fci_solver_at(s.solver, at)
                          && fabs(way[at] - s.elements[at].pressure)
                                 <= FCI_SOLVED_TO,
                      "at %zu: %.10g, %.10g and %.10g", at, way[at],
                      fci_solver_at(s.solver, at), s.elements[at].pressure);
        }
        free(way);
        free(open);
        solved_end(&s);
        building_free(&b);
        gsl_rng_free(rng);
    }
}
END_TEST

TCase *
solver_sameness(void)
{
    TCase *tcase = tcase_create("sameness");

    tcase_set_timeout(tcase, 120);
    tcase_add_loop_test(tcase, start, 0, PLANS);
    tcase_add_loop_test(tcase, order_of_the_open, 0, PLANS);
    tcase_add_loop_test(tcase, sections_and_units, 0, PLANS);
    tcase_add_loop_test(tcase, groups, 0, PLANS);
    tcase_add_loop_test(tcase, places, 0, PLANS);
    return tcase;
}
