/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_demand.c -- peak demand of every element by the code's
 * method.
 *
 * The units and rows are those of International Plumbing Code, Appendix E, and
 * Uniform Plumbing Code, Appendix A, as tables/ holds them with their sources:
 *   IPC  lavatory, public            1.5 cold, 1.5 hot, 2.0 total
 *        closet, flush valve         10 public, 6 private; 25 gpm
 *        urinal, flush valve         5 public; 12 gpm
 *        closet, flush tank          5 public; 3 gpm
 *   UPC  closet, public              5 up to 1.6 gal, 8 above
 *        urinal, public              4 up to 1.0 gal, 5 above
 *        lavatory                    1, three quarters of it cold
 */
#include "generators/demands.h"
#include "generators/sites.h"

#include <math.h>

#define SOURCE "[source main]\nkind = fixed\npressure = 80 psi\n"
#define PIPE(name, from)                                                      \
    "[pipe " name "]\nfittings = none\nfrom = " from                          \
    "\nlength = 1 ft\nc = 140\ninside diameter = 2 in\n"

/* ---- The demand table -------------------------------------------------- */

/* IPC Table E103.3(3): read at the next tabulated row up.  Beyond its last
 * rows, 4000 at 525 and 5000 at 593 gpm: 0.068 gpm a unit. */
static const struct {
    double units;
    bool valves;
    double gpm;
    bool beyond;
} rows[] = {
    { 0, false, 0, false },        { 0, true, 0, false },
    { 0.2, false, 3.0, false },    { 1, false, 3.0, false },
    { 1.1, false, 5.0, false },    { 0.2, true, 15.0, false }, /* - before 5 */
    { 4, true, 15.0, false },      { 5, true, 15.0, false },
    { 5.1, true, 17.4, false },    { 10, true, 27.0, false },
    { 10.001, true, 27.8, false }, { 20, true, 35.0, false },
    { 21, true, 38.0, false },     { 24.9, true, 38.0, false },
    { 24.9, false, 21.5, false },  { 5000, true, 593, false },
    { 4000.5, false, 593, false }, { 6000, true, 661, true },
    { 5100, false, 599.8, true },
};

START_TEST(table_row)
{
    struct fci_tables *tables = NULL;
    bool beyond = !rows[_i].beyond;
    double flow;

    ck_assert_int_eq(fci_tables_read(NULL, &tables, NULL), FC_OK);
    flow = fci_demand_flow(fci_tables_demand(tables, FC_IPC), FC_NEXT_ROW,
                           rows[_i].units, rows[_i].valves, &beyond);
    ck_assert_double_eq_tol(flow / GPM, rows[_i].gpm, 1e-9);
    ck_assert_int_eq(beyond, rows[_i].beyond);
    fci_tables_free(tables);
}
END_TEST

/* Thirty tenths add up to a hair above 3, and still read that row. */
START_TEST(rounding)
{
    struct fci_tables *tables = NULL;
    double units = 0;
    bool beyond;
    int i;

    ck_assert_int_eq(fci_tables_read(NULL, &tables, NULL), FC_OK);
    for (i = 0; i < 30; i++)
        units += 0.1;
    ck_assert(units > 3);
    ck_assert_double_eq_tol(fci_demand_flow(fci_tables_demand(tables, FC_IPC),
                                            FC_NEXT_ROW, units, false, &beyond)
                                / GPM,
                            6.5, 1e-9);
    fci_tables_free(tables);
}
END_TEST

/* ---- One kind of figure at a time -------------------------------------- */

