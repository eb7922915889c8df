/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/verify/verify.h -- the claims of a site, while they are verified. */
#ifndef FCI_VERIFY_VERIFY_H
#define FCI_VERIFY_VERIFY_H

#include "check/words.h"
#include "flow/solver.h"
#include "readings/readings.h"
#include "variants/vary.h"

/* A reading brought to a claim's fixture. */
struct fci_brought {
    const fc_reading *reading; /* NULL: there is none */
    double pressure, within;   /* at the fixture's inlet [Pa] */
    double read;               /* the same before it was carried */
    const fc_reading *against; /* another that cannot be true beside it; NULL:
                                  none */
    double low, high; /* between which it is at the fixture's inlet [Pa] */
};
/* None. */
struct fci_brought fci_not_brought(void);

/* One claim as it is worked out, under one condition. */
struct fci_claim {
    const fc_claim *given; /* with that condition, and the state */
    size_t of;             /* which claim of the site */
    bool shown;            /* the harshest case of its claim */
    size_t fixture;
    struct fci_open *open; /* what flushes; none at peak */
    size_t n_open;
    size_t place; /* of the fixture among `open`; n_open: it does not flush */
    bool peak;
    double shift;            /* of the source on the claim's day [Pa] */
    const char *not_flowing; /* why nothing flows there; NULL: it does */
    const char *why_not;     /* what keeps the model from it; NULL: nothing */
    struct fci_brought read, carried; /* of its condition; of another one */
};

/* What the buildings drawn have where a gauge was read, while what flushed
 * then does. */
struct fci_fit {
    const fc_reading *reading;
    const struct fci_open *open; /* what flushed; NULL: not known */
    size_t n_open;
    double low, high; /* [Pa]; low above high: the model cannot tell */
    bool refuted;     /* the gauge showed what none of them has */
    bool bounded;     /* of a check, which refutes it: low and high are its */
    const char *beside; /* another by the same gauge: what both differ by is
                           what the site cannot give, and told as that; NULL:
                           it is the reading itself */
};

struct fci_verify {
    const fc_site *site;
    bool converted, meshed;
    const char *untested; /* a street main without a flow test; NULL: none */
    unsigned long seed;
    size_t varied;             /* inputs of the site that do */
    size_t draws;              /* of every input; 1 where none varies */
    struct fci_arena *arena;   /* of the result */
    struct fci_arena scratch;  /* of what only the work needs */
    struct fci_claim *claims;  /* case by case */
    fc_checked_claim *checked; /* the results, in the same order */
    size_t n_claims;
    const fc_checked_claim *given; /* the claims of the site */
    size_t n_given;
    double *outcomes;     /* [Pa], claim by claim, in the order of the draws */
    struct fci_fit *fits; /* of all readings of a pressure */
    size_t n_fits;
    struct fci_evidence evidence; /* the readings against each other */
};

/* ---- The claims (verify/claims.c) ------------------------------------- */

/* What flushes, and what the model cannot do.  FC_ENOMEM, FC_EINPUT (no
 * claim). */
fc_status fci_verify_claims(struct fci_verify *v, fc_diagnostics *messages);
/* "3 of wc-1, 1 of wc-2 flush", "nothing flushes"; NULL: out of memory. */
const char *fci_name_open(const struct fci_verify *v,
                          const struct fci_open *open, size_t n);
/* The static pressure of the only source, not given of a tank. */
fc_range fci_claim_static(const fc_site *site);
/* Whether the supply of the claim's day is that of the site. */
bool fci_claim_is_of_today(const struct fci_claim *claim);

/* ---- One building that might be (verify/draw.c) ----------------------- */

struct fci_bench; /* the memory of one thread */

struct fci_outcome {
    double pressure; /* at the fixture's inlet [Pa] */
    double flow;     /* through it [m3/s] */
    double all;      /* of the valves that flush, or the peak demand [m3/s] */
    /* Where inputs are left ranges, of the main and the pumps that serve it
     * what is drawn down lowest: */
    size_t drawn_at;            /* element; FCI_NONE: nothing must keep any */
    double drawn_to, must_keep; /* [Pa] */
};

