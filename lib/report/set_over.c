/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/set_over.c -- what was set over the file of a report. */
#include "report/set_over.h"
#include "variants/setting.h"

#define MOST_SET 4 /* on a screen */

/* "street.static = 69 psi (file: 79 psi); rp taken out"; NULL: out of
 * memory. */
static const char *
join(const fc_site *site, size_t n, bool several, struct fci_arena *arena)
{
    const char *said = "";

    for (size_t i = 0; said && i < n; i++) {
        const struct fci_setting *set = &site->set[i];
        const char *one = fci_setting_said(set, several, arena);

        said = one ? fci_arena_printf(arena, "%s%s%s", said, i > 0 ? "; " : "",
                                      one)
                   : NULL;
    }
    return said;
}

bool
fci_set_over_data(const fc_site *site, bool several, struct fci_arena *arena,
                  struct fci_data *data)
{
    struct fci_told_set *told;

    if (!site || site->n_set == 0)
        return true;
    told = fci_arena_array(arena, site->n_set, sizeof *told);
    data->set_said = join(site, site->n_set, several, arena);
    if (!told || !data->set_said)
        return false;
    for (size_t i = 0; i < site->n_set; i++) {
        const struct fci_setting *set = &site->set[i];

        told[i] =
            (struct fci_told_set){ set->part, set->key, set->value,
                                   several || set->differs ? NULL : set->was };
    }
    data->set = told;
    data->n_set = site->n_set;
    return true;
}

void
fci_set_over_doc(const fc_site *site, bool several, struct fci_doc *doc)
{
    const size_t n = site ? site->n_set : 0;
    const char *where, *all, *some;

    if (n == 0)
        return;
    where = site->set[n - 1].text ? "Set on the command line"
                                  : "Set by a case of the file";
    all = join(site, n, several, &doc->arena);
    some = n > MOST_SET ? join(site, MOST_SET - 1, several, &doc->arena) : all;
    if (all && some) {
        doc->set = fci_arena_printf(&doc->arena, "%s: %s.", where, all);
        doc->set_brief = n > MOST_SET ? fci_arena_printf(
                             &doc->arena, "%s: %s; and %zu more, see --full.",
                             where, some, n - MOST_SET + 1)
                                      : doc->set;
    }
    doc->failed |= !doc->set || !doc->set_brief;
}
