/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/diagnose_buildings.c -- see
 * generators/diagnose_buildings.h.
 *
 * A main, a service, a meter, perhaps a backflow preventer and a reducer or a
 * booster, a riser, and on each floor one or two runs with closets and
 * urinals: what a plumber meets.  Its file may leave figures open; then what
 * was built has them anywhere in their ranges.  A fault is put into a copy of
 * the parts, not by the library.
 */
#include "generators/diagnose_buildings.h"
#include "generators/reference_solver.h"

#include <math.h>
#include <string.h>

#define DRIP 0.001        /* gpm */
#define WATER 9797.0      /* weight [N/m3], of water at 60 degF */
#define NOMINAL_FLOW 30.0 /* gpm, at which a fault's loss is given */

static const char *const sizes[] = { "3/4 in",   "1 in", "1-1/4 in",
                                     "1-1/2 in", "2 in", "2-1/2 in" };

/* ---- The building ------------------------------------------------------ */

static double
between(gsl_rng *rng, double low, double high)
{
    return low + (high - low) * gsl_rng_uniform(rng);
}

static size_t
below(gsl_rng *rng, size_t n)
{
    return (size_t)gsl_rng_uniform_int(rng, (unsigned long)n);
}

static fc_range
size_at(size_t place)
{
    fc_range size;

    sick_must(fc_parse(sizes[place], FC_SIZE, &size, NULL) == FC_OK,
              sizes[place]);
    return size;
}

static size_t
place_of(const fc_pipe *pipe)
{
    size_t i = 0;

    while (fabs(size_at(i).nominal - pipe->size.nominal) > 1e-6)
        i++;
    return i;
}

static fc_loss
square_loss(double psi, double gpm)
{
    return (fc_loss){ .kind = FC_SQUARE_LOSS,
                      .pressure = fc_exactly(psi * PSI),
                      .flow = fc_exactly(gpm * GPM) };
}

/* The square law as a maker's curve: one point alone leaves open what a
 * preventer takes at other flows. */
static fc_loss
square_curve(struct building *b, double psi, double gpm)
{
    enum { POINTS = 21 };
    fc_point *points = fci_arena_array(&b->texts, POINTS, sizeof *points);
    size_t i;

    sick_must(points != NULL, "no memory");
    for (i = 0; i < POINTS; i++) {
        const double flow = 10.0 * (double)i; /* gpm */

        points[i] =
            (fc_point){ flow * GPM, psi * PSI * flow * flow / (gpm * gpm) };
    }
    return (fc_loss){ .kind = FC_CURVE_LOSS,
                      .points = points,
                      .n_points = POINTS };
}

static void
scale_loss(struct building *b, fc_loss *loss, double share)
{
    fc_point *points;
    size_t i;

    loss->pressure = fc_exactly(loss->pressure.nominal * share);
    if (loss->n_points == 0)
        return;
    points = fci_arena_array(&b->texts, loss->n_points, sizeof *points);
    sick_must(points != NULL, "no memory");
    for (i = 0; i < loss->n_points; i++)
        points[i] = (fc_point){ loss->points[i].x, loss->points[i].y * share };
    loss->points = points;
}

static void
add_pipe(struct building *b, const char *from, const char *name, size_t size,
         double length, double rise, int elbows)
{
    fc_fitting *fitting = fci_arena_array(&b->texts, 1, sizeof *fitting);

    *fitting = (fc_fitting){ elbows, "elbow 90" };
    building_add(b, FCI_PIPE)->as.pipe =
        (fc_pipe){ .name = name,
                   .from = from,
                   .size = size_at(size),
                   .length = fc_exactly(length * FOOT),
                   .rise = fc_exactly(rise * FOOT),
                   .fittings = fitting,
                   .n_fittings = elbows > 0,
                   .no_fittings = elbows == 0 };
}

static void
add_device(struct building *b, enum fci_kind kind, const char *from,
           const char *name, fc_loss loss)
{
    building_add(b, kind)->as.device =
        (fc_device){ .name = name,
                     .from = from,
                     .kind = kind == FCI_METER      ? FC_METER
                             : kind == FCI_BACKFLOW ? FC_BACKFLOW
                                                    : FC_DEVICE,
                     .loss = loss };
}

