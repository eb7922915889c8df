/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/diagnose_work.c -- what is found as work to be done, and the
 * first visit of a building without readings. */
#include "unit/diagnose_suite.h"

#include <stdio.h>
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
    ck_assert_uint_eq(work->n_steps, 2);
    ck_assert_str_eq(work->steps[0],
                     "open the gate valve in pipe wing fully: count the turns "
                     "(a gate off its stem turns and does nothing)");
    ck_assert_str_eq(work->steps[1], "replace what won't open fully");
    ck_assert_str_eq(work->isolate,
                     "the inlet shut-off at meter m-1. An old valve may not "
                     "hold: know the next one upstream, and tell those who "
                     "lose water");
    ck_assert_str_eq(work->loss, "about 19 psi lost with wc open (33 gpm)");
    ck_assert_str_eq(work->after,
                     "wc with wc open must rise from 43.5 psi to "
                     "between 56.6 psi and 57.6 psi. Then take the readings "
                     "made before the repair out of the file");
    put_away();
}
END_TEST

/* As long as nobody looked, all that may be there, and not the stop that was
 * seen open. */
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
                       "see that the gate valve in pipe wing is fully open: "
                       "count the turns (a gate off its stem turns and does "
                       "nothing)"));
    ck_assert(has_step(&diagnosis->work[0],
                       "look for a valve or strainer that is not in the "
                       "file"));
    ck_assert(has_step(&diagnosis->work[0], "last, open a joint of wing: "
                                            "scale or debris in the bore"));
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
    ck_assert_msg(strstr(work->isolate, "the gate valve in pipe wing: count "
                                        "the turns"),
                  "%s", work->isolate);
    put_away();
}
END_TEST

/* The 0.0176 psi/gpm2 more are the meter's: 43.478 psi behind it at 32.969
 * gpm.  Two wide pipes go from there to the valve, and 1 ft of 4 in takes
 * nothing that a gauge shows: what is opened may have water from both. */
START_TEST(shuts_off_every_supply)
{
    const fc_work *work;

    diagnose(WING "[pipe around]\nfrom = m-1\nto = wing\n"
                  "material = copper L\nsize = 4 in\nlength = 1 ft\n"
                  "fittings = none\n"
                  "[reading r3]\nat = m-1\npressure = 43.478 psi\n"
                  "within = 0.5 psi\nflushing = wc\n"
                  "[reading r4]\nat = wc\npressure = 43.478 psi\n"
                  "within = 0.5 psi\nflushing = wc\n"
                  "[reading r5]\nat = main\npressure = 80 psi\n"
                  "within = 0.5 psi\nflushing = wc\n"
                  "[look l]\nat = m-1\nshows = clogged\n");
    ck_assert_msg(diagnosis->verdict == FC_ONE_FAULT, "%s", diagnosis->text);
    work = &diagnosis->work[0];
    ck_assert(has_step(work, "clean the strainer of meter m-1"));
    ck_assert_str_eq(work->isolate,
                     "every supply to it, since water may come from several "
                     "sides: a valve on each of them, or else at every "
                     "source. Open it only once no water comes, and tell "
                     "those who lose it");
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
    ck_assert_str_eq(work->where, diagnosis->found);
    ck_assert_uint_eq(work->n_steps, 1);
    ck_assert_str_eq(work->steps[0],
                     "riser was taped: change its rise in the file from 10.0 "
                     "ft to 30.0 ft; open nothing");
    ck_assert_str_eq(work->isolate, "");
    ck_assert_str_eq(work->after, "");
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
    ck_assert(strstr(diagnosis->first_visit[0], "what work was done before "));
    ck_assert(has_line("Static, nothing open anywhere, at main (first hose "
                       "bibb or meter outlet on the house side): by the file "
                       "80.0 psi."));
    ck_assert(has_line("Static, nothing open anywhere, at wc: by the file "
                       "80.0 psi."));
    ck_assert(has_line("With 1 of wc held open, at wc: by the file 57.1 "
                       "psi."));
    ck_assert(has_line("Time three flushes of wc: by the file 1.6 gal takes "
                       "2.5 s."));
    ck_assert(has_line("Open no strainer and take nothing apart on this "
                       "visit: the readings say where."));
    put_away();
}
END_TEST

/* A PRV set to 50 to 60 psi, its usual fall-off apart, with the valve 10 ft
 * above: nothing there is planned to read above 60, and nothing that flows
 * above what stands. */
