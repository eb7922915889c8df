/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/diagnose_properties.c -- what holds of every diagnosis, in
 * invented buildings of any shape: trees, loops, several sources, inputs as
 * ranges.
 */
#include "unit/diagnose_suite.h"
#include "generators/buildings.h"
#include "generators/open_valves.h"

#include <math.h>

#define ROOM 262144
#define MOST_READINGS 6

static const struct building_plan plans[] = {
    { .fewest = 3, .most = 20 },
    { .fewest = 3, .most = 20, .ranges = true },
    { .fewest = 4, .most = 20, .weak_main = true },
    { .fewest = 5, .most = 20, .loops = 1 },
    { .fewest = 5, .most = 20, .loops = 2, .sources = 1 },
};

struct gauges {
    char *text;
    size_t used;
    gsl_rng *rng;
    double off; /* psi, at most */
    size_t n;
};

static void
add_gauge(struct gauges *g, const char *at, double pressure,
          const fc_flushing *flush, size_t n)
{
    const double off = g->off * (2 * gsl_rng_uniform(g->rng) - 1);
    size_t i;

    g->used += (size_t)snprintf(g->text + g->used, ROOM - g->used,
                                "\n[reading r%zu]\nat = %s\n"
                                "pressure = %.6f psi\n",
                                g->n++, at, pressure / PSI + off);
    for (i = 0; i < n; i++)
        g->used +=
            (size_t)snprintf(g->text + g->used, ROOM - g->used, "%s%d of %s%s",
                             i == 0 ? "flushing = " : ", ", flush[i].count,
                             flush[i].fixture, i + 1 == n ? "\n" : "");
    ck_assert_uint_lt(g->used, ROOM);
}

/* Of one event, at some elements and fixtures. */
static void
read_event(struct gauges *g, const fc_site *site, const fc_flushing *flush,
           size_t n)
{
    fc_flush_result *result = NULL;
    size_t i;

    if (fc_flush(site, FC_EXISTING, flush, n, &result, NULL) != FC_OK)
        return;
    for (i = 0; i < result->n_elements; i++)
        if (g->n < MOST_READINGS && gsl_rng_uniform(g->rng) < 0.3)
            add_gauge(g, result->elements[i].name,
                      result->elements[i].pressure, flush, n);
    for (i = 0; i < result->n_fixtures; i++)
        if (g->n < MOST_READINGS && gsl_rng_uniform(g->rng) < 0.3)
            add_gauge(g, result->fixtures[i].name,
                      result->fixtures[i].pressure.nominal, flush, n);
    fc_flush_result_free(result);
}

/* The site file with readings of the model itself, each off by `off` psi at
 * most; NULL where nothing can be read. */
static fc_site *
read_gauges(const struct building *b, unsigned long seed, double off)
{
    const struct building_style style = { .units = FC_US };
    fc_site *plain = building_read(b, &style), *site = NULL;
    struct gauges g = { .text = malloc(ROOM),
                        .rng = gsl_rng_alloc(gsl_rng_mt19937),
                        .off = off };
    char *text = building_text(b, &style);
    fc_flushing flush[4];
    size_t n, i;

    ck_assert(plain && g.text && g.rng && text);
    gsl_rng_set(g.rng, seed + 5);
    g.used = (size_t)snprintf(g.text, ROOM, "%s", text);
    for (n = 0; n < 3; n++) {
        struct fci_open *open;
        size_t opened;

        open = some_open(plain, FC_EXISTING, n == 0 ? 0 : 0.3, g.rng, &opened);
        for (i = 0; i < opened && i < 4; i++)
            flush[i] =
                (fc_flushing){ open[i].count,
                               plain->fixtures[open[i].fixture].given->name };
        read_event(&g, plain, flush, i);
        free(open);
    }
    if (g.n > 0)
        site = site_of(g.text);
    gsl_rng_free(g.rng);
    free(g.text);
    free(text);
    fc_site_free(plain);
    return site;
}

