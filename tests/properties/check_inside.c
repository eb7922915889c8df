/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/properties/check_inside.c -- whatever the inputs are within their
 * ranges, what is told of a tank and of cold pressures is within what is told
 * of the ranges.
 *
 * Sites of one plan: with every input a range, and with every input at one
 * value of it, an end of it as often as not.
 */
#include "generators/sites.h"

#include <gsl/gsl_rng.h>
#include <math.h>

#define SITES 30
#define POINTS 8
#define INPUTS 8

/* Of each input the least, the most and the widest range; its unit. */
struct drawn {
    double least, most, widest;
    const char *unit;
};

struct plan {
    const char *text; /* with INPUTS inputs in their order */
    struct drawn inputs[INPUTS];
};

static const struct plan tank = {
    "[source well]\nkind = tank\nwater level = %s\nelevation = -100 ft\n"
    "[pump jet]\nfrom = well\nrise = 100 ft\n"
    "curve = 0 gpm 300 ft, 20 gpm 220 ft, 40 gpm 120 ft\n"
    "[pressure tank tank]\nfrom = jet\nvolume = %s\nprecharge = %s\n"
    "cut-in = %s\ncut-out = %s\n"
    "[valve v]\nflow = 25 gpm at 25 psi\nfull flush = %s\n"
    "minimum flowing = %s\n"
    "[fixture wc]\non = tank\nkind = water closet, flush valve\n"
    "existing = v\ncount = 4\n"
    "[usage]\ninterval = %s\nbusy period = 15 min\n",
    { { -40, -20, 8, "ft" },
      { 80, 300, 60, "gal" },
      { 25, 34, 6, "psi" },
      { 30, 36, 6, "psi" },
      { 48, 56, 6, "psi" },
      { 1.2, 3.5, 0, "gal" },
      { 12, 20, 6, "psi" },
      { 2, 6, 0, "min" } }
};

static const struct plan showers = {
    "[source s]\nkind = fixed\npressure = %s\n"
    "[device d]\nfrom = s\nloss = %s at 100 gpm\n"
    "[pipe p]\nfrom = d\nmaterial = copper L\nsize = 2 in\nC = %s\n"
    "length = %s\nfittings = none\n"
    "[valve v]\nflow = %s at 25 psi\nfull flush = 1.6 gal\n"
    "minimum flowing = 10 psi\n"
    "[fixture wc]\non = p\nkind = water closet, flush valve\n"
    "existing = v\ncount = %s\n"
    "[fixture x]\non = p\nkind = shower\nbalanced = no\nrise = %s\n"
    "[heater h]\non = s\nserves = x\n"
    "[usage]\ninterval = %s\n",
    { { 45, 80, 15, "psi" },
      { 2, 12, 4, "psi" },
      { 100, 138, 20, "" },
      { 20, 200, 40, "ft" },
      { 15, 28, 6, "gpm" },
      { 1, 4, 3, "" },
      { 0, 8, 3, "ft" },
      { 2, 6, 0, "min" } }
};

struct ranges {
    double low[INPUTS], high[INPUTS];
};

static bool
is_whole(const struct plan *plan, int input)
{
    return plan == &showers && input == 5;
}

static void
draw_ranges(gsl_rng *rng, const struct plan *plan, struct ranges *r)
{
    for (int i = 0; i < INPUTS; i++) {
        const struct drawn *d = &plan->inputs[i];

        r->low[i] = d->least + gsl_rng_uniform(rng) * (d->most - d->least);
        r->high[i] = r->low[i] + gsl_rng_uniform(rng) * d->widest;
        if (is_whole(plan, i)) {
            r->low[i] = round(r->low[i]);
            r->high[i] = round(r->high[i]);
        }
    }
}

static void
draw_point(gsl_rng *rng, const struct plan *plan, const struct ranges *r,
           struct ranges *point)
{
    for (int i = 0; i < INPUTS; i++) {
        const unsigned long which = gsl_rng_uniform_int(rng, 4);
        double part = which == 0 ? 0 : which == 1 ? 1 : gsl_rng_uniform(rng);

        point->low[i] = r->low[i] + part * (r->high[i] - r->low[i]);
        if (is_whole(plan, i))
            point->low[i] = round(point->low[i]);
        point->high[i] = point->low[i];
    }
}

static fc_effects *
effects_of(const struct plan *plan, const struct ranges *r, fc_site **site)
{
    char said[INPUTS][80], text[2000];
    fc_effects *effects = NULL;

    for (int i = 0; i < INPUTS; i++)
        if (r->low[i] < r->high[i])
            snprintf(said[i], sizeof said[i], "%.9f..%.9f %s", r->low[i],
                     r->high[i], plan->inputs[i].unit);
        else
            snprintf(said[i], sizeof said[i],
                     is_whole(plan, i) ? "%.0f %s" : "%.9f %s", r->low[i],
                     plan->inputs[i].unit);
    if (is_whole(plan, 5) && r->low[5] < r->high[5])
        snprintf(said[5], sizeof said[5], "%.0f..%.0f", r->low[5], r->high[5]);
#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wformat-nonliteral"
    snprintf(text, sizeof text, plan->text, said[0], said[1], said[2], said[3],
             said[4], said[5], said[6], said[7]);
#pragma GCC diagnostic pop
    *site = site_of(text);
    ck_assert_int_eq(fc_effects_find(*site, &effects, NULL), FC_OK);
    return effects;
}

