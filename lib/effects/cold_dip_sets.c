/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/cold_dip_sets.c -- which valves leave a fixture the least cold
 * pressure.
 */
#include "effects/cold_dip_work.h"

#include <math.h>
#include <string.h>

/* ---- The worst sets --------------------------------------------------- */

static bool
is_valve(const struct fci_dipping *d, size_t fixture)
{
    return d->site->fixtures[fixture].valve[d->state] != NULL;
}

/* k flush valves: those of a set, without gauges.  Where these are fewer no
 * more of them leave it less, and any others make up the number. */
static size_t
take_valves(struct fci_dipping *d, const struct fci_least *least, size_t k)
{
    size_t i, n = 0, more;

    for (i = 0; i < least->n_set; i++)
        if (is_valve(d, least->set[i].fixture)) {
            d->open[n++] = least->set[i];
            k -= (size_t)least->set[i].count;
        }
    for (i = 0; i < d->site->n_fixtures && k > 0; i++) {
        for (more = 0; more < n && d->open[more].fixture != i; more++)
            ;
        if (more < n || !is_valve(d, i))
            continue;
        d->open[n] = (struct fci_open){ i, d->site->fixtures[i].count };
        if ((size_t)d->open[n].count > k)
            d->open[n].count = (int)k;
        k -= (size_t)d->open[n++].count;
    }
    for (i = 0; i < n && k > 0; i++) { /* more of those that are open */
        const int left =
            d->site->fixtures[d->open[i].fixture].count - d->open[i].count;
        const int taken = (size_t)left < k ? left : (int)k;

        d->open[i].count += taken;
        k -= (size_t)taken;
    }
    return n;
}

/* ---- Where a gauge tells too little ----------------------------------- */

/* What holds back the same at any flow holds back nothing where nothing flows,
 * but what a gauge passes.  Then every set is solved, up to so many. */
#define MOST_SETS 4000
#define AS_THE_GAUGE 70.0 /* 0.01 psi [Pa] */

struct trying {
    struct fci_dipping *d;
    const struct fci_dipped *x;
    enum fci_end end;
    size_t sets;
    struct fci_open open[FC_MOST_DIPPING], worst[FC_MOST_DIPPING];
    size_t n_worst;
    double least;
    fc_status status;
};

static void
try_set(struct trying *t, size_t n)
{
    double left = 0, hot;

    t->sets++;
    memcpy(t->d->open, t->open, n * sizeof *t->open);
    t->status = fci_dip_solve(t->d, t->x, t->end, n, &left, &hot);
    if (t->status != FC_OK || left >= t->least)
        return;
    t->least = left;
    t->n_worst = n;
    memcpy(t->worst, t->open, n * sizeof *t->open);
}

/* `k` more valves, of fixtures from the i-th on. */
static void
try_from(struct trying *t, size_t i, size_t n, size_t k)
{
    const fc_site *site = t->d->site;
    int count;

    if (k == 0)
        try_set(t, n);
    for (; k > 0 && i < site->n_fixtures && t->status == FC_OK
           && t->sets < MOST_SETS;
         i++)
        for (count = 1; is_valve(t->d, i) && count <= site->fixtures[i].count
                        && (size_t)count <= k;
             count++) {
            t->open[n] = (struct fci_open){ i, count };
            try_from(t, i + 1, n + 1, k - (size_t)count);
        }
}

/* In `open` the worst of k valves; false: they are too many, or did not
 * settle. */
static bool
try_all(struct fci_dipping *d, const struct fci_dipped *x, size_t k,
        enum fci_end end, size_t *n)
{
    struct trying t = { .d = d, .x = x, .end = end, .least = INFINITY };

    try_from(&t, 0, 0, k);
    if (t.status != FC_OK || t.sets >= MOST_SETS)
        return false;
    *n = t.n_worst;
    memcpy(d->open, t.worst, t.n_worst * sizeof *t.worst);
    return true;
}

static bool
name_set(struct fci_dipping *d, size_t n, fc_dip *dip)
{
    fc_flushing *set = fci_arena_array(d->arena, n, sizeof *set);
    size_t i;

    for (i = 0; set && i < n; i++) {
        set[i].count = d->open[i].count;
        set[i].fixture = d->site->fixtures[d->open[i].fixture].given->name;
    }
    dip->set = set;
    dip->n_set = n;
    return set != NULL;
}

/* No set leaves less than all of them. */
static fc_status
solve_all(struct fci_dipping *d, struct fci_dipped *x, enum fci_end end)
{
    const struct fci_least none = { 0 };
    const size_t n = take_valves(d, &none, d->n_valves);
    double left, hot;
    const fc_status status = fci_dip_solve(d, x, end, n, &left, &hot);

    if (status == FC_OK)
        x->all = fmin(x->all, left);
    return status;
}

/* k valves at one end. */
fc_status
fci_dip_end(struct fci_dipping *d, struct fci_dipped *x, size_t k,
            enum fci_end end, fc_dip *dip)
{
    struct fci_least least;
    size_t n;
    fc_status status =
        fci_ladder_least(d->ladder, x->fixture, end, k + 1, &least);

    if (status == FC_OK && !least.proved && end != FCI_BEST)
        status = solve_all(d, x, end);
    if (status != FC_OK)
        return status;
    n = take_valves(d, &least, k);
    dip->worst &= least.proved;
    status = fci_dip_solve(d, x, end, n, &x->left[end], &x->hot[end]);
    if (status == FC_OK && !fci_dip_runs(d, x->fixture)
        && x->left[end] > least.pressure + AS_THE_GAUGE) {
        dip->worst =
            dip->worst && k <= FC_MOST_DIPPING && try_all(d, x, k, end, &n);
        if (!dip->worst)
            n = take_valves(d, &least, k);
        status = fci_dip_solve(d, x, end, n, &x->left[end], &x->hot[end]);
        if (!dip->worst) /* no set leaves less than to a gauge */
            x->left[end] = fmin(x->left[end], least.pressure);
    }
    if (status == FC_OK && end == FCI_NOMINAL && !name_set(d, n, dip))
        status = FC_ENOMEM;
    return status;
}
