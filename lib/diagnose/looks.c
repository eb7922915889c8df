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
#include "site/pipe_size.h"

#include <math.h>
#include <string.h>

#define SAME_SIZE 1e-6 /* m: sizes come from texts in several units */

/* Of what blocks a device its strainer, and its valves. */
#define STRAINER 0.65
#define VALVES 0.3
/* Of what blocks a pipe that has a valve in it; of a choked main its stop. */
#define VALVE_IN_PIPE 0.7
#define CURB_STOP 0.8
/* What was seen is so many times as likely. */
#define SEEN 1000.0
/* What was ruled out is no cause. */
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

    if (look->shows != FC_SEEN_NOTHING)
        (fixture ? l->fixture : l->element)[at] |= FCI_SEEN(look->shows);
    if (look->rise.given)
        (fixture ? l->inlet : l->rise)[at] = look->rise;
    if (look->length.given && !fixture)
        l->length[at] = look->length;
    if (look->size.given && !fixture)
        l->size[at] = look->size;
}

/* A dial is read at its meter. */
static void
take_dial(struct fci_looks *l, const fc_reading *reading,
          const size_t *of_part)
{
    const size_t part = fci_site_find_index(l->site, FCI_PIPE, reading->at);

    if (reading->dial != FC_SEEN_NOTHING)
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
    l->rise = fci_arena_array(arena, n, sizeof *l->rise);
    l->inlet = fci_arena_array(arena, m, sizeof *l->inlet);
    l->length = fci_arena_array(arena, n, sizeof *l->length);
    l->size = fci_arena_array(arena, n, sizeof *l->size);
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

/* A tape may be off by so much; a height within that of its range is one. */
#define TAPED 0.03 /* m, common practice */

static bool
is_within(fc_range given, double measured)
{
    return measured >= given.low - TAPED && measured <= given.high + TAPED;
}

/* One of the sizes that the file leaves open; another is a fault. */
static bool
is_size_within(const struct fci_element *element, fc_range size)
{
    const fc_range given = element->pipe->given->size;

    return size.nominal >= given.low - SAME_SIZE
           && size.nominal <= given.high + SAME_SIZE;
}

static void
put_size(struct fci_fault_trial *t, size_t here, const struct fci_pipe *pipe,
         fc_range measured)
{
    const struct fci_size *size =
        pipe->material && !pipe->measured_bore
            ? fci_material_size(pipe->material, measured.nominal)
            : NULL;

    if (!size)
        return;
    if (pipe->given->n_fittings > 0)
        t->variant.pipes[here].equivalent =
            fci_equivalent_length(&t->variant.pipes[here], size->nominal);
    fci_variant_pipe(&t->variant, here, 0, size->bore);
}

/* A rise that is not what the file says is a fault, and not put here. */
void
fci_looks_apply(const struct fci_looks *l, struct fci_fault_trial *t)
{
    size_t i;

    for (i = 0; i < l->site->n_elements; i++) {
        const size_t here = t->here[i];

        if (here == FCI_NONE)
            continue;
        if (l->length[i].given)
            fci_variant_length(&t->variant, here, l->length[i].nominal);
        if (l->size[i].given
            && is_size_within(&l->site->elements[i], l->size[i]))
            put_size(t, here, l->site->elements[i].pipe, l->size[i]);
        if (l->rise[i].given
            && is_within(l->site->elements[i].rise, l->rise[i].nominal))
            t->variant.site.elements[here].rise = l->rise[i];
    }
    for (i = 0; i < l->site->n_fixtures; i++) {
        const size_t here = t->fixture_here[i];

        if (here != FCI_NONE && l->inlet[i].given
            && is_within(l->site->fixtures[i].given->rise,
                         l->inlet[i].nominal))
            fci_variant_fixture(&t->variant, here)->rise = l->inlet[i];
    }
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
                       & (FCI_SEEN(FC_SEEN_TURNING)
                          | FCI_SEEN(FC_SEEN_STILL))))
            return at;
    return FCI_NONE;
}

const fc_fitting *
fci_valve_in(const struct fci_pipe *pipe)
{
    size_t i;

    for (i = 0; pipe && i < pipe->given->n_fittings; i++)
        if (strstr(pipe->given->fittings[i].name, "valve")
            && !strstr(pipe->given->fittings[i].name, "check"))
            return &pipe->given->fittings[i];
    return NULL;
}

