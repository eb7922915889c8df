/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_table_figures.c -- the built-in tables against the printed
 * ones.
 *
 * The figures were copied from the publications named at each list a second
 * time, as those print them: bores, where tables/ holds outside diameter and
 * wall.  "From memory" marks what could not be read again; a test of such a
 * figure proves the reader, not the figure.
 */
#include "unit/built_in_tables.h"
#include "ini/fields.h"
#include "unit/suite.h"
#include "units/units.h"
#include "unit/us_units.h"

#include <math.h>
#include <string.h>

#define NONE -1.0 /* the table prints none */
#define COUNT(list) (sizeof(list) / sizeof *(list))

/* The same figure but for the rounding of its conversion. */
static void
expect(double got, double want, const char *what, const char *which)
{
    if (want == NONE)
        ck_assert_msg(isnan(got), "%s, %s: %.9g, none is printed", what, which,
                      got);
    else
        ck_assert_msg(fabs(got - want) <= 1e-6 * fabs(want),
                      "%s, %s: %.9g, printed is %.9g", what, which, got, want);
}

/* ---- Bores ------------------------------------------------------------ */

struct bore {
    const char *size;
    double bore;
};

/* ASTM B88, Table 1: outside diameter less two walls, in inches. */
static const struct bore copper_k[] = {
    { "3/8 in", 0.402 },   { "1/2 in", 0.527 },   { "5/8 in", 0.652 },
    { "3/4 in", 0.745 },   { "1 in", 0.995 },     { "1-1/4 in", 1.245 },
    { "1-1/2 in", 1.481 }, { "2 in", 1.959 },     { "2-1/2 in", 2.435 },
    { "3 in", 2.907 },     { "3-1/2 in", 3.385 }, { "4 in", 3.857 },
    { "5 in", 4.805 },     { "6 in", 5.741 },
};
static const struct bore copper_l[] = {
    { "3/8 in", 0.430 },   { "1/2 in", 0.545 },   { "5/8 in", 0.666 },
    { "3/4 in", 0.785 },   { "1 in", 1.025 },     { "1-1/4 in", 1.265 },
    { "1-1/2 in", 1.505 }, { "2 in", 1.985 },     { "2-1/2 in", 2.465 },
    { "3 in", 2.945 },     { "3-1/2 in", 3.425 }, { "4 in", 3.897 },
    { "5 in", 4.875 },     { "6 in", 5.845 },
};
/* Walls of type M from memory. */
static const struct bore copper_m[] = {
    { "3/8 in", 0.450 },   { "1/2 in", 0.569 },   { "3/4 in", 0.811 },
    { "1 in", 1.055 },     { "1-1/4 in", 1.291 }, { "1-1/2 in", 1.527 },
    { "2 in", 2.009 },     { "2-1/2 in", 2.495 }, { "3 in", 2.981 },
    { "3-1/2 in", 3.459 }, { "4 in", 3.935 },     { "5 in", 4.907 },
    { "6 in", 5.881 },
};
/* 2018 International Residential Code, Appendix A, Table A.2.2: the bores of
 * Schedule 40 pipe, printed as such.  3/8 and 3-1/2 in: ASME B36.10M, from
 * memory. */
static const struct bore steel[] = {
    { "3/8 in", 0.493 },   { "1/2 in", 0.622 },   { "3/4 in", 0.824 },
    { "1 in", 1.049 },     { "1-1/4 in", 1.380 }, { "1-1/2 in", 1.610 },
    { "2 in", 2.067 },     { "2-1/2 in", 2.469 }, { "3 in", 3.068 },
    { "3-1/2 in", 3.548 }, { "4 in", 4.026 },     { "5 in", 5.047 },
    { "6 in", 6.065 },
};
/* EN 1057, former Tables X and Y: outside diameter less two walls, in mm. */
static const struct bore thin[] = {
    { "12 mm", 10.8 },   { "15 mm", 13.6 },   { "22 mm", 20.2 },
    { "28 mm", 26.2 },   { "35 mm", 32.6 },   { "42 mm", 39.6 },
    { "54 mm", 51.6 },   { "66.7 mm", 64.3 }, { "76.1 mm", 73.1 },
    { "108 mm", 105.0 }, { "133 mm", 130.0 }, { "159 mm", 155.0 },
};
static const struct bore thick[] = {
    { "12 mm", 10.4 },   { "15 mm", 13.0 },   { "22 mm", 19.6 },
    { "28 mm", 25.6 },   { "35 mm", 32.0 },   { "42 mm", 39.0 },
    { "54 mm", 50.0 },   { "66.7 mm", 62.7 }, { "76.1 mm", 72.1 },
    { "108 mm", 103.0 },
};
/* EN 10312, series 2 and 1: outside diameter less two walls, in mm. */
static const struct bore series_2[] = {
    { "12 mm", 10.0 },   { "15 mm", 13.0 },   { "18 mm", 16.0 },
    { "22 mm", 19.6 },   { "28 mm", 25.6 },   { "35 mm", 32.0 },
    { "42 mm", 39.0 },   { "54 mm", 51.0 },   { "64 mm", 60.0 },
    { "76.1 mm", 72.1 }, { "88.9 mm", 84.9 }, { "108 mm", 104.0 },
    { "133 mm", 127.0 }, { "159 mm", 153.0 },
};
static const struct bore series_1[] = {
    { "15 mm", 13.8 },   { "18 mm", 16.6 },   { "22 mm", 20.6 },
    { "28 mm", 26.4 },   { "35 mm", 33.0 },   { "42 mm", 39.8 },
    { "54 mm", 51.6 },   { "66.7 mm", 64.3 }, { "76.1 mm", 73.1 },
    { "108 mm", 105.0 }, { "133 mm", 130.0 }, { "159 mm", 155.0 },
};

/* AWWA C151, outside diameters and nominal walls, and C104, a lining of 1/16
 * in, from memory: outside diameter less two walls and two linings, in
 * inches. */
static const struct bore class_350[] = {
    { "3 in", 3.335 }, { "4 in", 4.175 },   { "6 in", 6.275 },
    { "8 in", 8.425 }, { "10 in", 10.455 }, { "12 in", 12.515 },
};
static const struct bore class_52[] = {
    { "3 in", 3.275 }, { "4 in", 4.095 },   { "6 in", 6.155 },
    { "8 in", 8.265 }, { "10 in", 10.275 }, { "12 in", 12.335 },
};

static const struct {
    const char *material;
    const struct bore *bores;
    size_t n;
    double unit;
} bores[] = {
    { "copper K", copper_k, COUNT(copper_k), INCH },
    { "copper L", copper_l, COUNT(copper_l), INCH },
    { "copper M", copper_m, COUNT(copper_m), INCH },
    { "steel sch 40", steel, COUNT(steel), INCH },
    { "copper en 1057", thin, COUNT(thin), 1e-3 },
    { "copper en 1057 thick", thick, COUNT(thick), 1e-3 },
    { "stainless en 10312", series_2, COUNT(series_2), 1e-3 },
    { "stainless en 10312 series 1", series_1, COUNT(series_1), 1e-3 },
    { "ductile iron class 350", class_350, COUNT(class_350), INCH },
    { "ductile iron class 52", class_52, COUNT(class_52), INCH },
};

START_TEST(bores_are_as_printed)
{
    const struct fci_material *material =
        fci_tables_material(tables, bores[_i].material);
    size_t i;

    ck_assert_ptr_nonnull(material);
    ck_assert_uint_eq(material->n_sizes, bores[_i].n);
    for (i = 0; i < bores[_i].n; i++) {
        const struct bore *want = &bores[_i].bores[i];
        const struct fci_size *size =
            fci_material_size(material, size_of(want->size));

        ck_assert_msg(size != NULL, "%s %s", bores[_i].material, want->size);
        /* to half the last printed digit, 0.001 in or 0.1 mm */
        ck_assert_msg(fabs(size->bore - want->bore * bores[_i].unit)
                          < (bores[_i].unit < 0.01 ? 0.05e-3 : 0.0005 * INCH),
                      "%s %s: %.6f m", bores[_i].material, want->size,
                      size->bore);
    }
}
END_TEST

/* By the mean wall, from memory, and by the least wall, as ASTM D2846, D1785
 * (F441) and F876 print it; both in inches. */
