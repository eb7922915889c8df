/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/page/html.c -- a report as one page: no script, no outside resource.
 *
 * It is HTML that is XML too, so that either kind of parser reads it.
 */
#include "page/forms.h"
#include "page/html_style.h"
#include "page/terminal.h"

#include <libxml/xmlIO.h>
#include <stdlib.h>
#include <string.h>

/* Where the next block stands. */
struct html {
    xmlTextWriterPtr out;
    const struct fci_doc *doc;
    enum fci_block_kind open; /* list that is open: items or pairs; else say */
    bool section;
    bool failed;
};

static void
check(struct html *html, int status)
{
    html->failed |= status < 0;
}

static void
start(struct html *html, const char *element, const char *class)
{
    check(html, xmlTextWriterStartElement(html->out, BAD_CAST element));
    if (class)
        check(html, xmlTextWriterWriteAttribute(html->out, BAD_CAST "class",
                                                BAD_CAST class));
}

/* Never `<p/>`, which HTML takes for an element that is left open. */
static void
end(struct html *html)
{
    check(html, xmlTextWriterFullEndElement(html->out));
}

/* A text, cleaned of what could steer its reader. */
static void
put(struct html *html, const char *text)
{
    char *clean = malloc(strlen(text) + 1), *to = clean;

    if (!clean) {
        html->failed = true;
        return;
    }
    while (*text) {
        const struct fci_char c = fci_text_next(text);

        if (c.printable || *text == '\n') {
            memcpy(to, text, c.bytes);
            to += c.bytes;
        } else {
            *to++ = '?';
        }
        text += c.bytes;
    }
    *to = '\0';
    check(html, xmlTextWriterWriteString(html->out, BAD_CAST clean));
    free(clean);
}

static void
element(struct html *html, const char *name, const char *class,
        const char *text)
{
    start(html, name, class);
    put(html, text);
    end(html);
}

static const char *
tint_class(enum fci_tint tint)
{
    static const char *const classes[] = { NULL, "good", "bad", "unsure" };

    return classes[tint];
}

/* ---- Tables ----------------------------------------------------------- */

static bool
has_headings(const struct fci_grid *grid)
{
    for (size_t i = 0; i < grid->n_columns; i++)
        if (*grid->columns[i].heading || *grid->columns[i].unit)
            return true;
    return false;
}

/* A column that may not be narrowed keeps its lines whole. */
static const char *
align_class(const struct fci_doc_column *column)
{
    return column->align == FCI_LEFT ? (column->least == 0 ? "k" : NULL)
           : column->least == 0      ? "r"
                                     : "r n";
}

/* How far it may be narrowed. */
static void
put_least(struct html *html, const struct fci_doc_column *column)
{
    char style[40];

    if (column->least == 0)
        return;
    snprintf(style, sizeof style, "min-width:%zuch", column->least);
    check(html, xmlTextWriterWriteAttribute(html->out, BAD_CAST "style",
                                            BAD_CAST style));
}

static void
put_headings(struct html *html, const struct fci_grid *grid)
{
    start(html, "thead", NULL);
    start(html, "tr", NULL);
    for (size_t i = 0; i < grid->n_columns; i++) {
        start(html, "th", align_class(&grid->columns[i]));
        put_least(html, &grid->columns[i]);
        put(html, grid->columns[i].heading);
        if (*grid->columns[i].unit) {
            put(html, " ");
            element(html, "span", "unit", grid->columns[i].unit);
        }
        end(html);
    }
    end(html);
    end(html);
}

static void
put_cell(struct html *html, const struct fci_doc_column *column,
         const struct fci_cell *cell)
{
    start(html, "td", align_class(column));
    if (cell->tint != FCI_PLAIN_TINT)
        element(html, "span", tint_class(cell->tint), cell->text);
    else
        put(html, cell->text);
    end(html);
}

static void
put_table(struct html *html, const struct fci_grid *grid)
{
    const size_t n = grid->n_columns;

    start(html, "div", "wide");
    start(html, "table", grid->stacks ? "stack" : NULL);
    if (has_headings(grid))
        put_headings(html, grid);
    start(html, "tbody", NULL);
    for (size_t i = 0; i < grid->n_cells; i += n) {
        start(html, "tr",
              grid->rule > 0 && i == grid->rule * n ? "sum" : NULL);
        for (size_t k = 0; k < n && i + k < grid->n_cells; k++)
            put_cell(html, &grid->columns[k], &grid->cells[i + k]);
        end(html);
    }
    end(html);
    end(html);
    end(html);
}

