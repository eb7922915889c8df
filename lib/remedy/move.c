/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/move.c -- floors that are short fed from another riser or PRV
 * zone.
 *
 * What is moved is all that leaves one place of a riser for fixtures of one
 * floor, among them one that is short; it goes from the top down, place by
 * place.  A new pipe joins it to the other riser at the same height.  How far
 * apart the two are no site file tells, so what is sought is the longest pipe
 * that still does.
 */
#include "remedy/remedies.h"
#include "ground/ties.h"
#include "site/tree.h"
#include "units/units.h"

#include <gsl/gsl_const_mksa.h>
#include <math.h>
#include <stdlib.h>

/* A place on another riser is on the same floor when it is no further above
 * or below: 5 ft (common practice). */
#define SAME_FLOOR (5 * GSL_CONST_MKSA_FOOT)
#define STEPS 200 /* of 1 ft or 0.3 m: nobody runs more across a floor */
#define WHAT "Feeding the floors that are short from another riser or PRV zone"

/* Where a floor leaves its riser, and what leaves it there. */
struct branching {
    size_t at; /* element */
    double height;
    const struct fci_part **moved;
    size_t n_moved;
    size_t like;     /* pipe that the new one is like */
    size_t *targets; /* elements that could feed it */
    size_t n_targets;
};

struct moving {
    struct fci_cures *c;
    struct fci_tree tree;
    double *height;       /* by element */
    double *lowest;       /* by element: of the fixtures' inlets behind it, */
    double *highest;      /* malloc'ed, as `height` is */
    struct branching *of; /* from the top down */
    size_t n;
    /* How it is tried now. */
    size_t floors; /* the top ones */
    size_t *chosen;
};

/* What is sought, and what was found. */
struct found {
    size_t floors;
    size_t *chosen;
    struct fci_turned turned;
};

/* ---- Figures ---------------------------------------------------------- */

static double
one_step(const struct fci_cures *c)
{
    return c->site->settings.units == FC_US ? GSL_CONST_MKSA_FOOT : 0.3;
}

/* From the shortest that reaches it; `steps` as of fci_cure_search(). */
static fc_range
length_of(const struct fci_cures *c, double rise, int steps)
{
    const double step = one_step(c);
    const double least = fmax(ceil(fabs(rise) / step - 1e-6), 1);

    return fc_between(least * step, (least + STEPS - steps) * step);
}

/* ---- What leaves a riser ---------------------------------------------- */

static bool
find_spans(struct moving *m)
{
    const fc_site *site = m->c->site;
    size_t i;

    m->height = fci_arena_array(m->c->arena, site->n_elements, sizeof(double));
    m->lowest = fci_arena_array(m->c->arena, site->n_elements, sizeof(double));
    m->highest =
        fci_arena_array(m->c->arena, site->n_elements, sizeof(double));
    if (!m->height || !m->lowest || !m->highest)
        return false;
    fci_heights(site, m->height);
    for (i = 0; i < site->n_elements; i++) {
        m->lowest[i] = INFINITY;
        m->highest[i] = -INFINITY;
    }
    for (i = 0; i < site->n_fixtures; i++) {
        const struct fci_fixture *f = &site->fixtures[i];
        const double inlet = m->height[f->element] + f->given->rise.nominal;

        m->lowest[f->element] = fmin(m->lowest[f->element], inlet);
        m->highest[f->element] = fmax(m->highest[f->element], inlet);
    }
    for (i = site->n_elements; i-- > 1;) {
        const size_t at = site->order[i];
        const size_t parent = site->elements[at].parent;

        m->lowest[parent] = fmin(m->lowest[parent], m->lowest[at]);
        m->highest[parent] = fmax(m->highest[parent], m->highest[at]);
    }
    return true;
}

static bool
is_one_floor(const struct moving *m, size_t element)
{
    return m->highest[element] - m->lowest[element] <= FCI_ONE_STORY;
}

/* The last on the way from the source to a fixture that feeds no other floor,
 * or what leaves the piece of a riser that climbs to this floor.  *parent is
 * what feeds that. */
static const struct fci_part *
leaving(const struct moving *m, size_t fixture, size_t *parent)
{
    const fc_site *site = m->c->site;
    const struct fci_part *part = site->fixtures[fixture].part;
    size_t at = site->fixtures[fixture].element;

    while (site->elements[at].parent != FCI_NONE && is_one_floor(m, at)
           && site->elements[at].rise.nominal <= FCI_ONE_STORY) {
        part = site->elements[at].part;
        at = site->elements[at].parent;
    }
    *parent = at;
    return part;
}

