/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/fit.c -- how well a cause explains all readings.
 *
 * Gauss and Newton's iteration: the readings are taken as linear in the
 * unknowns, those of the faults and all that is uncertain beside them; the
 * step is the least squares solution within their bounds, found one unknown
 * after the other; a step that makes the misfit worse is halved.  Beside a
 * fault what is uncertain is drawn to the middle of its range, as a flat range
 * leaves most room there: else its ends would take up what the fault does.  Of
 * an unknown above 0 the logarithm is fitted.  It begins at the best of a few
 * values far apart, since a loss may be anything from one psi to a closed
 * valve.  How readings move with what is uncertain is taken from the building
 * where nothing is amiss, and afresh for those causes that explain most.
 */
#include "diagnose/fault_kinds.h"
#include "diagnose/fit.h"
#include "diagnose/uncertain.h"
#include "ground/gsl_guard.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <string.h>

#define TEST_LEVEL 0.99 /* of the chi-square test */
#define MOST_STEPS 25
#define MOST_HALVED 6
#define AFRESH 3         /* steps, until slopes are worked out again */
#define LONGEST_STEP 3   /* of an unknown in its scale, or of its logarithm */
#define SETTLED 1e-4     /* of chi square, against 1 + chi square */
#define DIFFERENCE 1e-3  /* of an unknown, for a slope */
#define LEAST_LOG (-8.0) /* of an unknown in its scale: next to nothing */
#define MOST_SWEEPS 100
#define SWEPT 1e-4 /* of a deviation: the unknowns move no more */
/* A reading may be off by so many times its accuracy, but by chance no
 * further. */
#define FARTHEST 2
/* A cause that moves no gauge by this part of its deviation, from where
 * nothing is amiss, is none: what was seen may be there and explain nothing.
 */
#define MOVES 0.25

/* Where the search begins, in scales. */
static const double starts[] = { 0.05, 0.3, 1, 4, 20, 150 };
static const double either_starts[] = { 0, -2, 2, -0.6, 0.6 };

#define N_EITHER (sizeof either_starts / sizeof *either_starts)

/* ---- What the gauges show ---------------------------------------------- */

static fc_status
keep_most(struct fci_fault_trial *t, double *flows)
{
    const struct fci_at_flow *at = fci_fault_trial_spread(t);
    size_t i;

    for (i = 0; i < t->site.n_elements && at; i++)
        flows[i] = fmax(flows[i], fabs(at[i].flow));
    return at ? FC_OK : FC_ENOCONV;
}

fc_status
fci_readings_show(struct fci_fault_trial *t,
                  const struct fci_readings *readings, double *shows,
                  double *flows, fc_diagnostics *messages)
{
    fc_status status = fci_fault_trial_begin(t, readings->state, messages);
    size_t e, g;

    if (flows)
        memset(flows, 0, t->site.n_elements * sizeof *flows);
    for (e = 0; status == FC_OK && e < readings->n_events; e++) {
        status = fci_fault_trial_run(t, &readings->events[e]);
        if (status != FC_OK) {
            status = fci_solver_fail(t->solver, status, messages);
            break;
        }
        for (g = readings->events[e].first; g != FCI_NONE;
             g = readings->gauges[g].next)
            shows[g] =
                readings->gauges[g].dimension == FC_FLOW
                    ? fci_fault_trial_flows(t, readings->gauges[g].place)
                    : fci_fault_trial_shows(t, readings->gauges[g].place);
        if (flows)
            status = keep_most(t, flows);
    }
    fci_fault_trial_end(t);
    return status;
}

fc_status
fci_cause_shows(struct fci_least_squares *f, const struct fci_cause *cause,
                double *shows, bool *settled)
{
    const struct fci_readings *r = f->readings;
    fc_status status;
    size_t i;

    *settled = false;
    if (!fci_cause_apply(f->trial, f->uncertain, cause, r->state))
        return FC_ENOMEM;
    status = fci_readings_show(f->trial, r, shows, NULL, NULL);
    if (status != FC_OK)
        return status == FC_ENOMEM ? status : FC_OK;
    fci_uncertain_misread(f->uncertain, r, cause->u, shows);
    fci_cause_misread(cause, r, shows);
    *settled = true;
    for (i = 0; i < r->n; i++)
        *settled &= isfinite(shows[i]) != 0;
    return FC_OK;
}

