/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/quick/steps.c -- the pressure with 1, 2, ... valves, judged. */
#include "quick/model.h"

#include <math.h>

#define ALIKE 0.1 /* Pa: what 37 less 2 psi may differ from 35 psi */

static const struct fci_quick_reading *
read_with(const struct fci_quick_model *m, int n)
{
    for (int i = 0; i < m->n_readings; i++)
        if (m->readings[i].flushing == n)
            return &m->readings[i];
    return NULL;
}

static fc_verdict
judge(const fc_quick_result *result, const fc_quick_step *step)
{
    if (result->n_contradictions > 0)
        return FC_CANNOT_TELL;
    if (step->pressure.high < result->required.low)
        return FC_WILL_NOT_WORK;
    if (step->at_most || step->far
        || step->pressure.low < result->required.high - ALIKE)
        return FC_CANNOT_TELL;
    return FC_WORKS;
}

/* What was measured bounds it; of a pipe alone the site gives the rest. */
static fc_range
pressure_of(const struct fci_quick_model *m, int n, fc_range modeled)
{
    const struct fci_quick_reading *read = read_with(m, n);
    fc_range p = fci_quick_bounds(m, n);

    if (m->piped)
        p = fc_between(fmin(fmax(modeled.low, 0), p.high),
                       fmin(fmax(modeled.high, 0), p.high));
    p.nominal = read ? read->read : modeled.nominal;
    p.nominal = fmin(fmax(p.nominal, p.low), p.high);
    return p;
}

fc_quick_step
fci_quick_step(const struct fci_quick_model *m, const fc_quick_result *result,
               const fc_flush_result *event)
{
    const fc_flush_fixture *f = &event->fixtures[0];
    const struct fci_quick_reading *read = read_with(m, f->flushing);
    fc_quick_step step = { .flushing = f->flushing,
                           .modeled = f->pressure,
                           .read = read ? read->read : (double)NAN,
                           .within = read ? read->within : (double)NAN,
                           .far = fci_quick_far(m, f->flushing),
                           .at_most = !m->measured };

    step.pressure = pressure_of(m, step.flushing, f->pressure);
    step.enough = judge(result, &step);
    return step;
}

fc_verdict
fci_quick_verdict(const fc_quick_result *result)
{
    fc_verdict works = FC_WORKS;

    for (size_t i = 0; i < result->n_steps; i++) {
        if (result->steps[i].flushing > result->flushing)
            break;
        if (result->steps[i].enough == FC_WILL_NOT_WORK)
            return FC_WILL_NOT_WORK;
        if (result->steps[i].enough == FC_CANNOT_TELL)
            works = FC_CANNOT_TELL;
    }
    return works;
}
