/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/reference_tree.c -- one event on a tree by GSL's hybrids;
 * see generators/reference_solver.h.
 *
 * The unknown of a valve is x with pressure = need x |x|, which is defined
 * below no pressure and above a regulated valve's limit too; what it draws is
 * x kept between nothing and that limit.  What does not depend on the event
 * is worked out beforehand, and only elements on the way of open valves are
 * gone through.
 */
#include "generators/reference_laws.h"
#include "generators/reference_solver.h"

#include <math.h>
#include <stdlib.h>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_math.h>
#include <gsl/gsl_multiroots.h>

#define BAR 1e5
#define CLOSE 1e-6 /* bar: 0.1 Pa */

struct reference_tree {
    const fc_site *site;
    fc_state state;
    double *resistance; /* of pipes */
    double *lift;       /* of elements [Pa] */
    double *draws;      /* steady */
    size_t *rank;       /* of an element in the order from the source */
    struct reference_curves curves;
    double *flow, *pressure; /* of elements */
    size_t *way;             /* elements that flow, from the source */
    size_t n_way;
    bool *on_way;
    /* of the event */
    const struct fci_open *open;
    size_t n;
    double *need, *most;
    double unit;
};

static void
prepare_element(struct reference_tree *t, size_t i)
{
    const struct fci_element *element = &t->site->elements[i];

    t->lift[i] = t->site->water_weight * element->rise.nominal;
    if (element->pipe)
        t->resistance[i] =
            reference_pipe(element->pipe, t->site->water_weight);
}

struct reference_tree *
reference_tree_new(const fc_site *site, fc_state state)
{
    struct reference_tree *t = reference_room(1, sizeof *t);
    size_t i;

    gsl_set_error_handler_off();
    t->site = site;
    t->state = state;
    t->resistance = reference_room(site->n_elements, sizeof *t->resistance);
    t->lift = reference_room(site->n_elements, sizeof *t->lift);
    t->draws = reference_room(site->n_elements, sizeof *t->draws);
    t->rank = reference_room(site->n_elements, sizeof *t->rank);
    t->curves = reference_curves_of(site);
    t->flow = reference_room(site->n_elements, sizeof *t->flow);
    t->pressure = reference_room(site->n_elements, sizeof *t->pressure);
    t->way = reference_room(site->n_elements, sizeof *t->way);
    t->on_way = reference_room(site->n_elements, sizeof *t->on_way);
    t->need = reference_room(site->n_fixtures, sizeof *t->need);
    t->most = reference_room(site->n_fixtures, sizeof *t->most);
    for (i = 0; i < site->n_elements; i++) {
        t->rank[site->order[i]] = i;
        prepare_element(t, i);
    }
    for (i = 0; i < site->n_draws; i++)
        t->draws[site->draws[i].element] += site->draws[i].flow.nominal;
    return t;
}

void
reference_tree_free(struct reference_tree *t)
{
    reference_curves_free(&t->curves);
    free(t->resistance);
    free(t->lift);
    free(t->draws);
    free(t->rank);
    free(t->flow);
    free(t->pressure);
    free(t->way);
    free(t->on_way);
    free(t->need);
    free(t->most);
    free(t);
}

/* ---- The way of the open valves --------------------------------------- */

static void
walk(struct reference_tree *t, size_t element)
{
    for (; element != FCI_NONE && !t->on_way[element];
         element = t->site->elements[element].parent) {
        t->on_way[element] = true;
        t->way[t->n_way++] = t->rank[element];
    }
}

static int
by_rank(const void *a, const void *b)
{
    const size_t x = *(const size_t *)a, y = *(const size_t *)b;

    return (x > y) - (x < y);
}

static void
find_way(struct reference_tree *t)
{
    size_t i;

    for (i = 0; i < t->n_way; i++)
        t->on_way[t->way[i]] = false;
    t->n_way = 0;
    for (i = 0; i < t->n; i++)
        walk(t, t->site->fixtures[t->open[i].fixture].element);
    for (i = 0; i < t->site->n_draws; i++)
        walk(t, t->site->draws[i].element);
    qsort(t->way, t->n_way, sizeof *t->way, by_rank);
    for (i = 0; i < t->n_way; i++)
        t->way[i] = t->site->order[t->way[i]];
}

/* ---- Pressures -------------------------------------------------------- */