static double
misfit_of(const struct fci_readings *r, const double *shows)
{
    double sum = 0, d;
    size_t i;

    for (i = 0; i < r->n; i++) {
        d = (shows[i] - r->gauges[i].read) / fci_deviation(&r->gauges[i]);
        sum += d * d;
    }
    return sum;
}

/* ---- Unknowns of faults ------------------------------------------------ */

/* Of what cannot be nothing, as a set pressure. */
static bool
is_never_0(const struct fci_fault *fault)
{
    return fault->least > 0 || fault->most < 0;
}

static bool
is_either(const struct fci_fault *fault)
{
    return fault->kind->unknown == FCI_EITHER_SIGN;
}

static double
most_of(const struct fci_fault *fault)
{
    return is_either(fault) ? fault->most : log(fault->most);
}

static double
least_of(const struct fci_fault *fault)
{
    return is_either(fault) ? fault->least : LEAST_LOG;
}

/* The unknowns as they are searched. */
static double
searched(const struct fci_cause *cause, size_t k)
{
    return is_either(cause->fault[k]) ? cause->x[k] : log(cause->x[k]);
}

/* Within what they may be. */
static void
put_searched(struct fci_cause *cause, size_t k, double s)
{
    const struct fci_fault *fault = cause->fault[k];
    const double most = most_of(fault), least = least_of(fault);

    s = fmax(least, fmin(most, s));
    cause->x[k] = is_either(fault) ? s : exp(s);
    cause->at_limit[k] = s >= most || (is_either(fault) && s <= least);
}

static size_t
starts_of(const struct fci_fault *fault)
{
    return !fault->kind->unknown ? 1
           : is_either(fault)    ? N_EITHER
                                 : sizeof starts / sizeof(double);
}

void
fci_cause_put(struct fci_cause *cause, size_t k, double x)
{
    if (cause->fault[k]->kind->unknown)
        put_searched(cause, k, is_either(cause->fault[k]) ? x : log(x));
}

void
fci_cause_start(struct fci_cause *cause, size_t k, size_t start)
{
    const struct fci_fault *fault = cause->fault[k];

    cause->x[k] = 1;
    cause->at_limit[k] = false;
    if (fault->kind->unknown)
        put_searched(cause, k,
                     !is_either(fault) ? log(starts[start])
                     : is_never_0(fault)
                         ? fault->least
                               + (fault->most - fault->least)
                                     * ((double)start + 0.5) / (double)N_EITHER
                         : either_starts[start]);
}

/* How much an unknown weighs that is off where it is likeliest: one over its
 * variance.  Where nothing is amiss its range
 * is flat. */
static double
weight_of(const struct fci_cause *cause, const struct fci_unsure *unsure)
{
    const double wide = unsure->most - unsure->least;

    return cause->n_faults > 0 ? 12 / (wide * wide) : 0;
}

/* Where the flows do not settle, or the pipes would be no pipes, the misfit is
 * as large as it gets. */
static fc_status
try_cause(struct fci_least_squares *f, struct fci_cause *cause, double *shows)
{
    const struct fci_uncertain *u = f->uncertain;
    bool settled;
    const fc_status status = fci_cause_shows(f, cause, shows, &settled);
    size_t j;

    cause->chi2 = settled ? misfit_of(f->readings, shows) : FCI_UNSETTLED;
    cause->aim = cause->chi2;
    for (j = 0; j < u->n; j++) {
        const double off = cause->u[j] - u->list[j].likely;

        cause->aim += weight_of(cause, &u->list[j]) * off * off;
    }
    return status;
}

/* ---- One step ---------------------------------------------------------- */

static size_t
n_readings(const struct fci_least_squares *f)
{
    return f->readings->n;
}

/* How readings move with the unknowns of faults, by differences. */
static fc_status
fault_slopes(struct fci_least_squares *f, const struct fci_cause *cause,
             const double *shows)
{
    double *moved = f->work;
    fc_status status = FC_OK;
    size_t i, k;

    for (k = 0; k < cause->n_faults && status == FC_OK; k++) {
        struct fci_cause near = *cause;
        double *slopes = f->fault_slopes + k * n_readings(f);
        bool settled = false;
        double by;

        for (i = 0; i < n_readings(f); i++)
            slopes[i] = 0;
        if (!cause->fault[k]->kind->unknown)
            continue;
        by = searched(cause, k) + DIFFERENCE > most_of(cause->fault[k])
                 ? -DIFFERENCE
                 : DIFFERENCE;
        put_searched(&near, k, searched(cause, k) + by);
        status = fci_cause_shows(f, &near, moved, &settled);
        for (i = 0; i < n_readings(f) && settled; i++)
            slopes[i] = (moved[i] - shows[i])
                        / (by * fci_deviation(&f->readings->gauges[i]));
    }
    return status;
}

