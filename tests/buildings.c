/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/buildings.c -- invented buildings at random: the making. */
#include "buildings.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

static struct fci_tables *tables;

const struct fci_tables *
building_tables(void)
{
    if (!tables && fci_tables_read(NULL, &tables, NULL) != FC_OK)
        abort();
    return tables;
}

void
building_tables_end(void)
{
    fci_tables_free(tables);
    tables = NULL;
}

/* ---- Parts ------------------------------------------------------------ */

struct building_part *
building_add(struct building *b, enum fci_kind kind)
{
    struct building_part *part;

    if (b->n_parts == b->room) {
        b->room = b->room ? 2 * b->room : 64;
        b->parts = realloc(b->parts, b->room * sizeof *b->parts);
        if (!b->parts)
            abort();
    }
    part = &b->parts[b->n_parts++];
    memset(part, 0, sizeof *part);
    part->kind = kind;
    return part;
}

void
building_copy(struct building *b, const struct building *of)
{
    *b = *of;
    memset(&b->texts, 0, sizeof b->texts);
    b->room = of->n_parts;
    b->parts = malloc(b->room * sizeof *b->parts);
    if (!b->parts)
        abort();
    memcpy(b->parts, of->parts, b->room * sizeof *b->parts);
}

void
building_free(struct building *b)
{
    free(b->parts);
    fci_arena_free(&b->texts);
}

bool
building_is_element(const struct building_part *part)
{
    return part->kind >= FCI_SOURCE && part->kind <= FCI_PUMP;
}

struct building_part *
building_find(const struct building *b, bool fixture, const char *name)
{
    size_t i;

    for (i = 0; i < b->n_parts; i++)
        if ((fixture ? b->parts[i].kind == FCI_FIXTURE
                     : building_is_element(&b->parts[i]))
            && fci_same_name(b->parts[i].as.name, name))
            return &b->parts[i];
    return NULL;
}

const char *
building_from(const struct building_part *part)
{
    switch (part->kind) {
    case FCI_PIPE:
        return part->as.pipe.from;
    case FCI_METER:
    case FCI_BACKFLOW:
    case FCI_DEVICE:
        return part->as.device.from;
    case FCI_REDUCER:
        return part->as.reducer.from;
    case FCI_PUMP:
        return part->as.pump.from;
    default:
        return NULL;
    }
}

fc_range *
building_rise(struct building_part *part)
{
    switch (part->kind) {
    case FCI_PIPE:
        return &part->as.pipe.rise;
    case FCI_METER:
    case FCI_BACKFLOW:
    case FCI_DEVICE:
        return &part->as.device.rise;
    case FCI_REDUCER:
        return &part->as.reducer.rise;
    case FCI_PUMP:
        return &part->as.pump.rise;
    case FCI_FIXTURE:
        return &part->as.fixture.rise;
    default:
        return NULL;
    }
}

const struct fci_material *
building_material(const struct building *b, const fc_pipe *pipe)
{
    const char *name = pipe->material ? pipe->material : b->settings.material;

    return name ? fci_tables_material(building_tables(), name) : NULL;
}

/* ---- Chance ----------------------------------------------------------- */

struct maker {
    struct building *b;
    gsl_rng *rng;
    bool ranges, weak_main;
    size_t n_elements, n_fixtures, n_valves;
    bool converts;
};

static bool
chance(struct maker *m, double p)
{
    return gsl_rng_uniform(m->rng) < p;
}

static size_t
below(struct maker *m, size_t n)
{
    return (size_t)gsl_rng_uniform_int(m->rng, (unsigned long)n);
}

/* In steps of a tenth. */
static double
between(struct maker *m, double low, double high)
{
    const double steps = (high - low) * 10;

    return low + (double)below(m, (size_t)steps + 1) / 10;
}

static fc_range
single(struct maker *m, double low, double high, double unit)
{
    return fc_exactly(between(m, low, high) * unit);
}

/* A figure that may be a range, of a third of the span at most. */
static fc_range
figure(struct maker *m, double low, double high, double unit)
{
    const double from = between(m, low, high);

    if (!m->ranges || !chance(m, 0.35))
        return fc_exactly(from * unit);
    return fc_between(from * unit,
                      (from + between(m, 0, (high - low) / 3)) * unit);
}

