/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/quick_text.c -- a first answer for a person on a ladder: at most
 * 20 lines of 40 columns. */
#include "page/figure.h"
#include "report/report.h"
#include "report/shared.h"

#include <math.h>
#include <string.h>

#define SHOWN 3 /* steps on one screen */

/* The step that the verdict is about: the first that is not enough, or the
 * last. */
static const fc_quick_step *
deciding(const fc_quick_result *r)
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

/* A report under construction. */
struct telling {
    struct fci_doc *doc;
    const fc_quick_result *r;
    int decimals; /* of every pressure, at least */
};

static struct fci_figure
figure(const struct telling *t, double si)
{
    return fci_figure_with(t->doc->units, FC_PRESSURE, FC_NEAREST, t->decimals,
                           si);
}

static struct fci_figure
between(const struct telling *t, fc_range range)
{
    return fci_figure_range_with(t->doc->units, FC_PRESSURE, t->decimals,
                                 range);
}

static void
tell_apart(struct telling *t, double a, double b)
{
    const int decimals =
        fci_figure_apart(t->doc->units, FC_PRESSURE, a, fc_exactly(b));

    if (decimals > t->decimals)
        t->decimals = decimals;
}

static const char *
unit_of(const struct fci_doc *doc)
{
    return fc_unit_name(doc->units, FC_PRESSURE);
}

static void
say_short(const struct telling *t)
{
    struct fci_doc *doc = t->doc;
    const fc_quick_result *r = t->r;
    const fc_quick_step *step = deciding(r);

    if (r->ceiling.given && r->ceiling.high <= 0)
        fci_doc_verdict(doc, FCI_BAD, "DOES NOT WORK:",
                        "static does not lift water to the valve.");
    else if (r->ceiling.given && r->ceiling.high < r->required.low)
        fci_doc_verdict(doc, FCI_BAD, "DOES NOT WORK:",
                        "static is %s %s at most, %s required flowing.",
                        figure(t, r->ceiling.high).text, unit_of(doc),
                        figure(t, r->required.low).text);
    else
        fci_doc_verdict(doc, FCI_BAD, "DOES NOT WORK",
                        "with %d flushing: %s %s at most, %s required.",
                        step->flushing, figure(t, step->pressure.high).text,
                        unit_of(doc), figure(t, r->required.low).text);
}

static void
say_unclear(const struct telling *t)
{
    struct fci_doc *doc = t->doc;
    const fc_quick_result *r = t->r;
    const fc_quick_step *step = deciding(r);

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
        fci_doc_verdict(doc, FCI_UNSURE, "CANNOT TELL:",
                        "with %d flushing %s %s, %s "
                        "required.",
                        step->flushing, between(t, step->pressure).text,
                        unit_of(doc), between(t, r->required).text);
}

static void
say_excess(const struct telling *t, const fc_excess *excess)
{
    struct fci_doc *doc = t->doc;
    const bool may = excess->too_high != FC_WILL_NOT_WORK;
    const bool proves_static =
        excess->flowing && excess->maximum_of != FC_MAXIMUM_OF_VALVE;

    fci_doc_verdict(
        doc, may ? FCI_UNSURE : FCI_BAD,
        may ? "MAY BE TOO HIGH:" : "TOO HIGH:", "%s %s %s, %slimit %s.",
        excess->flowing ? "flowing" : "static",
        between(t, excess->pressure).text, unit_of(doc),
        proves_static ? "static " : "",
        between(t, fc_exactly(excess->maximum)).text);
}

static void
say_verdict(const struct telling *t)
{
    const fc_quick_result *r = t->r;
    const fc_quick_step *step = deciding(r);

    if (r->works == FC_WILL_NOT_WORK)
        say_short(t);
    else if (r->works == FC_CANNOT_TELL)
        say_unclear(t);
    else
        fci_doc_verdict(t->doc, FCI_GOOD, "WORKS",
                        "with %d flushing: %s %s or more, %s required.",
                        step->flushing, figure(t, step->pressure.low).text,
                        unit_of(t->doc), figure(t, r->required.high).text);
    if (r->excess)
        say_excess(t, r->excess);
}

/* The figures of the verdict stand again in the table, in the same digits. */
static struct telling
telling_of(struct fci_doc *doc, const fc_quick_result *r)
{
    struct telling t = { doc, r, 0 };
    const fc_quick_step *step = deciding(r);
    const fc_excess *excess = r->excess;

    if (r->works == FC_WORKS)
        tell_apart(&t, step->pressure.low, r->required.high);
    else if (r->works == FC_WILL_NOT_WORK)
        tell_apart(&t,
                   r->ceiling.given && r->ceiling.high < r->required.low
                       ? r->ceiling.high
                       : step->pressure.high,
                   r->required.low);
    else {
        tell_apart(&t, step->pressure.low, r->required.high);
        tell_apart(&t, step->pressure.high, r->required.low);
    }
    if (excess)
        tell_apart(&t,
                   excess->too_high == FC_WILL_NOT_WORK
                       ? excess->pressure.low
                       : excess->pressure.high,
                   excess->maximum);
    return t;
}

