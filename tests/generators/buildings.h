/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/buildings.h -- invented buildings at random, the same for
 * one seed.
 *
 * A building is a list of the parts that the public calls take, so that a
 * test can change a copy of it, add it by calls in any order, or write it as
 * a site file in either system of units.
 */
#ifndef TESTS_GENERATORS_BUILDINGS_H
#define TESTS_GENERATORS_BUILDINGS_H

#include "flushcalc.h"
#include "ground/memory.h"
#include "site/parts.h"
#include "tables/tables.h"
#include "unit/us_units.h"

#include <gsl/gsl_rng.h>

struct building_part {
    enum fci_kind kind;
    union {
        const char *name; /* every one of them begins with it */
        fc_source source;
        fc_pipe pipe;
        fc_device device;
        fc_reducer reducer;
        fc_pump pump;
        fc_fixture fixture;
        fc_valve valve;
        fc_demand demand;
        fc_heater heater;
    } as;
};

struct building {
    unsigned long seed;
    fc_settings settings;
    struct building_part *parts; /* the source first; malloc'ed */
    size_t n_parts, room;
    struct fci_arena texts; /* what the parts point to */
};

/* What to make. */
struct building_plan {
    size_t fewest, most; /* elements, but for those of loops and sources */
    bool ranges;         /* some figures as ranges, C between aged and new */
    bool weak_main;      /* a street main tested at a small flow, whose ranges
                            of static and residual pressure overlap */
    bool small;          /* a dozen flush valves at most, so that every set of
                            them can be tried; pipes by bore and C */
    bool busy;           /* of those: intervals so short that several valves
                            are on at a time */
    size_t loops;        /* pipes that close one */
    size_t sources;      /* more than the one */
};

/* The built-in tables, read once. */
struct fci_tables *building_tables(void);
void building_tables_end(void);

void building_make(struct building *b, unsigned long seed,
                   const struct building_plan *plan);
/* The finished site of such a building, by calls. */
fc_site *building_made(unsigned long seed, const struct building_plan *plan);
/* A copy that may be changed; it borrows from `of`, which must outlive it. */
void building_copy(struct building *b, const struct building *of);
void building_free(struct building *b);

struct building_part *building_add(struct building *b, enum fci_kind kind);
/* The part of this kind with this name, or NULL. */
struct building_part *building_find(const struct building *b, bool fixture,
                                    const char *name);
bool building_is_element(const struct building_part *part);
/* Where a part names what feeds it; NULL: nothing does. */
const char **building_feed(struct building_part *part);
/* The name of the element that feeds an element; NULL: a source. */
const char *building_from(const struct building_part *part);
fc_range *building_rise(struct building_part *part);
/* The material of a pipe, its own or the site's; NULL: none. */
const struct fci_material *building_material(const struct building *b,
                                             const fc_pipe *pipe);

/* The same building with every range replaced by a value in it, the ends
 * among them. */
void building_sample(struct building *b, const struct building *of,
                     gsl_rng *rng);

/* A range moved by so much, where it is given. */
void building_shift(fc_range *range, double by);
/* The source gives so much more [Pa]: static and residual pressure alike; the
 * surface of a tank by what it weighs [N/m3]. */
void building_shift_source(struct building *b, double pressure, double weight);

/* Numbers 0 to n - 1 in random order; malloc'ed. */
size_t *building_order(size_t n, gsl_rng *rng);

/* A finished site by calls, in an order (NULL: as they stand). */
fc_site *building_site(const struct building *b, const size_t *order);

/* How a site file is written. */
struct building_style {
    fc_unit_system units;
    const size_t *order; /* of the sections; NULL: as they stand */
    gsl_rng *noise;      /* other case, comments, spaces, keys in any order */
};

/* malloc'ed. */
char *building_text(const struct building *b,
                    const struct building_style *style);
/* A finished site by way of that text. */
fc_site *building_read(const struct building *b,
                       const struct building_style *style);

#endif
