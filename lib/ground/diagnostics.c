/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/diagnostics.c -- messages with path and line. */
#include "ground/diagnostics.h"
#include "ground/memory.h"

#include <errno.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

struct fc_diagnostics {
    size_t count;
    fc_diagnostic messages[FCI_MOST_FAILURES + 1]; /* and "there were more" */
};

fc_diagnostics *
fc_diagnostics_new(void)
{
    return fci_object_new(sizeof(fc_diagnostics));
}

void
fc_diagnostics_free(fc_diagnostics *list)
{
    fci_object_free(list);
}

size_t
fc_diagnostics_count(const fc_diagnostics *list)
{
    return list ? list->count : 0;
}

fc_diagnostic
fc_diagnostics_at(const fc_diagnostics *list, size_t i)
{
    static const fc_diagnostic none = { .text = "" };
    fc_diagnostic message =
        i < fc_diagnostics_count(list) ? list->messages[i] : none;

    /* what was set over the file stands at no line of it */
    message.line = message.line > 0 ? message.line : 0;
    return message;
}

int
fci_failure_line(const fc_diagnostics *list, size_t i)
{
    return list->messages[i].line;
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
    return fci_arena_string(fci_arena_of(list), file);
}

/* The length of the UTF-8 character at s; 0: there is none. */
static size_t
character(const unsigned char *s)
{
    const size_t n = s[0] < 0x80   ? 1
                     : s[0] < 0xc2 ? 0
                     : s[0] < 0xe0 ? 2
                     : s[0] < 0xf0 ? 3
                     : s[0] < 0xf5 ? 4
                                   : 0;
    size_t i;

    for (i = 1; i < n; i++)
        if ((s[i] & 0xc0) != 0x80)
            return 0;
    return n;
}

/* A quotation may have been cut within a character, and what a program hands
 * over may be no text at all: a message is one line of UTF-8 even so. */
static void
make_plain(char *text)
{
    const unsigned char *from = (const unsigned char *)text;
    size_t n;

    while (*from) {
        n = character(from);
        if (*from < ' ' || *from == 0x7f)
            *text++ = '?';
        else
            memmove(text, from, n), text += n;
        from += n ? n : 1;
    }
    *text = '\0';
}

fc_status
fci_fail(fc_diagnostics *list, fc_status status, const char *file, int line,
         const char *format, ...)
{
    fc_diagnostic message = { .severity = FC_FAIL, .line = line };
    char *text;
    va_list args;

    if (!list || list->count > FCI_MOST_FAILURES)
        return status;
    message.file = kept_path(list, file);
    va_start(args, format);
    if (fci_failure_has_room(list)) {
        text = fci_arena_vprintf(fci_arena_of(list), format, args);
        if (text)
            make_plain(text);
        message.text = text;
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

fc_status
fci_fail_system(fc_diagnostics *list, const char *file, const char *what,
                int error)
{
    char reason[128];

    if (error == ENOMEM)
        return FC_ENOMEM;
    if (strerror_r(error, reason, sizeof reason) != 0)
        snprintf(reason, sizeof reason, "error %d", error);
    return fci_fail(list, FC_EIO, file, 0, "%s: %s", what, reason);
}

static bool
is_behind(const fc_diagnostic *a, const fc_diagnostic *b)
{
    if (!a->file || !b->file || strcmp(a->file, b->file) != 0)
        return false;
    return b->line > 0 && (a->line == 0 || a->line > b->line);
}

void
fci_failures_sort(fc_diagnostics *list, size_t first)
{
    size_t i, k;

    if (!list)
        return;
    for (i = first + 1; i < list->count && i < FCI_MOST_FAILURES; i++) {
        const fc_diagnostic moved = list->messages[i];

        for (k = i; k > first && is_behind(&list->messages[k - 1], &moved);
             k--)
            list->messages[k] = list->messages[k - 1];
        list->messages[k] = moved;
    }
}
