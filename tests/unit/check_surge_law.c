/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_surge_law.c -- waves in pipes, against published figures
 * and against a solution by the method of characteristics. */
#include "unit/suite.h"
#include "unit/us_units.h"
#include "generators/surge_waves.h"
#include "laws/surge.h"
#include "laws/water.h"

#include <math.h>

#define COUNT(array) ((int)(sizeof(array) / sizeof(array)[0]))
#define GPA 1e9
#define SLUG_PER_FT3 (14.59390293720636 / (FOOT * FOOT * FOOT))

static void
expect(double got, double want, double tolerance, const char *what)
{
    ck_assert_msg(fabs(got - want) <= tolerance,
                  "%s: %.9g, published is %.9g +- %.3g", what, got, want,
                  tolerance);
}

/* The speed of sound in a liquid of this bulk modulus [Pa]. */
static double
sound_of(double bulk, double density)
{
    return sqrt(bulk / density);
}

/* ---- Wave speed --------------------------------------------------------- */

/* A. P. Moser, Buried Pipe Design, Table 4.1 (read on a public page): ductile
 * iron mains, ft/s.  Outside diameter and wall of AWWA C151 in inches, from
 * memory; bulk modulus 319,000 psi, 1.94 slug/ft3, E 24,000,000 psi, bore
 * between the walls.  Eight of its figures agree within 0.12%. */
static const struct {
    double outside, wall, speed;
} mains[] = {
    { 4.80, 0.26, 4409 },  { 4.80, 0.29, 4452 },  { 4.80, 0.32, 4488 },
    { 6.90, 0.25, 4206 },  { 6.90, 0.28, 4265 },  { 9.05, 0.27, 4085 },
    { 11.10, 0.29, 3996 }, { 13.20, 0.31, 3919 },
};

START_TEST(ductile_main)
{
    const double density = 1.94 * SLUG_PER_FT3;
    const double bore = mains[_i].outside - 2 * mains[_i].wall;
    const double speed =
        fci_wave_speed(sound_of(319000 * PSI, density), density, bore,
                       mains[_i].wall, 24e6 * PSI, 1);

    expect(speed / FOOT, mains[_i].speed, 0.0012 * mains[_i].speed, "main");
}
END_TEST

/* K. Subramanya, 1000 Solved Problems in Fluid Mechanics, chapter 14, water of
 * 998 kg/m3: examples 14.15 (b), 14.18, 14.20 and 14.16, whose liquid is 0.80
 * times as dense as water.  Tolerances are half of the last digit printed. */
START_TEST(solved_problems)
{
    const double water = 998, light = 0.8 * 998;
    double a = fci_wave_speed(sound_of(2.1 * GPA, water), water, 0.6, 0.012,
                              210 * GPA, 1);

    expect(fci_joukowsky(water, a, 2.1) / 1e6, 2.482, 0.0005, "14.15 elastic");
    expect(fci_joukowsky(water, sound_of(2.1 * GPA, water), 2.1) / 1e6, 3.040,
           0.0005, "14.15 rigid");
    a = fci_wave_speed(sound_of(2.11 * GPA, water), water, 0.6, 0.015,
                       104.1 * GPA, 1);
    expect(fci_joukowsky(water, a, 3) / 1e6, 3.235, 0.0005, "14.18");
    expect(fci_return_time(800, a), 1.48, 0.005, "14.18 time");
    a = fci_wave_speed(sound_of(2.2 * GPA, water), water, 1, 1,
                       (double)INFINITY, 1);
    expect(fci_joukowsky(water, a, 0.8) / 1e6, 1.185, 0.0005, "14.20");
    a = fci_wave_speed(sound_of(1.43 * GPA, light), light, 0.8, 0.08,
                       210 * GPA, 1);
    expect(fci_return_time(1000, a), 1.544, 0.001, "14.16");
}
END_TEST

/* Handouts of a course on pipe (New Mexico State University, read on a public
 * page): PVC 1-1/4 in, 1.66 x 0.14 in, E 400,000 psi, 1 ft/s stopped: 20.3
 * psi, by the outside diameter, with 4,700 ft/s in water of 62.4 lb/ft3,
 * g 32.2 ft/s2, and a bulk modulus of 294,000 psi, 1.1% under that of its own
 * speed and weight, hence the tolerance. */
