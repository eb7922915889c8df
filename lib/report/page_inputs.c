/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/page_inputs.c -- what is known of the supply and of what it flows
 * through, and how it is known.
 *
 * A finished site keeps every part twice: as it was given, and as it was taken
 * once tolerances and the tables had their say.  What stands in the second
 * alone is not of the user.
 */
#include "ini/field_type.h"
#include "page/figure.h"
#include "report/page_parts.h"
#include "variants/part_text.h"

#include <string.h>

struct inputs {
    struct fci_page *page;
    struct fci_grid *grid;
    const char *part;
};

static void
add_row(struct inputs *in, const char *what, const char *value,
        const char *standing)
{
    fci_cell(in->grid, in->part);
    fci_cell(in->grid, what);
    fci_cell(in->grid, value);
    fci_cell(in->grid, standing);
}

/* ---- As given --------------------------------------------------------- */

/* The value of a key as its file has it, or as a file would have it; NULL: it
 * is not given. */
static const char *
value_of(const struct inputs *in, const struct fci_part *part,
         const struct fci_section *made, const char *key)
{
    const struct fci_entry *entry = NULL;

    if (part->section && !part->changed)
        entry = fci_section_entry(part->section, key);
    if (!entry || !entry->value)
        entry = made ? fci_section_entry(made, key) : NULL;
    return entry ? fci_page_said(in->page, entry->value) : NULL;
}

static bool
is_figure(const struct fci_field *field)
{
    return field->type == &fci_figure_field || field->type == &fci_range_field
           || field->type == &fci_figure_at_field;
}

static const fc_range *
range_in(const struct fci_field *field, const void *data)
{
    return FCI_AT((const char *)data, field->offset, fc_range);
}

/* How a figure that is given is taken. */
static const char *
standing_of(const struct inputs *in, const struct fci_field *field,
            const void *given, const void *taken)
{
    const fc_range *g, *t;

    if (field->type == &fci_loss_field)
        return fci_page_standing(
            FCI_AT((const char *)given, field->offset, fc_loss)->pressure);
    if (!is_figure(field))
        return "given";
    g = range_in(field, given);
    t = range_in(field, taken);
    if (t->low < g->low || t->high > g->high)
        return fci_arena_printf(
            &in->page->doc->arena, "%s, taken as %s", fci_page_standing(*g),
            fci_page_said(in->page, fci_figure_range_said(in->page->doc->units,
                                                          field->dimension, *t)
                                        .text));
    return fci_page_standing(*g);
}

/* ---- Not given -------------------------------------------------------- */

static const char *
cited(const struct inputs *in, const char *what,
      const struct fci_entry_head *head)
{
    const char *mark = fci_page_cite(in->page, head, "", head->source);

    return fci_arena_printf(&in->page->doc->arena, "%s %s", what,
                            mark ? mark : "");
}

static void
add_usual(struct inputs *in, const char *what, enum fci_usual_name name)
{
    const struct fci_usual *usual =
        fci_tables_usual(in->page->site->tables, name);
    const fc_range range = usual->range;

    add_row(in, what,
            fci_arena_printf(&in->page->doc->arena, "%s%s",
                             range.low < range.high ? "" : "within ",
                             fci_page_said(in->page, fci_figure_range_said(
                                                         in->page->doc->units,
                                                         FC_PRESSURE, range)
                                                         .text)),
            cited(in, "usual range", &usual->head));
}

/* What the tables filled in. */
static void
add_filled(struct inputs *in, const struct fci_part *part,
           const struct fci_field *field, const char *value)
{
    const fc_device *device = part->data;

    if (part->kind == FCI_PRESSURE_TANK)
        add_row(in, field->key, value, "usual, below the cut-in");
    else if (part->kind == FCI_REDUCER)
        add_usual(in, field->key,
                  field->type == &fci_loss_field ? FCI_USUAL_WIDE_OPEN
                                                 : FCI_USUAL_FALL_OFF);
    else if (part->kind == FCI_METER && field->type == &fci_loss_field)
        add_row(
            in, field->key, value,
            cited(in, "from the tables",
                  &fci_tables_meter(in->page->site->tables, device->meter_kind)
                       ->head));
}

