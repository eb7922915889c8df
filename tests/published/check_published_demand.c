/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/published/check_published_demand.c -- demand tables, flow tests and
 * devices against printed figures.
 *
 * The rows of the tables themselves are compared in
 * unit/check_table_figures.c; here is what the library makes of them.
 */
#include "unit/built_in_tables.h"
#include "laws/curve.h"
#include "peak/source.h"
#include "published/published.h"
#include "tables/table_entries.h"

/* ---- Units to flow ---------------------------------------------------- */

#define IPC_READ                                                              \
    "IPC, Appendix E, Table E103.3(3), read on a public page, "               \
    "engineeringtoolbox.com/wsfu-gpm-d_1074.html"
#define IPC_MEMORY "IPC, Appendix E, Table E103.3(3), from memory"
#define IPC_EXAMPLE                                                           \
    "IPC, Appendix E, E103.3, worked example, read at the next row up, from " \
    "memory"
/* The smallest m with P(X > m) at most 1 % of n valves at p = 9 s / 300 s, of
 * 27 gpm and 10 units each, is 1 from n = 1, 2 from 6 and 3 from 16: the exact
 * binomial, R. B. Hunter, NBS BMS 65 (1940).  The table meets the corners. */
#define HUNTER                                                                \
    "NBS BMS 65 (1940): parameters from memory, binomial computed apart"
#define NSPC                                                                  \
    "National Standard Plumbing Code, Table B.5.4, read on a public page, "   \
    "up.codes/s/demand-gpm-corresponding-to-fixture-load-wsfu"

static const struct {
    const char *source, *table;
    bool valves;
    double units, gpm;
} flows[] = {
    { IPC_READ, "ipc", true, 5, 15 },
    { IPC_READ, "ipc", true, 7, 19.8 },
    { IPC_READ, "ipc", true, 10, 27 },
    { IPC_READ, "ipc", true, 15, 31 },
    { IPC_READ, "ipc", true, 20, 35 },
    { IPC_READ, "ipc", true, 30, 42 },
    { IPC_READ, "ipc", true, 50, 50 },
    { IPC_READ, "ipc", false, 1, 3 },
    { IPC_READ, "ipc", false, 2, 5 },
    { IPC_READ, "ipc", false, 4, 8 },
    { IPC_READ, "ipc", false, 8, 12.8 },
    { IPC_READ, "ipc", false, 12, 16 },
    { IPC_READ, "ipc", false, 15, 17.5 },
    { IPC_READ, "ipc", false, 30, 23.3 },
    { IPC_READ, "ipc", false, 50, 29.1 },
    { IPC_EXAMPLE, "ipc", true, 288, 108.0 },
    { IPC_EXAMPLE, "ipc", true, 264, 104.5 },
    { IPC_EXAMPLE, "ipc", true, 132, 77.0 },
    { IPC_EXAMPLE, "ipc", true, 24, 38.0 },
    { IPC_EXAMPLE, "ipc", true, 12, 28.6 },
    /* on a row it is that row, just above it the next one */
    { IPC_MEMORY, "ipc", true, 300, 108.0 },
    { IPC_MEMORY, "ipc", true, 300.5, 127.0 },
    { IPC_MEMORY, "ipc", true, 1000, 208.0 },
    { IPC_MEMORY, "ipc", false, 1000, 208.0 },
    { HUNTER, "ipc", true, 10, 1 * 27 },
    { HUNTER, "ipc", true, 60, 2 * 27 },
    { HUNTER, "ipc", true, 160, 3 * 27 },
    { NSPC, "nspc", true, 10, 27 },
    { NSPC, "nspc", true, 200, 91 },
    { NSPC, "nspc", true, 500, 140 },
    { NSPC, "nspc", true, 1000, 210 },
};

START_TEST(flow)
{
    const struct fci_curve_rows *rows =
        fci_table_find(tables, FCI_TABLE_DEMAND, flows[_i].table);
    bool beyond = true;
    double got;

    ck_assert_ptr_nonnull(rows);
    got = fci_demand_flow(rows, FC_NEXT_ROW, flows[_i].units, flows[_i].valves,
                          &beyond)
          / GPM;
    ck_assert_msg(fabs(got - flows[_i].gpm) <= EXACT * flows[_i].gpm,
                  "%g units: %.6g gpm, published %.6g: %s", flows[_i].units,
                  got, flows[_i].gpm, flows[_i].source);
    ck_assert(!beyond);
}
END_TEST

