/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/effects_tank.c -- how long the water of a tank lasts. */
#include "effects/tank_times.h"
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
             "Whether in the worst case it lasts in 95 of 100 of those times, "
             "flushes begun at random"),
    FCI_FIGURE(fc_tank_state, refill_best, "refill_best", FC_TIME,
               "From cut-in to cut-out; null: it is not filled"),
    FCI_FIGURE(fc_tank_state, refill_worst, "refill_worst", FC_TIME,
               "The same in the worst case"),
    FCI_FIGURE(fc_tank_state, volume_for_row, "volume_for_row", FC_VOLUME,
               "Of a tank that gives each flush valve a flush in a row in the "
               "worst case; null: none does"),
    FCI_FIGURE(fc_tank_state, volume_for_busy, "volume_for_busy", FC_VOLUME,
               "Of one that lasts through the busiest minutes in the worst "
               "case; null: none does"),
    FCI_WORD(fc_tank_state, row, "one_flush", &fci_verdict_words,
             "Whether the water lasts for a flush"),
    FCI_WORD(fc_tank_state, busy, "busiest_minutes", &fci_verdict_words,
             "Whether it lasts through the busiest minutes"),
    FCI_RANGE(
        fc_tank_state, a_day, "a_day", FC_VOLUME,
        "Water on a day of use: of flush valves, what has a draw per day "
        "and steady demands"),
    FCI_TEXT(fc_tank_state, not_counted, "not_counted",
             "A fixture whose draw is not known, so that it is not in that"),
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

/* Times of a row, worst and best, one state after the other. */
struct times {
    double of[2 * FC_STATES];
    struct fci_tank_unit unit;
};

/* "6.0 to 12.0 min", "any time". */
static const char *
time_text(const struct table *t, const struct times *times,
          const fc_tank_state *s, const char *never)
{
    const int state = s == &t->tank->states[FC_EXISTING] ? 0 : 1;
    const double worst = times->of[2 * state], best = times->of[2 * state + 1];
    const double one = isnan(best) ? worst : best;
    const char *said;

    if (isnan(one))
        return never;
    said = fci_tank_times(&t->doc->arena, &times->unit,
                          isnan(worst) ? one : worst, one);
    if (said && (isnan(best) || isnan(worst)))
        said = fci_arena_printf(&t->doc->arena, "%s or %s", said, never);
    return said ? said : "";
}

/* Below its precharge a tank is empty. */
static const char *
least_text(const struct table *t, const fc_tank_state *s)
{
    const fc_range empty = t->tank->precharge;
    const char *text, *least = range_text(t, FC_PRESSURE, s->least);

    if (s->least.given && isinf(s->least.low))
        return "at any pressure";
    if (s->least.given && isinf(s->least.high)) {
        text = fci_arena_printf(
            &t->doc->arena, "%s, or at any pressure",
            range_text(t, FC_PRESSURE, fc_exactly(s->least.low)));
        return text ? text : "";
    }
    if (!s->least.given || s->least.low >= empty.high)
        return least;
    text = fci_arena_printf(&t->doc->arena, "%s; %sempty at %s", least,
                            s->least.high <= empty.low ? "" : "maybe ",
                            range_text(t, FC_PRESSURE, empty));
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
volume_text(const struct table *t, const fc_tank_state *s, double volume)
{
    if (isnan(volume))
        return fci_tank_none(t->tank, s);
    return volume > 0 ? range_text(t, FC_VOLUME, fc_exactly(volume)) : "any";
}

static const char *
day_text(const struct table *t, const fc_tank_state *s)
{
    const char *said = range_text(t, FC_VOLUME, s->a_day);

    if (s->a_day.given && s->not_counted)
        said = fci_arena_printf(&t->doc->arena, "%s and what %s draws", said,
                                s->not_counted);
    return said ? said : "";
}

static const char *
days_text(const struct table *t, const struct times *times,
          const fc_tank_state *s)
{
    const char *said = time_text(t, times, s, "-");

    if (s->days.given && s->not_counted)
        said = fci_arena_printf(&t->doc->arena, "at most %s", said);
    return said ? said : "";
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
    [A_DAY] = { "water on a day of use", false },
    [DAYS] = { "lasts at that, nothing coming in", false },
};

static const char *
value_of(const struct table *t, enum row row, const struct times *times,
         const fc_tank_state *s)
{
    switch (row) {
    case LEAST:
        return least_text(t, s);
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
        return time_text(t, times, s, "any time");
    case REFILL:
        return time_text(t, times, s, "not at all");
    case FOR_ROW:
        return volume_text(t, s, s->volume_for_row);
    case FOR_BUSY:
        return volume_text(t, s, s->volume_for_busy);
    case A_DAY:
        return day_text(t, s);
    case DAYS:
        return days_text(t, times, s);
    case ROWS:
        break;
    }
    return "";
}

/* NAN: of no time. */
static struct times
times_of(const struct table *t, enum row row)
{
    struct times times;

    for (int i = 0; i < FC_STATES; i++) {
        const fc_tank_state *s = &t->tank->states[i];
        const bool is = (i == 0 || t->effects->converted) && !s->lacks;
        double *to = &times.of[2 * i];

        to[0] = to[1] = NAN;
        if (is && row == LASTS) {
            to[0] = s->lasts_worst;
            to[1] = s->lasts_best;
        } else if (is && row == REFILL) {
            to[0] = s->refill_worst;
            to[1] = s->refill_best;
        } else if (is && row == DAYS && s->days.given) {
            to[0] = s->days.low;
            to[1] = s->days.high;
        }
    }
    times.unit = fci_tank_unit_of(times.of, 2 * FC_STATES);
    return times;
}

static void
put_row(const struct table *t, enum row row, bool same)
{
    const int n = t->effects->converted && !same ? FC_STATES : 1;
    const struct times times = times_of(t, row);

    fci_cell(t->grid, rows[row].what);
    for (int i = 0; i < n; i++)
        fci_cell(t->grid, t->tank->states[i].lacks
                              ? "-"
                              : value_of(t, row, &times, &t->tank->states[i]));
}

static bool
is_told(const struct table *t, int row)
{
    return !(rows[row].pressure && t->tank->at_height)
           && !(row == DAYS && !t->tank->at_height);
}

/* Whether a reader sees the same of both states. */
static bool
both_alike(const struct table *t)
{
    const fc_tank_state *s = t->tank->states;

    for (int row = 0; row < ROWS && t->effects->converted; row++) {
        const struct times times = times_of(t, (enum row)row);

        if (is_told(t, row)
            && strcmp(s[0].lacks ? "-" : value_of(t, (enum row)row, &times, s),
                      s[1].lacks ? "-"
                                 : value_of(t, (enum row)row, &times, s + 1))
                   != 0)
            return false;
    }
    return t->effects->converted;
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
    bool same;

    if (!t.tank)
        return;
    s = &t.tank->states[effects->state];
    same = both_alike(&t);
    t.grid = effects->converted && !same ? fci_grid_new(doc, columns, 3)
                                         : fci_grid_new(doc, one, 2);
    for (int row = 0; row < ROWS; row++)
        if (is_told(&t, row))
            put_row(&t, (enum row)row, same);
    fci_doc_heading(doc, "Water of %s%s", t.tank->name,
                    same ? ", existing and after retrofit" : "");
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