static bool
is_filled(const struct fci_field *field, const void *given, const void *taken)
{
    if (field->type == &fci_loss_field)
        return FCI_AT((const char *)given, field->offset, fc_loss)->kind
                   == FC_NO_LOSS
               && FCI_AT((const char *)taken, field->offset, fc_loss)->kind
                      != FC_NO_LOSS;
    return is_figure(field) && !range_in(field, given)->given
           && range_in(field, taken)->given;
}

static bool
lacks_test(const void *given)
{
    const fc_source *source = given;

    return source->kind == FC_STREET_MAIN && !source->residual.given
           && source->n_flow_test == 0;
}

static bool
lacks_within(const void *given)
{
    const fc_source *source = given;

    return source->kind == FC_STREET_MAIN && !lacks_test(given)
           && !source->within.given && !source->gauge;
}

static bool
lacks_suction(const void *given)
{
    const fc_pump *pump = given;

    return !pump->minimum_suction.given && pump->running != FC_NO;
}

static bool
has_one_point(const void *given)
{
    return ((const fc_device *)given)->loss.kind == FC_SQUARE_LOSS;
}

/* What no field of the part is filled with. */
static const struct lack {
    enum fci_kind kind;
    bool (*lacks)(const void *given);
    const char *what, *value; /* NULL: the usual range */
    enum fci_usual_name usual;
    const char *standing;
} lacks[] = {
    { FCI_SOURCE, lacks_test, "flow test",
      "none: how far the main drops is not known", FCI_USUALS, "not given" },
    { FCI_SOURCE, lacks_within, "accuracy of its gauge", NULL, FCI_USUAL_GAUGE,
      NULL },
    { FCI_BACKFLOW, has_one_point, "loss at other flows",
      "between the square law and the same at any flow", FCI_USUALS,
      "not given" },
    { FCI_PUMP, lacks_suction, "minimum suction", NULL, FCI_USUAL_SUCTION,
      NULL },
};

/* ---- A part ----------------------------------------------------------- */

static bool
is_one_of(const char *key, const char *const *keys)
{
    while (*keys && strcmp(*keys, key) != 0)
        keys++;
    return *keys != NULL;
}

/* What the head and the other tables tell, or what is no figure, is not told
 * here; nor what things cost but for what a year costs. */
static bool
is_told(enum fci_kind kind, const char *key)
{
    static const char *const of_site[] = { "peak",
                                           "demand",
                                           "code minimum",
                                           "material",
                                           "condition",
                                           "water temperature",
                                           "maximum static",
                                           "velocity limit",
                                           "reserve",
                                           "sizes",
                                           NULL };
    static const char *const of_fixture[] = { "stop",
                                              "bowl",
                                              "existing bowl",
                                              "retrofit bowl",
                                              "maximum static",
                                              "fixture units",
                                              "interval",
                                              "rate",
                                              "draw per day",
                                              "uses per day",
                                              "used by",
                                              "balanced",
                                              NULL };
    static const char *const of_pipe[] = { "pressure rating", "arrester",
                                           NULL };
    static const char *const of_year[] = { "water", "battery set", NULL };
    static const char *const in_columns[] = {
        "minimum flowing", "maximum static", "flow",
        "full flush",      "reduced flush",  NULL
    };
    static const char *const wiring[] = { "from", "beside", "on", "gauge",
                                          NULL };

    return kind == FCI_SITE         ? is_one_of(key, of_site)
           : kind == FCI_FIXTURE    ? is_one_of(key, of_fixture)
           : kind == FCI_PIPE       ? is_one_of(key, of_pipe)
           : kind == FCI_FIX_PRICES ? is_one_of(key, of_year)
           : kind == FCI_VALVE      ? !is_one_of(key, in_columns)
           : kind == FCI_HEATER     ? true
           : kind == FCI_SOURCE     ? true
                                    : !is_one_of(key, wiring);
}

