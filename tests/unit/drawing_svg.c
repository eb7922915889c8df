/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/drawing_svg.c -- texts and figures as a drawing holds them. */
#include "unit/drawing_suite.h"
#include "drawing/svg.h"

#include <libxml/parser.h>
#include <locale.h>

/* ---- Shortening ------------------------------------------------------- */

START_TEST(short_enough_stays)
{
    const struct fci_short made = fci_svg_shorten("riser-1", 200);

    ck_assert_str_eq(made.text, "riser-1");
    ck_assert(!made.cut);
}
END_TEST

/* At 12 px an "m" is reckoned at 0.98 of it, 11.76 px (DejaVu Sans has 0.974),
 * and the dots, as all that is no letter, at 1.1, 13.2 px (it has 1.0).  61 px
 * hold four and the dots, 60.24, and no fifth. */
START_TEST(too_long_is_cut)
{
    const struct fci_short made = fci_svg_shorten("mmmmmmmmmm", 61);

    ck_assert(made.cut);
    ck_assert_str_eq(made.text, "mmmm\xe2\x80\xa6");
    ck_assert_double_le(fci_svg_width(made.text), 61);
}
END_TEST

static const struct {
    const char *text, *want;
} odd[] = {
    /* controls and broken UTF-8 leave a mark, what turns the direction or is
     * not seen leaves none */
    { "a\x07z", "a\xef\xbf\xbdz" },
    { "a\xffz", "a\xef\xbf\xbdz" },
    { "a\xe2\x80\xaez", "az" }, /* right-to-left override */
    { "a\xe2\x81\xa6z", "az" }, /* left-to-right isolate */
    { "a\xe2\x80\x8bz", "az" }, /* zero-width space */
    { "a\tb\nc", "a b c" },
    { "\xd7\x90\xd7\x91", "\xd7\x90\xd7\x91" }, /* Hebrew stays */
    { "<&\">", "<&\">" },
    { "\xef\xbf\xbf", "\xef\xbf\xbd" }, /* no character of XML */
};

START_TEST(odd_text)
{
    ck_assert_str_eq(fci_svg_shorten(odd[_i].text, 500).text, odd[_i].want);
}
END_TEST

/* ---- A document ------------------------------------------------------- */

static bool
label(xmlTextWriterPtr out, void *context)
{
    struct fci_svg svg;

    fci_svg_begin(&svg, out, "drawing", 100.125, 50);
    fci_svg_title(&svg, "<title> & \"more\"", context);
    fci_svg_label(&svg, FCI_START, 1.5, -2.25, 80, context);
    return fci_svg_end(&svg);
}

/* Whatever the name, the document is sound, and has all of it. */
START_TEST(hostile_name)
{
    static char name[4001];
    const char *piece =
        "</text><script>x</script>&\"'\x01\xe2\x80\xae\xc3\x28";
    char *text;
    xmlDocPtr doc;
    size_t i;

    for (i = 0; i < 4000; i++)
        name[i] = piece[i % strlen(piece)];
    text = drawn_text(label, name);
    doc = xmlReadMemory(text, (int)strlen(text), "drawing", NULL,
                        XML_PARSE_NONET);
    ck_assert_ptr_nonnull(doc);
    xmlFreeDoc(doc);
    ck_assert_ptr_null(strstr(text, "<script"));
    ck_assert_ptr_null(strstr(text, "\xe2\x80\xae"));
    /* shortened, with all of it in a <title> of its own */
    ck_assert_ptr_nonnull(strstr(text, "\xe2\x80\xa6<title>"));
    ck_assert_uint_gt(strlen(text), 2 * 4000);
    xmlFree(text);
}
END_TEST

START_TEST(figures)
{
    char *text = drawn_text(label, "riser");

    ck_assert_ptr_nonnull(strstr(text, "viewBox=\"0 0 100.13 50\""));
    ck_assert_ptr_nonnull(strstr(text, "x=\"1.5\" y=\"-2.25\""));
    ck_assert_ptr_nonnull(strstr(text, "role=\"img\""));
    ck_assert_ptr_nonnull(
        strstr(text, "<title>&lt;title&gt; &amp; &quot;more&quot;</title>"));
    ck_assert_ptr_null(strstr(text, " id="));
    xmlFree(text);
}
END_TEST

TCase *
drawing_svg_tests(void)
{
    TCase *t = tcase_create("svg");

    tcase_add_test(t, short_enough_stays);
    tcase_add_test(t, too_long_is_cut);
    tcase_add_loop_test(t, odd_text, 0, COUNT(odd));
    tcase_add_test(t, hostile_name);
    tcase_add_test(t, figures);
    return t;
}
