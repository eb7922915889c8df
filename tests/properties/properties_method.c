/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/properties/properties_method.c -- the whole method once more, slow and
 * plain.
 *
 * For buildings without ranges, straight from the parts: fixture units by
 * walking up from each fixture, the demand table read line by line, friction
 * in US units by V = 1.318 C R^0.63 S^0.54, losses one by one on the way from
 * the source.  Of the library it takes the tables' figures and what water
 * weighs, which have tests of their own.
 */
#include "properties/properties.h"
#include "laws/water.h"

#define BUILDINGS 150
#define SHARE 1e-6

struct naive {
    const struct building *b;
    double weight; /* N/m3 */
    int state;
};

/* ---- What hangs where ------------------------------------------------- */

/* Whether water for something on `place` passes `element`. */
static bool
passes(const struct building *b, const char *place, const char *element)
{
    while (place && strcmp(place, element) != 0)
        place = building_from(building_find(b, false, place));
    return place != NULL;
}

static const char *
heater_of(const struct building *b, const char *fixture)
{
    size_t i, k;

    for (i = 0; i < b->n_parts; i++)
        if (b->parts[i].kind == FCI_HEATER)
            for (k = 0; k < b->parts[i].as.heater.n_serves; k++)
                if (strcmp(b->parts[i].as.heater.serves[k], fixture) == 0)
                    return b->parts[i].as.heater.on;
    return NULL;
}

static const struct fci_fixture_kind *
kind_of(const struct naive *n, const fc_fixture *f)
{
    return fci_tables_fixture(building_tables(), n->b->settings.code, f->kind);
}

/* The valve in this state: named, of the tables, assumed, or none. */
static const fc_valve *
valve_of(const struct naive *n, const fc_fixture *f)
{
    const char *name =
        n->state == FC_RETROFIT && f->retrofit ? f->retrofit : f->existing;
    size_t i;

    if (!name)
        name = kind_of(n, f)->valve;
    if (!name)
        return NULL;
    for (i = 0; i < n->b->n_parts; i++)
        if (n->b->parts[i].kind == FCI_VALVE
            && strcmp(n->b->parts[i].as.name, name) == 0)
            return &n->b->parts[i].as.valve;
    return &fci_tables_valve(building_tables(), name)->valve;
}

/* ---- Demand ----------------------------------------------------------- */

static bool
takes_hot_water(const struct fci_fixture_kind *kind)
{
    return kind->units[FC_PUBLIC].hot > 0 || kind->units[FC_PRIVATE].hot > 0
           || kind->units[FC_ASSEMBLY].hot > 0;
}

/* UPC, Table A 103.1: other units above a flush volume.  IPC, Table
 * E103.3(2), at its foot: hot and cold are three quarters of the total each
 * where one figure is given. */
/* That of the valve that is named, or of the bowl of a flush tank; a class
 * that was assumed tells none. */
static fc_range
volume_of(const struct naive *n, const fc_fixture *f)
{
    const fc_range unknown = { false, 0, 0, 0 };
    const bool named = f->existing || (n->state == FC_RETROFIT && f->retrofit);
    const fc_valve *valve = valve_of(n, f);

    if (valve)
        return named ? valve->full_flush : unknown;
    return kind_of(n, f)->flushes ? unknown : f->bowl;
}

static struct fci_units_of_use
units_of(const struct naive *n, const fc_fixture *f)
{
    const struct fci_fixture_kind *kind = kind_of(n, f);
    const fc_range volume = volume_of(n, f);
    struct fci_units_of_use units = kind->units[f->use];

    if (f->fixture_units.given) {
        units.total = f->fixture_units.nominal;
        units.cold = units.total;
        units.hot = 0;
        if (takes_hot_water(kind))
            units.cold = units.hot = units.total * 3 / 4;
    } else if (kind->over > 0 && kind->units_above[f->use].given
               && (!volume.given || volume.nominal > kind->over * 1.000001))
        units = kind->units_above[f->use];
    return units;
}

/* Of one fixture alone, m3/s. */
static double
flow_of(const struct naive *n, const fc_fixture *f)
{
    const fc_valve *valve = valve_of(n, f);
    const bool own = valve && valve->flow.given;
    const double code = kind_of(n, f)->flow;
    double flow = own ? valve->flow.nominal : 0;

    if (!isnan(code) && code > flow
        && !(own && n->b->settings.code_minimum == FC_NO))
        flow = code;
    return flow;
}

/* The table is read at the next row up, one after the other; past the end, on
 * the line of its last two rows. */
