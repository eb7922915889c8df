/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/effects_restart.c -- water or power comes back: every valve, and
 * in which order to open the stops.
 */
#include "ground/ties.h"
#include "report/effects_report.h"
#include "report/shapes.h"
#include "report/words.h"

#include <limits.h>
#include <string.h>

/* ---- For programs ----------------------------------------------------- */

static const char *const doubt_list[] = { "none", "tank may be empty",
                                          "pump may stand still" };
static FCI_WORDS(doubt_words, doubt_list);

static const struct fci_member valve_rows[] = {
    FCI_TEXT(fc_restart_valve, name, "name", "The fixture"),
    FCI_TEXT(fc_restart_valve, on, "on", "The element that feeds it"),
    FCI_TEXT(fc_restart_valve, floor, "floor", "Its floor; null: not given"),
    FCI_INTEGER(fc_restart_valve, count, "count", "How many there are"),
    FCI_RANGE(fc_restart_valve, closes_at, "closes_at", FC_PRESSURE,
              "Least pressure at which it closes of itself; null: not known"),
    FCI_FLAG(fc_restart_valve, assumed, "closes_at_assumed",
             "Whether its minimum flowing stands for that"),
    FCI_RANGE(fc_restart_valve, all_open, "all_open", FC_PRESSURE,
              "At its inlet with every flush valve open"),
    FCI_RANGE(fc_restart_valve, alone, "alone", FC_PRESSURE,
              "The same with every other one shut"),
    FCI_WORD(fc_restart_valve, closes_all, "closes_all_open",
             &fci_verdict_words, "Whether it closes with every one open"),
    FCI_WORD(fc_restart_valve, closes_alone, "closes_alone",
             &fci_verdict_words, "Whether it closes alone"),
    FCI_INTEGER(fc_restart_valve, at_once, "at_once",
                "So many valves, whichever they are and itself among them, "
                "may run, and it closes: worst case; 0: not known"),
    FCI_RANGE(fc_restart_valve, volume, "water", FC_VOLUME,
              "Through it until it closes, alone"),
    FCI_WORD(fc_restart_valve, doubt, "doubt", &doubt_words,
             "Why it may not close though its pressure suffices"),
    FCI_FLAG(fc_restart_valve, loose, "not_searched",
             "Whether there are too many fixtures to search this one with "
             "every one open: all_open is then from a full vacuum to alone"),
};
static FCI_SHAPE(valve_shape, "restart_valve", fc_restart_valve, valve_rows,
                 "A flush valve when water returns");

static const struct fci_member step_rows[] = {
    FCI_TEXTS(fc_restart_step, places, n_places, "places",
              "Floors, or elements that feed the valves, in their order"),
    FCI_INTEGER(fc_restart_step, valves, "valves", "Flush valves there"),
    FCI_INTEGER(fc_restart_step, at_once, "at_once",
                "Stops that may be open there at a time; 0: not even one is "
                "sure to close"),
    FCI_RANGE(fc_restart_step, margin, "margin", FC_PRESSURE,
              "Of the valve with the least: alone, less what closes it"),
    FCI_RANGE(fc_restart_step, time, "time", FC_TIME,
              "Until all of them have closed"),
};
static FCI_SHAPE(step_shape, "restart_step", fc_restart_step, step_rows,
                 "Places at which as many stops may be open at a time");

static const struct fci_member state_rows[] = {
    FCI_FLAG(fc_restart_state, given, "calculated", "Whether it was"),
    FCI_INTEGER(fc_restart_state, valves, "valves", "Flush valves"),
    FCI_FIGURE(fc_restart_state, flow, "flow", FC_FLOW,
               "With every flush valve open, at midpoint values"),
    FCI_RANGE(fc_restart_state, least, "all_open", FC_PRESSURE,
              "With every one open, of the valve furthest below what closes "
              "it"),
    FCI_INTEGER(fc_restart_state, running_on, "running_on",
                "Valves not sure to close then"),
    FCI_WORD(fc_restart_state, closes_all, "closes_all_open",
             &fci_verdict_words, "Whether all close with every one open"),
    FCI_WORD(fc_restart_state, closes_alone, "closes_alone",
             &fci_verdict_words, "Whether each closes, opened alone"),
    FCI_INTEGER(fc_restart_state, at_once, "at_once",
                "Stops that may be open at a time, whichever they are: worst "
                "case; 0: not even one is sure to close"),
    FCI_RANGE(fc_restart_state, volume, "water", FC_VOLUME,
              "Through all of them until they have closed"),
    FCI_RANGE(fc_restart_state, time, "time", FC_TIME,
              "To open all stops in the order"),
    FCI_LIST(fc_restart_state, steps, n_steps, "order", &step_shape,
             "In which order to open stops"),
    FCI_LIST(fc_restart_state, list, n_list, "list", &valve_shape,
             "Every flush valve"),
};
static FCI_SHAPE(state_shape, "restart_state", fc_restart_state, state_rows,
                 "The return of water in one state");

