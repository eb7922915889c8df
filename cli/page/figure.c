/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/page/figure.c -- figures for a person: no more digits than they are
 * worth. */
#include "page/figure.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Beyond this a figure is nonsense, but must not spoil a table. */
#define LARGEST_PLAIN 1e7

struct figure
figure_number(double value, int decimals)
{
    struct figure f;

    if (isnan(value)) {
        snprintf(f.text, sizeof f.text, "-");
        return f;
    }
    if (!(fabs(value) < LARGEST_PLAIN))
        snprintf(f.text, sizeof f.text, "%.3g", value);
    else
        snprintf(f.text, sizeof f.text, "%.*f", decimals, value);
    if (f.text[0] == '-' && strspn(f.text + 1, "0.") == strlen(f.text + 1))
        memmove(f.text, f.text + 1, strlen(f.text)); /* no "-0.0" */
    return f;
}

static int
decimals_of(fc_unit_system units, fc_dimension dimension)
{
    bool us = units == FC_US;

    switch (dimension) {
    case FC_PRESSURE:
        return us ? 1 : 0;
    case FC_FLOW:
    case FC_LENGTH:
        return us ? 1 : 2;
    case FC_SIZE:
        return us ? 3 : 1;
    case FC_VOLUME:
        return 2;
    case FC_NUMBER:
    case FC_VELOCITY:
    case FC_TIME:
    case FC_TEMPERATURE:
        break;
    }
    return 1;
}

struct figure
figure_of(fc_unit_system units, fc_dimension dimension, double si)
{
    return figure_number(fc_from_si(units, dimension, si),
                         decimals_of(units, dimension));
}

struct figure
figure_margin(fc_unit_system units, fc_dimension dimension, double si)
{
    struct figure f = figure_of(units, dimension, si);
    const char *least = decimals_of(units, dimension) == 0   ? "1"
                        : decimals_of(units, dimension) == 1 ? "0.1"
                                                             : "0.01";

    if (si != 0.0 && strspn(f.text, "0.") == strlen(f.text))
        snprintf(f.text, sizeof f.text, "%s<%s", si < 0.0 ? "-" : "", least);
    return f;
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
        return figure_number(NAN, 0);
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
        return figure_number(NAN, 0);
    return joined(figure_margin(units, dimension, range.low),
                  figure_margin(units, dimension, range.high));
}

struct figure
figure_bore(fc_unit_system units, double si)
{
    return figure_number(fc_from_si(units, FC_SIZE, si),
                         units == FC_US ? 3 : 1);
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
