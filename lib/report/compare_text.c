/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/compare_text.c -- the report of `compare`: a building a column
 * where they fit beside each other, else a row. */
#include "page/figure.h"
#include "page/terminal.h"
#include "report/check_text.h"
#include "report/report.h"
#include "report/shapes.h"
#include "report/shared.h"
#include "report/words.h"

#include <math.h>
#include <string.h>

#define MOST_NAME 20  /* columns of a name beside others */
#define OF_FIGURES 27 /* columns of what a figure is called */
#define MOST_ROWS 24  /* of buildings on a screen */
#define MOST_DIFFERENCES 8
#define MOST_ZONES 4
#define MOST_ERRORS 2
#define PAGE_COLUMNS 6

struct side {
    struct fci_doc *doc;
    const fc_comparison *all;
    size_t first, end; /* of the buildings in a table */
    bool brief;
};

static const fc_compared_state *
judged(const fc_compared_building *b)
{
    return &b->states[b->judged];
}

/* Several files give the same cases and sets. */
static bool
is_alone(const struct side *side, const char *text)
{
    size_t n = 0;

    for (size_t i = 0; i < side->all->n_buildings; i++)
        n += strcmp(side->all->buildings[i].name, text) == 0;
    return n < 2;
}

static const char *
whole_name(const fc_compared_building *b)
{
    return b->of == FC_VARIANT_CASE && b->title ? b->title : b->name;
}

/* What is set, or a case, under a number where its text would be cut, as their
 * beginnings are often alike; what differs tells the whole. */
static bool
is_numbered(const struct side *side, const fc_compared_building *b)
{
    return b->of != FC_VARIANT_FILE
           && ((side->brief && fci_text_width(whole_name(b)) > MOST_NAME)
               || !is_alone(side, b->name));
}

static const char *
label(const struct side *side, const fc_compared_building *b)
{
    const char *numbered;
    size_t n = 0;

    if (!is_numbered(side, b))
        return side->brief && b->of == FC_VARIANT_FILE /* their ends differ */
                   ? fci_short_name(side->doc, b->name, MOST_NAME)
                   : whole_name(b);
    for (const fc_compared_building *k = side->all->buildings; k <= b; k++)
        n += k->of == b->of;
    numbered = fci_arena_printf(&side->doc->arena, "%s %zu",
                                b->of == FC_VARIANT_SET ? "set" : "case", n);
    if (!numbered)
        side->doc->failed = true;
    return numbered ? numbered : "";
}

/* The label with all that it stands for. */
static const char *
full_label(const struct side *side, const fc_compared_building *b)
{
    const char *alone = label(side, b), *full = alone;

    if (is_numbered(side, b) && !is_alone(side, b->name))
        full = fci_arena_printf(&side->doc->arena, "%s (%s, %s)", alone,
                                whole_name(b), b->path);
    else if (is_numbered(side, b)
             && (b->of == FC_VARIANT_CASE || b->n_differences == 0))
        full = fci_arena_printf(&side->doc->arena, "%s (%s)", alone,
                                whole_name(b));
    if (!full)
        side->doc->failed = true;
    return full ? full : "";
}

/* ---- Figures ---------------------------------------------------------- */

static struct fci_figure
count_of(size_t n)
{
    struct fci_figure f;

    snprintf(f.text, sizeof f.text, "%zu", n);
    return f;
}

static struct fci_figure
part_of(size_t n, const fc_compared_state *s)
{
    struct fci_figure f;

    snprintf(f.text, sizeof f.text, "%zu of %zu", n,
             s->working + s->failing + s->unclear);
    return f;
}

static struct fci_figure
short_of(const struct side *side, const fc_compared_state *s)
{
    (void)side;
    return part_of(s->failing, s);
}

static struct fci_figure
unclear_of(const struct side *side, const fc_compared_state *s)
{
    (void)side;
    return part_of(s->unclear, s);
}

