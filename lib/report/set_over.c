/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/set_over.c -- what was set over the file of a report. */
#include "report/set_over.h"
#include "variants/setting.h"

#define MOST_SET 4 /* on a screen */

/* "street.static = 69 psi (file: 79 psi); rp taken out"; NULL: out of
 * memory. */
static const char *
join(const fc_set_value *set, size_t n, bool several, struct fci_arena *arena)
{
    const char *said = "";

    for (size_t i = 0; said && i < n; i++) {
        const char *one = fci_setting_said(&set[i], several, arena);

        said = one ? fci_arena_printf(arena, "%s%s%s", said, i > 0 ? "; " : "",
                                      one)
                   : NULL;
    }
    return said;
}

bool
fci_set_over_data(const fc_set_value *set, size_t n, bool several,
                  struct fci_arena *arena, struct fci_data *data)
{
    data->set = set;
    data->n_set = n;
    data->set_said = n > 0 ? join(set, n, several, arena) : NULL;
    return n == 0 || data->set_said;
}

void
fci_set_over_doc(const fc_set_value *set, size_t n, bool several,
                 struct fci_doc *doc)
{
    const char *where, *all, *some;

    if (n == 0)
        return;
    where = set[n - 1].of_case ? "Set by a case of the file"
                               : "Set on the command line";
    all = join(set, n, several, &doc->arena);
    some = n > MOST_SET ? join(set, MOST_SET - 1, several, &doc->arena) : all;
    if (all && some) {
        doc->set = fci_arena_printf(&doc->arena, "%s: %s.", where, all);
        doc->set_brief = n > MOST_SET ? fci_arena_printf(
                             &doc->arena, "%s: %s; and %zu more, see --full.",
                             where, some, n - MOST_SET + 1)
                                      : doc->set;
    }
    doc->failed |= !doc->set || !doc->set_brief;
}
