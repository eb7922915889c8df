/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/reference_solver.c -- see generators/reference_solver.h.
 *
 * In a given mode (passing, holding, past a pump that stands still, shut,
 * backwards) the law of each part is smooth and grows with its flow, beyond
 * its own domain too; so the system of one choice of modes has one solution.
 * A part whose solution lies outside of its mode's domain is put into the mode
 * that it points to, until none does: all such valves at once, or else all
 * such elements, and after many rounds one at a time, the first first.
 */
#include "generators/reference_solver.h"
#include "generators/reference_laws.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_math.h>
#include <gsl/gsl_multiroots.h>

#define BAR 1e5          /* unit of pressure of the system [Pa] */
#define LEAK 1e-11       /* of what is shut, at 1 bar: keeps it solvable */
#define STRAIGHT 1e-6    /* under this share of the flow, reference_power */
#define RESIDUAL 1e-11   /* of bars and of the total */
#define OUTSIDE 1e-9     /* of the total: a flow the wrong way */
#define OUTSIDE_BAR 1e-8 /* a pressure on the wrong side */

enum mode { PASSES, HOLDS, PAST, SHUT, BACK };

struct reference {
    const fc_site *site;
    fc_state state;
    struct reference_curves curves;
};

/* An element or a loop-closing pipe that may flow. */
struct part {
    const struct fci_element *element;
    size_t from, to; /* places; FCI_NONE: from a source */
    enum mode mode;
    bool one_way;
    double step, cap;  /* cap: INFINITY where it cannot hold */
    bool bypass;       /* it never gives less than comes in */
    double resistance; /* of a pipe */
};

struct tap {
    const struct fci_fixture *fixture;
    const struct reference_points *stop;
    size_t place;
    int count;
    enum mode mode;
    double need, most, lift;
};

/* Unknowns: flows of the parts, pressures of the places, flows of the taps. */
struct system {
    const struct reference *r;
    struct part *parts;
    size_t n_parts;
    double *draws; /* of the places */
    size_t n_places;
    struct tap *taps;
    size_t n_taps, n;
    double unit;      /* of flow */
    size_t *place_of; /* elements; FCI_NONE: cannot flow */
};

/* A pump that holds has none. */
static struct reference_value
fall_of(const struct part *part, double q)
{
    const struct reference_value none = { 0, 0 };

    return part->element->part->kind == FCI_REDUCER
               ? reference_fall(part->element->part->data, q)
               : none;
}

/* ---- Sites ------------------------------------------------------------ */

struct reference *
reference_new(const fc_site *site, fc_state state)
{
    struct reference *r = reference_room(1, sizeof *r);

    gsl_set_error_handler_off();
    r->site = site;
    r->state = state;
    r->curves = reference_curves_of(site);
    return r;
}

void
reference_free(struct reference *r)
{
    reference_curves_free(&r->curves);
    free(r);
}

/* ---- The system of one event ------------------------------------------ */

static size_t
end_of_loop(const fc_site *site, const struct fci_element *element)
{
    const fc_pipe *pipe = element->part->data;
    size_t i;

    if (element->part->kind != FCI_PIPE || !pipe->to)
        return FCI_NONE;
    for (i = 0; i < site->n_elements; i++)
        if (fci_same_name(site->elements[i].name, pipe->to))
            return i;
    abort();
}

static void
may_flow(struct system *s, size_t element)
{
    const fc_site *site = s->r->site;

    for (; element != FCI_NONE && s->place_of[element] == FCI_NONE;
         element = site->elements[element].parent)
        s->place_of[element] = s->n_places++;
}

