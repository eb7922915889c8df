/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/causes.c -- what might be, each with one unknown.
 *
 * The priors are common practice: what is screwed in or adjusted gives trouble
 * more often than pipe, pipe is rarely of another size than drawn, a gauge is
 * seldom misread, and old pipes of one material are rough together.  They
 * count one against the other; a weight of 1 is that of a device.
 */
#include "diagnose/diagnose.h"
#include "laws/friction.h"
#include "site/pipe_size.h"
#include "peak/element.h"

#include <math.h>
#include <stdlib.h>

#define PSI 6894.757293168361     /* exact quotient, NIST SP 811 App. B */
#define GPM 6.30901964e-5         /* exact, NIST SP 811 App. B */
#define FOOT 0.3048               /* exact, NIST SP 811 App. B */
#define SCALE_PRESSURE (10 * PSI) /* of an unknown pressure or loss */
#define SCALE_FLOW (10 * GPM)     /* of an outlet that runs on */
#define SCALE_HEIGHT (10 * FOOT)
#define SCALE_MISREAD 5         /* of the accuracy */
#define LEAST_FLOW (0.01 * GPM) /* less does not count: common practice */
#define SAME_SIZE 1e-6          /* m */

/* How large an unknown is tried, in its scale: common practice. */
#define MOST_RUNNING 6.0 /* 60 gpm: no one outlet passes more */
#define MOST_LOSS 3000.0 /* a closed valve */
#define MOST_EITHER 10.0 /* 100 psi: of what may be off either way */
#define MOST_HEIGHT 6.0  /* 60 ft: common practice, some floors */
#define MOST_INLET 2.5   /* 25 ft: a gauge read on the next floor but one */
#define MOST_HELD                                                             \
    2.0                   /* 20 psi: no spring or seat holds more back;       \
                             common practice */
#define MOST_GAUGE 2.0    /* 20 psi: a gauge that was dropped */
#define LEAST_SHARE 0.02  /* of a loss: next to none */
#define LEAST_RATE 0.2    /* of its rate: next to shut; common practice */
#define MOST_RATE 2.0     /* a kit of twice the volume; common practice */
#define ROUGHEST 20.0     /* C; badly grown over: common practice */
#define SMOOTHEST 155.0   /* C; drawn tube: common practice */
#define ENOUGH_TO_DOUBT 3 /* readings, so that one of them may be wrong */

#define PRIOR_PIPE 0.3
#define PRIOR_RUN 0.5
#define PRIOR_SIZE 0.2
#define PRIOR_LARGER 0.1
#define PRIOR_HEIGHT 0.15
#define PRIOR_RATE 0.3
#define PRIOR_RUNNING 0.3
#define PRIOR_WEAK_PUMP 0.5
#define PRIOR_HOLDS_BACK 0.5
#define PRIOR_CHECK_VALVE 0.1 /* that is not in the file */
#define PRIOR_LESS 0.2
#define PRIOR_GAUGE 0.15
#define PRIOR_CHANGED 0.05
#define PRIOR_MISREAD 0.03

struct listing {
    struct fci_faults *faults;
    const struct fci_readings *readings;
    const struct fci_tryout *trial;
    const double *flows;
    size_t *hangs; /* by element: where its outlets leave what is kept */
    size_t
        *outlets; /* by element: the first in the list; one more at the end */
    bool *drawn;  /* by element: a steady draw hangs there */
    size_t *kept; /* by element: how many that are kept it feeds */
    size_t *top;  /* by element: where its run of pipes begins */
    size_t *end;  /* by element where a run begins: its last pipe */
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
                               .last = element,
                               .fixture = FCI_NONE,
                               .gauge = FCI_NONE,
                               .unknown = true,
                               .scale = SCALE_PRESSURE,
                               .most = MOST_LOSS,
                               .prior = prior };
}

/* One that may be off either way, by as much. */
static struct fci_fault
either_at(fc_cause_kind kind, size_t element, double prior, double most)
{
    struct fci_fault fault = fault_at(kind, element, prior);

    fault.either = true;
    fault.least = -most;
    fault.most = most;
    return fault;
}

static bool
is_kept(const struct listing *l, size_t at)
{
    return l->trial->here[at] != FCI_NONE;
}

static bool
flowed(const struct listing *l, size_t at)
{
    return l->flows[at] >= LEAST_FLOW;
}

