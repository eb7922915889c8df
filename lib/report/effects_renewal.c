/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/effects_renewal.c -- how often water is renewed, pipe by pipe. */
#include "effects/idle.h"
#include "report/effects_report.h"
#include "report/shapes.h"

#include <string.h>

/* ---- For programs ----------------------------------------------------- */

static const struct fci_member pipe_state_rows[] = {
    FCI_RANGE(fc_pipe_renewal, turnovers, "turnovers", FC_NUMBER,
              "Of its contents on a day of use; null: nothing is known to "
              "flow"),
    FCI_RANGE(fc_pipe_renewal, turnovers_of_year, "turnovers_of_year",
              FC_NUMBER,
              "A day in the mean over the year; null: it is used every day"),
    FCI_RANGE(fc_pipe_renewal, residence, "residence", FC_TIME,
              "Mean time that water takes through it on days of use"),
    FCI_FLAG(fc_pipe_renewal, at_least, "at_least",
             "Something downstream is not known to draw"),
};
static FCI_SHAPE(pipe_state_shape, "pipe_renewal", fc_pipe_renewal,
                 pipe_state_rows, "A pipe in one state");

static const struct fci_member pipe_rows[] = {
    FCI_TEXT(fc_renewed_pipe, name, "name", "Its name"),
    FCI_RANGE(fc_renewed_pipe, contents, "contents", FC_VOLUME, "Water in it"),
    FCI_FLAG(fc_renewed_pipe, dead_end, "dead_end",
             "Nothing draws downstream"),
    FCI_OBJECT(fc_renewed_pipe, states[FC_EXISTING], "existing",
               &pipe_state_shape, "Existing"),
    FCI_OBJECT(fc_renewed_pipe, states[FC_RETROFIT], "retrofit",
               &pipe_state_shape, "After retrofit"),
};
static FCI_SHAPE(pipe_shape, "renewed_pipe", fc_renewed_pipe, pipe_rows,
                 "A pipe and how often its water is renewed");

static const struct fci_member outlet_rows[] = {
    FCI_TEXT(fc_aged_outlet, name, "name", "Its name"),
    FCI_RANGE(fc_aged_outlet, residence[FC_EXISTING], "existing", FC_TIME,
              "Mean time from the source, through pipes, of what it draws, "
              "existing; null: it is not known to draw"),
    FCI_RANGE(fc_aged_outlet, residence[FC_RETROFIT], "retrofit", FC_TIME,
              "The same after retrofit"),
    FCI_FLAG(fc_aged_outlet, at_most[FC_EXISTING], "existing_at_most",
             "Others on its way are not known to draw, existing"),
    FCI_FLAG(fc_aged_outlet, at_most[FC_RETROFIT], "retrofit_at_most",
             "The same after retrofit"),
};
static FCI_SHAPE(outlet_shape, "aged_outlet", fc_aged_outlet, outlet_rows,
                 "A fixture and the age of its water");

static const struct fci_member extra_rows[] = {
    FCI_TEXT(fc_extra_flushes, fixture, "fixture", "Which is flushed"),
    FCI_COUNT(fc_extra_flushes, flushes, "flushes", "A day"),
    FCI_FIGURE(fc_extra_flushes, volume, "volume", FC_VOLUME, "Of one"),
};
static FCI_SHAPE(extra_shape, "extra_flushes", fc_extra_flushes, extra_rows,
                 "Flushes beside its use");

/* The name of a pipe or an outlet by its number. */
static const void *
least_of(struct fci_at at, union fci_value *room)
{
    const fc_renewal *renewal =
        ((const struct fci_effects_view *)at.root)->effects->renewal;
    const size_t least = ((const fc_renewal_state *)at.object)->least;

    room->text = least == SIZE_MAX ? NULL : renewal->pipes[least].name;
    return room->text ? &room->text : NULL;
}

static const void *
oldest_of(struct fci_at at, union fci_value *room)
{
    const fc_renewal *renewal =
        ((const struct fci_effects_view *)at.root)->effects->renewal;
    const size_t oldest = ((const fc_renewal_state *)at.object)->oldest;

    room->text = oldest == SIZE_MAX ? NULL : renewal->outlets[oldest].name;
    return room->text ? &room->text : NULL;
}

