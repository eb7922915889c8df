/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/properties/properties_ranges.c -- a range's ends bound what is found
 * at any value in it, and the verdict holds for all of them. */
#include "properties/properties.h"

#define BUILDINGS 120
#define SAMPLES 4

/* Rounding: a share of the pressures met on the way, which are some 1e6 Pa. */
static bool
within(double x, fc_range range)
{
    const double slack = 1e-6 + 1e-12 * (fabs(range.low) + fabs(range.high));

    return x >= range.low - slack && x <= range.high + slack;
}

static void
in_range(const struct building *b, const char *name, const char *what,
         fc_range exact, fc_range range)
{
    HOLDS(b, exact.given == range.given, "%s %s: given once", name, what);
    if (!exact.given)
        return;
    HOLDS(b, range.low <= range.nominal && range.nominal <= range.high,
          "%s %s: the nominal figure is not in its range", name, what);
    /* the ends of a range are apart from each other, not from the middle */
    /* what curves, flow tests and old pipe leave open is a range in both */
    HOLDS(b,
          within(exact.nominal, range) && within(exact.low, range)
              && within(exact.high, range),
          "%s %s: %.12g (%.12g .. %.12g) is not in %.12g "
          "to %.12g",
          name, what, exact.nominal, exact.low, exact.high, range.low,
          range.high);
}

static void
verdict_holds(const struct building *b, const char *name, fc_verdict exact,
              fc_verdict range)
{
    HOLDS(b, range == FC_CANNOT_TELL || exact == range,
          "%s: verdict %d at one value, %d for the range", name, exact, range);
}

/* The spare is not given at all where some end cannot be helped, so that a
 * sample may have one where the range has none, not the other way round. */
static void
state_in_range(const struct building *b, const char *name,
               const fc_fixture_state *exact, const fc_fixture_state *range)
{
    in_range(b, name, "required", exact->required, range->required);
    in_range(b, name, "flowing", exact->flowing, range->flowing);
    in_range(b, name, "margin", exact->margin, range->margin);
    if (range->spare.given)
        in_range(b, name, "spare", exact->spare, range->spare);
    verdict_holds(b, name, exact->pressure, range->pressure);
    verdict_holds(b, name, exact->works, range->works);
}

static void
pipes_in_range(const struct building *b, const fc_check_result *exact,
               const fc_check_result *range)
{
    size_t i;
    int state;

    for (i = 0; i < range->n_pipes; i++)
        for (state = 0; state < property_states(range); state++) {
            const fc_pipe_state *e = &exact->pipes[i].states[state];
            const fc_pipe_state *r = &range->pipes[i].states[state];

            in_range(b, range->pipes[i].name, "friction loss",
                     e->friction_loss, r->friction_loss);
            in_range(b, range->pipes[i].name, "velocity", e->velocity,
                     r->velocity);
        }
}

static void
result_in_range(const struct building *b, const fc_check_result *exact,
                const fc_check_result *range)
{
    size_t i;
    int state;

    in_range(b, "source", "static", exact->source_static,
             range->source_static);
    verdict_holds(b, "all", exact->works, range->works);
    for (state = 0; state < property_states(range); state++) {
        in_range(b, "source", "pressure", exact->states[state].source_pressure,
                 range->states[state].source_pressure);
        HOLDS(b,
              range->states[state].source_pressure.high
                  <= range->source_static.high + 1e-6,
              "the source rises under flow");
        verdict_holds(b, "all", exact->states[state].works,
                      range->states[state].works);
    }
    for (i = 0; i < range->n_fixtures; i++) {
        const fc_checked_fixture *e = &exact->fixtures[i];
        const fc_checked_fixture *r = &range->fixtures[i];

        in_range(b, r->name, "static", e->static_pressure, r->static_pressure);
        for (state = 0; state < property_states(range); state++)
            state_in_range(b, r->name, &e->states[state], &r->states[state]);
    }
    pipes_in_range(b, exact, range);
}

static void
bound_samples(const struct building_plan *plan, unsigned long seed)
{
    gsl_rng *rng = property_random(seed);
    struct building b, c;
    struct property_check range, exact;
    int k;

    building_make(&b, seed, plan);
    range = property_check(&b);
    for (k = 0; k < SAMPLES; k++) {
        building_sample(&c, &b, rng);
        exact = property_check(&c);
        result_in_range(&b, exact.result, range.result);
        property_check_end(&exact);
        building_free(&c);
    }
    property_check_end(&range);
    building_free(&b);
    gsl_rng_free(rng);
}

START_TEST(ends_bound)
{
    static const struct building_plan plan = { .fewest = 3,
                                               .most = 40,
                                               .ranges = true };

    bound_samples(&plan, 6000 + (unsigned long)_i);
}
END_TEST

/* Where a higher static pressure with the same residual means a weaker main,
 * and where a residual above the static pressure is in the ranges. */
START_TEST(ends_bound_weak_main)
{
    static const struct building_plan plan = {
        .fewest = 3, .most = 6, .ranges = true, .weak_main = true
    };

    bound_samples(&plan, 6200 + (unsigned long)_i);
}
END_TEST

TCase *
properties_of_ranges(void)
{
    TCase *test = tcase_create("ranges");

    tcase_add_loop_test(test, ends_bound, 0, BUILDINGS);
    tcase_add_loop_test(test, ends_bound_weak_main, 0, BUILDINGS / 2);
    return test;
}
