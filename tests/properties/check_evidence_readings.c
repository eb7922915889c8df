/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/properties/check_evidence_readings.c -- readings stand above the
 * model: pairs of sites of which one has a reading that contradicts.
 *
 * By hand: a valve of 25 gpm at 25 psi draws 5 sqrt(p) gpm at p psi.  Behind a
 * device that takes 12 psi at 30 gpm, q^2 / 75 psi, it has of 60 psi
 *     p = 60 - 25 p / 75,  p = 45 psi,
 * two of them p = 60 - 100 p / 75 = 25.7 psi each.  With a gauge that may be
 * off by 2 psi what contradicts begins at 43 and 47 psi.  Readings without a
 * gauge's name are of one, whose marks are 2 psi apart: each may be misread by
 * 1 psi, and what two differ by is off by 2 psi at most.
 */
#include "generators/sites.h"

#include <math.h>

#define VALVE "[valve v]\nflow = 25 gpm at 25 psi\nminimum flowing = 15 psi\n"
#define FIXED(psi) "[source main]\nkind = fixed\npressure = " psi "\n"
#define DEVICE "[device d]\nfrom = main\nloss = 12 psi at 30 gpm\n"
#define WC(on)                                                                \
    "[fixture wc]\nkind = water closet, flush valve\ncount = 2\n"             \
    "existing = v\non = " on "\n"
#define LAV "[fixture lav]\nkind = lavatory\non = d\n"
#define HALL FIXED("60 psi") DEVICE VALVE WC("d")
#define ONE "flushing = 1 of wc\n"
#define BOTH "flushing = wc\n"
#define READ(name, at, psi, flushing)                                         \
    "[reading " name "]\nat = " at "\npressure = " psi " psi\n" flushing

#define GAUGE(within, marks)                                                  \
    "[gauge g]\nwithin = " within " psi\nmarks = " marks " psi\n"
#define FLOW(name, at, flow, flushing)                                        \
    "[reading " name "]\nat = " at "\n" flow "\n" flushing
#define TIMED(seconds)                                                        \
    FIXED("60 psi")                                                           \
    DEVICE VALVE "full flush = 1.6 gal\n" WC("d")                             \
        FLOW("f", "wc", "flush time = " seconds, "")
#define DRAWN(flow) "[demand tower]\non = d\nflow = " flow "\n"

enum kind { NONE, MODEL, CEILING, PAIR, NO_PAIR, APART };

/* ---- What contradicts -------------------------------------------------- */

#define RANGE FIXED("56..64 psi") DEVICE VALVE WC("d")
#define MAIN "[source main]\nkind = street main\nstatic = 60 psi\n"
#define UNTESTED MAIN DEVICE VALVE WC("d")
#define TESTED                                                                \
    MAIN "residual = 60 psi\nresidual flow = 100 gpm\n"                       \
         "within = 0 psi\n" DEVICE VALVE WC("d")
/* The second device takes q^2 / 300 to q^2 / 75: the gauge between them has
 * 60 (1 - 4 / 17) = 45.88 to 60 (1 - 1 / 5) = 48 psi. */
#define BETWEEN                                                               \
    FIXED("60 psi")                                                           \
    DEVICE "[device e]\nfrom = d\nloss = 3..12 psi at 30 gpm\n" VALVE WC("e")
#define REDUCED                                                               \
    FIXED("60 psi")                                                           \
    "[reducer prv]\nfall-off = 0 psi at 10 gpm\nloss = 0 psi\nfrom = "        \
    "main\nset = 50 psi\n" VALVE WC("prv")
#define PUMPED                                                                \
    FIXED("30 psi")                                                           \
    "[pump u]\nfrom = main\ncurve = 0 gpm 20 m, 100 gpm 10 m\n" VALVE WC("u")
/* 10 ft of water at 60 F: 62.37 lb/ft3, 4.33 psi. */
#define RISER(rise)                                                           \
    FIXED("60 psi")                                                           \
    "[pipe p]\nfittings = none\nfrom = main\nmaterial = copper L\nsize = 2 "  \
    "in\n"                                                                    \
    "length = 50 ft\nrise = " rise "\n" VALVE WC("p")
#define UNRATED                                                               \
    FIXED("60 psi") DEVICE "[valve v]\nminimum flowing = 15 psi\n" WC("d")

