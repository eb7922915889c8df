/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/properties/check_evidence_code.c -- pairs of sites, one that keeps a
 * rule of the code and one that does not, or that knows a figure and does not.
 *
 * No pipe that counts has a length and most devices take a constant, so that
 * every expected pressure is a sum by hand.  What stands a hair either side of
 * a limit must differ.
 */
#include "generators/sites.h"

#include <math.h>
#include <stdint.h>

#define HEAD "[site]\ncode = ipc\n"
#define LENIENT HEAD "code minimum = no\n"
#define FIXED(psi) "[source main]\nkind = fixed\npressure = " psi " psi\n"
#define PIPE(name, from, size)                                                \
    "[pipe " name "]\nfittings = none\nfrom = " from                          \
    "\nmaterial = copper L\nsize = " size "\nlength = 0 ft\nc = 140\n"
#define VALVE(more)                                                           \
    "[valve v]\nminimum flowing = 15 psi\nflow = 30 gpm at 15 psi\n"          \
    "full flush = 1.6 gal\n" more
#define CLOSET(on, more)                                                      \
    "[fixture wc]\non = " on "\nkind = water closet, flush valve\n"           \
    "existing = v\n" more
#define BIBB(on)                                                              \
    "[fixture bibb]\non = " on "\nkind = hose bibb\nfixture units = 2.5\n"

#define WORKS FC_WORKS
#define FAILS FC_WILL_NOT_WORK
#define UNTOLD FC_CANNOT_TELL

static fc_check_result *
check_of(const fc_site *site)
{
    const fc_check_options options = { .most_states = 1000 };
    fc_check_result *result = NULL;

    ck_assert_int_eq(fc_check_with(site, &options, &result, NULL), FC_OK);
    return result;
}

static const fc_fixture_state *
state_of(const fc_check_result *result, const char *name)
{
    size_t i;

    for (i = 0; i < result->n_fixtures; i++)
        if (strcmp(result->fixtures[i].name, name) == 0)
            return &result->fixtures[i].states[FC_EXISTING];
    ck_abort_msg("no fixture %s", name);
    return NULL;
}

/* ---- Verdicts ---------------------------------------------------------- */

/* A closet at the end of a riser, and a bibb on the service. */
#define BUILDING(psi, valve)                                                  \
    LENIENT FIXED(psi) PIPE("service", "main", "2 in")                        \
        PIPE("stub", "service", "1 in") VALVE(valve) CLOSET("stub", "")       \
            BIBB("service")
#define STATIC(psi) BUILDING(psi, "")
#define STRONG(psi) BUILDING(psi, "maximum flowing = 60 psi\n")

/* A device before the closet that takes so much at 30 gpm, as its square. */
#define ALONE(head, loss)                                                     \
    head FIXED("50") "[device strainer]\nfrom = main\nloss = " loss           \
                     " psi at 30 gpm\n" PIPE("stub", "strainer", "1 in")      \
                         VALVE("") CLOSET("stub", "")

#define STUB(size, more)                                                      \
    LENIENT FIXED("50") PIPE("service", "main", "2 in")                       \
        PIPE("stub", "service", size) VALVE("") CLOSET("stub", more)          \
            BIBB("service")

/* So short that it takes next to nothing. */
#define BORED(bore)                                                           \
    LENIENT FIXED("50") PIPE(                                                 \
        "service", "main",                                                    \
        "2 in") "[pipe stub]\nfittings = none\nfrom = service\nc = 140\n"     \
                "length = 0.01 ft\ninside diameter = " bore "\n" VALVE("")    \
                    CLOSET("stub", "") BIBB("service")

/* Tested so that it does not sag by 0.01 psi at the flow of one closet. */
#define MAIN(psi, residual)                                                   \
    LENIENT                                                                   \
    "[source main]\nwithin = 0 psi\nkind = street main\nstatic = " psi        \
    " psi\nresidual = " residual                                              \
    " psi\nresidual flow = 100000 gpm\n" PIPE("stub", "main", "1 in")         \
        VALVE("") CLOSET("stub", "") BIBB("main")

