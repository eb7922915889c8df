/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/verify_json.c -- the report of `verify` for programs. */
#include "report/verify_report.h"
#include "report/json_put.h"
#include "report/report.h"
#include "report/words.h"

#include <math.h>

static const char *
condition_word(fc_condition_of_claim condition)
{
    return condition == FC_WHILE_ALONE  ? "alone"
           : condition == FC_WHILE_PEAK ? "peak"
                                        : "flushing";
}

static int
put_pressure(json_t *object, const char *key, fc_unit_system u, double si)
{
    return fci_json_put_figure(object, key, u, FC_PRESSURE, si);
}

static int
put_readings(json_t *object, fc_unit_system u, const fc_checked_claim *c)
{
    int bad = fci_json_put_text(object, "reading", c->reading);

    bad |= put_pressure(object, "read", u, c->read);
    bad |= put_pressure(object, "within", u, c->within);
    bad |= fci_json_put_text(object, "against", c->against);
    bad |= fci_json_put_text(object, "static_reading", c->still_reading);
    bad |= put_pressure(object, "static_read", u, c->still_read);
    return bad | put_pressure(object, "static_within", u, c->still_within);
}

static int
put_carried(json_t *object, fc_unit_system u, const fc_checked_claim *c)
{
    const bool any = c->carried_reading != NULL;
    int bad = fci_json_put_text(object, "carried_reading", c->carried_reading);

    bad |= fci_json_put_text(object, "carried_event", c->carried_event);
    bad |=
        fci_json_put(object, "carried_flows", json_boolean(c->carried_flows));
    bad |= fci_json_put_text(object, "carried_state",
                             any ? fci_state_word(c->carried_state) : NULL);
    bad |= put_pressure(object, "carried_read", u, c->carried_read);
    bad |= put_pressure(object, "carried", u, c->carried);
    bad |= put_pressure(object, "carried_within", u, c->carried_within);
    bad |= put_pressure(object, "carried_low", u, c->carried_low);
    bad |= put_pressure(object, "carried_high", u, c->carried_high);
    bad |= fci_json_put_text(object, "refuted_by", c->refuted_by);
    bad |= fci_json_put_text(object, "unproved", c->unproved);
    bad |= fci_json_put_text(object, "borne_out_by", c->borne_out_by);
    return bad | fci_json_put_text(object, "drawn_down", c->drawn_down);
}

static int
put_cases(json_t *object, fc_unit_system u, const fc_checked_claim *c)
{
    json_t *array = json_array();
    int bad = fci_json_put(object, "condition_said",
                           json_boolean(c->condition_said));

    bad |= fci_json_put(object, "state_said", json_boolean(c->state_said));
    bad |= fci_json_put_text(object, "judged", c->judged);
    bad |= fci_json_put_text(object, "holds", c->holds);
    for (size_t i = 0; i < c->n_cases; i++) {
        const fc_claim_case *k = &c->cases[i];
        json_t *one = json_object();

        bad |= fci_json_put_text(one, "state", fci_state_word(k->state));
        bad |=
            fci_json_put_text(one, "condition", condition_word(k->condition));
        bad |= fci_json_put_text(one, "event", k->event);
        bad |= put_pressure(one, "computed", u, k->computed);
        bad |= fci_json_put_number(one, "probability", k->probability);
        bad |= fci_json_put_text(one, "reading", k->reading);
        bad |= fci_json_put_text(one, "verdict", fci_support_word(k->verdict));
        bad |= fci_json_add(array, one);
    }
    return bad | fci_json_put(object, "cases", array);
}

static int
put_minima(json_t *object, fc_unit_system u, const fc_checked_claim *c)
{
    int bad = fci_json_put_text(object, "kind", c->kind);

    bad |= put_pressure(object, "code_minimum", u, c->code_minimum);
    bad |= fci_json_put_text(object, "code_source", c->code);
    bad |= put_pressure(object, "valve_minimum", u, c->valve_minimum);
    return bad | fci_json_put_text(object, "but_under", c->but_under);
}

static int
add_reading(json_t *array, fc_unit_system u, const fc_listed_reading *r)
{
    json_t *object = json_object();
    int bad = fci_json_put_text(object, "name", r->name);

    bad |= fci_json_put_text(object, "at", r->at);
    bad |= fci_json_put_text(object, "event", r->event);
    bad |= fci_json_put_text(object, "state", fci_state_word(r->state));
    bad |= put_pressure(object, "pressure", u, r->pressure);
    bad |= fci_json_put_figure(object, "flow", u, FC_FLOW, r->flow);
    bad |=
        fci_json_put_figure(object, "flush_time", u, FC_TIME, r->flush_time);
    bad |= put_pressure(object, "within", u, r->within);
    bad |= fci_json_put(object, "within_said", json_boolean(r->within_said));
    bad |= fci_json_put_text(object, "gauge", r->gauge);
    bad |= fci_json_put_text(object, "number", r->number);
    bad |= fci_json_put_text(object, "calibrated", r->calibrated);
    bad |= fci_json_put_text(object, "used_for", r->used_for);
    bad |= fci_json_put_text(object, "disagrees", r->disagrees);
    return bad | fci_json_add(array, object);
}

