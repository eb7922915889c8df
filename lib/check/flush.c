/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/flush.c -- what every gauge would read while some valves flush. */
#include "ground/diagnostics.h"
#include "ground/call.h"
#include "ground/ties.h"
#include "check/checked.h"
#include "check/drawn.h"
#include "check/flush_event.h"
#include "check/holds.h"
#include "check/refuse.h"
#include "check/settle.h"
#include "laws/friction.h"
#include "peak/source.h"
#include "site/pipe_size.h"

#include <math.h>
#include <stdint.h>

/* With ranges every fixture is solved for at both its ends.  Beyond so many
 * solutions times open valves the ranges are left out, which is said. */
#define MOST_BOUNDS 2e7
/* So many, likewise, are spent on what would settle a verdict: some seconds.
 * Where it takes more, nothing is named. */
#define MOST_TRIED 1e7

/* ---- Which valves ----------------------------------------------------- */

fc_status
fci_rate_known(const fc_site *site, fc_state state, size_t fixture,
               fc_diagnostics *messages)
{
    const struct fci_fixture *given = &site->fixtures[fixture];
    const fc_valve *valve = given->valve[state];

    if (!valve)
        return fci_part_fail(given->part, messages, NULL,
                             "has no flush valve; a fixture that flushes by "
                             "a valve is expected");
    if (!fci_has_rate(valve))
        return fci_part_fail(given->part, messages, NULL,
                             "has the valve \"%.60s\", whose rate is not "
                             "known; a \"flow\" in [valve] such as 25 gpm at "
                             "35 psi is expected",
                             valve->name);
    return FC_OK;
}

static fc_status
open_one(struct fci_flush_event *e, const fc_flushing *flushing, bool *taken,
         fc_diagnostics *messages)
{
    const struct fci_fixture *fixture;
    size_t at = 0;
    fc_status status =
        fci_find_fixture_named(e->site, flushing->fixture, &at, messages);

    if (status == FC_OK)
        status = fci_rate_known(e->site, e->state, at, messages);
    if (status != FC_OK)
        return status;
    fixture = &e->site->fixtures[at];
    if (taken[at])
        return fci_fail(
            messages, FC_EINPUT, NULL, 0,
            "\"%.60s\" is named twice; each fixture once is expected",
            fixture->given->name);
    if (flushing->count < 0 || flushing->count > fixture->count)
        return fci_fail(messages, FC_EINPUT, NULL, 0,
                        "%d of \"%.60s\" cannot flush; 1 to %d is expected",
                        flushing->count, fixture->given->name, fixture->count);
    taken[at] = true;
    e->open[e->n_open].fixture = at;
    e->open[e->n_open++].count =
        flushing->count ? flushing->count : fixture->count;
    return FC_OK;
}

/* All fixtures that a name with "*" stands for. */
static fc_status
open_alike(struct fci_flush_event *e, const fc_flushing *flushing, bool *taken,
           fc_diagnostics *messages)
{
    const size_t before = e->n_open;
    fc_status status = FC_OK;
    size_t i;

    if (flushing->count > 0)
        return fci_fail(messages, FC_EINPUT, NULL, 0,
                        "%d of \"%.60s\" counts in what may be several "
                        "fixtures; a number of one of them, or \"%.60s\" "
                        "alone for the whole of each, is expected",
                        flushing->count, flushing->fixture, flushing->fixture);
    for (i = 0; i < e->site->n_fixtures && status == FC_OK; i++) {
        const fc_flushing one = { .fixture =
                                      e->site->fixtures[i].given->name };

        if (fci_name_matches(flushing->fixture, one.fixture))
            status = open_one(e, &one, taken, messages);
    }
    return status == FC_OK && e->n_open == before
               ? open_one(e, flushing, taken, messages)
               : status;
}

static fc_status
open_listed(struct fci_flush_event *e, const fc_flushing *flushing, size_t n,
            fc_diagnostics *messages)
{
    bool *taken =
        fci_arena_array(&e->scratch, e->site->n_fixtures, sizeof *taken);
    fc_status status = taken ? FC_OK : FC_ENOMEM, one;
    size_t i;

    for (i = 0; taken && i < n; i++) {
        if (!flushing[i].fixture)
            return fci_fail(messages, FC_EINPUT, NULL, 0,
                            "item %zu names no fixture; a name is expected",
                            i + 1);
        one = (fci_is_pattern(flushing[i].fixture) ? open_alike : open_one)(
            e, &flushing[i], taken, messages);
        if (status != FC_ENOMEM && one != FC_OK)
            status = one;
    }
    return status;
}