/* Pipe a feeds b and h.  What is added on b, and what each then has. */
static const struct {
    const char *head, *parts;
    double units, gpm[FCI_ENDS]; /* of a */
} singles[] = {
    /* The largest single flow: 25 gpm above the 17.4 gpm of 6 units. */
    { "",
      "[fixture x]\non = b\nkind = water closet, flush valve\n"
      "use = private\n",
      6,
      { 25, 25, 25 } },
    /* Its valve's own, 30 to 34 gpm, above the 27 gpm of 10 units. */
    { "",
      "[fixture x]\non = b\nkind = water closet, flush valve\n"
      "retrofit = v\n[valve v]\nflow = 30..34 gpm at 30 psi\n",
      10,
      { 32, 34, 30 } },
    /* The code's 25 gpm counts above a valve's 20... */
    { "",
      "[fixture x]\non = b\nkind = water closet, flush valve\n"
      "use = private\nretrofit = v\n"
      "[valve v]\nflow = 20 gpm at 30 psi\n",
      6,
      { 25, 25, 25 } },
    /* ...unless the valve's own minima alone count: 17.4 gpm of 6 units. */
    { "[site]\ncode minimum = no\n",
      "[fixture x]\non = b\nkind = water closet, flush valve\n"
      "use = private\nretrofit = v\n"
      "[valve v]\nflow = 20 gpm at 30 psi\nminimum flowing = 15 psi\n",
      6,
      { 20, 20, 20 } },
    /* A flush valve makes its column count: 5 + 1.5 units, row 7. */
    { "",
      "[fixture x]\non = b\nkind = urinal, flush valve\n"
      "[fixture y]\non = b\nkind = lavatory\n",
      6.5,
      { 19.8, 19.8, 19.8 } },
    /* Without one, the flush-tank column: 5 + 1.5 units, row 7. */
    { "",
      "[fixture x]\non = b\nkind = water closet, flush tank\n"
      "[fixture y]\non = b\nkind = lavatory\n",
      6.5,
      { 11.8, 11.8, 11.8 } },
    /* A group counts as often as it has fixtures: 20 units. */
    { "",
      "[fixture x]\non = b\nkind = urinal, flush valve\ncount = 4\n",
      20,
      { 35, 35, 35 } },
    /* Steady draws are added as they are, at their ends. */
    { "",
      "[fixture x]\non = b\nkind = urinal, flush valve\ncount = 4\n"
      "[demand t]\non = h\nflow = 8..12 gpm\n"
      "[demand u]\non = a\nflow = 1 gpm\n",
      20,
      { 46, 48, 44 } },
    /* Units given in place of the table's: a closet's are cold. */
    { "",
      "[fixture x]\non = b\nkind = water closet, flush valve\n"
      "fixture units = 4\n",
      4,
      { 25, 25, 25 } },
    /* Of both waters, each is three quarters; row 8, tank column. */
    { "",
      "[fixture x]\non = b\nkind = lavatory\nfixture units = 10\n",
      7.5,
      { 12.8, 12.8, 12.8 } },
    { "",
      "[fixture x]\non = b\nkind = lavatory\nfixture units = 10\n"
      "[heater w]\non = h\nserves = x\n",
      10,
      { 14.6, 14.6, 14.6 } },
    /* UPC: 5 units with 1.6 gal, 8 with 3.5 or an unknown volume, 27 gpm
     * (row 10) for either. */
    { "[site]\ncode = upc\n",
      "[fixture x]\non = b\nkind = water closet, flush valve\n"
      "retrofit = siphonic closet 1.6 gal\n",
      5,
      { 27, 27, 27 } },
    { "[site]\ncode = upc\n",
      "[fixture x]\non = b\nkind = water closet, flush valve\n"
      "retrofit = siphonic closet 3.5 gal\n",
      8,
      { 27, 27, 27 } },
    { "[site]\ncode = upc\n",
      "[fixture x]\non = b\nkind = water closet, flush valve\n"
      "retrofit = v\n[valve v]\nminimum flowing = 15 psi\n",
      8,
      { 27, 27, 27 } },
    { "[site]\ncode = upc\n",
      "[fixture x]\non = b\nkind = urinal, flush valve\ncount = 3\n"
      "retrofit = v\n[valve v]\nfull flush = 1.1 gal\n",
      15,
      { 31.8, 31.8, 31.8 } },
};

