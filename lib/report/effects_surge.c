/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/effects_surge.c -- surges, valve by valve, and arresters. */
#include "report/effects_report.h"
#include "report/shapes.h"
#include "report/words.h"

#include <math.h>

/* ---- What programs get ---------------------------------------------------
 */

static const char *const rapid_list[] = {
    [FC_NOT_SAID] = "cannot tell",
    [FC_YES] = "rapid",
    [FC_NO] = "slow",
};
static FCI_WORDS(rapid_words, rapid_list);
static const char *const arrester_list[] = {
    [FC_NO_ARRESTER] = NULL, [FC_ARRESTER_AA] = "AA", [FC_ARRESTER_A] = "A",
    [FC_ARRESTER_B] = "B",   [FC_ARRESTER_C] = "C",   [FC_ARRESTER_D] = "D",
    [FC_ARRESTER_E] = "E",   [FC_ARRESTER_F] = "F",
};
static FCI_WORDS(arrester_words, arrester_list);

#define IF_GIVEN(k, t, d, part, a)                                            \
    FCI_PLAIN_IF(k, t, d, fc_surge, part, surge.given, a)

static const struct fci_member surge_rows[] = {
    FCI_TEXT(fc_surge, valve, "valve",
             "Its flush valve; null: it has none, and all else is null"),
    FCI_RANGE(fc_surge, flow, "flow", FC_FLOW,
              "Of the valve alone; null, as all that follows: not known"),
    FCI_RANGE(fc_surge, velocity, "velocity", FC_VELOCITY,
              "In the pipe that feeds it: what is stopped"),
    FCI_RANGE(fc_surge, closing, "closing_time", FC_TIME, "Closing time"),
    FCI_FLAG(fc_surge, closing_usual, "closing_time_usual", "It is not given"),
    FCI_RANGE(fc_surge, length, "length", FC_LENGTH,
              "Of the pipes on the way, from where the first one ends or "
              "branches off to the source"),
    FCI_RANGE(fc_surge, wave_speed, "wave_speed", FC_VELOCITY,
              "In the pipe that feeds it"),
    FCI_RANGE(fc_surge, return_time, "return_time", FC_TIME,
              "Of a wave, over that length"),
    FCI_WORD_IF(fc_surge, rapid, surge.given, "closure", &rapid_words,
                "Rapid: within that time"),
    FCI_RANGE(fc_surge, surge, "surge", FC_PRESSURE,
              "Over static, where a rating is exceeded first"),
    FCI_RANGE(fc_surge, highest, "highest_surge", FC_PRESSURE,
              "Over static, where it is highest"),
    IF_GIVEN("surge_is_bound", FCI_M_FLAG, FC_NUMBER, bound,
             "Its high end is an upper bound"),
    FCI_TEXT(fc_surge, at, "at",
             "Element where static and surge are nearest to its rating"),
    FCI_RANGE(fc_surge, static_pressure, "static", FC_PRESSURE,
              "Static pressure there"),
    FCI_RANGE(fc_surge, peak, "peak", FC_PRESSURE, "Static and surge there"),
    IF_GIVEN("rating", FCI_M_FIGURE, FC_PRESSURE, rating,
             "Pressure rating there; the low end of what is usual"),
    IF_GIVEN("rating_usual", FCI_M_FLAG, FC_NUMBER, rating_usual,
             "It is not given"),
    IF_GIVEN("arrester", FCI_M_FLAG, FC_NUMBER, arrester,
             "Arresters of its branch limit the peak everywhere"),
    FCI_WORD_IF(fc_surge, within, surge.given, "within_ratings",
                &fci_verdict_words,
                "Whether all that the source feeds stays within its ratings"),
    FCI_RANGE(fc_surge, least_closing, "shortest_closing_time", FC_TIME,
              "The shortest that keeps them within; null: none does"),
};
static FCI_SHAPE(surge_shape, "surge", fc_surge, surge_rows,
                 "A flush valve that closes");

static const struct fci_member fixture_rows[] = {
    FCI_TEXT(fc_surge_fixture, name, "name", "Its name"),
    FCI_INTEGER(fc_surge_fixture, count, "count", "How many there are"),
    FCI_OBJECT(fc_surge_fixture, states[FC_EXISTING], "existing", &surge_shape,
               "Existing"),
    FCI_OBJECT(fc_surge_fixture, states[FC_RETROFIT], "retrofit", &surge_shape,
               "After retrofit"),
};
static FCI_SHAPE(fixture_shape, "surge_fixture", fc_surge_fixture,
                 fixture_rows, "A fixture whose flush valve closes");

