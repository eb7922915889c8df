/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/size_stock.c -- sizes that a supply house stocks, and others.
 *
 * By ASTM B88, Table 1, the bores of copper L are 2.945 in (3 in), 3.425 in
 * (3-1/2 in), 3.897 in (4 in), 4.875 in (5 in) and 5.845 in (6 in).  At 8 ft/s
 * they pass pi/4 bore^2 x 8 ft/s: 169.9, 229.7, 297.4, 465.4 and 669.1 gpm,
 * so that 200 gpm need 3-1/2 in at least and 400 gpm 5 in.  That no supply
 * house has these two is common practice.
 */
#include "flushcalc.h"
#include "generators/sites.h"
#include "unit/size_suite.h"

#define MAIN                                                                  \
    "[source main]\nkind = fixed\npressure = 75 psi\n"                        \
    "[fixture basin]\nkind = lavatory\non = p\n"
#define CHOOSE                                                                \
    "[pipe p]\nfrom = main\nmaterial = copper L\nfittings = none\n"           \
    "length = 10 ft\nsize = choose\n"
#define DRAW(flow) "[demand tower]\non = p\nflow = " flow "\n"
#define SITE(line) "[site]\n" line "\n"

static const struct {
    const char *site, *size;
    double cost; /* inches times feet, or by the prices */
} chosen[] = {
    { MAIN CHOOSE DRAW("200 gpm"), "4 in", 40 },
    { MAIN CHOOSE DRAW("200 gpm") SITE("sizes = stock"), "4 in", 40 },
    { MAIN CHOOSE DRAW("200 gpm") SITE("sizes = all"), "3-1/2 in", 35 },
    { MAIN CHOOSE DRAW("400 gpm"), "6 in", 60 },
    { MAIN CHOOSE DRAW("400 gpm") SITE("sizes = all"), "5 in", 50 },
    /* what has a price can be bought, and what has none cannot */
    { MAIN CHOOSE DRAW("200 gpm") "[prices c]\nmaterial = copper L\n"
                                  "3 in = 20\n3-1/2 in = 31\n4 in = 40\n",
      "3-1/2 in", 310 },
    { MAIN CHOOSE DRAW("200 gpm") "[prices c]\nmaterial = copper L\n"
                                  "3 in = 20\n4 in = 40\n",
      "4 in", 400 },
    { MAIN CHOOSE DRAW("200 gpm")
          SITE("sizes = all") "[prices c]\nmaterial = copper L\n"
                              "3 in = 20\n4 in = 40\n",
      "4 in", 400 },
};

START_TEST(stock_sizes_are_chosen)
{
    fc_site *site = site_of(chosen[_i].site);
    fc_size_result *r = sized(site, &by_peak);

    ck_assert(r->feasible);
    ck_assert_str_eq(r->pipes[0].size, chosen[_i].size);
    ck_assert(is_close(r->cost, chosen[_i].cost));
    fc_size_result_free(r);
    fc_site_free(site);
}
END_TEST

/* A pipe in place of a size that nobody stocks is read and stays where it is
 * large enough. */
START_TEST(what_is_in_place_stays)
{
    fc_site *site = site_of(
        "[source main]\nkind = fixed\npressure = 75 psi\n"
        "[pipe old]\nfrom = main\nmaterial = copper L\nfittings = none\n"
        "length = 10 ft\nsize = 3-1/2 in\n"
        "[pipe p]\nfrom = old\nmaterial = copper L\nfittings = none\n"
        "length = 10 ft\nsize = choose\n"
        "[fixture basin]\nkind = lavatory\non = p\n" DRAW("150 gpm"));
    fc_size_result *r = sized(site, &by_peak);

    ck_assert(r->feasible);
    ck_assert_uint_eq(r->n_pipes, 1);
    ck_assert_str_eq(r->pipes[0].name, "p");
    ck_assert_str_eq(r->pipes[0].size, "3 in");
    fc_size_result_free(r);
    fc_site_free(site);
}
END_TEST

/* ---- Pipes replaced ---------------------------------------------------- */

/* A closet draws 25 gpm at 35 psi (IPC 2018, Table 604.3).  With 75 gpm
 * beside, 300 ft of copper L lose by Hazen and Williams, 4.52 q^1.852 /
 * (C^1.852 d^4.871) psi/ft, with the C of 140 that is given 3.77 psi in 3 in
 * (bore 2.945 in), and with one of 130, the least of a pipe put in, 2.07 psi
 * in 3-1/2 in and 1.11 psi in 4 in. */
#define OLD(pressure)                                                         \
    "[source main]\nkind = fixed\npressure = " pressure "\n"                  \
    "[pipe p]\nfrom = main\nmaterial = copper L\nc = 140\nfittings = none\n"  \
    "length = 300 ft\nsize = 3 in\nvelocity limit = 20 ft/s\n"                \
    "[fixture wc]\nkind = water closet, flush valve\non = p\n"                \
    "fixture units = 0\n"                                                     \
    "[demand tower]\non = p\nflow = 75 gpm\n"

static const struct {
    const char *site, *size;
} replaced[] = {
    { OLD("37.5 psi"), "4 in" },
    { OLD("37.5 psi") SITE("sizes = all"), "3-1/2 in" },
    { OLD("37.5 psi") "[prices c]\nmaterial = copper L\n3-1/2 in = 31\n"
                      "4 in = 40\n",
      "3-1/2 in" },
};

START_TEST(stock_sizes_are_put_in)
{
    fc_site *site = site_of(replaced[_i].site);
    fc_remedies *all = NULL;

    ck_assert_int_eq(fc_remedies_find(site, &by_peak, &all, NULL), FC_OK);
    ck_assert_int_eq(all->works, FC_WILL_NOT_WORK);
    ck_assert_int_eq(all->remedies[0].lever, FC_REPLACE_PIPES);
    ck_assert_msg(all->remedies[0].works, "%s", all->remedies[0].text);
    ck_assert_uint_eq(all->remedies[0].n_pipes, 1);
    ck_assert_str_eq(all->remedies[0].pipes[0].size, replaced[_i].size);
    fc_remedies_free(all);
    fc_site_free(site);
}
END_TEST

TCase *
size_stock(void)
{
    TCase *tcase = tcase_create("stock");

    tcase_add_loop_test(tcase, stock_sizes_are_chosen, 0, COUNT(chosen));
    tcase_add_test(tcase, what_is_in_place_stays);
    tcase_add_loop_test(tcase, stock_sizes_are_put_in, 0, COUNT(replaced));
    return tcase;
}
