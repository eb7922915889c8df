/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/verify_record.c -- an inspection record of the claims, to be
 * signed. */
#include "report/page_parts.h"
#include "report/report.h"
#include "report/shared.h"
#include "report/verify_report.h"
#include "report/words.h"

#include <math.h>
#include <string.h>

#define put fci_doc_pair

/* Of claims that nothing varies for there is no seed to tell. */
static void
put_version(struct fci_doc *doc, const fc_verify_result *result)
{
    if (result->draws > 1)
        put(doc, "Computed by", "flushcalc %s, draws %s, seed %lu",
            fc_version(), fci_support_draws(result->draws).text, result->seed);
    else
        put(doc, "Computed by", "flushcalc %s, every input taken as exact",
            fc_version());
}

static void
put_supply(struct fci_doc *doc, const fc_verify_result *result)
{
    const fc_range range = result->source_static;
    const bool differs = fci_figure_differs(doc->units, FC_PRESSURE, range);

    if (!result->source_static.given) {
        put(doc, "Supply", "%s, a tank", result->source);
        return;
    }
    put(doc, "Supply", "%s, %s%s%s static", result->source,
        differs ? fci_figure_of(doc->units, FC_PRESSURE, range.low).text : "",
        differs ? " to " : "",
        fci_figure_said(doc->units, FC_PRESSURE, range.high).text);
    put(doc, "", "on the day of the readings: ________ %s static",
        fc_unit_name(doc->units, FC_PRESSURE));
}

static const char *
title_of(const fc_verify_result *result)
{
    return result->title ? result->title : "without a title";
}

static void
put_file(struct fci_doc *doc, const char *label, const char *path,
         const char *digest)
{
    put(doc, label, "%s", path);
    if (!digest)
        return;
    put(doc, "", "SHA-256 %.32s", digest);
    put(doc, "", "        %s", digest + 32);
}

/* What the figures can be worked out from again, too. */
static void
put_head(struct fci_doc *doc, const struct fci_verify_view *view)
{
    const fc_verify_result *result = view->result;
    const fc_report_options *options = doc->options;

    fci_doc_for(doc, FCI_IN_TEXT); /* a page has the head of all pages */
    put(doc, "Site", "%s", title_of(result));
    if (result->address)
        put(doc, "Address", "%s", result->address);
    fci_doc_for(doc, FCI_IN_ALL);
    fci_part_overrides(doc, result->overrides, result->n_overrides);
    fci_doc_for(doc, FCI_IN_TEXT);
    if (options->site)
        put_file(doc, "Site file", options->site, fc_site_digest(view->site));
    if (result->tables)
        put_file(doc, "Tables file", result->tables,
                 fc_site_tables_digest(view->site));
    if (result->prepared_by)
        put(doc, "Prepared by", "%s", result->prepared_by);
    if (result->date)
        put(doc, "File dated", "%s", result->date);
    if (options->made)
        put(doc, "Made on", "%s", options->made);
    fci_doc_for(doc, FCI_IN_PAGE);
    fci_doc_heading(doc, "Basis");
    fci_doc_for(doc, FCI_IN_ALL);
    put_supply(doc, result);
    put_version(doc, result);
    for (size_t i = 0; i < result->n_basis; i++)
        put(doc, result->basis[i].what, "%s", result->basis[i].text);
}

/* One reading of a claim. */
struct gauge_line {
    const char *name;
    fc_gauge_shown shown;
    double here, within; /* brought to the claim's place */
};

/* Blanks to fill in. */
static void
put_unread(struct fci_doc *doc, const char *label)
{
    put(doc, label, "not read: ________ %s, gauge within ________ %s",
        fc_unit_name(doc->units, FC_PRESSURE),
        fc_unit_name(doc->units, FC_PRESSURE));
}

/* What the gauge showed where it was; at another place than the claim's also
 * what that makes there. */
static void
put_read(struct fci_doc *doc, const fc_checked_claim *c, const char *label,
         const struct gauge_line *line)
{
    const struct fci_figure there =
        fci_support_said(doc, c, line->shown.pressure);
    const struct fci_figure here = fci_support_said(doc, c, line->here);
    const struct fci_figure accuracy = fci_support_said(doc, c, line->within);

    if (strcmp(line->shown.at, c->fixture) == 0)
        put(doc, label, "%s read (%s, gauge within %s)", here.text, line->name,
            accuracy.text);
    else
        put(doc, label, "%s read at %s (%s, gauge within %s); %s at %s",
            there.text, line->shown.at, line->name, accuracy.text, here.text,
            c->fixture);
}

static void
put_still(struct fci_doc *doc, const fc_checked_claim *c)
{
    if (c->still_reading)
        put_read(doc, c, "Static",
                 &(struct gauge_line){ c->still_reading, c->still_shown,
                                       c->still_read, c->still_within });
    else
        put_unread(doc, "Static");
}

