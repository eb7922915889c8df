/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_supply.c -- what sources give and devices take, at a flow.
 *
 *   [N291]  NFPA 291: the flow a main gives goes with the 0.54th power of its
 *           pressure drop (from memory).  So at 2^0.54 times the tested flow
 *           the drop is twice the tested one, whatever the figures.
 */
#include "peak/element.h"
#include "peak/source.h"
#include "generators/sites.h"

#include <math.h>

#define WEIGHT 9800.0 /* N/m3, a round figure: what is tested is the sum */
#define TINY 1e-6     /* Pa */

#define pa(psi) fc_exactly((psi)*PSI)
#define pa2(low, high) fc_between((low)*PSI, (high)*PSI)

/* ---- Street main ------------------------------------------------------- */

#define TESTED 0.03 /* m3/s */

/* Static 50 to 60, residual 40 to 44 psi at the tested flow: drops by hand.
 * The static of the day of the test is not known, so that it dropped by 55 -
 * 42, at worst by 60 - 40, at best by 50 - 44, whatever the static of another
 * day is. */
static const struct {
    double drops; /* the drop as a multiple of the tested one */
    double nominal, worst, best;
} mains[] = {
    { 0, 55, 50, 60 },
    { 0.5, 48.5, 40, 57 }, /* 50 - 20 / 2; 60 - 6 / 2 */
    { 1, 42, 30, 54 },
    { 2, 29, 10, 48 }, /* at 1.45 times the flow: 50 - 2 * 20; 60 - 2 * 6 */
    /* at 2.1 times, more than half above, the best is the 6 that were read */
    { 4, 3, -30, 54 },
};

static double
flow_of(double drops)
{
    return TESTED * pow(drops, 0.54);
}

START_TEST(tested_main)
{
    const fc_source s = { .kind = FC_STREET_MAIN,
                          .static_pressure = pa2(50, 60),
                          .residual = pa2(40, 44),
                          .residual_flow = fc_exactly(TESTED) };
    const double flow = flow_of(mains[_i].drops);

    ck_assert_double_eq_tol(
        fci_source_pressure(&s, (fc_range){ 0 }, WEIGHT, flow, FCI_NOMINAL),
        mains[_i].nominal * PSI, TINY);
    ck_assert_double_eq_tol(
        fci_source_pressure(&s, (fc_range){ 0 }, WEIGHT, flow, FCI_WORST),
        mains[_i].worst * PSI, TINY);
    ck_assert_double_eq_tol(
        fci_source_pressure(&s, (fc_range){ 0 }, WEIGHT, flow, FCI_BEST),
        mains[_i].best * PSI, TINY);
    ck_assert(fci_source_untested(&s, flow) == (mains[_i].drops > 1));
}
END_TEST

/* All of the box that the ranges span, by small steps: [N291] at every corner
 * and between, with no main that rises under flow. */
static const struct {
    double still[2], residual[2], tested[2];
} boxes[] = {
    { { 50, 60 }, { 40, 44 }, { 0.03, 0.03 } },
    { { 50, 60 }, { 40, 44 }, { 0.02, 0.04 } },
    { { 50, 60 }, { 48, 56 }, { 0.03, 0.03 } }, /* they overlap */
    { { 50, 60 }, { 48, 64 }, { 0.02, 0.03 } },
    { { 55, 55 }, { 55, 55 }, { 0.03, 0.03 } }, /* it does not sag */
    { { 55, 55 }, { 30, 50 }, { 0.01, 0.05 } },
    { { 40, 70 }, { 35, 35 }, { 0.03, 0.03 } },
};
#define STEPS 40

static double
between(const double ends[2], int k)
{
    return ends[0] + (ends[1] - ends[0]) * k / STEPS;
}

