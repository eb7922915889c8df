/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/buildings_elements.c -- invented buildings: elements at
 * random. */
#include "generators/buildings_make.h"

#include <stdlib.h>

/* A small building is supplied with so much less [psi], so that some of its
 * valves are short. */
static double
less(const struct maker *m)
{
    return m->plan->small ? 20 : 0;
}

static void
make_street_main(struct maker *m, fc_source *s)
{
    s->kind = FC_STREET_MAIN;
    s->static_pressure = maker_figure(m, 55 - less(m), 110 - less(m), PSI);
    if (maker_chance(m, 0.3))
        return;
    /* the ranges of both may overlap; the middle of one is under the other's
     */
    do
        s->residual = maker_figure(m, 30 - less(m), 90 - less(m), PSI);
    while (s->residual.nominal > s->static_pressure.nominal);
    s->residual_flow = maker_figure(m, 30, 250, GPM);
}

/* Both ends of one range may lie in the other; the flow at peak is far beyond
 * the tested one. */
static void
make_weak_main(struct maker *m, fc_source *s)
{
    const double low = maker_between(m, 50, 80),
                 span = maker_between(m, 1, 10);
    const double fall = maker_between(m, 0, span * 0.9);

    s->kind = FC_STREET_MAIN;
    s->static_pressure = fc_between(low * PSI, (low + span) * PSI);
    s->residual =
        fc_between((low - fall) * PSI,
                   (low - fall + span + fall * maker_chance(m, 0.5)) * PSI);
    s->residual_flow = maker_figure(m, 5, 20, GPM);
}

/* What the tests work out apart has no gauges. */
static void
known_test(fc_source *s)
{
    if (s->residual.given)
        s->within = fc_exactly(0);
}

void
make_source(struct maker *m)
{
    fc_source *s = &building_add(m->b, FCI_SOURCE)->as.source;

    s->name = maker_name(m, "Source", 0);
    if (maker_chance(m, 0.4))
        s->elevation = maker_figure(m, -10, 10, FOOT);
    if (m->plan->weak_main) {
        make_weak_main(m, s);
    } else if (maker_chance(m, 0.6)) {
        make_street_main(m, s);
    } else if (maker_chance(m, 0.5)) {
        s->kind = FC_TANK;
        if (!s->elevation.given)
            s->elevation = fc_exactly(0);
        s->water_level =
            maker_figure(m, 90 - 2.3 * less(m), 260 - 2.3 * less(m), FOOT);
    } else {
        s->kind = FC_FIXED;
        s->pressure = maker_figure(m, 40 - less(m), 110 - less(m), PSI);
    }
    known_test(s);
    m->n_elements++;
}

static const char *const materials[] = {
    "copper K",     "copper L",       "copper M",
    "steel sch 40", "cpvc sdr 11",    "pvc sch 40",
    "pex sdr 9",    "copper en 1057", "stainless en 10312",
};

const char *
maker_material(struct maker *m)
{
    return materials[maker_below(m, sizeof materials / sizeof *materials)];
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
    low += maker_below(m, 2);
    high = low;
    if (m->plan->ranges && maker_chance(m, 0.25) && high + 1 < n)
        high += 1 + maker_below(m, n - high - 1 < 2 ? 1 : 2);
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
    static const char *const known[] = { "elbow 90",   "elbow 45",
                                         "tee branch", "tee run",
                                         "coupling",   "gate valve",
                                         "check valve" };
    const size_t n = sizeof known / sizeof *known;
    fc_fitting *list = fci_arena_array(&m->b->texts, 3, sizeof *list);
    size_t first = maker_below(m, n), i;

    pipe->n_fittings = 1 + maker_below(m, 3);
    for (i = 0; i < pipe->n_fittings; i++) {
        list[i].count = 1 + (int)maker_below(m, 3);
        list[i].name = known[(first + i) % n];
    }
    pipe->fittings = list;
    pipe->no_fittings = false;
}

/* Long enough that the flow around a loop is well determined. */
void
maker_bore(struct maker *m, fc_pipe *pipe)
{
    pipe->length = maker_figure(m, 10, 90, FOOT);
    pipe->inside_diameter = maker_single(m, 0.8, 2.5, INCH);
    pipe->c = maker_single(m, 80, 140, 1);
}

/* A bore that a pipe of its size may have. */
static void
measure_scaled(struct maker *m, fc_pipe *p)
{
    const double bore =
        fci_material_size(building_material(m->b, p), p->size.nominal)->bore;

    p->size = fc_exactly(p->size.nominal);
    p->inside_diameter =
        maker_figure(m, 0.8 * bore / INCH, 0.98 * bore / INCH, INCH);
}

