/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/published/check_published_events.c -- flows that share a network out
 * among themselves, against worked problems in print, each built as a site by
 * calls.
 *
 *   [CC]    Y. A. Cengel and J. M. Cimbala, Fluid Mechanics.  Example 8-7, a
 *           pump and two parallel pipes: inputs read in a public repository of
 *           textbook companions, Text-Book-Companion-Project,
 *           Chapter-08/Ex8_7/Ex8_7.sce, answers from memory.  Example 8-9, a
 *           shower and a toilet: inputs read there, Chapter-08/Ex8_9/
 *           Ex8_9.sce; answer (b) read in the README of a public repository,
 *           gitlaxy/piping, answer (a) from memory
 *   [9.12]  Three reservoirs, textbook example 9.12: read in a public
 *           repository, FOSSEE/Scilab-TBC-Uploads, 1962/CH9/EX9.12
 *   [SW]    V. L. Streeter and E. B. Wylie, Fluid Mechanics, three reservoirs:
 *           inputs read in a public file of a course in numerical methods,
 *           demoThreeRes, answers from memory
 *   [N13]   NFPA 13, annex, sample calculation of a branch line: from memory
 *   [HC]    The two loops by which encyclopedias show the method of Hardy
 *           Cross: from memory, but exact: 60 x = 400
 *
 * Where a publication uses friction by Darcy and Weisbach, what each of its
 * pipes takes is worked out here, by Colebrook and White, and given to the
 * site as the loss of a device through many points.  A pipe of no length
 * closes a loop or joins a source without taking anything.
 */
#include "published/published.h"
#include "generators/solver_cases.h"

#define GRAVITY 9.81 /* of the publications */

/* ---- Sites by calls --------------------------------------------------- */

#define MUST(call) ck_assert_int_eq((call), FC_OK)

static fc_site *
new_site(double temperature)
{
    const fc_settings settings = { .water_temperature =
                                       fc_exactly(temperature) };
    fc_site *site = fc_site_new();

    ck_assert_ptr_nonnull(site);
    MUST(fc_site_set(site, &settings, NULL));
    return site;
}

static void
add_tank(fc_site *site, const char *name, double level)
{
    const fc_source tank = { .name = name,
                             .kind = FC_TANK,
                             .water_level = fc_exactly(level),
                             .elevation = fc_exactly(0) };

    MUST(fc_site_add_source(site, &tank, NULL));
}

static void
add_fixed(fc_site *site, const char *name, double pressure)
{
    const fc_source fixed = { .name = name,
                              .kind = FC_FIXED,
                              .pressure = fc_exactly(pressure) };

    MUST(fc_site_add_source(site, &fixed, NULL));
}

/* A loss of `pressure` at `flow`, with its square. */
static void
add_square(fc_site *site, const char *name, const char *from, double pressure,
           double flow)
{
    const fc_device device = { .name = name,
                               .from = from,
                               .kind = FC_DEVICE,
                               .loss = { .kind = FC_SQUARE_LOSS,
                                         .pressure = fc_exactly(pressure),
                                         .flow = fc_exactly(flow) } };

    MUST(fc_site_add_device(site, &device, NULL));
}

static void
add_pipe(fc_site *site, const char *name, const char *from, const char *to,
         double length, double bore, double c)
{
    const fc_pipe pipe = { .name = name,
                           .from = from,
                           .to = to,
                           .length = fc_exactly(length),
                           .no_fittings = true,
                           .inside_diameter = fc_exactly(bore),
                           .c = fc_exactly(c) };

    MUST(fc_site_add_pipe(site, &pipe, NULL));
}

static void
add_join(fc_site *site, const char *name, const char *from, const char *to)
{
    add_pipe(site, name, from, to, 0, 1, 130);
}

static void
add_demand(fc_site *site, const char *on, double flow)
{
    const fc_demand demand = { .name = "demand",
                               .on = on,
                               .flow = fc_exactly(flow) };

    MUST(fc_site_add_demand(site, &demand, NULL));
}

static void
add_valve(fc_site *site, const char *name, const char *on, double flow,
          double pressure)
{
    const fc_valve valve = { .name = name,
                             .flow = fc_exactly(flow),
                             .flow_pressure = fc_exactly(pressure) };
    const fc_fixture fixture = { .name = name,
                                 .on = on,
                                 .kind = "water closet, flush valve",
                                 .existing = name };

    MUST(fc_site_add_valve(site, &valve, NULL));
    MUST(fc_site_add_fixture(site, &fixture, NULL));
}

