/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/pairs.c -- two levers together, where neither does alone.
 *
 * One is turned as far as a building bears it, or as is made; in the building
 * so changed the other is sought as if it were alone.  Then the first goes
 * back as far as both still do, so that neither can be turned less.  A third
 * lever is not tried.
 *
 * A loss is sought to the last digit and written rounded to less (remedy/
 * device.c).  The other lever is held against what is written, so that it
 * makes use of what is rounded; the loss is then sought beside it, so that
 * what is told of it does too.
 */
#include "remedy/remedies.h"
#include "ground/characters.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* As many are turned first: work stays bounded in a building of many. */
#define MOST_FIRST 12u
/* As often each of the two is sought beside the other: each time the first is
 * turned less, or no other way than before. */
#define MOST_ROUNDS 6

/* What may be sought second. */
static const struct {
    fc_lever lever;
    fc_status (*cure)(struct fci_cures *cures);
} seconds[] = {
    { FC_RAISE_SOURCE, fci_cure_source },
    { FC_RAISE_REDUCER, fci_cure_reducers },
    { FC_RAISE_PUMP, fci_cure_pumps },
    { FC_ADD_BOOSTER, fci_cure_booster },
    { FC_LOWER_LOSS, fci_cure_devices },
    { FC_LOWER_MINIMUM, fci_cure_minima },
};
#define N_SECONDS (sizeof seconds / sizeof *seconds)

bool
fci_add_partner(struct fci_cures *c, const struct fci_partner *partner)
{
    struct fci_partner *grown =
        fci_grow(c->partners, c->n_partners, &c->partners_room, sizeof *grown);

    if (!grown)
        return false;
    c->partners = grown;
    grown[c->n_partners++] = *partner;
    return true;
}

bool
fci_append_changes(struct fci_change_list *list,
                   const struct fci_change_list *more)
{
    bool ok = true;
    size_t i;

    for (i = 0; ok && i < more->n; i++) {
        const struct fci_change *one = &more->changes[i];

        ok = !one->key   ? fci_change_add_part(list, one->kind, one->data)
             : one->data ? fci_change_put(list, one->kind, one->name, one->key,
                                          one->data)
                         : fci_change_add(list, one->kind, one->name, one->key,
                                          one->value);
    }
    return ok;
}

/* ---- How far the first one goes --------------------------------------- */

static fc_status
is_borne(const struct fci_cures *c, fci_turn *turn, const void *lever,
         int steps, bool *borne)
{
    struct fci_change_list list = { 0 };
    fc_site *site = NULL;
    struct fci_judge judge = { 0 };
    fc_status status = turn(c, lever, steps, &list) ? FC_OK : FC_ENOMEM;
    size_t i;

    if (status == FC_OK)
        status = fci_site_changed(c->site, list.changes, list.n, &site,
                                  c->messages);
    if (status == FC_OK)
        status = fci_judge_begin(&judge, site, c->messages);
    *borne = status == FC_OK;
    for (i = 0; *borne && i < site->n_fixtures; i++) {
        const struct fci_judgement j =
            fci_judge_fixture(&judge, &site->fixtures[i], c->state);

        *borne = j.trapped.high - j.need.maximum_static
                 <= fmax(c->over[i], 0) + FCI_SAME_PRESSURE;
    }
    fci_judge_end(&judge);
    fc_site_free(site);
    fci_change_list_free(&list);
    return status;
}

fc_status
fci_find_borne(const struct fci_cures *c, fci_turn *turn, const void *lever,
               int most, int *steps)
{
    int low = 0, high = most + 1;
    fc_status status = FC_OK;
    bool borne;

    while (status == FC_OK && high - low > 1) {
        const int middle = low + (high - low) / 2;

        status = is_borne(c, turn, lever, middle, &borne);
        if (borne)
            low = middle;
        else
            high = middle;
    }
    *steps = low;
    return status;
}

/* ---- The second one --------------------------------------------------- */

/* The building with the first one turned, and what is found in it. */
struct changed {
    fc_site *site;
    fc_check_result *check;
    struct fci_cures cures;
};

