/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/properties/check_evidence_usual.c -- what nobody gave or measured:
 * pairs of sites whose verdicts must differ, and the figure at which a verdict
 * turns, put into the site a hair to either side.
 *
 * One closet, whose valve draws 25 gpm whatever it has beyond 25 psi, needs 35
 * psi by the IPC (Table 604.3), and 10 units are 27.0 gpm (Appendix E, Tables
 * E103.3(2) and (3)).  A pipe so wide that it takes nothing leads to it.
 */
#include "generators/sites.h"

#include <math.h>

#define MAIN(keys) "[source s]\nkind = street main\n" keys
#define FIXED(psi) "[source s]\nkind = fixed\npressure = " psi " psi\n"
#define CLOSETS(from, count)                                                  \
    "[pipe p]\nfrom = " from "\nlength = 1 ft\nc = 130\n"                     \
    "inside diameter = 40 in\nfittings = none\n"                              \
    "[valve v]\nminimum flowing = 25 psi\nflow = 25 gpm at 25 psi\n"          \
    "regulated = yes\nfull flush = 1.6 gal\n"                                 \
    "[fixture x]\non = p\nkind = water closet, flush valve\n"                 \
    "existing = v\nsupply size = 1 in\ncount = " count "\n"
#define CLOSET(from) CLOSETS(from, "1")
#define PRV(keys) "[reducer r]\nfrom = s\n" keys
#define STEADY "fall-off = 0 psi at 10 gpm\n"
#define NO_LOSS "loss = 0 psi\n"
#define OPEN "[site]\nmaximum static = 200 psi\n"

static fc_check_result *
check(const char *text, fc_site **site)
{
    fc_check_result *result = NULL;

    *site = site_of(text);
    ck_assert_int_eq(fc_check(*site, &result, NULL), FC_OK);
    return result;
}

static fc_verdict
verdict_of(const char *text)
{
    fc_site *site;
    fc_check_result *result = check(text, &site);
    const fc_verdict works = result->works;

    fc_check_result_free(result);
    fc_site_free(site);
    return works;
}

/* ---- Pairs -------------------------------------------------------------- */

/* The published test 68 / 50 at 223 / 39 at 416 / 13 at 538 gpm, of which one
 * point alone makes -24 psi at 538 gpm by the law (NFPA 291, from memory).  A
 * steady draw of 511 gpm and the closet's 27 are 538. */
#define TESTED(points)                                                        \
    MAIN("static = 68 psi\nwithin = 0 psi\nflow test = " points)
#define DRAW "\n[demand d]\non = s\nflow = 511 gpm\n"

#define STEEL(keys)                                                           \
    FIXED("50")                                                               \
    "[pipe g]\nfrom = s\nmaterial = steel sch 40\n"                           \
    "size = 1-1/4 in\nlength = 60 ft\nfittings = none\n" keys CLOSET("g")
/* 27 gpm in 100 ft of 1 in copper L (1.025 in): 16.6 psi by 4.52 x 27^1.852 /
 * (140^1.852 x 1.025^4.87) psi a foot; half as much again with fittings. */
#define BRANCH(keys)                                                          \
    FIXED("60")                                                               \
    "[pipe g]\nfrom = s\nmaterial = copper L\ncondition = new\n"              \
    "size = 1 in\nlength = 100 ft\nvelocity limit = 12 ft/s\n" keys CLOSET(   \
        "g")

