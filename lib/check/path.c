/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/path.c -- the pressure budget from the source to one fixture. */
#include "check/settle.h"
#include "check/checked.h"
#include "laws/darcy.h"
#include "check/decide.h"
#include "check/events.h"
#include "laws/friction.h"
#include "site/pipe_size.h"

#include <math.h>

/* ---- Steps ------------------------------------------------------------ */

/* Friction and fittings share a pipe's loss by their lengths. */
static void
split_friction(const struct fci_pipe *pipe, double loss, fc_path_step *step)
{
    const double fittings = fci_fittings_worth(pipe);
    const double length = pipe->length.nominal + fittings;

    step->length = pipe->length.nominal;
    step->equivalent_length = fittings;
    step->fitting_loss = length > 0 ? loss * fittings / length : 0;
    step->friction_loss = loss - step->fitting_loss;
}

/* The same pipe by Darcy-Weisbach, where a roughness of the material is
 * held. */
static fc_status
set_beside(const fc_site *site, const struct fci_pipe *pipe,
           fc_path_step *step)
{
    if (!pipe->material || isnan(pipe->material->roughness)
        || !(step->flow > 0))
        return FC_OK;
    return fci_darcy_loss(site->settings.water_temperature.nominal, step->flow,
                          pipe->bore.nominal,
                          pipe->length.nominal + fci_fittings_worth(pipe),
                          pipe->material->roughness, &step->darcy_loss);
}

static double
set_of(const struct fci_element *reducer)
{
    return ((const fc_reducer *)reducer->part->data)->set.nominal;
}

/* What a reducer that controls takes to come down to its set pressure is what
 * it is there for; what it gives less than that is lost. */
static void
split_reducer(const struct fci_judge *judge, size_t at, fc_state state,
              fc_path_step *step)
{
    const fc_site *site = judge->site;
    const struct fci_element *element = &site->elements[at];
    const struct fci_pressure *in = judge->peak[state][element->parent].at;
    const struct fci_element *other = fci_beside(site, element);
    const double set = fmax(set_of(element), other ? set_of(other) : 0);
    const double inlet =
        fci_pressure_of(in[FCI_NOMINAL]) - step->elevation_loss;
    const struct fci_taking taking =
        fci_element_takes(site, element, step->flow, FCI_NOMINAL);

    if (inlet - taking.loss <= taking.most)
        return;
    step->set = set;
    step->throttled = fmax(inlet - set, 0);
    step->device_loss -= step->throttled;
}

static fc_path_step
element_step(const struct fci_judge *judge, size_t at, fc_state state)
{
    const fc_site *site = judge->site;
    const struct fci_element *element = &site->elements[at];
    const struct fci_pressure *out = judge->peak[state][at].at;
    fc_path_step step = {
        .element = element->name,
        .kind = fci_part_kinds[element->part->kind].word,
        .flow = judge->demand[state][at].flow[FCI_NOMINAL],
        .pressure = fci_pressure_of(out[FCI_NOMINAL]),
        .darcy_loss = NAN,
    };
    double lost;

    if (element->parent == FCI_NONE) {
        if (((const fc_source *)element->part->data)->kind == FC_STREET_MAIN)
            step.sag = judge->rest[at].ceiling[FCI_NOMINAL] - step.pressure;
        return step;
    }
    step.elevation_loss = site->water_weight * element->rise.nominal;
    lost = fci_pressure_of(judge->peak[state][element->parent].at[FCI_NOMINAL])
           - step.pressure - step.elevation_loss;
    if (element->pipe)
        split_friction(element->pipe, lost, &step);
    else
        step.device_loss = lost;
    if (element->beside > 0)
        step.beside = fci_beside(site, element)->name;
    if (element->part->kind == FCI_REDUCER)
        split_reducer(judge, at, state, &step);
    return step;
}

static fc_path_step
fixture_step(const struct fci_judge *judge, const struct fci_fixture *fixture,
             fc_state state, const struct fci_judgement *j)
{
    const fc_range flow = fci_fixture_flow(judge->site, fixture, state);
    fc_path_step step = {
        .element = fixture->given->name,
        .kind = "fixture",
        .flow = flow.nominal,
        .elevation_loss =
            judge->site->water_weight * fixture->given->rise.nominal,
        .device_loss = fci_loss_at(&fixture->given->stop, fixture->stop_curve,
                                   fixture->stop_lower, fixture->stop_shape,
                                   flow.nominal, FCI_NOMINAL),
        .pressure = j->flowing.nominal,
        .darcy_loss = NAN,
    };

    return step;
}

/* ---- The budget ------------------------------------------------------- */

static void
add_device(fc_budget *b, enum fci_kind kind, double loss)
{
    switch (kind) {
    case FCI_BACKFLOW:
        b->backflow += loss;
        break;
    case FCI_REDUCER:
        b->reducers += loss;
        break;
    case FCI_PUMP:
        b->pumps -= loss;
        break;
    default:
        b->devices += loss;
        break;
    }
}

/* From the fixture up to where the pressure is set: by a reducer that
 * controls, or by the source. */
static void
make_budget(const struct fci_judge *judge, const struct fci_fixture *fixture,
            fc_path *path)
{
    const struct fci_element *elements = judge->site->elements;
    const fc_path_step *step = &path->steps[path->n_steps - 1];
    fc_budget *b = &path->budget;
    size_t at;

    b->elevation = step->elevation_loss;
    b->devices = step->device_loss;
    for (at = fixture->element; elements[at].parent != FCI_NONE;
         at = elements[at].parent) {
        step--;
        b->friction += step->friction_loss;
        b->fittings += step->fitting_loss;
        add_device(b, elements[at].part->kind, step->device_loss);
        if (step->set > 0) {
            b->from = step->element;
            b->beside = step->beside;
            b->start = step->pressure + step->device_loss;
            b->throttled = step->throttled;
            return;
        }
        b->elevation += step->elevation_loss;
    }
    step--;
    b->start = step->pressure + step->sag;
    b->sag = step->sag;
}

