/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/effects_text.c -- the report of `effects` for a person. */
#include "page/screen.h"
#include "report/effects_report.h"
#include "report/words.h"

#include <string.h>

#define MOST_NAME 24

/* Of an area each. */
static void (*const tables[])(struct fci_doc *doc,
                              const fc_effects *effects) = {
    fci_effects_water_tables,   fci_effects_battery_tables,
    fci_effects_hygiene_tables, fci_effects_renewal_tables,
    fci_effects_surge_tables,   fci_effects_tank_tables,
    fci_effects_restart_tables, fci_effects_cold_dip_tables,
};

/* "surge, cold dip": the areas with that verdict; how many. */
static const char *
areas_with(struct fci_doc *doc, const fc_effects *effects, fc_state state,
           fc_verdict verdict, size_t *n)
{
    const char *list = NULL;

    *n = 0;
    for (size_t i = 0; i < effects->n_verdicts; i++) {
        const fc_effect_verdict *v = &effects->verdicts[i];
        const char *only_if = verdict == FC_WORKS ? v->only_if[state] : NULL;

        if (v->verdicts[state] != verdict)
            continue;
        list = fci_arena_printf(
            &doc->arena, "%s%s%s%s%s%s", list ? list : "", *n > 0 ? ", " : "",
            fc_effect_area_word(v->area), only_if ? " (only " : "",
            only_if ? only_if : "", only_if ? ")" : "");
        (*n)++;
    }
    return list ? list : "";
}

/* What each area with that verdict says of it, what may hurt people first. */
static void
say_why(struct fci_doc *doc, const fc_effects *effects, fc_verdict verdict)
{
    for (size_t i = effects->n_verdicts; i-- > 0;) {
        const fc_effect_verdict *v = &effects->verdicts[i];

        if (v->verdicts[effects->state] == verdict && v->why)
            fci_doc_item(doc, "%s: %s.", fc_effect_area_word(v->area), v->why);
    }
}

static const char *
harm_said(fc_verdict verdict)
{
    return verdict == FC_WORKS           ? "no harm found in"
           : verdict == FC_WILL_NOT_WORK ? "harm found in"
                                         : "harm not ruled out in";
}

static void
say_existing(struct fci_doc *doc, const fc_effects *effects)
{
    static const fc_verdict worst_first[] = { FC_WILL_NOT_WORK, FC_CANNOT_TELL,
                                              FC_WORKS };
    size_t n = 0;

    if (!effects->converted || effects->n_contradictions > 0)
        return;
    for (size_t i = 0; n == 0 && i < 3; i++) {
        const char *those =
            areas_with(doc, effects, FC_EXISTING, worst_first[i], &n);

        if (n > 0)
            fci_doc_say(doc, "Existing: %s %s.", harm_said(worst_first[i]),
                        those);
    }
}

/* What is judged is no pressure at the valves, which another command tells: a
 * building that works here may have valves that are short. */
static void
say_verdict(struct fci_doc *doc, const fc_effects *effects)
{
    size_t n;
    const char *those =
        areas_with(doc, effects, effects->state, effects->enough, &n);

    if (effects->n_contradictions > 0)
        fci_part_verdict(doc, FC_CANNOT_TELL, effects->state,
                         "gauge readings contradict the file as entered.");
    else if (effects->n_verdicts == 0)
        fci_part_verdict(doc, FC_CANNOT_TELL, effects->state,
                         "nothing could be judged.");
    else
        fci_part_verdict(doc, effects->enough, effects->state, "%s %s.",
                         harm_said(effects->enough), those);
    if (effects->n_contradictions == 0)
        say_why(doc, effects, effects->enough);
    say_existing(doc, effects);
    fci_doc_say(doc, "Whether every valve gets its pressure: see flushcalc "
                     "check.");
}

static const struct fci_doc_column both_columns[] = {
    { "", "", FCI_LEFT, 25 },
    { "existing", "", FCI_RIGHT, 9 },
    { "after retrofit", "", FCI_RIGHT, 9 },
    { "where; basis", "", FCI_LEFT, 12 },
};
static const struct fci_doc_column one_columns[] = {
    { "", "", FCI_LEFT, 25 },
    { "", "", FCI_RIGHT, 9 },
    { "where; basis", "", FCI_LEFT, 12 },
};

/* Rows of an area, and more than any has. */
#define MOST_OF_AREA 5

