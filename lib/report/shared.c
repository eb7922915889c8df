/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/shared.c -- title, assumptions and cautions. */
#include "report/shared.h"
#include "ground/text_stream.h"
#include "page/terminal.h"
#include "report/page_parts.h"
#include "report/words.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const char *
fci_short_name(struct fci_doc *doc, const char *name, size_t columns)
{
    const char *text;

    if (fci_text_width(name) <= columns)
        return name;
    text = fci_arena_printf(&doc->arena, "...%s",
                            fci_text_end(name, columns - 3));
    return text ? text : "";
}

static void
say_title(struct fci_doc *doc, const char *title)
{
    fci_doc_say(doc, "%s", title ? title : "Site without a title");
}

/* A page has a head of its own, as of the next. */
void
fci_part_title(struct fci_doc *doc, const char *title)
{
    const unsigned forms = doc->forms;

    fci_doc_for(doc, forms & FCI_IN_TEXT);
    say_title(doc, title);
    fci_doc_gap(doc);
    fci_doc_for(doc, forms);
}

void
fci_part_heading(struct fci_doc *doc, const fc_check_result *result)
{
    const unsigned forms = doc->forms;

    fci_doc_for(doc, forms & FCI_IN_TEXT);
    say_title(doc, result->title);
    if (result->address)
        fci_doc_say(doc, "%s", result->address);
    if (result->prepared_by && result->date)
        fci_doc_say(doc, "Prepared by %s, %s", result->prepared_by,
                    result->date);
    else if (result->prepared_by)
        fci_doc_say(doc, "Prepared by %s", result->prepared_by);
    else if (result->date)
        fci_doc_say(doc, "%s", result->date);
    fci_doc_gap(doc);
    fci_doc_for(doc, forms);
}

#define MOST_CONTRADICTIONS 3

void
fci_part_contradictions(struct fci_doc *doc, const fc_contradiction *list,
                        size_t n)
{
    for (size_t i = 0; i < n && i < MOST_CONTRADICTIONS; i++)
        fci_doc_say(doc, "%s", list[i].text);
    if (n > MOST_CONTRADICTIONS)
        fci_doc_say(doc, "and %zu more gauge readings that contradict it.",
                    n - MOST_CONTRADICTIONS);
}

#define MOST_OVERRIDES 3

/* Of a "fixture units of wc-1, wc-2" what stands before " of ". */
static size_t
sort_of(const fc_override *override)
{
    const char *of = strstr(override->what, " of ");

    return of ? (size_t)(of - override->what) : strlen(override->what);
}

/* How many of the sort of override i there are; 0: one of it came before. */
static size_t
count_of_sort(const fc_override *overrides, size_t n, size_t i)
{
    const size_t length = sort_of(&overrides[i]);
    size_t count = 0;

    for (size_t k = 0; k < n; k++)
        if (overrides[k].states == overrides[i].states
            && sort_of(&overrides[k]) == length
            && strncmp(overrides[k].what, overrides[i].what, length) == 0) {
            if (k < i)
                return 0;
            count++;
        }
    return count;
}

/* One of each sort. */
static void
say_sorts(struct fci_doc *doc, const fc_override *overrides, size_t n)
{
    char *text = NULL;
    size_t size;
    FILE *out = fci_text_stream(&text, &size);

    for (size_t i = 0; out && i < n; i++) {
        const size_t count = count_of_sort(overrides, n, i);

        if (count == 0)
            continue;
        fprintf(out, "%s%s%s %s", i > 0 ? "; " : "",
                overrides[i].states == FC_IN(FC_EXISTING) ? "existing, "
                : overrides[i].states == FC_IN(FC_RETROFIT)
                    ? "after retrofit, "
                    : "",
                overrides[i].what, overrides[i].set);
        if (count > 1)
            fprintf(out, " and %zu more", count - 1);
    }
    if (!out || fclose(out) != 0 || !text)
        doc->failed = true;
    else
        fci_doc_say(doc, "Set by the file, not by the code (see --full): %s.",
                    text);
    free(text);
}

void
fci_part_set(struct fci_doc *doc)
{
    const unsigned forms = doc->forms;

    if (!doc->set)
        return;
    fci_doc_for(doc, forms & FCI_IN_BRIEF);
    fci_doc_say(doc, "%s", doc->set_brief);
    fci_doc_for(doc, forms & ~(unsigned)FCI_IN_BRIEF);
    fci_doc_say(doc, "%s", doc->set);
    fci_doc_for(doc, forms);
}

