/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/learn.c -- what the readings say of what is known as a range.
 *
 * Each unknown is drawn from what all others and the readings leave it, in
 * turn (Gibbs' sampler: S. Geman and D. Geman, IEEE Trans. PAMI 6 (1984)
 * 721-741, from memory), the readings taken as linear in them near the fit: a
 * normal distribution cut off at the ends of its range.  A draw then stands in
 * the place of the one before it as the readings themselves, not taken as
 * linear, have it (W. K. Hastings, Biometrika 57 (1970) 97-109, from memory).
 */
#include "diagnose/uncertain.h"
#include "ground/gsl_guard.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>
#include <math.h>

#define ROUNDS 4000
#define KEPT 400      /* of them, so far apart that each stands for itself */
#define FORGOTTEN 400 /* rounds until it has forgotten where it began */
#define LEAST_STANDING 80
#define TELLS 0.6 /* of its range is left: the readings tell of it */
#define MOST_TOLD 6
/* Beyond so many deviations a normal distribution has no figures left: what is
 * cut off there lies at the nearer end. */
#define FAR_OFF 7

struct learning {
    struct fci_least_squares *fitting;
    double *at;    /* by unknown */
    double *left;  /* by reading, in deviations */
    double *drawn; /* by unknown, those that are kept */
    double *told;  /* by unknown, those that stand */
    size_t n_standing;
    double *ends;        /* by unknown, of a first chain: low and high */
    double misfit[KEPT]; /* as the readings are taken to be linear */
    gsl_rng *rng;
};

/* From the normal distribution, between these. */
static double
draw_between(struct learning *l, double mean, double deviation, double low,
             double high)
{
    const double a = (low - mean) / deviation, b = (high - mean) / deviation;
    double from, to;

    if (a > FAR_OFF)
        return low;
    if (b < -FAR_OFF)
        return high;
    from = gsl_cdf_ugaussian_P(a);
    to = gsl_cdf_ugaussian_P(b);
    return fmax(
        low,
        fmin(high,
             mean
                 + deviation
                       * gsl_cdf_ugaussian_Pinv(
                           from + (to - from) * gsl_rng_uniform_pos(l->rng))));
}

/* One unknown, with all others where they are. */
static void
draw(struct learning *l, size_t j)
{
    const struct fci_least_squares *f = l->fitting;
    const struct fci_unsure *unsure = &f->uncertain->list[j];
    const double *slopes = f->slopes + j * f->readings->n;
    double square = 0, right = 0, to;
    size_t i;

    for (i = 0; i < f->readings->n; i++) {
        square += slopes[i] * slopes[i];
        right += slopes[i] * l->left[i];
    }
    to = square > 0
             ? draw_between(l, l->at[j] + right / square, 1 / sqrt(square),
                            unsure->least, unsure->most)
             : unsure->least
                   + (unsure->most - unsure->least) * gsl_rng_uniform(l->rng);
    for (i = 0; i < f->readings->n; i++)
        l->left[i] -= (to - l->at[j]) * slopes[i];
    l->at[j] = to;
}

static void
draw_all(struct learning *l)
{
    const size_t n = l->fitting->uncertain->n, m = l->fitting->readings->n;
    size_t i, j, k;
    int round;

    for (round = -FORGOTTEN; round < ROUNDS; round++) {
        for (j = 0; j < n; j++)
            draw(l, j);
        if (round < 0 || round % (ROUNDS / KEPT) > 0)
            continue;
        k = (size_t)round / (ROUNDS / KEPT);
        for (j = 0; j < n; j++)
            l->drawn[j * KEPT + k] = l->at[j];
        for (i = 0; i < m; i++)
            l->misfit[k] += l->left[i] * l->left[i];
    }
}

/* Of a draw that is kept, as the readings are. */
static fc_status
find_misfit(struct learning *l, size_t k, double *misfit)
{
    struct fci_least_squares *f = l->fitting;
    const struct fci_cause cause = { .u = l->at };
    fc_status status;
    bool settled;
    size_t i, j;

    for (j = 0; j < f->uncertain->n; j++)
        l->at[j] = l->drawn[j * KEPT + k];
    status = fci_cause_shows(f, &cause, f->shows, &settled);
    *misfit = settled ? 0 : HUGE_VAL;
    for (i = 0; i < f->readings->n && settled; i++) {
        const double off = (f->readings->gauges[i].read - f->shows[i])
                           / fci_deviation(&f->readings->gauges[i]);

        *misfit += off * off;
    }
    return status;
}

static fc_status
stand(struct learning *l)
{
    const size_t n = l->fitting->uncertain->n;
    fc_status status = FC_OK;
    double last = HUGE_VAL, over;
    size_t j, k, at = 0;

    for (k = 0; k < KEPT && status == FC_OK; k++) {
        status = find_misfit(l, k, &over);
        over -= l->misfit[k]; /* the less, the likelier it stands */
        if (k == 0 || log(gsl_rng_uniform_pos(l->rng)) < (last - over) / 2) {
            at = k;
            last = over;
            l->n_standing++;
        }
        for (j = 0; j < n; j++)
            l->told[j * KEPT + k] = l->drawn[j * KEPT + at];
    }
    return status;
}

/* ---- Told -------------------------------------------------------------- */

static double
value_at(const struct fci_input *input, double part)
{
    return input->given.low + part * (input->given.high - input->given.low);
}

static fc_learned
told_input(struct fci_arena *arena, const struct fci_input *input, double low,
           double mean, double high)
{
    return (fc_learned){ .name = fci_arena_string(arena, input->name),
                         .what = input->what,
                         .dimension = input->dimension,
                         .given = input->given,
                         .value = value_at(input, mean),
                         .low = value_at(input, low),
                         .high = value_at(input, high) };
}