static fc_status
open_all(struct fci_flush_event *e, fc_diagnostics *messages)
{
    fc_status status = FC_OK, one;
    size_t i;

    e->all = true;
    for (i = 0; i < e->site->n_fixtures; i++) {
        if (!e->site->fixtures[i].valve[e->state])
            continue;
        one = fci_rate_known(e->site, e->state, i, messages);
        if (status != FC_ENOMEM && one != FC_OK)
            status = one;
        e->open[e->n_open].fixture = i;
        e->open[e->n_open++].count = e->site->fixtures[i].count;
    }
    if (status == FC_OK && e->n_open == 0)
        status = fci_fail(messages, FC_EINPUT,
                          e->site->ini ? e->site->ini->path : NULL, 0,
                          "no fixture has a flush valve; one that flushes by "
                          "a valve is expected");
    return status;
}

/* ---- Solving ---------------------------------------------------------- */

static fc_status
solve_elements(struct fci_flush_event *e, size_t n_open,
               struct fci_at_flow *elements, fc_diagnostics *messages)
{
    fc_status status;

    fci_solver_take(e->solver, FCI_NOMINAL, FCI_NONE);
    status = fci_solver_run(e->solver, e->open, n_open);
    if (status == FC_OK)
        status = fci_solver_spread(e->solver, elements);
    return fci_solver_fail(e->solver, status, messages);
}

/* What an element's outlet has while fixtures flush. */
static void
take_elements(const struct fci_flush_event *e, fc_flush_element *out)
{
    const fc_site *site = e->site;
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const size_t at = site->order[i];
        const struct fci_element *element = &site->elements[at];

        out[i].name = element->name;
        out[i].kind = fci_part_kinds[element->part->kind].word;
        out[i].flow = e->flowing[at].flow;
        out[i].pressure = e->flowing[at].pressure;
        out[i].still = e->still[at].pressure;
        out[i].velocity = out[i].velocity_limit = NAN;
        if (!element->pipe)
            continue;
        out[i].velocity = fci_velocity(fabs(e->flowing[at].flow),
                                       fci_pipe_bore(element->pipe).nominal);
        out[i].velocity_limit = element->pipe->velocity_limit;
    }
}

static void
take_heights(const struct fci_flush_event *e, double *height,
             fc_flush_element *out, fc_flush_fixture *fixtures)
{
    const fc_site *site = e->site;
    size_t i;

    fci_heights(site, height);
    for (i = 0; i < site->n_elements; i++)
        out[i].elevation = height[site->order[i]];
    for (i = 0; i < site->n_fixtures; i++)
        fixtures[i].elevation = height[site->fixtures[i].element]
                                + site->fixtures[i].given->rise.nominal;
}

/* At the inlet of a fixture at rest. */
static double
at_inlet(const fc_site *site, const struct fci_fixture *fixture,
         const struct fci_at_flow *elements)
{
    return elements[fixture->element].pressure
           - site->water_weight * fixture->given->rise.nominal;
}

/* Of several valves at once the valves' own minimums say whether they flush;
 * of one alone the code asks no less than at peak. */
static void
take_required(const struct fci_flush_event *e, size_t at,
              fc_flush_fixture *out)
{
    const struct fci_requirement need =
        fci_requirement_of(e->site, &e->site->fixtures[at], e->state);
    const bool alone =
        e->n_open == 1 && e->open[0].count == 1 && e->open[0].fixture == at;

    out->required = alone ? need.least : out->minimum;
    out->governed_by = alone                ? need.governor
                       : out->minimum.given ? FC_VALVE_GOVERNS
                                            : FC_NOTHING_GOVERNS;
}

