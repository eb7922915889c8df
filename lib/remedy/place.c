/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/place.c -- an element put in behind another, and names. */
#include "remedy/remedies.h"
#include "words/phrase.h"

#define NAMES_SAID 6u

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

/* The site may go: the name is copied. */
static bool
hang(const struct fci_cures *c, const struct fci_part *part, const char *key,
     const char *on, struct fci_change_list *list)
{
    const char *name = fci_arena_string(c->arena, part->name);

    return name && fci_change_add(list, part->kind, name, key, on);
}

bool
fci_hang_behind(const struct fci_cures *c, const fc_site *site, size_t behind,
                const char *name, struct fci_change_list *list)
{
    bool ok = true;
    size_t i;

    for (i = 0; ok && i < site->n_elements; i++)
        if (site->elements[i].parent == behind
            && !fci_is_second(&site->elements[i]))
            ok = hang(c, site->elements[i].part, "from", name, list);
    for (i = 0; ok && i < site->n_fixtures; i++)
        if (site->fixtures[i].element == behind)
            ok = hang(c, site->fixtures[i].part, "on", name, list);
    for (i = 0; ok && i < site->n_draws; i++)
        if (site->draws[i].element == behind)
            ok = hang(c, fci_site_find(site, FCI_DEMAND, site->draws[i].name),
                      "on", name, list);
    for (i = 0; ok && i < site->n_parts; i++)
        if (is_fed_there(site, &site->parts[i], behind))
            ok = hang(c, &site->parts[i], "on", name, list);
    return ok;
}

const char *
fci_join_names(const struct fci_cures *c, const char *const *names, size_t n)
{
    const size_t said = n > NAMES_SAID + 1 ? NAMES_SAID : n;
    struct fci_words w = { c->arena, "", 0 };
    size_t i;

    for (i = 0; i < said; i++)
        fci_say(&w, i + 1 == n ? " and " : ", ", "%s", names[i]);
    if (said < n)
        fci_say(&w, " ", "and %zu more", n - said);
    return w.text;
}