void
fci_part_overrides(struct fci_doc *doc, const fc_override *overrides, size_t n)
{
    const unsigned forms = doc->forms;

    fci_part_set(doc);
    if (n > MOST_OVERRIDES) {
        fci_doc_for(doc, forms & FCI_IN_BRIEF);
        say_sorts(doc, overrides, n);
        fci_doc_for(doc, forms & ~(unsigned)FCI_IN_BRIEF);
    }
    for (size_t i = 0; i < n; i++)
        fci_doc_say(doc, "%s", overrides[i].text);
    fci_doc_for(doc, forms);
}

void
fci_part_assumptions(struct fci_doc *doc, const char *const *assumptions,
                     size_t n)
{
    const enum fci_place place = fci_doc_place(doc, FCI_AT_END);

    if (n > 0)
        fci_doc_heading(doc, "Assumed, not given");
    for (size_t i = 0; i < n; i++)
        fci_doc_item(doc, "%s", assumptions[i]);
    fci_doc_place(doc, place);
}

void
fci_part_files(struct fci_doc *doc, const struct fci_told_file *files,
               size_t n)
{
    static const struct fci_doc_column columns[] = {
        { "file", "", FCI_LEFT, 12 },
        { "title", "", FCI_LEFT, 12 },
        { "SHA-256", "", FCI_LEFT, 12 },
    };
    const unsigned forms = doc->forms;
    const enum fci_place place = fci_doc_place(doc, FCI_AT_END);
    struct fci_grid *grid;

    fci_doc_for(doc, FCI_IN_PAGE);
    fci_doc_heading(doc, "Site files");
    grid = fci_doc_table(doc, columns, 3);
    for (size_t i = 0; i < n; i++) {
        fci_cell(grid, files[i].path);
        fci_cell(grid, files[i].title ? files[i].title : "-");
        fci_cell(grid, files[i].digest ? files[i].digest : "-");
    }
    fci_doc_place(doc, place);
    fci_doc_for(doc, forms);
}

void
fci_part_cautions(struct fci_doc *doc)
{
    const enum fci_place place = fci_doc_place(doc, FCI_AT_END);

    fci_doc_heading(doc, "Cautions");
    for (const char *const *caution = fc_cautions(); *caution; caution++)
        fci_doc_item(doc, "%s", *caution);
    fci_doc_place(doc, place);
}

void
fci_part_proviso(struct fci_doc *doc, const fc_proviso *proviso)
{
    if (!proviso->given)
        return;
    fci_doc_say(doc, "%c%s. To settle it: %s.",
                toupper((unsigned char)*proviso->text), proviso->text + 1,
                proviso->measure);
}

const char *
fci_count_text(struct fci_doc *doc, const fc_checked_fixture *f)
{
    return f->count_least < f->count
               ? fci_arena_printf(&doc->arena, "%d-%d", f->count_least,
                                  f->count)
               : fci_arena_printf(&doc->arena, "%d", f->count);
}

const char *
fci_state_said(const struct fci_doc *doc, fc_state state)
{
    return !doc->converted        ? ""
           : state == FC_RETROFIT ? ", after retrofit"
                                  : ", existing";
}

void
fci_part_verdict(struct fci_doc *doc, fc_verdict verdict, fc_state state,
                 const char *format, ...)
{
    const char *when = fci_state_said(doc, state);
    const char *said;
    char word[24];
    va_list args;

    va_start(args, format);
    said = fci_arena_vprintf(&doc->arena, format, args);
    va_end(args);
    snprintf(word, sizeof word, "%s%s",
             verdict == FC_WORKS           ? "WORKS"
             : verdict == FC_WILL_NOT_WORK ? "DOES NOT WORK"
                                           : "CANNOT TELL",
             *when ? "" : ":");
    fci_doc_verdict(doc, fci_verdict_tint(verdict), word, "%s%s%s",
                    *when ? when + 2 : "", *when ? ": " : "",
                    said ? said : "");
}

void
fci_part_close(struct fci_doc *doc, size_t n_assumptions)
{
    const unsigned forms = doc->forms;

    fci_doc_for(doc, FCI_IN_BRIEF);
    fci_doc_gap(doc);
    if (n_assumptions > 0)
        fci_doc_say(doc,
                    "%zu thing%s assumed, see --full. Aid to judgment; local "
                    "code and a licensed practitioner decide.",
                    n_assumptions, n_assumptions == 1 ? "" : "s");
    else
        fci_doc_say(doc, "Aid to judgment; local code and a licensed "
                         "practitioner decide.");
    fci_doc_for(doc, forms);
}

void
fci_part_table(struct fci_doc *doc, struct fci_grid *grid, size_t names)
{
    if (doc->folds)
        fci_page_fold(grid, names);
    fci_doc_put(doc, grid);
}
