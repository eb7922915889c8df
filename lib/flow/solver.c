/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/solver.c -- flows and pressures while some valves flush.
 *
 * Newton's method on the flows of the open valves.  The flow of every run is
 * the sum of the valves behind it, so that flows balance whatever they are;
 * what is solved for is that every valve draws what the pressure left for it
 * lets through.  One iteration is two sweeps.  From the ends to the source,
 * all that is behind a place is replaced by its linearised admittance
 * a + b p, as elimination does on a line; from the source to the ends,
 * pressures and flows follow.  No matrix, no allocation, and only what flows
 * is visited.
 */
#include "flow/solver_work.h"
#include "site/parts.h"

#define MOST_STEPS 100

/* After so many steps check valves turn only once the rest has settled, or has
 * had some steps to; after so many more, one at a time. */
#define PATIENT 15
#define PATIENCE 8
#define ONE_BY_ONE 60

/* After so many steps check valves do not turn for what rounding may be. */
#define LATE 20

/* After so many steps valves no longer leap to what they would draw alone. */
#define HASTY 12

/* Nor are tangents solved again more often than that at one step. */
#define MOST_TURNS 50

/* A step that went too far is halved, so often at most. */
#define MOST_HALVED 12

/* Where all laws are powers of the flow up to the square, a step that changes
 * every flow by a part e at most leaves a miss of e^2 times the losses at most
 * (the rest of Taylor's series).  With e so small and losses up to 2 MPa that
 * is 5 mPa, and need not be looked at. */
#define SMALL_STEP 5e-5

/* A larger step than that, whose laws have corners, may meet one: so many
 * times it is looked at where it leads, and then is not taken. */
#define LOOKED_AT 6

/* ---- Memory ----------------------------------------------------------- */

static bool
make_room(struct fci_solver *s)
{
    const size_t n = s->network->n_links;
    const size_t fixtures = s->network->site->n_fixtures;
    struct fci_arena *arena = fci_arena_of(s);

    s->seen = fci_arena_array(arena, n, sizeof *s->seen);
    s->slot = fci_arena_array(arena, n, sizeof *s->slot);
    s->active = fci_arena_array(arena, n, sizeof *s->active);
    s->kids = fci_arena_array(arena, n, sizeof *s->kids);
    s->stops = fci_arena_array(arena, n, sizeof *s->stops);
    s->way = fci_arena_array(arena, n, sizeof *s->way);
    s->nodes = fci_arena_array(arena, n, sizeof *s->nodes);
    s->sums = fci_arena_array(arena, n, sizeof *s->sums);
    s->at = fci_arena_array(arena, n, sizeof *s->at);
    s->asides = fci_arena_array(arena, n, sizeof *s->asides);
    s->valves = fci_arena_array(arena, fixtures, sizeof *s->valves);
    s->led = fci_arena_array(arena, fixtures, sizeof *s->led);
    s->outlets = fci_arena_array(arena, fixtures, sizeof *s->outlets);
    s->drawn = fci_arena_array(arena, fixtures, sizeof *s->drawn);
    s->last = fci_arena_array(arena, fixtures, sizeof *s->last);
    s->recall = fci_arena_array(arena, fixtures, sizeof *s->recall);
    s->path =
        fci_arena_array(arena, s->network->site->n_elements, sizeof *s->path);
    fci_mesh_new(s, arena);
    return !arena->failed;
}

struct fci_solver *
fci_solver_new(const struct fci_network *network)
{
    struct fci_solver *s = fci_object_new(sizeof *s);

    if (!s)
        return NULL;
    s->network = network;
    s->fixture = FCI_NONE;
    s->whole = true;
    s->memory = 1;
    if (!make_room(s)) {
        fci_solver_free(s);
        return NULL;
    }
    return s;
}

void
fci_solver_free(struct fci_solver *s)
{
    fci_object_free(s);
}

