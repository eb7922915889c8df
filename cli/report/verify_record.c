/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/verify_record.c -- an inspection record of the claims, to be
 * signed. */
#include "report/verify_report.h"
#include "report/shared.h"
#include "page/pages.h"
#include "page/words.h"

#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#define LABEL_WIDTH 18 /* columns, the labels' indent of two among them */

static void
may_end_page(struct page *page)
{
    fputs(PAGES_BREAK, page->out);
}

/* "  Document      submittal, sheet P-3" */
static void put(struct page *page, const char *label, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

static void
put(struct page *page, const char *label, const char *format, ...)
{
    char *text = NULL;
    size_t size = 0;
    FILE *into = open_memstream(&text, &size);
    va_list args;
    bool composed = into != NULL;

    va_start(args, format);
    if (into) {
        composed = vfprintf(into, format, args) >= 0;
        composed &= fclose(into) == 0;
    }
    va_end(args);
    page_spaces(page, 2);
    text_write(page->out, label, text_width(label));
    page_spaces(page, LABEL_WIDTH - 2 - text_width(label));
    page_go_on(page, LABEL_WIDTH, LABEL_WIDTH, "%s", composed ? text : "");
    page->failed |= !composed;
    free(text);
}

/* Of claims that nothing varies for there is no seed to tell. */
static void
put_version(struct page *page, const fc_verify_result *result)
{
    if (result->draws > 1)
        put(page, "Worked out by", "flushcalc %s, draws %s, seed %lu",
            fc_version(), support_draws(result->draws).text, result->seed);
    else
        put(page, "Worked out by", "flushcalc %s, every input taken as exact",
            fc_version());
}

static void
put_supply(struct page *page, const fc_verify_result *result)
{
    if (!result->source_static.given) {
        put(page, "Supply", "%s, a tank", result->source);
        return;
    }
    put(page, "Supply", "%s, %s static", result->source,
        figure_range_said(page->units, FC_PRESSURE, result->source_static)
            .text);
    put(page, "", "on the day of the readings: ________ %s static",
        fc_unit_name(page->units, FC_PRESSURE));
}

static const char *
title_of(const fc_verify_result *result)
{
    return result->title ? result->title : "without a title";
}

static void
put_file(struct page *page, const char *label, const char *path,
         const struct digest *digest)
{
    put(page, label, "%s", strcmp(path, "-") == 0 ? "standard input" : path);
    if (*digest->hex)
        put(page, "", "SHA-256 %.32s", digest->hex);
    if (*digest->hex)
        put(page, "", "        %s", digest->hex + 32);
    else
        put(page, "", "SHA-256 not known: it can be read only once");
}

/* What the figures can be worked out from again, too. */
static void
put_head(struct page *page, const fc_verify_result *result,
         const struct origin *origin)
{
    put(page, "Site", "%s", title_of(result));
    if (result->address)
        put(page, "Address", "%s", result->address);
    part_overrides(page, result->overrides, result->n_overrides);
    put_file(page, "Site file", origin->site_path, &origin->site);
    if (origin->tables_path)
        put_file(page, "Tables file", origin->tables_path, &origin->tables);
    if (result->prepared_by)
        put(page, "Prepared by", "%s", result->prepared_by);
    if (result->date)
        put(page, "File dated", "%s", result->date);
    put(page, "Worked out on", "%s", origin->date);
    put_supply(page, result);
    put_version(page, result);
    for (size_t i = 0; i < result->n_basis; i++)
        put(page, result->basis[i].what, "%s", result->basis[i].text);
}

/* One reading of a claim. */
struct gauge_line {
    const char *name;
    fc_gauge_shown shown;
    double here, within; /* brought to the claim's place */
};

/* Blanks to fill in. */
static void
put_unread(struct page *page, const char *label)
{
    put(page, label, "not read: ________ %s, gauge within ________ %s",
        fc_unit_name(page->units, FC_PRESSURE),
        fc_unit_name(page->units, FC_PRESSURE));
}

/* What the gauge showed where it was; at another place than the claim's also
 * what that makes there. */
static void
put_read(struct page *page, const fc_checked_claim *c, const char *label,
         const struct gauge_line *line)
{
    const struct figure there = support_said(page, c, line->shown.pressure);
    const struct figure here = support_said(page, c, line->here);
    const struct figure accuracy = support_said(page, c, line->within);

    if (strcmp(line->shown.at, c->fixture) == 0)
        put(page, label, "%s read (%s, gauge within %s)", here.text,
            line->name, accuracy.text);
    else
        put(page, label, "%s read at %s (%s, gauge within %s); %s at %s",
            there.text, line->shown.at, line->name, accuracy.text, here.text,
            c->fixture);
}

static void
put_still(struct page *page, const fc_checked_claim *c)
{
    if (c->still_reading)
        put_read(page, c, "Static",
                 &(struct gauge_line){ c->still_reading, c->still_shown,
                                       c->still_read, c->still_within });
    else
        put_unread(page, "Static");
}

/* What was read while something else flowed than is claimed for. */
static void
put_carried(struct page *page, const fc_checked_claim *c)
{
    put_read(page, c, "Residual",
             &(struct gauge_line){ c->carried_reading, c->carried_shown,
                                   c->carried_read, c->carried_within });
    put(page, "", "while %s, %s", c->carried_event,
        state_phrase(c->carried_state));
    put(page, "Carried", "%s..%s when it is carried to this claim",
        support_pressure(page, c, c->carried_low).text,
        support_said(page, c, c->carried_high).text);
}

/* Under the claim's condition where that can be had, else under one that can
 * be witnessed. */
static void
put_residual(struct page *page, const fc_checked_claim *c)
{
    const bool own = c->can_be_read && !c->not_flowing;
    const bool carried =
        c->carried_reading && c->carried_flows && !own && !c->not_flowing;

    if (c->reading && !c->not_flowing) {
        put_read(
            page, c, "Residual",
            &(struct gauge_line){ c->reading, c->shown, c->read, c->within });
        return;
    }
    if (carried) {
        put_carried(page, c);
        return;
    }
    put_unread(page, "Residual");
    if (own)
        put(page, "", "while %s, %s", c->event, state_phrase(c->state));
    else if (c->condition != FC_WHILE_PEAK && !c->not_flowing)
        put(page, "", "while %s, %s, at the supply of the day read", c->event,
            state_phrase(c->state));
    else
        put(page, "",
            "while flushing: ____ of ____________, ____ of "
            "____________");
}

static void
put_computed(struct page *page, const fc_checked_claim *c)
{
    const struct figure computed = support_said(page, c, c->computed);
    const struct figure still = support_said(page, c, c->still);

    if (c->why_not)
        put(page, "Computed", "not: %s", c->why_not);
    else if (c->not_flowing)
        put(page, "Computed", "%s while it draws nothing (static %s)",
            computed.text, still.text);
    else if (c->decided_by)
        put(page, "Computed",
            "%s; 95 %% within %s %s, %s reach the claim (static %s)",
            computed.text, support_interval(page, c).text,
            fc_unit_name(page->units, FC_PRESSURE), support_chance_of(c).text,
            still.text);
    else
        put(page, "Computed", "%s (static %s)", computed.text, still.text);
}

static void
put_condition(struct page *page, const fc_checked_claim *c)
{
    put(page, "Valves flowing", "%s, %s%s", c->event, state_phrase(c->state),
        c->not_flowing                  ? "; not a flowing condition"
        : c->condition != FC_WHILE_PEAK ? ""
        : c->why_not                    ? "; not to be witnessed"
                                        : "; computed, not witnessed");
}

/* What a reading or the model says of one case. */
static void
put_verdict_of_case(struct page *page, const fc_checked_claim *c)
{
    const char *word = support_word(c->verdict);

    if (c->against)
        put(page, "Verdict", "%s: the readings %s and %s cannot both be true",
            word, c->reading, c->against);
    else if (c->not_flowing && c->verdict == FC_UNDECIDED)
        put(page, "Verdict", "%s: %s", word, c->not_flowing);
    else if (c->reading)
        put(page, "Verdict", "%s by the reading", word);
    else if (c->why_not)
        put(page, "Verdict", "%s: the model cannot tell", word);
    else if (c->refuted_by)
        put(page, "Verdict",
            "%s: the reading %s does not fit the site as it is given", word,
            c->refuted_by);
    else if (c->unproved)
        put(page, "Verdict", "%s: %s has no flow test, so that it is unproved",
            word, c->unproved);
    else if (support_is_drawn_down(c))
        put(page, "Verdict", "%s: %s", word, c->drawn_down);
    else if (c->borne_out_by)
        put(page, "Verdict",
            "%s: the reading %s carried to this condition says what the "
            "model does, which alone would not decide",
            word, c->borne_out_by);
    else if (support_is_split(c))
        put(page, "Verdict",
            "%s: the model says %s, the reading %s carried to this condition "
            "says otherwise",
            word, support_word(c->by_model), c->carried_reading);
    else
        put(page, "Verdict", "%s by the model%s", word,
            c->condition == FC_WHILE_PEAK ? "; the peak was not witnessed"
                                          : "");
}

/* Of several cases, the harshest has its say where they agree. */
static void
put_verdict(struct page *page, const fc_checked_claim *c)
{
    if (c->holds)
        put(page, "Verdict", "%s: %s", support_word(c->verdict), c->holds);
    else
        put_verdict_of_case(page, c);
    put(page, "", "judged %s", c->judged);
    if (c->but_under)
        put(page, "", "%s%s%s", support_word(c->verdict), support_but(c),
            c->but_under);
}

static void
put_minima(struct page *page, const fc_checked_claim *c)
{
    if (isnan(c->code_minimum))
        put(page, "Code minimum", "none for a %s", c->kind);
    else
        put(page, "Code minimum", "%s for a %s (%s)",
            support_said(page, c, c->code_minimum).text, c->kind, c->code);
    if (!isnan(c->valve_minimum))
        put(page, "Valve minimum", "%s",
            support_said(page, c, c->valve_minimum).text);
}

static void
put_claim(struct page *page, const fc_checked_claim *c)
{
    const fc_unit_system u = page->units;

    may_end_page(page);
    page_heading(page, "Claim %s", c->name);
    put(page, "Document", "%s", c->stated_in ? c->stated_in : "not stated");
    put(page, "Claimed", "at least %s flowing",
        support_said(page, c, c->claimed).text);
    put_minima(page, c);
    put(page, "Place, height", "%s, %s over the datum", c->fixture,
        figure_said(u, FC_LENGTH, c->elevation).text);
    put_condition(page, c);
    if (!isnan(c->supply))
        put(page, "Supply", "%s static on the day of the claim",
            figure_said(u, FC_PRESSURE, c->supply).text);
    put_still(page, c);
    put_residual(page, c);
    put_computed(page, c);
    put_verdict(page, c);
}

/* ---- All readings ------------------------------------------------------ */

static void
put_gauge(struct page *page, const fc_listed_reading *r)
{
    put(page, "Gauge", "%s%s%s%s%s, within %s%s",
        r->gauge ? r->gauge : "not named", r->number ? ", no. " : "",
        r->number ? r->number : "", r->calibrated ? ", calibrated " : "",
        r->calibrated ? r->calibrated : "",
        figure_said(page->units, FC_PRESSURE, r->within).text,
        r->within_said ? "" : " (not said; common practice)");
}

static void
put_reading(struct page *page, const fc_listed_reading *r)
{
    may_end_page(page);
    page_blank(page);
    put(page, r->name, "%s at %s", reading_shown(page, r).text, r->at);
    if (!isnan(r->pressure) && !isnan(r->flow))
        put(page, "", "flow there %s",
            figure_said(page->units, FC_FLOW, r->flow).text);
    put(page, "", "while %s, %s", r->event, state_phrase(r->state));
    if (!isnan(r->pressure))
        put_gauge(page, r);
    put(page, "Used for", "%s", r->used_for ? r->used_for : "no claim");
    if (r->disagrees)
        put(page, "DISAGREES", "%s", r->disagrees);
}

static void
put_readings(struct page *page, const fc_verify_result *result)
{
    may_end_page(page);
    page_heading(page, "All readings of the file: %zu", result->n_readings);
    for (size_t i = 0; i < result->n_readings; i++)
        put_reading(page, &result->readings[i]);
}

/* What is to be known before it is signed; the most severe stand first. */
static void
put_warnings(struct page *page, const fc_verify_result *result)
{
    struct found found = { result->findings, 0, FC_EXISTING };

    may_end_page(page);
    while (found.n < result->n_findings
           && result->findings[found.n].severity >= FC_WARN)
        found.n++;
    part_findings(page, &found, NULL);
}

static void
put_blanks(struct page *page)
{
    static const char *const lines[] = {
        "Date, time      ____________________  Gauge no., calibrated "
        "________________",
        "Remarks         ____________________________________________________"
        "_______",
        "                ____________________________________________________"
        "_______",
        "Inspector       ____________________  Signature _____________________"
        "______",
        "Witness         ____________________  Signature _____________________"
        "______",
    };

    may_end_page(page);
    page_blank(page);
    page_say(page, 2, 2,
             "Supported is not approval: the code, the authority having "
             "jurisdiction and a licensed practitioner decide.");
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        page_blank(page);
        fprintf(page->out, "  %s\n", lines[i]);
    }
}

