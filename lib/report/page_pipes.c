/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/page_pipes.c -- what is known of pipes and of flush valves, and
 * how it is known. */
#include "page/figure.h"
#include "report/page_parts.h"
#include "site/pipe_size.h"

#include <math.h>
#include <string.h>

/* ---- Pipes ------------------------------------------------------------ */

/* What is said of a pipe: its length, rise, material, C, inside diameter and
 * fittings. */
#define TEXTS 6

/* Pipes of which the same is known in the same way. */
struct kin {
    const char *texts[TEXTS];
    const char *first;
    size_t n;
    double length;
    struct kin *next;
};

#define PRINT(page, ...) fci_arena_printf(&(page)->doc->arena, __VA_ARGS__)

static const char *
mark(struct fci_page *page, const struct fci_entry_head *head, const char *of,
     const char *source)
{
    const char *text = fci_page_cite(page, head, of, source);

    return text ? text : "";
}

static const char *
tolerance_text(fc_deviation tolerance)
{
    return tolerance.given ? ", with its tolerance" : "";
}

static const char *
length_text(struct fci_page *page, const fc_pipe *given)
{
    return PRINT(page, "%s%s", fci_page_standing(given->length),
                 tolerance_text(page->site->tolerance.length));
}

static const char *
rise_text(struct fci_page *page, const fc_pipe *given,
          const struct fci_element *element)
{
    if (fci_has_height(&element->height))
        return PRINT(page, "%s, by elevation",
                     fci_page_standing(fc_exactly(element->rise.nominal)));
    return given->rise.given
               ? PRINT(page, "%s%s", fci_page_standing(given->rise),
                       tolerance_text(page->site->tolerance.elevation))
               : "not given: level";
}

static const char *
material_text(struct fci_page *page, const struct fci_pipe *pipe)
{
    return pipe->material ? PRINT(page, "%s %s", pipe->material->head.name,
                                  mark(page, &pipe->material->head, "",
                                       pipe->material->head.source))
                          : "none: C and inside diameter given";
}

static const char *
c_text(struct fci_page *page, const struct fci_pipe *pipe)
{
    const fc_condition condition = fci_pipe_condition(page->site, pipe);
    const char *tolerance = tolerance_text(page->site->tolerance.c);
    const char *c = fci_page_said(
        page, fci_figure_range(page->doc->units, FC_NUMBER, pipe->c).text);

    if (pipe->given->c.given)
        return PRINT(page, "%s: %s%s", c ? c : "",
                     fci_page_standing(pipe->given->c), tolerance);
    return PRINT(
        page, "%s: %s%s %s", c ? c : "",
        condition == FC_NEW    ? "from the tables, new pipe"
        : condition == FC_AGED ? "from the tables, aged pipe"
                               : "usual range, condition not given",
        tolerance,
        mark(page, &pipe->material->head, "C", pipe->material->c_source));
}

static const char *
bore_text(struct fci_page *page, const struct fci_pipe *pipe)
{
    const char *of = pipe->measured_bore
                         ? fci_page_standing(pipe->given->inside_diameter)
                     : pipe->given->choose_size ? "by the size chosen"
                     : pipe->given->size.low < pipe->given->size.high
                         ? "from the tables; range of sizes given"
                         : "from the tables, by size";

    if (!pipe->scale.given)
        return of;
    return PRINT(page, "%s, less up to %.0f%% for scale: usual range", of,
                 100.0 * pipe->scale.high);
}

static const char *
fittings_text(struct fci_page *page, const struct fci_pipe *pipe)
{
    const struct fci_usual *usual =
        fci_tables_usual(page->site->tables, FCI_USUAL_FITTINGS);

    if (pipe->allowance.given)
        return PRINT(page,
                     "not listed: usual range, %.0f to %.0f%% of the "
                     "length %s",
                     100.0 * pipe->allowance.low, 100.0 * pipe->allowance.high,
                     mark(page, &usual->head, "", usual->head.source));
    if (pipe->given->n_fittings == 0)
        return "none, as given";
    return PRINT(page, "given; lengths from the tables %s",
                 pipe->material
                     ? mark(page, &pipe->material->fittings->head, "",
                            pipe->material->fittings->head.source)
                     : "");
}