static void
take_fixture(const struct fci_flush_event *e, size_t at, fc_flush_fixture *out)
{
    const struct fci_fixture *fixture = &e->site->fixtures[at];
    const fc_valve *valve = fixture->valve[e->state];

    out->name = fixture->given->name;
    out->on = e->site->elements[fixture->element].name;
    out->kind = fixture->kind->head.name;
    out->valve = valve ? valve->name : NULL;
    out->count = fixture->count;
    out->still = fc_exactly(at_inlet(e->site, fixture, e->still));
    out->pressure = fc_exactly(at_inlet(e->site, fixture, e->flowing));
    out->flow = fc_exactly(0);
    if (valve)
        out->minimum = valve->minimum_flowing;
    out->enough = FC_WORKS;
    take_required(e, at, out);
}

static void
take_kept(const struct fci_flush_event *e)
{
    const fc_site *site = e->site;
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const struct fci_element *element = &site->elements[i];

        e->outlets[i] = fc_exactly(e->flowing[i].pressure);
        if (!fci_must_keep(site, element).given)
            continue;
        e->kept[i] =
            fc_exactly(element->parent == FCI_NONE
                           ? e->flowing[i].pressure
                           : e->flowing[element->parent].pressure
                                 - site->water_weight * element->rise.nominal);
    }
}

static void
take_drawn(const struct fci_flush_event *e, fc_flush_fixture *fixtures)
{
    const struct fci_drawn *drawn = fci_solver_drawn(e->solver);
    size_t i;

    for (i = 0; i < e->n_open; i++) {
        fc_flush_fixture *out = &fixtures[drawn[i].fixture];

        out->flushing = drawn[i].count;
        out->pressure = fc_exactly(drawn[i].pressure);
        out->flow = fc_exactly(drawn[i].flow);
    }
}

/* ---- Ranges ----------------------------------------------------------- */

static void
stretch(fc_range *range, double value)
{
    range->low = fmin(range->low, value);
    range->high = fmax(range->high, value);
}

/* Of the outlets on the way to a fixture, and of what must be kept there. */
static void
bound_kept(struct fci_flush_event *e, size_t at, enum fci_end end)
{
    const fc_site *site = e->site;
    size_t i = site->fixtures[at].element;

    fci_solver_way(e->solver, i, e->way);
    for (; i != FCI_NONE; i = site->elements[i].parent) {
        const struct fci_element *element = &site->elements[i];

        stretch(&e->outlets[i], e->way[i]);
        if (!e->kept[i].given)
            continue;
        stretch(&e->kept[i],
                element->parent == FCI_NONE
                    ? e->way[i]
                    : e->way[element->parent]
                          - site->water_weight
                                * fci_more_is_worse(element->rise, end));
    }
}

/* `place`: in the list of open valves, or n_open. */
static fc_status
bound_fixture(struct fci_flush_event *e, size_t at, enum fci_end end,
              size_t place, fc_flush_fixture *out)
{
    fc_status status;

    fci_solver_take(e->solver, end, at);
    status = fci_solver_run(e->solver, e->open, e->n_open);
    if (status != FC_OK)
        return status;
    if (place < e->n_open) {
        const double there = fci_solver_drawn(e->solver)[place].pressure;
        const fc_valve *valve = e->site->fixtures[at].valve[e->state];

        stretch(&out->pressure, there);
        stretch(&out->flow, fci_flow_at_end(valve, there, end));
    } else {
        stretch(&out->pressure, fci_solver_at_rest(e->solver, at));
    }
    bound_kept(e, at, end);
    return FC_OK;
}

static fc_status
bound_still(struct fci_flush_event *e, size_t at, enum fci_end end,
            fc_flush_fixture *out)
{
    fc_status status;

    fci_solver_take(e->solver, end, at);
    status = fci_solver_run(e->solver, e->open, 0);
    if (status == FC_OK)
        stretch(&out->still, fci_solver_at_rest(e->solver, at));
    return status;
}

static fc_verdict
enough_for(const fc_flush_fixture *f)
{
    if (f->flushing == 0)
        return FC_WORKS;
    if (!f->required.given)
        return FC_CANNOT_TELL;
    if (f->pressure.low >= f->required.high - FCI_SOLVED_TO)
        return FC_WORKS;
    return f->pressure.high < f->required.low - FCI_SOLVED_TO
               ? FC_WILL_NOT_WORK
               : FC_CANNOT_TELL;
}

/* Flowing and at rest.  Of an event that is tried only whether all works: the
 * first that does not, beginning with the one that is likeliest, ends it. */
