/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/most_drawn.c -- the most that any so many valves behind a link
 * draw, by the pressure before it.
 *
 * With a pressure at the end of a link its branches do not know of each other:
 * the most that k valves draw there is the best way to share k out among them,
 * a max-plus convolution [BCOQ92, 3.2].  That flow costs the link the most
 * too, so that no other choice has more of the pressure before the link: the
 * points (end + loss, flow) are the curve of the link itself, and nothing has
 * to be solved.
 *
 * Curves are kept at nodes, as straight pieces that are nowhere below what is
 * drawn.  Between two nodes a flow that is straight in the pressure at the end
 * is concave in the pressure before the link, since losses are convex in the
 * flow, and lies under its tangents at both; of a law that is not known to be
 * convex it is no more than at the upper node.  Taken to the nodes of the
 * branch before it, a curve is raised by as much as it lies over the straight
 * line.  What is shared out is then no less than what is drawn between nodes
 * either, the sum of lines being one.
 *
 *   [BCOQ92]  F. Baccelli, G. Cohen, G. J. Olsder, J.-P. Quadrat,
 *             Synchronization and Linearity (1992) (from memory)
 */
#include "flow/most_drawn.h"
#include "ground/memory.h"
#include "ground/ties.h"
#include "laws/friction.h"

#include <string.h>

/* Nodes beside those of the cells: where a reducer or a pump begins to hold,
 * and where a pump stands still. */
#define MORE_NODES 3

/* All curves together have no more nodes than about that, */
#define MOST_NODES 500000
/* unless there are so many. */
#define FEWEST_CELLS 16

/* Rounding of a pressure [Pa]. */
#define ROUNDING 1.0

/* Steps to find where a reducer holds. */
#define HALVINGS 40

/* Pieces to look through before all are. */
#define NEARBY 2

struct making {
    struct fci_most_drawn *drawn;
    const struct fci_at_links *at;
    struct fci_arena scratch;
    double *sum, *one, *both; /* (counted + 1) x (cells + 1) flows */
    size_t n_sum;             /* valves in `sum` */
    double *slope;            /* at the nodes of the curve that is made */
    double *tops;             /* of the classes */
    size_t *behind;           /* valves behind each link */
};

/* fmax() without its care for what is no number: it is asked millions of
 * times. */
static inline double
larger(double a, double b)
{
    return a > b ? a : b;
}

/* ---- One law ------------------------------------------------------------ */

static enum fci_end
side_of(const struct fci_most_drawn *d)
{
    return fci_other_end(d->end);
}

/* Of a link at a flow. */
static struct fci_tangent
tangent_of(const struct fci_network *network, size_t link, enum fci_end end,
           double flow)
{
    const struct fci_law *law = &network->laws[end][link];
    struct fci_tangent at = { .cap = INFINITY, .past = INFINITY };
    double slope = 0;

    if (network->links[link].special)
        return fci_tangent_at(
            network->site,
            &network->site->elements[network->links[link].element], flow, end);
    if (law->friction > 0 && flow > 0)
        slope = law->friction * pow(flow, FCI_FRICTION_EXPONENT - 1);
    at.loss = law->lift + law->constant + (slope + law->square * flow) * flow;
    at.slope = FCI_FRICTION_EXPONENT * slope + 2 * law->square * flow;
    return at;
}

/* Whether it has more at its end than a reducer or a pump holds. */
static bool
is_over(const struct fci_tangent *at, double pressure, double flow)
{
    return pressure > at->cap - at->fall * flow;
}

double
fci_link_asks(const struct fci_network *network, size_t link, enum fci_end end,
              double pressure, double flow)
{
    const struct fci_tangent at = tangent_of(network, link, end, flow);

    return pressure + (is_over(&at, pressure, flow) ? at.past : at.loss);
}

/* What it takes grows ever faster with the flow. */
static bool
is_convex(const struct fci_network *network, size_t link)
{
    const struct fci_element *element =
        &network->site->elements[network->links[link].element];

    return !network->links[link].special
           || (element->part->kind == FCI_REDUCER
               && fci_element_loss(element)->kind != FC_CURVE_LOSS);
}

double
fci_one_draws(const struct fci_outlet_law *law, double pressure)
{
    const double left = pressure - law->stop.lift - law->stop.constant;

    return left > 0
               ? fmin(sqrt(left / (law->need + law->stop.square)), law->most)
               : 0;
}

/* ---- Curves ------------------------------------------------------------- */

