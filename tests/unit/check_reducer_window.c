/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_reducer_window.c -- what a reducer may be set to.
 *
 * By hand, where pipes have no length and water weighs 0.43310 psi a foot (60
 * degF, see unit/check_water.c); then over generated buildings, each built
 * again with the reducer set to what the window says and judged.
 */
#include "unit/building_suite.h"
#include "remedy/reducer_window.h"
#include "generators/sites.h"

#include <gsl/gsl_rng.h>
#include <math.h>

/* What is found in one site. */
struct found {
    fc_site *site;
    struct fci_judge judge;
    struct fci_arena arena;
    const fc_reducer_window *windows;
    size_t n;
};

static void
find(struct found *f, fc_site *site, fc_state state)
{
    memset(f, 0, sizeof *f);
    ck_assert_ptr_nonnull(site);
    f->site = site;
    ck_assert_int_eq(fci_judge_begin(&f->judge, site, NULL), FC_OK);
    if (state == FC_RETROFIT && !f->judge.converted)
        return;
    ck_assert_int_eq(
        fci_reducer_windows(&f->judge, state, &f->arena, &f->windows, &f->n),
        FC_OK);
}

static void
end(struct found *f)
{
    fci_arena_free(&f->arena);
    fci_judge_end(&f->judge);
    fc_site_free(f->site);
}

static const fc_reducer_window *
window_of(const struct found *f, const char *reducer)
{
    size_t i;

    for (i = 0; i < f->n; i++)
        if (f->windows[i].reducer
            && strcmp(f->windows[i].reducer, reducer) == 0)
            return &f->windows[i];
    ck_abort_msg("no window of %s", reducer);
    return NULL;
}

static bool
same_name(const char *a, const char *b)
{
    return a == b || (a && b && strcmp(a, b) == 0);
}

/* Half of the last digit of 0.43310 psi/ft over 200 ft is 0.001 psi. */
static void
assert_psi(double pressure, double psi)
{
    ck_assert_msg(pressure == psi * PSI || fabs(pressure / PSI - psi) <= 0.002,
                  "%.6f psi, not %.6f", pressure / PSI, psi);
}

/* ---- By hand: a tall riser --------------------------------------------- */

/* A reducer at the foot of a riser with a urinal at each of 20 floors of 10
 * ft.  By International Plumbing Code, Table 604.3, each needs 25 psi, and
 * none may have more than 80 psi.
 *
 * Of all floors, the top one (200 ft) needs 25 + 0.43310 x 200 = 111.620 psi
 * at the reducer, the first (10 ft) bears 80 + 0.43310 x 10 = 84.331 psi:
 * there is no setting.  One zone spans 80 - 25 = 55 psi, 126.99 ft, 12 floors
 * above its lowest.  So the first zone is floors 1 to 13: from
 * 25 + 0.43310 x 130 = 81.303 to 84.331 psi; the second is floors 14 to 20:
 * from 111.620 to 80 + 0.43310 x 140 = 140.634 psi. */
#define FREE_PIPE                                                             \
    "fittings = none\nlength = 200 ft\nc = 140\ninside diameter = 1000 in\n"
#define MAIN(pressure)                                                        \
    "[source main]\nkind = fixed\npressure = " pressure "\n"                  \
    "[pipe entry]\nfrom = main\n" FREE_PIPE

#define TOWER(from)                                                           \
    "[pipe riser-1]\nfrom = " from "\nrise = 10 ft\n" FREE_PIPE               \
    "[pipe riser-{floor}]\nfloors = 2..20\nfrom = riser-{floor-1}\n"          \
    "rise = 10 ft\n" FREE_PIPE                                                \
    "[fixture u{floor}]\nfloors = 1..20\non = riser-{floor}\n"                \
    "kind = urinal, flush valve\n"

#define REDUCED                                                               \
    "[reducer r]\nfall-off = 0 psi at 10 gpm\nloss = 0 psi\nfrom = "          \
    "entry\nset = 90 psi\n"

static void
assert_tower(const fc_reducer_window *w)
{
    assert_psi(w->all.low, 111.620);
    assert_psi(w->all.high, 84.331);
    ck_assert_str_eq(w->all.short_first, "u20");
    ck_assert_str_eq(w->all.high_first, "u1");
    ck_assert(!w->all.possible);
    ck_assert_double_eq_tol(w->all.lowest, 10 * FOOT, 1e-9);
    ck_assert_double_eq_tol(w->all.highest, 200 * FOOT, 1e-9);
    ck_assert_uint_eq(w->n_zones, 2);
    assert_psi(w->zones[0].low, 81.303);
    assert_psi(w->zones[0].high, 84.331);
    ck_assert_str_eq(w->zones[0].short_first, "u13");
    ck_assert_str_eq(w->zones[0].high_first, "u1");
    ck_assert_double_eq_tol(w->zones[0].lowest, 10 * FOOT, 1e-9);
    ck_assert_double_eq_tol(w->zones[0].highest, 130 * FOOT, 1e-9);
    assert_psi(w->zones[1].low, 111.620);
    assert_psi(w->zones[1].high, 140.634);
    ck_assert_str_eq(w->zones[1].short_first, "u20");
    ck_assert_str_eq(w->zones[1].high_first, "u14");
    ck_assert_double_eq_tol(w->zones[1].lowest, 140 * FOOT, 1e-9);
    ck_assert_double_eq_tol(w->zones[1].highest, 200 * FOOT, 1e-9);
    ck_assert(w->zones[0].possible && w->zones[1].possible);
}

START_TEST(tall_riser)
{
    struct found f;

    find(&f, site_of(MAIN("200 psi") REDUCED TOWER("r")), FC_EXISTING);
    ck_assert_uint_eq(f.n, 1);
    ck_assert_str_eq(f.windows[0].reducer, "r");
    ck_assert_str_eq(f.windows[0].behind, "entry");
    assert_psi(f.windows[0].set.nominal, 90);
    assert_psi(f.windows[0].reaches, 200);
    assert_tower(&f.windows[0]);
    end(&f);
}
END_TEST

