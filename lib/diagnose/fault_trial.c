/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/fault_trial.c -- the part of a building that counts, to try
 * faults.
 *
 * What neither flows nor is read does not matter for the pressures elsewhere,
 * so that it is left out.  Behind an element that may be blocked stands a
 * spare device, without loss until a fault gives it one.
 */
#include "laws/curve.h"
#include "diagnose/diagnose.h"

#include <math.h>
#include <string.h>

void
fci_keep_way(const fc_site *site, bool *keep, size_t element)
{
    for (; element != FCI_NONE && !keep[element];
         element = site->elements[element].parent)
        keep[element] = true;
}

/* ---- Which are kept ---------------------------------------------------- */

static bool
number_kept(struct fci_fault_trial *t, const fc_site *site, const bool *keep,
            const bool *fixtures, const bool *slots)
{
    const bool meshed = site->n_loops > 0 || site->n_sources > 1;
    size_t i, n = 0, spare;

    for (i = 0; i < site->n_elements; i++)
        t->here[i] = meshed || keep[i] ? n++ : FCI_NONE;
    spare = n;
    for (i = 0; i < site->n_elements; i++)
        if (t->here[i] != FCI_NONE)
            t->slot[i] = slots[i] && site->elements[i].to == FCI_NONE
                             ? spare++
                             : FCI_NONE;
    t->site.n_elements = spare;
    t->site.n_fixtures = 0;
    for (i = 0; i < site->n_fixtures; i++)
        t->fixture_here[i] =
            fixtures[i] && t->here[site->fixtures[i].element] != FCI_NONE
                ? t->site.n_fixtures++
                : FCI_NONE;
    return n > 0;
}

/* ---- Copying them ------------------------------------------------------ */

/* What stands behind a backflow preventer is one too: it holds back however
 * little flows.  So is what stands behind any element of a tree, where nothing
 * flows back, as a check valve may that is not in the file. */
struct spares {
    struct fci_part device, backflow;
};

/* Where what hangs on an element hangs in the trial. */
static size_t
end_of(const struct fci_fault_trial *t, size_t element)
{
    if (element == FCI_NONE)
        return FCI_NONE;
    return t->slot[element] != FCI_NONE ? t->slot[element] : t->here[element];
}

static void
copy_element(struct fci_fault_trial *t, const fc_site *from, size_t i,
             const struct spares *spares, size_t *in_order)
{
    struct fci_element *to = &t->site.elements[t->here[i]];
    const bool holds = from->elements[i].part->kind == FCI_BACKFLOW
                       || (from->n_loops == 0 && from->n_sources == 1);

    *to = from->elements[i];
    to->parent = end_of(t, to->parent);
    to->to = end_of(t, to->to);
    if (to->beside > 0)
        to->beside = t->here[to->beside - 1] + 1;
    t->site.order[(*in_order)++] = t->here[i];
    if (t->slot[i] == FCI_NONE)
        return;
    t->site.elements[t->slot[i]] =
        (struct fci_element){ .part =
                                  holds ? &spares->backflow : &spares->device,
                              .name = from->elements[i].name,
                              .parent = t->here[i],
                              .to = FCI_NONE,
                              .rise = fc_exactly(0) };
    t->site.order[(*in_order)++] = t->slot[i];
}

static bool
make_spare(struct fci_fault_trial *t, enum fci_kind kind,
           struct fci_part *part)
{
    fc_device *device = fci_arena_alloc(&t->arena, sizeof *device);

    if (!device)
        return false;
    *device =
        (fc_device){ .name = "",
                     .kind = kind == FCI_BACKFLOW ? FC_BACKFLOW : FC_DEVICE };
    *part = (struct fci_part){ .kind = kind, .name = "", .data = device };
    return true;
}

/* Draws on what is left out are none of the trial's: what carries a draw is
 * kept. */
