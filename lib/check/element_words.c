/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/element_words.c -- findings on pipes, devices and the source. */
#include "check/words.h"
#include "laws/friction.h"
#include "units/units.h"

#include <math.h>

static struct fci_shown
show(const struct fci_findings *f, fc_dimension dimension, double value)
{
    return fci_show(f->judge->site->settings.units, dimension, value);
}

/* ---- Pipes ------------------------------------------------------------ */

static void
find_velocity(struct fci_findings *f, const struct fci_element *element,
              const struct fci_demand *demand, fc_state state)
{
    const struct fci_pipe *pipe = element->pipe;
    const double most = fci_velocity(demand->flow[FCI_WORST], pipe->bore.low);
    const double least = fci_velocity(demand->flow[FCI_BEST], pipe->bore.high);

    if (!(most > pipe->velocity_limit * (1 + 1e-9)))
        return;
    fci_find(
        f, FC_WARN, element->name, (int)state, "velocity",
        "%s %s at peak%s (%s in %s bore); the limit is %s",
        least > pipe->velocity_limit ? "carries" : "may carry",
        show(f, FC_VELOCITY, most).text, fci_when(f->judge, state),
        show(f, FC_FLOW, demand->flow[FCI_WORST]).text,
        fci_show_diameter(f->judge->site->settings.units, pipe->bore.low).text,
        show(f, FC_VELOCITY, pipe->velocity_limit).text);
}

/* ---- Devices ---------------------------------------------------------- */

static void
find_device(struct fci_findings *f, const struct fci_element *element,
            const struct fci_demand *demand, fc_state state)
{
    const fc_device *device = element->part->data;
    const double flow = demand->flow[FCI_WORST];

    if (device->meter_kind && flow > device->loss.flow.nominal)
        fci_find(f, FC_WARN, element->name, (int)state, "meter",
                 "carries %s at peak%s; the rated maximum of its size is %s",
                 show(f, FC_FLOW, flow).text, fci_when(f->judge, state),
                 show(f, FC_FLOW, device->loss.flow.nominal).text);
    if (element->curve && flow > fci_curve_end(element->curve))
        fci_find(f, FC_WARN, element->name, (int)state, "curve",
                 "carries %s at peak%s; its curve ends at %s and is taken on "
                 "in a straight line",
                 show(f, FC_FLOW, flow).text, fci_when(f->judge, state),
                 show(f, FC_FLOW, fci_curve_end(element->curve)).text);
}

static void
find_reducer(struct fci_findings *f, const struct fci_element *element,
             size_t at, fc_state state)
{
    const fc_reducer *reducer = element->part->data;
    const struct fci_pressure out = f->judge->peak[state][at].at[FCI_NOMINAL];

    if (out.direct < out.capped)
        fci_find(f, FC_NOTE, element->name, (int)state, "reducer",
                 "is wide open at peak%s: it gets less than its setting of "
                 "%s and passes %s",
                 fci_when(f->judge, state),
                 show(f, FC_PRESSURE, reducer->set.nominal).text,
                 show(f, FC_PRESSURE, fci_pressure_of(out)).text);
}

static void
find_pump(struct fci_findings *f, const struct fci_element *element, size_t at,
          fc_state state)
{
    const fc_pump *pump = element->part->data;
    const double flow = f->judge->demand[state][at].flow[FCI_WORST];
    const double inlet =
        fci_pressure_of(f->judge->peak[state][element->parent].at[FCI_NOMINAL])
        - f->judge->site->water_weight * element->rise.nominal;

    if (pump->running == FC_NO) {
        fci_find(f, FC_NOTE, element->name, (int)state, "pump",
                 "does not run: water passes it by without loss");
        return;
    }
    if (flow > fci_curve_end(element->curve))
        fci_find(f, FC_WARN, element->name, (int)state, "pump",
                 "carries %s at peak%s, beyond its curve, which ends at %s: "
                 "what it gives there is a guess",
                 show(f, FC_FLOW, flow).text, fci_when(f->judge, state),
                 show(f, FC_FLOW, fci_curve_end(element->curve)).text);
    if (pump->hold.given && inlet > pump->hold.nominal)
        fci_find(f, FC_WARN, element->name, (int)state, "pump",
                 "gets %s at peak%s, above the %s it holds: it does not "
                 "throttle that but stands still, and water passes it by",
                 show(f, FC_PRESSURE, inlet).text, fci_when(f->judge, state),
                 show(f, FC_PRESSURE, pump->hold.nominal).text);
    if (inlet <= 0)
        fci_find(f, FC_FAIL, element->name, (int)state, "backflow",
                 "has %s at its inlet at peak%s: a pump must not draw the "
                 "supply down to nothing; its low-suction cut-out would stop "
                 "it",
                 show(f, FC_PRESSURE, inlet).text, fci_when(f->judge, state));
}

/* ---- Source ----------------------------------------------------------- */

static void
find_source(struct fci_findings *f, const struct fci_element *element,
            size_t at, fc_state state)
{
    const fc_source *source = element->part->data;
    const struct fci_demand *demand = &f->judge->demand[state][at];
    const double worst = f->judge->peak[state][at].at[FCI_WORST].direct;
    const struct fci_limit *floor =
        fci_tables_limit(f->judge->site->tables, "street main residual");

    if (demand->beyond)
        fci_find(f, FC_NOTE, element->name, (int)state, "demand",
                 "has %.1f fixture units%s, beyond the last row of the "
                 "demand table: the last two rows' line is taken on",
                 f->judge->site->settings.peak == FC_PROBABILITY
                     ? demand->other_units
                     : demand->units,
                 fci_when(f->judge, state));
    if (source->kind != FC_STREET_MAIN)
        return;
    if (source->residual.given
        && fci_source_untested(source, demand->flow[FCI_WORST]))
        fci_find(f, FC_WARN, element->name, (int)state, "flow test",
                 "gives %s at peak%s, beyond the %s it was tested at: an "
                 "extrapolation; test it at the peak flow",
                 show(f, FC_FLOW, demand->flow[FCI_WORST]).text,
                 fci_when(f->judge, state),
                 show(f, FC_FLOW, source->residual_flow.low).text);
    if (floor && worst < floor->pressure)
        fci_find(f, FC_WARN, element->name, (int)state, "street main",
                 "is drawn down to %s at peak%s; a public main is not to be "
                 "drawn below %s",
                 show(f, FC_PRESSURE, worst).text, fci_when(f->judge, state),
                 show(f, FC_PRESSURE, floor->pressure).text);
}

void
fci_find_elements(struct fci_findings *f, fc_state state)
{
    const fc_site *site = f->judge->site;
    const struct fci_demand *demand = f->judge->demand[state];
    size_t i;

    for (i = 0; i < site->n_elements && !f->out_of_memory; i++) {
        const struct fci_element *element = &site->elements[i];

        switch (element->part->kind) {
        case FCI_SOURCE:
            find_source(f, element, i, state);
            break;
        case FCI_PIPE:
            find_velocity(f, element, &demand[i], state);
            break;
        case FCI_METER:
        case FCI_BACKFLOW:
        case FCI_DEVICE:
            find_device(f, element, &demand[i], state);
            break;
        case FCI_REDUCER:
            find_reducer(f, element, i, state);
            break;
        case FCI_PUMP:
            find_pump(f, element, i, state);
            break;
        default:
            break;
        }
    }
}
