/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/check_json.c -- the report of `check` for programs. */
#include "report/check_json.h"
#include "report/json_put.h"
#include "report/report.h"
#include "report/words.h"

/* How many states there are to tell of. */
static int
states_in(const fc_check_result *result)
{
    return result->converted ? FC_STATES : 1;
}

static int
put_heading(json_t *root, const fc_check_result *result)
{
    int bad = fci_json_put_text(root, "title", result->title);

    bad |= fci_json_put_text(root, "address", result->address);
    bad |= fci_json_put_text(root, "prepared_by", result->prepared_by);
    bad |= fci_json_put_text(root, "date", result->date);
    bad |= fci_json_put_text(root, "version", fc_version());
    bad |= fci_json_put_text(root, "code", result->code);
    bad |= fci_json_put_text(root, "peak",
                             result->peak == FC_PROBABILITY ? "probability"
                                                            : "fixture units");
    bad |= fci_json_put_text(root, "demand", fci_reading_word(result->demand));
    bad |= fci_json_put_flag(root, "converted", result->converted);
    bad |= fci_json_put_text(root, "works", fci_verdict_word(result->works));
    return bad
           | fci_json_put_text(root, "too_high",
                               fci_too_high_word(result->too_high));
}

static const char *
name_at(const fc_check_result *result, size_t fixture)
{
    return fixture < result->n_fixtures ? result->fixtures[fixture].name
                                        : NULL;
}

static int
put_zones(json_t *object, const fc_check_result *result, fc_state state)
{
    const fc_checked_state *s = &result->states[state];
    json_t *zones = json_array();
    int bad = 0;

    for (size_t i = 0; i < s->n_zones; i++) {
        const fc_zone *z = &s->zones[i];
        const fc_range none = { false, 0, 0, 0 };
        json_t *zone = json_object();

        bad |= fci_json_put_text(zone, "reducer", z->reducer);
        bad |= fci_json_put_count(zone, "fixtures", z->n_fixtures);
        bad |= fci_json_put_text(zone, "governing_fixture",
                                 name_at(result, z->governing));
        bad |= fci_json_put_range(
            zone, "margin", result->units, FC_PRESSURE,
            z->governing < result->n_fixtures
                ? result->fixtures[z->governing].states[state].margin
                : none);
        bad |= fci_json_add(zones, zone);
    }
    return bad | fci_json_put(object, "zones", zones);
}

static int
put_counts(json_t *root, const fc_check_result *result, fc_state state)
{
    const fc_checked_state *s = &result->states[state];
    json_t *object = json_object();
    int bad = fci_json_put_text(object, "works", fci_verdict_word(s->works));

    bad |= fci_json_put_proviso(object, result->units, &s->proviso);
    bad |= fci_json_put_count(object, "fixtures_working", s->working);
    bad |= fci_json_put_count(object, "fixtures_failing", s->failing);
    bad |= fci_json_put_count(object, "fixtures_unclear", s->unclear);
    bad |= fci_json_put_text(object, "governing_fixture",
                             name_at(result, s->governing));
    bad |=
        fci_json_put_text(object, "too_high", fci_too_high_word(s->too_high));
    bad |= fci_json_put_text(object, "too_high_at",
                             name_at(result, s->too_high_at));
    bad |= put_zones(object, result, state);
    bad |= fci_check_json_put_least(object, result, state);
    return bad | fci_json_put(root, fci_state_word(state), object);
}