static void
end_changed(struct changed *x)
{
    size_t i;

    for (i = 0; i < x->cures.n; i++)
        fci_change_list_free(&x->cures.list[i].changes);
    free(x->cures.list);
    free(x->cures.feeds);
    free(x->cures.over);
    free(x->cures.levers);
    free(x->cures.partners);
    fci_judge_end(&x->cures.judge);
    fc_check_result_free(x->check);
    fc_site_free(x->site);
}

static fc_status
begin_changed(struct changed *x, const struct fci_cures *c, fci_turn *turn,
              const void *lever, int steps)
{
    struct fci_change_list list = { 0 };
    fc_status status = turn(c, lever, steps, &list) ? FC_OK : FC_ENOMEM;

    *x = (struct changed){ 0 };
    if (status == FC_OK)
        status = fci_site_changed(c->site, list.changes, list.n, &x->site,
                                  c->messages);
    fci_change_list_free(&list);
    x->cures = (struct fci_cures){ .site = x->site,
                                   .state = c->state,
                                   .options = c->options,
                                   .messages = c->messages,
                                   .arena = c->arena,
                                   .pipes_cost = INFINITY };
    if (status == FC_OK)
        status = fci_judge_begin(&x->cures.judge, x->site, c->messages);
    if (status == FC_OK)
        status =
            fc_check_with(x->site, &c->options->check, &x->check, c->messages);
    x->cures.check = x->check;
    if (status == FC_OK
        && !(fci_cure_mark(&x->cures) && fci_pressure_levers(&x->cures)))
        status = FC_ENOMEM;
    return status;
}

static bool
same_lever(const fc_remedy *a, const fc_remedy *b)
{
    return a->lever == b->lever
           && (a->lever == FC_LOWER_MINIMUM
               || (a->subject && b->subject
                   && strcmp(a->subject, b->subject) == 0));
}

/* Whether a lever does alone; or was turned first with this one second. */
static bool
is_told(const struct fci_cures *c, const fc_remedy *second)
{
    size_t i;

    for (i = 0; i < c->n; i++)
        if (c->list[i].told.works && same_lever(&c->list[i].told, second))
            return true;
    for (i = 0; i < c->n_partners; i++)
        if (c->partners[i].tried && same_lever(&c->partners[i].told, second))
            return true;
    return false;
}

static bool
may_be_second(const struct fci_cures *c, const struct fci_partner *first,
              const fc_remedy *second)
{
    return second->works && second->reach != FC_BY_UTILITY && second->subject
           && !same_lever(&first->told, second) && !is_told(c, second);
}

/* ---- Both ------------------------------------------------------------- */

struct pair {
    const struct fci_partner *first;
    const void *lever; /* of the first one: as sought, or as written */
    const struct fci_change_list *second;
};

static const void *
as_written(const struct fci_partner *first)
{
    return first->written ? first->written : first->lever;
}

static bool
turn_pair(const struct fci_cures *c, const void *lever, int steps,
          struct fci_change_list *list)
{
    const struct pair *p = lever;

    return p->first->turn(c, p->lever, steps, list)
           && fci_append_changes(list, p->second);
}

static bool
buy_both(const struct fci_cures *c, const struct fci_partner *first,
         const fc_remedy *second, fc_remedy *told)
{
    return fci_buy(c, told, first->told.lever, first->kind, 1)
           && fci_buy_again(c, told, second);
}

/* What remedies borrow from lives as long as they do. */
static bool
keep_site(struct fci_cures *c, fc_site **site)
{
    fc_site **grown =
        fci_grow(c->kept, c->n_kept, &c->kept_room, sizeof *grown);

    if (!grown)
        return false;
    c->kept = grown;
    grown[c->n_kept++] = *site;
    *site = NULL;
    return true;
}

/* As it reads within a sentence. */
static const char *
within(const struct fci_cures *c, const char *text)
{
    char *copy = fci_arena_string(c->arena, text);

    if (copy)
        *copy = fci_lower(*copy);
    return copy;
}

/* Both, the first one turned so far, as they are written; to the last digit
 * where that does not do.  The changes are none where neither does. */
static fc_status
write_pair(const struct fci_cures *c, const struct fci_partner *first,
           int steps, const struct fci_change_list *second,
           struct fci_change_list *list, bool *works)
{
    const void *const levers[] = { first->written, first->lever };
    fc_status status = FC_OK;
    size_t i;

