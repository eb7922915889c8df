/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/remedy_text.c -- the report of `size --remedy` for a person. */
#include "report/report.h"
#include "page/figure.h"
#include "page/screen.h"
#include "report/check_text.h"
#include "remedy/remedies.h"
#include "report/remedy_report.h"
#include "report/shared.h"

#include <math.h>
#include <string.h>

/* Where an option is told. */
enum shelf { BUYS_NOTHING, WORKS_ALONE, OF_OTHERS, SHELVES };

static enum shelf
shelf_of(const fc_remedy *r)
{
    return r->reach == FC_BY_UTILITY && !isnan(r->value) ? OF_OTHERS
           : r->works                                    ? WORKS_ALONE
                                                         : BUYS_NOTHING;
}

static size_t
count_on(const fc_remedies *remedies, enum shelf shelf)
{
    size_t n = 0;

    for (size_t i = 0; i < remedies->n_remedies; i++)
        n += shelf_of(&remedies->remedies[i]) == shelf;
    return n;
}

/* "and 1 that is not in your hands"; "" where there is none */
static const char *
others_said(struct fci_doc *doc, const fc_remedies *remedies)
{
    size_t n = 0;

    for (size_t i = 0; i < remedies->n_remedies; i++)
        n += shelf_of(&remedies->remedies[i]) == OF_OTHERS
             && remedies->remedies[i].works;
    return n > 0 ? fci_arena_printf(&doc->arena,
                                    ", and %zu that %s not in your hands", n,
                                    n == 1 ? "is" : "are")
                 : "";
}

/* What the building's own verdict leaves open: what would fix it.  Options
 * count as they are numbered. */
static void
say_fixes(struct fci_doc *doc, const fc_remedies *remedies)
{
    const size_t fixes = count_on(remedies, WORKS_ALONE);
    const size_t n = remedies->n_remedies;
    const char *work = fixes == 1 ? "works" : "work";
    const char *others = others_said(doc, remedies);

    if (!others)
        return; /* the arena has failed, and so the document */
    if (remedies->check->n_contradictions > 0)
        fci_doc_say(doc, "Cannot tell what would fix it: gauge readings "
                         "contradict the file as entered.");
    else if (remedies->works == FC_WORKS && remedies->too_high == FC_WORKS)
        fci_doc_say(doc, "Nothing to fix.");
    else if (remedies->untested && n == 0)
        fci_doc_say(doc, "Every fixture works while the main keeps its static "
                         "pressure; how far it drops under flow is not "
                         "known. Test its flow.");
    else if (remedies->untested && fixes > 0)
        fci_doc_say(doc,
                    "%zu of %zu options %s alone%s if the main keeps its "
                    "static pressure; how far it drops under flow is not "
                    "known. Test its flow first.",
                    fixes, n, work, others);
    else if (fixes > 0 && remedies->works == FC_CANNOT_TELL)
        fci_doc_say(doc,
                    "Measure first what would settle it. In the worst case "
                    "%zu of %zu options %s alone%s.",
                    fixes, n, work, others);
    else if (fixes > 0)
        fci_doc_say(doc, "%zu of %zu options %s alone%s.", fixes, n, work,
                    others);
    else if (n == 0)
        fci_doc_say(doc, "No option tried here changes what fails.");
    else
        fci_doc_say(doc, "%sone of the %zu options tried works alone%s.",
                    remedies->works == FC_CANNOT_TELL ? "In the worst case n"
                                                      : "N",
                    n, *others ? ", but for what is not in your hands" : "");
}

/* "booster, valve and [prices] of pipes" */
static const char *
unpriced_said(struct fci_doc *doc, const fc_remedies *remedies)
{
    const size_t n = remedies->n_unpriced;
    const char *text = "";

    for (size_t i = 0; text && i < n; i++)
        text = fci_arena_printf(&doc->arena, "%s%s%s", text,
                                i == 0      ? ""
                                : i + 1 < n ? ", "
                                            : " and ",
                                remedies->unpriced[i]);
    return text;
}

