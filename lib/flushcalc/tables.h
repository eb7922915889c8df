/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/tables.h -- the trade's numbers. */
#ifndef FLUSHCALC_TABLES_H
#define FLUSHCALC_TABLES_H

#include "flushcalc/base.h"

#ifdef __cplusplus
extern "C" {
#endif

/** A line of a table: a key and its value as the table writes them. */
typedef struct fc_table_line {
    const char *key, *value;
} fc_table_line;

/** An entry: "pipe" and "copper L", its lines, its source. */
typedef struct fc_table_entry {
    const char *kind, *name, *source;
    const fc_table_line *lines;
    size_t n_lines;
    FC_ROOM(8);
} fc_table_entry;

typedef struct fc_tables fc_tables;

/** The built-in tables; NULL when out of memory, or when they cannot be read,
 * which is said. */
fc_tables *fc_tables_new(fc_diagnostics *messages);
void fc_tables_free(fc_tables *tables);
size_t fc_tables_count(const fc_tables *tables);
/** Entry i, 0 <= i < count; past the count one without a name. */
fc_table_entry fc_tables_at(const fc_tables *tables, size_t i);

#ifdef __cplusplus
}
#endif

#endif
