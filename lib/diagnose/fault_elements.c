/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/fault_elements.c -- faults of supplies, reducers, pumps and
 * devices, and what blocks any of them. */
#include "diagnose/fault_kinds.h"
#include "peak/source.h"
#include "laws/curve.h"
#include "peak/element.h"

#include <math.h>
#include <stdlib.h>

static const char *
lower_or_higher(const struct fci_wording *w)
{
    return w->value < 0 ? "lower" : "higher";
}

static bool
is_pipe(const fc_site *site, size_t element)
{
    return site->elements[element].pipe != NULL;
}

/* The one candidate that such an element is. */
static bool
list_element(struct fci_listing *l, size_t at)
{
    const struct fci_fault fault = fci_fault_at(l, at);

    return fci_fault_add(l, &fault);
}

/* ---- Supplies and reducers --------------------------------------------- */

static void
shift(fc_range *range, double by)
{
    if (range->given)
        *range = fc_exactly(range->nominal + by);
}

static bool
list_supply(struct fci_listing *l, size_t at)
{
    const fc_site *site = l->readings->site;
    struct fci_fault fault = fci_fault_at(l, at);

    fault.least = fmax(fault.least,
                       -fci_source_pressure(site->elements[at].part->data,
                                            site->elements[at].shape,
                                            site->water_weight, 0, FCI_NOMINAL)
                           / fault.scale);
    return fci_fault_add(l, &fault);
}

static bool
apply_supply(const struct fci_supposed *s)
{
    fc_source *source = fci_variant_data(&s->trial->variant, s->here);

    shift(&source->static_pressure, s->value);
    shift(&source->test_static, s->value);
    shift(&source->residual, s->value);
    shift(&source->pressure, s->value);
    shift(&source->water_level, s->value / s->trial->site.water_weight);
    return true;
}

static const char *
supply_words(const struct fci_wording *w)
{
    return fci_arena_printf(
        w->arena, "static pressure at %s %s%s%s than entered", w->name,
        w->brief ? "" : w->size.text, w->brief ? "" : " ", lower_or_higher(w));
}

static void
steps_of_supply(struct fci_working *w)
{
    const fc_site *site = w->readings->site;
    const char *name = site->elements[w->fault->element].name;

    fci_work_step(w, "read the static at %s again, at another time of day",
                  name);
    fci_work_step(w, "ask the utility for the pressure there, and for a flow "
                     "test");
    if (!w->looks_only)
        fci_work_step(
            w,
            "correct the file: static about %s %s than entered; open "
            "nothing",
            fci_about(site->settings.units, FC_PRESSURE, fabs(w->value)).text,
            w->value < 0 ? "lower" : "higher");
}

const struct fci_fault_kind fci_supply_pressure = {
    .kind = FC_SUPPLY_PRESSURE,
    .dimension = FC_PRESSURE,
    .unknown = FCI_EITHER_SIGN,
    .parts = FCI_AT(FCI_SOURCE),
    .list_at = list_supply,
    .apply = apply_supply,
    .words = supply_words,
    .steps = steps_of_supply,
    .in_file = true,
};

static bool
apply_setting(const struct fci_supposed *s)
{
    fc_reducer *reducer = fci_variant_data(&s->trial->variant, s->here);

    shift(&reducer->set, s->value);
    return true;
}

static const char *
setting_words(const struct fci_wording *w)
{
    return fci_arena_printf(w->arena, "%s set %s%s%s than entered", w->part,
                            w->brief ? "" : w->size.text, w->brief ? "" : " ",
                            lower_or_higher(w));
}

