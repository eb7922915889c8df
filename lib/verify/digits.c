/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/verify/digits.c -- figures beside a claim that look as different as they
 * are: 24.96 psi is not 25.0.
 */
#include "units/units.h"
#include "verify/verify.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Enough for what is solved, 0.1 Pa, in psi as in kPa. */
#define MOST_DECIMALS 5
#define MOST_STATED 3 /* a claim with more is of other units */

struct digits {
    char text[40];
};

static struct digits
digits_of(fc_unit_system system, int decimals, double pressure)
{
    struct digits d;

    fc_show(system, FC_PRESSURE, FC_NEAREST, decimals, pressure, d.text,
            sizeof d.text);
    return d;
}

struct fci_shown
fci_show_with(fc_unit_system system, int decimals, double pressure)
{
    struct fci_shown s;

    snprintf(s.text, sizeof s.text, "%s %s",
             digits_of(system, decimals, pressure).text,
             fc_unit_name(system, FC_PRESSURE));
    return s;
}

int
fci_decimals_apart(fc_unit_system system, int decimals, double claimed,
                   double other)
{
    if (!(fabs(claimed - other) > FCI_SOLVED_TO) || !(fabs(other) < 1e12)
        || !(fabs(claimed) < 1e12))
        return decimals;
    while (decimals < MOST_DECIMALS
           && strcmp(digits_of(system, decimals, claimed).text,
                     digits_of(system, decimals, other).text)
                  == 0)
        decimals++;
    return decimals;
}

/* As many as a claim is stated with, in the units of the report; the usual
 * ones where it is stated in others. */
static int
stated(fc_unit_system system, double claimed)
{
    const double x = fc_from_si(system, FC_PRESSURE, claimed);
    const int usual = fci_decimals(system, FC_PRESSURE);
    int decimals = usual;
    double scale = pow(10, decimals);

    for (; decimals <= MOST_STATED; decimals++, scale *= 10)
        if (fabs(round(x * scale) / scale - x) <= 1e-9 * fabs(x))
            return decimals;
    return usual;
}

int
fci_claim_decimals(const struct fci_verify *v, const fc_checked_claim *c)
{
    const fc_unit_system system = v->site->settings.units;
    const double beside[] = {
        c->computed, c->read,        c->read - c->within, c->read + c->within,
        c->carried,  c->carried_low, c->carried_high,     c->still_read,
        c->low,      c->high,
    };
    int decimals = stated(system, c->claimed);
    size_t i;

    for (i = 0; i < v->n_claims; i++)
        decimals = fci_decimals_apart(system, decimals, c->claimed,
                                      v->claims[i].given->flowing.nominal);
    for (i = 0; i < sizeof beside / sizeof *beside; i++)
        decimals = fci_decimals_apart(system, decimals, c->claimed, beside[i]);
    return decimals;
}
