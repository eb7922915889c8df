/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_renewal.c -- the water in pipes and how often it is
 * renewed: published contents, parcels of water followed through trees, and
 * all ways to flush small trees.
 */
#include "effects/contents.h"
#include "effects/top_up.h"
#include "generators/sites.h"

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_math.h>

#define POUND 4.4482216152605 /* N */

static fc_effects *
effects_of(const fc_site *site)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_effects *effects = NULL;
    const fc_status status = fc_effects_find(site, &effects, messages);

    ck_assert_msg(status == FC_OK, "%s", all_messages(messages));
    ck_assert_ptr_nonnull(effects->renewal);
    fc_diagnostics_free(messages);
    return effects;
}

static fc_effects *
effects_of_text(const char *text, fc_site **site)
{
    *site = site_of(text);
    return effects_of(*site);
}

/* ---- Rooms, and a tank -------------------------------------------------- */

#define CLOSET_ON(name, pipe, keys)                                           \
    "[fixture " name "]\non = " pipe "\nkind = water closet, flush valve\n"   \
    "existing = v\n" keys
#define COPPER(name, from, length)                                            \
    "[pipe " name "]\nfrom = " from "\nmaterial = copper L\nsize = 2 in\n"    \
    "length = " length " ft\nfittings = none\n"
#define CLOSET_VALVE                                                          \
    "[valve v]\nminimum flowing = 25 psi\nflow = 25 gpm at 35 psi\n"          \
    "full flush = 1.6 gal\nsensor = no\n"

/* 100 people of whom nobody knows how many are women use 300 closets a day, in
 * one room or in the other: 480 gal of 1.6 pass the service for certain, which
 * holds what its bore of 1.985 in (ASTM B88) makes. */