static int
put_basis(json_t *root, const fc_verify_result *result)
{
    json_t *array = json_array();
    int bad = 0;

    for (size_t i = 0; i < result->n_basis; i++) {
        json_t *one = json_object();

        bad |= fci_json_put_text(one, "what", result->basis[i].what);
        bad |= fci_json_put_text(one, "text", result->basis[i].text);
        bad |= fci_json_add(array, one);
    }
    return bad | fci_json_put(root, "basis", array);
}

static int
add_claim(json_t *array, fc_unit_system u, const fc_checked_claim *c)
{
    const bool told = !c->why_not;
    json_t *object = json_object();
    int bad = fci_json_put_text(object, "name", c->name);

    bad |= fci_json_put_text(object, "fixture", c->fixture);
    bad |= fci_json_put_text(object, "stated_in", c->stated_in);
    bad |= fci_json_put_text(object, "state", fci_state_word(c->state));
    bad |=
        fci_json_put_text(object, "condition", condition_word(c->condition));
    bad |= fci_json_put_text(object, "event", c->event);
    bad |= fci_json_put_text(object, "not_flowing", c->not_flowing);
    bad |= fci_json_put(object, "can_be_read", json_boolean(c->can_be_read));
    bad |=
        fci_json_put_figure(object, "elevation", u, FC_LENGTH, c->elevation);
    bad |= put_pressure(object, "supply", u, c->supply);
    bad |= put_pressure(object, "claimed", u, c->claimed);
    bad |= put_pressure(object, "computed", u, c->computed);
    bad |= put_pressure(object, "static_pressure", u, c->still);
    bad |= put_pressure(object, "low", u, c->low);
    bad |= put_pressure(object, "high", u, c->high);
    bad |= fci_json_put_number(object, "probability", c->probability);
    bad |= fci_json_put_number(object, "probability_low", c->probability_low);
    bad |=
        fci_json_put_number(object, "probability_high", c->probability_high);
    bad |= fci_json_put(object, "drawn", json_integer(c->drawn));
    bad |= fci_json_put_text(object, "doubt", fci_support_doubt(c->doubt));
    bad |= fci_json_put_text(object, "rests_on", c->rests_on);
    bad |= fci_json_put(object, "certain", json_boolean(c->certain));
    bad |= fci_json_put_text(object, "by_model",
                             told ? fci_support_word(c->by_model) : NULL);
    bad |= fci_json_put_text(object, "why_not", c->why_not);
    bad |= fci_json_put_text(object, "verdict", fci_support_word(c->verdict));
    bad |= fci_json_put_text(object, "decided_by", c->decided_by);
    bad |=
        fci_json_put_number(object, "share", c->decided_by ? c->share : NAN);
    bad |= put_cases(object, u, c);
    bad |= put_minima(object, u, c);
    bad |= put_readings(object, u, c);
    bad |= put_carried(object, u, c);
    return bad | fci_json_add(array, object);
}

int
fci_verify_json(json_t *root, const void *what)
{
    const struct fci_verify_view *view = what;
    const fc_verify_result *result = view->result;
    const fc_unit_system u = result->units;
    json_t *claims = json_array();
    json_t *readings = json_array();
    int bad = fci_json_put_text(root, "title", result->title);

    bad |= fci_json_put_text(root, "version", fc_version());
    bad |=
        fci_json_put_text(root, "verdict", fci_support_word(result->verdict));
    bad |= fci_json_put_count(root, "draws", result->draws);
    bad |= fci_json_put_count(root, "seed", result->seed);
    bad |= fci_json_put_count(root, "varied", result->varied);
    for (size_t i = 0; i < result->n_claims; i++)
        bad |= add_claim(claims, u, &result->claims[i]);
    bad |= fci_json_put(root, "claims", claims);
    for (size_t i = 0; i < result->n_readings; i++)
        bad |= add_reading(readings, u, &result->readings[i]);
    bad |= fci_json_put(root, "readings", readings);
    bad |= put_basis(root, result);
    bad |= fci_json_put_findings(root, result->findings, result->n_findings,
                                 NULL);
    bad |= fci_json_put_texts(root, "assumptions", result->assumptions,
                              result->n_assumptions);
    bad |=
        fci_json_put_overrides(root, result->overrides, result->n_overrides);
    bad |= fci_json_put_cautions(root);
    return bad;
}
