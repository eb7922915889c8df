/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/settle_words.c -- the input that a verdict turns on, in words.
 */
#include "check/settle_words.h"
#include "check/decide.h"
#include "peak/source.h"
#include "site/inputs.h"
#include "units/units.h"

#include <math.h>
#include <string.h>

static bool
is_a_loss(const struct fci_settling *s, size_t input)
{
    return input != FCI_DROP
           && s->variant.inputs[input].row->measured == FCI_IN_DEVICE;
}

/* ---- In words ----------------------------------------------------------- */

/* The element of an input, of several the first. */
static size_t
element_of(const struct fci_settling *s, const struct fci_input *input)
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
at_its_flow(struct fci_settling *s, size_t at, fc_proviso *proviso)
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
at_flow_of_fixture(struct fci_settling *s, const struct fci_part *part,
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
describe(struct fci_settling *s, const struct fci_decider *c, double limit,
         fc_proviso *proviso)
{
    const struct fci_input *input = &s->variant.inputs[c->input];

    proviso->input = input->what;
    proviso->of = input->name;
    proviso->dimension = input->dimension;
    proviso->measure = fci_what_settles(s->what->site, input->row->measured);
    if (input->row->kind == FCI_REDUCER
        && input->row->measured == FCI_IN_DEVICE)
        proviso->measure = "take its loss wide open from its data sheet";
    fci_settling_set(s, c->input, limit);
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

/* The limit rounded to the careful side; `share`: in percent. */
static const char *
limit_text(struct fci_arena *arena, fc_unit_system units, const fc_proviso *p,
           bool share)
{
    const fc_rounding careful = p->at_most ? FC_DOWN : FC_UP;
    const bool bore =
        p->dimension == FC_LENGTH && strcmp(p->input, "inside diameter") == 0;
    const fc_dimension dimension = bore ? FC_SIZE : p->dimension;
    char digits[40];

    if (dimension == FC_NUMBER) {
        fc_show_number(careful, share && p->limit < 0.1 ? 1 : 0,
                       share ? 100 * p->limit : p->limit, digits,
                       sizeof digits);
        return fci_arena_printf(arena, "%s%s", digits, share ? "%" : "");
    }
    if (p->at_most && !bore)
        return fci_arena_string(
            arena, fci_show_at_most(units, dimension, p->limit).text);
    fc_show_number(careful, bore ? 3 : fci_decimals(units, dimension),
                   fc_from_si(units, dimension, p->limit), digits,
                   sizeof digits);
    return fci_arena_printf(arena, "%s %s", digits,
                            fc_unit_name(units, dimension));
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
        bool always, bool share)
{
    const char *limit = limit_text(arena, units, p, share);
    const char *flow = flow_text(arena, units, p, always);
    const char *side = p->at_most ? "at most" : "at least";

    if (!limit || !flow)
        return NULL;
    if (strcmp(p->input, "drop") == 0)
        return fci_arena_printf(
            arena, "works if the main drops less than %s%s", limit, flow);
    if (strcmp(p->of, "[tolerance]") == 0)
        return fci_arena_printf(arena, "works if %s %s is %s %s", p->of,
                                p->input, side, limit);
    if (strcmp(p->input, "within") == 0)
        return fci_arena_printf(arena,
                                "works if each pressure of the flow test of "
                                "%s was read within %s",
                                p->of, limit);
    if (strcmp(p->input, "marks") == 0)
        return fci_arena_printf(
            arena, "works if the marks of gauge %s are %s %s apart", p->of,
            side, limit);
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

bool
fci_settling_tell(struct fci_settling *s, const struct fci_decider *c,
                  double limit, struct fci_arena *arena, fc_proviso *proviso)
{
    const fc_site *site = s->what->site;
    bool share = false;

    *proviso = (fc_proviso){
        .given = true, .limit = limit, .at_most = c->good < c->bad, .flow = NAN
    };
    if (c->input == FCI_DROP) {
        proviso->input = "drop";
        proviso->of = fci_the_source(site)->name;
        proviso->dimension = FC_PRESSURE;
        proviso->flow = s->flow;
        proviso->measure = fci_what_settles(site, FCI_IN_FLOW_TEST);
    } else {
        describe(s, c, limit, proviso);
        if (!fci_is_enterable(site, &s->variant.inputs[c->input], proviso,
                              &share)) {
            *proviso = (fc_proviso){ 0 };
            return true;
        }
    }
    proviso->of = fci_arena_string(arena, proviso->of);
    if (proviso->of)
        proviso->text = text_of(arena, site->settings.units, proviso,
                                is_a_loss(s, c->input), share);
    return proviso->text != NULL;
}
