/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/field_figures.c -- keys that hold figures: one, two, a curve. */
#include "ground/characters.h"
#include "ground/names.h"
#include "ini/field_type.h"
#include "units/number.h"
#include "units/unit_table.h"

#include <float.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define LAST_BITS (4 * DBL_EPSILON)

/* Pa: a gauge reads below 0 by no more than the atmosphere, 101 325 Pa (NIST
 * SP 811, standard atmosphere), and by what -14.7 psi is rounded. */
#define FULL_VACUUM (-101325.0 - 50.0)

/* ---- What a figure must be -------------------------------------------- */

/* What is met, with room for a tenfold and more; common practice. */
static const struct {
    double least, largest;
} true_figures[] = {
    [FC_NUMBER] = { 1e-9, 1e9 },
    [FC_PRESSURE] = { 1, 1e9 },  /* what stands for a supply without a loss */
    [FC_FLOW] = { 1e-7, 10 },    /* a city's supply */
    [FC_LENGTH] = { 1e-6, 2e4 }, /* a main through a town */
    [FC_SIZE] = { 1e-3, 3 },     /* a transmission main */
    [FC_VELOCITY] = { 1e-3, 100 },
    [FC_VOLUME] = { 1e-7, 1e6 }, /* a city's reservoir */
    [FC_TIME] = { 1e-3, 1e10 },  /* three centuries */
    [FC_TEMPERATURE] = { 1e-9, 1e9 },
    [FC_WATER] = { 1e-7, 1e6 },
};

#define APART 1e-9 /* two flows of a curve [m3/s] */

double
fci_largest(fc_dimension dimension)
{
    return true_figures[dimension].largest;
}

double
fci_least(fc_dimension dimension)
{
    return true_figures[dimension].least;
}

/* A value as the user wrote it, or, from a call, in SI. */
static struct fci_shown
as_given(const struct fci_value *v, const struct fci_field *field,
         fc_range value)
{
    const struct fci_entry *entry =
        v->where.section ? fci_section_entry(v->where.section, field->key)
                         : NULL;
    struct fci_shown shown;

    if (!entry || !entry->value)
        return fci_show_range(FC_SI, field->dimension, value);
    snprintf(shown.text, sizeof shown.text, "%.40s", entry->value);
    return shown;
}

static void
check_positive(struct fci_value *v, const struct fci_field *field,
               fc_range value)
{
    const struct fci_shown given = as_given(v, field, value);
    const char *what = fci_dimension_name(field->dimension);

    if (value.low <= 0)
        fci_value_fail(v, "\"%s\" is not above 0; %s above 0 is expected",
                       given.text, what);
    else if (field->domain == FCI_ACCURACY && value.low < FCI_FINEST_GAUGE)
        fci_value_fail(v,
                       "\"%s\" is finer than any gauge in a building; an "
                       "accuracy of 0.05 psi (0.345 kPa) or more is expected",
                       given.text);
    else if (value.low < fci_least(field->dimension))
        fci_value_fail(v, "\"%s\" is as good as 0; %s above 0 is expected",
                       given.text, what);
}

static void
check_domain(struct fci_value *v, const struct fci_field *field,
             fc_range value)
{
    const struct fci_shown given = as_given(v, field, value);

    switch (field->domain) {
    case FCI_ANY:
        return;
    case FCI_COUNTED:
        if (strchr(given.text, '%'))
            fci_value_fail(v,
                           "\"%s\" is a share; a number of 0 or more is "
                           "expected",
                           given.text);
        /* fall through */
    case FCI_NOT_NEGATIVE:
        if (value.low < 0)
            fci_value_fail(v,
                           "\"%s\" is negative; %s of 0 or more is expected",
                           given.text, fci_dimension_name(field->dimension));
        return;
    case FCI_POSITIVE:
    case FCI_ACCURACY:
        check_positive(v, field, value);
        return;
    case FCI_FRACTION:
        if (value.low < 0 || value.high > 1)
            fci_value_fail(v,
                           "\"%s\" is not a share; a figure from 0 to 1, or "
                           "up to 100%%, is expected",
                           given.text);
        return;
    case FCI_READ:
        if (value.low < FULL_VACUUM)
            fci_value_fail(v,
                           "\"%s\" is below a full vacuum; a gauge pressure "
                           "of -14.7 psi (-101.3 kPa) or more is expected",
                           given.text);
        return;
    }
}