static bool
list_source(struct listing *l, size_t at)
{
    struct fci_fault supply =
        either_at(FC_SUPPLY_PRESSURE, at, 1, MOST_EITHER);
    struct fci_fault sag = fault_at(FC_SUPPLY_SAG, at, 1);

    supply.least = fmax(
        supply.least,
        -fci_source_pressure(l->readings->site->elements[at].part->data,
                             l->readings->site->water_weight, 0, FCI_NOMINAL)
            / supply.scale);

    sag.flow = l->flows[at];
    return add_fault(l, &supply) && (!flowed(l, at) || add_fault(l, &sag));
}

static bool
list_pump(struct listing *l, size_t at)
{
    const fc_pump *pump = l->readings->site->elements[at].part->data;
    struct fci_fault off = fault_at(FC_PUMP_OFF, at, 1);
    const struct fci_fault weak = fault_at(FC_PUMP_WEAK, at, PRIOR_WEAK_PUMP);

    off.unknown = false;
    return pump->running == FC_NO
           || (add_fault(l, &off) && add_fault(l, &weak));
}

/* ---- Pipes ------------------------------------------------------------- */

/* Pipes of one material one behind the other, nothing that is kept between. */
static void
find_runs(struct listing *l)
{
    const fc_site *site = l->readings->site;
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        if (is_kept(l, i) && site->elements[i].parent != FCI_NONE)
            l->kept[site->elements[i].parent]++;
    for (i = 0; i < site->n_elements; i++) {
        const size_t at = site->order[i], parent = site->elements[at].parent;
        const struct fci_pipe *pipe = site->elements[at].pipe;

        l->top[at] = FCI_NONE;
        if (!is_kept(l, at) || !pipe || !flowed(l, at))
            continue;
        l->top[at] = at;
        if (l->kept[parent] == 1 && l->top[parent] != FCI_NONE
            && site->elements[parent].pipe->material == pipe->material)
            l->top[at] = l->top[parent];
        l->end[l->top[at]] = at;
    }
}

static bool
list_size(struct listing *l, fc_cause_kind kind, size_t at,
          const struct fci_size *size, double prior)
{
    struct fci_fault fault = fault_at(kind, at, prior);

    fault.size = size;
    fault.unknown = false;
    return !size || add_fault(l, &fault);
}

/* The next sizes of its material, both ways. */
static bool
list_sizes(struct listing *l, size_t at)
{
    const struct fci_pipe *pipe = l->readings->site->elements[at].pipe;
    const struct fci_size *smaller = NULL, *larger = NULL, *size;
    size_t i;

    if (!pipe->material || !pipe->size || pipe->measured_bore)
        return true;
    for (i = 0; i < pipe->material->n_sizes; i++) {
        size = &pipe->material->sizes[i];
        if (size->nominal < pipe->size->nominal - SAME_SIZE)
            smaller = size;
        if (!larger && size->nominal > pipe->size->nominal + SAME_SIZE)
            larger = size;
    }
    return list_size(l, FC_SMALLER_SIZE, at, smaller, PRIOR_SIZE)
           && list_size(l, FC_LARGER_SIZE, at, larger, PRIOR_LARGER);
}

/* The unknown is the logarithm of how many times the loss grows: all its pipes
 * alike, so that a smaller C and a smaller bore cannot be told apart. */
static bool
list_roughness(struct listing *l, size_t first, size_t last, bool all,
               double prior)
{
    const struct fci_pipe *pipe = l->readings->site->elements[first].pipe;
    const double c = pipe->c.nominal;
    struct fci_fault fault = fault_at(FC_PIPE_ROUGHNESS, first, prior);

    fault.last = last;
    fault.material = pipe->material;
    fault.all = all;
    fault.either = true;
    fault.scale = 1;
    fault.least = fmin(0, -FCI_FRICTION_EXPONENT * log(SMOOTHEST / c));
    fault.most = fmax(0, FCI_FRICTION_EXPONENT * log(c / ROUGHEST));
    return add_fault(l, &fault);
}

