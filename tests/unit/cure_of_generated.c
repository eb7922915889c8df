/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/cure_of_generated.c -- what cures generated buildings, tried; and
 * all choices of pipes in the small ones of them.
 */
#include "site/pipe_size.h"
#include "generators/buildings.h"
#include "unit/cure_suite.h"
#include "unit/cure_trials.h"

#include "laws/friction.h"

#include <math.h>

/* ---- Whatever is found ------------------------------------------------- */

/* Nothing but pressure is to be short: supplies are wide, and maxima high in
 * three of four. */
static void
ease(struct building *b)
{
    size_t i;

    if (b->seed % 4 > 0)
        b->settings.maximum_static = fc_exactly(400 * PSI);
    for (i = 0; i < b->n_parts; i++) {
        struct building_part *part = &b->parts[i];

        if (part->kind == FCI_FIXTURE) {
            part->as.fixture.supply_size = fc_exactly(2 * INCH);
            part->as.fixture.bowl = (fc_range){ false, 0, 0, 0 };
        } else if (part->kind == FCI_VALVE && b->seed % 4 > 0)
            part->as.valve.maximum_static = (fc_range){ false, 0, 0, 0 };
    }
}

static void
move(fc_range *range, double by)
{
    if (range->given) {
        range->nominal += by;
        range->low += by;
        range->high += by;
    }
}

/* How far the supply may fall at the worst before a fixture is short; NAN: no
 * supply would do. */
static double
spare_of(const struct building *b)
{
    const fc_check_options options = { .peak_only = true };
    fc_check_result *check = NULL;
    fc_site *site = building_site(b, NULL);
    double spare = NAN;

    if (fc_check_with(site, &options, &check, NULL) == FC_OK) {
        const fc_range range =
            check->states[check->converted ? FC_RETROFIT : FC_EXISTING]
                .spare_pressure;

        spare = range.given ? range.low : NAN;
    }
    fc_check_result_free(check);
    fc_site_free(site);
    return spare;
}

/* With the supply so that it is short by so much. */
static void
starve(struct building *b, double by)
{
    fc_source *source = &b->parts[0].as.source;
    const double shift = -spare_of(b) - by;
    const double weight = 9790; /* of water, about [N/m3] */

    if (isnan(shift))
        return;
    if (source->kind == FC_TANK) {
        move(&source->water_level, shift / weight);
        move(&source->elevation, shift / weight);
    }
    move(&source->static_pressure, shift);
    move(&source->residual, shift);
    move(&source->pressure, shift);
}

/* With ample supply and low reducers, in one of three; false: there is no
 * reducer. */
static bool
choke(struct building *b)
{
    bool found = false;
    size_t i;

    for (i = 0; i < b->n_parts && b->seed % 3 == 0; i++)
        if (b->parts[i].kind == FCI_REDUCER) {
            b->parts[i].as.reducer.set =
                fc_exactly((double)(25 + b->seed % 20) * PSI);
            found = true;
        }
    if (found)
        starve(b, -50 * PSI);
    return found;
}

/* Short by one part in so many of 1 to 40 psi. */
static fc_site *
generated(unsigned long seed, size_t fewest, size_t most, double share)
{
    const struct building_plan plan = { .fewest = fewest,
                                        .most = most,
                                        .ranges = seed % 2 > 0 };
    struct building b;
    fc_site *site;

    building_make(&b, seed, &plan);
    ease(&b);
    if (!choke(&b))
        /* not by whole steps: what is on edge may fall either way */
        starve(&b, (0.03 + (double)(seed * 7 % 40 + 1) / share) * PSI);
    site = building_site(&b, NULL);
    building_free(&b);
    return site;
}

static bool
needs_are_known(const fc_site *site)
{
    struct fci_judge judge = { 0 };
    bool known = site && fci_judge_begin(&judge, site, NULL) == FC_OK;
    size_t i;

    for (i = 0; known && i < site->n_fixtures; i++)
        known =
            !site->fixtures[i].kind->flushes
            || fci_requirement_of(site, &site->fixtures[i],
                                  judge.converted ? FC_RETROFIT : FC_EXISTING)
                   .pressure.given;
    fci_judge_end(&judge);
    return known;
}