static double
line_at(const struct fci_drawn_curve *c, size_t i, double pressure)
{
    double part;

    if (pressure <= c->before[0])
        return c->flow[0];
    if (i + 1 >= c->n)
        return c->flow[c->n - 1];
    part = (pressure - c->before[i]) / (c->before[i + 1] - c->before[i]);
    return c->flow[i] + (part < 1 ? part : 1) * (c->flow[i + 1] - c->flow[i]);
}

/* The piece that a pressure is in. */
static size_t
piece_of(const struct fci_drawn_curve *c, double pressure, size_t near)
{
    size_t low = 0, high = c->n;

    if (near < c->n && c->before[near] <= pressure) {
        low = near;
        if (near + NEARBY < c->n && c->before[near + NEARBY] > pressure)
            high = near + NEARBY;
    } else if (near < c->n) {
        high = near > 0 ? near : 1;
        if (near > NEARBY && c->before[near - NEARBY] <= pressure)
            low = near - NEARBY;
    }
    while (high - low > 1) {
        const size_t middle = low + (high - low) / 2;

        if (c->before[middle] <= pressure)
            low = middle;
        else
            high = middle;
    }
    return low;
}

double
fci_most_behind(const struct fci_most_drawn *d, size_t link, size_t k,
                double pressure, size_t *near)
{
    const struct fci_drawn_curve *c = &d->classes[d->class_of[link]].of[k];

    *near = piece_of(c, pressure, *near);
    return line_at(c, *near, pressure) + c->above[*near];
}

/* `slope` of what the link takes at that flow. */
static void
push_node(const struct making *m, struct fci_drawn_curve *c, double end,
          double flow, double before, double slope)
{
    m->slope[c->n] = slope;
    c->end[c->n] = end;
    c->flow[c->n] = flow;
    c->before[c->n] = before;
    c->above[c->n++] = 0;
}

/* ---- From the ends of a link to before it ------------------------------- */

/* The most that is left behind what holds, between two nodes. */
static void
push_held(const struct making *m, struct fci_drawn_curve *c, size_t link,
          double end, double flow)
{
    const size_t i = c->n - 1;
    double low = c->end[i], high = end, at, there;
    struct fci_tangent tangent;
    int k;

    for (k = 0; k < HALVINGS; k++) {
        at = (low + high) / 2;
        there = c->flow[i]
                + (flow - c->flow[i]) * (at - c->end[i]) / (end - c->end[i]);
        tangent =
            tangent_of(m->drawn->network, link, side_of(m->drawn), there);
        if (is_over(&tangent, at, there))
            high = at;
        else
            low = at;
    }
    there = c->flow[i]
            + (flow - c->flow[i]) * (high - c->end[i]) / (end - c->end[i]);
    tangent = tangent_of(m->drawn->network, link, side_of(m->drawn), there);
    push_node(m, c, high, there, larger(high + tangent.loss, c->before[i]),
              tangent.slope);
    if (!isinf(tangent.past))
        push_node(m, c, high, there,
                  larger(high + tangent.past, c->before[i + 1]),
                  tangent.slope);
}

/* How much a piece of a convex link is over the straight line. */
static double
over_line(const struct making *m, const struct fci_drawn_curve *c, size_t i)
{
    const double rise = c->flow[i + 1] - c->flow[i];
    const double wide = c->before[i + 1] - c->before[i];
    const double ends = c->end[i + 1] - c->end[i];
    const double line = rise / wide, steep = rise / ends;
    double from, to;

    if (rise <= 0 || wide <= 0 || ends <= 0)
        return larger(rise, 0);
    from = steep / (1 + m->slope[i] * steep);
    to = steep / (1 + m->slope[i + 1] * steep);
    return from > line && line > to
               ? wide * (from - line) * (line - to) / (from - to)
               : 0;
}