/* "meter", "PRV low-zone": no name twice. */
static const char *
name_of(struct fci_page *page, const struct fci_part *part)
{
    static const char *const words[FCI_KINDS] = {
        [FCI_SITE] = "site",
        [FCI_FIXTURE] = "fixture",
        [FCI_SOURCE] = "supply",
        [FCI_PIPE] = "pipe",
        [FCI_METER] = "meter",
        [FCI_BACKFLOW] = "backflow preventer",
        [FCI_DEVICE] = "device",
        [FCI_REDUCER] = "PRV",
        [FCI_PUMP] = "pump",
        [FCI_PRESSURE_TANK] = "pressure tank",
        [FCI_DEMAND] = "steady demand",
        [FCI_USAGE] = "usage",
        [FCI_PEOPLE] = "people",
        [FCI_HEATER] = "heater",
        [FCI_FIX_PRICES] = "price",
        [FCI_TOLERANCE] = "tolerance",
    };
    const char *word = words[part->kind];

    if (!word)
        return NULL;
    return !*part->name || fci_same_name(part->name, word)
               ? word
               : fci_arena_printf(&page->doc->arena, "%s %s", word,
                                  part->name);
}

static void
add_part(struct inputs *in, size_t index)
{
    const fc_site *site = in->page->site;
    const struct fci_part *part = &site->parts[index];
    const struct fci_part_kind *kind = &fci_part_kinds[part->kind];
    const void *given = site->given[index];
    struct fci_section *made = NULL, *taken = NULL;
    struct fci_arena *arena = &in->page->doc->arena;

    /* What a file has no way to put is not told; then nor is it by its file.
     */
    if (fci_part_section(part, given, in->page->doc->units, arena, &made, NULL)
        == FC_ENOMEM)
        arena->failed = true;
    if (fci_part_section(part, part->data, in->page->doc->units, arena, &taken,
                         NULL)
        == FC_ENOMEM)
        arena->failed = true;
    for (size_t i = 0; i < kind->n_fields && !arena->failed; i++) {
        const struct fci_field *field = &kind->fields[i];
        const char *value = value_of(in, part, made, field->key);

        if (!is_told(part->kind, field->key))
            continue;
        if (is_filled(field, given, part->data))
            add_filled(in, part, field,
                       taken ? value_of(in, &(struct fci_part){ 0 }, taken,
                                        field->key)
                             : "-");
        else if (value)
            add_row(in, field->key, value,
                    standing_of(in, field, given, part->data));
    }
    for (size_t i = 0; i < sizeof lacks / sizeof *lacks; i++)
        if (lacks[i].kind == part->kind && lacks[i].lacks(given)) {
            if (lacks[i].value)
                add_row(in, lacks[i].what, lacks[i].value, lacks[i].standing);
            else
                add_usual(in, lacks[i].what, lacks[i].usual);
        }
}

/* A name stands once, before the first of its rows. */
static void
say_names_once(struct fci_grid *grid)
{
    const size_t n = grid->n_columns;
    const char *before = "";

    if (n == 0 || grid->doc->arena.failed)
        return;
    for (size_t i = 0; i < grid->n_cells; i += n) {
        struct fci_cell *cell = &grid->cells[i];
        const bool same = strcmp(cell->text, before) == 0;

        before = cell->text;
        if (same)
            cell->text = "";
    }
}

static bool
is_in_use(const fc_site *site, const struct fci_part *part)
{
    for (size_t i = 0; i < site->n_fixtures; i++)
        for (int s = 0; s < FC_STATES; s++)
            if (site->fixtures[i].valve[s] == part->data)
                return true;
    return false;
}

void
fci_page_more_of_valves(struct fci_page *page)
{
    static const struct fci_doc_column columns[] = {
        { "valve", "", FCI_LEFT, 10 },
        { "also given", "", FCI_LEFT, 10 },
        { "value", "", FCI_LEFT, 10 },
        { "basis", "", FCI_LEFT, 10 },
    };
    struct inputs in = { page, fci_grid_new(page->doc, columns, 4), NULL };

    for (size_t i = 0; i < page->site->n_parts; i++) {
        const struct fci_part *part = &page->site->parts[i];

        if (part->kind != FCI_VALVE || !is_in_use(page->site, part))
            continue;
        in.part = part->name;
        add_part(&in, i);
    }
    fci_page_fold(in.grid, 1);
    say_names_once(in.grid);
    fci_doc_put(page->doc, in.grid);
}

