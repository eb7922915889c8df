/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose_words.c -- causes, places and flushing sets in words. */
#include "diagnose.h"
#include "units.h"

#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#define FRICTION_C 0.54 /* C goes as the loss to this power, inverted */
#define FRICTION_BORE (2.63 / 0.54) /* and the bore, by Hazen-Williams */
#define TWO_SIDED 1.959963984540054 /* standard deviations, 95 % */
#define MOST_NAMED 6

/* ---- A text that grows ------------------------------------------------- */

struct words {
    struct fci_arena *arena;
    const char *text; /* NULL: out of memory */
    size_t n;         /* phrases in it */
};

static void say(struct words *w, const char *between, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

static void
say(struct words *w, const char *between, const char *format, ...)
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

static struct fci_shown
show(const fc_site *site, fc_dimension dimension, double value)
{
    return fci_show(site->settings.units, dimension, value);
}

/* ---- Places and sets --------------------------------------------------- */

const char *
fci_place_name(const fc_site *site, struct fci_gauge_place place)
{
    return place.fixture != FCI_NONE
               ? site->fixtures[place.fixture].given->name
               : site->elements[place.element].name;
}

const char *
fci_flushing_words(struct fci_arena *arena, const fc_site *site,
                   const struct fci_flushing_set *set)
{
    struct words w = { arena, "", 0 };
    size_t i;

    if (set->n == 0)
        return "nothing";
    for (i = 0; i < set->n && i < MOST_NAMED; i++) {
        const struct fci_fixture *f = &site->fixtures[set->open[i].fixture];

        if (f->count > 1 && set->open[i].count < f->count)
            say(&w, ", ", "%d of %s", set->open[i].count, f->given->name);
        else if (f->count > 1)
            say(&w, ", ", "all %d of %s", f->count, f->given->name);
        else
            say(&w, ", ", "%s", f->given->name);
    }
    if (set->n > MOST_NAMED)
        say(&w, " ", "and %zu more", set->n - MOST_NAMED);
    return w.text;
}

/* ---- Figures ----------------------------------------------------------- */

static double
c_of(const fc_site *site, const struct fci_fault *fault, double x)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        if (site->elements[i].pipe
            && site->elements[i].pipe->material == fault->material)
            return site->elements[i].pipe->c.nominal * pow(1 + x, -FRICTION_C);
    return NAN;
}

