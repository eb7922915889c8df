/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/assume_peak.c -- what the two peak demands take for granted, in
 * words.
 */
#include "check/words.h"
#include "peak/flush_time.h"
#include "peak/probability.h"
#include "units/units.h"

#include <math.h>

static bool
by_probability(const struct fci_check_words *w)
{
    return w->judge->site->settings.peak == FC_PROBABILITY;
}

/* ---- By fixture units ------------------------------------------------- */

static void
assume_units(struct fci_check_words *w)
{
    const fc_code code = w->judge->site->settings.code;

    if (!by_probability(w))
        fci_assume(&w->found,
                   "peak demand is by %s fixture units, each element with its "
                   "own peak; sources: \"flushcalc tables demand\" and "
                   "\"flushcalc tables fixture\"",
                   code == FC_IPC ? "IPC" : "UPC");
    else
        fci_assume(&w->found,
                   "peak demand is by probability (peak = probability), each "
                   "element with its own peak; the peak by %s fixture units "
                   "is shown beside it",
                   code == FC_IPC ? "IPC" : "UPC");
    if (code == FC_IPC && w->judge->converted)
        fci_assume(
            &w->found,
            "IPC fixture units do not fall with flush volume: a smaller flush "
            "is shorter, at the same rate, so the peak by units stays; the "
            "peak by probability counts the shorter flush");
}

/* ---- Units by flush volume -------------------------------------------- */

struct volume_kind {
    const struct fci_fixture_kind *kind;
    fc_use use;
};

static bool
has_unknown_units(const struct fci_check_words *w,
                  const struct fci_fixture *fixture, const void *data)
{
    const struct volume_kind *of = data;

    return (!of
            || (fixture->kind == of->kind && fixture->given->use == of->use))
           && (fci_units_unknown(fixture, FC_EXISTING)
               || (w->judge->converted
                   && fci_units_unknown(fixture, FC_RETROFIT)));
}

/* Each kind and use once: what is taken, and what it would be. */
static void
assume_larger_units(struct fci_check_words *w)
{
    const fc_site *site = w->judge->site;
    size_t i, k;

    for (i = 0; i < site->n_fixtures; i++) {
        const struct volume_kind of = { site->fixtures[i].kind,
                                        site->fixtures[i].given->use };

        for (k = 0; k < i; k++)
            if (has_unknown_units(w, &site->fixtures[k], &of))
                break;
        if (k < i || !has_unknown_units(w, &site->fixtures[i], &of))
            continue;
        fci_assume(
            &w->found,
            "flush volume not known, so each counts as %.4g UPC fixture "
            "units, the larger value, not %.4g (%s or less): %s",
            of.kind->units_above[of.use].total, of.kind->units[of.use].total,
            fci_show(site->settings.units, FC_VOLUME, of.kind->over).text,
            fci_name_some(w, has_unknown_units, &of));
    }
}

/* The fixture with the least margin, and the peak at the source. */
struct least {
    const char *fixture; /* NULL: none requires a pressure */
    double margin, flow;
    fc_verdict pressure;
};

static struct least
least_margin(const struct fci_judge *judge)
{
    const fc_site *site = judge->site;
    const fc_state state = judge->converted ? FC_RETROFIT : FC_EXISTING;
    struct least least = {
        .margin = INFINITY,
        .flow = judge->demand[state][site->order[0]].flow[FCI_WORST]
    };
    size_t i;

    for (i = 0; i < site->n_fixtures; i++) {
        const struct fci_judgement j =
            fci_judge_fixture(judge, &site->fixtures[i], state);

        if (j.margin.given && j.margin.low < least.margin) {
            least.fixture = site->fixtures[i].given->name;
            least.margin = j.margin.low;
            least.pressure = j.pressure;
        }
    }
    return least;
}

/* "1.4 psi to spare at wc", "short by 4.3 psi at wc"; where it is not certain,
 * in the worst case. */