static fc_status
make_steps(const struct fci_judge *judge, const struct fci_fixture *fixture,
           fc_state state, const struct fci_judgement *j, fc_path *path)
{
    const fc_site *site = judge->site;
    fc_path_step *steps;
    size_t at, n = 1;

    for (at = fixture->element; at != FCI_NONE; at = site->elements[at].parent)
        n++;
    steps = fci_arena_array(fci_arena_of(path), n, sizeof *steps);
    if (!steps)
        return FC_ENOMEM;
    path->steps = steps;
    path->n_steps = n;
    steps[--n] = fixture_step(judge, fixture, state, j);
    for (at = fixture->element; at != FCI_NONE;
         at = site->elements[at].parent) {
        steps[--n] = element_step(judge, at, state);
        if (site->elements[at].pipe
            && set_beside(site, site->elements[at].pipe, &steps[n]) != FC_OK)
            return FC_ENOMEM;
    }
    make_budget(judge, fixture, path);
    return FC_OK;
}

/* ---- The path --------------------------------------------------------- */

static fc_status
make_path(const struct fci_judge *judge, const struct fci_fixture *fixture,
          fc_state state, fc_path *path)
{
    struct fci_judgement j = fci_judge_fixture(judge, fixture, state);
    struct fci_swings *swings;

    path->fixture = fixture->given->name;
    path->state = state;
    path->end = fci_fixture_state(fixture, state, &j, fci_arena_of(path));
    if (j.works == FC_CANNOT_TELL) {
        swings = fci_swings_new(judge, state);
        if (swings)
            path->end.decided_by =
                fci_decided_by(swings, fixture, &j, fci_arena_of(path));
        fci_object_free(swings);
        if (!path->end.decided_by)
            return FC_ENOMEM;
    }
    return make_steps(judge, fixture, state, &j, path);
}

/* Flushing alone it may be short though the code's peak, at the rate of its
 * data sheet, leaves enough. */
static fc_status
add_alone(const struct fci_judge *judge, size_t fixture, fc_state state,
          fc_path *path, fc_diagnostics *messages)
{
    const fc_site *site = judge->site;
    const struct fci_judgement j =
        fci_judge_fixture(judge, &site->fixtures[fixture], state);
    fc_fixture_state *end = &path->end;
    const fc_check_options options = { 0 };
    const struct fci_event_view *view;
    struct fci_events events;
    const fc_status status = fci_events_judge(
        site, state, fixture, &options, fci_arena_of(path), &events, messages);

    if (status != FC_OK)
        return status;
    view = &events.views[fixture];
    end->alone = view->alone;
    end->works = fci_events_verdict(end->works, view);
    fci_events_decide(end, view);
    if (fci_as_tested(site, NULL, end->works) != end->works) {
        end->works = FC_CANNOT_TELL;
        end->decided_by = FCI_DROP_DECIDES;
    }
    fci_tell_excess(site, &site->fixtures[fixture], &j, view, end,
                    fci_arena_of(path));
    return fci_arena_of(path)->failed ? FC_ENOMEM : FC_OK;
}

static fc_status
weigh_readings(const fc_site *site, fc_path *path)
{
    struct fci_evidence evidence;
    const fc_status status =
        fci_evidence_make(&evidence, site, fci_arena_of(path));

    if (status != FC_OK)
        return status;
    path->contradictions = evidence.list;
    path->n_contradictions = evidence.n;
    if (evidence.n > 0)
        fci_refute(&path->end, fci_arena_of(path));
    return FC_OK;
}

/* What is to be told beside the budget. */
static fc_status
judge_end(const struct fci_judge *judge, size_t fixture, fc_path *path,
          fc_diagnostics *messages)
{
    fc_status status = add_alone(judge, fixture, path->state, path, messages);

    if (status == FC_OK)
        status = weigh_readings(judge->site, path);
    if (status == FC_OK && path->end.works == FC_CANNOT_TELL
        && path->n_contradictions == 0)
        status =
            fci_settle_check(judge, path->state, fixture, NULL,
                             fci_arena_of(path), &path->proviso, messages);
    return status;
}

static fc_status
find(const fc_site *site, const char *name, fc_state state, bool at_peak,
     fc_path **path, fc_diagnostics *messages)
{
    size_t fixture = 0;
    struct fci_judge judge;
    fc_path *made = NULL;
    fc_status status = fci_judge_begin(&judge, site, messages);

    if (status == FC_OK)
        status = fci_find_fixture_named(site, name, &fixture, messages);
    if (status == FC_OK) {
        /* a building without conversions has one state only */
        state = judge.converted ? state : FC_EXISTING;
        made = fci_object_new(sizeof *made);
        status = made
                     ? make_path(&judge, &site->fixtures[fixture], state, made)
                     : FC_ENOMEM;
    }
    if (status == FC_OK && !at_peak)
        status = judge_end(&judge, fixture, made, messages);
    fci_judge_end(&judge);
    if (status == FC_OK)
        *path = made;
    else
        fci_object_free(made);
    return status;
}

fc_status
fc_path_find(const fc_site *site, const char *name, fc_state state,
             fc_path **path, fc_diagnostics *messages)
{
    return find(site, name, state, false, path, messages);
}

fc_status
fc_path_at_peak(const fc_site *site, const char *name, fc_state state,
                fc_path **path, fc_diagnostics *messages)
{
    return find(site, name, state, true, path, messages);
}

void
fc_path_free(fc_path *path)
{
    fci_object_free(path);
}