void
fci_check_range(struct fci_value *v, const struct fci_field *field,
                fc_range value)
{
    if (!value.given)
        return;
    if (!isfinite(value.low) || !isfinite(value.high)
        || !(value.low <= value.nominal && value.nominal <= value.high))
        fci_value_fail(v, "is not a range of finite figures; low, nominal and "
                          "high in that order are expected");
    else if (fmax(-value.low, value.high) > fci_largest(field->dimension))
        fci_value_fail(v,
                       "\"%s\" is too large to be true; %s that a building "
                       "can have is expected",
                       as_given(v, field, value).text,
                       fci_dimension_name(field->dimension));
    else if ((field->type == &fci_figure_field
              || field->type == &fci_price_field)
             && value.low < value.high)
        fci_value_fail(v, "\"%s\" is a range; a single figure is expected",
                       as_given(v, field, value).text);
    else
        check_domain(v, field, value);
}

/* "6 psi at 40 gpm". */
static void
check_pair(struct fci_value *v, fc_range first, fc_range second,
           fc_dimension second_dimension)
{
    struct fci_field at = *v->field;

    fci_check_range(v, v->field, first);
    at.dimension = second_dimension;
    at.type = &fci_figure_field;
    at.domain = FCI_POSITIVE;
    fci_check_range(v, &at, second);
}

/* ---- How a figure is written ------------------------------------------ */

/* A number and its unit, and what they are read as. */
struct written {
    char number[40];
    const char *unit;
    double si;
};

static struct written
written(double si, const struct fci_unit *unit, int digits)
{
    const double figure = si * unit->divide / unit->multiply - unit->shift;
    struct written w = { "", unit->name, 0 };
    const char *text = w.number;
    double number;

    snprintf(w.number, sizeof w.number, "%.*g", digits, figure);
    fci_plain_number(w.number);
    if (fci_read_number(&text, &number))
        w.si = fci_to_si(unit, number);
    return w;
}

static bool
is_close(double a, double b)
{
    return fabs(a - b) <= LAST_BITS * fmax(fabs(a), fabs(b));
}

/* In the first of the units whose ten digits tell it, or else with all digits
 * in the last. */
static struct written
written_in(const int *units, size_t n, double si)
{
    struct written w;
    size_t i;

    for (i = 0; i < n; i++) {
        w = written(si, &fci_units[units[i]], 10);
        if (is_close(w.si, si))
            return w;
    }
    return written(si, &fci_units[units[n - 1]], DBL_DECIMAL_DIG);
}

/* A size as the trade names it, where that is what it is. */
static struct written
figure_of(const struct fci_value *v, fc_dimension dimension, double si)
{
    const struct fci_dimension *d = fci_dimension(dimension);
    const int us[] = { d->us, d->si }, metric[] = { d->si, d->us, d->si };

    if (dimension == FC_SIZE) {
        const struct fci_shown label = fci_show(FC_US, FC_SIZE, si);
        struct written size = { "", "", si };
        fc_range read;

        if (fci_read_figure(label.text, FC_SIZE, false, &read, NULL)
            && is_close(read.nominal, si)) {
            snprintf(size.number, sizeof size.number, "%.39s", label.text);
            return size;
        }
    }
    return v->system == FC_SI ? written_in(metric, 3, si)
                              : written_in(us, 2, si);
}

static void
put_figure(struct fci_value *v, fc_dimension dimension, double si)
{
    const struct written text = figure_of(v, dimension, si);

    fci_put(v, *text.unit ? "%s %s" : "%s%s", text.number, text.unit);
}

/* A range in a file has its nominal value in the middle; that of sizes is the
 * smaller. */
