/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/minima.c -- valves that require less, for the fixtures that need
 * them.
 *
 * A minimum changes no flow, so that what one fixture needs no other valve
 * changes: those short at peak are replaced, each, and no others.  In the
 * flush events a fixture may fail by something else; so each that is replaced
 * for their sake is left out once, to see whether it must be.
 *
 * None is asked to require less than a code or handbook has such a valve
 * require: nobody knows of one that does.
 */
#include "remedy/remedies.h"
#include "units/units.h"
#include "ground/ties.h"

#include <math.h>
#include <stdint.h>

#define MOST_TRIED 40u /* fixtures, each left out of those replaced */

/* A valve of the state to be, for all fixtures where it is replaced: by one
 * that is bought. */
struct valve_need {
    const fc_valve *valve;
    double floor;        /* the least that is published for it [Pa] */
    double left;         /* at peak, where there is least [Pa] */
    double most;         /* the same down to the step */
    const char *fixture; /* where there is no more */
    const char *name;    /* of the new one */
    const char **places; /* fixtures */
    size_t n_places;
    double count; /* of valves there */
};

struct minima {
    struct fci_cures *c;
    bool *lower; /* by fixture: it gets another valve */
    bool *bound; /* by fixture: short at peak, so that it must */
    struct valve_need *needs;
    size_t n;
    size_t *need_of;          /* by fixture, of those that get one */
    const char *code_fixture; /* where the code alone asks too much */
    const char *bare_fixture; /* where less is left than any valve requires */
    double bare_floor;        /* what that is [Pa] */
    bool few;                 /* each that needs none was found */
};

static struct fci_shown
show(const struct fci_cures *c, double pressure)
{
    return fci_show(c->site->settings.units, FC_PRESSURE, pressure);
}

/* ---- Which are replaced ----------------------------------------------- */

static double
left_at(const struct fci_cures *c, size_t at)
{
    return fci_judge_fixture(&c->judge, &c->site->fixtures[at], c->state)
               .flowing.low
           - c->site->settings.reserve.nominal;
}

/* The least that a flush valve is published to require there: by the code of
 * the site for a fixture of its kind (tables/fixtures-*.ini), of the two that
 * one code has the lower; where it has none, the lowest of all that are quoted
 * (tables/pressures.ini). */
static double
least_published(const struct fci_cures *c, const struct fci_fixture *fixture)
{
    const struct fci_fixture_kind *kind = fixture->kind;
    const struct fci_quoted_minimum *quoted;
    double least = fmin(kind->pressure, kind->quoted_pressure);

    if (isnan(least) && fci_tables_minima(c->site->tables, &quoted) > 0)
        least = quoted[0].pressure;
    return fci_figure(c, FC_PRESSURE, FC_UP,
                      isnan(least) ? fci_pressure_step(c) : least);
}

static void
choose_fixture(struct minima *m, size_t at)
{
    const struct fci_cures *c = m->c;
    const struct fci_fixture *fixture = &c->site->fixtures[at];
    const fc_valve *valve = fixture->valve[c->state];
    const double left = left_at(c, at);
    double least;

    if (!valve || !valve->minimum_flowing.given)
        return;
    least = least_published(c, fixture);
    if (c->site->settings.code_minimum != FC_NO
        && fci_judge_fixture(&c->judge, fixture, c->state).need.code
               > left + FCI_SAME_PRESSURE)
        m->code_fixture = fixture->given->name;
    m->bound[at] = valve->minimum_flowing.high > left + FCI_SAME_PRESSURE;
    if (m->bound[at] && least > left + FCI_SAME_PRESSURE) {
        m->bare_fixture = fixture->given->name;
        m->bare_floor = least;
    }
    m->lower[at] =
        m->bound[at]
        || (!c->options->check.peak_only
            && valve->minimum_flowing.high > least + FCI_SAME_PRESSURE
            && c->check->fixtures[at].states[c->state].works != FC_WORKS);
}

/* NULL when out of memory */
static struct valve_need *
need_for(struct minima *m, const struct fci_fixture *fixture)
{
    const struct fci_cures *c = m->c;
    const fc_valve *valve = fixture->valve[c->state];
    const double least = least_published(c, fixture);
    struct valve_need *need = m->needs;

    while (need < m->needs + m->n
           && !(fci_same_name(need->valve->name, valve->name)
                && fabs(need->floor - least) < FCI_SAME_PRESSURE))
        need++;
    if (need < m->needs + m->n)
        return need;
    *need = (struct valve_need){
        .valve = valve,
        .floor = least,
        .left = INFINITY,
        .name = fci_arena_printf(c->arena, "low-minimum-%zu", ++m->n),
        .places = fci_arena_array(c->arena, c->site->n_fixtures + 1,
                                  sizeof *need->places)
    };
    while (need->name && fci_site_find(c->site, FCI_VALVE, need->name))
        need->name = fci_arena_printf(c->arena, "%s-new", need->name);
    return need->name && need->places ? need : NULL;
}