/* The same without a reducer: it would stand behind the entry. */
START_TEST(tall_riser_without)
{
    struct found f;

    find(&f, site_of(MAIN("200 psi") TOWER("entry")), FC_EXISTING);
    ck_assert_uint_eq(f.n, 1);
    ck_assert_ptr_null(f.windows[0].reducer);
    ck_assert_str_eq(f.windows[0].behind, "entry");
    ck_assert(!f.windows[0].set.given);
    assert_psi(f.windows[0].reaches, 200);
    assert_tower(&f.windows[0]);
    end(&f);
}
END_TEST

/* ---- By hand: where one would stand ------------------------------------ */

#define METER "[meter m]\nfrom = entry\nloss = 5 psi\n"
#define SERVICE "[pipe service]\nfrom = m\n" FREE_PIPE
#define RISERS                                                                \
    "[pipe a]\nfrom = service\n" FREE_PIPE                                    \
    "[pipe b]\nfrom = service\n" FREE_PIPE "[fixture x]\non = a\n"            \
    "kind = urinal, flush valve\n"

static const struct {
    const char *site;
    const char *behind; /* NULL: none is needed */
} mains[] = {
    { MAIN("90 psi") METER SERVICE RISERS, "m" },
    { MAIN("79.999 psi") METER SERVICE RISERS, NULL },
    { MAIN("80 psi") METER SERVICE RISERS, NULL },
    { MAIN("75..81 psi") METER SERVICE RISERS, "m" },
    /* What draws from the meter, the entry or the main. */
    { MAIN("90 psi") METER SERVICE RISERS "[demand d]\non = m\nflow = 1 gpm\n",
      "entry" },
    { MAIN("90 psi") METER SERVICE RISERS
      "[demand d]\non = entry\nflow = 1 gpm\n",
      "main" },
    { MAIN("90 psi") METER SERVICE RISERS
      "[demand d]\non = main\nflow = 1 gpm\n",
      "main" },
    { MAIN("90 psi") METER SERVICE RISERS
      "[fixture y]\non = entry\nkind = urinal, flush valve\n",
      "main" },
    { MAIN("90 psi") METER SERVICE RISERS
      "[fixture l]\non = a\nkind = lavatory\n"
      "[heater h]\non = m\nserves = l\n",
      "entry" },
    { MAIN("90 psi") METER SERVICE RISERS "[pipe c]\nfrom = m\n" FREE_PIPE,
      "entry" },
    { MAIN("90 psi") METER SERVICE RISERS "[pipe c]\nfrom = main\n" FREE_PIPE,
      "main" },
    { MAIN("90 psi") "[fixture y]\non = entry\nkind = urinal, flush valve\n",
      "main" },
};

START_TEST(where_it_would_stand)
{
    struct found f;

    find(&f, site_of(mains[_i].site), FC_EXISTING);
    ck_assert_uint_eq(f.n, mains[_i].behind != NULL);
    if (mains[_i].behind)
        ck_assert_str_eq(f.windows[0].behind, mains[_i].behind);
    end(&f);
}
END_TEST

/* ---- By hand: one closet ----------------------------------------------- */

#define REDUCER(keys) "[reducer r]\nloss = 0 psi\nfrom = entry\n" keys
#define STEADY_VALVE                                                          \
    .fall_off = fc_exactly(0), .fall_off_flow = fc_exactly(GPM),              \
    .loss = { .kind = FC_CONSTANT_LOSS, .pressure = fc_exactly(0) }
#define STEADY "fall-off = 0 psi at 10 gpm\n"
#define CLOSET(on)                                                            \
    "[fixture x]\non = " on "\nkind = water closet, flush valve\n"            \
    "use = public\n"
#define VALVE(keys) "existing = v\n[valve v]\n" keys
#define SET_50 REDUCER(STEADY "set = 50 psi\n")
#define SET_70 REDUCER(STEADY "set = 70 psi\n")
#define FALLS_OFF "fall-off = 6 psi at 54 gpm\n"
#define PUMP(keys)                                                            \
    "[pump k]\nfrom = r\ncurve = 0 gpm 100 ft, 60 gpm 100 ft\n" keys
#define TWO_PUMPS                                                             \
    "[pump j]\nfrom = r\ncurve = 0 gpm 100 ft, 60 gpm 100 ft\n"               \
    "hold = 90 psi\n"                                                         \
    "[pump k]\nfrom = j\ncurve = 0 gpm 20 ft, 60 gpm 20 ft\n"                 \
    "hold = 75 psi\n"
#define BEHIND(set)                                                           \
    "[reducer s]\nfall-off = 0 psi at 10 gpm\nloss = 0 psi\nfrom = r\nset "   \
    "= " set "\n"
#define BEFORE(set)                                                           \
    "[reducer o]\nfall-off = 0 psi at 10 gpm\nloss = 0 psi\nfrom = "          \
    "entry\nset = " set "\n[reducer r]\nfall-off = 0 psi at 10 gpm\nloss = "  \
    "0 psi\nfrom = o\nset = 50 psi\n"
#define BELOW(rise) "[pipe d]\nfrom = s\nrise = " rise "\n" FREE_PIPE
#define RAISED "[pump k]\nfrom = s\ncurve = 0 gpm 100 ft, 60 gpm 100 ft\n"
#define BACKFLOW "[backflow k]\nfrom = r\nloss = 8 psi\n"
#define TANK_URINAL "[fixture x]\non = r\nkind = urinal, flush tank\n"
#define TOLERANCE(pressure) "[tolerance]\npressure = " pressure "\n"
#define STRICT_VALVE                                                          \
    VALVE("minimum flowing = 30..44 psi\nmaximum static = 60 psi\n")
#define NONE INFINITY

/* A closet needs 35 psi and draws 25 gpm (IPC Table 604.3); alone it is 10
 * fixture units, 27.0 gpm (Appendix E, Tables E103.3(2) and (3)). */