static void
steps_of_setting(struct fci_working *w)
{
    const fc_site *site = w->readings->site;
    const struct fci_part *part = site->elements[w->fault->element].part;
    const fc_reducer *reducer = part->data;
    const char *name = fci_part_words(w->arena, part);
    const struct fci_shown set =
        fci_show(site->settings.units, FC_PRESSURE, reducer->set.nominal);

    w->failed |= !name;
    if (w->looks_only) {
        fci_work_step(w,
                      "read the outlet of %s with nothing open: the file "
                      "says %s",
                      name ? name : "", set.text);
        return;
    }
    fci_work_step(w,
                  "set %s to %s with nothing open, by a gauge on its outlet",
                  name ? name : "", set.text);
    fci_work_open(w, w->fault->element,
                  "if it does not keep that: clean its strainer and seat, or "
                  "replace its kit");
}

const struct fci_fault_kind fci_reducer_setting = {
    .kind = FC_REDUCER_SETTING,
    .dimension = FC_PRESSURE,
    .unknown = FCI_EITHER_SIGN,
    .parts = FCI_AT(FCI_REDUCER),
    .list_at = list_element,
    .apply = apply_setting,
    .words = setting_words,
    .steps = steps_of_setting,
};

/* ---- Obstructions ------------------------------------------------------ */

static bool
apply_blocked(const struct fci_supposed *s)
{
    fci_fault_trial_lose(s->trial, s->fault->element, s->value,
                         s->fault->flow);
    return true;
}

static bool
list_sag(struct fci_listing *l, size_t at)
{
    struct fci_fault fault = fci_fault_at(l, at);

    fault.flow = l->flows[at];
    return !fci_fault_flowed(l, at) || fci_fault_add(l, &fault);
}

static bool
list_blocked(struct fci_listing *l, size_t at)
{
    struct fci_fault fault = fci_fault_at(l, at);

    fault.flow = l->flows[at];
    if (is_pipe(l->readings->site, at))
        fault.prior = l->usual->pipe_prior.nominal;
    return !fci_fault_flowed(l, at) || l->trial->slot[at] == FCI_NONE
           || fci_fault_add(l, &fault);
}

static const char *
sag_words(const struct fci_wording *w)
{
    if (w->shut)
        return fci_arena_printf(w->arena, "curb stop at %s nearly closed",
                                w->name);
    if (w->brief)
        return fci_arena_printf(
            w->arena, "main or curb stop at %s partly closed", w->name);
    return fci_arena_printf(w->arena,
                            "main or curb stop at %s partly closed: %s",
                            w->name, w->lost);
}

/* What was seen to be so is said so. */
static const char *
blocked_words(const struct fci_wording *w)
{
    const fc_site *site = w->readings->site;
    const size_t at = w->fault->element;
    const bool seen = fci_was_seen(site, at, FC_SEEN_SHUT);
    const char *inlet = seen ? "" : fci_inlet_words(w->arena, site, at);
    const char *what = seen      ? "partly closed"
                       : w->shut ? "nearly closed"
                                 : "partly plugged";
    const char *text =
        inlet ? fci_arena_printf(w->arena, "%s%s%s %s",
                                 !seen               ? ""
                                 : is_pipe(site, at) ? "the valve in "
                                                     : "the valve at ",
                                 w->part, w->brief ? "" : inlet, what)
              : NULL;

    return !text || w->brief || w->shut
               ? text
               : fci_arena_printf(w->arena, "%s: %s", text, w->lost);
}

const struct fci_fault_kind fci_supply_sag = {
    .kind = FC_SUPPLY_SAG,
    .look = &fci_look_blockage,
    .dimension = FC_PRESSURE,
    .unknown = FCI_ABOVE_0,
    .is_loss = true,
    .in_slot = true,
    .along = { "partly plugged" },
    .parts = FCI_AT(FCI_SOURCE),
    .list_at = list_sag,
    .apply = apply_blocked,
    .words = sag_words,
    .steps = fci_work_stretch,
    .suspect = FCI_MAY_BE_PLUGGED,
};

