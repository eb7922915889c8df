/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/diagnose_json.c -- the report of `diagnose` for programs. */
#include "report/diagnose_report.h"
#include "page/json.h"
#include "page/words.h"

#include <math.h>

static const char *
outcome_word(enum outcome outcome)
{
    switch (outcome) {
    case OUTCOME_AS_DESCRIBED:
        return "as described";
    case OUTCOME_TOO_LITTLE:
        return "too little";
    case OUTCOME_STILL:
        return "not tried flowing";
    case OUTCOME_FOUND:
        return "found";
    case OUTCOME_SEVERAL:
        return "several left";
    case OUTCOME_UNEXPLAINED:
        return "not explained";
    case OUTCOME_CONTRADICTORY:
        break;
    }
    return "contradictory";
}

/* NULL, JSON's null, for what has no unit. */
static const char *
dimension_word(fc_dimension dimension)
{
    return dimension == FC_PRESSURE ? "pressure"
           : dimension == FC_FLOW   ? "flow"
           : dimension == FC_SIZE   ? "size"
           : dimension == FC_LENGTH ? "length"
                                    : NULL;
}

/* ---- Readings ---------------------------------------------------------- */

static int
add_reading(json_t *array, fc_unit_system u, const fc_explained_reading *r)
{
    const fc_dimension what = r->dimension;
    json_t *object = json_object();
    int bad = json_put_text(object, "name", r->name);

    bad |= json_put_text(object, "at", r->at);
    bad |= json_put_text(object, "flushing", r->flushing);
    bad |= json_put_figure(object, dimension_word(what), u, what, r->read);
    bad |= json_put_figure(object, "within", u, what, r->within);
    bad |= json_put_figure(object, "expected", u, what, r->expected);
    bad |= json_put_figure(object, "difference", u, what, r->difference);
    bad |= json_put_flag(object, "as_described", r->as_described);
    return bad | json_add(array, object);
}

/* ---- Causes ------------------------------------------------------------ */

static int
put_fault(json_t *object, fc_unit_system u, const fc_fault *f)
{
    int bad = json_put_text(object, "kind", fc_fault_word(f->kind));

    bad |= json_put_text(object, "element", f->element);
    bad |= json_put_text(object, "last", f->last);
    bad |= json_put_text(object, "dimension", dimension_word(f->dimension));
    bad |= json_put_figure(object, "value", u, f->dimension, f->value);
    bad |= json_put_figure(object, "low", u, f->dimension, f->low);
    bad |= json_put_figure(object, "high", u, f->dimension, f->high);
    bad |= json_put_flag(object, "all_but_shut", f->at_limit);
    return bad | json_put_figure(object, "flow", u, FC_FLOW, f->flow);
}

static int
put_second(json_t *object, fc_unit_system u, const fc_cause *c)
{
    json_t *second;
    int bad;

    if (c->n_faults < 2)
        return json_put(object, "second", json_null());
    second = json_object();
    bad = put_fault(second, u, &c->faults[1]);
    return bad | json_put(object, "second", second);
}

static int
add_cause(json_t *array, const fc_diagnosis *d, const fc_cause *c)
{
    json_t *object = json_object();
    int bad = json_put_text(object, "group", d->groups[c->group].text);

    bad |= put_fault(object, d->units, &c->faults[0]);
    bad |= put_second(object, d->units, c);
    bad |= json_put_number(object, "misfit", c->misfit);
    bad |= json_put_number(object, "weight", c->weight);
    bad |= json_put_flag(object, "explains", c->explains);
    bad |= json_put_flag(object, "found", c->found);
    bad |= json_put_text(object, "text", c->text);
    return bad | json_add(array, object);
}

static int
add_group(json_t *array, const fc_cause_group *g)
{
    json_t *object = json_object();
    int bad = json_put_text(object, "group", g->text);

    bad |= json_put_number(object, "weight", g->weight);
    bad |= json_put_flag(object, "single", g->single);
    return bad | json_add(array, object);
}

/* ---- The next reading -------------------------------------------------- */

static int
add_answer(json_t *array, fc_unit_system u, const fc_next_reading *next,
           const fc_answer_meant *a)
{
    const fc_range range = { true, a->value, a->low, a->high };
    const bool flow = next->dimension == FC_FLOW;
    json_t *object = json_object();
    int bad = json_put_text(object, "group", a->text);

    bad |= json_put_range(object, flow ? "flow" : "pressure", u,
                          next->dimension, range);
    bad |= json_put_number(object, "weight", a->weight);
    return bad | json_add(array, object);
}

static int
put_next(json_t *root, fc_unit_system u, const fc_next_reading *next)
{
    json_t *object, *answers;
    int bad;

    if (!next->at)
        return json_put(root, "next_reading", json_null());
    object = json_object();
    answers = json_array();
    bad = json_put_text(object, "at", next->at);
    bad |= json_put_text(object, "flushing", next->flushing);
    bad |= json_put_text(object, "dimension", dimension_word(next->dimension));
    bad |= json_put_text(object, "again", next->again);
    bad |= json_put_text(object, "text", next->text);
    bad |= json_put_number(object, "apart",
                           next->n_answers > 0 ? next->apart : NAN);
    for (size_t i = 0; i < next->n_answers; i++)
        bad |= add_answer(answers, u, next, &next->answers[i]);
    bad |= json_put(object, "expected", answers);
    return bad | json_put(root, "next_reading", object);
}

/* ---- The whole --------------------------------------------------------- */

void
diagnose_json(struct page *page, const fc_diagnosis *d)
{
    json_t *root = json_object(), *readings = json_array();
    json_t *groups = json_array(), *causes = json_array();
    int bad = json_put_text(root, "title", d->title);

    bad |= json_put_text(root, "version", fc_version());
    bad |= json_put_units(root, d->units);
    bad |= json_put_text(root, "state", state_word(d->state));
    bad |= json_put_text(root, "outcome", outcome_word(outcome_of(d)));
    bad |= json_put_flag(root, "contradictory", d->contradictory);
    bad |= json_put_flag(root, "too_little", d->too_little);
    bad |= json_put_text(root, "found", d->found);
    bad |= json_put_text(root, "text", d->text);
    for (size_t i = 0; i < d->n_readings; i++)
        bad |= add_reading(readings, d->units, &d->readings[i]);
    bad |= json_put(root, "readings", readings);
    for (size_t i = 0; i < d->n_groups; i++)
        bad |= add_group(groups, &d->groups[i]);
    bad |= json_put(root, "groups", groups);
    for (size_t i = 0; i < d->n_causes; i++)
        bad |= add_cause(causes, d, &d->causes[i]);
    bad |= json_put(root, "causes", causes);
    bad |= put_next(root, d->units, &d->next);
    bad |= json_put_texts(root, "by_hand", d->by_hand, d->n_by_hand);
    bad |=
        json_put_texts(root, "assumptions", d->assumptions, d->n_assumptions);
    bad |= json_put_findings(root, d->findings, d->n_findings, NULL);
    bad |= json_put_overrides(root, d->overrides, d->n_overrides);
    bad |= json_put_cautions(root);
    json_print(page, root, bad);
}