static const struct {
    const char *site;
    double low, high, reaches; /* psi */
} windows[] = {
    { MAIN("100 psi") SET_50 CLOSET("r"), 35, 80, 100 },
    /* No setting lets in more than the main has. */
    { MAIN("80 psi") SET_50 CLOSET("r"), 35, NONE, 80 },
    { MAIN("79..81 psi") SET_50 CLOSET("r"), 35, 80, 79 },
    { MAIN("30 psi") SET_50 CLOSET("r"), 35, NONE, 30 },
    /* 6 psi at 54 gpm is 3 psi at 27 gpm. */
    { MAIN("100 psi") REDUCER("set = 50 psi\n") FALLS_OFF CLOSET("r"), 38, 80,
      100 },
    /* A stop takes 1 psi at 12.5 gpm, 4 psi at the closet's 25 gpm. */
    { MAIN("100 psi") REDUCER("set = 50 psi\n")
          FALLS_OFF CLOSET("r") "stop = 1 psi at 12.5 gpm\n",
      42, 80, 100 },
    { "[site]\nreserve = 5 psi\nmaximum static = 70 psi\n" MAIN("100 psi")
          SET_50 CLOSET("r"),
      40, 70, 100 },
    /* Wide open it takes 2 psi at 54 gpm, 0.5 psi at 27 gpm; it stands 10 ft
     * up: 100 - 4.331 - 0.5. */
    { MAIN("100 psi") "[reducer r]\nfrom = entry\nset = 50 psi\n" STEADY
                      "rise = 10 ft\nloss = 2 psi at 54 gpm\n" CLOSET("r"),
      35, 80, 95.169 },
    /* The setting may be 3 psi less, or 3 psi more: 35 + 3, 80 - 3. */
    { MAIN("100 psi") REDUCER(STEADY "set = 50..56 psi\n") CLOSET("r"), 38, 77,
      100 },
    { TOLERANCE("2 psi") MAIN("100 psi") SET_50 CLOSET("r"), 37, 78, 98 },
    { TOLERANCE("2 psi") MAIN("100 psi") REDUCER(STEADY "set = 50..56 psi\n")
          CLOSET("r"),
      38, 77, 98 },
    /* Nearly all that is set: it may be 1 to 5 psi; still 35 + 2, 80 - 2. */
    { TOLERANCE("2 psi") MAIN("100 psi") REDUCER(STEADY "set = 3 psi\n")
          CLOSET("r"),
      37, 78, 98 },
    /* 5 % of the setting: 35 / 0.95, 80 / 1.05. */
    { TOLERANCE("5 %") MAIN("100 psi") SET_50 CLOSET("r"), 36.8421, 76.1905,
      95 },
    /* The valve's own; the ends that are worse. */
    { MAIN("100 psi") SET_50 CLOSET("r") STRICT_VALVE, 44, 60, 100 },
    /* 9 to 11 ft up: 35 + 11 x 0.43310, 80 + 9 x 0.43310. */
    { MAIN("100 psi") SET_50 CLOSET("r") "rise = 9..11 ft\n", 39.764, 83.898,
      100 },
    /* 200 ft down it has 86.62 psi more: no setting is low enough, and the
     * least there is would do. */
    { MAIN("100 psi") SET_50 CLOSET("r") "rise = -200 ft\n", 0, -6.62, 100 },
    /* A backflow preventer takes 8 psi at peak; without flow a check valve may
     * trap what was there before. */
    { MAIN("100 psi") SET_50 BACKFLOW CLOSET("k"), 43, 80, 100 },
    /* 100 ft of head are 43.31 psi, at 0 and 27 gpm. */
    { MAIN("100 psi") SET_50 PUMP("") CLOSET("k"), -8.31, 36.69, 100 },
    { MAIN("100 psi") SET_50 PUMP("running = no\n") CLOSET("k"), 35, 80, 100 },
    /* One that holds 70 psi lets through what comes in above that, and one
     * that holds 90 psi raises what comes in by all it can. */
    { MAIN("100 psi") SET_50 PUMP("hold = 70 psi\n") CLOSET("k"), -8.31, 80,
      100 },
    { MAIN("100 psi") SET_50 PUMP("hold = 90 psi\n") CLOSET("k"), -8.31, 36.69,
      100 },
    /* One that holds less than the 35 psi needed stands still with those. */
    { MAIN("100 psi") SET_50 PUMP("hold = 30 psi\n") CLOSET("k"), 35, 80,
      100 },
    { MAIN("100 psi") SET_50 PUMP("rise = 10 ft\nhold = 35.1 psi\n")
          CLOSET("k"),
      35 - 43.31 + 4.331, 84.331, 100 },
    { MAIN("100 psi") SET_50 PUMP("rise = 10 ft\nhold = 34.9 psi\n")
          CLOSET("k"),
      39.331, 84.331, 100 },
    /* 10 ft up before it and 20 ft behind it: 80 + 20 ft is 88.662 psi at its
     * outlet, over 85 psi, so that it is what comes in that counts:
     * 88.662 + 4.331; under it what it adds: 88.662 - 43.31 + 4.331. */
    { MAIN("200 psi") SET_50 PUMP("rise = 10 ft\nhold = 85 psi\n")
          CLOSET("k") "rise = 20 ft\n",
      4.683, 92.993, 200 },
    { MAIN("200 psi") SET_50 PUMP("rise = 10 ft\nhold = 90 psi\n")
          CLOSET("k") "rise = 20 ft\n",
      4.683, 49.683, 200 },
    /* Two that hold: behind the second no more than 80 psi, so no more than 80
     * before it (it holds 75) and no more than 80 - 43.31 before the first. */
    { MAIN("200 psi") SET_50 TWO_PUMPS CLOSET("k"), -16.972, 36.69, 200 },
    /* One behind it that holds the closet at 60 psi at most; or at 90. */
    { MAIN("100 psi") SET_70 BEHIND("60 psi") CLOSET("s"), 35, NONE, 100 },
    { MAIN("100 psi") SET_70 BEHIND("80 psi") CLOSET("s"), 35, NONE, 100 },
    { MAIN("100 psi") SET_70 BEHIND("79..81 psi") CLOSET("s"), 35, 80, 100 },
    /* Behind it 20 ft down there are 68.662 psi at most, or 88.662. */
    { MAIN("100 psi") SET_70 BEHIND("60 psi") CLOSET("s") "rise = -20 ft\n",
      26.338, NONE, 100 },
    { MAIN("100 psi") SET_70 BEHIND("75 psi") CLOSET("s") "rise = -20 ft\n",
      26.338, 71.338, 100 },
    /* The same by a pipe; 20 ft up there are 85 - 8.662 = 76.338 psi at most,
     * or 81.338 psi. */
    { MAIN("100 psi") SET_70 BEHIND("60 psi") BELOW("-20 ft") CLOSET("d"),
      26.338, NONE, 100 },
    { MAIN("100 psi") SET_70 BEHIND("75 psi") BELOW("-20 ft") CLOSET("d"),
      26.338, 71.338, 100 },
    { MAIN("100 psi") SET_70 BEHIND("85 psi") BELOW("20 ft") CLOSET("d"),
      43.662, NONE, 100 },
    { MAIN("100 psi") SET_70 BEHIND("90 psi") BELOW("20 ft") CLOSET("d"),
      43.662, 88.662, 100 },
    /* A pump behind that one: 30 + 43.31 = 73.31 psi at most, or 83.31. */
    { MAIN("100 psi") SET_70 BEHIND("30 psi") RAISED CLOSET("k"), -8.31, NONE,
      100 },
    { MAIN("100 psi") SET_70 BEHIND("40 psi") RAISED CLOSET("k"), -8.31, 36.69,
      100 },
    /* One before it that lets in 75 psi at most; or 90. */
    { MAIN("100 psi") BEFORE("75 psi") CLOSET("r"), 35, NONE, 75 },
    { MAIN("100 psi") BEFORE("90 psi") CLOSET("r"), 35, 80, 90 },
    /* A tank's urinal has no need by the code: only its maximum counts. */
    { MAIN("100 psi") SET_50 TANK_URINAL, 0, 80, 100 },
};

