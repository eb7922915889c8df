/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/most_chosen.c -- which valves behind a link draw the most. */
#include "flow/most_drawn.h"
#include "ground/memory.h"

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
        h.n = fci_counted(d,
                          (size_t)d->network->site->fixtures[h.fixture].count);
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
    const double end =
        fci_drawn_end(&d->classes[d->class_of[link]].of[k], pressure);
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
