/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_vary.c -- a site whose inputs take other values.
 *
 * A variant with an input set must be worked out as the site that reads from
 * the file with that value written in it.
 */
#include "peak/march.h"
#include "generators/buildings.h"
#include "generators/open_valves.h"
#include "generators/sites.h"
#include "variants/vary.h"

#include <math.h>

/* Both are solved to 0.1 Pa. */
#define SOLVED 0.3
/* What an input must move to be tested at all [Pa]: a gauge shows it. */
#define FELT (0.05 * PSI)

/* ---- What a site comes to --------------------------------------------- */

/* Pressures with all valves of x open, at the lavatory meanwhile, and of x at
 * peak. */
struct answer {
    double flowing, beside, peak;
};

static size_t
fixture_of(const fc_site *site, const char *name)
{
    size_t at = 0;

    ck_assert_int_eq(fci_find_fixture_named(site, name, &at, NULL), FC_OK);
    return at;
}

static double
peak_of(const fc_site *site, size_t fixture)
{
    struct fci_demand *demand = fci_demand_new(site, FC_EXISTING);
    struct fci_at_peak *peak = fci_march_peak(site, demand);
    const struct fci_fixture *x = &site->fixtures[fixture];
    const double flow = fci_fixture_flow(site, x, FC_EXISTING).nominal;
    const double left = fci_pressure_of(peak[x->element].at[FCI_NOMINAL])
                        - fci_fixture_drop(site, x, flow, FCI_NOMINAL);

    free(peak);
    free(demand);
    return left;
}

static struct answer
answer_of(const fc_site *site, bool tree)
{
    struct fci_network *network = NULL;
    struct fci_solver *solver;
    struct fci_open open = { fixture_of(site, "x"), 2 };
    struct answer answer = { 0, 0, 0 };

    ck_assert_int_eq(fci_network_new(site, FC_EXISTING, &network, NULL),
                     FC_OK);
    solver = fci_solver_new(network);
    fci_solver_take(solver, FCI_NOMINAL, FCI_NONE);
    ck_assert_int_eq(fci_solver_run(solver, &open, 1), FC_OK);
    answer.flowing = fci_solver_drawn(solver)[0].pressure;
    answer.beside = fci_solver_at_rest(solver, fixture_of(site, "lav"));
    fci_solver_free(solver);
    fci_network_free(network);
    if (tree)
        answer.peak = peak_of(site, open.fixture);
    return answer;
}

static bool
is_same(struct answer a, struct answer b)
{
    return fabs(a.flowing - b.flowing) < SOLVED
           && fabs(a.beside - b.beside) < SOLVED
           && fabs(a.peak - b.peak) < SOLVED;
}

static void
assert_same(struct answer got, struct answer want, const char *what)
{
    ck_assert_msg(is_same(got, want), "%s: %.2f %.2f %.2f, not %.2f %.2f %.2f",
                  what, got.flowing, got.beside, got.peak, want.flowing,
                  want.beside, want.peak);
}

static size_t
input_of(const struct fci_variant *v, const char *name, const char *what)
{
    size_t i;

    for (i = 0; i < v->n_inputs; i++)
        if (strcmp(v->inputs[i].name, name) == 0
            && strcmp(v->inputs[i].what, what) == 0)
            return i;
    ck_abort_msg("there is no %s of %s", what, name);
    return 0;
}

/* ---- Each input ------------------------------------------------------- */

#define VALVE "[valve v]\nflow = 25 gpm at 35 psi\nminimum flowing = 15 psi\n"
#define X                                                                     \
    "[fixture x]\non = p\nkind = water closet, flush valve\ncount = 2\n"      \
    "existing = v\n"
#define LAV "[fixture lav]\non = p\nkind = lavatory\nrise = 2 ft\n"
#define P "[pipe p]\nfrom = main\n"
#define BORE "fittings = none\nc = 130\ninside diameter = 1.25 in\n"
#define FIXED "[source main]\nkind = fixed\npressure = 60 psi\n"
#define BEHIND(keys) FIXED keys P BORE "length = 80 ft\n" X VALVE LAV
#define STREET                                                                \
    P BORE "length = 80 ft\n" X VALVE LAV "[source main]\nkind = street "     \
           "main\n"

