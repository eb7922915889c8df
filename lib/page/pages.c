/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/page/pages.c -- a text on pages, each with a head.
 */
#include "page/forms.h"
#include "page/terminal.h"

#include <string.h>

#define HEAD_LINES 3 /* title, the line below, a blank */
#define ROOM (FCI_PAGE_LINES - HEAD_LINES)

/* Pages while they are counted, or printed. */
struct pages {
    struct fci_lines *lines; /* NULL: they are only counted */
    const char *title, *below;
    int number, total; /* of the page at hand, 0 before the first */
    int used;          /* lines on it */
};

static void
print_head(const struct pages *p)
{
    char right[60];
    const size_t below = fci_text_fit(p->below, p->lines->width);
    const int used =
        snprintf(right, sizeof right, "page %d of %d", p->number, p->total);
    const size_t left =
        fci_text_fit(p->title, p->lines->width - 2 - (size_t)used);
    const size_t width = fci_text_width(p->title);

    if (p->number > 1)
        fputc('\f', p->lines->out);
    fci_text_write(p->lines->out, p->title, left);
    fci_lines_spaces(p->lines, width + (size_t)used < p->lines->width
                                   ? p->lines->width - width - (size_t)used
                                   : 2);
    fprintf(p->lines->out, "%s\n", right);
    fci_text_write(p->lines->out, p->below, below);
    fputs("\n\n", p->lines->out);
}

static void
start_page(struct pages *p)
{
    p->number++;
    p->used = 0;
    if (p->lines)
        print_head(p);
}

/* A page begins with no blank line. */
static void
put_line(struct pages *p, const char *line, size_t bytes)
{
    if (p->number == 0 || p->used == ROOM)
        start_page(p);
    if (p->used == 0 && bytes <= 1)
        return;
    if (p->lines)
        fwrite(line, 1, bytes, p->lines->out);
    p->used++;
}

static size_t
line_bytes(const char *line)
{
    const char *end = strchr(line, '\n');

    return end ? (size_t)(end - line) + 1 : strlen(line);
}

static bool
is_break(const char *line)
{
    return strncmp(line, FCI_PAGE_BREAK, strlen(FCI_PAGE_BREAK)) == 0;
}

/* Lines up to the next place where a page may end. */
static int
lines_of_block(const char *text)
{
    int n = 0;

    for (; *text && !is_break(text); text += line_bytes(text))
        n++;
    return n;
}

static void
lay_out(struct pages *p, const char *text)
{
    while (*text) {
        const int n = lines_of_block(text);

        if (p->used > 0 && p->used + n > ROOM)
            start_page(p);
        for (; *text && !is_break(text); text += line_bytes(text))
            put_line(p, text, line_bytes(text));
        if (*text)
            text += strlen(FCI_PAGE_BREAK);
    }
}

void
fci_pages_write(struct fci_lines *lines, const char *text, const char *title,
                const char *below)
{
    struct pages counted = { .lines = NULL },
                 p = { lines, title, below, 0, 0, 0 };

    lay_out(&counted, text);
    p.total = counted.number;
    lay_out(&p, text);
}