static const struct row {
    const char *site;
    enum kind kind;
    const char *reading, *against; /* NULL: whichever */
    double low, high;              /* psi, of MODEL; NAN: no bound */
} rows[] = {
    /* against the model: the accuracy is the guard band */
    { HALL READ("r", "wc", "12", ONE), MODEL, "r", NULL, 45, 45 },
    { HALL READ("r", "wc", "44", ONE), NONE, NULL, NULL, 0, 0 },
    { HALL READ("r", "wc", "42.99", ONE), MODEL, "r", NULL, 45, 45 },
    { HALL READ("r", "wc", "43.01", ONE), NONE, NULL, NULL, 0, 0 },
    { HALL READ("r", "wc", "47.01", ONE), MODEL, "r", NULL, 45, 45 },
    { HALL READ("r", "wc", "46.99", ONE), NONE, NULL, NULL, 0, 0 },
    { HALL READ("r", "wc", "44.49", ONE "within = 0.5 psi\n"), MODEL, "r",
      NULL, 45, 45 },
    { HALL READ("r", "wc", "44.51", ONE "within = 0.5 psi\n"), NONE, NULL,
      NULL, 0, 0 },
    /* with nothing flowing; at an element */
    { HALL READ("r", "d", "57.9", ""), MODEL, "r", NULL, 60, 60 },
    { HALL READ("r", "d", "58.1", ""), NONE, NULL, NULL, 0, 0 },
    { HALL READ("r", "d", "42.9", ONE), MODEL, "r", NULL, 45, 45 },
    { HALL READ("r", "d", "43.1", ONE), NONE, NULL, NULL, 0, 0 },
    { HALL READ("r", "main", "57.9", ONE), MODEL, "r", NULL, 60, 60 },
    { HALL READ("r", "main", "58.1", ONE), NONE, NULL, NULL, 0, 0 },
    /* 56..64 psi leave 42 to 48 */
    { RANGE READ("r", "wc", "39.99", ONE), MODEL, "r", NULL, 42, 48 },
    { RANGE READ("r", "wc", "40.01", ONE), NONE, NULL, NULL, 0, 0 },
    { RANGE READ("r", "wc", "50.01", ONE), MODEL, "r", NULL, 42, 48 },
    { RANGE READ("r", "wc", "49.99", ONE), NONE, NULL, NULL, 0, 0 },
    { BETWEEN READ("r", "d", "43.88", ONE), MODEL, "r", NULL, 780.0 / 17, 48 },
    { BETWEEN READ("r", "d", "43.89", ONE), NONE, NULL, NULL, 0, 0 },
    { BETWEEN READ("r", "d", "50.01", ONE), MODEL, "r", NULL, 780.0 / 17, 48 },
    { BETWEEN READ("r", "d", "49.99", ONE), NONE, NULL, NULL, 0, 0 },
    /* a main that nobody tested may sag, and not rise */
    { TESTED READ("r", "wc", "12", ONE), MODEL, "r", NULL, 45, 45 },
    { UNTESTED READ("r", "wc", "12", ONE), NONE, NULL, NULL, 0, 0 },
    { UNTESTED READ("r", "wc", "47.01", ONE), MODEL, "r", NULL, NAN, 45 },
    { UNTESTED READ("r", "wc", "46.99", ONE), NONE, NULL, NULL, 0, 0 },
    { UNTESTED READ("r", "wc", "57.99", ""), MODEL, "r", NULL, 60, 60 },
    { UNTESTED READ("r", "wc", "58.01", ""), NONE, NULL, NULL, 0, 0 },
    /* the static ceiling */
    { HALL READ("r", "wc", "62.01", ""), CEILING, "r", NULL, 60, 60 },
    { HALL READ("r", "wc", "61.99", ""), NONE, NULL, NULL, 0, 0 },
    { HALL READ("r", "wc", "75", ONE), CEILING, "r", NULL, 45, 45 },
    { REDUCED READ("r", "wc", "52.01", ""), CEILING, "r", NULL, 50, 50 },
    { REDUCED READ("r", "wc", "51.99", ""), NONE, NULL, NULL, 0, 0 },
    { UNRATED READ("r", "wc", "62.01", ONE), CEILING, "r", NULL, NAN, 60 },
    { UNRATED READ("r", "wc", "12", ONE), NONE, NULL, NULL, 0, 0 },
    /* at rest: the same but for the height */
    { RISER("10 ft") READ("a", "main", "60", "") READ("b", "wc", "51.6", ""),
      PAIR, "b", "a", 0, 0 },
    { RISER("10 ft") READ("a", "main", "60", "") READ("b", "wc", "55.6", ""),
      NONE, NULL, NULL, 0, 0 },
    { RISER("10 ft") READ("a", "main", "60", "") READ("b", "wc", "59.8", ""),
      PAIR, "a", "b", 0, 0 },
    /* 12 ft are 5.20 psi */
    { RISER("8..12 ft") READ("a", "main", "60", "")
          READ("b", "wc", "52.9", ""),
      NO_PAIR, NULL, NULL, 0, 0 },
    { RISER("8..12 ft") READ("a", "main", "60", "")
          READ("b", "wc", "52.7", ""),
      PAIR, "b", "a", 0, 0 },
    { RISER("0 ft") READ("a", "main", "60", "") READ("b", "wc", "57.9", ""),
      PAIR, "b", "a", 0, 0 },
    { RISER("0 ft") READ("a", "main", "60", "") READ("b", "wc", "58.1", ""),
      NO_PAIR, NULL, NULL, 0, 0 },
    /* by two gauges each is off by itself */
    { RISER("0 ft") READ("a", "main", "60", "")
          READ("b", "wc", "55.9", "gauge = g\n") GAUGE("2", "0.2"),
      PAIR, "b", "a", 0, 0 },
    { RISER("0 ft") READ("a", "main", "60", "")
          READ("b", "wc", "56.1", "gauge = g\n") GAUGE("2", "0.2"),
      NO_PAIR, NULL, NULL, 0, 0 },
    /* by a good one with fine marks; what a reading says of itself counts */
    { RISER("0 ft") READ("a", "main", "60", "gauge = g\n")
          READ("b", "wc", "59.79", "gauge = g\n") GAUGE("2", "0.2"),
      PAIR, "b", "a", 0, 0 },
    { RISER("0 ft") READ("a", "main", "60", "gauge = g\n")
          READ("b", "wc", "59.81", "gauge = g\n") GAUGE("2", "0.2"),
      NO_PAIR, NULL, NULL, 0, 0 },
    { RISER("0 ft") READ("a", "main", "60", "gauge = g\n")
          READ("b", "wc", "59.41", "gauge = g\nwithin = 0.5 psi\n")
              GAUGE("2", "0.2"),
      NO_PAIR, NULL, NULL, 0, 0 },
    { RISER("0 ft") READ("a", "main", "60", "gauge = g\n")
          READ("b", "wc", "59.39", "gauge = g\nwithin = 0.5 psi\n")
              GAUGE("2", "0.2"),
      PAIR, "b", "a", 0, 0 },
    /* at rest across a reducer: less behind it, not more */
    { REDUCED READ("a", "main", "60", "") READ("b", "wc", "64.1", ""), PAIR,
      "b", "a", 0, 0 },
    { REDUCED READ("a", "main", "60", "") READ("b", "wc", "50", ""), NONE,
      NULL, NULL, 0, 0 },
    /* along the flow: more by a pump alone */
    { HALL READ("a", "d", "42", ONE) READ("b", "wc", "46.01", ONE), PAIR, "b",
      "a", 0, 0 },
    { HALL READ("a", "d", "43.9", ONE) READ("b", "wc", "46.01", ONE), PAIR,
      "b", "a", 0, 0 },
    { HALL READ("a", "d", "44.1", ONE) READ("b", "wc", "46.01", ONE), NONE,
      NULL, NULL, 0, 0 },
    { HALL READ("a", "main", "58", ONE) READ("b", "d", "62.01", ONE), PAIR,
      "b", "a", 0, 0 },
    { HALL READ("a", "main", "58.1", ONE) READ("b", "d", "45", ONE), NONE,
      NULL, NULL, 0, 0 },
    { PUMPED READ("a", "main", "30", ONE) READ("b", "wc", "50", ONE), NO_PAIR,
      NULL, NULL, 0, 0 },
    /* more open valves never leave more */
    { HALL READ("a", "wc", "45", ONE) READ("b", "wc", "49.01", BOTH), PAIR,
      "b", "a", 0, 0 },
    { HALL READ("a", "wc", "45", ONE) READ("b", "wc", "26", BOTH), NONE, NULL,
      NULL, 0, 0 },
    { HALL READ("a", "d", "45", ONE) READ("b", "wc", "49.01", BOTH), PAIR, "b",
      "a", 0, 0 },
    { HALL READ("a", "main", "58", "") READ("b", "d", "62.01", BOTH), PAIR,
      "b", "a", 0, 0 },
    { HALL LAV "[fixture wd]\nkind = water closet, flush valve\non = d\n"
               "existing = v\n" READ("a", "d", "40", ONE)
                   READ("b", "d", "50", "flushing = wd\n"),
      NO_PAIR, NULL, NULL, 0, 0 },
    /* what shows the same water, either way */
    { HALL LAV READ("a", "d", "45", ONE) READ("b", "lav", "40.9", ONE), PAIR,
      NULL, NULL, 0, 0 },
    { HALL LAV READ("a", "d", "40.9", ONE) READ("b", "lav", "45", ONE), PAIR,
      NULL, NULL, 0, 0 },
    { HALL LAV READ("a", "d", "45", ONE) READ("b", "lav", "43.1", ONE), NONE,
      NULL, NULL, 0, 0 },
    /* what two of one gauge differ by: 15 psi from no flow to one valve, and
     * along the device; each by itself is within 2 psi */
    { HALL READ("a", "wc", "59", "") READ("b", "wc", "46.01", ONE), APART, "a",
      "b", 15, 15 },
    { HALL READ("a", "wc", "59", "") READ("b", "wc", "45.99", ONE), NONE, NULL,
      NULL, 0, 0 },
    { HALL READ("a", "wc", "61", "") READ("b", "wc", "43.99", ONE), APART, "a",
      "b", 15, 15 },
    { HALL READ("a", "wc", "61", "") READ("b", "wc", "44.01", ONE), NONE, NULL,
      NULL, 0, 0 },
    { HALL READ("a", "wc", "59", "gauge = g\n") GAUGE("2", "2")
          READ("b", "wc", "46.01", ONE),
      NONE, NULL, NULL, 0, 0 },
    { HALL READ("b", "d", "46.01", ONE) READ("a", "main", "59", ONE), APART,
      "a", "b", 15, 15 },
    { HALL READ("a", "wc", "59", "gauge = g\n") GAUGE("8", "0.1")
          READ("b", "wc", "44.11", "gauge = g\n" ONE),
      APART, "a", "b", 15, 15 },
    { HALL READ("a", "wc", "59", "gauge = g\n") GAUGE("8", "0.1")
          READ("b", "wc", "44.09", "gauge = g\n" ONE),
      NONE, NULL, NULL, 0, 0 },
    { HALL READ("a", "wc", "53", "gauge = g\n") GAUGE("8", "0.1")
          READ("b", "wc", "37.91", "gauge = g\n" ONE),
      NONE, NULL, NULL, 0, 0 },
    /* 56..64 psi fall by a quarter, 14 to 16 psi, on whichever day */
    { RANGE READ("a", "wc", "60", "") READ("b", "wc", "48.01", ONE), APART,
      "a", "b", 14, 16 },
    { RANGE READ("a", "wc", "60", "") READ("b", "wc", "47.99", ONE), NONE,
      NULL, NULL, 0, 0 },
    { RANGE READ("a", "wc", "60", "") READ("b", "wc", "42.01", ONE), NONE,
      NULL, NULL, 0, 0 },
    { RANGE READ("a", "wc", "60", "") READ("b", "wc", "41.99", ONE), APART,
      "a", "b", 14, 16 },
    /* a main that nobody tested explains any fall, and no rise */
    { UNTESTED READ("a", "wc", "61", "") READ("b", "wc", "40", ONE), NONE,
      NULL, NULL, 0, 0 },
    { UNTESTED READ("a", "wc", "59", "") READ("b", "wc", "46.01", ONE), APART,
      "a", "b", 15, NAN },

    /* Flows, which may be off by a tenth: 5 sqrt(45) = 33.54 gpm of one valve,
     * 5 sqrt(25.714) = 25.35 of each of two, 50.71 together. */
    { HALL FLOW("f", "wc", "flow = 8 gpm", ONE), MODEL, "f", NULL, 33.54102,
      33.54102 },
    /* 33.541 / 1.1 = 30.49, 33.541 / 0.9 = 37.27 */
    { HALL FLOW("f", "wc", "flow = 30.4 gpm", ONE), MODEL, "f", NULL, 33.54102,
      33.54102 },
    { HALL FLOW("f", "wc", "flow = 30.6 gpm", ONE), NONE, NULL, NULL, 0, 0 },
    { HALL FLOW("f", "wc", "flow = 37.2 gpm", ONE), NONE, NULL, NULL, 0, 0 },
    { HALL FLOW("f", "wc", "flow = 37.4 gpm", ONE), MODEL, "f", NULL, 33.54102,
      33.54102 },
    /* 50.71 / 1.1 = 46.10 */
    { HALL FLOW("f", "d", "flow = 46 gpm", BOTH), MODEL, "f", NULL, 50.70926,
      50.70926 },
    { HALL FLOW("f", "main", "flow = 46.2 gpm", BOTH), NONE, NULL, NULL, 0,
      0 },
    /* 0.25 gal in 1 s are 15 gpm, 0.5 gal 30.6 */
    { HALL FLOW("f", "wc", "filled = 0.25 gal in 1 s", ONE), MODEL, "f", NULL,
      33.54102, 33.54102 },
    { HALL FLOW("f", "wc", "filled = 0.51 gal in 1 s", ONE), NONE, NULL, NULL,
      0, 0 },
    /* 1.6 gal in 3.1 s are 30.97 gpm, in 4 s 24 */
    { TIMED("3.1 s"), NONE, NULL, NULL, 0, 0 },
    { TIMED("4 s"), MODEL, "f", NULL, 33.54102, 33.54102 },
    /* with nothing flushing nothing flows but what is drawn steadily */
    { HALL FLOW("f", "d", "flow = 30 gpm", ""), MODEL, "f", NULL, 0, 0 },
    { HALL FLOW("f", "d", "flow = 30 gpm", "") DRAWN("20..28 gpm"), NONE, NULL,
      NULL, 0, 0 },
    { HALL FLOW("f", "d", "flow = 30 gpm", "") DRAWN("20..26 gpm"), MODEL, "f",
      NULL, 20, 26 },
    /* 42 and 48 psi leave 5 sqrt(42) = 32.40 and 34.64 gpm */
    { RANGE FLOW("f", "wc", "flow = 29.4 gpm", ONE), MODEL, "f", NULL,
      32.40370, 34.64102 },
    { RANGE FLOW("f", "wc", "flow = 29.5 gpm", ONE), NONE, NULL, NULL, 0, 0 },
    /* the sag of a main that nobody tested leaves less */
    { UNTESTED FLOW("f", "wc", "flow = 8 gpm", ONE), NONE, NULL, NULL, 0, 0 },
    { UNTESTED FLOW("f", "wc", "flow = 37.4 gpm", ONE), MODEL, "f", NULL, NAN,
      33.54102 },
};

