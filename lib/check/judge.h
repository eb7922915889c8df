/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/judge.h -- what a check computes for each fixture, before the
 * words. */
#ifndef FCI_CHECK_JUDGE_H
#define FCI_CHECK_JUDGE_H

#include "peak/march.h"
#include "words/verdict.h"

/* "site maximum". */
const char *fci_whose_maximum(fc_maximum_of of);

/* What a fixture needs in one state. */
struct fci_requirement {
    fc_range pressure; /* flowing, with the reserve; not given: none known */
    fc_range least;    /* the same without: what a gauge has to show */
    double reserve;
    fc_governor governor;
    double code;              /* the code's least [Pa]; NAN: it gives none */
    fc_range valve;           /* the valve's own minimum */
    double maximum_static;    /* the least of the fixture's, or else the
                                 site's, and the valve's */
    fc_maximum_of maximum_of; /* whose that is */
    double maximum_flowing;   /* the valve's; INFINITY: none known */
    double supply_size;       /* least nominal [m]; NAN: none known */
    bool valve_supply;        /* it is the valve's */
};

struct fci_requirement fci_requirement_of(const fc_site *site,
                                          const struct fci_fixture *fixture,
                                          fc_state state);

/* The size of what feeds a fixture: its `supply size`, and the pipes on the
 * way from the source. */
struct fci_supply {
    fc_range size; /* the smallest, nominal; not given: none is known */
    size_t pipe;   /* element that it is of; FCI_NONE: `supply size` */
};

/* Every check of one fixture in one state. */
struct fci_judgement {
    struct fci_requirement need;
    fc_range flowing, margin;
    fc_range ceiling, trapped; /* at its inlet, without flow */
    fc_range lowest;           /* on the way to it at peak */
    fc_range spare;
    fc_verdict pressure;        /* flowing at peak against the need */
    fc_verdict no_pipe;         /* the ceiling against the need */
    fc_verdict on_way;          /* pressure above 0 all the way */
    fc_verdict supply;          /* size of the supply pipe */
    struct fci_supply supplied; /* that size, and where it is */
    fc_verdict volume;          /* flush volume against the bowl's */
    fc_verdict drawn;   /* the street main, and each pump's inlet, at peak */
    bool long_interval; /* it works by probability alone, with a longer
                           interval than any published method rests on */
    fc_verdict works;   /* all of these together */
    fc_verdict maximum; /* without flow against the maximum */
    fc_verdict strong;  /* flowing at peak against the valve's maximum */
};

/* Too much pressure is no part of `works`: it says nothing of the flush. */
fc_verdict fci_too_high(const struct fci_judgement *judgement);
/* By how much, at the high end and at most; negative: not at all [Pa].
 * `alone`: its flowing pressure while it flushes alone, where that is given.
 */
double fci_over_maximum(const struct fci_judgement *judgement, fc_range alone);

/* The whole site, marched. */
struct fci_judge {
    const fc_site *site;
    bool converted;
    struct fci_at_rest *rest;
    struct fci_demand *demand[FC_STATES];
    struct fci_at_peak *peak[FC_STATES];
    /* By the code's fixture units, where the peak that counts rests on an
     * interval that is longer than is known of; NULL: it does not. */
    struct fci_demand *code_demand[FC_STATES];
    struct fci_at_peak *code_peak[FC_STATES];
    struct fci_supply *supplies;  /* by element: what leads to its outlet */
    fc_verdict *drawn[FC_STATES]; /* by element: see check/drawn.h */
};

/* A pressure against what it must not exceed. */
fc_verdict fci_under_limit(fc_range pressure, double limit);

/* Refuses what a tree's march cannot work out.  Freed on any outcome by
 * fci_judge_end(). */
fc_status fci_judge_begin(struct fci_judge *judge, const fc_site *site,
                          fc_diagnostics *messages);
/* The same where the peak demand is another one. */
fc_status fci_judge_begin_as(struct fci_judge *judge, const fc_site *site,
                             const struct fci_demand_as *as,
                             fc_diagnostics *messages);
void fci_judge_end(struct fci_judge *judge);

/* In a variant of the site, in one state; the peak demand depends on no input
 * but the `flows` that are drawn, and else is that of `of`.  False: out of
 * memory.  Ended on any outcome. */
bool fci_judge_variant(struct fci_judge *judge, const struct fci_judge *of,
                       const fc_site *site, fc_state state, bool flows);
void fci_judge_variant_end(struct fci_judge *judge, const struct fci_judge *of,
                           fc_state state);

/* The longest interval between two uses of a flush valve that the peak may
 * rest on [s], and the longest that the file gives; INFINITY: the tables have
 * none. */
double fci_longest_known_interval(const fc_site *site);
double fci_longest_interval(const fc_site *site);

struct fci_judgement fci_judge_fixture(const struct fci_judge *judge,
                                       const struct fci_fixture *fixture,
                                       fc_state state);

#endif
