/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/drawing_suite.h -- the parts of the tests of drawings. */
#ifndef TESTS_UNIT_DRAWING_SUITE_H
#define TESTS_UNIT_DRAWING_SUITE_H

#include "drawing/drawings.h"
#include "generators/sites.h"

/* A drawing as text, to be freed with xmlFree(); NULL for a riser that may not
 * be checked. */
typedef bool draw_work(xmlTextWriterPtr out, void *context);
char *drawn_text(draw_work *work, void *context);

TCase *drawing_fold_tests(void);
TCase *drawing_layout_tests(void);
TCase *drawing_plot_tests(void);
TCase *drawing_svg_tests(void);

#endif
