/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/variants/change.c -- a site that differs from another in some keys.
 *
 * Every part is copied as it was given, and the members of its struct that the
 * changed keys fill in are set.  Nothing is written as text and read again.
 */
#include "variants/change.h"
#include "ground/plain_print.h"
#include "ground/characters.h"
#include "ground/diagnostics.h"
#include "ini/ini_text.h"
#include "site/reader.h"
#include "variants/part_text.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- A list ----------------------------------------------------------- */

static bool
append(struct fci_change_list *list, struct fci_change change)
{
    struct fci_change *const grown =
        fci_grow(list->changes, list->n, &list->room, sizeof *list->changes);

    if (!grown)
        return false;
    list->changes = grown;
    grown[list->n++] = change;
    return true;
}

bool
fci_change_add(struct fci_change_list *list, enum fci_kind kind,
               const char *name, const char *key, const char *value)
{
    return append(
        list, (struct fci_change){
                  .kind = kind, .name = name, .key = key, .value = value });
}

bool
fci_change_put(struct fci_change_list *list, enum fci_kind kind,
               const char *name, const char *key, const void *data)
{
    return append(list,
                  (struct fci_change){
                      .kind = kind, .name = name, .key = key, .data = data });
}

bool
fci_change_add_part(struct fci_change_list *list, enum fci_kind kind,
                    const void *data)
{
    return append(list, (struct fci_change){ .kind = kind, .data = data });
}

void
fci_change_list_free(struct fci_change_list *list)
{
    free(list->changes);
    *list = (struct fci_change_list){ 0 };
}

/* ---- One change as an entry ------------------------------------------- */

static const char *
name_of(const struct fci_change *change)
{
    return change->name ? change->name : "";
}

