/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/page_fixtures.c -- the fixture table: how many of each kind, and
 * their fixture units.
 */
#include "page/figure.h"
#include "peak/demand.h"
#include "report/page_parts.h"

#include <math.h>
#include <string.h>

#define PRINT(page, ...) fci_arena_printf(&(page)->doc->arena, __VA_ARGS__)

/* Fixtures that count alike. */
struct like {
    const struct fci_fixture *first;
    struct fci_units_of_use units; /* of one */
    long count;
    struct like *next;
};

static bool
is_alike(const struct like *like, const struct fci_fixture *fixture,
         const struct fci_units_of_use *units)
{
    const double a[] = { like->units.cold, like->units.hot,
                         like->units.total };
    const double b[] = { units->cold, units->hot, units->total };

    return like->first->kind == fixture->kind
           && like->first->given->use == fixture->given->use
           && like->first->given->fixture_units.given
                  == fixture->given->fixture_units.given
           && memcmp(a, b, sizeof a) == 0;
}

static void
count_fixture(struct fci_page *page, struct like **at,
              const struct fci_fixture *fixture, fc_state state)
{
    const struct fci_units_of_use units = fci_fixture_units(fixture, state);

    while (*at && !is_alike(*at, fixture, &units))
        at = &(*at)->next;
    if (!*at) {
        *at = fci_arena_alloc(&page->doc->arena, sizeof **at);
        if (!*at)
            return;
        (*at)->first = fixture;
        (*at)->units = units;
    }
    (*at)->count += fixture->count;
}

static void
add_units(struct fci_grid *table, double units)
{
    fci_cell(table, fci_figure_number(units, 2).text);
}

static const char *
units_standing(struct fci_page *page, const struct fci_fixture *fixture)
{
    const struct fci_fixture_kind *kind = fixture->kind;
    const char *mark;

    if (fixture->given->fixture_units.given)
        return "given";
    mark =
        fci_page_cite(page, &kind->head, "fixture units", kind->units_source);
    return PRINT(page, "tables %s", mark ? mark : "");
}

static const char *
minimum_text(struct fci_page *page, const struct fci_fixture_kind *kind)
{
    const char *mark;

    if (isnan(kind->pressure))
        return "-";
    mark = fci_page_cite(page, &kind->head, "least pressure",
                         kind->pressure_source);
    return PRINT(
        page, "%s %s",
        fci_figure_of(page->doc->units, FC_PRESSURE, kind->pressure).text,
        mark ? mark : "");
}

static void
add_like(struct fci_page *page, struct fci_grid *table,
         const struct like *like)
{
    static const char *const uses[] = { "public", "private", "assembly" };
    const double n = (double)like->count;

    fci_cell(table, like->first->kind->head.name);
    fci_cell(table, uses[like->first->given->use]);
    fci_cell(table, PRINT(page, "%ld", like->count));
    add_units(table, like->units.cold);
    add_units(table, like->units.hot);
    add_units(table, like->units.total);
    add_units(table, n * like->units.cold);
    add_units(table, n * like->units.hot);
    add_units(table, n * like->units.total);
    fci_cell(table, units_standing(page, like->first));
    fci_cell(table, minimum_text(page, like->first->kind));
}

static void
add_sum(struct fci_page *page, struct fci_grid *table,
        const struct like *first)
{
    struct fci_units_of_use sum = { 0 };
    long count = 0;

    for (const struct like *like = first; like; like = like->next) {
        count += like->count;
        sum.cold += (double)like->count * like->units.cold;
        sum.hot += (double)like->count * like->units.hot;
        sum.total += (double)like->count * like->units.total;
    }
    fci_grid_rule(table);
    fci_cell(table, "in all");
    fci_cell(table, "");
    fci_cell(table, PRINT(page, "%ld", count));
    for (int i = 0; i < 3; i++)
        fci_cell(table, "");
    add_units(table, sum.cold);
    add_units(table, sum.hot);
    add_units(table, sum.total);
    fci_cell(table, "");
    fci_cell(table, "");
}

static void
put_fixtures(struct fci_page *page, fc_state state)
{
    const char *p = fc_unit_name(page->doc->units, FC_PRESSURE);
    const struct fci_doc_column columns[] = {
        { "fixture", "", FCI_LEFT, 12 },
        { "use", "", FCI_LEFT, 0 },
        { "count", "", FCI_RIGHT, 0 },
        { "units each,\ncold", "", FCI_RIGHT, 0 },
        { "hot", "", FCI_RIGHT, 0 },
        { "total", "", FCI_RIGHT, 0 },
        { "all units,\ncold", "", FCI_RIGHT, 0 },
        { "hot", "", FCI_RIGHT, 0 },
        { "total", "", FCI_RIGHT, 0 },
        { "units\nfrom", "", FCI_LEFT, 0 },
        { "code\nminimum", p, FCI_RIGHT, 0 },
    };
    struct fci_grid *table = fci_grid_new(page->doc, columns, 11);
    const fc_site *site = page->site;
    struct like *first = NULL;

    for (size_t i = 0; i < site->n_fixtures; i++)
        count_fixture(page, &first, &site->fixtures[i], state);
    if (page->doc->arena.failed)
        return;
    for (const struct like *like = first; like; like = like->next)
        add_like(page, table, like);
    add_sum(page, table, first);
    fci_doc_put(page->doc, table);
}

/* Whether the new valves count otherwise than the old ones. */
static bool
units_change(const fc_site *site)
{
    for (size_t i = 0; i < site->n_fixtures; i++) {
        const struct fci_units_of_use now =
            fci_fixture_units(&site->fixtures[i], FC_EXISTING);
        const struct fci_units_of_use then =
            fci_fixture_units(&site->fixtures[i], FC_RETROFIT);

        if (fabs(now.total - then.total) > 1e-9)
            return true;
    }
    return false;
}

void
fci_page_fixtures(struct fci_page *page)
{
    const fc_site *site = page->site;
    const bool change = units_change(site);

    if (site->n_fixtures == 0)
        return;
    fci_doc_heading(page->doc, "Fixture table%s",
                    change ? ", after retrofit" : "");
    put_fixtures(page, FC_RETROFIT);
    fci_doc_say(page->doc,
                "A pipe carries the cold units of its fixtures, and the total "
                "units of those whose heater it feeds too.");
    if (change) {
        fci_doc_heading(page->doc, "Fixture table, existing");
        put_fixtures(page, FC_EXISTING);
    }
}
