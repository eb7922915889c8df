/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/solver_by_hand.c -- small cases whose answer is worked out by
 * hand, most of them on an edge of some law.
 *
 * A valve of 25 gpm at 25 psi draws 5 gpm at 1 psi: q = 5 sqrt(p) in gpm and
 * psi.  Where friction matters, what is checked is that the law of the pipe,
 * written afresh in tests/generators/reference_laws.c, and the valve's share
 * the pressure out.
 */
#include "generators/solver_cases.h"
#include "generators/reference_laws.h"
#include "generators/sites.h"

#define EXACT 1e-6 /* of a figure */

#define CLOSET                                                                \
    "[valve v]\n"                                                             \
    "flow = 25 gpm at 25 psi\n"
#define FIXTURE(name, on)                                                     \
    "[fixture " name "]\n"                                                    \
    "on = " on "\n"                                                           \
    "kind = water closet, flush valve\n"                                      \
    "existing = v\n"
#define FIXED(pressure)                                                       \
    "[source s]\n"                                                            \
    "kind = fixed\n"                                                          \
    "pressure = " pressure "\n"

static const struct fci_drawn *
run(struct solved *s, const struct fci_open *open, size_t n)
{
    return solved_run(s, 0, open, n);
}

/* Opens all of the named ones, one of each. */
static const struct fci_drawn *
run_named(struct solved *s, const char *const *names, size_t n)
{
    struct fci_open open[8];
    size_t i;

    for (i = 0; i < n; i++)
        open[i] = (struct fci_open){ solved_fixture(s, names[i]), 1 };
    return run(s, open, n);
}

static void
near(double got, double want, const char *what)
{
    ck_assert_msg(fabs(got - want) <= EXACT * fabs(want),
                  "%s: %.10g, by hand %.10g", what, got, want);
}

static void
dry(const struct fci_drawn *drawn)
{
    ck_assert_msg(fabs(drawn->flow) <= 0, "draws %g", drawn->flow);
    ck_assert_msg(drawn->pressure <= 0.1, "has %g Pa", drawn->pressure);
}

/* ---- One valve, each row an edge -------------------------------------- */

