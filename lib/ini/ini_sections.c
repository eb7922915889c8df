/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/ini_sections.c -- sections and entries while they are put together.
 */
#include "ini/ini_sections.h"
#include "ground/characters.h"

#include <stdlib.h>
#include <string.h>

/* A key is kept once, however many sections have it. */
struct fci_known_key {
    const char *text;
    size_t entry; /* where it was given last */
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
    const char *kept = fci_arena_string(&g->heading_texts, heading);
    size_t number = g->n_sections;
    bool known;

    if (!kept || fci_names_enter(&g->headings, kept, &number, &known) != FC_OK)
        return FC_ENOMEM;
    known = known && !fci_names_floors(kept);
    *first = known ? g->sections[number].line : 0;
    return known ? FC_OK : add_section(g, kept, line);
}

/* NULL when out of memory. */
static struct fci_known_key *
add_key(struct fci_gathering *g, const char *key)
{
    const char *kept = fci_arena_string(&g->ini->arena, key);
    struct fci_known_key *grown =
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
    return fci_block_read(g->block, g->ini,
                          g->entries + g->n_entries - g->block->n_values,
                          g->messages);
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
    if (!fci_block_put(g->block, section, line, value)) {
        status = read_block(g);
        if (status == FC_OK)
            fci_block_put(g->block, section, line, value);
    }
    return status;
}

static fc_status
add_entry(struct fci_gathering *g, struct fci_known_key *key,
          const char *value, int line)
{
    struct fci_entry *grown = fci_grow(g->entries, g->n_entries,
                                       &g->entries_room, sizeof *g->entries);
    fc_status status;

    if (!grown)
        return FC_ENOMEM;
    g->entries = grown;
    status = put_value(g, value, line);
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
    struct fci_known_key *known = NULL;

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
    fci_names_free(&g->headings);
    fci_names_free(&g->keys);
    fci_arena_free(&g->heading_texts);
}
