/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/part_check.c -- what a part of a site must be by itself. */
#include "ground/diagnostics.h"
#include "site/parts.h"
#include "units/units.h"
#include "laws/water.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define LONGEST_NAME 64

/* Pa: a gauge reads below 0 by no more than the atmosphere, 101 325 Pa (NIST
 * SP 811, standard atmosphere), and by what -14.7 psi is rounded. */
#define FULL_VACUUM (-101325.0 - 50.0)

/* Pa: 0.05 psi.  The finest test gauges are good to a tenth of a percent of
 * their range, which at 60 psi is that (common practice); less would also be
 * printed as 0.0 psi. */
#define FINEST_GAUGE 344.7378646584

/* A part under check; `worst` gathers the outcome. */
struct check {
    const struct fci_part *part;
    fc_diagnostics *messages;
    fc_status worst;
};

#define FAIL(c, ...)                                                          \
    note((c), fci_part_fail((c)->part, (c)->messages, __VA_ARGS__))

static void
note(struct check *c, fc_status status)
{
    if (c->worst != FC_ENOMEM)
        c->worst = status;
}

/* A value as the user wrote it, or, from a call, in SI. */
static struct fci_shown
as_given(const struct check *c, const struct fci_field *field, fc_range value)
{
    const struct fci_entry *entry =
        c->part->section ? fci_section_entry(c->part->section, field->key)
                         : NULL;
    struct fci_shown shown;

    if (!entry)
        return fci_show_range(FC_SI, field->dimension, value);
    snprintf(shown.text, sizeof shown.text, "%.40s", entry->value);
    return shown;
}

/* Whether a key was given, even if its figure was not understood (which has
 * been reported): what is said of missing keys must not repeat that. */
static bool
was_given(const struct check *c, const char *key, bool understood)
{
    return understood || fci_part_has_key(c->part, key);
}

static void
check_name(struct check *c)
{
    const char *name = c->part->name, *p;

    if (!*name) {
        FAIL(c, NULL, "has no name; a name is needed, such as [%s %s-1]",
             fci_part_kinds[c->part->kind].word,
             fci_part_kinds[c->part->kind].word);
        return;
    }
    for (p = name; *p; p++)
        if (!((*p >= 'a' && *p <= 'z') || (*p >= 'A' && *p <= 'Z')
              || (*p >= '0' && *p <= '9') || strchr("-_.", *p))) {
            FAIL(c, NULL,
                 "has a name that cannot be used; letters, digits, "
                 "\"-\", \"_\" and \".\" are expected");
            return;
        }
    if (p - name > LONGEST_NAME)
        FAIL(c, NULL, "has a name of %d characters; at most %d are expected",
             (int)(p - name), LONGEST_NAME);
}

/* ---- Figures ---------------------------------------------------------- */

static void
check_positive(struct check *c, const struct fci_field *field, fc_range value)
{
    const struct fci_shown given = as_given(c, field, value);
    const char *what = fci_dimension_name(field->dimension);

    if (value.low <= 0)
        FAIL(c, field->key, "\"%s\" is not above 0; %s above 0 is expected",
             given.text, what);
    else if (value.low < FCI_LEAST)
        FAIL(c, field->key, "\"%s\" is as good as 0; %s above 0 is expected",
             given.text, what);
    else if (field->domain == FCI_ACCURACY && value.low < FINEST_GAUGE)
        FAIL(c, field->key,
             "\"%s\" is finer than any gauge in a building; an accuracy of "
             "0.05 psi (0.345 kPa) or more is expected",
             given.text);
}

