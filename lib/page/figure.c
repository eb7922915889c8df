/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/page/figure.c -- figures for a person: no more digits than they are
 * worth. */
#include "page/figure.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* A difference of less is none. */
#define MOST_DECIMALS 6

/* Figures that look the same with so many are the same. */
#define MOST_APART 4

static const struct fci_figure nothing = { "-" };

struct fci_figure
fci_figure_number(double value, int decimals)
{
    struct fci_figure f = nothing;

    if (!isnan(value))
        fc_show_number(FC_NEAREST, decimals, value, f.text, sizeof f.text);
    return f;
}

struct fci_figure
fci_figure_with(fc_unit_system units, fc_dimension dimension,
                fc_rounding rounding, int decimals, double si)
{
    struct fci_figure f = nothing;

    if (!isnan(si))
        fc_show(units, dimension, rounding, decimals, si, f.text,
                sizeof f.text);
    return f;
}

struct fci_figure
fci_figure_of(fc_unit_system units, fc_dimension dimension, double si)
{
    return fci_figure_with(units, dimension, FC_NEAREST, 0, si);
}

struct fci_figure
fci_figure_margin(fc_unit_system units, fc_dimension dimension, double si)
{
    struct fci_figure f = fci_figure_of(units, dimension, si);

    for (int decimals = 1; decimals <= MOST_DECIMALS && si != 0.0
                           && strspn(f.text, "-0.") == strlen(f.text);
         decimals++)
        f = fci_figure_with(units, dimension, FC_NEAREST, decimals, si);
    return f;
}

struct fci_figure
fci_figure_signed(fc_unit_system units, fc_dimension dimension, double si)
{
    struct fci_figure f = fci_figure_margin(units, dimension, si);
    struct fci_figure plus;

    if (!(si > 0.0))
        return f;
    snprintf(plus.text, sizeof plus.text, "+%.40s", f.text);
    return plus;
}

static struct fci_figure
with_unit(struct fci_figure f, fc_unit_system units, fc_dimension dimension)
{
    size_t used = strlen(f.text);

    snprintf(f.text + used, sizeof f.text - used, " %s",
             fc_unit_name(units, dimension));
    return f;
}

struct fci_figure
fci_figure_said(fc_unit_system units, fc_dimension dimension, double si)
{
    return with_unit(fci_figure_of(units, dimension, si), units, dimension);
}

struct fci_figure
fci_figure_margin_said(fc_unit_system units, fc_dimension dimension, double si)
{
    return with_unit(fci_figure_margin(units, dimension, fabs(si)), units,
                     dimension);
}

static struct fci_figure
joined(struct fci_figure low, struct fci_figure high)
{
    size_t used = strlen(low.text);

    if (strcmp(low.text, high.text) == 0)
        return low;
    snprintf(low.text + used, sizeof low.text - used, "..%.20s", high.text);
    return low;
}

struct fci_figure
fci_figure_range_with(fc_unit_system units, fc_dimension dimension,
                      int decimals, fc_range range)
{
    if (!range.given)
        return nothing;
    return joined(
        fci_figure_with(units, dimension, FC_NEAREST, decimals, range.low),
        fci_figure_with(units, dimension, FC_NEAREST, decimals, range.high));
}

struct fci_figure
fci_figure_range(fc_unit_system units, fc_dimension dimension, fc_range range)
{
    return fci_figure_range_with(units, dimension, 0, range);
}

struct fci_figure
fci_figure_range_said(fc_unit_system units, fc_dimension dimension,
                      fc_range range)
{
    return with_unit(fci_figure_range(units, dimension, range), units,
                     dimension);
}

struct fci_figure
fci_figure_margin_range(fc_unit_system units, fc_dimension dimension,
                        fc_range range)
{
    if (!range.given)
        return nothing;
    return joined(fci_figure_margin(units, dimension, range.low),
                  fci_figure_margin(units, dimension, range.high));
}

bool
fci_figure_shows(fc_unit_system units, fc_dimension dimension, double si)
{
    const struct fci_figure f = fci_figure_of(units, dimension, si);

    return strspn(f.text, "-0.") < strlen(f.text);
}

static bool
alike(fc_unit_system units, fc_dimension dimension, int decimals, double a,
      double b)
{
    return strcmp(
               fci_figure_with(units, dimension, FC_NEAREST, decimals, a).text,
               fci_figure_with(units, dimension, FC_NEAREST, decimals, b).text)
           == 0;
}

int
fci_figure_apart(fc_unit_system units, fc_dimension dimension, double limit,
                 fc_range range)
{
    int decimals = 0;

    while (decimals <= MOST_APART
           && (alike(units, dimension, decimals, limit, range.low)
               || alike(units, dimension, decimals, limit, range.high)))
        decimals++;
    return decimals <= MOST_APART ? decimals : 0;
}

bool
fci_figure_differs(fc_unit_system units, fc_dimension dimension,
                   fc_range range)
{
    struct fci_figure low = fci_figure_of(units, dimension, range.low);
    struct fci_figure high = fci_figure_of(units, dimension, range.high);

    return range.given && strcmp(low.text, high.text) != 0;
}
