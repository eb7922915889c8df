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
#include "remedy/branching.h"
#include "units/units.h"

#include <gsl/gsl_const_mksa.h>
#include <math.h>

#define STEPS 200 /* of 1 ft or 0.3 m: nobody runs more across a floor */
#define WHAT "Feeding the floors that are short from another riser or PRV zone"

struct moving {
    struct fci_cures *c;
    struct fci_branchings from;
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

/* ---- Turning ---------------------------------------------------------- */

static bool
feed_of(const struct moving *m, size_t i, int steps, struct fci_feed *feed)
{
    const struct fci_branching *b = &m->from.of[i];
    const double rise = b->height - m->from.height[m->chosen[i]];

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

    for (m->floors = 1; status == FC_OK && m->floors <= m->from.n;
         m->floors++) {
        i = m->floors - 1;
        m->chosen[i] = fci_branching_target(&m->from, &m->from.of[i], first);
        if (m->chosen[i] == FCI_NONE || m->from.of[i].like == FCI_NONE)
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
        if (elements[m->from.of[i].like].pipe->size
                != elements[m->from.of[0].like].pipe->size
            || !elements[m->from.of[0].like].pipe->size)
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
                                     c->site->elements[m->from.of[i].at].name)
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
        FC_MOVE_FLOORS, c->site->elements[m->from.of[0].at].name, FC_NUMBER);
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

fc_status
fci_cure_move(struct fci_cures *c)
{
    struct moving m = { .c = c };
    struct found found = { 0 };
    fc_status status = FC_OK;
    size_t i;

    if (fci_cure_governing(c) == FCI_NONE)
        return FC_OK;
    status = fci_branchings_find(c, &m.from);
    if (status != FC_OK || m.from.n == 0)
        return status;
    m.chosen = fci_arena_array(c->arena, m.from.n, sizeof *m.chosen);
    found.chosen = fci_arena_array(c->arena, m.from.n, sizeof *found.chosen);
    if (!m.chosen || !found.chosen)
        return FC_ENOMEM;
    for (i = 0; status == FC_OK && i < m.from.of[0].n_targets; i++)
        status = try_riser(&m, i, &found);
    return status == FC_OK && found.floors > 0 ? tell(&m, &found) : status;
}
