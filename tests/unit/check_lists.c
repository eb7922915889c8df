/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_lists.c -- lists of fixtures in which a name stands for
 * several. */
#include "generators/sites.h"
#include "site/site.h"

#define BUILDING                                                              \
    "[source main]\nkind = fixed\npressure = 60 psi\n"                        \
    "[fixture wc-1-a]\non = main\nkind = water closet, flush valve\n"         \
    "count = 3\n"                                                             \
    "[fixture lav-1]\non = main\nkind = lavatory\n"                           \
    "[fixture WC-2]\non = main\nkind = water closet, flush valve\n"           \
    "[fixture lav-2]\non = main\nkind = lavatory\n"                           \
    "[device wc-filter]\nfrom = main\nloss = 1 psi\n"

static const struct {
    const char *list;
    const char *names; /* each with its count, as they come in the file */
} lists[] = {
    { "*", "0 wc-1-a 0 lav-1 0 WC-2 0 lav-2 " },
    { "wc-*", "0 wc-1-a 0 WC-2 " }, /* no filter flushes */
    { "*-2, 2 of wc-1-a", "0 WC-2 0 lav-2 2 wc-1-a " },
    { "wc-1-*", "0 wc-1-a " },
    { "lav-1, wc*a", "0 lav-1 0 wc-1-a " },
    { "lav-1", "0 lav-1 " },
};

static const void *
part_of(const fc_site *site, enum fci_kind kind, const char *name)
{
    const struct fci_part *part = fci_site_find(site, kind, name);

    ck_assert_ptr_nonnull(part);
    return part->data;
}

static const char *
listed(const fc_flushing *list, size_t n)
{
    static char text[256];
    size_t i, used = 0;

    text[0] = '\0';
    for (i = 0; i < n; i++)
        used += (size_t)snprintf(text + used, sizeof text - used, "%d %s ",
                                 list[i].count, list[i].fixture);
    return text;
}

/* In a finished site the fixtures stand in the list, and what was written
 * stays what its key is. */
START_TEST(flushing)
{
    char text[1024], *value = NULL;
    fc_site *site, *copy = NULL;
    const fc_reading *reading;
    const fc_claim *claim;

    snprintf(text, sizeof text,
             BUILDING "[reading r]\nat = main\npressure = 50 psi\n"
                      "open = %s\n"
                      "[claim c]\nfixture = wc-2\nflowing = 20 psi\n"
                      "while = %s\n",
             lists[_i].list, lists[_i].list);
    site = site_of(text);
    reading = part_of(site, FCI_READING, "r");
    ck_assert_str_eq(listed(reading->flushing, reading->n_flushing),
                     lists[_i].names);
    claim = part_of(site, FCI_CLAIM, "c");
    ck_assert_str_eq(listed(claim->flushing, claim->n_flushing),
                     lists[_i].names);
    ck_assert_int_eq(fc_site_value(site, "claim c", "while", &value, NULL),
                     FC_OK);
    ck_assert_str_eq(value, lists[_i].list);
    free(value);
    /* the copy finds them anew */
    ck_assert_int_eq(fc_site_copy(site, &copy, NULL), FC_OK);
    fc_site_free(site);
    ck_assert_int_eq(fc_site_finish(copy, NULL), FC_OK);
    reading = part_of(copy, FCI_READING, "r");
    ck_assert_str_eq(listed(reading->flushing, reading->n_flushing),
                     lists[_i].names);
    fc_site_free(copy);
}
END_TEST

START_TEST(serves)
{
    fc_site *site = site_of(BUILDING "[heater h]\non = main\n"
                                     "serves = lav-1, *av-2\n");
    const fc_heater *heater = part_of(site, FCI_HEATER, "h");
    size_t i;

    ck_assert_uint_eq(heater->n_serves, 2);
    ck_assert_str_eq(heater->serves[0], "lav-1");
    ck_assert_str_eq(heater->serves[1], "lav-2");
    for (i = 0; i < site->n_fixtures; i++)
        ck_assert_int_eq(site->fixtures[i].heater != FCI_NONE, i % 2 == 1);
    fc_site_free(site);
}
END_TEST

/* What the calls give is a list as well. */
START_TEST(by_calls)
{
    static const fc_flushing open[] = { { .fixture = "w*" } };
    const fc_source source = { .name = "main",
                               .kind = FC_FIXED,
                               .pressure = fc_exactly(400e3) };
    const fc_fixture closet = { .name = "wc",
                                .on = "main",
                                .kind = "water closet, flush valve" };
    const fc_reading reading = { .name = "r",
                                 .at = "main",
                                 .pressure = fc_exactly(300e3),
                                 .flushing = open,
                                 .n_flushing = 1 };
    fc_site *site = fc_site_new();
    const fc_reading *found;

    ck_assert_ptr_nonnull(site);
    ck_assert_int_eq(fc_site_add_reading(site, &reading, NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_source(site, &source, NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_fixture(site, &closet, NULL), FC_OK);
    ck_assert_int_eq(fc_site_finish(site, NULL), FC_OK);
    found = part_of(site, FCI_READING, "r");
    ck_assert_str_eq(listed(found->flushing, found->n_flushing), "0 wc ");
    fc_site_free(site);
}
END_TEST

/* Ten million names are looked at for the patterns of a file, and then it is
 * told that they are too many: 6,001 parts go into it 1,666 times. */
START_TEST(too_many)
{
    enum { FIXTURES = 3000, HEATERS = 3000 };
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_site *site = NULL;
    char *text = NULL;
    size_t length;
    FILE *out = open_memstream(&text, &length);
    int i;

    ck_assert_ptr_nonnull(out);
    fputs("[source main]\nkind = fixed\npressure = 60 psi\n", out);
    for (i = 0; i < FIXTURES; i++)
        fprintf(out, "[fixture lav-%d]\non = main\nkind = lavatory\n", i);
    for (i = 0; i < HEATERS; i++)
        fprintf(out, "[heater h-%d]\non = main\nserves = *-%d\n", i, i);
    ck_assert_int_eq(fclose(out), 0);
    ck_assert_int_eq(
        fc_site_read_text(text, length, "test.ini", &site, messages),
        FC_EINPUT);
    ck_assert_str_eq(all_messages(messages),
                     "test.ini:14004: [heater h-1666] serves \"*-1666\" is "
                     "one \"*\" too many for a file of this size; names are "
                     "expected\n");
    free(text);
    fc_diagnostics_free(messages);
}
END_TEST

static Suite *
lists_suite(void)
{
    Suite *suite = suite_create("lists");
    TCase *t = tcase_create("lists");

    tcase_add_loop_test(t, flushing, 0, COUNT(lists));
    tcase_add_test(t, serves);
    tcase_add_test(t, by_calls);
    tcase_add_test(t, too_many);
    suite_add_tcase(suite, t);
    return suite;
}

int
main(void)
{
    return run_suite(lists_suite());
}
