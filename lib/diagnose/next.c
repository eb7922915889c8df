/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/next.c -- the reading that tells the causes apart best.
 *
 * For every place where a gauge fits and every practical set of open valves
 * each cause in play predicts a pressure, and for every valve that flushes
 * alone the flow of a timed flush.  Both are counted in deviations, of a flow
 * by its logarithm, since its accuracy is a part of it.  A first pass keeps,
 * by the weighted variance of the predictions, the most promising pairs of a
 * place and a set; a second one gives the chance that such a reading tells two
 * causes, drawn by their weights, apart, when what is uncertain blurs both.
 *
 * A gauge off the way of what flows reads what the way has where its branch
 * leaves, but for the height, so that places off it tell nothing more.
 */
#include "diagnose/answer.h"
#include "diagnose/fault_kinds.h"
#include "ground/gsl_guard.h"
#include "ground/ties.h"

#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#define MOST_PROMISING 300
#define MOST_SETS 120
#define MOST_OTHER 3     /* readings that another gauge may take again */
#define MOST_NAMED 4     /* fixtures of a set: all are named wherever it is */
#define SAME_FLOOR 0.6   /* m: inlets so near in height are on one floor */
#define SURELY 3.5       /* deviations apart: told apart for sure */
#define STEP 0.1         /* of a range, for a slope */
#define WORTH_WHILE 0.02 /* less chance is not worth a reading */
#define WORTH_A_GAUGE 0.1
#define LEAST_TOLD 1e-9 /* m3/s: no flow is told of less */

/* What is tedious, as parts of the chance: another place than the last, other
 * valves, each valve, another gauge, a watch (common practice). */
#define MOVED 0.15
#define OTHER_SET 0.05
#define EACH_VALVE 0.02
#define OTHER_GAUGE 0.1
#define TIMED 0.2

struct pair {
    size_t set, place;
    double variance;
};

/* What may be read. */
struct spot {
    struct fci_gauge_place at;
    bool timed; /* the flow of its valve, in place of a pressure */
    bool other; /* again, with another gauge */
};

struct choosing {
    const struct fci_answering *answering;
    const struct fci_readings *readings;
    const struct fci_cause *causes;
    size_t n;
    struct fci_arena *arena;
    struct fci_fault_trial trial;
    struct fci_uncertain uncertain; /* the same unknowns, of this trial */
    bool *keep, *fixtures;
    double *height; /* of elements */
    struct fci_flushing_set *sets;
    size_t n_sets;
    struct spot *places;
    size_t n_places;
    size_t last;  /* the pressure that was read last, */
    size_t gauge; /* and the first, with the gauge that goes on reading */
    double deviation;
    double *mean, *square, *base; /* by set and place */
    bool *failed;                 /* by set */
    struct pair *pairs;
    size_t n_pairs;
    double *shows;  /* by cause and pair */
    double *blur;   /* by pair: the variance that is of what is uncertain */
    double *slopes; /* by unknown and pair */
    bool *same;     /* by two causes: they are at one place */
    struct fci_arena scratch;
    bool out_of_memory;
};

/* ---- Flushing sets ----------------------------------------------------- */

static bool
may_flush(const struct choosing *c, size_t fixture)
{
    const struct fci_fixture *f = &c->readings->site->fixtures[fixture];

    return fci_has_rate(f->valve[c->readings->state]);
}

static double
inlet_height(const struct choosing *c, size_t fixture)
{
    const struct fci_fixture *f = &c->readings->site->fixtures[fixture];

    return c->height[f->element] + f->given->rise.nominal;
}

/* Fixtures that were read, those on the way to them, flush valves or not, and
 * one on each branch of it. */
static bool
pick_fixtures(struct choosing *c)
{
    const fc_site *site = c->readings->site;
    size_t *root =
        fci_arena_array(&c->scratch, site->n_elements, sizeof *root);
    bool *taken =
        fci_arena_array(&c->scratch, site->n_elements, sizeof *taken);
    size_t i;

    if (!root || !taken)
        return false;
    for (i = 0; i < site->n_elements; i++) {
        const size_t at = site->order[i], parent = site->elements[at].parent;

        root[at] = c->keep[at] || parent == FCI_NONE || c->keep[parent]
                       ? at
                       : root[parent];
    }
    for (i = 0; i < site->n_fixtures; i++) {
        const size_t at = site->fixtures[i].element;

        if (c->keep[at]) {
            c->fixtures[i] = true;
            continue;
        }
        if (!may_flush(c, i) || taken[root[at]])
            continue;
        taken[root[at]] = true;
        c->fixtures[i] = true;
    }
    for (i = 0; i < c->readings->n; i++)
        if (c->readings->gauges[i].place.fixture != FCI_NONE)
            c->fixtures[c->readings->gauges[i].place.fixture] = true;
    return true;
}