static double
table_flow(const struct naive *n, double units, bool valves)
{
    const struct fci_curve_rows *rows =
        fci_tables_demand(building_tables(), n->b->settings.code);
    const double *flow = valves ? rows->valve : rows->tank;
    const size_t last = rows->n - 1;
    size_t i;

    if (units <= 0)
        return 0;
    for (i = 0; i <= last; i++)
        if (rows->units[i] > units - 1e-6 && !isnan(flow[i]))
            return flow[i];
    return flow[last - 1]
           + (flow[last] - flow[last - 1]) * (units - rows->units[last - 1])
                 / (rows->units[last] - rows->units[last - 1]);
}

struct load {
    double units, largest, draw;
    bool valves;
};

static void
add_fixture(const struct naive *n, const char *element, const fc_fixture *f,
            struct load *load)
{
    const struct fci_units_of_use units = units_of(n, f);
    const char *heater = heater_of(n->b, f->name);
    const bool cold = passes(n->b, f->on, element);
    const bool hot = heater && passes(n->b, heater, element);
    const int count = f->count ? f->count : 1;

    if (cold && hot)
        load->units += count * units.total;
    else if (cold)
        load->units += count * units.cold;
    else if (hot)
        load->units += count * units.hot;
    if (!cold)
        return;
    load->largest = fmax(load->largest, flow_of(n, f));
    load->valves |= kind_of(n, f)->flushes;
}

static struct load
load_of(const struct naive *n, const char *element)
{
    struct load load = { 0, 0, 0, false };
    size_t i;

    for (i = 0; i < n->b->n_parts; i++) {
        const struct building_part *part = &n->b->parts[i];

        if (part->kind == FCI_FIXTURE)
            add_fixture(n, element, &part->as.fixture, &load);
        else if (part->kind == FCI_DEMAND
                 && passes(n->b, part->as.demand.on, element))
            load.draw += part->as.demand.flow.nominal;
    }
    return load;
}

static double
peak_of(const struct naive *n, const char *element)
{
    const struct load load = load_of(n, element);

    return fmax(table_flow(n, load.units, load.valves), load.largest)
           + load.draw;
}

/* ---- Losses ----------------------------------------------------------- */

/* M. Steffen, Astronomy and Astrophysics 239 (1990) 443: the slope at an
 * inner point, eq. 11; at the ends that of the chord. */
static double
slope_at(const fc_point *p, size_t n, size_t i)
{
    double h1, h2, s1, s2, mean;

    if (i == 0)
        return (p[1].y - p[0].y) / (p[1].x - p[0].x);
    if (i == n - 1)
        return (p[i].y - p[i - 1].y) / (p[i].x - p[i - 1].x);
    h1 = p[i].x - p[i - 1].x;
    h2 = p[i + 1].x - p[i].x;
    s1 = (p[i].y - p[i - 1].y) / h1;
    s2 = (p[i + 1].y - p[i].y) / h2;
    mean = (s1 * h2 + s2 * h1) / (h1 + h2);
    if (s1 * s2 <= 0)
        return 0;
    return copysign(1, s1)
           * fmin(fmin(2 * fabs(s1), 2 * fabs(s2)), fabs(mean));
}

/* The cubic with these slopes at both ends, in Hermite's form; beyond the last
 * point the middle between the last chord and the square law. */
static double
curve_at(const fc_point *p, size_t n, double x, bool head)
{
    const double grown = p[n - 1].y - p[0].y, grows = p[n - 1].y - p[n - 2].y;
    double h, t, a, b, from = p[0].y;
    size_t i;

    /* points that do not grow, or a head that does not fall, tell nothing */
    if (head ? grown >= 0 || grows >= 0 : grown <= 0 || grows <= 0)
        from = head ? 2 * p[n - 1].y : 0;

    if (x <= p[0].x)
        return p[0].y;
    for (i = 0; i + 2 < n && x > p[i + 1].x; i++)
        ;
    h = p[i + 1].x - p[i].x;
    t = (x - p[i].x) / h;
    if (t > 1)
        return (p[i].y + (p[i + 1].y - p[i].y) * t + from
                + (p[n - 1].y - from) * pow(x / p[n - 1].x, 2))
               / 2;
    if (n == 2)
        return p[i].y + (p[i + 1].y - p[i].y) * t;
    a = slope_at(p, n, i) * h;
    b = slope_at(p, n, i + 1) * h;
    return p[i].y * (1 + 2 * t) * (1 - t) * (1 - t) + a * t * (1 - t) * (1 - t)
           + p[i + 1].y * t * t * (3 - 2 * t) + b * t * t * (t - 1);
}

