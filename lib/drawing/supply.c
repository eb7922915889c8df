/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/supply.c -- what the source gives against what is asked of it.
 *
 * The flow stands to the power of 1.85, so that the pressure of a main falls
 * along a straight line, as it does on the paper made for hydrant tests
 * (N^1.85 graph paper, NFPA 291; from memory).  A demand stands at the peak
 * flow and at the pressure that the source must have there for the governing
 * fixture to work: what it has less what it has to spare.
 */
#include "drawing/drawings.h"
#include "drawing/supply.h"
#include "units/units.h"

#include <math.h>
#include <stdio.h>

#define POINTS 49 /* of a curve */
#define RING "M-4 0a4 4 0 1 0 8 0a4 4 0 1 0-8 0Z"

/* ---- Figures ---------------------------------------------------------- */

/* The figure that is printed: the point stands where it says. */
static double
printed(const struct fci_supply *s, fc_dimension dimension, double si)
{
    char digits[40];
    const char *at = digits;
    double value = 0;

    fc_show(s->units, dimension, FC_NEAREST, 0, si, digits, sizeof digits);
    fci_read_number(&at, &value);
    return value;
}

static struct fci_printed
printed_range(const struct fci_supply *s, fc_dimension dimension,
              fc_range range)
{
    return (struct fci_printed){ printed(s, dimension, range.nominal),
                                 printed(s, dimension, range.low),
                                 printed(s, dimension, range.high) };
}

/* More spare pressure is less need. */
static fc_range
need_of(const fc_checked_state *state)
{
    const fc_range has = state->source_pressure, spare = state->spare_pressure;
    const double low = has.low - spare.low, high = has.high - spare.high;
    const double nominal = has.nominal - spare.nominal;

    return (fc_range){ true, nominal, fmin(fmin(low, high), nominal),
                       fmax(fmax(low, high), nominal) };
}

static struct fci_supply_demand
demand_of(const struct fci_supply *s, const fc_checked_state *state)
{
    struct fci_supply_demand d = { .asked = state->spare_pressure.given,
                                   .spare = state->spare_pressure,
                                   .works = state->works };

    d.flow = printed_range(s, FC_FLOW, state->peak_flow);
    if (d.asked)
        d.need = printed_range(s, FC_PRESSURE, need_of(state));
    return d;
}

static double
curve_at(const struct fci_supply *s, double flow, enum fci_end end)
{
    return fc_from_si(s->units, FC_PRESSURE,
                      fci_supply_given(s, fci_supply_flow(s, flow), end));
}

/* ---- Scales ----------------------------------------------------------- */

static void
set_scales(struct fci_supply *s)
{
    double most = fc_from_si(s->units, FC_FLOW, s->tested), low, high;
    size_t i;

    for (i = 0; i < s->n_demands; i++)
        most = fmax(most, s->demands[i].flow.high);
    if (!(most > 0))
        most = fc_from_si(s->units, FC_FLOW, 100 * FCI_HARDLY_FLOWING);
    s->x = fci_axis_make(0, 1.04 * most, FCI_SUPPLY_LEFT, FCI_SUPPLY_RIGHT,
                         1.85, 52);
    most = s->tested > 0 ? fc_from_si(s->units, FC_FLOW, s->tested) : 0;
    low = fmin(curve_at(s, most, FCI_WORST),
               curve_at(s, s->x.high, FCI_NOMINAL));
    high = curve_at(s, 0, FCI_BEST);
    for (i = 0; i < s->n_demands; i++)
        if (s->demands[i].asked) {
            low = fmin(low, s->demands[i].need.low);
            high = fmax(high, s->demands[i].need.high);
        }
    high += 0.06 * (high - low) + 1e-3 * fabs(high);
    low -= 0.06 * (high - low);
    s->y = fci_axis_make(low, high, FCI_SUPPLY_BOTTOM, FCI_SUPPLY_TOP, 1, 32);
}

