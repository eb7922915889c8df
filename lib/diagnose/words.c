/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/words.c -- a cause, a place and a flushing set in words. */
#include "diagnose/fault_kinds.h"
#include "diagnose/words.h"
#include "units/units.h"

#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define TWO_SIDED 1.959963984540054 /* standard deviations, 95 % */
#define MOST_OUTLETS 4
#define WHOLE_FROM 10 /* figures of a gauge are told as whole ones */

/* ---- Places --------------------------------------------------- */

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
    const char *end = kind == FCI_SOURCE
                          ? "first hose bibb or meter outlet on the house "
                            "side"
                          : "outlet side";
    const char *outlet;

    if (kind == FCI_FIXTURE)
        return "";
    outlet = outlet_on(site, name);
    if (outlet)
        return fci_arena_printf(
            arena, " (%s, or at %s)",
            kind == FCI_SOURCE ? "house side" : "outlet side", outlet);
    return kind == FCI_PIPE ? "" : fci_arena_printf(arena, " (%s)", end);
}

bool
fci_gauge_fits(const struct fci_part *part)
{
    /* a supply's key of that name is a gauge's */
    const fc_answer *said =
        part->kind == FCI_SOURCE ? NULL : fci_part_member(part, "gauge");

    return said && *said != FC_NOT_SAID ? *said == FC_YES
                                        : part->kind != FCI_PIPE;
}

/* ---- Figures ----------------------------------------------------------- */

static const char *
subject_of(const struct fci_readings *r, const struct fci_fault *fault)
{
    if (fault->gauge != FCI_NONE)
        return r->gauges[fault->gauge].name;
    if (fci_doubts(fault))
        return NULL; /* all of them */
    if (fault->all)
        return fault->material ? fault->material->head.name : NULL;
    if (fault->shared)
        return r->site->fixtures[fault->fixture].valve[r->state]->name;
    if (fault->fixture != FCI_NONE)
        return r->site->fixtures[fault->fixture].given->name;
    return r->site->elements[fault->element].name;
}

static fc_dimension
dimension_of(const struct fci_readings *r, const struct fci_fault *fault)
{
    return fault->gauge != FCI_NONE ? r->gauges[fault->gauge].dimension
                                    : fault->kind->dimension;
}

/* At which a loss is told: the most through the element in the readings; of a
 * stop its valve's rate.  0: it is no loss that grows with the flow. */
static double
told_flow(const struct fci_cause *cause, size_t k)
{
    const struct fci_fault *fault = cause->fault[k];

    return !fault->kind->is_loss                     ? 0
           : fault->flow > 0 && fault->kind->in_slot ? cause->flow[k]
                                                     : fault->flow;
}

static double
told_value(const struct fci_readings *r, const struct fci_cause *cause,
           size_t k, double x)
{
    const struct fci_fault *fault = cause->fault[k];
    const double part =
        told_flow(cause, k) > 0 ? told_flow(cause, k) / fault->flow : 1;

    if (!fault->kind->unknown)
        return fault->size ? fault->size->nominal : NAN;
    return fault->kind->told ? fault->kind->told(cause, k, r, x)
                             : x * fault->scale * part * part;
}

/* Of a loss that a valve may make, behind an element or as a control stop: as
 * large as is tried, or as is called shut. */
static bool
is_shut(const struct fci_cause *cause, size_t k)
{
    const struct fci_fault *fault = cause->fault[k];

    return fault->kind->is_loss
           && (fault->kind->in_slot || fault->fixture != FCI_NONE)
           && (cause->at_limit[k]
               || (fault->usual->shut.given
                   && cause->x[k] * fault->scale
                          > fault->usual->shut.nominal));
}