/* How likely a blockage of an element is by what was seen of its strainer and
 * its valves. */
static double
seen_blocked(const struct fci_looks *l, size_t at)
{
    const struct fci_element *element = &l->site->elements[at];
    const enum fci_kind kind = element->part->kind;
    const unsigned seen = l->element[at];
    const double strainer =
        kind == FCI_PIPE || kind == FCI_SOURCE ? 0 : STRAINER;
    const double valve = kind == FCI_SOURCE            ? CURB_STOP
                         : kind != FCI_PIPE            ? VALVES
                         : fci_valve_in(element->pipe) ? VALVE_IN_PIPE
                                                       : 0;

    if (seen & (FCI_SEEN(FC_SEEN_CLOGGED) | FCI_SEEN(FC_SEEN_SHUT)))
        return SEEN;
    return fmax(RULED_OUT, 1 - (seen & FCI_SEEN(FC_SEEN_CLEAN) ? strainer : 0)
                               - (seen & FCI_SEEN(FC_SEEN_OPEN) ? valve : 0));
}

static double
seen_either(unsigned seen, fc_sight fault, fc_sight sound)
{
    return seen & FCI_SEEN(fault)   ? SEEN
           : seen & FCI_SEEN(sound) ? RULED_OUT
                                    : 1;
}

static const fc_range *
rise_of(const struct fci_looks *l, const struct fci_fault *fault)
{
    return fault->fixture == FCI_NONE ? &l->rise[fault->element]
                                      : &l->inlet[fault->fixture];
}

static const fc_range *
rise_given(const struct fci_looks *l, const struct fci_fault *fault)
{
    return fault->fixture == FCI_NONE
               ? &l->site->elements[fault->element].rise
               : &l->site->fixtures[fault->fixture].given->rise;
}

static double
seen_at(const struct fci_looks *l, const struct fci_fault *fault)
{
    return seen_blocked(l, fault->element);
}

static double
seen_stop(const struct fci_looks *l, const struct fci_fault *fault)
{
    return seen_either(l->fixture[fault->fixture], FC_SEEN_SHUT, FC_SEEN_OPEN);
}

static double
seen_pump(const struct fci_looks *l, const struct fci_fault *fault)
{
    return seen_either(l->element[fault->element], FC_SEEN_STILL,
                       FC_SEEN_TURNING);
}

static double
seen_running(const struct fci_looks *l, const struct fci_fault *fault)
{
    const size_t at = meter_before(l->site, fault->element, l->element);

    return at == FCI_NONE
               ? 1
               : seen_either(l->element[at], FC_SEEN_TURNING, FC_SEEN_STILL);
}

static double
seen_height(const struct fci_looks *l, const struct fci_fault *fault)
{
    const fc_range *taped = rise_of(l, fault);

    return !taped->given                                      ? 1
           : is_within(*rise_given(l, fault), taped->nominal) ? RULED_OUT
                                                              : SEEN;
}

static double
seen_size(const struct fci_looks *l, const struct fci_fault *fault)
{
    const fc_range size = l->size[fault->element];

    return !size.given ? 1
           : fault->size
                   && fabs(fault->size->nominal - size.nominal) < SAME_SIZE
               ? SEEN
               : RULED_OUT;
}

void
fci_looks_weigh(const struct fci_looks *l, struct fci_faults *faults)
{
    size_t i, to = 0;

    for (i = 0; i < faults->n; i++) {
        struct fci_fault *fault = &faults->list[to];

        *fault = faults->list[i];
        fault->seen =
            fault->kind->look ? fault->kind->look->seen(l, fault) : 1;
        to += fault->seen > RULED_OUT;
        if (fault->kind->look != &fci_look_height || !(fault->seen > 1))
            continue;
        /* what was taped is known */
        fault->told_rise = rise_given(l, fault)->nominal;
        fault->least =
            rise_of(l, fault)->nominal - rise_given(l, fault)->nominal;
        fault->most = (fault->least + TAPED) / fault->scale;
        fault->least = (fault->least - TAPED) / fault->scale;
    }
    faults->n = to;
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
        *share = STRAINER / (seen & FCI_SEEN(FC_SEEN_OPEN) ? 1 - VALVES : 1);
        return FC_TASK_STRAINER;
    }
    if (seen & FCI_SEEN(FC_SEEN_OPEN))
        return FC_TASK_NONE;
    *share = device                        ? VALVES / (1 - STRAINER)
             : kind == FCI_SOURCE          ? CURB_STOP
             : fci_valve_in(element->pipe) ? VALVE_IN_PIPE
                                           : 0;
    return *share > 0 ? FC_TASK_STOP : FC_TASK_NONE;
}

