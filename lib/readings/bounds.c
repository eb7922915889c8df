/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/readings/bounds.c -- what the file as entered gives where a gauge was
 * read, while what flushed then does.
 *
 * The ends that are worst and best for the place bound it, as they bound a
 * fixture.  So at the outlet of an element stands a fixture of no height that
 * draws nothing.  Where the flows are out of reach the static ceiling alone is
 * the bound: what the best source can have there with nothing flowing.
 *
 * Where flows may turn no ends bound them.  There the building as it is
 * described, with all inputs at their worst and with all at their best, are
 * taken for what it gives, with a margin on both sides: what these differ by
 * once more, a fifth of what flow costs, and what a gauge is usually off by.
 */
#include "peak/source.h"
#include "readings/readings.h"
#include "variants/vary.h"

#include <math.h>

#define MARGIN_OF_LOSS 0.2

/* What one valve of a fixture draws. */
struct drawing {
    size_t event; /* + 1, in which it does; 0: not worked out yet */
    double low, high;
};

struct bounding {
    struct fci_arena arena;
    double source; /* see fci_readings_bound() */
    const struct fci_readings *readings;
    struct fci_reading_bounds *bounds;
    fc_site site;    /* with the fixtures at elements, and all sized */
    size_t *gauged;  /* by element: the fixture there; FCI_NONE: none */
    double *ceiling; /* by element, with nothing flowing at the best end */
    double *floor;   /* the same at the worst, where flows may turn */
    size_t *flows;   /* by element: the event + 1 in which water passes */
    bool *unsized;   /* by element: its size is to be chosen */
    bool any_unsized;
    bool tested, draws;           /* every street main; steadily */
    struct drawing *drawings;     /* by fixture */
    struct fci_at_flow *elements; /* after a run, where flows may turn */
    struct fci_network *network;
    struct fci_solver *solver;
};

/* ---- The site with gauges ---------------------------------------------- */

static size_t
end_of(const fc_site *site, size_t element)
{
    return site->elements[element].to == FCI_NONE ? element
                                                  : site->elements[element].to;
}

static bool
put_gauges(struct bounding *b)
{
    static const fc_fixture nothing = { .name = "" };
    const fc_site *site = b->readings->site;
    const struct fci_readings *r = b->readings;
    struct fci_fixture *fixtures =
        fci_arena_array(&b->arena, site->n_fixtures + r->n, sizeof *fixtures);
    size_t i;

    b->gauged =
        fci_arena_array(&b->arena, site->n_elements, sizeof *b->gauged);
    if (!fixtures || !b->gauged)
        return false;
    for (i = 0; i < site->n_fixtures; i++)
        fixtures[i] = site->fixtures[i];
    for (i = 0; i < site->n_elements; i++)
        b->gauged[i] = FCI_NONE;
    b->site.fixtures = fixtures;
    for (i = 0; i < r->n; i++) {
        const size_t at = end_of(site, r->gauges[i].place.element);

        if (r->gauges[i].place.fixture != FCI_NONE
            || b->gauged[at] != FCI_NONE)
            continue;
        b->gauged[at] = b->site.n_fixtures;
        fixtures[b->site.n_fixtures++] = (struct fci_fixture){
            .given = &nothing, .element = at, .heater = FCI_NONE, .count = 1
        };
    }
    return true;
}

/* Pipes whose size is to be chosen take nothing: what water passes through
 * them is not compared. */
static bool
size_pipes(struct bounding *b)
{
    struct fci_element *elements =
        fci_arena_array(&b->arena, b->site.n_elements, sizeof *elements);
    size_t i;

    b->unsized =
        fci_arena_array(&b->arena, b->site.n_elements, sizeof *b->unsized);
    if (!elements || !b->unsized)
        return false;
    for (i = 0; i < b->site.n_elements; i++) {
        struct fci_pipe *pipe;
        fc_pipe *given;

        elements[i] = b->site.elements[i];
        if (!elements[i].pipe || !elements[i].pipe->given->choose_size)
            continue;
        pipe = fci_arena_copy(&b->arena, elements[i].pipe, sizeof *pipe);
        given = pipe ? fci_arena_copy(&b->arena, pipe->given, sizeof *given)
                     : NULL;
        if (!given)
            return false;
        given->choose_size = false;
        pipe->given = given;
        pipe->resistance[FCI_NOMINAL] = pipe->resistance[FCI_WORST] =
            pipe->resistance[FCI_BEST] = 0;
        elements[i].pipe = pipe;
        b->unsized[i] = b->any_unsized = true;
    }
    b->site.elements = elements;
    return true;
}

