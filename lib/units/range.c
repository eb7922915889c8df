/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/units/range.c -- what figures make up: "40..60 ft", "25 psi (172 kPa)",
 * "5 %". */
#include "ground/characters.h"
#include "ground/call.h"
#include "ground/diagnostics.h"
#include "units/scan_figure.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

struct reader {
    struct fci_wanted wanted;
    const char *at;
    bool bracketed;
};

/* A figure, and what stands in brackets behind it. */
struct item {
    struct fci_figure figure;
    fc_range second;
};

static bool read_range(struct reader *r, fc_range *value);

/* The "(172 kPa)" at p. */
static bool
scan_brackets(struct reader *r, struct item *item, const char *p)
{
    struct fci_figure *f = &item->figure;

    if (r->bracketed)
        return fci_refuse(&r->wanted, f->start, p + 1,
                          "has a bracket within a bracket");
    r->at = fci_skip_blanks(p + 1);
    r->bracketed = true;
    if (!read_range(r, &item->second))
        return false;
    r->bracketed = false;
    p = fci_skip_blanks(r->at);
    if (*p != ')')
        return fci_refuse(&r->wanted, f->start, fci_word_end(p),
                          "has a bracket left open");
    r->at = f->end = p + 1;
    return true;
}

static bool
scan_item(struct reader *r, struct item *item)
{
    const char *p;

    item->second = (fc_range){ 0 };
    if (!fci_scan_figure(&r->wanted, r->at, &item->figure))
        return false;
    r->at = item->figure.end;
    p = fci_skip_blanks(r->at);
    if (*p != '(' || r->wanted.dimension == FC_NUMBER)
        return true;
    return scan_brackets(r, item, p);
}

/* Data sheets round: within 1 %, temperatures within 1 degF. */
static bool
agree(fc_dimension dimension, double a, double b)
{
    if (dimension == FC_TEMPERATURE)
        return fabs(a - b) <= 5.0 / 9.0 * (1.0 + 1e-9);
    return fabs(a - b) <= 0.01 * fmax(fabs(a), fabs(b));
}

/* The brackets behind a figure against what they repeat. */
static bool
check_second(const struct reader *r, const struct item *item, fc_range value)
{
    const fc_dimension dimension = r->wanted.dimension;

    if (!item->second.given
        || (agree(dimension, value.low, item->second.low)
            && agree(dimension, value.high, item->second.high)))
        return true;
    return fci_refuse_for(&r->wanted, item->figure.start, item->figure.end,
                          dimension == FC_TEMPERATURE
                              ? "says two different things; the figure in "
                                "brackets must agree within 1 degF"
                              : "says two different things; the figure in "
                                "brackets must agree within 1%");
}

/* The high end, behind what parts it from the low one at p. */
static bool
scan_high_end(struct reader *r, const struct fci_figure *low, const char *p,
              struct item *high)
{
    const bool points = fci_at_range(p);

    p += fci_range_mark(p);
    if (points && *p == '.')
        return fci_refuse_for(
            &r->wanted, low->start, fci_figure_end(&r->wanted, p + 1),
            "has three points; a range has two, as in 40..60");
    r->at = fci_skip_blanks(p);
    return scan_item(r, high);
}

/* The ends turned into SI, and in order.  A unit behind the high end goes for
 * the low one too: "3/4..1 in". */
static bool
judge_ends(const struct reader *r, struct fci_figure *low,
           struct fci_figure *high)
{
    if (!low->unit && high->unit != &fci_units[FCI_DN])
        low->unit = high->unit;
    if (low->unit && !high->unit)
        return fci_refuse(
            &r->wanted, high->start, high->end,
            low->unit == &fci_units[FCI_PERCENT] ? "has no %" : "has no unit");
    if (!fci_judge_figure(&r->wanted, low)
        || !fci_judge_figure(&r->wanted, high))
        return false;
    if (!(low->si <= high->si))
        return fci_refuse_for(
            &r->wanted, low->start, high->end,
            "runs downward; a range starts with its lower figure");
    return true;
}

/* What follows the low end, the mark of a range at p. */
static bool
read_high_end(struct reader *r, struct item *low, const char *p,
              fc_range *value)
{
    struct item high;
    fc_range repeated; /* in the last brackets */

    if (!scan_high_end(r, &low->figure, p, &high)
        || !judge_ends(r, &low->figure, &high.figure))
        return false;
    *value = fc_between(low->figure.si, high.figure.si);
    if (r->wanted.dimension == FC_SIZE) /* a label has no middle */
        value->nominal = value->low;
    repeated = high.second.low < high.second.high
                   ? *value /* "40..60 ft (12..18 m)" */
                   : fc_exactly(high.figure.si);
    return check_second(r, low, fc_exactly(low->figure.si))
           && check_second(r, &high, repeated);
}