START_TEST(plans_no_more_than_a_prv_lets_through)
{
    size_t i;

    diagnose("[site]\ntitle = Invented\n"
             "[source main]\nkind = fixed\npressure = 90 psi\n"
             "[reducer house]\nfrom = main\nset = 50..60 psi\n"
             "[pipe riser]\nfrom = house\nc = 150\n"
             "inside diameter = 4 in\nlength = 10 ft\nrise = 10 ft\n"
             "fittings = none\n"
             "[valve v]\nflow = 25 gpm at 25 psi\nfull flush = 1.6 gal\n"
             "[fixture wc]\non = riser\nkind = water closet, flush valve\n"
             "existing = v\n");
    for (i = 0; i < diagnosis->n_first_visit; i++)
        if (strstr(diagnosis->first_visit[i], "at wc: by the file")
            || strstr(diagnosis->first_visit[i], "at house")) {
            const char *figure = strstr(diagnosis->first_visit[i], "file ");
            double low = 0, high = 0;

            ck_assert_ptr_nonnull(figure);
            ck_assert_int_ge(
                sscanf(figure, "file %lf to %lf psi", &low, &high), 1);
            ck_assert(low <= 60 && high <= 60);
        }
    put_away();
}
END_TEST

/* Nothing is read, and a valve was seen to be what it should not be. */
START_TEST(says_what_was_seen_before_anything_was_read)
{
    diagnose("[site]\ntitle = Invented\n"
             "[source main]\nkind = fixed\npressure = 80 psi\n"
             "[meter m-1]\nfrom = main\nloss = 10 psi at 25 gpm\n"
             "[pipe riser-3]\nfrom = m-1\n"
             "material = copper L\nsize = 4 in\nlength = 10 ft\n"
             "fittings = 1 gate valve\n"
             "[fixture wc]\non = riser-3\n"
             "kind = water closet, flush valve\n"
             "[look a]\nat = riser-3\nshows = half open\n"
             "[look b]\nat = m-1\nshows = turns\n");
    ck_assert_int_eq(diagnosis->verdict, FC_NOTHING_READ);
    ck_assert_str_eq(diagnosis->found,
                     "riser-3: its valve is partly closed: open it first; "
                     "m-1 turns with everything shut: find the leak, or the "
                     "valve that won't shut off");
    put_away();
}
END_TEST

/* Two places at one height read 80 and 60 psi with nothing open, and again 70:
 * nothing is made of readings that don't agree. */
START_TEST(orders_nothing_from_what_does_not_agree)
{
    diagnose("[site]\ntitle = Invented\n"
             "[source main]\nkind = fixed\npressure = 80 psi\n"
             "[pipe riser]\nfrom = main\nc = 150\n"
             "inside diameter = 12 in\nlength = 1 ft\n"
             "[device strainer]\nfrom = riser\nloss = 10 psi at 25 gpm\n"
             "[fixture wc]\non = strainer\n"
             "kind = water closet, flush valve\n"
             "[reading r1]\nat = strainer\npressure = 80 psi\n"
             "within = 0.1 psi\n"
             "[reading r2]\nat = riser\npressure = 70 psi\n"
             "within = 0.1 psi\n"
             "[reading r3]\nat = strainer\npressure = 60 psi\n"
             "within = 0.1 psi\n");
    ck_assert_int_eq(diagnosis->verdict, FC_READINGS_DISAGREE);
    ck_assert_uint_eq(diagnosis->n_work, 0);
    ck_assert_ptr_null(diagnosis->likeliest);
    ck_assert_uint_eq(diagnosis->n_others, 0);
    put_away();
}
END_TEST

/* Two readings where the supply falls short behind a meter, with nothing
 * looked at: whatever is left, nothing is opened before what is asked for. */
START_TEST(opens_nothing_before_the_next_reading)
{
    const fc_work *work;
    size_t i;

    diagnose(WING "[reading r4]\nat = wc\npressure = 43.478 psi\n"
                  "within = 0.5 psi\nflushing = wc\n");
    ck_assert_int_eq(diagnosis->verdict, FC_NARROWED_DOWN);
    ck_assert_ptr_nonnull(diagnosis->next.at);
    ck_assert_uint_eq(diagnosis->n_work, 1);
    work = &diagnosis->work[0];
    ck_assert_str_eq(work->isolate, "");
    ck_assert_str_eq(work->after, "");
    for (i = 0; i < work->n_steps; i++)
        ck_assert_msg(strncmp(work->steps[i], "see ", 4) == 0
                          || strncmp(work->steps[i], "look ", 5) == 0
                          || strncmp(work->steps[i], "measure ", 8) == 0
                          || strncmp(work->steps[i], "tape ", 5) == 0,
                      "%s", work->steps[i]);
    ck_assert_ptr_nonnull(diagnosis->likeliest);
    ck_assert(strstr(diagnosis->text, diagnosis->likeliest));
    ck_assert(
        strstr(diagnosis->likeliest, work->from ? work->from : work->where));
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
    tcase_add_test(tcase, shuts_off_every_supply);
    tcase_add_test(tcase, orders_a_height);
    tcase_add_test(tcase, plans_a_first_visit);
    tcase_add_test(tcase, plans_no_more_than_a_prv_lets_through);
    tcase_add_test(tcase, says_what_was_seen_before_anything_was_read);
    tcase_add_test(tcase, orders_nothing_from_what_does_not_agree);
    tcase_add_test(tcase, opens_nothing_before_the_next_reading);
    return tcase;
}