/* The pipes of which all this is known; NULL: out of memory. */
static struct kin *
kin_of(struct fci_page *page, struct kin **first, const char *const *texts)
{
    struct kin **at = first;

    for (; *at; at = &(*at)->next) {
        size_t i = 0;

        while (i < TEXTS && strcmp((*at)->texts[i], texts[i]) == 0)
            i++;
        if (i == TEXTS)
            return *at;
    }
    *at = fci_arena_alloc(&page->doc->arena, sizeof **at);
    if (*at)
        memcpy((*at)->texts, texts, sizeof(*at)->texts);
    return *at;
}

static void
add_pipe(struct fci_page *page, const struct fci_element *element,
         struct kin **first)
{
    const struct fci_pipe *pipe = element->pipe;
    const fc_pipe *given =
        page->site->given[element->part - page->site->parts];
    const char *const texts[TEXTS] = {
        length_text(page, given),  rise_text(page, given, element),
        material_text(page, pipe), c_text(page, pipe),
        bore_text(page, pipe),     fittings_text(page, pipe),
    };
    struct kin *kin;

    if (page->doc->arena.failed)
        return;
    kin = kin_of(page, first, texts);
    if (!kin)
        return;
    kin->first = kin->n++ == 0 ? element->name : kin->first;
    kin->length += pipe->length.nominal;
}

void
fci_page_pipes(struct fci_page *page)
{
    const fc_site *site = page->site;
    const struct fci_doc_column columns[] = {
        { "pipes", "", FCI_LEFT, 10 },
        { "length", fc_unit_name(page->doc->units, FC_LENGTH), FCI_RIGHT, 0 },
        { "lengths", "", FCI_LEFT, 8 },
        { "rises", "", FCI_LEFT, 8 },
        { "material", "", FCI_LEFT, 8 },
        { "C", "", FCI_LEFT, 10 },
        { "inside diameter", "", FCI_LEFT, 8 },
        { "fittings", "", FCI_LEFT, 8 },
    };
    struct fci_grid *table = fci_grid_new(page->doc, columns, 2 + TEXTS);
    struct kin *first = NULL;

    for (size_t i = 0; i < site->n_elements; i++)
        if (site->elements[site->order[i]].pipe)
            add_pipe(page, &site->elements[site->order[i]], &first);
    for (const struct kin *kin = first; kin; kin = kin->next) {
        fci_cell(table, kin->n == 1 ? kin->first
                                    : PRINT(page, "%s and %zu more",
                                            kin->first, kin->n - 1));
        fci_cell(table,
                 fci_figure_of(page->doc->units, FC_LENGTH, kin->length).text);
        for (size_t i = 0; i < TEXTS; i++)
            fci_cell(table, kin->texts[i]);
    }
    if (fci_grid_is_empty(table))
        return;
    fci_doc_heading(page->doc, "Inputs: pipes");
    fci_doc_put(page->doc, table);
    if (page->result)
        fci_doc_say(page->doc,
                    "Lengths and sizes of each are in the calculation sheet.");
}

/* ---- Flush valves ----------------------------------------------------- */

static bool
is_used(const struct fci_fixture *fixture, const fc_valve *valve, int state)
{
    return fixture->valve[state] == valve;
}

/* How many fixtures have a valve in a state. */
static int
count_of(const fc_site *site, const fc_valve *valve, int state)
{
    int n = 0;

    for (size_t i = 0; i < site->n_fixtures; i++)
        if (is_used(&site->fixtures[i], valve, state))
            n += site->fixtures[i].count;
    return n;
}

static const char *
valve_standing(struct fci_page *page, const struct fci_fixture *fixture,
               int state)
{
    const struct fci_valve_class *class;

    if (!fixture->generic[state])
        return "given";
    class = fci_tables_valve(page->site->tables, fixture->valve[state]->name);
    return PRINT(page, "generic class, %s %s",
                 fixture->assumed[state] ? "assumed: no valve is named"
                                         : "named by the file",
                 class ? mark(page, &class->head, "", class->head.source)
                       : "");
}