/* What the valve has [psi] and draws [gpm]. */
static const struct {
    const char *what, *site;
    double psi, gpm;
} valves[] = {
    { "nothing between", FIXED("36 psi") CLOSET FIXTURE("f", "s"), 36, 30 },
    { "a device's square loss: 4 psi at 20 gpm, q^2/100 of it at q; 25 psi "
      "are left of 50 where q^2 (1/25 + 1/25) is 50, with 1/25 of 9 at 15",
      FIXED("50 psi") "[device d]\n"
                      "from = s\n"
                      "loss = 9 psi at 15 gpm\n" CLOSET FIXTURE("f", "d"),
      25, 25 },
    { "a constant loss",
      FIXED("50 psi") "[device d]\n"
                      "from = s\n"
                      "loss = 14 psi\n" CLOSET FIXTURE("f", "d"),
      36, 30 },
    { "a stop of as much as the valve",
      FIXED("50 psi") CLOSET FIXTURE("f", "s") "stop = 25 psi at 25 gpm\n", 25,
      25 },
    { "a stop with a constant loss",
      FIXED("50 psi") CLOSET FIXTURE("f", "s") "stop = 14 psi\n", 36, 30 },
    { "a stop by points: 11 psi and 0.1 psi a gpm up to 60 gpm; at 25 gpm "
      "13.5",
      FIXED("38.5 psi")
          CLOSET FIXTURE("f", "s") "stop = 0 gpm 11 psi, 60 gpm 17 psi\n",
      25, 25 },
    { "a reducer that holds",
      FIXED("80 psi") "[reducer r]\nfall-off = 0 psi at 10 gpm\nloss = 0 psi\n"
                      "from = s\n"
                      "set = 36 psi\n" CLOSET FIXTURE("f", "r"),
      36, 30 },
    { "a reducer that falls off: 40 psi less 4 at 30 gpm",
      FIXED("80 psi") "[reducer r]\nloss = 0 psi\n"
                      "from = s\n"
                      "set = 40 psi\n"
                      "fall-off = 8 psi at 60 gpm\n" CLOSET FIXTURE("f", "r"),
      36, 30 },
    { "a reducer wide open",
      FIXED("50 psi") "[reducer r]\nfall-off = 0 psi at 10 gpm\n"
                      "from = s\n"
                      "set = 60 psi\n"
                      "loss = 25 psi at 25 gpm\n" CLOSET FIXTURE("f", "r"),
      25, 25 },
    { "a reducer exactly at its set pressure",
      FIXED("36 psi") "[reducer r]\nfall-off = 0 psi at 10 gpm\nloss = 0 psi\n"
                      "from = s\n"
                      "set = 36 psi\n" CLOSET FIXTURE("f", "r"),
      36, 30 },
    { "a reducer at its set pressure by the flow: the main has 36 psi at "
      "30 gpm",
      "[source s]\nwithin = 0 psi\n"
      "kind = street main\n"
      "static = 60 psi\n"
      "residual = 36 psi\n"
      "residual flow = 30 gpm\n"
      "[reducer r]\nfall-off = 0 psi at 10 gpm\nloss = 0 psi\n"
      "from = s\n"
      "set = 36 psi\n" CLOSET FIXTURE("f", "r"),
      36, 30 },
    { "a pump that holds",
      FIXED("20 psi") "[pump p]\n"
                      "from = s\n"
                      "curve = 0 gpm 90 ft, 60 gpm 80 ft\n"
                      "hold = 36 psi\n" CLOSET FIXTURE("f", "p"),
      36, 30 },
    /* It stands still: 64 psi drive 30 gpm x sqrt(64/36). */
    { "a pump set to hold less than comes in",
      FIXED("64 psi") "[pump p]\n"
                      "from = s\n"
                      "curve = 0 gpm 90 ft, 60 gpm 80 ft\n"
                      "hold = 36 psi\n" CLOSET FIXTURE("f", "p"),
      64, 40 },
    { "a pump that stands",
      FIXED("36 psi") "[pump p]\n"
                      "from = s\n"
                      "running = no\n"
                      "curve = 0 gpm 90 ft, 60 gpm 80 ft\n" CLOSET FIXTURE(
                          "f", "p"),
      36, 30 },
    { "a regulated valve above its pressure",
      FIXED("64 psi") "[valve v]\n"
                      "flow = 25 gpm at 25 psi\n"
                      "regulated = yes\n" FIXTURE("f", "s"),
      64, 25 },
    { "a regulated valve exactly at its pressure",
      FIXED("25 psi") "[valve v]\n"
                      "flow = 25 gpm at 25 psi\n"
                      "regulated = yes\n" FIXTURE("f", "s"),
      25, 25 },
    { "a regulated valve under its pressure",
      FIXED("16 psi") "[valve v]\n"
                      "flow = 25 gpm at 25 psi\n"
                      "regulated = yes\n" FIXTURE("f", "s"),
      16, 20 },
    { "a regulated valve behind a stop: 64 psi less 25",
      FIXED("64 psi") "[valve v]\n"
                      "flow = 25 gpm at 25 psi\n"
                      "regulated = yes\n" FIXTURE(
                          "f", "s") "stop = 25 psi at 25 gpm\n",
      39, 25 },
    { "beside a steady draw: 5 gpm of 30 in a device that takes 36 psi at 60",
      FIXED("34 psi") "[device d]\n"
                      "from = s\n"
                      "loss = 36 psi at 60 gpm\n"
                      "[demand tower]\n"
                      "on = d\n"
                      "flow = 5 gpm\n" CLOSET FIXTURE("f", "d"),
      25, 25 },
};

START_TEST(one_valve)
{
    struct solved s = solved_site(site_of(valves[_i].site), FC_EXISTING);
    const char *f = "f";
    const struct fci_drawn *drawn = run_named(&s, &f, 1);

    near(drawn->pressure / PSI, valves[_i].psi, valves[_i].what);
    near(drawn->flow / GPM, valves[_i].gpm, valves[_i].what);
    solved_end(&s);
}
END_TEST

/* What a valve drew at one end of its rate is not what it draws at the other:
 * of 120 psi a device takes 4 at 20 gpm and 1 at 10. */
