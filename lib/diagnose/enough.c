/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/enough.c -- whether the supply, as the readings leave it, is
 * enough for what flushed in them: it may be as described, and too little.
 */
#include "diagnose/diagnose.h"
#include "units/units.h"

/* The valve that is shortest of its own minimum while a set flushes. */
#define LEAST_LACK 345 /* 0.05 psi [Pa]: less is shown as nothing */

struct shortest {
    size_t fixture, event;
    double has, needs;
};

static void
compare(struct shortest *s, const struct fci_fault_trial *t,
        const struct fci_readings *r, size_t event)
{
    const struct fci_flushing_set *set = &r->events[event];
    size_t i;

    for (i = 0; i < set->n; i++) {
        const size_t fixture = set->open[i].fixture;
        const fc_valve *valve = r->site->fixtures[fixture].valve[r->state];
        const fc_range needs = valve ? valve->minimum_flowing : fc_exactly(0);
        const double has = fci_solver_drawn(t->solver)[i].pressure;

        if (!valve || !needs.given || has - needs.nominal >= s->has - s->needs)
            continue;
        *s = (struct shortest){ fixture, event, has, needs.nominal };
    }
}

/* ", 31.0 psi read"; "" where nobody read it. */
static const char *
read_words(const struct shortest *s, const struct fci_consistency *c)
{
    const struct fci_readings *r = c->readings;
    size_t i;

    for (i = 0; i < r->n; i++)
        if (r->gauges[i].event == s->event
            && r->gauges[i].dimension == FC_PRESSURE
            && r->gauges[i].place.fixture == s->fixture)
            return fci_arena_printf(c->found.arena, ", %s read",
                                    fci_show(r->site->settings.units,
                                             FC_PRESSURE, r->gauges[i].read)
                                        .text);
    return "";
}

static void
tell(const struct shortest *s, struct fci_consistency *consistency)
{
    const struct fci_readings *r = consistency->readings;
    const char *name = r->site->fixtures[s->fixture].given->name;
    const char *flushing = fci_flushing_words(consistency->found.arena,
                                              r->site, &r->events[s->event]);
    const char *read = read_words(s, consistency);

    fci_find(&consistency->found, FC_WARN, name, 0, FC_FOUND_TOO_LITTLE,
             "{pressure} at {fixture} with {flushing} open by best fit{read}; "
             "requires {needed}: short by {lack}",
             FCI_WITH(FCI_WORD("fixture", name), FCI_WORD("read", read),
                      FCI_ONE("pressure", FC_PRESSURE, s->has),
                      FCI_WORD("flushing", flushing),
                      FCI_ONE("needed", FC_PRESSURE, s->needs),
                      FCI_ONE("lack", FC_PRESSURE, s->needs - s->has)));
}

fc_status
fci_enough_find(struct fci_fault_trial *t, struct fci_consistency *consistency,
                bool *enough)
{
    const struct fci_readings *r = consistency->readings;
    struct shortest shortest = { FCI_NONE, 0, 0, 0 };
    fc_status status = fci_fault_trial_begin(t, r->state, NULL);
    size_t e;

    for (e = 0; status == FC_OK && e < r->n_events; e++) {
        status = fci_fault_trial_run(t, &r->events[e]);
        if (status == FC_OK)
            compare(&shortest, t, r, e);
    }
    fci_fault_trial_end(t);
    *enough = shortest.fixture == FCI_NONE
              || shortest.needs - shortest.has < LEAST_LACK;
    if (status == FC_OK && !*enough)
        tell(&shortest, consistency);
    return status;
}