    *works = false;
    for (i = 0; i < 2 && status == FC_OK && !*works; i++) {
        const struct pair pair = { first, levers[i], second };

        if (!levers[i])
            continue;
        status = turn_pair(c, &pair, steps, list) ? FC_OK : FC_ENOMEM;
        if (status == FC_OK)
            status = fci_cure_check(c, list, works, NULL);
        if (!*works)
            fci_change_list_free(list);
    }
    return status;
}

/* As the first one is where it goes no further than is made; what it is alone
 * says nothing of it then. */
static fc_remedy
in_reach(fc_remedy told)
{
    told.reach = FC_IN_REACH;
    return told;
}

/* The pair as it is found with the first one turned so far, as it is told by
 * `lever`; takes nothing over. */
static fc_status
add_pair(struct fci_cures *c, const struct fci_partner *first,
         const void *lever, int steps, const struct fci_cure *second)
{
    struct fci_change_list list = { 0 };
    fc_remedy told = in_reach(first->told);
    const char *said = first->tell(c, lever, steps, &told);
    const char *also = within(c, second->told.text);
    fc_status status = said && also ? FC_OK : FC_ENOMEM;

    if (status == FC_OK)
        status =
            write_pair(c, first, steps, &second->changes, &list, &told.works);
    if (status == FC_OK && told.works) {
        told.text = fci_arena_printf(c->arena, "%s, and %s", said, also);
        told.lever = FC_COMBINE;
        if (second->told.reach != FC_IN_REACH)
            told.reach = second->told.reach;
        told.fixture = second->told.fixture;
        if (buy_both(c, first, &second->told, &told))
            return fci_cure_add(c, &told, &list) ? FC_OK : FC_ENOMEM;
        status = FC_ENOMEM;
    }
    fci_change_list_free(&list);
    return status;
}

/* The second one in the building with the first one turned so far; what is
 * made, and which valves, may be others there.  NULL: it does not do there. */
static fc_status
seek_again(struct changed *x, const fc_remedy *second,
           const struct fci_cure **found)
{
    fc_status status = FC_OK;
    size_t i;

    *found = NULL;
    for (i = 0; status == FC_OK && i < N_SECONDS; i++)
        if (seconds[i].lever == second->lever)
            status = seconds[i].cure(&x->cures);
    for (i = 0; status == FC_OK && !*found && i < x->cures.n; i++)
        if (x->cures.list[i].told.works
            && same_lever(&x->cures.list[i].told, second))
            *found = &x->cures.list[i];
    return status;
}

/* Each beside the other until neither can be turned less.  Of two losses each
 * is sought beside the other to the last digit.  Where only what is written of
 * the first one does beside the other, that is told of it. */
static fc_status
settle_pair(struct fci_cures *c, const struct fci_partner *first, int steps,
            const fc_remedy *second)
{
    const void *lever =
        second->lever == FC_LOWER_LOSS ? first->lever : as_written(first);
    struct fci_turned t = { .outcome = FCI_CURES, .steps = steps };
    struct changed x = { 0 };
    const struct fci_cure *found = NULL;
    const size_t n = c->n;
    fc_status status;
    int rounds = 0;

    do {
        steps = t.steps;
        end_changed(&x);
        status = begin_changed(&x, c, first->turn, lever, steps);
        if (status == FC_OK)
            status = seek_again(&x, second, &found);
        if (status == FC_OK && found) {
            const struct pair pair = { first, first->lever, &found->changes };

            status = fci_cure_search(c, turn_pair, &pair, first->far, &t);
        }
    } while (status == FC_OK && found && t.outcome == FCI_CURES
             && t.steps != steps && ++rounds < MOST_ROUNDS);
    if (status == FC_OK && found)
        status = t.outcome == FCI_CURES
                     ? add_pair(c, first, first->lever, t.steps, found)
                     : add_pair(c, first, lever, steps, found);
    if (c->n > n && !keep_site(c, &x.site))
        status = FC_ENOMEM;
    end_changed(&x);
    return status;
}

static fc_status
try_second(struct fci_cures *c, const struct fci_partner *first,
           const struct fci_cure *second)
{
    const struct pair pair = { first, first->lever, &second->changes };
    struct fci_turned t;
    fc_status status;

    if (!may_be_second(c, first, &second->told))
        return FC_OK;
    status = fci_cure_search(c, turn_pair, &pair, first->far, &t);
    return status == FC_OK && t.outcome == FCI_CURES
               ? settle_pair(c, first, t.steps, &second->told)
               : status;
}

