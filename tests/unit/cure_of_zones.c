/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/cure_of_zones.c -- options together with PRVs for low zones, and
 * the lowest price among all, against every step of every lever and of every
 * pair in small buildings.
 *
 * Two closets hang on one foot: one low, one high.  What lifts the high one to
 * its 40 psi may leave the low one above the 80 psi that UPC 608.2 allows.
 * Each of the buildings tried is a text of its own, read and checked: no lever
 * of the library is asked.
 */
#include "unit/cure_suite.h"
#include "unit/cure_trials.h"

#include <math.h>

/* A building, and what was done to it. */
struct house {
    double height, pressure; /* of the high closet [ft]; of the source [psi] */
    double minimum;          /* of the valves [psi] */
    double head;             /* of a booster at 35 gpm [ft]; 0: none */
    double set;              /* of a PRV for the low closet [psi]; 0: none */
    const char *prices;
};

#define CURVE                                                                 \
    "0 gpm %.1f ft, 17.5 gpm %.1f ft, 35 gpm %.1f ft, 52.5 gpm %.1f ft"
#define CURVE_OF(head) 1.2 * (head), 1.15 * (head), head, 0.75 * (head)

/* Twenty fixture units are 35 gpm (IPC 2018, Table E103.3(3)).  A booster has
 * a fifth more head with no flow than at its duty, falling with the square of
 * the flow (common practice), to 0.1 ft. */
static const char *
text_of_house(const struct house *h)
{
    static char text[4000];
    size_t n = 0;

#define PUT(...) n += (size_t)snprintf(text + n, sizeof text - n, __VA_ARGS__)
    PUT("[site]\ncode minimum = no\n[source s]\nkind = fixed\n"
        "pressure = %.1f psi\n",
        h->pressure);
    if (h->head > 0)
        PUT("[pump booster]\nfrom = s\ncurve = " CURVE "\n",
            CURVE_OF(h->head));
    PUT("[pipe foot]\nfrom = %s\nlength = 10 ft\nc = 140\n"
        "inside diameter = 2 in\nfittings = none\n",
        h->head > 0 ? "booster" : "s");
    PUT("[pipe low]\nfrom = foot\nlength = 10 ft\nc = 140\n"
        "inside diameter = 1.5 in\nfittings = none\n"
        "[pipe high]\nfrom = foot\nlength = %.1f ft\nrise = %.1f ft\n"
        "c = 140\ninside diameter = 2 in\nfittings = none\n",
        h->height + 10, h->height);
    if (h->set > 0)
        PUT("[reducer zone]\nfrom = low\nset = %.1f psi\n", h->set);
    PUT("[fixture wc-low]\non = %s\nkind = water closet, flush valve\n"
        "supply size = 1 in\nexisting = v\n"
        "[fixture wc-high]\non = high\nkind = water closet, flush valve\n"
        "supply size = 1 in\nexisting = v\n",
        h->set > 0 ? "zone" : "low");
    PUT("[valve v]\nminimum flowing = %.1f psi\nflow = 25 gpm at 40 psi\n"
        "full flush = 1.6 gal\n%s",
        h->minimum, h->prices ? h->prices : "");
#undef PUT
    ck_assert_uint_lt(n, sizeof text);
    return text;
}

/* Houses of one height with and without a booster and a PRV, read once. */
static struct {
    double height;
    fc_site *sites[2][2];
} read_once;

static void
forget_houses(void)
{
    int i;

    for (i = 0; i < 4; i++) {
        fc_site_free(read_once.sites[i / 2][i % 2]);
        read_once.sites[i / 2][i % 2] = NULL;
    }
}

/* The figures of the house put into one that was read: a change takes a
 * fraction of the time of reading. */
