/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/bench/sparse_newton.c -- an event as a general sparse Newton solves
 * it. */
#include "bench/sparse_newton.h"

#ifdef HAVE_KLU

#include "ground/memory.h"
#include "laws/friction.h"

#include HAVE_KLU
#include <math.h>

#define MOST_STEPS 100
#define CLOSE_ENOUGH 0.01 /* Pa */
/* A law without a slope at no flow has that of this one [m3/s]. */
#define LEAST_FLOW 1e-7
/* A valve's flow falls to no less than this part of it in one step. */
#define LEAST_PART 0.1

struct link {
    size_t parent; /* FCI_NONE: the source */
    struct fci_law law;
    const struct fci_element *element; /* of the source, whose law is no sum */
    double draw, flow, loss, slope;
    int own, down, up; /* where the matrix has it */
};

struct valve {
    size_t link;
    double count, square, lift, most, alone; /* lift: what it takes at rest */
    double flow, slope;
};

struct sparse_newton {
    const struct fci_network *network;
    const struct fci_open *open;
    size_t n_links, n_valves;
    struct link *links;
    struct valve *valves;
    int *starts, *rows;
    double *values, *pressures;
    klu_common common;
    klu_symbolic *symbolic;
    klu_numeric *numeric;
    int steps;
};

/* ---- The system -------------------------------------------------------- */

/* Columns of a symmetric matrix: of each link itself, the one before it and
 * those that go on from it. */
static void
lay_out(struct sparse_newton *s)
{
    size_t i;
    int *next = s->rows; /* grows column by column */

    for (i = 0; i < s->n_links; i++) {
        s->starts[i + 1]++;
        if (s->links[i].parent != FCI_NONE) {
            s->starts[i + 1]++;
            s->starts[s->links[i].parent + 1]++;
        }
    }
    for (i = 0; i < s->n_links; i++)
        s->starts[i + 1] += s->starts[i];
    /* a link stands after its parent, so that rows ascend in each column */
    for (i = 0; i < s->n_links; i++) {
        struct link *link = &s->links[i];
        const size_t parent = link->parent;

        if (parent != FCI_NONE) {
            link->up = s->starts[i]++;
            next[link->up] = (int)parent;
        }
        link->own = s->starts[i]++;
        next[link->own] = (int)i;
        if (parent != FCI_NONE) {
            link->down = s->starts[parent]++;
            next[link->down] = (int)i;
        }
    }
    for (i = s->n_links; i > 0; i--)
        s->starts[i] = s->starts[i - 1];
    s->starts[0] = 0;
}

static bool
take_link(struct sparse_newton *s, size_t i)
{
    const struct fci_network *network = s->network;
    const struct fci_link *given = &network->links[i];
    struct link *link = &s->links[i];

    link->parent = given->parent;
    link->law = network->laws[FCI_NOMINAL][i];
    link->draw = network->draws[FCI_NOMINAL][i];
    if (given->special)
        link->element = &network->site->elements[given->element];
    return !given->special || given->power[FCI_NOMINAL];
}

static bool
take_valve(struct sparse_newton *s, size_t i)
{
    const struct fci_outlet *outlet = &s->network->outlets[s->open[i].fixture];
    const struct fci_outlet_law *law = &outlet->law[FCI_NOMINAL];
    struct valve *valve = &s->valves[i];

    valve->link = outlet->link;
    valve->count = s->open[i].count;
    valve->square = law->need + law->stop.square;
    valve->lift = law->stop.lift + law->stop.constant;
    valve->most = law->most;
    valve->alone = outlet->alone;
    return !outlet->curved_stop;
}

static bool
take_network(struct sparse_newton *s)
{
    size_t i;

    for (i = 0; i < s->n_links; i++)
        if (!take_link(s, i))
            return false;
    for (i = 0; i < s->n_valves; i++)
        if (!take_valve(s, i))
            return false;
    lay_out(s);
    klu_defaults(&s->common);
    s->common.scale = 0; /* it is symmetric and positive definite */
    s->common.btf = 0;   /* and of one piece */
    s->symbolic = klu_analyze((int)s->n_links, s->starts, s->rows, &s->common);
    return s->symbolic != NULL;
}

