/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/page/document.h -- a report for people, as blocks.
 *
 * A report is put together once, whatever form it will have.  The forms
 * (page/text.c, page/html.c) decide how a block looks.
 */
#ifndef FCI_PAGE_DOCUMENT_H
#define FCI_PAGE_DOCUMENT_H

#include "flushcalc.h"
#include "ground/memory.h"

#include <libxml/xmlwriter.h>

/* Where a block is shown. */
enum {
    FCI_IN_BRIEF = 1, /* the text of one screen */
    FCI_IN_FULL = 2,  /* the text with all tables */
    FCI_IN_PAGE = 4,
    FCI_IN_TEXT = FCI_IN_BRIEF | FCI_IN_FULL,
    FCI_IN_DEPTH = FCI_IN_FULL | FCI_IN_PAGE,
    FCI_IN_ALL = FCI_IN_TEXT | FCI_IN_PAGE
};

/* Where on a page a block stands: a page has all blocks of the first place
 * before those of the next.  A text keeps the order of their making. */
enum fci_place {
    FCI_ON_TOP,    /* the head, and what a text of one screen has */
    FCI_IN_BODY,   /* inputs, drawings, calculation sheet */
    FCI_IN_TABLES, /* what a text in full has beside the screen */
    FCI_AT_END,    /* assumptions, cautions, sources, signatures */
    FCI_PLACES
};

/* How a word is to be seen where there is color. */
enum fci_tint { FCI_PLAIN_TINT, FCI_GOOD, FCI_BAD, FCI_UNSURE };

enum fci_align { FCI_LEFT, FCI_RIGHT };

/* A heading may have two lines ("\n"); a unit may be "". */
struct fci_doc_column {
    const char *heading, *unit;
    enum fci_align align;
    size_t least; /* may be narrowed to this, its cells wrapped; 0: may not */
};

struct fci_cell {
    const char *text;
    enum fci_tint tint;
};

/* Cells are added row by row, from left to right. */
struct fci_grid {
    struct fci_doc_column *columns;
    size_t n_columns, n_cells, capacity;
    struct fci_cell *cells; /* malloc'ed */
    bool stacks;            /* where a page is narrow each cell of the last
                               column stands below its row */
    size_t rule;            /* a rule stands before this row; 0: none */
    struct fci_doc *doc;
    struct fci_grid *next; /* of the document, to be freed */
};

enum fci_block_kind {
    FCI_B_TITLE,
    FCI_B_VERDICT, /* `label` is its word */
    FCI_B_HEADING,
    FCI_B_SAY,
    FCI_B_ITEM, /* of a list */
    FCI_B_PAIR, /* `label` and what stands beside it */
    FCI_B_CODE, /* lines as they are, to be typed */
    FCI_B_LINE, /* to be filled in: `label`, and `text` for a second one */
    FCI_B_TABLE,
    FCI_B_DRAWING,
    FCI_B_GAP,  /* a blank line of a text */
    FCI_B_BREAK /* where a printed page may end */
};

struct fci_block {
    enum fci_block_kind kind;
    unsigned forms;
    enum fci_place place;
    enum fci_tint tint;
    const char *label, *text;
    struct fci_grid *grid;
    bool (*draw)(xmlTextWriterPtr out, const void *what);
    const void *drawn;
    struct fci_block *next;
};

struct fci_doc {
    struct fci_arena arena;
    struct fci_block *first, *last;
    struct fci_grid *grids;
    fc_unit_system units;
    bool converted;  /* there is an existing state and one after retrofit */
    unsigned forms;  /* where what is added now is shown */
    unsigned unseen; /* forms that it is surely not written in */
    const char *leaving;   /* what is added now, where it is not shown in brief
                              for lack of room; else NULL */
    const char *left_last; /* that was noted last, */
    const char *left;      /* and all that were, or NULL */
    enum fci_place place;
    bool judged;      /* a verdict of a page was put down */
    bool whole;       /* all of a report stays on top of its page */
    bool folds;       /* long tables tell alike rows once */
    const char *foot; /* of every printed sheet of a page; NULL: none */
    const fc_report_options *options;
    unsigned columns; /* of one screen of text at most; 0: as many as there are
                       */
    const char *set;  /* what was set over the file, a sentence; NULL */
    const char *set_brief; /* the same where it is too long for a screen */
    const char *over;  /* the head of every page of a paged text; NULL: none */
    const char *under; /* a line below it */
    bool failed;       /* out of memory, somewhere */
    /* Stands for a table that could not be had, and takes nothing. */
    struct fci_grid lost;
};

/* What follows is shown in these forms; under a verdict the first that is for
 * a text in full and not for its screen leaves the top of a page. */
void fci_doc_for(struct fci_doc *doc, unsigned forms);
/* Whether what follows may be seen at all: a long table that is not need not
 * be made. */
bool fci_doc_is_seen(const struct fci_doc *doc);
/* What follows stands there on a page.  Returns where it stood before. */
enum fci_place fci_doc_place(struct fci_doc *doc, enum fci_place place);

void fci_doc_title(struct fci_doc *doc, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
void fci_doc_heading(struct fci_doc *doc, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* A paragraph. */
void fci_doc_say(struct fci_doc *doc, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* One of a list. */
void fci_doc_item(struct fci_doc *doc, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* A paragraph that starts with a word to be seen. */
void fci_doc_verdict(struct fci_doc *doc, enum fci_tint tint, const char *word,
                     const char *format, ...)
    __attribute__((format(printf, 4, 5)));
/* "Address      12 Invented Street"; pairs in a row stand in line. */
void fci_doc_pair(struct fci_doc *doc, const char *label, const char *format,
                  ...) __attribute__((format(printf, 3, 4)));
void fci_doc_code(struct fci_doc *doc, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
/* A line to be filled in by hand, or two beside each other; `second` may be
 * NULL. */
void fci_doc_line(struct fci_doc *doc, const char *label, const char *second);
void fci_doc_gap(struct fci_doc *doc);
void fci_doc_break(struct fci_doc *doc);
/* A drawing, in the page alone; what it is of must outlive the document. */
void fci_doc_drawing(struct fci_doc *doc,
                     bool (*draw)(xmlTextWriterPtr out, const void *what),
                     const void *what);

/* A table; the columns and their headings are copied.  Never NULL: out of
 * memory it is a table that takes nothing. */
struct fci_grid *fci_doc_table(struct fci_doc *doc,
                               const struct fci_doc_column *columns,
                               size_t n_columns);
/* One that is shown only once it is put down, unless it has no row. */
struct fci_grid *fci_grid_new(struct fci_doc *doc,
                              const struct fci_doc_column *columns,
                              size_t n_columns);
void fci_doc_put(struct fci_doc *doc, struct fci_grid *grid);
/* Texts are copied. */
void fci_cell(struct fci_grid *grid, const char *text);
void fci_cell_tinted(struct fci_grid *grid, const char *text,
                     enum fci_tint tint);
/* A rule between what was added and what comes. */
void fci_grid_rule(struct fci_grid *grid);
bool fci_grid_is_empty(const struct fci_grid *grid);
/* Whether the cells of two are the same in text and tint. */
bool fci_grids_match(const struct fci_grid *a, const struct fci_grid *b);

void fci_doc_free(struct fci_doc *doc);

#endif