static const char *
least_words(struct fci_check_words *w, const struct least *least)
{
    const char *how = least->pressure == FC_WORKS ? "%s to spare at %s"
                      : least->pressure == FC_WILL_NOT_WORK
                          ? "short by %s at %s"
                          : "not certain, short by up to %s at %s";

    return fci_arena_printf(
        w->found.arena, how,
        fci_show(w->found.units, FC_PRESSURE, fabs(least->margin)).text,
        least->fixture);
}

/* What the smaller units would come to. */
static void
assume_smaller_units(struct fci_check_words *w)
{
    const struct fci_demand_as as = { .smaller_units = true };
    const fc_unit_system units = w->judge->site->settings.units;
    struct fci_judge judge;
    struct least now, then;

    if (fci_judge_begin_as(&judge, w->judge->site, &as, NULL) != FC_OK) {
        w->found.arena->failed = true;
        fci_judge_end(&judge);
        return;
    }
    now = least_margin(w->judge);
    then = least_margin(&judge);
    fci_judge_end(&judge);
    if (now.fixture && then.fixture)
        fci_assume(&w->found,
                   "with the smaller units the peak at the source is %s, not "
                   "%s, and %s, not %s: give the \"full flush\" of the valves",
                   fci_show(units, FC_FLOW, then.flow).text,
                   fci_show(units, FC_FLOW, now.flow).text,
                   least_words(w, &then), least_words(w, &now));
}

static void
assume_volumes(struct fci_check_words *w)
{
    if (by_probability(w) || !fci_name_some(w, has_unknown_units, NULL))
        return;
    assume_larger_units(w);
    assume_smaller_units(w);
}

/* ---- By probability --------------------------------------------------- */

/* With a flush valve of which it is known, in some state, how long it flushes.
 */
static bool
is_known(const struct fci_check_words *w, const struct fci_fixture *fixture,
         const void *data)
{
    (void)data;
    return fixture->kind->flushes
           && (!fci_flush_lacks(fixture, FC_EXISTING)
               || (w->judge->converted
                   && !fci_flush_lacks(fixture, FC_RETROFIT)));
}

static bool
is_other(const struct fci_check_words *w, const struct fci_fixture *fixture,
         const void *data)
{
    (void)w;
    (void)data;
    return !fixture->kind->flushes
           && fci_fixture_units(fixture, FC_EXISTING).total > 0;
}

static bool
has_interval_from(const struct fci_check_words *w,
                  const struct fci_fixture *fixture, const void *data)
{
    const enum fci_interval_from *from = data;

    return fixture->kind->flushes
           && fci_valve_busy(w->judge->site, fixture, FC_EXISTING, FCI_NOMINAL)
                      .from
                  == *from;
}

/* In a state that is judged. */
static bool
in_some_state(const struct fci_check_words *w,
              const struct fci_fixture *fixture,
              bool (*holds)(const fc_site *site,
                            const struct fci_fixture *fixture, fc_state state))
{
    const fc_site *site = w->judge->site;

    return fixture->kind->flushes
           && (holds(site, fixture, FC_EXISTING)
               || (w->judge->converted && holds(site, fixture, FC_RETROFIT)));
}

static bool
share_is_assumed(const fc_site *site, const struct fci_fixture *fixture,
                 fc_state state)
{
    const fc_valve *valve = fixture->valve[state];

    return valve && valve->reduced_flush.given && !valve->reduced_share.given
           && !site->usage.long_stay_share.given;
}

static bool
is_capped(const fc_site *site, const struct fci_fixture *fixture,
          fc_state state)
{
    return fci_valve_busy(site, fixture, state, FCI_WORST).capped;
}

static bool
is_not_known(const fc_site *site, const struct fci_fixture *fixture,
             fc_state state)
{
    (void)site;
    return fci_flush_lacks(fixture, state) != NULL;
}

