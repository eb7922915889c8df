/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/reader.c -- a site file becomes a site. */
#include "site/reader.h"
#include "ground/diagnostics.h"
#include "ground/synonyms.h"
#include "units/units.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- Kinds ------------------------------------------------------------ */

bool
fci_is_case(const struct fci_section *section)
{
    return strcmp(section->kind, FCI_CASE) == 0;
}

/* The words of the kinds, and that of sections that are none. */
static const char *
heading_at(const void *of, size_t i)
{
    return i < FCI_KINDS ? ((const struct fci_part_kind *)of)[i].word
                         : FCI_CASE;
}

/* The kinds of fixture that a heading may mean, quoted: "water closet, flush
 * tank" or "water closet, flush valve"; "" where it means none. */
static void
list_fixture_kinds(const char *word, char *kinds, size_t size)
{
    const struct fci_meanings meanings = fci_meanings("fixtures", word);
    const struct fci_synonym *all;
    size_t i, n, used = 0;

    kinds[0] = '\0';
    for (i = 0; i < meanings.n && used < size; i++)
        used += (size_t)snprintf(kinds + used, size - used, "%s\"%s\"",
                                 i == 0                ? ""
                                 : i + 1 == meanings.n ? " or "
                                                       : ", ",
                                 meanings.at[i].means);
    all = fci_synonyms_of("fixtures", &n);
    for (i = 0; !kinds[0] && i < n; i++)
        if (fci_same_words(all[i].means, word))
            snprintf(kinds, size, "\"%s\"", all[i].means);
}

/* The same of several: "toilets". */
static bool
fixture_kinds(const char *word, char *kinds, size_t size)
{
    const size_t last = strlen(word) - 1;
    char one[FCI_PLAIN_WORDS];

    list_fixture_kinds(word, kinds, size);
    if (!kinds[0] && last < sizeof one && word[last] == 's') {
        snprintf(one, sizeof one, "%.*s", (int)last, word);
        list_fixture_kinds(one, kinds, size);
    }
    return kinds[0];
}

static fc_status
unknown_kind(const struct fci_section *section, const char *path,
             fc_diagnostics *messages)
{
    const struct fci_heading heading =
        fci_heading(section->kind, section->name);
    struct fci_book book = fci_part_book();
    const char *name = section->name;
    const size_t first = strcspn(name, " ");
    char kinds[300], two_words[FCI_PLAIN_WORDS];

    snprintf(two_words, sizeof two_words, "%s %.*s", section->kind, (int)first,
             name);
    if (fixture_kinds(two_words, kinds, sizeof kinds))
        name += first + (name[first] == ' ');
    if (kinds[0] || fixture_kinds(section->kind, kinds, sizeof kinds))
        return fci_fail(messages, FC_EINPUT, path, section->line,
                        "%s is a fixture; [fixture %.60s] with kind = %s is "
                        "expected",
                        heading.text, *name ? name : "NAME", kinds);
    book.n = FCI_KINDS + 1;
    book.name = heading_at;
    return fci_fail(
        messages, FC_EINPUT, path, section->line, "%s %s", heading.text,
        fci_book_refusal(&book, section->kind, "is not a known kind",
                         "one of these is expected: ")
            .text);
}

/* The kind of `[double check valve dc-1]` is three words: as many of the
 * heading as a synonym has go for it, but for a last one that is the name. */
static fc_status
take_kind(struct fci_section *section, struct fci_arena *arena)
{
    const char *name = section->name, *kind = section->kind;
    bool found = fci_part_kind_of(kind) != FCI_KINDS;
    size_t n;

    for (; (n = strcspn(name, " ")) > 0 && strlen(kind) <= FCI_PLAIN_WORDS;
         name += n + (name[n] == ' ')) {
        kind = fci_arena_printf(arena, "%s %.*s", kind, (int)n, name);
        if (!kind)
            return FC_ENOMEM;
        if (fci_part_kind_of(kind) == FCI_KINDS || (found && !name[n]))
            continue;
        section->kind = kind;
        section->name = name + n + (name[n] == ' ');
        found = true;
    }
    return FC_OK; /* or none, which the reader says */
}