static const struct fci_member state_rows[] = {
    FCI_COUNT(fc_renewal_state, seldom, "below_once",
              "Pipes surely renewed less than once on a day of use"),
    FCI_COUNT(
        fc_renewal_state, maybe, "maybe_below_once",
        "Pipes of which that depends on ranges, or on draws that are not "
        "known"),
    FCI_COUNT(fc_renewal_state, unknown, "unknown",
              "Pipes through which nothing is known to flow"),
    FCI_GET("least", FCI_M_TEXT, FC_NUMBER, least_of,
            "The pipe with the fewest turnovers; null: none is known"),
    FCI_GET("oldest", FCI_M_TEXT, FC_NUMBER, oldest_of,
            "The fixture with the longest mean time; null: none is known"),
    FCI_LIST(fc_renewal_state, extra, n_extra, "extra_flushes", &extra_shape,
             "With which every pipe upstream of a flush valve is renewed once "
             "on a day of use"),
    FCI_FIGURE(fc_renewal_state, extra_water, "extra_water", FC_VOLUME,
               "What those take a day"),
    FCI_FIGURE(fc_renewal_state, least_water, "least_water", FC_VOLUME,
               "No way takes less"),
    FCI_FLAG(fc_renewal_state, fewest, "fewest",
             "No fewer flushes do it, as all valves flush one volume"),
    FCI_COUNT(fc_renewal_state, not_flushed, "not_flushed",
              "Pipes that lag and have no flush valve downstream"),
};
static FCI_SHAPE(state_shape, "renewal_state", fc_renewal_state, state_rows,
                 "Renewal in one state");

static const struct fci_member renewal_rows[] = {
    FCI_RANGE(fc_renewal, contents, "contents", FC_VOLUME,
              "Water in all pipes"),
    FCI_RANGE(fc_renewal, days, "days", FC_NUMBER,
              "Days of use a year; null: not known"),
    FCI_COUNT(fc_renewal, dead_ends, "dead_ends", "Pipes that feed nothing"),
    FCI_FIGURE(fc_renewal, dead_contents, "dead_contents", FC_VOLUME,
               "Water in those"),
    FCI_OBJECT(fc_renewal, states[FC_EXISTING], "existing", &state_shape,
               "Existing"),
    FCI_OBJECT(fc_renewal, states[FC_RETROFIT], "retrofit", &state_shape,
               "After retrofit"),
    FCI_LIST(fc_renewal, pipes, n_pipes, "pipes", &pipe_shape,
             "All pipes, each after the one that feeds it"),
    FCI_LIST(fc_renewal, outlets, n_outlets, "outlets", &outlet_shape,
             "All fixtures"),
};
FCI_SHAPE(fci_renewal_shape, "renewal", fc_renewal, renewal_rows,
          "How often the water in the pipes is renewed");

/* ---- For people ------------------------------------------------------- */

static const char *
hedged(struct fci_doc *doc, const char *hedge, const char *said)
{
    const char *text =
        fci_arena_printf(&doc->arena, "%s%s", hedge ? hedge : "", said);

    return text ? text : "";
}

/* "0.21..0.62" */
static const char *
turns(struct fci_doc *doc, fc_range turnovers)
{
    const int decimals = turnovers.high < 10    ? 2
                         : turnovers.high < 100 ? 1
                                                : 0;
    const struct fci_figure low = fci_figure_number(turnovers.low, decimals);
    const struct fci_figure high = fci_figure_number(turnovers.high, decimals);
    const char *text =
        strcmp(low.text, high.text) == 0
            ? fci_arena_printf(&doc->arena, "%s", low.text)
            : fci_arena_printf(&doc->arena, "%s..%s", low.text, high.text);

    return text ? text : "";
}

static void
put_turns(struct fci_doc *doc, struct fci_grid *table,
          const fc_renewed_pipe *pipe, fc_range turnovers, bool at_least)
{
    fci_cell(table, pipe->dead_end ? "dead end"
                    : !turnovers.given
                        ? "-"
                        : hedged(doc, at_least ? "at least " : NULL,
                                 turns(doc, turnovers)));
}