static const struct {
    const char *site;
    fc_verdict works;
} pairs[] = {
    /* a main without a flow test, and with one */
    { MAIN("static = 60 psi\n") CLOSET("s"), FC_CANNOT_TELL },
    { MAIN("static = 60 psi\nresidual = 50 psi\nresidual flow = 100 gpm\n")
          CLOSET("s"),
      FC_WORKS },
    { MAIN("static = 34 psi\n") CLOSET("s"), FC_WILL_NOT_WORK },
    /* one gauge read both, to half a mark each: 41 - (3 + 2), not + 4 */
    { MAIN("static = 41 psi\nresidual = 38 psi\nresidual flow = 27 gpm\n"
           "gauge = g\n") "[gauge g]\nmarks = 2 psi\n" CLOSET("s"),
      FC_WORKS },
    { MAIN("static = 41 psi\nresidual = 38 psi\nresidual flow = 27 gpm\n"
           "gauge = g\n") "[gauge g]\nmarks = 5 psi\n" CLOSET("s"),
      FC_CANNOT_TELL },
    /* a drop that its gauge cannot see, at a tenth of the flow */
    { MAIN("static = 60 psi\nresidual = 59.9 psi\nresidual flow = 3 gpm\n")
          CLOSET("s"),
      FC_CANNOT_TELL },
    { MAIN("static = 60 psi\nresidual = 59.9 psi\nresidual flow = 3 gpm\n"
           "within = 0 psi\n") CLOSET("s"),
      FC_WORKS },
    /* two gauge readings of 2 psi each: 41 - (3 + 4) is under 35 */
    { MAIN("static = 41 psi\nresidual = 38 psi\nresidual flow = 27 gpm\n")
          CLOSET("s"),
      FC_CANNOT_TELL },
    { MAIN("static = 41 psi\nresidual = 38 psi\nresidual flow = 27 gpm\n"
           "within = 1 psi\n") CLOSET("s"),
      FC_WORKS },
    /* a static of another day: 44 - (66 - 53) is short, whatever that day */
    { MAIN("static = 44..66 psi\nresidual = 53 psi\nresidual flow = 27 gpm\n"
           "within = 0 psi\n") CLOSET("s"),
      FC_CANNOT_TELL },
    { MAIN("static = 44..66 psi\ntest static = 55 psi\nresidual = 53 psi\n"
           "residual flow = 27 gpm\nwithin = 0 psi\n") CLOSET("s"),
      FC_WORKS },
    /* one point says nothing firm at 2.4 times its flow, all of them do */
    { TESTED("50 psi at 223 gpm") DRAW CLOSET("s"), FC_CANNOT_TELL },
    { TESTED("50 psi at 223 gpm, 39 psi at 416 gpm, 13 psi at 538 gpm")
          DRAW CLOSET("s"),
      FC_WILL_NOT_WORK },
    /* a PRV of which only the set pressure is given */
    { FIXED("70") PRV("set = 50 psi\n") CLOSET("r"), FC_CANNOT_TELL },
    { FIXED("70") PRV("set = 50 psi\nfall-off = 10 psi at 27 gpm\n" NO_LOSS)
          CLOSET("r"),
      FC_WORKS },
    { FIXED("70") PRV("set = 57 psi\n") CLOSET("r"), FC_WORKS },
    /* 44 psi may fall to 34 through one that is wide open */
    { FIXED("44") PRV("set = 60 psi\n" STEADY) CLOSET("r"), FC_CANNOT_TELL },
    { FIXED("44") PRV("set = 60 psi\n" STEADY "loss = 8 psi\n") CLOSET("r"),
      FC_WORKS },
    /* a preventer of one point holds back at most that at less flow */
    { FIXED("41") "[backflow b]\nfrom = s\nloss = 8 psi at 54 gpm\n" CLOSET(
          "b"),
      FC_CANNOT_TELL },
    { FIXED("41") "[backflow b]\nfrom = s\n"
                  "loss = 0 gpm 5 psi, 27 gpm 5 psi, 54 gpm 8 psi\n" CLOSET(
                      "b"),
      FC_WORKS },
    { FIXED("44") "[backflow b]\nfrom = s\nloss = 8 psi at 54 gpm\n" CLOSET(
          "b"),
      FC_WORKS },
    /* one that dips leaves open what is lost on the way out of the dip */
    { FIXED("42") "[backflow b]\nfrom = s\n"
                  "loss = 0 gpm 9 psi, 20 gpm 5 psi, 60 gpm 6 psi\n" CLOSET(
                      "b"),
      FC_CANNOT_TELL },
    { FIXED("45") "[backflow b]\nfrom = s\n"
                  "loss = 0 gpm 9 psi, 20 gpm 5 psi, 60 gpm 6 psi\n" CLOSET(
                      "b"),
      FC_WORKS },
    /* beyond its curve a meter has 5 + 0.25 x 7 or 5 x (27 / 20)^2 psi */
    { FIXED("43") "[meter m]\nfrom = s\nloss = 0 gpm 0 psi, 20 gpm 5 "
                  "psi\n" CLOSET("m"),
      FC_CANNOT_TELL },
    { FIXED("43") "[meter m]\nfrom = s\nloss = 0 gpm 0 psi, 20 gpm 5 psi, "
                  "30 gpm 7.5 psi\n" CLOSET("m"),
      FC_WORKS },
    /* old galvanized pipe of which nothing is known, and known to be new */
    { STEEL(""), FC_CANNOT_TELL },
    { STEEL("condition = aged\n"), FC_CANNOT_TELL },
    { STEEL("condition = new\n"), FC_WORKS },
    { STEEL("c = 100\n"), FC_WORKS },
    /* at C = 60 of a test, 12.9 psi are lost */
    { STEEL("c = 60\n"), FC_WORKS },
    { STEEL("c = 50..60\n"), FC_CANNOT_TELL },
    /* points that do not grow: 3 psi, or 3 x (27 / 5)^2 */
    { FIXED("43") "[meter m]\nfrom = s\nloss = 0 gpm 3 psi, 5 gpm 3 "
                  "psi\n" CLOSET("m"),
      FC_CANNOT_TELL },
    { FIXED("43") "[meter m]\nfrom = s\nloss = 0 gpm 3 psi, 30 gpm 3 "
                  "psi\n" CLOSET("m"),
      FC_WORKS },
    /* a head that does not fall yet may be gone at five times the flow */
    { FIXED("30") "[pump b]\nfrom = s\ncurve = 0 gpm 60 ft, 5 gpm 60 "
                  "ft\n" CLOSET("b"),
      FC_CANNOT_TELL },
    { FIXED("30") "[pump b]\nfrom = s\ncurve = 0 gpm 60 ft, 5 gpm 60 ft, 30 "
                  "gpm 50 ft\n" CLOSET("b"),
      FC_WORKS },
    /* 5 psi at 10 gpm are 13.5 psi at 27 by the line, and 36.5 by the square
     */
    { FIXED("90") PRV("set = 50 psi\nloss = 0 psi\n"
                      "fall-off = 5 psi at 10 gpm\n") CLOSET("r"),
      FC_CANNOT_TELL },
    { FIXED("90") PRV("set = 50 psi\nloss = 0 psi\n"
                      "fall-off = 13.5 psi at 27 gpm\n") CLOSET("r"),
      FC_WORKS },
    /* fittings that nobody listed */
    { BRANCH(""), FC_CANNOT_TELL },
    { BRANCH("fittings = none\n"), FC_WORKS },
};

