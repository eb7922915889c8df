/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/variants/site_write.c -- a site as the text of a site file. */
#include "variants/site_write.h"
#include "ground/diagnostics.h"
#include "ini/ini_text.h"
#include "variants/part_text.h"
#include "site/reader.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct writer {
    const fc_site *before, *after; /* the same where nothing is changed */
    bool *touched;          /* by part of `before`: some change is about it */
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
    n = vsnprintf(NULL, 0, format, args);
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
        (size_t)vsnprintf(w->text + w->used, w->room - w->used, format, args);
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
    put(w, "%s%s\n", n > 0 ? "; " : ";", plain);
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
    put(w, "\n");
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
    size_t n = strlen(entry->key) + strlen(entry->value) + 2 * strlen(mark);

    if (*entry->value == '"' || (quotes && strchr(entry->value, '"')))
        return fci_part_fail(part, w->messages, entry->key,
                             "\"%.60s\" holds a quote, which a site file has "
                             "no way to put there",
                             entry->value);
    if (n + strlen(equals) > FCI_LONGEST_LINE)
        equals = "=";
    n += strlen(equals);
    if (n > FCI_LONGEST_LINE)
        return fci_part_fail(part, w->messages, entry->key,
                             "does not fit on a line of %u bytes",
                             FCI_LONGEST_LINE);
    put(w, "%s%s%s%s%s", entry->key, equals, mark, entry->value, mark);
    if (remark
        && n + strlen(" ; ") + strlen(remark) + strlen(remark_value)
               <= FCI_LONGEST_LINE)
        put(w, " ; %s%s", remark, remark_value);
    put(w, "\n");
    return FC_OK;
}

/* A comment that would be too long is left out here too. */
static void
write_taken_away(struct writer *w, const struct fci_entry *entry)
{
    static const char words[] = "; taken away: ";

    if (strlen(words) + strlen(entry->key) + strlen(" = ")
            + strlen(entry->value)
        <= FCI_LONGEST_LINE)
        put(w, "%s%s = %s\n", words, entry->key, entry->value);
}

/* ---- Sections --------------------------------------------------------- */

/* A relative `tables` is to be found from where the text will be. */
static fc_status
write_tables(struct writer *w, const struct fci_part *part,
             const struct fci_entry *entry)
{
    struct fci_entry there = *entry;

    there.value =
        fci_arena_printf(&w->arena, "%s/%s", w->folder, entry->value);
    return there.value ? write_entry(w, part, &there, "was ", entry->value)
                       : FC_ENOMEM;
}

static bool
is_elsewhere(const struct writer *w, const struct fci_part *part,
             const struct fci_entry *entry)
{
    return w->folder && part->kind == FCI_SITE
           && strcmp(entry->key, "tables") == 0 && *entry->value != '/';
}

/* `before` tells what the section was; NULL: there is nothing to tell. */
static fc_status
write_section(struct writer *w, const struct fci_part *part,
              const struct fci_section *before,
              const struct fci_section *section, const char *remark)
{
    fc_status status = FC_OK;
    size_t i;

    put(w, "[%s%s%s]%s\n", section->kind, *section->name ? " " : "",
        section->name, remark);
    for (i = 0; i < section->n_entries && status == FC_OK; i++) {
        const struct fci_entry *entry = &section->entries[i];
        const struct fci_entry *was =
            before ? fci_section_entry(before, entry->key) : entry;

        if (is_elsewhere(w, part, entry))
            status = write_tables(w, part, entry);
        else if (!was)
            status = write_entry(w, part, entry, "added", "");
        else if (strcmp(was->value, entry->value) != 0)
            status = write_entry(w, part, entry, "was ", was->value);
        else
            status = write_entry(w, part, entry, NULL, "");
    }
    for (i = 0; before && i < before->n_entries; i++)
        if (!fci_section_entry(section, before->entries[i].key))
            write_taken_away(w, &before->entries[i]);
    put(w, "\n");
    return status;
}

