/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/quick/losses.c -- what was measured at one flow, at another flow.
 *
 * A loss that was seen at one flow may at another be anything between the same
 * (a PRV, a preventer: exponent 0) and the square of the flow (a stop, a
 * meter, scale: exponent 2; Hazen-Williams, 1.85, lies between).  So from flow
 * Q to more, Q' > Q, it is from L to L (Q'/Q)^2, and to less, Q' < Q, from
 * L (Q'/Q)^2 to L.
 *
 * A valve passes no less with more pressure, and at most as the square root of
 * it: with n flushing instead of m < n, whose pressure is lower, the flow of
 * each is no more, that of all no less, and no more than n/m times as much.
 * With S static and L lost with m flushing,
 *
 *   S - L (n/m)^2 <= p(n) <= S - L           for n > m
 *             S - L <= p(n) <= S - L (n/m)^2 for n < m
 *
 * wherever it is lost.
 */
#include "quick/model.h"

#include <math.h>

#define OPEN_END FCI_QUICK_OPEN_END
/* A bucket and a watch: as of a flow that is read in a site file. */
#define OPEN_FLOW_WITHIN 0.1
#define HAZEN_WILLIAMS 1.85
#define FAR 2 /* times what was measured: stretched no further */
/* No valve is asked for less (figures.c): where the file leaves less than this
 * of the static pressure, it leaves none. */
#define NONE_LEFT 3447.0 /* Pa, 0.5 psi */

#define ALL_BUT_NONE 20

static double
square(double x)
{
    return x * x;
}

/* How much more a loss is by the square of the flow. */
static double
times(int n, int m)
{
    return square((double)n / m);
}

static const struct fci_quick_reading *
last_reading(const struct fci_quick_model *m)
{
    return &m->readings[m->n_readings - 1];
}

/* ---- Readings ---------------------------------------------------------- */

/* Of one gauge, whose error both share; beside it each is off by its own. */
static fc_range
lost_by_one_gauge(const struct fci_quick_model *m,
                  const struct fci_quick_reading *r)
{
    const double common = m->within - m->misread;
    const fc_range read = m->figures->of[FCI_Q_STILL].value;
    const double own_still =
        fmax(m->within, (read.high - read.low) / 2) - common;
    const double own = r->within - common + own_still;

    return fc_between(read.nominal - r->read - own,
                      read.nominal - r->read + own);
}

static fc_range
lost_of(const struct fci_quick_model *m, const struct fci_quick_reading *r)
{
    fc_range lost = fc_between(m->still.low - r->pressure.high,
                               m->still.high - r->pressure.low);

    if (m->still_read && !m->gauges_differ) {
        const fc_range one = lost_by_one_gauge(m, r);

        lost = fc_between(fmax(lost.low, one.low), fmin(lost.high, one.high));
    }
    lost.high = fmax(lost.high, 0);
    lost.low = fmin(fmax(lost.low, 0), lost.high);
    lost.nominal = (lost.low + lost.high) / 2;
    return lost;
}

/* Where it is lost by two readings: what all valves share loses no less with
 * more flushing, what is the valve's own no more. */
static fc_quick_place
place_of(const struct fci_quick_model *m, const struct fci_quick_reading *few,
         const struct fci_quick_reading *many)
{
    const double gauge = 2 * m->misread; /* one gauge */
    const double apart = few->within + many->within - 2 * m->within;
    const double more = few->read - many->read; /* lost with more of them */
    const double n = (double)many->flushing / few->flushing;
    const double ratio = fmin(many->pressure.low / few->pressure.high, 1);
    /* as much as what all of them share */
    const bool grows = many->lost.high
                       >= few->lost.low * pow(n * sqrt(ratio), HAZEN_WILLIAMS);

    /* of a range only what is in all of it tells */
    if (more - apart <= gauge)
        return more >= -gauge - apart && (grows || more + apart > gauge)
                   ? FC_LOST_EITHER
                   : FC_LOST_OWN;
    if (!grows)
        return FC_LOST_BOTH;
    return FC_LOST_SHARED;
}

/* Where it is lost by all of them: what the first and the last tell, unless
 * two in between tell another thing. */
static fc_quick_place
place(const struct fci_quick_model *m)
{
    const fc_quick_place whole = place_of(m, &m->readings[0], last_reading(m));

    for (int i = 0; i + 1 < m->n_readings && m->n_readings > 2; i++) {
        const fc_quick_place part =
            place_of(m, &m->readings[i], &m->readings[i + 1]);

        if (part != whole && part != FC_LOST_EITHER)
            return FC_LOST_UNKNOWN;
    }
    return whole;
}

void
fci_quick_losses(struct fci_quick_model *m)
{
    for (int i = 0; i < m->n_readings; i++) {
        struct fci_quick_reading *r = &m->readings[i];

        r->pressure =
            fc_between(fmax(r->read - r->within, 0), r->read + r->within);
        r->lost = lost_of(m, r);
    }
    if (m->n_readings > 1)
        m->lost_at = place(m);
}

bool
fci_quick_far(const struct fci_quick_model *m, int n)
{
    return m->n_readings > 0 && n > FAR * last_reading(m)->flushing;
}

static fc_range
read_bounds(const struct fci_quick_model *m, int n)
{
    const double still = m->still.high;
    double low = 0, high = still;

    for (int i = 0; i < m->n_readings; i++) {
        const struct fci_quick_reading *r = &m->readings[i];
        const double k = times(n, r->flushing);

        if (n <= r->flushing) {
            low = fmax(low, r->pressure.low);
            high = fmin(high, still - k * (still - r->pressure.high));
        } else {
            if (!fci_quick_far(m, n))
                low = fmax(low, m->still.low - k * r->lost.high);
            high = fmin(high, r->pressure.high);
        }
    }
    high = fmax(high, 0);
    return fc_between(fmin(low, high), high);
}

/* ---- An open line ------------------------------------------------------ */

fc_range
fci_quick_open_flow(const struct fci_quick_model *m)
{
    return fc_between(m->open_flow * (1 - OPEN_FLOW_WITHIN),
                      m->open_flow * (1 + OPEN_FLOW_WITHIN));
}

fc_range
fci_quick_rate_at(const struct fci_quick_model *m, double p)
{
    const fc_range rate = m->usual_rate.given && !m->rate_timed
                              ? m->usual_rate
                              : fc_exactly(m->rate);
    const double part = sqrt(fmax(p, 0) / m->rate_pressure);

    return fc_between(rate.low * fmin(part, 1), rate.high * fmax(part, 1));
}

/* With S static and Q from the open line, no more than OPEN_END is left at its
 * end.  Flushing, at most
 *
 *   p = S - (S - OPEN_END) (q / Q)^2
 *
 * q of the least usual valve, which rises with p, so one p fits.  Where that
 * is over OPEN_END it rises with S; where it is not, no lower S gives more
 * than OPEN_END.  With more flushing no more is known: all that was lost may
 * be at this valve, whose water alone passes there.  And no less is known than
 * nothing: all that was lost may be lost at any flow. */
static double
open_most(const struct fci_quick_model *m)
{
    const double rate = m->usual_rate.given ? m->usual_rate.low : m->rate;
    const double still = fmax(m->still.high, 0);
    double low = fmin(OPEN_END, still), high = still;

    for (int i = 0; i < 60 && high - low > 1; i++) {
        const double p = (low + high) / 2;
        const double flow =
            rate * sqrt(p / m->rate_pressure) / fci_quick_open_flow(m).high;

        if (still - (still - OPEN_END) * square(fmin(flow, 1)) > p)
            low = p;
        else
            high = p;
    }
    return high;
}

/* That at least is lost in the open line, at the file's rate: where no more
 * than OPEN_END is left, the law ends. */
static double
open_least(const struct fci_quick_model *m)
{
    const double high = m->usual_rate.given ? m->usual_rate.high : m->rate;
    const double at_end = high * sqrt(OPEN_END / m->rate_pressure);
    const double flow = fmax(fci_quick_open_flow(m).high, at_end);

    return fmax(m->still.low - OPEN_END, 0) * square(m->rate / flow);
}

fc_range
fci_quick_bounds(const struct fci_quick_model *m, int n)
{
    if (m->doubt)
        return fc_between(0, fmax(m->still.high, 0));
    if (m->n_readings > 0)
        return read_bounds(m, n);
    return fc_between(0, m->open_flow > 0 ? open_most(m)
                                          : fmax(m->still.high, 0));
}

/* ---- The losses of the file -------------------------------------------- */

/* Whether any number up to that of the verdict is short. */
static bool
is_short(const struct fci_quick_model *m)
{
    for (int n = 1; n <= m->flushing; n++)
        if (fci_quick_bounds(m, n).high < m->minimum.low)
            return true;
    return false;
}

/* What a reading lost, for a file whose static pressure is a range: so that
 * the file gives back the reading with its error, and not that of static on
 * top. With more flushing than were read, errors count that many times. */
static fc_range
kept_lost(const struct fci_quick_model *m, const struct fci_quick_reading *r)
{
    const double a = m->still.high - r->pressure.high,
                 b = m->still.low - r->pressure.low;
    const double low = fmax(a < b ? a : (a + b) / 2, 0),
                 high = fmax(a < b ? b : (a + b) / 2, 0);

    if (m->flushing > last_reading(m)->flushing)
        return fc_between(fmin(low, r->lost.low), fmax(high, r->lost.high));
    return fc_between(low, high);
}

static double
least_lost(const struct fci_quick_model *m, int n)
{
    double least = 0;

    for (int i = 0; i < m->n_readings; i++) {
        const struct fci_quick_reading *r = &m->readings[i];

        least =
            fmax(least, kept_lost(m, r).low * fmin(times(n, r->flushing), 1));
    }
    return least;
}

/* The least of a loss s n^2 at all and o at each that is no more than what is
 * least with any number, and all of that with as many as are asked for. */
static void
keep_least(const struct fci_quick_model *m, struct fci_quick_kept *kept)
{
    const int all = m->flushing;
    const double least = least_lost(m, all);
    double own = least;

    for (int n = 1; n < all; n++)
        own = fmin(own, (least_lost(m, n) - least * times(n, all))
                            / (1 - times(n, all)));
    kept->own.low = fmax(own, 0);
    kept->shared = least - kept->own.low;
}

/* The most: it stands at each valve, as a loss that is the same whatever the
 * others do, so that nothing works in the file with any number, or at the peak
 * demand of the code, that does not work with as many as are asked for. */
static double
most_lost(const struct fci_quick_model *m)
{
    const struct fci_quick_reading *last = last_reading(m);

    double most = 0;

    if (fci_quick_far(m, m->flushing))
        return m->still.high;
    for (int i = 0; i < m->n_readings; i++)
        most = fmax(most, kept_lost(m, &m->readings[i]).high);
    return fmin(fmax(most, kept_lost(m, last).high
                               * times(m->flushing, last->flushing)),
                m->still.high);
}

struct fci_quick_kept
fci_quick_kept_losses(const struct fci_quick_model *m)
{
    /* not known: from nothing to all that there is */
    const double all = fmax(m->still.high, NONE_LEFT);
    struct fci_quick_kept kept = { .own = { .given = true, .high = all } };

    if (!m->doubt && m->n_readings > 0) {
        kept.own.high = most_lost(m);
        kept.own.low = least_lost(m, 1);
        if (is_short(m))
            keep_least(m, &kept);
    } else if (m->n_readings == 0) {
        /* the least usual valve has no more than NONE_LEFT */
        kept.own.high *=
            m->rate_pressure / NONE_LEFT
            / square(
                fmin(fci_quick_rate_at(m, m->rate_pressure).low / m->rate, 1));
        if (!m->doubt && m->open_flow > 0)
            kept.own.low = open_least(m);
    }
    if (m->n_readings > 0 && kept.own.high > m->still.high - NONE_LEFT)
        kept.own.high = ALL_BUT_NONE * all; /* of 1 psi that a rate is of */
    kept.own.high = fmax(kept.own.high, kept.own.low);
    kept.own.nominal = (kept.own.low + kept.own.high) / 2;
    return kept;
}
