/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/diagnose_work.c -- what is found as work to be done, and the
 * first visit of a building without readings. */
#include "unit/diagnose_suite.h"

#include <string.h>

static fc_site *site;
static fc_diagnosis *diagnosis;

static void
diagnose(const char *text)
{
    site = site_of(text);
    diagnosis = diagnosis_of(site);
}

static void
put_away(void)
{
    fc_diagnosis_free(diagnosis);
    fc_site_free(site);
}

static bool
has_step(const fc_work *work, const char *step)
{
    size_t i;

    for (i = 0; i < work->n_steps; i++)
        if (strcmp(work->steps[i], step) == 0)
            return true;
    return false;
}

static bool
has_line(const char *line)
{
    size_t i;

    for (i = 0; i < diagnosis->n_first_visit; i++)
        if (strcmp(diagnosis->first_visit[i], line) == 0)
            return true;
    return false;
}

/* 80 psi, a meter that takes 10 psi at 25 gpm (0.016 psi/gpm2), a wide pipe
 * with a gate valve that no gauge splits, and a valve of 0.04 psi/gpm2. */
#define WING                                                                  \
    "[site]\ntitle = Invented\n"                                              \
    "[source main]\nkind = fixed\npressure = 80 psi\n"                        \
    "[meter m-1]\nfrom = main\nloss = 10 psi at 25 gpm\n"                     \
    "[pipe wing]\nfrom = m-1\nmaterial = copper L\nsize = 4 in\n"             \
    "length = 1 ft\nfittings = 1 gate valve\n"                                \
    "[valve v]\nflow = 25 gpm at 25 psi\nfull flush = 1.6 gal\n"              \
    "minimum flowing = 10 psi\n"                                              \
    "[fixture wc]\non = wing\nkind = water closet, flush valve\n"             \
    "existing = v\n"                                                          \
    "[reading r1]\nat = m-1\npressure = 80 psi\nwithin = 0.5 psi\n"           \
    "[reading r2]\nat = wc\npressure = 80 psi\nwithin = 0.5 psi\n"

/* 0.0176 psi/gpm2 more behind the meter: 80 / 0.0736 = 1086.957 gpm2, 32.969
 * gpm; 80 - 0.016 * 1086.957 = 62.609 psi at the meter and 43.478 at the
 * valve, 19.130 lost.  Sound, 0.04 * 80 / 0.056 = 57.143 psi at the valve: the
 * gauge may show 56.6 to 57.6. */
START_TEST(orders_a_stretch)
{
    const fc_work *work;

    diagnose(WING "[reading r3]\nat = m-1\npressure = 62.609 psi\n"
                  "within = 0.5 psi\nflushing = wc\n"
                  "[reading r4]\nat = wc\npressure = 43.478 psi\n"
                  "within = 0.5 psi\nflushing = wc\n"
                  "[look l]\nat = wing\nshows = shut\n");
    ck_assert_msg(diagnosis->verdict == FC_ONE_FAULT, "%s", diagnosis->text);
    ck_assert_uint_eq(diagnosis->n_work, 1);
    work = &diagnosis->work[0];
    ck_assert_str_eq(work->where, "between m-1 and wc");
    ck_assert_str_eq(work->from, "m-1");
    ck_assert_str_eq(work->to, "wc");
    ck_assert_uint_eq(work->n_steps, 1);
    ck_assert_str_eq(work->steps[0], "open the gate valve in pipe wing fully; "
                                     "replace it if it won't");
    ck_assert_str_eq(work->isolate, "the shut-off at meter m-1");
    ck_assert_msg(strstr(work->loss, "19.1 psi lost at 33.0 gpm"), "%s",
                  work->loss);
    ck_assert_str_eq(work->after, "afterwards wc with wc open must read 56.6 "
                                  "to 57.6 psi (43.5 psi read)");
    put_away();
}
END_TEST

/* As long as nobody looked, all that may be there. */
START_TEST(orders_what_may_be_there)
{
    diagnose(WING "[reading r3]\nat = m-1\npressure = 62.609 psi\n"
                  "within = 0.5 psi\nflushing = wc\n"
                  "[reading r4]\nat = wc\npressure = 43.478 psi\n"
                  "within = 0.5 psi\nflushing = wc\n"
                  "[look l]\nat = wc\nshows = open\n");
    ck_assert_uint_eq(diagnosis->n_work, 1);
    ck_assert_str_eq(diagnosis->work[0].where, "between m-1 and wc");
    ck_assert(has_step(&diagnosis->work[0],
                       "check the gate valve in pipe wing (fittings: 1 gate "
                       "valve)"));
    ck_assert(has_step(&diagnosis->work[0],
                       "a valve or strainer that is not in the file may be "
                       "there"));
    put_away();
}
END_TEST

