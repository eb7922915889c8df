/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/fields.c -- the keys of a section read into a struct, by a list. */
#include "ground/book.h"
#include "ground/plain_print.h"
#include "ground/diagnostics.h"
#include "ini/field_type.h"
#include "ini/ini_text.h"
#include "units/units.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

struct fci_heading
fci_heading(const char *kind, const char *name)
{
    struct fci_heading heading;

    heading.text[0] = '\0';
    if (*kind)
        snprintf(heading.text, sizeof heading.text, "[%s%s%.120s]", kind,
                 *name ? " " : "", name);
    return heading;
}

/* Whether another floor has told the same. */
static bool
is_told(const struct fci_section *section, const struct fci_entry *entry)
{
    struct fci_floors_told *told = section ? section->told : NULL;
    int line;

    if (!told || !told->open)
        return false;
    line = entry ? entry->line : section->line;
    for (size_t i = 0; i < told->n; i++)
        if (told->first[i].line == line)
            return told->first[i].floor != section->floor;
    told->first[told->n++] = (struct fci_floor_told){ line, section->floor };
    return false;
}

fc_status
fci_fail_where(const struct fci_where *where, fc_diagnostics *messages,
               const char *key, const char *format, va_list args)
{
    const struct fci_entry *entry =
        where->section && key ? fci_section_entry(where->section, key) : NULL;
    char what[1024];
    int line = 0;

    if (is_told(where->section, entry))
        return FC_EINPUT;
    if (entry)
        line = entry->line;
    else if (where->section)
        line = where->section->line;
    fci_vprint(what, sizeof what, format, args);
    return fci_fail(messages, FC_EINPUT, where->path, line, "%s%s%s %s",
                    fci_heading(where->kind, where->name).text,
                    key && *where->kind ? " " : "",
                    entry ? fci_entry_key(entry)
                    : key ? key
                          : "",
                    what);
}

/* ---- A value ---------------------------------------------------------- */

fc_status
fci_value_fail(struct fci_value *v, const char *format, ...)
{
    fc_status status;
    va_list args;

    va_start(args, format);
    status =
        fci_fail_where(&v->where, v->messages, v->field->key, format, args);
    va_end(args);
    if (v->status != FC_ENOMEM)
        v->status = status;
    return status;
}

fc_status
fci_value_wrong(struct fci_value *v, const char *text, const char *expected)
{
    return fci_value_fail(v, "\"%.60s\"; %s", text, expected);
}

void
fci_blame(struct fci_value *v, const char *what)
{
    if (v->status == FC_OK)
        fci_value_fail(v, "%s, which a site file cannot hold", what);
}

void
fci_put(struct fci_value *v, const char *format, ...)
{
    const size_t room = FCI_LONGEST_LINE + 1 - v->used;
    va_list args;
    int n;

    va_start(args, format);
    n = fci_vprint(v->line + v->used, room, format, args);
    va_end(args);
    if (n >= 0 && (size_t)n < room)
        v->used += (size_t)n;
    else if (v->status == FC_OK)
        fci_value_fail(v, "does not fit on a line of %u bytes",
                       FCI_LONGEST_LINE);
}

void
fci_put_comma(struct fci_value *v, size_t i)
{
    if (i > 0)
        fci_put(v, ", ");
}

bool
fci_next_item(const char **list, char *item, size_t size)
{
    const char *start = *list, *end, *after;

    if (!start)
        return false;
    end = strchr(start, ',');
    after = end ? end + 1 : NULL;
    if (!end)
        end = start + strlen(start);
    while (start < end && *start == ' ')
        start++;
    while (end > start && end[-1] == ' ')
        end--;
    snprintf(item, size, "%.*s", (int)(end - start), start);
    *list = after;
    return true;
}

void *
fci_list_array(const struct fci_value *v, size_t item, void *place, size_t *n)
{
    const char *text;
    void *array;

    for (*n = 1, text = v->text; *text; text++)
        *n += *text == ',';
    array = fci_arena_array(v->arena, *n, item);
    memcpy(place, &array, sizeof array);
    return array;
}