fc_fault
fci_fault_told(const struct fci_readings *r, const struct fci_cause *cause,
               size_t k)
{
    const struct fci_fault *fault = cause->fault[k];
    const double x = cause->x[k], reach = TWO_SIDED * cause->sd[k];
    const bool either = fault->kind->unknown == FCI_EITHER_SIGN;
    fc_fault told = { .kind = fault->kind->kind,
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
    if (told_flow(cause, k) > 0)
        told.flow = told_flow(cause, k);
    if (!fault->kind->unknown || told.at_limit || cause->at_limit[k])
        return told; /* an end of what is tried has no spread */
    a = told_value(r, cause, k, either ? x - reach : x * exp(-reach));
    b = told_value(r, cause, k, either ? x + reach : x * exp(reach));
    if (!isfinite(a) || !isfinite(b))
        return told; /* the readings do not tell */
    told.low = fmin(a, b);
    told.high = fmax(a, b);
    return told;
}

const char fci_nothing_amiss[] =
    "nothing wrong: gauge error and the entered ranges explain it";

/* ---- One cause --------------------------------------------------------- */

/* Of every kind of part that has a place. */
static const char *const part_words[FCI_KINDS] = {
    [FCI_PIPE] = "pipe",   [FCI_METER] = "meter",
    [FCI_REDUCER] = "PRV", [FCI_BACKFLOW] = "backflow preventer",
    [FCI_PUMP] = "pump",
};

const char *
fci_part_words(struct fci_arena *arena, const struct fci_part *part)
{
    const char *word = part_words[part->kind];
    size_t n = word ? strlen(word) : 0, i;

    for (i = 0; i < n && part->name[i]
                && tolower((unsigned char)part->name[i])
                       == tolower((unsigned char)word[i]);
         i++)
        ;
    return !word || i == n
               ? part->name
               : fci_arena_printf(arena, "%s %s", word, part->name);
}

const char *
fci_inlet_words(struct fci_arena *arena, const fc_site *site, size_t element)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const struct fci_part *part = site->elements[i].part;
        const char *name;

        if (site->elements[i].parent != element
            || (part->kind != FCI_REDUCER && part->kind != FCI_PUMP))
            continue;
        name = fci_part_words(arena, part);
        return name ? fci_arena_printf(
                   arena, " (or the inlet of %s downstream of it)", name)
                    : NULL;
    }
    return "";
}

bool
fci_was_seen_at(const fc_site *site, const char *name, fc_sight sight)
{
    size_t i;

    for (i = 0; i < site->n_parts; i++) {
        const fc_look *look = site->parts[i].data;

        if (site->parts[i].kind == FCI_LOOK && look->shows == sight
            && strcmp(look->at, name) == 0)
            return true;
    }
    return false;
}

bool
fci_was_seen(const fc_site *site, size_t element, fc_sight sight)
{
    return fci_was_seen_at(site, site->elements[element].name, sight);
}

struct fci_shown
fci_about(fc_unit_system units, fc_dimension dimension, double si)
{
    const double figure = fc_from_si(units, dimension, si);
    struct fci_shown shown = fci_show(units, dimension, si);

    if (fabs(figure) >= WHOLE_FROM)
        snprintf(shown.text, sizeof shown.text, "%.0f %s", figure,
                 fc_unit_name(units, dimension));
    return shown;
}

/* What of a set is open downstream of an element draws, at its rates. */
static double
drawn_below(const struct fci_readings *r, const struct fci_flushing_set *set,
            size_t element)
{
    const fc_site *site = r->site;
    double sum = 0;
    size_t i, at;

    for (i = 0; i < set->n; i++) {
        const struct fci_fixture *f = &site->fixtures[set->open[i].fixture];
        const fc_valve *valve = f->valve[r->state];

        for (at = f->element; at != FCI_NONE && at != element;
             at = site->elements[at].parent)
            ;
        if (at == element)
            sum += set->open[i].count
                   * (valve && valve->flow.given ? valve->flow.nominal : 1e-9);
    }
    return sum;
}

