/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/small_buildings.c -- see generators/small_buildings.h. */
#include "generators/small_buildings.h"

#include <gsl/gsl_rng.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define ROOM 16384

struct writer {
    char *text;
    size_t used;
    gsl_rng *rng;
    const struct small_plan *plan;
    size_t n_elements;
};

/* ---- Chance ----------------------------------------------------------- */

static bool
chance(const struct writer *w, double p)
{
    return gsl_rng_uniform(w->rng) < p;
}

static size_t
below(const struct writer *w, size_t n)
{
    return (size_t)gsl_rng_uniform_int(w->rng, (unsigned long)n);
}

static double
between(const struct writer *w, double low, double high)
{
    return low + (high - low) * gsl_rng_uniform(w->rng);
}

/* ---- Writing ---------------------------------------------------------- */

static void put(struct writer *w, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

static void
put(struct writer *w, const char *format, ...)
{
    va_list args;

    va_start(args, format);
    w->used +=
        (size_t)vsnprintf(w->text + w->used, ROOM - w->used, format, args);
    va_end(args);
    if (w->used >= ROOM)
        abort();
}

/* A figure, or a range of a tenth of its span. */
static void
figure(struct writer *w, const char *key, double low, double high,
       const char *unit)
{
    const double x = between(w, low, high);

    if (w->plan->ranges && chance(w, 0.5))
        put(w, "%s = %.3f..%.3f %s\n", key, x, x + (high - low) / 10, unit);
    else
        put(w, "%s = %.3f %s\n", key, x, unit);
}

/* ---- Elements --------------------------------------------------------- */

static void
put_source(struct writer *w)
{
    const double pressure = between(w, 35, 85);

    switch (below(w, 3)) {
    case 0:
        put(w,
            "[source e0]\nkind = street main\nstatic = %.2f psi\n"
            "residual = %.2f psi\nresidual flow = %.1f gpm\n",
            pressure, pressure - between(w, 2, 20), between(w, 40, 200));
        break;
    case 1:
        put(w, "[source e0]\nkind = tank\n");
        figure(w, "water level", 90, 190, "ft");
        break;
    default:
        put(w, "[source e0]\nkind = fixed\n");
        figure(w, "pressure", pressure, pressure + 10, "psi");
        break;
    }
    w->n_elements = 1;
}

static void
put_loss(struct writer *w, const char *key, double most)
{
    switch (below(w, 3)) {
    case 0:
        put(w, "%s = %.2f psi\n", key, between(w, 0, most / 2));
        break;
    case 1:
        put(w, "%s = %.2f psi at %.1f gpm\n", key, between(w, 0, most),
            between(w, 20, 60));
        break;
    default:
        put(w, "%s = 0 gpm %.2f psi, 25 gpm %.2f psi, 70 gpm %.2f psi\n", key,
            0.1 * most, 0.1 * most + between(w, 0, most / 3),
            0.5 * most + between(w, 0, most / 2));
        break;
    }
}

static void
put_pipe(struct writer *w)
{
    put(w, "c = %.0f\ninside diameter = %.3f in\n", between(w, 90, 150),
        between(w, 0.8, 2.2));
    figure(w, "length", 5, 90, "ft");
    if (chance(w, 0.5))
        figure(w, "rise", -4, 12, "ft");
}

static void
put_element(struct writer *w)
{
    /* half the time on the last one, so that runs grow long */
    const size_t on =
        chance(w, 0.5) ? w->n_elements - 1 : below(w, w->n_elements);
    const double x = between(w, 0, 1);
    const char *kind = x < 0.80   ? "pipe"
                       : x < 0.85 ? "reducer"
                       : x < 0.89 ? "pump"
                       : x < 0.95 ? "meter"
                                  : "device";

    put(w, "[%s e%zu]\nfrom = e%zu\n", kind, w->n_elements++, on);
    if (x < 0.80)
        put_pipe(w);
    else if (x < 0.85)
        figure(w, "set", 35, 60, "psi");
    else if (x < 0.89)
        put(w, "curve = 0 gpm %.1f ft, 60 gpm %.1f ft, 150 gpm %.1f ft\n",
            between(w, 30, 60), between(w, 20, 30), between(w, 5, 15));
    else
        put_loss(w, "loss", 4);
    if (x >= 0.80 && x < 0.85 && chance(w, 0.5))
        put(w, "fall-off = %.1f psi at 40 gpm\n", between(w, 1, 6));
    if (x >= 0.85 && x < 0.89 && chance(w, 0.5))
        put(w, "hold = %.1f psi\n", between(w, 50, 80));
}

/* ---- What draws water ------------------------------------------------- */

static void
put_valves(struct writer *w, size_t kinds)
{
    size_t i;

    for (i = 0; i < kinds; i++) {
        put(w, "[valve v%zu]\n", i);
        figure(w, "minimum flowing", 12, 32, "psi");
        put(w, "flow = %.1f gpm at %.1f psi\n", between(w, 10, 30),
            between(w, 15, 35));
        if (chance(w, 0.2))
            put(w, "regulated = yes\n");
        if (w->plan->busy)
            put(w, "full flush = %.2f gal\n", between(w, 1, 4));
    }
}

static void
put_fixtures(struct writer *w, size_t kinds)
{
    const size_t groups = 2 + below(w, SMALL_GROUPS - 1);
    size_t left = SMALL_VALVES - groups, i, more;

    for (i = 0; i < groups; i++) {
        more = below(w, left / 2 + 1);
        left -= more;
        put(w,
            "[fixture f%zu]\non = e%zu\nkind = water closet, flush valve\n"
            "count = %zu\nexisting = v%zu\n",
            i, below(w, w->n_elements), more + 1, below(w, kinds));
        if (chance(w, 0.5))
            figure(w, "rise", 0, 6, "ft");
        if (chance(w, 0.3))
            put_loss(w, "stop", 4);
        if (w->plan->busy && chance(w, 0.7))
            put(w, "interval = %.0f s\n", between(w, 12, 90));
    }
}

static void
put_demands(struct writer *w)
{
    size_t n = below(w, 3), i;

    for (i = 0; i < n; i++) {
        put(w, "[demand d%zu]\non = e%zu\n", i, below(w, w->n_elements));
        figure(w, "flow", 0, 8, "gpm");
    }
}

char *
small_text(unsigned long seed, const struct small_plan *plan)
{
    struct writer w = { .text = malloc(ROOM),
                        .rng = gsl_rng_alloc(gsl_rng_mt19937),
                        .plan = plan };
    size_t n, kinds;

    if (!w.text || !w.rng)
        abort();
    gsl_rng_set(w.rng, seed);
    put(&w, "[site]\ntitle = Invented building %lu\n", seed);
    put_source(&w);
    for (n = 3 + below(&w, 10); n > 0; n--)
        put_element(&w);
    kinds = 1 + below(&w, 2);
    put_valves(&w, kinds);
    put_fixtures(&w, kinds);
    put_demands(&w);
    gsl_rng_free(w.rng);
    return w.text;
}

fc_site *
small_site(unsigned long seed, const struct small_plan *plan)
{
    char *text = small_text(seed, plan);
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_site *site = NULL;

    if (fc_site_read_text(text, strlen(text), "small.ini", &site, messages)
        != FC_OK) {
        fprintf(stderr, "%s%s\n", text,
                fc_diagnostics_count(messages)
                    ? fc_diagnostics_at(messages, 0).text
                    : "");
        abort();
    }
    fc_diagnostics_free(messages);
    free(text);
    return site;
}

/* ---- Every set -------------------------------------------------------- */

void
small_groups_of(const struct fci_network *network, struct small_groups *groups)
{
    size_t i;

    *groups = (struct small_groups){ 0 };
    for (i = 0; i < network->site->n_fixtures; i++) {
        if (!network->outlets[i].flushes)
            continue;
        groups->fixture[groups->n] = i;
        groups->count[groups->n] = network->site->fixtures[i].count;
        groups->valves += groups->count[groups->n++];
    }
}

bool
small_next(const struct small_groups *groups, int open[SMALL_GROUPS])
{
    size_t i;

    for (i = 0; i < groups->n; i++) {
        if (++open[i] <= groups->count[i])
            return true;
        open[i] = 0;
    }
    return false;
}

int
small_solve(struct fci_solver *solver, const struct small_groups *groups,
            const int open[SMALL_GROUPS], double pressures[SMALL_GROUPS])
{
    struct fci_open list[SMALL_GROUPS];
    size_t n = 0, i;
    int valves = 0;

    for (i = 0; i < groups->n; i++)
        if (open[i] > 0) {
            list[n].fixture = groups->fixture[i];
            list[n++].count = open[i];
            valves += open[i];
        }
    if (fci_solver_run(solver, list, n) != FC_OK)
        return -1;
    for (i = 0, n = 0; i < groups->n; i++)
        if (open[i] > 0)
            pressures[i] = fci_solver_drawn(solver)[n++].pressure;
    return valves;
}
