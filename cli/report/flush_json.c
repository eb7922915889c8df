/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/flush_json.c -- the report of `flush` for programs. */
#include "report/flush_report.h"
#include "page/json.h"
#include "page/words.h"

static int
add_fixture(json_t *array, fc_unit_system u, const fc_flush_fixture *f)
{
    json_t *object = json_object();
    int bad = json_put_text(object, "name", f->name);

    bad |= json_put_text(object, "on", f->on);
    bad |= json_put_text(object, "kind", f->kind);
    bad |= json_put_text(object, "valve", f->valve);
    bad |= json_put(object, "count", json_integer(f->count));
    bad |= json_put(object, "flushing", json_integer(f->flushing));
    bad |= json_put_figure(object, "elevation", u, FC_LENGTH, f->elevation);
    bad |= json_put_range(object, "pressure", u, FC_PRESSURE, f->pressure);
    bad |= json_put_range(object, "still_pressure", u, FC_PRESSURE, f->still);
    bad |= json_put_range(object, "flow", u, FC_FLOW, f->flow);
    bad |= json_put_range(object, "valve_minimum", u, FC_PRESSURE, f->minimum);
    bad |= json_put_range(object, "required_pressure", u, FC_PRESSURE,
                          f->required);
    bad |= json_put_text(object, "governed_by", governor_word(f->governed_by));
    bad |= json_put_text(object, "enough", verdict_word(f->enough));
    bad |= json_put_excess(object, u, f->too_high, f->excess);
    return bad | json_add(array, object);
}

static int
add_element(json_t *array, fc_unit_system u, const fc_flush_element *e)
{
    json_t *object = json_object();
    int bad = json_put_text(object, "name", e->name);

    bad |= json_put_text(object, "kind", e->kind);
    bad |= json_put_figure(object, "elevation", u, FC_LENGTH, e->elevation);
    bad |= json_put_figure(object, "flow", u, FC_FLOW, e->flow);
    bad |= json_put_figure(object, "pressure", u, FC_PRESSURE, e->pressure);
    bad |= json_put_figure(object, "still_pressure", u, FC_PRESSURE, e->still);
    return bad | json_add(array, object);
}

void
flush_json(struct page *page, const fc_flush_result *result)
{
    fc_unit_system u = result->units;
    json_t *root = json_object();
    json_t *fixtures = json_array();
    json_t *elements = json_array();
    int bad = json_put_text(root, "title", result->title);

    bad |= json_put_text(root, "version", fc_version());
    bad |= json_put_units(root, u);
    bad |= json_put_text(root, "state", state_word(result->state));
    bad |= json_put(root, "flushing", json_integer(result->flushing));
    bad |= json_put_figure(root, "flow", u, FC_FLOW, result->flow);
    bad |= json_put_text(root, "enough", verdict_word(result->enough));
    bad |= json_put_proviso(root, u, &result->proviso);
    bad |= json_put_text(root, "too_high", too_high_word(result->too_high));
    bad |= json_put_flag(root, "bounded", result->bounded);
    for (size_t i = 0; i < result->n_fixtures; i++)
        bad |= add_fixture(fixtures, u, &result->fixtures[i]);
    for (size_t i = 0; i < result->n_elements; i++)
        bad |= add_element(elements, u, &result->elements[i]);
    bad |= json_put(root, "fixtures", fixtures);
    bad |= json_put(root, "elements", elements);
    bad |= json_put_contradictions(root, u, result->contradictions,
                                   result->n_contradictions);
    bad |= json_put_findings(root, result->findings, result->n_findings, NULL);
    bad |= json_put_texts(root, "assumptions", result->assumptions,
                          result->n_assumptions);
    bad |= json_put_overrides(root, result->overrides, result->n_overrides);
    bad |= json_put_cautions(root);
    json_print(page, root, bad);
}
