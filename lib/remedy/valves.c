/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/valves.c -- valves that ask for less, and valves left as they
 * are. */
#include "remedy/remedies.h"
#include "units/units.h"
#include "ground/ties.h"
#include "words/phrase.h"

#include <math.h>
#include <string.h>

#define NAMES_SAID 6u
#define MOST_TRIED 40u /* fixtures, each left out of those kept */

static struct fci_shown
show(const struct fci_cures *c, double pressure)
{
    return fci_show(c->site->settings.units, FC_PRESSURE, pressure);
}

const char *
fci_join_names(const struct fci_cures *c, const char *const *names, size_t n)
{
    const size_t said = n > NAMES_SAID + 1 ? NAMES_SAID : n;
    struct fci_words w = { c->arena, "", 0 };
    size_t i;

    for (i = 0; i < said; i++)
        fci_say(&w, i + 1 == n ? " and " : ", ", "%s", names[i]);
    if (said < n)
        fci_say(&w, " ", "and %zu more", n - said);
    return w.text;
}

/* ---- A lower minimum -------------------------------------------------- */

/* A valve of the state to be, with the most that it may ask everywhere. */
struct valve_need {
    const fc_valve *valve;
    bool generic;
    double left;         /* at peak, where there is least [Pa] */
    double most;         /* the same down to the step */
    const char *fixture; /* where there is no more */
    bool lower;          /* it is to ask for less */
    fc_valve *copy;      /* of it, to be changed; of a generic class
                            with a name of its own */
};

struct minima {
    struct fci_cures *c;
    struct valve_need *needs;
    size_t n;
    struct fci_names names;   /* of valves, to the needs */
    size_t *need_of;          /* by fixture; SIZE_MAX: none */
    const char *code_fixture; /* where the code alone asks too much */
};

/* The place of a valve's need, which may be a new one; false when out of
 * memory. */
static bool
find_need(struct minima *m, const struct fci_fixture *fixture, size_t *place)
{
    const fc_valve *valve = fixture->valve[m->c->state];
    bool known;

    *place = m->n;
    if (fci_names_enter(&m->names, valve->name, place, &known) != FC_OK)
        return false;
    if (!known)
        m->needs[m->n++] =
            (struct valve_need){ .valve = valve,
                                 .generic = fixture->generic[m->c->state],
                                 .left = INFINITY };
    return true;
}

/* Whether a valve asks more than its fixture has at peak, or the fixture does
 * not work in the flush events. */
static bool
asks_too_much(const struct fci_cures *c, size_t at, double left)
{
    const fc_valve *valve = c->site->fixtures[at].valve[c->state];

    if (valve->minimum_flowing.high > left + FCI_SAME_PRESSURE)
        return true;
    return !c->options->check.peak_only
           && c->check->fixtures[at].states[c->state].works != FC_WORKS;
}

/* False when out of memory. */
static bool
take_fixture(struct minima *m, size_t at)
{
    const struct fci_cures *c = m->c;
    const struct fci_fixture *fixture = &c->site->fixtures[at];
    const fc_valve *valve = fixture->valve[c->state];
    const struct fci_judgement j =
        fci_judge_fixture(&c->judge, fixture, c->state);
    const double left = j.flowing.low - c->site->settings.reserve.nominal;
    struct valve_need *need;

    m->need_of[at] = SIZE_MAX;
    if (!valve || !valve->minimum_flowing.given)
        return true;
    if (c->site->settings.code_minimum != FC_NO
        && j.need.code > left + FCI_SAME_PRESSURE)
        m->code_fixture = fixture->given->name;
    if (!find_need(m, fixture, &m->need_of[at]))
        return false;
    need = &m->needs[m->need_of[at]];
    if (fci_is_less(left, need->left)) {
        need->left = left;
        need->fixture = fixture->given->name;
    }
    need->lower = need->lower || asks_too_much(c, at, left);
    return true;
}

/* A generic class cannot be changed: a valve with its figures is added. */
static const char *
name_class(const struct fci_cures *c, size_t number)
{
    const char *name = fci_arena_printf(c->arena, "low-minimum-%zu", number);

    while (name && fci_site_find(c->site, FCI_VALVE, name))
        name = fci_arena_printf(c->arena, "%s-new", name);
    return name;
}