static int
put_source_state(json_t *source, const fc_check_result *result, fc_state state)
{
    const fc_checked_state *s = &result->states[state];
    fc_unit_system u = result->units;
    json_t *object = json_object();
    int bad =
        fci_json_put_range(object, "peak_flow", u, FC_FLOW, s->peak_flow);

    bad |= fci_json_put_range(object, "peak_flow_by_units", u, FC_FLOW,
                              s->peak_by_units);
    bad |= fci_json_put_range(object, "peak_flow_by_other_reading", u, FC_FLOW,
                              s->peak_by_other_reading);
    bad |= fci_json_put_range(object, "peak_flow_by_probability", u, FC_FLOW,
                              s->peak_by_probability);
    bad |= fci_json_put_range(object, "flowing_pressure", u, FC_PRESSURE,
                              s->source_pressure);
    bad |= fci_json_put_range(object, "spare_pressure", u, FC_PRESSURE,
                              s->spare_pressure);
    return bad | fci_json_put(source, fci_state_word(state), object);
}

static int
put_source(json_t *root, const fc_check_result *result)
{
    json_t *source = json_object();
    int bad = fci_json_put_text(source, "name", result->source);

    bad |= fci_json_put_range(source, "static_pressure", result->units,
                              FC_PRESSURE, result->source_static);
    for (int s = 0; s < states_in(result); s++)
        bad |= put_source_state(source, result, (fc_state)s);
    return bad | fci_json_put(root, "source", source);
}

static int
put_pipe_state(json_t *pipe, fc_unit_system u, const fc_pipe_state *s,
               fc_state state)
{
    json_t *object = json_object();
    int bad = fci_json_put_number(object, "fixture_units", s->fixture_units);

    bad |= fci_json_put_number(object, "falling_units", s->falling_units);
    bad |= fci_json_put_range(object, "peak_flow", u, FC_FLOW, s->peak_flow);
    bad |= fci_json_put_range(object, "peak_flow_by_units", u, FC_FLOW,
                              s->peak_by_units);
    bad |= fci_json_put_range(object, "peak_flow_by_other_reading", u, FC_FLOW,
                              s->peak_by_other_reading);
    bad |= fci_json_put_range(object, "peak_flow_by_probability", u, FC_FLOW,
                              s->peak_by_probability);
    bad |= fci_json_put_range(object, "velocity", u, FC_VELOCITY, s->velocity);
    bad |= fci_json_put_range(object, "friction_loss", u, FC_PRESSURE,
                              s->friction_loss);
    return bad | fci_json_put(pipe, fci_state_word(state), object);
}

static int
add_pipe(json_t *array, const fc_check_result *result,
         const fc_checked_pipe *pipe)
{
    fc_unit_system u = result->units;
    json_t *object = json_object();
    int bad = fci_json_put_text(object, "name", pipe->name);

    bad |= fci_json_put_text(object, "from", pipe->from);
    bad |= fci_json_put_text(object, "material",
                             *pipe->material ? pipe->material : NULL);
    bad |= fci_json_put_text(object, "size", *pipe->size ? pipe->size : NULL);
    bad |= fci_json_put_figure(object, "inside_diameter", u, FC_SIZE,
                               pipe->inside_diameter);
    bad |= fci_json_put_figure(object, "length", u, FC_LENGTH, pipe->length);
    bad |= fci_json_put_figure(object, "equivalent_length", u, FC_LENGTH,
                               pipe->equivalent_length);
    bad |= fci_json_put_number(object, "c", pipe->c);
    bad |= fci_json_put_figure(object, "velocity_limit", u, FC_VELOCITY,
                               pipe->velocity_limit);
    for (int s = 0; s < states_in(result); s++)
        bad |= put_pipe_state(object, u, &pipe->states[s], (fc_state)s);
    return bad | fci_json_add(array, object);
}

/* Margins in the order of `quoted_minima`. */
static int
put_against(json_t *object, const fc_check_result *result,
            const fc_fixture_state *s)
{
    json_t *array = json_array();
    int bad = 0;

    for (size_t i = 0; s->against_minima && i < result->n_minima; i++)
        bad |= fci_json_add(array,
                            json_real(fc_from_si(result->units, FC_PRESSURE,
                                                 s->against_minima[i])));
    return bad | fci_json_put(object, "margins_against_quoted", array);
}

