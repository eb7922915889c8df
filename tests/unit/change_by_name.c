/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/change_by_name.c -- a site copied, changed and read back by the
 * public calls. */
#include "generators/sites.h"
#include "unit/change_outcomes.h"
#include "unit/change_suite.h"

#include <stdlib.h>
#include <string.h>

#define ABOVE                                                                 \
    "[site]\nmaterial = copper L\ncondition = new\n"                          \
    "[source street]\nkind = street main\n"
#define BELOW                                                                 \
    "residual = 55 psi\nresidual flow = 300 gpm\n"                            \
    "[pipe riser-0]\nfrom = street\nsize = 2 in\nlength = 40..55 ft\n"        \
    "fittings = 2 elbow 90\n"                                                 \
    "[pipe riser-{floor}]\nfloors = 1..3\nfrom = riser-{floor-1}\n"           \
    "size = 2 in\nlength = 12 ft\nrise = 12 ft\n"                             \
    "[fixture wc-{floor}]\nfloors = 1..3\non = riser-{floor}\n"               \
    "kind = water closet, flush valve\ncount = 4\nretrofit = closet-dual\n"   \
    "[valve closet-dual]\nminimum flowing = 25 psi\nflow = 25 gpm at 35 "     \
    "psi\n"

static const char as_it_is[] =
    ABOVE "static = 66 psi\n" BELOW "full flush = 1.28 gal\n";

static fc_site *
copy_of(const fc_site *site)
{
    fc_site *copy = NULL;

    ck_assert_int_eq(fc_site_copy(site, &copy, NULL), FC_OK);
    return copy;
}

/* Each the same as in a file that was written so. */
static const struct {
    const char *name, *key, *value, *as_written;
} changes[] = {
    { "street", "static", "76 psi",
      ABOVE "static = 76 psi\n" BELOW "full flush = 1.28 gal\n" },
    { "source street", "Static", " 524 kPa ",
      ABOVE "static = 524 kPa\n" BELOW "full flush = 1.28 gal\n" },
    { "valve closet-dual", "full flush", "1.6 gal",
      ABOVE "static = 66 psi\n" BELOW "full flush = 1.6 gal\n" },
    { "valve closet-dual", "full flush", NULL,
      ABOVE "static = 66 psi\n" BELOW },
    { "site", "reserve", "2 psi",
      "[site]\nreserve = 2 psi\nmaterial = copper L\ncondition = new\n"
      "[source street]\nkind = street main\nstatic = 66 psi\n" BELOW
      "full flush = 1.28 gal\n" },
    { "usage", "interval", "2 min",
      ABOVE "static = 66 psi\n" BELOW
            "full flush = 1.28 gal\n[usage]\ninterval = 2 min\n" },
};

START_TEST(as_a_file_with_it)
{
    fc_site *site = site_of(as_it_is), *untouched = site_of(as_it_is);
    fc_site *written = site_of(changes[_i].as_written);
    fc_site *copy = copy_of(site);

    ck_assert_int_eq(fc_site_change(copy, changes[_i].name, changes[_i].key,
                                    changes[_i].value, NULL),
                     FC_OK);
    ck_assert_int_eq(fc_site_finish(copy, NULL), FC_OK);
    same_sites(copy, written, &drawn, 0);
    same_sites(site, untouched, &drawn, 0);
    fc_site_free(site); /* the copy borrows nothing from it */
    same_sites(copy, written, &at_peak, 0);
    fc_site_free(copy);
    fc_site_free(written);
    fc_site_free(untouched);
}
END_TEST

static const struct {
    const char *name, *key, *value;
    fc_status status;
    const char *message;
} refusals[] = {
    { "stret", "static", "76 psi", FC_EUNKNOWN,
      "\"stret\" is not a part of the site; did you mean \"street\"?\n" },
    { "valve nothing-like-it", "flow", "1 gpm", FC_EUNKNOWN,
      "\"valve nothing-like-it\" is not a part of the site; the name of an "
      "element or a fixture is expected, or a kind and a name, such as valve "
      "closet\n" },
    { "pipe wc-1", "size", "2 in", FC_EUNKNOWN, NULL },
    { "street", "statik", "76 psi", FC_EINPUT,
      "[source street] has no key \"statik\"; did you mean \"static\"?\n" },
    { "street", "static", "76 ft", FC_EINPUT, NULL },
    { "street", "static", "", FC_EINPUT,
      "[source street] static has no value; one is expected\n" },
};

