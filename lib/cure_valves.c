/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/cure_valves.c -- valves that ask for less, and valves left as they
 * are. */
#include "cure.h"
#include "part_text.h"
#include "units.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define NAMES_SAID 6u

static struct fci_shown
show(const struct fci_cures *c, double pressure)
{
    return fci_show(c->site->settings.units, FC_PRESSURE, pressure);
}

/* "a, b and 3 more"; NULL when out of memory. */
static const char *
join_names(const struct fci_cures *c, const char *const *names, size_t n)
{
    const char *text = "";
    const size_t said = n > NAMES_SAID + 1 ? NAMES_SAID : n;
    size_t i;

    for (i = 0; text && i < said; i++)
        text = fci_arena_printf(c->arena, "%s%s%s", text,
                                i == 0                       ? ""
                                : i + 1 == n ? " and "
                                                             : ", ",
                                names[i]);
    return text && said < n
               ? fci_arena_printf(c->arena, "%s and %zu more", text, n - said)
               : text;
}

/* ---- A lower minimum -------------------------------------------------- */

/* A valve of the state to be, with the most that it may ask everywhere. */
struct valve_need {
    const fc_valve *valve;
    bool generic;
    double most; /* [Pa] */
    const char *fixture; /* where it may ask no more */
    bool lower;  /* it asks more than that */
    const char *name; /* that it gets: its own, or a new one */
};

struct minima {
    struct fci_cures *c;
    struct valve_need *needs;
    size_t n;
    struct fci_names names; /* of valves, to the needs */
    size_t *need_of; /* by fixture; SIZE_MAX: none */
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
                                 .most = INFINITY };
    return true;
}

/* What a gauge has at the worst, down to the step below. */
static double
most_for(const struct fci_cures *c, const struct fci_judgement *j)
{
    const double step = fci_pressure_step(c);
    const double left = j->flowing.low - c->site->settings.reserve.nominal;

    return step * floor((left + FCI_SAME_PRESSURE) / step);
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
    const double most = most_for(c, &j);
    struct valve_need *need;

    m->need_of[at] = SIZE_MAX;
    if (!valve || !valve->minimum_flowing.given)
        return true;
    if (c->site->settings.code_minimum != FC_NO && j.need.code > most)
        m->code_fixture = fixture->given->name;
    if (!find_need(m, fixture, &m->need_of[at]))
        return false;
    need = &m->needs[m->need_of[at]];
    if (most < need->most) {
        need->most = most;
        need->fixture = fixture->given->name;
    }
    need->lower = valve->minimum_flowing.high > need->most;
    return true;
}

/* A generic class cannot be changed: a valve with its figures is added. */
static bool
add_copy(const struct minima *m, struct valve_need *need, size_t number,
         struct fci_change_list *list)
{
    const struct fci_cures *c = m->c;
    struct fci_part part = { FCI_VALVE, "", NULL, NULL, NULL };
    struct fci_section *section;
    size_t i;

    need->name = fci_arena_printf(c->arena, "low-minimum-%zu", number);
    while (need->name && fci_site_find(c->site, FCI_VALVE, need->name))
        need->name = fci_arena_printf(c->arena, "%s-new", need->name);
    if (!need->name
        || fci_part_section(&part, need->valve, c->site->settings.units,
                            c->arena, &section, c->messages)
               != FC_OK)
        return false;
    for (i = 0; i < section->n_entries; i++)
        if (strcmp(section->entries[i].key, "minimum flowing") != 0
            && !fci_change_add(list, FCI_VALVE, need->name,
                               section->entries[i].key,
                               section->entries[i].value))
            return false;
    return true;
}

static bool
use_copies(const struct minima *m, struct fci_change_list *list)
{
    const struct fci_cures *c = m->c;
    size_t i;

    for (i = 0; i < c->site->n_fixtures; i++) {
        const struct fci_fixture *fixture = &c->site->fixtures[i];
        const struct valve_need *need;

        if (m->need_of[i] == SIZE_MAX)
            continue;
        need = &m->needs[m->need_of[i]];
        if (need->lower && need->generic
            && !fci_change_add(list, FCI_FIXTURE, fixture->given->name,
                               c->state == FC_RETROFIT && fixture->converted
                                   ? "retrofit"
                                   : "existing",
                               need->name))
            return false;
    }
    return true;
}

static bool
lower_minima(const struct minima *m, struct fci_change_list *list)
{
    size_t i;

    for (i = 0; i < m->n; i++) {
        struct valve_need *need = &m->needs[i];
        const char *value;

        if (!need->lower)
            continue;
        need->name = need->valve->name;
        value = fci_value_text(m->c, FC_PRESSURE, fc_exactly(need->most));
        if ((need->generic && !add_copy(m, need, i + 1, list)) || !value
            || !fci_change_add(list, FCI_VALVE, need->name,
                               "minimum flowing", value))
            return false;
    }
    return use_copies(m, list);
}

