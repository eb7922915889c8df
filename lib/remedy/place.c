/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/place.c -- an element put in behind another. */
#include "remedy/remedies.h"

const char *
fci_new_name(const struct fci_cures *c, const char *word)
{
    const char *name = fci_arena_string(c->arena, word);
    int i;

    /* elements and fixtures share one namespace */
    for (i = 2; name && fci_site_find(c->site, FCI_PUMP, name); i++)
        name = fci_arena_printf(c->arena, "%s-%d", word, i);
    return name;
}

/* Whether a heater takes its cold feed there. */
static bool
is_fed_there(const fc_site *site, const struct fci_part *part, size_t element)
{
    const fc_heater *heater = part->data;

    return part->kind == FCI_HEATER
           && fci_site_find(site, FCI_PIPE, heater->on)
                  == site->elements[element].part;
}

bool
fci_hang_behind(const struct fci_cures *c, size_t behind, const char *name,
                struct fci_change_list *list)
{
    const fc_site *site = c->site;
    bool ok = true;
    size_t i;

    for (i = 0; ok && i < site->n_elements; i++)
        if (site->elements[i].parent == behind)
            ok = fci_change_add(list, site->elements[i].part->kind,
                                site->elements[i].name, "from", name);
    for (i = 0; ok && i < site->n_fixtures; i++)
        if (site->fixtures[i].element == behind)
            ok = fci_change_add(list, FCI_FIXTURE,
                                site->fixtures[i].given->name, "on", name);
    for (i = 0; ok && i < site->n_draws; i++)
        if (site->draws[i].element == behind)
            ok = fci_change_add(list, FCI_DEMAND, site->draws[i].name, "on",
                                name);
    for (i = 0; ok && i < site->n_parts; i++)
        if (is_fed_there(site, &site->parts[i], behind))
            ok = fci_change_add(list, FCI_HEATER, site->parts[i].name, "on",
                                name);
    return ok;
}