static void
add_figure(struct fci_grid *table, fc_unit_system units,
           fc_dimension dimension, fc_range figure)
{
    fci_cell(table, fci_figure_range(units, dimension, figure).text);
}

static const char *
flush_text(struct fci_page *page, const fc_valve *v)
{
    const fc_unit_system u = page->doc->units;

    if (!v->reduced_flush.given)
        return fci_arena_string(
            &page->doc->arena,
            fci_figure_range(u, FC_VOLUME, v->full_flush).text);
    return PRINT(page, "%s (%s)",
                 fci_figure_range(u, FC_VOLUME, v->full_flush).text,
                 fci_figure_range(u, FC_VOLUME, v->reduced_flush).text);
}

static void
add_valve(struct fci_page *page, struct fci_grid *table,
          const struct fci_fixture *fixture, int state)
{
    const fc_unit_system u = page->doc->units;
    const fc_valve *v = fixture->valve[state];
    const int now = count_of(page->site, v, FC_EXISTING);
    const int then = count_of(page->site, v, FC_RETROFIT);
    const bool converted = fci_has_conversions(page->site);

    fci_cell(table, v->name);
    fci_cell(table, PRINT(page, "%d", now));
    fci_cell(table, converted ? PRINT(page, "%d", then) : "-");
    add_figure(table, u, FC_PRESSURE, v->minimum_flowing);
    add_figure(table, u, FC_PRESSURE, v->maximum_static);
    add_figure(table, u, FC_FLOW, v->flow);
    add_figure(table, u, FC_PRESSURE, v->flow_pressure);
    fci_cell(table, flush_text(page, v));
    fci_cell(table, valve_standing(page, fixture, state));
}

/* Whether an earlier fixture has this valve already. */
static bool
was_told(const fc_site *site, size_t fixture, int state)
{
    const fc_valve *valve = site->fixtures[fixture].valve[state];

    if (state == FC_RETROFIT
        && site->fixtures[fixture].valve[FC_EXISTING] == valve)
        return true;
    for (size_t i = 0; i < fixture; i++)
        for (int s = 0; s < FC_STATES; s++)
            if (is_used(&site->fixtures[i], valve, s))
                return true;
    return false;
}

void
fci_page_valves(struct fci_page *page)
{
    const fc_site *site = page->site;
    const char *p = fc_unit_name(page->doc->units, FC_PRESSURE);
    const char *q = fc_unit_name(page->doc->units, FC_FLOW);
    const char *v = fc_unit_name(page->doc->units, FC_VOLUME);
    const struct fci_doc_column columns[] = {
        { "valve", "", FCI_LEFT, 14 },
        { "existing", "", FCI_RIGHT, 0 },
        { "after\nretrofit", "", FCI_RIGHT, 0 },
        { "minimum\nflowing", p, FCI_RIGHT, 0 },
        { "maximum\nstatic", p, FCI_RIGHT, 0 },
        { "flow", q, FCI_RIGHT, 0 },
        { "at", p, FCI_RIGHT, 0 },
        { "flush\n(reduced)", v, FCI_RIGHT, 0 },
        { "basis", "", FCI_LEFT, 8 },
    };
    struct fci_grid *table = fci_grid_new(page->doc, columns, 9);

    for (size_t i = 0; i < site->n_fixtures; i++)
        for (int s = 0; s < FC_STATES; s++)
            if (site->fixtures[i].valve[s] && !was_told(site, i, s))
                add_valve(page, table, &site->fixtures[i], s);
    if (fci_grid_is_empty(table))
        return;
    fci_doc_heading(page->doc, "Inputs: flush valves");
    fci_doc_put(page->doc, table);
    fci_doc_say(page->doc, "Figures of a valve that is given are to be those "
                           "of its data sheet; \"-\": not given.");
    fci_page_more_of_valves(page);
}
