/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/work.c -- a cause as work to be done: where, what, what shuts
 * it off, and what a gauge must read afterwards.
 */
#include "diagnose/work.h"
#include "diagnose/fault_kinds.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>

#define MOST_STEPS 24

/* ---- Steps ------------------------------------------------------------- */

void
fci_work_step(struct fci_working *w, const char *format, ...)
{
    va_list args;
    const char *step;

    if (w->n >= w->room)
        return;
    va_start(args, format);
    step = fci_arena_vprintf(w->arena, format, args);
    va_end(args);
    w->failed |= !step;
    w->steps[w->n++] = step;
}

/* The first valve among the fittings of a pipe; NULL: none. */
static const fc_fitting *
valve_in(const struct fci_pipe *pipe)
{
    size_t i;

    for (i = 0; pipe && i < pipe->given->n_fittings; i++)
        if (strstr(pipe->given->fittings[i].name, "valve")
            && !strstr(pipe->given->fittings[i].name, "check"))
            return &pipe->given->fittings[i];
    return NULL;
}

/* What was seen there; false: nothing that is amiss. */
static bool
step_seen(struct fci_working *w, size_t at, const char *name)
{
    const fc_site *site = w->readings->site;
    const fc_fitting *valve = valve_in(site->elements[at].pipe);

    if (fci_was_seen(site, at, FC_SEEN_SHUT))
        fci_work_step(w, "open the %s in %s fully; replace it if it won't",
                      valve ? valve->name : "valve", name);
    else if (fci_was_seen(site, at, FC_SEEN_CLOGGED))
        fci_work_step(w, "clean the strainer of %s", name);
    else
        return false;
    return true;
}

/* What can be opened at an element that is plugged. */
static void
step_at(struct fci_working *w, size_t at, const char *name)
{
    const struct fci_element *element = &w->readings->site->elements[at];
    const fc_fitting *valve = valve_in(element->pipe);

    if (element->part->kind == FCI_SOURCE)
        fci_work_step(w,
                      "check that the curb stop at %s is fully open; ask the "
                      "utility about valves in the main",
                      name);
    else if (valve)
        fci_work_step(w, "check the %s in %s (fittings: %d %s)", valve->name,
                      name, valve->count, valve->name);
    else if (!element->pipe)
        fci_work_step(w,
                      "open the strainer or inlet screen of %s and clean it; "
                      "check that its valves are fully open",
                      name);
}

void
fci_work_stretch(struct fci_working *w)
{
    const fc_site *site = w->readings->site;
    struct fci_words pipes = { w->arena, "", 0 };
    bool seen = false;
    size_t i;
    int round;

    /* what was seen is it: else all that may be there */
    for (round = 0; round < 2 && !seen; round++)
        for (i = 0; i < site->n_elements; i++) {
            const size_t at = site->order[i];
            const char *name =
                fci_part_words(w->arena, site->elements[at].part);

            w->failed |= !name;
            if (!w->between[at] || !name)
                continue;
            if (round == 0)
                seen |= step_seen(w, at, name);
            else
                step_at(w, at, name);
            if (round == 1 && site->elements[at].pipe)
                fci_say(&pipes, ", ", "%s", site->elements[at].name);
        }
    w->failed |= !pipes.text;
    if (pipes.n == 0 || !pipes.text)
        return;
    fci_work_step(w, "a valve or strainer that is not in the file may be "
                     "there");
    fci_work_step(w, "then open a joint of %s: scale or debris in the bore",
                  pipes.text);
}

/* ---- Where ------------------------------------------------------------- */

struct ordering {
    const struct fci_answering *answering;
    fc_diagnosis *out;
    bool *between;
    size_t from, to; /* elements, `to` may be a fixture: */
    size_t to_fixture;
};

static bool
was_read(const struct fci_readings *r, size_t element)
{
    size_t i;

    for (i = 0; i < r->n; i++)
        if (r->gauges[i].place.fixture == FCI_NONE
            && r->gauges[i].place.element == element
            && r->gauges[i].dimension == FC_PRESSURE)
            return true;
    return false;
}