void
fci_put_range(struct fci_value *v, fc_dimension dimension, fc_range value)
{
    struct written low, high;
    double nominal;

    if (!value.given)
        return;
    if (!(value.low < value.high)) {
        put_figure(v, dimension, value.nominal);
        return;
    }
    nominal = dimension == FC_SIZE ? value.low
                                   : fc_between(value.low, value.high).nominal;
    if (fabs(value.nominal - nominal)
        > LAST_BITS * fmax(fabs(value.low), fabs(value.high)))
        fci_blame(v, "is a range whose nominal value is not midway");
    low = figure_of(v, dimension, value.low);
    high = figure_of(v, dimension, value.high);
    if (*low.unit && strcmp(low.unit, high.unit) == 0)
        fci_put(v, "%s..", low.number);
    else
        fci_put(v, *low.unit ? "%s %s .. " : "%s%s .. ", low.number, low.unit);
    put_figure(v, dimension, value.high);
}

static void
put_pair(struct fci_value *v, fc_range first, const char *between,
         fc_range second, fc_dimension second_dimension)
{
    if (!first.given)
        return;
    fci_put_range(v, v->field->dimension, first);
    fci_put(v, " %s ", between);
    fci_put_range(v, second_dimension, second);
}

/* ---- A figure, a range ------------------------------------------------ */

static fc_status
read_figure(struct fci_value *v, char *part)
{
    struct fci_reason why;

    if (!fci_read_figure(v->text, v->field->dimension,
                         v->field->type != &fci_figure_field,
                         FCI_INTO(part, v->field->offset, fc_range), &why))
        return fci_value_fail(v, "%s", why.text);
    return FC_OK;
}

static void
check_figure(struct fci_value *v, const char *data)
{
    const fc_range value = *FCI_AT(data, v->field->offset, fc_range);

    if (v->field->required && !value.given && !v->where.section)
        fci_value_fail(v, "is not given; %s is needed",
                       fci_dimension_name(v->field->dimension));
    fci_check_range(v, v->field, value);
}

static void
write_figure(struct fci_value *v, const char *data)
{
    fci_put_range(v, v->field->dimension,
                  *FCI_AT(data, v->field->offset, fc_range));
}

const struct fci_field_type fci_figure_field = {
    .at = sizeof(fc_range),
    .read = read_figure,
    .check = check_figure,
    .write = write_figure,
};

const struct fci_field_type fci_range_field = {
    .at = sizeof(fc_range),
    .read = read_figure,
    .check = check_figure,
    .write = write_figure,
};

/* ---- A price ---------------------------------------------------------- */

static fc_status
read_price(struct fci_value *v, char *part)
{
    struct fci_reason why;

    if (!fci_read_price(v->text, FCI_INTO(part, v->field->offset, fc_range),
                        &why))
        return fci_value_fail(v, "%s", why.text);
    return FC_OK;
}

const struct fci_field_type fci_price_field = {
    .at = sizeof(fc_range),
    .read = read_price,
    .check = check_figure,
    .write = write_figure,
};

/* ---- A size, or "choose" ---------------------------------------------- */

static fc_status
read_size_or_choose(struct fci_value *v, char *part)
{
    fc_range size;

    if (fci_same_name(v->text, "choose")) {
        *FCI_INTO(part, v->field->second, bool) = true;
        return FC_OK;
    }
    if (fci_is_letter(*v->text) && fci_lower(*v->text) != 'd'
        && !fci_read_figure(v->text, FC_SIZE, true, &size, NULL))
        return fci_value_wrong(v, v->text,
                               "a nominal size is expected, such as 1-1/4 in "
                               "or DN32, or \"choose\"");
    return read_figure(v, part);
}

static void
write_size_or_choose(struct fci_value *v, const char *data)
{
    if (*FCI_AT(data, v->field->second, bool))
        fci_put(v, "choose");
    else
        write_figure(v, data);
}

const struct fci_field_type fci_size_or_choose_field = {
    .at = sizeof(fc_range),
    .second = sizeof(bool),
    .read = read_size_or_choose,
    .check = check_figure,
    .write = write_size_or_choose,
};

/* ---- A count ---------------------------------------------------------- */

static bool
is_count(double number)
{
    return number >= 1 && number <= FCI_MOST_COUNT
           && number == (double)(int)number;
}

static bool
are_counts(fc_range number)
{
    return is_count(number.low) && is_count(number.high)
           && number.low <= number.high;
}