static void
bounds_of(int box, double flow, double *low, double *high)
{
    double still, residual, tested, drop, part;
    int i, j, k;

    *low = INFINITY;
    *high = -INFINITY;
    for (i = 0; i <= STEPS; i++)
        for (j = 0; j <= STEPS; j++)
            for (k = 0; k <= STEPS; k += STEPS) {
                still = between(boxes[box].still, i); /* of the test */
                residual = between(boxes[box].residual, j);
                tested = between(boxes[box].tested, k);
                drop = still > residual ? still - residual : 0;
                part = pow(flow / tested, 1 / 0.54);
                *low = fmin(*low, boxes[box].still[0] - drop * part);
                /* far beyond the test the best is what was read */
                if (flow > tested && flow > 1.5 * boxes[box].tested[0])
                    part = 1;
                *high = fmax(*high, boxes[box].still[1] - drop * part);
            }
}

START_TEST(main_is_bounded)
{
    const fc_source s = {
        .kind = FC_STREET_MAIN,
        .static_pressure = pa2(boxes[_i].still[0], boxes[_i].still[1]),
        .residual = pa2(boxes[_i].residual[0], boxes[_i].residual[1]),
        .residual_flow = fc_between(boxes[_i].tested[0], boxes[_i].tested[1])
    };
    double low, high, flow;
    int k;

    for (k = 0; k <= 20; k++) {
        flow = 0.005 * k;
        bounds_of(_i, flow, &low, &high);
        ck_assert_double_eq_tol(
            fci_source_pressure(&s, (fc_range){ 0 }, WEIGHT, flow, FCI_WORST),
            low * PSI, 1e-3);
        ck_assert_double_eq_tol(
            fci_source_pressure(&s, (fc_range){ 0 }, WEIGHT, flow, FCI_BEST),
            high * PSI, 1e-3);
    }
}
END_TEST

START_TEST(untested_main)
{
    fc_source s = { .kind = FC_STREET_MAIN, .static_pressure = pa2(50, 60) };

    ck_assert(fci_source_untested(&s, 0));
    ck_assert_double_eq_tol(
        fci_source_pressure(&s, (fc_range){ 0 }, WEIGHT, 1, FCI_WORST),
        50 * PSI, TINY);
    ck_assert_double_eq_tol(
        fci_source_pressure(&s, (fc_range){ 0 }, WEIGHT, 1, FCI_NOMINAL),
        55 * PSI, TINY);
    ck_assert_double_eq_tol(
        fci_source_pressure(&s, (fc_range){ 0 }, WEIGHT, 1, FCI_BEST),
        60 * PSI, TINY);
    s.residual = pa(40);
    s.residual_flow = fc_between(0.02, 0.04);
    ck_assert(!fci_source_untested(&s, 0.02));
    ck_assert(fci_source_untested(&s, 0.021)); /* the least that was tested */
}
END_TEST

/* ---- Tank and fixed ---------------------------------------------------- */

START_TEST(tank)
{
    const fc_source s = { .kind = FC_TANK,
                          .water_level = fc_between(30, 32),
                          .elevation = fc_between(1, 5),
                          .static_pressure = pa(99),
                          .pressure = pa(99) };

    ck_assert_double_eq_tol(
        fci_source_pressure(&s, (fc_range){ 0 }, WEIGHT, 0.1, FCI_NOMINAL),
        WEIGHT * (31 - 3), TINY);
    ck_assert_double_eq_tol(
        fci_source_pressure(&s, (fc_range){ 0 }, WEIGHT, 0.1, FCI_WORST),
        WEIGHT * (30 - 5), TINY);
    ck_assert_double_eq_tol(
        fci_source_pressure(&s, (fc_range){ 0 }, WEIGHT, 0.1, FCI_BEST),
        WEIGHT * (32 - 1), TINY);
    ck_assert(!fci_source_untested(&s, 1));
}
END_TEST