static const struct fci_member restart_rows[] = {
    FCI_RANGE(fc_restart, refill, "refill", FC_TIME, "How long a valve runs"),
    FCI_OBJECT(fc_restart, states[FC_EXISTING], "existing", &state_shape,
               "Existing"),
    FCI_OBJECT(fc_restart, states[FC_RETROFIT], "retrofit", &state_shape,
               "After retrofit"),
};
FCI_SHAPE(fci_restart_shape, "restart", fc_restart, restart_rows,
          "Water or power comes back, and every flush valve opens");

/* ---- For people ------------------------------------------------------- */

/* That they close with all open: told of some, and not known of all. */
static bool
any_told(const fc_restart_state *told)
{
    for (size_t i = 0; i < told->n_list; i++)
        if (told->list[i].closes_all != FC_CANNOT_TELL)
            return true;
    return false;
}

static bool
any_vacuum(const fc_restart_state *told)
{
    for (size_t i = 0; i < told->n_list; i++)
        if (told->list[i].all_open.low < 0 && !told->list[i].loose)
            return true;
    return false;
}

static bool
any_loose(const fc_restart_state *told)
{
    for (size_t i = 0; i < told->n_list; i++)
        if (told->list[i].loose)
            return true;
    return false;
}

/* How many stops may be open at a time. */
static const char *
stops_said(struct fci_doc *doc, int at_once, int valves)
{
    return at_once == 0        ? "cannot tell"
           : at_once >= valves ? "all"
                               : fci_arena_printf(&doc->arena, "%d", at_once);
}

static void
put_valves(struct fci_doc *doc, const fc_restart_state *told)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const struct fci_doc_column columns[] = {
        { "fixture", "", FCI_LEFT, 10 },
        { "all open", p, FCI_RIGHT, 0 },
        { "alone", p, FCI_RIGHT, 0 },
        { "closes at", p, FCI_RIGHT, 0 },
        { "stops at\na time", "", FCI_RIGHT, 0 },
        { "all open,\nit closes", "", FCI_LEFT, 0 },
    };
    const bool closes_told = any_told(told);
    struct fci_grid *grid = fci_grid_new(doc, columns, closes_told ? 6 : 5);

    for (size_t i = 0; i < told->n_list; i++) {
        const fc_restart_valve *v = &told->list[i];
        const struct fci_figure closes =
            fci_figure_range(doc->units, FC_PRESSURE, v->closes_at);

        fci_cell(grid, v->name);
        fci_cell(
            grid,
            v->loose
                ? "not searched"
                : fci_figure_range(doc->units, FC_PRESSURE, v->all_open).text);
        fci_cell(grid,
                 fci_figure_range(doc->units, FC_PRESSURE, v->alone).text);
        fci_cell(grid, fci_arena_printf(
                           &doc->arena, "%s%s", closes.text,
                           v->assumed && v->closes_at.given ? " *" : ""));
        fci_cell(grid, stops_said(doc, v->at_once, INT_MAX));
        if (closes_told)
            fci_cell_tinted(grid,
                            v->closes_all == FC_WORKS ? "yes"
                            : v->closes_all == FC_WILL_NOT_WORK
                                ? "no"
                                : "cannot tell",
                            fci_verdict_tint(v->closes_all));
    }
    fci_part_table(doc, grid, 1);
}

/* "5 to 10": no digits that a rule of thumb does not bear. */
static const char *
roughly_said(struct fci_doc *doc, fc_dimension dimension, fc_range value)
{
    const double low = fc_from_si(doc->units, dimension, value.low);
    const double high = fc_from_si(doc->units, dimension, value.high);
    const int decimals = high < 10 && dimension != FC_TIME ? 1 : 0;
    const char *said =
        low < high ? fci_arena_printf(&doc->arena, "%s to %s",
                                      fci_figure_number(low, decimals).text,
                                      fci_figure_number(high, decimals).text)
                   : fci_arena_printf(&doc->arena, "%s",
                                      fci_figure_number(high, decimals).text);

    return said ? said : "";
}

/* "floor 9, floor 8 and 3 more" is no order: all of them are named. */
static const char *
places_said(struct fci_doc *doc, const fc_restart_step *step)
{
    const char *said = step->places[0];

    for (size_t i = 1; i < step->n_places; i++)
        said = fci_arena_printf(&doc->arena, "%s, %s", said, step->places[i]);
    return said ? said : "";
}