static const char *
name(struct maker *m, const char *stem, size_t number)
{
    return fci_arena_printf(&m->b->texts, "%s%s%zu", stem,
                            chance(m, 0.5) ? "-" : "_", number);
}

/* ---- Losses ----------------------------------------------------------- */

static const fc_point *
points(struct maker *m, size_t *n, double first, double step, int sign,
       double unit)
{
    fc_point *list;
    double x = 0, y = first;
    size_t i;

    *n = 2 + below(m, 4);
    list = fci_arena_array(&m->b->texts, *n, sizeof *list);
    for (i = 0; i < *n; i++) {
        list[i].x = x * GPM;
        list[i].y = y * unit;
        x += between(m, 10, 60);
        y += sign * between(m, 0, step);
        if (y < 0)
            y = 0;
    }
    return list;
}

static fc_loss
loss(struct maker *m, double most)
{
    fc_loss l = { .kind = FC_NO_LOSS };

    switch (below(m, 3)) {
    case 0:
        l.kind = FC_CONSTANT_LOSS;
        l.pressure = figure(m, 0, most, PSI);
        break;
    case 1:
        l.kind = FC_SQUARE_LOSS;
        l.pressure = figure(m, 0, most, PSI);
        l.flow = single(m, 20, 90, GPM);
        break;
    default:
        l.kind = FC_CURVE_LOSS;
        l.points = points(m, &l.n_points, between(m, 0, most / 2), most / 3,
                          +1, PSI);
        break;
    }
    return l;
}

/* ---- Elements --------------------------------------------------------- */

static void
make_street_main(struct maker *m, fc_source *s)
{
    s->kind = FC_STREET_MAIN;
    s->static_pressure = figure(m, 55, 110, PSI);
    if (chance(m, 0.3))
        return;
    /* the ranges of both may overlap; the middle of one is under the other's */
    s->residual = figure(m, 30, 90, PSI);
    while (s->residual.nominal > s->static_pressure.nominal)
        s->residual = figure(m, 30, 90, PSI);
    s->residual_flow = figure(m, 30, 250, GPM);
}

/* Both ends of one range may lie in the other; the flow at peak is far beyond
 * the tested one. */
static void
make_weak_main(struct maker *m, fc_source *s)
{
    const double low = between(m, 50, 80), span = between(m, 1, 10);
    const double fall = between(m, 0, span * 0.9);

    s->kind = FC_STREET_MAIN;
    s->static_pressure = fc_between(low * PSI, (low + span) * PSI);
    s->residual = fc_between((low - fall) * PSI,
                             (low - fall + span + fall * chance(m, 0.5)) * PSI);
    s->residual_flow = figure(m, 5, 20, GPM);
}

static void
make_source(struct maker *m)
{
    fc_source *s = &building_add(m->b, FCI_SOURCE)->as.source;

    s->name = name(m, "Source", 0);
    if (chance(m, 0.4))
        s->elevation = figure(m, -10, 10, FOOT);
    if (m->weak_main) {
        make_weak_main(m, s);
    } else if (chance(m, 0.6)) {
        make_street_main(m, s);
    } else if (chance(m, 0.5)) {
        s->kind = FC_TANK;
        s->water_level = figure(m, 90, 260, FOOT);
    } else {
        s->kind = FC_FIXED;
        s->pressure = figure(m, 40, 110, PSI);
    }
    m->n_elements++;
}

static const char *const materials[] = {
    "copper K",        "copper L",           "copper M",   "steel sch 40",
    "cpvc sdr 11",     "pvc sch 40",         "pex sdr 9",  "copper en 1057",
    "stainless en 10312",
};

static const char *
some_material(struct maker *m)
{
    return materials[below(m, sizeof materials / sizeof *materials)];
}