START_TEST(fixed)
{
    const fc_source s = { .kind = FC_FIXED,
                          .pressure = pa2(60, 64),
                          .elevation = fc_exactly(100) };

    ck_assert_double_eq_tol(
        fci_source_pressure(&s, (fc_range){ 0 }, WEIGHT, 5, FCI_NOMINAL),
        62 * PSI, TINY);
    ck_assert_double_eq_tol(
        fci_source_pressure(&s, (fc_range){ 0 }, WEIGHT, 5, FCI_WORST),
        60 * PSI, TINY);
    ck_assert_double_eq_tol(
        fci_source_pressure(&s, (fc_range){ 0 }, WEIGHT, 5, FCI_BEST),
        64 * PSI, TINY);
    ck_assert(!fci_source_untested(&s, 5));
}
END_TEST

/* ---- Losses ------------------------------------------------------------ */

/* 10, 11.5 and 14 psi at 0, 40 and 80 gpm, at 20 gpm 10.6875 by hand (see
 * unit/check_curve.c); 6 psi at 40 gpm is 1.5 at half and 13.5 at one and a
 * half of that flow. */
static const fc_point opening[] = { { 0, 10 * PSI },
                                    { 40 * GPM, 11.5 * PSI },
                                    { 80 * GPM, 14 * PSI } };

static const struct {
    fc_loss_kind kind;
    double low, high, at_gpm, flow_gpm, nominal, worst, best;
} losses[] = {
    { FC_NO_LOSS, 6, 6, 40, 20, 0, 0, 0 },
    { FC_CONSTANT_LOSS, 5, 7, 0, 0, 6, 7, 5 },
    { FC_CONSTANT_LOSS, 5, 7, 0, 90, 6, 7, 5 },
    { FC_SQUARE_LOSS, 6, 6, 40, 0, 0, 0, 0 },
    { FC_SQUARE_LOSS, 6, 6, 40, 20, 1.5, 1.5, 1.5 },
    { FC_SQUARE_LOSS, 4, 8, 40, 60, 13.5, 18, 9 },
    { FC_CURVE_LOSS, 0, 0, 0, 0, 10, 10, 10 },
    { FC_CURVE_LOSS, 0, 0, 0, 20, 10.6875, 10.6875, 10.6875 },
    /* beyond the last point the line has 16.5, the square law through it and
     * the first 10 + 4 * 1.5^2 = 19 */
    { FC_CURVE_LOSS, 0, 0, 0, 120, 17.75, 19, 16.5 },
};

START_TEST(loss)
{
    struct fci_curve *curve = fci_curve_new(opening, 3);
    const fc_range any = { true, 0.5, 0, 1 };
    const fc_loss l = { .kind = losses[_i].kind,
                        .pressure = pa2(losses[_i].low, losses[_i].high),
                        .flow = fc_exactly(losses[_i].at_gpm * GPM) };
    const double flow = losses[_i].flow_gpm * GPM;

    ck_assert_ptr_nonnull(curve);
    ck_assert_double_eq_tol(
        fci_loss_at(&l, curve, NULL, any, flow, FCI_NOMINAL),
        losses[_i].nominal * PSI, TINY);
    ck_assert_double_eq_tol(fci_loss_at(&l, curve, NULL, any, flow, FCI_WORST),
                            losses[_i].worst * PSI, TINY);
    ck_assert_double_eq_tol(fci_loss_at(&l, curve, NULL, any, flow, FCI_BEST),
                            losses[_i].best * PSI, TINY);
    fci_curve_free(curve);
}
END_TEST

/* ---- Elements ---------------------------------------------------------- */

static const fc_site level = { .water_weight = WEIGHT };

static struct fci_pressure
passes(enum fci_kind kind, void *data, struct fci_curve *curve, fc_range rise,
       double in_psi, double flow_gpm, enum fci_end end)
{
    const struct fci_part part = { .kind = kind, .name = "x", .data = data };
    const struct fci_element element = { .part = &part,
                                         .rise = rise,
                                         .curve = curve };
    const struct fci_pressure in = { in_psi * PSI, INFINITY };

    return fci_element_passes(&level, &element, in, flow_gpm * GPM, end);
}

