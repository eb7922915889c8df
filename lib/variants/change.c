/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/variants/change.c -- a site that differs from another in some keys.
 *
 * Every part is copied as it was given.  One that is changed and came from a
 * file is read again from its section with the changed entries; one that was
 * made by a call has them read over its struct.
 */
#include "variants/change.h"
#include "ground/characters.h"
#include "ground/diagnostics.h"
#include "ini/ini_text.h"
#include "variants/part_text.h"
#include "site/reader.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define CHANGED (-1) /* as the line of an entry, while they are changed */

/* The changes of one part, chained by their numbers. */
struct chain {
    size_t first, last, length;
};

struct work {
    const fc_site *from;
    fc_site *to;
    const struct fci_change *changes;
    size_t n;
    size_t *next; /* by change: the next one of its part, or FCI_NONE */
    struct chain *chains; /* the parts of `from`, then those to be added */
    size_t n_chains;
    struct fci_names added[FCI_KINDS]; /* to chains */
    const char *path, *path_copied;    /* of the file, and its copy */
    fc_diagnostics *messages;
};

static const char *
name_of(const struct fci_change *change)
{
    return change->name ? change->name : "";
}

/* ---- The changes, part by part ---------------------------------------- */

/* The chain that a change belongs to. */
static fc_status
find_chain(struct work *w, const struct fci_change *change, size_t *chain)
{
    const size_t part =
        fci_site_find_index(w->from, change->kind, name_of(change));
    bool known;

    if (part != FCI_NO_NAME && w->from->parts[part].kind == change->kind) {
        *chain = part;
        return FC_OK;
    }
    *chain = w->n_chains;
    if (fci_names_enter(&w->added[change->kind], name_of(change), chain,
                        &known)
        != FC_OK)
        return FC_ENOMEM;
    w->n_chains += !known;
    return FC_OK;
}

static fc_status
chain_changes(struct work *w)
{
    struct chain *chain;
    fc_status status;
    size_t i, place;

    for (i = 0; i < w->n; i++) {
        if ((unsigned)w->changes[i].kind >= FCI_KINDS || !w->changes[i].key)
            return fci_fail(w->messages, FC_EINPUT, NULL, 0,
                            "change %zu has no kind of a part or no key; both "
                            "are needed",
                            i + 1);
        status = find_chain(w, &w->changes[i], &place);
        if (status != FC_OK)
            return status;
        chain = &w->chains[place];
        w->next[i] = FCI_NONE;
        if (chain->length++ == 0)
            chain->first = i;
        else
            w->next[chain->last] = i;
        chain->last = i;
    }
    return FC_OK;
}

/* ---- One change as an entry ------------------------------------------- */

static fc_status blame(struct work *w, const struct fci_change *change,
                       const char *format, ...)
    __attribute__((format(printf, 3, 4)));

static fc_status
blame(struct work *w, const struct fci_change *change, const char *format, ...)
{
    const struct fci_heading heading =
        fci_heading(fci_part_kinds[change->kind].word, name_of(change));
    char what[128];
    va_list args;

    va_start(args, format);
    vsnprintf(what, sizeof what, format, args);
    va_end(args);
    return fci_fail(w->messages, FC_EINPUT, NULL, 0, "%s %s %s", heading.text,
                    fci_excerpt(change->key).text, what);
}

/* A text as a line of a file is read; FC_EINPUT: it cannot be one. */
static fc_status
plain_text(struct work *w, const struct fci_change *change, const char *text,
           char **plain)
{
    const size_t n = strlen(text);
    struct fci_not_text wrong;
    char *copy;

    if (n > FCI_LONGEST_LINE)
        return blame(w, change, "is %zu bytes long; at most %u can be read", n,
                     FCI_LONGEST_LINE);
    copy = fci_arena_alloc(&w->to->arena, n + 1);
    if (!copy)
        return FC_ENOMEM;
    if (!fci_plain_line(text, n, copy, &wrong))
        return blame(w, change,
                     "is no line of text at byte %zu; one line of UTF-8 is "
                     "expected",
                     wrong.column);
    *plain = fci_trimmed(copy);
    return FC_OK;
}

/* The key in lower case and single spaces, the value trimmed; NULL stays. */
static fc_status
entry_of(struct work *w, const struct fci_change *change,
         struct fci_entry *entry)
{
    char *key, *value = NULL, *c;
    fc_status status = plain_text(w, change, change->key, &key);

    if (status == FC_OK && change->value)
        status = plain_text(w, change, change->value, &value);
    if (status != FC_OK)
        return status;
    if (value && !*value)
        return blame(w, change, "has no value; one is expected");
    key = fci_squeezed(key);
    for (c = key; *c; c++)
        *c = fci_lower(*c);
    if (value && strlen(key) + 1 + strlen(value) > FCI_LONGEST_LINE)
        return blame(w, change, "does not fit on a line of %u bytes",
                     FCI_LONGEST_LINE);
    *entry = (struct fci_entry){ key, value, CHANGED };
    return FC_OK;
}