static struct fci_figure
margin_figure(const struct side *side, fc_range margin)
{
    return margin.given
               ? fci_figure_signed(side->doc->units, FC_PRESSURE, margin.low)
               : fci_figure_number((double)NAN, 0);
}

static struct fci_figure
margin_of(const struct side *side, const fc_compared_state *s)
{
    return margin_figure(side, s->margin);
}

static struct fci_figure
governing_of(const struct side *side, const fc_compared_state *s)
{
    struct fci_figure f;

    snprintf(f.text, sizeof f.text, "%.40s",
             s->governing ? fci_short_name(side->doc, s->governing, MOST_NAME)
                          : "-");
    return f;
}

static struct fci_figure
at_once_of(const struct side *side, const fc_compared_state *s)
{
    const fc_at_once n = { .valves = s->valves,
                           .low = s->at_once_low,
                           .could_low = s->at_once_low,
                           .limit = s->at_once_limit };

    (void)side;
    return fci_check_at_once(s->valves > 0 ? &n : NULL);
}

static struct fci_figure
weak_of(const struct side *side, const fc_compared_state *s)
{
    struct fci_figure f = { "-" };

    (void)side;
    if (!s->weak.given)
        return f;
    f = fci_check_chance(s->weak.estimate);
    strcat(f.text, "%");
    return f;
}

static struct fci_figure
peak_of(const struct side *side, const fc_compared_state *s)
{
    return fci_figure_of(side->doc->units, FC_FLOW,
                         s->peak_flow.given ? s->peak_flow.high : (double)NAN);
}

static struct fci_figure
velocity_of(const struct side *side, const fc_compared_state *s)
{
    (void)side;
    return count_of(s->over_velocity);
}

static struct fci_figure
too_high_of(const struct side *side, const fc_compared_state *s)
{
    (void)side;
    return count_of(s->n_too_high);
}

typedef struct fci_figure figure(const struct side *side,
                                 const fc_compared_state *s);

/* What is told of each; in rows of buildings only what has a heading. */
static const struct {
    const char *what;
    fc_dimension unit;
    figure *of;
    const char *heading;
    enum fci_align align;
} figures[] = {
    { "fixtures short", FC_NUMBER, short_of, "short", FCI_RIGHT },
    { "fixtures not certain", FC_NUMBER, unclear_of, NULL, FCI_RIGHT },
    { "least margin", FC_PRESSURE, margin_of, "least\nmargin", FCI_RIGHT },
    { "at", FC_NUMBER, governing_of, "governing\nfixture", FCI_LEFT },
    { "flush valves at once", FC_NUMBER, at_once_of, "at once", FCI_RIGHT },
    { "weak flushes, busiest time", FC_NUMBER, weak_of, NULL, FCI_RIGHT },
    { "peak demand", FC_FLOW, peak_of, NULL, FCI_RIGHT },
    { "pipes over velocity limit", FC_NUMBER, velocity_of, NULL, FCI_RIGHT },
    { "fixtures too high", FC_NUMBER, too_high_of, NULL, FCI_RIGHT },
};
#define FIGURES (sizeof figures / sizeof *figures)

static void
add_verdict(struct fci_grid *grid, const fc_compared_building *b,
            fc_state state)
{
    const fc_compared_state *s = &b->states[state];

    if (b->calculated && state <= b->judged)
        fci_cell_verdict(grid, state == b->judged ? b->works : s->works,
                         state == b->judged ? b->too_high : s->too_high);
    else
        fci_cell(grid, b->calculated ? "-" : "not calculated");
}

static bool
any_converted(const fc_comparison *all)
{
    for (size_t i = 0; i < all->n_buildings; i++)
        if (all->buildings[i].calculated
            && all->buildings[i].judged == FC_RETROFIT)
            return true;
    return false;
}

/* ---- A building a column ---------------------------------------------- */