static double
still(enum fci_kind kind, void *data, struct fci_curve *curve, fc_range rise,
      double in_psi, bool trapped, enum fci_end end)
{
    const struct fci_part part = { .kind = kind, .name = "x", .data = data };
    const struct fci_element element = { .part = &part,
                                         .rise = rise,
                                         .curve = curve };

    return fci_element_still(&level, &element, in_psi * PSI, trapped, end);
}

static const fc_range none = { true, 0, 0, 0 };

/* Set to 50 psi, falling off 6 psi at 60 gpm, 3 psi wide open at 30 gpm. */
static const struct {
    double in, flow, direct, capped, out; /* psi, gpm */
} reducers[] = {
    { 80, 0, 80, 50, 50 },  /* at its setting */
    { 80, 30, 77, 47, 47 }, /* 50 - 3 */
    { 80, 60, 68, 44, 44 }, /* four times 3 wide open */
    { 50, 30, 47, 47, 47 }, /* just wide open */
    { 40, 30, 37, 47, 37 }, /* wide open */
    { 49, 0, 49, 50, 49 },
};

START_TEST(reducer)
{
    fc_reducer r = { .set = pa(50),
                     .fall_off = pa(6),
                     .fall_off_flow = fc_exactly(60 * GPM),
                     .loss = { .kind = FC_SQUARE_LOSS,
                               .pressure = pa(3),
                               .flow = fc_exactly(30 * GPM) } };
    const struct fci_pressure p =
        passes(FCI_REDUCER, &r, NULL, none, reducers[_i].in, reducers[_i].flow,
               FCI_NOMINAL);

    ck_assert_double_eq_tol(p.direct, reducers[_i].direct * PSI, TINY);
    ck_assert_double_eq_tol(p.capped, reducers[_i].capped * PSI, TINY);
    ck_assert_double_eq_tol(fci_pressure_of(p), reducers[_i].out * PSI, TINY);
}
END_TEST

/* A second reducer takes the lower of the two caps on; its range of settings
 * is worst where it is low. */
START_TEST(reducers_in_line)
{
    fc_reducer r = { .set = pa2(40, 60) };
    const struct fci_part part = { .kind = FCI_REDUCER,
                                   .name = "x",
                                   .data = &r };
    const struct fci_element element = { .part = &part, .rise = none };
    const struct fci_pressure in = { 80 * PSI, 45 * PSI };

    ck_assert_double_eq_tol(
        fci_element_passes(&level, &element, in, 0, FCI_WORST).capped,
        40 * PSI, TINY);
    ck_assert_double_eq_tol(
        fci_element_passes(&level, &element, in, 0, FCI_NOMINAL).capped,
        45 * PSI, TINY);
    ck_assert_double_eq_tol(
        fci_element_passes(&level, &element, in, 0, FCI_BEST).capped, 45 * PSI,
        TINY);
}
END_TEST

static const fc_point heads[] = { { 0, 30 }, { 60 * GPM, 20 } }; /* m */