struct plastic {
    const char *size;
    double mean, least_wall;
};
static const struct plastic cpvc[] = {
    { "1/2 in", 0.469, 0.489 },   { "3/4 in", 0.695, 0.715 },
    { "1 in", 0.901, 0.921 },     { "1-1/4 in", 1.105, 1.125 },
    { "1-1/2 in", 1.309, 1.329 }, { "2 in", 1.716, 1.739 },
};
static const struct plastic pvc[] = {
    { "3/8 in", 0.473, 0.483 },   { "1/2 in", 0.602, 0.608 },
    { "3/4 in", 0.804, 0.810 },   { "1 in", 1.029, 1.033 },
    { "1-1/4 in", 1.360, 1.364 }, { "1-1/2 in", 1.590, 1.592 },
    { "2 in", 2.047, 2.049 },     { "2-1/2 in", 2.445, 2.445 },
    { "3 in", 3.042, 3.042 },     { "3-1/2 in", 3.521, 3.520 },
    { "4 in", 3.998, 3.998 },     { "5 in", 5.016, 5.017 },
    { "6 in", 6.031, NONE },
};
static const struct plastic pex[] = {
    { "3/8 in", 0.350, 0.360 },   { "1/2 in", 0.475, 0.485 },
    { "5/8 in", 0.574, 0.584 },   { "3/4 in", 0.671, 0.681 },
    { "1 in", 0.863, 0.875 },     { "1-1/4 in", 1.054, 1.069 },
    { "1-1/2 in", 1.244, 1.263 }, { "2 in", 1.629, 1.653 },
};

static const struct {
    const char *material;
    const struct plastic *bores;
    size_t n;
} plastics[] = {
    { "cpvc sdr 11", cpvc, COUNT(cpvc) },
    { "pvc sch 40", pvc, COUNT(pvc) },
    { "pex sdr 9", pex, COUNT(pex) },
};

/* A mean wall is no thinner than the least one (0.001 in: both are rounded).
 */
START_TEST(plastic_bores_are_by_the_mean_wall)
{
    const struct fci_material *material =
        fci_tables_material(tables, plastics[_i].material);
    size_t i;

    ck_assert_ptr_nonnull(material);
    ck_assert_uint_eq(material->n_sizes, plastics[_i].n);
    for (i = 0; i < plastics[_i].n; i++) {
        const struct plastic *want = &plastics[_i].bores[i];
        const struct fci_size *size =
            fci_material_size(material, size_of(want->size));

        ck_assert_msg(size != NULL, "%s %s", plastics[_i].material,
                      want->size);
        expect(size->bore, want->mean * INCH, plastics[_i].material,
               want->size);
        if (want->least_wall != NONE)
            ck_assert_msg(size->bore <= (want->least_wall + 0.0011) * INCH,
                          "%s %s", plastics[_i].material, want->size);
    }
}
END_TEST

/* 2018 International Residential Code, Appendix A, Table A.2.2: equivalent
 * feet of Schedule 40 elbows and tees at an L/D printed as 30 and 60.  They
 * come back from the bore within 0.3 in L/D, 1 %. */
static const struct {
    const char *size;
    double elbow, tee;
} by_bore[] = {
    { "1/2 in", 1.55, 3.10 },   { "3/4 in", 2.06, 4.12 },
    { "1 in", 2.62, 5.24 },     { "1-1/4 in", 3.45, 6.90 },
    { "1-1/2 in", 4.02, 8.04 }, { "2 in", 5.17, 10.3 },
    { "2-1/2 in", 6.16, 12.3 }, { "3 in", 7.67, 15.3 },
    { "4 in", 10.1, 20.2 },
};

START_TEST(bore_gives_the_printed_lengths)
{
    const struct fci_material *material =
        fci_tables_material(tables, "steel sch 40");
    const struct fci_size *size =
        fci_material_size(material, size_of(by_bore[_i].size));

    ck_assert_ptr_nonnull(size);
    ck_assert_double_eq_tol(30 * size->bore / FOOT, by_bore[_i].elbow,
                            0.01 * by_bore[_i].elbow);
    ck_assert_double_eq_tol(60 * size->bore / FOOT, by_bore[_i].tee,
                            0.01 * by_bore[_i].tee);
}
END_TEST

/* Illinois Plumbing Code, 77 Ill. Adm. Code 890, Appendix A, Table N: fixture
 * units, flow in gpm, pipe, velocity in ft/s.  The velocities were worked out
 * for type L copper, as they come back from its bores within 5 %. */
static const struct {
    double units, flow;
    const char *size;
    double velocity;
} illinois[] = {
    { 2, 2, "1/2 in", 2.7 },       { 4, 3, "1/2 in", 4.2 },
    { 6, 5, "1/2 in", 7.0 },       { 8, 6.5, "3/4 in", 4.3 },
    { 10, 8, "3/4 in", 5.4 },      { 12, 9.2, "3/4 in", 6.1 },
    { 14, 10.4, "3/4 in", 6.9 },   { 16, 11.6, "3/4 in", 7.7 },
    { 20, 14, "1 in", 5.6 },       { 25, 17, "1 in", 6.6 },
    { 30, 20, "1 in", 8.0 },       { 35, 22.5, "1-1/4 in", 5.7 },
    { 40, 25, "1-1/4 in", 6.3 },   { 45, 27, "1-1/4 in", 6.9 },
    { 50, 29, "1-1/4 in", 7.4 },   { 60, 32, "1-1/2 in", 5.8 },
    { 70, 35, "1-1/2 in", 6.4 },   { 80, 38, "1-1/2 in", 7.2 },
    { 90, 41, "1-1/2 in", 7.5 },   { 100, 43.5, "1-1/2 in", 7.8 },
    { 120, 48, "2 in", 5.0 },      { 140, 52.5, "2 in", 5.4 },
    { 160, 57, "2 in", 5.8 },      { 180, 61, "2 in", 6.1 },
    { 200, 65, "2 in", 6.6 },      { 225, 70, "2 in", 7.1 },
    { 250, 75, "2 in", 7.7 },      { 275, 80, "2-1/2 in", 5.5 },
    { 300, 85, "2-1/2 in", 5.8 },  { 350, 95, "2-1/2 in", 6.5 },
    { 400, 105, "2-1/2 in", 7.1 }, { 450, 115, "2-1/2 in", 8.0 },
    { 500, 125, "3 in", 5.9 },     { 600, 145, "3 in", 6.8 },
    { 750, 170, "3 in", 8.0 },     { 1000, 208, "4 in", 5.7 },
    { 1250, 240, "4 in", 6.4 },    { 1500, 267, "4 in", 7.0 },
    { 1750, 294, "4 in", 7.8 },    { 2000, 320, "6 in", 3.7 },
};

START_TEST(bore_gives_the_printed_velocity)
{
    const struct fci_material *material =
        fci_tables_material(tables, "copper L");
    const struct fci_size *size =
        fci_material_size(material, size_of(illinois[_i].size));
    double velocity;

    ck_assert_ptr_nonnull(size);
    velocity = illinois[_i].flow * GPM
               / (3.14159265358979 / 4 * size->bore * size->bore) / FOOT;
    ck_assert_double_eq_tol(velocity, illinois[_i].velocity,
                            0.05 * illinois[_i].velocity);
}
END_TEST

/* ---- Materials -------------------------------------------------------- */

/* Hazen-Williams C: handbook list (copper 130-140, PVC and CPVC 150,
 * polyethylene 140, galvanized iron 120, aged steel 100, ductile iron 140 and,
 * cement lined, 120); stainless steel by common practice as copper.  Velocity
 * in ft/s: Copper Tube Handbook 8, Chicago Plumbing Code 18-29-604.10.1.2 8;
 * in m/s: EN 806-3 2.0. */
static const struct {
    const char *material, *fittings;
    double c_new, c_aged, velocity, unit;
    bool dn;
} materials[] = {
    { "copper K", "soldered copper", 140, 130, 8, FOOT, true },
    { "copper L", "soldered copper", 140, 130, 8, FOOT, true },
    { "copper M", "soldered copper", 140, 130, 8, FOOT, true },
    { "steel sch 40", "threaded", 120, 100, 8, FOOT, true },
    { "cpvc sdr 11", "soldered copper", 150, 150, 8, FOOT, true },
    { "pvc sch 40", "soldered copper", 150, 150, 8, FOOT, true },
    { "pex sdr 9", "threaded", 150, 140, 8, FOOT, true },
    { "copper en 1057", "capillary metric", 140, 130, 2.0, 1, false },
    { "copper en 1057 thick", "capillary metric", 140, 130, 2.0, 1, false },
    { "stainless en 10312", "capillary metric", 140, 130, 2.0, 1, false },
    { "stainless en 10312 series 1", "capillary metric", 140, 130, 2.0, 1,
      false },
    { "ductile iron class 350", "threaded", 140, 120, 8, FOOT, true },
    { "ductile iron class 52", "threaded", 140, 120, 8, FOOT, true },
};

