/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/buildings_fixtures.c -- invented buildings: what draws
 * water. */
#include "generators/buildings_make.h"
#include "generators/open_valves.h"

#include <stdlib.h>
#include <string.h>

void
make_valve(struct maker *m)
{
    fc_valve *v = &building_add(m->b, FCI_VALVE)->as.valve;

    v->name = maker_name(m, "Valve", m->n_valves++);
    v->minimum_flowing = maker_figure(m, 10, 40, PSI);
    if (!m->plan->small && maker_chance(m, 0.2))
        v->maximum_static = maker_single(m, 80, 125, PSI);
    if (m->plan->small || maker_chance(m, 0.7)) {
        v->flow = maker_figure(m, 8, 30, GPM);
        v->flow_pressure = maker_single(m, 15, 40, PSI);
        if (maker_chance(m, 0.3))
            v->regulated = FC_YES;
    }
    if (m->plan->small || maker_chance(m, 0.7))
        v->full_flush = maker_single(m, 1, 4, GALLON);
    if (m->plan->small)
        return;
    if (v->full_flush.given && maker_chance(m, 0.3))
        v->reduced_flush = maker_single(m, 0.5, 0.9, GALLON);
    if (maker_chance(m, 0.3))
        v->closing_time = maker_single(m, 0.5, 5, 1);
}

static const char *
made_valve(struct maker *m)
{
    size_t number = maker_below(m, m->n_valves), i;

    for (i = 0;; i++)
        if (m->b->parts[i].kind == FCI_VALVE && number-- == 0)
            return m->b->parts[i].as.name;
}

static const char *
some_valve(struct maker *m)
{
    static const char *const classes[] = {
        "siphonic closet 3.5 gal",  "siphonic closet 1.6 gal",
        "siphonic closet 1.28 gal", "urinal 1.0 gal",
        "urinal 0.5 gal",
    };

    if (maker_chance(m, 0.4))
        return classes[maker_below(m, sizeof classes / sizeof *classes)];
    return made_valve(m);
}

/* How many sections stand up to [usual pump suction]: what the tables have
 * beyond it changes no building. */
static size_t
count_sections(void)
{
    size_t n = 0;
    const struct fci_section *section;

    do
        section = fci_tables_section(building_tables(), n++, &(bool){ false });
    while (strcmp(section->kind, "usual") != 0
           || strcmp(section->name, "pump suction") != 0);
    return n;
}

/* Any kind of the code's table, with a use that has units there; flush valves
 * more often than chance has it. */
static const struct fci_fixture_kind *
some_kind(struct maker *m, fc_use *use)
{
    const char *heading =
        m->b->settings.code == FC_IPC ? "fixture ipc" : "fixture upc";
    const bool flushes = maker_chance(m, 0.4);
    const size_t n = count_sections();

    for (;;) {
        const struct fci_section *section = fci_tables_section(
            building_tables(), maker_below(m, n), &(bool){ false });
        const struct fci_fixture_kind *kind;

        if (strcmp(section->kind, "fixture") != 0
            && strcmp(section->kind, heading) != 0)
            continue;
        kind = fci_tables_fixture(building_tables(), m->b->settings.code,
                                  strcmp(section->kind, "fixture") == 0
                                      ? section->name + 4
                                      : section->name);
        *use = (fc_use)maker_below(m, 3);
        if (kind && kind->units[*use].given && (kind->flushes || !flushes))
            return kind;
    }
}

void
make_fixture(struct maker *m, const char *on)
{
    fc_fixture *f = &building_add(m->b, FCI_FIXTURE)->as.fixture;
    const struct fci_fixture_kind *kind = some_kind(m, &f->use);

    f->name = maker_name(m, "Fixture", m->n_fixtures++);
    f->on = on;
    f->kind = kind->head.name;
    f->count = (int)(maker_chance(m, 0.6) ? maker_below(m, 2)
                                          : 1 + maker_below(m, 6));
    if (maker_chance(m, 0.6))
        f->rise = maker_figure(m, 0, 5, FOOT);
    if (kind->supply_size > 0 && maker_chance(m, 0.8))
        f->supply_size = fc_exactly(kind->supply_size);
    else if (maker_chance(m, 0.5))
        f->supply_size = fc_exactly(0.75 * INCH);
    if (maker_chance(m, 0.3))
        f->stop = maker_loss(m, 3);
    if (maker_chance(m, 0.2))
        f->fixture_units = maker_single(m, 0, 12, 1);
    if (!kind->flushes)
        return;
    if (maker_chance(m, 0.1))
        f->bowl = maker_single(m, 1, 3, GALLON);
    if (maker_chance(m, 0.7))
        f->existing = some_valve(m);
    if (m->converts && maker_chance(m, 0.8))
        f->retrofit = some_valve(m);
}

static void
make_flush_group(struct maker *m, int count)
{
    const char *on = m->b->parts[maker_below(m, m->n_elements)].as.name;
    fc_fixture *f = &building_add(m->b, FCI_FIXTURE)->as.fixture;

    f->name = maker_name(m, "Fixture", m->n_fixtures++);
    f->on = on;
    f->kind = "water closet, flush valve";
    f->count = count;
    if (maker_chance(m, 0.5))
        f->rise = maker_figure(m, 0, 5, FOOT);
    if (maker_chance(m, 0.3))
        f->stop = maker_loss(m, 3);
    f->existing = made_valve(m);
    if (m->plan->busy && maker_chance(m, 0.7))
        f->interval = maker_single(m, 12, 90, 1);
}

void
make_flush_valves(struct maker *m)
{
    const size_t groups = 2 + maker_below(m, SMALL_GROUPS - 1);
    size_t left = SMALL_VALVES - groups, i, more;

    for (i = 0; i < groups; i++) {
        more = maker_below(m, left / 2 + 1);
        left -= more;
        make_flush_group(m, (int)more + 1);
    }
}

static bool
takes_hot_water(const struct maker *m, const struct building_part *part)
{
    return fci_takes_hot_water(fci_tables_fixture(
        building_tables(), m->b->settings.code, part->as.fixture.kind));
}

void
make_heater(struct maker *m, size_t number)
{
    struct building *b = m->b;
    const char **serves = (const char **)fci_arena_array(
        &b->texts, m->n_fixtures, sizeof *serves);
    const char *on = b->parts[maker_below(m, m->n_elements)].as.name;
    fc_heater *heater;
    size_t i, k = 0, n = 0;

    /* every other fixture, so that two heaters share them out */
    for (i = 0; i < b->n_parts; i++)
        if (b->parts[i].kind == FCI_FIXTURE && k++ % 2 == number
            && maker_chance(m, 0.7) && takes_hot_water(m, &b->parts[i]))
            serves[n++] = b->parts[i].as.name;
    if (n == 0)
        return;
    heater = &building_add(b, FCI_HEATER)->as.heater;
    heater->name = maker_name(m, "Heater", number);
    heater->on = on;
    heater->serves = serves;
    heater->n_serves = n;
}

void
make_demand(struct maker *m, size_t number)
{
    const char *on = m->b->parts[maker_below(m, m->n_elements)].as.name;
    fc_demand *d = &building_add(m->b, FCI_DEMAND)->as.demand;

    d->name = maker_name(m, "Demand", number);
    d->on = on;
    d->flow = maker_figure(m, 0, 15, GPM);
}
