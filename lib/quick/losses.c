/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/quick/losses.c -- what gauge readings with one valve flushing and with
 * several tell of the losses.
 *
 * A valve passes a flow that goes with the square root of its pressure p, and
 * a loss goes with the square of the flow.  With n valves flushing, S static,
 *
 *   S = p + s n^2 p + o p
 *
 * where s is what is shared by all of them and o what is the valve's own, both
 * in parts of p.  One reading tells s + o, two tell each.  All readings at the
 * valve are of one gauge, whose error they share; beside it each is misread by
 * up to half a mark.  The ends are those of all combinations of errors.
 */
#include "quick/model.h"

#include <math.h>

#define LEAST_PRESSURE 345.0 /* Pa, 0.05 psi: finer no gauge reads */
/* Loss goes with this to the second power of the flow: Hazen-Williams, and
 * stops, meters and scale. */
static const double exponents[] = { 1.85, 2.0 };
#define LEAST_REGULATED 6895.0 /* Pa, 1 psi */
/* At an open end of a full bore the pressure is no more: 25 gpm leave 3/4 in
 * pipe at 16 ft/s, whose velocity head is 1.8 psi. */
#define OPEN_END 13800.0 /* Pa, 2 psi */
/* A bucket and a watch: as of a flow that is read in a site file. */
#define OPEN_FLOW_WITHIN 0.1

/* A set of true pressures that the gauges may have read. */
struct truth {
    double still, flowing[FCI_Q_READ];
};

/* What all of them come to so far. */
struct seen {
    struct fci_quick_model *model;
    fc_range shared, own;     /* in parts of p */
    fc_range all[FCI_Q_READ]; /* of each reading, likewise */
    fc_range last;            /* lost with the most that were read [Pa] */
    double over_shared[2],
        over_own[2]; /* loss beyond either, least and most */
};

static void
take(fc_range *range, double value)
{
    const double v = fmax(value, 0);

    *range = range->given
                 ? fc_between(fmin(range->low, v), fmax(range->high, v))
                 : fc_exactly(v);
}

static void
take_end(double ends[2], double value)
{
    ends[0] = fmin(ends[0], value);
    ends[1] = fmax(ends[1], value);
}

/* What two readings tell of s and o. */
static void
take_pair(struct seen *seen, const struct truth *t, int a, int b)
{
    const struct fci_quick_reading *r = seen->model->readings;
    const double na = r[a].flushing * r[a].flushing,
                 nb = r[b].flushing * r[b].flushing;
    const double la = t->still / t->flowing[a] - 1,
                 lb = t->still / t->flowing[b] - 1;

    take(&seen->shared, (lb - la) / (nb - na));
    take(&seen->own, (la * nb - lb * na) / (nb - na));
}

/* How much more is lost with the most flushing than what is lost with the
 * least foretells, were all of it shared, or all the valve's own. */
static void
take_rest(struct seen *seen, const struct truth *t)
{
    const int last = seen->model->n_readings - 1;
    const struct fci_quick_reading *r = seen->model->readings;
    const double flow = sqrt(t->flowing[last] / t->flowing[0]);
    const double times = (double)r[last].flushing / r[0].flushing;
    const double first = t->still - t->flowing[0];
    const double then = t->still - t->flowing[last];

    for (int i = 0; i < 2; i++) {
        take_end(seen->over_shared,
                 then - first * pow(times * flow, exponents[i]));
        take_end(seen->over_own, then - first * pow(flow, exponents[i]));
    }
}

static void
take_truth(struct seen *seen, const struct truth *t)
{
    const struct fci_quick_model *m = seen->model;
    const int n = m->readings[0].flushing;

    for (int i = 0; i < m->n_readings; i++)
        take(&seen->all[i], t->still / t->flowing[i] - 1);
    take(&seen->last, t->still - t->flowing[m->n_readings - 1]);
    if (m->n_readings == 1) {
        take(&seen->shared, (t->still / t->flowing[0] - 1) / (n * n));
        take(&seen->own, 0);
        return;
    }
    for (int a = 0; a < m->n_readings; a++)
        for (int b = a + 1; b < m->n_readings; b++)
            take_pair(seen, t, a, b);
    take_rest(seen, t);
}

/* Both ends of what is of one reading alone, of this one and those after. */
static void
misread_from(struct seen *seen, struct truth *t, double off, int i)
{
    const struct fci_quick_model *m = seen->model;

    if (i == m->n_readings) {
        take_truth(seen, t);
        return;
    }
    for (int end = -1; end <= 1; end += 2) {
        const struct fci_quick_reading *r = &m->readings[i];
        const double own = r->within - (m->within - m->misread);

        t->flowing[i] = fmax(r->read + off + end * own, LEAST_PRESSURE);
        misread_from(seen, t, off, i + 1);
    }
}

static void
take_all(struct seen *seen)
{
    const struct fci_quick_model *m = seen->model;
    const double common = m->within - m->misread;
    const fc_range read = m->figures->of[FCI_Q_STILL].value;

    for (int of_gauge = -1; of_gauge <= 1; of_gauge++)
        for (int end = -1; end <= 1; end += 2) {
            const double off = of_gauge * common;
            struct truth t = { .still =
                                   end < 0 ? m->still.low : m->still.high };

            if (m->still_read && !m->gauges_differ)
                t.still = fmin(
                    fmax(read.nominal + off + end * m->misread, m->still.low),
                    m->still.high);
            misread_from(seen, &t, off, 0);
        }
}

