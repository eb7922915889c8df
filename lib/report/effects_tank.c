/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/effects_tank.c -- how long the water of a tank lasts. */
#include "report/effects_report.h"
#include "report/shapes.h"
#include "units/units.h"

#include <math.h>
#include <string.h>

static const struct fci_member state_rows[] = {
    FCI_TEXT(fc_tank_state, lacks, "lacks",
             "Why it is not calculated; null: it is"),
    FCI_TEXT(fc_tank_state, first, "first",
             "The fixture that falls below its minimum first as the pressure "
             "of the tank falls, flushing alone"),
    FCI_RANGE(fc_tank_state, least, "least", FC_PRESSURE,
              "Pressure of the tank at which it does"),
    FCI_RANGE(fc_tank_state, water, "usable", FC_VOLUME,
              "Water of the tank until then"),
    FCI_TEXT(fc_tank_state, thirsty, "thirsty",
             "The fixture of which a flush takes most from the tank"),
    FCI_RANGE(fc_tank_state, flush, "flush", FC_VOLUME, "One of its flushes"),
    FCI_RANGE(fc_tank_state, borrowed, "borrowed", FC_VOLUME,
              "What the tank gives of it, at its cut-in"),
    FCI_NUMBER(fc_tank_state, in_row_worst, "in_row_worst",
               "Its flushes one after another, from the cut-in; null: any "
               "number"),
    FCI_NUMBER(fc_tank_state, in_row_best, "in_row_best",
               "The same from the cut-out"),
    FCI_RANGE(fc_tank_state, rate, "rate", FC_FLOW,
              "What comes in at the cut-in"),
    FCI_RANGE(fc_tank_state, rate_out, "rate_out", FC_FLOW,
              "What comes in at the cut-out"),
    FCI_RANGE(fc_tank_state, mean, "mean_draw", FC_FLOW,
              "What is drawn in the busiest minutes, in the mean"),
    FCI_FIGURE(fc_tank_state, lasts_worst, "lasts_worst", FC_TIME,
               "Of those minutes, from the cut-in; null: any time"),
    FCI_FIGURE(fc_tank_state, lasts_best, "lasts_best", FC_TIME,
               "The same from the cut-out"),
    FCI_FLAG(fc_tank_state, by_chance, "by_chance",
             "Whether it lasts with two standard deviations more flushes than "
             "the mean, too"),
    FCI_FIGURE(fc_tank_state, refill_best, "refill_best", FC_TIME,
               "From cut-in to cut-out; null: it is not filled"),
    FCI_FIGURE(fc_tank_state, refill_worst, "refill_worst", FC_TIME,
               "The same in the worst case"),
    FCI_FIGURE(fc_tank_state, volume_for_row, "volume_for_row", FC_VOLUME,
               "Of a tank that gives each flush valve a flush in a row in the "
               "worst case; null: none is"),
    FCI_FIGURE(fc_tank_state, volume_for_busy, "volume_for_busy", FC_VOLUME,
               "Of one that lasts through the busiest minutes in the worst "
               "case; null: none is"),
    FCI_WORD(fc_tank_state, row, "one_flush", &fci_verdict_words,
             "Whether the water lasts for a flush"),
    FCI_WORD(fc_tank_state, busy, "busiest_minutes", &fci_verdict_words,
             "Whether it lasts through the busiest minutes"),
    FCI_RANGE(fc_tank_state, a_day, "a_day", FC_VOLUME,
              "Water of flush valves on a day of use"),
    FCI_RANGE(fc_tank_state, days, "days", FC_TIME,
              "How long a tank at a height lasts by that with nothing coming "
              "in"),
};
static FCI_SHAPE(state_shape, "tank_state", fc_tank_state, state_rows,
                 "How long the water of a tank lasts in a state");

