/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/quick/quick.c -- a first answer from a handful of figures. */
#include "quick/model.h"
#include "ground/call.h"
#include "ground/diagnostics.h"
#include "ground/ties.h"

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

/* As one valve of a file may pass. */
#define LEAST_FLOW 6.4e-5 /* m3/s, 1 gpm */
#define MOST_FLOW 5.0e-3  /* m3/s, 80 gpm */

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
        fci_fail(messages, status, NULL, 0, "%s", said);
    }
    fc_diagnostics_free(own);
    return status;
}

static fc_status
flush_of(const fc_site *site, int n, fc_flush_result **event,
         fc_diagnostics *messages)
{
    const fc_flushing flushing = { .fixture = FCI_QUICK_FIXTURE, .count = n };

    return fc_flush(site, FC_EXISTING, &flushing, 1, event, messages);
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

/* The flow at which the pipe is held against the rest: with as many as were
 * read first, or else with as many as are asked for and no more pressure than
 * they require; of whatever usual valves. */
static fc_range
flow_of_pipe(const struct fci_quick_model *m)
{
    const int n = m->n_readings > 0 ? m->readings[0].flushing : m->flushing;
    const fc_range p =
        m->n_readings > 0 ? m->readings[0].pressure : m->minimum;

    return fc_between(n * fci_quick_rate_at(m, p.low).low,
                      n * fci_quick_rate_at(m, p.high).high);
}

/* What it loses then. */
static fc_status
take_pipe(struct fci_quick_model *m, struct fci_arena *arena,
          fc_diagnostics *messages)
{
    fc_range flow;
    int valves;
    fc_site *site = NULL;
    fc_flush_result *event = NULL;
    fc_status status;
    char *text;

    if (!m->has_pipe || (m->n_readings == 0 && !m->piped))
        return FC_OK;
    flow = flow_of_pipe(m);
    if (flow.high < LEAST_FLOW)
        return FC_OK;
    valves = (int)ceil(flow.high / MOST_FLOW);
    text =
        fci_quick_pipe_text(m,
                            fc_between(fmax(flow.low / valves, LEAST_FLOW),
                                       fmax(flow.high / valves, LEAST_FLOW)),
                            valves, arena);
    status = text ? site_of(text, &site, messages) : FC_ENOMEM;
    if (status == FC_OK)
        status = flush_of(site, valves, &event, messages);
    if (status == FC_OK) {
        const fc_flush_fixture *f = &event->fixtures[0];

        m->pipe_loss =
            (fc_range){ true, f->still.nominal - f->pressure.nominal,
                        flow.low / valves < LEAST_FLOW
                            ? 0 /* less than the file can tell */
                            : f->still.low - f->pressure.high,
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
    result->pipe_loss = m->pipe_loss;
    result->gauges_agree = !m->gauges_differ;
    result->fixture = FCI_QUICK_FIXTURE;
}

/* Static is no less than any flowing pressure: a reading that is over the
 * limit proves that static is too, though nobody read it. */
static void
take_flowing_excess(const struct fci_quick_model *m, struct answer *a)
{
    fc_quick_result *result = &a->result;
    const fc_excess *may = a->events[0]->fixtures[0].excess;
    const struct fci_quick_reading *most = NULL;
    fc_excess *excess;

    if (!may || result->n_contradictions > 0
        || result->too_high == FC_WILL_NOT_WORK)
        return;
    for (int i = 0; i < m->n_readings; i++)
        if (!most || m->readings[i].pressure.low > most->pressure.low)
            most = &m->readings[i];
    if (!most || !fci_is_less(may->maximum, most->pressure.low))
        return;
    excess = fci_arena_copy(fci_arena_of(a), may, sizeof *may);
    if (!excess)
        return;
    excess->too_high = result->too_high = FC_WILL_NOT_WORK;
    excess->flowing = true;
    excess->pressure = most->pressure;
    result->excess = excess;
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
        status = flush_of(a->site, i + 1, &a->events[i], messages);
    if (status != FC_OK)
        return status;
    take_event(a, m);
    fci_quick_contradict(m, a->events[0], &a->result, arena);
    take_flowing_excess(m, a);
    for (size_t i = 0; i < a->result.n_steps; i++)
        steps[i] = fci_quick_step(m, &a->result, a->events[i]);
    a->result.works = fci_quick_verdict(&a->result);
    take_losses(m, &a->result);
    take_given(m->figures, &a->result, arena);
    a->result.gauges = fci_quick_gauges(m, arena);
    a->result.proviso = fci_quick_proviso(m, &a->result, arena);
    a->result.found = fci_quick_found(m, &a->result, arena);
    a->result.next = fci_quick_next(m, &a->result);
    fci_quick_assume(m, &a->result, arena);
    return arena->failed ? FC_ENOMEM : FC_OK;
}

/* The file, with no more valves than were told of.  Readings that contradict
 * each other stay in it, so that it decides nothing. */
static fc_status
keep(const struct fci_quick_model *model, struct answer *a,
     fc_diagnostics *messages)
{
    struct fci_quick_model kept = *model;
    fc_quick_result *result = &a->result;
    fc_status status;

    kept.count = model->flushing;
    if (model->doubt) /* nothing is certain, static included */
        kept.still = fc_between(model->still.low, FCI_QUICK_MOST);
    result->valves = kept.count;
    result->text = fci_quick_site_text(
        &kept, a->events[0]->n_contradictions == 0, fci_arena_of(a));
    if (!result->text)
        return FC_ENOMEM;
    status = site_of(result->text, &a->kept, messages);
    result->site = a->kept;
    return status;
}

static fc_status
answer(struct answer *a, const struct fci_quick_figures *figures,
       fc_unit_system units, fc_diagnostics *messages)
{
    struct fci_quick_model model = { .figures = figures, .units = units };
    struct fci_tables *tables = NULL;
    const char *text;
    fc_status status = fci_tables_read(NULL, &tables, messages);

    if (status == FC_OK)
        status = fci_quick_model_make(&model, tables, messages);
    if (status == FC_OK)
        status = take_pipe(&model, fci_arena_of(a), messages);
    if (status == FC_OK) {
        fci_quick_doubt(&model, fci_arena_of(a));
        text = fci_quick_site_text(&model, false, fci_arena_of(a));
        status = text ? site_of(text, &a->site, messages) : FC_ENOMEM;
    }
    if (status == FC_OK)
        status = solve(&model, a, messages);
    if (status == FC_OK)
        status = keep(&model, a, messages);
    fci_tables_free(tables);
    return status;
}

fc_status
fc_quick(const char *const *figures, size_t n, fc_unit_system units,
         fc_quick_result **result, fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_ALL_TEXTS(figures, n), FCI_UNITS(units),
                    FCI_GIVEN(result)))
        return FC_EINPUT;

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
