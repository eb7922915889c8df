/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/work.c -- a cause as work to be done: where, what, what shuts
 * it off, and what a gauge must read afterwards.
 */
#include "diagnose/work.h"
#include "check/judge.h"
#include "diagnose/fault_kinds.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>

#define MOST_STEPS 24
#define A_RISE 0.3 /* m: less is no rise that a file gets wrong by a story */

/* ---- Steps ------------------------------------------------------------- */

static void
add_step(struct fci_working *w, const char *format, va_list args)
{
    const char *step = fci_arena_vprintf(w->arena, format, args);

    w->failed |= !step;
    if (w->n < w->room)
        w->steps[w->n++] = step;
}

void
fci_work_step(struct fci_working *w, const char *format, ...)
{
    va_list args;

    va_start(args, format);
    add_step(w, format, args);
    va_end(args);
}

static bool
is_upstream(const fc_site *site, size_t element, size_t of)
{
    while (of != FCI_NONE && of != element)
        of = site->elements[of].parent;
    return of != FCI_NONE;
}

void
fci_work_open(struct fci_working *w, size_t element, const char *format, ...)
{
    va_list args;

    if (w->looks_only)
        return;
    if (element == FCI_NONE)
        w->fixture_opened = true;
    else if (w->opened == FCI_NONE
             || is_upstream(w->readings->site, element, w->opened))
        w->opened = element;
    va_start(args, format);
    add_step(w, format, args);
    va_end(args);
}

/* How it is seen that a valve is open, or shut. */
static const char *
turns_words(const char *valve)
{
    return strstr(valve, "gate") ? ": count the turns (a gate off its stem "
                                   "turns and does nothing)"
                                 : "";
}

/* "the gate valve", "the 2 gate valves" */
static const char *
valves_words(struct fci_working *w, const fc_fitting *valve)
{
    const char *text = valve->count > 1
                           ? fci_arena_printf(w->arena, "the %d %ss",
                                              valve->count, valve->name)
                           : fci_arena_printf(w->arena, "the %s", valve->name);

    w->failed |= !text;
    return text ? text : "";
}

/* "1-1/4 in", "1-1/4 to 1-1/2 in": as the file has it. */
const char *
fci_size_words(struct fci_working *w, const struct fci_pipe *pipe)
{
    const fc_range given = pipe->given->size;
    const char *text = given.given && given.high > given.low
                           ? fci_span_words(w->arena, w->readings->site,
                                            FC_SIZE, given.low, given.high)
                           : pipe->size->label;

    w->failed |= !text;
    return text ? text : "";
}

static bool
is_device(const struct fci_element *element)
{
    return !element->pipe && element->part->kind != FCI_SOURCE;
}

/* What was seen to be amiss there; false: nothing. */
static bool
step_seen(struct fci_working *w, size_t at, const char *name)
{
    const fc_site *site = w->readings->site;
    const struct fci_element *element = &site->elements[at];
    const fc_fitting *valve = fci_valve_in(element->pipe);
    const bool shut = fci_was_seen(site, at, FC_SEEN_SHUT);

    if (shut && element->part->kind == FCI_SOURCE)
        fci_work_step(w,
                      "have the curb stop at %s opened fully, by the utility "
                      "or with its key",
                      name);
    else if (shut && valve)
        fci_work_step(w, "open %s in %s fully%s", valves_words(w, valve), name,
                      turns_words(valve->name));
    else if (shut)
        fci_work_step(w, "open the valves at %s fully", name);
    else if (fci_was_seen(site, at, FC_SEEN_CLOGGED))
        fci_work_open(w, at, "clean the strainer of %s", name);
    else
        return false;
    w->doubted[at] = shut;
    if (shut && element->part->kind != FCI_SOURCE)
        fci_work_open(w, at, "replace what won't open fully");
    return true;
}