static struct branching *
branching_at(struct moving *m, size_t at)
{
    const fc_site *site = m->c->site;
    struct branching *b;
    size_t i;

    for (i = 0; i < m->n; i++)
        if (m->of[i].at == at)
            return &m->of[i];
    b = &m->of[m->n++];
    b->at = at;
    b->height = m->height[at];
    b->like = FCI_NONE;
    b->moved =
        fci_arena_array(m->c->arena, site->n_fixtures, sizeof *b->moved);
    return b->moved ? b : NULL;
}

/* Of those moved the largest pipe; else the last one that feeds them. */
static void
find_like(const struct moving *m, struct branching *b)
{
    const fc_site *site = m->c->site;
    size_t i, k, at = b->at;

    for (i = 0; i < site->n_elements; i++)
        for (k = 0; k < b->n_moved; k++)
            if (site->elements[i].part == b->moved[k] && site->elements[i].pipe
                && (b->like == FCI_NONE
                    || fci_is_less(site->elements[b->like].pipe->bore.nominal,
                                   site->elements[i].pipe->bore.nominal)))
                b->like = i;
    while (b->like == FCI_NONE && at != FCI_NONE) {
        if (site->elements[at].pipe)
            b->like = at;
        at = site->elements[at].parent;
    }
}

static bool
take_short(struct moving *m, size_t fixture)
{
    size_t at, i;
    const struct fci_part *part = leaving(m, fixture, &at);
    struct branching *b = branching_at(m, at);

    if (!b)
        return false;
    for (i = 0; i < b->n_moved; i++)
        if (b->moved[i] == part)
            return true;
    b->moved[b->n_moved++] = part;
    return true;
}

static int
from_the_top(const void *a, const void *b)
{
    const struct branching *x = a, *y = b;
    const double high = fci_coarse(x->height), low = fci_coarse(y->height);

    return high != low ? (high < low) - (high > low)
                       : (x->at > y->at) - (x->at < y->at);
}

/* ---- What could feed it ----------------------------------------------- */

/* Whether a PRV, a pump or the like stands between an element and one that is
 * upstream of it. */
static bool
is_parted(const fc_site *site, size_t element, size_t upstream)
{
    while (element != upstream && element != FCI_NONE) {
        if (fci_parts_zones(&site->elements[element]))
            return true;
        element = site->elements[element].parent;
    }
    return false;
}

/* Another riser climbs by itself to that floor. */
static bool
is_another(const struct moving *m, size_t at, size_t target)
{
    const fc_site *site = m->c->site;
    const size_t meeting = fci_tree_meeting(&m->tree, at, target);

    if (meeting == FCI_NONE || meeting == at)
        return false;
    if (is_parted(site, at, meeting) || is_parted(site, target, meeting))
        return true;
    return meeting != target
           && fabs(m->height[meeting] - m->height[at]) > SAME_FLOOR;
}

/* It has more at peak, at the same height. */
static bool
is_better(const struct moving *m, size_t at, size_t target)
{
    const struct fci_cures *c = m->c;
    const double here =
        fci_pressure_of(c->judge.peak[c->state][at].at[FCI_WORST]);
    const double there =
        fci_pressure_of(c->judge.peak[c->state][target].at[FCI_WORST]);

    return fci_is_less(
        here,
        there + c->site->water_weight * (m->height[target] - m->height[at]));
}

static bool
may_feed(const struct moving *m, const struct branching *b, size_t target)
{
    return fabs(m->height[target] - b->height) <= SAME_FLOOR
           && is_another(m, b->at, target) && is_better(m, b->at, target);
}

/* Of one riser the first there, and what stands behind a PRV or a pump. */
static bool
find_targets(struct moving *m, struct branching *b)
{
    const fc_site *site = m->c->site;
    size_t i;

    b->targets =
        fci_arena_array(m->c->arena, site->n_elements, sizeof *b->targets);
    for (i = 0; b->targets && i < site->n_elements; i++) {
        const size_t at = site->order[i];
        const size_t parent = site->elements[at].parent;

        if (may_feed(m, b, at)
            && (parent == FCI_NONE || !may_feed(m, b, parent)
                || fci_parts_zones(&site->elements[at])))
            b->targets[b->n_targets++] = at;
    }
    return b->targets != NULL;
}

/* The first element of a target's riser after it parts from a place; FCI_NONE:
 * it is upstream of the place. */
static size_t
riser_of(const struct moving *m, size_t at, size_t target)
{
    const size_t meeting = fci_tree_meeting(&m->tree, at, target);

    if (target == meeting)
        return FCI_NONE;
    while (m->c->site->elements[target].parent != meeting)
        target = m->c->site->elements[target].parent;
    return target;
}

/* Of the same riser as one of the top place's targets; FCI_NONE: none is.
 * Where there are several, one behind another, as far down as that. */
