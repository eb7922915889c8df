/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/page_quick.c -- what the page of a first answer tells beside it:
 * the figures as they were given, and what was made of them.  The site file
 * behind it is no input: nobody wrote it.
 */
#include "page/figure.h"
#include "report/page_parts.h"

static void
add_row(struct fci_grid *table, const char *what, const char *key,
        const char *value, const char *basis)
{
    fci_cell(table, what);
    fci_cell(table, key);
    fci_cell(table, value);
    fci_cell(table, basis);
}

static const char *
said(struct fci_page *page, fc_range range)
{
    return fci_page_said(
        page,
        fci_figure_range_said(page->doc->units, FC_PRESSURE, range).text);
}

void
fci_page_figures(struct fci_page *page)
{
    static const struct fci_doc_column columns[] = {
        { "figure", "", FCI_LEFT, 20 },
        { "key", "", FCI_LEFT, 0 },
        { "value", "", FCI_LEFT, 10 },
        { "basis", "", FCI_LEFT, 8 },
    };
    const fc_quick_result *r = page->quick;
    struct fci_grid *table;

    fci_doc_heading(page->doc, "Inputs");
    fci_doc_say(page->doc,
                "Given: as it was typed. Derived: from what was given. "
                "Usual: not given; see what is assumed, below.");
    table = fci_doc_table(page->doc, columns, 4);
    for (size_t i = 0; i < r->n_given; i++)
        add_row(table, r->given[i].asks, r->given[i].key, r->given[i].value,
                "given");
    if (r->ceiling.given)
        add_row(table, "Static pressure at the valve", "",
                said(page, r->ceiling),
                r->ceiling_known ? "derived" : "derived, its ends alone");
    if (!r->required_given)
        add_row(table, "Minimum flowing pressure of the valve", "",
                said(page, r->required), "usual");
}
