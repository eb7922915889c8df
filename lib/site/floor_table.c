/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/floor_table.c -- [floors]: a key a floor, with its elevation. */
#include "ground/diagnostics.h"
#include "ini/field_type.h"
#include "site/parts.h"
#include "units/units.h"

fc_status
fci_floor_table_read(const struct fci_section *section, const char *path,
                     struct fci_arena *arena, fc_floors *floors,
                     fc_diagnostics *messages)
{
    const struct fci_heading heading =
        fci_heading(section->kind, section->name);
    fc_floor *floor =
        fci_arena_array(arena, section->n_entries + 1, sizeof *floor);
    struct fci_reason why;
    fc_status worst = FC_OK;
    size_t i;

    if (!floor)
        return FC_ENOMEM;
    floors->floors = floor;
    for (i = 0; i < section->n_entries; i++) {
        const struct fci_entry *entry = &section->entries[i];

        floor->name = fci_arena_string(arena, entry->key);
        if (!floor->name)
            return FC_ENOMEM;
        if (!fci_read_figure(entry->value, FC_LENGTH, true, &floor->elevation,
                             &why))
            worst = fci_fail(messages, FC_EINPUT, path, entry->line,
                             "%s %s %s", heading.text, entry->key, why.text);
        floor++; /* one that was not understood is no name that is missing */
        floors->n_floors++;
    }
    return worst;
}

bool
fci_floor_table_copy(fc_floors *floors, struct fci_arena *arena)
{
    fc_floor *floor;
    size_t i;

    if (!fci_copy_array(&floors->floors, floors->n_floors * sizeof *floor,
                        arena))
        return false;
    floor = (fc_floor *)floors->floors;
    for (i = 0; i < floors->n_floors; i++)
        if (floor[i].name
            && !(floor[i].name = fci_arena_string(arena, floor[i].name)))
            return false;
    return true;
}
