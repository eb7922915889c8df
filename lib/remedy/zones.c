/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/zones.c -- options together with PRVs for the zones that have too
 * much pressure with them. */
#include "remedy/remedies.h"
#include "check/checked.h"
#include "units/units.h"

#include <stdlib.h>
#include <string.h>

/* As many steps more as are tried beside PRVs: twice as many each time. */
#define MOST_MORE 512

/* So many of the steps between are tried where more could be. */
#define MOST_SCANNED 24

static bool
buy_prvs(const struct fci_cures *c, const struct fci_relieved *relieved,
         fc_remedy *told)
{
    return (relieved->put == 0
            || fci_buy(c, told, FC_ADD_REDUCER, FCI_REDUCER,
                       (double)relieved->put))
           && (relieved->turned == 0
               || fci_buy(c, told, FC_LOWER_REDUCER, FCI_REDUCER,
                          (double)relieved->turned));
}

/* The changes and the PRVs that they call for, in `list`; none: there are
 * none. */
static fc_status
relieve_changed(const struct fci_cures *c,
                const struct fci_change_list *changes, bool apart,
                struct fci_relieved *relieved, struct fci_change_list *list)
{
    fc_site *site = NULL;
    fc_status status = fci_site_changed(c->site, changes->changes, changes->n,
                                        &site, c->messages);

    if (status == FC_OK)
        status = fci_relieve(c, site, apart, relieved);
    if (status == FC_OK && relieved->put + relieved->turned > 0
        && !(fci_append_changes(list, changes)
             && fci_append_changes(list, &relieved->changes)))
        status = FC_ENOMEM;
    fci_change_list_free(&relieved->changes);
    fc_site_free(site);
    return status;
}

/* A building that is changed and then relieved. */
struct with_prvs {
    struct fci_relieved relieved;
    struct fci_change_list list; /* all changes; none: no PRV is of use */
    size_t before;               /* so many of them are no PRVs */
    bool works;
};

static fc_status
put_so(const struct fci_cures *c, const struct fci_change_list *changes,
       bool apart, struct with_prvs *out)
{
    fc_status status;

    *out = (struct with_prvs){ .relieved.said = "", .before = changes->n };
    status = relieve_changed(c, changes, apart, &out->relieved, &out->list);
    if (status == FC_OK && out->list.n > 0)
        status = fci_cure_bears(c, &out->list, &out->works, NULL);
    return status;
}

/* As few PRVs as go; where the one that serves all takes too much from what is
 * short of pressure, one for each that has too much. */
static fc_status
put_prvs(const struct fci_cures *c, const struct fci_change_list *changes,
         struct with_prvs *out)
{
    const fc_status status = put_so(c, changes, false, out);

    if (status != FC_OK || out->works || out->list.n == 0)
        return status;
    fci_change_list_free(&out->list);
    return put_so(c, changes, true, out);
}

/* Takes over the changes; `also` is what more is to be known, or "". */
static fc_status
add_with_prvs(struct fci_cures *c, fc_remedy *told, const char *said,
              struct with_prvs *made, const char *also)
{
    told->works = true;
    told->text =
        *said ? fci_arena_printf(c->arena, "%s, and %s%s.", said,
                                 made->relieved.said, also)
              : fci_arena_printf(c->arena, "I%s.", made->relieved.said + 1);
    if (buy_prvs(c, &made->relieved, told))
        return fci_cure_add(c, told, &made->list) ? FC_OK : FC_ENOMEM;
    fci_change_list_free(&made->list);
    return FC_ENOMEM;
}

/* Becomes a remedy where it works; `told` has what the changes take, `said`
 * what they do. */
static fc_status
try_with_prvs(struct fci_cures *c, fc_remedy told, const char *said,
              const struct fci_change_list *changes)
{
    struct with_prvs made;
    const fc_status status = put_prvs(c, changes, &made);

    if (status == FC_OK && made.works)
        return add_with_prvs(c, &told, said, &made, "");
    fci_change_list_free(&made.list);
    return status;
}