START_TEST(one_window)
{
    const double low = fmax(windows[_i].low, 0); /* none is set below 0 */
    const fc_reducer_window *w;
    struct found f;

    find(&f, site_of(windows[_i].site), FC_EXISTING);
    w = window_of(&f, "r");
    assert_psi(w->all.low, low);
    assert_psi(w->all.high, windows[_i].high);
    assert_psi(w->reaches, windows[_i].reaches);
    ck_assert_int_eq(w->all.possible, low <= windows[_i].high);
    ck_assert_ptr_eq(w->all.short_first,
                     low > 0 ? f.site->fixtures[0].given->name : NULL);
    ck_assert_ptr_eq(w->all.high_first, windows[_i].high < INFINITY
                                            ? f.site->fixtures[0].given->name
                                            : NULL);
    ck_assert_uint_eq(w->n_zones, !w->all.possible);
    end(&f);
}
END_TEST

#define IDLE                                                                  \
    "[reducer idle]\nfall-off = 0 psi at 10 gpm\nloss = 0 psi\nfrom = "       \
    "entry\nset = 50 psi\n"
#define RETROFIT                                                              \
    "retrofit = v\n[valve v]\nminimum flowing = 45 psi\n"                     \
    "maximum static = 70 psi\n"

/* The valve that takes the old one's place counts in its state only; nothing
 * behind a reducer asks nothing. */
START_TEST(of_a_state)
{
    static const char text[] =
        MAIN("100 psi") SET_50 IDLE CLOSET("r") RETROFIT;
    static const double low[FC_STATES] = { 35, 45 },
                        high[FC_STATES] = { 80, 70 };
    struct found f;
    int state;

    for (state = 0; state < FC_STATES; state++) {
        const fc_reducer_window *idle;

        find(&f, site_of(text), (fc_state)state);
        ck_assert_uint_eq(f.n, 2);
        assert_psi(window_of(&f, "r")->all.low, low[state]);
        assert_psi(window_of(&f, "r")->all.high, high[state]);
        idle = window_of(&f, "idle");
        ck_assert(isnan(idle->all.lowest) && isnan(idle->all.highest));
        ck_assert(idle->all.low <= 0 && isinf(idle->all.high));
        ck_assert(idle->all.possible && idle->n_zones == 0);
        end(&f);
    }
}
END_TEST

/* ---- Zones against every way to split ---------------------------------- */

#define MOST_LEVELS 8

struct level {
    double height, low, high; /* m, Pa at the reducer */
};

struct stack {
    gsl_rng *rng;
    fc_site *site;
    struct level levels[MOST_LEVELS];
    int n;
};

static double
between(gsl_rng *rng, double low, double high)
{
    return low + (high - low) * gsl_rng_uniform(rng);
}

/* A fixture on the riser at some height over the reducer, with a need and a
 * maximum of its own. */