static bool
list_pipe(struct listing *l, size_t at)
{
    const struct fci_element *element = &l->readings->site->elements[at];
    const double length = element->pipe->length.nominal;
    const double rise = element->rise.nominal;
    struct fci_fault height =
        either_at(FC_HEIGHT, at, PRIOR_HEIGHT, MOST_HEIGHT);
    struct fci_fault held = fault_at(FC_HOLDS_BACK, at, PRIOR_CHECK_VALVE);

    /* a pipe does not rise, or fall, by more than its length */
    height.scale = SCALE_HEIGHT;
    height.most = fmin(height.most, (length - rise) / height.scale);
    height.least = fmax(height.least, -(length + rise) / height.scale);
    if (height.least < height.most && !add_fault(l, &height))
        return false;
    held.most = MOST_HELD;
    if (l->trial->slot[at] != FCI_NONE && !add_fault(l, &held))
        return false;
    if (!flowed(l, at))
        return true;
    return list_sizes(l, at)
           && (l->end[l->top[at]] == l->top[at]
               || list_roughness(l, at, at, false, PRIOR_PIPE));
}

static bool
same_material(const struct listing *l, size_t a, size_t b)
{
    const struct fci_element *elements = l->readings->site->elements;

    return elements[a].pipe->material == elements[b].pipe->material;
}

/* All runs of a material at its first one: materials are few. */
static bool
list_runs(struct listing *l, size_t first, size_t before)
{
    const fc_site *site = l->readings->site;
    const size_t n = site->n_elements;
    size_t i, at, runs = 0;
    double prior;
    bool room = true;

    for (i = before; i < l->faults->n; i++)
        if (same_material(l, l->faults->list[i].element, first))
            return true;
    for (i = 0; i < n; i++)
        runs += l->top[i] == i && same_material(l, i, first);
    for (i = 0; i < n && room; i++) {
        at = site->order[i];
        prior = runs == 1 ? 1 : l->end[at] == at ? PRIOR_PIPE : PRIOR_RUN;
        if (l->top[at] == at && same_material(l, at, first))
            room = list_roughness(l, at, l->end[at], false, prior);
    }
    return room && (runs == 1 || list_roughness(l, first, first, true, 1));
}

/* ---- Outlets ----------------------------------------------------------- */

/* By the element where they leave what is kept: fixtures in one list, those of
 * an element one after the other. */
static void
sort_outlets(struct listing *l)
{
    const fc_site *site = l->readings->site;
    const size_t n = site->n_elements;
    size_t i;

    for (i = 0; i < n; i++) {
        const size_t at = site->order[i], parent = site->elements[at].parent;

        l->hangs[at] =
            is_kept(l, at) || parent == FCI_NONE ? at : l->hangs[parent];
    }
    for (i = 0; i < site->n_draws; i++)
        l->drawn[l->hangs[site->draws[i].element]] = true;
    for (i = 0; i < site->n_fixtures; i++)
        l->outlets[l->hangs[site->fixtures[i].element]]++;
    for (i = 0; i < n; i++)
        l->outlets[i + 1] += l->outlets[i];
    for (i = site->n_fixtures; i-- > 0;)
        l->faults->outlets[--l->outlets[l->hangs[site->fixtures[i].element]]] =
            i;
}

static bool
list_running(struct listing *l, size_t at)
{
    struct fci_fault fault = fault_at(FC_RUNNING_OUTLET, at, PRIOR_RUNNING);

    fault.scale = SCALE_FLOW;
    fault.most = MOST_RUNNING;
    fault.outlets = l->faults->outlets + l->outlets[at];
    fault.n_outlets = l->outlets[at + 1] - l->outlets[at];
    return (fault.n_outlets == 0 && !l->drawn[at]) || add_fault(l, &fault);
}

/* ---- Elements ---------------------------------------------------------- */

static bool
list_blocked(struct listing *l, size_t at)
{
    const bool pipe = l->readings->site->elements[at].pipe != NULL;
    struct fci_fault fault = fault_at(FC_BLOCKED, at, pipe ? PRIOR_PIPE : 1);

    fault.flow = l->flows[at];
    if (flowed(l, at) && l->trial->slot[at] != FCI_NONE
        && !add_fault(l, &fault))
        return false;
    return !pipe || list_pipe(l, at);
}

/* The unknown is the logarithm of the share that it takes of its loss. */
static bool
list_less(struct listing *l, size_t at)
{
    const fc_device *device = l->readings->site->elements[at].part->data;
    struct fci_fault less = fault_at(FC_LOSES_LESS, at, PRIOR_LESS);

    less.either = true;
    less.scale = 1;
    less.least = log(LEAST_SHARE);
    less.most = 0;
    return !flowed(l, at) || device->loss.kind == FC_NO_LOSS
           || add_fault(l, &less);
}

