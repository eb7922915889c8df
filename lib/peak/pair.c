/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/peak/pair.c -- two reducers side by side as one element. */
#include "peak/pair.h"

/* Halvings down to what a double tells apart. */
#define HALVINGS 100

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

/* What a flow is split into, as the part through the one: the more it passes
 * the less it leaves, and the more the other one does.  Either may have to
 * pass all, where the other leaves less at no flow. */
static double
split(const struct pair *pair, double in)
{
    double low = 0, high = 1;
    int i;

    if (out_of(pair, pair->one, 0, in) <= out_of(pair, pair->other, 1, in))
        return 0;
    if (out_of(pair, pair->one, 1, in) >= out_of(pair, pair->other, 0, in))
        return 1;
    for (i = 0; i < HALVINGS; i++) {
        const double middle = low + (high - low) / 2;

        if (out_of(pair, pair->one, middle, in)
            > out_of(pair, pair->other, 1 - middle, in))
            low = middle;
        else
            high = middle;
    }
    return low;
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

double
fci_pair_asks(const fc_site *site, const struct fci_element *element,
              const struct fci_taking *taking, double out, double flow,
              enum fci_end end)
{
    const struct pair pair = pair_of(site, element, flow, end);
    double low = out, high = taking->most + taking->loss;
    int i;

    for (i = 0; i < HALVINGS && out < taking->most; i++) {
        const double middle = low + (high - low) / 2;

        if (outlet(&pair, middle) < out)
            low = middle;
        else
            high = middle;
    }
    return high + taking->lift;
}
