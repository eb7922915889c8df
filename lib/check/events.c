/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/events.c -- what the flush events tell of every fixture. */
#include "check/events_work.h"

fc_verdict
fci_enough_for(fc_range least, fc_range pressure)
{
    if (!least.given)
        return FC_WORKS;
    if (pressure.high < least.low - FCI_SOLVED_TO)
        return FC_WILL_NOT_WORK;
    return pressure.low < least.high - FCI_SOLVED_TO ? FC_CANNOT_TELL
                                                     : FC_WORKS;
}

/* ---- Verdicts --------------------------------------------------------- */

/* Where the inputs are ranges, what the middle says decides nothing; nor does
 * a chance that drawing does not tell from the limit. */
static fc_verdict
seldom_weak(const struct fci_event_view *view)
{
    if (view->often[FCI_BEST] == FCI_TOO_OFTEN)
        return FC_WILL_NOT_WORK;
    return view->often[FCI_NOMINAL] == FCI_SELDOM
                   && view->often[FCI_WORST] == FCI_SELDOM
               ? FC_WORKS
               : FC_CANNOT_TELL;
}

void
fci_judge_view(const struct fci_running_events *r, size_t fixture,
               struct fci_event_view *view)
{
    const struct fci_requirement need =
        fci_requirement_of(r->site, &r->site->fixtures[fixture], r->state);

    view->enough = view->strong = view->seldom = FC_WORKS;
    view->lasts =
        r->events->tank ? fci_tank_verdict(r->events->tank) : FC_WORKS;
    view->drawn = fci_drawn_down_of(r, fixture);
    if (!r->site->fixtures[fixture].valve[r->state] || !view->alone.given)
        return;
    view->enough = fci_enough_for(need.least, view->alone);
    view->strong = fci_under_limit(view->alone, need.maximum_flowing);
    view->seldom = seldom_weak(view);
    /* by the code's least alone nothing surely fails */
    if (!need.valve.given && view->seldom == FC_WILL_NOT_WORK)
        view->seldom = FC_CANNOT_TELL;
    if (view->seldom == FC_CANNOT_TELL && r->events->volume_unknown)
        view->lacks = "how long a flush lasts, its volume not given: take "
                      "\"full flush\" from the valve's data sheet";
    else if (view->seldom == FC_CANNOT_TELL && !need.valve.given)
        view->lacks = "the valve minimum, not given: take \"minimum flowing\" "
                      "from its data sheet";
    view->unclear = view->seldom == FC_CANNOT_TELL
                    && view->often[FCI_NOMINAL] != FCI_TOO_OFTEN
                    && view->often[FCI_WORST] != FCI_TOO_OFTEN;
}

static void
judge_views(struct fci_running_events *r)
{
    size_t i;

    for (i = 0; i < r->site->n_fixtures; i++)
        if (r->only == FCI_NONE || r->only == i)
            fci_judge_view(r, i, &r->events->views[i]);
}

fc_verdict
fci_events_verdict(fc_verdict works, const struct fci_event_view *view)
{
    works = fci_worse_of(works, fci_worse_of(view->enough, view->drawn));
    if (works == FC_WILL_NOT_WORK || view->enough == FC_CANNOT_TELL)
        return works;
    /* the peak says yes and the busy period no: the two disagree; and so does
     * water that does not last as long as that takes */
    return view->seldom == FC_WORKS && view->lasts == FC_WORKS
               ? works
               : FC_CANNOT_TELL;
}

void
fci_events_decide(fc_fixture_state *s, const struct fci_event_view *view)
{
    if (s->works == FC_CANNOT_TELL && !s->decided_by)
        s->decided_by =
            view->enough == FC_CANNOT_TELL
                ? "its pressure flushing alone: read a gauge there while it "
                  "flushes"
            : view->seldom == FC_CANNOT_TELL && view->lacks ? view->lacks
            : view->unclear
                ? "how many flush at once in the busiest period, its weak "
                  "flushes being too close to the 1% allowed: count the uses "
                  "in an hour and give \"interval\""
            : view->seldom == FC_WORKS && view->lasts != FC_WORKS
                ? "how long the water of the tank lasts: run flushcalc "
                  "effects"
            : view->drawn == FC_CANNOT_TELL
                ? "how far the supply drops while a valve flushes alone: read "
                  "a gauge there while it flushes"
            : view->seldom == FC_CANNOT_TELL
                ? "the ranges, with too many weak flushes in the worst case: "
                  "narrow them"
                : "how many flush at once in the busiest period: count the "
                  "uses in an hour and give \"interval\"";
    if (s->works != FC_CANNOT_TELL)
        s->decided_by = NULL;
}

/* ---- A tank ------------------------------------------------------------ */

