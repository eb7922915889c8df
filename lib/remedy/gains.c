/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/gains.c -- what each way to put in new pipe gains the fixture
 * that governs, for its length.
 *
 * At peak, as check has it; and while the valves flush together that starve
 * it, which is solved with loops too: fixture units add up along branches
 * alone, so that what a loop gains at peak nobody can tell by them.
 */
#include "remedy/stretches.h"
#include "ground/ties.h"
#include "site/tree.h"
#include "size/cost.h"

#include <gsl/gsl_const_mksa.h>
#include <math.h>
#include <stdlib.h>

/* Ends no further above or below each other are joined: 5 ft (common
 * practice); and so many of them, the nearest. */
#define SAME_FLOOR (5 * GSL_CONST_MKSA_FOOT)
#define MOST_LOOPS 3u

struct comparing {
    const struct fci_cures *c;
    struct fci_way way;
    struct fci_gains *gains;
    size_t room;
    const fc_flushing *set; /* what flushes together, of n_set; */
    size_t n_set;
    struct fci_costs costs;
    double before; /* its pressure then, as it is; NAN: not known [Pa] */
};

#define WORD_LIST(X)                                                          \
    X(FC_LARGER_PIPE, "larger")                                               \
    X(FC_SECOND_PIPE, "second")                                               \
    X(FC_LOOP, "loop")

const char *
fc_pipe_way_word(fc_pipe_way way)
{
    static const struct {
        fc_pipe_way way;
        const char *word;
    } words[] = {
#define WORD(way, word) { way, word },
        WORD_LIST(WORD)
#undef WORD
    };
    size_t i;

    for (i = 0; i < sizeof words / sizeof *words; i++)
        if (words[i].way == way)
            return words[i].word;
    return NULL;
}

/* ---- Together --------------------------------------------------------- */

/* What the fixture has while the valves flush together, on the site. */
static fc_status
pressure_together(const struct comparing *g, const fc_site *site,
                  double *pressure)
{
    fc_flush_result *result = NULL;
    const fc_status status =
        fc_flush(site, g->c->state, g->set, g->n_set, &result, g->c->messages);

    *pressure = NAN;
    if (status == FC_OK)
        *pressure = result->fixtures[g->way.fixture].pressure.nominal;
    fc_flush_result_free(result);
    /* one that does not settle is not told */
    return status == FC_ENOCONV || status == FC_EINPUT ? FC_OK : status;
}

static fc_status
find_together(struct comparing *g)
{
    const fc_ladder *ladder =
        &g->c->check->fixtures[g->way.fixture].states[g->c->state].ladder;
    size_t i;

    g->before = NAN;
    if (!ladder->given || ladder->n_first == 0)
        return FC_OK;
    g->set = ladder->first;
    g->n_set = ladder->n_first;
    for (i = 0; i < g->n_set; i++)
        g->gains->together += g->set[i].count;
    return pressure_together(g, g->c->site, &g->before);
}

/* ---- One way ---------------------------------------------------------- */

/* Whether nothing is gained, or nothing is known. */
static bool
is_in_vain(const fc_pipe_gain *gain)
{
    return !(gain->gain > FCI_SAME_PRESSURE)
           && !(gain->together > FCI_SAME_PRESSURE);
}

/* Takes over the changes. */
static fc_status
compare(struct comparing *g, fc_pipe_gain gain, struct fci_change_list *list)
{
    fc_site *site = NULL;
    double after = NAN;
    fc_status status = gain.where ? FC_OK : FC_ENOMEM;

    gain.gain = NAN;
    if (status == FC_OK && gain.way != FC_LOOP)
        status = fci_way_gain(&g->way, list, &gain.gain);
    if (status == FC_OK && !isnan(g->before)) {
        status = fci_site_changed(g->c->site, list->changes, list->n, &site,
                                  g->c->messages);
        if (status == FC_OK)
            status = pressure_together(g, site, &after);
    }
    gain.together = after - g->before;
    if (status == FC_OK && !is_in_vain(&gain) && g->gains->n < g->room)
        g->gains->list[g->gains->n++] = gain;
    fc_site_free(site);
    fci_change_list_free(list);
    return status;
}