START_TEST(single)
{
    char text[2048];
    struct fci_demand *demand;
    const struct fci_demand *a;
    fc_site *site;
    int end;

    snprintf(text, sizeof text, "%s%s%s", singles[_i].head,
             SOURCE PIPE("a", "main") PIPE("b", "a") PIPE("h", "a"),
             singles[_i].parts);
    site = site_of(text);
    demand = fci_demand_new(site, FC_RETROFIT);
    ck_assert_ptr_nonnull(demand);
    a = demand_at(site, demand, "a");
    ck_assert_double_eq_tol(a->units, singles[_i].units, 1e-9);
    for (end = 0; end < FCI_ENDS; end++)
        ck_assert_double_eq_tol(a->flow[end] / GPM, singles[_i].gpm[end],
                                1e-9);
    free(demand);
    fc_site_free(site);
}
END_TEST

/* Ten public lavatories on b, their heater on h: 15 cold, 15 hot and, where
 * both run in one pipe, 20 units. */
START_TEST(hot_and_cold)
{
    fc_site *site = site_of(
        SOURCE PIPE("a", "main") PIPE("b", "a") PIPE("h", "a")
            PIPE("i", "h") "[fixture l]\non = b\nkind = lavatory\ncount = 10\n"
                           "[heater w]\non = i\nserves = l\n");
    struct fci_demand *d = fci_demand_new(site, FC_EXISTING);
    static const struct {
        const char *name;
        double units, gpm;
    } want[] = { { "b", 15, 17.5 },
                 { "i", 15, 17.5 },
                 { "h", 15, 17.5 },
                 { "a", 20, 19.6 },
                 { "main", 20, 19.6 } };
    int i;

    ck_assert_ptr_nonnull(d);
    for (i = 0; i < COUNT(want); i++) {
        const struct fci_demand *at = demand_at(site, d, want[i].name);

        ck_assert_double_eq_tol(at->units, want[i].units, 1e-9);
        ck_assert_double_eq_tol(at->flow[FCI_NOMINAL] / GPM, want[i].gpm,
                                1e-9);
        ck_assert(!at->valves);
        ck_assert(isnan(at->falling_units));
    }
    free(d);
    fc_site_free(site);
}
END_TEST

/* Without a heater hot water comes from elsewhere: cold units alone. */
START_TEST(no_heater)
{
    fc_site *site = site_of(SOURCE PIPE(
        "a", "main") "[fixture l]\non = a\nkind = lavatory\ncount = 10\n");
    struct fci_demand *d = fci_demand_new(site, FC_EXISTING);

    ck_assert_ptr_nonnull(d);
    ck_assert_double_eq_tol(demand_at(site, d, "a")->units, 15, 1e-9);
    free(d);
    fc_site_free(site);
}
END_TEST

/* UPC Table 610.10 (from memory): closets 40, 70, 90, 105, 115 and 10 for
 * each further one; urinals 20, 35, 45, 53, 58 and 5. */
static const struct {
    const char *closets, *urinals;
    double units, falling;
} falls[] = {
    { "1", NULL, 8, 40 },
    { "3", NULL, 24, 90 },
    { "5", "2", 48, 150 },  /* 40 + 8; 115 + 35 */
    { "7", "6", 80, 198 },  /* 56 + 24; 115 + 20 + 58 + 5 */
    { "12", "5", 116, 243 } /* 96 + 20; 115 + 70 + 58 */
};

/* Beside the valves stand four lavatories with three quarters of a unit. */
START_TEST(falling)
{
    char text[1024], urinals[128] = "";
    struct fci_demand *d;
    fc_site *site;

    if (falls[_i].urinals)
        snprintf(urinals, sizeof urinals,
                 "[fixture u]\non = b\nkind = urinal, flush valve\n"
                 "existing = urinal 1.0 gal\ncount = %s\n",
                 falls[_i].urinals);
    snprintf(text, sizeof text,
             "[site]\ncode = upc\n%s"
             "[fixture c]\non = h\nkind = water closet, flush valve\n"
             "count = %s\n%s"
             "[fixture l]\non = a\nkind = lavatory\ncount = 4\n",
             SOURCE PIPE("a", "main") PIPE("b", "a") PIPE("h", "a"),
             falls[_i].closets, urinals);
    site = site_of(text);
    d = fci_demand_new(site, FC_EXISTING);
    ck_assert_ptr_nonnull(d);
    ck_assert_double_eq_tol(demand_at(site, d, "a")->units,
                            falls[_i].units + 3, 1e-9);
    ck_assert_double_eq_tol(demand_at(site, d, "a")->falling_units,
                            falls[_i].falling + 3, 1e-9);
    free(d);
    fc_site_free(site);
}
END_TEST

