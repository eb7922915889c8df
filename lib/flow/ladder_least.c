/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/ladder_least.c -- the least pressure that so many valves leave. */
#include "flow/ladder_work.h"
#include "flow/worst_set.h"

#include <math.h>
#include <string.h>

/* ---- Not proved --------------------------------------------------------- */

/* Fixtures that a valve is moved to, the nearest, and sets that are tried. */
#define NEAREST 24
#define MOST_MOVES 1000

/* The kept set with one valve less of its i-th fixture and one more of
 * another; false: there is none. */
static bool
move_valve(struct fci_ladder *l, size_t i, const struct fci_open *to)
{
    size_t k;

    memcpy(l->set, l->kept, l->n_kept * sizeof *l->set);
    l->n_set = l->n_kept;
    for (k = 0; k < l->n_set && l->set[k].fixture != to->fixture; k++)
        ;
    if (k == i || (i == 0 && l->set[0].count == 1)
        || (k < l->n_set && l->set[k].count == to->count))
        return false; /* its own valve stays open */
    if (k == l->n_set)
        l->set[l->n_set++] = (struct fci_open){ to->fixture, 0 };
    l->set[k].count++;
    if (--l->set[i].count == 0)
        l->set[i] = l->set[--l->n_set];
    return true;
}

/* Where the tables are coarse the set that they name can be bettered valve by
 * valve, as in any local search. */
static fc_status
move_valves(struct fci_ladder *l, double *least)
{
    fc_status status = FC_OK;
    size_t moves = 0, still = 0, at = 0, i;
    double there;

    fci_ladder_order(l);
    for (; still < NEAREST && moves < MOST_MOVES && status == FC_OK;
         still++, at = (at + 1) % NEAREST)
        for (i = 0; i < l->n_kept && at < l->n_near && status == FC_OK; i++) {
            if (!move_valve(l, i, &l->near[at]))
                continue;
            moves++;
            status = fci_ladder_solve(l, &there);
            if (status != FC_OK || there >= *least - FCI_SOLVED_TO)
                continue;
            *least = there;
            fci_ladder_keep(l);
            still = 0;
        }
    return status;
}

/* ---- The whole ---------------------------------------------------------- */

/* The least pressure that n leave, from what some of them do; whether that is
 * proved.  `keep`: the set that does is kept. */
static fc_status
find_least(struct fci_ladder *l, size_t n, double *least, bool keep,
           bool *proved)
{
    fc_status status = FC_OK;
    size_t fine = 0;
    double there;

    *proved = n == 1;
    while (l->parts && n <= FCI_MOST_COUNTED && l->work > 0 && !*proved
           && status == FC_OK
           && fine < (l->roughly ? 1 : fci_ladder_finest(l))) {
        status = fci_ladder_ask(l, fine, *least - FCI_WORST_TO / 2, n - 1);
        if (status != FC_OK || l->work == 0)
            break;
        *proved = !(fci_worst_asked(l->worst, n - 1) > 0);
        if (*proved)
            break;
        status = fci_ladder_try(l, n - 1, &there);
        if (status == FC_OK && there < *least - FCI_SOLVED_TO) {
            *least = there;
            if (keep)
                fci_ladder_keep(l);
        } else {
            fine++;
        }
    }
    if (status == FC_OK && !*proved && l->roughly && l->parts && keep)
        status = move_valves(l, least);
    if (status != FC_OK || *proved || l->roughly)
        return status;
    status = fci_ladder_every(l, n, &there);
    *proved = status == FC_OK;
    if (*proved && there < *least) {
        *least = there;
        if (keep) {
            fci_all_sets_worst(l->sets, n, l->set, &l->n_set);
            fci_ladder_keep(l);
        }
    }
    return status == FC_EUNSUPPORTED ? FC_OK : status;
}

/* What the nearest leave, where that is less. */
static fc_status
try_lower(struct fci_ladder *l, size_t n, double *least)
{
    double there;
    const fc_status status = fci_ladder_nearest(l, n, &there);

    if (status == FC_OK)
        *least = fmin(*least, there);
    return status;
}

/* The least pressures of up to n valves; those of fewer only if asked for. */
fc_status
fci_ladder_pressures(struct fci_ladder *l, const struct fci_finding *f,
                     size_t n, enum fci_ladder_depth depth, bool *worst)
{
    fc_status status = FC_OK;
    bool proved = true;
    size_t k;

    *worst = true;
    if (f->starving == n && n > 1) {
        l->pressures[n - 1] = f->pressure;
        status = find_least(l, n, &l->pressures[n - 1], true, &proved);
    }
    *worst = proved;
    for (k = 2; status == FC_OK && k <= n - (f->starving == n); k++) {
        l->pressures[k - 1] = l->pressures[k - 2];
        proved = false;
        if (depth == FCI_EVERY_NUMBER)
            status = find_least(l, k, &l->pressures[k - 1], false, &proved);
        if (status == FC_OK && !proved)
            status = try_lower(l, k, &l->pressures[k - 1]);
        *worst &= proved;
    }
    return status;
}

/* Of more all sets would take minutes: no more is proved than at a first look.
 */
#define MOST_PROVED 9

fc_status
fci_ladder_least(struct fci_ladder *l, size_t fixture, enum fci_end end,
                 size_t n, struct fci_least *least)
{
    fc_status status;

    fci_ladder_take(l, fixture, end, -INFINITY);
    l->roughly = n > MOST_PROVED;
    fci_solver_forget(l->solver);
    fci_solver_take(l->solver, l->end, fixture);
    status = fci_ladder_nearest(l, n, &least->pressure);
    if (status != FC_OK)
        return status;
    fci_ladder_keep(l);
    status = find_least(l, n, &least->pressure, true, &least->proved);
    least->set = l->kept;
    least->n_set = l->n_kept;
    return status;
}
