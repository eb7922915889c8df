/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/zones.c -- options together with PRVs for the zones that have too
 * much pressure with them. */
#include "remedy/remedies.h"
#include "check/checked.h"

#include <stdlib.h>
#include <string.h>

/* As many steps more as are tried beside PRVs: twice as many each time. */
#define MOST_MORE 512

bool
fci_push(struct fci_cures *c, const struct fci_pushed *pushed)
{
    struct fci_pushed *grown =
        fci_grow(c->pushed, c->n_pushed, &c->pushed_room, sizeof *c->pushed);

    if (!grown)
        return false;
    c->pushed = grown;
    grown[c->n_pushed++] = *pushed;
    return true;
}

void
fci_pushed_free(struct fci_cures *c)
{
    free(c->pushed);
    c->pushed = NULL;
    c->n_pushed = c->pushed_room = 0;
}

static bool
append_all(struct fci_change_list *list, const struct fci_change *changes,
           size_t n)
{
    bool ok = true;
    size_t i;

    for (i = 0; ok && i < n; i++)
        ok = !changes[i].key
                 ? fci_change_add_part(list, changes[i].kind, changes[i].data)
             : changes[i].data
                 ? fci_change_put(list, changes[i].kind, changes[i].name,
                                  changes[i].key, changes[i].data)
                 : fci_change_add(list, changes[i].kind, changes[i].name,
                                  changes[i].key, changes[i].value);
    return ok;
}

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
        && !(append_all(list, changes->changes, changes->n)
             && append_all(list, relieved->changes.changes,
                           relieved->changes.n)))
        status = FC_ENOMEM;
    fci_change_list_free(&relieved->changes);
    fc_site_free(site);
    return status;
}

/* A building that is changed and then relieved. */
struct with_prvs {
    struct fci_relieved relieved;
    struct fci_change_list list; /* all changes; none: no PRV is of use */
    bool works;
};

static fc_status
put_so(const struct fci_cures *c, const struct fci_change_list *changes,
       bool apart, struct with_prvs *out)
{
    fc_status status;

    *out = (struct with_prvs){ .relieved.said = "" };
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

/* Takes over the changes. */
static fc_status
add_with_prvs(struct fci_cures *c, fc_remedy *told, const char *said,
              struct with_prvs *made)
{
    told->works = true;
    told->text =
        *said ? fci_arena_printf(c->arena, "%s, and %s.", said,
                                 made->relieved.said)
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
        return add_with_prvs(c, &told, said, &made);
    fci_change_list_free(&made.list);
    return status;
}

/* ---- Turned on beside PRVs -------------------------------------------- */

/* `made` is taken over where it works, and empty otherwise. */
static fc_status
turn_with_prvs(const struct fci_cures *c, const struct fci_pushed *p,
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

/* What serves all at peak may be too little in the flush events, or for what a
 * PRV falls off: more steps, and then the fewest of them. */
static fc_status
find_fewest(const struct fci_cures *c, const struct fci_pushed *p, int *steps,
            struct with_prvs *best)
{
    int low = 0, high = p->steps, more = 1;
    fc_status status = turn_with_prvs(c, p, high, best);

    while (status == FC_OK && !best->works && more <= MOST_MORE
           && high < p->most) {
        low = high;
        high = p->most - high > more ? high + more : p->most;
        more *= 2;
        status = turn_with_prvs(c, p, high, best);
    }
    while (status == FC_OK && best->works && low > 0 && high - low > 1) {
        const int middle = low + (high - low) / 2;
        struct with_prvs made;

        status = turn_with_prvs(c, p, middle, &made);
        if (status != FC_OK || !made.works) {
            low = middle;
            continue;
        }
        fci_change_list_free(&best->list);
        *best = made;
        high = middle;
    }
    *steps = high;
    return status;
}

static fc_status
try_pushed(struct fci_cures *c, const struct fci_pushed *p)
{
    struct with_prvs made;
    fc_remedy told = p->told;
    const char *said = NULL;
    int steps;
    fc_status status = find_fewest(c, p, &steps, &made);

    if (status != FC_OK || !made.works) {
        fci_change_list_free(&made.list);
        return status;
    }
    said = p->tell(c, p->lever, steps, &told);
    if (said && fci_buy(c, &told, told.lever, p->kind, 1)) {
        told.lever = FC_COMBINE;
        return add_with_prvs(c, &told, said, &made);
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

    for (i = 0; i < c->n_pushed && status == FC_OK; i++) {
        c->with_prvs[c->pushed[i].told.lever] = true;
        status = try_pushed(c, &c->pushed[i]);
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
