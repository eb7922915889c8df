/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/size_combinations.c -- sizes at least cost, against every
 * combination of sizes that a site may have, each judged as check judges a
 * site that has them.
 */
#include "variants/change.h"
#include "generators/size_sites.h"
#include "unit/size_suite.h"
#include "generators/sizing_trees.h"

#define SITES 200
#define SITES_AGREED 20
#define BUSY_SITES usual(30, 60)

static void
disagree(const struct size_site *s, const fc_size_result *r, double want)
{
    ck_abort_msg("%.12g (%s), least of all %.12g\n%s", r->cost,
                 r->feasible ? "feasible" : r->reason, want,
                 size_site_text(s, NULL));
}

/* The places of the sizes that were chosen, among those offered. */
static void
places_of(const struct size_site *s, const fc_size_result *r, size_t *places)
{
    size_t i, k;

    ck_assert_uint_eq(r->n_pipes, s->n_pipes);
    for (i = 0; i < s->n_pipes; i++) {
        const struct offered *o = s->pipes[i].offered;
        const fc_sized_pipe *p = sized_pipe(r, s->pipes[i].name);

        ck_assert_str_eq(p->material, o->material);
        ck_assert_ptr_null(p->previous_size);
        for (k = 0; k < o->n && strcmp(o->labels[k], p->size) != 0; k++)
            ;
        ck_assert_msg(k < o->n, "%s has no %s", o->material, p->size);
        places[i] = k;
    }
}

/* What is said of the sizes is true of them. */
static void
expect_sizes(struct all_sizes *all, const fc_size_result *r, double more)
{
    size_t places[MOST_CHOSEN], i;
    double sum = 0;

    places_of(all->of, r, places);
    ck_assert(sizes_may_be(all, places));
    ck_assert(sizes_serve(all, places, more));
    ck_assert(is_close(r->cost, sizes_cost(all->of, places)));
    for (i = 0; i < r->n_pipes; i++) {
        sum += r->pipes[i].cost;
        ck_assert_double_le(r->pipes[i].velocity,
                            r->pipes[i].velocity_limit * (1 + CLOSE));
    }
    ck_assert(is_close(sum, r->cost));
    ck_assert_int_eq(r->by_prices, all->of->priced);
    ck_assert_int_eq(r->converted, all->of->converted);
}

/* ---- At peak ----------------------------------------------------------- */

static void
compare(struct all_sizes *all, const fc_size_result *r)
{
    size_t places[MOST_CHOSEN], n;
    const double want = cheapest_sizes(all, 0, places, &n);

    if (r->feasible != (want < INFINITY))
        disagree(all->of, r, want);
    ck_assert(r->feasible == (r->works == FC_WORKS));
    if (!r->feasible) {
        ck_assert(r->reason && *r->reason);
        return;
    }
    if (!is_close(r->cost, want))
        disagree(all->of, r, want);
    ck_assert_ptr_null(r->reason);
    ck_assert(r->exact);
    ck_assert(is_close(r->least_cost, want));
    ck_assert(is_close(r->cost_at_peak, want));
    ck_assert_double_eq(r->in_hand, 0);
    ck_assert_int_eq(r->check->works, FC_WORKS);
    expect_sizes(all, r, 0);
}

START_TEST(least_of_all)
{
    struct size_site s;
    struct all_sizes all;
    fc_size_result *r;
    fc_site *site;

    size_site_make(&s, 1 + (unsigned long)_i, false);
    all_sizes_begin(&all, &s);
    site = site_of(size_site_text(&s, NULL));
    r = sized(site, &by_peak);
    compare(&all, r);
    fc_size_result_free(r);
    fc_site_free(site);
    all_sizes_end(&all);
}
END_TEST

