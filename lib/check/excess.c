/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/excess.c -- too much pressure at a fixture, a verdict beside that
 * on its flush.
 */
#include "check/checked.h"
#include "ground/ties.h"

#include <stddef.h>

static int
badness(fc_verdict verdict)
{
    return verdict == FC_WILL_NOT_WORK ? 2 : verdict == FC_CANNOT_TELL;
}

const char *
fci_reducer_over(const fc_site *site, size_t element)
{
    while (element != FCI_NONE
           && site->elements[element].part->kind != FCI_REDUCER)
        element = site->elements[element].parent;
    return element == FCI_NONE ? NULL : site->elements[element].name;
}

bool
fci_exceeds_more(const fc_excess *a, const fc_excess *b)
{
    if (badness(a->too_high) != badness(b->too_high))
        return badness(a->too_high) > badness(b->too_high);
    return fci_is_less(b->pressure.high - b->maximum,
                       a->pressure.high - a->maximum);
}

const char *
fci_whose_maximum(fc_maximum_of of)
{
    static const char *const words[] = { "site maximum", "valve maximum",
                                         "its own maximum" };

    return words[of];
}

void
fci_tell_excess(const fc_site *site, const struct fci_fixture *fixture,
                const struct fci_judgement *j,
                const struct fci_event_view *view, fc_fixture_state *s,
                struct fci_arena *arena)
{
    const fc_verdict alone = view ? view->strong : FC_WORKS;
    const fc_verdict flowing = fci_worse_of(j->strong, alone);
    fc_excess excess = {
        .too_high = fci_worse_of(j->maximum, flowing),
        .flowing = badness(flowing) > badness(j->maximum),
        .maximum_of = j->need.maximum_of,
        .pressure = j->trapped,
        .maximum = j->need.maximum_static,
    };

    s->too_high = excess.too_high;
    if (excess.too_high == FC_WORKS)
        return;
    excess.reducer = fci_reducer_over(site, fixture->element);
    if (excess.flowing) {
        excess.maximum_of = FC_MAXIMUM_OF_VALVE;
        excess.pressure =
            badness(alone) >= badness(j->strong) ? view->alone : j->flowing;
        excess.maximum = j->need.maximum_flowing;
    }
    s->excess = fci_arena_copy(arena, &excess, sizeof excess);
}

void
fci_doubt_excess(fc_verdict *too_high, const fc_excess **excess,
                 struct fci_arena *arena)
{
    fc_excess *doubted;

    if (*too_high != FC_WILL_NOT_WORK)
        return;
    *too_high = FC_CANNOT_TELL;
    doubted = fci_arena_copy(arena, *excess, sizeof **excess);
    if (doubted)
        doubted->too_high = FC_CANNOT_TELL;
    *excess = doubted;
}