static bool
prepare(struct minima *m)
{
    bool ok = true;
    size_t i;

    for (i = 0; ok && i < m->n; i++) {
        struct valve_need *need = &m->needs[i];

        need->most =
            fci_figure(m->c, FC_PRESSURE, FC_DOWN,
                       fmin(need->left, need->valve->minimum_flowing.high)
                           + FCI_SAME_PRESSURE);
        if (!need->lower)
            continue;
        need->copy =
            fci_arena_copy(m->c->arena, need->valve, sizeof *need->copy);
        if (need->copy && need->generic)
            need->copy->name = name_class(m->c, i + 1);
        ok = need->copy && need->copy->name;
    }
    return ok;
}

/* The first step is what is left at peak. */
static double
minimum_after(const struct fci_cures *c, const struct valve_need *need,
              int steps)
{
    return need->most - (steps - 1) * fci_pressure_step(c);
}

static bool
lower_valve(const struct fci_cures *c, const struct valve_need *need,
            int steps, struct fci_change_list *list)
{
    fc_valve *valve = fci_arena_copy(c->arena, need->copy, sizeof *valve);

    if (!valve)
        return false;
    valve->minimum_flowing = fc_exactly(
        fci_figure(c, FC_PRESSURE, FC_NEAREST, minimum_after(c, need, steps)));
    return need->generic ? fci_change_add_part(list, FCI_VALVE, valve)
                         : fci_change_put(list, FCI_VALVE, valve->name,
                                          "minimum flowing", valve);
}

/* A fixture with a generic class gets the copy of it. */
static bool
use_copy(const struct minima *m, size_t at, struct fci_change_list *list)
{
    const struct fci_fixture *fixture = &m->c->site->fixtures[at];
    const struct valve_need *need;

    if (m->need_of[at] == SIZE_MAX)
        return true;
    need = &m->needs[m->need_of[at]];
    return !(need->lower && need->generic)
           || fci_change_add(list, FCI_FIXTURE, fixture->given->name,
                             m->c->state == FC_RETROFIT && fixture->converted
                                 ? "retrofit"
                                 : "existing",
                             need->copy->name);
}

static bool
turn_minima(const struct fci_cures *c, const void *lever, int steps,
            struct fci_change_list *list)
{
    const struct minima *m = lever;
    bool ok = true;
    size_t i;

    for (i = 0; ok && i < m->n; i++)
        if (m->needs[i].lower)
            ok = lower_valve(c, &m->needs[i], steps, list);
    for (i = 0; ok && i < c->site->n_fixtures; i++)
        ok = use_copy(m, i, list);
    return ok;
}

/* As far as every minimum stays above nothing. */
static int
most_steps(const struct minima *m)
{
    double least = INFINITY;
    size_t i;

    for (i = 0; i < m->n; i++)
        if (m->needs[i].lower)
            least = fmin(least, m->needs[i].most);
    return least < INFINITY
               ? (int)floor(least / fci_pressure_step(m->c) + 1e-6)
               : 0;
}

static const char *
say_minima(const struct minima *m, const struct fci_turned *t, fc_remedy *told)
{
    const struct fci_cures *c = m->c;
    const char *text = "Use valves with a lower minimum: ", *end;
    size_t i;

    for (i = 0; text && i < m->n; i++) {
        const struct valve_need *need = &m->needs[i];
        const double most = minimum_after(c, need, t->steps);

        if (!need->lower)
            continue;
        text = fci_arena_printf(
            c->arena, "%s%sreplace \"%s\" with one of at most %s (now %s)",
            text, told->subject ? "; " : "", need->valve->name,
            fci_show_at_most(c->site->settings.units, FC_PRESSURE, most).text,
            show(c, need->valve->minimum_flowing.high).text);
        if (told->subject && !fci_is_less(most, told->value))
            continue;
        told->fixture = need->fixture;
        told->subject = need->valve->name;
        told->value = most;
        told->now = need->valve->minimum_flowing.high;
    }
    end = fci_cure_end(c, t, false);
    return text && end ? fci_arena_printf(c->arena, "%s%s.", text, end) : NULL;
}

static const char *
say_useless(const struct minima *m)
{
    if (m->code_fixture)
        return fci_arena_printf(
            m->c->arena,
            "No other valve helps: %s is short of the code minimum itself.",
            m->code_fixture);
    return fci_arena_string(m->c->arena,
                            "No other valve helps: what is short has no "
                            "pressure, or no flush valve.");
}

static double
count_of(const struct fci_fixture *fixture)
{
    return fixture->given->count > 0 ? fixture->given->count : 1;
}

