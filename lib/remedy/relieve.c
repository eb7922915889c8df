/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/relieve.c -- PRVs for the low zones of a building that another
 * option raises, or that has too much as it is.
 *
 * What is above its maximum gets a PRV as near to the source as one setting
 * serves all that hangs downstream of it, or as near to the fixture, taken to
 * fall off as much as PRVs usually do, and set as high as its fixtures bear; a
 * PRV in place comes down to that.
 */
#include "remedy/remedies.h"
#include "remedy/reducer_window.h"
#include "units/units.h"
#include "words/phrase.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define MOST_NAMED 3 /* PRVs that a sentence names */

struct relief {
    const struct fci_cures *cures;
    const fc_site *site; /* the building to be relieved */
    struct fci_judge judge;
    bool *covered; /* by element, malloc'ed: a PRV stands on the way to it */
    bool *fed;     /* by fixture, malloc'ed: it gets a PRV from the element
                      that it is on, with others there */
    bool apart;    /* nothing more than has to is downstream of a PRV */
    const char *named[MOST_NAMED]; /* "branch-1 at 61.3 psi" */
    size_t n_named;
    struct fci_relieved *out;
};

static double
rounded_down(const struct relief *r, double pressure)
{
    return fci_figure(r->cures, FC_PRESSURE, FC_DOWN, pressure);
}

static struct fci_shown
show(const struct relief *r, double pressure)
{
    return fci_show(r->site->settings.units, FC_PRESSURE, pressure);
}

/* One more of those named. */
static bool
say(struct relief *r, const char *what, double set)
{
    struct fci_relieved *out = r->out;

    if (out->put + out->turned > MOST_NAMED)
        return true;
    r->named[r->n_named++] =
        fci_arena_printf(r->cures->arena, "%s at %s", what, show(r, set).text);
    return r->named[r->n_named - 1] != NULL;
}

/* ---- PRVs in place ---------------------------------------------------- */

static fc_status
turn_down(struct relief *r, const fc_reducer_window *w)
{
    const struct fci_cures *c = r->cures;
    const struct fci_part *part =
        fci_site_find(r->site, FCI_REDUCER, w->reducer);
    const fc_reducer *given = fci_given(r->site, part);
    const char *name = fci_arena_string(c->arena, w->reducer);
    fc_reducer *turned = fci_arena_copy(c->arena, given, sizeof *turned);
    const double set = rounded_down(r, w->all.high);

    if (!name || !turned)
        return FC_ENOMEM;
    turned->set =
        fci_moved(c, FC_PRESSURE, given->set, set - given->set.nominal);
    r->out->turned++;
    return fci_change_put(&r->out->changes, FCI_REDUCER, name, "set", turned)
                   && say(r, name, set)
               ? FC_OK
               : FC_ENOMEM;
}

static fc_status
turn_all_down(struct relief *r)
{
    const fc_reducer_window *windows = NULL;
    size_t n = 0, i;
    fc_status status = fci_reducer_windows(&r->judge, r->cures->state,
                                           r->cures->arena, &windows, &n);

    for (i = 0; i < n && status == FC_OK; i++)
        if (windows[i].reducer && windows[i].all.possible
            && windows[i].set.nominal > windows[i].all.high)
            status = turn_down(r, &windows[i]);
    return status;
}

/* ---- New ones --------------------------------------------------------- */

/* The element nearest to the source behind which one PRV serves all; FCI_NONE:
 * there is none. */
static fc_status
find_place(struct relief *r, size_t from, size_t *place, double *set)
{
    fc_status status = FC_OK;
    fc_reducer_window w;
    size_t at = from;

    *place = FCI_NONE;
    for (; at != FCI_NONE && status == FC_OK;
         at = r->site->elements[at].parent) {
        status = fci_reducer_window_at(&r->judge, r->cures->state, at, &w);
        if (status != FC_OK || !w.all.possible || isinf(w.all.high))
            break;
        *place = at;
        *set = rounded_down(r, w.all.high);
        if (r->apart)
            break;
    }
    return status;
}

static void
cover(struct relief *r, size_t place)
{
    const fc_site *site = r->site;
    size_t i;

    r->covered[place] = true;
    for (i = 0; i < site->n_elements; i++) {
        const size_t at = site->order[i], parent = site->elements[at].parent;

        if (parent != FCI_NONE && r->covered[parent])
            r->covered[at] = true;
    }
}

/* What the place fed is fed by the PRV: all of it, or those in `fed`. */
static bool
hang(const struct relief *r, size_t place, const char *name, bool all)
{
    const struct fci_cures *c = r->cures;
    bool ok = true;
    size_t i;

    if (all)
        return fci_hang_behind(c, r->site, place, name, &r->out->changes);
    for (i = 0; ok && i < r->site->n_fixtures; i++)
        if (r->fed[i] && r->site->fixtures[i].element == place) {
            const char *of =
                fci_arena_string(c->arena, r->site->fixtures[i].given->name);

            ok = of
                 && fci_change_add(&r->out->changes, FCI_FIXTURE, of, "on",
                                   name);
        }
    return ok;
}

/* "men-branch-1"; "service for wc-lobby and 2 more" */
static const char *
place_said(const struct relief *r, size_t place, const char *from, bool all)
{
    const char *first = NULL;
    size_t i, n = 0;

    if (all)
        return from;
    for (i = 0; i < r->site->n_fixtures; i++)
        if (r->fed[i] && r->site->fixtures[i].element == place && n++ == 0)
            first = r->site->fixtures[i].given->name;
    return n == 1 ? fci_arena_printf(r->cures->arena, "%s for %s alone", from,
                                     first)
                  : fci_arena_printf(r->cures->arena,
                                     "%s for %s and %zu more there alone",
                                     from, first, n - 1);
}

