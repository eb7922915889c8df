/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/fixture_words.c -- what was found at a fixture, in words. */
#include "check/checked.h"
#include "check/words.h"
#include "units/units.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The document comes first: how it was read, or by whom, after it. */
const char *
fci_document(struct fci_arena *arena, const char *source)
{
    static const char *const after[] = { ", read on", ", from memory", ". " };
    size_t length = source ? strlen(source) : 0, i;

    for (i = 0; source && i < sizeof after / sizeof *after; i++) {
        const char *end = strstr(source, after[i]);

        if (end && (size_t)(end - source) < length)
            length = (size_t)(end - source);
    }
    return source ? fci_arena_substring(arena, source, length) : NULL;
}

#define SOME_NAMES 6 /* as many as a line holds */

const char *
fci_name_some(struct fci_check_words *w,
              bool (*belongs)(const struct fci_check_words *w,
                              const struct fci_fixture *fixture,
                              const void *data),
              const void *data)
{
    const fc_site *site = w->judge->site;
    char text[SOME_NAMES * 72] = "";
    size_t i, n = 0, used = 0;

    for (i = 0; i < site->n_fixtures; i++) {
        if (!belongs(w, &site->fixtures[i], data))
            continue;
        if (n < SOME_NAMES)
            used +=
                (size_t)snprintf(text + used, sizeof text - used, "%s%s",
                                 n ? ", " : "", site->fixtures[i].given->name);
        n++;
    }
    if (n == 0)
        return NULL;
    return n <= SOME_NAMES
               ? fci_arena_string(w->found.arena, text)
               : fci_arena_printf(w->found.arena, "%s and %zu more", text,
                                  n - SOME_NAMES);
}

/* The fixture and judgement at hand. */
struct subject {
    struct fci_check_words *w;
    const struct fci_fixture *fixture;
    fc_state state;
    const struct fci_judgement *j;
    unsigned states; /* that it is said of */
};

#define FIND(s, severity, code, ...)                                          \
    fci_find(&(s)->w->found, severity, (s)->fixture->given->name,             \
             (s)->states, code, __VA_ARGS__)

/* "the code's least", "the valve's own minimum and 3.0 psi of reserve": the
 * reserve is the site's and never the code's. */
static const char *
governor_name(const struct subject *s)
{
    const struct fci_requirement *need = &s->j->need;
    const char *whose =
        need->governor == FC_CODE_GOVERNS ? "code minimum" : "valve minimum";

    return need->reserve > 0 ? fci_arena_printf(
               s->w->found.arena, "%s plus %s reserve", whose,
               fci_show(s->w->found.units, FC_PRESSURE, need->reserve).text)
                             : whose;
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
    const char *before = worked ? "; works with existing valves" : "";

    if (j->no_pipe == FC_WILL_NOT_WORK)
        FIND(s, FC_FAIL, FC_FOUND_STATIC_PRESSURE,
             "{static} static, {needed} flowing required{when} ({whose}): no "
             "pipe can fix this{before}",
             FCI_WITH(FCI_RANGE("static", FC_PRESSURE, j->ceiling),
                      FCI_RANGE("needed", FC_PRESSURE, j->need.pressure),
                      FCI_WORD("whose", governor_name(s)),
                      FCI_WORD("before", before)));
    else
        FIND(s, FC_FAIL, FC_FOUND_FLOWING_PRESSURE,
             "{pressure} flowing at peak{when}, {needed} required ({whose}): "
             "short by {lack}{before}",
             FCI_WITH(FCI_RANGE("pressure", FC_PRESSURE, j->flowing),
                      FCI_RANGE("needed", FC_PRESSURE, j->need.pressure),
                      FCI_WORD("whose", governor_name(s)),
                      FCI_RANGE("lack", FC_PRESSURE, lack_of(j)),
                      FCI_WORD("before", before)));
}