#define PUMP(psi, more)                                                       \
    LENIENT FIXED(psi) "[pump booster]\nfrom = main\n"                        \
                       "curve = 0 gpm 120 ft, 400 gpm 110 ft\n" more PIPE(    \
                           "stub", "booster", "1 in") VALVE("")               \
                           CLOSET("stub", "")

/* At peak 30 gpm leave 30 - X psi at the pump. Alone p = 30 + 30 - X (q/30)^2
 * and q = 30 sqrt(p/15), so p = 60 / (1 + X/15) and the pump has p - 30: 10
 * psi at X = 7.5.  69.27 ft of water at 60 degF are 30 psi (62.367 lb/ft3). */
#define DRAWN(loss)                                                           \
    LENIENT FIXED("30") "[device strainer]\nfrom = main\nloss = " loss        \
                        " psi at 30 gpm\n[pump booster]\nfrom = strainer\n"   \
                        "curve = 0 gpm 69.27 ft, 400 gpm 69.27 ft\n"          \
                        "minimum suction = 10 psi\n" PIPE("stub", "booster",  \
                                                          "1-1/2 in")         \
                            VALVE("") CLOSET("stub", "")

/* A tank on the roof, its outlet 100 ft up; 43 psi at the closet. */
#define TANK(level)                                                           \
    LENIENT                                                                   \
    "[source roof]\nkind = tank\nelevation = 100 ft\nwater level "            \
    "= " level                                                                \
    " ft\n[pipe stub]\nfittings = none\nfrom = roof\nlength = 100 ft\n"       \
    "rise = -100 ft\nmaterial = copper L\nsize = 4 in\nc = 140\n" VALVE("")   \
        CLOSET("stub", "")

