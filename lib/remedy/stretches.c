/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/stretches.c -- stretches of the way to a fixture that a second
 * pipe could run beside. */
#include "remedy/stretches.h"
#include "ground/ties.h"

#include <stdlib.h>

/* ---- Stretches -------------------------------------------------------- */

size_t
fci_way_at(const struct fci_way *r, size_t place)
{
    return r->at[place - 1];
}

/* Something else is fed by the pipes that it runs beside. */
static bool
is_shared(const struct fci_way *r, const struct fci_stretch *s)
{
    const fc_site *site = r->c->site;
    const struct fci_demand *demand = r->c->judge.demand[r->c->state];
    const size_t first = fci_way_at(r, s->from - 1);
    const struct fci_fixture *fixture = &site->fixtures[r->fixture];
    const double moved =
        s->moved > 0 ? demand[fci_way_at(r, s->moved)].flow[FCI_WORST]
                     : fci_fixture_flow(site, fixture, r->c->state).high;

    return fci_is_less(moved, demand[first].flow[FCI_WORST]);
}

/* What is moved may be the end of a stretch whose pipes, one after another,
 * lead up to `from`. */
static void
take_stretches(struct fci_way *r, size_t moved)
{
    const fc_site *site = r->c->site;
    double length = 0;
    size_t beside;

    for (beside = moved + 1; beside < r->n; beside++) {
        const struct fci_pipe *pipe =
            site->elements[fci_way_at(r, beside)].pipe;
        struct fci_stretch s = { moved, beside + 1, 0 };

        if (!pipe)
            break;
        length += pipe->given->length.nominal;
        s.length = length;
        if (is_shared(r, &s))
            r->stretches[r->n_stretches++] = s;
    }
}

static int
by_length(const void *a, const void *b)
{
    const struct fci_stretch *x = a, *y = b;
    const double p = fci_coarse(x->length), q = fci_coarse(y->length);

    if (p != q)
        return (p > q) - (p < q);
    return x->moved != y->moved ? (x->moved > y->moved) - (x->moved < y->moved)
                                : (x->from > y->from) - (x->from < y->from);
}

bool
fci_way_make(struct fci_way *r, const struct fci_cures *c, size_t fixture)
{
    const fc_site *site = c->site;
    size_t at = site->fixtures[fixture].element, i;

    *r = (struct fci_way){ .c = c, .fixture = fixture };
    r->at = fci_arena_array(r->c->arena, site->n_elements, sizeof *r->at);
    if (!r->at)
        return false;
    for (; at != FCI_NONE; at = site->elements[at].parent)
        r->at[r->n++] = at;
    i = r->n < FCI_MOST_ON_WAY ? r->n : FCI_MOST_ON_WAY;
    r->stretches =
        fci_arena_array(r->c->arena, i * r->n + 1, sizeof *r->stretches);
    if (!r->stretches)
        return false;
    while (i-- > 0)
        take_stretches(r, i);
    qsort(r->stretches, r->n_stretches, sizeof *r->stretches, by_length);
    return true;
}

/* ---- Turning ---------------------------------------------------------- */

static fc_range
plus(fc_range a, fc_range b)
{
    if (!b.given)
        return a;
    return fc_between(a.low + b.low, a.high + b.high);
}

/* By a pipe further on.  One that ends at a given elevation does so whatever
 * was before it. */
static void
extend(struct fci_feed *feed, const fc_pipe *given)
{
    feed->length = plus(feed->length, given->length);
    if (given->elevation.given) {
        feed->elevation = given->elevation;
        feed->floor = given->floor;
    } else if (feed->elevation.given)
        feed->elevation = plus(feed->elevation, given->rise);
    else
        feed->rise = plus(feed->rise, given->rise);
}

bool
fci_way_feed(const struct fci_way *r, const struct fci_stretch *s,
             struct fci_feed *feed)
{
    const fc_site *site = r->c->site;
    const struct fci_part **moved =
        fci_arena_array(r->c->arena, 1, sizeof *moved);
    size_t i;

    *feed = (struct fci_feed){ .name = fci_feed_name(r->c, 0),
                               .from = fci_way_at(r, s->from),
                               .like = fci_way_at(r, s->from - 1),
                               .length = fc_exactly(0),
                               .rise = fc_exactly(0),
                               .moved = moved,
                               .n_moved = 1 };
    for (i = s->from - 1; i > s->moved; i--)
        extend(feed, fci_given(site, site->elements[fci_way_at(r, i)].part));
    if (!moved || !feed->name)
        return false;
    moved[0] = s->moved > 0 ? site->elements[fci_way_at(r, s->moved)].part
                            : site->fixtures[r->fixture].part;
    return true;
}

const char *
fci_way_beside(const struct fci_way *r, const struct fci_stretch *s)
{
    const char **names = fci_arena_array(r->c->arena, r->n, sizeof *names);
    size_t i, n = 0;

    for (i = s->from - 1; names && i > s->moved; i--)
        names[n++] = r->c->site->elements[fci_way_at(r, i)].name;
    return names ? fci_join_names(r->c, names, n) : NULL;
}

fc_status
fci_way_gain(const struct fci_way *r, const struct fci_change_list *list,
             double *gain)
{
    const struct fci_cures *c = r->c;
    const fc_status status = fci_cure_flowing(c, list, r->fixture, gain);

    *gain -= c->check->fixtures[r->fixture].states[c->state].flowing.low;
    return status;
}

double
fci_way_climb(const struct fci_way *r, const struct fci_stretch *s)
{
    double climb = 0;
    size_t i;

    for (i = s->moved + 1; i < s->from; i++)
        climb += r->c->site->elements[fci_way_at(r, i)].rise.nominal;
    return climb;
}
