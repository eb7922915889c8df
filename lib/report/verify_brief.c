/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/verify_brief.c -- claims on one screen: a line each, the worst
 * first, the readings that decide and what would settle the rest. */
#include "page/screen.h"
#include "page/terminal.h"
#include "report/shared.h"
#include "report/verify_report.h"

#include <math.h>
#include <string.h>

/* Lines kept for the least that a part that follows has to say. */
#define SETTLE_LINES 6
#define READING_LINES 5
#define LEAST_CLAIMS 3
/* Columns of a cell: what is longer is in --full. */
#define MOST_EVENT 20
#define MOST_NAME 18
#define MOST_PLACE 12
#define TAIL 6 /* of a name that is cut, which tells it from others */
#define MOST_NAMES 2

/* ---- The table -------------------------------------------------------- */

/* What the table has to tell apart. */
struct shown {
    bool varies; /* some input is a range */
    bool states; /* some claims are of the existing building, some not */
    bool peak;
};

static struct shown
find_shown(const fc_verify_result *result)
{
    struct shown shown = { result->draws > 1, false, false };

    for (size_t i = 0; i < result->n_claims; i++) {
        const fc_checked_claim *c = &result->claims[i];

        shown.peak |= c->condition == FC_WHILE_PEAK;
        shown.states |= c->state != result->claims[0].state;
        for (size_t k = 0; k < c->n_cases; k++)
            shown.states |= c->cases[k].state != c->state;
    }
    return shown;
}

/* "a-very-long...-on-98" */
static const char *
short_name(struct fci_doc *doc, const char *name, size_t most)
{
    const char *tail = name;
    size_t left = fci_text_width(name);

    if (left <= most)
        return name;
    for (; left > TAIL; tail += fci_text_next(tail).bytes)
        left -= fci_text_next(tail).columns;
    return fci_arena_printf(&doc->arena, "%.*s...%s",
                            (int)fci_text_fit(name, most - TAIL - 3), name,
                            tail);
}

static void
put_name(struct fci_grid *grid, struct fci_doc *doc, const char *name,
         size_t most)
{
    const char *text = short_name(doc, name, most);

    fci_cell(grid, text ? text : "");
}

/* "3 of wc-3, 2 of wc-2, ..." */
static const char *
short_event(struct fci_doc *doc, const char *event)
{
    size_t bytes = strlen(event), fits = fci_text_fit(event, MOST_EVENT);

    if (bytes > 6 && strcmp(event + bytes - 6, " flush") == 0)
        bytes -= 6;
    else if (bytes > 8 && strcmp(event + bytes - 8, " flushes") == 0)
        bytes -= 8;
    if (bytes <= fits)
        return fci_arena_printf(&doc->arena, "%.*s", (int)bytes, event);
    for (size_t i = fits; i > 0; i--)
        if (event[i - 1] == ',') {
            fits = i - 1;
            break;
        }
    return fci_arena_printf(&doc->arena, "%.*s, ...", (int)fits, event);
}

static const char *
condition_of(struct fci_doc *doc, const fc_checked_claim *c)
{
    bool differ = false;

    for (size_t k = 0; k < c->n_cases; k++)
        differ |= c->cases[k].condition != c->condition;
    return differ                                 ? "alone, peak"
           : c->condition == FC_WHILE_PEAK        ? "peak"
           : strncmp(c->event, "nothing", 7) == 0 ? "no flow"
           : c->condition == FC_WHILE_ALONE       ? "alone"
                                                  : short_event(doc, c->event);
}

static const char *
state_of(const fc_checked_claim *c)
{
    for (size_t k = 0; k < c->n_cases; k++)
        if (c->cases[k].state != c->state)
            return ", both";
    return c->state == FC_RETROFIT ? ", retrofit" : ", existing";
}

/* "peak, retrofit, static 55.0 psi": what it was judged under. */
static const char *
under_of(struct fci_doc *doc, const fc_checked_claim *c, struct shown shown)
{
    const char *condition = condition_of(doc, c);
    char supply[60] = "";

    if (!isnan(c->supply))
        snprintf(supply, sizeof supply, ", static %.40s",
                 fci_figure_said(doc->units, FC_PRESSURE, c->supply).text);
    return condition
               ? fci_arena_printf(&doc->arena, "%s%s%s", condition,
                                  shown.states ? state_of(c) : "", supply)
               : NULL;
}