/* ---- Turned on beside PRVs -------------------------------------------- */

/* `made` is taken over where it works, and empty otherwise. */
static fc_status
turn_with_prvs(const struct fci_cures *c, const struct fci_partner *p,
               int steps, struct with_prvs *made)
{
    struct fci_change_list changes = { 0 };
    fc_status status =
        p->turn(c, p->lever, steps, &changes) ? FC_OK : FC_ENOMEM;

    *made = (struct with_prvs){ .relieved.said = "" };
    if (status == FC_OK)
        status = put_prvs(c, &changes, made);
    if (status != FC_OK || !made->works) {
        fci_change_list_free(&made->list);
        made->works = false;
    }
    fci_change_list_free(&changes);
    return status;
}

/* The fewest steps above `low`, which do not do, as halving finds them; `best`
 * is what `high` steps make, which do. */
static fc_status
halve(const struct fci_cures *c, const struct fci_partner *p, int low,
      int *high, struct with_prvs *best)
{
    fc_status status = FC_OK;

    while (status == FC_OK && *high - low > 1) {
        const int middle = low + (*high - low) / 2;
        struct with_prvs made;

        status = turn_with_prvs(c, p, middle, &made);
        if (status != FC_OK || !made.works) {
            low = middle;
            continue;
        }
        fci_change_list_free(&best->list);
        *best = made;
        *high = middle;
    }
    return status;
}

/* PRVs are set by the pressure that there is, so that steps that do may stand
 * below steps that do not: all between are tried where they are few, and
 * otherwise so many of them. */
static fc_status
scan(const struct fci_cures *c, const struct fci_partner *p, int *steps,
     struct with_prvs *best)
{
    const int low = p->serves, high = *steps;
    const int gap = (high - low + MOST_SCANNED) / (MOST_SCANNED + 1);
    struct with_prvs made = { .works = false };
    fc_status status = FC_OK;
    int at;

    for (at = low + gap; status == FC_OK && !made.works && at < high - 1;
         at += gap)
        status = turn_with_prvs(c, p, at, &made);
    if (status != FC_OK || !made.works)
        return status;
    fci_change_list_free(&best->list);
    *best = made;
    *steps = at - gap;
    return halve(c, p, *steps - gap, steps, best);
}

/* What serves all at peak may be too little in the flush events, or for what a
 * PRV falls off: more steps, and then the fewest of them.  With less than what
 * serves without PRVs some fixture is short, and with PRVs too. */
static fc_status
find_fewest(const struct fci_cures *c, const struct fci_partner *p, int *steps,
            struct with_prvs *best)
{
    int low = 0, high = p->serves, more = 1;
    fc_status status = turn_with_prvs(c, p, high, best);

    while (status == FC_OK && !best->works && more <= MOST_MORE
           && high < p->most) {
        low = high;
        high = p->most - high > more ? high + more : p->most;
        more *= 2;
        status = turn_with_prvs(c, p, high, best);
    }
    *steps = high;
    if (status != FC_OK || !best->works || low == 0)
        return status;
    status = halve(c, p, low, steps, best);
    return status == FC_OK ? scan(c, p, steps, best) : status;
}

/* ---- How far it may go beside those PRVs -------------------------------- */

static fc_status
bears(const struct fci_cures *c, const struct fci_partner *p, int steps,
      const struct fci_change_list *prvs, bool *works)
{
    struct fci_change_list list = { 0 };
    fc_status status =
        p->turn(c, p->lever, steps, &list) && fci_append_changes(&list, prvs)
            ? FC_OK
            : FC_ENOMEM;

    if (status == FC_OK)
        status = fci_cure_bears(c, &list, works, NULL);
    fci_change_list_free(&list);
    return status;
}

/* The most steps with which the PRVs of so few still do, as doubling and
 * halving find them. */
