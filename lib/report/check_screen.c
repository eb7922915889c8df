/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/check_screen.c -- the figures of `check` that fit on one screen.
 *
 * A range stands as its worst figure.
 */
#include "effects/tank_lasts.h"
#include "ground/text_stream.h"
#include "report/alike.h"
#include "report/check_text.h"
#include "report/shared.h"
#include "report/words.h"
#include "site/site.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define MOST_NAME 24 /* columns of a name in a table */
#define MOST_GROUPS 4
#define MOST_ZONES 4

/* ---- Which fixtures --------------------------------------------------- */

typedef bool test(const fc_fixture_state *end);

static bool
fails(const fc_fixture_state *end)
{
    return end->works == FC_WILL_NOT_WORK;
}

static bool
is_short(const fc_fixture_state *end)
{
    return end->works == FC_WILL_NOT_WORK && end->pressure == FC_WILL_NOT_WORK;
}

static bool
is_unclear(const fc_fixture_state *end)
{
    return end->works == FC_CANNOT_TELL;
}

static bool
flushes_weakly(const fc_fixture_state *end)
{
    return end->busy.weak.given;
}

static size_t
count_of(const fc_check_result *result, fc_state state, test *is)
{
    size_t n = 0;

    for (size_t i = 0; i < result->n_fixtures; i++)
        if (is(&result->fixtures[i].states[state]))
            n += (size_t)result->fixtures[i].count;
    return n;
}

/* What a table calls fixtures by, and those of them that pass a test. */
struct chosen {
    struct fci_alike_item *items;
    struct fci_alike *groups;
    size_t n;
};

static bool
choose(struct fci_doc *doc, const struct fci_check_view *view, fc_state state,
       test *is, struct chosen *chosen)
{
    const fc_check_result *result = view->result;

    chosen->n = 0;
    chosen->items = fci_arena_array(&doc->arena, result->n_fixtures + 1,
                                    sizeof *chosen->items);
    for (size_t i = 0; chosen->items && i < result->n_fixtures; i++) {
        const fc_checked_fixture *f = &result->fixtures[i];
        const struct fci_part *part = view->site->fixtures[i].part;

        chosen->items[i].name = f->name;
        chosen->items[i].kind = f->kind;
        chosen->items[i].count = f->count;
        chosen->items[i].margin =
            f->states[state].margin.given ? f->states[state].margin.low : 0.0;
        chosen->items[i].typical =
            part && part->section && part->section->typical;
        chosen->items[i].floor =
            chosen->items[i].typical ? part->section->floor : 0;
        chosen->items[i].chosen = is(&f->states[state]);
    }
    chosen->groups = chosen->items
                         ? fci_alike_find(&doc->arena, chosen->items,
                                          result->n_fixtures, &chosen->n)
                         : NULL;
    return chosen->groups != NULL;
}

/* Lets a writer write into a text that lives as long as the document. */
static const char *
kept(struct fci_doc *doc, FILE *out, char **text)
{
    const char *kept = NULL;

    if (out && fclose(out) == 0 && *text)
        kept = fci_arena_string(&doc->arena, *text);
    free(*text);
    if (kept)
        return kept;
    doc->failed = true;
    return "";
}

/* "floor 6 closets and more" */
static const char *
name_chosen(struct fci_doc *doc, const struct fci_check_view *view,
            fc_state state, test *is)
{
    struct chosen chosen;
    char *text = NULL;
    size_t size;
    FILE *out = fci_text_stream(&text, &size);

    if (out && choose(doc, view, state, is, &chosen) && chosen.n > 0) {
        fci_alike_write(out, chosen.items, &chosen.groups[0], MOST_NAME);
        if (chosen.n > 1)
            fputs(" and more", out);
    }
    return kept(doc, out, &text);
}

/* "Short after retrofit: floor 6 closets by 3.0 psi, ...": where they are more
 * than the table names. */