static void
add_zones(const struct side *side, struct fci_grid *grid)
{
    const fc_comparison *all = side->all;
    const fc_compared_state *most = NULL;
    char what[120];

    for (size_t i = 0; i < all->n_buildings; i++)
        if (all->buildings[i].calculated
            && (!most || judged(&all->buildings[i])->n_zones > most->n_zones))
            most = judged(&all->buildings[i]);
    for (size_t z = 0; most && z < most->n_zones; z++) {
        if (side->brief && z == MOST_ZONES)
            break;
        const char *reducer = most->zones[z].reducer;

        snprintf(what, sizeof what, "margin, %s%.60s",
                 reducer ? "zone " : "no PRV", reducer ? reducer : "");
        fci_cell(grid, what);
        for (size_t i = side->first; i < side->end; i++) {
            const fc_compared_state *s = judged(&all->buildings[i]);
            struct fci_figure f = { "-" };

            for (size_t k = 0; k < s->n_zones; k++)
                if (reducer ? s->zones[k].reducer
                                  && strcmp(s->zones[k].reducer, reducer) == 0
                            : !s->zones[k].reducer)
                    f = margin_figure(side, s->zones[k].margin);
            fci_cell(grid, f.text);
        }
    }
}

static void
add_costs(const struct side *side, struct fci_grid *grid)
{
    const fc_comparison *all = side->all;
    bool any = false;

    for (size_t i = 0; i < all->n_buildings; i++)
        any = any || all->buildings[i].priced;
    if (!any)
        return;
    fci_cell(grid, "cost of pipes changed");
    for (size_t i = side->first; i < side->end; i++)
        fci_cell(grid, all->buildings[i].priced
                           ? fci_figure_number(all->buildings[i].cost, 0).text
                           : "-");
}

static void
put_columns(const struct side *side)
{
    const fc_comparison *all = side->all;
    const size_t n = side->end - side->first + 1;
    const bool converted = any_converted(all);
    struct fci_doc_column *columns =
        fci_arena_array(&side->doc->arena, n, sizeof *columns);
    struct fci_grid *grid;
    char what[80];

    if (!columns) {
        side->doc->failed = true;
        return;
    }
    columns[0] = (struct fci_doc_column){ "", "", FCI_LEFT, 16 };
    for (size_t i = 1; i < n; i++)
        columns[i] = (struct fci_doc_column){
            label(side, &all->buildings[side->first + i - 1]), "", FCI_RIGHT,
            13
        };
    grid = fci_doc_table(side->doc, columns, n);
    for (int s = 0; s <= (int)converted; s++) {
        fci_cell(grid, !converted ? "verdict" : fci_state_phrase((fc_state)s));
        for (size_t i = side->first; i < side->end; i++)
            add_verdict(grid, &all->buildings[i], (fc_state)s);
    }
    for (size_t k = 0; k < FIGURES; k++) {
        const char *unit = fc_unit_name(side->doc->units, figures[k].unit);

        snprintf(what, sizeof what, "%s%s%s", figures[k].what,
                 *unit ? ", " : "", unit);
        fci_cell(grid, what);
        for (size_t i = side->first; i < side->end; i++)
            fci_cell(grid,
                     all->buildings[i].calculated
                         ? figures[k].of(side, judged(&all->buildings[i])).text
                         : "-");
    }
    add_zones(side, grid);
    add_costs(side, grid);
}

/* ---- A building a row ------------------------------------------------- */

