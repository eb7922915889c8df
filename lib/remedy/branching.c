/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/branching.c -- where floors that are short leave their riser, and
 * what could feed them instead. */
#include "remedy/branching.h"
#include "ground/ties.h"

#include <gsl/gsl_const_mksa.h>
#include <math.h>
#include <stdlib.h>

/* A place on another riser is on the same floor when it is no further above
 * or below: 5 ft (common practice). */
#define SAME_FLOOR (5 * GSL_CONST_MKSA_FOOT)

/* ---- What leaves a riser ---------------------------------------------- */

static bool
find_spans(struct fci_branchings *m)
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
is_one_floor(const struct fci_branchings *m, size_t element)
{
    return m->highest[element] - m->lowest[element] <= FCI_ONE_STORY;
}

/* The last on the way from the source to a fixture that feeds no other floor,
 * or what leaves the piece of a riser that climbs to this floor.  *parent is
 * what feeds that. */
static const struct fci_part *
leaving(const struct fci_branchings *m, size_t fixture, size_t *parent)
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

static struct fci_branching *
branching_at(struct fci_branchings *m, size_t at)
{
    const fc_site *site = m->c->site;
    struct fci_branching *b;
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
find_like(const struct fci_branchings *m, struct fci_branching *b)
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
take_short(struct fci_branchings *m, size_t fixture)
{
    size_t at, i;
    const struct fci_part *part = leaving(m, fixture, &at);
    struct fci_branching *b = branching_at(m, at);

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
    const struct fci_branching *x = a, *y = b;
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
is_another(const struct fci_branchings *m, size_t at, size_t target)
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
is_better(const struct fci_branchings *m, size_t at, size_t target)
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
may_feed(const struct fci_branchings *m, const struct fci_branching *b,
         size_t target)
{
    return fabs(m->height[target] - b->height) <= SAME_FLOOR
           && is_another(m, b->at, target) && is_better(m, b->at, target);
}

/* Of one riser the first there, and what stands behind a PRV or a pump. */
static bool
find_targets(struct fci_branchings *m, struct fci_branching *b)
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
riser_of(const struct fci_branchings *m, size_t at, size_t target)
{
    const size_t meeting = fci_tree_meeting(&m->tree, at, target);

    if (target == meeting)
        return FCI_NONE;
    while (m->c->site->elements[target].parent != meeting)
        target = m->c->site->elements[target].parent;
    return target;
}

size_t
fci_branching_target(const struct fci_branchings *m,
                     const struct fci_branching *b, size_t first)
{
    const struct fci_branching *top = &m->of[0];
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

/* ---- All -------------------------------------------------------------- */

fc_status
fci_branchings_find(const struct fci_cures *c, struct fci_branchings *m)
{
    const fc_site *site = c->site;
    size_t i;
    bool ok;

    *m = (struct fci_branchings){ .c = c };
    ok = fci_tree_make(&m->tree, site, c->arena) && find_spans(m);
    m->of = fci_arena_array(c->arena, site->n_fixtures + 1, sizeof *m->of);
    ok = ok && m->of;
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