static fc_status
put_in(struct relief *r, size_t place, double set, bool all)
{
    const struct fci_cures *c = r->cures;
    const char *from =
        fci_arena_string(c->arena, r->site->elements[place].name);
    const char *where = from ? place_said(r, place, from, all) : NULL;
    const char *word =
        where ? fci_arena_printf(c->arena, "prv-%s", from) : NULL;
    const fc_reducer put = { .name = word ? fci_new_name(c, word) : NULL,
                             .from = from,
                             .set = fc_exactly(set) };
    fc_reducer *kept = fci_arena_copy(c->arena, &put, sizeof put);

    if (!put.name || !kept)
        return FC_ENOMEM;
    r->out->put++;
    if (all)
        cover(r, place);
    return fci_change_add_part(&r->out->changes, FCI_REDUCER, kept)
                   && hang(r, place, put.name, all) && say(r, where, set)
               ? FC_OK
               : FC_ENOMEM;
}

/* Whether a PRV in place is on the way, so that no new one is of use. */
static bool
has_reducer(const fc_site *site, size_t at)
{
    for (; at != FCI_NONE; at = site->elements[at].parent)
        if (site->elements[at].part->kind == FCI_REDUCER)
            return true;
    return false;
}

static bool
has_too_much(const struct relief *r, const struct fci_fixture *fixture)
{
    return fci_judge_fixture(&r->judge, fixture, r->cures->state).maximum
               != FC_WORKS
           && !r->covered[fixture->element]
           && !has_reducer(r->site, fixture->element);
}

static fc_status
relieve_fixture(struct relief *r, const struct fci_fixture *fixture)
{
    size_t place;
    double set = NAN;
    fc_status status;

    if (!has_too_much(r, fixture))
        return FC_OK;
    status = find_place(r, fixture->element, &place, &set);
    if (status == FC_OK && place != FCI_NONE)
        status = put_in(r, place, set, true);
    return status;
}

/* What is fed by the main or beside what needs more than it bears: a PRV for
 * nothing but what has too much there. */
static fc_status
relieve_those_on(struct relief *r, size_t element)
{
    const fc_site *site = r->site;
    fc_reducer_window w;
    bool any = false;
    fc_status status;
    size_t i;

    for (i = 0; i < site->n_fixtures; i++)
        if (site->fixtures[i].element == element)
            any = (r->fed[i] = has_too_much(r, &site->fixtures[i])) || any;
    if (!any)
        return FC_OK;
    status =
        fci_reducer_window_of(&r->judge, r->cures->state, element, r->fed, &w);
    return status == FC_OK && w.all.possible && !isinf(w.all.high)
               ? put_in(r, element, rounded_down(r, w.all.high), false)
               : status;
}

/* ---- All -------------------------------------------------------------- */

/* "b at 61.3 psi and c at 60.0 psi", with " and 4 more" */
static const char *
names_said(const struct relief *r)
{
    const size_t n = r->out->put + r->out->turned;
    struct fci_words w = { r->cures->arena, "", 0 };
    size_t i;

    for (i = 0; i < r->n_named; i++)
        fci_say(&w, i + 1 == n ? " and " : ", ", "%s", r->named[i]);
    if (r->n_named < n)
        fci_say(&w, " ", "and %zu more", n - r->n_named);
    return w.text;
}

static const char *
in_words(const struct relief *r)
{
    const struct fci_relieved *out = r->out;
    struct fci_arena *arena = r->cures->arena;
    const char *said = names_said(r);

    if (!said)
        return NULL;
    if (out->put == 0)
        return fci_arena_printf(arena, "turn down %s", said);
    if (out->turned > 0)
        return fci_arena_printf(arena,
                                "turn down %zu and install %zu PRVs: %s",
                                out->turned, out->put, said);
    return out->put == 1
               ? fci_arena_printf(arena, "install a PRV downstream of %s",
                                  said)
               : fci_arena_printf(arena, "install %zu PRVs downstream of %s",
                                  out->put, said);
}

fc_status
fci_relieve(const struct fci_cures *c, const fc_site *site, bool apart,
            struct fci_relieved *out)
{
    struct relief r = { .cures = c, .site = site, .apart = apart, .out = out };
    fc_status status = fci_judge_begin(&r.judge, site, c->messages);
    size_t i;

    *out = (struct fci_relieved){ .said = "" };
    r.covered = calloc(site->n_elements, sizeof *r.covered);
    r.fed = calloc(site->n_fixtures + 1, sizeof *r.fed);
    if (status == FC_OK && !(r.covered && r.fed))
        status = FC_ENOMEM;
    if (status == FC_OK)
        status = turn_all_down(&r);
    for (i = 0; i < site->n_fixtures && status == FC_OK; i++)
        status = relieve_fixture(&r, &site->fixtures[i]);
    for (i = 0; i < site->n_elements && status == FC_OK; i++)
        status = relieve_those_on(&r, i);
    if (status == FC_OK && out->put + out->turned > 0) {
        out->said = in_words(&r);
        status = out->said ? FC_OK : FC_ENOMEM;
    }
    fci_judge_end(&r.judge);
    free(r.covered);
    free(r.fed);
    if (status != FC_OK)
        fci_change_list_free(&out->changes);
    return status;
}
