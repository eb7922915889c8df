/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/fuzz/results.c -- what holds for a check, a path and a claim, each by
 * itself. */
#include "fuzz/fuzz.h"

#include <math.h>

/* ---- Checks ------------------------------------------------------------ */

static const char *
try_fixture_state(const fc_fixture_state *s, bool refuted)
{
    ALL_HOLD(try_range(s->required));
    ALL_HOLD(try_range(s->flowing));
    ALL_HOLD(try_range(s->margin));
    ALL_HOLD(try_range(s->spare));
    HOLDS(s->flowing.given);
    HOLDS(s->margin.given == s->required.given);
    HOLDS(s->works != FC_WORKS || s->pressure == FC_WORKS);
    HOLDS(refuted ? s->works == FC_CANNOT_TELL
                  : s->pressure != FC_WILL_NOT_WORK
                        || s->works == FC_WILL_NOT_WORK);
    HOLDS((s->works == FC_CANNOT_TELL) == (s->decided_by != NULL));
    return NULL;
}

static const char *
try_fixture(const fc_checked_fixture *fixture, size_t n_states, bool refuted)
{
    size_t i;

    HOLDS(fixture->count >= 1);
    HOLDS(isfinite(fixture->elevation));
    ALL_HOLD(try_range(fixture->static_pressure));
    for (i = 0; i < n_states; i++)
        ALL_HOLD(try_fixture_state(&fixture->states[i], refuted));
    HOLDS((fixture->change == FC_NOT_CONVERTED) == (n_states == 1));
    return NULL;
}

static const char *
try_pipe(const fc_checked_pipe *pipe, size_t n_states)
{
    size_t i;

    HOLDS(pipe->inside_diameter > 0 && isfinite(pipe->inside_diameter));
    HOLDS(pipe->length >= 0 && isfinite(pipe->length));
    HOLDS(pipe->equivalent_length >= 0 && isfinite(pipe->equivalent_length));
    for (i = 0; i < n_states; i++) {
        const fc_pipe_state *s = &pipe->states[i];

        HOLDS(s->fixture_units >= 0 && isfinite(s->fixture_units));
        HOLDS(s->peak_flow.low >= 0 && s->velocity.low >= 0);
        HOLDS(s->friction_loss.low >= 0);
        ALL_HOLD(try_range(s->peak_flow));
        ALL_HOLD(try_range(s->peak_by_units));
        ALL_HOLD(try_range(s->peak_by_probability));
        ALL_HOLD(try_range(s->velocity));
        ALL_HOLD(try_range(s->friction_loss));
    }
    return NULL;
}

static const char *
try_state(const fc_check_result *result, const fc_checked_state *s,
          size_t state)
{
    size_t i, counted[3] = { 0 };

    for (i = 0; i < result->n_fixtures; i++)
        counted[result->fixtures[i].states[state].works] +=
            (size_t)result->fixtures[i].count;
    HOLDS(s->working == counted[FC_WORKS]);
    HOLDS(s->failing == counted[FC_WILL_NOT_WORK]);
    HOLDS(s->unclear == counted[FC_CANNOT_TELL]);
    HOLDS((s->works == FC_WILL_NOT_WORK) == (s->failing > 0));
    HOLDS(s->works != FC_WORKS || s->unclear == 0);
    HOLDS(s->governing < result->n_fixtures || s->governing == SIZE_MAX);
    ALL_HOLD(try_range(s->peak_flow));
    ALL_HOLD(try_range(s->source_pressure));
    ALL_HOLD(try_range(s->spare_pressure));
    return NULL;
}

const char *
try_result(const fc_check_result *result)
{
    const size_t n_states = result->converted ? FC_STATES : 1;
    size_t i;

    HOLDS(result->n_fixtures > 0);
    HOLDS(result->works == result->states[n_states - 1].works);
    ALL_HOLD(try_range(result->source_static));
    for (i = 0; i < n_states; i++)
        ALL_HOLD(try_state(result, &result->states[i], i));
    for (i = 0; i < result->n_fixtures; i++)
        ALL_HOLD(try_fixture(&result->fixtures[i], n_states,
                             result->n_contradictions > 0));
    for (i = 0; i < result->n_pipes; i++)
        ALL_HOLD(try_pipe(&result->pipes[i], n_states));
    for (i = 0; i < result->n_findings; i++) {
        ALL_HOLD(try_line(result->findings[i].text));
        HOLDS(i == 0
              || result->findings[i - 1].severity
                     >= result->findings[i].severity);
    }
    for (i = 0; i < result->n_assumptions; i++)
        ALL_HOLD(try_line(result->assumptions[i]));
    return NULL;
}

/* ---- Pressure budgets -------------------------------------------------- */

/* Each step leaves the pressure before it less what it takes. */
const char *
try_path(const fc_path *path, const fc_fixture_state *judged)
{
    size_t i;

    HOLDS(path->n_steps >= 2);
    for (i = 0; i < path->n_steps; i++) {
        const fc_path_step *s = &path->steps[i];
        const double taken = s->elevation_loss + s->friction_loss
                             + s->fitting_loss + s->device_loss + s->throttled;

        HOLDS(isfinite(s->flow) && isfinite(s->pressure) && isfinite(taken));
        if (i > 0) {
            const double before = path->steps[i - 1].pressure;

            HOLDS(fabs(before - taken - s->pressure)
                  <= 1e-6 * (1 + fabs(before) + fabs(taken)));
        }
    }
    HOLDS(
        fabs(path->steps[path->n_steps - 1].pressure - judged->flowing.nominal)
        <= 1e-6 * (1 + fabs(judged->flowing.nominal)));
    HOLDS(path->end.works == judged->works);
    return NULL;
}

/* ---- Claims ------------------------------------------------------------ */

const char *
try_claim(const fc_checked_claim *c)
{
    HOLDS(isfinite(c->claimed) && isfinite(c->elevation));
    HOLDS((c->reading != NULL) == isfinite(c->read));
    /* what refutes the model, or is not proved, leaves it undecided */
    HOLDS(c->reading || c->verdict == c->by_model
          || (c->verdict == FC_UNDECIDED
              && (c->refuted_by || c->unproved || c->drawn_down
                  || c->not_flowing || c->carried_reading || c->n_cases > 1)));
    HOLDS(c->share >= 0 && c->share <= 1);
    if (c->why_not) {
        HOLDS(isnan(c->computed) && c->by_model == FC_UNDECIDED);
        return try_line(c->why_not);
    }
    HOLDS(isfinite(c->computed) && isfinite(c->still));
    HOLDS(c->low <= c->high);
    HOLDS(c->probability >= 0 && c->probability <= 1);
    return try_line(c->event);
}
