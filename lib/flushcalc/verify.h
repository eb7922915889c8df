/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/verify.h -- do gauge readings bear out a claim? */
#ifndef FLUSHCALC_VERIFY_H
#define FLUSHCALC_VERIFY_H

#include "flushcalc/check.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Whether a claim stands.  Zero is the careful one. */
typedef enum fc_support {
    FC_UNDECIDED,
    FC_SUPPORTED,
    FC_CONTRADICTED
} fc_support;

/** One [claim], judged.  Pressures are flowing pressures at the inlet of the
 * fixture [Pa]. */
/** What a gauge showed, and where: pressures of a claim are brought from there
 * to the fixture's inlet by the height, and by the loss between. */
typedef struct fc_gauge_shown {
    const char *at;  /* element or fixture; NULL: no reading */
    double pressure; /* NAN: no reading [Pa] */
} fc_gauge_shown;

typedef struct fc_checked_claim {
    const char *name, *fixture;
    const char *stated_in; /* NULL: not given */
    fc_state state;
    fc_condition_of_claim condition;
    const char *event; /* the condition in words: "3 of wc-3 flush" */
    double elevation;  /* of the fixture's inlet [m] */
    double supply;     /* static pressure of the source on its day; NAN: as the
                          site has it */
    double claimed;
    const char *not_flowing; /* why the condition is no flowing one, and what
                                to name in it; NULL: it is.  What stands at the
                                fixture without flow supports no claim */
    bool can_be_read; /* a gauge can be read under the condition: it is neither
                         peak demand nor the supply of another day */
    int decimals; /* behind the point, that tell its pressures from the claimed
                     one in the units of the result */
    const char *why_not; /* why the model cannot tell; NULL: it can, and only
                            then are these figures: */
    double computed;     /* at the nominal inputs */
    double still;        /* with nothing flushing */
    double low, high;    /* 95 % of the outcomes lie between */
    double probability;  /* share of the outcomes that reach the claim */
    fc_support by_model; /* supported: at least 95 % do, and the condition is a
                            flowing one; contradicted: at most 5 % */
    const char *decided_by; /* the input that weighs most; NULL: none varies */
    double share;           /* of the outcomes' variance, 0 to 1 */
    const char *reading;    /* of the claim's condition; NULL: there is none */
    double read, within;    /* brought to the inlet, with its accuracy */
    fc_gauge_shown shown;   /* as it was read */
    const char *against;    /* another at that place that cannot be true beside
                               it, so that neither decides; NULL: none */
    const char *carried_reading;  /* of another condition; NULL: none */
    const char *carried_event;    /* what flushed then, in words */
    bool carried_flows;           /* something did */
    fc_state carried_state;       /* which valves were in place then */
    double carried_read;          /* then, brought to the inlet */
    fc_gauge_shown carried_shown; /* as it was read */
    double carried; /* as the model carries it to the claim's condition */
    double carried_within;
    const char *refuted_by;    /* a reading that the site as it is given
                                  cannot give, so that the model does not
                                  decide; NULL: none */
    const char *still_reading; /* with nothing flushing; NULL: none */
    double still_read, still_within;
    fc_gauge_shown still_shown; /* as it was read */
    const char *unproved; /* a street main without a flow test, that is taken
                             not to sag, so that the model does not support;
                             NULL: none, or a flowing reading does */
    fc_support verdict; /* by the reading where there is one, else the model */
    FC_ROOM(8);
} fc_checked_claim;

typedef struct fc_verify_result {
    const char *title, *address, *prepared_by, *date; /* NULL: not given */
    fc_unit_system units;
    fc_support verdict;     /* of all claims together, the worst */
    const char *source;     /* the first one */
    fc_range source_static; /* not given: a tank */
    unsigned long seed;
    size_t draws;  /* of every input; 1: no input is a range */
    size_t varied; /* inputs that are ranges */
    const fc_checked_claim *claims; /* in the order of the site */
    size_t n_claims;
    const fc_finding *findings; /* subject: the name of a claim, or "" */
    size_t n_findings;
    const char *const *assumptions;
    size_t n_assumptions;
    const fc_override *overrides; /* as of a check */
    size_t n_overrides;
} fc_verify_result;

typedef struct fc_verify_options {
    unsigned long seed; /* default 1; the same seed gives the same result,
                           whatever the number of threads */
    unsigned threads;   /* default: as many as the machine runs at once */
    size_t draws;       /* default 20,000 */
    void (*progress)(void *context, double done); /* as of fc_check_options */
    void *context;
    FC_ROOM(8);
} fc_verify_options;

/**
 * Judge the claims of a site: are the flowing pressures that they state true?
 *
 * Each input that is a range, or has a tolerance, is drawn from a rectangular
 * distribution between its bounds (JCGM 101:2008, 6.4.2), sizes with equal
 * chance, all of them independent of each other but the C of pipes that take
 * it from one material's table.  Every draw is a building, in which the flush
 * event of the claim is solved, or the peak demand by the code marched.  A
 * claim is supported where at least 95 % of the outcomes reach the pressure
 * that it states, contradicted where at most 5 % do.
 *
 * A reading at the same place under the same condition decides instead, with
 * its accuracy as guard band on both sides (JCGM 106:2012, 8.3.2 and 8.3.3):
 * the claim is accepted when the reading less its accuracy reaches it, and
 * rejected when the reading with its accuracy added does not.
 *
 * A claim about a flush valve that does not flush under its condition, or with
 * nothing flushing, is of no flowing pressure: nothing supports it, though
 * what stands there may well be too little and contradict it.  Where a reading
 * shows what no building drawn has, the model decides no claim, unless what is
 * carried from the claim's place to its condition says the same.  What rests
 * on a street main that nobody tested is supported only where a flowing
 * reading, so carried, says the same.
 *
 * The input that weighs most is the one with the largest share of the
 * outcomes' variance: the squared coefficient of correlation, of a choice of
 * sizes the variance between the means of its sizes over that of all.
 *
 * @param site      a finished site; it is not changed
 * @param options   NULL is the defaults
 * @param result    set to a result to be freed; kept on failure.  It borrows
 *                  from the site
 * @param messages  gets the reason on failure; may be NULL
 *
 * @return FC_OK            a claim that the model cannot tell of says why
 *         FC_ESTATE        the site is not finished
 *         FC_EINPUT        it has no claim
 *         FC_EUNSUPPORTED  a size is yet to be chosen
 *         FC_ENOCONV       the flows of a draw did not settle
 *         FC_ENOMEM
 */
fc_status fc_verify(const fc_site *site, const fc_verify_options *options,
                    fc_verify_result **result, fc_diagnostics *messages);
void fc_verify_result_free(fc_verify_result *result);

#ifdef __cplusplus
}
#endif

#endif