static void
pass_curve(const struct making *m, const struct fci_drawn_class *class,
           const double *flow, struct fci_drawn_curve *c)
{
    const struct fci_most_drawn *d = m->drawn;
    const bool convex = is_convex(d->network, class->link);
    size_t i;

    for (i = 0; i <= d->cells; i++) {
        const double end = class->low + (double)i * class->step;
        const struct fci_tangent at =
            tangent_of(d->network, class->link, side_of(d), flow[i]);
        const bool over = is_over(&at, end, flow[i]);
        double before = end + (over ? at.past : at.loss);

        if (over && i > 0
            && c->n == i) /* not over before, as there are no more nodes */
            push_held(m, c, class->link, end, flow[i]);
        if (isinf(before)) {
            if (i == 0)
                push_node(m, c, end, flow[0], end + at.loss, at.slope);
            break;
        }
        if (c->n > 0)
            before = larger(before, c->before[c->n - 1]);
        push_node(m, c, end, flow[i], before, at.slope);
    }
    for (i = 0; i + 1 < c->n; i++)
        c->above[i] = convex ? over_line(m, c, i)
                             : larger(c->flow[i + 1] - c->flow[i], 0);
}

/* ---- What joins at the end of a link ------------------------------------ */

static double *
row_of(const struct making *m, double *rows, size_t k)
{
    return rows + k * (m->drawn->cells + 1);
}

/* At nodes, raised by what is over the line on either side. */
static void
raise(double *flow, const double *over, size_t cells)
{
    size_t i;

    for (i = 0; i <= cells; i++) {
        flow[i] += larger(i > 0 ? over[i - 1] : 0, i < cells ? over[i] : 0);
        if (i > 0)
            flow[i] = larger(flow[i], flow[i - 1]);
    }
}

/* Of a curve over the line through what it has at two nodes. */
static double
curve_over(const struct fci_drawn_curve *c, size_t *piece, double from,
           double to, double at_from, double at_to)
{
    const double slope = (at_to - at_from) / (to - from);
    double above = 0, over = 0;
    size_t i = *piece;

    for (;; i++) {
        above = larger(above, c->above[i]);
        if (i + 1 >= c->n || c->before[i + 1] >= to)
            break;
        if (c->before[i + 1] > from)
            over = larger(over,
                          c->flow[i + 1]
                              - (at_from + slope * (c->before[i + 1] - from)));
    }
    *piece = i;
    return above + over;
}

/* `over` has room for the cells. */
static void
sample_curve(const struct making *m, const struct fci_drawn_curve *c,
             const struct fci_drawn_class *to, double *flow, double *over)
{
    const size_t cells = m->drawn->cells;
    size_t i, piece = 0;

    for (i = 0; i <= cells; i++) {
        const double pressure = to->low + (double)i * to->step;

        while (piece + 1 < c->n && c->before[piece + 1] <= pressure)
            piece++;
        flow[i] = line_at(c, piece, pressure);
    }
    piece = 0;
    for (i = 0; i < cells; i++) {
        const double pressure = to->low + (double)i * to->step;

        over[i] = curve_over(c, &piece, pressure, pressure + to->step, flow[i],
                             flow[i + 1]);
    }
    raise(flow, over, cells);
}

/* Of a valve over the line through what it draws at two pressures. */
static double
valve_over(const struct fci_outlet_law *law, double from, double to,
           double at_from, double at_to)
{
    const double need = law->need + law->stop.square;
    const double slope = (at_to - at_from) / (to - from);
    double flow, pressure;

    if (slope <= 0)
        return 0;
    flow = fmin(1 / (2 * need * slope), law->most);
    pressure = law->stop.lift + law->stop.constant + need * flow * flow;
    if (pressure < from || pressure > to)
        return 0;
    return fmax(flow - (at_from + slope * (pressure - from)), 0);
}

static void
sample_valve(const struct making *m, const struct fci_outlet_law *law,
             const struct fci_drawn_class *to, double *flow, double *over)
{
    const size_t cells = m->drawn->cells;
    size_t i;

    for (i = 0; i <= cells; i++)
        flow[i] = fci_one_draws(law, to->low + (double)i * to->step);
    for (i = 0; i < cells; i++)
        over[i] = valve_over(law, to->low + (double)i * to->step,
                             to->low + (double)(i + 1) * to->step, flow[i],
                             flow[i + 1]);
    raise(flow, over, cells);
}

static size_t
counted(const struct fci_most_drawn *d, size_t n)
{
    return n < d->counted ? n : d->counted;
}

/* `one`, with up to n of them, to the sum. */
static void
join(struct making *m, size_t n)
{
    const size_t total = counted(m->drawn, m->n_sum + n);
    const size_t nodes = m->drawn->cells + 1;
    double *kept = m->both;
    size_t j, k, i;

    for (k = 0; k <= total; k++) {
        double *to = row_of(m, m->both, k);
        bool first = true;

        for (j = k > m->n_sum ? k - m->n_sum : 0; j <= k && j <= n; j++) {
            const double *a = row_of(m, m->sum, k - j);
            const double *b = row_of(m, m->one, j);

            for (i = 0; i < nodes; i++)
                to[i] = first ? a[i] + b[i] : larger(to[i], a[i] + b[i]);
            first = false;
        }
    }
    m->both = m->sum;
    m->sum = kept;
    m->n_sum = total;
}

