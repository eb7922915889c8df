/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/solver_loops.c -- loops, several sources and check valves that
 * shut.
 *
 * A pipe that closes a loop carries an unknown flow, drawn at its one end and
 * given at the other; a check valve that shuts cuts the tree, and the pressure
 * behind it is unknown.  The rest is a tree, whose answer to one unit of each
 * unknown is found by two sweeps.  What is left is a small dense system: every
 * loop's own law, and no flow through what is shut.
 */
#include "flow/solver_work.h"
#include "laws/friction.h"

#include <math.h>

#include <gsl/gsl_linalg.h>

/* A first guess where nothing is known: some 15 gpm, an ordinary flow. */
#define GUESS 1e-3

/* Pressure over which a check valve counts as pushed open [Pa], and late. */
#define PUSH 1e-4
#define LATE_PUSH FCI_CLOSE_ENOUGH

/* A flow of 1e-10 of the total through what is shut counts as a miss of
 * 1e-3 Pa, so that one limit serves both. */
#define SHUT_WEIGHT 1e7

/* What is shut leaks that little [m3/s per Pa], so that a place between two
 * that are shut has a pressure. */
#define LEAK 1e-19
/* No flow, as a part of the total. */
#define NONE 1e-10
/* As good as none, likewise. */
#define LITTLE 1e-5

/* ---- Memory ----------------------------------------------------------- */

void
fci_mesh_new(struct fci_solver *s, struct fci_arena *arena)
{
    const struct fci_network *network = s->network;
    struct fci_mesh *mesh = &s->mesh;
    struct fci_dense *dense = &mesh->dense;
    size_t i, n = network->n_loops;

    if (!network->meshed)
        return;
    for (i = 0; i < network->n_links; i++)
        n += network->links[i].one_way || network->links[i].steps;
    mesh->room = n;
    mesh->loop_flow = fci_arena_array(arena, n, sizeof *mesh->loop_flow);
    mesh->loop_before = fci_arena_array(arena, n, sizeof *mesh->loop_before);
    mesh->drive = fci_arena_array(arena, n, sizeof *mesh->drive);
    mesh->drive_before = fci_arena_array(arena, n, sizeof *mesh->drive_before);
    mesh->led = fci_arena_array(arena, n, sizeof *mesh->led);
    mesh->shut = fci_arena_array(arena, n, sizeof *mesh->shut);
    mesh->flow =
        fci_arena_array(arena, n * network->n_links, sizeof *mesh->flow);
    mesh->pressure =
        fci_arena_array(arena, n * network->n_links, sizeof *mesh->pressure);
    mesh->through = fci_arena_array(arena, n * n, sizeof *mesh->through);
    dense->matrix = fci_arena_array(arena, n * n, sizeof *dense->matrix);
    dense->right = fci_arena_array(arena, n, sizeof *dense->right);
    dense->step = fci_arena_array(arena, n, sizeof *dense->step);
    dense->tau = fci_arena_array(arena, n, sizeof *dense->tau);
}

/* ---- Loops ------------------------------------------------------------ */

static struct fci_sum *
sum_at(struct fci_solver *s, size_t link)
{
    return &s->sums[s->slot[link]];
}

static const struct fci_outlet_pressure *
at_link(const struct fci_solver *s, size_t link)
{
    return &s->at[s->slot[link]];
}

void
fci_mesh_begin(struct fci_solver *s)
{
    size_t i;

    for (i = 0; i < s->network->n_loops; i++) {
        const struct fci_loop *loop = &s->network->loops[i];

        s->mesh.loop_flow[i] = GUESS;
        if (!s->network->site->elements[loop->element].pipe)
            s->asides[s->slot[loop->from]].pair =
                s->asides[s->slot[loop->to]].pair = i + 1;
    }
    s->mesh.n_unknowns = s->network->n_loops;
}

void
fci_mesh_gather(struct fci_solver *s)
{
    size_t i;

    for (i = 0; i < s->network->n_loops; i++) {
        const struct fci_loop *loop = &s->network->loops[i];
        const double flow = s->mesh.loop_flow[i];

        sum_at(s, loop->from)->flow += flow;
        sum_at(s, loop->from)->a += flow;
        sum_at(s, loop->to)->flow -= flow;
        sum_at(s, loop->to)->a -= flow;
    }
}

