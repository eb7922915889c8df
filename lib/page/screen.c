/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/page/screen.c -- a brief text held to one screen. */
#include "page/screen.h"
#include "ground/text_stream.h"
#include "page/forms.h"

#include <stdlib.h>
#include <string.h>

/* Bytes of a text, and more for each entry that a list may have. */
#define LEAST_TEXT 130
#define TEXT_BY_ENTRY 30

/* Lines of a screen: a narrow one holds as much text as one of full width. */
static size_t
screen_lines(const struct fci_doc *doc)
{
    const size_t width = doc->options->width;

    return width > 0 && width < FCI_TEXT_WIDTH
               ? FCI_SCREEN * FCI_TEXT_WIDTH
                     / (width < FCI_LEAST_WIDTH ? FCI_LEAST_WIDTH : width)
               : FCI_SCREEN;
}

/* Lines of a document as a text in brief; 0: out of memory, which it knows,
 * and then a block may lack its text. */
static size_t
count_lines(struct fci_doc *doc)
{
    const fc_report_options *options = doc->options;
    fc_report_options brief = *options;
    char *text = NULL;
    size_t size = 0, lines = 0;
    FILE *out;
    bool written = false;

    if (doc->failed || doc->arena.failed)
        return 0;
    out = fci_text_stream(&text, &size);
    brief.full = false;
    if (out) {
        doc->options = &brief;
        written = fci_text_form(doc, out);
        doc->options = options;
        written &= fclose(out) == 0;
    }
    for (size_t i = 0; written && i < size; i++)
        lines += text[i] == '\n';
    doc->failed |= !written;
    free(text);
    return lines;
}

size_t
fci_screen_room(struct fci_doc *doc, size_t kept)
{
    const size_t used = count_lines(doc) + kept;

    return used < screen_lines(doc) ? screen_lines(doc) - used : 0;
}

/* What would not fit is taken back. */
void
fci_screen_item(struct fci_screen_part *part, const char *text)
{
    struct fci_doc *doc = part->doc;
    struct fci_block *last = doc->last;

    if (!text) {
        doc->failed = true;
        return;
    }
    if (part->left == 0) {
        if (part->said == 0 && part->heading)
            fci_doc_heading(doc, "%s", part->heading);
        fci_doc_item(doc, "%s", text);
        if (!last || fci_screen_room(doc, part->kept) > 0) {
            part->said++;
            return;
        }
        doc->last = last;
        last->next = NULL;
    }
    part->left++;
}

void
fci_screen_left(struct fci_screen_part *part)
{
    if (part->left > 0)
        fci_doc_say(part->doc, "%s%zu %s%s%s, see --full.",
                    part->said > 0 ? "And " : "", part->left,
                    part->said > 0 ? "more " : "", part->noun,
                    part->left == 1 ? "" : "s");
}

/* Out of memory it fits, and the document knows. */
static bool
fits(struct fci_doc *doc,
     void (*compose)(struct fci_doc *doc, const void *what, size_t most),
     const void *what, size_t most)
{
    struct fci_doc trial = { .units = doc->units,
                             .forms = doc->forms,
                             .unseen = FCI_IN_DEPTH,
                             .options = doc->options };
    size_t lines;

    compose(&trial, what, most);
    lines = count_lines(&trial);
    doc->failed |= trial.failed || trial.arena.failed;
    fci_doc_free(&trial);
    return lines <= screen_lines(doc);
}

void
fci_screen_fit(struct fci_doc *doc, size_t most,
               void (*compose)(struct fci_doc *doc, const void *what,
                               size_t most),
               const void *what)
{
    while (!doc->options->full && most > 0 && !fits(doc, compose, what, most))
        most--;
    compose(doc, what, most);
}

void
fci_screen_if(struct fci_doc *doc, bool shown, const char *what)
{
    doc->forms &= ~(unsigned)FCI_IN_BRIEF;
    doc->forms |= shown ? FCI_IN_BRIEF : 0U;
    doc->leaving = shown ? NULL : what;
}

void
fci_screen_on(struct fci_doc *doc)
{
    fci_screen_if(doc, true, NULL);
}

void
fci_screen_say_left(struct fci_doc *doc)
{
    if (doc->left)
        fci_doc_say(doc, "No room here for %s: see --full.", doc->left);
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
    const char *cut;
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
    cut = fci_arena_printf(&doc->arena, "%.*s ...", (int)end, text);
    return cut ? cut : "";
}
