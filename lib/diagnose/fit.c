/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/fit.c -- how well a cause explains all readings.
 *
 * Gauss and Newton's iteration: the readings are taken as linear in the
 * unknowns, the normal equations of weighted least squares, solved by GSL,
 * give the step, and a step that makes the misfit worse is halved.  Of an
 * unknown above 0 the logarithm is fitted.  It begins at the best of a few
 * values far apart, since a loss may be anything from one psi to a closed
 * valve.
 *
 *   [S78]  G. Schwarz, Ann. Statist. 6 (1978) 461-464
 */
#include "diagnose/fault_kinds.h"
#include "ground/gsl_guard.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define TEST_LEVEL 0.95 /* of the chi-square test */
#define MOST_STEPS 25
#define MOST_HALVED 6
#define SETTLED 1e-4     /* of chi square, against 1 + chi square */
#define DIFFERENCE 1e-3  /* of an unknown, for a slope */
#define LEAST_LOG (-8.0) /* of an unknown in its scale: next to nothing */
#define UNSETTLED 1e30
/* An unknown that next to nothing depends on takes next to no step. */
#define LEAST_SLOPE 1e-12

/* Pairs are tried of so many of the best single causes, each unlike the ones
 * before it, with all others. */
#define PAIRED 8
/* So near in all readings, in accuracies, two causes count as one there. */
#define LIKE 0.25

/* A cause that moves no gauge by this part of its accuracy is none. */
#define MOVES 0.05
#define NEXT_TO_NOTHING 0.005 /* of a scale: no second cause is so small */

/* Where the search begins, in scales. */
static const double starts[] = { 0.05, 0.3, 1, 4, 20, 150 };
static const double either_starts[] = { 0, -2, 2 };

#define N_STARTS (sizeof starts / sizeof *starts)
#define N_EITHER (sizeof either_starts / sizeof *either_starts)

/* ---- What the gauges show ---------------------------------------------- */

static void
keep_most(const struct fci_fault_trial *t, double *flows)
{
    size_t i;

    for (i = 0; i < t->site.n_elements; i++)
        flows[i] = fmax(flows[i], fabs(t->flows[i].flow));
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
            keep_most(t, flows);
    }
    fci_fault_trial_end(t);
    return status;
}

static double
misfit_of(const struct fci_readings *r, const double *shows)
{
    double sum = 0, d;
    size_t i;

    for (i = 0; i < r->n; i++) {
        d = (shows[i] - r->gauges[i].read) / r->gauges[i].within;
        sum += d * d;
    }
    return sum;
}

/* ---- Unknowns ---------------------------------------------------------- */

/* A point of the search, by unknown. */
struct point {
    double u[FCI_MOST_FAULTS];
    double chi2;
};

static bool
is_either(const struct fci_fault *fault)
{
    return fault->kind->unknown == FCI_EITHER_SIGN;
}

/* The unknowns into the cause; what they are when they cannot be so large. */
static void
set_unknowns(struct fci_cause *cause, struct point *p)
{
    size_t k, at = 0;

    for (k = 0; k < cause->n_faults; k++) {
        const struct fci_fault *fault = cause->fault[k];
        const double most = is_either(fault) ? fault->most : log(fault->most);
        const double least = is_either(fault) ? fault->least : LEAST_LOG;

        cause->x[k] = 1;
        if (!fault->kind->unknown)
            continue;
        p->u[at] = fmax(least, fmin(most, p->u[at]));
        cause->x[k] = is_either(fault) ? p->u[at] : exp(p->u[at]);
        cause->at_limit[k] =
            p->u[at] >= most || (is_either(fault) && p->u[at] <= least);
        at++;
    }
}

/* Where the flows do not settle, or the pipes would be no pipes, the misfit is
 * as large as it gets. */
static fc_status
try_point(struct fci_least_squares *f, struct fci_cause *cause,
          struct point *p, double *shows)
{
    fc_status status;

    set_unknowns(cause, p);
    if (!fci_cause_apply(f->trial, cause, f->readings->state))
        return FC_ENOMEM;
    status = fci_readings_show(f->trial, f->readings, shows, NULL, NULL);
    fci_cause_misread(cause, f->readings, shows);
    p->chi2 = status == FC_OK ? misfit_of(f->readings, shows) : UNSETTLED;
    if (!(p->chi2 <= UNSETTLED)) /* or NaN */
        p->chi2 = UNSETTLED;
    return status == FC_ENOMEM ? status : FC_OK;
}