/* The valves that are to be bought for those chosen; false when out of memory.
 */
static bool
gather(struct minima *m)
{
    const struct fci_cures *c = m->c;
    size_t i;

    m->n = 0;
    for (i = 0; i < c->site->n_fixtures; i++) {
        const struct fci_fixture *fixture = &c->site->fixtures[i];
        const double left = m->lower[i] ? left_at(c, i) : INFINITY;
        struct valve_need *need;

        if (!m->lower[i])
            continue;
        need = need_for(m, fixture);
        if (!need)
            return false;
        m->need_of[i] = (size_t)(need - m->needs);
        need->places[need->n_places++] = fixture->given->name;
        need->count += fci_count_of(fixture);
        if (fci_is_less(left, need->left)) {
            need->left = left;
            need->fixture = fixture->given->name;
        }
    }
    for (i = 0; i < m->n; i++)
        m->needs[i].most = fci_figure(
            c, FC_PRESSURE, FC_DOWN,
            fmin(m->needs[i].left, m->needs[i].valve->minimum_flowing.high)
                + FCI_SAME_PRESSURE);
    return true;
}

/* ---- Turning ---------------------------------------------------------- */

/* The first step is what is left at peak; none goes below its floor. */
static double
minimum_after(const struct fci_cures *c, const struct valve_need *need,
              int steps)
{
    return fmax(need->floor, need->most - (steps - 1) * fci_pressure_step(c));
}

static bool
add_valve(const struct fci_cures *c, const struct valve_need *need, int steps,
          struct fci_change_list *list)
{
    fc_valve *valve = fci_arena_copy(c->arena, need->valve, sizeof *valve);

    if (!valve)
        return false;
    valve->name = need->name;
    valve->minimum_flowing = fc_exactly(
        fci_figure(c, FC_PRESSURE, FC_NEAREST, minimum_after(c, need, steps)));
    return fci_change_add_part(list, FCI_VALVE, valve);
}

static bool
turn_minima(const struct fci_cures *c, const void *lever, int steps,
            struct fci_change_list *list)
{
    const struct minima *m = lever;
    bool ok = true;
    size_t i;

    for (i = 0; ok && i < m->n; i++)
        ok = add_valve(c, &m->needs[i], steps, list);
    for (i = 0; ok && i < c->site->n_fixtures; i++) {
        const struct fci_fixture *fixture = &c->site->fixtures[i];

        if (m->lower[i])
            ok = fci_change_add(list, FCI_FIXTURE, fixture->given->name,
                                c->state == FC_RETROFIT && fixture->converted
                                    ? "retrofit"
                                    : "existing",
                                m->needs[m->need_of[i]].name);
    }
    return ok;
}

/* Until every minimum is at its floor. */
static int
most_steps(const struct minima *m)
{
    double most = 0;
    size_t i;

    for (i = 0; i < m->n; i++)
        most = fmax(most, m->needs[i].most - m->needs[i].floor);
    return m->n > 0 ? 1 + (int)ceil(most / fci_pressure_step(m->c) - 1e-6) : 0;
}

/* ---- The fewest ------------------------------------------------------- */

static fc_status
works_with(const struct minima *m, int steps, bool *works)
{
    struct fci_change_list list = { 0 };
    fc_status status = turn_minima(m->c, m, steps, &list) ? FC_OK : FC_ENOMEM;

    if (status == FC_OK)
        status = fci_cure_check(m->c, &list, works, NULL);
    fci_change_list_free(&list);
    return status;
}

static size_t
count_unbound(const struct minima *m)
{
    size_t i, n = 0;

    for (i = 0; i < m->c->site->n_fixtures; i++)
        n += m->lower[i] && !m->bound[i];
    return n;
}

/* Those replaced for the flush events' sake that need not be keep their
 * valves; *dropped: there were any. */
static fc_status
drop_needless(struct minima *m, int steps, bool *dropped)
{
    fc_status status = FC_OK;
    bool works;
    size_t i;

    *dropped = false;
    m->few = count_unbound(m) <= MOST_TRIED;
    for (i = 0; m->few && i < m->c->site->n_fixtures && status == FC_OK; i++) {
        if (!m->lower[i] || m->bound[i])
            continue;
        m->lower[i] = false;
        status = works_with(m, steps, &works);
        m->lower[i] = status != FC_OK || !works;
        *dropped = *dropped || !m->lower[i];
    }
    return status;
}