static double
loss_at(const fc_loss *loss, double flow)
{
    switch (loss->kind) {
    case FC_CONSTANT_LOSS:
        return loss->pressure.nominal;
    case FC_SQUARE_LOSS:
        return loss->pressure.nominal * pow(flow / loss->flow.nominal, 2);
    case FC_CURVE_LOSS:
        return curve_at(loss->points, loss->n_points, flow, false);
    case FC_NO_LOSS:
        break;
    }
    return 0;
}

static double
fittings_length(const fc_pipe *pipe, const struct fci_material *material)
{
    double sum = 0, one;
    bool known;
    size_t i;

    for (i = 0; i < pipe->n_fittings; i++) {
        one = fci_fittings_length(material->fittings, pipe->fittings[i].name,
                                  pipe->size.nominal, &known);
        if (!isnan(one))
            sum += pipe->fittings[i].count * one;
    }
    return sum;
}

static fc_condition
condition_of(const struct naive *n, const fc_pipe *pipe)
{
    return pipe->condition ? pipe->condition : n->b->settings.condition;
}

/* The condition of the pipe, else of the site, says which of the table's C: of
 * old pipe the middle between aged and badly scaled. */
static double
c_of(const struct naive *n, const fc_pipe *pipe)
{
    const struct fci_material *material = building_material(n->b, pipe);

    if (pipe->c.given)
        return pipe->c.nominal;
    return condition_of(n, pipe) == FC_NEW
               ? material->c_new
               : (material->c_aged + material->c_old) / 2;
}

static double
bore_of(const struct naive *n, const fc_pipe *pipe)
{
    const struct fci_material *material = building_material(n->b, pipe);
    const bool scaled = !pipe->c.given && condition_of(n, pipe) != FC_NEW;

    if (pipe->inside_diameter.given)
        return pipe->inside_diameter.nominal;
    return fci_material_size(material, pipe->size.nominal)->bore
           * (1 - (scaled ? material->bore_loss / 2 : 0));
}

/* In feet, seconds and psi: S is the head lost per length. */
static double
pipe_loss(const struct naive *n, const fc_pipe *pipe, double flow)
{
    const struct fci_material *material = building_material(n->b, pipe);
    const double feet =
        (pipe->length.nominal
         + (material && pipe->size.given ? fittings_length(pipe, material)
                                         : 0))
        / FOOT;
    const double d = bore_of(n, pipe) / FOOT;
    const double cubic_feet_per_second = flow / (FOOT * FOOT * FOOT);
    const double v = cubic_feet_per_second / (acos(-1) * d * d / 4);
    const double s =
        exp(log(v / (1.318 * c_of(n, pipe) * pow(d / 4, 0.63))) / 0.54);
    const double psi_per_foot = n->weight * FOOT / PSI;

    return flow > 0 ? s * feet * psi_per_foot * PSI : 0;
}

static double
meter_loss(const fc_device *d, double flow)
{
    const struct fci_meter_kind *kind;
    size_t i;

    if (!d->meter_kind)
        return loss_at(&d->loss, flow);
    kind = fci_tables_meter(building_tables(), d->meter_kind);
    for (i = 0; fabs(kind->sizes[i].nominal - d->size.nominal) > 1e-6; i++)
        ;
    return (kind->sizes[i].loss + kind->sizes[i].most) / 2
           * pow(flow / kind->sizes[i].flow, 2);
}

/* ---- Pressures -------------------------------------------------------- */

static double
source_pressure(const struct naive *n, double flow)
{
    const fc_source *s = &n->b->parts[0].as.source;

    switch (s->kind) {
    case FC_STREET_MAIN:
        if (!s->residual.given)
            return s->static_pressure.nominal;
        return s->static_pressure.nominal
               - (s->static_pressure.nominal - s->residual.nominal)
                     * exp(log(flow / s->residual_flow.nominal) / 0.54);
    case FC_TANK:
        return n->weight * (s->water_level.nominal - s->elevation.nominal);
    case FC_FIXED:
    case FC_WELL:
        break;
    }
    return s->pressure.nominal;
}