static void
find_places(struct system *s, const struct fci_open *open, size_t n)
{
    const fc_site *site = s->r->site;
    size_t i, to;

    s->place_of = reference_room(site->n_elements, sizeof *s->place_of);
    for (i = 0; i < site->n_elements; i++)
        s->place_of[i] = FCI_NONE;
    for (i = 0; i < n; i++)
        may_flow(s, site->fixtures[open[i].fixture].element);
    for (i = 0; i < site->n_draws; i++)
        may_flow(s, site->draws[i].element);
    for (i = 0; i < site->n_elements; i++) {
        to = end_of_loop(site, &site->elements[i]);
        if (to == FCI_NONE)
            continue;
        may_flow(s, site->elements[i].parent);
        may_flow(s, to);
    }
}

static void
add_part(struct system *s, size_t i)
{
    const struct fci_element *element = &s->r->site->elements[i];
    const enum fci_kind kind = element->part->kind;
    const size_t to = end_of_loop(s->r->site, element);
    struct part *part = &s->parts[s->n_parts];
    const fc_reducer *reducer = element->part->data;
    const fc_pump *pump = element->part->data;
    const fc_loss *loss = reference_loss_of(element->part);

    if (to == FCI_NONE && s->place_of[i] == FCI_NONE)
        return;
    s->n_parts++;
    part->element = element;
    part->from =
        element->parent == FCI_NONE ? FCI_NONE : s->place_of[element->parent];
    part->to = s->place_of[to == FCI_NONE ? i : to];
    part->one_way = kind == FCI_METER || kind == FCI_BACKFLOW
                    || kind == FCI_REDUCER || kind == FCI_PUMP;
    part->step = loss ? reference_step(loss) : 0;
    part->cap = INFINITY;
    if (kind == FCI_REDUCER)
        part->cap = reducer->set.nominal;
    if (kind == FCI_PUMP && pump->running != FC_NO && pump->hold.given) {
        part->cap = pump->hold.nominal;
        part->bypass = true;
    }
    if (kind == FCI_PIPE)
        part->resistance =
            reference_pipe(element->pipe, s->r->site->water_weight);
}

static void
add_tap(struct system *s, const struct fci_open *open)
{
    const struct fci_fixture *fixture = &s->r->site->fixtures[open->fixture];
    const fc_valve *valve = fixture->valve[s->r->state];
    struct tap *tap = &s->taps[s->n_taps++];

    tap->fixture = fixture;
    tap->stop = &s->r->curves.stops[open->fixture];
    tap->place = s->place_of[fixture->element];
    tap->count = open->count;
    tap->need = valve->flow_pressure.nominal / pow(valve->flow.nominal, 2);
    tap->most = valve->regulated == FC_YES ? valve->flow.nominal : INFINITY;
    tap->lift = s->r->site->water_weight * fixture->given->rise.nominal;
    s->unit += tap->count * valve->flow.nominal;
}

static void
make_system(struct system *s, const struct reference *r,
            const struct fci_open *open, size_t n)
{
    const fc_site *site = r->site;
    size_t i;

    memset(s, 0, sizeof *s);
    s->r = r;
    find_places(s, open, n);
    s->parts = reference_room(site->n_elements, sizeof *s->parts);
    s->draws = reference_room(site->n_elements, sizeof *s->draws);
    s->taps = reference_room(n, sizeof *s->taps);
    for (i = 0; i < site->n_elements; i++)
        add_part(s, i);
    for (i = 0; i < n; i++)
        add_tap(s, &open[i]);
    for (i = 0; i < site->n_draws; i++) {
        s->draws[s->place_of[site->draws[i].element]] +=
            site->draws[i].flow.nominal;
        s->unit += site->draws[i].flow.nominal;
    }
    s->unit = fmax(s->unit, 1e-4);
    s->n = s->n_parts + s->n_places + s->n_taps;
}

static void
free_system(struct system *s)
{
    free(s->place_of);
    free(s->parts);
    free(s->draws);
    free(s->taps);
}

/* ---- Laws ------------------------------------------------------------- */

static double
flow_of(const struct system *s, const gsl_vector *x, size_t part)
{
    return gsl_vector_get(x, part) * s->unit;
}

static double
pressure_of(const struct system *s, const gsl_vector *x, size_t place)
{
    return gsl_vector_get(x, s->n_parts + place) * BAR;
}

