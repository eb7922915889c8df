/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/first_visit.c -- what to look at and to read before anything
 * was: looks, which cost a minute, then static pressures from the supply to
 * the highest flush valve, then the same while one valve there flushes, and
 * two.  Figures are what the file gives there.
 */
#include "diagnose/diagnose.h"
#include "diagnose/words.h"
#include "units/units.h"

#include <math.h>
#include <string.h>

#define MOST_LINES 12
#define MOST_READ 2    /* places on the way that are read static */
#define MOST_NAMED 4   /* devices in one line */
#define MOST_FLUSHED 2 /* valves at once */

struct visiting {
    const fc_site *site;
    fc_state state;
    struct fci_arena *arena;
    const char **lines;
    size_t n;
    size_t top;   /* the highest flush valve; FCI_NONE: none */
    bool *on_way; /* by element: to it */
    bool failed;  /* out of memory */
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
    double highest = -HUGE_VAL;
    size_t i, at;

    v->on_way =
        fci_arena_array(v->arena, site->n_elements + 1, sizeof *v->on_way);
    if (!height || !v->on_way)
        return false;
    fci_heights(site, height);
    v->top = FCI_NONE;
    for (i = 0; i < site->n_fixtures; i++) {
        const struct fci_fixture *f = &site->fixtures[i];
        const double inlet = height[f->element] + f->given->rise.nominal;

        if (!f->valve[v->state] || !(inlet > highest))
            continue;
        highest = inlet;
        v->top = i;
    }
    at = v->top == FCI_NONE ? FCI_NONE : site->fixtures[v->top].element;
    for (; at != FCI_NONE; at = site->elements[at].parent)
        v->on_way[at] = true;
    return true;
}

/* ---- Looks ------------------------------------------------------------- */

static bool
has_strainer(const struct fci_element *element)
{
    const enum fci_kind kind = element->part->kind;

    return kind == FCI_METER || kind == FCI_BACKFLOW || kind == FCI_REDUCER
           || kind == FCI_DEVICE;
}

static void
look_at_strainers(struct visiting *v)
{
    struct fci_words names = { v->arena, "", 0 };
    size_t i;

    for (i = 0; i < v->site->n_elements; i++) {
        const size_t at = v->site->order[i];

        if (v->on_way[at] && has_strainer(&v->site->elements[at])
            && names.n < MOST_NAMED)
            fci_join(&names, ", ",
                     fci_part_words(v->arena, v->site->elements[at].part));
    }
    v->failed |= !names.text;
    if (names.n > 0 && names.text)
        add_line(v, fci_arena_printf(v->arena,
                                     "Open and clean the strainers: %s.",
                                     names.text));
}

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
    rise =
        fci_span_words(v->arena, site, FC_LENGTH, site->elements[at].rise.low,
                       site->elements[at].rise.high);
    add_line(v, rise ? fci_arena_printf(
                    v->arena, "Tape the rise of %s: the file says %s.",
                    site->elements[at].name, rise)
                     : NULL);
}

static void
look_first(struct visiting *v)
{
    const fc_site *site = v->site;
    const size_t meter = first_on_way(v, FCI_METER);
    const size_t prv = first_on_way(v, FCI_REDUCER);

    if (v->top != FCI_NONE)
        add_line(v, fci_arena_printf(
                        v->arena,
                        "Check that the curb stop, the valves on the way and "
                        "the control stops of %s are fully open.",
                        site->fixtures[v->top].given->name));
    look_at_strainers(v);
    if (meter != FCI_NONE)
        add_line(v, fci_arena_printf(
                        v->arena,
                        "With every outlet shut, watch the dial of %s for two "
                        "minutes: it must stand still.",
                        site->elements[meter].name));
    if (prv != FCI_NONE) {
        const fc_reducer *reducer = site->elements[prv].part->data;
        const char *name = fci_part_words(v->arena, site->elements[prv].part);
        const char *set = fci_span_words(v->arena, site, FC_PRESSURE,
                                         reducer->set.low, reducer->set.high);

        add_line(v, name && set ? fci_arena_printf(
                        v->arena,
                        "Read the set pressure of %s: the file says "
                        "%s.",
                        name, set)
                                : NULL);
    }
    look_at_height(v);
}

