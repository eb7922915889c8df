/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/verify/outcomes.c -- what the drawn outcomes say of each claim.
 *
 * The share of an input in the variance of the outcomes: as inputs are
 * independent, the squared coefficient of correlation is what a straight line
 * in that input alone explains.  Of a choice of sizes it is the variance of
 * the means, one a size, over that of all (the correlation ratio), which needs
 * no line.  The inputs are not kept but drawn again, from the same streams.
 */
#include "ground/gsl_guard.h"
#include "ground/seed.h"
#include "flow/busy_tally.h"
#include "verify/verify.h"
#include "ground/ties.h"

#include <math.h>
#include <string.h>

#include <gsl/gsl_rng.h>
#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>

/* [JCGM 101, 7.7] the probabilistically symmetric interval of 95 % */
#define LOW_QUANTILE 0.025
#define HIGH_QUANTILE 0.975

/* ---- One claim -------------------------------------------------------- */

/* `sorted`: room for the outcomes. */
static void
take_outcomes(const struct fci_verify *v, size_t c, size_t reach,
              double *sorted)
{
    fc_checked_claim *claim = &v->checked[c];
    fc_chance chance;

    memcpy(sorted, &v->outcomes[c * v->draws], v->draws * sizeof *sorted);
    gsl_sort(sorted, 1, v->draws);
    claim->low =
        gsl_stats_quantile_from_sorted_data(sorted, 1, v->draws, LOW_QUANTILE);
    claim->high = gsl_stats_quantile_from_sorted_data(sorted, 1, v->draws,
                                                      HIGH_QUANTILE);
    claim->drawn = (int)v->draws;
    chance = fci_wilson((double)reach / (double)v->draws, (double)v->draws);
    claim->probability = chance.estimate;
    claim->probability_low = chance.low;
    claim->probability_high = chance.high;
}

/* ---- Shares of the variance ------------------------------------------- */

/* Sums over all draws.  A figure has one cell, a choice of sizes one a
 * size. */
struct sums {
    const struct fci_variant *variant;
    size_t *cell; /* the first one of each input */
    size_t n_cells;
    double *count;    /* draws in a cell */
    double *u, *uu;   /* of each input, about its middle */
    double *products; /* by cell and claim: of a figure's u and the outcome, of
                         a size the outcome alone */
    double *mean;     /* of each claim's outcomes */
    double *square;   /* about that */
    double *left; /* in one draw, of each claim the outcome less the mean */
    gsl_rng *rng;
};

static bool
make_sums(struct sums *s, struct fci_verify *v)
{
    const size_t n = s->variant->n_inputs;
    struct fci_arena *arena = &v->scratch;
    gsl_error_handler_t *host;
    size_t i;

    s->cell = fci_arena_array(arena, n, sizeof *s->cell);
    if (!s->cell)
        return false;
    for (i = 0; i < n; i++) {
        const struct fci_input *input = &s->variant->inputs[i];

        s->cell[i] = s->n_cells;
        s->n_cells += input->sizes ? input->n_sizes : 1;
    }
    s->count = fci_arena_array(arena, s->n_cells, sizeof *s->count);
    s->u = fci_arena_array(arena, n, sizeof *s->u);
    s->uu = fci_arena_array(arena, n, sizeof *s->uu);
    s->products =
        fci_arena_array(arena, s->n_cells, v->n_claims * sizeof *s->products);
    s->mean = fci_arena_array(arena, v->n_claims, sizeof *s->mean);
    s->square = fci_arena_array(arena, v->n_claims, sizeof *s->square);
    s->left = fci_arena_array(arena, v->n_claims, sizeof *s->left);
    host = fci_gsl_quiet();
    s->rng = gsl_rng_alloc(gsl_rng_mt19937);
    fci_gsl_restore(host);
    return s->rng && !arena->failed;
}

static void
find_moments(struct sums *s, const struct fci_verify *v)
{
    size_t c;

    for (c = 0; c < v->n_claims; c++) {
        const double *outcomes = &v->outcomes[c * v->draws];

        s->mean[c] = gsl_stats_mean(outcomes, 1, v->draws);
        s->square[c] = gsl_stats_tss_m(outcomes, 1, v->draws, s->mean[c]);
    }
}

