/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_flush.c -- flush events through the public calls.
 *
 * Where a source feeds its valves without a pipe, every expected figure is a
 * sum done by hand.
 */
#include "generators/buildings.h"
#include "generators/sites.h"

#include <math.h>
#include <stdint.h>

/* The solver's own tolerance on an element's law [Pa]. */
#define SOLVED 0.1

#define ALL NULL, SIZE_MAX

static fc_flush_result *
flush(const fc_site *site, const fc_flushing *flushing, size_t n)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_flush_result *result = NULL;
    const fc_status status =
        fc_flush(site, FC_EXISTING, flushing, n, &result, messages);

    ck_assert_msg(status == FC_OK, "%s", all_messages(messages));
    fc_diagnostics_free(messages);
    return result;
}

static const fc_flush_fixture *
fixture_of(const fc_flush_result *r, const char *name)
{
    size_t i;

    for (i = 0; i < r->n_fixtures; i++)
        if (strcmp(r->fixtures[i].name, name) == 0)
            return &r->fixtures[i];
    ck_abort_msg("no fixture %s", name);
    return NULL;
}

static bool
assumes(const char *const *list, size_t n, const char *words)
{
    size_t i;

    for (i = 0; i < n; i++)
        if (strstr(list[i], words))
            return true;
    return false;
}

static void
assert_psi(double pressure, double psi)
{
    ck_assert_msg(fabs(pressure - psi * PSI) <= SOLVED, "%.6f psi, not %.6f",
                  pressure / PSI, psi);
}

/* ---- Refusals ---------------------------------------------------------- */

#define FIXED(pressure) "[source s]\nkind = fixed\npressure = " pressure "\n"
#define VALVE(keys) "[valve v]\n" keys
#define RATE "flow = 25 gpm at 35 psi\n"
#define CLOSETS(name, on, count, valve)                                       \
    "[fixture " name "]\non = " on                                            \
    "\nkind = water closet, flush valve\ncount = " count                      \
    "\nexisting = " valve "\n"
#define LAVATORY(on) "[fixture lav]\non = " on "\nkind = lavatory\n"

#define REFUSING                                                              \
    FIXED("50 psi")                                                           \
    VALVE("minimum flowing = 20 psi\n" RATE)                                  \
    "[valve w]\nminimum flowing = "                                           \
    "20 psi\n" CLOSETS("wc-1", "s", "3", "v") CLOSETS("wc-2", "s", "1", "w")  \
        LAVATORY("s")

static const struct {
    fc_flushing flushing[2];
    size_t n;
    fc_state state;
    fc_status status;
    const char *messages;
} refused[] = {
    { { { 1, "wc-9" } },
      1,
      FC_EXISTING,
      FC_EUNKNOWN,
      "the site has no fixture \"wc-9\"; one of these is expected: wc-1, "
      "wc-2, lav\n" },
    { { { 0, "somewhere" } },
      1,
      FC_EXISTING,
      FC_EUNKNOWN,
      "the site has no fixture \"somewhere\"; one of these is expected: "
      "wc-1, wc-2, lav\n" },
    /* an element is no fixture */
    { { { 1, "s" } },
      1,
      FC_EXISTING,
      FC_EUNKNOWN,
      "\"s\" is a source; the name of a fixture is expected\n" },
    { { { 1, "wc-1" }, { 1, "WC-1" } },
      2,
      FC_EXISTING,
      FC_EINPUT,
      "\"wc-1\" is named twice; each fixture once is expected\n" },
    { { { 4, "wc-1" } },
      1,
      FC_EXISTING,
      FC_EINPUT,
      "4 of \"wc-1\" cannot flush; 1 to 3 is expected\n" },
    { { { -1, "wc-1" } },
      1,
      FC_EXISTING,
      FC_EINPUT,
      "-1 of \"wc-1\" cannot flush; 1 to 3 is expected\n" },
    { { { 1, "lav" } },
      1,
      FC_EXISTING,
      FC_EINPUT,
      "test.ini:19: [fixture lav] has no flush valve; a fixture that flushes "
      "by a valve is expected\n" },
    { { { 1, "wc-2" } },
      1,
      FC_EXISTING,
      FC_EINPUT,
      "test.ini:14: [fixture wc-2] has the valve \"w\", whose rate is not "
      "known; a \"flow\" in [valve] such as 25 gpm at 35 psi is expected\n" },
    { { { 0, NULL } },
      SIZE_MAX,
      FC_EXISTING,
      FC_EINPUT,
      "test.ini:14: [fixture wc-2] has the valve \"w\", whose rate is not "
      "known; a \"flow\" in [valve] such as 25 gpm at 35 psi is expected\n" },
    /* both that are wrong are said */
    { { { 9, "wc-1" }, { 1, "lav" } },
      2,
      FC_EXISTING,
      FC_EINPUT,
      "9 of \"wc-1\" cannot flush; 1 to 3 is expected\n"
      "test.ini:19: [fixture lav] has no flush valve; a fixture that flushes "
      "by a valve is expected\n" },
    { { { 1, "wc-1" } },
      1,
      FC_RETROFIT,
      FC_ESTATE,
      "no fixture has a retrofit valve; the existing state is expected\n" },
};

static void
assert_refused(const fc_site *site, fc_state state,
               const fc_flushing *flushing, size_t n, fc_status as,
               const char *said)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_flush_result *const untouched = (fc_flush_result *)(void *)&messages;
    fc_flush_result *result = untouched;

    ck_assert_int_eq(fc_flush(site, state, flushing, n, &result, messages),
                     as);
    ck_assert_ptr_eq(result, untouched);
    ck_assert_str_eq(all_messages(messages), said);
    /* and without anywhere to say it */
    ck_assert_int_eq(fc_flush(site, state, flushing, n, &result, NULL), as);
    fc_diagnostics_free(messages);
}

START_TEST(refuses)
{
    fc_site *site = site_of(REFUSING);

    assert_refused(site, refused[_i].state,
                   refused[_i].n == SIZE_MAX ? NULL : refused[_i].flushing,
                   refused[_i].n, refused[_i].status, refused[_i].messages);
    fc_site_free(site);
}
END_TEST