static void
make_pipe(struct maker *m, const char *from)
{
    fc_pipe *p = &building_add(m->b, FCI_PIPE)->as.pipe;

    p->name = maker_name(m, "Pipe", m->n_elements);
    p->from = from;
    p->no_fittings = true;
    if (m->plan->small)
        maker_bore(m, p);
    else
        p->length = maker_figure(m, 3, 25, FOOT);
    if (maker_chance(m, 0.5))
        p->rise = maker_figure(m, -2, 11, FOOT);
    if (p->rise.high > p->length.low)
        p->rise = fc_exactly(p->length.low);
    if (m->plan->small)
        return;
    if (maker_chance(m, 0.3))
        p->condition = maker_chance(m, 0.5) ? FC_NEW : FC_AGED;
    if (maker_chance(m, 0.2))
        p->c = maker_figure(m, 70, 130, 1);
    if (maker_chance(m, 0.1)) {
        p->inside_diameter = maker_figure(m, 1, 3, INCH);
        if (!m->b->settings.material) {
            p->c = maker_figure(m, 70, 130, 1);
            return;
        }
    }
    if (!m->b->settings.material || maker_chance(m, 0.4))
        p->material = maker_material(m);
    p->size = some_size(m, building_material(m->b, p));
    if (p->inside_diameter.given)
        measure_scaled(m, p);
    if (maker_chance(m, 0.6))
        some_fittings(m, p);
}

static void
make_device(struct maker *m, enum fci_kind kind, const char *from)
{
    static const char *const sizes[] = { "1-1/2 in", "2 in" };
    fc_device *d = &building_add(m->b, kind)->as.device;

    d->name = maker_name(m, "Device", m->n_elements);
    d->kind = kind == FCI_METER      ? FC_METER
              : kind == FCI_BACKFLOW ? FC_BACKFLOW
                                     : FC_DEVICE;
    d->from = from;
    if (maker_chance(m, 0.3))
        d->rise = maker_figure(m, -2, 3, FOOT);
    if (kind == FCI_METER && maker_chance(m, 0.5)) {
        d->meter_kind = "displacement";
        if (fc_parse(sizes[maker_below(m, 2)], FC_SIZE, &d->size, NULL)
            != FC_OK)
            abort();
        return;
    }
    d->loss = maker_loss(m, kind == FCI_BACKFLOW ? 12 : 5);
    /* one point of a preventer leaves its law open */
    if (kind == FCI_BACKFLOW && d->loss.kind == FC_SQUARE_LOSS) {
        d->loss.kind = FC_CONSTANT_LOSS;
        d->loss.flow.given = false;
    }
}

static void
make_reducer(struct maker *m, const char *from)
{
    fc_reducer *r = &building_add(m->b, FCI_REDUCER)->as.reducer;

    r->name = maker_name(m, "Reducer", m->n_elements);
    r->from = from;
    if (maker_chance(m, 0.3))
        r->rise = maker_figure(m, -2, 3, FOOT);
    r->set = maker_figure(m, 40, 75, PSI);
    if (maker_chance(m, 0.5)) {
        r->fall_off = maker_single(m, 1, 8, PSI);
        r->fall_off_flow = maker_single(m, 20, 90, GPM);
    } else {
        r->fall_off = fc_exactly(0);
        r->fall_off_flow = fc_exactly(10 * GPM);
    }
    if (maker_chance(m, 0.5))
        r->loss = maker_loss(m, 4);
    else
        r->loss = (fc_loss){ .kind = FC_SQUARE_LOSS,
                             .pressure = fc_exactly(0),
                             .flow = fc_exactly(10 * GPM) };
}

static void
make_pump(struct maker *m, const char *from)
{
    fc_pump *p = &building_add(m->b, FCI_PUMP)->as.pump;

    p->name = maker_name(m, "Pump", m->n_elements);
    p->from = from;
    if (maker_chance(m, 0.3))
        p->rise = maker_figure(m, -2, 3, FOOT);
    p->curve =
        maker_points(m, &p->n_curve, maker_between(m, 40, 120), 20, -1, FOOT);
    if (maker_chance(m, 0.5))
        p->hold = maker_figure(m, 50, 90, PSI);
    if (maker_chance(m, 0.3))
        p->running = maker_chance(m, 0.5) ? FC_YES : FC_NO;
}

void
make_element(struct maker *m)
{
    /* half the time on the last one, so that runs grow long */
    const size_t on = maker_chance(m, 0.5) ? m->n_elements - 1
                                           : maker_below(m, m->n_elements);
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