static const struct fci_member tank_rows[] = {
    FCI_TEXT(fc_tank_water, name, "name", "Its name"),
    FCI_FLAG(fc_tank_water, at_height, "at_height",
             "Whether it is a tank at a height, and no pressure tank"),
    FCI_RANGE(fc_tank_water, volume, "volume", FC_VOLUME,
              "Of the tank; of one at a height, of its water"),
    FCI_RANGE(fc_tank_water, cut_in, "cut_in", FC_PRESSURE,
              "Where the pump starts"),
    FCI_RANGE(fc_tank_water, cut_out, "cut_out", FC_PRESSURE,
              "Where it stops"),
    FCI_RANGE(fc_tank_water, precharge, "precharge", FC_PRESSURE,
              "Of the air while the tank is empty"),
    FCI_RANGE(fc_tank_water, draw_down, "draw_down", FC_VOLUME,
              "What it gives from cut-out to cut-in, slowly"),
    FCI_RANGE(fc_tank_water, period, "busy_period", FC_TIME,
              "How long the busiest minutes last"),
    FCI_NUMBER(fc_tank_water, flush_valves, "flush_valves",
               "How many it feeds"),
    FCI_OBJECT(fc_tank_water, states[FC_EXISTING], "existing", &state_shape,
               "Existing"),
    FCI_OBJECT(fc_tank_water, states[FC_RETROFIT], "retrofit", &state_shape,
               "After retrofit; of a building that is not converted all null"),
};
FCI_SHAPE(fci_tank_water_shape, "tank_water", fc_tank_water, tank_rows,
          "How long the water of a tank lasts");

/* ---- For a person ------------------------------------------------------- */

struct table {
    struct fci_doc *doc;
    struct fci_grid *grid;
    const fc_effects *effects;
    const fc_tank_water *tank;
};

/* Volumes of tanks to a gallon, of flushes to a hundredth. */
static const char *
figure_text(const struct table *t, fc_dimension dimension, double si)
{
    const fc_unit_system units = t->effects->units;
    const double value = fc_from_si(units, dimension, si);
    char digits[40];

    fc_show_number(FC_NEAREST,
                   dimension != FC_VOLUME ? fci_decimals(units, dimension)
                   : value < 20           ? 2
                                          : 0,
                   value, digits, sizeof digits);
    return fci_arena_string(&t->doc->arena, digits);
}

static const char *
range_text(const struct table *t, fc_dimension dimension, fc_range value)
{
    const char *low, *high, *text, *unit;

    if (!value.given)
        return "-";
    low = figure_text(t, dimension, value.low);
    high = figure_text(t, dimension, value.high);
    unit = fc_unit_name(t->effects->units, dimension);
    text =
        !low || !high ? NULL
        : strcmp(low, high) == 0
            ? fci_arena_printf(&t->doc->arena, "%s %s", low, unit)
            : fci_arena_printf(&t->doc->arena, "%s to %s %s", low, high, unit);
    return text ? text : "";
}

/* "6 min", "6 to 12 min", "any time". */
static const char *
time_text(const struct table *t, double worst, double best, const char *never)
{
    const char *text;

    if (isnan(worst) && isnan(best))
        return never;
    if (isnan(best))
        text = fci_arena_printf(&t->doc->arena, "%.3g min or %s", worst / 60,
                                never);
    else if (isnan(worst))
        text = fci_arena_printf(&t->doc->arena, "%.3g min, or %s", best / 60,
                                never);
    else if (fabs(worst - best) < 1)
        text = fci_arena_printf(&t->doc->arena, "%.3g min", worst / 60);
    else
        text =
            fci_arena_printf(&t->doc->arena, "%.3g to %.3g min",
                             fmin(worst, best) / 60, fmax(worst, best) / 60);
    return text ? text : "";
}

static const char *
row_text(const struct table *t, const fc_tank_state *s)
{
    const char *text;

    if (!s->thirsty)
        return "-";
    if (isnan(s->in_row_worst))
        return "any number";
    if (isnan(s->in_row_best))
        text = fci_arena_printf(&t->doc->arena, "%.0f or any number",
                                s->in_row_worst);
    else
        text = fci_arena_printf(&t->doc->arena, "%.0f to %.0f",
                                s->in_row_worst, s->in_row_best);
    return text ? text : "";
}

static const char *
volume_text(const struct table *t, double volume)
{
    if (isnan(volume))
        return "none is";
    return volume > 0 ? range_text(t, FC_VOLUME, fc_exactly(volume)) : "any";
}

