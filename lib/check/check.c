/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/check.c -- the verdict on a site, put together. */
#include "effects/surge_way.h"
#include "ground/call.h"
#include "check/checking.h"
#include "check/settle.h"
#include "site/pipe_size.h"
#include "readings/readings.h"
#include "laws/friction.h"
#include "peak/source.h"
#include "words/findings.h"
#include "ground/ties.h"

#include <math.h>
#include <stdint.h>

/* ---- Fixtures --------------------------------------------------------- */

static bool
check_fixtures(struct fci_checking *c)
{
    const fc_site *site = c->site;
    fc_checked_fixture *fixtures =
        fci_arena_array(c->arena, site->n_fixtures, sizeof *fixtures);
    size_t i;

    if (!fixtures)
        return false;
    for (i = 0; i < site->n_fixtures && !c->arena->failed; i++)
        fci_check_fixture(c, &site->fixtures[i], fci_all_states(c),
                          &fixtures[i]);
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
pipe_state(const struct fci_checking *c, size_t at, fc_state state)
{
    const struct fci_pipe *pipe = c->site->elements[at].pipe;
    const struct fci_demand *demand = &c->judge->demand[state][at];
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
check_pipe(const struct fci_checking *c, size_t at, fc_checked_pipe *out)
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
    if (c->judge->converted)
        out->states[FC_RETROFIT] = pipe_state(c, at, FC_RETROFIT);
}

static bool
check_pipes(struct fci_checking *c)
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
take_spare(const struct fci_checking *c, fc_state state, fc_checked_state *s)
{
    const fc_site *site = c->site;
    fc_range *all = &s->spare_pressure;
    size_t i;

    for (i = 0; i < site->n_fixtures; i++) {
        const struct fci_judgement j =
            fci_judge_fixture(c->judge, &site->fixtures[i], state);

        if (!j.need.pressure.given)
            continue;
        if (!j.spare.given) {
            all->given = false;
            return;
        }
        if (!all->given) {
            *all = j.spare;
            continue;
        }
        all->nominal = fmin(all->nominal, j.spare.nominal);
        all->low = fmin(all->low, j.spare.low);
        all->high = fmin(all->high, j.spare.high);
    }
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

/* Of a site that readings refute, or whose main may drop nobody knows how far,
 * no number is sure. */
static void
take_at_once(struct fci_checking *c, fc_state state, fc_checked_state *s)
{
    fc_at_once *n;

    if (!c->events[state].at_once.given)
        return;
    n = fci_arena_copy(c->arena, &c->events[state].at_once, sizeof *n);
    s->at_once = n;
    if (n && fci_is_refuted(c))
        fci_at_once_limit(n, 0, FC_LIMIT_READINGS, NULL);
    else if (n && fci_as_tested(c->site, c->options, FC_WORKS) != FC_WORKS)
        fci_at_once_limit(n, 0, FC_LIMIT_UNTESTED_MAIN,
                          fci_untested_main(c->site));
}

void
fci_check_state(struct fci_checking *c, fc_state state)
{
    const fc_check_result *result = c->result;
    const size_t source = c->site->order[0];
    const struct fci_pressure *at = c->judge->peak[state][source].at;
    fc_checked_state *s = &c->result->states[state];
    double pressure[FCI_ENDS];
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
        if (f->required.given
            && (s->governing == SIZE_MAX
                || fci_governs(f,
                               &result->fixtures[s->governing].states[state])))
            s->governing = i;
        take_excess(s, result, i, state);
    }
    s->works = s->failing                        ? FC_WILL_NOT_WORK
               : s->unclear || fci_is_refuted(c) ? FC_CANNOT_TELL
                                                 : FC_WORKS;
    if (result->n_fixtures == c->site->n_fixtures)
        c->arena->failed |=
            !fci_tell_zones(c->site, result, state, s, c->arena);
    take_spare(c, state, s);
    take_at_once(c, state, s);
    for (end = 0; end < FCI_ENDS; end++)
        pressure[end] = at[end].direct;
    s->source_pressure = fci_as_range(pressure);
    s->peak_flow = fci_as_range(c->judge->demand[state][source].flow);
    s->peak_by_units = fci_as_range(c->judge->demand[state][source].by_units);
    s->peak_by_other_reading =
        fci_as_range(c->judge->demand[state][source].by_other_reading);
    s->peak_by_probability = probable(&c->judge->demand[state][source]);
}

bool
fci_take_minima(struct fci_checking *c)
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

void
fci_take_heading(struct fci_checking *c)
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
    r->converted = c->judge->converted;
    r->source = site->elements[source].name;
    r->source_static = fci_as_range(c->judge->rest[source].ceiling);
}

fc_status
fci_take_told(struct fci_checking *c)
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
run_event_state(struct fci_checking *c, fc_state state,
                const struct fci_only *only, const struct fci_events *other,
                struct part_done *part)
{
    fc_check_options options =
        c->options ? *c->options : (fc_check_options){ 0 };

    if (options.progress) {
        options.progress = tell_part;
        options.context = part;
    }
    return fci_events_run(c->site, state, only, other, &options, c->arena,
                          &c->events[state], c->messages);
}