START_TEST(plastic_pipe)
{
    const double density = 62.4 / 32.2 * SLUG_PER_FT3;
    const double a =
        fci_wave_speed(4700 * FOOT, density, 1.66, 0.14, 400e3 * PSI, 1);

    expect(fci_joukowsky(density, a, FOOT) / PSI, 20.3, 0.15, "plastic");
}
END_TEST

/* Closed form, by hand calculator from a = sqrt(K/rho) / sqrt(1 + K D/(E e))
 * with K 2.18 GPa and 999 kg/m3: m/s of copper type L (E 117 GPa), steel
 * schedule 40 (200), and PEX (0.7) by its bore of 0.863 in and least wall.
 * Rounded to 1. */
static const struct {
    double bore, wall, modulus, speed;
} building[] = {
    { 0.785, 0.045, 117, 1283 }, { 1.025, 0.050, 117, 1257 },
    { 1.505, 0.060, 117, 1219 }, { 1.985, 0.070, 117, 1195 },
    { 1.049, 0.133, 200, 1418 }, { 2.067, 0.154, 200, 1380 },
    { 0.863, 0.125, 0.7, 311 },  { 1.029, 0.143, 2.76, 583 },
};

START_TEST(building_pipe)
{
    const double a =
        fci_wave_speed(sound_of(2.18 * GPA, 999), 999, building[_i].bore,
                       building[_i].wall, building[_i].modulus * GPA, 1);
    const double bulk = 2.18, ratio = building[_i].bore / building[_i].wall;

    expect(a,
           1000 * sqrt(bulk / 0.999)
               / sqrt(1 + bulk * ratio / building[_i].modulus),
           1e-6, "closed form");
    if (_i < COUNT(building) - 1)
        expect(a, building[_i].speed, 1, "rounded");
}
END_TEST

/* Sound in water of 0, 20 and 74 degC, where it is fastest: 1,402.4, 1,482.3
 * and 1,555.1 m/s (handbooks, from memory). */
START_TEST(sound_in_water)
{
    expect(fci_water_sound(0), 1402.4, 0.05, "0 degC");
    expect(fci_water_sound(20), 1482.3, 0.1, "20 degC");
    expect(fci_water_sound(74), 1555.1, 0.1, "74 degC");
    /* the bulk modulus of reference tables, 2.19 GPa at 20 degC */
    expect(fci_water_density(20) * pow(fci_water_sound(20), 2) / GPA, 2.19,
           0.005, "bulk modulus");
}
END_TEST

/* ---- What a closing valve adds ------------------------------------------ */

/* TM 5-813-9, Water Supply: Pumping Stations, figure 4-5 (read on a public
 * page): a wave of 2,690 ft/s, 3,400 ft, 6.48 ft/s: 2L/a 2.53 s, 544.7 ft with
 * g 32 ft/s2. */
START_TEST(technical_manual)
{
    expect(fci_return_time(3400, 2690), 2.53, 0.005, "2L/a");
    expect(fci_joukowsky(1, 2690, 6.48) / 32, 544.7, 0.05, "surge");
}
END_TEST

/* PDI-WH201 as a trade page tells it: quick is 2L/a, 20 ms of 40 ft and 40 ms
 * of 80 ft, at the 4,000 ft/s that this implies. */
START_TEST(quick_closure)
{
    expect(fci_return_time(40, 4000), 0.020, 1e-9, "40 ft");
    expect(fci_return_time(80, 4000), 0.040, 1e-9, "80 ft");
}
END_TEST

/* Slides of a course on hydraulics (read on a public page): 1,500 m at 4.07
 * m/s, static head 50 m, closed in 10 s: 1.097 MPa, to 0.3%. */
START_TEST(slow_closure)
{
    const double still = 50 * 9.81 * 998;
    const double inertia = 998.0 * 1500 * 4.07;

    expect(fci_rigid_surge(still, still, inertia, 10) / 1e6, 1.097,
           0.003 * 1.097, "slow");
}
END_TEST

/* The rigid column itself, stepped through: density times length times
 * dv/dt = still - friction v^2 - pressure before the valve, which passes s v0
 * sqrt(pressure / flowing).  It never rises above the law, and without
 * friction, where it closes slowly against what the water can do, comes near
 * it (Runge-Kutta of 4th order, 20,000 steps, no code of the library). */
