/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/page/text.h -- text for a person, wrapped.
 */
#ifndef CLI_PAGE_TEXT_H
#define CLI_PAGE_TEXT_H

#include "flushcalc.h"
#include "shell/characters.h"

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