static int
add_fixture(json_t *array, const fc_check_result *result,
            const fc_checked_fixture *f)
{
    fc_unit_system u = result->units;
    json_t *object = json_object();
    int bad = fci_json_put_text(object, "name", f->name);

    bad |= fci_json_put_text(object, "on", f->on);
    bad |= fci_json_put_text(object, "kind", f->kind);
    bad |= fci_json_put(object, "count", json_integer(f->count));
    bad |=
        fci_json_put_figure(object, "elevation", u, FC_LENGTH, f->elevation);
    bad |= fci_json_put_range(object, "static_pressure", u, FC_PRESSURE,
                              f->static_pressure);
    bad |= fci_json_put_text(object, "change", fci_change_word(f->change));
    for (int s = 0; s < states_in(result); s++) {
        json_t *state = json_object();

        bad |= fci_json_put_end(state, u, &f->states[s]);
        bad |= put_against(state, result, &f->states[s]);
        bad |= fci_check_json_put_flush(state, u, &f->states[s]);
        bad |= fci_json_put(object, fci_state_word((fc_state)s), state);
    }
    return bad | fci_json_add(array, object);
}

static int
put_minima(json_t *root, const fc_check_result *result)
{
    json_t *array = json_array();
    int bad = 0;

    for (size_t i = 0; i < result->n_minima; i++) {
        json_t *object = json_object();

        bad |= fci_json_put_figure(object, "pressure", result->units,
                                   FC_PRESSURE, result->minima[i].pressure);
        bad |= fci_json_put_text(object, "source", result->minima[i].source);
        bad |= fci_json_add(array, object);
    }
    return bad | fci_json_put(root, "quoted_minima", array);
}

static int
put_parts(json_t *root, const fc_check_result *result)
{
    json_t *fixtures = json_array();
    json_t *pipes = json_array();
    int bad = put_source(root, result);

    for (int s = 0; s < states_in(result); s++)
        bad |= put_counts(root, result, (fc_state)s);
    for (size_t i = 0; i < result->n_fixtures; i++)
        bad |= add_fixture(fixtures, result, &result->fixtures[i]);
    for (size_t i = 0; i < result->n_pipes; i++)
        bad |= add_pipe(pipes, result, &result->pipes[i]);
    bad |= fci_json_put(root, "fixtures", fixtures);
    bad |= fci_json_put(root, "pipes", pipes);
    bad |= put_minima(root, result);
    bad |=
        fci_json_put_overrides(root, result->overrides, result->n_overrides);
    bad |= fci_json_put_contradictions(
        root, result->units, result->contradictions, result->n_contradictions);
    bad |= fci_json_put_findings(root, result->findings, result->n_findings,
                                 NULL);
    return bad
           | fci_json_put_texts(root, "assumptions", result->assumptions,
                                result->n_assumptions);
}

int
fci_sites_json(json_t *root, const void *what)
{
    const struct fci_sites_view *view = what;
    json_t *array = json_array();
    fc_verdict worst = FC_WORKS, high = FC_WORKS;
    int bad = 0;

    for (size_t i = 0; i < view->n; i++) {
        json_t *object = json_object();

        bad |= fci_json_put_text(object, "path", view->names[i]);
        bad |= put_heading(object, view->results[i]);
        bad |= put_parts(object, view->results[i]);
        bad |= fci_json_add(array, object);
        worst = fci_worse_verdict(worst, view->results[i]->works);
        high = fci_worse_verdict(high, view->results[i]->too_high);
    }
    bad |= fci_json_put(root, "sites", array);
    bad |= fci_json_put_text(root, "works", fci_verdict_word(worst));
    bad |= fci_json_put_text(root, "too_high", fci_too_high_word(high));
    return bad | fci_json_put_cautions(root);
}

int
fci_check_json(json_t *root, const void *what)
{
    const struct fci_check_view *view = what;
    const fc_check_result *result = view->result;
    int bad = put_heading(root, result);

    bad |= put_parts(root, result);
    return bad | fci_json_put_cautions(root);
}