static void
check_domain(struct check *c, const struct fci_field *field, fc_range value)
{
    const struct fci_shown given = as_given(c, field, value);

    switch (field->domain) {
    case FCI_ANY:
        return;
    case FCI_NOT_NEGATIVE:
        if (value.low < 0)
            FAIL(c, field->key,
                 "\"%s\" is negative; %s of 0 or more is expected", given.text,
                 fci_dimension_name(field->dimension));
        return;
    case FCI_POSITIVE:
    case FCI_ACCURACY:
        check_positive(c, field, value);
        return;
    case FCI_FRACTION:
        if (value.low < 0 || value.high > 1)
            FAIL(c, field->key,
                 "\"%s\" is not a share; a figure from 0 to 1, or up to "
                 "100 %%, is expected",
                 given.text);
        return;
    case FCI_READ:
        if (value.low < FULL_VACUUM)
            FAIL(c, field->key,
                 "\"%s\" is below a full vacuum; a gauge pressure of "
                 "-14.7 psi (-101.3 kPa) or more is expected",
                 given.text);
        return;
    }
}

static void
check_range(struct check *c, const struct fci_field *field, fc_range value)
{
    const char *what = fci_dimension_name(field->dimension);

    if (!value.given)
        return;
    if (!isfinite(value.low) || !isfinite(value.high)
        || !(value.low <= value.nominal && value.nominal <= value.high)) {
        FAIL(c, field->key,
             "is not a range of finite figures; low, nominal and high in "
             "that order are expected");
        return;
    }
    if (fmax(-value.low, value.high) > FCI_LARGEST)
        FAIL(c, field->key,
             "\"%s\" is too large to be true; %s that a building can have is "
             "expected",
             as_given(c, field, value).text, what);
    else if (field->type == FCI_FIGURE && value.low < value.high)
        FAIL(c, field->key, "\"%s\" is a range; a single figure is expected",
             as_given(c, field, value).text);
    else
        check_domain(c, field, value);
}

static void
check_pair(struct check *c, const struct fci_field *field, fc_range first,
           fc_range second)
{
    struct fci_field at = *field;

    if (first.given != second.given) {
        FAIL(c, field->key, "is only half given; %s %s %s is expected",
             fci_dimension_name(field->dimension), fci_field_between(field),
             fci_dimension_name(field->second_dimension));
        return;
    }
    check_range(c, field, first);
    at.dimension = field->second_dimension;
    at.type = FCI_FIGURE;
    at.domain = FCI_POSITIVE;
    check_range(c, &at, second);
}

static bool
check_point(struct check *c, const char *key, fc_point point, size_t number)
{
    if (point.x < 0 || point.y < 0)
        FAIL(c, key,
             "has a figure below 0 at point %zu; figures of 0 or more are "
             "expected",
             number);
    else if (!(point.x <= FCI_LARGEST && point.y <= FCI_LARGEST)) /* or NaN */
        FAIL(c, key,
             "has a figure too large to be true at point %zu; figures that a "
             "building can have are expected",
             number);
    else
        return true;
    return false;
}

/* Points ascending in flow from 0 on; `sign` +1: never falling in y (a loss
 * that fell with the flow could not be bounded), -1: never rising (a pump). */
static void
check_points(struct check *c, const char *key, const fc_point *points,
             size_t n, int sign)
{
    size_t i;

    if (n < 2 || !points) {
        FAIL(c, key, "has a single point; two points or more are expected");
        return;
    }
    for (i = 0; i < n; i++)
        if (!check_point(c, key, points[i], i + 1))
            return;
    for (i = 1; i < n; i++) {
        if (!(points[i].x - points[i - 1].x >= FCI_LEAST)) {
            FAIL(c, key,
                 "point %zu is not at a higher flow than the one before; "
                 "points in ascending order of flow are expected",
                 i + 1);
            return;
        }
        if (sign * (points[i].y - points[i - 1].y) < 0) {
            FAIL(c, key, "%s at point %zu; %s is expected",
                 sign > 0 ? "falls" : "rises", i + 1,
                 sign > 0 ? "a loss that never falls as the flow grows"
                          : "a head that never rises as the flow grows");
            return;
        }
    }
}

