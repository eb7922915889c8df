/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/cure_of_examples.c -- what cures the examples, tried. */
#include "unit/cure_suite.h"
#include "unit/cure_trials.h"

#include <math.h>

static fc_site *
example(const char *name)
{
    const char *srcdir = getenv("srcdir");
    char path[4096];
    fc_site *site = NULL;

    snprintf(path, sizeof path, "%s/examples/%s", srcdir ? srcdir : ".", name);
    ck_assert_int_eq(fc_site_read(path, &site, NULL), FC_OK);
    return site;
}

static const char *const not_well[] = { "clinic.ini", "school.ini",
                                        "block.ini", "library.ini" };

/* With the flush events. */
START_TEST(each_remedy)
{
    struct cured c;

    cured_begin(&c, example(not_well[_i]), false, not_well[_i]);
    ck_assert_uint_gt(c.all->n_remedies, 0);
    assert_remedies(&c);
    cured_end(&c);
}
END_TEST

/* A raised source and a booster give the clinic's top floor what it needs, and
 * the lowest more without flow than the site's 80 psi. */
START_TEST(clinic_has_no_room)
{
    const fc_lever levers[] = { FC_RAISE_SOURCE, FC_ADD_BOOSTER };
    struct cured c;
    int i;

    cured_begin(&c, example("clinic.ini"), false, "clinic");
    for (i = 0; i < COUNT(levers); i++) {
        const fc_remedy *r = cured_by(&c, levers[i], NULL);
        fc_check_result *check = NULL;
        fc_site *site;
        size_t k, over = 0;

        ck_assert(r && !r->works && !isnan(r->value));
        ck_assert_ptr_nonnull(strstr(r->text, "limit 80.0 psi"));
        site = turned_to(&c, r, r->value);
        ck_assert_int_eq(fc_check(site, &check, NULL), FC_OK);
        for (k = 0; k < check->n_fixtures; k++) {
            const fc_checked_fixture *f = &check->fixtures[k];

            ck_assert_int_eq(f->states[FC_RETROFIT].pressure, FC_WORKS);
            if (f->states[FC_RETROFIT].too_high != FC_WORKS)
                over++;
        }
        ck_assert_uint_gt(over, 0);
        fc_check_result_free(check);
        fc_site_free(site);
    }
    cured_end(&c);
}
END_TEST

/* 79 psi at a gauge at height 0, the lowest closets' inlets at
 * -4 + 13 - 7 + 0.5 = 2.5 ft: 79 - 0.4331 x 2.5 = 77.917 psi, 2.083 under the
 * site's 80 (IPC 604.8): any raise by more than that is too much. */
START_TEST(clinic_by_its_heights)
{
    const fc_remedy *r;
    struct cured c;

    cured_begin(&c, example("clinic.ini"), true, "clinic");
    r = cured_by(&c, FC_RAISE_SOURCE, "main");
    ck_assert_ptr_nonnull(r);
    ck_assert_double_gt(r->value - r->now, 2.083 * PSI);
    ck_assert(!r->works);
    cured_end(&c);
}
END_TEST

START_TEST(tower_needs_nothing)
{
    /* as many states as it takes: fewer leave its weak flushes in doubt */
    fc_site *site = example("tower.ini");
    fc_remedies *all = NULL;

    ck_assert_int_eq(fc_remedies_find(site, NULL, &all, NULL), FC_OK);
    ck_assert_int_eq(all->works, FC_WORKS);
    ck_assert_uint_eq(all->n_remedies, 0);
    ck_assert_ptr_nonnull(all->check);
    ck_assert_uint_eq(all->n_windows, 16);
    fc_remedies_free(all);
    fc_site_free(site);
}
END_TEST

TCase *
cure_of_examples(void)
{
    TCase *t = tcase_create("examples");

    tcase_add_loop_test(t, each_remedy, 0, COUNT(not_well));
    tcase_add_test(t, clinic_has_no_room);
    tcase_add_test(t, clinic_by_its_heights);
    tcase_add_test(t, tower_needs_nothing);
    return t;
}