START_TEST(refuses_sites)
{
    const fc_flushing one = { 1, "wc" };
    fc_site *open = fc_site_new();
    fc_site *choosing = site_of(FIXED("50 psi") VALVE(RATE) CLOSETS(
        "wc", "s", "1",
        "v") "[pipe p]\nfittings = none\nfrom = s\nmaterial = copper L\n"
             "size = choose\nlength = 9 ft\n");

    assert_refused(open, FC_EXISTING, &one, 1, FC_ESTATE,
                   "the site is not finished; a finished site is expected\n");
    assert_refused(choosing, FC_EXISTING, &one, 1, FC_EUNSUPPORTED,
                   "test.ini:15: [pipe p] size is to be chosen; run "
                   "flushcalc size, or give a nominal size\n");
    fc_site_free(choosing);
    fc_site_free(open);
}
END_TEST

/* ---- Which flush ------------------------------------------------------- */

#define TWO_GROUPS                                                            \
    FIXED("50 psi")                                                           \
    VALVE("minimum flowing = 20 psi\n" RATE)                                  \
    CLOSETS("a", "s", "3", "v") CLOSETS("b", "s", "2", "v") LAVATORY("s")

static const struct {
    fc_flushing flushing[2];
    size_t n;
    int a, b;
} asked[] = {
    { { { 0, NULL } }, SIZE_MAX, 3, 2 },
    { { { 0, "a" } }, 1, 3, 0 },
    { { { 2, "a" } }, 1, 2, 0 },
    { { { 1, "B" }, { 0, "a" } }, 2, 3, 1 },
    { { { 0, NULL } }, 0, 0, 0 },
};

/* 25 gpm at 35 psi is 25 sqrt(50 / 35) gpm at the source's 50 psi. */
START_TEST(which_flush)
{
    const double one = 25 * sqrt(50 / 35.0) * GPM;
    fc_site *site = site_of(TWO_GROUPS);
    fc_flush_result *r =
        flush(site, asked[_i].n == SIZE_MAX ? NULL : asked[_i].flushing,
              asked[_i].n);
    const fc_flush_fixture *a = fixture_of(r, "a"), *b = fixture_of(r, "b"),
                           *lav = fixture_of(r, "lav");

    ck_assert_int_eq(a->flushing, asked[_i].a);
    ck_assert_int_eq(b->flushing, asked[_i].b);
    ck_assert_int_eq(r->flushing, asked[_i].a + asked[_i].b);
    ck_assert_double_eq_tol(a->flow.nominal, asked[_i].a ? one : 0,
                            1e-9 * one);
    ck_assert_double_eq_tol(r->flow, (asked[_i].a + asked[_i].b) * one,
                            1e-8 * one);
    ck_assert_int_eq(a->count, 3);
    ck_assert_int_eq(a->enough, FC_WORKS);
    ck_assert_int_eq(lav->flushing, 0);
    ck_assert_ptr_null(lav->valve);
    ck_assert(!lav->minimum.given);
    ck_assert_str_eq(a->valve, "v");
    ck_assert_str_eq(lav->kind, "lavatory");
    ck_assert_str_eq(lav->on, "s");
    assert_psi(lav->pressure.nominal, 50);
    assert_psi(lav->still.nominal, 50);
    ck_assert(r->bounded);
    ck_assert_int_eq(r->state, FC_EXISTING);
    fc_flush_result_free(r);
    fc_site_free(site);
}
END_TEST

