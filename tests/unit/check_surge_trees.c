/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_surge_trees.c -- surges of buildings that are drawn by
 * chance, against waves by the method of characteristics. */
#include "unit/suite.h"
#include "unit/us_units.h"
#include "flushcalc.h"
#include "generators/surge_waves.h"
#include "laws/water.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define PI 3.14159265358979323846
#define T60F ((60.0 - 32) / 1.8)
#define STILL (60 * PSI)

/* Copper tube type L by ASTM B88 [in]; E 117 GPa and restraint 1 - 0.34^2,
 * anchored throughout, where a wave is fastest. */
static const struct {
    const char *size;
    double outside, wall;
} tubes[] = {
    { "1/2 in", 0.625, 0.040 },   { "3/4 in", 0.875, 0.045 },
    { "1 in", 1.125, 0.050 },     { "1-1/4 in", 1.375, 0.055 },
    { "1-1/2 in", 1.625, 0.060 }, { "2 in", 2.125, 0.070 },
    { "2-1/2 in", 2.625, 0.080 }, { "3 in", 3.125, 0.090 },
};
#define TUBES ((int)(sizeof tubes / sizeof *tubes))

static double
bore_of(int tube)
{
    return (tubes[tube].outside - 2 * tubes[tube].wall) * INCH;
}

static double
speed_of(int tube)
{
    const double sound = fci_water_sound(T60F);
    const double bulk = fci_water_density(T60F) * sound * sound;

    return sound
           / sqrt(1
                  + (1 - 0.34 * 0.34) * bulk * bore_of(tube)
                        / (117e9 * tubes[tube].wall * INCH));
}

/* 0 to below 1, by Numerical Recipes' linear congruence. */
static double
drawn(unsigned *state)
{
    *state = *state * 1664525u + 1013904223u;
    return (double)(*state >> 8) / (double)(1u << 24);
}

/* Up to 6 pipes, each as wide as what feeds it or narrower, some behind a
 * device; a closet with flush valve at the end of the last. */
struct building {
    struct wave_pipe pipes[WAVE_PIPES];
    int tubes[WAVE_PIPES];
    double feet[WAVE_PIPES];
    double lost[WAVE_PIPES]; /* in the device before it at 25 gpm [psi]; 0:
                                there is none */
    double closing;          /* [s] */
    int n, rated;            /* that pipe alone is rated, and hardly above its
                                static pressure */
};

#define STEP (2 * FOOT / 1280) /* [s] */

static struct building
building_of(unsigned seed)
{
    unsigned state = seed * 2654435761u + 1;
    struct building b = { .n = 1 };
    int i;

    b.n += (int)(drawn(&state) * 6);
    for (i = 0; i < b.n; i++) {
        struct wave_pipe *pipe = &b.pipes[i];
        int parent = i == 0 ? -1 : (int)(drawn(&state) * i);
        int tube = parent < 0 ? 3 + (int)(drawn(&state) * (TUBES - 3))
                              : b.tubes[parent];

        if (parent >= 0 && drawn(&state) < 0.5)
            tube = (int)(drawn(&state) * (tube + 1));
        if (i == b.n - 1 && tube < 2)
            tube = 2;
        pipe->parent = parent;
        pipe->steps = 1 + (int)(drawn(&state) * 30);
        pipe->admittance = PI / 4 * bore_of(tube) * bore_of(tube)
                           / (fci_water_density(T60F) * speed_of(tube));
        b.tubes[i] = tube;
        b.feet[i] = pipe->steps * STEP * speed_of(tube) / FOOT;
        if (drawn(&state) < (i == 0 ? 0.5 : 0.25))
            b.lost[i] = 20 * drawn(&state);
    }
    b.closing = 0.03 * pow(40, drawn(&state));
    b.rated = (int)(drawn(&state) * b.n);
    return b;
}

static int
feeds_any(const struct building *b, int i)
{
    int k;

    for (k = i + 1; k < b->n; k++)
        if (b->pipes[k].parent == i)
            return 1;
    return 0;
}

