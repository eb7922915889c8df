/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/quick_text.c -- a first answer for a person on a ladder: at most
 * 20 lines of 40 columns. */
#include "page/figure.h"
#include "report/report.h"
#include "report/shared.h"

#include <math.h>
#include <string.h>

#define SHOWN 3 /* steps on one screen; that of the verdict is the last */

/* The step that the verdict is about: the first that is not enough, or the
 * last. */
static const fc_quick_step *
telling(const fc_quick_result *r)
{
    size_t i = 0;

    while (i + 1 < r->n_steps && r->steps[i].flushing < r->flushing
           && r->steps[i].enough == FC_WORKS)
        i++;
    if (r->works == FC_WILL_NOT_WORK)
        for (i = 0; i < r->n_steps; i++)
            if (r->steps[i].enough == FC_WILL_NOT_WORK)
                break;
    return &r->steps[i < r->n_steps ? i : r->n_steps - 1];
}

/* As many decimals as tell two figures apart. */
static int
digits(const struct fci_doc *doc, double a, double b)
{
    int decimals = 0;

    while (decimals < 4
           && fci_figure_alike(doc->units, FC_PRESSURE, decimals, a, b))
        decimals++;
    return decimals;
}

/* Rounded so that it does not look like what it is held against. */
static struct fci_figure
most_of(const struct fci_doc *doc, double si, double beside)
{
    return fci_figure_with(doc->units, FC_PRESSURE, FC_UP,
                           digits(doc, si, beside), si);
}

static struct fci_figure
least_of(const struct fci_doc *doc, double si, double beside)
{
    return fci_figure_with(doc->units, FC_PRESSURE, FC_DOWN,
                           digits(doc, si, beside), si);
}

static const char *
unit_of(const struct fci_doc *doc)
{
    return fc_unit_name(doc->units, FC_PRESSURE);
}

static void
say_short(struct fci_doc *doc, const fc_quick_result *r)
{
    const fc_quick_step *step = telling(r);

    if (r->ceiling.given && r->ceiling.high <= 0)
        fci_doc_verdict(doc, FCI_BAD, "DOES NOT WORK:",
                        "static does not lift water to the valve.");
    else if (r->ceiling.given && r->ceiling.high < r->required.low)
        fci_doc_verdict(
            doc, FCI_BAD,
            "DOES NOT WORK:", "static is %s %s at most, %s required flowing.",
            most_of(doc, r->ceiling.high, r->required.low).text, unit_of(doc),
            least_of(doc, r->required.low, r->ceiling.high).text);
    else
        fci_doc_verdict(
            doc, FCI_BAD, "DOES NOT WORK",
            "with %d flushing: %s %s at most, %s required.", step->flushing,
            most_of(doc, step->pressure.high, r->required.low).text,
            unit_of(doc),
            least_of(doc, r->required.low, step->pressure.high).text);
}

static void
say_unclear(struct fci_doc *doc, const fc_quick_result *r)
{
    const fc_quick_step *step = telling(r);

    if (r->n_contradictions > 0)
        fci_doc_verdict(doc, FCI_UNSURE, "CANNOT TELL:",
                        "these figures don't agree with each other.");
    else if (step->at_most)
        fci_doc_verdict(doc, FCI_UNSURE, "CANNOT TELL:",
                        "what is lost while %d flush%s was not measured.",
                        step->flushing, step->flushing == 1 ? "es" : "");
    else if (step->far)
        fci_doc_verdict(doc, FCI_UNSURE, "CANNOT TELL:",
                        "%d flushing is too far from what was measured.",
                        step->flushing);
    else
        fci_doc_verdict(
            doc, FCI_UNSURE, "CANNOT TELL:",
            "with %d flushing %s %s, %s "
            "required.",
            step->flushing,
            fci_figure_range(doc->units, FC_PRESSURE, step->pressure).text,
            unit_of(doc),
            fci_figure_range(doc->units, FC_PRESSURE, r->required).text);
}

static void
say_excess(struct fci_doc *doc, const fc_excess *excess)
{
    const bool may = excess->too_high != FC_WILL_NOT_WORK;

    fci_doc_verdict(
        doc, may ? FCI_UNSURE : FCI_BAD,
        may ? "MAY BE TOO HIGH:" : "TOO HIGH:", "%s %s %s, limit %s.",
        excess->flowing ? "flowing" : "static",
        fci_figure_range(doc->units, FC_PRESSURE, excess->pressure).text,
        unit_of(doc),
        fci_figure_of(doc->units, FC_PRESSURE, excess->maximum).text);
}

static void
say_verdict(struct fci_doc *doc, const fc_quick_result *r)
{
    const fc_quick_step *step = telling(r);

    if (r->works == FC_WILL_NOT_WORK)
        say_short(doc, r);
    else if (r->works == FC_CANNOT_TELL)
        say_unclear(doc, r);
    else
        fci_doc_verdict(
            doc, FCI_GOOD, "WORKS",
            "with %d flushing: %s %s or more, %s required.", step->flushing,
            least_of(doc, step->pressure.low, r->required.high).text,
            unit_of(doc),
            most_of(doc, r->required.high, step->pressure.low).text);
    if (r->excess)
        say_excess(doc, r->excess);
}

