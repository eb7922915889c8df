/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/verify_record.c -- an inspection record of the claims, to be signed. */
#include "verify_report.h"
#include "words.h"

#include <math.h>
#include <stdarg.h>
#include <stdlib.h>

#define LABEL_WIDTH 18 /* columns, the labels' indent of two among them */

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

static void
put_head(struct page *page, const fc_verify_result *result)
{
    const char *title = result->title ? result->title : "without a title";

    page_say(page, 0, 0, "INSPECTION RECORD OF FLOWING PRESSURES");
    page_blank(page);
    put(page, "Site", "%s", title);
    if (result->address)
        put(page, "Address", "%s", result->address);
    put(page, "Site file", "%s%s%s",
        result->prepared_by ? result->prepared_by : "",
        result->prepared_by && result->date ? ", " : "",
        result->date ? result->date : "");
    if (result->source_static.given)
        put(page, "Supply", "%s, %s static", result->source,
            figure_range_said(page->units, FC_PRESSURE, result->source_static)
                .text);
    else
        put(page, "Supply", "%s, a tank", result->source);
    put(page, "Worked out by", "flushcalc %s, draws %s, seed %lu",
        fc_version(), support_draws(result->draws).text, result->seed);
}

/* What a gauge read, with what it may be off by; or a blank to fill in. */
static void
put_read(struct page *page, const char *label, const char *reading,
         double read, double within)
{
    const fc_unit_system u = page->units;

    if (reading)
        put(page, label, "%s read (%s, gauge within %s)",
            figure_said(u, FC_PRESSURE, read).text, reading,
            figure_said(u, FC_PRESSURE, within).text);
    else
        put(page, label, "not read: ________ %s, gauge within ________ %s",
            fc_unit_name(u, FC_PRESSURE), fc_unit_name(u, FC_PRESSURE));
}

static void
put_computed(struct page *page, const fc_checked_claim *c)
{
    const fc_unit_system u = page->units;
    const fc_range interval = { true, c->computed, c->low, c->high };

    if (c->why_not)
        put(page, "Computed", "not: %s", c->why_not);
    else if (c->decided_by)
        put(page, "Computed",
            "%s; 95 %% within %s, %s reach the claim (static %s)",
            figure_said(u, FC_PRESSURE, c->computed).text,
            figure_range_said(u, FC_PRESSURE, interval).text,
            support_chance(c->probability).text,
            figure_said(u, FC_PRESSURE, c->still).text);
    else
        put(page, "Computed", "%s (static %s)",
            figure_said(u, FC_PRESSURE, c->computed).text,
            figure_said(u, FC_PRESSURE, c->still).text);
}

static void
put_claim(struct page *page, const fc_checked_claim *c)
{
    const fc_unit_system u = page->units;

    page_heading(page, "Claim %s", c->name);
    put(page, "Document", "%s", c->stated_in ? c->stated_in : "not stated");
    put(page, "Claimed", "at least %s flowing",
        figure_said(u, FC_PRESSURE, c->claimed).text);
    put(page, "Place, height", "%s, %s over the datum", c->fixture,
        figure_said(u, FC_LENGTH, c->elevation).text);
    put(page, "Valves flowing", "%s, %s", c->event, state_phrase(c->state));
    if (!isnan(c->supply))
        put(page, "Supply", "%s static on the day of the claim",
            figure_said(u, FC_PRESSURE, c->supply).text);
    put_read(page, "Static", c->still_reading, c->still_read, c->still_within);
    put_read(page, "Residual", c->reading, c->read, c->within);
    put_computed(page, c);
    put(page, "Verdict", "%s by the %s", support_word(c->verdict),
        c->reading ? "reading" : "model");
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

    page_blank(page);
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++) {
        page_blank(page);
        fprintf(page->out, "  %s\n", lines[i]);
    }
}

void
verify_record(struct page *page, const fc_verify_result *result)
{
    put_head(page, result);
    for (size_t i = 0; i < result->n_claims; i++)
        put_claim(page, &result->claims[i]);
    put_blanks(page);
}
