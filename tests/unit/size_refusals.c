/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/size_refusals.c -- no sizes, and why; and what is refused.
 *
 * By International Plumbing Code, Table 604.3, a siphonic closet with a flush
 * valve needs 35 psi, a lavatory 8 psi; by its Appendix E ten units are 27.0
 * gpm (see tables/).  Water of 60 degF weighs 0.43310 psi a foot (see
 * unit/check_water.c).
 */
#include "variants/change.h"
#include "generators/size_sites.h"
#include "unit/size_suite.h"

#define FIXED(pressure)                                                       \
    "[source main]\nkind = fixed\npressure = " pressure "\n"
#define CHOOSE(name, from)                                                    \
    "[pipe " name "]\nfittings = none\nfrom = " from                          \
    "\nmaterial = copper L\nsize = choose\nlength = 21 ft\n"
#define CLOSET(on)                                                            \
    "[fixture wc]\non = " on "\nkind = water closet, flush valve\n"

/* ---- No sizes, and why -------------------------------------------------- */

static const struct {
    const char *site;
    const char *reason;
} reasons[] = {
    /* 35 + 20 x 0.4331 = 43.66 psi, and no friction to speak of in 6 in */
    { FIXED("40 psi") CHOOSE("p", "main") "rise = 20 ft\n" CLOSET("p"),
      "Even with the lowest-loss sizes wc is short by 3.7 psi at peak. The "
      "source gives 40.0 psi; those sizes require 43.7 psi." },
    { FIXED("40 psi") CHOOSE("p", "main") "rise = 20 ft\n" CLOSET(
          "p") "existing = old\nretrofit = new\n[site]\ncode minimum = no\n"
               "[valve old]\nminimum flowing = 15 psi\n"
               "[valve new]\nminimum flowing = 35 psi\n",
      "Even with the lowest-loss sizes wc is short by 3.7 psi at peak after "
      "retrofit. The source gives 40.0 psi; those sizes require 43.7 psi." },
    { FIXED("40 psi") CHOOSE("p", "main") "rise = 20 ft\n" CLOSET(
          "p") "existing = old\nretrofit = new\n[site]\ncode minimum = no\n"
               "[valve old]\nminimum flowing = 35 psi\n"
               "[valve new]\nminimum flowing = 15 psi\n",
      "Even with the lowest-loss sizes wc is short by 3.7 psi at peak with "
      "existing valves. The source gives 40.0 psi; those sizes require 43.7 "
      "psi." },
    /* 27 gpm in 5.845 in, the bore of 6 in, is 0.323 ft/s */
    { FIXED("80 psi")
          CHOOSE("p", "main") "velocity limit = 0.3 ft/s\n" CLOSET("p"),
      "p: 27.0 gpm at peak is 0.32 ft/s in 6 in, the largest size of copper "
      "L; limit 0.3 ft/s." },
    { FIXED("80 psi") CHOOSE("p", "main") CLOSET(
          "p") "existing = huge\n[valve huge]\nminimum flowing = 15 psi\n"
               "supply size = 8 in\n",
      "A fixture downstream of p requires a supply of at least 8 in; the "
      "largest size of copper L is 6 in." },
    { FIXED("80 psi") "[reducer r]\nfall-off = 0 psi at 10 gpm\nloss = 0 "
                      "psi\nfrom = main\nset = 30 psi\n" CHOOSE("p", "r")
                          CLOSET("p"),
      "Downstream of r at most 30.0 psi at peak; what it feeds requires more "
      "at every size." },
    /* 27 gpm are 10.5 ft/s in 1.025 in, the bore of 1 in: over 8 */
    { FIXED("80 psi") "[pipe small]\nfittings = none\nfrom = main\nmaterial = "
                      "copper L\n"
                      "size = 3/4 in\nlength = 1 ft\n" CHOOSE("p", "small")
                          CLOSET("p"),
      "p must be at least 1-1/4 in, larger than small upstream may be; no "
      "pipe may be larger than the one that feeds it." },
    { FIXED("80 psi") CHOOSE("p", "main")
          CLOSET("p") "[prices c]\nmaterial = copper L\n1 in = 4\n",
      "No priced size of copper L fits p: 27.0 gpm at peak, velocity limit "
      "8.0 ft/s." },
    /* a washing machine, of which nothing is asked but that water comes */
    { FIXED("8 psi") CHOOSE(
          "p",
          "main") "rise = 20 ft\n"
                  "[fixture washer]\non = p\nkind = washing machine 15 lb\n",
      "No pressure is left on the way to its fixtures." },
};