START_TEST(rooms_of_women_and_men)
{
    const double holds = 0.25 * M_PI * 1.985 * 1.985 * 50 * 12 / 231;
    fc_site *site;
    fc_effects *effects = effects_of_text(
        "[source s]\nkind = fixed\npressure = 60 psi\n" COPPER("service", "s",
                                                               "50")
            COPPER("a", "service", "10") COPPER("b", "service", "10")
                CLOSET_ON("women", "a", "used by = women\n")
                    CLOSET_ON("men", "b", "used by = men\n") CLOSET_VALVE
        "[usage]\npeople = 100\nuses per day = 3\ndays per year = 365\n",
        &site);
    const fc_range service =
        effects->renewal->pipes[0].states[FC_EXISTING].turnovers;
    const fc_range room =
        effects->renewal->pipes[1].states[FC_EXISTING].turnovers;

    ck_assert_double_eq_tol(service.low, 480 / holds, 1e-3 * 480 / holds);
    ck_assert_double_eq_tol(service.high, 480 / holds, 1e-3 * 480 / holds);
    ck_assert_double_eq_tol(room.low, 0, 1e-12);
    ck_assert_double_eq_tol(room.high, 5 * 480 / holds, 5e-3 * 480 / holds);
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* 800 ft before a pressure tank and 5 ft behind it, 48 gal a day through
 * both. */
START_TEST(the_way_to_a_tank)
{
    const double holds = 0.25 * M_PI * 1.985 * 1.985 * 805 * 12 / 231;
    fc_site *site;
    fc_effects *effects = effects_of_text(
        "[source s]\nkind = well\nrate = 30 gpm\n" COPPER(
            "drop", "s",
            "800") "[pressure tank t]\nfrom = drop\nvolume = 300 gal\ncut-in "
                   "= 50 psi\n"
                   "cut-out = 60 psi\nprecharge = 48 psi\n" COPPER(
                       "a", "t", "5") CLOSET_ON("wc", "a", "") CLOSET_VALVE
        "[usage]\nwomen = 10\nuses per day = 3\ndays per year = 365\n",
        &site);

    ck_assert_uint_eq(effects->renewal->n_pipes, 2);
    ck_assert_double_eq_tol(
        effects->renewal->outlets[0].residence[FC_EXISTING].nominal / 86400,
        holds / 48, 1e-3 * holds / 48);
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* ---- Contents --------------------------------------------------------- */

/* Contents of 100 ft of 1 in pipe, as handbooks of piping print them; the
 * geometry gives the same, pi / 4 d^2 L / 231 in3.  Bores by ASTM B88 and
 * A53. */
static const struct {
    const char *pipe;
    double gallons, tolerance;
} contents[] = {
    { "c = 140\ninside diameter = 1.000 in\n", 4.08, 0.005 },
    { "material = copper L\nsize = 1 in\n", 4.29, 0.005 },
    { "material = steel sch 40\nsize = 1 in\ncondition = new\n", 4.49, 0.005 },
};

START_TEST(contents_as_printed)
{
    char text[400];
    fc_site *site;
    fc_effects *effects;

    snprintf(text, sizeof text,
             "[source s]\nkind = fixed\npressure = 60 psi\n"
             "[pipe p]\nfrom = s\nlength = 100 ft\nfittings = none\n%s"
             "[fixture f]\non = p\nkind = lavatory\n",
             contents[_i].pipe);
    if (!strstr(contents[_i].pipe, "material"))
        *strstr(text, "fittings = none") = ';';
    effects = effects_of_text(text, &site);
    ck_assert_uint_eq(effects->renewal->n_pipes, 1);
    ck_assert_double_eq_tol(effects->renewal->pipes[0].contents.nominal
                                / GALLON,
                            contents[_i].gallons, contents[_i].tolerance);
    ck_assert_double_eq_tol(effects->renewal->contents.nominal / GALLON,
                            contents[_i].gallons, contents[_i].tolerance);
    /* 34.0 lb */
    if (_i == 0)
        ck_assert_double_eq_tol(effects->renewal->contents.nominal
                                    * site->water_weight / POUND,
                                34.0, 0.05);
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* 40 to 60 ft of a bore of 1.0 to 1.2 in: 1.632 to 3.525 gal, in the middle of
 * both 2.468 (pi / 4 d^2 L / 231 in3). */
START_TEST(contents_of_ranges)
{
    fc_site *site;
    fc_effects *effects =
        effects_of_text("[source s]\nkind = fixed\npressure = 60 psi\n"
                        "[pipe p]\nfrom = s\nlength = 40..60 ft\n"
                        "c = 140\ninside diameter = 1.0..1.2 in\n"
                        "[fixture f]\non = p\nkind = lavatory\n",
                        &site);
    const fc_range c = effects->renewal->pipes[0].contents;

    ck_assert_double_eq_tol(c.low / GALLON, 1.632, 0.001);
    ck_assert_double_eq_tol(c.nominal / GALLON, 2.468, 0.001);
    ck_assert_double_eq_tol(c.high / GALLON, 3.525, 0.001);
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* ---- Random trees ----------------------------------------------------- */

#define MOST_PIPES 7

/* Pipes that hold whole units, outlets that draw whole units at once. */
struct tree {
    int n;
    int parent[MOST_PIPES]; /* -1: the source */
    int units[MOST_PIPES];
    double draws[MOST_PIPES]; /* a day, of the outlet on it; 0: none */
    int at_once[MOST_PIPES];  /* units of one draw */
};

#define UNIT (0.1 * GALLON)
#define BORE 0.0254

static struct tree
make_tree(gsl_rng *rng, int at_once)
{
    struct tree t = { .n = 2 + (int)gsl_rng_uniform_int(rng, MOST_PIPES - 1) };
    bool is_end[MOST_PIPES];

    for (int i = 0; i < t.n; i++) {
        t.parent[i] = i == 0 ? -1 : (int)gsl_rng_uniform_int(rng, (unsigned)i);
        t.units[i] = 1 + (int)gsl_rng_uniform_int(rng, 30);
        is_end[i] = true;
        if (i > 0)
            is_end[t.parent[i]] = false;
    }
    for (int i = 0; i < t.n; i++) {
        if (is_end[i] || gsl_rng_uniform(rng) < 0.3)
            t.draws[i] = 5 + 60 * gsl_rng_uniform(rng);
        t.at_once[i] = 1 + (int)gsl_rng_uniform_int(rng, (unsigned)at_once);
    }
    return t;
}

/* Lavatories whose draw is that of so many units a day. */
static fc_site *
site_of_tree(const struct tree *t, double more)
{
    const fc_source source = { .name = "s",
                               .kind = FC_FIXED,
                               .pressure = fc_exactly(4e5) };
    fc_site *site = fc_site_new();
    char names[MOST_PIPES][8], outlets[MOST_PIPES][8];

    ck_assert_ptr_nonnull(site);
    ck_assert_int_eq(fc_site_add_source(site, &source, NULL), FC_OK);
    for (int i = 0; i < t->n; i++) {
        fc_pipe pipe = { .name = names[i],
                         .from = i == 0 ? "s" : names[t->parent[i]],
                         .c = fc_exactly(140),
                         .inside_diameter = fc_exactly(BORE) };
        fc_fixture outlet = { .name = outlets[i],
                              .on = names[i],
                              .kind = "lavatory" };

        snprintf(names[i], sizeof names[i], "p%d", i);
        snprintf(outlets[i], sizeof outlets[i], "o%d", i);
        pipe.length =
            fc_exactly(t->units[i] * UNIT / (M_PI / 4 * BORE * BORE));
        ck_assert_int_eq(fc_site_add_pipe(site, &pipe, NULL), FC_OK);
        outlet.draw_per_day =
            fc_exactly(more * t->draws[i] * t->at_once[i] * UNIT);
        if (t->draws[i] > 0)
            ck_assert_int_eq(fc_site_add_fixture(site, &outlet, NULL), FC_OK);
    }
    ck_assert_int_eq(fc_site_finish(site, NULL), FC_OK);
    return site;
}

static const fc_aged_outlet *
outlet_on(const fc_effects *effects, int pipe)
{
    char name[8];

    snprintf(name, sizeof name, "o%d", pipe);
    for (size_t i = 0; i < effects->renewal->n_outlets; i++)
        if (strcmp(effects->renewal->outlets[i].name, name) == 0)
            return &effects->renewal->outlets[i];
    ck_abort_msg("no outlet %s", name);
    return NULL;
}

/* ---- Parcels of water ------------------------------------------------- */

/* Each unit of water knows when it left the source; a pipe is a row of them
 * that is pushed on by one whenever one is drawn. */
struct parcels {
    const struct tree *t;
    double *born[MOST_PIPES];
    int head[MOST_PIPES];
};

static double
pull(struct parcels *p, int pipe, double now)
{
    double *slot, drawn;

    if (pipe < 0)
        return now;
    slot = &p->born[pipe][p->head[pipe]];
    drawn = *slot;
    *slot = pull(p, p->t->parent[pipe], now);
    p->head[pipe] = (p->head[pipe] + 1) % p->t->units[pipe];
    return drawn;
}

#define DRAWS 400000
#define SETTLING (DRAWS / 20)

/* Mean age [days] of what each outlet draws.  Draws come at random; `hours`:
 * only within so many hours of each day. */
static void
follow(const struct tree *t, gsl_rng *rng, double hours, double *age,
       double *all)
{
    struct parcels p = { .t = t };
    double drawn[MOST_PIPES] = { 0 }, rate = 0, busy = 0, sum = 0, units = 0;

    for (int i = 0; i < t->n; i++) {
        p.born[i] = calloc((size_t)t->units[i], sizeof *p.born[i]);
        ck_assert_ptr_nonnull(p.born[i]);
        rate += t->draws[i];
        age[i] = 0;
    }
    for (long k = 0; k < DRAWS; k++) {
        double pick = gsl_rng_uniform(rng) * rate, now;
        int i = 0;

        busy += gsl_ran_exponential(rng, 1 / rate); /* a day of it each day */
        now = floor(busy) + (busy - floor(busy)) * hours / 24;
        while (i + 1 < t->n && pick >= t->draws[i])
            pick -= t->draws[i++];
        for (int u = 0; u < t->at_once[i]; u++) {
            const double old = now - pull(&p, i, now);

            if (k < SETTLING)
                continue;
            age[i] += old;
            sum += old;
            drawn[i]++;
            units++;
        }
    }
    *all = sum / units;
    for (int i = 0; i < t->n; i++) {
        age[i] = drawn[i] > 0 ? age[i] / drawn[i] : NAN;
        free(p.born[i]);
    }
}

/* 40 trees of 2 to 7 pipes that hold 1 to 30 draws each, all alike, followed
 * for 400,000 draws, by day and night or within 8 hours a day.  The mean age
 * at every outlet to 3%: one that draws a 70th of all does so some 6,000
 * times, in which 30 units on its way are renewed 190 times, each to a
 * fifth: 1.3% is a deviation.  By day alone most of the age is of the units
 * that stay overnight on its way, and of these it draws its part: four
 * deviations of how many they are beside. */
#define TREES 40

START_TEST(age_of_parcels)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    double age[MOST_PIPES], all, expected = 0, rate = 0;
    struct tree t;
    fc_site *site;
    fc_effects *effects;

    gsl_rng_set(rng, 100 + (unsigned long)_i);
    t = make_tree(rng, 1);
    site = site_of_tree(&t, 1);
    effects = effects_of(site);
    follow(&t, rng, _i % 2 ? 8 : 24, age, &all);
    for (int i = 0; i < t.n; i++) {
        expected += t.units[i];
        rate += t.draws[i];
    }
    for (int i = 0; i < t.n; i++) {
        fc_range told;

        double nights = DRAWS / rate / rate * t.draws[i], on_way = 0;

        if (!(t.draws[i] > 0))
            continue;
        for (int k = i; k >= 0; k = t.parent[k])
            on_way += t.units[k];
        told = outlet_on(effects, i)->residence[FC_EXISTING];
        ck_assert(told.given);
        ck_assert_double_eq_tol(
            told.nominal / FCI_DAY / age[i], 1,
            0.03 + (_i % 2 ? 4 / sqrt(nights * on_way) : 0));
    }
    /* what is in the pipes over what is drawn, of all water together */
    ck_assert_double_eq_tol(all / (expected / rate), 1, 0.03);
    fc_effects_free(effects);
    fc_site_free(site);
    gsl_rng_free(rng);
}
END_TEST

/* Draws of 1 to 4 units.  All water together is as old as what the pipes hold
 * over what is drawn, to 3%; one outlet's to that and the mean times between
 * two draws from the pipes on its way, as effects/renewal.c says. */
START_TEST(age_with_unlike_draws)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    double age[MOST_PIPES], all, held = 0, drawn = 0;
    double through[MOST_PIPES] = { 0 };
    struct tree t;
    fc_site *site;
    fc_effects *effects;

    gsl_rng_set(rng, 900 + (unsigned long)_i);
    t = make_tree(rng, 4);
    site = site_of_tree(&t, 1);
    effects = effects_of(site);
    follow(&t, rng, 24, age, &all);
    for (int i = t.n - 1; i >= 0; i--) {
        held += t.units[i];
        drawn += t.draws[i] * t.at_once[i];
        through[i] += t.draws[i];
        if (t.parent[i] >= 0)
            through[t.parent[i]] += through[i];
    }
    ck_assert_double_eq_tol(all / (held / drawn), 1, 0.03);
    for (int i = 0; i < t.n; i++) {
        double between = 0, told;

        if (!(t.draws[i] > 0))
            continue;
        told = outlet_on(effects, i)->residence[FC_EXISTING].nominal / FCI_DAY;
        for (int k = i; k >= 0; k = t.parent[k])
            between += 1 / through[k];
        ck_assert_double_eq_tol(told, age[i], 0.03 * age[i] + between);
    }
    fc_effects_free(effects);
    fc_site_free(site);
    gsl_rng_free(rng);
}
END_TEST

/* Twice the draws, half the time and twice the turnovers; each draw alone
 * made smaller never shortens a time. */
START_TEST(more_draws_renew_more)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    struct tree t, less;
    fc_site *sites[3];
    fc_effects *effects[3];

    gsl_rng_set(rng, 1700 + (unsigned long)_i);
    t = less = make_tree(rng, 3);
    for (int i = 0; i < t.n; i++)
        less.draws[i] *= gsl_rng_uniform(rng) < 0.5 ? 0.4 : 1;
    sites[0] = site_of_tree(&t, 1);
    sites[1] = site_of_tree(&t, 2);
    sites[2] = site_of_tree(&less, 1);
    for (int k = 0; k < 3; k++)
        effects[k] = effects_of(sites[k]);
    for (int i = 0; i < t.n; i++) {
        const fc_pipe_renewal *p[3];

        for (int k = 0; k < 3; k++)
            p[k] = &effects[k]->renewal->pipes[i].states[FC_EXISTING];
        ck_assert(p[0]->turnovers.given && !p[0]->at_least);
        ck_assert_double_eq_tol(
            p[1]->turnovers.nominal / p[0]->turnovers.nominal, 2, 1e-12);
        ck_assert_double_eq_tol(
            p[1]->residence.nominal / p[0]->residence.nominal, 0.5, 1e-12);
        ck_assert_double_eq_tol(p[0]->turnovers.nominal
                                    * p[0]->residence.nominal / FCI_DAY,
                                1, 1e-12);
        ck_assert_double_ge(p[2]->residence.nominal,
                            p[0]->residence.nominal * (1 - 1e-12));
        if (t.draws[i] > 0)
            ck_assert_double_ge(outlet_on(effects[2], i)->residence[0].nominal,
                                outlet_on(effects[0], i)->residence[0].nominal
                                    * (1 - 1e-12));
    }
    for (int k = 0; k < 3; k++) {
        fc_effects_free(effects[k]);
        fc_site_free(sites[k]);
    }
    gsl_rng_free(rng);
}
END_TEST

/* ---- Least water ------------------------------------------------------ */

#define MOST_VALVES 4

struct task {
    struct tree t;
    size_t order[MOST_PIPES], parent[MOST_PIPES], on[MOST_VALVES];
    double need[MOST_PIPES], holds[MOST_PIPES], flush[MOST_VALVES];
    size_t n_valves;
};

static void
make_task(struct task *task, gsl_rng *rng, bool one_volume)
{
    const double volume = 1 + (double)gsl_rng_uniform_int(rng, 3);

    *task = (struct task){ .t = make_tree(rng, 1) };
    task->n_valves = 1 + gsl_rng_uniform_int(rng, MOST_VALVES);
    for (size_t i = 0; i < (size_t)task->t.n; i++) {
        task->order[i] = i;
        task->parent[i] =
            task->t.parent[i] < 0 ? SIZE_MAX : (size_t)task->t.parent[i];
        if (gsl_rng_uniform(rng) < 0.7)
            task->need[i] = (double)gsl_rng_uniform_int(rng, 8);
        task->holds[i] = task->t.units[i];
    }
    for (size_t i = 0; i < task->n_valves; i++) {
        task->on[i] = gsl_rng_uniform_int(rng, (unsigned)task->t.n);
        task->flush[i] =
            one_volume ? volume : 1 + (double)gsl_rng_uniform_int(rng, 3);
    }
}

static bool
is_downstream(const struct task *task, size_t at, size_t of)
{
    while (at != SIZE_MAX && at != of)
        at = task->parent[at];
    return at == of;
}

static bool
has_valve(const struct task *task, size_t pipe)
{
    for (size_t v = 0; v < task->n_valves; v++)
        if (is_downstream(task, task->on[v], pipe))
            return true;
    return false;
}

/* Whether so many flushes of each give every pipe what it needs, of those that
 * have a valve. */
static bool
is_enough(const struct task *task, const size_t *flushes)
{
    for (size_t i = 0; i < (size_t)task->t.n; i++) {
        double drawn = 0;

        for (size_t v = 0; v < task->n_valves; v++)
            if (is_downstream(task, task->on[v], i))
                drawn += (double)flushes[v] * task->flush[v];
        if (has_valve(task, i) && drawn < task->need[i])
            return false;
    }
    return true;
}

/* Over all numbers of flushes up to 7 + 7 of each (needs of one way add up to
 * no more than the largest of it, and a tree of 7 pipes has 7 ends at most:
 * what one valve needs is no more than what all ends ask for). */
#define MOST_FLUSHES 28

static double
least_of_all(const struct task *task, size_t v, size_t *flushes, double water,
             double best)
{
    if (water >= best)
        return best;
    if (v == task->n_valves)
        return is_enough(task, flushes) ? water : best;
    for (flushes[v] = 0; flushes[v] <= MOST_FLUSHES; flushes[v]++)
        best = least_of_all(task, v + 1, flushes,
                            water + (double)flushes[v] * task->flush[v], best);
    flushes[v] = 0;
    return best;
}

/* 400 tasks of up to 7 pipes and 4 valves, half of them with valves of one
 * volume: those flushes are the fewest; and of all of them what is found is
 * enough, and the least lies below. */
START_TEST(least_against_all)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    const bool one_volume = _i % 2 == 0;
    struct fci_arena arena = { 0 };
    size_t flushes[MOST_VALVES] = { 0 }, left = 0;
    struct fci_top_up found;
    struct task task;
    double best;

    gsl_rng_set(rng, 4000 + (unsigned long)_i);
    make_task(&task, rng, one_volume);
    found = (struct fci_top_up){ .n_pipes = (size_t)task.t.n,
                                 .order = task.order,
                                 .parent = task.parent,
                                 .need = task.need,
                                 .holds = task.holds,
                                 .n_valves = task.n_valves,
                                 .on = task.on,
                                 .flush = task.flush };
    ck_assert(fci_top_up_find(&found, &arena));
    ck_assert(is_enough(&task, found.flushes));
    best = least_of_all(&task, 0, flushes, 0, 1e9);
    ck_assert_double_lt(best, 1e9);
    ck_assert_double_le(found.least, best);
    ck_assert_double_ge(found.water, best);
    if (one_volume) {
        ck_assert(found.one_volume);
        ck_assert_double_eq(found.water, best);
        if (task.flush[0] <= 1)
            ck_assert_double_eq(found.least, best);
    }
    for (size_t i = 0; i < (size_t)task.t.n; i++)
        left += task.need[i] > 0 && !has_valve(&task, i);
    ck_assert_uint_eq(found.left, left);
    fci_arena_free(&arena);
    gsl_rng_free(rng);
}
END_TEST

