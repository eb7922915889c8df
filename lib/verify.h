/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/verify.h -- the claims of a site, while they are verified. */
#ifndef FCI_VERIFY_H
#define FCI_VERIFY_H

#include "findings.h"
#include "solver.h"
#include "vary.h"

/* A reading brought to a claim's fixture. */
struct fci_brought {
    const fc_reading *reading; /* NULL: there is none */
    double pressure, within;   /* at the fixture's inlet [Pa] */
    const fc_reading *against; /* another of the same condition that cannot be
                                  true beside it; NULL: none */
};

/* One claim as it is worked out. */
struct fci_claim {
    const fc_claim *given;
    size_t fixture;
    struct fci_open *open; /* what flushes; none at peak */
    size_t n_open;
    size_t place; /* of the fixture among `open`; n_open: it does not flush */
    bool peak;
    double shift;        /* of the source on the claim's day [Pa] */
    const char *why_not; /* what keeps the model from it; NULL: nothing */
    struct fci_brought read, carried; /* of its condition; of another one */
};

struct fci_verify {
    const fc_site *site;
    bool converted, meshed;
    unsigned long seed;
    size_t draws; /* of every input; 1 where none varies */
    struct fci_arena *arena;
    struct fci_claim *claims;
    fc_checked_claim *checked; /* the results, in the same order */
    size_t n_claims;
    double *outcomes; /* [Pa], claim by claim, in the order of the draws */
};

/* ---- The claims (verify_claims.c) ------------------------------------- */

/* What flushes, and what the model cannot do.  FC_ENOMEM, FC_EINPUT (no
 * claim). */
fc_status fci_verify_claims(struct fci_verify *v, fc_diagnostics *messages);

/* ---- One building that might be (verify_draw.c) ----------------------- */

struct fci_bench; /* the memory of one thread */

struct fci_outcome {
    double pressure; /* at the fixture's inlet [Pa] */
    double flow;     /* through it [m3/s] */
};

/* NULL: out of memory. */
struct fci_bench *fci_bench_new(const struct fci_verify *v);
void fci_bench_free(struct fci_bench *bench);
const struct fci_variant *fci_bench_variant(const struct fci_bench *bench);
/* Every claim at the inputs as they stand: at first the nominal ones. `still`:
 * the fixture with nothing flushing instead. */
fc_status fci_bench_run(struct fci_bench *bench, bool still,
                        struct fci_outcome *outcomes,
                        fc_diagnostics *messages);

/* Fill v->outcomes. */
fc_status fci_verify_draw(struct fci_verify *v,
                          const fc_verify_options *options,
                          fc_diagnostics *messages);

/* Draws of one stream of random numbers. */
#define FCI_VERIFY_BLOCK 500

/* ---- What the draws say (verify_outcomes.c) --------------------------- */

/* The share of the outcomes that reach the claim, their interval, the verdict
 * by them, and the input that weighs most. */
fc_status fci_verify_outcomes(struct fci_verify *v,
                              const struct fci_variant *variant);

/* ---- What gauges say (verify_readings.c) ------------------------------ */

/* What a gauge may be off by where its reading does not say: 2 psi, one
 * division of a common gauge (common practice). */
double fci_reading_within(const fc_reading *reading);
/* Whether the same valves flush in a reading as in a claim, the same kind of
 * valves and on the same supply. */
bool fci_reading_meets(const struct fci_verify *v, const fc_reading *reading,
                       const struct fci_claim *claim);
/* Whether its gauge sits at the fixture or at what feeds it. */
bool fci_reading_is_there(const struct fci_verify *v,
                          const fc_reading *reading,
                          const struct fci_claim *claim);
/* It brought from there to the inlet of the fixture, which draws `flow`. */
struct fci_brought fci_reading_bring(const struct fci_verify *v,
                                     const fc_reading *reading,
                                     const struct fci_claim *claim,
                                     double flow);
/* The reading of a claim's condition that is known best; `still`: that with
 * nothing flushing.  `flow`: through the fixture. */
struct fci_brought fci_reading_for(const struct fci_verify *v,
                                   const struct fci_claim *claim, bool still,
                                   double flow);
/* The reading of another condition that needs least carrying, as it would be
 * under the claim's: moved by as much as the model moves, at the nominal
 * inputs (verify_carry.c).  FC_ENOMEM, FC_ENOCONV. */
fc_status fci_reading_carry(const struct fci_verify *v,
                            const struct fci_claim *claim, double computed,
                            struct fci_brought *carried,
                            fc_diagnostics *messages);
/* The verdict by a reading (JCGM 106), with its accuracy as guard band. */
fc_support fci_support_by_reading(double claimed, double read, double within);

/* ---- Words ------------------------------------------------------------ */

fc_status fci_find_claims(struct fci_findings *f, const struct fci_verify *v,
                          fc_diagnostics *messages);
void fci_assume_claims(struct fci_findings *f, const struct fci_verify *v);

#endif
