/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/quick/site_lines.c -- figures as lines of a site file. */
#include "quick/site_lines.h"
#include "ground/plain_print.h"
#include "units/units.h"

#include <math.h>
#include <string.h>

double
fci_quick_us(fc_dimension dimension, double si)
{
    return fc_from_si(FC_US, dimension, si);
}

const char *
fci_quick_said(const struct fci_quick_model *m, enum fci_quick_key key)
{
    return m->figures->of[key].text;
}

/* What was given, as it was written, where a file can hold that. */
const char *
fci_quick_written(const struct fci_quick_model *m, enum fci_quick_key key)
{
    static const char plain[] = "0123456789./- abcdefghijklmnopqrstuvwxyz"
                                "ABCDEFGHIJKLMNOPQRSTUVWXYZ";
    const struct fci_quick_figure *figure = &m->figures->of[key];

    return figure->said && !(figure->value.high > figure->value.low)
                   && figure->said[strspn(figure->said, plain)] == '\0'
               ? figure->said
               : NULL;
}

#define DECIMALS 10.0 /* a gauge shows 0.1 psi, a tape 0.1 ft */

/* Rounded down or up to what a gauge shows, but for the last digits that came
 * of converting. */
double
fci_quick_rounded(double value, bool up)
{
    const double tenths = value * DECIMALS, nearest = round(tenths);

    if (fabs(tenths - nearest) < 1e-6)
        return nearest / DECIMALS;
    return (up ? ceil(tenths) : floor(tenths)) / DECIMALS;
}

/* "19.3..23 psi", or one figure, without the end of its line. */
void
fci_quick_put_figure(FILE *out, const char *key, fc_dimension dimension,
                     fc_range range)
{
    const char *unit = fc_unit_name(FC_US, dimension);
    double low = fci_quick_us(dimension, range.low),
           high = fci_quick_us(dimension, range.high);

    if (dimension == FC_PRESSURE || dimension == FC_LENGTH) {
        low = fci_quick_rounded(low, false);
        high = fci_quick_rounded(high, true);
    }
    if (range.high > range.low)
        fci_print_to(out, "%s = %.10g..%.10g %s", key, low, high, unit);
    else
        fci_print_to(out, "%s = %.10g %s", key,
                     fci_quick_us(dimension, range.nominal), unit);
}

void
fci_quick_put_range(FILE *out, const char *key, fc_dimension dimension,
                    fc_range range)
{
    fci_quick_put_figure(out, key, dimension, range);
    fputc('\n', out);
}

/* What is lost while so many flush: its ends are computed. */
void
fci_quick_put_loss(FILE *out, const char *key, const struct fci_quick_model *m,
                   fc_range loss, int flushing)
{
    const double low = fci_quick_rounded(fci_quick_us(FC_PRESSURE, loss.low),
                                         false),
                 high = fci_quick_rounded(fci_quick_us(FC_PRESSURE, loss.high),
                                          true);

    fci_print_to(out, "%s = %.10g", key, low);
    if (high > low)
        fci_print_to(out, "..%.10g", high);
    fci_print_to(out, " psi at %.10g gpm\n",
                 flushing * fci_quick_us(FC_FLOW, m->rate));
}

/* Of which no more than that is known. */
void
fci_quick_put_least_loss(FILE *out, const struct fci_quick_model *m,
                         double loss)
{
    fci_print_to(out, "loss = %.10g psi at %.10g gpm\n",
                 fci_quick_rounded(fci_quick_us(FC_PRESSURE, loss), false),
                 m->flushing * fci_quick_us(FC_FLOW, m->rate));
}