static double
tap_flow(const struct system *s, const gsl_vector *x, size_t tap)
{
    return gsl_vector_get(x, s->n_parts + s->n_places + tap) * s->unit;
}

/* What an element has at its inlet, less its lift. */
static double
lifted(const struct system *s, const gsl_vector *x, const struct part *part)
{
    return pressure_of(s, x, part->from)
           - s->r->site->water_weight * part->element->rise.nominal;
}

/* What it takes while water passes forwards. */
static struct reference_value
taken(const struct system *s, const struct part *part, double q)
{
    const fc_site *site = s->r->site;
    const struct fci_part *given = part->element->part;
    const struct reference_points *points =
        &s->r->curves.elements[part->element - site->elements];
    struct reference_value v = { 0, 0 };

    if (given->kind == FCI_PIPE)
        return reference_power(part->resistance, q, STRAIGHT * s->unit);
    if (given->kind == FCI_DEVICE && q < 0 && !(part->step > 0)) {
        v = reference_loss(reference_loss_of(given), points, -q); /* odd */
        v.at = -v.at;
        return v;
    }
    if (given->kind != FCI_PUMP)
        return reference_loss(reference_loss_of(given), points, q);
    if (((const fc_pump *)given->data)->running != FC_NO) {
        v = reference_points_at(points, q);
        v.at *= -site->water_weight;
        v.slope *= -site->water_weight;
    }
    return v;
}

static bool
is_device(const struct part *part)
{
    return part->element->part->kind == FCI_DEVICE;
}

/* The inlet's share in the law, and the rest as a function of the flow: the
 * outlet has inlet * in + rest. */
struct law {
    double in;
    struct reference_value rest;
};

static struct law
law_of(const struct system *s, const struct part *part, double q)
{
    struct law law = { 1, { 0, 0 } };

    if (part->from == FCI_NONE) {
        law.in = 0;
        law.rest =
            reference_source(part->element->part->data,
                             s->r->site->water_weight, q, STRAIGHT * s->unit);
    } else if (part->mode == HOLDS) {
        law.in = 0;
        law.rest.at = part->cap - fall_of(part, q).at;
        law.rest.slope = -fall_of(part, q).slope;
    } else if (part->mode == PAST) {
        law.rest.at = 0; /* what comes in goes out */
    } else if (part->mode == BACK) {
        law.rest = taken(s, part, -q);
        law.rest.slope = -law.rest.slope;
    } else {
        law.rest = taken(s, part, q);
        law.rest.at = -law.rest.at;
        law.rest.slope = -law.rest.slope;
    }
    return law;
}

static void
part_row(const struct system *s, const gsl_vector *x, size_t i, gsl_vector *f,
         gsl_matrix *J)
{
    const struct part *part = &s->parts[i];
    const double q = flow_of(s, x, i), out = pressure_of(s, x, part->to);
    struct law law;
    double leak, in = 0;

    if (part->from != FCI_NONE)
        in = lifted(s, x, part);
    if (part->mode == SHUT) {
        leak = LEAK / BAR;
        gsl_vector_set(f, i, q / s->unit - leak * (in - out));
        gsl_matrix_set(J, i, i, 1);
        gsl_matrix_set(J, i, s->n_parts + part->from, -LEAK);
        gsl_matrix_set(J, i, s->n_parts + part->to, LEAK);
        return;
    }
    law = law_of(s, part, q);
    gsl_vector_set(f, i, (law.in * in + law.rest.at - out) / BAR);
    gsl_matrix_set(J, i, i, law.rest.slope * s->unit / BAR);
    if (part->from != FCI_NONE)
        gsl_matrix_set(J, i, s->n_parts + part->from, law.in);
    gsl_matrix_set(J, i, s->n_parts + part->to, -1);
}

