/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/verify_text.c -- the report of `verify` for a person. */
#include "report/report.h"
#include "report/shared.h"
#include "report/verify_report.h"
#include "report/words.h"
#include "site/site.h"

#include <math.h>
#include <string.h>

/* ---- The verdict ------------------------------------------------------ */

/* What decides, in a few words. */
static const char *
decided_how(struct fci_doc *doc, const fc_checked_claim *c)
{
    if (c->holds)
        return fci_arena_printf(&doc->arena, "it %s", c->holds);
    if (c->not_flowing)
        return "nothing flows there";
    if (c->reading)
        return fci_arena_printf(&doc->arena, "%s read, within %s",
                                fci_support_said(doc, c, c->read).text,
                                fci_support_said(doc, c, c->within).text);
    if (c->why_not)
        return "it cannot be computed";
    return fci_arena_printf(&doc->arena, "%s computed",
                            fci_support_said(doc, c, c->computed).text);
}

static const char *
how_of(struct fci_doc *doc, const fc_checked_claim *c)
{
    const char *how = decided_how(doc, c);

    if (!how)
        doc->failed = true;
    return how ? how : "";
}

static void
say_alone(struct fci_doc *doc, const fc_checked_claim *c)
{
    fci_doc_verdict(
        doc, fci_support_tint(c->verdict), fci_support_shout(c->verdict),
        "%s, at least %s at %s %s: %s%s%s.", c->name,
        fci_support_said(doc, c, c->claimed).text, c->fixture, c->judged,
        how_of(doc, c), fci_support_but(c), c->but_under ? c->but_under : "");
}

/* "1 of 3 claims; 1 undecided, 1 supported" */
static void
say_several(struct fci_doc *doc, const fc_verify_result *result,
            const fc_checked_claim *worst)
{
    static const fc_support order[] = { FC_CONTRADICTED, FC_UNDECIDED,
                                        FC_SUPPORTED };
    const size_t n = result->n_claims;
    char rest[80] = "", which[140];

    for (int i = 0; i < 3; i++) {
        const size_t count = fci_support_count(result, order[i]);
        const size_t used = strlen(rest);

        if (order[i] != result->verdict && count > 0)
            snprintf(rest + used, sizeof rest - used, "%s %zu %s",
                     used > 0 ? "," : ";", count, fci_support_word(order[i]));
    }
    if (*rest)
        snprintf(which, sizeof which, "%zu of %zu claims%s",
                 fci_support_count(result, result->verdict), n, rest);
    else
        snprintf(which, sizeof which,
                 n == 2 ? "both claims" : "all %zu claims", n);
    fci_doc_verdict(doc, fci_support_tint(result->verdict),
                    fci_support_shout(result->verdict),
                    "%s. %s: at least %s at %s, %s.", which, worst->name,
                    fci_support_said(doc, worst, worst->claimed).text,
                    worst->fixture, how_of(doc, worst));
}

static void
say_verdict(struct fci_doc *doc, const fc_verify_result *result,
            const fc_checked_claim *worst)
{
    if (result->n_claims == 1)
        say_alone(doc, worst);
    else
        say_several(doc, result, worst);
}

/* ---- The table -------------------------------------------------------- */

/* What there is to show of the claims. */
struct shown {
    bool varies; /* some input does */
    bool read;   /* some gauge was */
    bool still;  /* some claim is of no flowing condition */
};

static void
add_claim(struct fci_grid *table, const struct fci_doc *doc,
          const fc_checked_claim *c, struct shown shown)
{
    fci_cell(table, c->name);
    fci_cell(table, c->fixture);
    fci_cell(table, fci_support_pressure(doc, c, c->claimed).text);
    fci_cell(table, fci_support_pressure(doc, c, c->computed).text);
    if (shown.varies) {
        fci_cell(table, fci_support_span(doc, c, c->low, c->high).text);
        fci_cell(table, c->not_flowing ? "-" : fci_support_chance(c).text);
    }
    if (shown.read)
        fci_cell(table, fci_support_pressure(doc, c, c->read).text);
    fci_cell_tinted(table, fci_support_word(c->verdict),
                    fci_support_tint(c->verdict));
}

static struct shown
find_shown(const fc_verify_result *result)
{
    struct shown shown = { .varies = result->draws > 1 };

    for (size_t i = 0; i < result->n_claims; i++) {
        shown.read |= result->claims[i].reading != NULL;
        shown.still |= result->claims[i].not_flowing != NULL;
    }
    return shown;
}