static size_t
n_starts_of(const struct fci_fault *fault)
{
    return !fault->kind->unknown ? 1 : is_either(fault) ? N_EITHER : N_STARTS;
}

static double
start_of(const struct fci_fault *fault, size_t i)
{
    return is_either(fault) ? either_starts[i] : log(starts[i]);
}

static bool
differs(double a, double b)
{
    return fabs(a - b) > SETTLED * (1 + fmin(a, b));
}

/* The best of the starts, and the next best that is not as good.  A pair
 * begins where its first is by itself, at every other start of the second. */
static fc_status
find_starts(struct fci_least_squares *f, struct fci_cause *cause,
            struct point *best, double *shows)
{
    const bool pair = cause->n_faults > 1;
    const struct fci_fault *first = cause->fault[0];
    const struct fci_fault *last = cause->fault[cause->n_faults - 1];
    const double alone = is_either(first) ? cause->x[0] : log(cause->x[0]);
    const size_t stride = pair ? 2 : 1;
    fc_status status = FC_OK;
    size_t i;

    best[0].chi2 = best[1].chi2 = INFINITY;
    for (i = 0; i < n_starts_of(last) && status == FC_OK; i += stride) {
        struct point p = { { 0 }, 0 };
        size_t at = 0;

        if (pair && first->kind->unknown)
            p.u[at++] = alone;
        if (last->kind->unknown)
            p.u[at] = start_of(last, i);
        status = try_point(f, cause, &p, shows);
        if (p.chi2 < best[0].chi2) {
            if (differs(p.chi2, best[0].chi2))
                best[1] = best[0];
            best[0] = p;
        } else if (p.chi2 < best[1].chi2 && differs(p.chi2, best[0].chi2)) {
            best[1] = p;
        }
    }
    return status;
}

/* ---- One step ---------------------------------------------------------- */

/* The normal equations of the linearised readings, by unknown. */
struct system {
    double normal[FCI_MOST_FAULTS * FCI_MOST_FAULTS];
    double right[FCI_MOST_FAULTS], step[FCI_MOST_FAULTS];
};

/* Slopes by differences, and what is left to explain; in accuracies. */
static fc_status
fill_system(struct fci_least_squares *f, struct fci_cause *cause,
            const struct point *p, const double *shows, struct system *s)
{
    const struct fci_readings *r = f->readings;
    const size_t unknowns = cause->n_unknowns;
    double *slopes = f->work + 2 * r->n, *moved = f->work;
    fc_status status = FC_OK;
    size_t i, j, k;

    *s = (struct system){ { 0 }, { 0 }, { 0 } };
    for (k = 0; status == FC_OK && k < unknowns; k++) {
        struct point q = *p;
        const double by = p->u[k] > 0 ? -DIFFERENCE : DIFFERENCE;

        q.u[k] += by;
        status = try_point(f, cause, &q, moved);
        for (i = 0; i < r->n; i++)
            slopes[k * r->n + i] =
                q.chi2 < UNSETTLED
                    ? (moved[i] - shows[i]) / (by * r->gauges[i].within)
                    : 0;
    }
    for (i = 0; i < r->n; i++)
        for (k = 0; k < unknowns; k++) {
            const double slope = slopes[k * r->n + i];

            s->right[k] +=
                slope * (r->gauges[i].read - shows[i]) / r->gauges[i].within;
            for (j = 0; j < unknowns; j++)
                s->normal[k * unknowns + j] += slope * slopes[j * r->n + i];
        }
    return status;
}

/* The step, and in `normal` the covariance.  All memory is here: the host's
 * allocator is not met while GSL's handler is set aside. */