static bool
add_set(struct choosing *c, const struct fci_open *open, size_t n)
{
    struct fci_flushing_set set = { .n = n, .first = FCI_NONE };
    size_t i;

    if (c->n_sets == MOST_SETS || n > MOST_NAMED)
        return true;
    set.open = fci_arena_array(c->arena, n + 1, sizeof *set.open);
    if (!set.open)
        return false;
    for (i = 0; i < n; i++)
        set.open[i] = open[i];
    for (i = 0; i < c->n_sets; i++)
        if (fci_same_flushing(&c->sets[i], &set))
            return true;
    c->sets[c->n_sets++] = set;
    return true;
}

struct at_height {
    size_t fixture;
    double height;
};

static int
by_height(const void *a, const void *b)
{
    const struct at_height *x = a, *y = b;

    const double one = fci_coarse(x->height), two = fci_coarse(y->height);

    if (one < two || one > two)
        return one < two ? -1 : 1;
    return (x->fixture > y->fixture) - (x->fixture < y->fixture);
}

/* Floors on which a fixture is picked that hangs on the way. */
static bool
add_floors(struct choosing *c, struct at_height *list)
{
    const fc_site *site = c->readings->site;
    struct fci_open open[MOST_NAMED];
    size_t i, k, n = 0, end;
    bool room = true;

    for (i = 0; i < site->n_fixtures; i++)
        if (may_flush(c, i))
            list[n++] = (struct at_height){ i, inlet_height(c, i) };
    qsort(list, n, sizeof *list, by_height);
    for (i = 0; room && i < n; i = end) {
        bool near = false;

        for (end = i;
             end < n && list[end].height - list[i].height < SAME_FLOOR; end++)
            near |= c->keep[site->fixtures[list[end].fixture].element];
        if (!near || end - i < 2 || end - i > MOST_NAMED)
            continue;
        for (k = i; k < end; k++) {
            c->fixtures[list[k].fixture] = true;
            open[k - i] =
                (struct fci_open){ list[k].fixture,
                                   site->fixtures[list[k].fixture].count };
        }
        room = add_set(c, open, end - i);
    }
    return room;
}

/* Nothing; what was open before; one valve and two of each place; a floor. */
static bool
make_sets(struct choosing *c)
{
    const struct fci_readings *r = c->readings;
    const fc_site *site = r->site;
    struct at_height *list =
        fci_arena_array(&c->scratch, site->n_fixtures + 1, sizeof *list);
    bool room = list && add_set(c, NULL, 0);
    size_t i;
    int count;

    for (i = 0; room && i < r->n_events; i++)
        room = add_set(c, r->events[i].open, r->events[i].n);
    for (i = 0; room && i < site->n_fixtures; i++)
        for (count = 1; room && c->fixtures[i] && may_flush(c, i) && count <= 2
                        && count <= site->fixtures[i].count;
             count++)
            room = add_set(c, &(struct fci_open){ i, count }, 1);
    return room && add_floors(c, list);
}

/* ---- Places ------------------------------------------------------------ */

static bool
was_read(const struct choosing *c, size_t element)
{
    size_t i;

    for (i = 0; i < c->readings->n; i++)
        if (c->readings->gauges[i].place.fixture == FCI_NONE
            && c->readings->gauges[i].place.element == element)
            return true;
    return false;
}

/* Where one was read, one fits. */
static bool
fits(const struct choosing *c, size_t element)
{
    const struct fci_part *part = c->readings->site->elements[element].part;

    return c->readings->site->elements[element].to == FCI_NONE
           && (fci_gauge_fits(part) || was_read(c, element));
}

static void
add_place(struct choosing *c, struct fci_gauge_place at, bool timed,
          bool other)
{
    c->places[c->n_places++] = (struct spot){ at, timed, other };
}