static const struct fci_member need_rows[] = {
    FCI_NUMBER(fc_arrester_need, units, "fixture_units",
               "Cold fixture units of the branch"),
    FCI_FLAG(fc_arrester_need, next_size, "next_size",
             "Its pressure asks for the next larger size"),
    FCI_INTEGER(
        fc_arrester_need, number, "number",
        "How many arresters by PDI-WH201; 0: none is sized for its static"),
    FCI_WORD(fc_arrester_need, size, "size", &arrester_words,
             "Of this size each; null: none"),
    FCI_WORD(fc_arrester_need, enough, "enough", &fci_verdict_words,
             "Whether those in place are; none: as if untold"),
    FCI_FLAG(fc_arrester_need, needed, "needed",
             "Without one a rating may be exceeded"),
};
static FCI_SHAPE(need_shape, "arrester_need", fc_arrester_need, need_rows,
                 "The arresters of a branch by PDI-WH201");

static const struct fci_member branch_rows[] = {
    FCI_TEXT(fc_surge_branch, name, "name", "Its first pipe"),
    FCI_TEXT(fc_surge_branch, last, "last", "The fixture at its end"),
    FCI_RANGE(fc_surge_branch, length, "length", FC_LENGTH,
              "From its start to that"),
    FCI_RANGE(fc_surge_branch, pressure, "static", FC_PRESSURE,
              "The highest static pressure of it"),
    FCI_INTEGER(fc_surge_branch, arresters, "arresters",
                "Arresters in place on it"),
    FCI_NUMBER(fc_surge_branch, serves, "served_units",
               "Fixture units that those serve"),
    FCI_OBJECT(fc_surge_branch, states[FC_EXISTING], "existing", &need_shape,
               "Existing"),
    FCI_OBJECT(fc_surge_branch, states[FC_RETROFIT], "retrofit", &need_shape,
               "After retrofit"),
};
static FCI_SHAPE(branch_shape, "surge_branch", fc_surge_branch, branch_rows,
                 "A branch with flush valves");

static const struct fci_member surges_rows[] = {
    FCI_LIST(fc_surges, fixtures, n_fixtures, "fixtures", &fixture_shape,
             "Fixtures with a flush valve"),
    FCI_LIST(fc_surges, branches, n_branches, "branches", &branch_shape,
             "Branches with flush valves"),
};
FCI_SHAPE(fci_surges_shape, "surges", fc_surges, surges_rows,
          "What closing flush valves do to the pressure");

/* ---- Tables --------------------------------------------------------------
 */

static void
add_surge(struct fci_grid *grid, fc_unit_system u, const char *name,
          const fc_surge *s)
{
    char text[64];

    fci_cell(grid, name);
    fci_cell(grid, fci_figure_of(u, FC_FLOW, s->flow.high).text);
    fci_cell(grid, fci_figure_of(u, FC_VELOCITY, s->velocity.high).text);
    fci_cell(grid, fci_figure_range_with(u, FC_TIME, 2, s->closing).text);
    fci_cell(
        grid,
        fci_figure_with(u, FC_TIME, FC_NEAREST, 3, s->return_time.high).text);
    snprintf(text, sizeof text, "%s%s",
             s->bound || s->arrester ? "" : "about ",
             fci_figure_of(u, FC_PRESSURE, s->highest.high).text);
    fci_cell(grid, text);
    fci_cell_tinted(grid, fci_figure_of(u, FC_PRESSURE, s->peak.high).text,
                    fci_verdict_tint(s->within));
    fci_cell(grid, fci_figure_of(u, FC_PRESSURE, s->rating).text);
    fci_cell(grid, s->at);
    fci_cell(grid, s->least_closing.given
                       ? fci_figure_with(u, FC_TIME, FC_UP, 2,
                                         s->least_closing.nominal)
                             .text
                       : "none");
}