START_TEST(materials_are_as_listed)
{
    const struct fci_material *material =
        fci_tables_material(tables, materials[_i].material);

    ck_assert_ptr_nonnull(material);
    ck_assert_ptr_nonnull(material->fittings);
    ck_assert_str_eq(material->fittings->head.name, materials[_i].fittings);
    expect(material->c_new, materials[_i].c_new, "c new",
           materials[_i].material);
    expect(material->c_aged, materials[_i].c_aged, "c aged",
           materials[_i].material);
    expect(material->velocity_limit,
           materials[_i].velocity * materials[_i].unit, "velocity",
           materials[_i].material);
    ck_assert_int_eq(material->dn, materials[_i].dn);
}
END_TEST

/* ---- Fittings --------------------------------------------------------- */

#define MOST_COLUMNS 9

struct lengths {
    const char *size;
    double feet[MOST_COLUMNS];
};

/* International Plumbing Code, Appendix E, and Copper Tube Handbook, Table
 * 14.7, from memory; feet. */
static const char *const soldered_columns[] = {
    "elbow 90",   "elbow 45",   "tee branch",      "tee run",     "coupling",
    "ball valve", "gate valve", "butterfly valve", "check valve",
};
static const struct lengths soldered[] = {
    { "3/8 in", { 0.5, NONE, 1.5, NONE, NONE, NONE, NONE, NONE, 1.5 } },
    { "1/2 in", { 1, 0.5, 2, NONE, NONE, NONE, NONE, NONE, 2 } },
    { "5/8 in", { 1.5, 0.5, 2, NONE, NONE, NONE, NONE, NONE, 2.5 } },
    { "3/4 in", { 2, 0.5, 3, NONE, NONE, NONE, NONE, NONE, 3 } },
    { "1 in", { 2.5, 1, 4.5, NONE, NONE, 0.5, NONE, NONE, 4.5 } },
    { "1-1/4 in", { 3, 1, 5.5, 0.5, 0.5, 0.5, NONE, NONE, 5.5 } },
    { "1-1/2 in", { 4, 1.5, 7, 0.5, 0.5, 0.5, NONE, NONE, 6.5 } },
    { "2 in", { 5.5, 2, 9, 0.5, 0.5, 0.5, 0.5, 7.5, 9 } },
    { "2-1/2 in", { 7, 2.5, 12, 0.5, 0.5, NONE, 1, 10, 11.5 } },
    { "3 in", { 9, 3.5, 15, 1, 1, NONE, 1.5, 15.5, 14.5 } },
    { "3-1/2 in", { 9, 3.5, 14, 1, 1, NONE, 2, NONE, 12.5 } },
    { "4 in", { 12.5, 5, 21, 1, 1, NONE, 2, 16, 18.5 } },
    { "5 in", { 16, 6, 27, 1.5, 1.5, NONE, 3, 11.5, 23.5 } },
    { "6 in", { 19, 7, 34, 2, 2, NONE, 3.5, 13.5, 26.5 } },
};

/* Table of the Consortium of Institutes for Decentralized Wastewater Treatment
 * (2008), the twin of UPC Table A 104.4(1); angle valve from memory; feet. */
static const char *const threaded_columns[] = {
    "elbow 90",   "elbow 45",    "tee branch",  "tee run",
    "gate valve", "globe valve", "angle valve",
};
static const struct lengths threaded[] = {
    { "3/8 in", { 1.0, 0.6, 1.5, 0.3, 0.2, 8, 4 } },
    { "1/2 in", { 2.0, 1.2, 3.0, 0.6, 0.4, 15, 8 } },
    { "3/4 in", { 2.5, 1.5, 4.0, 0.8, 0.5, 20, 12 } },
    { "1 in", { 3.0, 1.8, 5.0, 0.9, 0.6, 25, 15 } },
    { "1-1/4 in", { 4.0, 2.4, 6.0, 1.2, 0.8, 35, 18 } },
    { "1-1/2 in", { 5.0, 3.0, 7.0, 1.5, 1.0, 45, 22 } },
    { "2 in", { 7.0, 4.0, 10.0, 2.0, 1.3, 55, 28 } },
    { "2-1/2 in", { 8.0, 5.0, 12.0, 2.5, 1.6, 65, 34 } },
    { "3 in", { 10.0, 6.0, 15.0, 3.0, 2.0, 80, 40 } },
    { "4 in", { 14.0, 8.0, 21.0, 4.0, 2.7, 125, 55 } },
    { "5 in", { 17.0, 10.0, 25.0, 5.0, 3.3, 140, 70 } },
    { "6 in", { 20.0, 12.0, 30.0, 6.0, 4.0, 165, 80 } },
};
/* The same: one column, "coupling / tee run", is two here; swing check. */
static const char *const check_columns[] = { "coupling", "check valve" };
static const struct lengths threaded_checks[] = {
    { "3/8 in", { 0.3, 3 } },    { "1/2 in", { 0.6, 5 } },
    { "3/4 in", { 0.8, 7 } },    { "1 in", { 0.9, 8 } },
    { "1-1/4 in", { 1.2, 11 } }, { "1-1/2 in", { 1.5, 14 } },
    { "2 in", { 2.0, 19 } },     { "2-1/2 in", { 2.5, 22 } },
    { "3 in", { 3.0, 27 } },     { "4 in", { 4.0, 38 } },
    { "5 in", { 5.0, 46 } },     { "6 in", { 6.0, 54 } },
};

/* Illinois Plumbing Code, 77 Ill. Adm. Code 890, Appendix A, Table Q; feet. */
static const char *const illinois_columns[] = {
    "elbow 45",         "elbow 90",    "tee run",    "tee branch",
    "compression stop", "globe valve", "gate valve",
};
static const struct lengths wrought[] = {
    { "1/2 in", { 0.5, 0.5, 0.5, 1, 13, NONE, NONE } },
    { "3/4 in", { 0.5, 1, 0.5, 2, 21, NONE, NONE } },
    { "1 in", { 1, 1, 0.5, 3, 30, NONE, 1 } },
    { "1-1/4 in", { 1, 2, 0.5, 4, NONE, 53, 1 } },
    { "1-1/2 in", { 2, 2, 1, 5, NONE, 66, 2 } },
    { "2 in", { 2, 2, 1, 7, NONE, 90, 2 } },
    { "2-1/2 in", { 3, 2, 2, 9, NONE, NONE, 2 } },
    { "3 in", { 4, 3, NONE, NONE, NONE, NONE, 2 } },
};
static const struct lengths cast[] = {
    { "1/2 in", { 0.5, 1, 0.5, 2, 13, NONE, NONE } },
    { "3/4 in", { 1, 2, 0.5, 3, 21, NONE, NONE } },
    { "1 in", { 2, 4, 0.5, 5, 30, NONE, 1 } },
    { "1-1/4 in", { 2, 5, 1.5, 7, NONE, 53, 1 } }, /* 1.5 as printed */
    { "1-1/2 in", { 3, 8, 1, 9, NONE, 66, 2 } },
    { "2 in", { 5, 11, 2, 12, NONE, 90, 2 } },
    { "2-1/2 in", { 8, 14, 2, 16, NONE, NONE, 2 } },
    { "3 in", { 11, 18, 2, 20, NONE, NONE, 2 } },
};

/* NFPA 13, Schedule 40 at C 120, from memory; feet. */
static const char *const nfpa_columns[] = {
    "elbow 45",   "elbow 90",   "elbow 90 long",
    "tee branch", "gate valve", "check valve",
};
static const struct lengths nfpa[] = {
    { "1 in", { 1, 2, 2, 5, NONE, 5 } },
    { "1-1/4 in", { 1, 3, 2, 6, NONE, 7 } },
    { "1-1/2 in", { 2, 4, 2, 8, NONE, 9 } },
    { "2 in", { 2, 5, 3, 10, 1, 11 } },
    { "2-1/2 in", { 3, 6, 4, 12, 1, 14 } },
    { "3 in", { 3, 7, 5, 15, 1, 16 } },
    { "3-1/2 in", { 3, 8, 5, 17, 1, 19 } },
    { "4 in", { 4, 10, 6, 20, 2, 22 } },
};

