/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/built_in_tables.h -- the tables that the library holds, for a
 * case. */
#ifndef TESTS_UNIT_BUILT_IN_TABLES_H
#define TESTS_UNIT_BUILT_IN_TABLES_H

#include "tables/tables.h"

#include <check.h>
#include <stdio.h>

static struct fci_tables *tables;

static inline void
read_tables(void)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    const fc_status status = fci_tables_read(NULL, &tables, messages);

    ck_assert_msg(status == FC_OK, "%s",
                  fc_diagnostics_count(messages)
                      ? fc_diagnostics_at(messages, 0).text
                      : fc_status_text(status));
    fc_diagnostics_free(messages);
}

static inline void
free_tables(void)
{
    fci_tables_free(tables);
    tables = NULL;
}

/* The label of a size, as the tables hold it [m]. */
static inline double
size_of(const char *text)
{
    fc_range size;

    ck_assert_int_eq(fc_parse(text, FC_SIZE, &size, NULL), FC_OK);
    return size.nominal;
}

#endif
