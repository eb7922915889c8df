/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/restart_words.c -- the return of water, as it is told. */
#include "effects/effects.h"
#include "effects/restart.h"
#include "ground/ties.h"
#include "peak/source.h"

#include <math.h>

/* The one that an order begins with. */
static const fc_restart_valve *
least_alone(const fc_restart_state *told)
{
    const fc_restart_valve *least = NULL;
    size_t i;

    for (i = 0; i < told->n_list; i++) {
        const fc_restart_valve *v = &told->list[i];

        if (v->closes_alone != FC_WORKS
            && (!least
                || (v->closes_alone == FC_WILL_NOT_WORK
                    && least->closes_alone != FC_WILL_NOT_WORK)))
            least = v;
    }
    return least;
}

static const char *
wont_close(fc_verdict closes)
{
    return closes == FC_WILL_NOT_WORK ? "won't shut off" : "may not shut off";
}

/* ---- Summary and verdict ---------------------------------------------- */

static const char *
rests_on(struct fci_effects *e, const fc_restart_valve *v)
{
    const char *closes = fci_effect_said(e, FC_PRESSURE, v->closes_at);

    return closes ? fci_arena_printf(
               e->arena, "%s: %s",
               v->assumed ? "its minimum flowing" : "it closes at", closes)
                  : "what closes it is not known";
}

/* So little lets foul water in: 1 psi, what a gauge no longer tells from
 * nothing (common practice). */
#define NEXT_TO_NOTHING 6894.76

static bool
is_hazard(const fc_restart_valve *v)
{
    return v->all_open.low < NEXT_TO_NOTHING;
}

/* That of the row if it has a vacuum, else the one with the least pressure,
 * with all of them open. */
static const fc_restart_valve *
lowest_of(const fc_restart_state *told)
{
    const fc_restart_valve *lowest = &told->list[told->least_at];
    size_t i;

    for (i = 0; i < told->n_list && lowest->all_open.low >= 0; i++)
        if (!told->list[i].loose
            && fci_is_less(told->list[i].all_open.low, lowest->all_open.low))
            lowest = &told->list[i];
    return lowest;
}

/* Where water does not get there is none. */
static fc_range
no_less_than_none(fc_range pressure)
{
    return (fc_range){ pressure.given, fmax(pressure.nominal, 0),
                       fmax(pressure.low, 0), fmax(pressure.high, 0) };
}

/* "0 (vacuum)", "0 (vacuum) to 5.0 psi" */
static const char *
vacuum_said(struct fci_effects *e, fc_range pressure)
{
    const char *high;

    if (!pressure.given || pressure.low >= 0)
        return fci_effect_said(e, FC_PRESSURE, pressure);
    if (pressure.high <= 0)
        return "0 (vacuum)";
    high = fci_effect_said(e, FC_PRESSURE, fc_exactly(pressure.high));
    return high ? fci_arena_printf(e->arena, "0 (vacuum) to %s", high) : NULL;
}

/* What settles it, where only what the valve needs to flush is known. */
static const char *
what_settles(const fc_restart_valve *v)
{
    return v->assumed ? ". To settle it: the pressure at which the valve "
                        "closes, from its data sheet ([valve] closes at)"
                      : "";
}

static void
sum_up(struct fci_effects *e, const fc_restart *restart)
{
    const fc_restart_state *last = &restart->states[e->result->state];
    fc_effect least = { .area = FC_RESTART_EFFECT,
                        .what = "all valves open",
                        .dimension = FC_PRESSURE };
    fc_effect stops = { .area = FC_RESTART_EFFECT,
                        .what = "stops to open at a time",
                        .dimension = FC_NUMBER,
                        .rests_on = "as water returns; worst case" };
    bool vacuum = false;
    int s;

    for (s = 0; s < fci_effect_states(e); s++) {
        const fc_restart_state *told = &restart->states[s];

        if (!told->given)
            continue;
        least.values[s] = no_less_than_none(told->least);
        vacuum = vacuum || told->least.low < 0;
        stops.values[s] = fc_exactly(told->at_once);
        if (told->at_once == told->valves)
            stops.said[s] = fci_arena_printf(e->arena, "all %d", told->valves);
        if (told->at_once == 0)
            stops.said[s] = "cannot tell";
    }
    for (s = 0; s < fci_effect_states(e) && vacuum; s++)
        least.said[s] = vacuum_said(e, restart->states[s].least);
    if (last->given) {
        least.at = last->list[last->least_at].name;
        least.rests_on = rests_on(e, &last->list[last->least_at]);
    }
    fci_effect_row(e, &least);
    fci_effect_row(e, &stops);
}

