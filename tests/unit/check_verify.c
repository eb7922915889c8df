/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_verify.c -- are claims true?
 *
 * Chances are held against closed forms and against the law of propagation of
 * uncertainty (JCGM 100:2008, 5.1.2) on laws solved here; what is drawn is
 * allowed four standard deviations of its own scatter.
 */
#include "generators/sites.h"

#include <math.h>

#define DRAWS 20000

/* Water at 60 degF: 999.016 kg/m3 (ASTM D1250, from memory), to 1e-5. */
#define WEIGHT (999.016 * 9.80665)

static fc_verify_result *
verify_with(fc_site *site, const fc_verify_options *options)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_verify_result *result = NULL;
    const fc_status status = fc_verify(site, options, &result, messages);

    ck_assert_msg(status == FC_OK, "%s", all_messages(messages));
    fc_diagnostics_free(messages);
    return result;
}

static fc_verify_result *
verify(fc_site *site)
{
    return verify_with(site, NULL);
}

static const fc_checked_claim *
claim_of(const fc_verify_result *r, const char *name)
{
    size_t i;

    for (i = 0; i < r->n_claims; i++)
        if (strcmp(r->claims[i].name, name) == 0)
            return &r->claims[i];
    ck_abort_msg("no claim %s", name);
    return NULL;
}

static const fc_finding *
find(const fc_verify_result *r, const char *about, const char *subject)
{
    size_t i;

    for (i = 0; i < r->n_findings; i++)
        if (strcmp(r->findings[i].about, about) == 0
            && strcmp(r->findings[i].subject, subject) == 0)
            return &r->findings[i];
    return NULL;
}

/* Four standard deviations of a share drawn so often. */
static double
scatter_of(double share)
{
    return 4 * sqrt(share * (1 - share) / DRAWS) + 1e-12;
}

#define BORE "fittings = none\nc = 130\ninside diameter = 1.25 in\n"
#define VALVE "[valve v]\nflow = 25 gpm at 35 psi\n"
#define X                                                                     \
    "[fixture x]\non = p\nkind = water closet, flush valve\nexisting = v\n"
/* A condition of a claim, where another would not do. */
#define ALONE "while = alone\nstate = existing\n"
#define CLAIM(name, psi, more)                                                \
    "[claim " name "]\nfixture = x\nflowing = " psi " psi\n" more

/* ---- One input, exactly ------------------------------------------------ */

#define STILL(pressure, rise)                                                 \
    "[source main]\nkind = fixed\npressure = " pressure                       \
    "\n[pipe p]\nfrom = main\nlength = 10 ft\nrise = " rise "\n" BORE VALVE X

/* The same through a pipe so wide and short that a flush takes nothing: by
 * Hazen and Williams, 4.52 x 25^1.852 / (130^1.852 40^4.87) psi a foot of 40
 * in at 25 gpm, 3e-9 psi. */
#define WIDE(pressure, rise)                                                  \
    "[source main]\nkind = fixed\npressure = " pressure                       \
    "\n[pipe p]\nfittings = none\nfrom = main\nlength = 1 ft\nrise = " rise   \
    "\nc = 130\n"                                                             \
    "inside diameter = 40 in\n" VALVE X

/* While it flushes a valve behind that has what stands there, 40 to 60 psi, as
 * likely anywhere: of the claim c are reached (60 - c) / 20. */
static const struct {
    double claimed, chance;
    fc_support verdict;
} uniform[] = {
    { 39, 1, FC_SUPPORTED },         { 40.2, 0.99, FC_SUPPORTED },
    { 42, 0.9, FC_UNDECIDED },       { 50, 0.5, FC_UNDECIDED },
    { 55, 0.25, FC_UNDECIDED },      { 58, 0.1, FC_UNDECIDED },
    { 59.8, 0.01, FC_CONTRADICTED }, { 61, 0, FC_CONTRADICTED },
};

START_TEST(one_input)
{
    char text[1024];
    fc_site *site;
    fc_verify_result *r;
    const fc_checked_claim *c;

    snprintf(text, sizeof text,
             WIDE("40..60 psi", "0 ft") CLAIM("c", "%.17g", ALONE),
             uniform[_i].claimed);
    site = site_of(text);
    r = verify(site);
    c = claim_of(r, "c");
    ck_assert_uint_eq(r->draws, DRAWS);
    ck_assert_uint_eq(r->varied, 1);
    ck_assert_double_eq_tol(c->computed, 50 * PSI, 1);
    ck_assert_double_eq_tol(c->probability, uniform[_i].chance,
                            scatter_of(uniform[_i].chance));
    ck_assert_int_eq(c->by_model, uniform[_i].verdict);
    ck_assert_int_eq(c->verdict, uniform[_i].verdict);
    ck_assert_int_eq(r->verdict, uniform[_i].verdict);
    /* the middle 95 %; an end lies within four standard deviations of the
     * 0.025 that lie beyond it, times 20 psi */
    ck_assert_double_eq_tol(c->low, 40.5 * PSI, 20 * PSI * scatter_of(0.025));
    ck_assert_double_eq_tol(c->high, 59.5 * PSI, 20 * PSI * scatter_of(0.025));
    ck_assert_str_eq(c->decided_by, "pressure of main");
    ck_assert_double_eq_tol(c->share, 1, 1e-9);
    ck_assert_ptr_null(c->reading);
    ck_assert_ptr_null(c->why_not);
    fc_verify_result_free(r);
    fc_site_free(site);
}
END_TEST

/* Two inputs of the same weight add up to a triangle: 20 psi of pressure and
 * 20 psi of height.  Its upper half is reached by (90 - c)^2 / 800. */
START_TEST(two_inputs)
{
    char text[1024];
    fc_site *site;
    fc_verify_result *r;
    const fc_checked_claim *c;

    snprintf(text, sizeof text,
             STILL("70..90 psi", "0..%.9g m")
                 CLAIM("c", "80", "while = none\nstate = existing\n"),
             20 * PSI / WEIGHT);
    site = site_of(text);
    r = verify(site);
    c = claim_of(r, "c");
    ck_assert_double_eq_tol(c->computed, 70 * PSI, 0.01 * PSI);
    ck_assert_double_eq_tol(c->probability, 0.125, scatter_of(0.125));
    /* the tails of 0.025 of a triangle from 50 to 90 */
    ck_assert_double_eq_tol(c->low / PSI, 50 + sqrt(0.025 * 800), 0.4);
    ck_assert_double_eq_tol(c->high / PSI, 90 - sqrt(0.025 * 800), 0.4);
    /* an r2 of n draws scatters by about 2 r (1 - r2) / sqrt(n) = 0.005 */
    ck_assert_double_eq_tol(c->share, 0.5, 0.02);
    fc_verify_result_free(r);
    fc_site_free(site);
}
END_TEST

/* Any of three sizes: by Hazen-Williams the chance is that of one size in
 * three, whatever it is.  The friction may be off by 2 % of some 20 psi, with
 * a standard deviation of 0.2 psi, where the sizes spread by more than 4: some
 * 0.3 % of the variance. */
START_TEST(sizes)
{
    static const struct {
        const char *size, *more;
    } one[] = { { "1 in", "" }, { "1-1/4 in", "" }, { "1-1/2 in", "" } };
    const char *const form =
        "[source main]\nkind = fixed\npressure = 59.999..60.001 psi\n"
        "[pipe p]\nfittings = none\nfrom = main\nmaterial = copper L\n"
        "condition = new\n"
        "length = 100 ft\nsize = %s\n" VALVE X CLAIM("c", "%.17g", ALONE);
    double computed[3];
    char text[1024];
    fc_site *site;
    fc_verify_result *r;
    int i;

    for (i = 0; i < 3; i++) {
        snprintf(text, sizeof text, form, one[i].size, 30.0);
        site = site_of(text);
        r = verify(site);
        computed[i] = r->claims[0].computed;
        fc_verify_result_free(r);
        fc_site_free(site);
    }
    ck_assert(computed[0] < computed[1] && computed[1] < computed[2]);
    for (i = 0; i < 3; i++) {
        snprintf(text, sizeof text, form, "1 in .. 1-1/2 in",
                 (i > 0 ? (computed[i] + computed[i - 1]) / 2 / PSI
                        : computed[0] / PSI - 2));
        site = site_of(text);
        r = verify(site);
        ck_assert_double_eq_tol(r->claims[0].probability, 1 - i / 3.0,
                                scatter_of(1 / 3.0));
        ck_assert_str_eq(r->claims[0].decided_by, "size of p");
        ck_assert_double_eq_tol(r->claims[0].share, 1, 0.01);
        ck_assert_double_eq_tol(r->claims[0].computed, computed[0], 1);
        fc_verify_result_free(r);
        fc_site_free(site);
    }
}
END_TEST