static void
assert_generated(fc_site *site, bool peak_only, const char *what,
                 unsigned long seed)
{
    char name[40];
    struct cured c;

    if (!needs_are_known(site)) {
        fc_site_free(site);
        return;
    }
    snprintf(name, sizeof name, "%s %lu", what, seed);
    cured_begin(&c, site, peak_only, name);
    assert_remedies(&c);
    cured_end(&c);
}

#define BUILDINGS 20

START_TEST(at_peak)
{
    const unsigned long seed = (unsigned long)_i;

    assert_generated(generated(seed, 2, 10, 8), true, "building", seed);
}
END_TEST

#define SMALL 8

/* Where valves draw by their own pressure, and open by chance. */
START_TEST(with_events)
{
    const struct building_plan plan = { .fewest = 4,
                                        .most = 13,
                                        .small = true,
                                        .ranges = _i % 2 > 0,
                                        .busy = true };
    const unsigned long seed = (unsigned long)_i;

    assert_generated(building_made(seed, &plan), false, "small building",
                     seed);
}
END_TEST

START_TEST(something_was_tried)
{
    /* pumps and reducers in place seldom cure a building: see
     * unit/cure_by_hand.c
     */
    static const fc_lever often[] = { FC_REPLACE_PIPES, FC_RAISE_SOURCE,
                                      FC_ADD_BOOSTER,   FC_LOWER_LOSS,
                                      FC_LOWER_MINIMUM, FC_KEEP_VALVES,
                                      FC_COMBINE };
    static const fc_lever in_vain[] = { FC_REPLACE_PIPES, FC_LOWER_LOSS,
                                        FC_LOWER_MINIMUM, FC_KEEP_VALVES };
    int i;

    for (i = 0; getenv("CURE_TALLY") && i < LEVERS; i++)
        fprintf(stderr, "%d: %d %d %d\n", i, tally.working[i],
                tally.serving[i], tally.useless[i]);
    if (getenv("CURE_TALLY"))
        fprintf(stderr, "%d stretches, %d larger, %d looped\n",
                tally.stretches, tally.larger, tally.looped);
    for (i = 0; i < COUNT(often); i++)
        ck_assert_int_gt(tally.working[often[i]], 3);
    for (i = 0; i < COUNT(in_vain); i++)
        ck_assert_int_gt(tally.useless[in_vain[i]], 3);
    ck_assert_int_gt(tally.useless[FC_RAISE_SOURCE], 0);
    ck_assert_int_gt(tally.serving[FC_RAISE_SOURCE], 3);
    ck_assert_int_gt(tally.serving[FC_ADD_BOOSTER], 3);
    /* also of those by hand, which are few in generated ones */
    ck_assert_int_gt(tally.working[FC_MOVE_FLOORS], 20);
    ck_assert_int_gt(tally.working[FC_ADD_RISER], 3);
    ck_assert_int_gt(tally.useless[FC_ADD_RISER], 20);
    ck_assert_int_gt(tally.working[FC_THROTTLE_STOPS], 0);
    ck_assert_int_gt(tally.stretches, 100);
    ck_assert_int_gt(tally.larger, 100);
    ck_assert_int_gt(tally.looped, 8);
    ck_assert_int_gt(tally.less_fails, 100);
    ck_assert_int_gt(tally.restored, 10);
    ck_assert_int_gt(tally.floors, 100);
}
END_TEST

/* ---- All choices of pipes ---------------------------------------------- */

#define MOST_PIPES 5
#define MOST_SIZES 24
#define MOST_TRIED 250
#define MOST_IN_VAIN 40 /* where none will do */

/* A size that a pipe may be replaced by. */
struct option {
    const struct fci_size *size; /* NULL: it stays */
    double cost;
};

struct all_choices {
    const struct cured *c;
    size_t n, element[MOST_PIPES], n_options[MOST_PIPES];
    struct option options[MOST_PIPES][MOST_SIZES];
    double flow[MOST_PIPES], limit[MOST_PIPES], least[MOST_PIPES];
};

static int tried_choices, tried_buildings, tried_hopeless;

