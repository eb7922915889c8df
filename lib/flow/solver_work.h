/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/solver_work.h -- the working memory of the solver, for its own
 * files. */
#ifndef FCI_FLOW_SOLVER_WORK_H
#define FCI_FLOW_SOLVER_WORK_H

#include "flow/solver.h"
#include "ground/memory.h"

#include <math.h>

/* A run of links that carry the same flow in the event at hand, down to a
 * place where something joins: the fewest points that must be solved for. */
struct fci_node {
    size_t parent; /* node before it; FCI_NONE: it begins at a source */
    bool special, one_way;
    bool holding;  /* a reducer or pump at its cap */
    bool standing; /* a pump that gets more than it holds */
    bool shut;     /* one way, and water would run back; or held back */
    bool steps;    /* holds back the same at any flow, either way */
    bool back;     /* such a one that passes backwards */
    struct fci_law law;

    double flow;        /* NaN: none was taken yet */
    double loss, slope; /* its law at that flow */
    /* Linearised, it takes head_a + head_b p of the pressure p at its inlet */
    double head_a, head_b;
};

/* The pressure at the outlet of a node: of the linearised system, and by the
 * laws themselves. */
struct fci_outlet_pressure {
    double pressure, exact;
};

/* What is added up at the outlet of a node: the flow, and linearised a + b p
 * of the pressure p there. */
struct fci_sum {
    double flow, a, b;
};

/* As a node was where the flows last settled on a way in parts. */
struct fci_kept {
    double pressure;
    bool holding, standing, shut, back;
};

/* The rest of a special node. */
struct fci_aside {
    size_t link;
    enum fci_end end;
    double cap, fall, past; /* of its law at its flow */
    double next_flow;       /* of the linearised system */
    struct fci_kept kept;   /* of any node */
    size_t pair; /* 1 + the loop that joins it to the one beside it; or 0 */
};

enum fci_valve_state { FCI_FLOWS, FCI_FULL, FCI_DRY };

struct fci_open_valve {
    size_t node;
    enum fci_valve_state state;
    bool curved; /* its stop has a curve */
    double count;
    /* Of its law, above `lift`: the valve takes need q^2, valve and stop take
     * square q^2 and what the stop always takes. */
    double need, square, lift, most;
    double flow, before; /* of one valve: now, and before the last step */
    double taken, slope; /* by stop and valve at `flow`, without the lift */
    double still;        /* what the stop takes however little flows */
    /* what drives the flow up: now, and before the last step */
    double drive, drive_before;
};

/* Of a valve, or a loop, on a way in parts: how high it is set at the start
 * [Pa], and its flow that settled last. */
struct fci_led {
    double raised, kept;
};

struct fci_open_outlet {
    const struct fci_outlet *outlet;
    const struct fci_outlet_law *law;
};

/* GSL works on these by views: what it allocates itself it loses, or does
 * without, when memory runs out. */
struct fci_dense {
    double *matrix, *right, *step, *tau;
};

/* What closing loops and shut check valves add. */
struct fci_mesh {
    double *loop_flow, *loop_before; /* as of the valves */
    double *drive, *drive_before;    /* as of the valves */
    struct fci_led *led;
    size_t n_unknowns, room;
    size_t *shut;            /* nodes, after the loops */
    double *flow, *pressure; /* responses: room x n_links */
    double *through;         /* room x room: flow at the shut nodes */
    struct fci_dense dense;
};

struct fci_solver {
    const struct fci_network *network;
    enum fci_end end;
    size_t fixture; /* the one that `end` is for */
    bool whole;     /* it is for all of the building */
    bool for_flow;  /* the rate of `fixture` is at the other end */

    size_t epoch; /* of the event: marks in `seen` */
    size_t *seen, *slot;
    size_t *active; /* links, each after its parent */
    unsigned *kids; /* active links that go on from a link */
    bool *stops;    /* something hangs on its end in this event */
    size_t n_active;
    size_t way_epoch, *way; /* marks the way to `fixture` */

