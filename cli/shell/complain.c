/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/complain.c -- what is told on standard error, and to the shell. */
#include "shell/complain.h"

#include <limits.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

int
status_of(fc_verdict verdict)
{
    switch (verdict) {
    case FC_WORKS:
        return STATUS_WORKS;
    case FC_WILL_NOT_WORK:
        return STATUS_WILL_NOT_WORK;
    case FC_CANNOT_TELL:
        break;
    }
    return STATUS_CANNOT_TELL;
}

fc_verdict
worse_verdict(fc_verdict a, fc_verdict b)
{
    if (a == FC_WILL_NOT_WORK || b == FC_WILL_NOT_WORK)
        return FC_WILL_NOT_WORK;
    return a == FC_WORKS ? b : a;
}

#define MOST_PATHS 2 /* that a message names, each as long as paths can be */

/* A message is cut rather than lost: it needs no memory. */
void
complain(const char *format, ...)
{
    char text[MOST_PATHS * PATH_MAX + 1024];
    va_list args;

    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    fputs("flushcalc: ", stderr);
    fc_text_put(text, stderr);
    fputc('\n', stderr);
}

void
complain_memory(void)
{
    complain("out of memory");
}

static void
complain_message(fc_diagnostic message)
{
    const char *file = message.file ? message.file : "flushcalc";

    fc_text_put(file, stderr);
    if (message.file && message.line > 0)
        fprintf(stderr, ":%d", message.line);
    fputs(": ", stderr);
    fc_text_put(message.text, stderr);
    fputc('\n', stderr);
}

void
complain_of(const char *path, const fc_diagnostics *messages)
{
    for (size_t i = 0; i < fc_diagnostics_count(messages); i++) {
        const fc_diagnostic message = fc_diagnostics_at(messages, i);

        if (message.line <= 0
            && !(message.file && strcmp(message.file, path) == 0)) {
            fc_text_put(path, stderr);
            fputs(": ", stderr);
        }
        complain_message(message);
    }
}

void
complain_messages(const fc_diagnostics *messages, fc_status status)
{
    size_t n = fc_diagnostics_count(messages);

    for (size_t i = 0; i < n; i++)
        complain_message(fc_diagnostics_at(messages, i));
    if (status == FC_ENOMEM || (status != FC_OK && n == 0))
        complain("%s", fc_status_text(status));
}
