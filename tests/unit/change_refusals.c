/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/change_refusals.c -- changes that are refused, with every
 * message. */
#include "unit/change_outcomes.h"
#include "generators/change_sites.h"
#include "unit/change_suite.h"
#include "variants/site_write.h"

#define PIPE_KEYS                                                             \
    "from, to, material, size, length, rise, elevation, fittings, "           \
    "condition, c, inside "                                                   \
    "diameter, velocity limit, gauge, pressure rating, arrester\n"

static const struct {
    struct fci_change changes[3];
    size_t n;
    const char *messages;
    const char
        *of_calls; /* where the site was made by calls; NULL: the same */
} refused[] = {
    { { { FCI_PIPE, "riser-0", "lenght", "2 in", NULL } },
      1,
      "[pipe riser-0] has no key \"lenght\"; did you mean \"length\"?\n",
      NULL },
    { { { FCI_PIPE, "riser-0", "lenght", NULL, NULL } },
      1,
      "[pipe riser-0] has no key \"lenght\"; did you mean \"length\"?\n",
      NULL },
    { { { FCI_PIPE, "riser-0", "size", "2", NULL } },
      1,
      "[pipe riser-0] size \"2\" has no unit; a nominal size is needed, such "
      "as 1-1/4 in or DN32\n",
      NULL },
    { { { FCI_PIPE, "riser-0", "size", "7 in", NULL } },
      1,
      "[pipe riser-0] size 7 in is not a size of copper L; one of 3/8 in, "
      "1/2 in, 5/8 in, 3/4 in, 1 in, 1-1/4 in, 1-1/2 in, 2 in, 2-1/2 in, "
      "3 in, 3-1/2 in, 4 in, 5 in, 6 in is expected\n",
      NULL },
    { { { FCI_PIPE, "riser-0", "length", "-4 ft", NULL } },
      1,
      "[pipe riser-0] length \"-4 ft\" is negative; a length of 0 or more is "
      "expected\n",
      "[pipe riser-0] length \"-1.22 m\" is negative; a length of 0 or more "
      "is "
      "expected\n" },
    { { { FCI_PIPE, "riser-0", "length", NULL, NULL } },
      1,
      "[pipe riser-0] lacks \"length\"; a length is needed\n",
      "[pipe riser-0] length is not given; a length is needed\n" },
    { { { FCI_PIPE, "riser-2", "from", "riser-7", NULL } },
      1,
      "[pipe riser-2] from \"riser-7\" is not in this file; a pipe or other "
      "element is expected\n",
      NULL },
    { { { FCI_PIPE, "riser-9", "size", "2 in", NULL } },
      1,
      "[pipe riser-9] lacks \"from\"; a name is needed\n"
      "[pipe riser-9] lacks \"length\"; a length is needed\n",
      NULL },
    { { { FCI_PIPE, "wc-1", "size", "2 in", NULL },
        { FCI_PIPE, "wc-1", "from", "main", NULL },
        { FCI_PIPE, "wc-1", "length", "2 ft", NULL } },
      3,
      "[pipe wc-1] has a name that [fixture wc-1] on line 17 has taken; each "
      "name is expected once\n",
      "[pipe wc-1] has a name that [fixture wc-1] has taken; each name is "
      "expected once\n" },
    { { { FCI_PIPE, "riser-0", "size", " \t", NULL } },
      1,
      "[pipe riser-0] size has no value; one is expected\n",
      NULL },
    { { { FCI_SITE, NULL, "title", "two\nlines", NULL } },
      1,
      "[site] title is not a line of text at byte 4; one line of UTF-8 is "
      "expected\n",
      NULL },
    { { { FCI_PUMP, NULL, "from", "main", NULL },
        { FCI_PUMP, NULL, "curve", "0 gpm 9 ft, 9 gpm 8 ft", NULL } },
      2,
      "[pump] has no name; a name is expected, such as [pump pump-1]\n",
      NULL },
    { { { FCI_USAGE, "x", "interval", "1 min", NULL } },
      1,
      "[usage x] has a name; [usage] is expected\n",
      NULL },
    { { { FCI_KINDS, "x", "interval", "1 min", NULL } },
      1,
      "a change has no kind of a part or no key; both are needed\n",
      NULL },
    { { { FCI_PIPE, "riser-0", "material", "coper L", NULL } },
      1,
      "[pipe riser-0] material \"coper L\" is not in the pipe tables; did "
      "you mean \"copper L\"?\n",
      NULL },
    /* A part that is not changed itself has its line. */
    { { { FCI_SITE, NULL, "material", NULL, NULL },
        { FCI_PIPE, "riser-0", "material", "copper L", NULL },
        { FCI_PIPE, "riser-1", "material", "copper L", NULL } },
      3,
      "test.ini:11: [pipe riser-2] lacks \"material\"; a material is needed "
      "here "
      "or in [site], or both c and inside diameter\n"
      "test.ini:11: [pipe riser-3] lacks \"material\"; a material is needed "
      "here "
      "or in [site], or both c and inside diameter\n",
      "[pipe riser-2] lacks \"material\"; a material is needed here or in "
      "[site], or both c and inside diameter\n"
      "[pipe riser-3] lacks \"material\"; a material is needed here or in "
      "[site], or both c and inside diameter\n" },
    { { { FCI_PIPE, "riser-{floor}", "length", "9 ft", NULL } },
      1,
      "[pipe riser-{floor}] lacks \"floors\"; a name with {floor} needs it, "
      "such as 2..12\n",
      NULL },
    { { { FCI_PIPE, "riser-1", "floors", "1..3", NULL } },
      1,
      "[pipe riser-1] floors is given without {floor} in the name; a name "
      "such as riser-1-{floor} is expected\n",
      NULL },
    { { { FCI_PIPE, "riser-0", LONG_TEXT, "1", NULL } },
      1,
      "[pipe riser-0] has no key "
      "\"012345678901234567890123456789012345678901234567890123456789\"; its "
      "keys are " PIPE_KEYS,
      NULL },
};