fc_status
fci_run_events(struct fci_checking *c, unsigned states,
               const struct fci_only *only)
{
    struct part_done part = {
        c->options, 0,
        states == FC_IN(FC_EXISTING) || states == FC_IN(FC_RETROFIT) ? 1 : 0.5
    };
    const struct fci_events *other = NULL;
    fc_status status = FC_OK;
    int state;

    for (state = 0; state < FC_STATES; state++) {
        c->events[state].starved = SIZE_MAX;
        if (status != FC_OK || (c->options && c->options->peak_only)
            || !(states & FC_IN(state)))
            continue;
        status = run_event_state(c, (fc_state)state, only, other, &part);
        if (status == FC_OK)
            status = fci_surges_over(c->site, (fc_state)state, c->arena,
                                     &c->surges[state], c->messages);
        other = &c->events[state];
        part.before += part.share;
    }
    return status;
}

static void
find_events(struct fci_checking *c)
{
    int state;

    for (state = 0; state < FC_STATES; state++)
        if (c->events[state].views)
            fci_find_events(&c->words, &c->events[state], (fc_state)state);
    fci_assume_events(&c->words, c->events);
}

static void
assume_all(struct fci_checking *c)
{
    const fc_state state = c->judge->converted ? FC_RETROFIT : FC_EXISTING;
    const size_t governing = c->result->states[state].governing;

    fci_assume_all(&c->words,
                   governing < c->result->n_fixtures ? governing : FCI_NONE,
                   state);
}

static fc_status
settle(struct fci_checking *c, fc_state state)
{
    fc_checked_state *s = &c->result->states[state];

    return s->works == FC_CANNOT_TELL
                   && !(c->options && c->options->no_proviso)
               ? fci_settle_check(c->judge, state, FCI_NONE, c->options,
                                  c->arena, &s->proviso, c->messages)
               : FC_OK;
}

static fc_status
run(struct fci_checking *c)
{
    fc_status status = fci_run_events(c, fci_all_states(c), NULL);

    if (status != FC_OK)
        return status;
    fci_take_heading(c);
    if (!fci_take_minima(c) || !check_fixtures(c) || !check_pipes(c))
        return FC_ENOMEM;
    fci_check_state(c, FC_EXISTING);
    fci_find_spare(&c->words, c->result, FC_EXISTING);
    c->result->works = c->result->states[FC_EXISTING].works;
    c->result->too_high = c->result->states[FC_EXISTING].too_high;
    fci_find_elements(&c->words, FC_EXISTING, FCI_NONE);
    if (c->judge->converted) {
        fci_check_state(c, FC_RETROFIT);
        fci_find_spare(&c->words, c->result, FC_RETROFIT);
        c->result->works = c->result->states[FC_RETROFIT].works;
        c->result->too_high = c->result->states[FC_RETROFIT].too_high;
        fci_find_elements(&c->words, FC_RETROFIT, FCI_NONE);
    }
    fci_find_site(&c->words);
    fci_find_overrides(&c->words);
    assume_all(c);
    find_events(c);
    fci_tell_readings(c);
    if (c->result->n_contradictions == 0)
        status = settle(c, FC_EXISTING);
    if (status == FC_OK && c->judge->converted
        && c->result->n_contradictions == 0)
        status = settle(c, FC_RETROFIT);
    return status == FC_OK ? fci_take_told(c) : status;
}

fc_status
fc_check(const fc_site *site, fc_check_result **result,
         fc_diagnostics *messages)
{
    return fc_check_with(site, NULL, result, messages);
}

void
fci_checking_begin(struct fci_checking *c, const struct fci_judge *judge,
                   fc_check_result *result, struct fci_arena *arena)
{
    c->judge = judge;
    c->result = result;
    c->arena = arena;
    c->words.judge = judge;
    c->words.found.converted = judge->converted;
    c->words.found.units = c->site->settings.units;
    c->words.found.arena = arena;
}

void
fci_checking_end(struct fci_checking *c)
{
    int state;

    fci_findings_free(&c->words.found);
    for (state = 0; state < FC_STATES; state++)
        fci_object_free(c->swings[state]);
}

/* `own`: the site's own readings are weighed into it first; NULL: those that
 * were given are, if any. */
static fc_status
work_out(struct fci_checking *c, struct fci_evidence *own,
         fc_check_result **result)
{
    struct fci_judge judge;
    fc_check_result *made = NULL;
    fc_status status = fci_judge_begin(&judge, c->site, c->messages);

    if (status == FC_OK) {
        made = fci_object_new(sizeof *made);
        status = made ? FC_OK : FC_ENOMEM;
    }
    if (status == FC_OK) {
        fci_checking_begin(c, &judge, made, fci_arena_of(made));
        if (own) {
            status = fci_evidence_make(own, c->site, c->arena);
            c->evidence = own;
        }
    }
    if (status == FC_OK)
        status = run(c);
    fci_checking_end(c);
    fci_judge_end(&judge);
    if (status == FC_OK)
        *result = made;
    else
        fci_object_free(made);
    return status;
}

fc_status
fc_check_with(const fc_site *site, const fc_check_options *options,
              fc_check_result **result, fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_GIVEN(site), FCI_GIVEN(result),
                    FCI_STATES_TRIED(options, most_states)))
        return FC_EINPUT;

    struct fci_checking c = { .site = site,
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
    struct fci_checking c = { .site = site,
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
