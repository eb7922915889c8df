/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_drawing_memory.c -- drawings while memory runs out: false,
 * or whole, and nothing left behind. */
#include "drawing/drawings.h"
#include "generators/sites.h"
#include "unit/allocation.h"

#include <libxml/xmlerror.h>

#define SITE                                                                  \
    "[site]\nmaterial = copper L\n[source main]\nkind = street main\n"        \
    "static = 60 psi\nresidual = 50 psi\nresidual flow = 100 gpm\n"           \
    "[meter m]\nfrom = main\nloss = 3 psi at 50 gpm\n"                        \
    "[pipe a]\nfrom = m\nsize = 2 in\nlength = 20 ft\nrise = 15 ft\n"         \
    "[pipe b]\nfrom = a\nsize = 2 in\nlength = 20 ft\nrise = -6 ft\n"         \
    "[pipe c]\nfrom = a\nsize = 2 in\nlength = 20 ft\n"                       \
    "[fixture wc]\non = b\nkind = water closet, flush valve\n"                \
    "[fixture lav]\non = c\nkind = lavatory\n"

/* The writer of libxml2 2.9 loses an element, its entry and its name, when the
 * list that it puts it on cannot grow.  Whatever the drawings themselves take
 * is more at a time. */
#define LOST_BY_WRITER 100

static fc_site *site;
static fc_check_result *result;
static fc_path *paths[FC_STATES];

static bool
draw_all(xmlTextWriterPtr out)
{
    return fci_draw_riser(out, site, result, NULL)
           && fci_draw_supply(out, site, result)
           && fci_draw_profile(out, site, result,
                               (const fc_path *const *)paths);
}

/* Longer than all of it, so that a whole one is told. */
static size_t
length_drawn(bool *done)
{
    xmlBufferPtr buffer = xmlBufferCreate();
    xmlTextWriterPtr out = buffer ? xmlNewTextWriterMemory(buffer, 0) : NULL;
    size_t length = 0;

    *done = out && xmlTextWriterStartElement(out, BAD_CAST "page") >= 0
            && draw_all(out) && xmlTextWriterEndElement(out) >= 0
            && xmlTextWriterFlush(out) >= 0;
    if (out)
        xmlFreeTextWriter(out);
    if (buffer)
        length = (size_t)xmlBufferLength(buffer);
    xmlBufferFree(buffer);
    return length;
}

static void
say_nothing(void *context, const char *format, ...)
{
    (void)context;
    (void)format;
}

START_TEST(runs_out)
{
    bool done, failed;
    size_t n, whole, before, length;

    site = site_of(SITE);
    ck_assert_int_eq(fc_check(site, &result, NULL), FC_OK);
    ck_assert_int_eq(
        fc_path_find(site, "wc", FC_EXISTING, &paths[FC_EXISTING], NULL),
        FC_OK);
    xmlSetGenericErrorFunc(NULL, say_nothing);
    whole = length_drawn(&done);
    ck_assert(done);
    for (n = 1, failed = true; failed; n++) {
        before = allocation_bytes();
        allocation_fail_from(n);
        length = length_drawn(&done);
        allocation_fail_never();
        xmlResetLastError();
        ck_assert_uint_le(allocation_bytes(), before + LOST_BY_WRITER);
        ck_assert(!done || length == whole);
        ck_assert_uint_lt(n, 100000);
        failed = !done;
    }
    ck_assert_uint_gt(n, 20);
    fc_path_free(paths[FC_EXISTING]);
    fc_check_result_free(result);
    fc_site_free(site);
    xmlCleanupParser();
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("drawing memory");
    TCase *t = tcase_create("runs out");

    tcase_add_test(t, runs_out);
    suite_add_tcase(suite, t);
    return run_suite_unforked(suite);
}