/* 1-1/4 in of 40 ft: 50 inch-feet. */
static double
inch_feet(const struct fci_size *size, double length)
{
    return size->nominal / INCH * length / FOOT;
}

/* What a pipe may be.  One put in anew is larger than that in place, or as
 * large where that is rough, measured or not known for sure. */
static void
find_options(struct all_choices *all, size_t k)
{
    const struct fci_pipe *pipe = all->c->site->elements[all->element[k]].pipe;
    const fc_pipe *given = pipe->given;
    const bool like_new = !given->c.given && !given->inside_diameter.given;
    size_t i, n = 0;

    all->options[k][n++] = (struct option){ NULL, 0 };
    for (i = 0; pipe->material && i < pipe->material->n_sizes; i++) {
        const struct fci_size *size = &pipe->material->sizes[i];
        const double more = size->nominal - given->size.low;

        if (given->size.given && (like_new ? more < 1e-6 : more < -1e-6))
            continue;
        if (is_on_order(size->label) || size->nominal < all->least[k] - 1e-6
            || fci_velocity(all->flow[k], size->bore)
                   > all->limit[k] * (1 + 1e-9))
            continue;
        ck_assert_uint_lt(n, MOST_SIZES);
        all->options[k][n++] =
            (struct option){ size, inch_feet(size, given->length.nominal) };
    }
    all->n_options[k] = n;
}

/* The largest of the least supplies of what hangs on it. */
static double
least_supply(const struct cured *c, size_t element)
{
    double least = 0;
    size_t i;

    for (i = 0; i < c->site->n_fixtures; i++)
        if (c->site->fixtures[i].element == element)
            least =
                fmax(least, fci_requirement_of(c->site, &c->site->fixtures[i],
                                               c->all->state)
                                .supply_size);
    return least;
}

static bool
find_all_choices(struct all_choices *all, const struct cured *c, double most)
{
    struct fci_judge judge;
    double n = 1;
    size_t i;

    *all = (struct all_choices){ .c = c };
    ck_assert_int_eq(fci_judge_begin(&judge, c->site, NULL), FC_OK);
    for (i = 0; i < c->site->n_elements && n <= most; i++) {
        const size_t at = c->site->order[i], k = all->n;

        if (!c->site->elements[at].pipe || all->n == MOST_PIPES) {
            n = c->site->elements[at].pipe ? INFINITY : n;
            continue;
        }
        all->element[k] = at;
        all->flow[k] = judge.demand[c->all->state][at].flow[FCI_WORST];
        all->limit[k] = c->site->elements[at].pipe->velocity_limit;
        all->least[k] = least_supply(c, at);
        find_options(all, k);
        n *= (double)all->n_options[k];
        all->n++;
    }
    fci_judge_end(&judge);
    return n <= most;
}

/* None put in is larger than the pipe that feeds it, of which a size is
 * known. */
static bool
is_allowed(const struct all_choices *all, const size_t *choice)
{
    const fc_site *site = all->c->site;
    size_t k, i, at;

    for (k = 0; k < all->n; k++) {
        const struct fci_size *size = all->options[k][choice[k]].size;

        at = all->element[k];
        do
            at = site->elements[at].parent;
        while (at != FCI_NONE && !site->elements[at].pipe);
        if (!size || at == FCI_NONE)
            continue;
        for (i = 0; all->element[i] != at; i++)
            ;
        if (all->options[i][choice[i]].size) {
            if (size->nominal
                > all->options[i][choice[i]].size->nominal + 1e-6)
                return false;
        } else if (site->elements[at].pipe->given->size.given
                   && size->nominal
                          > site->elements[at].pipe->given->size.nominal
                                + 1e-6)
            return false;
    }
    return true;
}

static const char *
new_c(const fc_site *site, const struct fci_pipe *pipe)
{
    switch (fci_pipe_condition(site, pipe)) {
    case FC_CONDITION_UNKNOWN:
        return pipe->material->c_put_in_unknown;
    case FC_AGED:
        return pipe->material->c_put_in;
    default:
        return NULL;
    }
}