static fc_site *
site_of_house(const struct house *h)
{
    char pressure[40], minimum[40], head[160], set[40];
    const struct fci_change changes[] = {
        { FCI_SOURCE, "s", "pressure", pressure, NULL },
        { FCI_VALVE, "v", "minimum flowing", minimum, NULL },
        { FCI_PUMP, "booster", "curve", head, NULL },
        { FCI_REDUCER, "zone", "set", set, NULL },
    };
    struct fci_change list[4];
    fc_site **base;
    size_t n = 2;

    if (read_once.height != h->height)
        forget_houses();
    read_once.height = h->height;
    base = &read_once.sites[h->head > 0][h->set > 0];
    if (!*base)
        *base = site_of(text_of_house(h));
    snprintf(pressure, sizeof pressure, "%.1f psi", h->pressure);
    snprintf(minimum, sizeof minimum, "%.1f psi", h->minimum);
    snprintf(head, sizeof head, CURVE, CURVE_OF(h->head));
    snprintf(set, sizeof set, "%.1f psi", h->set);
    list[0] = changes[0];
    list[1] = changes[1];
    if (h->head > 0)
        list[n++] = changes[2];
    if (h->set > 0)
        list[n++] = changes[3];
    return changed_site(*base, list, n);
}

static bool
works_so(const struct house *h, bool *bearable)
{
    const fc_check_options peak = { .peak_only = true };
    fc_site *site = site_of_house(h);
    fc_check_result *check = NULL;
    bool works;

    ck_assert_int_eq(fc_check_with(site, &peak, &check, NULL), FC_OK);
    works = check->works == FC_WORKS;
    *bearable = check->too_high == FC_WORKS;
    fc_check_result_free(check);
    fc_site_free(site);
    return works;
}

/* Whether all works at peak and nothing has too much. */
static bool
does(struct house h)
{
    bool bearable;

    return works_so(&h, &bearable) && bearable;
}

/* With any PRV for the low closet, in steps of 5 psi from the highest that it
 * bears; the finer ones between bear no more. */
static bool
does_with_prv(struct house h)
{
    for (h.set = 80; h.set >= 60; h.set -= 5)
        if (does(h))
            return true;
    return false;
}

/* Whether all works at peak, whatever has too much. */
static bool
is_enough(struct house h)
{
    bool bearable;

    return works_so(&h, &bearable);
}

/* Steps of which none but the last is enough are skipped, by halving: more
 * pressure, or a lower minimum, never makes a closet short, and no PRV gives
 * any. */
static int
first_enough(const struct house *h, double *figure, double step, int most)
{
    const double from = *figure;
    int low = 0, high = most;

    while (high - low > 1) {
        const int middle = (low + high) / 2;

        *figure = from + middle * step;
        if (is_enough(*h))
            high = middle;
        else
            low = middle;
    }
    *figure = from;
    return high;
}

#define EACH 12 /* steps; beyond them every fifth */

/* The fewest steps from 1 to `most` of a figure of the house with which it
 * does; 0: none. */
static int
fewest(const struct house *h, double *figure, double step, int most, bool prv)
{
    const double from = *figure;
    const int first = first_enough(h, figure, step, most);
    int i;

    for (i = first; i <= most; i += i < first + EACH ? 1 : 5) {
        *figure = from + i * step;
        if (prv ? does_with_prv(*h) : does(*h))
            return i;
    }
    return 0;
}

#define MOST 250 /* steps of 0.1 psi, or half as many feet */

static int
by_source(struct house h, bool prv)
{
    return fewest(&h, &h.pressure, 0.1, MOST, prv);
}

static int
by_booster(struct house h, bool prv)
{
    return fewest(&h, &h.head, 0.1, 2 * MOST, prv);
}

static int
by_valve(struct house h)
{
    return fewest(&h, &h.minimum, -0.1, 380, false);
}

/* ---- The pairs --------------------------------------------------------- */

static const fc_remedy *
combined_with(const struct cured *c, const char *what)
{
    size_t i;

    for (i = 0; i < c->all->n_remedies; i++) {
        const fc_remedy *r = &c->all->remedies[i];

        if (r->lever == FC_COMBINE && r->n_purchases > 1
            && strcmp(r->purchases[0].what, what) == 0
            && strcmp(r->purchases[1].what, "prv") == 0)
            return r;
    }
    return NULL;
}

static void
expect_pair(const struct cured *c, const char *what, int steps, double now,
            double step)
{
    const fc_remedy *r = combined_with(c, what);

    ck_assert_msg((r != NULL) == (steps > 0), "%s: %d steps", what, steps);
    if (!r)
        return;
    ck_assert(r->works && r->too_high == FC_WORKS);
    ck_assert_msg(fabs(r->value - (now + steps * step)) < step / 10,
                  "%s: %d steps: %s", what, steps, r->text);
    ck_assert_msg(strstr(r->text, "install a PRV downstream of low at "), "%s",
                  r->text);
    fc_site_free(cured_read(c, r));
}

