/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/change_texts.c -- sites made by calls, with odd texts, written.
 */
#include "unit/change_outcomes.h"
#include "generators/change_sites.h"
#include "unit/change_suite.h"
#include "variants/site_write.h"

static fc_site *
titled(const char *title)
{
    const fc_settings settings = { .title = title, .material = "copper L" };
    const fc_source source = { .name = "main",
                               .kind = FC_FIXED,
                               .pressure = fc_exactly(60.1234567 * PSI) };
    const fc_pipe pipe = { .name = "p",
                           .from = "main",
                           .size = fc_exactly(2.5 * INCH),
                           .length = fc_between(1 / 3.0, 2 / 3.0) };
    const fc_fixture fixture = { .name = "f", .on = "p", .kind = "lavatory" };
    fc_site *site = fc_site_new();

    ck_assert_int_eq(fc_site_set(site, &settings, NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_source(site, &source, NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_pipe(site, &pipe, NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_fixture(site, &fixture, NULL), FC_OK);
    ck_assert_int_eq(fc_site_finish(site, NULL), FC_OK);
    return site;
}

/* 2-1/2 in is 63.5 mm and a label in both systems; 35 mm is a metric tube. */
START_TEST(text_of_calls_in_si)
{
    const fc_settings settings = { .units = FC_SI,
                                   .material = "copper en 1057" };
    const fc_source source = { .name = "main",
                               .kind = FC_FIXED,
                               .pressure = fc_exactly(413e3) };
    const fc_pipe pipe = { .name = "p",
                           .from = "main",
                           .size = fc_exactly(0.035),
                           .length = fc_between(1.2, 3),
                           .rise = fc_exactly(-0.3048) };
    const fc_fixture fixture = { .name = "f", .on = "p", .kind = "lavatory" };
    const fc_usage usage = { .long_stay_share = fc_exactly(0.1) };
    const fc_tolerance tolerance = { .pressure = { true, true, 0.07 },
                                     .length = { true, false, 0.05 } };
    fc_site *site = fc_site_new(), *again;
    char *text;

    ck_assert_int_eq(fc_site_set(site, &settings, NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_source(site, &source, NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_pipe(site, &pipe, NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_fixture(site, &fixture, NULL), FC_OK);
    ck_assert_int_eq(fc_site_set_usage(site, &usage, NULL), FC_OK);
    ck_assert_int_eq(fc_site_set_tolerance(site, &tolerance, NULL), FC_OK);
    ck_assert_int_eq(fc_site_finish(site, NULL), FC_OK);
    text = written(site, NULL, 0, NULL);
    ck_assert_str_eq(text, "[site]\n"
                           "units = si\n"
                           "material = copper en 1057\n"
                           "\n"
                           "[source main]\n"
                           "kind = fixed\n"
                           "pressure = 413 kPa\n"
                           "\n"
                           "[pipe p]\n"
                           "from = main\n"
                           "size = 35 mm\n"
                           "length = 1.2..3 m\n"
                           "rise = -0.3048 m\n"
                           "\n"
                           "[fixture f]\n"
                           "on = p\n"
                           "kind = lavatory\n"
                           "\n"
                           "[usage]\n"
                           "long stay share = 0.1\n"
                           "\n"
                           "[tolerance]\n"
                           "pressure = 7%\n"
                           "length = 0.05 m\n"
                           "\n");
    free(text);
    again = read_written(site, NULL, 0);
    same_sites(again, site, &at_peak, LAST_PLACES);
    fc_site_free(again);
    fc_site_free(site);
}
END_TEST

START_TEST(text_of_calls)
{
    fc_site *site = titled("Invented");
    char *text = written(site, NULL, 0, "a\n\nb\tc\n");

    ck_assert_str_eq(text, "; a\n"
                           ";\n"
                           "; b c\n"
                           "\n"
                           "[site]\n"
                           "title = Invented\n"
                           "material = copper L\n"
                           "\n"
                           "[source main]\n"
                           "kind = fixed\n"
                           "pressure = 60.1234567 psi\n"
                           "\n"
                           "[pipe p]\n"
                           "from = main\n"
                           "size = 2-1/2 in\n"
                           "length = 0.33333333333333331.."
                           "0.66666666666666663 m\n"
                           "\n"
                           "[fixture f]\n"
                           "on = p\n"
                           "kind = lavatory\n"
                           "\n");
    free(text);
    fc_site_free(site);
}
END_TEST

static const char *const odd_titles[] = {
    "a; b",
    "; b",
    "a # b",
    "#",
    "a;b#c",
    "ends in \\",
    "[a] = b",
    "say \"hello\"",
    "a = b",
    "12'-6\" long",
    "\xc3\xa9t\xc3\xa9 \xe2\x82\xac",
    "a  b",
    "x ; y ends \\",
    "%s %d %n",
};

START_TEST(odd_title)
{
    fc_site *site = titled(odd_titles[_i]), *again, *changed;
    const struct fci_change change = { FCI_SITE, NULL, "title", odd_titles[_i],
                                       NULL };
    const struct fci_change plain = { FCI_SITE, NULL, "title", "Plain", NULL };
    const struct fci_change gone = { FCI_SITE, NULL, "title", NULL, NULL };

    again = read_written(site, NULL, 0);
    ck_assert_str_eq(fc_site_title(again), odd_titles[_i]);
    fc_site_free(again);
    fc_site_free(site);
    site = site_of(small_text);
    changed = changed_site(site, &change, 1);
    ck_assert_str_eq(fc_site_title(changed), odd_titles[_i]);
    again = read_written(site, &change, 1);
    ck_assert_str_eq(fc_site_title(again), odd_titles[_i]);
    fc_site_free(again);
    again = read_written(changed, &plain, 1); /* it stands in a comment */
    ck_assert_str_eq(fc_site_title(again), "Plain");
    fc_site_free(again);
    again = read_written(changed, &gone, 1);
    ck_assert_ptr_null(fc_site_title(again));
    fc_site_free(again);
    fc_site_free(changed);
    fc_site_free(site);
}
END_TEST

static const struct {
    const char *title, *message;
} unwritable[] = {
    { "\"quoted\"", "[site] title \"\"quoted\"\" holds a quote, which a site "
                    "file cannot hold\n" },
    { "5\" ; b", "[site] title \"5\" ; b\" holds a quote, which a site file "
                 "cannot hold\n" },
    { "{floor}", "[site] title holds {floor} outside a typical floor, which a "
                 "site file cannot hold\n" },
};

START_TEST(unwritable_title)
{
    fc_site *site = titled(unwritable[_i].title), *copy;
    fc_diagnostics *messages = fc_diagnostics_new();
    char *text = NULL;

    ck_assert_int_eq(fci_site_write_text(site, NULL, 0, NULL, &text, messages),
                     FC_EINPUT);
    ck_assert_str_eq(all_messages(messages), unwritable[_i].message);
    ck_assert_ptr_null(text);
    copy = changed_site(site, NULL, 0); /* which needs no text */
    ck_assert_str_eq(fc_site_title(copy), unwritable[_i].title);
    fc_site_free(copy);
    fc_diagnostics_free(messages);
    fc_site_free(site);
}
END_TEST

/* A nominal value off the middle: kept by changes, refused by the writer. */
START_TEST(off_the_middle)
{
    const struct fci_change change = { FCI_PIPE, "p", "size", "3 in", NULL };
    fc_site *site = titled("Invented"), *odd = fc_site_new(), *changed;
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_pipe pipe = *(const fc_pipe *)site->given[2];
    char *text = NULL;

    pipe.length.nominal = pipe.length.low;
    ck_assert_int_eq(fc_site_set(odd, site->given[0], NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_source(odd, site->given[1], NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_pipe(odd, &pipe, NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_fixture(odd, site->given[3], NULL), FC_OK);
    ck_assert_int_eq(fc_site_finish(odd, NULL), FC_OK);
    changed = changed_site(odd, &change, 1);
    ck_assert(changed->elements[1].pipe->length.nominal
              <= pipe.length.nominal);
    ck_assert_int_eq(fci_site_write_text(odd, NULL, 0, NULL, &text, messages),
                     FC_EINPUT);
    ck_assert_str_eq(all_messages(messages),
                     "[pipe p] length is a range whose nominal value is not "
                     "midway, which a site file cannot hold\n");
    fc_diagnostics_free(messages);
    fc_site_free(changed);
    fc_site_free(odd);
    fc_site_free(site);
}
END_TEST

/* Item after item: a list is written whole, or refused. */
START_TEST(long_lists)
{
    static fc_fitting fittings[200];
    fc_site *site = titled("Invented");
    fc_pipe pipe = *(const fc_pipe *)site->given[2];
    int whole = 0, refused = 0;

    for (size_t i = 0; i < COUNT(fittings); i++)
        fittings[i] = (fc_fitting){ 1 + (int)i % 2, "elbow 90" };
    pipe.fittings = fittings;
    for (pipe.n_fittings = 1; pipe.n_fittings <= COUNT(fittings);
         pipe.n_fittings++) {
        fc_site *listed = fc_site_new(), *again;
        fc_diagnostics *messages = fc_diagnostics_new();
        char *text = NULL;

        ck_assert_int_eq(fc_site_set(listed, site->given[0], NULL), FC_OK);
        ck_assert_int_eq(fc_site_add_source(listed, site->given[1], NULL),
                         FC_OK);
        ck_assert_int_eq(fc_site_add_pipe(listed, &pipe, NULL), FC_OK);
        ck_assert_int_eq(fc_site_add_fixture(listed, site->given[3], NULL),
                         FC_OK);
        ck_assert_int_eq(fc_site_finish(listed, NULL), FC_OK);
        if (fci_site_write_text(listed, NULL, 0, NULL, &text, messages)
            == FC_OK) {
            again = site_of(text);
            ck_assert_uint_eq(((const fc_pipe *)again->given[2])->n_fittings,
                              pipe.n_fittings);
            ck_assert_int_eq(refused, 0);
            fc_site_free(again);
            whole++;
        } else {
            ck_assert_str_eq(
                all_messages(messages),
                "[pipe p] fittings does not fit on a line of 1000 "
                "bytes\n");
            refused++;
        }
        free(text);
        fc_diagnostics_free(messages);
        fc_site_free(listed);
    }
    ck_assert_int_gt(whole, 50);
    ck_assert_int_gt(refused, 50);
    fc_site_free(site);
}
END_TEST

TCase *
change_texts(void)
{
    TCase *t = tcase_create("texts");

    tcase_add_test(t, text_of_calls);
    tcase_add_test(t, text_of_calls_in_si);
    tcase_add_loop_test(t, odd_title, 0, COUNT(odd_titles));
    tcase_add_loop_test(t, unwritable_title, 0, COUNT(unwritable));
    tcase_add_test(t, off_the_middle);
    tcase_add_test(t, long_lists);
    return t;
}
