/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/odd_sites.c -- see generators/odd_sites.h. */
#include "generators/odd_sites.h"

#include <gsl/gsl_rng.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

struct writing {
    gsl_rng *rng;
    char *text;
    size_t used;
    int valves;
    int level; /* pipes neither rise nor fall, so that a loop closes */
};

static void put(struct writing *w, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static void
put(struct writing *w, const char *format, ...)
{
    va_list args;
    int n;

    va_start(args, format);
    n = vsnprintf(w->text + w->used, ODD_TEXT - w->used, format, args);
    va_end(args);
    if (n < 0 || (size_t)n >= ODD_TEXT - w->used)
        abort();
    w->used += (size_t)n;
}

static size_t
up_to(struct writing *w, size_t n)
{
    return gsl_rng_uniform_int(w->rng, n);
}

static int
chance(struct writing *w, double of)
{
    return gsl_rng_uniform(w->rng) < of;
}

#define ONE_OF(w, choices)                                                    \
    ((choices)[up_to(w, sizeof(choices) / sizeof *(choices))])

static const int pressures[] = { 20, 30, 40, 52, 60, 80, 120 };
static const int rates[] = { 1, 5, 12, 25, 35, 80 };
static const int rated_at[] = { 5, 15, 25, 35 };

static void
put_head(struct writing *w)
{
    int i;

    put(w, "[site]\nmaterial = copper L\ncondition = new\n"
           "code minimum = no\nmaximum static = 500 psi\n");
    put(w, "[source main]\nkind = fixed\npressure = %d psi\n",
        ONE_OF(w, pressures));
    w->valves = 1 + (int)up_to(w, 3);
    for (i = 0; i < w->valves; i++)
        put(w,
            "[valve v%d]\nflow = %d gpm at %d psi\nfull flush = 1.6 gal\n"
            "%s",
            i, ONE_OF(w, rates), ONE_OF(w, rated_at),
            chance(w, 0.25) ? "regulated = yes\n" : "");
}

static void
put_pipe(struct writing *w, const char *name, const char *from)
{
    static const char *const sizes[] = { "1/2", "1/2", "3/4", "1", "2", "4" };
    static const int lengths[] = { 1, 10, 50, 300 }, rises[] = { 0, 0, 1, -1 };
    const int length = ONE_OF(w, lengths);
    const int rise = w->level ? 0 : ONE_OF(w, rises);

    put(w,
        "[pipe %s]\nfrom = %s\nsize = %s in\nlength = %d ft\n"
        "rise = %d ft\nfittings = none\n",
        name, from, ONE_OF(w, sizes), length,
        rise
            * (length > 50   ? 50
               : length > 10 ? 10
                             : length / 2));
}

static void
put_fixture(struct writing *w, const char *name, const char *on, int count)
{
    static const char *const stops[] = { "stop = 3 psi\n",
                                         "stop = 2 psi at 20 gpm\n" };
    static const int rises[] = { 0, 0, 2, -2 };

    put(w,
        "[fixture %s]\non = %s\nkind = water closet, flush valve\n"
        "count = %d\nrise = %d ft\nexisting = v%zu\n%s",
        name, on, count, ONE_OF(w, rises), up_to(w, (size_t)w->valves),
        chance(w, 0.25) ? ONE_OF(w, stops) : "");
}

/* ---- Trees -------------------------------------------------------------- */

static void
put_tree(struct writing *w)
{
    static const int counts[] = { 1, 1, 3, 10, 100, 1000 };
    const size_t n = 1 + up_to(w, 6);
    char name[24], from[24] = "main";
    size_t i;

    for (i = 0; i < n; i++) {
        if (i > 0)
            snprintf(from, sizeof from, "p%zu",
                     chance(w, 0.6) ? i - 1 : up_to(w, i));
        snprintf(name, sizeof name, "p%zu", i);
        put_pipe(w, name, from);
        if (i + 1 == n || chance(w, 0.6)) {
            snprintf(from, sizeof from, "f%zu", i);
            put_fixture(w, from, name, ONE_OF(w, counts));
        }
    }
}

/* ---- PRVs side by side ---------------------------------------------------
 */

static void
put_prv(struct writing *w, const char *name, const char *place, int set,
        int usual)
{
    static const int falls[] = { 0, 3, 5, 8 }, at[] = { 20, 40, 80, 200 };

    put(w, "[prv %s]\n%s\nset = %d psi\n", name, place, set);
    if (!usual)
        put(w, "fall-off = %d psi at %d gpm\n", ONE_OF(w, falls),
            ONE_OF(w, at));
    if (chance(w, 0.5))
        put(w, "loss = %zu psi at %d gpm\n", 1 + up_to(w, 6), ONE_OF(w, at));
}

/* Set about where the inlet's pressure is, in any order. */
static void
put_pair(struct writing *w, size_t i, const char *from)
{
    const int set = 15 + (int)up_to(w, 45);
    const int lower = set - 4 + (int)up_to(w, 9);
    char one[24], other[24], place[40];

    snprintf(one, sizeof one, "r%zu", i);
    snprintf(other, sizeof other, "q%zu", i);
    snprintf(place, sizeof place, "from = %s", from);
    put_prv(w, one, place, set, chance(w, 0.4));
    snprintf(place, sizeof place, "beside = %s", one);
    put_prv(w, other, place, lower, chance(w, 0.4));
}

static void
put_before(struct writing *w)
{
    static const char *const before[] = {
        "[meter b]\nfrom = main\nloss = 4 psi at 60 gpm\n",
        "[backflow b]\nfrom = main\nloss = 0 gpm 5 psi, 80 gpm 9 psi\n",
    };

    put(w, "%s", ONE_OF(w, before));
}

static void
put_pairs(struct writing *w)
{
    static const int counts[] = { 1, 1, 2, 3, 9 };
    const size_t n = 2 + up_to(w, 5);
    char name[24], from[24] = "main", on[24];
    size_t i;

    if (chance(w, 0.5)) {
        put_before(w);
        snprintf(from, sizeof from, "b");
    }
    if (chance(w, 0.3)) { /* all of it behind one more */
        put_pair(w, 99, from);
        snprintf(from, sizeof from, "r99");
    }
    for (i = 1; i <= n; i++) {
        snprintf(name, sizeof name, "riser-%zu", i);
        put_pipe(w, name, from);
        snprintf(from, sizeof from, "%s", name);
        snprintf(on, sizeof on, "br-%zu", i);
        put_pipe(w, on, from);
        if (chance(w, 0.7)) {
            put_pair(w, i, on);
            snprintf(on, sizeof on, "r%zu", i);
        }
        snprintf(name, sizeof name, "f%zu", i);
        put_fixture(w, name, on, ONE_OF(w, counts));
    }
    if (w->level)
        put(w,
            "[pipe loop]\nfrom = br-1\nto = br-%zu\nsize = %s in\n"
            "length = 200 ft\nfittings = none\n",
            n, chance(w, 0.5) ? "1" : "2");
}

void
odd_site_text(enum odd_site kind, unsigned long seed, char text[ODD_TEXT])
{
    struct writing w = { gsl_rng_alloc(gsl_rng_mt19937), text, 0, 0,
                         kind == ODD_PAIRS_AND_LOOP };

    gsl_rng_set(w.rng, 90000 + seed);
    put_head(&w);
    if (kind == ODD_TREE)
        put_tree(&w);
    else
        put_pairs(&w);
    gsl_rng_free(w.rng);
}
