/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/buildings_make.c -- invented buildings: chance, and the
 * whole. */
#include "generators/buildings_make.h"

#include <string.h>

/* ---- Chance ----------------------------------------------------------- */

bool
maker_chance(struct maker *m, double p)
{
    return gsl_rng_uniform(m->rng) < p;
}

size_t
maker_below(struct maker *m, size_t n)
{
    return (size_t)gsl_rng_uniform_int(m->rng, (unsigned long)n);
}

/* In steps of a tenth. */
double
maker_between(struct maker *m, double low, double high)
{
    const double steps = (high - low) * 10;

    return low + (double)maker_below(m, (size_t)steps + 1) / 10;
}

fc_range
maker_single(struct maker *m, double low, double high, double unit)
{
    return fc_exactly(maker_between(m, low, high) * unit);
}

/* A figure that may be a range, of a third of the span at most. */
fc_range
maker_figure(struct maker *m, double low, double high, double unit)
{
    const double from = maker_between(m, low, high);

    if (!m->plan->ranges || !maker_chance(m, 0.35))
        return fc_exactly(from * unit);
    return fc_between(from * unit,
                      (from + maker_between(m, 0, (high - low) / 3)) * unit);
}

const char *
maker_name(struct maker *m, const char *stem, size_t number)
{
    return fci_arena_printf(&m->b->texts, "%s%s%zu", stem,
                            maker_chance(m, 0.5) ? "-" : "_", number);
}

/* ---- Losses ----------------------------------------------------------- */

const fc_point *
maker_points(struct maker *m, size_t *n, double first, double step, int sign,
             double unit)
{
    fc_point *list;
    double x = 0, y = first;
    size_t i;

    *n = 2 + maker_below(m, 4);
    list = fci_arena_array(&m->b->texts, *n, sizeof *list);
    for (i = 0; i < *n; i++) {
        list[i].x = x * GPM;
        list[i].y = y * unit;
        x += maker_between(m, 10, 60);
        y += sign * maker_between(m, 0, step);
        if (y < 0)
            y = 0;
    }
    return list;
}

fc_loss
maker_loss(struct maker *m, double most)
{
    fc_loss l = { .kind = FC_NO_LOSS };

    switch (maker_below(m, 3)) {
    case 0:
        l.kind = FC_CONSTANT_LOSS;
        l.pressure = maker_figure(m, 0, most, PSI);
        break;
    case 1:
        l.kind = FC_SQUARE_LOSS;
        l.pressure = maker_figure(m, 0, most, PSI);
        l.flow = maker_single(m, 20, 90, GPM);
        break;
    default:
        l.kind = FC_CURVE_LOSS;
        l.points = maker_points(m, &l.n_points, maker_between(m, 0, most / 2),
                                most / 3, +1, PSI);
        break;
    }
    return l;
}

/* ---- The whole -------------------------------------------------------- */

static void
make_settings(struct maker *m)
{
    fc_settings *s = &m->b->settings;

    s->title =
        fci_arena_printf(&m->b->texts, "Invented building %lu", m->b->seed);
    if (m->plan->small)
        return;
    s->code = maker_chance(m, 0.6) ? FC_IPC : FC_UPC;
    s->code_minimum = maker_chance(m, 0.3) ? FC_NO : FC_NOT_SAID;
    if (maker_chance(m, 0.5))
        s->material = maker_material(m);
    if (!m->plan->ranges || maker_chance(m, 0.5))
        s->condition = maker_chance(m, 0.5) ? FC_NEW : FC_AGED;
    if (maker_chance(m, 0.5))
        s->water_temperature =
            fc_exactly((maker_between(m, 40, 90) - 32) / 1.8);
    if (maker_chance(m, 0.2))
        s->reserve = maker_single(m, 0, 5, PSI);
    if (maker_chance(m, 0.7))
        s->maximum_static = maker_single(m, 80, 180, PSI);
    m->converts = maker_chance(m, 0.6);
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

void
building_make(struct building *b, unsigned long seed,
              const struct building_plan *plan)
{
    struct maker m = { .b = b,
                       .rng = gsl_rng_alloc(gsl_rng_mt19937),
                       .plan = plan };
    size_t n, i, k;

    memset(b, 0, sizeof *b);
    b->seed = seed;
    gsl_rng_set(m.rng, seed);
    make_settings(&m);
    n = plan->fewest + maker_below(&m, plan->most - plan->fewest + 1);
    make_source(&m);
    while (m.n_elements < n)
        make_element(&m);
    for (i = 0; i < (plan->small ? 2 : 4); i++)
        make_valve(&m);
    if (plan->small)
        make_flush_valves(&m);
    for (i = 0; i < n && !plan->small; i++)
        if (!feeds(b, b->parts[i].as.name) || maker_chance(&m, 0.3))
            for (k = 1 + maker_below(&m, 2); k > 0; k--)
                make_fixture(&m, b->parts[i].as.name);
    for (i = plan->small ? 0 : maker_below(&m, 3); i > 0; i--)
        make_heater(&m, i - 1);
    for (i = maker_below(&m, 3); i > 0; i--)
        make_demand(&m, i - 1);
    /* so that the tree of a seed is the same with loops and without */
    gsl_rng_set(m.rng, seed + 77);
    for (i = 0; i < plan->sources; i++)
        make_other_source(&m, i);
    for (i = 0; i < plan->loops; i++)
        make_loop(&m, i);
    gsl_rng_free(m.rng);
}

fc_site *
building_made(unsigned long seed, const struct building_plan *plan)
{
    struct building b;
    fc_site *site;

    building_make(&b, seed, plan);
    site = building_site(&b, NULL);
    building_free(&b);
    return site;
}