/* A size of the material, the larger the nearer to the source. */
static fc_range
some_size(struct maker *m, const struct fci_material *material)
{
    const double deep = (double)m->n_elements / 60;
    const size_t n = material->n_sizes;
    size_t low = 0, high;

    while (low + 2 < n
           && material->sizes[low].bore < (2.4 - 1.3 * deep) * INCH)
        low++;
    low += below(m, 2);
    high = low;
    if (m->ranges && chance(m, 0.25) && high + 1 < n)
        high += 1 + below(m, n - high - 1 < 2 ? 1 : 2);
    if (high >= n)
        high = n - 1;
    /* of sizes the nominal end is the smaller */
    return (fc_range){ true, material->sizes[low].nominal,
                       material->sizes[low].nominal,
                       material->sizes[high].nominal };
}

static void
some_fittings(struct maker *m, fc_pipe *pipe)
{
    static const char *const known[] = { "elbow 90", "elbow 45",
                                         "tee branch", "tee run",
                                         "coupling", "gate valve",
                                         "check valve" };
    const size_t n = sizeof known / sizeof *known;
    fc_fitting *list = fci_arena_array(&m->b->texts, 3, sizeof *list);
    size_t first = below(m, n), i;

    pipe->n_fittings = 1 + below(m, 3);
    for (i = 0; i < pipe->n_fittings; i++) {
        list[i].count = 1 + (int)below(m, 3);
        list[i].name = known[(first + i) % n];
    }
    pipe->fittings = list;
}

static void
make_pipe(struct maker *m, const char *from)
{
    fc_pipe *p = &building_add(m->b, FCI_PIPE)->as.pipe;

    p->name = name(m, "Pipe", m->n_elements);
    p->from = from;
    p->length = figure(m, 3, 25, FOOT);
    if (chance(m, 0.5))
        p->rise = figure(m, -2, 11, FOOT);
    if (chance(m, 0.3))
        p->condition = chance(m, 0.5) ? FC_NEW : FC_AGED;
    if (chance(m, 0.2))
        p->c = figure(m, 70, 140, 1);
    if (chance(m, 0.1)) {
        p->inside_diameter = figure(m, 1, 3, INCH);
        if (!m->b->settings.material) {
            p->c = figure(m, 70, 140, 1);
            return;
        }
    }
    if (!m->b->settings.material || chance(m, 0.4))
        p->material = some_material(m);
    p->size = some_size(m, building_material(m->b, p));
    if (chance(m, 0.6))
        some_fittings(m, p);
}

static void
make_device(struct maker *m, enum fci_kind kind, const char *from)
{
    static const char *const sizes[] = { "1-1/2 in", "2 in" };
    fc_device *d = &building_add(m->b, kind)->as.device;

    d->name = name(m, "Device", m->n_elements);
    d->kind = kind == FCI_METER      ? FC_METER
              : kind == FCI_BACKFLOW ? FC_BACKFLOW
                                     : FC_DEVICE;
    d->from = from;
    if (chance(m, 0.3))
        d->rise = figure(m, -2, 3, FOOT);
    if (kind == FCI_METER && chance(m, 0.5)) {
        d->meter_kind = "displacement";
        if (fc_parse(sizes[below(m, 2)], FC_SIZE, &d->size, NULL) != FC_OK)
            abort();
        return;
    }
    d->loss = loss(m, kind == FCI_BACKFLOW ? 12 : 5);
}

static void
make_reducer(struct maker *m, const char *from)
{
    fc_reducer *r = &building_add(m->b, FCI_REDUCER)->as.reducer;

    r->name = name(m, "Reducer", m->n_elements);
    r->from = from;
    if (chance(m, 0.3))
        r->rise = figure(m, -2, 3, FOOT);
    r->set = figure(m, 40, 75, PSI);
    if (chance(m, 0.5)) {
        r->fall_off = single(m, 1, 8, PSI);
        r->fall_off_flow = single(m, 20, 90, GPM);
    }
    if (chance(m, 0.5))
        r->loss = loss(m, 4);
}

static void
make_pump(struct maker *m, const char *from)
{
    fc_pump *p = &building_add(m->b, FCI_PUMP)->as.pump;

    p->name = name(m, "Pump", m->n_elements);
    p->from = from;
    if (chance(m, 0.3))
        p->rise = figure(m, -2, 3, FOOT);
    p->curve = points(m, &p->n_curve, between(m, 40, 120), 20, -1, FOOT);
    if (chance(m, 0.5))
        p->hold = figure(m, 50, 90, PSI);
    if (chance(m, 0.3))
        p->running = chance(m, 0.5) ? FC_YES : FC_NO;
}