static void
put_rows(const struct side *side, size_t most)
{
    const fc_comparison *all = side->all;
    struct fci_doc_column columns[FIGURES + 3] = {
        { "building", "", FCI_LEFT, 12 },
        { "existing", "", FCI_LEFT, 8 },
        { any_converted(all) ? "after\nretrofit" : "", "", FCI_LEFT, 8 },
    };
    size_t n = 3;
    struct fci_grid *grid;

    for (size_t k = 0; k < FIGURES; k++)
        if (figures[k].heading || !side->brief)
            columns[n++] = (struct fci_doc_column){
                figures[k].heading ? figures[k].heading : figures[k].what,
                fc_unit_name(side->doc->units, figures[k].unit),
                figures[k].align, figures[k].align == FCI_LEFT ? 8 : 0
            };
    grid = fci_doc_table(side->doc, columns, n);
    for (size_t i = 0; i < all->n_buildings && i < most; i++) {
        const fc_compared_building *b = &all->buildings[i];

        fci_cell(grid, label(side, b));
        add_verdict(grid, b, FC_EXISTING);
        if (b->calculated && b->judged == FC_RETROFIT)
            add_verdict(grid, b, FC_RETROFIT);
        else
            fci_cell(grid, "");
        for (size_t k = 0; k < FIGURES; k++)
            if (figures[k].heading || !side->brief)
                fci_cell(grid, b->calculated
                                   ? figures[k].of(side, judged(b)).text
                                   : "-");
    }
    if (all->n_buildings > most)
        fci_doc_say(side->doc, "And %zu more, see --full.",
                    all->n_buildings - most);
}

/* ---- What differs ----------------------------------------------------- */

static const char *
said(const struct side *side, const fc_compared_building *b)
{
    const char *text = "";
    size_t n = side->brief && b->n_differences > 4 ? 3 : b->n_differences;

    for (size_t i = 0; text && i < n; i++)
        text = fci_arena_printf(&side->doc->arena, "%s%s%s", text,
                                i > 0 ? "; " : "", b->differences[i]);
    if (text && n < b->n_differences)
        text =
            fci_arena_printf(&side->doc->arena, "%s; and %zu more, see --full",
                             text, b->n_differences - n);
    if (!text)
        side->doc->failed = true;
    return text ? text : "";
}

/* The whole of it: standard error may be elsewhere. */
static void
put_errors(const struct side *side, const fc_compared_building *b)
{
    const size_t n =
        side->brief && b->n_errors > MOST_ERRORS ? MOST_ERRORS : b->n_errors;

    for (size_t i = 0; i < n; i++)
        fci_doc_item(side->doc, "%s: could not be calculated: %s",
                     full_label(side, b), b->errors[i]);
    if (n < b->n_errors)
        fci_doc_item(side->doc, "%s: and %zu more error%s, see --full",
                     full_label(side, b), b->n_errors - n,
                     b->n_errors - n == 1 ? "" : "s");
}

static void
put_differences(const struct side *side, size_t most)
{
    const fc_comparison *all = side->all;
    const fc_compared_building *base = NULL;
    size_t n = 0, left = 0;

    for (size_t i = all->n_buildings; i-- > 0;)
        if (all->buildings[i].calculated)
            base = &all->buildings[i];

    for (size_t i = 0; i < all->n_buildings; i++) {
        const fc_compared_building *b = &all->buildings[i];

        if (b == base && !is_numbered(side, b))
            continue;
        if (n == 0 && base)
            fci_doc_heading(side->doc, "What differs from %s",
                            label(side, base));
        if (n++ >= most)
            left++;
        else if (b->calculated)
            fci_doc_item(side->doc, "%s: %s", full_label(side, b),
                         b->n_differences > 0 ? said(side, b) : "nothing");
        else
            put_errors(side, b);
    }
    if (left > 0)
        fci_doc_say(side->doc, "And %zu more, see --full.", left);
}

/* ---- The whole -------------------------------------------------------- */

/* Of several files, none of which the page is of. */
static void
put_head(const struct side *side)
{
    fci_doc_for(side->doc, FCI_IN_PAGE);
    fci_doc_title(side->doc, "Comparison");
    fci_doc_pair(side->doc, "Program", "flushcalc %s", fc_version());
    if (side->doc->options && side->doc->options->made)
        fci_doc_pair(side->doc, "Calculated", "%s", side->doc->options->made);
    fci_doc_for(side->doc, FCI_IN_ALL);
}

