/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/solver_settles.c -- buildings whose flows are hard to find: each
 * solution is put into the laws, written afresh from the equations.
 *
 * What flows into a place flows out of it; every pipe, device and PRV takes
 * what its law says at its flow; every valve draws what the pressure at its
 * inlet lets through.  On a tree, and with laws that grow with the flow, no
 * other flows do so.
 */
#include "generators/odd_sites.h"
#include "generators/reference_laws.h"
#include "generators/sites.h"
#include "generators/solver_cases.h"
#include "site/site.h"

/* Buildings of each kind; -DSETTLES=5000 tries more. */
#ifndef SETTLES
#define SETTLES 120
#endif
#define EVENTS 8

#define LAW 0.2      /* Pa: what is solved holds to 0.1 */
#define BALANCE 1e-9 /* of the total */
/* PRVs side by side join at once, the second one behind a join that takes some
 * 0.01 psi at 1000 gpm [Pa / (m3/s)^(1/0.54)]. */
#define JOIN 1e4
/* An allowance of which no flow is known grows to all of it within 1 gpm
 * (flushcalc-site(5)). */
#define USUAL_FLOW GPM

struct settled {
    unsigned long seed;
    struct solved s;
    struct reference_curves curves;
    double total;
};

/* ---- The laws ------------------------------------------------------------
 */

/* Of a loss that is given at a flow as no square all the way: in proportion up
 * to it. */
static double
loss_of(const struct settled *t, size_t i, double q)
{
    const fc_loss *loss = reference_loss_of(t->s.site->elements[i].part);

    if (loss->kind == FC_CONSTANT_LOSS && loss->flow.given)
        return loss->pressure.nominal * fmin(1, q / loss->flow.nominal);
    return reference_loss(loss, &t->curves.elements[i], q).at;
}

/* Of two side by side the one that is set higher passes next to nothing where
 * the flow of its fall-off is not known. */
static double
fall_of(const struct settled *t, size_t i, double q)
{
    const struct fci_element *element = &t->s.site->elements[i];
    const fc_reducer *reducer = element->part->data, *other;
    double most = reducer->fall_off.nominal;

    if (!reducer->fall_off.given || reducer->fall_off_flow.given)
        return reference_fall(reducer, q).at;
    if (element->beside > 0) {
        other = t->s.site->elements[element->beside - 1].part->data;
        if (reducer->set.nominal > other->set.nominal)
            most = reducer->set.nominal;
    }
    return most * fmin(1, q / USUAL_FLOW);
}

/* What an element leaves at its outlet. */
static double
leaves(const struct settled *t, size_t i, double q)
{
    const fc_site *site = t->s.site;
    const struct fci_element *element = &site->elements[i];
    const fc_reducer *reducer = element->part->data;
    double in = 0;

    if (element->parent == FCI_NONE)
        return reference_source(element->part->data, site->water_weight, q, 0)
            .at;
    in = t->s.elements[element->parent].pressure
         - site->water_weight * element->rise.nominal;
    if (element->pipe)
        return in
               - reference_power(
                     reference_pipe(element->pipe, site->water_weight), q, 0)
                     .at;
    in -= loss_of(t, i, q);
    return element->part->kind == FCI_REDUCER
               ? fmin(in, reducer->set.nominal - fall_of(t, i, q))
               : in;
}

/* ---- Every element, place and valve ---------------------------------------
 */

static void
element_holds(const struct settled *t, size_t i)
{
    const struct fci_element *element = &t->s.site->elements[i];
    const bool pipe = element->pipe;
    const double q = t->s.elements[i].flow;
    double want = t->s.elements[i].pressure, left;

    if (element->to != FCI_NONE)
        want = t->s.elements[element->to].pressure
               + (pipe ? 0 : reference_power(JOIN, q, 0).at);
    HOLDS(t->seed, pipe || q >= -BALANCE * t->total, "%s runs back: %g",
          element->name, q);
    left = leaves(t, i, fabs(q) < BALANCE * t->total ? 0 : q);
    /* one that is shut keeps what is behind it */
    if (!pipe && element->parent != FCI_NONE && q <= BALANCE * t->total)
        HOLDS(t->seed, left <= want + LAW, "%s is shut: %.10g over %.10g",
              element->name, left, want);
    else
        HOLDS(t->seed, fabs(left - want) <= LAW, "%s leaves %.10g, not %.10g",
              element->name, left, want);
}

