/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/page/text.c -- a report as text for a person, wrapped.
 *
 * What stands under a heading is indented by two columns.
 */
#include "ground/text_stream.h"
#include "page/forms.h"
#include "page/terminal.h"

#include <stdlib.h>
#include <string.h>

#define INDENT 2
#define CODE_INDENT 4
#define LINE_WIDTH 72 /* of a line to be filled in */

void
fci_lines_spaces(struct fci_lines *lines, size_t n)
{
    while (n-- > 0)
        fputc(' ', lines->out);
}

void
fci_lines_tinted(struct fci_lines *lines, enum fci_tint tint, const char *text,
                 size_t bytes)
{
    static const char *const codes[] = { "", "\033[1;32m", "\033[1;31m",
                                         "\033[1;33m" };
    const bool colored = lines->color && tint != FCI_PLAIN_TINT;

    if (colored)
        fputs(codes[tint], lines->out);
    fci_text_write(lines->out, text, bytes);
    if (colored)
        fputs("\033[0m", lines->out);
}

static void
end_line(struct fci_lines *lines)
{
    fputc('\n', lines->out);
}

static bool
is_space(char c)
{
    return c == ' ' || c == '\n' || c == '\t';
}

/* A word that is longer than a line is broken where the line ends. */
static size_t
broken_word(struct fci_lines *lines, size_t column, size_t hanging,
            const char *word, size_t bytes)
{
    while (bytes > 0) {
        size_t room = lines->width > column ? lines->width - column : 1;
        size_t fits = fci_text_fit(word, room);

        if (fits > bytes)
            fits = bytes;
        fci_text_write(lines->out, word, fits);
        for (size_t i = 0; i < fits; i += fci_text_next(word + i).bytes)
            column += fci_text_next(word + i).columns;
        word += fits;
        bytes -= fits;
        if (bytes > 0) {
            end_line(lines);
            fci_lines_spaces(lines, hanging);
            column = hanging;
        }
    }
    return column;
}

/* Wrap a text from `column` on; `fresh`: nothing stands on the line yet. */
static void
wrap(struct fci_lines *lines, size_t column, bool fresh, size_t hanging,
     const char *s)
{
    while (is_space(*s))
        s++;
    while (*s) {
        size_t bytes = 0, columns = 0;

        while (s[bytes] && !is_space(s[bytes])) {
            struct fci_char c = fci_text_next(s + bytes);

            bytes += c.bytes;
            columns += c.columns;
        }
        if (!fresh && column + 1 + columns > lines->width) {
            end_line(lines);
            fci_lines_spaces(lines, hanging);
            column = hanging;
        } else if (!fresh) {
            fputc(' ', lines->out);
            column++;
        }
        column = broken_word(lines, column, hanging, s, bytes);
        fresh = false;
        for (s += bytes; is_space(*s); s++)
            ;
    }
    end_line(lines);
}

static bool
is_shown(const struct fci_doc *doc, const struct fci_block *block)
{
    return block->forms & (doc->options->full ? FCI_IN_FULL : FCI_IN_BRIEF);
}

/* The widest label of the pairs that stand in a row. */
static size_t
label_width(const struct fci_doc *doc, const struct fci_block *block)
{
    size_t widest = 0;

    for (; block && block->kind == FCI_B_PAIR; block = block->next)
        if (is_shown(doc, block) && fci_text_width(block->label) > widest)
            widest = fci_text_width(block->label);
    return widest;
}

#define MOST_LABEL 28 /* what is wider gets a line of its own */

static void
write_pair(struct fci_lines *lines, const struct fci_block *block,
           size_t labels)
{
    const size_t width = fci_text_width(block->label);
    const size_t beside =
        INDENT + (labels < MOST_LABEL ? labels : MOST_LABEL) + 2;

    fci_lines_spaces(lines, INDENT);
    fci_text_write(lines->out, block->label, strlen(block->label));
    if (INDENT + width + 2 > beside) {
        end_line(lines);
        fci_lines_spaces(lines, beside);
    } else {
        fci_lines_spaces(lines, beside - INDENT - width);
    }
    wrap(lines, beside, true, beside, block->text);
}

static void
write_code(struct fci_lines *lines, const char *text)
{
    while (*text) {
        const size_t bytes = strcspn(text, "\n");

        fci_lines_spaces(lines, CODE_INDENT);
        fci_text_write(lines->out, text, bytes);
        end_line(lines);
        text += bytes + (text[bytes] == '\n');
    }
}

