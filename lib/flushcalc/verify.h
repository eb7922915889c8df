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

/** How sure a verdict by the model is. */
typedef enum fc_doubt {
    FC_NO_DOUBT,
    FC_DOUBT_SAMPLING, /* undecided: within the scatter of the draws the chance
                          is as well on the other side of 95 or 5 % */
    FC_DOUBT_MODEL, /* undecided: at the middle of every range it is reached,
                       or missed, by less than the model itself may be off */
    FC_DOUBT_ALIKE, /* undecided: if all inputs of a kind went the same way
                       the verdict would be another; `rests_on` */
    FC_SURE_BY_INDEPENDENCE, /* decided, but if all inputs went the same way it
                                would not be */
    FC_DOUBT_NOT_GIVEN /* undecided: what the file does not give, so that it is
                          taken for usual, may turn it; `rests_on` */
} fc_doubt;

/** What a gauge showed, and where: pressures of a claim are brought from there
 * to the fixture's inlet by the height, and by the loss between. */
typedef struct fc_gauge_shown {
    const char *at;  /* element or fixture; NULL: no reading */
    double pressure; /* NAN: no reading [Pa] */
} fc_gauge_shown;

/** A claim under one condition and with the valves of one state: more than one
 * where the file does not say them. */
typedef struct fc_claim_case {
    fc_state state;
    fc_condition_of_claim condition;
    const char *event;  /* the condition in words */
    double computed;    /* at the nominal inputs; NAN: the model cannot tell */
    double probability; /* share of the outcomes that reach the claim */
    const char *reading; /* that decides; NULL: none */
    fc_support verdict;
    FC_ROOM(8);
} fc_claim_case;

/** One [claim], judged.  Pressures are flowing pressures at the inlet of the
 * fixture [Pa].
 *
 * A claim of which the file does not say the condition, or the valves, is
 * judged under all that make sense: alone and at peak, existing and retrofit.
 * It is supported only under all of them, and contradicted likewise; what is
 * told of it here is of the harshest. */
typedef struct fc_checked_claim {
    const char *name, *fixture;
    const char *stated_in; /* NULL: not given */
    fc_state state;
    fc_condition_of_claim condition;
    bool condition_said, state_said; /* by the file */
    const fc_claim_case *cases;
    size_t n_cases;
    const char *judged;  /* "flushing alone, existing valves"; of several cases
                            all of them, and the harshest */
    const char *holds;   /* where the cases differ: under which it holds and
                            under which not, and what the claim is to say; NULL:
                            they do not */
    fc_support harshest; /* verdict of that case alone */
    double code_minimum; /* the code's least at the fixture; NAN: none */
    const char *code;    /* where it says so; NULL: nowhere */
    const char *kind;    /* of the fixture, as the code calls it */
    double valve_minimum;  /* the valve's own least; NAN: not known */
    const char *but_under; /* "under the code's 35.0 psi (...)", where less is
                              claimed than the code's or the valve's least;
                              NULL: no less */
    const char *event;     /* the condition in words: "3 of wc-3 flush" */
    double elevation;      /* of the fixture's inlet [m] */
    double supply; /* static pressure of the source on its day; NAN: as the
                      site has it */
    double claimed;
    const char *not_flowing; /* why the condition is no flowing one, and what
                                to name in it; NULL: it is.  What stands at the
                                fixture without flow supports no claim */
    bool can_be_read; /* a gauge can be read under the condition: it is neither
                         peak demand nor the supply of another day */
    bool certain; /* reached, or missed, with every input at its worst, or at
                     its best; never with loops or several sources, where those
                     bound nothing */
    int decimals; /* behind the point, that tell its pressures from the claimed
                     one in the units of the result */
    const char *why_not; /* why the model cannot tell; NULL: it can, and only
                            then are these figures: */
    double computed;     /* at the nominal inputs */
    double still;        /* with nothing flushing */
    double low, high;    /* 95 % of the outcomes lie between; where no input is
                            a range, what the model may be off by allows */
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
    double probability_low, probability_high; /* Wilson's interval of 95 %, for
                                                 so many draws: */
    int drawn;
    fc_doubt doubt;
    const char *rests_on;             /* FC_DOUBT_ALIKE: "rise of 39 parts";
                                         FC_DOUBT_NOT_GIVEN: "fall-off of prv", what is not
                                         given that weighs most; NULL: another doubt */
    double carried_low, carried_high; /* as what may explain the difference
                                         carries it: no more is known */
    const char *drawn_down;   /* the street main, or a pump's inlet, that is
                                 drawn below what it must keep, or may be, so
                                 that the model does not support; NULL: none */
    const char *borne_out_by; /* a reading of another condition that says the
                                 same, without which such a main, or a reading
                                 that the site cannot give, would keep the
                                 model from deciding; NULL: none is needed */
    double flow; /* of the valves that flush, or the peak demand of the
                    building, at the nominal inputs; NAN: the model cannot
                    tell [m3/s] */
    const char *refuted_beside; /* the other of two readings that the site
                                   cannot give both; NULL: `refuted_by` alone
                                   is such */
    FC_ROOM(6);
} fc_checked_claim;