static double
outlet_of(const struct reference_tree *t, size_t i)
{
    const struct fci_element *element = &t->site->elements[i];
    const struct fci_part *part = element->part;
    const fc_reducer *reducer = part->data;
    const fc_pump *pump = part->data;
    const double q = t->flow[i];
    double p, raised;

    if (part->kind == FCI_SOURCE)
        return reference_source(part->data, t->site->water_weight, q, 0).at;
    p = t->pressure[element->parent] - t->lift[i];
    if (part->kind == FCI_PIPE)
        return p - copysign(t->resistance[i] * pow(fabs(q), 1 / 0.54), q);
    if (part->kind == FCI_PUMP) {
        if (pump->running == FC_NO)
            return p;
        raised = p
                 + t->site->water_weight
                       * reference_points_at(&t->curves.elements[i], q).at;
        if (!pump->hold.given)
            return raised;
        /* what is held, or what comes in where that is more */
        return fmin(raised, fmax(p, pump->hold.nominal));
    }
    p -= reference_loss(reference_loss_of(part), &t->curves.elements[i], q).at;
    if (part->kind != FCI_REDUCER)
        return p;
    return fmin(p, reducer->set.nominal - reference_fall(reducer, q).at);
}

static void
spread(struct reference_tree *t)
{
    size_t i, parent;

    for (i = t->n_way; i-- > 0;) {
        parent = t->site->elements[t->way[i]].parent;
        if (parent != FCI_NONE)
            t->flow[parent] += t->flow[t->way[i]];
    }
    for (i = 0; i < t->n_way; i++)
        t->pressure[t->way[i]] = outlet_of(t, t->way[i]);
}

static double
drawn_of(const struct reference_tree *t, const gsl_vector *x, size_t i)
{
    return fmin(fmax(gsl_vector_get(x, i) * t->unit, 0), t->most[i]);
}

static double
inlet_of(const struct reference_tree *t, size_t i, double q)
{
    const size_t at = t->open[i].fixture;
    const struct fci_fixture *fixture = &t->site->fixtures[at];

    return t->pressure[fixture->element]
           - t->site->water_weight * fixture->given->rise.nominal
           - reference_loss(&fixture->given->stop, &t->curves.stops[at], q).at;
}

static int
errors(const gsl_vector *x, void *of, gsl_vector *f)
{
    struct reference_tree *t = of;
    double v;
    size_t i;

    for (i = 0; i < t->n_way; i++)
        t->flow[t->way[i]] = t->draws[t->way[i]];
    for (i = 0; i < t->n; i++)
        t->flow[t->site->fixtures[t->open[i].fixture].element] +=
            t->open[i].count * drawn_of(t, x, i);
    spread(t);
    for (i = 0; i < t->n; i++) {
        v = gsl_vector_get(x, i) * t->unit;
        gsl_vector_set(
            f, i,
            (inlet_of(t, i, drawn_of(t, x, i)) - t->need[i] * v * fabs(v))
                / BAR);
    }
    return GSL_SUCCESS;
}

/* ---- The event -------------------------------------------------------- */

static void
begin(struct reference_tree *t, gsl_vector *x)
{
    size_t i;

    t->unit = 0;
    for (i = 0; i < t->n; i++) {
        const fc_valve *valve =
            t->site->fixtures[t->open[i].fixture].valve[t->state];

        t->need[i] =
            valve->flow_pressure.nominal / pow(valve->flow.nominal, 2);
        t->most[i] =
            valve->regulated == FC_YES ? valve->flow.nominal : INFINITY;
        t->unit = fmax(t->unit, valve->flow.nominal);
    }
    for (i = 0; i < t->n; i++)
        gsl_vector_set(
            x, i,
            t->site->fixtures[t->open[i].fixture].valve[t->state]->flow.nominal
                / t->unit);
    find_way(t);
}

static bool
iterate(gsl_multiroot_fsolver *solver)
{
    int i, status = GSL_CONTINUE;

    for (i = 0; i < 200 && status == GSL_CONTINUE; i++) {
        if (gsl_multiroot_fsolver_iterate(solver) != GSL_SUCCESS)
            return false;
        /* the sum of all amounts, which is no less than the largest */
        status = gsl_multiroot_test_residual(solver->f, CLOSE);
    }
    return status == GSL_SUCCESS;
}

bool
reference_tree_solve(struct reference_tree *t, const struct fci_open *open,
                     size_t n, struct fci_drawn *drawn)
{
    gsl_multiroot_function system = { errors, n, t };
    gsl_multiroot_fsolver *solver;
    gsl_vector *x;
    bool found;
    size_t i;

    if (n == 0)
        return true;
    t->open = open;
    t->n = n;
    solver = gsl_multiroot_fsolver_alloc(gsl_multiroot_fsolver_hybrids, n);
    x = gsl_vector_alloc(n);
    begin(t, x);
    gsl_multiroot_fsolver_set(solver, &system, x);
    found = iterate(solver);
    errors(solver->x, t, solver->f);
    for (i = 0; i < n && found; i++) {
        const double q = drawn_of(t, solver->x, i);

        drawn[i] = (struct fci_drawn){ open[i].fixture, open[i].count, q,
                                       inlet_of(t, i, q) };
    }
    gsl_vector_free(x);
    gsl_multiroot_fsolver_free(solver);
    return found;
}