/* An unknown as it is told. */
static double
told_value(const fc_site *site, const struct fci_cause *cause, size_t k,
           double x)
{
    const struct fci_fault *fault = cause->fault[k];
    const double part = fault->flow > 0 ? cause->flow[k] / fault->flow : 1;

    switch (fault->kind) {
    case FC_ROUGH_PIPES:
        return c_of(site, fault, x * fault->scale);
    case FC_SMALLER_SIZE:
        return fault->size->nominal;
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
dimension_of(fc_cause_kind kind)
{
    switch (kind) {
    case FC_ROUGH_PIPES:
        return FC_NUMBER;
    case FC_SMALLER_SIZE:
        return FC_SIZE;
    case FC_RUNNING_VALVE:
        return FC_FLOW;
    default:
        return FC_PRESSURE;
    }
}

static const char *
subject_of(const fc_site *site, const struct fci_fault *fault)
{
    if (fault->kind == FC_ROUGH_PIPES)
        return fault->material ? fault->material->head.name : NULL;
    if (fault->fixture != FCI_NONE)
        return site->fixtures[fault->fixture].given->name;
    return site->elements[fault->element].name;
}

fc_fault
fci_fault_told(const fc_site *site, const struct fci_cause *cause, size_t k)
{
    const struct fci_fault *fault = cause->fault[k];
    const double x = cause->x[k], reach = TWO_SIDED * cause->sd[k];
    fc_fault told = { .kind = fault->kind,
                      .element = subject_of(site, fault),
                      .dimension = dimension_of(fault->kind),
                      .value = told_value(site, cause, k, x),
                      .low = NAN,
                      .high = NAN,
                      .flow = NAN };
    double a, b;

    if (fault->kind == FC_SUPPLY_SAG || fault->kind == FC_BLOCKED)
        told.flow = cause->flow[k];
    if (fault->kind == FC_STOP_THROTTLED)
        told.flow = fault->flow;
    if (!fault->unknown)
        return told;
    a = told_value(site, cause, k,
                   fault->either ? x - reach : x * exp(-reach));
    b = told_value(site, cause, k, fault->either ? x + reach : x * exp(reach));
    if (!isfinite(a) || !isfinite(b))
        return told; /* the readings do not tell */
    told.low = fmin(a, b);
    told.high = fmax(a, b);
    return told;
}

/* ---- One cause --------------------------------------------------------- */

static const char *
kind_word(const fc_site *site, const struct fci_fault *fault)
{
    return fci_part_kinds[site->elements[fault->element].part->kind].word;
}

static bool
is_steel(const struct fci_material *material)
{
    return material && strncmp(material->head.name, "steel", 5) == 0;
}

static void
say_rough(struct words *w, const fc_site *site, const struct fci_cause *cause,
          size_t k)
{
    const struct fci_material *material = cause->fault[k]->material;
    const double c = told_value(site, cause, k, cause->x[k]);
    const double bore = pow(1 + cause->x[k], -1 / FRICTION_BORE);

    say(w, " and ", "pipes of %s rougher than described, C about %.0f",
        material ? material->head.name : "no named material", c);
    if (is_steel(material))
        say(w, ", ", "or grown narrower to about %.0f %% of the bore",
            100 * bore);
}

static void
say_fault(struct words *w, const fc_site *site, const struct fci_cause *cause,
          size_t k)
{
    const struct fci_fault *fault = cause->fault[k];
    const double value = told_value(site, cause, k, cause->x[k]);
    const struct fci_shown size =
        show(site, dimension_of(fault->kind), fabs(value));
    const char *name = subject_of(site, fault);

    switch (fault->kind) {
    case FC_SUPPLY_PRESSURE:
        say(w, " and ", "the supply at %s %s %s than described", name,
            size.text, value < 0 ? "lower" : "higher");
        break;
    case FC_SUPPLY_SAG:
        say(w, " and ",
            "the supply at %s sags by %s more at %s than described (a choked "
            "main or curb stop)",
            name, size.text, show(site, FC_FLOW, cause->flow[k]).text);
        break;
    case FC_REDUCER_SETTING:
        say(w, " and ", "reducer %s set %s %s than described", name, size.text,
            value < 0 ? "lower" : "higher");
        break;
    case FC_ROUGH_PIPES:
        say_rough(w, site, cause, k);
        break;
    case FC_BLOCKED:
        say(w, " and ", "%s %s partly blocked: it loses %s more at %s",
            kind_word(site, fault), name, size.text,
            show(site, FC_FLOW, cause->flow[k]).text);
        break;
    case FC_SMALLER_SIZE:
        say(w, " and ", "pipe %s one size smaller than drawn, %s", name,
            fault->size->label);
        break;
    case FC_STOP_THROTTLED:
        say(w, " and ", "the stop at %s throttled: it loses %s more at %s",
            name, size.text, show(site, FC_FLOW, fault->flow).text);
        break;
    case FC_RUNNING_VALVE:
        say(w, " and ", "a valve running on beyond %s, about %s", name,
            size.text);
        break;
    case FC_PUMP_OFF:
        say(w, " and ", "pump %s not running", name);
        break;
    case FC_PUMP_WEAK:
        say(w, " and ", "pump %s %s below its curve", name, size.text);
        break;
    case FC_HOLDS_BACK:
        say(w, " and ", "%s %s holds back %s more at any flow",
            kind_word(site, fault), name, size.text);
        break;
    }
}

const char *
fci_cause_words(struct fci_arena *arena, const fc_site *site,
                const struct fci_cause *cause)
{
    struct words w = { arena, "", 0 };
    size_t k;

    for (k = 0; k < cause->n_faults; k++)
        say_fault(&w, site, cause, k);
    return w.text;
}

/* ---- Several ----------------------------------------------------------- */

/* Elements of which one is blocked or of a smaller size. */
struct stretches {
    bool *blocked, *smaller;
    size_t *child, *children; /* that are so too */
    size_t tops;
    bool branches;
};

static bool
on_stretch(const struct fci_cause *cause)
{
    const fc_cause_kind kind = cause->fault[0]->kind;

    return cause->n_faults == 1
           && (kind == FC_BLOCKED || kind == FC_SUPPLY_SAG
               || kind == FC_SMALLER_SIZE);
}

static bool
is_on(const struct stretches *s, size_t element)
{
    return element != FCI_NONE && (s->blocked[element] || s->smaller[element]);
}

static void
join_stretches(struct stretches *s, const fc_site *site)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const size_t parent = site->elements[i].parent;

        if (!is_on(s, i))
            continue;
        if (!is_on(s, parent)) {
            s->tops++;
            continue;
        }
        s->child[parent] = i;
        s->branches |= ++s->children[parent] > 1;
    }
}

/* From `top` down as far as it does not branch. */
static void
say_stretch(struct words *w, const fc_site *site, const struct stretches *s,
            size_t top)
{
    size_t end = top, from = site->elements[top].parent, n = 1;
    bool smaller = s->smaller[top], blocked = s->blocked[top];

    for (; s->children[end] == 1; n++) {
        end = s->child[end];
        smaller |= s->smaller[end];
        blocked |= s->blocked[end];
    }
    if (n == 1)
        say(w, "; ", "%s %s%s",
            fci_part_kinds[site->elements[top].part->kind].word,
            site->elements[top].name,
            !smaller
                ? from == FCI_NONE ? " or its main choked" : " partly blocked"
            : !blocked ? " one size smaller than drawn"
                       : " partly blocked, or one size smaller than drawn");
    else
        say(w, "; ", "%s between %s and %s%s",
            blocked ? "partly blocked" : "a pipe one size smaller than drawn",
            site->elements[from == FCI_NONE ? top : from].name,
            site->elements[end].name,
            blocked && smaller ? ", or a pipe there one size smaller than "
                                 "drawn"
                               : "");
}

