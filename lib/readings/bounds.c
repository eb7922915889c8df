/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/readings/bounds.c -- what the file as entered gives where a gauge was
 * read, while what flushed then does.
 *
 * The ends that are worst and best for the place bound it, as they bound a
 * fixture.  So at the outlet of an element stands a fixture of no height that
 * draws nothing.  Where the flows are out of reach the static ceiling alone is
 * the bound: what the best source can have there with nothing flowing.
 */
#include "peak/source.h"
#include "readings/readings.h"

#include <math.h>

struct bounding {
    struct fci_arena arena;
    const struct fci_readings *readings;
    struct fci_reading_bounds *bounds;
    fc_site site;    /* with the fixtures at elements, and all sized */
    size_t *gauged;  /* by element: the fixture there; FCI_NONE: none */
    double *ceiling; /* by element, with nothing flowing at the best end */
    double *floor;   /* the same at the worst, where flows may turn */
    size_t *flows;   /* by element: the event + 1 in which water passes */
    bool *unsized;   /* by element: its size is to be chosen */
    bool any_unsized;
    bool tested, draws; /* every street main; steadily */
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

static fc_status
pressure_at(struct bounding *b, const struct fci_gauge *g, enum fci_end end,
            double *pressure)
{
    const struct fci_flushing_set *event = &b->readings->events[g->event];
    const size_t fixture = g->place.fixture != FCI_NONE
                               ? g->place.fixture
                               : b->gauged[end_of(&b->site, g->place.element)];
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

/* Statuses other than FC_ENOMEM are in `how`. */
static fc_status
solve(struct bounding *b, const struct fci_gauge *g,
      struct fci_reading_bounds *out)
{
    const bool ends = !b->network->meshed && !b->network->exact;
    double first, last;
    fc_status status =
        pressure_at(b, g, ends ? FCI_WORST : FCI_NOMINAL, &first);

    last = first;
    if (status == FC_OK && ends)
        status = pressure_at(b, g, FCI_BEST, &last);
    if (status == FC_ENOMEM)
        return status;
    if (status != FC_OK) {
        out->how = FCI_UNSETTLED;
        return FC_OK;
    }
    out->low = first;
    out->high = last;
    if (may_be_trapped(b, g))
        out->high = fmax(out->high, out->ceiling);
    /* a pump's head may rise from that at no flow */
    out->ceiling = fmax(out->ceiling, out->high);
    if (is_drawn(b, g) && !b->tested)
        out->low = -INFINITY;
    return FC_OK;
}

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

    *out = (struct fci_reading_bounds){ .low = -INFINITY,
                                        .high = ceiling_of(b, g->place),
                                        .ceiling = ceiling_of(b, g->place),
                                        .how = FCI_COMPARED };
    if (b->readings->events[g->event].unmetered)
        out->how = FCI_RATE_UNKNOWN;
    else if (b->network->meshed && !b->network->exact && b->floor
             && !is_drawn(b, g)) /* nothing turns that does not flow */
        out->low = there(b, b->floor, g->place, FCI_WORST);
    else if (b->network->meshed && !b->network->exact)
        out->how = FCI_TURNING;
    else if (passes_unsized(b, g))
        out->how = FCI_UNSIZED;
    else
        return solve(b, g, out);
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
    if (b->arena.failed || !put_gauges(b) || !size_pipes(b))
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
            if (r->gauges[i].dimension == FC_PRESSURE)
                status = bound(b, i);
    }
    fci_solver_free(b->solver);
    fci_network_free(b->network);
    return status;
}

fc_status
fci_readings_bound(const struct fci_readings *readings,
                   struct fci_reading_bounds *bounds)
{
    struct bounding b = { .readings = readings, .bounds = bounds };
    const fc_status status = begin(&b) ? bound_all(&b) : FC_ENOMEM;

    fci_arena_free(&b.arena);
    return status;
}