static bool
list_element(struct listing *l, size_t at)
{
    const struct fci_fault set =
        either_at(FC_REDUCER_SETTING, at, 1, MOST_EITHER);
    struct fci_fault back = fault_at(FC_HOLDS_BACK, at, PRIOR_HOLDS_BACK);
    bool room = list_running(l, at);

    back.most = MOST_HELD;
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
        room = room && add_fault(l, &back) && list_less(l, at);
        break;
    case FCI_METER:
    case FCI_DEVICE:
        room = room && list_less(l, at);
        break;
    default:
        break;
    }
    return room && list_blocked(l, at);
}

static bool
list_elements(struct listing *l)
{
    const fc_site *site = l->readings->site;
    size_t i, before;

    for (i = 0; i < site->n_elements; i++)
        if (is_kept(l, i) && !list_element(l, i))
            return false;
    for (i = 0, before = l->faults->n; i < site->n_elements; i++)
        if (l->top[site->order[i]] == site->order[i]
            && !list_runs(l, site->order[i], before))
            return false;
    return true;
}

/* ---- Fixtures ---------------------------------------------------------- */

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

/* The unknown is the logarithm of how many times its rate it draws. */
static bool
list_rate(struct listing *l, size_t fixture, bool shared)
{
    const size_t element = l->readings->site->fixtures[fixture].element;
    struct fci_fault fault = fault_at(FC_VALVE_RATE, element, PRIOR_RATE);

    fault.fixture = fixture;
    fault.shared = shared;
    fault.either = true;
    fault.scale = 1;
    fault.least = log(LEAST_RATE);
    fault.most = log(MOST_RATE);
    return add_fault(l, &fault);
}

static const fc_valve *
valve_of(const struct listing *l, const struct fci_fault *fault)
{
    return l->readings->site->fixtures[fault->fixture]
        .valve[l->readings->state];
}

/* Valves of one name that flushed at several fixtures are of one make; kinds
 * are few. */
static bool
list_shared_rates(struct listing *l, size_t first)
{
    const size_t end = l->faults->n;
    bool room = true;
    size_t i, k;

    for (i = first; i < end && room; i++) {
        const fc_valve *valve = valve_of(l, &l->faults->list[i]);
        size_t n = 0, known = 0;

        if (l->faults->list[i].kind != FC_VALVE_RATE)
            continue;
        for (k = end; k < l->faults->n; k++)
            known += valve_of(l, &l->faults->list[k]) == valve;
        for (k = i; k < end && known == 0; k++)
            n += l->faults->list[k].kind == FC_VALVE_RATE
                 && valve_of(l, &l->faults->list[k]) == valve;
        if (n > 1)
            room = list_rate(l, l->faults->list[i].fixture, true);
    }
    return room;
}

static bool
list_height_of(struct listing *l, size_t fixture)
{
    const size_t element = l->readings->site->fixtures[fixture].element;
    struct fci_fault fault =
        either_at(FC_HEIGHT, element, PRIOR_HEIGHT, MOST_INLET);

    fault.fixture = fixture;
    fault.scale = SCALE_HEIGHT;
    return add_fault(l, &fault);
}

/* Each that flushed, and the inlet of each that was read, once. */
static bool
list_fixtures(struct listing *l)
{
    const struct fci_readings *r = l->readings;
    const size_t first = l->faults->n;
    bool *flushed = calloc(r->site->n_fixtures + 1, sizeof *flushed);
    bool *read = calloc(r->site->n_fixtures + 1, sizeof *read);
    bool room = flushed && read;
    size_t e, i;

    for (e = 0; room && e < r->n_events; e++)
        for (i = 0; room && i < r->events[e].n; i++) {
            const size_t fixture = r->events[e].open[i].fixture;

            room = flushed[fixture]
                   || (list_stop(l, fixture) && list_rate(l, fixture, false));
            flushed[fixture] = true;
        }
    room = room && list_shared_rates(l, first);
    for (i = 0; room && i < r->n; i++) {
        const size_t fixture = r->gauges[i].place.fixture;

        if (fixture == FCI_NONE || r->gauges[i].dimension != FC_PRESSURE)
            continue;
        room = read[fixture] || list_height_of(l, fixture);
        read[fixture] = true;
    }
    free(flushed);
    free(read);
    return room;
}

