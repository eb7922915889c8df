/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/fixture_words.c -- what was found at a fixture, in words. */
#include "check/words.h"
#include "units/units.h"

#include <math.h>
#include <stdio.h>

#define SOME_NAMES 6 /* as many as a line holds */

const char *
fci_when(const struct fci_judge *judge, fc_state state)
{
    if (!judge->converted)
        return "";
    return state == FC_RETROFIT ? " after the retrofit" : " as it stands";
}

const char *
fci_name_some(struct fci_findings *f,
              bool (*belongs)(const struct fci_findings *f,
                              const struct fci_fixture *fixture,
                              const void *data),
              const void *data)
{
    const fc_site *site = f->judge->site;
    char text[SOME_NAMES * 72] = "";
    size_t i, n = 0, used = 0;
    const char *names;

    for (i = 0; i < site->n_fixtures; i++) {
        if (!belongs(f, &site->fixtures[i], data))
            continue;
        if (n < SOME_NAMES)
            used +=
                (size_t)snprintf(text + used, sizeof text - used, "%s%s",
                                 n ? ", " : "", site->fixtures[i].given->name);
        n++;
    }
    if (n == 0)
        return NULL;
    names = n <= SOME_NAMES ? fci_arena_string(f->arena, text)
                            : fci_arena_printf(f->arena, "%s and %zu more",
                                               text, n - SOME_NAMES);
    f->out_of_memory |= !names;
    return names;
}

/* The fixture and judgement at hand. */
struct subject {
    struct fci_findings *f;
    const struct fci_fixture *fixture;
    fc_state state;
    const struct fci_judgement *j;
    int in; /* what is the same in both states is said of none (FC_STATES) */
};

static struct fci_shown
pressure(const struct subject *s, fc_range range)
{
    return fci_show_range(s->f->judge->site->settings.units, FC_PRESSURE,
                          range);
}

static struct fci_shown
one_pressure(const struct subject *s, double value)
{
    return pressure(s, fc_exactly(value));
}

static struct fci_shown
show(const struct subject *s, fc_dimension dimension, double value)
{
    return fci_show(s->f->judge->site->settings.units, dimension, value);
}

#define FIND(s, severity, about, ...)                                         \
    fci_find((s)->f, severity, (s)->fixture->given->name, (s)->in, about,     \
             __VA_ARGS__)

static const char *
governor_name(const struct subject *s)
{
    return s->j->need.governor == FC_CODE_GOVERNS ? "the code's least"
                                                  : "the valve's own minimum";
}

/* How far short, from the best end to the worst: the summary tells the
 * former. */
static fc_range
lack_of(const struct fci_judgement *j)
{
    const fc_range lack = { true, -j->margin.nominal, -j->margin.high,
                            -j->margin.low };

    return lack;
}

static void
find_short(const struct subject *s, const struct fci_judgement *other)
{
    const struct fci_judgement *j = s->j;
    const bool worked =
        s->state == FC_RETROFIT && other && other->works == FC_WORKS;
    const char *before = worked ? "; it works as it stands" : "";

    if (j->no_pipe == FC_WILL_NOT_WORK)
        FIND(s, FC_FAIL, "static pressure",
             "has %s with nothing flowing, and needs %s flowing%s (%s): "
             "no pipe can cure that%s",
             pressure(s, j->ceiling).text, pressure(s, j->need.pressure).text,
             fci_when(s->f->judge, s->state), governor_name(s), before);
    else
        FIND(s, FC_FAIL, "flowing pressure",
             "has %s flowing at peak%s and needs %s (%s): short by %s%s",
             pressure(s, j->flowing).text, fci_when(s->f->judge, s->state),
             pressure(s, j->need.pressure).text, governor_name(s),
             pressure(s, lack_of(j)).text, before);
}

static void
find_pressure(const struct subject *s, const struct fci_judgement *other,
              const char *decided_by)
{
    const struct fci_judgement *j = s->j;

    if (j->pressure == FC_WILL_NOT_WORK && !j->need.pressure.given)
        FIND(s, FC_FAIL, "flowing pressure",
             "has %s flowing at peak%s: no water comes",
             pressure(s, j->flowing).text, fci_when(s->f->judge, s->state));
    else if (j->pressure == FC_WILL_NOT_WORK)
        find_short(s, other);
    else if (j->pressure == FC_CANNOT_TELL && !j->need.pressure.given)
        FIND(s, FC_WARN, "flowing pressure",
             "has %s flowing at peak%s, and %s; what weighs most is %s",
             pressure(s, j->flowing).text, fci_when(s->f->judge, s->state),
             s->fixture->kind->flushes ? "what it needs is not known"
                                       : "may have no water at all",
             decided_by ? decided_by : "its minimum flowing pressure");
    else if (j->pressure == FC_CANNOT_TELL)
        FIND(s, FC_WARN, "flowing pressure",
             "may have %s flowing at peak%s and needs %s: cannot tell; what "
             "weighs most is %s",
             pressure(s, j->flowing).text, fci_when(s->f->judge, s->state),
             pressure(s, j->need.pressure).text,
             decided_by ? decided_by : "not known");
}

