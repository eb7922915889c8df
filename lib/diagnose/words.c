/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/words.c -- a cause, a place and a flushing set in words. */
#include "diagnose/diagnose.h"
#include "diagnose/words.h"
#include "laws/friction.h"
#include "units/units.h"

#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

/* The loss goes as the bore to this power, inverted: Hazen-Williams. */
#define FRICTION_BORE (2.63 / 0.54)
#define NEARLY_SHUT                                                           \
    1378951.4586336722              /* 200 psi at its rate [Pa]: common       \
                                          practice */
#define TWO_SIDED 1.959963984540054 /* standard deviations, 95 % */
#define MOST_NAMED 6
#define MOST_OUTLETS 4

/* ---- A text that grows ------------------------------------------------- */

void
fci_say(struct fci_words *w, const char *between, const char *format, ...)
{
    const char *added;
    va_list args;

    va_start(args, format);
    added = fci_arena_vprintf(w->arena, format, args);
    va_end(args);
    if (!w->text || !added) {
        w->text = NULL;
        return;
    }
    w->text = fci_arena_printf(w->arena, "%s%s%s", w->text,
                               w->n > 0 ? between : "", added);
    w->n++;
}

/* ---- Places and sets --------------------------------------------------- */

const char *
fci_place_name(const fc_site *site, struct fci_gauge_place place)
{
    return place.fixture != FCI_NONE
               ? site->fixtures[place.fixture].given->name
               : site->elements[place.element].name;
}

/* An outlet at the same height on an element, where a gauge is easily put. */
static const char *
outlet_on(const fc_site *site, const char *element)
{
    size_t i;

    for (i = 0; i < site->n_fixtures; i++) {
        const struct fci_fixture *f = &site->fixtures[i];

        if (!f->valve[FC_EXISTING] && !f->valve[FC_RETROFIT]
            && strcmp(site->elements[f->element].name, element) == 0
            && !(fabs(f->given->rise.nominal) > 0))
            return f->given->name;
    }
    return NULL;
}

const char *
fci_place_end(struct fci_arena *arena, const fc_site *site, const char *name)
{
    const enum fci_kind kind =
        site->parts[fci_site_find_index(site, FCI_PIPE, name)].kind;
    const char *end = kind == FCI_SOURCE ? "the first place on the house side"
                                         : "its outlet";
    const char *outlet;

    if (kind == FCI_FIXTURE)
        return "";
    outlet = outlet_on(site, name);
    if (outlet)
        return fci_arena_printf(arena, " (%s, as at %s)", end, outlet);
    return kind == FCI_PIPE ? "" : fci_arena_printf(arena, " (%s)", end);
}

const char *
fci_flushing_words(struct fci_arena *arena, const fc_site *site,
                   const struct fci_flushing_set *set)
{
    struct fci_words w = { arena, "", 0 };
    size_t i;

    if (set->n == 0)
        return "nothing";
    for (i = 0; i < set->n && i < MOST_NAMED; i++) {
        const struct fci_fixture *f = &site->fixtures[set->open[i].fixture];

        if (f->count > 1 && set->open[i].count < f->count)
            fci_say(&w, ", ", "%d of %s", set->open[i].count, f->given->name);
        else if (f->count > 1)
            fci_say(&w, ", ", f->count == 2 ? "both of %s" : "all of %s",
                    f->given->name);
        else
            fci_say(&w, ", ", "%s", f->given->name);
    }
    if (set->n > MOST_NAMED)
        fci_say(&w, " ", "and %zu more", set->n - MOST_NAMED);
    return w.text;
}

/* ---- Figures ----------------------------------------------------------- */

static const fc_valve *
valve_of(const struct fci_readings *r, const struct fci_fault *fault)
{
    return r->site->fixtures[fault->fixture].valve[r->state];
}

/* An unknown as it is told. */
static double
told_value(const struct fci_readings *r, const struct fci_cause *cause,
           size_t k, double x)
{
    const struct fci_fault *fault = cause->fault[k];
    const double part = fault->flow > 0 ? cause->flow[k] / fault->flow : 1;

    switch (fault->kind) {
    case FC_PIPE_ROUGHNESS:
        return r->site->elements[fault->element].pipe->c.nominal
               * exp(-x / FCI_FRICTION_EXPONENT);
    case FC_SMALLER_SIZE:
    case FC_LARGER_SIZE:
        return fault->size->nominal;
    case FC_VALVE_RATE:
        return valve_of(r, fault)->flow.nominal * exp(x);
    case FC_LOSES_LESS:
        return exp(x);
    case FC_PUMP_OFF:
        return NAN;
    case FC_SUPPLY_SAG:
    case FC_BLOCKED:
        return x * fault->scale * part * part;
    default:
        return x * fault->scale;
    }
}

