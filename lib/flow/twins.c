/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/twins.c -- fixtures that another one's ladder speaks for.
 *
 * Let a branch hang at a place J and an alike one, its twin, at a place K that
 * is J or lies behind it, along links that only take pressure; the link of the
 * twin may be alike or take more.  Take any valves that leave a fixture A of
 * the branch some pressure, and open in the twin what was open in the branch,
 * and the other way round: as many valves.  Give A's image B in the twin the
 * pressure that A had.
 *
 *   - Behind the twin's link all is as it was behind that of the branch, so
 *     that it asks for no less pressure at K than the branch did at J, for the
 *     same flow.
 *   - From K to J pressures rise, where before they fell from J to K.  So J
 *     has to have no less than before, and what hangs at J, at K and between
 *     draws no less than before.  So does the branch, which now has at J what
 *     the twin had at K.
 *   - On from J all is as it was, and more pressure and more flow ask the
 *     source for no less.
 *
 * So these valves leave B no more than the others left A.  At the worst inputs
 * what is on the way to B is at its worst and all else at its best: that holds
 * where the links between only take pressure at every end.
 *
 * Two branches at one place are each other's twins; the first of the file
 * speaks for the other.  No fixture speaks for itself by way of others: the
 * twin hangs deeper, or takes more, or is the first.
 */
#include "flow/twins.h"
#include "ground/memory.h"

/* The last one seen of those that are alike. */
struct last {
    bool seen;
    size_t at;    /* the link at whose end it hangs */
    size_t thing; /* a fixture; or a link */
};

struct search {
    const struct fci_network *network;
    const struct fci_at_links *at;
    struct fci_arena arena;
    size_t *size;     /* links from one on along links that only take */
    size_t *place;    /* of each link: so many of those follow it */
    size_t *order;    /* links by place */
    size_t *first;    /* the first fixture behind each link */
    bool *spoken_for; /* of the links */
    struct last *valves, *links; /* by alike fixtures, and what hangs behind */
};

/* ---- Which places lie behind which -------------------------------------- */

static bool
only_takes(const struct fci_network *network, size_t link)
{
    bool takes = !network->links[link].special;
    int end;

    for (end = 0; end < FCI_ENDS && takes; end++) {
        const struct fci_law *law = &network->laws[end][link];

        takes = law->friction >= 0 && law->square >= 0
                && law->lift + law->constant >= 0;
    }
    return takes;
}

/* Each before those behind it, and those together; what a link that does not
 * only take leads to stands elsewhere. */
static void
find_places(struct search *s)
{
    const struct fci_link *links = s->network->links;
    const size_t n = s->network->n_links;
    size_t *free = s->order; /* of each link; before it is an order */
    size_t i, used = 0;

    for (i = n; i-- > 0;) {
        s->size[i]++;
        if (links[i].parent != FCI_NONE && only_takes(s->network, i))
            s->size[links[i].parent] += s->size[i];
    }
    for (i = 0; i < n; i++) {
        size_t *from = links[i].parent != FCI_NONE && only_takes(s->network, i)
                           ? &free[links[i].parent]
                           : &used;

        s->place[i] = *from;
        *from += s->size[i];
        free[i] = s->place[i] + 1;
    }
    for (i = 0; i < n; i++)
        s->order[s->place[i]] = i;
}

static void
find_first(struct search *s)
{
    const struct fci_network *network = s->network;
    size_t i, k;

    for (i = network->n_links; i-- > 0;) {
        size_t first = network->site->n_fixtures;

        for (k = s->at->fixture_start[i]; k < s->at->fixture_start[i + 1]; k++)
            first = first < s->at->fixtures[k] ? first : s->at->fixtures[k];
        for (k = s->at->link_start[i]; k < s->at->link_start[i + 1]; k++)
            if (s->first[s->at->links[k]] < first)
                first = s->first[s->at->links[k]];
        s->first[i] = first;
    }
}

static bool
is_behind(const struct search *s, size_t place, size_t of)
{
    return s->place[place] >= s->place[of]
           && s->place[place] < s->place[of] + s->size[of];
}