/* ---- Readings of the model itself -------------------------------------- */

static void
try_exact(const struct building *b, unsigned long seed)
{
    fc_site *site = read_gauges(b, seed, 0.3);
    fc_diagnosis *d;

    if (!site)
        return;
    d = diagnosis_of(site);
    ck_assert_msg(d->as_described && d->n_causes == 0, "%lu: %s", seed,
                  d->text);
    fc_diagnosis_free(d);
    fc_site_free(site);
}

/* ---- Readings that are off --------------------------------------------- */

static void
check_weights(const fc_diagnosis *d, unsigned long seed)
{
    double causes = 0, groups = 0;
    size_t i;

    for (i = 0; i < d->n_causes; i++) {
        const fc_cause *cause = &d->causes[i];

        causes += cause->weight;
        ck_assert_msg(cause->group < d->n_groups && cause->text
                          && isfinite(cause->misfit),
                      "%lu: cause %zu", seed, i);
        ck_assert_msg(i == 0 || cause->weight <= d->causes[i - 1].weight,
                      "%lu: cause %zu is heavier", seed, i);
    }
    for (i = 0; i < d->n_groups; i++) {
        groups += d->groups[i].weight;
        ck_assert_msg(i == 0 || d->groups[i].weight <= d->groups[i - 1].weight,
                      "%lu: group %zu is heavier", seed, i);
    }
    ck_assert_msg(d->n_causes == 0
                      || (fabs(causes - 1) < 1e-9 && fabs(groups - 1) < 1e-9),
                  "%lu: weights add up to %g and %g", seed, causes, groups);
}

/* What the next reading would mean covers all that is in play, once. */
static void
check_next(const fc_diagnosis *d, unsigned long seed)
{
    double weight = 0;
    size_t i;

    if (d->next.n_answers == 0)
        return;
    for (i = 0; i < d->next.n_answers; i++) {
        weight += d->next.answers[i].weight;
        ck_assert_msg(d->next.answers[i].low <= d->next.answers[i].high
                          && d->next.answers[i].text,
                      "%lu: answer %zu", seed, i);
    }
    ck_assert_msg(fabs(weight - 1) < 1e-9, "%lu: answers weigh %g", seed,
                  weight);
}

static void
try_off(const struct building *b, unsigned long seed)
{
    fc_site *site = read_gauges(b, seed, 12);
    fc_diagnosis *d, *again;
    size_t i;

    if (!site)
        return;
    d = diagnosis_of(site);
    again = diagnosis_of(site);
    check_weights(d, seed);
    check_next(d, seed);
    ck_assert_ptr_nonnull(d->text);
    ck_assert_msg(d->as_described || d->n_causes > 0, "%lu: nothing", seed);
    ck_assert_uint_eq(d->n_causes, again->n_causes);
    for (i = 0; i < d->n_causes; i++)
        ck_assert_str_eq(d->causes[i].text, again->causes[i].text);
    fc_diagnosis_free(d);
    fc_diagnosis_free(again);
    fc_site_free(site);
}

/* ---- The buildings ----------------------------------------------------- */

static void
each_building(void (*try)(const struct building *b, unsigned long seed))
{
    const unsigned long kinds = sizeof plans / sizeof *plans;
    unsigned long seed;

    for (seed = 0; seed < 60; seed++) {
        struct building b;

        building_make(&b, seed, &plans[seed % kinds]);
        try(&b, seed);
        building_free(&b);
    }
}

START_TEST(model_is_as_described)
{
    each_building(try_exact);
}
END_TEST

START_TEST(adds_up)
{
    each_building(try_off);
}
END_TEST

TCase *
diagnose_properties(void)
{
    TCase *tcase = tcase_create("properties");

    tcase_set_timeout(tcase, 300);
    tcase_add_test(tcase, model_is_as_described);
    tcase_add_test(tcase, adds_up);
    return tcase;
}