const struct fci_fault_kind fci_blocked = {
    .kind = FC_BLOCKED,
    .look = &fci_look_blockage,
    .dimension = FC_PRESSURE,
    .unknown = FCI_ABOVE_0,
    .is_loss = true,
    .in_slot = true,
    .along = { "partly plugged" },
    .parts = ~FCI_AT(FCI_SOURCE),
    .list_at = list_blocked,
    .apply = apply_blocked,
    .words = blocked_words,
    .steps = fci_work_stretch,
    .suspect = FCI_MAY_BE_PLUGGED,
};

/* Few meters and devices have a check in them, of which the file does not
 * tell: common practice. */
#define CHECK_INSIDE 0.03

/* A backflow preventer, or in a pipe a check valve that is not in the file. */
static bool
list_holding(struct fci_listing *l, size_t at)
{
    struct fci_fault fault = fci_fault_at(l, at);

    if (l->readings->site->elements[at].part->kind == FCI_BACKFLOW)
        return fci_fault_add(l, &fault);
    fault.prior = is_pipe(l->readings->site, at)
                      ? l->usual->pipe_prior.nominal
                      : l->usual->prior.nominal * CHECK_INSIDE;
    fault.alone = true;
    return l->trial->slot[at] == FCI_NONE || fci_fault_add(l, &fault);
}

static bool
apply_holding(const struct fci_supposed *s)
{
    fc_device *device = fci_variant_data(&s->trial->variant,
                                         s->trial->slot[s->fault->element]);

    device->loss = (fc_loss){ .kind = FC_CONSTANT_LOSS,
                              .pressure = fc_exactly(s->value) };
    return true;
}

static const char *
holding_words(const struct fci_wording *w)
{
    const bool pipe = is_pipe(w->readings->site, w->fault->element);
    const char *what = pipe ? "a check valve that is not in the file, in %s"
                            : "%s: check not opening fully";
    const char *text = fci_arena_printf(w->arena, what, w->part);

    return !text || w->brief
               ? text
               : fci_arena_printf(w->arena, "%s%s %s%s lost at any flow", text,
                                  pipe ? ":" : ",", w->size.text,
                                  pipe ? "" : " more");
}

static void
steps_of_holding(struct fci_working *w)
{
    const struct fci_part *part =
        w->readings->site->elements[w->fault->element].part;
    const char *name = fci_part_words(w->arena, part);

    w->failed |= !name;
    if (part->kind == FCI_PIPE)
        fci_work_step(w,
                      "look along %s for a check valve that is not in the "
                      "file",
                      name ? name : "");
    else
        fci_work_step(w, "have %s tested at its test cocks", name ? name : "");
    if (part->kind != FCI_PIPE)
        fci_work_open(w, w->fault->element,
                      "clean or replace its checks and springs");
}

const struct fci_fault_kind fci_holds_back = {
    .kind = FC_HOLDS_BACK,
    .dimension = FC_PRESSURE,
    .unknown = FCI_ABOVE_0,
    .in_slot = true,
    .parts = FCI_AT(FCI_BACKFLOW) | FCI_AT(FCI_PIPE) | FCI_AT(FCI_METER)
             | FCI_AT(FCI_DEVICE),
    .list_at = list_holding,
    .apply = apply_holding,
    .words = holding_words,
    .steps = steps_of_holding,
};

/* ---- Curves that move -------------------------------------------------- */

/* In the place of an element's curve, points with so many times their y, and
 * so much more. */
static bool
move_curve(const struct fci_supposed *s, const fc_point *from, size_t n,
           double times, double more)
{
    struct fci_curve **curve = &s->trial->curves[s->k];
    fc_point *points = malloc(n * sizeof *points);
    size_t i;

    for (i = 0; points && i < n; i++)
        points[i] = (fc_point){ from[i].x, fmax(0, from[i].y * times + more) };
    fci_curve_free(*curve);
    *curve = points ? fci_curve_new(points, n) : NULL;
    if (*curve)
        s->trial->variant.site.elements[s->here].curve = *curve;
    free(points);
    return *curve != NULL;
}