START_TEST(ends_of_a_rate)
{
    static const struct {
        enum fci_end end;
        double psi, gpm;
    } ends[] = { { FCI_WORST, 116, 20 },
                 { FCI_BEST, 119, 10 },
                 { FCI_WORST, 116, 20 } };
    struct solved s = solved_site(
        site_of(FIXED("120 psi") "[device d]\n"
                                 "from = s\n"
                                 "loss = 36 psi at 60 gpm\n"
                                 "[valve v]\n"
                                 "flow = 10..20 gpm at 20 psi\n"
                                 "regulated = yes\n" FIXTURE("f", "d")),
        FC_EXISTING);
    const struct fci_open open = { 0, 1 };
    int i;

    for (i = 0; i < COUNT(ends); i++) {
        fci_solver_take(s.solver, ends[i].end, 0);
        ck_assert_int_eq(fci_solver_run(s.solver, &open, 1), FC_OK);
        near(fci_solver_drawn(s.solver)->pressure / PSI, ends[i].psi, "end");
        near(fci_solver_drawn(s.solver)->flow / GPM, ends[i].gpm, "end");
    }
    solved_end(&s);
}
END_TEST

/* ---- Nothing to draw -------------------------------------------------- */

static const char *const without[] = {
    /* a tank lower than the fixture */
    "[source s]\n"
    "kind = tank\n"
    "water level = 10 ft\n" CLOSET FIXTURE("f", "s") "rise = 12 ft\n",
    /* as high as the fixture */
    "[source s]\n"
    "kind = tank\n"
    "water level = 10 ft\n" CLOSET FIXTURE("f", "s") "rise = 10 ft\n",
    /* a pipe that goes higher than the pressure reaches */
    FIXED("10 psi") "[pipe p]\nfittings = none\n"
                    "from = s\n"
                    "material = copper L\n"
                    "size = 1 in\n"
                    "length = 40 ft\n"
                    "rise = 40 ft\n" CLOSET FIXTURE("f", "p"),
    /* more held back than there is, in the three places and both forms */
    FIXED("30 psi") "[device d]\n"
                    "from = s\n"
                    "loss = 31 psi\n" CLOSET FIXTURE("f", "d"),
    FIXED(
        "30 psi") "[backflow d]\n"
                  "from = s\n"
                  "loss = 0 gpm 31 psi, 20 gpm 32 psi, 40 gpm 40 psi\n" CLOSET
                      FIXTURE("f", "d"),
    FIXED("30 psi") "[reducer d]\nfall-off = 0 psi at 10 gpm\n"
                    "from = s\n"
                    "set = 30 psi\n"
                    "loss = 30 psi\n" CLOSET FIXTURE("f", "d"),
    FIXED("30 psi") CLOSET FIXTURE("f", "s") "stop = 31 psi\n",
    FIXED("30 psi")
        CLOSET FIXTURE("f", "s") "stop = 0 gpm 31 psi, 20 gpm 32 psi\n",
    /* a steady draw that takes all of it: 40 psi at 40 gpm */
    FIXED("30 psi") "[device d]\n"
                    "from = s\n"
                    "loss = 40 psi at 40 gpm\n"
                    "[demand tower]\n"
                    "on = d\n"
                    "flow = 40 gpm\n" CLOSET FIXTURE("f", "d"),
};

START_TEST(draws_nothing)
{
    struct solved s = solved_site(site_of(without[_i]), FC_EXISTING);
    const char *f = "f";

    dry(run_named(&s, &f, 1));
    solved_end(&s);
}
END_TEST

/* Two floors: 10 psi at the street, of which 46.2 ft take twice that.  Below,
 * 10 psi and 5 sqrt(10) gpm, whatever is open above. */
START_TEST(dry_above_wet_below)
{
    static const char *const names[] = { "up", "down" };
    struct solved s =
        solved_site(site_of(FIXED("10 psi") CLOSET FIXTURE("down", "s")
                                FIXTURE("up", "s") "rise = 46.2 ft\n"),
                    FC_EXISTING);
    const struct fci_drawn *drawn = run_named(&s, names, 2);

    dry(&drawn[0]);
    near(drawn[1].flow / GPM, 5 * sqrt(10), "below");
    near(drawn[1].pressure / PSI, 10, "below");
    solved_end(&s);
}
END_TEST

