/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/page/json.c -- reports for programs: figures, texts, findings. */
#include "page/json.h"
#include "page/words.h"

#include <math.h>
#include <string.h>

#define DIGITS 10 /* significant; inputs are known to four at best */

int
json_put(json_t *object, const char *key, json_t *value)
{
    return json_object_set_new(object, key, value);
}

int
json_add(json_t *array, json_t *value)
{
    return json_array_append_new(array, value);
}

/* A path may hold any bytes; what is not UTF-8 becomes question marks. */
static json_t *
as_text(const char *s)
{
    char *clean = strdup(s);
    json_t *text;

    if (!clean)
        return NULL;
    for (size_t i = 0; clean[i];) {
        struct text_char c = text_next(clean + i);

        if (c.bytes == 1 && (unsigned char)clean[i] >= 0x80)
            clean[i] = '?';
        i += c.bytes;
    }
    text = json_string(clean);
    free(clean);
    return text;
}

int
json_put_text(json_t *object, const char *key, const char *text)
{
    return json_put(object, key, text ? as_text(text) : json_null());
}

int
json_put_count(json_t *object, const char *key, size_t n)
{
    return json_put(object, key, json_integer((json_int_t)n));
}

int
json_put_flag(json_t *object, const char *key, bool flag)
{
    return json_put(object, key, json_boolean(flag));
}

int
json_put_number(json_t *object, const char *key, double number)
{
    if (!isfinite(number))
        return json_put(object, key, json_null());
    return json_put(object, key, json_real(number + 0.0)); /* no -0.0 */
}

int
json_put_figure(json_t *object, const char *key, fc_unit_system units,
                fc_dimension dimension, double si)
{
    return json_put_number(object, key, fc_from_si(units, dimension, si));
}

static int
put_end(json_t *object, const char *key, const char *which,
        fc_unit_system units, fc_dimension dimension, double si)
{
    char name[64];

    snprintf(name, sizeof name, "%s_%s", key, which);
    return json_put_figure(object, name, units, dimension, si);
}

/* Ends that differ by less than the digits of a report show are one. */
#define SAME 1e-9

int
json_put_range(json_t *object, const char *key, fc_unit_system units,
               fc_dimension dimension, fc_range range)
{
    int bad;

    if (!range.given)
        return json_put(object, key, json_null());
    bad = json_put_figure(object, key, units, dimension, range.nominal);
    if (range.high - range.low
        > SAME * fmax(fabs(range.low), fabs(range.high))) {
        bad |= put_end(object, key, "low", units, dimension, range.low);
        bad |= put_end(object, key, "high", units, dimension, range.high);
    }
    return bad;
}

int
json_put_units(json_t *object, fc_unit_system units)
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
        bad |= json_put_text(names, dimensions[i].key,
                             fc_unit_name(units, dimensions[i].dimension));
    return bad | json_put(object, "units", names);
}

static int
add_finding(json_t *array, const fc_finding *f)
{
    json_t *object = json_object();
    int bad = json_put_text(object, "severity", severity_word(f->severity));

    bad |= json_put_text(object, "subject", f->subject);
    bad |= json_put_text(object, "state", finding_state_word(f));
    bad |= json_put_text(object, "about", f->about);
    bad |= json_put_text(object, "text", f->text);
    return bad | json_add(array, object);
}

int
json_put_findings(json_t *object, const fc_finding *findings, size_t n,
                  const char *subject)
{
    json_t *array = json_array();
    int bad = 0;

    for (size_t i = 0; i < n; i++)
        if (!subject || strcmp(findings[i].subject, subject) == 0)
            bad |= add_finding(array, &findings[i]);
    return bad | json_put(object, "findings", array);
}

static int
add_contradiction(json_t *array, fc_unit_system u, const fc_contradiction *c)
{
    json_t *object = json_object();
    int bad = json_put_text(object, "reading", c->reading);

    bad |= json_put_text(object, "at", c->at);
    bad |= json_put_text(object, "state", state_word(c->state));
    bad |= json_put_text(object, "flushing", c->flushing);
    bad |= json_put_figure(object, "read", u, c->dimension, c->read);
    bad |= json_put_figure(object, "within", u, c->dimension, c->within);
    bad |= json_put_figure(object, "low", u, c->dimension, c->low);
    bad |= json_put_figure(object, "high", u, c->dimension, c->high);
    bad |= json_put_text(object, "against", c->against);
    bad |= json_put_text(object, "against_at", c->against_at);
    bad |= json_put_figure(object, "against_read", u, c->dimension,
                           c->against_read);
    bad |= json_put_text(object, "beside", c->beside);
    bad |= json_put_figure(object, "apart", u, c->dimension, c->apart);
    bad |= json_put_text(object, "text", c->text);
    return bad | json_add(array, object);
}

