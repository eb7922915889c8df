/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/renewal_words.c -- what was found of renewal, in words.
 *
 * Once a day is a yardstick of common practice, and so is a week without use
 * as what calls for flushing; neither says anything of health.
 */
#include "effects/contents.h"
#include "effects/renewal.h"
#include "units/range_sums.h"
#include "words/phrase.h"

#include <math.h>
#include <string.h>

#define LONG_IDLE (7 * FCI_DAY) /* common practice */
#define MOST_NAMES 3
#define HOUR 3600.0
#define MINUTE 60.0

/* ---- Rows ------------------------------------------------------------- */

/* "8.1 to 13.0", all of a row with as many decimals. */
static const char *
alike_said(struct fci_effects *e, fc_range value, int decimals)
{
    const char *low = fci_arena_printf(e->arena, "%.*f", decimals, value.low);
    const char *high =
        fci_arena_printf(e->arena, "%.*f", decimals, value.high);

    if (!value.given || !low || !high)
        return NULL;
    return strcmp(low, high) == 0
               ? low
               : fci_arena_printf(e->arena, "%s to %s", low, high);
}

/* For three digits of the least of a row. */
static int
decimals_of(double least)
{
    return least < 10 ? 2 : least < 100 ? 1 : 0;
}

static void
say_alike(struct fci_effects *e, fc_effect *row)
{
    double least = INFINITY;
    int s;

    for (s = 0; s < fci_effect_states(e); s++)
        if (row->values[s].given)
            least = fmin(least, row->values[s].low);
    for (s = 0; s < fci_effect_states(e); s++)
        row->said[s] = alike_said(e, row->values[s], decimals_of(least));
}

/* Where more than this part of the pipes have no known use, the fewest
 * turnovers of the others say nothing of the building: a choice of ours. */
#define FEW_UNKNOWN 0.1

static void
put_turnovers(struct fci_effects *e, const fc_renewal *renewal)
{
    const fc_renewal_state *last = &renewal->states[e->result->state];
    const size_t fed = renewal->n_pipes - renewal->dead_ends;
    const bool known = (double)last->unknown <= FEW_UNKNOWN * (double)fed;
    fc_effect row = { .area = FC_RENEWAL_EFFECT };
    bool bound = false;

    if (last->least == SIZE_MAX)
        return;
    if (!known)
        row.rests_on = fci_arena_printf(
            e->arena, "use of %zu pipes not given; of %zu, see [usage]",
            last->unknown, fed);
    else if (last->unknown > 0)
        row.rests_on = fci_arena_printf(
            e->arena, "on days of use; %zu of %zu pipes not known",
            last->unknown, fed);
    else
        row.rests_on = "on days of use";
    for (int s = 0; s < fci_effect_states(e) && known; s++) {
        const fc_pipe_renewal *pipe = &renewal->pipes[last->least].states[s];

        row.values[s] = pipe->turnovers;
        bound = bound || (pipe->turnovers.given && pipe->at_least);
    }
    row.what = !known  ? "turnovers a day"
               : bound ? "turnovers a day, at least"
                       : "turnovers a day, fewest";
    row.at = known ? renewal->pipes[last->least].name : NULL;
    say_alike(e, &row);
    for (int s = 0; s < fci_effect_states(e) && !known; s++)
        row.said[s] = "cannot tell";
    fci_effect_row(e, &row);
}

static void
put_residence(struct fci_effects *e, const fc_renewal *renewal)
{
    const size_t shown = renewal->states[e->result->state].oldest;
    fc_effect row = { .area = FC_RENEWAL_EFFECT };
    double most = 0, unit;
    bool bound = false;

    if (shown == SIZE_MAX)
        return;
    row.at = renewal->outlets[shown].name;
    for (int s = 0; s < fci_effect_states(e); s++) {
        const size_t oldest = renewal->states[s].oldest;
        const fc_aged_outlet *outlet;

        if (oldest == SIZE_MAX)
            continue;
        outlet = &renewal->outlets[oldest];
        row.values[s] = outlet->residence[s];
        most = fmax(most, row.values[s].nominal);
        bound = bound || outlet->at_most[s];
    }
    unit = most >= 2 * FCI_DAY ? FCI_DAY : most >= 2 * HOUR ? HOUR : MINUTE;
    for (int s = 0; s < fci_effect_states(e); s++)
        row.values[s] = fci_range_times(row.values[s], 1 / unit);
    row.what = bound ? "age of water up to" : "age of water, oldest";
    row.unit = most >= 2 * FCI_DAY ? "d" : most >= 2 * HOUR ? "h" : "min";
    row.rests_on = "mean time in pipes, days of use";
    say_alike(e, &row);
    fci_effect_row(e, &row);
}