/* Of two reducers side by side both are on it. */
static void
mark_way(struct fci_solver *s, size_t link)
{
    const struct fci_network *network = s->network;
    const size_t beside =
        network->site->elements[network->links[link].element].beside;

    s->way[link] = s->way_epoch;
    if (beside > 0)
        s->way[network->link_of[beside - 1]] = s->way_epoch;
}

void
fci_solver_take(struct fci_solver *s, enum fci_end end, size_t fixture)
{
    size_t link;

    s->end = s->network->bounded ? end : FCI_NOMINAL;
    s->fixture = fixture;
    s->for_flow = false;
    s->whole = s->end == FCI_NOMINAL;
    s->way_epoch++;
    if (s->whole)
        return;
    for (link = s->network->outlets[fixture].link; link != FCI_NONE;
         link = s->network->links[link].parent)
        mark_way(s, link);
}

void
fci_solver_take_flow(struct fci_solver *s, enum fci_end end, size_t fixture)
{
    fci_solver_take(s, end, fixture);
    s->for_flow = true;
}

void
fci_solver_take_whole(struct fci_solver *s, enum fci_end end)
{
    fci_solver_take(s, FCI_NOMINAL, FCI_NONE);
    s->end = s->network->bounded ? end : FCI_NOMINAL;
}

void
fci_solver_forget(struct fci_solver *s)
{
    s->memory++;
}

/* ---- The whole -------------------------------------------------------- */

struct progress {
    int steps, halved;
    int since;      /* steps since a check valve last turned */
    int close;      /* of the last steps those that began close enough */
    double worst;   /* miss of a law [Pa] */
    double largest; /* part by which a flow changed */
    bool changed;   /* a valve or a reducer changed its state */
    bool turned;    /* a check valve did */
};

/* What drives the flows up, times the last step, has turned against it. */
static bool
went_too_far(const struct fci_solver *s)
{
    double now = s->drive, then = s->drive_before;

    if (s->network->meshed)
        fci_mesh_drive(s, &now, &then);
    return then > 0 && now < -0.5 * then;
}

static void
step_back(struct fci_solver *s, double part)
{
    fci_valves_back(s, part);
    if (s->network->meshed)
        fci_mesh_back(s, part);
}

/* Check valves turn at every step first, then less readily, so that they do
 * not turn for ever. */
static void
turn_checks(struct fci_solver *s, struct progress *p)
{
    p->turned = (p->steps < PATIENT || p->worst <= FCI_CLOSE_ENOUGH
                 || p->since >= PATIENCE)
                && fci_mesh_turn(s, p->steps >= ONE_BY_ONE, p->steps >= LATE);
    p->since = p->turned || p->steps < PATIENT ? 0 : p->since + 1;
}

/* With the tangents as they are, those that they drive below nothing are dry,
 * and the others get what those leave.  As one less draws the others have
 * more, this ends; and a step to where it ends goes the right way. */
static void
settle_tangents(struct fci_solver *s)
{
    int i;

    s->turning = true;
    for (i = 0; i < MOST_TURNS && fci_valves_turn(s); i++) {
        fci_sweep_up(s);
        fci_sweep_down(s);
    }
    s->turning = false;
}

/* False where a mesh has no solution. */
static bool
take_step(struct fci_solver *s, struct progress *p)
{
    p->halved = 0;
    if (s->network->meshed && !fci_mesh_step(s))
        return false;
    if (s->careful && !s->network->meshed)
        settle_tangents(s);
    p->changed = !s->powers && fci_turn_reducers(s);
    p->changed |= fci_valves_step(s, &p->largest);
    if (s->network->meshed) {
        p->largest = fmax(p->largest, fci_mesh_largest(s));
        turn_checks(s, p);
    }
    p->close = p->worst <= FCI_CLOSE_ENOUGH ? p->close + 1 : 0;
    return true;
}

/* What stands between places that are shut has no pressure of its own but what
 * leaks, which rounding moves. */
static bool
shut_moves(const struct fci_solver *s)
{
    size_t i;

    for (i = s->network->n_loops; i < s->mesh.n_unknowns; i++) {
        const struct fci_outlet_pressure *at = &s->at[s->mesh.shut[i]];

        if (fabs(at->pressure - at->exact) > FCI_CLOSE_ENOUGH)
            return true;
    }
    return false;
}

