/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/warn.c -- pressures read that are a hazard, or no pressures. */
#include "diagnose/diagnose.h"
#include "units/units.h"

#include <math.h>

#define PSI 6894.757293168361 /* exact quotient, NIST SP 811 App. B */
/* A figure is of another unit where it is far from what is expected and near
 * it when it is turned: common practice. */
#define FAR 0.5  /* of what is expected */
#define NEAR 0.1 /* of it, or so many accuracies: */
#define NEAR_WITHIN 3

static struct fci_shown
pressure(const struct fci_sense *s, double value)
{
    return fci_show(s->readings->site->settings.units, FC_PRESSURE, value);
}

/* Drinking water where it might be drawn back. */
static void
warn_of_none(struct fci_sense *s, const struct fci_gauge *g)
{
    fci_sense_add(
        s, FC_WARN, g->name, "no pressure",
        "%s was read at %s%s: pressure at or below zero draws what "
        "it meets into the drinking water; stop and report it before "
        "anything else is tried",
        pressure(s, g->read).text, fci_place_name(s->readings->site, g->place),
        s->readings->events[g->event].n == 0
            ? " with nothing flushing, as where a valve ahead is "
              "shut or the main is off"
            : "");
}

/* More than fittings bear, or a figure in another unit: kPa read as psi, or
 * psi as kPa. */
static void
warn_of_much(struct fci_sense *s, const struct fci_gauge *g, double expected)
{
    const double most = s->readings->site->settings.maximum_static.nominal;
    const double other = s->readings->site->settings.units == FC_US
                             ? g->read * 1000 / PSI
                             : g->read * PSI / 1000;

    if (fabs(other - expected) < fmax(NEAR_WITHIN * g->within, NEAR * expected)
        && fabs(g->read - expected) > FAR * expected)
        fci_sense_add(s, FC_WARN, g->name, "unit",
                      "%s was read at %s; in the other unit it would be about "
                      "the %s that are expected: look at the scale of the "
                      "gauge",
                      pressure(s, g->read).text,
                      fci_place_name(s->readings->site, g->place),
                      pressure(s, expected).text);
    else if (g->place.fixture != FCI_NONE && g->read > most)
        fci_sense_add(s, FC_WARN, g->name, "static pressure",
                      "%s was read at %s, above the %s that fixtures may have",
                      pressure(s, g->read).text,
                      fci_place_name(s->readings->site, g->place),
                      pressure(s, most).text);
}

void
fci_warn_of_pressures(struct fci_sense *s, const double *expected)
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