static void
copy_draws(struct fci_fault_trial *t, const fc_site *from)
{
    size_t i;

    t->site.n_draws = 0;
    for (i = 0; i < from->n_draws; i++) {
        struct fci_draw *draw = &t->site.draws[t->site.n_draws];

        if (t->here[from->draws[i].element] == FCI_NONE)
            continue;
        *draw = from->draws[i];
        draw->element = end_of(t, draw->element);
        t->site.n_draws++;
    }
    t->first_draw = t->site.n_draws;
    for (i = 0; i < FCI_MOST_FAULTS; i++)
        t->site.draws[t->site.n_draws++] =
            (struct fci_draw){ "", t->site.order[0], fc_exactly(0), NULL };
}

static bool
copy_site(struct fci_fault_trial *t, const struct fci_readings *readings)
{
    const fc_site *from = readings->site;
    struct spares *spares = fci_arena_alloc(&t->arena, sizeof *spares);
    size_t i, n = 0;

    t->site.elements = fci_arena_array(&t->arena, t->site.n_elements,
                                       sizeof *t->site.elements);
    t->site.order =
        fci_arena_array(&t->arena, t->site.n_elements, sizeof *t->site.order);
    t->site.fixtures = fci_arena_array(&t->arena, t->site.n_fixtures + 1,
                                       sizeof *t->site.fixtures);
    t->site.draws = fci_arena_array(&t->arena, from->n_draws + FCI_MOST_FAULTS,
                                    sizeof *t->site.draws);
    if (!spares || !make_spare(t, FCI_DEVICE, &spares->device)
        || !make_spare(t, FCI_BACKFLOW, &spares->backflow) || !t->site.elements
        || !t->site.order || !t->site.fixtures || !t->site.draws)
        return false;
    for (i = 0; i < from->n_elements; i++)
        if (t->here[from->order[i]] != FCI_NONE)
            copy_element(t, from, from->order[i], spares, &n);
    for (i = 0; i < from->n_fixtures; i++) {
        if (t->fixture_here[i] == FCI_NONE)
            continue;
        t->site.fixtures[t->fixture_here[i]] = from->fixtures[i];
        t->site.fixtures[t->fixture_here[i]].element =
            end_of(t, from->fixtures[i].element);
        if (readings->outlets[i])
            t->site.fixtures[t->fixture_here[i]].valve[readings->state] =
                readings->outlets[i];
    }
    copy_draws(t, from);
    return true;
}

static bool
make_room(struct fci_fault_trial *t, const fc_site *site)
{
    struct fci_arena *arena = &t->arena;

    t->here = fci_arena_array(arena, site->n_elements, sizeof *t->here);
    t->slot = fci_arena_array(arena, site->n_elements, sizeof *t->slot);
    t->fixture_here =
        fci_arena_array(arena, site->n_fixtures + 1, sizeof *t->fixture_here);
    return t->here && t->slot && t->fixture_here;
}

static bool
make_memory(struct fci_fault_trial *t)
{
    size_t i;

    t->flows =
        fci_arena_array(&t->arena, t->site.n_elements, sizeof *t->flows);
    t->open =
        fci_arena_array(&t->arena, t->site.n_fixtures + 1, sizeof *t->open);
    t->drawn =
        fci_arena_array(&t->arena, t->site.n_fixtures + 1, sizeof *t->drawn);
    for (i = 0; t->drawn && i < t->site.n_fixtures; i++)
        t->drawn[i] = FCI_NONE;
    return t->flows && t->open && t->drawn;
}

fc_status
fci_fault_trial_make(struct fci_fault_trial *t,
                     const struct fci_readings *readings, const bool *keep,
                     const bool *fixtures, const bool *slots)
{
    const fc_site *site = readings->site;

    memset(t, 0, sizeof *t);
    if (!make_room(t, site))
        return FC_ENOMEM;
    t->from = site;
    t->site = *site;
    if (!number_kept(t, site, keep, fixtures, slots) || !copy_site(t, readings)
        || !make_memory(t))
        return FC_ENOMEM;
    return fci_variant_make(&t->variant, &t->site);
}