enum row {
    LEAST,
    WATER,
    BORROWED,
    IN_ROW,
    RATE,
    RATE_OUT,
    MEAN,
    LASTS,
    REFILL,
    FOR_ROW,
    FOR_BUSY,
    A_DAY,
    DAYS,
    ROWS
};

static const struct {
    const char *what;
    bool pressure; /* of a pressure tank alone */
} rows[ROWS] = {
    [LEAST] = { "pressure of the tank at which the first valve fails", true },
    [WATER] = { "water until then", false },
    [BORROWED] = { "a flush takes from the tank", true },
    [IN_ROW] = { "flushes in a row", true },
    [RATE] = { "comes in, at cut-in", false },
    [RATE_OUT] = { "comes in, at cut-out", true },
    [MEAN] = { "drawn in the busiest minutes, mean", false },
    [LASTS] = { "lasts, of those minutes", false },
    [REFILL] = { "filled again in", false },
    [FOR_ROW] = { "tank for a flush of each valve in a row", true },
    [FOR_BUSY] = { "tank for the busiest minutes", false },
    [A_DAY] = { "flush water on a day of use", false },
    [DAYS] = { "lasts at that, nothing coming in", false },
};

static const char *
value_of(const struct table *t, enum row row, const fc_tank_state *s)
{
    switch (row) {
    case LEAST:
        return range_text(t, FC_PRESSURE, s->least);
    case WATER:
        return range_text(t, FC_VOLUME, s->water);
    case BORROWED:
        return range_text(t, FC_VOLUME, s->borrowed);
    case IN_ROW:
        return row_text(t, s);
    case RATE:
        return range_text(t, FC_FLOW, s->rate);
    case RATE_OUT:
        return range_text(t, FC_FLOW, s->rate_out);
    case MEAN:
        return range_text(t, FC_FLOW, s->mean);
    case LASTS:
        return time_text(t, s->lasts_worst, s->lasts_best, "any time");
    case REFILL:
        return time_text(t, s->refill_worst, s->refill_best, "not at all");
    case FOR_ROW:
        return volume_text(t, s->volume_for_row);
    case FOR_BUSY:
        return volume_text(t, s->volume_for_busy);
    case A_DAY:
        return range_text(t, FC_VOLUME, s->a_day);
    case DAYS:
        return s->days.given ? time_text(t, s->days.low, s->days.high, "")
                             : "-";
    case ROWS:
        break;
    }
    return "";
}

static void
put_row(const struct table *t, enum row row)
{
    const int n = t->effects->converted ? FC_STATES : 1;

    fci_cell(t->grid, rows[row].what);
    for (int i = 0; i < n; i++)
        fci_cell(t->grid, t->tank->states[i].lacks
                              ? "-"
                              : value_of(t, row, &t->tank->states[i]));
}

void
fci_effects_tank_tables(struct fci_doc *doc, const fc_effects *effects)
{
    static const struct fci_doc_column columns[] = {
        { "", "", FCI_LEFT, 20 },
        { "existing", "", FCI_RIGHT, 9 },
        { "after retrofit", "", FCI_RIGHT, 9 },
    };
    static const struct fci_doc_column one[] = {
        { "", "", FCI_LEFT, 20 },
        { "", "", FCI_RIGHT, 9 },
    };
    struct table t = { doc, NULL, effects, effects->tank };
    const fc_tank_state *s;

    if (!t.tank)
        return;
    s = &t.tank->states[effects->state];
    t.grid = effects->converted ? fci_grid_new(doc, columns, 3)
                                : fci_grid_new(doc, one, 2);
    for (int row = 0; row < ROWS; row++)
        if (!(rows[row].pressure && t.tank->at_height)
            && !(row == DAYS && !t.tank->at_height))
            put_row(&t, (enum row)row);
    fci_doc_heading(doc, "Water of %s", t.tank->name);
    fci_doc_put(doc, t.grid);
    if (s->first)
        fci_doc_say(doc,
                    "First valve to fall below its minimum: %s, flushing "
                    "alone. In a row: flushes of %s. From the worst to the "
                    "best case: from the cut-in with the pump starting, to "
                    "the cut-out with it still running. Tanks large enough: "
                    "in the worst case, at the same pressures.",
                    s->first, s->thirsty ? s->thirsty : s->first);
}