/* ---- Readings ---------------------------------------------------------- */

/* "58.0 psi", by the file; "" where it cannot be worked out. */
static const char *
figure_words(struct visiting *v, double low, double high)
{
    const char *span =
        fci_span_words(v->arena, v->site, FC_PRESSURE, low, high);

    v->failed |= !span;
    return span ? fci_arena_printf(v->arena, " %s", span) : "";
}

static void
say_place(struct visiting *v, struct fci_words *w, size_t element,
          const fc_flush_result *result)
{
    const struct fci_part *part = v->site->elements[element].part;
    const fc_source *source = part->kind == FCI_SOURCE ? part->data : NULL;
    const bool ranged = source && source->static_pressure.given && result
                        && result->flushing == 0;
    const char *figure = "";
    size_t i;

    for (i = 0; result && i < result->n_elements; i++) {
        const fc_flush_element *e = &result->elements[i];

        if (strcmp(e->name, part->name) == 0)
            figure = figure_words(
                v, ranged ? source->static_pressure.low : e->pressure,
                ranged ? source->static_pressure.high : e->pressure);
    }
    fci_say(w, ", ", "%s%s", v->site->elements[element].name,
            figure ? figure : "");
}

static void
say_top(struct visiting *v, struct fci_words *w, const fc_flush_result *result)
{
    const char *name = v->site->fixtures[v->top].given->name;
    const char *figure = "";
    size_t i;

    for (i = 0; result && i < result->n_fixtures; i++)
        if (strcmp(result->fixtures[i].name, name) == 0)
            figure = figure_words(v, result->fixtures[i].pressure.low,
                                  result->fixtures[i].pressure.high);
    fci_say(w, ", ", "%s%s", name, figure ? figure : "");
}

/* While so many valves at the top flush: the supply, behind each device and
 * the top.  What cannot be worked out has no figures. */
static void
read_with(struct visiting *v, int open)
{
    const fc_site *site = v->site;
    const fc_flushing flushing = { .count = open,
                                   .fixture =
                                       site->fixtures[v->top].given->name };
    struct fci_words places = { v->arena, "", 0 };
    fc_flush_result *result = NULL;
    const fc_status status =
        fc_flush(site, v->state, &flushing, open > 0, &result, NULL);
    size_t i, n = 0;

    v->failed |= status == FC_ENOMEM;
    for (i = 0; i < site->n_elements; i++) {
        const size_t at = site->order[i];
        const enum fci_kind kind = site->elements[at].part->kind;

        if (!v->on_way[at]
            || (kind != FCI_SOURCE
                && (kind != FCI_REDUCER || n++ >= MOST_READ)))
            continue;
        say_place(v, &places, at, result);
    }
    say_top(v, &places, result);
    v->failed |= !places.text;
    if (places.text && open == 0)
        add_line(v, fci_arena_printf(v->arena,
                                     "Read static, with nothing open: %s.",
                                     places.text));
    else if (places.text)
        add_line(v, fci_arena_printf(v->arena, "Read with %d of %s open: %s.",
                                     open, flushing.fixture, places.text));
    fc_flush_result_free(result);
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
                v->arena, ": %s takes %.1f s by the file",
                fci_show(v->site->settings.units, FC_VOLUME,
                         valve->full_flush.nominal)
                    .text,
                valve->full_flush.nominal / told->flow.nominal);
    }
    fc_flush_result_free(result);
    add_line(v, time ? fci_arena_printf(v->arena, "Time one flush of %s%s.",
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
    look_first(&v);
    for (open = 0; v.top != FCI_NONE && open <= MOST_FLUSHED
                   && open <= site->fixtures[v.top].count;
         open++)
        read_with(&v, open);
    if (v.top != FCI_NONE)
        time_flush(&v);
    out->first_visit = v.lines;
    out->n_first_visit = v.n;
    return v.failed ? FC_ENOMEM : FC_OK;
}
