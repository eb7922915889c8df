/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/page/pages.c -- a text on pages, each with a head.
 */
#include "page/pages.h"

#include <string.h>

#define HEAD_LINES 3 /* title, the line below, a blank */
#define ROOM (PAGES_LINES - HEAD_LINES)

/* Pages while they are counted, or printed. */
struct pages {
    struct page *page; /* NULL: they are only counted */
    const char *title, *below;
    int number, total; /* of the page at hand, 0 before the first */
    int used;          /* lines on it */
};

static void
print_head(const struct pages *p)
{
    char right[60];
    const size_t below = text_fit(p->below, PAGE_WIDTH);
    const int used =
        snprintf(right, sizeof right, "page %d of %d", p->number, p->total);
    const size_t left = text_fit(p->title, PAGE_WIDTH - 2 - (size_t)used);
    const size_t width = text_width(p->title);

    if (p->number > 1)
        fputc('\f', p->page->out);
    text_write(p->page->out, p->title, left);
    page_spaces(p->page, width + (size_t)used < PAGE_WIDTH
                             ? PAGE_WIDTH - width - (size_t)used
                             : 2);
    fprintf(p->page->out, "%s\n", right);
    text_write(p->page->out, p->below, below);
    fputs("\n\n", p->page->out);
}

static void
start_page(struct pages *p)
{
    p->number++;
    p->used = 0;
    if (p->page)
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
    if (p->page)
        fwrite(line, 1, bytes, p->page->out);
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
    return strncmp(line, PAGES_BREAK, strlen(PAGES_BREAK)) == 0;
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
            text += strlen(PAGES_BREAK);
    }
}

void
pages_print(struct page *page, const char *text, const char *title,
            const char *below)
{
    struct pages counted = { .page = NULL },
                 p = { page, title, below, 0, 0, 0 };

    lay_out(&counted, text);
    p.total = counted.number;
    lay_out(&p, text);
}
