/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/report.c -- reports, and their writing in each form. */
#include "report/report.h"
#include "ground/call.h"
#include "ground/diagnostics.h"
#include "ground/memory.h"
#include "ground/text_stream.h"
#include "page/forms.h"
#include "page/terminal.h"
#include "report/check_shape.h"
#include "report/diagnose_shape.h"
#include "report/effects_report.h"
#include "report/page_parts.h"
#include "report/path_shape.h"
#include "report/set_over.h"
#include "report/size_shape.h"
#include "report/tables_shape.h"
#include "report/verify_report.h"
#include "site/site.h"
#include "variants/setting.h"

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

    page->result = view->whole;
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

static void
page_of_quick(struct fci_page *page, const void *what)
{
    const struct fci_quick_view *view = what;

    page->quick = view->result;
}

static void
head_of_site(struct fci_data *data, const void *item)
{
    const fc_site_line *line = item;

    data->site = line->path;
    data->digest = line->digest;
    data->set = line->set;
    data->n_set = line->n_set;
}

static const struct fci_report_kind
    check_kind = { .name = "check",
                   .shape = &fci_check_shape,
                   .compose = fci_check_compose,
                   .title = "Pressure check",
                   .page = page_of_check },
    sites_kind = { .name = "check of several sites",
                   .shape = &fci_sites_shape,
                   .compose = fci_sites_compose,
                   .line = head_of_site },
    comparison_kind = { .name = "compare",
                        .shape = &fci_comparison_shape,
                        .compose = fci_comparison_compose,
                        .title = "Comparison" },
    sweep_kind = { .name = "check --sweep",
                   .shape = &fci_sweep_shape,
                   .compose = fci_sweep_compose,
                   .title = "Pressure check over one input" },
    path_kind = { .name = "path",
                  .shape = &fci_path_shape,
                  .compose = fci_path_compose,
                  .title = "Pressure budget",
                  .page = page_of_path },
    flush_kind = { .name = "flush",
                   .shape = &fci_flush_shape,
                   .compose = fci_flush_compose,
                   .title = "Pressures while valves flush",
                   .page = fci_page_of_flush },
    effects_kind = { .name = "effects",
                     .shape = &fci_effects_shape,
                     .compose = fci_effects_compose,
                     .folds = true,
                     .title = "What else the retrofit changes" },
    quick_kind = { .name = "quick",
                   .shape = &fci_quick_shape,
                   .compose = fci_quick_compose,
                   .title = "First answer",
                   .page = page_of_quick,
                   .columns = 40 },
    size_kind = { .name = "size",
                  .shape = &fci_size_shape,
                  .compose = fci_size_compose,
                  .title = "Pipe sizes",
                  .whole = true,
                  .page = page_of_size },
    remedies_kind = { .name = "size --remedy",
                      .shape = &fci_remedies_shape,
                      .compose = fci_remedies_compose,
                      .title = "Fixes",
                      .whole = true,
                      .page = page_of_remedies },
    diagnosis_kind = { .name = "diagnose",
                       .shape = &fci_diagnosis_shape,
                       .compose = fci_diagnosis_compose,
                       .title = "Diagnosis",
                       .page = fci_page_of_diagnosis },
    sheet_kind = { .name = "diagnose --sheet",
                   .shape = &fci_diagnosis_shape,
                   .compose = fci_sheet_compose },
    verify_kind = { .name = "verify",
                    .shape = &fci_verify_shape,
                    .compose = fci_verify_compose,
                    .whole = true,
                    .title = "Verification of claims",
                    .page = fci_page_of_verify },
    record_kind = { .name = "verify --record",
                    .shape = &fci_verify_shape,
                    .compose = fci_record_compose },
    tables_kind = { .name = "tables",
                    .shape = &fci_tables_shape,
                    .compose = fci_tables_compose };

