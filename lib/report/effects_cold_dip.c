/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/effects_cold_dip.c -- cold pressure of others while valves flush.
 */
#include "drawing/drawings.h"
#include "report/effects_report.h"
#include "report/shapes.h"
#include "report/words.h"

#include <math.h>

/* ---- For programs ----------------------------------------------------- */

static const struct fci_member dip_rows[] = {
    FCI_RANGE(fc_dip, pressure, "pressure", FC_PRESSURE,
              "Cold, at its inlet; of an emergency fixture while it runs"),
    FCI_RANGE(fc_dip, fall, "fall", FC_NUMBER,
              "Share of its static pressure by which it falls; null: it has "
              "none, or is an emergency fixture"),
    FCI_RANGE(fc_dip, apart, "below_hot", FC_NUMBER,
              "How far cold falls below hot, as a share; without a heater "
              "that serves it hot may fall too: from 0"),
    FCI_LIST(fc_dip, set, n_set, "open", &fci_flushed_shape,
             "Which valves are open, at midpoint values"),
    FCI_COUNT(fc_dip, open, "valves", "How many are open"),
    FCI_FLAG(fc_dip, worst, "worst",
             "Whether it is proved that no other so many leave it less"),
    FCI_FLAG(fc_dip, surely, "surely",
             "Whether there surely are so many, no more than 3; else no "
             "harm is sure"),
    FCI_WORD(fc_dip, works, "verdict", &fci_verdict_words,
             "Whether it keeps within its limit, or its minimum"),
};
static FCI_SHAPE(dip_shape, "dip", fc_dip, dip_rows,
                 "A fixture with so many flush valves open");

static const void *
dips(struct fci_at at, union fci_value *room)
{
    const fc_cold_dip_state *told = at.object;

    room->list = (struct fci_list){ told->dips, told->n_dips };
    return &room->list;
}

static const struct fci_member state_rows[] = {
    FCI_FLAG(fc_cold_dip_state, given, "calculated",
             "Whether it was; not where a flush valve is in place"),
    FCI_RANGE(fc_cold_dip_state, at_rest, "static", FC_PRESSURE,
              "With no flush valve open; steady draws run"),
    FCI_GET_LIST("dips", &dip_shape, dips,
                 "With 1, 2, 3 valves open, then with the most at once"),
    FCI_WORD_IF(fc_cold_dip_state, works, given, "verdict", &fci_verdict_words,
                "The worst of these"),
    FCI_INTEGER(fc_cold_dip_state, first, "first",
                "The fewest open valves that bring it about; 0: it works"),
};
static FCI_SHAPE(state_shape, "cold_dip_state", fc_cold_dip_state, state_rows,
                 "A fixture in one state");

static const char *const answer_list[] = { NULL, "yes", "no" };
static FCI_WORDS(answer_words, answer_list);

static const struct fci_member fixture_rows[] = {
    FCI_TEXT(fc_cold_dip_fixture, name, "name", "Its name"),
    FCI_TEXT(fc_cold_dip_fixture, on, "on", "The element that feeds it"),
    FCI_TEXT(fc_cold_dip_fixture, kind, "kind", "What it is"),
    FCI_INTEGER(fc_cold_dip_fixture, count, "count", "How many there are"),
    FCI_FLAG(fc_cold_dip_fixture, emergency, "emergency",
             "An eyewash or the like; else people mix hot and cold there"),
    FCI_FIGURE(fc_cold_dip_fixture, minimum, "minimum", FC_PRESSURE,
               "Flowing, of an emergency fixture; else null"),
    FCI_WORD(fc_cold_dip_fixture, balanced, "balanced", &answer_words,
             "Whether its mixing valve balances pressures; null: not known"),
    FCI_TEXT(fc_cold_dip_fixture, heater, "heater",
             "The element that feeds its heater; null: not given"),
    FCI_NUMBER(fc_cold_dip_fixture, limit, "limit",
               "Share that cold may fall below hot; null: emergency"),
    FCI_OBJECT(fc_cold_dip_fixture, states[FC_EXISTING], "existing",
               &state_shape, "Existing"),
    FCI_OBJECT(fc_cold_dip_fixture, states[FC_RETROFIT], "retrofit",
               &state_shape, "After retrofit"),
};
static FCI_SHAPE(fixture_shape, "cold_dip_fixture", fc_cold_dip_fixture,
                 fixture_rows, "A fixture that flush valves take cold from");

