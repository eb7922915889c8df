/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/words/phrase.c -- a text that grows, phrase by phrase. */
#include "words/phrase.h"

#include <stdarg.h>

void
fci_join(struct fci_words *w, const char *between, const char *phrase)
{
    w->text = w->text && phrase ? fci_arena_printf(
                  w->arena, "%s%s%s", w->text, w->n > 0 ? between : "", phrase)
                                : NULL;
    w->n++;
}

void
fci_say(struct fci_words *w, const char *between, const char *format, ...)
{
    va_list args;

    va_start(args, format);
    fci_join(w, between, fci_arena_vprintf(w->arena, format, args));
    va_end(args);
}