static void
check_loss(struct check *c, const struct fci_field *field, const fc_loss *loss)
{
    switch (loss->kind) {
    case FC_NO_LOSS:
        return;
    case FC_CONSTANT_LOSS:
        if (!loss->pressure.given)
            FAIL(c, field->key, "has no pressure; a pressure is expected");
        check_range(c, field, loss->pressure);
        return;
    case FC_SQUARE_LOSS: {
        struct fci_field at = *field;

        if (!loss->pressure.given || !loss->flow.given) {
            FAIL(c, field->key,
                 "is only half given; a pressure at a flow is expected");
            return;
        }
        check_range(c, field, loss->pressure);
        at.dimension = FC_FLOW;
        at.type = FCI_FIGURE;
        at.domain = FCI_POSITIVE;
        check_range(c, &at, loss->flow);
        return;
    }
    case FC_CURVE_LOSS:
        check_points(c, field->key, loss->points, loss->n_points, +1);
        return;
    }
    FAIL(c, field->key, "is of no known kind; an fc_loss_kind is expected");
}

static void
check_deviation(struct check *c, const struct fci_field *field,
                const fc_deviation *deviation)
{
    if (!deviation->given)
        return;
    if (!(deviation->amount >= 0 && deviation->amount <= FCI_LARGEST)
        || (deviation->is_fraction && deviation->amount >= 1))
        FAIL(c, field->key,
             "cannot be a deviation; 0 or more, and under "
             "100 %%, is expected");
}

/* ---- Fields ----------------------------------------------------------- */

static size_t
choices_end(const struct fci_field *field)
{
    size_t n = 0;

    while (field->choices[n])
        n++;
    return n + field->second;
}

static void
check_choice(struct check *c, const struct fci_field *field, const char *place)
{
    int choice;

    memcpy(&choice, place, sizeof choice);
    if (choice < 0 || (size_t)choice >= choices_end(field))
        FAIL(c, field->key,
             "is no value of its enum; one of its words is "
             "expected");
    else if (field->required && choice == 0 && field->second > 0
             && !c->part->section)
        FAIL(c, field->key, "is not given; one of its words is expected");
}

static void
check_list(struct check *c, const struct fci_field *field, const char *data)
{
    const fc_pipe *pipe = (const fc_pipe *)(const void *)data;
    const fc_heater *heater = (const fc_heater *)(const void *)data;
    size_t i;

    if (field->type == FCI_FITTINGS)
        for (i = 0; i < pipe->n_fittings; i++)
            if (pipe->fittings[i].count < 1 || !pipe->fittings[i].name)
                FAIL(c, field->key,
                     "item %zu is no fitting; a count of 1 or "
                     "more and a name are expected",
                     i + 1);
    if (field->type == FCI_NAMES && heater->n_serves == 0 && !c->part->section)
        FAIL(c, field->key, "is empty; names of fixtures are expected");
}

static void
check_needed_name(struct check *c, const struct fci_field *field,
                  const char *place)
{
    const char *text;

    memcpy(&text, place, sizeof text);
    if (!text && !c->part->section) /* the reader has said it of a file */
        FAIL(c, field->key, "is not given; a name is needed");
}

static void
check_figure(struct check *c, const struct fci_field *field, const char *place)
{
    fc_range value;

    memcpy(&value, place, sizeof value);
    if (field->required && !value.given && !c->part->section)
        FAIL(c, field->key, "is not given; %s is needed",
             fci_dimension_name(field->dimension));
    check_range(c, field, value);
}

static void
check_figure_at(struct check *c, const struct fci_field *field,
                const char *data)
{
    fc_range first, second;

    memcpy(&first, data + field->offset, sizeof first);
    memcpy(&second, data + field->second, sizeof second);
    check_pair(c, field, first, second);
}

static void
check_curve(struct check *c, const struct fci_field *field, const char *data)
{
    const fc_point *points;
    size_t n;

    memcpy(&points, data + field->offset, sizeof points);
    memcpy(&n, data + field->second, sizeof n);
    if (n > 0 || !c->part->section)
        check_points(c, field->key, points, n, -1);
}