static void
pin(fc_range *range, double part)
{
    if (range->given)
        *range = fc_exactly(range->low + part * (range->high - range->low));
}

/* The source's own pressure at one part of its range. */
static bool
pin_source(struct bounding *b)
{
    struct fci_element *element = &b->site.elements[b->site.order[0]];
    struct fci_part *part =
        fci_arena_copy(&b->arena, element->part, sizeof *part);
    fc_source *source =
        fci_arena_copy(&b->arena, element->part->data, sizeof *source);

    if (!part || !source)
        return false;
    pin(&source->static_pressure, b->source);
    pin(&source->pressure, b->source);
    pin(&source->water_level, b->source);
    part->data = source;
    element->part = part;
    return true;
}

/* ---- The static ceiling ------------------------------------------------ */

/* From the source on; `trapped`: water that a check valve keeps in counts. */
static void
march_still(const fc_site *site, bool trapped, enum fci_end end,
            double *pressure)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const size_t at = site->order[i];
        const struct fci_element *element = &site->elements[at];

        pressure[at] =
            element->parent == FCI_NONE
                ? fci_source_pressure(element->part->data, element->shape,
                                      site->water_weight, 0, end)
                : fci_element_still(site, element, pressure[element->parent],
                                    trapped, end);
    }
}

/* Where flows may turn: what the best source and all pumps make together,
 * whatever lies between. */
static void
spread_ceiling(struct bounding *b, double *height)
{
    const fc_site *site = &b->site;
    double best = -INFINITY, pumps = 0;
    size_t i;

    fci_heights(site, height);
    for (i = 0; i < site->n_elements; i++) {
        const struct fci_element *element = &site->elements[i];

        if (element->parent == FCI_NONE)
            best = fmax(
                best, fci_source_pressure(element->part->data, element->shape,
                                          site->water_weight, 0, FCI_BEST)
                          + site->water_weight * height[i]);
        else if (fci_adds_pressure(element))
            pumps +=
                fmax(-fci_element_takes(site, element, 0, FCI_BEST).loss, 0);
    }
    for (i = 0; i < site->n_elements; i++) {
        const size_t at = site->order[i], parent = site->elements[at].parent;

        /* no higher than its ranges allow */
        if (parent != FCI_NONE)
            height[at] = height[parent] + site->elements[at].rise.low;
        b->ceiling[at] = best + pumps - site->water_weight * height[at];
    }
}

/* At the inlet of a fixture, or at the outlet of the element. */
static double
there(const struct bounding *b, const double *pressure,
      struct fci_gauge_place place, enum fci_end end)
{
    if (place.fixture == FCI_NONE)
        return pressure[place.element];
    return pressure[place.element]
           - b->site.water_weight
                 * fci_more_is_worse(
                     b->site.fixtures[place.fixture].given->rise, end);
}

static double
ceiling_of(const struct bounding *b, struct fci_gauge_place place)
{
    return there(b, b->ceiling, place, FCI_BEST);
}

/* ---- One reading ------------------------------------------------------- */

static bool
is_drawn(const struct bounding *b, const struct fci_gauge *g)
{
    return b->readings->events[g->event].n > 0 || b->draws;
}

/* Whether a check valve or a reducer before still water may keep it at the
 * pressure of another hour. */
static bool
may_be_trapped(const struct bounding *b, const struct fci_gauge *g)
{
    size_t at;

    for (at = g->place.element; at != FCI_NONE && b->flows[at] != g->event + 1;
         at = b->site.elements[at].parent)
        if (fci_parts_zones(&b->site.elements[at]))
            return true;
    return false;
}

/* At the inlet of a fixture while an event is on. */
static fc_status
pressure_at(struct bounding *b, size_t in_event, size_t fixture,
            enum fci_end end, double *pressure)
{
    const struct fci_flushing_set *event = &b->readings->events[in_event];
    fc_status status;
    size_t i;