static void
list_files(const struct side *side)
{
    const fc_comparison *all = side->all;
    struct fci_told_file *files =
        fci_arena_array(&side->doc->arena, all->n_buildings, sizeof *files);
    size_t n = 0;

    for (size_t i = 0; files && i < all->n_buildings; i++)
        if (all->buildings[i].of == FC_VARIANT_FILE)
            files[n++] = (struct fci_told_file){ all->buildings[i].path,
                                                 all->buildings[i].title,
                                                 all->buildings[i].digest };
    if (n > 0)
        fci_part_files(side->doc, files, n);
}

static void
say_total(struct fci_doc *doc, const fc_comparison *all)
{
    struct fci_total total = { .broken = all->n_broken };
    char what[40];

    for (size_t i = 0; i < all->n_buildings; i++)
        if (all->buildings[i].calculated)
            fci_total_add(&total, all->buildings[i].works,
                          all->buildings[i].too_high);
    snprintf(what, sizeof what, "%zu compared", all->n_buildings);
    fci_total_say(doc, &total, what);
}

static size_t
columns_that_fit(const struct fci_doc *doc)
{
    const size_t width =
        doc->options && doc->options->width ? doc->options->width : 79;

    return width > OF_FIGURES ? (width - OF_FIGURES) / 14 : 0;
}

static size_t
most_zones(const fc_comparison *all)
{
    size_t most = 0;

    for (size_t i = 0; i < all->n_buildings; i++)
        if (all->buildings[i].calculated
            && judged(&all->buildings[i])->n_zones > most)
            most = judged(&all->buildings[i])->n_zones;
    return most;
}

static void
put_screen(struct side *side)
{
    const size_t n = side->all->n_buildings, zones = most_zones(side->all);
    const bool fit = n <= columns_that_fit(side->doc);

    fci_doc_for(side->doc, FCI_IN_BRIEF);
    side->brief = true;
    side->first = 0;
    side->end = n;
    if (fit)
        put_columns(side);
    else
        put_rows(side, MOST_ROWS);
    if (fit && zones > MOST_ZONES)
        fci_doc_say(side->doc, "And %zu more zones, see --full.",
                    zones - MOST_ZONES);
    put_differences(side, n > MOST_DIFFERENCES ? 2 : MOST_DIFFERENCES);
}

/* All of them, so many beside each other at a time. */
static void
put_depth(struct side *side, unsigned form, size_t columns)
{
    const size_t n = side->all->n_buildings;

    fci_doc_for(side->doc, form);
    side->brief = false;
    for (side->first = 0; side->first < n; side->first = side->end) {
        side->end = side->first + columns < n ? side->first + columns : n;
        if (side->first > 0)
            fci_doc_gap(side->doc);
        put_columns(side);
    }
    put_differences(side, SIZE_MAX);
}

void
fci_comparison_compose(struct fci_doc *doc, const void *what)
{
    const struct fci_comparison_view *view = what;
    struct side side = { .doc = doc, .all = &view->all };

    if (!view->site)
        put_head(&side);
    say_total(doc, side.all);
    if (side.all->n_buildings == 1)
        fci_doc_say(doc, "Nothing to compare: give another file, a [case] in "
                         "the file, or --set.");
    fci_doc_gap(doc);
    put_screen(&side);
    put_depth(&side, FCI_IN_FULL,
              columns_that_fit(doc) > 0 ? columns_that_fit(doc) : 1);
    put_depth(&side, FCI_IN_PAGE, PAGE_COLUMNS);
    fci_doc_for(doc, FCI_IN_ALL);
    fci_doc_say(doc, "Figures are after retrofit, where there is one, in the "
                     "worst case. Check one alone for its report.");
    if (!view->site)
        list_files(&side);
    fci_doc_for(doc, FCI_IN_DEPTH);
    fci_part_cautions(doc);
    fci_part_close(doc, 0);
}