enum fci_kind
fci_reader_kind(const struct fci_section *section)
{
    return fci_part_kind_of(section->kind);
}

/* The words of the heading and of the keys become those that are known, and
 * what a heading says of the kind one of the keys. */
static fc_status
take_words(fc_site *site, struct fci_section *section,
           fc_diagnostics *messages)
{
    static const struct fci_field floors = { .key = "floors",
                                             .type = &fci_skip_field };
    const char *path = site->ini->path;
    fc_status renamed, status;
    enum fci_kind kind;

    if (take_kind(section, &site->arena) != FC_OK)
        return FC_ENOMEM;
    kind = fci_part_kind_of(section->kind);
    if (kind == FCI_KINDS)
        return FC_OK;
    if (fci_floors_typical(section)) {
        status = fci_fields_rename(&floors, 1, section, path, messages);
        if (status != FC_OK)
            return status;
    }
    renamed = fci_fields_rename(fci_part_kinds[kind].fields,
                                fci_part_kinds[kind].n_fields, section, path,
                                messages);
    if (renamed == FC_ENOMEM)
        return renamed;
    status = fci_fields_head(fci_part_kinds[kind].fields,
                             fci_part_kinds[kind].n_fields, section, path,
                             &site->arena, messages);
    return status != FC_OK ? status : renamed;
}

fc_status
fci_reader_words(fc_site *site, fc_diagnostics *messages)
{
    struct fci_ini *ini = site->ini;
    fc_status status, worst = FC_OK;
    size_t i;

    for (i = 0; i < ini->n_sections; i++) {
        if (fci_is_case(&ini->sections[i]))
            continue;
        status = take_words(site, &ini->sections[i], messages);
        if (status == FC_ENOMEM)
            return status;
        if (status != FC_OK)
            worst = status;
    }
    return worst;
}

/* ---- Prices ----------------------------------------------------------- */

/* `[prices]` has a key a size: those are taken out of the section first. */
static fc_status
read_price(const struct fci_section *section, const struct fci_entry *entry,
           const char *path, fc_price *price, fc_diagnostics *messages)
{
    struct fci_heading heading = fci_heading(section->kind, section->name);
    struct fci_reason why;
    fc_range cost;

    if (!fci_read_figure(entry->key, FC_SIZE, false, &price->size, &why))
        return fci_fail(messages, FC_EINPUT, path, entry->line, "%s key %s",
                        heading.text, why.text);
    if (!fci_read_price(entry->value, &cost, &why))
        return fci_fail(messages, FC_EINPUT, path, entry->line, "%s %s %s",
                        heading.text, entry->key, why.text);
    if (cost.nominal < 0)
        return fci_fail(messages, FC_EINPUT, path, entry->line,
                        "%s %s \"%s\" is negative; a price of 0 or more is "
                        "expected",
                        heading.text, entry->key, entry->value);
    price->per_length = cost.nominal;
    return FC_OK;
}

static bool
is_size_key(const char *key)
{
    return (*key >= '0' && *key <= '9')
           || (strncmp(key, "dn", 2) == 0 && strchr("0123456789 ", key[2]));
}

/* Two spellings of one size: "1-1/4 in" and "DN32". */
static fc_status
enter_size(struct fci_names *sizes, const struct fci_section *section,
           const struct fci_entry *entry, double nominal, const char *path,
           struct fci_arena *arena, fc_diagnostics *messages)
{
    const char *spelling = fci_arena_printf(arena, "%.7f", nominal);
    size_t place = (size_t)(entry - section->entries);
    bool known;