static const struct {
    const char *name;
    const char *const *columns;
    size_t n_columns;
    const struct lengths *rows;
    size_t n_rows;
} fittings[] = {
    { "soldered copper", soldered_columns, COUNT(soldered_columns), soldered,
      COUNT(soldered) },
    { "threaded", threaded_columns, COUNT(threaded_columns), threaded,
      COUNT(threaded) },
    { "threaded", check_columns, COUNT(check_columns), threaded_checks,
      COUNT(threaded_checks) },
    { "illinois wrought", illinois_columns, COUNT(illinois_columns), wrought,
      COUNT(wrought) },
    { "illinois cast", illinois_columns, COUNT(illinois_columns), cast,
      COUNT(cast) },
    { "nfpa 13", nfpa_columns, COUNT(nfpa_columns), nfpa, COUNT(nfpa) },
};

START_TEST(fittings_are_as_printed)
{
    const struct fci_fittings *table =
        fci_tables_fittings(tables, fittings[_i].name);
    size_t i, k;
    bool column;

    ck_assert_ptr_nonnull(table);
    ck_assert_uint_eq(table->n_rows, fittings[_i].n_rows);
    for (i = 0; i < fittings[_i].n_rows; i++)
        for (k = 0; k < fittings[_i].n_columns; k++) {
            const struct lengths *row = &fittings[_i].rows[i];
            double length = fci_fittings_length(table, fittings[_i].columns[k],
                                                size_of(row->size), &column);

            ck_assert_msg(column, "%s", fittings[_i].columns[k]);
            expect(length, row->feet[k] == NONE ? NONE : row->feet[k] * FOOT,
                   fittings[_i].columns[k], row->size);
        }
}
END_TEST

/* Common practice: a metric size takes the row of the inch size whose bore is
 * nearest.  The nearest one is looked for here among type L and the thin walls
 * of EN 1057 or, for sizes that standard has not, series 2 of EN 10312. */
START_TEST(metric_fittings_follow_the_nearest_bore)
{
    const struct fci_fittings *metric =
        fci_tables_fittings(tables, "capillary metric");
    const struct fci_fittings *inch =
        fci_tables_fittings(tables, "soldered copper");
    const struct fci_material *l = fci_tables_material(tables, "copper L");
    size_t i, k, best;
    bool column;

    ck_assert_ptr_nonnull(metric);
    ck_assert_uint_eq(metric->n_rows, 15);
    for (i = 0; i < metric->n_rows; i++) {
        const struct fci_size *tube = fci_material_size(
            fci_tables_material(tables, "copper en 1057"), metric->sizes[i]);

        if (!tube)
            tube = fci_material_size(
                fci_tables_material(tables, "stainless en 10312"),
                metric->sizes[i]);
        ck_assert_ptr_nonnull(tube);
        for (k = best = 0; k < l->n_sizes; k++)
            if (fabs(l->sizes[k].bore - tube->bore)
                < fabs(l->sizes[best].bore - tube->bore))
                best = k;
        for (k = 0; k < metric->n_columns; k++) {
            double want = fci_fittings_length(inch, metric->columns[k],
                                              l->sizes[best].nominal, &column);

            expect(fci_fittings_length(metric, metric->columns[k],
                                       metric->sizes[i], &column),
                   isnan(want) ? NONE : want, metric->columns[k], tube->label);
        }
    }
}
END_TEST

/* Every pipe finds its fittings at every size it comes in, but for the one
 * that the threaded table leaves out, and mains. */
START_TEST(every_size_has_its_fittings)
{
    const struct fci_material *material =
        fci_tables_material(tables, materials[_i].material);
    size_t i, missing = 0;
    bool column;

    for (i = 0; i < material->n_sizes; i++)
        if (isnan(fci_fittings_length(material->fittings, "elbow 90",
                                      material->sizes[i].nominal, &column)))
            missing++;
    /* 3-1/2 in of Schedule 40, and 5/8 in of PEX; a main over 6 in */
    ck_assert_uint_eq(missing,
                      strncmp(materials[_i].material, "ductile", 7) == 0
                          ? 3
                          : strcmp(materials[_i].fittings, "threaded") == 0);
}
END_TEST

/* ---- Fixtures --------------------------------------------------------- */

struct units {
    double cold, hot, total; /* total 0: the table has no such row */
};

/* International Plumbing Code 2018: units of Appendix E, Table E103.3(2)
 * (flush valves, tanks, urinals, showers and washing machines from memory);
 * gpm and psi of Table 604.3; size of Table 604.5, read in the Chicago
 * Plumbing Code, Table 18-29-604.5; psi of E103.1 where it differs. */
static const struct {
    const char *name;
    struct units public, private;
    double flow, pressure, quoted;
    const char *size;
} ipc[] = {
    { "water closet, flush valve",
      { 10, 0, 10 },
      { 6, 0, 6 },
      25,
      35,
      15,
      "1 in" },
    { "water closet, blowout, flush valve",
      { 10, 0, 10 },
      { 6, 0, 6 },
      25,
      45,
      25,
      "1 in" },
    { "water closet, flush tank",
      { 5, 0, 5 },
      { 2.2, 0, 2.2 },
      3,
      20,
      8,
      "3/8 in" },
    { "water closet, one-piece, flush tank",
      { 5, 0, 5 },
      { 2.2, 0, 2.2 },
      6,
      20,
      8,
      "1/2 in" },
    { "water closet, flushometer tank",
      { 2, 0, 2 },
      { 2, 0, 2 },
      1.6,
      20,
      NONE,
      "3/8 in" },
    { "urinal, flush valve", { 5, 0, 5 }, { 0, 0, 0 }, 12, 25, 15, "3/4 in" },
    { "urinal, 1 in flush valve",
      { 10, 0, 10 },
      { 0, 0, 0 },
      12,
      25,
      15,
      "3/4 in" },
    { "urinal, flush tank",
      { 3, 0, 3 },
      { 0, 0, 0 },
      NONE,
      NONE,
      8,
      "1/2 in" },
    { "lavatory",
      { 1.5, 1.5, 2.0 },
      { 0.5, 0.5, 0.7 },
      0.8,
      8,
      NONE,
      "3/8 in" },
    { "shower", { 3, 3, 4 }, { 1, 1, 1.4 }, 2.5, 8, NONE, "1/2 in" },
    { "shower, mixing valve",
      { 3, 3, 4 },
      { 1, 1, 1.4 },
      2.5,
      20,
      NONE,
      "1/2 in" },
    { "bathtub", { 3, 3, 4 }, { 1, 1, 1.4 }, 4, 20, NONE, "1/2 in" },
    { "bidet", { 0, 0, 0 }, { 1.5, 1.5, 2 }, 2, 20, NONE, "3/8 in" },
    { "combination fixture",
      { 0, 0, 0 },
      { 2.25, 2.25, 3 },
      4,
      8,
      NONE,
      "1/2 in" },
    { "dishwasher", { 0, 0, 0 }, { 0, 1.4, 1.4 }, 2.75, 8, NONE, "1/2 in" },
    { "drinking fountain",
      { 0.25, 0, 0.25 },
      { 0, 0, 0 },
      0.75,
      8,
      NONE,
      "3/8 in" },
    { "kitchen sink", { 3, 3, 4 }, { 1, 1, 1.4 }, 1.75, 8, NONE, "1/2 in" },
    { "laundry tray", { 0, 0, 0 }, { 1, 1, 1.4 }, 4, 8, NONE, "1/2 in" },
    { "service sink", { 2.25, 2.25, 3 }, { 0, 0, 0 }, 3, 8, NONE, "1/2 in" },
    { "washing machine 8 lb",
      { 2.25, 2.25, 3 },
      { 1, 1, 1.4 },
      NONE,
      NONE,
      NONE,
      "1/2 in" },
    { "washing machine 15 lb",
      { 3, 3, 4 },
      { 0, 0, 0 },
      NONE,
      NONE,
      NONE,
      "1/2 in" },
    { "hose bibb", { 0, 0, 0 }, { 0, 0, 0 }, 5, 8, NONE, "1/2 in" },
    { "bathroom group, flush valve",
      { 0, 0, 0 },
      { 6, 3, 8 },
      25,
      35,
      15,
      NULL },
    { "bathroom group, flush tank",
      { 0, 0, 0 },
      { 2.7, 1.5, 3.6 },
      NONE,
      NONE,
      NONE,
      NULL },
};

static void
expect_units(const struct fci_units_of_use *got, struct units want,
             const char *which)
{
    ck_assert_msg(got->given == (want.total > 0), "%s", which);
    if (!got->given)
        return;
    ck_assert_msg(fabs(got->cold - want.cold) < 1e-9, "%s cold", which);
    ck_assert_msg(fabs(got->hot - want.hot) < 1e-9, "%s hot", which);
    ck_assert_msg(fabs(got->total - want.total) < 1e-9, "%s total", which);
}

