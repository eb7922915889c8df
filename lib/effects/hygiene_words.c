/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/hygiene_words.c -- hygiene flushes that come due together, in
 * words. */
#include "effects/hygiene.h"

#include <math.h>

#define MINUTE 60.0

/* "10 min", "5 to 15 min" */
static const char *
say_minutes(struct fci_effects *e, fc_range time)
{
    const char *said =
        fci_effect_said(e, FC_NUMBER,
                        (fc_range){ true, time.nominal / MINUTE,
                                    time.low / MINUTE, time.high / MINUTE });

    return said ? fci_arena_printf(e->arena, "%s min", said) : NULL;
}

static void
put_row(struct fci_effects *e, const fc_hygiene *hygiene)
{
    const fc_hygiene_state *after = &hygiene->states[e->result->state];
    const char *within = say_minutes(e, hygiene->last_use_within);
    fc_effect row = { .area = FC_HYGIENE_EFFECT,
                      .what = "hygiene flushes at once" };

    if (!within)
        return;
    row.rests_on = fci_arena_printf(
        e->arena, "%zu due within %s",
        after->together > 0 ? after->together
                            : hygiene->states[FC_EXISTING].together,
        within);
    for (int s = 0; s < fci_effect_states(e); s++) {
        if (hygiene->states[s].together == 0)
            continue;
        row.values[s] = fc_exactly((double)hygiene->states[s].up_to);
        row.said[s] =
            fci_arena_printf(e->arena, "up to %zu", hygiene->states[s].up_to);
    }
    fci_effect_row(e, &row);
}

/* In minutes, rounded up; of many hours in hours. */
static const char *
say_spread(struct fci_effects *e, double spread)
{
    const double minutes = ceil(spread / MINUTE - 1e-9);

    return minutes < 180
               ? fci_arena_printf(e->arena, "%.0f min", minutes)
               : fci_arena_printf(e->arena, "%.0f h", ceil(minutes / 60));
}

/* What would bring it below 1%. */
static const char *
say_advice(struct fci_effects *e, const fc_hygiene *hygiene,
           const fc_hygiene_state *state)
{
    const bool worst = !isnan(state->spread_worst);
    const double spread = worst ? state->spread_worst : state->spread;
    const fc_range within = hygiene->last_use_within;
    const double groups =
        ceil(spread / (worst ? within.low : within.nominal) - 1e-9);
    const char *over, *gap;

    if (state->alone_weak)
        return "one alone is weak already, so that staggering does not help";
    if (isnan(state->spread))
        return "no staggering within their interval brings that below 1%";
    if (!worst && spread <= within.nominal)
        return "at midpoint values less than 1% of it is";
    over = say_spread(e, spread);
    gap = say_spread(e, within.high);
    if (!over || !gap)
        return NULL;
    if (groups >= (double)state->together)
        return fci_arena_printf(
            e->arena, "set their intervals so that no two come due within %s",
            gap);
    return fci_arena_printf(
        e->arena,
        "spread them over %s or more%s, such as by %.0f groups, each from all "
        "branches, whose intervals differ by %s or more",
        over, worst ? "" : " (at midpoint values)", fmax(groups, 2), gap);
}

/* "3.5", "3.5 to 12.0", in percent. */
static const char *
say_weak(struct fci_effects *e, const fc_busy *busy)
{
    const double middle = busy->weak.estimate;
    double low = middle, high = middle;

    if (busy->weak_best.given)
        low = fmin(low, busy->weak_best.estimate);
    if (busy->weak_worst.given)
        high = fmax(high, busy->weak_worst.estimate);
    return high - low < 0.0005
               ? fci_arena_printf(e->arena, "%.1f", 100 * middle)
               : fci_arena_printf(e->arena, "%.1f to %.1f", 100 * low,
                                  100 * high);
}

static void
find_weak(struct fci_effects *e, const fc_hygiene *hygiene, fc_state state)
{
    const fc_hygiene_state *told = &hygiene->states[state];
    const char *within = say_minutes(e, hygiene->last_use_within);
    const bool surely = told->seldom_weak == FC_WILL_NOT_WORK;
    const fc_hygiene_fixture *weakest;
    const char *weak, *advice;

    if (told->together == 0 || told->seldom_weak == FC_WORKS
        || told->weakest == SIZE_MAX)
        return;
    weakest = &told->fixtures[told->weakest];
    weak = say_weak(e, &weakest->busy);
    advice = say_advice(e, hygiene, told);
    if (!within || !weak || !advice)
        return;
    fci_find(&e->found, surely ? FC_WARN : FC_NOTE, weakest->name,
             e->converted ? FC_IN(state) : 0, FC_FOUND_HYGIENE,
             surely ? "its hygiene flushes are weak {weak}% of their "
                      "time{when}, as {valves} valves come due within "
                      "{within}: {advice}"
                    : "its hygiene flushes may be weak {weak}% of their "
                      "time{when}, as {valves} valves come due within "
                      "{within}: {advice}",
             FCI_WITH(FCI_AS("weak", FC_NUMBER,
                             100 * weakest->busy.weak.estimate, weak),
                      FCI_COUNT("valves", told->together),
                      FCI_WORD("within", within), FCI_WORD("advice", advice)));
}

/* Sensor valves of which nobody says whether they flush by themselves. */
void
fci_hygiene_not_said(struct fci_effects *e)
{
    size_t n = 0;

    for (size_t i = 0; i < e->site->n_fixtures; i++) {
        const struct fci_fixture *f = &e->site->fixtures[i];
        bool not_said = false;

        for (int s = 0; s < fci_effect_states(e); s++)
            not_said = not_said
                       || (fci_is_sensor(f, (fc_state)s)
                           && !f->valve[s]->hygiene_flush.given);
        n += not_said ? (size_t)f->count : 0;
    }
    if (n > 0)
        fci_assume(
            &e->found,
            "whether %zu sensor valve%s flush%s after some time without "
            "use is not given ([valve] hygiene flush), so that none of "
            "those count among the hygiene flushes at once",
            n, n == 1 ? "" : "s", n == 1 ? "es" : "");
}

void
fci_hygiene_words(struct fci_effects *e, const fc_hygiene *hygiene)
{
    const char *within = say_minutes(e, hygiene->last_use_within);

    put_row(e, hygiene);
    for (int s = 0; s < fci_effect_states(e); s++)
        find_weak(e, hygiene, (fc_state)s);
    if (hygiene->usual && within)
        fci_assume(&e->found,
                   "all fixtures are last used within %s before the building "
                   "empties, as is usual (last use within), so that hygiene "
                   "flushes come due within that time of each other",
                   within);
    fci_assume(&e->found,
               "a hygiene flush is a full one; where timers all start in the "
               "same instant, as when power comes back, all of them flush at "
               "once");
}