static void
say_short(struct fci_doc *doc, const struct fci_check_view *view,
          fc_state state)
{
    struct chosen chosen;
    char *text = NULL;
    size_t size;
    FILE *out;

    if (!choose(doc, view, state, is_short, &chosen) || chosen.n < 2)
        return;
    out = fci_text_stream(&text, &size);
    for (size_t i = 0; out && i < chosen.n && i < MOST_GROUPS; i++) {
        fputs(i > 0 ? "; " : "", out);
        fci_alike_write(out, chosen.items, &chosen.groups[i], MOST_NAME);
        fprintf(out, " by %s%s", chosen.groups[i].n > 1 ? "up to " : "",
                fci_figure_margin_said(doc->units, FC_PRESSURE,
                                       chosen.groups[i].margin)
                    .text);
    }
    if (out && chosen.n > MOST_GROUPS)
        fprintf(out, "; and %zu more", chosen.n - MOST_GROUPS);
    fci_doc_say(doc, "Short%s%s: %s.", doc->converted ? " " : "",
                doc->converted ? fci_state_phrase(state) : "",
                kept(doc, out, &text));
}

/* ---- The table -------------------------------------------------------- */

struct screen {
    struct fci_doc *doc;
    const struct fci_check_view *view;
    struct fci_grid *grid;
    fc_state judged;
    bool worst; /* some figure is the worst of a range */
};

static void
add_row(const struct screen *screen, const char *what,
        const struct fci_figure texts[FC_STATES],
        const enum fci_tint tints[FC_STATES], const char *note)
{
    fci_cell(screen->grid, what);
    for (int s = 0; s <= (int)screen->judged; s++)
        fci_cell_tinted(screen->grid, texts[s].text,
                        tints ? tints[s] : FCI_PLAIN_TINT);
    fci_cell(screen->grid, note);
}

static const char *
named(const struct screen *screen, const fc_checked_fixture *f)
{
    return fci_short_name(screen->doc, f->name, MOST_NAME);
}

/* Rows of counts; none where they are zero and need not be said. */
static void
add_count(const struct screen *screen, const char *what, test *is, bool always)
{
    const fc_check_result *result = screen->view->result;
    struct fci_figure texts[FC_STATES];
    enum fci_tint tints[FC_STATES];
    size_t any = 0;

    for (int s = 0; s <= (int)screen->judged; s++) {
        const fc_checked_state *state = &result->states[s];
        const size_t n = count_of(result, (fc_state)s, is);

        any += n;
        tints[s] = n == 0             ? FCI_PLAIN_TINT
                   : is == is_unclear ? FCI_UNSURE
                                      : FCI_BAD;
        snprintf(texts[s].text, sizeof texts[s].text, "%zu of %zu", n,
                 state->working + state->failing + state->unclear);
    }
    if (any > 0 || always)
        add_row(screen, what, texts, tints,
                name_chosen(screen->doc, screen->view, screen->judged, is));
}

/* The fixture with the least margin in the worst case, whatever its verdict
 * rests on; NULL: nothing requires a flowing pressure. */
static const fc_checked_fixture *
least_margin(const struct screen *screen, fc_state state)
{
    const fc_check_result *result = screen->view->result;
    const fc_checked_fixture *least = NULL;

    for (size_t i = 0; i < result->n_fixtures; i++) {
        const fc_range margin = result->fixtures[i].states[state].margin;

        if (margin.given
            && (!least || margin.low < least->states[state].margin.low))
            least = &result->fixtures[i];
    }
    return least;
}

