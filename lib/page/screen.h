/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/page/screen.h -- a brief text held to one screen.
 *
 * There are two ways, as what is left out stands behind what must stay or
 * before it:
 * - Room: a list or a table that may be cut asks how many lines are left,
 *   those kept for what comes behind it, and puts down no more.
 * - Trial: where what may go stands before what must stay, only the whole
 *   tells whether it fits.  It is composed with ever less until it does.
 */
#ifndef FCI_PAGE_SCREEN_H
#define FCI_PAGE_SCREEN_H

#include "page/document.h"

#include <stdint.h>

#define FCI_SCREEN 40 /* lines of full width */

/* Lines that one screen has left, so many of them kept for what comes. */
size_t fci_screen_room(struct fci_doc *doc, size_t kept);

/* What fits of a part of it: the heading, which may be NULL, comes with the
 * first item; `noun` is what those are that are left. */
struct fci_screen_part {
    struct fci_doc *doc;
    const char *heading, *noun;
    size_t kept, said, left;
};
/* An item where there is room; NULL: out of memory. */
void fci_screen_item(struct fci_screen_part *part, const char *text);
/* "And 3 more warnings, see --full."; nothing where none is left. */
void fci_screen_left(struct fci_screen_part *part);

/* Compose a report so that its brief text fits: with `most` lowered, down to
 * 0, as far as it takes.  What `most` means is the report's own. */
void fci_screen_fit(struct fci_doc *doc, size_t most,
                    void (*compose)(struct fci_doc *doc, const void *what,
                                    size_t most),
                    const void *what);
/* Whether the brief text has room for what follows, which is called `what`;
 * the other forms are left as they are. */
void fci_screen_if(struct fci_doc *doc, bool shown, const char *what);
/* From here on the brief text has all again. */
void fci_screen_on(struct fci_doc *doc);
/* Say what it had no room for; nothing where it had. */
void fci_screen_say_left(struct fci_doc *doc);

/* ---- Lists cut to `most` entries --------------------------------------- */

#define FCI_SCREEN_MOST 12 /* to begin with */
#define FCI_SCREEN_ALL (SIZE_MAX / 2)

/* A list with no more than `most` entries in the brief text, which counts the
 * others; the other forms have all. */
void fci_screen_numbered(struct fci_doc *doc, const char *const *texts,
                         size_t n, size_t most);

/* A text that is cut at an end of its parts ("; ", ", ") where that many
 * entries leave it no room; else the text itself. */
const char *fci_screen_short(struct fci_doc *doc, const char *text,
                             size_t most);

/* Of such a list of `n`, put down otherwise, those that are left out of the
 * brief text are counted here. */
void fci_screen_rest(struct fci_doc *doc, size_t n, size_t most);

/* The numbers from 0 to n - 1, those of the greatest keys first; NULL: out of
 * memory, which the document knows. */
const size_t *fci_screen_order(struct fci_doc *doc, size_t n,
                               double (*key)(const void *what, size_t i),
                               const void *what);

#endif
