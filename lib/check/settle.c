/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/settle.c -- what a verdict that cannot be told turns on.
 *
 * Each input that is known only as a range is tried at its good end while all
 * others stay at their worst.  Of those that make everything work the one that
 * gives most decides, and the figure at which the verdict turns is found by
 * bisection of the whole verdict: at peak, alone, and in the busy period.
 */
#include "check/settle.h"
#include "check/drawn.h"
#include "check/events.h"
#include "ground/ties.h"
#include "peak/source.h"
#include "units/units.h"
#include "variants/vary.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Inputs beyond so many are not tried: the time would grow with their square.
 */
#define MOST_INPUTS 200
/* A figure is found to this part of its range; reports show fewer digits. */
#define FINE_ENOUGH 1e-7
/* The same where the busy period decides, whose chances are drawn. */
#define FINE_AS_DRAWN 4e-3

fc_verdict
fci_as_tested(const fc_site *site, const fc_check_options *options,
              fc_verdict works)
{
    return works == FC_WORKS && fci_untested_main(site)
                   && !(options && options->steady_main)
               ? FC_CANNOT_TELL
               : works;
}

/* ---- One building that might be ---------------------------------------- */

struct settling {
    const struct fci_judge *judge;
    fc_state state;
    size_t only; /* fixture; FCI_NONE: all */
    const fc_check_options *options;
    struct fci_arena scratch;
    struct fci_variant variant;
    bool *alone;      /* fixtures that are tried alone too */
    bool busy;        /* and in the busy period */
    bool by_events;   /* they are known */
    double flow;      /* of the source at peak, at the worst end */
    double governing; /* least margin that was found last */
    fc_status status;
    fc_diagnostics *messages;
};

/* The drop of an untested main, beside the inputs of the site. */
#define DROP FCI_NONE

/* The one source; what several give together is not known by the peak of
 * one. */
static const struct fci_element *
the_source(const fc_site *site)
{
    return &site->elements[site->order[0]];
}

static void
set_drop(struct settling *s, double drop)
{
    fc_source *source =
        fci_variant_data(&s->variant, s->judge->site->order[0]);

    source->test_static = fc_exactly(drop);
    source->residual = fc_exactly(0);
    source->residual_flow = fc_exactly(s->flow);
}

static void
set(struct settling *s, size_t input, double value)
{
    if (input == DROP)
        set_drop(s, value);
    else
        fci_variant_set(&s->variant, input, value);
}

static bool
in_scope(const struct settling *s, size_t fixture)
{
    return s->only == FCI_NONE || s->only == fixture;
}

/* The peak demand hangs on no input but the flows that are drawn. */
static bool
begin_peak(struct settling *s, struct fci_judge *at, bool flows)
{
    *at = *s->judge;
    at->site = &s->variant.site;
    at->rest = fci_march_rest(at->site);
    at->demand[s->state] = flows ? fci_demand_new(at->site, s->state)
                                 : s->judge->demand[s->state];
    at->peak[s->state] = at->demand[s->state]
                             ? fci_march_peak(at->site, at->demand[s->state])
                             : NULL;
    at->drawn[s->state] =
        at->peak[s->state] ? fci_drawn_at_peak(at, s->state) : NULL;
    return at->rest && at->drawn[s->state];
}

static bool
works_at_peak(struct settling *s, bool flows)
{
    struct fci_judge at;
    bool works = begin_peak(s, &at, flows);
    size_t i;

    if (!works)
        s->status = FC_ENOMEM;
    s->governing = INFINITY;
    for (i = 0; s->status == FC_OK && i < at.site->n_fixtures; i++) {
        const struct fci_judgement j =
            fci_judge_fixture(&at, &at.site->fixtures[i], s->state);

        if (!in_scope(s, i))
            continue;
        works = works && j.works == FC_WORKS;
        if (j.margin.given)
            s->governing = fmin(s->governing, j.margin.low);
    }
    free(at.rest);
    free(at.peak[s->state]);
    free(at.drawn[s->state]);
    if (flows)
        free(at.demand[s->state]);
    return works && s->status == FC_OK;
}

static bool
works_alone(struct settling *s)
{
    struct fci_event_view view;
    size_t i;

    for (i = 0; i < s->variant.site.n_fixtures; i++) {
        if (!s->alone[i])
            continue;
        s->status = fci_events_alone(&s->variant.site, s->state, i, &view,
                                     s->messages);
        if (s->status != FC_OK || view.enough != FC_WORKS)
            return false;
    }
    return true;
}

/* Whether all of them do, by all that is known of flush events; those that do
 * not when alone are tried alone from then on. */
static bool
works_by_events(struct settling *s)
{
    fc_check_options options =
        s->options ? *s->options : (fc_check_options){ 0 };
    struct fci_events events;
    bool works = true;
    size_t i;

    options.progress = NULL;
    s->status = fci_events_judge(&s->variant.site, s->state, &options,
                                 &s->scratch, &events, s->messages);
    for (i = 0; s->status == FC_OK && i < s->variant.site.n_fixtures; i++) {
        const struct fci_event_view *view = &events.views[i];

        if (!in_scope(s, i))
            continue;
        works = works && view->enough == FC_WORKS && view->seldom == FC_WORKS;
        s->alone[i] = s->alone[i] || view->enough != FC_WORKS;
        s->busy =
            s->busy || (view->enough == FC_WORKS && view->seldom != FC_WORKS);
    }
    return works && s->status == FC_OK;
}

