/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/weigh.c -- all that may explain the readings, and how likely
 * each is: that nothing is amiss, one fault, two at once.
 *
 * Each weighs by Bayes' rule: how often it is met, how likely the readings are
 * with it where it explains them best, and how small a part of what its
 * unknown may be they leave (D. J. C. MacKay, Information theory, inference
 * and learning algorithms, Cambridge 2003, section 28.1, "the Occam factor";
 * from memory).
 */
#include "diagnose/fault_kinds.h"
#include "diagnose/uncertain.h"
#include "diagnose/weigh.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* In a building that somebody looks into, a device gives trouble as often as
 * this; the priors of the tables are against it (common practice). */
#define RATE 0.03
/* A loss, or water that runs on, is as likely in any proportion over so many
 * times (common practice: from one psi or gpm to 150). */
#define PROPORTIONS 5.0106352940962555 /* ln 150 */
/* Two that go together more than this are told as if by so much. */
#define LEAST_APART 0.01
#define ROOT_2_PI 2.5066282746310002
/* With so little unexplained no fault comes near to that nothing is amiss. */
#define NOTHING_TO_EXPLAIN 2.0
/* Of more faults those are fitted that promise to explain most. */
#define MOST_SINGLES 200
/* So many of the likeliest are fitted with slopes of their own, lighter ones
 * than this part of the heaviest not. */
#define MOST_REFINED 12
#define REFINED 1e-4

/* ---- Weights ----------------------------------------------------------- */

/* How likely an unknown is, by its own unit of the search. */
static double
density(const struct fci_fault *fault, double x)
{
    if (fault->kind->unknown == FCI_ABOVE_0)
        return 1 / PROPORTIONS;
    /* what is off is seldom off by many times its scale */
    if (fault->usual->scale.given && fault->least < 0 && fault->most > 0)
        return exp(-fabs(x)) / 2;
    return 1 / (fault->most - fault->least);
}

/* What its unknowns may be, over what the readings leave of it: each counts by
 * itself, and what two have in common once. */
static double
log_weight(const struct fci_cause *cause)
{
    double sum = -0.5 * cause->strained;
    size_t k;

    for (k = 0; k < cause->n_faults; k++) {
        const struct fci_fault *fault = cause->fault[k];
        const double seen = cause->unseen && fault->seen > 1 ? 1 : fault->seen;

        sum += log(RATE * fault->prior * seen);
        if (fault->kind->unknown)
            sum += log(fmin(1, density(fault, cause->x[k]) * ROOT_2_PI
                                   * cause->sd[k]));
    }
    return cause->n_faults > 1 ? sum + log(fmax(LEAST_APART, cause->apart))
                               : sum;
}