static fc_status
bound_end(struct fci_flush_event *e, enum fci_end end, const size_t *place,
          fc_flush_fixture *fixtures)
{
    const size_t n = e->site->n_fixtures;
    struct fci_telling telling =
        fci_telling_of(&e->telling, end == FCI_BEST, 4);
    fc_status status = FC_OK;
    size_t i;

    for (i = 0; status == FC_OK && i < n; i++) {
        const size_t at = (e->first + i) % n;

        status = bound_fixture(e, at, end, place[at], &fixtures[at]);
        e->solved += (double)(e->n_open + 1);
        fci_tell(&telling, (double)i / (double)n);
        if (e->tried && enough_for(&fixtures[at]) != FC_WORKS)
            return status;
    }
    for (i = 0; status == FC_OK && !e->tried && i < n; i++)
        status = bound_still(e, i, end, &fixtures[i]);
    return status;
}

/* One end of all fixtures and then the other, as what is solved begins with
 * what was solved last. */
static fc_status
bound_all(struct fci_flush_event *e, fc_flush_fixture *fixtures,
          fc_diagnostics *messages)
{
    size_t *place =
        fci_arena_array(&e->scratch, e->site->n_fixtures, sizeof *place);
    fc_status status = place ? FC_OK : FC_ENOMEM;
    size_t i;

    for (i = 0; place && i < e->site->n_fixtures; i++)
        place[i] = e->n_open;
    for (i = 0; place && i < e->n_open; i++)
        place[e->open[i].fixture] = i;
    if (status == FC_OK)
        status = bound_end(e, FCI_WORST, place, fixtures);
    if (status == FC_OK)
        status = bound_end(e, FCI_BEST, place, fixtures);
    return fci_solver_fail(e->solver, status, messages);
}

/* ---- The verdict ------------------------------------------------------ */

/* With no flow, and flowing where it flushes. */
static void
judge_too_high(const struct fci_flush_event *e, size_t at,
               fc_flush_fixture *out)
{
    const struct fci_fixture *fixture = &e->site->fixtures[at];
    struct fci_judgement j = {
        .need = fci_requirement_of(e->site, fixture, e->state),
        .flowing = out->pressure,
        .trapped = out->still,
        .strong = FC_WORKS,
    };
    fc_fixture_state s = { .too_high = FC_WORKS };

    j.maximum = fci_under_limit(j.trapped, j.need.maximum_static);
    if (out->flushing > 0)
        j.strong = fci_under_limit(j.flowing, j.need.maximum_flowing);
    fci_tell_excess(e->site, fixture, &j, NULL, &s, fci_arena_of(e->result));
    out->too_high = s.too_high;
    out->excess = s.excess;
}

static void
take_too_high(fc_flush_result *result, size_t at)
{
    const fc_flush_fixture *f = &result->fixtures[at];

    result->too_high = fci_worse_of(result->too_high, f->too_high);
    if (f->excess
        && (result->too_high_at == SIZE_MAX
            || fci_exceeds_more(f->excess,
                                result->fixtures[result->too_high_at].excess)))
        result->too_high_at = at;
}

/* What flushes takes from the tank meanwhile what it has to spare. */
static struct fci_tank_flushes
flushes_of(const struct fci_flush_event *e)
{
    const fc_flush_result *result = e->result;
    struct fci_tank_flushes all = { 0, 0, 0, INFINITY };
    double flow = 0;
    size_t i;

    for (i = 0; i < result->n_fixtures; i++) {
        const fc_flush_fixture *f = &result->fixtures[i];
        const fc_valve *valve = e->site->fixtures[i].valve[e->state];

        if (f->flushing == 0)
            continue;
        flow += f->flushing * f->flow.high;
        all.volume += f->flushing * fci_tank_full_flush(valve, FCI_WORST);
        all.longest =
            fmax(all.longest, fci_longest_flush(valve, f->required.high));
        all.spare = fmin(all.spare, f->pressure.low - f->required.high);
    }
    all.quickest = all.volume / flow; /* none is quicker than in the mean */
    return all;
}

