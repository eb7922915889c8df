/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/surge_branch.c -- arresters by PDI-WH201 (tables/arresters.ini),
 * branch by branch.
 *
 * A branch is one line of pipes with the drops to single outlets that leave
 * it.  It begins where a pipe that is no riser (rises by at most half of its
 * length) leaves a riser, a device, a source or a place from which more than
 * one line goes on, and ends with its last outlet.  Outlets right on a riser
 * or a device are a branch of no length.
 */
#include "effects/surge_work.h"
#include "peak/demand.h"
#include "tables/tables.h"

#include <math.h>

const char *
fc_arrester_word(fc_arrester size)
{
    return size > FC_NO_ARRESTER && size <= FC_ARRESTER_F
               ? fci_arrester_words[size - FC_ARRESTER_AA]
               : "";
}

/* By element. */
struct lines {
    int *outlets; /* downstream of its inlet */
    int *goes_on; /* elements it feeds with more than one outlet each */
    bool *parts;  /* one of those is no line of the same branch */
    bool *line;   /* it is a pipe of a branch */
};

static bool
is_riser(const struct fci_element *element)
{
    return fabs(element->rise.nominal) > element->pipe->length.nominal / 2;
}

static void
find_lines(const fc_site *site, struct lines *l)
{
    for (size_t i = 0; i < site->n_fixtures; i++)
        l->outlets[site->fixtures[i].element] += site->fixtures[i].count;
    for (size_t i = site->n_elements; i-- > 0;) {
        const size_t at = site->order[i], parent = site->elements[at].parent;

        l->line[at] = site->elements[at].pipe && !is_riser(&site->elements[at])
                      && l->goes_on[at] <= 1 && !l->parts[at];
        if (parent == FCI_NONE)
            continue;
        l->outlets[parent] += l->outlets[at];
        l->goes_on[parent] += l->outlets[at] > 1;
        l->parts[parent] =
            l->parts[parent] || (l->outlets[at] > 1 && !l->line[at]);
    }
}

static bool
is_drop(const fc_site *site, const struct lines *l, size_t at)
{
    return site->elements[at].pipe && l->outlets[at] == 1;
}

/* The element where the branch of an outlet begins. */
static size_t
head_of(const fc_site *site, const struct lines *l, size_t at)
{
    size_t parent;

    while (is_drop(site, l, at) && site->elements[at].parent != FCI_NONE
           && l->line[site->elements[at].parent])
        at = site->elements[at].parent;
    while (l->line[at] && (parent = site->elements[at].parent) != FCI_NONE
           && l->line[parent])
        at = parent;
    return at;
}

/* From the inlet of `head` to the outlet of `at` [m]. */
static fc_range
length_to(const fc_site *site, const struct lines *l, size_t head, size_t at)
{
    fc_range sum = { true, 0, 0, 0 };

    for (;; at = site->elements[at].parent) {
        const struct fci_pipe *pipe = site->elements[at].pipe;

        if (pipe && (at != head || l->line[head])) {
            sum.nominal += pipe->length.nominal;
            sum.low += pipe->length.low;
            sum.high += pipe->length.high;
        }
        if (at == head)
            return sum;
    }
}

/* ---- What is needed ------------------------------------------------------
 */

/* The fixture units that a size serves where the next larger one is asked
 * for. */
static double
served(const struct fci_arresters *a, size_t k, bool next_size)
{
    return !next_size ? a->units[k] : k > 0 ? a->units[k - 1] : 0;
}

static double
served_by(const struct fci_arresters *a, fc_arrester size, bool next_size)
{
    for (size_t k = 0; k < a->n; k++)
        if (a->sizes[k] == size)
            return served(a, k, next_size);
    return 0;
}

static void
find_need(const struct fci_arresters *a, const fc_surge_branch *branch,
          fc_arrester_need *need)
{
    const int least = branch->length.high > a->two_above ? 2 : 1;
    const double most = served(a, a->n - 1, need->next_size);
    size_t k = 0;

    if (!(need->units > 0) || !(most > 0) || branch->pressure.high > a->most)
        return;
    need->number = (int)fmax(least, ceil(need->units / most));
    while (k + 1 < a->n
           && served(a, k, need->next_size) < need->units / need->number)
        k++;
    need->size = a->sizes[k];
    if (branch->arresters > 0)
        need->enough =
            branch->serves >= need->units && branch->arresters >= least
                ? FC_WORKS
                : FC_WILL_NOT_WORK;
}

/* ---- All branches --------------------------------------------------------
 */

static void
join(struct fci_surge_work *w, const struct lines *l, size_t fixture,
     size_t head, fc_surge_branch *branch)
{
    const fc_site *site = w->of.site;
    const struct fci_fixture *f = &site->fixtures[fixture];
    const fc_range length = length_to(site, l, head, f->element);
    const double high = fci_as_range(w->rest[f->element].trapped).high;
    const bool first = !branch->last;

    if (first || length.nominal > branch->length.nominal) {
        branch->length = length;
        branch->last = f->given->name;
    }
    branch->pressure =
        fc_exactly(first ? high : fmax(branch->pressure.high, high));
    for (int s = 0; s < fci_effect_states(w->e); s++) {
        const struct fci_units_of_use units =
            fci_fixture_units(f, (fc_state)s);

        if (units.given)
            branch->states[s].units += units.cold * f->count;
    }
}

static void
add_arresters(struct fci_surge_work *w, const size_t *branch_at)
{
    const fc_site *site = w->of.site;

    for (size_t i = 0; i < site->n_elements; i++) {
        const fc_pipe *pipe = site->elements[i].part->data;

        if (!site->elements[i].pipe || pipe->arrester == FC_NO_ARRESTER
            || branch_at[i] == 0)
            continue;
        w->branch_at[i] = branch_at[i];
        w->branches[branch_at[i] - 1].arresters++;
        w->branches[branch_at[i] - 1].serves +=
            served_by(w->arresters, pipe->arrester,
                      w->branches[branch_at[i] - 1].pressure.high
                          > w->arresters->next_above);
    }
}