static bool
is_place(const struct fci_readings *r, size_t element)
{
    return fci_gauge_fits(r->site->elements[element].part)
           || was_read(r, element);
}

static size_t
fixture_on(const struct fci_readings *r, size_t element)
{
    size_t i;

    for (i = 0; i < r->site->n_fixtures; i++)
        if (r->site->fixtures[i].element == element
            && fci_gauge_fits(r->site->fixtures[i].part))
            return i;
    return FCI_NONE;
}

/* The one that is fed by an element on the way to what was read or flowed;
 * FCI_NONE: none, or several. */
static size_t
next_below(const struct fci_answering *a, size_t element)
{
    const fc_site *site = a->readings->site;
    size_t i, below = FCI_NONE;

    for (i = 0; i < site->n_elements; i++) {
        if (site->elements[i].parent != element || !a->keep[i])
            continue;
        if (below != FCI_NONE)
            return FCI_NONE;
        below = i;
    }
    return below;
}

/* From the nearest place upstream of the elements from `top` to `end` to the
 * nearest one downstream. */
static void
find_stretch(struct ordering *o, size_t top, size_t end)
{
    const struct fci_answering *a = o->answering;
    const struct fci_readings *r = a->readings;
    const fc_site *site = r->site;
    size_t at;

    memset(o->between, 0, site->n_elements * sizeof *o->between);
    o->from = site->elements[top].parent;
    while (o->from != FCI_NONE && !is_place(r, o->from))
        o->from = site->elements[o->from].parent;
    o->to = end;
    o->to_fixture = FCI_NONE;
    while (!is_place(r, o->to)) {
        o->to_fixture = fixture_on(r, o->to);
        at = next_below(a, o->to);
        if (o->to_fixture != FCI_NONE || at == FCI_NONE)
            break;
        o->to = at;
    }
    for (at = o->to; at != FCI_NONE && at != o->from;
         at = site->elements[at].parent)
        o->between[at] = true;
}

/* ---- What shuts it off ------------------------------------------------- */

static const char *
shut_off_at(struct fci_arena *arena, const struct fci_element *element)
{
    const fc_fitting *valve = valve_in(element->pipe);
    const char *name = fci_part_words(arena, element->part);
    const fc_source *source = element->part->data;

    if (!name)
        return NULL;
    switch (element->part->kind) {
    case FCI_METER:
    case FCI_BACKFLOW:
    case FCI_REDUCER:
    case FCI_PUMP:
        return fci_arena_printf(arena, "the shut-off at %s", name);
    case FCI_SOURCE:
        return fci_arena_printf(arena,
                                source->kind == FC_TANK
                                    ? "the outlet valve of %s"
                                    : "the curb stop at %s",
                                name);
    default:
        return valve
                   ? fci_arena_printf(arena, "the %s in %s", valve->name, name)
                   : "";
    }
}

/* The nearest upstream; a pipe's own valve may be what is amiss, and what is
 * ahead of a supply is the utility's. */
static const char *
isolate_words(const struct ordering *o, const struct fci_fault *fault,
              size_t top)
{
    const fc_site *site = o->answering->readings->site;
    const struct fci_element *first = &site->elements[top];
    const char *text = "";
    size_t at = top;

    if (fault->kind->in_file || fci_doubts(fault))
        return "";
    if (fault->fixture != FCI_NONE && fault->kind != &fci_stop_throttled)
        return "its control stop";
    if (fault->fixture == FCI_NONE
        && (first->pipe || first->parent == FCI_NONE))
        at = first->parent;
    for (; at != FCI_NONE && text && !*text; at = site->elements[at].parent)
        text = shut_off_at(o->answering->arena, &site->elements[at]);
    return text;
}

/* ---- Afterwards -------------------------------------------------------- */

/* The pressure that is furthest from what a sound building shows; FCI_NONE:
 * there is none. */
static size_t
furthest(const struct fci_readings *r, const double *sound)
{
    double most = 0;
    size_t i, worst = FCI_NONE;

    for (i = 0; i < r->n; i++) {
        const struct fci_gauge *g = &r->gauges[i];
        const double off = fabs(g->read - sound[i]) / g->within;

        if (off > most && g->dimension == FC_PRESSURE) {
            most = off;
            worst = i;
        }
    }
    return worst;
}

