/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/check_fixture.c -- the verdict on one fixture, put together. */
#include "check/checking.h"
#include "check/settle.h"

#include <stdint.h>

/* ---- Readings --------------------------------------------------------- */

/* A site that readings refute is not judged: every fixture is fed by way of
 * the source, whose part in it nobody knows. */
bool
fci_is_refuted(const struct fci_checking *c)
{
    return c->evidence && c->evidence->n > 0;
}

/* What the site as given would fail by is no more than a warning then. */
void
fci_tell_readings(struct fci_checking *c)
{
    struct fci_findings *found = &c->words.found;
    size_t i;

    for (i = 0; fci_is_refuted(c) && i < found->n; i++)
        if (found->list[i].severity == FC_FAIL)
            found->list[i].severity = FC_WARN;
    if (!c->evidence)
        return;
    fci_evidence_tell(c->evidence, found);
    c->result->contradictions = c->evidence->list;
    c->result->n_contradictions = c->evidence->n;
}

/* ---- Fixtures --------------------------------------------------------- */

fc_fixture_state
fci_fixture_state(const struct fci_fixture *fixture, fc_state state,
                  const struct fci_judgement *j, struct fci_arena *arena)
{
    const fc_valve *valve = fixture->valve[state];
    fc_fixture_state s = {
        .valve = valve ? valve->name : NULL,
        .valve_assumed = fixture->assumed[state],
        .required = j->need.pressure,
        .governed_by = j->need.governor,
        .code_minimum = j->need.code,
        .valve_minimum = j->need.valve,
        .flowing = j->flowing,
        .margin = j->margin,
        .pressure = j->pressure,
        .works = j->works,
        .spare = j->spare,
        .reserve = j->need.pressure.given ? j->need.reserve : 0,
        .code_source = fci_document(arena, fixture->kind->pressure_source),
    };

    return s;
}

void
fci_refute(fc_fixture_state *s, struct fci_arena *arena)
{
    s->works = FC_CANNOT_TELL;
    s->decided_by = "a gauge reading that contradicts the file as entered";
    fci_doubt_excess(&s->too_high, &s->excess, arena);
}

static fc_change
change_of(fc_verdict before, fc_verdict after)
{
    if (before == FC_CANNOT_TELL || after == FC_CANNOT_TELL)
        return FC_CHANGE_UNKNOWN;
    if (before == FC_WORKS)
        return after == FC_WORKS ? FC_KEEPS_WORKING : FC_STOPS_WORKING;
    return after == FC_WORKS ? FC_STARTS_WORKING : FC_STILL_SHORT;
}

/* Only where something cannot be told, and then for all elements at once. */
static const char *
decided_by(struct fci_checking *c, const struct fci_fixture *fixture,
           fc_state state, const struct fci_judgement *j)
{
    const char *text;

    if (j->works != FC_CANNOT_TELL)
        return NULL;
    if (!c->swings[state])
        c->swings[state] = fci_swings_new(c->judge, state);
    text = c->swings[state]
               ? fci_decided_by(c->swings[state], fixture, j, c->arena)
               : NULL;
    c->arena->failed |= !text;
    return text;
}

/* The same pressure against what codes and handbooks quote, since they
 * differ. */
static const double *
against_minima(struct fci_checking *c, const struct fci_fixture *fixture,
               const struct fci_judgement *j)
{
    const fc_check_result *result = c->result;
    double *margins;
    size_t i;

    if (!fixture->kind->flushes)
        return NULL;
    margins = fci_arena_array(c->arena, result->n_minima, sizeof *margins);
    for (i = 0; margins && i < result->n_minima; i++)
        margins[i] = j->flowing.low - result->minima[i].pressure;
    return margins;
}

static const struct fci_event_view *
view_of(const struct fci_checking *c, const struct fci_fixture *fixture,
        fc_state state)
{
    return &c->events[state].views[fixture - c->site->fixtures];
}

/* Nothing is said of a state that nobody asked for. */
static const fc_fixture_state not_judged = { .pressure = FC_CANNOT_TELL,
                                             .works = FC_CANNOT_TELL,
                                             .too_high = FC_CANNOT_TELL };

