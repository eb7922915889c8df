/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/looks.c -- what was looked at, which rules faults out or in.
 *
 * A blockage of a device is, as a rule, its strainer, else a valve beside it;
 * of a pipe, a valve in it, else the pipe itself; of a main, its curb stop.
 * A look tells of the one and not of the other.  How often it is which is
 * common practice.
 */
#include "diagnose/looks.h"
#include "diagnose/fault_kinds.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define FCI_LOOK FCI_KINDS
/* Of what blocks a device its strainer, and its valves. */
#define STRAINER 0.65
#define VALVES 0.3
/* Of what blocks a pipe that has a valve in it; of a choked main its stop. */
#define VALVE_IN_PIPE 0.7
#define CURB_STOP 0.8
/* What was seen is so many times as likely. */
#define SEEN 1000.0
/* What was ruled out is hardly possible. */
#define RULED_OUT 0.001

/* ---- Taking them ------------------------------------------------------- */

static void
number_parts(const fc_site *site, size_t *of_part)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        of_part[site->elements[i].part - site->parts] = i;
    for (i = 0; i < site->n_fixtures; i++)
        of_part[site->fixtures[i].part - site->parts] = i;
}

static void
take_look(struct fci_looks *l, const fc_look *look, const size_t *of_part)
{
    const size_t part = fci_site_find_index(l->site, FCI_PIPE, look->at);
    const size_t at = of_part[part];
    const bool fixture = l->site->parts[part].kind == FCI_FIXTURE;

    l->n++;
    if (look->shows != FC_SEEN_NOTHING)
        (fixture ? l->fixture : l->element)[at] |= FCI_SEEN(look->shows);
    if (look->rise.given)
        (fixture ? l->taped_inlet : l->taped)[at] = true;
    if (look->size.given && !fixture)
        l->sized[at] = true;
}

/* A dial is read at its meter. */
static void
take_dial(struct fci_looks *l, const fc_reading *reading,
          const size_t *of_part)
{
    const size_t part = fci_site_find_index(l->site, FCI_PIPE, reading->at);

    if (reading->dial == FC_SEEN_NOTHING)
        return;
    l->n++;
    l->element[of_part[part]] |= FCI_SEEN(reading->dial);
}

fc_status
fci_looks_take(struct fci_looks *l, const fc_site *site,
               struct fci_arena *arena)
{
    size_t *of_part =
        fci_arena_array(arena, site->n_parts + 1, sizeof *of_part);
    const size_t n = site->n_elements + 1, m = site->n_fixtures + 1;
    size_t i;

    l->site = site;
    l->element = fci_arena_array(arena, n, sizeof *l->element);
    l->fixture = fci_arena_array(arena, m, sizeof *l->fixture);
    l->taped = fci_arena_array(arena, n, sizeof *l->taped);
    l->taped_inlet = fci_arena_array(arena, m, sizeof *l->taped);
    l->sized = fci_arena_array(arena, n, sizeof *l->sized);
    if (arena->failed)
        return FC_ENOMEM;
    number_parts(site, of_part);
    for (i = 0; i < site->n_parts; i++) {
        const struct fci_part *part = &site->parts[i];

        if (part->kind == FCI_LOOK)
            take_look(l, part->data, of_part);
        else if (part->kind == FCI_READING)
            take_dial(l, part->data, of_part);
    }
    return FC_OK;
}

/* ---- Measured ---------------------------------------------------------- */

/* Sets a length or a nominal size of a part. */
static fc_status
put(fc_site *site, const char *at, const char *key, double metres,
    fc_diagnostics *messages)
{
    char value[64];

    snprintf(value, sizeof value, "%.9g in", metres / 0.0254);
    return fc_site_change(site, at, key, value, messages);
}

static bool
differs(fc_range given, fc_range measured)
{
    return measured.given
           && !(given.given && fabs(given.low - measured.nominal) < 1e-6
                && fabs(given.high - measured.nominal) < 1e-6);
}