static void
add_claim(struct fci_grid *grid, struct fci_doc *doc,
          const fc_checked_claim *c, struct shown shown)
{
    const char *under = under_of(doc, c, shown);

    put_name(grid, doc, c->name, MOST_NAME);
    put_name(grid, doc, c->fixture, MOST_PLACE);
    fci_cell(grid, fci_support_pressure(doc, c, c->claimed).text);
    fci_cell(grid, under ? under : "");
    fci_cell(grid, fci_support_pressure(doc, c, fci_support_flowing(c)).text);
    fci_cell(grid, c->not_flowing ? "no flow"
                   : c->reading   ? "read"
                   : c->why_not   ? "-"
                                  : "computed");
    fci_cell_tinted(grid, fci_support_word(c->verdict),
                    fci_support_tint(c->verdict));
}

static struct fci_grid *
new_table(struct fci_doc *doc)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const struct fci_doc_column columns[] = {
        { "claim", "", FCI_LEFT, 6 },     { "at", "", FCI_LEFT, 6 },
        { "at\nleast", p, FCI_RIGHT, 0 }, { "under", "", FCI_LEFT, 8 },
        { "flowing", p, FCI_RIGHT, 0 },   { "by", "", FCI_LEFT, 0 },
        { "verdict", "", FCI_LEFT, 0 },
    };

    return fci_grid_new(doc, columns, sizeof columns / sizeof *columns);
}

static size_t
count_left(const fc_checked_claim *const *sorted, size_t from, size_t n,
           fc_support verdict)
{
    size_t count = 0;

    for (size_t i = from; i < n; i++)
        count += sorted[i]->verdict == verdict;
    return count;
}

/* "and 12 more: 10 supported, 2 undecided" */
static void
say_folded(struct fci_doc *doc, const fc_checked_claim *const *sorted,
           size_t from, size_t n)
{
    static const fc_support order[] = { FC_CONTRADICTED, FC_UNDECIDED,
                                        FC_SUPPORTED };
    char text[120] = "";

    if (from == n)
        return;
    for (int i = 0; i < 3; i++) {
        const size_t count = count_left(sorted, from, n, order[i]);
        const size_t used = strlen(text);

        if (count > 0)
            snprintf(text + used, sizeof text - used, "%s %zu %s",
                     used > 0 ? "," : "", count, fci_support_word(order[i]));
    }
    fci_doc_say(doc, "And %zu more:%s; see --full.", n - from, text);
}

static size_t
kept_behind_readings(const fc_verify_result *result)
{
    return FCI_CLOSE_LINES + FCI_MINIMA_LINES
           + (fci_support_count(result, FC_UNDECIDED) > 0 ? SETTLE_LINES : 0);
}

static size_t
kept_for_readings(const fc_verify_result *result)
{
    for (size_t i = 0; i < result->n_claims; i++)
        if (result->claims[i].reading || result->claims[i].borne_out_by)
            return READING_LINES;
    return 0;
}

/* As many as fit beside what must follow; the room is measured, as a row may
 * take more than a line. */
static void
print_claims(struct fci_doc *doc, const fc_verify_result *result,
             const fc_checked_claim *const *sorted)
{
    const struct shown shown = find_shown(result);
    const size_t n = result->n_claims;
    const size_t kept =
        kept_behind_readings(result) + kept_for_readings(result) + 2;
    struct fci_grid *grid = new_table(doc);
    size_t rows = n;

    fci_doc_heading(
        doc, "The claims%s",
        shown.states ? "" : fci_state_said(doc, result->claims[0].state));
    for (size_t i = 0; i < n && i < FCI_SCREEN; i++)
        add_claim(grid, doc, sorted[i], shown);
    if (rows > FCI_SCREEN)
        rows = FCI_SCREEN;
    fci_doc_put(doc, grid);
    while (rows > LEAST_CLAIMS && fci_screen_room(doc, kept) == 0) {
        rows--;
        grid->n_cells -= grid->n_columns;
    }
    say_folded(doc, sorted, rows, n);
    fci_doc_say(doc,
                "Flowing pressure at the fixture; computed at midpoint "
                "values%s.%s",
                shown.varies ? ", judged by 95% of the outcomes" : "",
                shown.peak ? " Peak demand is computed, not witnessed." : "");
}

