/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/report.h -- results as reports: text, a page, CSV, JSON. */
#ifndef FLUSHCALC_REPORT_H
#define FLUSHCALC_REPORT_H

#include "flushcalc/compare.h"
#include "flushcalc/diagnose.h"
#include "flushcalc/effects.h"
#include "flushcalc/flush.h"
#include "flushcalc/path.h"
#include "flushcalc/quick.h"
#include "flushcalc/remedies.h"
#include "flushcalc/sites.h"
#include "flushcalc/sweep.h"
#include "flushcalc/size.h"
#include "flushcalc/tables.h"
#include "flushcalc/verify.h"

#include <stdio.h>

#ifdef __cplusplus
extern "C" {
#endif

/** A report of one result.  It borrows the result and the site, which must
 * outlive it. */
typedef struct fc_report fc_report;

typedef enum fc_form {
    FC_TEXT, /* for a terminal: one screen, or all tables */
    FC_HTML, /* one self-contained page with drawings */
    FC_CSV,  /* one table, RFC 4180 */
    FC_JSON  /* the data; see fc_report_schema() */
} fc_form;

/** How a report is to look.  All zero: the defaults. */
typedef struct fc_report_options {
    const char *site;    /* the site file, as it was named; NULL: not told */
    const char *made;    /* when it is made, "2026-11-29 02:05 UTC"; NULL: not
                            told */
    const char *command; /* what makes it again; NULL: not told */
    const char *table;   /* of FC_CSV: which; NULL: the first */
    unsigned width;      /* of FC_TEXT: columns, 40 or more (default 79) */
    bool full;           /* of FC_TEXT: all tables; else one screen */
    bool color;          /* of FC_TEXT */
    bool terminal; /* of FC_TEXT: a long name may be broken to fit the width */
    FC_ROOM(8);
} fc_report_options;

/* Each sets *report to a report to be freed with fc_report_free(), and returns
 * FC_OK, FC_ENOMEM or FC_EINPUT (NULL in place of what is needed). */

/** Of fc_check() on one site.  `paths` are the ways to the governing fixture
 * in each state, or NULL. */
fc_status fc_report_check(const fc_site *site, const fc_check_result *result,
                          const fc_path *const paths[FC_STATES],
                          fc_report **report);
/** Of fc_check_sites(), a line each. */
fc_status fc_report_sites(const fc_checked_sites *sites, fc_report **report);
/** Of fc_compare(). */
fc_status fc_report_compare(const fc_comparison *comparison,
                            fc_report **report);
/** Of fc_sweep() on one site. */
fc_status fc_report_sweep(const fc_site *site, const fc_sweep_result *sweep,
                          fc_report **report);
/** Of fc_path_find_with(), or else of another path and `result`, which is
 * fc_check()'s of the same site.  With it a page draws the building as it was
 * checked; NULL: none.  FC_EUNKNOWN: neither has the fixture. */
fc_status fc_report_path(const fc_site *site, const fc_check_result *result,
                         const fc_path *path, bool darcy, fc_report **report);
/** Of fc_flush(); `all`: every valve of the building was opened. */
fc_status fc_report_flush(const fc_site *site, const fc_flush_result *result,
                          bool all, fc_report **report);
/** Of fc_effects_find(). */
fc_status fc_report_effects(const fc_site *site, const fc_effects *effects,
                            fc_report **report);
/** Of fc_quick(). */
fc_status fc_report_quick(const fc_quick_result *result, fc_report **report);
/** Of fc_size(). */
fc_status fc_report_size(const fc_site *site, const fc_size_result *result,
                         fc_report **report);
/** Of fc_remedies_find(). */
fc_status fc_report_remedies(const fc_site *site, const fc_remedies *remedies,
                             fc_report **report);
/** Of fc_diagnose(). */
fc_status fc_report_diagnosis(const fc_site *site, const fc_diagnosis *d,
                              fc_report **report);
/** A field sheet to be filled in; `rest` is fc_flush() of nothing. */
fc_status fc_report_sheet(const fc_site *site, const fc_diagnosis *d,
                          const fc_flush_result *rest, fc_report **report);
/** Of fc_verify(). */
fc_status fc_report_verify(const fc_site *site, const fc_verify_result *result,
                           fc_report **report);
/** An inspection record of it, to be signed. */
fc_status fc_report_record(const fc_site *site, const fc_verify_result *result,
                           fc_report **report);
/** Of entries of the tables; `listed`: a line each. */
fc_status fc_report_tables(const fc_table_entry *entries, size_t n,
                           bool listed, fc_report **report);

/**
 * Write a report.
 *
 * @param form      which form
 * @param options   how it is to look; NULL is the defaults
 * @param text      set to the whole, ended by a zero byte, to be freed with
 *                  fc_free(); kept on failure
 * @param size      set to its bytes, without the zero byte; may be NULL
 * @param messages  gets the reason on failure; may be NULL
 *
 * @return FC_OK
 *         FC_EUNKNOWN  CSV: there is no table of that name; all names are said
 *         FC_ENOMEM
 */
fc_status fc_report_write(const fc_report *report, fc_form form,
                          const fc_report_options *options, char **text,
                          size_t *size, fc_diagnostics *messages);
void fc_report_free(fc_report *report);

/** The JSON Schema (draft 2020-12) of all reports, to be freed with fc_free();
 * NULL when out of memory. */
char *fc_report_schema(void);

/** Free a text that this library made; of NULL nothing. */
void fc_free(char *text);

/** Write a text fit for a terminal: what could steer it, and what is not
 * UTF-8, becomes question marks. */
void fc_text_put(const char *text, FILE *out);

#ifdef __cplusplus
}
#endif

#endif
