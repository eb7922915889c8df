/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/effects_hygiene.c -- hygiene flushes that come due together. */
#include "report/check_shape.h"
#include "report/check_text.h"
#include "report/effects_report.h"
#include "report/shapes.h"

#include <math.h>

/* ---- For programs ----------------------------------------------------- */

static const struct fci_member fixture_rows[] = {
    FCI_TEXT(fc_hygiene_fixture, name, "name", "Its name"),
    FCI_INTEGER(fc_hygiene_fixture, count, "count", "Valves of it that flush"),
    FCI_RANGE(fc_hygiene_fixture, interval, "interval", FC_TIME,
              "Without use until it flushes"),
    FCI_RANGE(fc_hygiene_fixture, time, "time", FC_TIME, "Of one flush"),
    FCI_OBJECT_IF(fc_hygiene_fixture, busy.weak, busy.weak.given,
                  "weak_chance", &fci_chance_shape,
                  "Part of its hygiene flushes that are below the valve "
                  "minimum"),
    FCI_OBJECT_IF(fc_hygiene_fixture, busy.weak_worst, busy.weak_worst.given,
                  "weak_chance_worst", &fci_chance_shape,
                  "The same with all inputs at their worst"),
    FCI_OBJECT_IF(fc_hygiene_fixture, busy.weak_best, busy.weak_best.given,
                  "weak_chance_best", &fci_chance_shape,
                  "The same with all inputs at their best"),
    FCI_FIGURE(fc_hygiene_fixture, busy.mean, "mean_pressure", FC_PRESSURE,
               "Mean flowing pressure of its hygiene flushes"),
    FCI_FIGURE(fc_hygiene_fixture, busy.fifth, "fifth_percentile_pressure",
               FC_PRESSURE, "5% of them have less"),
};
static FCI_SHAPE(fixture_shape, "hygiene_fixture", fc_hygiene_fixture,
                 fixture_rows, "A fixture whose hygiene flushes come due");

static const void *
weakest_of(struct fci_at at, union fci_value *room)
{
    const fc_hygiene_state *state = at.object;

    room->text = state->n_fixtures == 0 || state->weakest == SIZE_MAX
                     ? NULL
                     : state->fixtures[state->weakest].name;
    return room->text ? &room->text : NULL;
}

static const struct fci_member state_rows[] = {
    FCI_COUNT(fc_hygiene_state, valves, "valves", "With a hygiene flush"),
    FCI_COUNT(fc_hygiene_state, together, "together",
              "Most of them that come due at one time"),
    FCI_RANGE(fc_hygiene_state, interval, "after", FC_TIME,
              "So long after they were last used"),
    FCI_NUMBER(fc_hygiene_state, at_once, "most_at_once",
               "Open at once at the most, in the mean"),
    FCI_COUNT(fc_hygiene_state, up_to, "at_once_95",
              "No more at once in 95 of 100 cases"),
    FCI_FIGURES(fc_hygiene_state, others, n_others, "others_open", FC_NUMBER,
                "Chance that a hygiene flush finds 0, 1, ... others open"),
    FCI_WORD(fc_hygiene_state, seldom_weak, "seldom_weak", &fci_verdict_words,
             "Whether no fixture's are weak in more than 1% of them"),
    FCI_GET("weakest", FCI_M_TEXT, FC_NUMBER, weakest_of,
            "The fixture whose hygiene flushes are weak most often; null: "
            "none"),
    FCI_FLAG(fc_hygiene_state, alone_weak, "alone_weak",
             "Some are weak though no other one is open"),
    FCI_FIGURE(fc_hygiene_state, spread, "spread", FC_TIME,
               "Over so long they would have to come due, at midpoint values; "
               "null: they need not, or no time does"),
    FCI_FIGURE(fc_hygiene_state, spread_worst, "spread_worst", FC_TIME,
               "The same in the worst case"),
    FCI_COUNT(fc_hygiene_state, states_drawn, "states", "States solved"),
    FCI_FLAG(fc_hygiene_state, narrow, "narrow",
             "Every chance is known to 0.02 percentage points or a tenth of "
             "itself"),
    FCI_LIST(fc_hygiene_state, fixtures, n_fixtures, "fixtures",
             &fixture_shape, "Those that come due"),
};
static FCI_SHAPE(state_shape, "hygiene_state", fc_hygiene_state, state_rows,
                 "Hygiene flushes in one state");