static bool
lacks_share(const struct fci_check_words *w, const struct fci_fixture *fixture,
            const void *data)
{
    (void)data;
    return in_some_state(w, fixture, share_is_assumed);
}

static bool
is_always_on(const struct fci_check_words *w,
             const struct fci_fixture *fixture, const void *data)
{
    (void)data;
    return in_some_state(w, fixture, is_capped);
}

static bool
is_unknown(const struct fci_check_words *w, const struct fci_fixture *fixture,
           const void *data)
{
    (void)data;
    return in_some_state(w, fixture, is_not_known);
}

static void
assume_intervals(struct fci_check_words *w)
{
    const fc_site *site = w->judge->site;
    const enum fci_interval_from own = FCI_OF_FIXTURE;
    const char *names = fci_name_some(w, has_interval_from, &own);
    bool shared = false;
    struct fci_busy busy;
    size_t i;

    for (i = 0; i < site->n_fixtures && !shared; i++) {
        if (!site->fixtures[i].kind->flushes)
            continue;
        busy =
            fci_valve_busy(site, &site->fixtures[i], FC_EXISTING, FCI_NOMINAL);
        shared = busy.from != FCI_OF_FIXTURE;
    }
    if (shared)
        fci_assume(&w->found,
                   "%.4g min between two uses of a flush valve in the busiest "
                   "period (%s)",
                   busy.interval / 60,
                   busy.from == FCI_OF_USAGE
                       ? "[usage] interval"
                       : "common practice, none given; with a line of people "
                         "a minute or less");
    if (names)
        fci_assume(&w->found, "own interval between two uses: %s", names);
}

/* The largest step of either state; 0: rates have a common unit. */
static double
rounding_step(const struct fci_judge *judge)
{
    const size_t source = judge->site->order[0];
    double step = judge->demand[FC_EXISTING][source].step;

    if (judge->converted)
        step = fmax(step, judge->demand[FC_RETROFIT][source].step);
    return step;
}

static void
assume_flushes(struct fci_check_words *w)
{
    const double step = rounding_step(w->judge);
    const char *names = fci_name_some(w, lacks_share, NULL);

    if (names)
        fci_assume(&w->found,
                   "half the flushes are taken as reduced, \"reduced share\" "
                   "not given for the valve of %s",
                   names);
    names = fci_name_some(w, is_always_on, NULL);
    if (names)
        fci_assume(&w->found,
                   "a flush outlasts the interval between two uses, so the "
                   "valve counts as always on: %s",
                   names);
    if (step > 0)
        fci_assume(
            &w->found,
            "the valve rates have no common step: in sums each is rounded up "
            "to a multiple of %s",
            fci_show(w->judge->site->settings.units, FC_FLOW, step).text);
}

static void
assume_others(struct fci_check_words *w)
{
    const char *names = fci_name_some(w, is_other, NULL);

    if (names)
        fci_assume(&w->found,
                   "how often fixtures without a flush valve run is not "
                   "known; the peak by probability adds their cold units in "
                   "full, by the code's flush-tank column: %s",
                   names);
}

static void
explain_probability(struct fci_check_words *w)
{
    fci_assume(
        &w->found,
        "peak of a pipe by probability: its largest flush valve plus the flow "
        "that its others together do not exceed 99%% of the busiest period, "
        "each on independently for a mean flush once an interval");
    assume_intervals(w);
    assume_flushes(w);
    assume_others(w);
}

static void
assume_probability(struct fci_check_words *w)
{
    const char *names = fci_name_some(w, is_unknown, NULL);

    if (fci_name_some(w, is_known, NULL))
        explain_probability(w);
    if (names)
        fci_assume(&w->found,
                   "no peak by probability where the length of a flush is not "
                   "known (\"flow\" and \"full flush\"): %s",
                   names);
}

void
fci_assume_peak(struct fci_check_words *w)
{
    assume_units(w);
    assume_volumes(w);
    assume_probability(w);
}