static double
times(double figure, double unit)
{
    return figure == NONE ? NONE : figure * unit;
}

START_TEST(ipc_fixtures_are_as_printed)
{
    const char *name = ipc[_i].name;
    const struct fci_fixture_kind *kind =
        fci_tables_fixture(tables, FC_IPC, name);
    int i;

    ck_assert_msg(kind != NULL, "%s", name);
    ck_assert_int_eq(kind->code, FC_IPC);
    expect_units(&kind->units[FC_PUBLIC], ipc[_i].public, name);
    expect_units(&kind->units[FC_PRIVATE], ipc[_i].private, name);
    ck_assert(!kind->units[FC_ASSEMBLY].given);
    for (i = 0; i < 3; i++) /* the same whatever the flush volume */
        ck_assert(!kind->units_above[i].given);
    ck_assert(kind->over == 0);
    expect(kind->flow, times(ipc[_i].flow, GPM), "flow", name);
    expect(kind->pressure, times(ipc[_i].pressure, PSI), "pressure", name);
    expect(kind->quoted_pressure, times(ipc[_i].quoted, PSI), "quoted", name);
    expect(kind->supply_size, ipc[_i].size ? size_of(ipc[_i].size) : NONE,
           "size", name);
    ck_assert_int_eq(kind->falling, FCI_NOT_FALLING);
}
END_TEST

/* Uniform Plumbing Code 2018, Appendix A, Table A 103.1: branch, units
 * private, public, assembly (0: none printed), then above the flush volume in
 * gal (closet valves, and public and assembly of gravity tanks, from memory
 * there). A 104.0: 15 psi with flushometer valves, 8 with tanks.  `cold`,
 * `hot`: what of the total they take, 3/4 each where both are used, from
 * memory. */
static const struct {
    const char *name;
    const char *branch;
    double units[3], above[3], volume, pressure, cold, hot;
    enum fci_falling falling;
} upc[] = {
    { "water closet, flush valve",
      "1 in",
      { 5, 5, 8 },
      { 7, 8, 10 },
      1.6,
      15,
      1,
      0,
      FCI_FALLING_CLOSET },
    { "water closet, blowout, flush valve",
      "1 in",
      { 5, 5, 8 },
      { 7, 8, 10 },
      1.6,
      15,
      1,
      0,
      FCI_FALLING_CLOSET },
    { "water closet, flush tank",
      "1/2 in",
      { 2.5, 2.5, 3.5 },
      { 3, 5.5, 7 },
      1.6,
      8,
      1,
      0,
      FCI_NOT_FALLING },
    { "water closet, flushometer tank",
      "1/2 in",
      { 2.5, 2.5, 3.5 },
      { 0 },
      0,
      8,
      1,
      0,
      FCI_NOT_FALLING },
    { "urinal, flush valve",
      "3/4 in",
      { 3, 4, 5 },
      { 4, 5, 6 },
      1.0,
      15,
      1,
      0,
      FCI_FALLING_URINAL },
    { "urinal, flush tank",
      "1/2 in",
      { 2, 2, 3 },
      { 0 },
      0,
      8,
      1,
      0,
      FCI_NOT_FALLING },
    { "lavatory",
      "1/2 in",
      { 1, 1, 1 },
      { 0 },
      0,
      8,
      0.75,
      0.75,
      FCI_NOT_FALLING },
    { "shower",
      "1/2 in",
      { 2, 2, 0 },
      { 0 },
      0,
      8,
      0.75,
      0.75,
      FCI_NOT_FALLING },
    { "bathtub",
      "1/2 in",
      { 4, 4, 0 },
      { 0 },
      0,
      8,
      0.75,
      0.75,
      FCI_NOT_FALLING },
    { "bathtub, 3/4 in fill valve",
      "3/4 in",
      { 10, 10, 0 },
      { 0 },
      0,
      8,
      0.75,
      0.75,
      FCI_NOT_FALLING },
    { "bidet",
      "1/2 in",
      { 1, 0, 0 },
      { 0 },
      0,
      8,
      0.75,
      0.75,
      FCI_NOT_FALLING },
    { "dishwasher",
      "1/2 in",
      { 1.5, 1.5, 0 },
      { 0 },
      0,
      8,
      0,
      1,
      FCI_NOT_FALLING },
    { "drinking fountain",
      "1/2 in",
      { 0.5, 0.5, 0.75 },
      { 0 },
      0,
      8,
      1,
      0,
      FCI_NOT_FALLING },
    { "hose bibb",
      "1/2 in",
      { 2.5, 2.5, 0 },
      { 0 },
      0,
      8,
      1,
      0,
      FCI_NOT_FALLING },
    { "hose bibb, each further",
      "1/2 in",
      { 1, 1, 0 },
      { 0 },
      0,
      8,
      1,
      0,
      FCI_NOT_FALLING },
    { "kitchen sink",
      "1/2 in",
      { 1.5, 1.5, 0 },
      { 0 },
      0,
      8,
      0.75,
      0.75,
      FCI_NOT_FALLING },
    { "laundry tray",
      "1/2 in",
      { 1.5, 1.5, 0 },
      { 0 },
      0,
      8,
      0.75,
      0.75,
      FCI_NOT_FALLING },
    { "service sink",
      "1/2 in",
      { 1.5, 3, 0 },
      { 0 },
      0,
      8,
      0.75,
      0.75,
      FCI_NOT_FALLING },
    { "bar sink",
      "1/2 in",
      { 1, 2, 0 },
      { 0 },
      0,
      8,
      0.75,
      0.75,
      FCI_NOT_FALLING },
    { "wash-up sink",
      "1/2 in",
      { 0, 2, 0 },
      { 0 },
      0,
      8,
      0.75,
      0.75,
      FCI_NOT_FALLING },
    { "clinical sink",
      "1/2 in",
      { 0, 3, 0 },
      { 0 },
      0,
      8,
      0.75,
      0.75,
      FCI_NOT_FALLING },
    { "clinical sink, flush valve",
      "1 in",
      { 0, 8, 0 },
      { 0 },
      0,
      15,
      1,
      0,
      FCI_NOT_FALLING },
    { "wash fountain",
      "3/4 in",
      { 0, 4, 0 },
      { 0 },
      0,
      8,
      0.75,
      0.75,
      FCI_NOT_FALLING },
    { "washing machine",
      "1/2 in",
      { 4, 4, 0 },
      { 0 },
      0,
      8,
      0.75,
      0.75,
      FCI_NOT_FALLING },
    { "dental cuspidor",
      "1/2 in",
      { 0, 1, 0 },
      { 0 },
      0,
      8,
      1,
      0,
      FCI_NOT_FALLING },
    { "lawn sprinkler",
      NULL,
      { 1, 1, 0 },
      { 0 },
      0,
      8,
      1,
      0,
      FCI_NOT_FALLING },
    { "mobile home",
      NULL,
      { 12, 0, 0 },
      { 0 },
      0,
      8,
      0.75,
      0.75,
      FCI_NOT_FALLING },
};

START_TEST(upc_fixtures_are_as_printed)
{
    /* the order of the columns of the printed table */
    static const fc_use uses[] = { FC_PRIVATE, FC_PUBLIC, FC_ASSEMBLY };
    const char *name = upc[_i].name;
    const struct fci_fixture_kind *kind =
        fci_tables_fixture(tables, FC_UPC, name);
    int i;

    ck_assert_msg(kind != NULL, "%s", name);
    ck_assert_int_eq(kind->code, FC_UPC);
    for (i = 0; i < 3; i++) {
        double all = upc[_i].units[i], above = upc[_i].above[i];

        expect_units(
            &kind->units[uses[i]],
            (struct units){ all * upc[_i].cold, all * upc[_i].hot, all },
            name);
        expect_units(&kind->units_above[uses[i]],
                     (struct units){ above, 0, above }, name);
    }
    expect(kind->over, upc[_i].volume * GALLON, "volume", name);
    expect(kind->pressure, upc[_i].pressure * PSI, "pressure", name);
    ck_assert(isnan(kind->flow)); /* the code gives none */
    expect(kind->supply_size, upc[_i].branch ? size_of(upc[_i].branch) : NONE,
           "branch", name);
    ck_assert_int_eq(kind->falling, upc[_i].falling);
}
END_TEST

/* A fixture that flushes has a valve class to fall back on, of its own kind;
 * no other has. */
