/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/size_json.c -- the report of `size` for programs. */
#include "report/json_put.h"
#include "report/report.h"
#include "report/size_report.h"
#include "report/words.h"

static int
add_pipe(json_t *array, fc_unit_system u, const fc_sized_pipe *p)
{
    json_t *object = json_object();
    int bad = fci_json_put_text(object, "name", p->name);

    bad |= fci_json_put_text(object, "from", p->from);
    bad |= fci_json_put_text(object, "material", p->material);
    bad |= fci_json_put_text(object, "size", p->size);
    bad |= fci_json_put_text(object, "previous_size", p->previous_size);
    bad |= fci_json_put_figure(object, "length", u, FC_LENGTH, p->length);
    bad |= fci_json_put_number(object, "cost", p->cost);
    bad |= fci_json_put_text(object, "state", fci_state_word(p->state));
    bad |= fci_json_put_figure(object, "peak_flow", u, FC_FLOW, p->peak_flow);
    bad |=
        fci_json_put_figure(object, "velocity", u, FC_VELOCITY, p->velocity);
    bad |= fci_json_put_figure(object, "velocity_limit", u, FC_VELOCITY,
                               p->velocity_limit);
    bad |= fci_json_put_figure(object, "friction_loss", u, FC_PRESSURE,
                               p->friction_loss);
    bad |= fci_json_put_text(object, "uniform_size", p->uniform_size);
    bad |= fci_json_put_number(object, "uniform_cost", p->uniform_cost);
    return bad | fci_json_add(array, object);
}

static int
put_uniform(json_t *root, const fc_size_result *result)
{
    const fc_uniform_sizes *hand = &result->uniform;
    fc_unit_system u = result->units;
    json_t *object = json_object();
    int bad = fci_json_put_flag(object, "feasible", hand->given);

    bad |= fci_json_put_text(object, "fixture", hand->fixture);
    if (hand->fixture) {
        bad |= fci_json_put_text(object, "state", fci_state_word(hand->state));
        bad |= fci_json_put_figure(object, "spare_pressure", u, FC_PRESSURE,
                                   hand->spare);
        bad |= fci_json_put_figure(object, "developed_length", u, FC_LENGTH,
                                   hand->developed_length);
        /* pressure over length, in the units of both */
        bad |= fci_json_put_number(object, "friction_rate",
                                   fc_from_si(u, FC_PRESSURE, hand->rate)
                                       / fc_from_si(u, FC_LENGTH, 1.0));
    }
    if (hand->given) {
        bad |= fci_json_put_number(object, "cost", hand->cost);
        bad |=
            fci_json_put_text(object, "works", fci_verdict_word(hand->works));
    }
    return bad | fci_json_put(root, "uniform_friction", object);
}

static int
put_sources(json_t *root, const fc_size_result *result)
{
    fc_unit_system u = result->units;
    json_t *source = json_object();
    int bad = 0;

    for (int s = 0; s < FC_STATES; s++) {
        const fc_source_need *need = &result->source[s];
        json_t *object;

        if (!need->given)
            continue;
        object = json_object();
        bad |=
            fci_json_put_figure(object, "peak_flow", u, FC_FLOW, need->flow);
        bad |= fci_json_put_figure(object, "flowing_pressure", u, FC_PRESSURE,
                                   need->pressure);
        bad |= fci_json_put_figure(object, "least_pressure", u, FC_PRESSURE,
                                   need->least);
        bad |= fci_json_put(source, fci_state_word((fc_state)s), object);
    }
    return bad | fci_json_put(root, "source", source);
}

static int
put_check(json_t *root, const fc_check_result *check)
{
    const int bad = fci_json_put_findings(root, check ? check->findings : NULL,
                                          check ? check->n_findings : 0, NULL);

    return bad
           | fci_json_put_texts(root, "assumptions",
                                check ? check->assumptions : NULL,
                                check ? check->n_assumptions : 0);
}

int
fci_size_json(json_t *root, const void *what)
{
    const struct fci_size_view *view = what;
    const fc_size_result *result = view->result;
    json_t *pipes = json_array();
    int bad = fci_json_put_text(root, "title", result->title);

    bad |= fci_json_put_text(root, "version", fc_version());
    bad |= fci_json_put_flag(root, "feasible", result->feasible);
    bad |= fci_json_put_flag(root, "found", result->found);
    bad |= fci_json_put_text(root, "works", fci_verdict_word(result->works));
    bad |= fci_json_put_text(root, "too_high",
                             fci_too_high_word(result->too_high));
    bad |= fci_json_put_text(root, "reason", result->reason);
    bad |= fci_json_put_text(root, "cost_unit",
                             result->by_prices ? "by prices" : "inch-feet");
    bad |= fci_json_put_number(root, "cost", result->cost);
    bad |= fci_json_put_number(root, "least_cost", result->least_cost);
    bad |= fci_json_put_flag(root, "exact", result->exact);
    bad |= fci_json_put_figure(root, "pressure_in_hand", result->units,
                               FC_PRESSURE, result->in_hand);
    bad |= fci_json_put_texts(root, "in_hand_at", result->in_hand_at,
                              result->n_in_hand_at);
    bad |= fci_json_put_number(root, "cost_at_peak", result->cost_at_peak);
    for (size_t i = 0; i < result->n_pipes; i++)
        bad |= add_pipe(pipes, result->units, &result->pipes[i]);
    bad |= fci_json_put(root, "pipes", pipes);
    bad |= put_uniform(root, result);
    bad |= put_sources(root, result);
    bad |= fci_json_put_contradictions(
        root, result->units, result->contradictions, result->n_contradictions);
    bad |= put_check(root, result->check);
    bad |=
        fci_json_put_overrides(root, result->overrides, result->n_overrides);
    bad |= fci_json_put_cautions(root);
    return bad;
}
