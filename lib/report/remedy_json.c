/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/remedy_json.c -- the report of `size --remedy` for programs. */
#include "report/json_put.h"
#include "report/report.h"
#include "report/remedy_report.h"
#include "report/words.h"

#include <math.h>

/* INFINITY, as NAN, becomes null: there is no such number in JSON. */
static int
put_limit(json_t *object, const char *key, fc_unit_system u, double si)
{
    return fci_json_put_figure(object, key, u, FC_PRESSURE,
                               isinf(si) ? NAN : si);
}

static int
add_pipe(json_t *array, fc_unit_system u, const fc_sized_pipe *p)
{
    json_t *object = json_object();
    int bad = fci_json_put_text(object, "name", p->name);

    bad |= fci_json_put_text(object, "material", p->material);
    bad |= fci_json_put_text(object, "size", p->size);
    bad |= fci_json_put_text(object, "previous_size", p->previous_size);
    bad |=
        fci_json_put_text(object, "previous_material", p->previous_material);
    bad |= fci_json_put_figure(object, "length", u, FC_LENGTH, p->length);
    bad |= fci_json_put_figure(object, "peak_flow", u, FC_FLOW, p->peak_flow);
    bad |=
        fci_json_put_figure(object, "velocity", u, FC_VELOCITY, p->velocity);
    bad |= fci_json_put_figure(object, "friction_loss", u, FC_PRESSURE,
                               p->friction_loss);
    bad |= fci_json_put_number(object, "cost", p->cost);
    return bad | fci_json_add(array, object);
}

static int
put_value(json_t *object, const char *key, fc_unit_system u,
          const fc_remedy *r, double value)
{
    return r->dimension == FC_NUMBER
               ? fci_json_put_number(object, key, value)
               : fci_json_put_figure(object, key, u, r->dimension, value);
}

static int
add_remedy(json_t *array, fc_unit_system u, const fc_remedy *r)
{
    json_t *object = json_object();
    json_t *pipes = json_array();
    int bad = fci_json_put_text(object, "kind", fc_lever_word(r->lever));

    bad |= fci_json_put_flag(object, "works", r->works);
    bad |= fci_json_put_text(object, "too_high",
                             r->works ? fci_too_high_word(r->too_high) : NULL);
    bad |= fci_json_put_text(object, "subject", r->subject);
    bad |= fci_json_put_text(object, "text", r->text);
    bad |= put_value(object, "value", u, r, r->value);
    bad |= put_value(object, "value_now", u, r, r->now);
    bad |= fci_json_put_text(object, "fixture", r->fixture);
    bad |= fci_json_put_number(object, "cost", r->cost);
    for (size_t i = 0; i < r->n_pipes; i++)
        bad |= add_pipe(pipes, u, &r->pipes[i]);
    bad |= fci_json_put(object, "pipes", pipes);
    return bad | fci_json_add(array, object);
}

static int
add_floor(json_t *array, fc_unit_system u, const fc_floor_minimum *f)
{
    json_t *object = json_object();
    int bad =
        fci_json_put_figure(object, "elevation", u, FC_LENGTH, f->elevation);

    bad |= fci_json_put_text(object, "fixture", f->fixture);
    bad |= fci_json_put_figure(object, "minimum_at_most", u, FC_PRESSURE,
                               f->most);
    bad |= fci_json_put_figure(object, "valve_minimum", u, FC_PRESSURE,
                               f->needed);
    bad |=
        fci_json_put_figure(object, "code_minimum", u, FC_PRESSURE, f->code);
    return bad | fci_json_add(array, object);
}

static int
put_zone(json_t *object, fc_unit_system u, const fc_reducer_zone *z)
{
    int bad = fci_json_put_flag(object, "possible", z->possible);

    bad |= fci_json_put_figure(object, "lowest", u, FC_LENGTH, z->lowest);
    bad |= fci_json_put_figure(object, "highest", u, FC_LENGTH, z->highest);
    bad |= put_limit(object, "low", u, z->low);
    bad |= put_limit(object, "high", u, z->high);
    bad |= fci_json_put_text(object, "short_first", z->short_first);
    return bad | fci_json_put_text(object, "high_first", z->high_first);
}

static int
add_window(json_t *array, fc_unit_system u, const fc_reducer_window *w)
{
    json_t *object = json_object();
    json_t *zones = json_array();
    int bad = fci_json_put_text(object, "reducer", w->reducer);

    bad |= fci_json_put_text(object, "behind", w->behind);
    bad |= fci_json_put_range(object, "set", u, FC_PRESSURE, w->set);
    bad |= put_limit(object, "reaches", u, w->reaches);
    bad |= put_zone(object, u, &w->all);
    for (size_t i = 0; i < w->n_zones; i++) {
        json_t *zone = json_object();

        bad |= put_zone(zone, u, &w->zones[i]);
        bad |= fci_json_add(zones, zone);
    }
    bad |= fci_json_put(object, "zones", zones);
    return bad | fci_json_add(array, object);
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
    bad |= fci_json_put(root, "remedies", list);
    bad |= fci_json_put(root, "floors", floors);
    return bad | fci_json_put(root, "reducer_windows", windows);
}

int
fci_remedies_json(json_t *root, const void *what)
{
    const struct fci_remedies_view *view = what;
    const fc_remedies *remedies = view->remedies;
    int bad = fci_json_put_text(root, "title", remedies->title);

    bad |= fci_json_put_text(root, "version", fc_version());
    bad |= fci_json_put_text(root, "state", fci_state_word(remedies->state));
    bad |= fci_json_put_text(root, "works", fci_verdict_word(remedies->works));
    bad |= fci_json_put_text(root, "too_high",
                             fci_too_high_word(remedies->too_high));
    bad |= fci_json_put_text(root, "cost_unit",
                             remedies->by_prices ? "by prices" : "inch-feet");
    bad |= put_lists(root, remedies);
    bad |= fci_json_put_contradictions(root, remedies->units,
                                       remedies->check->contradictions,
                                       remedies->check->n_contradictions);
    bad |= fci_json_put_findings(root, remedies->check->findings,
                                 remedies->check->n_findings, NULL);
    bad |=
        fci_json_put_texts(root, "assumptions", remedies->check->assumptions,
                           remedies->check->n_assumptions);
    bad |= fci_json_put_overrides(root, remedies->check->overrides,
                                  remedies->check->n_overrides);
    bad |= fci_json_put_cautions(root);
    return bad;
}