/* One unknown of a step: by how much it goes, and how far it may. */
struct fci_mover {
    const double *slopes;
    double low, high, by, square;
    double weight, middle; /* of its own, and how far off that is */
};

static struct fci_mover
mover_of(const struct fci_least_squares *f, const double *slopes, double low,
         double high)
{
    struct fci_mover m = { slopes, low, high, 0, 0, 0, 0 };
    size_t i;

    for (i = 0; i < n_readings(f); i++)
        m.square += slopes[i] * slopes[i];
    return m;
}

/* The unknowns one after the other, as often as they still move. */
static void
sweep(struct fci_least_squares *f, struct fci_mover *movers, size_t n,
      double *left)
{
    size_t i, j;
    int swept;
    double moved = 1;

    for (swept = 0; swept < MOST_SWEEPS && moved > SWEPT; swept++)
        for (moved = 0, j = 0; j < n; j++) {
            struct fci_mover *m = &movers[j];
            double to = m->square * m->by + m->weight * m->middle, by;

            if (!(m->square + m->weight > 0))
                continue;
            for (i = 0; i < n_readings(f); i++)
                to += m->slopes[i] * left[i];
            to /= m->square + m->weight;
            to = fmax(m->low, fmin(m->high, to));
            by = to - m->by;
            for (i = 0; i < n_readings(f); i++)
                left[i] -= by * m->slopes[i];
            moved = fmax(moved, fabs(by) * sqrt(m->square + m->weight));
            m->by = to;
        }
}

/* The best step of all unknowns, those of the faults first. */
static void
find_step(struct fci_least_squares *f, const struct fci_cause *cause,
          const double *shows, const double *slopes)
{
    const struct fci_uncertain *u = f->uncertain;
    struct fci_mover *movers = f->movers;
    double *left = f->work;
    size_t i, j, k, n = 0;

    for (k = 0; k < cause->n_faults; k++, n++) {
        const struct fci_fault *fault = cause->fault[k];
        const double s = fault->kind->unknown ? searched(cause, k) : 0;

        movers[n] = mover_of(f, f->fault_slopes + k * n_readings(f),
                             fmax(-LONGEST_STEP, least_of(fault) - s),
                             fmin(LONGEST_STEP, most_of(fault) - s));
    }
    for (j = 0; j < u->n; j++, n++) {
        movers[n] = mover_of(f, slopes + j * n_readings(f),
                             u->list[j].least - cause->u[j],
                             u->list[j].most - cause->u[j]);
        movers[n].weight = weight_of(cause, &u->list[j]);
        movers[n].middle = u->list[j].likely - cause->u[j];
    }
    for (i = 0; i < n_readings(f); i++)
        left[i] = (f->readings->gauges[i].read - shows[i])
                  / fci_deviation(&f->readings->gauges[i]);
    sweep(f, movers, n, left);
}

/* As far along the step as makes the misfit smaller; whether it did by enough
 * to go on. */
static fc_status
take_step(struct fci_least_squares *f, struct fci_cause *cause, double *shows,
          bool *better)
{
    const size_t n = f->uncertain->n, faults = cause->n_faults;
    double *tried = f->work, part = 1;
    struct fci_cause from = *cause;
    fc_status status = FC_OK;
    size_t j, k;
    int i;

    *better = false;
    memcpy(f->kept, cause->u, n * sizeof *cause->u);
    for (i = 0; i < MOST_HALVED && status == FC_OK; i++, part /= 2) {
        for (k = 0; k < faults; k++)
            if (cause->fault[k]->kind->unknown)
                put_searched(cause, k,
                             searched(&from, k) + part * f->movers[k].by);
        for (j = 0; j < n; j++)
            cause->u[j] = f->kept[j] + part * f->movers[faults + j].by;
        status = try_cause(f, cause, tried);
        if (status != FC_OK || !(cause->aim < from.aim))
            continue;
        *better = from.aim - cause->aim > SETTLED * (1 + from.aim);
        memcpy(shows, tried, n_readings(f) * sizeof *shows);
        return FC_OK;
    }
    memcpy(cause->u, f->kept, n * sizeof *cause->u);
    *cause = from;
    return status;
}

/* From where it is; `own`: how readings move with what is uncertain is worked
 * out afresh. */
