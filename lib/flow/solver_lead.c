/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/solver_lead.c -- where Newton's method alone finds no way.
 *
 * Every law grows with its flow, and no reducer, pump or check valve passes
 * more where more stands behind it: the flows of one building depend on the
 * heights of its valves without a jump, and are no others.  So the building is
 * led from one whose flows are known to itself.  Some flows are taken, and
 * every valve is set so much higher, and every loop so much out of level, that
 * these are the answer.  Then all is let down: at once if that settles, or
 * else half of the way, half of that, and so on, from what was found last.
 * However sharp the corners of the laws, a step short enough meets one of them
 * at a time, which Newton's method does pass.
 */
#include "flow/solver_work.h"

/* Flows are halved so often at most until no valve is short of pressure. */
#define MOST_HALVED 60
#define LACK 1e6
/* Newton's steps on each part of the way, */
#define STEPS 40
/* parts of it, */
#define PARTS 400
/* and the shortest, of what is left. */
#define SHORTEST 1e-6

/* ---- What was found last ---------------------------------------------- */

static void
keep(struct fci_solver *s)
{
    size_t i;

    for (i = 0; i < s->n_valves; i++)
        s->led[i].kept = s->valves[i].flow;
    for (i = 0; i < s->network->n_loops; i++)
        s->mesh.led[i].kept = s->mesh.loop_flow[i];
    for (i = 0; i < s->n_nodes; i++)
        s->asides[i].kept =
            (struct fci_kept){ s->at[i].pressure, s->nodes[i].holding,
                               s->nodes[i].standing, s->nodes[i].shut,
                               s->nodes[i].back };
}

static void
take_back(struct fci_solver *s)
{
    size_t i;

    for (i = 0; i < s->n_valves; i++)
        fci_valve_set(&s->valves[i], s->led[i].kept);
    for (i = 0; i < s->network->n_loops; i++)
        s->mesh.loop_flow[i] = s->mesh.led[i].kept;
    for (i = 0; i < s->n_nodes; i++) {
        const struct fci_kept *kept = &s->asides[i].kept;
        struct fci_node *node = &s->nodes[i];

        s->at[i].pressure = kept->pressure;
        node->holding = kept->holding;
        node->standing = kept->standing;
        node->shut = kept->shut;
        node->back = kept->back;
    }
    if (s->network->meshed)
        fci_mesh_list_shut(s);
}

/* ---- How high the valves are ------------------------------------------- */

static void
raise_by(struct fci_solver *s, double part)
{
    size_t i;

    for (i = 0; i < s->n_valves; i++)
        s->valves[i].lift =
            s->outlets[i].law->stop.lift + part * s->led[i].raised;
    s->raised_by = part;
}

/* The worst lack of pressure at a valve [Pa]. */
static double
worst_lack(struct fci_solver *s)
{
    double least = 0;
    size_t i;

    if (s->sharing)
        fci_share_flows(s);
    fci_sweep_up(s);
    fci_sweep_down(s);
    (void)fci_valves_miss(s);
    if (s->network->meshed)
        (void)fci_mesh_miss(s, 0);
    for (i = 0; i < s->n_valves; i++)
        least = fmin(least, s->valves[i].drive);
    return -least;
}

/* Flows that leave every valve more than it asks for, and how high it would
 * have to be for them. */
static void
begin(struct fci_solver *s)
{
    size_t i;
    int halved;

    s->careful = true;
    raise_by(s, 0);
    for (i = 0; i < s->n_valves; i++)
        fci_valve_set(&s->valves[i],
                      fmin(fmax(s->outlets[i].outlet->alone, FCI_LEAST_FLOW),
                           s->valves[i].most)
                          / 2);
    for (i = 0; i < s->network->n_loops; i++)
        s->mesh.loop_flow[i] = 0;
    for (halved = 0; halved < MOST_HALVED && worst_lack(s) > LACK; halved++)
        for (i = 0; i < s->n_valves; i++)
            fci_valve_set(&s->valves[i], s->valves[i].flow / 2);
    for (i = 0; i < s->n_valves; i++)
        s->led[i].raised = s->valves[i].drive;
    if (s->network->meshed)
        fci_mesh_raise(s);
    keep(s);
}

/* ---- The way ----------------------------------------------------------- */

static fc_status
go(struct fci_solver *s)
{
    double raised = 1, left = 0; /* left: the part that is tried next */
    int i;

    begin(s);
    for (i = 0; i < PARTS; i++) {
        raise_by(s, left * raised);
        fci_laws_afresh(s);
        if (fci_flows_settle(s, 0, STEPS) == FC_OK) {
            if (!(left > 0))
                return FC_OK;
            keep(s);
            raised *= left;
            left = fmax(2 * left - 1, 0);
        } else if (1 - left < SHORTEST) {
            break;
        } else {
            take_back(s);
            left = (1 + left) / 2;
        }
    }
    raise_by(s, 0);
    return FC_ENOCONV;
}

fc_status
fci_flows_lead(struct fci_solver *s)
{
    fc_status status;

    s->sharing = s->network->site->n_pairs > 0;
    status = go(s);
    s->sharing = false;
    return status;
}