static fc_dimension
dimension_of(const struct fci_readings *r, const struct fci_fault *fault)
{
    switch (fault->kind) {
    case FC_PIPE_ROUGHNESS:
    case FC_LOSES_LESS:
        return FC_NUMBER;
    case FC_SMALLER_SIZE:
    case FC_LARGER_SIZE:
        return FC_SIZE;
    case FC_HEIGHT:
        return FC_LENGTH;
    case FC_VALVE_RATE:
    case FC_RUNNING_OUTLET:
        return FC_FLOW;
    case FC_WRONG_READING:
        return r->gauges[fault->gauge].dimension;
    default:
        return FC_PRESSURE;
    }
}

static const char *
subject_of(const struct fci_readings *r, const struct fci_fault *fault)
{
    if (fault->kind == FC_GAUGE_OFF)
        return NULL;
    if (fault->gauge != FCI_NONE)
        return r->gauges[fault->gauge].name;
    if (fault->all)
        return fault->material ? fault->material->head.name : NULL;
    if (fault->shared)
        return valve_of(r, fault)->name;
    if (fault->fixture != FCI_NONE)
        return r->site->fixtures[fault->fixture].given->name;
    return r->site->elements[fault->element].name;
}

/* A loss at its rate is told of a stop, which may be nearly shut. */
static bool
is_shut(const struct fci_cause *cause, size_t k)
{
    const struct fci_fault *fault = cause->fault[k];

    return cause->at_limit[k]
           || (fault->kind == FC_STOP_THROTTLED
               && cause->x[k] * fault->scale > NEARLY_SHUT);
}

fc_fault
fci_fault_told(const struct fci_readings *r, const struct fci_cause *cause,
               size_t k)
{
    const struct fci_fault *fault = cause->fault[k];
    const double x = cause->x[k], reach = TWO_SIDED * cause->sd[k];
    fc_fault told = { .kind = fault->kind,
                      .element = subject_of(r, fault),
                      .dimension = dimension_of(r, fault),
                      .value = told_value(r, cause, k, x),
                      .low = NAN,
                      .high = NAN,
                      .flow = NAN,
                      .at_limit = is_shut(cause, k) };
    double a, b;

    if (fault->last != fault->element && !fault->all)
        told.last = r->site->elements[fault->last].name;
    if (fault->kind == FC_SUPPLY_SAG || fault->kind == FC_BLOCKED)
        told.flow = cause->flow[k];
    if (fault->kind == FC_STOP_THROTTLED)
        told.flow = fault->flow;
    if (!fault->unknown || told.at_limit)
        return told;
    a = told_value(r, cause, k, fault->either ? x - reach : x * exp(-reach));
    b = told_value(r, cause, k, fault->either ? x + reach : x * exp(reach));
    if (!isfinite(a) || !isfinite(b))
        return told; /* the readings do not tell */
    told.low = fmin(a, b);
    told.high = fmax(a, b);
    return told;
}

/* ---- One cause --------------------------------------------------------- */

const char *
fci_kind_word(const fc_site *site, size_t element)
{
    return fci_part_kinds[site->elements[element].part->kind].word;
}

const char *
fci_inlet_words(struct fci_arena *arena, const fc_site *site, size_t element)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const enum fci_kind kind = site->elements[i].part->kind;

        if (site->elements[i].parent == element
            && (kind == FCI_REDUCER || kind == FCI_PUMP))
            return fci_arena_printf(
                arena, " (or the inlet of %s %s behind it)",
                fci_kind_word(site, i), site->elements[i].name);
    }
    return "";
}

/* One fault at hand. */
struct saying {
    struct fci_words *w;
    const struct fci_readings *r;
    const struct fci_cause *cause;
    size_t k;
    const struct fci_fault *fault;
    double value;
    struct fci_shown size; /* of the value, without its sign */
    const char *name;
};

/* What the file leaves open is no fault. */
static const char *
range_word(fc_range range, double value)
{
    return range.given && range.low < range.high && value >= range.low
                   && value <= range.high
               ? " (within its range)"
               : "";
}

static void
say_supply(const struct saying *s)
{
    const fc_source *source =
        s->r->site->elements[s->fault->element].part->data;
    const fc_range given = source->static_pressure.given
                               ? source->static_pressure
                               : source->pressure;

    fci_say(s->w, " and ", "the supply at %s %s %s than described%s", s->name,
            s->size.text, s->value < 0 ? "lower" : "higher",
            range_word(given, given.nominal + s->value));
}

