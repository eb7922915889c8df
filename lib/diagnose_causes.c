/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose_causes.c -- what might be, each with one unknown.
 *
 * The priors are common practice: what is screwed in or adjusted gives trouble
 * more often than pipe, and pipe is rarely of another size than drawn.  They
 * count one against the other; a weight of 1 is that of a device.
 */
#include "diagnose.h"
#include "pipe_size.h"

#include <math.h>
#include <stdlib.h>

#define PSI 6894.757293168361     /* exact quotient, NIST SP 811 App. B */
#define GPM 6.30901964e-5         /* exact, NIST SP 811 App. B */
#define SCALE_PRESSURE (10 * PSI) /* of an unknown pressure or loss */
#define SCALE_FLOW (10 * GPM)     /* of a valve that runs on */
#define MOST_RUNNING 6.0          /* 60 gpm: no one valve passes more */
#define MOST_LOSS 3000.0          /* a closed valve */
#define MOST_EITHER 20.0          /* of what may be off either way */
#define LEAST_FLOW (0.01 * GPM)   /* less does not count as a flow */
#define SAME_SIZE 1e-6            /* m */

#define PRIOR_PIPE 0.3
#define PRIOR_SIZE 0.2
#define PRIOR_RUNNING 0.3
#define PRIOR_WEAK_PUMP 0.5
#define PRIOR_HOLDS_BACK 0.5

struct listing {
    struct fci_faults *faults;
    const struct fci_readings *readings;
    const struct fci_tryout *trial;
    const double *flows;
    bool *runs; /* by element: a flush valve that was not read may run there */
};

/* ---- Listing ----------------------------------------------------------- */

static bool
add_fault(struct listing *l, const struct fci_fault *fault)
{
    struct fci_faults *f = l->faults;
    struct fci_fault *grown =
        fci_grow(f->list, f->n, &f->room, sizeof *f->list);

    if (!grown)
        return false;
    f->list = grown;
    grown[f->n++] = *fault;
    return true;
}

static struct fci_fault
fault_at(fc_cause_kind kind, size_t element, double prior)
{
    return (struct fci_fault){ .kind = kind,
                               .element = element,
                               .fixture = FCI_NONE,
                               .unknown = true,
                               .scale = SCALE_PRESSURE,
                               .most = MOST_LOSS,
                               .prior = prior };
}

static bool
list_source(struct listing *l, size_t at)
{
    struct fci_fault supply = fault_at(FC_SUPPLY_PRESSURE, at, 1);
    struct fci_fault sag = fault_at(FC_SUPPLY_SAG, at, 1);

    supply.either = true;
    supply.most = MOST_EITHER;
    sag.flow = l->flows[at];
    return add_fault(l, &supply)
           && (sag.flow < LEAST_FLOW || add_fault(l, &sag));
}

static const struct fci_size *
next_smaller(const struct fci_pipe *pipe)
{
    const struct fci_size *smaller = NULL;
    size_t i;

    if (!pipe->material || !pipe->size || pipe->measured_bore)
        return NULL;
    for (i = 0; i < pipe->material->n_sizes; i++)
        if (pipe->material->sizes[i].nominal < pipe->size->nominal - SAME_SIZE)
            smaller = &pipe->material->sizes[i];
    return smaller;
}

static bool
list_smaller(struct listing *l, size_t at)
{
    const struct fci_pipe *pipe = l->readings->site->elements[at].pipe;
    struct fci_fault fault = fault_at(FC_SMALLER_SIZE, at, PRIOR_SIZE);

    fault.size = pipe ? next_smaller(pipe) : NULL;
    fault.unknown = false;
    return !fault.size || add_fault(l, &fault);
}

static bool
list_blocked(struct listing *l, size_t at)
{
    const bool pipe = l->readings->site->elements[at].pipe != NULL;
    struct fci_fault fault = fault_at(FC_BLOCKED, at, pipe ? PRIOR_PIPE : 1);

    fault.flow = l->flows[at];
    if (fault.flow < LEAST_FLOW || l->trial->slot[at] == FCI_NONE)
        return true;
    return add_fault(l, &fault) && list_smaller(l, at);
}

static bool
list_running(struct listing *l, size_t at)
{
    struct fci_fault fault = fault_at(FC_RUNNING_VALVE, at, PRIOR_RUNNING);

    fault.scale = SCALE_FLOW;
    fault.most = MOST_RUNNING;
    return !l->runs[at] || add_fault(l, &fault);
}

