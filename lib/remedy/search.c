/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/search.c -- how far a lever has to be turned.
 *
 * Pressure at peak rises with the steps, so the fewest that serve are found by
 * halving.  Check then has the last word: where it finds the flush events
 * short, more steps are taken until it does not, or finds something else.
 */
#include "remedy/remedies.h"
#include "check/checked.h"
#include "size/explain.h"
#include "ground/ties.h"

#include <math.h>
#include <stdlib.h>

struct search {
    const struct fci_cures *cures;
    fci_turn *turn;
    const void *lever;
    int most;
};

/* ---- Served at peak --------------------------------------------------- */

static bool
is_fixture_served(const struct fci_judgement *j)
{
    return j->pressure == FC_WORKS && j->no_pipe == FC_WORKS
           && j->on_way == FC_WORKS;
}

/* The fixture that has least of those not served; NULL: all are. */
static const char *
shortest(const struct fci_judge *judge, fc_state state)
{
    const fc_site *site = judge->site;
    const char *name = NULL;
    double least = INFINITY;
    size_t i;

    for (i = 0; i < site->n_fixtures; i++) {
        const struct fci_judgement j =
            fci_judge_fixture(judge, &site->fixtures[i], state);
        const double left = j.margin.given ? j.margin.low : j.flowing.low;

        if (is_fixture_served(&j) || (name && !fci_is_less(left, least)))
            continue;
        name = site->fixtures[i].given->name;
        least = left;
    }
    return name;
}

/* *name is copied to the arena, since the site may go. */
static fc_status
find_shortest(const struct fci_cures *c, const fc_site *site,
              const char **name)
{
    struct fci_judge judge;
    fc_status status = fci_judge_begin(&judge, site, c->messages);

    *name = NULL;
    if (status == FC_OK) {
        const char *found = shortest(&judge, c->state);

        *name = found ? fci_arena_string(c->arena, found) : NULL;
        if (found && !*name)
            status = FC_ENOMEM;
    }
    fci_judge_end(&judge);
    return status;
}

bool
fci_cure_mark(struct fci_cures *c)
{
    const fc_site *site = c->site;
    size_t i;

    c->feeds = calloc(site->n_elements, sizeof *c->feeds);
    c->over = calloc(site->n_fixtures + 1, sizeof *c->over);
    if (!c->feeds || !c->over)
        return false;
    for (i = 0; i < site->n_fixtures; i++) {
        const struct fci_judgement j =
            fci_judge_fixture(&c->judge, &site->fixtures[i], c->state);

        c->over[i] =
            fci_over_maximum(&j, c->check->fixtures[i].states[c->state].alone);
        if (is_fixture_served(&j))
            continue;
        c->feeds[site->fixtures[i].element] = true;
        c->any_short = true;
    }
    for (i = site->n_elements; i-- > 1;)
        if (c->feeds[site->order[i]])
            c->feeds[site->elements[site->order[i]].parent] = true;
    for (i = 0; i < site->n_elements; i++)
        if (fci_is_second(&site->elements[i]))
            c->feeds[i] = c->feeds[site->elements[i].to];
    for (i = 0; !c->any_short && i < site->n_elements; i++)
        c->feeds[i] = true;
    return true;
}

static fc_status
make_changes(const struct search *s, int steps, struct fci_change_list *list)
{
    if (steps == 0 || s->turn(s->cures, s->lever, steps, list))
        return FC_OK;
    return FC_ENOMEM;
}

/* Who is short so many steps off; NULL: nobody. */
static fc_status
try_peak(const struct search *s, int steps, const char **name)
{
    struct fci_change_list list = { 0 };
    fc_site *site = NULL;
    fc_status status = make_changes(s, steps, &list);

    *name = NULL;
    if (status == FC_OK)
        status = fci_site_changed(s->cures->site, list.changes, list.n, &site,
                                  s->cures->messages);
    if (status == FC_OK)
        status = find_shortest(s->cures, site, name);
    fc_site_free(site);
    fci_change_list_free(&list);
    return status;
}

/* ---- Checked ---------------------------------------------------------- */

