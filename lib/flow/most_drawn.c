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
 *   [BCOQ92]  F. Baccelli, G. Cohen, G. J. Olsder, J.-P. Quadrat,
 *             Synchronization and Linearity (1992) (from memory)
 */
#include "flow/most_drawn.h"
#include "ground/memory.h"
#include "ground/ties.h"

#include <string.h>

/* All curves together have no more nodes than about that, */
#define MOST_NODES 500000
/* unless there are so many. */
#define FEWEST_CELLS 16

/* Rounding of a pressure [Pa]. */
#define ROUNDING 1.0

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

double
fci_most_behind(const struct fci_most_drawn *d, size_t link, size_t k,
                double pressure, size_t *near)
{
    return fci_drawn_at(&d->classes[d->class_of[link]].of[k], pressure, near);
}

/* ---- What joins at the end of a link ------------------------------------ */

static double *
row_of(const struct making *m, double *rows, size_t k)
{
    return rows + k * (m->drawn->cells + 1);
}

/* `one`, with up to n of them, to the sum. */
static void
join(struct making *m, size_t n)
{
    const size_t total = fci_counted(m->drawn, m->n_sum + n);
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
                to[i] = first ? a[i] + b[i] : fci_larger(to[i], a[i] + b[i]);
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
        fci_counted(m->drawn, (size_t)network->site->fixtures[fixture].count);
    double *one = row_of(m, m->one, 1);
    size_t k, i;

    fci_drawn_by_valve(&network->outlets[fixture].beside[m->drawn->end],
                       &to->nodes, one, row_of(m, m->one, 0));
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
        fci_drawn_by_curve(&class->of[k], &to->nodes, row_of(m, m->one, k),
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
    const size_t nodes = m->drawn->cells + 1 + FCI_MORE_NODES;
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
    const struct fci_passing passing = { d->network, link,
                                         fci_other_end(d->end), m->slope };
    double low = lowest(m, link);
    size_t i;

    class->n = fci_counted(d, m->behind[link]);
    if (isinf(low))
        low = 0;
    class->nodes = (struct fci_nodes){
        low, fmax(m->tops[which] - low, ROUNDING) / (double)d->cells, d->cells
    };
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
        fci_drawn_pass(&class->of[i], &passing, &class->nodes,
                       row_of(m, m->sum, i));
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
        const struct fci_tangent at =
            fci_link_tangent(network, i, FCI_BEST, 0);
        const struct fci_tangent middle =
            fci_link_tangent(network, i, FCI_NOMINAL, 0);
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
            const struct fci_tangent at =
                fci_link_tangent(network, i, d->end, flow);

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
    m->slope = fci_arena_array(&m->scratch, d->cells + 1 + FCI_MORE_NODES,
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
