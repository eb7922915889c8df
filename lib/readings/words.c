/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/readings/words.c -- a place and a flushing set in words. */
#include "readings/readings.h"
#include "words/phrase.h"

const char *
fci_place_name(const fc_site *site, struct fci_gauge_place place)
{
    return place.fixture != FCI_NONE
               ? site->fixtures[place.fixture].given->name
               : site->elements[place.element].name;
}

const char *
fci_flushing_words(struct fci_arena *arena, const fc_site *site,
                   const struct fci_flushing_set *set)
{
    struct fci_words w = { arena, "", 0 };
    size_t i;

    if (set->n == 0)
        return "nothing";
    for (i = 0; i < set->n; i++) {
        const struct fci_fixture *f = &site->fixtures[set->open[i].fixture];

        if (f->count > 1 && set->open[i].count < f->count)
            fci_say(&w, ", ", "%d of %s", set->open[i].count, f->given->name);
        else if (f->count > 1)
            fci_say(&w, ", ", f->count == 2 ? "both of %s" : "all of %s",
                    f->given->name);
        else
            fci_say(&w, ", ", "%s", f->given->name);
    }
    return w.text;
}
