/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/cure_bought.c -- what of the remedies can be bought, and for how
 * much.
 *
 * The building is that of unit/cure_by_hand.c: a closet that has 27.0 gpm at
 * peak and is short by 1.158 psi, so that the preventer does with 5.8 psi in
 * place of 7, the meter with 1.23 psi in place of 2.43, and the valve with
 * 38.8 psi.
 */
#include "unit/cure_suite.h"
#include "unit/cure_trials.h"

#include <math.h>

#define SITE "[site]\ncode minimum = no\nmaximum static = 200 psi\n"
#define FIXED(pressure) "[source s]\nkind = fixed\npressure = " pressure "\n"
#define MAIN "[source s]\nkind = street main\nstatic = 62 psi\n"
#define PIPE                                                                  \
    "[pipe run]\nfittings = none\nfrom = s\nlength = 100 ft\nrise = 30 ft\n"  \
    "c = 140\ninside diameter = 2 in\n"
#define METER "[meter m]\nfrom = run\nloss = 3 psi at 30 gpm\n"
#define BACKFLOW(kind)                                                        \
    "[backflow b]\nfrom = m\nloss = 0 gpm 6 psi, 27 gpm 7 psi, 60 gpm 9 "     \
    "psi\n" kind
#define CLOSET                                                                \
    "[fixture wc]\non = b\nkind = water closet, flush valve\n"                \
    "supply size = 1 in\nexisting = v\n"                                      \
    "[valve v]\nminimum flowing = 40 psi\nflow = 25 gpm at 40 psi\n"          \
    "full flush = 1.6 gal\n"
#define HOUSE(source, kind)                                                   \
    SITE source PIPE METER BACKFLOW(kind)                                     \
    CLOSET

static void
begin(struct cured *c, const char *text)
{
    cured_begin(c, site_of(text), true, "by hand");
    assert_remedies(c);
}

/* ---- The city main ---------------------------------------------------- */

START_TEST(a_main_is_not_in_reach)
{
    const fc_remedy *r;
    char *text = NULL;
    struct cured c;

    begin(&c, HOUSE(MAIN, ""));
    r = cured_by(&c, FC_RAISE_SOURCE, "s");
    ck_assert(r->works);
    ck_assert_int_eq(r->reach, FC_BY_UTILITY);
    ck_assert_ptr_eq(strstr(r->text, "Not in your hands: the utility would"),
                     r->text);
    /* what it would come to may be looked at, and the file says so */
    ck_assert_int_eq(
        fc_remedies_text(c.all, cured_number(&c, r), NULL, &text, NULL),
        FC_OK);
    ck_assert_ptr_nonnull(strstr(text, "; Not in your hands: "));
    free(text);
    cured_end(&c);
}
END_TEST

START_TEST(a_constant_supply_is)
{
    struct cured c;

    begin(&c, HOUSE(FIXED("62 psi"), ""));
    ck_assert_int_eq(cured_by(&c, FC_RAISE_SOURCE, "s")->reach, FC_IN_REACH);
    cured_end(&c);
}
END_TEST

/* ---- What nobody makes ------------------------------------------------ */

/* By ASSE 1013 the checks and the relief valve of an RP hold 6 psi together,
 * by ASSE 1015 those of a double check 2 psi, whatever flows (from memory). */
static const struct {
    const char *site;
    fc_reach reach;
    const char *text;
} preventers[] = {
    { HOUSE(FIXED("62 psi"), "kind = rp\n"), FC_NOT_MADE,
      "b would have to lose at most 5.8 psi at peak (now 7.0 psi), but no RP "
      "loses less than 6.0 psi." },
    { HOUSE(FIXED("62 psi"), "kind = Reduced Pressure\n"), FC_NOT_MADE,
      "b would have to lose at most 5.8 psi at peak (now 7.0 psi), but no RP "
      "loses less than 6.0 psi." },
    { HOUSE(FIXED("62 psi"), "kind = double check\n"), FC_IN_REACH,
      "Replace b with one losing at most 5.8 psi at peak (now 7.0 psi); "
      "limited by wc." },
    { HOUSE(FIXED("62 psi"), ""), FC_ONLY_DOUBLE_CHECK,
      "Replace b with one losing at most 5.8 psi at peak (now 7.0 psi); a "
      "double check may, no RP loses less than 6.0 psi; limited by wc." },
    /* 0.858 psi short */
    { HOUSE(FIXED("62.3 psi"), "kind = rp\n"), FC_IN_REACH,
      "Replace b with one losing at most 6.1 psi at peak (now 7.0 psi); "
      "limited by wc." },
    /* 5.158 psi short */
    { HOUSE(FIXED("58 psi"), "kind = double check\n"), FC_NOT_MADE,
      "b would have to lose at most 1.8 psi at peak (now 7.0 psi), but no "
      "double check loses less than 2.0 psi." },
};

