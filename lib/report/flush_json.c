/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/flush_json.c -- the report of `flush` for programs. */
#include "report/flush_report.h"
#include "report/json_put.h"
#include "report/report.h"
#include "report/words.h"

static int
add_fixture(json_t *array, fc_unit_system u, const fc_flush_fixture *f)
{
    json_t *object = json_object();
    int bad = fci_json_put_text(object, "name", f->name);

    bad |= fci_json_put_text(object, "on", f->on);
    bad |= fci_json_put_text(object, "kind", f->kind);
    bad |= fci_json_put_text(object, "valve", f->valve);
    bad |= fci_json_put(object, "count", json_integer(f->count));
    bad |= fci_json_put(object, "flushing", json_integer(f->flushing));
    bad |=
        fci_json_put_figure(object, "elevation", u, FC_LENGTH, f->elevation);
    bad |= fci_json_put_range(object, "pressure", u, FC_PRESSURE, f->pressure);
    bad |=
        fci_json_put_range(object, "still_pressure", u, FC_PRESSURE, f->still);
    bad |= fci_json_put_range(object, "flow", u, FC_FLOW, f->flow);
    bad |= fci_json_put_range(object, "valve_minimum", u, FC_PRESSURE,
                              f->minimum);
    bad |= fci_json_put_range(object, "required_pressure", u, FC_PRESSURE,
                              f->required);
    bad |= fci_json_put_text(object, "governed_by",
                             fci_governor_word(f->governed_by));
    bad |= fci_json_put_text(object, "enough", fci_verdict_word(f->enough));
    bad |= fci_json_put_excess(object, u, f->too_high, f->excess);
    return bad | fci_json_add(array, object);
}

static int
add_element(json_t *array, fc_unit_system u, const fc_flush_element *e)
{
    json_t *object = json_object();
    int bad = fci_json_put_text(object, "name", e->name);

    bad |= fci_json_put_text(object, "kind", e->kind);
    bad |=
        fci_json_put_figure(object, "elevation", u, FC_LENGTH, e->elevation);
    bad |= fci_json_put_figure(object, "flow", u, FC_FLOW, e->flow);
    bad |=
        fci_json_put_figure(object, "pressure", u, FC_PRESSURE, e->pressure);
    bad |= fci_json_put_figure(object, "still_pressure", u, FC_PRESSURE,
                               e->still);
    return bad | fci_json_add(array, object);
}

int
fci_flush_json(json_t *root, const void *what)
{
    const struct fci_flush_view *view = what;
    const fc_flush_result *result = view->result;
    fc_unit_system u = result->units;
    json_t *fixtures = json_array();
    json_t *elements = json_array();
    int bad = fci_json_put_text(root, "title", result->title);

    bad |= fci_json_put_text(root, "version", fc_version());
    bad |= fci_json_put_text(root, "state", fci_state_word(result->state));
    bad |= fci_json_put(root, "flushing", json_integer(result->flushing));
    bad |= fci_json_put_figure(root, "flow", u, FC_FLOW, result->flow);
    bad |= fci_json_put_text(root, "enough", fci_verdict_word(result->enough));
    bad |= fci_json_put_proviso(root, u, &result->proviso);
    bad |= fci_json_put_text(root, "too_high",
                             fci_too_high_word(result->too_high));
    bad |= fci_json_put_flag(root, "bounded", result->bounded);
    for (size_t i = 0; i < result->n_fixtures; i++)
        bad |= add_fixture(fixtures, u, &result->fixtures[i]);
    for (size_t i = 0; i < result->n_elements; i++)
        bad |= add_element(elements, u, &result->elements[i]);
    bad |= fci_json_put(root, "fixtures", fixtures);
    bad |= fci_json_put(root, "elements", elements);
    bad |= fci_json_put_contradictions(root, u, result->contradictions,
                                       result->n_contradictions);
    bad |= fci_json_put_findings(root, result->findings, result->n_findings,
                                 NULL);
    bad |= fci_json_put_texts(root, "assumptions", result->assumptions,
                              result->n_assumptions);
    bad |=
        fci_json_put_overrides(root, result->overrides, result->n_overrides);
    bad |= fci_json_put_cautions(root);
    return bad;
}