/* ---- What is told ----------------------------------------------------- */

#define PIPE(name, from, length)                                              \
    "[pipe " name "]\nfrom = " from "\nlength = " length                      \
    "\nc = 140\ninside diameter = 1 in\n"
#define SOURCE "[source s]\nkind = fixed\npressure = 60 psi\n"

/* 100 ft of 1 in hold 4.08 gal: 8.16 gal a day are two turnovers, 12 h. */
START_TEST(draw_per_day)
{
    fc_site *site;
    fc_effects *effects = effects_of_text(
        SOURCE PIPE("p", "s", "100 ft")
            PIPE("dead", "p",
                 "10 ft") "[fixture f]\non = p\nkind = lavatory\ncount = 2\n"
                          "draw per day = 4.08 gal\n",
        &site);
    const fc_renewal *r = effects->renewal;

    ck_assert_uint_eq(r->n_pipes, 2);
    ck_assert_double_eq_tol(r->pipes[0].states[0].turnovers.nominal, 2, 0.002);
    ck_assert_double_eq_tol(r->pipes[0].states[0].residence.nominal, 43200,
                            45);
    ck_assert(!r->pipes[0].dead_end && !r->pipes[0].states[0].at_least);
    ck_assert(r->pipes[1].dead_end);
    ck_assert(!r->pipes[1].states[0].turnovers.given);
    ck_assert_uint_eq(r->dead_ends, 1);
    ck_assert_double_eq_tol(r->dead_contents / GALLON, 0.408, 0.001);
    ck_assert_uint_eq(r->states[0].unknown, 0);
    ck_assert_uint_eq(r->states[0].seldom, 0);
    ck_assert_uint_eq(r->states[0].least, 0);
    ck_assert_uint_eq(r->states[0].oldest, 0);
    ck_assert_ptr_nonnull(
        finding_of(effects->findings, effects->n_findings, "renewal", ""));
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* What an outlet of unknown draw may take is not counted: no pipe on the way
 * is surely renewed too seldom. */
START_TEST(unknown_is_not_nothing)
{
    fc_site *site;
    fc_effects *effects = effects_of_text(
        SOURCE PIPE("p", "s", "100 ft") PIPE("q", "p", "100 ft")
            PIPE("r", "p", "100 ft") "[fixture f]\non = q\nkind = "
                                     "lavatory\ndraw per day = 2.04 gal\n"
                                     "[fixture g]\non = r\nkind = lavatory\n",
        &site);
    const fc_renewal *r = effects->renewal;

    ck_assert(r->pipes[0].states[0].at_least);
    ck_assert(!r->pipes[1].states[0].at_least);
    ck_assert(r->pipes[2].states[0].at_least);
    ck_assert(!r->pipes[2].states[0].turnovers.given);
    ck_assert_uint_eq(r->states[0].seldom, 1); /* q */
    ck_assert_uint_eq(r->states[0].maybe, 1);  /* p */
    ck_assert_uint_eq(r->states[0].unknown, 1);
    ck_assert(r->outlets[0].at_most[0]);
    ck_assert(!r->outlets[1].residence[0].given);
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

/* 40 uses a day of 3.5 gal and then of 1.28 gal through 19.6 gal of pipe (120
 * ft of 2 in, pi / 4 d^2 L / 231 in3): 7.15 turnovers a day, and then 2.61,
 * and with 4 uses a day 0.715 and 0.261, 2.8 and 3.8 days in the pipe.  Over a
 * year of 73 days of use, a fifth of that. */
static const char remote[] =
    SOURCE "[pipe p]\nfrom = s\nlength = 120 ft\nc = 140\n"
           "inside diameter = 2 in\n"
           "[fixture wc]\non = p\nkind = water closet, flush valve\n"
           "existing = old\nretrofit = new\nuses per day = %d\n"
           "[valve old]\nflow = 25 gpm at 25 psi\nfull flush = 3.5 gal\n"
           "[valve new]\nflow = 25 gpm at 25 psi\nfull flush = 1.28 gal\n"
           "flushes per use = 1\nsensor = no\n[usage]\n"
           "days per year = 73\n";

static const struct {
    int uses;
    size_t below, flushes; /* after the retrofit */
} uses[] = { { 40, 0, 0 }, { 4, 1, 12 }, { 10, 1, 6 }, { 15, 1, 1 } };

START_TEST(uses_of_a_closet)
{
    static const double gallons[FC_STATES] = { 3.5, 1.28 };
    const double holds = M_PI / 4 * 2 * 2 * 120 * 12 / 231;
    char text[sizeof remote + 20];
    fc_effects *effects;
    const fc_renewal *r;
    fc_site *site;
    bool fell;

    snprintf(text, sizeof text, remote, uses[_i].uses);
    effects = effects_of_text(text, &site);
    r = effects->renewal;
    for (int s = 0; s < FC_STATES; s++) {
        const fc_pipe_renewal *p = &r->pipes[0].states[s];
        const double turnovers = uses[_i].uses * gallons[s] / holds;

        ck_assert_double_eq_tol(p->turnovers.nominal / turnovers, 1, 1e-9);
        ck_assert_double_eq_tol(p->turnovers_of_year.nominal / turnovers,
                                73. / 365, 1e-9);
        ck_assert_double_eq_tol(
            r->outlets[0].residence[s].nominal * turnovers / FCI_DAY, 1, 1e-9);
        ck_assert_uint_eq(r->states[s].seldom, turnovers < 1);
    }
    ck_assert_uint_eq(r->states[FC_RETROFIT].seldom, uses[_i].below);
    ck_assert_uint_eq(r->states[FC_RETROFIT].n_extra, uses[_i].below);
    if (uses[_i].below)
        ck_assert_uint_eq(r->states[FC_RETROFIT].extra[0].flushes,
                          uses[_i].flushes);
    /* told where the retrofit is what brings it below once */
    fell = uses[_i].uses * 3.5 >= holds && uses[_i].uses * 1.28 < holds;
    ck_assert(
        fell
        == (finding_of(effects->findings, effects->n_findings, "renewal", "p")
            != NULL));
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

START_TEST(left_out_with_a_loop)
{
    static const char text[] = SOURCE PIPE("p", "s", "100 ft")
        PIPE("q", "p", "100 ft") PIPE("r", "p", "100 ft")
            PIPE("t", "q", "10 ft") "to = r\n"
                                    "[fixture f]\non = q\nkind = "
                                    "lavatory\ndraw per day = 2.04 gal\n";
    fc_site *site = site_of(text);
    fc_effects *effects = NULL;
    const fc_finding *found;

    ck_assert_int_eq(fc_effects_find(site, &effects, NULL), FC_OK);
    ck_assert_ptr_null(effects->renewal);
    found = finding_of(effects->findings, effects->n_findings, "renewal", "");
    ck_assert_ptr_nonnull(found);
    ck_assert_str_eq(found->text,
                     "renewal is not calculated: with loops or several "
                     "sources the way of the water is not known");
    fc_effects_free(effects);
    fc_site_free(site);
}
END_TEST

static Suite *
renewal_suite(void)
{
    Suite *suite = suite_create("renewal");
    TCase *tcase = tcase_create("contents");

    tcase_add_loop_test(tcase, contents_as_printed, 0, COUNT(contents));
    tcase_add_test(tcase, contents_of_ranges);
    suite_add_tcase(suite, tcase);
    tcase = tcase_create("parcels");
    tcase_set_timeout(tcase, 600);
    tcase_add_sampled_test(tcase, age_of_parcels, TREES);
    tcase_add_sampled_test(tcase, age_with_unlike_draws, TREES);
    tcase_add_sampled_test(tcase, more_draws_renew_more, 200);
    suite_add_tcase(suite, tcase);
    tcase = tcase_create("least water");
    tcase_set_timeout(tcase, 600);
    tcase_add_sampled_test(tcase, least_against_all, 400);
    suite_add_tcase(suite, tcase);
    tcase = tcase_create("told");
    tcase_add_test(tcase, rooms_of_women_and_men);
    tcase_add_test(tcase, the_way_to_a_tank);
    tcase_add_test(tcase, draw_per_day);
    tcase_add_test(tcase, unknown_is_not_nothing);
    tcase_add_loop_test(tcase, uses_of_a_closet, 0, COUNT(uses));
    tcase_add_test(tcase, left_out_with_a_loop);
    suite_add_tcase(suite, tcase);
    return suite;
}

int
main(void)
{
    return run_suite(renewal_suite());
}