static void
print_claims(struct fci_doc *doc, const fc_verify_result *result)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const struct fci_doc_column read = { "read", p, FCI_RIGHT, 0 };
    const struct fci_doc_column verdict = { "verdict", "", FCI_LEFT, 0 };
    const struct shown shown = find_shown(result);
    const struct fci_doc_column computed = { "computed", p, FCI_RIGHT, 0 };
    const struct fci_doc_column within = { "95% within", p, FCI_RIGHT, 0 };
    const struct fci_doc_column reach = { "reach\nit", "", FCI_RIGHT, 0 };
    struct fci_doc_column columns[8] = {
        { "claim", "", FCI_LEFT, 10 },
        { "fixture", "", FCI_LEFT, 8 },
        { "at\nleast", p, FCI_RIGHT, 0 },
    };
    size_t n = 3;
    struct fci_grid *table;

    columns[n++] = computed;
    if (shown.varies) {
        columns[n++] = within;
        columns[n++] = reach;
    }
    if (shown.read)
        columns[n++] = read;
    columns[n++] = verdict;
    table = fci_grid_new(doc, columns, n);
    fci_doc_heading(doc, "The claims");
    for (size_t i = 0; i < result->n_claims; i++)
        add_claim(table, doc, &result->claims[i], shown);
    fci_doc_put(doc, table);
    fci_doc_say(
        doc,
        "Flowing pressures at the inlet of the fixture%s. Computed: at "
        "midpoint values.%s",
        shown.still ? ", but where nothing flows there (see below)" : "",
        shown.read ? " Read: by a gauge under the claim's own condition."
                   : "");
}

/* ---- One claim in sentences ------------------------------------------- */

/* What is computed is no flowing pressure. */
static void
say_still(struct fci_doc *doc, const fc_checked_claim *c)
{
    fci_doc_say(doc,
                "Not a flowing condition (see the warnings): %s with no draw "
                "there is more than flows, and decides nothing.",
                fci_support_said(doc, c, c->computed).text);
}

/* " (95.6% to 96.1%, Wilson)": what so many draws may be off by. */
static struct fci_figure
scatter_of(const fc_checked_claim *c)
{
    struct fci_figure f = { "" };

    if (!c->certain)
        snprintf(f.text, sizeof f.text, " (%.12s to %.12s, Wilson)",
                 fci_support_percent(c->probability_low, 1).text,
                 fci_support_percent(c->probability_high, 1).text);
    return f;
}

static void
say_model(struct fci_doc *doc, const fc_checked_claim *c)
{
    const char *peak = c->condition == FC_WHILE_PEAK
                           ? " Peak demand is computed, not witnessed."
                           : "";

    if (c->why_not)
        fci_doc_say(doc, "It cannot be computed: %s.", c->why_not);
    else if (c->not_flowing)
        say_still(doc, c);
    else if (c->decided_by)
        fci_doc_say(doc,
                    "%s of the outcomes reach it%s: %s as computed. The %s "
                    "controls (%s of the variance).%s",
                    fci_support_chance(c).text, scatter_of(c).text,
                    fci_support_word(c->by_model), c->decided_by,
                    fci_support_percent(c->share, 0).text, peak);
    else
        fci_doc_say(doc,
                    "No input that bears on it is a range; the accuracy of "
                    "the computation leaves %s %s: %s as computed.%s",
                    fci_support_span(doc, c, c->low, c->high).text,
                    fc_unit_name(doc->units, FC_PRESSURE),
                    fci_support_word(c->by_model), peak);
}

/* What was read under the claim's own condition. */
static void
say_read(struct fci_doc *doc, const fc_checked_claim *c)
{
    const struct fci_figure read = fci_support_said(doc, c, c->read);
    const struct fci_figure within = fci_support_said(doc, c, c->within);

    if (c->against)
        fci_doc_say(doc,
                    "The readings %s and %s cannot both be true: undecided.",
                    c->reading, c->against);
    else if (c->verdict != FC_UNDECIDED)
        fci_doc_say(doc,
                    "The reading %s decides: %s there, within %s, so the "
                    "claim is %s.",
                    c->reading, read.text, within.text,
                    fci_support_word(c->verdict));
    else if (c->not_flowing)
        fci_doc_say(doc,
                    "The reading %s, %s there within %s, is of no flow "
                    "either.",
                    c->reading, read.text, within.text);
    else
        fci_doc_say(doc,
                    "The reading %s counts, not the computation: %s there, "
                    "within %s, too near to %s to decide.",
                    c->reading, read.text, within.text,
                    fci_support_said(doc, c, c->claimed).text);
}