/* A site must have a fixture; this one stays shut. */
static void
add_shut(fc_site *site, const char *on)
{
    const fc_fixture fixture = { .name = "shut",
                                 .on = on,
                                 .kind = "lavatory" };

    MUST(fc_site_add_fixture(site, &fixture, NULL));
}

static struct solved
finish(fc_site *site)
{
    fc_diagnostics *messages = fc_diagnostics_new();

    ck_assert_msg(fc_site_finish(site, messages) == FC_OK, "%s",
                  all_messages(messages));
    fc_diagnostics_free(messages);
    return solved_site(site, FC_EXISTING);
}

static double
flow_in(const struct solved *s, const char *element)
{
    return s->elements[solved_element(s, element)].flow;
}

static double
head_at(const struct solved *s, const char *element)
{
    return s->elements[solved_element(s, element)].pressure
           / s->site->water_weight;
}

/* ---- Friction by Darcy and Weisbach ----------------------------------- */

struct round_pipe {
    double length, bore, roughness, k; /* k: sum of the loss factors */
};

struct fluid {
    double density, viscosity; /* kinematic */
};

static double
friction_factor(double reynolds, double relative)
{
    double root = 0.1; /* of f; Colebrook and White by fixed point */
    int i;

    if (reynolds < 2300)
        return 64 / reynolds;
    for (i = 0; i < 100; i++)
        root = -0.5 / log10(relative / 3.7 + 2.51 / (reynolds * root));
    return root * root;
}

/* m of the fluid */
static double
head_lost(const struct round_pipe *p, const struct fluid *fluid, double flow)
{
    const double v = fci_velocity(flow, p->bore);
    const double f = friction_factor(v * p->bore / fluid->viscosity,
                                     p->roughness / p->bore);

    return (f * p->length / p->bore + p->k) * v * v / (2 * GRAVITY);
}

/* Close together where it bends most: with so many, what lies between two is
 * met to a millionth. */
#define POINTS 200

static void
add_round(fc_site *site, const char *name, const char *from, double rise,
          double most, const struct round_pipe *p, const struct fluid *fluid)
{
    fc_point points[POINTS] = { { 0, 0 } };
    const fc_device device = {
        .name = name,
        .from = from,
        .kind = FC_DEVICE,
        .rise = fc_exactly(rise),
        .loss = { .kind = FC_CURVE_LOSS, .points = points, .n_points = POINTS }
    };
    int i;

    for (i = 1; i < POINTS; i++) {
        points[i].x = most * pow((double)i / (POINTS - 1), 1.5);
        points[i].y =
            fluid->density * GRAVITY * head_lost(p, fluid, points[i].x);
        /* laminar and turbulent flow do not meet; it may not fall there */
        points[i].y = fmax(points[i].y, points[i - 1].y);
    }
    MUST(fc_site_add_device(site, &device, NULL));
}

/* ---- A shower and a toilet [CC 8-9] ----------------------------------- */

static const struct fluid water_20 = { 998, 1.004e-6 };

#define HOUSE_BORE 0.015
#define HOUSE_ROUGH 1.5e-6

/* What a loss factor takes at a flow. */
static double
factor_takes(double k, double flow)
{
    const double v = fci_velocity(flow, HOUSE_BORE);

    return k * water_20.density * v * v / 2;
}

/* The heads, whose factors are among the sums, are the valves: what they take
 * grows with the square of the flow, down to the atmosphere behind them. */
static struct solved
house(void)
{
    static const struct round_pipe common = { 5, HOUSE_BORE, HOUSE_ROUGH, 0 };
    static const struct round_pipe shower = { 6, HOUSE_BORE, HOUSE_ROUGH,
                                              24.7 - 12 };
    static const struct round_pipe toilet = { 1, HOUSE_BORE, HOUSE_ROUGH,
                                              26 - 14 };
    fc_site *site = new_site(20);

    add_fixed(site, "inlet", 200e3);
    add_round(site, "common", "inlet", 0, 0.002, &common, &water_20);
    add_round(site, "to-shower", "common", 2, 0.002, &shower, &water_20);
    add_round(site, "to-toilet", "common", 1, 0.002, &toilet, &water_20);
    add_valve(site, "shower", "to-shower", 0.0005, factor_takes(12, 0.0005));
    add_valve(site, "toilet", "to-toilet", 0.0005, factor_takes(14, 0.0005));
    return finish(site);
}

