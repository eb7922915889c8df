/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/worst_set.c -- whether any so many valves leave a fixture less than
 * some pressure, and which do.
 *
 * Give the fixture that pressure and follow its way to the source.  At each
 * place the pressure is known, so that what joins there is a flow, of so many
 * valves behind it the most (flow/most_drawn.h); and so the flow and the
 * pressure that the next link asks for at its inlet.  Some set leaves the
 * fixture less just where it asks the source for more than that has: with
 * more flow there is less pressure everywhere.
 */
#include "flow/worst_set.h"
#include "flow/worst_pairs.h"
#include "ground/memory.h"

#include <stdlib.h>
#include <string.h>

/* One thing that joins the way. */
struct stage {
    size_t fixture, link; /* one of them is FCI_NONE */
    size_t first;         /* of its pairs in the pool */
};

struct fci_worst {
    const struct fci_network *network;
    const struct fci_at_links *at;
    const struct fci_most_drawn *drawn;
    struct fci_worst_question question;
    size_t work; /* pairs that may still be looked at */

    struct fci_worst_pair *pool;
    size_t n_pool, room;
    struct stage *stages; /* one more than there are fixtures and links */
    size_t n_stages;
    size_t *start; /* of the last stage: pairs of each number, and its end */
    struct fci_worst_pair *lists; /* room to make those of the next one */
    struct fci_worst_pairs *making;
    size_t n_numbers, n_room; /* of `start` and `making`; of `lists` */
};

/* ---- Memory ------------------------------------------------------------- */

struct fci_worst *
fci_worst_new(const struct fci_network *network, const struct fci_at_links *at)
{
    struct fci_worst *w = fci_object_new(sizeof *w);

    if (!w)
        return NULL;
    w->network = network;
    w->at = at;
    w->stages = fci_arena_array(
        fci_arena_of(w), network->n_links + network->site->n_fixtures + 2,
        sizeof *w->stages);
    if (w->stages)
        return w;
    fci_worst_free(w);
    return NULL;
}

void
fci_worst_free(struct fci_worst *w)
{
    if (!w)
        return;
    free(w->pool);
    free(w->start);
    free(w->making);
    free(w->lists);
    fci_object_free(w);
}

static bool
make_numbers(struct fci_worst *w, size_t numbers)
{
    size_t *start;
    struct fci_worst_pairs *making;

    if (w->n_numbers >= numbers)
        return true;
    start = realloc(w->start, (numbers + 1) * sizeof *start);
    if (!start)
        return false;
    w->start = start;
    making = realloc(w->making, numbers * sizeof *making);
    if (!making)
        return false;
    w->making = making;
    w->n_numbers = numbers;
    return true;
}

static bool
make_room(struct fci_worst *w)
{
    const size_t numbers = w->question.others + 1;
    const size_t pairs = numbers * (w->question.pairs + 1);
    struct fci_worst_pair *lists;
    size_t k;

    if (!make_numbers(w, numbers))
        return false;
    if (w->n_room < pairs) {
        lists = realloc(w->lists, pairs * sizeof *lists);
        if (!lists)
            return false;
        w->lists = lists;
        w->n_room = pairs;
    }
    for (k = 0; k < numbers; k++)
        w->making[k] =
            (struct fci_worst_pairs){ w->lists + k * (w->question.pairs + 1),
                                      0 };
    return true;
}

/* ---- Pairs -------------------------------------------------------------- */

/* What was made becomes the pairs of the last stage, from `first` on. */
static bool
keep_made(struct fci_worst *w, size_t first)
{
    const size_t numbers = w->question.others + 1;
    size_t k, n = 0;

    for (k = 0; k < numbers; k++)
        n += w->making[k].n;
    if (first + n > w->room) {
        const size_t room = 2 * (first + n);
        struct fci_worst_pair *pool = realloc(w->pool, room * sizeof *pool);

        if (!pool)
            return false;
        w->pool = pool;
        w->room = room;
    }
    w->n_pool = first;
    for (k = 0; k < numbers; k++) {
        w->start[k] = w->n_pool;
        if (w->making[k].n > 0)
            memcpy(w->pool + w->n_pool, w->making[k].of,
                   w->making[k].n * sizeof *w->pool);
        w->n_pool += w->making[k].n;
        w->making[k].n = 0;
    }
    w->start[numbers] = w->n_pool;
    return true;
}