/* ---- Trees of all shapes ----------------------------------------------- */

#define MOST_PIPES 600
#define LAVATORIES 80

struct tree {
    int n;                  /* pipes; pipe 0 is on the source */
    int parent[MOST_PIPES]; /* a pipe, or -1 */
    int on[LAVATORIES], heater[LAVATORIES];
};

static unsigned long
next(unsigned long *seed)
{
    *seed = *seed * 48271UL % 2147483647UL;
    return *seed;
}

/* From bushes (each pipe on any before it) to a single run. */
static void
make_tree(struct tree *tree, int row)
{
    unsigned long seed = 7 + (unsigned long)row;
    int reach = row % 4 == 0 ? 1 : row % 4 == 1 ? 3 : MOST_PIPES, i;

    tree->n = row % 4 == 3 ? 12 : MOST_PIPES;
    tree->parent[0] = -1;
    for (i = 1; i < tree->n; i++) {
        const int back = 1 + (int)(next(&seed) % (unsigned long)reach);

        tree->parent[i] =
            back <= i ? i - back : (int)(next(&seed) % (unsigned long)i);
    }
    for (i = 0; i < LAVATORIES; i++) {
        tree->on[i] = (int)(next(&seed) % (unsigned long)tree->n);
        tree->heater[i] = (int)(next(&seed) % (unsigned long)tree->n);
    }
}

/* Pipes are added last first, so that none of them comes after its feeder. */
static fc_site *
build_tree(const struct tree *tree)
{
    fc_site *site = fc_site_new();
    const fc_source source = { .name = "main",
                               .kind = FC_FIXED,
                               .pressure = fc_exactly(80 * PSI) };
    char name[16], other[16];
    const char *serves[1] = { name };
    int i;

    for (i = tree->n; i-- > 0;) {
        const fc_pipe pipe = { .name = name,
                               .from = tree->parent[i] < 0 ? "main" : other,
                               .length = fc_exactly(1),
                               .c = fc_exactly(140),
                               .inside_diameter = fc_exactly(0.05) };

        snprintf(name, sizeof name, "p%d", i);
        snprintf(other, sizeof other, "p%d", tree->parent[i]);
        ck_assert_int_eq(fc_site_add_pipe(site, &pipe, NULL), FC_OK);
    }
    for (i = 0; i < LAVATORIES; i++) {
        const fc_fixture fixture = { .name = name,
                                     .on = other,
                                     .kind = "lavatory" };
        const fc_heater heater = {
            .name = name, .on = other, .serves = serves, .n_serves = 1
        };

        snprintf(name, sizeof name, "l%d", i);
        snprintf(other, sizeof other, "p%d", tree->on[i]);
        ck_assert_int_eq(fc_site_add_fixture(site, &fixture, NULL), FC_OK);
        snprintf(other, sizeof other, "p%d", tree->heater[i]);
        ck_assert_int_eq(fc_site_add_heater(site, &heater, NULL), FC_OK);
    }
    ck_assert_int_eq(fc_site_add_source(site, &source, NULL), FC_OK);
    ck_assert_int_eq(fc_site_finish(site, NULL), FC_OK);
    return site;
}

/* Up from where a lavatory and its heater hang, pipe by pipe, with a mark for
 * each of the two waters that comes past. */
