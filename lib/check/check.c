/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/check.c -- the verdict on a site, put together. */
#include "check/checked.h"
#include "check/events.h"
#include "check/settle.h"
#include "site/pipe_size.h"
#include "check/words.h"
#include "readings/readings.h"
#include "laws/friction.h"
#include "words/findings.h"
#include "ground/ties.h"

#include <math.h>
#include <stdint.h>

struct check {
    const fc_site *site;
    struct fci_judge judge;
    struct fci_check_words words;
    struct fci_swings *swings[FC_STATES]; /* made when first needed */
    const fc_check_options *options;
    const struct fci_evidence *evidence; /* NULL: readings are left out */
    struct fci_events events[FC_STATES];
    fc_diagnostics *messages;
    fc_check_result *result;
    struct fci_arena *arena; /* of the result */
};

/* ---- Readings --------------------------------------------------------- */

/* A site that readings refute is not judged: every fixture is fed by way of
 * the source, whose part in it nobody knows. */
static bool
is_refuted(const struct check *c)
{
    return c->evidence && c->evidence->n > 0;
}

/* What the site as given would fail by is no more than a warning then. */
static void
tell_readings(struct check *c)
{
    struct fci_findings *found = &c->words.found;
    size_t i;

    for (i = 0; is_refuted(c) && i < found->n; i++)
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
decided_by(struct check *c, const struct fci_fixture *fixture, fc_state state,
           const struct fci_judgement *j)
{
    const char *text;

    if (j->works != FC_CANNOT_TELL)
        return NULL;
    if (!c->swings[state])
        c->swings[state] = fci_swings_new(&c->judge, state);
    text = c->swings[state]
               ? fci_decided_by(c->swings[state], fixture, j, c->arena)
               : NULL;
    c->arena->failed |= !text;
    return text;
}

/* The same pressure against what codes and handbooks quote, since they
 * differ. */
static const double *
against_minima(struct check *c, const struct fci_fixture *fixture,
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
view_of(const struct check *c, const struct fci_fixture *fixture,
        fc_state state)
{
    return &c->events[state].views[fixture - c->site->fixtures];
}

static void
add_events(const struct check *c, const struct fci_fixture *fixture,
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
cap_untested(const struct check *c, fc_fixture_state *s)
{
    const fc_verdict works = fci_as_tested(c->site, c->options, s->works);

    if (works != s->works)
        s->decided_by = FCI_DROP_DECIDES;
    s->works = works;
}

static void
check_fixture(struct check *c, const struct fci_fixture *fixture,
              fc_checked_fixture *out)
{
    const size_t n = c->judge.converted ? FC_STATES : 1;
    struct fci_judgement j[FC_STATES];
    size_t state;

    out->name = fixture->given->name;
    out->on = c->site->elements[fixture->element].name;
    out->kind = fixture->kind->head.name;
    out->count = fixture->count;
    out->count_least = fci_fixture_count(fixture, FCI_BEST);
    out->elevation = c->judge.rest[fixture->element].elevation
                     + fixture->given->rise.nominal;
    for (state = 0; state < n; state++)
        j[state] = fci_judge_fixture(&c->judge, fixture, (fc_state)state);
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
        fci_find_fixture(&c->words, fixture, (fc_state)state, &j[state],
                         n > 1 ? &j[1 - state] : NULL, s->decided_by);
        if (is_refuted(c))
            fci_refute(s, c->arena);
        if (c->events[state].views)
            fci_find_event(&c->words, fixture, (fc_state)state,
                           view_of(c, fixture, (fc_state)state), out,
                           c->events[state].starved != SIZE_MAX);
    }
    out->change = n > 1 ? change_of(out->states[0].works, out->states[1].works)
                        : FC_NOT_CONVERTED;
}

static bool
check_fixtures(struct check *c)
{
    const fc_site *site = c->site;
    fc_checked_fixture *fixtures =
        fci_arena_array(c->arena, site->n_fixtures, sizeof *fixtures);
    size_t i;

    if (!fixtures)
        return false;
    for (i = 0; i < site->n_fixtures && !c->arena->failed; i++)
        check_fixture(c, &site->fixtures[i], &fixtures[i]);
    c->result->fixtures = fixtures;
    c->result->n_fixtures = site->n_fixtures;
    return !c->arena->failed;
}

/* ---- Pipes ------------------------------------------------------------ */

static fc_range
probable(const struct fci_demand *demand)
{
    const fc_range unknown = { false, 0, 0, 0 };

    return isnan(demand->by_probability[FCI_NOMINAL])
               ? unknown
               : fci_as_range(demand->by_probability);
}

static fc_pipe_state
pipe_state(const struct check *c, size_t at, fc_state state)
{
    const struct fci_pipe *pipe = c->site->elements[at].pipe;
    const struct fci_demand *demand = &c->judge.demand[state][at];
    double velocity[FCI_ENDS], loss[FCI_ENDS];
    fc_pipe_state s = { 0 };
    int end;

    for (end = 0; end < FCI_ENDS; end++) {
        velocity[end] = fci_velocity(
            demand->flow[end],
            fci_less_is_worse(fci_pipe_bore(pipe), (enum fci_end)end));
        loss[end] =
            fci_friction_loss(pipe->resistance[end], demand->flow[end]);
    }
    s.fixture_units = demand->units;
    s.falling_units = demand->falling_units;
    s.peak_flow = fci_as_range(demand->flow);
    s.peak_by_units = fci_as_range(demand->by_units);
    s.peak_by_probability = probable(demand);
    s.peak_by_other_reading = fci_as_range(demand->by_other_reading);
    s.velocity = fci_as_range(velocity);
    s.friction_loss = fci_as_range(loss);
    return s;
}

static void
check_pipe(const struct check *c, size_t at, fc_checked_pipe *out)
{
    const struct fci_element *element = &c->site->elements[at];
    const struct fci_pipe *pipe = element->pipe;

    out->name = element->name;
    out->from = c->site->elements[element->parent].name;
    out->material = pipe->material ? pipe->material->head.name : "";
    out->size = pipe->size ? pipe->size->label : "";
    out->inside_diameter = pipe->bore.nominal;
    out->length = pipe->length.nominal;
    out->equivalent_length = fci_fittings_worth(pipe);
    out->c = pipe->c.nominal;
    out->velocity_limit = pipe->velocity_limit;
    out->states[FC_EXISTING] = pipe_state(c, at, FC_EXISTING);
    if (c->judge.converted)
        out->states[FC_RETROFIT] = pipe_state(c, at, FC_RETROFIT);
}

static bool
check_pipes(struct check *c)
{
    const fc_site *site = c->site;
    fc_checked_pipe *pipes;
    size_t i, n = 0;

    for (i = 0; i < site->n_elements; i++)
        n += site->elements[i].pipe != NULL;
    pipes = fci_arena_array(c->arena, n, sizeof *pipes);
    if (!pipes)
        return false;
    c->result->pipes = pipes;
    c->result->n_pipes = n;
    for (i = 0; i < site->n_elements; i++)
        if (site->elements[i].pipe)
            check_pipe(c, i, pipes++);
    return true;
}

/* ---- The building ----------------------------------------------------- */

static int
badness(fc_verdict verdict)
{
    return verdict == FC_WILL_NOT_WORK ? 2 : verdict == FC_CANNOT_TELL;
}

/* A short fixture governs before one that cannot be told, and that before one
 * that works; among equals the one with least left at the worst end. */
bool
fci_governs(const fc_fixture_state *a, const fc_fixture_state *b)
{
    if (badness(a->works) != badness(b->works))
        return badness(a->works) > badness(b->works);
    if (badness(a->pressure) != badness(b->pressure))
        return badness(a->pressure) > badness(b->pressure);
    if (fci_is_less(a->margin.low, b->margin.low))
        return true;
    return !fci_is_less(b->margin.low, a->margin.low)
           && fci_is_less(a->margin.nominal, b->margin.nominal);
}

static void
count_fixture(fc_checked_state *s, const fc_checked_fixture *fixture,
              fc_verdict works)
{
    size_t *count = works == FC_WORKS           ? &s->working
                    : works == FC_WILL_NOT_WORK ? &s->failing
                                                : &s->unclear;

    *count += (size_t)fixture->count;
}

/* The building can spare what its tightest fixture can; one that no supply
 * pressure would help leaves nothing to be said. */
static void
spare_for_all(fc_checked_state *s, const fc_fixture_state *fixture,
              bool *hopeless)
{
    if (!fixture->required.given)
        return;
    if (!fixture->spare.given) {
        *hopeless = true;
        return;
    }
    if (!s->spare_pressure.given) {
        s->spare_pressure = fixture->spare;
        return;
    }
    s->spare_pressure.nominal =
        fmin(s->spare_pressure.nominal, fixture->spare.nominal);
    s->spare_pressure.low = fmin(s->spare_pressure.low, fixture->spare.low);
    s->spare_pressure.high = fmin(s->spare_pressure.high, fixture->spare.high);
}

static void
take_excess(fc_checked_state *s, const fc_check_result *result, size_t fixture,
            fc_state state)
{
    const fc_excess *excess = result->fixtures[fixture].states[state].excess;

    if (!excess)
        return;
    s->too_high = fci_worse_of(s->too_high, excess->too_high);
    if (s->too_high_at == SIZE_MAX
        || fci_exceeds_more(
            excess, result->fixtures[s->too_high_at].states[state].excess))
        s->too_high_at = fixture;
}

static void
check_state(struct check *c, fc_state state)
{
    const fc_check_result *result = c->result;
    const size_t source = c->site->order[0];
    const struct fci_pressure *at = c->judge.peak[state][source].at;
    fc_checked_state *s = &c->result->states[state];
    double pressure[FCI_ENDS];
    bool hopeless = false;
    size_t i;
    int end;

    s->governing = s->too_high_at = SIZE_MAX;
    s->too_high = FC_WORKS;
    s->starved = c->events[state].starved;
    s->states_drawn = c->events[state].states;
    s->narrow = c->events[state].narrow;
    for (i = 0; i < result->n_fixtures; i++) {
        const fc_fixture_state *f = &result->fixtures[i].states[state];

        count_fixture(s, &result->fixtures[i], f->works);
        spare_for_all(s, f, &hopeless);
        if (f->required.given
            && (s->governing == SIZE_MAX
                || fci_governs(f,
                               &result->fixtures[s->governing].states[state])))
            s->governing = i;
        take_excess(s, result, i, state);
    }
    s->works = s->failing                    ? FC_WILL_NOT_WORK
               : s->unclear || is_refuted(c) ? FC_CANNOT_TELL
                                             : FC_WORKS;
    c->arena->failed |= !fci_tell_zones(c->site, result, state, s, c->arena);
    if (hopeless)
        s->spare_pressure.given = false;
    for (end = 0; end < FCI_ENDS; end++)
        pressure[end] = at[end].direct;
    s->source_pressure = fci_as_range(pressure);
    s->peak_flow = fci_as_range(c->judge.demand[state][source].flow);
    s->peak_by_units = fci_as_range(c->judge.demand[state][source].by_units);
    s->peak_by_other_reading =
        fci_as_range(c->judge.demand[state][source].by_other_reading);
    s->peak_by_probability = probable(&c->judge.demand[state][source]);
}

static bool
take_minima(struct check *c)
{
    const struct fci_quoted_minimum *minima;
    const size_t n = fci_tables_minima(c->site->tables, &minima);
    fc_quoted_minimum *out = fci_arena_array(c->arena, n, sizeof *out);
    size_t i;

    if (!out)
        return false;
    for (i = 0; i < n; i++) {
        out[i].pressure = minima[i].pressure;
        out[i].source = minima[i].head.source;
    }
    c->result->minima = out;
    c->result->n_minima = n;
    return true;
}

static void
take_heading(struct check *c)
{
    const fc_site *site = c->site;
    const size_t source = site->order[0];
    fc_check_result *r = c->result;

    r->title = site->settings.title;
    r->address = site->settings.address;
    r->prepared_by = site->settings.prepared_by;
    r->date = site->settings.date;
    r->code = site->settings.code == FC_IPC ? "IPC" : "UPC";
    r->peak = site->settings.peak;
    r->demand = site->settings.demand;
    r->units = site->settings.units;
    r->converted = c->judge.converted;
    r->source = site->elements[source].name;
    r->source_static = fci_as_range(c->judge.rest[source].ceiling);
}

static fc_status
take_told(struct check *c)
{
    fc_check_result *result = c->result;
    struct fci_told told;
    const fc_status status = fci_findings_take(&c->words.found, &told);

    if (status != FC_OK)
        return status;
    result->findings = told.findings;
    result->n_findings = told.n_findings;
    result->assumptions = told.assumptions;
    result->n_assumptions = told.n_assumptions;
    result->overrides = told.overrides;
    result->n_overrides = told.n_overrides;
    return FC_OK;
}

/* The busy periods of both states as one. */
struct part_done {
    const fc_check_options *options;
    double before, share;
};

static void
tell_part(void *context, double done)
{
    const struct part_done *part = context;

    part->options->progress(part->options->context,
                            part->before + part->share * done);
}

static fc_status
run_event_state(struct check *c, fc_state state)
{
    fc_check_options options =
        c->options ? *c->options : (fc_check_options){ 0 };
    const double share = c->judge.converted ? 0.5 : 1;
    struct part_done part = { c->options, state == FC_RETROFIT ? share : 0,
                              share };

    if (options.progress) {
        options.progress = tell_part;
        options.context = &part;
    }
    return fci_events_run(
        c->site, state, state == FC_RETROFIT ? &c->events[FC_EXISTING] : NULL,
        &options, c->arena, &c->events[state], c->messages);
}

static fc_status
run_events(struct check *c)
{
    fc_status status = FC_OK;
    int state;

    for (state = 0; state < FC_STATES; state++) {
        c->events[state].starved = SIZE_MAX;
        if (status == FC_OK && !(c->options && c->options->peak_only)
            && (state == FC_EXISTING || c->judge.converted))
            status = run_event_state(c, (fc_state)state);
    }
    return status;
}

static void
find_events(struct check *c)
{
    int state;

    for (state = 0; state < FC_STATES; state++)
        if (c->events[state].views)
            fci_find_events(&c->words, &c->events[state], (fc_state)state);
    fci_assume_events(&c->words, c->events);
}

static fc_status
settle(struct check *c, fc_state state)
{
    fc_checked_state *s = &c->result->states[state];

    return s->works == FC_CANNOT_TELL
                   && !(c->options && c->options->no_proviso)
               ? fci_settle_check(&c->judge, state, FCI_NONE, c->options,
                                  c->arena, &s->proviso, c->messages)
               : FC_OK;
}

static fc_status
run(struct check *c)
{
    fc_status status = run_events(c);

    if (status != FC_OK)
        return status;
    take_heading(c);
    if (!take_minima(c) || !check_fixtures(c) || !check_pipes(c))
        return FC_ENOMEM;
    check_state(c, FC_EXISTING);
    fci_find_spare(&c->words, c->result, FC_EXISTING);
    c->result->works = c->result->states[FC_EXISTING].works;
    c->result->too_high = c->result->states[FC_EXISTING].too_high;
    fci_find_elements(&c->words, FC_EXISTING);
    if (c->judge.converted) {
        check_state(c, FC_RETROFIT);
        fci_find_spare(&c->words, c->result, FC_RETROFIT);
        c->result->works = c->result->states[FC_RETROFIT].works;
        c->result->too_high = c->result->states[FC_RETROFIT].too_high;
        fci_find_elements(&c->words, FC_RETROFIT);
    }
    fci_find_site(&c->words);
    fci_find_overrides(&c->words);
    fci_assume_all(&c->words, c->result);
    find_events(c);
    tell_readings(c);
    if (c->result->n_contradictions == 0)
        status = settle(c, FC_EXISTING);
    if (status == FC_OK && c->judge.converted
        && c->result->n_contradictions == 0)
        status = settle(c, FC_RETROFIT);
    return status == FC_OK ? take_told(c) : status;
}

fc_status
fc_check(const fc_site *site, fc_check_result **result,
         fc_diagnostics *messages)
{
    return fc_check_with(site, NULL, result, messages);
}

/* `own`: the site's own readings are weighed into it first; NULL: those that
 * were given are, if any. */
static fc_status
work_out(struct check *c, struct fci_evidence *own, fc_check_result **result)
{
    fc_status status = fci_judge_begin(&c->judge, c->site, c->messages);
    int state;

    if (status == FC_OK) {
        c->result = fci_object_new(sizeof *c->result);
        status = c->result ? FC_OK : FC_ENOMEM;
    }
    if (status == FC_OK) {
        c->arena = fci_arena_of(c->result);
        c->words.judge = &c->judge;
        c->words.found.converted = c->judge.converted;
        c->words.found.units = c->site->settings.units;
        c->words.found.arena = c->arena;
        if (own) {
            status = fci_evidence_make(own, c->site, c->arena);
            c->evidence = own;
        }
    }
    if (status == FC_OK)
        status = run(c);
    fci_findings_free(&c->words.found);
    for (state = 0; state < FC_STATES; state++)
        fci_object_free(c->swings[state]);
    fci_judge_end(&c->judge);
    if (status == FC_OK)
        *result = c->result;
    else
        fci_object_free(c->result);
    return status;
}

fc_status
fc_check_with(const fc_site *site, const fc_check_options *options,
              fc_check_result **result, fc_diagnostics *messages)
{
    struct check c = { .site = site,
                       .options = options,
                       .messages = messages };
    struct fci_evidence own;

    return work_out(&c, &own, result);
}

fc_status
fci_check(const fc_site *site, const fc_check_options *options,
          const struct fci_evidence *evidence, fc_check_result **result,
          fc_diagnostics *messages)
{
    struct check c = { .site = site,
                       .options = options,
                       .evidence = evidence,
                       .messages = messages };

    return work_out(&c, NULL, result);
}

void
fc_check_result_free(fc_check_result *result)
{
    fci_object_free(result);
}