/* The first pressure, or the last; FCI_NONE: there is none. */
static size_t
pressure_at_end(const struct fci_readings *r, bool last)
{
    size_t i, at;

    for (i = 0; i < r->n; i++) {
        at = last ? r->n - 1 - i : i;
        if (r->gauges[at].dimension == FC_PRESSURE)
            return at;
    }
    return FCI_NONE;
}

static bool
by_same_gauge(const struct choosing *c, size_t a, size_t b)
{
    return fci_reading_same_gauge(c->readings->gauges[a].reading,
                                  c->readings->gauges[b].reading);
}

/* Whether a pressure was read by the gauge that goes on reading, and by no
 * other. */
static bool
is_once(const struct choosing *c, size_t reading)
{
    const struct fci_gauge *g = &c->readings->gauges[reading];
    size_t i;

    if (g->dimension != FC_PRESSURE || !by_same_gauge(c, reading, c->gauge))
        return false;
    for (i = c->readings->events[g->event].first; i != FCI_NONE;
         i = c->readings->gauges[i].next)
        if (fci_same_gauge(&c->readings->gauges[i], g)
            && !by_same_gauge(c, i, c->gauge))
            return false;
    return true;
}

static bool
make_places(struct choosing *c)
{
    const fc_site *site = c->readings->site;
    size_t i, others;

    c->places = fci_arena_array(
        c->arena, site->n_elements + 2 * site->n_fixtures + MOST_OTHER,
        sizeof *c->places);
    if (!c->places)
        return false;
    for (i = 0; i < site->n_elements; i++)
        if (c->keep[i] && fits(c, i))
            add_place(c, (struct fci_gauge_place){ i, FCI_NONE }, false,
                      false);
    for (i = 0; i < site->n_fixtures; i++) {
        const struct fci_gauge_place at = { site->fixtures[i].element, i };

        if (!c->fixtures[i])
            continue;
        if (fci_gauge_fits(site->fixtures[i].part))
            add_place(c, at, false, false);
        if (may_flush(c, i))
            add_place(c, at, true, false);
    }
    for (i = 0, others = 0; i < c->readings->n; i++)
        others += c->readings->gauges[i].dimension == FC_PRESSURE
                  && !by_same_gauge(c, i, c->gauge);
    for (i = c->readings->n; i-- > 0 && others < MOST_OTHER;)
        if (is_once(c, i)) {
            add_place(c, c->readings->gauges[i].place, false, true);
            others++;
        }
    return true;
}

/* ---- What is uncertain, of this trial ---------------------------------- */

static bool
carry_uncertain(struct choosing *c)
{
    const struct fci_uncertain *from = c->answering->uncertain;
    const struct fci_variant *before = &c->answering->fitting->trial->variant;
    const struct fci_variant *variant = &c->trial.variant;
    struct fci_uncertain *u = &c->uncertain;
    size_t i, k;

    *u = *from;
    u->list =
        fci_arena_copy(c->arena, from->list, (from->n + 1) * sizeof *u->list);
    u->parts =
        fci_arena_array(c->arena, variant->n_inputs + 1, sizeof *u->parts);
    if (c->arena->failed)
        return false;
    for (i = 0; i < variant->n_inputs; i++)
        u->parts[i] = fci_nominal_part(&variant->inputs[i]);
    for (k = 0; k < u->n; k++) {
        struct fci_unsure *unsure = &u->list[k];

        if (unsure->of != FCI_OF_INPUT)
            continue;
        for (i = 0; i < variant->n_inputs
                    && !fci_same_input(c->readings->site, &variant->inputs[i],
                                       &before->inputs[unsure->which]);
             i++)
            ;
        unsure->idle = i == variant->n_inputs;
        unsure->which = i;
    }
    return true;
}

static fc_status
make_trial(struct choosing *c)
{
    const fc_site *site = c->readings->site;
    bool *slots =
        fci_arena_copy(c->arena, c->keep, site->n_elements * sizeof *slots);
    fc_status status;
    size_t i;

    if (!slots)
        return FC_ENOMEM;
    for (i = 0; i < site->n_fixtures; i++)
        if (c->fixtures[i])
            fci_keep_way(site, c->keep, site->fixtures[i].element);
    if (!make_places(c))
        return FC_ENOMEM;
    status = fci_fault_trial_make(&c->trial, c->readings, c->keep, c->fixtures,
                                  slots);
    return status == FC_OK && !carry_uncertain(c) ? FC_ENOMEM : status;
}

/* ---- Predictions, in deviations ---------------------------------------- */