static const struct {
    const char *rule, *text;
    fc_verdict works, too_high; /* of the building */
} verdicts[] = {
    /* The site's limit is 80 psi (IPC 604.8), flowing or not is no matter of
     * the flush. */
    { "static under 80", STATIC("79.99"), WORKS, WORKS },
    { "static over 80", STATIC("80.01"), WORKS, FAILS },
    { "static on either side", STATIC("75..85"), WORKS, UNTOLD },
    { "static known on one side", STATIC("75..79"), WORKS, WORKS },
    { "short and not too high", STATIC("12"), FAILS, WORKS },
    { "flowing under its maximum", STRONG("59.9"), WORKS, WORKS },
    { "flowing over its maximum", STRONG("60.1"), WORKS, FAILS },
    { "flowing on either side", STRONG("50..70"), WORKS, UNTOLD },
    { "flowing known on one side", STRONG("50..59"), WORKS, WORKS },

    /* Alone p = 50 - X (q/30)^2 and q = 30 sqrt(p/15), so p = 50 / (1 + X/15):
     * 35 psi at X = 6.4286, and 34 at 7.0588.  At the peak of 30 gpm there are
     * 50 - X, enough either way. */
    { "alone just the code's least", ALONE(HEAD, "6.42"), WORKS, WORKS },
    { "alone a hair less", ALONE(HEAD, "6.44"), FAILS, WORKS },
    { "alone less, and the code does not count", ALONE(LENIENT, "7.06"), WORKS,
      WORKS },
    { "alone on either side", ALONE(HEAD, "6..7"), UNTOLD, WORKS },
    { "alone known on one side", ALONE(HEAD, "6..6.4"), WORKS, WORKS },

    /* IPC Table 604.5 asks 1 in of a closet with a flush valve. */
    { "stub as large as the code's", STUB("1 in", ""), WORKS, WORKS },
    { "stub too small", STUB("1/2 in", ""), FAILS, WORKS },
    { "stub too small, whatever is said",
      STUB("1/2 in", "supply size = 1 in\n"), FAILS, WORKS },
    { "supply said to be too small", STUB("1 in", "supply size = 3/4 in\n"),
      FAILS, WORKS },
    { "stub of either size", STUB("3/4..1 in", ""), UNTOLD, WORKS },
    { "stub of two good sizes", STUB("1..1-1/4 in", ""), WORKS, WORKS },
    { "small upstream of the stub, feeding nothing else",
      LENIENT FIXED("50") PIPE("branch", "main", "3/4 in")
          PIPE("stub", "branch", "1 in") VALVE("") CLOSET("stub", ""),
      FAILS, WORKS },
    { "small upstream of the stub, feeding another too",
      LENIENT FIXED("50") PIPE("branch", "main", "3/4 in")
          PIPE("stub", "branch", "1 in") VALVE("") CLOSET("stub", "")
              BIBB("branch"),
      FAILS, WORKS },
    { "small at the source",
      LENIENT FIXED("50") PIPE("service", "main", "3/4 in")
          PIPE("riser", "service", "2 in") PIPE("stub", "riser", "1 in")
              VALVE("") CLOSET("stub", "") BIBB("riser"),
      FAILS, WORKS },
    { "large to the source, with a small branch beside it",
      LENIENT FIXED("50") PIPE("service", "main", "2 in")
          PIPE("stub", "service", "1 in") PIPE("branch", "service", "1/2 in")
              VALVE("") CLOSET("stub", "") BIBB("branch"),
      WORKS, WORKS },
    { "stub too small, with a lavatory on it",
      STUB("1/2 in", "") "[fixture lav]\nkind = lavatory\non = stub\n", FAILS,
      WORKS },
    { "stub as large as the code's, with a lavatory on it",
      STUB("1 in", "") "[fixture lav]\nkind = lavatory\non = stub\n", WORKS,
      WORKS },
    { "stub too small for a group", STUB("3/4 in", "count = 2\n"), FAILS,
      WORKS },
    { "stub too small for two sections",
      STUB("3/4 in", "") "[fixture wd]\non = stub\nexisting = v\n"
                         "kind = water closet, flush valve\n",
      FAILS, WORKS },
    /* Of 1 in PEX has the smallest bore, 0.863 in; steel is the widest of
     * 3/4 in, 1.050 - 2 x 0.113 = 0.824 in. */
    { "stub of a bore as large as a pipe of the code's", BORED("0.87 in"),
      WORKS, WORKS },
    { "stub of a bore smaller than any", BORED("0.85 in"), FAILS, WORKS },
    { "stub of a bore smaller than all pipe", BORED("0.25 in"), FAILS, WORKS },
    { "stub of either bore", BORED("0.85..0.87 in"), UNTOLD, WORKS },
    { "stub of two good bores", BORED("0.87..0.9 in"), WORKS, WORKS },

    /* A public main is not to be drawn below 20 psi. */
    { "main a hair over 20", MAIN("20.05", "20.05"), WORKS, WORKS },
    { "main a hair under 20", MAIN("19.95", "19.95"), FAILS, WORKS },
    { "main on either side of 20", MAIN("19..21", "19"), UNTOLD, WORKS },
    { "main known to be over 20", MAIN("20.5..21", "20.5"), WORKS, WORKS },

    { "suction over what is given",
      PUMP("10.05", "minimum suction = 10 psi\n"), WORKS, WORKS },
    { "suction under what is given",
      PUMP("9.95", "minimum suction = 10 psi\n"), FAILS, WORKS },
    { "suction within what is given",
      PUMP("10", "minimum suction = 8..12 psi\n"), UNTOLD, WORKS },
    /* 5 to 20 psi are usual */
    { "suction over all that is usual", PUMP("20.05", ""), WORKS, WORKS },
    { "suction a hair within what is usual", PUMP("19.95", ""), UNTOLD,
      WORKS },
    { "suction just within what is usual", PUMP("5.05", ""), UNTOLD, WORKS },
    { "suction under all that is usual", PUMP("4.95", ""), FAILS, WORKS },
    { "no suction of a pump that stands", PUMP("19", "running = no\n"), WORKS,
      WORKS },
    { "suction kept while a valve flushes alone", DRAWN("7.45"), WORKS,
      WORKS },
    { "suction lost while a valve flushes alone", DRAWN("7.55"), FAILS,
      WORKS },

    /* Nothing is drawn in at a free surface. */
    { "tank that gives from its surface", TANK("100"), WORKS, WORKS },
    { "tank with its surface at its outlet or above", TANK("100..101"), WORKS,
      WORKS },
};