static const struct {
    fc_code code;
    const char *name, *valve;
} assumed[] = {
    { FC_IPC, "water closet, flush valve", "siphonic closet 3.5 gal" },
    { FC_IPC, "water closet, blowout, flush valve", "blowout closet 3.5 gal" },
    { FC_IPC, "urinal, flush valve", "urinal 1.0 gal" },
    { FC_IPC, "urinal, 1 in flush valve", "urinal 1.0 gal" },
    { FC_UPC, "water closet, flush valve", "siphonic closet 3.5 gal" },
    { FC_UPC, "water closet, blowout, flush valve", "blowout closet 3.5 gal" },
    { FC_UPC, "urinal, flush valve", "urinal 1.0 gal" },
    { FC_UPC, "clinical sink, flush valve", "siphonic closet 3.5 gal" },
    { FC_IPC, "water closet, flush tank", NULL },
    { FC_UPC, "water closet, flushometer tank", NULL },
    { FC_IPC, "bathroom group, flush valve", "siphonic closet 3.5 gal" },
    { FC_IPC, "bathroom group, flush tank", NULL },
    { FC_UPC, "lavatory", NULL },
};

START_TEST(flush_valves_are_told_apart)
{
    const struct fci_fixture_kind *kind =
        fci_tables_fixture(tables, assumed[_i].code, assumed[_i].name);

    ck_assert_ptr_nonnull(kind);
    ck_assert_int_eq(kind->flushes, assumed[_i].valve != NULL);
    if (assumed[_i].valve) {
        ck_assert_str_eq(kind->valve, assumed[_i].valve);
        ck_assert_ptr_nonnull(fci_tables_valve(tables, kind->valve));
    } else {
        ck_assert_ptr_null(kind->valve);
    }
}
END_TEST

/* International Plumbing Code 2018, Table 604.3, a row of gpm and psi each, by
 * the kinds that stand for it; UPC 2018 prints no such table.  Washing
 * machines from memory.  NONE: a flush valve, or what the table lacks. */
static const struct {
    fc_code code;
    const char *name;
    double rate, pressure;
} outlets[] = {
    { FC_IPC, "bathtub", 4, 20 },
    { FC_IPC, "bidet", 2, 20 },
    { FC_IPC, "combination fixture", 4, 8 },
    { FC_IPC, "dishwasher", 2.75, 8 },
    { FC_IPC, "drinking fountain", 0.75, 8 },
    { FC_IPC, "laundry tray", 4, 8 },
    { FC_IPC, "lavatory", 0.8, 8 },
    { FC_IPC, "shower", 2.5, 8 },
    { FC_IPC, "shower, mixing valve", 2.5, 20 },
    { FC_IPC, "hose bibb", 5, 8 },
    { FC_IPC, "kitchen sink", 1.75, 8 },
    { FC_IPC, "service sink", 3, 8 },
    { FC_IPC, "water closet, flushometer tank", 1.6, 20 },
    { FC_IPC, "water closet, flush tank", 3, 20 },
    { FC_IPC, "washing machine 8 lb", 4, 8 },
    { FC_IPC, "washing machine 15 lb", 4, 8 },
    { FC_IPC, "urinal, flush tank", NONE, NONE },
    { FC_IPC, "urinal, flush valve", NONE, NONE },
    { FC_IPC, "water closet, flush valve", NONE, NONE },
    { FC_IPC, "bathroom group, flush tank", NONE, NONE },
    { FC_UPC, "water closet, flush tank", 3, 20 },
    { FC_UPC, "water closet, flushometer tank", 1.6, 20 },
    { FC_UPC, "lavatory", 0.8, 8 },
    { FC_UPC, "shower", 2.5, 8 },
    { FC_UPC, "bathtub", 4, 20 },
    { FC_UPC, "bathtub, 3/4 in fill valve", NONE, NONE },
    { FC_UPC, "bidet", 2, 20 },
    { FC_UPC, "dishwasher", 2.75, 8 },
    { FC_UPC, "drinking fountain", 0.75, 8 },
    { FC_UPC, "hose bibb", 5, 8 },
    { FC_UPC, "hose bibb, each further", 5, 8 },
    { FC_UPC, "kitchen sink", 1.75, 8 },
    { FC_UPC, "laundry tray", 4, 8 },
    { FC_UPC, "service sink", 3, 8 },
    { FC_UPC, "bar sink", 1.75, 8 },
    { FC_UPC, "washing machine", 4, 8 },
    { FC_UPC, "wash-up sink", NONE, NONE },
    { FC_UPC, "clinical sink", NONE, NONE },
    { FC_UPC, "clinical sink, flush valve", NONE, NONE },
    { FC_UPC, "urinal, flush tank", NONE, NONE },
    { FC_UPC, "water closet, flush valve", NONE, NONE },
    { FC_UPC, "lawn sprinkler", NONE, NONE },
};

START_TEST(outlets_are_as_printed)
{
    const char *name = outlets[_i].name;
    const struct fci_fixture_kind *kind =
        fci_tables_fixture(tables, outlets[_i].code, name);

    ck_assert_msg(kind != NULL, "%s", name);
    ck_assert_int_eq(kind->outlet_rate.given, outlets[_i].rate != NONE);
    ck_assert_int_eq(kind->outlet_pressure.given, outlets[_i].rate != NONE);
    if (outlets[_i].rate == NONE)
        return;
    expect(kind->outlet_rate.nominal, outlets[_i].rate * GPM, "rate", name);
    expect(kind->outlet_pressure.nominal, outlets[_i].pressure * PSI,
           "pressure", name);
}
END_TEST

/* ---- Demand ----------------------------------------------------------- */

struct demand {
    double units, tank, valve;
};

/* International Plumbing Code, Appendix E, Table E103.3(3); gpm.  Read: tank
 * at 1, 2, 4, 8, 12, 15, 30, 50, valve at 5, 7, 10, 15, 20, 30, 50; all others
 * from memory. */
static const struct demand ipc_demand[] = {
    { 1, 3.0, NONE },       { 2, 5.0, NONE },       { 3, 6.5, NONE },
    { 4, 8.0, NONE },       { 5, 9.4, 15.0 },       { 6, 10.7, 17.4 },
    { 7, 11.8, 19.8 },      { 8, 12.8, 22.2 },      { 9, 13.7, 24.6 },
    { 10, 14.6, 27.0 },     { 11, 15.4, 27.8 },     { 12, 16.0, 28.6 },
    { 13, 16.5, 29.4 },     { 14, 17.0, 30.2 },     { 15, 17.5, 31.0 },
    { 16, 18.0, 31.8 },     { 17, 18.4, 32.6 },     { 18, 18.8, 33.4 },
    { 19, 19.2, 34.2 },     { 20, 19.6, 35.0 },     { 25, 21.5, 38.0 },
    { 30, 23.3, 42.0 },     { 35, 24.9, 44.0 },     { 40, 26.3, 46.0 },
    { 45, 27.7, 48.0 },     { 50, 29.1, 50.0 },     { 60, 32.0, 54.0 },
    { 70, 35.0, 58.0 },     { 80, 38.0, 61.2 },     { 90, 41.0, 64.3 },
    { 100, 43.5, 67.5 },    { 120, 48.0, 73.0 },    { 140, 52.5, 77.0 },
    { 160, 57.0, 81.0 },    { 180, 61.0, 85.5 },    { 200, 65.0, 90.0 },
    { 225, 70.0, 95.5 },    { 250, 75.0, 101.0 },   { 275, 80.0, 104.5 },
    { 300, 85.0, 108.0 },   { 400, 105.0, 127.0 },  { 500, 124.0, 143.0 },
    { 750, 170.0, 177.0 },  { 1000, 208.0, 208.0 }, { 1250, 239.0, 239.0 },
    { 1500, 269.0, 269.0 }, { 1750, 297.0, 297.0 }, { 2000, 325.0, 325.0 },
    { 2500, 380.0, 380.0 }, { 3000, 433.0, 433.0 }, { 4000, 525.0, 525.0 },
    { 5000, 593.0, 593.0 },
};