static void
draw_tick(struct fci_svg *svg, const struct fci_axis *axis, bool flow,
          double tick)
{
    const double at = fci_axis_at(axis, tick);
    char digits[40];

    fc_show_number(FC_NEAREST, axis->decimals, tick, digits, sizeof digits);
    fci_svg_open(svg, "g", "class", flow ? "tick-flow" : "tick-pressure",
                 "data-value", digits, NULL);
    fci_svg_open(svg, "g", "stroke", "#d4d4d4", NULL);
    if (flow)
        fci_svg_line(svg, at, FCI_SUPPLY_TOP, at, FCI_SUPPLY_BOTTOM + 4);
    else
        fci_svg_line(svg, FCI_SUPPLY_LEFT - 4, at, FCI_SUPPLY_RIGHT, at);
    fci_svg_close(svg);
    fci_svg_label(svg, flow ? FCI_MIDDLE : FCI_END,
                  flow ? at : FCI_SUPPLY_LEFT - 8,
                  flow ? FCI_SUPPLY_BOTTOM + 18 : at + 4, 60, digits);
    fci_svg_close(svg);
}

static void
draw_scales(struct fci_svg *svg, const struct fci_supply *s)
{
    char text[80];
    size_t i;

    for (i = 0; i < s->x.n_ticks; i++)
        draw_tick(svg, &s->x, true, s->x.ticks[i]);
    for (i = 0; i < s->y.n_ticks; i++)
        draw_tick(svg, &s->y, false, s->y.ticks[i]);
    fci_svg_open(svg, "g", "stroke", FCI_INK, NULL);
    fci_svg_line(svg, FCI_SUPPLY_LEFT, FCI_SUPPLY_TOP, FCI_SUPPLY_LEFT,
                 FCI_SUPPLY_BOTTOM);
    fci_svg_line(svg, FCI_SUPPLY_LEFT, FCI_SUPPLY_BOTTOM, FCI_SUPPLY_RIGHT,
                 FCI_SUPPLY_BOTTOM);
    fci_svg_close(svg);
    snprintf(text, sizeof text, "pressure at the source, %s",
             fc_unit_name(s->units, FC_PRESSURE));
    fci_svg_label(svg, FCI_START, 8, 18, FCI_SUPPLY_WIDTH, text);
    snprintf(text, sizeof text, "flow, %s, spaced by its power of 1.85",
             fc_unit_name(s->units, FC_FLOW));
    fci_svg_label(svg, FCI_END, FCI_SUPPLY_RIGHT, FCI_SUPPLY_BOTTOM + 36,
                  FCI_SUPPLY_WIDTH, text);
}

/* ---- The source ------------------------------------------------------- */

static void
draw_stretch(struct fci_svg *svg, const struct fci_supply *s, enum fci_end end,
             double from, double to, bool dashed)
{
    double points[POINTS][2];
    size_t i;

    for (i = 0; i < POINTS; i++) {
        const double part = (double)i / (POINTS - 1);
        const double flow = pow(pow(from, s->x.exponent) * (1 - part)
                                    + pow(to, s->x.exponent) * part,
                                1 / s->x.exponent);

        points[i][0] = fci_axis_at(&s->x, flow);
        points[i][1] = fci_axis_at(&s->y, curve_at(s, flow, end));
        if (points[i][1]
            > FCI_SUPPLY_BOTTOM) /* the worst case may fall to nothing */
            break;
    }
    fci_svg_open(svg, "g", "fill", "none", "stroke", FCI_INK, "stroke-width",
                 end == FCI_NOMINAL ? "2.5" : "0.8", "stroke-dasharray",
                 dashed ? "9 5" : "none", NULL);
    fci_svg_polyline(svg, (const double(*)[2])points, i);
    fci_svg_close(svg);
}