START_TEST(preventer)
{
    const fc_remedy *r;
    struct cured c;

    begin(&c, preventers[_i].site);
    r = cured_by(&c, FC_LOWER_LOSS, "b");
    ck_assert_str_eq(r->text, preventers[_i].text);
    ck_assert_int_eq(r->reach, preventers[_i].reach);
    ck_assert(r->works == (r->reach != FC_NOT_MADE));
    cured_end(&c);
}
END_TEST

/* ---- A preventer and pipes ---------------------------------------------- */

/* A branch that is to be replaced, of sizes that have prices. */
#define PRICED                                                                \
    SITE FIXED("64 psi") PIPE METER BACKFLOW(                                 \
        "kind = rp\n") "[pipe branch]\nfrom = b\nmaterial = copper "          \
                       "L\ncondition = new\n"                                 \
                       "fittings = none\nsize = 1-1/4 in\nlength = 60 ft\n"   \
                       "velocity limit = 20 ft/s\n"                           \
                       "[fixture wc]\non = branch\nkind = water closet, "     \
                       "flush valve\n"                                        \
                       "supply size = 1 in\nexisting = v\n"                   \
                       "[valve v]\nminimum flowing = 40 psi\nflow = 25 gpm "  \
                       "at 40 psi\n"                                          \
                       "full flush = 1.6 gal\n[price]\nbooster = "            \
                       "9500\nbackflow = 2800\n"
#define PRICES                                                                \
    "[prices cu]\nmaterial = copper L\n1-1/4 in = 15\n1-1/2 in = 20\n"

/* 27.0 gpm in 60 ft of copper L (4.52 x 27^1.852 / (C^1.852 x d^4.87) psi a
 * foot, C = 140; 1.265 and 1.505 in) lose 4.09 and 1.76 psi: the larger pipe
 * gives 2.34 psi of the 3.3 that lack, and an RP of at least 6.0 psi in place
 * of 7 the rest.  2800 and 60 ft at 20 are 4000, less than the booster. */
START_TEST(less_loss_with_pipes_is_in_reach)
{
    const fc_remedy *r;
    struct cured c;
    double loss;

    begin(&c, PRICED PRICES);
    r = cured_by(&c, FC_LOWER_LOSS, "b");
    ck_assert_int_eq(r->reach, FC_NOT_MADE);
    r = cured_by(&c, FC_REPLACE_PIPES, NULL);
    ck_assert_ptr_eq(strstr(r->text, "None of the priced sizes works. "),
                     r->text);
    ck_assert_uint_lt(c.all->lowest, c.all->n_remedies);
    r = &c.all->remedies[c.all->lowest];
    ck_assert_int_eq(r->lever, FC_COMBINE);
    ck_assert_int_eq(r->reach, FC_IN_REACH);
    ck_assert_int_eq(
        sscanf(r->text, "Replace b with one losing at most %lf", &loss), 1);
    ck_assert(loss >= 6.0 && loss < 7.0);
    ck_assert_double_eq_tol(r->price, 4000, 1e-6);
    cured_end(&c);
}
END_TEST

/* ---- A building that may work ------------------------------------------- */

/* What does not help is so at the worst ends of what is not known; of a
 * building that fails it is so whatever they are. */