static const struct {
    const char *text; /* %s: the value */
    const char *range, *exact;
    const char *name, *what;
} inputs[] = {
    { STREET "static = %s\ntest static = 60 psi\nresidual = 50 psi\nresidual "
             "flow = 100 gpm\n",
      "55..65 psi", "55 psi", "main", "static pressure" },
    { STREET "static = 60 psi\nresidual = %s\nresidual flow = 100 gpm\n",
      "40..56 psi", "40 psi", "main", "residual pressure" },
    { STREET "static = 60 psi\nresidual = 40 psi\nresidual flow = %s\n",
      "60..140 gpm", "60 gpm", "main", "residual flow" },
    { P BORE "length = 80 ft\n" X VALVE LAV
             "[source main]\nkind = fixed\npressure = %s\n",
      "50..70 psi", "70 psi", "main", "pressure" },
    { P BORE
      "length = 80 ft\n" X VALVE LAV
      "[source main]\nkind = tank\nwater level = %s\nelevation = 0 ft\n",
      "100..140 ft", "110 ft", "main", "water level" },
    { P BORE "length = 80 ft\n" X VALVE LAV
             "[source main]\nkind = tank\nwater level = 150 ft\n"
             "elevation = %s\n",
      "0..10 ft", "10 ft", "main", "elevation" },
    { FIXED P BORE "length = %s\n" X VALVE LAV, "60..100 ft", "100 ft", "p",
      "length" },
    { FIXED P BORE "length = 80 ft\nrise = %s\n" X VALVE LAV, "-5..5 ft",
      "3 ft", "p", "rise" },
    { FIXED P
      "inside diameter = 1.25 in\nlength = 80 ft\nc = %s\n" X VALVE LAV,
      "80..140", "80", "p", "C" },
    { FIXED P "c = 130\nlength = 80 ft\ninside diameter = %s\n" X VALVE LAV,
      "1.1..1.4 in", "1.1 in", "p", "inside diameter" },
    { FIXED P
      "length = 80 ft\nmaterial = copper L\ncondition = new\n"
      "fittings = 4 elbow 90\nsize = 1-1/4 in\nrise = %s\n" X VALVE LAV,
      "0..4 ft", "4 ft", "p", "rise" },
    { BEHIND("[meter m]\nfrom = main\nloss = %s\n[pipe q]\nfrom = m\n" BORE
             "length = 10 ft\n[fixture y]\non = q\nkind = lavatory\n"),
      "3..9 psi", "9 psi", "m", "loss" },
    { FIXED "[device f]\nfrom = main\nloss = %s\n[pipe p]\nfrom = f\n" BORE
            "length = 80 ft\n" X VALVE LAV,
      "4..8 psi", "4 psi", "f", "loss" },
    { FIXED "[reducer r]\nfall-off = 0 psi at 10 gpm\nloss = 0 psi\nfrom = "
            "main\nset = %s\n[pipe p]\nfrom = r\n" BORE
            "length = 80 ft\n" X VALVE LAV,
      "40..50 psi", "40 psi", "r", "set pressure" },
    { FIXED "[pump b]\nfrom = main\ncurve = 0 gpm 90 ft, 60 gpm 80 ft, "
            "120 gpm 60 ft\nhold = %s\n[pipe p]\nfrom = b\n" BORE
            "length = 80 ft\n" X VALVE LAV,
      "70..80 psi", "72 psi", "b", "discharge set pressure" },
    { FIXED P BORE "length = 80 ft\n" VALVE LAV X "rise = %s\n", "1..5 ft",
      "5 ft", "x", "rise" },
    { FIXED P BORE "length = 80 ft\n" VALVE LAV X "stop = %s\n", "1..5 psi",
      "5 psi", "x", "loss of the stop" },
    { FIXED P BORE "length = 80 ft\n" X LAV "[valve v]\nflow = %s at 35 psi\n",
      "15..35 gpm", "35 gpm", "v", "rate" },
    { FIXED P BORE "length = 80 ft\n" X VALVE LAV
                   "[demand d]\non = p\nflow = %s\n",
      "5..25 gpm", "25 gpm", "d", "flow" },
};

/* Nothing of x hangs on this meter: to set it must change nothing. */
#define UNFELT 11