/* ---- The lowest price --------------------------------------------------- */

/* Of the first n; one valve is to be bought, as the low closet has enough. */
static double
price_of(const double *prices, const char *const *keys, size_t n)
{
    static const char *const all[] = { "source", "booster", "valve", "prv" };
    double sum = 0;
    size_t i, k;

    for (i = 0; i < n; i++)
        for (k = 0; k < COUNT(all); k++)
            if (strcmp(keys[i], all[k]) == 0)
                sum += prices[k];
    return sum;
}

static void
expect_lowest(const struct cured *c, const double *prices, int source,
              int booster, int valve, int source_prv, int booster_prv)
{
    static const char *const keys[][2] = { { "source", "prv" },
                                           { "booster", "prv" },
                                           { "valve", "" } };
    const struct {
        bool works;
        size_t key, n;
    } offers[] = { { source > 0, 0, 1 },
                   { booster > 0, 1, 1 },
                   { valve > 0, 2, 1 },
                   { source == 0 && source_prv > 0, 0, 2 },
                   { booster == 0 && booster_prv > 0, 1, 2 } };
    double least = INFINITY;
    int i;

    for (i = 0; i < COUNT(offers); i++) {
        const double price =
            price_of(prices, keys[offers[i].key], offers[i].n);

        if (offers[i].works && price < least)
            least = price;
    }
    if (isinf(least)) {
        ck_assert_uint_eq(c->all->lowest, SIZE_MAX);
        return;
    }
    ck_assert_uint_lt(c->all->lowest, c->all->n_remedies);
    ck_assert_double_eq_tol(c->all->remedies[c->all->lowest].price, least,
                            1e-9);
}

/* Prices in turn of this and that, one of them not known now and then. */
static const char *
make_prices(int seed, double *prices)
{
    static const char *const keys[] = { "source", "booster", "valve", "prv" };
    static char text[400];
    size_t n = 0;
    int i;

    n += (size_t)snprintf(text, sizeof text, "[price]\n");
    for (i = 0; i < COUNT(keys); i++) {
        prices[i] = (double)((seed * 37 + i * 61) % 97 * 10);
        if ((seed + i) % 5 == 0)
            prices[i] = NAN;
        else
            n += (size_t)snprintf(text + n, sizeof text - n, "%s = %g\n",
                                  keys[i], prices[i]);
    }
    return text;
}

static int pairs, singles;

START_TEST(every_step_of_every_pair)
{
    double prices[4];
    const struct house h = { .height = 80 + 6 * (_i % 5),
                             .pressure = 70 + 0.7 * (_i * 5 % 14),
                             .minimum = 40,
                             .prices = make_prices(_i, prices) };
    const int source = by_source(h, false), booster = by_booster(h, false);
    const int source_prv = source ? source : by_source(h, true);
    const int booster_prv = booster ? booster : by_booster(h, true);
    const int valve = by_valve(h);
    struct cured c;

    if (does(h))
        return;
    cured_begin(&c, site_of(text_of_house(&h)), true, "two closets");
    assert_remedies(&c);
    expect_pair(&c, "source", source ? 0 : source_prv, h.pressure * PSI,
                0.1 * PSI);
    expect_pair(&c, "booster", booster ? 0 : booster_prv, 0, 0.1 * FOOT);
    expect_lowest(&c, prices, source, booster, valve, source_prv, booster_prv);
    pairs += !source && source_prv;
    singles += source > 0;
    cured_end(&c);
}
END_TEST

START_TEST(pairs_were_found)
{
    forget_houses();
    ck_assert_int_gt(pairs, 5);
    ck_assert_int_gt(singles, 2);
}
END_TEST

/* ---- Others ------------------------------------------------------------- */

#define SITE(pressure)                                                        \
    "[site]\ncode minimum = no\nmaterial = copper L\ncondition = new\n"       \
    "[source s]\nkind = fixed\npressure = " pressure "\n"