/* What is looked at, and opens nothing. */
static void
step_look(struct fci_working *w, size_t at, const char *name)
{
    const fc_site *site = w->readings->site;
    const struct fci_element *element = &site->elements[at];
    const fc_fitting *valve = fci_valve_in(element->pipe);
    const unsigned suspect = w->suspect[at];

    if (suspect & FCI_MAY_BE_PLUGGED
        && !fci_was_seen(site, at, FC_SEEN_OPEN)) {
        w->doubted[at] = !is_device(element);
        if (element->part->kind == FCI_SOURCE)
            fci_work_step(w,
                          "see that the curb stop at %s is fully open (the "
                          "utility's, or its key); ask about valves in the "
                          "main",
                          name);
        else if (valve)
            fci_work_step(w, "see that %s in %s %s fully open%s",
                          valves_words(w, valve), name,
                          valve->count > 1 ? "are" : "is",
                          turns_words(valve->name));
        else if (is_device(element))
            fci_work_step(w, "see that the valves at %s are fully open", name);
    }
    if (suspect & FCI_MAY_BE_SIZE)
        fci_work_step(w,
                      "measure the outside diameter of %s (wrap tape) and "
                      "enter its size: the file says %s",
                      name, fci_size_words(w, element->pipe));
    if (suspect & FCI_MAY_BE_PRV)
        fci_work_step(w,
                      "look for a PRV downstream of %s, and enter it with "
                      "its set pressure",
                      name);
}

/* Whether its height is under suspicion; of several that rise or fall those
 * alone. */
static bool
is_to_tape(const struct fci_working *w, size_t at, double least)
{
    return w->suspect[at] & FCI_MAY_BE_HEIGHT
           && fabs(w->readings->site->elements[at].rise.nominal) >= least;
}

static void
step_tape(struct fci_working *w)
{
    const fc_site *site = w->readings->site;
    struct fci_words rises = { w->arena, "", 0 };
    double least = A_RISE;
    size_t i;

    for (i = 0; i < site->n_elements && !is_to_tape(w, i, least); i++)
        ;
    if (i == site->n_elements)
        least = 0;
    for (i = 0; i < site->n_elements; i++) {
        const size_t at = site->order[i];

        if (is_to_tape(w, at, least))
            fci_say(&rises, ", ", "%s (the file says %s)",
                    site->elements[at].name,
                    fci_show(site->settings.units, FC_LENGTH,
                             site->elements[at].rise.nominal)
                        .text);
    }
    w->failed |= !rises.text;
    if (rises.n > 0 && rises.text)
        fci_work_step(w, "tape the rise of %s", rises.text);
}

/* Each that was not seen to be clean. */
static void
step_strainer(struct fci_working *w, size_t at, const char *name)
{
    if (w->suspect[at] & FCI_MAY_BE_PLUGGED
        && is_device(&w->readings->site->elements[at])
        && !fci_was_seen(w->readings->site, at, FC_SEEN_CLEAN))
        fci_work_open(w, at,
                      "open the strainer or inlet screen of %s and clean it",
                      name);
}

static void
open_joints(struct fci_working *w)
{
    const fc_site *site = w->readings->site;
    struct fci_words pipes = { w->arena, "", 0 };
    unsigned all = 0;
    size_t i, top = FCI_NONE;

    for (i = 0; i < site->n_elements; i++) {
        const size_t at = site->order[i];

        if (!site->elements[at].pipe
            || !(w->suspect[at] & (FCI_MAY_BE_PLUGGED | FCI_MAY_BE_SCALED)))
            continue;
        all |= w->suspect[at];
        top = top == FCI_NONE ? at : top;
        fci_say(&pipes, ", ", "%s", site->elements[at].name);
    }
    w->failed |= !pipes.text;
    if (pipes.n == 0 || !pipes.text)
        return;
    if (all & FCI_MAY_BE_PLUGGED)
        fci_work_step(w, "look for a valve or strainer that is not in the "
                         "file");
    fci_work_open(w, top,
                  "last, open a joint of %s: scale or debris in the "
                  "bore",
                  pipes.text);
    if (all & FCI_MAY_BE_SCALED)
        fci_work_open(w, top, "replace scaled pipe, the worst stretch first");
}