static bool
works(struct settling *s, bool flows)
{
    return works_at_peak(s, flows) && works_alone(s)
           && (!s->busy || works_by_events(s));
}

/* ---- The input that decides --------------------------------------------- */

struct candidate {
    size_t input; /* or DROP */
    double good, bad;
    bool flows; /* it is a flow that is drawn */
};

static bool
is_a_flow(const struct fci_input *input)
{
    return input->dimension == FC_FLOW && strcmp(input->what, "residual flow");
}

/* At its good end, all others at their worst. */
static bool
try_at(struct settling *s, struct candidate *c, double good, double bad)
{
    c->good = good;
    c->bad = bad;
    set(s, c->input, good);
    return works(s, c->flows);
}

static bool
find_candidate(struct settling *s, struct candidate *best)
{
    const size_t n = s->variant.n_inputs;
    double most = -INFINITY;
    bool found = false;
    size_t i;
    int end;

    for (i = 0; i < n && i < MOST_INPUTS && s->status == FC_OK; i++) {
        const struct fci_input *input = &s->variant.inputs[i];
        struct candidate c = { .input = i, .flows = is_a_flow(input) };

        if (input->sizes)
            continue;
        for (end = 0; end < 2; end++) {
            const bool works =
                try_at(s, &c, end ? input->given.high : input->given.low,
                       end ? input->given.low : input->given.high);

            if (works && fci_is_less(most, s->governing)) {
                most = s->governing;
                *best = c;
                found = true;
            }
        }
        fci_variant_reset(&s->variant);
    }
    return found && s->status == FC_OK;
}

static double
bisect(struct settling *s, const struct candidate *c)
{
    const double near =
        (s->busy ? FINE_AS_DRAWN : FINE_ENOUGH) * fabs(c->bad - c->good);
    double good = c->good, bad = c->bad;

    while (fabs(bad - good) > near && s->status == FC_OK) {
        const double middle = (good + bad) / 2;

        set(s, c->input, middle);
        if (works(s, c->flows))
            good = middle;
        else
            bad = middle;
    }
    return good;
}

/* Where the flush events ask for more than the peak, they join in.  False:
 * even at its good end they do not let it work. */
static bool
find_turning_point(struct settling *s, const struct candidate *c,
                   double *limit)
{
    bool busy, works;

    do {
        busy = s->busy;
        *limit = bisect(s, c);
        set(s, c->input, *limit);
        works = !s->by_events || works_by_events(s);
    } while (s->status == FC_OK && !works && !busy);
    return works && s->status == FC_OK;
}

/* ---- In words ----------------------------------------------------------- */

/* The element of an input, of several the first. */
static size_t
element_of(const struct settling *s, const struct fci_input *input)
{
    size_t i;

    for (i = 0; input->element == FCI_NONE && i < s->judge->site->n_elements;
         i++)
        if (s->judge->site->elements[i].part == input->part)
            return i;
    return input->element;
}

/* Where the limit of a loss, or of how its curve or a main's goes on, is in
 * pressure at the flow of the peak. */
static void
at_peak_flow(struct settling *s, size_t at, fc_proviso *proviso)
{
    struct fci_element *element = &s->variant.site.elements[at];
    const double flow = s->judge->demand[s->state][at].flow[FCI_WORST];

    proviso->flow = flow;
    if (element->parent == FCI_NONE) {
        proviso->input = "pressure";
        proviso->limit =
            fci_source_pressure(element->part->data, element->shape,
                                s->variant.site.water_weight, flow, FCI_WORST);
        proviso->at_most = false;
        proviso->dimension = FC_PRESSURE;
        return;
    }
    proviso->at_most = !fci_adds_pressure(element);
    if (proviso->at_most) {
        proviso->input = "loss";
        proviso->limit = fci_element_loss_at(element, flow, FCI_WORST);
        proviso->dimension = FC_PRESSURE;
        return;
    }
    proviso->input = "head";
    proviso->limit =
        -fci_element_takes(&s->variant.site, element, flow, FCI_WORST).loss
        / s->variant.site.water_weight;
    proviso->dimension = FC_LENGTH;
}

static void
describe(struct settling *s, const struct candidate *c, double limit,
         fc_proviso *proviso)
{
    const struct fci_input *input = &s->variant.inputs[c->input];

    proviso->given = true;
    proviso->limit = limit;
    proviso->at_most = c->good < c->bad;
    proviso->flow = NAN;
    if (c->input == DROP) {
        proviso->input = "drop";
        proviso->of = the_source(s->judge->site)->name;
        proviso->dimension = FC_PRESSURE;
        proviso->flow = s->flow;
        proviso->measure = fci_what_settles(FCI_IN_FLOW_TEST);
        return;
    }
    proviso->input = input->what;
    proviso->of = input->name;
    proviso->dimension = input->dimension;
    proviso->measure = fci_what_settles(input->row->measured);
    set(s, c->input, limit);
    if (input->row->measured == FCI_IN_SHAPE
        || (input->row->measured == FCI_IN_FLOW_TEST
            && input->row->home == FCI_IN_ELEMENT))
        at_peak_flow(s, element_of(s, input), proviso);
    if (input->row->measured == FCI_IN_FALL_OFF)
        proviso->flow =
            s->judge->demand[s->state][element_of(s, input)].flow[FCI_WORST];
}

