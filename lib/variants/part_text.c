/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/variants/part_text.c -- the struct of a part as keys and values. */
#include "variants/part_text.h"
#include "ini/field_type.h"
#include "ini/ini_text.h"

/* The key's value as it is put together becomes an entry of the section, if it
 * is anything. */
static void
add_entry(struct fci_section *section, struct fci_value *v, const char *key,
          const void *data)
{
    struct fci_entry *entry = &section->entries[section->n_entries];

    v->used = 0;
    if (v->field->type->write)
        v->field->type->write(v, data);
    if (v->status != FC_OK || v->used == 0)
        return;
    entry->key = key;
    entry->value = fci_arena_string(v->arena, v->line);
    if (!entry->value)
        v->status = FC_ENOMEM;
    section->n_entries++;
}

/* Of `[prices]`, a key a size. */
static void
add_prices(struct fci_section *section, struct fci_value *v,
           const fc_prices *prices)
{
    static const struct fci_field size = { "size", &fci_figure_field,
                                           .dimension = FC_SIZE };
    static const struct fci_field price = { "size", &fci_figure_field,
                                            .dimension = FC_NUMBER };
    const char *key;
    fc_range figure;
    size_t i;

    for (i = 0; i < prices->n_prices && v->status == FC_OK; i++) {
        v->used = 0;
        v->field = &size;
        size.type->write(v, (const char *)&prices->prices[i].size);
        key = fci_arena_string(v->arena, v->line);
        if (!key)
            v->status = FC_ENOMEM;
        v->field = &price;
        figure = fc_exactly(prices->prices[i].per_length);
        add_entry(section, v, key, &figure);
    }
}

/* Of `[floors]`, a key a floor. */
static void
add_floors(struct fci_section *section, struct fci_value *v,
           const fc_floors *floors)
{
    static const struct fci_field elevation = { "elevation", &fci_range_field,
                                                .dimension = FC_LENGTH };
    const char *key;
    size_t i;

    v->field = &elevation;
    for (i = 0; i < floors->n_floors && v->status == FC_OK; i++) {
        key = fci_arena_string(v->arena, floors->floors[i].name);
        if (!key)
            v->status = FC_ENOMEM;
        add_entry(section, v, key, &floors->floors[i].elevation);
    }
}

static struct fci_section *
new_section(const struct fci_part *part, size_t room, struct fci_arena *arena)
{
    struct fci_section *section = fci_arena_alloc(arena, sizeof *section);

    if (!section)
        return NULL;
    section->kind = fci_part_kinds[part->kind].word;
    section->name = fci_arena_string(arena, part->name);
    section->entries = fci_arena_array(arena, room, sizeof *section->entries);
    return section->name && section->entries ? section : NULL;
}

fc_status
fci_part_section(const struct fci_part *part, const void *data,
                 fc_unit_system system, struct fci_arena *arena,
                 struct fci_section **section, fc_diagnostics *messages)
{
    const struct fci_part_kind *kind = &fci_part_kinds[part->kind];
    const fc_prices *prices = part->kind == FCI_PRICES ? data : NULL;
    const fc_floors *floors = part->kind == FCI_FLOORS ? data : NULL;
    struct fci_section *made =
        new_section(part,
                    kind->n_fields + (prices ? prices->n_prices : 0)
                        + (floors ? floors->n_floors : 0),
                    arena);
    char line[FCI_LONGEST_LINE + 1];
    struct fci_value v = { .where = fci_part_where(part),
                           .messages = messages,
                           .arena = arena,
                           .line = line,
                           .system = system };
    size_t i;

    if (!made)
        return FC_ENOMEM;
    for (i = 0; i < kind->n_fields && v.status == FC_OK; i++) {
        v.field = &kind->fields[i];
        add_entry(made, &v, v.field->key, data);
    }
    if (prices)
        add_prices(made, &v, prices);
    if (floors)
        add_floors(made, &v, floors);
    if (v.status == FC_OK)
        *section = made;
    return v.status;
}
