/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/settle_check.c -- what the verdict of a check turns on: at peak,
 * alone, and in the busy period. */
#include "check/drawn.h"
#include "check/events.h"
#include "check/settle.h"
#include "peak/source.h"

#include <math.h>
#include <stdlib.h>

fc_verdict
fci_as_tested(const fc_site *site, const fc_check_options *options,
              fc_verdict works)
{
    return works == FC_WORKS && fci_untested_main(site)
                   && !(options && options->steady_main)
               ? FC_CANNOT_TELL
               : works;
}

struct checked {
    struct fci_unsettled what;
    const struct fci_judge *judge;
    fc_state state;
    size_t only; /* fixture; FCI_NONE: all */
    const fc_check_options *options;
    struct fci_arena scratch;
    bool *alone; /* fixtures that are tried alone too */
    fc_diagnostics *messages;
};

static bool
in_scope(const struct checked *s, size_t fixture)
{
    return s->only == FCI_NONE || s->only == fixture;
}

static bool
works_at_peak(struct checked *s, const fc_site *site, bool flows)
{
    struct fci_judge at;
    bool works = fci_judge_variant(&at, s->judge, site, s->state, flows);
    size_t i;

    if (!works)
        s->what.status = FC_ENOMEM;
    s->what.governing = INFINITY;
    for (i = 0; s->what.status == FC_OK && i < at.site->n_fixtures; i++) {
        const struct fci_judgement j =
            fci_judge_fixture(&at, &at.site->fixtures[i], s->state);

        if (!in_scope(s, i))
            continue;
        works = works && j.works == FC_WORKS;
        if (j.margin.given)
            s->what.governing = fmin(s->what.governing, j.margin.low);
    }
    fci_judge_variant_end(&at, s->judge, s->state);
    return works && s->what.status == FC_OK;
}

static bool
has_enough(const struct fci_event_view *view)
{
    return view->enough == FC_WORKS && view->drawn == FC_WORKS;
}

static bool
works_alone(struct checked *s, const fc_site *site)
{
    struct fci_event_view view;
    size_t i;

    for (i = 0; i < site->n_fixtures; i++) {
        if (!s->alone[i])
            continue;
        s->what.status =
            fci_events_alone(site, s->state, i, &view, s->messages);
        if (s->what.status != FC_OK || !has_enough(&view))
            return false;
    }
    return true;
}

/* Whether all of them do, by all that is known of flush events; those that do
 * not when alone are tried alone from then on. */
static bool
works_by_events(struct checked *s, const fc_site *site)
{
    fc_check_options options =
        s->options ? *s->options : (fc_check_options){ 0 };
    struct fci_events events;
    bool works = true;
    size_t i;

    options.progress = NULL;
    s->what.status = fci_events_judge(site, s->state, s->only, &options,
                                      &s->scratch, &events, s->messages);
    for (i = 0; s->what.status == FC_OK && i < site->n_fixtures; i++) {
        const struct fci_event_view *view = &events.views[i];

        if (!in_scope(s, i))
            continue;
        works = works && fci_events_verdict(FC_WORKS, view) == FC_WORKS;
        s->alone[i] = s->alone[i] || !has_enough(view);
        s->what.drawn =
            s->what.drawn || (has_enough(view) && view->seldom != FC_WORKS);
    }
    return works && s->what.status == FC_OK;
}

static bool
works(struct fci_unsettled *what, const fc_site *site, bool flows)
{
    struct checked *s = (struct checked *)what;

    return works_at_peak(s, site, flows) && works_alone(s, site)
           && (!what->drawn || works_by_events(s, site));
}

static bool
confirm(struct fci_unsettled *what, const fc_site *site)
{
    return works_by_events((struct checked *)what, site);
}

fc_status
fci_settle_check(const struct fci_judge *judge, fc_state state, size_t fixture,
                 const fc_check_options *options, struct fci_arena *arena,
                 fc_proviso *proviso, fc_diagnostics *messages)
{
    const fc_site *site = judge->site;
    struct checked s = {
        .what = { .site = site, .state = state, .works = works },
        .judge = judge,
        .state = state,
        .only = fixture,
        .options = options,
        .messages = messages
    };
    double *flow = fci_arena_array(&s.scratch, site->n_elements, sizeof *flow);
    fc_status status = FC_ENOMEM;
    size_t i;

    s.alone =
        fci_arena_array(&s.scratch, site->n_fixtures + 1, sizeof *s.alone);
    if (flow && s.alone) {
        for (i = 0; i < site->n_elements; i++)
            flow[i] = judge->demand[state][i].flow[FCI_WORST];
        s.what.flow = flow;
        if (!(options && options->peak_only))
            s.what.confirm = confirm;
        status = fci_settle(&s.what, arena, proviso);
    }
    fci_arena_free(&s.scratch);
    return status;
}