static bool
is_steel(const struct fci_material *material)
{
    return material && strncmp(material->head.name, "steel", 5) == 0;
}

static void
say_roughness(const struct saying *s)
{
    const struct fci_fault *fault = s->fault;
    const struct fci_element *elements = s->r->site->elements;
    const double x = s->cause->x[s->k];
    const fc_range given = elements[fault->element].pipe->c;
    const char *than = x > 0 ? "rougher" : "smoother";

    if (fault->all)
        fci_say(s->w, " and ",
                "pipes of %s, as far as water flowed in them, %s than "
                "described, C about %.0f%s",
                s->name ? s->name : "no named material", than, s->value,
                range_word(given, s->value));
    else if (fault->last != fault->element)
        fci_say(s->w, " and ",
                "pipes %s to %s %s than described, C about %.0f%s", s->name,
                elements[fault->last].name, than, s->value,
                range_word(given, s->value));
    else
        fci_say(s->w, " and ", "pipe %s %s than described, C about %.0f%s",
                s->name, than, s->value, range_word(given, s->value));
    if (is_steel(fault->material) && x > 0)
        fci_say(s->w, ", ", "or grown narrower to about %.0f %% of the bore",
                100 * exp(-x / FRICTION_BORE));
}

static void
say_size(const struct saying *s)
{
    const fc_range given =
        s->r->site->elements[s->fault->element].pipe->given->size;
    const double slack = 1e-6; /* m: sizes come from texts in several units */

    fci_say(s->w, " and ", "pipe %s one size %s than drawn, %s%s", s->name,
            s->fault->kind == FC_SMALLER_SIZE ? "smaller" : "larger",
            s->fault->size->label,
            s->value > given.low - slack && s->value < given.high + slack
                ? " (within its range)"
                : "");
}

static void
say_height(const struct saying *s)
{
    const fc_range given = s->r->site->elements[s->fault->element].rise;

    if (s->fault->fixture != FCI_NONE)
        fci_say(s->w, " and ", "the inlet of %s %s %s than told", s->name,
                s->size.text, s->value < 0 ? "lower" : "higher");
    else
        fci_say(s->w, " and ", "pipe %s rising %s %s than told%s", s->name,
                s->size.text, s->value < 0 ? "less" : "more",
                range_word(given, given.nominal + s->value));
}

/* Whether other fixtures have the same valve. */
static bool
has_others(const struct fci_readings *r, size_t fixture)
{
    const struct fci_fixture *fixtures = r->site->fixtures;
    size_t i;

    for (i = 0; i < r->site->n_fixtures; i++)
        if (i != fixture
            && fixtures[i].valve[r->state]
                   == fixtures[fixture].valve[r->state])
            return true;
    return false;
}

static void
say_rate(const struct saying *s)
{
    const struct fci_shown rate =
        fci_show(s->r->site->settings.units, FC_FLOW,
                 valve_of(s->r, s->fault)->flow.nominal);

    if (s->fault->shared)
        fci_say(s->w, " and ",
                "valves \"%s\" drawing %s where %s is their "
                "rate",
                s->name, s->size.text, rate.text);
    else
        fci_say(s->w, " and ",
                "the valve at %s drawing %s where %s is its rate%s", s->name,
                s->size.text, rate.text,
                has_others(s->r, s->fault->fixture)
                    ? " (so may others of its kind)"
                    : "");
}

static void
say_element(const struct saying *s, bool shut, const char *flow)
{
    const size_t at = s->fault->element;
    const char *kind = fci_kind_word(s->r->site, at);
    const char *inlet = fci_inlet_words(s->w->arena, s->r->site, at);

    if (!inlet)
        s->w->text = NULL;
    else if (shut)
        fci_say(s->w, " and ", "%s %s%s all but shut", kind, s->name, inlet);
    else
        fci_say(s->w, " and ",
                "%s %s%s partly blocked: it loses %s more at %s", kind,
                s->name, inlet, s->size.text, flow);
}