static bool
solve_system(struct system *s, size_t unknowns)
{
    gsl_matrix_view normal =
        gsl_matrix_view_array(s->normal, unknowns, unknowns);
    gsl_vector_view right = gsl_vector_view_array(s->right, unknowns);
    gsl_vector_view step = gsl_vector_view_array(s->step, unknowns);
    double largest = 0;
    gsl_error_handler_t *host;
    bool solved;
    size_t k;

    for (k = 0; k < unknowns; k++)
        largest = fmax(largest, s->normal[k * unknowns + k]);
    for (k = 0; k < unknowns; k++)
        s->normal[k * unknowns + k] += LEAST_SLOPE * largest;
    if (!(largest > 0))
        return false;
    host = fci_gsl_quiet();
    solved = gsl_linalg_cholesky_decomp1(&normal.matrix) == GSL_SUCCESS
             && gsl_linalg_cholesky_solve(&normal.matrix, &right.vector,
                                          &step.vector)
                    == GSL_SUCCESS
             && gsl_linalg_cholesky_invert(&normal.matrix) == GSL_SUCCESS;
    fci_gsl_restore(host);
    return solved;
}

/* As far along the step as makes the misfit smaller; whether it did. */
static fc_status
take_step(struct fci_least_squares *f, struct fci_cause *cause,
          struct point *p, double *shows, const struct system *s, bool *better)
{
    double *tried = f->work;
    fc_status status = FC_OK;
    double part = 1;
    size_t k;
    int i;

    *better = false;
    for (i = 0; i < MOST_HALVED && status == FC_OK; i++, part /= 2) {
        struct point q = *p;

        for (k = 0; k < cause->n_unknowns; k++)
            q.u[k] += part * fmax(-3, fmin(3, s->step[k]));
        status = try_point(f, cause, &q, tried);
        if (status != FC_OK || !(q.chi2 < p->chi2))
            continue;
        *better = p->chi2 - q.chi2 > SETTLED * (1 + p->chi2);
        *p = q;
        memcpy(shows, tried, f->readings->n * sizeof *shows);
        return FC_OK;
    }
    return status;
}

static void
keep_deviations(struct fci_cause *cause, const struct system *s)
{
    size_t k, at = 0;

    for (k = 0; k < cause->n_faults; k++) {
        cause->sd[k] = NAN;
        if (!cause->fault[k]->kind->unknown)
            continue;
        cause->sd[k] = sqrt(s->normal[at * cause->n_unknowns + at]);
        at++;
    }
}

static fc_status
iterate(struct fci_least_squares *f, struct fci_cause *cause, struct point *p,
        double *shows)
{
    struct system s;
    bool better = true;
    fc_status status = FC_OK;
    int i;

    for (i = 0; status == FC_OK && better && i < MOST_STEPS; i++) {
        status = fill_system(f, cause, p, shows, &s);
        if (status != FC_OK || !solve_system(&s, cause->n_unknowns))
            break;
        keep_deviations(cause, &s);
        status = take_step(f, cause, p, shows, &s, &better);
    }
    return status;
}

/* ---- One cause --------------------------------------------------------- */

fc_status
fci_cause_flows(struct fci_least_squares *f, struct fci_cause *cause)
{
    double *flows = calloc(f->trial->site.n_elements, sizeof *flows);
    fc_status status;
    size_t k;

    if (!flows)
        return FC_ENOMEM;
    status =
        fci_cause_apply(f->trial, cause, f->readings->state)
            ? fci_readings_show(f->trial, f->readings, f->work, flows, NULL)
            : FC_ENOMEM;
    for (k = 0; k < cause->n_faults; k++) {
        const size_t at = cause->fault[k]->element;

        cause->flow[k] = flows[f->trial->here[at]];
    }
    free(flows);
    return status;
}

/* No reading is off by more than its accuracy, and all together by no more
 * than chance has it.  The fit is that of least squares: where it puts one a
 * little over its accuracy, another value near by mostly puts none over
 * (a choice of this method). */
#define NEARLY 1.25

static bool
explains(const struct fci_readings *r, const struct fci_cause *cause,
         const double *shows)
{
    const size_t free_ones =
        r->n > cause->n_unknowns ? r->n - cause->n_unknowns : 1;
    gsl_error_handler_t *host;
    double most;
    size_t i;

    for (i = 0; i < r->n; i++)
        if (fabs(shows[i] - r->gauges[i].read) > NEARLY * r->gauges[i].within)
            return false;
    host = fci_gsl_quiet();
    most = gsl_cdf_chisq_Pinv(TEST_LEVEL, (double)free_ones);
    fci_gsl_restore(host);
    return cause->chi2 <= most;
}