static void
add_draw(struct sums *s, size_t n_claims)
{
    size_t i, c;

    for (i = 0; i < s->variant->n_inputs; i++) {
        const struct fci_input *input = &s->variant->inputs[i];
        const double u = gsl_rng_uniform(s->rng);
        const size_t cell =
            s->cell[i]
            + (input->sizes ? (size_t)(u * (double)input->n_sizes) : 0);
        const double weight = input->sizes ? 1 : u - 0.5;
        double *products = &s->products[cell * n_claims];

        s->count[cell]++;
        s->u[i] += u - 0.5;
        s->uu[i] += (u - 0.5) * (u - 0.5);
        for (c = 0; c < n_claims; c++)
            products[c] += weight * s->left[c];
    }
}

static void
add_draws(struct sums *s, const struct fci_verify *v)
{
    size_t i, c;

    for (i = 0; i < v->draws; i++) {
        if (i % FCI_VERIFY_BLOCK == 0)
            gsl_rng_set(s->rng,
                        fci_seed_of_block(v->seed, i / FCI_VERIFY_BLOCK));
        for (c = 0; c < v->n_claims; c++)
            s->left[c] = v->outcomes[c * v->draws + i] - s->mean[c];
        add_draw(s, v->n_claims);
    }
}

static double
share_of(const struct sums *s, const struct fci_verify *v, size_t input,
         size_t c)
{
    const struct fci_input *in = &s->variant->inputs[input];
    const size_t n_claims = v->n_claims, first = s->cell[input];
    double between = 0, line, spread;
    size_t k;

    for (k = 0; in->sizes && k < in->n_sizes; k++) {
        const double sum = s->products[(first + k) * n_claims + c];

        if (s->count[first + k] > 0)
            between += sum * sum / s->count[first + k];
    }
    if (in->sizes)
        return between / s->square[c];
    /* the outcomes are less their mean, so that u's own does not matter */
    line = s->products[first * n_claims + c];
    spread = s->uu[input] - s->u[input] * s->u[input] / (double)v->draws;
    return line * line / (spread * s->square[c]);
}

/* "static pressure of main"; the C of a material is that of its pipes. */
const char *
fci_input_name(const struct fci_verify *v, const struct fci_input *input)
{
    const bool shared =
        input->element == FCI_NONE && input->dimension == FC_NUMBER;

    return fci_arena_printf(v->arena, "%s of %s%s", input->what, input->name,
                            shared ? " pipes" : "");
}

static bool
find_decider(const struct sums *s, const struct fci_verify *v, size_t c)
{
    fc_checked_claim *claim = &v->checked[c];
    size_t i, best = 0;

    for (i = 0; i < s->variant->n_inputs; i++) {
        const double share = s->variant->inputs[i].cause == FCI_OWN_PART
                                 ? 0
                                 : share_of(s, v, i, c);

        if (fci_is_less(claim->share, share)) {
            claim->share = share;
            best = i;
        }
    }
    claim->share = fmin(claim->share, 1);
    if (claim->share > 0)
        claim->decided_by = fci_input_name(v, &s->variant->inputs[best]);
    return claim->decided_by || claim->share <= 0;
}

/* Differences under what is solved to are none. */
static bool
spreads(const struct sums *s, const struct fci_verify *v, size_t c)
{
    return s->square[c] > (double)v->draws * FCI_SOLVED_TO * FCI_SOLVED_TO;
}

static fc_status
find_deciders(struct fci_verify *v, const struct fci_variant *variant)
{
    struct sums s = { .variant = variant };
    fc_status status = FC_ENOMEM;
    size_t c;

    if (make_sums(&s, v)) {
        find_moments(&s, v);
        add_draws(&s, v);
        status = FC_OK;
    }
    for (c = 0; c < v->n_claims && status == FC_OK; c++)
        if (!v->claims[c].why_not && spreads(&s, v, c)
            && !find_decider(&s, v, c))
            status = FC_ENOMEM;
    if (s.rng)
        gsl_rng_free(s.rng);
    return status;
}

/* ---- All claims ------------------------------------------------------- */

fc_status
fci_verify_outcomes(struct fci_verify *v, const struct fci_variant *variant,
                    const size_t *reach)
{
    double *sorted = fci_arena_array(&v->scratch, v->draws, sizeof *sorted);
    size_t c;

    if (!sorted)
        return FC_ENOMEM;
    for (c = 0; c < v->n_claims; c++)
        if (!v->claims[c].why_not)
            take_outcomes(v, c, reach[c], sorted);
    return find_deciders(v, variant);
}