static fc_status
find_top(const struct fci_cures *c, const struct fci_partner *p, int steps,
         const struct with_prvs *made, int *top)
{
    const struct fci_change_list prvs = { .changes = made->list.changes
                                                     + made->before,
                                          .n = made->list.n - made->before };
    int low = steps, high = steps + 1, more = 1;
    bool works = true;
    fc_status status = FC_OK;

    while (status == FC_OK && works && high < p->most) {
        status = bears(c, p, high, &prvs, &works);
        if (works) {
            low = high;
            high = p->most - high > more ? high + more : p->most;
            more *= 2;
        }
    }
    while (status == FC_OK && high - low > 1) {
        const int middle = low + (high - low) / 2;

        status = bears(c, p, middle, &prvs, &works);
        if (works)
            low = middle;
        else
            high = middle;
    }
    *top = low;
    return status;
}

/* "; with these PRVs up to 131.0 ft works"; "" where any more does. */
static fc_status
say_top(const struct fci_cures *c, const struct fci_partner *p, int steps,
        const struct with_prvs *made, const char **also)
{
    fc_remedy most = p->told;
    int top = steps;
    fc_status status = find_top(c, p, steps, made, &top);

    *also = "";
    if (status != FC_OK || top + 1 >= p->most)
        return status;
    if (!p->tell(c, p->lever, top, &most))
        return FC_ENOMEM;
    *also =
        top == steps
            ? "; with these PRVs no more does"
            : fci_arena_printf(
                c->arena, "; with these PRVs up to %s works",
                fci_show(c->site->settings.units, most.dimension, most.value)
                    .text);
    return *also ? FC_OK : FC_ENOMEM;
}

static fc_status
try_partner(struct fci_cures *c, const struct fci_partner *p)
{
    struct with_prvs made;
    fc_remedy told = p->told;
    const char *said = NULL, *also = "";
    int steps;
    fc_status status = find_fewest(c, p, &steps, &made);

    if (status == FC_OK && made.works)
        status = say_top(c, p, steps, &made, &also);
    if (status != FC_OK || !made.works) {
        fci_change_list_free(&made.list);
        return status;
    }
    said = p->tell(c, p->lever, steps, &told);
    if (said && fci_buy(c, &told, told.lever, p->kind, 1)) {
        told.lever = FC_COMBINE;
        return add_with_prvs(c, &told, said, &made, also);
    }
    fci_change_list_free(&made.list);
    return FC_ENOMEM;
}

/* Its text without the full stop. */
static const char *
without_stop(const struct fci_cures *c, const char *text)
{
    return fci_arena_printf(c->arena, "%.*s", (int)strlen(text) - 1, text);
}

static bool
leaves_too_much(const fc_remedy *r)
{
    return r->works && r->reach == FC_IN_REACH && r->too_high != FC_WORKS;
}

fc_status
fci_cure_zones(struct fci_cures *c)
{
    const size_t n = c->n;
    fc_status status = FC_OK;
    size_t i;

    for (i = 0; i < c->n_partners && status == FC_OK; i++) {
        if (c->partners[i].serves == 0)
            continue;
        c->with_prvs[c->partners[i].told.lever] = true;
        status = try_partner(c, &c->partners[i]);
    }
    for (i = 0; i < n && status == FC_OK; i++) {
        fc_remedy told = c->list[i].told;
        const char *said;

        if (!leaves_too_much(&told))
            continue;
        c->with_prvs[told.lever] = true;
        said = without_stop(c, told.text);
        told.lever = FC_COMBINE;
        status = said ? try_with_prvs(c, told, said, &c->list[i].changes)
                      : FC_ENOMEM;
    }
    return status;
}

/* Nothing is short, and no one PRV brings all down: several. */
fc_status
fci_cure_several_reducers(struct fci_cures *c)
{
    const struct fci_change_list none = { 0 };
    size_t i;

    for (i = 0; i < c->n; i++)
        if (c->list[i].told.works)
            return FC_OK;
    return try_with_prvs(c, fci_remedy_of(FC_ADD_REDUCER, NULL, FC_PRESSURE),
                         "", &none);
}
