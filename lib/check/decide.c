/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/decide.c -- which input decides where a verdict cannot be told.
 *
 * Each input given as a range is swung between its ends while the others stay
 * at their nominal values; the swings of one kind (the lengths of all pipes on
 * the way, say) are added up along the path.  The kind with the largest sum
 * decides, and within it the element with the largest part.
 */
#include "check/decide.h"
#include "check/drawn.h"
#include "laws/friction.h"
#include "peak/source.h"
#include "site/inputs.h"
#include "site/pipe_size.h"
#include "units/units.h"
#include "ground/ties.h"

#include <math.h>

/* What it is called, and what would settle it. */
static const struct {
    const char *what, *measure;
} inputs[FCI_MEASURED] = {
    [FCI_IN_STATIC] = { "the static pressure of the main",
                        "read static there" },
    [FCI_IN_FLOW_TEST] = { "the flow test of the main",
                           "measure its residual pressure at a known flow" },
    [FCI_IN_SOURCE_PRESSURE] = { "the pressure of the source",
                                 "read a gauge there" },
    [FCI_IN_LEVEL] = { "the water level of the tank", "measure it" },
    [FCI_IN_LENGTH] = { "the length of the pipes", "measure it there" },
    [FCI_IN_C] = { "the C of the pipes",
                   "read gauges at both ends of that pipe at a known flow" },
    [FCI_IN_BORE] = { "the size of the pipes", "measure the pipe there, and "
                                               "its bore where it is opened" },
    [FCI_IN_RISE] = { "the elevations", "measure the rise there" },
    [FCI_IN_FITTINGS] = { "the fittings not listed",
                          "count them and list them there" },
    [FCI_IN_SCALE] = { "the bore left by scale",
                       "read gauges at both ends of that pipe at a known "
                       "flow" },
    [FCI_IN_DEVICE] = { "the loss of a device",
                        "read gauges on both sides of it at a known flow" },
    [FCI_IN_SHAPE] = { "the loss of a device away from its given points",
                       "take its curve from the data sheet, or read gauges "
                       "on both sides of it at that flow" },
    [FCI_IN_SET] = { "the set pressure of the PRV",
                     "read static downstream of it" },
    [FCI_IN_FALL_OFF] = { "the fall-off of the PRV",
                          "read a gauge downstream of it at a known flow" },
    [FCI_IN_HOLD] = { "the discharge set pressure of the pump",
                      "read its discharge gauge" },
    [FCI_IN_FLOW] = { "the flows drawn",
                      "measure the steady draw, or take the "
                      "valve's flow from its data sheet" },
    [FCI_IN_COUNT] = { "the number of fixtures", "count them" },
    [FCI_IN_MINIMUM] = { "the valve minimum", "take it from its data sheet" },
};

const char *
fci_what_settles(const fc_site *site, enum fci_measured measured)
{
    return site->tank && measured == FCI_IN_SOURCE_PRESSURE
               ? "raise its cut-in to that"
               : inputs[measured].measure;
}

/* One kind of input along the path to an element. */
struct swing {
    double sum, most; /* Pa */
    size_t at;        /* element with the most */
};

struct fci_swings {
    const struct fci_judge *judge;
    fc_state state;
    struct swing (*of)[FCI_MEASURED]; /* by element */
};

static void
add(struct swing *swing, double pressure, size_t at)
{
    pressure = fabs(pressure);
    swing->sum += pressure;
    if (fci_is_less(swing->most, pressure)) {
        swing->most = pressure;
        swing->at = at;
    }
}

/* `only` has one input left a range, all others are exact. */
static double
source_swing(const struct fci_judge *judge, double flow, fc_source only,
             fc_range shape)
{
    const double weight = judge->site->water_weight;

    return fci_source_pressure(&only, shape, weight, flow, FCI_BEST)
           - fci_source_pressure(&only, shape, weight, flow, FCI_WORST);
}

