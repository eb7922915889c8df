/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/tables/tables.c -- the trade's numbers: reading them and looking them
 * up. */
#include "tables/tables.h"
#include "tables/table_entries.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Nominal sizes are labels: 3 in and 76.1 mm are two of them. */
#define SAME_SIZE 1e-5 /* m */
#define SAME_BORE 1e-3 /* a bore as printed is rounded so far */

static int
by_pressure(const void *a, const void *b)
{
    const struct fci_quoted_minimum *first = a, *second = b;

    return (first->pressure > second->pressure)
           - (first->pressure < second->pressure);
}

static fc_status
build(struct fci_tables *tables, const char *path, fc_diagnostics *messages)
{
    struct fci_table_list *minima = &tables->of[FCI_TABLE_MINIMUM];
    fc_status read = fci_table_parts(tables, path, messages), typed;

    if (read != FC_OK && read != FC_EINPUT)
        return read;
    typed = fci_table_entries(tables, messages);
    /* from here on they are not looked up by name */
    if (minima->n > 0)
        qsort(minima->items, minima->n, sizeof(struct fci_quoted_minimum),
              by_pressure);
    return typed != FC_OK ? typed : read;
}

fc_status
fci_tables_read(const char *path, struct fci_tables **tables,
                fc_diagnostics *messages)
{
    struct fci_tables *made = calloc(1, sizeof *made);
    fc_status status;

    if (!made)
        return FC_ENOMEM;
    atomic_init(&made->owners, 1);
    if (path)
        made->path = fci_arena_string(&made->arena, path);
    status = !path || made->path ? build(made, path, messages) : FC_ENOMEM;
    if (status == FC_OK)
        *tables = made;
    else
        fci_tables_free(made);
    return status;
}

/* ---- Look-ups --------------------------------------------------------- */

const struct fci_curve_rows *
fci_tables_demand(const struct fci_tables *tables, fc_code code)
{
    return fci_table_find(tables, FCI_TABLE_DEMAND,
                          code == FC_UPC ? "upc" : "ipc");
}

const struct fci_falling_units *
fci_tables_falling(const struct fci_tables *tables, enum fci_falling falling)
{
    if (falling == FCI_NOT_FALLING)
        return NULL;
    return fci_table_find(tables, FCI_TABLE_FALLING,
                          falling == FCI_FALLING_URINAL ? "urinal" : "closet");
}

const struct fci_usual *
fci_tables_usual(const struct fci_tables *tables, enum fci_usual_name name)
{
    return fci_table_find(tables, FCI_TABLE_USUAL, fci_usual_names[name]);
}

const struct fci_limit *
fci_tables_limit(const struct fci_tables *tables, const char *name)
{
    return fci_table_find(tables, FCI_TABLE_LIMIT, name);
}

const struct fci_arresters *
fci_tables_arresters(const struct fci_tables *tables)
{
    return fci_table_find(tables, FCI_TABLE_ARRESTERS, "pdi-wh201");
}

const struct fci_usual_fault *
fci_tables_fault(const struct fci_tables *tables, fc_cause_kind kind)
{
    return fci_table_find(tables, FCI_TABLE_FAULT, fci_fault_names[kind]);
}

size_t
fci_tables_minima(const struct fci_tables *tables,
                  const struct fci_quoted_minimum **minima)
{
    const struct fci_table_list *entries = &tables->of[FCI_TABLE_MINIMUM];

    *minima = (const struct fci_quoted_minimum *)(const void *)entries->items;
    return entries->n;
}

size_t
fci_tables_meters(const struct fci_tables *tables,
                  const struct fci_meter_kind **meters)
{
    const struct fci_table_list *entries = &tables->of[FCI_TABLE_METER];

    *meters = (const struct fci_meter_kind *)(const void *)entries->items;
    return entries->n;
}

/* The place of a size in ascending ones that lie `stride` bytes apart, or n.
 */
static size_t
place_of_size(const void *sizes, size_t n, size_t stride, double nominal)
{
    size_t low = 0, high = n;

    while (low < high) {
        size_t middle = low + (high - low) / 2;
        double size;

        memcpy(&size, (const char *)sizes + middle * stride, sizeof size);
        if (size < nominal - SAME_SIZE)
            low = middle + 1;
        else if (size > nominal + SAME_SIZE)
            high = middle;
        else
            return middle;
    }
    return n;
}

const struct fci_size *
fci_material_size(const struct fci_material *material, double nominal)
{
    size_t i;

    if (!material->n_sizes)
        return NULL;
    i = place_of_size(&material->sizes->nominal, material->n_sizes,
                      sizeof *material->sizes, nominal);
    return i < material->n_sizes ? &material->sizes[i] : NULL;
}

double
fci_fittings_length(const struct fci_fittings *fittings, const char *fitting,
                    double nominal, bool *column)
{
    size_t k = fci_fittings_column(fittings, fitting);
    size_t i = place_of_size(fittings->sizes, fittings->n_rows,
                             sizeof *fittings->sizes, nominal);

    *column = k != FCI_NO_NAME;
    if (k == FCI_NO_NAME || i == fittings->n_rows)
        return (double)NAN;
    return fittings->lengths[i * fittings->n_columns + k];
}

const struct fci_section *
fci_tables_built_in(const struct fci_tables *tables,
                    const struct fci_section *of)
{
    size_t i, k;

    for (i = 0; i < fci_n_embedded_tables; i++)
        for (k = 0; k < tables->files[i].n_sections; k++) {
            const struct fci_section *section = &tables->files[i].sections[k];

            if (fci_same_name(section->kind, of->kind)
                && fci_same_name(section->name, of->name))
                return section;
        }
    return NULL;
}

bool
fci_tables_bores(const struct fci_tables *tables, double nominal,
                 double *smallest, double *largest)
{
    const struct fci_table_list *list = &tables->of[FCI_TABLE_PIPE];
    const struct fci_material *materials =
        (const struct fci_material *)(const void *)list->items;
    size_t i;

    *smallest = INFINITY;
    *largest = 0;
    for (i = 0; i < list->n; i++) {
        const struct fci_size *size =
            fci_material_size(&materials[i], nominal);

        if (size) {
            *smallest = fmin(*smallest, size->bore);
            *largest = fmax(*largest, size->bore);
        }
    }
    return *largest > 0;
}

fc_range
fci_tables_nominals(const struct fci_tables *tables, double bore)
{
    const struct fci_table_list *list = &tables->of[FCI_TABLE_PIPE];
    const struct fci_material *materials =
        (const struct fci_material *)(const void *)list->items;
    double least = INFINITY, greatest = 0;
    size_t i, k;

    for (i = 0; i < list->n; i++)
        for (k = 0; k < materials[i].n_sizes; k++) {
            const struct fci_size *size = &materials[i].sizes[k];

            if (size->bore >= bore * (1 - SAME_BORE))
                least = fmin(least, size->nominal);
            if (size->bore <= bore * (1 + SAME_BORE))
                greatest = fmax(greatest, size->nominal);
        }
    /* one that is narrower than all pipe is called by its bore */
    greatest = greatest > 0 ? greatest : bore;
    return fc_between(fmin(least, greatest), greatest);
}

size_t
fci_tables_count(const struct fci_tables *tables)
{
    return tables->n_parts;
}

const struct fci_section *
fci_tables_section(const struct fci_tables *tables, size_t i, bool *amended)
{
    if (amended)
        *amended = tables->parts[i].amended;
    return &tables->parts[i].section;
}
