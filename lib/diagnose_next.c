/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose_next.c -- the reading that tells the causes apart best.
 *
 * For every place where a gauge fits and every practical flushing set each
 * cause in play predicts a pressure.  A first pass keeps, by the weighted
 * variance of the predictions, the most promising pairs of a place and a set;
 * a second one gives the chance that such a reading tells two causes, drawn by
 * their weights, apart: two predictions d apart count as told apart by
 * (d / (2 within))^2, at most 1.
 *
 * A gauge off the way of what flows reads what the way has where its branch
 * leaves, but for the height, so that places off it tell nothing more.
 */
#include "diagnose.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define MOST_PROMISING 600
#define MOST_SETS 400
#define MOST_FLOOR 60    /* fixtures that flush at once */
#define SAME_FLOOR 0.6   /* m: inlets so near in height are on one floor */
#define SURELY 2.0       /* accuracies apart: told apart for sure */
#define EFFORT 0.004     /* of the chance, for every valve to be flushed */
#define WORTH_WHILE 0.02 /* less chance is not worth a reading */

struct pair {
    size_t set, place;
    double variance;
};

struct choosing {
    const struct fci_readings *readings;
    const struct fci_cause *causes;
    size_t n;
    struct fci_arena *arena;
    struct fci_tryout trial;
    bool *keep, *fixtures;
    double *height; /* of elements */
    struct fci_flushing_set *sets;
    size_t n_sets;
    struct fci_gauge_place *places;
    size_t n_places;
    double within;
    double *mean, *square, *base; /* by set and place */
    bool *failed;                 /* by set */
    struct pair *pairs;
    size_t n_pairs;
    double *shows; /* by cause and pair */
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

/* Fixtures on the way to what was read, and one on each branch of it. */
static bool
pick_fixtures(struct choosing *c)
{
    const fc_site *site = c->readings->site;
    size_t *root = malloc(site->n_elements * sizeof *root);
    bool *taken = calloc(site->n_elements, sizeof *taken);
    size_t i;

    for (i = 0; root && taken && i < site->n_elements; i++) {
        const size_t at = site->order[i], parent = site->elements[at].parent;

        root[at] = c->keep[at] || parent == FCI_NONE || c->keep[parent]
                       ? at
                       : root[parent];
    }
    for (i = 0; root && taken && i < site->n_fixtures; i++) {
        const size_t at = site->fixtures[i].element;

        if (!may_flush(c, i) || (!c->keep[at] && taken[root[at]]))
            continue;
        taken[root[at]] = true;
        c->fixtures[i] = true;
    }
    free(root);
    free(taken);
    return root && taken;
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

    if (x->height < y->height || x->height > y->height)
        return x->height < y->height ? -1 : 1;
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
    struct at_height *list = malloc(n * sizeof *list);
    size_t *floor = malloc(n * sizeof *floor);
    bool room = list && floor && add_set(c, 0);
    size_t i;

    c->n_sets = room;
    for (i = 0; room && i < site->n_fixtures; i++)
        if (c->fixtures[i])
            room = add_one(c, i, 1)
                   && (site->fixtures[i].count < 2 || add_one(c, i, 2));
    room = room && add_floors(c, list, floor);
    free(list);
    free(floor);
    return room;
}

/* ---- Places ------------------------------------------------------------ */

static bool
make_places(struct choosing *c)
{
    const fc_site *site = c->readings->site;
    size_t i;

    c->places = fci_arena_array(c->arena, site->n_elements + site->n_fixtures,
                                sizeof *c->places);
    if (!c->places)
        return false;
    for (i = 0; i < site->n_elements; i++)
        if (c->keep[i] && site->elements[i].to == FCI_NONE)
            c->places[c->n_places++] = (struct fci_gauge_place){ i, FCI_NONE };
    for (i = 0; i < site->n_fixtures; i++)
        if (c->fixtures[i])
            c->places[c->n_places++] =
                (struct fci_gauge_place){ site->fixtures[i].element, i };
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
    return fci_tryout_make(&c->trial, site, c->keep, c->fixtures, slots);
}

/* ---- The first pass: variance ------------------------------------------ */

static bool
settles(struct choosing *c, size_t set)
{
    const fc_status status = fci_tryout_run(&c->trial, &c->sets[set]);

    c->out_of_memory |= status == FC_ENOMEM;
    return status == FC_OK;
}

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
            double shown = fci_tryout_shows(&c->trial, c->places[p]);

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

