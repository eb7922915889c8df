/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/buildings.c -- invented buildings: their parts. */
#include "generators/buildings.h"

#include <stdlib.h>
#include <string.h>

static struct fci_tables *tables;

struct fci_tables *
building_tables(void)
{
    if (!tables && fci_tables_read(NULL, &tables, NULL) != FC_OK)
        abort();
    return tables;
}

void
building_tables_end(void)
{
    fci_tables_free(tables);
    tables = NULL;
}

/* ---- Parts ------------------------------------------------------------ */

struct building_part *
building_add(struct building *b, enum fci_kind kind)
{
    struct building_part *part;

    if (b->n_parts == b->room) {
        b->room = b->room ? 2 * b->room : 64;
        b->parts = realloc(b->parts, b->room * sizeof *b->parts);
        if (!b->parts)
            abort();
    }
    part = &b->parts[b->n_parts++];
    memset(part, 0, sizeof *part);
    part->kind = kind;
    return part;
}

void
building_copy(struct building *b, const struct building *of)
{
    *b = *of;
    memset(&b->texts, 0, sizeof b->texts);
    b->room = of->n_parts;
    b->parts = malloc(b->room * sizeof *b->parts);
    if (!b->parts)
        abort();
    memcpy(b->parts, of->parts, b->room * sizeof *b->parts);
}

void
building_free(struct building *b)
{
    free(b->parts);
    fci_arena_free(&b->texts);
}

bool
building_is_element(const struct building_part *part)
{
    return part->kind >= FCI_SOURCE && part->kind <= FCI_PUMP;
}

struct building_part *
building_find(const struct building *b, bool fixture, const char *name)
{
    size_t i;

    for (i = 0; i < b->n_parts; i++)
        if ((fixture ? b->parts[i].kind == FCI_FIXTURE
                     : building_is_element(&b->parts[i]))
            && fci_same_name(b->parts[i].as.name, name))
            return &b->parts[i];
    return NULL;
}

const char **
building_feed(struct building_part *part)
{
    switch (part->kind) {
    case FCI_PIPE:
        return &part->as.pipe.from;
    case FCI_METER:
    case FCI_BACKFLOW:
    case FCI_DEVICE:
        return &part->as.device.from;
    case FCI_REDUCER:
        return &part->as.reducer.from;
    case FCI_PUMP:
        return &part->as.pump.from;
    case FCI_FIXTURE:
        return &part->as.fixture.on;
    case FCI_DEMAND:
        return &part->as.demand.on;
    case FCI_HEATER:
        return &part->as.heater.on;
    default:
        return NULL;
    }
}

const char *
building_from(const struct building_part *part)
{
    struct building_part copy = *part;
    const char **feed = building_feed(&copy);

    return feed && building_is_element(part) ? *feed : NULL;
}

fc_range *
building_rise(struct building_part *part)
{
    switch (part->kind) {
    case FCI_PIPE:
        return &part->as.pipe.rise;
    case FCI_METER:
    case FCI_BACKFLOW:
    case FCI_DEVICE:
        return &part->as.device.rise;
    case FCI_REDUCER:
        return &part->as.reducer.rise;
    case FCI_PUMP:
        return &part->as.pump.rise;
    case FCI_FIXTURE:
        return &part->as.fixture.rise;
    default:
        return NULL;
    }
}

const struct fci_material *
building_material(const struct building *b, const fc_pipe *pipe)
{
    const char *name = pipe->material ? pipe->material : b->settings.material;

    return name ? fci_tables_material(building_tables(), name) : NULL;
}