/* A value at the end of what is tried is none that was fitted, but of a loss,
 * which may be that of a shut valve; and what moves no gauge explains none. */
static bool
is_sensible(const struct fci_least_squares *f, const struct fci_cause *cause,
            const double *shows)
{
    const struct fci_readings *r = f->readings;
    size_t i, k;

    for (k = 0; k < cause->n_faults; k++) {
        if (cause->at_limit[k] && !cause->fault[k]->kind->is_loss)
            return false;
        if (cause->n_faults > 1 && fabs(cause->x[k]) < NEXT_TO_NOTHING)
            return false;
    }
    for (i = 0; i < r->n; i++)
        if (fabs(shows[i] - f->expected[i]) > MOVES * r->gauges[i].within)
            return true;
    return false;
}

/* From the start as far down as it leads; no worse a point than `best`. */
static fc_status
fit_from(struct fci_least_squares *f, struct fci_cause *cause,
         const struct point *start, struct point *best)
{
    double *shows = f->work + f->readings->n;
    struct point p = *start;
    fc_status status = try_point(f, cause, &p, shows);

    if (status == FC_OK && p.chi2 < UNSETTLED && cause->n_unknowns > 0)
        status = iterate(f, cause, &p, shows);
    if (status == FC_OK && p.chi2 < best->chi2)
        *best = p;
    return status;
}

/* A pump or a reducer may hold at one start, so that no unknown moves it from
 * there: then from the next best. */
static fc_status
fit_unknowns(struct fci_least_squares *f, struct fci_cause *cause,
             struct point *p)
{
    struct point begin[2];
    fc_status status = find_starts(f, cause, begin, f->work + f->readings->n);

    p->chi2 = UNSETTLED;
    if (status == FC_OK && begin[0].chi2 < UNSETTLED)
        status = fit_from(f, cause, &begin[0], p);
    if (status == FC_OK && !(p->chi2 < begin[0].chi2)
        && begin[1].chi2 < UNSETTLED)
        status = fit_from(f, cause, &begin[1], p);
    return status;
}

fc_status
fci_cause_fit(struct fci_least_squares *f, struct fci_cause *cause)
{
    const size_t n = f->readings->n;
    double *shows = f->work + n;
    struct point p;
    fc_status status;
    size_t k;

    for (k = 0; k < cause->n_faults; k++)
        cause->n_unknowns += cause->fault[k]->kind->unknown != FCI_NONE_TO_FIT;
    if (cause->n_unknowns > n)
        return FC_OK;
    status = fit_unknowns(f, cause, &p);
    if (status == FC_OK && p.chi2 < UNSETTLED)
        status = try_point(f, cause, &p, shows);
    if (status != FC_OK || !(p.chi2 < UNSETTLED))
        return status;
    cause->chi2 = p.chi2;
    cause->found = is_sensible(f, cause, shows);
    cause->explains = explains(f->readings, cause, shows);
    cause->shows = fci_arena_copy(f->arena, shows, n * sizeof *shows);
    return cause->shows ? FC_OK : FC_ENOMEM;
}

/* ---- All of them ------------------------------------------------------- */

/* [S78]: half of ln n for each unknown. */
static double
log_weight(const struct fci_cause *cause, size_t n_readings)
{
    double sum = -0.5 * cause->chi2
                 - 0.5 * (double)cause->n_unknowns * log((double)n_readings);
    size_t k;

    for (k = 0; k < cause->n_faults; k++)
        sum += log(cause->fault[k]->prior);
    return sum;
}

void
fci_causes_weigh(struct fci_cause *causes, size_t n, size_t n_readings)
{
    double best = -INFINITY, sum = 0;
    size_t i;

    for (i = 0; i < n; i++)
        best = fmax(best, log_weight(&causes[i], n_readings));
    for (i = 0; i < n; i++) {
        causes[i].weight = exp(log_weight(&causes[i], n_readings) - best);
        sum += causes[i].weight;
    }
    for (i = 0; i < n; i++)
        causes[i].weight /= sum;
}

