/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/peak/pair.c -- two reducers side by side as one element. */
#include "peak/pair.h"

#include <float.h>
#include <math.h>

struct pair {
    const fc_site *site;
    const struct fci_element *one, *other;
    double flow;
    enum fci_end end;
};

static struct pair
pair_of(const fc_site *site, const struct fci_element *element, double flow,
        enum fci_end end)
{
    return (struct pair){ site, element, fci_beside(site, element), flow,
                          end };
}

/* What one leaves that passes a part of the flow; `in`: the inlet's, its rise
 * counted. */
static double
out_of(const struct pair *pair, const struct fci_element *element, double part,
       double in)
{
    const struct fci_taking taking =
        fci_one_takes(pair->site, element, part * pair->flow, pair->end);

    return fmin(in - taking.loss, taking.most);
}

/* ---- Where what falls is none ----------------------------------------- */

/* As many as halvings alone take down to what a double tells apart. */
#define MOST_STEPS 100

struct bracket {
    double low, high; /* above 0 there, and below or at 0 */
};

/* Where the chord meets 0.  The end that stood still counts half, so that both
 * move; and now and then the bracket is halved, so that it ends. */
static struct bracket
narrow(const struct pair *pair,
       double (*falling)(const struct pair *, double, double), double of,
       struct bracket b)
{
    double at_low = falling(pair, b.low, of);
    double at_high = falling(pair, b.high, of);
    bool rose = false, fell = false;

    if (!(at_low > 0))
        b.high = b.low;
    else if (at_high >= 0)
        b.low = b.high;
    for (int i = 1;
         i <= MOST_STEPS && b.high - b.low > DBL_EPSILON * fabs(b.high); i++) {
        const double middle = b.low + (b.high - b.low) / 2;
        double at = b.low + (b.high - b.low) * (at_low / (at_low - at_high));
        double found;

        if (i % 3 == 0 || !(at > b.low && at < b.high))
            at = middle;
        found = falling(pair, at, of);
        if (found > 0) {
            b.low = at;
            at_low = found;
            at_high = rose ? at_high / 2 : at_high;
        } else {
            b.high = at;
            at_high = found;
            at_low = fell ? at_low / 2 : at_low;
        }
        rose = found > 0;
        fell = !rose;
    }
    return b;
}

/* ---- The two ---------------------------------------------------------- */

/* How much more the one leaves that passes a part than the other one. */
static double
more_of_one(const struct pair *pair, double part, double in)
{
    return out_of(pair, pair->one, part, in)
           - out_of(pair, pair->other, 1 - part, in);
}

/* What a flow is split into, as the part through the one: the more it passes
 * the less it leaves, and the more the other one does.  Either may have to
 * pass all, where the other leaves less at no flow. */
static double
split(const struct pair *pair, double in)
{
    return narrow(pair, more_of_one, in, (struct bracket){ 0, 1 }).low;
}

/* Any split of the flow leaves no less than the lower of the two: with more
 * through one than that the other would have to pass less. */
static double
outlet(const struct pair *pair, double in)
{
    const double part = split(pair, in);

    if (!(part > 0))
        return out_of(pair, pair->other, 1, in);
    if (!(part < 1))
        return out_of(pair, pair->one, 1, in);
    return fmin(out_of(pair, pair->one, part, in),
                out_of(pair, pair->other, 1 - part, in));
}

struct fci_taking
fci_pair_takes(const fc_site *site, const struct fci_element *element,
               double flow, enum fci_end end)
{
    const struct pair pair = pair_of(site, element, flow, end);
    const double part = split(&pair, INFINITY);
    const struct fci_taking one =
        fci_one_takes(site, pair.one, part * flow, end);
    const struct fci_taking other =
        fci_one_takes(site, pair.other, (1 - part) * flow, end);
    struct fci_taking taking = one;

    taking.most = outlet(&pair, INFINITY);
    taking.loss = fmax(part > 0 ? one.loss : 0, part < 1 ? other.loss : 0);
    return taking;
}

/* Where both have what they need the outlet has `most`, and keeps it until the
 * inlet has less; below, it falls by no more than the inlet does. */
static double
direct(const struct pair *pair, const struct fci_taking *taking, double in)
{
    if (isinf(in) || in - taking->loss >= taking->most)
        return in - taking->loss;
    return outlet(pair, in);
}

struct fci_pressure
fci_pair_passes(const fc_site *site, const struct fci_element *element,
                const struct fci_taking *taking, struct fci_pressure in,
                double flow, enum fci_end end)
{
    const struct pair pair = pair_of(site, element, flow, end);
    const struct fci_pressure out = {
        direct(&pair, taking, in.direct - taking->lift),
        fmin(direct(&pair, taking, in.capped - taking->lift), taking->most)
    };

    return out;
}

static double
lacks(const struct pair *pair, double in, double out)
{
    return out - outlet(pair, in);
}

double
fci_pair_asks(const fc_site *site, const struct fci_element *element,
              const struct fci_taking *taking, double out, double flow,
              enum fci_end end)
{
    const struct pair pair = pair_of(site, element, flow, end);
    const struct bracket all = { out, taking->most + taking->loss };

    return (out < taking->most ? narrow(&pair, lacks, out, all).high
                               : all.high)
           + taking->lift;
}
