/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/buildings_meshes.c -- invented buildings: loops, and
 * sources beside the first. */
#include "generators/buildings_make.h"

/* ---- Loops ------------------------------------------------------------ */

/* Nominal, above the datum, at the outlet of an element. */
static double
height_of(const struct building *b, const char *element)
{
    struct building_part *part = building_find(b, false, element);
    double height = 0;

    while (building_from(part)) {
        height += building_rise(part)->nominal;
        part = building_find(b, false, building_from(part));
    }
    return height + part->as.source.elevation.nominal;
}

static void
add_loop(struct maker *m, const char *from, const char *to, size_t number)
{
    const double rise = height_of(m->b, to) - height_of(m->b, from);
    fc_pipe *p = &building_add(m->b, FCI_PIPE)->as.pipe;

    p->name = maker_name(m, "Loop", number);
    p->from = from;
    p->to = to;
    p->no_fittings = true;
    if (maker_chance(m, 0.7)) /* otherwise left to the program */
        p->rise = fc_exactly(rise);
    maker_bore(m, p);
}

/* Any element but one that closes a loop. */
static const char *
some_element(struct maker *m)
{
    for (;;) {
        const struct building_part *part =
            &m->b->parts[maker_below(m, m->b->n_parts)];

        if (building_is_element(part)
            && !(part->kind == FCI_PIPE && part->as.pipe.to))
            return part->as.name;
    }
}

void
make_loop(struct maker *m, size_t number)
{
    const char *from = some_element(m), *to = some_element(m);

    while (to == from)
        to = some_element(m);
    add_loop(m, from, to, number);
}

/* ---- Sources ---------------------------------------------------------- */

/* Of about the pressure of the first, so that either may feed the other. */
static void
add_source(struct maker *m, size_t number)
{
    const double base = maker_between(m, 50, 100) * PSI;
    fc_source *s = &building_add(m->b, FCI_SOURCE)->as.source;

    s->name = maker_name(m, "Second", number);
    s->elevation = maker_single(m, -10, 10, FOOT);
    switch (maker_below(m, 3)) {
    case 0:
        s->kind = FC_STREET_MAIN;
        s->static_pressure = fc_exactly(base);
        s->residual = fc_exactly(base - maker_between(m, 2, 30) * PSI);
        s->residual_flow = maker_single(m, 30, 250, GPM);
        s->within = fc_exactly(0);
        break;
    case 1:
        s->kind = FC_TANK;
        s->water_level = fc_exactly(s->elevation.nominal + base / 9800);
        break;
    default:
        s->kind = FC_FIXED;
        s->pressure = fc_exactly(base);
        break;
    }
}

static const char *
add_meter(struct maker *m, const char *from, size_t number)
{
    fc_device *d = &building_add(m->b, FCI_METER)->as.device;

    d->name = maker_name(m, "Check", number);
    d->kind = FC_METER;
    d->from = from;
    d->loss = maker_loss(m, 6);
    return d->name;
}

void
make_other_source(struct maker *m, size_t number)
{
    const char *to = some_element(m), *from;

    add_source(m, number);
    from = m->b->parts[m->b->n_parts - 1].as.name;
    if (maker_chance(m, 0.5))
        from = add_meter(m, from, number);
    add_loop(m, from, to, 100 + number);
}