    struct fci_node *nodes;
    struct fci_sum *sums; /* as of the nodes */
    struct fci_outlet_pressure *at;
    struct fci_aside *asides;
    size_t n_nodes;
    bool powers; /* no law in this event is a curve or has a setting */
    double drive, drive_before; /* what drives the flows up, times the last
                                   step of the valves: now, and before it */
    struct fci_open_valve *valves;
    struct fci_open_outlet *outlets; /* of the valves */
    struct fci_drawn *drawn;
    size_t n_valves;
    double *last;           /* flow of a fixture's valve in an earlier run */
    size_t memory, *recall; /* `last` counts where recall == memory */

    bool careful;        /* valves move by the tangents alone */
    bool turning;        /* the same tangents again */
    double raised_by;    /* the part of `raised` that counts */
    struct fci_led *led; /* of the valves */

    bool thin;    /* a valve has next to no pressure */
    bool sharing; /* pairs share their flow by brackets, */
    bool split;   /* at this sweep */

    struct fci_mesh mesh;
    size_t *path;   /* elements on the way to one */
    double total;   /* flow from the sources [m3/s] */
    size_t culprit; /* element */
};

/* At which end a link is taken: a neighbour's at the one that hurts. */
static inline enum fci_end
fci_end_at(const struct fci_solver *s, size_t link)
{
    return s->whole || s->way[link] == s->way_epoch ? s->end
                                                    : fci_other_end(s->end);
}

/* The flow at which a law is taken: what holds back water either way does so
 * on the side it was found on, however little flows. */
static inline double
fci_side_of(const struct fci_node *node, double flow)
{
    if (node->steps)
        return node->back ? (flow < 0 ? flow : -0.0) : (flow > 0 ? flow : 0);
    return node->one_way && flow < 0 ? 0 : flow;
}

/* What a node takes at its flow, and how fast that grows, unless it holds. */
static inline double
fci_node_loss(const struct fci_solver *s, size_t i)
{
    return s->nodes[i].standing ? s->asides[i].past : s->nodes[i].loss;
}

static inline double
fci_node_slope(const struct fci_node *node)
{
    return node->standing ? 0 : node->slope;
}

/* ---- flow/solver_event.c: what flows ---- */

void fci_event_begin(struct fci_solver *solver, const struct fci_open *open,
                     size_t n);

/* ---- flow/solver_sweeps.c: from the ends to the source and back ---- */

void fci_sweep_up(struct fci_solver *solver);
void fci_sweep_down(struct fci_solver *solver);
/* A reducer holds where its setting is the lower of the two, as a pump does
 * that is set to hold; such a pump stands still where more comes in.  Whether
 * any changed its mind. */
bool fci_turn_reducers(struct fci_solver *solver);
/* What a special node leaves of `in` at a flow, which it then has; and whether
 * it holds at that. */
double fci_node_leaves(struct fci_solver *solver, size_t node, double flow,
                       double in);
bool fci_reducer_holds(const struct fci_solver *solver, size_t node,
                       double in);
/* Take every law at the next sweep, also where the flow is as it was told
 * last. */
void fci_laws_afresh(struct fci_solver *solver);
/* The flows after the last step, which are a sum again. */
void fci_sum_flows(struct fci_solver *solver);

/* ---- flow/solver_valves.c: the open valves ---- */

void fci_valves_gather(struct fci_solver *solver);
/* The worst miss of a valve's law; notes the culprit, and what drives the
 * flows up. */
double fci_valves_miss(struct fci_solver *solver);
/* Whether a valve changed its state.  `largest`: the greatest part by which a
 * flow changed. */
bool fci_valves_step(struct fci_solver *solver, double *largest);
/* Which are dry or full by the tangents at the pressures of the last sweep;
 * whether any turned. */
