/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/properties/check_properties.c -- what must hold for every building.
 *
 * The buildings are invented at random, the same on every run; a failure
 * names the seed of its building.
 */
#include "unit/building_suite.h"
#include "properties/properties.h"

#include <stdarg.h>

void
property_fails(const struct building *b, const char *format, ...)
{
    char text[512];
    va_list args;

    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    ck_abort_msg("building %lu: %s", b->seed, text);
    abort();
}

gsl_rng *
property_random(unsigned long seed)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);

    ck_assert_ptr_nonnull(rng);
    gsl_rng_set(rng, seed + 1000000);
    return rng;
}

/* The properties are those of the peak; what flush events say has programs of
 * its own. */
static const fc_check_options at_peak = { .peak_only = true };

struct property_check
property_check_site(const struct building *b, fc_site *site)
{
    struct property_check check = { site, NULL, NULL };

    HOLDS(b, site, "the site could not be finished");
    HOLDS(b, fc_check_with(site, &at_peak, &check.owned, NULL) == FC_OK,
          "the site could not be checked");
    check.result = check.owned;
    return check;
}

struct property_check
property_check(const struct building *b)
{
    return property_check_site(b, building_site(b, NULL));
}

void
property_check_end(struct property_check *check)
{
    fc_check_result_free(check->owned);
    fc_site_free(check->site);
}

const fc_checked_fixture *
property_fixture(const fc_check_result *result, const char *name)
{
    size_t i;

    for (i = 0; i < result->n_fixtures; i++)
        if (fci_same_name(result->fixtures[i].name, name))
            return &result->fixtures[i];
    ck_abort_msg("no fixture %s", name);
}

const fc_checked_pipe *
property_pipe(const fc_check_result *result, const char *name)
{
    size_t i;

    for (i = 0; i < result->n_pipes; i++)
        if (fci_same_name(result->pipes[i].name, name))
            return &result->pipes[i];
    ck_abort_msg("no pipe %s", name);
}

int
property_states(const fc_check_result *result)
{
    return result->converted ? FC_STATES : 1;
}

/* ---- Two results of one building -------------------------------------- */

/* How near they must be. */
struct nearness {
    const struct building *b;
    const char *name; /* of what is compared */
    double share, pressure;
};

bool
property_near(double a, double b, double share, double absolute)
{
    if (share == 0 && absolute == 0)
        return memcmp(&a, &b, sizeof a) == 0;
    if ((isnan(a) && isnan(b)) || a == b)
        return true;
    return fabs(a - b) <= absolute + share * fmax(fabs(a), fabs(b));
}

static void
near_range(const struct nearness *n, const char *what, fc_range a, fc_range b,
           double absolute)
{
    HOLDS(n->b, a.given == b.given, "%s %s: given once", n->name, what);
    if (!a.given)
        return;
    HOLDS(n->b,
          property_near(a.nominal, b.nominal, n->share, absolute)
              && property_near(a.low, b.low, n->share, absolute)
              && property_near(a.high, b.high, n->share, absolute),
          "%s %s: %.17g (%.17g .. %.17g) and %.17g (%.17g .. %.17g)", n->name,
          what, a.nominal, a.low, a.high, b.nominal, b.low, b.high);
}

static void
same_fixture_state(const struct nearness *n, const fc_fixture_state *a,
                   const fc_fixture_state *b)
{
    HOLDS(n->b, a->works == b->works && a->pressure == b->pressure,
          "%s: verdicts %d and %d, of the pressure %d and %d", n->name,
          a->works, b->works, a->pressure, b->pressure);
    HOLDS(n->b, a->governed_by == b->governed_by, "%s: governors differ",
          n->name);
    HOLDS(n->b,
          !a->valve == !b->valve
              && (!a->valve || fci_same_name(a->valve, b->valve)),
          "%s: valves differ", n->name);
    near_range(n, "required", a->required, b->required, n->pressure);
    near_range(n, "flowing", a->flowing, b->flowing, n->pressure);
    near_range(n, "margin", a->margin, b->margin, n->pressure);
    near_range(n, "spare", a->spare, b->spare, n->pressure);
}