static void
say_blocked(const struct saying *s)
{
    const struct fci_shown flow =
        fci_show(s->r->site->settings.units, FC_FLOW,
                 s->fault->kind == FC_STOP_THROTTLED ? s->fault->flow
                                                     : s->cause->flow[s->k]);
    const bool shut = is_shut(s->cause, s->k);

    if (s->fault->kind == FC_SUPPLY_SAG && shut)
        fci_say(s->w, " and ", "the supply at %s all but shut (a curb stop)",
                s->name);
    else if (s->fault->kind == FC_SUPPLY_SAG)
        fci_say(s->w, " and ",
                "the supply at %s sags by %s more at %s than described (a "
                "choked main or curb stop)",
                s->name, s->size.text, flow.text);
    else if (s->fault->kind == FC_STOP_THROTTLED && shut)
        fci_say(s->w, " and ", "the stop at %s all but shut", s->name);
    else if (s->fault->kind == FC_STOP_THROTTLED)
        fci_say(s->w, " and ",
                "the stop at %s throttled: it loses %s more at %s", s->name,
                s->size.text, flow.text);
    else
        say_element(s, shut, flow.text);
}

const char *
fci_outlets_words(struct fci_arena *arena, const fc_site *site,
                  const struct fci_fault *fault)
{
    struct fci_words w = { arena, "", 0 };
    size_t i;

    if (fault->n_outlets == 0)
        return "a steady draw";
    for (i = 0; i < fault->n_outlets && i < MOST_OUTLETS; i++)
        fci_say(&w, ", ", "%s", site->fixtures[fault->outlets[i]].given->name);
    if (fault->n_outlets > MOST_OUTLETS)
        fci_say(&w, " ", "and %zu more", fault->n_outlets - MOST_OUTLETS);
    return w.text;
}

static void
say_running(const struct saying *s)
{
    const char *outlets = fci_outlets_words(s->w->arena, s->r->site, s->fault);

    fci_say(s->w, " and ",
            "water running on beyond %s, about %s (%s, or a leak)", s->name,
            s->size.text, outlets ? outlets : "");
    if (!outlets)
        s->w->text = NULL;
}

static void
say_misread(const struct saying *s)
{
    const struct fci_gauge *gauge = &s->r->gauges[s->fault->gauge];
    const fc_unit_system units = s->r->site->settings.units;

    fci_say(s->w, " and ",
            "reading %s wrong (%s read, where the rest has %s), or other "
            "water ran or the main had changed",
            s->name, fci_show(units, gauge->dimension, gauge->read).text,
            fci_show(units, gauge->dimension, gauge->read - s->value).text);
}

static void
say_changed(const struct saying *s)
{
    const struct fci_gauge *gauge = &s->r->gauges[s->fault->gauge];
    const struct fci_flushing_set *event = &s->r->events[gauge->event];
    const char *flushing = fci_flushing_words(s->w->arena, s->r->site, event);

    fci_say(s->w, " and ",
            "%s too %s in all that was%s read while %s flushed: other "
            "water ran, or the main had changed",
            s->size.text, s->value < 0 ? "little" : "much",
            s->fault->last_gauge == FCI_NONE ? "" : " first",
            flushing ? flushing : "");
    if (!flushing)
        s->w->text = NULL;
}

static bool
is_pipe(const fc_site *site, const struct fci_fault *fault)
{
    return site->elements[fault->element].pipe != NULL;
}

static void
say_fault(const struct saying *s)
{
    switch (s->fault->kind) {
    case FC_SUPPLY_PRESSURE:
        say_supply(s);
        break;
    case FC_REDUCER_SETTING:
        fci_say(s->w, " and ", "reducer %s set %s %s than described", s->name,
                s->size.text, s->value < 0 ? "lower" : "higher");
        break;
    case FC_PIPE_ROUGHNESS:
        say_roughness(s);
        break;
    case FC_SUPPLY_SAG:
    case FC_BLOCKED:
    case FC_STOP_THROTTLED:
        say_blocked(s);
        break;
    case FC_SMALLER_SIZE:
    case FC_LARGER_SIZE:
        say_size(s);
        break;
    case FC_HEIGHT:
        say_height(s);
        break;
    case FC_VALVE_RATE:
        say_rate(s);
        break;
    case FC_RUNNING_OUTLET:
        say_running(s);
        break;
    case FC_PUMP_OFF:
        fci_say(s->w, " and ", "pump %s not running", s->name);
        break;
    case FC_PUMP_WEAK:
        fci_say(s->w, " and ", "pump %s %s below its curve", s->name,
                s->size.text);
        break;
    case FC_HOLDS_BACK:
        fci_say(s->w, " and ", "%s %s holding back %s%s at any flow%s",
                fci_kind_word(s->r->site, s->fault->element), s->name,
                s->size.text, is_pipe(s->r->site, s->fault) ? "" : " more",
                is_pipe(s->r->site, s->fault)
                    ? ", as a check valve that is not in the file"
                    : "");
        break;
    case FC_LOSES_LESS:
        fci_say(s->w, " and ",
                "%s %s taking about %.0f %% of the loss "
                "described",
                fci_kind_word(s->r->site, s->fault->element), s->name,
                100 * s->value);
        break;
    case FC_GAUGE_OFF:
        fci_say(s->w, " and ", "the gauge reading %s too %s everywhere",
                s->size.text, s->value < 0 ? "low" : "high");
        break;
    case FC_CHANGED:
        say_changed(s);
        break;
    case FC_WRONG_READING:
        say_misread(s);
        break;
    }
}

