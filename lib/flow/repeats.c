/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/repeats.c -- parts of a building that are the same to the last
 * digit.
 *
 * Each gets the number of the first that it is like, found by a hash of what
 * it is [FNV: Fowler, Noll, Vo (1991) (from memory)].
 */
#include "flow/repeats.h"
#include "ground/memory.h"

struct comparing {
    const struct fci_network *network;
    const struct fci_at_links *at;
    const struct fci_repeats *repeats;
};

/* Numbers by hash, open. */
struct numbers {
    size_t *places, n_places; /* FCI_NONE: free */
    size_t *first, n;         /* the first thing of each number */
    bool (*same)(const struct comparing *c, size_t a, size_t b);
};

static bool
make_numbers(struct numbers *numbers, struct fci_arena *arena, size_t *first,
             size_t things)
{
    size_t i;

    numbers->n_places = 2 * things + 1;
    numbers->places =
        fci_arena_array(arena, numbers->n_places, sizeof *numbers->places);
    numbers->first = first;
    for (i = 0; i < numbers->n_places && numbers->places; i++)
        numbers->places[i] = FCI_NONE;
    return numbers->places && first;
}

static size_t
number_of(struct numbers *numbers, const struct comparing *c, size_t thing,
          size_t hash)
{
    size_t place = hash % numbers->n_places;

    while (numbers->places[place] != FCI_NONE
           && !numbers->same(c, thing, numbers->first[numbers->places[place]]))
        place = (place + 1) % numbers->n_places;
    if (numbers->places[place] == FCI_NONE) {
        numbers->places[place] = numbers->n;
        numbers->first[numbers->n++] = thing;
    }
    return numbers->places[place];
}

static size_t
add_hash(size_t hash, const void *of, size_t size)
{
    const unsigned char *bytes = of;
    size_t i;

    for (i = 0; i < size; i++)
        hash = (hash ^ bytes[i]) * (size_t)1099511628211u;
    return hash;
}

#define NO_HASH ((size_t)14695981039346656037u)

/* ---- Valves ------------------------------------------------------------- */

static bool
same_outlet(const struct fci_outlet_law *a, const struct fci_outlet_law *b)
{
    return fci_same(a->need, b->need) && fci_same(a->most, b->most)
           && fci_same_law(&a->stop, &b->stop);
}

static bool
asks_minimum(const struct fci_network *network, size_t fixture)
{
    const fc_valve *valve =
        network->site->fixtures[fixture].valve[network->state];

    return valve && valve->minimum_flowing.given; /* no valve: a gauge */
}

static bool
same_valve(const struct comparing *c, size_t a, size_t b)
{
    const struct fci_network *network = c->network;
    const struct fci_outlet *x = &network->outlets[a];
    const struct fci_outlet *y = &network->outlets[b];
    int end;

    if (network->site->fixtures[a].count != network->site->fixtures[b].count
        || x->curved_stop || y->curved_stop
        || asks_minimum(network, a) != asks_minimum(network, b))
        return false;
    for (end = 0; end < FCI_ENDS; end++)
        if (!same_outlet(&x->law[end], &y->law[end])
            || !same_outlet(&x->beside[end], &y->beside[end])
            || !fci_same(fci_least_kept(network, a, (enum fci_end)end),
                         fci_least_kept(network, b, (enum fci_end)end)))
            return false;
    return true;
}

static size_t
valve_hash(const struct comparing *c, size_t fixture)
{
    const struct fci_outlet_law *law =
        &c->network->outlets[fixture].law[FCI_NOMINAL];

    return add_hash(add_hash(NO_HASH, &law->need, sizeof law->need),
                    &law->stop, sizeof law->stop);
}

/* ---- What hangs at the end of a link ------------------------------------ */