static fc_status
descend(struct fci_least_squares *f, struct fci_cause *cause, double *shows,
        bool own)
{
    fc_status status = try_cause(f, cause, shows);
    bool better = cause->chi2 < FCI_UNSETTLED;
    int i;

    for (i = 0; status == FC_OK && better && i < MOST_STEPS; i++) {
        const double *slopes = own ? f->own_slopes : f->slopes;

        if (own && i % AFRESH == 0)
            status = fci_uncertain_slopes(f->uncertain, f, cause, shows,
                                          f->own_slopes);
        if (status == FC_OK)
            status = fault_slopes(f, cause, shows);
        if (status != FC_OK)
            break;
        find_step(f, cause, shows, slopes);
        status = take_step(f, cause, shows, &better);
    }
    return status;
}

/* ---- What is left unsure ----------------------------------------------- */

fc_status
fci_spread_make(struct fci_least_squares *f)
{
    const struct fci_uncertain *u = f->uncertain;
    const size_t n = n_readings(f);
    gsl_matrix_view spread = gsl_matrix_view_array(f->spread, n, n);
    gsl_error_handler_t *host;
    size_t i, j, k;

    for (i = 0; i < n; i++)
        for (k = 0; k < n; k++) {
            double sum = i == k;

            for (j = 0; j < u->n; j++) {
                const double wide = u->list[j].most - u->list[j].least;

                /* the variance of what is anywhere in a range */
                sum += wide * wide / 12 * f->slopes[j * n + i]
                       * f->slopes[j * n + k];
            }
            f->spread[i * n + k] = sum;
        }
    host = fci_gsl_quiet();
    i = (size_t)gsl_linalg_cholesky_decomp1(&spread.matrix);
    fci_gsl_restore(host);
    return i == GSL_SUCCESS ? FC_OK : FC_ENOCONV;
}

void
fci_spread_divide(const struct fci_least_squares *f, double *readings)
{
    const size_t n = n_readings(f);
    gsl_matrix_const_view spread =
        gsl_matrix_const_view_array(f->spread, n, n);
    gsl_vector_view vector = gsl_vector_view_array(readings, n);
    gsl_error_handler_t *host = fci_gsl_quiet();

    gsl_blas_dtrsv(CblasLower, CblasNoTrans, CblasNonUnit, &spread.matrix,
                   &vector.vector);
    fci_gsl_restore(host);
}

/* Deviations of the unknowns of the faults, all that is uncertain counted, as
 * far as the readings are linear in them. */
static fc_status
find_deviations(struct fci_least_squares *f, struct fci_cause *cause,
                const double *shows)
{
    const size_t n = n_readings(f);
    double normal[FCI_MOST_FAULTS][FCI_MOST_FAULTS] = { { 0 } };
    const fc_status status = fault_slopes(f, cause, shows);
    double both;
    size_t i, j, k;

    for (k = 0; k < cause->n_faults; k++)
        fci_spread_divide(f, f->fault_slopes + k * n);
    for (j = 0; j < cause->n_faults; j++)
        for (k = 0; k < cause->n_faults; k++)
            for (i = 0; i < n; i++)
                normal[j][k] +=
                    f->fault_slopes[j * n + i] * f->fault_slopes[k * n + i];
    both = normal[0][0] * normal[1][1] - normal[0][1] * normal[1][0];
    /* what two deviations have in common is counted once */
    cause->apart = cause->n_faults == 2 && normal[0][0] > 0 && normal[1][1] > 0
                       ? sqrt(fmax(0, both) / (normal[0][0] * normal[1][1]))
                       : 1;
    for (k = 0; k < cause->n_faults; k++) {
        const bool alone =
            cause->n_faults == 1 || !cause->fault[1 - k]->kind->unknown;

        cause->sd[k] = !cause->fault[k]->kind->unknown ? (double)NAN
                       : alone                         ? 1 / sqrt(normal[k][k])
                               : sqrt(normal[1 - k][1 - k] / both);
        if (cause->fault[k]->kind->unknown && !isfinite(cause->sd[k]))
            cause->sd[k] = HUGE_VAL;
    }
    return status;
}

/* What is left, and what was taken up by unknowns off the middle of their
 * ranges, over what both may be. */