/* ---- Findings --------------------------------------------------------- */

static fc_range
turnovers_in(const fc_renewal *renewal, size_t pipe, fc_state state)
{
    return renewal->pipes[pipe].states[state].turnovers;
}

/* Surely so after the retrofit, and surely not before. */
static bool
falls_below(const fc_renewal *renewal, size_t pipe)
{
    const fc_range before = turnovers_in(renewal, pipe, FC_EXISTING);
    const fc_range after = turnovers_in(renewal, pipe, FC_RETROFIT);

    return before.given && after.given && before.low >= 1 && after.high < 1
           && !renewal->pipes[pipe].states[FC_RETROFIT].at_least;
}

static void
find_fallen(struct fci_effects *e, const fc_renewal *renewal)
{
    size_t n = 0, least = SIZE_MAX;

    for (size_t i = 0; i < renewal->n_pipes; i++) {
        if (!falls_below(renewal, i))
            continue;
        n++;
        if (least == SIZE_MAX
            || turnovers_in(renewal, i, FC_RETROFIT).nominal
                   < turnovers_in(renewal, least, FC_RETROFIT).nominal)
            least = i;
    }
    if (n == 0)
        return;
    fci_find(&e->found, FC_WARN, renewal->pipes[least].name,
             FC_IN(FC_RETROFIT), FC_FOUND_RENEWAL,
             n > 1
                 ? "renewed {turnovers} times on a day of use{when}, {before} "
                   "times before; {pipes} pipes fall below once a day, a "
                   "yardstick of common practice"
                 : "renewed {turnovers} times on a day of use{when}, {before} "
                   "times before; once a day is a yardstick of common "
                   "practice",
             FCI_WITH(FCI_RANGE("turnovers", FC_NUMBER,
                                turnovers_in(renewal, least, FC_RETROFIT)),
                      FCI_RANGE("before", FC_NUMBER,
                                turnovers_in(renewal, least, FC_EXISTING)),
                      FCI_COUNT("pipes", n)));
}

static void
find_seldom(struct fci_effects *e, const fc_renewal *renewal)
{
    const fc_state state = e->result->state;
    const fc_renewal_state *told = &renewal->states[state];
    const unsigned in = e->converted ? FC_IN(state) : 0;

    if (told->seldom > 0)
        fci_find(&e->found, FC_NOTE, "", in, FC_FOUND_RENEWAL,
                 told->seldom > 1
                     ? "{pipes} pipes are renewed less than once on a day of "
                       "use{when}"
                     : "1 pipe is renewed less than once on a day of "
                       "use{when}",
                 FCI_WITH(FCI_COUNT("pipes", told->seldom)));
    if (told->maybe > 0)
        fci_find(&e->found, FC_NOTE, "", in, FC_FOUND_RENEWAL,
                 told->maybe > 1
                     ? "whether {pipes} pipes are renewed once on a day of "
                       "use{when} depends on ranges or on draws that are not "
                       "known"
                     : "whether 1 pipe is renewed once on a day of use{when} "
                       "depends on ranges or on draws that are not known",
                 FCI_WITH(FCI_COUNT("pipes", told->maybe)));
}

/* "2 flushes of wc-6, 1 of wc-3 and those of 4 more fixtures" */
static const char *
say_flushes(struct fci_effects *e, const fc_renewal_state *told)
{
    struct fci_words words = { e->arena, "", 0 };
    const size_t most =
        told->n_extra > MOST_NAMES + 1 ? MOST_NAMES : told->n_extra;

    for (size_t i = 0; i < most; i++)
        fci_say(&words, i + 1 == told->n_extra ? " and " : ", ", "%zu%s of %s",
                told->extra[i].flushes,
                i > 0                         ? ""
                : told->extra[i].flushes == 1 ? " flush"
                                              : " flushes",
                told->extra[i].fixture);
    if (most < told->n_extra)
        fci_say(&words, " and ", "those of %zu more fixtures",
                told->n_extra - most);
    return words.text;
}