/* Two digits are printed: half of the last. */
START_TEST(toilet_shut)
{
    static const struct published p = { "[CC] Example 8-9 (a)", MEMORY, 0,
                                        0.000005 };
    struct solved s = house();
    const struct fci_open open = { solved_fixture(&s, "shower"), 1 };

    solved_run(&s, 89, &open, 1);
    expect(flow_in(&s, "to-shower"), 0.00053, &p, "shower [m3/s]");
    solved_end(&s);
}
END_TEST

/* The publication's iteration leaves 1.7 % in the toilet's. */
START_TEST(both_open)
{
    static const struct published p = { "[CC] Example 8-9 (b)", READ, 0.025,
                                        0 };
    struct solved s = house();
    const struct fci_open open[] = { { solved_fixture(&s, "shower"), 1 },
                                     { solved_fixture(&s, "toilet"), 1 } };
    const struct fci_drawn *drawn = solved_run(&s, 89, open, 2);

    expect(flow_in(&s, "common"), 0.00090, &p, "total [m3/s]");
    expect(drawn[0].flow, 0.00042, &p, "shower [m3/s]");
    expect(drawn[1].flow, 0.00048, &p, "toilet [m3/s]");
    solved_end(&s);
}
END_TEST

/* ---- A pump and two parallel pipes [CC 8-7] --------------------------- */

static const struct fluid water_998 = { 998, 1.002e-3 / 998 };

/* Head times flow is constant, 5600 W: points close together around the
 * answer, and a straight line through 0.02 to 0.04 m3/s would miss it by far.
 */
static void
add_steady_power(fc_site *site, const char *name, const char *from)
{
    fc_point points[60];
    const fc_pump pump = {
        .name = name, .from = from, .curve = points, .n_curve = COUNT(points)
    };
    int i;

    for (i = 0; i < COUNT(points); i++) {
        points[i].x = 0.012 * pow(5, (double)i / (COUNT(points) - 1));
        points[i].y = 5600 / (water_998.density * GRAVITY * points[i].x);
    }
    MUST(fc_site_add_pump(site, &pump, NULL));
}

START_TEST(parallel_pipes_with_pump)
{
    /* three digits are printed */
    static const struct published p = { "[CC] Example 8-7", MEMORY, 0.005, 0 };
    static const struct round_pipe small = { 36, 0.04, 4.5e-5, 0 };
    static const struct round_pipe large = { 36, 0.08, 4.5e-5, 0 };
    fc_site *site = new_site(20);
    struct solved s;

    add_tank(site, "a", 5);
    add_tank(site, "b", 13);
    add_steady_power(site, "pump", "a");
    add_round(site, "small", "pump", 0, 0.02, &small, &water_998);
    add_round(site, "large", "pump", 0, 0.06, &large, &water_998);
    add_join(site, "joined", "small", "large");
    add_join(site, "into-b", "large", "b");
    add_shut(site, "large");
    s = finish(site);
    solved_run(&s, 87, NULL, 0);
    expect(flow_in(&s, "pump"), 0.0300, &p, "total [m3/s]");
    expect(flow_in(&s, "small"), 0.00415, &p, "4 cm [m3/s]");
    expect(flow_in(&s, "large"), 0.0259, &p, "8 cm [m3/s]");
    expect(flow_in(&s, "b"), -0.0300, &p, "into the upper [m3/s]");
    expect(head_at(&s, "pump") - 5, 19.1, &p, "head of the pump [m]");
    expect(head_at(&s, "pump") - 13, 11.1, &p, "head lost [m]");
    solved_end(&s);
}
END_TEST

/* ---- Three reservoirs ------------------------------------------------- */

struct reservoir {
    const char *name, *way;
    double level, r, flow; /* h = r q^2; flow out of it */
};

static void
add_reservoir(fc_site *site, const struct reservoir *reservoir)
{
    add_tank(site, reservoir->name, reservoir->level);
    add_square(site, reservoir->way, reservoir->name,
               weight_of_water() * reservoir->r, 1);
}

static void
check_reservoirs(const struct reservoir reservoirs[3], double level,
                 const struct published *at, const struct published *flows)
{
    fc_site *site = new_site((60 - 32) / 1.8);
    struct solved s;
    int i;

    for (i = 0; i < 3; i++)
        add_reservoir(site, &reservoirs[i]);
    add_join(site, "join-b", reservoirs[1].way, reservoirs[0].way);
    add_join(site, "join-c", reservoirs[2].way, reservoirs[0].way);
    add_shut(site, reservoirs[0].way);
    s = finish(site);
    solved_run(&s, 912, NULL, 0);
    expect(head_at(&s, reservoirs[0].way), level, at, "junction [m]");
    for (i = 0; i < 3; i++)
        expect(flow_in(&s, reservoirs[i].way), reservoirs[i].flow, flows,
               reservoirs[i].name);
    solved_end(&s);
}

