/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/ladder.c -- how many valves may be open before one is short.
 *
 * Where more flow leaves less pressure, along the way of one fixture what asks
 * the source for the most is found exactly (flow/worst_set.c), for all numbers
 * of valves at once.  Up to the first number that asks for more than there is
 * nothing starves it; the set that does ask for more is then solved.  Where
 * the tables were too coarse to tell, finer ones are made; where those are too
 * coarse too, every set is solved (flow/all_sets.c), as in a network of loops.
 * Where those are too many the number is left open between what is proved and
 * a set that starves it.
 *
 * The least pressure that n valves leave is found by asking for what the worst
 * set known leaves, less what does not matter: either no set has less, or a
 * worse one is found and asked for in its turn, as in Dinkelbach's method
 * [D67].
 *
 * More valves leave less pressure in loops too, as every flow grows with the
 * pressure before it and falls with that behind it [R70]: where all of them
 * open are enough, so are any.
 *
 *   [D67]  W. Dinkelbach, Management Science 13 (1967) 492-498 (from memory)
 *   [R70]  W. C. Rheinboldt, Journal of Mathematical Analysis and Applications
 *          32 (1970) 274-307 (from memory)
 */
#include "flow/ladder.h"
#include "flow/all_sets.h"
#include "flow/behind.h"
#include "flow/solver_work.h"
#include "flow/twins.h"
#include "flow/worst_set.h"
#include "ground/ties.h"

#include <math.h>
#include <string.h>

/* So many valves are told apart at first. */
#define COUNTED 16

/* How finely: cells of a table, and pairs along the way. */
static const struct fineness {
    size_t cells, pairs;
} finenesses[] = { { 64, 12 }, { 512, 48 }, { 4096, 192 } };

#define FINENESSES (sizeof finenesses / sizeof *finenesses)

/* The finest only in a building with no more fixtures. */
#define FEW_FIXTURES 64

/* No more pairs are looked at for all fixtures of a building, but so many for
 * each of them. */
#define MOST_WORK 40000000
#define LEAST_WORK 300000
/* and where only the shortest ladder is looked for, for each that may be */
#define WORK_IN_SHORT 5000000

struct fci_ladder {
    const struct fci_network *network;
    struct fci_solver *solver;
    struct fci_at_links at;
    struct fci_repeats repeats;
    struct fci_open *near; /* all of them, those nearest to the fixture first;
                              its own is the first */
    size_t n_near;
    size_t *meets, *placed; /* room to put them in that order */
    bool ordered;           /* they are */
    double *pressures;
    double *all_open; /* pressure of each fixture with all of them open */
    bool all_known;
    int n_valves;

    bool parts; /* more flow leaves less, and branches are apart */
    struct fci_worst *worst;
    struct fci_most_drawn *drawn[FCI_ENDS][FINENESSES];
    struct fci_all_sets *sets;

    /* the climb at hand */
    size_t fixture;
    enum fci_end end;
    double least;
    size_t work;          /* that is left for it */
    struct fci_open *set; /* that is tried */
    size_t n_set;
    bool roughly;          /* the least pressure is not to be proved */
    struct fci_open *kept; /* that starves it */
    size_t n_kept;
};

/* ---- Memory ----------------------------------------------------------- */

static bool
make_room(struct fci_ladder *l)
{
    const size_t n = l->network->n_links, m = l->network->site->n_fixtures;
    struct fci_arena *arena = fci_arena_of(l);

    l->near = fci_arena_array(arena, m + 1, sizeof *l->near);
    l->meets = fci_arena_array(arena, n + 1, sizeof *l->meets);
    l->placed = fci_arena_array(arena, n + 2, sizeof *l->placed);
    l->set = fci_arena_array(arena, m + 1, sizeof *l->set);
    l->kept = fci_arena_array(arena, m + 1, sizeof *l->kept);
    l->pressures =
        fci_arena_array(arena, (size_t)l->n_valves + 1, sizeof *l->pressures);
    l->all_open = fci_arena_array(arena, m + 1, sizeof *l->all_open);
    return fci_network_at(l->network, arena, &l->at)
           && fci_repeats_find(&l->repeats, arena, l->network, &l->at);
}