/* The heavier first; as they came where they weigh the same. */
static int
by_weight(const void *a, const void *b)
{
    const struct fci_cause *x = a, *y = b;

    if (x->weight > y->weight || x->weight < y->weight)
        return x->weight > y->weight ? -1 : 1;
    return (x->fault[0] > y->fault[0]) - (x->fault[0] < y->fault[0]);
}

static size_t
drop_unfound(struct fci_cause *causes, size_t n)
{
    size_t i, to = 0;

    for (i = 0; i < n; i++)
        if (causes[i].found)
            causes[to++] = causes[i];
    return to;
}

static bool
is_like(const struct fci_readings *r, const struct fci_cause *x,
        const struct fci_cause *y)
{
    size_t i;

    for (i = 0; i < r->n; i++)
        if (fabs(x->shows[i] - y->shows[i]) > LIKE * r->gauges[i].within)
            return false;
    return true;
}

/* The first of the pairs: the best ones that differ. */
static size_t
pick_first(const struct fci_readings *r, const struct fci_cause *singles,
           size_t n, const struct fci_cause **first)
{
    size_t i, k, picked = 0;

    for (i = 0; i < n && picked < PAIRED; i++) {
        for (k = 0; k < picked && !is_like(r, first[k], &singles[i]); k++)
            ;
        if (k == picked)
            first[picked++] = &singles[i];
    }
    return picked;
}

/* Whether the two cannot be tried together, or were; to doubt two readings
 * explains nothing. */
static bool
no_pair(const struct fci_cause *const *first, size_t i,
        const struct fci_fault *other)
{
    const struct fci_fault *one = first[i]->fault[0];
    size_t k;

    for (k = 0; k <= i; k++)
        if (first[k]->fault[0] == other)
            return true;
    if (other->alone || (fci_doubts(one) && fci_doubts(other)))
        return true;
    return one->element == other->element && one->kind->in_slot
           && other->kind->in_slot;
}

static fc_status
find_pairs(struct fci_least_squares *f, const struct fci_faults *faults,
           const struct fci_cause *singles, size_t n_singles,
           struct fci_cause *pairs, size_t *n)
{
    const struct fci_cause *first[PAIRED];
    const size_t n_first = pick_first(f->readings, singles, n_singles, first);
    fc_status status = FC_OK;
    size_t i, j;

    for (i = 0; i < n_first; i++)
        for (j = 0; j < faults->n && status == FC_OK; j++) {
            if (no_pair(first, i, &faults->list[j]))
                continue;
            pairs[*n] = (struct fci_cause){ .fault = { first[i]->fault[0],
                                                       &faults->list[j] },
                                            .x = { first[i]->x[0] },
                                            .n_faults = 2 };
            status = fci_cause_fit(f, &pairs[*n]);
            *n += pairs[*n].found;
        }
    return status;
}

static void
order(struct fci_cause *causes, size_t n, size_t n_readings)
{
    fci_causes_weigh(causes, n, n_readings);
    qsort(causes, n, sizeof *causes, by_weight);
}

static bool
any_explains(const struct fci_cause *causes, size_t n)
{
    size_t i;

    for (i = 0; i < n; i++)
        if (causes[i].explains)
            return true;
    return false;
}

fc_status
fci_causes_find(struct fci_least_squares *f, const struct fci_faults *faults,
                struct fci_cause **causes, size_t *n)
{
    struct fci_cause *list =
        calloc((PAIRED + 1) * faults->n + 1, sizeof *list);
    fc_status status = list ? FC_OK : FC_ENOMEM;
    size_t i, n_singles, n_pairs = 0;

    for (i = 0; status == FC_OK && i < faults->n; i++) {
        list[i] =
            (struct fci_cause){ .fault = { &faults->list[i] }, .n_faults = 1 };
        status = fci_cause_fit(f, &list[i]);
    }
    n_singles = status == FC_OK ? drop_unfound(list, faults->n) : 0;
    order(list, n_singles, f->readings->n);
    if (status == FC_OK && !any_explains(list, n_singles)) {
        status =
            find_pairs(f, faults, list, n_singles, list + n_singles, &n_pairs);
        order(list, n_singles + n_pairs, f->readings->n);
    }
    *causes = list;
    *n = n_singles + n_pairs;
    return status;
}