/* One digit after the point; the printed flows miss the balance by 0.1 %. */
START_TEST(three_reservoirs)
{
    static const struct published at = { "[9.12]", READ, 0, 0.05 };
    static const struct published flows = { "[9.12]", READ, 0.003, 0 };
    static const struct reservoir reservoirs[] = {
        { "a", "from-a", 135, 0.7594, 2.116 },
        { "b", "from-b", 120, 36.33, -0.565 },
        { "c", "from-c", 112, 8.168, -1.549 },
    };

    check_reservoirs(reservoirs, 131.6, &at, &flows);
}
END_TEST

/* r of a pipe with a constant friction factor. */
static double
constant_factor(double f, double length, double bore)
{
    const double area = fci_velocity(1, bore);

    return f * length / bore * area * area / (2 * GRAVITY);
}

/* The publication solves with Colebrook; its factors rounded to two digits
 * come within 0.3 % of what it prints. */
START_TEST(three_reservoirs_again)
{
    static const struct published at = { "[SW]", MEMORY, 0, 0.05 };
    static const struct published flows = { "[SW]", MEMORY, 0.004, 0 };
    const struct reservoir reservoirs[] = {
        { "a", "from-a", 30, constant_factor(0.015, 3000, 1.0), 1.183 },
        { "b", "from-b", 18, constant_factor(0.024, 600, 0.45), -0.325 },
        { "c", "from-c", 9, constant_factor(0.020, 1000, 0.60), -0.862 },
    };

    check_reservoirs(reservoirs, 24.8, &at, &flows);
}
END_TEST

/* ---- Outlets in a row [N13] ------------------------------------------- */

/* From the far end: what flows behind each outlet, what it has, the bore and
 * the length of the pipe to it. */
static const struct {
    const char *pipe, *from, *outlet;
    double gpm, psi, bore, feet;
} row[] = {
    { "p1", "p2", "o1", 19.5, 11.9, 1.049, 13 },
    { "p2", "p3", "o2", 40.2, 13.5, 1.380, 13 },
    { "p3", "p4", "o3", 62.2, 15.1, 1.610, 13 },
    { "p4", "end", "o4", 85.4, 16.8, 1.610, 36.5 },
};

/* The sheet starts at the far outlet and rounds at each step; with its end
 * pressure given, all else must come out. */
START_TEST(outlets_in_a_row)
{
    static const struct published p = { "[N13]", MEMORY, 0.01, 0 };
    fc_site *site = new_site((60 - 32) / 1.8);
    struct fci_open open[COUNT(row)];
    struct solved s;
    int i;

    add_fixed(site, "end", 25.4 * PSI);
    for (i = 0; i < COUNT(row); i++) {
        add_pipe(site, row[i].pipe, row[i].from, NULL, row[i].feet * FOOT,
                 row[i].bore * INCH, 120);
        /* q = 5.65 sqrt(p) in gpm and psi */
        add_valve(site, row[i].outlet, row[i].pipe, 5.65 * 5 * GPM, 25 * PSI);
        open[i] = (struct fci_open){ (size_t)i, 1 };
    }
    s = finish(site);
    solved_run(&s, 13, open, COUNT(row));
    for (i = 0; i < COUNT(row); i++) {
        expect(flow_in(&s, row[i].pipe) / GPM, row[i].gpm, &p, row[i].pipe);
        expect(s.elements[solved_element(&s, row[i].pipe)].pressure / PSI,
               row[i].psi, &p, row[i].outlet);
    }
    solved_end(&s);
}
END_TEST

/* ---- Two loops [HC] --------------------------------------------------- */

/* Exact answers: what is left is the solver's. */
static const struct published two_loops = { "[HC], exact", MEMORY, 1e-6, 0 };

/* In L/s and kPa. */
static void
add_link(fc_site *site, const char *name, const char *from, double k)
{
    add_square(site, name, from, k * 1e3, 1e-3);
}

static void
expect_two_loops(struct solved *s, const char *const links[5])
{
    static const double thirds[5] = { 20, 10, 10, 10, 20 };
    int i;

    solved_run(s, 11, NULL, 0);
    for (i = 0; i < 5; i++)
        expect(flow_in(s, links[i]) * 1e3, thirds[i] / 3, &two_loops,
               links[i]);
    solved_end(s);
}