struct sparse_newton *
sparse_newton_new(const struct fci_network *network,
                  const struct fci_open *open, size_t n)
{
    struct sparse_newton *s = fci_object_new(sizeof *s);
    struct fci_arena *arena;
    size_t links;

    if (!s)
        return NULL;
    arena = fci_arena_of(s);
    links = network->n_links;
    s->network = network;
    s->open = open;
    s->n_links = links;
    s->n_valves = n;
    s->links = fci_arena_array(arena, links, sizeof *s->links);
    s->valves = fci_arena_array(arena, n, sizeof *s->valves);
    s->starts = fci_arena_array(arena, links + 1, sizeof *s->starts);
    s->rows = fci_arena_array(arena, 3 * links, sizeof *s->rows);
    s->values = fci_arena_array(arena, 3 * links, sizeof *s->values);
    s->pressures = fci_arena_array(arena, links, sizeof *s->pressures);
    if (arena->failed || network->meshed || !take_network(s)) {
        sparse_newton_free(s);
        return NULL;
    }
    return s;
}

void
sparse_newton_free(struct sparse_newton *s)
{
    if (s) {
        klu_free_numeric(&s->numeric, &s->common);
        klu_free_symbolic(&s->symbolic, &s->common);
    }
    fci_object_free(s);
}

/* ---- A step ------------------------------------------------------------ */

static double
inlet_of(const struct sparse_newton *s, const struct link *link)
{
    return link->parent == FCI_NONE ? 0 : s->pressures[link->parent];
}

/* What it takes at its flow, and how fast that grows. */
static void
link_law(const struct sparse_newton *s, struct link *link)
{
    const struct fci_law *law = &link->law;
    const double size = fabs(link->flow);

    if (link->element) {
        const struct fci_tangent at = fci_tangent_at(
            s->network->site, link->element, link->flow, FCI_NOMINAL);

        link->loss = at.loss;
        link->slope = at.slope;
    } else {
        const double friction =
            law->friction * pow(size, FCI_FRICTION_EXPONENT - 1);

        link->loss = law->lift + law->constant
                     + (friction + law->square * size) * link->flow;
        link->slope =
            FCI_FRICTION_EXPONENT * friction + 2 * law->square * size;
    }
    if (size < LEAST_FLOW)
        link->slope = FCI_FRICTION_EXPONENT * law->friction
                      * pow(LEAST_FLOW, FCI_FRICTION_EXPONENT - 1);
    link->slope = fmax(link->slope, LEAST_FLOW);
}

/* The worst miss of a law [Pa]. */
static double
take_laws(struct sparse_newton *s)
{
    double worst = 0;
    size_t i;

    for (i = 0; i < s->n_links; i++) {
        struct link *link = &s->links[i];

        link_law(s, link);
        worst = fmax(worst,
                     fabs(inlet_of(s, link) - link->loss - s->pressures[i]));
    }
    for (i = 0; i < s->n_valves; i++) {
        struct valve *valve = &s->valves[i];
        const double there = s->pressures[valve->link] - valve->lift
                             - valve->square * valve->flow * valve->flow;

        valve->slope = 2 * valve->square * valve->flow;
        worst = fmax(worst, valve->flow <= 0             ? there
                            : valve->flow >= valve->most ? -there
                                                         : fabs(there));
    }
    return worst;
}

/* What flows in along each law's tangent flows out again. */
static void
assemble(struct sparse_newton *s)
{
    double *right = s->pressures;
    size_t i;

    for (i = 0; i < s->n_links; i++) {
        s->values[s->links[i].own] = 0;
        right[i] = -s->links[i].draw;
    }
    for (i = 0; i < s->n_valves; i++) {
        const struct valve *valve = &s->valves[i];
        const double opened = valve->flow > 0 && valve->flow < valve->most
                                  ? valve->count / valve->slope
                                  : 0;

        s->values[s->links[valve->link].own] += opened;
        right[valve->link] +=
            opened * (valve->square * valve->flow * valve->flow + valve->lift)
            - valve->count * valve->flow;
    }
    for (i = 0; i < s->n_links; i++) {
        const struct link *link = &s->links[i];
        const double open = 1 / link->slope;
        const double still = link->flow - open * link->loss;

        s->values[link->own] += open;
        right[i] += still;
        if (link->parent != FCI_NONE) {
            s->values[s->links[link->parent].own] += open;
            s->values[link->up] = s->values[link->down] = -open;
            right[link->parent] -= still;
        }
    }
}