START_TEST(pump)
{
    struct fci_curve *curve = fci_curve_new(heads, 2);
    const double given = WEIGHT * 25; /* m, half-way along the line */
    fc_pump p = { .curve = heads, .n_curve = 2 };
    struct fci_pressure out;

    ck_assert_ptr_nonnull(curve);
    out = passes(FCI_PUMP, &p, curve, none, 20, 30, FCI_WORST);
    ck_assert_double_eq_tol(out.direct, 20 * PSI + given, TINY);
    ck_assert(isinf(out.capped));
    p.hold = pa2(50, 54);
    out = passes(FCI_PUMP, &p, curve, none, 20, 30, FCI_WORST);
    ck_assert_double_eq_tol(fci_pressure_of(out), 50 * PSI, TINY);
    out = passes(FCI_PUMP, &p, curve, none, 20, 30, FCI_BEST);
    ck_assert_double_eq_tol(fci_pressure_of(out), 54 * PSI, TINY);
    /* too little comes in: 10 psi and 25 m (35.5 psi) are under 50 */
    out = passes(FCI_PUMP, &p, curve, none, 10, 30, FCI_WORST);
    ck_assert_double_eq_tol(fci_pressure_of(out), 10 * PSI + given, TINY);
    /* 52 psi come in, over the 50 that it holds: it stands still */
    out = passes(FCI_PUMP, &p, curve, none, 52, 30, FCI_WORST);
    ck_assert_double_eq_tol(out.direct, 52 * PSI, TINY);
    ck_assert(isinf(out.capped));
    out = passes(FCI_PUMP, &p, curve, none, 52, 30, FCI_BEST);
    ck_assert_double_eq_tol(fci_pressure_of(out), 54 * PSI, TINY);
    out = passes(FCI_PUMP, &p, curve, none, 60, 30, FCI_BEST);
    ck_assert_double_eq_tol(fci_pressure_of(out), 60 * PSI, TINY);
    /* far beyond its curve, at 240 gpm, it takes 10 m by the straight line and
     * 30 - 10 * 4^2, 130 m, by the square law, in the middle 70 m, as without
     * a hold */
    out = passes(FCI_PUMP, &p, curve, none, 80, 240, FCI_WORST);
    ck_assert_double_eq_tol(fci_pressure_of(out), 80 * PSI - 130 * WEIGHT,
                            TINY);
    out = passes(FCI_PUMP, &p, curve, none, 80, 240, FCI_NOMINAL);
    ck_assert_double_eq_tol(fci_pressure_of(out), 80 * PSI - 70 * WEIGHT,
                            TINY);
    out = passes(FCI_PUMP, &p, curve, none, 80, 240, FCI_BEST);
    ck_assert_double_eq_tol(fci_pressure_of(out), 80 * PSI - 10 * WEIGHT,
                            TINY);
    p.running = FC_NO;
    out = passes(FCI_PUMP, &p, curve, none, 20, 30, FCI_WORST);
    ck_assert_double_eq_tol(fci_pressure_of(out), 20 * PSI, TINY);
    fci_curve_free(curve);
}
END_TEST

/* What stands in a device's line and the sign of a rise. */
START_TEST(rise)
{
    fc_device d = { .loss = { .kind = FC_CONSTANT_LOSS, .pressure = pa(4) } };
    const fc_range up = fc_between(2, 6);
    struct fci_pressure out;

    out = passes(FCI_DEVICE, &d, NULL, up, 30, 10, FCI_NOMINAL);
    ck_assert_double_eq_tol(out.direct, 26 * PSI - 4 * WEIGHT, TINY);
    out = passes(FCI_METER, &d, NULL, up, 30, 10, FCI_WORST);
    ck_assert_double_eq_tol(out.direct, 26 * PSI - 6 * WEIGHT, TINY);
    out = passes(FCI_BACKFLOW, &d, NULL, up, 30, 10, FCI_BEST);
    ck_assert_double_eq_tol(out.direct, 26 * PSI - 2 * WEIGHT, TINY);
    out = passes(FCI_DEVICE, &d, NULL, fc_exactly(-3), 30, 0, FCI_WORST);
    ck_assert_double_eq_tol(out.direct, 26 * PSI + 3 * WEIGHT, TINY);
}
END_TEST

/* ---- At rest ----------------------------------------------------------- */

/* The opening loss is held back for good, but a check valve may also keep a
 * higher pressure in. */