/* Behind an element when `flow` passes it and `in` is before it. */
static double
behind(const struct naive *n, struct building_part *part, double in,
       double flow)
{
    const double p = in - n->weight * building_rise(part)->nominal;
    const fc_reducer *r = &part->as.reducer;
    double set, part_of_flow;

    switch (part->kind) {
    case FCI_PIPE:
        return p - pipe_loss(n, &part->as.pipe, flow);
    case FCI_REDUCER:
        set = r->set.nominal;
        part_of_flow = flow / r->fall_off_flow.nominal;
        if (r->fall_off.given)
            set -=
                r->fall_off.nominal
                * (part_of_flow > 1 ? (part_of_flow + pow(part_of_flow, 2)) / 2
                                    : part_of_flow);
        return fmin(set, p - loss_at(&r->loss, flow));
    case FCI_PUMP:
        if (part->as.pump.running == FC_NO)
            return p;
        set = p
              + n->weight
                    * curve_at(part->as.pump.curve, part->as.pump.n_curve,
                               flow, true);
        if (part->as.pump.hold.given) /* no less than what comes in */
            set = fmin(set, fmax(part->as.pump.hold.nominal, p));
        return set;
    default:
        return p - meter_loss(&part->as.device, flow);
    }
}

/* From the source on, by way of what feeds it. */
static double
pressure_at(const struct naive *n, const char *element)
{
    struct building_part *part = building_find(n->b, false, element);
    const double flow = peak_of(n, element);

    if (part->kind == FCI_SOURCE)
        return source_pressure(n, flow);
    return behind(n, part, pressure_at(n, building_from(part)), flow);
}

/* Without flow: what holds back pressure there is a backflow preventer, a
 * reducer or a pump that holds. */
static double
still_at(const struct naive *n, const char *element)
{
    struct building_part *part = building_find(n->b, false, element);
    double p;

    if (part->kind == FCI_SOURCE)
        return source_pressure(n, 0);
    p = still_at(n, building_from(part));
    if (part->kind == FCI_PUMP || part->kind == FCI_BACKFLOW)
        return behind(n, part, p, 0);
    p -= n->weight * building_rise(part)->nominal;
    if (part->kind == FCI_REDUCER)
        p = fmin(p, part->as.reducer.set.nominal);
    return p;
}

/* ---- Side by side ----------------------------------------------------- */

static void
agree(const struct naive *n, const char *name, const char *what, double naive,
      double library, double scale)
{
    HOLDS(n->b, fabs(naive - library) <= SHARE * fmax(fabs(naive), scale),
          "%s, state %d, %s: %.12g by the naive way, %.12g", name, n->state,
          what, naive, library);
}

static void
agree_on_fixture(const struct naive *n, const fc_checked_fixture *out)
{
    const fc_fixture *f = &building_find(n->b, true, out->name)->as.fixture;
    const double lift = n->weight * f->rise.nominal;
    const double flowing =
        pressure_at(n, f->on) - lift - loss_at(&f->stop, flow_of(n, f));

    agree(n, out->name, "flowing", flowing,
          out->states[n->state].flowing.nominal, 1e5);
    agree(n, out->name, "static", still_at(n, f->on) - lift,
          out->static_pressure.nominal, 1e5);
}

static void
agree_on_pipe(const struct naive *n, const fc_checked_pipe *out)
{
    const fc_pipe *pipe = &building_find(n->b, false, out->name)->as.pipe;
    const fc_pipe_state *s = &out->states[n->state];
    const double flow = peak_of(n, out->name);
    const double bore = bore_of(n, pipe);

    agree(n, out->name, "fixture units", load_of(n, out->name).units,
          s->fixture_units, 1);
    agree(n, out->name, "peak flow", flow, s->peak_flow.nominal, GPM);
    agree(n, out->name, "friction loss", pipe_loss(n, pipe, flow),
          s->friction_loss.nominal, 1);
    agree(n, out->name, "velocity", flow * 4 / (acos(-1) * bore * bore),
          s->velocity.nominal, 0.01);
}

START_TEST(naive_way)
{
    static const struct building_plan plan = { .fewest = 3, .most = 60 };
    struct naive n = { 0 };
    struct building b;
    struct property_check check;
    const fc_range *t = &b.settings.water_temperature;
    size_t i;

    building_make(&b, 8000 + (unsigned long)_i, &plan);
    n.b = &b;
    n.weight = fci_water_weight(t->given ? t->nominal : (60 - 32) / 1.8);
    check = property_check(&b);
    for (; n.state < property_states(check.result); n.state++) {
        for (i = 0; i < check.result->n_fixtures; i++)
            agree_on_fixture(&n, &check.result->fixtures[i]);
        for (i = 0; i < check.result->n_pipes; i++)
            agree_on_pipe(&n, &check.result->pipes[i]);
    }
    property_check_end(&check);
    building_free(&b);
}
END_TEST

TCase *
properties_of_method(void)
{
    TCase *test = tcase_create("method");

    tcase_add_loop_test(test, naive_way, 0, BUILDINGS);
    return test;
}
