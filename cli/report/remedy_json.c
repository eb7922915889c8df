/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/remedy_json.c -- the report of `size --remedy` for programs. */
#include "page/json.h"
#include "report/remedy_report.h"
#include "page/words.h"

#include <math.h>

/* INFINITY, as NAN, becomes null: there is no such number in JSON. */
static int
put_limit(json_t *object, const char *key, fc_unit_system u, double si)
{
    return json_put_figure(object, key, u, FC_PRESSURE, isinf(si) ? NAN : si);
}

static int
add_pipe(json_t *array, fc_unit_system u, const fc_sized_pipe *p)
{
    json_t *object = json_object();
    int bad = json_put_text(object, "name", p->name);

    bad |= json_put_text(object, "material", p->material);
    bad |= json_put_text(object, "size", p->size);
    bad |= json_put_text(object, "previous_size", p->previous_size);
    bad |= json_put_text(object, "previous_material", p->previous_material);
    bad |= json_put_figure(object, "length", u, FC_LENGTH, p->length);
    bad |= json_put_figure(object, "peak_flow", u, FC_FLOW, p->peak_flow);
    bad |= json_put_figure(object, "velocity", u, FC_VELOCITY, p->velocity);
    bad |= json_put_figure(object, "friction_loss", u, FC_PRESSURE,
                           p->friction_loss);
    bad |= json_put_number(object, "cost", p->cost);
    return bad | json_add(array, object);
}

static int
put_value(json_t *object, const char *key, fc_unit_system u,
          const fc_remedy *r, double value)
{
    return r->dimension == FC_NUMBER
               ? json_put_number(object, key, value)
               : json_put_figure(object, key, u, r->dimension, value);
}

static int
add_remedy(json_t *array, fc_unit_system u, const fc_remedy *r)
{
    json_t *object = json_object();
    json_t *pipes = json_array();
    int bad = json_put_text(object, "kind", fc_lever_word(r->lever));

    bad |= json_put_flag(object, "works", r->works);
    bad |= json_put_text(object, "too_high",
                         r->works ? too_high_word(r->too_high) : NULL);
    bad |= json_put_text(object, "subject", r->subject);
    bad |= json_put_text(object, "text", r->text);
    bad |= put_value(object, "value", u, r, r->value);
    bad |= put_value(object, "value_now", u, r, r->now);
    bad |= json_put_text(object, "fixture", r->fixture);
    bad |= json_put_number(object, "cost", r->cost);
    for (size_t i = 0; i < r->n_pipes; i++)
        bad |= add_pipe(pipes, u, &r->pipes[i]);
    bad |= json_put(object, "pipes", pipes);
    return bad | json_add(array, object);
}

static int
add_floor(json_t *array, fc_unit_system u, const fc_floor_minimum *f)
{
    json_t *object = json_object();
    int bad = json_put_figure(object, "elevation", u, FC_LENGTH, f->elevation);

    bad |= json_put_text(object, "fixture", f->fixture);
    bad |= json_put_figure(object, "minimum_at_most", u, FC_PRESSURE, f->most);
    bad |= json_put_figure(object, "valve_minimum", u, FC_PRESSURE, f->needed);
    bad |= json_put_figure(object, "code_minimum", u, FC_PRESSURE, f->code);
    return bad | json_add(array, object);
}

static int
put_zone(json_t *object, fc_unit_system u, const fc_reducer_zone *z)
{
    int bad = json_put_flag(object, "possible", z->possible);

    bad |= json_put_figure(object, "lowest", u, FC_LENGTH, z->lowest);
    bad |= json_put_figure(object, "highest", u, FC_LENGTH, z->highest);
    bad |= put_limit(object, "low", u, z->low);
    bad |= put_limit(object, "high", u, z->high);
    bad |= json_put_text(object, "short_first", z->short_first);
    return bad | json_put_text(object, "high_first", z->high_first);
}

static int
add_window(json_t *array, fc_unit_system u, const fc_reducer_window *w)
{
    json_t *object = json_object();
    json_t *zones = json_array();
    int bad = json_put_text(object, "reducer", w->reducer);

    bad |= json_put_text(object, "behind", w->behind);
    bad |= json_put_range(object, "set", u, FC_PRESSURE, w->set);
    bad |= put_limit(object, "reaches", u, w->reaches);
    bad |= put_zone(object, u, &w->all);
    for (size_t i = 0; i < w->n_zones; i++) {
        json_t *zone = json_object();

        bad |= put_zone(zone, u, &w->zones[i]);
        bad |= json_add(zones, zone);
    }
    bad |= json_put(object, "zones", zones);
    return bad | json_add(array, object);
}

static int
put_lists(json_t *root, const fc_remedies *remedies)
{
    const fc_unit_system u = remedies->units;
    json_t *list = json_array();
    json_t *floors = json_array();
    json_t *windows = json_array();
    int bad = 0;

    for (size_t i = 0; i < remedies->n_remedies; i++)
        bad |= add_remedy(list, u, &remedies->remedies[i]);
    for (size_t i = 0; i < remedies->n_floors; i++)
        bad |= add_floor(floors, u, &remedies->floors[i]);
    for (size_t i = 0; i < remedies->n_windows; i++)
        bad |= add_window(windows, u, &remedies->windows[i]);
    bad |= json_put(root, "remedies", list);
    bad |= json_put(root, "floors", floors);
    return bad | json_put(root, "reducer_windows", windows);
}

void
remedy_json(struct page *page, const fc_remedies *remedies)
{
    json_t *root = json_object();
    int bad = json_put_text(root, "title", remedies->title);

    bad |= json_put_text(root, "version", fc_version());
    bad |= json_put_units(root, remedies->units);
    bad |= json_put_text(root, "state", state_word(remedies->state));
    bad |= json_put_text(root, "works", verdict_word(remedies->works));
    bad |= json_put_text(root, "too_high", too_high_word(remedies->too_high));
    bad |= json_put_text(root, "cost_unit",
                         remedies->by_prices ? "by prices" : "inch-feet");
    bad |= put_lists(root, remedies);
    bad |= json_put_contradictions(root, remedies->units,
                                   remedies->check->contradictions,
                                   remedies->check->n_contradictions);
    bad |= json_put_findings(root, remedies->check->findings,
                             remedies->check->n_findings, NULL);
    bad |= json_put_texts(root, "assumptions", remedies->check->assumptions,
                          remedies->check->n_assumptions);
    bad |= json_put_overrides(root, remedies->check->overrides,
                              remedies->check->n_overrides);
    bad |= json_put_cautions(root);
    json_print(page, root, bad);
}