/* The one below takes the pressure that the one above would need: with both
 * shares of the device's loss, 36 psi - 0.04 q^2, and 20 psi of height. */
START_TEST(starved_by_the_one_below)
{
    static const char *const names[] = { "down", "up" };
    struct solved s = solved_site(
        site_of(FIXED("36 psi") "[device d]\n"
                                "from = s\n"
                                "loss = 25 psi at 25 gpm\n" CLOSET FIXTURE(
                                    "down", "d")
                                    FIXTURE("up", "d") "rise = 45 ft\n"),
        FC_EXISTING);
    const struct fci_drawn *drawn = run_named(&s, names, 2);

    dry(&drawn[1]); /* 45 ft are 19.5 psi, and 18 are left */
    near(drawn[0].pressure / PSI, 18, "below");
    drawn = run_named(&s, names + 1, 1);
    ck_assert_double_gt(drawn->flow, 5 * GPM);
    solved_end(&s);
}
END_TEST

/* ---- Hard laws -------------------------------------------------------- */

/* At 20 gpm the loss steps from 1 to 30 psi within a thousandth of a gpm.  Of
 * 30 psi the valve would have 29 before it, which draw 26.9 gpm, and none
 * after it: so it sits on the step, at 20 gpm and 16 psi. */
START_TEST(sharp_step)
{
    struct solved s = solved_site(
        site_of(FIXED("30 psi") "[device d]\n"
                                "from = s\n"
                                "loss = 0 gpm 1 psi, 20 gpm 1 psi, 20.001 gpm "
                                "30 psi, 60 gpm 31 psi\n" CLOSET FIXTURE("f",
                                                                         "d")),
        FC_EXISTING);
    const char *f = "f";
    const struct fci_drawn *drawn = run_named(&s, &f, 1);

    ck_assert_double_ge(drawn->flow / GPM, 20 * (1 - EXACT));
    ck_assert_double_le(drawn->flow / GPM, 20.001 * (1 + EXACT));
    ck_assert_double_ge(drawn->pressure / PSI, 16 * (1 - EXACT));
    ck_assert_double_le(drawn->pressure / PSI, 16.0017);
    solved_end(&s);
}
END_TEST

/* What a pipe and a group behind it leave over must be 0. */
static double
left_over(const struct solved *s, double pressure, double each, int n)
{
    const size_t pipe = solved_element(s, "p");
    const double k =
        reference_pipe(s->site->elements[pipe].pipe, s->site->water_weight);

    return pressure - reference_power(k, n * each, 0).at
           - 25 * PSI * pow(each / (25 * GPM), 2);
}

static const int crowds[] = { 1, 2, 10, 50, 200 };

/* Very many valves on a very small pipe. */
START_TEST(crowd)
{
    struct solved s =
        solved_site(site_of(FIXED("60 psi") "[pipe p]\nfittings = none\n"
                                            "from = s\n"
                                            "material = copper L\n"
                                            "size = 1/2 in\n"
                                            "length = 200 ft\n" CLOSET FIXTURE(
                                                "f", "p") "count = 200\n"),
                    FC_EXISTING);
    const struct fci_open open = { 0, crowds[_i] };
    const struct fci_drawn *drawn = run(&s, &open, 1);

    ck_assert_double_gt(drawn->flow, 0);
    ck_assert_double_lt(fabs(left_over(&s, 60 * PSI, drawn->flow, crowds[_i])),
                        0.1);
    solved_end(&s);
}
END_TEST

#define CHAIN 300

/* Valves at the end of each of 300 pieces of a pipe, and all flush: level, and
 * up a riser where most of them get nothing.  Each pipe's and each valve's law
 * must hold. */
static const struct chain {
    const char *pressure, *piece;
    double rise; /* [ft] of a piece */
    int each;
} chains[] = {
    { "60 psi", "size = 3/4 in\nlength = 30 ft\n", 0, 1 },
    { "200 psi", "size = 4 in\nlength = 11 ft\nrise = 1 ft\n", 1, 9 },
    { "60 psi", "size = 3/4 in\nlength = 30 ft\nrise = 10 ft\n", 10, 2 },
};