/* ---- With pipes -------------------------------------------------------- */

/* The pipes and the first one turned so far; takes the changes of the pipes
 * over. */
static fc_status
add_with_pipes(struct fci_cures *c, const struct fci_partner *first,
               fc_remedy *told, struct fci_change_list *pipes)
{
    const struct pair pair = { first, first->lever, pipes };
    struct fci_change_list list = { 0 };
    struct fci_turned t;
    const char *said, *which;
    fc_status status = fci_cure_search(c, turn_pair, &pair, first->far, &t);

    told->works = false;
    if (status == FC_OK && t.outcome == FCI_CURES)
        status = write_pair(c, first, t.steps, pipes, &list, &told->works);
    fci_change_list_free(pipes);
    if (status != FC_OK || !told->works)
        return status;
    said = first->tell(c, first->lever, t.steps, told);
    which = fci_which_pipes(c, told);
    if (said && which)
        told->text =
            fci_arena_printf(c->arena, "%s, and replace %s.", said, which);
    told->fixture = t.fixture;
    if (!told->text || !fci_buy(c, told, first->told.lever, first->kind, 1)) {
        fci_change_list_free(&list);
        return FC_ENOMEM;
    }
    told->lever = FC_COMBINE;
    return fci_cure_add(c, told, &list) ? FC_OK : FC_ENOMEM;
}

/* The cheapest pipes in the building with the first one as far as is made,
 * where they cost less than pipes alone, or those do not do. */
static fc_status
try_pipes(struct fci_cures *c, const struct fci_partner *first,
          const fc_site *site)
{
    const struct fci_size_aims aims = { .replace = true };
    struct fci_change_list pipes = { 0 };
    fc_remedy told = in_reach(first->told);
    struct fci_best best;
    fc_status status =
        fci_attempt_best(&best, site, &aims, c->options, c->messages);
    const bool works = status == FC_OK && fci_attempt_works(&best.attempt)
                       && best.attempt.cost > 0
                       && best.attempt.cost < c->pipes_cost;

    c->with_pipes[first->told.lever] = true;
    if (works
        && !(fci_tell_pipes(c, &best.attempt, &told)
             && fci_take_changes(c, &best.attempt, &pipes)))
        status = FC_ENOMEM;
    fci_best_free(&best);
    if (works && status == FC_OK)
        return add_with_pipes(c, first, &told, &pipes);
    fci_change_list_free(&pipes);
    return status;
}

/* ---- All --------------------------------------------------------------- */

static fc_status
try_first(struct fci_cures *c, const struct fci_partner *first)
{
    struct changed x;
    fc_status status =
        begin_changed(&x, c, first->turn, first->lever, first->far);
    size_t i;

    c->with_another[first->told.lever] = true;
    for (i = 0; status == FC_OK && i < N_SECONDS; i++)
        status = seconds[i].cure(&x.cures);
    for (i = 0; status == FC_OK && i < x.cures.n; i++)
        status = try_second(c, first, &x.cures.list[i]);
    /* pressures go with pipes apart: see remedy/pipes.c */
    if (status == FC_OK && first->told.lever == FC_LOWER_LOSS
        && (isinf(c->pipes_cost) || fci_has_prices(c)))
        status = try_pipes(c, first, x.site);
    end_changed(&x);
    return status;
}

static fc_status
try_all(struct fci_cures *c, bool meters, size_t *n)
{
    fc_status status = FC_OK;
    size_t i;

    for (i = 0; i < c->n_partners && status == FC_OK; i++) {
        struct fci_partner *p = &c->partners[i];

        if (p->far == 0 || (p->kind == FCI_METER) != meters
            || ++*n > MOST_FIRST)
            continue;
        status = try_first(c, p);
        p->tried = true;
    }
    return status;
}

/* Meters are turned first where nothing else can be: the second one is named.
 */
fc_status
fci_cure_pairs(struct fci_cures *c)
{
    size_t n = 0;
    fc_status status = try_all(c, false, &n);

    return status == FC_OK ? try_all(c, true, &n) : status;
}