static const struct fci_member hygiene_rows[] = {
    FCI_RANGE(fc_hygiene, last_use_within, "last_use_within", FC_TIME,
              "Time within which all fixtures were last used"),
    FCI_FLAG(fc_hygiene, usual, "usual", "That is what is usual, not given"),
    FCI_OBJECT(fc_hygiene, states[FC_EXISTING], "existing", &state_shape,
               "Existing"),
    FCI_OBJECT(fc_hygiene, states[FC_RETROFIT], "retrofit", &state_shape,
               "After retrofit"),
};
FCI_SHAPE(fci_hygiene_shape, "hygiene", fc_hygiene, hygiene_rows,
          "Hygiene flushes that come due together");

/* ---- For people ------------------------------------------------------- */

static const char *
percent(struct fci_doc *doc, const fc_chance *chance)
{
    const char *text =
        chance->given ? fci_arena_printf(
            &doc->arena, "%s", fci_check_chance(chance->estimate).text)
                      : "-";

    return text ? text : "";
}

static void
put_state(struct fci_doc *doc, const fc_hygiene *hygiene, fc_state of)
{
    const fc_hygiene_state *state = &hygiene->states[of];
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const struct fci_doc_column columns[] = {
        { "fixture", "", FCI_LEFT, 10 },
        { "valves", "", FCI_RIGHT, 0 },
        { "time of\na flush", "s", FCI_RIGHT, 0 },
        { "weak", "%", FCI_RIGHT, 0 },
        { "worst\ncase", "%", FCI_RIGHT, 0 },
        { "mean\nflowing", p, FCI_RIGHT, 0 },
        { "95% have\nat least", p, FCI_RIGHT, 0 },
    };
    struct fci_grid *table;

    if (state->together == 0)
        return;
    table = fci_grid_new(doc, columns, sizeof columns / sizeof *columns);
    fci_doc_heading(doc, "Hygiene flushes that come due together%s",
                    !doc->converted     ? ""
                    : of == FC_EXISTING ? ", existing"
                                        : ", after retrofit");
    for (size_t i = 0; i < state->n_fixtures; i++) {
        const fc_hygiene_fixture *f = &state->fixtures[i];

        fci_cell(table, f->name);
        fci_cell(table, fci_figure_number(f->count, 0).text);
        fci_cell(table, fci_figure_range(doc->units, FC_TIME, f->time).text);
        fci_cell(table, percent(doc, &f->busy.weak));
        fci_cell(table, percent(doc, &f->busy.weak_worst));
        fci_cell(table,
                 fci_figure_of(doc->units, FC_PRESSURE, f->busy.mean).text);
        fci_cell(table,
                 fci_figure_of(doc->units, FC_PRESSURE, f->busy.fifth).text);
    }
    fci_part_table(doc, table, 1);
    fci_doc_say(
        doc,
        "%zu of %zu valves with a hygiene flush come due %.4g h after "
        "they were last used: %.1f of them open at once at the most in "
        "the mean, no more than %zu in 95 of 100 cases. Weak: below "
        "the valve minimum while it flushes.",
        state->together, state->valves, state->interval.nominal / 3600,
        state->at_once, state->up_to);
}

void
fci_effects_hygiene_tables(struct fci_doc *doc, const fc_effects *effects)
{
    if (!effects->hygiene)
        return;
    for (int s = 0; s < (doc->converted ? FC_STATES : 1); s++)
        put_state(doc, effects->hygiene, (fc_state)s);
}