static void
holds_row(const struct row *row, const fc_contradiction *list, size_t n)
{
    const fc_contradiction *c = list;
    double unit;
    size_t i;

    if (row->kind == NONE)
        ck_assert_msg(n == 0, "%s", n > 0 ? list[0].text : "");
    for (i = 0; row->kind == NO_PAIR && i < n; i++)
        ck_assert_msg(list[i].against == NULL, "%s", list[i].text);
    if (row->kind == NONE || row->kind == NO_PAIR)
        return;
    ck_assert_uint_eq(n, 1);
    ck_assert_msg((c->against != NULL) == (row->kind == PAIR), "%s", c->text);
    ck_assert_msg((c->beside != NULL) == (row->kind == APART), "%s", c->text);
    if (row->reading)
        ck_assert_str_eq(c->reading, row->reading);
    if (row->against)
        ck_assert_str_eq(row->kind == APART ? c->beside : c->against,
                         row->against);
    ck_assert_msg((strstr(c->text, "static ceiling") != NULL)
                      == (row->kind == CEILING),
                  "%s", c->text);
    if (row->kind == PAIR)
        return;
    unit = c->dimension == FC_FLOW ? GPM : PSI;
    ck_assert(isnan(row->low) == isnan(c->low));
    if (!isnan(row->low))
        ck_assert_double_eq_tol(c->low / unit, row->low, 1e-4);
    ck_assert(isnan(row->high) == isnan(c->high));
    if (!isnan(row->high))
        ck_assert_double_eq_tol(c->high / unit, row->high, 1e-4);
}