/* ---- The readings that decide ----------------------------------------- */

static bool
is_named(const char *name, const fc_listed_reading *r)
{
    return name && strcmp(name, r->name) == 0;
}

static bool
decides(const fc_checked_claim *c, const fc_listed_reading *r)
{
    return is_named(c->reading, r) || is_named(c->against, r)
           || is_named(c->borne_out_by, r);
}

/* "top, alone and 4 more", "" of none; the claim that shows its pressure the
 * finest. */
static const char *
name_decided(struct fci_doc *doc, const fc_verify_result *result,
             const fc_listed_reading *r, const fc_checked_claim **finest)
{
    const char *names = "";
    size_t n = 0;

    *finest = NULL;
    for (size_t i = 0; i < result->n_claims && names; i++) {
        const fc_checked_claim *c = &result->claims[i];

        if (!decides(c, r))
            continue;
        if (!*finest || c->decimals > (*finest)->decimals)
            *finest = c;
        if (n++ < MOST_NAMES) {
            const char *name = short_name(doc, c->name, MOST_NAME);

            names = fci_arena_printf(
                &doc->arena, "%s%s%s%s", names, n > 1 ? ", " : "",
                name ? name : "",
                is_named(c->borne_out_by, r) ? " (carried)" : "");
        }
    }
    if (names && n > MOST_NAMES)
        names = fci_arena_printf(&doc->arena, "%s and %zu more", names,
                                 n - MOST_NAMES);
    return names;
}

static void
add_reading(struct fci_grid *grid, struct fci_doc *doc,
            const fc_listed_reading *r, const fc_checked_claim *finest,
            const char *names)
{
    const char *event = short_event(doc, r->event);
    const char *number =
        !r->number ? r->gauge ? r->gauge : "not named" : r->number;

    put_name(grid, doc, r->name, MOST_NAME);
    put_name(grid, doc, r->at, MOST_PLACE);
    fci_cell(grid, fci_support_pressure(doc, finest, r->pressure).text);
    fci_cell(grid, fci_support_pressure(doc, finest, r->within).text);
    fci_cell(grid, event ? event : "");
    fci_cell(grid, number);
    fci_cell(grid, names);
}

static void
print_readings(struct fci_doc *doc, const fc_verify_result *result)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const struct fci_doc_column columns[] = {
        { "reading", "", FCI_LEFT, 7 }, { "at", "", FCI_LEFT, 6 },
        { "read", p, FCI_RIGHT, 0 },    { "within", p, FCI_RIGHT, 0 },
        { "while", "", FCI_LEFT, 8 },   { "gauge", "", FCI_LEFT, 6 },
        { "for", "", FCI_LEFT, 8 },
    };
    const size_t kept = kept_behind_readings(result) + 1;
    struct fci_grid *grid = fci_grid_new(doc, columns, 7);
    size_t left = 0;

    for (size_t i = 0; i < result->n_readings; i++) {
        const fc_listed_reading *r = &result->readings[i];
        const fc_checked_claim *finest;
        const char *names = name_decided(doc, result, r, &finest);

        if (names && *names && !isnan(r->pressure))
            add_reading(grid, doc, r, finest, names);
    }
    if (fci_grid_is_empty(grid))
        return;
    fci_doc_heading(doc, "Readings that count");
    fci_doc_put(doc, grid);
    while (grid->n_cells > grid->n_columns
           && fci_screen_room(doc, kept) == 0) {
        grid->n_cells -= grid->n_columns;
        left++;
    }
    if (left > 0)
        fci_doc_say(doc, "And %zu more; see --full.", left);
}

/* ---- All of it -------------------------------------------------------- */

/* Water that may be drawn back comes before all else. */
static void
say_hazard(struct fci_doc *doc, const fc_verify_result *result)
{
    for (size_t i = 0; i < result->n_findings; i++)
        if (result->findings[i].code == FC_FOUND_NO_PRESSURE) {
            fci_doc_say(doc, "%s: %s", result->findings[i].subject,
                        result->findings[i].text);
            return;
        }
}

void
fci_verify_brief(struct fci_doc *doc, const fc_verify_result *result,
                 const fc_checked_claim *const *worst_first)
{
    say_hazard(doc, result);
    print_claims(doc, result, worst_first);
    print_readings(doc, result);
    fci_verify_below(doc, result, worst_first);
}