static fc_status
find_lasting(struct fci_running_events *r)
{
    struct fci_events *events = r->events;
    struct fci_network *made = NULL;
    fc_status status = FC_OK;

    if (!fci_tank_ends(r->site))
        return FC_OK;
    events->tank = fci_arena_array(r->arena, 1, sizeof *events->tank);
    if (!events->tank)
        return FC_ENOMEM;
    if (!r->network) /* a rate is not known */
        status = fci_network_new(r->site, r->state, &made, r->messages);
    if (status == FC_OK
        && !fci_tank_lasts_find(made ? made : r->network, events->tank))
        status = FC_ENOMEM;
    fci_network_free(made);
    return status;
}

/* ---- The whole -------------------------------------------------------- */

static const fc_valve *
unknown_rate(const fc_site *site, fc_state state)
{
    size_t i;

    for (i = 0; i < site->n_fixtures; i++) {
        const fc_valve *valve = site->fixtures[i].valve[state];

        if (valve && !fci_has_rate(valve))
            return valve;
    }
    return NULL;
}

/* Every rung of every valve's ladder follows its way to the source.  A
 * building whose ways are so long together, in links, would take minutes. */
#define MOST_WAYS 5e7

static fc_status
find_too_large(struct fci_running_events *r)
{
    const struct fci_network *network = r->network;
    size_t *depth =
        fci_arena_array(&r->scratch, network->n_links, sizeof *depth);
    double sum = 0;
    size_t i;

    if (!depth)
        return FC_ENOMEM;
    for (i = 0; i < network->n_links; i++)
        depth[i] = network->links[i].parent == FCI_NONE
                       ? 1
                       : depth[network->links[i].parent] + 1;
    for (i = 0; i < r->site->n_fixtures; i++)
        if (fci_flushes(r, i))
            sum += (double)depth[network->outlets[i].link];
    r->events->too_large = sum > MOST_WAYS;
    return FC_OK;
}

static fc_status
make_room(struct fci_running_events *r)
{
    fc_status status =
        fci_network_new(r->site, r->state, &r->network, r->messages);

    if (status != FC_OK)
        return status;
    if (!fci_find_places(r))
        return FC_ENOMEM;
    r->at_places = fci_arena_array(&r->scratch, 2 * r->events->n_drawn + 1,
                                   sizeof *r->at_places);
    r->drawn_alone = fci_arena_array(&r->scratch, r->site->n_fixtures + 1,
                                     sizeof *r->drawn_alone);
    r->solver = fci_solver_new(r->network);
    return r->solver && !r->scratch.failed ? FC_OK : FC_ENOMEM;
}

static void
free_room(struct fci_running_events *r)
{
    fci_ladder_free(r->ladder);
    fci_solver_free(r->solver);
    fci_network_free(r->network);
    fci_arena_free(&r->scratch);
}

/* Only how long a flush lasts differs, which nothing but the busy period asks
 * for. */
static bool
is_as_other(const struct fci_running_events *r)
{
    return r->other && r->other->views && !r->other->unknown
           && !r->other->too_large && fci_flows_alike(r->site);
}

static void
take_other(struct fci_running_events *r)
{
    struct fci_events *events = r->events;
    size_t i;

    for (i = 0; i < r->site->n_fixtures; i++) {
        const struct fci_event_view *from = &r->other->views[i];
        struct fci_event_view *to = &events->views[i];

        to->alone = from->alone;
        to->shared = from->shared;
        to->ladder = from->ladder;
        to->set = from->set;
    }
    for (i = 0; i < events->n_drawn; i++)
        events->drawn[i] = r->other->drawn[i];
    events->starved = r->other->starved;
}

/* Where every ladder is climbed that is about half of what takes long; the
 * other half is the busy period. */
static bool
climbs_every(const struct fci_running_events *r)
{
    return r->ladder && !r->one_ladder && r->only == FCI_NONE;
}

static void
tell_busy(void *context, double done)
{
    const fc_check_options *options = context;

    options->progress(options->context, 0.5 + done / 2);
}

static fc_status
draw_busy(struct fci_running_events *r)
{
    fc_check_options options = *r->options;

    if (options.progress && climbs_every(r)) {
        options.progress = tell_busy;
        options.context = (void *)r->options;
    }
    return fci_draw_busy(r, &options);
}

static void
tell_climbed(const struct fci_running_events *r, size_t n)
{
    if (r->options->progress)
        r->options->progress(r->options->context,
                             (double)n / (double)r->site->n_fixtures / 2);
}

/* Alone all of them too, where they may draw down what the one that is asked
 * about rests on. */