bool fci_valves_turn(struct fci_solver *solver);
/* Take back a part of the last step. */
void fci_valves_back(struct fci_solver *solver, double part);
/* Into what the caller sees. */
void fci_valves_keep(struct fci_solver *solver);
/* Have it draw so much, and be dry or full at that. */
void fci_valve_set(struct fci_open_valve *valve, double flow);

/* ---- flow/solver_loops.c: loops, and check valves that shut ---- */

/* Its arrays, from the arena. */
void fci_mesh_new(struct fci_solver *solver, struct fci_arena *arena);
void fci_mesh_begin(struct fci_solver *solver);
/* The flows of the loops at their ends. */
void fci_mesh_gather(struct fci_solver *solver);
/* The worst miss of a loop's law where it is over `worst`; notes the
 * culprit. */
double fci_mesh_miss(struct fci_solver *solver, double worst);
/* Solve the loops' part of one linearised step and add what follows from it
 * to the nodes.  False when it has no solution. */
bool fci_mesh_step(struct fci_solver *solver);
void fci_mesh_back(struct fci_solver *solver, double part);
/* The greatest part by which the flow of a loop changed. */
double fci_mesh_largest(const struct fci_solver *solver);
/* Added to what drives the valves. */
void fci_mesh_drive(const struct fci_solver *solver, double *now,
                    double *then);
/* Which check valves shut and which open, `one` at most, and `late` not for
 * what rounding may be; whether any did. */
bool fci_mesh_turn(struct fci_solver *solver, bool one, bool late);
/* Whether water runs back through a check valve that is not shut. */
bool fci_mesh_runs_back(const struct fci_solver *solver);
/* Have those unknown that are shut. */
void fci_mesh_list_shut(struct fci_solver *solver);
/* By how much the loops are out of level for the flows at hand; not the joins
 * of pairs, which share their flow whatever it is. */
void fci_mesh_raise(struct fci_solver *solver);

/* ---- flow/solver_pairs.c: reducers side by side ---- */

/* None of them is shut until it is known which: what they pass is felt before
 * them. */
void fci_pairs_open(struct fci_solver *solver);
/* Share the flow through a pair by the pressure before it, as a sweep comes to
 * the first node of it.  False where water would run back. */
bool fci_split_pair(struct fci_solver *solver, size_t node);

/* ---- flow/solver_thin.c: valves with next to no pressure ---- */

/* Own pressures below this suffer from rounding [Pa]: losses add up to 2 MPa
 * at most, which a double knows to some 1e-9 Pa; as part of this, of the flow
 * and so of the losses that is 0.05 Pa. */
#define FCI_THIN 0.02

/* What they draw more exactly, on a tree.  FC_OK, FC_ENOCONV. */
fc_status fci_flows_thin(struct fci_solver *solver);

/* ---- flow/solver.c, flow/solver_lead.c: the whole ---- */

/* Newton's method from the flows at hand; in haste for so many steps of so
 * many at most.  FC_OK, FC_ENOCONV. */
fc_status fci_flows_settle(struct fci_solver *solver, int hasty, int most);
/* Have every pair share its flow; the sweeps that follow see it. */
void fci_share_flows(struct fci_solver *solver);
/* The same in parts, from flows of its own. */
fc_status fci_flows_lead(struct fci_solver *solver);

/* The solution is taken when no law is missed by more [Pa].  The step that
 * follows is taken too; it squares what is left. */
#define FCI_CLOSE_ENOUGH 0.01

/* Least flow at which a slope is taken where flows may turn: the law itself
 * has slope 0 at no flow, and a loop at rest no slope at all [m3/s]. */
#define FCI_LEAST_FLOW 1e-7
/* Flows that are known no better are none, as a part of the total. */
#define FCI_NO_FLOW 1e-9
/* Flows are measured by the total, or by this where next to nothing flows. */
#define FCI_LEAST_TOTAL 1e-4

#endif
