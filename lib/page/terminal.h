/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/page/terminal.h -- characters as a terminal shows them. */
#ifndef FCI_PAGE_TERMINAL_H
#define FCI_PAGE_TERMINAL_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

/* One character of UTF-8: its bytes, and the columns it takes.  What could
 * steer a terminal, and any byte that is not UTF-8, is not `printable`: it is
 * shown as one question mark. */
struct fci_char {
    size_t bytes, columns;
    bool printable;
};
struct fci_char fci_text_next(const char *s);

/* Columns that a text takes when shown. */
size_t fci_text_width(const char *s);
/* Bytes of its longest beginning that takes no more than `columns`; at least
 * one character of a text that is not empty. */
size_t fci_text_fit(const char *s, size_t columns);
/* Its longest end that takes no more than `columns`. */
const char *fci_text_end(const char *s, size_t columns);
/* Bytes of its beginning, cut behind a space where there is one; `in_names`
 * behind "-", "_" or "/" too, of a word that is longer than `columns`. */
size_t fci_text_fit_word(const char *s, size_t columns, bool in_names);

/* Write `bytes` of a text, escaped. */
void fci_text_write(FILE *out, const char *s, size_t bytes);

#endif