static void
check_field(struct check *c, const struct fci_field *field, const char *data)
{
    const char *place = data + field->offset;

    switch (field->type) {
    case FCI_NAME:
    case FCI_TEXT:
        if (field->required)
            check_needed_name(c, field, place);
        return;
    case FCI_FIGURE:
    case FCI_RANGE:
    case FCI_SIZE_OR_CHOOSE:
        check_figure(c, field, place);
        return;
    case FCI_FIGURE_AT:
        check_figure_at(c, field, data);
        return;
    case FCI_LOSS:
        check_loss(c, field, (const fc_loss *)(const void *)place);
        return;
    case FCI_POINTS:
        check_curve(c, field, data);
        return;
    case FCI_CHOICE:
        check_choice(c, field, place);
        return;
    case FCI_DEVIATION:
        check_deviation(c, field, (const fc_deviation *)(const void *)place);
        return;
    case FCI_FITTINGS:
    case FCI_NAMES:
        check_list(c, field, data);
        return;
    case FCI_COUNT:
        if (*(const int *)(const void *)place < 0)
            FAIL(c, field->key, "is negative; 1 or more is expected");
        return;
    case FCI_YES_NO:
    case FCI_FLUSHING:
    case FCI_WHILE:
    case FCI_SKIP:
        return;
    }
}

/* ---- Pairs and kinds -------------------------------------------------- */

static void
check_settings(struct check *c, const fc_settings *s)
{
    if (s->water_temperature.given
        && !(s->water_temperature.low >= FCI_WATER_COLDEST
             && s->water_temperature.high <= FCI_WATER_HOTTEST))
        FAIL(c, "water temperature",
             "is not that of liquid water; 32 to 212 degF (0 to 100 degC) is "
             "expected");
}

static void
forbid(struct check *c, fc_range value, const char *key, const char *kind)
{
    if (value.given)
        FAIL(c, key,
             "does not belong to this kind of source; it belongs to "
             "a %s",
             kind);
}

static void
check_street_main(struct check *c, const fc_source *s)
{
    if (!was_given(c, "static", s->static_pressure.given))
        FAIL(c, NULL,
             "lacks \"static\"; a street main needs its static "
             "pressure");
    if (was_given(c, "residual", s->residual.given)
        != was_given(c, "residual flow", s->residual_flow.given))
        FAIL(c, s->residual.given ? "residual" : "residual flow",
             "stands alone; a flow test needs residual and residual flow");
    if (s->static_pressure.given && s->residual.given
        && (s->residual.nominal > s->static_pressure.nominal
            || s->residual.low > s->static_pressure.high))
        FAIL(c, "residual",
             "is above the static pressure; it is expected to be at most "
             "that");
}

static void
check_source(struct check *c, const fc_source *s)
{
    if (s->kind == 0) /* not understood: said already */
        return;
    if (s->kind == FC_STREET_MAIN)
        check_street_main(c, s);
    else {
        forbid(c, s->static_pressure, "static", "street main");
        forbid(c, s->residual, "residual", "street main");
        forbid(c, s->residual_flow, "residual flow", "street main");
    }
    if (s->kind == FC_TANK) {
        if (!was_given(c, "water level", s->water_level.given))
            FAIL(c, NULL,
                 "lacks \"water level\"; a tank needs the elevation "
                 "of its surface");
        else if (s->water_level.given
                 && s->water_level.low < s->elevation.high)
            FAIL(c, "water level",
                 "is below the outlet's elevation; a surface above the "
                 "outlet is expected");
    } else
        forbid(c, s->water_level, "water level", "tank");
    if (s->kind == FC_FIXED) {
        if (!was_given(c, "pressure", s->pressure.given))
            FAIL(c, NULL,
                 "lacks \"pressure\"; a fixed source needs its "
                 "pressure");
    } else
        forbid(c, s->pressure, "pressure", "fixed source");
}

/* Whether a is surely above b. */
static bool
above(fc_range a, fc_range b)
{
    return a.given && b.given && a.low > b.high;
}