const char *
fci_cause_words(struct fci_arena *arena, const struct fci_readings *r,
                const struct fci_cause *cause)
{
    struct fci_words w = { arena, "", 0 };
    size_t k;

    for (k = 0; k < cause->n_faults; k++) {
        const struct fci_fault *fault = cause->fault[k];
        const double value = told_value(r, cause, k, cause->x[k]);
        const struct saying saying = {
            .w = &w,
            .r = r,
            .cause = cause,
            .k = k,
            .fault = fault,
            .value = value,
            .size = fci_show(r->site->settings.units, dimension_of(r, fault),
                             fabs(value)),
            .name = subject_of(r, fault)
        };

        say_fault(&saying);
    }
    return w.text;
}

/* ---- Its name alone ---------------------------------------------------- */

static const char *
more_or_less(double value, const char *more, const char *less)
{
    return value > 0 ? more : less;
}

static const char *
name_pipes(struct fci_arena *arena, const struct fci_readings *r,
           const struct fci_cause *cause, size_t k)
{
    const struct fci_fault *fault = cause->fault[k];
    const char *name = subject_of(r, fault);
    const char *than = more_or_less(cause->x[k], "rougher", "smoother");

    if (fault->all)
        return fci_arena_printf(arena, "pipes of %s %s",
                                name ? name : "no named material", than);
    if (fault->last != fault->element)
        return fci_arena_printf(arena, "pipes %s to %s %s", name,
                                r->site->elements[fault->last].name, than);
    return fci_arena_printf(arena, "pipe %s %s", name, than);
}

const char *
fci_fault_name(struct fci_arena *arena, const struct fci_readings *r,
               const struct fci_cause *cause, size_t k)
{
    const struct fci_fault *fault = cause->fault[k];
    const char *name = subject_of(r, fault);
    const double x = cause->x[k];

    switch (fault->kind) {
    case FC_SUPPLY_PRESSURE:
        return fci_arena_printf(arena, "the supply at %s %s", name,
                                more_or_less(x, "higher", "lower"));
    case FC_SUPPLY_SAG:
        return fci_arena_printf(arena, "the supply at %s sagging", name);
    case FC_REDUCER_SETTING:
        return fci_arena_printf(arena, "reducer %s set %s", name,
                                more_or_less(x, "higher", "lower"));
    case FC_PIPE_ROUGHNESS:
        return name_pipes(arena, r, cause, k);
    case FC_BLOCKED:
        return fci_arena_printf(arena, "%s %s partly blocked",
                                fci_kind_word(r->site, fault->element), name);
    case FC_SMALLER_SIZE:
        return fci_arena_printf(arena, "pipe %s one size smaller", name);
    case FC_LARGER_SIZE:
        return fci_arena_printf(arena, "pipe %s one size larger", name);
    case FC_HEIGHT:
        return fci_arena_printf(arena, "the height of %s", name);
    case FC_STOP_THROTTLED:
        return fci_arena_printf(arena, "the stop at %s throttled", name);
    case FC_VALVE_RATE:
        return fci_arena_printf(arena,
                                fault->shared ? "valves \"%s\" drawing %s"
                                              : "the valve at %s drawing %s",
                                name, more_or_less(x, "more", "less"));
    case FC_RUNNING_OUTLET:
        return fci_arena_printf(arena, "water running on beyond %s", name);
    case FC_PUMP_OFF:
        return fci_arena_printf(arena, "pump %s not running", name);
    case FC_PUMP_WEAK:
        return fci_arena_printf(arena, "pump %s below its curve", name);
    case FC_HOLDS_BACK:
        return fci_arena_printf(arena, "%s %s holding back",
                                fci_kind_word(r->site, fault->element), name);
    case FC_LOSES_LESS:
        return fci_arena_printf(arena, "%s %s taking less",
                                fci_kind_word(r->site, fault->element), name);
    case FC_GAUGE_OFF:
        return fci_arena_printf(arena, "the gauge off");
    case FC_CHANGED:
        return fci_arena_printf(arena, "something else at reading %s", name);
    case FC_WRONG_READING:
        break;
    }
    return fci_arena_printf(arena, "reading %s wrong", name);
}
