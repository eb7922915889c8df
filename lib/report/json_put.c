/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/json_put.c -- reports for programs: figures, texts, findings.
 */
#include "report/json_put.h"
#include "page/forms.h"
#include "report/words.h"

#include <math.h>
#include <string.h>

int
fci_json_put(json_t *object, const char *key, json_t *value)
{
    return json_object_set_new(object, key, value);
}

int
fci_json_add(json_t *array, json_t *value)
{
    return json_array_append_new(array, value);
}

int
fci_json_put_text(json_t *object, const char *key, const char *text)
{
    return fci_json_put(object, key, fci_json_text(text));
}

int
fci_json_put_count(json_t *object, const char *key, size_t n)
{
    return fci_json_put(object, key, json_integer((json_int_t)n));
}

int
fci_json_put_flag(json_t *object, const char *key, bool flag)
{
    return fci_json_put(object, key, json_boolean(flag));
}

int
fci_json_put_number(json_t *object, const char *key, double number)
{
    if (!isfinite(number))
        return fci_json_put(object, key, json_null());
    return fci_json_put(object, key, json_real(number + 0.0)); /* no -0.0 */
}

int
fci_json_put_figure(json_t *object, const char *key, fc_unit_system units,
                    fc_dimension dimension, double si)
{
    return fci_json_put_number(object, key, fc_from_si(units, dimension, si));
}

static int
put_end(json_t *object, const char *key, const char *which,
        fc_unit_system units, fc_dimension dimension, double si)
{
    char name[64];

    snprintf(name, sizeof name, "%s_%s", key, which);
    return fci_json_put_figure(object, name, units, dimension, si);
}

/* Ends that differ by less than the digits of a report show are one. */
#define SAME 1e-9

int
fci_json_put_range(json_t *object, const char *key, fc_unit_system units,
                   fc_dimension dimension, fc_range range)
{
    int bad;

    if (!range.given)
        return fci_json_put(object, key, json_null());
    bad = fci_json_put_figure(object, key, units, dimension, range.nominal);
    if (range.high - range.low
        > SAME * fmax(fabs(range.low), fabs(range.high))) {
        bad |= put_end(object, key, "low", units, dimension, range.low);
        bad |= put_end(object, key, "high", units, dimension, range.high);
    }
    return bad;
}

int
fci_json_put_units(json_t *object, fc_unit_system units)
{
    static const struct {
        const char *key;
        fc_dimension dimension;
    } dimensions[] = {
        { "pressure", FC_PRESSURE }, { "flow", FC_FLOW },
        { "length", FC_LENGTH },     { "size", FC_SIZE },
        { "velocity", FC_VELOCITY }, { "volume", FC_VOLUME },
    };
    json_t *names = json_object();
    int bad = 0;

    for (size_t i = 0; i < sizeof dimensions / sizeof *dimensions; i++)
        bad |= fci_json_put_text(names, dimensions[i].key,
                                 fc_unit_name(units, dimensions[i].dimension));
    return bad | fci_json_put(object, "units", names);
}

static int
add_finding(json_t *array, const fc_finding *f)
{
    json_t *object = json_object();
    int bad =
        fci_json_put_text(object, "severity", fci_severity_word(f->severity));

    bad |= fci_json_put_text(object, "subject", f->subject);
    bad |= fci_json_put_text(object, "state", fci_finding_state_word(f));
    bad |= fci_json_put_text(object, "about", f->about);
    bad |= fci_json_put_text(object, "text", f->text);
    return bad | fci_json_add(array, object);
}

int
fci_json_put_findings(json_t *object, const fc_finding *findings, size_t n,
                      const char *subject)
{
    json_t *array = json_array();
    int bad = 0;

    for (size_t i = 0; i < n; i++)
        if (!subject || strcmp(findings[i].subject, subject) == 0)
            bad |= add_finding(array, &findings[i]);
    return bad | fci_json_put(object, "findings", array);
}

static int
add_contradiction(json_t *array, fc_unit_system u, const fc_contradiction *c)
{
    json_t *object = json_object();
    int bad = fci_json_put_text(object, "reading", c->reading);

    bad |= fci_json_put_text(object, "at", c->at);
    bad |= fci_json_put_text(object, "state", fci_state_word(c->state));
    bad |= fci_json_put_text(object, "flushing", c->flushing);
    bad |= fci_json_put_figure(object, "read", u, c->dimension, c->read);
    bad |= fci_json_put_figure(object, "within", u, c->dimension, c->within);
    bad |= fci_json_put_figure(object, "low", u, c->dimension, c->low);
    bad |= fci_json_put_figure(object, "high", u, c->dimension, c->high);
    bad |= fci_json_put_text(object, "against", c->against);
    bad |= fci_json_put_text(object, "against_at", c->against_at);
    bad |= fci_json_put_figure(object, "against_read", u, c->dimension,
                               c->against_read);
    bad |= fci_json_put_text(object, "beside", c->beside);
    bad |= fci_json_put_figure(object, "apart", u, c->dimension, c->apart);
    bad |= fci_json_put_text(object, "text", c->text);
    return bad | fci_json_add(array, object);
}