/* Heads that lead to a flush valve get a branch; `branch_at`, by element, its
 * number from 1. */
static void
number_branches(struct fci_surge_work *w, const struct lines *l,
                size_t *branch_at)
{
    const fc_site *site = w->of.site;

    for (size_t i = 0; i < site->n_fixtures; i++) {
        const struct fci_fixture *f = &site->fixtures[i];
        const size_t head = head_of(site, l, f->element);

        w->branch_of[i] = FCI_NONE;
        if ((!f->valve[FC_EXISTING] && !f->valve[FC_RETROFIT])
            || branch_at[head] > 0)
            continue;
        w->branches[w->n_branches].name = site->elements[head].name;
        branch_at[head] = ++w->n_branches;
    }
    for (size_t i = 0; i < site->n_fixtures; i++) {
        const size_t head = head_of(site, l, site->fixtures[i].element);

        if (branch_at[head] == 0)
            continue;
        w->branch_of[i] = branch_at[head] - 1;
        join(w, l, i, head, &w->branches[branch_at[head] - 1]);
    }
    for (size_t i = 0; i < site->n_elements; i++)
        if (site->elements[site->order[i]].pipe
            && branch_at[site->order[i]] == 0)
            branch_at[site->order[i]] =
                branch_at[head_of(site, l, site->order[i])];
}

bool
fci_surge_branches(struct fci_surge_work *w)
{
    const fc_site *site = w->of.site;
    struct fci_arena *scratch = &w->e->scratch;
    const size_t n = site->n_elements;
    struct lines l;
    size_t *branch_at = fci_arena_array(scratch, n, sizeof *branch_at);

    l.outlets = fci_arena_array(scratch, n, sizeof *l.outlets);
    l.goes_on = fci_arena_array(scratch, n, sizeof *l.goes_on);
    l.parts = fci_arena_array(scratch, n, sizeof *l.parts);
    l.line = fci_arena_array(scratch, n, sizeof *l.line);
    w->branch_at = fci_arena_array(scratch, n, sizeof *w->branch_at);
    w->branch_of =
        fci_arena_array(scratch, site->n_fixtures, sizeof *w->branch_of);
    w->branches =
        fci_arena_array(w->e->arena, site->n_fixtures, sizeof *w->branches);
    if (scratch->failed || !w->branches)
        return false;
    find_lines(site, &l);
    number_branches(w, &l, branch_at);
    add_arresters(w, branch_at);
    for (size_t i = 0; i < w->n_branches; i++)
        for (int s = 0; s < fci_effect_states(w->e); s++) {
            fc_arrester_need *need = &w->branches[i].states[s];

            need->next_size =
                w->branches[i].pressure.high > w->arresters->next_above;
            find_need(w->arresters, &w->branches[i], need);
        }
    return true;
}

/* ---- What arresters do ---------------------------------------------------
 */

/* [m], where it is longest */
static double
longest(const fc_site *site, size_t at)
{
    const struct fci_pipe *pipe = site->elements[at].pipe;

    return pipe ? pipe->length.high : 0;
}

/* An arrester on pipe `from` is near what it reaches wherever on the pipe it
 * stands; `far`: room for how far it may be from each outlet [m]. */
static void
reach(const struct fci_surge_work *w, size_t from, double *far, bool *arrested)
{
    const fc_site *site = w->of.site;
    const double own = longest(site, from);
    double off = own;

    for (size_t i = 0; i < site->n_elements; i++)
        far[i] = -1;
    far[from] = own;
    for (size_t at = site->elements[from].parent; at != FCI_NONE;
         at = site->elements[at].parent) {
        far[at] = off;
        off += longest(site, at);
    }
    for (size_t i = 0; i < site->n_elements; i++) {
        const size_t at = site->order[i];

        if (far[at] < 0)
            far[at] = far[site->elements[at].parent] + longest(site, at);
        arrested[at] = arrested[at] || far[at] <= w->arresters->two_above;
    }
}

bool
fci_surge_has_arresters(const struct fci_surge_work *w, size_t fixture)
{
    const size_t branch = w->branch_of[fixture];

    return branch != FCI_NONE && w->branches[branch].arresters > 0;
}

bool
fci_surge_arrested(const struct fci_surge_work *w, size_t fixture,
                   fc_state state, struct fci_arena *arena,
                   const bool **arrested)
{
    const size_t branch = w->branch_of[fixture], n = w->of.site->n_elements;
    double *far;
    bool *near;

    *arrested = NULL;
    if (branch == FCI_NONE
        || w->branches[branch].states[state].enough != FC_WORKS)
        return true;
    far = fci_arena_array(arena, n, sizeof *far);
    near = fci_arena_array(arena, n, sizeof *near);
    if (!far || !near)
        return false;
    for (size_t i = 0; i < n; i++)
        if (w->branch_at[i] == branch + 1)
            reach(w, i, far, near);
    *arrested = near;
    return true;
}

void
fci_surge_mark_needed(struct fci_surge_work *w)
{
    for (size_t i = 0; i < w->n_fixtures; i++) {
        const size_t branch = w->branch_of[w->site_fixture[i]];

        for (int s = 0; s < fci_effect_states(w->e); s++) {
            const fc_surge *surge = &w->fixtures[i].states[s];

            if (surge->valve && surge->within != FC_WORKS)
                w->branches[branch].states[s].needed = true;
        }
    }
}