/* ---- Which of two ------------------------------------------------------- */

/* At every flow, at every end. */
static bool
takes_no_less(const struct fci_network *network, size_t a, size_t b)
{
    bool no_less = true;
    int end;

    for (end = 0; end < FCI_ENDS && no_less; end++) {
        const struct fci_law *x = &network->laws[end][a];
        const struct fci_law *y = &network->laws[end][b];

        no_less = x->friction >= y->friction && x->square >= y->square
                  && x->lift >= y->lift && x->constant >= y->constant;
    }
    return no_less;
}

/* One that hangs at the end of a link, no deeper than the last one. */
static void
meet_valve(struct search *s, struct last *last, size_t link, size_t fixture,
           bool *spoken_for)
{
    if (last->seen && last->at == link && fixture < last->thing)
        spoken_for[last->thing] = true;
    else if (last->seen && is_behind(s, last->at, link)) {
        spoken_for[fixture] = true;
        return;
    }
    *last = (struct last){ true, link, fixture };
}

static void
meet_link(struct search *s, struct last *last, size_t link, size_t branch)
{
    if (last->seen && is_behind(s, last->at, link)) {
        const bool here = last->at == link;
        const bool more = takes_no_less(s->network, last->thing, branch);
        const bool less = takes_no_less(s->network, branch, last->thing);

        if (here && less
            && !(more && s->first[last->thing] < s->first[branch]))
            s->spoken_for[last->thing] = true;
        else if (more) {
            s->spoken_for[branch] = true;
            return;
        }
    }
    *last = (struct last){ true, link, branch };
}

/* ---- The building ------------------------------------------------------- */

static bool
make_room(struct search *s, const struct fci_repeats *repeats)
{
    const size_t n = s->network->n_links + 1;

    s->size = fci_arena_array(&s->arena, n, sizeof *s->size);
    s->place = fci_arena_array(&s->arena, n, sizeof *s->place);
    s->order = fci_arena_array(&s->arena, n, sizeof *s->order);
    s->first = fci_arena_array(&s->arena, n, sizeof *s->first);
    s->spoken_for = fci_arena_array(&s->arena, n, sizeof *s->spoken_for);
    s->valves =
        fci_arena_array(&s->arena, repeats->n_valves + 1, sizeof *s->valves);
    s->links =
        fci_arena_array(&s->arena, repeats->n_hanging + 1, sizeof *s->links);
    return !s->arena.failed;
}

static void
meet_all(struct search *s, const struct fci_repeats *repeats, size_t link,
         bool *spoken_for)
{
    const struct fci_at_links *at = s->at;
    size_t i;

    for (i = at->fixture_start[link]; i < at->fixture_start[link + 1]; i++)
        meet_valve(s, &s->valves[repeats->valve[at->fixtures[i]]], link,
                   at->fixtures[i], spoken_for);
    for (i = at->link_start[link]; i < at->link_start[link + 1]; i++)
        if (!s->network->links[at->links[i]].special)
            meet_link(s, &s->links[repeats->hanging[at->links[i]]], link,
                      at->links[i]);
}

bool
fci_twins_find(const struct fci_network *network,
               const struct fci_at_links *at,
               const struct fci_repeats *repeats, bool *spoken_for)
{
    struct search s = { .network = network, .at = at };
    const bool made = make_room(&s, repeats);
    size_t i;

    for (i = 0; i < network->site->n_fixtures; i++)
        spoken_for[i] = false;
    if (made) {
        find_places(&s);
        find_first(&s);
        for (i = network->n_links; i-- > 0;)
            meet_all(&s, repeats, s.order[i], spoken_for);
        for (i = 0; i < network->n_links; i++)
            if (network->links[i].parent != FCI_NONE)
                s.spoken_for[i] |= s.spoken_for[network->links[i].parent];
        for (i = 0; i < network->site->n_fixtures; i++)
            if (network->outlets[i].flushes)
                spoken_for[i] |= s.spoken_for[network->outlets[i].link];
    }
    fci_arena_free(&s.arena);
    return made;
}