struct fci_ladder *
fci_ladder_new(const struct fci_network *network, struct fci_solver *solver)
{
    struct fci_ladder *l = fci_object_new(sizeof *l);
    size_t i;

    if (!l)
        return NULL;
    l->network = network;
    l->solver = solver;
    for (i = 0; i < network->site->n_fixtures; i++)
        if (network->outlets[i].flushes)
            l->n_valves += network->site->fixtures[i].count;
    if (make_room(l)) {
        l->parts = fci_more_leaves_less(network);
        l->worst = fci_worst_new(network, &l->at);
        l->sets = fci_all_sets_new(network, solver);
    }
    if (l->worst && l->sets)
        return l;
    fci_ladder_free(l);
    return NULL;
}

void
fci_ladder_free(struct fci_ladder *l)
{
    size_t end, i;

    if (!l)
        return;
    for (end = 0; end < FCI_ENDS; end++)
        for (i = 0; i < FINENESSES; i++)
            fci_most_drawn_free(l->drawn[end][i]);
    fci_worst_free(l->worst);
    fci_all_sets_free(l->sets);
    fci_object_free(l);
}

/* ---- Some set --------------------------------------------------------- */

/* Whether a pressure is short, by more than rounding. */
static bool
is_short(double pressure, double least)
{
    return !(pressure >= least - FCI_SOLVED_TO);
}

/* Solve a set. */
static fc_status
solve_set(struct fci_ladder *l, double *pressure)
{
    const fc_status status = fci_solver_run(l->solver, l->set, l->n_set);

    if (status == FC_OK)
        *pressure = fci_solver_drawn(l->solver)[0].pressure;
    return status;
}

/* Where what hangs on each link meets the way: 0 at the fixture. */
static void
find_meets(struct fci_ladder *l)
{
    const struct fci_network *network = l->network;
    size_t i, link, n = 0;

    for (i = 0; i < network->n_links; i++)
        l->meets[i] = FCI_NONE;
    for (link = network->outlets[l->fixture].link; link != FCI_NONE;
         link = network->links[link].parent)
        l->meets[link] = n++;
    for (i = 0; i < network->n_links; i++)
        if (l->meets[i] == FCI_NONE)
            l->meets[i] = network->links[i].parent == FCI_NONE
                              ? n - 1
                              : l->meets[network->links[i].parent];
}

/* What is near runs through most of the way. */
static void
order_valves(struct fci_ladder *l)
{
    const struct fci_network *network = l->network;
    const size_t m = network->site->n_fixtures;
    size_t i, n = network->n_links;

    if (l->ordered)
        return;
    find_meets(l);
    memset(l->placed, 0, (n + 2) * sizeof *l->placed);
    for (i = 0; i < m; i++)
        if (network->outlets[i].flushes && i != l->fixture)
            l->placed[l->meets[network->outlets[i].link] + 1]++;
    l->placed[0] = 1;
    for (i = 0; i < n; i++)
        l->placed[i + 1] += l->placed[i];
    l->near[0] =
        (struct fci_open){ l->fixture,
                           network->site->fixtures[l->fixture].count };
    l->n_near = l->placed[n];
    for (i = 0; i < m; i++)
        if (network->outlets[i].flushes && i != l->fixture)
            l->near[l->placed[l->meets[network->outlets[i].link]]++] =
                (struct fci_open){ i, network->site->fixtures[i].count };
    l->ordered = true;
}

/* The n nearest valves. */
static fc_status
try_nearest(struct fci_ladder *l, size_t n, double *pressure)
{
    size_t i, left = n;

    order_valves(l);
    for (i = 0; i < l->n_near && left > 0; i++) {
        const size_t count = (size_t)l->near[i].count;

        l->set[i] = l->near[i];
        l->set[i].count = (int)(count < left ? count : left);
        left -= (size_t)l->set[i].count;
    }
    l->n_set = i;
    return solve_set(l, pressure);
}