START_TEST(either_state)
{
    fc_site *site =
        site_of(FIXED("35 psi")
                    VALVE(RATE) "[valve w]\nflow = 10 gpm at 35 psi\n" CLOSETS(
                        "a", "s", "1", "v") "retrofit = w\n");
    fc_flush_result *r = flush(site, ALL), *after = NULL;

    ck_assert_int_eq(fc_flush(site, FC_RETROFIT, ALL, &after, NULL), FC_OK);
    ck_assert_double_eq_tol(r->flow, 25 * GPM, 1e-9 * GPM);
    ck_assert_double_eq_tol(after->flow, 10 * GPM, 1e-9 * GPM);
    ck_assert_int_eq(after->state, FC_RETROFIT);
    ck_assert_str_eq(after->fixtures[0].valve, "w");
    fc_flush_result_free(after);
    fc_flush_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- The verdict ------------------------------------------------------- */

/* By the valve alone, as the code counts for one that flushes alone. */
#define JUDGED(pressure, least)                                               \
    "[site]\ncode minimum = no\n" FIXED(pressure)                             \
        VALVE("minimum flowing = " least "\n" RATE)                           \
            CLOSETS("x", "s", "1", "v")

static const struct {
    const char *site;
    fc_verdict enough;
    int severity; /* of the finding on it; -1: none */
} verdicts[] = {
    { JUDGED("20 psi", "20 psi"), FC_WORKS, -1 },
    { JUDGED("137.8951458633672 kPa", "20 psi"), FC_WORKS, -1 },
    { JUDGED("19.999 psi", "20 psi"), FC_WILL_NOT_WORK, FC_FAIL },
    { JUDGED("20..21 psi", "20 psi"), FC_WORKS, -1 },
    { JUDGED("19.9..21 psi", "20 psi"), FC_CANNOT_TELL, FC_WARN },
    { JUDGED("18..20 psi", "20 psi"), FC_CANNOT_TELL, FC_WARN },
    { JUDGED("18..19.99 psi", "20 psi"), FC_WILL_NOT_WORK, FC_FAIL },
    { JUDGED("20 psi", "18..22 psi"), FC_CANNOT_TELL, FC_WARN },
    { JUDGED("22 psi", "18..22 psi"), FC_WORKS, -1 },
    { JUDGED("17.9 psi", "18..22 psi"), FC_WILL_NOT_WORK, FC_FAIL },
};

START_TEST(verdict)
{
    fc_site *site = site_of(verdicts[_i].site);
    fc_flush_result *r = flush(site, ALL);
    const fc_finding *f =
        finding_of(r->findings, r->n_findings, "flowing pressure", "x");

    ck_assert_int_eq(r->fixtures[0].enough, verdicts[_i].enough);
    ck_assert_int_eq(r->enough, verdicts[_i].enough);
    ck_assert_int_eq(f ? (int)f->severity : -1, verdicts[_i].severity);
    fc_flush_result_free(r);
    /* who does not flush is not judged */
    r = flush(site, NULL, 0);
    ck_assert_int_eq(r->fixtures[0].enough, FC_WORKS);
    ck_assert_int_eq(r->enough, FC_WORKS);
    fc_flush_result_free(r);
    fc_site_free(site);
}
END_TEST

/* A valve without a minimum: whether that is enough nobody can tell. */
START_TEST(no_minimum)
{
    fc_site *site =
        site_of(FIXED("3 psi") VALVE(RATE) CLOSETS("x", "s", "2", "v"));
    fc_flush_result *r = flush(site, ALL);

    ck_assert_int_eq(r->fixtures[0].enough, FC_CANNOT_TELL);
    ck_assert_int_eq(r->enough, FC_CANNOT_TELL);
    ck_assert_ptr_nonnull(
        finding_of(r->findings, r->n_findings, "valve minimum", "x"));
    fc_flush_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- A tank, a pipe and valves ----------------------------------------- */

/* Hazen and Williams, in feet and seconds: V = 1.318 C R^0.63 S^0.54 with the
 * hydraulic radius R = d / 4; the head lost along a pipe [m]. */
static double
head_lost(double flow, double bore, double c, double length)
{
    const double d = bore / FOOT, area = acos(-1) * d * d / 4;
    const double v = flow / (FOOT * FOOT * FOOT) / area;
    const double s = pow(v / (1.318 * c * pow(d / 4, 0.63)), 1 / 0.54);

    return s * length;
}

/* Water at 60 degF: 999.016 kg/m3 (ASTM D1250, from memory), to 1e-5. */
#define WEIGHT (999.016 * 9.80665)

/* `n` valves of 25 gpm at 35 psi, and a steady draw, through one pipe. */
static double
flow_by_hand(int n, double head, double bore, double c, double length,
             double draw)
{
    double low = 0, high = 1, flow;
    int i;

    for (i = 0; i < 200; i++) {
        flow = (low + high) / 2;
        if (head - head_lost(n * flow + draw, bore, c, length)
            > 35 * PSI / WEIGHT * pow(flow / (25 * GPM), 2))
            low = flow;
        else
            high = flow;
    }
    return (low + high) / 2;
}

static const struct {
    int count;
    double gpm; /* steady */
} tanks[] = { { 1, 0 }, { 3, 0 }, { 1, 6 }, { 3, 6 } };

#define TANK                                                                  \
    "[source t]\nkind = tank\nwater level = 90 ft\nelevation = 10 ft\n"       \
    "[pipe p]\nfittings = none\nfrom = t\nlength = 100 ft\nrise = 12 ft\nc "  \
    "= 130\n"                                                                 \
    "inside diameter = 1.25 in\n"                                             \
    "[valve v]\nminimum flowing = 5 psi\nflow = 25 gpm at 35 psi\n"           \
    "[fixture x]\non = p\nkind = water closet, flush valve\ncount = 3\n"      \
    "existing = v\nrise = 3 ft\n"                                             \
    "[fixture lav]\non = p\nkind = lavatory\nrise = 2 ft\n"

/* The tank is 65 ft over the valve, 66 ft over the lavatory and 68 ft over the
 * end of the pipe. */
START_TEST(tank_by_hand)
{
    char text[1024];
    const fc_flushing some = { tanks[_i].count, "x" };
    const double draw = tanks[_i].gpm * GPM, bore = 1.25 * INCH;
    const double q =
        flow_by_hand(some.count, 65 * FOOT, bore, 130, 100 * FOOT, draw);
    const double total = some.count * q + draw;
    const double lost = head_lost(total, bore, 130, 100 * FOOT);
    const double still = head_lost(draw, bore, 130, 100 * FOOT);
    fc_site *site;
    fc_flush_result *r;

    snprintf(text, sizeof text, "%s[demand d]\non = p\nflow = %g gpm\n", TANK,
             tanks[_i].gpm);
    site = site_of(text);
    r = flush(site, &some, 1);
    ck_assert_double_eq_tol(r->fixtures[0].flow.nominal / q, 1, 1e-5);
    ck_assert_double_eq_tol(r->flow / total, 1, 1e-5);
    ck_assert_double_eq_tol(r->fixtures[0].pressure.nominal
                                / (WEIGHT * (65 * FOOT - lost)),
                            1, 2e-5);
    ck_assert_double_eq_tol(r->fixtures[0].still.nominal
                                / (WEIGHT * (65 * FOOT - still)),
                            1, 2e-5);
    ck_assert_double_eq_tol(r->fixtures[1].pressure.nominal
                                / (WEIGHT * (66 * FOOT - lost)),
                            1, 2e-5);
    ck_assert_double_eq_tol(flush_element(r, "p")->pressure
                                / (WEIGHT * (68 * FOOT - lost)),
                            1, 2e-5);
    ck_assert_double_eq_tol(flush_element(r, "p")->still
                                / (WEIGHT * (68 * FOOT - still)),
                            1, 2e-5);
    ck_assert_double_eq_tol(flush_element(r, "p")->flow / total, 1, 1e-5);
    ck_assert_double_eq_tol(flush_element(r, "t")->flow / total, 1, 1e-5);
    ck_assert_double_eq_tol(flush_element(r, "p")->elevation, 22 * FOOT, 1e-9);
    ck_assert_double_eq_tol(r->fixtures[0].elevation, 25 * FOOT, 1e-9);
    ck_assert_str_eq(r->elements[0].kind, "source");
    ck_assert_str_eq(r->elements[1].kind, "pipe");
    fc_flush_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- Loops and sources ------------------------------------------------- */

#define RING_PIPE                                                             \
    "fittings = none\nlength = 100 ft\nc = 130\ninside diameter = 1.25 in\n"

/* Two pipes alike side by side each carry half. */
START_TEST(two_pipes)
{
    fc_site *site = site_of(
        "[source t]\nkind = tank\nwater level = 65 ft\nelevation = 0 ft\n"
        "[pipe p]\nfrom = t\n" RING_PIPE
        "[pipe q]\nfrom = t\nto = p\n" RING_PIPE
        "[valve v]\nflow = 25 gpm at 35 psi\n" CLOSETS("x", "p", "1", "v"));
    fc_flush_result *r = flush(site, ALL);
    /* as twice the valves through one pipe, each half of this one */
    const double q = flow_by_hand(1, 65 * FOOT, 1.25 * INCH, 130,
                                  100 * FOOT * pow(0.5, 1 / 0.54), 0);

    ck_assert_double_eq_tol(r->flow / q, 1, 1e-5);
    ck_assert_double_eq_tol(flush_element(r, "p")->flow / q, 0.5, 1e-5);
    ck_assert_double_eq_tol(flush_element(r, "q")->flow / q, 0.5, 1e-5);
    ck_assert(r->bounded);
    fc_flush_result_free(r);
    fc_site_free(site);
}
END_TEST

#define TWO_SOURCES(level, other)                                             \
    "[source t]\nkind = tank\nwater level = " level "\nelevation = 0 ft\n"    \
    "[source u]\nkind = tank\nwater level = " other "\nelevation = 0 ft\n"    \
    "[pipe p]\nfrom = t\n" RING_PIPE "[pipe q]\nfrom = u\nto = p\n" RING_PIPE \
    "[valve v]\nflow = 25 gpm at 35 psi\n" CLOSETS("x", "p", "1", "v")

START_TEST(two_sources)
{
    fc_site *site = site_of(TWO_SOURCES("65 ft", "65 ft"));
    fc_flush_result *r = flush(site, ALL);
    const double q = flow_by_hand(1, 65 * FOOT, 1.25 * INCH, 130,
                                  100 * FOOT * pow(0.5, 1 / 0.54), 0);

    ck_assert_double_eq_tol(r->flow / q, 1, 1e-5);
    ck_assert_double_eq_tol(flush_element(r, "t")->flow / q, 0.5, 1e-5);
    ck_assert_double_eq_tol(flush_element(r, "u")->flow / q, 0.5, 1e-5);
    ck_assert_ptr_null(
        finding_of(r->findings, r->n_findings, "backflow", "u"));
    fc_flush_result_free(r);
    fc_site_free(site);
}
END_TEST

/* A source on the plan that nothing is fed from. */
START_TEST(idle_source)
{
    fc_site *site = site_of(TWO_SOURCES(
        "65 ft", "65 ft") "[source spare]\nkind = tank\n"
                          "water level = 70 ft\nelevation = 0 ft\n");
    fc_flush_result *r = flush(site, ALL);
    const fc_finding *f =
        finding_of(r->findings, r->n_findings, "source", "spare");

    ck_assert_ptr_nonnull(f);
    ck_assert_int_eq(f->severity, FC_WARN);
    ck_assert_str_eq(f->text, "feeds nothing: no part has \"from = spare\"");
    ck_assert_ptr_null(finding_of(r->findings, r->n_findings, "source", "t"));
    ck_assert_ptr_null(finding_of(r->findings, r->n_findings, "source", "u"));
    fc_flush_result_free(r);
    fc_site_free(site);
}
END_TEST

/* The lower tank takes in what the higher one gives, which is said; ranges
 * bound nothing where flows may turn. */
START_TEST(one_feeds_the_other)
{
    fc_site *site = site_of(TWO_SOURCES("65..75 ft", "20 ft"));
    fc_flush_result *r = flush(site, NULL, 0);
    const fc_finding *f =
        finding_of(r->findings, r->n_findings, "backflow", "u");

    ck_assert(!r->bounded);
    ck_assert(flush_element(r, "u")->flow < 0);
    ck_assert_double_eq_tol(r->flow, 0, 1e-12);
    /* 50 ft of head over 200 ft of one pipe */
    ck_assert_double_eq_tol(
        head_lost(flush_element(r, "t")->flow, 1.25 * INCH, 130, 200 * FOOT),
        50 * FOOT, 1e-3 * FOOT);
    ck_assert_ptr_nonnull(f);
    ck_assert_int_eq(f->severity, FC_WARN);
    ck_assert(assumes(r->assumptions, r->n_assumptions,
                      "with loops or several sources"));
    fc_flush_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- Ranges ------------------------------------------------------------ */

static void
assert_within(unsigned long seed, const char *what, fc_range bounds,
              double value, double tolerance)
{
    ck_assert_msg(bounds.low <= bounds.nominal + tolerance
                      && bounds.nominal <= bounds.high + tolerance,
                  "building %lu: %s out of order", seed, what);
    ck_assert_msg(value >= bounds.low - tolerance
                      && value <= bounds.high + tolerance,
                  "building %lu: %s %.6g is not in %.6g..%.6g", seed, what,
                  value, bounds.low, bounds.high);
}

static void
assert_bounds(unsigned long seed, const fc_flush_result *r,
              const fc_flush_result *one)
{
    size_t i;

    ck_assert_uint_eq(r->n_fixtures, one->n_fixtures);
    for (i = 0; i < r->n_fixtures; i++) {
        const fc_flush_fixture *f = &r->fixtures[i], *x = &one->fixtures[i];

        assert_within(seed, "a pressure of", f->pressure, x->pressure.nominal,
                      1);
        assert_within(seed, "a flow of", f->flow, x->flow.nominal, 1e-8);
        if (f->flushing == 0 || f->minimum.low < f->minimum.high)
            continue;
        ck_assert_msg(f->enough == FC_CANNOT_TELL || f->enough == x->enough
                          || fabs(x->pressure.nominal - f->minimum.nominal)
                                 < 1,
                      "building %lu: told otherwise", seed);
    }
}

static bool
bounds_hold(unsigned long seed, gsl_rng *rng)
{
    const struct building_plan plan = { .fewest = 4,
                                        .most = 25,
                                        .ranges = true };
    struct building b, sampled;
    fc_flush_result *r = NULL, *one;
    fc_site *site, *exact;
    fc_status status;
    int i;

    building_make(&b, seed, &plan);
    site = building_site(&b, NULL);
    ck_assert_ptr_nonnull(site);
    status = fc_flush(site, FC_EXISTING, ALL, &r, NULL);
    ck_assert_msg(status == FC_OK || status == FC_EINPUT, "building %lu: %s",
                  seed, fc_status_text(status));
    for (i = 0; r && i < 6; i++) {
        building_sample(&sampled, &b, rng);
        exact = building_site(&sampled, NULL);
        ck_assert_ptr_nonnull(exact);
        one = flush(exact, ALL);
        assert_bounds(seed, r, one);
        fc_flush_result_free(one);
        fc_site_free(exact);
        building_free(&sampled);
    }
    fc_flush_result_free(r);
    fc_site_free(site);
    building_free(&b);
    return status == FC_OK;
}

#define SOME 25

START_TEST(bound_what_is_sampled)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    int flushed = 0, k;

    gsl_rng_set(rng, (unsigned long)_i);
    for (k = 0; k < SOME; k++)
        flushed += bounds_hold((unsigned long)(_i * SOME + k + 1), rng);
    ck_assert_int_ge(flushed, 3);
    gsl_rng_free(rng);
    building_tables_end();
}
END_TEST

/* ---- Findings ---------------------------------------------------------- */

#define STREET(static, residual)                                                    \
    "[source s]\nwithin = 0 psi\nkind = street main\nstatic = " static "\nre"       \
                                                                       "sidu"       \
                                                                       "al "        \
                                                                       "="          \
                                                                       " " residual \
                                                                       "\nre"       \
                                                                       "sidu"       \
                                                                       "al "        \
                                                                       "flow"       \
                                                                       " = "        \
                                                                       "40 "        \
                                                                       "gpm"        \
                                                                       "\n"
/* 25 gpm whatever is beyond 5 psi. */
#define STEADY_VALVE                                                          \
    VALVE("minimum flowing = 5 psi\nflow = 25 gpm at 5 psi\n"                 \
          "regulated = yes\n")
#define ONE_VALVE STEADY_VALVE CLOSETS("x", "s", "2", "v")
/* What takes so much at 25 gpm, with the valve and another fixture on it. */
#define BEHIND(loss, kind)                                                    \
    FIXED("60 psi")                                                           \
    STEADY_VALVE "[device d]\nfrom = s\nloss = " loss " at 25 gpm\n" CLOSETS( \
        "x", "d", "1", "v") "[fixture other]\non = d\nkind = " kind "\n"

static const struct {
    const char *site;
    int count; /* of x that flush */
    const char *about, *subject;
    int severity; /* -1: it must not be there */
    const char *words;
} findings[] = {
    /* 2 are 50 gpm, beyond the 40 it was tested at. */
    { STREET("60 psi", "55 psi") ONE_VALVE, 2, "flow test", "s", FC_WARN,
      "extrapolated" },
    { STREET("60 psi", "55 psi") ONE_VALVE, 1, "flow test", "s", -1, NULL },
    /* 60 - 22 (50 / 40)^(1 / 0.54) = 26.7 psi */
    { STREET("60 psi", "38 psi") ONE_VALVE, 2, "street main", "s", -1, NULL },
    /* 19 psi at 40 gpm is too little at 50 too. */
    { STREET("40 psi", "19 psi") ONE_VALVE, 2, "street main", "s", FC_FAIL,
      "20" },
    /* 40 - 16 (50 / 40)^(1 / 0.54) = 15.8 psi, but beyond its test a main may
     * fall less */
    { STREET("40 psi", "24 psi") ONE_VALVE, 2, "street main", "s", FC_WARN,
      "20" },
    { STREET("40 psi", "19 psi") ONE_VALVE, 1, "street main", "s", -1, NULL },
    /* 60 psi falls by 19 or by 21. */
    { BEHIND("19 psi", "lavatory"), 1, "cold pressure", "other", -1, NULL },
    { BEHIND("21 psi", "lavatory"), 1, "cold pressure", "other", FC_WARN,
      "scald" },
    { BEHIND("21 psi", "shower"), 1, "cold pressure", "other", FC_WARN,
      "scald" },
    { BEHIND("21 psi", "drinking fountain"), 1, "cold pressure", "other",
      FC_WARN, "a third or more" },
    { BEHIND("21 psi", "lavatory"), 0, "cold pressure", "other", -1, NULL },
    /* 60 psi are 138.5 ft of water: a lavatory above that is dry. */
    { FIXED("60 psi") STEADY_VALVE
      "[fixture other]\non = s\nkind = lavatory\nrise = 150 ft\n" CLOSETS(
          "x", "s", "1", "v"),
      1, "backflow", "other", FC_FAIL, "drawn into the drinking water" },
    { FIXED("60 psi") STEADY_VALVE
      "[fixture other]\non = s\nkind = lavatory\nrise = 135..145 ft\n" CLOSETS(
          "x", "s", "1", "v"),
      1, "backflow", "other", FC_WARN, "possibly down to" },
    { FIXED("60 psi") STEADY_VALVE
      "[fixture other]\non = s\nkind = lavatory\nrise = 130 ft\n" CLOSETS(
          "x", "s", "1", "v"),
      1, "backflow", "other", -1, NULL },
    { FIXED("60 psi") STEADY_VALVE
      "[device high]\nfrom = s\nloss = 0 psi\n"
      "rise = 150 ft\n" CLOSETS("x", "s", "1", "v"),
      1, "backflow", "high", FC_FAIL, "outlet" },
    /* At the best end 20 - 19, at the worst 22 - 17. */
    { JUDGED("17..19 psi", "20..22 psi"), 1, "flowing pressure", "x", FC_FAIL,
      "short by 1.0 to 5.0 psi" },
    { JUDGED("17 psi", "20 psi"), 1, "flowing pressure", "x", FC_FAIL,
      "short by 3.0 psi" },
    /* 50 gpm on a curve that ends at 30. */
    { FIXED("60 psi") STEADY_VALVE
      "[device d]\nfrom = s\nloss = 0 gpm 1 psi, 30 gpm 4 psi\n" CLOSETS(
          "x", "d", "2", "v"),
      2, "curve", "d", FC_WARN, "straight line" },
    { FIXED("60 psi") STEADY_VALVE
      "[device d]\nfrom = s\nloss = 0 gpm 1 psi, 30 gpm 4 psi\n" CLOSETS(
          "x", "d", "2", "v"),
      1, "curve", "d", -1, NULL },
    /* All of them, and whether they can close. */
    { FIXED("60 psi") ONE_VALVE, -1, "all at once", "", FC_NOTE,
      "all 2 valves keep" },
    { FIXED("60 psi") ONE_VALVE, 2, "all at once", "", -1, NULL },
    { FIXED("4 psi") ONE_VALVE, -1, "all at once", "", FC_FAIL,
      "2 of 2 below minimum" },
    { FIXED("4..9 psi") ONE_VALVE, -1, "all at once", "", FC_WARN,
      "2 of 2 below minimum" },
};

START_TEST(finding)
{
    const fc_flushing some = { findings[_i].count, "x" };
    fc_site *site = site_of(findings[_i].site);
    fc_flush_result *r = findings[_i].count < 0
                             ? flush(site, ALL)
                             : flush(site, &some, some.count > 0);
    const fc_finding *f = finding_of(r->findings, r->n_findings,
                                     findings[_i].about, findings[_i].subject);

    ck_assert_int_eq(f ? (int)f->severity : -1, findings[_i].severity);
    if (f)
        ck_assert_msg(strstr(f->text, findings[_i].words) != NULL, "%s",
                      f->text);
    if (f && strcmp(findings[_i].about, "cold pressure") == 0)
        ck_assert((strstr(f->text, "scald") != NULL)
                  == (strcmp(findings[_i].words, "scald") == 0));
    fc_flush_result_free(r);
    fc_site_free(site);
}
END_TEST

static const struct {
    const char *site, *words;
    bool there;
} assumptions[] = {
    { FIXED("60 psi") ONE_VALVE, "square root of its inlet pressure", true },
    { FIXED("60 psi") ONE_VALVE, "steady draws are on", true },
    { FIXED("60 psi") ONE_VALVE, "flow test", false },
    { FIXED("60 psi") ONE_VALVE, "generic class", false },
    { FIXED("60 psi") CLOSETS("x", "s", "2", "siphonic closet 1.6 gal"),
      "generic class rates are used for the valves of x", true },
    { "[source s]\nkind = street main\nstatic = 60 psi\n" ONE_VALVE,
      "without a flow test is taken not to drop", true },
    { STREET("60 psi", "50 psi") ONE_VALVE, "is taken not to drop", false },
    { FIXED("60..70 psi") ONE_VALVE, "midpoint values", false },
};

START_TEST(assumption)
{
    fc_site *site = site_of(assumptions[_i].site);
    fc_flush_result *r = flush(site, ALL);

    ck_assert(assumes(r->assumptions, r->n_assumptions, assumptions[_i].words)
              == assumptions[_i].there);
    fc_flush_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- The check with its events ----------------------------------------- */

static fc_check_result *
check_with(const fc_site *site, fc_check_options options)
{
    fc_check_result *result = NULL;

    if (!options.most_states)
        options.most_states = 20000;
    ck_assert_int_eq(fc_check_with(site, &options, &result, NULL), FC_OK);
    return result;
}

/* Three closets, 10 fixture units each by IPC Appendix E (see tables/): 30
 * units are 40 gpm or so of the flush-valve column, 2 of these valves 50 gpm
 * and 3 of them 75, whatever is beyond 10 psi.  The device takes 5 psi at
 * 25 gpm: 42 psi less 13 at the peak, less 5, 20 or 45 with 1, 2 or 3 on; the
 * last leave too little.  1.6 gal at 25 gpm are 3.84 s. */
#define PEAKED(source, interval)                                              \
    "[site]\ncode minimum = no\n" FIXED(                                      \
        source) "[device d]\nfrom = s\nloss "                                 \
                "= 5 psi at 25 gpm\n" VALVE("minimum flowing = 20 "           \
                                            "psi\nflow = 25 gpm at "          \
                                            "10 psi\n"                        \
                                            "regulated = yes\nfull "          \
                                            "flush = 1.6 gal\n")              \
                    CLOSETS("x", "d", "3", "v") "supply size = "              \
                                                "1 "                          \
                                                "in\ninterval "               \
                                                "= " interval "\n[fixture "   \
                                                "lav]\non = "                 \
                                                "d\nkind = "                  \
                                                "lavatory\n"

START_TEST(seldom_weak)
{
    fc_site *site = site_of(PEAKED("42 psi", "300 s"));
    fc_check_result *r = check_with(site, (fc_check_options){ .threads = 1 });
    const fc_fixture_state *s = &r->fixtures[0].states[FC_EXISTING];

    ck_assert_int_eq(s->pressure, FC_WORKS);
    ck_assert_int_eq(s->works, FC_WORKS);
    assert_psi(s->alone.nominal, 37);
    ck_assert(s->ladder.given && !s->ladder.all);
    ck_assert_int_eq(s->ladder.most, 2);
    ck_assert_int_eq(s->ladder.low, 2);
    ck_assert_int_eq(s->ladder.high, 2);
    ck_assert_uint_eq(s->ladder.n_pressures, 3);
    assert_psi(s->ladder.pressures[0], 37);
    assert_psi(s->ladder.pressures[1], 22);
    ck_assert_uint_eq(s->ladder.n_first, 1);
    ck_assert_int_eq(s->ladder.first[0].count, 3);
    ck_assert_str_eq(s->ladder.first[0].fixture, "x");
    ck_assert_uint_eq(r->states[FC_EXISTING].starved, 0);
    /* both others on: 0.0128^2 */
    ck_assert(s->busy.weak.given && s->busy.weak.low <= 0.0128 * 0.0128);
    ck_assert(s->busy.weak.high < 0.01);
    ck_assert(!r->fixtures[1].states[FC_EXISTING].ladder.given);
    ck_assert(!r->fixtures[1].states[FC_EXISTING].alone.given);
    ck_assert(r->fixtures[1].states[FC_EXISTING].shared.given);
    ck_assert_ptr_nonnull(
        finding_of(r->findings, r->n_findings, "at once", "x"));
    ck_assert_ptr_null(
        finding_of(r->findings, r->n_findings, "busy period", "x"));
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* On 0.64 of the time: 0.41 of the flushes meet both others on. */
START_TEST(often_weak)
{
    fc_site *site = site_of(PEAKED("42 psi", "6 s"));
    fc_check_result *r = check_with(site, (fc_check_options){ .threads = 1 });
    const fc_fixture_state *s = &r->fixtures[0].states[FC_EXISTING];
    const fc_finding *f =
        finding_of(r->findings, r->n_findings, "busy period", "x");

    ck_assert_int_eq(s->pressure, FC_WORKS);
    ck_assert_int_eq(s->works, FC_CANNOT_TELL);
    ck_assert_int_eq(r->works, FC_CANNOT_TELL);
    ck_assert_double_eq_tol(s->busy.weak.estimate, 0.64 * 0.64, 0.02);
    ck_assert(s->busy.weak.low > 0.01);
    ck_assert_ptr_nonnull(f);
    ck_assert_int_eq(f->severity, FC_WARN);
    fc_check_result_free(r);
    /* by the peak alone it works, and nothing is said of events */
    r = check_with(site, (fc_check_options){ .peak_only = true });
    s = &r->fixtures[0].states[FC_EXISTING];
    ck_assert_int_eq(r->works, FC_WORKS);
    ck_assert(!s->alone.given && !s->ladder.given && !s->busy.weak.given);
    ck_assert_uint_eq(r->states[FC_EXISTING].states_drawn, 0);
    ck_assert_ptr_null(
        finding_of(r->findings, r->n_findings, "busy period", "x"));
    ck_assert_ptr_null(finding_of(r->findings, r->n_findings, "at once", "x"));
    ck_assert(
        !assumes(r->assumptions, r->n_assumptions, "the busiest period is"));
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

static const fc_finding *
warned(const fc_check_result *r, const char *about, const char *subject,
       const char *part)
{
    size_t i;

    for (i = 0; i < r->n_findings; i++)
        if (r->findings[i].severity == FC_WARN
            && strcmp(r->findings[i].about, about) == 0
            && strcmp(r->findings[i].subject, subject) == 0
            && strstr(r->findings[i].text, part))
            return &r->findings[i];
    return NULL;
}

/* With 40 psi two at once leave 40 - 20 = 20 psi, just enough, and with 39 too
 * little: then a flush is weak whenever another is on, 1 - (1 - 0.0128)^2 of
 * the time.  With 45 psi three leave 0: still the two others, 0.0128^2. */
START_TEST(weak_at_the_ends)
{
    fc_site *site = site_of(PEAKED("39..45 psi", "300 s"));
    fc_check_result *r =
        check_with(site, (fc_check_options){ .seed = 2, .threads = 1 });
    const fc_fixture_state *s = &r->fixtures[0].states[FC_EXISTING];
    const fc_busy *busy = &s->busy;
    const double one = 1 - 0.9872 * 0.9872;

    ck_assert_int_eq(s->pressure, FC_WORKS);
    ck_assert_int_eq(s->works, FC_CANNOT_TELL);
    ck_assert_int_eq(s->ladder.low, 1);
    ck_assert_int_eq(s->ladder.most, 2);
    ck_assert(busy->weak.given && busy->weak.high < 0.01);
    ck_assert(busy->weak_best.given && busy->weak_best.high < 0.01);
    ck_assert(busy->weak_worst.given);
    ck_assert_double_eq_tol(busy->weak_worst.low, one, 1e-9);
    ck_assert_double_eq_tol(busy->weak_worst.high, one, 1e-9);
    ck_assert_ptr_nonnull(strstr(s->decided_by, "range"));
    ck_assert_ptr_nonnull(warned(r, "busy period", "x", "cannot tell"));
    ck_assert_ptr_nonnull(warned(r, "at once", "", "2 valves at once"));
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* Which peak is meant is said, and no permit is promised by the other.  At
 * most 75 gpm at either peak take 45 psi of 70; but the valves draw more than
 * their rates, and with three on 70 = p + 5 (3 sqrt(p / 10))^2 leaves each
 * 12.7 psi, with two 23.3. */
START_TEST(peak_is_named)
{
    static const char *const peaks[] = { "fixture units", "probability" };
    static const char *const named[] = { "enough at the code peak",
                                         "enough at the peak by probability" };
    char text[1000];
    fc_check_result *r;
    fc_site *site;

    snprintf(
        text, sizeof text, "[site]\ncode minimum = no\npeak = %s\n%s",
        peaks[_i],
        FIXED("70 psi") "[device d]\nfrom = s\nloss = 5 psi at 25 gpm\n" VALVE(
            "minimum flowing = 20 psi\nflow = 25 gpm at 10 psi\n"
            "full flush = 1.6 gal\n")
            CLOSETS("x", "d", "3",
                    "v") "supply size = 1 in\ninterval = 6 s\n");
    site = site_of(text);
    r = check_with(site, (fc_check_options){ .threads = 1 });
    ck_assert_int_eq(r->fixtures[0].states[FC_EXISTING].pressure, FC_WORKS);
    ck_assert_ptr_nonnull(warned(r, "busy period", "x", named[_i]));
    ck_assert_ptr_null(warned(r, "busy period", "x", named[1 - _i]));
    ck_assert(
        (warned(r, "busy period", "x", "use the code peak for a") != NULL)
        == (_i == 0));
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* A valve that draws 60 gpm alone where the code's peak for it is less: short
 * by itself, whatever the peak says. */
START_TEST(short_alone)
{
    fc_site *site = site_of("[site]\ncode minimum = no\n" FIXED(
        "60 psi") "[device d]\nfrom = s\nloss = 8 psi at 25 "
                  "gpm\n" VALVE("minimum flowing = 20 psi\nflow = 60 "
                                "gpm at 10 psi\n"
                                "regulated = yes\nfull flush = 1.6 "
                                "gal\n") CLOSETS("x", "d", "1",
                                                 "v") "supply size = 1 in\n");
    fc_check_result *r = check_with(site, (fc_check_options){ .threads = 1 });
    const fc_fixture_state *s = &r->fixtures[0].states[FC_EXISTING];

    /* 8 (60 / 25)^2 = 46.08 psi */
    assert_psi(s->alone.nominal, 60 - 46.08);
    ck_assert_int_eq(s->works, FC_WILL_NOT_WORK);
    ck_assert_int_eq(s->ladder.most, 0);
    ck_assert(s->busy.weak.estimate >= 1);
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* A rate that is not known: the peak is judged, the events are not. */
START_TEST(rate_unknown)
{
    fc_site *site =
        site_of(FIXED("60 psi") VALVE("minimum flowing = 20 psi\n")
                    CLOSETS("x", "s", "1", "v") "supply size = 1 in\n");
    fc_check_result *r = check_with(site, (fc_check_options){ .threads = 1 });
    const fc_finding *f =
        finding_of(r->findings, r->n_findings, "flush events", "");

    ck_assert_ptr_nonnull(f);
    ck_assert_int_eq(f->severity, FC_WARN);
    ck_assert_ptr_nonnull(strstr(f->text, "\"v\""));
    ck_assert(!r->fixtures[0].states[FC_EXISTING].alone.given);
    ck_assert(r->states[FC_EXISTING].starved == SIZE_MAX);
    ck_assert_int_eq(r->fixtures[0].states[FC_EXISTING].works, FC_WORKS);
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

static void
assert_same_busy(const fc_check_result *a, const fc_check_result *b)
{
    size_t i;

    ck_assert_uint_eq(a->states[0].states_drawn, b->states[0].states_drawn);
    for (i = 0; i < a->n_fixtures; i++) {
        const fc_busy *x = &a->fixtures[i].states[0].busy;
        const fc_busy *y = &b->fixtures[i].states[0].busy;

        ck_assert_mem_eq(&x->mean, &y->mean, sizeof x->mean);
        ck_assert_mem_eq(&x->fifth, &y->fifth, sizeof x->fifth);
        ck_assert_mem_eq(&x->weak.estimate, &y->weak.estimate,
                         sizeof x->weak.estimate);
        ck_assert_mem_eq(&x->weak.low, &y->weak.low, sizeof x->weak.low);
        ck_assert_mem_eq(&x->weak.high, &y->weak.high, sizeof x->weak.high);
    }
}

/* All states of so few valves are solved (of more: check_busy.c). */
START_TEST(seeds_and_threads)
{
    fc_site *site = site_of(PEAKED("42 psi", "6 s"));
    fc_check_result *one =
        check_with(site, (fc_check_options){ .threads = 1, .seed = 3 });
    fc_check_result *two =
        check_with(site, (fc_check_options){ .threads = 2, .seed = 3 });
    fc_check_result *other =
        check_with(site, (fc_check_options){ .threads = 2, .seed = 4 });

    assert_same_busy(one, two);
    assert_same_busy(one, other);
    fc_check_result_free(one);
    fc_check_result_free(two);
    fc_check_result_free(other);
    fc_site_free(site);
}
END_TEST

/* ---- How long it may take ---------------------------------------------- */

#define FLOORS(name)                                                          \
    "[pipe " name "-{floor}]\nfloors = 1..300\nfrom = s\nsize = 1 in\n"       \
    "material = copper L\ncondition = new\nlength = 1 ft\n"                   \
    "[fixture wc-" name "-{floor}]\nfloors = 1..300\non = " name              \
    "-{floor}\nkind = water closet, flush valve\nexisting = v\n"
#define MAIN_OF_20_TO_40                                                      \
    FIXED("20 psi..40 psi")                                                   \
    VALVE("minimum flowing = 20 psi\n" RATE)

static fc_flush_result *
flush_and_hear(const fc_site *site, struct heard *heard)
{
    const fc_flush_options options = { .progress = hear, .context = heard };
    fc_flush_result *result = NULL;

    *heard = (struct heard){ 0, 0 };
    ck_assert_int_eq(
        fc_flush_with(site, FC_EXISTING, ALL, &options, &result, NULL), FC_OK);
    ck_assert_double_ge(heard->last, 1 - 1e-12);
    ck_assert_int_eq(result->enough, FC_CANNOT_TELL);
    return result;
}

/* What would settle it is the pressure of the main, whether 300 valves flush
 * or 900; of the latter it takes too long to say so. */
START_TEST(what_takes_long)
{
    static const char few[] = MAIN_OF_20_TO_40 FLOORS("p"),
                      many[] =
                          MAIN_OF_20_TO_40 FLOORS("p") FLOORS("q") FLOORS("r");
    fc_site *site = site_of(few);
    struct heard heard;
    fc_flush_result *result = flush_and_hear(site, &heard);

    ck_assert_int_gt(heard.times, 600);
    ck_assert_ptr_nonnull(result->proviso.text);
    fc_flush_result_free(result);
    fc_site_free(site);
    site = site_of(many);
    result = flush_and_hear(site, &heard);
    ck_assert_int_gt(heard.times, 1800);
    ck_assert_ptr_null(result->proviso.text);
    fc_flush_result_free(result);
    fc_site_free(site);
}
END_TEST

/* ---- All --------------------------------------------------------------- */

static TCase *
flush_cases(void)
{
    TCase *t = tcase_create("flush");

    tcase_set_timeout(t, 120);
    tcase_add_loop_test(t, refuses, 0, COUNT(refused));
    tcase_add_test(t, refuses_sites);
    tcase_add_loop_test(t, which_flush, 0, COUNT(asked));
    tcase_add_test(t, either_state);
    tcase_add_loop_test(t, verdict, 0, COUNT(verdicts));
    tcase_add_test(t, no_minimum);
    tcase_add_loop_test(t, tank_by_hand, 0, COUNT(tanks));
    tcase_add_test(t, two_pipes);
    tcase_add_test(t, two_sources);
    tcase_add_test(t, idle_source);
    tcase_add_test(t, one_feeds_the_other);
    tcase_add_loop_test(t, bound_what_is_sampled, 0, 12);
    tcase_add_loop_test(t, finding, 0, COUNT(findings));
    tcase_add_loop_test(t, assumption, 0, COUNT(assumptions));
    tcase_add_test(t, what_takes_long);
    return t;
}

static TCase *
check_cases(void)
{
    TCase *t = tcase_create("check");

    tcase_add_test(t, seldom_weak);
    tcase_add_test(t, often_weak);
    tcase_add_test(t, weak_at_the_ends);
    tcase_add_loop_test(t, peak_is_named, 0, 2);
    tcase_add_test(t, short_alone);
    tcase_add_test(t, rate_unknown);
    tcase_add_test(t, seeds_and_threads);
    return t;
}

int
main(void)
{
    Suite *suite = suite_create("flush");

    suite_add_tcase(suite, flush_cases());
    suite_add_tcase(suite, check_cases());
    return run_suite(suite);
}
