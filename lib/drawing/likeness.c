/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/likeness.c -- which parts of a building are alike; see
 * likeness.h.
 *
 *   [V03]  S. Vigna's splitmix64 (2015), its constants (from memory): mixes 64
 *          bits so that sums of what was mixed hardly ever meet
 */
#include "drawing/likeness.h"

#include "drawing/fold.h"

#include <math.h>
#include <stdlib.h>

/* ---- Mixing ----------------------------------------------------------- */

static uint64_t
mix(uint64_t h, uint64_t x) /* [V03] */
{
    x += h * 0x9e3779b97f4a7c15u + 0x9e3779b97f4a7c15u;
    x = (x ^ x >> 30) * 0xbf58476d1ce4e5b9u;
    x = (x ^ x >> 27) * 0x94d049bb133111ebu;
    return x ^ x >> 31;
}

/* To a millionth, so that 11 ft and 3.3528 m are alike. */
static uint64_t
mix_figure(uint64_t h, double x)
{
    return mix(h, (uint64_t)(int64_t)llround(
                      fmin(fmax(isnan(x) ? -1 : x, -1e9), 1e9) * 1e6));
}

static uint64_t
mix_range(uint64_t h, fc_range x)
{
    h = mix(h, x.given);
    return mix_figure(mix_figure(h, x.low), x.high);
}

static uint64_t
mix_text(uint64_t h, const char *text)
{
    for (; text && *text; text++)
        h = mix(h, (unsigned char)*text);
    return mix(h, text != NULL);
}

static uint64_t
mix_points(uint64_t h, const fc_point *points, size_t n)
{
    size_t i;

    for (i = 0; i < n; i++)
        h = mix_figure(mix_figure(h, points[i].x), points[i].y);
    return mix(h, n);
}

static uint64_t
mix_loss(uint64_t h, const fc_loss *loss)
{
    h = mix_range(mix_range(mix(h, loss->kind), loss->pressure), loss->flow);
    return mix_points(h, loss->points, loss->n_points);
}

/* ---- Each by itself --------------------------------------------------- */

static uint64_t
of_pipe(uint64_t h, const struct fci_pipe *pipe)
{
    h = mix_range(mix_range(mix_range(h, pipe->bore), pipe->length), pipe->c);
    h = mix_text(h, pipe->material ? pipe->material->head.name : NULL);
    h = mix_text(h, pipe->size ? pipe->size->label : NULL);
    return mix_figure(h, pipe->equivalent);
}

static uint64_t
of_element(const struct fci_element *element)
{
    const void *data = element->part->data;
    const fc_reducer *reducer = data;
    const fc_pump *pump = data;
    uint64_t h = mix_range(mix(0, element->part->kind), element->rise);

    switch (element->part->kind) {
    case FCI_REDUCER:
        h = mix_range(mix_range(h, reducer->set), reducer->fall_off);
        return mix_loss(mix_range(h, reducer->fall_off_flow), &reducer->loss);
    case FCI_PUMP:
        h = mix(mix_range(h, pump->hold), pump->running);
        return mix_points(h, pump->curve, pump->n_curve);
    case FCI_METER:
    case FCI_BACKFLOW:
    case FCI_DEVICE:
        return mix_loss(h, &((const fc_device *)data)->loss);
    default:
        return element->pipe ? of_pipe(h, element->pipe) : h;
    }
}

/* What is drawn by itself is like nothing else. */
static uint64_t
of_point(uint64_t h, const struct fci_points *points, const char *name)
{
    struct fci_point point = { 0 };

    if (!points || !points->at(points->context, name, &point))
        return h;
    return point.apart ? mix_text(mix(h, 1), name) : mix(h, 2);
}

