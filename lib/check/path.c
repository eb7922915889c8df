/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/path.c -- the pressure budget from the source to one fixture. */
#include "check/checked.h"
#include "ground/call.h"
#include "laws/darcy.h"
#include "check/decide.h"
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

/* At peak alone. */
static fc_status
judge_at_peak(const struct fci_judge *judge, const struct fci_fixture *fixture,
              const struct fci_judgement *j, fc_path *path)
{
    struct fci_swings *swings;

    path->end = fci_fixture_state(fixture, path->state, j, fci_arena_of(path));
    if (j->works != FC_CANNOT_TELL)
        return FC_OK;
    swings = fci_swings_new(judge, path->state);
    if (swings)
        path->end.decided_by =
            fci_decided_by(swings, fixture, j, fci_arena_of(path));
    fci_object_free(swings);
    return path->end.decided_by ? FC_OK : FC_ENOMEM;
}

/* By the check of that fixture. */
static fc_status
judge_end(const struct fci_judge *judge, size_t fixture,
          const fc_check_options *options, bool told, fc_path *path,
          fc_diagnostics *messages)
{
    const struct fci_one one = { fixture, path->state, told };
    const fc_check_result *check = NULL;
    const fc_status status = fci_check_one(
        judge, &one, options, fci_arena_of(path), &check, messages);

    if (status != FC_OK)
        return status;
    path->end = check->fixtures->states[path->state];
    path->end.ladder = (fc_ladder){ 0 };
    path->end.busy = (fc_busy){ 0 };
    path->proviso = check->states[path->state].proviso;
    path->contradictions = check->contradictions;
    path->n_contradictions = check->n_contradictions;
    path->check = told ? check : NULL;
    return FC_OK;
}

/* How far the fixture is judged. */
enum depth { AT_PEAK, VERDICT, TOLD };

struct wanted {
    const char *name;
    fc_state state;
    enum depth depth;
    const fc_check_options *options;
};

static fc_status
make_path(const struct fci_judge *judge, const struct wanted *wanted,
          size_t at, fc_path *path, fc_diagnostics *messages)
{
    const struct fci_fixture *fixture = &judge->site->fixtures[at];
    struct fci_judgement j;
    fc_status status;

    path->fixture = fixture->given->name;
    /* a building without conversions has one state only */
    path->state = judge->converted ? wanted->state : FC_EXISTING;
    j = fci_judge_fixture(judge, fixture, path->state);
    status = wanted->depth == AT_PEAK
                 ? judge_at_peak(judge, fixture, &j, path)
                 : judge_end(judge, at, wanted->options, wanted->depth == TOLD,
                             path, messages);
    return status == FC_OK ? make_steps(judge, fixture, path->state, &j, path)
                           : status;
}

static fc_status
find(const fc_site *site, const struct wanted *wanted, fc_path **path,
     fc_diagnostics *messages)
{
    size_t fixture = 0;
    struct fci_judge judge;
    fc_path *made = NULL;
    fc_status status = fci_judge_begin(&judge, site, messages);

    if (status == FC_OK)
        status =
            fci_find_fixture_named(site, wanted->name, &fixture, messages);
    if (status == FC_OK) {
        made = fci_object_new(sizeof *made);
        status = made ? make_path(&judge, wanted, fixture, made, messages)
                      : FC_ENOMEM;
    }
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
    if (FCI_REFUSES(messages, FCI_GIVEN(site), FCI_GIVEN(name),
                    FCI_STATE(state), FCI_GIVEN(path)))
        return FC_EINPUT;

    const struct wanted wanted = { name, state, VERDICT, NULL };

    return find(site, &wanted, path, messages);
}

fc_status
fc_path_find_with(const fc_site *site, const char *name, fc_state state,
                  const fc_check_options *options, fc_path **path,
                  fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_GIVEN(site), FCI_GIVEN(name),
                    FCI_STATE(state), FCI_STATES_TRIED(options, most_states),
                    FCI_GIVEN(path)))
        return FC_EINPUT;

    const struct wanted wanted = { name, state, TOLD, options };

    return find(site, &wanted, path, messages);
}

fc_status
fc_path_at_peak(const fc_site *site, const char *name, fc_state state,
                fc_path **path, fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_GIVEN(site), FCI_GIVEN(name),
                    FCI_STATE(state), FCI_GIVEN(path)))
        return FC_EINPUT;

    const struct wanted wanted = { name, state, AT_PEAK, NULL };

    return find(site, &wanted, path, messages);
}

void
fc_path_free(fc_path *path)
{
    fci_object_free(path);
}