static void
write_rule(struct fci_lines *lines, size_t n)
{
    while (n-- > 0)
        fputc('_', lines->out);
}

/* "  Inspector  ____________  Signature  ____________" */
static void
write_line(struct fci_lines *lines, const struct fci_block *block)
{
    const size_t whole =
        (lines->width < LINE_WIDTH ? lines->width : LINE_WIDTH) - INDENT;
    const size_t part = block->text ? whole / 2 - 1 : whole;
    const char *labels[] = { block->label, block->text };

    end_line(lines);
    for (int i = 0; i < 2 && labels[i]; i++) {
        const size_t width = fci_text_width(labels[i]) + 2;

        fci_lines_spaces(lines, 2);
        fci_text_write(lines->out, labels[i], strlen(labels[i]));
        fci_lines_spaces(lines, 2);
        write_rule(lines, part > width + 4 ? part - width : 4);
    }
    end_line(lines);
}

/* What the blocks before one leave behind. */
struct place {
    size_t indent; /* under a heading */
    size_t labels; /* width of the labels of this row of pairs; 0: none */
};

static void
write_block(struct fci_lines *lines, const struct fci_doc *doc,
            const struct fci_block *block, struct place *place)
{
    const bool pair = block->kind == FCI_B_PAIR;

    if (pair && place->labels == 0)
        place->labels = label_width(doc, block);
    else if (!pair)
        place->labels = 0;
    switch (block->kind) {
    case FCI_B_TITLE:
        wrap(lines, 0, true, 0, block->text);
        break;
    case FCI_B_VERDICT:
        fci_lines_tinted(lines, block->tint, block->label,
                         strlen(block->label));
        wrap(lines, fci_text_width(block->label), false, 2, block->text);
        break;
    case FCI_B_HEADING:
        end_line(lines);
        wrap(lines, 0, true, 0, block->text);
        place->indent = INDENT;
        break;
    case FCI_B_SAY:
        fci_lines_spaces(lines, place->indent);
        wrap(lines, place->indent, true, place->indent, block->text);
        break;
    case FCI_B_ITEM:
        fci_lines_spaces(lines, INDENT);
        fputs("-", lines->out);
        wrap(lines, INDENT + 1, false, INDENT + 2, block->text);
        break;
    case FCI_B_PAIR:
        write_pair(lines, block, place->labels);
        break;
    case FCI_B_CODE:
        write_code(lines, block->text);
        break;
    case FCI_B_LINE:
        write_line(lines, block);
        break;
    case FCI_B_TABLE:
        fci_lines_table(lines, block->grid);
        break;
    case FCI_B_GAP:
        end_line(lines);
        break;
    case FCI_B_BREAK:
        if (doc->over)
            fputs(FCI_PAGE_BREAK, lines->out);
        break;
    case FCI_B_DRAWING:
        break;
    }
}

static void
write_blocks(struct fci_lines *lines, const struct fci_doc *doc)
{
    struct place place = { 0, 0 };

    for (const struct fci_block *block = doc->first; block;
         block = block->next)
        if (is_shown(doc, block))
            write_block(lines, doc, block, &place);
}

static bool
write_pages(struct fci_lines *lines, const struct fci_doc *doc)
{
    struct fci_lines body = *lines;
    char *text = NULL;
    size_t size = 0;
    bool written;

    body.out = fci_text_stream(&text, &size);
    if (!body.out)
        return false;
    write_blocks(&body, doc);
    written = fclose(body.out) == 0 && text;
    if (written)
        fci_pages_write(lines, text, doc->over, doc->under);
    free(text);
    return written;
}

bool
fci_text_form(const struct fci_doc *doc, FILE *out)
{
    const fc_report_options *options = doc->options;
    struct fci_lines lines = { out, FCI_TEXT_WIDTH, options->color,
                               options->terminal };

    if (options->width > 0)
        lines.width = options->width < FCI_LEAST_WIDTH ? FCI_LEAST_WIDTH
                                                       : options->width;
    if (doc->columns > 0 && !options->full && lines.width > doc->columns)
        lines.width = doc->columns;
    if (doc->over)
        return write_pages(&lines, doc);
    write_blocks(&lines, doc);
    return true;
}
