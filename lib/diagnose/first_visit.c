/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/first_visit.c -- what to look at and to read before anything
 * was: questions, then static pressures from the supply to the highest flush
 * valve, then the same while one valve there flushes, and two; then what is
 * compared, timed and looked at without taking anything apart.  Figures are
 * what the file gives there.
 */
#include "diagnose/diagnose.h"
#include "diagnose/words.h"
#include "peak/source.h"
#include "units/units.h"

#include <math.h>
#include <string.h>

#define MOST_LINES 32
#define MOST_READ 2    /* places on the way that are read static */
#define MOST_FLUSHED 2 /* valves at once */
#define A_FLOOR 2.0    /* m: what is so much lower is another floor */

struct visiting {
    const fc_site *site;
    fc_state state;
    struct fci_arena *arena;
    const char **lines;
    size_t n;
    size_t top;    /* the highest flush valve; FCI_NONE: none */
    size_t bottom; /* the lowest, where that is lower */
    bool *on_way;  /* by element: to the highest */
    double set;    /* of a PRV on the way that is no higher than it: the most
                      there can be; INFINITY: there is none */
    double *still; /* the most static pressure, by element; last of the top */
    bool failed;   /* out of memory */
};

static void
add_line(struct visiting *v, const char *line)
{
    v->failed |= !line;
    if (v->n < MOST_LINES)
        v->lines[v->n++] = line;
}

/* ---- Where ------------------------------------------------------------- */

static bool
find_way(struct visiting *v)
{
    const fc_site *site = v->site;
    double *height =
        fci_arena_array(v->arena, site->n_elements + 1, sizeof *height);
    double highest = -HUGE_VAL, lowest = HUGE_VAL;
    size_t i, at;

    v->on_way =
        fci_arena_array(v->arena, site->n_elements + 1, sizeof *v->on_way);
    v->still =
        fci_arena_array(v->arena, site->n_elements + 1, sizeof *v->still);
    if (!height || !v->on_way || !v->still)
        return false;
    fci_heights(site, height);
    for (i = 0; i <= site->n_elements; i++)
        v->still[i] = HUGE_VAL;
    v->set = HUGE_VAL;
    v->top = FCI_NONE;
    v->bottom = FCI_NONE;
    for (i = 0; i < site->n_fixtures; i++) {
        const struct fci_fixture *f = &site->fixtures[i];
        const double inlet = height[f->element] + f->given->rise.nominal;

        if (!f->valve[v->state])
            continue;
        if (inlet < lowest) {
            lowest = inlet;
            v->bottom = i;
        }
        if (inlet > highest) {
            highest = inlet;
            v->top = i;
        }
    }
    if (!(highest - lowest > A_FLOOR))
        v->bottom = FCI_NONE;
    at = v->top == FCI_NONE ? FCI_NONE : site->fixtures[v->top].element;
    for (; at != FCI_NONE; at = site->elements[at].parent) {
        v->on_way[at] = true;
        if (site->elements[at].part->kind == FCI_REDUCER
            && height[at] <= highest)
            v->set = fmin(
                v->set,
                ((const fc_reducer *)site->elements[at].part->data)->set.high);
    }
    return true;
}

/* ---- Looks ------------------------------------------------------------- */

/* The first of a kind on the way; FCI_NONE: none. */
static size_t
first_on_way(const struct visiting *v, enum fci_kind kind)
{
    size_t i;

    for (i = 0; i < v->site->n_elements; i++)
        if (v->on_way[v->site->order[i]]
            && v->site->elements[v->site->order[i]].part->kind == kind)
            return v->site->order[i];
    return FCI_NONE;
}

