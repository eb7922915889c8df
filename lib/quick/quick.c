/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/quick/quick.c -- a first answer from a handful of figures. */
#include "quick/model.h"
#include "ground/diagnostics.h"

#include <math.h>
#include <string.h>

/* A result with what it borrows from; the result is first. */
struct answer {
    fc_quick_result result;
    fc_site *site;            /* with valves for every step */
    fc_site *kept;            /* with as many as were told of */
    fc_flush_result **events; /* with as many valves as the step */
};

void
fc_quick_free(fc_quick_result *result)
{
    struct answer *a = (struct answer *)result;

    if (!a)
        return;
    for (size_t i = 0; a->events && i < result->n_steps; i++)
        fc_flush_result_free(a->events[i]);
    fc_site_free(a->site);
    fc_site_free(a->kept);
    fci_object_free(a);
}

/* ---- Solved ------------------------------------------------------------ */

/* What is wrong with a text that was made of figures is wrong with a figure:
 * the lines of that text mean nothing to whoever gave it. */
static fc_status
site_of(const char *text, fc_site **site, fc_diagnostics *messages)
{
    static const char pipe[] = "[pipe " FCI_QUICK_WAY "] ";
    fc_diagnostics *own = fc_diagnostics_new();
    fc_status status = FC_ENOMEM;

    if (own)
        status = fc_site_read_text(text, strlen(text), "quick", site, own);
    for (size_t i = 0; i < fc_diagnostics_count(own); i++) {
        const char *said = fc_diagnostics_at(own, i).text;

        if (strncmp(said, pipe, sizeof pipe - 1) == 0)
            said += sizeof pipe - 1;
        fci_fail(messages, status, "quick", 0, "%s", said);
    }
    fc_diagnostics_free(own);
    return status;
}

static fc_status
flush(const fc_site *site, int n, fc_flush_result **event,
      fc_diagnostics *messages)
{
    const fc_flushing flushing = { .fixture = FCI_QUICK_FIXTURE, .count = n };

    return fc_flush(site, FC_EXISTING, &flushing, 1, event, messages);
}

/* ---- Steps ------------------------------------------------------------- */

static const struct fci_quick_reading *
read_with(const struct fci_quick_model *m, int n)
{
    for (int i = 0; i < m->n_readings; i++)
        if (m->readings[i].flushing == n)
            return &m->readings[i];
    return NULL;
}

static fc_range
read_range(const struct fci_quick_reading *r)
{
    return fc_between(fmax(r->read - r->within, 0), r->read + r->within);
}

/* The first that was read with more valves; NULL: none. */
static const struct fci_quick_reading *
read_with_more(const struct fci_quick_model *m, int n)
{
    for (int i = 0; i < m->n_readings; i++)
        if (m->readings[i].flushing > n)
            return &m->readings[i];
    return NULL;
}

/* With a number of valves that was not read, what the site gives and what
 * bounds it.  With more valves than were read no more is known, where one
 * number alone was, than that it is not above that reading: all that is lost
 * may be at the valve that was read, which has the same then. */
static fc_range
unread(const struct fci_quick_model *m, const fc_quick_step *step,
       fc_range bounds, const fc_quick_step *before)
{
    const struct fci_quick_reading *more = read_with_more(m, step->flushing);
    fc_range p = step->modeled;

    if (!m->measured && !m->piped)
        return p;
    if (more) {
        p.low = read_range(more).low;
        p.high = fmax(p.high, bounds.high);
        return p;
    }
    if (m->piped)
        p.high = fmax(p.high, bounds.high);
    else
        p.low = fmin(p.low, bounds.low);
    if (m->measured && m->n_readings < 2 && before)
        p.high = before->pressure.high;
    if (m->n_readings == 0 && m->open_flow > 0)
        p.high = fmin(p.high, fci_quick_open_most(m));
    return p;
}

static void
bound(const struct fci_quick_model *m, fc_quick_step *step, fc_range bounds,
      const fc_quick_step *before)
{
    const struct fci_quick_reading *r = read_with(m, step->flushing);
    fc_range *p = &step->pressure;

    step->read = step->within = NAN;
    step->at_most = !m->measured;
    if (r) {
        step->read = r->read;
        step->within = r->within;
        *p = read_range(r); /* a reading stands above the model */
    } else {
        *p = unread(m, step, bounds, before);
    }
    if (before && !r)
        p->high = fmin(p->high, before->pressure.high);
    p->low = fmin(p->low, p->high);
    p->nominal = fmin(fmax(p->nominal, p->low), p->high);
}