/* ---- Readings ---------------------------------------------------------- */

static bool
list_misread(struct listing *l, fc_cause_kind kind, size_t gauge, size_t last,
             double prior)
{
    const struct fci_gauge *g = &l->readings->gauges[gauge];
    struct fci_fault fault =
        either_at(kind, g->place.element, prior, HUGE_VAL);

    fault.fixture = g->place.fixture;
    fault.gauge = gauge;
    fault.last_gauge = last;
    fault.scale = SCALE_MISREAD * g->within;
    return add_fault(l, &fault);
}

/* One gauge is as a rule read all the time: off by as much everywhere. */
static bool
list_gauge(struct listing *l, size_t n_pressures)
{
    const fc_site *site = l->readings->site;
    struct fci_fault fault =
        either_at(FC_GAUGE_OFF, site->order[0], PRIOR_GAUGE, MOST_GAUGE);

    return n_pressures < 2 || add_fault(l, &fault);
}

/* The pressures of an event as they stand in the file, up to the one that is
 * taken again: with that a new round begins. */
static size_t
first_round(const struct fci_readings *r, size_t event, size_t *first,
            size_t *last)
{
    size_t i, k, n = 0;

    *first = FCI_NONE;
    *last = FCI_NONE;
    for (i = 0; i < r->n; i++) {
        if (r->gauges[i].event != event
            || r->gauges[i].dimension != FC_PRESSURE)
            continue;
        for (k = *first == FCI_NONE ? i : *first; k < i; k++)
            if (r->gauges[k].event == event
                && fci_same_gauge(&r->gauges[k], &r->gauges[i]))
                return n;
        if (n++ == 0)
            *first = i;
        *last = i;
    }
    *last = FCI_NONE; /* no second round */
    return n;
}

/* Several that were read while the same flushed, and others besides. */
static bool
list_event(struct listing *l, size_t event, size_t n_pressures)
{
    size_t first, last;
    const size_t n = first_round(l->readings, event, &first, &last);

    return n < 2 || n == n_pressures
           || list_misread(l, FC_CHANGED, first, last, PRIOR_CHANGED);
}

static bool
list_readings(struct listing *l)
{
    const struct fci_readings *r = l->readings;
    size_t i, n = 0;
    bool room;

    for (i = 0; i < r->n; i++)
        n += r->gauges[i].dimension == FC_PRESSURE;
    room = list_gauge(l, n);
    for (i = 0; i < r->n && room && r->n >= ENOUGH_TO_DOUBT; i++)
        room = list_misread(l, FC_WRONG_READING, i, i, PRIOR_MISREAD);
    for (i = 0; i < r->n_events && room && r->n >= ENOUGH_TO_DOUBT; i++)
        room = list_event(l, i, n);
    return room;
}

/* ---- The whole --------------------------------------------------------- */

static bool
make_listing(struct listing *l)
{
    const fc_site *site = l->readings->site;
    const size_t n = site->n_elements;

    l->hangs = calloc(n, sizeof *l->hangs);
    l->outlets = calloc(n + 1, sizeof *l->outlets);
    l->drawn = calloc(n, sizeof *l->drawn);
    l->kept = calloc(n, sizeof *l->kept);
    l->top = calloc(n, sizeof *l->top);
    l->end = calloc(n, sizeof *l->end);
    l->faults->outlets = calloc(site->n_fixtures + 1, sizeof(size_t));
    return l->hangs && l->outlets && l->drawn && l->kept && l->top && l->end
           && l->faults->outlets;
}

static void
free_listing(struct listing *l)
{
    free(l->hangs);
    free(l->outlets);
    free(l->drawn);
    free(l->kept);
    free(l->top);
    free(l->end);
}

fc_status
fci_faults_list(struct fci_faults *faults, const struct fci_readings *readings,
                const struct fci_tryout *trial, const double *flows)
{
    struct listing l = {
        .faults = faults, .readings = readings, .trial = trial, .flows = flows
    };
    bool room = make_listing(&l);

    if (room) {
        sort_outlets(&l);
        find_runs(&l);
        room = list_elements(&l) && list_fixtures(&l) && list_readings(&l);
    }
    free_listing(&l);
    return room ? FC_OK : FC_ENOMEM;
}

void
fci_faults_free(struct fci_faults *faults)
{
    free(faults->list);
    free(faults->outlets);
}