START_TEST(reason)
{
    fc_site *site = site_of(reasons[_i].site);
    fc_size_result *r = sized(site, &by_peak);

    ck_assert(!r->feasible);
    ck_assert_str_eq(r->reason, reasons[_i].reason);
    ck_assert_uint_eq(r->n_pipes, 1);
    ck_assert_str_eq(r->pipes[0].name, "p");
    fc_size_result_free(r);
    fc_site_free(site);
}
END_TEST

/* What else a check finds is told of the fixture that it is about: a stub of
 * 1/2 in, where 1 in is asked, is no pipe of the plan. */
START_TEST(nothing_that_sizes_cure)
{
    fc_site *site = site_of(FIXED("80 psi") CHOOSE("p", "main")
                                CLOSET("p") "supply size = 1/2 in\n");
    fc_size_result *r = sized(site, &by_peak);

    ck_assert(!r->feasible);
    ck_assert_int_eq(r->works, FC_WILL_NOT_WORK);
    ck_assert(!isnan(r->cost_at_peak) && r->pipes[0].size);
    ck_assert_ptr_nonnull(strstr(r->reason, "has enough at peak, but wc: "));
    ck_assert_ptr_nonnull(strstr(r->reason, "1/2 in"));
    ck_assert_ptr_nonnull(strstr(r->reason, "; no pipe size fixes that."));
    fc_size_result_free(r);
    fc_site_free(site);
}
END_TEST

/* 90 psi are over the 80 that are the most without flow: sizes are found, and
 * that is said beside. */
START_TEST(too_high_beside_sizes)
{
    fc_site *site = site_of(FIXED("90 psi") CHOOSE("p", "main") CLOSET("p"));
    fc_size_result *r = sized(site, &by_peak);

    ck_assert(r->feasible);
    ck_assert_int_eq(r->works, FC_WORKS);
    ck_assert_int_eq(r->too_high, FC_WILL_NOT_WORK);
    fc_size_result_free(r);
    fc_site_free(site);
}
END_TEST

static void
refuse_to_write(const fc_size_result *r)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    char kept, *text = &kept;

    ck_assert_int_eq(fc_size_text(r, NULL, &text, messages), FC_ESTATE);
    ck_assert_ptr_eq(text, &kept);
    ck_assert_uint_eq(fc_diagnostics_count(messages), 1);
    fc_diagnostics_free(messages);
}

/* Where no sizes may be at all there is nothing to check and to write; */
START_TEST(no_sizes_at_all)
{
    fc_site *site = site_of(FIXED("80 psi") CHOOSE(
        "p", "main") "velocity limit = 0.3 ft/s\n" CLOSET("p"));
    fc_size_result *r = sized(site, &by_peak);

    ck_assert_ptr_null(r->check);
    ck_assert_ptr_null(r->pipes[0].size);
    ck_assert(isnan(r->cost) && isnan(r->pipes[0].cost));
    ck_assert(isinf(r->source[FC_EXISTING].least));
    ck_assert_int_eq(r->works, FC_WILL_NOT_WORK);
    refuse_to_write(r);
    fc_size_result_free(r);
    fc_site_free(site);
}
END_TEST