static void
judge_event(const struct fci_flush_event *e, fc_flush_fixture *fixtures)
{
    fc_flush_result *result = e->result;
    struct fci_event_left left = { .site = e->site,
                                   .outlets = e->outlets,
                                   .kept = e->kept,
                                   .inlets = e->inlets };
    struct fci_limited limited;
    size_t i;

    result->enough = result->too_high = FC_WORKS;
    result->too_high_at = SIZE_MAX;
    for (i = 0; i < result->n_fixtures; i++) {
        fixtures[i].enough = enough_for(&fixtures[i]);
        result->flushing += fixtures[i].flushing;
        result->enough = fci_worse_of(result->enough, fixtures[i].enough);
        e->inlets[i] = fixtures[i].pressure;
        judge_too_high(e, i, &fixtures[i]);
        take_too_high(result, i);
    }
    if (fci_tank_ends(e->site))
        left.flushes = flushes_of(e);
    left.enough = result->enough;
    result->enough = fci_event_holds(&left, &limited);
    result->tank_ends = limited.by == FC_LIMIT_TANK;
    if (!(result->flow > 0))
        return;
    for (i = 0; i < result->n_fixtures; i++)
        fixtures[i].enough = fci_as_tested(e->site, NULL, fixtures[i].enough);
    result->enough = fci_as_tested(e->site, NULL, result->enough);
}

static void
doubt(const struct fci_flush_event *e, fc_flush_fixture *f)
{
    if (f->flushing > 0 && f->required.given)
        f->enough = FC_CANNOT_TELL;
    fci_doubt_excess(&f->too_high, &f->excess, fci_arena_of(e->result));
}

/* Nothing is told of a site that its own readings refute, nor at the middle of
 * ranges whose ends are not followed. */
static void
refute_event(struct fci_flush_event *e)
{
    fc_flush_result *result = e->result;
    fc_flush_fixture *fixtures = e->judged;
    size_t i;

    for (i = 0; i < result->n_fixtures; i++)
        doubt(e, &fixtures[i]);
    result->enough = FC_CANNOT_TELL;
    if (result->too_high == FC_WILL_NOT_WORK)
        result->too_high = FC_CANNOT_TELL;
}

/* ---- One building ------------------------------------------------------ */

static double
flow_of_sources(const struct fci_flush_event *e)
{
    double flow = 0;
    size_t i;

    for (i = 0; i < e->site->n_elements; i++)
        if (e->site->elements[i].part->kind == FCI_SOURCE)
            flow += e->flowing[i].flow;
    return flow;
}

/* Whether the ends of the inputs bound the pressures, and soon enough. */
static bool
can_be_bounded(const struct fci_flush_event *e)
{
    return e->network->bounded
           && (double)e->site->n_fixtures * (double)(e->n_open + 1)
                  <= MOST_BOUNDS;
}

static fc_status
judge(struct fci_flush_event *e, fc_diagnostics *messages)
{
    const fc_site *site = e->site;
    fc_flush_result *result = e->result;
    struct fci_arena *arena = fci_arena_of(result);
    fc_flush_fixture *fixtures =
        fci_arena_array(arena, site->n_fixtures, sizeof *fixtures);
    fc_flush_element *elements =
        fci_arena_array(arena, site->n_elements, sizeof *elements);
    double *height =
        fci_arena_array(&e->scratch, site->n_elements, sizeof *height);
    fc_status status;
    size_t i;

    if (arena->failed || !height)
        return FC_ENOMEM;
    status = solve_elements(e, 0, e->still, messages);
    if (status == FC_OK)
        status = solve_elements(e, e->n_open, e->flowing, messages);
    if (status != FC_OK)
        return status;
    take_elements(e, elements);
    for (i = 0; i < site->n_fixtures; i++)
        take_fixture(e, i, &fixtures[i]);
    take_drawn(e, fixtures);
    take_kept(e);
    take_heights(e, height, elements, fixtures);
    result->fixtures = e->judged = fixtures;
    result->n_fixtures = site->n_fixtures;
    result->elements = elements;
    result->n_elements = site->n_elements;
    result->flow = flow_of_sources(e);
    result->bounded = e->network->exact || can_be_bounded(e);
    if (result->bounded && !e->network->exact)
        status = bound_all(e, fixtures, messages);
    judge_event(e, fixtures);
    if (!result->bounded)
        refute_event(e);
    return arena->failed ? FC_ENOMEM : status;
}