#define FLOOR(name, from, height, size)                                       \
    "[pipe " name "]\nfrom = " from "\nfittings = none\nlength = 60 ft\n"     \
    "rise = " height "\nsize = " size "\nvelocity limit = 20 ft/s\n"          \
    "[fixture wc-" name "]\non = " name                                       \
    "\nkind = water closet, flush valve\nsupply size = 1 in\nexisting = v\n"
#define FOOT_OF_ALL                                                           \
    "[pipe foot]\nfrom = s\nfittings = none\nlength = 5 ft\nsize = 2 in\n"    \
    "[valve v]\nminimum flowing = 40 psi\nflow = 25 gpm at 40 psi\n"          \
    "full flush = 1.6 gal\n"

/* 95 psi are too much for the low closet, and the high one has 95 - 25.1 psi
 * less what 60 ft of 3/4 in, 0.785 in, lose of 27.0 gpm: 42 psi (0.07348 psi
 * of 10 ft of 2 in, times 6 (2/0.785)^4.87; see unit/cure_by_hand.c), or 11.4
 * psi in 1 in, 1.025 in, which is enough. */
START_TEST(larger_pipes_above_and_a_prv_below)
{
    struct cured c;
    const fc_remedy *r;
    size_t i;

    cured_begin(&c,
                site_of(SITE("95 psi") FOOT_OF_ALL FLOOR("low", "foot", "0 ft",
                                                         "1-1/2 in")
                            FLOOR("high", "foot", "58 ft", "3/4 in")),
                true, "pipes and a PRV");
    assert_remedies(&c);
    ck_assert_int_eq(c.all->works, FC_WILL_NOT_WORK);
    ck_assert_int_eq(c.all->too_high, FC_WILL_NOT_WORK);
    r = cured_by(&c, FC_REPLACE_PIPES, NULL);
    ck_assert(r->works && r->too_high == FC_WILL_NOT_WORK);
    for (i = 0; i < c.all->n_remedies; i++) {
        r = &c.all->remedies[i];
        if (r->lever == FC_COMBINE && r->n_pipes > 0)
            break;
    }
    ck_assert_uint_lt(i, c.all->n_remedies);
    ck_assert(r->works && r->too_high == FC_WORKS);
    ck_assert_ptr_nonnull(
        strstr(r->text, ", and install a PRV downstream of low at 80.0 psi."));
    cured_end(&c);
}
END_TEST

/* No one PRV serves all: at the main it would starve what is high.  The others
 * have one each. */
START_TEST(several_prvs)
{
    struct cured c;
    const fc_remedy *r;

    cured_begin(
        &c,
        site_of(
            SITE("110 psi") FOOT_OF_ALL FLOOR("low", "foot", "0 ft", "2 in")
                FLOOR("middle", "foot", "20 ft", "2 in")
                    FLOOR("high", "foot", "55 ft",
                          "2 in") "[pipe up]\nfrom = foot\nfittings = none\n"
                                  "length = 60 ft\nrise = 59 ft\nsize = 2 "
                                  "in\n" FLOOR("top", "up", "59 ft", "2 in")),
        true, "several PRVs");
    assert_remedies(&c);
    ck_assert_int_eq(c.all->works, FC_WORKS);
    r = cured_by(&c, FC_ADD_REDUCER, NULL);
    ck_assert_ptr_nonnull(r);
    ck_assert(r->works && r->too_high == FC_WORKS);
    ck_assert_uint_eq(r->n_purchases, 1);
    ck_assert_str_eq(r->purchases[0].what, "prv");
    ck_assert_double_eq(r->purchases[0].count, 3);
    cured_end(&c);
}
END_TEST

#define ON_THE_MAIN                                                           \
    "[fixture wc-foot]\non = foot\nkind = water closet, flush valve\n"        \
    "supply size = 1 in\nexisting = v\n[pipe up]\nfrom = foot\n"              \
    "fittings = none\nlength = 60 ft\nrise = 59 ft\nsize = 2 in\n"

/* The low closet is on the main that feeds the high one, 85 ft up: 36.9 psi
 * (0.433 psi/ft), so that 66 psi lack 10.9 and the friction of its 40 psi.  A
 * booster of so much has a fifth more with no flow: at least 79.0 psi at the
 * low one, and with the friction more than the 80 that it bears.  A PRV on
 * the main would starve the high one. */