static const struct fci_member open_rows[] = {
    FCI_COUNT(fc_open_at_once, busiest, "busiest",
              "In the busiest minutes, no more in 95 of 100; 0: not known"),
    FCI_COUNT(fc_open_at_once, hygiene, "hygiene",
              "Hygiene flushes, no more in 95 of 100 times; 0: none"),
    FCI_COUNT(fc_open_at_once, most, "most",
              "That are looked at: the more of both, or all"),
};
static FCI_SHAPE(open_shape, "open_at_once", fc_open_at_once, open_rows,
                 "How many flush valves may be open at once");

static const struct fci_member cold_dip_rows[] = {
    FCI_LIST(fc_cold_dip, fixtures, n_fixtures, "fixtures", &fixture_shape,
             "Where people mix hot and cold, and emergency fixtures"),
    FCI_NUMBER(fc_cold_dip, third, "limit_not_balanced",
               "Share that cold may fall at a valve without balancing"),
    FCI_NUMBER(fc_cold_dip, balanced, "limit_balanced",
               "Share that a balancing valve is tested for"),
    FCI_OBJECT(fc_cold_dip, open[FC_EXISTING], "open_existing", &open_shape,
               "How many valves may be open at once, existing"),
    FCI_OBJECT(fc_cold_dip, open[FC_RETROFIT], "open_retrofit", &open_shape,
               "The same after retrofit"),
};
FCI_SHAPE(fci_cold_dip_shape, "cold_dip", fc_cold_dip, cold_dip_rows,
          "Cold pressure at other fixtures while flush valves are open");

/* ---- For people ------------------------------------------------------- */

static const char *
share_said(struct fci_doc *doc, fc_range share)
{
    const double low = 100 * share.low, high = 100 * share.high;
    const char *said =
        !share.given ? "-"
        : round(low) < round(high)
            ? fci_arena_printf(&doc->arena, "%.0f..%.0f", low, high)
            : fci_arena_printf(&doc->arena, "%.0f", high);

    return said ? said : "";
}

static void
add_state(struct fci_grid *grid, struct fci_doc *doc,
          const fc_cold_dip_fixture *f, fc_state state, bool named,
          size_t places, bool hot)
{
    const fc_cold_dip_state *told = &f->states[state];
    const fc_dip *last =
        told->n_dips > 0 ? &told->dips[told->n_dips - 1] : NULL;
    const fc_range none = { 0 };

    fci_cell(grid, named ? f->name : "");
    if (doc->converted)
        fci_cell(grid, fci_state_phrase(state));
    fci_cell(grid,
             fci_figure_range(doc->units, FC_PRESSURE, told->at_rest).text);
    for (size_t k = 0; k < places; k++)
        fci_cell(grid, fci_figure_range(
                           doc->units, FC_PRESSURE,
                           k < told->n_dips ? told->dips[k].pressure : none)
                           .text);
    fci_cell(grid, share_said(doc, last ? last->fall : none));
    if (hot)
        fci_cell(grid,
                 share_said(doc, last && f->heater ? last->apart : none));
    fci_cell_tinted(grid, fci_word_of(&fci_verdict_words, (int)told->works),
                    fci_verdict_tint(told->works));
}

static bool
any_heater(const fc_cold_dip *dip)
{
    for (size_t i = 0; i < dip->n_fixtures; i++)
        if (dip->fixtures[i].heater)
            return true;
    return false;
}

