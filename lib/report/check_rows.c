/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/check_rows.c -- both states of a building in one table. */
#include "report/check_text.h"

#include <string.h>

void
fci_row_add_tinted(struct fci_row *row, const char *text, enum fci_tint tint)
{
    struct fci_figure *cell = &row->texts[row->n];

    snprintf(cell->text, sizeof cell->text, "%s", text);
    row->tints[row->n++] = tint;
}

void
fci_row_add(struct fci_row *row, struct fci_figure text)
{
    fci_row_add_tinted(row, text.text, FCI_PLAIN_TINT);
}

static bool
is_same(const struct fci_row *a, const struct fci_row *b)
{
    for (size_t i = 0; i < a->n; i++)
        if (strcmp(a->texts[i].text, b->texts[i].text) != 0)
            return false;
    return a->n == b->n;
}

struct fci_grid *
fci_check_table(struct fci_doc *doc, const fc_check_result *result,
                const struct fci_doc_column *columns, size_t n)
{
    const size_t more = result->converted ? 1 : 0;
    struct fci_doc_column all[2 + FCI_MOST_CELLS] = {
        columns[0],
        { "state", "", FCI_LEFT, 0 },
    };

    memcpy(all + 1 + more, columns + 1, (n - 1) * sizeof *columns);
    return fci_grid_new(doc, all, n + more);
}

static void
put_row(struct fci_grid *grid, const char *name, const char *state,
        const struct fci_row *row)
{
    fci_cell(grid, name);
    if (state)
        fci_cell(grid, state);
    for (size_t i = 0; i < row->n; i++)
        fci_cell_tinted(grid, row->texts[i].text, row->tints[i]);
}

void
fci_check_rows(struct fci_grid *grid, const fc_check_result *result,
               const char *name, const struct fci_row rows[FC_STATES])
{
    if (!result->converted) {
        put_row(grid, name, NULL, &rows[FC_EXISTING]);
    } else if (is_same(&rows[FC_EXISTING], &rows[FC_RETROFIT])) {
        put_row(grid, name, "both", &rows[FC_EXISTING]);
    } else {
        put_row(grid, name, "existing", &rows[FC_EXISTING]);
        put_row(grid, "", "after", &rows[FC_RETROFIT]);
    }
}