static size_t
like_target(const struct moving *m, const struct branching *b, size_t first)
{
    const struct branching *top = &m->of[0];
    const size_t riser = riser_of(m, top->at, top->targets[first]);
    size_t i, rank = 0, found = FCI_NONE;

    for (i = 0; i < first; i++)
        rank += riser_of(m, top->at, top->targets[i]) == riser;
    for (i = 0; i < b->n_targets; i++) {
        if (riser_of(m, b->at, b->targets[i]) != riser)
            continue;
        found = b->targets[i];
        if (rank-- == 0)
            break;
    }
    return found;
}

/* ---- Turning ---------------------------------------------------------- */

static bool
feed_of(const struct moving *m, size_t i, int steps, struct fci_feed *feed)
{
    const struct branching *b = &m->of[i];
    const double rise = b->height - m->height[m->chosen[i]];

    *feed = (struct fci_feed){ .name = fci_feed_name(m->c, i),
                               .from = m->chosen[i],
                               .like = b->like,
                               .length = length_of(m->c, rise, steps),
                               .rise = fc_exactly(rise),
                               .moved = b->moved,
                               .n_moved = b->n_moved };
    return feed->name != NULL;
}

/* The more steps, the shorter the longest pipe that it may be. */
static bool
turn_move(const struct fci_cures *c, const void *lever, int steps,
          struct fci_change_list *list)
{
    const struct moving *m = lever;
    struct fci_feed feed;
    size_t i;

    for (i = 0; i < m->floors; i++)
        if (!feed_of(m, i, steps, &feed) || !fci_feed_anew(c, &feed, list))
            return false;
    return true;
}

/* ---- Trying ----------------------------------------------------------- */

static bool
is_of_more_use(const struct found *found, const struct fci_turned *t,
               size_t floors)
{
    const struct fci_turned *was = &found->turned;

    if (found->floors == 0 || t->outcome != was->outcome)
        return found->floors == 0 || t->outcome < was->outcome;
    return t->outcome != FCI_USELESS
           && (floors < found->floors
               || (floors == found->floors && t->steps < was->steps));
}

/* The fewest floors that do from one riser. */
static fc_status
try_riser(struct moving *m, size_t first, struct found *found)
{
    struct fci_turned t = { .outcome = FCI_USELESS };
    fc_status status = FC_OK;
    size_t i;

    for (m->floors = 1; status == FC_OK && m->floors <= m->n; m->floors++) {
        i = m->floors - 1;
        m->chosen[i] = like_target(m, &m->of[i], first);
        if (m->chosen[i] == FCI_NONE || m->of[i].like == FCI_NONE)
            break;
        status = fci_cure_search(m->c, turn_move, m, STEPS, &t);
        if (status != FC_OK)
            break;
        if (is_of_more_use(found, &t, m->floors)) {
            found->turned = t;
            found->floors = m->floors;
            for (i = 0; i < m->floors; i++)
                found->chosen[i] = m->chosen[i];
        }
        if (t.outcome == FCI_CURES)
            break;
    }
    return status;
}

/* ---- In words --------------------------------------------------------- */

/* Whether all new pipes are of one size. */
static bool
is_one_size(const struct moving *m)
{
    const struct fci_element *elements = m->c->site->elements;
    size_t i;

    for (i = 1; i < m->floors; i++)
        if (elements[m->of[i].like].pipe->size
                != elements[m->of[0].like].pipe->size
            || !elements[m->of[0].like].pipe->size)
            return false;
    return true;
}

/* "branch-6 from riser-b-6 in place of riser-6, and ...: each by up to 20.0 ft
 * of new pipe, 2 in copper L" */
static const char *
say_feeds(const struct moving *m, int steps)
{
    const struct fci_cures *c = m->c;
    const char **places =
        fci_arena_array(c->arena, m->floors + 1, sizeof *places);
    const char *size = NULL, *moved;
    struct fci_feed feed;
    double longest = 0;
    size_t i;

    for (i = 0; places && i < m->floors; i++) {
        if (!feed_of(m, i, steps, &feed))
            return NULL;
        moved = fci_feed_moved(c, &feed);
        places[i] =
            moved ? fci_arena_printf(c->arena, "%s from %s (now %s)", moved,
                                     c->site->elements[feed.from].name,
                                     c->site->elements[m->of[i].at].name)
                  : NULL;
        if (!places[i])
            return NULL;
        longest = fmax(longest, feed.length.high);
        size = i == 0 ? fci_feed_size(c, &feed) : size;
    }
    moved = places ? fci_join_names(c, places, m->floors) : NULL;
    return moved && size ? fci_arena_printf(
               c->arena, "Feed %s, %sby up to %s of new pipe, %s%s", moved,
               m->floors > 1 ? "each " : "",
               fci_show(c->site->settings.units, FC_LENGTH, longest).text,
               size, is_one_size(m) ? "" : " and as large as what it feeds")
                         : NULL;
}