static void
add_fixture(struct building *b, const char *on, int count, bool closet)
{
    fc_fixture *f = &building_add(b, FCI_FIXTURE)->as.fixture;

    f->name = fci_arena_printf(&b->texts, "%s-%zu", closet ? "wc" : "ur",
                               b->n_parts);
    f->on = on;
    f->kind = closet ? "water closet, flush valve" : "urinal, flush valve";
    f->count = count;
    f->existing = closet ? "vc" : "vu";
}

static void
add_valve(struct building *b, const char *name, double minimum, double gpm,
          double psi)
{
    building_add(b, FCI_VALVE)->as.valve =
        (fc_valve){ .name = name,
                    .minimum_flowing = fc_exactly(minimum * PSI),
                    .flow = fc_exactly(gpm * GPM),
                    .flow_pressure = fc_exactly(psi * PSI),
                    .full_flush = fc_exactly(1.6 * GALLON) };
}

/* Draws stand in statements of their own, so that every compiler makes the
 * same building of a seed. */
static void
make_floor(struct building *b, gsl_rng *rng, const char *riser, size_t floor)
{
    const size_t runs = 1 + below(rng, 2);
    double length, rise;
    const char *name;
    size_t run, size;
    bool closet;

    for (run = 1; run <= runs; run++) {
        length = between(rng, 8, 40);
        size = 2 + below(rng, 2);
        name = fci_arena_printf(&b->texts, "branch-%zu-%zu", floor, run);
        add_pipe(b, riser, name, size, length, 0, 2);
        add_fixture(b, name, 1 + (int)below(rng, 3), true);
        if (gsl_rng_uniform(rng) < 0.5)
            continue;
        rise = between(rng, -2, 3);
        length = between(rng, 5, 20);
        add_pipe(b, name,
                 fci_arena_printf(&b->texts, "end-%zu-%zu", floor, run), 2,
                 length, rise, 1);
        name = b->parts[b->n_parts - 1].as.name;
        closet = gsl_rng_uniform(rng) < 0.6;
        add_fixture(b, name, 1 + (int)below(rng, 2), closet);
    }
}

static const char *
make_riser(struct building *b, gsl_rng *rng, const char *from, size_t floor)
{
    const double rise = between(rng, 10, 12);
    const double length = fmax(between(rng, 11, 14), rise);
    const char *name = fci_arena_printf(&b->texts, "riser-%zu", floor);

    add_pipe(b, from, name, floor > 2 ? 3 : 4, length, rise, 0);
    make_floor(b, rng, name, floor);
    return name;
}

/* From the street to behind what a service has; `x`: whether it has a reducer
 * or a booster. */
static const char *
make_service(struct building *b, gsl_rng *rng, double psi, double x)
{
    static const fc_point curve[] = { { 0, 75 * FOOT },
                                      { 60 * GPM, 62 * FOOT },
                                      { 140 * GPM, 40 * FOOT } };
    const double rise = between(rng, 0, 4);
    const char *at = "meter";

    add_pipe(b, "street", "service", 4, between(rng, 30, 80), rise, 2);
    add_device(b, FCI_METER, "service", at,
               square_loss(between(rng, 3, 7), 80));
    if (gsl_rng_uniform(rng) < 0.5) {
        add_device(b, FCI_BACKFLOW, at, "backflow",
                   square_curve(b, between(rng, 3, 7), 60));
        at = "backflow";
    }
    if (x < 0.25) {
        building_add(b, FCI_REDUCER)->as.reducer =
            (fc_reducer){ .name = "reducer",
                          .from = at,
                          .set = fc_exactly((psi - between(rng, 8, 16)) * PSI),
                          .fall_off = fc_exactly(4 * PSI),
                          .fall_off_flow = fc_exactly(60 * GPM),
                          .loss = square_loss(0, 60) };
        at = "reducer";
    }
    if (x > 0.85) {
        building_add(b, FCI_PUMP)->as.pump =
            (fc_pump){ .name = "booster",
                       .from = at,
                       .curve = curve,
                       .n_curve = sizeof curve / sizeof *curve };
        at = "booster";
    }
    return at;
}