/* The pipe that rises most. */
static void
look_at_height(struct visiting *v)
{
    const fc_site *site = v->site;
    const char *rise;
    double most = 0;
    size_t i, at = FCI_NONE;

    for (i = 0; i < site->n_elements; i++)
        if (v->on_way[i] && fabs(site->elements[i].rise.nominal) > most) {
            most = fabs(site->elements[i].rise.nominal);
            at = i;
        }
    if (at == FCI_NONE)
        return;
    rise = fci_span_words(
        v->arena, site, FC_LENGTH,
        fmin(site->elements[at].rise.low, site->elements[at].rise.high),
        fmax(site->elements[at].rise.low, site->elements[at].rise.high));
    add_line(v, rise ? fci_arena_printf(
                    v->arena, "Tape the rise of %s: the file says %s.",
                    site->elements[at].name, rise)
                     : NULL);
}

/* Nothing is taken apart, and no stop forced. */
static void
look(struct visiting *v)
{
    const fc_site *site = v->site;
    const size_t meter = first_on_way(v, FCI_METER);

    if (v->top != FCI_NONE)
        add_line(v, fci_arena_printf(
                        v->arena,
                        "Stops of %s, curb stop and valves on the way: fully "
                        "open? Count the turns and note them; do not force "
                        "any.",
                        site->fixtures[v->top].given->name));
    if (meter != FCI_NONE)
        add_line(v, fci_arena_printf(
                        v->arena,
                        "With every outlet shut, watch the dial of %s for two "
                        "minutes: it must stand still.",
                        site->elements[meter].name));
    look_at_height(v);
    add_line(v, "Open no strainer and take nothing apart on this visit: the "
                "readings say where.");
}

/* ---- Readings ---------------------------------------------------------- */

/* ": by the file 58.0 psi"; "" where it cannot be worked out. */
static const char *
figure_words(struct visiting *v, double low, double high)
{
    const char *span =
        fci_span_words(v->arena, v->site, FC_PRESSURE, low, high);
    const char *text =
        span ? fci_arena_printf(v->arena, ": by the file %s", span) : NULL;

    v->failed |= !text;
    return text ? text : "";
}

static const char *
open_words(struct visiting *v, int open)
{
    const char *text =
        open == 0 ? "Static, nothing open anywhere"
                  : fci_arena_printf(v->arena, "With %d of %s held open", open,
                                     v->site->fixtures[v->top].given->name);

    v->failed |= !text;
    return text ? text : "";
}

/* A place and its figures: water that flows has no more pressure than water
 * that stands, and nothing has more than a PRV below it lets through. */
static void
add_place(struct visiting *v, int open, const char *name, double *still,
          fc_range pressure)
{
    const char *end = fci_place_end(v->arena, v->site, name);
    const char *figure = "";

    if (pressure.given) {
        const double high = fmin(pressure.high, *still);

        figure = figure_words(v, fmin(pressure.low, high), high);
        if (open == 0)
            *still = high;
    }
    add_line(v, end ? fci_arena_printf(v->arena, "%s, at %s%s%s.",
                                       open_words(v, open), name, end, figure)
                    : NULL);
}

static void
read_element(struct visiting *v, int open, size_t element,
             const fc_flush_result *result)
{
    const struct fci_part *part = v->site->elements[element].part;
    const fc_source *source = part->kind == FCI_SOURCE ? part->data : NULL;
    fc_range pressure = { 0 };
    size_t i;

    for (i = 0; result && i < result->n_elements; i++)
        /* nobody knows what an untested main has while water flows */
        if (strcmp(result->elements[i].name, part->name) == 0
            && !(source && open > 0 && fci_source_untested(source, 0)))
            pressure = fc_exactly(result->elements[i].pressure);
    if (pressure.given && source && open == 0 && source->static_pressure.given)
        pressure = source->static_pressure;
    if (part->kind == FCI_REDUCER)
        v->still[element] = fmin(v->still[element],
                                 ((const fc_reducer *)part->data)->set.high);
    add_place(v, open, part->name, &v->still[element], pressure);
}