/* ---- Figures ----------------------------------------------------------- */

static const struct fci_doc_column columns[] = {
    { "", "", FCI_LEFT, 0 },
    { "", "", FCI_RIGHT, 0 },
    { "", "", FCI_LEFT, 0 },
};

static void
add_row(struct fci_grid *grid, const char *label, const char *pressure,
        const char *word, enum fci_tint tint)
{
    fci_cell(grid, label);
    fci_cell(grid, pressure);
    fci_cell_tinted(grid, word, tint);
}

static void
add_step(const struct telling *t, struct fci_grid *grid,
         const fc_quick_step *step)
{
    static const struct {
        const char *word;
        enum fci_tint tint;
    } words[] = {
        [FC_CANNOT_TELL] = { "unsure", FCI_UNSURE },
        [FC_WORKS] = { "works", FCI_GOOD },
        [FC_WILL_NOT_WORK] = { "short", FCI_BAD },
    };
    char label[40], pressure[60];

    snprintf(label, sizeof label, "%d flushing%s", step->flushing,
             isnan(step->read) ? "" : ", read");
    if (step->pressure.high <= 0)
        snprintf(pressure, sizeof pressure, "none");
    else if (step->at_most)
        snprintf(pressure, sizeof pressure, "under %s",
                 figure(t, step->pressure.high).text);
    else
        snprintf(pressure, sizeof pressure, "%s",
                 between(t, step->pressure).text);
    add_row(grid, label, pressure, words[step->enough].word,
            words[step->enough].tint);
}

/* On one screen: one valve, as many as were asked for, and between them as
 * many as the verdict is about. */
static bool
is_shown(const fc_quick_result *r, int flushing)
{
    const int last = r->flushing > SHOWN ? r->flushing : SHOWN;
    const int about = deciding(r)->flushing;

    return flushing == 1 || flushing == last
           || flushing == (about > 1 && about < last ? about : SHOWN - 1);
}

static void
add_figures(const struct telling *t)
{
    struct fci_doc *doc = t->doc;
    const fc_quick_result *r = t->r;
    struct fci_grid *grid = fci_doc_table(doc, columns, 3);
    const bool brief = doc->forms == FCI_IN_BRIEF;

    add_row(grid, "required", between(t, r->required).text,
            r->required_given ? "" : "usual", FCI_PLAIN_TINT);
    if (r->ceiling_known)
        add_row(grid, "left for losses", between(t, r->spare).text, "",
                FCI_PLAIN_TINT);
    if (r->n_contradictions > 0)
        return;
    for (size_t i = 0; i < r->n_steps; i++)
        if (!brief || is_shown(r, r->steps[i].flushing))
            add_step(t, grid, &r->steps[i]);
}

static void
say_ceiling(const struct telling *t)
{
    struct fci_doc *doc = t->doc;
    const fc_range ceiling = t->r->ceiling;
    const struct fci_figure range = between(t, ceiling);
    const struct fci_figure nominal = figure(t, ceiling.nominal);
    const char *unit = unit_of(doc);

    if (!ceiling.given)
        fci_doc_say(doc, "Static at the valve was not read.");
    else if (!t->r->ceiling_known)
        fci_doc_say(doc, "Static at the valve: %s %s at most.",
                    figure(t, ceiling.high).text, unit);
    else if (strstr(range.text, ".."))
        fci_doc_say(doc, "Static at the valve: %s %s (%s).", nominal.text,
                    unit, range.text);
    else
        fci_doc_say(doc, "Static at the valve: %s %s.", range.text, unit);
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
    const struct telling t = telling_of(doc, r);
    enum fci_place place, tables;

    say_verdict(&t);
    say_ceiling(&t);
    fci_doc_for(doc, FCI_IN_BRIEF);
    add_figures(&t);
    say_words(doc, r);
    fci_doc_say(doc, "An aid, %zu things assumed (--full).", r->n_assumptions);
    place = doc->place;
    fci_doc_for(doc, FCI_IN_DEPTH);
    tables = fci_doc_place(doc, place); /* the answer stays on top */
    fci_doc_gap(doc);
    add_figures(&t);
    say_words(doc, r);
    fci_doc_place(doc, tables);
    if (r->n_contradictions > 0)
        fci_part_contradictions(doc, r->contradictions, r->n_contradictions);
    fci_doc_heading(doc, "Site file");
    fci_doc_code(doc, "%s", r->text);
    fci_part_assumptions(doc, r->assumptions, r->n_assumptions);
    fci_part_cautions(doc);
}