static void
join_valves(struct making *m, size_t fixture, const struct fci_drawn_class *to)
{
    const struct fci_network *network = m->drawn->network;
    const size_t n =
        counted(m->drawn, (size_t)network->site->fixtures[fixture].count);
    double *one = row_of(m, m->one, 1);
    size_t k, i;

    sample_valve(m, &network->outlets[fixture].beside[m->drawn->end], to, one,
                 row_of(m, m->one, 0));
    for (i = 0; i <= m->drawn->cells; i++)
        for (k = 0; k <= n; k++)
            if (k != 1)
                row_of(m, m->one, k)[i] = (double)k * one[i];
    join(m, n);
}

static void
join_class(struct making *m, const struct fci_drawn_class *class,
           const struct fci_drawn_class *to)
{
    size_t k;

    for (k = 0; k <= class->n; k++)
        sample_curve(m, &class->of[k], to, row_of(m, m->one, k),
                     row_of(m, m->both, 0));
    join(m, class->n);
}

/* ---- One class ---------------------------------------------------------- */

/* Below that nothing flows behind it. */
static double
lowest(const struct making *m, size_t link)
{
    const struct fci_most_drawn *d = m->drawn;
    double low = INFINITY;
    size_t i;

    for (i = m->at->fixture_start[link]; i < m->at->fixture_start[link + 1];
         i++) {
        const struct fci_outlet_law *law =
            &d->network->outlets[m->at->fixtures[i]].beside[d->end];

        low = fmin(low, law->stop.lift + law->stop.constant);
    }
    for (i = m->at->link_start[link]; i < m->at->link_start[link + 1]; i++) {
        const struct fci_drawn_class *class =
            &d->classes[d->class_of[m->at->links[i]]];

        if (class->n > 0)
            low = fmin(low, class->of[0].before[0]);
    }
    return low;
}

static bool
make_curves(struct making *m, struct fci_drawn_class *class)
{
    const size_t nodes = m->drawn->cells + 1 + MORE_NODES;
    struct fci_arena *arena = fci_arena_of(m->drawn);
    double *room =
        fci_arena_array(arena, 4 * nodes * (class->n + 1), sizeof *room);
    size_t k;

    class->of = fci_arena_array(arena, class->n + 1, sizeof *class->of);
    for (k = 0; k <= class->n && room && class->of; k++) {
        struct fci_drawn_curve *c = &class->of[k];

        c->before = room + 4 * nodes * k;
        c->end = c->before + nodes;
        c->flow = c->end + nodes;
        c->above = c->flow + nodes;
    }
    return room && class->of;
}

/* Those behind it are made. */
static bool
make_class(struct making *m, size_t which)
{
    struct fci_most_drawn *d = m->drawn;
    struct fci_drawn_class *class = &d->classes[which];
    const size_t link = class->link;
    double low = lowest(m, link);
    size_t i;

    class->n = counted(d, m->behind[link]);
    if (isinf(low))
        low = 0;
    class->low = low;
    class->step = fmax(m->tops[which] - low, ROUNDING) / (double)d->cells;
    if (!make_curves(m, class))
        return false;
    m->n_sum = 0;
    for (i = 0; i <= d->cells; i++)
        m->sum[i] = d->network->draws[d->end][link];
    for (i = m->at->fixture_start[link]; i < m->at->fixture_start[link + 1];
         i++)
        join_valves(m, m->at->fixtures[i], class);
    for (i = m->at->link_start[link]; i < m->at->link_start[link + 1]; i++)
        join_class(m, &d->classes[d->class_of[m->at->links[i]]], class);
    for (i = 0; i <= class->n; i++)
        pass_curve(m, class, row_of(m, m->sum, i), &class->of[i]);
    return true;
}

/* ---- What is left ------------------------------------------------------- */

