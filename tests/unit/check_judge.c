/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_judge.c -- verdicts, what governs and decides, and
 * findings.
 *
 * Most buildings here have one pipe without length, so that what is left at
 * the fixture is the source's pressure less heights and devices, and every
 * expected figure is a sum done by hand.  By International Plumbing Code,
 * Table 604.3, a siphonic closet with a flush valve needs 35 psi, a urinal
 * with one 25 psi, a closet with a flush tank 20 psi (see tables/).
 */
#include "generators/sites.h"

#include <math.h>
#include <stdint.h>

#define FREE_PIPE                                                             \
    "fittings = none\nlength = 200 ft\nc = 140\ninside diameter = 1000 in\n"
#define SITE(pressure)                                                        \
    "[source main]\nkind = fixed\npressure = " pressure                       \
    "\n[pipe p]\nfrom = main\n" FREE_PIPE
#define CLOSET "[fixture x]\non = p\nkind = water closet, flush valve\n"
#define TANK_CLOSET "[fixture x]\non = p\nkind = water closet, flush tank\n"
#define METER(pressure, meter)                                                \
    "[source main]\nkind = fixed\npressure = " pressure                       \
    "\n[meter p]\nfrom = main\n" meter CLOSET
#define COMPOUND "kind = compound\nsize = 2 in\n"
#define DISPLACEMENT "kind = displacement\nsize = 1-1/2 in\n"
#define EXACT (1e-6 * PSI)

static fc_check_result *
check(fc_site *site)
{
    fc_check_result *result = NULL;

    ck_assert_int_eq(fc_check(site, &result, NULL), FC_OK);
    return result;
}

static const fc_finding *
find(const fc_check_result *r, const char *about, const char *subject)
{
    return finding_of(r->findings, r->n_findings, about, subject);
}

static void
assert_psi(double pressure, double psi)
{
    ck_assert_msg(fabs(pressure - psi * PSI) <= EXACT, "%.9f psi, not %.9f",
                  pressure / PSI, psi);
}

/* ---- One fixture in its existing state --------------------------------- */

#define VALVE(keys) "existing = v\n[valve v]\n" keys

static const struct {
    const char *site;
    fc_verdict works;
    fc_governor governor;
    double required, margin; /* psi, nominal */
} ones[] = {
    /* The code's least, to the digit, and just under it. */
    { SITE("35 psi") CLOSET, FC_WORKS, FC_CODE_GOVERNS, 35, 0 },
    { SITE("34.999 psi") CLOSET, FC_WILL_NOT_WORK, FC_CODE_GOVERNS, 35,
      -0.001 },
    /* In kPa, which rounds: 241.316505 kPa is 34.9999994 psi. */
    { SITE("241.3165052608926 kPa") CLOSET, FC_WORKS, FC_CODE_GOVERNS, 35, 0 },
    { SITE("35..40 psi") CLOSET, FC_WORKS, FC_CODE_GOVERNS, 35, 2.5 },
    { SITE("34.9..40 psi") CLOSET, FC_CANNOT_TELL, FC_CODE_GOVERNS, 35, 2.45 },
    { SITE("30..35 psi") CLOSET, FC_CANNOT_TELL, FC_CODE_GOVERNS, 35, -2.5 },
    { SITE("30..34.9 psi") CLOSET, FC_WILL_NOT_WORK, FC_CODE_GOVERNS, 35,
      -2.55 },
    /* The higher of the code's and the valve's governs; of two the same, the
     * code's. */
    { SITE("50 psi") CLOSET VALVE("minimum flowing = 40 psi\n"), FC_WORKS,
      FC_VALVE_GOVERNS, 40, 10 },
    { SITE("50 psi") CLOSET VALVE("minimum flowing = 35 psi\n"), FC_WORKS,
      FC_CODE_GOVERNS, 35, 15 },
    { SITE("50 psi") CLOSET VALVE("minimum flowing = 15 psi\n"), FC_WORKS,
      FC_CODE_GOVERNS, 35, 15 },
    /* A range of the valve's: from 30 to 44 psi is from 35 to 44. */
    { SITE("43.9 psi") CLOSET VALVE("minimum flowing = 30..44 psi\n"),
      FC_CANNOT_TELL, FC_VALVE_GOVERNS, 37, 6.9 },
    { SITE("44 psi") CLOSET VALVE("minimum flowing = 30..44 psi\n"), FC_WORKS,
      FC_VALVE_GOVERNS, 37, 7 },
    /* The valve's alone, where the site says so and the valve has one. */
    { "[site]\ncode minimum = no\n" SITE("20 psi")
          CLOSET VALVE("minimum flowing = 15 psi\n"),
      FC_WORKS, FC_VALVE_GOVERNS, 15, 5 },
    { "[site]\ncode minimum = no\n" SITE("20 psi")
          CLOSET VALVE("full flush = 1.6 gal\n"),
      FC_WILL_NOT_WORK, FC_CODE_GOVERNS, 35, -15 },
    { "[site]\ncode minimum = yes\n" SITE("20 psi")
          CLOSET VALVE("minimum flowing = 15 psi\n"),
      FC_WILL_NOT_WORK, FC_CODE_GOVERNS, 35, -15 },
    /* What is to be kept in hand is needed on top. */
    { "[site]\nreserve = 5 psi\n" SITE("40 psi") CLOSET, FC_WORKS,
      FC_CODE_GOVERNS, 40, 0 },
    { "[site]\nreserve = 5 psi\n" SITE("39.9 psi") CLOSET, FC_WILL_NOT_WORK,
      FC_CODE_GOVERNS, 40, -0.1 },
    /* UPC, Appendix A, A 104.0: 15 psi. */
    { "[site]\ncode = upc\n" SITE("15 psi")
          CLOSET VALVE("full flush = 1.6 gal\n"),
      FC_WORKS, FC_CODE_GOVERNS, 15, 0 },
    /* A meter by its kind and size. AWWA C702, compound, 2 in, from memory:
     * 20 psi at 160 gpm, a third of it at the least (common practice, as 6.7):
     * 0.190793 to 0.569531 psi at the 27 gpm of one closet, 0.380162 between;
     * near the change-over up to 3 psi more (common practice). A curve of its
     * own is no kind. */
    { METER("38.58 psi", COMPOUND), FC_WORKS, FC_CODE_GOVERNS, 35, 3.199838 },
    { METER("38.56 psi", COMPOUND), FC_CANNOT_TELL, FC_CODE_GOVERNS, 35,
      3.179838 },
    { METER("38.56 psi", "loss = 20 psi at 160 gpm\n"), FC_WORKS,
      FC_CODE_GOVERNS, 35, 2.990469 },
    { METER("35.20 psi", COMPOUND), FC_CANNOT_TELL, FC_CODE_GOVERNS, 35,
      -0.180162 },
    { METER("35.19 psi", COMPOUND), FC_WILL_NOT_WORK, FC_CODE_GOVERNS, 35,
      -0.190162 },
    /* Displacement, 1-1/2 in at 100 gpm: 12.75 psi (NAVFAC MO-221, section 4)
     * to the 20 of older editions of AWWA C700, from memory: 0.929475 to 1.458
     * psi at 27 gpm, 1.1937375 between. */
    { METER("36.46 psi", DISPLACEMENT), FC_WORKS, FC_CODE_GOVERNS, 35,
      0.2662625 },
    { METER("36.45 psi", DISPLACEMENT), FC_CANNOT_TELL, FC_CODE_GOVERNS, 35,
      0.2562625 },
    /* A stop's loss is on top: 4 psi at any flow. */
    { SITE("39 psi") CLOSET "stop = 4 psi\n", FC_WORKS, FC_CODE_GOVERNS, 35,
      0 },
    { SITE("38.9 psi") CLOSET "stop = 4 psi\n", FC_WILL_NOT_WORK,
      FC_CODE_GOVERNS, 35, -0.1 },
    /* 25 gpm through a stop that takes 1 psi at 12.5 gpm: 4 psi. */
    { SITE("39 psi") CLOSET "stop = 1 psi at 12.5 gpm\n", FC_WORKS,
      FC_CODE_GOVERNS, 35, 0 },
    /* What is too high says nothing of the flush. */
    { SITE("80.01 psi") CLOSET, FC_WORKS, FC_CODE_GOVERNS, 35, 45.01 },
    { "[site]\nmaximum static = 90 psi\n" SITE("85 psi") TANK_CLOSET, FC_WORKS,
      FC_CODE_GOVERNS, 20, 65 },
    /* IPC Table 604.5: 1 in, and the valve's own where that is more. */
    { SITE("50 psi") CLOSET "supply size = 1 in\n", FC_WORKS, FC_CODE_GOVERNS,
      35, 15 },
    { SITE("50 psi") CLOSET "supply size = 3/4 in\n", FC_WILL_NOT_WORK,
      FC_CODE_GOVERNS, 35, 15 },
    { SITE("50 psi") CLOSET
      "supply size = 1 in\n" VALVE("supply size = 1-1/4 in\n"),
      FC_WILL_NOT_WORK, FC_CODE_GOVERNS, 35, 15 },
    { SITE("50 psi") CLOSET
      "supply size = 3/4 in\n" VALVE("supply size = 3/4 in\n"),
      FC_WILL_NOT_WORK, FC_CODE_GOVERNS, 35, 15 },
    /* A full flush under the bowl's; 6 L is 1.585 gal, the same bowl. */
    { SITE("50 psi") CLOSET
      "bowl = 1.6 gal\n" VALVE("full flush = 1.28 gal\n"),
      FC_WILL_NOT_WORK, FC_CODE_GOVERNS, 35, 15 },
    { SITE("50 psi") CLOSET "bowl = 1.6 gal\n" VALVE("full flush = 6 L\n"),
      FC_WORKS, FC_CODE_GOVERNS, 35, 15 },
    { SITE("50 psi") CLOSET "bowl = 1.6 gal\n" VALVE("full flush = 3.5 gal\n"),
      FC_WORKS, FC_CODE_GOVERNS, 35, 15 },
    { SITE("50 psi") CLOSET "bowl = 1.6 gal\n" VALVE(
          "full flush = 1.6 gal\nreduced flush = 1.1 gal\n"),
      FC_WORKS, FC_CODE_GOVERNS, 35, 15 },
};