static void
swing_source(const struct fci_judge *judge, const fc_source *source,
             double flow, size_t at, struct swing *out)
{
    size_t i, k;

    for (i = FCI_IN_STATIC; i <= FCI_IN_LEVEL; i++) {
        fc_source only = *source;

        for (k = 0; k < fci_n_input_rows; k++) {
            const struct fci_input_row *row = &fci_input_rows[k];
            fc_range *range;

            if (row->kind != FCI_SOURCE || row->measured == i
                || row->offset == FCI_NOT_OWN)
                continue;
            range = fci_input_in(row, &only);
            range->low = range->high = range->nominal;
        }
        add(&out[i],
            source_swing(judge, flow, only,
                         i == FCI_IN_FLOW_TEST
                             ? judge->site->elements[at].shape
                             : fc_exactly(1)),
            at);
    }
}

/* Loss is linear in length and a power of C and of the bore, so each swing is
 * a share of the nominal loss. */
static void
swing_pipe(const struct fci_pipe *pipe, double flow, size_t at,
           struct swing *out)
{
    const double loss = fci_friction_loss(pipe->resistance[FCI_NOMINAL], flow);
    const double by_bore = 2.63 * FCI_FRICTION_EXPONENT;
    const fc_range share = pipe->allowance, scale = pipe->scale;

    const double length = pipe->length.nominal + fci_fittings_worth(pipe);

    if (length > 0) {
        add(&out[FCI_IN_LENGTH],
            loss * (1 + share.nominal) * (pipe->length.high - pipe->length.low)
                / length,
            at);
        add(&out[FCI_IN_FITTINGS],
            loss * (share.high - share.low) * pipe->length.nominal / length,
            at);
    }
    add(&out[FCI_IN_SCALE],
        loss
            * (pow((1 - scale.nominal) / (1 - scale.high), by_bore)
               - pow((1 - scale.nominal) / (1 - scale.low), by_bore)),
        at);
    add(&out[FCI_IN_C],
        loss
            * (pow(pipe->c.nominal / pipe->c.low, FCI_FRICTION_EXPONENT)
               - pow(pipe->c.nominal / pipe->c.high, FCI_FRICTION_EXPONENT)),
        at);
    add(&out[FCI_IN_BORE],
        loss
            * (pow(pipe->bore.nominal / pipe->bore.low, by_bore)
               - pow(pipe->bore.nominal / pipe->bore.high, by_bore)),
        at);
}

static double
stop_swing(const struct fci_fixture *fixture, double flow)
{
    const fc_loss *loss = &fixture->given->stop;

    return fci_loss_at(loss, fixture->stop_curve, fixture->stop_lower,
                       fixture->stop_shape, flow, FCI_WORST)
           - fci_loss_at(loss, fixture->stop_curve, fixture->stop_lower,
                         fixture->stop_shape, flow, FCI_BEST);
}

/* What is known of it only as a range, and what its points leave open. */
static void
swing_loss(const struct fci_element *element, double flow, size_t at,
           struct swing *out)
{
    struct fci_element as_given = *element;
    double known;

    as_given.shape = fc_exactly(element->shape.nominal);
    as_given.shape.given = element->shape.given;
    known = fci_element_loss_at(&as_given, flow, FCI_WORST)
            - fci_element_loss_at(&as_given, flow, FCI_BEST);
    add(&out[FCI_IN_DEVICE], known, at);
    add(&out[FCI_IN_SHAPE],
        fci_element_loss_at(element, flow, FCI_WORST)
            - fci_element_loss_at(element, flow, FCI_BEST) - known,
        at);
}

/* Behind a reducer or a holding pump that bounds the pressure at both ends,
 * nothing before it matters. */
static void
forget_before(const struct fci_judge *judge, fc_state state, size_t at,
              struct swing *out)
{
    const struct fci_pressure *p = judge->peak[state][at].at;
    int input;