bool
fci_cure_holds(const struct fci_cures *c, const struct fci_verdicts *verdicts)
{
    size_t i;

    if (verdicts->works != FC_WORKS)
        return false;
    for (i = 0; i < c->site->n_fixtures; i++)
        if (verdicts->over[i] > fmax(c->over[i], 0) + FCI_SAME_PRESSURE)
            return false;
    return true;
}

/* `but` NULL: nobody asks what it fails by.  `bears`: nothing at all may be
 * above its maximum. */
static fc_status
check_changed(const struct fci_cures *c, const struct fci_change_list *list,
              const fc_check_options *options, bool bears, bool *works,
              const char **but)
{
    struct fci_trial trial;
    fc_check_result *check = NULL;
    fc_status status =
        fci_trial_make(&trial, c->site, list, options, c->messages);

    *works = status == FC_OK && fci_cure_holds(c, &trial.verdicts)
             && (!bears || trial.verdicts.too_high == FC_WORKS);
    if (but)
        *but = NULL;
    if (status == FC_OK && but && !*works) {
        status = fci_check(trial.site, options, NULL, &check, c->messages);
        *but = status == FC_OK ? fci_explain_check(check, c->arena) : NULL;
        if (status == FC_OK && !*but)
            status = FC_ENOMEM;
    }
    fc_check_result_free(check);
    fci_trial_free(&trial);
    return status;
}

static fc_status
check_both(const struct fci_cures *c, const struct fci_change_list *list,
           bool bears, bool *works, const char **but)
{
    const fc_check_options peak = { .peak_only = true,
                                    .steady_main = true,
                                    .no_proviso = true };
    const fc_status status = check_changed(c, list, &peak, bears, works, but);

    return status == FC_OK && *works
               ? check_changed(c, list, &c->options->check, bears, works, but)
               : status;
}

fc_status
fci_cure_check(const struct fci_cures *c, const struct fci_change_list *list,
               bool *works, const char **but)
{
    return check_both(c, list, false, works, but);
}

fc_status
fci_cure_bears(const struct fci_cures *c, const struct fci_change_list *list,
               bool *works, const char **but)
{
    return check_both(c, list, true, works, but);
}

static fc_status
try_check(const struct search *s, int steps, bool events, bool *works,
          const char **but)
{
    const fc_check_options peak = { .peak_only = true,
                                    .steady_main = true,
                                    .no_proviso = true };
    struct fci_change_list list = { 0 };
    fc_status status = make_changes(s, steps, &list);

    if (status == FC_OK)
        status = check_changed(s->cures, &list,
                               events ? &s->cures->options->check : &peak,
                               false, works, but);
    fci_change_list_free(&list);
    return status;
}

/* ---- The search ------------------------------------------------------- */

static fc_status
find_served(const struct search *s, struct fci_turned *t)
{
    int low = 0, high = s->most; /* short at `low`, served at `high` */
    const char *name;
    fc_status status = try_peak(s, high, &name);

    t->idle = false;
    t->outcome = name ? FCI_USELESS : FCI_SERVES;
    t->steps = high;
    t->fixture = name;
    if (status != FC_OK || name)
        return status;
    status = try_peak(s, low, &t->fixture);
    t->idle = !t->fixture;
    if (status != FC_OK || t->idle) {
        t->steps = 1;
        return status;
    }
    while (status == FC_OK && high - low > 1) {
        const int middle = low + (high - low) / 2;

        status = try_peak(s, middle, &name);
        if (name) {
            low = middle;
            t->fixture = name;
        } else
            high = middle;
    }
    t->steps = high;
    return status;
}

/* More steps for the flush events' sake, as long as they are all that is
 * found: first twice as many each time, then halving.  Where that goes beyond
 * what else allows, the steps that do, if there are any, are among those
 * between. */
