/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/page_parts.c -- head, foot and end of a page that is handed in.
 */
#include "report/page_parts.h"
#include "report/words.h"

#include <string.h>

#define MOST_OF_A_FOOT 60 /* characters of the title under a sheet */

static const char *
title_of(const fc_site *site)
{
    return site->settings.title ? site->settings.title
                                : "Site without a title";
}

/* The date that the file gives, or else of its making. */
static const char *
date_of(const struct fci_page *page)
{
    const char *made = page->doc->options ? page->doc->options->made : NULL;

    return page->site->settings.date ? page->site->settings.date
           : made                    ? made
                                     : "undated";
}

/* The bytes of the first characters of a text. */
static int
beginning(const char *text, size_t characters)
{
    size_t bytes = 0;

    while (text[bytes] && characters > 0) {
        bytes++;
        while (((unsigned char)text[bytes] & 0xc0) == 0x80)
            bytes++;
        characters--;
    }
    return (int)bytes;
}

void
fci_page_foot(struct fci_page *page)
{
    const char *title = title_of(page->site);
    const char *digest = fc_site_digest(page->site);
    const int bytes = beginning(title, MOST_OF_A_FOOT);

    page->doc->foot = fci_arena_printf(
        &page->doc->arena, "%.*s%s | %s | site file %.12s", bytes, title,
        title[bytes] ? "..." : "", date_of(page), digest ? digest : "none");
}

/* ---- Head ------------------------------------------------------------- */

static void
add_pair(struct fci_page *page, const char *label, const char *text)
{
    fci_doc_pair(page->doc, label, "%s", text ? text : "not given");
}

/* The words of a source up to the first comma or colon that come before a
 * table: "International Plumbing Code (ICC) 2018". */
static int
edition_bytes(const char *source)
{
    return (int)strcspn(source, ",:;");
}

/* Code and edition as the entries of the fixtures say it, each once. */
static const char *
editions(const struct fci_page *page)
{
    const fc_site *site = page->site;
    const char *said = NULL;

    for (size_t i = 0; i < site->n_fixtures; i++) {
        const char *source = site->fixtures[i].kind->head.source;
        struct fci_arena *arena = &page->doc->arena;
        char *edition;

        if (site->fixtures[i].kind->head.amended || !source)
            continue;
        edition =
            fci_arena_substring(arena, source, (size_t)edition_bytes(source));
        if (!edition)
            return NULL;
        if (!said)
            said = edition;
        else if (!strstr(said, edition))
            said = fci_arena_printf(arena, "%s; %s", said, edition);
        if (!said)
            return NULL;
    }
    return said;
}

static void
add_code(struct fci_page *page)
{
    const char *code = page->site->settings.code == FC_IPC ? "IPC" : "UPC";
    const char *said = editions(page);

    fci_doc_pair(page->doc, "Code", "%s%s%s%s", code, said ? ": " : "",
                 said ? said : "",
                 page->site->tables_path ? "; amended by the tables file"
                                         : "");
}

static void
add_file(struct fci_page *page, const char *label, const char *name,
         const char *digest)
{
    if (digest)
        fci_doc_pair(page->doc, label, "%s%sSHA-256 %s", name ? name : "",
                     name ? ", " : "", digest);
    else
        fci_doc_pair(page->doc, label, "none");
}

void
fci_page_head(struct fci_page *page, const char *title)
{
    const fc_settings *s = &page->site->settings;
    const fc_report_options *options = page->doc->options;

    fci_doc_for(page->doc, FCI_IN_PAGE);
    fci_doc_title(page->doc, "%s", title_of(page->site));
    add_pair(page, "Document", title);
    add_pair(page, "Project no.", s->project_number);
    add_pair(page, "Address", s->address);
    add_pair(page, "Prepared by", s->prepared_by);
    add_pair(page, "Checked by", s->checked_by);
    add_pair(page, "Revision", s->revision);
    add_pair(page, "Date", s->date);
    if (options && options->made)
        add_pair(page, "Calculated", options->made);
    if (!page->quick) /* it judges by no code */
        add_code(page);
    fci_doc_pair(page->doc, "Program", "flushcalc %s", fc_version());
    add_file(page, "Site file", options ? options->site : NULL,
             fc_site_digest(page->site));
    add_file(page, "Tables file", s->tables,
             fc_site_tables_digest(page->site));
    if (page->doc->set)
        add_pair(page, "Values set", page->doc->set);
    if (page->doc->set && options && options->command)
        add_pair(page, "Command", options->command);
    fci_doc_for(page->doc, FCI_IN_ALL);
}

/* ---- The rest --------------------------------------------------------- */