static fc_status
search(struct minima *m, struct fci_turned *t)
{
    fc_status status = FC_OK;
    bool dropped = true;

    *t = (struct fci_turned){ .outcome = FCI_USELESS };
    while (status == FC_OK && dropped) {
        dropped = false;
        if (!gather(m))
            return FC_ENOMEM;
        if (m->code_fixture || m->bare_fixture || m->n == 0)
            return FC_OK;
        status = fci_cure_search(m->c, turn_minima, m, most_steps(m), t);
        if (status == FC_OK && t->outcome == FCI_CURES)
            status = drop_needless(m, t->steps, &dropped);
    }
    return status;
}

/* ---- In words --------------------------------------------------------- */

/* `the valve "v" of wc with one requiring at most 30.1 psi (now 35.0 psi)` */
static const char *
say_need(const struct fci_cures *c, const struct valve_need *need, int steps)
{
    const char *where = fci_join_names(c, need->places, need->n_places);
    const char *what =
        need->count > 1
            ? fci_arena_printf(c->arena, "%.0f valves \"%s\"", need->count,
                               need->valve->name)
            : fci_arena_printf(c->arena, "valve \"%s\"", need->valve->name);

    return where && what ? fci_arena_printf(
               c->arena, "the %s of %s with %s of at most %s (now %s)", what,
               where, need->count > 1 ? "ones" : "one",
               fci_show_at_most(c->site->settings.units, FC_PRESSURE,
                                minimum_after(c, need, steps))
                   .text,
               show(c, need->valve->minimum_flowing.high).text)
                         : NULL;
}

static const char *
say_minima(const struct minima *m, const struct fci_turned *t, fc_remedy *told)
{
    const struct fci_cures *c = m->c;
    const char *text = "Valves with a lower minimum: replace ", *end;
    size_t i;

    if (t->outcome == FCI_SERVES && t->idle)
        return fci_cure_idle(c, t, "A valve with a lower minimum");
    for (i = 0; text && i < m->n; i++) {
        const struct valve_need *need = &m->needs[i];
        const double most = minimum_after(c, need, t->steps);
        const char *said = say_need(c, need, t->steps);

        text = said ? fci_arena_printf(c->arena, "%s%s%s", text,
                                       told->subject ? "; " : "", said)
                    : NULL;
        if (told->subject && !fci_is_less(most, told->value))
            continue;
        told->fixture = need->fixture;
        told->subject = need->valve->name;
        told->value = most;
        told->now = need->valve->minimum_flowing.high;
    }
    end = fci_cure_end(c, t, false);
    return text && end
               ? fci_arena_printf(c->arena, "%s%s%s.", text, end,
                                  m->few ? "" : "; fewer valves may do")
               : NULL;
}

static const char *
say_useless(const struct minima *m)
{
    if (m->code_fixture)
        return fci_arena_printf(
            m->c->arena,
            "No other valve helps: %s is short of the code minimum itself.",
            m->code_fixture);
    if (m->bare_fixture)
        return fci_arena_printf(
            m->c->arena,
            "No other valve helps: less than %s is left at %s, and no code or "
            "handbook has a flush valve require less.",
            show(m->c, m->bare_floor).text, m->bare_fixture);
    return fci_arena_string(m->c->arena,
                            "No other valve helps: what is short has no "
                            "flush valve that could require less.");
}

/* ---- All -------------------------------------------------------------- */

static double
count_replaced(const struct minima *m)
{
    double n = 0;
    size_t i;

    for (i = 0; i < m->n; i++)
        n += m->needs[i].count;
    return n;
}

static fc_status
tell_minima(struct minima *m)
{
    struct fci_cures *c = m->c;
    fc_remedy told = fci_remedy_of(FC_LOWER_MINIMUM, NULL, FC_PRESSURE);
    struct fci_change_list list = { 0 };
    struct fci_turned t;
    const fc_status status = search(m, &t);

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
        .lower = fci_arena_array(c->arena, n + 1, sizeof *m.lower),
        .bound = fci_arena_array(c->arena, n + 1, sizeof *m.bound),
        .needs = fci_arena_array(c->arena, n + 1, sizeof *m.needs),
        .need_of = fci_arena_array(c->arena, n + 1, sizeof *m.need_of),
        .few = true,
    };
    size_t i;

    if (!m.lower || !m.bound || !m.needs || !m.need_of)
        return FC_ENOMEM;
    for (i = 0; i < n; i++)
        choose_fixture(&m, i);
    return tell_minima(&m);
}