void
fci_mesh_back(struct fci_solver *s, double part)
{
    size_t i;

    for (i = 0; i < s->network->n_loops; i++)
        s->mesh.loop_flow[i] +=
            part * (s->mesh.loop_before[i] - s->mesh.loop_flow[i]);
}

double
fci_mesh_largest(const struct fci_solver *s)
{
    double largest = 0;
    size_t i;

    for (i = 0; i < s->network->n_loops; i++) {
        const double flow = fabs(s->mesh.loop_flow[i]);
        const double step =
            fabs(s->mesh.loop_flow[i] - s->mesh.loop_before[i]);

        largest =
            fmax(largest,
                 step / fmax(flow, LITTLE * fmax(s->total, FCI_LEAST_TOTAL)));
    }
    return largest;
}

void
fci_mesh_drive(const struct fci_solver *s, double *now, double *then)
{
    size_t i;

    for (i = 0; i < s->network->n_loops; i++) {
        const double step = s->mesh.loop_flow[i] - s->mesh.loop_before[i];

        *now += step * s->mesh.drive[i];
        *then += step * s->mesh.drive_before[i];
    }
}

static double
loop_slope(const struct fci_loop *loop, double flow)
{
    return FCI_FRICTION_EXPONENT * loop->friction
           * pow(fmax(fabs(flow), FCI_LEAST_FLOW), FCI_FRICTION_EXPONENT - 1);
}

static double
loop_loss(const struct fci_solver *s, size_t i)
{
    const struct fci_loop *loop = &s->network->loops[i];

    return loop->lift + s->raised_by * s->mesh.led[i].raised
           + fci_friction_loss(loop->friction, s->mesh.loop_flow[i]);
}

void
fci_mesh_raise(struct fci_solver *s)
{
    size_t i;

    for (i = 0; i < s->network->n_loops; i++)
        s->mesh.led[i].raised =
            s->network->site->elements[s->network->loops[i].element].pipe
                ? s->mesh.drive[i]
                : 0;
}

double
fci_mesh_miss(struct fci_solver *s, double worst)
{
    struct fci_mesh *mesh = &s->mesh;
    double miss;
    size_t i;

    for (i = 0; i < mesh->n_unknowns; i++) {
        size_t culprit;

        if (i < s->network->n_loops) {
            const struct fci_loop *loop = &s->network->loops[i];

            culprit = loop->element;
            miss = at_link(s, loop->from)->exact - at_link(s, loop->to)->exact
                   - loop_loss(s, i);
            mesh->drive[i] = miss;
        } else {
            const struct fci_node *node = &s->nodes[mesh->shut[i]];

            culprit = s->network->links[s->asides[mesh->shut[i]].link].element;
            miss = node->flow / fmax(s->total, FCI_LEAST_TOTAL) * SHUT_WEIGHT;
        }
        if (!(fabs(miss) <= worst)) {
            worst = fabs(miss);
            s->culprit = culprit;
        }
    }
    return worst;
}

/* ---- What follows from one unit of an unknown ------------------------- */

static double *
flow_row(const struct fci_solver *s, size_t unknown)
{
    return s->mesh.flow + unknown * s->network->n_links;
}

static double *
pressure_row(const struct fci_solver *s, size_t unknown)
{
    return s->mesh.pressure + unknown * s->network->n_links;
}

/* The flow that node i passes on to its own head when `a` changes by one. */
static double
passed_on(const struct fci_solver *s, size_t i)
{
    const struct fci_node *node = &s->nodes[i];

    if (node->shut)
        return 0;
    return 1
           / (1
              + s->sums[i].b
                    * (node->holding ? s->asides[i].fall
                                     : fci_node_slope(node)));
}

static void
start_rows(struct fci_solver *s, size_t unknown)
{
    double *a = flow_row(s, unknown);
    size_t i;

    for (i = 0; i < s->n_nodes; i++)
        a[i] = 0;
    if (unknown < s->network->n_loops) {
        const struct fci_loop *loop = &s->network->loops[unknown];

        a[s->slot[loop->from]] += 1;
        a[s->slot[loop->to]] -= 1;
    }
}

