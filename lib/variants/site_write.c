/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/variants/site_write.c -- a site as the text of a site file. */
#include "variants/site_write.h"
#include "ground/plain_print.h"
#include "ground/characters.h"
#include "ground/diagnostics.h"
#include "ini/ini_text.h"
#include "variants/part_text.h"
#include "variants/setting.h"
#include "site/reader.h"

#include <limits.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct writer {
    const fc_site *before, *after; /* the same where nothing is changed */
    bool from_file;                /* the lines of `before` are kept */
    bool set;                      /* something was set over its file */
    bool *touched;          /* by part of `before`: some change is about it */
    size_t *now;            /* likewise: which part of `after` it is, or
                               FCI_NONE */
    bool *added;            /* by part of `after`: `before` has it not */
    const char *line_end;   /* of lines that are added */
    const char *folder;     /* of a relative `tables`; NULL: as it stands */
    struct fci_arena arena; /* sections of parts that were made by calls */
    char *text;             /* malloc'ed */
    size_t used, room;
    bool failed; /* memory ran out */
    fc_diagnostics *messages;
};

/* More of the text. */
static void put(struct writer *w, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static void
put(struct writer *w, const char *format, ...)
{
    va_list args;
    char *more;
    int n;

    va_start(args, format);
    n = fci_vprint(NULL, 0, format, args);
    va_end(args);
    w->failed = w->failed || n < 0;
    while (!w->failed && w->room - w->used <= (size_t)n) {
        more = fci_grow(w->text, w->room, &w->room, 1);
        if (more)
            w->text = more;
        else
            w->failed = true;
    }
    if (w->failed)
        return;
    va_start(args, format);
    w->used +=
        (size_t)fci_vprint(w->text + w->used, w->room - w->used, format, args);
    va_end(args);
}

/* ---- Lines ------------------------------------------------------------ */

static fc_status
write_heading_line(struct writer *w, const char *line, size_t n)
{
    char plain[FCI_LONGEST_LINE + 1];
    struct fci_not_text wrong;

    if (n + strlen("; ") > FCI_LONGEST_LINE
        || !fci_plain_line(line, n, plain, &wrong))
        return fci_fail(w->messages, FC_EINPUT, NULL, 0,
                        "the heading has a line of more than %zu bytes or one "
                        "that is no text; lines of UTF-8 are expected",
                        FCI_LONGEST_LINE - strlen("; "));
    put(w, "%s%s%s", n > 0 ? "; " : ";", plain, w->line_end);
    return FC_OK;
}

static fc_status
write_heading(struct writer *w, const char *text)
{
    fc_status status = FC_OK;
    size_t n;

    if (!text || !*text)
        return FC_OK;
    while (*text && status == FC_OK) {
        n = strcspn(text, "\n");
        status = write_heading_line(w, text, n);
        text += n + (text[n] == '\n');
    }
    put(w, "%s", w->line_end);
    return status;
}

/* Whether a value would be read as something else without quotes. */
static bool
needs_quotes(const char *value)
{
    const char *p;

    for (p = value; *p; p++)
        if (fci_is_comment(*p) && (p == value || p[-1] == ' '))
            return true;
    return p > value && p[-1] == '\\';
}

/* `remark` NULL: none.  One that would make the line too long is left out. */
static fc_status
write_entry(struct writer *w, const struct fci_part *part,
            const struct fci_entry *entry, const char *remark,
            const char *remark_value)
{
    const bool quotes = needs_quotes(entry->value);
    const char *mark = quotes ? "\"" : "", *equals = " = ";
    const char *key = fci_entry_key(entry);
    size_t n = strlen(key) + strlen(entry->value) + 2 * strlen(mark);

    if (*entry->value == '"' || (quotes && strchr(entry->value, '"')))
        return fci_part_fail(
            part, w->messages, entry->key,
            "\"%.60s\" holds a quote, which a site file cannot hold",
            entry->value);
    if (n + strlen(equals) > FCI_LONGEST_LINE)
        equals = "=";
    n += strlen(equals);
    if (n > FCI_LONGEST_LINE)
        return fci_part_fail(part, w->messages, entry->key,
                             "does not fit on a line of %u bytes",
                             FCI_LONGEST_LINE);
    put(w, "%s%s%s%s%s", key, equals, mark, entry->value, mark);
    if (remark
        && n + strlen(" ; ") + strlen(remark) + strlen(remark_value)
               <= FCI_LONGEST_LINE)
        put(w, " ; %s%s", remark, remark_value);
    put(w, "%s", w->line_end);
    return FC_OK;
}

/* A comment that would be too long is left out here too. */
static void
write_taken_away(struct writer *w, const struct fci_entry *entry)
{
    static const char words[] = "; removed: ";

    if (strlen(words) + strlen(fci_entry_key(entry)) + strlen(" = ")
            + strlen(entry->value)
        <= FCI_LONGEST_LINE)
        put(w, "%s%s = %s%s", words, fci_entry_key(entry), entry->value,
            w->line_end);
}

/* ---- Sections --------------------------------------------------------- */

/* Whether a line of a file that has this value is read back so. */
static bool
can_be_read(const char *value)
{
    char line[FCI_LONGEST_LINE + 1];
    struct fci_not_text wrong;
    const size_t n = strlen(value);

    return n <= FCI_LONGEST_LINE && fci_plain_line(value, n, line, &wrong)
           && strcmp(fci_squeezed(line), value) == 0 && *value != '"'
           && !(needs_quotes(value) && strchr(value, '"'));
}

/* What is to be written: a relative `tables` is to be found from where the
 * text will be, if a file can name the folder between. */
static fc_status
value_there(struct writer *w, const struct fci_part *part,
            const struct fci_entry *entry, const char **value)
{
    *value = entry->value;
    if (!w->folder || part->kind != FCI_SITE
        || strcmp(entry->key, "tables") != 0 || *entry->value == '/')
        return FC_OK;
    *value = fci_arena_printf(&w->arena, "%s/%s", w->folder, entry->value);
    if (!*value)
        return FC_ENOMEM;
    if (can_be_read(*value))
        return FC_OK;
    return fci_part_fail(part, w->messages, entry->key,
                         "is in a folder that no line of a file can name from "
                         "where the text is to be; a folder called by plain "
                         "words is expected");
}

/* The word for the heading of a part.  One that says its kind ("rpz") stands
 * for that kind alone. */
static const char *
heading_word(const struct fci_part *part, const struct fci_section *section)
{
    const struct fci_part_kind *kind = &fci_part_kinds[part->kind];
    const char *headed =
        fci_fields_headed(kind->fields, kind->n_fields, section->kind);
    const struct fci_entry *now = fci_section_entry(section, "kind");
    const char *said =
        headed && now
            ? fci_fields_headed(kind->fields, kind->n_fields, now->value)
            : headed;

    return said != headed ? kind->word : section->kind;
}

/* `before` tells what the section was; NULL: there is nothing to tell. */
static fc_status
write_section(struct writer *w, const struct fci_part *part,
              const struct fci_section *before,
              const struct fci_section *section, const char *remark)
{
    fc_status status = FC_OK;
    size_t i;

    put(w, "[%s%s%s]%s%s", heading_word(part, section),
        *section->name ? " " : "", section->name, remark, w->line_end);
    for (i = 0; i < section->n_entries && status == FC_OK; i++) {
        struct fci_entry now = section->entries[i];
        const struct fci_entry *was =
            before ? fci_section_entry(before, now.key) : &section->entries[i];

        status = value_there(w, part, &section->entries[i], &now.value);
        if (status != FC_OK)
            break;
        if (!was)
            status = write_entry(w, part, &now, "added", "");
        else if (strcmp(was->value, now.value) != 0)
            status = write_entry(w, part, &now, "was ", was->value);
        else
            status = write_entry(w, part, &now, NULL, "");
    }
    for (i = 0; before && i < before->n_entries; i++)
        if (!fci_section_entry(section, before->entries[i].key))
            write_taken_away(w, &before->entries[i]);
    put(w, "%s", w->line_end);
    return status;
}

/* The part of a site that has the kind and the name of this one. */
static size_t
part_of(const fc_site *site, const struct fci_part *part)
{
    const size_t i = fci_site_find_index(site, part->kind, part->name);

    return i == FCI_NO_NAME || site->parts[i].kind != part->kind ? FCI_NONE
                                                                 : i;
}

/* The section of a part, its own or, made by a call, one that says the same.
 * What a caller of fc_site_set_units() asked for is no part of the site; what
 * a remedy adds was rounded in those units. */
static fc_status
section_of(struct writer *w, const fc_site *site, size_t i,
           const struct fci_section **section)
{
    const struct fci_part *part = &site->parts[i];
    struct fci_section *made;
    fc_status status;

    *section = part->section;
    if (part->section)
        return FC_OK;
    status = fci_part_section(part, site->given[i],
                              site == w->after && w->added[i]
                                  ? site->settings.units
                                  : fci_file_units(site),
                              &w->arena, &made, w->messages);
    if (status == FC_OK)
        *section = made;
    return status;
}

static fc_status
write_part(struct writer *w, size_t i)
{
    const struct fci_part *part = &w->after->parts[i];
    const struct fci_section *before = NULL, *after;
    const bool added = w->added[i];
    const size_t was = added ? FCI_NONE : part_of(w->before, part);
    fc_status status = section_of(w, w->after, i, &after);

    if (status == FC_OK && !added && w->touched[was])
        status = section_of(w, w->before, was, &before);
    if (status != FC_OK)
        return status;
    return write_section(w, part, before, after, added ? " ; added" : "");
}

/* ---- Lines of a file -------------------------------------------------- */

/* A line as it stands in the file: `n` bytes before its end, `whole` with it.
 * In one of a key, [start, end) is its value, quotes and all. */
struct line {
    const char *text;
    size_t n, whole;
    size_t start, end;
};

/* A space, a tab or a no-break space at `text`: its length, or 0. */
static size_t
space_at(const char *text, size_t n)
{
    if (n > 0 && (*text == ' ' || *text == '\t'))
        return 1;
    return n > 1 && memcmp(text, "\xc2\xa0", 2) == 0 ? 2 : 0;
}

static size_t
skip_space(const struct line *line, size_t i)
{
    size_t n;

    while ((n = space_at(line->text + i, line->n - i)) > 0)
        i += n;
    return i;
}

/* Where a value that is not in quotes ends: before a comment or the line's
 * end, and the white space there. */
static size_t
plain_end(const struct line *line)
{
    size_t i = line->start, end = i, n;

    while (i < line->n) {
        n = space_at(line->text + i, line->n - i);
        if (n == 0)
            end = ++i;
        else if (i + n < line->n && fci_is_comment(line->text[i + n]))
            break;
        else
            i += n;
    }
    return end;
}

/* Where its first `=` stands; its length where there is none. */
static size_t
equals_in(const struct line *line)
{
    const char *equals = memchr(line->text, '=', line->n);

    return equals ? (size_t)(equals - line->text) : line->n;
}

static void
find_value(struct line *line)
{
    const size_t equals = equals_in(line);
    const char *quote;

    line->start = line->end = line->n;
    if (equals == line->n)
        return;
    line->start = skip_space(line, equals + 1);
    line->end = plain_end(line);
    if (line->start < line->n && line->text[line->start] == '"') {
        quote = memchr(line->text + line->start + 1, '"',
                       line->n - line->start - 1);
        if (quote)
            line->end = (size_t)(quote + 1 - line->text);
    }
}

static struct line
line_at(const char *text, size_t length)
{
    const char *stop = memchr(text, '\n', length);
    struct line line = { .text = text };

    line.whole = stop ? (size_t)(stop + 1 - text) : length;
    line.n = line.whole - (stop != NULL);
    if (line.n > 0 && text[line.n - 1] == '\r')
        line.n--;
    find_value(&line);
    return line;
}

/* ---- Keys of a file --------------------------------------------------- */

/* What is added begins on a line of its own. */
static void
end_line(struct writer *w)
{
    if (w->used > 0 && w->text[w->used - 1] != '\n')
        put(w, "%s", w->line_end);
}

/* The line with another value; a comment stays in its column where there is
 * room.  A line that would be too long is written anew.  `was` NULL: nobody is
 * to be told. */
static fc_status
write_changed(struct writer *w, const struct fci_part *part,
              const struct line *line, const struct fci_entry *entry,
              const char *was)
{
    const char *mark = needs_quotes(entry->value) ? "\"" : "";
    const size_t n = strlen(entry->value) + 2 * strlen(mark);
    const size_t old = line->end - line->start;
    size_t rest = line->end, gap, length;

    if (*entry->value == '"' || (*mark && strchr(entry->value, '"')))
        return write_entry(w, part, entry, was ? "was " : NULL, was);
    while (rest < line->n && line->text[rest] == ' ')
        rest++;
    gap = rest - line->end;
    if (rest == line->n)
        gap = 0;
    else if (gap > 0 || !space_at(line->text + rest, line->n - rest))
        gap = gap + old > n ? gap + old - n : 1;
    length = line->start + n + gap + line->n - rest;
    if (length > FCI_LONGEST_LINE)
        return write_entry(w, part, entry, was ? "was " : NULL, was);
    put(w, "%.*s%s%s%s%*s%.*s", (int)line->start, line->text, mark,
        entry->value, mark, (int)gap, "", (int)(line->n - rest),
        line->text + rest);
    if (was && length + strlen(" ; was ") + strlen(was) <= FCI_LONGEST_LINE)
        put(w, " ; was %s", was);
    put(w, "%.*s", (int)(line->whole - line->n), line->text + line->n);
    return FC_OK;
}

/* An entry more, spaced as the line above it is; `aligned`: its `=` stands in
 * the same column. */
static fc_status
write_added(struct writer *w, const struct fci_part *part,
            const struct line *above, bool aligned,
            const struct fci_entry *entry)
{
    const char *equals = memchr(above->text, '=', above->n);
    const size_t indent = skip_space(above, 0), n = strlen(entry->key);
    size_t column, length;

    end_line(w);
    if (*above->text == '[' || !equals || needs_quotes(entry->value))
        return write_entry(w, part, entry, "added", "");
    column = (size_t)(equals - above->text) - indent;
    if (!aligned || n >= column)
        column = n + (equals[-1] == ' ');
    length = above->start - (size_t)(equals - above->text);
    if (indent + column + length + strlen(entry->value) + strlen(" ; added")
        > FCI_LONGEST_LINE)
        return write_entry(w, part, entry, "added", "");
    put(w, "%.*s%-*s%.*s%s ; added%s", (int)indent, above->text, (int)column,
        entry->key, (int)length, equals, entry->value, w->line_end);
    return FC_OK;
}

/* ---- The sections of a file ------------------------------------------- */

/* The lines of a file while they are gone over. */
struct lines {
    const char *text;
    size_t left;
    int number; /* of the line that comes next */
};

static struct line
next_line(struct lines *lines)
{
    const struct line line = line_at(lines->text, lines->left);

    lines->text += line.whole;
    lines->left -= line.whole;
    lines->number++;
    return line;
}

static void
copy_line(struct writer *w, const struct line *line)
{
    put(w, "%.*s", (int)line->whole, line->text);
}

/* All that stands before a line of this number. */
static void
copy_lines(struct writer *w, struct lines *lines, int number)
{
    struct line line;

    while (lines->left > 0 && lines->number < number) {
        line = next_line(lines);
        copy_line(w, &line);
    }
}

/* The parts from i on that one section of the file made: several where it is
 * a typical floor.  Sections begin on lines of their own. */
static size_t
parts_of(const fc_site *site, const struct fci_section *section, size_t i)
{
    size_t n = 0;

    while (i + n < site->n_parts
           && site->parts[i + n].section->line == section->line)
        n++;
    return n;
}

static bool
is_touched(const struct writer *w, size_t i, size_t end)
{
    for (; i < end; i++)
        if (w->touched[i])
            return true;
    return false;
}

/* The value of the line, which stands in the file as `raw`, as the part has it
 * now.  That of a typical floor is no other for being told of one floor. */
static fc_status
write_line(struct writer *w, const struct fci_part *part,
           const struct line *line, const struct fci_entry *raw,
           const struct fci_entry *was)
{
    const struct fci_entry *after = fci_section_entry(part->section, was->key);
    struct fci_entry now;
    fc_status status;

    if (!after) {
        write_taken_away(w, was);
        return FC_OK;
    }
    now = *after;
    status = value_there(w, part, after, &now.value);
    if (status != FC_OK)
        return status;
    if (strcmp(now.value, was->value) != 0)
        return write_changed(w, part, line, &now, was->value);
    if (strcmp(now.value, raw->value) != 0)
        return write_changed(w, part, line, &now, NULL);
    copy_line(w, line);
    return FC_OK;
}

/* The heading of one floor, or one that would say another kind. */
static void
write_name(struct writer *w, const struct line *line, const char *word,
           const struct fci_section *section)
{
    const char *end = memchr(line->text, ']', line->n);
    const size_t start = end ? (size_t)(end - line->text) : line->n;

    put(w, "[%s %s%.*s", word, section->name, (int)(line->whole - start),
        line->text + start);
}

/* A line that says for which floors a section stands: its comment is kept. */
static void
write_floors(struct writer *w, const struct line *line)
{
    struct line rest = { .text = line->text + line->end,
                         .n = line->n - line->end,
                         .whole = line->whole - line->end };
    const size_t start = skip_space(&rest, 0);

    if (start < rest.n)
        put(w, "%.*s", (int)(rest.whole - start), rest.text + start);
}

/* A section of the file as one of the parts that it made is now. */
static fc_status
write_lines(struct writer *w, struct lines *lines,
            const struct fci_section *section, size_t part)
{
    const struct fci_section *before = w->before->parts[part].section;
    const struct fci_part *now = &w->after->parts[w->now[part]];
    const struct fci_section *after = now->section;
    const char *word = heading_word(now, after);
    struct line line = next_line(lines); /* the heading */
    bool aligned = section->n_entries > 1;
    size_t i, column, first = 0;
    fc_status status = FC_OK;

    if (before->typical || word != after->kind)
        write_name(w, &line, word, after);
    else
        copy_line(w, &line);
    for (i = 0; i < section->n_entries && status == FC_OK; i++) {
        const struct fci_entry *entry = &section->entries[i];
        const struct fci_entry *was = fci_section_entry(before, entry->key);

        if (entry->headed)
            continue;
        copy_lines(w, lines, entry->line);
        line = next_line(lines);
        column = equals_in(&line);
        first = i > 0 ? first : column;
        aligned &= column == first;
        if (was)
            status = write_line(w, now, &line, entry, was);
        else
            write_floors(w, &line);
    }
    for (i = 0; i < after->n_entries && status == FC_OK; i++) {
        const struct fci_entry *was =
            fci_section_entry(before, after->entries[i].key);

        if (!was || (was->headed && word != after->kind))
            status = write_added(w, now, &line, aligned, &after->entries[i]);
    }
    return status;
}

/* What is in the building no more is kept as comments. */
static void
write_gone(struct writer *w, struct lines *lines,
           const struct fci_section *section, const char *why)
{
    struct line line = next_line(lines); /* the heading */
    size_t i;

    put(w, "; %s: ", why);
    copy_line(w, &line);
    for (i = 0; i < section->n_entries; i++) {
        if (section->entries[i].headed)
            continue;
        copy_lines(w, lines, section->entries[i].line);
        line = next_line(lines);
        put(w, "; ");
        copy_line(w, &line);
    }
}

/* The parts from i to `end` that a section made, as they are now.  They are
 * several where it is a typical floor. */
static fc_status
write_parts(struct writer *w, struct lines *lines,
            const struct fci_section *section, size_t i, size_t end)
{
    const struct lines heading = *lines;
    fc_status status = FC_OK;

    for (; i < end && status == FC_OK; i++) {
        *lines = heading;
        if (w->now[i] == FCI_NONE)
            write_gone(w, lines, section, "taken out");
        else
            status = write_lines(w, lines, section, i);
        if (i + 1 < end) {
            end_line(w);
            put(w, "%s", w->line_end);
        }
    }
    return status;
}

/* A case may speak of what is gone. */
static bool
is_left_out(const struct writer *w, const struct fci_section *section)
{
    size_t i;

    for (i = 0; fci_is_case(section) && i < w->before->n_parts; i++)
        if (w->now[i] == FCI_NONE)
            return true;
    return false;
}

static fc_status
write_file_sections(struct writer *w, struct lines *lines)
{
    const struct fci_ini *ini = w->before->ini;
    fc_status status = FC_OK;
    size_t s, i = 0, end = 0;

    for (s = 0; s < ini->n_sections && status == FC_OK; s++) {
        const struct fci_section *section = &ini->sections[s];

        i = end;
        copy_lines(w, lines, section->line);
        if (is_left_out(w, section)) {
            write_gone(w, lines, section, "left out");
            continue;
        }
        if (fci_is_case(section))
            continue;
        end = i + parts_of(w->before, section, i);
        if (!fci_floors_typical(section) || is_touched(w, i, end))
            status = write_parts(w, lines, section, i, end);
    }
    copy_lines(w, lines, INT_MAX);
    return status;
}

/* A byte order mark stays first, before the heading. */
static fc_status
write_file(struct writer *w, const char *heading)
{
    const struct fci_ini *ini = w->before->ini;
    const char *stop = memchr(ini->text, '\n', ini->length);
    struct lines lines = { ini->text, ini->length, 1 };
    fc_status status;
    size_t i;

    if (stop && stop > ini->text && stop[-1] == '\r')
        w->line_end = "\r\n";
    if (ini->length >= 3 && memcmp(ini->text, "\xef\xbb\xbf", 3) == 0) {
        put(w, "%.3s", ini->text);
        lines.text += 3;
        lines.left -= 3;
    }
    status = write_heading(w, heading);
    if (status == FC_OK)
        status = write_file_sections(w, &lines);
    for (i = 0; i < w->after->n_parts && !w->added[i]; i++)
        ;
    if (status == FC_OK && i < w->after->n_parts) {
        end_line(w);
        put(w, "%s", w->line_end);
    }
    return status;
}

/* ---- Figures ---------------------------------------------------------- */

/* The section with a text for what was put in as a figure. */
static fc_status
tell_part(fc_site *site, size_t i, fc_diagnostics *messages)
{
    struct fci_part *part = &site->parts[i];
    struct fci_section *told, *copy;
    size_t k, n = 0;
    fc_status status =
        fci_part_section(part, site->given[i], site->settings.units,
                         &site->arena, &told, messages);

    if (status != FC_OK)
        return status;
    copy = fci_section_copy(part->section, 0, &site->arena);
    if (!copy)
        return FC_ENOMEM;
    for (k = 0; k < copy->n_entries; k++) {
        const struct fci_entry *entry = &copy->entries[k];

        if (!entry->value)
            entry = fci_section_entry(told, entry->key);
        if (entry) /* none: it stands as it would by default */
            copy->entries[n++] = *entry;
    }
    copy->n_entries = n;
    part->section = copy;
    return FC_OK;
}

static fc_status
tell_figures(fc_site *site, fc_diagnostics *messages)
{
    const struct fci_section *section;
    fc_status status = FC_OK;
    size_t i, k;

    for (i = 0; i < site->n_parts && status == FC_OK; i++) {
        section = site->parts[i].changed ? site->parts[i].section : NULL;
        for (k = 0; section && k < section->n_entries; k++)
            if (!section->entries[k].value) {
                status = tell_part(site, i, messages);
                break;
            }
    }
    return status;
}

/* ---- The text --------------------------------------------------------- */

static fc_status
write_site(struct writer *w, const char *heading)
{
    fc_status status =
        w->from_file ? write_file(w, heading) : write_heading(w, heading);
    size_t i;

    for (i = 0; i < w->after->n_parts && status == FC_OK; i++)
        if (w->added[i] || !w->from_file)
            status = write_part(w, i);
    return status;
}

/* Whether two sections have other keys or values. */
static bool
section_differs(const struct fci_section *a, const struct fci_section *b)
{
    size_t i;

    if (!a || !b || a->n_entries != b->n_entries)
        return a != b;
    for (i = 0; i < a->n_entries; i++) {
        const struct fci_entry *other =
            fci_section_entry(b, a->entries[i].key);

        if (!other || !other->value || !a->entries[i].value
            || strcmp(other->value, a->entries[i].value) != 0)
            return true;
    }
    return false;
}

/* Which part is which, and what is about to be written otherwise. */
static bool
mark_parts(struct writer *w, const struct fci_change *changes, size_t n)
{
    const fc_site *before = w->before, *after = w->after;
    size_t i, part;

    w->touched = calloc(before->n_parts + 1, sizeof *w->touched);
    w->now = calloc(before->n_parts + 1, sizeof *w->now);
    w->added = calloc(after->n_parts + 1, sizeof *w->added);
    if (!w->touched || !w->now || !w->added)
        return false;
    for (i = 0; i < after->n_parts; i++)
        w->added[i] = part_of(before, &after->parts[i]) == FCI_NONE;
    for (i = 0; i < before->n_parts; i++) {
        part = w->now[i] = part_of(after, &before->parts[i]);
        w->touched[i] = part == FCI_NONE
                        || (w->set
                            && section_differs(before->parts[i].section,
                                               after->parts[part].section));
    }
    for (i = 0; i < n; i++) {
        part = fci_site_find_index(before, changes[i].kind,
                                   changes[i].name ? changes[i].name : "");
        if (part != FCI_NO_NAME)
            w->touched[part] = true;
    }
    return true;
}

fc_status
fci_site_write_text(const fc_site *site, const struct fci_change *changes,
                    size_t n, const char *heading, char **text,
                    fc_diagnostics *messages)
{
    return fci_site_write_elsewhere(site, changes, n, heading, NULL, text,
                                    messages);
}

/* The site whose lines are kept: over whose file something was set, as it
 * reads without; of a file that needs what was set the site itself, of which
 * no lines are kept. */
static fc_status
find_before(struct writer *w, const fc_site *site, fc_site **bare)
{
    fc_status status;

    w->before = site;
    w->from_file = site->ini != NULL;
    w->set = site->n_set > 0;
    if (site->n_set == 0 || !site->ini)
        return FC_OK;
    status = fci_site_bare(site, bare);
    w->from_file = status == FC_OK;
    if (status == FC_OK)
        w->before = *bare;
    return status == FC_ENOMEM ? status : FC_OK;
}

fc_status
fci_site_write_elsewhere(const fc_site *site, const struct fci_change *changes,
                         size_t n, const char *heading, const char *folder,
                         char **text, fc_diagnostics *messages)
{
    struct writer w = {
        .after = site, .line_end = "\n", .folder = folder, .messages = messages
    };
    fc_site *changed = NULL, *bare = NULL;
    fc_status status;

    if (!site->finished)
        return fci_fail(messages, FC_ESTATE, NULL, 0,
                        "the site is not finished; a finished one is needed");
    status = find_before(&w, site, &bare);
    if (status == FC_OK && n > 0) {
        status = fci_site_changed(site, changes, n, &changed, messages);
        w.after = changed;
        if (status == FC_OK)
            status = tell_figures(changed, messages);
    }
    if (status == FC_OK && !mark_parts(&w, changes, n))
        status = FC_ENOMEM;
    if (status == FC_OK)
        status = write_site(&w, heading);
    if (status == FC_OK && w.failed)
        status = FC_ENOMEM;
    if (status == FC_OK)
        *text = w.text;
    else
        free(w.text);
    fc_site_free(changed);
    fc_site_free(bare);
    free(w.touched);
    free(w.now);
    free(w.added);
    fci_arena_free(&w.arena);
    return status;
}

/* ---- Readings ---------------------------------------------------------- */

/* "[reading NAME]", as a line of a site file begins. */
static bool
begins_reading(const char *line)
{
    size_t n;

    line = fci_skip_blanks(line);
    if (*line != '[')
        return false;
    line = fci_skip_blanks(line + 1);
    n = fci_match(line, "reading");
    return n > 0 && (line[n] == ']' || fci_blank(line + n) > 0);
}

/* Appends a piece of n; with `out` NULL nothing.  Returns n. */
static size_t
append(char *out, size_t used, const char *piece, size_t n)
{
    if (out)
        memcpy(out + used, piece, n);
    return n;
}

/* With `out` NULL the length alone. */
static size_t
put_left_out(const char *line, char *out)
{
    static const char why[] = "; Read before this change, and left out:\n";
    bool reading = false;
    size_t used = 0;

    while (*line) {
        const size_t stop = strcspn(line, "\n");
        const size_t n = stop + (line[stop] == '\n');
        const char first = *fci_skip_blanks(line);

        if (first == '[')
            reading = begins_reading(line);
        if (first == '[' && reading)
            used += append(out, used, why, sizeof why - 1);
        if (reading && first && !strchr("\r\n;#", first))
            used += append(out, used, "; ", 2);
        used += append(out, used, line, n);
        line += n;
    }
    append(out, used, "", 1);
    return used;
}

fc_status
fci_leave_readings_out(char **text)
{
    char *out = malloc(put_left_out(*text, NULL) + 1);

    if (!out)
        return FC_ENOMEM;
    put_left_out(*text, out);
    free(*text);
    *text = out;
    return FC_OK;
}
