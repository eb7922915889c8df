/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/tables_report.c -- the report of `tables`, in its forms. */
#include "report/tables_report.h"
#include "page/json.h"

#include <string.h>

#define WIDEST_KEY 28 /* a longer one gets a line of its own */
#define WIDEST_NAME                                                           \
    56 /* behind a longer one the source starts where it ends */

/* The widest name of the kind of the first entry. */
static size_t
widest_name(const fc_table_entry *entries, size_t n)
{
    size_t widest = 0;

    for (size_t i = 0; i < n; i++) {
        size_t width = text_width(entries[i].name);

        if (strcmp(entries[i].kind, entries[0].kind) != 0)
            break;
        if (width > widest && width <= WIDEST_NAME)
            widest = width;
    }
    return widest;
}

/* As much of a source as fits in the line. */
static void
put_short(struct page *page, const char *text, size_t column)
{
    size_t room = PAGE_WIDTH - column;
    size_t bytes;

    if (text_width(text) <= room) {
        text_write(page->out, text, strlen(text));
        return;
    }
    bytes = text_fit_word(text, room - 3);
    while (bytes > 0 && text[bytes - 1] == ' ')
        bytes--;
    text_write(page->out, text, bytes);
    fputs("...", page->out);
}

static void
put_in_list(struct page *page, const fc_table_entry *entry, size_t widest)
{
    size_t width = text_width(entry->name);
    size_t column = (width < widest ? widest : width) + 4;

    page_spaces(page, 2);
    text_write(page->out, entry->name, strlen(entry->name));
    if (column + 8 < PAGE_WIDTH) {
        page_spaces(page, column - width - 2);
        put_short(page, entry->source, column);
    }
    page_blank(page);
}

void
tables_list(struct page *page, const fc_table_entry *entries, size_t n)
{
    const char *kind = "";
    size_t widest = 0;

    for (size_t i = 0; i < n; i++) {
        if (strcmp(kind, entries[i].kind) != 0) {
            page_say(page, 0, 0, "%s", entries[i].kind);
            widest = widest_name(&entries[i], n - i);
            kind = entries[i].kind;
        }
        put_in_list(page, &entries[i], widest);
    }
    page_blank(page);
    page_say(page, 0, 0,
             "flushcalc tables NAME gives an entry, or all of a "
             "kind, in full.");
}

static void
put_line(struct page *page, const char *key, const char *value, size_t widest)
{
    size_t width = text_width(key);

    page_spaces(page, 2);
    text_write(page->out, key, strlen(key));
    if (width > widest) {
        page_blank(page);
        page_spaces(page, widest + 4);
    } else {
        page_spaces(page, widest - width + 2);
    }
    page_go_on(page, widest + 4, widest + 4, "%s", value);
}

static void
put_entry(struct page *page, const fc_table_entry *entry)
{
    size_t widest = strlen("source");

    for (size_t i = 0; i < entry->n_lines; i++) {
        size_t width = text_width(entry->lines[i].key);

        if (width > widest && width <= WIDEST_KEY)
            widest = width;
    }
    page_say(page, 0, 2, "%s %s", entry->kind, entry->name);
    for (size_t i = 0; i < entry->n_lines; i++)
        put_line(page, entry->lines[i].key, entry->lines[i].value, widest);
    put_line(page, "source", entry->source, widest);
}

void
tables_text(struct page *page, const fc_table_entry *entries, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        if (i > 0)
            page_blank(page);
        put_entry(page, &entries[i]);
    }
}

static int
add_entry(json_t *array, const fc_table_entry *entry)
{
    json_t *object = json_object();
    json_t *values = json_object();
    int bad = json_put_text(object, "kind", entry->kind);

    bad |= json_put_text(object, "name", entry->name);
    bad |= json_put_text(object, "source", entry->source);
    for (size_t i = 0; i < entry->n_lines; i++)
        bad |=
            json_put_text(values, entry->lines[i].key, entry->lines[i].value);
    bad |= json_put(object, "values", values);
    return bad | json_add(array, object);
}

void
tables_json(struct page *page, const fc_table_entry *entries, size_t n)
{
    json_t *root = json_object();
    json_t *array = json_array();
    int bad = 0;

    for (size_t i = 0; i < n; i++)
        bad |= add_entry(array, &entries[i]);
    bad |= json_put(root, "tables", array);
    json_print(page, root, bad);
}