static double
in_deviations(const struct choosing *c, bool flow, double value)
{
    return flow ? log(fmax(value, LEAST_TOLD)) / (FCI_FLOW_WITHIN / sqrt(3))
                : value / c->deviation;
}

static double
out_of_deviations(const struct choosing *c, bool flow, double value)
{
    return flow ? exp(value * (FCI_FLOW_WITHIN / sqrt(3)))
                : value * c->deviation;
}

/* What the gauge that goes on reading shows more than there is. */
static double
off_by(const struct choosing *c, const struct fci_cause *cause)
{
    double off = 0;
    size_t gauge, k;

    if (c->gauge == FCI_NONE)
        return 0;
    gauge = c->uncertain.gauge[c->gauge];
    off = cause->u[gauge] * c->uncertain.list[gauge].size;
    for (k = 0; k < cause->n_faults; k++)
        if (cause->fault[k]->of_gauge != FCI_NONE
            && fci_reading_same_gauge(
                c->readings->gauges[cause->fault[k]->of_gauge].reading,
                c->readings->gauges[c->gauge].reading))
            off += cause->x[k] * cause->fault[k]->scale;
    return off;
}

/* How many times its volume a valve passes. */
static double
volume_times(const struct choosing *c, const struct fci_cause *cause,
             size_t fixture)
{
    const struct fci_fixture *fixtures = c->readings->site->fixtures;
    const fc_state state = c->readings->state;
    double times = 1;
    size_t k;

    for (k = 0; k < cause->n_faults; k++) {
        const struct fci_fault *fault = cause->fault[k];

        if (fault->kind == &fci_valve_volume
            && (fault->fixture == fixture
                || (fault->shared
                    && fixtures[fault->fixture].valve[state]
                           == fixtures[fixture].valve[state])))
            times *= exp(cause->x[k]);
    }
    return times;
}

/* The same reading, taken once; FCI_NONE: it is a new one. */
static size_t
same_as(const struct choosing *c, size_t set, size_t place)
{
    const struct fci_readings *r = c->readings;
    const struct spot *spot = &c->places[place];
    size_t i;

    for (i = 0; i < r->n; i++)
        if ((r->gauges[i].dimension == FC_FLOW) == spot->timed
            && r->gauges[i].place.element == spot->at.element
            && r->gauges[i].place.fixture == spot->at.fixture
            && fci_same_flushing(&r->events[r->gauges[i].event],
                                 &c->sets[set]))
            return i;
    return FCI_NONE;
}

/* After a run.  A flush is timed alone, and another gauge is held against what
 * the first one read: else the same of all causes. */
static double
predicted(struct choosing *c, const struct fci_cause *cause, size_t set,
          size_t place)
{
    const struct fci_flushing_set *s = &c->sets[set];
    const struct spot *spot = &c->places[place];
    const struct fci_gauge_place at = spot->at;

    if (spot->other)
        return same_as(c, set, place) == FCI_NONE
                   ? 0
                   : in_deviations(c, false,
                                   fci_fault_trial_shows(&c->trial, at));
    if (!spot->timed)
        return in_deviations(
            c, false, fci_fault_trial_shows(&c->trial, at) + off_by(c, cause));
    if (s->n != 1 || s->open[0].count != 1 || s->open[0].fixture != at.fixture)
        return 0;
    return in_deviations(c, true,
                         fci_fault_trial_flows(&c->trial, at)
                             / volume_times(c, cause, at.fixture));
}

static bool
settles(struct choosing *c, size_t set)
{
    const fc_status status = fci_fault_trial_run(&c->trial, &c->sets[set]);

    c->out_of_memory |= status == FC_ENOMEM;
    return status == FC_OK;
}

static fc_status
with_cause(struct choosing *c, const struct fci_cause *cause, size_t number,
           void (*with)(struct choosing *c, const struct fci_cause *cause,
                        size_t number))
{
    fc_status status;

    if (!fci_cause_apply(&c->trial, &c->uncertain, cause, c->readings->state))
        return FC_ENOMEM;
    status = fci_fault_trial_begin(&c->trial, c->readings->state, NULL);
    if (status == FC_OK)
        with(c, cause, number);
    fci_fault_trial_end(&c->trial);
    return status == FC_ENOMEM || c->out_of_memory ? FC_ENOMEM : FC_OK;
}