bool
fci_copy_array(void *place, size_t size, struct fci_arena *arena)
{
    const void *from;
    void *copy;

    memcpy(&from, place, sizeof from);
    if (!from)
        return true;
    copy = fci_arena_copy(arena, from, size);
    memcpy(place, &copy, sizeof copy);
    return copy != NULL;
}

/* ---- A section -------------------------------------------------------- */

/* NULL: there is no such key. */
static const struct fci_field *
find_field(const struct fci_field *fields, size_t n, const char *key)
{
    size_t i;

    for (i = 0; i < n; i++)
        if (strcmp(fields[i].key, key) == 0)
            return &fields[i];
    return NULL;
}

static const char *
key_at(const void *of, size_t i)
{
    return ((const struct fci_field *)of)[i].key;
}

static struct fci_book
book_of(const struct fci_field *fields, size_t n)
{
    return (struct fci_book){ "keys", fields, n, key_at, NULL };
}

const char *
fci_fields_key(const struct fci_field *fields, size_t n, const char *key)
{
    const struct fci_book book = book_of(fields, n);
    const size_t i =
        find_field(fields, n, key) ? FCI_NO_NAME : fci_book_find(&book, key);

    return i == FCI_NO_NAME ? key : fields[i].key;
}

/* The entry i becomes one of the key that its word stands for, unless the
 * section has that: "set" and "set pressure". */
static fc_status
rename_entry(struct fci_section *section, size_t i, const char *key,
             const char *path, fc_diagnostics *messages)
{
    struct fci_entry *entry = &section->entries[i];
    const struct fci_entry *same = fci_section_entry(section, key);

    if (same)
        return fci_fail(messages, FC_EINPUT, path, entry->line,
                        "%s %.60s is another word for \"%.60s\", which line "
                        "%d has; it is expected once",
                        fci_heading(section->kind, section->name).text,
                        entry->key, fci_entry_key(same), same->line);
    entry->written = entry->key;
    entry->key = key;
    return FC_OK;
}

fc_status
fci_fields_rename(const struct fci_field *fields, size_t n_fields,
                  struct fci_section *section, const char *path,
                  fc_diagnostics *messages)
{
    const struct fci_book book = book_of(fields, n_fields);
    struct fci_refusal several;
    fc_status status, worst = FC_OK;
    const char *key;
    size_t i, n = 0;

    for (i = 0; i < section->n_entries; i++) {
        const struct fci_entry *entry = &section->entries[i];

        status = FC_OK;
        key = fci_fields_key(fields, n_fields, entry->key);
        if (key != entry->key)
            status = rename_entry(section, i, key, path, messages);
        else if (!find_field(fields, n_fields, key)) {
            several = fci_book_ambiguity(&book, key);
            if (*several.text)
                status = fci_fail(
                    messages, FC_EINPUT, path, entry->line, "%s %.60s %s",
                    fci_heading(section->kind, section->name).text, key,
                    several.text);
        }
        if (status == FC_ENOMEM)
            return status;
        if (status != FC_OK) {
            section->incomplete = true;
            worst = status;
            continue; /* what was said of it is enough */
        }
        section->entries[n++] = section->entries[i];
    }
    section->n_entries = n;
    return worst;
}

bool
fci_fields_may_have(const struct fci_field *fields, size_t n_fields,
                    const struct fci_section *section, const char *key)
{
    const struct fci_book book = book_of(fields, n_fields);
    const char *nearest;
    size_t i;

    if (section->incomplete || fci_section_entry(section, key))
        return true;
    for (i = 0; i < section->n_entries; i++) {
        if (find_field(fields, n_fields, section->entries[i].key))
            continue;
        nearest = fci_book_nearest(&book, section->entries[i].key);
        if (nearest && strcmp(nearest, key) == 0)
            return true;
    }
    return false;
}

static fc_status
unknown_key(const struct fci_field *fields, size_t n,
            const struct fci_value *v, const struct fci_entry *entry)
{
    const struct fci_heading heading =
        fci_heading(v->where.kind, v->where.name);
    const struct fci_book book = book_of(fields, n);
    char unknown[80];

    snprintf(unknown, sizeof unknown, "has no key \"%.60s\"", entry->key);
    return fci_fail(
        v->messages, FC_EINPUT, v->where.path, entry->line, "%s %s",
        heading.text,
        fci_book_refusal(&book, entry->key, unknown, "its keys are ").text);
}

