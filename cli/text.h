/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/text.h -- text for a person: escaped, measured in columns, wrapped. */
#ifndef CLI_TEXT_H
#define CLI_TEXT_H

#include "flushcalc.h"

#include <stdio.h>

#define PAGE_WIDTH 79 /* the last column of a terminal wraps in some */

/* A report while it is composed.  What fails is remembered in `failed`, so
 * that it need be asked for only once, at the end. */
struct page {
    FILE *out;
    fc_unit_system units;
    bool colour;
    bool failed;
};

/* How a word is to be seen where colour is allowed. */
enum tint { TINT_NONE, TINT_GOOD, TINT_BAD, TINT_UNSURE };

/* Whether text for standard output may be coloured. */
bool text_may_colour(void);

/* One character of UTF-8: its bytes, and the columns it takes.  What could
 * steer a terminal, and any byte that is not UTF-8, is not `printable`: it is
 * shown as one question mark. */
struct text_char {
    size_t bytes, columns;
    bool printable;
};
struct text_char text_next(const char *s);

/* Columns that a text takes when shown. */
size_t text_width(const char *s);
/* Bytes of its longest beginning that takes no more than `columns`; at least
 * one character of a text that is not empty. */
size_t text_fit(const char *s, size_t columns);
/* The same, cut behind a space, "-", "_" or "/" where there is one. */
size_t text_fit_word(const char *s, size_t columns);

/* Write `bytes` of a text, escaped. */
void text_write(FILE *out, const char *s, size_t bytes);

/* A blank line and a heading. */
void page_heading(struct page *page, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* A paragraph: the first line starts in column `indent`, the next ones in
 * `hanging`. */
void page_say(struct page *page, size_t indent, size_t hanging,
              const char *format, ...) __attribute__((format(printf, 4, 5)));
/* A paragraph that goes on behind what stands on the line up to `column`. */
void page_go_on(struct page *page, size_t column, size_t hanging,
                const char *format, ...) __attribute__((format(printf, 4, 5)));
/* A paragraph that starts with a coloured word. */
void page_say_tinted(struct page *page, enum tint tint, const char *word,
                     const char *format, ...)
    __attribute__((format(printf, 4, 5)));
/* A text in a colour, if the page has any. */
void page_tinted(struct page *page, enum tint tint, const char *s,
                 size_t bytes);
void page_spaces(struct page *page, size_t n);
void page_blank(struct page *page);

#endif