START_TEST(a_prv_for_one_fixture_on_the_main)
{
    struct cured c;
    const fc_remedy *r;
    fc_site *site;

    cured_begin(&c,
                site_of(SITE("66 psi") FOOT_OF_ALL ON_THE_MAIN FLOOR(
                    "high", "up", "26 ft", "2 in")),
                _i == 0, "a closet on the main");
    assert_remedies(&c);
    ck_assert(!cured_by(&c, FC_ADD_BOOSTER, NULL)->works);
    r = combined_with(&c, "booster");
    ck_assert_ptr_nonnull(r);
    ck_assert(r->works && r->too_high == FC_WORKS);
    ck_assert_msg(
        strstr(r->text,
               ", and install a PRV downstream of foot for wc-foot alone at "),
        "%s", r->text);
    site = cured_read(&c, r);
    ck_assert_ptr_nonnull(fci_site_find(site, FCI_REDUCER, "prv-foot"));
    fc_site_free(site);
    cured_end(&c);
}
END_TEST

/* No RP loses less than 6 psi at any flow (tables/usual.ini names its
 * sources): a narrower range is written from there, and not in proportion. */
START_TEST(the_range_of_a_preventer)
{
    struct cured c;
    const fc_remedy *r;
    const fc_device *rp;
    fc_site *site;

    cured_begin(&c,
                site_of(SITE("70 psi") "[backflow rp]\nfrom = s\n"
                                       "loss = 6..15 psi\n"
                                       "[pipe foot]\nfrom = rp\nfittings = "
                                       "none\nlength = 5 ft\nsize = 2 in\n"
                                       "[valve v]\nminimum flowing = 40 psi\n"
                                       "flow = 25 gpm at 40 psi\n"
                                       "full flush = 1.6 gal\n" FLOOR(
                                           "up", "foot", "44 ft", "2 in")),
                true, "a range of a preventer");
    assert_remedies(&c);
    r = cured_by(&c, FC_LOWER_LOSS, "rp");
    ck_assert(r->works);
    ck_assert_msg(strstr(r->text, "(now 10.5 psi, worst case 15.0 psi)"), "%s",
                  r->text);
    site = cured_read(&c, r);
    rp = fci_site_find(site, FCI_BACKFLOW, "rp")->data;
    ck_assert_double_eq_tol(rp->loss.pressure.low, 6 * PSI, 1);
    ck_assert_double_eq_tol(rp->loss.pressure.high, r->value, 0.1 * PSI);
    fc_site_free(site);
    cured_end(&c);
}
END_TEST

/* 30 psi, and a low valve that bears 31 with no flow: a booster for the high
 * one is too much for it, and no PRV for it leaves the code's 35. */
START_TEST(tried_together)
{
    struct cured c;
    size_t i, found = 0;

    cured_begin(&c,
                site_of("[site]\nmaterial = copper L\ncondition = new\n"
                        "[source s]\nkind = fixed\npressure = 30 psi\n"
                        "[pipe foot]\nfrom = s\nfittings = none\n"
                        "length = 5 ft\nsize = 2 in\n"
                        "[valve v]\nminimum flowing = 25 psi\n"
                        "flow = 25 gpm at 25 psi\nfull flush = 1.6 gal\n"
                        "maximum static = 31 psi\n" FLOOR("up", "foot", "0 ft",
                                                          "2 in")),
                true, "tried together");
    for (i = 0; i < c.all->n_remedies; i++)
        ck_assert(!c.all->remedies[i].works);
    for (i = 0; i < c.all->n_tried; i++)
        found += strcmp(c.all->tried[i], "a booster and PRVs") == 0;
    ck_assert_uint_eq(found, 1);
    cured_end(&c);
}
END_TEST

TCase *
cure_of_zones(void)
{
    TCase *t = tcase_create("zones");

    tcase_add_sampled_test(t, every_step_of_every_pair, 21);
    tcase_add_counting_test(t, pairs_were_found);
    tcase_add_test(t, larger_pipes_above_and_a_prv_below);
    tcase_add_test(t, several_prvs);
    tcase_add_loop_test(t, a_prv_for_one_fixture_on_the_main, 0, 2);
    tcase_add_test(t, the_range_of_a_preventer);
    tcase_add_test(t, tried_together);
    return t;
}