static fc_status
with_each(struct choosing *c,
          void (*with)(struct choosing *c, const struct fci_cause *cause,
                       size_t number))
{
    fc_status status = FC_OK;
    size_t i;

    for (i = 0; i < c->n && status == FC_OK; i++)
        status = with_cause(c, &c->causes[i], i, with);
    return status;
}

/* ---- The first pass: variance ------------------------------------------ */

/* Sets where the flows do not settle are none. */
static void
sum_predictions(struct choosing *c, const struct fci_cause *cause,
                size_t number)
{
    size_t s, p;

    for (s = 0; s < c->n_sets; s++) {
        if (c->failed[s])
            continue;
        c->failed[s] = !settles(c, s);
        for (p = 0; p < c->n_places && !c->failed[s]; p++) {
            const size_t at = s * c->n_places + p;
            double shown = predicted(c, cause, s, p);

            if (number == 0)
                c->base[at] = shown;
            shown -= c->base[at];
            c->mean[at] += cause->weight * shown;
            c->square[at] += cause->weight * shown * shown;
        }
    }
}

static int
by_variance(const void *a, const void *b)
{
    const struct pair *x = a, *y = b;

    const double one = fci_coarse(x->variance), two = fci_coarse(y->variance);

    if (one > two || one < two)
        return one > two ? -1 : 1;
    if (x->set != y->set)
        return x->set < y->set ? -1 : 1;
    return (x->place > y->place) - (x->place < y->place);
}

static void
keep_promising(struct choosing *c, struct pair *all)
{
    size_t s, p, n = 0;

    for (s = 0; s < c->n_sets; s++)
        for (p = 0; p < c->n_places && !c->failed[s]; p++) {
            const size_t at = s * c->n_places + p;

            all[n++] =
                (struct pair){ s, p,
                               c->square[at] - c->mean[at] * c->mean[at] };
        }
    qsort(all, n, sizeof *all, by_variance);
    c->n_pairs = n < MOST_PROMISING ? n : MOST_PROMISING;
    memcpy(c->pairs, all, c->n_pairs * sizeof *all);
}

/* ---- The second pass: who is told apart -------------------------------- */

static int
by_set(const void *a, const void *b)
{
    const struct pair *x = a, *y = b;

    if (x->set != y->set)
        return x->set < y->set ? -1 : 1;
    return (x->place > y->place) - (x->place < y->place);
}

/* Of all promising pairs into `shown`. */
static void
predict_pairs(struct choosing *c, const struct fci_cause *cause, double *shown)
{
    size_t i, run = FCI_NONE;
    bool settled = true;

    for (i = 0; i < c->n_pairs; i++) {
        if (c->pairs[i].set != run) {
            run = c->pairs[i].set;
            settled = settles(c, run);
        }
        shown[i] = settled ? predicted(c, cause, run, c->pairs[i].place)
                           : (double)NAN;
    }
}

static void
keep_predictions(struct choosing *c, const struct fci_cause *cause,
                 size_t number)
{
    predict_pairs(c, cause, c->shows + number * c->n_pairs);
}

static void
keep_slopes(struct choosing *c, const struct fci_cause *cause, size_t number)
{
    predict_pairs(c, cause, c->slopes + number * c->n_pairs);
}

/* How the pairs move with what is uncertain, at the likeliest cause. */
static fc_status
find_slopes(struct choosing *c)
{
    struct fci_cause near = c->causes[0];
    fc_status status = FC_OK;
    size_t i, j;

    near.u = fci_arena_copy(&c->scratch, c->causes[0].u,
                            (c->uncertain.n + 1) * sizeof *near.u);
    if (!near.u)
        return FC_ENOMEM;
    for (j = 0; j < c->uncertain.n && status == FC_OK; j++) {
        const struct fci_unsure *unsure = &c->uncertain.list[j];
        const double was = near.u[j];
        const double by = was + STEP > unsure->most ? -STEP : STEP;

        if (unsure->idle || unsure->steps || unsure->of == FCI_OF_GAUGE)
            continue;
        near.u[j] = was + by;
        status = with_cause(c, &near, j, keep_slopes);
        near.u[j] = was;
        for (i = 0; i < c->n_pairs; i++) {
            double *slope = &c->slopes[j * c->n_pairs + i];

            *slope = (*slope - c->shows[i]) / by;
            if (!isfinite(*slope))
                *slope = 0;
        }
    }
    return status;
}