/* Which fix costs least, where the site has prices. */
static void
say_lowest(struct fci_doc *doc, const fc_remedies *remedies)
{
    const size_t i = remedies->lowest;
    const bool known = i < remedies->n_remedies;
    const char *lacks = unpriced_said(doc, remedies);

    if (!remedies->priced || !lacks || (!known && !*lacks))
        return;
    if (!known)
        fci_doc_say(doc,
                    "Which fix has the lowest price is not known: no price "
                    "for %s.",
                    lacks);
    else if (*lacks)
        fci_doc_say(doc,
                    "Lowest price of those with a price: option %zu, %s; no "
                    "price for %s, so another may cost less.",
                    i + 1,
                    fci_figure_number(remedies->remedies[i].price, 2).text,
                    lacks);
    else
        fci_doc_say(doc, "Lowest price of these options: option %zu, %s.",
                    i + 1,
                    fci_figure_number(remedies->remedies[i].price, 2).text);
}

/* " Cost of pipe: 666.5 inch-feet."; "" without pipes. */
static struct fci_figure
cost_said(const fc_remedies *remedies, const fc_remedy *r)
{
    struct fci_figure f = { "" };

    if (r->n_pipes > 0)
        snprintf(f.text, sizeof f.text, " Cost of pipe: %.16s %s.",
                 fci_figure_number(r->cost, remedies->by_prices ? 2 : 1).text,
                 remedies->by_prices ? "by the prices" : "inch-feet");
    return f;
}

/* " Price: 1900.00."; "" where it is not known, or told by the pipes. */
static struct fci_figure
price_said(const fc_remedy *r)
{
    struct fci_figure f = { "" };

    if (!isnan(r->price) && !(r->n_purchases == 1 && r->n_pipes > 0))
        snprintf(f.text, sizeof f.text, " Price: %.24s.",
                 fci_figure_number(r->price, 2).text);
    return f;
}

static const char *
excess_said(const fc_remedy *r)
{
    return r->works && r->too_high != FC_WORKS
               ? " Too much pressure remains where it is now."
               : "";
}

static const char *
left_out_said(const fc_remedies *remedies, const fc_remedy *r)
{
    return remedies->priced && r->works && !fci_may_be_lowest(r)
               ? " Not counted in the lowest price."
               : "";
}

/* What to do, what pipe costs, and what else is to be known. */
static const char *
option_said(struct fci_doc *doc, const fc_remedies *remedies,
            const fc_remedy *r)
{
    return fci_arena_printf(&doc->arena, "%s%s%s%s%s", r->text,
                            cost_said(remedies, r).text, price_said(r).text,
                            excess_said(r), left_out_said(remedies, r));
}

static const char *const headings[SHELVES] = {
    [BUYS_NOTHING] = "Options that do not work alone",
    [WORKS_ALONE] = "Options that work alone (number for --pick)",
    [OF_OTHERS] = "What the city main would have to give",
};

/* ---- All of them ------------------------------------------------------ */

static void
put_options(struct fci_doc *doc, const fc_remedies *remedies, enum shelf shelf)
{
    bool any = false;

    for (size_t i = 0; i < remedies->n_remedies; i++) {
        const fc_remedy *r = &remedies->remedies[i];
        const char *said;

        if (shelf_of(r) != shelf)
            continue;
        if (!any)
            fci_doc_heading(doc, "%s", headings[shelf]);
        any = true;
        said = option_said(doc, remedies, r);
        if (said)
            fci_doc_say(doc, "%zu. %s", i + 1, said);
        if (r->n_pipes > 0)
            fci_remedy_pipes(doc, remedies, r);
    }
}

/* ---- One screen ------------------------------------------------------- */

static bool
same_figure(double a, double b)
{
    return (isnan(a) && isnan(b)) || fabs(a - b) < 1e-6 * fabs(a + b);
}

