/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/settle.c -- what a verdict that cannot be told turns on.
 *
 * Each input that is known only as a range is tried at its good end while all
 * others stay at their worst.  Of those that make everything work the one that
 * gives most decides, and the figure at which the verdict turns is found by
 * bisection of the whole verdict.
 */
#include "check/settle.h"
#include "check/decide.h"
#include "ground/ties.h"
#include "peak/source.h"
#include "site/inputs.h"
#include "units/units.h"
#include "variants/vary.h"

#include <math.h>
#include <string.h>

/* Inputs beyond so many are not tried: the time would grow with their square.
 */
#define MOST_INPUTS 200
/* A figure is found to this part of its range; reports show fewer digits. */
#define FINE_ENOUGH 1e-7
/* The same where chances decide that are drawn. */
#define FINE_AS_DRAWN 4e-3

/* ---- One building that might be ---------------------------------------- */

struct settling {
    struct fci_unsettled *what;
    struct fci_variant variant;
    double flow; /* of the source */
};

/* The drop of an untested main, beside the inputs of the site. */
#define DROP FCI_NONE

/* The one source; what several give together is not known by the flow of one.
 */
static const struct fci_element *
the_source(const fc_site *site)
{
    return &site->elements[site->order[0]];
}

static bool
is_a_loss(const struct settling *s, size_t input)
{
    return input != DROP
           && s->variant.inputs[input].row->measured == FCI_IN_DEVICE;
}