/* The one to tell of those that their pressure may keep open with all of them
 * open: what surely stays open before what may, then the one furthest below
 * what closes it.  NULL: there is none. */
static const fc_restart_valve *
kept_open(const fc_restart_state *told)
{
    const fc_restart_valve *kept = NULL;
    double most = 0;

    /* of those that are alike that of the row */
    for (size_t i = 0; i <= told->n_list; i++) {
        const fc_restart_valve *v =
            &told->list[i == 0 ? told->least_at : i - 1];
        const double below = v->closes_at.high - v->all_open.low;

        if (v->loose || v->closes_all == FC_WORKS || !v->closes_at.given
            || !(below > FCI_SOLVED_TO))
            continue;
        if (!kept
            || (v->closes_all == kept->closes_all
                    ? fci_is_less(most, below)
                    : v->closes_all == FC_WILL_NOT_WORK)) {
            kept = v;
            most = below;
        }
    }
    return kept;
}

/* Whether some valve may stay open with all of them open, and an order of
 * opening stops prevents that. */
static bool
is_cured(const fc_restart_state *told)
{
    return told->at_once > 0 && kept_open(told);
}

static const char *
first_place(const fc_restart_state *told)
{
    return told->steps[0].places[0];
}

/* What is not known of a valve that closes by its pressures. */
static const char *
doubt_said(const fc_restart_valve *v)
{
    return v->doubt == FC_TANK_MAY_BE_EMPTY
               ? "the tank may be empty when water returns"
               : "a pump may stand still when water or power returns";
}

/* Shutting stops is a remedy as long as one valve at a time closes: it works
 * only with that, which stands beside the verdict. */
static void
judge_cured(struct fci_effects *e, const fc_restart_state *told,
            fc_state state)
{
    const fc_restart_valve *v = kept_open(told);
    const char *all = vacuum_said(e, no_less_than_none(v->all_open));
    const char *closes = fci_effect_said(e, FC_PRESSURE, v->closes_at);

    fci_effect_judge(
        e, FC_RESTART_EFFECT, state, FC_WORKS,
        fci_arena_printf(
            e->arena,
            "shut all stops first when water returns, and open at most %d at "
            "a time, %s first; %s %s with every valve open: %s, %s %s",
            told->at_once, first_place(told), v->name,
            wont_close(v->closes_all), all ? all : "",
            v->assumed ? "its minimum flowing is" : "it closes at",
            closes ? closes : ""));
    fci_effect_only_if(e, FC_RESTART_EFFECT, state,
                       "with stops shut first and opened in order");
}

static void
judge(struct fci_effects *e, const fc_restart_state *told, fc_state state)
{
    const fc_restart_valve *v = least_alone(told);
    const char *alone, *closes, *why = NULL;

    if (told->closes_alone == FC_WORKS && is_cured(told)) {
        judge_cured(e, told, state);
        return;
    }
    if (told->closes_alone == FC_WORKS && told->closes_all != FC_WORKS) {
        fci_effect_judge(
            e, FC_RESTART_EFFECT, state, FC_CANNOT_TELL,
            fci_untested_main(e->site)
                ? "how far the main drops when water returns and every valve "
                  "opens is not known"
                : "whether every valve shuts off when water returns and all "
                  "are open is not known");
        return;
    }
    if (v && v->doubt != FC_RESTART_NO_DOUBT)
        why = fci_arena_printf(e->arena,
                               "%s: whether %s shuts off then is not known",
                               doubt_said(v), v->name);
    else if (v) {
        alone = fci_effect_said(e, FC_PRESSURE, v->alone);
        closes = fci_effect_said(e, FC_PRESSURE, v->closes_at);
        why =
            !alone   ? NULL
            : closes ? fci_arena_printf(
                  e->arena, "%s %s when water returns, %s even alone; %s %s%s",
                  v->name, wont_close(v->closes_alone), alone,
                  v->assumed ? "its minimum flowing is" : "it closes at",
                  closes, what_settles(v))
                     : fci_arena_printf(
                         e->arena, "at what pressure %s closes is not known%s",
                         v->name, what_settles(v));
    }
    fci_effect_judge(e, FC_RESTART_EFFECT, state, told->closes_alone, why);
}

/* ---- Findings --------------------------------------------------------- */

static void
find_doubt(struct fci_effects *e, const fc_restart_valve *v, fc_state state)
{
    fci_find(&e->found, FC_WARN, v->name, FC_IN(state), FC_FOUND_RESTART,
             "{doubt}{when}, so that whether it shuts off is not known. Shut "
             "all stops first, {wait}, and open them one at a time",
             FCI_WITH(FCI_WORD("doubt", doubt_said(v)),
                      FCI_WORD("wait", v->doubt == FC_TANK_MAY_BE_EMPTY
                                           ? "let the tank fill"
                                           : "see that the pump runs")));
}