    fci_solver_forget(b->solver);
    fci_solver_take(b->solver, end, fixture);
    status = fci_solver_run(b->solver, event->open, event->n);
    if (status != FC_OK)
        return status;
    for (i = 0; i < event->n && event->open[i].fixture != fixture; i++)
        ;
    *pressure = i < event->n ? fci_solver_drawn(b->solver)[i].pressure
                             : fci_solver_at_rest(b->solver, fixture);
    return FC_OK;
}

/* At the worst and the best end. */
static fc_status
pressures_at(struct bounding *b, size_t in_event, size_t fixture, double *low,
             double *high)
{
    const bool ends = !b->network->meshed && !b->network->exact;
    fc_status status =
        pressure_at(b, in_event, fixture, ends ? FCI_WORST : FCI_NOMINAL, low);

    *high = *low;
    if (status == FC_OK && ends)
        status = pressure_at(b, in_event, fixture, FCI_BEST, high);
    return status;
}

/* Statuses other than FC_ENOMEM are in `how`. */
static fc_status
settle(fc_status status, struct fci_reading_bounds *out)
{
    if (status == FC_OK || status == FC_ENOMEM)
        return status;
    out->how = FCI_UNSETTLED;
    return FC_OK;
}

static fc_status
solve(struct bounding *b, const struct fci_gauge *g,
      struct fci_reading_bounds *out)
{
    const size_t fixture = g->place.fixture != FCI_NONE
                               ? g->place.fixture
                               : b->gauged[end_of(&b->site, g->place.element)];
    double low, high;
    const fc_status status = pressures_at(b, g->event, fixture, &low, &high);

    if (status != FC_OK)
        return settle(status, out);
    out->low = low;
    out->high = high;
    if (may_be_trapped(b, g))
        out->high = fmax(out->high, out->ceiling);
    /* a pump's head may rise from that at no flow */
    out->ceiling = fmax(out->ceiling, out->high);
    if (is_drawn(b, g) && !b->tested)
        out->low = -INFINITY;
    return FC_OK;
}

/* ---- Flows ------------------------------------------------------------- */

/* What a valve draws at a pressure, no less and no more. */
static double
passed_at(const struct fci_outlet_law *law, double pressure)
{
    return fmin(sqrt(fmax(pressure, 0) / law->need), law->most);
}

/* A valve at its greatest rate has the least pressure, and one at its least
 * the most: taken apart they bound its flow. */
static fc_status
draw(struct bounding *b, size_t in_event, size_t fixture,
     struct drawing **drawing)
{
    const struct fci_outlet *outlet = &b->network->outlets[fixture];
    const bool ends = !b->network->meshed && !b->network->exact;
    double low, high;
    fc_status status;

    *drawing = &b->drawings[fixture];
    if ((*drawing)->event == in_event + 1)
        return FC_OK;
    status = pressures_at(b, in_event, fixture, &low, &high);
    if (status != FC_OK)
        return status;
    **drawing = (struct drawing){
        in_event + 1,
        passed_at(&outlet->law[ends ? FCI_BEST : FCI_NOMINAL], low),
        passed_at(&outlet->law[ends ? FCI_WORST : FCI_NOMINAL], high)
    };
    return FC_OK;
}

static bool
is_behind(const fc_site *site, size_t at, size_t element)
{
    while (at != FCI_NONE && at != element)
        at = site->elements[at].parent;
    return at == element;
}

/* Through an element of a tree: all that is drawn behind it. */
static fc_status
flow_behind(struct bounding *b, const struct fci_gauge *g,
            struct fci_reading_bounds *out)
{
    const struct fci_flushing_set *event = &b->readings->events[g->event];
    const size_t element = g->place.element;
    struct drawing *drawing;
    bool drawn = false;
    size_t i;

    out->low = out->high = 0;
    for (i = 0; i < b->site.n_draws; i++) {
        const struct fci_draw *steady = &b->site.draws[i];

        if (!is_behind(&b->site, steady->element, element))
            continue;
        out->low += steady->flow.low;
        out->high += steady->flow.high;
    }
    for (i = 0; i < event->n; i++) {
        const struct fci_open *open = &event->open[i];
        fc_status status;

        if (!is_behind(&b->site, b->site.fixtures[open->fixture].element,
                       element))
            continue;
        status = draw(b, g->event, open->fixture, &drawing);
        if (status != FC_OK)
            return status;
        drawn = true;
        out->low += open->count * drawing->low;
        out->high += open->count * drawing->high;
    }
    if (drawn && !b->tested)
        out->low = -INFINITY;
    return FC_OK;
}

