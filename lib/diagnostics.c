/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnostics.c -- messages with path and line. */
#include "diagnostics.h"
#include "memory.h"

#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

struct fc_diagnostics {
    struct fci_arena arena;
    size_t count;
    fc_diagnostic messages[FCI_MOST_FAILURES + 1]; /* and "there were more" */
};

fc_diagnostics *
fc_diagnostics_new(void)
{
    return calloc(1, sizeof(fc_diagnostics));
}

void
fc_diagnostics_free(fc_diagnostics *list)
{
    if (!list)
        return;
    fci_arena_free(&list->arena);
    free(list);
}

size_t
fc_diagnostics_count(const fc_diagnostics *list)
{
    return list ? list->count : 0;
}

fc_diagnostic
fc_diagnostics_at(const fc_diagnostics *list, size_t i)
{
    return list->messages[i];
}

int
fci_failure_has_room(const fc_diagnostics *list)
{
    return list && list->count < FCI_MOST_FAILURES;
}

/* Messages of one file share one copy of its path. */
static const char *
kept_path(fc_diagnostics *list, const char *file)
{
    if (!file)
        return NULL;
    if (list->count > 0) {
        const char *last = list->messages[list->count - 1].file;

        if (last && strcmp(last, file) == 0)
            return last;
    }
    return fci_arena_string(&list->arena, file);
}

fc_status
fci_fail(fc_diagnostics *list, fc_status status, const char *file, int line,
         const char *format, ...)
{
    fc_diagnostic message = { FC_FAIL, NULL, line, NULL };
    va_list args;

    if (!list || list->count > FCI_MOST_FAILURES)
        return status;
    message.file = kept_path(list, file);
    va_start(args, format);
    if (fci_failure_has_room(list)) {
        message.text = fci_arena_vprintf(&list->arena, format, args);
    } else {
        message.line = 0;
        message.text = "more is wrong; the first 50 messages are shown";
    }
    va_end(args);
    if (!message.text || (file && !message.file))
        return FC_ENOMEM;
    list->messages[list->count++] = message;
    return status;
}
