/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/warn.c -- pressures read that are a hazard, or no pressures. */
#include "diagnose/diagnose.h"

#include <math.h>

#define PSI 6894.757293168361 /* exact quotient, NIST SP 811 App. B */
/* A figure is of another unit where it is far from what is expected and near
 * it when it is turned: common practice. */
#define FAR 0.5  /* of what is expected */
#define NEAR 0.1 /* of it, or so many accuracies: */
#define NEAR_WITHIN 3

/* Drinking water where it might be drawn back. */
static void
warn_of_none(struct fci_consistency *s, const struct fci_gauge *g)
{
    fci_find(
        &s->found, FC_WARN, g->name, 0, FC_FOUND_NO_PRESSURE,
        "{read} read at {at}{still}: at zero or below, foul water can be "
        "drawn into the drinking water; stop and report it first",
        FCI_WITH(
            FCI_ONE("read", FC_PRESSURE, g->read),
            FCI_WORD("at", fci_place_name(s->readings->site, g->place)),
            FCI_WORD("still", s->readings->events[g->event].n == 0
                                  ? " with nothing open (a valve upstream "
                                    "shut, or the main off)"
                                  : "")));
}

/* More than fittings bear, or a figure in another unit: kPa read as psi, or
 * psi as kPa. */
static void
warn_of_much(struct fci_consistency *s, const struct fci_gauge *g,
             double expected)
{
    const double most = s->readings->site->settings.maximum_static.nominal;
    const double other = s->readings->site->settings.units == FC_US
                             ? g->read * 1000 / PSI
                             : g->read * PSI / 1000;

    if (fabs(other - expected) < fmax(NEAR_WITHIN * g->within, NEAR * expected)
        && fabs(g->read - expected) > FAR * expected)
        fci_find(
            &s->found, FC_WARN, g->name, 0, FC_FOUND_UNIT,
            "{read} read at {at}, {expected} expected: psi and kPa mixed up? "
            "Check the scale of the gauge",
            FCI_WITH(
                FCI_ONE("read", FC_PRESSURE, g->read),
                FCI_WORD("at", fci_place_name(s->readings->site, g->place)),
                FCI_ONE("expected", FC_PRESSURE, expected)));
    else if (g->place.fixture != FCI_NONE && g->read > most)
        fci_find(&s->found, FC_WARN, g->name, 0, FC_FOUND_STATIC_PRESSURE,
                 "{read} read at {at}; the limit at fixtures is {maximum}",
                 FCI_WITH(FCI_ONE("read", FC_PRESSURE, g->read),
                          FCI_WORD("at", fci_place_name(s->readings->site,
                                                        g->place)),
                          FCI_ONE("maximum", FC_PRESSURE, most)));
}

void
fci_warn_of_pressures(struct fci_consistency *s, const double *expected)
{
    const struct fci_readings *r = s->readings;
    size_t i;

    for (i = 0; i < r->n; i++) {
        if (r->gauges[i].dimension != FC_PRESSURE)
            continue;
        if (!(r->gauges[i].read > 0))
            warn_of_none(s, &r->gauges[i]);
        else
            warn_of_much(s, &r->gauges[i], expected[i]);
    }
}