static void
make_building(struct building *b, gsl_rng *rng)
{
    size_t floors, floor, i;
    double x, c, sag, psi;
    const char *at;

    floors = 2 + below(rng, 4);
    b->settings.title =
        fci_arena_printf(&b->texts, "Invented building %lu", b->seed);
    b->settings.material =
        gsl_rng_uniform(rng) < 0.5 ? "copper L" : "steel sch 40";
    c = b->settings.material[0] == 'c' ? 140 : between(rng, 85, 120);
    sag = between(rng, 4, 15);
    x = gsl_rng_uniform(rng);
    psi = 60 + 5 * (double)floors + between(rng, 0, 15) - (x > 0.85 ? 25 : 0);
    building_add(b, FCI_SOURCE)->as.source =
        (fc_source){ .name = "street",
                     .kind = FC_STREET_MAIN,
                     .static_pressure = fc_exactly(psi * PSI),
                     .residual = fc_exactly((psi - sag) * PSI),
                     .residual_flow = fc_exactly(150 * GPM),
                     .within = fc_exactly(0) };
    add_valve(b, "vc", 20, 25, 25);
    add_valve(b, "vu", 15, 12, 20);
    at = make_service(b, rng, psi, x);
    add_pipe(b, at, "main", 4, between(rng, 20, 60), 3, 3);
    at = "main";
    for (floor = 1; floor <= floors; floor++)
        at = make_riser(b, rng, at, floor);
    building_add(b, FCI_FIXTURE)->as.fixture =
        (fc_fixture){ .name = "bibb",
                      .on = "main",
                      .kind = "hose bibb",
                      .fixture_units = fc_exactly(3) };
    for (i = 0; i < b->n_parts; i++)
        if (b->parts[i].kind == FCI_PIPE)
            b->parts[i].as.pipe.c = fc_exactly(c);
}

/* ---- Ranges ------------------------------------------------------------ */

/* How far a file leaves open what was built; 0: it does not. */
static const struct spread {
    double c, c_low, c_high; /* about what it is; or from, to */
    double length;           /* share of it */
    double supply;           /* static pressure, psi */
    double rise;             /* ft */
    double set;              /* of a reducer, psi */
    double meter;            /* share of its loss */
    double rate;             /* share of a valve's */
    double stop;             /* at most so many psi at 25 gpm */
} spreads[] = {
    [SICK_EXACT] = { 0 },
    [SICK_NARROW] = { .c = 5, .length = 0.05, .supply = 2 },
    [SICK_MEDIUM] = { .c_low = 80,
                      .c_high = 120,
                      .length = 0.2,
                      .supply = 4,
                      .rise = 1,
                      .set = 3,
                      .meter = 0.2 },
    [SICK_WIDE] = { .c_low = 60,
                    .c_high = 120,
                    .length = 0.4,
                    .supply = 8,
                    .rise = 2,
                    .set = 3,
                    .meter = 0.2,
                    .rate = 0.15,
                    .stop = 3 },
};

/* What was built lies anywhere in the range.  Half of the buildings have all
 * figures of a kind in the same part of it: pipes rough alike, a drawing to
 * another scale. */
struct draws {
    gsl_rng *rng;
    bool alike;
    double share;
};

static void
next_figures(struct draws *d)
{
    d->share = gsl_rng_uniform(d->rng);
}

static void
leave_open(struct draws *d, fc_range *described, fc_range *drawn, double low,
           double high)
{
    const double own = gsl_rng_uniform(d->rng);

    if (!(low < high))
        return;
    *described = fc_between(low, high);
    *drawn = fc_exactly(low + (d->alike ? d->share : own) * (high - low));
}

static void
leave_open_about(struct draws *d, fc_range *described, fc_range *drawn,
                 double by)
{
    const double at = described->nominal;

    leave_open(d, described, drawn, at - by, at + by);
}