static const char *
say(const struct moving *m, const struct fci_turned *t, const fc_remedy *told)
{
    const struct fci_cures *c = m->c;
    const char *what = say_feeds(m, t->steps);
    const char *end = fci_cure_end(c, t, false);

    if (t->outcome == FCI_USELESS)
        return fci_arena_printf(
            c->arena, WHAT " does not help: %s stays short.", t->fixture);
    if (t->outcome == FCI_SERVES && t->idle)
        return fci_cure_idle(c, t, WHAT);
    return what && end ? fci_arena_printf(
               c->arena,
               "%s (how far apart they are is not known here: measure)%s. %s "
               "gains %s at peak by the shortest.",
               what, end, told->gains,
               fci_show(c->site->settings.units, FC_PRESSURE, told->gain).text)
                       : NULL;
}

/* ---- All -------------------------------------------------------------- */

static fc_status
find_gain(const struct moving *m, fc_remedy *told)
{
    const struct fci_cures *c = m->c;
    const size_t fixture = fci_cure_governing(c);
    struct fci_change_list list = { 0 };
    double pressure = NAN;
    fc_status status = turn_move(c, m, STEPS, &list) ? FC_OK : FC_ENOMEM;

    if (status == FC_OK)
        status = fci_cure_flowing(c, &list, fixture, &pressure);
    told->gains = c->site->fixtures[fixture].given->name;
    told->gain =
        pressure - c->check->fixtures[fixture].states[c->state].flowing.low;
    fci_change_list_free(&list);
    return status;
}

static fc_status
tell(struct moving *m, const struct found *found)
{
    struct fci_cures *c = m->c;
    const struct fci_turned *t = &found->turned;
    fc_remedy told = fci_remedy_of(
        FC_MOVE_FLOORS, c->site->elements[m->of[0].at].name, FC_NUMBER);
    struct fci_change_list list = { 0 };
    struct fci_feed feed;
    fc_status status = FC_OK;

    m->floors = found->floors;
    m->chosen = found->chosen;
    told.works = t->outcome == FCI_CURES;
    told.fixture = t->fixture;
    if (t->outcome == FCI_CURES || (t->outcome == FCI_SERVES && !t->idle)) {
        if (!feed_of(m, 0, t->steps, &feed))
            return FC_ENOMEM;
        told.new_pipe = feed.length.high;
        status = find_gain(m, &told);
    }
    if (status != FC_OK)
        return status;
    told.text = say(m, t, &told);
    if (told.works
        && !fci_buy(c, &told, FC_MOVE_FLOORS, FCI_KINDS, (double)m->floors))
        return FC_ENOMEM;
    if (told.works && !turn_move(c, m, t->steps, &list)) {
        fci_change_list_free(&list);
        return FC_ENOMEM;
    }
    return fci_cure_add(c, &told, &list) ? FC_OK : FC_ENOMEM;
}

static fc_status
begin(struct moving *m)
{
    const struct fci_cures *c = m->c;
    const fc_site *site = c->site;
    size_t i;
    bool ok = fci_tree_make(&m->tree, site, c->arena) && find_spans(m);

    m->of = fci_arena_array(c->arena, site->n_fixtures + 1, sizeof *m->of);
    m->chosen =
        fci_arena_array(c->arena, site->n_fixtures + 1, sizeof(size_t));
    ok = ok && m->of && m->chosen;
    for (i = 0; ok && i < site->n_fixtures; i++)
        if (c->check->fixtures[i].states[c->state].works != FC_WORKS)
            ok = take_short(m, i);
    if (!ok)
        return FC_ENOMEM;
    qsort(m->of, m->n, sizeof *m->of, from_the_top);
    for (i = 0; ok && i < m->n; i++) {
        find_like(m, &m->of[i]);
        ok = find_targets(m, &m->of[i]);
    }
    return ok ? FC_OK : FC_ENOMEM;
}

fc_status
fci_cure_move(struct fci_cures *c)
{
    struct moving m = { .c = c };
    struct found found = { 0 };
    fc_status status = FC_OK;
    size_t i;

    if (fci_cure_governing(c) == FCI_NONE)
        return FC_OK;
    status = begin(&m);
    if (status != FC_OK || m.n == 0)
        return status;
    found.chosen = fci_arena_array(c->arena, m.n, sizeof *found.chosen);
    if (!found.chosen)
        return FC_ENOMEM;
    for (i = 0; status == FC_OK && i < m.of[0].n_targets; i++)
        status = try_riser(&m, i, &found);
    return status == FC_OK && found.floors > 0 ? tell(&m, &found) : status;
}
