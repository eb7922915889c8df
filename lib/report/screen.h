/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/screen.h -- a brief text held to so many lines. */
#ifndef FCI_REPORT_SCREEN_H
#define FCI_REPORT_SCREEN_H

#include "page/document.h"

#include <stdint.h>

#define FCI_SCREEN_LINES 40
#define FCI_SCREEN_MOST 12 /* entries of a list, to begin with */
#define FCI_SCREEN_ALL (SIZE_MAX / 2)

/* Compose a report whose brief text has no more than so many lines: with ever
 * fewer entries in its lists (`most`, down to none), until it fits. */
void fci_screen_fit(struct fci_doc *doc, size_t lines,
                    void (*compose)(struct fci_doc *doc, const void *what,
                                    size_t most),
                    const void *what);

/* A list with no more than `most` entries in the brief text, which counts the
 * others; the other forms have all. */
void fci_screen_numbered(struct fci_doc *doc, const char *const *texts,
                         size_t n, size_t most);

/* A text that is cut at an end of its parts ("; ", ", ") where that many
 * entries leave it no room; else the text itself. */
const char *fci_screen_short(struct fci_doc *doc, const char *text,
                             size_t most);

/* The same for what is put down otherwise: what follows is the `i`-th entry of
 * such a list; */
void fci_screen_entry(struct fci_doc *doc, size_t i, size_t most);
/* and it ends here, after `n`. */
void fci_screen_rest(struct fci_doc *doc, size_t n, size_t most);

/* The numbers from 0 to n - 1, those of the greatest keys first; NULL: out of
 * memory, which the document knows. */
const size_t *fci_screen_order(struct fci_doc *doc, size_t n,
                               double (*key)(const void *what, size_t i),
                               const void *what);

#endif
