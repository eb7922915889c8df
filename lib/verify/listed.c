/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/verify/listed.c -- all readings of a site, what each was used for, and
 * which do not fit.
 */
#include "verify/verify.h"
#include "words/phrase.h"

#include <math.h>

/* What flushed, also where the model cannot tell what flowed. */
static const char *
name_event(const struct fci_verify *v, const fc_reading *reading)
{
    struct fci_words words = { v->arena, "", 0 };
    fc_flushing timed;
    size_t i, n, at = 0;
    const fc_flushing *list = fci_reading_flushing(reading, &timed, &n);
    bool flushed = true;

    if (n == 0)
        return "nothing flushed";
    for (i = 0; i < n; i++) {
        int count = list[i].count;

        if (fci_find_fixture_named(v->site, list[i].fixture, &at, NULL)
            == FC_OK) {
            if (count == 0)
                count = v->site->fixtures[at].count;
            flushed &= v->site->fixtures[at].valve[reading->state] != NULL;
        }
        fci_say(&words, ", ", "%d of %s", count, list[i].fixture);
    }
    return words.text ? fci_arena_printf(v->arena, "%s %s", words.text,
                                         flushed ? "flushed" : "ran")
                      : NULL;
}

/* ---- What it was used for ---------------------------------------------- */

/* How a case uses a reading; NULL: it does not. */
static const char *
how_used(const struct fci_claim *claim, const fc_checked_claim *checked,
         const fc_reading *reading)
{
    const bool still = checked->still_reading
                       && fci_same_name(checked->still_reading, reading->name);

    return claim->read.reading == reading      ? "its condition"
           : claim->read.against == reading    ? "its condition, disagrees"
           : claim->carried.reading == reading ? "carried"
           : still                             ? "static"
                                               : NULL;
}

/* Each claim once, by the first of its cases that uses it. */
static const char *
name_uses(const struct fci_verify *v, const fc_reading *reading)
{
    struct fci_words words = { v->arena, "", 0 };
    size_t i, told = FCI_NONE;

    for (i = 0; i < v->n_claims; i++) {
        const char *how = how_used(&v->claims[i], &v->checked[i], reading);

        if (!how || v->claims[i].of == told)
            continue;
        told = v->claims[i].of;
        fci_say(&words, ", ", "%s (%s)", v->checked[i].name, how);
    }
    return words.n > 0 ? words.text : NULL;
}

/* ---- What it disagrees with -------------------------------------------- */

static void
join_model(const struct fci_verify *v, const fc_contradiction *c,
           const fc_reading *reading, const char *of, struct fci_words *words)
{
    fci_join(words, "; ",
             fci_contradiction_words(v->arena, v->site->settings.units, c,
                                     reading->name, of));
}

/* By itself, and with others of its gauge. */
static void
tell_model(const struct fci_verify *v, const fc_reading *reading,
           struct fci_words *words)
{
    const double read = reading->pressure.nominal;
    size_t i;

    for (i = 0; i < v->n_fits; i++) {
        const struct fci_fit *fit = &v->fits[i];
        const fc_contradiction alone = { .reading = reading->name,
                                         .dimension = FC_PRESSURE,
                                         .low = fit->low,
                                         .high = fit->high,
                                         .apart = fmax(fit->low - read,
                                                       read - fit->high) };

        if (fit->reading == reading && fit->refuted && !fit->beside)
            join_model(v, &alone, reading, fci_fit_of(v, fit), words);
    }
    for (i = 0; i < v->evidence.n; i++) {
        const fc_contradiction *c = &v->evidence.list[i];

        if (c->beside && fci_contradiction_is_of(c, reading->name))
            join_model(v, c, reading, "", words);
    }
}

/* Heights and losses between two places are left to the words of the finding;
 * at one place the figures alone tell by how much. */
static void
tell_other(const struct fci_verify *v, const fc_reading *reading,
           const fc_reading *other, struct fci_words *words)
{
    const fc_unit_system units = v->site->settings.units;
    const double apart =
        fabs(other->pressure.nominal - reading->pressure.nominal);
    const double may = fci_reading_within(v->site, reading)
                       + fci_reading_within(v->site, other);
    const char *event = name_event(v, other);

    if (!event)
        return;
    fci_say(words, "", "%s shows %s at %s while %s", other->name,
            fci_show(units, FC_PRESSURE, other->pressure.nominal).text,
            other->at, event);
    if (fci_same_name(other->at, reading->at))
        fci_say(words, ": ", "off by %s; the gauges may be off by %s",
                fci_show(units, FC_PRESSURE, apart).text,
                fci_show(units, FC_PRESSURE, may).text);
}

static const char *
name_disagreement(const struct fci_verify *v, const fc_reading *reading)
{
    struct fci_words words = { v->arena, "", 0 };
    const fc_reading *other;

    if (!reading->pressure.given)
        return NULL;
    other = fci_reading_against(v, reading);
    if (other)
        tell_other(v, reading, other, &words);
    tell_model(v, reading, &words);
    return words.n > 0 ? words.text : NULL;
}

/* ---- All --------------------------------------------------------------- */

static double
flow_of(const fc_reading *reading)
{
    if (reading->filled_volume.given)
        return reading->filled_volume.nominal / reading->filled_time.nominal;
    return reading->flow.given ? reading->flow.nominal : NAN;
}

static void
list_reading(const struct fci_verify *v, const fc_reading *reading,
             fc_listed_reading *out)
{
    const fc_gauge *gauge = fci_gauge_named(v->site, reading->gauge);

    *out = (fc_listed_reading){
        .name = reading->name,
        .at = reading->at,
        .event = name_event(v, reading),
        .state = reading->state,
        .pressure = reading->pressure.given ? reading->pressure.nominal : NAN,
        .flow = flow_of(reading),
        .flush_time =
            reading->flush_time.given ? reading->flush_time.nominal : NAN,
        .within = fci_reading_within(v->site, reading),
        .within_said = reading->within.given || (gauge && gauge->within.given),
        .used_for = name_uses(v, reading),
        .disagrees = name_disagreement(v, reading),
    };
    if (gauge) {
        out->gauge = gauge->name;
        out->number = gauge->number;
        out->calibrated = gauge->calibrated;
    }
}

fc_status
fci_verify_list(const struct fci_verify *v, fc_verify_result *result)
{
    const fc_site *site = v->site;
    fc_listed_reading *list;
    size_t i;

    list = fci_arena_array(v->arena, fci_count_readings(site), sizeof *list);
    if (!list)
        return FC_ENOMEM;
    result->readings = list;
    for (i = 0; i < site->n_parts; i++)
        if (fci_is_reading(&site->parts[i]))
            list_reading(v, site->parts[i].data, &list[result->n_readings++]);
    return v->arena->failed ? FC_ENOMEM : FC_OK;
}