double
fci_cause_strain(struct fci_least_squares *f, const struct fci_cause *cause)
{
    const struct fci_uncertain *u = f->uncertain;
    const size_t n = n_readings(f);
    double *left = f->work, sum = 0;
    size_t i, j;

    if (!f->sound)
        return cause->chi2; /* nothing to hold it against yet */
    for (i = 0; i < n; i++)
        left[i] = (f->readings->gauges[i].read - cause->shows[i])
                  / fci_deviation(&f->readings->gauges[i]);
    for (j = 0; j < u->n; j++)
        for (i = 0; i < n; i++)
            left[i] +=
                f->slopes[j * n + i] * (cause->u[j] - u->list[j].likely);
    fci_spread_divide(f, left);
    for (i = 0; i < n; i++)
        sum += left[i] * left[i];
    return sum;
}

/* ---- One cause --------------------------------------------------------- */

fc_status
fci_cause_flows(struct fci_least_squares *f, struct fci_cause *cause,
                double *flows)
{
    const struct fci_fault_trial *t = f->trial;
    fc_status status =
        fci_cause_apply(f->trial, f->uncertain, cause, f->readings->state)
            ? fci_readings_show(f->trial, f->readings, f->work, flows, NULL)
            : FC_ENOMEM;
    size_t k;

    for (k = 0; k < cause->n_faults; k++) {
        const size_t here = t->here[cause->fault[k]->element];
        const struct fci_element *element = &t->variant.site.elements[here];

        cause->flow[k] = flows[here];
        cause->c[k] = element->pipe ? element->pipe->c.nominal : 0;
    }
    return status;
}

/* No reading is off by more than chance has it, alone or together. */
static bool
explains(const struct fci_readings *r, const struct fci_cause *cause)
{
    gsl_error_handler_t *host;
    double most;
    size_t i;

    for (i = 0; i < r->n; i++)
        if (fabs(cause->shows[i] - r->gauges[i].read)
            > FARTHEST * r->gauges[i].within)
            return false;
    host = fci_gsl_quiet();
    most = gsl_cdf_chisq_Pinv(TEST_LEVEL, (double)fci_readings_distinct(r));
    fci_gsl_restore(host);
    return cause->chi2 <= most;
}

/* A value at the end of what is tried is none that was fitted, but of a loss,
 * which may be that of a shut valve, and of what was measured; and what moves
 * no gauge explains none, however surely it was seen. */
static fc_status
find_sensible(struct fci_least_squares *f, struct fci_cause *cause)
{
    const struct fci_readings *r = f->readings;
    struct fci_cause without = *cause;
    double *shows = f->work;
    fc_status status;
    bool settled;
    size_t i, k;

    cause->found = cause->n_faults == 0;
    for (k = 0; k < cause->n_faults; k++)
        if (cause->at_limit[k] && !cause->fault[k]->kind->is_loss
            && !(cause->fault[k]->seen > 1))
            return FC_OK;
    without.n_faults = 0;
    status = fci_cause_shows(f, &without, shows, &settled);
    for (i = 0; i < r->n && settled; i++)
        cause->found |= fabs(cause->shows[i] - shows[i])
                        > MOVES * fci_deviation(&r->gauges[i]);
    return status;
}

fc_status
fci_cause_settle(struct fci_least_squares *f, struct fci_cause *cause,
                 bool own)
{
    double *shows = f->shows;
    fc_status status;

    cause->found = false;
    status = descend(f, cause, shows, own);
    if (status != FC_OK || !(cause->chi2 < FCI_UNSETTLED))
        return status;
    if (!cause->shows)
        cause->shows = fci_arena_array(f->arena, n_readings(f), sizeof *shows);
    if (!cause->shows)
        return FC_ENOMEM;
    memcpy(cause->shows, shows, n_readings(f) * sizeof *shows);
    cause->strained = fci_cause_strain(f, cause);
    status = find_deviations(f, cause, shows);
    if (status == FC_OK)
        status = find_sensible(f, cause);
    cause->explains = explains(f->readings, cause);
    return status;
}

/* What is left to explain once all that is uncertain is allowed for; and
 * `promise`, what would be with as many times the fault as is best, if
 * readings were linear in it. */
static double
screened_misfit(const struct fci_least_squares *f, double *shows,
                double *promise)
{
    double sum = 0, square = 0, right = 0, left = 0;
    size_t i;

    for (i = 0; i < n_readings(f); i++)
        shows[i] = (shows[i] - f->readings->gauges[i].read)
                   / fci_deviation(&f->readings->gauges[i]);
    fci_spread_divide(f, shows);
    for (i = 0; i < n_readings(f); i++) {
        const double change = shows[i] + f->unexplained[i];

        sum += shows[i] * shows[i];
        square += change * change;
        right += change * f->unexplained[i];
        left += f->unexplained[i] * f->unexplained[i];
    }
    *promise = right > 0 ? left - right * right / square : left;
    return sum;
}