static void
find_alone(struct fci_effects *e, const fc_restart_state *told, fc_state state)
{
    const fc_restart_valve *v = least_alone(told);

    if (v && v->doubt != FC_RESTART_NO_DOUBT)
        find_doubt(e, v, state);
    if (!v || !v->closes_at.given || v->doubt != FC_RESTART_NO_DOUBT)
        return;
    fci_find(
        &e->found, v->closes_alone == FC_WILL_NOT_WORK ? FC_WARN : FC_NOTE,
        v->name, FC_IN(state), FC_FOUND_RESTART,
        "{pressure} when it opens alone{when}; {what} {closes}: it {will not} "
        "when water returns, in whatever order stops are opened{settle}",
        FCI_WITH(FCI_RANGE("pressure", FC_PRESSURE, v->alone),
                 FCI_WORD("what", v->assumed ? "its minimum flowing is"
                                             : "it closes at"),
                 FCI_RANGE("closes", FC_PRESSURE, v->closes_at),
                 FCI_WORD("will not", wont_close(v->closes_alone)),
                 FCI_WORD("settle", what_settles(v))));
}

/* Down to a vacuum: told with what the order of opening prevents besides. */
static void
find_hazard(struct fci_effects *e, const fc_restart_state *told,
            fc_state state)
{
    const fc_restart_valve *v = lowest_of(told);
    const char *const down =
        v->all_open.high < NEXT_TO_NOTHING ? "" : "down to ";
    const char *const pressure =
        v->all_open.low < 0
            ? fci_arena_printf(e->arena, "0 %s or a vacuum",
                               fc_unit_name(e->result->units, FC_PRESSURE))
            : fci_effect_said(e, FC_PRESSURE, fc_exactly(v->all_open.low));

    fci_find(
        &e->found, FC_WARN, "", FC_IN(state), FC_FOUND_BACKFLOW,
        is_cured(told)
            ? "Backflow hazard: {down}{pressure} at {where} if "
              "every valve is open when water returns{when}, and {count} "
              "may not shut off. Shut all stops first; open at "
              "most {stops} at a time, {first} first"
            : "Backflow hazard: {down}{pressure} at {where} if "
              "every valve is open when water returns{when}. Shut all "
              "stops first, and open them one at a time",
        FCI_WITH(
            FCI_WORD("down", down),
            FCI_AS("pressure", FC_PRESSURE, v->all_open.low, pressure),
            FCI_WORD("where", v->name),
            FCI_AS("count", FC_NUMBER, told->running_on,
                   fci_arena_printf(e->arena, "%d valve%s", told->running_on,
                                    told->running_on == 1 ? "" : "s")),
            FCI_COUNT("stops", told->at_once),
            FCI_WORD("first", first_place(told))));
}

/* How many fixtures were not searched with every valve open. */
static size_t
n_loose(const fc_restart_state *told)
{
    size_t n = 0;

    for (size_t i = 0; i < told->n_list; i++)
        n += told->list[i].loose;
    return n;
}

/* Nothing rules it out where nobody looked. */
static void
find_not_searched(struct fci_effects *e, const fc_restart_state *told,
                  fc_state state)
{
    const size_t loose = n_loose(told);

    if (loose > 0 && !is_hazard(lowest_of(told)))
        fci_find(
            &e->found, FC_WARN, "", FC_IN(state), FC_FOUND_BACKFLOW,
            "Too many fixtures to search {not} of {all} with every valve "
            "open as water returns{when}: there a vacuum is not ruled "
            "out. Shut all stops first, and open them one at a time",
            FCI_WITH(FCI_COUNT("not", loose), FCI_COUNT("all", told->n_list)));
}

/* What the order of opening prevents. */
static void
find_all(struct fci_effects *e, const fc_restart_state *told, fc_state state)
{
    const fc_restart_valve *v = kept_open(told);

    if (is_hazard(lowest_of(told))) {
        find_hazard(e, told, state);
        return;
    }
    if (!is_cured(told))
        return;
    fci_find(
        &e->found, FC_WARN, v->name, FC_IN(state), FC_FOUND_RESTART,
        "{pressure} with every valve open, as when water returns{when}; "
        "{what} "
        "{closes}, so it {will not}, one of {count} valves that may not. Shut "
        "the stops first, then open at most {stops} at a time, {first} "
        "first{settle}",
        FCI_WITH(
            FCI_RANGE("pressure", FC_PRESSURE, no_less_than_none(v->all_open)),
            FCI_WORD("what",
                     v->assumed ? "its minimum flowing is" : "it closes at"),
            FCI_RANGE("closes", FC_PRESSURE, v->closes_at),
            FCI_WORD("will not", wont_close(v->closes_all)),
            FCI_COUNT("count", told->running_on),
            FCI_COUNT("stops", told->at_once),
            FCI_WORD("first", first_place(told)),
            FCI_WORD("settle", what_settles(v))));
}