/* The covariance of what is uncertain that the readings leave, by its Cholesky
 * factor; false: it has none. */
static bool
leave_uncertain(const struct choosing *c, double *left)
{
    const struct fci_uncertain *u = &c->uncertain;
    const double *slopes = c->answering->fitting->slopes;
    const size_t n = u->n, m = c->readings->n;
    gsl_matrix_view matrix;
    gsl_error_handler_t *host;
    bool good;
    size_t i, j, k;

    if (n == 0)
        return false;
    matrix = gsl_matrix_view_array(left, n, n);
    for (j = 0; j < n; j++)
        for (k = 0; k < n; k++) {
            const double wide = u->list[j].most - u->list[j].least;
            double sum = j == k ? 12 / (wide * wide) : 0;

            for (i = 0; i < m; i++)
                sum += slopes[j * m + i] * slopes[k * m + i];
            left[j * n + k] = sum;
        }
    host = fci_gsl_quiet();
    good = gsl_linalg_cholesky_decomp1(&matrix.matrix) == GSL_SUCCESS
           && gsl_linalg_cholesky_invert(&matrix.matrix) == GSL_SUCCESS;
    fci_gsl_restore(host);
    return good;
}

static fc_status
find_blur(struct choosing *c)
{
    const size_t n = c->uncertain.n;
    double *left = fci_arena_array(&c->scratch, n * n + 1, sizeof *left);
    fc_status status = left ? find_slopes(c) : FC_ENOMEM;
    size_t i, j, k;

    if (status != FC_OK || !leave_uncertain(c, left))
        return status;
    for (i = 0; i < c->n_pairs; i++)
        for (j = 0; j < n; j++)
            for (k = 0; k < n; k++)
                c->blur[i] += c->slopes[j * c->n_pairs + i] * left[j * n + k]
                              * c->slopes[k * c->n_pairs + i];
    return FC_OK;
}

static double
told_apart(const struct choosing *c, size_t pair)
{
    /* another gauge is off by something of its own */
    const double variance =
        1 + fmax(0, c->blur[pair]) + c->places[c->pairs[pair].place].other;
    double sum = 0, all = 0;
    size_t i, j;

    for (i = 0; i < c->n; i++)
        for (j = 0; j < i; j++) {
            const double d = c->shows[i * c->n_pairs + pair]
                             - c->shows[j * c->n_pairs + pair];
            const double weight = c->causes[i].weight * c->causes[j].weight;

            if (c->same[i * c->n + j])
                continue;
            if (!isfinite(d))
                continue;
            all += weight;
            sum += weight * fmin(1, d * d / variance / (SURELY * SURELY));
        }
    return all > 0 ? sum / all : 0;
}

static bool
may_be_wrong(const struct choosing *c, size_t gauge)
{
    size_t i, k;

    for (i = 0; i < c->n; i++)
        for (k = 0; k < c->causes[i].n_faults; k++)
            if (c->causes[i].fault[k]->gauge == gauge)
                return true;
    return false;
}

/* Only one that may be wrong is worth taking again, and once. */
static bool
tells_nothing_new(const struct choosing *c, size_t pair)
{
    const size_t same = same_as(c, c->pairs[pair].set, c->pairs[pair].place);

    return same != FCI_NONE && !c->places[c->pairs[pair].place].other
           && !(may_be_wrong(c, same)
                && fci_readings_times(c->readings, same) == 1);
}

/* The chance to tell two causes apart, less for what is tedious. */
static double
score_of(const struct choosing *c, size_t pair, double apart)
{
    const struct fci_flushing_set *set = &c->sets[c->pairs[pair].set];
    const struct spot *spot = &c->places[c->pairs[pair].place];
    double effort = spot->other ? OTHER_GAUGE : spot->timed ? TIMED : 0;
    size_t k;

    for (k = 0; k < set->n; k++)
        effort += EACH_VALVE * set->open[k].count;
    if (c->last != FCI_NONE) {
        const struct fci_gauge *last = &c->readings->gauges[c->last];

        if (last->place.element != spot->at.element
            || last->place.fixture != spot->at.fixture)
            effort += MOVED;
        if (!fci_same_flushing(&c->readings->events[last->event], set))
            effort += OTHER_SET;
    }
    return apart * (1 - fmin(effort, 0.5));
}

