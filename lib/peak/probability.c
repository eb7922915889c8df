/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/peak/probability.c -- the flow of independent flush valves, by chance.
 *
 *   [BMS65]  R. B. Hunter, Methods of Estimating Loads in Plumbing Systems,
 *            NBS BMS 65 (1940): the design flow is not exceeded in more than
 *            1 % of the busiest time, valves being on independently
 *
 * Flows are counted in whole units: the flow that all rates are multiples of,
 * where there is one that is not too fine (25 and 12 gpm: 1 gpm).  So sums are
 * exact and equal ones fall together, and the distribution of a sum is the
 * convolution of two short arrays.  Tails too thin to matter are dropped and
 * count as if more flowed than anything: whatever is left out raises the flow
 * that is found.
 */
#include "peak/probability.h"

#include <gsl/gsl_randist.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What one end of a distribution may lose each time. */
#define TAIL 1e-12

/* Chances are sums of products in doubles: what is meant to reach a chance
 * exactly, such as 0.99 of one valve that is on for 1 %, may miss it by this.
 */
#define SAME_CHANCE 1e-9

/* Rates are multiples of a unit when they are to the digits of a data sheet
 * converted back and forth. */
#define SAME_FLOW 1e-9

/* Without a common unit the largest rate is this many steps, ... */
#define STEPS 256

/* ... but no distribution gets more cells than about this. */
#define CELLS 32768

/* ---- Distributions ---------------------------------------------------- */

/* p[i]: the chance of first + i units.  NULL: 0 units for certain. */
struct chances {
    size_t first, n;
    double *p;
};

static void
trim(struct chances *c)
{
    double tail = 0;
    size_t from = 0;

    while (c->n > 1 && (tail += c->p[c->n - 1]) < TAIL)
        c->n--;
    for (tail = 0; from + 1 < c->n && (tail += c->p[from]) < TAIL;)
        from++;
    memmove(c->p, c->p + from, (c->n - from) * sizeof *c->p);
    c->first += from;
    c->n -= from;
}

/* Of `count` valves of `units` each.  Beyond eight standard deviations and 40
 * more on either side less is left than a trim would drop. */
static bool
binomial(int count, double on, size_t units, struct chances *out)
{
    const double mean = count * on;
    const double reach = 8 * sqrt(mean * (1 - on)) + 40;
    const double high = fmin(ceil(mean + reach), count);
    const double low = fmax(floor(mean - reach), 0);
    const size_t n = (size_t)(high - low) + 1;
    size_t i;

    out->first = (size_t)low * units;
    out->n = (n - 1) * units + 1;
    out->p = calloc(out->n, sizeof *out->p);
    if (!out->p)
        return false;
    /* k <= n: nothing here that GSL would call an error */
    for (i = 0; i < n; i++)
        out->p[i * units] = gsl_ran_binomial_pdf((unsigned)low + (unsigned)i,
                                                 on, (unsigned)count);
    trim(out);
    return true;
}

static bool
copy_chances(const struct chances *from, struct chances *to)
{
    *to = *from;
    if (!from->p)
        return true;
    to->p = malloc(from->n * sizeof *to->p);
    if (!to->p)
        return false;
    memcpy(to->p, from->p, from->n * sizeof *to->p);
    return true;
}

/* Both flow.  Many cells are 0 where rates differ, hence the skipping. */
static bool
add_chances(struct chances *sum, const struct chances *more)
{
    const bool shorter = sum->n < more->n;
    const struct chances *a = shorter ? sum : more, *b = shorter ? more : sum;
    struct chances out;
    size_t i, k;

    if (!more->p)
        return true;
    if (!sum->p)
        return copy_chances(more, sum);
    out.first = a->first + b->first;
    out.n = a->n + b->n - 1;
    out.p = calloc(out.n, sizeof *out.p);
    if (!out.p)
        return false;
    for (i = 0; i < a->n; i++) {
        const double chance = a->p[i];
        double *restrict to = out.p + i;
        const double *restrict from = b->p;

        if (chance > 0)
            for (k = 0; k < b->n; k++)
                to[k] += chance * from[k];
    }
    free(sum->p);
    *sum = out;
    trim(sum);
    return true;
}

static double
units_not_exceeded(const struct chances *c, double chance)
{
    double sum = 0;
    size_t i;

    if (!c->p)
        return 0;
    for (i = 0; i + 1 < c->n; i++) {
        sum += c->p[i];
        if (sum >= chance - SAME_CHANCE)
            break;
    }
    return (double)(c->first + i);
}

/* ---- The unit --------------------------------------------------------- */

struct unit {
    double flow;
    bool rounded; /* no common one: rates are rounded up to a multiple */
};

static bool
is_known(const struct fci_valves *v)
{
    return v->flow > 0 && v->on >= 0;
}

/* By Euclid's algorithm; what is left over below `finest` is none. */
static double
common_unit(double a, double b, double finest)
{
    while (b > finest / 2) {
        const double rest = fabs(remainder(a, b));

        a = b;
        b = rest;
    }
    return a;
}