void
fci_fault_trial_free(struct fci_fault_trial *t)
{
    size_t k;

    fci_fault_trial_end(t);
    for (k = 0; k < FCI_MOST_FAULTS; k++)
        fci_curve_free(t->curves[k]);
    fci_variant_free(&t->variant);
    fci_arena_free(&t->arena);
}

/* ---- Trying ------------------------------------------------------------ */

fc_status
fci_fault_trial_begin(struct fci_fault_trial *t, fc_state state,
                      fc_diagnostics *messages)
{
    fc_status status =
        fci_network_new(&t->variant.site, state, &t->network, messages);

    if (status != FC_OK)
        return status;
    t->solver = fci_solver_new(t->network);
    return t->solver ? FC_OK : FC_ENOMEM;
}

void
fci_fault_trial_end(struct fci_fault_trial *t)
{
    fci_solver_free(t->solver);
    fci_network_free(t->network);
    t->solver = NULL;
    t->network = NULL;
}

fc_status
fci_fault_trial_run(struct fci_fault_trial *t,
                    const struct fci_flushing_set *set)
{
    size_t i;

    for (i = 0; i < t->n_open; i++)
        t->drawn[t->open[i].fixture] = FCI_NONE;
    t->n_open = set->n;
    for (i = 0; i < set->n; i++) {
        t->open[i].fixture = t->fixture_here[set->open[i].fixture];
        t->open[i].count = set->open[i].count;
        t->drawn[t->open[i].fixture] = i;
    }
    t->spread = false;
    return fci_solver_run(t->solver, t->open, t->n_open);
}

const struct fci_at_flow *
fci_fault_trial_spread(struct fci_fault_trial *t)
{
    t->spread = t->spread || fci_solver_spread(t->solver, t->flows) == FC_OK;
    return t->spread ? t->flows : NULL;
}

void
fci_fault_trial_lose(struct fci_fault_trial *t, size_t element,
                     double pressure, double flow)
{
    fc_device *device = fci_variant_data(&t->variant, t->slot[element]);
    fc_loss *loss = &device->loss;
    double before = 0;

    if (loss->kind == FC_SQUARE_LOSS)
        before = loss->pressure.nominal * flow * flow
                 / (loss->flow.nominal * loss->flow.nominal);
    *loss = (fc_loss){ .kind = FC_SQUARE_LOSS,
                       .pressure = fc_exactly(before + pressure),
                       .flow = fc_exactly(flow) };
}

double
fci_fault_trial_flows(struct fci_fault_trial *t, struct fci_gauge_place place)
{
    const struct fci_at_flow *flows;
    const size_t fixture =
        place.fixture == FCI_NONE ? FCI_NONE : t->fixture_here[place.fixture];

    if (fixture != FCI_NONE && t->drawn[fixture] != FCI_NONE)
        return fci_solver_drawn(t->solver)[t->drawn[fixture]].flow;
    flows = fci_fault_trial_spread(t);
    return flows ? fabs(flows[t->here[place.element]].flow) : (double)NAN;
}

double
fci_fault_trial_shows(struct fci_fault_trial *t, struct fci_gauge_place place)
{
    size_t fixture = FCI_NONE;
    double there;

    if (place.fixture != FCI_NONE)
        fixture = t->fixture_here[place.fixture];
    if (fixture != FCI_NONE && t->drawn[fixture] != FCI_NONE)
        return fci_solver_drawn(t->solver)[t->drawn[fixture]].pressure;
    /* of a tree by its way alone, in a mesh by all flows */
    if (t->network->meshed) {
        const struct fci_at_flow *flows = fci_fault_trial_spread(t);

        there = flows ? flows[end_of(t, place.element)].pressure : (double)NAN;
    } else {
        there = fci_solver_at(t->solver, end_of(t, place.element));
    }
    if (place.fixture == FCI_NONE)
        return there;
    return there
           - t->site.water_weight
                 * t->variant.site.fixtures[fixture].given->rise.nominal;
}