START_TEST(backflow_at_rest)
{
    struct fci_curve *curve = fci_curve_new(opening, 3);
    fc_device d = {
        .kind = FC_BACKFLOW,
        .loss = { .kind = FC_CURVE_LOSS, .points = opening, .n_points = 3 }
    };

    ck_assert_ptr_nonnull(curve);
    ck_assert_double_eq_tol(
        still(FCI_BACKFLOW, &d, curve, none, 60, false, FCI_NOMINAL), 50 * PSI,
        TINY);
    ck_assert_double_eq_tol(
        still(FCI_BACKFLOW, &d, curve, none, 60, true, FCI_NOMINAL), 60 * PSI,
        TINY);
    d.loss = (fc_loss){ .kind = FC_CONSTANT_LOSS, .pressure = pa2(8, 12) };
    ck_assert_double_eq_tol(
        still(FCI_BACKFLOW, &d, NULL, fc_between(1, 3), 60, false, FCI_WORST),
        48 * PSI - 3 * WEIGHT, TINY);
    ck_assert_double_eq_tol(
        still(FCI_BACKFLOW, &d, NULL, fc_between(1, 3), 60, true, FCI_BEST),
        60 * PSI - 1 * WEIGHT, TINY);
    d.loss = (fc_loss){ .kind = FC_SQUARE_LOSS,
                        .pressure = pa(10),
                        .flow = fc_exactly(1) };
    ck_assert_double_eq_tol(
        still(FCI_BACKFLOW, &d, NULL, none, 60, false, FCI_WORST), 60 * PSI,
        TINY);
    fci_curve_free(curve);
}
END_TEST

/* Friction and the losses of meters and devices are gone; a reducer that has
 * a fall-off and a loss wide open stands at its setting. */
START_TEST(others_at_rest)
{
    fc_device d = { .loss = { .kind = FC_CONSTANT_LOSS, .pressure = pa(4) } };
    fc_reducer r = { .set = pa2(40, 60),
                     .fall_off = pa(6),
                     .fall_off_flow = fc_exactly(60 * GPM),
                     .loss = { .kind = FC_CONSTANT_LOSS, .pressure = pa(3) } };
    int trapped;

    for (trapped = 0; trapped < 2; trapped++) {
        ck_assert_double_eq_tol(
            still(FCI_METER, &d, NULL, fc_exactly(2), 60, trapped, FCI_WORST),
            60 * PSI - 2 * WEIGHT, TINY);
        ck_assert_double_eq_tol(
            still(FCI_REDUCER, &r, NULL, none, 80, trapped, FCI_NOMINAL),
            50 * PSI, TINY);
        ck_assert_double_eq_tol(
            still(FCI_REDUCER, &r, NULL, none, 80, trapped, FCI_WORST),
            40 * PSI, TINY);
        ck_assert_double_eq_tol(
            still(FCI_REDUCER, &r, NULL, none, 80, trapped, FCI_BEST),
            60 * PSI, TINY);
        ck_assert_double_eq_tol(
            still(FCI_REDUCER, &r, NULL, none, 45, trapped, FCI_NOMINAL),
            45 * PSI, TINY);
    }
}
END_TEST

/* Half-way along the line a pump gives 25 m (35.5 psi) and holds 50 psi: it
 * asks for 35.5 less up to that, and for all of what is above it. */
START_TEST(pump_asks)
{
    struct fci_curve *curve = fci_curve_new(heads, 2);
    fc_pump p = { .curve = heads, .n_curve = 2, .hold = pa(50) };
    const struct fci_part part = { .kind = FCI_PUMP, .name = "x", .data = &p };
    const struct fci_element element = { .part = &part,
                                         .rise = fc_exactly(2),
                                         .curve = curve };
    const double flow = 30 * GPM;

    ck_assert_ptr_nonnull(curve);
    ck_assert_double_eq_tol(
        fci_element_asks(&level, &element, 50 * PSI, flow, FCI_NOMINAL),
        50 * PSI - 25 * WEIGHT + 2 * WEIGHT, TINY);
    ck_assert_double_eq_tol(
        fci_element_asks(&level, &element, 51 * PSI, flow, FCI_NOMINAL),
        51 * PSI + 2 * WEIGHT, TINY);
    p.running = FC_NO;
    ck_assert_double_eq_tol(
        fci_element_asks(&level, &element, 40 * PSI, flow, FCI_NOMINAL),
        40 * PSI + 2 * WEIGHT, TINY);
    fci_curve_free(curve);
}
END_TEST