/* What keeps the model from deciding. */
static void
say_hindrance(struct fci_doc *doc, const fc_checked_claim *c)
{
    if (c->refuted_by)
        fci_doc_say(doc,
                    "The %s the site as entered (see the warnings), so the "
                    "computation does not decide.",
                    fci_support_misfit(doc, c));
    else if (c->unproved)
        fci_doc_say(doc,
                    "That rests on %s, which has no flow test and is taken "
                    "not to drop: the computation does not decide.",
                    c->unproved);
    else if (fci_support_is_drawn_down(c))
        fci_doc_say(doc, "But %s: the computation does not decide.",
                    c->drawn_down);
    else if (c->borne_out_by)
        fci_doc_say(doc,
                    "The computation alone would not decide (see the "
                    "warnings), but the reading %s carried to this condition "
                    "agrees: %s.",
                    c->borne_out_by, fci_support_word(c->verdict));
    else if (fci_support_is_split(c))
        fci_doc_say(doc,
                    "The reading %s carried to this condition disagrees: "
                    "undecided.",
                    c->carried_reading);
}

/* What the code asks there, and the valve. */
static void
say_minima(struct fci_doc *doc, const fc_checked_claim *c)
{
    const char *valve = "";

    if (!isnan(c->valve_minimum))
        valve =
            fci_arena_printf(&doc->arena, " Valve minimum: %s.",
                             fci_support_said(doc, c, c->valve_minimum).text);
    if (isnan(c->code_minimum))
        fci_doc_say(doc, "Code minimum: none for a %s.%s", c->kind,
                    valve ? valve : "");
    else
        fci_doc_say(doc, "Code minimum: %s for a %s (%s).%s",
                    fci_support_said(doc, c, c->code_minimum).text, c->kind,
                    c->code ? c->code : "no source given", valve ? valve : "");
}

/* Of several cases, the harshest. */
static void
say_case(struct fci_doc *doc, const fc_checked_claim *c)
{
    fc_checked_claim harshest = *c;

    harshest.verdict = c->harshest;
    if (c->n_cases > 1)
        fci_doc_say(doc,
                    "Judged under %zu conditions; what follows is of the "
                    "harshest.",
                    c->n_cases);
    say_model(doc, &harshest);
    if (c->reading)
        say_read(doc, &harshest);
    else
        say_hindrance(doc, &harshest);
}

/* Under which conditions it was judged, and what is to be known beside. */
static void
say_claim(struct fci_doc *doc, const fc_checked_claim *c)
{
    struct fci_figure supply = { "" };

    if (!isnan(c->supply))
        snprintf(supply.text, sizeof supply.text, ", supply %.30s static",
                 fci_figure_said(doc->units, FC_PRESSURE, c->supply).text);
    fci_doc_gap(doc);
    fci_doc_say(doc, "%s: %s, at least %s at %s, %s%s%s%s%s%s.", c->name,
                fci_support_word(c->verdict),
                fci_support_said(doc, c, c->claimed).text, c->fixture,
                c->judged, supply.text, c->stated_in ? "; stated in " : "",
                c->stated_in ? c->stated_in : "", fci_support_but(c),
                c->but_under ? c->but_under : "");
    if (c->holds)
        fci_doc_say(doc, "It %s.", c->holds);
    say_case(doc, c);
    say_minima(doc, c);
}

/* ---- Several conditions ----------------------------------------------- */

/* The verdict under each, where a claim has more than one. */
static void
print_cases(struct fci_doc *doc, const struct fci_verify_view *view)
{
    const struct fci_doc_column columns[] = {
        { "claim", "", FCI_LEFT, 10 },
        { "under", "", FCI_LEFT, 10 },
        { "computed", fc_unit_name(doc->units, FC_PRESSURE), FCI_RIGHT, 0 },
        { "reach\nit", "", FCI_RIGHT, 0 },
        { "read", "", FCI_LEFT, 6 },
        { "verdict", "", FCI_LEFT, 0 },
    };
    struct fci_grid *grid;

    if (view->n_cases == view->result->n_claims)
        return;
    fci_doc_heading(doc, "Under each condition");
    grid = fci_doc_table(doc, columns, 6);
    for (size_t i = 0; i < view->n_cases; i++) {
        const fc_claim_case *k = view->cases[i].judged;
        const char *under = fci_arena_printf(&doc->arena, "%s, %s", k->event,
                                             fci_state_phrase(k->state));

        fci_cell(grid, view->cases[i].claim);
        fci_cell(grid, under ? under : "");
        fci_cell(grid,
                 fci_figure_of(doc->units, FC_PRESSURE, k->computed).text);
        fci_cell(grid, isnan(k->probability)
                           ? "-"
                           : fci_support_percent(k->probability, 1).text);
        fci_cell(grid, k->reading ? k->reading : "-");
        fci_cell_tinted(grid, fci_support_word(k->verdict),
                        fci_support_tint(k->verdict));
    }
}

/* ---- How, and the readings -------------------------------------------- */