int
json_put_contradictions(json_t *object, fc_unit_system units,
                        const fc_contradiction *list, size_t n)
{
    json_t *array = json_array();
    int bad = 0;

    for (size_t i = 0; i < n; i++)
        bad |= add_contradiction(array, units, &list[i]);
    return bad | json_put(object, "contradictions", array);
}

int
json_put_texts(json_t *object, const char *key, const char *const *texts,
               size_t n)
{
    json_t *array = json_array();
    int bad = 0;

    for (size_t i = 0; i < n; i++)
        bad |= json_add(array, as_text(texts[i]));
    return bad | json_put(object, key, array);
}

int
json_put_overrides(json_t *object, const fc_override *overrides, size_t n)
{
    json_t *array = json_array();
    int bad = 0;

    for (size_t i = 0; i < n; i++) {
        json_t *override = json_object();

        bad |= json_put_text(override, "what", overrides[i].what);
        bad |= json_put_text(override, "set", overrides[i].set);
        bad |= json_put_text(override, "code", overrides[i].code);
        bad |= json_add(array, override);
    }
    return bad | json_put(object, "overrides", array);
}

int
json_put_proviso(json_t *object, fc_unit_system units,
                 const fc_proviso *proviso)
{
    json_t *o;
    int bad;

    if (!proviso->given)
        return json_put(object, "works_if", json_null());
    o = json_object();
    bad = json_put_text(o, "input", proviso->input);
    bad |= json_put_text(o, "of", proviso->of);
    bad |= json_put_figure(o, proviso->at_most ? "at_most" : "at_least", units,
                           proviso->dimension, proviso->limit);
    bad |= json_put_figure(o, "at_flow", units, FC_FLOW, proviso->flow);
    bad |= json_put_text(o, "text", proviso->text);
    bad |= json_put_text(o, "measure", proviso->measure);
    return bad | json_put(object, "works_if", o);
}

int
json_put_cautions(json_t *object)
{
    const char *const *cautions = fc_cautions();
    size_t n = 0;

    while (cautions[n])
        n++;
    return json_put_texts(object, "cautions", cautions, n);
}

int
json_put_excess(json_t *object, fc_unit_system units, fc_verdict too_high,
                const fc_excess *excess)
{
    int bad = json_put_text(object, "too_high", too_high_word(too_high));
    json_t *what;

    if (!excess)
        return bad | json_put(object, "excess", json_null());
    what = json_object();
    bad |= json_put_text(what, "of", excess->flowing ? "flowing" : "static");
    bad |=
        json_put_range(what, "pressure", units, FC_PRESSURE, excess->pressure);
    bad |=
        json_put_figure(what, "maximum", units, FC_PRESSURE, excess->maximum);
    bad |=
        json_put_text(what, "maximum_of", excess->of_valve ? "valve" : "site");
    bad |= json_put_text(what, "reducer", excess->reducer);
    return bad | json_put(object, "excess", what);
}

int
json_put_end(json_t *object, fc_unit_system units, const fc_fixture_state *end)
{
    int bad = json_put_text(object, "valve", end->valve);

    bad |= json_put_flag(object, "valve_assumed", end->valve_assumed);
    bad |= json_put_range(object, "required_pressure", units, FC_PRESSURE,
                          end->required);
    bad |=
        json_put_text(object, "governed_by", governor_word(end->governed_by));
    bad |= json_put_figure(object, "code_minimum", units, FC_PRESSURE,
                           end->code_minimum);
    bad |= json_put_text(object, "code_source", end->code_source);
    bad |=
        json_put_figure(object, "reserve", units, FC_PRESSURE, end->reserve);
    bad |= json_put_range(object, "valve_minimum", units, FC_PRESSURE,
                          end->valve_minimum);
    bad |= json_put_range(object, "flowing_pressure", units, FC_PRESSURE,
                          end->flowing);
    bad |= json_put_range(object, "margin", units, FC_PRESSURE, end->margin);
    bad |=
        json_put_text(object, "pressure_works", verdict_word(end->pressure));
    bad |= json_put_text(object, "works", verdict_word(end->works));
    bad |= json_put_text(object, "decided_by", end->decided_by);
    bad |= json_put_excess(object, units, end->too_high, end->excess);
    return bad
           | json_put_range(object, "spare_pressure", units, FC_PRESSURE,
                            end->spare);
}

static int
write_piece(const char *buffer, size_t size, void *out)
{
    return fwrite(buffer, 1, size, out) == size ? 0 : -1;
}

/* All but ASCII is written as \u escapes: a program reads the same, and a
 * terminal is steered by none of it. */
void
json_print(struct page *page, json_t *root, int bad)
{
    size_t flags =
        JSON_INDENT(2) | JSON_ENSURE_ASCII | JSON_REAL_PRECISION(DIGITS);

    if (bad || json_dump_callback(root, write_piece, page->out, flags) != 0)
        page->failed = true;
    page_blank(page);
    json_decref(root);
}