static void
add_to_level(struct stack *s, struct level *level, double height, int number)
{
    const double need = between(s->rng, 15, 60) * PSI,
                 most = need + between(s->rng, 1, 60) * PSI;
    const double weight = 0.43310 * PSI / FOOT;
    char name[16], valve_name[16];
    const fc_valve valve = { .name = valve_name,
                             .minimum_flowing = fc_exactly(need),
                             .maximum_static = fc_exactly(most) };
    const fc_fixture fixture = { .name = name,
                                 .on = "r",
                                 .kind = "water closet, flush valve",
                                 .rise = fc_exactly(height),
                                 .existing = valve_name };

    snprintf(name, sizeof name, "x%d", number);
    snprintf(valve_name, sizeof valve_name, "v%d", number);
    ck_assert_int_eq(fc_site_add_valve(s->site, &valve, NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_fixture(s->site, &fixture, NULL), FC_OK);
    level->low = fmax(level->low, need + weight * height);
    level->high = fmin(level->high, most + weight * height);
}

static void
make_stack(struct stack *s, unsigned long seed)
{
    const fc_settings settings = { .code_minimum = FC_NO,
                                   .maximum_static = fc_exactly(1000 * PSI) };
    const fc_source source = { .name = "main",
                               .kind = FC_FIXED,
                               .pressure = fc_exactly(2000 * PSI) };
    const fc_reducer reducer = {
        .name = "r", STEADY_VALVE, .from = "main", .set = fc_exactly(50 * PSI)
    };
    double height = 0;
    int i, k, number = 0;

    s->rng = gsl_rng_alloc(gsl_rng_mt19937);
    gsl_rng_set(s->rng, seed);
    s->site = fc_site_new();
    ck_assert_int_eq(fc_site_set(s->site, &settings, NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_source(s->site, &source, NULL), FC_OK);
    ck_assert_int_eq(fc_site_add_reducer(s->site, &reducer, NULL), FC_OK);
    s->n = 1 + (int)gsl_rng_uniform_int(s->rng, MOST_LEVELS);
    for (i = 0; i < s->n; i++) {
        s->levels[i] = (struct level){ height, 0, INFINITY };
        /* of one floor, within 0.05 m of its lowest */
        for (k = 1 + (int)gsl_rng_uniform_int(s->rng, 3); k > 0; k--)
            add_to_level(s, &s->levels[i], height + 0.02 * (k - 1), number++);
        height += between(s->rng, 0.1, 12);
    }
    ck_assert_int_eq(fc_site_finish(s->site, NULL), FC_OK);
}

static struct level
together(const struct level *levels, int first, int n)
{
    struct level all = levels[first];
    int i;

    for (i = first + 1; i < first + n; i++) {
        all.low = fmax(all.low, levels[i].low);
        all.high = fmin(all.high, levels[i].high);
    }
    return all;
}

/* The parts of one split, by a bit for each boundary; 0: some part of several
 * floors has no window. */
static int
parts_of(const struct stack *s, unsigned split)
{
    int first = 0, i, parts = 0;

    for (i = 1; i <= s->n; i++) {
        struct level all;

        if (i < s->n && !(split >> (i - 1) & 1))
            continue;
        all = together(s->levels, first, i - first);
        if (i - first > 1 && all.low > all.high)
            return 0;
        parts++;
        first = i;
    }
    return parts;
}

static int
fewest_parts(const struct stack *s)
{
    int fewest = s->n;
    unsigned split;

    for (split = 0; split < 1u << (s->n - 1); split++) {
        const int parts = parts_of(s, split);

        if (parts > 0 && parts < fewest)
            fewest = parts;
    }
    return fewest;
}

/* 0.43310 psi/ft is rounded: over 85 m by 0.0014 psi at most.  A window as
 * narrow as that may go either way. */
#define ROUNDING (0.002 * PSI)

static bool
is_close_call(const struct stack *s)
{
    int i, k;

    for (i = 0; i < s->n; i++)
        for (k = 0; k < s->n; k++)
            if (fabs(s->levels[i].low - s->levels[k].high) < 2 * ROUNDING)
                return true;
    return false;
}

/* Each zone is a run of floors with the window that they have. */
static void
assert_zones(const struct stack *s, const fc_reducer_window *w)
{
    int first = 0;
    size_t i;

    for (i = 0; i < w->n_zones; i++) {
        const fc_reducer_zone *zone = &w->zones[i];
        struct level all;
        int n = 0;

        ck_assert_int_lt(first, s->n);
        ck_assert_double_eq_tol(zone->lowest, s->levels[first].height, 1e-9);
        while (first + n < s->n
               && s->levels[first + n].height <= zone->highest + 1e-9)
            n++;
        all = together(s->levels, first, n);
        ck_assert_double_eq_tol(zone->low, all.low, ROUNDING);
        ck_assert_double_eq_tol(zone->high, all.high, ROUNDING);
        ck_assert_int_eq(zone->possible, all.low <= all.high);
        ck_assert(zone->possible || n == 1);
        first += n;
    }
    ck_assert_int_eq(first, s->n);
}

START_TEST(every_split)
{
    const fc_reducer_window *w;
    struct stack s;
    struct level all;
    struct found f;

    make_stack(&s, (unsigned long)_i);
    find(&f, s.site, FC_EXISTING);
    w = window_of(&f, "r");
    all = together(s.levels, 0, s.n);
    ck_assert_double_eq_tol(w->all.low, all.low, ROUNDING);
    ck_assert_double_eq_tol(w->all.high, all.high, ROUNDING);
    if (!is_close_call(&s)) {
        ck_assert_int_eq(w->all.possible, all.low <= all.high);
        if (w->all.possible) {
            ck_assert_uint_eq(w->n_zones, 0);
        } else {
            ck_assert_uint_eq(w->n_zones, (size_t)fewest_parts(&s));
            assert_zones(&s, w);
        }
    }
    gsl_rng_free(s.rng);
    end(&f);
}
END_TEST

/* ---- Generated buildings ----------------------------------------------- */

#define JUST (0.01 * PSI) /* outside a window */
#define WIDE_OPEN (1e5 * PSI)

/* What was tried over all buildings, so that a test of nothing is seen. */
static struct {
    int windows, zones, lows, highs, nested, limited, absent;
} tried;

static void
become_reducer(struct building_part *part, gsl_rng *rng)
{
    const double set = between(rng, 35, 120), width = between(rng, 0, 4);
    const fc_reducer reducer = { .name = part->as.name,
                                 STEADY_VALVE,
                                 .from = building_from(part),
                                 .rise = *building_rise(part),
                                 .set = fc_between(set * PSI,
                                                   (set + width) * PSI) };

    part->kind = FCI_REDUCER;
    part->as.reducer = reducer;
}

static void
become_pump(struct building_part *part, gsl_rng *rng)
{
    static const fc_point curve[] = { { 0, 40 }, { 100 * GPM, 25 } };
    const fc_pump pump = { .name = part->as.name,
                           .from = building_from(part),
                           .rise = *building_rise(part),
                           .curve = curve,
                           .n_curve = COUNT(curve),
                           .hold = fc_exactly(between(rng, 50, 150) * PSI) };

    part->kind = FCI_PUMP;
    part->as.pump = pump;
}

/* Some pipes become reducers, so that they are nested, and a few become pumps
 * that hold; many mains have more pressure. */
static void
add_reducers(struct building *b, gsl_rng *rng)
{
    size_t i;

    for (i = 0; i < b->n_parts; i++) {
        struct building_part *part = &b->parts[i];
        const double x = gsl_rng_uniform(rng);

        if (part->kind == FCI_SOURCE && x < 0.6) {
            const fc_source source = { .name = part->as.name,
                                       .kind = FC_FIXED,
                                       .pressure = fc_exactly(
                                           between(rng, 60, 250) * PSI) };

            part->as.source = source;
        }
        if (part->kind != FCI_PIPE)
            continue;
        if (x < 0.12)
            become_reducer(part, rng);
        else if (x < 0.17)
            become_pump(part, rng);
    }
}

/* A building at random, with no reducer where it shall have none. */
static void
make_building(struct building *b, unsigned long seed, bool reducers)
{
    const struct building_plan plan = { .fewest = 6,
                                        .most = 40,
                                        .ranges = seed % 2 == 1 };
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);

    gsl_rng_set(rng, seed + 1000);
    building_make(b, seed, &plan);
    if (reducers)
        add_reducers(b, rng);
    gsl_rng_free(rng);
}

/* The reducer set to x, its range going with it. */
static void
set_to(struct building *b, const char *reducer, double x)
{
    struct building_part *part = building_find(b, false, reducer);
    fc_range *set;

    ck_assert_ptr_nonnull(part);
    ck_assert_int_eq(part->kind, FCI_REDUCER);
    set = &part->as.reducer.set;
    *set = (fc_range){ true, x, x - (set->nominal - set->low),
                       x + (set->high - set->nominal) };
}

/* A building with one reducer set otherwise, judged. */
struct trial {
    struct building b;
    struct fci_judge judge;
    fc_site *site;
    fc_state state;
};

/* False: the setting's low end would not be positive. */
static bool
try_setting(struct trial *t, const struct building *b, const char *reducer,
            double x, fc_state state)
{
    const fc_range *set;

    building_copy(&t->b, b);
    set_to(&t->b, reducer, x);
    set = &building_find(&t->b, false, reducer)->as.reducer.set;
    if (set->low < 1) { /* Pa; a file has no less */
        building_free(&t->b);
        return false;
    }
    t->state = state;
    t->site = building_site(&t->b, NULL);
    ck_assert_ptr_nonnull(t->site);
    ck_assert_int_eq(fci_judge_begin(&t->judge, t->site, NULL), FC_OK);
    return true;
}

static void
end_trial(struct trial *t)
{
    fci_judge_end(&t->judge);
    fc_site_free(t->site);
    building_free(&t->b);
}

static struct fci_judgement
judge_at(const struct trial *t, size_t fixture)
{
    return fci_judge_fixture(&t->judge, &t->site->fixtures[fixture], t->state);
}

static bool
is_behind(const fc_site *site, size_t element, const char *reducer)
{
    for (; element != FCI_NONE; element = site->elements[element].parent)
        if (strcmp(site->elements[element].name, reducer) == 0)
            return true;
    return false;
}

static double
inlet_height(const struct trial *t, const struct fci_fixture *fixture)
{
    return t->judge.rest[fixture->element].elevation
           + fixture->given->rise.nominal;
}

static bool
is_in_zone(const struct trial *t, const struct fci_fixture *fixture,
           const char *reducer, const fc_reducer_zone *zone)
{
    const double height = inlet_height(t, fixture);

    return is_behind(t->site, fixture->element, reducer)
           && height >= zone->lowest && height <= zone->highest;
}

static bool
is_short(struct fci_judgement j)
{
    return j.need.pressure.given && j.margin.low < -FCI_SAME_PRESSURE;
}

static bool
is_over(struct fci_judgement j)
{
    return j.need.maximum_static - j.trapped.high < -FCI_SAME_PRESSURE;
}

static struct fci_judgement
judge_named(const struct trial *t, const char *fixture)
{
    size_t i = 0;

    ck_assert_int_eq(fci_find_fixture_named(t->site, fixture, &i, NULL),
                     FC_OK);
    return judge_at(t, i);
}

/* One reducer of one building, judged wide open too. */
struct subject {
    const struct building *b;
    const char *reducer;
    fc_state state;
    struct trial open;
};

/* At a setting no fixture of the zone is short that is not with the reducer
 * wide open, as far as the setting is high enough, nor over its maximum, as
 * far as it is low enough. */
static void
assert_at(struct subject *s, const fc_reducer_zone *zone, double x)
{
    struct trial t;
    size_t i;

    if (!try_setting(&t, s->b, s->reducer, x, s->state))
        return;
    for (i = 0; i < t.site->n_fixtures; i++) {
        const struct fci_judgement j = judge_at(&t, i);
        const char *name = t.site->fixtures[i].given->name;

        if (!is_in_zone(&t, &t.site->fixtures[i], s->reducer, zone))
            continue;
        if (x >= zone->low && is_short(j)) {
            ck_assert_msg(is_short(judge_at(&s->open, i)),
                          "building %lu: %s is short with %s at %.6f psi",
                          s->b->seed, name, s->reducer, x / PSI);
            tried.limited++;
        }
        ck_assert_msg(x > zone->high || !is_over(j),
                      "building %lu: %s is over with %s at %.6f psi",
                      s->b->seed, name, s->reducer, x / PSI);
    }
    end_trial(&t);
}

static void
assert_too_low(struct subject *s, const fc_reducer_zone *zone)
{
    struct trial t;

    if (!zone->short_first
        || !try_setting(&t, s->b, s->reducer, zone->low - JUST, s->state))
        return;
    ck_assert_msg(is_short(judge_named(&t, zone->short_first)),
                  "building %lu: %s is not short with %s just under %.6f psi",
                  s->b->seed, zone->short_first, s->reducer, zone->low / PSI);
    tried.lows += !is_short(judge_named(&s->open, zone->short_first));
    end_trial(&t);
}

static void
assert_too_high(struct subject *s, const fc_reducer_zone *zone)
{
    struct trial t;

    if (!zone->high_first
        || !try_setting(&t, s->b, s->reducer, zone->high + JUST, s->state))
        return;
    ck_assert_msg(is_over(judge_named(&t, zone->high_first)),
                  "building %lu: %s is not over with %s just over %.6f psi",
                  s->b->seed, zone->high_first, s->reducer, zone->high / PSI);
    tried.highs++;
    end_trial(&t);
}

/* The edges of a window, a grid over it, and just outside. */
static void
assert_window(struct subject *s, const fc_reducer_zone *zone)
{
    const double top = fmin(zone->high, zone->low + 200 * PSI);
    int i;

    assert_at(s, zone, zone->low);
    assert_too_low(s, zone);
    assert_too_high(s, zone);
    if (zone->high < INFINITY)
        assert_at(s, zone, zone->high);
    else
        assert_at(s, zone, WIDE_OPEN);
    for (i = 1; i < 6 && zone->possible; i++)
        assert_at(s, zone, zone->low + (top - zone->low) * i / 6);
}

/* What would pass the reducer were it wide open. */
static void
assert_reach(const struct subject *s, double reaches)
{
    const struct trial *t = &s->open;
    size_t i;

    for (i = 0; i < t->site->n_elements; i++)
        if (strcmp(t->site->elements[i].name, s->reducer) == 0)
            ck_assert_double_eq_tol(
                reaches,
                fci_pressure_of(t->judge.peak[s->state][i].at[FCI_WORST]),
                1e-6);
}

static bool
is_nested(const fc_site *site, const char *reducer)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        if (site->elements[i].part->kind == FCI_REDUCER
            && strcmp(site->elements[i].name, reducer) != 0
            && is_behind(site, i, reducer))
            return true;
    return false;
}