/* With all of them open, at the nominal inputs: once for all fixtures. */
static fc_status
find_all_open(struct fci_ladder *l)
{
    const struct fci_drawn *drawn = fci_solver_drawn(l->solver);
    double pressure;
    fc_status status;
    size_t i;

    if (l->all_known)
        return FC_OK;
    fci_solver_take(l->solver, FCI_NOMINAL, FCI_NONE);
    status = try_nearest(l, (size_t)l->n_valves, &pressure);
    for (i = 0; i < l->n_set && status == FC_OK; i++)
        l->all_open[drawn[i].fixture] = drawn[i].pressure;
    l->all_known = status == FC_OK;
    return status;
}

/* Whether a fixture keeps enough with all of them open; most do not.  What is
 * short at the nominal inputs is so at the worst, and what is not is not at
 * the best. */
static fc_status
try_all(struct fci_ladder *l, bool *enough)
{
    double pressure;
    fc_status status = find_all_open(l);

    *enough = status == FC_OK && !is_short(l->all_open[l->fixture], l->least);
    if (status != FC_OK || l->end == FCI_NOMINAL || l->network->exact
        || *enough == (l->end == FCI_BEST))
        return status;
    fci_solver_take(l->solver, l->end, l->fixture);
    status = try_nearest(l, (size_t)l->n_valves, &pressure);
    *enough = status == FC_OK && !is_short(pressure, l->least);
    return status;
}

/* ---- The worst set ---------------------------------------------------- */

/* A table that tells so many apart; NULL: out of memory. */
static const struct fci_most_drawn *
drawn_of(struct fci_ladder *l, size_t fine, size_t counted)
{
    struct fci_most_drawn **drawn = &l->drawn[l->end][fine];
    const size_t valves = (size_t)l->n_valves;
    struct fci_drawn_plan plan = { l->end, COUNTED, finenesses[fine].cells };
    const struct fci_most_drawn *known = *drawn;

    if (known && known->counted >= counted)
        return known;
    while (plan.counted < counted)
        plan.counted *= 2;
    plan.counted = plan.counted < valves ? plan.counted : valves;
    fci_most_drawn_free(*drawn);
    *drawn = fci_most_drawn_new(l->network, &l->at, &l->repeats, &plan);
    return *drawn;
}

static size_t
finest(const struct fci_ladder *l)
{
    return FINENESSES - (l->network->site->n_fixtures > FEW_FIXTURES);
}

/* Nothing is told where the work that is left does not do; then none is. */
static fc_status
ask(struct fci_ladder *l, size_t fine, double pressure, size_t others)
{
    const struct fci_most_drawn *drawn = drawn_of(l, fine, others + 1);
    const struct fci_worst_question question = { l->fixture, pressure, others,
                                                 finenesses[fine].pairs };

    return drawn && fci_worst_ask(l->worst, drawn, &question, &l->work)
               ? FC_OK
               : FC_ENOMEM;
}

/* The one with so many others that asks for the most. */
static fc_status
try_set(struct fci_ladder *l, size_t others, double *pressure)
{
    if (!fci_worst_set(l->worst, others, l->set, &l->n_set))
        return FC_ENOMEM;
    return solve_set(l, pressure);
}

/* All sets of so many. */
static fc_status
try_every(struct fci_ladder *l, size_t n, double *pressure)
{
    fc_status status;

    fci_all_sets_take(l->sets, l->end, l->fixture);
    status = fci_all_sets_least(l->sets, n, pressure);
    fci_solver_forget(l->solver);
    fci_solver_take(l->solver, l->end, l->fixture);
    return status;
}

static void
keep_set(struct fci_ladder *l)
{
    memcpy(l->kept, l->set, l->n_set * sizeof *l->kept);
    l->n_kept = l->n_set;
}