/* What was read while something else flowed than is claimed for. */
static void
put_carried(struct fci_doc *doc, const fc_checked_claim *c)
{
    put_read(doc, c, "Residual",
             &(struct gauge_line){ c->carried_reading, c->carried_shown,
                                   c->carried_read, c->carried_within });
    put(doc, "", "while %s, %s", c->carried_event,
        fci_state_phrase(c->carried_state));
    put(doc, "Carried", "%s %s when it is carried to this claim",
        fci_support_span(doc, c, c->carried_low, c->carried_high).text,
        fc_unit_name(doc->units, FC_PRESSURE));
}

/* Under the claim's condition where that can be had, else under one that can
 * be witnessed. */
static void
put_residual(struct fci_doc *doc, const fc_checked_claim *c)
{
    const bool own = c->can_be_read && !c->not_flowing;
    const bool carried =
        c->carried_reading && c->carried_flows && !own && !c->not_flowing;

    if (c->reading && !c->not_flowing) {
        put_read(
            doc, c, "Residual",
            &(struct gauge_line){ c->reading, c->shown, c->read, c->within });
        return;
    }
    if (carried) {
        put_carried(doc, c);
        return;
    }
    put_unread(doc, "Residual");
    if (own)
        put(doc, "", "while %s, %s", c->event, fci_state_phrase(c->state));
    else if (c->condition != FC_WHILE_PEAK && !c->not_flowing)
        put(doc, "", "while %s, %s, at the supply of the day read", c->event,
            fci_state_phrase(c->state));
    else
        put(doc, "",
            "while flushing: ____ of ____________, ____ of "
            "____________");
}

static void
put_computed(struct fci_doc *doc, const fc_checked_claim *c)
{
    const struct fci_figure computed = fci_support_said(doc, c, c->computed);
    const struct fci_figure still = fci_support_said(doc, c, c->still);

    if (c->why_not)
        put(doc, "Computed", "cannot be: %s", c->why_not);
    else if (c->not_flowing)
        put(doc, "Computed", "%s with no draw there (static %s)",
            computed.text, still.text);
    else if (c->decided_by)
        put(doc, "Computed",
            "%s; 95%% within %s %s, %s reach the claim (static %s)",
            computed.text, fci_support_span(doc, c, c->low, c->high).text,
            fc_unit_name(doc->units, FC_PRESSURE), fci_support_chance(c).text,
            still.text);
    else
        put(doc, "Computed", "%s (static %s)", computed.text, still.text);
}

static void
put_condition(struct fci_doc *doc, const fc_checked_claim *c)
{
    put(doc, "Valves flowing", "%s, %s%s", c->event,
        fci_state_phrase(c->state),
        c->not_flowing                  ? "; not a flowing condition"
        : c->condition != FC_WHILE_PEAK ? ""
        : c->why_not                    ? "; cannot be witnessed"
                                        : "; computed, not witnessed");
}

/* What a reading or the model says of one case. */
static void
put_verdict_of_case(struct fci_doc *doc, const fc_checked_claim *c)
{
    const char *word = fci_support_word(c->verdict);

    if (c->against)
        put(doc, "Verdict", "%s: the readings %s and %s cannot both be true",
            word, c->reading, c->against);
    else if (c->not_flowing && c->verdict == FC_UNDECIDED)
        put(doc, "Verdict", "%s: %s", word, c->not_flowing);
    else if (c->reading)
        put(doc, "Verdict", "%s by the reading", word);
    else if (c->why_not)
        put(doc, "Verdict", "%s: it cannot be computed", word);
    else if (c->refuted_by)
        put(doc, "Verdict", "%s: the %s the site as entered", word,
            fci_support_misfit(doc, c));
    else if (c->unproved)
        put(doc, "Verdict", "%s: unproved, as %s has no flow test", word,
            c->unproved);
    else if (fci_support_is_drawn_down(c))
        put(doc, "Verdict", "%s: %s", word, c->drawn_down);
    else if (c->borne_out_by)
        put(doc, "Verdict",
            "%s: the reading %s carried to this condition agrees with the "
            "computation, which alone would not decide",
            word, c->borne_out_by);
    else if (fci_support_is_split(c))
        put(doc, "Verdict",
            "%s: %s as computed, but the reading %s carried to this condition "
            "disagrees",
            word, fci_support_word(c->by_model), c->carried_reading);
    else
        put(doc, "Verdict", "%s as computed%s", word,
            c->condition == FC_WHILE_PEAK ? "; the peak was not witnessed"
                                          : "");
}

/* Of several cases, the harshest has its say where they agree. */
static void
put_verdict(struct fci_doc *doc, const fc_checked_claim *c)
{
    if (c->holds)
        put(doc, "Verdict", "%s: %s", fci_support_word(c->verdict), c->holds);
    else
        put_verdict_of_case(doc, c);
    put(doc, "", "judged %s", c->judged);
    if (c->but_under)
        put(doc, "", "%s%s%s", fci_support_word(c->verdict),
            fci_support_but(c), c->but_under);
}

static void
put_minima(struct fci_doc *doc, const fc_checked_claim *c)
{
    if (isnan(c->code_minimum))
        put(doc, "Code minimum", "none for a %s", c->kind);
    else
        put(doc, "Code minimum", "%s for a %s (%s)",
            fci_support_said(doc, c, c->code_minimum).text, c->kind,
            c->code ? c->code : "no source given");
    if (!isnan(c->valve_minimum))
        put(doc, "Valve minimum", "%s",
            fci_support_said(doc, c, c->valve_minimum).text);
}