/* Without flow, with all inputs at their best. */
static void
find_tops(struct fci_most_drawn *d)
{
    const struct fci_network *network = d->network;
    size_t i;

    for (i = 0; i < network->n_links; i++) {
        const size_t parent = network->links[i].parent;
        const struct fci_tangent at = tangent_of(network, i, FCI_BEST, 0);
        const struct fci_tangent middle =
            tangent_of(network, i, FCI_NOMINAL, 0);
        const double in = parent == FCI_NONE ? 0 : d->top[parent];

        d->top[i] = ROUNDING
                    + fmax(fci_tangent_out(&at, in, 0),
                           fci_tangent_out(&middle, in, 0));
    }
}

/* With k valves open anywhere no more than the most flows anywhere. */
static void
find_left(struct fci_most_drawn *d)
{
    const struct fci_network *network = d->network;
    const size_t n = d->counted + 1;
    size_t i, k;

    d->bounds = d->end != FCI_BEST;
    for (i = 0; i < network->n_links && d->bounds; i++) {
        const size_t parent = network->links[i].parent;
        const size_t most = d->classes[d->class_of[i]].n;
        size_t near = 0;

        for (k = 0; k < n; k++) {
            const double in = parent == FCI_NONE ? 0 : d->left[parent * n + k];
            const double flow =
                fci_most_behind(d, i, k < most ? k : most, in, &near);
            const struct fci_tangent at = tangent_of(network, i, d->end, flow);

            d->left[i * n + k] = fci_tangent_out(&at, in, flow);
        }
    }
}

/* ---- The building ------------------------------------------------------- */

static bool
make_room(struct making *m)
{
    struct fci_most_drawn *d = m->drawn;
    const size_t n = d->network->n_links;
    const size_t rows = (d->counted + 2) * (d->cells + 1);
    struct fci_arena *arena = fci_arena_of(d);

    d->classes = fci_arena_array(arena, d->n_classes + 1, sizeof *d->classes);
    d->top = fci_arena_array(arena, n + 1, sizeof *d->top);
    d->left =
        fci_arena_array(arena, n * (d->counted + 1) + 1, sizeof *d->left);
    m->sum = fci_arena_array(&m->scratch, rows, sizeof *m->sum);
    m->one = fci_arena_array(&m->scratch, rows, sizeof *m->one);
    m->both = fci_arena_array(&m->scratch, rows, sizeof *m->both);
    m->slope = fci_arena_array(&m->scratch, d->cells + 1 + MORE_NODES,
                               sizeof *m->slope);
    m->tops = fci_arena_array(&m->scratch, d->n_classes + 1, sizeof *m->tops);
    m->behind = fci_arena_array(&m->scratch, n + 1, sizeof *m->behind);
    return !arena->failed && !m->scratch.failed;
}

static void
count_behind(struct making *m)
{
    const struct fci_network *network = m->drawn->network;
    size_t i, k;

    for (i = network->n_links; i-- > 0;) {
        for (k = m->at->fixture_start[i]; k < m->at->fixture_start[i + 1]; k++)
            m->behind[i] +=
                (size_t)network->site->fixtures[m->at->fixtures[k]].count;
        if (network->links[i].parent != FCI_NONE)
            m->behind[network->links[i].parent] += m->behind[i];
    }
}

/* As many as there is room for, FEWEST_CELLS at least. */
static size_t
cells_for(const struct fci_most_drawn *d, const struct fci_drawn_plan *plan)
{
    const size_t cells =
        MOST_NODES / (d->n_classes * (d->counted + 1)) + FEWEST_CELLS;

    return cells < plan->cells ? cells : plan->cells;
}

struct fci_most_drawn *
fci_most_drawn_new(const struct fci_network *network,
                   const struct fci_at_links *at,
                   const struct fci_repeats *repeats,
                   const struct fci_drawn_plan *plan)
{
    struct fci_most_drawn *d = fci_object_new(sizeof *d);
    struct making m = { .drawn = d, .at = at };
    bool made;
    size_t i;

    if (!d)
        return NULL;
    d->network = network;
    d->class_of = repeats->link;
    d->n_classes = repeats->n_links;
    d->end = plan->end;
    d->counted = plan->counted;
    d->cells = plan->cells;
    made = make_room(&m);
    if (made) {
        find_tops(d);
        count_behind(&m);
        for (i = 0; i < d->n_classes; i++) {
            d->classes[i].link = repeats->link_first[i];
            m.tops[i] = d->top[repeats->link_first[i]];
        }
        for (i = 0; i < network->n_links; i++)
            m.tops[d->class_of[i]] = fmax(m.tops[d->class_of[i]], d->top[i]);
        d->cells = cells_for(d, plan);
    }
    for (i = 0; made && i < d->n_classes; i++)
        made = make_class(&m, i);
    if (made)
        find_left(d);
    fci_arena_free(&m.scratch);
    if (!made) {
        fci_most_drawn_free(d);
        return NULL;
    }
    return d;
}

