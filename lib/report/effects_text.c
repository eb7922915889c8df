/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/effects_text.c -- the report of `effects` for a person. */
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
        if (effects->verdicts[i].verdicts[state] != verdict)
            continue;
        list = fci_arena_printf(
            &doc->arena, "%s%s%s", list ? list : "", *n > 0 ? ", " : "",
            fc_effect_area_word(effects->verdicts[i].area));
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

static void
say_existing(struct fci_doc *doc, const fc_effects *effects)
{
    static const struct {
        fc_verdict verdict;
        const char *word;
    } words[] = { { FC_WILL_NOT_WORK, "does not work" },
                  { FC_CANNOT_TELL, "cannot tell" },
                  { FC_WORKS, "works" } };
    size_t n = 0;

    if (!effects->converted || effects->n_contradictions > 0)
        return;
    for (size_t i = 0; n == 0 && i < sizeof words / sizeof *words; i++) {
        const char *those =
            areas_with(doc, effects, FC_EXISTING, words[i].verdict, &n);

        if (n > 0)
            fci_doc_say(doc, "Existing: %s (%s).", words[i].word, those);
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
        fci_part_verdict(doc, effects->enough, effects->state,
                         effects->enough == FC_WORKS ? "no harm found in %s."
                                                     : "see %s.",
                         those);
    if (effects->n_contradictions == 0)
        say_why(doc, effects, effects->enough);
    say_existing(doc, effects);
    fci_doc_say(doc, "Whether valves get their pressure is another question: "
                     "flushcalc check.");
}

static const struct fci_doc_column both_columns[] = {
    { "", "", FCI_LEFT, 23 },
    { "existing", "", FCI_RIGHT, 9 },
    { "after retrofit", "", FCI_RIGHT, 9 },
    { "where; what it rests on", "", FCI_LEFT, 12 },
};
static const struct fci_doc_column one_columns[] = {
    { "", "", FCI_LEFT, 23 },
    { "", "", FCI_RIGHT, 9 },
    { "where; what it rests on", "", FCI_LEFT, 12 },
};

/* Beyond so many rows a screen has the first two of each area alone. */
#define MOST_ROWS 10

static bool
is_left_out(const fc_effects *effects, size_t row)
{
    return effects->n_summary > MOST_ROWS && row > 1
           && effects->summary[row - 2].area == effects->summary[row].area;
}

/* A screen has room for one of the two, and for a short one. */
#define SHORT 26

static const char *
in_short(const char *at, const char *rests)
{
    return *at ? at : strlen(rests) <= SHORT ? rests : "see --full";
}

static void
put_rows(struct fci_doc *doc, const fc_effects *effects, bool brief)
{
    struct fci_grid *grid = effects->converted
                                ? fci_grid_new(doc, both_columns, 4)
                                : fci_grid_new(doc, one_columns, 3);
    size_t left = 0;

    for (size_t i = 0; i < effects->n_summary; i++) {
        const fc_effect *row = &effects->summary[i];
        const char *at =
            row->at ? fci_short_name(doc, row->at, MOST_NAME) : "";
        const char *rests = row->rests_on ? row->rests_on : "";
        const char *where =
            brief ? in_short(at, rests)
                  : fci_arena_printf(&doc->arena, "%s%s%s", at,
                                     *at && *rests ? ", " : "", rests);

        if (brief && is_left_out(effects, i)) {
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
put_summary(struct fci_doc *doc, const fc_effects *effects)
{
    const unsigned forms = doc->forms;
    const enum fci_place place = doc->place;

    fci_doc_for(doc, forms & FCI_IN_BRIEF);
    put_rows(doc, effects, true);
    fci_doc_for(doc, forms & ~(unsigned)FCI_IN_BRIEF);
    fci_doc_place(doc, place); /* on a page it stays on top */
    put_rows(doc, effects, false);
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

void
fci_effects_compose(struct fci_doc *doc, const void *what)
{
    const struct fci_effects_view *view = what;
    const fc_effects *effects = view->effects;
    const struct fci_found found = { effects->findings, effects->n_findings,
                                     effects->state };

    doc->converted = effects->converted;
    fci_part_title(doc, effects->title);
    say_verdict(doc, effects);
    fci_part_contradictions(doc, effects->contradictions,
                            effects->n_contradictions);
    fci_part_overrides(doc, effects->overrides, effects->n_overrides);
    put_summary(doc, effects);
    fci_part_warnings(doc, &found, is_told, NULL, CLOSE_LINES);
    fci_doc_for(doc, FCI_IN_DEPTH);
    fci_part_findings(doc, &found, NULL);
    for (size_t i = 0; i < sizeof tables / sizeof *tables; i++)
        tables[i](doc, effects);
    fci_part_assumptions(doc, effects->assumptions, effects->n_assumptions);
    fci_part_cautions(doc);
    fci_part_close(doc, effects->n_assumptions);
}
