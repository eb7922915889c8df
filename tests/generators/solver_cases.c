/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/solver_cases.c -- see generators/solver_cases.h. */
#include "generators/solver_cases.h"

#include <stdarg.h>
#include <stdio.h>

void
solver_fails(unsigned long seed, const char *format, ...)
{
    char text[512];
    va_list args;

    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    ck_abort_msg("building %lu: %s", seed, text);
    abort();
}

gsl_rng *
solver_random(unsigned long seed)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);

    ck_assert_ptr_nonnull(rng);
    gsl_rng_set(rng, seed + 2000000);
    return rng;
}

/* ---- A site and its solver -------------------------------------------- */

struct solved
solved_site(fc_site *site, fc_state state)
{
    struct solved s = { .site = site };

    ck_assert_ptr_nonnull(site);
    ck_assert_int_eq(fci_network_new(site, state, &s.network, NULL), FC_OK);
    s.solver = fci_solver_new(s.network);
    s.elements = calloc(site->n_elements, sizeof *s.elements);
    ck_assert_ptr_nonnull(s.solver);
    ck_assert_ptr_nonnull(s.elements);
    return s;
}

struct solved
solved_building(const struct building *b, fc_state state)
{
    fc_site *site = building_site(b, NULL);

    HOLDS(b->seed, site, "the site could not be finished");
    return solved_site(site, state);
}

void
solved_end(struct solved *s)
{
    free(s->elements);
    fci_solver_free(s->solver);
    fci_network_free(s->network);
    fc_site_free(s->site);
}

const struct fci_drawn *
solved_run(struct solved *s, unsigned long seed, const struct fci_open *open,
           size_t n)
{
    fc_status status = fci_solver_run(s->solver, open, n);

    HOLDS(seed, status == FC_OK, "%zu open: %s, at %s", n,
          fc_status_text(status), fci_solver_culprit(s->solver));
    status = fci_solver_spread(s->solver, s->elements);
    HOLDS(seed, status == FC_OK, "%zu open: the spread says %s, at %s", n,
          fc_status_text(status), fci_solver_culprit(s->solver));
    return fci_solver_drawn(s->solver);
}

double
solved_total(const struct solved *s, size_t n)
{
    const struct fci_drawn *drawn = fci_solver_drawn(s->solver);
    double total = 0;
    size_t i;

    for (i = 0; i < n; i++)
        total += drawn[i].count * drawn[i].flow;
    for (i = 0; i < s->site->n_draws; i++)
        total += s->site->draws[i].flow.nominal;
    return total;
}

size_t
solved_fixture(const struct solved *s, const char *name)
{
    size_t i;

    for (i = 0; i < s->site->n_fixtures; i++)
        if (fci_same_name(s->site->fixtures[i].given->name, name))
            return i;
    ck_abort_msg("no fixture %s", name);
}

size_t
solved_element(const struct solved *s, const char *name)
{
    size_t i;

    for (i = 0; i < s->site->n_elements; i++)
        if (fci_same_name(s->site->elements[i].name, name))
            return i;
    ck_abort_msg("no element %s", name);
}