static size_t
most_places(const fc_cold_dip *dip)
{
    size_t places = FC_MOST_DIPPING;

    for (size_t i = 0; i < dip->n_fixtures; i++)
        for (int s = 0; s < FC_STATES; s++)
            if (dip->fixtures[i].states[s].n_dips > places)
                places = dip->fixtures[i].states[s].n_dips;
    return places;
}

static void
put_fixtures(struct fci_doc *doc, const fc_cold_dip *dip)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const struct fci_doc_column name = { "fixture", "", FCI_LEFT, 10 };
    const struct fci_doc_column state = { "", "", FCI_LEFT, 8 };
    const struct fci_doc_column rest = { "static", p, FCI_RIGHT, 0 };
    const struct fci_doc_column one = { "1 open", p, FCI_RIGHT, 0 };
    const struct fci_doc_column two = { "2 open", p, FCI_RIGHT, 0 };
    const struct fci_doc_column three = { "3 open", p, FCI_RIGHT, 0 };
    const struct fci_doc_column most = { "most", p, FCI_RIGHT, 0 };
    const struct fci_doc_column fall = { "falls", "%", FCI_RIGHT, 0 };
    const struct fci_doc_column hot = { "below\nhot", "%", FCI_RIGHT, 0 };
    const struct fci_doc_column verdict = { "verdict", "", FCI_LEFT, 7 };
    const bool heated = any_heater(dip);
    const size_t places = most_places(dip);
    struct fci_doc_column columns[10];
    size_t n = 0;
    struct fci_grid *grid;

    columns[n++] = name;
    if (doc->converted)
        columns[n++] = state;
    columns[n++] = rest;
    columns[n++] = one;
    columns[n++] = two;
    columns[n++] = three;
    if (places > FC_MOST_DIPPING)
        columns[n++] = most;
    columns[n++] = fall;
    if (heated)
        columns[n++] = hot;
    columns[n++] = verdict;
    grid = fci_grid_new(doc, columns, n);
    for (size_t i = 0; i < dip->n_fixtures; i++) {
        const fc_cold_dip_fixture *f = &dip->fixtures[i];
        bool named = true;

        for (int s = 0; s < (doc->converted ? FC_STATES : 1); s++)
            if (f->states[s].given) {
                add_state(grid, doc, f, (fc_state)s, named, places, heated);
                named = false;
            }
    }
    fci_part_table(doc, grid, 1);
}

static void
say_most(struct fci_doc *doc, const fc_cold_dip *dip)
{
    const size_t existing = dip->open[FC_EXISTING].most;

    if (most_places(dip) == FC_MOST_DIPPING)
        return;
    if (doc->converted)
        fci_doc_say(doc,
                    "The most open at once: existing %zu, after retrofit %zu.",
                    existing, dip->open[FC_RETROFIT].most);
    else
        fci_doc_say(doc, "The most open at once: %zu.", existing);
}

static bool
draw(xmlTextWriterPtr out, const void *what)
{
    return fci_draw_dips(out, what);
}

static void
put_drawing(struct fci_doc *doc, const fc_effects *effects)
{
    struct fci_dips *dips = fci_arena_alloc(&doc->arena, sizeof *dips);

    if (!dips)
        return;
    *dips = (struct fci_dips){ effects->cold_dip, effects->units,
                               effects->converted, effects->state };
    if (fci_has_dips(dips))
        fci_doc_drawing(doc, draw, dips);
}

void
fci_effects_cold_dip_tables(struct fci_doc *doc, const fc_effects *effects)
{
    const fc_cold_dip *dip = effects->cold_dip;

    if (!dip)
        return;
    fci_doc_heading(doc, "Cold pressure while flush valves are open");
    put_drawing(doc, effects);
    put_fixtures(doc, dip);
    say_most(doc, dip);
    fci_doc_say(
        doc, "With 1, 2 and 3 valves open, and with the most at once, those "
             "that leave the fixture least; an eyewash runs meanwhile. A "
             "mixing valve without "
             "pressure balancing runs hot as cold falls below hot: from a "
             "third on that counts as harm. One that balances is tested "
             "for half. Below hot: where a [heater] tells what hot does.");
}
