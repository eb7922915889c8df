/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/cold_dip.c -- cold pressure of others while valves flush.
 *
 * A gauge at the inlet of each is to the network a valve that passes next to
 * nothing, so that what tells which valves leave a flush valve the least
 * (flow/ladder.h) tells it of the gauge.  What those leave is then solved
 * without it; an eyewash runs while that is solved.
 */
#include "effects/cold_dip_work.h"
#include "effects/restart.h"
#include "peak/march.h"
#include "peak/source.h"

#include <math.h>
#include <string.h>

bool
fci_dips(const struct fci_fixture *fixture)
{
    return fixture->kind->mixes || fixture->kind->emergency;
}

static int
last_end(const struct fci_dipping *d)
{
    return d->network->exact || !d->network->bounded ? FCI_NOMINAL : FCI_BEST;
}

/* Where nothing is a range, or no end bounds it, one end is all of them. */
static void
fill(const struct fci_dipping *d, double ends[FCI_ENDS])
{
    if (last_end(d) == FCI_NOMINAL)
        ends[FCI_WORST] = ends[FCI_BEST] = ends[FCI_NOMINAL];
}

/* ---- One event -------------------------------------------------------- */

/* Hot water stands at the height of the fixture. */
static double
hot_at(const struct fci_dipping *d, const struct fci_dipped *x)
{
    const struct fci_fixture *fixture = &d->site->fixtures[x->fixture];
    double up;

    if (x->heater == FCI_NONE)
        return NAN;
    up = d->height[fixture->element] + fixture->given->rise.nominal
         - d->height[x->heater];
    return fci_solver_at(d->solver, x->heater) - d->site->water_weight * up;
}

/* An eyewash draws what is in the tables of it while it runs. */
static void
open_own(struct fci_dipping *d, size_t fixture, bool runs)
{
    const struct fci_fixture *f = &d->site->fixtures[fixture];
    const fc_range nothing = { 0 };

    fci_network_open(d->network, fixture, runs ? f->outlet_rate : nothing,
                     f->outlet_pressure);
    fci_solver_forget(d->solver);
}

/* With n of `open` open, which has room for one more, at an end. */
fc_status
fci_dip_solve(struct fci_dipping *d, const struct fci_dipped *x,
              enum fci_end end, size_t n, double *left, double *hot)
{
    const bool runs = fci_dip_runs(d, x->fixture);
    fc_status status;

    if (runs) {
        open_own(d, x->fixture, true);
        d->open[n] = (struct fci_open){ x->fixture, 1 };
    }
    fci_solver_take(d->solver, end, x->fixture);
    status = fci_solver_run(d->solver, d->open, n + (runs ? 1 : 0));
    if (status == FC_OK) {
        *left = runs ? fci_solver_drawn(d->solver)[n].pressure
                     : fci_solver_at_rest(d->solver, x->fixture);
        *hot = hot_at(d, x);
    }
    if (runs)
        open_own(d, x->fixture, false);
    return status;
}

/* ---- How far it falls ------------------------------------------------- */

/* 1 less a part, between nothing and all of it. */
static double
falls(double part)
{
    return fmin(fmax(1 - part, 0), 1);
}

/* Ends bound what is left and what is there at rest, and so the ratio of the
 * two; what a main may drop comes on top. */
static void
find_falls(const struct fci_dipped *x, fc_dip *dip)
{
    const double *rest = x->rest, *left = x->left;

    if (!(rest[FCI_WORST] > 0))
        return;
    dip->fall.given = true;
    dip->fall.nominal = falls(left[FCI_NOMINAL] / rest[FCI_NOMINAL]);
    dip->fall.low =
        fmin(falls(left[FCI_BEST] / rest[FCI_WORST]), dip->fall.nominal);
    dip->fall.high =
        fmax(falls(dip->pressure.low / rest[FCI_BEST]), dip->fall.nominal);
    dip->apart = dip->fall;
    dip->apart.low = 0;
    if (x->heater == FCI_NONE || !(x->hot[FCI_WORST] > 0)
        || !(x->hot[FCI_NOMINAL] > 0))
        return;
    dip->apart.nominal =
        falls(left[FCI_NOMINAL] / rest[FCI_NOMINAL] * x->hot_rest[FCI_NOMINAL]
              / x->hot[FCI_NOMINAL]);
    dip->apart.low = fmin(falls(left[FCI_BEST] / rest[FCI_WORST]
                                * x->hot_rest[FCI_BEST] / x->hot[FCI_WORST]),
                          dip->apart.nominal);
}

/* ---- One fixture ------------------------------------------------------ */

static fc_status
find_rest(struct fci_dipping *d, struct fci_dipped *x)
{
    fc_status status = FC_OK;
    int end;

    fci_solver_forget(d->solver);
    for (end = 0; end <= last_end(d) && status == FC_OK; end++) {
        fci_solver_take(d->solver, (enum fci_end)end, x->fixture);
        status = fci_solver_run(d->solver, d->open, 0);
        if (status != FC_OK)
            break;
        x->rest[end] = fci_solver_at_rest(d->solver, x->fixture);
        x->hot_rest[end] = hot_at(d, x);
    }
    fill(d, x->rest);
    fill(d, x->hot_rest);
    return status;
}