static double
count_replaced(const struct minima *m)
{
    double n = 0;
    size_t i;

    for (i = 0; i < m->c->site->n_fixtures; i++)
        if (m->need_of[i] != SIZE_MAX && m->needs[m->need_of[i]].lower)
            n += count_of(&m->c->site->fixtures[i]);
    return n;
}

static fc_status
tell_minima(const struct minima *m)
{
    struct fci_cures *c = m->c;
    fc_remedy told = fci_remedy_of(FC_LOWER_MINIMUM, NULL, FC_PRESSURE);
    struct fci_change_list list = { 0 };
    struct fci_turned t = { .outcome = FCI_USELESS };
    const int most = most_steps(m);
    fc_status status = FC_OK;

    if (!m->code_fixture && most > 0)
        status = fci_cure_search(c, turn_minima, m, most, &t);
    if (status != FC_OK)
        return status;
    told.works = t.outcome == FCI_CURES;
    told.text =
        t.outcome == FCI_USELESS ? say_useless(m) : say_minima(m, &t, &told);
    if (told.works
        && !fci_buy(c, &told, FC_LOWER_MINIMUM, FCI_VALVE, count_replaced(m)))
        return FC_ENOMEM;
    if (told.works && !turn_minima(c, m, t.steps, &list)) {
        fci_change_list_free(&list);
        return FC_ENOMEM;
    }
    return fci_cure_add(c, &told, &list) ? FC_OK : FC_ENOMEM;
}

fc_status
fci_cure_minima(struct fci_cures *c)
{
    const size_t n = c->site->n_fixtures;
    struct minima m = {
        .c = c,
        .needs = fci_arena_array(c->arena, n + 1, sizeof *m.needs),
        .need_of = fci_arena_array(c->arena, n + 1, sizeof *m.need_of)
    };
    bool room = m.needs && m.need_of;
    fc_status status;
    size_t i;

    for (i = 0; room && i < n; i++)
        room = take_fixture(&m, i);
    status = room && prepare(&m) ? tell_minima(&m) : FC_ENOMEM;
    fci_names_free(&m.names);
    return status;
}

/* ---- Valves that stay ------------------------------------------------- */

struct keeping {
    struct fci_cures *c;
    bool *kept; /* by fixture */
    const char **names;
    size_t n;
};

static bool
keep_changes(const struct keeping *k, struct fci_change_list *list)
{
    size_t i;

    for (i = 0; i < k->c->site->n_fixtures; i++)
        if (k->kept[i]
            && !fci_change_add(list, FCI_FIXTURE,
                               k->c->site->fixtures[i].given->name, "retrofit",
                               NULL))
            return false;
    return true;
}

/* Where all works as it is given, too much pressure is what is to be cured: a
 * valve in place may bear more than the new one. */
static bool
against_excess(const struct keeping *k)
{
    return k->c->check->works == FC_WORKS;
}

/* Those that are not served and could be kept are; *more: there were any. */
static void
keep_short(struct keeping *k, const struct fci_verdicts *verdicts, bool *more)
{
    size_t i;

    for (i = 0; i < k->c->site->n_fixtures; i++) {
        const bool lacks =
            verdicts->fixtures[i] != FC_WORKS
            || (against_excess(k) && verdicts->over[i] > FCI_SAME_PRESSURE);

        if (!lacks || k->kept[i] || !k->c->site->fixtures[i].converted)
            continue;
        k->kept[i] = true;
        k->names[k->n++] = k->c->site->fixtures[i].given->name;
        *more = true;
    }
}

/* One round; *more: there are further ones to keep. */
static fc_status
keep_round(struct keeping *k, const fc_check_options *options, bool *works,
           bool *more)
{
    struct fci_change_list list = { 0 };
    struct fci_trial trial = { 0 };
    fc_status status = keep_changes(k, &list) ? FC_OK : FC_ENOMEM;

    *more = false;
    if (status == FC_OK)
        status =
            fci_trial_make(&trial, k->c->site, &list, options, k->c->messages);
    *works = status == FC_OK && fci_cure_holds(k->c, &trial.verdicts)
             && (!against_excess(k) || trial.verdicts.too_high == FC_WORKS);
    if (status == FC_OK && !*works)
        keep_short(k, &trial.verdicts, more);
    fci_trial_free(&trial);
    fci_change_list_free(&list);
    return status;
}

/* Round by round, as valves kept draw otherwise than those that replace them;
 * first at peak, then in the flush events too.  With all kept the building is
 * as it stands. */