static void
draw_source(struct fci_svg *svg, const struct fci_supply *s)
{
    const enum fci_end ends =
        fci_supply_has_ends(s) ? FCI_ENDS : FCI_NOMINAL + 1;
    const bool main = s->source->kind == FC_STREET_MAIN;
    const double tested = fc_from_si(s->units, FC_FLOW, s->tested);
    const double at = fci_axis_at(&s->x, tested);
    enum fci_end end;

    for (end = FCI_NOMINAL; end < ends; end++) {
        if (!main)
            draw_stretch(svg, s, end, 0, s->x.high, false);
        if (main && tested > 0)
            draw_stretch(svg, s, end, 0, tested, false);
        if (main && tested < s->x.high)
            draw_stretch(svg, s, end, tested, s->x.high, true);
    }
    if (!main || !(tested > 0))
        return;
    fci_svg_open(svg, "g", "stroke", FCI_FAINT, "stroke-dasharray", "2 3",
                 NULL);
    fci_svg_line(svg, at, FCI_SUPPLY_TOP - 6, at, FCI_SUPPLY_BOTTOM);
    fci_svg_close(svg);
    fci_svg_label(svg,
                  at > (FCI_SUPPLY_LEFT + FCI_SUPPLY_RIGHT) / 2 ? FCI_END
                                                                : FCI_START,
                  at, FCI_SUPPLY_TOP - 10, 380,
                  "flow test up to here; beyond, dashed: extrapolated");
}

/* The readings of the flow test that lie on the curve drawn. */
static void
draw_test(struct fci_svg *svg, const struct fci_supply *s)
{
    const fc_source *source = s->source;
    size_t i;

    if (!(s->tested > 0))
        return;
    fci_svg_open(svg, "g", "class", "flow-test", "fill", "#fff", "stroke",
                 FCI_INK, "stroke-width", "1.5", NULL);
    fci_svg_shape(svg, fci_axis_at(&s->x, 0),
                  fci_axis_at(&s->y, curve_at(s, 0, FCI_NOMINAL)), RING);
    for (i = 0; i < source->n_flow_test || i == 0; i++) {
        const double flow = fc_from_si(
            s->units, FC_FLOW,
            source->n_flow_test > 0 ? source->flow_test[i].x : s->tested);

        fci_svg_shape(svg, fci_axis_at(&s->x, flow),
                      fci_axis_at(&s->y, curve_at(s, flow, FCI_NOMINAL)),
                      RING);
    }
    fci_svg_close(svg);
}

/* ---- Demands ---------------------------------------------------------- */

const struct fci_supply_look fci_supply_looks[FC_STATES] = {
    { "demand existing", FCI_BLUE, "7 3", "M-8-8H8V8H-8Z", "existing" },
    { "demand retrofit", FCI_ORANGE, "2 3", "M0-6L6 0L0 6L-6 0Z",
      "after retrofit" },
};

static void
draw_whiskers(struct fci_svg *svg, const struct fci_supply *s,
              const struct fci_supply_demand *d)
{
    const double x = fci_axis_at(&s->x, d->flow.nominal);
    const double y = fci_axis_at(&s->y, d->need.nominal);
    const double left = fci_axis_at(&s->x, d->flow.low);
    const double right = fci_axis_at(&s->x, d->flow.high);
    const double bottom = fci_axis_at(&s->y, d->need.low);
    const double top = fci_axis_at(&s->y, d->need.high);

    if (right > left) {
        fci_svg_line(svg, left, y, right, y);
        fci_svg_line(svg, left, y - 4, left, y + 4);
        fci_svg_line(svg, right, y - 4, right, y + 4);
    }
    if (bottom > top) {
        fci_svg_line(svg, x, bottom, x, top);
        fci_svg_line(svg, x - 4, top, x + 4, top);
        fci_svg_line(svg, x - 4, bottom, x + 4, bottom);
    }
}