    if (!spelling || fci_names_enter(sizes, spelling, &place, &known) != FC_OK)
        return FC_ENOMEM;
    if (!known)
        return FC_OK;
    return fci_fail(messages, FC_EINPUT, path, entry->line,
                    "%s %s is the same size as \"%.40s\"; each size is "
                    "expected once",
                    fci_heading(section->kind, section->name).text, entry->key,
                    section->entries[place].key);
}

static fc_status
take_price_entries(const struct fci_section *section, struct fci_section *rest,
                   const char *path, struct fci_arena *arena,
                   struct fci_names *sizes, fc_prices *prices, fc_price *price,
                   fc_diagnostics *messages)
{
    fc_status status, worst = FC_OK;
    size_t i;

    for (i = 0; i < section->n_entries; i++) {
        const struct fci_entry *entry = &section->entries[i];

        if (!is_size_key(entry->key)) {
            rest->entries[rest->n_entries++] = *entry;
            continue;
        }
        status = read_price(section, entry, path, &price[prices->n_prices],
                            messages);
        if (status == FC_OK)
            status = enter_size(sizes, section, entry,
                                price[prices->n_prices++].size.nominal, path,
                                arena, messages);
        if (status == FC_ENOMEM)
            return status;
        if (status != FC_OK)
            worst = status;
    }
    return worst;
}

static fc_status
take_prices(const struct fci_section *section, struct fci_section *rest,
            const char *path, struct fci_arena *arena, fc_prices *prices,
            fc_diagnostics *messages)
{
    fc_price *price =
        fci_arena_array(arena, section->n_entries, sizeof *price);
    struct fci_names sizes = { 0 };
    fc_status status;

    *rest = *section;
    rest->n_entries = 0;
    rest->entries =
        fci_arena_array(arena, section->n_entries, sizeof *rest->entries);
    if (!price || !rest->entries)
        return FC_ENOMEM;
    prices->prices = price;
    status = take_price_entries(section, rest, path, arena, &sizes, prices,
                                price, messages);
    fci_names_free(&sizes);
    return status;
}

/* ---- One section ------------------------------------------------------ */

/* `{floor}` has a meaning only where the name holds it too. */
static fc_status
check_braces(const struct fci_section *section, const char *path,
             fc_diagnostics *messages)
{
    struct fci_heading heading = fci_heading(section->kind, section->name);
    size_t i;

    for (i = 0; i < section->n_entries; i++)
        if (fci_floors_each(section->entries[i].key))
            return fci_fail(messages, FC_EINPUT, path,
                            section->entries[i].line,
                            "%s %.60s differs by floor, but the name has no "
                            "{floor}; a typical floor needs it in its name",
                            heading.text, section->entries[i].key);
        else if (strstr(section->entries[i].value, "{floor"))
            return fci_fail(
                messages, FC_EINPUT, path, section->entries[i].line,
                "%s %.60s has {floor}, but the name does not; a name such as "
                "%.60s-{floor}, and \"floors\", are expected",
                heading.text, section->entries[i].key,
                *section->name ? section->name : section->kind);
    return FC_OK;
}

fc_status
fci_reader_head(const struct fci_section *section, enum fci_kind kind,
                const char *path, fc_diagnostics *messages)
{
    struct fci_heading heading = fci_heading(section->kind, section->name);
    const struct fci_entry *floors = fci_section_entry(section, "floors");

    if (!fci_part_kinds[kind].named && *section->name)
        return fci_fail(messages, FC_EINPUT, path, section->line,
                        "%s has a name; [%s] is expected", heading.text,
                        section->kind);
    if (fci_floors_typical(section))
        return FC_OK;
    if (strchr(section->name, '{'))
        return fci_floors_bad_brace(section, path, section->line,
                                    section->name, messages);
    if (floors)
        return fci_fail(messages, FC_EINPUT, path, floors->line,
                        "%s floors is given without {floor} in the name; a "
                        "name such as %.60s-{floor} is expected",
                        heading.text,
                        *section->name ? section->name : section->kind);
    return check_braces(section, path, messages);
}