/* Valves and losses that follow other laws must not make a reading impossible:
 * the shared loss is widened until each is within. */
static void
cover(struct seen *seen)
{
    const struct fci_quick_model *m = seen->model;

    for (int i = 0; i < m->n_readings; i++) {
        const double n = m->readings[i].flushing * m->readings[i].flushing;
        const fc_range all = seen->all[i];

        take(&seen->shared,
             fmin(seen->shared.low, (all.low - seen->own.low) / n));
        take(&seen->shared,
             fmax(seen->shared.high, (all.high - seen->own.high) / n));
    }
}

static bool
holds_none(const double ends[2])
{
    return ends[0] <= 0 && ends[1] >= 0;
}

/* Where it is lost. */
static void
place(struct fci_quick_model *m, const struct seen *seen)
{
    const bool shared = holds_none(seen->over_shared);
    const bool own = holds_none(seen->over_own);

    if (shared && own)
        m->lost_at = FC_LOST_EITHER;
    else if (shared)
        m->lost_at = FC_LOST_SHARED;
    else if (own)
        m->lost_at = FC_LOST_OWN;
    else if (seen->over_shared[1] < 0 && seen->over_own[0] > 0)
        m->lost_at = FC_LOST_BOTH;
    m->lost_more = seen->over_shared[0] > 0;
}

/* In parts of p, turned into a loss with the valve's rate. */
static fc_range
at_rate(const struct fci_quick_model *m, fc_range parts)
{
    return fc_between(parts.low * m->rate_pressure,
                      parts.high * m->rate_pressure);
}

static void
of_readings(struct fci_quick_model *m)
{
    struct seen seen = { .model = m,
                         .over_shared = { INFINITY, -INFINITY },
                         .over_own = { INFINITY, -INFINITY } };

    take_all(&seen);
    cover(&seen);
    m->shared = at_rate(m, seen.shared);
    m->own = at_rate(m, seen.own);
    m->last = seen.last;
    if (m->n_readings > 1)
        place(m, &seen);
}

/* What a valve passes was not measured: its rate may be any that is usual. The
 * loss is carried, by either exponent, to the flow at the pressure that is
 * required: with more pressure the square of the flow then loses no less than
 * a smaller exponent would, and with less no more. */
static void
of_open_line(struct fci_quick_model *m)
{
    const fc_range rate =
        m->usual_rate.given ? m->usual_rate : fc_exactly(m->rate);
    const double required = m->minimum.low / m->rate_pressure;
    const double low = rate.low / (m->open_flow * (1 + OPEN_FLOW_WITHIN)),
                 high = rate.high / (m->open_flow * (1 - OPEN_FLOW_WITHIN));
    double least = INFINITY, most = 0;

    for (int i = 0; i < 2; i++) {
        least = fmin(least, pow(low * sqrt(required), exponents[i]));
        most = fmax(most, pow(high * sqrt(required), exponents[i]));
    }
    m->shared = fc_between(fmax(m->still.low - OPEN_END, 0) * least / required,
                           m->still.high * most / required);
    m->own = fc_exactly(0);
}

/* Flushing alone the valve has p, where S is static and Q what the open line
 * gives, with no more than OPEN_END left at its end:
 *
 *   p = S - loss <= S - (S - OPEN_END) (q / Q)^x
 *
 * by the exponent that loses least.  q, of the least usual valve, rises with
 * p, so one p fits.  Where that is over OPEN_END it rises with S; where it is
 * not, no lower S gives more than OPEN_END.  With more flushing no more is
 * known: all that was lost may be at this valve, whose water alone passes
 * there. */
double
fci_quick_open_most(const struct fci_quick_model *m)
{
    const double rate = m->usual_rate.given ? m->usual_rate.low : m->rate;
    const double still = m->still.high;
    double low = fmin(OPEN_END, still), high = still;

    for (int i = 0; i < 60 && high - low > 1; i++) {
        const double p = (low + high) / 2;
        const double flow = rate * sqrt(p / m->rate_pressure)
                            / (m->open_flow * (1 + OPEN_FLOW_WITHIN));
        const double times =
            fmin(pow(flow, exponents[0]), pow(flow, exponents[1]));

        if (still - (still - OPEN_END) * times > p)
            low = p;
        else
            high = p;
    }
    return high;
}

void
fci_quick_losses(struct fci_quick_model *m)
{
    /* nothing measured: from nothing to all that there is */
    const double all = m->rate_pressure * m->still.high / LEAST_PRESSURE;

    m->shared = fc_between(0, all);
    m->own = fc_exactly(0);
    if (m->n_readings > 0)
        of_readings(m);
    else if (m->open_flow > 0)
        of_open_line(m);
}

struct fci_quick_model
fci_quick_bounds(const struct fci_quick_model *m)
{
    struct fci_quick_model bounds = *m;
    double most;

    if (m->piped) {
        if (m->usual_rate.given)
            bounds.rate = m->usual_rate.low;
        return bounds;
    }
    bounds.regulated = true;
    bounds.rate_pressure = LEAST_REGULATED;
    if (m->n_readings > 0) {
        most = m->readings[m->n_readings - 1].flushing;
        bounds.shared = fc_between(m->last.low / (most * most),
                                   m->last.high / (most * most));
        bounds.own = fc_exactly(0);
    }
    return bounds;
}