static void
put_all(struct page *page, const fc_verify_result *result,
        const struct origin *origin)
{
    put_head(page, result, origin);
    for (size_t i = 0; i < result->n_claims; i++)
        put_claim(page, &result->claims[i]);
    put_readings(page, result);
    put_warnings(page, result);
    may_end_page(page);
    part_assumptions(page, result->assumptions, result->n_assumptions);
    may_end_page(page);
    part_cautions(page);
    put_blanks(page);
}

/* The site and the run, over every page. */
static char *
name_run(const fc_verify_result *result, const struct origin *origin)
{
    const char *format = "%s | flushcalc %s | site file %.12s | %s";
    const char *digest = *origin->site.hex ? origin->site.hex : "unknown";
    const char *title = title_of(result);
    const size_t size = strlen(format) + strlen(origin->date)
                        + strlen(fc_version()) + strlen(title) + 20;
    char *text = malloc(size);

    if (text)
        snprintf(text, size, format, origin->date, fc_version(), digest,
                 title);
    return text;
}

void
verify_record(struct page *page, const fc_verify_result *result,
              const struct origin *origin)
{
    char *run = name_run(result, origin), *text = NULL;
    size_t size = 0;
    struct page body = *page;

    body.out = run ? open_memstream(&text, &size) : NULL;
    if (body.out) {
        put_all(&body, result, origin);
        page->failed |= fclose(body.out) != 0 || body.failed;
    }
    if (text && !page->failed)
        pages_print(page, text, "INSPECTION RECORD OF FLOWING PRESSURES", run);
    page->failed |= !text;
    free(text);
    free(run);
}