START_TEST(verdict)
{
    fc_site *site = site_of(verdicts[_i].text);
    fc_check_result *result = check_of(site);
    fc_path *path = NULL;

    ck_assert_msg(result->works == verdicts[_i].works, "%s: works %d",
                  verdicts[_i].rule, result->works);
    ck_assert_msg(result->too_high == verdicts[_i].too_high, "%s: too high %d",
                  verdicts[_i].rule, result->too_high);
    /* the closet fails with what feeds it, and path says no less */
    ck_assert_int_eq(state_of(result, "wc")->works, verdicts[_i].works);
    ck_assert_int_eq(fc_path_find(site, "wc", FC_EXISTING, &path, NULL),
                     FC_OK);
    ck_assert_int_eq(path->end.works, verdicts[_i].works);
    ck_assert_int_eq(path->end.too_high, state_of(result, "wc")->too_high);
    if (verdicts[_i].works == UNTOLD)
        ck_assert_ptr_nonnull(path->end.decided_by);
    fc_path_free(path);
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

/* ---- The same while valves flush --------------------------------------- */

static const struct {
    const char *rule, *text;
    fc_verdict enough, too_high;
} flushes[] = {
    { "static under 80", STATIC("79.99"), WORKS, WORKS },
    { "static over 80", STATIC("80.01"), WORKS, FAILS },
    { "flowing under its maximum", STRONG("59.9"), WORKS, WORKS },
    { "flowing over its maximum", STRONG("60.1"), WORKS, FAILS },
    { "alone just the code's least", ALONE(HEAD, "6.42"), WORKS, WORKS },
    { "alone a hair less", ALONE(HEAD, "6.44"), FAILS, WORKS },
    { "alone less, and the code does not count", ALONE(LENIENT, "7.06"), WORKS,
      WORKS },
    { "main a hair over 20", MAIN("20.05", "20.05"), WORKS, WORKS },
    { "main a hair under 20", MAIN("19.95", "19.95"), FAILS, WORKS },
    { "suction kept", DRAWN("7.45"), WORKS, WORKS },
    { "suction lost", DRAWN("7.55"), FAILS, WORKS },
    { "suction within what is usual", PUMP("10", ""), UNTOLD, WORKS },
    { "tank that gives from its surface", TANK("100"), WORKS, WORKS },
};

START_TEST(while_one_flushes)
{
    const fc_flushing wc = { 1, "wc" };
    fc_site *site = site_of(flushes[_i].text);
    fc_flush_result *result = NULL;

    ck_assert_int_eq(fc_flush(site, FC_EXISTING, &wc, 1, &result, NULL),
                     FC_OK);
    ck_assert_msg(result->enough == flushes[_i].enough, "%s: enough %d",
                  flushes[_i].rule, result->enough);
    ck_assert_msg(result->too_high == flushes[_i].too_high, "%s: too high %d",
                  flushes[_i].rule, result->too_high);
    fc_flush_result_free(result);
    fc_site_free(site);
}
END_TEST

/* ---- What too much pressure leaves alone ------------------------------- */

/* By the closet: 90 psi and 15 asked leave 75, whatever the bibb bears. */
START_TEST(too_high_takes_over_nothing)
{
    static const char *const texts[] = {
        STATIC("90"),
        "[site]\ncode = ipc\n"
        "code minimum = no\n"
        "maximum static = 100 psi\n" FIXED("90")
            PIPE("service", "main", "2 in") PIPE("stub", "service", "1 in")
                VALVE("") CLOSET("stub", "") BIBB("service")
    };
    size_t i;

    for (i = 0; i < 2; i++) {
        fc_site *site = site_of(texts[i]);
        fc_check_result *result = check_of(site);
        const fc_checked_state *s = &result->states[FC_EXISTING];

        ck_assert_int_eq(s->works, WORKS);
        ck_assert_uint_eq(s->failing, 0);
        ck_assert_str_eq(result->fixtures[s->governing].name, "wc");
        ck_assert_double_eq_tol(state_of(result, "wc")->margin.low, 75 * PSI,
                                1);
        ck_assert_double_eq_tol(s->spare_pressure.low, 75 * PSI, 1);
        ck_assert_int_eq(s->too_high, i == 0 ? FAILS : WORKS);
        if (i == 0) {
            const fc_excess *excess = state_of(result, "bibb")->excess;

            ck_assert_ptr_nonnull(excess);
            ck_assert(!excess->flowing && !excess->reducer);
            ck_assert_double_eq_tol(excess->pressure.high, 90 * PSI, 1);
            ck_assert_double_eq_tol(excess->maximum, 80 * PSI, 1);
        } else {
            ck_assert_uint_eq(s->too_high_at, SIZE_MAX);
        }
        fc_check_result_free(result);
        fc_site_free(site);
    }
}
END_TEST

/* ---- Zones -------------------------------------------------------------- */

#define PRV(name, from, set)                                                  \
    "[reducer " name "]\nfrom = " from "\nset = " set                         \
    " psi\nfall-off = 0.0001 psi at 100 gpm\nloss = 0 gpm 0 psi, 500 gpm 0 "  \
    "psi\n"
#define ONE(name, on)                                                         \
    "[fixture " name "]\non = " on                                            \
    "\nkind = water closet, flush valve\nexisting = v\n"

/* Margins by hand: the pressure of the zone less 15 psi. */
static const struct {
    const char *text;
    size_t n;
    struct {
        const char *reducer, *governing;
        double margin; /* psi */
    } zones[3];
} zoned[] = {
    { LENIENT FIXED("70") PIPE("up", "main", "2 in") ONE("a", "up")
          PRV("low", "up", "40") ONE("b", "low") VALVE(""),
      2,
      { { NULL, "a", 55 }, { "low", "b", 25 } } },
    { LENIENT FIXED("70") PRV("high", "main", "60") ONE("a", "high")
          PRV("low", "high", "40") ONE("b", "low") VALVE(""),
      2,
      { { "high", "a", 45 }, { "low", "b", 25 } } },
    { LENIENT FIXED("70") PRV("high", "main", "60") ONE("a", "high")
          PRV("low", "main", "40") ONE("b", "low") PIPE("up", "main", "2 in")
              ONE("c", "up") VALVE(""),
      3,
      { { NULL, "c", 55 }, { "high", "a", 45 }, { "low", "b", 25 } } },
    { LENIENT FIXED("70") PIPE("up", "main", "2 in") ONE("a", "up") VALVE(""),
      0,
      { { NULL, NULL, 0 } } },
};

START_TEST(zones)
{
    fc_site *site = site_of(zoned[_i].text);
    fc_check_result *result = check_of(site);
    const fc_checked_state *s = &result->states[FC_EXISTING];
    size_t i;

    ck_assert_uint_eq(s->n_zones, zoned[_i].n);
    for (i = 0; i < s->n_zones; i++) {
        const fc_checked_fixture *f = &result->fixtures[s->zones[i].governing];

        if (zoned[_i].zones[i].reducer)
            ck_assert_str_eq(s->zones[i].reducer, zoned[_i].zones[i].reducer);
        else
            ck_assert_ptr_null(s->zones[i].reducer);
        ck_assert_str_eq(f->name, zoned[_i].zones[i].governing);
        ck_assert_uint_eq(s->zones[i].n_fixtures, 1);
        ck_assert_double_eq_tol(f->states[FC_EXISTING].margin.low,
                                zoned[_i].zones[i].margin * PSI, 1);
    }
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

/* ---- Who asks, and the reserve ------------------------------------------ */

START_TEST(reserve_is_not_the_codes)
{
    static const struct {
        const char *head;
        double required, reserve, code;
        fc_governor governor;
    } rows[] = {
        { HEAD, 35, 0, 35, FC_CODE_GOVERNS },
        { HEAD "reserve = 4 psi\n", 39, 4, 35, FC_CODE_GOVERNS },
        { LENIENT, 15, 0, 35, FC_VALVE_GOVERNS },
        { LENIENT "reserve = 4 psi\n", 19, 4, 35, FC_VALVE_GOVERNS },
    };
    size_t i;

    for (i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[2048];
        fc_site *site;
        fc_check_result *result;
        const fc_fixture_state *s;

        snprintf(text, sizeof text, "%s%s", rows[i].head,
                 FIXED("60") PIPE("stub", "main", "1 in") VALVE("")
                     CLOSET("stub", ""));
        site = site_of(text);
        result = check_of(site);
        s = state_of(result, "wc");
        ck_assert_double_eq_tol(s->required.low, rows[i].required * PSI, 1);
        ck_assert_double_eq_tol(s->reserve, rows[i].reserve * PSI, 1);
        ck_assert_double_eq_tol(s->code_minimum, rows[i].code * PSI, 1);
        ck_assert_int_eq(s->governed_by, rows[i].governor);
        ck_assert_ptr_nonnull(s->code_source);
        ck_assert_ptr_nonnull(strstr(s->code_source, "2018"));
        ck_assert_ptr_nonnull(strstr(s->code_source, "Table 604.3"));
        fc_check_result_free(result);
        fc_site_free(site);
    }
}
END_TEST

/* ---- Where the pressure goes -------------------------------------------- */

#define RPZ(from)                                                             \
    "[backflow rpz]\nfrom = " from "\nloss = 0 gpm 10 psi, 500 gpm 10 psi\n"
#define METER(from)                                                           \
    "[device gauge-cock]\nfrom = " from "\nloss = 0 gpm 3 psi, 500 gpm 3 "    \
    "psi\n"
/* 6 psi at the 30 gpm of one closet */
#define FALLING(from, set)                                                    \
    "[reducer prv]\nfrom = " from "\nset = " set                              \
    " psi\nfall-off = 20 psi at 100 gpm\nloss = 0 gpm 2 psi, 500 gpm 2 psi\n"
#define END(on) PIPE("stub", on, "1 in") VALVE("") CLOSET("stub", "")

/* All by hand, in psi. */
static const struct {
    const char *text, *from;
    double start, throttled, backflow, devices, reducers, left;
} budgets[] = {
    /* nothing controls: 80 - 10 - 3 */
    { LENIENT FIXED("80") RPZ("main") METER("rpz") END("gauge-cock"), NULL, 80,
      0, 10, 3, 0, 67 },
    /* 80 - 10 = 70 at its inlet; set 50, less 6, less 3 */
    { LENIENT FIXED("80") RPZ("main") FALLING("rpz", "50") METER("prv")
          END("gauge-cock"),
      "prv", 50, 20, 0, 3, 6, 41 },
    /* the preventer downstream of it counts */
    { LENIENT FIXED("80") FALLING("main", "50") RPZ("prv") METER("rpz")
          END("gauge-cock"),
      "prv", 50, 30, 10, 3, 6, 31 },
    /* wide open: 40 - 10 - 2 - 3 */
    { LENIENT FIXED("40") RPZ("main") FALLING("rpz", "50") METER("prv")
          END("gauge-cock"),
      NULL, 40, 0, 10, 3, 2, 25 },
};

START_TEST(budget)
{
    fc_site *site = site_of(budgets[_i].text);
    fc_path *path = NULL;
    const fc_budget *b;

    ck_assert_int_eq(fc_path_find(site, "wc", FC_EXISTING, &path, NULL),
                     FC_OK);
    b = &path->budget;
    if (budgets[_i].from)
        ck_assert_str_eq(b->from, budgets[_i].from);
    else
        ck_assert_ptr_null(b->from);
    ck_assert_double_eq_tol(b->start, budgets[_i].start * PSI, 1);
    ck_assert_double_eq_tol(b->throttled, budgets[_i].throttled * PSI, 1);
    ck_assert_double_eq_tol(b->backflow, budgets[_i].backflow * PSI, 1);
    ck_assert_double_eq_tol(b->devices, budgets[_i].devices * PSI, 1);
    ck_assert_double_eq_tol(b->reducers, budgets[_i].reducers * PSI, 1);
    ck_assert_double_eq_tol(path->end.flowing.nominal, budgets[_i].left * PSI,
                            1);
    ck_assert_double_eq_tol(b->start - b->sag - b->elevation - b->friction
                                - b->fittings - b->devices - b->backflow
                                - b->reducers + b->pumps,
                            path->end.flowing.nominal, 1);
    fc_path_free(path);
    fc_site_free(site);
}
END_TEST

/* The sag of a main tested at 30 gpm, which one closet draws at peak: all of
 * it, or, of one that was not drawn down at all, none. */
START_TEST(sag_of_the_main)
{
    static const struct {
        const char *residual;
        double sag;
    } rows[] = { { "44", 16 }, { "60", 0 } };
    size_t i;

    for (i = 0; i < 2; i++) {
        char text[2048];
        fc_site *site;
        fc_path *path = NULL;

        snprintf(text, sizeof text,
                 LENIENT "[source main]\nwithin = 0 psi\nkind = street main\n"
                         "static = 60 psi\nresidual = %s psi\n"
                         "residual flow = 30 gpm\n" END("main"),
                 rows[i].residual);
        site = site_of(text);
        ck_assert_int_eq(fc_path_find(site, "wc", FC_EXISTING, &path, NULL),
                         FC_OK);
        ck_assert_double_eq_tol(path->budget.sag, rows[i].sag * PSI, 10);
        ck_assert_double_eq_tol(path->budget.start, 60 * PSI, 1);
        fc_path_free(path);
        fc_site_free(site);
    }
}
END_TEST

/* ---- Levers --------------------------------------------------------------
 */

/* A closet 60 ft up lacks pressure and a bibb at the bottom has 70 psi: to
 * raise the supply by all that is short puts the bibb over 80. With a limit of
 * 120 psi there the same lever works. */
#define TALL(limit)                                                           \
    LENIENT limit FIXED("30") PIPE("service", "main", "2 in") BIBB(           \
        "service") "[pipe riser]\nfittings = none\nfrom = service\n"          \
                   "material = copper L\nsize = 2 in\nlength = 150 ft\n"      \
                   "rise = 150 ft\nc = 140\n" PIPE("stub", "riser", "1 in")   \
                       VALVE("") CLOSET("stub", "")

START_TEST(lever_that_makes_it_too_high)
{
    static const struct {
        const char *text;
        bool works;
    } rows[] = { { TALL(""), false },
                 { TALL("maximum static = 120 psi\n"), true } };
    size_t i, k;

    for (i = 0; i < 2; i++) {
        fc_site *site = site_of(rows[i].text);
        fc_remedies *remedies = NULL;
        bool found = false;

        ck_assert_int_eq(fc_remedies_find(site, NULL, &remedies, NULL), FC_OK);
        ck_assert_int_eq(remedies->works, FAILS);
        ck_assert_int_eq(remedies->too_high, WORKS);
        for (k = 0; k < remedies->n_remedies; k++)
            if (remedies->remedies[k].lever == FC_RAISE_SOURCE) {
                found = true;
                ck_assert(remedies->remedies[k].works == rows[i].works);
            }
        ck_assert(found);
        fc_remedies_free(remedies);
        fc_site_free(site);
    }
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("evidence_code");
    TCase *tc = tcase_create("code");

    tcase_add_loop_test(tc, verdict, 0, COUNT(verdicts));
    tcase_add_loop_test(tc, while_one_flushes, 0, COUNT(flushes));
    tcase_add_test(tc, too_high_takes_over_nothing);
    tcase_add_loop_test(tc, zones, 0, COUNT(zoned));
    tcase_add_test(tc, reserve_is_not_the_codes);
    tcase_add_loop_test(tc, budget, 0, COUNT(budgets));
    tcase_add_test(tc, sag_of_the_main);
    tcase_add_test(tc, lever_that_makes_it_too_high);
    suite_add_tcase(suite, tc);
    return run_suite(suite);
}