/* No pipe climbs more than it is long, whatever the rest of the ranges. */
static void
leave_length_open(struct draws *d, fc_pipe *described, fc_pipe *drawn,
                  double share)
{
    const double length = described->length.nominal;
    const double climb =
        fmax(fabs(described->rise.low), fabs(described->rise.high));

    leave_open(d, &described->length, &drawn->length,
               fmax(length * (1 - share), climb),
               fmax(length * (1 + share), climb));
}

typedef void open_part(struct draws *d, const struct spread *s,
                       struct building_part *described,
                       struct building_part *drawn);

static void
open_rise(struct draws *d, const struct spread *s,
          struct building_part *described, struct building_part *drawn)
{
    if (described->kind == FCI_PIPE)
        leave_open_about(d, &described->as.pipe.rise, &drawn->as.pipe.rise,
                         s->rise * FOOT);
}

static void
open_length(struct draws *d, const struct spread *s,
            struct building_part *described, struct building_part *drawn)
{
    if (described->kind == FCI_PIPE && s->length > 0)
        leave_length_open(d, &described->as.pipe, &drawn->as.pipe, s->length);
}

static void
open_c(struct draws *d, const struct spread *s,
       struct building_part *described, struct building_part *drawn)
{
    if (described->kind != FCI_PIPE)
        return;
    leave_open_about(d, &described->as.pipe.c, &drawn->as.pipe.c, s->c);
    leave_open(d, &described->as.pipe.c, &drawn->as.pipe.c, s->c_low,
               s->c_high);
}

static void
open_losses(struct draws *d, const struct spread *s,
            struct building_part *described, struct building_part *drawn)
{
    fc_loss *loss = &described->as.device.loss;

    if (described->kind == FCI_METER)
        leave_open_about(d, &loss->pressure, &drawn->as.device.loss.pressure,
                         s->meter * loss->pressure.nominal);
    if (described->kind == FCI_FIXTURE && described->as.fixture.existing
        && s->stop > 0) {
        described->as.fixture.stop = drawn->as.fixture.stop =
            square_loss(s->stop, 25);
        leave_open(d, &described->as.fixture.stop.pressure,
                   &drawn->as.fixture.stop.pressure, 0.1 * PSI, s->stop * PSI);
    }
}

static void
open_settings(struct draws *d, const struct spread *s,
              struct building_part *described, struct building_part *drawn)
{
    fc_range *flow = &described->as.valve.flow;

    if (described->kind == FCI_REDUCER)
        leave_open_about(d, &described->as.reducer.set, &drawn->as.reducer.set,
                         s->set * PSI);
    if (described->kind == FCI_VALVE)
        leave_open_about(d, flow, &drawn->as.valve.flow,
                         s->rate * flow->nominal);
}

/* Of the day; the flow test was on another, of which all is known. */
static void
open_supply(struct draws *d, const struct spread *s,
            struct building_part *described, struct building_part *drawn)
{
    fc_source *source = &described->as.source;
    const double tested = source->static_pressure.nominal;

    if (described->kind != FCI_SOURCE || !(s->supply > 0))
        return;
    source->test_static = source->static_pressure;
    leave_open_about(d, &source->static_pressure,
                     &drawn->as.source.static_pressure, s->supply * PSI);
    building_shift(&drawn->as.source.residual,
                   drawn->as.source.static_pressure.nominal - tested);
}

static void
leave_figures_open(struct sick_building *sick, const struct spread *s,
                   gsl_rng *rng)
{
    static open_part *const keys[] = {
        open_rise, open_length, open_c, open_losses, open_supply, open_settings
    };
    struct draws d = { .rng = rng, .alike = gsl_rng_uniform(rng) < 0.5 };
    size_t k, i;

    for (k = 0; k < sizeof keys / sizeof *keys; k++) {
        next_figures(&d);
        for (i = 0; i < sick->b.n_parts; i++)
            keys[k](&d, s, &sick->b.parts[i], &sick->drawn.parts[i]);
    }
}

void
sick_make(struct sick_building *sick, unsigned long seed,
          enum sick_ranges ranges)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);

    sick_must(rng != NULL, "no memory");
    gsl_rng_set(rng, seed);
    *sick = (struct sick_building){ .b = { .seed = seed } };
    make_building(&sick->b, rng);
    sick_must(sick->b.n_parts <= SICK_MOST, "too many parts");
    building_copy(&sick->drawn, &sick->b);
    leave_figures_open(sick, &spreads[ranges], rng);
    gsl_rng_free(rng);
}