static fc_verdict
judge(const fc_quick_result *result, const fc_quick_step *step,
      const fc_flush_result *event)
{
    if (result->n_contradictions > 0)
        return FC_CANNOT_TELL;
    if (step->pressure.high < result->required.low)
        return FC_WILL_NOT_WORK;
    if (step->at_most || step->far
        || step->pressure.low < result->required.high)
        return FC_CANNOT_TELL;
    /* what was read needs no model */
    if (isnan(step->read) && event->enough != FC_WORKS)
        return FC_CANNOT_TELL;
    return FC_WORKS;
}

/* How much flowed, by the model, when most was measured. */
static double
measured_flow(const struct fci_quick_model *m, const struct answer *a)
{
    if (m->n_readings == 0)
        return m->open_flow;
    return a->events[m->readings[m->n_readings - 1].flushing - 1]->flow;
}

#define FAR 2 /* times what was measured: a range stretched no further */

/* What bounds the pressure with so many, in *range. */
static fc_status
bounds_of(const fc_site *site, int n, fc_range *range,
          fc_diagnostics *messages)
{
    fc_flush_result *event = NULL;
    const fc_status status = flush(site, n, &event, messages);

    if (status == FC_OK)
        *range = event->fixtures[0].pressure;
    fc_flush_result_free(event);
    return status;
}

static fc_status
make_steps(const struct fci_quick_model *m, struct answer *a,
           fc_quick_step *steps, fc_diagnostics *messages)
{
    const struct fci_quick_model edge = fci_quick_bounds(m);
    const char *text = fci_quick_site_text(&edge, fci_arena_of(a));
    fc_quick_result *result = &a->result;
    fc_site *site = NULL;
    fc_status status = text ? site_of(text, &site, messages) : FC_ENOMEM;

    result->works = FC_WORKS;
    for (size_t i = 0; status == FC_OK && i < result->n_steps; i++) {
        const fc_flush_result *event = a->events[i];
        fc_range bounds;

        status = bounds_of(site, (int)i + 1, &bounds, messages);
        if (status != FC_OK)
            break;
        steps[i].flushing = event->fixtures[0].flushing;
        steps[i].modeled = event->fixtures[0].pressure;
        bound(m, &steps[i], bounds, i > 0 ? &steps[i - 1] : NULL);
        steps[i].far = m->measured && event->flow > FAR * measured_flow(m, a);
        steps[i].enough = judge(result, &steps[i], event);
        if (steps[i].flushing > result->flushing)
            continue;
        if (steps[i].enough == FC_WILL_NOT_WORK)
            result->works = FC_WILL_NOT_WORK;
        else if (result->works == FC_WORKS)
            result->works = steps[i].enough;
    }
    fc_site_free(site);
    return status;
}

/* ---- The rest ---------------------------------------------------------- */

static void
take_losses(const struct fci_quick_model *m, fc_quick_result *result)
{
    if (m->n_readings == 0 || !m->still_known)
        return;
    for (size_t i = 0; i < result->n_steps; i++)
        if (result->steps[i].flushing == m->readings[0].flushing) {
            const fc_range p = result->steps[i].pressure;

            result->lost = fc_between(fmax(result->ceiling.low - p.high, 0),
                                      fmax(result->ceiling.high - p.low, 0));
            if (!isnan(result->steps[i].read))
                result->lost.nominal =
                    fmax(result->ceiling.nominal - p.nominal, 0);
        }
    result->lost_at = m->lost_at;
}

/* What the pipe loses while as many flush as were read first. */
static fc_status
take_pipe(const struct fci_quick_model *m, struct answer *a,
          fc_diagnostics *messages)
{
    const struct fci_quick_reading *r = m->readings;
    double flow;
    fc_site *site = NULL;
    fc_flush_result *event = NULL;
    fc_status status;
    char *text;

    if (!m->has_pipe || m->n_readings == 0 || r->read <= 0)
        return FC_OK;
    flow = r->flushing * m->rate * sqrt(r->read / m->rate_pressure);
    if (flow < 6.4e-5 || flow > 5.0e-3) /* 1 and 80 gpm: as a valve may pass */
        return FC_OK;
    text = fci_quick_pipe_text(m, flow, fci_arena_of(a));
    status = text ? site_of(text, &site, messages) : FC_ENOMEM;
    if (status == FC_OK)
        status = flush(site, 1, &event, messages);
    if (status == FC_OK) {
        const fc_flush_fixture *f = &event->fixtures[0];

        a->result.pipe_loss =
            (fc_range){ true, f->still.nominal - f->pressure.nominal,
                        f->still.low - f->pressure.high,
                        f->still.high - f->pressure.low };
    }
    fc_flush_result_free(event);
    fc_site_free(site);
    return status;
}