static void
say_stretches(struct words *w, const fc_site *site, const struct stretches *s)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const size_t at = site->order[i];
        const size_t parent = site->elements[at].parent;

        if (is_on(s, at) && (!is_on(s, parent) || s->children[parent] > 1))
            say_stretch(w, site, s, at);
    }
}

static void
say_others(struct words *w, const fc_site *site,
           const struct fci_cause *causes, const bool *picked, size_t n)
{
    size_t i, named = 0;

    for (i = 0; i < n; i++) {
        size_t k;
        struct words one = { w->arena, "", 0 };

        if (!picked[i] || on_stretch(&causes[i]) || named++ >= MOST_NAMED)
            continue;
        for (k = 0; k < causes[i].n_faults; k++)
            say_fault(&one, site, &causes[i], k);
        say(w, "; ", "%s", one.text ? one.text : "");
    }
    if (named > MOST_NAMED)
        say(w, "; ", "and %zu more", named - MOST_NAMED);
}

static bool
runs_on(const struct fci_cause *cause)
{
    return cause->n_faults == 1 && cause->fault[0]->kind == FC_RUNNING_VALVE;
}

/* `belongs`: which of the causes. */
static bool
make_stretches(struct stretches *s, const fc_site *site,
               const struct fci_cause *causes, const bool *picked, size_t n,
               bool (*belongs)(const struct fci_cause *cause))
{
    size_t i;

    s->blocked = calloc(site->n_elements, sizeof *s->blocked);
    s->smaller = calloc(site->n_elements, sizeof *s->smaller);
    s->child = calloc(site->n_elements, sizeof *s->child);
    s->children = calloc(site->n_elements, sizeof *s->children);
    if (!s->blocked || !s->smaller || !s->child || !s->children)
        return false;
    for (i = 0; i < n; i++)
        if (picked[i] && belongs(&causes[i])) {
            const struct fci_fault *fault = causes[i].fault[0];

            if (fault->kind == FC_SMALLER_SIZE)
                s->smaller[fault->element] = true;
            else
                s->blocked[fault->element] = true;
        }
    join_stretches(s, site);
    return true;
}

static void
free_stretches(struct stretches *s)
{
    free(s->blocked);
    free(s->smaller);
    free(s->child);
    free(s->children);
}

/* Only valves that run on, at places along one run: one of them, whose place
 * is not known better. */
static const char *
running_words(struct fci_arena *arena, const fc_site *site,
              const struct fci_cause *causes, const bool *picked, size_t n,
              bool *single)
{
    struct words w = { arena, "", 0 };
    struct stretches s = { 0 };
    double low = INFINITY, high = 0;
    size_t i, top = 0, end;

    if (!make_stretches(&s, site, causes, picked, n, runs_on)) {
        free_stretches(&s);
        return NULL;
    }
    *single = s.tops == 1 && !s.branches;
    for (i = 0; i < n; i++)
        if (picked[i]) {
            const double flow = causes[i].x[0] * causes[i].fault[0]->scale;

            low = fmin(low, flow);
            high = fmax(high, flow);
        }
    for (i = 0; i < site->n_elements; i++)
        if (is_on(&s, i) && !is_on(&s, site->elements[i].parent))
            top = i;
    for (end = top; s.children[end] == 1;)
        end = s.child[end];
    if (*single)
        say(&w, "", "a valve running on between %s and %s, about %s to %s",
            site->elements[top].name, site->elements[end].name,
            show(site, FC_FLOW, low).text, show(site, FC_FLOW, high).text);
    else
        say_others(&w, site, causes, picked, n);
    free_stretches(&s);
    return w.text;
}

const char *
fci_causes_words(struct fci_arena *arena, const fc_site *site,
                 const struct fci_cause *causes, const bool *picked, size_t n,
                 bool *single)
{
    struct words w = { arena, "", 0 };
    struct stretches s = { 0 };
    size_t i, others = 0, all = 0, only = 0, running = 0;

    for (i = 0; i < n; i++)
        if (picked[i]) {
            all++;
            others += !on_stretch(&causes[i]);
            running += runs_on(&causes[i]);
            only = i;
        }
    if (all == 1) {
        *single = true;
        return fci_cause_words(arena, site, &causes[only]);
    }
    if (running == all)
        return running_words(arena, site, causes, picked, n, single);
    if (!make_stretches(&s, site, causes, picked, n, on_stretch)) {
        w.text = NULL;
    } else {
        say_stretches(&w, site, &s);
        say_others(&w, site, causes, picked, n);
    }
    *single = others == 0 && s.tops == 1 && !s.branches;
    free_stretches(&s);
    return w.text;
}