static void
read_top(struct visiting *v, int open, const fc_flush_result *result)
{
    const char *name = v->site->fixtures[v->top].given->name;
    double *still = &v->still[v->site->n_elements];
    fc_range pressure = { 0 };
    size_t i;

    for (i = 0; result && i < result->n_fixtures; i++)
        if (strcmp(result->fixtures[i].name, name) == 0)
            pressure = result->fixtures[i].pressure;
    *still = fmin(*still, v->set);
    add_place(v, open, name, still, pressure);
}

/* While so many valves at the top flush: every source on the way, two PRVs at
 * most, and the top.
 * What cannot be worked out has no figures. */
static void
read_with(struct visiting *v, int open)
{
    const fc_site *site = v->site;
    const fc_flushing flushing = { .count = open,
                                   .fixture =
                                       site->fixtures[v->top].given->name };
    fc_flush_result *result = NULL;
    const fc_status status =
        fc_flush(site, v->state, &flushing, open > 0, &result, NULL);
    size_t i, n = 0;

    v->failed |= status == FC_ENOMEM;
    for (i = 0; i < site->n_elements; i++) {
        const size_t at = site->order[i];
        const enum fci_kind kind = site->elements[at].part->kind;

        if (v->on_way[at]
            && (kind == FCI_SOURCE
                || (kind == FCI_REDUCER && n++ < MOST_READ)))
            read_element(v, open, at, result);
    }
    read_top(v, open, result);
    fc_flush_result_free(result);
}

static void
compare(struct visiting *v)
{
    if (v->bottom != FCI_NONE)
        add_line(v, fci_arena_printf(
                        v->arena,
                        "Flush %s, on a low floor: weak too? Read it as well.",
                        v->site->fixtures[v->bottom].given->name));
    add_line(v, fci_arena_printf(
                    v->arena,
                    "Flush the neighbors of %s on the same branch: weak too, "
                    "or this one alone?",
                    v->site->fixtures[v->top].given->name));
}

static void
time_flush(struct visiting *v)
{
    const struct fci_fixture *f = &v->site->fixtures[v->top];
    const fc_valve *valve = f->valve[v->state];
    const fc_flushing flushing = { .count = 1, .fixture = f->given->name };
    fc_flush_result *result = NULL;
    const fc_status status =
        fc_flush(v->site, v->state, &flushing, 1, &result, NULL);
    const char *time = "";
    size_t i;

    v->failed |= status == FC_ENOMEM;
    for (i = 0; result && i < result->n_fixtures; i++) {
        const fc_flush_fixture *told = &result->fixtures[i];

        if (told->flushing && valve->full_flush.given
            && told->flow.nominal > 0)
            time = fci_arena_printf(
                v->arena, ": by the file %s takes %.1f s",
                fci_show(v->site->settings.units, FC_VOLUME,
                         valve->full_flush.nominal)
                    .text,
                valve->full_flush.nominal / told->flow.nominal);
    }
    fc_flush_result_free(result);
    add_line(v, time
                    ? fci_arena_printf(v->arena, "Time three flushes of %s%s.",
                                       f->given->name, time)
                    : NULL);
}

fc_status
fci_first_visit(const fc_site *site, fc_state state, struct fci_arena *arena,
                fc_diagnosis *out)
{
    struct visiting v = { .site = site, .state = state, .arena = arena };
    int open;

    v.lines = fci_arena_array(arena, MOST_LINES, sizeof *v.lines);
    if (!v.lines || !find_way(&v))
        return FC_ENOMEM;
    add_line(&v, "Ask: since when, what work was done before it began, all "
                 "day or at busy times, which floors?");
    for (open = 0; v.top != FCI_NONE && open <= MOST_FLUSHED
                   && open <= site->fixtures[v.top].count;
         open++) {
        if (open == 1)
            add_line(&v, "A helper flushes or holds the valve open: note the "
                         "lowest steady figure of the needle, three times.");
        read_with(&v, open);
    }
    if (v.top != FCI_NONE) {
        time_flush(&v);
        compare(&v);
    }
    look(&v);
    out->first_visit = v.lines;
    out->n_first_visit = v.n;
    return v.failed ? FC_ENOMEM : FC_OK;
}