static bool
list_pump(struct fci_listing *l, size_t at)
{
    const fc_pump *pump = l->readings->site->elements[at].part->data;

    return pump->running == FC_NO || list_element(l, at);
}

static bool
apply_off(const struct fci_supposed *s)
{
    fc_pump *pump = fci_variant_data(&s->trial->variant, s->here);

    pump->running = FC_NO;
    return true;
}

static const char *
off_words(const struct fci_wording *w)
{
    return fci_arena_printf(w->arena, "%s not running", w->part);
}

static void
steps_of_pump(struct fci_working *w)
{
    const char *name = fci_part_words(
        w->arena, w->readings->site->elements[w->fault->element].part);

    w->failed |= !name;
    fci_work_step(w,
                  "check power, switch and controls of %s; licensed "
                  "electrician for wiring",
                  name ? name : "");
    fci_work_step(w, "read its suction and discharge while it runs");
    fci_work_open(w, w->fault->element, "clean its suction strainer");
}

const struct fci_fault_kind fci_pump_off = {
    .kind = FC_PUMP_OFF,
    .look = &fci_look_pump,
    .dimension = FC_NUMBER,
    .parts = FCI_AT(FCI_PUMP),
    .list_at = list_pump,
    .apply = apply_off,
    .words = off_words,
    .steps = steps_of_pump,
};

/* Its curve sinks; one that adds nothing any more takes nothing either. */
static bool
apply_weak(const struct fci_supposed *s)
{
    const fc_pump *pump = fci_variant_data(&s->trial->variant, s->here);

    return move_curve(s, pump->curve, pump->n_curve, 1,
                      -s->value / s->trial->site.water_weight);
}

static const char *
weak_words(const struct fci_wording *w)
{
    return fci_arena_printf(w->arena, "%s %s%sbelow its curve", w->part,
                            w->brief ? "" : w->size.text, w->brief ? "" : " ");
}

const struct fci_fault_kind fci_pump_weak = {
    .kind = FC_PUMP_WEAK,
    .dimension = FC_PRESSURE,
    .unknown = FCI_ABOVE_0,
    .parts = FCI_AT(FCI_PUMP),
    .list_at = list_pump,
    .apply = apply_weak,
    .words = weak_words,
    .steps = steps_of_pump,
};

/* The unknown is the logarithm of the share that it takes of its loss. */
static bool
list_less(struct fci_listing *l, size_t at)
{
    const fc_device *device = l->readings->site->elements[at].part->data;
    struct fci_fault fault = fci_fault_at(l, at);

    fault.least = log(fault.least);
    fault.most = log(fault.most);
    fault.alone = true;
    return !fci_fault_flowed(l, at) || device->loss.kind == FC_NO_LOSS
           || fci_fault_add(l, &fault);
}

static bool
apply_less(const struct fci_supposed *s)
{
    fc_device *device = fci_variant_data(&s->trial->variant, s->here);
    const double times = exp(s->value);

    if (device->loss.kind == FC_CURVE_LOSS)
        return move_curve(s, device->loss.points, device->loss.n_points, times,
                          0);
    device->loss.pressure = fc_exactly(device->loss.pressure.nominal * times);
    return true;
}

static double
told_share(const struct fci_cause *cause, size_t k,
           const struct fci_readings *r, double x)
{
    (void)cause;
    (void)k;
    (void)r;
    return exp(x);
}

static const char *
less_words(const struct fci_wording *w)
{
    if (w->brief)
        return fci_arena_printf(w->arena, "%s losing less than entered",
                                w->part);
    return fci_arena_printf(w->arena,
                            "%s losing less than entered: about %.0f%% of it",
                            w->part, 100 * w->value);
}

static void
steps_of_less(struct fci_working *w)
{
    const char *name = fci_part_words(
        w->arena, w->readings->site->elements[w->fault->element].part);

    w->failed |= !name;
    fci_work_step(w,
                  "read the make and size of %s, and enter the loss of its "
                  "data sheet",
                  name ? name : "");
}