/* What gauges show without the cause: with what is uncertain as fitted beside
 * it, and as the file has it at midpoint values. */
static fc_status
after_words(const struct ordering *o, const struct fci_cause *cause,
            const char **text)
{
    const struct fci_answering *a = o->answering;
    const struct fci_readings *r = a->readings;
    struct fci_cause sound = *cause;
    double *shows = fci_arena_array(a->arena, r->n + 1, sizeof *shows);
    struct fci_least_squares *fitting = (struct fci_least_squares *)a->fitting;
    const char *flushing, *span, *read;
    bool settled = false;
    fc_status status = FC_ENOMEM;
    size_t i;

    *text = "";
    sound.n_faults = 0;
    if (shows)
        status = fci_cause_shows(fitting, &sound, shows, &settled);
    i = status == FC_OK && settled ? furthest(r, shows) : FCI_NONE;
    if (status != FC_OK || i == FCI_NONE)
        return status;
    flushing =
        fci_flushing_words(a->arena, r->site, &r->events[r->gauges[i].event]);
    span = fci_span_words(
        a->arena, r->site, FC_PRESSURE,
        fmin(shows[i], o->out->readings[i].expected) - r->gauges[i].within,
        fmax(shows[i], o->out->readings[i].expected) + r->gauges[i].within);
    read = fci_span_words(a->arena, r->site, FC_PRESSURE, r->gauges[i].read,
                          r->gauges[i].read);
    *text =
        flushing && span && read ? fci_arena_printf(
            a->arena, "afterwards %s with %s open must read %s (%s read)",
            fci_place_name(r->site, r->gauges[i].place), flushing, span, read)
                                 : NULL;
    return *text ? FC_OK : FC_ENOMEM;
}

/* ---- One order --------------------------------------------------------- */

/* On elements, and not of a fixture, a kind of pipe or the readings. */
static bool
is_on_elements(const struct fci_fault *fault)
{
    return fault->fixture == FCI_NONE && !fault->all && !fault->outlets
           && !fci_doubts(fault);
}

/* Whether what is amiss may be anywhere along a stretch: plugged, scaled or
 * small. */
static bool
is_along(const struct fci_fault *fault)
{
    return is_on_elements(fault) && fault->kind->along[0]
           && (!fault->kind->in_file || fault->kind->dimension == FC_SIZE);
}

/* Whether it is told together with the first: found with it, or not to be told
 * from it by these readings. */
static bool
is_with(const struct fci_cause *first, const struct fci_cause *cause)
{
    return first->n_faults == 1 && cause->n_faults == 1
           && is_along(first->fault[0]) && is_along(cause->fault[0])
           && (first->decided ? cause->decided : cause->group == first->group);
}

/* The topmost element and the lowest of those told together. */
static void
find_ends(const struct ordering *o, const struct fci_cause *first, size_t k,
          size_t *top, size_t *end)
{
    const struct fci_answering *a = o->answering;
    const fc_site *site = a->readings->site;
    size_t i, at;

    *top = first->fault[k]->element;
    *end = first->fault[k]->last;
    for (i = 0; i < a->n; i++) {
        const struct fci_fault *fault = a->causes[i].fault[0];

        if (!is_with(first, &a->causes[i]))
            continue;
        for (at = *top; at != FCI_NONE; at = site->elements[at].parent)
            if (at == fault->element) {
                *top = at;
                break;
            }
        for (at = fault->last; at != FCI_NONE; at = site->elements[at].parent)
            if (at == *end) {
                *end = fault->last;
                break;
            }
    }
}

static const char *
to_name(const struct ordering *o)
{
    const fc_site *site = o->answering->readings->site;

    return o->to_fixture != FCI_NONE
               ? site->fixtures[o->to_fixture].given->name
               : site->elements[o->to].name;
}