START_TEST(two_loops_squares)
{
    static const char *const links[] = { "1-2", "1-3", "2-3", "2-4", "3-4" };
    fc_site *site = new_site(20);
    struct solved s;

    add_fixed(site, "1", 1e6);
    add_link(site, "1-2", "1", 1);
    add_link(site, "1-3", "1", 5);
    add_link(site, "2-3", "1-2", 1);
    add_link(site, "2-4", "1-2", 5);
    add_link(site, "3-4", "1-3", 1);
    add_join(site, "at-3", "2-3", "1-3");
    add_join(site, "at-4", "2-4", "3-4");
    add_demand(site, "3-4", 10e-3);
    add_shut(site, "1");
    s = finish(site);
    expect_two_loops(&s, links);
}
END_TEST

/* The same loops of pipes by Hazen and Williams, all of one bore and C.  With
 * 1-2 as 3-4 and 1-3 as 2-4 the flows are the same in both; they are two to
 * one, so that 2-3 carries one, where 1-3 is as long as 2-3 and 2^(1/0.54)
 * times 1-2. */
START_TEST(two_loops_pipes)
{
    static const char *const links[] = { "1-2", "1-3", "2-3", "2-4", "3-4" };
    const double slow = 30 * (pow(2, 1 / 0.54) + 1);
    fc_site *site = new_site(20);
    struct solved s;

    add_fixed(site, "1", 1e6);
    add_pipe(site, "1-2", "1", NULL, 30, 0.1, 120);
    add_pipe(site, "1-3", "1", NULL, slow, 0.1, 120);
    add_pipe(site, "2-3", "1-2", "1-3", 30, 0.1, 120);
    add_pipe(site, "2-4", "1-2", "3-4", slow, 0.1, 120);
    add_pipe(site, "3-4", "1-3", NULL, 30, 0.1, 120);
    add_demand(site, "3-4", 10e-3);
    add_shut(site, "1");
    s = finish(site);
    expect_two_loops(&s, links);
}
END_TEST

/* ---- Two parallel pipes by Hazen and Williams ------------------------- */

static const struct {
    double length[2], bore[2], c[2];
} pairs[] = {
    { { 30, 30 }, { 0.05, 0.05 }, { 120, 120 } },
    { { 30, 30 }, { 0.05, 0.05 }, { 140, 70 } },
    { { 30, 30 }, { 0.05, 0.02 }, { 120, 120 } },
    { { 10, 300 }, { 0.05, 0.05 }, { 120, 120 } },
    { { 400, 3 }, { 0.1, 0.03 }, { 150, 60 } },
};

/* Q1 / Q2 = (C1 / C2) (D1 / D2)^2.63 (L2 / L1)^0.54, an identity. */
START_TEST(parallel_pipes)
{
    const double want = pairs[_i].c[0] / pairs[_i].c[1]
                        * pow(pairs[_i].bore[0] / pairs[_i].bore[1], 2.63)
                        * pow(pairs[_i].length[1] / pairs[_i].length[0], 0.54);
    static const struct published p = { "identity", "by hand", 1e-6, 0 };
    fc_site *site = new_site(20);
    struct solved s;
    struct fci_open open;

    add_fixed(site, "source", 400e3);
    add_pipe(site, "one", "source", NULL, pairs[_i].length[0],
             pairs[_i].bore[0], pairs[_i].c[0]);
    add_pipe(site, "two", "source", "one", pairs[_i].length[1],
             pairs[_i].bore[1], pairs[_i].c[1]);
    add_valve(site, "valve", "one", 25 * GPM, 25 * PSI);
    s = finish(site);
    open = (struct fci_open){ solved_fixture(&s, "valve"), 1 };
    solved_run(&s, 12, &open, 1);
    expect(flow_in(&s, "one") / flow_in(&s, "two"), want, &p, "shares");
    solved_end(&s);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("published events");
    TCase *tcase = tcase_create("events");

    tcase_add_test(tcase, toilet_shut);
    tcase_add_test(tcase, both_open);
    tcase_add_test(tcase, parallel_pipes_with_pump);
    tcase_add_test(tcase, three_reservoirs);
    tcase_add_test(tcase, three_reservoirs_again);
    tcase_add_test(tcase, outlets_in_a_row);
    tcase_add_test(tcase, two_loops_squares);
    tcase_add_test(tcase, two_loops_pipes);
    tcase_add_loop_test(tcase, parallel_pipes, 0, COUNT(pairs));
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