static bool
tells_the_same(const fc_restart *restart)
{
    const fc_restart_state *a = &restart->states[FC_EXISTING];
    const fc_restart_state *b = &restart->states[FC_RETROFIT];

    return a->given == b->given && a->at_once == b->at_once
           && a->closes_all == b->closes_all
           && a->closes_alone == b->closes_alone && a->least_at == b->least_at
           && !fci_is_less(a->least.nominal, b->least.nominal)
           && !fci_is_less(b->least.nominal, a->least.nominal);
}

static void
find(struct fci_effects *e, const fc_restart *restart)
{
    int s;

    for (s = 0; s < fci_effect_states(e); s++) {
        const fc_restart_state *told = &restart->states[s];

        if (!told->given
            || (s == FC_EXISTING && e->converted && tells_the_same(restart)))
            continue;
        find_alone(e, told, (fc_state)s);
        find_all(e, told, (fc_state)s);
        find_not_searched(e, told, (fc_state)s);
    }
}

/* ---- Assumptions ------------------------------------------------------ */

static bool
any_assumed(const fc_restart *restart)
{
    size_t i;
    int s;

    for (s = 0; s < FC_STATES; s++)
        for (i = 0; i < restart->states[s].n_list; i++)
            if (restart->states[s].list[i].assumed)
                return true;
    return false;
}

/* Of a building too large to look at every fixture so. */
static void
assume_bounded(struct fci_effects *e, const fc_restart *restart)
{
    for (int s = fci_effect_states(e); s-- > 0;) {
        const fc_restart_state *told = &restart->states[s];
        const size_t loose = n_loose(told);

        if (loose == 0)
            continue;
        fci_assume(&e->found,
                   "With every valve open the range of pressure is searched "
                   "at the %zu of %zu fixtures that need it most; at the "
                   "others it was not, and is anything from a full vacuum to "
                   "that with one valve open.",
                   told->n_list - loose, told->n_list);
        return;
    }
}

static void
assume(struct fci_effects *e, const fc_restart *restart)
{
    const char *refill = fci_effect_said(e, FC_TIME, restart->refill);

    fci_assume(&e->found,
               "When water returns, or power to valves that open with it, "
               "every flush valve is open, and each runs %s (common practice) "
               "if it closes.",
               refill ? refill : "");
    if (any_assumed(restart))
        fci_assume(&e->found,
                   "A valve whose data sheet gives no \"closes at\" closes at "
                   "its minimum flowing; below that it is not known.");
    if (fci_untested_main(e->site))
        fci_assume(&e->found,
                   "How far the untested main drops with every valve open is "
                   "not known; while stops are opened a few at a time, as far "
                   "as such mains usually do.");
    assume_bounded(e, restart);
}

/* ---- The whole -------------------------------------------------------- */

fc_status
fci_effects_restart(struct fci_effects *e, fc_diagnostics *messages)
{
    fc_restart *restart = fci_arena_alloc(e->arena, sizeof *restart);
    fc_status status = FC_OK;
    bool any = false;
    int s;

    if (!restart)
        return FC_ENOMEM;
    restart->refill =
        fci_tables_usual(e->site->tables, FCI_USUAL_REFILL)->range;
    for (s = 0; s < fci_effect_states(e) && status == FC_OK; s++) {
        const struct fci_telling telling = fci_telling_of(
            &e->telling, (size_t)s, (size_t)fci_effect_states(e));

        status =
            fci_restart_find(e->network[s], e->solver[s], FCI_RESTART_WORK,
                             &telling, e->arena, &restart->states[s]);
        status = fci_solver_fail(e->solver[s], status, messages);
        any = any || restart->states[s].given;
    }
    if (status != FC_OK || !any)
        return status;
    e->result->restart = restart;
    sum_up(e, restart);
    for (s = 0; s < fci_effect_states(e); s++)
        if (restart->states[s].given)
            judge(e, &restart->states[s], (fc_state)s);
    find(e, restart);
    assume(e, restart);
    return e->arena->failed ? FC_ENOMEM : FC_OK;
}