static void
make_element(struct maker *m)
{
    /* half the time on the last one, so that runs grow long */
    const size_t on =
        chance(m, 0.5) ? m->n_elements - 1 : below(m, m->n_elements);
    const char *from = m->b->parts[on].as.name;
    const double x = gsl_rng_uniform(m->rng);

    if (x < 0.80)
        make_pipe(m, from);
    else if (x < 0.85)
        make_device(m, FCI_METER, from);
    else if (x < 0.88)
        make_device(m, FCI_BACKFLOW, from);
    else if (x < 0.93)
        make_device(m, FCI_DEVICE, from);
    else if (x < 0.97)
        make_reducer(m, from);
    else
        make_pump(m, from);
    m->n_elements++;
}

/* ---- Fixtures --------------------------------------------------------- */

static void
make_valve(struct maker *m)
{
    fc_valve *v = &building_add(m->b, FCI_VALVE)->as.valve;

    v->name = name(m, "Valve", m->n_valves++);
    v->minimum_flowing = figure(m, 10, 40, PSI);
    if (chance(m, 0.2))
        v->maximum_static = single(m, 80, 125, PSI);
    if (chance(m, 0.7)) {
        v->flow = figure(m, 8, 30, GPM);
        v->flow_pressure = single(m, 15, 40, PSI);
        if (chance(m, 0.3))
            v->regulated = FC_YES;
    }
    if (chance(m, 0.7))
        v->full_flush = single(m, 1, 4, GALLON);
    if (v->full_flush.given && chance(m, 0.3))
        v->reduced_flush = single(m, 0.5, 0.9, GALLON);
    if (chance(m, 0.3))
        v->closing_time = single(m, 0.5, 5, 1);
}

static const char *
some_valve(struct maker *m)
{
    static const char *const classes[] = {
        "siphonic closet 3.5 gal", "siphonic closet 1.6 gal",
        "siphonic closet 1.28 gal", "urinal 1.0 gal", "urinal 0.5 gal",
    };
    char number[32];
    size_t i;

    if (chance(m, 0.4))
        return classes[below(m, sizeof classes / sizeof *classes)];
    i = below(m, m->n_valves);
    snprintf(number, sizeof number, "%zu", i);
    for (i = 0; i < m->b->n_parts; i++) {
        const struct building_part *part = &m->b->parts[i];

        if (part->kind == FCI_VALVE
            && strcmp(part->as.name + strlen("Valve") + 1, number) == 0)
            return part->as.name;
    }
    abort();
}

/* Any kind of the code's table, with a use that has units there; flush valves
 * more often than chance has it. */
static const struct fci_fixture_kind *
some_kind(struct maker *m, fc_use *use)
{
    const char *heading =
        m->b->settings.code == FC_IPC ? "fixture ipc" : "fixture upc";
    const bool flushes = chance(m, 0.4);

    for (;;) {
        const struct fci_section *section = fci_tables_section(
            building_tables(), below(m, fci_tables_count(building_tables())),
            &(bool){ false });
        const struct fci_fixture_kind *kind;

        if (strcmp(section->kind, "fixture") != 0
            && strcmp(section->kind, heading) != 0)
            continue;
        kind = fci_tables_fixture(
            building_tables(), m->b->settings.code,
            strcmp(section->kind, "fixture") == 0 ? section->name + 4
                                                  : section->name);
        *use = (fc_use)below(m, 3);
        if (kind && kind->units[*use].given && (kind->flushes || !flushes))
            return kind;
    }
}

static void
make_fixture(struct maker *m, const char *on)
{
    fc_fixture *f = &building_add(m->b, FCI_FIXTURE)->as.fixture;
    const struct fci_fixture_kind *kind = some_kind(m, &f->use);

    f->name = name(m, "Fixture", m->n_fixtures++);
    f->on = on;
    f->kind = kind->head.name;
    f->count = (int)(chance(m, 0.6) ? below(m, 2) : 1 + below(m, 6));
    if (chance(m, 0.6))
        f->rise = figure(m, 0, 5, FOOT);
    if (kind->supply_size > 0 && chance(m, 0.8))
        f->supply_size = fc_exactly(kind->supply_size);
    else if (chance(m, 0.5))
        f->supply_size = fc_exactly(0.75 * INCH);
    if (chance(m, 0.3))
        f->stop = loss(m, 3);
    if (chance(m, 0.2))
        f->fixture_units = single(m, 0, 12, 1);
    if (!kind->flushes)
        return;
    if (chance(m, 0.1))
        f->bowl = single(m, 1, 3, GALLON);
    if (chance(m, 0.7))
        f->existing = some_valve(m);
    if (m->converts && chance(m, 0.8))
        f->retrofit = some_valve(m);
}