/* Of the file's figures alone, what is left to do once they are measured. */
static void
correct_file(struct fci_working *w)
{
    const unsigned paper =
        FCI_MAY_BE_SIZE | FCI_MAY_BE_HEIGHT | FCI_MAY_BE_PRV;
    size_t i;

    for (i = 0; i < w->readings->site->n_elements; i++)
        if (w->suspect[i] & ~paper)
            return;
    if (!w->looks_only)
        fci_work_step(w, "correct the file; open nothing");
}

void
fci_work_stretch(struct fci_working *w)
{
    const fc_site *site = w->readings->site;
    bool seen = false;
    size_t i;
    int round;

    /* what was seen is it: else looks, then what is opened */
    for (round = 0; round < 3 && !seen; round++) {
        if (round == 2)
            step_tape(w);
        for (i = 0; i < site->n_elements; i++) {
            const size_t at = site->order[i];
            const char *name;

            if (!w->suspect[at])
                continue;
            name = fci_part_words(w->arena, site->elements[at].part);
            w->failed |= !name;
            if (!name)
                continue;
            if (round == 0)
                seen |= w->suspect[at] & FCI_MAY_BE_PLUGGED
                        && step_seen(w, at, name);
            else
                (round == 1 ? step_look : step_strainer)(w, at, name);
        }
    }
    if (seen)
        return;
    open_joints(w);
    correct_file(w);
}

/* ---- Where ------------------------------------------------------------- */