static void
climb(const struct tree *tree, double *units)
{
    int i, at, *marks = calloc(MOST_PIPES, sizeof *marks);

    ck_assert_ptr_nonnull(marks);
    for (i = 0; i < LAVATORIES; i++) {
        memset(marks, 0, MOST_PIPES * sizeof *marks);
        for (at = tree->on[i]; at >= 0; at = tree->parent[at])
            marks[at] |= 1;
        for (at = tree->heater[i]; at >= 0; at = tree->parent[at])
            marks[at] |= 2;
        for (at = 0; at < tree->n; at++)
            units[at] += marks[at] == 3 ? 2.0 : marks[at] ? 1.5 : 0;
    }
    free(marks);
}

START_TEST(tree_of_heaters)
{
    static struct tree tree;
    static double units[MOST_PIPES];
    struct fci_demand *d;
    char name[16];
    fc_site *site;
    int i;

    memset(units, 0, sizeof units);
    make_tree(&tree, _i);
    climb(&tree, units);
    site = build_tree(&tree);
    d = fci_demand_new(site, FC_EXISTING);
    ck_assert_ptr_nonnull(d);
    for (i = 0; i < tree.n; i++) {
        snprintf(name, sizeof name, "p%d", i);
        ck_assert_double_eq_tol(demand_at(site, d, name)->units, units[i],
                                1e-9);
    }
    ck_assert_double_eq_tol(demand_at(site, d, "main")->units, units[0], 1e-9);
    free(d);
    fc_site_free(site);
}
END_TEST

/* A run of many pipes neither recurses nor takes long. */
START_TEST(long_run)
{
    const int n = 100000;
    fc_site *site = fc_site_new();
    const fc_source source = { .name = "p0",
                               .kind = FC_FIXED,
                               .pressure = fc_exactly(80 * PSI) };
    const char *serves[] = { "l" };
    char name[16], from[16];
    struct fci_demand *d;
    int i;

    ck_assert_int_eq(fc_site_add_source(site, &source, NULL), FC_OK);
    for (i = 1; i <= n; i++) {
        const fc_pipe pipe = { .name = name,
                               .from = from,
                               .length = fc_exactly(1),
                               .c = fc_exactly(140),
                               .inside_diameter = fc_exactly(0.05) };

        snprintf(name, sizeof name, "p%d", i);
        snprintf(from, sizeof from, "p%d", i - 1);
        ck_assert_int_eq(fc_site_add_pipe(site, &pipe, NULL), FC_OK);
    }
    ck_assert_int_eq(
        fc_site_add_fixture(
            site, &(fc_fixture){ .name = "l", .on = name, .kind = "lavatory" },
            NULL),
        FC_OK);
    ck_assert_int_eq(fc_site_add_heater(site,
                                        &(fc_heater){ .name = "w",
                                                      .on = "p5",
                                                      .serves = serves,
                                                      .n_serves = 1 },
                                        NULL),
                     FC_OK);
    ck_assert_int_eq(fc_site_finish(site, NULL), FC_OK);
    d = fci_demand_new(site, FC_EXISTING);
    ck_assert_ptr_nonnull(d);
    ck_assert_double_eq_tol(demand_at(site, d, name)->units, 1.5, 1e-9);
    ck_assert_double_eq_tol(demand_at(site, d, "p6")->units, 1.5, 1e-9);
    ck_assert_double_eq_tol(demand_at(site, d, "p5")->units, 2.0, 1e-9);
    ck_assert_double_eq_tol(demand_at(site, d, "p0")->units, 2.0, 1e-9);
    free(d);
    fc_site_free(site);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("demand");
    TCase *t = tcase_create("table");

    tcase_add_loop_test(t, table_row, 0, COUNT(rows));
    tcase_add_test(t, rounding);
    suite_add_tcase(suite, t);
    t = tcase_create("units");
    tcase_add_loop_test(t, single, 0, COUNT(singles));
    tcase_add_test(t, hot_and_cold);
    tcase_add_test(t, no_heater);
    tcase_add_loop_test(t, falling, 0, COUNT(falls));
    suite_add_tcase(suite, t);
    t = tcase_create("trees");
    tcase_set_timeout(t, 60);
    tcase_add_loop_test(t, tree_of_heaters, 0, 12);
    tcase_add_test(t, long_run);
    suite_add_tcase(suite, t);
    return run_suite(suite);
}