void
fci_reader_start(const struct fci_section *section, enum fci_kind kind,
                 void *data)
{
    if (fci_part_kinds[kind].named)
        memcpy(data, &section->name, sizeof section->name);
    if (fci_part_kinds[kind].device)
        ((fc_device *)data)->kind = *fci_part_kinds[kind].device;
}

fc_status
fci_reader_data(const struct fci_section *section, enum fci_kind kind,
                const char *path, struct fci_arena *arena, void *data,
                fc_diagnostics *messages)
{
    const struct fci_part_kind *k = &fci_part_kinds[kind];
    const struct fci_section *fields = section;
    struct fci_section rest;
    fc_status status, first = FC_OK;

    fci_reader_start(section, kind, data);
    if (kind == FCI_FLOORS)
        return fci_floor_table_read(section, path, arena, data, messages);
    if (kind == FCI_PRICES) {
        first = take_prices(section, &rest, path, arena, data, messages);
        fields = &rest;
    }
    if (first == FC_ENOMEM)
        return first;
    status = fci_fields_read(k->fields, k->n_fields, fields, path, arena, data,
                             messages);
    return status != FC_OK ? status : first;
}

static fc_status
read_part(fc_site *site, const struct fci_section *section, const char *path,
          fc_diagnostics *messages)
{
    struct fci_part part = { .kind = fci_reader_kind(section),
                             .name = section->name,
                             .path = path,
                             .section = section };
    fc_status status, kept;

    part.data = fci_arena_alloc(&site->arena, fci_part_kinds[part.kind].size);
    if (!part.data)
        return FC_ENOMEM;
    status = fci_reader_data(section, part.kind, path, &site->arena, part.data,
                             messages);
    if (status == FC_ENOMEM)
        return status;
    if (status != FC_OK)
        site->unread = true;
    kept = fci_site_keep(site, &part, messages);
    return kept != FC_OK ? kept : status;
}

/* What is told of the floors of a section, kept with those of others: of the
 * heading, or of any of so many entries. */
static struct fci_floors_told *
new_told(fc_site *site, size_t n_entries)
{
    struct fci_floors_told *told = fci_arena_alloc(&site->arena, sizeof *told);

    if (!told)
        return NULL;
    told->first =
        fci_arena_array(&site->arena, n_entries + 1, sizeof *told->first);
    if (!told->first)
        return NULL;
    told->open = true;
    told->next = site->told;
    site->told = told;
    return told;
}

/* The first floor that something is wrong with tells of it; the others are
 * there all the same for those that name them. */
static fc_status
read_floors(fc_site *site, const struct fci_section *section, const char *path,
            fc_diagnostics *messages)
{
    struct fci_floors_told *told = new_told(site, section->n_entries);
    struct fci_section *copy;
    fc_status status, worst;
    int *floors;
    size_t i, n;

    if (!told)
        return FC_ENOMEM;
    worst =
        fci_floors_list(section, path, &site->arena, &floors, &n, messages);
    if (worst == FC_OK)
        worst =
            fci_floors_count(section, path, n, &site->n_of_floors, messages);
    for (i = 0; worst != FC_ENOMEM && (worst == FC_OK || i > 0) && i < n;
         i++) {
        status = fci_floors_section(section, floors[i], path, &site->arena,
                                    &copy, worst == FC_OK ? messages : NULL);
        if (status == FC_OK) {
            copy->told = told;
            status =
                read_part(site, copy, path, worst == FC_OK ? messages : NULL);
        }
        if (status != FC_OK)
            worst = status;
    }
    return worst;
}

/* One that is refused as a whole: its name may be in use. */
static void
doubt(fc_site *site, const struct fci_section *section)
{
    if (site->doubtful)
        site->doubtful[site->n_doubtful++] = section;
}