    if (!(p[FCI_WORST].capped < p[FCI_WORST].direct
          && p[FCI_BEST].capped < p[FCI_BEST].direct))
        return;
    for (input = 0; input < FCI_MEASURED; input++)
        out[input] = (struct swing){ 0, 0, at };
}

/* At both ends. */
static bool
stands_still(const struct fci_judge *judge, fc_state state, size_t at)
{
    const struct fci_element *element = &judge->site->elements[at];
    const struct fci_pressure *in = judge->peak[state][element->parent].at;

    return fci_stands_still(judge->site, element, in[FCI_WORST], FCI_WORST)
           && fci_stands_still(judge->site, element, in[FCI_BEST], FCI_BEST);
}

/* What an element takes more at the worst of some flows than at the best. */
static double
flow_swing(const fc_site *site, const struct fci_element *element,
           const double *flow)
{
    const struct fci_pressure none = { 0, INFINITY };

    if (!(flow[FCI_WORST] > flow[FCI_BEST]))
        return 0;
    return fci_element_passes(site, element, none, flow[FCI_BEST], FCI_NOMINAL)
               .direct
           - fci_element_passes(site, element, none, flow[FCI_WORST],
                                FCI_NOMINAL)
                 .direct;
}

/* What the counts make of it is not measured as a flow. */
static void
swing_flow(const struct fci_judge *judge, fc_state state, size_t at,
           struct swing *out)
{
    const fc_site *site = judge->site;
    const struct fci_element *element = &site->elements[at];
    const struct fci_demand *demand = &judge->demand[state][at];
    const double counts = flow_swing(site, element, demand->counted);
    const double all = flow_swing(site, element, demand->flow);

    add(&out[FCI_IN_COUNT], counts, at);
    add(&out[FCI_IN_FLOW], fmax(all - counts, 0), at);
}

/* What has an elevation has it whatever is upstream of it. */
static void
swing_height(const fc_site *site, const struct fci_height *height,
             fc_range rise, size_t at, struct swing *out)
{
    if (!fci_has_height(height)) {
        add(out, site->water_weight * (rise.high - rise.low), at);
        return;
    }
    *out = (struct swing){ 0, 0, at };
    add(out,
        site->water_weight
            * (height->own.high - height->own.low + height->floor.high
               - height->floor.low),
        at);
}

/* What a reducer or a pump is set to, and its fall-off. */
static void
swing_setting(const struct fci_element *element, size_t at, struct swing *out)
{
    size_t i;

    for (i = 0; i < fci_n_input_rows; i++) {
        const struct fci_input_row *row = &fci_input_rows[i];
        const fc_range *held;

        if (row->kind != element->part->kind
            || (row->measured != FCI_IN_SET && row->measured != FCI_IN_HOLD
                && row->measured != FCI_IN_FALL_OFF))
            continue;
        held = fci_input_in(row, element->part->data);
        add(&out[row->measured], held->high - held->low, at);
    }
}

static void
swing_element(const struct fci_judge *judge, fc_state state, size_t at,
              struct swing *out)
{
    const fc_site *site = judge->site;
    const struct fci_element *element = &site->elements[at];
    const double flow = judge->demand[state][at].flow[FCI_NOMINAL];
    const struct fci_taking taking =
        fci_element_takes(site, element, flow, FCI_NOMINAL);

    swing_height(site, &element->height, element->rise, at, &out[FCI_IN_RISE]);
    if (element->pipe)
        swing_pipe(element->pipe, flow, at, out);
    if (fci_element_loss(element))
        swing_loss(element, flow, at, out);
    if (stands_still(judge, state, at)) /* and water passes it by */
        return;
    if (!isinf(taking.most) || fci_adds_pressure(element))
        forget_before(judge, state, at, out);
    swing_setting(element, at, out);
    if (element->beside > 0)
        swing_setting(fci_beside(site, element), element->beside - 1, out);
    swing_flow(judge, state, at, out);
}