static void
draw_demand(struct fci_svg *svg, const struct fci_supply *s, fc_state state)
{
    const struct fci_supply_demand *d = &s->demands[state];
    const struct fci_supply_look *look = &fci_supply_looks[state];
    const double x = fci_axis_at(&s->x, d->flow.nominal);
    const double y = fci_axis_at(&s->y, d->need.nominal);
    char flow[40], pressure[40];

    if (!d->asked)
        return;
    fci_svg_open(svg, "g", "stroke", look->color, "stroke-width", "1.5",
                 "stroke-dasharray", look->dash, NULL);
    fci_svg_line(svg, FCI_SUPPLY_LEFT, y, x, y);
    fci_svg_line(svg, x, y, x, FCI_SUPPLY_BOTTOM);
    fci_svg_close(svg);
    fci_svg_open(svg, "g", "stroke", look->color, "stroke-width", "1.5", NULL);
    draw_whiskers(svg, s, d);
    fci_svg_close(svg);
    fc_show(s->units, FC_FLOW, FC_NEAREST, 0,
            fci_supply_flow(s, d->flow.nominal), flow, sizeof flow);
    fc_show(s->units, FC_PRESSURE, FC_NEAREST, 0,
            d->need.nominal / fc_from_si(s->units, FC_PRESSURE, 1), pressure,
            sizeof pressure);
    fci_svg_open(svg, "g", "class", look->class, "data-flow", flow,
                 "data-pressure", pressure, "fill",
                 state == FC_EXISTING ? "none" : look->color, "stroke",
                 look->color, "stroke-width", "2", NULL);
    fci_svg_number(svg, "data-x", x);
    fci_svg_number(svg, "data-y", y);
    fci_svg_shape(svg, x, y, look->symbol);
    fci_svg_close(svg);
}

/* ---- The drawing ------------------------------------------------------ */

static size_t
source_of(const fc_site *site, const fc_check_result *result)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        if (site->elements[i].part->kind == FCI_SOURCE
            && (!result
                || fci_same_name(site->elements[i].name, result->source)))
            return i;
    return site->order[0];
}

static struct fci_supply
supply_of(const fc_site *site, const fc_check_result *result)
{
    const struct fci_element *element =
        &site->elements[source_of(site, result)];
    struct fci_supply s = { .units = site->settings.units,
                            .source = element->part->data,
                            .shape = element->shape,
                            .weight = site->water_weight };
    size_t i;

    if (s.source->kind == FC_STREET_MAIN && s.source->residual.given)
        s.tested = s.source->residual_flow.nominal;
    if (result) {
        s.units = result->units;
        s.n_demands = result->converted ? 2 : 1;
    }
    for (i = 0; i < s.n_demands; i++)
        s.demands[i] = demand_of(&s, &result->states[i]);
    set_scales(&s);
    return s;
}

static void
describe(struct fci_svg *svg, const struct fci_supply *s)
{
    struct fci_said desc = fci_said("%s.", fci_supply_tell_source(s).text);
    size_t i;

    for (i = 0; i < s->n_demands; i++)
        desc = fci_said("%s %s; %s.", desc.text,
                        fci_supply_tell_demand(s, (fc_state)i).text,
                        fci_supply_tell_outcome(s, (fc_state)i).text);
    fci_svg_title(svg, "Supply and demand", desc.text);
}

bool
fci_draw_supply(xmlTextWriterPtr out, const fc_site *site,
                const fc_check_result *result)
{
    const struct fci_supply s = supply_of(site, result);
    struct fci_svg svg;
    size_t i;

    fci_svg_begin(&svg, out, "drawing supply", FCI_SUPPLY_WIDTH,
                  FCI_SUPPLY_KEY + 12 + (21 + FCI_LINE) * (double)s.n_demands);
    describe(&svg, &s);
    draw_scales(&svg, &s);
    draw_source(&svg, &s);
    draw_test(&svg, &s);
    for (i = 0; i < s.n_demands; i++)
        draw_demand(&svg, &s, (fc_state)i);
    fci_supply_key(&svg, &s);
    return fci_svg_end(&svg);
}
