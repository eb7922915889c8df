/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/report.h -- what each report is made of. */
#ifndef FCI_REPORT_REPORT_H
#define FCI_REPORT_REPORT_H

#include "page/document.h"
#include "page/shape.h"

#include <jansson.h>

/* What a report tells of; the root of its shape. */
struct fci_check_view {
    const fc_site *site;
    const fc_check_result *result;
    const fc_path *paths[FC_STATES]; /* to the fixture that governs; NULL */
};

struct fci_sites_view {
    const fc_site *const *sites;
    const fc_check_result *const *results;
    const char *const *names;
    size_t n;
};

struct fci_path_view {
    const fc_site *site;
    const fc_check_result *result;
    const fc_checked_fixture *fixture;
    const fc_fixture_state *end; /* of the fixture, in the path's state */
    const fc_path *path;
    bool darcy;
};

struct fci_flush_view {
    const fc_site *site;
    const fc_flush_result *result;
    bool all; /* every valve of the building was opened */
};

struct fci_size_view {
    const fc_site *site;
    const fc_size_result *result;
};

struct fci_remedies_view {
    const fc_site *site;
    const fc_remedies *remedies;
};

struct fci_diagnosis_view {
    const fc_site *site;
    const fc_diagnosis *d;
    const fc_flush_result *rest; /* of a sheet: the building with no flow */
    const char *free_gauge;      /* a name that no gauge of the site has */
};

struct fci_verify_view {
    const fc_site *site;
    const fc_verify_result *result;
};

struct fci_tables_view {
    const fc_table_entry *entries;
    size_t n;
    bool listed;
};

/* A kind of report: a row in report/report.c. */
struct fci_report_kind {
    const char *name; /* "check" */
    const struct fci_shape *shape;
    void (*compose)(struct fci_doc *doc, const void *view);
    int (*json)(json_t *root, const void *view);
};

void fci_check_compose(struct fci_doc *doc, const void *view);
void fci_sites_compose(struct fci_doc *doc, const void *view);
void fci_path_compose(struct fci_doc *doc, const void *view);
void fci_flush_compose(struct fci_doc *doc, const void *view);
void fci_size_compose(struct fci_doc *doc, const void *view);
void fci_remedies_compose(struct fci_doc *doc, const void *view);
void fci_diagnosis_compose(struct fci_doc *doc, const void *view);
void fci_sheet_compose(struct fci_doc *doc, const void *view);
void fci_verify_compose(struct fci_doc *doc, const void *view);
void fci_record_compose(struct fci_doc *doc, const void *view);
void fci_tables_compose(struct fci_doc *doc, const void *view);

int fci_check_json(json_t *root, const void *view);
int fci_sites_json(json_t *root, const void *view);
int fci_flush_json(json_t *root, const void *view);
int fci_size_json(json_t *root, const void *view);
int fci_remedies_json(json_t *root, const void *view);
int fci_verify_json(json_t *root, const void *view);
int fci_tables_json(json_t *root, const void *view);

#endif