int
fci_json_put_contradictions(json_t *object, fc_unit_system units,
                            const fc_contradiction *list, size_t n)
{
    json_t *array = json_array();
    int bad = 0;

    for (size_t i = 0; i < n; i++)
        bad |= add_contradiction(array, units, &list[i]);
    return bad | fci_json_put(object, "contradictions", array);
}

int
fci_json_put_texts(json_t *object, const char *key, const char *const *texts,
                   size_t n)
{
    json_t *array = json_array();
    int bad = 0;

    for (size_t i = 0; i < n; i++)
        bad |= fci_json_add(array, fci_json_text(texts[i]));
    return bad | fci_json_put(object, key, array);
}

int
fci_json_put_overrides(json_t *object, const fc_override *overrides, size_t n)
{
    json_t *array = json_array();
    int bad = 0;

    for (size_t i = 0; i < n; i++) {
        json_t *override = json_object();

        bad |= fci_json_put_text(override, "what", overrides[i].what);
        bad |= fci_json_put_text(override, "set", overrides[i].set);
        bad |= fci_json_put_text(override, "code", overrides[i].code);
        bad |= fci_json_add(array, override);
    }
    return bad | fci_json_put(object, "overrides", array);
}

int
fci_json_put_proviso(json_t *object, fc_unit_system units,
                     const fc_proviso *proviso)
{
    json_t *o;
    int bad;

    if (!proviso->given)
        return fci_json_put(object, "works_if", json_null());
    o = json_object();
    bad = fci_json_put_text(o, "input", proviso->input);
    bad |= fci_json_put_text(o, "of", proviso->of);
    bad |= fci_json_put_figure(o, proviso->at_most ? "at_most" : "at_least",
                               units, proviso->dimension, proviso->limit);
    bad |= fci_json_put_figure(o, "at_flow", units, FC_FLOW, proviso->flow);
    bad |= fci_json_put_text(o, "text", proviso->text);
    bad |= fci_json_put_text(o, "measure", proviso->measure);
    return bad | fci_json_put(object, "works_if", o);
}

int
fci_json_put_cautions(json_t *object)
{
    const char *const *cautions = fc_cautions();
    size_t n = 0;

    while (cautions[n])
        n++;
    return fci_json_put_texts(object, "cautions", cautions, n);
}

int
fci_json_put_excess(json_t *object, fc_unit_system units, fc_verdict too_high,
                    const fc_excess *excess)
{
    int bad =
        fci_json_put_text(object, "too_high", fci_too_high_word(too_high));
    json_t *what;

    if (!excess)
        return bad | fci_json_put(object, "excess", json_null());
    what = json_object();
    bad |=
        fci_json_put_text(what, "of", excess->flowing ? "flowing" : "static");
    bad |= fci_json_put_range(what, "pressure", units, FC_PRESSURE,
                              excess->pressure);
    bad |= fci_json_put_figure(what, "maximum", units, FC_PRESSURE,
                               excess->maximum);
    bad |= fci_json_put_text(what, "maximum_of",
                             excess->of_valve ? "valve" : "site");
    bad |= fci_json_put_text(what, "reducer", excess->reducer);
    return bad | fci_json_put(object, "excess", what);
}

int
fci_json_put_end(json_t *object, fc_unit_system units,
                 const fc_fixture_state *end)
{
    int bad = fci_json_put_text(object, "valve", end->valve);

    bad |= fci_json_put_flag(object, "valve_assumed", end->valve_assumed);
    bad |= fci_json_put_range(object, "required_pressure", units, FC_PRESSURE,
                              end->required);
    bad |= fci_json_put_text(object, "governed_by",
                             fci_governor_word(end->governed_by));
    bad |= fci_json_put_figure(object, "code_minimum", units, FC_PRESSURE,
                               end->code_minimum);
    bad |= fci_json_put_text(object, "code_source", end->code_source);
    bad |= fci_json_put_figure(object, "reserve", units, FC_PRESSURE,
                               end->reserve);
    bad |= fci_json_put_range(object, "valve_minimum", units, FC_PRESSURE,
                              end->valve_minimum);
    bad |= fci_json_put_range(object, "flowing_pressure", units, FC_PRESSURE,
                              end->flowing);
    bad |=
        fci_json_put_range(object, "margin", units, FC_PRESSURE, end->margin);
    bad |= fci_json_put_text(object, "pressure_works",
                             fci_verdict_word(end->pressure));
    bad |= fci_json_put_text(object, "works", fci_verdict_word(end->works));
    bad |= fci_json_put_text(object, "decided_by", end->decided_by);
    bad |= fci_json_put_excess(object, units, end->too_high, end->excess);
    return bad
           | fci_json_put_range(object, "spare_pressure", units, FC_PRESSURE,
                                end->spare);
}