static void
assert_reducer(const struct building *b, const fc_reducer_window *w,
               fc_state state)
{
    struct subject s = { .b = b, .reducer = w->reducer, .state = state };
    size_t i;

    ck_assert(try_setting(&s.open, b, w->reducer, WIDE_OPEN, state));
    assert_reach(&s, w->reaches);
    assert_window(&s, &w->all);
    ck_assert_int_eq(w->n_zones == 0, w->all.possible);
    for (i = 0; i < w->n_zones; i++) {
        assert_window(&s, &w->zones[i]);
        ck_assert(i == 0 || w->zones[i].lowest > w->zones[i - 1].highest);
    }
    tried.windows++;
    tried.zones += w->n_zones > 1;
    tried.nested += is_nested(s.open.site, w->reducer);
    end_trial(&s.open);
}

START_TEST(settings_tried)
{
    struct building b;
    struct found f;
    int state;
    size_t i;

    make_building(&b, (unsigned long)_i, true);
    for (state = 0; state < FC_STATES; state++) {
        find(&f, building_site(&b, NULL), (fc_state)state);
        for (i = 0; i < f.n; i++)
            if (f.windows[i].reducer)
                assert_reducer(&b, &f.windows[i], (fc_state)state);
        end(&f);
    }
    building_free(&b);
}
END_TEST