START_TEST(each_input)
{
    char text[1024];
    fc_site *ranged, *exact;
    struct fci_variant v;
    fc_range value;
    size_t input;
    struct answer nominal, want;

    snprintf(text, sizeof text, inputs[_i].text, inputs[_i].range);
    ranged = site_of(text);
    snprintf(text, sizeof text, inputs[_i].text, inputs[_i].exact);
    exact = site_of(text);
    ck_assert_int_eq(fci_variant_make(&v, ranged), FC_OK);
    nominal = answer_of(ranged, true);
    want = answer_of(exact, true);
    ck_assert_int_eq(fabs(nominal.flowing - want.flowing) > FELT,
                     _i != UNFELT);
    assert_same(answer_of(&v.site, true), nominal, "nominal");

    input = input_of(&v, inputs[_i].name, inputs[_i].what);
    ck_assert_int_eq(
        fc_parse(inputs[_i].exact, v.inputs[input].dimension, &value, NULL),
        FC_OK);
    fci_variant_set(&v, input, value.nominal);
    assert_same(answer_of(&v.site, true), want, inputs[_i].what);
    fci_variant_reset(&v);
    assert_same(answer_of(&v.site, true), nominal, "reset");
    fci_variant_free(&v);
    fc_site_free(ranged);
    fc_site_free(exact);
}
END_TEST

/* ---- Sizes and a material's C ----------------------------------------- */

#define SIZED(size)                                                           \
    FIXED P "material = copper L\ncondition = new\nlength = 80 ft\n"          \
            "fittings = 6 elbow 90\nsize = " size "\n" X VALVE LAV

START_TEST(sizes)
{
    static const char *const texts[] = { SIZED("1 in"), SIZED("1-1/4 in"),
                                         SIZED("1-1/2 in"), SIZED("2 in") };
    fc_site *ranged = site_of(SIZED("1 in .. 2 in"));
    struct fci_variant v;
    size_t input, k;

    ck_assert_int_eq(fci_variant_make(&v, ranged), FC_OK);
    input = input_of(&v, "p", "size");
    ck_assert_uint_eq(v.inputs[input].n_sizes, COUNT(texts));
    for (k = 0; k < v.inputs[input].n_sizes; k++) {
        fc_site *exact = site_of(texts[k]);

        fci_variant_set_size(&v, input, k);
        assert_same(answer_of(&v.site, true), answer_of(exact, true),
                    texts[k]);
        fc_site_free(exact);
    }
    fci_variant_free(&v);
    fc_site_free(ranged);
}
END_TEST

#define COPPER(c)                                                             \
    FIXED "[pipe o]\nfittings = none\nfrom = main\nmaterial = copper "        \
          "L\nsize = 1-1/4 in\n"                                              \
          "length = 50 ft\n" c                                                \
          "[pipe p]\nfittings = none\nfrom = o\nmaterial = copper L\n"        \
          "size = 1-1/4 in\nlength = 50 ft\n" c X VALVE LAV                   \
          "[pipe s]\nfittings = none\nfrom = main\nmaterial = steel sch "     \
          "40\nsize = 1 in\n"                                                 \
          "length = 9 ft\n[fixture z]\non = s\nkind = lavatory\n"

/* The C of two copper pipes is one input, beside what each has of its own; the
 * steel pipe is another. */
START_TEST(shared_c)
{
    fc_site *ranged = site_of(COPPER("")), *exact;
    struct fci_variant v;
    size_t input, i, n = 0;
    char text[2048];

    ck_assert_int_eq(fci_variant_make(&v, ranged), FC_OK);
    for (i = 0; i < v.n_inputs; i++)
        n += strcmp(v.inputs[i].what, "C") == 0;
    ck_assert_uint_eq(n, 4);
    input = input_of(&v, "copper L", "C");
    ck_assert_uint_eq(v.inputs[input].element, FCI_NONE);
    snprintf(text, sizeof text, COPPER("c = %.17g\n"),
             v.inputs[input].given.low, v.inputs[input].given.low);
    exact = site_of(text);
    fci_variant_set(&v, input, v.inputs[input].given.low);
    assert_same(answer_of(&v.site, true), answer_of(exact, true), "C");
    fc_site_free(exact);
    fci_variant_free(&v);
    fc_site_free(ranged);

    /* a C given alike is one as well, another range another */
    ranged = site_of(COPPER("c = 90..120\n"));
    ck_assert_int_eq(fci_variant_make(&v, ranged), FC_OK);
    ck_assert_uint_eq(v.inputs[input_of(&v, "copper L", "C")].n, 2);
    fci_variant_free(&v);
    fc_site_free(ranged);
    ranged = site_of(COPPER(
        "c = 90..120\n") "[pipe t]\nfittings = none\nfrom = main\n"
                         "material = copper L\nsize = 1 in\nlength = 9 ft\n"
                         "c = 90..119\n[fixture u]\non = t\nkind = "
                         "lavatory\n");
    ck_assert_int_eq(fci_variant_make(&v, ranged), FC_OK);
    ck_assert_uint_eq(v.inputs[input_of(&v, "t", "C")].n, 1);
    fci_variant_free(&v);
    fc_site_free(ranged);
}
END_TEST

