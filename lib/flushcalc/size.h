/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/size.h -- pipe sizes at least cost. */
#ifndef FLUSHCALC_SIZE_H
#define FLUSHCALC_SIZE_H

#include "flushcalc/check.h"

#ifdef __cplusplus
extern "C" {
#endif

/** A pipe whose size was to be chosen, or was replaced.  Figures are those of
 * the state in which most flows, every input at its worst end. */
typedef struct fc_sized_pipe {
    const char *name, *from, *material;
    const char *size;              /* as the tables write it */
    const char *previous_size;     /* in place; NULL: it was to be chosen */
    const char *previous_material; /* of the same; NULL: likewise */
    const char *uniform_size;      /* by uniform friction loss; NULL: none */
    double length;                 /* nominal [m] */
    double cost, uniform_cost;     /* NAN: none */
    fc_state state;                /* that in which most flows */
    double peak_flow, velocity, friction_loss;
    double velocity_limit; /* NAN: none known */
    FC_ROOM(8);
} fc_sized_pipe;

/** The customary hand method beside it: pressure to spare over the developed
 * length of the governing run is the friction that every pipe may have. */
typedef struct fc_uniform_sizes {
    bool given;        /* it finds sizes */
    const char *lacks; /* not given: why, as a clause */
    fc_state state;
    const char *fixture;     /* of the governing run; NULL: there is none */
    double spare;            /* [Pa] */
    double developed_length; /* with fittings [m] */
    double rate;             /* [Pa/m] */
    double cost;
    fc_verdict works; /* at peak, with its sizes */
    FC_ROOM(8);
} fc_uniform_sizes;

/** What the source has and must have at peak, in one state. */
typedef struct fc_source_need {
    bool given;      /* the state counts */
    double flow;     /* at peak, worst end [m3/s] */
    double pressure; /* flowing at its outlet then, worst end [Pa] */
    double least;    /* what would do with the sizes that take least, whatever
                        they cost; INFINITY: none */
    FC_ROOM(8);
} fc_source_need;

typedef struct fc_size_result {
    const char *title;
    fc_unit_system units;
    bool converted;
    bool found;         /* sizes that serve every fixture at peak */
    bool feasible;      /* and `check` of them works */
    fc_verdict works;   /* FC_CANNOT_TELL: sizes are found that serve at peak,
                           but of the building with them it cannot be told */
    const char *reason; /* not feasible: why, in sentences with figures */
    bool by_prices;     /* costs are by [prices]; otherwise in inch-feet */
    double cost;        /* of the sizes in `pipes`; NAN: there are none */
    double least_cost;  /* nothing that serves at peak can cost less, with the
                           pressure in hand; = cost when it is exact */
    bool exact;
    double in_hand; /* pressure kept in hand for the flush events' sake
                       [Pa], */
    const char *const *in_hand_at; /* at these fixtures, */
    size_t n_in_hand_at;
    bool in_hand_bounded;    /* at some only as much as any sizes leave them */
    double cost_at_peak;     /* what peak demand alone would cost */
    size_t longest_frontier; /* pairs of cost and pressure that a place in the
                                tree had at most */
    fc_source_need source[FC_STATES];
    const fc_sized_pipe *pipes;
    size_t n_pipes;
    fc_uniform_sizes uniform;
    const fc_check_result *check; /* of the building with these sizes; NULL:
                                     there are none */
    const fc_override *overrides; /* as of that check */
    size_t n_overrides;
    const fc_contradiction *contradictions; /* as of fc_check_result */
    size_t n_contradictions;
    fc_verdict too_high; /* of the building with these sizes, a verdict beside
                            `works`: FC_WORKS, it is not */
} fc_size_result;

typedef struct fc_size_options {
    fc_check_options check; /* of the flush events */
    size_t most_points; /* pairs of cost and pressure that a place in the tree
                           keeps at most; default: as memory allows */
    FC_ROOM(8);
} fc_size_options;

/**
 * Choose every pipe with `size = choose` from its material's sizes, at least
 * total cost.
 *
 * Every fixture has its required pressure at peak in each state, with every
 * input at its worst end; no velocity limit is broken; no pipe is under the
 * least supply of a fixture behind it, nor larger than the pipe that feeds it.
 * The cost is nominal diameter times length, or by [prices].  Among all
 * combinations of sizes none costs less: at each place in the tree all pairs
 * of cost and pressure needed are kept that no other undercuts.  Only where
 * there are too many are they thinned, and `least_cost` then bounds the rest.
 *
 * Where the building with these sizes falls short in the flush events only,
 * more pressure is kept in hand at the fixtures that do, or else at all flush
 * valves, as little as does; at one that cannot have so much with any sizes,
 * what they leave it.
 *
 * @param site      a finished site; it is not changed
 * @param options   NULL is the defaults
 * @param result    set to a result to be freed; kept on failure.  It borrows
 *                  from the site
 * @param messages  gets the reason on failure; may be NULL
 *
 * @return FC_OK            sizes were found, or it is known that there are
 * none FC_ESTATE        the site is not finished FC_EUNSUPPORTED  loops, more
 * than one source FC_EINPUT        no size is to be chosen; the need of a
 * flush valve is not known; a material without prices beside others with them
 *         FC_ENOMEM
 */
fc_status fc_size(const fc_site *site, const fc_size_options *options,
                  fc_size_result **result, fc_diagnostics *messages);
void fc_size_result_free(fc_size_result *result);

/**
 * The site file of the building with the sizes that were chosen: its text as
 * it was read, with the sizes put in and a comment that tells so, and that
 * check finds more where it is not feasible.
 *
 * @param folder  the folder of the site file, or of one from standard input or
 *                from memory the working folder, as it is seen from where the
 *                text is to be put: a relative `tables` starts from there.
 *                NULL: it is put into the same folder
 * @param text    malloc'ed; kept on failure
 *
 * @return FC_OK, FC_ESTATE (none serve at peak), FC_EINPUT (a site made by
 *         calls that a file has no way to put), FC_ENOMEM
 */
fc_status fc_size_text(const fc_size_result *result, const char *folder,
                       char **text, fc_diagnostics *messages);

#ifdef __cplusplus
}
#endif

#endif
