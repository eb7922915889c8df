/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/page/forms.h -- the forms of a report.  A form is one file, declared
 * here. */
#ifndef FCI_PAGE_FORMS_H
#define FCI_PAGE_FORMS_H

#include "page/document.h"
#include "page/shape.h"

#include <jansson.h>
#include <stdio.h>

/* What a report is made of: its data, and what of it is put in its head. */
struct fci_data {
    const char *report; /* "check" */
    const struct fci_shape *shape;
    const void *root;
    fc_unit_system units;
    const char *site, *made, *digest; /* NULL: not known */
    const char *tables_digest;
    bool line; /* of several: JSON puts it in one line */
    const fc_set_value *set;
    size_t n_set;
    const char *set_said; /* all of them; NULL: nothing was set */
};

/* The number of the JSON's shape: it grows when a key changes its meaning or
 * goes. */
#define FCI_SCHEMA 1

/* Significant digits of figures for programs; inputs are known to four at
 * best. */
#define FCI_DIGITS 10

/* Each writes to `out`; false: out of memory. */
bool fci_text_form(const struct fci_doc *doc, FILE *out);
bool fci_html_form(const struct fci_doc *doc, FILE *out);
bool fci_json_form(const struct fci_data *data, FILE *out);
/* The flags are those of jansson, which overlooks that a key could not be
 * written: whether all of it was is known when the stream is closed. */
bool fci_json_write(const json_t *root, size_t flags, FILE *out);
/* The table of this name; of NULL the first.  *found: there is one. */
bool fci_csv_form(const struct fci_data *data, const char *table, FILE *out,
                  bool *found);
/* "fixtures, pipes": the names of all tables, to be freed; NULL: out of
 * memory. */
char *fci_csv_tables(const struct fci_shape *shape);

/* The schema of the reports, to be freed; NULL: out of memory. */
json_t *fci_schema(const char *const *reports,
                   const struct fci_shape *const *shapes, size_t n);

#define FCI_TEXT_WIDTH 79  /* in column 80 some terminals wrap */
#define FCI_LEAST_WIDTH 40 /* of a text */

/* How a text is laid out (page/text.c, page/text_table.c). */
struct fci_lines {
    FILE *out;
    size_t width;
    bool color;
    bool terminal; /* a name may be broken, to fit */
};

void fci_lines_spaces(struct fci_lines *lines, size_t n);
void fci_lines_tinted(struct fci_lines *lines, enum fci_tint tint,
                      const char *text, size_t bytes);
void fci_lines_table(struct fci_lines *lines, const struct fci_grid *grid);
/* A text on pages, each under a head (page/pages.c). */
#define FCI_PAGE_LINES 60     /* of one page, its head among them */
#define FCI_PAGE_BREAK "\f\n" /* a line of its own, where a page may end */
void fci_pages_write(struct fci_lines *lines, const char *text,
                     const char *title, const char *below);

#endif
