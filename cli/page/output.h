/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/page/output.h -- reports written whole or not at all. */
#ifndef CLI_PAGE_OUTPUT_H
#define CLI_PAGE_OUTPUT_H

#include "page/text.h"

/* A report is composed in memory first. */
struct report {
    struct page page;
    char *text;
    size_t size;
};

/* False, and said, when out of memory. */
bool report_open(struct report *report);
/* Write the report to a file, or to standard output for NULL, and free it.
 * False, and said, when it could not be composed or written whole. */
bool report_deliver(struct report *report, const char *path);
/* Give up a report. */
void report_drop(struct report *report);

#endif