/* ---- How many --------------------------------------------------------- */

struct finding {
    size_t known;    /* so many surely leave it enough */
    size_t starving; /* so many do not, those that are kept; 0: none are known
                      */
    double pressure; /* that those leave it */
};

static void
found_starving(struct fci_ladder *l, struct finding *f, size_t n,
               double pressure)
{
    keep_set(l);
    f->starving = n;
    f->pressure = pressure;
}

/* About twice as many; first as many as the first table tells apart. */
static size_t
more_than(size_t others)
{
    const size_t more = 2 * others + 1, told = COUNTED - 1;

    return others < told && told < more ? told : more;
}

/* By what is asked of the source; it goes on until that does not tell. */
static fc_status
find_by_asking(struct fci_ladder *l, struct finding *f, size_t others)
{
    const size_t valves = (size_t)l->n_valves;
    const double asked = l->least - FCI_SOLVED_TO;
    fc_status status = FC_OK;
    size_t fine = 0, k;
    double pressure;

    while (status == FC_OK && f->known < valves && fine < finest(l)) {
        others = others < valves - 1 ? others : valves - 1;
        others = others < FCI_MOST_COUNTED - 1 ? others : FCI_MOST_COUNTED - 1;
        if (others < f->known)
            break;
        status = ask(l, fine, asked, others);
        if (l->work == 0)
            break;
        for (k = f->known; status == FC_OK && k <= others
                           && !(fci_worst_asked(l->worst, k) > 0);
             k++)
            f->known = k + 1;
        if (status != FC_OK || k > others) {
            others = more_than(others);
            fine = 0;
            continue;
        }
        status = try_set(l, k, &pressure);
        if (status == FC_OK && is_short(pressure, l->least)) {
            found_starving(l, f, k + 1, pressure);
            break;
        }
        others = k;
        fine++;
    }
    return status;
}

/* By solving every set. */
static fc_status
find_by_trying(struct fci_ladder *l, struct finding *f)
{
    fc_status status = FC_OK;
    double pressure;

    while (status == FC_OK && f->known < (size_t)l->n_valves
           && f->starving == 0) {
        status = try_every(l, f->known + 1, &pressure);
        if (status != FC_OK)
            break;
        if (is_short(pressure, l->least)) {
            fci_all_sets_worst(l->sets, f->known + 1, l->set, &l->n_set);
            found_starving(l, f, f->known + 1, pressure);
        } else {
            f->known++;
        }
    }
    return status == FC_EUNSUPPORTED ? FC_OK : status;
}

/* A set that starves it, where all of them do: about the fewest of the
 * nearest. */
static fc_status
find_some(struct fci_ladder *l, struct finding *f)
{
    size_t low = f->known, high = low, step = 1;
    fc_status status = FC_OK;
    bool starves = false;
    double pressure;

    while (status == FC_OK && (!starves || high - low > 1)) {
        size_t n = low + (high - low) / 2;

        if (!starves) {
            n = low + step;
            n = n < (size_t)l->n_valves ? n : (size_t)l->n_valves;
            step *= 2;
        }
        status = try_nearest(l, n, &pressure);
        if (status != FC_OK)
            break;
        if (is_short(pressure, l->least) || n == (size_t)l->n_valves) {
            starves = true;
            high = n;
            found_starving(l, f, n, pressure);
        } else {
            low = n;
        }
    }
    return status;
}

/* ---- How little ------------------------------------------------------- */

/* The least pressure that n leave, from what some of them do; whether that is
 * proved.  `keep`: the set that does is kept. */
