/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/page/text.c -- text for a person, wrapped.
 */
#include "page/text.h"

#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

bool
text_may_colour(void)
{
    const char *no_color = getenv("NO_COLOR");
    const char *term = getenv("TERM");

    return isatty(STDOUT_FILENO) && (!no_color || !*no_color) && term && *term
           && strcmp(term, "dumb") != 0;
}

void
page_spaces(struct page *page, size_t n)
{
    while (n-- > 0)
        fputc(' ', page->out);
}

void
page_blank(struct page *page)
{
    fputc('\n', page->out);
}

void
page_tinted(struct page *page, enum tint tint, const char *s, size_t bytes)
{
    static const char *const codes[] = { "", "\033[1;32m", "\033[1;31m",
                                         "\033[1;33m" };
    bool coloured = page->colour && tint != TINT_NONE;

    if (coloured)
        fputs(codes[tint], page->out);
    text_write(page->out, s, bytes);
    if (coloured)
        fputs("\033[0m", page->out);
}

/* The formatted text, to be freed; NULL when out of memory. */
static char *
formatted(struct page *page, const char *format, va_list args)
{
    va_list again;
    char *text = NULL;
    int length;

    va_copy(again, args);
    length = vsnprintf(NULL, 0, format, again);
    va_end(again);
    if (length >= 0)
        text = malloc((size_t)length + 1);
    if (text)
        vsnprintf(text, (size_t)length + 1, format, args);
    else
        page->failed = true;
    return text;
}

static bool
is_space(char c)
{
    return c == ' ' || c == '\n' || c == '\t';
}

/* A word that is longer than a line is broken where the line ends. */
static size_t
broken_word(struct page *page, size_t column, size_t hanging, const char *word,
            size_t bytes)
{
    while (bytes > 0) {
        size_t room = PAGE_WIDTH > column ? PAGE_WIDTH - column : 1;
        size_t fits = text_fit(word, room);

        if (fits > bytes)
            fits = bytes;
        text_write(page->out, word, fits);
        for (size_t i = 0; i < fits; i += text_next(word + i).bytes)
            column += text_next(word + i).columns;
        word += fits;
        bytes -= fits;
        if (bytes > 0) {
            page_blank(page);
            page_spaces(page, hanging);
            column = hanging;
        }
    }
    return column;
}

/* Wrap a text from `column` on; `fresh`: nothing stands on the line yet. */
static void
wrap(struct page *page, size_t column, bool fresh, size_t hanging,
     const char *s)
{
    while (is_space(*s))
        s++;
    while (*s) {
        size_t bytes = 0, columns = 0;

        while (s[bytes] && !is_space(s[bytes])) {
            struct text_char c = text_next(s + bytes);

            bytes += c.bytes;
            columns += c.columns;
        }
        if (!fresh && column + 1 + columns > PAGE_WIDTH) {
            page_blank(page);
            page_spaces(page, hanging);
            column = hanging;
        } else if (!fresh) {
            fputc(' ', page->out);
            column++;
        }
        column = broken_word(page, column, hanging, s, bytes);
        fresh = false;
        for (s += bytes; is_space(*s); s++)
            ;
    }
    page_blank(page);
}

void
page_heading(struct page *page, const char *format, ...)
{
    va_list args;
    char *text;

    va_start(args, format);
    text = formatted(page, format, args);
    va_end(args);
    page_blank(page);
    if (text)
        wrap(page, 0, true, 0, text);
    free(text);
}

void
page_say(struct page *page, size_t indent, size_t hanging, const char *format,
         ...)
{
    va_list args;
    char *text;

    va_start(args, format);
    text = formatted(page, format, args);
    va_end(args);
    page_spaces(page, indent);
    if (text)
        wrap(page, indent, true, hanging, text);
    free(text);
}

void
page_go_on(struct page *page, size_t column, size_t hanging,
           const char *format, ...)
{
    va_list args;
    char *text;

    va_start(args, format);
    text = formatted(page, format, args);
    va_end(args);
    if (text)
        wrap(page, column, true, hanging, text);
    free(text);
}

void
page_say_tinted(struct page *page, enum tint tint, const char *word,
                const char *format, ...)
{
    va_list args;
    char *text;

    va_start(args, format);
    text = formatted(page, format, args);
    va_end(args);
    page_tinted(page, tint, word, strlen(word));
    if (text)
        wrap(page, text_width(word), false, 0, text);
    free(text);
}
