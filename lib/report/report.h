/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/report.h -- what each report is made of. */
#ifndef FCI_REPORT_REPORT_H
#define FCI_REPORT_REPORT_H

#include "page/document.h"
#include "page/shape.h"

/* What a report tells of; the root of its shape. */
struct fci_check_view {
    const fc_site *site;
    const fc_check_result *result;
    const fc_path *paths[FC_STATES]; /* to the fixture that governs; NULL */
};

struct fci_path_view {
    const fc_site *site;
    const fc_check_result *result; /* what is told: the path's own, where it
                                      has one */
    const fc_check_result *whole;  /* of all fixtures, for drawings; NULL */
    const fc_checked_fixture *fixture;
    const fc_fixture_state *end; /* of the fixture, in the path's state */
    const fc_path *path;
    bool darcy;
    const fc_finding *findings; /* of the elements on the way, and of the
                                   fixture */
    size_t n_findings;
};

/* The site that all of a comparison are changes of; NULL: several files, or
 * none that could be calculated. */
const fc_site *fci_compared_site(const fc_comparison *comparison);

struct fci_comparison_view {
    fc_comparison all;   /* the first, which programs get */
    const fc_site *site; /* as of the above */
};

struct fci_flush_view {
    const fc_site *site;
    const fc_flush_result *result;
    bool all; /* every valve of the building was opened */
};

struct fci_quick_view {
    const fc_quick_result *result;
};

struct fci_size_view {
    const fc_site *site;
    const fc_size_result *result;
    fc_check_result told; /* the check of the sizes; of none: what there is */
};

/* Lists within lists, laid flat. */
struct fci_option_pipe {
    size_t option; /* its number, from 1 */
    const fc_sized_pipe *pipe;
};

struct fci_option_purchase {
    size_t option; /* its number, from 1 */
    const fc_purchase *purchase;
};

struct fci_prv_zone {
    const fc_reducer_window *window;
    const fc_reducer_zone *zone;
};

struct fci_remedies_view {
    const fc_site *site;
    const fc_remedies *remedies;
    const struct fci_option_pipe *pipes;
    size_t n_pipes;
    const struct fci_option_purchase *purchases;
    size_t n_purchases;
    const struct fci_prv_zone *zones;
    size_t n_zones;
};

struct fci_diagnosis_view {
    const fc_site *site;
    const fc_diagnosis *d;
    const fc_flush_result *rest; /* of a sheet: the building with no flow */
    const char *free_gauge;      /* a name that no gauge of the site has */
};

/* One of the cases of all claims. */
struct fci_claim_case_view {
    const char *claim;
    const fc_claim_case *judged;
};

struct fci_verify_view {
    const fc_site *site;
    const fc_verify_result *result;
    const struct fci_claim_case_view *cases;
    size_t n_cases;
};

struct fci_table_value {
    const fc_table_entry *entry;
    const fc_table_line *line;
};

struct fci_tables_view {
    const fc_table_entry *entries;
    size_t n;
    bool listed;
    const struct fci_table_value *values; /* of all entries */
    size_t n_values;
};

struct fci_page;
struct fci_data;

/* A kind of report: a row in report/report.c. */
struct fci_report_kind {
    const char *name; /* "check" */
    const struct fci_shape *shape;
    void (*compose)(struct fci_doc *doc, const void *view);
    const char *title; /* in the head of its page; NULL: it has a head and an
                          end of its own */
    unsigned columns;  /* of one screen of text at most; 0: any */
    bool folds;        /* its text in full, too, tells alike rows once */
    bool whole;        /* it stands before what its page tells of the site */
    /* Its JSON is a report a line, one of each item of the list that its shape
     * is; this puts what is told of such an item in the line's head.  NULL: it
     * is one report. */
    void (*line)(struct fci_data *data, const void *item);
    /* What its page tells beside what is composed; NULL: of the site alone. */
    void (*page)(struct fci_page *page, const void *view);
};

extern const struct fci_shape fci_flush_shape, fci_quick_shape,
    fci_comparison_shape;

void fci_check_compose(struct fci_doc *doc, const void *view);
void fci_sites_compose(struct fci_doc *doc, const void *view);
void fci_comparison_compose(struct fci_doc *doc, const void *view);
void fci_sweep_compose(struct fci_doc *doc, const void *view);
void fci_path_compose(struct fci_doc *doc, const void *view);
void fci_flush_compose(struct fci_doc *doc, const void *view);
void fci_quick_compose(struct fci_doc *doc, const void *view);
void fci_size_compose(struct fci_doc *doc, const void *view);
void fci_remedies_compose(struct fci_doc *doc, const void *view);
void fci_diagnosis_compose(struct fci_doc *doc, const void *view);
void fci_sheet_compose(struct fci_doc *doc, const void *view);
void fci_verify_compose(struct fci_doc *doc, const void *view);
void fci_record_compose(struct fci_doc *doc, const void *view);
void fci_tables_compose(struct fci_doc *doc, const void *view);

/* What of a view is made up, into the arena; false: out of memory. */
bool fci_remedies_lay(struct fci_arena *arena, void *view);
bool fci_tables_lay(struct fci_arena *arena, void *view);

#endif
