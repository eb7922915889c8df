/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/report.c -- reports, and their writing in each form. */
#include "report/report.h"
#include "ground/diagnostics.h"
#include "ground/memory.h"
#include "page/forms.h"
#include "page/terminal.h"
#include "report/page_parts.h"
#include "report/path_shape.h"
#include "site/site.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

static void
page_of_check(struct fci_page *page, const void *what)
{
    const struct fci_check_view *view = what;

    page->result = view->result;
    page->paths = view->paths;
}

static void
page_of_path(struct fci_page *page, const void *what)
{
    const struct fci_path_view *view = what;

    page->result = view->result;
    page->path = view->path;
}

static void
page_of_size(struct fci_page *page, const void *what)
{
    const struct fci_size_view *view = what;

    page->result = view->result->check;
}

static void
page_of_remedies(struct fci_page *page, const void *what)
{
    const struct fci_remedies_view *view = what;

    page->result = view->remedies->check;
}

static const struct fci_report_kind
    check_kind = { "check",           NULL,
                   fci_check_compose, fci_check_json,
                   "Pressure check",  page_of_check },
    sites_kind = { "check of several sites", NULL, fci_sites_compose,
                   fci_sites_json,           NULL, NULL },
    path_kind = { "path", &fci_path_shape,   fci_path_compose,
                  NULL,   "Pressure budget", page_of_path },
    flush_kind = { "flush",
                   NULL,
                   fci_flush_compose,
                   fci_flush_json,
                   "Pressures while valves flush",
                   NULL },
    size_kind = { "size",        NULL,         fci_size_compose,
                  fci_size_json, "Pipe sizes", page_of_size },
    remedies_kind = { "size --remedy",   NULL,    fci_remedies_compose,
                      fci_remedies_json, "Fixes", page_of_remedies },
    diagnosis_kind = { "diagnose",         NULL,        fci_diagnosis_compose,
                       fci_diagnosis_json, "Diagnosis", NULL },
    sheet_kind = { "diagnose --sheet", NULL, fci_sheet_compose,
                   fci_diagnosis_json, NULL, NULL },
    verify_kind = { "verify",
                    NULL,
                    fci_verify_compose,
                    fci_verify_json,
                    "Verification of claims",
                    NULL },
    record_kind = { "verify --record", NULL, fci_record_compose,
                    fci_verify_json,   NULL, NULL },
    tables_kind = { "tables",        NULL, fci_tables_compose,
                    fci_tables_json, NULL, NULL };

struct fc_report {
    struct fci_arena arena; /* it lives in */
    const struct fci_report_kind *kind;
    const fc_site *site; /* NULL: of none, or of several */
    fc_unit_system units;
    const void *view;
};

/* A report with a copy of a view. */
static fc_status
report_new(const struct fci_report_kind *kind, const fc_site *site,
           fc_unit_system units, const void *view, size_t size,
           fc_report **report)
{
    fc_report *r = fci_object_new(sizeof *r);

    if (!r)
        return FC_ENOMEM;
    r->kind = kind;
    r->site = site;
    r->units = units;
    r->view = fci_arena_copy(fci_arena_of(r), view, size);
    if (!r->view) {
        fci_object_free(r);
        return FC_ENOMEM;
    }
    *report = r;
    return FC_OK;
}

#define REPORT(kind, site, units, view)                                       \
    report_new(&kind, site, units, &view, sizeof view, report)

fc_status
fc_report_check(const fc_site *site, const fc_check_result *result,
                const fc_path *const paths[FC_STATES], fc_report **report)
{
    struct fci_check_view view = { site, result, { NULL } };

    if (paths)
        memcpy(view.paths, paths, sizeof view.paths);
    return REPORT(check_kind, site, result->units, view);
}

fc_status
fc_report_sites(const fc_site *const *sites,
                const fc_check_result *const *results,
                const char *const *names, size_t n, fc_report **report)
{
    const struct fci_sites_view view = { sites, results, names, n };

    return REPORT(sites_kind, NULL, n > 0 ? results[0]->units : FC_US, view);
}

fc_status
fc_report_path(const fc_site *site, const fc_check_result *result,
               const fc_path *path, bool darcy, fc_report **report)
{
    struct fci_path_view view = { site, result, NULL, NULL, path, darcy };

    for (size_t i = 0; i < result->n_fixtures; i++)
        if (strcmp(result->fixtures[i].name, path->fixture) == 0)
            view.fixture = &result->fixtures[i];
    if (!view.fixture)
        return FC_EUNKNOWN;
    view.end = &view.fixture->states[path->state];
    return REPORT(path_kind, site, result->units, view);
}

fc_status
fc_report_flush(const fc_site *site, const fc_flush_result *result, bool all,
                fc_report **report)
{
    const struct fci_flush_view view = { site, result, all };

    return REPORT(flush_kind, site, result->units, view);
}

fc_status
fc_report_size(const fc_site *site, const fc_size_result *result,
               fc_report **report)
{
    const struct fci_size_view view = { site, result };

    return REPORT(size_kind, site, result->units, view);
}

fc_status
fc_report_remedies(const fc_site *site, const fc_remedies *remedies,
                   fc_report **report)
{
    const struct fci_remedies_view view = { site, remedies };

    return REPORT(remedies_kind, site, remedies->units, view);
}

/* That no gauge of the site has; with all of these taken it says so itself. */
static const char *
free_gauge_of(const fc_site *site)
{
    static const char *const names[] = { "second",   "other", "third",
                                         "fourth",   "fifth", "sixth",
                                         "FREE-NAME" };
    size_t i = 0;

    while (i + 1 < sizeof names / sizeof *names
           && fci_gauge_named(site, names[i]))
        i++;
    return names[i];
}

