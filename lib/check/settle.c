/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/settle.c -- what a verdict that cannot be told turns on.
 *
 * Each input that is known only as a range is tried at its good end while all
 * others stay at their worst.  Of those that make everything work the one that
 * gives most decides, and the figure at which the verdict turns is found by
 * bisection of the whole verdict.
 */
#include "check/settle_words.h"
#include "ground/ties.h"
#include "peak/source.h"
#include "site/inputs.h"

#include <math.h>

/* Inputs beyond so many are not tried: the time would grow with their square.
 */
#define MOST_INPUTS 200
/* A figure is found to this part of its range; reports show fewer digits. */
#define FINE_ENOUGH 1e-7
/* The same where chances decide that are drawn. */
#define FINE_AS_DRAWN 4e-3

/* ---- One building that might be ---------------------------------------- */

const struct fci_element *
fci_the_source(const fc_site *site)
{
    return &site->elements[site->order[0]];
}

static void
set_drop(struct fci_settling *s, double drop)
{
    fc_source *source = fci_variant_data(&s->variant, s->what->site->order[0]);

    source->test_static = fc_exactly(drop);
    source->residual = fc_exactly(0);
    source->residual_flow = fc_exactly(s->flow);
}

void
fci_settling_set(struct fci_settling *s, size_t input, double value)
{
    if (input == FCI_DROP)
        set_drop(s, value);
    else
        fci_variant_set(&s->variant, input, value);
}

static bool
works(struct fci_settling *s, bool flows)
{
    return s->what->works(s->what, &s->variant.site, flows);
}

static bool
goes_on(const struct fci_settling *s)
{
    return s->what->status == FC_OK;
}

/* ---- The input that decides --------------------------------------------- */

static bool
is_a_flow(const struct fci_input *input)
{
    return input->row
           && (input->row->measured == FCI_IN_FLOW
               || input->row->measured == FCI_IN_COUNT);
}

/* At its good end, all others at their worst. */
static bool
try_at(struct fci_settling *s, struct fci_decider *c, double good, double bad)
{
    c->good = good;
    c->bad = bad;
    fci_settling_set(s, c->input, good);
    return works(s, c->flows);
}

static bool
find_candidate(struct fci_settling *s, struct fci_decider *best)
{
    const size_t n = s->variant.n_inputs;
    double most = -INFINITY;
    bool found = false;
    size_t i;
    int end;

    for (i = 0; i < n && i < MOST_INPUTS && goes_on(s); i++) {
        const struct fci_input *input = &s->variant.inputs[i];
        struct fci_decider c = { .input = i, .flows = is_a_flow(input) };

        if (input->sizes || input->cause == FCI_OWN_PART)
            continue;
        for (end = 0; end < 2; end++) {
            const bool works =
                try_at(s, &c, end ? input->given.high : input->given.low,
                       end ? input->given.low : input->given.high);

            if (works && fci_is_less(most, s->what->governing)) {
                most = s->what->governing;
                *best = c;
                found = true;
            }
        }
        fci_variant_reset(&s->variant);
    }
    return found && goes_on(s);
}

static double
bisect(struct fci_settling *s, const struct fci_decider *c)
{
    const double near = (s->what->drawn ? FINE_AS_DRAWN : FINE_ENOUGH)
                        * fabs(c->bad - c->good);
    double good = c->good, bad = c->bad;

    while (fabs(bad - good) > near && goes_on(s)) {
        const double middle = (good + bad) / 2;

        fci_settling_set(s, c->input, middle);
        if (works(s, c->flows))
            good = middle;
        else
            bad = middle;
    }
    return good;
}

static bool
is_right(struct fci_settling *s, const struct fci_decider *c, double value)
{
    fci_settling_set(s, c->input, value);
    return works(s, c->flows)
           && (!s->what->confirm
               || s->what->confirm(s->what, &s->variant.site));
}

/* Where more than is tried at each figure says no, it joins in.  False: the
 * verdict does not turn between the ends of the input. */
static bool
find_turning_point(struct fci_settling *s, const struct fci_decider *c,
                   double *limit)
{
    bool drawn, right;

    if (is_right(s, c, c->bad) || !is_right(s, c, c->good))
        return false;
    do {
        drawn = s->what->drawn;
        *limit = bisect(s, c);
        right = is_right(s, c, *limit);
    } while (goes_on(s) && !right && !drawn && fabs(*limit - c->good) > 0);
    return right && goes_on(s);
}

/* ---- The whole ---------------------------------------------------------- */

/* An untested main first: without its drop nothing else is sure. */
static bool
drop_decides(struct fci_settling *s, struct fci_decider *c)
{
    const fc_site *site = s->what->site;
    const struct fci_element *source = fci_the_source(site);
    const double still = fci_source_pressure(source->part->data, source->shape,
                                             site->water_weight, 0, FCI_WORST);

    if (site->n_sources > 1 || !(s->flow > 0))
        return false;
    *c = (struct fci_decider){ .input = FCI_DROP };
    return try_at(s, c, 0, fmax(still, 0));
}

fc_status
fci_settle(struct fci_unsettled *what, struct fci_arena *arena,
           fc_proviso *proviso)
{
    const fc_site *site = what->site;
    struct fci_settling s = { .what = what,
                              .flow = what->flow[site->order[0]] };
    struct fci_decider c;
    double limit;

    *proviso = (fc_proviso){ 0 };
    what->status = fci_variant_make_ranged(&s.variant, site);
    if (what->status == FC_OK
        && (fci_untested_main(site) ? drop_decides(&s, &c)
                                    : find_candidate(&s, &c))
        && find_turning_point(&s, &c, &limit)) {
        if (!fci_settling_tell(&s, &c, limit, arena, proviso))
            what->status = FC_ENOMEM;
    }
    fci_variant_free(&s.variant);
    return what->status;
}
