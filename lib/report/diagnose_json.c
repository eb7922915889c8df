/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/diagnose_json.c -- the report of `diagnose` for programs. */
#include "report/diagnose_report.h"
#include "report/json_put.h"
#include "report/report.h"
#include "report/words.h"

#include <math.h>

static const char *const verdict_words[] = {
    [FC_NOTHING_READ] = "nothing read",
    [FC_CHECKS_OUT] = "checks out",
    [FC_CHECKS_OUT_SHORT] = "checks out, falls short",
    [FC_STATIC_ONLY] = "not tried flowing",
    [FC_ONE_FAULT] = "found",
    [FC_TWO_FAULTS] = "two faults",
    [FC_NARROWED_DOWN] = "narrowed down",
    [FC_NOT_EXPLAINED] = "cannot tell",
    [FC_READINGS_DISAGREE] = "readings disagree",
};

static const char *const task_words[] = {
    [FC_TASK_NONE] = NULL,
    [FC_TASK_PRESSURE] = "pressure",
    [FC_TASK_FLUSH_TIME] = "flush time",
    [FC_TASK_STOP] = "stop",
    [FC_TASK_STRAINER] = "strainer",
    [FC_TASK_DIAL] = "dial",
    [FC_TASK_PUMP] = "pump",
    [FC_TASK_TAPE] = "tape",
};

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
    int bad = fci_json_put_text(object, "name", r->name);

    bad |= fci_json_put_text(object, "at", r->at);
    bad |= fci_json_put_text(object, "open", r->flushing);
    bad |= fci_json_put_figure(object, dimension_word(what), u, what, r->read);
    bad |= fci_json_put_figure(object, "within", u, what, r->within);
    bad |= fci_json_put_figure(object, "expected", u, what, r->expected);
    bad |= fci_json_put_figure(object, "difference", u, what, r->difference);
    bad |= fci_json_put_flag(object, "as_described", r->as_described);
    return bad | fci_json_add(array, object);
}

static int
put_looks(json_t *root, const fc_diagnosis *d)
{
    json_t *array = json_array();
    int bad = 0;

    for (size_t i = 0; i < d->n_looks; i++) {
        const fc_look *l = &d->looks[i];
        const char *sight = fci_sight_word(l->shows);
        json_t *object = json_object();

        bad |= fci_json_put_text(object, "name", l->name);
        bad |= fci_json_put_text(object, "at", l->at);
        bad |= fci_json_put_text(object, "shows", *sight ? sight : NULL);
        bad |=
            fci_json_put_range(object, "rise", d->units, FC_LENGTH, l->rise);
        bad |= fci_json_put_range(object, "length", d->units, FC_LENGTH,
                                  l->length);
        bad |= fci_json_put_range(object, "size", d->units, FC_SIZE, l->size);
        bad |= fci_json_add(array, object);
    }
    return bad | fci_json_put(root, "looks", array);
}

/* ---- Causes ------------------------------------------------------------ */

static int
put_fault(json_t *object, fc_unit_system u, const fc_fault *f)
{
    int bad = fci_json_put_text(object, "kind", fc_fault_word(f->kind));

    bad |= fci_json_put_text(object, "element", f->element);
    bad |= fci_json_put_text(object, "last", f->last);
    bad |=
        fci_json_put_text(object, "dimension", dimension_word(f->dimension));
    bad |= fci_json_put_figure(object, "value", u, f->dimension, f->value);
    bad |= fci_json_put_figure(object, "low", u, f->dimension, f->low);
    bad |= fci_json_put_figure(object, "high", u, f->dimension, f->high);
    bad |= fci_json_put_flag(object, "nearly_closed", f->at_limit);
    return bad | fci_json_put_figure(object, "flow", u, FC_FLOW, f->flow);
}