static double
slope(double still, double flowing, double inertia, double s, double v)
{
    const double lost = (still - flowing) * v * v;

    return (still - lost - flowing * (v / s) * (v / s)) / inertia;
}

static double
stepped(double still, double flowing, double inertia, double closing)
{
    const int steps = 20000;
    const double dt = closing / steps;
    double v = 1, most = 0;
    int i;

    for (i = 0; i < steps - 200; i++) {
        const double s = 1 - (double)i / steps, h = 1 - (i + 0.5) / steps,
                     e = 1 - (i + 1.0) / steps;
        const double a = slope(still, flowing, inertia, s, v);
        const double b = slope(still, flowing, inertia, h, v + dt / 2 * a);
        const double c = slope(still, flowing, inertia, h, v + dt / 2 * b);
        const double d = slope(still, flowing, inertia, e, v + dt * c);

        v += dt / 6 * (a + 2 * b + 2 * c + d);
        most = fmax(most, flowing * (v / e) * (v / e) - still);
    }
    return most;
}

START_TEST(rigid_column)
{
    static const double share[] = { 1, 0.8, 0.4 }; /* flowing over still */
    static const double n[] = { 0.05, 0.3, 1, 2 };
    size_t i, k;

    for (i = 0; i < sizeof share / sizeof *share; i++)
        for (k = 0; k < sizeof n / sizeof *n; k++) {
            const double still = 5e5, flowing = share[i] * still;
            const double closing = 1 / n[k];
            const double most = stepped(still, flowing, still, closing);
            const double law = fci_rigid_surge(still, flowing, still, closing);

            ck_assert_msg(most <= law * (1 + 1e-6), "%g %g: %g > %g", share[i],
                          n[k], most, law);
            if (i == 0)
                ck_assert_msg(most >= 0.98 * law, "%g: %g < %g", n[k], most,
                              law);
        }
}
END_TEST

/* ---- Waves -------------------------------------------------------------- */

/* One pipe shut at once: Joukowsky, which is the admittance's inverse. */
START_TEST(shut_at_once)
{
    const struct wave_pipe pipe = { 10, 2.0, -1, 0, 0 };
    double peak;

    wave_peaks(&pipe, 1, 0, 5e5, 3e5, 0, 200, &peak);
    expect(peak, 3e5 / 2, 1e-6, "shut at once");
    wave_peaks(&pipe, 1, 0, 5e5, 3e5, 19, 200, &peak); /* within 2L/a */
    expect(peak, 3e5 / 2, 1e-6, "shut within 2L/a");
    wave_peaks(&pipe, 1, 0, 5e5, 3e5, 60, 400, &peak);
    ck_assert_double_lt(peak, 3e5 / 2);
}
END_TEST

/* 0 to below 1, by Numerical Recipes' linear congruence. */
static double
drawn(unsigned *state)
{
    *state = *state * 1664525u + 1013904223u;
    return (double)(*state >> 8) / (double)(1u << 24);
}

static double
drawn_between(unsigned *state, double low, double high)
{
    return low * pow(high / low, drawn(state));
}

/* Half of them without a loss; else up to nine tenths of `still`, 1, are lost
 * on the way by `flow`, at the source, all along or at one place. */
static void
draw_losses(struct wave_tree *t, double flow, unsigned *state)
{
    const double kind = drawn(state);
    double sum;
    int i;

    for (i = 0; i < t->n && kind > 0.5; i++)
        t->pipes[i].loss = kind < 0.7   ? i == 0
                           : kind < 0.9 ? drawn(state)
                                        : i == t->valve;
    sum = wave_lost(t->pipes, t->valve, t->valve);
    if (sum > 0)
        sum = drawn_between(state, 0.01, 0.9) / (sum * flow * flow);
    for (i = 0; i < t->n; i++)
        t->pipes[i].loss *= sum;
}

static double
storage_behind(const struct wave_tree *t, int i)
{
    double sum = 0;
    int k, at;

    for (k = i; k < t->n; k++) {
        for (at = k; at > i; at = t->pipes[at].parent)
            ;
        if (at == i)
            sum += t->pipes[k].steps * t->pipes[k].admittance;
    }
    return sum;
}