START_TEST(twins)
{
    ck_assert_int_eq(verdict_of(pairs[_i].site), pairs[_i].works);
}
END_TEST

/* ---- Where it turns ------------------------------------------------------
 */

/* `put`: the figure in psi as an input, %s it; `other`: what it is taken from,
 * NAN: it stands as it is. */
static const struct {
    const char *head, *unknown, *put, *tail;
    double from, turns;
} turning[] = {
    /* 60 - 35 */
    { MAIN("static = 60 psi\n"), "",
      "residual = %.6f psi\nresidual flow = 27 gpm\nwithin = 0 psi\n",
      CLOSET("s"), 60, 25 },
    { MAIN("static = 90 psi\n"), "",
      "residual = %.6f psi\nresidual flow = 27 gpm\nwithin = 0 psi\n",
      "[device d]\nfrom = s\nloss = 12.5 psi\n" CLOSET("d"), 90, 42.5 },
    /* 50 - 35 */
    { FIXED("70") PRV("set = 50 psi\n" NO_LOSS), "",
      "fall-off = %.6f psi at 27 gpm\n", CLOSET("r"), NAN, 15 },
    /* 40 - 35 */
    { FIXED("40") PRV("set = 60 psi\n" STEADY), "", "loss = %.6f psi\n",
      CLOSET("r"), NAN, 5 },
    { FIXED("41") "[backflow b]\nfrom = s\n", "loss = 8 psi at 54 gpm\n",
      "loss = %.6f psi\n", CLOSET("b"), NAN, 6 },
    { FIXED("45") "[device b]\nfrom = s\n", "loss = 8..12 psi\n",
      "loss = %.6f psi\n", CLOSET("b"), NAN, 10 },
};

