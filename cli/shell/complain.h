/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/complain.h -- what is told on standard error, and to the shell. */
#ifndef CLI_SHELL_COMPLAIN_H
#define CLI_SHELL_COMPLAIN_H

#include "flushcalc.h"

/* What the shell is told. */
enum {
    STATUS_WORKS = 0,
    STATUS_WILL_NOT_WORK = 1,
    STATUS_TROUBLE = 2, /* it could not be worked out */
    STATUS_CANNOT_TELL = 3
};

int status_of(fc_verdict verdict);
/* The worse of two, as the exit status counts them. */
fc_verdict worse_verdict(fc_verdict a, fc_verdict b);

/* A message of the command itself on standard error. */
void complain(const char *format, ...) __attribute__((format(printf, 1, 2)));
void complain_memory(void);
/* The messages of the library; a failure that left none is still told. */
/* Of one of several sites: what is said of no line of a file, as of --set,
 * gets the site's path before it. */
void complain_of(const char *path, const fc_diagnostics *messages);
void complain_messages(const fc_diagnostics *messages, fc_status status);

#endif