static void
write_building(const struct building *b, char *text, size_t size)
{
    size_t at = (size_t)snprintf(
        text, size,
        "[source main]\nkind = fixed\npressure = 60 psi\n[valve v]\n"
        "flow = 25 gpm at 25 psi\nfull flush = 1.6 gal\n"
        "closing time = %.9f s\n[fixture wc]\non = p%d\n"
        "kind = water closet, flush valve\nexisting = v\n",
        b->closing, b->n - 1);
    int i;

    for (i = 0; i < b->n; i++) {
        const int parent = b->pipes[i].parent;
        char from[20] = "main";

        if (parent >= 0)
            snprintf(from, sizeof from, "p%d", parent);
        if (b->lost[i] > 0) {
            at += (size_t)snprintf(text + at, size - at,
                                   "[device d%d]\nfrom = %s\n"
                                   "loss = %.9f psi at 25 gpm\n",
                                   i, from, b->lost[i]);
            snprintf(from, sizeof from, "d%d", i);
        }
        at += (size_t)snprintf(
            text + at, size - at,
            "[pipe p%d]\nfrom = %s\nmaterial = copper L\nsize = %s\n"
            "length = %.9f ft\nfittings = none\ncondition = new\n%s",
            i, from, tubes[b->tubes[i]].size, b->feet[i],
            i == b->rated ? "pressure rating = 60.001 psi\n" : "");
        if (i < b->n - 1 && !feeds_any(b, i))
            at += (size_t)snprintf(text + at, size - at,
                                   "[fixture lav-%d]\non = p%d\n"
                                   "kind = lavatory\n",
                                   i, i);
    }
    ck_assert_uint_lt(at, size);
}

/* What a valve that passes 25 gpm at 25 psi leaves of 60 psi is lost in
 * devices and, by length over the fifth power of the bore, in pipes. */
static void
take_losses(struct building *b, double flow)
{
    const double gpm = flow / GPM, valve = 25 * gpm * gpm / (25 * 25) * PSI;
    double devices, pipes;
    int i;

    for (i = 0; i < b->n; i++)
        b->pipes[i].loss = b->lost[i] * PSI / (25 * GPM * 25 * GPM);
    devices = wave_lost(b->pipes, b->n - 1, b->n - 1) * flow * flow;
    for (i = 0; i < b->n; i++)
        b->pipes[i].loss = b->feet[i] / pow(bore_of(b->tubes[i]), 5);
    pipes = wave_lost(b->pipes, b->n - 1, b->n - 1);
    ck_assert_double_gt(STILL, valve + devices);
    for (i = 0; i < b->n; i++)
        b->pipes[i].loss = b->pipes[i].loss * (STILL - valve - devices)
                               / (pipes * flow * flow)
                           + b->lost[i] * PSI / (25 * GPM * 25 * GPM);
}

static void
check_peaks(const struct building *b, const fc_surge *s)
{
    const int steps = (int)(b->closing / STEP);
    double peaks[WAVE_PIPES];
    int i;

    wave_peaks(b->pipes, b->n, b->n - 1, STILL, s->flow.high,
               b->closing / STEP, steps + 3000, peaks);
    for (i = 0; i < b->n; i++) {
        char name[20];

        snprintf(name, sizeof name, "p%d", i);
        if (s->bound)
            ck_assert_msg(peaks[i] <= s->highest.high, "%s: %g > %g", name,
                          peaks[i], s->highest.high);
        if (s->bound && strcmp(name, s->at) == 0)
            ck_assert_msg(peaks[i] <= s->surge.high, "%s: %g > %g", name,
                          peaks[i], s->surge.high);
        if (s->within == FC_WORKS)
            ck_assert_double_le(peaks[i] / PSI, 65 + 1e-6);
    }
    ck_assert_double_le(s->surge.low, s->highest.high);
    ck_assert_double_ge(peaks[b->n - 1], s->highest.low * (1 - 1e-6));
}

/* Whether water may run back through its devices or not, nowhere does the
 * pressure rise above what is told as a bound: where it is nearest to a rating
 * and where it is highest; no less than the least is before the valve.  What
 * works stays within the usual 125 psi. */
START_TEST(bounded)
{
    struct building b = building_of((unsigned)_i);
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_effects *effects = NULL;
    fc_site *site = NULL;
    const fc_surge *s;
    char text[4000];
    int i;

    if (_i % 2)
        b.rated = -1;
    write_building(&b, text, sizeof text);
    if (fc_site_read_text(text, strlen(text), "tree.ini", &site, messages)
            != FC_OK
        || fc_effects_find(site, &effects, messages) != FC_OK)
        ck_abort_msg("%s", fc_diagnostics_at(messages, 0).text);
    s = &effects->surge->fixtures[0].states[FC_EXISTING];
    if (s->surge.given) {
        take_losses(&b, s->flow.high);
        check_peaks(&b, s);
        for (i = 0; i < b.n; i++)
            b.pipes[i].one_way = b.lost[i] > 0;
        check_peaks(&b, s);
    }
    fc_effects_free(effects);
    fc_site_free(site);
    fc_diagnostics_free(messages);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("surge trees");
    TCase *tc = tcase_create("waves");

    tcase_add_sampled_test(tc, bounded, 600);
    suite_add_tcase(suite, tc);
    return run_suite_unforked(suite);
}
