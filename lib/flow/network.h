/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/network.h -- the building as links that flow while valves flush.
 *
 * A link is a run of elements that all carry the same flow: nothing branches
 * off, no fixture and no steady draw hangs on it but at its end.  What the
 * elements of a run take adds up to one law, so that the solver meets only
 * the points where flows join.  A network does not change once it is made:
 * threads may share it.
 */
#ifndef FCI_FLOW_NETWORK_H
#define FCI_FLOW_NETWORK_H

#include "ground/ties.h"
#include "peak/element.h"

/* Pressure that a run takes at a flow q >= 0 [Pa]:
 *     lift + constant + friction q^(1/0.54) + square q^2,
 * odd in q but for the lift. */
struct fci_law {
    double friction, square, constant, lift;
};

static inline bool
fci_same_law(const struct fci_law *a, const struct fci_law *b)
{
    return fci_same(a->friction, b->friction) && fci_same(a->square, b->square)
           && fci_same(a->constant, b->constant) && fci_same(a->lift, b->lift);
}

struct fci_link {
    size_t parent;  /* link before it; FCI_NONE: it begins at a source */
    size_t element; /* the last one, at whose outlet its end is */
    bool special;   /* one element whose law is no sum: a curve, a reducer */
    bool one_way;   /* a check valve: meter, backflow, pump, reducer */
    bool power[FCI_ENDS]; /* special, but a power of the flow at that end */
    bool steps;           /* it holds back the same at any flow, either way */
    bool pinned;          /* its end is a place of its own whatever flushes */
};

/* A flush valve: at its inlet it has `need` q^2 at a flow q, and no more than
 * `most` passes.  Before it are its rise and its stop. */
struct fci_outlet_law {
    double need, most; /* most: INFINITY when it is not regulated */
    struct fci_law stop;
    enum fci_end end; /* of the stop */
};

struct fci_outlet {
    size_t link;      /* where it hangs */
    bool flushes;     /* it is a flush valve whose rate is known */
    bool curved_stop; /* its stop has a curve, beside `stop` below */
    struct fci_outlet_law law[FCI_ENDS];
    /* the same while another fixture is judged at that end: it then draws
     * more at the worst end, not less */
    struct fci_outlet_law beside[FCI_ENDS];
    double alone; /* about what it draws alone: a first guess [m3/s] */
};

/* A pipe that closes a loop, or the join of two reducers side by side. */
struct fci_loop {
    size_t element;
    size_t from, to; /* links at whose ends it begins and ends */
    double friction, lift;
};

struct fci_network {
    const fc_site *site;
    fc_state state;
    bool exact;             /* no input of it is a range */
    bool meshed;            /* loops or several sources: flows may turn */
    bool bounded;           /* the ends of the inputs bound every pressure: a
                               tree, but for reducers side by side, where no
                               flow turns */
    struct fci_link *links; /* each after its parent */
    size_t n_links;
    struct fci_law *laws[FCI_ENDS]; /* of the links */
    double *draws[FCI_ENDS];        /* steady, at the ends of the links */
    size_t *drawing;                /* links with a steady draw */
    size_t n_drawing;
    size_t *link_of; /* of each element; FCI_NONE: a pipe that closes a
                        loop */
    struct fci_outlet *outlets; /* of each fixture */
    struct fci_loop *loops;
    size_t n_loops;
};

/* Whether it is a flush valve whose rate is known; NULL is none. */
static inline bool
fci_has_rate(const fc_valve *valve)
{
    return valve && valve->flow.given && valve->flow_pressure.given;
}

/* What a valve of known rate draws at the end of its pressure, at the same end
 * of its rate [m3/s]: the lower rate leaves it more pressure, so that this is
 * a bound. */
double fci_flow_at_end(const fc_valve *valve, double pressure,
                       enum fci_end end);

/* What its valve has to have at an end [Pa]: its own minimum, or where that is
 * not known the code's least for the fixture, which is usual; -INFINITY:
 * neither is known. */
double fci_least_kept(const struct fci_network *network, size_t fixture,
                      enum fci_end end);

/* Whether every valve draws and needs the same in both states of a site, so
 * that what is true of one network is true of the other. */
bool fci_flows_alike(const fc_site *site);

/* The flush valves at the end of each link, and the links that go on from it:
 * those of link i stand from start[i] to before start[i + 1]. */
struct fci_at_links {
    size_t *fixture_start, *fixtures;
    size_t *link_start, *links;
};

/* In the arena; false: out of memory. */
bool fci_network_at(const struct fci_network *network, struct fci_arena *arena,
                    struct fci_at_links *at);

/* A fixture without a flush valve as an outlet that may be open: one that
 * passes `rate` at `pressure`, or, where the rate is not given, next to
 * nothing, as a gauge does, so that what is left there is told as of a valve.
 * Solvers that were made before have to forget what they ran. */
void fci_network_open(struct fci_network *network, size_t fixture,
                      fc_range rate, fc_range pressure);

/* What the curve of an outlet's stop takes at a flow, at an end; nothing
 * without one. */
struct fci_tangent fci_curved_stop(const struct fci_network *network,
                                   const struct fci_outlet *outlet,
                                   double flow, enum fci_end end);

/* Makes the network of a finished site in one state.
 *
 * FC_OK, FC_ENOMEM; FC_EUNSUPPORTED for sizes yet to be chosen;
 * FC_EINPUT for loops whose ends do not fit together. */
fc_status fci_network_new(const fc_site *site, fc_state state,
                          struct fci_network **network,
                          fc_diagnostics *messages);
void fci_network_free(struct fci_network *network);

#endif
