/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/properties/check_at_once.c -- how many flush valves may flush at once:
 * whatever says a number, a flush of as many is enough.
 *
 * Buildings are drawn: fed by a well or a pump and its pressure tank, by a
 * pump on a street main, by a tank at a height, by a main with a flow test or
 * without one.  Sets of as many valves as are promised, and of fewer, are
 * drawn in each and flushed.
 */
#include "flushcalc.h"
#include "generators/draws.h"
#include "generators/sites.h"

#include <stdarg.h>
#include <stdint.h>

#define BUILDINGS 96
#define SETS 6
#define MOST_TEXT 6000
#define MOST_FIXTURES 5

/* ---- Drawn -------------------------------------------------------------- */

static int
whole(unsigned long long *state, int low, int high)
{
    return low + (int)draw(state, 0, high - low + 0.999);
}

enum feed {
    WELL_AND_TANK,
    PUMP_AND_TANK,
    BOOSTER,
    ROOF_TANK,
    MAIN,
    UNTESTED_MAIN,
    FEEDS
};

/* A site file as it is written, with the name of what the rest is fed from. */
struct building {
    enum feed feed;
    char text[MOST_TEXT];
    size_t used;
    const char *from;
    int fixtures;
    int counts[MOST_FIXTURES];
};

static void add(struct building *b, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static void
add(struct building *b, const char *format, ...)
{
    va_list arguments;

    va_start(arguments, format);
    b->used += (size_t)vsnprintf(b->text + b->used, MOST_TEXT - b->used,
                                 format, arguments);
    va_end(arguments);
    ck_assert_uint_lt(b->used, MOST_TEXT);
}

static void
add_pressure_tank(struct building *b, const char *from,
                  unsigned long long *state)
{
    const double low = draw(state, 35, 55);

    add(b, "[pressure tank tank]\nfrom = %s\nvolume = %.0f gal\n", from,
        draw(state, 60, 700));
    add(b, "cut-in = %.1f psi\ncut-out = %.1f psi\n", low, low + 20);
    if (flip(state, 0.7))
        add(b, "precharge = %.1f psi\n", low - draw(state, 1, 4));
    b->from = "tank";
}

static void
add_main(struct building *b, unsigned long long *state, double least)
{
    const double still = draw(state, least, least + 30);

    add(b, "[source main]\nkind = street main\nstatic = %.1f psi\n", still);
    if (b->feed != UNTESTED_MAIN)
        add(b, "residual = %.1f psi\nresidual flow = %.0f gpm\n",
            still - draw(state, 2, 12), draw(state, 80, 250));
    if (b->feed != UNTESTED_MAIN && flip(state, 0.5))
        add(b, "within = 0 psi\n");
    add(b,
        "[pipe service]\nfrom = main\nsize = %s\nlength = %.0f ft\n"
        "fittings = none\n",
        flip(state, 0.5) ? "3 in" : "4 in", draw(state, 20, 60));
    b->from = "service";
}

static void
add_feed(struct building *b, unsigned long long *state)
{
    switch (b->feed) {
    case WELL_AND_TANK:
        add(b, "[source well]\nkind = well\nrate = %.1f gpm\n",
            draw(state, 4, 40));
        add_pressure_tank(b, "well", state);
        break;
    case PUMP_AND_TANK:
        add(b,
            "[source pit]\nkind = tank\nwater level = -35 ft\n"
            "elevation = -40 ft\n"
            "[pump jet]\nfrom = pit\nrise = 40 ft\n"
            "curve = 0 gpm 280 ft, 15 gpm 230 ft, 40 gpm %.0f ft\n",
            draw(state, 120, 200));
        add_pressure_tank(b, "jet", state);
        break;
    case BOOSTER:
        add_main(b, state, 30);
        add(b,
            "[pump booster]\nfrom = service\n"
            "curve = 0 gpm %.0f ft, 200 gpm 110 ft, 500 gpm 90 ft\n",
            draw(state, 112, 130));
        if (flip(state, 0.5))
            add(b, "minimum suction = %.0f psi\n", draw(state, 5, 25));
        b->from = "booster";
        break;
    case ROOF_TANK:
        add(b,
            "[source roof]\nkind = tank\nwater level = %.0f ft\n"
            "elevation = 105 ft\n",
            draw(state, 108, 112));
        if (flip(state, 0.8))
            add(b, "volume = %.0f gal\n", draw(state, 3, 30));
        add(b, "[pipe down]\nfrom = roof\nsize = 4 in\nlength = 120 ft\n"
               "rise = -100 ft\nfittings = none\n");
        b->from = "down";
        break;
    default:
        add_main(b, state, 50);
    }
}

static void
add_fixtures(struct building *b, unsigned long long *state)
{
    static const char *const rates[] = { "25 gpm at 35 psi",
                                         "22..26 gpm at 35 psi",
                                         "12 gpm at 25 psi" };

    b->fixtures = whole(state, 1, MOST_FIXTURES);
    for (int i = 0; i < b->fixtures; i++) {
        char from[20];

        snprintf(from, sizeof from, "p%d", i - 1);
        add(b,
            "[pipe p%d]\nfrom = %s\nsize = %s\nlength = %.0f ft\n"
            "fittings = none\nrise = %.1f ft\n",
            i, i > 0 && flip(state, 0.5) ? from : b->from,
            flip(state, 0.5) ? "2 in" : "3 in", draw(state, 10, 40),
            flip(state, 0.3) ? draw(state, 0, 8) : 0);
        add(b, "[valve v%d]\nminimum flowing = %.0f psi\nflow = %s\n", i,
            draw(state, 12, 25), rates[whole(state, 0, 2)]);
        if (!flip(state, 0.05))
            add(b, "full flush = %.2f gal\n", draw(state, 0.5, 3.5));
        if (flip(state, 0.2))
            add(b, "regulated = yes\n");
        b->counts[i] = whole(state, 1, 6);
        add(b,
            "[fixture f%d]\non = p%d\nexisting = v%d\ncount = %d\n"
            "kind = water closet, flush valve\n",
            i, i, i, b->counts[i]);
    }
    if (flip(state, 0.3))
        add(b,
            "[fixture lavatory]\non = p0\nkind = lavatory\nrise = %.0f "
            "ft\n",
            draw(state, 0, 60));
    add(b, "[claim told]\nfixture = f0\nflowing = 20 psi\nwhile = alone\n"
           "state = existing\n");
}

static void
build(struct building *b, int i)
{
    unsigned long long state = 0x5eed + 7919ull * (unsigned)i;

    for (int k = 0; k < 5; k++)
        (void)draw(&state, 0, 1);
    *b = (struct building){ .feed = (enum feed)(i % FEEDS) };
    add(b, "[site]\nmaterial = copper L\n");
    if (flip(&state, 0.5))
        add(b, "condition = new\n");
    add_feed(b, &state);
    add_fixtures(b, &state);
    add(b, "[usage]\ninterval = 10 min\n");
}

/* ---- Flushed ------------------------------------------------------------ */

/* n of all of them at random; the first at least once where it is asked. */
static size_t
draw_set(const struct building *b, int n, bool first,
         unsigned long long *state, fc_flushing *set, char names[][8])
{
    int open[MOST_FIXTURES] = { first ? 1 : 0 };
    size_t k = 0;

    for (int left = first ? n - 1 : n; left > 0;) {
        const int i = whole(state, 0, b->fixtures - 1);

        if (open[i] == b->counts[i])
            continue;
        open[i]++;
        left--;
    }
    for (int i = 0; i < b->fixtures; i++) {
        if (open[i] == 0)
            continue;
        snprintf(names[k], 8, "f%d", i);
        set[k] = (fc_flushing){ .fixture = names[k], .count = open[i] };
        k++;
    }
    return k;
}

static void
enough(const fc_site *site, const struct building *b, int n, bool first,
       unsigned long long *state)
{
    fc_flushing set[MOST_FIXTURES];
    char names[MOST_FIXTURES][8];
    fc_flush_result *flushed = NULL;
    const size_t k = draw_set(b, n, first, state, set, names);

    ck_assert_int_eq(fc_flush(site, FC_EXISTING, set, k, &flushed, NULL),
                     FC_OK);
    ck_assert_int_eq(flushed->flushing, n);
    ck_assert_msg(flushed->enough == FC_WORKS, "%d at once\n%s", n, b->text);
    fc_flush_result_free(flushed);
}

/* One alone is asked for the code's least too. */
static void
enough_of_all(const fc_site *site, const struct building *b, int most,
              bool first, unsigned long long *state)
{
    for (int k = 0; k < SETS; k++)
        if (most > 0)
            enough(site, b,
                   k < SETS / 2 || most < 2 ? most : whole(state, 2, most),
                   first, state);
}

static const fc_at_once *
at_once_of(const fc_site *site, const fc_check_options *how,
           fc_check_result **result)
{
    ck_assert_int_eq(fc_check_with(site, how, result, NULL), FC_OK);
    ck_assert_ptr_nonnull((*result)->states[FC_EXISTING].at_once);
    return (*result)->states[FC_EXISTING].at_once;
}

/* By its note of a claim; a pressure tank it does not judge. */
static int
verify_tells(const fc_site *site, bool tank)
{
    fc_verify_result *result = NULL;
    int most = 0;

    if (tank) {
        ck_assert_int_eq(fc_verify(site, NULL, &result, NULL),
                         FC_EUNSUPPORTED);
        return 0;
    }
    ck_assert_int_eq(fc_verify(site, NULL, &result, NULL), FC_OK);
    for (size_t i = 0; i < result->n_findings; i++)
        for (size_t k = 0; k < result->findings[i].n_figures; k++)
            if (strcmp(result->findings[i].figures[k].what, "most") == 0)
                most = (int)result->findings[i].figures[k].value.nominal;
    fc_verify_result_free(result);
    return most;
}

static int
line_tells(const struct building *b)
{
    const fc_site_file file = { .path = "drawn.ini",
                                .text = b->text,
                                .length = b->used };
    fc_checked_sites *sites = NULL;
    int most;

    ck_assert_int_eq(fc_check_sites(&file, 1, NULL, &sites), FC_OK);
    ck_assert(sites->lines[0].calculated);
    most = sites->lines[0].states[FC_EXISTING].at_once_worst;
    fc_checked_sites_free(sites);
    return most;
}

START_TEST(flush_bears_out_every_number)
{
    static const fc_check_options brief = { .in_short = true };
    struct building b;
    fc_check_result *result = NULL, *quick = NULL;
    unsigned long long state = 1 + (unsigned)_i;
    const fc_at_once *n;
    fc_site *site;

    build(&b, _i);
    site = site_of(b.text);
    n = at_once_of(site, NULL, &result);
    enough_of_all(site, &b, n->low, false, &state);
    /* the same on one screen, and in a line of many sites */
    ck_assert_int_eq(at_once_of(site, &brief, &quick)->low, n->low);
    ck_assert_int_eq(line_tells(&b), n->low);
    enough_of_all(site, &b, verify_tells(site, b.feed <= PUMP_AND_TANK), true,
                  &state);
    if (n->limit == FC_NO_LIMIT && n->low >= n->valves)
        ck_assert_uint_eq(result->states[FC_EXISTING].starved, SIZE_MAX);
    fc_check_result_free(quick);
    fc_check_result_free(result);
    fc_site_free(site);
}
END_TEST

/* Each reason there is stands in some of them. */
START_TEST(every_limit_is_met)
{
    int met[FC_LIMIT_READINGS + 1] = { 0 }, some = 0;

    for (int i = 0; i < BUILDINGS; i++) {
        struct building b;
        fc_check_result *result = NULL;
        const fc_at_once *n;
        fc_site *site;

        build(&b, i);
        site = site_of(b.text);
        n = at_once_of(site, NULL, &result);
        met[n->limit]++;
        some += n->limit != FC_NO_LIMIT && n->low > 0;
        fc_check_result_free(result);
        fc_site_free(site);
    }
    ck_assert_int_ge(met[FC_NO_LIMIT], BUILDINGS / 6);
    ck_assert_int_ge(met[FC_LIMIT_TANK], BUILDINGS / 6);
    ck_assert_int_ge(met[FC_LIMIT_UNTESTED_MAIN], BUILDINGS / 12);
    ck_assert_int_ge(met[FC_LIMIT_SUCTION] + met[FC_LIMIT_MAIN], 4);
    ck_assert_int_ge(some, BUILDINGS / 6);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("at once");
    TCase *tcase = tcase_create("at once");

    tcase_set_timeout(tcase, 120);
    tcase_add_sampled_test(tcase, flush_bears_out_every_number, BUILDINGS);
    tcase_add_counting_test(tcase, every_limit_is_met);
    suite_add_tcase(suite, tcase);
    return run_suite(suite);
}