static fc_status
read_count(struct fci_value *v, char *part)
{
    fc_range number;
    struct fci_reason why;

    if (!fci_read_figure(v->text, FC_NUMBER, true, &number, &why)
        || !are_counts(number))
        return fci_value_wrong(
            v, v->text,
            "a whole number from 1 to 1,000,000 is expected, or a range such "
            "as 1..3");
    if (number.low < number.high) {
        number.nominal = ceil(number.nominal);
        *FCI_INTO(part, v->field->second, fc_range) = number;
    } else {
        *FCI_INTO(part, v->field->offset, int) = (int)number.nominal;
    }
    return FC_OK;
}

static void
check_count(struct fci_value *v, const char *data)
{
    const fc_range counts = *FCI_AT(data, v->field->second, fc_range);

    if (*FCI_AT(data, v->field->offset, int) < 0)
        fci_value_fail(v, "is negative; 1 or more is expected");
    if (*FCI_AT(data, v->field->offset, int) > FCI_MOST_COUNT)
        fci_value_fail(v, "is more than 1,000,000; as many as a building has "
                          "are expected");
    if (!counts.given)
        return;
    if (*FCI_AT(data, v->field->offset, int) > 0)
        fci_value_fail(v, "is one figure and a range; one of the two is "
                          "expected");
    if (!are_counts(counts) || !is_count(counts.nominal)
        || counts.nominal < counts.low || counts.nominal > counts.high)
        fci_value_fail(v, "is not a range of whole numbers from 1 to "
                          "1,000,000; low, nominal and high in that order are "
                          "expected");
}

static void
write_count(struct fci_value *v, const char *data)
{
    const int count = *FCI_AT(data, v->field->offset, int);
    const fc_range counts = *FCI_AT(data, v->field->second, fc_range);

    if (counts.given && counts.nominal != ceil((counts.low + counts.high) / 2))
        fci_blame(v, "is a range whose nominal value is not midway");
    if (counts.given)
        fci_put(v, "%.0f..%.0f", counts.low, counts.high);
    else if (count)
        fci_put(v, "%d", count);
}

const struct fci_field_type fci_count_field = {
    .at = sizeof(int),
    .second = sizeof(fc_range),
    .read = read_count,
    .check = check_count,
    .write = write_count,
};

/* ---- A deviation ------------------------------------------------------ */

static fc_status
read_deviation(struct fci_value *v, char *part)
{
    struct fci_reason why;

    if (!fci_read_deviation(v->text, v->field->dimension,
                            FCI_INTO(part, v->field->offset, fc_deviation),
                            &why))
        return fci_value_fail(v, "%s", why.text);
    return FC_OK;
}

static void
check_deviation(struct fci_value *v, const char *data)
{
    const fc_deviation d = *FCI_AT(data, v->field->offset, fc_deviation);

    if (d.given
        && (!(d.amount >= 0 && d.amount <= fci_largest(v->field->dimension))
            || (d.is_fraction && d.amount >= 1)))
        fci_value_fail(
            v,
            "cannot be a deviation; 0 or more, and under 100%%, is expected");
}

static void
write_deviation(struct fci_value *v, const char *data)
{
    static const int percent[] = { FCI_PERCENT };
    const fc_deviation d = *FCI_AT(data, v->field->offset, fc_deviation);

    if (d.given && d.is_fraction)
        fci_put(v, "%s%%", written_in(percent, 1, d.amount).number);
    else if (d.given)
        put_figure(v, v->field->dimension, d.amount);
}

const struct fci_field_type fci_deviation_field = {
    .at = sizeof(fc_deviation),
    .read = read_deviation,
    .check = check_deviation,
    .write = write_deviation,
};

/* ---- A figure at another ---------------------------------------------- */

/* The word between the two. */
static const char *
between(const struct fci_field *field)
{
    return field->dimension == FC_VOLUME ? "in" : "at";
}

/* "6 psi at 40 gpm" as two figures.  `at` is where " at " stands, or " in ",
 * which is as long. */
static fc_status
read_pair(struct fci_value *v, const char *at, bool range, fc_range *first,
          fc_range *second, fc_dimension second_dimension)
{
    struct fci_reason why;
    char head[128];

    snprintf(head, sizeof head, "%.*s", (int)(at - v->text), v->text);
    if (!fci_read_figure(head, v->field->dimension, range, first, &why)
        || !fci_read_figure(at + strlen(" at "), second_dimension, false,
                            second, &why))
        return fci_value_fail(v, "%s", why.text);
    return FC_OK;
}