static void
find_maximum(const struct subject *s)
{
    const struct fci_judgement *j = s->j;
    const char *whose =
        j->need.valve_maximum ? "the valve's" : "the site's limit";
    const char *kept =
        j->trapped.nominal > j->ceiling.nominal + FCI_SAME_PRESSURE
            ? ", counting what a check valve may trap"
            : "";

    if (j->maximum == FC_WILL_NOT_WORK)
        FIND(s, FC_FAIL, "maximum static",
             "has %s with no flow%s; its maximum is %s (%s): a "
             "pressure-reducing valve is called for, or a lower setting",
             pressure(s, j->trapped).text, kept,
             one_pressure(s, j->need.maximum_static).text, whose);
    else if (j->maximum == FC_CANNOT_TELL)
        FIND(s, FC_WARN, "maximum static",
             "may have %s with no flow%s; its maximum is %s (%s): cannot "
             "tell; read a gauge there with nothing flowing",
             pressure(s, j->trapped).text, kept,
             one_pressure(s, j->need.maximum_static).text, whose);
}

static void
find_backflow(const struct subject *s)
{
    const struct fci_judgement *j = s->j;

    if (j->on_way == FC_WORKS)
        return;
    FIND(s, j->on_way == FC_WILL_NOT_WORK ? FC_FAIL : FC_WARN, "backflow",
         "%s %s on the way to it at peak%s, at or below zero: water may be "
         "drawn back into the drinking water",
         j->on_way == FC_WILL_NOT_WORK ? "has" : "may have",
         one_pressure(s, j->lowest.low).text, fci_when(s->f->judge, s->state));
}

static void
find_supply(const struct subject *s)
{
    if (s->j->supply == FC_WILL_NOT_WORK)
        FIND(s, FC_FAIL, "supply size",
             "has a supply of %s; %s at least is needed (%s)",
             show(s, FC_SIZE, s->fixture->given->supply_size.nominal).text,
             show(s, FC_SIZE, s->j->need.supply_size).text,
             s->j->need.valve_supply ? "the valve's" : "the code's");
}

/* A full flush smaller than the bowl was made for fails; a reduced flush, or a
 * smaller volume on a bowl nobody described, is for a person to look at. */
static void
find_volume(const struct subject *s)
{
    const fc_valve *valve = s->fixture->valve[s->state];
    const fc_valve *before = s->fixture->valve[FC_EXISTING];
    const fc_range bowl = s->fixture->given->bowl;

    if (!valve || !valve->full_flush.given)
        return;
    if (s->j->volume == FC_WILL_NOT_WORK)
        FIND(s, FC_FAIL, "flush volume",
             "flushes %s%s; its bowl is made for %s",
             show(s, FC_VOLUME, valve->full_flush.nominal).text,
             fci_when(s->f->judge, s->state),
             show(s, FC_VOLUME, bowl.nominal).text);
    else if (bowl.given && valve->reduced_flush.given
             && valve->reduced_flush.nominal < bowl.nominal)
        FIND(s, FC_WARN, "flush volume",
             "has a reduced flush of %s%s on a bowl made for %s: whether the "
             "bowl clears with it is for its data sheet to say",
             show(s, FC_VOLUME, valve->reduced_flush.nominal).text,
             fci_when(s->f->judge, s->state),
             show(s, FC_VOLUME, bowl.nominal).text);
    else if (!bowl.given && s->fixture->converted && s->state == FC_RETROFIT
             && before && before->full_flush.given
             && valve->full_flush.nominal
                    < before->full_flush.nominal * (1 - 1e-6))
        FIND(s, FC_WARN, "flush volume",
             "flushes %s after the retrofit and %s before; what its bowl is "
             "made for is not given (\"bowl\"): look for the volume marked "
             "on it",
             show(s, FC_VOLUME, valve->full_flush.nominal).text,
             show(s, FC_VOLUME, before->full_flush.nominal).text);
}

static void
find_too_strong(const struct subject *s)
{
    const fc_valve *valve = s->fixture->valve[s->state];

    if (valve && valve->maximum_flowing.given
        && s->j->flowing.high > valve->maximum_flowing.nominal)
        FIND(s, FC_WARN, "maximum flowing",
             "has up to %s flowing even at peak%s; its valve's maximum is %s: "
             "throttle its stop, and expect splashing or noise",
             one_pressure(s, s->j->flowing.high).text,
             fci_when(s->f->judge, s->state),
             one_pressure(s, valve->maximum_flowing.nominal).text);
}

void
fci_find_fixture(struct fci_findings *f, const struct fci_fixture *fixture,
                 fc_state state, const struct fci_judgement *judgement,
                 const struct fci_judgement *other, const char *decided_by)
{
    struct subject s = { f, fixture, state, judgement, (int)state };
    const bool last =
        state == (f->judge->converted ? FC_RETROFIT : FC_EXISTING);

    find_pressure(&s, other, decided_by);
    find_backflow(&s);
    find_too_strong(&s);
    /* Beyond the pressures at peak, only the valve makes a difference. */
    if (!fixture->converted) {
        if (!last)
            return;
        s.in = FC_STATES;
    }
    find_volume(&s);
    find_supply(&s);
    if (!judgement->need.valve_maximum
        && !(other && other->need.valve_maximum)) {
        if (!last)
            return;
        s.in = FC_STATES;
    }
    find_maximum(&s);
}