/* What comes in at the places, less what goes out. */
static void
place_rows(const struct system *s, const gsl_vector *x, gsl_vector *f,
           gsl_matrix *J)
{
    size_t i, row;

    for (i = 0; i < s->n_places; i++)
        gsl_vector_set(f, s->n_parts + i, -s->draws[i] / s->unit);
    for (i = 0; i < s->n_parts; i++) {
        const struct part *part = &s->parts[i];

        row = s->n_parts + part->to;
        *gsl_vector_ptr(f, row) += flow_of(s, x, i) / s->unit;
        gsl_matrix_set(J, row, i, 1);
        if (part->from == FCI_NONE)
            continue;
        row = s->n_parts + part->from;
        *gsl_vector_ptr(f, row) -= flow_of(s, x, i) / s->unit;
        gsl_matrix_set(J, row, i, -1);
    }
    for (i = 0; i < s->n_taps; i++) {
        row = s->n_parts + s->taps[i].place;
        *gsl_vector_ptr(f, row) -=
            s->taps[i].count * tap_flow(s, x, i) / s->unit;
        gsl_matrix_set(J, row, s->n_parts + s->n_places + i,
                       -s->taps[i].count);
    }
}

/* What stands before the stop, less the lift. */
static double
before_stop(const struct system *s, const gsl_vector *x, const struct tap *tap)
{
    return pressure_of(s, x, tap->place) - tap->lift;
}

static struct reference_value
stop_takes(const struct tap *tap, double q)
{
    return reference_loss(&tap->fixture->given->stop, tap->stop, q);
}

static void
tap_row(const struct system *s, const gsl_vector *x, size_t i, gsl_vector *f,
        gsl_matrix *J)
{
    const struct tap *tap = &s->taps[i];
    const size_t row = s->n_parts + s->n_places + i;
    const double q = tap_flow(s, x, i);
    struct reference_value stop;

    if (tap->mode != PASSES) {
        gsl_vector_set(f, row,
                       (q - (tap->mode == SHUT ? 0 : tap->most)) / s->unit);
        gsl_matrix_set(J, row, row, 1);
        return;
    }
    stop = stop_takes(tap, q);
    gsl_vector_set(f, row,
                   (before_stop(s, x, tap) - stop.at - tap->need * q * fabs(q))
                       / BAR);
    gsl_matrix_set(J, row, s->n_parts + tap->place, 1);
    gsl_matrix_set(J, row, row,
                   -(stop.slope + 2 * tap->need * fabs(q)) * s->unit / BAR);
}

static int
values(const gsl_vector *x, void *of, gsl_vector *f, gsl_matrix *J)
{
    const struct system *s = of;
    size_t i;

    gsl_matrix_set_zero(J);
    for (i = 0; i < s->n_parts; i++)
        part_row(s, x, i, f, J);
    place_rows(s, x, f, J);
    for (i = 0; i < s->n_taps; i++)
        tap_row(s, x, i, f, J);
    return GSL_SUCCESS;
}

static int
values_alone(const gsl_vector *x, void *of, gsl_vector *f)
{
    gsl_matrix *J = gsl_matrix_alloc(x->size, x->size);

    values(x, of, f, J);
    gsl_matrix_free(J);
    return GSL_SUCCESS;
}

static int
slopes_alone(const gsl_vector *x, void *of, gsl_matrix *J)
{
    gsl_vector *f = gsl_vector_alloc(x->size);

    values(x, of, f, J);
    gsl_vector_free(f);
    return GSL_SUCCESS;
}

static int
both(const gsl_vector *x, void *of, gsl_vector *f, gsl_matrix *J)
{
    return values(x, of, f, J);
}

/* ---- One choice of modes ---------------------------------------------- */

static double
largest(const gsl_vector *f)
{
    double most = 0;
    size_t i;

    for (i = 0; i < f->size; i++)
        if (!(fabs(gsl_vector_get(f, i)) <= most)) /* or NaN */
            most = fabs(gsl_vector_get(f, i));
    return most;
}

/* Iterate until the residual is as small as it gets; what was reached is left
 * in x. */