/* NBS Report BMS 79 (1941) and ASA A40.8-1955, from memory; gpm. */
static const struct demand upc_demand[] = {
    { 6, 5, NONE },      { 8, 6.5, NONE },    { 10, 8, 27 },
    { 12, 9.2, 28.6 },   { 14, 10.4, 30.2 },  { 16, 11.6, 31.8 },
    { 18, 12.8, 33.4 },  { 20, 14, 35 },      { 25, 17, 38 },
    { 30, 20, 41 },      { 35, 22.5, 43.8 },  { 40, 24.8, 46.5 },
    { 45, 27, 49 },      { 50, 29, 51.5 },    { 60, 32, 55 },
    { 70, 35, 58.5 },    { 80, 38, 62 },      { 90, 41, 64.8 },
    { 100, 43.5, 67.5 }, { 120, 48, 72.5 },   { 140, 52.5, 77.5 },
    { 160, 57, 82.5 },   { 180, 61, 87 },     { 200, 65, 91.5 },
    { 225, 70, 97 },     { 250, 75, 101 },    { 275, 80, 105.5 },
    { 300, 85, 110 },    { 400, 105, 126 },   { 500, 125, 142 },
    { 750, 170, 178 },   { 1000, 208, 208 },  { 1250, 240, 240 },
    { 1500, 267, 267 },  { 1750, 294, 294 },  { 2000, 321, 321 },
    { 2500, 375, 375 },  { 3000, 432, 432 },  { 4000, 525, 525 },
    { 5000, 593, 593 },  { 10000, 769, 769 },
};

static void
expect_curve(const struct fci_curve_rows *curve, const struct demand *rows,
             size_t n)
{
    char units[24];
    size_t i;

    ck_assert_uint_eq(curve->n, n);
    for (i = 0; i < n; i++) {
        snprintf(units, sizeof units, "%g units", rows[i].units);
        expect(curve->units[i], rows[i].units, "units", units);
        expect(curve->tank[i], times(rows[i].tank, GPM), "tank", units);
        expect(curve->valve[i], times(rows[i].valve, GPM), "valve", units);
    }
}

START_TEST(demand_curves_are_as_printed)
{
    expect_curve(fci_tables_demand(tables, FC_IPC), ipc_demand,
                 COUNT(ipc_demand));
    expect_curve(fci_tables_demand(tables, FC_UPC), upc_demand,
                 COUNT(upc_demand));
}
END_TEST

/* Illinois prints the same curve as Table N, which was read.  Up to 500 units
 * it agrees with the tank column but for 24.8 rounded to 25. */
START_TEST(upc_tank_curve_agrees_with_illinois)
{
    const struct fci_curve_rows *curve = fci_tables_demand(tables, FC_UPC);
    size_t i, k, compared = 0;

    for (i = 0; i < COUNT(illinois) && illinois[i].units <= 500; i++)
        for (k = 0; k < curve->n; k++)
            if (fabs(curve->units[k] - illinois[i].units) < 1e-9) {
                ck_assert_double_eq_tol(curve->tank[k] / GPM, illinois[i].flow,
                                        0.2 + 1e-6);
                compared++;
            }
    /* 33 rows, of which BMS 79 has not 2, 4, 350 and 450 units */
    ck_assert_uint_eq(compared, 33 - 4);
}
END_TEST

/* National Standard Plumbing Code, Table B.5.4, as adopted in New Jersey: four
 * rows that were read. */
START_TEST(nspc_is_kept_apart)
{
    static const struct {
        const char *units;
        double valve;
    } rows[] = {
        { "10", 27 }, { "200", 91 }, { "500", 140 }, { "1000", 210 }
    };
    const struct fci_section *section = NULL;
    size_t i;
    bool amended;

    for (i = 0; i < fci_tables_count(tables); i++) {
        section = fci_tables_section(tables, i, &amended);
        if (strcmp(section->kind, "demand") == 0
            && strcmp(section->name, "nspc") == 0)
            break;
    }
    ck_assert_uint_lt(i, fci_tables_count(tables));
    for (i = 0; i < COUNT(rows); i++) {
        const struct fci_entry *entry =
            fci_section_entry(section, rows[i].units);
        fc_range flow;

        ck_assert_ptr_nonnull(entry);
        ck_assert_int_eq(
            fc_parse(strchr(entry->value, ',') + 2, FC_FLOW, &flow, NULL),
            FC_OK);
        expect(flow.nominal, rows[i].valve * GPM, "valve", rows[i].units);
    }
}
END_TEST

/* Uniform Plumbing Code, Table 610.10, from memory: units of n valves. */
static const struct {
    enum fci_falling falling;
    double cumulative[5], further, six;
} falling[] = {
    { FCI_FALLING_CLOSET, { 40, 70, 90, 105, 115 }, 10, 125 },
    { FCI_FALLING_URINAL, { 20, 35, 45, 53, 58 }, 5, 63 },
};

START_TEST(falling_units_are_as_printed)
{
    const struct fci_falling_units *units =
        fci_tables_falling(tables, falling[_i].falling);
    size_t i;

    ck_assert_ptr_nonnull(units);
    ck_assert_uint_eq(units->n, 5);
    for (i = 0; i < 5; i++)
        expect(units->cumulative[i], falling[_i].cumulative[i], "falling",
               units->head.name);
    expect(units->further, falling[_i].further, "further", units->head.name);
    expect(units->cumulative[4] + units->further, falling[_i].six, "six",
           units->head.name);
}
END_TEST

/* ---- Meters, valves, pressures ---------------------------------------- */

/* AWWA C700 (15 psi by the editions from the 1990s on), C708, C701 and C702,
 * all from memory: gpm.  Of the compound meter half of them are the continuous
 * flows that a city prints: 80, 160, 250, 500 and 800 gpm.  At the least 12.75
 * psi (NAVFAC MO-221, section 4), of 5/8 in 11 (International Residential
 * Code, Table P2904.6.2(2), from memory); of the others a third (common
 * practice). */
static const struct {
    const char *kind;
    double loss, least;
    struct {
        const char *size;
        double flow;
    } rows[5];
} meters[] = {
    { "displacement",
      15,
      12.75,
      { { "5/8 in", 20 },
        { "3/4 in", 30 },
        { "1 in", 50 },
        { "1-1/2 in", 100 },
        { "2 in", 160 } } },
    { "multi-jet",
      15,
      5,
      { { "5/8 in", 20 },
        { "3/4 in", 30 },
        { "1 in", 50 },
        { "1-1/2 in", 100 },
        { "2 in", 160 } } },
    { "turbine class I",
      15,
      5,
      { { "1-1/2 in", 100 },
        { "2 in", 160 },
        { "3 in", 350 },
        { "4 in", 600 },
        { "6 in", 1250 } } },
    { "turbine class II",
      7,
      2.3,
      { { "1-1/2 in", 100 },
        { "2 in", 160 },
        { "3 in", 350 },
        { "4 in", 600 },
        { "6 in", 1250 } } },
    { "compound",
      20,
      6.7,
      { { "2 in", 2 * 80 },
        { "3 in", 2 * 160 },
        { "4 in", 2 * 250 },
        { "6 in", 2 * 500 },
        { "8 in", 2 * 800 } } },
};

START_TEST(meters_are_as_printed)
{
    const struct fci_meter_kind *meter =
        fci_tables_meter(tables, meters[_i].kind);
    const bool disk = strcmp(meters[_i].kind, "displacement") == 0;
    size_t i;

    ck_assert_ptr_nonnull(meter);
    ck_assert_uint_eq(meter->n_sizes, COUNT(meters[_i].rows));
    /* common practice: 1 to 3 psi */
    expect(meter->change_over,
           strcmp(meters[_i].kind, "compound") == 0 ? 3 * PSI : 0,
           "change-over", meters[_i].kind);
    for (i = 0; i < meter->n_sizes; i++) {
        const char *size = meters[_i].rows[i].size;

        expect(meter->sizes[i].nominal, size_of(size), "size", size);
        expect(meter->sizes[i].flow, meters[_i].rows[i].flow * GPM, "flow",
               size);
        expect(meter->sizes[i].loss,
               (disk && meters[_i].rows[i].flow <= 20 ? 11 : meters[_i].least)
                   * PSI,
               "loss", size);
        /* editions before the 1990s, from memory */
        expect(meter->sizes[i].most,
               (disk && meters[_i].rows[i].flow >= 100 ? 20 : meters[_i].loss)
                   * PSI,
               "most", size);
    }
}
END_TEST

/* gpm at psi: IPC 2018, Table 604.3.  Volumes: Energy Policy Act 1992 (1.6
 * gal), EPA WaterSense (1.28 and 0.5 gal), federal limits (1.0 and, from
 * memory, 3.5 gal); 3.5 gal siphonic, 1.1 and 0.125 gal common practice. */