static void
say_method(struct fci_doc *doc, const fc_verify_result *result)
{
    fci_doc_heading(doc, "How it was computed");
    if (result->draws > 1)
        fci_doc_say(
            doc,
            "flushcalc %s; %s buildings drawn (JCGM 101; seed %lu) within "
            "what %zu input%s may be, and more where that leaves it open. "
            "Supported: at least 95%% of the outcomes reach the pressure "
            "claimed; contradicted: at most 5%%, clear of what they scatter "
            "by (Wilson's interval), and not only as inputs of a kind differ. "
            "A reading under the claim's condition counts instead, "
            "with its accuracy as guard band (JCGM 106). Share of the "
            "variance: squared correlation.",
            fc_version(), fci_support_draws(result->draws).text, result->seed,
            result->varied, result->varied == 1 ? "" : "s");
    else
        fci_doc_say(doc,
                    "flushcalc %s; one outcome, as no input varies. A reading "
                    "under the claim's condition counts instead, with its "
                    "accuracy as guard band (JCGM 106).",
                    fc_version());
    for (size_t i = 0; i < result->n_basis; i++)
        fci_doc_say(doc, "%s: %s.", result->basis[i].what,
                    result->basis[i].text);
    fci_doc_say(doc,
                "Supported is not approval: the code, the authority having "
                "jurisdiction and a licensed practitioner decide.");
}

static void
say_gauge(struct fci_doc *doc, const fc_listed_reading *r)
{
    fci_doc_say(doc, "Gauge %s%s%s%s%s, within %s%s.",
                r->gauge ? r->gauge : "not named", r->number ? ", no. " : "",
                r->number ? r->number : "",
                r->calibrated ? ", calibrated " : "",
                r->calibrated ? r->calibrated : "",
                fci_figure_said(doc->units, FC_PRESSURE, r->within).text,
                r->within_said ? "" : " (common practice)");
}

static void
say_reading_of_file(struct fci_doc *doc, const fc_listed_reading *r)
{
    fci_doc_gap(doc);
    fci_doc_say(doc, "%s: %s at %s while %s, %s.", r->name,
                fci_reading_shown(doc, r).text, r->at, r->event,
                fci_state_phrase(r->state));
    if (!isnan(r->pressure))
        say_gauge(doc, r);
    fci_doc_say(doc, "Used for: %s.", r->used_for ? r->used_for : "no claim");
    if (r->disagrees)
        fci_doc_say(doc, "Disagrees: %s.", r->disagrees);
}

static void
say_readings(struct fci_doc *doc, const fc_verify_result *result)
{
    if (result->n_readings == 0)
        return;
    fci_doc_heading(doc, "The readings");
    for (size_t i = 0; i < result->n_readings; i++)
        say_reading_of_file(doc, &result->readings[i]);
}

static void
say_unsettled(struct fci_doc *doc, const fc_verify_result *result)
{
    bool headed = false;

    for (size_t i = 0; i < result->n_claims; i++) {
        const char *text;

        if (result->claims[i].verdict != FC_UNDECIDED)
            continue;
        if (!headed)
            fci_doc_heading(doc, "What would settle it");
        headed = true;
        text = fci_verify_settle(doc, &result->claims[i]);
        fci_doc_item(doc, "%s", text ? text : "");
    }
}

static void
say_depth(struct fci_doc *doc, const struct fci_verify_view *view)
{
    const fc_verify_result *result = view->result;
    const struct fci_found found = { result->findings, result->n_findings,
                                     FC_EXISTING };

    print_claims(doc, result);
    print_cases(doc, view);
    fci_doc_heading(doc, "Why");
    for (size_t i = 0; i < result->n_claims; i++)
        say_claim(doc, &result->claims[i]);
    say_unsettled(doc, result);
    say_readings(doc, result);
    fci_part_findings(doc, &found, NULL);
    fci_part_assumptions(doc, result->assumptions, result->n_assumptions);
    say_method(doc, result);
    fci_part_cautions(doc);
}

void
fci_verify_compose(struct fci_doc *doc, const void *what)
{
    const struct fci_verify_view *view = what;
    const fc_verify_result *result = view->result;

    const fc_checked_claim *const *sorted =
        fci_support_worst_first(&doc->arena, result);

    if (!sorted)
        return;
    doc->converted = fci_has_conversions(view->site);
    fci_part_title(doc, result->title);
    say_verdict(doc, result, sorted[0]);
    fci_part_overrides(doc, result->overrides, result->n_overrides);
    fci_doc_for(doc, FCI_IN_BRIEF);
    fci_verify_brief(doc, result, sorted);
    fci_doc_for(doc, FCI_IN_DEPTH);
    say_depth(doc, view);
    fci_part_close(doc, result->n_assumptions);
}
