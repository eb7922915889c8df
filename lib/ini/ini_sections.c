/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/ini_sections.c -- sections and entries while they are put together.
 */
#include "ini/ini_sections.h"
#include "ground/characters.h"

#include <stdlib.h>
#include <string.h>

/* A key or a value is kept once, however many sections have it. */
struct fci_known_text {
    const char *text;
    size_t entry; /* a key: where it was given last; a value: first */
};

/* An entry that has the value of an earlier one. */
struct fci_same_value {
    size_t entry, first;
};

static char *
lower_case(char *text)
{
    char *c;

    for (c = text; c && *c; c++)
        *c = fci_lower(*c);
    return text;
}

static fc_status
add_section(struct fci_gathering *g, const char *heading, int line)
{
    const size_t n_kind = strcspn(heading, " ");
    const char *rest = heading + n_kind;
    struct fci_arena *arena = &g->ini->arena;
    struct fci_section section = { .line = line }, *grown;

    section.kind = lower_case(fci_arena_substring(arena, heading, n_kind));
    section.name = fci_arena_string(arena, *rest ? rest + 1 : "");
    grown = fci_grow(g->sections, g->n_sections, &g->sections_room,
                     sizeof *g->sections);
    if (grown)
        g->sections = grown;
    if (!section.kind || !section.name || !grown)
        return FC_ENOMEM;
    g->sections[g->n_sections++] = section;
    return FC_OK;
}

fc_status
fci_gather_section(struct fci_gathering *g, const char *heading, int line,
                   int *first)
{
    const char *kept = fci_arena_string(&g->texts, heading);
    size_t number = g->n_sections;
    bool known;

    if (!kept || fci_names_enter(&g->headings, kept, &number, &known) != FC_OK)
        return FC_ENOMEM;
    known = known && !fci_names_floors(kept);
    *first = known ? g->sections[number].line : 0;
    return known ? FC_OK : add_section(g, kept, line);
}

/* NULL when out of memory. */
static struct fci_known_text *
add_key(struct fci_gathering *g, const char *key)
{
    const char *kept = fci_arena_string(&g->ini->arena, key);
    struct fci_known_text *grown =
        fci_grow(g->known_keys, g->n_known_keys, &g->known_keys_room,
                 sizeof *g->known_keys);
    size_t number = g->n_known_keys;
    bool known;

    if (grown)
        g->known_keys = grown;
    if (!kept || !grown
        || fci_names_enter(&g->keys, kept, &number, &known) != FC_OK)
        return NULL;
    g->known_keys[number].text = kept;
    g->n_known_keys++;
    return &g->known_keys[number];
}

static fc_status
read_block(struct fci_gathering *g)
{
    return fci_block_read(g->block, g->ini, g->entries, g->messages);
}

/* The value is put into the block, for the entry that comes next. */
static fc_status
put_value(struct fci_gathering *g, const char *value, int line)
{
    const int section = g->sections[g->n_sections - 1].line;
    fc_status status = FC_OK;

    if (!g->block)
        g->block = calloc(1, sizeof *g->block);
    if (!g->block)
        return FC_ENOMEM;
    if (!fci_block_put(g->block, section, line, value, g->n_entries)) {
        status = read_block(g);
        if (status == FC_OK)
            fci_block_put(g->block, section, line, value, g->n_entries);
    }
    return status;
}

/* NULL when out of memory. */
static struct fci_known_text *
add_value(struct fci_gathering *g, const char *value)
{
    const char *kept = fci_arena_string(&g->texts, value);
    struct fci_known_text *grown =
        fci_grow(g->known_values, g->n_known_values, &g->known_values_room,
                 sizeof *g->known_values);
    size_t number = g->n_known_values;
    bool known;

    if (grown)
        g->known_values = grown;
    if (!kept || !grown
        || fci_names_enter(&g->values, kept, &number, &known) != FC_OK)
        return NULL;
    grown[number] = (struct fci_known_text){ kept, g->n_entries };
    g->n_known_values++;
    return &grown[number];
}

static fc_status
note_same(struct fci_gathering *g, size_t first)
{
    struct fci_same_value *grown =
        fci_grow(g->same, g->n_same, &g->same_room, sizeof *g->same);

    if (!grown)
        return FC_ENOMEM;
    g->same = grown;
    g->same[g->n_same++] = (struct fci_same_value){ g->n_entries, first };
    return FC_OK;
}

/* The value of the entry that comes next is handed over once, however many
 * have it: "6 in" of a thousand pipes.  What is known is known in any case of
 * letters, and a value in another is another. */
static fc_status
keep_value(struct fci_gathering *g, const char *value, int line)
{
    const size_t number = fci_names_find(&g->values, value);

    if (number == FCI_NO_NAME)
        return add_value(g, value) ? put_value(g, value, line) : FC_ENOMEM;
    return strcmp(g->known_values[number].text, value) == 0
               ? note_same(g, g->known_values[number].entry)
               : put_value(g, value, line);
}

static fc_status
add_entry(struct fci_gathering *g, struct fci_known_text *key,
          const char *value, int line)
{
    struct fci_entry *grown = fci_grow(g->entries, g->n_entries,
                                       &g->entries_room, sizeof *g->entries);
    fc_status status;

    if (!grown)
        return FC_ENOMEM;
    g->entries = grown;
    status = keep_value(g, value, line);
    key->entry = g->n_entries;
    g->entries[g->n_entries++] =
        (struct fci_entry){ .key = key->text, .line = line };
    g->sections[g->n_sections - 1].n_entries++;
    return status;
}

fc_status
fci_gather_entry(struct fci_gathering *g, const char *key, const char *value,
                 int line, int *first)
{
    const size_t number = fci_names_find(&g->keys, key);
    const size_t start =
        g->n_entries - g->sections[g->n_sections - 1].n_entries;
    struct fci_known_text *known = NULL;

    *first = 0;
    if (number != FCI_NO_NAME) {
        known = &g->known_keys[number];
        if (known->entry >= start) {
            *first = g->entries[known->entry].line;
            return FC_OK;
        }
    } else {
        known = add_key(g, key);
    }
    return known ? add_entry(g, known, value, line) : FC_ENOMEM;
}

fc_status
fci_gather_end(struct fci_gathering *g)
{
    struct fci_ini *ini = g->ini;
    const fc_status status = g->block ? read_block(g) : FC_OK;
    struct fci_entry *entries;
    size_t i;

    if (status != FC_OK || g->n_sections == 0)
        return status;
    for (i = 0; i < g->n_same; i++)
        g->entries[g->same[i].entry].value =
            g->entries[g->same[i].first].value;
    ini->sections = fci_arena_copy(&ini->arena, g->sections,
                                   g->n_sections * sizeof *g->sections);
    entries = fci_arena_copy(&ini->arena, g->entries,
                             g->n_entries * sizeof *entries);
    if (!ini->sections || !entries)
        return FC_ENOMEM;
    ini->n_sections = g->n_sections;
    for (i = 0; i < ini->n_sections; i++) {
        ini->sections[i].entries = entries;
        entries += ini->sections[i].n_entries;
    }
    return FC_OK;
}

void
fci_gathering_free(struct fci_gathering *g)
{
    free(g->sections);
    free(g->entries);
    free(g->block);
    free(g->known_keys);
    free(g->known_values);
    free(g->same);
    fci_names_free(&g->headings);
    fci_names_free(&g->keys);
    fci_names_free(&g->values);
    fci_arena_free(&g->texts);
}