/* 3.5 gpm through the valve leave 0.04 * 12.25 = 0.49 psi there and take 0.016
 * * 12.25 = 0.196 psi in the meter: the stop is nearly closed. */
START_TEST(orders_a_stop)
{
    const fc_work *work;

    diagnose(WING "[reading r3]\nat = wing\npressure = 79.804 psi\n"
                  "within = 0.5 psi\nflushing = wc\n"
                  "[reading r4]\nat = wc\npressure = 0.49 psi\n"
                  "within = 0.5 psi\nflushing = wc\n"
                  "[look l]\nat = wc\nshows = shut\n");
    ck_assert_msg(diagnosis->verdict == FC_ONE_FAULT, "%s", diagnosis->text);
    work = &diagnosis->work[0];
    ck_assert_str_eq(work->where, "the control stop of wc nearly closed");
    ck_assert_ptr_null(work->from);
    ck_assert(has_step(work, "open the control stop of wc fully and flush "
                             "again"));
    ck_assert_str_eq(work->isolate, "the gate valve in pipe wing");
    put_away();
}
END_TEST

/* 30 ft where 10 are told: 80 - 0.43310 * 30 = 67.007 psi are left (a foot of
 * water is 0.43310 psi, Kell); what is put right is the file. */
START_TEST(orders_a_height)
{
    const fc_work *work;

    diagnose("[site]\ntitle = Invented\n"
             "[source main]\nkind = fixed\npressure = 80 psi\n"
             "[pipe riser]\nfrom = main\nc = 150\ninside diameter = 12 in\n"
             "length = 60 ft\nrise = 10 ft\nfittings = none\n"
             "[fixture wc]\non = riser\nkind = water closet, flush valve\n"
             "[reading r1]\nat = main\npressure = 80 psi\nwithin = 0.5 psi\n"
             "[reading r2]\nat = riser\npressure = 67.007 psi\n"
             "within = 0.5 psi\n"
             "[reading r3]\nat = wc\npressure = 67.007 psi\n"
             "within = 0.5 psi\n"
             "[look tape]\nat = riser\nrise = 30 ft\n");
    ck_assert_msg(diagnosis->verdict == FC_ONE_FAULT, "%s", diagnosis->text);
    work = &diagnosis->work[0];
    ck_assert_str_eq(work->where, "rise of riser not as entered");
    ck_assert(has_step(work, "tape the rise of riser: the file says 10.0 ft"));
    ck_assert_str_eq(work->isolate, "");
    ck_assert_str_eq(work->loss, "");
    put_away();
}
END_TEST

/* Nothing is read: 80 psi at rest everywhere; one valve takes sqrt(80 / 0.056)
 * = 37.796 gpm and has 57.143 psi; 1.6 gal of it last 2.54 s. */
START_TEST(plans_a_first_visit)
{
    diagnose("[site]\ntitle = Invented\n"
             "[source main]\nkind = fixed\npressure = 80 psi\n"
             "[meter m-1]\nfrom = main\nloss = 10 psi at 25 gpm\n"
             "[valve v]\nflow = 25 gpm at 25 psi\nfull flush = 1.6 gal\n"
             "[fixture wc]\non = m-1\nkind = water closet, flush valve\n"
             "existing = v\n");
    ck_assert_int_eq(diagnosis->verdict, FC_NOTHING_READ);
    ck_assert_uint_eq(diagnosis->n_readings, 0);
    ck_assert_uint_le(diagnosis->n_first_visit, 12);
    ck_assert(has_line("Open and clean the strainers: meter m-1."));
    ck_assert(has_line("Read static, with nothing open: main 80.0 psi, wc "
                       "80.0 psi."));
    ck_assert(has_line("Read with 1 of wc open: main 80.0 psi, wc 57.1 psi."));
    ck_assert(has_line("Time one flush of wc: 1.6 gal takes 2.5 s by the "
                       "file."));
    put_away();
}
END_TEST

TCase *
diagnose_work(void)
{
    TCase *tcase = tcase_create("work");

    tcase_add_test(tcase, orders_a_stretch);
    tcase_add_test(tcase, orders_what_may_be_there);
    tcase_add_test(tcase, orders_a_stop);
    tcase_add_test(tcase, orders_a_height);
    tcase_add_test(tcase, plans_a_first_visit);
    return tcase;
}