/* What a key fills in stands as not given from here on. */
static void
forget(const struct fci_field *field, char *part)
{
    memset(part + field->offset, 0, field->type->at);
    if (field->type->second > 0)
        memset(part + field->second, 0, field->type->second);
    if (field->type->forget)
        field->type->forget(part);
}

/* What was half read before an error is forgotten too, so that nothing more is
 * said about it. */
static fc_status
read_entry(const struct fci_field *fields, size_t n, struct fci_value *v,
           const struct fci_entry *entry, char *part)
{
    fc_status status = FC_OK;

    v->field = find_field(fields, n, entry->key);
    if (!v->field)
        return unknown_key(fields, n, v, entry);
    forget(v->field, part);
    v->text = entry->value;
    if (v->text && v->field->type->read)
        status = v->field->type->read(v, part);
    if (status != FC_OK)
        forget(v->field, part);
    return status;
}

fc_status
fci_fields_take(const struct fci_field *fields, size_t n_fields,
                const char *key, const void *from, struct fci_arena *arena,
                void *part)
{
    const struct fci_field *field = find_field(fields, n_fields, key);
    const char *data = from;
    char *to = part;

    if (!field)
        return FC_EUNKNOWN;
    forget(field, to);
    memcpy(to + field->offset, data + field->offset, field->type->at);
    if (field->type->second > 0)
        memcpy(to + field->second, data + field->second, field->type->second);
    return !field->type->copy || field->type->copy(field, to, arena)
               ? FC_OK
               : FC_ENOMEM;
}

static fc_status
missing_keys(const struct fci_field *fields, size_t n,
             const struct fci_value *v)
{
    fc_status status = FC_OK;
    char choices[128];
    const char *needed;
    size_t i;

    for (i = 0; i < n && status != FC_ENOMEM; i++) {
        if (!fields[i].required
            || fci_fields_may_have(fields, n, v->where.section, fields[i].key))
            continue;
        needed = fields[i].type->needed;
        if (fields[i].choices) {
            fci_list_choices(&fields[i], choices, sizeof choices);
            needed = choices;
        }
        status = fci_fail(
            v->messages, FC_EINPUT, v->where.path, v->where.section->line,
            "%s lacks \"%s\"; %s is needed",
            fci_heading(v->where.kind, v->where.name).text, fields[i].key,
            needed ? needed : fci_dimension_name(fields[i].dimension));
    }
    return status;
}

static struct fci_value
value_of(const struct fci_section *section, const char *path,
         struct fci_arena *arena, fc_diagnostics *messages)
{
    const struct fci_value v = {
        .where = { section->kind, section->name, path, section },
        .messages = messages,
        .arena = arena,
    };

    return v;
}

fc_status
fci_fields_change(const struct fci_field *fields, size_t n_fields,
                  const struct fci_section *section, const char *path,
                  struct fci_arena *arena, void *part,
                  fc_diagnostics *messages)
{
    struct fci_value v = value_of(section, path, arena, messages);
    fc_status status, worst = FC_OK;
    size_t i;

    for (i = 0; i < section->n_entries; i++) {
        status = read_entry(fields, n_fields, &v, &section->entries[i], part);
        if (status == FC_ENOMEM)
            return status;
        if (status != FC_OK)
            worst = status;
    }
    return worst;
}

fc_status
fci_fields_missing(const struct fci_field *fields, size_t n_fields,
                   const struct fci_section *section, const char *path,
                   fc_diagnostics *messages)
{
    const struct fci_value v = value_of(section, path, NULL, messages);

    return missing_keys(fields, n_fields, &v);
}

fc_status
fci_fields_read(const struct fci_field *fields, size_t n_fields,
                const struct fci_section *section, const char *path,
                struct fci_arena *arena, void *part, fc_diagnostics *messages)
{
    const fc_status read = fci_fields_change(fields, n_fields, section, path,
                                             arena, part, messages);
    fc_status status;

    if (read == FC_ENOMEM)
        return read;
    status = fci_fields_missing(fields, n_fields, section, path, messages);
    return status != FC_OK ? status : read;
}