static fc_status
keep_until_it_works(struct keeping *k, bool *works)
{
    const fc_check_options peak = { .peak_only = true };
    fc_status status = FC_OK;
    bool more = true;

    *works = false;
    while (status == FC_OK && !*works && more)
        status = keep_round(k, &peak, works, &more);
    if (status != FC_OK || !*works)
        return status;
    do
        status = keep_round(k, &k->c->options->check, works, &more);
    while (status == FC_OK && !*works && more);
    return status;
}

/* The building with those kept, at peak and then in the flush events. */
static fc_status
check_kept(const struct keeping *k, bool *works)
{
    struct fci_change_list list = { 0 };
    fc_status status = keep_changes(k, &list) ? FC_OK : FC_ENOMEM;

    if (status == FC_OK)
        status = against_excess(k) ? fci_cure_bears(k->c, &list, works, NULL)
                                   : fci_cure_check(k->c, &list, works, NULL);

    fci_change_list_free(&list);
    return status;
}

/* A fixture that was short may have been so for the sake of another, which is
 * kept now: those that need not be are not.  *dropped: there were any. */
static fc_status
drop_needless(struct keeping *k, bool *dropped)
{
    fc_status status = FC_OK;
    bool works;
    size_t i;

    *dropped = false;
    for (i = 0; i < k->c->site->n_fixtures && status == FC_OK; i++) {
        if (!k->kept[i])
            continue;
        k->kept[i] = false;
        status = check_kept(k, &works);
        k->kept[i] = status != FC_OK || !works;
        *dropped = *dropped || !k->kept[i];
    }
    return status;
}

/* As each takes a check, only where they are few. */
static fc_status
keep_no_more_than_needed(struct keeping *k)
{
    fc_status status = FC_OK;
    bool dropped = k->n > 1 && k->n <= MOST_TRIED;
    size_t i;

    while (dropped && status == FC_OK)
        status = drop_needless(k, &dropped);
    k->n = 0;
    for (i = 0; i < k->c->site->n_fixtures; i++)
        if (k->kept[i])
            k->names[k->n++] = k->c->site->fixtures[i].given->name;
    return status;
}

static size_t
count_converted(const fc_site *site)
{
    size_t i, n = 0;

    for (i = 0; i < site->n_fixtures; i++)
        n += site->fixtures[i].converted;
    return n;
}

static double
count_kept(const struct keeping *k)
{
    double n = 0;
    size_t i;

    for (i = 0; i < k->c->site->n_fixtures; i++)
        if (k->kept[i])
            n += count_of(&k->c->site->fixtures[i]);
    return n;
}

static fc_status
tell_kept(const struct keeping *k, bool works)
{
    struct fci_cures *c = k->c;
    fc_remedy told = fci_remedy_of(FC_KEEP_VALVES, NULL, FC_NUMBER);
    struct fci_change_list list = { 0 };
    const char *names = fci_join_names(c, k->names, k->n);

    told.works = works && k->n < count_converted(c->site);
    told.subject = names;
    if (told.works
        && !fci_buy(c, &told, FC_KEEP_VALVES, FCI_VALVE, count_kept(k)))
        return FC_ENOMEM;
    if (names && works && !told.works)
        told.text = fci_arena_string(
            c->arena,
            "The building works only with all existing valves kept.");
    else if (names)
        told.text =
            works ? fci_arena_printf(
                c->arena,
                "Keep the existing valves of %s and convert the others.",
                names)
                  : fci_arena_printf(
                      c->arena,
                      "Keeping existing valves does not help: with those of "
                      "%s kept some fixture still fails.",
                      k->n > 0 ? names : "none");
    if (told.works && !keep_changes(k, &list)) {
        fci_change_list_free(&list);
        return FC_ENOMEM;
    }
    return fci_cure_add(c, &told, &list) ? FC_OK : FC_ENOMEM;
}

fc_status
fci_cure_keep(struct fci_cures *c)
{
    const size_t n = c->site->n_fixtures;
    struct keeping k = { c, fci_arena_array(c->arena, n + 1, sizeof *k.kept),
                         fci_arena_array(c->arena, n + 1, sizeof *k.names),
                         0 };
    fc_status status;
    bool works;

    if (!k.kept || !k.names)
        return FC_ENOMEM;
    status = keep_until_it_works(&k, &works);
    if (status == FC_OK && works)
        status = keep_no_more_than_needed(&k);
    return status == FC_OK ? tell_kept(&k, works) : status;
}