static fc_status
find_least(struct fci_ladder *l, size_t n, double *least, bool keep,
           bool *proved)
{
    fc_status status = FC_OK;
    size_t fine = 0;
    double there;

    *proved = n == 1;
    while (l->parts && n <= FCI_MOST_COUNTED && l->work > 0 && !*proved
           && status == FC_OK && fine < (l->roughly ? 1 : finest(l))) {
        status = ask(l, fine, *least - FCI_WORST_TO / 2, n - 1);
        if (status != FC_OK || l->work == 0)
            break;
        *proved = !(fci_worst_asked(l->worst, n - 1) > 0);
        if (*proved)
            break;
        status = try_set(l, n - 1, &there);
        if (status == FC_OK && there < *least - FCI_SOLVED_TO) {
            *least = there;
            if (keep)
                keep_set(l);
        } else {
            fine++;
        }
    }
    if (status != FC_OK || *proved || l->roughly)
        return status;
    status = try_every(l, n, &there);
    *proved = status == FC_OK;
    if (*proved && there < *least) {
        *least = there;
        if (keep) {
            fci_all_sets_worst(l->sets, n, l->set, &l->n_set);
            keep_set(l);
        }
    }
    return status == FC_EUNSUPPORTED ? FC_OK : status;
}

/* What the nearest leave, where that is less. */
static fc_status
try_lower(struct fci_ladder *l, size_t n, double *least)
{
    double there;
    const fc_status status = try_nearest(l, n, &there);

    if (status == FC_OK)
        *least = fmin(*least, there);
    return status;
}

/* The least pressures of up to n valves; those of fewer only if asked for. */
static fc_status
find_pressures(struct fci_ladder *l, const struct finding *f, size_t n,
               enum fci_ladder_depth depth, bool *worst)
{
    fc_status status = FC_OK;
    bool proved = true;
    size_t k;

    *worst = true;
    if (f->starving == n && n > 1) {
        l->pressures[n - 1] = f->pressure;
        status = find_least(l, n, &l->pressures[n - 1], true, &proved);
    }
    *worst = proved;
    for (k = 2; status == FC_OK && k <= n - (f->starving == n); k++) {
        l->pressures[k - 1] = l->pressures[k - 2];
        proved = false;
        if (depth == FCI_EVERY_NUMBER)
            status = find_least(l, k, &l->pressures[k - 1], false, &proved);
        if (status == FC_OK && !proved)
            status = try_lower(l, k, &l->pressures[k - 1]);
        *worst &= proved;
    }
    return status;
}

/* ---- The whole -------------------------------------------------------- */

static fc_status
pressure_alone(struct fci_ladder *l, double *pressure)
{
    l->set[0] = (struct fci_open){ l->fixture, 1 };
    l->n_set = 1;
    return solve_set(l, pressure);
}

static fc_status
find(struct fci_ladder *l, struct finding *f, bool all)
{
    const size_t valves = (size_t)l->n_valves;
    fc_status status = pressure_alone(l, &l->pressures[0]);
    double left;
    int surely;

    if (status != FC_OK)
        return status;
    if (is_short(l->pressures[0], l->least)) {
        found_starving(l, f, 1, l->pressures[0]);
        return FC_OK;
    }
    f->known = all ? valves : 1;
    if (l->parts && !all) {
        status = fci_ladder_surely(l, l->fixture, l->end, l->least,
                                   FCI_MOST_COUNTED, &surely, &left);
        if (status == FC_OK && f->known < (size_t)surely)
            f->known = (size_t)surely;
        if (surely >= COUNTED && l->work == LEAST_WORK)
            l->work = 0; /* it would not do */
        if (status == FC_OK && l->work > 0)
            status = find_by_asking(l, f, (size_t)surely + 1);
    }
    if (status == FC_OK && f->starving == 0)
        status = find_by_trying(l, f);
    if (status == FC_OK && f->starving == 0 && f->known < valves)
        status = find_some(l, f);
    return status;
}

fc_status
fci_ladder_climb(struct fci_ladder *l, size_t fixture, enum fci_end end,
                 double least, enum fci_ladder_depth depth,
                 struct fci_rungs *rungs)
{
    struct finding f = { 0 };
    fc_status status;
    size_t n;