static bool
same_hanging(const struct comparing *c, size_t a, size_t b)
{
    const struct fci_at_links *at = c->at;
    const size_t fixtures = at->fixture_start[a + 1] - at->fixture_start[a];
    const size_t links = at->link_start[a + 1] - at->link_start[a];
    size_t i;
    int end;

    if (at->fixture_start[b + 1] - at->fixture_start[b] != fixtures
        || at->link_start[b + 1] - at->link_start[b] != links)
        return false;
    for (end = 0; end < FCI_ENDS; end++)
        if (!fci_same(c->network->draws[end][a], c->network->draws[end][b]))
            return false;
    for (i = 0; i < fixtures; i++)
        if (c->repeats->valve[at->fixtures[at->fixture_start[a] + i]]
            != c->repeats->valve[at->fixtures[at->fixture_start[b] + i]])
            return false;
    for (i = 0; i < links; i++)
        if (c->repeats->link[at->links[at->link_start[a] + i]]
            != c->repeats->link[at->links[at->link_start[b] + i]])
            return false;
    return true;
}

static size_t
hanging_hash(const struct comparing *c, size_t link)
{
    const struct fci_at_links *at = c->at;
    size_t hash = NO_HASH, i;

    for (i = at->fixture_start[link]; i < at->fixture_start[link + 1]; i++)
        hash =
            add_hash(hash, &c->repeats->valve[at->fixtures[i]], sizeof hash);
    for (i = at->link_start[link]; i < at->link_start[link + 1]; i++)
        hash = add_hash(hash, &c->repeats->link[at->links[i]], sizeof hash);
    return hash;
}

/* ---- Links -------------------------------------------------------------- */

static bool
same_link(const struct comparing *c, size_t a, size_t b)
{
    const struct fci_network *network = c->network;
    int end;

    if (c->repeats->hanging[a] != c->repeats->hanging[b]
        || network->links[a].special || network->links[b].special)
        return false;
    for (end = 0; end < FCI_ENDS; end++)
        if (!fci_same_law(&network->laws[end][a], &network->laws[end][b]))
            return false;
    return true;
}

static size_t
link_hash(const struct comparing *c, size_t link)
{
    const struct fci_law *law = &c->network->laws[FCI_NOMINAL][link];

    return add_hash(add_hash(NO_HASH, law, sizeof *law),
                    &c->repeats->hanging[link], sizeof link);
}

/* ---- The building ------------------------------------------------------- */

struct numbering {
    struct numbers valves, hanging, links;
};

static bool
make_room(struct fci_repeats *repeats, struct fci_arena *arena,
          struct numbering *by, struct fci_arena *scratch,
          const struct fci_network *network)
{
    const size_t n = network->n_links + 1, m = network->site->n_fixtures + 1;

    repeats->valve = fci_arena_array(arena, m, sizeof *repeats->valve);
    repeats->hanging = fci_arena_array(arena, n, sizeof *repeats->hanging);
    repeats->link = fci_arena_array(arena, n, sizeof *repeats->link);
    repeats->link_first =
        fci_arena_array(arena, n, sizeof *repeats->link_first);
    by->valves.same = same_valve;
    by->hanging.same = same_hanging;
    by->links.same = same_link;
    return make_numbers(&by->valves, scratch,
                        fci_arena_array(scratch, m, sizeof(size_t)), m)
           && make_numbers(&by->hanging, scratch,
                           fci_arena_array(scratch, n, sizeof(size_t)), n)
           && make_numbers(&by->links, scratch, repeats->link_first, n)
           && !arena->failed;
}

bool
fci_repeats_find(struct fci_repeats *repeats, struct fci_arena *arena,
                 const struct fci_network *network,
                 const struct fci_at_links *at)
{
    const struct comparing c = { network, at, repeats };
    struct numbering by = { 0 };
    struct fci_arena scratch = { 0 };
    const bool made = make_room(repeats, arena, &by, &scratch, network);
    size_t i;

    for (i = 0; made && i < network->site->n_fixtures; i++)
        if (network->outlets[i].flushes)
            repeats->valve[i] =
                number_of(&by.valves, &c, i, valve_hash(&c, i));
    for (i = network->n_links; made && i-- > 0;) {
        repeats->hanging[i] =
            number_of(&by.hanging, &c, i, hanging_hash(&c, i));
        repeats->link[i] = number_of(&by.links, &c, i, link_hash(&c, i));
    }
    repeats->n_valves = by.valves.n;
    repeats->n_hanging = by.hanging.n;
    repeats->n_links = by.links.n;
    fci_arena_free(&scratch);
    return made;
}