/* None: nothing is wrong. */
static int
put_faults(json_t *object, fc_unit_system u, const fc_cause *c)
{
    json_t *faults = json_array();
    int bad = 0;

    for (size_t i = 0; i < c->n_faults; i++) {
        json_t *fault = json_object();

        bad |= put_fault(fault, u, &c->faults[i]);
        bad |= fci_json_add(faults, fault);
    }
    return bad | fci_json_put(object, "faults", faults);
}

static int
add_cause(json_t *array, const fc_diagnosis *d, const fc_cause *c)
{
    json_t *object = json_object();
    int bad = fci_json_put_text(object, "group", d->groups[c->group].text);

    bad |= put_faults(object, d->units, c);
    bad |= fci_json_put_number(object, "misfit", c->misfit);
    bad |= fci_json_put_number(object, "weight", c->weight);
    bad |= fci_json_put_flag(object, "explains", c->explains);
    bad |= fci_json_put_flag(object, "found", c->found);
    bad |= fci_json_put_text(object, "text", c->text);
    return bad | fci_json_add(array, object);
}

static int
add_group(json_t *array, const fc_cause_group *g)
{
    json_t *object = json_object();
    int bad = fci_json_put_text(object, "group", g->text);

    bad |= fci_json_put_number(object, "weight", g->weight);
    bad |= fci_json_put_flag(object, "single", g->single);
    return bad | fci_json_add(array, object);
}

/* ---- What to do next --------------------------------------------------- */

static int
add_answer(json_t *array, fc_unit_system u, const fc_next_reading *next,
           const fc_answer_meant *a)
{
    const fc_range range = { !isnan(a->value), a->value, a->low, a->high };
    const char *word = dimension_word(next->dimension);
    const char *sight = fci_sight_word(a->shows);
    json_t *object = json_object();
    int bad = fci_json_put_text(object, "group", a->text);

    bad |= fci_json_put_text(object, "shows", *sight ? sight : NULL);
    if (word)
        bad |= fci_json_put_range(object, word, u, next->dimension, range);
    bad |= fci_json_put_number(object, "weight", a->weight);
    return bad | fci_json_add(array, object);
}

static int
put_open(json_t *object, const fc_next_reading *next)
{
    json_t *open = json_array();
    int bad = 0;

    for (size_t i = 0; i < next->n_flush; i++) {
        json_t *one = json_object();

        bad |= fci_json_put_text(one, "fixture", next->flush[i].fixture);
        bad |= fci_json_put_count(one, "count", (size_t)next->flush[i].count);
        bad |= fci_json_add(open, one);
    }
    return bad | fci_json_put(object, "open", open);
}

static int
put_next(json_t *root, fc_unit_system u, const fc_next_reading *next)
{
    json_t *object, *answers;
    int bad;

    if (!next->at)
        return fci_json_put(root, "next", json_null());
    object = json_object();
    answers = json_array();
    bad = fci_json_put_text(object, "kind", task_words[next->kind]);
    bad |= fci_json_put_text(object, "at", next->at);
    bad |= put_open(object, next);
    bad |= fci_json_put_text(object, "dimension",
                             dimension_word(next->dimension));
    bad |= fci_json_put_flag(object, "other_gauge", next->other_gauge);
    bad |= fci_json_put_text(object, "again", next->again);
    bad |= fci_json_put_text(object, "task", next->task);
    bad |= fci_json_put_text(object, "text", next->text);
    bad |= fci_json_put_number(object, "apart",
                               next->n_answers > 0 ? next->apart : NAN);
    for (size_t i = 0; i < next->n_answers; i++)
        bad |= add_answer(answers, u, next, &next->answers[i]);
    bad |= fci_json_put(object, "answers", answers);
    return bad | fci_json_put(root, "next", object);
}

/* ---- Learned, and to be done ------------------------------------------- */