/* ---- Figures ----------------------------------------------------------- */

static const struct fci_doc_column columns[] = {
    { "", "", FCI_LEFT, 0 },
    { "", "", FCI_RIGHT, 0 },
    { "", "", FCI_LEFT, 0 },
};

static void
add_row(struct fci_doc *doc, struct fci_grid *grid, const char *label,
        const char *figure, const char *word, enum fci_tint tint)
{
    (void)doc;
    fci_cell(grid, label);
    fci_cell(grid, figure);
    fci_cell_tinted(grid, word, tint);
}

static void
add_step(struct fci_doc *doc, struct fci_grid *grid, const fc_quick_step *step)
{
    static const struct {
        const char *word;
        enum fci_tint tint;
    } words[] = {
        [FC_CANNOT_TELL] = { "unsure", FCI_UNSURE },
        [FC_WORKS] = { "works", FCI_GOOD },
        [FC_WILL_NOT_WORK] = { "short", FCI_BAD },
    };
    char label[40], figure[60];

    snprintf(label, sizeof label, "%d flushing%s", step->flushing,
             isnan(step->read) ? "" : ", read");
    if (step->pressure.high <= 0)
        snprintf(figure, sizeof figure, "none");
    else if (step->at_most)
        snprintf(figure, sizeof figure, "under %s",
                 most_of(doc, step->pressure.high, NAN).text);
    else
        snprintf(
            figure, sizeof figure, "%s",
            fci_figure_range(doc->units, FC_PRESSURE, step->pressure).text);
    add_row(doc, grid, label, figure, words[step->enough].word,
            words[step->enough].tint);
}

static void
add_figures(struct fci_doc *doc, const fc_quick_result *r)
{
    struct fci_grid *grid = fci_doc_table(doc, columns, 3);
    const bool brief = doc->forms == FCI_IN_BRIEF;

    add_row(doc, grid, "required",
            fci_figure_range(doc->units, FC_PRESSURE, r->required).text,
            r->required_given ? "" : "usual", FCI_PLAIN_TINT);
    if (r->ceiling_known)
        add_row(doc, grid, "left for losses",
                fci_figure_range(doc->units, FC_PRESSURE, r->spare).text, "",
                FCI_PLAIN_TINT);
    if (r->n_contradictions > 0)
        return;
    for (size_t i = 0; i < r->n_steps; i++)
        if (!brief || r->steps[i].flushing < SHOWN
            || r->steps[i].flushing
                   == (r->flushing > SHOWN ? r->flushing : SHOWN))
            add_step(doc, grid, &r->steps[i]);
}

static void
say_ceiling(struct fci_doc *doc, const fc_quick_result *r)
{
    const char *unit = unit_of(doc);

    if (!r->ceiling.given)
        fci_doc_say(doc, "Static at the valve was not read.");
    else if (!r->ceiling_known)
        fci_doc_say(doc, "Static at the valve: %s %s at most.",
                    most_of(doc, r->ceiling.high, NAN).text, unit);
    else if (fci_figure_differs(doc->units, FC_PRESSURE, r->ceiling))
        fci_doc_say(
            doc, "Static at the valve: %s %s (%s).",
            fci_figure_of(doc->units, FC_PRESSURE, r->ceiling.nominal).text,
            unit, fci_figure_range(doc->units, FC_PRESSURE, r->ceiling).text);
    else
        fci_doc_say(
            doc, "Static at the valve: %s %s.",
            fci_figure_of(doc->units, FC_PRESSURE, r->ceiling.nominal).text,
            unit);
}

/* ---- Words ------------------------------------------------------------- */

static void
say_words(struct fci_doc *doc, const fc_quick_result *r)
{
    if (r->gauges && (r->n_contradictions == 0 || !r->gauges_agree))
        fci_doc_say(doc, "%s", r->gauges);
    else if (r->n_contradictions > 0)
        fci_doc_say(doc, "%s", r->contradictions[0].text);
    if (r->found)
        fci_doc_say(doc, "%s", r->found);
    if (r->proviso.given)
        fci_doc_say(doc, "It %s.", r->proviso.text);
    fci_doc_say(doc, "Next: %s.", r->next);
}

void
fci_quick_compose(struct fci_doc *doc, const void *what)
{
    const struct fci_quick_view *view = what;
    const fc_quick_result *r = view->result;
    enum fci_place place, tables;

    say_verdict(doc, r);
    say_ceiling(doc, r);
    fci_doc_for(doc, FCI_IN_BRIEF);
    add_figures(doc, r);
    say_words(doc, r);
    fci_doc_say(doc, "An aid, %zu things assumed (--full).", r->n_assumptions);
    place = doc->place;
    fci_doc_for(doc, FCI_IN_DEPTH);
    tables = fci_doc_place(doc, place); /* the answer stays on top */
    fci_doc_gap(doc);
    add_figures(doc, r);
    say_words(doc, r);
    fci_doc_place(doc, tables);
    if (r->n_contradictions > 0)
        fci_part_contradictions(doc, r->contradictions, r->n_contradictions);
    fci_doc_heading(doc, "Site file");
    fci_doc_code(doc, "%s", r->text);
    fci_part_assumptions(doc, r->assumptions, r->n_assumptions);
    fci_part_cautions(doc);
}