static fc_status
make_solver(struct fci_flush_event *e, fc_diagnostics *messages)
{
    fc_status status =
        fci_network_new(e->site, e->state, &e->network, messages);

    if (status != FC_OK)
        return status;
    e->solver = fci_solver_new(e->network);
    return e->solver ? FC_OK : FC_ENOMEM;
}

static bool
make_room(struct fci_flush_event *e)
{
    const size_t n = e->site->n_elements;

    e->still = fci_arena_array(&e->scratch, n, sizeof *e->still);
    e->flowing = fci_arena_array(&e->scratch, n, sizeof *e->flowing);
    e->kept = fci_arena_array(&e->scratch, n, sizeof *e->kept);
    e->outlets = fci_arena_array(&e->scratch, n, sizeof *e->outlets);
    e->inlets = fci_arena_array(&e->scratch, e->site->n_fixtures + 1,
                                sizeof *e->inlets);
    e->way = fci_arena_array(&e->scratch, n, sizeof *e->way);
    e->result = fci_object_new(sizeof *e->result);
    return e->result && !e->scratch.failed;
}

static void
end(struct fci_flush_event *e)
{
    fci_solver_free(e->solver);
    fci_network_free(e->network);
    fci_arena_free(&e->scratch);
}

/* ---- What would settle it ----------------------------------------------- */

struct unsettled_event {
    struct fci_unsettled what;
    const struct fci_flush_event *event;
    double *flow;  /* of each element, in the building tried last */
    size_t first;  /* fixture: the one that did not work last */
    double solved; /* as of a flush event, of all that were tried */
};

/* The fixture that has the least to spare, and how much. */
static size_t
find_least_to_spare(const fc_flush_result *result, double *least)
{
    size_t at = 0, i;

    *least = INFINITY;
    for (i = 0; i < result->n_fixtures; i++) {
        const fc_flush_fixture *f = &result->fixtures[i];

        if (f->flushing > 0 && f->required.given
            && f->pressure.low - f->required.high < *least) {
            *least = f->pressure.low - f->required.high;
            at = i;
        }
    }
    return at;
}

/* The same event in another building.  False too where more would be tried
 * than may be; then nothing else is. */
static bool
is_enough_in(struct fci_unsettled *what, const fc_site *site, bool flows)
{
    struct unsettled_event *u = (struct unsettled_event *)what;
    const struct fci_flush_event *event = u->event;
    struct fci_flush_event e = { .site = site,
                                 .state = event->state,
                                 .converted = event->converted,
                                 .all = event->all,
                                 .open = event->open,
                                 .n_open = event->n_open,
                                 .tried = true,
                                 .first = u->first };
    bool enough = false;
    size_t i;

    (void)flows; /* they are solved anew */
    fci_tell(&event->telling, 0.5 + u->solved / MOST_TRIED / 2);
    if (u->solved > MOST_TRIED) {
        what->status = FC_ENOCONV;
        return false;
    }
    what->status =
        make_room(&e) ? make_solver(&e, NULL) : (fc_status)FC_ENOMEM;
    if (what->status == FC_OK)
        what->status = judge(&e, NULL);
    if (what->status == FC_OK) {
        for (i = 0; i < site->n_elements; i++)
            u->flow[i] = fabs(e.flowing[i].flow);
        enough = e.result->enough == FC_WORKS;
        u->first = find_least_to_spare(e.result, &what->governing);
    }
    u->solved += e.solved;
    fci_object_free(e.result);
    end(&e);
    return enough;
}

static fc_status
settle(struct fci_flush_event *e)
{
    const size_t n = e->site->n_elements;
    double *flow = fci_arena_array(&e->scratch, n, sizeof *flow);
    struct unsettled_event u = { .what = { .site = e->site,
                                           .state = e->state,
                                           .flow = flow,
                                           .works = is_enough_in },
                                 .event = e,
                                 .flow = flow };
    fc_status status;
    double least;
    size_t i;

    if (!flow)
        return FC_ENOMEM;
    for (i = 0; i < n; i++)
        flow[i] = fabs(e->flowing[i].flow);
    u.first = find_least_to_spare(e->result, &least);
    status = fci_settle(&u.what, fci_arena_of(e->result), &e->result->proviso);
    return u.solved > MOST_TRIED && status == FC_ENOCONV ? FC_OK : status;
}