static void
take_event(struct answer *a, const struct fci_quick_model *m)
{
    const fc_flush_result *event = a->events[0];
    fc_quick_result *result = &a->result;

    result->title = event->title;
    result->units = event->units;
    result->too_high = FC_WORKS;
    if (m->still_known) { /* nobody asked of one that nobody read */
        result->too_high = event->too_high;
        result->excess = event->fixtures[0].excess;
    }
    result->required = event->fixtures[0].required;
    result->required_given = m->figures->of[FCI_Q_NEED].text != NULL;
    result->ceiling_known = m->still_known;
    if (m->still_known || m->figures->of[FCI_Q_MAIN].text) {
        result->ceiling = event->fixtures[0].still;
        result->spare =
            (fc_range){ true,
                        result->ceiling.nominal - result->required.nominal,
                        result->ceiling.low - result->required.high,
                        result->ceiling.high - result->required.low };
    }
    result->contradictions = event->contradictions;
    result->n_contradictions = event->n_contradictions;
    result->gauges_agree = !m->gauges_differ;
    result->fixture = FCI_QUICK_FIXTURE;
    result->site = a->kept;
}

/* The figures as they were given. */
static void
take_given(const struct fci_quick_figures *figures, fc_quick_result *result,
           struct fci_arena *arena)
{
    const fc_quick_key *keys;
    const size_t n = fc_quick_keys(&keys);
    fc_quick_given *given = fci_arena_array(arena, n, sizeof *given);

    for (size_t i = 0; given && i < n; i++)
        if (figures->of[i].text)
            given[result->n_given++] =
                (fc_quick_given){ .key = keys[i].key,
                                  .asks = keys[i].asks,
                                  .value = figures->of[i].said };
    result->given = given;
}

static fc_status
solve(struct fci_quick_model *m, struct answer *a, fc_diagnostics *messages)
{
    struct fci_arena *arena = fci_arena_of(a);
    fc_quick_step *steps =
        fci_arena_array(arena, (size_t)m->count, sizeof *steps);
    fc_status status = FC_OK;

    a->events = fci_arena_array(arena, (size_t)m->count, sizeof *a->events);
    if (!steps || !a->events)
        return FC_ENOMEM;
    a->result.steps = steps;
    a->result.flushing = m->flushing;
    a->result.n_steps = (size_t)m->count;
    for (int i = 0; i < m->count && status == FC_OK; i++)
        status = flush(a->site, i + 1, &a->events[i], messages);
    if (status != FC_OK)
        return status;
    take_event(a, m);
    status = make_steps(m, a, steps, messages);
    if (status != FC_OK)
        return status;
    take_losses(m, &a->result);
    if (m->piped && m->still_known && a->result.works == FC_CANNOT_TELL)
        a->result.proviso = a->events[a->result.flushing - 1]->proviso;
    status = take_pipe(m, a, messages);
    if (status != FC_OK)
        return status;
    take_given(m->figures, &a->result, arena);
    fci_quick_contradict(m, &a->result, arena);
    a->result.gauges = fci_quick_gauges(m, arena);
    a->result.found = fci_quick_found(m, &a->result, arena);
    a->result.next = fci_quick_next(m, &a->result);
    fci_quick_assume(m, &a->result, arena);
    return arena->failed ? FC_ENOMEM : FC_OK;
}

static fc_status
answer(struct answer *a, const struct fci_quick_figures *figures,
       fc_unit_system units, fc_diagnostics *messages)
{
    struct fci_quick_model model = { .figures = figures, .units = units };
    struct fci_quick_model kept; /* with no more valves than were told of */
    struct fci_tables *tables = NULL;
    const char *text;
    fc_status status = fci_tables_read(NULL, &tables, messages);

    if (status == FC_OK)
        status = fci_quick_model_make(&model, tables, messages);
    if (status == FC_OK) {
        kept = model;
        kept.count = model.flushing;
        a->result.valves = kept.count;
        a->result.text = fci_quick_site_text(&kept, fci_arena_of(a));
        text = fci_quick_site_text(&model, fci_arena_of(a));
        status = a->result.text && text ? site_of(text, &a->site, messages)
                                        : FC_ENOMEM;
    }
    if (status == FC_OK)
        status = site_of(a->result.text, &a->kept, messages);
    if (status == FC_OK)
        status = solve(&model, a, messages);
    fci_tables_free(tables);
    return status;
}

fc_status
fc_quick(const char *const *figures, size_t n, fc_unit_system units,
         fc_quick_result **result, fc_diagnostics *messages)
{
    struct answer *a = fci_object_new(sizeof *a);
    struct fci_quick_figures read;
    fc_status status;

    if (!a)
        return FC_ENOMEM;
    status = fci_quick_read(&read, fci_arena_of(a), figures, n, messages);
    if (status == FC_OK)
        status = answer(a, &read, units, messages);
    if (status == FC_OK)
        *result = &a->result;
    else
        fc_quick_free(&a->result);
    return status;
}