static void
respond(struct fci_solver *s, size_t unknown)
{
    struct fci_mesh *mesh = &s->mesh;
    double *flow = flow_row(s, unknown), *pressure = pressure_row(s, unknown);
    size_t i, k;

    start_rows(s, unknown);
    for (i = s->n_nodes; i-- > 0;) {
        if (s->nodes[i].parent != FCI_NONE && !s->nodes[i].shut)
            flow[s->nodes[i].parent] += flow[i] * passed_on(s, i);
    }
    for (k = s->network->n_loops; k < mesh->n_unknowns; k++)
        mesh->through[k * mesh->room + unknown] =
            flow[mesh->shut[k]]
            + (k == unknown ? s->sums[mesh->shut[k]].b : 0);
    for (i = 0; i < s->n_nodes; i++) {
        const struct fci_node *node = &s->nodes[i];
        const double in =
            node->parent == FCI_NONE ? 0 : pressure[node->parent];

        if (node->shut) {
            pressure[i] =
                unknown >= s->network->n_loops && mesh->shut[unknown] == i;
            flow[i] = 0;
            continue;
        }
        flow[i] = flow[i] * passed_on(s, i) + node->head_b * in;
        pressure[i] = node->holding ? -s->asides[i].fall * flow[i]
                                    : in - fci_node_slope(node) * flow[i];
    }
}

static void
set_coefficient(struct fci_solver *s, size_t i, size_t j, double value)
{
    s->mesh.dense.matrix[i * s->mesh.n_unknowns + j] = value;
}

static void
set_right(struct fci_solver *s, size_t i, double value)
{
    s->mesh.dense.right[i] = value;
}

/* ---- The dense system ------------------------------------------------- */

static void
loop_equation(struct fci_solver *s, size_t i)
{
    const struct fci_loop *loop = &s->network->loops[i];
    const size_t from = s->slot[loop->from], to = s->slot[loop->to];
    const double flow = s->mesh.loop_flow[i];
    size_t j;

    for (j = 0; j < s->mesh.n_unknowns; j++)
        set_coefficient(s, i, j,
                        pressure_row(s, j)[from] - pressure_row(s, j)[to]
                            - (i == j ? loop_slope(loop, flow) : 0));
    set_right(s, i,
              loop_loss(s, i) - s->at[from].pressure + s->at[to].pressure);
}

static void
shut_equation(struct fci_solver *s, size_t i)
{
    const struct fci_sum *sum = &s->sums[s->mesh.shut[i]];
    const double pressure = s->at[s->mesh.shut[i]].pressure;
    size_t j;

    for (j = 0; j < s->mesh.n_unknowns; j++)
        set_coefficient(s, i, j,
                        s->mesh.through[i * s->mesh.room + j]
                            + (i == j ? LEAK : 0));
    set_right(s, i, -sum->a - (sum->b + LEAK) * pressure);
}

/* A pressure's equation and a flow's differ by many powers of ten, which
 * reflections would mix. */
static bool
scale_row(struct fci_dense *dense, size_t i, size_t n)
{
    double most = 0;
    size_t j;

    for (j = 0; j < n; j++)
        most = fmax(most, fabs(dense->matrix[i * n + j]));
    if (!(most > 0) || isinf(most))
        return false;
    for (j = 0; j < n; j++)
        dense->matrix[i * n + j] /= most;
    dense->right[i] /= most;
    return true;
}

/* Singular where the triangle has a 0 on its diagonal. */
static bool
solve_dense(struct fci_dense *dense, size_t n)
{
    gsl_matrix_view matrix = gsl_matrix_view_array(dense->matrix, n, n);
    gsl_vector_view right = gsl_vector_view_array(dense->right, n);
    gsl_vector_view step = gsl_vector_view_array(dense->step, n);
    gsl_vector_view tau = gsl_vector_view_array(dense->tau, n);
    size_t i;

    for (i = 0; i < n; i++)
        if (!scale_row(dense, i, n))
            return false;
    gsl_linalg_QR_decomp(&matrix.matrix, &tau.vector);
    for (i = 0; i < n; i++)
        if (!(fabs(dense->matrix[i * n + i]) > 0))
            return false;
    gsl_linalg_QR_solve(&matrix.matrix, &tau.vector, &right.vector,
                        &step.vector);
    return true;
}

