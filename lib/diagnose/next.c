/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/next.c -- the reading that tells the causes apart best.
 *
 * For every place where a gauge fits and every practical flushing set each
 * cause in play predicts a pressure, and for every valve that flushes alone
 * the flow of a timed flush.  Both are counted in accuracies, of a flow by its
 * logarithm, since its accuracy is a part of it.  A first pass keeps, by the
 * weighted variance of the predictions, the most promising pairs of a place
 * and a set; a second one gives the chance that such a reading tells two
 * causes, drawn by their weights, apart: two predictions d accuracies apart
 * count as told apart by (d / 2)^2, at most 1.
 *
 * A gauge off the way of what flows reads what the way has where its branch
 * leaves, but for the height, so that places off it tell nothing more.
 */
#include "diagnose/diagnose.h"
#include "ground/ties.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define MOST_PROMISING 600
#define MOST_SETS 400
#define MOST_FLOOR 60  /* fixtures that flush at once */
#define SAME_FLOOR 0.6 /* m: inlets so near in height are on one floor */
#define LIKE 0.1       /* of the accuracy: no nearer than one is to itself */
#define SURELY 2.0     /* accuracies apart: told apart for sure */
#define EFFORT 0.01    /* of the chance, for every valve to be flushed */
#define BARE                                                                  \
    0.7 /* of the chance: at a joint, where no gauge fits as a                \
           rule, next to an outlet or a device */
#define WORTH_WHILE 0.02 /* less chance is not worth a reading */
#define TIMED 0.5        /* of the chance: a timed flush next to a gauge */
#define LEAST_TOLD 1e-9  /* m3/s: no flow is told of less */

struct pair {
    size_t set, place;
    double variance;
};

/* What may be read. */
struct spot {
    struct fci_gauge_place at;
    bool timed; /* the flow of its valve, in place of a pressure */
    bool bare;  /* the end of a pipe that nothing hangs on */
};

struct choosing {
    const struct fci_readings *readings;
    const struct fci_cause *causes;
    size_t n;
    struct fci_arena *arena;
    struct fci_fault_trial trial;
    bool *keep, *fixtures;
    double *height; /* of elements */
    struct fci_flushing_set *sets;
    size_t n_sets;
    struct spot *places;
    size_t n_places;
    double within;
    double *mean, *square, *base; /* by set and place */
    bool *failed;                 /* by set */
    struct pair *pairs;
    size_t n_pairs;
    double *shows; /* by cause and pair */
    double *taken; /* by cause and gauge, were none of them wrong */
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

/* Fixtures that were read, those on the way to them, and one on each branch of
 * it. */
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