/* That the sites have all that they are made to have. */
START_TEST(sites_are_of_all_kinds)
{
    static const char *const parts[] = { "[reducer ",      "[pump ",
                                         "[meter ",        "[backflow ",
                                         "[tolerance]",    "[prices ",
                                         "each =",         "fittings =",
                                         "condition =",    "..",
                                         "reserve =",      "probability",
                                         "copper L",       "inside diameter",
                                         "retrofit =",     "street main",
                                         "tank",           "fixed",
                                         "velocity limit", "units = si" };
    int with[COUNT(parts)] = { 0 }, capped = 0, two = 0, many = 0;
    struct size_site s;
    size_t i;
    int k, p;

    for (k = 0; k < SITES; k++) {
        size_site_make(&s, 1 + (unsigned long)k, false);
        for (p = 0; p < COUNT(parts); p++)
            with[p] += strstr(s.text, parts[p]) != NULL;
        for (i = 0; i < s.n_pipes && isinf(s.pipes[i].cap); i++)
            ;
        capped += i < s.n_pipes;
        two += s.n_offered == 2;
        many += s.n_pipes >= 5;
    }
    for (p = 0; p < COUNT(parts); p++)
        ck_assert_msg(with[p] >= SITES / 25, "%d with %s", with[p], parts[p]);
    ck_assert_int_ge(capped, SITES / 10);
    ck_assert_int_ge(two, SITES / 10);
    ck_assert_int_ge(many, SITES / 5);
}
END_TEST

/* And that there is something to find. */
START_TEST(sites_are_not_easy)
{
    const int sites = SITES / 4;
    int feasible = 0, none = 0, tight = 0, k;

    for (k = 0; k < sites; k++) {
        size_t sizes[MOST_CHOSEN], n;
        struct size_site s;
        struct all_sizes all;
        double least, most;

        size_site_make(&s, 1 + (unsigned long)k, false);
        all_sizes_begin(&all, &s);
        least = cheapest_sizes(&all, -INFINITY, sizes, &n);
        none += n == 0;
        most = cheapest_sizes(&all, 0, sizes, &n);
        feasible += most < INFINITY;
        tight += most < INFINITY && most > least * (1 + CLOSE);
        all_sizes_end(&all);
    }
    ck_assert_int_ge(feasible, sites / 2);
    ck_assert_int_le(feasible, sites - sites / 10);
    ck_assert_int_ge(none, 1);
    ck_assert_int_ge(tight, sites / 4);
}
END_TEST

/* ---- Sizes put into a site -------------------------------------------- */

/* As a change of the site whose sizes are yet to be chosen. */
static fc_site *
site_with(const struct size_site *s, const fc_site *site, const size_t *sizes)
{
    struct fci_change changes[MOST_CHOSEN];
    fc_site *changed = NULL;
    size_t i;

    for (i = 0; i < s->n_pipes; i++)
        changes[i] =
            (struct fci_change){ FCI_PIPE, s->pipes[i].name, "size",
                                 s->pipes[i].offered->labels[sizes[i]], NULL };
    ck_assert_int_eq(
        fci_site_changed(site, changes, s->n_pipes, &changed, NULL), FC_OK);
    return changed;
}

/* What stands for a check above agrees with fc_check(). */
START_TEST(check_agrees)
{
    unsigned long seed = 1000 + (unsigned long)_i;
    struct size_site s;
    struct all_sizes all;
    fc_site *site;
    size_t sizes[MOST_CHOSEN], i;
    int k;

    size_site_make(&s, seed, false);
    all_sizes_begin(&all, &s);
    site = site_of(size_site_text(&s, NULL));
    for (k = 0; k < 10; k++) {
        fc_check_result *check;
        fc_site *with;
        bool serve;

        for (i = 0; i < s.n_pipes; i++)
            sizes[i] = s.pipes[i].offered->n - 1 - next_below(&seed, 3);
        serve = sizes_serve(&all, sizes, 0);
        with = site_with(&s, site, sizes);
        check = checked_by(with, &by_peak.check);
        if (serve)
            ck_assert(check->works == FC_WORKS && has_pressure(check));
        else /* a fixture, or water that does not reach one */
            ck_assert(check->works != FC_WORKS || !has_pressure(check)
                      || check->states[FC_EXISTING].works != FC_WORKS);
        fc_check_result_free(check);
        fc_site_free(with);
    }
    fc_site_free(site);
    all_sizes_end(&all);
}
END_TEST

TCase *
size_combinations(void)
{
    TCase *t = tcase_create("all combinations");

    tcase_add_sampled_test(t, least_of_all, usual(SITES / 2, SITES));
    tcase_add_counting_test(t, sites_are_of_all_kinds);
    tcase_add_counting_test(t, sites_are_not_easy);
    tcase_add_sampled_test(t, check_agrees, SITES_AGREED);
    return t;
}