static bool
serves(const struct all_choices *all, const size_t *choice)
{
    struct fci_change list[3 * MOST_PIPES];
    const fc_site *site = all->c->site;
    size_t k, n = 0;
    fc_site *changed;
    bool served;

    for (k = 0; k < all->n; k++) {
        const struct fci_size *size = all->options[k][choice[k]].size;
        const struct fci_element *e = &site->elements[all->element[k]];

        if (!size)
            continue;
        list[n++] = (struct fci_change){ FCI_PIPE, e->name, "size",
                                         size->label, NULL };
        /* what is put in anew has the table's C of aged pipe, not of old */
        if (e->pipe->given->c.given || e->pipe->scale.given)
            list[n++] = (struct fci_change){ FCI_PIPE, e->name, "c",
                                             new_c(site, e->pipe), NULL };
        if (e->pipe->given->inside_diameter.given)
            list[n++] = (struct fci_change){ FCI_PIPE, e->name,
                                             "inside diameter", NULL, NULL };
    }
    changed = changed_site(site, list, n);
    served = is_served(all->c, changed, NULL, NULL);
    fc_site_free(changed);
    tried_choices++;
    return served;
}

static double
cost_of(const struct all_choices *all, const size_t *choice)
{
    double cost = 0;
    size_t k;

    for (k = 0; k < all->n; k++)
        cost += all->options[k][choice[k]].cost;
    return cost;
}

static bool
next(const struct all_choices *all, size_t *choice)
{
    size_t k;

    for (k = 0; k < all->n; k++) {
        if (++choice[k] < all->n_options[k])
            return true;
        choice[k] = 0;
    }
    return false;
}

/* The least cost of all choices that serve at peak, none dearer than `most`.
 */
static double
least_of_all(const struct all_choices *all, double most)
{
    size_t choice[MOST_PIPES] = { 0 };
    double least = INFINITY;

    do {
        const double cost = cost_of(all, choice);

        if (cost < fmin(least, most * (1 + 1e-9)) && is_allowed(all, choice)
            && serves(all, choice))
            least = cost;
    } while (next(all, choice));
    return least;
}

#define SMALL_TREES 120

START_TEST(least_of_all_pipes)
{
    fc_site *site = generated((unsigned long)_i, 2, 5, 40);
    struct all_choices all;
    const fc_remedy *r;
    char name[40];
    struct cured c;

    if (!needs_are_known(site)) {
        fc_site_free(site);
        return;
    }
    snprintf(name, sizeof name, "small tree %d", _i);
    cured_begin(&c, site, true, name);
    r = cured_by(&c, FC_REPLACE_PIPES, NULL);
    if (r && !is_served(&c, site, NULL, NULL)
        && find_all_choices(&all, &c, r->works ? MOST_TRIED : MOST_IN_VAIN)) {
        const double least = least_of_all(&all, r->works ? r->cost : INFINITY);

        if (r->works) {
            tried_buildings++;
            ck_assert_msg(fabs(least - r->cost) <= 1e-9 * r->cost,
                          "%s: %.9g, not %.9g: %s", name, least, r->cost,
                          r->text);
        } else if (isinf(least))
            tried_hopeless++;
        else /* served at peak: something else must fail */
            ck_assert_msg(strstr(r->text, "nothing that sizes cure"), "%s: %s",
                          name, r->text);
    }
    cured_end(&c);
}
END_TEST

START_TEST(choices_were_tried)
{
    if (getenv("CURE_TALLY"))
        fprintf(stderr, "%d choices, %d buildings, %d hopeless\n",
                tried_choices, tried_buildings, tried_hopeless);
    ck_assert_int_gt(tried_choices, 200);
    ck_assert_int_gt(tried_buildings, 5);
    ck_assert_int_gt(tried_hopeless, 10);
}
END_TEST

TCase *
cure_of_generated(void)
{
    TCase *t = tcase_create("generated");

    tcase_add_sampled_test(t, at_peak, BUILDINGS);
    tcase_add_sampled_test(t, with_events, SMALL);
    tcase_add_counting_test(t, something_was_tried);
    return t;
}

TCase *
cure_of_pipes(void)
{
    TCase *t = tcase_create("all pipes");

    tcase_add_sampled_test(t, least_of_all_pipes, SMALL_TREES);
    tcase_add_counting_test(t, choices_were_tried);
    return t;
}