/* A reducer set to 50 psi that takes 3 psi wide open never gives 51 psi. */
START_TEST(reducer_asks)
{
    fc_reducer r = { .set = pa(50),
                     .loss = { .kind = FC_CONSTANT_LOSS, .pressure = pa(3) } };
    const struct fci_part part = { .kind = FCI_REDUCER,
                                   .name = "x",
                                   .data = &r };
    const struct fci_element element = { .part = &part, .rise = none };

    ck_assert_double_eq_tol(
        fci_element_asks(&level, &element, 50 * PSI, 0, FCI_NOMINAL), 53 * PSI,
        TINY);
    ck_assert(
        isinf(fci_element_asks(&level, &element, 51 * PSI, 0, FCI_NOMINAL)));
}
END_TEST

/* At shut-off the head is 30 m (42.6 psi).  One that holds 50 psi gives that
 * from 20 psi on; it does not throttle the 70 psi that may come in. */
START_TEST(pump_at_rest)
{
    struct fci_curve *curve = fci_curve_new(heads, 2);
    fc_pump p = { .curve = heads, .n_curve = 2 };

    ck_assert_ptr_nonnull(curve);
    ck_assert_double_eq_tol(
        still(FCI_PUMP, &p, curve, none, 20, true, FCI_NOMINAL),
        20 * PSI + 30 * WEIGHT, TINY);
    p.hold = pa(50);
    ck_assert_double_eq_tol(
        still(FCI_PUMP, &p, curve, none, 20, true, FCI_NOMINAL), 50 * PSI,
        TINY);
    ck_assert_double_eq_tol(
        still(FCI_PUMP, &p, curve, none, 5, false, FCI_NOMINAL),
        5 * PSI + 30 * WEIGHT, TINY);
    ck_assert_double_eq_tol(
        still(FCI_PUMP, &p, curve, none, 70, false, FCI_NOMINAL), 70 * PSI,
        TINY);
    ck_assert_double_eq_tol(
        still(FCI_PUMP, &p, curve, none, 70, true, FCI_NOMINAL), 70 * PSI,
        TINY);
    p.running = FC_NO;
    ck_assert_double_eq_tol(
        still(FCI_PUMP, &p, curve, none, 20, true, FCI_NOMINAL), 20 * PSI,
        TINY);
    fci_curve_free(curve);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("supply");
    TCase *t = tcase_create("sources");

    tcase_add_loop_test(t, tested_main, 0, COUNT(mains));
    tcase_add_loop_test(t, main_is_bounded, 0, COUNT(boxes));
    tcase_add_test(t, untested_main);
    tcase_add_test(t, tank);
    tcase_add_test(t, fixed);
    suite_add_tcase(suite, t);
    t = tcase_create("elements");
    tcase_add_loop_test(t, loss, 0, COUNT(losses));
    tcase_add_loop_test(t, reducer, 0, COUNT(reducers));
    tcase_add_test(t, reducers_in_line);
    tcase_add_test(t, pump);
    tcase_add_test(t, rise);
    suite_add_tcase(suite, t);
    t = tcase_create("rest");
    tcase_add_test(t, backflow_at_rest);
    tcase_add_test(t, others_at_rest);
    tcase_add_test(t, pump_asks);
    tcase_add_test(t, reducer_asks);
    tcase_add_test(t, pump_at_rest);
    suite_add_tcase(suite, t);
    return run_suite(suite);
}