static bool
factorise(struct sparse_newton *s)
{
    s->steps++;
    if (s->numeric)
        return klu_refactor(s->starts, s->rows, s->values, s->symbolic,
                            s->numeric, &s->common);
    s->numeric =
        klu_factor(s->starts, s->rows, s->values, s->symbolic, &s->common);
    return s->numeric != NULL;
}

/* A valve draws no more than the pressure there lets through it alone. */
static void
step_valve(struct valve *valve, double pressure)
{
    const double there = pressure - valve->lift;
    const double most = sqrt(fmax(there, 0) / valve->square);
    const double flow =
        valve->flow > 0
            ? valve->flow / 2 + there / (2 * valve->square * valve->flow)
            : most;

    valve->flow =
        fmin(fmin(fmax(flow, LEAST_PART * valve->flow), most), valve->most);
}

/* Every link passes what is drawn behind it.  The flows that the tangents give
 * the links would do as well, and are what a network with loops has, but then
 * a valve that shuts or opens leaves links with flows that fit no valve: some
 * 30 steps are taken where these take 7. */
static void
sum_flows(struct sparse_newton *s)
{
    size_t i;

    for (i = 0; i < s->n_links; i++)
        s->links[i].flow = s->links[i].draw;
    for (i = 0; i < s->n_valves; i++)
        s->links[s->valves[i].link].flow +=
            s->valves[i].count * s->valves[i].flow;
    for (i = s->n_links; i-- > 0;)
        if (s->links[i].parent != FCI_NONE)
            s->links[s->links[i].parent].flow += s->links[i].flow;
}

static void
take_step(struct sparse_newton *s)
{
    size_t i;

    for (i = 0; i < s->n_valves; i++)
        step_valve(&s->valves[i], s->pressures[s->valves[i].link]);
    sum_flows(s);
}

/* ---- The whole --------------------------------------------------------- */

/* From the flows that valves have alone. */
static void
begin(struct sparse_newton *s)
{
    size_t i;

    s->steps = 0;
    for (i = 0; i < s->n_links; i++)
        s->pressures[i] = 0;
    for (i = 0; i < s->n_valves; i++)
        s->valves[i].flow = s->valves[i].alone;
    sum_flows(s);
}

bool
sparse_newton_solve(struct sparse_newton *s, struct fci_drawn *drawn)
{
    size_t i;

    begin(s);
    while (take_laws(s) > CLOSE_ENOUGH) {
        if (s->steps == MOST_STEPS)
            return false;
        assemble(s);
        if (!factorise(s)
            || !klu_solve(s->symbolic, s->numeric, (int)s->n_links, 1,
                          s->pressures, &s->common))
            return false;
        take_step(s);
    }
    for (i = 0; i < s->n_valves; i++) {
        const struct valve *valve = &s->valves[i];

        drawn[i].fixture = s->open[i].fixture;
        drawn[i].count = s->open[i].count;
        drawn[i].flow = valve->flow;
        drawn[i].pressure = s->pressures[valve->link] - valve->lift
                            - s->network->outlets[drawn[i].fixture]
                                      .law[FCI_NOMINAL]
                                      .stop.square
                                  * valve->flow * valve->flow;
    }
    return true;
}

int
sparse_newton_steps(const struct sparse_newton *s)
{
    return s->steps;
}

bool
sparse_newton_built(void)
{
    return true;
}

#else

bool
sparse_newton_built(void)
{
    return false;
}

struct sparse_newton *
sparse_newton_new(const struct fci_network *network,
                  const struct fci_open *open, size_t n)
{
    (void)network;
    (void)open;
    (void)n;
    return NULL;
}

void
sparse_newton_free(struct sparse_newton *newton)
{
    (void)newton;
}

bool
sparse_newton_solve(struct sparse_newton *newton, struct fci_drawn *drawn)
{
    (void)newton;
    (void)drawn;
    return false;
}

int
sparse_newton_steps(const struct sparse_newton *newton)
{
    (void)newton;
    return 0;
}

#endif
