/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/diagnose_why.c -- all causes, and how well each fits. */
#include "report/diagnose_report.h"

#include <math.h>

/* Where something was told of causes; nothing is made of readings that are to
 * be taken again. */
static bool
is_told(const fc_diagnosis *d)
{
    return d->verdict == FC_ONE_FAULT || d->verdict == FC_TWO_FAULTS
           || d->verdict == FC_NARROWED_DOWN;
}

static void
add_chance(struct fci_grid *table, double weight)
{
    fci_cell(table, fci_figure_number(100.0 * weight, 1).text);
}

static void
put_groups(struct fci_doc *doc, const fc_diagnosis *d)
{
    static const struct fci_doc_column columns[] = {
        { "chance", "%", FCI_RIGHT, 0 },
        { "what", "", FCI_LEFT, 20 },
    };
    struct fci_grid *table;

    fci_doc_heading(doc, "What these readings tell apart");
    table = fci_doc_table(doc, columns, 2);
    for (size_t i = 0; i < d->n_groups; i++) {
        add_chance(table, d->groups[i].weight);
        fci_cell(table, d->groups[i].text);
    }
}

/* "17.7 to 21.9 psi"; a C without decimals. */
static struct fci_figure
range_of(fc_unit_system units, const fc_fault *f)
{
    struct fci_figure text = { "" };

    if (isnan(f->low))
        return text;
    if (f->kind != FC_PIPE_ROUGHNESS)
        return fci_figure_span(units, f->dimension, f->low, f->high);
    snprintf(text.text, sizeof text.text, "C %.10s to %.10s",
             fci_figure_number(f->low, 0).text,
             fci_figure_number(f->high, 0).text);
    return text;
}

/* Of two faults both. */
static const char *
ranges_of(struct fci_doc *doc, const fc_cause *c)
{
    const char *text = "";

    for (size_t k = 0; k < c->n_faults && text; k++) {
        const struct fci_figure range = range_of(doc->units, &c->faults[k]);

        if (*range.text)
            text = fci_arena_printf(&doc->arena, "%s%s%s", text,
                                    *text ? "; " : "", range.text);
    }
    return text;
}

/* Without chances, which are of causes that explain. */
static void
put_causes(struct fci_doc *doc, const fc_diagnosis *d)
{
    const struct fci_doc_column columns[] = {
        { "chance", "%", FCI_RIGHT, 0 },
        { "misfit", "", FCI_RIGHT, 0 },
        { "cause", "", FCI_LEFT, 20 },
        { "its figure,\n95% sure", "", FCI_LEFT, 12 },
    };
    const bool chances = is_told(d);
    struct fci_grid *table;

    fci_doc_heading(doc, "%s",
                    chances
                        ? "Causes one by one"
                        : "The nearest, which do not explain the readings");
    table = fci_doc_table(doc, columns + !chances, chances ? 4 : 3);
    for (size_t i = 0; i < d->n_causes; i++) {
        const fc_cause *c = &d->causes[i];

        if (chances)
            add_chance(table, c->weight);
        fci_cell(table, fci_figure_number(c->misfit, 1).text);
        fci_cell(table, c->text);
        fci_cell(table, ranges_of(doc, c));
    }
    if (chances)
        fci_doc_say(doc,
                    "Chance: 100%% is all causes tried. It weighs how well "
                    "each fits, how common it is, how closely the readings "
                    "pin it down, and how far the ranges entered must be "
                    "stretched for it.");
    fci_doc_say(doc,
                "Misfit: what each reading is off by with that cause, in "
                "standard deviations of its gauge, squared and added up. Up "
                "to about one for each reading is a good fit; there are %zu "
                "readings.",
                d->n_readings);
}

void
fci_diagnose_causes(struct fci_doc *doc, const fc_diagnosis *d)
{
    if (d->n_causes == 0 || (!is_told(d) && d->verdict != FC_NOT_EXPLAINED))
        return;
    fci_doc_for(doc, FCI_IN_DEPTH);
    if (is_told(d) && d->n_groups > 1)
        put_groups(doc, d);
    put_causes(doc, d);
    fci_doc_for(doc, FCI_IN_ALL);
}