/* otherwise those that come nearest are checked, and not written either. */
START_TEST(sizes_that_come_nearest)
{
    fc_site *site = site_of(FIXED("30 psi") CHOOSE("p", "main") CLOSET("p"));
    fc_size_result *r = sized(site, &by_peak);

    ck_assert(!r->feasible && isnan(r->cost_at_peak));
    ck_assert_int_eq(r->check->works, FC_WILL_NOT_WORK);
    ck_assert_int_eq(r->works, FC_WILL_NOT_WORK);
    ck_assert_str_eq(r->pipes[0].size, "6 in");
    refuse_to_write(r);
    fc_size_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- The source that would just do -------------------------------------- */

/* The same with a source that gives just so much at any flow. */
static fc_site *
fed_by(const fc_site *site, const char *text, double pressure)
{
    static const char *const gone[] = { "static", "residual", "residual flow",
                                        "water level" };
    /* what [tolerance] takes off a single value */
    const double off = strstr(text, "\npressure = 1 psi") ? PSI : 0;
    struct fci_change changes[6];
    fc_site *changed = NULL;
    char value[40];
    size_t n = 0;
    int i;

    snprintf(value, sizeof value, "%.9f kPa", (pressure + off) / 1000);
    changes[n++] =
        (struct fci_change){ FCI_SOURCE, "e0", "kind", "fixed", NULL };
    changes[n++] =
        (struct fci_change){ FCI_SOURCE, "e0", "pressure", value, NULL };
    for (i = 0; i < COUNT(gone); i++)
        if (strstr(text, gone[i]))
            changes[n++] =
                (struct fci_change){ FCI_SOURCE, "e0", gone[i], NULL, NULL };
    ck_assert_int_eq(fci_site_changed(site, changes, n, &changed, NULL),
                     FC_OK);
    return changed;
}

static bool
serves_at_peak(const fc_site *site, const char *text, double pressure)
{
    fc_site *fed = fed_by(site, text, pressure);
    fc_size_result *r = sized(fed, &by_peak);
    const bool serves = !isnan(r->cost_at_peak);

    if (!serves)
        ck_assert_ptr_nonnull(strstr(r->reason, "short by"));
    fc_size_result_free(r);
    fc_site_free(fed);
    return serves;
}

#define HAIR (0.001 * PSI)

/* In two states the larger figure does for both, as the sizes that take least
 * in one do so in the other. */
START_TEST(least_pressure)
{
    struct size_site s;
    const char *text;
    fc_size_result *r;
    fc_site *site;
    double least;

    size_site_make(&s, 500 + (unsigned long)_i, false);
    text = size_site_text(&s, NULL);
    site = site_of(text);
    r = sized(site, &by_peak);
    least = r->source[FC_EXISTING].least;
    if (r->converted)
        least = fmax(least, r->source[FC_RETROFIT].least);
    if (!isinf(least)) {
        ck_assert(serves_at_peak(site, text, least + HAIR));
        ck_assert(!serves_at_peak(site, text, least - HAIR));
    }
    fc_size_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- Refused ------------------------------------------------------------ */

static const struct {
    const char *site;
    fc_status status;
    const char *said;
} refused[] = {
    { FIXED("60 psi") "[pipe p]\nfittings = none\nfrom = main\nmaterial = "
                      "copper L\n"
                      "size = 2 in\nlength = 1 ft\n" CLOSET("p"),
      FC_EINPUT,
      "no pipe has its size to choose; \"size = choose\" is expected of at "
      "least one; to look for a fix: flushcalc size --remedy\n" },
    { FIXED("60 psi") CHOOSE("p", "main") CLOSET("p")
          CHOOSE("q", "p") "[pipe l]\nfittings = none\nfrom = main\nto = "
                           "q\nmaterial = copper "
                           "L\nsize = 2 in\n"
                           "length = 3 ft\n",
      FC_EUNSUPPORTED, "closes a loop" },
    { FIXED("60 psi") CHOOSE("p", "main")
          CLOSET("p") "[source two]\nkind = fixed\npressure = 50 psi\n",
      FC_EUNSUPPORTED, "one of several sources" },
    { FIXED("60 psi") CHOOSE("p", "main")
          CLOSET("p") "[pipe q]\nfittings = none\nfrom = p\nmaterial = steel "
                      "sch 40\nsize = choose\n"
                      "length = 1 ft\n[fixture l]\non = q\nkind = lavatory\n"
                      "[prices c]\nmaterial = copper L\n1 in = 4\n",
      FC_EINPUT, "has no [prices] though another material has" },
    { FIXED("60 psi") CHOOSE("p", "main")
          CLOSET("p") "[prices c]\nmaterial = copper L\n1 in = 4\n"
                      "[prices d]\nmaterial = Copper L\n2 in = 4\n",
      FC_EINPUT,
      "has its prices in [prices c] already; one list per material is "
      "expected\n" },
    { "[site]\npeak = probability\n" FIXED("60 psi") CHOOSE("p", "main")
          CLOSET("p") "existing = v\n[valve v]\nminimum flowing = 15 psi\n",
      FC_EINPUT, "without which the peak demand by probability is not known" },
};

START_TEST(refusal)
{
    fc_site *site = site_of(refused[_i].site);
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_size_result *r = (fc_size_result *)site; /* any: it is kept */

    ck_assert_int_eq(fc_size(site, NULL, &r, messages), refused[_i].status);
    ck_assert_ptr_eq(r, site);
    ck_assert_uint_eq(fc_diagnostics_count(messages), 1);
    ck_assert_msg(strstr(all_messages(messages), refused[_i].said) != NULL,
                  "%s", all_messages(messages));
    ck_assert_int_eq(fc_size(site, NULL, &r, NULL), refused[_i].status);
    fc_diagnostics_free(messages);
    fc_site_free(site);
}
END_TEST

/* A flush valve of which nobody says what it needs: the tables' file of the
 * test has a kind for which the code has no pressure. */
START_TEST(unknown_need)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_size_result *r = NULL;
    char text[1000];
    fc_site *site;

    snprintf(
        text, sizeof text,
        "[site]\ntables = %s\n" FIXED("60 psi") CHOOSE(
            "p", "main") "[fixture s]\non = p\nkind = trough, flush valve\n"
                         "existing = v\n[valve v]\nflow = 20 gpm at 20 psi\n",
        size_tables_path());
    site = site_of(text);
    ck_assert_int_eq(fc_size(site, NULL, &r, messages), FC_EINPUT);
    ck_assert_ptr_null(r);
    ck_assert_str_eq(
        all_messages(messages),
        "test.ini:12: [fixture s] has the valve \"v\", whose minimum is not "
        "known; a valve with a \"minimum flowing\" is expected, as sizes are "
        "chosen to serve it\n");
    fc_diagnostics_free(messages);
    fc_site_free(site);
}
END_TEST

/* Enough for one valve, not for two: in 100 ft of 1-1/4 in type L, 1.265 in,
 * 25 gpm lose 5.9 psi and 50 gpm 21 psi at C 140 (NFPA 13's form of
 * Hazen-Williams).  They are lost in a pipe in place. */
START_TEST(events_fall_short)
{
    static const fc_size_options drawn = { .check = { .threads = 1,
                                                      .most_states = 300 } };
    fc_site *site = site_of(FIXED(
        "25 psi") "[pipe in]\nfittings = none\nfrom = main\nmaterial = copper "
                  "L\n"
                  "size = 1-1/4 in\nlength = 100 ft\ncondition = new\n" CHOOSE(
                      "p",
                      "in") CLOSET("p") "count = 2\nfixture units = "
                                        "1\nexisting = v\ninterval = 15 s\n"
                                        "[site]\ncode minimum = no\n[valve "
                                        "v]\nminimum flowing = 15 psi\n"
                                        "flow = 25 gpm at 15 psi\nfull flush "
                                        "= 3.5 gal\n");
    fc_size_result *r = sized(site, &by_peak);

    ck_assert(r->feasible);
    fc_size_result_free(r);
    r = sized(site, &drawn);
    ck_assert(!r->feasible);
    ck_assert_int_ne(r->works, FC_WORKS);
    ck_assert_ptr_nonnull(strstr(r->reason, "has enough at peak, but wc: "));
    ck_assert_ptr_nonnull(
        strstr(r->reason, "; the lowest-loss sizes do not fix that."));
    fc_size_result_free(r);
    fc_site_free(site);
}
END_TEST

/* A material without a size to be chosen needs no prices. */
START_TEST(prices_not_needed)
{
    fc_site *site = site_of(
        FIXED("60 psi") "[pipe in]\nfittings = none\nfrom = main\nmaterial = "
                        "steel sch 40\n"
                        "size = 3 in\nlength = 5 ft\n" CHOOSE("p", "in")
                            CLOSET("p") "[prices c]\nmaterial = copper "
                                        "L\n1-1/4 in = 4\n2 in = 7\n"
                                        "each = 10\n");
    fc_size_result *r = sized(site, NULL);

    /* 27 gpm in 1.265 in are 6.9 ft/s, in 1.025 in 10.5; 4 x 21 ft + 10 */
    ck_assert(r->feasible && r->by_prices);
    ck_assert_str_eq(r->pipes[0].size, "1-1/4 in");
    ck_assert_double_eq_tol(r->cost, 94, 1e-9);
    fc_size_result_free(r);
    fc_site_free(site);
}
END_TEST

START_TEST(unfinished)
{
    fc_site *site = fc_site_new();
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_size_result *r = NULL;

    ck_assert_int_eq(fc_size(site, NULL, &r, messages), FC_ESTATE);
    ck_assert_ptr_null(r);
    ck_assert_str_eq(all_messages(messages),
                     "the site is not finished; a finished site is "
                     "expected\n");
    fc_size_result_free(NULL);
    fc_diagnostics_free(messages);
    fc_site_free(site);
}
END_TEST

TCase *
size_refusals(void)
{
    TCase *t = tcase_create("no sizes");

    tcase_add_loop_test(t, reason, 0, COUNT(reasons));
    tcase_add_test(t, nothing_that_sizes_cure);
    tcase_add_test(t, too_high_beside_sizes);
    tcase_add_test(t, no_sizes_at_all);
    tcase_add_test(t, sizes_that_come_nearest);
    tcase_add_loop_test(t, least_pressure, 0, 50);
    tcase_add_loop_test(t, refusal, 0, COUNT(refused));
    tcase_add_test(t, unknown_need);
    tcase_add_test(t, events_fall_short);
    tcase_add_test(t, prices_not_needed);
    tcase_add_test(t, unfinished);
    return t;
}