START_TEST(negatives_of_the_worst_case)
{
    static const char said[] = "n the worst case";
    struct cured fails, may_work;
    size_t i, n = 0;

    begin(&fails, HOUSE(FIXED("50 psi"), "kind = rp\n"));
    begin(&may_work, HOUSE(FIXED("50..70 psi"), "kind = rp\n"));
    ck_assert_int_eq(fails.all->works, FC_WILL_NOT_WORK);
    ck_assert_int_eq(may_work.all->works, FC_CANNOT_TELL);
    ck_assert_uint_eq(fails.all->n_remedies, may_work.all->n_remedies);
    for (i = 0; i < fails.all->n_remedies; i++) {
        const fc_remedy *a = &fails.all->remedies[i];
        const fc_remedy *b = &may_work.all->remedies[i];

        ck_assert_int_eq(a->lever, b->lever);
        ck_assert(a->works == b->works);
        ck_assert_ptr_null(strstr(a->text, said));
        ck_assert((strstr(b->text, said) != NULL)
                  == (!b->works && strncmp(b->text, "Cannot tell", 11) != 0));
        n += !b->works;
    }
    ck_assert_uint_gt(n, 0);
    cured_end(&may_work);
    cured_end(&fails);
}
END_TEST

/* ---- Two losses, written in round figures ------------------------------- */

#define TWO(units)                                                            \
    "[site]\n" units                                                          \
    "code minimum = no\nmaximum static = 200 psi\n" FIXED("57.6 psi") PIPE    \
        "[device m]\nfrom = run\nloss = 3 psi at 30 gpm\n" BACKFLOW(          \
            "kind = double check\n") CLOSET

/* 5.558 psi (38.32 kPa) short, of which a double check that loses 2 psi in
 * place of 7 gives 5, and the device has but 2.43 at 27 gpm.  In steps of 0.1
 * psi: 5.0 and 0.6 psi less, so that 2.0 and 1.83 psi are left, and as written
 * 6, 7 and 9 psi become 1.714, 2 and 2.571, and 3 psi at 30 gpm 2.259, all
 * down.  In steps of 1 kPa, of 48.263 and 16.754: with 34 and 5 less the
 * device is written with 20.684 (11.754/16.754) = 14.51 down to 14 kPa, which
 * gives 5.41, so that 33 do; then the device is to give 6, and 13.28 down to
 * 13 kPa; 41.369, 48.263 and 62.053 become 13.08, 15.26 and 19.62. */
static const struct {
    const char *site, *text;
    double points[3], loss; /* Pa */
} rounded[] = {
    { TWO(""),
      "Replace b with one losing at most 2.0 psi at peak (now 7.0 psi), and "
      "replace m with one losing at most 1.8 psi at peak (now 2.4 psi); "
      "limited by wc.",
      { 1.7 * PSI, 2 * PSI, 2.5 * PSI },
      2.2 * PSI },
    { TWO("units = si\n"),
      "Replace b with one losing at most 15 kPa at peak (now 48 kPa), and "
      "replace m with one losing at most 10 kPa at peak (now 17 kPa); limited "
      "by wc.",
      { 13e3, 15e3, 19e3 },
      13e3 },
};

START_TEST(two_losses)
{
    const fc_remedy *r = NULL;
    const fc_device *device;
    struct cured c;
    fc_site *site;
    size_t i;

    begin(&c, rounded[_i].site);
    for (i = 0; i < c.all->n_remedies; i++)
        if (strncmp(c.all->remedies[i].text, "Replace b with one losing", 25)
                == 0
            && strstr(c.all->remedies[i].text, "and replace m"))
            r = &c.all->remedies[i];
    ck_assert_ptr_nonnull(r);
    ck_assert_str_eq(r->text, rounded[_i].text);
    site = cured_read(&c, r);
    device = fci_site_find(site, FCI_BACKFLOW, "b")->data;
    ck_assert_uint_eq(device->loss.n_points, 3);
    for (i = 0; i < 3; i++)
        ck_assert_double_eq_tol(device->loss.points[i].y,
                                rounded[_i].points[i], 1e-3);
    device = fci_site_find(site, FCI_DEVICE, "m")->data;
    ck_assert_double_eq_tol(device->loss.pressure.high, rounded[_i].loss,
                            1e-3);
    fc_site_free(site);
    cured_end(&c);
}
END_TEST

