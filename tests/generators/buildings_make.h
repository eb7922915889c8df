/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/buildings_make.h -- a building being made; see
 * generators/buildings.h. */
#ifndef TESTS_GENERATORS_BUILDINGS_MAKE_H
#define TESTS_GENERATORS_BUILDINGS_MAKE_H

#include "generators/buildings.h"

struct maker {
    struct building *b;
    gsl_rng *rng;
    const struct building_plan *plan;
    size_t n_elements, n_fixtures, n_valves;
    bool converts;
};

bool maker_chance(struct maker *m, double p);
size_t maker_below(struct maker *m, size_t n);
/* In steps of a tenth. */
double maker_between(struct maker *m, double low, double high);
fc_range maker_single(struct maker *m, double low, double high, double unit);
/* A figure that may be a range, of a third of the span at most. */
fc_range maker_figure(struct maker *m, double low, double high, double unit);
const char *maker_name(struct maker *m, const char *stem, size_t number);
/* The name of any material of the tables. */
const char *maker_material(struct maker *m);
/* Points that rise (sign +1) or fall (-1) from `first`, by `step` at most. */
const fc_point *maker_points(struct maker *m, size_t *n, double first,
                             double step, int sign, double unit);
/* Length, bore and C of a pipe that needs no table. */
void maker_bore(struct maker *m, fc_pipe *pipe);
/* A loss of any form, of `most` psi or so. */
fc_loss maker_loss(struct maker *m, double most);

void make_source(struct maker *m);
void make_element(struct maker *m); /* fed by one that is there */
void make_valve(struct maker *m);
void make_fixture(struct maker *m, const char *on);
void make_flush_valves(struct maker *m); /* groups of them, on any element */
void make_heater(struct maker *m, size_t number); /* 0 or 1 */
void make_demand(struct maker *m, size_t number);
/* A pipe that closes a loop, from anywhere to anywhere. */
void make_loop(struct maker *m, size_t number);
/* Another source, behind a meter or not, with a pipe that joins it. */
void make_other_source(struct maker *m, size_t number);

#endif