/* ---- In the flush events too ------------------------------------------- */

/* One thread and few states, the same ones each time. */
static const fc_size_options drawn = { .check = { .threads = 1,
                                                  .most_states = 300 } };

#define STEP (PSI / 2) /* of what is kept in hand */

/* So much is kept in hand by the site itself. */
static fc_site *
site_reserving(const struct size_site *s, double pressure)
{
    const char *given = strstr(s->text, "reserve = 1.5 psi");
    fc_site *site = site_of(size_site_text(s, NULL)), *changed = NULL;
    char reserve[40];
    const struct fci_change change = { FCI_SITE, NULL, "reserve", reserve,
                                       NULL };

    snprintf(reserve, sizeof reserve, "%.9f kPa",
             (pressure + (given ? 1.5 * PSI : 0)) / 1000);
    ck_assert_int_eq(fci_site_changed(site, &change, 1, &changed, NULL),
                     FC_OK);
    fc_site_free(site);
    return changed;
}

/* A step less, and what is then cheapest falls short in the events. */
static void
expect_little(const struct size_site *s, double in_hand)
{
    fc_site *reserving = site_reserving(s, in_hand - STEP), *with;
    fc_size_result *r = sized(reserving, &by_peak);
    size_t places[MOST_CHOSEN];
    fc_check_result *check;

    ck_assert(r->feasible);
    places_of(s, r, places);
    with = site_of(size_site_text(s, places));
    check = checked_by(with, &drawn.check);
    ck_assert_int_ne(check->works, FC_WORKS);
    fc_check_result_free(check);
    fc_site_free(with);
    fc_size_result_free(r);
    fc_site_free(reserving);
}

static void
expect_in_hand(struct all_sizes *all, const fc_size_result *r)
{
    size_t places[MOST_CHOSEN], n;
    fc_check_result *check;
    fc_site *with;

    const double most = cheapest_sizes(all, r->in_hand, places, &n);

    ck_assert(is_close(r->cost_at_peak, cheapest_sizes(all, 0, places, &n)));
    /* in hand at some fixtures costs no more than at all of them */
    ck_assert(r->cost <= most * (1 + CLOSE));
    ck_assert(r->cost >= r->cost_at_peak * (1 - CLOSE));
    ck_assert_int_eq(r->n_in_hand_at > 0, r->in_hand > 0);
    expect_sizes(all, r, 0);
    places_of(all->of, r, places);
    with = site_of(size_site_text(all->of, places));
    check = checked_by(with, &drawn.check);
    ck_assert_int_eq(check->works, FC_WORKS);
    fc_check_result_free(check);
    fc_site_free(with);
    if (r->in_hand > 0 && r->n_in_hand_at == r->check->n_fixtures
        && !r->in_hand_bounded) {
        ck_assert(is_close(r->cost, most));
        expect_little(all->of, r->in_hand);
    }
}

START_TEST(in_hand)
{
    struct size_site s;
    struct all_sizes all;
    fc_size_result *r;
    fc_site *site;

    size_site_make(&s, 1 + (unsigned long)_i, true);
    all_sizes_begin(&all, &s);
    site = site_of(size_site_text(&s, NULL));
    r = sized(site, &drawn);
    if (r->feasible)
        expect_in_hand(&all, r);
    else
        ck_assert(r->reason && *r->reason);
    fc_size_result_free(r);
    fc_site_free(site);
    all_sizes_end(&all);
}
END_TEST

START_TEST(some_need_it)
{
    int kept = 0, k;

    for (k = 0; k < BUSY_SITES / 2; k++) {
        struct size_site s;
        fc_size_result *r;
        fc_site *site;

        size_site_make(&s, 1 + (unsigned long)k, true);
        site = site_of(size_site_text(&s, NULL));
        r = sized(site, &drawn);
        kept += r->feasible && r->in_hand > 0;
        fc_size_result_free(r);
        fc_site_free(site);
    }
    ck_assert_int_ge(kept, BUSY_SITES / 12);
}
END_TEST

TCase *
size_events(void)
{
    TCase *t = tcase_create("flush events");

    tcase_set_timeout(t, 60); /* some take seconds on a slow machine */
    tcase_add_sampled_test(t, in_hand, BUSY_SITES);
    tcase_add_counting_test(t, some_need_it);
    return t;
}