static void
add_response(struct fci_solver *s, size_t unknown, double step)
{
    const double *flow = flow_row(s, unknown);
    const double *pressure = pressure_row(s, unknown);
    size_t i;

    for (i = 0; i < s->n_nodes; i++) {
        s->at[i].pressure += step * pressure[i];
        if (s->nodes[i].special)
            s->asides[i].next_flow += step * flow[i];
    }
    if (unknown < s->network->n_loops)
        s->mesh.loop_flow[unknown] += step;
}

bool
fci_mesh_step(struct fci_solver *s)
{
    const size_t n = s->mesh.n_unknowns;
    size_t i;

    for (i = 0; i < s->network->n_loops; i++)
        s->mesh.drive_before[i] = s->mesh.drive[i];
    if (n == 0)
        return true;
    for (i = 0; i < n; i++)
        respond(s, i);
    for (i = 0; i < n; i++) {
        if (i < s->network->n_loops)
            loop_equation(s, i);
        else
            shut_equation(s, i);
    }
    if (!solve_dense(&s->mesh.dense, n))
        return false;
    for (i = 0; i < s->network->n_loops; i++)
        s->mesh.loop_before[i] = s->mesh.loop_flow[i];
    for (i = 0; i < n; i++)
        add_response(s, i, s->mesh.dense.step[i]);
    return true;
}

/* ---- Check valves ----------------------------------------------------- */

/* Whether what comes in would lift its disc, and either way what stands. */
static bool
turn_node(struct fci_solver *s, size_t i, bool late)
{
    struct fci_node *node = &s->nodes[i];
    const fc_site *site = s->network->site;
    const struct fci_element *element =
        &site->elements[s->network->links[s->asides[i].link].element];
    const double in =
        node->parent == FCI_NONE ? 0 : s->at[node->parent].pressure;
    const double none =
        (late ? FCI_NO_FLOW : NONE) * fmax(s->total, FCI_LEAST_TOTAL);
    const double push = late ? LATE_PUSH : PUSH;
    const double next_flow = s->asides[i].next_flow;
    const bool shut = node->shut, back = node->back;

    if (!shut) {
        node->shut = node->back ? next_flow > none : next_flow < -none;
    } else {
        const struct fci_tangent on =
            fci_tangent_at(site, element, 0, s->asides[i].end);
        const struct fci_tangent off =
            fci_tangent_at(site, element, -0.0, s->asides[i].end);

        if (fci_tangent_out(&on, in, 0) > s->at[i].pressure + push) {
            node->shut = false;
            node->back = false;
        } else if (node->steps && in - off.loss < s->at[i].pressure - push) {
            node->shut = false;
            node->back = true;
        }
    }
    return shut != node->shut || back != node->back;
}

void
fci_mesh_list_shut(struct fci_solver *s)
{
    struct fci_mesh *mesh = &s->mesh;
    size_t i;

    mesh->n_unknowns = s->network->n_loops;
    for (i = 0; i < s->n_nodes; i++)
        if (s->nodes[i].shut)
            mesh->shut[mesh->n_unknowns++] = i;
}

bool
fci_mesh_turn(struct fci_solver *s, bool one, bool late)
{
    bool changed = false;
    size_t i;

    for (i = 0; i < s->n_nodes; i++) {
        const struct fci_node *node = &s->nodes[i];

        if ((node->one_way || node->steps) && (!one || !changed)
            && !(s->sharing && s->asides[i].pair > 0))
            changed |= turn_node(s, i, late);
    }
    fci_mesh_list_shut(s);
    return changed;
}

bool
fci_mesh_runs_back(const struct fci_solver *s)
{
    const double none = FCI_NO_FLOW * fmax(s->total, FCI_LEAST_TOTAL);
    size_t i;

    for (i = 0; i < s->n_nodes; i++) {
        const struct fci_node *node = &s->nodes[i];

        if (node->one_way && !node->shut && node->flow < -none)
            return true;
    }
    return false;
}