static void
assert_same_zone(const struct building *b, const fc_reducer_zone *one,
                 const fc_reducer_zone *two)
{
    ck_assert_msg(one->low == two->low
                      || fabs(one->low - two->low) <= 1e-6 * PSI,
                  "building %lu", b->seed);
    ck_assert_msg(one->high == two->high
                      || fabs(one->high - two->high) <= 1e-6 * PSI,
                  "building %lu", b->seed);
    ck_assert(isnan(one->lowest) == isnan(two->lowest));
    ck_assert(isnan(one->lowest)
              || (fabs(one->lowest - two->lowest) < 1e-6
                  && fabs(one->highest - two->highest) < 1e-6));
    ck_assert_int_eq(one->possible, two->possible);
}

static void
assert_same_window(const struct building *b, const fc_reducer_window *one,
                   const fc_reducer_window *two)
{
    size_t i;

    assert_same_zone(b, &one->all, &two->all);
    ck_assert_double_eq_tol(one->reaches, two->reaches, 1e-6 * PSI);
    ck_assert_uint_eq(one->n_zones, two->n_zones);
    for (i = 0; i < one->n_zones; i++)
        assert_same_zone(b, &one->zones[i], &two->zones[i]);
}

/* ---- One that is put where it would stand ------------------------------ */

#define PUT_IN "put-in"

static void
move(const char **on, const char *behind)
{
    if (*on && strcmp(*on, behind) == 0)
        *on = PUT_IN;
}

/* All that hangs on `behind` hangs on a new reducer on it. */
static void
put_in(struct building *b, const char *behind)
{
    fc_reducer *reducer;
    size_t i;

    for (i = 0; i < b->n_parts; i++) {
        struct building_part *part = &b->parts[i];

        switch (part->kind) {
        case FCI_PIPE:
            move(&part->as.pipe.from, behind);
            break;
        case FCI_METER:
        case FCI_BACKFLOW:
        case FCI_DEVICE:
            move(&part->as.device.from, behind);
            break;
        case FCI_PUMP:
            move(&part->as.pump.from, behind);
            break;
        case FCI_FIXTURE:
            move(&part->as.fixture.on, behind);
            break;
        case FCI_DEMAND:
            move(&part->as.demand.on, behind);
            break;
        case FCI_HEATER:
            move(&part->as.heater.on, behind);
            break;
        default:
            break;
        }
    }
    reducer = &building_add(b, FCI_REDUCER)->as.reducer;
    *reducer = (fc_reducer){ .name = PUT_IN,
                             STEADY_VALVE,
                             .from = behind,
                             .set = fc_exactly(60 * PSI) };
}

static size_t
n_children(const fc_site *site, size_t element)
{
    size_t i, n = 0;

    for (i = 0; i < site->n_elements; i++)
        n += site->elements[i].parent == element;
    return n;
}

/* Whether the peak flow behind the element is all of the source's. */
static bool
is_on_main(const struct found *f, const char *behind, fc_state state)
{
    size_t i, k;

    for (i = 0; i < f->site->n_elements; i++)
        if (strcmp(f->site->elements[i].name, behind) == 0)
            break;
    ck_assert_uint_lt(i, f->site->n_elements);
    for (k = i; f->site->elements[k].parent != FCI_NONE;
         k = f->site->elements[k].parent)
        if (n_children(f->site, f->site->elements[k].parent) > 1)
            return false;
    return f->judge.demand[state][i].flow[FCI_WORST]
           >= f->judge.demand[state][k].flow[FCI_WORST];
}