struct fci_swings *
fci_swings_new(const struct fci_judge *judge, fc_state state)
{
    const fc_site *site = judge->site;
    struct fci_swings *swings = fci_object_new(sizeof *swings);
    size_t i;
    int input;

    if (!swings)
        return NULL;
    swings->judge = judge;
    swings->state = state;
    swings->of = fci_arena_array(fci_arena_of(swings), site->n_elements,
                                 sizeof *swings->of);
    if (!swings->of) {
        fci_object_free(swings);
        return NULL;
    }
    for (i = 0; i < site->n_elements; i++) {
        const size_t at = site->order[i];
        const size_t parent = site->elements[at].parent;

        if (parent == FCI_NONE) {
            swing_source(judge, site->elements[at].part->data,
                         judge->demand[state][at].flow[FCI_NOMINAL], at,
                         swings->of[at]);
            continue;
        }
        for (input = 0; input < FCI_MEASURED; input++)
            swings->of[at][input] = swings->of[parent][input];
        swing_element(judge, state, at, swings->of[at]);
    }
    return swings;
}

/* Where most of a kind lies: an element, or the fixture itself. */
static const char *
place_of(const struct fci_swings *swings, const struct fci_fixture *fixture,
         const struct swing *swing)
{
    return swing->at == FCI_NONE
               ? fixture->given->name
               : swings->judge->site->elements[swing->at].name;
}

/* Whether knowing it exactly could settle the pressure one way or the other,
 * all else staying as uncertain as it is. */
static const char *
alone(const struct fci_judgement *j, double swing)
{
    const bool settles = j->pressure != FC_CANNOT_TELL || !j->margin.given
                         || j->margin.high - swing < 0
                         || j->margin.low + swing >= 0;

    return settles ? "" : "; that alone will not settle it";
}

static const char *
word(const struct fci_swings *swings, const struct fci_fixture *fixture,
     const struct fci_judgement *judgement, enum fci_measured input,
     const struct swing *swing, struct fci_arena *arena)
{
    const char *enough = alone(judgement, swing->sum);
    const fc_unit_system units = swings->judge->site->settings.units;
    const struct fci_shown sum = fci_show(units, FC_PRESSURE, swing->sum);
    const struct fci_shown most = fci_show(units, FC_PRESSURE, swing->most);
    const char *place = place_of(swings, fixture, swing);
    const char *measure = fci_what_settles(swings->judge->site, input);

    if (swings->judge->site->tank && input == FCI_IN_SOURCE_PRESSURE)
        return fci_arena_printf(
            arena,
            "the pressure of the tank (%s between cut-in and cut-out): raise "
            "the cut-in%s",
            sum.text, enough);
    if (input <= FCI_IN_LEVEL) /* of the source, and it says so */
        return fci_arena_printf(arena,
                                "%s (%s between worst and best case): %s%s",
                                inputs[input].what, sum.text, measure, enough);
    if (swing->most < swing->sum * 0.999)
        return fci_arena_printf(
            arena, "%s (%s between worst and best case, %s of it in %s): %s%s",
            inputs[input].what, sum.text, most.text, place, measure, enough);
    return fci_arena_printf(
        arena, "%s (%s between worst and best case, in %s): %s%s",
        inputs[input].what, sum.text, place, measure, enough);
}

/* Where the ceiling alone is in doubt, which counts without flow, what a flow
 * would lose and what the valve needs decide nothing. */
static bool
matters(const struct fci_judgement *j, enum fci_measured input)
{
    if (j->pressure == FC_CANNOT_TELL)
        return true;
    if (j->on_way == FC_CANNOT_TELL)
        return input != FCI_IN_MINIMUM;
    switch (input) {
    case FCI_IN_STATIC:
    case FCI_IN_SOURCE_PRESSURE:
    case FCI_IN_LEVEL:
    case FCI_IN_RISE:
    case FCI_IN_SET:
    case FCI_IN_HOLD:
        return true;
    default:
        return false;
    }
}