static bool
is_multiple(double flow, double unit)
{
    return fabs(flow - unit * round(flow / unit)) <= SAME_FLOW * flow;
}

static struct unit
choose_unit(const struct fci_valves *valves, size_t n)
{
    struct unit unit = { 0, false };
    double largest = 0, variance = 0, width;
    size_t i;

    for (i = 0; i < n; i++)
        if (is_known(&valves[i])) {
            largest = fmax(largest, valves[i].flow);
            variance += valves[i].count * valves[i].on * (1 - valves[i].on)
                        * valves[i].flow * valves[i].flow;
        }
    /* about what a trimmed distribution of all of them covers */
    width = 15 * sqrt(variance) + 30 * largest;
    for (i = 0; i < n; i++)
        if (is_known(&valves[i]))
            unit.flow = common_unit(valves[i].flow, unit.flow, width / CELLS);
    unit.rounded = unit.flow < width / CELLS;
    if (!unit.rounded && largest > 0) /* the same in whatever order */
        unit.flow = largest / round(largest / unit.flow);
    for (i = 0; i < n && !unit.rounded; i++)
        unit.rounded =
            is_known(&valves[i]) && !is_multiple(valves[i].flow, unit.flow);
    if (unit.rounded)
        unit.flow = fmax(largest / STEPS, width / CELLS);
    return unit;
}

static size_t
units_of(double flow, struct unit unit)
{
    return (size_t)(unit.rounded ? ceil(flow / unit.flow - SAME_FLOW)
                                 : round(flow / unit.flow));
}

/* ---- Valves downstream ------------------------------------------------ */

/* All valves of a subtree, and all but the largest.  Of several as large the
 * one that is on least is left out: the others are on more. */
struct subtree {
    struct chances all, others;
    double largest, on; /* the one left out; 0: no valve */
    bool unknown;       /* some valve is not known */
};

static void
free_subtree(struct subtree *s)
{
    free(s->all.p);
    free(s->others.p);
    s->all.p = s->others.p = NULL;
}

/* Equal rates may differ in their last bits by the unit they were given in. */
static bool
leads(const struct subtree *a, const struct subtree *b)
{
    const double slack = SAME_FLOW * b->largest;

    return a->largest > b->largest + slack
           || (a->largest >= b->largest - slack && a->on < b->on);
}

/* Takes over what `from` has. */
static bool
join(struct subtree *to, struct subtree *from)
{
    const struct subtree was = *to;
    bool enough = true;

    to->unknown |= from->unknown;
    if (from->largest <= 0 || to->unknown) {
        free_subtree(from);
        if (to->unknown)
            free_subtree(to);
        return true;
    }
    if (leads(from, to)) {
        *to = *from;
        *from = was;
    }
    enough = add_chances(&to->others, &from->all)
             && add_chances(&to->all, &from->all);
    free_subtree(from);
    return enough;
}

static bool
join_valves(struct subtree *to, const struct fci_valves *v, struct unit unit)
{
    struct subtree own = { .largest = v->flow, .on = v->on };

    if (!is_known(v)) {
        own.largest = 0;
        own.unknown = !(v->flow <= 0);
    } else if (!binomial(v->count, v->on, units_of(v->flow, unit), &own.all)
               || (v->count > 1
                   && !binomial(v->count - 1, v->on, units_of(v->flow, unit),
                                &own.others))) {
        free_subtree(&own);
        return false;
    }
    return join(to, &own);
}

double
fci_flow_not_exceeded(const struct fci_valves *valves, size_t n, double chance,
                      double *step, bool *enough)
{
    const struct unit unit = choose_unit(valves, n);
    struct subtree all = { .largest = 0 };
    double flow = NAN;
    size_t i;

    *enough = true;
    for (i = 0; i < n && *enough; i++)
        *enough = join_valves(&all, &valves[i], unit);
    if (*enough && !all.unknown)
        flow = unit.flow * units_not_exceeded(&all.all, chance);
    if (step)
        *step = unit.rounded ? unit.flow : 0;
    free_subtree(&all);
    return flow;
}

bool
fci_probable_peaks(const fc_site *site, const struct fci_valves *valves,
                   size_t n, double *peaks, double *step)
{
    const struct unit unit = choose_unit(valves, n);
    struct subtree *trees = calloc(site->n_elements, sizeof *trees);
    bool enough = trees != NULL;
    size_t i;

    for (i = 0; i < n && enough; i++)
        enough = join_valves(&trees[valves[i].element], &valves[i], unit);
    for (i = site->n_elements; i-- > 0 && enough;) { /* leaves first */
        const size_t at = site->order[i];
        const size_t parent = site->elements[at].parent;
        struct subtree *tree = &trees[at];

        peaks[at] = tree->unknown
                        ? NAN
                        : tree->largest
                              + unit.flow
                                    * units_not_exceeded(&tree->others,
                                                         FCI_PEAK_CHANCE);
        if (parent != FCI_NONE)
            enough = join(&trees[parent], tree);
    }
    for (i = 0; trees && i < site->n_elements; i++)
        free_subtree(&trees[i]);
    free(trees);
    *step = unit.rounded ? unit.flow : 0;
    return enough;
}
