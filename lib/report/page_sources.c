/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/page_sources.c -- where the figures of the tables come from. */
#include "report/page_parts.h"

#include <string.h>

/* One source of an entry. */
struct fci_cited {
    const struct fci_entry_head *head;
    const char *of, *source; /* "C"; "" of the whole entry */
    unsigned number;
    struct fci_cited *next;
};

static struct fci_cited *
add_cited(struct fci_page *page, const struct fci_entry_head *head,
          const char *of, const char *source)
{
    struct fci_cited *cited =
        fci_arena_alloc(&page->doc->arena, sizeof *cited);

    if (!cited)
        return NULL;
    *cited = (struct fci_cited){ head, of, source, ++page->n_cited, NULL };
    if (page->cited_last)
        page->cited_last->next = cited;
    else
        page->cited = cited;
    page->cited_last = cited;
    return cited;
}

#define FROM_MEMORY "from memory"
#define PART_FROM_MEMORY "in part from memory"

/* How a source is held: as itself says. */
static const char *
held(const char *source)
{
    const bool memory = strstr(source, FROM_MEMORY) != NULL;
    const bool read = strstr(source, "read on") || strstr(source, "read in");

    return memory && read                      ? PART_FROM_MEMORY
           : memory                            ? FROM_MEMORY
           : read                              ? "read"
           : strstr(source, "common practice") ? "common practice"
                                               : "as stated";
}

const char *
fci_page_cite(struct fci_page *page, const struct fci_entry_head *head,
              const char *of, const char *source)
{
    struct fci_cited *cited = page->cited;
    const char *how;

    while (cited
           && (strcmp(cited->head->section->kind, head->section->kind) != 0
               || strcmp(cited->of, of) != 0 || cited->head != head))
        cited = cited->next;
    if (!cited)
        cited = add_cited(page, head, of, source ? source : "not given");
    if (!cited)
        return NULL;
    how = held(cited->source);
    return strstr(how, FROM_MEMORY)
               ? fci_arena_printf(&page->doc->arena, "[%u, %s]", cited->number,
                                  how)
               : fci_arena_printf(&page->doc->arena, "[%u]", cited->number);
}

void
fci_page_sources(struct fci_page *page)
{
    static const struct fci_doc_column columns[] = {
        { "no.", "", FCI_RIGHT, 0 },
        { "entry of the tables", "", FCI_LEFT, 18 },
        { "source", "", FCI_LEFT, 20 },
        { "held", "", FCI_LEFT, 8 },
    };
    struct fci_grid *table = fci_grid_new(page->doc, columns, 4);

    fci_doc_heading(page->doc, "Sources of the table entries used");
    for (const struct fci_cited *c = page->cited; c; c = c->next) {
        const struct fci_section *section = c->head->section;

        fci_cell(table, fci_arena_printf(&page->doc->arena, "%u", c->number));
        fci_cell(table,
                 fci_arena_printf(
                     &page->doc->arena, "%s %s%s%s%s", section->kind,
                     section->name, *c->of ? ": " : "", c->of,
                     c->head->amended ? " (amended by the tables file)" : ""));
        fci_cell(table, c->source);
        fci_cell(table, held(c->source));
    }
    fci_doc_put(page->doc, table);
    fci_doc_say(page->doc,
                "\"From memory\": no copy of the source was at hand "
                "when the entry was made; look it up before "
                "relying on it.");
}