void
fci_causes_weigh(struct fci_cause *causes, size_t n)
{
    double best = -INFINITY, sum = 0;
    size_t i;

    for (i = 0; i < n; i++)
        best = fmax(best, log_weight(&causes[i]));
    for (i = 0; i < n; i++) {
        causes[i].weight = exp(log_weight(&causes[i]) - best);
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
    if (x->fault[0] != y->fault[0])
        return x->fault[0] > y->fault[0] ? 1 : -1;
    return (x->fault[1] > y->fault[1]) - (x->fault[1] < y->fault[1]);
}

static void
order(struct fci_cause *causes, size_t n)
{
    fci_causes_weigh(causes, n);
    qsort(causes, n, sizeof *causes, by_weight);
}

/* What was seen is likely the cause only where it explains more than that
 * nothing is amiss: chi square of one unknown at 5 %. */
#define EXPLAINS_MORE 3.84

static void
doubt_seen(const struct fci_cause *sound, struct fci_cause *causes, size_t n)
{
    size_t i, k;

    for (i = 0; i < n; i++) {
        causes[i].unseen = false;
        for (k = 0; k < causes[i].n_faults; k++)
            causes[i].unseen |=
                causes[i].fault[k]->seen > 1 && sound->explains
                && sound->strained - causes[i].strained < EXPLAINS_MORE;
    }
}

/* ---- Where nothing is amiss -------------------------------------------- */

static bool
start_from(struct fci_least_squares *f, struct fci_cause *cause)
{
    const size_t n = f->uncertain->n;

    cause->chi2 = FCI_UNSETTLED;
    cause->u =
        fci_arena_copy(f->arena, f->uncertain->at, (n + 1) * sizeof *cause->u);
    return cause->u != NULL;
}

/* A size that is one of several: each in turn, all else fitted again. */
static fc_status
try_sizes(struct fci_least_squares *f, struct fci_cause *cause)
{
    const struct fci_uncertain *u = f->uncertain;
    fc_status status = FC_OK;
    size_t j, k;

    for (j = 0; j < u->n; j++) {
        const size_t n =
            u->list[j].steps
                ? f->trial->variant.inputs[u->list[j].which].n_sizes
                : 0;

        for (k = 0; k < n && status == FC_OK; k++) {
            struct fci_cause other = *cause;

            other.shows = NULL;
            other.u = fci_arena_copy(f->arena, cause->u,
                                     (u->n + 1) * sizeof *other.u);
            if (!other.u)
                return FC_ENOMEM;
            other.u[j] = ((double)k + 0.5) / (double)n;
            status = fci_cause_settle(f, &other, true);
            if (status == FC_OK && other.shows && other.found
                && other.aim < cause->aim)
                *cause = other;
        }
    }
    return status;
}

static void
find_unexplained(struct fci_least_squares *f)
{
    size_t i;

    for (i = 0; i < f->readings->n; i++)
        f->unexplained[i] = (f->readings->gauges[i].read - f->sound[i])
                            / fci_deviation(&f->readings->gauges[i]);
    fci_spread_divide(f, f->unexplained);
}

/* All that is fitted stands on the fit where nothing is amiss. */
static fc_status
stand_on(struct fci_least_squares *f, struct fci_cause *sound)
{
    fc_status status;

    memcpy(f->uncertain->at, sound->u, f->uncertain->n * sizeof *sound->u);
    f->sound = sound->shows;
    status =
        fci_uncertain_slopes(f->uncertain, f, sound, sound->shows, f->slopes);
    if (status == FC_OK)
        status = fci_spread_make(f);
    if (status != FC_OK)
        return status;
    find_unexplained(f);
    sound->strained = fci_cause_strain(f, sound);
    return FC_OK;
}

static fc_status
fit_sound(struct fci_least_squares *f, struct fci_cause *sound)
{
    fc_status status;

    *sound = (struct fci_cause){ .n_faults = 0 };
    if (!start_from(f, sound))
        return FC_ENOMEM;
    status = fci_cause_settle(f, sound, true);
    if (status == FC_OK && !sound->shows)
        return FC_ENOCONV;
    if (status == FC_OK)
        status = try_sizes(f, sound);
    if (status != FC_OK)
        return status;
    return stand_on(f, sound);
}

/* A valve that holds, or a reducer that does not, may keep the fit from the
 * best: once more from where the likeliest causes have what is uncertain. */
#define MOST_RETRIED 5

static fc_status
retry_sound(struct fci_least_squares *f, struct fci_cause *sound,
            struct fci_cause *causes, size_t n)
{
    fc_status status = FC_OK;
    bool better = false;
    size_t i;

    for (i = 0; i < n && i < MOST_RETRIED && status == FC_OK; i++) {
        struct fci_cause other = { .n_faults = 0 };

        other.u = fci_arena_copy(f->arena, causes[i].u,
                                 (f->uncertain->n + 1) * sizeof *other.u);
        if (!other.u)
            return FC_ENOMEM;
        if (causes[i].n_faults > 0)
            status = fci_cause_settle(f, &other, true);
        if (status != FC_OK || !other.shows || !(other.chi2 < sound->chi2))
            continue;
        *sound = other;
        better = true;
    }
    if (status == FC_OK && better)
        status = stand_on(f, sound);
    for (i = 0; i < n && status == FC_OK && better; i++)
        causes[i].strained = fci_cause_strain(f, &causes[i]);
    return status;
}

/* ---- Faults ------------------------------------------------------------ */

static int
by_size(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

/* So much may be left by a fault for it to be fitted. */
static fc_status
find_promising(struct fci_least_squares *f, const struct fci_row *rows,
               size_t n, double *most)
{
    double *promises = fci_arena_array(f->arena, n + 1, sizeof *promises);
    size_t i;

    if (!promises)
        return FC_ENOMEM;
    for (i = 0; i < n; i++)
        promises[i] = rows[i].promise;
    if (n > MOST_SINGLES)
        qsort(promises, n, sizeof *promises, by_size);
    *most = n > MOST_SINGLES ? promises[MOST_SINGLES] : INFINITY;
    return FC_OK;
}

static fc_status
start_singles(struct fci_least_squares *f, const struct fci_faults *faults,
              struct fci_row *rows)
{
    const size_t each = (FCI_MOST_STARTS + 1) * f->readings->n;
    double *shows =
        fci_arena_array(f->arena, faults->n * each + 1, sizeof *shows);
    fc_status status = shows ? FC_OK : FC_ENOMEM;
    size_t i;

    for (i = 0; i < faults->n && status == FC_OK; i++) {
        struct fci_cause cause = { .fault = { &faults->list[i] },
                                   .n_faults = 1,
                                   .u = f->uncertain->at };

        rows[i] = (struct fci_row){ .shows = shows + i * each };
        status = fci_cause_starts(f, &cause, &rows[i]);
    }
    return status;
}

static fc_status
fit_singles(struct fci_least_squares *f, const struct fci_faults *faults,
            struct fci_row *rows, struct fci_cause *list, size_t *n)
{
    fc_status status = start_singles(f, faults, rows);
    double most = 0;
    size_t i;

    *n = 0;
    if (status == FC_OK)
        status = find_promising(f, rows, faults->n, &most);
    for (i = 0; i < faults->n && status == FC_OK; i++) {
        struct fci_cause *cause = &list[*n];

        if (rows[i].best[0] == FCI_NONE || rows[i].promise > most)
            continue;
        *cause =
            (struct fci_cause){ .fault = { &faults->list[i] }, .n_faults = 1 };
        status = start_from(f, cause) ? fci_cause_fit(f, cause, &rows[i])
                                      : FC_ENOMEM;
        *n += status == FC_OK && cause->found;
    }
    return status;
}

/* The likeliest again, with slopes of their own, where what is uncertain is
 * more than the gauges. */
static fc_status
refine(struct fci_least_squares *f, struct fci_cause *causes, size_t n)
{
    fc_status status = FC_OK;
    bool inputs = false;
    size_t i;

    for (i = 0; i < f->uncertain->n; i++)
        inputs |= f->uncertain->list[i].of != FCI_OF_GAUGE;
    for (i = 0; i < n && i < MOST_REFINED && inputs && status == FC_OK
                && causes[i].weight >= REFINED * causes[0].weight;
         i++) {
        status = causes[i].n_faults > 0 ? fci_cause_settle(f, &causes[i], true)
                                        : FC_OK;
        if (status == FC_OK)
            status = try_sizes(f, &causes[i]);
    }
    return status;
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

/* Whether a look showed any of them. */
static bool
any_seen(const struct fci_faults *faults)
{
    size_t i;

    for (i = 0; i < faults->n; i++)
        if (faults->list[i].seen > 1)
            return true;
    return false;
}

fc_status
fci_causes_find(struct fci_least_squares *f, const struct fci_faults *faults,
                struct fci_cause **causes, size_t *n)
{
    const size_t most = 1 + faults->n + fci_most_pairs() + 1;
    struct fci_cause *list = fci_arena_array(f->arena, most, sizeof *list);
    struct fci_row *rows =
        fci_arena_array(f->arena, faults->n + 1, sizeof *rows);
    size_t n_singles = 0, n_pairs = 0;
    struct fci_cause sound;
    fc_status status;

    if (!list || !rows)
        return FC_ENOMEM;
    status = fit_sound(f, &list[0]);
    list[0].weight = 1;
    *causes = list;
    *n = 1;
    if (status != FC_OK
        || (list[0].explains && list[0].strained < NOTHING_TO_EXPLAIN
            && !f->contradicted && !any_seen(faults)))
        return status;
    status = fit_singles(f, faults, rows, list + 1, &n_singles);
    if (status == FC_OK)
        status = fci_pairs_find(f, faults, rows, list + 1, n_singles,
                                list + 1 + n_singles, &n_pairs);
    *n = 1 + n_singles + n_pairs;
    if (status != FC_OK)
        return status;
    order(list + 1, *n - 1);
    if (!list[0].explains)
        status = retry_sound(f, &list[0], list + 1, *n - 1);
    if (status != FC_OK)
        return status;
    sound = list[0];
    doubt_seen(&sound, list, *n);
    order(list, *n);
    status = refine(f, list, *n);
    *n = drop_unfound(list, *n);
    doubt_seen(&sound, list, *n);
    order(list, *n);
    return status;
}

const struct fci_cause *
fci_sound_of(const struct fci_cause *causes, size_t n)
{
    size_t i;

    for (i = 0; i < n; i++)
        if (causes[i].n_faults == 0)
            return &causes[i];
    return NULL;
}

/* That all were off which were read meanwhile is no single one. */
size_t
fci_doubted(const struct fci_cause *cause)
{
    size_t k;

    for (k = 0; k < cause->n_faults; k++)
        if (cause->fault[k]->gauge != FCI_NONE
            && cause->fault[k]->gauge == cause->fault[k]->last_gauge)
            return cause->fault[k]->gauge;
    return FCI_NONE;
}

/* What was measured otherwise than the file has it makes readings less likely
 * by so much: chi square of one unknown at 1 %. */
#define AGAINST 6.63

fc_status
fci_measured_against(struct fci_least_squares *f,
                     const struct fci_faults *faults,
                     const struct fci_cause *sound, bool *against)
{
    fc_status status = FC_OK;
    size_t i;

    *against = false;
    for (i = 0; i < faults->n && status == FC_OK && !*against; i++) {
        const struct fci_fault *fault = &faults->list[i];
        struct fci_cause cause = { .fault = { fault }, .n_faults = 1 };

        if (!fault->kind->measured || !(fault->seen > 1))
            continue;
        if (!start_from(f, &cause))
            return FC_ENOMEM;
        fci_cause_start(&cause, 0, 0);
        status = fci_cause_settle(f, &cause, true);
        *against = status == FC_OK
                   && (!cause.shows || cause.chi2 > sound->chi2 + AGAINST);
    }
    return status;
}