/* ---- The whole -------------------------------------------------------- */

static fc_status
work_out(struct fci_flush_event *e, fc_diagnostics *messages)
{
    fc_flush_result *result = e->result;
    fc_status status = judge(e, messages);

    if (status == FC_OK)
        status =
            fci_evidence_make(&e->evidence, e->site, fci_arena_of(result));
    if (status != FC_OK)
        return status;
    result->contradictions = e->evidence.list;
    result->n_contradictions = e->evidence.n;
    if (e->evidence.n > 0)
        refute_event(e);
    else if (result->enough == FC_CANNOT_TELL && result->bounded)
        status = settle(e);
    return status;
}

static fc_status
put_in_words(struct fci_flush_event *e)
{
    const struct fci_judge judge = { .site = e->site,
                                     .converted = e->converted };
    struct fci_check_words words = { .judge = &judge,
                                     .found = {
                                         .converted = e->converted,
                                         .units = e->site->settings.units,
                                         .arena = fci_arena_of(e->result) } };
    struct fci_told told;
    fc_status status;

    fci_find_flush(&words, e);
    fci_find_overrides(&words);
    fci_assume_flush(&words, e);
    fci_evidence_tell(&e->evidence, &words.found);
    status = fci_findings_take(&words.found, &told);
    fci_findings_free(&words.found);
    if (status != FC_OK)
        return status;
    e->result->findings = told.findings;
    e->result->n_findings = told.n_findings;
    e->result->assumptions = told.assumptions;
    e->result->n_assumptions = told.n_assumptions;
    e->result->overrides = told.overrides;
    e->result->n_overrides = told.n_overrides;
    return FC_OK;
}

static fc_status
begin(struct fci_flush_event *e, const fc_flushing *flushing, size_t n,
      fc_diagnostics *messages)
{
    const fc_site *site = e->site;
    fc_status status;

    if (!site->finished)
        return fci_fail(messages, FC_ESTATE, NULL, 0,
                        "the site is not finished; a finished site is "
                        "expected");
    e->converted = fci_has_conversions(site);
    if (e->state == FC_RETROFIT && !e->converted)
        return fci_fail(messages, FC_ESTATE, NULL, 0,
                        "no fixture has a retrofit valve; the existing state "
                        "is expected");
    e->open =
        fci_arena_array(&e->scratch, site->n_fixtures + 1, sizeof *e->open);
    if (!e->open || !make_room(e))
        return FC_ENOMEM;
    e->result->title = site->settings.title;
    e->result->units = site->settings.units;
    e->result->state = e->state;
    status = n == SIZE_MAX ? open_all(e, messages)
                           : open_listed(e, flushing, n, messages);
    return status == FC_OK ? make_solver(e, messages) : status;
}

fc_status
fc_flush(const fc_site *site, fc_state state, const fc_flushing *flushing,
         size_t n, fc_flush_result **result, fc_diagnostics *messages)
{
    return fc_flush_with(site, state, flushing, n, NULL, result, messages);
}

fc_status
fc_flush_with(const fc_site *site, fc_state state, const fc_flushing *flushing,
              size_t n, const fc_flush_options *options,
              fc_flush_result **result, fc_diagnostics *messages)
{
    const bool all = !flushing && n == SIZE_MAX;

    if (FCI_REFUSES(messages, FCI_GIVEN(site), FCI_STATE(state),
                    FCI_LISTED(flushing, all ? 0 : n), FCI_GIVEN(result)))
        return FC_EINPUT;

    struct fci_flush_event e = { .site = site, .state = state };
    fc_status status;

    if (options)
        e.telling =
            (struct fci_telling){ options->progress, options->context, 0, 1 };
    status = begin(&e, flushing, n, messages);

    if (status == FC_OK)
        status = work_out(&e, messages);
    if (status == FC_OK)
        status = put_in_words(&e);
    fci_tell(&e.telling, 1);
    end(&e);
    if (status == FC_OK)
        *result = e.result;
    else
        fci_object_free(e.result);
    return status;
}

void
fc_flush_result_free(fc_flush_result *result)
{
    fci_object_free(result);
}