static fc_status
find_dip(struct fci_dipping *d, struct fci_dipped *x, size_t k, fc_dip *dip)
{
    fc_status status = FC_OK;
    int end;

    dip->worst = true;
    dip->open = k;
    dip->surely = k <= FC_MOST_DIPPING;
    x->all = INFINITY;
    for (end = 0; end <= last_end(d) && status == FC_OK; end++)
        status = fci_dip_end(d, x, k, (enum fci_end)end, dip);
    if (status != FC_OK)
        return status;
    fill(d, x->left);
    fill(d, x->hot);
    x->left[FCI_WORST] = fmin(x->left[FCI_WORST], x->all);
    dip->pressure = fci_as_range(x->left);
    dip->pressure.low -= d->main_drop;
    if (!fci_dip_runs(d, x->fixture))
        find_falls(x, dip);
    return FC_OK;
}

static fc_status
find_state(struct fci_dipping *d, size_t fixture, fc_cold_dip_state *told)
{
    struct fci_dipped x = { .fixture = fixture,
                            .heater = d->site->fixtures[fixture].heater };
    const size_t most = d->most < d->n_valves ? d->most : d->n_valves;
    fc_status status = find_rest(d, &x);

    told->at_rest = fci_as_range(x.rest);
    while (status == FC_OK && told->n_dips < FC_MOST_DIPPING
           && told->n_dips < d->n_valves) {
        told->n_dips++;
        status = find_dip(d, &x, told->n_dips, &told->dips[told->n_dips - 1]);
    }
    if (status == FC_OK && most > FC_MOST_DIPPING)
        status = find_dip(d, &x, most, &told->dips[told->n_dips++]);
    told->given = status == FC_OK;
    return status;
}

/* ---- All of them ------------------------------------------------------ */

/* They have one inlet, as far as pressures go. */
static bool
is_as(const struct fci_dipping *d, size_t a, size_t b)
{
    const struct fci_fixture *x = &d->site->fixtures[a];
    const struct fci_fixture *y = &d->site->fixtures[b];

    return x->element == y->element && x->kind == y->kind
           && x->heater == y->heater
           && memcmp(&x->given->rise, &y->given->rise, sizeof x->given->rise)
                  == 0
           && memcmp(&x->outlet_rate, &y->outlet_rate, sizeof x->outlet_rate)
                  == 0;
}

static fc_status
find_all(struct fci_dipping *d, fc_cold_dip_fixture *fixtures,
         const size_t *which, size_t n)
{
    fc_status status = FC_OK;
    size_t i;

    for (i = 0; i < n && status == FC_OK; i++) {
        fc_cold_dip_state *told = &fixtures[i].states[d->state];

        if (d->site->fixtures[which[i]].valve[d->state])
            continue;
        if (i > 0 && is_as(d, which[i], which[i - 1]))
            *told = fixtures[i - 1].states[d->state];
        else
            status = find_state(d, which[i], told);
        fci_tell(d->telling, (double)i / (double)n);
    }
    return status;
}

static fc_status
make_room(struct fci_dipping *d, const size_t *which, size_t n,
          fc_diagnostics *messages)
{
    const struct fci_usual *drop =
        fci_tables_usual(d->site->tables, FCI_USUAL_MAIN_DROP);
    fc_status status =
        fci_network_new(d->site, d->state, &d->network, messages);
    size_t i;

    if (status != FC_OK)
        return status;
    for (i = 0; i < d->site->n_fixtures; i++)
        if (d->site->fixtures[i].valve[d->state])
            d->n_valves += (size_t)d->site->fixtures[i].count;
    for (i = 0; i < n; i++)
        if (!d->site->fixtures[which[i]].valve[d->state])
            fci_network_open(d->network, which[i], (fc_range){ 0 },
                             (fc_range){ 0 });
    if (fci_untested_main(d->site))
        d->main_drop = drop->range.high;
    d->open =
        fci_arena_array(&d->scratch, d->site->n_fixtures + 1, sizeof *d->open);
    d->height =
        fci_arena_array(&d->scratch, d->site->n_elements, sizeof *d->height);
    d->solver = fci_solver_new(d->network);
    d->ladder = d->solver ? fci_ladder_new(d->network, d->solver) : NULL;
    if (!d->open || !d->height || !d->ladder)
        return FC_ENOMEM;
    fci_heights(d->site, d->height);
    return FC_OK;
}

fc_status
fci_cold_dip_find(const fc_site *site, fc_state state, size_t most,
                  const struct fci_telling *telling, struct fci_arena *arena,
                  fc_cold_dip_fixture *fixtures, const size_t *which, size_t n,
                  bool *bounded, fc_diagnostics *messages)
{
    struct fci_dipping d = { .arena = arena,
                             .site = site,
                             .state = state,
                             .telling = telling,
                             .most = most };
    fc_status status = FC_OK;

    if (n > 0 && fci_valves_known(site, state)) {
        status = make_room(&d, which, n, messages);
        if (status == FC_OK)
            *bounded = d.network->bounded || d.network->exact;
        if (status == FC_OK)
            status = fci_solver_fail(
                d.solver, find_all(&d, fixtures, which, n), messages);
    }
    fci_ladder_free(d.ladder);
    fci_solver_free(d.solver);
    fci_network_free(d.network);
    fci_arena_free(&d.scratch);
    return status;
}