/* A gauge at the source is right within 2 psi, and the friction is nil: what
 * is claimed nearer than that to the outcome is not decided. */
static const struct {
    const char *claimed;
    fc_support verdict;
} exact[] = {
    { "47.99", FC_SUPPORTED },    { "48.01", FC_UNDECIDED },
    { "50", FC_UNDECIDED },       { "51.99", FC_UNDECIDED },
    { "52.01", FC_CONTRADICTED },
};

START_TEST(nothing_varies)
{
    char text[1024];
    fc_site *site;
    fc_verify_result *r;
    const fc_checked_claim *c;

    snprintf(text, sizeof text, WIDE("50 psi", "0 ft") CLAIM("c", "%s", ""),
             exact[_i].claimed);
    site = site_of(text);
    r = verify(site);
    c = claim_of(r, "c");
    ck_assert_uint_eq(r->draws, 1);
    ck_assert_uint_eq(r->varied, 0);
    ck_assert_ptr_nonnull(find(r, "nothing varies", ""));
    ck_assert_int_eq(c->verdict, exact[_i].verdict);
    ck_assert_int_eq(c->doubt, exact[_i].verdict == FC_UNDECIDED
                                   ? FC_DOUBT_MODEL
                                   : FC_NO_DOUBT);
    ck_assert_int_eq(find(r, "how sure", "c") != NULL,
                     exact[_i].verdict == FC_UNDECIDED);
    ck_assert_ptr_null(c->decided_by);
    ck_assert_double_eq_tol(c->low, 48 * PSI, 0.2);
    ck_assert_double_eq_tol(c->high, 52 * PSI, 0.2);
    fc_verify_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- What does not flow ------------------------------------------------ */

/* With nothing flushing 40 to 60 psi stand at the valve, as likely anywhere.
 * However many of them reach a claim of a flowing pressure, and whatever a
 * gauge shows: nothing is known of a flow. */
static const struct {
    const char *claimed, *readings;
    double chance;
} still_claims[] = {
    { "39", "", 1 },
    { "50", "", 0.5 },
    { "59.8", "", 0.01 },
    { "61", "", 0 },
    /* 50 psi read, right within 2 */
    { "39", "[reading r]\nat = x\npressure = 50 psi\n", 1 },
    { "51", "[reading r]\nat = x\npressure = 50 psi\n", 0.45 },
    { "53", "[reading r]\nat = x\npressure = 50 psi\n", 0.35 },
};

START_TEST(no_flow)
{
    char text[1024];
    fc_site *site;
    fc_verify_result *r;
    const fc_checked_claim *c;

    snprintf(text, sizeof text,
             STILL("40..60 psi", "0 ft")
                 CLAIM("c", "%s", "while = none\nstate = existing\n%s"),
             still_claims[_i].claimed, still_claims[_i].readings);
    site = site_of(text);
    r = verify(site);
    c = claim_of(r, "c");
    ck_assert_double_eq_tol(c->probability, still_claims[_i].chance,
                            scatter_of(still_claims[_i].chance));
    ck_assert_int_eq(c->verdict, FC_UNDECIDED);
    ck_assert_int_eq(r->verdict, FC_UNDECIDED);
    ck_assert_int_eq(c->by_model, FC_UNDECIDED);
    ck_assert_ptr_nonnull(c->not_flowing);
    ck_assert_ptr_nonnull(find(r, "not flowing", "c"));
    fc_verify_result_free(r);
    fc_site_free(site);
}
END_TEST

/* Whether a claim of 1 psi, which everything reaches, is of a flowing
 * condition. */
static const struct {
    const char *claim;
    bool flows;
    const char *says; /* what to name, where it is not */
} flowing[] = {
    { CLAIM("c", "1", ALONE), true, NULL },
    { CLAIM("c", "1", "while = 2 of x\nstate = existing\n"), true, NULL },
    { CLAIM("c", "1", "while = 2 of y, 1 of x\nstate = existing\n"), true,
      NULL },
    { CLAIM("c", "1", "while = peak\nstate = existing\n"), true, NULL },
    { CLAIM("c", "1", "while = none\nstate = existing\n"), false,
      "as in 1 of x" },
    { CLAIM("c", "1", "while = none\nstate = retrofit\n"), false,
      "as in 1 of x" },
    { CLAIM("c", "1", "while = 2 of y\nstate = existing\n"), false,
      "no valve of x flushes" },
    { "[claim c]\nfixture = lav\nflowing = 1 psi\n" ALONE, false,
      "nothing flows there" },
    { "[claim c]\nfixture = lav\nflowing = 1 psi\nwhile = none\n"
      "state = existing\n",
      false, "as in 1 of x" },
    /* the residual pressure of a place where nothing is drawn */
    { "[claim c]\nfixture = lav\nflowing = 1 psi\nwhile = 2 of x\n"
      "state = existing\n",
      false, "is taken to draw nothing itself" },
    /* no part of the peak demand is its */
    { "[fixture idle]\non = p\nkind = lavatory\nfixture units = 0\n"
      "[claim c]\nfixture = idle\nflowing = 1 psi\nwhile = peak\n"
      "state = existing\n",
      false, "no share of the peak demand" },
    /* a kind of which no table has the flow has a share, but how much? */
    { "[fixture mute]\non = p\nkind = urinal, flush tank\n"
      "[claim c]\nfixture = mute\nflowing = 1 psi\nwhile = peak\n"
      "state = existing\n",
      false, "what mute draws at peak is not known" },
    { "[claim c]\nfixture = lav\nflowing = 1 psi\nwhile = peak\n"
      "state = existing\n",
      true, NULL },
};

#define HOUSE(ranged)                                                         \
    "[source main]\nwithin = 0 psi\nkind = street main\nstatic = " ranged     \
    "\n"                                                                      \
    "residual = 50 psi\nresidual flow = 100 gpm\n"                            \
    "[pipe q]\nfrom = main\nlength = 60 ft\nrise = 4 ft\n" BORE               \
    "[pipe p]\nfrom = q\nlength = 40 ft\n" BORE                               \
    "[valve v]\nflow = 25 gpm at 35 psi\nminimum flowing = 15 psi\n"          \
    "full flush = 3.5 gal\n"                                                  \
    "[valve s]\nflow = 30 gpm at 35 psi\nminimum flowing = 20 psi\n"          \
    "[fixture x]\non = p\nkind = water closet, flush valve\ncount = 3\n"      \
    "existing = v\nretrofit = s\nrise = 2 ft\nstop = 1 psi at 25 gpm\n"       \
    "[fixture y]\non = q\nkind = urinal, flush valve\ncount = 2\n"            \
    "existing = v\n"                                                          \
    "[fixture lav]\non = p\nkind = lavatory\nrise = 3 ft\n"

START_TEST(flowing_conditions)
{
    char text[4096];
    fc_site *site;
    fc_verify_result *r;
    const fc_checked_claim *c;

    snprintf(text, sizeof text, "%s%s", HOUSE("58..62 psi"),
             flowing[_i].claim);
    site = site_of(text);
    r = verify(site);
    c = claim_of(r, "c");
    ck_assert_ptr_null(c->why_not);
    ck_assert_double_eq(c->probability, 1);
    ck_assert_int_eq(c->not_flowing == NULL, flowing[_i].flows);
    ck_assert_int_eq(c->verdict,
                     flowing[_i].flows ? FC_SUPPORTED : FC_UNDECIDED);
    if (!flowing[_i].flows)
        ck_assert_msg(strstr(c->not_flowing, flowing[_i].says) != NULL, "%s",
                      c->not_flowing);
    fc_verify_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- Propagation of uncertainty --------------------------------------- */

enum { PRESSURE, RISE, LENGTH, ROUGHNESS, DIAMETER, RATE, INLET, INPUTS };

static const double middle[INPUTS] = { 60 * PSI,    10 * FOOT, 100 * FOOT, 130,
                                       1.25 * INCH, 25 * GPM,  2 * FOOT };

/* Hazen and Williams, in feet and seconds: V = 1.318 C R^0.63 S^0.54 with the
 * hydraulic radius R = d / 4; the head lost along the pipe [m]. */
static double
head_lost(double flow, const double in[INPUTS])
{
    const double d = in[DIAMETER] / FOOT, area = acos(-1) * d * d / 4;
    const double v = flow / (FOOT * FOOT * FOOT) / area;

    return in[LENGTH]
           * pow(v / (1.318 * in[ROUGHNESS] * pow(d / 4, 0.63)), 1 / 0.54);
}

/* Pressure at a valve that draws its rate times sqrt(p / 35 psi). */
static double
pressure_by_hand(const double in[INPUTS])
{
    double low = 0, high = in[PRESSURE];
    int i;

    for (i = 0; i < 200; i++) {
        const double p = (low + high) / 2;
        const double lost = head_lost(in[RATE] * sqrt(p / (35 * PSI)), in);

        if (in[PRESSURE] - WEIGHT * (in[RISE] + in[INLET] + lost) > p)
            low = p;
        else
            high = p;
    }
    return (low + high) / 2;
}

/* How far an input may be off so that the pressure is by 0.5 psi. */
static double
deviation_of(int input)
{
    double in[INPUTS], up, down;
    const double step = 1e-4 * middle[input];

    memcpy(in, middle, sizeof in);
    in[input] = middle[input] + step;
    up = pressure_by_hand(in);
    in[input] = middle[input] - step;
    down = pressure_by_hand(in);
    return 0.5 * PSI / fabs((up - down) / (2 * step));
}

static fc_site *
nearly_linear_site(double claimed)
{
    double low[INPUTS], high[INPUTS];
    char text[2048];
    int i;

    for (i = 0; i < INPUTS; i++) {
        low[i] = middle[i] - deviation_of(i);
        high[i] = middle[i] + deviation_of(i);
    }
    snprintf(text, sizeof text,
             "[source main]\nkind = fixed\npressure = %.9g..%.9g kPa\n"
             "[pipe p]\nfittings = none\nfrom = main\nrise = %.9g..%.9g m\n"
             "length = %.9g..%.9g m\nc = %.9g..%.9g\n"
             "inside diameter = %.9g..%.9g m\n"
             "[valve v]\nflow = %.9g..%.9g L/s at 35 psi\n" X
             "rise = %.9g..%.9g m\n" CLAIM("c", "%.9g", ALONE),
             low[PRESSURE] / 1000, high[PRESSURE] / 1000, low[RISE],
             high[RISE], low[LENGTH], high[LENGTH], low[ROUGHNESS],
             high[ROUGHNESS], low[DIAMETER], high[DIAMETER], low[RATE] * 1000,
             high[RATE] * 1000, low[INLET], high[INLET], claimed / PSI);
    return site_of(text);
}

/* Seven inputs, each with a standard uncertainty of 0.5 psi / sqrt(3): their
 * sum has u = 0.5 psi sqrt(7 / 3).  It is nearly normal, with the kurtosis
 * k = -1.2 / 7 of seven rectangles: 95 % lie within 1.960 + (1.960^3 - 3 x
 * 1.960) k / 24 = 1.948 u (Cornish and Fisher), and a claim of one u under the
 * middle is reached by 0.8413 + 0.2420 x 2 x k / 24 = 0.838 (Edgeworth). */
START_TEST(propagation)
{
    const double middle_pressure = pressure_by_hand(middle);
    const double u = 0.5 * PSI * sqrt(7.0 / 3);
    fc_site *site = nearly_linear_site(middle_pressure - u);
    fc_verify_result *r = verify(site);
    const fc_checked_claim *c = &r->claims[0];

    ck_assert_uint_eq(r->varied, INPUTS);
    ck_assert_double_eq_tol(c->computed, middle_pressure, 0.005 * PSI);
    /* an end scatters by sqrt(0.025 x 0.975 / n) / 0.058 = 0.019 u, the
     * curves bend by less */
    ck_assert_double_eq_tol((c->high - c->low) / 2 / u, 1.948, 0.06);
    ck_assert_double_eq_tol((c->high + c->low) / 2, middle_pressure, 0.08 * u);
    ck_assert_double_eq_tol(c->probability, 0.838, 0.015);
    ck_assert_double_eq_tol(c->share, 1.0 / 7, 0.02);
    ck_assert_int_eq(c->verdict, FC_UNDECIDED);
    fc_verify_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- Every condition -------------------------------------------------- */

#define CLAIMS                                                                \
    CLAIM("alone", "30", ALONE)                                               \
    CLAIM("alone-after", "30", "while = alone\nstate = retrofit\n")           \
    CLAIM("some", "30", "while = 2 of x, y\nstate = existing\n")              \
    CLAIM("none", "30", "while = none\nstate = existing\n")                   \
    CLAIM("others", "30", "while = 2 of y\nstate = existing\n")               \
    CLAIM("peak", "30", "while = peak\nstate = existing\n")                   \
    CLAIM("peak-after", "30", "while = peak\nstate = retrofit\n")             \
    "[claim lav]\nfixture = lav\nflowing = 30 psi\nwhile = 3 of x\n"          \
    "state = existing\n"

/* What the same event gives by itself. */
static double
by_flush(const fc_site *site, fc_state state, const fc_flushing *flushing,
         size_t n, const char *fixture)
{
    fc_flush_result *r = NULL;
    double pressure = NAN;
    size_t i;

    ck_assert_int_eq(fc_flush(site, state, flushing, n, &r, NULL), FC_OK);
    for (i = 0; i < r->n_fixtures; i++)
        if (strcmp(r->fixtures[i].name, fixture) == 0)
            pressure = r->fixtures[i].pressure.nominal;
    fc_flush_result_free(r);
    return pressure;
}

static double
by_check(const fc_site *site, fc_state state)
{
    const fc_check_options options = { .peak_only = true };
    fc_check_result *r = NULL;
    double pressure;

    ck_assert_int_eq(fc_check_with(site, &options, &r, NULL), FC_OK);
    pressure = r->fixtures[0].states[state].flowing.nominal;
    fc_check_result_free(r);
    return pressure;
}

static void
assert_computed(const fc_verify_result *r, const char *name, double pressure,
                const char *event)
{
    const fc_checked_claim *c = claim_of(r, name);

    ck_assert_msg(fabs(c->computed - pressure) < 0.3, "%s: %.2f, not %.2f",
                  name, c->computed, pressure);
    ck_assert_str_eq(c->event, event);
    ck_assert(c->low <= pressure + 0.3 && c->high >= pressure - 0.3);
}

static void
assert_conditions(const fc_site *site, const fc_verify_result *r)
{
    const fc_flushing one = { 1, "x" }, three = { 3, "x" }, y = { 2, "y" };
    const fc_flushing some[] = { { 2, "x" }, { 2, "y" } };

    assert_computed(r, "alone", by_flush(site, FC_EXISTING, &one, 1, "x"),
                    "one flushes alone");
    assert_computed(r, "alone-after",
                    by_flush(site, FC_RETROFIT, &one, 1, "x"),
                    "one flushes alone");
    assert_computed(r, "some", by_flush(site, FC_EXISTING, some, 2, "x"),
                    "2 of x, 2 of y flush");
    assert_computed(r, "none", by_flush(site, FC_EXISTING, NULL, 0, "x"),
                    "nothing flushes");
    assert_computed(r, "others", by_flush(site, FC_EXISTING, &y, 1, "x"),
                    "2 of y flush");
    assert_computed(r, "peak", by_check(site, FC_EXISTING), "at peak demand");
    assert_computed(r, "peak-after", by_check(site, FC_RETROFIT),
                    "at peak demand");
    assert_computed(r, "lav", by_flush(site, FC_EXISTING, &three, 1, "lav"),
                    "3 of x flush");
    ck_assert_double_eq_tol(claim_of(r, "alone")->still,
                            by_flush(site, FC_EXISTING, NULL, 0, "x"), 0.3);
    /* 4 ft and 2 ft */
    ck_assert_double_eq_tol(claim_of(r, "alone")->elevation, 6 * FOOT, 1e-9);
}

START_TEST(conditions)
{
    static const char *const texts[] = { HOUSE("60 psi") CLAIMS,
                                         HOUSE("58..62 psi") CLAIMS };
    fc_site *site = site_of(texts[_i]);
    fc_verify_result *r = verify(site);

    assert_conditions(site, r);
    ck_assert(claim_of(r, "some")->computed < claim_of(r, "others")->computed);
    fc_verify_result_free(r);
    fc_site_free(site);
}
END_TEST

/* A steady draw weighs in the peak demand of every building drawn: the middle
 * 95 % of 5 to 25 gpm are 5.5 to 24.5 gpm, and the pressure falls with it. */
/* The pipe takes nothing, so that its friction is none that may be off. */
#define DRAWING                                                               \
    "[source main]\nkind = fixed\npressure = 59.999..60.001 psi\n"            \
    "[device f]\nfrom = main\nloss = 9 psi at 40 gpm\n[pipe p]\nfittings = "  \
    "none\nfrom = f\n"                                                        \
    "length = 1 ft\nc = 130\ninside diameter = 40 in\n" VALVE X               \
    "[demand d]\non = p\nflow = "

START_TEST(demand_varies)
{
    fc_site *site = site_of(DRAWING "5..25 gpm\n" CLAIM(
        "c", "30", "while = peak\nstate = existing\n"));
    fc_site *least = site_of(DRAWING "5.5 gpm\n");
    fc_site *most = site_of(DRAWING "24.5 gpm\n");
    fc_verify_result *r = verify(site);
    const double high = by_check(least, FC_EXISTING);
    const double low = by_check(most, FC_EXISTING);

    ck_assert(high - low > 5 * PSI);
    /* as of one input */
    ck_assert_double_eq_tol(r->claims[0].low, low,
                            (high - low) / 0.95 * 2 * scatter_of(0.025));
    ck_assert_double_eq_tol(r->claims[0].high, high,
                            (high - low) / 0.95 * 2 * scatter_of(0.025));
    ck_assert_str_eq(r->claims[0].decided_by, "flow of d");
    fc_verify_result_free(r);
    fc_site_free(site);
    fc_site_free(least);
    fc_site_free(most);
}
END_TEST

/* On another day the static pressure is another, the main as strong. */
START_TEST(supply)
{
    fc_site *site = site_of(
        HOUSE("60 psi") CLAIM("c", "30", ALONE "supply = 48 psi\n") CLAIM(
            "p", "30", "while = peak\nstate = existing\nsupply = 48 psi\n")
            CLAIM("now", "30", ALONE));
    fc_site *day = site_of(
        "[source main]\nwithin = 0 psi\nkind = street main\nstatic = 48 psi\n"
        "residual = 38 psi\nresidual flow = 100 gpm\n"
        "[pipe q]\nfrom = main\nlength = 60 ft\nrise = 4 ft\n" BORE
        "[pipe p]\nfrom = q\nlength = 40 ft\n" BORE
        "[valve v]\nflow = 25 gpm at 35 psi\nminimum flowing = 15 psi\n"
        "[fixture x]\non = p\nkind = water closet, flush valve\ncount = 3\n"
        "existing = v\nrise = 2 ft\nstop = 1 psi at 25 gpm\n"
        "[fixture y]\non = q\nkind = urinal, flush valve\ncount = 2\n"
        "existing = v\n"
        "[fixture lav]\non = p\nkind = lavatory\nrise = 3 ft\n");
    fc_verify_result *r = verify(site);
    const fc_flushing one = { 1, "x" };

    assert_computed(r, "c", by_flush(day, FC_EXISTING, &one, 1, "x"),
                    "one flushes alone");
    assert_computed(r, "p", by_check(day, FC_EXISTING), "at peak demand");
    assert_computed(r, "now", by_flush(site, FC_EXISTING, &one, 1, "x"),
                    "one flushes alone");
    ck_assert_double_eq_tol(claim_of(r, "c")->supply, 48 * PSI, 1e-6);
    ck_assert(isnan(claim_of(r, "now")->supply));
    fc_verify_result_free(r);
    fc_site_free(site);
    fc_site_free(day);
}
END_TEST

/* ---- Loops and sources ------------------------------------------------ */

#define RING(level)                                                           \
    "[source t]\nkind = tank\nwater level = " level "\nelevation = 0 ft\n"    \
    "[pipe p]\nfrom = t\nlength = 100 ft\nrise = 5..7 ft\n" BORE              \
    "[pipe q]\nfrom = t\nto = p\nlength = 50 ft\nrise = 6 ft\n" BORE VALVE X  \
    "count = 2\n"

START_TEST(loops)
{
    fc_site *site = site_of(
        RING("90..100 ft") CLAIM("alone", "30", ALONE)
            CLAIM("both", "30", "while = x\nstate = existing\n")
                CLAIM("still", "30", "while = none\nstate = existing\n")
                    CLAIM("peak", "30", "while = peak\nstate = existing\n"));
    fc_verify_result *r = verify(site);
    const fc_flushing one = { 1, "x" }, both = { 2, "x" };

    assert_computed(r, "alone", by_flush(site, FC_EXISTING, &one, 1, "x"),
                    "one flushes alone");
    assert_computed(r, "both", by_flush(site, FC_EXISTING, &both, 1, "x"),
                    "2 of x flush");
    ck_assert_ptr_nonnull(claim_of(r, "peak")->why_not);
    ck_assert_ptr_nonnull(find(r, "not calculated", "peak"));
    ck_assert_int_eq(claim_of(r, "peak")->verdict, FC_UNDECIDED);
    ck_assert(isnan(claim_of(r, "peak")->computed));
    /* heights around the loop belong together: nothing circulates, so that
     * at rest no more than level and rise is seen */
    ck_assert(claim_of(r, "still")->low >= WEIGHT * 83 * FOOT - 1);
    ck_assert(claim_of(r, "still")->high <= WEIGHT * 95 * FOOT + 1);
    ck_assert_double_eq_tol(claim_of(r, "still")->share, 100.0 / 104, 0.01);
    fc_verify_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- Seeds and threads ------------------------------------------------ */

static void
assert_equal(const fc_verify_result *a, const fc_verify_result *b)
{
    size_t i;

    ck_assert_uint_eq(a->n_claims, b->n_claims);
    for (i = 0; i < a->n_claims; i++) {
        const fc_checked_claim *x = &a->claims[i], *y = &b->claims[i];

        ck_assert_mem_eq(&x->probability, &y->probability, sizeof(double));
        ck_assert_mem_eq(&x->low, &y->low, sizeof(double));
        ck_assert_mem_eq(&x->high, &y->high, sizeof(double));
        ck_assert_mem_eq(&x->share, &y->share, sizeof(double));
        ck_assert_str_eq(x->decided_by, y->decided_by);
    }
}

START_TEST(threads_and_seeds)
{
    fc_site *site = nearly_linear_site(pressure_by_hand(middle));
    const fc_verify_options one = { .threads = 1, .draws = 5250 },
                            three = { .threads = 3, .draws = 5250 },
                            other = { .seed = 2, .draws = 5250 };
    fc_verify_result *a = verify_with(site, &one);
    fc_verify_result *b = verify_with(site, &three);
    fc_verify_result *c = verify_with(site, &other);

    assert_equal(a, b);
    ck_assert_uint_eq(a->seed, 1);
    ck_assert_uint_eq(a->draws, 5250);
    ck_assert(fabs(a->claims[0].low - c->claims[0].low) > 0);
    ck_assert_double_eq_tol(a->claims[0].probability, c->claims[0].probability,
                            0.04);
    fc_verify_result_free(a);
    fc_verify_result_free(b);
    fc_verify_result_free(c);
    fc_site_free(site);
}
END_TEST

static void
note_progress(void *context, double done)
{
    double *most = context;

    ck_assert(done > 0 && done <= 1);
    *most = fmax(*most, done);
}

START_TEST(progress)
{
    fc_site *site =
        site_of(STILL("40..60 psi", "0 ft") CLAIM("c", "50", ALONE));
    double most = 0;
    const fc_verify_options options = { .progress = note_progress,
                                        .context = &most,
                                        .threads = 1 };

    fc_verify_result_free(verify_with(site, &options));
    ck_assert_double_eq(most, 1);
    fc_site_free(site);
}
END_TEST

/* ---- Readings --------------------------------------------------------- */

#define READING(name, at, psi, more)                                          \
    "[reading " name "]\nat = " at "\npressure = " psi " psi\n" more

/* 37 psi read, right within 2: from 35 to 39. */
static const struct {
    const char *claimed;
    fc_support verdict;
} guarded[] = {
    { "30", FC_SUPPORTED },    { "35", FC_SUPPORTED },
    { "35.01", FC_UNDECIDED }, { "37", FC_UNDECIDED },
    { "39", FC_UNDECIDED },    { "39.01", FC_CONTRADICTED },
    { "45", FC_CONTRADICTED },
};

START_TEST(guard_band)
{
    char text[4096];
    fc_site *site;
    fc_verify_result *r;

    snprintf(text, sizeof text,
             HOUSE("58..62 psi")
                 CLAIM("c", "%s", "while = 2 of x, y\nstate = existing\n")
                     READING("r", "x", "37", "flushing = 2 of y, 2 of x\n"),
             guarded[_i].claimed);
    site = site_of(text);
    r = verify(site);
    ck_assert_int_eq(r->claims[0].verdict, guarded[_i].verdict);
    ck_assert_str_eq(r->claims[0].reading, "r");
    ck_assert_double_eq_tol(r->claims[0].read, 37 * PSI, 1e-6);
    ck_assert_double_eq_tol(r->claims[0].within, 2 * PSI, 1e-6);
    /* the model stands beside it */
    ck_assert(!isnan(r->claims[0].computed));
    fc_verify_result_free(r);
    fc_site_free(site);
}
END_TEST

/* Which reading is of a claim's condition. */
static const struct {
    const char *reading, *claim;
    bool met;
} conditions_met[] = {
    { READING("r", "x", "37", "flushing = 1 of x\n"), ALONE, true },
    { READING("r", "X", "37", "flushing = 1 of X\n"), ALONE, true },
    { READING("r", "p", "37", "flushing = 1 of x\n"), ALONE, true },
    { READING("r", "q", "37", "flushing = 1 of x\n"), ALONE, false },
    { READING("r", "lav", "37", "flushing = 1 of x\n"), ALONE, false },
    { READING("r", "x", "37", "flushing = 2 of x\n"), ALONE, false },
    { READING("r", "x", "37", "flushing = x\n"), ALONE, false },
    { READING("r", "x", "37", "flushing = x\n"),
      "while = 3 of x\nstate = existing\n", true },
    { READING("r", "x", "37", "flushing = 1 of x, 1 of y\n"), ALONE, false },
    /* the valve that was timed is the one that flushed */
    { READING("r", "x", "37", "flush time = 8 s\n"), ALONE, true },
    { READING("r", "x", "37", "flush time = 8 s\n"),
      "while = none\nstate = existing\n", false },
    { READING("r", "x", "37", "flush time = 8 s\n"),
      "while = 3 of x\nstate = existing\n", false },
    { READING("r", "x", "37", ""), ALONE, false },
    { READING("r", "x", "37", ""), "while = none\nstate = existing\n", true },
    { READING("r", "x", "37", ""), "while = none\nstate = retrofit\n", true },
    { READING("r", "x", "37", "flushing = 1 of x\n"),
      "while = alone\nstate = retrofit\n", false },
    { READING("r", "x", "37", "flushing = 1 of x\nstate = retrofit\n"),
      "while = alone\nstate = retrofit\n", true },
    { READING("r", "x", "37", "flushing = 1 of x\nstate = retrofit\n"), ALONE,
      false },
    /* y keeps its valve */
    { READING("r", "x", "37", "flushing = 2 of y\n"),
      "while = y\nstate = retrofit\n", true },
    { READING("r", "x", "37", "flushing = 1 of x\n"),
      ALONE "supply = 55 psi\n", false },
    { READING("r", "x", "37", "flushing = 1 of x\n"),
      ALONE "supply = 60 psi\n", true },
    { READING("r", "x", "37", ""), "while = peak\nstate = existing\n", false },
    { "[reading r]\nat = x\nflow = 20 gpm\nflushing = 1 of x\n", ALONE,
      false },
};

START_TEST(same_condition)
{
    char text[4096];
    fc_site *site;
    fc_verify_result *r;

    snprintf(text, sizeof text, "%s%s%s", HOUSE("58..62 psi"),
             conditions_met[_i].reading, CLAIM("c", "30", ""));
    strcat(text, conditions_met[_i].claim);
    site = site_of(text);
    r = verify(site);
    ck_assert_int_eq(r->claims[0].reading != NULL, conditions_met[_i].met);
    if (strstr(conditions_met[_i].reading, "flush"))
        ck_assert_ptr_null(r->claims[0].still_reading);
    if (!r->claims[0].reading) /* one of another condition may speak against
                                  the model */
        ck_assert(r->claims[0].verdict == r->claims[0].by_model
                  || r->claims[0].verdict == FC_UNDECIDED);
    fc_verify_result_free(r);
    fc_site_free(site);
}
END_TEST

static fc_support
verdict_with(const char *readings, const char *claimed)
{
    char text[4096];
    fc_verify_result *r;
    fc_support verdict;
    fc_site *site;

    snprintf(text, sizeof text,
             "%s%s[claim c]\nfixture = x\nflowing = %s psi\n" ALONE,
             HOUSE("60 psi"), readings, claimed);
    site = site_of(text);
    r = verify(site);
    verdict = r->claims[0].verdict;
    fc_verify_result_free(r);
    fc_site_free(site);
    return verdict;
}

/* 55 and 39 psi, each within 2, cannot both be true: 45 is neither met nor
 * missed, in whatever order they stand. */
START_TEST(readings_apart)
{
    static const char high[] = READING("a", "x", "55", "flushing = 1 of x\n");
    static const char low[] = READING("b", "x", "39", "flushing = 1 of x\n");
    char both[400];

    ck_assert_int_eq(verdict_with(high, "45"), FC_SUPPORTED);
    ck_assert_int_eq(verdict_with(low, "45"), FC_CONTRADICTED);
    snprintf(both, sizeof both, "%s%s", high, low);
    ck_assert_int_eq(verdict_with(both, "45"), FC_UNDECIDED);
    snprintf(both, sizeof both, "%s%s", low, high);
    ck_assert_int_eq(verdict_with(both, "45"), FC_UNDECIDED);
}
END_TEST

/* More pressure while more flushes: none of both decides.  One gauge may be
 * misread by 1 psi each time. */
static const struct {
    const char *readings;
    fc_support verdict; /* of 45 psi with one open */
} upside_down[] = {
    { READING("one", "x", "48", "flushing = 1 of x\n"), FC_SUPPORTED },
    { READING("one", "x", "48", "flushing = 1 of x\n")
          READING("rest", "x", "46.1", ""),
      FC_SUPPORTED },
    { READING("one", "x", "48", "flushing = 1 of x\n")
          READING("rest", "x", "45.9", ""),
      FC_UNDECIDED },
    { READING("one", "x", "48", "flushing = 1 of x\n")
          READING("two", "x", "49.9", "flushing = 2 of x\n"),
      FC_SUPPORTED },
    { READING("one", "x", "48", "flushing = 1 of x\n")
          READING("two", "x", "50.1", "flushing = 2 of x\n"),
      FC_UNDECIDED },
    /* other valves in place, or other ones open */
    { READING("one", "x", "48", "flushing = 1 of x\n")
          READING("two", "x", "53", "flushing = 2 of x\nstate = retrofit\n"),
      FC_SUPPORTED },
    { READING("one", "x", "48", "flushing = 1 of x\n")
          READING("two", "x", "53", "flushing = 2 of y\n"),
      FC_SUPPORTED },
};

START_TEST(readings_upside_down)
{
    ck_assert_int_eq(verdict_with(upside_down[_i].readings, "45"),
                     upside_down[_i].verdict);
}
END_TEST

/* Two of three cannot both be true, the closest of them can beside either: in
 * whatever order they stand, the two are told and nothing is decided. */
START_TEST(two_of_three_apart)
{
    static const char *const readings[] = {
        READING("a", "x", "48", "flushing = 1 of x\nwithin = 3 psi\n"),
        READING("b", "x", "41", "flushing = 1 of x\nwithin = 3 psi\n"),
        READING("m", "x", "44.6", "flushing = 1 of x\nwithin = 0.7 psi\n"),
    };
    static const int orders[][3] = { { 0, 1, 2 }, { 0, 2, 1 }, { 1, 0, 2 },
                                     { 1, 2, 0 }, { 2, 0, 1 }, { 2, 1, 0 } };
    char text[4096];
    fc_site *site;
    fc_verify_result *r;
    int i;

    for (i = 0; i < COUNT(orders); i++) {
        snprintf(text, sizeof text, "%s%s%s%s%s", HOUSE("60 psi"),
                 CLAIM("c", "40", ALONE), readings[orders[i][0]],
                 readings[orders[i][1]], readings[orders[i][2]]);
        site = site_of(text);
        r = verify(site);
        ck_assert_int_eq(r->claims[0].verdict, FC_UNDECIDED);
        ck_assert_str_eq(r->claims[0].reading, "b");
        ck_assert_str_eq(r->claims[0].against, "a");
        fc_verify_result_free(r);
        fc_site_free(site);
    }
}
END_TEST

/* With two open 1 psi was read, so with one there is far less than the model
 * has it; a static reading that fits the model says nothing of that. */
START_TEST(reading_against_the_model)
{
    ck_assert_int_eq(verdict_with("", "30"), FC_SUPPORTED);
    ck_assert_int_eq(
        verdict_with(READING("two", "x", "1", "flushing = 2 of x\n")
                         READING("still", "x", "51", ""),
                     "30"),
        FC_UNDECIDED);
}
END_TEST

/* Some 58 psi stand at q: 60 less 4 ft, and by 2 psi more or less in HOUSE
 * ("58..62 psi").  A gauge there that shows what none of these has refutes the
 * site as it is given, whatever the claim, unless a flowing reading at the
 * claim's place says what the model says; some 43 psi flow at x. */
static const struct {
    const char *readings, *claimed;
    const char *refuted_by;
    fc_support verdict;
} refuting[] = {
    { "", "30", NULL, FC_SUPPORTED },
    { READING("f", "q", "54.5", ""), "30", NULL, FC_SUPPORTED },
    { READING("f", "q", "52", ""), "30", "f", FC_UNDECIDED },
    { READING("f", "q", "52", "within = 5 psi\n"), "30", NULL, FC_SUPPORTED },
    { READING("f", "q", "64", ""), "30", "f", FC_UNDECIDED },
    { READING("f", "q", "52", ""), "56", "f", FC_UNDECIDED },
    { READING("f", "q", "52", "") READING("s", "x", "52", ""), "30", "f",
      FC_UNDECIDED },
    /* with two open the model has some 31 psi there, too */
    { READING("f", "q", "52", "")
          READING("two", "x", "31", "flushing = 2 of x\n"),
      "30", NULL, FC_SUPPORTED },
    { READING("f", "q", "52", "")
          READING("two", "x", "40", "flushing = 2 of x\n"),
      "30", "f", FC_UNDECIDED },
    { READING("two", "x", "40", "flushing = 2 of x\n"), "30", NULL,
      FC_SUPPORTED },
    { READING("f", "q", "52", "")
          READING("two", "x", "1", "flushing = 2 of x\n"),
      "30", "f", FC_UNDECIDED },
    /* one of the claim's own condition stands above the model */
    { READING("f", "q", "52", "")
          READING("one", "x", "40", "flushing = 1 of x\n"),
      "30", NULL, FC_SUPPORTED },
};

START_TEST(refuted)
{
    char text[4096];
    fc_site *site;
    fc_verify_result *r;
    const fc_checked_claim *c;

    snprintf(text, sizeof text,
             "%s%s[claim c]\nfixture = x\nflowing = %s psi\n" ALONE,
             HOUSE("58..62 psi"), refuting[_i].readings, refuting[_i].claimed);
    site = site_of(text);
    r = verify(site);
    c = claim_of(r, "c");
    ck_assert_int_eq(c->verdict, refuting[_i].verdict);
    if (refuting[_i].refuted_by) {
        ck_assert_str_eq(c->refuted_by, refuting[_i].refuted_by);
        ck_assert_ptr_nonnull(find(r, "reading", ""));
    } else {
        ck_assert_ptr_null(c->refuted_by);
    }
    fc_verify_result_free(r);
    fc_site_free(site);
}
END_TEST

/* The gauge is at p, and the inlet of x 2 ft above it: 0.866 psi less (a foot
 * of water at 60 degF is 0.4331 psi, Kell). */
START_TEST(keeps_what_the_gauge_showed)
{
    fc_site *site = site_of(HOUSE("58..62 psi") READING(
        "r", "p", "41",
        "") "[claim c]\nfixture = x\nflowing = 12 psi\n" ALONE);
    fc_verify_result *r = verify(site);
    const fc_checked_claim *c = claim_of(r, "c");

    ck_assert_str_eq(c->still_shown.at, "p");
    ck_assert_double_eq_tol(c->still_shown.pressure / PSI, 41, 1e-6);
    ck_assert_double_eq_tol(c->still_read / PSI, 41 - 0.866, 0.001);
    ck_assert_ptr_null(c->shown.at);
    /* 12 psi are less than the 15 that its valve asks for */
    ck_assert_ptr_nonnull(find(r, "minimum", "c"));
    fc_verify_result_free(r);
    fc_site_free(site);
}
END_TEST

/* A lavatory 60 ft above two valves has what they have less 0.433 psi a foot
 * (density of water), 26.0 psi; they have 22.8 psi from a main of 60 psi, 31.4
 * from one of 80 (Hazen-Williams for what they pass at that). */
static const struct {
    const char *main, *words; /* NULL: it keeps some */
} high_ones[] = {
    { "60 psi", "high is down to -3." },
    { "80 psi", NULL },
    { "62..80 psi", "high may be down to -2." },
    { "50..80 psi", "high may be down to " }, /* at its middle too */
};

START_TEST(warns_of_a_high_fixture)
{
    char text[1000];
    const fc_finding *found;
    fc_verify_result *r;
    fc_site *site;

    snprintf(text, sizeof text,
             "[site]\nmaterial = copper L\ncondition = new\n"
             "[source main]\nkind = fixed\npressure = %s\n"
             "[pipe riser]\nfrom = main\nsize = 1 in\nlength = 60 ft\n"
             "rise = 10 ft\nfittings = none\n"
             "[pipe up]\nfrom = riser\nsize = 1 in\nlength = 60 ft\n"
             "rise = 60 ft\nfittings = none\n"
             "[valve v]\nminimum flowing = 10 psi\nfull flush = 1.6 gal\n"
             "flow = 25 gpm at 25 psi\n"
             "[fixture low]\non = riser\ncount = 2\nexisting = v\n"
             "kind = water closet, flush valve\n"
             "[fixture high]\non = up\nkind = lavatory\n"
             "[claim c]\nfixture = low\nflowing = 8 psi\n"
             "while = 2 of low\n",
             high_ones[_i].main);
    site = site_of(text);
    r = verify(site);
    found = find(r, "no pressure", "c");
    ck_assert_int_eq(found != NULL, high_ones[_i].words != NULL);
    if (found)
        ck_assert_ptr_nonnull(strstr(found->text, high_ones[_i].words));
    fc_verify_result_free(r);
    fc_site_free(site);
}
END_TEST

START_TEST(warns_of_no_pressure)
{
    fc_site *site = site_of(HOUSE("58..62 psi") READING(
        "r", "p", "0", "") "[claim c]\nfixture = x\nflowing = 30 psi\n" ALONE);
    fc_verify_result *r = verify(site);

    ck_assert_ptr_nonnull(find(r, "no pressure", "r"));
    ck_assert_ptr_null(find(r, "minimum", "c"));
    fc_verify_result_free(r);
    fc_site_free(site);
}
END_TEST

/* A main that nobody tested is taken not to sag: what it gives then may be
 * more than it has, and supports nothing. */
#define UNTESTED                                                              \
    "[source main]\nkind = street main\nstatic = 60 psi\n[pipe p]\n"          \
    "from = main\nlength = 10 ft\n" BORE VALVE X "count = 3\n"

static const struct {
    const char *readings, *claimed;
    fc_support verdict;
} untested[] = {
    { "", "30", FC_UNDECIDED },
    { "", "61", FC_CONTRADICTED },
    { READING("s", "x", "60", ""), "30", FC_UNDECIDED },
    { READING("t", "x", "50", "flushing = 2 of x\n"), "30", FC_SUPPORTED },
    { READING("t", "x", "50", "flushing = 1 of x\n"), "30", FC_SUPPORTED },
};

START_TEST(untested_main)
{
    char text[2048];
    fc_site *site;
    fc_verify_result *r;

    snprintf(text, sizeof text,
             UNTESTED "%s[claim c]\nfixture = x\nflowing = %s psi\n" ALONE,
             untested[_i].readings, untested[_i].claimed);
    site = site_of(text);
    r = verify(site);
    ck_assert_int_eq(r->claims[0].verdict, untested[_i].verdict);
    ck_assert_int_eq(r->claims[0].unproved != NULL,
                     untested[_i].verdict == FC_UNDECIDED);
    ck_assert_ptr_nonnull(find(r, "flow test", ""));
    fc_verify_result_free(r);
    fc_site_free(site);
}
END_TEST

/* A gauge on the pipe stands 2 ft lower; while one flushes its stop takes
 * 1 psi at 25 gpm, with the square.  Of two readings the closer one counts. */
START_TEST(brought_to_the_inlet)
{
    fc_site *site = site_of(
        HOUSE("60 psi")
            CLAIM("still", "30", "while = none\nstate = existing\n")
                CLAIM("alone", "30", ALONE)
                    READING("s", "p", "50", "within = 1 psi\n") READING(
                        "t", "p", "50", "flushing = 1 of x\nwithin = 1 psi\n")
                        READING("u", "p", "49",
                                "flushing = 1 of x\nwithin = 0.5 psi\n"));
    fc_verify_result *r = verify(site);
    const fc_checked_claim *c = claim_of(r, "still");
    double drawn;

    ck_assert_str_eq(c->reading, "s");
    ck_assert_double_eq_tol(c->read, 50 * PSI - WEIGHT * 2 * FOOT, 1);
    ck_assert_double_eq_tol(c->within, 1 * PSI, 1e-6);
    c = claim_of(r, "alone");
    ck_assert_str_eq(c->reading, "u");
    ck_assert_str_eq(c->still_reading, "s");
    drawn = sqrt(c->computed / (35 * PSI)); /* of 25 gpm */
    ck_assert_double_eq_tol(
        c->read, 49 * PSI - WEIGHT * 2 * FOOT - 1 * PSI * drawn * drawn, 2);
    fc_verify_result_free(r);
    fc_site_free(site);

    /* 1..3 ft: what the height may be off by adds to the gauge's 1 psi */
    site = site_of(
        "[source main]\nkind = fixed\npressure = 50 psi\n[pipe p]\n"
        "from = main\nlength = 10 ft\n" BORE VALVE X
        "rise = 1..3 ft\n" CLAIM("c", "40", "while = none\nstate = existing\n")
            READING("r", "p", "50", "within = 1 psi\n"));
    r = verify(site);
    ck_assert_double_eq_tol(r->claims[0].within, 1 * PSI + WEIGHT * FOOT, 1);
    fc_verify_result_free(r);
    fc_site_free(site);
}
END_TEST

/* A gauge that shows 3 psi less than the model does with other valves, or with
 * nothing flowing, on another day: the claim's pressure is less by as much. */
static const struct {
    const char *flushing, *claim;
    fc_flushing set;
    size_t n;
    fc_state state;
} carried[] = {
    { "2 of x", ALONE, { 2, "x" }, 1, FC_EXISTING },
    { "y", "while = 2 of x\nstate = existing\n", { 0, "y" }, 1, FC_EXISTING },
    { "none", ALONE, { 0, NULL }, 0, FC_EXISTING },
    { "1 of x",
      "while = alone\nstate = retrofit\n",
      { 1, "x" },
      1,
      FC_EXISTING },
    { "1 of x\nstate = retrofit", ALONE, { 1, "x" }, 1, FC_RETROFIT },
    { "1 of x", ALONE "supply = 48 psi\n", { 1, "x" }, 1, FC_EXISTING },
    { "1 of x",
      "while = peak\nstate = existing\n",
      { 1, "x" },
      1,
      FC_EXISTING },
};

START_TEST(carried_reading)
{
    char text[4096];
    fc_site *house = site_of(HOUSE("60 psi")), *site;
    const double then = by_flush(house, carried[_i].state, &carried[_i].set,
                                 carried[_i].n, "x");
    fc_verify_result *r;
    const fc_finding *f;

    snprintf(text, sizeof text,
             "%s%s%s[reading r]\nat = x\npressure = %.9g "
             "psi\nflushing = %s\n",
             HOUSE("60 psi"), CLAIM("c", "30", ""), carried[_i].claim,
             then / PSI - 3, carried[_i].flushing);
    site = site_of(text);
    r = verify(site);
    f = find(r, "reading carried", "c");
    ck_assert_ptr_nonnull(f);
    ck_assert_ptr_null(claim_of(r, "c")->reading);
    ck_assert_str_eq(claim_of(r, "c")->carried_reading, "r");
    ck_assert_double_eq_tol(claim_of(r, "c")->carried_read, then - 3 * PSI, 1);
    ck_assert_double_eq_tol(claim_of(r, "c")->carried,
                            claim_of(r, "c")->computed - 3 * PSI, 1);
    /* if it is a static pressure that is off; the gauge may be by 2 psi */
    ck_assert(claim_of(r, "c")->carried_low
              <= claim_of(r, "c")->computed - 5 * PSI + 1);
    ck_assert(claim_of(r, "c")->carried_high
              >= claim_of(r, "c")->computed - 1 * PSI - 1);
    ck_assert_ptr_nonnull(strstr(f->text, "main drop or restriction"));
    ck_assert_int_eq(claim_of(r, "c")->carried_flows, carried[_i].n > 0);
    ck_assert_int_eq(claim_of(r, "c")->carried_state, carried[_i].state);
    fc_verify_result_free(r);
    fc_site_free(site);
    fc_site_free(house);
}
END_TEST

/* ---- Digits ------------------------------------------------------------ */

/* What stands behind a wide pipe flows there, 50 psi, or 344.738 kPa (NIST SP
 * 811): as many decimals as the claim has, as tell it from the claim, or from
 * 50 psi read less 2. */
static const struct {
    const char *units, *claimed, *more;
    int decimals;
} digits[] = {
    { "us", "30 psi", "", 1 },
    { "us", "50 psi", "", 1 },
    { "us", "49.96 psi", "", 2 },
    { "us", "30.06 psi", "", 2 },
    { "us", "30.0625 psi", "", 1 }, /* finer than anyone states */
    { "us", "4 bar", "", 1 },       /* 58.01509... */
    { "si", "4 bar", "", 0 },
    { "si", "35 psi", "", 0 },
    { "us", "50.01 psi", "", 2 },
    { "us", "50.001 psi", "", 3 },
    { "si", "344 kPa", "", 0 },
    { "si", "345 kPa", "", 1 },
    /* 331.22 kPa, beside 344.74 less 13.79 kPa: what the gauge at the source
     * may be off by, or the one that was read */
    { "si", "48.04 psi", "", 1 },
    { "si", "47 psi", "", 0 },
    { "si", "48.04 psi", "flushing = 1 of x\n", 1 },
    { "si", "48.04 psi", "flushing = none\n", 1 }, /* carried */
};

START_TEST(enough_digits)
{
    char text[2048];
    fc_site *site;
    fc_verify_result *r;

    snprintf(
        text, sizeof text,
        "[site]\nunits = %s\n" WIDE(
            "50 psi", "0 ft") "[claim c]\nfixture = x\nflowing = %s\n%s%s",
        digits[_i].units, digits[_i].claimed,
        digits[_i].more[0] ? "[reading r]\nat = x\npressure = 50 psi\n" : "",
        digits[_i].more);
    site = site_of(text);
    r = verify(site);
    ck_assert_int_eq(claim_of(r, "c")->decimals, digits[_i].decimals);
    fc_verify_result_free(r);
    fc_site_free(site);
}
END_TEST

/* 35.01 and 35 psi are 241.38 and 241.32 kPa. */
START_TEST(claims_apart)
{
    fc_site *site = site_of("[site]\nunits = si\n" WIDE(
        "50 psi", "0 ft") CLAIM("a", "35", ALONE) CLAIM("b", "35.01", ALONE));
    fc_verify_result *r = verify(site);

    ck_assert_int_eq(claim_of(r, "a")->decimals, 1);
    ck_assert_int_eq(claim_of(r, "b")->decimals, 1);
    fc_verify_result_free(r);
    fc_site_free(site);
}
END_TEST

/* A text shows them where the claim is named beside another figure. */
START_TEST(digits_in_words)
{
    fc_site *site = site_of(HOUSE("60 psi") CLAIM("c", "54.03", ALONE)
                                READING("r", "x", "54", ""));
    fc_verify_result *r = verify(site);
    const fc_finding *f = find(r, "static pressure", "c");

    ck_assert_ptr_nonnull(f);
    ck_assert_msg(strstr(f->text, "54.03 psi") != NULL
                      && strstr(f->text, "54.00 psi") != NULL,
                  "%s", f->text);
    fc_verify_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- In words --------------------------------------------------------- */

static const struct {
    const char *more;  /* behind the house */
    const char *about; /* of the claim c */
    const char *says;  /* NULL: it is not said */
} words[] = {
    /* some 57 psi stand at x: 60 less 6 ft */
    { CLAIM("c", "57", ALONE), "static pressure",
      "static pressure claimed as flowing" },
    { CLAIM("c", "70", ALONE), "static pressure", "above its pressure" },
    { CLAIM("c", "30", ALONE), "static pressure", NULL },
    { CLAIM("c", "57", "while = none\nstate = existing\n"), "static pressure",
      NULL },
    { CLAIM("c", "30", "while = none\nstate = existing\n"), "not flowing",
      "no valve of x flushes; name it in \"while\", as in 1 of x" },
    { "[claim c]\nfixture = lav\nflowing = 30 psi\nwhile = 2 of x\n"
      "state = existing\n",
      "residual", "is taken to draw nothing itself" },
    { CLAIM("c", "30", "while = 2 of x\nstate = existing\n"), "residual",
      NULL },
    { CLAIM("c", "54", ALONE) READING("r", "x", "54", ""), "static pressure",
      "reading r shows there with nothing flushing" },
    { CLAIM("c", "54", ALONE) READING("r", "x", "54", "")
          READING("s", "x", "54", "flushing = 1 of x\n"),
      "static pressure", NULL },
    { CLAIM("c", "44", ALONE) READING("r", "q", "44", "flushing = 1 of x\n"),
      "place of the gauge", "reading r shows at q" },
    { CLAIM("c", "44", ALONE) READING("r", "q", "41", "flushing = 1 of x\n"),
      "place of the gauge", NULL },
    { CLAIM("c", "44", ALONE) READING("r", "x", "44", "flushing = 1 of x\n"),
      "place of the gauge", NULL },
    { CLAIM("c", "30", ALONE) READING("r", "x", "20", "flushing = 1 of x\n"),
      "reading", "something is not as entered" },
    { CLAIM("c", "30", ALONE "supply = 50 psi\n") READING("r", "x", "54", ""),
      "supply", "50.0 psi static" },
    { CLAIM("c", "30", ALONE "supply = 75 psi\n"), "supply",
      "75.0 psi static at the source, where the file has 58.0 to 62.0 psi" },
    { CLAIM("c", "30", ALONE "supply = 61 psi\n"), "supply",
      "as on the day claimed" },
    { CLAIM("c", "30", ALONE "supply = 60 psi\n"), "supply", NULL },
    { "[claim c]\nfixture = lav\nflowing = 30 psi\n" ALONE, "not flowing",
      "lav has no flush valve, and nothing flows there" },
    { "[claim c]\nfixture = x\nflowing = 30 psi\nwhile = lav\n"
      "state = existing\n",
      "not calculated", "\"lav\" is to flush but has no flush valve" },
    { "[valve w]\nminimum flowing = 20 psi\n[fixture z]\non = p\n"
      "kind = urinal, flush valve\nexisting = w\n[claim c]\nfixture = z\n"
      "flowing = 30 psi\n" ALONE,
      "not calculated", "the rate of the valve \"w\" is not known" },
    { CLAIM("c", "30", ALONE) READING("r", "x", "44", ""), "not calculated",
      NULL },
};

START_TEST(in_words)
{
    char text[4096];
    fc_site *site;
    fc_verify_result *r;
    const fc_finding *f;

    snprintf(text, sizeof text, "%s%s", HOUSE("58..62 psi"), words[_i].more);
    site = site_of(text);
    r = verify(site);
    f = find(r, words[_i].about, "c");
    if (words[_i].says) {
        ck_assert_ptr_nonnull(f);
        ck_assert_msg(strstr(f->text, words[_i].says) != NULL, "%s", f->text);
    } else {
        ck_assert_ptr_null(f);
    }
    fc_verify_result_free(r);
    fc_site_free(site);
}
END_TEST

/* Through 60 ft of narrow pipe two valves starve each other. */
#define NARROW(bore)                                                          \
    "[source main]\nkind = fixed\npressure = 50 psi\n[pipe p]\nfittings = "   \
    "none\nfrom = main\n"                                                     \
    "length = 60 ft\nc = 130\ninside diameter = " bore "\n"                   \
    "[valve v]\nflow = 25 gpm at 35 psi\nminimum flowing = 15 psi\n" X        \
    "count = 4\n"

static const struct {
    const char *text, *says;
} rungs[] = {
    { NARROW("0.85 in") CLAIM("c", "15", ALONE), "one more open valve" },
    { NARROW("1.05 in") CLAIM("c", "15", ALONE), "up to" },
    { NARROW("4 in") CLAIM("c", "15", ALONE), NULL },
};

START_TEST(valves_at_once)
{
    fc_site *site = site_of(rungs[_i].text);
    fc_verify_result *r = verify(site);
    const fc_finding *f = find(r, "valves at once", "c");
    const fc_flushing two = { 2, "x" }, all = { 4, "x" };

    if (rungs[_i].says) {
        ck_assert_ptr_nonnull(f);
        ck_assert_msg(strstr(f->text, rungs[_i].says) != NULL, "%s", f->text);
    } else {
        ck_assert_ptr_null(f);
    }
    /* that it is so, by the events themselves */
    ck_assert_int_eq(by_flush(site, FC_EXISTING, &two, 1, "x") < 15 * PSI,
                     _i == 0);
    ck_assert_int_eq(by_flush(site, FC_EXISTING, &all, 1, "x") >= 15 * PSI,
                     _i == 2);
    fc_verify_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- Refusals --------------------------------------------------------- */

static const struct {
    const char *text, *says;
    fc_status status;
} refusals[] = {
    { HOUSE("60 psi"), "the site has no claim", FC_EINPUT },
    { "[source main]\nkind = fixed\npressure = 60 psi\n[pipe p]\nfittings = "
      "none\nfrom = main\n"
      "material = copper L\nlength = 9 ft\nsize = choose\n" VALVE X CLAIM(
          "c", "30", ALONE),
      "[pipe p] size is to be chosen; run flushcalc size, or give a nominal "
      "size",
      FC_EUNSUPPORTED },
};

START_TEST(refused)
{
    fc_site *site = site_of(refusals[_i].text);
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_verify_result *r = NULL;

    ck_assert_int_eq(fc_verify(site, NULL, &r, messages), refusals[_i].status);
    ck_assert_ptr_null(r);
    ck_assert_msg(strstr(all_messages(messages), refusals[_i].says) != NULL,
                  "%s", all_messages(messages));
    fc_diagnostics_free(messages);
    fc_site_free(site);
}
END_TEST

START_TEST(unfinished)
{
    fc_site *site = fc_site_new();
    fc_verify_result *r = NULL;

    ck_assert_int_eq(fc_verify(site, NULL, &r, NULL), FC_ESTATE);
    ck_assert_ptr_null(r);
    fc_verify_result_free(NULL);
    fc_site_free(site);
}
END_TEST

static const struct {
    const char *text, *says;
} unknowns[] = {
    { STILL("60 psi", "0 ft")
          CLAIM("c", "30", "while = alone\nstate = retrofit\n"),
      "no fixture has a retrofit valve" },
    { RING("90 ft") CLAIM("c", "30", ALONE "supply = 50 psi\n"),
      "the source is a tank" },
    { RING("90 ft") "[source u]\nkind = fixed\npressure = 30 psi\n"
                    "[pipe w]\nfrom = u\nto = p\nlength = 9 ft\n" BORE CLAIM(
                        "c", "30", ALONE "supply = 50 psi\n"),
      "which of several sources" },
};

START_TEST(not_worked_out)
{
    fc_site *site = site_of(unknowns[_i].text);
    fc_verify_result *r = verify(site);

    ck_assert_int_eq(r->claims[0].verdict, FC_UNDECIDED);
    ck_assert_msg(strstr(r->claims[0].why_not, unknowns[_i].says) != NULL,
                  "%s", r->claims[0].why_not);
    ck_assert_ptr_nonnull(find(r, "not calculated", "c"));
    fc_verify_result_free(r);
    fc_site_free(site);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("verify");
    TCase *tests = tcase_create("claims");

    tcase_add_loop_test(tests, one_input, 0, COUNT(uniform));
    tcase_add_test(tests, two_inputs);
    tcase_add_test(tests, sizes);
    tcase_add_loop_test(tests, nothing_varies, 0, COUNT(exact));
    tcase_add_loop_test(tests, no_flow, 0, COUNT(still_claims));
    tcase_add_loop_test(tests, flowing_conditions, 0, COUNT(flowing));
    tcase_add_test(tests, propagation);
    tcase_add_loop_test(tests, conditions, 0, 2);
    tcase_add_test(tests, demand_varies);
    tcase_add_test(tests, supply);
    tcase_add_test(tests, loops);
    tcase_add_test(tests, threads_and_seeds);
    tcase_add_test(tests, progress);
    tcase_add_loop_test(tests, guard_band, 0, COUNT(guarded));
    tcase_add_loop_test(tests, same_condition, 0, COUNT(conditions_met));
    tcase_add_test(tests, readings_apart);
    tcase_add_loop_test(tests, readings_upside_down, 0, COUNT(upside_down));
    tcase_add_test(tests, two_of_three_apart);
    tcase_add_loop_test(tests, refuted, 0, COUNT(refuting));
    tcase_add_test(tests, keeps_what_the_gauge_showed);
    tcase_add_test(tests, warns_of_no_pressure);
    tcase_add_loop_test(tests, warns_of_a_high_fixture, 0,
                        sizeof high_ones / sizeof *high_ones);
    tcase_add_loop_test(tests, untested_main, 0, COUNT(untested));
    tcase_add_test(tests, reading_against_the_model);
    tcase_add_test(tests, brought_to_the_inlet);
    tcase_add_loop_test(tests, carried_reading, 0, COUNT(carried));
    tcase_add_loop_test(tests, enough_digits, 0, COUNT(digits));
    tcase_add_test(tests, claims_apart);
    tcase_add_test(tests, digits_in_words);
    tcase_add_loop_test(tests, in_words, 0, COUNT(words));
    tcase_add_loop_test(tests, valves_at_once, 0, COUNT(rungs));
    tcase_add_loop_test(tests, refused, 0, COUNT(refusals));
    tcase_add_test(tests, unfinished);
    tcase_add_loop_test(tests, not_worked_out, 0, COUNT(unknowns));
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
