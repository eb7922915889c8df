/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/page/output.c -- reports written whole or not at all. */
#include "page/output.h"
#include "shell/complain.h"
#include "shell/file.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

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
