/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/remedy_shape.c -- what `size --remedy` tells programs. */
#include "report/report.h"
#include "report/shapes.h"
#include "report/size_shape.h"

/* ---- Options ---------------------------------------------------------- */

static const void *
option_number(struct fci_at at, union fci_value *room)
{
    const struct fci_remedies_view *view = at.root;
    const fc_remedy *r = at.object;

    room->count = (size_t)(r - view->remedies->remedies) + 1;
    return &room->count;
}

static const void *
option_kind(struct fci_at at, union fci_value *room)
{
    room->text = fc_lever_word(((const fc_remedy *)at.object)->lever);
    return &room->text;
}

static const char *const reach_list[] = { "in reach", "by the utility",
                                          "not made", "only a double check" };
static FCI_WORDS(reach_words, reach_list);

static const struct fci_member option_rows[] = {
    FCI_GET("number", FCI_M_COUNT, FC_NUMBER, option_number, "For --pick"),
    FCI_GET("kind", FCI_M_TEXT, FC_NUMBER, option_kind, "What is changed"),
    FCI_FLAG(fc_remedy, works, "works",
             "Alone it makes the building work: so changed it passed check"),
    FCI_WORD_IF(fc_remedy, too_high, works, "too_high", &fci_too_high_words,
                "Where it works: whether too much pressure stays"),
    FCI_WORD(fc_remedy, reach, "reach", &reach_words,
             "Whether it can be had: in reach; a city main, which is the "
             "utility's; no device that loses that little is made; or only "
             "a double check is, where the site does not say which stands"),
    FCI_TEXT(fc_remedy, subject, "subject",
             "The element, valve or fixtures; null: pipes"),
    FCI_TEXT(fc_remedy, text, "text", "What to do, or why it does not work"),
    FCI_FIGURE_OF(fc_remedy, value, "pressure", FC_PRESSURE,
                  "The pressure it takes: set, static, loss or valve minimum"),
    FCI_FIGURE_OF(fc_remedy, now, "pressure_now", FC_PRESSURE,
                  "What it is now"),
    FCI_FIGURE_OF(fc_remedy, value, "head", FC_LENGTH,
                  "The head it takes, or the water level"),
    FCI_FIGURE_OF(fc_remedy, now, "head_now", FC_LENGTH, "What it is now"),
    FCI_TEXT(fc_remedy, fixture, "limited_by",
             "The fixture that governs; null: none"),
    FCI_NUMBER(fc_remedy, cost, "cost", "Of the pipes replaced; 0: none"),
    FCI_NUMBER(fc_remedy, price, "price",
               "Of all that it takes, by [price] and [prices]; null: not all "
               "of that has a price, or it does not work"),
    FCI_FIGURE(fc_remedy, new_pipe, "new_pipe", FC_LENGTH,
               "Length of a pipe put in: at most so long, or as long as those "
               "that it runs beside; null: none"),
    FCI_FIGURE(fc_remedy, gain, "gain", FC_PRESSURE,
               "With it, at peak; the most where it may be shorter"),
    FCI_TEXT(fc_remedy, gains, "gain_at", "The fixture that gains"),
};
static FCI_SHAPE(option_shape, "option", fc_remedy, option_rows,
                 "One option, every input at its worst");

static const struct fci_member option_pipe_rows[] = {
    FCI_COUNT(struct fci_option_pipe, option, "option",
              "The number of the option that replaces it"),
    FCI_SPREAD(struct fci_option_pipe, pipe, &fci_sized_pipe_shape),
};
static FCI_SHAPE(option_pipe_shape, "option_pipe", struct fci_option_pipe,
                 option_pipe_rows, "A pipe that an option replaces");

/* ---- New pipe --------------------------------------------------------- */

static const void *
way_word(struct fci_at at, union fci_value *room)
{
    room->text = fc_pipe_way_word(((const fc_pipe_gain *)at.object)->way);
    return &room->text;
}