/* The next size of its material that is to be had; NULL: there is none. */
static const struct fci_size *
next_size(const struct comparing *g, const struct fci_pipe *pipe)
{
    size_t i;

    for (i = 0; pipe->size && i < pipe->material->n_sizes; i++) {
        const struct fci_size *size = &pipe->material->sizes[i];

        if (fci_is_less(pipe->size->nominal, size->nominal)
            && fci_cost_at(&g->costs, pipe, size) < INFINITY)
            return size;
    }
    return NULL;
}

static fc_status
try_larger(struct comparing *g, size_t place)
{
    const struct fci_element *e =
        &g->c->site->elements[fci_way_at(&g->way, place)];
    const struct fci_size *size = e->pipe ? next_size(g, e->pipe) : NULL;
    struct fci_change_list list = { 0 };
    const char *c;

    if (!size)
        return FC_OK;
    c = fci_c_put_in(g->c->site, e->pipe, e->pipe->material);
    if (!fci_change_add(&list, FCI_PIPE, e->name, "size", size->label)
        || !fci_change_add(&list, FCI_PIPE, e->name, "c", c)
        || !fci_change_add(&list, FCI_PIPE, e->name, "inside diameter",
                           NULL)) {
        fci_change_list_free(&list);
        return FC_ENOMEM;
    }
    return compare(g,
                   (fc_pipe_gain){ .way = FC_LARGER_PIPE,
                                   .where = e->name,
                                   .size = size->label,
                                   .length = e->pipe->given->length.nominal },
                   &list);
}

static fc_status
try_second(struct comparing *g, const struct fci_stretch *s)
{
    const struct fci_cures *c = g->c;
    const char *beside = fci_way_beside(&g->way, s);
    struct fci_change_list list = { 0 };
    const struct fci_pipe *like;
    struct fci_feed feed;

    if (!beside || !fci_way_feed(&g->way, s, &feed)
        || !fci_feed_anew(c, &feed, &list)) {
        fci_change_list_free(&list);
        return FC_ENOMEM;
    }
    like = c->site->elements[feed.like].pipe;
    return compare(g,
                   (fc_pipe_gain){
                       .way = FC_SECOND_PIPE,
                       .where = fci_arena_printf(c->arena, "beside %s, for %s",
                                                 beside, feed.moved[0]->name),
                       .size = like->size ? like->size->label : NULL,
                       .length = feed.length.nominal },
                   &list);
}

/* ---- Loops ------------------------------------------------------------ */

struct other_end {
    size_t at;
    double length;
};

static int
nearest(const void *a, const void *b)
{
    const struct other_end *x = a, *y = b;
    const double p = fci_coarse(x->length), q = fci_coarse(y->length);

    return p != q ? (p > q) - (p < q) : (x->at > y->at) - (x->at < y->at);
}

/* The length of the pipes up to an element that is upstream; INFINITY: it is
 * of another zone. */
static double
length_to(const fc_site *site, size_t at, size_t upstream)
{
    double length = 0;

    for (; at != upstream; at = site->elements[at].parent) {
        if (fci_parts_zones(&site->elements[at]))
            return INFINITY;
        if (site->elements[at].pipe)
            length += site->elements[at].pipe->given->length.nominal;
    }
    return length;
}

/* The ends of other branches at that height; false when out of memory. */
static bool
find_ends(const struct comparing *g, struct other_end **ends, size_t *n)
{
    const fc_site *site = g->c->site;
    struct fci_arena *arena = g->c->arena;
    const size_t here = fci_way_at(&g->way, 1);
    struct fci_tree tree;
    double *height = fci_arena_array(arena, site->n_elements, sizeof *height);
    size_t i;

    *ends = fci_arena_array(arena, site->n_elements, sizeof **ends);
    *n = 0;
    if (!height || !*ends || !fci_tree_make(&tree, site, arena))
        return false;
    fci_heights(site, height);
    for (i = 0; i < site->n_elements; i++) {
        const size_t meeting = fci_tree_meeting(&tree, here, i);
        struct other_end end = { i, 0 };

        if (tree.size[i] > 1 || i == here || meeting == FCI_NONE
            || fabs(height[i] - height[here]) > SAME_FLOOR)
            continue;
        end.length =
            fmax(length_to(site, here, meeting) + length_to(site, i, meeting),
                 fabs(height[i] - height[here]));
        if (end.length > 0 && end.length < INFINITY)
            (*ends)[(*n)++] = end;
    }
    qsort(*ends, *n, sizeof **ends, nearest);
    return true;
}

