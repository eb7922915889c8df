/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/published/published.h -- what tests of published figures share. */
#ifndef TESTS_PUBLISHED_PUBLISHED_H
#define TESTS_PUBLISHED_PUBLISHED_H

#include "laws/friction.h"
#include "check/judge.h"
#include "generators/sites.h"
#include "laws/water.h"

#include <math.h>
#include <stdarg.h>

/* How a figure is held. */
#define READ "read on a public page"
#define MEMORY "from memory"

/* What conversion into SI and back leaves, of a figure printed exactly. */
#define EXACT 1e-9

/* What the figures of one publication have in common. */
struct published {
    const char *source, *held;
    double relative; /* tolerance; the reason stands above the figures */
    double digit;    /* half a unit of the last digit, added to it */
};

static inline void
expect(double got, double want, const struct published *p, const char *what)
{
    const double tolerance = p->relative * fabs(want) + p->digit;

    ck_assert_msg(fabs(got - want) <= tolerance,
                  "%s: %.6g, published %.6g, off by %.3g, at most %.3g: %s, "
                  "%s",
                  what, got, want, got - want, tolerance, p->source, p->held);
}

/* Water at 60 degF [N/m3]. */
static inline double
weight_of_water(void)
{
    return fci_water_weight((60 - 32) / 1.8);
}

/* Friction [Pa]. */
static inline double
friction_of(double bore, double c, double length, double flow)
{
    return fci_friction_loss(
        fci_friction_resistance(weight_of_water(), bore, c, length), flow);
}

/* A site by a text with its figures filled in. */
static inline fc_site *site_by(const char *format, ...)
    __attribute__((format(printf, 1, 2)));

static inline fc_site *
site_by(const char *format, ...)
{
    char text[4000];
    va_list arguments;
    int n;

    va_start(arguments, format);
    n = vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    ck_assert(n > 0 && (size_t)n < sizeof text);
    return site_of(text);
}

static inline fc_check_result *
checked(const fc_site *site)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_check_result *result = NULL;

    ck_assert_msg(fc_check(site, &result, messages) == FC_OK, "%s",
                  all_messages(messages));
    fc_diagnostics_free(messages);
    return result;
}

static inline const fc_checked_pipe *
pipe_of(const fc_check_result *result, const char *name)
{
    size_t i;

    for (i = 0; i < result->n_pipes; i++)
        if (strcmp(result->pipes[i].name, name) == 0)
            return &result->pipes[i];
    ck_abort_msg("no pipe %s", name);
}

static inline const fc_checked_fixture *
fixture_of(const fc_check_result *result, const char *name)
{
    size_t i;

    for (i = 0; i < result->n_fixtures; i++)
        if (strcmp(result->fixtures[i].name, name) == 0)
            return &result->fixtures[i];
    ck_abort_msg("no fixture %s", name);
}

/* What the way from the source to a fixture takes, in psi. */
struct budget {
    double elevation, friction, devices, left, required;
};

static inline struct budget
budget_of(const fc_site *site, const char *fixture, fc_state state)
{
    struct budget budget = { 0, 0, 0, 0, 0 };
    fc_path *path = NULL;
    size_t i;

    ck_assert_int_eq(fc_path_find(site, fixture, state, &path, NULL), FC_OK);
    for (i = 0; i < path->n_steps; i++) {
        const fc_path_step *step = &path->steps[i];

        budget.elevation += step->elevation_loss / PSI;
        budget.friction += (step->friction_loss + step->fitting_loss) / PSI;
        budget.devices += step->device_loss / PSI;
    }
    budget.left = path->end.flowing.nominal / PSI;
    budget.required = path->end.required.nominal / PSI;
    fc_path_free(path);
    return budget;
}

#endif