struct ordering {
    const struct fci_answering *answering;
    fc_diagnosis *out;
    const bool *with;  /* by cause: told together with the first */
    unsigned *suspect; /* by element */
    bool *doubted;
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
 * nearest one downstream; what is yet to be read has its own ends. */
static void
find_stretch(struct ordering *o, size_t top, size_t end)
{
    const struct fci_answering *a = o->answering;
    const struct fci_readings *r = a->readings;
    const fc_site *site = r->site;
    size_t at;

    o->from = site->elements[top].parent;
    while (a->decided && o->from != FCI_NONE && !is_place(r, o->from))
        o->from = site->elements[o->from].parent;
    o->to = end;
    o->to_fixture = FCI_NONE;
    while (a->decided && !is_place(r, o->to)) {
        o->to_fixture = fixture_on(r, o->to);
        at = next_below(a, o->to);
        if (o->to_fixture != FCI_NONE || at == FCI_NONE)
            break;
        o->to = at;
    }
}

/* ---- What shuts it off ------------------------------------------------- */

static const char *
shut_off_at(struct fci_arena *arena, const struct fci_element *element)
{
    const fc_fitting *valve = fci_valve_in(element->pipe);
    const char *name = fci_part_words(arena, element->part);
    const fc_source *source = element->part->data;

    if (!name)
        return NULL;
    switch (element->part->kind) {
    case FCI_METER:
    case FCI_BACKFLOW:
    case FCI_REDUCER:
    case FCI_PUMP:
        return fci_arena_printf(arena, "the inlet shut-off at %s", name);
    case FCI_SOURCE:
        return source->kind == FC_TANK
                   ? fci_arena_printf(arena, "the outlet valve of %s", name)
                   : fci_arena_printf(arena,
                                      "the curb stop at %s (the utility's, or "
                                      "its key)",
                                      name);
    default:
        return valve ? fci_arena_printf(arena, "the %s in %s%s", valve->name,
                                        name, turns_words(valve->name))
                     : "";
    }
}

/* The nearest upstream of all that is opened: not a valve that may be what is
 * amiss, nor one in the pipe that is opened itself.  Where water may come
 * around, none upstream shuts it off alone. */
static const char *
isolate_words(const struct ordering *o, const struct fci_working *w)
{
    const fc_site *site = o->answering->readings->site;
    struct fci_arena *arena = o->answering->arena;
    const char *text = "";
    size_t at = w->opened;

    if (at == FCI_NONE && !w->fixture_opened)
        return "";
    if (at == FCI_NONE)
        return fci_arena_printf(arena,
                                "the control stop of %s, and flush to see "
                                "that it shuts off: an old stop may not",
                                site->fixtures[w->fault->fixture].given->name);
    if (site->n_loops > 0 || site->n_sources > 1)
        return "every supply to it, since water may come from several sides: "
               "a valve on each of them, or else at every source. Open it "
               "only "
               "once no water comes, and tell those who lose it";
    if (site->elements[at].pipe && w->fault->fixture == FCI_NONE)
        at = site->elements[at].parent;
    for (; at != FCI_NONE && text && !*text; at = site->elements[at].parent)
        text = w->doubted[at] ? "" : shut_off_at(arena, &site->elements[at]);
    if (text && !*text)
        text = "the utility, in the street: the curb stop itself is suspect";
    return text ? fci_arena_printf(arena,
                                   "%s. An old valve may not hold: know the "
                                   "next one upstream, and tell those who "
                                   "lose water",
                                   text)
                : NULL;
}

/* ---- Afterwards -------------------------------------------------------- */

/* What a gauge there shows once the work is done, its accuracy included: with
 * what is uncertain as fitted beside the cause, and as the file has it at
 * midpoint values. */
static void
sound_span(const struct ordering *o, const double *shows, size_t i,
           double *low, double *high)
{
    const double expected = o->out->readings[i].expected;
    const double within = o->answering->readings->gauges[i].within;

    *low = fmin(shows[i], expected) - within;
    *high = fmax(shows[i], expected) + within;
}

/* The pressure that is furthest outside of what it will be: one that is inside
 * already would prove nothing.  FCI_NONE: there is none. */
static size_t
furthest(const struct ordering *o, const double *shows)
{
    const struct fci_readings *r = o->answering->readings;
    double most = 0;
    size_t i, worst = FCI_NONE;

    for (i = 0; i < r->n; i++) {
        double low, high, off;

        if (r->gauges[i].dimension != FC_PRESSURE)
            continue;
        sound_span(o, shows, i, &low, &high);
        off = fmax(low - r->gauges[i].read, r->gauges[i].read - high);
        if (!(off > most))
            continue;
        most = off;
        worst = i;
    }
    return worst;
}

/* What the valve there needs, where it may have less even then; "". */
static const char *
short_words(const struct ordering *o, size_t gauge, double low)
{
    const struct fci_readings *r = o->answering->readings;
    const size_t fixture = r->gauges[gauge].place.fixture;
    struct fci_requirement need;

    if (fixture == FCI_NONE || !r->site->fixtures[fixture].valve[r->state]
        || r->events[r->gauges[gauge].event].n == 0)
        return "";
    need = fci_requirement_of(r->site, &r->site->fixtures[fixture], r->state);
    return need.least.given && low < need.least.nominal
               ? fci_arena_printf(o->answering->arena,
                                  "; it may still be short: it requires %s",
                                  fci_about(r->site->settings.units,
                                            FC_PRESSURE, need.least.nominal)
                                      .text)
               : "";
}

static fc_status
after_words(const struct ordering *o, const struct fci_cause *cause,
            const char **text)
{
    const struct fci_answering *a = o->answering;
    const struct fci_readings *r = a->readings;
    const fc_unit_system units = r->site->settings.units;
    struct fci_cause sound = *cause;
    double *shows = fci_arena_array(a->arena, r->n + 1, sizeof *shows);
    const char *flushing, *still;
    bool settled = false;
    fc_status status = FC_ENOMEM;
    double low, high;
    size_t i;

    *text = "";
    sound.n_faults = 0;
    if (shows)
        status = fci_cause_shows(a->fitting, &sound, shows, &settled);
    i = status == FC_OK && settled ? furthest(o, shows) : FCI_NONE;
    if (status != FC_OK || i == FCI_NONE)
        return status;
    sound_span(o, shows, i, &low, &high);
    flushing =
        fci_flushing_words(a->arena, r->site, &r->events[r->gauges[i].event]);
    still = short_words(o, i, low);
    if (!flushing || !still)
        return FC_ENOMEM;
    *text = fci_arena_printf(
        a->arena,
        "%s with %s open must %s from %s to between %s and %s%s. "
        "Then take the readings made before the repair out of the file",
        fci_place_name(r->site, r->gauges[i].place), flushing,
        r->gauges[i].read < low ? "rise" : "fall",
        fci_show(units, FC_PRESSURE, r->gauges[i].read).text,
        fci_show(units, FC_PRESSURE, low).text,
        fci_show(units, FC_PRESSURE, high).text, still);
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
 * another figure than the file's. */
static bool
is_along(const struct fci_fault *fault)
{
    return is_on_elements(fault) && fault->kind->suspect;
}

/* What it may be, of the k-th fault. */
static unsigned
suspect_of(const struct fci_cause *cause, size_t k)
{
    const struct fci_fault_kind *kind = cause->fault[k]->kind;

    return kind->suspect == FCI_MAY_BE_SCALED && cause->x[k] < 0
               ? FCI_MAY_BE_SMOOTH
               : kind->suspect;
}

/* Whether a figure of the file is put right with it, and not the building. */
static bool
is_paper(const struct fci_cause *cause, size_t k)
{
    return cause->fault[k]->kind->in_file
           || suspect_of(cause, k) == FCI_MAY_BE_SMOOTH;
}

static bool
is_with(const struct ordering *o, const struct fci_cause *first, size_t i)
{
    const struct fci_cause *cause = &o->answering->causes[i];

    return o->with[i] && first->n_faults == 1 && cause->n_faults == 1
           && is_along(first->fault[0]) && is_along(cause->fault[0]);
}

static void
mark_suspects(const struct ordering *o, const struct fci_cause *cause,
              size_t k)
{
    const fc_site *site = o->answering->readings->site;
    const struct fci_fault *fault = cause->fault[k];
    size_t at;

    for (at = fault->last; at != fault->element;
         at = site->elements[at].parent)
        o->suspect[at] |= suspect_of(cause, k);
    o->suspect[at] |= suspect_of(cause, k);
}

/* The topmost element and the lowest of those told together, and what they may
 * be; whether there are several. */
static bool
find_ends(const struct ordering *o, const struct fci_cause *first, size_t k,
          size_t *top, size_t *end)
{
    const struct fci_answering *a = o->answering;
    const fc_site *site = a->readings->site;
    size_t i, at, n = 0;

    *top = first->fault[k]->element;
    *end = first->fault[k]->last;
    memset(o->suspect, 0, site->n_elements * sizeof *o->suspect);
    memset(o->doubted, 0, site->n_elements * sizeof *o->doubted);
    if (is_along(first->fault[k]))
        mark_suspects(o, first, k);
    for (i = 0; i < a->n; i++) {
        const struct fci_fault *fault = a->causes[i].fault[0];

        if (!is_with(o, first, i))
            continue;
        n++;
        mark_suspects(o, &a->causes[i], 0);
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
    return n > 1;
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
        || (is_paper(cause, k) && top == end))
        return a->found && cause->n_faults == 1
                   ? a->found
                   : fci_fault_words(a->arena, a->readings, cause, k, true);
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
    const fc_fault told = fci_fault_told(a->readings, cause, k);

    return !(told.flow > 0) || told.at_limit || told.dimension != FC_PRESSURE
                   || cause->fault[k]->fixture != FCI_NONE
               ? ""
               : fci_lost_words(a->arena, a->readings,
                                cause->fault[k]->element, "", told.value,
                                told.flow);
}

/* The outlets of all places where water may run that are told with it. */
static const bool *
mark_running(const struct ordering *o, const struct fci_cause *cause, size_t k)
{
    const struct fci_answering *a = o->answering;
    bool *running = fci_arena_array(
        a->arena, a->readings->site->n_fixtures + 1, sizeof *running);
    size_t i, j;

    for (i = 0; running && i < a->n; i++) {
        const struct fci_cause *other = &a->causes[i];
        const struct fci_fault *fault =
            other == cause ? cause->fault[k] : other->fault[0];
        const bool with =
            other == cause
            || (cause->n_faults == 1 && fci_runs_on(other)
                && (cause->decided ? other->decided
                                   : other->group == cause->group));

        for (j = 0; with && j < fault->n_outlets; j++)
            running[fault->outlets[j]] = true;
    }
    return running;
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
                             .value =
                                 fci_fault_told(a->readings, cause, k).value,
                             .looks_only = !a->decided,
                             .suspect = o->suspect,
                             .doubted = o->doubted,
                             .opened = FCI_NONE,
                             .room = MOST_STEPS };
    size_t top, end;
    bool several;
    fc_status status = FC_OK;

    w.steps = fci_arena_array(a->arena, MOST_STEPS, sizeof *w.steps);
    several = find_ends(o, cause, k, &top, &end);
    find_stretch(o, top, end);
    w.running = mark_running(o, cause, k);
    if (!w.steps || !w.running)
        return FC_ENOMEM;
    (several ? fci_work_stretch : fault->kind->steps)(&w);
    work->where = where_words(o, cause, k, top, end);
    if (is_along(fault) && o->from != FCI_NONE) {
        work->from = site->elements[o->from].name;
        work->to = to_name(o);
    }
    work->steps = w.steps;
    work->n_steps = w.n;
    work->isolate = isolate_words(o, &w);
    work->loss = loss_words(o, cause, k);
    work->after = "";
    if (a->decided && !is_paper(cause, k) && !fci_doubts(fault))
        status = after_words(o, cause, &work->after);
    return status == FC_OK
                   && (w.failed || !work->where || !work->isolate
                       || !work->loss || !work->after)
               ? FC_ENOMEM
               : status;
}

/* ---- All --------------------------------------------------------------- */

/* The heaviest of those that are told first; of several along one stretch one
 * that is of the building and not of its file, if there is one. */
static const struct fci_cause *
first_of(const struct ordering *o)
{
    const struct fci_answering *a = o->answering;
    const struct fci_cause *heaviest = NULL;
    size_t i;

    for (i = 0; i < a->n && !heaviest; i++)
        if (o->with[i])
            heaviest = &a->causes[i];
    for (i = 0; i < a->n && heaviest; i++)
        if (is_with(o, heaviest, i) && !is_paper(&a->causes[i], 0))
            return &a->causes[i];
    return heaviest;
}

fc_status
fci_work_tell(const struct fci_answering *a, const bool *first,
              fc_diagnosis *out)
{
    const size_t n = a->readings->site->n_elements;
    struct ordering o = { .answering = a, .out = out, .with = first };
    fc_work *work = fci_arena_array(a->arena, FCI_MOST_FAULTS, sizeof *work);
    bool *decided = fci_arena_array(a->arena, a->n + 1, sizeof *decided);
    const struct fci_cause *cause;
    fc_status status;
    size_t k, i;

    o.suspect = fci_arena_array(a->arena, n, sizeof *o.suspect);
    o.doubted = fci_arena_array(a->arena, n, sizeof *o.doubted);
    if (!work || !decided || !o.suspect || !o.doubted)
        return FC_ENOMEM;
    for (i = 0; i < a->n; i++)
        decided[i] = a->causes[i].decided;
    if (a->decided)
        o.with = decided;
    cause = first_of(&o);
    status = FC_OK;
    for (k = 0; cause && k < cause->n_faults && status == FC_OK; k++)
        status = tell_order(&o, cause, k, &work[k]);
    out->work = work;
    out->n_work = cause ? cause->n_faults : 0;
    return status;
}