static char *
chain_text(const struct chain *chain)
{
    char *text = NULL;
    size_t length;
    FILE *out = open_memstream(&text, &length);
    char before[16] = "";
    int i;

    ck_assert_ptr_nonnull(out);
    fprintf(out, "[site]\nmaterial = copper L\n" FIXED("%s") CLOSET,
            chain->pressure);
    for (i = 0; i < CHAIN; i++) {
        fprintf(out,
                "[pipe p%d]\nfittings = none\nfrom = %s%s\n%s"
                "[fixture f%d]\non = p%d\ncount = %d\n"
                "kind = water closet, flush valve\nexisting = v\n",
                i, i ? "p" : "s", before, chain->piece, i, i, chain->each);
        snprintf(before, sizeof before, "%d", i);
    }
    fclose(out);
    return text;
}

static void
check_piece(const struct solved *s, const struct chain *chain,
            const struct fci_drawn *drawn)
{
    const size_t i = s->site->fixtures[drawn->fixture].element;
    const struct fci_element *pipe = &s->site->elements[i];
    const double k = reference_pipe(pipe->pipe, s->site->water_weight);
    const double in = s->elements[pipe->parent].pressure;
    const double out = s->elements[i].pressure;
    const double lift = chain->rise * 0.3048 * s->site->water_weight;

    ck_assert_msg(
        fabs(in - lift - out - reference_power(k, s->elements[i].flow, 0).at)
            <= 0.1,
        "%s: from %g to %g Pa at %g", pipe->name, in, out,
        s->elements[i].flow);
    if (drawn->flow > 0 || out > 0.1)
        ck_assert_msg(fabs(out - 25 * PSI * pow(drawn->flow / (25 * GPM), 2))
                          <= 0.1,
                      "%s: %g Pa, drawn %g", pipe->name, out, drawn->flow);
}

START_TEST(piece_after_piece)
{
    const struct chain *chain = &chains[_i];
    char *text = chain_text(chain);
    struct solved s = solved_site(site_of(text), FC_EXISTING);
    struct fci_open open[CHAIN];
    const struct fci_drawn *drawn;
    double total = 0;
    size_t i;

    for (i = 0; i < CHAIN; i++)
        open[i] = (struct fci_open){ i, chain->each };
    drawn = run(&s, open, CHAIN);
    for (i = 0; i < CHAIN; i++) {
        total += chain->each * drawn[i].flow;
        check_piece(&s, chain, &drawn[i]);
    }
    near(s.elements[0].flow, total, "the source");
    solved_end(&s);
    free(text);
}
END_TEST

/* ---- Check valves and loops ------------------------------------------- */

/* Two sources feed one place through equal ways, which take q^2 / 25 as the
 * valve does: with x and y through them, x^2 = 25 (50 - p), y^2 = 25 (P - p),
 * (x + y)^2 = 25 p. */
#define TANKS(low, check)                                                     \
    "[source high]\n"                                                         \
    "kind = fixed\n"                                                          \
    "pressure = 50 psi\n"                                                     \
    "[source low]\n"                                                          \
    "kind = fixed\n"                                                          \
    "pressure = " low "\n"                                                    \
    "[device d]\n"                                                            \
    "from = high\n"                                                           \
    "loss = 25 psi at 25 gpm\n"                                               \
    "[" check " m]\n"                                                         \
    "from = low\n"                                                            \
    "loss = 25 psi at 25 gpm\n"                                               \
    "[pipe j]\nfittings = none\n"                                             \
    "from = m\n"                                                              \
    "to = d\n"                                                                \
    "length = 0 ft\n"                                                         \
    "c = 130\n"                                                               \
    "inside diameter = 2 in\n" CLOSET FIXTURE("f", "d")