        if (!may_flush(c, i) || (!c->keep[at] && taken[root[at]]))
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
add_set(struct choosing *c, size_t n)
{
    struct fci_flushing_set *set = &c->sets[c->n_sets];

    set->first = FCI_NONE;
    set->n = 0;
    set->open = fci_arena_array(c->arena, n + 1, sizeof *set->open);
    return set->open != NULL;
}

static bool
add_one(struct choosing *c, size_t fixture, int count)
{
    struct fci_flushing_set *set = &c->sets[c->n_sets];

    if (c->n_sets == MOST_SETS)
        return true;
    if (!add_set(c, 1))
        return false;
    set->open[0] = (struct fci_open){ fixture, count };
    set->n = 1;
    c->n_sets++;
    return true;
}

/* All at about one height. */
static bool
add_floor(struct choosing *c, const size_t *at, size_t n)
{
    struct fci_flushing_set *set = &c->sets[c->n_sets];
    size_t i;

    if (c->n_sets == MOST_SETS || n < 2 || n > MOST_FLOOR)
        return true;
    if (!add_set(c, n))
        return false;
    for (i = 0; i < n; i++) {
        c->fixtures[at[i]] = true;
        set->open[i] =
            (struct fci_open){ at[i],
                               c->readings->site->fixtures[at[i]].count };
    }
    set->n = n;
    c->n_sets++;
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
add_floors(struct choosing *c, struct at_height *list, size_t *floor)
{
    const fc_site *site = c->readings->site;
    size_t i, k, n = 0, end;
    bool room = true;

    for (i = 0; i < site->n_fixtures; i++)
        if (may_flush(c, i))
            list[n++] = (struct at_height){ i, inlet_height(c, i) };
    qsort(list, n, sizeof *list, by_height);
    for (i = 0; room && i < n; i = end) {
        bool near = false;

        for (end = i;
             end < n && list[end].height - list[i].height < SAME_FLOOR;
             end++) {
            near |= c->keep[site->fixtures[list[end].fixture].element];
            floor[end - i] = list[end].fixture;
        }
        k = end - i;
        if (near)
            room = add_floor(c, floor, k);
    }
    return room;
}

static bool
make_sets(struct choosing *c)
{
    const fc_site *site = c->readings->site;
    const size_t n = site->n_fixtures + 1;
    struct at_height *list = fci_arena_array(&c->scratch, n, sizeof *list);
    size_t *floor = fci_arena_array(&c->scratch, n, sizeof *floor);
    bool room = list && floor && add_set(c, 0);
    size_t i;

    c->n_sets = room;
    for (i = 0; room && i < site->n_fixtures; i++)
        if (c->fixtures[i] && may_flush(c, i))
            room = add_one(c, i, 1)
                   && (site->fixtures[i].count < 2 || add_one(c, i, 2));
    return room && add_floors(c, list, floor);
}

/* ---- Places ------------------------------------------------------------ */

static void
add_place(struct choosing *c, size_t element, size_t fixture, bool timed,
          bool bare)
{
    c->places[c->n_places++] =
        (struct spot){ { element, fixture }, timed, bare };
}

static bool
make_places(struct choosing *c)
{
    const fc_site *site = c->readings->site;
    bool *carries =
        fci_arena_array(&c->scratch, site->n_elements, sizeof *carries);
    size_t i;

    c->places = fci_arena_array(
        c->arena, site->n_elements + 2 * site->n_fixtures, sizeof *c->places);
    if (!c->places || !carries)
        return false;
    for (i = 0; i < site->n_fixtures; i++)
        carries[site->fixtures[i].element] = true;
    for (i = 0; i < site->n_elements; i++)
        if (c->keep[i] && site->elements[i].to == FCI_NONE)
            add_place(c, i, FCI_NONE, false,
                      site->elements[i].pipe && !carries[i]);
    for (i = 0; i < site->n_fixtures; i++)
        if (c->fixtures[i]) {
            add_place(c, site->fixtures[i].element, i, false, false);
            add_place(c, site->fixtures[i].element, i, true, false);
        }
    return true;
}

static fc_status
make_trial(struct choosing *c)
{
    const fc_site *site = c->readings->site;
    bool *slots =
        fci_arena_copy(c->arena, c->keep, site->n_elements * sizeof *slots);
    size_t i;

    if (!slots)
        return FC_ENOMEM;
    for (i = 0; i < site->n_fixtures; i++)
        if (c->fixtures[i])
            fci_keep_way(site, c->keep, site->fixtures[i].element);
    if (!make_places(c))
        return FC_ENOMEM;
    return fci_fault_trial_make(&c->trial, site, c->keep, c->fixtures, slots);
}

static bool
settles(struct choosing *c, size_t set)
{
    const fc_status status = fci_fault_trial_run(&c->trial, &c->sets[set]);

    c->out_of_memory |= status == FC_ENOMEM;
    return status == FC_OK;
}

/* ---- Predictions, in accuracies ---------------------------------------- */

static double
in_accuracies(const struct choosing *c, bool flow, double value)
{
    return flow ? log(fmax(value, LEAST_TOLD)) / FCI_FLOW_WITHIN
                : value / c->within;
}

static double
out_of_accuracies(const struct choosing *c, bool flow, double value)
{
    return flow ? exp(value * FCI_FLOW_WITHIN) : value * c->within;
}

/* After a run; of a flush that cannot be timed while the set flushes the same
 * for all causes. */
static double
predicted(const struct choosing *c, size_t set, size_t place)
{
    const struct fci_flushing_set *s = &c->sets[set];
    const struct fci_gauge_place at = c->places[place].at;

    if (!c->places[place].timed)
        return in_accuracies(c, false, fci_fault_trial_shows(&c->trial, at));
    if (s->n != 1 || s->open[0].count != 1 || s->open[0].fixture != at.fixture)
        return 0;
    return in_accuracies(c, true, fci_fault_trial_flows(&c->trial, at));
}

/* ---- The first pass: variance ------------------------------------------ */

/* One cause's predictions; sets where the flows do not settle are none. */
static void
add_predictions(struct choosing *c, const struct fci_cause *cause, bool first)
{
    size_t s, p;

    for (s = 0; s < c->n_sets; s++) {
        if (c->failed[s])
            continue;
        c->failed[s] = !settles(c, s);
        for (p = 0; p < c->n_places && !c->failed[s]; p++) {
            const size_t at = s * c->n_places + p;
            double shown = predicted(c, s, p);

            if (first)
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

/* The most promising, sorted; the smallest sits at the end, to be replaced. */
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

static fc_status
for_each_cause(struct choosing *c,
               void (*with)(struct choosing *c, size_t cause))
{
    fc_status status = FC_OK;
    size_t i;

    for (i = 0; i < c->n && status != FC_ENOMEM; i++) {
        if (!fci_cause_apply(&c->trial, &c->causes[i], c->readings->state))
            return FC_ENOMEM;
        status = fci_fault_trial_begin(&c->trial, c->readings->state, NULL);
        if (status == FC_OK)
            with(c, i);
        fci_fault_trial_end(&c->trial);
    }
    return status == FC_ENOMEM || c->out_of_memory ? FC_ENOMEM : FC_OK;
}

static void
sum_predictions(struct choosing *c, size_t cause)
{
    add_predictions(c, &c->causes[cause], cause == 0);
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

static void
keep_predictions(struct choosing *c, size_t cause)
{
    size_t i, run = FCI_NONE;
    bool settled = true;

    for (i = 0; i < c->n_pairs; i++) {
        if (c->pairs[i].set != run) {
            run = c->pairs[i].set;
            settled = settles(c, run);
        }
        c->shows[cause * c->n_pairs + i] =
            settled ? predicted(c, run, c->pairs[i].place) : NAN;
    }
}

/* That two predictions so many accuracies apart are told apart. */
static double
chance(double d)
{
    return fmin(1, d * d / (SURELY * SURELY));
}

static double
told_apart(const struct choosing *c, size_t pair)
{
    double sum = 0, all = 0;
    size_t i, j;

    for (i = 0; i < c->n; i++)
        for (j = 0; j < i; j++) {
            const double d = fabs(c->shows[i * c->n_pairs + pair]
                                  - c->shows[j * c->n_pairs + pair]);
            const double weight = c->causes[i].weight * c->causes[j].weight;

            all += weight;
            sum += weight * chance(d);
        }
    return all > 0 ? sum / all : 0;
}

/* Whether any two are further apart than the gauge's accuracy. */
static bool
tells(const struct choosing *c, size_t pair)
{
    double low = INFINITY, high = -INFINITY;
    size_t i;

    for (i = 0; i < c->n; i++) {
        low = fmin(low, c->shows[i * c->n_pairs + pair]);
        high = fmax(high, c->shows[i * c->n_pairs + pair]);
    }
    return high - low > 1;
}

/* A reading that all causes put as far from one that was taken, but for its
 * being wrong, tells what that one told.  FCI_NONE: it is like none. */
static size_t
like_which(const struct choosing *c, size_t pair)
{
    const struct fci_readings *r = c->readings;
    const bool timed = c->places[c->pairs[pair].place].timed;
    size_t g, i;

    for (g = 0; g < r->n; g++) {
        const bool flow = r->gauges[g].dimension == FC_FLOW;
        double low = INFINITY, high = -INFINITY;

        for (i = 0; i < c->n; i++) {
            const double off =
                c->shows[i * c->n_pairs + pair]
                - in_accuracies(c, flow, c->taken[i * r->n + g]);

            low = fmin(low, off);
            high = fmax(high, off);
        }
        if (timed == flow && high - low < LIKE)
            return g;
    }
    return FCI_NONE;
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

/* The same place while the same flushes. */
static bool
is_same(const struct choosing *c, const struct pair *pair, size_t gauge)
{
    const struct fci_gauge *g = &c->readings->gauges[gauge];
    const struct fci_gauge_place place = c->places[pair->place].at;

    return (g->dimension == FC_FLOW) == c->places[pair->place].timed
           && g->place.element == place.element
           && g->place.fixture == place.fixture
           && fci_same_flushing(&c->readings->events[g->event],
                                &c->sets[pair->set]);
}

/* Only one that may be wrong is worth taking again, once, and as it was
 * taken. */
static bool
tells_nothing_new(const struct choosing *c, size_t pair)
{
    const size_t like = like_which(c, pair);

    return like != FCI_NONE
           && !(may_be_wrong(c, like)
                && fci_readings_times(c->readings, like) == 1
                && is_same(c, &c->pairs[pair], like));
}

/* The chance to tell two causes apart, less for what is tedious. */
static double
score_of(const struct choosing *c, size_t pair, double apart)
{
    const struct fci_flushing_set *set = &c->sets[c->pairs[pair].set];
    double effort = 0;
    size_t k;

    for (k = 0; k < set->n; k++)
        effort += EFFORT * set->open[k].count;
    apart -= fmin(effort, 0.5 * apart);
    if (c->places[c->pairs[pair].place].timed)
        return TIMED * apart;
    return c->places[c->pairs[pair].place].bare ? BARE * apart : apart;
}

static void
choose(struct choosing *c, struct fci_next *next)
{
    double best = 0;
    size_t i, chosen = 0;

    for (i = 0; i < c->n_pairs; i++) {
        const double apart = told_apart(c, i), score = score_of(c, i, apart);

        if (!(apart >= WORTH_WHILE) || !fci_is_less(best, score)
            || !tells(c, i) || tells_nothing_new(c, i))
            continue;
        best = score;
        chosen = i;
        next->apart = apart;
        next->found = true;
    }
    if (!next->found)
        return;
    next->set = c->sets[c->pairs[chosen].set];
    next->place = c->places[c->pairs[chosen].place].at;
    next->timed = c->places[c->pairs[chosen].place].timed;
    next->again = like_which(c, chosen);
    for (i = 0; i < c->n; i++)
        next->shows[i] = out_of_accuracies(c, next->timed,
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
    size_t i;

    c->mean = fci_arena_array(scratch, all + 1, sizeof *c->mean);
    c->square = fci_arena_array(scratch, all + 1, sizeof *c->square);
    c->base = fci_arena_array(scratch, all + 1, sizeof *c->base);
    c->failed = fci_arena_array(scratch, c->n_sets + 1, sizeof *c->failed);
    c->pairs = fci_arena_array(scratch, MOST_PROMISING, sizeof *c->pairs);
    c->shows =
        fci_arena_array(scratch, MOST_PROMISING * c->n, sizeof *c->shows);
    c->taken =
        fci_arena_array(scratch, c->n * c->readings->n, sizeof *c->taken);
    if (scratch->failed)
        return FC_ENOMEM;
    for (i = 0; i < c->n; i++)
        fci_cause_read_right(&c->causes[i], c->readings,
                             c->taken + i * c->readings->n);
    status = for_each_cause(c, sum_predictions);
    if (status != FC_OK)
        return status;
    keep_promising(c, pairs);
    qsort(c->pairs, c->n_pairs, sizeof *c->pairs, by_set);
    status = for_each_cause(c, keep_predictions);
    if (status == FC_OK)
        choose(c, next);
    return status;
}

fc_status
fci_next_find(struct fci_next *next, const struct fci_readings *readings,
              const struct fci_cause *causes, size_t n, const bool *kept,
              struct fci_arena *arena)
{
    const fc_site *site = readings->site;
    struct choosing c = { .readings = readings,
                          .causes = causes,
                          .n = n,
                          .arena = arena,
                          .within = fci_readings_widest(readings) };
    fc_status status = FC_ENOMEM;

    next->shows = fci_arena_array(arena, n + 1, sizeof *next->shows);
    c.keep = fci_arena_copy(arena, kept, site->n_elements * sizeof *kept);
    c.fixtures =
        fci_arena_array(arena, site->n_fixtures + 1, sizeof *c.fixtures);
    c.sets = fci_arena_array(arena, MOST_SETS + 1, sizeof *c.sets);
    c.height = fci_arena_array(&c.scratch, site->n_elements, sizeof *c.height);
    if (!arena->failed && c.height) {
        fci_heights(site, c.height);
        if (pick_fixtures(&c) && make_sets(&c))
            status = make_trial(&c);
    }
    if (status == FC_OK && n > 1)
        status = look(&c, next);
    fci_fault_trial_free(&c.trial);
    fci_arena_free(&c.scratch);
    return status;
}
