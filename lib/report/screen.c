/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/screen.c -- a brief text held to so many lines. */
#include "report/screen.h"
#include "page/forms.h"

#include <stdlib.h>
#include <string.h>

/* Bytes of a text, and more for each entry that a list may have. */
#define LEAST_TEXT 130
#define TEXT_BY_ENTRY 30

static size_t
count_lines(const char *text, size_t size)
{
    size_t n = 0;

    for (size_t i = 0; i < size; i++)
        n += text[i] == '\n';
    return n;
}

/* Lines of its text; 0: out of memory. */
static size_t
lines_of(const struct fci_doc *doc)
{
    char *text = NULL;
    size_t size = 0, n = 0;
    FILE *out = open_memstream(&text, &size);
    bool written;

    if (!out)
        return 0;
    written = fci_text_form(doc, out);
    if (fclose(out) == 0 && written && text)
        n = count_lines(text, size);
    free(text);
    return n;
}

static bool
fits(struct fci_doc *doc, size_t lines,
     void (*compose)(struct fci_doc *doc, const void *what, size_t most),
     const void *what, size_t most)
{
    struct fci_doc trial = { .units = doc->units,
                             .forms = doc->forms,
                             .options = doc->options };
    size_t n = 0;

    compose(&trial, what, most);
    if (!trial.failed && !trial.arena.failed)
        n = lines_of(&trial);
    doc->failed |= n == 0;
    fci_doc_free(&trial);
    return n <= lines;
}

void
fci_screen_fit(struct fci_doc *doc, size_t lines,
               void (*compose)(struct fci_doc *doc, const void *what,
                               size_t most),
               const void *what)
{
    size_t most = FCI_SCREEN_MOST;

    while (!doc->options->full && most > 0
           && !fits(doc, lines, compose, what, most))
        most--;
    compose(doc, what, most);
}

void
fci_screen_entry(struct fci_doc *doc, size_t i, size_t most)
{
    fci_doc_for(doc, i < most ? FCI_IN_ALL : FCI_IN_DEPTH);
}

void
fci_screen_rest(struct fci_doc *doc, size_t n, size_t most)
{
    fci_doc_for(doc, FCI_IN_BRIEF);
    if (n > most)
        fci_doc_say(doc, "and %zu more, see --full", n - most);
    fci_doc_for(doc, FCI_IN_ALL);
}

static void
put_numbered(struct fci_doc *doc, unsigned forms, const char *const *texts,
             size_t n)
{
    static const struct fci_doc_column columns[] = {
        { "", "", FCI_RIGHT, 0 },
        { "", "", FCI_LEFT, 20 },
    };
    struct fci_grid *grid;

    fci_doc_for(doc, forms);
    grid = fci_doc_table(doc, columns, 2);
    for (size_t i = 0; i < n; i++) {
        char number[24];

        snprintf(number, sizeof number, "%zu.", i + 1);
        fci_cell(grid, number);
        fci_cell(grid, texts[i]);
    }
}

void
fci_screen_numbered(struct fci_doc *doc, const char *const *texts, size_t n,
                    size_t most)
{
    if (n > most)
        put_numbered(doc, FCI_IN_BRIEF, texts, most);
    put_numbered(doc, n > most ? FCI_IN_DEPTH : FCI_IN_ALL, texts, n);
    fci_screen_rest(doc, n, most);
}

const size_t *
fci_screen_order(struct fci_doc *doc, size_t n,
                 double (*key)(const void *what, size_t i), const void *what)
{
    size_t *order = fci_arena_array(&doc->arena, n + 1, sizeof *order);

    for (size_t i = 0; order && i < n; i++) {
        size_t k = i;

        for (; k > 0 && key(what, order[k - 1]) < key(what, i); k--)
            order[k] = order[k - 1];
        order[k] = i;
    }
    return order;
}

const char *
fci_screen_short(struct fci_doc *doc, const char *text, size_t most)
{
    const size_t room = most < FCI_SCREEN_MOST
                            ? LEAST_TEXT + most * TEXT_BY_ENTRY
                            : strlen(text);
    size_t end = 0;

    if (strlen(text) <= room)
        return text;
    for (size_t i = 0; i < room; i++)
        if ((text[i] == ',' || text[i] == ';') && text[i + 1] == ' ')
            end = i;
    if (end < room / 3)
        for (end = room; end > 0 && text[end] != ' '; end--)
            ;
    if (end == 0)
        return text;
    return fci_arena_printf(&doc->arena, "%.*s ...", (int)end, text);
}