START_TEST(one_fixture)
{
    fc_site *site = site_of(ones[_i].site);
    fc_check_result *r = check(site);
    const fc_fixture_state *s = &r->fixtures[0].states[FC_EXISTING];

    ck_assert_int_eq(s->works, ones[_i].works);
    ck_assert_int_eq(s->governed_by, ones[_i].governor);
    assert_psi(s->required.nominal, ones[_i].required);
    assert_psi(s->margin.nominal, ones[_i].margin);
    ck_assert_int_eq(r->works, ones[_i].works);
    ck_assert((s->decided_by != NULL) == (s->works == FC_CANNOT_TELL));
    ck_assert_int_eq(r->fixtures[0].change, FC_NOT_CONVERTED);
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* No more than the site's 80 psi, and the valve's own; flowing at most the
 * valve's. */
static const struct {
    const char *site;
    fc_verdict too_high;
} heights[] = {
    { SITE("80 psi") CLOSET, FC_WORKS },
    { SITE("80.01 psi") CLOSET, FC_WILL_NOT_WORK },
    { SITE("79..81 psi") CLOSET, FC_CANNOT_TELL },
    { "[site]\nmaximum static = 90 psi\n" SITE("85 psi") TANK_CLOSET,
      FC_WORKS },
    { SITE("60.01 psi") CLOSET VALVE("maximum static = 60 psi\n"),
      FC_WILL_NOT_WORK },
    { SITE("60 psi") CLOSET VALVE("maximum static = 60 psi\n"), FC_WORKS },
    { SITE("85 psi") CLOSET VALVE("maximum static = 100 psi\n"),
      FC_WILL_NOT_WORK },
    { SITE("50 psi") CLOSET VALVE("maximum flowing = 50 psi\n"), FC_WORKS },
    { SITE("50.01 psi") CLOSET VALVE("maximum flowing = 50 psi\n"),
      FC_WILL_NOT_WORK },
    { SITE("49..51 psi") CLOSET VALVE("maximum flowing = 50 psi\n"),
      FC_CANNOT_TELL },
};

START_TEST(too_high)
{
    fc_site *site = site_of(heights[_i].site);
    fc_check_result *r = check(site);
    const fc_fixture_state *s = &r->fixtures[0].states[FC_EXISTING];

    ck_assert_int_eq(s->works, FC_WORKS);
    ck_assert_int_eq(s->too_high, heights[_i].too_high);
    ck_assert_int_eq(r->too_high, heights[_i].too_high);
    ck_assert((s->excess != NULL) == (s->too_high != FC_WORKS));
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* The ends of the margin are those of both ranges: 50 to 60 psi less 35 to
 * 44 psi. */
START_TEST(ends_of_margin)
{
    fc_site *site = site_of(
        SITE("50..60 psi") CLOSET VALVE("minimum flowing = 30..44 psi\n"));
    fc_check_result *r = check(site);
    const fc_fixture_state *s = &r->fixtures[0].states[0];

    assert_psi(s->required.low, 35);
    assert_psi(s->required.high, 44);
    assert_psi(s->flowing.low, 50);
    assert_psi(s->flowing.high, 60);
    assert_psi(s->margin.low, 6);
    assert_psi(s->margin.high, 25);
    assert_psi(r->source_static.low, 50);
    assert_psi(r->states[0].source_pressure.high, 60);
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* IPC has no least pressure for a flush tank of a urinal: water is enough. */
START_TEST(no_need)
{
    fc_site *site = site_of(
        SITE("1 psi") "[fixture x]\non = p\nkind = urinal, flush tank\n");
    fc_check_result *r = check(site);
    const fc_fixture_state *s = &r->fixtures[0].states[0];

    ck_assert_int_eq(s->works, FC_WORKS);
    ck_assert(!s->required.given);
    ck_assert_int_eq(s->governed_by, FC_NOTHING_GOVERNS);
    ck_assert(!s->spare.given);
    ck_assert(r->states[0].governing == SIZE_MAX);
    ck_assert(!r->states[0].spare_pressure.given);
    ck_assert_ptr_nonnull(find(r, "code", ""));
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- At or below zero -------------------------------------------------- */

#define OVER(level, rise)                                                     \
    "[source t]\nkind = tank\nwater level = " level                           \
    "\nelevation = 0 ft\n[pipe up]\nfrom = t\nrise = " rise "\n" FREE_PIPE    \
    "[pipe p]\nfrom = up\nrise = -100 ft\n" FREE_PIPE CLOSET

/* A pipe goes over a height and comes down to a fixture with plenty. */
static const struct {
    const char *site;
    fc_verdict works;
    int severity; /* of the finding on backflow; -1: none */
} siphons[] = {
    { OVER("11 ft", "10 ft"), FC_WORKS, -1 },
    { OVER("10 ft", "10 ft"), FC_WILL_NOT_WORK, FC_FAIL },
    { OVER("10 ft", "12 ft"), FC_WILL_NOT_WORK, FC_FAIL },
    { OVER("10 ft", "9..11 ft"), FC_CANNOT_TELL, FC_WARN },
    { OVER("10 ft", "10..11 ft"), FC_WILL_NOT_WORK, FC_FAIL },
};

START_TEST(over_a_height)
{
    fc_site *site = site_of(siphons[_i].site);
    fc_check_result *r = check(site);
    const fc_finding *f = find(r, "backflow", "x");

    ck_assert_int_eq(r->works, siphons[_i].works);
    ck_assert_int_eq(r->fixtures[0].states[0].pressure, FC_WORKS);
    ck_assert_int_eq(f ? (int)f->severity : -1, siphons[_i].severity);
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- How far the supply may fall --------------------------------------- */

#define BEHIND(source, set, more)                                             \
    SITE(source)                                                              \
    "[reducer r]\nfall-off = 0 psi at 10 gpm\nloss = 0 psi\nfrom = p\nset "   \
    "= " set "\n" more                                                        \
    "[fixture x]\non = r\nkind = water closet, flush valve\n"

/* The source is tried again at its pressure less the spare: there, and not a
 * hundredth of a psi lower, the closet just works. */
static const struct {
    const char *source, *before, *after; /* the site around the pressure */
    double psi, spare;
} spares[] = {
    { "fixed", "", CLOSET, 60, 25 },
    { "fixed", "", CLOSET, 30, -5 },
    /* 50 psi behind a reducer from 70: the source may fall to 35 psi. */
    { "fixed", "",
      "[reducer r]\nfall-off = 0 psi at 10 gpm\nloss = 0 psi\nfrom = p\nset = "
      "50 psi\n"
      "[fixture x]\non = r\nkind = water closet, flush valve\n",
      70, 35 },
    /* 3 psi wide open at any flow. */
    { "fixed", "",
      "[reducer r]\nfall-off = 0 psi at 10 gpm\nfrom = p\nset = 50 psi\nloss "
      "= 3 psi\n"
      "[fixture x]\non = r\nkind = water closet, flush valve\n",
      70, 32 },
    /* A backflow preventer with 8 psi before it, 2 psi of a device behind:
     * 70 - 8 - 2 - 35. */
    { "fixed", "",
      "[backflow b]\nfrom = p\nloss = 8 psi\n"
      "[reducer r]\nfall-off = 0 psi at 10 gpm\nloss = 0 psi\nfrom = b\nset = "
      "50 psi\n"
      "[device d]\nfrom = r\nloss = 2 psi\n"
      "[fixture x]\non = d\nkind = water closet, flush valve\n",
      70, 25 },
    /* A pump gives 20 m (28.4 psi by 9.80665 and the water of the site): what
     * is left depends on it one for one, so only the trial tells. */
    { "fixed", "",
      "[pump u]\nfrom = p\ncurve = 0 gpm 20 m, 100 gpm 20 m\nhold = 60 psi\n"
      "[fixture x]\non = u\nkind = water closet, flush valve\n",
      50, NAN },
    /* From 70 psi down to 60 it stands still; it runs for the rest. */
    { "fixed", "",
      "[pump u]\nfrom = p\ncurve = 0 gpm 20 m, 100 gpm 20 m\nhold = 60 psi\n"
      "[fixture x]\non = u\nkind = water closet, flush valve\n",
      70, NAN },
    /* It holds less than is needed, and so never runs before 35 psi are left;
     * behind a reducer that gives 50 psi neither. */
    { "fixed", "",
      "[pump u]\nfrom = p\ncurve = 0 gpm 20 m, 100 gpm 20 m\nhold = 30 psi\n"
      "[fixture x]\non = u\nkind = water closet, flush valve\n",
      70, 35 },
    { "fixed", "",
      "[reducer r]\nfall-off = 0 psi at 10 gpm\nloss = 0 psi\nfrom = p\nset = "
      "50 psi\n"
      "[pump u]\nfrom = r\ncurve = 0 gpm 20 m, 100 gpm 20 m\nhold = 30 psi\n"
      "[fixture x]\non = u\nkind = water closet, flush valve\n",
      70, 35 },
    /* The 34 psi that it holds are too little: 35 have to come in. */
    { "fixed", "",
      "[pump u]\nfrom = p\ncurve = 0 gpm 20 m, 100 gpm 20 m\nhold = 34 psi\n"
      "[fixture x]\non = u\nkind = water closet, flush valve\n",
      20, -15 },
    /* Both stand still at 70 psi, and run once less than they hold comes in */
    { "fixed", "",
      "[pump t]\nfrom = p\ncurve = 0 gpm 5 m, 100 gpm 5 m\nhold = 60 psi\n"
      "[reducer r]\nfall-off = 0 psi at 10 gpm\nloss = 0 psi\nfrom = t\nset = "
      "50 psi\n"
      "[pump u]\nfrom = r\ncurve = 0 gpm 10 m, 100 gpm 10 m\nhold = 45 psi\n"
      "[fixture x]\non = u\nkind = water closet, flush valve\n",
      70, NAN },
};

static fc_site *
spare_site(int row, double psi)
{
    char text[1024];

    snprintf(text, sizeof text,
             "[source main]\nkind = %s\npressure = %.12f psi\n"
             "[pipe p]\nfrom = main\n" FREE_PIPE "%s%s",
             spares[row].source, psi, spares[row].before, spares[row].after);
    return site_of(text);
}

static fc_verdict
pressure_at(int row, double psi)
{
    fc_site *site = spare_site(row, psi);
    fc_check_result *r = check(site);
    const fc_verdict verdict = r->fixtures[0].states[0].pressure;

    fc_check_result_free(r);
    fc_site_free(site);
    return verdict;
}

START_TEST(spare)
{
    fc_site *site = spare_site(_i, spares[_i].psi);
    fc_check_result *r = check(site);
    const fc_range s = r->fixtures[0].states[0].spare;

    ck_assert(s.given);
    if (!isnan(spares[_i].spare))
        assert_psi(s.nominal, spares[_i].spare);
    assert_psi(r->states[0].spare_pressure.nominal, s.nominal / PSI);
    ck_assert_int_eq(pressure_at(_i, spares[_i].psi - s.nominal / PSI),
                     FC_WORKS);
    ck_assert_int_eq(pressure_at(_i, spares[_i].psi - s.nominal / PSI - 0.01),
                     FC_WILL_NOT_WORK);
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* Set to less than is needed, no supply helps; then the building's is not
 * given either, though its other fixture has some. */
START_TEST(hopeless)
{
    fc_site *site = site_of(BEHIND(
        "70 psi", "30 psi", "") "[fixture y]\non = p\nkind = lavatory\n");
    fc_check_result *r = check(site);

    ck_assert_int_eq(r->fixtures[0].states[0].works, FC_WILL_NOT_WORK);
    ck_assert(!r->fixtures[0].states[0].spare.given);
    assert_psi(r->fixtures[1].states[0].spare.nominal, 62); /* of 8 psi */
    ck_assert(!r->states[0].spare_pressure.given);
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* The building's is that of its tightest fixture; each end by itself. */
START_TEST(tightest)
{
    fc_site *site =
        site_of(SITE("60..64 psi") CLOSET
                "[fixture y]\non = p\nkind = lavatory\nrise = -1 ft\n"
                "[fixture z]\non = p\nkind = urinal, flush valve\n");
    fc_check_result *r = check(site);

    assert_psi(r->states[0].spare_pressure.nominal, 62 - 35);
    assert_psi(r->states[0].spare_pressure.low, 60 - 35);
    assert_psi(r->states[0].spare_pressure.high, 64 - 35);
    ck_assert_uint_eq(r->states[0].governing, 0);
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- What decides ------------------------------------------------------ */

/* 127 gpm, 100 of them steady, through 100 ft of 2 in bore at C 100 lose 24
 * psi by the form of NFPA 13, 4.52 Q^1.85 / (C^1.85 d^4.87) a foot. */
#define LOSING                                                                \
    "fittings = none\nc = 100\nlength = 100 ft\ninside diameter = 2 in\n"
#define DRAW "[demand t]\non = p\nflow = 100 gpm\n"

/* Each is the only range, or by far the widest beside a range of 1 psi or
 * less of another kind.  `worth` and `place`: how much it is and where, NULL
 * where only an order of size is known by hand. */
static const struct {
    const char *site, *what, *worth, *place;
} decided[] = {
    { "[source main]\nkind = street main\nstatic = 30..42 psi\n"
      "[pipe p]\nfrom = main\nrise = 0..1 ft\n" FREE_PIPE CLOSET,
      "the static pressure of the main", "12.0 psi", "" },
    { "[source main]\nwithin = 0 psi\nkind = street main\nstatic = 50..51 "
      "psi\n"
      "residual = 30..40 psi\nresidual flow = 26 gpm\n"
      "[pipe p]\nfrom = main\n" FREE_PIPE CLOSET,
      "the flow test of the main", NULL, NULL },
    { SITE("30..42 psi") CLOSET, "the pressure of the source", "12.0 psi",
      "" },
    { "[source main]\nkind = tank\nwater level = 70..90 ft\n"
      "elevation = 0 ft\n"
      "[pipe p]\nfrom = main\n" FREE_PIPE CLOSET,
      "the water level of the tank", NULL, NULL },
    { "[source main]\nkind = fixed\npressure = 60 psi\n[pipe p]\nfittings = "
      "none\nfrom = main\n"
      "c = 100\nlength = 60..140 ft\ninside diameter = 2 in\nrise = 0..1 "
      "ft\n" CLOSET DRAW,
      "the length of the pipes", NULL, NULL },
    { "[source main]\nkind = fixed\npressure = 60 psi\n[pipe p]\nfittings = "
      "none\nfrom = main\n"
      "c = 80..140\nlength = 100 ft\ninside diameter = 2 in\n" CLOSET DRAW,
      "the C of the pipes", NULL, NULL },
    { "[source main]\nkind = fixed\npressure = 60 psi\n[pipe p]\nfittings = "
      "none\nfrom = main\n"
      "c = 100\nlength = 100 ft\ninside diameter = 1.8..2.2 in\n" CLOSET DRAW,
      "the size of the pipes", NULL, NULL },
    { SITE("40 psi") CLOSET "rise = 0..20 ft\n", "the elevations", "8.7 psi",
      "in x)" },
    { "[source main]\nkind = fixed\npressure = 40 psi\n"
      "[pipe p]\nfrom = main\nrise = 0..20 ft\n" FREE_PIPE CLOSET,
      "the elevations", "8.7 psi", "in p)" },
    { SITE("40 psi") CLOSET "stop = 2..9 psi\n", "the loss of a device",
      "7.0 psi", "in x)" },
    { SITE("40 psi") "[device d]\nfrom = p\nloss = 2..9 psi\n"
                     "[fixture x]\non = d\nkind = water closet, flush valve\n",
      "the loss of a device", "7.0 psi", "in d)" },
    /* Behind a reducer at work the source does not matter. */
    { SITE("60..80 psi") "[reducer r]\nfall-off = 0 psi at 10 gpm\nloss = 0 "
                         "psi\nfrom = p\nset = 33..37 psi\n"
                         "[fixture x]\non = r\nkind = water closet, flush "
                         "valve\n",
      "the set pressure of the PRV", "4.0 psi", "in r)" },
    { SITE("20..30 psi") "[pump u]\nfrom = p\nhold = 33..37 psi\n"
                         "curve = 0 gpm 40 m, 100 gpm 40 m\n"
                         "[fixture x]\non = u\nkind = water closet, flush "
                         "valve\n",
      "the discharge set pressure of the pump", "4.0 psi", "in u)" },
    /* One that stands still whatever it holds decides nothing. */
    { SITE("33..37 psi") "[pump u]\nfrom = p\nhold = 20..32 psi\n"
                         "curve = 0 gpm 40 m, 100 gpm 40 m\n"
                         "[fixture x]\non = u\nkind = water closet, flush "
                         "valve\n",
      "the pressure of the source", "4.0 psi", "" },
    { "[source main]\nkind = fixed\npressure = 60 psi\n"
      "[pipe p]\nfrom = main\n" LOSING CLOSET
      "[demand t]\non = p\nflow = 60..140 gpm\n",
      "the flows drawn", NULL, NULL },
    { SITE("50 psi") CLOSET VALVE("minimum flowing = 40..60 psi\n"),
      "the valve minimum", "20.0 psi", "in x)" },
};

START_TEST(decides)
{
    fc_site *site = site_of(decided[_i].site);
    fc_check_result *r = check(site);
    const fc_fixture_state *s = &r->fixtures[0].states[0];
    const fc_finding *f = find(r, "flowing pressure", "x");

    ck_assert_msg(s->works == FC_CANNOT_TELL, "margin %f..%f",
                  s->margin.low / PSI, s->margin.high / PSI);
    ck_assert_ptr_nonnull(s->decided_by);
    ck_assert_msg(
        strncmp(s->decided_by, decided[_i].what, strlen(decided[_i].what))
            == 0,
        "%s", s->decided_by);
    if (decided[_i].worth)
        ck_assert_msg(strstr(s->decided_by, decided[_i].worth)
                          && strstr(s->decided_by, decided[_i].place),
                      "%s", s->decided_by);
    ck_assert_ptr_nonnull(f);
    ck_assert_int_eq(f->severity, FC_WARN);
    ck_assert_msg(strstr(f->text, s->decided_by) != NULL, "%s", f->text);
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* Where the pressure suffices at any end and the maximum is in doubt, the
 * flush works, and a gauge settles the other. */
static const char *const at_maximum[] = {
    "[site]\ncode minimum = no\n" SITE("79..81 psi")
        CLOSET VALVE("minimum flowing = 15..40 psi\n"),
    SITE("79..81 psi") "[device d]\nfrom = p\nloss = 2..9 psi\n"
                       "[fixture x]\non = d\nkind = water closet, flush "
                       "valve\n",
};

START_TEST(decides_maximum)
{
    fc_site *site = site_of(at_maximum[_i]);
    fc_check_result *r = check(site);
    const fc_fixture_state *s = &r->fixtures[0].states[0];
    const fc_finding *f = find(r, "maximum static", "x");

    ck_assert_int_eq(s->works, FC_WORKS);
    ck_assert_int_eq(s->too_high, FC_CANNOT_TELL);
    ck_assert_ptr_null(s->decided_by);
    ck_assert_ptr_nonnull(f);
    ck_assert_ptr_nonnull(strstr(f->text, "read static there"));
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* A fixture of which nothing is asked but water has no minimum to look up. */
START_TEST(decides_water)
{
    fc_site *site = site_of(
        SITE("-1..5 psi") "[fixture x]\non = p\nkind = urinal, flush tank\n");
    fc_check_result *r = check(site);
    const fc_fixture_state *s = &r->fixtures[0].states[0];
    const char *what = "the pressure of the source";

    ck_assert_int_eq(s->works, FC_CANNOT_TELL);
    ck_assert_msg(strncmp(s->decided_by, what, strlen(what)) == 0, "%s",
                  s->decided_by);
    ck_assert_ptr_nonnull(find(r, "flowing pressure", "x"));
    ck_assert_msg(strstr(find(r, "flowing pressure", "x")->text, "not known")
                      == NULL,
                  "%s", find(r, "flowing pressure", "x")->text);
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* Where no other input is a range than what a valve needs, its worst case is
 * the site that has that end alone. */
#define NEEDS(least)                                                          \
    "[site]\ncode minimum = no\n"                                             \
    "[source s]\nkind = fixed\npressure = 40 psi\n"                           \
    "[pipe p]\nfrom = s\nsize = 1 in\nmaterial = copper L\n"                  \
    "condition = new\nlength = 30 ft\nfittings = none\n" CLOSET               \
    "count = 6\ninterval = 1 min\n" VALVE(                                    \
        "flow = 25 gpm at 30 psi\nfull flush = 1.6 gal\n"                     \
        "minimum flowing = " least "\n")

START_TEST(a_lone_range)
{
    fc_site *site = site_of(NEEDS("10..19 psi"));
    fc_site *end = site_of(NEEDS("19 psi"));
    fc_check_result *r = check(site), *at_end = check(end);
    const fc_fixture_state *s = &r->fixtures[0].states[0];
    const fc_fixture_state *worst = &at_end->fixtures[0].states[0];

    ck_assert_int_eq(worst->works, FC_CANNOT_TELL);
    ck_assert_int_eq(s->works, FC_CANNOT_TELL);
    ck_assert_int_eq(s->ladder.low, worst->ladder.most);
    ck_assert(s->busy.weak_worst.given);
    ck_assert_double_gt(worst->busy.weak.low, FC_MOST_WEAK);
    ck_assert_double_eq_tol(s->busy.weak_worst.estimate,
                            worst->busy.weak.estimate, 1e-9);
    fc_check_result_free(r);
    fc_check_result_free(at_end);
    fc_site_free(site);
    fc_site_free(end);
}
END_TEST

/* Two devices, 3 and 5 psi wide: together they outweigh 7 psi of the source,
 * and the larger of them is named. */
START_TEST(kinds_are_added_up)
{
    fc_site *site = site_of(
        SITE("45..52 psi") "[device a]\nfrom = p\nloss = 2..5 psi\n"
                           "[device b]\nfrom = a\nloss = 2..7 psi\n"
                           "[fixture x]\non = b\nkind = water closet, flush "
                           "valve\n" VALVE("minimum flowing = 40 psi\n"));
    fc_check_result *r = check(site);
    const char *by = r->fixtures[0].states[0].decided_by;

    ck_assert_ptr_nonnull(by);
    ck_assert_msg(strncmp(by, "the loss of a device", 20) == 0
                      && strstr(by, "8.0 psi") && strstr(by, "5.0 psi")
                      && strstr(by, "in b)"),
                  "%s", by);
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- Before and after -------------------------------------------------- */

#define BOTH(before, after)                                                   \
    SITE("50..54 psi")                                                        \
    CLOSET "existing = a\nretrofit = b\n"                                     \
           "[valve a]\nminimum flowing = " before "\n"                        \
           "[valve b]\nminimum flowing = " after "\n"

static const struct {
    const char *site;
    fc_change change;
    fc_verdict works;
} changes[] = {
    { BOTH("40 psi", "45 psi"), FC_KEEPS_WORKING, FC_WORKS },
    { BOTH("40 psi", "60 psi"), FC_STOPS_WORKING, FC_WILL_NOT_WORK },
    { BOTH("60 psi", "40 psi"), FC_STARTS_WORKING, FC_WORKS },
    { BOTH("60 psi", "70 psi"), FC_STILL_SHORT, FC_WILL_NOT_WORK },
    { BOTH("52 psi", "40 psi"), FC_CHANGE_UNKNOWN, FC_WORKS },
    { BOTH("60 psi", "52 psi"), FC_CHANGE_UNKNOWN, FC_CANNOT_TELL },
};

START_TEST(change)
{
    fc_site *site = site_of(changes[_i].site);
    fc_check_result *r = check(site);

    ck_assert(r->converted);
    ck_assert_int_eq(r->fixtures[0].change, changes[_i].change);
    ck_assert_int_eq(r->works, changes[_i].works);
    ck_assert_int_eq(r->states[FC_RETROFIT].works, changes[_i].works);
    ck_assert_str_eq(r->fixtures[0].states[FC_EXISTING].valve, "a");
    ck_assert_str_eq(r->fixtures[0].states[FC_RETROFIT].valve, "b");
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* Twelve that work, three that do not, five that cannot be told.  The short
 * one governs, though one that works has a smaller rise to spare. */
START_TEST(groups_are_counted)
{
    fc_site *site = site_of(
        SITE("50..54 psi") "[fixture a]\non = p\nkind = lavatory\ncount = 12\n"
                           "[fixture b]\non = p\nkind = water closet, flush "
                           "valve\ncount = 3\n"
                           "existing = v\n"
                           "[fixture c]\non = p\nkind = water closet, flush "
                           "valve\ncount = 5\n"
                           "existing = w\n"
                           "[valve v]\nminimum flowing = 60 psi\n"
                           "[valve w]\nminimum flowing = 52 psi\n");
    fc_check_result *r = check(site);

    ck_assert_uint_eq(r->states[0].working, 12);
    ck_assert_uint_eq(r->states[0].failing, 3);
    ck_assert_uint_eq(r->states[0].unclear, 5);
    ck_assert_uint_eq(r->states[0].governing, 1);
    ck_assert_int_eq(r->works, FC_WILL_NOT_WORK);
    ck_assert_int_eq(r->fixtures[2].count, 5);
    ck_assert(!r->converted);
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- Findings ---------------------------------------------------------- */

#define NONE (-1)

/* What is found, of whom, how bad, and in which state (NONE: in none, or the
 * building has one only).  `text`: a part that carries the figures. */
static const struct {
    const char *site, *about, *subject;
    fc_severity severity;
    int state;
    const char *text;
} findings[] = {
    { SITE("30 psi") CLOSET, "static pressure", "x", FC_FAIL, NONE,
      "30.0 psi static, 35.0 psi flowing required (code minimum): no pipe can "
      "fix this" },
    { SITE("40 psi") CLOSET "stop = 8 psi\n", "flowing pressure", "x", FC_FAIL,
      NONE,
      "32.0 psi flowing at peak, 35.0 psi required (code minimum): short by "
      "3.0 psi" },
    { SITE("36..40 psi") CLOSET "stop = 8 psi\n", "flowing pressure", "x",
      FC_FAIL, NONE, "short by 3.0 to 7.0 psi" },
    { SITE("50 psi") CLOSET "stop = 1 psi\nretrofit = b\n"
                            "[valve b]\nminimum flowing = 49.5 psi\n",
      "flowing pressure", "x", FC_FAIL, FC_RETROFIT,
      "(valve minimum): short by 0.5 psi; works with existing valves" },
    { SITE("81 psi") CLOSET, "maximum static", "x", FC_FAIL, NONE,
      "81.0 psi static, limit 80.0 psi (site maximum)" },
    { SITE("70 psi") CLOSET VALVE("maximum static = 65 psi\n"),
      "maximum static", "x", FC_FAIL, NONE, "limit 65.0 psi (valve maximum)" },
    { SITE("79..81 psi") CLOSET, "maximum static", "x", FC_WARN, NONE,
      "79.0 to 81.0 psi static" },
    { SITE("50 psi") CLOSET "supply size = 3/4 in\n", "supply size", "x",
      FC_FAIL, NONE,
      "supply is 3/4 in, at least 1 in required (code, International Plumbing "
      "Code (ICC), Table 604.5)" },
    { SITE("50 psi") "[fixture x]\non = main\n"
                     "kind = water closet, flush valve\n",
      "supply size", "", FC_NOTE, NONE, "(at least 1 in required): x" },
    { SITE("50 psi") CLOSET "bowl = 1.6 gal\nretrofit = "
                            "siphonic closet 1.28 gal\n",
      "flush volume", "x", FC_FAIL, FC_RETROFIT,
      "flushes 1.28 gal after retrofit; its bowl is made for 1.6" },
    { SITE("50 psi") CLOSET "bowl = 1.6 gal\nretrofit = "
                            "siphonic closet dual 1.6/1.1 gal\n",
      "flush volume", "x", FC_WARN, FC_RETROFIT, "reduced flush 1.1" },
    { SITE("50 psi") CLOSET "retrofit = siphonic closet 1.28 gal\n",
      "flush volume", "x", FC_WARN, FC_RETROFIT,
      "flushes 1.28 gal after retrofit, 3.5" },
    { SITE("50 psi") CLOSET VALVE("maximum flowing = 45 psi\n"),
      "maximum flowing", "x", FC_FAIL, NONE,
      "50.0 psi flowing even at peak, above" },
    { SITE("44..50 psi") CLOSET VALVE("maximum flowing = 45 psi\n"),
      "maximum flowing", "x", FC_WARN, NONE,
      "44.0 to 50.0 psi flowing even at peak, possibly above" },
    { SITE("50 psi") CLOSET, "code", "", FC_NOTE, NONE,
      "code minimum 35.0 psi (International" },
    /* 25 gpm in 1 in bore: 25 * 231 / 60 / 12 / (pi / 4) = 10.2 ft/s. */
    { "[source main]\nkind = fixed\npressure = 60 psi\n[pipe p]\nfittings = "
      "none\nfrom = main\n"
      "length = 1 ft\nc = 140\ninside diameter = 1 in\n"
      "velocity limit = 8 ft/s\n" CLOSET "fixture units = 1\n",
      "velocity", "p", FC_WARN, NONE,
      "10.2 ft/s at peak (25.0 gpm in 1.000 in bore), limit 8.0 ft/s" },
    { "[source main]\nkind = fixed\npressure = 60 psi\n[pipe p]\nfittings = "
      "none\nfrom = main\n"
      "length = 1 ft\nc = 140\ninside diameter = 1..1.5 in\n"
      "velocity limit = 8 ft/s\n" CLOSET "fixture units = 1\n",
      "velocity", "p", FC_WARN, NONE, "up to 10.2 ft/s" },
    { SITE("60 psi") "[meter m]\nfrom = p\nkind = displacement\n"
                     "size = 5/8 in\n"
                     "[fixture x]\non = m\nkind = water closet, flush valve\n",
      "meter", "m", FC_WARN, NONE,
      "27.0 gpm at peak, above the 20.0 gpm rated maximum of its size" },
    { SITE("60 psi") "[device d]\nfrom = p\n"
                     "loss = 0 gpm 1 psi, 20 gpm 2 psi\n"
                     "[fixture x]\non = d\nkind = water closet, flush valve\n",
      "curve", "d", FC_WARN, NONE, "the end of its curve at 20.0 gpm" },
    { SITE("40 psi") "[reducer r]\nfall-off = 0 psi at 10 gpm\nloss = 0 "
                     "psi\nfrom = p\nset = 50 psi\n"
                     "[fixture x]\non = r\nkind = water closet, flush valve\n",
      "PRV", "r", FC_NOTE, NONE,
      "inlet too low for its set pressure of 50.0 psi; 40.0 psi downstream" },
    { SITE("60 psi") "[pump u]\nfrom = p\nrunning = no\n"
                     "curve = 0 gpm 40 m, 100 gpm 40 m\n"
                     "[fixture x]\non = u\nkind = water closet, flush valve\n",
      "pump", "u", FC_NOTE, NONE, "not running" },
    { SITE("10 psi") "[pump u]\nfrom = p\ncurve = 0 gpm 40 m, 20 gpm 40 m\n"
                     "[fixture x]\non = u\nkind = water closet, flush valve\n",
      "pump", "u", FC_WARN, NONE, "beyond the end of its curve at 20.0 gpm" },
    { SITE("60 psi") "[pump u]\nfrom = p\nhold = 50 psi\n"
                     "curve = 0 gpm 40 m, 100 gpm 40 m\n"
                     "[fixture x]\non = u\nkind = water closet, flush valve\n",
      "pump", "u", FC_WARN, NONE,
      "60.0 psi at its inlet at peak, above its discharge set pressure of "
      "50.0 psi: it stops, and water bypasses it unreduced" },
    { "[source main]\nkind = fixed\npressure = 0 psi\n[pipe p]\nfrom = "
      "main\n" FREE_PIPE
      "[pump u]\nfrom = p\ncurve = 0 gpm 40 m, 100 gpm 40 m\n"
      "[fixture x]\non = u\nkind = water closet, flush valve\n",
      "backflow", "u", FC_FAIL, NONE, "0.0 psi at its inlet" },
    { "[source main]\nkind = street main\nstatic = 60 psi\n"
      "[pipe p]\nfrom = main\n" FREE_PIPE CLOSET,
      "flow test", "main", FC_WARN, NONE, "no flow test" },
    { "[source main]\nwithin = 0 psi\nkind = street main\nstatic = 60 psi\n"
      "residual = 55 psi\nresidual flow = 20 gpm\n"
      "[pipe p]\nfrom = main\n" FREE_PIPE CLOSET,
      "flow test", "main", FC_WARN, NONE,
      "27.0 gpm at peak, beyond the 20.0 gpm of its flow test" },
    { "[source main]\nwithin = 0 psi\nkind = street main\nstatic = 60 psi\n"
      "residual = 15 psi\nresidual flow = 27 gpm\n"
      "[pipe p]\nfrom = main\n" FREE_PIPE CLOSET,
      "street main", "main", FC_FAIL, NONE,
      "15.0 psi at peak; a public main must keep 20.0 psi" },
    { SITE("4 psi") "[pump u]\nfrom = p\ncurve = 0 gpm 40 m, 100 gpm 40 m\n"
                    "[fixture x]\non = u\nkind = water closet, flush valve\n",
      "pump", "u", FC_FAIL, NONE, "4.0 psi at its inlet" },
    { SITE("10 psi") "[pump u]\nfrom = p\ncurve = 0 gpm 40 m, 100 gpm 40 m\n"
                     "[fixture x]\non = u\nkind = water closet, flush valve\n",
      "pump", "u", FC_WARN, NONE, "5.0 to 20.0 psi required (usual" },
    { SITE("60 psi") CLOSET "count = 600\n", "demand", "main", FC_NOTE, NONE,
      "6000.0 fixture units, beyond the last row" },
    /* 8 units by Appendix A, 40 by Table 610.10. */
    { "[site]\ncode = upc\n" SITE("60 psi") CLOSET, "fixture units", "",
      FC_NOTE, FC_EXISTING, "8.0 fixture units" },
    { "[site]\ncode = upc\n" SITE("60 psi") CLOSET, "fixture units", "",
      FC_NOTE, FC_EXISTING, "40.0" },
    { SITE("60 psi") CLOSET "[claim g]\nfixture = x\nflowing = 50 psi\n",
      "readings", "", FC_WARN, NONE,
      "1 claim in the file, not used by check" },
    { "[site]\nwater temperature = 33 degF\n" SITE("60 psi") CLOSET,
      "friction formula", "", FC_WARN, NONE, "outside the 40 to 75 degF" },
    { "[source main]\nkind = fixed\npressure = 60 psi\n[pipe p]\nfittings = "
      "none\nfrom = main\n"
      "length = 1 ft\nc = 140\ninside diameter = 1 in\n" CLOSET,
      "friction formula", "", FC_NOTE, NONE, "1 of 1 pipes are under 2 in" },
};

static void
assert_finding(const fc_check_result *r, int row)
{
    const fc_severity severity = findings[row].severity;
    char all[8192] = "";
    size_t i, used = 0;

    for (i = 0; i < r->n_findings && used < sizeof all; i++) {
        const fc_finding *f = &r->findings[i];

        if (strcmp(f->about, findings[row].about) == 0
            && strcmp(f->subject, findings[row].subject) == 0
            && f->severity == severity
            && strstr(f->text, findings[row].text)) {
            const unsigned both = FC_IN(FC_EXISTING) | FC_IN(FC_RETROFIT);

            if (!r->converted)
                ck_assert_uint_eq(f->states, 0);
            else if (findings[row].state == NONE)
                ck_assert(f->states == 0 || f->states == both);
            else
                ck_assert_uint_eq(f->states, FC_IN(findings[row].state));
            return;
        }
        used +=
            (size_t)snprintf(all + used, sizeof all - used, "\n%d %s [%s]: %s",
                             (int)f->severity, f->subject, f->about, f->text);
    }
    ck_abort_msg("not found: %s%s", findings[row].text, all);
}

START_TEST(finding)
{
    fc_site *site = site_of(findings[_i].site);
    fc_check_result *r = check(site);
    size_t i;

    assert_finding(r, _i);
    for (i = 1; i < r->n_findings; i++)
        ck_assert_int_le(r->findings[i].severity, r->findings[i - 1].severity);
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* A building in which all is well and all is given has nothing worse than a
 * note. */
START_TEST(nothing_to_find)
{
    fc_site *site = site_of(
        "[source main]\nwithin = 0 psi\nkind = street main\nstatic = 70 psi\n"
        "residual = 65 psi\nresidual flow = 200 gpm\n"
        "[pipe p]\nfittings = none\nfrom = main\nmaterial = copper L\nsize = "
        "3 in\n"
        "length = 20 ft\ncondition = aged\n" CLOSET
        "supply size = 1 in\nbowl = 1.6 gal\n"
        "existing = a\nretrofit = b\n"
        "[valve a]\nminimum flowing = 15 psi\nfull flush = 3.5 gal\n"
        "flow = 25 gpm at 25 psi\n"
        "[valve b]\nminimum flowing = 15 psi\nfull flush = 1.6 gal\n"
        "flow = 25 gpm at 25 psi\n");
    fc_check_result *r = check(site);
    size_t i;

    ck_assert_int_eq(r->works, FC_WORKS);
    for (i = 0; i < r->n_findings; i++)
        ck_assert_msg(r->findings[i].severity == FC_NOTE, "%s: %s",
                      r->findings[i].subject, r->findings[i].text);
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- Assumptions ------------------------------------------------------- */

#define OF_TABLE                                                              \
    "[source main]\nkind = fixed\npressure = 60 psi\n[pipe p]\nfrom = main\n" \
    "material = copper L\nsize = 3 in\nlength = 20 ft\n"

/* The water of 60 degF weighs 0.43310 psi a foot (see unit/check_water.c). */
#define AT(element)                                                           \
    "[fixture x]\non = " element "\nkind = water closet, flush valve\n"
#define AT_REDUCER AT("r")
#define UNREGULATED                                                           \
    "[source s]\nkind = fixed\npressure = 60 psi\n"                           \
    "[reducer r]\nfrom = s\nset = 90 psi\n"

static const struct {
    const char *site, *text;
} assumed[] = {
    { SITE("60 psi") CLOSET, "peak demand is by IPC" },
    { "[site]\ncode = upc\n" SITE("60 psi") CLOSET, "peak demand is by UPC" },
    { SITE("60 psi") CLOSET, "no existing valve named, so generic class "
                             "\"siphonic closet 3.5 gal\" is used: x" },
    { SITE("60 psi") CLOSET "retrofit = siphonic closet 1.6 gal\n",
      "generic class \"siphonic closet 1.6 gal\" is used for the valve of x" },
    { SITE("60 psi") CLOSET, "water at 60 degF: 0.433 psi per ft" },
    { OF_TABLE CLOSET, "condition of 1 pipe not given" },
    /* wide open, at 60 psi, it may lose anything up to the table's 10 psi, and
     * never regulates */
    { UNREGULATED "fall-off = 0 psi at 10 gpm\n" AT_REDUCER,
      "loss of r wide open not given: up to 10.0 psi while water flows; worth "
      "10.0 psi at x at peak" },
    { UNREGULATED "loss = 3 psi\n" AT_REDUCER,
      "fall-off of r not given: up to 20.0 psi whenever water flows; no "
      "difference at x at peak" },
    /* two readings off by 2 psi each either way, at the flow of the test */
    { "[source s]\nkind = street main\nstatic = 60 psi\n"
      "residual = 50 psi\nresidual flow = 27 gpm\n" AT("s"),
      "each gauge reading of the flow test of s may be off by up to 2.0 psi; "
      "worth 8.0 psi at x at peak" },
    /* at half its flow the square law takes 2 of 8 psi, a constant 8 */
    { "[source s]\nkind = fixed\npressure = 60 psi\n"
      "[backflow b]\nfrom = s\nloss = 8 psi at 54 gpm\n" AT("b"),
      "loss of b given at one flow: at others it may follow the square law or "
      "stay the same; worth 6.0 psi at x at peak" },
    { METER("60 psi", COMPOUND),
      "loss of p not given but by kind and size: more near its change-over "
      "(\"flushcalc tables meter\"); worth 3.0 psi at x at peak" },
    { METER("60 psi", DISPLACEMENT),
      "loss of p not given but by kind and size: from what a good meter loses "
      "to what its standard allows (\"flushcalc tables meter\"); worth 0.5 "
      "psi "
      "at x at peak" },
    { OF_TABLE "condition = new\n" CLOSET,
      "C of 1 pipe is the table value for new pipe" },
    { OF_TABLE "condition = aged\n" CLOSET,
      "C of 1 pipe is the table value for aged pipe" },
    { OF_TABLE "fittings = 1 ball valve\n" CLOSET,
      "in 1 pipe, such as \"ball valve\" in p" },
    { SITE("60 psi") CLOSET "[tolerance]\npressure = 1 psi\n",
      "may be off by what [tolerance] says" },
    { "[site]\nreserve = 5 psi\n" SITE("60 psi") CLOSET,
      "5.0 psi reserve at every fixture" },
    { "[site]\ncode minimum = no\n" SITE("60 psi") CLOSET,
      "stated valve minimum" },
};

START_TEST(assumption)
{
    fc_site *site = site_of(assumed[_i].site);
    fc_check_result *r = check(site);
    bool said = false;
    size_t i;

    for (i = 0; i < r->n_assumptions; i++)
        said |= strstr(r->assumptions[i], assumed[_i].text) != NULL;
    ck_assert_msg(said, "not said: %s", assumed[_i].text);
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* What does not arise is not assumed. */
START_TEST(no_assumption)
{
    fc_site *site =
        site_of(SITE("60 psi") CLOSET VALVE("minimum flowing = 15 psi\n"));
    fc_check_result *r = check(site);

    /* the code, no peak by probability, what is level, the water */
    ck_assert_uint_eq(r->n_assumptions, 4);
    fc_check_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- Refusals ---------------------------------------------------------- */

static const struct {
    const char *site, *said;
    int line;
} refused[] = {
    { SITE("60 psi") "[pipe q]\nfrom = p\n" FREE_PIPE
                     "[pipe l]\nfrom = main\nto = q\n" FREE_PIPE CLOSET,
      "closes a loop; pipes that branch out from one source are expected",
      18 },
    { SITE("60 psi") "[source two]\nkind = fixed\npressure = 50 psi\n" CLOSET,
      "one of several sources; one source is expected", 1 },
    { SITE("60 psi") "[pipe q]\nfittings = none\nfrom = p\nmaterial = copper "
                     "L\nsize = choose\n"
                     "length = 5 ft\n" CLOSET,
      "run flushcalc size, or give a nominal size", 14 },
};

START_TEST(refusal)
{
    fc_site *site = site_of(refused[_i].site);
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_check_result *r = (fc_check_result *)site; /* any: it is kept */

    ck_assert_int_eq(fc_check(site, &r, messages), FC_EUNSUPPORTED);
    ck_assert_ptr_eq(r, site);
    ck_assert_uint_eq(fc_diagnostics_count(messages), 1);
    ck_assert_int_eq(fc_diagnostics_at(messages, 0).line, refused[_i].line);
    ck_assert_msg(strstr(all_messages(messages), refused[_i].said) != NULL,
                  "%s", all_messages(messages));
    fc_diagnostics_free(messages);
    fc_site_free(site);
}
END_TEST

START_TEST(unfinished)
{
    fc_site *site = fc_site_new();
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_check_result *r = NULL;

    ck_assert_int_eq(fc_check(site, &r, messages), FC_ESTATE);
    ck_assert_ptr_null(r);
    ck_assert_str_eq(all_messages(messages),
                     "the site is not finished; a finished site is "
                     "expected\n");
    fc_check_result_free(NULL);
    fc_diagnostics_free(messages);
    fc_site_free(site);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("judge");
    TCase *t = tcase_create("verdicts");

    tcase_add_loop_test(t, one_fixture, 0, COUNT(ones));
    tcase_add_loop_test(t, too_high, 0, COUNT(heights));
    tcase_add_test(t, ends_of_margin);
    tcase_add_test(t, no_need);
    tcase_add_loop_test(t, over_a_height, 0, COUNT(siphons));
    tcase_add_loop_test(t, change, 0, COUNT(changes));
    tcase_add_test(t, groups_are_counted);
    suite_add_tcase(suite, t);
    t = tcase_create("spare");
    tcase_add_loop_test(t, spare, 0, COUNT(spares));
    tcase_add_test(t, hopeless);
    tcase_add_test(t, tightest);
    suite_add_tcase(suite, t);
    t = tcase_create("words");
    tcase_add_loop_test(t, decides, 0, COUNT(decided));
    tcase_add_loop_test(t, decides_maximum, 0, COUNT(at_maximum));
    tcase_add_test(t, decides_water);
    tcase_add_test(t, a_lone_range);
    tcase_add_test(t, kinds_are_added_up);
    tcase_add_loop_test(t, finding, 0, COUNT(findings));
    tcase_add_test(t, nothing_to_find);
    tcase_add_loop_test(t, assumption, 0, COUNT(assumed));
    tcase_add_test(t, no_assumption);
    suite_add_tcase(suite, t);
    t = tcase_create("refusals");
    tcase_add_loop_test(t, refusal, 0, COUNT(refused));
    tcase_add_test(t, unfinished);
    suite_add_tcase(suite, t);
    return run_suite(suite);
}