static int
put_learned(json_t *root, const fc_diagnosis *d)
{
    json_t *array = json_array();
    int bad = 0;

    for (size_t i = 0; i < d->n_learned; i++) {
        const fc_learned *l = &d->learned[i];
        const fc_range value = { true, l->value, l->low, l->high };
        json_t *object = json_object();

        bad |= fci_json_put_text(object, "name", l->name);
        bad |= fci_json_put_text(object, "what", l->what);
        bad |= fci_json_put_text(object, "dimension",
                                 dimension_word(l->dimension));
        bad |=
            fci_json_put_range(object, "value", d->units, l->dimension, value);
        bad |= fci_json_put_range(object, "entered", d->units, l->dimension,
                                  l->given);
        bad |= fci_json_add(array, object);
    }
    return bad | fci_json_put(root, "learned", array);
}

static int
put_work(json_t *root, const fc_diagnosis *d)
{
    json_t *array = json_array();
    int bad = 0;

    for (size_t i = 0; i < d->n_work; i++) {
        const fc_work *w = &d->work[i];
        json_t *object = json_object();

        bad |= fci_json_put_text(object, "where", w->where);
        bad |= fci_json_put_text(object, "from", w->from);
        bad |= fci_json_put_text(object, "to", w->to);
        bad |= fci_json_put_texts(object, "steps", w->steps, w->n_steps);
        bad |= fci_json_put_text(object, "isolate",
                                 *w->isolate ? w->isolate : NULL);
        bad |= fci_json_put_text(object, "after", *w->after ? w->after : NULL);
        bad |= fci_json_put_text(object, "loss", *w->loss ? w->loss : NULL);
        bad |= fci_json_add(array, object);
    }
    return bad | fci_json_put(root, "work", array);
}

/* ---- The whole --------------------------------------------------------- */

int
fci_diagnosis_json(json_t *root, const void *what)
{
    const struct fci_diagnosis_view *view = what;
    const fc_diagnosis *d = view->d;
    json_t *readings = json_array();
    json_t *groups = json_array(), *causes = json_array();
    int bad = fci_json_put_text(root, "title", d->title);

    bad |= fci_json_put_text(root, "version", fc_version());
    bad |= fci_json_put_text(root, "state", fci_state_word(d->state));
    bad |= fci_json_put_text(root, "verdict", verdict_words[d->verdict]);
    bad |= fci_json_put_flag(root, "contradictory", d->contradictory);
    bad |= fci_json_put_flag(root, "too_little", d->too_little);
    bad |= fci_json_put_text(root, "found", d->found);
    bad |= fci_json_put_text(root, "text", d->text);
    for (size_t i = 0; i < d->n_readings; i++)
        bad |= add_reading(readings, d->units, &d->readings[i]);
    bad |= fci_json_put(root, "readings", readings);
    bad |= put_looks(root, d);
    for (size_t i = 0; i < d->n_groups; i++)
        bad |= add_group(groups, &d->groups[i]);
    bad |= fci_json_put(root, "groups", groups);
    for (size_t i = 0; i < d->n_causes; i++)
        bad |= add_cause(causes, d, &d->causes[i]);
    bad |= fci_json_put(root, "causes", causes);
    bad |= put_learned(root, d);
    bad |= fci_json_put_text(root, "likeliest", d->likeliest);
    bad |= fci_json_put_texts(root, "others", d->others, d->n_others);
    bad |= fci_json_put_count(root, "less_likely", d->less_likely);
    bad |= put_work(root, d);
    bad |= fci_json_put_texts(root, "looks_first", d->looks_first,
                              d->n_looks_first);
    bad |= put_next(root, d->units, &d->next);
    bad |= fci_json_put_texts(root, "first_visit", d->first_visit,
                              d->n_first_visit);
    bad |= fci_json_put_texts(root, "by_hand", d->by_hand, d->n_by_hand);
    bad |= fci_json_put_texts(root, "assumptions", d->assumptions,
                              d->n_assumptions);
    bad |= fci_json_put_findings(root, d->findings, d->n_findings, NULL);
    bad |= fci_json_put_overrides(root, d->overrides, d->n_overrides);
    bad |= fci_json_put_cautions(root);
    return bad;
}