static void
same_pipe_state(const struct nearness *n, const fc_pipe_state *a,
                const fc_pipe_state *b)
{
    HOLDS(
        n->b,
        property_near(a->fixture_units, b->fixture_units, n->share, 0)
            && property_near(a->falling_units, b->falling_units, n->share, 0),
        "%s: units %.17g and %.17g", n->name, a->fixture_units,
        b->fixture_units);
    near_range(n, "peak flow", a->peak_flow, b->peak_flow, 0);
    near_range(n, "probable peak", a->peak_by_probability,
               b->peak_by_probability, 0);
    near_range(n, "velocity", a->velocity, b->velocity, 0);
    near_range(n, "friction loss", a->friction_loss, b->friction_loss, 0);
}

static void
same_state(const struct nearness *n, const fc_checked_state *a,
           const fc_checked_state *b)
{
    HOLDS(n->b,
          a->works == b->works && a->working == b->working
              && a->failing == b->failing && a->unclear == b->unclear,
          "counts of fixtures differ");
    near_range(n, "peak flow", a->peak_flow, b->peak_flow, 0);
    near_range(n, "pressure", a->source_pressure, b->source_pressure,
               n->pressure);
    near_range(n, "spare", a->spare_pressure, b->spare_pressure, n->pressure);
}

static void
same_fixtures(struct nearness n, const fc_check_result *one,
              const fc_check_result *two)
{
    size_t i;
    int state;

    HOLDS(n.b, one->n_fixtures == two->n_fixtures, "numbers of fixtures");
    for (i = 0; i < one->n_fixtures; i++) {
        const fc_checked_fixture *a = &one->fixtures[i];
        const fc_checked_fixture *b = property_fixture(two, a->name);

        n.name = a->name;
        HOLDS(n.b, a->change == b->change && a->count == b->count,
              "%s: changes differ", n.name);
        HOLDS(n.b,
              property_near(a->elevation, b->elevation, n.share,
                            n.pressure > 0 ? 1e-9 : 0),
              "%s: elevations differ", n.name);
        near_range(&n, "static", a->static_pressure, b->static_pressure,
                   n.pressure);
        for (state = 0; state < property_states(one); state++)
            same_fixture_state(&n, &a->states[state], &b->states[state]);
    }
}

void
property_same(const struct building *b, const fc_check_result *one,
              const fc_check_result *two, double share, double pressure)
{
    struct nearness n = { b, "the source", share, pressure };
    size_t i;
    int state;

    HOLDS(b, one->works == two->works && one->converted == two->converted,
          "verdicts differ");
    near_range(&n, "static", one->source_static, two->source_static, pressure);
    for (state = 0; state < property_states(one); state++)
        same_state(&n, &one->states[state], &two->states[state]);
    same_fixtures(n, one, two);
    HOLDS(b, one->n_pipes == two->n_pipes, "numbers of pipes differ");
    for (i = 0; i < one->n_pipes; i++) {
        const fc_checked_pipe *pipe = property_pipe(two, one->pipes[i].name);

        n.name = pipe->name;
        for (state = 0; state < property_states(one); state++)
            same_pipe_state(&n, &one->pipes[i].states[state],
                            &pipe->states[state]);
    }
}

int
main(void)
{
    Suite *suite = suite_create("properties");

    building_tables();
    suite_add_tcase(suite, properties_of_supply());
    suite_add_tcase(suite, properties_of_changes());
    suite_add_tcase(suite, properties_of_sameness());
    suite_add_tcase(suite, properties_of_floors());
    suite_add_tcase(suite, properties_of_ranges());
    suite_add_tcase(suite, properties_of_reports());
    suite_add_tcase(suite, properties_of_method());
    return run_building_suite(suite);
}