static struct fci_follow
follow_of(const struct wave_tree *t, int i)
{
    double inertia = 0;

    for (; i >= 0; i = t->pipes[i].parent)
        inertia += t->pipes[i].steps / t->pipes[i].admittance;
    return (struct fci_follow){ sqrt(inertia), sqrt(inertia), 1 };
}

static struct fci_closing
closing_of(const struct wave_tree *t, double flow, double time)
{
    const double lost = wave_lost(t->pipes, t->valve, t->valve) * flow * flow;
    struct fci_closing c = { .still = 1,
                             .flowing = 1 - lost,
                             .opening = flow / sqrt(1 - lost),
                             .time = time,
                             .valve = follow_of(t, t->valve) };
    int i;

    for (i = t->valve; i >= 0; i = t->pipes[i].parent)
        c.back += t->pipes[i].loss * storage_behind(t, i);
    return c;
}

/* What the library bounds a closure by (laws/surge.c), in trees of up to 6
 * pipes with closed ends, which narrow away from the source or not, with and
 * without losses, closed in 0.1 to 60 times 2L/a of the way and Joukowsky's
 * rise 0.05 to 20 times twice the static: the peak at the valve, on the way to
 * it and beside it is never above that.  No less than the run of the last pipe
 * alone makes of it is there, without losses.  The shortest time that keeps a
 * place within what it comes to, or half of it, does so. */
START_TEST(bounded_in_trees)
{
    struct wave_tree t = wave_tree_drawn((unsigned)_i, 6);
    unsigned state = (unsigned)_i * 7919u + 3;
    const double closing = 2 * t.way_steps * drawn_between(&state, 0.1, 60);
    const double flow = 2 * drawn_between(&state, 0.05, 20) / t.way_hardest;
    struct fci_closing c;
    double peaks[WAVE_PIPES], least, stir;
    int i;

    draw_losses(&t, flow, &state);
    wave_peaks(t.pipes, t.n, t.valve, 1, flow, closing,
               (int)closing + 24 * t.way_steps, peaks);
    c = closing_of(&t, flow, closing);
    stir = fci_closing_stir(&c);
    for (i = 0; i < t.n; i++) {
        const struct fci_follow place = follow_of(&t, i);
        const double bound = fci_stirred_rise(&c, stir, &place);

        ck_assert_msg(peaks[i] <= bound, "pipe %d of %d: %g > %g", i, t.n,
                      peaks[i], bound);
        if (!isfinite(bound))
            continue;
        ck_assert_double_le(
            fci_closing_time(&c, fci_stir_within(c.back, bound, &place)),
            closing * (1 + 1e-6));
        c.time =
            fci_closing_time(&c, fci_stir_within(c.back, bound / 2, &place));
        ck_assert_double_gt(c.time, closing);
        ck_assert_double_le(fci_stirred_rise(&c, fci_closing_stir(&c), &place),
                            bound / 2 * (1 + 1e-6));
        c.time = closing;
    }
    least = fmin(flow / t.pipes[t.valve].admittance,
                 t.run_inertia * flow / closing);
    if (c.flowing >= 1)
        ck_assert_msg(peaks[t.valve] >= least * (1 - 1e-9), "%g < %g",
                      peaks[t.valve], least);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("surge law");
    TCase *tc = tcase_create("wave speed");

    tcase_add_loop_test(tc, ductile_main, 0, COUNT(mains));
    tcase_add_test(tc, solved_problems);
    tcase_add_test(tc, plastic_pipe);
    tcase_add_loop_test(tc, building_pipe, 0, COUNT(building));
    tcase_add_test(tc, sound_in_water);
    suite_add_tcase(suite, tc);
    tc = tcase_create("closing");
    tcase_add_test(tc, technical_manual);
    tcase_add_test(tc, quick_closure);
    tcase_add_test(tc, slow_closure);
    tcase_add_test(tc, rigid_column);
    suite_add_tcase(suite, tc);
    tc = tcase_create("waves");
    tcase_add_test(tc, shut_at_once);
    tcase_add_sampled_test(tc, bounded_in_trees, 3000);
    suite_add_tcase(suite, tc);
    return run_suite_unforked(suite);
}