static bool
list_pump(struct listing *l, size_t at)
{
    const fc_pump *pump = l->readings->site->elements[at].part->data;
    struct fci_fault off = fault_at(FC_PUMP_OFF, at, 1);
    struct fci_fault weak = fault_at(FC_PUMP_WEAK, at, PRIOR_WEAK_PUMP);

    off.unknown = false;
    return pump->running == FC_NO
           || (add_fault(l, &off) && add_fault(l, &weak));
}

static bool
list_element(struct listing *l, size_t at)
{
    struct fci_fault set = fault_at(FC_REDUCER_SETTING, at, 1);
    struct fci_fault back = fault_at(FC_HOLDS_BACK, at, PRIOR_HOLDS_BACK);
    bool room = list_running(l, at);

    set.either = true;
    set.most = MOST_EITHER;
    switch (l->readings->site->elements[at].part->kind) {
    case FCI_SOURCE:
        return room && list_source(l, at);
    case FCI_REDUCER:
        room = room && add_fault(l, &set);
        break;
    case FCI_PUMP:
        room = room && list_pump(l, at);
        break;
    case FCI_BACKFLOW:
        room = room && add_fault(l, &back);
        break;
    default:
        break;
    }
    return room && list_blocked(l, at);
}

/* Materials are few. */
static bool
list_material(struct listing *l, size_t at, size_t first)
{
    const struct fci_pipe *pipe = l->readings->site->elements[at].pipe;
    struct fci_fault fault = fault_at(FC_ROUGH_PIPES, FCI_NONE, 1);
    size_t i;

    if (!pipe || l->flows[at] < LEAST_FLOW)
        return true;
    for (i = first; i < l->faults->n; i++)
        if (l->faults->list[i].material == pipe->material)
            return true;
    fault.material = pipe->material;
    fault.scale = 1;
    return add_fault(l, &fault);
}

/* A stop with a curve or a fixed loss has no room for one more. */
static bool
list_stop(struct listing *l, size_t fixture)
{
    const struct fci_fixture *given = &l->readings->site->fixtures[fixture];
    struct fci_fault fault = fault_at(FC_STOP_THROTTLED, given->element, 1);

    fault.fixture = fixture;
    fault.flow = given->valve[l->readings->state]->flow.nominal;
    if (given->given->stop.kind != FC_NO_LOSS
        && given->given->stop.kind != FC_SQUARE_LOSS)
        return true;
    return add_fault(l, &fault);
}

/* Where a flush valve hangs on what is kept, or on a branch of it. */
static void
mark_runs(struct listing *l)
{
    const fc_site *site = l->readings->site;
    size_t i;

    for (i = 0; i < site->n_fixtures; i++)
        if (site->fixtures[i].valve[l->readings->state])
            l->runs[site->fixtures[i].element] = true;
    for (i = site->n_elements; i-- > 0;) {
        const size_t at = site->order[i];

        if (l->trial->here[at] == FCI_NONE && l->runs[at]
            && site->elements[at].parent != FCI_NONE)
            l->runs[site->elements[at].parent] = true;
    }
}

static bool
list_all(struct listing *l)
{
    const struct fci_readings *r = l->readings;
    const fc_site *site = r->site;
    size_t i, materials;

    for (i = 0; i < site->n_elements; i++)
        if (l->trial->here[i] != FCI_NONE && !list_element(l, i))
            return false;
    for (i = 0, materials = l->faults->n; i < site->n_elements; i++)
        if (l->trial->here[i] != FCI_NONE && !list_material(l, i, materials))
            return false;
    return true;
}

fc_status
fci_faults_list(struct fci_faults *faults, const struct fci_readings *readings,
                const struct fci_tryout *trial, const double *flows)
{
    struct listing l = {
        .faults = faults, .readings = readings, .trial = trial, .flows = flows
    };
    const fc_site *site = readings->site;
    bool *seen = calloc(site->n_fixtures + 1, sizeof *seen);
    bool room;
    size_t e, i;

    l.runs = calloc(site->n_elements, sizeof *l.runs);
    room = seen && l.runs;
    if (room) {
        mark_runs(&l);
        room = list_all(&l);
    }
    for (e = 0; room && e < readings->n_events; e++)
        for (i = 0; room && i < readings->events[e].n; i++) {
            const size_t fixture = readings->events[e].open[i].fixture;

            room = seen[fixture] || list_stop(&l, fixture);
            seen[fixture] = true;
        }
    free(l.runs);
    free(seen);
    return room ? FC_OK : FC_ENOMEM;
}

/* ---- Applying ---------------------------------------------------------- */

static void
shift(fc_range *range, double by)
{
    if (range->given)
        *range = fc_exactly(range->nominal + by);
}

