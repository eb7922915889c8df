/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/flush_text.c -- the report of `flush` for a person. */
#include "page/figure.h"
#include "report/flush_report.h"
#include "report/shared.h"
#include "page/words.h"

/* The valves that flush, each of a group counted, and the one that has least
 * to spare of those that count. */
struct tally {
    int flushing, short_of, unclear;
    const fc_flush_fixture *worst;
};

/* Which of two has less to spare: at the worst end, but of valves that are
 * short even at the best end at that. */
static bool
is_worse(const fc_flush_fixture *a, const fc_flush_fixture *b)
{
    fc_range of_a = flush_margin(a), of_b = flush_margin(b);

    return of_a.high < 0.0 && of_b.high < 0.0 ? of_a.high < of_b.high
                                              : of_a.low < of_b.low;
}

static struct tally
count_valves(const fc_flush_result *result)
{
    struct tally tally = { 0 };

    for (size_t i = 0; i < result->n_fixtures; i++) {
        const fc_flush_fixture *f = &result->fixtures[i];

        tally.flushing += f->flushing;
        if (f->flushing == 0 || !f->required.given)
            continue;
        tally.short_of += f->enough == FC_WILL_NOT_WORK ? f->flushing : 0;
        tally.unclear += f->enough == FC_CANNOT_TELL ? f->flushing : 0;
        if (f->enough == result->enough
            && (!tally.worst || is_worse(f, tally.worst)))
            tally.worst = f;
    }
    return tally;
}

/* "all 3 valves that flush have", "the one valve that flushes has" */
static struct figure
said_all(const struct tally *tally, const char *all)
{
    struct figure f;

    if (tally->flushing == 1)
        snprintf(f.text, sizeof f.text, "the one valve that flushes has");
    else if (tally->flushing == 2)
        snprintf(f.text, sizeof f.text, "both valves that flush have");
    else
        snprintf(f.text, sizeof f.text, "%s%d valves that flush have", all,
                 tally->flushing);
    return f;
}

static void
say_enough(struct page *page, const struct tally *tally, const char *when)
{
    fc_range margin;

    if (tally->flushing == 0) {
        page_say(page, 0, 0, "The building has no flush valve %s.", when);
        return;
    }
    if (!tally->worst) {
        page_say_tinted(page, TINT_GOOD, "ENOUGH",
                        "%s: no valve that flushes states a minimum, so there "
                        "is nothing to fall short of.",
                        when);
        return;
    }
    margin = flush_margin(tally->worst);
    page_say_tinted(
        page, TINT_GOOD, "ENOUGH",
        "%s: %s what %s; %s to spare is %s%s (at %s).", when,
        said_all(tally, "all ").text,
        tally->flushing == 1 ? "it needs" : "they need",
        tally->flushing == 1 ? "what it has" : "the least",
        figure_differs(page->units, FC_PRESSURE, margin) ? "at least " : "",
        figure_margin_said(page->units, FC_PRESSURE, margin.low).text,
        tally->worst->name);
}

static void
say_short(struct page *page, const struct tally *tally, const char *when)
{
    fc_range margin = flush_margin(tally->worst);
    char unclear[64] = "";

    if (tally->flushing == 1) {
        page_say_tinted(
            page, TINT_BAD, "SHORT",
            "%s: the one valve that flushes, %s, is below %s by %s%s.", when,
            tally->worst->name,
            tally->worst->governed_by == FC_CODE_GOVERNS ? "the code's least"
                                                         : "its own minimum",
            figure_differs(page->units, FC_PRESSURE, margin) ? "at least "
                                                             : "",
            figure_margin_said(page->units, FC_PRESSURE, margin.high).text);
        return;
    }
    if (tally->unclear > 0)
        snprintf(unclear, sizeof unclear, "; for %d more it cannot be told",
                 tally->unclear);
    page_say_tinted(
        page, TINT_BAD, "SHORT",
        "%s: %d of %d valves that flush %s below the valve's own "
        "minimum, %s %s, by %s%s%s.",
        when, tally->short_of, tally->flushing,
        tally->short_of == 1 ? "is" : "are",
        tally->short_of == 1 ? "that of" : "most so", tally->worst->name,
        figure_differs(page->units, FC_PRESSURE, margin) ? "at least " : "",
        figure_margin_said(page->units, FC_PRESSURE, margin.high).text,
        unclear);
}