static bool
read_range(struct reader *r, fc_range *value)
{
    struct item item;
    const char *p;

    if (!scan_item(r, &item))
        return false;
    p = fci_skip_blanks(r->at);
    if (fci_range_mark(p) > 0 && !r->wanted.leading) {
        if (r->wanted.range)
            return read_high_end(r, &item, p, value);
        return fci_refuse_for(&r->wanted, item.figure.start, p + strlen(p),
                              "is a range; one figure is needed here");
    }
    if (!fci_judge_figure(&r->wanted, &item.figure))
        return false;
    *value = fc_exactly(item.figure.si);
    return check_second(r, &item, *value);
}

static bool
begin(struct reader *r, struct fci_wanted wanted, const char *text)
{
    *r = (struct reader){ .wanted = wanted, .at = fci_skip_blanks(text) };
    if (fci_dimension(wanted.dimension))
        return true;
    if (wanted.why)
        snprintf(wanted.why->text, sizeof wanted.why->text,
                 "%d is no dimension; one of fc_dimension is needed",
                 (int)wanted.dimension);
    return false;
}

static bool
nothing_follows(const struct reader *r, const char *start)
{
    const char *rest = fci_skip_blanks(r->at);

    return !*rest || fci_refuse_rest(&r->wanted, start, r->at, rest);
}

static bool
read_whole(struct reader *r, fc_range *value)
{
    const char *start = r->at;

    return read_range(r, value) && nothing_follows(r, start);
}

bool
fci_read_figure(const char *text, fc_dimension dimension, bool range,
                fc_range *value, struct fci_reason *why)
{
    const struct fci_wanted wanted = {
        .dimension = dimension, .range = range, .also = "", .why = why
    };
    struct reader r;
    fc_range got;

    if (!begin(&r, wanted, text) || !read_whole(&r, &got))
        return false;
    *value = got;
    return true;
}

bool
fci_read_leading_figure(const char **text, fc_dimension dimension,
                        double *value, struct fci_reason *why)
{
    const struct fci_wanted wanted = {
        .dimension = dimension, .leading = true, .also = "", .why = why
    };
    struct reader r;
    fc_range got;

    if (!begin(&r, wanted, *text) || !read_range(&r, &got))
        return false;
    *value = got.nominal;
    *text = fci_skip_blanks(r.at);
    return true;
}

/* "10 %" as a fraction; a deviation of a temperature is a difference. */
static bool
read_amount(struct reader *r, const struct fci_figure *first,
            fc_deviation *value)
{
    fc_range range;

    *value = (fc_deviation){ .given = true };
    value->is_fraction = first->unit == &fci_units[FCI_PERCENT];
    if (value->is_fraction) {
        value->amount = fci_to_si(first->unit, first->number);
        r->at = first->end;
        return nothing_follows(r, first->start);
    }
    if (!read_whole(r, &range))
        return false;
    value->amount = range.nominal;
    if (r->wanted.dimension == FC_TEMPERATURE)
        value->amount -= fci_to_si(first->unit, 0.0);
    return true;
}

bool
fci_read_deviation(const char *text, fc_dimension dimension,
                   fc_deviation *value, struct fci_reason *why)
{
    const struct fci_wanted wanted = { .dimension = dimension,
                                       .also = dimension == FC_NUMBER
                                                   ? ""
                                                   : ", or 5%",
                                       .why = why };
    struct fci_figure first; /* a first look, for the sign and the unit */
    struct reader r;
    fc_deviation got;

    if (!begin(&r, wanted, text) || !fci_scan_figure(&wanted, r.at, &first)
        || !read_amount(&r, &first, &got))
        return false;
    if (first.number < 0.0)
        return fci_refuse(&wanted, first.start, first.end, "is below zero");
    *value = got;
    return true;
}

fc_status
fc_parse(const char *text, fc_dimension dimension, fc_range *value,
         fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_GIVEN(text), FCI_GIVEN(value),
                    FCI_ENUM(dimension, FC_WATER)))
        return FC_EINPUT;

    struct fci_reason why;

    if (fci_read_figure(text ? text : "", dimension, true, value, &why))
        return FC_OK;
    return fci_fail(messages, FC_EINPUT, NULL, 0, "%s", why.text);
}

fc_range
fc_exactly(double x)
{
    const fc_range range = { true, x, x, x };

    return range;
}

fc_range
fc_between(double low, double high)
{
    const fc_range range = { true, 0.5 * low + 0.5 * high, low, high };

    return range;
}