/* The section of a part, its own or, made by a call, one that says the same.
 * What a caller of fc_site_set_units() asked for is no part of the site. */
static fc_status
section_of(struct writer *w, const fc_site *site, size_t i,
           const struct fci_section **section)
{
    const struct fci_part *part = &site->parts[i];
    const fc_settings *settings =
        site->settings_part ? site->settings_part->data : NULL;
    struct fci_section *made;
    fc_status status;

    *section = part->section;
    if (part->section)
        return FC_OK;
    status = fci_part_section(part, site->given[i],
                              settings ? settings->units : FC_US, &w->arena,
                              &made, w->messages);
    if (status == FC_OK)
        *section = made;
    return status;
}

static fc_status
write_part(struct writer *w, size_t i)
{
    const struct fci_part *part = &w->after->parts[i];
    const struct fci_section *before = NULL, *after;
    const bool added = i >= w->before->n_parts;
    fc_status status = section_of(w, w->after, i, &after);

    if (status == FC_OK && !added && w->touched[i])
        status = section_of(w, w->before, i, &before);
    if (status != FC_OK)
        return status;
    return write_section(w, part, before, after, added ? " ; added" : "");
}

/* ---- The sections of a file ------------------------------------------- */

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

static fc_status
write_file_sections(struct writer *w)
{
    const struct fci_ini *ini = w->before->ini;
    fc_status status = FC_OK;
    size_t s, i = 0, end;

    for (s = 0; s < ini->n_sections && status == FC_OK; s++) {
        const struct fci_section *section = &ini->sections[s];

        end = i + parts_of(w->before, section, i);
        if (fci_floors_typical(section) && !is_touched(w, i, end)) {
            status = write_section(w, &w->after->parts[i], NULL, section, "");
            i = end;
        }
        for (; i < end && status == FC_OK; i++)
            status = write_part(w, i);
    }
    return status;
}

/* ---- The text --------------------------------------------------------- */

static fc_status
write_site(struct writer *w, const char *heading)
{
    fc_status status = write_heading(w, heading);
    size_t i = 0;

    if (status == FC_OK && w->before->ini) {
        status = write_file_sections(w);
        i = w->before->n_parts;
    }
    for (; i < w->after->n_parts && status == FC_OK; i++)
        status = write_part(w, i);
    return status;
}

static bool
mark_touched(struct writer *w, const struct fci_change *changes, size_t n)
{
    size_t i, part;

    w->touched = calloc(w->before->n_parts + 1, sizeof *w->touched);
    for (i = 0; w->touched && i < n; i++) {
        part = fci_site_find_index(w->before, changes[i].kind,
                                   changes[i].name ? changes[i].name : "");
        if (part != FCI_NO_NAME)
            w->touched[part] = true;
    }
    return w->touched != NULL;
}

fc_status
fci_site_write_text(const fc_site *site, const struct fci_change *changes,
                    size_t n, const char *heading, char **text,
                    fc_diagnostics *messages)
{
    return fci_site_write_elsewhere(site, changes, n, heading, NULL, text,
                                    messages);
}

fc_status
fci_site_write_elsewhere(const fc_site *site, const struct fci_change *changes,
                         size_t n, const char *heading, const char *folder,
                         char **text, fc_diagnostics *messages)
{
    struct writer w = {
        .before = site, .after = site, .folder = folder, .messages = messages
    };
    fc_site *changed = NULL;
    fc_status status = FC_OK;

    if (!site->finished)
        return fci_fail(messages, FC_ESTATE, NULL, 0,
                        "the site is not finished; a finished one is needed");
    if (n > 0) {
        status = fci_site_changed(site, changes, n, &changed, messages);
        w.after = changed;
    }
    if (status == FC_OK && !mark_touched(&w, changes, n))
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
    free(w.touched);
    fci_arena_free(&w.arena);
    return status;
}
