/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/path_json.c -- the report of `path` for programs. */
#include "page/json.h"
#include "report/path_report.h"
#include "page/words.h"

#include <math.h>

static int
add_step(json_t *array, fc_unit_system u, const fc_path_step *step)
{
    json_t *object = json_object();
    int bad = json_put_text(object, "element", step->element);

    bad |= json_put_text(object, "kind", step->kind);
    bad |= json_put_figure(object, "flow", u, FC_FLOW, step->flow);
    bad |= json_put_figure(object, "elevation_loss", u, FC_PRESSURE,
                           step->elevation_loss);
    bad |= json_put_figure(object, "friction_loss", u, FC_PRESSURE,
                           step->friction_loss);
    bad |= json_put_figure(object, "fitting_loss", u, FC_PRESSURE,
                           step->fitting_loss);
    bad |= json_put_figure(object, "device_loss", u, FC_PRESSURE,
                           step->device_loss);
    bad |= json_put_figure(object, "darcy_loss", u, FC_PRESSURE,
                           step->darcy_loss);
    bad |= json_put_figure(object, "sag", u, FC_PRESSURE, step->sag);
    bad |= json_put_figure(object, "set_pressure", u, FC_PRESSURE,
                           step->set > 0.0 ? step->set : NAN);
    bad |=
        json_put_figure(object, "throttled", u, FC_PRESSURE, step->throttled);
    bad |= json_put_figure(object, "pressure", u, FC_PRESSURE, step->pressure);
    return bad | json_add(array, object);
}

int
path_json_put_budget(json_t *root, fc_unit_system u, const fc_path *path)
{
    const fc_budget *b;
    json_t *object;
    int bad;

    if (!path)
        return json_put(root, "budget", json_null());
    b = &path->budget;
    object = json_object();
    bad = json_put_text(object, "fixture", path->fixture);
    bad |= json_put_text(object, "state", state_word(path->state));
    bad |= json_put_text(object, "reducer", b->from);
    bad |= json_put_figure(object, "start", u, FC_PRESSURE, b->start);
    bad |= json_put_figure(object, "throttled", u, FC_PRESSURE, b->throttled);
    bad |= json_put_figure(object, "street_main_sag", u, FC_PRESSURE, b->sag);
    bad |= json_put_figure(object, "elevation_loss", u, FC_PRESSURE,
                           b->elevation);
    bad |=
        json_put_figure(object, "friction_loss", u, FC_PRESSURE, b->friction);
    bad |=
        json_put_figure(object, "fitting_loss", u, FC_PRESSURE, b->fittings);
    bad |= json_put_figure(object, "device_loss", u, FC_PRESSURE, b->devices);
    bad |=
        json_put_figure(object, "backflow_loss", u, FC_PRESSURE, b->backflow);
    bad |=
        json_put_figure(object, "reducer_loss", u, FC_PRESSURE, b->reducers);
    bad |= json_put_figure(object, "pumps_give", u, FC_PRESSURE, b->pumps);
    bad |= json_put_figure(object, "pressure", u, FC_PRESSURE,
                           path->end.flowing.nominal);
    return bad | json_put(root, "budget", object);
}

void
path_json(struct page *page, const fc_check_result *result,
          const fc_checked_fixture *fixture, const fc_path *path)
{
    json_t *root = json_object();
    json_t *steps = json_array();
    int bad = json_put_text(root, "title", result->title);

    bad |= json_put_text(root, "version", fc_version());
    bad |= json_put_units(root, result->units);
    bad |= json_put_text(root, "fixture", path->fixture);
    bad |= json_put_text(root, "state", state_word(path->state));
    bad |= json_put_end(root, result->units, &fixture->states[path->state]);
    for (size_t i = 0; i < path->n_steps; i++)
        bad |= add_step(steps, result->units, &path->steps[i]);
    bad |= json_put_proviso(root, result->units, &path->proviso);
    bad |= json_put(root, "steps", steps);
    bad |= json_put_contradictions(root, result->units, path->contradictions,
                                   path->n_contradictions);
    bad |= path_json_put_budget(root, result->units, path);
    bad |= json_put_findings(root, result->findings, result->n_findings,
                             path->fixture);
    bad |= json_put_texts(root, "assumptions", result->assumptions,
                          result->n_assumptions);
    bad |= json_put_overrides(root, result->overrides, result->n_overrides);
    bad |= json_put_cautions(root);
    json_print(page, root, bad);
}