/* ---- Along the way ------------------------------------------------------ */

/* Something that joins, with so many valves. */
struct joining {
    size_t fixture, link, n;
    const struct fci_outlet_law *law; /* of the fixture */
};

/* Returns how many pairs that made. */
static size_t
join_pair(struct fci_worst *w, const struct joining *j, size_t k, size_t from)
{
    const struct fci_worst_pair *old = &w->pool[from];
    const double one = j->law ? fci_one_draws(j->law, old->pressure) : 0;
    size_t more, near = 0;

    for (more = 0; more <= j->n && k + more <= w->question.others; more++) {
        struct fci_worst_pair pair = { old->pressure, old->flow, from, more };

        if (isinf(old->pressure) && more > 0)
            break; /* that is starved already */
        if (j->law)
            pair.flow += (double)more * one;
        else if (!isinf(old->pressure))
            pair.flow +=
                fci_most_behind(w->drawn, j->link, more, old->pressure, &near);
        fci_worst_pairs_put(&w->making[k + more], &pair, w->question.pairs);
    }
    return more;
}

static bool
join(struct fci_worst *w, const struct joining *j)
{
    size_t k, i, work = 0;

    for (k = 0; k <= w->question.others && work < w->work; k++)
        for (i = w->start[k]; i < w->start[k + 1] && work < w->work; i++)
            work += join_pair(w, j, k, i);
    w->work -= work < w->work ? work : w->work;
    w->stages[w->n_stages++] =
        (struct stage){ j->fixture, j->link, w->n_pool };
    return keep_made(w, w->n_pool);
}

/* All that hangs at the end of a link but what the way comes from. */
static bool
join_all(struct fci_worst *w, size_t link, size_t from)
{
    const struct fci_network *network = w->network;
    const struct fci_at_links *at = w->at;
    size_t i;

    for (i = at->fixture_start[link]; i < at->fixture_start[link + 1]; i++) {
        const size_t fixture = at->fixtures[i];
        const struct fci_outlet *outlet = &network->outlets[fixture];
        const bool own = fixture == w->question.fixture;
        const struct joining j = {
            fixture, FCI_NONE,
            (size_t)(network->site->fixtures[fixture].count - own),
            own ? &outlet->law[w->drawn->end] : &outlet->beside[w->drawn->end]
        };

        if (j.n > 0 && !join(w, &j))
            return false;
    }
    for (i = at->link_start[link]; i < at->link_start[link + 1]; i++) {
        const struct joining j = {
            FCI_NONE, at->links[i],
            w->drawn->classes[w->drawn->class_of[at->links[i]]].n, NULL
        };

        if (at->links[i] != from && !join(w, &j))
            return false;
    }
    return true;
}

/* Whether a pair is past all doubt: whatever is open, so much is there. */
static bool
is_there(const struct fci_worst *w, size_t link, double pressure)
{
    const struct fci_most_drawn *d = w->drawn;

    return d->bounds
           && pressure
                  <= d->left[link * (d->counted + 1) + w->question.others + 1];
}