static fc_status blame(const struct fci_change *change,
                       fc_diagnostics *messages, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

static fc_status
blame(const struct fci_change *change, fc_diagnostics *messages,
      const char *format, ...)
{
    const struct fci_heading heading =
        fci_heading(fci_part_kinds[change->kind].word, name_of(change));
    char what[128];
    va_list args;

    va_start(args, format);
    fci_vprint(what, sizeof what, format, args);
    va_end(args);
    return fci_fail(messages, FC_EINPUT, NULL, 0, "%s %s %s", heading.text,
                    fci_excerpt(change->key).text, what);
}

/* A text as a line of a file is read; FC_EINPUT: it cannot be one. */
static fc_status
plain_text(const struct fci_change *change, const char *text,
           struct fci_arena *arena, char **plain, fc_diagnostics *messages)
{
    const size_t n = strlen(text);
    struct fci_not_text wrong;
    char *copy;

    if (n > FCI_LONGEST_LINE)
        return blame(change, messages,
                     "is %zu bytes long; at most %u can be read", n,
                     FCI_LONGEST_LINE);
    copy = fci_arena_alloc(arena, n + 1);
    if (!copy)
        return FC_ENOMEM;
    if (!fci_plain_line(text, n, copy, &wrong))
        return blame(
            change, messages,
            "is not a line of text at byte %zu; one line of UTF-8 is expected",
            wrong.column);
    *plain = fci_trimmed(copy);
    return FC_OK;
}

/* The key in lower case and single spaces, the value trimmed; NULL stays. */
static fc_status
entry_of(const struct fci_change *change, struct fci_arena *arena,
         struct fci_entry *entry, fc_diagnostics *messages)
{
    char *key, *value = NULL, *c;
    fc_status status = plain_text(change, change->key, arena, &key, messages);

    if (status == FC_OK && change->value)
        status = plain_text(change, change->value, arena, &value, messages);
    if (status != FC_OK)
        return status;
    if (value && !*value)
        return blame(change, messages, "has no value; one is expected");
    key = fci_squeezed(key);
    for (c = key; *c; c++)
        *c = fci_lower(*c);
    if (value && strlen(key) + 1 + strlen(value) > FCI_LONGEST_LINE)
        return blame(change, messages, "does not fit on a line of %u bytes",
                     FCI_LONGEST_LINE);
    *entry = (struct fci_entry){
        .key = fci_fields_key(fci_part_kinds[change->kind].fields,
                              fci_part_kinds[change->kind].n_fields, key),
        .value = value
    };
    return FC_OK;
}

/* ---- The part --------------------------------------------------------- */

/* Another part, with nothing in it yet. */
static fc_status
add_part(fc_site *site, enum fci_kind kind, const char *name,
         struct fci_part **part, fc_diagnostics *messages)
{
    const struct fci_section empty = { .kind = fci_part_kinds[kind].word,
                                       .name = name };
    struct fci_section *section = fci_section_copy(&empty, 1, &site->arena);
    struct fci_part made = { .kind = kind, .section = section };
    fc_status status;
    int *floors;
    size_t n;

    made.data = fci_arena_alloc(&site->arena, fci_part_kinds[kind].size);
    if (!section || !made.data)
        return FC_ENOMEM;
    made.name = section->name;
    status = fci_reader_head(section, kind, NULL, messages);
    if (status == FC_OK && fci_floors_typical(section)) /* it has no floors */
        status = fci_floors_list(section, NULL, &site->arena, &floors, &n,
                                 messages);
    if (status == FC_OK)
        fci_reader_start(section, kind, made.data);
    if (status == FC_OK)
        status = fci_site_enter(site, &made, messages);
    if (status == FC_OK)
        *part = &site->parts[site->n_parts - 1];
    return status;
}

static fc_status
find_part(fc_site *site, const struct fci_change *change,
          struct fci_part **part, fc_diagnostics *messages)
{
    const size_t i = fci_site_find_index(site, change->kind, name_of(change));

    if (i == FCI_NO_NAME || site->parts[i].kind != change->kind)
        return add_part(site, change->kind, name_of(change), part, messages);
    *part = &site->parts[i];
    return FC_OK;
}

/* The keys that the part was read with, with this one among them or `gone`; a
 * changed value stands where it stood.  The lines are those of a file no more.
 */
static void
note_key(struct fci_section *section, const struct fci_entry *entry, bool gone)
{
    bool put = gone;
    size_t i, n = 0;

    for (i = 0; i < section->n_entries; i++) {
        const bool same = strcmp(section->entries[i].key, entry->key) == 0;
        const char *written = section->entries[i].written;

        if (same && gone)
            continue;
        section->entries[n] = same ? *entry : section->entries[i];
        section->entries[n].written = written;
        section->entries[n++].line = 0;
        put |= same;
    }
    if (!put)
        section->entries[n++] = *entry;
    section->n_entries = n;
    section->line = 0;
}

/* ---- The value -------------------------------------------------------- */

static fc_status
put_text(const struct fci_part *part, const struct fci_entry *entry,
         struct fci_arena *arena, fc_diagnostics *messages)
{
    const struct fci_part_kind *kind = &fci_part_kinds[part->kind];
    struct fci_entry one = *entry;
    const struct fci_section section = {
        .kind = kind->word, .name = part->name, .entries = &one, .n_entries = 1
    };

    return fci_fields_change(kind->fields, kind->n_fields, &section, NULL,
                             arena, part->data, messages);
}

/* Prices and floors have keys that are no members of their struct: their
 * section is read as a whole, and written first where it was made by a call.
 */
static fc_status
put_row(fc_site *site, struct fci_part *part, const struct fci_entry *entry,
        fc_diagnostics *messages)
{
    struct fci_section *section = NULL;
    fc_status status = FC_OK;
    void *data;

    if (!part->section)
        status = fci_part_section(part, part->data, site->settings.units,
                                  &site->arena, &section, messages);
    if (status != FC_OK)
        return status;
    section =
        fci_section_copy(section ? section : part->section, 1, &site->arena);
    data = fci_arena_alloc(&site->arena, fci_part_kinds[part->kind].size);
    if (!section || !data)
        return FC_ENOMEM;
    note_key(section, entry, !entry->value);
    part->section = section;
    part->data = data;
    return fci_reader_data(section, part->kind, NULL, &site->arena, data,
                           messages);
}

/* The figure of a struct itself, or a text. */
static fc_status
put_value(fc_site *site, struct fci_part *part, struct fci_entry *entry,
          const void *figure, fc_diagnostics *messages)
{
    const struct fci_part_kind *kind = &fci_part_kinds[part->kind];
    struct fci_section section = { .kind = kind->word,
                                   .name = part->name,
                                   .entries = entry,
                                   .n_entries = entry->value ? 1 : 0 };
    struct fci_section *copy;
    fc_status status = fci_reader_head(&section, part->kind, NULL, messages);

    if (status != FC_OK)
        return status;
    if (kind->rows)
        return put_row(site, part, entry, messages);
    status = figure ? fci_fields_take(kind->fields, kind->n_fields, entry->key,
                                      figure, &site->arena, part->data)
                    : put_text(part, entry, &site->arena, messages);
    if (status != FC_OK || !part->section)
        return status;
    copy = fci_section_copy(part->section, 1, &site->arena);
    if (!copy)
        return FC_ENOMEM;
    note_key(copy, entry, !entry->value && !figure);
    part->section = copy;
    return FC_OK;
}

fc_status
fci_site_change(fc_site *site, const struct fci_change *change,
                fc_diagnostics *messages)
{
    struct fci_part *part;
    struct fci_entry entry;
    fc_status status;

    if ((unsigned)change->kind >= FCI_KINDS || !(change->key || change->data))
        return fci_fail(messages, FC_EINPUT, NULL, 0,
                        "a change has no kind of a part or no key; both are "
                        "needed");
    if (!change->key)
        return fci_site_add(site, change->kind, change->data, messages);
    status = entry_of(change, &site->arena, &entry, messages);
    if (status == FC_OK)
        status = find_part(site, change, &part, messages);
    if (status != FC_OK)
        return status;
    part->changed = true;
    part->path = NULL;
    return put_value(site, part, &entry, change->data, messages);
}