fc_status
fci_reader_section(fc_site *site, const struct fci_section *section,
                   const char *path, fc_diagnostics *messages)
{
    enum fci_kind kind = fci_reader_kind(section);
    fc_status status;

    if (kind == FCI_KINDS)
        status = unknown_kind(section, path, messages);
    else
        status = fci_reader_head(section, kind, path, messages);
    if (status == FC_OK && !fci_floors_typical(section))
        return read_part(site, section, path, messages);
    if (status != FC_OK)
        site->unread = true;
    if (status == FC_OK)
        status = read_floors(site, section, path, messages);
    if (status != FC_OK)
        doubt(site, section);
    return status;
}

/* ---- A whole file ----------------------------------------------------- */

/* The folder of a path, for the tables file beside it. */
static fc_status
keep_folder(fc_site *site, const char *path)
{
    const char *slash = strrchr(path, '/');

    if (!slash)
        return FC_OK;
    site->folder = fci_arena_substring(
        &site->arena, path, slash == path ? 1 : (size_t)(slash - path));
    return site->folder ? FC_OK : FC_ENOMEM;
}

/* Whether it is another floor of a section. */
static bool
is_other_floor(const struct fci_section *section,
               const struct fci_section *before)
{
    return section->typical && before && before->typical
           && before->line == section->line;
}

/* Floors that were set apart share what is told of them, too; each may have
 * entries that the others lack. */
static fc_status
share_told(fc_site *site, struct fci_section *section,
           const struct fci_section *before)
{
    const struct fci_section *end =
        site->ini->sections + site->ini->n_sections;
    size_t n = 0;

    if (!section->typical)
        return FC_OK;
    section->told = is_other_floor(section, before) ? before->told : NULL;
    if (section->told)
        return FC_OK;
    for (const struct fci_section *floor = section;
         floor < end && (floor == section || is_other_floor(floor, section));
         floor++)
        n += floor->n_entries;
    section->told = new_told(site, n);
    return section->told ? FC_OK : FC_ENOMEM;
}

/* What is wrong with a floor, the others would say again. */
static fc_status
read_each(fc_site *site, fc_diagnostics *messages)
{
    const struct fci_ini *ini = site->ini;
    const struct fci_section *before = NULL, *refused = NULL;
    fc_status status, worst = FC_OK;
    size_t i;

    for (i = 0; i < ini->n_sections; i++) {
        struct fci_section *section = &ini->sections[i];

        if (fci_is_case(section))
            continue;
        status = share_told(site, section, before);
        before = section;
        if (status == FC_OK)
            status = fci_reader_section(
                site, section, ini->path,
                is_other_floor(section, refused) ? NULL : messages);
        if (status == FC_ENOMEM)
            return status;
        if (status == FC_OK)
            continue;
        worst = status;
        refused = section;
    }
    return worst;
}

/* Everything that is wrong is gathered.  Names are tied together too, but for
 * those of sections that were refused; where a heading itself was not
 * understood, or the text, any name could be that. */
static fc_status
read_sections(fc_site *site, fc_status first, fc_diagnostics *messages)
{
    const struct fci_ini *ini = site->ini;
    fc_status status, worst;

    site->doubtful = (const struct fci_section **)fci_arena_array(
        &site->arena, ini->n_sections, sizeof *site->doubtful);
    if (!site->doubtful)
        return FC_ENOMEM;
    worst = read_each(site, messages);
    if (worst == FC_ENOMEM)
        return worst;
    worst = worst != FC_OK ? worst : first;
    if (worst != FC_OK)
        site->broken = true;
    if (site->unclear || ini->unclear)
        return worst;
    status = fci_site_finish(site, messages);
    return status == FC_OK || status == FC_EINPUT
               ? (worst != FC_OK ? worst : status)
               : status;
}

fc_status
fci_reader_site(fc_site *site, fc_status first, fc_diagnostics *messages)
{
    fc_status status = keep_folder(site, site->ini->path);
    struct fci_floors_told *told;

    if (status == FC_OK)
        status = read_sections(site, first, messages);
    for (told = site->told; told; told = told->next)
        told->open = false;
    return status;
}