static void
put_claim(struct fci_doc *doc, const fc_checked_claim *c)
{
    const fc_unit_system u = doc->units;

    fci_doc_break(doc);
    fci_doc_heading(doc, "Claim %s", c->name);
    put(doc, "Document", "%s", c->stated_in ? c->stated_in : "not stated");
    put(doc, "Claimed", "at least %s flowing",
        fci_support_said(doc, c, c->claimed).text);
    put_minima(doc, c);
    put(doc, "Place", "%s, elevation %s", c->fixture,
        fci_figure_said(u, FC_LENGTH, c->elevation).text);
    put_condition(doc, c);
    if (!isnan(c->supply))
        put(doc, "Supply", "%s static on the day of the claim",
            fci_figure_said(u, FC_PRESSURE, c->supply).text);
    put_still(doc, c);
    put_residual(doc, c);
    put_computed(doc, c);
    put_verdict(doc, c);
}

/* ---- All readings ------------------------------------------------------ */

static void
put_gauge(struct fci_doc *doc, const fc_listed_reading *r)
{
    put(doc, "Gauge", "%s%s%s%s%s, within %s%s",
        r->gauge ? r->gauge : "not named", r->number ? ", no. " : "",
        r->number ? r->number : "", r->calibrated ? ", calibrated " : "",
        r->calibrated ? r->calibrated : "",
        fci_figure_said(doc->units, FC_PRESSURE, r->within).text,
        r->within_said ? "" : " (not said; common practice)");
}

static void
put_reading(struct fci_doc *doc, const fc_listed_reading *r)
{
    fci_doc_break(doc);
    fci_doc_gap(doc);
    put(doc, r->name, "%s at %s", fci_reading_shown(doc, r).text, r->at);
    if (!isnan(r->pressure) && !isnan(r->flow))
        put(doc, "", "flow there %s",
            fci_figure_said(doc->units, FC_FLOW, r->flow).text);
    put(doc, "", "while %s, %s", r->event, fci_state_phrase(r->state));
    if (!isnan(r->pressure))
        put_gauge(doc, r);
    put(doc, "Used for", "%s", r->used_for ? r->used_for : "no claim");
    if (r->disagrees)
        put(doc, "DISAGREES", "%s", r->disagrees);
}

static void
put_readings(struct fci_doc *doc, const fc_verify_result *result)
{
    fci_doc_break(doc);
    fci_doc_heading(doc, "All readings of the file: %zu", result->n_readings);
    for (size_t i = 0; i < result->n_readings; i++)
        put_reading(doc, &result->readings[i]);
}

/* What is to be known before it is signed; the most severe stand first. */
static void
put_warnings(struct fci_doc *doc, const fc_verify_result *result)
{
    struct fci_found found = { result->findings, 0, FC_EXISTING };

    fci_doc_break(doc);
    while (found.n < result->n_findings
           && result->findings[found.n].severity >= FC_WARN)
        found.n++;
    fci_part_findings(doc, &found, NULL);
}

static void
put_blanks(struct fci_doc *doc)
{
    fci_doc_break(doc);
    fci_doc_gap(doc);
    fci_doc_say(doc, "Supported is not approval: the code, the authority "
                     "having jurisdiction and a licensed practitioner "
                     "decide.");
    fci_doc_line(doc, "Date, time", "Gauge no., calibrated");
    fci_doc_line(doc, "Accept, retest or refuse", NULL);
    fci_doc_line(doc, "Remarks", NULL);
    fci_doc_line(doc, "", NULL);
    fci_doc_line(doc, "Inspector", "Signature");
    fci_doc_line(doc, "Witness", "Signature");
}

static void
put_all(struct fci_doc *doc, const struct fci_verify_view *view)
{
    const fc_verify_result *result = view->result;

    put_head(doc, view);
    for (size_t i = 0; i < result->n_claims; i++)
        put_claim(doc, &result->claims[i]);
    put_readings(doc, result);
    put_warnings(doc, result);
    fci_doc_break(doc);
    fci_part_assumptions(doc, result->assumptions, result->n_assumptions);
    fci_doc_break(doc);
    fci_part_cautions(doc);
    put_blanks(doc);
}

void
fci_record_compose(struct fci_doc *doc, const void *what)
{
    const struct fci_verify_view *view = what;
    const fc_verify_result *result = view->result;
    const char *digest = fc_site_digest(view->site);
    struct fci_page page = { .doc = doc, .site = view->site };

    doc->over = "INSPECTION RECORD OF FLOWING PRESSURES";
    doc->under = fci_arena_printf(
        &doc->arena, "%s | flushcalc %s | site file %.12s | %s",
        doc->options->made ? doc->options->made : "undated", fc_version(),
        digest ? digest : "unknown", title_of(result));
    fci_page_head(&page, "Inspection record of flowing pressures");
    put_all(doc, view);
}