/* From the end of a link to its inlet. */
static bool
pass(struct fci_worst *w, size_t link)
{
    const double draws = w->network->draws[w->drawn->end][link];
    const size_t first = w->start[0];
    size_t k, i;

    for (k = 0; k <= w->question.others; k++)
        for (i = w->start[k]; i < w->start[k + 1]; i++) {
            struct fci_worst_pair pair = w->pool[i];

            if (is_there(w, link, pair.pressure))
                continue;
            if (pair.pressure > w->drawn->top[link])
                pair.pressure = INFINITY;
            if (!isinf(pair.pressure)) {
                pair.flow += draws;
                pair.pressure = fci_link_asks(w->network, link, w->drawn->end,
                                              pair.pressure, pair.flow);
            }
            fci_worst_pairs_put(&w->making[k], &pair, w->question.pairs);
        }
    return keep_made(w, first);
}

/* What its own valve asks for at the end of its link. */
static struct fci_worst_pair
own_pair(const struct fci_worst *w)
{
    const struct fci_outlet_law *law =
        &w->network->outlets[w->question.fixture].law[w->drawn->end];
    const double pressure = w->question.pressure;
    const double flow = fmin(sqrt(fmax(pressure, 0) / law->need), law->most);

    return (struct fci_worst_pair){ pressure + law->stop.lift
                                        + law->stop.constant
                                        + law->stop.square * flow * flow,
                                    flow, 0, 0 };
}

bool
fci_worst_ask(struct fci_worst *w, const struct fci_most_drawn *drawn,
              const struct fci_worst_question *question, size_t *work)
{
    const struct fci_network *network = w->network;
    size_t link = network->outlets[question->fixture].link, from = FCI_NONE;
    struct fci_worst_pair own;

    w->drawn = drawn;
    w->question = *question;
    w->n_stages = 0;
    if (!make_room(w))
        return false;
    own = own_pair(w);
    fci_worst_pairs_put(&w->making[0], &own, question->pairs);
    if (!keep_made(w, 0))
        return false;
    w->work = *work;
    for (; link != FCI_NONE && w->work > 0;
         link = network->links[link].parent) {
        if (!join_all(w, link, from) || !pass(w, link))
            return false;
        from = link;
    }
    *work = w->work;
    return true;
}

/* ---- The answer --------------------------------------------------------- */

/* The pair that asks for the most with up to so many others; FCI_NONE: there
 * is none.  The source's inlet has nothing. */
static size_t
most_asking(const struct fci_worst *w, size_t others)
{
    size_t k, best = FCI_NONE;

    for (k = 0; k <= others; k++)
        if (w->start[k] < w->start[k + 1]
            && (best == FCI_NONE
                || w->pool[w->start[k]].pressure > w->pool[best].pressure))
            best = w->start[k];
    return best;
}

double
fci_worst_asked(const struct fci_worst *w, size_t others)
{
    const size_t best = most_asking(w, others);

    return best == FCI_NONE ? -INFINITY : w->pool[best].pressure;
}

struct set {
    struct fci_open *open;
    size_t n;
};

static void
add_open(void *to, size_t fixture, size_t count)
{
    struct set *set = to;

    if (fixture == set->open[0].fixture)
        set->open[0].count += (int)count;
    else
        set->open[set->n++] =
            (struct fci_open){ .fixture = fixture, .count = (int)count };
}

bool
fci_worst_set(const struct fci_worst *w, size_t others, struct fci_open *open,
              size_t *n)
{
    struct set set = { open, 1 };
    const struct fci_chooser chooser = { add_open, &set };
    size_t at = most_asking(w, others), i = w->n_stages;

    open[0] = (struct fci_open){ .fixture = w->question.fixture, .count = 1 };
    while (at != FCI_NONE && i-- > 0) {
        const struct fci_worst_pair *pair = &w->pool[at];
        const struct stage *stage = &w->stages[i];

        if (pair->taken > 0 && stage->link == FCI_NONE)
            add_open(&set, stage->fixture, pair->taken);
        else if (pair->taken > 0
                 && !fci_most_chosen(w->drawn, w->at, stage->link, pair->taken,
                                     w->pool[pair->from].pressure, &chooser))
            return false;
        at = pair->from;
    }
    *n = set.n;
    return true;
}
