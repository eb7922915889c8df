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
                   "peak demand is that of the %s by fixture units, each "
                   "element carrying its own; sources: \"flushcalc tables "
                   "demand\" and \"flushcalc tables fixture\"",
                   code == FC_IPC ? "IPC" : "UPC");
    else
        fci_assume(&w->found,
                   "peak demand is that by probability (peak = probability), "
                   "each element carrying its own; that of the %s by fixture "
                   "units stands beside it",
                   code == FC_IPC ? "IPC" : "UPC");
    if (code == FC_IPC && w->judge->converted)
        fci_assume(&w->found,
                   "the IPC's fixture units do not fall with the flush "
                   "volume: a smaller flush is a shorter one, drawn at "
                   "the same rate, so the peak demand by units stays as "
                   "it is; that by probability knows the shorter flush");
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
            "the flush volume of these is not known, so each counts "
            "with the larger %.4g fixture units of the UPC and not "
            "with the %.4g of %s or less: %s",
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

static const char *
word_of(fc_verdict pressure)
{
    return pressure == FC_WORKS           ? "enough"
           : pressure == FC_WILL_NOT_WORK ? "too little"
                                          : "not certain";
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
                   "with the smaller units the peak at the source would be "
                   "%s and not %s, and the least margin %s at %s (%s) and "
                   "not %s at %s (%s): give the \"full flush\" of the valves",
                   fci_show(units, FC_FLOW, then.flow).text,
                   fci_show(units, FC_FLOW, now.flow).text,
                   fci_show(units, FC_PRESSURE, then.margin).text,
                   then.fixture, word_of(then.pressure),
                   fci_show(units, FC_PRESSURE, now.margin).text, now.fixture,
                   word_of(now.pressure));
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

    (void)site;
    return valve && valve->reduced_flush.given && !valve->reduced_share.given;
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
                   "in the busiest time %.4g min pass between two uses of "
                   "one flush valve (%s)",
                   busy.interval / 60,
                   busy.from == FCI_OF_USAGE
                       ? "[usage] interval"
                       : "common practice: no interval is given; with a queue "
                         "it is a minute or less");
    if (names)
        fci_assume(&w->found,
                   "%s have an interval of their own between two uses", names);
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
                   "half of the flushes are taken to be reduced ones, as no "
                   "\"reduced share\" is given for the valve of %s",
                   names);
    names = fci_name_some(w, is_always_on, NULL);
    if (names)
        fci_assume(&w->found,
                   "a flush lasts longer than the interval between two uses, "
                   "so the valve counts as always on: %s",
                   names);
    if (step > 0)
        fci_assume(
            &w->found,
            "the rates of the valves have no common unit: in sums each "
            "counts with the next multiple of %s up",
            fci_show(w->judge->site->settings.units, FC_FLOW, step).text);
}

static void
assume_others(struct fci_check_words *w)
{
    const char *names = fci_name_some(w, is_other, NULL);

    if (names)
        fci_assume(&w->found,
                   "nothing is known of how often fixtures without a flush "
                   "valve run, so to the peak by probability their cold units "
                   "are added by the code's flush-tank column, in full: %s",
                   names);
}

static void
explain_probability(struct fci_check_words *w)
{
    fci_assume(&w->found,
               "by probability the peak of a pipe is its largest flush "
               "valve and, of all the others together, what they do not "
               "exceed for 99 %% of the busiest time: how many are on at "
               "once, each by itself, for its mean flush in every interval "
               "between two uses");
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
                   "where it is not known how long a valve flushes (\"flow\" "
                   "and \"full flush\"), there is no peak by probability: %s",
                   names);
}

void
fci_assume_peak(struct fci_check_words *w)
{
    assume_units(w);
    assume_volumes(w);
    assume_probability(w);
}