static const char *
say_minima(const struct minima *m, const char *but, fc_remedy *told)
{
    const struct fci_cures *c = m->c;
    const char *text = "Use valves that ask for less: ";
    size_t i;

    for (i = 0; text && i < m->n; i++) {
        const struct valve_need *need = &m->needs[i];

        if (!need->lower)
            continue;
        text = fci_arena_printf(
            c->arena, "%s%sin the place of \"%s\" one with a minimum of %s at "
                      "most, where it asks %s (%s has no more)",
            text, told->fixture ? "; " : "", need->valve->name,
            show(c, need->most).text,
            show(c, need->valve->minimum_flowing.high).text, need->fixture);
        if (!told->fixture || need->most < told->value) {
            told->fixture = need->fixture;
            told->subject = need->valve->name;
            told->value = need->most;
            told->now = need->valve->minimum_flowing.high;
        }
    }
    if (text && but)
        text = fci_arena_printf(c->arena, "%s; but then %s", text, but);
    return text ? fci_arena_printf(c->arena, "%s.", text) : NULL;
}

static bool
any_below_nothing(const struct minima *m)
{
    size_t i;

    for (i = 0; i < m->n; i++)
        if (m->needs[i].lower && !(m->needs[i].most > 0))
            return true;
    return false;
}

static bool
any_lower(const struct minima *m)
{
    size_t i;

    for (i = 0; i < m->n; i++)
        if (m->needs[i].lower)
            return true;
    return false;
}

static fc_status
tell_minima(const struct minima *m)
{
    struct fci_cures *c = m->c;
    fc_remedy told = fci_remedy_of(FC_LOWER_MINIMUM, NULL, FC_PRESSURE);
    struct fci_change_list list = { 0 };
    const char *but = NULL;
    fc_status status = FC_OK;

    if (m->code_fixture || any_below_nothing(m) || !any_lower(m)) {
        told.text =
            m->code_fixture
                ? fci_arena_printf(c->arena,
                                   "No valve helps: at %s the code itself "
                                   "asks more than there is, whatever the "
                                   "valve needs.",
                                   m->code_fixture)
                : fci_arena_string(c->arena,
                                   "No valve helps: what is short has no "
                                   "pressure left, or no flush valve.");
        return fci_cure_add(c, &told, &list) ? FC_OK : FC_ENOMEM;
    }
    if (lower_minima(m, &list))
        status = fci_cure_check(c, &list, &told.works, &but);
    else
        status = FC_ENOMEM;
    if (status == FC_OK)
        told.text = say_minima(m, but, &told);
    if (status != FC_OK || !told.works)
        fci_change_list_free(&list);
    if (status != FC_OK)
        return status;
    return fci_cure_add(c, &told, &list) ? FC_OK : FC_ENOMEM;
}

fc_status
fci_cure_minima(struct fci_cures *c)
{
    const size_t n = c->site->n_fixtures;
    struct minima m = { .c = c,
                        .needs = calloc(n + 1, sizeof *m.needs),
                        .need_of = calloc(n + 1, sizeof *m.need_of) };
    bool room = m.needs && m.need_of;
    fc_status status;
    size_t i;

    for (i = 0; room && i < n; i++)
        room = take_fixture(&m, i);
    status = room ? tell_minima(&m) : FC_ENOMEM;
    fci_names_free(&m.names);
    free(m.needs);
    free(m.need_of);
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

/* Those that are not served and could be kept are; *more: there were any. */
static void
keep_short(struct keeping *k, const fc_check_result *check, bool *more)
{
    size_t i;

    for (i = 0; i < check->n_fixtures; i++) {
        if (check->fixtures[i].states[k->c->state].works == FC_WORKS
            || k->kept[i] || !k->c->site->fixtures[i].converted)
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
        status = fci_trial_make(&trial, k->c->site, &list, options,
                                k->c->messages);
    *works = status == FC_OK && trial.check->works == FC_WORKS;
    if (status == FC_OK && !*works)
        keep_short(k, trial.check, more);
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

static fc_status
tell_kept(const struct keeping *k, bool works)
{
    struct fci_cures *c = k->c;
    fc_remedy told = fci_remedy_of(FC_KEEP_VALVES, NULL, FC_NUMBER);
    struct fci_change_list list = { 0 };
    const char *names = join_names(c, k->names, k->n);

    told.works = works;
    told.subject = names;
    if (names)
        told.text =
            works ? fci_arena_printf(c->arena,
                                     "Leave the valves of %s as they are and "
                                     "convert the others.",
                                     names)
                  : fci_arena_printf(c->arena,
                                     "Leaving valves as they are does not "
                                     "help: with those of %s kept some "
                                     "fixture still fails.",
                                     k->n > 0 ? names : "none");
    if (works && !keep_changes(k, &list)) {
        fci_change_list_free(&list);
        return FC_ENOMEM;
    }
    return fci_cure_add(c, &told, &list) ? FC_OK : FC_ENOMEM;
}

fc_status
fci_cure_keep(struct fci_cures *c)
{
    const size_t n = c->site->n_fixtures;
    struct keeping k = { c, calloc(n + 1, sizeof *k.kept),
                         calloc(n + 1, sizeof *k.names), 0 };
    fc_status status = FC_ENOMEM;
    bool works;

    if (k.kept && k.names) {
        status = keep_until_it_works(&k, &works);
        if (status == FC_OK)
            status = tell_kept(&k, works);
    }
    free(k.kept);
    free((void *)k.names);
    return status;
}