static fc_status
climb_all(struct fci_running_events *r)
{
    const bool all = r->only == FCI_NONE || fci_may_draw_down(r);
    fc_status status = FC_OK;
    size_t i;

    for (i = 0; i < r->site->n_fixtures && status == FC_OK; i++) {
        if (!fci_flushes(r, i) || (!all && r->only != i))
            continue;
        status = fci_find_alone(r, i, &r->events->views[i].alone);
        if (status != FC_OK || !climbs_every(r))
            continue;
        status = fci_climb(r, i);
        tell_climbed(r, i + 1);
    }
    return status;
}

/* What flushes leave of the pressure, however long they last. */
static fc_status
flush_all(struct fci_running_events *r)
{
    fc_status status;

    if (fci_needs_ladder(r)) {
        r->ladder = fci_ladder_new(r->network, r->solver);
        if (!r->ladder)
            return FC_ENOMEM;
    }
    status = climb_all(r);
    if (status == FC_OK && r->ladder
        && (r->one_ladder || r->only != FCI_NONE)) {
        status = fci_climb_shortest(r, FCI_NOMINAL);
        if (status == FC_OK && fci_last_end(r) == FCI_BEST
            && r->only == FCI_NONE)
            status = fci_climb_shortest(r, FCI_WORST);
    }
    if (status == FC_OK && r->ladder) {
        fci_find_starved(r);
        status = fci_find_shared(r);
    }
    return fci_solver_fail(r->solver, status, r->messages);
}

static fc_status
work_out(struct fci_running_events *r)
{
    fc_status status = find_too_large(r);

    if (status != FC_OK || r->events->too_large)
        return status;
    if (is_as_other(r))
        take_other(r);
    else
        status = flush_all(r);
    return status == FC_OK ? draw_busy(r) : status;
}

static fc_status
run(struct fci_running_events *r)
{
    const fc_site *site = r->site;
    struct fci_events *events = r->events;
    fc_status status = FC_OK;

    *events = (struct fci_events){ .starved = FCI_NONE };
    events->views =
        fci_arena_array(r->arena, site->n_fixtures, sizeof *events->views);
    if (!events->views)
        return FC_ENOMEM;
    events->unknown = unknown_rate(site, r->state);
    if (!events->unknown)
        status = make_room(r);
    if (status == FC_OK && r->solver)
        status = work_out(r);
    if (status == FC_OK)
        status = find_lasting(r);
    if (status == FC_OK)
        judge_views(r);
    if (status == FC_OK && r->solver && !events->too_large && !r->verdicts_only
        && r->only == FCI_NONE)
        status = fci_find_at_once(r);
    free_room(r);
    return status;
}

fc_status
fci_events_run(const fc_site *site, fc_state state,
               const struct fci_only *only, const struct fci_events *other,
               const fc_check_options *options, struct fci_arena *arena,
               struct fci_events *events, fc_diagnostics *messages)
{
    struct fci_running_events r = {
        .site = site,
        .state = state,
        .other = other,
        .arena = arena,
        .events = events,
        .one_ladder = options->in_short || options->one_ladder,
        .in_short = options->in_short,
        .options = options,
        .only = only ? only->fixture : FCI_NONE,
        .verdicts_only = only && !only->told,
        .short_at_peak = only && only->short_at_peak[state],
        .messages = messages
    };

    return run(&r);
}

fc_status
fci_events_judge(const fc_site *site, fc_state state, size_t only,
                 const fc_check_options *options, struct fci_arena *arena,
                 struct fci_events *events, fc_diagnostics *messages)
{
    struct fci_running_events r = { .site = site,
                                    .state = state,
                                    .options = options,
                                    .arena = arena,
                                    .events = events,
                                    .only = only,
                                    .verdicts_only = true,
                                    .messages = messages };

    return run(&r);
}

fc_status
fci_events_alone(const fc_site *site, fc_state state, size_t fixture,
                 struct fci_event_view *view, fc_diagnostics *messages)
{
    struct fci_events events = { .starved = FCI_NONE };
    struct fci_running_events r = {
        .site = site, .state = state, .events = &events, .messages = messages
    };
    fc_status status;

    *view = (struct fci_event_view){ .enough = FC_WORKS,
                                     .strong = FC_WORKS,
                                     .drawn = FC_WORKS,
                                     .seldom = FC_WORKS,
                                     .lasts = FC_WORKS };
    if (!fci_has_rate(site->fixtures[fixture].valve[state]))
        return FC_OK;
    status = make_room(&r);
    if (status == FC_OK)
        status = fci_solver_fail(
            r.solver, fci_find_alone(&r, fixture, &view->alone), messages);
    if (status == FC_OK)
        fci_judge_view(&r, fixture, view);
    free_room(&r);
    return status;
}
