/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/size_json.c -- the report of `size` for programs. */
#include "page/json.h"
#include "report/size_report.h"
#include "page/words.h"

static int
add_pipe(json_t *array, fc_unit_system u, const fc_sized_pipe *p)
{
    json_t *object = json_object();
    int bad = json_put_text(object, "name", p->name);

    bad |= json_put_text(object, "from", p->from);
    bad |= json_put_text(object, "material", p->material);
    bad |= json_put_text(object, "size", p->size);
    bad |= json_put_text(object, "previous_size", p->previous_size);
    bad |= json_put_figure(object, "length", u, FC_LENGTH, p->length);
    bad |= json_put_number(object, "cost", p->cost);
    bad |= json_put_text(object, "state", state_word(p->state));
    bad |= json_put_figure(object, "peak_flow", u, FC_FLOW, p->peak_flow);
    bad |= json_put_figure(object, "velocity", u, FC_VELOCITY, p->velocity);
    bad |= json_put_figure(object, "velocity_limit", u, FC_VELOCITY,
                           p->velocity_limit);
    bad |= json_put_figure(object, "friction_loss", u, FC_PRESSURE,
                           p->friction_loss);
    bad |= json_put_text(object, "uniform_size", p->uniform_size);
    bad |= json_put_number(object, "uniform_cost", p->uniform_cost);
    return bad | json_add(array, object);
}

static int
put_uniform(json_t *root, const fc_size_result *result)
{
    const fc_uniform_sizes *hand = &result->uniform;
    fc_unit_system u = result->units;
    json_t *object = json_object();
    int bad = json_put_flag(object, "feasible", hand->given);

    bad |= json_put_text(object, "fixture", hand->fixture);
    if (hand->fixture) {
        bad |= json_put_text(object, "state", state_word(hand->state));
        bad |= json_put_figure(object, "spare_pressure", u, FC_PRESSURE,
                               hand->spare);
        bad |= json_put_figure(object, "developed_length", u, FC_LENGTH,
                               hand->developed_length);
        /* pressure over length, in the units of both */
        bad |= json_put_number(object, "friction_rate",
                               fc_from_si(u, FC_PRESSURE, hand->rate)
                                   / fc_from_si(u, FC_LENGTH, 1.0));
    }
    if (hand->given) {
        bad |= json_put_number(object, "cost", hand->cost);
        bad |= json_put_text(object, "works", verdict_word(hand->works));
    }
    return bad | json_put(root, "uniform_friction", object);
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
        bad |= json_put_figure(object, "peak_flow", u, FC_FLOW, need->flow);
        bad |= json_put_figure(object, "flowing_pressure", u, FC_PRESSURE,
                               need->pressure);
        bad |= json_put_figure(object, "least_pressure", u, FC_PRESSURE,
                               need->least);
        bad |= json_put(source, state_word((fc_state)s), object);
    }
    return bad | json_put(root, "source", source);
}

static int
put_check(json_t *root, const fc_check_result *check)
{
    const int bad = json_put_findings(root, check ? check->findings : NULL,
                                      check ? check->n_findings : 0, NULL);

    return bad
           | json_put_texts(root, "assumptions",
                            check ? check->assumptions : NULL,
                            check ? check->n_assumptions : 0);
}

void
size_json(struct page *page, const fc_size_result *result)
{
    json_t *root = json_object();
    json_t *pipes = json_array();
    int bad = json_put_text(root, "title", result->title);

    bad |= json_put_text(root, "version", fc_version());
    bad |= json_put_units(root, result->units);
    bad |= json_put_flag(root, "feasible", result->feasible);
    bad |= json_put_flag(root, "found", result->found);
    bad |= json_put_text(root, "works", verdict_word(result->works));
    bad |= json_put_text(root, "too_high", too_high_word(result->too_high));
    bad |= json_put_text(root, "reason", result->reason);
    bad |= json_put_text(root, "cost_unit",
                         result->by_prices ? "by prices" : "inch-feet");
    bad |= json_put_number(root, "cost", result->cost);
    bad |= json_put_number(root, "least_cost", result->least_cost);
    bad |= json_put_flag(root, "exact", result->exact);
    bad |= json_put_figure(root, "pressure_in_hand", result->units,
                           FC_PRESSURE, result->in_hand);
    bad |= json_put_texts(root, "in_hand_at", result->in_hand_at,
                          result->n_in_hand_at);
    bad |= json_put_number(root, "cost_at_peak", result->cost_at_peak);
    for (size_t i = 0; i < result->n_pipes; i++)
        bad |= add_pipe(pipes, result->units, &result->pipes[i]);
    bad |= json_put(root, "pipes", pipes);
    bad |= put_uniform(root, result);
    bad |= put_sources(root, result);
    bad |= json_put_contradictions(root, result->units, result->contradictions,
                                   result->n_contradictions);
    bad |= put_check(root, result->check);
    bad |= json_put_overrides(root, result->overrides, result->n_overrides);
    bad |= json_put_cautions(root);
    json_print(page, root, bad);
}