/* 77 Ill. Adm. Code 890, Appendix A, Table N, read on a public page,
 * ilga.gov/commission/jcar/admincode/077/07700890ZZ9996anR.html: the curve of
 * NBS BMS 79 for flush tanks, which the Uniform Plumbing Code draws as charts.
 * The code prints 25 gpm at 40 units, rounded; all others as BMS 79. */
static const struct {
    double units, gpm, within;
} tank_curve[] = {
    { 6, 5, EXACT },     { 8, 6.5, EXACT },    { 10, 8, EXACT },
    { 12, 9.2, EXACT },  { 14, 10.4, EXACT },  { 16, 11.6, EXACT },
    { 20, 14, EXACT },   { 25, 17, EXACT },    { 30, 20, EXACT },
    { 35, 22.5, EXACT }, { 40, 25, 0.5 },      { 45, 27, EXACT },
    { 50, 29, EXACT },   { 60, 32, EXACT },    { 70, 35, EXACT },
    { 80, 38, EXACT },   { 90, 41, EXACT },    { 100, 43.5, EXACT },
    { 120, 48, EXACT },  { 140, 52.5, EXACT }, { 160, 57, EXACT },
    { 180, 61, EXACT },  { 200, 65, EXACT },   { 225, 70, EXACT },
    { 250, 75, EXACT },  { 275, 80, EXACT },   { 300, 85, EXACT },
    { 400, 105, EXACT }, { 500, 125, EXACT },
};

START_TEST(tank_row)
{
    bool beyond = true;
    const double got =
        fci_demand_flow(fci_tables_demand(tables, FC_UPC), FC_NEXT_ROW,
                        tank_curve[_i].units, false, &beyond)
        / GPM;

    ck_assert_double_eq_tol(got, tank_curve[_i].gpm, tank_curve[_i].within);
    ck_assert(!beyond);
}
END_TEST

/* ---- Flow tests ------------------------------------------------------- */

static double
main_at(double still, double residual, double tested, double gpm)
{
    const fc_source source = { .name = "main",
                               .kind = FC_STREET_MAIN,
                               .static_pressure = fc_exactly(still * PSI),
                               .residual = fc_exactly(residual * PSI),
                               .residual_flow = fc_exactly(tested * GPM) };

    return fci_source_pressure(&source, (fc_range){ 0 }, 9797, gpm * GPM,
                               FCI_NOMINAL)
           / PSI;
}

/* Water supply analysis slides, read on a public page,
 * tkolb.net/WatSup/sld015.htm and sld016.htm: static 86 psi, residual 42 psi
 * at a pitot pressure of 28 psi in a 2-1/2 in outlet with coefficient 0.80,
 * which is printed as 789 gpm (half a unit of that is 0.05 psi here). Readings
 * of a graph, 1 %; 45.0 psi at 760 gpm is computed apart from
 * 86 - 44 (760/789.2)^(1/0.54), to its last digit. */
#define TESTED (29.83 * 0.80 * 2.5 * 2.5 * sqrt(28)) /* 789.2 gpm */

static const struct {
    double gpm, psi, within;
} hydrant[] = {
    { 500, 67, 0.67 },
    { 750, 46, 0.46 },
    { 789, 42, 0.05 },
    { 760, 45.0, 0.05 },
};

START_TEST(flow_test)
{
    ck_assert_double_eq_tol(main_at(86, 42, TESTED, hydrant[_i].gpm),
                            hydrant[_i].psi, hydrant[_i].within);
}
END_TEST

/* The same test: about 980 gpm at 20 psi, where a graph is read to 1 %.  The
 * pressure falls with the flow, so the flow lies between where it is above and
 * where it is below 20 psi. */
START_TEST(flow_at_20_psi)
{
    ck_assert_double_gt(main_at(86, 42, TESTED, 980 * 0.99), 20);
    ck_assert_double_lt(main_at(86, 42, TESTED, 980 * 1.01), 20);
}
END_TEST

/* NFPA 291, table of h^0.54, from memory: a main that loses 1 psi at 100 gpm
 * loses h psi at 100 h^0.54 gpm.  Half of the last digit printed, 0.005, is
 * 1/0.54 times as much of h. */