static void
add_margin(struct screen *screen)
{
    const fc_unit_system u = screen->doc->units;
    const fc_checked_fixture *f = least_margin(screen, screen->judged);
    struct fci_figure texts[FC_STATES];
    enum fci_tint tints[FC_STATES];
    char what[60];

    if (!f)
        return;
    for (int s = 0; s <= (int)screen->judged; s++) {
        const fc_checked_fixture *of = least_margin(screen, (fc_state)s);
        const fc_fixture_state *end = of ? &of->states[s] : NULL;

        texts[s] = fci_figure_number((double)NAN, 0);
        tints[s] = FCI_PLAIN_TINT;
        if (!end || !end->margin.given)
            continue;
        texts[s] = fci_figure_signed(u, FC_PRESSURE, end->margin.low);
        tints[s] = fci_verdict_tint(end->pressure);
        screen->worst =
            screen->worst || fci_figure_differs(u, FC_PRESSURE, end->margin);
    }
    snprintf(what, sizeof what, "least margin, %s",
             fc_unit_name(u, FC_PRESSURE));
    add_row(screen, what, texts, tints, named(screen, f));
}

struct fci_figure
fci_check_at_once(const fc_at_once *n)
{
    struct fci_figure f = { "-" };

    if (n && n->low >= n->valves)
        snprintf(f.text, sizeof f.text, "all %d", n->valves);
    else if (n && n->low > 0 && n->low < n->could_low)
        snprintf(f.text, sizeof f.text, "%d, maybe %d", n->low, n->could_low);
    else if (n && n->low > 0)
        snprintf(f.text, sizeof f.text, "up to %d", n->low);
    else if (n && (n->limit == FC_NO_LIMIT || n->limit == FC_LIMIT_ALONE))
        snprintf(f.text, sizeof f.text, "not even 1");
    else if (n)
        snprintf(f.text, sizeof f.text, "cannot tell");
    return f;
}

void
fci_check_text_at_once(struct fci_doc *doc, const fc_check_result *result)
{
    const fc_state judged = fci_judged_state(result);
    const fc_at_once *n = result->states[judged].at_once;
    const fc_at_once *before = result->states[FC_EXISTING].at_once;
    const char *limit = n ? fci_check_limit(doc, n) : NULL;
    const char *why =
        limit ? fci_arena_printf(&doc->arena, " (%s)", limit) : "";

    if (n && result->converted && before)
        fci_doc_say(doc,
                    "Flush valves at once: %s after retrofit%s, %s "
                    "existing.",
                    fci_check_at_once(n).text, why,
                    fci_check_at_once(before).text);
    else if (n)
        fci_doc_say(doc, "Flush valves at once: %s%s.",
                    fci_check_at_once(n).text, why);
}

static void
add_at_once(struct screen *screen)
{
    const fc_check_result *result = screen->view->result;
    const fc_at_once *judged = result->states[screen->judged].at_once;
    struct fci_figure texts[FC_STATES];
    char note[120] = "";
    const char *what = NULL;
    bool any = false;

    for (int s = 0; s <= (int)screen->judged; s++) {
        const fc_at_once *n = result->states[s].at_once;

        texts[s] = fci_check_at_once(n);
        any = any || n;
        screen->worst = screen->worst || (n && n->low < n->high);
    }
    if (!any)
        return;
    if (judged)
        what = judged->limit != FC_NO_LIMIT
                   ? fci_check_limit(screen->doc, judged)
               : judged->at < result->n_fixtures
                   ? named(screen, &result->fixtures[judged->at])
                   : NULL;
    if (what)
        snprintf(note, sizeof note, "%s%.100s", judged->low > 0 ? "then " : "",
                 what);
    else if (fci_tank_unknown(screen->view->site))
        snprintf(note, sizeof note, "while %.100s has water",
                 fci_short_name(screen->doc,
                                fci_tank_unknown(screen->view->site),
                                MOST_NAME));
    add_row(screen, "flush valves at once", texts, NULL, note);
}

