/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/page/figure.c -- figures for a person: no more digits than they are
 * worth. */
#include "page/figure.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const struct figure nothing = { "-" };

struct figure
figure_number(double value, int decimals)
{
    struct figure f = nothing;

    if (!isnan(value))
        fc_show_number(FC_NEAREST, decimals, value, f.text, sizeof f.text);
    return f;
}

struct figure
figure_with(fc_unit_system units, fc_dimension dimension, fc_rounding rounding,
            int decimals, double si)
{
    struct figure f = nothing;

    if (!isnan(si))
        fc_show(units, dimension, rounding, decimals, si, f.text,
                sizeof f.text);
    return f;
}

struct figure
figure_of(fc_unit_system units, fc_dimension dimension, double si)
{
    return figure_with(units, dimension, FC_NEAREST, 0, si);
}

struct figure
figure_margin(fc_unit_system units, fc_dimension dimension, double si)
{
    const struct figure f = figure_of(units, dimension, si);
    const size_t length = strlen(f.text);
    struct figure least;

    if (si == 0.0 || strspn(f.text, "0.") < length)
        return f;
    snprintf(least.text, sizeof least.text, "%s<%.*s1", si < 0.0 ? "-" : "",
             (int)length - 1, f.text);
    return least;
}

static struct figure
with_unit(struct figure f, fc_unit_system units, fc_dimension dimension)
{
    size_t used = strlen(f.text);

    snprintf(f.text + used, sizeof f.text - used, " %s",
             fc_unit_name(units, dimension));
    return f;
}

struct figure
figure_said(fc_unit_system units, fc_dimension dimension, double si)
{
    return with_unit(figure_of(units, dimension, si), units, dimension);
}

struct figure
figure_margin_said(fc_unit_system units, fc_dimension dimension, double si)
{
    struct figure f = figure_margin(units, dimension, fabs(si));

    if (f.text[0]
        == '<') { /* "less than 0.1 psi" reads better in a sentence */
        struct figure less;

        snprintf(less.text, sizeof less.text, "less than %.20s", f.text + 1);
        f = less;
    }
    return with_unit(f, units, dimension);
}

static struct figure
joined(struct figure low, struct figure high)
{
    size_t used = strlen(low.text);

    if (strcmp(low.text, high.text) == 0)
        return low;
    snprintf(low.text + used, sizeof low.text - used, "..%.20s", high.text);
    return low;
}

struct figure
figure_range(fc_unit_system units, fc_dimension dimension, fc_range range)
{
    if (!range.given)
        return nothing;
    return joined(figure_of(units, dimension, range.low),
                  figure_of(units, dimension, range.high));
}

struct figure
figure_range_said(fc_unit_system units, fc_dimension dimension, fc_range range)
{
    return with_unit(figure_range(units, dimension, range), units, dimension);
}

struct figure
figure_margin_range(fc_unit_system units, fc_dimension dimension,
                    fc_range range)
{
    if (!range.given)
        return nothing;
    return joined(figure_margin(units, dimension, range.low),
                  figure_margin(units, dimension, range.high));
}

bool
figure_differs(fc_unit_system units, fc_dimension dimension, fc_range range)
{
    struct figure low = figure_of(units, dimension, range.low);
    struct figure high = figure_of(units, dimension, range.high);

    return range.given && strcmp(low.text, high.text) != 0;
}

bool
figure_same(fc_unit_system units, fc_range a, fc_range b)
{
    return strcmp(figure_range(units, FC_PRESSURE, a).text,
                  figure_range(units, FC_PRESSURE, b).text)
           == 0;
}