/* The same where it may turn, with every input exact. */
static fc_status
flow_through(struct bounding *b, const struct fci_gauge *g,
             struct fci_reading_bounds *out)
{
    const struct fci_flushing_set *event = &b->readings->events[g->event];
    fc_status status;

    fci_solver_forget(b->solver);
    fci_solver_take(b->solver, FCI_NOMINAL, FCI_NONE);
    status = fci_solver_run(b->solver, event->open, event->n);
    if (status == FC_OK)
        status = fci_solver_spread(b->solver, b->elements);
    if (status == FC_OK) {
        out->low = out->high = fabs(b->elements[g->place.element].flow);
        if (!b->tested)
            out->low = -INFINITY;
    }
    return status;
}

static fc_status
solve_flow(struct bounding *b, const struct fci_gauge *g,
           struct fci_reading_bounds *out)
{
    struct drawing *drawing;
    fc_status status;

    if (g->place.fixture == FCI_NONE)
        return settle(b->network->meshed ? flow_through(b, g, out)
                                         : flow_behind(b, g, out),
                      out);
    status = draw(b, g->event, g->place.fixture, &drawing);
    if (status == FC_OK) {
        out->low = b->tested ? drawing->low : -INFINITY;
        out->high = drawing->high;
    }
    return settle(status, out);
}

/* ---- Either ------------------------------------------------------------ */

static bool
passes_unsized(const struct bounding *b, const struct fci_gauge *g)
{
    size_t i;

    for (i = 0; b->any_unsized && i < b->site.n_elements; i++)
        if (b->unsized[i]
            && (b->network->meshed || b->flows[i] == g->event + 1))
            return true;
    return false;
}

static fc_status
bound(struct bounding *b, size_t gauge)
{
    const struct fci_gauge *g = &b->readings->gauges[gauge];
    struct fci_reading_bounds *out = &b->bounds[gauge];
    const bool pressure = g->dimension == FC_PRESSURE;
    const double ceiling = pressure ? ceiling_of(b, g->place) : NAN;

    *out = (struct fci_reading_bounds){ .low = -INFINITY,
                                        .high = pressure ? ceiling : INFINITY,
                                        .ceiling = ceiling,
                                        .how = FCI_COMPARED };
    if (b->readings->events[g->event].unmetered)
        out->how = FCI_RATE_UNKNOWN;
    else if (pressure && b->network->meshed && !b->network->exact && b->floor
             && !is_drawn(b, g)) /* nothing turns that does not flow */
        out->low = there(b, b->floor, g->place, FCI_WORST);
    else if (b->network->meshed && !b->network->exact)
        out->how = FCI_TURNING;
    else if (passes_unsized(b, g))
        out->how = FCI_UNSIZED;
    else
        return pressure ? solve(b, g, out) : solve_flow(b, g, out);
    return FC_OK;
}

/* ---- All of them ------------------------------------------------------- */

static bool
begin(struct bounding *b)
{
    const fc_site *site = b->readings->site;
    double *height =
        fci_arena_array(&b->arena, site->n_elements, sizeof *height);
    size_t i;

    b->site = *site;
    b->ceiling =
        fci_arena_array(&b->arena, site->n_elements, sizeof *b->ceiling);
    if (site->n_sources == 1 && site->n_loops > 0)
        b->floor =
            fci_arena_array(&b->arena, site->n_elements, sizeof *b->floor);
    b->flows = fci_arena_array(&b->arena, site->n_elements, sizeof *b->flows);
    b->drawings =
        fci_arena_array(&b->arena, site->n_fixtures, sizeof *b->drawings);
    b->elements =
        fci_arena_array(&b->arena, site->n_elements, sizeof *b->elements);
    if (b->arena.failed || !put_gauges(b) || !size_pipes(b)
        || (!isnan(b->source) && !pin_source(b)))
        return false;
    b->tested = !fci_untested_main(site);
    for (i = 0; i < site->n_draws; i++)
        b->draws |= site->draws[i].flow.high > 0;
    if (site->n_loops == 0 && site->n_sources == 1)
        march_still(&b->site, true, FCI_BEST, b->ceiling);
    else
        spread_ceiling(b, height);
    if (b->floor)
        march_still(&b->site, false, FCI_WORST, b->floor);
    return true;
}