static double
iterate(const struct system *s, const gsl_multiroot_fdfsolver_type *type,
        int most, gsl_vector *x)
{
    gsl_multiroot_fdfsolver *solver =
        gsl_multiroot_fdfsolver_alloc(type, s->n);
    gsl_multiroot_function_fdf system = { values_alone, slopes_alone, both,
                                          s->n, (void *)(size_t)s };
    double left;
    int i;

    gsl_multiroot_fdfsolver_set(solver, &system, x);
    left = largest(solver->f);
    for (i = 0; i < most && left > RESIDUAL / 100; i++) {
        if (gsl_multiroot_fdfsolver_iterate(solver) != GSL_SUCCESS)
            break;
        left = largest(solver->f);
    }
    left = largest(solver->f);
    if (isfinite(left))
        gsl_vector_memcpy(x, solver->x);
    gsl_multiroot_fdfsolver_free(solver);
    return left;
}

/* Flows from the taps down the tree at a guess, pressures of 3 bar. */
static void
guess(const struct system *s, double share, gsl_vector *x)
{
    size_t i;

    for (i = 0; i < s->n_parts; i++)
        gsl_vector_set(x, i, share * (i % 3 ? 0.1 : 0.3));
    for (i = 0; i < s->n_places; i++)
        gsl_vector_set(x, s->n_parts + i, 3);
    for (i = 0; i < s->n_taps; i++)
        gsl_vector_set(x, s->n_parts + s->n_places + i,
                       share / (double)s->n_taps / s->taps[i].count);
}

static bool
settle(const struct system *s, gsl_vector *x)
{
    static const double shares[] = { 0, 1, 0.3, 3, 0.05 };
    size_t i;

    for (i = 0; i < sizeof shares / sizeof *shares; i++) {
        if (i > 0)
            guess(s, shares[i], x);
        /* a few steps of Newton's are quick where they work */
        if (iterate(s, gsl_multiroot_fdfsolver_hybridsj, 300, x) <= RESIDUAL
            || iterate(s, gsl_multiroot_fdfsolver_gnewton, 60, x) <= RESIDUAL)
            return true;
    }
    return false;
}

/* ---- The modes -------------------------------------------------------- */

/* Of the ways forwards the one that governs: the lower of what passes freely
 * and of what is held, but where water may pass by no less than comes in.  The
 * one that was chosen, as long as it gives the same. */
static enum mode
way_forwards(const struct part *part, double in, double free, double held)
{
    const double past = part->bypass ? in : -INFINITY;
    const double out = fmin(free, fmax(held, past));
    const double now = part->mode == PASSES  ? free
                       : part->mode == HOLDS ? held
                       : part->mode == PAST  ? past
                                             : INFINITY;

    if (now <= out + OUTSIDE_BAR * BAR && now >= out - OUTSIDE_BAR * BAR)
        return part->mode;
    return out >= free ? PASSES : past > held ? PAST : HOLDS;
}

static enum mode
part_wants(const struct system *s, const gsl_vector *x, size_t i)
{
    const struct part *part = &s->parts[i];
    const double q = flow_of(s, x, i), no_flow = OUTSIDE * s->unit;
    const double slack = OUTSIDE_BAR * BAR, out = pressure_of(s, x, part->to);
    double in, free, held;

    if (part->from == FCI_NONE
        || !(part->one_way || (is_device(part) && part->step > 0)))
        return PASSES;
    if (part->mode == BACK)
        return q > no_flow ? SHUT : BACK;
    if (part->mode != SHUT && q < -no_flow)
        return SHUT;
    in = lifted(s, x, part);
    free = in - taken(s, part, part->mode == SHUT ? 0 : q).at;
    held = part->cap - fall_of(part, part->mode == SHUT ? 0 : q).at;
    if (part->mode != SHUT)
        return way_forwards(part, in, free, held);
    if (fmin(free, part->bypass ? fmax(held, in) : held) > out + slack)
        return way_forwards(part, in, free, held);
    if (is_device(part) && out - in > part->step + slack)
        return BACK;
    return SHUT;
}

