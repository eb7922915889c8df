/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/spare_words.c -- what stands in the way of less supply, or of
 * more. */
#include "check/words.h"
#include "units/units.h"
#include "words/findings.h"
#include "ground/ties.h"

#include <math.h>

static struct fci_shown
pressure(const struct fci_findings *f, double value)
{
    return fci_show(f->judge->site->settings.units, FC_PRESSURE, value);
}

/* Less supply than now would still do at the fixtures, but not in the main. */
static void
find_floor(struct fci_findings *f, const fc_checked_state *s, fc_state state)
{
    const fc_site *site = f->judge->site;
    const struct fci_element *source = &site->elements[site->order[0]];
    const struct fci_limit *floor =
        fci_tables_limit(site->tables, "street main residual");
    const double left = s->source_pressure.nominal - s->spare_pressure.nominal;

    if (!floor
        || ((const fc_source *)source->part->data)->kind != FC_STREET_MAIN
        || left >= floor->pressure
        || s->source_pressure.nominal < floor->pressure)
        return;
    fci_find(f, FC_NOTE, source->name, (int)state, "spare pressure",
             "may fall by %s%s for the fixtures' sake, but is drawn to %s "
             "after a fall of %s",
             pressure(f, s->spare_pressure.nominal).text,
             fci_when(f->judge, state), pressure(f, floor->pressure).text,
             pressure(f, s->source_pressure.nominal - floor->pressure).text);
}

/* More supply than now would cure the short fixtures and, with nothing
 * flowing, put another over its maximum; a reducer or a holding pump on the
 * way may still prevent that. */
static void
find_ceiling(struct fci_findings *f, const fc_checked_state *s, fc_state state)
{
    const fc_site *site = f->judge->site;
    const double rise = -s->spare_pressure.nominal;
    const struct fci_fixture *worst = NULL;
    bool kept_in = false;
    double over = 0;
    size_t i;

    for (i = 0; i < site->n_fixtures; i++) {
        const struct fci_judgement j =
            fci_judge_fixture(f->judge, &site->fixtures[i], state);
        const double beyond = j.trapped.nominal + rise - j.need.maximum_static;

        if (j.maximum == FC_WORKS && fci_is_less(over, beyond)) {
            over = beyond;
            kept_in = j.trapped.nominal > j.ceiling.nominal + 1;
            worst = &site->fixtures[i];
        }
    }
    if (worst)
        fci_find(f, FC_NOTE, worst->given->name, (int)state, "spare pressure",
                 "would have up to %s more than its maximum with no flow, "
                 "were the supply to rise by the %s that is short%s and "
                 "nothing to reduce it here%s",
                 pressure(f, over).text, pressure(f, rise).text,
                 fci_when(f->judge, state),
                 kept_in ? " (with what a backflow preventer may keep in)"
                         : "");
}

void
fci_find_spare(struct fci_findings *f, const fc_check_result *result,
               fc_state state)
{
    const fc_checked_state *s = &result->states[state];

    if (!s->spare_pressure.given)
        return;
    if (s->spare_pressure.nominal > 0)
        find_floor(f, s, state);
    else if (s->spare_pressure.nominal < -FCI_SAME_PRESSURE)
        find_ceiling(f, s, state);
}
