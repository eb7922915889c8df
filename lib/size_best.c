/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/size_best.c -- sizes at least cost that do in the flush events too.
 *
 * What the events need is no sum along a tree.  Where they fall short, all
 * fixtures are given more pressure in hand at peak, which widens the pipes
 * that cost least to widen, until they do.
 */
#include "size_attempt.h"

#include <string.h>

/* Pressure in hand goes by such steps [Pa]: half a psi, finer than a gauge
 * tells. */
#define STEP 3447.38
#define MOST_STEPS 512

struct raise {
    struct fci_best *best;
    const fc_site *site;
    struct fci_size_aims aims;
    const fc_size_options *options;
    fc_diagnostics *messages;
};

/* An attempt with so many steps in hand; kept where it works.  *served: at
 * peak. */
static fc_status
try_steps(struct raise *r, int steps, bool *works, bool *served)
{
    struct fci_attempt a;
    fc_status status;

    r->aims.in_hand = steps * STEP;
    status =
        fci_attempt_make(&a, r->site, &r->aims, r->options, r->messages);
    *served = status == FC_OK && a.found;
    *works = status == FC_OK && fci_attempt_works(&a);
    if (!*works) {
        fci_attempt_free(&a);
        return status;
    }
    fci_attempt_free(&r->best->attempt);
    r->best->attempt = a;
    r->best->in_hand = steps * STEP;
    return FC_OK;
}

/* The fewest steps that do, by doubling and then halving.  Beyond those that
 * serve at peak none do. */
static fc_status
raise_in_hand(struct raise *r)
{
    int low = 0, high = 1;
    bool works = false, served = true;
    fc_status status = FC_OK;

    while (status == FC_OK && !works && served && high < MOST_STEPS) {
        status = try_steps(r, high, &works, &served);
        if (!works && served) {
            low = high;
            high *= 2;
        }
    }
    while (status == FC_OK && high - low > 1) {
        const int middle = low + (high - low) / 2;

        status = try_steps(r, middle, &works, &served);
        if (works || !served)
            high = middle;
        else
            low = middle;
    }
    return status;
}

fc_status
fci_attempt_best(struct fci_best *best, const fc_site *site,
                 const struct fci_size_aims *aims,
                 const fc_size_options *options, fc_diagnostics *messages)
{
    struct raise raise = { best, site, *aims, options, messages };
    fc_status status;
    bool at_peak;

    memset(best, 0, sizeof *best);
    status = fci_attempt_make(&best->attempt, site, aims, options, messages);
    best->cost_at_peak = best->attempt.cost;
    memcpy(best->least, best->attempt.least, sizeof best->least);
    if (status != FC_OK || !best->attempt.found
        || fci_attempt_works(&best->attempt))
        return status;
    status = fci_attempt_at_peak(&best->attempt, &at_peak, messages);
    return status == FC_OK && at_peak ? raise_in_hand(&raise) : status;
}