/* Whether two sentences differ by no more than their subjects. */
static bool
same_but_subject(const fc_remedy *a, const fc_remedy *b)
{
    const char *in_a = strstr(a->text, a->subject);
    const char *in_b = strstr(b->text, b->subject);

    return in_a && in_b && in_a - a->text == in_b - b->text
           && strncmp(a->text, b->text, (size_t)(in_a - a->text)) == 0
           && strcmp(in_a + strlen(a->subject), in_b + strlen(b->subject))
                  == 0;
}

/* Of alike elements, as the PRVs of alike floors: the same figures, or where
 * there are none the same reason. */
static bool
are_alike(const fc_remedy *a, const fc_remedy *b)
{
    if (a->lever != b->lever || a->works != b->works
        || a->too_high != b->too_high || a->n_pipes + b->n_pipes > 0
        || !a->subject || !b->subject || !same_figure(a->now, b->now))
        return false;
    return isnan(a->value) || isnan(b->value)
               ? same_but_subject(a, b)
               : same_figure(a->value, b->value);
}

/* Whether one like it stands before it. */
static bool
is_told(const fc_remedies *remedies, size_t i)
{
    for (size_t k = 0; k < i; k++)
        if (are_alike(&remedies->remedies[k], &remedies->remedies[i]))
            return true;
    return false;
}

/* " Likewise 3 to 17."; "" where there is none like it. */
static struct fci_figure
likewise(const fc_remedies *remedies, size_t i)
{
    struct fci_figure f = { "" };
    size_t n = 0, last = i;

    for (size_t k = i + 1; k < remedies->n_remedies; k++)
        if (are_alike(&remedies->remedies[i], &remedies->remedies[k])) {
            n++;
            last = k;
        }
    if (n == last - i && n > 1)
        snprintf(f.text, sizeof f.text, " Likewise %zu to %zu.", i + 2,
                 last + 1);
    else if (n > 0)
        snprintf(f.text, sizeof f.text, " Likewise %zu more, up to %zu.", n,
                 last + 1);
    return f;
}

static void
add_option(struct fci_doc *doc, struct fci_grid *grid,
           const fc_remedies *remedies, size_t i)
{
    const char *said = option_said(doc, remedies, &remedies->remedies[i]);

    if (!said)
        return; /* the arena has failed, and so the document */
    fci_cell(grid, fci_figure_number((double)i + 1.0, 0).text);
    fci_cell(grid, fci_arena_printf(&doc->arena, "%s%s", said,
                                    likewise(remedies, i).text));
}

/* Where nothing works: what was tried together, and who goes on; NULL: some
 * do, or none was tried. */
static const char *
tried_said(struct fci_doc *doc, const fc_remedies *remedies)
{
    const char *text = "";

    if (remedies->n_tried == 0 || remedies->n_remedies == 0
        || count_on(remedies, WORKS_ALONE) > 0)
        return NULL;
    for (size_t i = 0; text && i < remedies->n_tried; i++)
        text = fci_arena_printf(&doc->arena, "%s%s%s", text, i > 0 ? "; " : "",
                                remedies->tried[i]);
    return text ? fci_arena_printf(&doc->arena,
                                   "Tried together too, without success: %s. "
                                   "A designer must combine more.",
                                   text)
                : NULL;
}

#define BELOW 5 /* lines: how many are left out, and the end */

/* The same with what was tried, whose lines hold 60 signs at the least. */
static size_t
lines_below(struct fci_doc *doc, const fc_remedies *remedies)
{
    const char *tried = tried_said(doc, remedies);

    return BELOW + (tried ? strlen(tried) / 60 : 0);
}

/* As many as fit; the number of those that do not.  Where not even one does,
 * its heading is taken back. */
