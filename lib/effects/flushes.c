/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/flushes.c -- the flushes of a valve in a year, and their water.
 */
#include "effects/uses_work.h"
#include "peak/flush_time.h"
#include "units/range_sums.h"

#include <math.h>

#define WEEKEND 2 /* days */

bool
fci_is_sensor(const struct fci_fixture *fixture, fc_state state)
{
    const fc_valve *v = fixture->valve[state];

    if (!v || v->sensor != FC_NOT_SAID)
        return v && v->sensor == FC_YES;
    return v->hygiene_flush.given || v->sensor_delay.given
           || v->short_stay.given || v->long_stay.given
           || v->flushes_per_battery_set.given || v->battery_life.given
           || v->power != FC_POWER_NOT_SAID
           || (fixture->converted && state == FC_RETROFIT);
}

void
fci_stretch(fc_range *range, double value, bool middle)
{
    if (isnan(value))
        return;
    if (!range->given || value < range->low)
        range->low = value;
    if (!range->given || value > range->high)
        range->high = value;
    if (!range->given || middle)
        range->nominal = value;
    range->given = true;
}

static double
flushes_per_use(const struct fci_making *m, const struct fci_fixture *f,
                fc_state state, const struct fci_corner *c)
{
    const fc_valve *v = f->valve[state];

    if (v->flushes_per_use.given)
        return v->flushes_per_use.nominal;
    return fci_is_sensor(f, state)
               ? fci_at_end(fci_usual_range(m->site, FCI_USUAL_SENSOR_FLUSHES),
                            c->at[FCI_FLUSHES_PER_USE])
               : 1;
}

/* NAN: not known. */
static double
mean_volume(const struct fci_making *m, const fc_valve *v,
            const struct fci_corner *c)
{
    const fc_range stays = fci_usual_range(m->site, FCI_USUAL_LONG_STAYS);
    const fc_range share = fci_reduced_share(
        m->site, v,
        (fc_range){ true, 1 - stays.nominal, 1 - stays.high, 1 - stays.low });
    const int end = v->reduced_share.given ? 0 : -c->at[FCI_LONG_STAYS];

    return fci_mean_flush(v, fci_at_end(share, end), FCI_NOMINAL);
}

static bool
is_same(fc_range a, fc_range b)
{
    return a.low >= b.low && a.low <= b.low && a.high >= b.high
           && a.high <= b.high;
}

static double
idle_after(const struct fci_making *m, const fc_valve *v) /* days */
{
    return fci_or_usual(m->site, v->hygiene_flush, FCI_USUAL_HYGIENE).nominal
           / FCI_DAY;
}

/* In the middle of the ranges of days and hours; weekends where no spell is
 * told. */
static double
idle_flushes(const struct fci_making *m, double rate, double days,
             double after)
{
    struct fci_calendar calendar;

    fci_mark_days(&m->site->usage, days, WEEKEND, &calendar);
    return fci_idle_flushes(&calendar, rate, m->hours.nominal, after);
}

/* Their ends are bounds whatever the uses, since they are not monotone in all
 * that is not known. */
static double
hygiene_of(const struct fci_making *m, size_t fixture, fc_state state,
           double rate, double days, const struct fci_corner *c)
{
    const struct fci_fixture *f = &m->site->fixtures[fixture];
    const fc_range bounds = m->bounds[state][fixture].flushes;
    const int end = c->at[FCI_IDLE_SPELLS];

    if (!fci_is_sensor(f, state) || !m->bounded)
        return 0;
    if (!f->valve[state]->hygiene_flush.given && c->at[FCI_SELF_FLUSHING] < 0)
        return 0;
    if (end != 0)
        return fci_at_end(bounds, end);
    return fmin(
        fmax(idle_flushes(m, rate, days, idle_after(m, f->valve[state])),
             bounds.low),
        bounds.high);
}

void
fci_bound_hygiene(struct fci_making *m, size_t fixture, fc_state state)
{
    const struct fci_fixture *f = &m->site->fixtures[fixture];
    struct fci_use_bounds *b = &m->bounds[state][fixture];
    const struct fci_use_bounds *last = fixture > 0 ? b - 1 : NULL;
    double after;

    b->flushes = fc_exactly(0);
    if (!fci_is_sensor(f, state) || !b->days.given)
        return;
    after = b->after = idle_after(m, f->valve[state]);
    b->flushes = last && is_same(last->rate, b->rate)
                         && is_same(last->days, b->days) && last->flushes.given
                         && last->after >= after && last->after <= after
                     ? last->flushes
                     : fci_idle_bounds(&m->site->usage, b->rate, b->days,
                                       m->hours, after);
}

struct fci_outcome
fci_work_out_year(struct fci_making *m, size_t fixture, fc_state state,
                  const struct fci_day_uses *left, const struct fci_corner *c)
{
    const struct fci_fixture *f = &m->site->fixtures[fixture];
    const fc_valve *v = f->valve[state];
    struct fci_use_bounds *b = &m->bounds[state][fixture];
    struct fci_outcome o = { .uses = fci_uses_of(m, f, left, c),
                             .volume = NAN,
                             .volume_a_day = NAN,
                             .per_flush = NAN };
    double extra, rate;

    o.days = fci_at_end(m->days, c->at[FCI_DAYS_OF_USE]);
    if (!v)
        return o;
    extra = fci_is_sensor(f, state) && m->site->usage.false_flushes.given
                ? o.days
                      * fci_at_end(m->site->usage.false_flushes,
                                   c->at[FCI_FALSE_FLUSHES])
                : 0;
    o.per_flush = mean_volume(m, v, c);
    rate = o.days > 0 ? (o.uses + extra) / o.days : 0;
    if (!m->bounded) {
        fci_stretch(&b->rate, rate, false);
        fci_stretch(&b->days, o.days, false);
    }
    o.hygiene = hygiene_of(m, fixture, state, rate, o.days, c);
    o.flushes = o.uses * flushes_per_use(m, f, state, c) + extra + o.hygiene;
    if (o.days > 0)
        o.volume_a_day = (o.flushes - o.hygiene) * o.per_flush / o.days;
    /* a hygiene flush is a full one */
    o.volume = (o.flushes - o.hygiene) * o.per_flush
               + (o.hygiene > 0 ? o.hygiene * v->full_flush.nominal : 0);
    return o;
}