    if (x->variance > y->variance || x->variance < y->variance)
        return x->variance > y->variance ? -1 : 1;
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
        fci_cause_apply(&c->trial, &c->causes[i]);
        status = fci_tryout_begin(&c->trial, c->readings->state, NULL);
        if (status == FC_OK)
            with(c, i);
        fci_tryout_end(&c->trial);
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
            settled ? fci_tryout_shows(&c->trial, c->places[c->pairs[i].place])
                    : NAN;
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
            sum += weight * chance(d / c->within);
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
    return high - low > c->within;
}

static bool
was_read(const struct choosing *c, const struct pair *pair)
{
    const struct fci_readings *r = c->readings;
    const struct fci_flushing_set *set = &c->sets[pair->set];
    const struct fci_gauge_place place = c->places[pair->place];
    size_t i;

    for (i = 0; i < r->n; i++) {
        const struct fci_flushing_set *event = &r->events[r->gauges[i].event];

        if (r->gauges[i].dimension == FC_PRESSURE
            && r->gauges[i].place.element == place.element
            && r->gauges[i].place.fixture == place.fixture
            && event->n == set->n
            && (set->n == 0
                || (set->n == 1 && event->open->fixture == set->open->fixture
                    && event->open->count == set->open->count)))
            return true;
    }
    return false;
}

static void
choose(struct choosing *c, struct fci_next *next)
{
    double best = 0;
    size_t i, k, chosen = 0;

    for (i = 0; i < c->n_pairs; i++) {
        const struct fci_flushing_set *set = &c->sets[c->pairs[i].set];
        double effort = 0, apart, score;

        for (k = 0; k < set->n; k++)
            effort += EFFORT * set->open[k].count;
        apart = told_apart(c, i);
        score = apart - fmin(effort, 0.5 * apart);
        if (!(apart >= WORTH_WHILE) || score <= best || !tells(c, i)
            || was_read(c, &c->pairs[i]))
            continue;
        best = score;
        chosen = i;
        next->apart = apart;
        next->found = true;
    }
    if (!next->found)
        return;
    next->set = c->sets[c->pairs[chosen].set];
    next->place = c->places[c->pairs[chosen].place];
    for (i = 0; i < c->n; i++)
        next->shows[i] = c->shows[i * c->n_pairs + chosen];
}

/* ---- The whole --------------------------------------------------------- */

static fc_status
look(struct choosing *c, struct fci_next *next)
{
    const size_t all = c->n_sets * c->n_places;
    struct pair *pairs = malloc((all + 1) * sizeof *pairs);
    fc_status status = FC_ENOMEM;

    c->mean = calloc(all + 1, sizeof *c->mean);
    c->square = calloc(all + 1, sizeof *c->square);
    c->base = calloc(all + 1, sizeof *c->base);
    c->failed = calloc(c->n_sets + 1, sizeof *c->failed);
    c->pairs = malloc(MOST_PROMISING * sizeof *c->pairs);
    c->shows = malloc(MOST_PROMISING * c->n * sizeof *c->shows);
    if (pairs && c->mean && c->square && c->base && c->failed && c->pairs
        && c->shows)
        status = for_each_cause(c, sum_predictions);
    if (status == FC_OK) {
        keep_promising(c, pairs);
        qsort(c->pairs, c->n_pairs, sizeof *c->pairs, by_set);
        status = for_each_cause(c, keep_predictions);
    }
    if (status == FC_OK)
        choose(c, next);
    free(pairs);
    free(c->mean);
    free(c->square);
    free(c->base);
    free(c->failed);
    free(c->pairs);
    free(c->shows);
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
    c.height = fci_heights_new(site);
    if (next->shows && c.keep && c.fixtures && c.sets && c.height
        && pick_fixtures(&c) && make_sets(&c))
        status = make_trial(&c);
    if (status == FC_OK && n > 1)
        status = look(&c, next);
    fci_tryout_free(&c.trial);
    free(c.height);
    return status;
}
