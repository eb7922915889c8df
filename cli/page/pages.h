/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/page/pages.h -- a text on pages, each with a head. */
#ifndef CLI_PAGE_PAGES_H
#define CLI_PAGE_PAGES_H

#include "page/text.h"

#define PAGES_LINES 60 /* of one page, its head among them */

/* A line of its own, where a page may end: what stands between two of them
 * stays together if it can. */
#define PAGES_BREAK "\f\n"

/* Print a text on pages with form feeds between them.  Over each stands the
 * title with "page 1 of 3", and a line below. */
void pages_print(struct page *page, const char *text, const char *title,
                 const char *below);

#endif