START_TEST(refused)
{
    fc_site *site = site_of(as_it_is), *copy = copy_of(site);
    fc_diagnostics *messages = fc_diagnostics_new();

    ck_assert_int_eq(fc_site_change(copy, refusals[_i].name, refusals[_i].key,
                                    refusals[_i].value, messages),
                     refusals[_i].status);
    if (refusals[_i].message)
        ck_assert_str_eq(all_messages(messages), refusals[_i].message);
    ck_assert_uint_eq(fc_diagnostics_count(messages), 1);
    if (refusals[_i].status == FC_EINPUT)
        ck_assert_int_eq(fc_site_finish(copy, NULL), FC_EINPUT);
    fc_diagnostics_free(messages);
    fc_site_free(copy);
    fc_site_free(site);
}
END_TEST

/* What the part must be is said when the site is finished. */
START_TEST(refused_when_finished)
{
    fc_site *site = site_of(as_it_is), *copy = copy_of(site);
    fc_diagnostics *messages = fc_diagnostics_new();

    ck_assert_int_eq(fc_site_change(copy, "riser-2", "length", NULL, NULL),
                     FC_OK);
    ck_assert_int_eq(fc_site_finish(copy, messages), FC_EINPUT);
    ck_assert_str_eq(all_messages(messages),
                     "[pipe riser-2] lacks \"length\"; a length is needed\n");
    ck_assert_int_eq(fc_site_change(site, "street", "static", "9 psi", NULL),
                     FC_ESTATE);
    fc_diagnostics_free(messages);
    fc_site_free(copy);
    fc_site_free(site);
}
END_TEST

static void
expect_value(const fc_site *site, const char *name, const char *key,
             const char *expected)
{
    char *value = NULL;

    ck_assert_int_eq(fc_site_value(site, name, key, &value, NULL), FC_OK);
    if (expected)
        ck_assert_str_eq(value, expected);
    else
        ck_assert_ptr_null(value);
    free(value);
}

START_TEST(read_back)
{
    fc_site *site = site_of(as_it_is), *copy = copy_of(site);
    char *value = NULL;

    expect_value(site, "street", "static", "66 psi");
    expect_value(site, "riser-0", "length", "40..55 ft");
    expect_value(site, "riser-0", "fittings", "2 elbow 90");
    expect_value(site, "riser-3", "from", "riser-2");
    expect_value(site, "valve closet-dual", "flow", "25 gpm at 35 psi");
    expect_value(site, "site", "material", "copper L");
    expect_value(site, "site", "title", NULL);
    expect_value(site, "usage", "interval", NULL);
    ck_assert_int_eq(fc_site_value(site, "nothing", "on", &value, NULL),
                     FC_EUNKNOWN);
    ck_assert_int_eq(fc_site_change(copy, "street", "static", "76 psi", NULL),
                     FC_OK);
    expect_value(copy, "street", "static", "76 psi");
    expect_value(site, "street", "static", "66 psi");
    fc_site_free(copy);
    fc_site_free(site);
}
END_TEST

START_TEST(listed)
{
    static const struct {
        const char *kind, *name, *from;
        bool typical;
    } expected[] = {
        { "site", "", NULL, false },
        { "source", "street", NULL, false },
        { "pipe", "riser-0", "street", false },
        { "pipe", "riser-1", "riser-0", true },
        { "pipe", "riser-2", "riser-1", true },
        { "pipe", "riser-3", "riser-2", true },
        { "fixture", "wc-1", "riser-1", true },
        { "fixture", "wc-2", "riser-2", true },
        { "fixture", "wc-3", "riser-3", true },
        { "valve", "closet-dual", NULL, false },
    };
    fc_site *site = site_of(as_it_is);
    size_t i;

    ck_assert_uint_eq(fc_site_count(site), COUNT(expected));
    for (i = 0; i < COUNT(expected); i++) {
        const fc_site_part part = fc_site_part_at(site, i);

        ck_assert_str_eq(part.kind, expected[i].kind);
        ck_assert_str_eq(part.name, expected[i].name);
        ck_assert_pstr_eq(part.from, expected[i].from);
        ck_assert(part.typical == expected[i].typical);
    }
    fc_site_free(site);
}
END_TEST

TCase *
change_by_name(void)
{
    TCase *t = tcase_create("by name");

    tcase_add_loop_test(t, as_a_file_with_it, 0, COUNT(changes));
    tcase_add_loop_test(t, refused, 0, COUNT(refusals));
    tcase_add_test(t, refused_when_finished);
    tcase_add_test(t, read_back);
    tcase_add_test(t, listed);
    return t;
}