static void
check_valve(struct check *c, const fc_valve *v)
{
    if (above(v->minimum_flowing, v->maximum_static))
        FAIL(c, "minimum flowing",
             "is above the maximum static; it is expected to be below it");
    if (above(v->minimum_flowing, v->maximum_flowing))
        FAIL(c, "minimum flowing",
             "is above the maximum flowing; it is expected to be below it");
    if (above(v->maximum_flowing, v->maximum_static))
        FAIL(c, "maximum flowing",
             "is above the maximum static; it is expected to be at most "
             "that");
    if (v->reduced_flush.given
        && !was_given(c, "full flush", v->full_flush.given))
        FAIL(c, "reduced flush",
             "stands alone; the full flush is needed beside it");
    if (above(v->reduced_flush, v->full_flush))
        FAIL(c, "reduced flush",
             "is above the full flush; a smaller volume is expected");
    if (v->reduced_share.given
        && !was_given(c, "reduced flush", v->reduced_flush.given))
        FAIL(c, "reduced share", "stands alone; it needs a reduced flush");
    if (v->regulated == FC_YES && !was_given(c, "flow", v->flow.given))
        FAIL(c, "regulated",
             "stands alone; it needs the flow, such as 25 gpm at 25 psi");
}

static void
check_meter(struct check *c, const fc_device *d)
{
    if (!was_given(c, "loss", d->loss.kind != FC_NO_LOSS) && !d->meter_kind)
        FAIL(c, NULL,
             "lacks its loss; \"loss\", or \"kind\" and \"size\", is needed");
    if (d->loss.kind != FC_NO_LOSS && d->meter_kind)
        FAIL(c, "kind", "is given beside the loss; one of them is expected");
    if (d->meter_kind && !was_given(c, "size", d->size.given))
        FAIL(c, "kind", "stands alone; it needs the size, such as 2 in");
}

static void
check_pipe(struct check *c, const fc_pipe *p)
{
    if (p->choose_size && p->inside_diameter.given)
        FAIL(c, "inside diameter",
             "is given though the size is to be chosen; the inside diameters "
             "of the material's sizes are taken");
}

/* A flow may be told in one of three ways. */
static void
check_reading(struct check *c, const fc_reading *r)
{
    const struct {
        const char *key;
        bool given;
    } flows[] = {
        { "flow", was_given(c, "flow", r->flow.given) },
        { "filled", was_given(c, "filled", r->filled_volume.given) },
        { "flush time", was_given(c, "flush time", r->flush_time.given) },
    };
    const char *first = NULL;
    size_t i;

    for (i = 0; i < sizeof flows / sizeof *flows; i++) {
        if (flows[i].given && first)
            FAIL(c, flows[i].key,
                 "is given beside \"%s\"; one of \"flow\", \"filled\" and "
                 "\"flush time\" is expected",
                 first);
        else if (flows[i].given)
            first = flows[i].key;
    }
    if (!first && !was_given(c, "pressure", r->pressure.given))
        FAIL(c, NULL, "lacks \"pressure\"; a pressure or a flow is needed");
}

static void
check_kind(struct check *c)
{
    const void *data = c->part->data;
    const fc_device *device = data;

    switch (c->part->kind) {
    case FCI_SITE:
        check_settings(c, data);
        break;
    case FCI_SOURCE:
        check_source(c, data);
        break;
    case FCI_PIPE:
        check_pipe(c, data);
        break;
    case FCI_METER:
        check_meter(c, device);
        break;
    case FCI_BACKFLOW:
    case FCI_DEVICE:
        if (!was_given(c, "loss", device->loss.kind != FC_NO_LOSS))
            FAIL(c, NULL,
                 "lacks \"loss\"; a loss is needed, such as 6 psi at 40 gpm");
        break;
    case FCI_VALVE:
        check_valve(c, data);
        break;
    case FCI_READING:
        check_reading(c, data);
        break;
    default:
        break;
    }
}

fc_status
fci_part_check(const struct fci_part *part, fc_diagnostics *messages)
{
    const struct fci_part_kind *kind = &fci_part_kinds[part->kind];
    struct check c = { part, messages, FC_OK };
    size_t i;

    if (kind->named)
        check_name(&c);
    for (i = 0; i < kind->n_fields; i++)
        check_field(&c, &kind->fields[i], part->data);
    check_kind(&c);
    return c.worst;
}