/* The limit rounded to the careful side. */
static const char *
limit_text(struct fci_arena *arena, fc_unit_system units, const fc_proviso *p)
{
    const fc_rounding careful = p->at_most ? FC_DOWN : FC_UP;
    char digits[40];

    if (p->dimension != FC_NUMBER)
        return fci_arena_string(
            arena,
            fci_show(units, p->dimension,
                     fci_rounded(units, p->dimension, careful, p->limit))
                .text);
    if (strcmp(p->input, "C") == 0)
        fc_show_number(careful, 0, p->limit, digits, sizeof digits);
    else
        fc_show_number(careful, 0, 100 * p->limit, digits, sizeof digits);
    return fci_arena_printf(arena, "%s%s", digits,
                            strcmp(p->input, "C") == 0 ? "" : "%");
}

static const char *
text_of(struct fci_arena *arena, fc_unit_system units, const fc_proviso *p)
{
    const char *limit = limit_text(arena, units, p);
    const char *flow =
        isnan(p->flow)
            ? ""
            : fci_arena_printf(arena, " at %s",
                               fci_show(units, FC_FLOW, p->flow).text);
    const char *side = p->at_most ? "at most" : "at least";

    if (!limit || !flow)
        return NULL;
    if (strcmp(p->input, "drop") == 0)
        return fci_arena_printf(
            arena, "works if the main drops less than %s%s", limit, flow);
    if (strcmp(p->input, "fittings not listed") == 0)
        return fci_arena_printf(arena,
                                "works if the fittings that are not listed "
                                "come to %s %s of the pipes' length",
                                side, limit);
    if (strcmp(p->input, "scale") == 0)
        return fci_arena_printf(arena,
                                "works if scale has taken %s %s of the bore "
                                "of the %s pipes",
                                side, limit, p->of);
    if (strcmp(p->input, "C") == 0)
        return fci_arena_printf(arena, "works if C of %s pipe is %s %s", p->of,
                                side, limit);
    return fci_arena_printf(arena, "works if the %s of %s is %s %s%s",
                            p->input, p->of, side, limit, flow);
}

/* ---- The whole ---------------------------------------------------------- */

static fc_status
begin(struct settling *s)
{
    const fc_site *site = s->judge->site;
    const size_t source = site->order[0];
    fc_status status = fci_variant_make_ranged(&s->variant, site);
    size_t i;

    if (status != FC_OK)
        return status;
    s->flow = s->judge->demand[s->state][source].flow[FCI_WORST];
    s->alone =
        fci_arena_array(&s->scratch, site->n_fixtures + 1, sizeof *s->alone);
    for (i = 0; i < site->n_fixtures; i++)
        if (site->fixtures[i].valve[s->state]
            && !fci_has_rate(site->fixtures[i].valve[s->state]))
            return s->alone ? FC_OK : FC_ENOMEM;
    s->by_events = !s->options || !s->options->peak_only;
    return s->alone ? FC_OK : FC_ENOMEM;
}

/* An untested main first: without its drop nothing else is sure. */
static bool
drop_decides(struct settling *s, struct candidate *c)
{
    const fc_site *site = s->judge->site;
    const struct fci_element *main = the_source(site);
    const double still = fci_source_pressure(main->part->data, main->shape,
                                             site->water_weight, 0, FCI_WORST);

    if (site->n_sources > 1 || !fci_untested_main(site) || !(s->flow > 0))
        return false;
    *c = (struct candidate){ .input = DROP };
    return try_at(s, c, 0, fmax(still, 0));
}

fc_status
fci_settle(const struct fci_judge *judge, fc_state state, size_t fixture,
           const fc_check_options *options, struct fci_arena *arena,
           fc_proviso *proviso, fc_diagnostics *messages)
{
    struct settling s = { .judge = judge,
                          .state = state,
                          .only = fixture,
                          .options = options,
                          .messages = messages };
    struct candidate c;

    *proviso = (fc_proviso){ 0 };
    s.status = begin(&s);
    if (s.status == FC_OK
        && (drop_decides(&s, &c)
            || (!fci_untested_main(judge->site) && find_candidate(&s, &c)))) {
        double limit;

        if (find_turning_point(&s, &c, &limit)) {
            describe(&s, &c, limit, proviso);
            proviso->text =
                text_of(arena, judge->site->settings.units, proviso);
            if (!proviso->text)
                s.status = FC_ENOMEM;
        }
    }
    fci_variant_free(&s.variant);
    fci_arena_free(&s.scratch);
    return s.status;
}