/* As large as the pipe at the end that governs. */
static fc_status
try_loop(struct comparing *g, const struct other_end *end)
{
    const struct fci_cures *c = g->c;
    const fc_site *site = c->site;
    const size_t here = fci_way_at(&g->way, 1);
    const struct fci_pipe *like = site->elements[here].pipe;
    struct fci_feed feed = { .name = fci_feed_name(c, 0),
                             .from = here,
                             .like = here,
                             .length = fc_exactly(end->length) };
    struct fci_change_list list = { 0 };

    if (!feed.name || !fci_feed_anew(c, &feed, &list)
        || !fci_change_add(&list, FCI_PIPE, feed.name, "to",
                           site->elements[end->at].name)) {
        fci_change_list_free(&list);
        return FC_ENOMEM;
    }
    return compare(g,
                   (fc_pipe_gain){
                       .way = FC_LOOP,
                       .where = fci_arena_printf(c->arena, "%s to %s",
                                                 site->elements[here].name,
                                                 site->elements[end->at].name),
                       .size = like->size ? like->size->label : NULL,
                       .length = end->length },
                   &list);
}

static fc_status
try_loops(struct comparing *g)
{
    struct other_end *ends;
    fc_status status = FC_OK;
    size_t i, n;

    if (isnan(g->before) || !g->c->site->elements[fci_way_at(&g->way, 1)].pipe)
        return FC_OK;
    if (!find_ends(g, &ends, &n))
        return FC_ENOMEM;
    for (i = 0; status == FC_OK && i < n && i < MOST_LOOPS; i++)
        status = try_loop(g, &ends[i]);
    return status;
}

/* ---- All -------------------------------------------------------------- */

/* The one measure that all have, where it is known. */
static double
for_its_length(const fc_pipe_gain *gain)
{
    return fci_coarse((isnan(gain->together) ? gain->gain : gain->together)
                      / gain->length);
}

static int
most_first(const void *a, const void *b)
{
    const double x = for_its_length(a), y = for_its_length(b);

    return (x < y) - (x > y);
}

/* The stretch with most for its length; the others are not told. */
static fc_status
find_second(const struct comparing *g, const struct fci_stretch **best)
{
    const struct fci_way *way = &g->way;
    fc_status status = FC_OK;
    double most = 0;
    size_t i;

    *best = NULL;
    for (i = 0; status == FC_OK && i < way->n_stretches; i++) {
        const struct fci_stretch *s = &way->stretches[i];
        struct fci_change_list list = { 0 };
        struct fci_feed feed;
        double gain = 0;

        status =
            fci_way_feed(way, s, &feed) && fci_feed_anew(g->c, &feed, &list)
                ? FC_OK
                : FC_ENOMEM;
        if (status == FC_OK)
            status = fci_way_gain(way, &list, &gain);
        fci_change_list_free(&list);
        if (status == FC_OK && fci_is_less(most, gain / s->length)) {
            most = gain / s->length;
            *best = s;
        }
    }
    return status;
}

fc_status
fci_pipe_gains(const struct fci_cures *c, struct fci_gains *gains)
{
    struct comparing g = { .c = c, .gains = gains };
    const struct fci_stretch *second;
    fc_status status;
    size_t i;

    *gains = (struct fci_gains){ .fixture = fci_cure_governing(c) };
    if (gains->fixture == FCI_NONE)
        return FC_OK;
    if (!fci_way_make(&g.way, c, gains->fixture))
        return FC_ENOMEM;
    g.room = g.way.n + 1 + MOST_LOOPS;
    gains->list = fci_arena_array(c->arena, g.room, sizeof *gains->list);
    if (!gains->list)
        return FC_ENOMEM;
    status = fci_costs_make(&g.costs, c->site, c->arena, c->messages);
    if (status == FC_OK)
        status = find_together(&g);
    for (i = 1; status == FC_OK && i <= g.way.n && i <= FCI_MOST_ON_WAY; i++)
        status = try_larger(&g, i);
    if (status == FC_OK)
        status = find_second(&g, &second);
    if (status == FC_OK && second)
        status = try_second(&g, second);
    if (status == FC_OK)
        status = try_loops(&g);
    if (status == FC_OK)
        qsort(gains->list, gains->n, sizeof *gains->list, most_first);
    return status;
}
