/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/compare_shape.c -- what `compare` tells programs. */
#include "report/check_shape.h"
#include "report/shapes.h"

static const struct fci_member zone_rows[] = {
    FCI_TEXT(fc_compared_zone, reducer, "reducer", "PRV upstream; null: none"),
    FCI_TEXT(fc_compared_zone, governing, "governing_fixture",
             "The fixture with the least margin there"),
    FCI_RANGE(fc_compared_zone, margin, "margin", FC_PRESSURE,
              "Its flowing pressure at peak less what is required"),
};
static FCI_SHAPE(zone_shape, "compared_zone", fc_compared_zone, zone_rows,
                 "What one PRV feeds");

static const void *
weak_of(struct fci_at at, union fci_value *room)
{
    const fc_compared_state *s = at.object;

    (void)room;
    return s->weak.given ? &s->weak : NULL;
}

static const struct fci_member state_rows[] = {
    FCI_WORD(fc_compared_state, works, "verdict", &fci_verdict_words,
             "Whether it works"),
    FCI_WORD(fc_compared_state, too_high, "too_high", &fci_too_high_words,
             "Whether some fixture has too much pressure"),
    FCI_COUNT(fc_compared_state, working, "fixtures_working",
              "Fixtures that work, each counted"),
    FCI_COUNT(fc_compared_state, failing, "fixtures_failing",
              "Fixtures that do not"),
    FCI_COUNT(fc_compared_state, unclear, "fixtures_unclear",
              "Fixtures that are not certain"),
    FCI_TEXT(fc_compared_state, governing, "governing_fixture",
             "The fixture with the least margin; null: nothing is required"),
    FCI_RANGE(fc_compared_state, margin, "margin", FC_PRESSURE,
              "Its flowing pressure at peak less what is required"),
    FCI_PLAIN_IF("at_once_low", FCI_M_INTEGER, FC_NUMBER, fc_compared_state,
                 at_once_low, valves,
                 "Flush valves at once, inputs at their worst"),
    FCI_PLAIN_IF("at_once_high", FCI_M_INTEGER, FC_NUMBER, fc_compared_state,
                 at_once_high, valves, "The same at their best"),
    FCI_GET_OBJECT("weak_flush_chance", &fci_chance_shape, weak_of,
                   "The largest chance of a weak flush in the busiest "
                   "period"),
    FCI_RANGE(fc_compared_state, peak_flow, "peak_demand", FC_FLOW,
              "Peak demand at the source"),
    FCI_COUNT(fc_compared_state, over_velocity, "pipes_over_velocity",
              "Pipes over their velocity limit, or maybe"),
    FCI_COUNT(fc_compared_state, n_too_high, "fixtures_too_high",
              "Fixtures with too much pressure, or maybe"),
    FCI_LIST(fc_compared_state, zones, n_zones, "zones", &zone_shape,
             "By PRV, where there is one"),
};
static FCI_SHAPE(state_shape, "compared_state", fc_compared_state, state_rows,
                 "One of the buildings in one state");

static const char *const variant_words[] = { "file", "case", "set" };
static FCI_WORDS(variants, variant_words);

static const void *
after_retrofit(struct fci_at at, union fci_value *room)
{
    const fc_compared_building *b = at.object;

    (void)room;
    return b->calculated && b->judged == FC_RETROFIT ? &b->states[FC_RETROFIT]
                                                     : NULL;
}

static const struct fci_member building_rows[] = {
    FCI_TEXT(fc_compared_building, path, "path",
             "The site file, as it was named"),
    FCI_WORD(fc_compared_building, of, "variant", &variants,
             "The file as it is, one of its cases, or what is set over it"),
    FCI_TEXT(fc_compared_building, name, "name",
             "The case, or what is set; of a file its path"),
    FCI_TEXT(fc_compared_building, title, "title", "Title; null: none"),
    FCI_TEXT(fc_compared_building, digest, "file_digest",
             "SHA-256 of the site file; null: it could not be read"),
    FCI_WORD_IF(fc_compared_building, works, calculated, "verdict",
                &fci_verdict_words,
                "Whether it works; null: it could not be calculated"),
    FCI_WORD_IF(fc_compared_building, too_high, calculated, "too_high",
                &fci_too_high_words,
                "Whether some fixture has too much pressure"),
    FCI_COUNT(fc_compared_building, n_errors, "errors",
              "Messages that say why it could not be calculated"),
    FCI_TEXTS(fc_compared_building, errors, n_errors, "messages",
              "These: the file, the line, what is wrong, what is expected"),
    FCI_OBJECT_IF(fc_compared_building, states[FC_EXISTING], calculated,
                  "existing", &state_shape, "The building, existing"),
    FCI_GET_OBJECT("retrofit", &state_shape, after_retrofit,
                   "The building, after retrofit; null: not converted"),
    FCI_TEXTS(fc_compared_building, differences, n_differences, "differences",
              "Inputs that differ from those of the first building"),
    FCI_PLAIN_IF("cost", FCI_M_NUMBER, FC_NUMBER, fc_compared_building, cost,
                 priced,
                 "Of the pipes that differ, at the prices of the file; null: "
                 "not known"),
};
static FCI_SHAPE(building_shape, "compared_building", fc_compared_building,
                 building_rows, "One of the buildings");

static const struct fci_member comparison_rows[] = {
    FCI_WORD(fc_comparison, works, "verdict", &fci_verdict_words,
             "The worst of those that could be calculated"),
    FCI_WORD(fc_comparison, too_high, "too_high", &fci_too_high_words,
             "Whether some fixture of any has too much pressure"),
    FCI_COUNT(fc_comparison, n_broken, "not_calculated",
              "How many could not be calculated"),
    FCI_LIST(fc_comparison, buildings, n_buildings, "buildings",
             &building_shape,
             "The buildings: each file, its cases, what is "
             "set over it"),
};
FCI_SHAPE(fci_comparison_shape, "comparison", fc_comparison, comparison_rows,
          "Buildings side by side");