static void
apply_supply(struct fci_tryout *t, size_t at, double by)
{
    fc_source *source = fci_variant_data(&t->variant, t->here[at]);

    shift(&source->static_pressure, by);
    shift(&source->residual, by);
    shift(&source->pressure, by);
    shift(&source->water_level, by / t->site.water_weight);
}

static void
apply_slot(struct fci_tryout *t, size_t at, fc_loss_kind kind, double pressure,
           double flow)
{
    fc_device *device = fci_variant_data(&t->variant, t->slot[at]);

    device->loss = (fc_loss){ .kind = kind,
                              .pressure = fc_exactly(pressure),
                              .flow = fc_exactly(flow) };
}

/* All grow alike, so that a smaller C and a smaller bore cannot be told from
 * each other: the loss grows by 1 + x. */
static void
apply_rough(struct fci_tryout *t, const struct fci_material *material,
            double x)
{
    size_t i;

    for (i = 0; i < t->site.n_elements; i++) {
        const struct fci_pipe *pipe = t->site.elements[i].pipe;

        if (pipe && pipe->material == material)
            fci_variant_pipe(&t->variant, i,
                             pipe->c.nominal * pow(1 + x, -0.54), 0);
    }
}

/* Its fittings are of that size too. */
static void
apply_size(struct fci_tryout *t, size_t here, const struct fci_size *size)
{
    struct fci_pipe *pipe = &t->variant.pipes[here];

    if (pipe->given->n_fittings > 0)
        pipe->equivalent = fci_equivalent_length(pipe, size->nominal);
    fci_variant_pipe(&t->variant, here, 0, size->bore);
}

static void
apply_stop(struct fci_tryout *t, const struct fci_fault *fault, double loss)
{
    fc_loss *stop =
        &fci_variant_fixture(&t->variant, t->fixture_here[fault->fixture])
             ->stop;
    double before = 0;

    if (stop->kind == FC_SQUARE_LOSS)
        before = stop->pressure.nominal * fault->flow * fault->flow
                 / (stop->flow.nominal * stop->flow.nominal);
    *stop = (fc_loss){ .kind = FC_SQUARE_LOSS,
                       .pressure = fc_exactly(before + loss),
                       .flow = fc_exactly(fault->flow) };
}

static void
apply_pump(struct fci_tryout *t, const struct fci_fault *fault, double by)
{
    struct fci_element *pump =
        &t->variant.site.elements[t->here[fault->element]];
    fc_pump *data = fci_variant_data(&t->variant, t->here[fault->element]);

    if (fault->kind == FC_PUMP_OFF)
        data->running = FC_NO;
    else /* as if it stood higher: its curve sinks, what it holds does not */
        pump->rise =
            fc_exactly(pump->rise.nominal + by / t->site.water_weight);
}

static void
apply_fault(struct fci_tryout *t, const struct fci_fault *fault, double value,
            size_t k)
{
    struct fci_draw *draw = &t->variant.site.draws[t->first_draw + k];
    const size_t at = fault->element;

    switch (fault->kind) {
    case FC_SUPPLY_PRESSURE:
        apply_supply(t, at, value);
        break;
    case FC_SUPPLY_SAG:
    case FC_BLOCKED:
        apply_slot(t, at, FC_SQUARE_LOSS, value, fault->flow);
        break;
    case FC_REDUCER_SETTING:
        shift(&((fc_reducer *)fci_variant_data(&t->variant, t->here[at]))->set,
              value);
        break;
    case FC_ROUGH_PIPES:
        apply_rough(t, fault->material, value);
        break;
    case FC_SMALLER_SIZE:
        apply_size(t, t->here[at], fault->size);
        break;
    case FC_STOP_THROTTLED:
        apply_stop(t, fault, value);
        break;
    case FC_RUNNING_VALVE:
        draw->element = t->slot[at] != FCI_NONE ? t->slot[at] : t->here[at];
        draw->flow = fc_exactly(value);
        break;
    case FC_PUMP_OFF:
    case FC_PUMP_WEAK:
        apply_pump(t, fault, value);
        break;
    case FC_HOLDS_BACK:
        apply_slot(t, at, FC_CONSTANT_LOSS, value, 0);
        break;
    }
}

void
fci_cause_apply(struct fci_tryout *t, const struct fci_cause *cause)
{
    size_t k;

    fci_variant_reset(&t->variant);
    for (k = 0; k < cause->n_faults; k++)
        apply_fault(t, cause->fault[k], cause->x[k] * cause->fault[k]->scale,
                    k);
}
