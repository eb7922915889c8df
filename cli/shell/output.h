/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/output.h -- reports written whole or not at all. */
#ifndef CLI_SHELL_OUTPUT_H
#define CLI_SHELL_OUTPUT_H

#include "shell/options.h"

#include <stddef.h>

/* A report that was composed: its text, to be freed. */
struct output {
    char *text;
    size_t size;
};

/* Whether no site file or tables file is lost by --output or --write, and they
 * name two files; `site`: what --output writes is a site file itself.  False,
 * and said. */
bool output_keeps(const struct options *options, bool site);
/* Compose a report as the options ask for and free it; `site` is the path of
 * its site file, or NULL, and `made` when it is made, or NULL.  False, and
 * said; also where `status` is not FC_OK and there is no report. */
bool output_compose(const struct options *options, const char *site,
                    const char *made, fc_report *report, fc_status status,
                    struct output *output);
/* Write it to the file asked for, or to standard output, and free it.  False,
 * and said. */
bool output_deliver(const struct options *options, struct output *output);
/* Both. */
bool output_report(const struct options *options, const char *site,
                   fc_report *report, fc_status status);
/* Write a text to standard output.  False, and said. */
bool output_text(const char *text, size_t size);
/* Whether all that was printed there is out, after which nothing more can be.
 * For what takes no memory to print, and so is never cut short. */
bool output_printed(void);

/* Columns of the terminal at standard output but the last, in which some wrap;
 * 0: not known. */
unsigned terminal_columns(void);

/* The date and time in UTC, or those of SOURCE_DATE_EPOCH.  False, and said.
 */
bool output_date(char *text, size_t size);

#endif