/* The entry put in the place of the one with its key, or behind the others. */
static fc_status
put_entry(struct work *w, const struct fci_change *change,
          struct fci_section *section)
{
    struct fci_entry entry;
    const fc_status status = entry_of(w, change, &entry);
    size_t i;

    if (status != FC_OK)
        return status;
    for (i = 0; i < section->n_entries; i++)
        if (strcmp(section->entries[i].key, entry.key) == 0)
            break;
    if (i == section->n_entries)
        section->n_entries++;
    else if (section->entries[i].line == CHANGED)
        return blame(w, change, "is changed twice; each key is expected once");
    section->entries[i] = entry;
    return FC_OK;
}

static fc_status
put_entries(struct work *w, const struct chain *chain,
            struct fci_section *section)
{
    fc_status status, worst = FC_OK;
    size_t i;

    for (i = chain->first; i != FCI_NONE; i = w->next[i]) {
        status = put_entry(w, &w->changes[i], section);
        if (status == FC_ENOMEM)
            return status;
        if (status != FC_OK)
            worst = status;
    }
    for (i = 0; i < section->n_entries; i++)
        section->entries[i].line = 0;
    return worst;
}

/* ---- Sections --------------------------------------------------------- */

/* A copy with room for so many more entries; NULL when out of memory. */
static struct fci_section *
copy_section(struct fci_arena *arena, const struct fci_section *section,
             size_t more)
{
    struct fci_section *copy = fci_arena_copy(arena, section, sizeof *copy);
    size_t i;

    if (!copy)
        return NULL;
    copy->kind = fci_arena_string(arena, section->kind);
    copy->name = fci_arena_string(arena, section->name);
    copy->entries = fci_arena_array(arena, section->n_entries + more,
                                    sizeof *copy->entries);
    if (!copy->kind || !copy->name || !copy->entries)
        return NULL;
    for (i = 0; i < section->n_entries; i++) {
        struct fci_entry *entry = &copy->entries[i];

        *entry = section->entries[i];
        entry->key = fci_arena_string(arena, entry->key);
        entry->value = fci_arena_string(arena, entry->value);
        if (!entry->key || !entry->value)
            return NULL;
    }
    return copy;
}

/* The keys taken away leave the section; `gone` gets those that it did not
 * have.  The first `n_old` entries are those that it had. */
static void
take_away(struct fci_section *section, size_t n_old, struct fci_section *gone)
{
    size_t i, n = 0;

    for (i = 0; i < section->n_entries; i++) {
        if (section->entries[i].value)
            section->entries[n++] = section->entries[i];
        else if (i >= n_old)
            gone->entries[gone->n_entries++] = section->entries[i];
    }
    section->n_entries = n;
}

/* Taking away what is not given does nothing, if it is a key at all. */
static fc_status
check_gone(struct work *w, enum fci_kind kind, const struct fci_section *gone)
{
    const struct fci_part_kind *k = &fci_part_kinds[kind];
    void *part;

    if (gone->n_entries == 0)
        return FC_OK;
    part = fci_arena_alloc(&w->to->arena, k->size);
    if (!part)
        return FC_ENOMEM;
    return fci_fields_change(k->fields, k->n_fields, gone, NULL, &w->to->arena,
                             part, w->messages);
}

/* The part that a section with the changes makes.  `section` is a copy with
 * room for them. */
static fc_status
read_changed(struct work *w, enum fci_kind kind, const struct chain *chain,
             struct fci_section *section)
{
    const size_t n_old = section->n_entries;
    struct fci_section gone = *section;
    fc_status status = put_entries(w, chain, section);

    if (status != FC_OK)
        return status;
    section->line = 0;
    gone.n_entries = 0;
    gone.entries =
        fci_arena_array(&w->to->arena, chain->length, sizeof *gone.entries);
    if (!gone.entries)
        return FC_ENOMEM;
    take_away(section, n_old, &gone);
    status = check_gone(w, kind, &gone);
    if (status != FC_OK)
        return status;
    return fci_reader_section(w->to, section, NULL, w->messages);
}

/* ---- Parts ------------------------------------------------------------ */

/* All parts of one file share one copy of its path. */
static fc_status
copy_path(struct work *w, const char **path)
{
    if (!*path)
        return FC_OK;
    if (*path != w->path) {
        w->path = *path;
        w->path_copied = fci_arena_string(&w->to->arena, *path);
    }
    *path = w->path_copied;
    return *path ? FC_OK : FC_ENOMEM;
}

/* The part as it was given, without its section. */
static fc_status
copy_part(struct work *w, size_t i, struct fci_part *part)
{
    *part = w->from->parts[i];
    part->section = NULL;
    part->data = fci_part_copy(part->kind, w->from->given[i], &w->to->arena);
    if (!part->data)
        return FC_ENOMEM;
    if (fci_part_kinds[part->kind].named)
        memcpy(&part->name, part->data, sizeof part->name);
    else
        part->name = "";
    return copy_path(w, &part->path);
}