/* To the step by which a tank is followed, and a flow is solved. */
#define WITHIN 2e-3

static void
inside(fc_range whole, fc_range one, const char *what)
{
    const double slack = WITHIN * fmax(fabs(whole.high), fabs(whole.low));

    if (!one.given)
        return;
    ck_assert_msg(whole.given, "%s is told of one value alone", what);
    ck_assert_msg(one.low >= whole.low - slack
                      && one.high <= whole.high + slack,
                  "%s: %g to %g, outside of %g to %g", what, one.low, one.high,
                  whole.low, whole.high);
}

/* NAN is any number: more than the most that is told. */
static void
no_more(double worst, double best, double one_worst, double one_best,
        const char *what)
{
    const double low = isnan(worst) ? INFINITY : worst;
    const double high = isnan(best) ? INFINITY : best;
    const double slack = 0.01 * (isinf(low) ? 0 : low);

    ck_assert_msg((isnan(one_worst) ? INFINITY : one_worst) >= low - slack,
                  "%s: %g, less than %g", what, one_worst, low);
    ck_assert_msg((isnan(one_best) ? INFINITY : one_best) <= high * 1.01,
                  "%s: %g, more than %g", what, one_best, high);
}

static void
no_firmer(fc_verdict whole, fc_verdict one, const char *what)
{
    ck_assert_msg(whole == FC_CANNOT_TELL || whole == one,
                  "%s: verdict %d of the ranges, %d within", what, (int)whole,
                  (int)one);
}

static void
tank_inside(const fc_effects *all, const fc_effects *one)
{
    const fc_tank_state *a = &all->tank->states[FC_EXISTING];
    const fc_tank_state *b = &one->tank->states[FC_EXISTING];

    inside(all->tank->draw_down, one->tank->draw_down, "draw-down");
    inside(a->least, b->least, "least");
    inside(a->water, b->water, "water");
    inside(a->flush, b->flush, "flush");
    inside(a->borrowed, b->borrowed, "borrowed");
    inside(a->rate, b->rate, "rate");
    inside(a->rate_out, b->rate_out, "rate at cut-out");
    inside(a->mean, b->mean, "mean");
    no_more(a->in_row_worst, a->in_row_best, b->in_row_worst, b->in_row_best,
            "in a row");
    no_more(a->lasts_worst, a->lasts_best, b->lasts_worst, b->lasts_best,
            "lasts");
    no_more(a->refill_best, a->refill_worst, b->refill_best, b->refill_worst,
            "refill");
    no_firmer(a->row, b->row, "one flush");
    no_firmer(a->busy, b->busy, "busiest minutes");
}

/* Numbers of valves that both have. */
static void
showers_inside(const fc_effects *all, const fc_effects *one)
{
    const fc_cold_dip_state *a =
        &all->cold_dip->fixtures[0].states[FC_EXISTING];
    const fc_cold_dip_state *b =
        &one->cold_dip->fixtures[0].states[FC_EXISTING];

    inside(a->at_rest, b->at_rest, "static");
    for (size_t i = 0; i < a->n_dips; i++)
        for (size_t k = 0; k < b->n_dips; k++)
            if (a->dips[i].open == b->dips[k].open) {
                inside(a->dips[i].pressure, b->dips[k].pressure, "pressure");
                inside(a->dips[i].fall, b->dips[k].fall, "fall");
                inside(a->dips[i].apart, b->dips[k].apart, "below hot");
                no_firmer(a->dips[i].works, b->dips[k].works, "a number");
            }
    no_firmer(a->works, b->works, "cold dip");
}

static void
try_plan(const struct plan *plan, unsigned long seed,
         void (*try)(const fc_effects *all, const fc_effects *one))
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    struct ranges r, point;
    fc_site *site, *inner;
    fc_effects *all;

    gsl_rng_set(rng, seed);
    draw_ranges(rng, plan, &r);
    all = effects_of(plan, &r, &site);
    for (int i = 0; i < POINTS; i++) {
        fc_effects *one;

        draw_point(rng, plan, &r, &point);
        one = effects_of(plan, &point, &inner);
        try(all, one);
        fc_effects_free(one);
        fc_site_free(inner);
    }
    fc_effects_free(all);
    fc_site_free(site);
    gsl_rng_free(rng);
}

START_TEST(a_tank_within)
{
    try_plan(&tank, 1000 + (unsigned long)_i, tank_inside);
}
END_TEST

START_TEST(showers_within)
{
    try_plan(&showers, 2000 + (unsigned long)_i, showers_inside);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("inside");
    TCase *tcase = tcase_create("ranges");

    tcase_set_timeout(tcase, 120);
    tcase_add_sampled_test(tcase, a_tank_within, SITES);
    tcase_add_sampled_test(tcase, showers_within, SITES);
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