/* Whether the last step is no more than what it found justifies. */
static bool
is_taken(const struct fci_solver *s, const struct progress *p)
{
    return !p->changed && p->largest <= SMALL_STEP
           && !(s->network->meshed && shut_moves(s));
}

static bool
has_settled(const struct fci_solver *s, const struct progress *p)
{
    const bool small = p->largest <= SMALL_STEP;

    if (p->turned)
        return false;
    if (s->powers && !s->careful && !p->changed && small)
        return true;
    return p->close > 0 && (small || p->close > LOOKED_AT)
           && !(s->network->meshed && !is_taken(s, p)
                && fci_mesh_runs_back(s));
}

/* The last step squares what was missed, unless it is not to be taken. */
static void
finish(struct fci_solver *s, bool taken)
{
    size_t i;

    if (!taken) {
        step_back(s, 1);
        for (i = 0; i < s->n_nodes; i++)
            s->at[i].pressure = s->at[i].exact;
    }
    fci_sum_flows(s);
    fci_valves_keep(s);
}

/* Of pairs; the sweeps that follow see it. */
void
fci_share_flows(struct fci_solver *s)
{
    fci_pairs_open(s);
    fci_sweep_up(s);
    s->split = true;
    fci_sweep_down(s);
    s->split = false;
    fci_mesh_list_shut(s);
}

fc_status
fci_flows_settle(struct fci_solver *s, int hasty, int most)
{
    struct progress p = { 0 };

    for (p.steps = 0; p.steps < most; p.steps++) {
        s->careful = p.steps >= hasty;
        if (s->sharing)
            fci_share_flows(s);
        fci_sweep_up(s);
        fci_sweep_down(s);
        p.worst = fci_valves_miss(s);
        if (s->network->meshed)
            p.worst = fci_mesh_miss(s, p.worst);
        if (p.steps > 0 && p.worst > FCI_CLOSE_ENOUGH && p.halved < MOST_HALVED
            && went_too_far(s)) {
            step_back(s, 0.5);
            p.halved++;
            continue;
        }
        if (!take_step(s, &p))
            break;
        if (has_settled(s, &p)) {
            finish(s, is_taken(s, &p));
            return FC_OK;
        }
    }
    return FC_ENOCONV;
}

/* Where the flows of an earlier run lead nowhere, those alone may. */
fc_status
fci_solver_run(struct fci_solver *s, const struct fci_open *open, size_t n)
{
    fc_status status;

    fci_event_begin(s, open, n);
    status = fci_flows_settle(s, HASTY, MOST_STEPS);
    if (status != FC_OK) {
        fci_solver_forget(s);
        fci_event_begin(s, open, n);
        status = fci_flows_lead(s);
    }
    if (status == FC_OK && s->thin && !s->network->meshed)
        status = fci_flows_thin(s);
    return status;
}

const struct fci_drawn *
fci_solver_drawn(const struct fci_solver *s)
{
    return s->drawn;
}

const char *
fci_solver_culprit(const struct fci_solver *s)
{
    return s->network->site->elements[s->culprit].name;
}

fc_status
fci_solver_fail(const struct fci_solver *solver, fc_status status,
                fc_diagnostics *messages)
{
    const struct fci_element *element =
        &solver->network->site->elements[solver->culprit];
    size_t valves = 0, i;

    if (status != FC_ENOCONV)
        return status;
    for (i = 0; i < solver->n_valves; i++)
        valves += (size_t)solver->drawn[i].count;
    status = fci_part_fail(
        element->part, messages, NULL,
        "did not settle (%s, %zu flush valves open): no flows were found that "
        "fit it and what is beside it; settings, curves and sizes that a "
        "building has are expected there",
        solver->network->state == FC_RETROFIT ? "after retrofit" : "existing",
        valves);
    return status == FC_ENOMEM ? status : FC_ENOCONV;
}