static void
say_unclear(struct page *page, const struct tally *tally, const char *when,
            bool bounded)
{
    fc_range margin;

    if (!tally->worst || !bounded) {
        page_say_tinted(page, TINT_UNSURE, "CANNOT TELL",
                        "whether %s enough %s: %s.",
                        said_all(tally, "the ").text, when,
                        bounded ? "see what is found below"
                                : "the ranges of the inputs cannot be "
                                  "followed here, and the figures are at "
                                  "midpoint values");
        return;
    }
    margin = flush_margin(tally->worst);
    if (margin.low >= 0.0) {
        page_say_tinted(page, TINT_UNSURE, "CANNOT TELL",
                        "whether %s enough %s: how far the main drops is not "
                        "known.",
                        said_all(tally, "the ").text, when);
        return;
    }
    page_say_tinted(
        page, TINT_UNSURE, "CANNOT TELL",
        "whether %s enough %s: %s lies between %s short and %s to "
        "spare.",
        said_all(tally, "the ").text, when, tally->worst->name,
        figure_margin_said(page->units, FC_PRESSURE, margin.low).text,
        figure_margin_said(page->units, FC_PRESSURE, margin.high).text);
}

static void
say_flow(struct page *page, const fc_flush_result *result, bool all)
{
    struct figure flow = figure_said(page->units, FC_FLOW, result->flow);

    if (result->flushing == 0)
        page_say(page, 0, 0, "Nothing flushes; %s leave the source.",
                 flow.text);
    else if (result->flushing == 1)
        page_say(page, 0, 0, "One valve flushes; %s leave the source.",
                 flow.text);
    else if (result->flushing == 2)
        page_say(page, 0, 0, "%s valves flush at once; %s leave the source.",
                 all ? "Both" : "Two", flow.text);
    else
        page_say(page, 0, 0, "%s%d valves flush at once; %s leave the source.",
                 all ? "All " : "", result->flushing, flow.text);
}

static void
say_method(struct page *page)
{
    page_heading(page, "How it was worked out");
    page_say(page, 2, 2,
             "flushcalc %s; each valve draws what its own pressure lets "
             "through, flows add up at every junction, friction by "
             "Hazen-Williams.",
             fc_version());
}

/* Where every valve has enough, and something else fails. */
static void
say_fails(struct page *page, const char *when)
{
    page_say_tinted(page, TINT_BAD, "WILL NOT WORK",
                    "%s: see what is found below.", when);
}

static void
say_too_high(struct page *page, const fc_flush_result *result)
{
    size_t n = 0;

    if (result->too_high_at >= result->n_fixtures)
        return;
    for (size_t i = 0; i < result->n_fixtures; i++)
        n += result->fixtures[i].too_high == result->too_high;
    part_too_high(page, result->fixtures[result->too_high_at].excess,
                  result->fixtures[result->too_high_at].name, n - 1);
}

void
flush_text(struct page *page, const fc_flush_result *result, bool all)
{
    const char *when = state_phrase(result->state);
    const struct tally tally = count_valves(result);
    const struct found found = { result->findings, result->n_findings,
                                 result->state };

    part_title(page, result->title);
    if (result->n_contradictions > 0)
        page_say_tinted(page, TINT_UNSURE, "CANNOT TELL",
                        "whether %s enough %s: gauge readings contradict the "
                        "file as entered.",
                        said_all(&tally, "the ").text, when);
    else if (result->enough == FC_WORKS)
        say_enough(page, &tally, when);
    else if (result->enough == FC_WILL_NOT_WORK && tally.short_of > 0)
        say_short(page, &tally, when);
    else if (result->enough == FC_WILL_NOT_WORK)
        say_fails(page, when);
    else
        say_unclear(page, &tally, when, result->bounded);
    part_contradictions(page, result->contradictions,
                        result->n_contradictions);
    part_proviso(page, &result->proviso);
    part_overrides(page, result->overrides, result->n_overrides);
    say_too_high(page, result);
    say_flow(page, result, all);
    flush_tables(page, result);
    part_findings(page, &found, NULL);
    part_assumptions(page, result->assumptions, result->n_assumptions);
    say_method(page);
    part_cautions(page);
}
