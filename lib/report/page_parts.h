/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/page_parts.h -- what a page has beside the report in it, so that
 * it can be handed in: its head, its inputs, drawings, the calculation sheet,
 * sources and signatures. */
#ifndef FCI_REPORT_PAGE_PARTS_H
#define FCI_REPORT_PAGE_PARTS_H

#include "drawing/drawings.h"
#include "ground/names.h"
#include "page/document.h"
#include "site/site.h"

/* A page while it is put together. */
struct fci_page {
    struct fci_doc *doc;
    const fc_site *site;
    const fc_check_result *result;   /* NULL: the building was not checked */
    const fc_path *const *paths;     /* to the fixture that governs, by
                                        fc_state, each may be NULL; NULL */
    const fc_path *path;             /* that the report is of; NULL */
    const fc_quick_result *quick;    /* a first answer, of no file; NULL */
    const struct fci_points *points; /* in the riser diagram; NULL */
    const char *of_points;           /* a sentence on them; NULL: none */
    struct fci_names *names;         /* of the points, to be freed; NULL */
    struct fci_cited *cited, *cited_last; /* sources, as they are cited */
    unsigned n_cited;
};

/* Title, date and digest under every printed sheet. */
void fci_page_foot(struct fci_page *page);
/* Before the report: what project, whose, of which files. */
void fci_page_head(struct fci_page *page, const char *title);
/* After it: all the rest. */
void fci_page_parts(struct fci_page *page);

/* Of these it is made; each its own file. */
void fci_page_inputs(struct fci_page *page);
void fci_page_figures(struct fci_page *page); /* of a first answer alone */
void fci_page_readings(struct fci_page *page);
void fci_page_pipes(struct fci_page *page);
void fci_page_valves(struct fci_page *page);
/* What is given of flush valves that has no column among their figures. */
void fci_page_more_of_valves(struct fci_page *page);
void fci_page_sheet(struct fci_page *page);
void fci_page_fixtures(struct fci_page *page);
void fci_page_sources(struct fci_page *page);

/* What these reports tell of the places in the riser diagram. */
void fci_page_of_flush(struct fci_page *page, const void *view);
void fci_page_of_diagnosis(struct fci_page *page, const void *view);
void fci_page_of_verify(struct fci_page *page, const void *view);

/* The mark of a source, "[3]" or "[3, from memory]": the same one for the same
 * entry.  It is listed at the end of the page. */
const char *fci_page_cite(struct fci_page *page,
                          const struct fci_entry_head *head, const char *of,
                          const char *source);

/* Rows that differ in the number in a name alone become one, "branch-2 to 7
 * (6 alike)".  The first `names` columns are names, at most four; rows without
 * one go with that above. */
void fci_page_fold(struct fci_grid *grid, size_t names);

/* "76..79 psi" as a person writes it: "76 to 79 psi"; NULL of NULL. */
const char *fci_page_said(struct fci_page *page, const char *value);

/* "given", "range given": a figure as it was given. */
const char *fci_page_standing(fc_range given);

#endif