const char *
fci_page_said(struct fci_page *page, const char *value)
{
    const char *dots = value ? strstr(value, "..") : NULL;
    size_t before;

    if (!dots || strstr(dots + 2, ".."))
        return value ? fci_arena_string(&page->doc->arena, value) : NULL;
    before = (size_t)(dots - value);
    while (before > 0 && value[before - 1] == ' ')
        before--;
    return fci_arena_printf(&page->doc->arena, "%.*s to %s", (int)before,
                            value, dots + 2 + strspn(dots + 2, " "));
}

const char *
fci_page_standing(fc_range given)
{
    return given.low < given.high ? "range given" : "given";
}

/* ---- Drawings --------------------------------------------------------- */

/* What the drawings are of, as long as the document lives. */
struct drawn {
    const fc_site *site;
    const fc_check_result *result;
    const struct fci_points *points;
    const fc_path *paths[FC_STATES];
};

static bool
draw_riser(xmlTextWriterPtr out, const void *what)
{
    const struct drawn *drawn = what;

    return fci_draw_riser(out, drawn->site, drawn->result, drawn->points);
}

static bool
draw_profile(xmlTextWriterPtr out, const void *what)
{
    const struct drawn *drawn = what;

    return fci_draw_profile(out, drawn->site, drawn->result, drawn->paths);
}

static bool
draw_supply(xmlTextWriterPtr out, const void *what)
{
    const struct drawn *drawn = what;

    return fci_draw_supply(out, drawn->site, drawn->result);
}

/* The ways that a profile is of: to the governing fixture, or the one that the
 * report is of.  False: there is none. */
static bool
find_ways(const struct fci_page *page, struct drawn *drawn)
{
    for (int s = 0; s < FC_STATES && page->paths; s++)
        drawn->paths[s] = page->paths[s];
    if (page->path)
        drawn->paths[page->path->state] = page->path;
    return drawn->paths[FC_EXISTING] || drawn->paths[FC_RETROFIT];
}

static void
put_drawings(struct fci_page *page)
{
    struct fci_doc *doc = page->doc;
    struct drawn *drawn = fci_arena_alloc(&doc->arena, sizeof *drawn);

    if (!drawn)
        return;
    drawn->site = page->site;
    drawn->result = page->result;
    drawn->points = page->points;
    fci_doc_heading(doc, "Riser diagram");
    if (page->of_points)
        fci_doc_say(doc, "%s", page->of_points);
    fci_doc_drawing(doc, draw_riser, drawn);
    if (page->result && find_ways(page, drawn)) {
        fci_doc_heading(doc, "Pressure profile");
        fci_doc_drawing(doc, draw_profile, drawn);
    }
    if (page->result) {
        fci_doc_heading(doc, "Supply and demand");
        fci_doc_drawing(doc, draw_supply, drawn);
    }
}

static void
put_overrides(struct fci_page *page)
{
    static const struct fci_doc_column columns[] = {
        { "figure", "", FCI_LEFT, 10 },
        { "set by the file", "", FCI_LEFT, 10 },
        { "by the code or the tables", "", FCI_LEFT, 10 },
    };
    const fc_check_result *result = page->result;
    struct fci_grid *table;

    if (!result || result->n_overrides == 0)
        return;
    fci_doc_heading(page->doc, "Set by the file otherwise than by the code");
    table = fci_doc_table(page->doc, columns, 3);
    for (size_t i = 0; i < result->n_overrides; i++) {
        fci_cell(table, result->overrides[i].what);
        fci_cell(table, result->overrides[i].set);
        fci_cell(table, result->overrides[i].code);
    }
}

static void
put_signature(struct fci_page *page, const char *what, const char *who)
{
    fci_doc_line(page->doc,
                 who ? fci_arena_printf(&page->doc->arena, "%s: %s", what, who)
                     : what,
                 "Date");
}

static void
put_signatures(struct fci_page *page)
{
    const fc_settings *s = &page->site->settings;

    fci_doc_heading(page->doc, "Signatures");
    put_signature(page, "Prepared by", s->prepared_by);
    put_signature(page, "Checked by", s->checked_by);
}

/* Inputs, drawings and tables of a site. */
static void
put_site(struct fci_page *page)
{
    fci_page_inputs(page);
    fci_page_pipes(page);
    fci_page_valves(page);
    fci_page_readings(page);
    put_drawings(page);
    fci_page_sheet(page);
    fci_page_fixtures(page);
}

void
fci_page_parts(struct fci_page *page)
{
    struct fci_doc *doc = page->doc;

    fci_doc_for(doc, FCI_IN_PAGE);
    fci_doc_place(doc, FCI_IN_BODY);
    if (page->quick)
        fci_page_figures(page);
    else
        put_site(page);
    fci_doc_place(doc, FCI_AT_END);
    put_overrides(page);
    if (!page->quick) /* its sources are told with what is assumed */
        fci_page_sources(page);
    put_signatures(page);
    fci_doc_for(doc, FCI_IN_ALL);
}