START_TEST(contradicts)
{
    const struct row *row = &rows[_i];
    fc_site *site = site_of(row->site);
    const fc_check_options peak = { .peak_only = true };
    fc_check_result *r = NULL;
    size_t i, told = 0;

    ck_assert_int_eq(fc_check_with(site, &peak, &r, NULL), FC_OK);
    holds_row(row, r->contradictions, r->n_contradictions);
    for (i = 0; i < r->n_findings; i++)
        told += r->findings[i].code == FC_FOUND_CONTRADICTION;
    ck_assert_uint_eq(told, r->n_contradictions);
    if (r->n_contradictions > 0) {
        ck_assert_int_eq(r->works, FC_CANNOT_TELL);
        for (i = 0; i < r->n_fixtures; i++)
            ck_assert_int_eq(r->fixtures[i].states[FC_EXISTING].works,
                             FC_CANNOT_TELL);
    }
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- In every command -------------------------------------------------- */

/* Twins: the same hall with a reading that fits and one that does not. */
static const struct {
    const char *fits, *not ;
    fc_verdict works; /* with the one that fits */
} twins[] = {
    { HALL READ("r", "wc", "44", ONE), HALL READ("r", "wc", "12", ONE),
      FC_WORKS },
    { HALL READ("r", "wc", "61", ""), HALL READ("r", "wc", "63", ""),
      FC_WORKS },
    { HALL READ("a", "d", "44", ONE) READ("b", "wc", "45", ONE),
      HALL READ("a", "d", "44", ONE) READ("b", "wc", "50", ONE), FC_WORKS },
    /* 30 psi leave 22.5 where the code asks 35: a file refuted fails no more
     * surely than it works */
    { FIXED("30 psi") DEVICE VALVE WC("d") READ("r", "wc", "22", ONE),
      FIXED("30 psi") DEVICE VALVE WC("d") READ("r", "wc", "28", ONE),
      FC_WILL_NOT_WORK },
};

START_TEST(in_every_command)
{
    const bool fits = _i % 2 == 0;
    const fc_flushing one = { 1, "wc" };
    fc_site *site = site_of(fits ? twins[_i / 2].fits : twins[_i / 2].not );
    const fc_verdict works = fits ? twins[_i / 2].works : FC_CANNOT_TELL;
    fc_check_result *check = NULL;
    fc_path *path = NULL;
    fc_flush_result *flush = NULL;
    fc_remedies *remedies = NULL;

    ck_assert_int_eq(fc_check(site, &check, NULL), FC_OK);
    ck_assert_int_eq(check->works, works);
    ck_assert(fits == (check->n_contradictions == 0));
    ck_assert_int_eq(fc_path_find(site, "wc", FC_EXISTING, &path, NULL),
                     FC_OK);
    ck_assert_int_eq(path->end.works, works);
    ck_assert(fits == (path->n_contradictions == 0));
    ck_assert_int_eq(fc_flush(site, FC_EXISTING, &one, 1, &flush, NULL),
                     FC_OK);
    ck_assert_int_eq(flush->enough, works);
    ck_assert(fits == (flush->n_contradictions == 0));
    ck_assert_int_eq(fc_remedies_find(site, NULL, &remedies, NULL), FC_OK);
    ck_assert_int_eq(remedies->works, works);
    ck_assert((remedies->n_remedies > 0) == (works == FC_WILL_NOT_WORK));
    fc_check_result_free(check);
    fc_path_free(path);
    fc_flush_result_free(flush);
    fc_remedies_free(remedies);
    fc_site_free(site);
}
END_TEST

#define CHOSEN                                                                \
    FIXED("60 psi")                                                           \
    "[pipe p]\nfittings = none\nfrom = main\nmaterial = copper L\nsize = "    \
    "choose\n"                                                                \
    "length = 30 ft\n" VALVE WC("p")

static const struct {
    const char *site;
    fc_verdict works;
    const char *note; /* NULL: none */
} sized[] = {
    { CHOSEN READ("r", "wc", "59", ""), FC_WORKS, NULL },
    { CHOSEN READ("r", "wc", "57", ""), FC_CANNOT_TELL, NULL },
    /* through a pipe that nobody has laid yet */
    { CHOSEN READ("r", "wc", "12", ONE), FC_WORKS,
      "compared with the static ceiling only: r; water passed a pipe" },
    { CHOSEN READ("r", "wc", "63", ONE), FC_CANNOT_TELL, NULL },
};

START_TEST(sizes)
{
    fc_site *site = site_of(sized[_i].site);
    fc_size_result *r = NULL;
    bool noted = sized[_i].note == NULL;
    size_t i;

    ck_assert_int_eq(fc_size(site, NULL, &r, NULL), FC_OK);
    ck_assert_int_eq(r->works, sized[_i].works);
    ck_assert_int_eq(r->check->works, sized[_i].works);
    ck_assert(r->feasible == (sized[_i].works == FC_WORKS));
    for (i = 0; i < r->check->n_findings; i++)
        noted |= sized[_i].note
                 && strstr(r->check->findings[i].text, sized[_i].note);
    ck_assert(noted);
    fc_size_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- Where flows may turn ---------------------------------------------- */

#define PIPE(name, from)                                                      \
    "[pipe " name "]\nfittings = none\nfrom = " from                          \
    "\nc = 130\ninside diameter = 2 in\nlength = 50 ft\n"
#define LOOPED(psi)                                                           \
    FIXED(psi)                                                                \
    PIPE("p", "main")                                                         \
    PIPE("q", "main") PIPE("closing", "p") "to = q\n" VALVE WC("p")

static const struct {
    const char *site;
    bool contradicts;
    const char *note; /* NULL: none */
} meshes[] = {
    { LOOPED("60 psi") READ("r", "wc", "57.9", ""), true, NULL },
    { LOOPED("60 psi") READ("r", "wc", "58.1", ""), false, NULL },
    { LOOPED("60 psi") READ("r", "closing", "57.9", ""), true, NULL },
    { LOOPED("60 psi") READ("r", "closing", "58.1", ""), false, NULL },
    /* while water flows 30 psi are too little, and 59 may be: 38 gpm
     * take no more than 4.52 x 50 (38 / 130)^1.85 / 2^4.87 = 0.8 psi */
    { LOOPED("60 psi") READ("r", "wc", "30", ONE), true, NULL },
    { LOOPED("60 psi") READ("r", "wc", "59", ONE), false, NULL },
    { LOOPED("58..60 psi") READ("r", "wc", "30", ONE), true, NULL },
    /* with 58 psi no less than 57.2; 2.8 psi are two of the range and what
     * flow costs, of which a fifth, 0.6 psi, the range's 2 once more, and the
     * usual 2 of a gauge are the margin: 52.6 psi, less the gauge's own 2 */
    { LOOPED("58..60 psi") READ("r", "wc", "50", ONE), true, NULL },
    { LOOPED("58..60 psi") READ("r", "wc", "54", ONE), false, NULL },
    { LOOPED("58..60 psi") READ("r", "wc", "62.1", ONE), true, NULL },
    /* 5 sqrt(57.2) = 37.8 gpm, and less than 5 sqrt(60) = 38.8 */
    { LOOPED("60 psi") FLOW("f", "wc", "flow = 20 gpm", ONE), true, NULL },
    { LOOPED("60 psi") FLOW("f", "wc", "flow = 38 gpm", ONE), false, NULL },
    { LOOPED("58..60 psi") FLOW("f", "wc", "flow = 20 gpm", ONE), true, NULL },
    { LOOPED("58..60 psi") FLOW("f", "main", "flow = 38 gpm", ONE), false,
      NULL },
    { LOOPED("58..60 psi") FLOW("f", "main", "flow = 20 gpm", ONE), true,
      NULL },
    { LOOPED("58..60 psi") READ("r", "wc", "55.9", ""), true, NULL },
    { LOOPED("58..60 psi") READ("r", "wc", "56.1", ""), false, NULL },
};

START_TEST(where_flows_turn)
{
    const fc_flushing one = { 1, "wc" };
    fc_site *site = site_of(meshes[_i].site);
    fc_flush_result *r = NULL;
    bool noted = meshes[_i].note == NULL;
    size_t i;

    ck_assert_int_eq(fc_flush(site, FC_EXISTING, &one, 1, &r, NULL), FC_OK);
    ck_assert(meshes[_i].contradicts == (r->n_contradictions > 0));
    /* nor can ranges be followed where flows turn */
    ck_assert(r->bounded == !strstr(meshes[_i].site, ".."));
    ck_assert_int_eq(r->enough, meshes[_i].contradicts || !r->bounded
                                    ? FC_CANNOT_TELL
                                    : FC_WORKS);
    for (i = 0; i < r->n_findings; i++)
        noted |=
            meshes[_i].note && strstr(r->findings[i].text, meshes[_i].note);
    ck_assert(noted);
    fc_flush_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- Claims ------------------------------------------------------------ */

#define CLAIM "[claim c]\nfixture = wc\nflowing = 40 psi\nwhile = alone\n"

static const struct {
    const char *site;
    fc_support verdict;
    const char *refuted_by, *against; /* NULL: none */
} claims[] = {
    { HALL CLAIM READ("r", "wc", "46", ONE), FC_SUPPORTED, NULL, NULL },
    { HALL CLAIM READ("r", "wc", "75", ONE), FC_UNDECIDED, "r", NULL },
    { HALL CLAIM READ("r", "wc", "46", ONE) READ("s", "d", "45", ONE),
      FC_SUPPORTED, NULL, NULL },
    { HALL CLAIM READ("r", "wc", "46", ONE) READ("s", "d", "41", ONE),
      FC_UNDECIDED, NULL, "r" },
    /* two elsewhere that disagree leave the model no say */
    { HALL CLAIM READ("r", "d", "59", "") READ("s", "main", "60", ""),
      FC_SUPPORTED, NULL, NULL },
    { HALL LAV CLAIM READ("r", "d", "59", "") READ("s", "lav", "64", ""),
      FC_UNDECIDED, "s", NULL },
};

START_TEST(decides_no_claim)
{
    fc_site *site = site_of(claims[_i].site);
    const fc_checked_claim *c;
    fc_verify_result *r = NULL;

    ck_assert_int_eq(fc_verify(site, NULL, &r, NULL), FC_OK);
    c = &r->claims[0];
    ck_assert_int_eq(c->verdict, claims[_i].verdict);
    ck_assert_str_eq(c->refuted_by ? c->refuted_by : "",
                     claims[_i].refuted_by ? claims[_i].refuted_by : "");
    ck_assert_str_eq(c->against ? c->against : "",
                     claims[_i].against ? claims[_i].against : "");
    fc_verify_result_free(r);
    fc_site_free(site);
}
END_TEST

/* One flushing takes 15 psi, and was read to take 17.5 on one gauge, which may
 * be off by 2 in that; each reading by itself is within its 2 psi of 60 and
 * 45. */
static const struct {
    const char *name, *disagrees;
} told_apart[] = {
    { "still", "with one the drop is 17.5 psi; the file as entered gives "
               "15.0 psi, off by 2.5 psi" },
    { "one", "with still the drop is 17.5 psi; the file as entered gives "
             "15.0 psi, off by 2.5 psi" },
};

START_TEST(tells_a_difference_as_one)
{
    fc_site *site =
        site_of(HALL "[claim c]\nfixture = wc\nflowing = 30 psi\n"
                     "while = 2 of wc\n" READ("still", "wc", "61", "")
                         READ("one", "wc", "43.5", ONE));
    fc_verify_result *r = NULL;
    size_t i;

    ck_assert_int_eq(fc_verify(site, NULL, &r, NULL), FC_OK);
    ck_assert_uint_eq(r->n_readings, 2);
    for (i = 0; i < 2; i++) {
        ck_assert_str_eq(r->readings[i].name, told_apart[i].name);
        ck_assert_str_eq(r->readings[i].disagrees, told_apart[i].disagrees);
    }
    ck_assert_int_eq(r->claims[0].verdict, FC_UNDECIDED);
    ck_assert_str_eq(r->claims[0].refuted_by, "still");
    ck_assert_str_eq(r->claims[0].refuted_beside, "one");
    fc_verify_result_free(r);
    fc_site_free(site);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("readings above the model");
    TCase *readings = tcase_create("readings");
    TCase *commands = tcase_create("commands");

    tcase_add_loop_test(readings, contradicts, 0, COUNT(rows));
    tcase_add_loop_test(readings, where_flows_turn, 0, COUNT(meshes));
    suite_add_tcase(suite, readings);
    tcase_add_loop_test(commands, in_every_command, 0, 2 * COUNT(twins));
    tcase_add_loop_test(commands, sizes, 0, COUNT(sized));
    tcase_add_loop_test(commands, decides_no_claim, 0, COUNT(claims));
    tcase_add_test(commands, tells_a_difference_as_one);
    suite_add_tcase(suite, commands);
    return run_suite(suite);
}
