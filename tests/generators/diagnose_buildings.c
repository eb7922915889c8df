/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/diagnose_buildings.c -- see
 * generators/diagnose_buildings.h.
 *
 * A main, a service, a meter, perhaps a backflow preventer and a reducer or a
 * booster, a riser, and on each floor one or two runs with closets and
 * urinals: what a plumber meets.  A fault is put into a copy of the parts, not
 * by the library.
 */
#include "generators/diagnose_buildings.h"
#include "generators/reference_solver.h"
#include "generators/sites.h"

#include <math.h>

#define DRIP 0.001        /* gpm */
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

    ck_assert_int_eq(fc_parse(sizes[place], FC_SIZE, &size, NULL), FC_OK);
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

    ck_assert_ptr_nonnull(points);
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
    ck_assert_ptr_nonnull(points);
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

void
sick_make(struct sick_building *sick, unsigned long seed)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    struct building *b = &sick->b;
    size_t floors, floor, i;
    double x, c, sag, psi;
    const char *at;

    ck_assert_ptr_nonnull(rng);
    gsl_rng_set(rng, seed);
    *sick = (struct sick_building){ .b = { .seed = seed } };
    floors = 2 + below(rng, 4);
    b->settings.title =
        fci_arena_printf(&b->texts, "Invented building %lu", seed);
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
    gsl_rng_free(rng);
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
        return at < SICK_READINGS;
    case FC_VALVE_VOLUME:
    case FC_PRV_NOT_LISTED:
        break;
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
        return between(rng, 0.4, 0.7);
    case FC_VALVE_RATE:
        return between(rng, 0.4, 0.7);
    case FC_CHANGED:
        return -between(rng, 8, 15);
    case FC_LOSES_LESS:
        return between(rng, 0.05, 0.3);
    case FC_GAUGE_OFF:
        return sign * between(rng, 5, 15);
    case FC_HEIGHT:
    case FC_WRONG_READING:
        return sign * between(rng, 8, 20);
    case FC_RUNNING_OUTLET:
        return between(rng, 15, 35);
    case FC_HOLDS_BACK:
        return between(rng, 5, 10);
    default:
        return between(rng, 6, 20);
    }
}

void
sick_infect(struct sick_building *b, unsigned long seed)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    size_t places[SICK_MOST], n = 0, i;

    ck_assert_ptr_nonnull(rng);
    ck_assert_uint_le(b->b.n_parts, SICK_MOST);
    gsl_rng_set(rng, seed + 77777);
    while (n == 0) {
        b->fault.kind = (fc_cause_kind)below(rng, FC_WRONG_READING + 1);
        for (i = 0; i < b->b.n_parts; i++)
            if (may_have(&b->b, b->fault.kind, i))
                places[n++] = i;
    }
    b->sick = true;
    b->fault.at = places[below(rng, n)];
    b->fault.all =
        b->fault.kind == FC_PIPE_ROUGHNESS && gsl_rng_uniform(rng) < 0.5;
    b->fault.value = size_of_fault(rng, b->fault.kind);
    gsl_rng_free(rng);
}

/* A device behind the element that takes what the fault takes. */
static void
follow(struct building *b, const char *element, fc_loss loss)
{
    const char *name = fci_arena_printf(&b->texts, "%s-fault", element);
    size_t i;

    for (i = 0; i < b->n_parts; i++) {
        const char **feed = building_feed(&b->parts[i]);

        if (feed && *feed && strcmp(*feed, element) == 0)
            *feed = name;
    }
    add_device(b, FCI_DEVICE, element, name, loss);
}

static void
draw(struct building *b, const char *name, const char *on, double gpm)
{
    building_add(b, FCI_DEMAND)->as.demand =
        (fc_demand){ .name = name, .on = on, .flow = fc_exactly(gpm * GPM) };
}

/* Another valve of the same kind at one fixture. */
static void
slow_valve(struct building *b, fc_fixture *fixture, double share)
{
    const bool closet = strcmp(fixture->existing, "vc") == 0;

    fixture->existing = "slow";
    add_valve(b, "slow", closet ? 20 : 15, (closet ? 25 : 12) * share,
              closet ? 25 : 20);
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
        slow_valve(b, &p->as.fixture, value);
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
    case FC_VALVE_VOLUME:
    case FC_PRV_NOT_LISTED:
        break; /* of what is read, not of the building */
    }
}

/* With `fault` as the building is; with a drop of water drawn at `drip` (NULL:
 * nowhere), so that the pressure there is one that the flows decide. */
static fc_site *
sick_site(const struct sick_building *sick, bool fault, const char *drip)
{
    struct building b;
    fc_site *site;

    building_copy(&b, &sick->b);
    if (drip)
        draw(&b, "drip", drip, DRIP);
    if (fault && sick->sick)
        put_fault(&b, &sick->fault);
    site = building_site(&b, NULL);
    ck_assert_ptr_nonnull(site);
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
sick_shows(const struct sick_building *b, bool fault, const char *at,
           const fc_flushing *flush, size_t n)
{
    const struct building_part *tap = building_find(&b->b, true, at);
    const char *where = tap ? tap->as.fixture.on : at;
    fc_site *site = sick_site(b, fault, where);
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

double
sick_flow(const struct sick_building *b, bool fault, const fc_flushing *flush)
{
    fc_site *site = sick_site(b, fault, NULL);
    struct reference *reference = reference_new(site, FC_EXISTING);
    struct fci_open open = { fixture_named(site, flush->fixture), 1 };
    struct reference_flows flows;
    double drawn = NAN;

    if (reference_solve(reference, &open, 1, &flows))
        drawn = flows.drawn[0].flow / GPM;
    reference_flows_free(&flows);
    reference_free(reference);
    fc_site_free(site);
    return drawn;
}