struct fc_report {
    const struct fci_report_kind *kind;
    const fc_site *site; /* NULL: of none, or of several */
    fc_unit_system units;
    void *view;
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

/* A view with what is made up of it. */
static fc_status
laid(fc_status status, fc_report **report,
     bool (*lay)(struct fci_arena *arena, void *view))
{
    if (status != FC_OK || lay(fci_arena_of(*report), (*report)->view))
        return status;
    fc_report_free(*report);
    *report = NULL;
    return FC_ENOMEM;
}

#define REPORT(kind, site, units, view)                                       \
    report_new(&kind, site, units, &view, sizeof view, report)

fc_status
fc_report_check(const fc_site *site, const fc_check_result *result,
                const fc_path *const paths[FC_STATES], fc_report **report)
{
    if (FCI_REFUSES(NULL, FCI_GIVEN(site), FCI_GIVEN(result),
                    FCI_GIVEN(report)))
        return FC_EINPUT;

    struct fci_check_view view = { site, result, { NULL } };

    if (paths)
        memcpy(view.paths, paths, sizeof view.paths);
    return REPORT(check_kind, site, result->units, view);
}

fc_status
fc_report_sites(const fc_checked_sites *sites, fc_report **report)
{
    if (FCI_REFUSES(NULL, FCI_GIVEN(sites), FCI_GIVEN(report)))
        return FC_EINPUT;

    const fc_checked_sites view = *sites;

    return REPORT(sites_kind, NULL, sites->units, view);
}

fc_status
fc_report_compare(const fc_comparison *comparison, fc_report **report)
{
    if (FCI_REFUSES(NULL, FCI_GIVEN(comparison), FCI_GIVEN(report)))
        return FC_EINPUT;

    const struct fci_comparison_view view = { *comparison,
                                              fci_compared_site(comparison) };

    return REPORT(comparison_kind, view.site, comparison->units, view);
}

fc_status
fc_report_sweep(const fc_site *site, const fc_sweep_result *sweep,
                fc_report **report)
{
    if (FCI_REFUSES(NULL, FCI_GIVEN(site), FCI_GIVEN(sweep),
                    FCI_GIVEN(report)))
        return FC_EINPUT;

    const fc_sweep_result view = *sweep;

    return REPORT(sweep_kind, site, sweep->units, view);
}

static bool
is_on(const fc_path *path, const char *subject)
{
    for (size_t i = 0; i < path->n_steps; i++)
        if (strcmp(path->steps[i].element, subject) == 0)
            return true;
    return false;
}

/* The findings of what is on the way; they live in the report. */
static bool
choose_findings(struct fci_arena *arena, void *path_view)
{
    struct fci_path_view *view = path_view;
    const fc_check_result *result = view->result;
    fc_finding *findings =
        fci_arena_array(arena, result->n_findings, sizeof *findings);

    for (size_t i = 0; findings && i < result->n_findings; i++)
        if (is_on(view->path, result->findings[i].subject))
            findings[view->n_findings++] = result->findings[i];
    view->findings = findings;
    return findings != NULL;
}

fc_status
fc_report_path(const fc_site *site, const fc_check_result *result,
               const fc_path *path, bool darcy, fc_report **report)
{
    if (FCI_REFUSES(NULL, FCI_GIVEN(site), FCI_GIVEN(path), FCI_GIVEN(report)))
        return FC_EINPUT;

    struct fci_path_view view = { .site = site,
                                  .result = path->check ? path->check : result,
                                  .whole = result,
                                  .path = path,
                                  .darcy = darcy };

    for (size_t i = 0; view.result && i < view.result->n_fixtures; i++)
        if (strcmp(view.result->fixtures[i].name, path->fixture) == 0)
            view.fixture = &view.result->fixtures[i];
    if (!view.fixture)
        return FC_EUNKNOWN;
    view.end = &view.fixture->states[path->state];
    return laid(REPORT(path_kind, site, view.result->units, view), report,
                choose_findings);
}

fc_status
fc_report_flush(const fc_site *site, const fc_flush_result *result, bool all,
                fc_report **report)
{
    if (FCI_REFUSES(NULL, FCI_GIVEN(site), FCI_GIVEN(result),
                    FCI_GIVEN(report)))
        return FC_EINPUT;

    const struct fci_flush_view view = { site, result, all };

    return REPORT(flush_kind, site, result->units, view);
}

fc_status
fc_report_effects(const fc_site *site, const fc_effects *effects,
                  fc_report **report)
{
    if (FCI_REFUSES(NULL, FCI_GIVEN(site), FCI_GIVEN(effects),
                    FCI_GIVEN(report)))
        return FC_EINPUT;

    const struct fci_effects_view view = { site, effects };

    return REPORT(effects_kind, site, effects->units, view);
}

fc_status
fc_report_quick(const fc_quick_result *result, fc_report **report)
{
    if (FCI_REFUSES(NULL, FCI_GIVEN(result), FCI_GIVEN(report)))
        return FC_EINPUT;

    const struct fci_quick_view view = { result };

    return REPORT(quick_kind, result->site, result->units, view);
}

fc_status
fc_report_size(const fc_site *site, const fc_size_result *result,
               fc_report **report)
{
    if (FCI_REFUSES(NULL, FCI_GIVEN(site), FCI_GIVEN(result),
                    FCI_GIVEN(report)))
        return FC_EINPUT;

    static const fc_check_result none;
    struct fci_size_view view = { site, result,
                                  result->check ? *result->check : none };

    view.told.overrides = result->overrides;
    view.told.n_overrides = result->n_overrides;
    return REPORT(size_kind, site, result->units, view);
}

fc_status
fc_report_remedies(const fc_site *site, const fc_remedies *remedies,
                   fc_report **report)
{
    if (FCI_REFUSES(NULL, FCI_GIVEN(site), FCI_GIVEN(remedies),
                    FCI_GIVEN(report)))
        return FC_EINPUT;

    const struct fci_remedies_view view = { .site = site,
                                            .remedies = remedies };

    return laid(REPORT(remedies_kind, site, remedies->units, view), report,
                fci_remedies_lay);
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
    if (FCI_REFUSES(NULL, FCI_GIVEN(site), FCI_GIVEN(d), FCI_GIVEN(report)))
        return FC_EINPUT;

    const struct fci_diagnosis_view view = { site, d, NULL,
                                             free_gauge_of(site) };

    return REPORT(diagnosis_kind, site, d->units, view);
}

fc_status
fc_report_sheet(const fc_site *site, const fc_diagnosis *d,
                const fc_flush_result *rest, fc_report **report)
{
    if (FCI_REFUSES(NULL, FCI_GIVEN(site), FCI_GIVEN(d), FCI_GIVEN(rest),
                    FCI_GIVEN(report)))
        return FC_EINPUT;

    const struct fci_diagnosis_view view = { site, d, rest,
                                             free_gauge_of(site) };

    return REPORT(sheet_kind, site, d->units, view);
}

/* The cases of all claims in one list. */
static bool
list_cases(struct fci_arena *arena, void *verify_view)
{
    struct fci_verify_view *view = verify_view;
    const fc_verify_result *result = view->result;
    struct fci_claim_case_view *cases;
    size_t n = 0;

    for (size_t i = 0; i < result->n_claims; i++)
        n += result->claims[i].n_cases;
    view->cases = cases = fci_arena_array(arena, n, sizeof *cases);
    for (size_t i = 0; cases && i < result->n_claims; i++)
        for (size_t k = 0; k < result->claims[i].n_cases; k++)
            cases[view->n_cases++] =
                (struct fci_claim_case_view){ result->claims[i].name,
                                              &result->claims[i].cases[k] };
    return cases != NULL;
}

fc_status
fc_report_verify(const fc_site *site, const fc_verify_result *result,
                 fc_report **report)
{
    if (FCI_REFUSES(NULL, FCI_GIVEN(site), FCI_GIVEN(result),
                    FCI_GIVEN(report)))
        return FC_EINPUT;

    const struct fci_verify_view view = { site, result, NULL, 0 };

    return laid(REPORT(verify_kind, site, result->units, view), report,
                list_cases);
}

fc_status
fc_report_record(const fc_site *site, const fc_verify_result *result,
                 fc_report **report)
{
    if (FCI_REFUSES(NULL, FCI_GIVEN(site), FCI_GIVEN(result),
                    FCI_GIVEN(report)))
        return FC_EINPUT;

    const struct fci_verify_view view = { site, result, NULL, 0 };

    return laid(REPORT(record_kind, site, result->units, view), report,
                list_cases);
}

fc_status
fc_report_tables(const fc_table_entry *entries, size_t n, bool listed,
                 fc_report **report)
{
    if (FCI_REFUSES(NULL, FCI_LISTED(entries, n), FCI_GIVEN(report)))
        return FC_EINPUT;

    const struct fci_tables_view view = { .entries = entries,
                                          .n = n,
                                          .listed = listed };

    return laid(REPORT(tables_kind, NULL, FC_US, view), report,
                fci_tables_lay);
}

void
fc_report_free(fc_report *report)
{
    fci_object_free(report);
}

/* ---- Forms ------------------------------------------------------------ */

/* What was set over the file; over several, as over the first of them. */
struct set {
    const fc_set_value *values;
    size_t n;
    bool several;
};

static bool
find_set(const fc_report *report, struct fci_arena *arena, struct set *set)
{
    const fc_checked_sites *sites = report->view;

    *set = (struct set){ NULL, 0, report->kind == &sites_kind };
    if (report->site) {
        set->values = fci_set_values(report->site, arena, &set->n);
        return set->values || set->n == 0;
    }
    if (set->several && sites->n_lines > sites->n_broken) {
        set->values = sites->lines[0].set;
        set->n = sites->lines[0].n_set;
    }
    return true;
}

static bool
write_document(const fc_report *report, fc_form form,
               const fc_report_options *options, FILE *out)
{
    const bool paged = form == FC_HTML && report->kind->title && report->site;
    /* one with an end of its own keeps its order */
    struct fci_doc doc = { .units = report->units,
                           .forms = FCI_IN_ALL,
                           .unseen = form == FC_TEXT && !options->full
                                         ? FCI_IN_DEPTH
                                         : 0U,
                           .place = paged ? FCI_ON_TOP : FCI_AT_END,
                           .whole = report->kind->whole,
                           .columns = report->kind->columns,
                           .folds = form == FC_HTML || report->kind->folds,
                           .options = options };
    struct fci_page page = { .doc = &doc, .site = report->site };
    struct set set;
    bool written = false;

    if (find_set(report, &doc.arena, &set))
        fci_set_over_doc(set.values, set.n, set.several, &doc);
    else
        doc.failed = true;
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
    if (page.names)
        fci_names_free(page.names);
    fci_doc_free(&doc);
    return written;
}

static fc_status
write_table(const struct fci_data *data, const char *table, FILE *out,
            fc_diagnostics *messages)
{
    char *names = NULL;
    bool found = true;

    if (!data->shape)
        return fci_fail(messages, FC_EUNKNOWN, NULL, 0,
                        "the report of %s has no tables for CSV",
                        data->report);
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

/* What a shape that is one list is a list of. */
static const struct fci_member *
listed(const struct fci_shape *shape)
{
    return &shape->members[0];
}

static bool
write_json(const struct fci_report_kind *kind, const struct fci_data *data,
           FILE *out)
{
    const struct fci_at at = { data->root, data->root };
    const void *value = NULL;
    union fci_value room;
    const struct fci_list *list;

    if (!kind->line)
        return fci_json_form(data, out);
    fci_member_value(listed(data->shape), at, &room, &value);
    list = value;
    for (size_t i = 0; list && i < list->n; i++) {
        const struct fci_shape *shape = listed(data->shape)->shape;
        struct fci_data line = *data;

        line.line = true;
        line.shape = shape;
        line.root = (const char *)list->items + i * shape->size;
        kind->line(&line, line.root);
        if (!fci_json_form(&line, out))
            return false;
    }
    return true;
}

static fc_status
write_form(const fc_report *report, fc_form form,
           const fc_report_options *options, FILE *out,
           fc_diagnostics *messages)
{
    struct fci_arena arena = { 0 };
    struct set set;
    struct fci_data data = {
        report->kind->name,
        report->kind->shape,
        report->view,
        report->units,
        options->site,
        options->made,
        report->site ? fc_site_digest(report->site) : NULL,
        report->site ? fc_site_tables_digest(report->site) : NULL,
        .line = false,
    };
    fc_status status = FC_ENOMEM;

    if (form != FC_CSV && form != FC_JSON)
        return write_document(report, form, options, out) ? FC_OK : FC_ENOMEM;
    if (find_set(report, &arena, &set)
        && fci_set_over_data(set.values, set.n, set.several, &arena, &data))
        status = form == FC_CSV
                     ? write_table(&data, options->table, out, messages)
                 : write_json(report->kind, &data, out) ? FC_OK
                                                        : FC_ENOMEM;
    fci_arena_free(&arena);
    return status;
}

fc_status
fc_report_write(const fc_report *report, fc_form form,
                const fc_report_options *options, char **text, size_t *size,
                fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_GIVEN(report), FCI_GIVEN(text),
                    FCI_ENUM(form, FC_JSON)))
        return FC_EINPUT;