static void
add_weak(struct screen *screen)
{
    const fc_check_result *result = screen->view->result;
    struct fci_figure texts[FC_STATES];
    enum fci_tint tints[FC_STATES];
    const char *note = "";

    if (count_of(result, screen->judged, flushes_weakly) == 0)
        return;
    for (int s = 0; s <= (int)screen->judged; s++) {
        double most = (double)NAN;

        note = "";
        for (size_t i = 0; i < result->n_fixtures; i++) {
            const fc_fixture_state *end = &result->fixtures[i].states[s];
            const double weak = fci_most_weak(&end->busy);

            screen->worst =
                screen->worst
                || (end->busy.weak_worst.given
                    && strcmp(fci_check_chance(end->busy.weak.estimate).text,
                              fci_check_chance(weak).text)
                           != 0);
            if (isnan(weak) || weak <= most)
                continue;
            most = weak;
            note = weak > 0.0 ? named(screen, &result->fixtures[i]) : "";
        }
        texts[s] = fci_check_chance(most);
        if (!isnan(most))
            strcat(texts[s].text, "%");
        tints[s] = most > FC_MOST_WEAK ? FCI_UNSURE : FCI_PLAIN_TINT;
    }
    add_row(screen, "weak flushes, busiest time", texts, tints, note);
}

static void
add_peak(struct screen *screen)
{
    const fc_unit_system u = screen->doc->units;
    const fc_check_result *result = screen->view->result;
    struct fci_figure texts[FC_STATES];
    char what[60], note[80];

    for (int s = 0; s <= (int)screen->judged; s++) {
        const fc_range peak = result->states[s].peak_flow;

        texts[s] =
            fci_figure_of(u, FC_FLOW, peak.given ? peak.high : (double)NAN);
    }
    snprintf(what, sizeof what, "peak demand, %s", fc_unit_name(u, FC_FLOW));
    if (result->peak == FC_PROBABILITY)
        snprintf(note, sizeof note, "by probability");
    else
        snprintf(note, sizeof note, "%.40s table, %s", result->code,
                 result->demand == FC_INTERPOLATE ? "interpolated"
                                                  : "next row");
    add_row(screen, what, texts, NULL, note);
}

static const struct fci_doc_column screen_columns[] = {
    { "", "", FCI_LEFT, 16 },
    { "existing", "", FCI_RIGHT, 0 },
    { "after retrofit", "", FCI_RIGHT, 0 },
    { "", "", FCI_LEFT, 12 },
};
static const struct fci_doc_column one_state_columns[] = {
    { "", "", FCI_LEFT, 16 },
    { "", "", FCI_RIGHT, 0 },
    { "", "", FCI_LEFT, 12 },
};

void
fci_check_text_screen(struct fci_doc *doc, const struct fci_check_view *view)
{
    const fc_check_result *result = view->result;
    struct screen screen = { doc, view, NULL, fci_judged_state(result),
                             false };
    bool short_alone = true;

    screen.grid = result->converted ? fci_doc_table(doc, screen_columns, 4)
                                    : fci_doc_table(doc, one_state_columns, 3);
    for (int s = 0; s <= (int)screen.judged; s++)
        short_alone = short_alone
                      && count_of(result, (fc_state)s, fails)
                             <= count_of(result, (fc_state)s, is_short);
    add_count(&screen, "fixtures short", is_short, true);
    if (!short_alone)
        add_count(&screen, "fixtures failing", fails, true);
    add_count(&screen, "fixtures not certain", is_unclear, false);
    add_margin(&screen);
    add_at_once(&screen);
    add_weak(&screen);
    add_peak(&screen);
    if (screen.worst)
        fci_doc_say(
            doc, "Margin, valves at once, weak flushes and peak: worst case.");
    say_short(doc, view, screen.judged);
}

/* ---- PRV zones -------------------------------------------------------- */

/* Zones that have the same margins. */
struct zone_row {
    const fc_zone *zone; /* the first of them */
    const fc_checked_fixture *f;
    size_t n;
    struct fci_figure margins[FC_STATES];
    double least;
};

static int
by_least(const void *a, const void *b)
{
    const struct zone_row *x = a, *y = b;

    if (x->least < y->least || x->least > y->least)
        return x->least < y->least ? -1 : 1;
    return x->zone < y->zone ? -1 : x->zone > y->zone;
}