static void
places_balance(const struct settled *t, const struct fci_open *open, size_t n)
{
    const fc_site *site = t->s.site;
    const struct fci_drawn *drawn = fci_solver_drawn(t->s.solver);
    double *in = reference_room(site->n_elements, sizeof *in);
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const struct fci_element *element = &site->elements[i];

        in[element->to == FCI_NONE ? i : element->to] += t->s.elements[i].flow;
        if (element->parent != FCI_NONE)
            in[element->parent] -= t->s.elements[i].flow;
    }
    for (i = 0; i < n; i++)
        in[site->fixtures[open[i].fixture].element] -=
            open[i].count * drawn[i].flow;
    for (i = 0; i < site->n_elements; i++)
        HOLDS(t->seed, fabs(in[i]) <= BALANCE * t->total,
              "%s: %g of %g is left", site->elements[i].name, in[i], t->total);
    free(in);
}

static void
valve_holds(const struct settled *t, size_t i)
{
    const struct fci_drawn *drawn = &fci_solver_drawn(t->s.solver)[i];
    const struct fci_fixture *fixture = &t->s.site->fixtures[drawn->fixture];
    const fc_valve *valve = fixture->valve[FC_EXISTING];
    const fc_loss *stop = &fixture->given->stop;
    const char *name = fixture->given->name;
    const double q = drawn->flow;
    const double there =
        t->s.elements[fixture->element].pressure
        - t->s.site->water_weight * fixture->given->rise.nominal
        - reference_loss(stop, NULL, q).at;
    const double need =
        valve->flow_pressure.nominal * pow(q / valve->flow.nominal, 2);

    HOLDS(t->seed, q >= 0, "%s draws %g", name, q);
    if (!(q > 0))
        HOLDS(t->seed, there <= LAW, "%s is dry at %g Pa", name, there);
    else if (valve->regulated == FC_YES && q >= valve->flow.nominal)
        HOLDS(t->seed,
              there >= need - LAW && q <= valve->flow.nominal * (1 + 1e-12),
              "%s draws %g at %.10g Pa", name, q, there);
    else
        HOLDS(t->seed, fabs(there - need) <= LAW, "%s has %.10g, not %.10g",
              name, there, need);
}

static void
event_settles(struct settled *t, const struct fci_open *open, size_t n)
{
    size_t i;

    solved_run(&t->s, t->seed, open, n);
    t->total = fmax(solved_total(&t->s, n), 1e-4);
    places_balance(t, open, n);
    for (i = 0; i < n; i++)
        valve_holds(t, i);
    for (i = 0; i < t->s.site->n_elements; i++)
        element_holds(t, i);
}

/* ---- The buildings ---------------------------------------------------------
 */

/* All valves, one of each fixture, then some; from what was found before, as
 * the flow events of a report are. */
static void
building_settles(enum odd_site kind, unsigned long seed)
{
    char text[ODD_TEXT];
    struct settled t = { .seed = seed }; /* of its kind */
    struct fci_open open[16];
    gsl_rng *rng = solver_random(seed);
    size_t n, i, event;

    odd_site_text(kind, seed, text);
    t.s = solved_site(site_of(text), FC_EXISTING);
    t.curves = reference_curves_of(t.s.site);
    for (event = 0; event < EVENTS; event++) {
        n = 0;
        for (i = 0; i < t.s.site->n_fixtures; i++) {
            const int count = t.s.site->fixtures[i].count;
            const int of = (int)gsl_rng_uniform_int(rng, (size_t)count + 1);
            const int some = event == 0 ? count : event == 1 ? 1 : of;

            if (some > 0)
                open[n++] = (struct fci_open){ i, some };
        }
        if (n > 0)
            event_settles(&t, open, n);
    }
    reference_curves_free(&t.curves);
    solved_end(&t.s);
    gsl_rng_free(rng);
}

START_TEST(settles)
{
    unsigned long seed;

    for (seed = 0; seed < SETTLES; seed++)
        building_settles((enum odd_site)_i, seed);
}
END_TEST

TCase *
solver_settles(void)
{
    TCase *tcase = tcase_create("settles");

    tcase_set_timeout(tcase, 600);
    tcase_add_loop_test(tcase, settles, 0, ODD_SITES);
    return tcase;
}
