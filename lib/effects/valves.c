/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/valves.c -- what the data of a sensor valve mean to whoever uses
 * it. */
#include "effects/effects.h"
#include "units/units.h"
#include "words/phrase.h"

static const char *
figure(const struct fci_effects *e, fc_dimension dimension, fc_range value)
{
    return fci_arena_printf(
        e->arena, "%s",
        fci_show(e->result->units, dimension, value.nominal).text);
}

/* "Flushes 3.0 s after leaving; a stay of 60.0 s or more takes ..." */
static const char *
say_valve(const struct fci_effects *e, const fc_valve *v)
{
    struct fci_words words = { e->arena, "", 0 };

    if (v->sensor_delay.given)
        fci_say(&words, "; ", "flushes %s after leaving",
                figure(e, FC_TIME, v->sensor_delay));
    if (v->short_stay.given)
        fci_say(&words, "; ", "a stay under %s flushes nothing",
                figure(e, FC_TIME, v->short_stay));
    if (v->long_stay.given && v->full_flush.given)
        fci_say(&words, "; ", "one of %s or more takes %s, a shorter one %s",
                figure(e, FC_TIME, v->long_stay),
                figure(e, FC_VOLUME, v->full_flush),
                figure(e, FC_VOLUME, v->reduced_flush));
    if (v->held == FC_ONE_FLUSH)
        fci_say(&words, "; ",
                "its button gives one flush, however long it is held: holding "
                "it does not make up for low pressure");
    if (v->held == FC_WHILE_HELD)
        fci_say(&words, "; ",
                "it runs for as long as its handle is held, which no volume "
                "here counts");
    return words.n > 0 ? words.text : NULL;
}

/* Each once, in the states in which some fixture has it. */
static bool
is_first(const struct fci_effects *e, size_t fixture, int state)
{
    const fc_valve *v = e->site->fixtures[fixture].valve[state];

    for (int s = 0; s <= state; s++)
        for (size_t i = 0; i < (s < state ? e->site->n_fixtures : fixture);
             i++)
            if (e->site->fixtures[i].valve[s] == v)
                return false;
    return true;
}

fc_status
fci_effects_valves(struct fci_effects *e, fc_diagnostics *messages)
{
    (void)messages;
    for (int s = 0; s < fci_effect_states(e); s++)
        for (size_t i = 0; i < e->site->n_fixtures; i++) {
            const fc_valve *v = e->site->fixtures[i].valve[s];
            const char *said = v ? say_valve(e, v) : NULL;

            if (!said || !is_first(e, i, s))
                continue;
            fci_find(&e->found, FC_NOTE, v->name, 0, FC_FOUND_HELD, "{said}",
                     FCI_WITH(FCI_WORD("said", said)));
        }
    return e->arena->failed ? FC_ENOMEM : FC_OK;
}
