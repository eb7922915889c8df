/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/surge_follow.c -- how every place of a tree of pipes follows
 * what a closing valve stirs up (laws/surge.c).
 *
 * To a place to which nothing blocks the flow back it is the root of the
 * inertia from the source.  A preventer, a PRV and a pump block it, and a
 * meter or a device may.  Of what is behind such an element, by its storage,
 * let k be the share that is behind a place itself.  Then what the mean
 * pressure behind it is above the source's as the flow there is none, the
 * mean behind the next one above that, and the pressure at a place above the
 * last mean, each are the sum over pipes of i q' times
 *     1 + 0 from the source to the first, then k1,
 *     1 - k1 from the first to the second, k2 - k1 behind that, k1 beside,
 *     1 - k2 from the last to the place, k2 beside,
 * and by Cauchy and Schwarz the root of the inertia weighed by the square of
 * that, times stir.
 */
#include "effects/surge_way.h"

#include <math.h>

/* Of an element. */
struct behind {
    double inertia, own; /* of itself, the storage too */
    double storage;      /* of it and all that it feeds */
    double squares; /* sum of inertia times the square of that over the same */
};

/* From the source, or the last that blocks, to an outlet. */
struct since {
    size_t last;            /* that blocks; FCI_NONE: none */
    double weighed;         /* its own inertia, by (1 - k)^2 */
    double squares;         /* that of `behind`, of these pipes alone */
    struct fci_follow done; /* up to that */
};

static void
add(struct fci_follow *to, double square)
{
    const double root = sqrt(fmax(square, 0));

    if (!(root > 0))
        return;
    to->least = to->terms > 0 ? fmin(to->least, root) : root;
    to->root += root;
    to->terms++;
}

/* The square of a root that ends at an outlet. */
static double
beside(const struct since *s, const struct behind *behind)
{
    const struct behind *last;

    if (s->last == FCI_NONE)
        return s->weighed;
    last = &behind[s->last];
    return last->storage > 0 ? s->weighed
                                   + fmax(last->squares - s->squares, 0)
                                         / (last->storage * last->storage)
                             : s->weighed;
}

/* The flow back may be blocked at an element. */
static void
block(struct since *s, const struct behind *behind, size_t at)
{
    const struct behind *here = &behind[at];
    const double k = here->storage > 0 ? 1 / here->storage : 0;
    double square = beside(s, behind);

    if (s->last == FCI_NONE) {
        square += here->squares * k * k;
    } else if (behind[s->last].storage > 0) {
        const double k1 = 1 / behind[s->last].storage;

        square += here->squares * ((k - k1) * (k - k1) - k1 * k1);
    }
    add(&s->done, square);
    s->last = at;
    s->weighed = s->squares = 0;
}

/* On to the outlet of a pipe. */
static void
pass(struct since *s, const struct behind *behind, size_t at)
{
    const struct behind *here = &behind[at];
    const double all = s->last == FCI_NONE ? 0 : behind[s->last].storage;
    const double on = here->storage - here->own;
    const double rest = all > 0 ? 1 - on / all : 1;

    s->weighed += here->inertia * rest * rest;
    s->squares += here->inertia * here->storage * here->storage;
}

static void
find_behind(struct fci_surge_site *of, struct behind *behind)
{
    const fc_site *site = of->site;

    for (size_t i = site->n_elements; i-- > 0;) {
        const size_t at = site->order[i], parent = site->elements[at].parent;
        const struct fci_wave_pipe *narrow =
            &of->pipes[at * FCI_ENDS + FCI_WORST];
        const struct fci_wave_pipe *wide =
            &of->pipes[at * FCI_ENDS + FCI_BEST];
        struct behind *here = &behind[at];

        if (site->elements[at].pipe) {
            here->inertia = of->density * narrow->length / narrow->area;
            here->own = wide->area * narrow->length
                        / (of->density * wide->speed * wide->speed);
            here->storage += here->own;
            here->squares += here->inertia * here->storage * here->storage;
        }
        of->storage[at] = here->storage;
        if (parent == FCI_NONE)
            continue;
        behind[parent].storage += here->storage;
        behind[parent].squares += here->squares;
    }
}

bool
fci_surge_follow(struct fci_surge_site *of, struct fci_arena *arena)
{
    const fc_site *site = of->site;
    struct behind *behind =
        fci_arena_array(arena, site->n_elements, sizeof *behind);
    struct since *since =
        fci_arena_array(arena, site->n_elements, sizeof *since);

    of->follow = fci_arena_array(arena, site->n_elements, sizeof *of->follow);
    of->storage =
        fci_arena_array(arena, site->n_elements, sizeof *of->storage);
    if (!behind || !since || !of->follow || !of->storage)
        return false;
    find_behind(of, behind);
    for (size_t i = 0; i < site->n_elements; i++) {
        const size_t at = site->order[i], parent = site->elements[at].parent;
        struct since *s = &since[at];

        s->last = FCI_NONE;
        if (parent != FCI_NONE) {
            *s = since[parent];
            if (site->elements[at].pipe)
                pass(s, behind, at);
            else
                block(s, behind, at);
        }
        of->follow[at] = s->done;
        add(&of->follow[at], beside(s, behind));
        if (of->follow[at].terms == 0)
            of->follow[at].terms = 1;
    }
    return true;
}