#define HAIR 0.01 /* psi */

static fc_verdict
with(int row, double psi)
{
    char put[200], text[2000];

    snprintf(put, sizeof put, turning[row].put,
             isnan(turning[row].from) ? psi : turning[row].from - psi);
    snprintf(text, sizeof text, OPEN "%s%s%s", turning[row].head, put,
             turning[row].tail);
    return verdict_of(text);
}

START_TEST(turns_there)
{
    char text[2000];
    fc_site *site;
    fc_check_result *result;
    fc_proviso proviso;

    snprintf(text, sizeof text, OPEN "%s%s%s", turning[_i].head,
             turning[_i].unknown, turning[_i].tail);
    result = check(text, &site);
    proviso = result->states[FC_EXISTING].proviso;
    ck_assert_int_eq(result->works, FC_CANNOT_TELL);
    ck_assert(proviso.given && proviso.at_most);
    /* to the part of its range that it is looked for, 1e-7 of at most 90 psi
     */
    ck_assert_double_eq_tol(proviso.limit / PSI, turning[_i].turns, 1e-3);
    ck_assert_int_eq(with(_i, proviso.limit / PSI - HAIR), FC_WORKS);
    ck_assert_int_ne(with(_i, proviso.limit / PSI + HAIR), FC_WORKS);
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

/* A loss is told with its flow.  44 - 35 = 9 psi may be lost where 27.0 gpm
 * flow at peak, or 25 through the stop: a loss that grows with the square of
 * the flow is 9 (30/27)^2 = 11.11 psi at 30 gpm and 9 (20/25)^2 = 5.76 psi at
 * 20. */
#define STOPPED(stop) CLOSET("s") "stop = " stop "\n"
static const struct {
    const char *site, *input, *of;
    double limit, flow; /* psi, gpm; NAN: it is the same at any */
    const char *text;
} losses[] = {
    { FIXED("44") "[meter m]\nfrom = s\nloss = 5..15 psi at 30 gpm\n" CLOSET(
          "m"),
      "loss", "m", 100 / 9.0, 30,
      "works if the loss of m is at most 11.1 psi at 30.0 gpm" },
    { FIXED("44") "[meter m]\nfrom = s\nloss = 5..15 psi\n" CLOSET("m"),
      "loss", "m", 9, NAN,
      "works if the loss of m is at most 9.0 psi at any flow" },
    { FIXED("44") STOPPED("3..9.2 psi at 20 gpm"), "loss of the stop", "x",
      5.76, 20,
      "works if the loss of the stop of x is at most 5.7 psi at 20.0 gpm" },
    /* its curve dips, and how it goes on is not known */
    { FIXED("44") STOPPED("5 gpm 2 psi, 10 gpm 7 psi, 15 gpm 6 psi"),
      "loss of the stop", "x", 9, 25,
      "works if the loss of the stop of x is at most 9.0 psi at 25.0 gpm" },
    { FIXED("44") "[backflow b]\nfrom = s\nloss = 10 psi at 40 gpm\n" CLOSET(
          "b"),
      "loss", "b", 9, 27,
      "works if the loss of b is at most 9.0 psi at 27.0 gpm" },
    { FIXED("44") PRV("set = 60 psi\n" STEADY) CLOSET("r"), "loss", "r", 9,
      NAN, "works if the loss of r is at most 9.0 psi at any flow" },
};

START_TEST(told_with_its_flow)
{
    char text[2000];
    fc_site *site;
    fc_check_result *result;
    const fc_proviso *p;

    snprintf(text, sizeof text, OPEN "%s", losses[_i].site);
    result = check(text, &site);
    p = &result->states[FC_EXISTING].proviso;
    ck_assert(p->given && p->at_most);
    ck_assert_str_eq(p->text, losses[_i].text);
    ck_assert_str_eq(p->input, losses[_i].input);
    ck_assert_str_eq(p->of, losses[_i].of);
    ck_assert_int_eq(p->dimension, FC_PRESSURE);
    ck_assert_double_eq_tol(p->limit / PSI, losses[_i].limit, 1e-3);
    ck_assert(isnan(p->flow) == isnan(losses[_i].flow));
    if (!isnan(p->flow))
        ck_assert_double_eq_tol(fc_from_si(FC_US, FC_FLOW, p->flow),
                                losses[_i].flow, 1e-6);
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

/* The static pressure that a building of several closets asks for is that of
 * its peak, though weak flushes are drawn: 6 closets are 60 units, 54 gpm, at
 * which the main has dropped by 7 psi in full. */
START_TEST(turns_at_the_peak)
{
    fc_site *site;
    fc_check_result *result =
        check(MAIN("static = 38..60 psi\ntest static = 60 psi\n"
                   "residual = 53 psi\nresidual flow = 54 gpm\n"
                   "within = 0 psi\n") CLOSETS("s", "6"),
              &site);
    const fc_proviso *p = &result->states[FC_EXISTING].proviso;

    ck_assert_int_eq(result->works, FC_CANNOT_TELL);
    ck_assert(p->given && !p->at_most);
    ck_assert_str_eq(p->input, "static pressure");
    ck_assert_double_eq_tol(p->limit / PSI, 42, 1e-3);
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

static fc_flush_result *
flush_all(const char *text, fc_site **site)
{
    fc_flush_result *result = NULL;

    *site = site_of(text);
    ck_assert_int_eq(
        fc_flush(*site, FC_EXISTING, NULL, SIZE_MAX, &result, NULL), FC_OK);
    return result;
}

static const char *const flushed[] = { CLOSETS("s", "1"), CLOSETS("s", "3"),
                                       "[device d]\nfrom = s\nloss = 5 psi at "
                                       "30 gpm\n" CLOSETS("d", "2") };

/* The drop that a flush event allows, at its flow, is that of a flow test. */
START_TEST(turns_in_a_flush)
{
    char text[2000];
    fc_site *site;
    fc_flush_result *result;
    fc_proviso proviso;
    int side;

    snprintf(text, sizeof text, OPEN MAIN("static = 70 psi\n") "%s",
             flushed[_i]);
    result = flush_all(text, &site);
    proviso = result->proviso;
    ck_assert_int_eq(result->enough, FC_CANNOT_TELL);
    ck_assert(proviso.given && proviso.at_most);
    ck_assert_str_eq(proviso.input, "drop");
    fc_flush_result_free(result);
    fc_site_free(site);
    for (side = -1; side <= 1; side += 2) {
        snprintf(text, sizeof text,
                 OPEN MAIN("static = 70 psi\nresidual = %.6f psi\n"
                           "residual flow = %.9f gpm\nwithin = 0 psi\n") "%s",
                 70 - (proviso.limit / PSI + side * HAIR),
                 fc_from_si(FC_US, FC_FLOW, proviso.flow), flushed[_i]);
        result = flush_all(text, &site);
        ck_assert((result->enough == FC_WORKS) == (side < 0));
        fc_flush_result_free(result);
        fc_site_free(site);
    }
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("evidence of what is not given");
    TCase *t = tcase_create("twins");

    tcase_add_loop_test(t, twins, 0, COUNT(pairs));
    tcase_add_loop_test(t, turns_there, 0, COUNT(turning));
    tcase_add_loop_test(t, told_with_its_flow, 0, COUNT(losses));
    tcase_add_test(t, turns_at_the_peak);
    tcase_add_loop_test(t, turns_in_a_flush, 0, COUNT(flushed));
    suite_add_tcase(suite, t);
    return run_suite(suite);
}