static const struct fci_member gain_rows[] = {
    FCI_GET("kind", FCI_M_TEXT, FC_NUMBER, way_word,
            "\"larger\", \"second\" or \"loop\""),
    FCI_TEXT(fc_pipe_gain, where, "where", "The pipes that it is about"),
    FCI_TEXT(fc_pipe_gain, size, "size", "Nominal, of the new pipe"),
    FCI_FIGURE(fc_pipe_gain, length, "length", FC_LENGTH, "Of the new pipe"),
    FCI_FIGURE(fc_pipe_gain, gain, "gain_at_peak", FC_PRESSURE,
               "Worst case; null: not known, of a loop"),
    FCI_FIGURE(fc_pipe_gain, together, "gain_together", FC_PRESSURE,
               "Nominal, while the valves flush that starve it"),
};
static FCI_SHAPE(gain_shape, "pipe_gain", fc_pipe_gain, gain_rows,
                 "What new pipe gains the fixture that governs");

static const struct fci_member purchase_rows[] = {
    FCI_TEXT(fc_purchase, what, "what",
             "The key of its price in [price]; pipes: [prices]"),
    FCI_NUMBER(fc_purchase, count, "count", "How many"),
    FCI_NUMBER(fc_purchase, price, "price",
               "Of all of them; null: no price is given"),
};
static FCI_SHAPE(purchase_shape, "purchase", fc_purchase, purchase_rows,
                 "What is bought");

static const struct fci_member option_purchase_rows[] = {
    FCI_COUNT(struct fci_option_purchase, option, "option",
              "The number of the option that takes it"),
    FCI_SPREAD(struct fci_option_purchase, purchase, &purchase_shape),
};
static FCI_SHAPE(option_purchase_shape, "option_purchase",
                 struct fci_option_purchase, option_purchase_rows,
                 "What an option that works takes");

/* ---- Floors and PRVs -------------------------------------------------- */

static const struct fci_member floor_rows[] = {
    FCI_FIGURE(fc_floor_minimum, elevation, "elevation", FC_LENGTH,
               "Of the fixtures' inlets"),
    FCI_TEXT(fc_floor_minimum, fixture, "fixture",
             "The one with the least pressure there"),
    FCI_FIGURE(fc_floor_minimum, most, "minimum_at_most", FC_PRESSURE,
               "The highest valve minimum that works"),
    FCI_FIGURE(fc_floor_minimum, needed, "valve_minimum", FC_PRESSURE,
               "The highest minimum of the valves there; null: none"),
    FCI_FIGURE(fc_floor_minimum, code, "code_minimum", FC_PRESSURE,
               "The code minimum there; null: none counts"),
};
static FCI_SHAPE(floor_shape, "floor_minimum", fc_floor_minimum, floor_rows,
                 "Valve minimums by elevation");

static const struct fci_member zone_rows[] = {
    FCI_FLAG(fc_reducer_zone, possible, "possible",
             "One set pressure serves all of it"),
    FCI_FIGURE(fc_reducer_zone, lowest, "lowest", FC_LENGTH,
               "Elevation of the lowest inlet"),
    FCI_FIGURE(fc_reducer_zone, highest, "highest", FC_LENGTH,
               "Elevation of the highest inlet"),
    FCI_FIGURE(fc_reducer_zone, low, "set_at_least", FC_PRESSURE,
               "The lowest set pressure that works"),
    FCI_FIGURE(fc_reducer_zone, high, "set_at_most", FC_PRESSURE,
               "The highest; null: no limit"),
    FCI_TEXT(fc_reducer_zone, short_first, "short_first",
             "The fixture that is short below it; null: none"),
    FCI_TEXT(fc_reducer_zone, high_first, "high_first",
             "The fixture with too much above it; null: none"),
};
static FCI_SHAPE(zone_shape, "set_pressures", fc_reducer_zone, zone_rows,
                 "Set pressures of a PRV");