void
sick_free(struct sick_building *sick)
{
    building_free(&sick->drawn);
    building_free(&sick->b);
}

const fc_fixture *
sick_fixture(const struct sick_building *sick, bool top)
{
    size_t i = 0;

    if (top) /* the last but the bibb */
        return &sick->b.parts[sick->b.n_parts - 2].as.fixture;
    while (sick->b.parts[i].kind != FCI_FIXTURE)
        i++;
    return &sick->b.parts[i].as.fixture;
}

/* ---- The fault --------------------------------------------------------- */

static bool
has_no_reducer(const struct building *b)
{
    size_t i;

    for (i = 0; i < b->n_parts; i++)
        if (b->parts[i].kind == FCI_REDUCER)
            return false;
    return true;
}

/* Where a fault of a kind may be: any such part but the source, which only
 * the supply's faults concern. */
static bool
may_have(const struct building *b, fc_cause_kind kind, size_t at)
{
    const struct building_part *p = &b->parts[at];

    switch (kind) {
    case FC_SUPPLY_PRESSURE:
    case FC_SUPPLY_SAG:
        return p->kind == FCI_SOURCE;
    case FC_REDUCER_SETTING:
        return p->kind == FCI_REDUCER;
    case FC_BLOCKED:
        return building_is_element(p) && p->kind != FCI_SOURCE;
    case FC_PIPE_ROUGHNESS:
    case FC_HEIGHT:
        return p->kind == FCI_PIPE;
    case FC_SMALLER_SIZE:
        return p->kind == FCI_PIPE && place_of(&p->as.pipe) > 0;
    case FC_LARGER_SIZE:
        return p->kind == FCI_PIPE
               && place_of(&p->as.pipe) + 1 < sizeof sizes / sizeof *sizes;
    case FC_STOP_THROTTLED:
    case FC_VALVE_RATE:
    case FC_VALVE_VOLUME:
        return p->kind == FCI_FIXTURE && p->as.fixture.existing;
    case FC_RUNNING_OUTLET:
        return p->kind == FCI_FIXTURE;
    case FC_PUMP_OFF:
    case FC_PUMP_WEAK:
        return p->kind == FCI_PUMP;
    case FC_HOLDS_BACK:
        return p->kind == FCI_BACKFLOW;
    case FC_LOSES_LESS:
        return p->kind == FCI_BACKFLOW || p->kind == FCI_METER;
    case FC_GAUGE_OFF:
    case FC_CHANGED:
        return at == 0;
    case FC_WRONG_READING:
        return at < SICK_FIRST;
    case FC_PRV_NOT_LISTED:
        return has_no_reducer(b)
               && (p->kind == FCI_METER || strcmp(p->as.name, "service") == 0);
    }
    return false;
}

static double
size_of_fault(gsl_rng *rng, fc_cause_kind kind)
{
    const double sign = gsl_rng_uniform(rng) < 0.5 ? -1 : 1;

    switch (kind) {
    case FC_SUPPLY_PRESSURE:
    case FC_REDUCER_SETTING:
        return -between(rng, 6, 15);
    case FC_PIPE_ROUGHNESS:
        return between(rng, 0.3, 0.6);
    case FC_VALVE_RATE:
        return between(rng, 0.4, 0.7);
    case FC_VALVE_VOLUME:
        return sign < 0 ? between(rng, 0.3, 0.75) : between(rng, 1.3, 3);
    case FC_CHANGED:
        return -between(rng, 8, 15);
    case FC_LOSES_LESS:
        return between(rng, 0.05, 0.3);
    case FC_GAUGE_OFF:
        return sign * between(rng, 5, 15);
    case FC_WRONG_READING:
        return sign * between(rng, 8, 20);
    case FC_RUNNING_OUTLET:
        return between(rng, 15, 35);
    case FC_HOLDS_BACK:
        return between(rng, 5, 10);
    case FC_PRV_NOT_LISTED:
        return between(rng, 5, 20);
    default:
        return between(rng, 6, 20);
    }
}

