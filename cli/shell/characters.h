/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/characters.h -- characters as a terminal shows them. */
#ifndef CLI_SHELL_CHARACTERS_H
#define CLI_SHELL_CHARACTERS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

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

#endif
