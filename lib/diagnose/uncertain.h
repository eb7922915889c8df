/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/uncertain.h -- what is not known exactly, and is no fault, for
 * the files that fit. */
#ifndef FCI_DIAGNOSE_UNCERTAIN_H
#define FCI_DIAGNOSE_UNCERTAIN_H

#include "diagnose/fit.h"
#include "diagnose/looks.h"

enum fci_unsure_of { FCI_OF_INPUT, FCI_OF_MAIN, FCI_OF_GAUGE };

/* One unknown, which may be anywhere from `least` to `most`. */
struct fci_unsure {
    enum fci_unsure_of of;
    size_t which; /* input of the trial's variant; element of the site, a main;
                     the first reading of a gauge */
    double least, most, start; /* of an input and of a main a part of its
                                  range, 0 to 1; of a gauge -1 to 1 */
    double likely; /* where it is likeliest: where it begins of what an outlet
                      passes, else the middle */
    double size, flow; /* what the gauge or the main is off by at 1 [Pa], of a
                          main at that flow */
    bool steps;        /* one of several sizes */
    bool idle;         /* it moves no reading, and stays as it is */
};

struct fci_uncertain {
    const struct fci_looks *looks;
    struct fci_unsure *list;
    size_t n;
    size_t *gauge; /* by reading: its gauge in the list; FCI_NONE: a flow */
    double *at;    /* where nothing is amiss, as fitted */
    double *parts; /* of all inputs of the variant (work) */
};

/* The standard deviation of a reading that may be off by its accuracy either
 * way and is as likely anywhere between: its accuracy over the root of 3
 * (Guide to the expression of uncertainty in measurement, JCGM 100:2008,
 * 4.3.7).  What is read again and again is as wrong each time, as the place,
 * the water and the reader are the same: all of it together counts once. */
double fci_deviation(const struct fci_gauge *gauge);

/* The part of its range that an input is at by itself. */
double fci_nominal_part(const struct fci_input *input);
fc_status fci_uncertain_make(struct fci_uncertain *uncertain,
                             struct fci_least_squares *fitting,
                             const double *flows);
/* The variant, which has been reset, with these values. */
void fci_uncertain_apply(const struct fci_uncertain *uncertain,
                         struct fci_fault_trial *trial, const double *at);
/* Adds what the gauges are off by. */
void fci_uncertain_misread(const struct fci_uncertain *uncertain,
                           const struct fci_readings *readings,
                           const double *at, double *shows);
/* How much a reading moves with each unknown, in deviations: by unknown and
 * reading.  `shows`: what the readings are at the cause as it is. */
fc_status fci_uncertain_slopes(const struct fci_uncertain *uncertain,
                               struct fci_least_squares *fitting,
                               struct fci_cause *cause, const double *shows,
                               double *slopes);

#endif
