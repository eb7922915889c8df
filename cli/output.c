/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/output.c -- messages, and reports written whole or not at all. */
#include "output.h"
#include "file.h"

#include <errno.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

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

/* A message is cut rather than lost: it needs no memory. */
void
complain(const char *format, ...)
{
    char text[1024];
    va_list args;

    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    fputs("flushcalc: ", stderr);
    text_write(stderr, text, strlen(text));
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

    text_write(stderr, file, strlen(file));
    if (message.file && message.line > 0)
        fprintf(stderr, ":%d", message.line);
    fputs(": ", stderr);
    text_write(stderr, message.text, strlen(message.text));
    fputc('\n', stderr);
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

bool
report_open(struct report *report)
{
    memset(report, 0, sizeof *report);
    report->page.out = open_memstream(&report->text, &report->size);
    if (!report->page.out)
        complain_memory();
    return report->page.out != NULL;
}

bool
report_deliver(struct report *report, const char *path)
{
    bool failed = report->page.failed || ferror(report->page.out);

    if (fclose(report->page.out) != 0 || failed) {
        complain_memory();
        failed = true;
    } else if (path) {
        failed = !file_write_whole(path, report->text, report->size);
    } else if (!file_write_all(STDOUT_FILENO, report->text, report->size)
               || close(STDOUT_FILENO) != 0) {
        complain("standard output cannot be written: %s", strerror(errno));
        failed = true;
    }
    free(report->text);
    return !failed;
}

void
report_drop(struct report *report)
{
    fclose(report->page.out);
    free(report->text);
}