/* ---- Blocks ----------------------------------------------------------- */

/* Close what the kind of the next block does not go on with. */
static void
close_list(struct html *html, enum fci_block_kind next)
{
    if (html->open != FCI_B_SAY && html->open != next) {
        end(html);
        html->open = FCI_B_SAY;
    }
}

static void
open_list(struct html *html, enum fci_block_kind kind, const char *name)
{
    if (html->open == kind)
        return;
    start(html, name, NULL);
    html->open = kind;
}

static void
put_verdict(struct html *html, const struct fci_block *block)
{
    char class[40];

    snprintf(class, sizeof class, "verdict %s",
             block->tint == FCI_PLAIN_TINT ? "" : tint_class(block->tint));
    start(html, "p", class);
    element(html, "strong", NULL, block->label);
    put(html, " ");
    put(html, block->text);
    end(html);
}

static void
put_heading(struct html *html, const char *text)
{
    if (html->section)
        end(html);
    start(html, "section", NULL);
    html->section = true;
    element(html, "h2", NULL, text);
}

/* An element with nothing in it is dropped by some readers. */
#define NO_BREAK_SPACE "\xc2\xa0"

static void
put_line(struct html *html, const struct fci_block *block)
{
    start(html, "div", "fill");
    if (*block->label)
        element(html, "span", NULL, block->label);
    element(html, "span", "rule", NO_BREAK_SPACE);
    if (block->text) {
        element(html, "span", NULL, block->text);
        element(html, "span", "rule", NO_BREAK_SPACE);
    }
    end(html);
}

static void
put_drawing(struct html *html, const struct fci_block *block)
{
    start(html, "figure", "wide");
    html->failed |= !block->draw(html->out, block->drawn);
    end(html);
}

static void
put_block(struct html *html, const struct fci_block *block)
{
    close_list(html, block->kind);
    switch (block->kind) {
    case FCI_B_TITLE:
        element(html, "h1", NULL, block->text);
        break;
    case FCI_B_VERDICT:
        put_verdict(html, block);
        break;
    case FCI_B_HEADING:
        put_heading(html, block->text);
        break;
    case FCI_B_SAY:
        element(html, "p", NULL, block->text);
        break;
    case FCI_B_ITEM:
        open_list(html, FCI_B_ITEM, "ul");
        element(html, "li", NULL, block->text);
        break;
    case FCI_B_PAIR:
        open_list(html, FCI_B_PAIR, "dl");
        if (*block->label)
            element(html, "dt", NULL, block->label);
        element(html, "dd", NULL, block->text);
        break;
    case FCI_B_CODE:
        element(html, "pre", NULL, block->text);
        break;
    case FCI_B_LINE:
        put_line(html, block);
        break;
    case FCI_B_TABLE:
        put_table(html, block->grid);
        break;
    case FCI_B_DRAWING:
        put_drawing(html, block);
        break;
    case FCI_B_GAP:
    case FCI_B_BREAK:
        break;
    }
}

static const char *
title_of(const struct fci_doc *doc)
{
    for (const struct fci_block *b = doc->first; b; b = b->next)
        if (b->kind == FCI_B_TITLE)
            return b->text;
    return "flushcalc";
}

static void
put_meta(struct html *html, const char *name, const char *content)
{
    start(html, "meta", NULL);
    check(html, xmlTextWriterWriteAttribute(html->out, BAD_CAST "name",
                                            BAD_CAST name));
    check(html, xmlTextWriterWriteAttribute(html->out, BAD_CAST "content",
                                            BAD_CAST content));
    check(html, xmlTextWriterEndElement(html->out));
}

/* A text between quotes of a style sheet: what could end it, or the element
 * around it, as a number. */