static void
find_pressure(const struct subject *s, const struct fci_judgement *other,
              const char *decided_by)
{
    const struct fci_judgement *j = s->j;

    if (j->pressure == FC_WILL_NOT_WORK && !j->need.pressure.given)
        FIND(s, FC_FAIL, FC_FOUND_FLOWING_PRESSURE,
             "{pressure} flowing at peak{when}: no water comes out",
             FCI_WITH(FCI_RANGE("pressure", FC_PRESSURE, j->flowing)));
    else if (j->pressure == FC_WILL_NOT_WORK)
        find_short(s, other);
    else if (j->pressure == FC_CANNOT_TELL && !j->need.pressure.given)
        FIND(s, FC_WARN, FC_FOUND_FLOWING_PRESSURE,
             "{pressure} flowing at peak{when}, {unknown}: cannot tell; what "
             "controls is {controls}",
             FCI_WITH(FCI_RANGE("pressure", FC_PRESSURE, j->flowing),
                      FCI_WORD("unknown", s->fixture->kind->flushes
                                              ? "required pressure not known"
                                              : "possibly no water at all"),
                      FCI_WORD("controls",
                               decided_by ? decided_by
                                          : "its minimum flowing pressure")));
    else if (j->pressure == FC_CANNOT_TELL)
        FIND(s, FC_WARN, FC_FOUND_FLOWING_PRESSURE,
             "{pressure} flowing at peak{when}, {needed} required: cannot "
             "tell; what controls is {controls}",
             FCI_WITH(
                 FCI_RANGE("pressure", FC_PRESSURE, j->flowing),
                 FCI_RANGE("needed", FC_PRESSURE, j->need.pressure),
                 FCI_WORD("controls", decided_by ? decided_by : "not known")));
}

/* What brings a static pressure down. */
static const char *
lower_it(const struct subject *s)
{
    const char *reducer =
        fci_reducer_over(s->w->judge->site, s->fixture->element);

    return reducer ? fci_arena_printf(s->w->found.arena,
                                      "lower the set pressure of %s", reducer)
                   : "needs a PRV";
}

static void
find_maximum(const struct subject *s)
{
    const struct fci_judgement *j = s->j;
    const char *whose = fci_whose_maximum(j->need.maximum_of);
    const char *kept =
        j->trapped.nominal > j->ceiling.nominal + FCI_SAME_PRESSURE
            ? ", with what a check valve may trap"
            : "";

    if (j->maximum == FC_WILL_NOT_WORK)
        FIND(s, FC_FAIL, FC_FOUND_MAXIMUM_STATIC,
             "{static} static{kept}, limit {maximum} ({whose}): {what to do}",
             FCI_WITH(FCI_RANGE("static", FC_PRESSURE, j->trapped),
                      FCI_WORD("kept", kept),
                      FCI_ONE("maximum", FC_PRESSURE, j->need.maximum_static),
                      FCI_WORD("whose", whose),
                      FCI_WORD("what to do", lower_it(s))));
    else if (j->maximum == FC_CANNOT_TELL)
        FIND(s, FC_WARN, FC_FOUND_MAXIMUM_STATIC,
             "{static} static{kept}, limit {maximum} ({whose}): cannot tell; "
             "read static there",
             FCI_WITH(FCI_RANGE("static", FC_PRESSURE, j->trapped),
                      FCI_WORD("kept", kept),
                      FCI_ONE("maximum", FC_PRESSURE, j->need.maximum_static),
                      FCI_WORD("whose", whose)));
}

static void
find_backflow(const struct subject *s)
{
    const struct fci_judgement *j = s->j;

    if (j->on_way == FC_WORKS)
        return;
    FIND(s, j->on_way == FC_WILL_NOT_WORK ? FC_FAIL : FC_WARN,
         FC_FOUND_BACKFLOW,
         "{has} {lowest} upstream of it at peak{when}, zero or below: foul "
         "water may be drawn into the drinking water",
         FCI_WITH(FCI_WORD("has", j->on_way == FC_WILL_NOT_WORK
                                      ? "down to"
                                      : "possibly down to"),
                  FCI_ONE("lowest", FC_PRESSURE, j->lowest.low)));
}

/* "the code's, IPC 2018, Table 604.5" */
static const char *
code_of_supply(const struct subject *s)
{
    const char *document =
        fci_document(s->w->found.arena, s->fixture->kind->supply_source);

    return document ? fci_arena_printf(s->w->found.arena, "code, %s", document)
                    : "code";
}

static void
find_supply(const struct subject *s)
{
    const struct fci_judgement *j = s->j;
    const struct fci_supply *supplied = &j->supplied;
    const char *by = supplied->pipe == FCI_NONE
                         ? ""
                         : fci_arena_printf(
                             s->w->found.arena, " (%s, upstream of it)",
                             s->w->judge->site->elements[supplied->pipe].name);

    if (j->supply == FC_WORKS)
        return;
    FIND(s, j->supply == FC_WILL_NOT_WORK ? FC_FAIL : FC_WARN,
         FC_FOUND_SUPPLY_SIZE,
         "{has} {size}{by}, at least {needed} required ({whose}){what to do}",
         FCI_WITH(
             FCI_WORD("has", j->supply == FC_WILL_NOT_WORK ? "supply is"
                                                           : "supply may be"),
             FCI_RANGE("size", FC_SIZE, supplied->size), FCI_WORD("by", by),
             FCI_ONE("needed", FC_SIZE, j->need.supply_size),
             FCI_WORD("whose", j->need.valve_supply ? "valve maximum"
                                                    : code_of_supply(s)),
             FCI_WORD("what to do", j->supply == FC_WILL_NOT_WORK
                                        ? ""
                                        : ": measure that pipe")));
}

