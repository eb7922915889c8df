/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/effects_shape.c -- what `effects` tells programs. */
#include "report/effects_report.h"
#include "report/shapes.h"

#define WORD(area, word) [area] = word,
static const char *const area_list[] = { FC_EFFECT_AREA_LIST(WORD) };
static FCI_WORDS(area_words, area_list);

static const struct fci_member verdict_rows[] = {
    FCI_WORD(fc_effect_verdict, area, "area", &area_words, "What was judged"),
    FCI_WORD(fc_effect_verdict, verdicts[FC_EXISTING], "existing",
             &fci_verdict_words, "Whether it does no harm, existing"),
    FCI_WORD(fc_effect_verdict, verdicts[FC_RETROFIT], "retrofit",
             &fci_verdict_words,
             "The same after retrofit; of a building that is not converted "
             "as if untold"),
    FCI_TEXT(fc_effect_verdict, why, "why",
             "In the state that is reported; null: nothing more"),
    FCI_TEXT(fc_effect_verdict, only_if[FC_EXISTING], "existing_only_if",
             "It works only with this, existing; null: at all events"),
    FCI_TEXT(fc_effect_verdict, only_if[FC_RETROFIT], "retrofit_only_if",
             "The same after retrofit"),
};
static FCI_SHAPE(verdict_shape, "effect_verdict", fc_effect_verdict,
                 verdict_rows, "Whether an area does harm");

/* The rows of one table have units of their own. */
static const void *
value_in(struct fci_at at, union fci_value *room, fc_state state)
{
    const struct fci_effects_view *view = at.root;
    const fc_effect *row = at.object;
    const fc_range value = row->values[state];
    const fc_unit_system units = view->effects->units;

    room->range = (fc_range){
        value.given,
        fc_from_si(units, row->dimension, value.nominal),
        fc_from_si(units, row->dimension, value.low),
        fc_from_si(units, row->dimension, value.high),
    };
    return &room->range;
}

static const void *
value_existing(struct fci_at at, union fci_value *room)
{
    return value_in(at, room, FC_EXISTING);
}

static const void *
value_retrofit(struct fci_at at, union fci_value *room)
{
    return value_in(at, room, FC_RETROFIT);
}

static const struct fci_member summary_rows[] = {
    FCI_WORD(fc_effect, area, "area", &area_words, "Of what"),
    FCI_TEXT(fc_effect, what, "what", "What the figure is"),
    FCI_TEXT(fc_effect, unit, "unit", "Of the values; null: a number"),
    FCI_GET("existing_value", FCI_M_RANGE, FC_NUMBER, value_existing,
            "Existing, in that unit; null: not calculated, none, or "
            "without end"),
    FCI_GET("retrofit_value", FCI_M_RANGE, FC_NUMBER, value_retrofit,
            "The same after retrofit"),
    FCI_TEXT(fc_effect, said[FC_EXISTING], "existing",
             "Existing in words, in the unit that `what` has; null: not "
             "calculated, or none"),
    FCI_TEXT(fc_effect, said[FC_RETROFIT], "retrofit", "After retrofit"),
    FCI_TEXT(fc_effect, at, "at", "Where; null: the building"),
    FCI_TEXT(fc_effect, rests_on, "rests_on", "What it rests on"),
};
static FCI_SHAPE(summary_shape, "effect", fc_effect, summary_rows,
                 "One figure in both states");

static const struct fci_member effects_rows[] = {
    FCI_TEXT(fc_effects, title, "title", "Title of the site"),
    FCI_WORD(fc_effects, state, "state", &fci_state_words,
             "The state that the verdict is of"),
    FCI_WORD(fc_effects, enough, "verdict", &fci_verdict_words,
             "Whether nothing that was judged does harm"),
    FCI_LIST(fc_effects, summary, n_summary, "summary", &summary_shape,
             "The figures side by side"),
    FCI_LIST(fc_effects, verdicts, n_verdicts, "verdicts", &verdict_shape,
             "What was judged"),
    FCI_POINTER(fc_effects, water, "water", &fci_water_use_shape,
                "Water a year; null: not calculated"),
    FCI_POINTER(fc_effects, batteries[FC_EXISTING], "batteries_existing",
                &fci_batteries_shape,
                "Batteries of sensor valves, existing; null: there are none"),
    FCI_POINTER(fc_effects, batteries[FC_RETROFIT], "batteries_retrofit",
                &fci_batteries_shape, "The same after retrofit"),
    FCI_POINTER(fc_effects, hygiene, "hygiene", &fci_hygiene_shape,
                "Hygiene flushes that come due together; null: none do"),
    FCI_POINTER(fc_effects, renewal, "renewal", &fci_renewal_shape,
                "How often the water in the pipes is renewed; null: not "
                "calculated"),
    FCI_POINTER(fc_effects, surge, "surge", &fci_surges_shape,
                "Surge as flush valves close; null: not calculated"),
    FCI_POINTER(fc_effects, tank, "tank", &fci_tank_water_shape,
                "How long the water of a tank lasts; null: none feeds it "
                "whose water ends"),
    FCI_POINTER(fc_effects, restart, "restart", &fci_restart_shape,
                "Water or power comes back; null: not calculated"),
    FCI_POINTER(fc_effects, cold_dip, "cold_dip", &fci_cold_dip_shape,
                "Cold pressure at other fixtures; null: there are none"),
    FCI_LIST(fc_effects, findings, n_findings, "findings", &fci_finding_shape,
             "What was found, the most severe first"),
    FCI_LIST(fc_effects, contradictions, n_contradictions, "contradictions",
             &fci_contradiction_shape,
             "Readings that contradict the file or each other"),
    FCI_LIST(fc_effects, overrides, n_overrides, "overrides",
             &fci_override_shape,
             "What the file sets otherwise than the code"),
    FCI_TEXTS(fc_effects, assumptions, n_assumptions, "assumptions",
              "What is assumed, not given"),
    FCI_CAUTIONS_ROW,
};
static FCI_SHAPE(root_shape, "effects_of_site", fc_effects, effects_rows,
                 "What else a retrofit changes");

static const struct fci_member view_rows[] = {
    FCI_SPREAD(struct fci_effects_view, effects, &root_shape),
};
FCI_SHAPE(fci_effects_shape, "effects", struct fci_effects_view, view_rows,
          "What else a retrofit changes, existing and after it");