static void
add_events(const struct fci_checking *c, const struct fci_fixture *fixture,
           fc_state state, fc_fixture_state *s)
{
    const struct fci_event_view *view;

    if (!c->events[state].views)
        return;
    view = view_of(c, fixture, state);
    s->alone = view->alone;
    s->shared = view->shared;
    s->ladder = view->ladder;
    s->busy = view->busy;
    s->works = fci_events_verdict(s->works, view);
    fci_events_decide(s, view);
}

/* What needs a flow from a main that nobody tested cannot be told. */
static void
cap_untested(const struct fci_checking *c, fc_fixture_state *s)
{
    const fc_verdict works = fci_as_tested(c->site, c->options, s->works);

    if (works != s->works)
        s->decided_by = FCI_DROP_DECIDES;
    s->works = works;
}

/* A surge that is surely over a rating is too much pressure. */
static void
tell_surge(struct fci_checking *c, const struct fci_fixture *fixture,
           fc_state state, fc_fixture_state *s)
{
    const fc_surge *surge =
        c->surges[state] ? &c->surges[state][fixture - c->site->fixtures]
                         : NULL;
    fc_excess excess = { .too_high = FC_WILL_NOT_WORK };
    bool still;

    if (!surge || surge->within != FC_WILL_NOT_WORK)
        return;
    still = surge->static_pressure.low > surge->rating;
    excess.pressure = still ? surge->static_pressure : surge->peak;
    fci_find(&c->words.found, FC_FAIL, fixture->given->name, FC_IN(state),
             FC_FOUND_SURGE,
             still ? "static {peak} at {place} on its way{when}, rated "
                     "{rating}, even before it closes: see effects"
                   : "static + surge {peak} at {place} as it closes{when}, "
                     "rated {rating}: see effects",
             FCI_WITH(FCI_RANGE("peak", FC_PRESSURE, excess.pressure),
                      FCI_WORD("place", surge->at),
                      FCI_ONE("rating", FC_PRESSURE, surge->rating)));
    if (s->too_high == FC_WILL_NOT_WORK)
        return;
    excess.static_alone = still;
    excess.maximum = surge->rating;
    excess.surge_at = surge->at;
    s->too_high = excess.too_high;
    s->excess = fci_arena_copy(c->arena, &excess, sizeof excess);
}

void
fci_check_fixture(struct fci_checking *c, const struct fci_fixture *fixture,
                  unsigned judged, fc_checked_fixture *out)
{
    const size_t n = c->judge->converted ? FC_STATES : 1;
    struct fci_judgement j[FC_STATES];
    size_t state;

    out->name = fixture->given->name;
    out->on = c->site->elements[fixture->element].name;
    out->kind = fixture->kind->head.name;
    out->count = fixture->count;
    out->count_least = fci_fixture_count(fixture, FCI_BEST);
    out->elevation = c->judge->rest[fixture->element].elevation
                     + fixture->given->rise.nominal;
    for (state = 0; state < n; state++)
        j[state] = fci_judge_fixture(c->judge, fixture, (fc_state)state);
    out->static_pressure = j[0].ceiling;
    for (state = 0; state < n; state++) {
        fc_fixture_state *s = &out->states[state];

        *s = fci_fixture_state(fixture, (fc_state)state, &j[state], c->arena);
        s->against_minima = against_minima(c, fixture, &j[state]);
        s->decided_by = decided_by(c, fixture, (fc_state)state, &j[state]);
        add_events(c, fixture, (fc_state)state, s);
        cap_untested(c, s);
        fci_tell_excess(c->site, fixture, &j[state],
                        c->events[state].views
                            ? view_of(c, fixture, (fc_state)state)
                            : NULL,
                        s, c->arena);
        tell_surge(c, fixture, (fc_state)state, s);
        fci_find_fixture(&c->words, fixture, (fc_state)state, &j[state],
                         n > 1 ? &j[1 - state] : NULL, s->decided_by);
        if (fci_is_refuted(c))
            fci_refute(s, c->arena);
        if (!(judged & FC_IN(state)))
            *s = not_judged;
        if (c->events[state].views)
            fci_find_event(&c->words, fixture, (fc_state)state,
                           view_of(c, fixture, (fc_state)state), out,
                           c->events[state].starved != SIZE_MAX);
    }
    out->change = n > 1 ? change_of(out->states[0].works, out->states[1].works)
                        : FC_NOT_CONVERTED;
}