static void
put_quoted(struct html *html, const char *text)
{
    char code[16];

    while (*text) {
        const struct fci_char c = fci_text_next(text);

        if (!c.printable)
            strcpy(code, "?");
        else if (c.bytes == 1 && strchr("\"\\<>&'", *text))
            snprintf(code, sizeof code, "\\%x ", (unsigned)*text);
        else
            snprintf(code, sizeof code, "%.*s", (int)c.bytes, text);
        check(html, xmlTextWriterWriteRaw(html->out, BAD_CAST code));
        text += c.bytes;
    }
}

/* The foot of every printed sheet, isolated from the page number beside it. */
static void
put_foot(struct html *html, const char *foot)
{
    check(html, xmlTextWriterWriteRaw(html->out, BAD_CAST
                                      "@page{@bottom-left{content:\"\\2068 "));
    put_quoted(html, foot);
    check(html, xmlTextWriterWriteRaw(html->out, BAD_CAST "\\2069 \"}}"));
}

static void
put_head(struct html *html)
{
    start(html, "head", NULL);
    start(html, "meta", NULL);
    check(html, xmlTextWriterWriteAttribute(html->out, BAD_CAST "charset",
                                            BAD_CAST "utf-8"));
    check(html, xmlTextWriterEndElement(html->out));
    put_meta(html, "viewport", "width=device-width, initial-scale=1");
    put_meta(html, "generator", "flushcalc");
    element(html, "title", NULL, title_of(html->doc));
    start(html, "style", NULL);
    check(html, xmlTextWriterWriteRaw(html->out, BAD_CAST fci_html_style));
    if (html->doc->foot)
        put_foot(html, html->doc->foot);
    end(html);
    end(html);
}

/* The blocks of one place. */
static void
put_place(struct html *html, enum fci_place place)
{
    for (const struct fci_block *b = html->doc->first; b; b = b->next)
        if (b->place == place && b->forms & FCI_IN_PAGE)
            put_block(html, b);
    close_list(html, FCI_B_SAY);
    if (html->section)
        end(html);
    html->section = false;
}

static void
put_body(struct html *html)
{
    start(html, "body", NULL);
    start(html, "main", NULL);
    for (enum fci_place place = FCI_ON_TOP; place < FCI_PLACES; place++)
        put_place(html, place);
    end(html);
    end(html);
}

static bool
write_page(const struct fci_doc *doc, FILE *out)
{
    xmlOutputBufferPtr buffer = xmlOutputBufferCreateFile(out, NULL);
    struct html html = { NULL, doc, FCI_B_SAY, false, false };

    html.out = buffer ? xmlNewTextWriter(buffer) : NULL;
    if (!html.out) {
        if (buffer)
            xmlOutputBufferClose(buffer);
        return false;
    }
    check(&html,
          xmlTextWriterWriteRaw(html.out, BAD_CAST "<!DOCTYPE html>\n"));
    start(&html, "html", NULL);
    check(&html, xmlTextWriterWriteAttribute(html.out, BAD_CAST "lang",
                                             BAD_CAST "en"));
    put_head(&html);
    put_body(&html);
    end(&html);
    check(&html, xmlTextWriterWriteRaw(html.out, BAD_CAST "\n"));
    check(&html, xmlTextWriterFlush(html.out));
    xmlFreeTextWriter(html.out);
    return !html.failed;
}

/* The writer's own messages are not printed, but count: not every call that
 * fails returns so.  Its lists tell by the second way, all else by the
 * first. */
static void
note_error(void *failed, xmlErrorPtr error)
{
    (void)error;
    *(bool *)failed = true;
}

static void
note_list_error(void *failed, const char *format, ...)
{
    (void)format;
    *(bool *)failed = true;
}

bool
fci_html_form(const struct fci_doc *doc, FILE *out)
{
    /* of this thread alone */
    const xmlStructuredErrorFunc handler = xmlStructuredError;
    const xmlGenericErrorFunc printer = xmlGenericError;
    void *const handled = xmlStructuredErrorContext;
    void *const printed = xmlGenericErrorContext;
    bool failed = false, written;

    xmlSetStructuredErrorFunc(&failed, note_error);
    xmlSetGenericErrorFunc(&failed, note_list_error);
    written = write_page(doc, out);
    xmlSetStructuredErrorFunc(handled, handler);
    xmlSetGenericErrorFunc(printed, printer);
    if (failed)
        xmlResetLastError(); /* the copy of why is allocated */
    return written && !failed;
}