static void
refuse(const fc_site *site, int i, const char *expected)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_site *changed = NULL;
    char *text = NULL;

    ck_assert_int_eq(fci_site_changed(site, refused[i].changes, refused[i].n,
                                      &changed, messages),
                     FC_EINPUT);
    ck_assert_ptr_null(changed);
    ck_assert_str_eq(all_messages(messages), expected);
    fc_diagnostics_free(messages);
    messages = fc_diagnostics_new();
    ck_assert_int_eq(fci_site_write_text(site, refused[i].changes,
                                         refused[i].n, NULL, &text, messages),
                     FC_EINPUT);
    ck_assert_ptr_null(text);
    ck_assert_str_eq(all_messages(messages), expected);
    fc_diagnostics_free(messages);
}

START_TEST(a_refusal)
{
    fc_site *site = site_of(small_text), *called = called_twin(site);
    fc_site *copy = changed_site(site, NULL, 0);
    fc_site *untouched = site_of(small_text);

    refuse(site, _i, refused[_i].messages);
    fc_site_free(site);
    site = copy; /* it has the lines of the file too */
    refuse(site, _i, refused[_i].messages);
    refuse(called, _i,
           refused[_i].of_calls ? refused[_i].of_calls : refused[_i].messages);
    same_sites(site, untouched, &at_peak, 0);
    same_sites(called, untouched, &at_peak, 0);
    fc_site_free(untouched);
    fc_site_free(called);
    fc_site_free(site);
}
END_TEST

START_TEST(unfinished)
{
    fc_site *site = fc_site_new(), *changed = NULL;
    char *text = NULL;

    ck_assert_int_eq(fci_site_changed(site, NULL, 0, &changed, NULL),
                     FC_ESTATE);
    ck_assert_int_eq(fci_site_write_text(site, NULL, 0, NULL, &text, NULL),
                     FC_ESTATE);
    ck_assert(!changed && !text);
    fc_site_free(site);
}
END_TEST

static const char *const bad_headings[] = {
    "a\x1b",
    "a\n\xff",
    "a\xc2\x80",
};

START_TEST(bad_heading)
{
    fc_site *site = site_of(small_text);
    fc_diagnostics *messages = fc_diagnostics_new();
    char heading[1200], *text = NULL;

    if (_i < COUNT(bad_headings)) {
        strcpy(heading, bad_headings[_i]);
    } else {
        memset(heading, 'h', 999);
        heading[999] = '\0';
    }
    ck_assert_int_eq(
        fci_site_write_text(site, NULL, 0, heading, &text, messages),
        FC_EINPUT);
    ck_assert_str_eq(all_messages(messages),
                     "the heading has a line of more than 998 bytes or one "
                     "that is no text; lines of UTF-8 are expected\n");
    ck_assert_ptr_null(text);
    fc_diagnostics_free(messages);
    heading[998] = '\0';
    if (_i == COUNT(bad_headings)) { /* just fits */
        text = written(site, NULL, 0, heading);
        ck_assert_int_eq(strncmp(text, "; hhh", 5), 0);
        free(text);
    }
    fc_site_free(site);
}
END_TEST

TCase *
change_refusals(void)
{
    TCase *t = tcase_create("refusals");

    tcase_add_loop_test(t, a_refusal, 0, COUNT(refused));
    tcase_add_loop_test(t, bad_heading, 0, COUNT(bad_headings) + 1);
    tcase_add_test(t, unfinished);
    return t;
}