static uint64_t
of_fixture(const struct fci_fixture *fixture, const fc_checked_fixture *told,
           fc_state state)
{
    uint64_t h =
        mix_text(mix_range(1, fixture->given->rise), fixture->given->kind);
    int s;

    h = mix_loss(mix(h, (uint64_t)fixture->count), &fixture->given->stop);
    for (s = 0; s < FC_STATES; s++)
        h = mix_text(h, fixture->valve[s] ? fixture->valve[s]->name : NULL);
    if (told)
        h = mix(mix(h, told->states[state].works),
                told->states[state].too_high);
    return h;
}

/* ---- Lists ------------------------------------------------------------ */

struct keyed {
    uint64_t key;
    size_t item;
};

static int
by_key(const void *a, const void *b)
{
    const struct keyed *x = a, *y = b;

    if (x->key != y->key)
        return x->key < y->key ? -1 : 1;
    return (x->item > y->item) - (x->item < y->item);
}

/* Items gathered by the element that each is on; FCI_NONE: on none. */
static bool
gather(struct fci_listed *listed, const size_t *on, size_t n,
       size_t n_elements, struct fci_arena *arena)
{
    size_t i;

    listed->first =
        fci_arena_array(arena, n_elements + 2, sizeof *listed->first);
    listed->items = fci_arena_array(arena, n + 1, sizeof *listed->items);
    if (arena->failed)
        return false;
    for (i = 0; i < n; i++)
        if (on[i] != FCI_NONE)
            listed->first[on[i] + 2]++;
    for (i = 0; i < n_elements; i++)
        listed->first[i + 2] += listed->first[i + 1];
    for (i = 0; i < n; i++)
        if (on[i] != FCI_NONE)
            listed->items[listed->first[on[i] + 1]++] = i;
    return true;
}

static void
sort_items(size_t *items, size_t n, const uint64_t *keys, struct keyed *room)
{
    size_t i;

    for (i = 0; i < n; i++)
        room[i] = (struct keyed){ keys[items[i]], items[i] };
    qsort(room, n, sizeof *room, by_key);
    for (i = 0; i < n; i++)
        items[i] = room[i].item;
}

static bool
gather_all(struct fci_likeness *a, const fc_site *site,
           struct fci_arena *arena)
{
    const size_t n = site->n_elements;
    size_t most = n, i;
    size_t *on;

    most = site->n_fixtures > most ? site->n_fixtures : most;
    most = site->n_draws > most ? site->n_draws : most;
    on = fci_arena_array(arena, most, sizeof *on);
    if (!on)
        return false;
    for (i = 0; i < n; i++)
        on[i] = site->elements[i].parent;
    if (!gather(&a->children, on, n, n, arena))
        return false;
    for (i = 0; i < site->n_fixtures; i++)
        on[i] = site->fixtures[i].element;
    if (!gather(&a->fixtures, on, site->n_fixtures, n, arena))
        return false;
    for (i = 0; i < site->n_draws; i++)
        on[i] = site->draws[i].element;
    return gather(&a->draws, on, site->n_draws, n, arena);
}

/* ---- Risers ----------------------------------------------------------- */

static bool
is_upright(const struct fci_element *element)
{
    return fabs(element->rise.nominal) > 0.5 * element->pipe->length.nominal;
}

/* A riser or a main goes on in the pipe that feeds most, of those that run as
 * it does and are no mere branch. */
static size_t
onward_of(const struct fci_likeness *a, const fc_site *site, size_t at,
          const uint64_t *own, const size_t *feeds)
{
    const struct fci_element *elements = site->elements;
    size_t i, best = FCI_NONE;

    if (!elements[at].pipe)
        return FCI_NONE;
    for (i = a->children.first[at]; i < a->children.first[at + 1]; i++) {
        const size_t child = a->children.items[i];

        if (elements[child].pipe && elements[child].to == FCI_NONE
            && is_upright(&elements[child]) == is_upright(&elements[at])
            && (a->children.first[child + 1] > a->children.first[child]
                || own[child] == own[at])
            && (best == FCI_NONE || feeds[child] > feeds[best]))
            best = child;
    }
    return best;
}

