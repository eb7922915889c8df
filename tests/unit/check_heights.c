/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_heights.c -- elevations in place of rises, and floors that
 * they are over. */
#include "generators/sites.h"
#include "variants/vary.h"

#include <math.h>

#define HEAD                                                                  \
    "[site]\nmaterial = copper L\ncondition = new\n"                          \
    "[valve v]\nminimum flowing = 20 psi\nflow = 25 gpm at 35 psi\n"          \
    "full flush = 1.6 gal\n"
#define MAIN                                                                  \
    "[source main]\nkind = street main\nwithin = 0 psi\n"                     \
    "static = 75 psi\nresidual = 65 psi\nresidual flow = 300 gpm\n"
#define PIPE "fittings = none\nsize = 2 in\nlength = 40 ft\n"
#define CLOSET "kind = water closet, flush valve\nexisting = v\n"

/* One building: floors at 0, 14 and 26 ft, the gauge of the main at -3 ft, a
 * closet 1 ft above each pipe, a filter 2 ft up on the way. */
static const char *const same[] = {
    HEAD MAIN "elevation = -3 ft\n"
              "[pipe a]\nfrom = main\n" PIPE "rise = 3 ft\n"
              "[device f]\nfrom = a\nloss = 2 psi at 40 gpm\nrise = 2 ft\n"
              "[pipe b]\nfrom = f\n" PIPE "rise = 12 ft\n"
              "[pipe c]\nfrom = b\n" PIPE "rise = 12 ft\n"
              "[fixture x]\non = b\nrise = 1 ft\n" CLOSET
              "[fixture y]\non = c\nrise = 1 ft\n" CLOSET,
    HEAD MAIN "elevation = -3 ft\n"
              "[pipe a]\nfrom = main\n" PIPE "elevation = 0 ft\n"
              "[device f]\nfrom = a\nloss = 2 psi at 40 gpm\n"
              "elevation = 2 ft\n"
              "[pipe b]\nfrom = f\n" PIPE "elevation = 14 ft\n"
              "[pipe c]\nfrom = b\n" PIPE "elevation = 26 ft\n"
              "[fixture x]\non = b\nelevation = 15 ft\n" CLOSET
              "[fixture y]\non = c\nelevation = 27 ft\n" CLOSET,
    HEAD MAIN "elevation = -3 ft\n"
              "[pipe a]\nfrom = main\n" PIPE "elevation = floor Ground\n"
              "[device f]\nfrom = a\nloss = 2 psi at 40 gpm\n"
              "elevation = floor ground + 24 in\n"
              "[pipe b]\nfrom = f\n" PIPE "elevation = floor 2\n"
              "[pipe c]\nfrom = b\n" PIPE "elevation = floor 3\n"
              "[fixture x]\non = b\nelevation = Floor 3 - 11 ft\n" CLOSET
              "[fixture y]\non = c\nrise = 1 ft\n" CLOSET
              "[floors]\nground = 0 ft\n2 = 14 ft\n3 = 26 ft\n",
};

static fc_check_result *
checked(const fc_site *site)
{
    fc_check_result *result = NULL;

    ck_assert_int_eq(fc_check(site, &result, NULL), FC_OK);
    return result;
}

static void
near(double got, double want)
{
    ck_assert_double_eq_tol(got, want, 1e-3);
}

static void
same_state(const fc_check_result *a, const fc_check_result *b)
{
    size_t i;

    ck_assert_uint_eq(a->n_fixtures, b->n_fixtures);
    for (i = 0; i < a->n_fixtures; i++) {
        const fc_fixture_state *x = &a->fixtures[i].states[0];
        const fc_fixture_state *y = &b->fixtures[i].states[0];

        near(x->flowing.nominal, y->flowing.nominal);
        near(x->flowing.low, y->flowing.low);
        near(x->flowing.high, y->flowing.high);
        near(x->alone.low, y->alone.low);
        near(x->alone.high, y->alone.high);
        near(a->fixtures[i].static_pressure.low,
             b->fixtures[i].static_pressure.low);
        near(a->fixtures[i].elevation, b->fixtures[i].elevation);
        ck_assert_int_eq((int)x->works, (int)y->works);
    }
}