/* Up or down, 10 to 20 ft, as far as the pipe is long enough for; 0: it is too
 * short either way [ft]. */
static double
wrong_rise(gsl_rng *rng, const fc_pipe *pipe)
{
    const double sign = gsl_rng_uniform(rng) < 0.5 ? -1 : 1;
    const double share = gsl_rng_uniform(rng);
    const double length = pipe->length.nominal / FOOT;
    const double rise = pipe->rise.nominal / FOOT;
    double most = fmin(length - sign * rise, 20);

    if (most >= 10)
        return sign * (10 + share * (most - 10));
    most = fmin(length + sign * rise, 20);
    return most >= 10 ? -sign * (10 + share * (most - 10)) : 0;
}

/* So that the end is above or below the start by more than the pipe is long,
 * as the file has it; 0: nobody errs by so much [ft]. */
static double
too_far(gsl_rng *rng, const fc_pipe *pipe)
{
    const double sign = gsl_rng_uniform(rng) < 0.5 ? -1 : 1;
    const double reach = pipe->length.high / FOOT + between(rng, 1, 6);
    const double by = sign * reach - pipe->rise.nominal / FOOT;

    return fabs(by) > 20 ? 0 : by;
}

bool
sick_infect(struct sick_building *b, const struct sick_plan *plan,
            gsl_rng *rng)
{
    struct sick_fault *fault = &b->faults[b->n_faults];
    size_t places[SICK_MOST], n = 0, i;

    for (i = 0; i < b->b.n_parts; i++)
        if (may_have(&b->b, plan->kind, i))
            places[n++] = i;
    if (n == 0)
        return false;
    *fault =
        (struct sick_fault){ .kind = plan->kind, .at = places[below(rng, n)] };
    fault->all = plan->kind == FC_PIPE_ROUGHNESS && gsl_rng_uniform(rng) < 0.5;
    if (plan->too_far)
        fault->value = too_far(rng, &b->b.parts[fault->at].as.pipe);
    else if (plan->kind == FC_HEIGHT)
        fault->value = wrong_rise(rng, &b->drawn.parts[fault->at].as.pipe);
    else
        fault->value = size_of_fault(rng, plan->kind);
    b->n_faults++;
    return true;
}

/* The name of what comes between an element and all that it feeds. */
static const char *
splice(struct building *b, const char *element)
{
    const char *name = fci_arena_printf(&b->texts, "%s-fault", element);
    size_t i;

    for (i = 0; i < b->n_parts; i++) {
        const char **feed = building_feed(&b->parts[i]);

        if (feed && *feed && strcmp(*feed, element) == 0)
            *feed = name;
    }
    return name;
}

/* A device behind the element that takes what the fault takes. */
static void
follow(struct building *b, const char *element, fc_loss loss)
{
    add_device(b, FCI_DEVICE, element, splice(b, element), loss);
}

/* Upstream of reducers and pumps. */
static double
static_behind(const struct building *b, const char *at)
{
    double pressure = b->parts[0].as.source.static_pressure.nominal;

    for (; at; at = building_from(building_find(b, false, at))) {
        const struct building_part *p = building_find(b, false, at);

        if (p->kind == FCI_PIPE)
            pressure -= p->as.pipe.rise.nominal * WATER;
    }
    return pressure;
}

static void
draw(struct building *b, const char *name, const char *on, double gpm)
{
    building_add(b, FCI_DEMAND)->as.demand =
        (fc_demand){ .name = name, .on = on, .flow = fc_exactly(gpm * GPM) };
}

/* Valves of another kit at one fixture: what they were, times these. */
static void
other_valves(struct building *b, fc_fixture *fixture, double rate,
             double volume)
{
    fc_valve valve = { 0 };
    size_t i;

    for (i = 0; i < b->n_parts; i++)
        if (b->parts[i].kind == FCI_VALVE
            && strcmp(b->parts[i].as.name, fixture->existing) == 0)
            valve = b->parts[i].as.valve;
    valve.name = fci_arena_printf(&b->texts, "other-%zu", b->n_parts);
    valve.flow = fc_exactly(valve.flow.nominal * rate);
    valve.full_flush = fc_exactly(valve.full_flush.nominal * volume);
    fixture->existing = valve.name;
    building_add(b, FCI_VALVE)->as.valve = valve;
}