/* A screen has the first `most` of each area. */
static bool
is_left_out(const fc_effects *effects, size_t row, size_t most)
{
    return row >= most
           && effects->summary[row - most].area == effects->summary[row].area;
}

/* A screen has room for one of the two, and for the first part of it. */
static const char *
in_short(struct fci_doc *doc, const char *at, const char *rests)
{
    const char *more = strstr(rests, "; ");

    return *at    ? at
           : more ? fci_arena_substring(&doc->arena, rests,
                                        (size_t)(more - rests))
                  : rests;
}

static void
put_rows(struct fci_doc *doc, const fc_effects *effects, bool brief,
         size_t most)
{
    struct fci_grid *grid = effects->converted
                                ? fci_grid_new(doc, both_columns, 4)
                                : fci_grid_new(doc, one_columns, 3);
    size_t left = 0;

    grid->stacks = true;
    for (size_t i = 0; i < effects->n_summary; i++) {
        const fc_effect *row = &effects->summary[i];
        const char *at =
            row->at ? fci_short_name(doc, row->at, MOST_NAME) : "";
        const char *rests = row->rests_on ? row->rests_on : "";
        const char *where =
            brief ? in_short(doc, at, rests)
                  : fci_arena_printf(&doc->arena, "%s%s%s", at,
                                     *at && *rests ? ", " : "", rests);

        if (brief && is_left_out(effects, i, most)) {
            left++;
            continue;
        }
        fci_cell(grid, row->what);
        for (int s = 0; s < (effects->converted ? FC_STATES : 1); s++)
            fci_cell(grid, row->said[s] ? row->said[s] : "-");
        fci_cell(grid, where ? where : "");
    }
    fci_doc_put(doc, grid);
    if (left > 0)
        fci_doc_say(doc, "and %zu more figure%s, see --full.", left,
                    left == 1 ? "" : "s");
}

static void
put_summary(struct fci_doc *doc, const fc_effects *effects, size_t most)
{
    const unsigned forms = doc->forms;
    const enum fci_place place = doc->place;

    fci_doc_for(doc, forms & FCI_IN_BRIEF);
    put_rows(doc, effects, true, most);
    fci_doc_for(doc, forms & ~(unsigned)FCI_IN_BRIEF);
    fci_doc_place(doc, place); /* on a page it stays on top */
    put_rows(doc, effects, false, most);
    fci_doc_for(doc, forms);
}

/* A screen has no notes. */
static void
say_lacking(struct fci_doc *doc, const fc_effects *effects)
{
    const unsigned forms = doc->forms;

    if (effects->water)
        return;
    fci_doc_for(doc, forms & FCI_IN_BRIEF);
    fci_doc_say(doc, "Water a year, batteries, hygiene flushes: not "
                     "calculated; give [usage] people.");
    fci_doc_for(doc, forms);
}

/* No table tells of any. */
static bool
is_told(const fc_finding *f)
{
    (void)f;
    return false;
}

#define CLOSE_LINES 3

static void
compose(struct fci_doc *doc, const void *what, size_t most)
{
    const struct fci_effects_view *view = what;
    const fc_effects *effects = view->effects;
    const struct fci_found found = { effects->findings, effects->n_findings,
                                     effects->state };
    enum fci_place place;

    doc->converted = effects->converted;
    fci_part_title(doc, effects->title);
    say_verdict(doc, effects);
    fci_part_contradictions(doc, effects->contradictions,
                            effects->n_contradictions);
    fci_part_overrides(doc, effects->overrides, effects->n_overrides);
    put_summary(doc, effects, most);
    say_lacking(doc, effects);
    fci_part_warnings(doc, &found, is_told, NULL, CLOSE_LINES);
    fci_doc_for(doc, FCI_IN_DEPTH);
    place = fci_doc_place(doc, FCI_ON_TOP);
    fci_part_harm(doc, &found);
    fci_doc_place(doc, place);
    fci_part_notes(doc, &found);
    for (size_t i = 0; i < sizeof tables / sizeof *tables; i++)
        tables[i](doc, effects);
    fci_part_assumptions(doc, effects->assumptions, effects->n_assumptions);
    fci_part_cautions(doc);
    fci_part_close(doc, effects->n_assumptions);
}

void
fci_effects_compose(struct fci_doc *doc, const void *view)
{
    fci_screen_fit(doc, MOST_OF_AREA, compose, view);
}