/* How inputs are drawn. */
struct fci_draw_as {
    bool kinds_alike; /* all rises at one part of their ranges, all lengths at
                         another */
    enum fci_end usual; /* where what nobody measured is; FCI_NOMINAL: drawn as
                           all else */
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

/* Begin the draws of a block, and take the next one of them: its inputs are
 * those of the variant from then on. */
void fci_bench_begin(struct fci_bench *bench, unsigned long seed,
                     size_t block);
void fci_bench_draw(struct fci_bench *bench, struct fci_draw_as as);
/* Whether an input moves with others of its kind in such a draw. */
bool fci_input_has_kind(const struct fci_input *input);
/* Every input at the same part of its range, 0 the good end and 1 the bad. */
void fci_bench_take_bad(struct fci_bench *bench, double bad);
/* The nominal inputs, and the model off by all that it may; what nobody
 * measured at that end too, or nominal. */
void fci_bench_take_model(struct fci_bench *bench, enum fci_end end,
                          bool usual);
/* Every input at that end for each claim's own fixture, so that on a tree its
 * pressure is bounded, as in a check. */
void fci_bench_take_end(struct fci_bench *bench, enum fci_end end);
/* The nominal inputs, and one at that end. */
void fci_bench_take_one(struct fci_bench *bench, size_t input,
                        enum fci_end end);

/* Of a stream that no user's seed chooses, so that no verdict that rests on it
 * turns on one. */
#define FCI_SEED_OF_NOBODY 0x6d6f7265ul

/* ---- Many of them (verify/draw.c) -------------------------------------- */

/* Draws of one stream of random numbers. */
#define FCI_VERIFY_BLOCK 500

struct fci_drawing; /* the threads' memory */

/* FC_OK or FC_ENOMEM; freed with fci_drawing_free() on any outcome. */
fc_status fci_drawing_new(struct fci_verify *v,
                          const fc_verify_options *options,
                          struct fci_drawing **drawing);
void fci_drawing_free(struct fci_drawing *drawing);
/* Fill v->outcomes, by the user's seed, and count those that reach a claim. */
fc_status fci_drawing_first(struct fci_drawing *drawing, size_t *reach,
                            fc_diagnostics *messages);
/* More blocks of a stream that is the same whatever the seed, added to the
 * counts of the claims that are wanted. */
fc_status fci_drawing_more(struct fci_drawing *drawing, struct fci_draw_as as,
                           const bool *wanted, size_t first, size_t blocks,
                           size_t *reach, fc_diagnostics *messages);

/* ---- What the draws say (verify/outcomes.c, verify/sure.c) ------------- */

/* The share of the outcomes that reach the claim, their interval, and the
 * input that weighs most. */
fc_status fci_verify_outcomes(struct fci_verify *v,
                              const struct fci_variant *variant,
                              const size_t *reach);
/* "C of galvanized pipes"; NULL: out of memory. */
const char *fci_input_name(const struct fci_verify *v,
                           const struct fci_input *input);
/* The verdict by them, with more of them where they leave it open, and what
 * else must bear it out.  FC_ENOMEM, FC_ENOCONV. */
fc_status fci_verify_sure(struct fci_verify *v, struct fci_bench *bench,
                          struct fci_drawing *drawing, const size_t *reach,
                          fc_diagnostics *messages);

/* ---- What gauges say (verify/readings.c) ------------------------------ */

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
/* The reading of a claim's condition that is known best, or the better one of
 * the two that are farthest from being true together; `still`: that with
 * nothing flushing.  `flow`: through the fixture. */
struct fci_brought fci_reading_for(const struct fci_verify *v,
                                   const struct fci_claim *claim, bool still,
                                   double flow);
/* Another, wherever its gauge was, that cannot be true beside it; NULL:
 * none. */
const fc_reading *fci_reading_against(const struct fci_verify *v,
                                      const fc_reading *reading);
/* Whether it is above the static ceiling, so that it decides nothing. */
bool fci_reading_is_too_high(const struct fci_verify *v,
                             const fc_reading *reading);
/* The i-th contradiction by which the model decides nothing: of two readings,
 * of what two of one gauge differ by, of a flow, or of a reading above the
 * static ceiling; NULL: there are no more. */
const fc_contradiction *fci_reading_doubt(const struct fci_verify *v,
                                          size_t i);
/* The reading of another condition that says most of the claim's, as it would
 * be under that (verify/carry.c).  FC_ENOMEM, FC_ENOCONV. */
fc_status fci_reading_carry(const struct fci_verify *v,
                            const struct fci_claim *claim, double computed,
                            struct fci_brought *carried,
                            fc_diagnostics *messages);
/* One reading, carried; carried->reading is NULL where the model cannot. */
fc_status fci_reading_carry_one(const struct fci_verify *v,
                                const struct fci_claim *claim,
                                const fc_reading *reading, double computed,
                                struct fci_brought *carried,
                                fc_diagnostics *messages);
/* What flushed, as the model has it: *n of them, NULL with *status FC_OK where
 * the model cannot tell what flowed. */
struct fci_open *fci_reading_open(const struct fci_verify *v,
                                  const fc_reading *reading, size_t *n,
                                  fc_status *status);
/* Whether something was made to flush. */
bool fci_reading_flows(const fc_reading *reading);
/* The verdict by a reading (JCGM 106), with its accuracy as guard band; where
 * nothing flows under the claim there is none. */
fc_support fci_support_by_reading(const struct fci_claim *claim,
                                  const struct fci_brought *reading);

/* ---- Whether the site gives what was read (verify/fit.c) --------------- */

/* Fill v->fits, by some of the draws.  FC_ENOMEM, FC_EUNSUPPORTED. */
fc_status fci_verify_fit(struct fci_verify *v, struct fci_bench *bench,
                         fc_diagnostics *messages);
/* " in 99 % of the buildings drawn": what its low and high are of; "" where
 * they bound it. */
const char *fci_fit_of(const struct fci_verify *v, const struct fci_fit *fit);
/* Of a reading that keeps the model from deciding; see struct fci_fit. */
const char *fci_fit_beside(const struct fci_verify *v,
                           const fc_reading *reading);
/* The reading that keeps the model from deciding a claim, NULL: none does.
 * One that no building drawn gives does, unless it says what the model says
 * when it is carried to the claim's condition, or another one of the claim's
 * place does that the model gives: `borne`. */
fc_status fci_verify_refute(const struct fci_verify *v,
                            const struct fci_claim *claim,
                            const fc_checked_claim *checked,
                            const fc_reading **by, const fc_reading **borne,
                            fc_diagnostics *messages);

/* ---- The cases of a claim (verify/cases.c) ----------------------------- */

/* "flushing alone, existing valves"; NULL: out of memory. */
const char *fci_claim_judged(const struct fci_verify *v,
                             const fc_checked_claim *checked);
/* The claims of the site, each of its cases, into the result.  FC_ENOMEM. */
fc_status fci_verify_cases(struct fci_verify *v, fc_verify_result *result);

/* ---- For the record (verify/listed.c, verify/basis.c) ------------------- */

fc_status fci_verify_list(const struct fci_verify *v,
                          fc_verify_result *result);
fc_status fci_verify_basis(const struct fci_verify *v,
                           fc_verify_result *result);

/* ---- Digits (verify/digits.c) ------------------------------------------ */

/* As many decimals, or more, as tell two pressures apart where they differ. */
int fci_decimals_apart(fc_unit_system system, int decimals, double claimed,
                       double other);
/* With how many digits behind the point the claimed pressure looks as it is
 * stated, and as different from those beside it and from other claims as it
 * is. */
int fci_claim_decimals(const struct fci_verify *v,
                       const fc_checked_claim *checked);
/* A pressure with so many. */
struct fci_shown fci_show_with(fc_unit_system system, int decimals,
                               double pressure);

/* ---- Words ------------------------------------------------------------ */

fc_status fci_find_claims(struct fci_findings *f, const struct fci_verify *v,
                          fc_diagnostics *messages);
/* Where water may be drawn back while the valves of a claim flush.  FC_ENOMEM,
 * FC_ENOCONV. */
fc_status fci_find_backflow(struct fci_findings *f, const struct fci_verify *v,
                            const struct fci_claim *claim, const char *name,
                            fc_diagnostics *messages);
void fci_assume_claims(struct fci_check_words *w, const struct fci_verify *v);

#endif