static fc_status
bound_all(struct bounding *b)
{
    const struct fci_readings *r = b->readings;
    fc_status status = fci_network_new(&b->site, r->state, &b->network, NULL);
    size_t e, i;

    if (status == FC_OK) {
        b->solver = fci_solver_new(b->network);
        status = b->solver ? FC_OK : FC_ENOMEM;
    }
    for (e = 0; e < r->n_events && status == FC_OK; e++) {
        fci_mark_flows(&b->site, &r->events[e], b->flows, e + 1);
        for (i = r->events[e].first; i != FCI_NONE && status == FC_OK;
             i = r->gauges[i].next)
            status = bound(b, i);
    }
    fci_solver_free(b->solver);
    fci_network_free(b->network);
    return status;
}

static fc_status
bound_as(const struct fci_readings *readings, double source,
         struct fci_reading_bounds *bounds)
{
    struct bounding b = { .source = source,
                          .readings = readings,
                          .bounds = bounds };
    const fc_status status = begin(&b) ? bound_all(&b) : FC_ENOMEM;

    fci_arena_free(&b.arena);
    return status;
}

/* ---- Where flows may turn ---------------------------------------------- */

enum { DESCRIBED, WORST, BEST, BUILDINGS };

/* Of buildings with every input exact, bounds by gauge each. */
static fc_status
bound_buildings(const struct fci_readings *readings,
                struct fci_reading_bounds *of[BUILDINGS], double *parts,
                struct fci_variant *v)
{
    struct fci_readings exact = *readings;
    fc_status status = FC_OK;
    int building;
    size_t i;

    exact.site = &v->site;
    for (building = 0; building < BUILDINGS && status == FC_OK; building++) {
        for (i = 0; i < v->n_inputs && building != DESCRIBED; i++)
            parts[i] = v->inputs[i].more_is_worse == (building == WORST);
        if (building != DESCRIBED)
            fci_variant_take(v, parts);
        status = bound_as(&exact, NAN, of[building]);
    }
    return status;
}

/* What they leave of one reading. */
static void
take_buildings(const struct fci_readings *r, size_t gauge,
               struct fci_reading_bounds *of[BUILDINGS],
               struct fci_reading_bounds *out)
{
    double low = INFINITY, high = -INFINITY, margin;
    int i;

    for (i = 0; i < BUILDINGS; i++) {
        if (of[i][gauge].how != FCI_COMPARED || isinf(of[i][gauge].low))
            return;
        low = fmin(low, of[i][gauge].low);
        high = fmax(high, of[i][gauge].high);
    }
    margin = high - low;
    if (r->gauges[gauge].dimension == FC_PRESSURE)
        margin += MARGIN_OF_LOSS * fmax(out->ceiling - low, 0)
                  + fci_usual_within(r->site);
    else
        margin += MARGIN_OF_LOSS * high;
    out->how = FCI_COMPARED;
    out->low = low - margin;
    out->high = fmin(out->high, high + margin);
}

static fc_status
bound_turning(const struct fci_readings *r, struct fci_reading_bounds *bounds)
{
    struct fci_arena arena = { 0 };
    struct fci_reading_bounds *of[BUILDINGS];
    struct fci_variant v;
    fc_status status = fci_variant_make(&v, r->site);
    double *parts = fci_arena_array(&arena, v.n_inputs + 1, sizeof *parts);
    size_t i;

    for (i = 0; i < BUILDINGS; i++)
        of[i] = fci_arena_array(&arena, r->n, sizeof *of[i]);
    if (status == FC_OK)
        status = arena.failed ? FC_ENOMEM : bound_buildings(r, of, parts, &v);
    for (i = 0; i < r->n && status == FC_OK; i++)
        if (bounds[i].how == FCI_TURNING)
            take_buildings(r, i, of, &bounds[i]);
    fci_variant_free(&v);
    fci_arena_free(&arena);
    /* heights at one end of their ranges may close no loop */
    return status == FC_ENOMEM ? status : FC_OK;
}

fc_status
fci_readings_bound(const struct fci_readings *readings, double source,
                   struct fci_reading_bounds *bounds)
{
    fc_status status = bound_as(readings, source, bounds);
    bool turning = false;
    size_t i;

    for (i = 0; i < readings->n && status == FC_OK; i++)
        turning |= bounds[i].how == FCI_TURNING;
    return turning ? bound_turning(readings, bounds) : status;
}