static void
set_drop(struct settling *s, double drop)
{
    fc_source *source = fci_variant_data(&s->variant, s->what->site->order[0]);

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
works(struct settling *s, bool flows)
{
    return s->what->works(s->what, &s->variant.site, flows);
}

static bool
goes_on(const struct settling *s)
{
    return s->what->status == FC_OK;
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
    return input->row
           && (input->row->measured == FCI_IN_FLOW
               || input->row->measured == FCI_IN_COUNT);
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

    for (i = 0; i < n && i < MOST_INPUTS && goes_on(s); i++) {
        const struct fci_input *input = &s->variant.inputs[i];
        struct candidate c = { .input = i, .flows = is_a_flow(input) };

        if (input->sizes || input->cause == FCI_OWN_PART)
            continue;
        for (end = 0; end < 2; end++) {
            const bool works =
                try_at(s, &c, end ? input->given.high : input->given.low,
                       end ? input->given.low : input->given.high);

            if (works && fci_is_less(most, s->what->governing)) {
                most = s->what->governing;
                *best = c;
                found = true;
            }
        }
        fci_variant_reset(&s->variant);
    }
    return found && goes_on(s);
}

static double
bisect(struct settling *s, const struct candidate *c)
{
    const double near = (s->what->drawn ? FINE_AS_DRAWN : FINE_ENOUGH)
                        * fabs(c->bad - c->good);
    double good = c->good, bad = c->bad;

    while (fabs(bad - good) > near && goes_on(s)) {
        const double middle = (good + bad) / 2;

        set(s, c->input, middle);
        if (works(s, c->flows))
            good = middle;
        else
            bad = middle;
    }
    return good;
}

static bool
is_right(struct settling *s, const struct candidate *c, double value)
{
    set(s, c->input, value);
    return works(s, c->flows)
           && (!s->what->confirm
               || s->what->confirm(s->what, &s->variant.site));
}

/* Where more than is tried at each figure says no, it joins in.  False: the
 * verdict does not turn between the ends of the input. */
static bool
find_turning_point(struct settling *s, const struct candidate *c,
                   double *limit)
{
    bool drawn, right;

    if (is_right(s, c, c->bad) || !is_right(s, c, c->good))
        return false;
    do {
        drawn = s->what->drawn;
        *limit = bisect(s, c);
        right = is_right(s, c, *limit);
    } while (goes_on(s) && !right && !drawn && fabs(*limit - c->good) > 0);
    return right && goes_on(s);
}

/* ---- In words ----------------------------------------------------------- */

/* The element of an input, of several the first. */
static size_t
element_of(const struct settling *s, const struct fci_input *input)
{
    size_t i;

    for (i = 0; input->element == FCI_NONE && i < s->what->site->n_elements;
         i++)
        if (s->what->site->elements[i].part == input->part)
            return i;
    return input->element;
}

/* Where the limit of a loss, or of how its curve or a main's goes on, is in
 * pressure at the flow there. */
static void
at_its_flow(struct settling *s, size_t at, fc_proviso *proviso)
{
    struct fci_element *element = &s->variant.site.elements[at];
    const double flow = s->what->flow[at];

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

/* The same of the stop of a fixture, at the flow of that alone. */
static void
at_flow_of_fixture(struct settling *s, const struct fci_part *part,
                   fc_proviso *proviso)
{
    const fc_site *site = &s->variant.site;
    const struct fci_fixture *fixture = site->fixtures;

    while (!fci_same_name(fixture->given->name, part->name))
        fixture++;
    proviso->flow = fci_fixture_flow(site, fixture, s->what->state).high;
    proviso->input = "loss of the stop";
    proviso->limit = fci_loss_at(&fixture->given->stop, fixture->stop_curve,
                                 fixture->stop_lower, fixture->stop_shape,
                                 proviso->flow, FCI_WORST);
    proviso->at_most = true;
    proviso->dimension = FC_PRESSURE;
}

/* The flow of a loss that grows with its square; NAN: it is the same at any.
 */
static double
flow_of_loss(const struct fci_part *part)
{
    const fc_loss *loss =
        fci_part_member(part, part->kind == FCI_FIXTURE ? "stop" : "loss");

    return loss->kind == FC_SQUARE_LOSS ? loss->flow.nominal : (double)NAN;
}

static void
describe(struct settling *s, const struct candidate *c, double limit,
         fc_proviso *proviso)
{
    const struct fci_input *input;

    proviso->given = true;
    proviso->limit = limit;
    proviso->at_most = c->good < c->bad;
    proviso->flow = NAN;
    if (c->input == DROP) {
        proviso->input = "drop";
        proviso->of = the_source(s->what->site)->name;
        proviso->dimension = FC_PRESSURE;
        proviso->flow = s->flow;
        proviso->measure = fci_what_settles(FCI_IN_FLOW_TEST);
        return;
    }
    input = &s->variant.inputs[c->input];
    proviso->input = input->what;
    proviso->of = input->name;
    proviso->dimension = input->dimension;
    proviso->measure = fci_what_settles(input->row->measured);
    if (input->row->home == FCI_IN_PART
        && input->row->kept == offsetof(fc_source, residual)
        && input->row->kind == FCI_SOURCE && input->given.nominal >= limit)
        proviso->measure = "test the main at a larger flow, or with one gauge "
                           "for all readings";
    if (input->row->kind == FCI_REDUCER
        && input->row->measured == FCI_IN_DEVICE)
        proviso->measure = "take its loss wide open from its data sheet";
    set(s, c->input, limit);
    if (input->row->measured == FCI_IN_DEVICE)
        proviso->flow = flow_of_loss(input->part);
    /* the stop of a fixture stands at no element */
    if (input->row->measured == FCI_IN_SHAPE
        && input->row->kind == FCI_FIXTURE)
        at_flow_of_fixture(s, input->part, proviso);
    else if (input->row->measured == FCI_IN_SHAPE
             || (input->row->measured == FCI_IN_FLOW_TEST
                 && input->row->home == FCI_IN_ELEMENT))
        at_its_flow(s, element_of(s, input), proviso);
    if (input->row->measured == FCI_IN_FALL_OFF)
        proviso->flow = s->what->flow[element_of(s, input)];
}

/* The limit rounded to the careful side. */
static const char *
limit_text(struct fci_arena *arena, fc_unit_system units, const fc_proviso *p)
{
    const fc_rounding careful = p->at_most ? FC_DOWN : FC_UP;
    char digits[40];

    if (p->dimension == FC_LENGTH
        && strcmp(p->input, "inside diameter") == 0) {
        fc_show_number(careful, 3, fc_from_si(units, FC_SIZE, p->limit),
                       digits, sizeof digits);
        return fci_arena_printf(arena, "%s %s", digits,
                                fc_unit_name(units, FC_SIZE));
    }
    if (p->dimension != FC_NUMBER)
        return fci_arena_string(
            arena,
            fci_show(units, p->dimension,
                     fci_rounded(units, p->dimension, careful, p->limit))
                .text);
    if (strcmp(p->input, "C") == 0 || strcmp(p->input, "count") == 0)
        fc_show_number(careful, 0, p->limit, digits, sizeof digits);
    else
        fc_show_number(careful, 0, 100 * p->limit, digits, sizeof digits);
    return fci_arena_printf(
        arena, "%s%s", digits,
        strcmp(p->input, "C") == 0 || strcmp(p->input, "count") == 0 ? ""
                                                                     : "%");
}

/* `always`: where the limit is of no flow, it is of any. */
static const char *
flow_text(struct fci_arena *arena, fc_unit_system units, const fc_proviso *p,
          bool always)
{
    if (isnan(p->flow))
        return always ? " at any flow" : "";
    return fci_arena_printf(arena, " at %s",
                            fci_show(units, FC_FLOW, p->flow).text);
}

static const char *
text_of(struct fci_arena *arena, fc_unit_system units, const fc_proviso *p,
        bool always)
{
    const char *limit = limit_text(arena, units, p);
    const char *flow = flow_text(arena, units, p, always);
    const char *side = p->at_most ? "at most" : "at least";

    if (!limit || !flow)
        return NULL;
    if (strcmp(p->input, "drop") == 0)
        return fci_arena_printf(
            arena, "works if the main drops less than %s%s", limit, flow);
    if (strcmp(p->input, "fittings not listed") == 0)
        return fci_arena_printf(arena,
                                "works if the fittings not listed come to %s "
                                "%s of the pipes' length",
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

/* An untested main first: without its drop nothing else is sure. */
static bool
drop_decides(struct settling *s, struct candidate *c)
{
    const fc_site *site = s->what->site;
    const struct fci_element *source = the_source(site);
    const double still = fci_source_pressure(source->part->data, source->shape,
                                             site->water_weight, 0, FCI_WORST);

    if (site->n_sources > 1 || !(s->flow > 0))
        return false;
    *c = (struct candidate){ .input = DROP };
    return try_at(s, c, 0, fmax(still, 0));
}

fc_status
fci_settle(struct fci_unsettled *what, struct fci_arena *arena,
           fc_proviso *proviso)
{
    const fc_site *site = what->site;
    struct settling s = { .what = what, .flow = what->flow[site->order[0]] };
    struct candidate c;
    double limit;

    *proviso = (fc_proviso){ 0 };
    what->status = fci_variant_make_ranged(&s.variant, site);
    if (what->status == FC_OK
        && (fci_untested_main(site) ? drop_decides(&s, &c)
                                    : find_candidate(&s, &c))
        && find_turning_point(&s, &c, &limit)) {
        describe(&s, &c, limit, proviso);
        proviso->text = text_of(arena, site->settings.units, proviso,
                                is_a_loss(&s, c.input));
        if (!proviso->text)
            what->status = FC_ENOMEM;
    }
    fci_variant_free(&s.variant);
    return what->status;
}
