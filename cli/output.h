/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/output.h -- messages, and reports written whole or not at all. */
#ifndef CLI_OUTPUT_H
#define CLI_OUTPUT_H

#include "text.h"

/* What the shell is told. */
enum {
    STATUS_WORKS = 0,
    STATUS_WILL_NOT_WORK = 1,
    STATUS_TROUBLE = 2, /* it could not be worked out */
    STATUS_CANNOT_TELL = 3
};

int status_of(fc_verdict verdict);

/* A message of the command itself on standard error. */
void complain(const char *format, ...) __attribute__((format(printf, 1, 2)));
void complain_memory(void);
/* The messages of the library; a failure that left none is still told. */
void complain_messages(const fc_diagnostics *messages, fc_status status);

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
