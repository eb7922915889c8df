/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/properties/properties_supply.c -- more supply never hurts; less of it
 * by the spare brings the tightest fixture to its limit. */
#include "properties/properties.h"

#define BUILDINGS 110
#define ROUNDING 1e-6 /* Pa */

static const struct building_plan plans[] = {
    { .fewest = 3, .most = 60 }, { .fewest = 3, .most = 60, .ranges = true }
};

static int
badness(fc_verdict verdict)
{
    return verdict == FC_WILL_NOT_WORK ? 2 : verdict == FC_CANNOT_TELL;
}

static void
not_worse(const struct building *b, const fc_checked_fixture *less,
          const fc_checked_fixture *more, int state)
{
    const fc_fixture_state *was = &less->states[state],
                           *is = &more->states[state];

    HOLDS(b,
          is->flowing.nominal >= was->flowing.nominal - ROUNDING
              && is->flowing.low >= was->flowing.low - ROUNDING
              && is->flowing.high >= was->flowing.high - ROUNDING,
          "%s flows at %.9g, with more supply at %.9g", less->name,
          was->flowing.nominal, is->flowing.nominal);
    HOLDS(b, badness(is->pressure) <= badness(was->pressure),
          "%s: verdict %d, with more supply %d", less->name, was->pressure,
          is->pressure);
}

static void
with_more(const struct building *b, const fc_check_result *less, double more)
{
    struct building c;
    struct property_check with;
    size_t i;
    int state;

    building_copy(&c, b);
    building_shift_source(&c, more, 9800);
    with = property_check(&c);
    for (i = 0; i < less->n_fixtures; i++)
        for (state = 0; state < property_states(less); state++)
            not_worse(b, &less->fixtures[i], &with.result->fixtures[i], state);
    property_check_end(&with);
    building_free(&c);
}

/* ---- Spare ------------------------------------------------------------ */

enum end { NOMINAL, LOW, HIGH, ENDS };

static double
end_of(fc_range range, enum end end)
{
    return end == NOMINAL ? range.nominal
           : end == LOW   ? range.low
                          : range.high;
}

static double
least_margin(const fc_check_result *result, int state, enum end end)
{
    double least = INFINITY;
    size_t i;

    for (i = 0; i < result->n_fixtures; i++) {
        const fc_fixture_state *s = &result->fixtures[i].states[state];

        if (s->required.given)
            least = fmin(least, end_of(s->margin, end));
    }
    return least;
}

/* What a foot of this building's water weighs, found from the outside: a tank
 * twice as high. */
static double
weight_of(const struct building *b)
{
    struct building c;
    struct property_check at, up;
    double weight;

    if (b->parts[0].as.source.kind != FC_TANK)
        return 9800; /* not needed */
    building_copy(&c, b);
    building_shift(&c.parts[0].as.source.water_level, 10);
    at = property_check(b);
    up = property_check(&c);
    weight =
        (up.result->source_static.nominal - at.result->source_static.nominal)
        / 10;
    property_check_end(&up);
    property_check_end(&at);
    building_free(&c);
    return weight;
}

static bool
can_lower(const struct building *b)
{
    const fc_source *s = &b->parts[0].as.source;

    return s->kind != FC_TANK || s->water_level.low > s->elevation.high;
}

static void
lower_by_spare(const struct building *b, fc_range spare, int state,
               enum end end)
{
    struct building c;
    struct property_check check;
    double left;

    building_copy(&c, b);
    building_shift_source(&c, -end_of(spare, end), weight_of(b));
    if (can_lower(&c)) {
        check = property_check(&c);
        left = least_margin(check.result, state, end);
        HOLDS(b, fabs(left) <= 1,
              "state %d, end %d: lowered by %.9g, %.9g is left", state, end,
              end_of(spare, end), left);
        property_check_end(&check);
    }
    building_free(&c);
}

START_TEST(more_and_less)
{
    const double more[] = { 0.1 * PSI, 7 * PSI, 60 * PSI };
    struct building b;
    struct property_check check;
    fc_range spare;
    int state;

    building_make(&b, (unsigned long)_i, &plans[_i % 2]);
    check = property_check(&b);
    with_more(&b, check.result, more[_i % 3]);
    state = property_states(check.result) - 1;
    spare = check.result->states[state].spare_pressure;
    if (spare.given) {
        lower_by_spare(&b, spare, state, NOMINAL);
        if (spare.low < spare.high) {
            lower_by_spare(&b, spare, state, LOW);
            lower_by_spare(&b, spare, state, HIGH);
        }
    }
    property_check_end(&check);
    building_free(&b);
}
END_TEST

TCase *
properties_of_supply(void)
{
    TCase *test = tcase_create("supply");

    tcase_add_loop_test(test, more_and_less, 0, BUILDINGS);
    return test;
}