static const struct fci_member window_rows[] = {
    FCI_TEXT(fc_reducer_window, reducer, "prv",
             "The PRV; null: one that would stand"),
    FCI_TEXT(fc_reducer_window, behind, "upstream", "What feeds it"),
    FCI_RANGE(fc_reducer_window, set, "set", FC_PRESSURE,
              "Its set pressure; null: it is not there"),
    FCI_FIGURE(fc_reducer_window, reaches, "reaches", FC_PRESSURE,
               "What it can pass at peak, however it is set"),
    FCI_SPREAD_IN(fc_reducer_window, all, &zone_shape),
};
static FCI_SHAPE(window_shape, "prv_window", fc_reducer_window, window_rows,
                 "Set pressures that keep all fixtures downstream above what "
                 "is required and below their maximum");

static const struct fci_member window_name_rows[] = {
    FCI_TEXT(fc_reducer_window, reducer, "prv",
             "The PRV that cannot serve all; null: one that would stand"),
};
static FCI_SHAPE(window_name_shape, "prv_name", fc_reducer_window,
                 window_name_rows, "A PRV");

static const struct fci_member prv_zone_rows[] = {
    FCI_SPREAD(struct fci_prv_zone, window, &window_name_shape),
    FCI_SPREAD(struct fci_prv_zone, zone, &zone_shape),
};
static FCI_SHAPE(prv_zone_shape, "prv_zone", struct fci_prv_zone,
                 prv_zone_rows,
                 "A zone for a PRV of its own, where one cannot serve all");

/* ---- The whole -------------------------------------------------------- */

static const struct fci_member check_rows[] = {
    FCI_LIST(fc_check_result, contradictions, n_contradictions,
             "contradictions", &fci_contradiction_shape,
             "Readings that contradict the file or each other"),
    FCI_SPREAD_ITSELF(&fci_told_shape),
};
static FCI_SHAPE(check_shape, "checked", fc_check_result, check_rows,
                 "What check found");

static const void *
lowest_number(struct fci_at at, union fci_value *room)
{
    const fc_remedies *all = at.object;

    if (all->lowest >= all->n_remedies)
        return NULL;
    room->count = all->lowest + 1;
    return &room->count;
}

static const struct fci_member head_rows[] = {
    FCI_TEXT(fc_remedies, title, "title", "Title of the site"),
    FCI_WORD(fc_remedies, state, "state", &fci_state_words,
             "The state that is to work"),
    FCI_WORD(fc_remedies, works, "verdict", &fci_verdict_words,
             "Of the building as it is given"),
    FCI_WORD(fc_remedies, too_high, "too_high", &fci_too_high_words,
             "Whether a fixture has too much pressure"),
    FCI_FLAG(fc_remedies, untested, "no_flow_test",
             "The main has no flow test: the options are for one that does "
             "not drop"),
    FCI_GET("lowest_price_option", FCI_M_COUNT, FC_NUMBER, lowest_number,
            "The number of the option with the lowest price known, of those "
            "in reach that leave nothing too high; null: none"),
    FCI_FLAG_WORD(fc_remedies, by_prices, "cost_unit", &fci_cost_words,
                  "What costs are in: nominal inches times feet, or [prices]"),
    FCI_LIST(fc_remedies, remedies, n_remedies, "options", &option_shape,
             "The options, by number"),
};
static FCI_SHAPE(head_shape, "options", fc_remedies, head_rows, "Options");