static enum mode
tap_wants(const struct system *s, const gsl_vector *x, size_t i)
{
    const struct tap *tap = &s->taps[i];
    const double q = tap_flow(s, x, i), p = before_stop(s, x, tap);
    const double slack = OUTSIDE_BAR * BAR;

    switch (tap->mode) {
    case PASSES:
        if (q < -OUTSIDE * s->unit)
            return SHUT;
        return q > tap->most + OUTSIDE * s->unit ? HOLDS : PASSES;
    case HOLDS:
        return p - stop_takes(tap, q).at < tap->need * q * q - slack ? PASSES
                                                                     : HOLDS;
    default:
        return p - stop_takes(tap, 0).at > slack ? PASSES : SHUT;
    }
}

/* Whether some mode had to change. */
static bool
change_modes(struct system *s, const gsl_vector *x, bool one)
{
    bool changed = false;
    enum mode mode;
    size_t i;

    for (i = 0; i < s->n_taps && !(one && changed); i++) {
        mode = tap_wants(s, x, i);
        changed = changed || mode != s->taps[i].mode;
        s->taps[i].mode = mode;
    }
    if (changed)
        return true;
    for (i = 0; i < s->n_parts && !(one && changed); i++) {
        mode = part_wants(s, x, i);
        changed = changed || mode != s->parts[i].mode;
        s->parts[i].mode = mode;
    }
    return changed;
}

/* ---- Results ---------------------------------------------------------- */

static void
take_taps(const struct system *s, const gsl_vector *x,
          const struct fci_open *open, struct reference_flows *flows)
{
    size_t i;

    for (i = 0; i < s->n_taps; i++) {
        const double q = s->taps[i].mode == SHUT ? 0 : tap_flow(s, x, i);

        flows->drawn[i].fixture = open[i].fixture;
        flows->drawn[i].count = open[i].count;
        flows->drawn[i].flow = q;
        flows->drawn[i].pressure =
            before_stop(s, x, &s->taps[i]) - stop_takes(&s->taps[i], q).at;
        flows->total += open[i].count * q;
    }
    for (i = 0; i < s->n_places; i++)
        flows->total += s->draws[i];
}

static void
take(const struct system *s, const gsl_vector *x, const struct fci_open *open,
     struct reference_flows *flows)
{
    const fc_site *site = s->r->site;
    size_t i;

    flows->total = 0;
    flows->elements =
        reference_room(site->n_elements, sizeof *flows->elements);
    flows->flows = reference_room(site->n_elements, sizeof *flows->flows);
    flows->drawn = reference_room(s->n_taps, sizeof *flows->drawn);
    take_taps(s, x, open, flows);
    for (i = 0; i < s->n_parts; i++) {
        const size_t at = (size_t)(s->parts[i].element - site->elements);

        flows->elements[at].flow =
            s->parts[i].mode == SHUT ? 0 : flow_of(s, x, i);
        flows->elements[at].pressure = pressure_of(s, x, s->parts[i].to);
        flows->flows[at] = true;
    }
}

bool
reference_solve(struct reference *r, const struct fci_open *open, size_t n,
                struct reference_flows *flows)
{
    struct system s;
    gsl_vector *x;
    bool found = false, settled = true;
    int i;

    make_system(&s, r, open, n);
    memset(flows, 0, sizeof *flows);
    if (s.n == 0) { /* nothing can flow */
        x = NULL;
        found = true;
    } else {
        x = gsl_vector_alloc(s.n);
        guess(&s, 1, x);
    }
    for (i = 0; i < 400 && settled && !found; i++) {
        settled = settle(&s, x);
        found = settled && !change_modes(&s, x, i > 40);
    }
    if (found)
        take(&s, x, open, flows);
    gsl_vector_free(x);
    free_system(&s);
    return found;
}

void
reference_flows_free(struct reference_flows *flows)
{
    free(flows->elements);
    free(flows->drawn);
    free(flows->flows);
}
