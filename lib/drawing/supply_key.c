/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/supply_key.c -- what is told below supply and demand. */
#include "drawing/supply.h"
#include "units/units.h"

/* "47.7 to 74.9 psi" of figures in the report's unit. */
static struct fci_said
tell_range(const struct fci_supply *s, fc_dimension dimension,
           struct fci_printed x)
{
    const double unit = fc_from_si(s->units, dimension, 1);
    const struct fci_shown high = fci_show(s->units, dimension, x.high / unit);
    char low[40];

    fc_show(s->units, dimension, FC_NEAREST, 0, x.low / unit, low, sizeof low);
    return x.low < x.high ? fci_said("%s to %s", low, high.text)
                          : fci_said("%s", high.text);
}

/* No more firmly than the verdict is: the peak is not all that it rests on,
 * and nobody knows how far a main drops that was not tested. */
static struct fci_said
tell_spare(const struct fci_supply *s, const struct fci_supply_demand *d)
{
    const fc_unit_system u = s->units;
    const struct fci_shown worst =
        fci_show(u, FC_PRESSURE, fabs(d->spare.low));
    const struct fci_shown best =
        fci_show(u, FC_PRESSURE, fabs(d->spare.high));
    const struct fci_shown nominal =
        fci_show(u, FC_PRESSURE, fabs(d->spare.nominal));

    if (d->spare.high < 0)
        return fci_said("short by %s", nominal.text);
    if (d->spare.low < 0)
        return fci_said("cannot tell: %s short to %s to spare", worst.text,
                        best.text);
    if (s->source->kind == FC_STREET_MAIN && !(s->tested > 0))
        return fci_said("cannot tell: the main may drop by at most %s",
                        worst.text);
    return fci_said(d->works == FC_WORKS ? "%s to spare"
                                         : "%s to spare at peak",
                    nominal.text);
}

struct fci_said
fci_supply_tell_demand(const struct fci_supply *s, fc_state state)
{
    const struct fci_supply_demand *d = &s->demands[state];
    const struct fci_said flow = tell_range(s, FC_FLOW, d->flow);
    const char *word =
        s->n_demands > 1 ? fci_supply_looks[state].word : "demand";

    if (!d->asked)
        return fci_said("%s: %s", word, flow.text);
    return fci_said("%s: %s required at %s", word,
                    tell_range(s, FC_PRESSURE, d->need).text, flow.text);
}

struct fci_said
fci_supply_tell_outcome(const struct fci_supply *s, fc_state state)
{
    const struct fci_supply_demand *d = &s->demands[state];

    return d->asked ? tell_spare(s, d) : fci_said("no pressure is required");
}

static void
draw_key_symbol(struct fci_svg *svg, fc_state state, double y)
{
    fci_svg_open(svg, "g", "class", "symbol", "fill",
                 state == FC_EXISTING ? "none" : fci_supply_looks[state].color,
                 "stroke", fci_supply_looks[state].color, "stroke-width", "2",
                 NULL);
    fci_svg_shape(svg, FCI_SUPPLY_LEFT + 12, y - 4,
                  fci_supply_looks[state].symbol);
    fci_svg_close(svg);
}

struct fci_said
fci_supply_tell_source(const struct fci_supply *s)
{
    const fc_source *source = s->source;
    const char *ends =
        fci_supply_has_ends(s) ? "; thin: worst and best case" : "";
    const char *flat = source->kind == FC_TANK ? "tank"
                       : source->volume.given  ? "pressure tank, halfway"
                                               : "constant pressure";

    if (source->kind != FC_STREET_MAIN)
        return fci_said("%s: %s at any flow%s", flat,
                        fci_show(s->units, FC_PRESSURE,
                                 fci_supply_given(s, 0, FCI_NOMINAL))
                            .text,
                        ends);
    if (!(s->tested > 0))
        return fci_said("city main without a flow test: how far it drops is "
                        "not known%s",
                        ends);
    return fci_said(
        "flow test: static %s, residual %s at %s%s",
        fci_show(s->units, FC_PRESSURE, fci_supply_given(s, 0, FCI_NOMINAL))
            .text,
        fci_show(s->units, FC_PRESSURE,
                 fci_supply_given(s, s->tested, FCI_NOMINAL))
            .text,
        fci_show(s->units, FC_FLOW, s->tested).text, ends);
}

void
fci_supply_key(struct fci_svg *svg, const struct fci_supply *s)
{
    double y = FCI_SUPPLY_KEY;
    size_t i;

    fci_svg_open(
        svg, "g", "class", "symbol", "stroke", FCI_INK, "stroke-width", "2.5",
        "stroke-dasharray",
        s->source->kind == FC_STREET_MAIN && !(s->tested > 0) ? "9 5" : "none",
        NULL);
    fci_svg_line(svg, FCI_SUPPLY_LEFT, y - 4, FCI_SUPPLY_LEFT + 24, y - 4);
    fci_svg_close(svg);
    fci_svg_label(svg, FCI_START, FCI_SUPPLY_LEFT + 32, y,
                  FCI_SUPPLY_WIDTH - FCI_SUPPLY_LEFT - 40,
                  fci_supply_tell_source(s).text);
    for (i = 0; i < s->n_demands; i++) {
        y += 20;
        draw_key_symbol(svg, (fc_state)i, y);
        fci_svg_label(svg, FCI_START, FCI_SUPPLY_LEFT + 32, y,
                      FCI_SUPPLY_WIDTH - FCI_SUPPLY_LEFT - 40,
                      fci_supply_tell_demand(s, (fc_state)i).text);
        y += FCI_LINE + 1;
        fci_svg_label(svg, FCI_START, FCI_SUPPLY_LEFT + 32, y,
                      FCI_SUPPLY_WIDTH - FCI_SUPPLY_LEFT - 40,
                      fci_supply_tell_outcome(s, (fc_state)i).text);
    }
}
