/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_effect_areas.c -- one area of effects whose flows did not
 * settle, among those whose did.
 */
#include "effects/effects.h"
#include "generators/sites.h"
#include "ground/diagnostics.h"
#include "site/site.h"
#include "unit/building_suite.h"

#define WHY "[prv a] did not settle: an area that is made to fail"

/* A result under construction, as check/effects.c begins it. */
static void
begin(struct fci_effects *e, const fc_site *site)
{
    *e = (struct fci_effects){ .site = site, .converted = true };
    e->result = fci_object_new(sizeof *e->result);
    ck_assert_ptr_nonnull(e->result);
    e->arena = fci_arena_of(e->result);
    e->result->converted = true;
    e->result->state = FC_RETROFIT;
    e->found = (struct fci_findings){ .converted = true, .arena = e->arena };
    e->summary =
        fci_arena_array(e->arena, FCI_MOST_EFFECT_ROWS, sizeof *e->summary);
    ck_assert_ptr_nonnull(e->summary);
}

static void
end(struct fci_effects *e)
{
    fci_findings_free(&e->found);
    fci_object_free(e->result);
}

static fc_status
tells(struct fci_effects *e, fc_diagnostics *messages)
{
    (void)messages;
    fci_effect_row(e, &(fc_effect){ .area = FC_SURGE_EFFECT,
                                    .what = "a row",
                                    .said = { "1", "1" } });
    fci_find(&e->found, FC_WARN, "wc", FC_IN(FC_RETROFIT), FC_FOUND_SURGE,
             "is told of", NULL);
    fci_assume(&e->found, "something is taken for granted");
    fci_effect_judge(e, FC_SURGE_EFFECT, FC_RETROFIT, FC_WILL_NOT_WORK,
                     "harm");
    return FC_OK;
}

/* After it has told half of it. */
static fc_status
fails(struct fci_effects *e, fc_diagnostics *messages)
{
    ck_assert_int_eq(tells(e, messages), FC_OK);
    return fci_fail(messages, FC_ENOCONV, "test.ini", 7, "%s", WHY);
}

static fc_status
refuses(struct fci_effects *e, fc_diagnostics *messages)
{
    (void)e;
    return fci_fail(messages, FC_EINPUT, "test.ini", 3, "is refused");
}

START_TEST(told_as_it_is)
{
    struct fci_effects e;

    begin(&e, NULL);
    ck_assert_int_eq(fci_effect_look(&e, FC_SURGE_EFFECT, tells, NULL), FC_OK);
    ck_assert_uint_eq(e.n_summary, 1);
    ck_assert_uint_eq(e.found.n, 1);
    ck_assert_uint_eq(e.found.n_assumptions, 1);
    ck_assert_int_eq(e.judged[FC_SURGE_EFFECT].verdict.verdicts[FC_RETROFIT],
                     FC_WILL_NOT_WORK);
    end(&e);
}
END_TEST

/* Nothing of it is left but that nothing can be told, and why. */
START_TEST(left_out)
{
    const struct fci_effect_judged *judged;
    fc_diagnostics *messages = fc_diagnostics_new();
    struct fci_effects e;

    begin(&e, NULL);
    ck_assert_int_eq(fci_effect_look(&e, FC_SURGE_EFFECT, fails, messages),
                     FC_OK);
    ck_assert_uint_eq(fc_diagnostics_count(messages), 0);
    ck_assert_uint_eq(e.n_summary, 0);
    ck_assert_uint_eq(e.found.n_assumptions, 0);
    ck_assert_uint_eq(e.found.n, 1);
    ck_assert_int_eq(e.found.list[0].code, FC_FOUND_NOT_WORKED_OUT);
    ck_assert_str_eq(e.found.list[0].text, "surge is left out: " WHY);
    judged = &e.judged[FC_SURGE_EFFECT];
    for (int s = 0; s < FC_STATES; s++) {
        ck_assert(judged->states[s]);
        ck_assert_int_eq(judged->verdict.verdicts[s], FC_CANNOT_TELL);
    }
    ck_assert_str_eq(judged->verdict.why, "the flows did not settle");
    /* the next area is told beside it */
    ck_assert_int_eq(fci_effect_look(&e, FC_RESTART_EFFECT, tells, messages),
                     FC_OK);
    ck_assert_uint_eq(e.n_summary, 1);
    ck_assert_uint_eq(e.found.n, 2);
    end(&e);
    fc_diagnostics_free(messages);
}
END_TEST

START_TEST(other_failures_pass)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    struct fci_effects e;

    begin(&e, NULL);
    ck_assert_int_eq(fci_effect_look(&e, FC_SURGE_EFFECT, refuses, messages),
                     FC_EINPUT);
    ck_assert_str_eq(all_messages(messages), "test.ini:3: is refused\n");
    end(&e);
    fc_diagnostics_free(messages);
}
END_TEST

/* ---- What is said where flows did not settle ---------------------------- */

START_TEST(names_place_and_state)
{
    static const char text[] =
        "[source s]\nkind = fixed\npressure = 60 psi\n"
        "[device d]\nfrom = s\nloss = 4 psi at 20 gpm\n"
        "[valve v]\nflow = 25 gpm at 25 psi\n"
        "[fixture wc]\non = d\nkind = water closet, flush valve\ncount = 4\n"
        "existing = v\nretrofit = v\n";
    fc_site *site = site_of(text);

    for (int s = 0; s < FC_STATES; s++) {
        const struct fci_open open = { 0, 3 };
        fc_diagnostics *messages = fc_diagnostics_new();
        struct fci_network *network = NULL;
        struct fci_solver *solver;

        ck_assert_int_eq(fci_network_new(site, (fc_state)s, &network, NULL),
                         FC_OK);
        solver = fci_solver_new(network);
        ck_assert_int_eq(fci_solver_run(solver, &open, 1), FC_OK);
        ck_assert_int_eq(fci_solver_fail(solver, FC_OK, messages), FC_OK);
        ck_assert_uint_eq(fc_diagnostics_count(messages), 0);
        ck_assert_int_eq(fci_solver_fail(solver, FC_ENOCONV, messages),
                         FC_ENOCONV);
        ck_assert_ptr_nonnull(strstr(all_messages(messages), "test.ini:"));
        ck_assert_ptr_nonnull(
            strstr(all_messages(messages), fci_solver_culprit(solver)));
        ck_assert_ptr_nonnull(
            strstr(all_messages(messages),
                   s == FC_RETROFIT ? "(after retrofit, " : "(existing, "));
        ck_assert_ptr_nonnull(
            strstr(all_messages(messages), "3 flush valves open)"));
        fci_solver_free(solver);
        fci_network_free(network);
        fc_diagnostics_free(messages);
    }
    fc_site_free(site);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("effect areas");
    TCase *tcase = tcase_create("areas");

    building_tables();
    tcase_add_test(tcase, told_as_it_is);
    tcase_add_test(tcase, left_out);
    tcase_add_test(tcase, other_failures_pass);
    tcase_add_test(tcase, names_place_and_state);
    suite_add_tcase(suite, tcase);
    return run_building_suite(suite);
}