    static const fc_report_options defaults;
    char *written = NULL;
    size_t bytes = 0;
    FILE *out = fci_text_stream(&written, &bytes);
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
        &check_kind,  &sites_kind,    &sweep_kind,     &comparison_kind,
        &path_kind,   &flush_kind,    &effects_kind,   &quick_kind,
        &size_kind,   &remedies_kind, &diagnosis_kind, &sheet_kind,
        &verify_kind, &record_kind,   &tables_kind,
    };
    const char *names[sizeof kinds / sizeof *kinds];
    const struct fci_shape *shapes[sizeof kinds / sizeof *kinds];
    json_t *schema;
    char *text = NULL;
    size_t n = 0, size;
    FILE *out;
    bool done;

    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (kinds[i]->shape) {
            names[n] = kinds[i]->name;
            shapes[n++] = kinds[i]->line ? listed(kinds[i]->shape)->shape
                                         : kinds[i]->shape;
        }
    schema = fci_schema(names, shapes, n);
    out = schema ? fci_text_stream(&text, &size) : NULL;
    done = out && fci_json_write(schema, JSON_INDENT(1), out);
    if (out)
        done = fclose(out) == 0 && done;
    json_decref(schema);
    if (!done)
        free(text);
    return done ? text : NULL;
}

void
fc_free(char *text)
{
    free(text);
}

void
fc_text_put(const char *text, FILE *out)
{
    if (text && out)
        fci_text_write(out, text, strlen(text));
}