const struct fci_fault_kind fci_loses_less = {
    .kind = FC_LOSES_LESS,
    .dimension = FC_NUMBER,
    .unknown = FCI_EITHER_SIGN,
    .is_loss = true,
    .parts = FCI_AT(FCI_METER) | FCI_AT(FCI_DEVICE) | FCI_AT(FCI_BACKFLOW),
    .list_at = list_less,
    .apply = apply_less,
    .told = told_share,
    .words = less_words,
    .steps = steps_of_less,
    .in_file = true,
};

/* ---- A pressure-reducing valve that the file does not have ------------- */

static bool
is_followed_by(const fc_site *site, size_t at, enum fci_kind kind)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        if (site->elements[i].parent == at
            && site->elements[i].part->kind == kind)
            return true;
    return false;
}

/* With little of what is usual to fall off as water flows, some or much. */
static bool
list_fall_offs(struct fci_listing *l, struct fci_fault *fault)
{
    static const double parts[] = { 0, 0.25, 0.75 };
    const size_t n = sizeof parts / sizeof *parts;
    const fc_range usual =
        fci_tables_usual(l->readings->site->tables, FCI_USUAL_FALL_OFF)->range;
    const bool flowed = fci_fault_flowed(l, fault->element);
    bool room = true;
    size_t i;

    fault->flow = flowed ? l->flows[fault->element] : 0;
    fault->prior /= flowed ? (double)n : 1;
    for (i = 0; i < (flowed ? n : 1) && room; i++) {
        fault->fall_off = usual.low + parts[i] * (usual.high - usual.low);
        room = fci_fault_add(l, fault);
    }
    return room;
}

/* Where one usually stands: behind the meter, behind the preventer, or where
 * the building begins; of a tree, and where none follows in the file. */
static bool
list_prv(struct fci_listing *l, size_t at)
{
    const fc_site *site = l->readings->site;
    const size_t parent = site->elements[at].parent;
    struct fci_fault fault = fci_fault_at(l, at);

    if (site->n_loops > 0 || site->n_sources > 1
        || l->trial->slot[at] == FCI_NONE
        || (is_pipe(site, at) && site->elements[parent].parent != FCI_NONE)
        || is_followed_by(site, at, FCI_REDUCER))
        return true;
    fault.alone = true;
    return list_fall_offs(l, &fault);
}

/* In the place of the spare device behind the element. */
static bool
apply_prv(const struct fci_supposed *s)
{
    struct fci_fault_trial *t = s->trial;
    struct fci_element *slot =
        &t->variant.site.elements[t->slot[s->fault->element]];

    t->prv = (fc_reducer){ .name = "",
                           .set = fc_exactly(s->value),
                           .fall_off = fc_exactly(s->fault->fall_off) };
    if (s->fault->flow > 0)
        t->prv.fall_off_flow = fc_exactly(s->fault->flow);
    t->prv_part =
        (struct fci_part){ .kind = FCI_REDUCER, .name = "", .data = &t->prv };
    slot->part = &t->prv_part;
    return true;
}

static const char *
prv_words(const struct fci_wording *w)
{
    return fci_arena_printf(
        w->arena, "a PRV that is not in the file, downstream of %s%s%s",
        w->name, w->brief ? "" : ", set to ", w->brief ? "" : w->size.text);
}

const struct fci_fault_kind fci_prv_not_listed = {
    .kind = FC_PRV_NOT_LISTED,
    .dimension = FC_PRESSURE,
    .unknown = FCI_EITHER_SIGN,
    .along = { "a PRV that is not in the file" },
    .parts = FCI_AT(FCI_METER) | FCI_AT(FCI_BACKFLOW) | FCI_AT(FCI_PIPE),
    .list_at = list_prv,
    .apply = apply_prv,
    .words = prv_words,
    .steps = fci_work_stretch,
    .in_file = true,
    .suspect = FCI_MAY_BE_PRV,
};