static fc_status
measure(const struct fci_looks *l, const fc_look *look, fc_site **copy)
{
    const struct fci_part *part =
        &l->site->parts[fci_site_find_index(l->site, FCI_PIPE, look->at)];
    const fc_range none = { false, 0, 0, 0 };
    const fc_pipe *pipe = part->kind == FCI_PIPE ? part->data : NULL;
    const fc_fixture *fixture =
        part->kind == FCI_FIXTURE ? part->data : NULL;
    const fc_range rise = pipe      ? pipe->rise
                          : fixture ? fixture->rise
                                    : none;
    fc_status status = FC_OK;

    if (!differs(rise, look->rise)
        && !(pipe && differs(pipe->length, look->length))
        && !(pipe && differs(pipe->size, look->size)))
        return FC_OK;
    if (!*copy)
        status = fc_site_copy(l->site, copy, NULL);
    if (status == FC_OK && pipe && differs(pipe->length, look->length))
        status = put(*copy, look->at, "length", look->length.nominal, NULL);
    /* a pipe is no shorter than it rises */
    if (status == FC_OK && pipe && differs(rise, look->rise)
        && !look->length.given
        && pipe->length.low < fabs(look->rise.nominal))
        status = put(*copy, look->at, "length",
                     fmax(pipe->length.nominal, fabs(look->rise.nominal)),
                     NULL);
    if (status == FC_OK && differs(rise, look->rise))
        status = put(*copy, look->at, "rise", look->rise.nominal, NULL);
    if (status == FC_OK && pipe && differs(pipe->size, look->size))
        status = put(*copy, look->at, "size", look->size.nominal, NULL);
    return status;
}

fc_status
fci_looks_measured(const struct fci_looks *l, fc_site **copy)
{
    fc_status status = FC_OK;
    size_t i;

    *copy = NULL;
    for (i = 0; i < l->site->n_parts && status == FC_OK; i++)
        if (l->site->parts[i].kind == FCI_LOOK)
            status = measure(l, l->site->parts[i].data, copy);
    if (status == FC_OK && *copy)
        status = fc_site_finish(*copy, NULL);
    if (status != FC_OK) {
        fc_site_free(*copy);
        *copy = NULL;
    }
    return status;
}

/* ---- Weighing ---------------------------------------------------------- */

/* A meter whose dial was watched with every outlet shut, on the way to an
 * element; FCI_NONE: none. */
static size_t
meter_before(const fc_site *site, size_t at, const unsigned *seen)
{
    for (; at != FCI_NONE; at = site->elements[at].parent)
        if (site->elements[at].part->kind == FCI_METER
            && (!seen
                || seen[at]
                       & (FCI_SEEN(FC_SEEN_TURNING) | FCI_SEEN(FC_SEEN_STILL))))
            return at;
    return FCI_NONE;
}

static bool
has_valve(const struct fci_pipe *pipe)
{
    size_t i;

    for (i = 0; pipe && i < pipe->given->n_fittings; i++)
        if (strstr(pipe->given->fittings[i].name, "valve"))
            return true;
    return false;
}

/* How likely a blockage of an element is by what was seen of its strainer and
 * its valves. */
static double
seen_blocked(const struct fci_looks *l, size_t at)
{
    const struct fci_element *element = &l->site->elements[at];
    const enum fci_kind kind = element->part->kind;
    const unsigned seen = l->element[at];
    const double strainer = kind == FCI_PIPE || kind == FCI_SOURCE ? 0
                                                                   : STRAINER;
    const double valve = kind == FCI_SOURCE ? CURB_STOP
                         : kind != FCI_PIPE ? VALVES
                         : has_valve(element->pipe) ? VALVE_IN_PIPE
                                                    : 0;

    if (seen & (FCI_SEEN(FC_SEEN_CLOGGED) | FCI_SEEN(FC_SEEN_SHUT)))
        return SEEN;
    return fmax(RULED_OUT,
                1 - (seen & FCI_SEEN(FC_SEEN_CLEAN) ? strainer : 0)
                    - (seen & FCI_SEEN(FC_SEEN_OPEN) ? valve : 0));
}