static void
put_pipes(struct fci_doc *doc, const fc_renewal *renewal, fc_state last)
{
    const struct fci_doc_column columns[] = {
        { "pipe", "", FCI_LEFT, 10 },
        { "contents", fc_unit_name(doc->units, FC_VOLUME), FCI_RIGHT, 0 },
        { "turnovers\na day", "", FCI_RIGHT, 0 },
        { "\nyear's mean", "", FCI_RIGHT, 0 },
    }, both[] = {
        columns[0],
        columns[1],
        { "turnovers a day\nexisting", "", FCI_RIGHT, 0 },
        { "\nafter retrofit", "", FCI_RIGHT, 0 },
        columns[3],
    };
    const bool year = renewal->days.given && renewal->days.low < FCI_YEAR_DAYS;
    const size_t n = (doc->converted ? 4u : 3u) + (year ? 1 : 0);
    struct fci_grid *table =
        fci_grid_new(doc, doc->converted ? both : columns, n);

    fci_doc_heading(doc, "Water in the pipes");
    for (size_t i = 0; i < renewal->n_pipes; i++) {
        const fc_renewed_pipe *pipe = &renewal->pipes[i];

        fci_cell(table, pipe->name);
        fci_cell(table,
                 fci_figure_range(doc->units, FC_VOLUME, pipe->contents).text);
        for (int s = 0; s <= (int)last; s++)
            put_turns(doc, table, pipe, pipe->states[s].turnovers,
                      pipe->states[s].at_least);
        if (year)
            put_turns(doc, table, pipe, pipe->states[last].turnovers_of_year,
                      pipe->states[last].at_least);
    }
    fci_part_table(doc, table, 1);
    fci_doc_say(doc,
                "Turnovers: how often on a day of use what flows fills the "
                "pipe anew%s. At least: something downstream draws an amount "
                "that is not known. -: nothing is known to flow.",
                !year            ? ""
                : doc->converted ? "; year's mean: a day after retrofit, idle "
                                   "days counted"
                                 : "; year's mean: idle days counted");
}

#define HOUR 3600.0

static const char *
hours(struct fci_doc *doc, fc_range time)
{
    const fc_range range = { time.given, time.nominal / HOUR, time.low / HOUR,
                             time.high / HOUR };

    return turns(doc, range);
}

static void
put_outlets(struct fci_doc *doc, const fc_renewal *renewal)
{
    const struct fci_doc_column columns[] = {
        { "fixture", "", FCI_LEFT, 10 },
        { doc->converted ? "mean time in pipes\nexisting"
                         : "mean time\nin pipes",
          "h", FCI_RIGHT, 0 },
        { "\nafter retrofit", "h", FCI_RIGHT, 0 },
    };
    const int states = doc->converted ? FC_STATES : 1;
    struct fci_grid *table = fci_grid_new(doc, columns, (size_t)(1 + states));
    size_t rows = 0;

    for (size_t i = 0; i < renewal->n_outlets; i++) {
        const fc_aged_outlet *outlet = &renewal->outlets[i];

        if (!outlet->residence[FC_EXISTING].given
            && !outlet->residence[FC_RETROFIT].given)
            continue;
        if (rows++ == 0)
            fci_doc_heading(doc, "Age of the water at fixtures");
        fci_cell(table, outlet->name);
        for (int s = 0; s < states; s++)
            fci_cell(table, outlet->residence[s].given ? hedged(
                                doc, outlet->at_most[s] ? "at most " : NULL,
                                hours(doc, outlet->residence[s]))
                                                       : "-");
    }
    if (rows == 0)
        return;
    fci_part_table(doc, table, 1);
    fci_doc_say(doc,
                "Mean over all that passes these pipes, day and night of days "
                "of use. A fixture that draws little at a time has older "
                "water, one that draws much has younger, by up to about the "
                "time between two draws.");
}

static void
put_extra(struct fci_doc *doc, const fc_renewal_state *state)
{
    const struct fci_doc_column columns[] = {
        { "fixture", "", FCI_LEFT, 10 },
        { "flushes\na day", "", FCI_RIGHT, 0 },
        { "of", fc_unit_name(doc->units, FC_VOLUME), FCI_RIGHT, 0 },
    };
    struct fci_grid *table;

    if (state->n_extra == 0)
        return;
    table = fci_grid_new(doc, columns, 3);
    fci_doc_heading(doc,
                    "Flushes that renew the pipes on their way once a day");
    for (size_t i = 0; i < state->n_extra; i++) {
        fci_cell(table, state->extra[i].fixture);
        fci_cell(table,
                 fci_figure_number((double)state->extra[i].flushes, 0).text);
        fci_cell(
            table,
            fci_figure_of(doc->units, FC_VOLUME, state->extra[i].volume).text);
    }
    fci_part_table(doc, table, 1);
    fci_doc_say(
        doc,
        "Beside its use%s, in the worst case: %s a day; no way "
        "takes less than %s.%s",
        doc->converted ? " after retrofit" : "",
        fci_figure_said(doc->units, FC_VOLUME, state->extra_water).text,
        fci_figure_said(doc->units, FC_VOLUME, state->least_water).text,
        state->fewest ? " As all valves flush one volume, no fewer flushes do."
                      : "");
}

void
fci_effects_renewal_tables(struct fci_doc *doc, const fc_effects *effects)
{
    if (!effects->renewal)
        return;
    put_pipes(doc, effects->renewal, effects->state);
    put_outlets(doc, effects->renewal);
    put_extra(doc, &effects->renewal->states[effects->state]);
}
