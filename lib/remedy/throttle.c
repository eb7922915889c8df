/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/throttle.c -- stops partly closed where there is pressure to
 * spare.
 *
 * A valve behind a throttled stop draws less, and so leaves more to the others
 * while they flush together.  Peak demand by fixture units does not change by
 * it: what is short at peak no stop cures, but where a fixture is weak too
 * often in the busiest period it may.  A stop takes no more than its own valve
 * has to spare, at peak and while it flushes alone.
 */
#include "remedy/remedies.h"
#include "units/units.h"
#include "ground/ties.h"

#include <math.h>

#define MOST_TRIED 40u /* fixtures, each left out of those throttled */

struct throttling {
    struct fci_cures *c;
    double *most; /* by fixture: what its stop may take more at its peak flow
                     [Pa]; 0: it stays open */
    bool *open;   /* by fixture: it stays open all the same */
    int steps;    /* the most that any bears */
};

/* ---- How far ---------------------------------------------------------- */

/* Peak flow of one valve, rounded up. */
static double
peak_flow(const struct fci_cures *c, size_t at)
{
    return fci_figure(
        c, FC_FLOW, FC_UP,
        fci_fixture_flow(c->site, &c->site->fixtures[at], c->state).high);
}

/* A stop with so much loss k q^2 before a valve that draws r sqrt(p / p0)
 * leaves it p = P / (1 + k r^2 / p0) of P; that must be what it needs. */
static double
spare_alone(const struct fci_cures *c, size_t at)
{
    const fc_fixture_state *s = &c->check->fixtures[at].states[c->state];
    const fc_valve *valve = c->site->fixtures[at].valve[c->state];
    const double flow = peak_flow(c, at);

    if (!s->alone.given || !valve->flow.given)
        return 0;
    return (s->alone.low / s->required.high - 1) * valve->flow_pressure.nominal
           * (flow / valve->flow.high) * (flow / valve->flow.high);
}

/* What a stop may take more; 0: nothing, or it is not known. */
static double
spare_of(const struct fci_cures *c, size_t at)
{
    const struct fci_fixture *fixture = &c->site->fixtures[at];
    const fc_fixture_state *s = &c->check->fixtures[at].states[c->state];
    const fc_loss_kind kind = fixture->given->stop.kind;
    double spare;

    if (!fixture->kind->flushes || !fixture->valve[c->state]
        || s->works != FC_WORKS || !s->margin.given
        || (kind != FC_NO_LOSS && kind != FC_SQUARE_LOSS))
        return 0;
    spare = fci_figure(c, FC_PRESSURE, FC_DOWN,
                       fmin(s->margin.low, spare_alone(c, at)));
    return spare >= fci_pressure_step(c) * (1 - 1e-6) ? spare : 0;
}

static double
taken(const struct throttling *t, size_t at, int steps)
{
    return t->open[at] ? 0
                       : fmin(steps * fci_pressure_step(t->c), t->most[at]);
}

/* ---- Turning ---------------------------------------------------------- */

/* With what the stop takes as it is, at the flow at which it is told. */
static fc_loss
stop_taking(const fc_loss *now, double flow, double more)
{
    const double part =
        now->kind == FC_SQUARE_LOSS ? flow / now->flow.nominal : 0;
    const fc_loss stop = {
        .kind = FC_SQUARE_LOSS,
        .flow = fc_exactly(flow),
        .pressure = now->kind == FC_SQUARE_LOSS
                        ? fc_between(part * part * now->pressure.low + more,
                                     part * part * now->pressure.high + more)
                        : fc_exactly(more),
    };

    return stop;
}

static bool
turn_stops(const struct fci_cures *c, const void *lever, int steps,
           struct fci_change_list *list)
{
    const struct throttling *t = lever;
    size_t i;

    for (i = 0; i < c->site->n_fixtures; i++) {
        const struct fci_part *part = c->site->fixtures[i].part;
        const double more = taken(t, i, steps);
        fc_fixture *fixture;

        if (!(more > 0))
            continue;
        fixture = fci_arena_copy(c->arena, fci_given(c->site, part),
                                 sizeof *fixture);
        if (!fixture)
            return false;
        fixture->stop =
            stop_taking(&fixture->stop, peak_flow(c, i),
                        fci_figure(c, FC_PRESSURE, FC_NEAREST, more));
        if (!fci_change_put(list, FCI_FIXTURE, part->name, "stop", fixture))
            return false;
    }
    return true;
}

/* ---- The fewest ------------------------------------------------------- */

static fc_status
works_with(const struct throttling *t, int steps, bool *works)
{
    struct fci_change_list list = { 0 };
    fc_status status = turn_stops(t->c, t, steps, &list) ? FC_OK : FC_ENOMEM;

    if (status == FC_OK)
        status = fci_cure_check(t->c, &list, works, NULL);
    fci_change_list_free(&list);
    return status;
}

static size_t
count_throttled(const struct throttling *t)
{
    size_t i, n = 0;

    for (i = 0; i < t->c->site->n_fixtures; i++)
        n += t->most[i] > 0 && !t->open[i];
    return n;
}

/* Each fixture of a place has a stop of its own. */
static double
stops_throttled(const struct throttling *t)
{
    double n = 0;
    size_t i;

    for (i = 0; i < t->c->site->n_fixtures; i++)
        if (t->most[i] > 0 && !t->open[i])
            n += fci_count_of(&t->c->site->fixtures[i]);
    return n;
}