/* The sum of what is on an element: their order does not count. */
static uint64_t
sum_of(const struct fci_listed *listed, size_t at, const uint64_t *keys,
       size_t without)
{
    uint64_t sum = 0;
    size_t i;

    for (i = listed->first[at]; i < listed->first[at + 1]; i++)
        if (listed->items[i] != without)
            sum += mix(7, keys[listed->items[i]]);
    return sum;
}

static void
finish_element(struct fci_likeness *a, const fc_site *site, size_t at,
               const uint64_t *own, size_t *feeds, struct keyed *room)
{
    const size_t first = a->children.first[at];
    const size_t n = a->children.first[at + 1] - first;
    uint64_t outlets, others;

    a->onward[at] = onward_of(a, site, at, own, feeds);
    sort_items(a->children.items + first, n, a->subtree, room);
    outlets = sum_of(&a->fixtures, at, a->fixture, FCI_NONE)
              + sum_of(&a->draws, at, a->draw, FCI_NONE);
    others = sum_of(&a->children, at, a->subtree, a->onward[at]);
    a->floor[at] = mix(mix(own[at], outlets), others);
    a->subtree[at] = a->onward[at] == FCI_NONE
                         ? a->floor[at]
                         : mix(a->floor[at], a->subtree[a->onward[at]]);
    feeds[at]++;
    if (site->elements[at].parent != FCI_NONE)
        feeds[site->elements[at].parent] += feeds[at];
}

static void
find_keys(struct fci_likeness *a, const fc_site *site,
          const fc_check_result *result, const struct fci_points *points,
          uint64_t *own)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        own[i] = of_point(of_element(&site->elements[i]), points,
                          site->elements[i].name);
    /* the ends of loops, and sources, are drawn each for itself */
    for (i = 0; i < site->n_elements; i++) {
        const size_t to = site->elements[i].to;

        if (to == FCI_NONE)
            continue;
        own[i] = mix(own[i], i + 1);
        own[to] = mix(own[to], to + 1);
    }
    for (i = 0; i < site->n_fixtures; i++)
        a->fixture[i] =
            of_point(of_fixture(&site->fixtures[i],
                                result ? &result->fixtures[i] : NULL,
                                fci_judged(result)),
                     points, site->fixtures[i].given->name);
    for (i = 0; i < site->n_draws; i++)
        a->draw[i] = mix_range(3, site->draws[i].flow);
}

bool
fci_likeness_make(struct fci_likeness *a, const fc_site *site,
                  const fc_check_result *result,
                  const struct fci_points *points, struct fci_arena *arena)
{
    const size_t n = site->n_elements;
    const size_t most = n + site->n_fixtures + site->n_draws;
    uint64_t *own = fci_arena_array(arena, n, sizeof *own);
    size_t *feeds = fci_arena_array(arena, n, sizeof *feeds);
    struct keyed *room = fci_arena_array(arena, most, sizeof *room);
    size_t i;

    *a = (struct fci_likeness){ 0 };
    a->subtree = fci_arena_array(arena, n, sizeof *a->subtree);
    a->floor = fci_arena_array(arena, n, sizeof *a->floor);
    a->onward = fci_arena_array(arena, n, sizeof *a->onward);
    a->fixture =
        fci_arena_array(arena, site->n_fixtures + 1, sizeof *a->fixture);
    a->draw = fci_arena_array(arena, site->n_draws + 1, sizeof *a->draw);
    if (arena->failed || !gather_all(a, site, arena))
        return false;
    find_keys(a, site, result, points, own);
    for (i = 0; i < n; i++) {
        size_t *const f = a->fixtures.first, *const d = a->draws.first;

        sort_items(a->fixtures.items + f[i], f[i + 1] - f[i], a->fixture,
                   room);
        sort_items(a->draws.items + d[i], d[i + 1] - d[i], a->draw, room);
    }
    for (i = n; i-- > 0;)
        finish_element(a, site, site->order[i], own, feeds, room);
    return true;
}