    *rungs = (struct fci_rungs){ .pressures = l->pressures };
    l->fixture = fixture;
    l->end = l->network->bounded ? end : FCI_NOMINAL;
    l->least = least;
    l->ordered = false;
    l->roughly =
        depth == FCI_MOST_WORST && l->network->site->n_fixtures > FEW_FIXTURES;
    l->work = MOST_WORK / l->network->site->n_fixtures;
    l->work = l->work > LEAST_WORK ? l->work : LEAST_WORK;
    if (depth == FCI_MOST_WORST && l->work < WORK_IN_SHORT)
        l->work = WORK_IN_SHORT;
    fci_solver_forget(l->solver);
    status = try_all(l, &rungs->all);
    if (status != FC_OK)
        return status;
    fci_solver_forget(l->solver);
    fci_solver_take(l->solver, l->end, fixture);
    status = find(l, &f, rungs->all);
    rungs->all = f.known == (size_t)l->n_valves;
    rungs->most = (int)f.known;
    rungs->could = rungs->all ? rungs->most : (int)f.starving - 1;
    n = rungs->all ? (f.known < FCI_RUNGS_SHOWN ? f.known : FCI_RUNGS_SHOWN)
                   : f.starving;
    if (status == FC_OK && depth != FCI_MOST_ALONE) {
        status = find_pressures(l, &f, n, depth, &rungs->worst);
        rungs->n_pressures = n;
    }
    if (!rungs->all) {
        rungs->set = l->kept;
        rungs->n_set = l->n_kept;
    }
    return status;
}

/* What its valve has where so much is at the end of its link. */
static double
own_pressure(const struct fci_outlet_law *law, double pressure)
{
    const double left = pressure - law->stop.lift - law->stop.constant;
    const double flow = fci_one_draws(law, pressure);

    return left - law->stop.square * flow * flow;
}

fc_status
fci_ladder_surely(struct fci_ladder *l, size_t fixture, enum fci_end end,
                  double least, int looked, int *surely, double *left)
{
    const struct fci_outlet *outlet = &l->network->outlets[fixture];
    const struct fci_most_drawn *d;
    size_t n;

    *surely = 0;
    *left = -INFINITY;
    if (!l->parts || end == FCI_BEST)
        return FC_OK;
    looked = looked < l->n_valves ? looked : l->n_valves;
    looked = looked < FCI_MOST_COUNTED ? looked : FCI_MOST_COUNTED;
    l->end = end;
    while (isinf(*left) && *surely < looked) {
        d = drawn_of(l, 0, (size_t)*surely + 1);
        if (!d)
            return FC_ENOMEM;
        for (n = (size_t)*surely + 1;
             n <= d->counted && n <= (size_t)looked && isinf(*left); n++) {
            const double there =
                own_pressure(&outlet->law[end],
                             d->left[outlet->link * (d->counted + 1) + n]);

            if (there >= least)
                *surely = (int)n;
            else
                *left = there;
        }
    }
    return FC_OK;
}

fc_status
fci_ladder_may(struct fci_ladder *l, size_t fixture, enum fci_end end,
               double least, int n, bool *may)
{
    fc_status status = FC_OK;

    *may = n > 0;
    if (!l->parts || n < 1 || n > l->n_valves || n > FCI_MOST_COUNTED)
        return FC_OK;
    l->fixture = fixture;
    l->end = end;
    l->work = WORK_IN_SHORT;
    status = ask(l, 0, least - FCI_SOLVED_TO, (size_t)n - 1);
    if (status == FC_OK && l->work > 0)
        *may = fci_worst_asked(l->worst, (size_t)n - 1) > 0;
    return status;
}

fc_status
fci_ladder_twins(const struct fci_ladder *l, bool *spoken_for)
{
    size_t i;

    for (i = 0; i < l->network->site->n_fixtures; i++)
        spoken_for[i] = false;
    return !l->parts
                   || fci_twins_find(l->network, &l->at, &l->repeats,
                                     spoken_for)
               ? FC_OK
               : FC_ENOMEM;
}