static fc_status
go_on(const struct search *s, struct fci_turned *t)
{
    int low = t->steps, high = low, more = 1;
    bool works = false, at_peak = true, found, beyond;
    fc_status status = FC_OK;

    while (status == FC_OK && !works && at_peak && high < s->most) {
        low = high;
        high = s->most - high > more ? high + more : s->most;
        more *= 2;
        status = try_check(s, high, false, &at_peak, NULL);
        if (status == FC_OK && at_peak)
            status = try_check(s, high, true, &works, NULL);
    }
    found = works;
    beyond = !at_peak;
    while (status == FC_OK && (found || beyond) && high - low > 1) {
        const int middle = low + (high - low) / 2;

        works = false;
        status = try_check(s, middle, false, &at_peak, NULL);
        if (status == FC_OK && at_peak)
            status = try_check(s, middle, true, &works, NULL);
        found = found || works;
        if (works || !at_peak)
            high = middle;
        else
            low = middle;
    }
    if (status != FC_OK || !found)
        return status;
    t->steps = high;
    t->outcome = FCI_CURES;
    t->fixture = NULL;
    return status;
}

fc_status
fci_cure_search(const struct fci_cures *cures, fci_turn *turn,
                const void *lever, int most, struct fci_turned *t)
{
    const struct search s = { cures, turn, lever, most };
    bool works;
    fc_status status = find_served(&s, t);

    t->but = NULL;
    if (status != FC_OK || t->outcome == FCI_USELESS)
        return status;
    /* events take longest: only where nothing else is in the way */
    status = try_check(&s, t->steps, false, &works, &t->but);
    if (status != FC_OK || !works)
        return status;
    status = try_check(&s, t->steps, true, &works, NULL);
    if (status == FC_OK && works) {
        t->outcome = FCI_CURES;
        return FC_OK;
    }
    if (status == FC_OK)
        status = go_on(&s, t);
    if (status == FC_OK && t->outcome != FCI_CURES)
        status = try_check(&s, t->steps, true, &works, &t->but);
    return status;
}

/* ---- The list --------------------------------------------------------- */

fc_remedy
fci_remedy_of(fc_lever lever, const char *subject, fc_dimension dimension)
{
    const fc_remedy told = { .lever = lever,
                             .subject = subject,
                             .dimension = dimension,
                             .value = NAN,
                             .now = NAN,
                             .new_pipe = NAN,
                             .gain = NAN,
                             .price = NAN };

    return told;
}

/* What the building so changed still has too much of, at peak. */
static fc_status
find_too_high(const struct fci_cures *c, const struct fci_change_list *changes,
              fc_verdict *too_high)
{
    const fc_check_options peak = { .peak_only = true,
                                    .steady_main = true,
                                    .no_proviso = true };
    struct fci_trial trial;
    const fc_status status =
        fci_trial_make(&trial, c->site, changes, &peak, c->messages);

    if (status == FC_OK)
        *too_high = trial.verdicts.too_high;
    fci_trial_free(&trial);
    return status;
}

bool
fci_cure_add(struct fci_cures *c, const fc_remedy *told,
             struct fci_change_list *changes)
{
    struct fci_cure *grown =
        fci_grow(c->list, c->n, &c->room, sizeof *c->list);

    if (!grown || !told->text) {
        if (grown)
            c->list = grown;
        fci_change_list_free(changes);
        return false;
    }
    c->list = grown;
    c->list[c->n].told = *told;
    c->list[c->n].unknown = false;
    if (!fci_buy_all(c, &c->list[c->n].told)
        || (told->works
            && find_too_high(c, changes, &c->list[c->n].told.too_high)
                   != FC_OK)) {
        fci_change_list_free(changes);
        return false;
    }
    c->list[c->n++].changes = *changes;
    return true;
}

const char *
fci_cure_idle(const struct fci_cures *c, const struct fci_turned *t,
              const char *what)
{
    return fci_arena_printf(
        c->arena,
        "%s does not help: no fixture is short at peak, and this stays: %s.",
        what, t->but);
}

const char *
fci_cure_end(const struct fci_cures *c, const struct fci_turned *t,
             bool no_less)
{
    if (t->outcome == FCI_SERVES)
        return fci_arena_printf(
            c->arena, "; every fixture then has enough at peak, but %s",
            t->but);
    if (t->fixture)
        return fci_arena_printf(c->arena,
                                no_less ? "; %s governs" : "; limited by %s",
                                t->fixture);
    return fci_arena_string(c->arena, no_less
                                          ? "; the flush events govern"
                                          : "; limited by the flush events");
}