/* Where nothing is upstream of it, it may be the main itself. */
static const char *
where_words(const struct ordering *o, const struct fci_cause *cause, size_t k,
            size_t top, size_t end)
{
    const struct fci_answering *a = o->answering;
    const fc_site *site = a->readings->site;

    if (!is_along(cause->fault[k]) || (o->from == FCI_NONE && top == end)
        || (cause->fault[k]->kind->in_file && top == end))
        return fci_fault_words(a->arena, a->readings, cause, k, true);
    if (o->from == FCI_NONE)
        return fci_arena_printf(a->arena,
                                "from %s, its curb stop included, to %s",
                                site->elements[top].name, to_name(o));
    return fci_arena_printf(a->arena, "between %s and %s",
                            site->elements[o->from].name, to_name(o));
}

static const char *
loss_words(const struct ordering *o, const struct fci_cause *cause, size_t k)
{
    const struct fci_answering *a = o->answering;
    const fc_unit_system units = a->readings->site->settings.units;
    const fc_fault told = fci_fault_told(a->readings, cause, k);

    return !(told.flow > 0) || told.at_limit || told.dimension != FC_PRESSURE
               ? ""
               : fci_arena_printf(
                   a->arena, "%s lost at %s",
                   fci_show(units, FC_PRESSURE, told.value).text,
                   fci_show(units, FC_FLOW, told.flow).text);
}

static fc_status
tell_order(struct ordering *o, const struct fci_cause *cause, size_t k,
           fc_work *work)
{
    const struct fci_answering *a = o->answering;
    const struct fci_fault *fault = cause->fault[k];
    const fc_site *site = a->readings->site;
    struct fci_working w = { .arena = a->arena,
                             .readings = a->readings,
                             .fault = fault,
                             .between = o->between,
                             .room = MOST_STEPS };
    size_t top, end;
    fc_status status = FC_OK;

    w.steps = fci_arena_array(a->arena, MOST_STEPS, sizeof *w.steps);
    find_ends(o, cause, k, &top, &end);
    find_stretch(o, top, end);
    if (!w.steps)
        return FC_ENOMEM;
    (top != end && is_along(fault) ? fci_work_stretch
                                   : fault->kind->steps)(&w);
    work->where = where_words(o, cause, k, top, end);
    if (is_along(fault) && o->from != FCI_NONE) {
        work->from = site->elements[o->from].name;
        work->to = to_name(o);
    }
    work->steps = w.steps;
    work->n_steps = w.n;
    work->isolate = isolate_words(o, fault, top);
    work->loss = loss_words(o, cause, k);
    work->after = "put that right in the file and run diagnose again: it must "
                  "check out";
    if (!fault->kind->in_file && !fci_doubts(fault))
        status = after_words(o, cause, &work->after);
    return status == FC_OK
                   && (w.failed || !work->where || !work->isolate
                       || !work->loss || !work->after)
               ? FC_ENOMEM
               : status;
}

/* ---- All --------------------------------------------------------------- */

/* That was found, or else the heaviest; of several along one stretch one that
 * is of the building and not of its file, if there is one. */
static const struct fci_cause *
first_of(const struct fci_answering *a)
{
    const struct fci_cause *heaviest = &a->causes[0];
    size_t i;

    for (i = 0; i < a->n; i++)
        if (a->causes[i].decided)
            return &a->causes[i];
    for (i = 0; i < a->n && heaviest->n_faults == 1; i++)
        if (is_with(heaviest, &a->causes[i])
            && !a->causes[i].fault[0]->kind->in_file)
            return &a->causes[i];
    return heaviest;
}

fc_status
fci_work_tell(const struct fci_answering *a, fc_diagnosis *out)
{
    struct ordering o = { .answering = a, .out = out };
    fc_work *work = fci_arena_array(a->arena, FCI_MOST_FAULTS, sizeof *work);
    const struct fci_cause *cause = first_of(a);
    fc_status status;
    size_t k;

    o.between = fci_arena_array(a->arena, a->readings->site->n_elements,
                                sizeof *o.between);
    status = work && o.between ? FC_OK : FC_ENOMEM;
    for (k = 0; k < cause->n_faults && status == FC_OK; k++)
        status = tell_order(&o, cause, k, &work[k]);
    out->work = work;
    out->n_work = cause->n_faults;
    return status;
}
