/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/spare_words.c -- what stands in the way of less supply, or of
 * more. */
#include "check/words.h"
#include "units/units.h"
#include "words/findings.h"
#include "ground/ties.h"

#include <math.h>

/* Less supply than now would still do at the fixtures, but not in the main. */
static void
find_floor(struct fci_check_words *w, const fc_checked_state *s,
           fc_state state)
{
    const fc_site *site = w->judge->site;
    const struct fci_element *source = &site->elements[site->order[0]];
    const struct fci_limit *floor =
        fci_tables_limit(site->tables, "street main residual");
    const double left = s->source_pressure.nominal - s->spare_pressure.nominal;

    if (!floor
        || ((const fc_source *)source->part->data)->kind != FC_STREET_MAIN
        || left >= floor->pressure
        || s->source_pressure.nominal < floor->pressure)
        return;
    fci_find(&w->found, FC_NOTE, source->name, FC_IN(state),
             FC_FOUND_SPARE_PRESSURE,
             "the fixtures have {spare} to spare{when}, but the main is down "
             "to {limit} after a drop of {fall}",
             FCI_WITH(FCI_ONE("spare", FC_PRESSURE, s->spare_pressure.nominal),
                      FCI_ONE("limit", FC_PRESSURE, floor->pressure),
                      FCI_ONE("fall", FC_PRESSURE,
                              s->source_pressure.nominal - floor->pressure)));
}

/* More supply than now would cure the short fixtures and, with nothing
 * flowing, put another over its maximum; a reducer or a holding pump on the
 * way may still prevent that. */
static void
find_ceiling(struct fci_check_words *w, const fc_checked_state *s,
             fc_state state)
{
    const fc_site *site = w->judge->site;
    const double rise = -s->spare_pressure.nominal;
    const struct fci_fixture *worst = NULL;
    bool kept_in = false;
    double over = 0;
    size_t i;

    for (i = 0; i < site->n_fixtures; i++) {
        const struct fci_judgement j =
            fci_judge_fixture(w->judge, &site->fixtures[i], state);
        const double beyond = j.trapped.nominal + rise - j.need.maximum_static;

        if (j.maximum == FC_WORKS && fci_is_less(over, beyond)) {
            over = beyond;
            kept_in = j.trapped.nominal > j.ceiling.nominal + 1;
            worst = &site->fixtures[i];
        }
    }
    if (worst)
        fci_find(
            &w->found, FC_NOTE, worst->given->name, FC_IN(state),
            FC_FOUND_SPARE_PRESSURE,
            "with the supply {rise} higher, as the shortage{when} asks, its "
            "static would be up to {over} over its limit{kept in}, unless "
            "something "
            "reduces it here",
            FCI_WITH(
                FCI_ONE("over", FC_PRESSURE, over),
                FCI_ONE("rise", FC_PRESSURE, rise),
                FCI_WORD("kept in",
                         kept_in ? " (with what a backflow preventer may trap)"
                                 : "")));
}

void
fci_find_spare(struct fci_check_words *w, const fc_check_result *result,
               fc_state state)
{
    const fc_checked_state *s = &result->states[state];

    if (!s->spare_pressure.given)
        return;
    if (s->spare_pressure.nominal > 0)
        find_floor(w, s, state);
    else if (s->spare_pressure.nominal < -FCI_SAME_PRESSURE)
        find_ceiling(w, s, state);
}