static fc_status
keep_unchanged(struct work *w, size_t i)
{
    const struct fci_section *section = w->from->parts[i].section;
    struct fci_part part;
    fc_status status = copy_part(w, i, &part);

    if (status != FC_OK)
        return status;
    if (section) {
        part.section = copy_section(&w->to->arena, section, 0);
        if (!part.section)
            return FC_ENOMEM;
    }
    return fci_site_keep(w->to, &part, w->messages);
}

/* A part that was made by a call. */
static fc_status
change_struct(struct work *w, size_t i, const struct chain *chain)
{
    struct fci_part part;
    const struct fci_part_kind *kind;
    struct fci_section section = { 0 };
    fc_status status = copy_part(w, i, &part);

    if (status != FC_OK)
        return status;
    kind = &fci_part_kinds[part.kind];
    section.kind = kind->word;
    section.name = part.name;
    section.entries =
        fci_arena_array(&w->to->arena, chain->length, sizeof *section.entries);
    if (!section.entries)
        return FC_ENOMEM;
    status = put_entries(w, chain, &section);
    if (status == FC_OK)
        status =
            fci_fields_change(kind->fields, kind->n_fields, &section, NULL,
                              &w->to->arena, part.data, w->messages);
    if (status == FC_OK)
        status = fci_site_keep(w->to, &part, w->messages);
    return status;
}

/* Prices have keys that are no members of their struct: they are read again
 * even when they were made by a call. */
static fc_status
change_part(struct work *w, size_t i, const struct chain *chain)
{
    const struct fci_part *part = &w->from->parts[i];
    const struct fci_section *old = part->section;
    struct fci_section *written, *section;
    fc_status status;

    if (!old && part->kind != FCI_PRICES)
        return change_struct(w, i, chain);
    if (!old) {
        status =
            fci_part_section(part, w->from->given[i], w->from->settings.units,
                             &w->to->arena, &written, w->messages);
        if (status != FC_OK)
            return status;
        old = written;
    }
    section = copy_section(&w->to->arena, old, chain->length);
    return section ? read_changed(w, part->kind, chain, section) : FC_ENOMEM;
}

static fc_status
add_part(struct work *w, const struct chain *chain)
{
    const struct fci_change *first = &w->changes[chain->first];
    const struct fci_section empty = { .kind =
                                           fci_part_kinds[first->kind].word,
                                       .name = name_of(first) };
    struct fci_section *section =
        copy_section(&w->to->arena, &empty, chain->length);

    return section ? read_changed(w, first->kind, chain, section) : FC_ENOMEM;
}

static fc_status
make_parts(struct work *w)
{
    fc_status status, worst = FC_OK;
    size_t i;

    for (i = 0; i < w->n_chains; i++) {
        const struct chain *chain = &w->chains[i];

        if (i >= w->from->n_parts)
            status = add_part(w, chain);
        else if (chain->length)
            status = change_part(w, i, chain);
        else
            status = keep_unchanged(w, i);
        if (status == FC_ENOMEM)
            return status;
        if (status != FC_OK)
            worst = status;
    }
    return worst;
}

/* ---- The site --------------------------------------------------------- */

static fc_status
make_site(struct work *w)
{
    const fc_site *from = w->from;
    fc_status status = chain_changes(w);

    if (status == FC_OK)
        status = make_parts(w);
    if (status != FC_OK)
        return status;
    if (from->folder) {
        w->to->folder = fci_arena_string(&w->to->arena, from->folder);
        if (!w->to->folder)
            return FC_ENOMEM;
    }
    if (from->units_set)
        fc_site_set_units(w->to, from->settings.units);
    w->to->tables = fci_tables_share(from->tables);
    return fc_site_finish(w->to, w->messages);
}

static void
end_work(struct work *w)
{
    int kind;

    for (kind = 0; kind < FCI_KINDS; kind++)
        fci_names_free(&w->added[kind]);
    free(w->next);
    free(w->chains);
}

fc_status
fci_site_changed(const fc_site *site, const struct fci_change *changes,
                 size_t n, fc_site **changed, fc_diagnostics *messages)
{
    const size_t first = fc_diagnostics_count(messages);
    struct work w = { .from = site,
                      .changes = changes,
                      .n = n,
                      .n_chains = site->n_parts,
                      .messages = messages };
    fc_status status = FC_ENOMEM;

    if (!site->finished)
        return fci_fail(messages, FC_ESTATE, NULL, 0,
                        "the site is not finished; a finished one is needed");
    w.to = fc_site_new();
    w.next = calloc(n + 1, sizeof *w.next);
    w.chains = calloc(site->n_parts + n + 1, sizeof *w.chains);
    if (w.to && w.next && w.chains)
        status = make_site(&w);
    fci_failures_sort(messages, first);
    if (status == FC_OK)
        *changed = w.to;
    else
        fc_site_free(w.to);
    end_work(&w);
    return status;
}