fc_status
fc_report_diagnosis(const fc_site *site, const fc_diagnosis *d,
                    fc_report **report)
{
    const struct fci_diagnosis_view view = { site, d, NULL,
                                             free_gauge_of(site) };

    return REPORT(diagnosis_kind, site, d->units, view);
}

fc_status
fc_report_sheet(const fc_site *site, const fc_diagnosis *d,
                const fc_flush_result *rest, fc_report **report)
{
    const struct fci_diagnosis_view view = { site, d, rest,
                                             free_gauge_of(site) };

    return REPORT(sheet_kind, site, d->units, view);
}

fc_status
fc_report_verify(const fc_site *site, const fc_verify_result *result,
                 fc_report **report)
{
    const struct fci_verify_view view = { site, result };

    return REPORT(verify_kind, site, result->units, view);
}

fc_status
fc_report_record(const fc_site *site, const fc_verify_result *result,
                 fc_report **report)
{
    const struct fci_verify_view view = { site, result };

    return REPORT(record_kind, site, result->units, view);
}

fc_status
fc_report_tables(const fc_table_entry *entries, size_t n, bool listed,
                 fc_report **report)
{
    const struct fci_tables_view view = { entries, n, listed };

    return REPORT(tables_kind, NULL, FC_US, view);
}

void
fc_report_free(fc_report *report)
{
    fci_object_free(report);
}

/* ---- Forms ------------------------------------------------------------ */

static bool
write_document(const fc_report *report, fc_form form,
               const fc_report_options *options, FILE *out)
{
    const bool paged = form == FC_HTML && report->kind->title;
    /* one with an end of its own keeps its order */
    struct fci_doc doc = { .units = report->units,
                           .forms = FCI_IN_ALL,
                           .place = paged ? FCI_ON_TOP : FCI_AT_END,
                           .options = options };
    struct fci_page page = { .doc = &doc, .site = report->site };
    bool written = false;

    if (form == FC_HTML && report->site)
        fci_page_foot(&page);
    if (paged)
        fci_page_head(&page, report->kind->title);
    report->kind->compose(&doc, report->view);
    if (paged && report->kind->page)
        report->kind->page(&page, report->view);
    if (paged)
        fci_page_parts(&page);
    if (!doc.failed && !doc.arena.failed)
        written = form == FC_HTML ? fci_html_form(&doc, out)
                                  : fci_text_form(&doc, out);
    fci_doc_free(&doc);
    return written;
}

static fc_status
write_table(const struct fci_data *data, const char *table, FILE *out,
            fc_diagnostics *messages)
{
    char *names = NULL;
    bool found = true;

    if (!fci_csv_form(data, table, out, &found))
        return FC_ENOMEM;
    if (found)
        return FC_OK;
    names = fci_csv_tables(data->shape);
    if (names)
        fci_fail(messages, FC_EUNKNOWN, NULL, 0,
                 "there is no table \"%s\"; the tables are %s",
                 table ? table : "", names);
    free(names);
    return names ? FC_EUNKNOWN : FC_ENOMEM;
}

static fc_status
write_form(const fc_report *report, fc_form form,
           const fc_report_options *options, FILE *out,
           fc_diagnostics *messages)
{
    const struct fci_data data = {
        report->kind->name,
        report->kind->shape,
        report->view,
        report->units,
        options->site,
        options->made,
        report->site ? fc_site_digest(report->site) : NULL,
        report->site ? fc_site_tables_digest(report->site) : NULL,
    };

    switch (form) {
    case FC_CSV:
        return write_table(&data, options->table, out, messages);
    case FC_JSON:
        return fci_json_form(&data, report->kind->json, out) ? FC_OK
                                                             : FC_ENOMEM;
    default:
        return write_document(report, form, options, out) ? FC_OK : FC_ENOMEM;
    }
}

fc_status
fc_report_write(const fc_report *report, fc_form form,
                const fc_report_options *options, char **text, size_t *size,
                fc_diagnostics *messages)
{
    static const fc_report_options defaults;
    char *written = NULL;
    size_t bytes = 0;
    FILE *out = open_memstream(&written, &bytes);
    fc_status status = FC_ENOMEM;
    bool failed = true;

    if (out) {
        status = write_form(report, form, options ? options : &defaults, out,
                            messages);
        failed = ferror(out);
        failed |= fclose(out) != 0;
    }
    if (status == FC_OK && (failed || !written))
        status = FC_ENOMEM;
    if (status != FC_OK) {
        free(written);
        return status;
    }
    *text = written;
    if (size)
        *size = bytes;
    return FC_OK;
}

char *
fc_report_schema(void)
{
    static const struct fci_report_kind *const kinds[] = {
        &check_kind,     &sites_kind,  &path_kind,
        &flush_kind,     &size_kind,   &remedies_kind,
        &diagnosis_kind, &verify_kind, &tables_kind,
    };
    const char *names[sizeof kinds / sizeof *kinds];
    const struct fci_shape *shapes[sizeof kinds / sizeof *kinds];
    json_t *schema;
    char *text = NULL;
    size_t n = 0;

    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (kinds[i]->shape) {
            names[n] = kinds[i]->name;
            shapes[n++] = kinds[i]->shape;
        }
    schema = fci_schema(names, shapes, n);
    if (schema)
        text = json_dumps(schema, JSON_INDENT(1));
    json_decref(schema);
    return text;
}

void
fc_free(char *text)
{
    free(text);
}

void
fc_text_put(const char *text, FILE *out)
{
    fci_text_write(out, text, strlen(text));
}
