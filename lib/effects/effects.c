/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/effects.c -- the summary and the verdicts of all areas. */
#include "effects/effects.h"
#include "ground/diagnostics.h"
#include "units/number.h"

#include <math.h>
#include <string.h>

static const char *const area_words[] = {
#define FC_EFFECT_WORD(area, word) [area] = word,
    FC_EFFECT_AREA_LIST(FC_EFFECT_WORD)
#undef FC_EFFECT_WORD
};

const char *
fc_effect_area_word(fc_effect_area area)
{
    return (size_t)area < sizeof area_words / sizeof *area_words
               ? area_words[area]
               : "";
}

/* Commas between the thousands: "412,000". */
static const char *
with_commas(struct fci_effects *e, const char *digits)
{
    const size_t n = strspn(digits, "0123456789");
    char text[80];
    size_t k = 0;

    for (size_t i = 0; i < n && k + 2 < sizeof text; i++) {
        text[k++] = digits[i];
        if (i + 1 < n && (n - i - 1) % 3 == 0)
            text[k++] = ',';
    }
    text[k] = '\0';
    return fci_arena_printf(e->arena, "%s%s", text, digits + n);
}

/* How many zeros, and a point, a text ends with. */
static size_t
trailing(const char *text)
{
    size_t length = strlen(text), n = 0;

    while (n < length && text[length - 1 - n] == '0')
        n++;
    return n < length && text[length - 1 - n] == '.' ? n + 1 : n;
}

/* What adds up over a year, or is a count, to three digits. */
static const char *
three_digits(struct fci_effects *e, double x)
{
    const double size = fabs(x);
    const double unit = size < 1000 ? 1 : pow(10, floor(log10(size)) - 2);
    const double rest = x - floor(x);
    const int decimals = size >= 100 || !(rest > 0) ? 0 : size >= 10 ? 1 : 2;
    char text[40];

    snprintf(text, sizeof text, "%.*f", decimals, round(x / unit * 1e2) / 1e2);
    if (unit > 1)
        snprintf(text, sizeof text, "%.0f", round(x / unit) * unit);
    fci_plain_number(text);
    if (strchr(text, '.'))
        text[strlen(text) - trailing(text)] = '\0';
    return with_commas(e, text);
}

static const char *
one_said(struct fci_effects *e, fc_dimension dimension, double si)
{
    const fc_unit_system units = e->result->units;
    char text[40];

    if (dimension == FC_NUMBER || dimension == FC_VOLUME
        || dimension == FC_WATER || dimension == FC_TIME)
        return three_digits(e, fc_from_si(units, dimension, si));
    fc_show(units, dimension, FC_NEAREST, 0, si, text, sizeof text);
    return with_commas(e, text);
}

/* "1,980 to 2,640" */
static const char *
ends_said(struct fci_effects *e, fc_dimension dimension, fc_range value)
{
    const char *low, *high;

    if (!value.given)
        return NULL;
    low = one_said(e, dimension, value.low);
    high = one_said(e, dimension, value.high);
    if (!low || !high || strcmp(low, high) == 0)
        return low;
    return fci_arena_printf(e->arena, "%s to %s", low, high);
}

static const char *
unit_of(const struct fci_effects *e, fc_dimension dimension)
{
    return dimension == FC_NUMBER ? ""
                                  : fc_unit_name(e->result->units, dimension);
}

const char *
fci_effect_said(struct fci_effects *e, fc_dimension dimension, fc_range value)
{
    const char *ends = ends_said(e, dimension, value);
    const char *unit = unit_of(e, dimension);

    return ends && *unit ? fci_arena_printf(e->arena, "%s %s", ends, unit)
                         : ends;
}

void
fci_effect_row(struct fci_effects *e, const fc_effect *row)
{
    fc_effect *to;
    const char *unit;
    bool given = false;

    for (int s = 0; s < fci_effect_states(e); s++)
        given = given || row->values[s].given || row->said[s];
    if (!given)
        return;
    if (e->n_summary == FCI_MOST_EFFECT_ROWS) {
        e->arena->failed = true; /* an area has more rows than it may */
        return;
    }
    to = &e->summary[e->n_summary++];
    *to = *row;
    unit = row->unit ? row->unit : unit_of(e, row->dimension);
    to->unit = *unit ? unit : NULL;
    if (*unit && (row->unit || !row->said[e->result->state]))
        to->what = fci_arena_printf(e->arena, "%s, %s", row->what, unit);
    for (int s = 0; s < fci_effect_states(e); s++)
        if (!to->said[s])
            to->said[s] = ends_said(e, row->dimension, row->values[s]);
}

/* A verdict of zero is the careful one, not the worst: what fails is. */
static int
harm(fc_verdict verdict)
{
    return verdict == FC_WORKS ? 0 : verdict == FC_CANNOT_TELL ? 1 : 2;
}

void
fci_effect_only_if(struct fci_effects *e, fc_effect_area area, fc_state state,
                   const char *condition)
{
    e->judged[area].verdict.only_if[state] = condition;
}

void
fci_effect_judge(struct fci_effects *e, fc_effect_area area, fc_state state,
                 fc_verdict verdict, const char *why)
{
    struct fci_effect_judged *judged = &e->judged[area];
    const bool first = !judged->states[state];

    if (!first && harm(verdict) <= harm(judged->verdict.verdicts[state]))
        return;
    judged->states[state] = true;
    judged->verdict.area = area;
    judged->verdict.verdicts[state] = verdict;
    if (state == e->result->state)
        judged->verdict.why = why;
}

/* As if it had told nothing. */
static fc_status
leave_out(struct fci_effects *e, fc_effect_area area, const char *why)
{
    unsigned states = 0;

    for (int s = 0; s < fci_effect_states(e); s++) {
        states |= FC_IN(s);
        fci_effect_judge(e, area, (fc_state)s, FC_CANNOT_TELL,
                         "the flows did not settle");
    }
    fci_find(&e->found, FC_WARN, "", states, FC_FOUND_NOT_WORKED_OUT,
             "{area} is left out: {why}",
             FCI_WITH(FCI_WORD("area", fc_effect_area_word(area)),
                      FCI_WORD("why", why)));
    return e->arena->failed ? FC_ENOMEM : FC_OK;
}

/* Messages of one list into another. */
static fc_status
pass_on(const fc_diagnostics *from, fc_diagnostics *to, fc_status status)
{
    for (size_t i = 0; i < fc_diagnostics_count(from); i++) {
        const fc_diagnostic said = fc_diagnostics_at(from, i);

        status = fci_fail(to, status, said.file, said.line, "%s", said.text);
    }
    return status;
}

fc_status
fci_effect_look(struct fci_effects *e, fc_effect_area area,
                fci_effect_find *find, fc_diagnostics *messages)
{
    const size_t n_summary = e->n_summary, n = e->found.n;
    const size_t n_assumptions = e->found.n_assumptions;
    const struct fci_effect_judged judged = e->judged[area];
    fc_diagnostics *said = fc_diagnostics_new();
    fc_status status = said ? find(e, said) : FC_ENOMEM;

    if (status == FC_ENOCONV) {
        e->n_summary = n_summary;
        e->found.n = n;
        e->found.n_assumptions = n_assumptions;
        e->judged[area] = judged;
        status = leave_out(e, area,
                           fc_diagnostics_count(said) > 0
                               ? fc_diagnostics_at(said, 0).text
                               : "the flows did not settle");
    } else if (said) {
        status = pass_on(said, messages, status);
    }
    fc_diagnostics_free(said);
    return status;
}