static const struct fci_member tail_rows[] = {
    FCI_TEXTS(fc_remedies, unpriced, n_unpriced, "unpriced",
              "What has no price and may make another option cost less"),
    FCI_TEXT(fc_remedies, governing, "gains_at",
             "The fixture that pipe_gains are of; null: none"),
    FCI_LIST(fc_remedies, gains, n_gains, "pipe_gains", &gain_shape,
             "Pressure gained by new pipe, most for its length first"),
    FCI_LIST(fc_remedies, floors, n_floors, "floors", &floor_shape,
             "The highest valve minimum that works, from the top down"),
    FCI_LIST(fc_remedies, windows, n_windows, "prv_windows", &window_shape,
             "Set pressures of PRVs"),
    FCI_SPREAD(fc_remedies, check, &check_shape),
};
static FCI_SHAPE(tail_shape, "options_tail", fc_remedies, tail_rows,
                 "What else is told");

static const struct fci_member remedies_rows[] = {
    FCI_SPREAD(struct fci_remedies_view, remedies, &head_shape),
    FCI_LIST(struct fci_remedies_view, pipes, n_pipes, "option_pipes",
             &option_pipe_shape, "The pipes that options replace"),
    FCI_LIST(struct fci_remedies_view, purchases, n_purchases,
             "option_purchases", &option_purchase_shape,
             "What options take that work"),
    FCI_LIST(struct fci_remedies_view, zones, n_zones, "prv_zones",
             &prv_zone_shape, "Zones, where one PRV cannot serve all"),
    FCI_SPREAD(struct fci_remedies_view, remedies, &tail_shape),
};
FCI_SHAPE(fci_remedies_shape, "remedies", struct fci_remedies_view,
          remedies_rows, "What makes a building work that does not");

/* ---- Lists laid flat -------------------------------------------------- */

static bool
lay_pipes(struct fci_arena *arena, struct fci_remedies_view *view)
{
    const fc_remedies *all = view->remedies;
    struct fci_option_pipe *pipes;
    size_t n = 0;

    for (size_t i = 0; i < all->n_remedies; i++)
        n += all->remedies[i].n_pipes;
    pipes = fci_arena_array(arena, n + 1, sizeof *pipes);
    if (!pipes)
        return false;
    n = 0;
    for (size_t i = 0; i < all->n_remedies; i++)
        for (size_t k = 0; k < all->remedies[i].n_pipes; k++)
            pipes[n++] =
                (struct fci_option_pipe){ i + 1, &all->remedies[i].pipes[k] };
    view->pipes = pipes;
    view->n_pipes = n;
    return true;
}

static bool
lay_purchases(struct fci_arena *arena, struct fci_remedies_view *view)
{
    const fc_remedies *all = view->remedies;
    struct fci_option_purchase *list;
    size_t n = 0;

    for (size_t i = 0; i < all->n_remedies; i++)
        n += all->remedies[i].n_purchases;
    list = fci_arena_array(arena, n + 1, sizeof *list);
    if (!list)
        return false;
    n = 0;
    for (size_t i = 0; i < all->n_remedies; i++)
        for (size_t k = 0; k < all->remedies[i].n_purchases; k++)
            list[n++] =
                (struct fci_option_purchase){ i + 1,
                                              &all->remedies[i].purchases[k] };
    view->purchases = list;
    view->n_purchases = n;
    return true;
}

static bool
lay_zones(struct fci_arena *arena, struct fci_remedies_view *view)
{
    const fc_remedies *all = view->remedies;
    struct fci_prv_zone *zones;
    size_t n = 0;

    for (size_t i = 0; i < all->n_windows; i++)
        n += all->windows[i].n_zones;
    zones = fci_arena_array(arena, n + 1, sizeof *zones);
    if (!zones)
        return false;
    n = 0;
    for (size_t i = 0; i < all->n_windows; i++)
        for (size_t k = 0; k < all->windows[i].n_zones; k++)
            zones[n++] = (struct fci_prv_zone){ &all->windows[i],
                                                &all->windows[i].zones[k] };
    view->zones = zones;
    view->n_zones = n;
    return true;
}

bool
fci_remedies_lay(struct fci_arena *arena, void *view)
{
    return lay_pipes(arena, view) && lay_purchases(arena, view)
           && lay_zones(arena, view);
}
