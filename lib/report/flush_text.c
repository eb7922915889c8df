/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/flush_text.c -- the report of `flush` for a person. */
#include "page/figure.h"
#include "report/report.h"
#include "report/flush_report.h"
#include "report/shared.h"
#include "report/words.h"

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
    fc_range of_a = fci_flush_margin(a), of_b = fci_flush_margin(b);

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
static struct fci_figure
said_all(const struct tally *tally, const char *all)
{
    struct fci_figure f;

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
say_enough(struct fci_doc *doc, const struct tally *tally, const char *when)
{
    fc_range margin;

    if (tally->flushing == 0) {
        fci_doc_say(doc, "The building has no flush valve %s.", when);
        return;
    }
    if (!tally->worst) {
        fci_doc_verdict(doc, FCI_GOOD, "ENOUGH",
                        "%s: no valve that flushes states a minimum, so there "
                        "is nothing to fall short of.",
                        when);
        return;
    }
    margin = fci_flush_margin(tally->worst);
    fci_doc_verdict(
        doc, FCI_GOOD, "ENOUGH",
        "%s: %s what %s; %s to spare is %s%s (at %s).", when,
        said_all(tally, "all ").text,
        tally->flushing == 1 ? "it needs" : "they need",
        tally->flushing == 1 ? "what it has" : "the least",
        fci_figure_differs(doc->units, FC_PRESSURE, margin) ? "at least " : "",
        fci_figure_margin_said(doc->units, FC_PRESSURE, margin.low).text,
        tally->worst->name);
}

static void
say_short(struct fci_doc *doc, const struct tally *tally, const char *when)
{
    fc_range margin = fci_flush_margin(tally->worst);
    char unclear[64] = "";

    if (tally->flushing == 1) {
        fci_doc_verdict(
            doc, FCI_BAD, "SHORT",
            "%s: the one valve that flushes, %s, is below %s by %s%s.", when,
            tally->worst->name,
            tally->worst->governed_by == FC_CODE_GOVERNS ? "the code's least"
                                                         : "its own minimum",
            fci_figure_differs(doc->units, FC_PRESSURE, margin) ? "at least "
                                                                : "",
            fci_figure_margin_said(doc->units, FC_PRESSURE, margin.high).text);
        return;
    }
    if (tally->unclear > 0)
        snprintf(unclear, sizeof unclear, "; for %d more it cannot be told",
                 tally->unclear);
    fci_doc_verdict(
        doc, FCI_BAD, "SHORT",
        "%s: %d of %d valves that flush %s below the valve's own "
        "minimum, %s %s, by %s%s%s.",
        when, tally->short_of, tally->flushing,
        tally->short_of == 1 ? "is" : "are",
        tally->short_of == 1 ? "that of" : "most so", tally->worst->name,
        fci_figure_differs(doc->units, FC_PRESSURE, margin) ? "at least " : "",
        fci_figure_margin_said(doc->units, FC_PRESSURE, margin.high).text,
        unclear);
}

static void
say_unclear(struct fci_doc *doc, const struct tally *tally, const char *when,
            bool bounded)
{
    fc_range margin;

    if (!tally->worst || !bounded) {
        fci_doc_verdict(doc, FCI_UNSURE, "CANNOT TELL",
                        "whether %s enough %s: %s.",
                        said_all(tally, "the ").text, when,
                        bounded ? "see what is found below"
                                : "the ranges of the inputs cannot be "
                                  "followed here, and the figures are at "
                                  "midpoint values");
        return;
    }
    margin = fci_flush_margin(tally->worst);
    if (margin.low >= 0.0) {
        fci_doc_verdict(doc, FCI_UNSURE, "CANNOT TELL",
                        "whether %s enough %s: how far the main drops is not "
                        "known.",
                        said_all(tally, "the ").text, when);
        return;
    }
    fci_doc_verdict(
        doc, FCI_UNSURE, "CANNOT TELL",
        "whether %s enough %s: %s lies between %s short and %s to "
        "spare.",
        said_all(tally, "the ").text, when, tally->worst->name,
        fci_figure_margin_said(doc->units, FC_PRESSURE, margin.low).text,
        fci_figure_margin_said(doc->units, FC_PRESSURE, margin.high).text);
}

static void
say_flow(struct fci_doc *doc, const fc_flush_result *result, bool all)
{
    struct fci_figure flow =
        fci_figure_said(doc->units, FC_FLOW, result->flow);

    if (result->flushing == 0)
        fci_doc_say(doc, "Nothing flushes; %s leave the source.", flow.text);
    else if (result->flushing == 1)
        fci_doc_say(doc, "One valve flushes; %s leave the source.", flow.text);
    else if (result->flushing == 2)
        fci_doc_say(doc, "%s valves flush at once; %s leave the source.",
                    all ? "Both" : "Two", flow.text);
    else
        fci_doc_say(doc, "%s%d valves flush at once; %s leave the source.",
                    all ? "All " : "", result->flushing, flow.text);
}

static void
say_method(struct fci_doc *doc)
{
    fci_doc_heading(doc, "How it was worked out");
    fci_doc_say(doc,
                "flushcalc %s; each valve draws what its own pressure lets "
                "through, flows add up at every junction, friction by "
                "Hazen-Williams.",
                fc_version());
}

/* Where every valve has enough, and something else fails. */
static void
say_fails(struct fci_doc *doc, const char *when)
{
    fci_doc_verdict(doc, FCI_BAD, "WILL NOT WORK",
                    "%s: see what is found below.", when);
}

static void
say_too_high(struct fci_doc *doc, const fc_flush_result *result)
{
    size_t n = 0;

    if (result->too_high_at >= result->n_fixtures)
        return;
    for (size_t i = 0; i < result->n_fixtures; i++)
        n += result->fixtures[i].too_high == result->too_high;
    fci_part_too_high(doc, result->fixtures[result->too_high_at].excess,
                      result->fixtures[result->too_high_at].name, n - 1);
}

void
fci_flush_compose(struct fci_doc *doc, const void *what)
{
    const struct fci_flush_view *view = what;
    const fc_flush_result *result = view->result;
    const bool all = view->all;
    const char *when = fci_state_phrase(result->state);
    const struct tally tally = count_valves(result);
    const struct fci_found found = { result->findings, result->n_findings,
                                     result->state };

    fci_part_title(doc, result->title);
    if (result->n_contradictions > 0)
        fci_doc_verdict(doc, FCI_UNSURE, "CANNOT TELL",
                        "whether %s enough %s: gauge readings contradict the "
                        "file as entered.",
                        said_all(&tally, "the ").text, when);
    else if (result->enough == FC_WORKS)
        say_enough(doc, &tally, when);
    else if (result->enough == FC_WILL_NOT_WORK && tally.short_of > 0)
        say_short(doc, &tally, when);
    else if (result->enough == FC_WILL_NOT_WORK)
        say_fails(doc, when);
    else
        say_unclear(doc, &tally, when, result->bounded);
    fci_part_contradictions(doc, result->contradictions,
                            result->n_contradictions);
    fci_part_proviso(doc, &result->proviso);
    fci_part_overrides(doc, result->overrides, result->n_overrides);
    say_too_high(doc, result);
    say_flow(doc, result, all);
    fci_flush_tables(doc, result);
    fci_part_findings(doc, &found, NULL);
    fci_part_assumptions(doc, result->assumptions, result->n_assumptions);
    say_method(doc);
    fci_part_cautions(doc);
}
