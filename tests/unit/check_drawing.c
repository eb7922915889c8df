/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_drawing.c -- the drawings of a page. */
#include "unit/drawing_suite.h"
#include "generators/buildings.h"

char *
drawn_text(draw_work *work, void *context)
{
    xmlBufferPtr buffer = xmlBufferCreate();
    xmlTextWriterPtr out = xmlNewTextWriterMemory(buffer, 0);
    char *text;

    ck_assert_ptr_nonnull(out);
    /* a riser may be several, so that they need something around them */
    ck_assert_int_ge(xmlTextWriterStartElement(out, BAD_CAST "page"), 0);
    ck_assert(work(out, context));
    ck_assert_int_ge(xmlTextWriterEndElement(out), 0);
    xmlFreeTextWriter(out);
    text = (char *)xmlBufferDetach(buffer);
    xmlBufferFree(buffer);
    return text;
}

int
main(void)
{
    Suite *suite = suite_create("drawing");
    int status;

    suite_add_tcase(suite, drawing_svg_tests());
    suite_add_tcase(suite, drawing_plot_tests());
    suite_add_tcase(suite, drawing_fold_tests());
    suite_add_tcase(suite, drawing_layout_tests());
    status = run_suite_unforked(suite);
    building_tables_end();
    return status;
}