static fc_task
at_blockage(const struct fci_looks *l, const struct fci_fault *fault,
            struct fci_gauge_place *place, double *share)
{
    (void)place;
    return look_at_blockage(l, fault->element, share);
}

static fc_task
at_stop(const struct fci_looks *l, const struct fci_fault *fault,
        struct fci_gauge_place *place, double *share)
{
    (void)l;
    (void)share;
    place->fixture = fault->fixture;
    return FC_TASK_STOP;
}

static fc_task
at_pump(const struct fci_looks *l, const struct fci_fault *fault,
        struct fci_gauge_place *place, double *share)
{
    (void)l;
    (void)fault;
    (void)place;
    (void)share;
    return FC_TASK_PUMP;
}

static fc_task
at_dial(const struct fci_looks *l, const struct fci_fault *fault,
        struct fci_gauge_place *place, double *share)
{
    (void)share;
    place->element = meter_before(l->site, fault->element, NULL);
    return place->element == FCI_NONE ? FC_TASK_NONE : FC_TASK_DIAL;
}

static fc_task
by_tape(const struct fci_looks *l, const struct fci_fault *fault,
        struct fci_gauge_place *place, double *share)
{
    (void)l;
    (void)share;
    place->fixture = fault->fixture;
    return FC_TASK_TAPE;
}

/* What a look tells of kinds of fault. */
const struct fci_look_kind fci_look_blockage = { seen_at, at_blockage };
const struct fci_look_kind fci_look_stop = { seen_stop, at_stop };
const struct fci_look_kind fci_look_pump = { seen_pump, at_pump };
const struct fci_look_kind fci_look_running = { seen_running, at_dial };
const struct fci_look_kind fci_look_height = { seen_height, by_tape };
const struct fci_look_kind fci_look_size = { seen_size, NULL };

fc_task
fci_look_for(const struct fci_looks *l, const struct fci_fault *fault,
             struct fci_gauge_place *place, double *share)
{
    const struct fci_look_kind *look = fault->kind->look;

    *place = (struct fci_gauge_place){ fault->element, FCI_NONE };
    *share = 1;
    if (fault->seen > 1 || fault->seen <= RULED_OUT)
        return FC_TASK_NONE; /* it was taken */
    return look && look->task ? look->task(l, fault, place, share)
                              : FC_TASK_NONE;
}

/* ---- What was seen amiss ----------------------------------------------- */

static const char *const amiss[] = {
    [FC_SEEN_SHUT] = "a valve or stop at {at} was seen partly closed: "
                     "open it fully, and read again",
    [FC_SEEN_CLOGGED] = "the strainer at {at} was seen clogged: clean "
                        "it, and read again",
    [FC_SEEN_TURNING] = "the dial of {at} turns with every outlet shut: water "
                        "runs somewhere; find it first",
    [FC_SEEN_STILL] = "{at} is not running",
};

static void
tell_sight(struct fci_findings *found, const fc_site *site, const char *name,
           const char *at, fc_sight shows)
{
    const enum fci_kind kind =
        site->parts[fci_site_find_index(site, FCI_PIPE, at)].kind;

    /* a meter that stands still is as it should be, a pump that turns too */
    if (shows >= FC_SEEN_TURNING
        && (shows == FC_SEEN_STILL) != (kind == FCI_PUMP))
        return;
    if ((size_t)shows < sizeof amiss / sizeof *amiss && amiss[shows])
        fci_find(found, FC_WARN, name, 0, FC_FOUND_SEEN, amiss[shows],
                 FCI_WITH(FCI_WORD("at", at)));
}

void
fci_looks_tell(const struct fci_looks *l, struct fci_findings *found)
{
    size_t i;

    for (i = 0; i < l->site->n_parts; i++) {
        const struct fci_part *part = &l->site->parts[i];
        const fc_look *look = part->data;
        const fc_reading *reading = part->data;

        if (part->kind == FCI_LOOK)
            tell_sight(found, l->site, part->name, look->at, look->shows);
        else if (part->kind == FCI_READING)
            tell_sight(found, l->site, part->name, reading->at, reading->dial);
    }
}