/* What the valve draws and what comes through the lower's way [gpm]. */
static const struct {
    const char *what, *site;
    double drawn, lower;
} tanks[] = {
    /* y = 0, x = 25, p = 25 */
    { "a check valve under its pressure", TANKS("20 psi", "meter"), 25, 0 },
    { "a check valve at its pressure", TANKS("25 psi", "backflow"), 25, 0 },
    /* y = x, p = 40, x^2 = 250 */
    { "two that share", TANKS("50 psi", "meter"), 31.622776601683793,
      15.811388300841897 },
    /* x + y = 20, p = 16, x^2 = 850, P = 16 - y^2 / 25 */
    { "back through a device", TANKS("12.647615158762404 psi", "device"), 20,
      -9.154759474226502 },
};

START_TEST(two_tanks)
{
    struct solved s = solved_site(site_of(tanks[_i].site), FC_EXISTING);
    const char *f = "f";
    const struct fci_drawn *drawn = run_named(&s, &f, 1);
    const double lower = s.elements[solved_element(&s, "m")].flow / GPM;

    near(drawn->flow / GPM, tanks[_i].drawn, tanks[_i].what);
    ck_assert_msg(fabs(lower - tanks[_i].lower) <= EXACT * 25,
                  "%s: %.10g, by hand %.10g", tanks[_i].what, lower,
                  tanks[_i].lower);
    solved_end(&s);
}
END_TEST

/* A bypass keeps the place behind a reducer above its setting: it shuts, and
 * the valve hangs on the bypass alone. */
START_TEST(reducer_shut_by_a_bypass)
{
    struct solved s = solved_site(
        site_of(FIXED(
            "80 psi") "[reducer r]\nfall-off = 0 psi at 10 gpm\nloss = 0 psi\n"
                      "from = s\n"
                      "set = 20 psi\n"
                      "[pipe p]\nfittings = none\n"
                      "from = s\n"
                      "to = r\n"
                      "length = 20 ft\n"
                      "c = 130\n"
                      "inside diameter = 1 in\n" CLOSET FIXTURE("f", "r")),
        FC_EXISTING);
    const char *f = "f";
    const struct fci_drawn *drawn = run_named(&s, &f, 1);

    ck_assert_double_lt(fabs(s.elements[solved_element(&s, "r")].flow), 1e-12);
    ck_assert_double_gt(drawn->pressure, 20 * PSI);
    ck_assert_double_lt(fabs(left_over(&s, 80 * PSI, drawn->flow, 1)), 0.1);
    solved_end(&s);
}
END_TEST

/* A loop that nothing flows in: a pipe beside another to a dead end. */
START_TEST(loop_at_rest)
{
    struct solved s = solved_site(
        site_of("[site]\nmaterial = copper L\n" FIXED("36 psi")
                    CLOSET FIXTURE("f", "s") "[pipe dead]\nfittings = none\n"
                                             "from = s\n"
                                             "size = 1 in\n"
                                             "length = 10 ft\n"
                                             "[pipe beside]\nfittings = none\n"
                                             "from = s\n"
                                             "to = dead\n"
                                             "size = 1 in\n"
                                             "length = 50 ft\n"),
        FC_EXISTING);
    const char *f = "f";
    const struct fci_drawn *drawn = run_named(&s, &f, 1);

    near(drawn->pressure / PSI, 36, "the valve");
    ck_assert_double_lt(fabs(s.elements[solved_element(&s, "beside")].flow),
                        1e-6);
    ck_assert_double_lt(
        fabs(s.elements[solved_element(&s, "dead")].pressure - 36 * PSI), 0.1);
    solved_end(&s);
}
END_TEST

TCase *
solver_by_hand(void)
{
    TCase *tcase = tcase_create("by hand");

    tcase_add_loop_test(tcase, one_valve, 0, COUNT(valves));
    tcase_add_test(tcase, ends_of_a_rate);
    tcase_add_loop_test(tcase, draws_nothing, 0, COUNT(without));
    tcase_add_test(tcase, dry_above_wet_below);
    tcase_add_test(tcase, starved_by_the_one_below);
    tcase_add_test(tcase, sharp_step);
    tcase_add_loop_test(tcase, crowd, 0, COUNT(crowds));
    tcase_add_loop_test(tcase, piece_after_piece, 0, COUNT(chains));
    tcase_add_loop_test(tcase, two_tanks, 0, COUNT(tanks));
    tcase_add_test(tcase, reducer_shut_by_a_bypass);
    tcase_add_test(tcase, loop_at_rest);
    return tcase;
}