static size_t
put_brief(struct fci_doc *doc, const fc_remedies *remedies, enum shelf shelf)
{
    static const struct fci_doc_column columns[] = {
        { "", "", FCI_RIGHT, 0 },
        { "", "", FCI_LEFT, 30 },
    };
    struct fci_block *const last = doc->last;
    struct fci_grid *grid = NULL;
    const size_t below = lines_below(doc, remedies);
    size_t left = 0;

    for (size_t i = 0; i < remedies->n_remedies; i++) {
        size_t cells;

        if (shelf_of(&remedies->remedies[i]) != shelf || is_told(remedies, i))
            continue;
        if (!grid && fci_screen_room(doc, 3 + below) > 0) {
            fci_doc_heading(doc, "%s", headings[shelf]);
            grid = fci_doc_table(doc, columns, 2);
        }
        if (!grid || left > 0) {
            left++;
            continue;
        }
        cells = grid->n_cells;
        add_option(doc, grid, remedies, i);
        if (fci_screen_room(doc, below) == 0) {
            grid->n_cells = cells;
            left++;
        }
    }
    if (grid && last && fci_grid_is_empty(grid)) {
        doc->last = last;
        last->next = NULL;
    }
    return left;
}

static void
say_brief(struct fci_doc *doc, const fc_remedies *remedies)
{
    const size_t work = put_brief(doc, remedies, WORKS_ALONE);
    const size_t utility = put_brief(doc, remedies, OF_OTHERS);
    const size_t others = put_brief(doc, remedies, BUYS_NOTHING);
    const size_t left = work + utility + others;

    if (left == 0)
        return;
    fci_doc_gap(doc);
    if (work + utility > 0)
        fci_doc_say(doc, "%zu more option%s: see --full.", left,
                    left == 1 ? "" : "s");
    else
        fci_doc_say(doc, "%zu more option%s work alone: see --full.", others,
                    others == 1 ? " does not" : "s do not");
}

static void
say_tried(struct fci_doc *doc, const fc_remedies *remedies)
{
    const char *text = tried_said(doc, remedies);

    if (!text)
        return;
    fci_doc_gap(doc);
    fci_doc_say(doc, "%s", text);
}

static void
say_method(struct fci_doc *doc)
{
    fci_doc_heading(doc, "How it was calculated");
    fci_doc_say(
        doc,
        "flushcalc %s; each option alone, a higher pressure with pipes, and "
        "either with PRVs for zones that then have too much; "
        "worst case of every input, no more than it takes. "
        "Each that works was put into the site file and passed check; write "
        "it with --pick N --write FILE. Prices are those of the site file, "
        "[price] and [prices]; what has none there is not known. No other "
        "options were tried together.",
        fc_version());
}

static void
say_depth(struct fci_doc *doc, const fc_remedies *remedies)
{
    const fc_check_result *check = remedies->check;

    if (remedies->n_remedies > 0)
        fci_doc_say(doc, "All figures: worst case of every input.");
    put_options(doc, remedies, WORKS_ALONE);
    put_options(doc, remedies, OF_OTHERS);
    put_options(doc, remedies, BUYS_NOTHING);
    say_tried(doc, remedies);
    fci_remedy_gains(doc, remedies);
    fci_remedy_floors(doc, remedies);
    fci_remedy_windows(doc, remedies);
    fci_part_assumptions(doc, check->assumptions, check->n_assumptions);
    say_method(doc);
    fci_part_cautions(doc);
}

void
fci_remedies_compose(struct fci_doc *doc, const void *what)
{
    const struct fci_remedies_view *view = what;
    const fc_remedies *remedies = view->remedies;
    const fc_check_result *check = remedies->check;

    doc->converted = remedies->converted;
    fci_part_title(doc, remedies->title);
    fci_check_text_verdict(doc, check);
    say_fixes(doc, remedies);
    say_lowest(doc, remedies);
    fci_part_overrides(doc, check->overrides, check->n_overrides);
    fci_doc_for(doc, FCI_IN_BRIEF);
    say_brief(doc, remedies);
    say_tried(doc, remedies);
    fci_doc_for(doc, FCI_IN_DEPTH);
    say_depth(doc, remedies);
    fci_part_close(doc, check->n_assumptions);
}