static const char *
pair_expected(const struct fci_field *field)
{
    switch (field->dimension) {
    case FC_FLOW:
        return "a flow at a pressure is expected, such as 25 gpm at 25 psi";
    case FC_VOLUME:
        return "a volume in a time is expected, such as 59 oz in 5 s";
    default:
        return "a pressure at a flow is expected, such as 6 psi at 60 gpm";
    }
}

static fc_status
read_figure_at(struct fci_value *v, char *part)
{
    const struct fci_field *field = v->field;
    const char *at =
        strstr(v->text, field->dimension == FC_VOLUME ? " in " : " at ");

    if (!at)
        return fci_value_wrong(v, v->text, pair_expected(field));
    return read_pair(v, at, field->dimension == FC_FLOW,
                     FCI_INTO(part, field->offset, fc_range),
                     FCI_INTO(part, field->second, fc_range),
                     field->second_dimension);
}

static void
check_figure_at(struct fci_value *v, const char *data)
{
    const struct fci_field *field = v->field;
    const fc_range first = *FCI_AT(data, field->offset, fc_range);
    const fc_range second = *FCI_AT(data, field->second, fc_range);

    if (first.given != second.given)
        fci_value_fail(v, "is only half given; %s %s %s is expected",
                       fci_dimension_name(field->dimension), between(field),
                       fci_dimension_name(field->second_dimension));
    else
        check_pair(v, first, second, field->second_dimension);
}

static void
write_figure_at(struct fci_value *v, const char *data)
{
    const struct fci_field *field = v->field;
    const fc_range first = *FCI_AT(data, field->offset, fc_range);

    if (field->dimension != FC_FLOW && first.low < first.high)
        fci_blame(v, "is a range");
    put_pair(v, first, between(field), *FCI_AT(data, field->second, fc_range),
             field->second_dimension);
}

const struct fci_field_type fci_figure_at_field = {
    .at = sizeof(fc_range),
    .second = sizeof(fc_range),
    .read = read_figure_at,
    .check = check_figure_at,
    .write = write_figure_at,
};

/* ---- A curve ---------------------------------------------------------- */

static fc_status
read_points(struct fci_value *v, void *points, size_t *n, fc_dimension second)
{
    fc_point *point = fci_list_array(v, sizeof *point, points, n);
    const char *list = v->text, *text;
    struct fci_reason why;
    char item[128];

    if (!point)
        return FC_ENOMEM;
    for (; fci_next_item(&list, item, sizeof item); point++) {
        text = item;
        if (!fci_read_leading_figure(&text, FC_FLOW, &point->x, &why)
            || !fci_read_leading_figure(&text, second, &point->y, &why))
            return fci_value_fail(v, "%s", why.text);
        if (*text)
            return fci_value_wrong(
                v, item,
                second == FC_PRESSURE
                    ? "a flow and a pressure are expected for each point, "
                      "such as 40 gpm 11.5 psi"
                    : "a flow and a head are expected for each point, such as "
                      "60 gpm 84 ft");
    }
    return FC_OK;
}

/* Of a flow and what it loses, or the head it has; not of NaN. */
static bool
is_point_of_building(const struct fci_field *field, fc_point point)
{
    const fc_dimension y =
        field->second_dimension == FC_LENGTH ? FC_LENGTH : FC_PRESSURE;

    return point.x <= fci_largest(FC_FLOW) && point.y <= fci_largest(y);
}

static bool
check_point(struct fci_value *v, fc_point point, size_t number)
{
    if (point.x < 0 || point.y < 0)
        fci_value_fail(v,
                       "has a figure below 0 at point %zu; figures of 0 or "
                       "more are expected",
                       number);
    else if (!is_point_of_building(v->field, point))
        fci_value_fail(v,
                       "has a figure too large to be true at point %zu; "
                       "figures that a building can have are expected",
                       number);
    else
        return true;
    return false;
}

/* Points ascending in flow from 0 on; `sign` +1: never falling in y, -1: never
 * rising (a pump), 0: either. */