void
fci_page_inputs(struct fci_page *page)
{
    static const struct fci_doc_column columns[] = {
        { "part", "", FCI_LEFT, 10 },
        { "figure", "", FCI_LEFT, 10 },
        { "value", "", FCI_LEFT, 10 },
        { "basis", "", FCI_LEFT, 10 },
    };
    struct inputs in = { page, fci_grid_new(page->doc, columns, 4), NULL };

    for (size_t i = 0; i < page->site->n_parts; i++) {
        in.part = name_of(page, &page->site->parts[i]);
        if (in.part)
            add_part(&in, i);
    }
    fci_page_fold(in.grid, 1);
    say_names_once(in.grid);
    fci_doc_heading(page->doc, "Inputs: supply and equipment");
    fci_doc_say(
        page->doc,
        "Given: as the site file has it. Usual range: not given, so it may "
        "be anywhere in that range. Numbers in brackets: the sources at "
        "the end.");
    fci_doc_put(page->doc, in.grid);
}

/* ---- Gauge readings --------------------------------------------------- */

#define MOST_KEYS 12

/* NULL: it is not given. */
static const char *
written(const struct inputs *in, size_t index, const char *key)
{
    const fc_site *site = in->page->site;
    const struct fci_part *part = &site->parts[index];
    struct fci_arena *arena = &in->page->doc->arena;
    struct fci_section *made = NULL;

    if ((!part->section || part->changed)
        && fci_part_section(part, site->given[index], in->page->doc->units,
                            arena, &made, NULL)
               == FC_ENOMEM)
        arena->failed = true;
    return value_of(in, part, made, key);
}

/* The keys that any reading gives, in the order of the part's fields. */
static size_t
keys_of(struct inputs *in, enum fci_kind kind, const char *keys[MOST_KEYS])
{
    const struct fci_part_kind *of = &fci_part_kinds[kind];
    const fc_site *site = in->page->site;
    size_t n = 0;

    for (size_t k = 0; k < of->n_fields && n < MOST_KEYS; k++)
        for (size_t i = 0; i < site->n_parts; i++)
            if (site->parts[i].kind == kind
                && written(in, i, of->fields[k].key)) {
                keys[n++] = of->fields[k].key;
                break;
            }
    return n;
}

static void
put_parts(struct fci_page *page, enum fci_kind kind, const char *what,
          const char *heading)
{
    struct fci_doc_column columns[1 + MOST_KEYS] = {
        { what, "", FCI_LEFT, 10 },
    };
    const fc_site *site = page->site;
    struct inputs in = { page, NULL, NULL };
    const char *keys[MOST_KEYS];
    const size_t n = keys_of(&in, kind, keys);

    for (size_t k = 0; k < n; k++)
        columns[1 + k] = (struct fci_doc_column){ keys[k], "", FCI_LEFT, 6 };
    in.grid = fci_grid_new(page->doc, columns, 1 + n);
    for (size_t i = 0; n > 0 && i < site->n_parts; i++) {
        if (site->parts[i].kind != kind)
            continue;
        fci_cell(in.grid, site->parts[i].name);
        for (size_t k = 0; k < n; k++) {
            const char *value = written(&in, i, keys[k]);

            fci_cell(in.grid, value ? value : "");
        }
    }
    if (fci_grid_is_empty(in.grid))
        return;
    fci_doc_heading(page->doc, "%s", heading);
    fci_doc_put(page->doc, in.grid);
}

void
fci_page_readings(struct fci_page *page)
{
    put_parts(page, FCI_GAUGE, "gauge", "Inputs: gauges");
    put_parts(page, FCI_READING, "reading", "Inputs: gauge readings");
    put_parts(page, FCI_LOOK, "seen", "Inputs: what was looked at");
    put_parts(page, FCI_CLAIM, "claim", "Inputs: claims");
}