/* Of a zone in whose fixtures nothing is required: f is NULL. */
static struct zone_row
row_of(const struct fci_doc *doc, const fc_check_result *result, size_t i)
{
    const fc_state judged = fci_judged_state(result);
    struct zone_row row = { &result->states[judged].zones[i],
                            NULL,
                            1,
                            { { "-" }, { "-" } },
                            HUGE_VAL };

    for (int s = 0; s <= (int)judged; s++) {
        const fc_checked_state *state = &result->states[s];
        const size_t at = i < state->n_zones ? state->zones[i].governing
                                             : result->n_fixtures;

        if (at >= result->n_fixtures
            || !result->fixtures[at].states[s].margin.given)
            continue;
        row.least = result->fixtures[at].states[s].margin.low;
        row.margins[s] = fci_figure_signed(doc->units, FC_PRESSURE, row.least);
        row.f = &result->fixtures[at];
    }
    return row;
}

static bool
is_like(const struct zone_row *a, const struct zone_row *b)
{
    return a->zone->reducer && b->zone->reducer && !a->f == !b->f
           && strcmp(a->margins[0].text, b->margins[0].text) == 0
           && strcmp(a->margins[1].text, b->margins[1].text) == 0;
}

static void
add_zone(struct fci_doc *doc, struct fci_grid *grid,
         const struct zone_row *row, fc_state judged)
{
    const char *reducer =
        row->zone->reducer ? fci_short_name(doc, row->zone->reducer, MOST_NAME)
                           : "";
    char name[160];

    if (!row->zone->reducer)
        snprintf(name, sizeof name, "upstream of PRVs");
    else if (row->n == 1)
        snprintf(name, sizeof name, "PRV %.100s", reducer);
    else
        snprintf(name, sizeof name, "PRV %.100s and %zu alike", reducer,
                 row->n - 1);
    fci_cell(grid, name);
    for (int s = 0; s <= (int)judged; s++)
        fci_cell_tinted(grid, row->margins[s].text,
                        s == (int)judged && row->f && row->least < 0.0
                            ? FCI_BAD
                            : FCI_PLAIN_TINT);
    fci_cell(grid, row->f ? fci_short_name(doc, row->f->name, MOST_NAME)
                          : "nothing is required");
}

static void
put_zones(struct fci_doc *doc, const fc_check_result *result,
          const struct zone_row *rows, size_t n)
{
    struct fci_grid *grid = result->converted
                                ? fci_doc_table(doc, screen_columns, 4)
                                : fci_doc_table(doc, one_state_columns, 3);
    size_t left = 0;

    for (size_t i = 0; i < n; i++) {
        if (i < MOST_ZONES)
            add_zone(doc, grid, &rows[i], fci_judged_state(result));
        else
            left += rows[i].n;
    }
    if (left > 0)
        fci_doc_say(doc, "and %zu more zones with no less margin.", left);
}

void
fci_check_text_zones(struct fci_doc *doc, const struct fci_check_view *view)
{
    const fc_check_result *result = view->result;
    const size_t n = result->states[fci_judged_state(result)].n_zones;
    struct zone_row *rows;
    size_t n_rows = 0;

    if (n < 2)
        return;
    rows = fci_arena_array(&doc->arena, n, sizeof *rows);
    if (!rows)
        return;
    for (size_t i = 0; i < n; i++)
        rows[i] = row_of(doc, result, i);
    qsort(rows, n, sizeof *rows, by_least);
    for (size_t i = 0; i < n; i++) {
        if (n_rows > 0 && is_like(&rows[n_rows - 1], &rows[i]))
            rows[n_rows - 1].n++;
        else
            rows[n_rows++] = rows[i];
    }
    fci_doc_heading(doc, "Least margin by PRV zone, %s",
                    fc_unit_name(doc->units, FC_PRESSURE));
    put_zones(doc, result, rows, n_rows);
}