static bool
differs(double a, double b)
{
    return fabs(a - b) > SETTLED * (1 + fmin(a, b));
}

/* The best start and the next best that is not as good, of as many as settle;
 * what they show is kept for the pairs. */
fc_status
fci_cause_starts(struct fci_least_squares *f, struct fci_cause *cause,
                 struct fci_row *row)
{
    const size_t n = n_readings(f), all = starts_of(cause->fault[0]);
    double least[2] = { INFINITY, INFINITY }, chi2, promise;
    fc_status status = FC_OK;
    size_t i;

    row->best[0] = row->best[1] = FCI_NONE;
    row->promise = INFINITY;
    for (i = 0; i < all && status == FC_OK; i++) {
        double *shows = f->shows;
        bool settled;

        fci_cause_start(cause, 0, i);
        status = fci_cause_shows(f, cause, shows, &settled);
        if (!settled)
            continue;
        memcpy(row->shows + row->n * n, shows, n * sizeof *shows);
        row->x[row->n++] = cause->x[0];
        chi2 = screened_misfit(f, shows, &promise);
        row->promise = fmin(row->promise, promise);
        if (chi2 < least[0]) {
            if (differs(chi2, least[0])) {
                least[1] = least[0];
                row->best[1] = row->best[0];
            }
            least[0] = chi2;
            row->best[0] = i;
        } else if (chi2 < least[1] && differs(chi2, least[0])) {
            least[1] = chi2;
            row->best[1] = i;
        }
    }
    return status;
}

fc_status
fci_cause_fit(struct fci_least_squares *f, struct fci_cause *cause,
              struct fci_row *row)
{
    const size_t n = n_readings(f);
    struct fci_cause other = *cause;
    fc_status status;
    size_t i;

    fci_cause_start(cause, 0, row->best[0]);
    status = fci_cause_settle(f, cause, false);
    /* a pump or a reducer may hold at one start, so that no unknown moves it
     * from there, and a loss may have two valleys: also from the next best */
    if (status == FC_OK && row->best[1] != FCI_NONE
        && !(cause->explains && cause->found)) {
        other.u = fci_arena_copy(f->arena, f->uncertain->at,
                                 (f->uncertain->n + 1) * sizeof *other.u);
        if (!other.u)
            return FC_ENOMEM;
        fci_cause_start(&other, 0, row->best[1]);
        status = fci_cause_settle(f, &other, false);
        if (status == FC_OK && other.aim < cause->aim)
            *cause = other;
    }
    if (status != FC_OK || !cause->shows)
        return status;
    for (i = 0; i < n; i++)
        row->shows[row->n * n + i] = cause->shows[i];
    row->x[row->n++] = cause->x[0];
    return status;
}

/* ---- Its memory -------------------------------------------------------- */

fc_status
fci_least_squares_make(struct fci_least_squares *f, const double *flows)
{
    const size_t n = n_readings(f);
    fc_status status;
    size_t unknowns;

    f->uncertain = fci_arena_alloc(f->arena, sizeof *f->uncertain);
    f->work = fci_arena_array(f->arena, 2 * n + 1, sizeof *f->work);
    if (f->arena->failed)
        return FC_ENOMEM;
    status = fci_uncertain_make(f->uncertain, f, flows);
    if (status != FC_OK)
        return status;
    unknowns = f->uncertain->n + FCI_MOST_FAULTS;
    f->shows = fci_arena_array(f->arena, n, sizeof *f->shows);
    f->fault_slopes =
        fci_arena_array(f->arena, FCI_MOST_FAULTS * n, sizeof *f->slopes);
    f->slopes = fci_arena_array(f->arena, unknowns * n, sizeof *f->slopes);
    f->own_slopes = fci_arena_array(f->arena, unknowns * n, sizeof *f->slopes);
    f->spread = fci_arena_array(f->arena, n * n, sizeof *f->spread);
    f->unexplained = fci_arena_array(f->arena, n, sizeof *f->unexplained);
    f->kept = fci_arena_array(f->arena, unknowns, sizeof *f->kept);
    f->movers = fci_arena_array(f->arena, unknowns, sizeof *f->movers);
    return f->arena->failed ? FC_ENOMEM : FC_OK;
}