START_TEST(same_building)
{
    fc_site *rises = site_of(same[0]), *other = site_of(same[_i]), *copy;
    fc_check_result *want = checked(rises), *got = checked(other), *again;

    same_state(got, want);
    /* a copy has what was given, not what was made of it */
    ck_assert_int_eq(fc_site_copy(other, &copy, NULL), FC_OK);
    ck_assert_int_eq(fc_site_finish(copy, NULL), FC_OK);
    again = checked(copy);
    same_state(again, want);
    fc_check_result_free(again);
    fc_check_result_free(got);
    fc_check_result_free(want);
    fc_site_free(copy);
    fc_site_free(other);
    fc_site_free(rises);
}
END_TEST

/* ---- Ranges ------------------------------------------------------------ */

/* Six floors; %s: their elevations. */
#define TOWER                                                                 \
    HEAD MAIN                                                                 \
        "[pipe riser-0]\nfrom = main\n" PIPE                                  \
        "[pipe riser-{floor}]\nfloors = 1..6\nfrom = riser-{floor-1}\n" PIPE  \
        "elevation = floor {floor}\n"                                         \
        "[fixture wc-{floor}]\nfloors = 1..6\non = riser-{floor}\n" CLOSET    \
        "[floors]\n%s"

/* In feet. */
static fc_site *
tower(const double *low, const double *high)
{
    char text[4096], floors[512];
    int i, used = 0;

    for (i = 0; i < 6; i++)
        used +=
            snprintf(floors + used, sizeof floors - (size_t)used,
                     low[i] < high[i] ? "%d = %g..%g ft\n" : "%d = %g ft\n",
                     i + 1, low[i], high[i]);
    snprintf(text, sizeof text, TOWER, floors);
    return site_of(text);
}

/* What is left on a floor hangs on its own elevation alone, however many
 * floors of which the elevation is a range are below it. */
START_TEST(range_of_floors)
{
    static const double low[] = { 1, 12, 24, 36, 48, 60 };
    static const double high[] = { 3, 16, 26, 41, 48, 66 };
    double exact[6];
    fc_site *site = tower(low, high), *at;
    fc_check_result *range = checked(site), *end;
    int i, k, e;

    for (i = 0; i < 6; i++)
        for (e = 0; e < 2; e++) {
            const fc_fixture_state *r = &range->fixtures[i].states[0];

            /* the others somewhere in their ranges */
            for (k = 0; k < 6; k++)
                exact[k] = low[k] + (high[k] - low[k]) * ((i + k) % 3) / 2;
            exact[i] = e ? high[i] : low[i];
            at = tower(exact, exact);
            end = checked(at);
            near(e ? r->flowing.low : r->flowing.high,
                 end->fixtures[i].states[0].flowing.nominal);
            near(e ? range->fixtures[i].static_pressure.low
                   : range->fixtures[i].static_pressure.high,
                 end->fixtures[i].static_pressure.nominal);
            fc_check_result_free(end);
            fc_site_free(at);
        }
    fc_check_result_free(range);
    fc_site_free(site);
}
END_TEST

/* One unknown a floor, for all that stands on it. */
START_TEST(one_cause)
{
    static const double low[] = { 0, 12, 24, 36, 48, 60 };
    static const double high[] = { 0, 12, 27, 36, 48, 63 };
    fc_site *site = tower(low, high);
    struct fci_variant v;
    size_t i, floor_3 = SIZE_MAX, floor_6 = SIZE_MAX;

    ck_assert_int_eq(fci_variant_make(&v, site), FC_OK);
    for (i = 0; i < v.n_inputs; i++) {
        if (strcmp(v.inputs[i].what, "elevation") != 0)
            continue;
        ck_assert_int_eq((int)v.inputs[i].cause, FCI_FLOOR);
        ck_assert(!v.inputs[i].usual);
        if (strcmp(v.inputs[i].name, "floor 3") == 0)
            floor_3 = i;
        else if (strcmp(v.inputs[i].name, "floor 6") == 0)
            floor_6 = i;
        else
            ck_abort_msg("an elevation of %s", v.inputs[i].name);
    }
    ck_assert_uint_ne(floor_3, SIZE_MAX);
    ck_assert_uint_ne(floor_6, SIZE_MAX);
    fci_variant_set(&v, floor_3, 27 * FOOT);
    fci_variant_set(&v, floor_6, 60 * FOOT);
    for (i = 0; i < v.site.n_elements; i++) {
        const char *name = v.site.elements[i].name;
        const fc_range rise = v.site.elements[i].rise;

        if (v.site.elements[i].parent == FCI_NONE)
            continue;
        ck_assert_double_eq_tol(rise.low, rise.high, 1e-12);
        ck_assert_double_eq_tol(rise.nominal / FOOT,
                                strcmp(name, "riser-3") == 0   ? 15
                                : strcmp(name, "riser-4") == 0 ? 9
                                : strcmp(name, "riser-0") == 0 ? 0
                                : strcmp(name, "riser-1") == 0 ? 0
                                                               : 12,
                                1e-9);
    }
    fci_variant_free(&v);
    fc_site_free(site);
}
END_TEST

