/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/axis.c -- a scale with its ticks; see axis.h. */
#include "drawing/axis.h"

#include <math.h>

double
fci_axis_at(const struct fci_axis *axis, double figure)
{
    const double part = (figure - axis->low) / (axis->high - axis->low);
    const double place = copysign(pow(fabs(part), axis->exponent), part);

    return axis->from + place * (axis->to - axis->from);
}

/* The least of 1, 2, 5 times a power of ten that is no less. */
static double
round_up(double step, int *decimals)
{
    const double power = floor(log10(step) + 1e-9);
    const double ten = pow(10, power);
    const double digit = step / ten;

    *decimals = power < 0 ? (int)-power : 0;
    if (digit <= 1 + 1e-9)
        return ten;
    if (digit <= 2 + 1e-9)
        return 2 * ten;
    if (digit <= 5 + 1e-9)
        return 5 * ten;
    *decimals = power < -1 ? (int)-power - 1 : 0;
    return 10 * ten;
}

/* Ticks that would stand too near to the one before are left out: by a power
 * the first ones crowd. */
static void
add_ticks(struct fci_axis *axis, double step, double apart)
{
    const long first = lround(ceil(axis->low / step - 1e-9));
    const long last = lround(floor(axis->high / step + 1e-9));
    double before = -INFINITY, at;
    long i;

    for (i = first; i <= last && axis->n_ticks < FCI_TICKS; i++) {
        at = fabs(fci_axis_at(axis, (double)i * step) - axis->from);
        if (at - before < apart)
            continue;
        axis->ticks[axis->n_ticks++] = (double)i * step;
        before = at;
    }
}

struct fci_axis
fci_axis_make(double low, double high, double from, double to, double exponent,
              double apart)
{
    struct fci_axis axis = { .from = from, .to = to, .exponent = exponent };
    const double most = fmax(2, floor(fabs(to - from) / apart));
    double step;

    if (!(high > low))
        high = low + 1;
    step = round_up((high - low) / fmin(most, FCI_TICKS - 2), &axis.decimals);
    axis.low = exponent == 1 ? step * floor(low / step + 1e-9) : low;
    axis.high = step * ceil(high / step - 1e-9);
    add_ticks(&axis, step, apart);
    return axis;
}