/** A reading of the file, and what became of it. */
typedef struct fc_listed_reading {
    const char *name, *at;
    const char *event; /* what flushed, in words */
    fc_state state;    /* which valves were in place */
    double pressure;   /* NAN: not read [Pa] */
    double flow;       /* NAN: not read [m3/s] */
    double flush_time; /* NAN: not timed [s] */
    double within;     /* of the pressure [Pa] */
    bool within_said;  /* by the reading or its gauge; else what is usual, or
                          usual of the gauge's full scale */
    const char *gauge; /* NULL: not named, as its number and calibration */
    const char *number, *calibrated;
    const char *used_for;  /* "alone (its condition), top (carried)"; NULL: no
                              claim */
    const char *disagrees; /* with what, and by how much; NULL: with nothing */
    FC_ROOM(8);
} fc_listed_reading;

/** Something that the figures rest on. */
typedef struct fc_basis {
    const char *what; /* "Peak demand" */
    const char *text;
} fc_basis;

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
    const fc_listed_reading *readings; /* all of the site, in its order */
    size_t n_readings;
    const fc_basis *basis; /* peak method, tables, tolerances */
    size_t n_basis;
    const char *tables; /* path of the file that amends the tables; NULL:
                           none */
    const fc_override *overrides; /* as of a check */
    size_t n_overrides;
} fc_verify_result;

typedef struct fc_verify_options {
    unsigned long seed; /* default 1; the same seed gives the same result,
                           whatever the number of threads */
    unsigned threads;   /* default: as many as the machine runs at once */
    size_t draws;       /* default 20,000; at most 10,000,000 */
    void (*progress)(void *context, double done); /* as of fc_check_options */
    void *context;
    FC_ROOM(8);
} fc_verify_options;

/**
 * Judge the claims of a site: are the flowing pressures that they state true?
 *
 * Each input that is a range, or has a tolerance, is drawn from a rectangular
 * distribution between its bounds (JCGM 101:2008, 6.4.2), sizes with equal
 * chance.  What has one cause is one input: a typical floor's value, the C of
 * a material's pipes but for a quarter of each pipe's own, what a tolerance
 * widens.  What the model may be off by is drawn too.  Every draw is a
 * building, in which the flush event of the claim is solved, or the peak
 * demand by the code marched.  A claim is supported where at least 95 % of the
 * outcomes reach the pressure that it states, contradicted where at most 5 %
 * do: clear of what the draws scatter by, by more than the model itself may be
 * off, and also where all inputs of a kind are off alike.  What the file does
 * not give is no matter of chance: the verdict must be the same with all of it
 * at its worst, or its best.  No such verdict turns on the seed.
 *
 * A claim that does not say its condition, or the valves, is judged under all
 * that make sense: see fc_checked_claim.
 *
 * A reading at the same place under the same condition decides instead, with
 * its accuracy as guard band on both sides (JCGM 106:2012, 8.3.2 and 8.3.3):
 * the claim is accepted when the reading less its accuracy reaches it, and
 * rejected when the reading with its accuracy added does not.
 *
 * A claim about a fixture that draws nothing under its condition is of no
 * flowing pressure, and undecided.  Where a reading
 * shows what no building drawn has, the model decides no claim, unless what is
 * carried from the claim's place to its condition says the same.  Nor does it
 * support one whose condition draws a street main or a pump's inlet below what
 * it must keep, as a check has it.  What rests
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
