/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/size/uniform.c -- sizes by the hand method of uniform friction loss.
 *
 * For each fixture, what the supply has over all that is not friction in pipes
 * to be sized, over the developed length of those pipes on its run.  The least
 * of these rates is the friction that every pipe may have over its length; the
 * smallest size within it and within the velocity limit is taken [E].
 * Fittings count for length only once sizes are known: the rate is found anew
 * until it no longer falls.
 *
 *   [E]  International Plumbing Code, Appendix E, International Code Council:
 *        permissible friction loss of the segments
 */
#include "size/uniform.h"
#include "check/judge.h"
#include "site/pipe_size.h"
#include "ground/ties.h"

#include <math.h>
#include <string.h>

/* On the way from the source to a node's outlet, in one state. */
struct run {
    struct fci_pressure left; /* without friction in what is to be sized */
    double length;            /* of what is to be sized [m] */
    double since;             /* of it behind what bounds `left` last */
};

struct work {
    const struct fci_size_problem *problem;
    struct fci_uniform *out;
    double *length; /* developed, of each node's pipe to be sized */
    struct run *runs;
};

static const struct fci_pipe *
pipe_of(const struct work *w, size_t node)
{
    const struct fci_element *element =
        &w->problem->site->elements[fci_node_element(w->problem, node)];

    return fci_is_to_choose(w->problem, element) ? element->pipe : NULL;
}

static const struct fci_size *
size_of(const struct work *w, size_t node, size_t choice)
{
    return w->problem->sizes[w->problem->first[node] + choice];
}

/* ---- The rate --------------------------------------------------------- */

static void
find_lengths(struct work *w, bool sized)
{
    size_t i;

    for (i = 1; i < w->problem->sizing.n_nodes; i++) {
        const struct fci_pipe *pipe = pipe_of(w, i);

        w->length[i] = pipe ? pipe->length.high : 0;
        if (pipe && sized)
            w->length[i] += fci_equivalent_length(
                pipe, size_of(w, i, w->out->choice[i])->nominal);
    }
}

static void
run_on(const struct work *w, size_t node, int s)
{
    const struct fci_sizing_node *v = &w->problem->nodes[node];
    const bool open = pipe_of(w, node) != NULL;
    struct run run = w->runs[v->parent];
    const bool stands = fci_pressure_of(run.left) - v->past[s] > v->most[s];
    const double taken =
        (stands ? v->past[s] : v->take[s])
        + (v->n_choices > 0 && !open ? v->choices[0].loss[s] : 0);

    run.left.direct -= taken;
    run.left.capped -= taken;
    run.length += w->length[node];
    run.since += w->length[node];
    if (!stands && v->most[s] < run.left.capped) {
        run.left.capped = v->most[s];
        run.since = 0;
    }
    w->runs[node] = run;
}

static void
take_rate(const struct work *w, size_t fixture, int s, double need,
          struct fci_uniform_run *best)
{
    const size_t node =
        w->problem->place[w->problem->site->fixtures[fixture].element];
    const struct run *run = &w->runs[node];
    const double spare[] = { run->left.direct - need,
                             run->left.capped - need };
    const double length[] = { run->length, run->since };
    int i;

    for (i = 0; i < 2; i++)
        if (length[i] > 0 && fci_is_less(spare[i] / length[i], best->rate))
            *best = (struct fci_uniform_run){ spare[i] / length[i], spare[i],
                                              length[i], fixture,
                                              w->problem->states[s] };
}

static struct fci_uniform_run
find_rate(const struct work *w)
{
    const struct fci_size_problem *problem = w->problem;
    struct fci_uniform_run best = { .rate = INFINITY };
    size_t i;
    int s;

    for (s = 0; s < problem->sizing.states; s++) {
        const struct run source = { { problem->sizing.available[s], INFINITY },
                                    0,
                                    0 };

        w->runs[0] = source;
        for (i = 1; i < problem->sizing.n_nodes; i++)
            run_on(w, i, s);
        for (i = 0; i < problem->site->n_fixtures; i++)
            take_rate(w, i, s, fci_fixture_need(problem, i, s), &best);
    }
    return best;
}

/* ---- The sizes -------------------------------------------------------- */

static bool
is_enough(const struct work *w, size_t node, size_t choice, double rate)
{
    const struct fci_sizing_choice *c =
        &w->problem->nodes[node].choices[choice];
    const double length =
        pipe_of(w, node)->length.high
        + fci_equivalent_length(pipe_of(w, node), c->nominal);
    int s;

    for (s = 0; s < w->problem->sizing.states; s++)
        if (isinf(c->loss[s]) || c->loss[s] > rate * length)
            return false;
    return true;
}

/* The smallest size that is enough and no smaller than what it feeds; false:
 * there is none. */
static bool
pick_size(const struct work *w, size_t node, double least, double rate)
{
    const struct fci_sizing_node *v = &w->problem->nodes[node];
    size_t k;

    for (k = 0; k < v->n_choices; k++)
        if (size_of(w, node, k) && v->choices[k].nominal >= least
            && is_enough(w, node, k, rate)) {
            w->out->choice[node] = k;
            return true;
        }
    w->out->lacking = node;
    return false;
}

/* From the leaves on, `feeds` being the largest size behind each node. */
static bool
pick_sizes(const struct work *w, double *feeds, double rate)
{
    size_t i;

    memset(feeds, 0, w->problem->sizing.n_nodes * sizeof *feeds);
    for (i = w->problem->sizing.n_nodes; i-- > 1;) {
        const struct fci_sizing_node *v = &w->problem->nodes[i];

        if (pipe_of(w, i)) {
            if (!pick_size(w, i, feeds[i], rate))
                return false;
            feeds[i] = v->choices[w->out->choice[i]].nominal;
        } else if (v->n_choices > 0)
            feeds[i] = 0; /* in place: what it feeds is no matter of its own */
        feeds[v->parent] = fmax(feeds[v->parent], feeds[i]);
    }
    return true;
}

/* The rate falls from round to round, and there are so many sizes only. */
static void
settle(struct work *w, double *feeds)
{
    struct fci_uniform_run run;

    find_lengths(w, false);
    w->out->run = find_rate(w);
    for (;;) {
        w->out->found = false;
        if (!(w->out->run.rate > 0) || !pick_sizes(w, feeds, w->out->run.rate))
            return;
        w->out->found = true;
        find_lengths(w, true);
        run = find_rate(w);
        if (!(run.rate < w->out->run.rate))
            return;
        w->out->run = run;
    }
}

fc_status
fci_uniform_make(struct fci_uniform *uniform,
                 const struct fci_size_problem *problem)
{
    const size_t n = problem->sizing.n_nodes;
    struct fci_arena *arena = &uniform->arena;
    struct work w = { .problem = problem, .out = uniform };
    double *feeds;

    memset(uniform, 0, sizeof *uniform);
    w.length = fci_arena_array(arena, n, sizeof *w.length);
    w.runs = fci_arena_array(arena, n, sizeof *w.runs);
    feeds = fci_arena_array(arena, n, sizeof *feeds);
    uniform->choice = fci_arena_array(arena, n, sizeof *uniform->choice);
    if (arena->failed)
        return FC_ENOMEM;
    settle(&w, feeds);
    return FC_OK;
}
