/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/change_rewritten.c -- a site file that is written anew reads as
 * the same building, to the last bit of its report: one with blocks of typical
 * floors that have one name, lists with a star and named floors.
 */
#include "generators/change_sites.h"
#include "unit/change_outcomes.h"
#include "unit/change_suite.h"
#include "unit/report_data.h"

static const char blocks[] =
    "[site]\nmaterial = copper L\n"
    "[floors]\nbasement = -8 ft\n1 = 0 ft\n2 = 13..14 ft\n3 = 26 ft\n"
    "4 = 37 ft\nroof = 50 ft\n"
    "[source main]\nkind = street main\nstatic = 70..75 psi\n"
    "residual = 60 psi\nresidual flow = 300 gpm\n"
    "[pipe riser-0]\nfrom = main\nsize = 3 in\nlength = 20 ft\n"
    "fittings = none\nelevation = floor basement + 2 ft\n"
    "[pipe riser-{floor}]\nfloors = 1..2\nfrom = riser-{floor-1}\n"
    "size = 3 in\nlength = 16 ft\nelevation = floor {floor}\n"
    "[pipe riser-{floor}]\nfloors = 3..4\nfrom = riser-{floor-1}\n"
    "size = 2 in\nlength = 16 ft\nelevation = floor {floor} + 6 in\n"
    "[fixture wc-{floor}]\nfloors = 1..2\non = riser-{floor}\n"
    "kind = water closet, flush valve\ncount = 3\n"
    "elevation = floor {floor} + 20..26 in\n"
    "retrofit = siphonic closet 1.28 gal\n"
    "[fixture wc-{floor}]\nfloors = 3..4\non = riser-{floor}\n"
    "kind = water closet, flush valve\n"
    "[fixture lav-{floor}]\nfloors = 1..4\non = riser-{floor}\n"
    "kind = lavatory\n"
    "[heater h]\non = riser-0\nserves = lav-*\n"
    "[reading r]\nat = riser-2\npressure = 30 psi\nflushing = wc-*\n"
    "[claim c]\nfixture = wc-1\nflowing = 25 psi\n"
    "while = wc-1, *av-4, lav*1\n";

static const struct {
    struct fci_change changes[3];
    size_t n;
} changed[] = {
    { .n = 0 },
    { { { FCI_PIPE, "riser-3", "size", "2-1/2 in", NULL } }, 1 },
    { { { FCI_PIPE, "riser-1", "size", "4 in", NULL },
        { FCI_PIPE, "riser-4", "length", "17.3..19 ft", NULL },
        { FCI_FIXTURE, "wc-2", "count", "7", NULL } },
      3 },
    { { { FCI_FIXTURE, "wc-3", "retrofit", "siphonic closet 1.6 gal", NULL },
        { FCI_FIXTURE, "lav-4", "elevation", "41 ft", NULL } },
      2 },
    { { { FCI_HEATER, "h", "on", "riser-1", NULL },
        { FCI_CLAIM, "c", "flowing", "31 psi", NULL } },
      2 },
};

static const char *const set_over[] = {
    "site.reserve = 1 psi",
    "riser-{floor}.size = 2-1/2 in",
    "riser-{floor}.condition = aged; riser-3.size = 3 in",
    "floors.2 = 12.7 ft",
    "floors.roof = 61 ft; floors.3 = 26..27 ft",
    "wc-{floor}.count = 2; wc-4.count = 5",
    "heater h.serves = lav-1, lav-3",
    "claim c.while = wc-*",
    "reading r.flushing = *wc-3, 1 of wc-2",
    "without = lav-2, lav-3",
};

static const fc_check_options few = { .threads = 1, .most_states = 200 };

static json_t *
data_of(const fc_site *site)
{
    static const char *const own[] = { "set", "digest", NULL };
    fc_check_result *result = NULL;
    fc_report *report = NULL;
    json_t *data;

    ck_assert_int_eq(fc_check_with(site, &few, &result, NULL), FC_OK);
    ck_assert_int_eq(fc_report_check(site, result, NULL, &report), FC_OK);
    data = report_data(report);
    fc_check_result_free(result);
    drop_keys(data, own);
    return data;
}

/* Parts too that no check tells, such as a claim, are the same. */
static void
same_buildings(const fc_site *site, const char *text)
{
    fc_site *again = site_of(text);
    json_t *one = data_of(site), *other = data_of(again);

    same_data(one, other, "written", text);
    same_sites(site, again, &at_peak, 0);
    json_decref(one);
    json_decref(other);
    fc_site_free(again);
}

START_TEST(of_changes)
{
    const struct fci_change *changes = changed[_i].changes;
    const size_t n = changed[_i].n;
    fc_site *site = site_of(blocks), *other = changed_site(site, changes, n);
    char *text = written(site, changes, n, "Sizes chosen."), *again;

    same_buildings(other, text);
    free(text);
    again = written(other, NULL, 0, NULL);
    same_buildings(other, again);
    free(again);
    fc_site_free(other);
    fc_site_free(site);
}
END_TEST

START_TEST(of_what_is_set)
{
    const char *const settings[] = { set_over[_i] };
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_site *site = NULL;
    char *text;

    ck_assert_msg(fc_site_read_text_with(blocks, strlen(blocks), "test.ini",
                                         settings, 1, &site, messages)
                      == FC_OK,
                  "%s", all_messages(messages));
    text = written(site, NULL, 0, NULL);
    same_buildings(site, text);
    free(text);
    fc_diagnostics_free(messages);
    fc_site_free(site);
}
END_TEST

TCase *
change_rewritten(void)
{
    TCase *t = tcase_create("rewritten");

    tcase_add_loop_test(t, of_changes, 0, COUNT(changed));
    tcase_add_loop_test(t, of_what_is_set, 0, COUNT(set_over));
    return t;
}