/* A reducer that the file does not have, set so far below what stands there
 * while nothing flows. */
static void
hide_reducer(struct building *b, const struct sick_fault *fault)
{
    const char *element = b->parts[fault->at].as.name;
    const double set = static_behind(b, element) - fault->value * PSI;
    const char *name = splice(b, element);

    building_add(b, FCI_REDUCER)->as.reducer =
        (fc_reducer){ .name = name,
                      .from = element,
                      .set = fc_exactly(set),
                      .fall_off = fc_exactly(4 * PSI),
                      .fall_off_flow = fc_exactly(60 * GPM),
                      .loss = square_loss(0, 60) };
}

static void
put_fault(struct building *b, const struct sick_fault *fault)
{
    struct building_part *p = &b->parts[fault->at];
    const double value = fault->value;
    size_t i;

    switch (fault->kind) {
    case FC_SUPPLY_PRESSURE:
        building_shift_source(b, value * PSI, 1);
        break;
    case FC_REDUCER_SETTING:
        building_shift(&p->as.reducer.set, value * PSI);
        break;
    case FC_SUPPLY_SAG:
    case FC_BLOCKED:
        follow(b, p->as.name, square_loss(value, NOMINAL_FLOW));
        break;
    case FC_HOLDS_BACK:
        follow(b, p->as.name,
               (fc_loss){ .kind = FC_CONSTANT_LOSS,
                          .pressure = fc_exactly(value * PSI) });
        break;
    case FC_PIPE_ROUGHNESS:
        for (i = 0; i < b->n_parts; i++)
            if (b->parts[i].kind == FCI_PIPE && (fault->all || i == fault->at))
                b->parts[i].as.pipe.c =
                    fc_exactly(b->parts[i].as.pipe.c.nominal * value);
        break;
    case FC_HEIGHT:
        building_shift(&p->as.pipe.rise, value * FOOT);
        /* no pipe climbs more than it is long */
        p->as.pipe.length = fc_exactly(
            fmax(p->as.pipe.length.nominal, fabs(p->as.pipe.rise.nominal)));
        break;
    case FC_SMALLER_SIZE:
        p->as.pipe.size = size_at(place_of(&p->as.pipe) - 1);
        break;
    case FC_LARGER_SIZE:
        p->as.pipe.size = size_at(place_of(&p->as.pipe) + 1);
        break;
    case FC_STOP_THROTTLED:
        p->as.fixture.stop = square_loss(value, 25);
        break;
    case FC_VALVE_RATE:
        other_valves(b, &p->as.fixture, value, 1);
        break;
    case FC_VALVE_VOLUME:
        other_valves(b, &p->as.fixture, 1, value);
        break;
    case FC_PRV_NOT_LISTED:
        hide_reducer(b, fault);
        break;
    case FC_RUNNING_OUTLET:
        draw(b, "running", p->as.fixture.on, value);
        break;
    case FC_PUMP_OFF:
        p->as.pump.running = FC_NO;
        break;
    case FC_PUMP_WEAK: /* as if it stood higher */
        p->as.pump.rise = fc_exactly(2.3 * value * FOOT);
        break;
    case FC_LOSES_LESS:
        scale_loss(b, &p->as.device.loss, value);
        break;
    case FC_GAUGE_OFF:
    case FC_CHANGED:
    case FC_WRONG_READING:
        break; /* of what is read, not of the building */
    }
}

/* An outlet that is no flush valve passes about what its kind is designed for:
 * a hose bibb 5 gpm at 8 psi (International Plumbing Code, Table 604.3),
 * within a fifth. */
