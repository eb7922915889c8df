/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/effects_text.c -- the report of `effects` for a person. */
#include "report/effects_report.h"
#include "report/words.h"

#define MOST_NAME 24

/* Of an area each. */
static void (*const tables[])(struct fci_doc *doc,
                              const fc_effects *effects) = {
    fci_effects_water_tables,   fci_effects_battery_tables,
    fci_effects_hygiene_tables, fci_effects_renewal_tables,
    fci_effects_surge_tables,   fci_effects_tank_tables,
    fci_effects_restart_tables, fci_effects_cold_dip_tables,
};

/* "surge, cold dip": the areas with that verdict. */
static const char *
areas_with(struct fci_doc *doc, const fc_effects *effects, fc_state state,
           fc_verdict verdict)
{
    const char *list = NULL;

    for (size_t i = 0; i < effects->n_verdicts; i++)
        if (effects->verdicts[i].verdicts[state] == verdict)
            list = fci_arena_printf(
                &doc->arena, "%s%s%s", list ? list : "", list ? ", " : "",
                fc_effect_area_word(effects->verdicts[i].area));
    return list;
}

static const char *
why(const fc_effects *effects)
{
    for (size_t i = 0; i < effects->n_verdicts; i++)
        if (effects->verdicts[i].verdicts[effects->state] == effects->enough
            && effects->verdicts[i].why)
            return effects->verdicts[i].why;
    return NULL;
}

static void
say_verdict(struct fci_doc *doc, const fc_effects *effects)
{
    const char *those =
        areas_with(doc, effects, effects->state, effects->enough);
    const char *reason = why(effects);

    if (effects->n_contradictions > 0)
        fci_part_verdict(doc, FC_CANNOT_TELL, effects->state,
                         "gauge readings contradict the file as entered.");
    else if (effects->n_verdicts == 0)
        fci_part_verdict(doc, FC_CANNOT_TELL, effects->state,
                         "nothing could be judged.");
    else if (effects->enough == FC_WORKS)
        fci_part_verdict(doc, FC_WORKS, effects->state,
                         "no harm found in %s. Whether valves get their "
                         "pressure: flushcalc check.",
                         those ? those : "");
    else
        fci_part_verdict(doc, effects->enough, effects->state, "%s%s%s.",
                         those ? those : "", reason ? ": " : "",
                         reason ? reason : "");
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

static void
put_summary(struct fci_doc *doc, const fc_effects *effects)
{
    struct fci_grid *grid = effects->converted
                                ? fci_grid_new(doc, both_columns, 4)
                                : fci_grid_new(doc, one_columns, 3);

    for (size_t i = 0; i < effects->n_summary; i++) {
        const fc_effect *row = &effects->summary[i];
        const char *at =
            row->at ? fci_short_name(doc, row->at, MOST_NAME) : "";
        const char *rests = row->rests_on ? row->rests_on : "";
        const char *where = fci_arena_printf(&doc->arena, "%s%s%s", at,
                                             *at && *rests ? ", " : "", rests);

        fci_cell(grid, row->what);
        for (int s = 0; s < (effects->converted ? FC_STATES : 1); s++)
            fci_cell(grid, row->said[s] ? row->said[s] : "-");
        fci_cell(grid, where ? where : "");
    }
    fci_doc_put(doc, grid);
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
    for (size_t i = 0; i < sizeof tables / sizeof *tables; i++)
        tables[i](doc, effects);
    fci_part_findings(doc, &found, NULL);
    fci_part_assumptions(doc, effects->assumptions, effects->n_assumptions);
    fci_part_cautions(doc);
    fci_part_close(doc, effects->n_assumptions);
}