/* The place upstream of which it cannot be told whether it keeps enough. */
static size_t
doubtful_place(const struct fci_judge *judge, size_t at, fc_state state)
{
    const struct fci_element *elements = judge->site->elements;

    while (elements[at].parent != FCI_NONE
           && judge->drawn[state][elements[at].parent] == FC_CANNOT_TELL)
        at = elements[at].parent;
    return at;
}

static const char *
word_drawn(const struct fci_swings *swings, size_t at, struct fci_arena *arena)
{
    const struct fci_judge *judge = swings->judge;
    const fc_site *site = judge->site;
    const struct fci_element *element = &site->elements[at];
    double feeder[FCI_ENDS];
    fc_range inlet;

    if (element->parent == FCI_NONE)
        return fci_arena_printf(
            arena, "the residual at %s: measure it at a known flow",
            element->name);
    fci_peak_ends(judge, element->parent, swings->state, feeder);
    inlet = fci_keeps(site, element, feeder, feeder);
    return fci_arena_printf(
        arena,
        "the \"minimum suction\" of %s (works with up to %s): take it from "
        "its data sheet",
        element->name,
        fci_show(site->settings.units, FC_PRESSURE, fmax(inlet.low, 0)).text);
}

/* Where pressures at the fixture decide nothing: what feeds it. */
static const char *
decided_upstream(const struct fci_swings *swings,
                 const struct fci_fixture *fixture,
                 const struct fci_judgement *j, struct fci_arena *arena)
{
    const struct fci_judge *judge = swings->judge;

    if (j->pressure == FC_CANNOT_TELL || j->on_way == FC_CANNOT_TELL
        || j->no_pipe == FC_CANNOT_TELL)
        return NULL;
    if (j->drawn == FC_CANNOT_TELL)
        return word_drawn(
            swings, doubtful_place(judge, fixture->element, swings->state),
            arena);
    if (j->supply == FC_CANNOT_TELL && j->supplied.pipe != FCI_NONE)
        return fci_arena_printf(arena,
                                "the size of %s, upstream of it: measure it",
                                judge->site->elements[j->supplied.pipe].name);
    return NULL;
}

const char *
fci_decided_by(const struct fci_swings *swings,
               const struct fci_fixture *fixture,
               const struct fci_judgement *judgement, struct fci_arena *arena)
{
    const fc_site *site = swings->judge->site;
    const fc_range need = judgement->need.pressure;
    const fc_range rise = fixture->given->rise;
    const char *upstream = decided_upstream(swings, fixture, judgement, arena);
    struct swing here[FCI_MEASURED];
    int input, most = FCI_IN_STATIC;

    if (upstream)
        return upstream;
    if (!need.given && fixture->kind->flushes)
        return fci_arena_string(arena,
                                "the valve minimum, not given: take \"minimum "
                                "flowing\" from its data sheet");
    if (judgement->long_interval)
        return fci_arena_string(
            arena, "the interval between two uses, longer than in any "
                   "published method: count the uses in the busiest hour");
    for (input = 0; input < FCI_MEASURED; input++)
        here[input] = swings->of[fixture->element][input];
    add(&here[FCI_IN_MINIMUM], need.high - need.low, FCI_NONE);
    swing_height(site, &fixture->height, rise, FCI_NONE, &here[FCI_IN_RISE]);
    add(&here[FCI_IN_DEVICE],
        stop_swing(fixture,
                   fci_fixture_flow(site, fixture, swings->state).nominal),
        FCI_NONE);
    for (input = 1; input < FCI_MEASURED; input++)
        if (matters(judgement, (enum fci_measured)input)
            && fci_is_less(here[most].sum, here[input].sum))
            most = input;
    return word(swings, fixture, judgement, (enum fci_measured)most,
                &here[most], arena);
}