/* ---- Tolerances ------------------------------------------------------- */

START_TEST(tolerances)
{
    fc_site *site =
        site_of(FIXED P BORE "length = 80 ft\nrise = 10 ft\n" X VALVE LAV
                             "[tolerance]\npressure = 2 psi\nlength = 10 %\n"
                             "c = 5 %\nelevation = 6 in\n");
    struct fci_variant v;
    const struct fci_input *in;

    ck_assert_int_eq(fci_variant_make(&v, site), FC_OK);
    /* pressure; length, C; the rises of p and lav, off alike */
    ck_assert_uint_eq(v.n_inputs, 4);
    in = &v.inputs[input_of(&v, "main", "pressure")];
    ck_assert_double_eq_tol(in->given.low, 58 * PSI, 1e-6);
    ck_assert_double_eq_tol(in->given.high, 62 * PSI, 1e-6);
    in = &v.inputs[input_of(&v, "p", "length")];
    ck_assert_double_eq_tol(in->given.low, 72 * FOOT, 1e-9);
    in = &v.inputs[input_of(&v, "p", "C")];
    ck_assert_double_eq_tol(in->given.high, 136.5, 1e-9);
    in = &v.inputs[input_of(&v, "all parts", "rise")];
    ck_assert_uint_eq(in->n, 2);
    fci_variant_set(&v, (size_t)(in - v.inputs), in->given.low);
    ck_assert_double_eq_tol(v.given[fixture_of(site, "lav")].rise.nominal,
                            1.5 * FOOT, 1e-9);
    fci_variant_free(&v);
    fc_site_free(site);
}
END_TEST

/* ---- Blocks of floors -------------------------------------------------- */

#define RISERS(floors, rise)                                                  \
    "[pipe r-{floor}]\nfloors = " floors "\nfrom = r-{floor-1}\n"             \
    "length = 14 ft\nrise = " rise "\n" BORE

/* Each block of a typical floor was built alike, and one is not the other,
 * though they have one range. */
START_TEST(blocks)
{
    fc_site *site = site_of(
        FIXED "[pipe r-0]\nfrom = main\nlength = 3 ft\n" BORE RISERS(
            "1..2", "10..12 ft") RISERS("3, 5", "10..12 ft")
            RISERS("4", "10 ft") "[pipe p]\nfrom = r-5\nlength = 1 ft\n" BORE X
                VALVE LAV);
    struct fci_variant v;
    size_t i;

    ck_assert_int_eq(fci_variant_make(&v, site), FC_OK);
    ck_assert_uint_eq(v.n_inputs, 2);
    for (i = 0; i < v.n_inputs; i++) {
        ck_assert_str_eq(v.inputs[i].what, "rise");
        ck_assert_int_eq((int)v.inputs[i].cause, FCI_TYPICAL);
        ck_assert_uint_eq(v.inputs[i].n, 2);
    }
    fci_variant_set(&v, input_of(&v, "each of r-3 and r-5", "rise"),
                    10 * FOOT);
    for (i = 0; i < v.site.n_elements; i++)
        if (strcmp(v.site.elements[i].name, "r-5") == 0)
            ck_assert_double_eq_tol(v.site.elements[i].rise.nominal, 10 * FOOT,
                                    1e-9);
        else if (strcmp(v.site.elements[i].name, "r-1") == 0)
            ck_assert_double_eq_tol(v.site.elements[i].rise.nominal, 11 * FOOT,
                                    1e-9);
    fci_variant_free(&v);
    fc_site_free(site);
}
END_TEST

START_TEST(exact_site)
{
    fc_site *site = site_of(FIXED P BORE "length = 80 ft\n" X VALVE LAV);
    struct fci_variant v;

    ck_assert_int_eq(fci_variant_make(&v, site), FC_OK);
    ck_assert_uint_eq(v.n_inputs, 0);
    fci_variant_free(&v);
    fc_site_free(site);
}
END_TEST

/* ---- What a fault changes --------------------------------------------- */