/* The last of the file first; only where they are few, as each takes a check.
 * Then as little as does with those. */
static fc_status
open_needless(struct throttling *t, int *steps)
{
    fc_status status = FC_OK;
    bool works = true;
    size_t i;

    for (i = t->c->site->n_fixtures; status == FC_OK && i-- > 0;) {
        if (!(t->most[i] > 0) || count_throttled(t) < 2)
            continue;
        t->open[i] = true;
        status = works_with(t, *steps, &works);
        t->open[i] = status == FC_OK && works;
    }
    while (status == FC_OK && *steps > 1) {
        status = works_with(t, *steps - 1, &works);
        if (!works)
            break;
        --*steps;
    }
    return status;
}

/* ---- In words --------------------------------------------------------- */

/* The throttled one with the least over what it needs, at peak. */
static size_t
nearest_its_need(const struct throttling *t, int steps)
{
    const struct fci_cures *c = t->c;
    size_t i, found = FCI_NONE;
    double least = INFINITY;

    for (i = 0; i < c->site->n_fixtures; i++) {
        const fc_fixture_state *s = &c->check->fixtures[i].states[c->state];
        const double more = taken(t, i, steps);

        if (!(more > 0) || !fci_is_less(s->margin.low - more, least))
            continue;
        least = s->margin.low - more;
        found = i;
    }
    return found;
}

static const char *
say_throttled(const struct throttling *t, int steps, fc_remedy *told)
{
    const struct fci_cures *c = t->c;
    const fc_unit_system units = c->site->settings.units;
    const size_t near = nearest_its_need(t, steps);
    const char **names =
        fci_arena_array(c->arena, c->site->n_fixtures + 1, sizeof *names);
    size_t i, n = 0;
    double left;

    told->value = 0;
    for (i = 0; names && i < c->site->n_fixtures; i++) {
        if (!(taken(t, i, steps) > 0))
            continue;
        names[n++] = c->site->fixtures[i].given->name;
        told->value = fmax(told->value, taken(t, i, steps));
    }
    told->now = 0;
    told->subject = names ? fci_join_names(c, names, n) : NULL;
    if (!told->subject)
        return NULL;
    left = c->check->fixtures[near].states[c->state].flowing.low
           - taken(t, near, steps);
    return fci_arena_printf(
        c->arena,
        "Partly close the stops of %s, until each takes %s more at the peak "
        "flow of its valve%s; %s then has %s at peak (needs %s); limited by "
        "the flush events.",
        told->subject, fci_show(units, FC_PRESSURE, told->value).text,
        t->most[near] < told->value ? ", or all that it has to spare" : "",
        c->site->fixtures[near].given->name,
        fci_show(units, FC_PRESSURE, left).text,
        fci_show(units, FC_PRESSURE,
                 c->check->fixtures[near].states[c->state].required.high)
            .text);
}

static const char *
say_useless(const struct throttling *t, const struct fci_turned *turned)
{
    if (t->c->any_short)
        return fci_arena_string(
            t->c->arena,
            "Throttling the stops of other fixtures does not help: what is "
            "short is so at peak demand, which no stop changes.");
    if (t->steps == 0)
        return fci_arena_string(
            t->c->arena, "Throttling stops does not help: no other valve is "
                         "known to have pressure to spare.");
    return fci_cure_idle(t->c, turned, "Throttling stops");
}

/* ---- All -------------------------------------------------------------- */

static fc_status
tell(struct throttling *t, struct fci_turned *turned)
{
    struct fci_cures *c = t->c;
    fc_remedy told = fci_remedy_of(FC_THROTTLE_STOPS, NULL, FC_PRESSURE);
    struct fci_change_list list = { 0 };
    fc_status status = FC_OK;

    told.works = turned->outcome == FCI_CURES;
    if (told.works && count_throttled(t) <= MOST_TRIED)
        status = open_needless(t, &turned->steps);
    if (status != FC_OK)
        return status;
    told.text = told.works ? say_throttled(t, turned->steps, &told)
                           : say_useless(t, turned);
    if (told.works
        && !fci_buy(c, &told, FC_THROTTLE_STOPS, FCI_KINDS,
                    stops_throttled(t)))
        return FC_ENOMEM;
    if (told.works && !turn_stops(c, t, turned->steps, &list)) {
        fci_change_list_free(&list);
        return FC_ENOMEM;
    }
    return fci_cure_add(c, &told, &list) ? FC_OK : FC_ENOMEM;
}

fc_status
fci_cure_throttle(struct fci_cures *c)
{
    const size_t n = c->site->n_fixtures;
    struct throttling t = {
        .c = c,
        .most = fci_arena_array(c->arena, n + 1, sizeof *t.most),
        .open = fci_arena_array(c->arena, n + 1, sizeof *t.open)
    };
    struct fci_turned turned = { .outcome = FCI_USELESS };
    fc_status status = FC_OK;
    size_t i;

    if (!t.most || !t.open)
        return FC_ENOMEM;
    for (i = 0; !c->any_short && i < n; i++) {
        t.most[i] = spare_of(c, i);
        t.steps =
            (int)fmax(t.steps, ceil(t.most[i] / fci_pressure_step(c) - 1e-6));
    }
    if (t.steps > 0)
        status = fci_cure_search(c, turn_stops, &t, t.steps, &turned);
    return status == FC_OK ? tell(&t, &turned) : status;
}