void
fci_most_drawn_free(struct fci_most_drawn *d)
{
    fci_object_free(d);
}

/* ---- Which -------------------------------------------------------------- */

/* The pressure at the end of a link while that is drawn behind it. */
static double
end_of(const struct fci_drawn_curve *c, double pressure)
{
    const size_t i = piece_of(c, pressure, 0);
    double part;

    if (i + 1 >= c->n || pressure <= c->before[0])
        return c->end[i];
    part = (pressure - c->before[i]) / (c->before[i + 1] - c->before[i]);
    return c->end[i] + part * (c->end[i + 1] - c->end[i]);
}

/* One thing that hangs at the end of a link: valves of a fixture, or a link.
 */
struct hanging {
    size_t fixture, link, n;
};

static size_t
n_hanging(const struct fci_at_links *at, size_t link)
{
    return at->fixture_start[link + 1] - at->fixture_start[link]
           + at->link_start[link + 1] - at->link_start[link];
}

static struct hanging
hanging_at(const struct fci_most_drawn *d, const struct fci_at_links *at,
           size_t link, size_t i)
{
    const size_t valves =
        at->fixture_start[link + 1] - at->fixture_start[link];
    struct hanging h = { FCI_NONE, FCI_NONE, 0 };

    if (i < valves) {
        h.fixture = at->fixtures[at->fixture_start[link] + i];
        h.n = counted(d, (size_t)d->network->site->fixtures[h.fixture].count);
    } else {
        h.link = at->links[at->link_start[link] + i - valves];
        h.n = d->classes[d->class_of[h.link]].n;
    }
    return h;
}

static double
hanging_draws(const struct fci_most_drawn *d, const struct hanging *h,
              size_t k, double pressure)
{
    size_t near = 0;

    return h->link == FCI_NONE
               ? (double)k
                     * fci_one_draws(
                         &d->network->outlets[h->fixture].beside[d->end],
                         pressure)
               : fci_most_behind(d, h->link, k, pressure, &near);
}

/* How k are shared out among what hangs there, for the most; `taken` of each
 * thing.  Each row of `most` is of one thing more. */
static void
share_out(const struct fci_most_drawn *d, const struct fci_at_links *at,
          size_t link, size_t k, double pressure, double *most, size_t *taken)
{
    const size_t n = n_hanging(at, link), row = k + 1;
    size_t i, j, a;

    for (j = 0; j <= k; j++)
        most[j] = j == 0 ? 0 : -INFINITY;
    for (i = 0; i < n; i++) {
        const struct hanging h = hanging_at(d, at, link, i);
        double *to = most + (i + 1) * row;

        for (j = 0; j <= k; j++)
            to[j] = -INFINITY;
        for (a = 0; a <= k && a <= h.n; a++) {
            const double draws = hanging_draws(d, &h, a, pressure);

            for (j = a; j <= k; j++)
                if (most[i * row + j - a] + draws > to[j]) {
                    to[j] = most[i * row + j - a] + draws;
                    taken[i * row + j] = a;
                }
        }
    }
}

bool
fci_most_chosen(const struct fci_most_drawn *d, const struct fci_at_links *at,
                size_t link, size_t k, double pressure,
                const struct fci_chooser *chooser)
{
    const size_t n = n_hanging(at, link), row = k + 1;
    const double end = end_of(&d->classes[d->class_of[link]].of[k], pressure);
    struct fci_arena arena = { 0 };
    double *most = fci_arena_array(&arena, (n + 1) * row, sizeof *most);
    size_t *taken = fci_arena_array(&arena, (n + 1) * row, sizeof *taken);
    bool done = most && taken;
    size_t i = n;

    if (done)
        share_out(d, at, link, k, end, most, taken);
    while (done && i-- > 0 && k > 0) {
        const struct hanging h = hanging_at(d, at, link, i);
        const size_t of = taken[i * row + k];

        if (of > 0 && h.link == FCI_NONE)
            chooser->add(chooser->to, h.fixture, of);
        else if (of > 0)
            done = fci_most_chosen(d, at, h.link, of, end, chooser);
        k -= of;
    }
    fci_arena_free(&arena);
    return done;
}
