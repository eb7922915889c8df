/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/flush_text.c -- the report of `flush` for a person. */
#include "page/figure.h"
#include "report/flush_report.h"
#include "report/shared.h"
#include "site/site.h"

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

/* "all 3 valves that flush" */
static struct fci_figure
said_all(const struct tally *tally)
{
    struct fci_figure f;

    if (tally->flushing == 2)
        snprintf(f.text, sizeof f.text, "both valves that flush");
    else
        snprintf(f.text, sizeof f.text, "all %d valves that flush",
                 tally->flushing);
    return f;
}

static const char *
minimum_of(const fc_flush_fixture *f)
{
    return f->governed_by == FC_CODE_GOVERNS ? "the code minimum"
                                             : "the valve minimum";
}

static void
say_works(struct fci_doc *doc, const fc_flush_result *result,
          const struct tally *tally)
{
    const fc_range margin = fci_flush_margin(tally->worst);
    const struct fci_figure spare =
        fci_figure_margin_said(doc->units, FC_PRESSURE, margin.low);
    const bool ranges = fci_figure_differs(doc->units, FC_PRESSURE, margin);

    if (tally->flushing == 1)
        fci_part_verdict(doc, FC_WORKS, result->state,
                         "%s will stay above %s, %s to spare%s.",
                         tally->worst->name, minimum_of(tally->worst),
                         spare.text, ranges ? " (worst case)" : "");
    else
        fci_part_verdict(doc, FC_WORKS, result->state,
                         "%s stay above their minimum; least margin %s%s, at "
                         "%s.",
                         said_all(tally).text, spare.text,
                         ranges ? " (worst case)" : "", tally->worst->name);
}

static void
say_short(struct fci_doc *doc, const fc_flush_result *result,
          const struct tally *tally)
{
    const fc_range margin = fci_flush_margin(tally->worst);
    const struct fci_figure lack =
        fci_figure_margin_said(doc->units, FC_PRESSURE, margin.low);
    const char *worst = fci_figure_differs(doc->units, FC_PRESSURE, margin)
                            ? " (worst case)"
                            : "";
    char unclear[64] = "";

    if (tally->flushing == 1) {
        fci_part_verdict(doc, FC_WILL_NOT_WORK, result->state,
                         "%s will be below %s, short by %s%s.",
                         tally->worst->name, minimum_of(tally->worst),
                         lack.text, worst);
        return;
    }
    if (tally->unclear > 0)
        snprintf(unclear, sizeof unclear, "; not certain for %d more",
                 tally->unclear);
    fci_part_verdict(doc, FC_WILL_NOT_WORK, result->state,
                     "%d of %d valves that flush %s below %s minimum, %s "
                     "short by %s%s%s.",
                     tally->short_of, tally->flushing,
                     tally->short_of == 1 ? "is" : "are",
                     tally->short_of == 1 ? "its" : "their",
                     tally->worst->name, lack.text, worst, unclear);
}

static void
say_unclear(struct fci_doc *doc, const fc_flush_result *result,
            const struct tally *tally)
{
    fc_range margin = { 0 };

    if (tally->worst)
        margin = fci_flush_margin(tally->worst);
    if (result->n_contradictions > 0)
        fci_part_verdict(doc, FC_CANNOT_TELL, result->state,
                         "gauge readings contradict the file as entered.");
    else if (!result->bounded)
        fci_part_verdict(doc, FC_CANNOT_TELL, result->state,
                         "no best and worst case was found; the figures are "
                         "at midpoint values.");
    else if (!tally->worst)
        fci_part_verdict(doc, FC_CANNOT_TELL, result->state,
                         "see the warnings.");
    else if (margin.low >= 0.0)
        fci_part_verdict(doc, FC_CANNOT_TELL, result->state,
                         "how far the main drops is not known.");
    else
        fci_part_verdict(
            doc, FC_CANNOT_TELL, result->state,
            "%s is between %s short and %s to spare.", tally->worst->name,
            fci_figure_margin_said(doc->units, FC_PRESSURE, margin.low).text,
            fci_figure_margin_said(doc->units, FC_PRESSURE, margin.high).text);
}

/* The finding that the verdict quotes; NULL: none. */
static const fc_finding *
say_verdict(struct fci_doc *doc, const fc_flush_result *result,
            const struct fci_found *found)
{
    const struct tally tally = count_valves(result);
    const fc_finding *quoted = NULL;

    if (result->enough == FC_WORKS && tally.worst)
        say_works(doc, result, &tally);
    else if (result->enough == FC_WORKS)
        fci_part_verdict(doc, FC_WORKS, result->state, "no valve flushes.");
    else if (result->enough == FC_CANNOT_TELL)
        say_unclear(doc, result, &tally);
    else if (tally.short_of > 0)
        say_short(doc, result, &tally);
    else
        quoted = fci_part_fails(doc, found);
    fci_part_proviso(doc, &result->proviso);
    return quoted;
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
    fci_doc_heading(doc, "How it was calculated");
    fci_doc_say(doc,
                "flushcalc %s; each valve draws what its own pressure lets "
                "through, flows add up at every junction, friction by "
                "Hazen-Williams.",
                fc_version());
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

/* The table tells of these. */
static bool
is_told(const fc_finding *f)
{
    return f->code == FC_FOUND_FLOWING_PRESSURE;
}

#define CLOSE_LINES 3
#define TABLE_LINES 19 /* what the table is to have at least */

void
fci_flush_compose(struct fci_doc *doc, const void *what)
{
    const struct fci_flush_view *view = what;
    const fc_flush_result *result = view->result;
    const struct fci_found found = { result->findings, result->n_findings,
                                     result->state };
    const fc_finding *quoted;

    doc->converted = fci_has_conversions(view->site);
    fci_part_title(doc, result->title);
    quoted = say_verdict(doc, result, &found);
    fci_part_contradictions(doc, result->contradictions,
                            result->n_contradictions);
    fci_part_overrides(doc, result->overrides, result->n_overrides);
    say_too_high(doc, result);
    say_flow(doc, result, view->all);
    fci_part_warnings(doc, &found, is_told, quoted, CLOSE_LINES + TABLE_LINES);
    fci_doc_for(doc, FCI_IN_BRIEF);
    fci_flush_brief(doc, view, CLOSE_LINES);
    fci_doc_for(doc, FCI_IN_DEPTH);
    if (fci_doc_is_seen(doc))
        fci_flush_tables(doc, result);
    fci_part_findings(doc, &found, NULL);
    fci_part_assumptions(doc, result->assumptions, result->n_assumptions);
    say_method(doc);
    fci_part_cautions(doc);
    fci_part_close(doc, result->n_assumptions);
}