/* A full flush smaller than the bowl was made for fails; a reduced flush, or a
 * smaller volume on a bowl nobody described, is for a person to look at. */
static void
find_volume(const struct subject *s)
{
    const fc_valve *valve = s->fixture->valve[s->state];
    const fc_valve *before = s->fixture->valve[FC_EXISTING];
    const fc_range bowl = s->fixture->bowl[s->state];

    if (!valve || !valve->full_flush.given)
        return;
    if (s->j->volume == FC_WILL_NOT_WORK)
        FIND(s, FC_FAIL, FC_FOUND_FLUSH_VOLUME,
             "flushes {volume}{when}; its bowl is made for {bowl}",
             FCI_WITH(FCI_ONE("volume", FC_VOLUME, valve->full_flush.nominal),
                      FCI_ONE("bowl", FC_VOLUME, bowl.nominal)));
    else if (bowl.given && valve->reduced_flush.given
             && valve->reduced_flush.nominal < bowl.nominal)
        FIND(s, FC_WARN, FC_FOUND_FLUSH_VOLUME,
             "reduced flush {volume}{when}, bowl made for {bowl}: check its "
             "data sheet that the bowl clears",
             FCI_WITH(
                 FCI_ONE("volume", FC_VOLUME, valve->reduced_flush.nominal),
                 FCI_ONE("bowl", FC_VOLUME, bowl.nominal)));
    else if (!bowl.given && s->fixture->converted && s->state == FC_RETROFIT
             && before && before->full_flush.given
             && valve->full_flush.nominal
                    < before->full_flush.nominal * (1 - 1e-6))
        FIND(s, FC_WARN, FC_FOUND_FLUSH_VOLUME,
             "flushes {volume}{when}, {before} existing; bowl volume not "
             "given (\"{key}\"): look for the mark on the bowl",
             FCI_WITH(
                 FCI_WORD("key", s->fixture->bowl[FC_EXISTING].given
                                     ? "retrofit bowl"
                                     : "bowl"),
                 FCI_ONE("volume", FC_VOLUME, valve->full_flush.nominal),
                 FCI_ONE("before", FC_VOLUME, before->full_flush.nominal)));
}

static void
find_too_strong(const struct subject *s)
{
    const struct fci_judgement *j = s->j;

    if (j->strong == FC_WORKS)
        return;
    FIND(s, j->strong == FC_WILL_NOT_WORK ? FC_FAIL : FC_WARN,
         FC_FOUND_MAXIMUM_FLOWING,
         "{pressure} flowing even at peak{when}, {has} the {maximum} valve "
         "maximum: throttle its stop; expect splashing or noise",
         FCI_WITH(FCI_WORD("has", j->strong == FC_WILL_NOT_WORK
                                      ? "above"
                                      : "possibly above"),
                  FCI_RANGE("pressure", FC_PRESSURE, j->flowing),
                  FCI_ONE("maximum", FC_PRESSURE, j->need.maximum_flowing)));
}

/* People hold the button down where a flush is weak. */
static void
find_held(const struct subject *s)
{
    const fc_valve *valve = s->fixture->valve[s->state];

    if (s->j->pressure != FC_WORKS && valve && valve->held == FC_ONE_FLUSH)
        FIND(s, FC_NOTE, FC_FOUND_HELD,
             "the button of its valve gives one flush{when}, however long it "
             "is held: holding it does not make up for low pressure",
             NULL);
}

void
fci_find_fixture(struct fci_check_words *w, const struct fci_fixture *fixture,
                 fc_state state, const struct fci_judgement *judgement,
                 const struct fci_judgement *other, const char *decided_by)
{
    struct subject s = { w, fixture, state, judgement, FC_IN(state) };
    const bool last =
        state == (w->judge->converted ? FC_RETROFIT : FC_EXISTING);

    find_pressure(&s, other, decided_by);
    find_held(&s);
    find_backflow(&s);
    find_too_strong(&s);
    /* Beyond the pressures at peak, only the valve makes a difference. */
    if (!fixture->converted) {
        if (!last)
            return;
        s.states = FC_IN(FC_EXISTING) | FC_IN(FC_RETROFIT);
    }
    find_volume(&s);
    find_supply(&s);
    if (judgement->need.maximum_of != FC_MAXIMUM_OF_VALVE
        && !(other && other->need.maximum_of == FC_MAXIMUM_OF_VALVE)) {
        if (!last)
            return;
        s.states = FC_IN(FC_EXISTING) | FC_IN(FC_RETROFIT);
    }
    find_maximum(&s);
}