static void
find_extra(struct fci_effects *e, const fc_renewal *renewal)
{
    const fc_state state = e->result->state;
    const fc_renewal_state *told = &renewal->states[state];
    const char *flushes = say_flushes(e, told);
    const char *rest =
        told->not_flushed > 0 ? fci_arena_printf(
            e->arena, "; %zu pipe%s no flush valve downstream",
            told->not_flushed, told->not_flushed > 1 ? "s have" : " has")
                              : "";

    if (told->n_extra == 0 || !flushes || !rest)
        return;
    fci_find(
        &e->found, FC_NOTE, "", e->converted ? FC_IN(state) : 0,
        FC_FOUND_RENEWAL,
        "{flushes} a day more than its use{when} renew every pipe on their "
        "way once, with {water}; no way takes less than {least}{rest}",
        FCI_WITH(FCI_WORD("flushes", flushes), FCI_WORD("rest", rest),
                 FCI_ONE("water", FC_VOLUME, told->extra_water),
                 FCI_ONE("least", FC_VOLUME, told->least_water)));
}

static void
find_dead_ends(struct fci_effects *e, const fc_renewal *renewal)
{
    struct fci_words names = { e->arena, "", 0 };

    if (renewal->dead_ends == 0)
        return;
    for (size_t i = 0; i < renewal->n_pipes && names.n < MOST_NAMES; i++)
        if (renewal->pipes[i].dead_end)
            fci_say(&names, ", ", "%s", renewal->pipes[i].name);
    if (renewal->dead_ends > names.n)
        fci_say(&names, " and ", "%zu more", renewal->dead_ends - names.n);
    if (names.text)
        fci_find(&e->found, FC_NOTE, "", 0, FC_FOUND_RENEWAL,
                 "dead ends that feed nothing hold {water} that nothing "
                 "renews: {pipes}",
                 FCI_WITH(FCI_ONE("water", FC_VOLUME, renewal->dead_contents),
                          FCI_WORD("pipes", names.text)));
}

static void
find_idle(struct fci_effects *e)
{
    const fc_usage *usage = &e->site->usage;
    double longest = 0;

    for (size_t i = 0; i < usage->n_closed; i++)
        longest = fmax(longest, usage->closed[i].time);
    if (longest >= LONG_IDLE)
        fci_find(&e->found, FC_NOTE, "", 0, FC_FOUND_RENEWAL,
                 "nobody uses the building for up to {days} days; a week or "
                 "more without use is what customarily calls for flushing "
                 "before people return",
                 FCI_WITH(FCI_ONE("days", FC_NUMBER, longest / FCI_DAY)));
}

/* ---- What is taken for granted ---------------------------------------- */

static void
assume_draws(struct fci_effects *e)
{
    struct fci_words names = { e->arena, "", 0 };
    bool valves = false, others = false;
    size_t n = 0;

    for (size_t i = 0; i < e->site->n_fixtures; i++) {
        const struct fci_fixture *f = &e->site->fixtures[i];

        if (e->uses[FC_EXISTING][i].given || f->given->draw_per_day.given)
            continue;
        *(f->valve[FC_EXISTING] || f->valve[FC_RETROFIT] ? &valves : &others) =
            true;
        if (n++ < MOST_NAMES)
            fci_say(&names, ", ", "%s", f->given->name);
    }
    if (n > MOST_NAMES)
        fci_say(&names, " and ", "%zu more", n - MOST_NAMES);
    if (n > 0 && names.text)
        fci_assume(&e->found,
                   "what these draw a day is not known and not counted, so "
                   "that turnovers are at least what is told and times at "
                   "most: %s (%s)",
                   names.text,
                   !valves  ? "draw per day"
                   : others ? "draw per day; uses per day of flush valves"
                            : "uses per day, or [usage] people");
}

void
fci_renewal_words(struct fci_effects *e, const fc_renewal *renewal)
{
    put_turnovers(e, renewal);
    put_residence(e, renewal);
    if (e->converted)
        find_fallen(e, renewal);
    find_seldom(e, renewal);
    find_extra(e, renewal);
    find_dead_ends(e, renewal);
    find_idle(e);
    assume_draws(e);
    fci_assume(&e->found,
               "renewal: pipes are full and their water moves as a plug; what "
               "%smeters, heaters and other devices hold is not counted",
               e->site->tank ? "the pressure tank, " : "");
}