/* 27.0 gpm in copper L of 1-1/4 in, which is 1.265 in, lose in 10 ft 0.685 psi
 * with a C of 140, in 2 in, which is 1.985 in, 0.076 psi (as in
 * unit/cure_by_hand.c: 0.07348 psi (2/d)^4.8704).  A displacement meter of 1
 * in loses at most 15 (27/50)^2 = 4.374 psi, one of 1-1/2 in 15 (27/100)^2 =
 * 1.094 psi, a turbine meter of class II of 1-1/2 in 7 (27/100)^2 = 0.510 psi
 * (AWWA C700 and C701, from memory). */
#define METERED(pressure, line)                                               \
    SITE FIXED(                                                               \
        pressure) "[pipe run]\nfittings = none\nfrom = s\nmaterial = copper " \
                  "L\n"                                                       \
                  "length = 10 ft\nc = 140\nsize = " line                     \
                  "\nvelocity limit = 20 ft/s\n[meter b]\nfrom = run\n"       \
                  "kind = displacement\nsize = 1 in\n" CLOSET

static const struct {
    const char *site;
    bool works;
    const char *text;
} meters[] = {
    /* 40 + 0.685 + 4.374 - 44.5 = 0.559 short: 3.774 in steps */
    { METERED("44.5 psi", "1-1/4 in"), false,
      "but no meter of up to 1-1/4 in loses that little: a 1 in displacement "
      "meter loses 4.4 psi." },
    /* 0.05 short */
    { METERED("44.4 psi", "2 in"), true,
      ", such as a 1-1/2 in displacement meter; limited by wc." },
    /* 3.75 short: 0.574 in steps */
    { METERED("40.7 psi", "2 in"), true,
      ", such as a 1-1/2 in turbine class II meter; limited by wc." },
};

START_TEST(meter)
{
    const fc_remedy *r;
    struct cured c;

    begin(&c, meters[_i].site);
    r = cured_by(&c, FC_LOWER_LOSS, "b");
    ck_assert_msg(strstr(r->text, meters[_i].text), "%s", r->text);
    ck_assert(r->works == meters[_i].works);
    ck_assert_int_eq(r->reach, r->works ? FC_IN_REACH : FC_NOT_MADE);
    cured_end(&c);
}
END_TEST

/* ---- Prices ----------------------------------------------------------- */

#define COPPER                                                                \
    FIXED("45 psi")                                                           \
    "[pipe b]\nfittings = none\nfrom = s\nmaterial = copper L\nc = 140\n"     \
    "length = 100 ft\nsize = 1-1/4 in\nvelocity limit = 30 ft/s\n"