static void
choose(struct choosing *c, struct fci_next *next)
{
    size_t i, chosen = FCI_NONE;

    for (i = 0; i < c->n_pairs; i++) {
        const double apart = told_apart(c, i), score = score_of(c, i, apart);

        if (!(apart >= (c->places[c->pairs[i].place].other ? WORTH_A_GAUGE
                                                           : WORTH_WHILE))
            || !fci_is_less(next->score, score) || tells_nothing_new(c, i))
            continue;
        next->score = score;
        next->apart = apart;
        chosen = i;
    }
    if (chosen == FCI_NONE)
        return;
    next->set = c->sets[c->pairs[chosen].set];
    next->place = c->places[c->pairs[chosen].place].at;
    next->kind = c->places[c->pairs[chosen].place].timed ? FC_TASK_FLUSH_TIME
                                                         : FC_TASK_PRESSURE;
    next->other_gauge = c->places[c->pairs[chosen].place].other;
    next->again = same_as(c, c->pairs[chosen].set, c->pairs[chosen].place);
    for (i = 0; i < c->n; i++)
        next->shows[i] = out_of_deviations(c, next->kind == FC_TASK_FLUSH_TIME,
                                           c->shows[i * c->n_pairs + chosen]);
}

/* ---- The whole --------------------------------------------------------- */

static fc_status
look(struct choosing *c, struct fci_next *next)
{
    const size_t all = c->n_sets * c->n_places;
    struct fci_arena *scratch = &c->scratch;
    struct pair *pairs = fci_arena_array(scratch, all + 1, sizeof *pairs);
    fc_status status;
    size_t i, j;

    c->mean = fci_arena_array(scratch, all + 1, sizeof *c->mean);
    c->square = fci_arena_array(scratch, all + 1, sizeof *c->square);
    c->base = fci_arena_array(scratch, all + 1, sizeof *c->base);
    c->failed = fci_arena_array(scratch, c->n_sets + 1, sizeof *c->failed);
    c->pairs = fci_arena_array(scratch, MOST_PROMISING, sizeof *c->pairs);
    c->shows =
        fci_arena_array(scratch, MOST_PROMISING * c->n, sizeof *c->shows);
    c->blur = fci_arena_array(scratch, MOST_PROMISING, sizeof *c->blur);
    c->slopes = fci_arena_array(scratch, MOST_PROMISING * (c->uncertain.n + 1),
                                sizeof *c->slopes);
    c->same = fci_arena_array(scratch, c->n * c->n + 1, sizeof *c->same);
    if (scratch->failed)
        return FC_ENOMEM;
    for (i = 0; i < c->n; i++)
        for (j = 0; j < i; j++)
            c->same[i * c->n + j] =
                fci_same_place(c->readings, &c->causes[i], &c->causes[j]);
    status = with_each(c, sum_predictions);
    if (status != FC_OK)
        return status;
    keep_promising(c, pairs);
    qsort(c->pairs, c->n_pairs, sizeof *c->pairs, by_set);
    status = with_each(c, keep_predictions);
    if (status == FC_OK)
        status = find_blur(c);
    if (status == FC_OK)
        choose(c, next);
    return status;
}

fc_status
fci_next_reading(struct fci_next *next, const struct fci_answering *a)
{
    const fc_site *site = a->readings->site;
    struct choosing c = { .answering = a,
                          .readings = a->readings,
                          .causes = a->causes,
                          .n = a->n,
                          .arena = a->arena,
                          .last = pressure_at_end(a->readings, true),
                          .gauge = pressure_at_end(a->readings, false),
                          .deviation =
                              fci_readings_widest(a->readings) / sqrt(3) };
    fc_status status = FC_ENOMEM;

    c.keep =
        fci_arena_copy(a->arena, a->keep, site->n_elements * sizeof *c.keep);
    c.fixtures =
        fci_arena_array(a->arena, site->n_fixtures + 1, sizeof *c.fixtures);
    c.sets = fci_arena_array(a->arena, MOST_SETS + 1, sizeof *c.sets);
    c.height = fci_arena_array(&c.scratch, site->n_elements, sizeof *c.height);
    if (!a->arena->failed && c.height) {
        fci_heights(site, c.height);
        if (pick_fixtures(&c) && make_sets(&c))
            status = make_trial(&c);
    }
    if (status == FC_OK && a->n > 1)
        status = look(&c, next);
    fci_fault_trial_free(&c.trial);
    fci_arena_free(&c.scratch);
    return status;
}
