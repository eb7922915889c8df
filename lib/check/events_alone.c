/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/events_alone.c -- one valve that flushes alone, and what that
 * draws down. */
#include "check/events_work.h"
#include "check/drawn.h"
#include "ground/ties.h"

/* ---- What is drawn down ----------------------------------------------- */

bool
fci_find_places(struct fci_running_events *r)
{
    const fc_site *site = r->site;
    struct fci_arena *arena = r->arena ? r->arena : &r->scratch;
    struct fci_drawn_down *drawn =
        fci_arena_array(arena, site->n_elements + 1, sizeof *drawn);
    size_t i;

    r->events->drawn = drawn;
    for (i = 0; drawn && i < site->n_elements; i++) {
        const fc_range least = fci_must_keep(site, &site->elements[i]);

        if (least.given)
            drawn[r->events->n_drawn++] =
                (struct fci_drawn_down){ i, FCI_NONE, { 0 }, least, FC_WORKS };
    }
    return drawn != NULL;
}

static bool
is_upstream(const fc_site *site, size_t of, size_t element)
{
    while (of != element && of != FCI_NONE)
        of = site->elements[of].parent;
    return of != FCI_NONE;
}

bool
fci_may_draw_down(const struct fci_running_events *r)
{
    size_t i;

    for (i = 0; i < r->events->n_drawn; i++)
        if (is_upstream(r->site, r->site->fixtures[r->only].element,
                        r->events->drawn[i].element))
            return true;
    return false;
}

/* The pressures at an end at an outlet and at that of its feeder, of every
 * place on the way to a fixture; `ends` has room for two of each place. */
static void
note_places(struct fci_running_events *r, size_t fixture, enum fci_end end,
            double (*ends)[FCI_ENDS])
{
    const fc_site *site = r->site;
    size_t i;

    for (i = 0; i < r->events->n_drawn; i++) {
        const size_t at = r->events->drawn[i].element;
        const size_t parent = site->elements[at].parent;

        if (!is_upstream(site, site->fixtures[fixture].element, at))
            continue;
        ends[2 * i][end] = fci_solver_at(r->solver, at);
        ends[2 * i + 1][end] =
            parent == FCI_NONE ? 0 : fci_solver_at(r->solver, parent);
    }
}

static void
judge_places(struct fci_running_events *r, size_t fixture,
             double (*ends)[FCI_ENDS])
{
    const fc_site *site = r->site;
    size_t i;

    for (i = 0; i < r->events->n_drawn; i++) {
        struct fci_drawn_down *drawn = &r->events->drawn[i];
        fc_range there;

        if (!is_upstream(site, site->fixtures[fixture].element,
                         drawn->element))
            continue;
        there = fci_keeps(site, &site->elements[drawn->element], ends[2 * i],
                          ends[2 * i + 1]);
        if (drawn->fixture != FCI_NONE
            && !fci_is_less(there.low, drawn->pressure.low))
            continue;
        drawn->fixture = fixture;
        drawn->pressure = there;
        drawn->kept = fci_is_kept(there, drawn->least);
    }
}

/* The worst of the places on the way to a fixture. */
fc_verdict
fci_drawn_down_of(const struct fci_running_events *r, size_t fixture)
{
    fc_verdict worst = FC_WORKS;
    size_t i;

    for (i = 0; i < r->events->n_drawn; i++) {
        const struct fci_drawn_down *drawn = &r->events->drawn[i];

        if (drawn->kept != FC_WORKS
            && is_upstream(r->site, r->site->fixtures[fixture].element,
                           drawn->element))
            worst = fci_worse_of(worst, drawn->kept);
    }
    return worst;
}

/* ---- Alone ------------------------------------------------------------ */

static fc_status
pressure_alone(struct fci_running_events *r, size_t fixture, enum fci_end end,
               double *pressure)
{
    const struct fci_open open = { fixture, 1 };
    fc_status status;

    fci_solver_forget(r->solver);
    fci_solver_take(r->solver, end, fixture);
    status = fci_solver_run(r->solver, &open, 1);
    if (status == FC_OK)
        *pressure = fci_solver_drawn(r->solver)[0].pressure;
    return status;
}

/* Where nothing is a range, or no end bounds it, one end is all of them. */
static void
fill_ends(double ends[FCI_ENDS])
{
    ends[FCI_WORST] = ends[FCI_BEST] = ends[FCI_NOMINAL];
}

fc_status
fci_find_alone(struct fci_running_events *r, size_t fixture, fc_range *alone)
{
    const size_t places = 2 * r->events->n_drawn;
    double ends[FCI_ENDS];
    fc_status status = FC_OK;
    size_t i;
    int end;

    for (end = 0; end <= (int)fci_last_end(r) && status == FC_OK; end++) {
        status = pressure_alone(r, fixture, (enum fci_end)end, &ends[end]);
        if (status == FC_OK)
            note_places(r, fixture, (enum fci_end)end, r->at_places);
        if (status == FC_OK && end == FCI_NOMINAL)
            r->drawn_alone[fixture] = fci_solver_drawn(r->solver)[0].flow;
    }
    if (status != FC_OK)
        return status;
    if (end < FCI_ENDS) {
        fill_ends(ends);
        for (i = 0; i < places; i++)
            fill_ends(r->at_places[i]);
    }
    judge_places(r, fixture, r->at_places);
    *alone = fci_as_range(ends);
    return FC_OK;
}