const char *
fci_lost_words(struct fci_arena *arena, const struct fci_readings *r,
               size_t element, const char *more, double pressure, double flow)
{
    const fc_unit_system units = r->site->settings.units;
    const struct fci_shown lost = fci_about(units, FC_PRESSURE, pressure);
    const struct fci_shown at = fci_about(units, FC_FLOW, flow);
    const char *open = NULL;
    double most = 0;
    size_t i, which = FCI_NONE;

    for (i = 0; i < r->n_events; i++) {
        const double drawn = drawn_below(r, &r->events[i], element);

        if (!(drawn > most))
            continue;
        most = drawn;
        which = i;
    }
    if (which == FCI_NONE)
        return fci_arena_printf(arena, "about %s %slost at %s", lost.text,
                                more, at.text);
    open = fci_flushing_words(arena, r->site, &r->events[which]);
    return open ? fci_arena_printf(arena, "about %s %slost with %s open (%s)",
                                   lost.text, more, open, at.text)
                : NULL;
}

const char *
fci_span_words(struct fci_arena *arena, const fc_site *site,
               fc_dimension dimension, double low, double high)
{
    const fc_unit_system units = site->settings.units;
    const struct fci_shown from = fci_show(units, dimension, low);
    const struct fci_shown to = fci_show(units, dimension, high);
    const size_t n = strcspn(from.text, " ");

    if (strcmp(from.text, to.text) == 0)
        return fci_arena_printf(arena, "%s", from.text);
    return fci_arena_printf(arena, "%.*s to %s", (int)n, from.text, to.text);
}

const char *
fci_outlets_words(struct fci_arena *arena, const fc_site *site,
                  const struct fci_fault *fault)
{
    const size_t n = fault->n_outlets;
    struct fci_words w = { arena, "", 0 };
    size_t i;

    if (n == 0 || n > MOST_OUTLETS)
        return fci_arena_printf(arena, "%s downstream of %s",
                                n == 0 ? "a steady draw"
                                       : "a valve that won't shut off",
                                site->elements[fault->element].name);
    for (i = 0; i < n; i++)
        fci_say(&w, i + 1 < n ? ", " : " or ", "%s",
                site->fixtures[fault->outlets[i]].given->name);
    return w.text ? fci_arena_printf(arena, "%s won't shut off", w.text)
                  : NULL;
}

const char *
fci_fault_words(struct fci_arena *arena, const struct fci_readings *r,
                const struct fci_cause *cause, size_t k, bool brief)
{
    const struct fci_fault *fault = cause->fault[k];
    const fc_unit_system units = r->site->settings.units;
    const double value = told_value(r, cause, k, cause->x[k]);
    const char *part =
        fci_part_words(arena, r->site->elements[fault->element].part);
    const char *lost = told_flow(cause, k) > 0 && !is_shut(cause, k)
                           ? fci_lost_words(arena, r, fault->element, "more ",
                                            value, told_flow(cause, k))
                           : "";
    const struct fci_wording wording = {
        .arena = arena,
        .readings = r,
        .fault = fault,
        .brief = brief,
        .name = subject_of(r, fault),
        .part = part,
        .value = value,
        .size = fci_show(units, dimension_of(r, fault), fabs(value)),
        .shut = is_shut(cause, k),
        .flow = fci_about(units, FC_FLOW, told_flow(cause, k)),
        .lost = lost,
    };

    /* cppcheck-suppress returnDanglingLifetime ; words live in the arena */
    return part && lost ? fault->kind->words(&wording) : NULL;
}

const char fci_two_faults[] = "two faults: ";

const char *
fci_cause_words(struct fci_arena *arena, const struct fci_readings *r,
                const struct fci_cause *cause)
{
    struct fci_words w = { arena, "", 0 };
    size_t k;

    if (cause->n_faults == 0)
        return fci_nothing_amiss;
    if (cause->n_faults == 1)
        return fci_fault_words(arena, r, cause, 0, false);
    for (k = 0; k < cause->n_faults; k++) {
        const char *words = fci_fault_words(arena, r, cause, k, false);

        fci_say(&w, "; ", "%zu %s", k + 1, words ? words : "");
        if (!words)
            return NULL;
    }
    return w.text ? fci_arena_printf(arena, "%s%s", fci_two_faults, w.text)
                  : NULL;
}