/* A gauge of the main that may be 2 ft higher has as much more to give at an
 * elevation; the surface of a tank gives what it gives. */
static const struct {
    const char *source;
    double apart; /* ft between the best and the worst end */
} sources[] = {
    { "kind = fixed\npressure = 60 psi\nelevation = 0..2 ft\n", 2 },
    { "kind = fixed\npressure = 60 psi\n", 0 },
    { "kind = tank\nwater level = 90 ft\nelevation = 70..72 ft\n", 0 },
    { "kind = tank\nwater level = 90..91 ft\nelevation = 70..72 ft\n", 1 },
};

START_TEST(source_elevation)
{
    char text[1024];
    fc_site *site;
    fc_check_result *result;
    fc_range still;

    snprintf(text, sizeof text,
             HEAD "[source main]\n%s"
                  "[pipe a]\nfrom = main\nfittings = none\nsize = 2 in\n"
                  "length = 90 ft\nelevation = 10 ft\n"
                  "[fixture x]\non = a\n" CLOSET,
             sources[_i].source);
    site = site_of(text);
    result = checked(site);
    still = result->fixtures[0].static_pressure;
    near((still.high - still.low) / site->water_weight / FOOT,
         sources[_i].apart);
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

/* A tolerance of elevations is one error of all, each way. */
START_TEST(tolerance)
{
    static const char text[] = HEAD MAIN
        "[pipe a]\nfrom = main\n" PIPE "elevation = floor 1\n"
        "[pipe b]\nfrom = a\n" PIPE "elevation = floor 2\n"
        "[fixture x]\non = b\n" CLOSET "[floors]\n1 = 10 ft\n2 = 22 ft\n"
        "[tolerance]\nelevation = 6 in\n";
    fc_site *site = site_of(text);
    fc_check_result *result = checked(site);
    struct fci_variant v;
    size_t i, n = 0;

    near((result->fixtures[0].static_pressure.high
          - result->fixtures[0].static_pressure.low)
             / site->water_weight / FOOT,
         1);
    ck_assert_int_eq(fci_variant_make(&v, site), FC_OK);
    for (i = 0; i < v.n_inputs; i++)
        n += strcmp(v.inputs[i].what, "elevation") == 0;
    ck_assert_uint_eq(n, 1);
    fci_variant_free(&v);
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

/* ---- As it is written -------------------------------------------------- */

static const struct {
    const char *value, *written; /* NULL: the same */
} values[] = {
    { "24 ft", NULL },
    { "20..24 ft", NULL },
    { "-3 ft", NULL },
    { "floor 3", NULL },
    { "floor roof", NULL },
    { "FLOOR  Roof", "floor Roof" },
    { "floor 3 + 2 ft", NULL },
    { "floor 3 - 2 ft", NULL },
    { "floor 3 + 1..2 ft", NULL },
    { "floor 3 - 1..2 ft", NULL },
    { "floor 3 +2 ft", "floor 3 + 2 ft" },
    { "floor -1 - 6 in", "floor -1 - 0.5 ft" },
};

START_TEST(written)
{
    const char *want =
        values[_i].written ? values[_i].written : values[_i].value;
    char text[1024], *value = NULL;
    fc_site *site;
    const fc_fixture *x;
    fc_fixture by_call;
    fc_site *calls = fc_site_new();

    snprintf(text, sizeof text,
             "[source main]\nkind = fixed\npressure = 90 psi\n"
             "[fixture x]\non = main\nkind = lavatory\nelevation = %s\n"
             "[floors]\n3 = 30 ft\nroof = 40..44 ft\n-1 = -9 ft\n",
             values[_i].value);
    site = site_of(text);
    ck_assert_int_eq(fc_site_value(site, "x", "elevation", &value, NULL),
                     FC_OK);
    ck_assert_str_eq(value, want);
    free(value);
    ck_assert_int_eq(fc_site_value(site, "floors", "roof", &value, NULL),
                     FC_OK);
    ck_assert_str_eq(value, "40..44 ft");
    free(value);
    /* the same by a call */
    x = site->given[fci_site_find_index(site, FCI_FIXTURE, "x")];
    by_call = *x;
    ck_assert_int_eq(fc_site_add_fixture(calls, &by_call, NULL), FC_OK);
    ck_assert_int_eq(fc_site_value(calls, "x", "elevation", &value, NULL),
                     FC_OK);
    ck_assert_str_eq(value, want);
    free(value);
    fc_site_free(calls);
    fc_site_free(site);
}
END_TEST

/* Floors by calls, one of them changed. */
START_TEST(floors_by_calls)
{
    const fc_floor list[] = { { "1", fc_exactly(0) },
                              { "2", fc_between(3, 4) } };
    const fc_floors floors = { .floors = list, .n_floors = 2 };
    const fc_source source = { .name = "main",
                               .kind = FC_FIXED,
                               .pressure = fc_exactly(400e3) };
    const fc_fixture basin = {
        .name = "x", .on = "main", .kind = "lavatory", .floor = "2"
    };
    fc_site *site = fc_site_new(), *copy = NULL;
    fc_check_result *result;

    ck_assert_int_eq(fc_site_set_floors(site, &floors, NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_source(site, &source, NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_fixture(site, &basin, NULL), FC_OK);
    ck_assert_int_eq(fc_site_finish(site, NULL), FC_OK);
    ck_assert_int_eq(fc_site_copy(site, &copy, NULL), FC_OK);
    ck_assert_int_eq(fc_site_change(copy, "floors", "2", "5 m", NULL), FC_OK);
    ck_assert_int_eq(fc_site_finish(copy, NULL), FC_OK);
    result = checked(copy);
    near(result->fixtures[0].elevation, 5);
    near(result->fixtures[0].static_pressure.high,
         400e3 - 5 * copy->water_weight);
    fc_check_result_free(result);
    fc_site_free(copy);
    fc_site_free(site);
}
END_TEST

static const struct {
    fc_floor list[2];
    const char *said;
} wrong[] = {
    { { { NULL, { true, 1, 1, 1 } }, { "2", { true, 1, 1, 1 } } },
      "has a name that is not the name of one floor" },
    { { { "2..8", { true, 1, 1, 1 } }, { "9", { true, 1, 1, 1 } } },
      "is not the name of one floor" },
    { { { "a", { true, 1, 1, 1 } }, { "A", { true, 2, 2, 2 } } },
      "is given twice" },
    { { { "a", { true, 1, 2, 1 } }, { "b", { true, 2, 2, 2 } } },
      "is not a range of finite figures" },
    { { { "a", { true, NAN, 1, 1 } }, { "b", { true, 2, 2, 2 } } },
      "is not a range of finite figures" },
    { { { "a", { true, 1e12, 1e12, 1e12 } }, { "b", { true, 2, 2, 2 } } },
      "is too large to be true" },
};

START_TEST(wrong_floors)
{
    const fc_floors floors = { .floors = wrong[_i].list, .n_floors = 2 };
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_site *site = fc_site_new();

    ck_assert_int_eq(fc_site_set_floors(site, &floors, messages), FC_OK);
    ck_assert_int_eq(fc_site_finish(site, messages), FC_EINPUT);
    ck_assert_msg(strstr(all_messages(messages), wrong[_i].said) != NULL, "%s",
                  all_messages(messages));
    fc_diagnostics_free(messages);
    fc_site_free(site);
}
END_TEST

static Suite *
heights_suite(void)
{
    Suite *suite = suite_create("heights");
    TCase *t = tcase_create("heights");

    tcase_add_loop_test(t, same_building, 0, COUNT(same));
    tcase_add_test(t, range_of_floors);
    tcase_add_test(t, one_cause);
    tcase_add_loop_test(t, source_elevation, 0, COUNT(sources));
    tcase_add_test(t, tolerance);
    suite_add_tcase(suite, t);
    t = tcase_create("written");
    tcase_add_loop_test(t, written, 0, COUNT(values));
    tcase_add_test(t, floors_by_calls);
    tcase_add_loop_test(t, wrong_floors, 0, COUNT(wrong));
    suite_add_tcase(suite, t);
    return suite;
}

int
main(void)
{
    return run_suite(heights_suite());
}