static struct fci_grid *
surges_in(struct fci_doc *doc, const fc_surges *surges, fc_state state)
{
    const fc_unit_system u = doc->units;
    const char *p = fc_unit_name(u, FC_PRESSURE);
    const char *t = fc_unit_name(u, FC_TIME);
    const struct fci_doc_column columns[] = {
        { "fixture", "", FCI_LEFT, 8 },
        { "flow", fc_unit_name(u, FC_FLOW), FCI_RIGHT, 0 },
        { "velocity", fc_unit_name(u, FC_VELOCITY), FCI_RIGHT, 0 },
        { "closes\nin", t, FCI_RIGHT, 0 },
        { "wave\nback in", t, FCI_RIGHT, 0 },
        { "surge\nup to", p, FCI_RIGHT, 0 },
        { "static\n+ surge", p, FCI_RIGHT, 0 },
        { "rating", p, FCI_RIGHT, 0 },
        { "at", "", FCI_LEFT, 8 },
        { "shortest\nclosing", t, FCI_RIGHT, 0 },
    };
    struct fci_grid *grid =
        fci_grid_new(doc, columns, sizeof columns / sizeof *columns);

    for (size_t i = 0; i < surges->n_fixtures; i++)
        if (surges->fixtures[i].states[state].surge.given)
            add_surge(grid, u, surges->fixtures[i].name,
                      &surges->fixtures[i].states[state]);
    return grid;
}

static struct fci_grid *
branches_in(struct fci_doc *doc, const fc_surges *surges, fc_state state)
{
    const fc_unit_system u = doc->units;
    const struct fci_doc_column columns[] = {
        { "branch", "", FCI_LEFT, 8 },
        { "to", "", FCI_LEFT, 8 },
        { "fixture\nunits", "", FCI_RIGHT, 0 },
        { "length", fc_unit_name(u, FC_LENGTH), FCI_RIGHT, 0 },
        { "static", fc_unit_name(u, FC_PRESSURE), FCI_RIGHT, 0 },
        { "size by\nPDI-WH201", "", FCI_LEFT, 0 },
        { "needed to\nkeep rating", "", FCI_LEFT, 0 },
        { "in\nplace", "", FCI_RIGHT, 0 },
    };
    struct fci_grid *grid =
        fci_grid_new(doc, columns, sizeof columns / sizeof *columns);
    char text[32];

    for (size_t i = 0; i < surges->n_branches; i++) {
        const fc_surge_branch *b = &surges->branches[i];
        const fc_arrester_need *need = &b->states[state];

        if (need->number == 0)
            continue;
        fci_cell(grid, b->name);
        fci_cell(grid, b->last);
        fci_cell(grid, fci_figure_number(need->units, 1).text);
        fci_cell(grid, fci_figure_of(u, FC_LENGTH, b->length.high).text);
        fci_cell(grid, fci_figure_of(u, FC_PRESSURE, b->pressure.high).text);
        snprintf(text, sizeof text, "%d x %s", need->number,
                 fc_arrester_word(need->size));
        fci_cell(grid, text);
        fci_cell(grid, need->needed ? "yes" : "no");
        snprintf(text, sizeof text, "%d", b->arresters);
        fci_cell_tinted(grid, text,
                        b->arresters > 0 ? fci_verdict_tint(need->enough)
                                         : FCI_PLAIN_TINT);
    }
    return grid;
}

static void
say_arresters(struct fci_doc *doc)
{
    fci_doc_say(doc, "One stands near the end of its branch, between the last "
                     "two fixtures; of two one stands near each end. The code "
                     "may ask for arresters at quick-closing valves whatever "
                     "is calculated here (IPC 604.9, from memory).");
}

/* What is the same in both states stands once. */
static void
put_states(struct fci_doc *doc, struct fci_grid *grids[FC_STATES],
           const char *heading, size_t names)
{
    const bool same =
        doc->converted
        && fci_grids_match(grids[FC_EXISTING], grids[FC_RETROFIT]);

    for (int s = 0; s < (doc->converted && !same ? FC_STATES : 1); s++) {
        if (fci_grid_is_empty(grids[s]))
            continue;
        fci_doc_heading(doc, "%s%s", heading,
                        same ? ", existing and after retrofit"
                             : fci_state_said(doc, (fc_state)s));
        fci_part_table(doc, grids[s], names);
    }
}

void
fci_effects_surge_tables(struct fci_doc *doc, const fc_effects *effects)
{
    struct fci_grid *surges[FC_STATES] = { NULL };
    struct fci_grid *branches[FC_STATES] = { NULL };
    bool any = false;

    if (!effects->surge)
        return;
    for (int s = 0; s < (effects->converted ? FC_STATES : 1); s++) {
        surges[s] = surges_in(doc, effects->surge, (fc_state)s);
        branches[s] = branches_in(doc, effects->surge, (fc_state)s);
        any = any || !fci_grid_is_empty(branches[s]);
    }
    put_states(doc, surges, "Surge as each flush valve closes", 1);
    put_states(doc, branches, "Water hammer arresters by PDI-WH201", 2);
    if (any)
        say_arresters(doc);
}