START_TEST(put_in_place)
{
    struct building b, changed;
    struct found f, g;
    int state;

    make_building(&b, (unsigned long)_i, false);
    for (state = 0; state < FC_STATES; state++) {
        find(&f, building_site(&b, NULL), (fc_state)state);
        if (f.n == 1 && !f.windows[0].reducer) {
            ck_assert(is_on_main(&f, f.windows[0].behind, (fc_state)state));
            building_copy(&changed, &b);
            put_in(&changed, f.windows[0].behind);
            find(&g, building_site(&changed, NULL), (fc_state)state);
            ck_assert_uint_eq(g.n, 1);
            assert_same_window(&b, &f.windows[0], &g.windows[0]);
            assert_reducer(&changed, &g.windows[0], (fc_state)state);
            tried.absent++;
            end(&g);
            building_free(&changed);
        }
        end(&f);
    }
    building_free(&b);
}
END_TEST

/* ---- The same building, put otherwise ---------------------------------- */

START_TEST(however_put)
{
    static const fc_unit_system systems[] = { FC_US, FC_SI };
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    struct building b;
    struct found f, g;
    size_t i, k, *order;

    gsl_rng_set(rng, (unsigned long)_i);
    make_building(&b, (unsigned long)_i, _i % 4 > 0);
    order = building_order(b.n_parts, rng);
    find(&f, building_site(&b, NULL), FC_EXISTING);
    for (k = 0; k < 3; k++) {
        const struct building_style style = { .units = systems[k % 2] };

        find(&g, k < 2 ? building_read(&b, &style) : building_site(&b, order),
             FC_EXISTING);
        ck_assert_uint_eq(g.n, f.n);
        for (i = 0; i < f.n; i++)
            assert_same_window(&b, &f.windows[i],
                               f.windows[i].reducer
                                   ? window_of(&g, f.windows[i].reducer)
                                   : &g.windows[0]);
        for (i = 0; i < f.n; i++)
            ck_assert(f.windows[i].reducer
                      || same_name(f.windows[i].behind, g.windows[i].behind));
        end(&g);
    }
    end(&f);
    free(order);
    gsl_rng_free(rng);
    building_free(&b);
}
END_TEST

#define BUILDINGS 150

START_TEST(something_was_tried)
{
    ck_assert_int_gt(tried.windows, BUILDINGS);
    ck_assert_int_gt(tried.zones, BUILDINGS / 10);
    ck_assert_int_gt(tried.lows, BUILDINGS);
    ck_assert_int_gt(tried.highs, BUILDINGS / 4);
    ck_assert_int_gt(tried.nested, BUILDINGS / 4);
    ck_assert_int_gt(tried.limited, BUILDINGS / 4);
    ck_assert_int_gt(tried.absent, BUILDINGS / 10);
}
END_TEST

/* ---- A long run -------------------------------------------------------- */

#define LONG 20000

/* A pipe of an inch after another, and a closet at the end: neither time nor
 * depth of calls may grow with the square of their number. */
START_TEST(long_run)
{
    const fc_source source = { .name = "main",
                               .kind = FC_FIXED,
                               .pressure = fc_exactly(2000 * PSI) };
    const fc_reducer reducer = {
        .name = "p0", STEADY_VALVE, .from = "main", .set = fc_exactly(50 * PSI)
    };
    fc_site *site = fc_site_new();
    char name[16], from[16];
    struct found f;
    int i;

    fc_site_add_source(site, &source, NULL);
    fc_site_add_reducer(site, &reducer, NULL);
    for (i = 1; i <= LONG; i++) {
        const fc_pipe pipe = { .name = name,
                               .from = from,
                               .no_fittings = true,
                               .length = fc_exactly(INCH / 10),
                               .rise = fc_exactly(INCH / 10),
                               .c = fc_exactly(140),
                               .inside_diameter = fc_exactly(1000 * INCH) };

        snprintf(name, sizeof name, "p%d", i);
        snprintf(from, sizeof from, "p%d", i - 1);
        ck_assert_int_eq(fc_site_add_pipe(site, &pipe, NULL), FC_OK);
    }
    ck_assert_int_eq(
        fc_site_add_fixture(site,
                            &(fc_fixture){ .name = "x",
                                           .on = name,
                                           .kind = "urinal, flush valve" },
                            NULL),
        FC_OK);
    ck_assert_int_eq(fc_site_finish(site, NULL), FC_OK);
    find(&f, site, FC_EXISTING);
    /* 2000 in are 166.667 ft: 72.183 psi */
    assert_psi(window_of(&f, "p0")->all.low, 25 + 72.183);
    assert_psi(window_of(&f, "p0")->all.high, 80 + 72.183);
    end(&f);
}
END_TEST

static TCase *
by_hand(void)
{
    TCase *t = tcase_create("by hand");

    tcase_add_test(t, tall_riser);
    tcase_add_test(t, tall_riser_without);
    tcase_add_loop_test(t, where_it_would_stand, 0, COUNT(mains));
    tcase_add_loop_test(t, one_window, 0, COUNT(windows));
    tcase_add_test(t, of_a_state);
    tcase_add_test(t, long_run);
    return t;
}

static TCase *
by_trial(void)
{
    TCase *t = tcase_create("by trial");

    tcase_add_sampled_test(t, every_split, 500);
    tcase_add_sampled_test(t, settings_tried, BUILDINGS);
    tcase_add_sampled_test(t, put_in_place, BUILDINGS);
    tcase_add_counting_test(t, something_was_tried);
    tcase_add_sampled_test(t, however_put, 100);
    return t;
}

int
main(void)
{
    Suite *suite = suite_create("reducer window");

    building_tables();
    suite_add_tcase(suite, by_hand());
    suite_add_tcase(suite, by_trial());
    return run_building_suite(suite);
}