static bool
feeds(const struct building *b, const char *element)
{
    size_t i;

    for (i = 0; i < b->n_parts; i++) {
        const char *from = building_from(&b->parts[i]);

        if (from && strcmp(from, element) == 0)
            return true;
    }
    return false;
}

static void
make_heater(struct maker *m, size_t number)
{
    struct building *b = m->b;
    const char **serves =
        (const char **)fci_arena_array(&b->texts, m->n_fixtures,
                                       sizeof *serves);
    const char *on = b->parts[below(m, m->n_elements)].as.name;
    fc_heater *heater;
    size_t i, k = 0, n = 0;

    /* every other fixture, so that two heaters share them out */
    for (i = 0; i < b->n_parts; i++)
        if (b->parts[i].kind == FCI_FIXTURE && k++ % 2 == number
            && chance(m, 0.7))
            serves[n++] = b->parts[i].as.name;
    if (n == 0)
        return;
    heater = &building_add(b, FCI_HEATER)->as.heater;
    heater->name = name(m, "Heater", number);
    heater->on = on;
    heater->serves = serves;
    heater->n_serves = n;
}

static void
make_demand(struct maker *m, size_t number)
{
    const char *on = m->b->parts[below(m, m->n_elements)].as.name;
    fc_demand *d = &building_add(m->b, FCI_DEMAND)->as.demand;

    d->name = name(m, "Demand", number);
    d->on = on;
    d->flow = figure(m, 0, 15, GPM);
}

/* ---- The whole -------------------------------------------------------- */

static void
make_settings(struct maker *m)
{
    fc_settings *s = &m->b->settings;

    s->title = fci_arena_printf(&m->b->texts, "Invented building %lu",
                                m->b->seed);
    s->code = chance(m, 0.6) ? FC_IPC : FC_UPC;
    s->code_minimum = chance(m, 0.3) ? FC_NO : FC_NOT_SAID;
    if (chance(m, 0.5))
        s->material = some_material(m);
    if (!m->ranges || chance(m, 0.5))
        s->condition = chance(m, 0.5) ? FC_NEW : FC_AGED;
    if (chance(m, 0.5))
        s->water_temperature = fc_exactly((between(m, 40, 90) - 32) / 1.8);
    if (chance(m, 0.2))
        s->reserve = single(m, 0, 5, PSI);
    if (chance(m, 0.7))
        s->maximum_static = single(m, 80, 180, PSI);
    m->converts = chance(m, 0.6);
}

void
building_make(struct building *b, unsigned long seed,
              const struct building_plan *plan)
{
    struct maker m = { .b = b,
                       .rng = gsl_rng_alloc(gsl_rng_mt19937),
                       .ranges = plan->ranges,
                       .weak_main = plan->weak_main };
    size_t n, i, k;

    memset(b, 0, sizeof *b);
    b->seed = seed;
    gsl_rng_set(m.rng, seed);
    make_settings(&m);
    n = plan->fewest + below(&m, plan->most - plan->fewest + 1);
    make_source(&m);
    while (m.n_elements < n)
        make_element(&m);
    for (i = 0; i < 4; i++)
        make_valve(&m);
    for (i = 0; i < n; i++)
        if (!feeds(b, b->parts[i].as.name) || chance(&m, 0.3))
            for (k = 1 + below(&m, 2); k > 0; k--)
                make_fixture(&m, b->parts[i].as.name);
    for (i = below(&m, 3); i > 0; i--)
        make_heater(&m, i - 1);
    for (i = below(&m, 3); i > 0; i--)
        make_demand(&m, i - 1);
    gsl_rng_free(m.rng);
}