START_TEST(other_parts)
{
    fc_site *site = site_of(FIXED P BORE "length = 80 ft\n" X VALVE LAV);
    fc_site *other = site_of(
        "[source main]\nkind = fixed\npressure = 50 psi\n" P
        "fittings = none\nc = 60\ninside diameter = 1.1 in\nlength = 80 ft\n" X
        "stop = 4 psi at 20 gpm\n" LAV "[valve v]\nflow = 20 gpm at 35 psi\n");
    struct fci_variant v;
    fc_source *source;
    fc_fixture *x;

    ck_assert_int_eq(fci_variant_make(&v, site), FC_OK);
    source = fci_variant_data(&v, site->order[0]);
    source->pressure = fc_exactly(50 * PSI);
    fci_variant_pipe(&v, site->order[1], 60, 1.1 * INCH);
    x = fci_variant_fixture(&v, fixture_of(site, "x"));
    x->stop = (fc_loss){ .kind = FC_SQUARE_LOSS,
                         .pressure = fc_exactly(4 * PSI),
                         .flow = fc_exactly(20 * GPM) };
    fci_variant_valve(&v, fixture_of(site, "x"), FC_EXISTING)->flow =
        fc_exactly(20 * GPM);
    ck_assert_ptr_null(
        fci_variant_valve(&v, fixture_of(site, "lav"), FC_EXISTING));
    assert_same(answer_of(&v.site, true), answer_of(other, true), "changed");
    fci_variant_reset(&v);
    assert_same(answer_of(&v.site, true), answer_of(site, true), "reset");
    fci_variant_free(&v);
    fc_site_free(site);
    fc_site_free(other);
}
END_TEST

/* ---- Generated buildings ---------------------------------------------- */

/* Within their ranges every pressure lies between those of the two ends. */
START_TEST(within_bounds)
{
    const struct building_plan plan = {
        .fewest = 4, .most = 13, .small = true, .ranges = true
    };
    fc_site *site = building_made((unsigned long)_i + 1, &plan);
    struct fci_network *given = NULL, *drawn = NULL;
    struct fci_variant v;
    struct fci_solver *bounds, *solver;
    size_t i, k;

    ck_assert_int_eq(fci_variant_make(&v, site), FC_OK);
    for (i = 0; i < v.n_inputs; i++) {
        const fc_range g = v.inputs[i].given;

        if (v.inputs[i].sizes)
            fci_variant_set_size(&v, i, v.inputs[i].n_sizes - 1);
        else
            fci_variant_set(&v, i,
                            g.low + (double)(i % 5) / 4 * (g.high - g.low));
    }
    ck_assert_int_eq(fci_network_new(site, FC_EXISTING, &given, NULL), FC_OK);
    ck_assert_int_eq(fci_network_new(&v.site, FC_EXISTING, &drawn, NULL),
                     FC_OK);
    ck_assert(drawn->exact);
    bounds = fci_solver_new(given);
    solver = fci_solver_new(drawn);
    fci_solver_take(solver, FCI_NOMINAL, FCI_NONE);
    for (k = 0; k < site->n_fixtures; k++) {
        const struct fci_open open = { k, 1 };
        double pressure;

        if (!given->outlets[k].flushes)
            continue;
        ck_assert_int_eq(fci_solver_run(solver, &open, 1), FC_OK);
        pressure = fci_solver_drawn(solver)[0].pressure;
        fci_solver_take(bounds, FCI_WORST, k);
        ck_assert_int_eq(fci_solver_run(bounds, &open, 1), FC_OK);
        ck_assert(fci_solver_drawn(bounds)[0].pressure <= pressure + SOLVED);
        fci_solver_take(bounds, FCI_BEST, k);
        ck_assert_int_eq(fci_solver_run(bounds, &open, 1), FC_OK);
        ck_assert(fci_solver_drawn(bounds)[0].pressure >= pressure - SOLVED);
    }
    fci_solver_free(bounds);
    fci_solver_free(solver);
    fci_network_free(given);
    fci_network_free(drawn);
    fci_variant_free(&v);
    fc_site_free(site);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("vary");
    TCase *tests = tcase_create("a site that varies");

    tcase_add_loop_test(tests, each_input, 0, COUNT(inputs));
    tcase_add_test(tests, sizes);
    tcase_add_test(tests, shared_c);
    tcase_add_test(tests, tolerances);
    tcase_add_test(tests, blocks);
    tcase_add_test(tests, exact_site);
    tcase_add_test(tests, other_parts);
    tcase_add_sampled_test(tests, within_bounds, 200);
    suite_add_tcase(suite, tests);
    return run_suite(suite);
}
