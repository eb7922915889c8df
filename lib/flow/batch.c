/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/batch.c -- what some valves draw together, bounded by the pressure
 * before them.
 *
 * The most: a link takes at least what the flow q of some valves behind it
 * takes alone.  With E = 1/0.54 and q no more than m its friction q^E is at
 * least m^(E - 2) q^2, so that what the valves conduct and what the link does
 * add up as resistances of the square.  Of things side by side, k valves are
 * shared out so that they conduct the most.  The least: a link through which
 * up to k valves draw takes no more than if each drew the most that any does.
 *
 * How many of some valves are on is a sum of independent outcomes, whose
 * distribution is exact [F68, XI.2: product of generating functions].
 *
 *   [F68]  W. Feller, An Introduction to Probability Theory and Its
 *          Applications 1, 3rd ed. (1968) (from memory)
 */
#include "flow/batch.h"
#include "laws/friction.h"

#include <string.h>

/* Chances below this are left to those of more valves. */
#define NO_CHANCE 1e-9

/* ---- Chances ----------------------------------------------------------- */

/* Those of both together. */
static void
add_chances(struct fci_batch *to, const struct fci_batch *more)
{
    double sum[FCI_COUNTED + 1] = { 0 };
    size_t i, k, n = to->n_chances + more->n_chances - 1;

    n = n > FCI_COUNTED + 1 ? FCI_COUNTED + 1 : n;
    for (i = 0; i < to->n_chances; i++)
        for (k = 0; k < more->n_chances && i + k < n; k++)
            sum[i + k] += to->chance[i] * more->chance[k];
    while (n > 1 && sum[n - 1] < NO_CHANCE)
        n--;
    memcpy(to->chance, sum, sizeof sum);
    to->n_chances = n;
}

static void
set_chances(struct fci_batch *batch, int count, double on)
{
    struct fci_batch one = { .chance = { 1 - on, on }, .n_chances = 2 };
    int i;

    batch->n = (size_t)count;
    batch->chance[0] = 1;
    batch->n_chances = 1;
    for (i = 0; i < count && on > 0; i++)
        add_chances(batch, &one);
}

/* ---- Some valves -------------------------------------------------------- */

static size_t
told_apart(size_t n)
{
    return n < FCI_COUNTED ? n : FCI_COUNTED;
}

/* Shared out between both for the most. */
static void
add_conducts(struct fci_batch *to, const struct fci_batch *more)
{
    const size_t n = told_apart(to->n), m = told_apart(more->n);
    double most[FCI_COUNTED + 1] = { 0 };
    size_t i, k;

    for (i = 0; i <= n; i++)
        for (k = 0; k <= m && i + k <= FCI_COUNTED; k++) {
            const double both = to->conducts[i] + more->conducts[k];

            if (both > most[i + k])
                most[i + k] = both;
        }
    memcpy(to->conducts, most, sizeof most);
}

void
fci_batch_join(struct fci_batch *to, const struct fci_batch *more)
{
    add_conducts(to, more);
    to->n += more->n;
    to->lift = fmin(to->lift, more->lift);
    to->most = fmax(to->most, more->most);
    add_chances(to, more);
}

struct fci_batch
fci_batch_of(const struct fci_outlet_law *law, double most, int count,
             double on)
{
    struct fci_batch batch = { .lift = law->stop.lift + law->stop.constant,
                               .most = fmin(law->most, most) };
    const double one = 1 / sqrt(law->need + law->stop.square);
    size_t k;

    set_chances(&batch, count, on);
    for (k = 1; k <= told_apart(batch.n); k++)
        batch.conducts[k] = (double)k * one;
    return batch;
}

void
fci_batch_pass(struct fci_batch *batch, const struct fci_law *law,
               const double *power)
{
    const double friction =
        law->friction > 0 && batch->most > 0
            ? law->friction * pow(batch->most, FCI_FRICTION_EXPONENT - 2)
            : 0;
    size_t k;

    batch->lift += law->lift + law->constant;
    for (k = 1; k <= told_apart(batch->n); k++) {
        const double g = batch->conducts[k];
        const double square =
            law->square + friction * power[k] / (double)(k * k);

        batch->conducts[k] = g / sqrt(1 + square * g * g);
    }
}

/* ---- The least of them -------------------------------------------------- */

struct fci_yield
fci_yield_of(const struct fci_outlet_law *law, double most, int count,
             double on)
{
    struct fci_yield yield = { .high = fci_batch_of(law, most, count, on),
                               .lift = law->stop.lift + law->stop.constant,
                               .need = law->need + law->stop.square,
                               .most = law->most };

    return yield;
}

void
fci_yield_join(struct fci_yield *to, const struct fci_yield *more)
{
    size_t k;

    if (to->high.n == 0) {
        *to = *more;
        return;
    }
    fci_batch_join(&to->high, &more->high);
    to->lift = fmax(to->lift, more->lift);
    to->need = fmax(to->need, more->need);
    to->most = fmin(to->most, more->most);
    to->unknown |= more->unknown;
    for (k = 0; k <= FCI_COUNTED; k++) {
        to->friction[k] = fmax(to->friction[k], more->friction[k]);
        to->square[k] = fmax(to->square[k], more->square[k]);
    }
}

void
fci_yield_pass(struct fci_yield *yield, const struct fci_law *law,
               const double *power)
{
    const size_t n = yield->high.n;
    size_t k;

    yield->lift += law->lift + law->constant;
    for (k = 1; k <= FCI_COUNTED; k++) {
        const size_t flows = k < n ? k : n;

        yield->friction[k] += law->friction * power[flows];
        yield->square[k] += law->square * (double)(flows * flows);
    }
}

struct fci_highest
fci_yield_highest(const struct fci_yield *yield, double pressure)
{
    struct fci_highest highest = { fci_batch_flow(&yield->high, pressure, 1),
                                   0 };

    if (!yield->unknown && highest.flow > 0)
        highest.power = pow(highest.flow, FCI_FRICTION_EXPONENT);
    return highest;
}

double
fci_yield_flow(const struct fci_yield *yield, double pressure,
               const struct fci_highest *highest, size_t k)
{
    const double high = highest->flow;
    double left = pressure - yield->lift;

    if (yield->unknown || high <= 0)
        return 0;
    left -= yield->square[k] * high * high;
    if (yield->friction[k] > 0)
        left -= yield->friction[k] * highest->power;
    return left > 0 ? fmin(sqrt(left / yield->need), yield->most) : 0;
}