static void
check_points(struct fci_value *v, const fc_point *points, size_t n, int sign)
{
    size_t i;

    if (n < 2 || !points) {
        fci_value_fail(v,
                       "has a single point; two points or more are expected");
        return;
    }
    for (i = 0; i < n; i++)
        if (!check_point(v, points[i], i + 1))
            return;
    for (i = 1; i < n; i++) {
        if (!(points[i].x - points[i - 1].x >= APART)) {
            fci_value_fail(v,
                           "point %zu is not at a higher flow than the one "
                           "before; points in ascending order of flow are "
                           "expected",
                           i + 1);
            return;
        }
        if (sign * (points[i].y - points[i - 1].y) < 0) {
            fci_value_fail(v, "%s at point %zu; %s is expected",
                           sign > 0 ? "falls" : "rises", i + 1,
                           sign > 0
                               ? "a loss that never falls as the flow grows"
                               : "a head that never rises as the flow grows");
            return;
        }
    }
}

static void
put_points(struct fci_value *v, const fc_point *points, size_t n,
           fc_dimension second)
{
    size_t i;

    for (i = 0; i < n && v->status == FC_OK; i++) {
        fci_put_comma(v, i);
        put_figure(v, FC_FLOW, points[i].x);
        fci_put(v, " ");
        put_figure(v, second, points[i].y);
    }
}

static fc_status
read_curve(struct fci_value *v, char *part)
{
    return read_points(v, part + v->field->offset,
                       FCI_INTO(part, v->field->second, size_t),
                       v->field->second_dimension);
}

static void
check_curve(struct fci_value *v, const char *data)
{
    const size_t n = *FCI_AT(data, v->field->second, size_t);

    if (n > 0 || !v->where.section)
        check_points(v, *FCI_AT(data, v->field->offset, fc_point *), n, -1);
}

static void
write_curve(struct fci_value *v, const char *data)
{
    put_points(v, *FCI_AT(data, v->field->offset, fc_point *),
               *FCI_AT(data, v->field->second, size_t),
               v->field->second_dimension);
}

static bool
copy_curve(const struct fci_field *field, char *part, struct fci_arena *arena)
{
    return fci_copy_array(
        part + field->offset,
        *FCI_AT(part, field->second, size_t) * sizeof(fc_point), arena);
}

const struct fci_field_type fci_points_field = {
    .at = sizeof(fc_point *),
    .second = sizeof(size_t),
    .item = sizeof(fc_point),
    .needed = "a curve of two points or more, such as 0 gpm 95 ft, 60 gpm 84 "
              "ft,",
    .read = read_curve,
    .check = check_curve,
    .write = write_curve,
    .copy = copy_curve,
};

/* ---- A flow test: residual pressures at flows ------------------------- */

static fc_status
read_flow_test(struct fci_value *v, char *part)
{
    fc_point *point = fci_list_array(v, sizeof *point, part + v->field->offset,
                                     FCI_INTO(part, v->field->second, size_t));
    const char *list = v->text;
    struct fci_value one = *v;
    fc_range pressure, flow;
    char item[128];

    if (!point)
        return FC_ENOMEM;
    for (; fci_next_item(&list, item, sizeof item); point++) {
        const char *at = strstr(item, " at ");

        one.text = item;
        if (!at)
            return fci_value_wrong(v, item,
                                   "a residual pressure at a flow is expected "
                                   "for each point, such as 50 psi at 223 "
                                   "gpm");
        if (read_pair(&one, at, false, &pressure, &flow, FC_FLOW) != FC_OK)
            return v->status = one.status;
        *point = (fc_point){ flow.nominal, pressure.nominal };
    }
    return FC_OK;
}

static void
check_flow_test(struct fci_value *v, const char *data)
{
    const fc_point *points = *FCI_AT(data, v->field->offset, fc_point *);
    const size_t n = *FCI_AT(data, v->field->second, size_t);
    double before = 0;
    size_t i;

    for (i = 0; i < n; before = points[i++].x) {
        if (!(fabs(points[i].y) <= fci_largest(FC_PRESSURE)
              && points[i].x <= fci_largest(FC_FLOW)))
            fci_value_fail(v,
                           "has a figure too large to be true at point %zu; "
                           "figures that a building can have are expected",
                           i + 1);
        else if (!(points[i].x - before >= APART))
            fci_value_fail(v,
                           "point %zu is not at a higher flow than the one "
                           "before; points in ascending order of flow, above "
                           "0, are expected",
                           i + 1);
        else if (i > 0 && points[i].y > points[i - 1].y)
            fci_value_fail(v,
                           "rises at point %zu; a residual pressure that "
                           "never rises as the flow grows is expected",
                           i + 1);
        else
            continue;
        return;
    }
}