static const struct {
    const char *name;
    double volume, reduced, flow, pressure;
    const char *size;
} valves[] = {
    { "siphonic closet 3.5 gal", 3.5, NONE, 25, 35, "1 in" },
    { "siphonic closet 1.6 gal", 1.6, NONE, 25, 35, "1 in" },
    { "siphonic closet 1.28 gal", 1.28, NONE, 25, 35, "1 in" },
    { "siphonic closet dual 1.6/1.1 gal", 1.6, 1.1, 25, 35, "1 in" },
    { "blowout closet 3.5 gal", 3.5, NONE, 25, 45, "1 in" },
    { "urinal 1.0 gal", 1.0, NONE, 12, 25, "3/4 in" },
    { "urinal 0.5 gal", 0.5, NONE, 12, 25, "3/4 in" },
    { "urinal 0.125 gal", 0.125, NONE, 12, 25, "3/4 in" },
    { "sensor closet dual 1.6/1.1 gal", 1.6, 1.1, 25, 35, "1 in" },
    { "sensor closet 1.28 gal", 1.28, NONE, 25, 35, "1 in" },
    { "sensor urinal 0.5 gal", 0.5, NONE, 12, 25, "3/4 in" },
};

START_TEST(valve_classes_are_as_printed)
{
    const char *name = valves[_i].name;
    const struct fci_valve_class *class = fci_tables_valve(tables, name);
    const fc_valve *valve;

    ck_assert_msg(class != NULL, "%s", name);
    valve = &class->valve;
    ck_assert_str_eq(valve->name, name);
    expect(valve->full_flush.nominal, valves[_i].volume * GALLON, "volume",
           name);
    ck_assert_int_eq(valve->reduced_flush.given, valves[_i].reduced != NONE);
    if (valve->reduced_flush.given)
        expect(valve->reduced_flush.nominal, valves[_i].reduced * GALLON,
               "reduced", name);
    expect(valve->flow.nominal, valves[_i].flow * GPM, "flow", name);
    expect(valve->flow_pressure.nominal, valves[_i].pressure * PSI, "at",
           name);
    expect(valve->minimum_flowing.nominal, valves[_i].pressure * PSI,
           "minimum", name);
    expect(valve->maximum_static.nominal, 80 * PSI, "static", name);
    expect(valve->supply_size.nominal, size_of(valves[_i].size), "size", name);
    if (valve->sensor != FC_YES)
        return;
    /* common practice */
    expect(valve->sensor_delay.nominal, 3, "delay", name);
    expect(valve->hygiene_flush.nominal, 72 * 3600, "hygiene flush", name);
    ck_assert_int_eq(valve->held, FC_ONE_FLUSH);
    if (valve->reduced_flush.given) {
        expect(valve->short_stay.nominal, 8, "short stay", name);
        expect(valve->long_stay.nominal, 60, "long stay", name);
    }
}
END_TEST

/* 15 psi: UPC A 104.0; 25: IPC E103.1, blowout; 35 and 45: IPC 2018, Table
 * 604.3.  80 psi: UPC 608.2.  20 psi: customary, from memory. */
START_TEST(pressures_are_as_quoted)
{
    static const double quoted[] = { 15, 25, 35, 45 };
    const struct fci_quoted_minimum *minima;
    const struct fci_limit *limit;
    size_t i, n = fci_tables_minima(tables, &minima);

    ck_assert_uint_eq(n, COUNT(quoted));
    for (i = 0; i < n; i++)
        expect(minima[i].pressure, quoted[i] * PSI, "minimum",
               minima[i].head.name);
    limit = fci_tables_limit(tables, "maximum static");
    ck_assert_ptr_nonnull(limit);
    expect(limit->pressure, 80 * PSI, "limit", limit->head.name);
    limit = fci_tables_limit(tables, "street main residual");
    ck_assert_ptr_nonnull(limit);
    expect(limit->pressure, 20 * PSI, "limit", limit->head.name);
}
END_TEST

/* Common practice, as lib/flushcalc/diagnose.h orders the faults: the weight
 * of each against that of a device, and how much is tried, which `unit` turns
 * to SI; of what can only be more both ends are the most. */
static const struct {
    const char *name;
    double prior, run_prior, pipe_prior, unit, scale, low, high;
} faults[] = {
    { "supply pressure", 1, 0, 0, PSI, 10, -100, 100 },
    { "supply sag", 1, 0, 0, PSI, 10, 30000, 30000 },
    { "reducer setting", 1, 0, 0, PSI, 10, -100, 100 },
    { "pipe roughness", 1, 0.5, 0.3, 1, 0, 20, 155 },
    { "blocked", 1, 0, 0.3, PSI, 10, 30000, 30000 },
    { "smaller size", 0.2, 0, 0, 1, 0, 0, 0 },
    { "larger size", 0.1, 0, 0, 1, 0, 0, 0 },
    { "height", 0.15, 0, 0, FOOT, 10, -60, 60 },
    { "stop throttled", 1, 0, 0, PSI, 10, 30000, 30000 },
    { "valve rate", 0.2, 0, 0, 1, 0, 0.2, 1.5 },
    { "running outlet", 0.3, 0, 0, GPM, 10, 60, 60 },
    { "pump off", 1, 0, 0, 1, 0, 0, 0 },
    { "pump weak", 0.5, 0, 0, PSI, 10, 30000, 30000 },
    { "holds back", 0.5, 0, 0.005, PSI, 10, 20, 20 },
    { "loses less", 0.4, 0, 0, 1, 0, 0.02, 1 },
    { "gauge off", 0.15, 0, 0, PSI, 10, -20, 20 },
    { "changed", 0.1, 0, 0, 1, 5, 0, 0 },
    { "wrong reading", 0.03, 0, 0, 1, 5, 0, 0 },
    { "valve volume", 1, 0, 0, 1, 0, 0.1, 6 },
    { "prv not listed", 0.5, 0, 0, PSI, 10, 20, 125 },
};

_Static_assert(COUNT(faults) == FCI_FAULTS, "a fault is left out");

START_TEST(faults_are_as_is_usual)
{
    const struct fci_usual_fault *usual =
        fci_tables_fault(tables, (fc_cause_kind)_i);
    const double unit = faults[_i].unit;
    const char *name = faults[_i].name;

    ck_assert_str_eq(usual->head.name, name);
    expect(usual->prior.nominal, faults[_i].prior, "prior", name);
    expect(usual->run_prior.nominal, faults[_i].run_prior, "run", name);
    expect(usual->pipe_prior.nominal, faults[_i].pipe_prior, "pipe", name);
    expect(usual->scale.nominal, faults[_i].scale * unit, "scale", name);
    expect(usual->range.low, faults[_i].low * unit, "low", name);
    expect(usual->range.high, faults[_i].high * unit, "high", name);
    expect(usual->shut.nominal, _i == FC_STOP_THROTTLED ? 200 * PSI : 0,
           "shut above", name);
    expect(usual->inlet.low, _i == FC_HEIGHT ? -25 * FOOT : 0, "inlet", name);
    expect(usual->inlet.high, _i == FC_HEIGHT ? 25 * FOOT : 0, "inlet", name);
}
END_TEST

/* ---- All of it -------------------------------------------------------- */

#define LOOP(tcase, test, list)                                               \
    tcase_add_loop_test(tcase, test, 0, (int)COUNT(list))

int
main(void)
{
    Suite *suite = suite_create("table figures");
    TCase *tcase = tcase_create("figures");

    tcase_add_unchecked_fixture(tcase, read_tables, free_tables);
    LOOP(tcase, bores_are_as_printed, bores);
    LOOP(tcase, plastic_bores_are_by_the_mean_wall, plastics);
    LOOP(tcase, bore_gives_the_printed_lengths, by_bore);
    LOOP(tcase, bore_gives_the_printed_velocity, illinois);
    LOOP(tcase, materials_are_as_listed, materials);
    LOOP(tcase, fittings_are_as_printed, fittings);
    tcase_add_test(tcase, metric_fittings_follow_the_nearest_bore);
    LOOP(tcase, every_size_has_its_fittings, materials);
    LOOP(tcase, ipc_fixtures_are_as_printed, ipc);
    LOOP(tcase, upc_fixtures_are_as_printed, upc);
    LOOP(tcase, flush_valves_are_told_apart, assumed);
    LOOP(tcase, outlets_are_as_printed, outlets);
    tcase_add_test(tcase, demand_curves_are_as_printed);
    tcase_add_test(tcase, upc_tank_curve_agrees_with_illinois);
    tcase_add_test(tcase, nspc_is_kept_apart);
    LOOP(tcase, falling_units_are_as_printed, falling);
    LOOP(tcase, meters_are_as_printed, meters);
    LOOP(tcase, valve_classes_are_as_printed, valves);
    tcase_add_test(tcase, pressures_are_as_quoted);
    LOOP(tcase, faults_are_as_is_usual, faults);
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