static const struct {
    double h, power;
} powers[] = {
    { 10, 3.47 }, { 20, 5.04 }, { 40, 7.33 },
    { 50, 8.27 }, { 70, 9.92 }, { 100, 12.02 },
};

START_TEST(power)
{
    const double h = powers[_i].h;

    ck_assert_double_eq_tol(
        200 - main_at(200, 199, 100, 100 * powers[_i].power), h,
        h * 0.005 / powers[_i].power / 0.54 * 1.01);
}
END_TEST

/* ---- Losses that grow with the square --------------------------------- */

/* International Residential Code, Table P2904.6.2(2), 5/8 in meter, from
 * memory, whole psi; and IPC, Appendix E, loss of pressure through taps, 2 in,
 * from memory, 0.01 psi and at 300 gpm 0.1 psi.  Each from its own row. */
static const struct {
    double psi_of, gpm_of; /* the row the loss is given by */
    double gpm, psi, within;
} squares[] = {
    { 11, 20, 8, 2, 0.5 },          { 11, 20, 10, 3, 0.5 },
    { 11, 20, 12, 4, 0.5 },         { 11, 20, 14, 5, 0.5 },
    { 11, 20, 16, 7, 0.5 },         { 11, 20, 18, 9, 0.5 },
    { 1.12, 100, 30, 0.10, .005 },  { 1.12, 100, 50, 0.28, .005 },
    { 1.12, 100, 80, 0.72, .005 },  { 1.12, 100, 120, 1.61, .005 },
    { 1.12, 100, 200, 4.48, .005 }, { 1.12, 100, 300, 10.1, .05 },
};

START_TEST(square)
{
    const fc_loss loss = { .kind = FC_SQUARE_LOSS,
                           .pressure = fc_exactly(squares[_i].psi_of * PSI),
                           .flow = fc_exactly(squares[_i].gpm_of * GPM) };

    ck_assert_double_eq_tol(fci_loss_at(&loss, NULL, NULL, (fc_range){ 0 },
                                        squares[_i].gpm * GPM, FCI_NOMINAL)
                                / PSI,
                            squares[_i].psi, squares[_i].within);
}
END_TEST

/* ---- A pump ----------------------------------------------------------- */

/* Munson, Young and Okiishi, Fundamentals of Fluid Mechanics, example 12.4:
 * the points of the curve (gpm, ft) read in a public repository, the answer,
 * 1600 gpm and 66.5 ft against 10 + 2.20e-5 Q^2 ft, from memory.  The book
 * reads both off a graph: 1.5 %. */
static const fc_point pump_curve[] = {
    { 0, 88 },    { 400, 86 },  { 800, 81 },  { 1400, 70 },
    { 1800, 60 }, { 2200, 46 }, { 2300, 40 },
};

START_TEST(pump_against_system)
{
    struct fci_curve *curve =
        fci_curve_new(pump_curve, sizeof pump_curve / sizeof *pump_curve);
    double low = 0, high = 2300;
    int step;

    ck_assert_ptr_nonnull(curve);
    for (step = 0; step < 60; step++) {
        const double q = (low + high) / 2;

        if (fci_curve_at(curve, q) > 10 + 2.20e-5 * q * q)
            low = q;
        else
            high = q;
    }
    ck_assert_double_eq_tol(low, 1600, 0.015 * 1600);
    ck_assert_double_eq_tol(fci_curve_at(curve, low), 66.5, 0.015 * 66.5);
    fci_curve_free(curve);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("published demand and supply");
    TCase *tc = tcase_create("rows");

    tcase_add_checked_fixture(tc, read_tables, free_tables);
    tcase_add_loop_test(tc, flow, 0, COUNT(flows));
    tcase_add_loop_test(tc, tank_row, 0, COUNT(tank_curve));
    tcase_add_loop_test(tc, flow_test, 0, COUNT(hydrant));
    tcase_add_test(tc, flow_at_20_psi);
    tcase_add_loop_test(tc, power, 0, COUNT(powers));
    tcase_add_loop_test(tc, square, 0, COUNT(squares));
    tcase_add_test(tc, pump_against_system);
    suite_add_tcase(suite, tc);
    return run_suite(suite);
}