static void
write_flow_test(struct fci_value *v, const char *data)
{
    const fc_point *points = *FCI_AT(data, v->field->offset, fc_point *);
    const size_t n = *FCI_AT(data, v->field->second, size_t);
    size_t i;

    for (i = 0; i < n && v->status == FC_OK; i++) {
        fci_put_comma(v, i);
        put_figure(v, FC_PRESSURE, points[i].y);
        fci_put(v, " at ");
        put_figure(v, FC_FLOW, points[i].x);
    }
}

const struct fci_field_type fci_flow_test_field = {
    .at = sizeof(fc_point *),
    .second = sizeof(size_t),
    .item = sizeof(fc_point),
    .read = read_flow_test,
    .check = check_flow_test,
    .write = write_flow_test,
    .copy = copy_curve,
};

/* ---- A loss: constant, with the square of the flow, or a curve -------- */

static fc_status
read_loss(struct fci_value *v, char *part)
{
    fc_loss *loss = FCI_INTO(part, v->field->offset, fc_loss);
    const char *at = strstr(v->text, " at ");
    struct fci_reason why;

    if (at) {
        loss->kind = FC_SQUARE_LOSS;
        return read_pair(v, at, true, &loss->pressure, &loss->flow, FC_FLOW);
    }
    if (strchr(v->text, ',')) {
        loss->kind = FC_CURVE_LOSS;
        return read_points(v, &loss->points, &loss->n_points, FC_PRESSURE);
    }
    loss->kind = FC_CONSTANT_LOSS;
    if (!fci_read_figure(v->text, FC_PRESSURE, true, &loss->pressure, &why))
        return fci_value_fail(v, "%s", why.text);
    return FC_OK;
}

static void
check_loss(struct fci_value *v, const char *data)
{
    const fc_loss *loss = FCI_AT(data, v->field->offset, fc_loss);

    switch (loss->kind) {
    case FC_NO_LOSS:
        return;
    case FC_CONSTANT_LOSS:
        if (!loss->pressure.given)
            fci_value_fail(v, "has no pressure; a pressure is expected");
        fci_check_range(v, v->field, loss->pressure);
        return;
    case FC_SQUARE_LOSS:
        if (!loss->pressure.given || !loss->flow.given)
            fci_value_fail(v, "is only half given; a pressure at a flow is "
                              "expected");
        else
            check_pair(v, loss->pressure, loss->flow, FC_FLOW);
        return;
    case FC_CURVE_LOSS:
        check_points(v, loss->points, loss->n_points,
                     v->field->second == FCI_MAY_DIP ? 0 : +1);
        return;
    }
    fci_value_fail(v, "is not a known kind; an fc_loss_kind is expected");
}

static void
write_loss(struct fci_value *v, const char *data)
{
    const fc_loss *loss = FCI_AT(data, v->field->offset, fc_loss);

    switch (loss->kind) {
    case FC_NO_LOSS:
        return;
    case FC_CONSTANT_LOSS:
        fci_put_range(v, FC_PRESSURE, loss->pressure);
        return;
    case FC_SQUARE_LOSS:
        put_pair(v, loss->pressure, "at", loss->flow, FC_FLOW);
        return;
    case FC_CURVE_LOSS:
        put_points(v, loss->points, loss->n_points, FC_PRESSURE);
        return;
    }
}

static bool
copy_loss(const struct fci_field *field, char *part, struct fci_arena *arena)
{
    fc_loss *loss = FCI_INTO(part, field->offset, fc_loss);

    return fci_copy_array(&loss->points, loss->n_points * sizeof(fc_point),
                          arena);
}

const struct fci_field_type fci_loss_field = {
    .at = sizeof(fc_loss),
    .read = read_loss,
    .check = check_loss,
    .write = write_loss,
    .copy = copy_loss,
};