static double
seen_either(unsigned seen, fc_sight fault, fc_sight sound)
{
    return seen & FCI_SEEN(fault)   ? SEEN
           : seen & FCI_SEEN(sound) ? RULED_OUT
                                    : 1;
}

static double
seen_of(const struct fci_looks *l, const struct fci_fault *fault)
{
    size_t at = fault->element;

    switch (fault->kind->kind) {
    case FC_BLOCKED:
    case FC_SUPPLY_SAG:
        return seen_blocked(l, at);
    case FC_STOP_THROTTLED:
        return seen_either(l->fixture[fault->fixture], FC_SEEN_SHUT,
                           FC_SEEN_OPEN);
    case FC_PUMP_OFF:
        return seen_either(l->element[at], FC_SEEN_STILL, FC_SEEN_TURNING);
    case FC_RUNNING_OUTLET:
        at = meter_before(l->site, at, l->element);
        return at == FCI_NONE ? 1
                              : seen_either(l->element[at], FC_SEEN_TURNING,
                                            FC_SEEN_STILL);
    case FC_HEIGHT:
        return (fault->fixture == FCI_NONE
                    ? l->taped[at]
                    : l->taped_inlet[fault->fixture])
                   ? RULED_OUT
                   : 1;
    case FC_SMALLER_SIZE:
    case FC_LARGER_SIZE:
        return l->sized[at] ? RULED_OUT : 1;
    default:
        return 1;
    }
}

void
fci_looks_weigh(const struct fci_looks *l, struct fci_faults *faults)
{
    size_t i;

    for (i = 0; i < faults->n; i++)
        faults->list[i].seen = seen_of(l, &faults->list[i]);
}

/* ---- What a look would show -------------------------------------------- */

/* The strainer of a device before its valves; of what is left of both no look
 * tells. */
static fc_task
look_at_blockage(const struct fci_looks *l, size_t at, double *share)
{
    const struct fci_element *element = &l->site->elements[at];
    const enum fci_kind kind = element->part->kind;
    const unsigned seen = l->element[at];
    const bool device = kind != FCI_PIPE && kind != FCI_SOURCE;

    if (device && !(seen & FCI_SEEN(FC_SEEN_CLEAN))) {
        *share = STRAINER;
        return FC_TASK_STRAINER;
    }
    if (seen & FCI_SEEN(FC_SEEN_OPEN))
        return FC_TASK_NONE;
    *share = device                     ? VALVES / (1 - STRAINER)
             : kind == FCI_SOURCE       ? CURB_STOP
             : has_valve(element->pipe) ? VALVE_IN_PIPE
                                        : 0;
    return *share > 0 ? FC_TASK_STOP : FC_TASK_NONE;
}

fc_task
fci_look_for(const struct fci_looks *l, const struct fci_fault *fault,
             struct fci_gauge_place *place, double *share)
{
    const size_t at = fault->element;

    *place = (struct fci_gauge_place){ at, FCI_NONE };
    *share = 1;
    if (fault->seen > 1 || fault->seen <= RULED_OUT)
        return FC_TASK_NONE; /* it was taken */
    switch (fault->kind->kind) {
    case FC_BLOCKED:
    case FC_SUPPLY_SAG:
        return look_at_blockage(l, at, share);
    case FC_STOP_THROTTLED:
        place->fixture = fault->fixture;
        return FC_TASK_STOP;
    case FC_PUMP_OFF:
        return FC_TASK_PUMP;
    case FC_RUNNING_OUTLET:
        place->element = meter_before(l->site, at, NULL);
        return place->element == FCI_NONE ? FC_TASK_NONE : FC_TASK_DIAL;
    case FC_HEIGHT:
        place->fixture = fault->fixture;
        return FC_TASK_TAPE;
    default:
        return FC_TASK_NONE;
    }
}
