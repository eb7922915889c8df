/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/zones.c -- options together with PRVs for the zones that have too
 * much pressure with them. */
#include "remedy/remedies.h"
#include "check/checked.h"

#include <stdlib.h>
#include <string.h>

bool
fci_push(struct fci_cures *c, const fc_remedy *told, const char *said,
         enum fci_kind kind, struct fci_change_list *changes)
{
    struct fci_pushed *grown =
        fci_grow(c->pushed, c->n_pushed, &c->pushed_room, sizeof *c->pushed);

    if (grown)
        c->pushed = grown;
    if (!grown || !said) {
        fci_change_list_free(changes);
        return false;
    }
    grown[c->n_pushed++] = (struct fci_pushed){ *told, said, kind, *changes };
    return true;
}

void
fci_pushed_free(struct fci_cures *c)
{
    size_t i;

    for (i = 0; i < c->n_pushed; i++)
        fci_change_list_free(&c->pushed[i].changes);
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
                const struct fci_change_list *changes,
                struct fci_relieved *relieved, struct fci_change_list *list)
{
    fc_site *site = NULL;
    fc_status status = fci_site_changed(c->site, changes->changes, changes->n,
                                        &site, c->messages);

    if (status == FC_OK)
        status = fci_relieve(c, site, relieved);
    if (status == FC_OK && relieved->put + relieved->turned > 0
        && !(append_all(list, changes->changes, changes->n)
             && append_all(list, relieved->changes.changes,
                           relieved->changes.n)))
        status = FC_ENOMEM;
    fci_change_list_free(&relieved->changes);
    fc_site_free(site);
    return status;
}

/* Becomes a remedy where it works; `told` has what the changes take, `said`
 * what they do. */
static fc_status
try_with_prvs(struct fci_cures *c, fc_remedy told, const char *said,
              const struct fci_change_list *changes)
{
    struct fci_relieved relieved = { .said = "" };
    struct fci_change_list list = { 0 };
    fc_status status = relieve_changed(c, changes, &relieved, &list);

    told.works = false;
    if (status == FC_OK && list.n > 0)
        status = fci_cure_bears(c, &list, &told.works, NULL);
    if (status == FC_OK && told.works) {
        told.text =
            *said ? fci_arena_printf(c->arena, "%s, and %s.", said,
                                     relieved.said)
                  : fci_arena_printf(c->arena, "I%s.", relieved.said + 1);
        if (buy_prvs(c, &relieved, &told))
            return fci_cure_add(c, &told, &list) ? FC_OK : FC_ENOMEM;
        status = FC_ENOMEM;
    }
    fci_change_list_free(&list);
    return status;
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
        const struct fci_pushed *p = &c->pushed[i];
        fc_remedy told = p->told;

        if (!fci_buy(c, &told, told.lever, p->kind, 1))
            return FC_ENOMEM;
        told.lever = FC_COMBINE;
        status = try_with_prvs(c, told, p->said, &p->changes);
    }
    for (i = 0; i < n && status == FC_OK; i++) {
        fc_remedy told = c->list[i].told;
        const char *said;

        if (!leaves_too_much(&told))
            continue;
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