static void
put_order(struct fci_doc *doc, const fc_restart_state *told)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const struct fci_doc_column columns[] = {
        { "", "", FCI_RIGHT, 0 },
        { "in this order", "", FCI_LEFT, 16 },
        { "valves", "", FCI_RIGHT, 0 },
        { "stops at\na time", "", FCI_RIGHT, 0 },
        { "least\nmargin", p, FCI_RIGHT, 0 },
        { "takes", fc_unit_name(doc->units, FC_TIME), FCI_RIGHT, 0 },
    };
    struct fci_grid *grid =
        fci_grid_new(doc, columns, sizeof columns / sizeof *columns);

    for (size_t i = 0; i < told->n_steps; i++) {
        const fc_restart_step *step = &told->steps[i];

        fci_cell(grid, fci_arena_printf(&doc->arena, "%zu", i + 1));
        fci_cell(grid, places_said(doc, step));
        fci_cell(grid, fci_arena_printf(&doc->arena, "%d", step->valves));
        fci_cell(grid, stops_said(doc, step->at_once, step->valves));
        fci_cell(grid,
                 fci_figure_margin_range(doc->units, FC_PRESSURE, step->margin)
                     .text);
        fci_cell(grid, roughly_said(doc, FC_TIME, step->time));
    }
    fci_doc_put(doc, grid);
}

static bool
any_assumed(const fc_restart_state *told)
{
    for (size_t i = 0; i < told->n_list; i++)
        if (told->list[i].assumed)
            return true;
    return false;
}

static bool
same_range(fc_range a, fc_range b)
{
    return a.given == b.given
           && (!a.given
               || !(fci_is_less(a.low, b.low) || fci_is_less(b.low, a.low)
                    || fci_is_less(a.high, b.high)
                    || fci_is_less(b.high, a.high)));
}

/* Nothing in the tables of the two states differs. */
static bool
same_tables(const fc_restart *restart)
{
    const fc_restart_state *a = &restart->states[FC_EXISTING];
    const fc_restart_state *b = &restart->states[FC_RETROFIT];

    if (!a->given || !b->given || a->n_list != b->n_list
        || a->n_steps != b->n_steps || !same_range(a->volume, b->volume))
        return false;
    for (size_t i = 0; i < a->n_list; i++) {
        const fc_restart_valve *v = &a->list[i], *w = &b->list[i];

        if (strcmp(v->name, w->name) != 0 || v->at_once != w->at_once
            || v->closes_all != w->closes_all || v->assumed != w->assumed
            || !same_range(v->closes_at, w->closes_at)
            || !same_range(v->all_open, w->all_open)
            || !same_range(v->alone, w->alone))
            return false;
    }
    return true;
}

static bool
any_sure(const fc_restart_state *told)
{
    for (size_t i = 0; i < told->n_steps; i++)
        if (told->steps[i].at_once > 0)
            return true;
    return false;
}

static void
put_state(struct fci_doc *doc, const fc_restart *restart, fc_state state,
          const char *when)
{
    const fc_restart_state *told = &restart->states[state];

    if (!told->given)
        return;
    fci_doc_heading(doc, "Water or power comes back%s", when);
    put_valves(doc, told);
    if (any_vacuum(told))
        fci_doc_say(doc, "Below 0: a vacuum, that may draw foul water in.");
    if (any_loose(told))
        fci_doc_say(doc,
                    "Not searched, for there are too many fixtures: from a "
                    "full vacuum to the pressure alone.");
    if (any_assumed(told))
        fci_doc_say(doc,
                    "* No \"closes at\" is given: its minimum flowing. Below "
                    "it whether a valve closes is not known. To settle it: "
                    "the pressure at which it closes, from its data sheet.");
    put_order(doc, told);
    fci_doc_say(
        doc,
        "Shut the stops before water returns. %s, %s %s each: about %s %s of "
        "water in all. A valve that runs "
        "takes pressure from the others and one that has closed takes none, "
        "so the place with the least margin comes first: no valve that won't "
        "shut off later can hold it open.",
        any_sure(told)
            ? "Open them place by place, at most so many at a time, and wait "
              "until those valves have closed"
            : "Open one at a time, and wait until its valve has closed",
        roughly_said(doc, FC_TIME, restart->refill),
        fc_unit_name(doc->units, FC_TIME),
        roughly_said(doc, FC_VOLUME, told->volume),
        fc_unit_name(doc->units, FC_VOLUME));
}

void
fci_effects_restart_tables(struct fci_doc *doc, const fc_effects *effects)
{
    const fc_restart *restart = effects->restart;

    if (!restart)
        return;
    if (effects->converted && same_tables(restart)) {
        put_state(doc, restart, FC_RETROFIT, ", existing and after retrofit");
        return;
    }
    for (int s = 0; s < (effects->converted ? FC_STATES : 1); s++)
        put_state(doc, restart, (fc_state)s, fci_state_said(doc, (fc_state)s));
}