static const struct {
    const char *site, *prices;
    fc_lever lever; /* of the lowest price */
    double price;   /* NAN: none */
    const char *unpriced;
} priced[] = {
    { HOUSE(FIXED("62 psi"), ""),
      "source = 5000\nbooster = 3000\nmeter = 900\nbackflow = 1500\n"
      "valve = 250\n",
      FC_LOWER_MINIMUM, 250, "" },
    { HOUSE(FIXED("62 psi"), ""),
      "source = 5000\nbooster = 3000\nmeter = 900\nbackflow = 1500\n",
      FC_LOWER_LOSS, 900, "valve" },
    { HOUSE(FIXED("62 psi"), "kind = double check\n"), "booster = 3000\n",
      FC_ADD_BOOSTER, 3000, "source, meter, backflow, valve" },
    { HOUSE(FIXED("62 psi"), "kind = double check\n"), "prv = 3000\n",
      FC_COMBINE, (double)NAN, "source, booster, meter, backflow, valve" },
    /* nothing to pay is a price too */
    { HOUSE(FIXED("62 psi"), ""),
      "source = 0\nbooster = 3000\nmeter = 0\nbackflow = 1500\nvalve = 1\n",
      FC_RAISE_SOURCE, 0, "" },
    /* each closet has a valve */
    { SITE FIXED("61 psi") PIPE METER BACKFLOW("") CLOSET
      "[fixture wc-2]\ncount = 3\non = b\nexisting = v\n"
      "kind = water closet, flush valve\nsupply size = 1 in\n",
      "source = 5000\nbooster = 3000\nmeter = 2000\nbackflow = 1500\n"
      "valve = 250\n",
      FC_LOWER_MINIMUM, 1000, "" },
    /* nobody can pay for a city main */
    { HOUSE(MAIN, ""),
      "source = 1\nbooster = 3000\nmeter = 900\nbackflow = 1500\n"
      "valve = 2500\n",
      FC_LOWER_LOSS, 900, "" },
    /* a double check may not be allowed there */
    { HOUSE(FIXED("62 psi"), ""),
      "source = 5000\nbooster = 3000\nmeter = 900\nbackflow = 1\n"
      "valve = 2500\n",
      FC_LOWER_LOSS, 900, "" },
    /* an RP that loses so little is not to be had */
    { HOUSE(FIXED("62 psi"), "kind = rp\n"),
      "source = 5000\nbooster = 3000\nmeter = 900\nbackflow = 1\n"
      "valve = 2500\n",
      FC_LOWER_LOSS, 900, "" },
    /* 27 gpm lose 6.85 psi in 1-1/4 in, and in 1-1/2 in, 1.505 in, with a C of
     * 130 3.37 psi: 100 ft at 3 */
    { SITE COPPER CLOSET,
      "source = 500\nbooster = 3000\nvalve = 2500\n[prices c]\n"
      "material = copper L\n1-1/4 in = 2\n1-1/2 in = 3\n2 in = 4\n",
      FC_REPLACE_PIPES, 300, "" },
    { SITE COPPER CLOSET, "source = 500\nbooster = 3000\nvalve = 2500\n",
      FC_RAISE_SOURCE, 500, "pipes" },
};

START_TEST(lowest_price)
{
    char text[4000], names[200] = "";
    const fc_remedies *all;
    struct cured c;
    size_t i;

    snprintf(text, sizeof text, "%s[price]\n%s", priced[_i].site,
             priced[_i].prices);
    begin(&c, text);
    all = c.all;
    ck_assert(all->priced);
    for (i = 0; i < all->n_unpriced; i++)
        snprintf(names + strlen(names), sizeof names - strlen(names), "%s%s",
                 i ? ", " : "", all->unpriced[i]);
    ck_assert_str_eq(names, priced[_i].unpriced);
    if (isnan(priced[_i].price)) {
        ck_assert_uint_eq(all->lowest, SIZE_MAX);
    } else {
        ck_assert_uint_lt(all->lowest, all->n_remedies);
        ck_assert_int_eq(all->remedies[all->lowest].lever, priced[_i].lever);
        ck_assert_double_eq_tol(all->remedies[all->lowest].price,
                                priced[_i].price, 1e-9);
    }
    cured_end(&c);
}
END_TEST

START_TEST(no_prices)
{
    struct cured c;

    begin(&c, HOUSE(FIXED("62 psi"), ""));
    ck_assert(!c.all->priced);
    ck_assert_uint_eq(c.all->lowest, SIZE_MAX);
    ck_assert_uint_eq(c.all->n_unpriced, 0);
    cured_end(&c);
}
END_TEST

TCase *
cure_bought(void)
{
    TCase *t = tcase_create("bought");

    tcase_add_test(t, a_main_is_not_in_reach);
    tcase_add_test(t, a_constant_supply_is);
    tcase_add_test(t, less_loss_with_pipes_is_in_reach);
    tcase_add_test(t, negatives_of_the_worst_case);
    tcase_add_loop_test(t, preventer, 0, COUNT(preventers));
    tcase_add_loop_test(t, two_losses, 0, COUNT(rounded));
    tcase_add_loop_test(t, meter, 0, COUNT(meters));
    tcase_add_loop_test(t, lowest_price, 0, COUNT(priced));
    tcase_add_test(t, no_prices);
    return t;
}