static fc_learned
told_main(const struct fci_least_squares *f, const struct fci_unsure *unsure,
          double low, double mean, double high)
{
    const fc_range given = { true, 0, 0, unsure->size };

    return (fc_learned){ .name =
                             f->readings->site->elements[unsure->which].name,
                         .what = "drop while these valves are open",
                         .dimension = FC_PRESSURE,
                         .given = given,
                         .value = mean * unsure->size,
                         .low = low * unsure->size,
                         .high = high * unsure->size };
}

/* Both chains have to tell the same, or they have not come to rest. */
#define SAME 0.1 /* of a range */

static void
find_ends(const struct learning *l, size_t j, double *low, double *high)
{
    double *drawn = l->told + j * KEPT;

    gsl_sort(drawn, 1, KEPT);
    *low = gsl_stats_quantile_from_sorted_data(drawn, 1, KEPT, 0.025);
    *high = gsl_stats_quantile_from_sorted_data(drawn, 1, KEPT, 0.975);
}

static bool
is_at_rest(const struct learning *l, size_t j, double low, double high)
{
    const struct fci_unsure *unsure = &l->fitting->uncertain->list[j];
    const double same = SAME * (unsure->most - unsure->least);

    return fabs(low - l->ends[2 * j]) < same
           && fabs(high - l->ends[2 * j + 1]) < same;
}

/* Of those that the readings tell of: what a pipe has of its own is no figure
 * that anybody gave. */
static void
tell(const struct learning *l, fc_learned *told, size_t *n)
{
    const struct fci_least_squares *f = l->fitting;
    const struct fci_variant *variant = &f->trial->variant;
    size_t j;

    for (j = 0; j < f->uncertain->n && *n < MOST_TOLD; j++) {
        const struct fci_unsure *unsure = &f->uncertain->list[j];
        double *drawn = l->told + j * KEPT, low, mean, high;

        if (unsure->of == FCI_OF_GAUGE || unsure->steps
            || (unsure->of == FCI_OF_INPUT
                && variant->inputs[unsure->which].cause == FCI_OWN_PART))
            continue;
        find_ends(l, j, &low, &high);
        mean = gsl_stats_mean(drawn, 1, KEPT);
        if (high - low > TELLS * (unsure->most - unsure->least)
            || !is_at_rest(l, j, low, high))
            continue;
        told[(*n)++] =
            unsure->of == FCI_OF_MAIN
                ? told_main(f, unsure, low, mean, high)
                : told_input(f->arena, &variant->inputs[unsure->which], low,
                             mean, high);
    }
}

/* From the fit, or from anywhere in the ranges. */
static fc_status
run_chain(struct learning *l, const struct fci_cause *sound, bool anywhere)
{
    const struct fci_least_squares *f = l->fitting;
    size_t i, j, k;

    l->n_standing = 0;
    for (k = 0; k < KEPT; k++)
        l->misfit[k] = 0;
    for (i = 0; i < f->readings->n; i++)
        l->left[i] = (f->readings->gauges[i].read - sound->shows[i])
                     / fci_deviation(&f->readings->gauges[i]);
    for (j = 0; j < f->uncertain->n; j++) {
        const struct fci_unsure *unsure = &f->uncertain->list[j];

        l->at[j] = sound->u[j];
        if (anywhere && !unsure->steps)
            l->at[j] =
                unsure->least
                + (unsure->most - unsure->least) * gsl_rng_uniform(l->rng);
        for (i = 0; i < f->readings->n; i++)
            l->left[i] -=
                (l->at[j] - sound->u[j]) * f->slopes[j * f->readings->n + i];
    }
    draw_all(l);
    return stand(l);
}

fc_status
fci_learn(struct fci_least_squares *f, const struct fci_cause *sound,
          fc_diagnosis *out)
{
    const size_t n = f->uncertain->n;
    struct fci_arena scratch = { 0 };
    struct learning l = { .fitting = f };
    fc_status status;
    fc_learned *told = fci_arena_array(f->arena, MOST_TOLD, sizeof *told);
    size_t i;

    l.at = fci_arena_copy(&scratch, sound->u, (n + 1) * sizeof *l.at);
    l.left = fci_arena_array(&scratch, f->readings->n, sizeof *l.left);
    l.drawn = fci_arena_array(&scratch, n * KEPT + 1, sizeof *l.drawn);
    l.told = fci_arena_array(&scratch, n * KEPT + 1, sizeof *l.told);
    l.ends = fci_arena_array(&scratch, 2 * n + 1, sizeof *l.ends);
    if (!scratch.failed) {
        gsl_error_handler_t *host = fci_gsl_quiet();

        l.rng = gsl_rng_alloc(gsl_rng_mt19937);
        fci_gsl_restore(host);
    }
    if (!told || !l.rng) {
        fci_arena_free(&scratch);
        return FC_ENOMEM;
    }
    gsl_rng_set(l.rng, 1);
    status = run_chain(&l, sound, false);
    for (i = 0; i < n && status == FC_OK; i++)
        find_ends(&l, i, &l.ends[2 * i], &l.ends[2 * i + 1]);
    if (status == FC_OK)
        status = run_chain(&l, sound, true);
    out->learned = told;
    /* too few of them tell nothing */
    if (status == FC_OK && l.n_standing >= LEAST_STANDING)
        tell(&l, told, &out->n_learned);
    if (f->arena->failed)
        status = FC_ENOMEM;
    gsl_rng_free(l.rng);
    fci_arena_free(&scratch);
    return status;
}