static void
open_outlets(struct building *b, const fc_flushing *flush, size_t n)
{
    const double share = 0.8 + 0.04 * (double)(b->seed % 11);
    struct building_part *p;
    size_t i;

    for (i = 0; i < n; i++) {
        p = building_find(b, true, flush[i].fixture);
        if (p->as.fixture.existing)
            continue;
        p->as.fixture.kind = "urinal, flush valve";
        p->as.fixture.existing = "tap";
        add_valve(b, "tap", 0.1, 5 * share, 8);
    }
}

/* With these faults; with a drop of water drawn at `drip` (NULL: nowhere), so
 * that the pressure there is one that the flows decide. */
static fc_site *
sick_site(const struct sick_building *sick, const struct sick_fault *faults,
          size_t n, const char *drip, const fc_flushing *flush, size_t n_flush)
{
    struct building b;
    fc_site *site;
    size_t i;

    building_copy(&b, &sick->drawn);
    if (drip)
        draw(&b, "drip", drip, DRIP);
    for (i = 0; i < n; i++)
        put_fault(&b, &faults[i]);
    open_outlets(&b, flush, n_flush);
    site = building_site(&b, NULL);
    if (!site) /* says why */
        fc_site_free(building_read(&b, &(struct building_style){ 0 }));
    sick_must(site != NULL, "no site");
    building_free(&b);
    return site;
}

/* ---- What gauges show -------------------------------------------------- */

static size_t
fixture_named(const fc_site *site, const char *name)
{
    size_t i;

    for (i = 0; i < site->n_fixtures; i++)
        if (strcmp(site->fixtures[i].given->name, name) == 0)
            return i;
    return FCI_NONE;
}

/* Behind the fault of the element, where it has one. */
static double
at_element(const fc_site *site, const struct reference_flows *flows,
           const char *name)
{
    const size_t n = strlen(name);
    double found = NAN;
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const char *other = site->elements[i].name;

        if (strncmp(other, name, n) == 0
            && ((other[n] == '\0' && isnan(found))
                || strcmp(other + n, "-fault") == 0))
            found = flows->flows[i] ? flows->elements[i].pressure : NAN;
    }
    return found;
}

double
sick_shows(const struct sick_building *b, const struct sick_fault *faults,
           size_t n_faults, const char *at, const fc_flushing *flush, size_t n)
{
    const struct building_part *tap = building_find(&b->b, true, at);
    const char *where = tap ? tap->as.fixture.on : at;
    fc_site *site = sick_site(b, faults, n_faults, where, flush, n);
    struct reference *reference;
    struct reference_flows flows;
    struct fci_open open[SICK_MOST];
    double shown = NAN;
    size_t i, fixture;

    fixture = fixture_named(site, at);
    for (i = 0; i < n; i++) {
        open[i].fixture = fixture_named(site, flush[i].fixture);
        open[i].count = flush[i].count;
    }
    reference = reference_new(site, FC_EXISTING);
    if (reference_solve(reference, open, n, &flows)) {
        shown = at_element(site, &flows, where);
        for (i = 0; i < n; i++)
            if (open[i].fixture == fixture)
                shown = flows.drawn[i].pressure;
    }
    reference_flows_free(&flows);
    reference_free(reference);
    fc_site_free(site);
    return shown / PSI;
}

static double
volume_of(const fc_site *site, size_t fixture)
{
    return site->fixtures[fixture].valve[FC_EXISTING]->full_flush.nominal;
}

double
sick_seconds(const struct sick_building *b, const struct sick_fault *faults,
             size_t n_faults, const fc_flushing *flush)
{
    fc_site *site = sick_site(b, faults, n_faults, NULL, flush, 1);
    struct reference *reference = reference_new(site, FC_EXISTING);
    const size_t fixture = fixture_named(site, flush->fixture);
    struct fci_open open = { fixture, 1 };
    struct reference_flows flows;
    double seconds = NAN;

    if (reference_solve(reference, &open, 1, &flows))
        seconds = volume_of(site, fixture) / flows.drawn[0].flow;
    reference_flows_free(&flows);
    reference_free(reference);
    fc_site_free(site);
    return seconds;
}

bool
sick_is_above(const struct sick_building *b, const char *at, const char *name)
{
    for (; at; at = building_from(building_find(&b->b, false, at)))
        if (strcmp(at, name) == 0)
            return true;
    return false;
}
