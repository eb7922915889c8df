/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/verdicts.c -- whether a building works, and nothing else. */
#include "check/verdicts.h"
#include "check/events.h"
#include "check/judge.h"
#include "check/settle.h"
#include "effects/surge_way.h"

#include <math.h>
#include <stdlib.h>

static fc_verdict
worst_of(const struct fci_verdicts *v, size_t n)
{
    fc_verdict worst = FC_WORKS;
    size_t i;

    for (i = 0; i < n; i++)
        worst = fci_worse_of(worst, v->fixtures[i]);
    return worst;
}

static void
judge_all(struct fci_verdicts *v, const struct fci_judge *judge)
{
    const fc_site *site = judge->site;
    const int n = judge->converted ? FC_STATES : 1;
    size_t i;
    int state;

    for (state = 0; state < n; state++) {
        v->pressure[state] = v->too_high = FC_WORKS;
        for (i = 0; i < site->n_fixtures; i++) {
            const struct fci_judgement j =
                fci_judge_fixture(judge, &site->fixtures[i], (fc_state)state);

            const fc_range none = { false, 0, 0, 0 };

            v->pressure[state] = fci_worse_of(v->pressure[state], j.pressure);
            v->too_high = fci_worse_of(v->too_high, fci_too_high(&j));
            v->fixtures[i] = j.works; /* the state to be comes last */
            v->over[i] = fci_over_maximum(&j, none);
        }
    }
    v->at_peak = worst_of(v, site->n_fixtures);
}

static fc_status
add_events(struct fci_verdicts *v, const fc_site *site,
           const fc_check_options *options, fc_diagnostics *messages)
{
    struct fci_arena arena = { 0 };
    struct fci_events events;
    const fc_surge *surges = NULL;
    fc_status status = fci_events_judge(site, v->state, FCI_NONE, options,
                                        &arena, &events, messages);
    size_t i;

    if (status == FC_OK)
        status = fci_surges_over(site, v->state, &arena, &surges, messages);

    for (i = 0; status == FC_OK && i < site->n_fixtures; i++) {
        const struct fci_event_view *view = &events.views[i];
        const double maximum =
            fci_requirement_of(site, &site->fixtures[i], v->state)
                .maximum_flowing;

        v->fixtures[i] = fci_events_verdict(v->fixtures[i], view);
        v->too_high = fci_worse_of(v->too_high, view->strong);
        if (view->alone.given)
            v->over[i] = fmax(v->over[i], view->alone.high - maximum);
        if (surges && surges[i].within == FC_WILL_NOT_WORK) {
            v->too_high = FC_WILL_NOT_WORK;
            v->over[i] =
                fmax(v->over[i], surges[i].peak.high - surges[i].rating);
        }
    }
    fci_arena_free(&arena);
    return status;
}

fc_status
fci_verdicts_make(struct fci_verdicts *v, const fc_site *site,
                  const fc_check_options *options, fc_diagnostics *messages)
{
    static const fc_check_options defaults = { 0 };
    struct fci_judge judge;
    fc_status status = fci_judge_begin(&judge, site, messages);

    *v = (struct fci_verdicts){ 0 };
    if (status == FC_OK) {
        v->converted = judge.converted;
        v->state = judge.converted ? FC_RETROFIT : FC_EXISTING;
        v->fixtures = calloc(site->n_fixtures + 1, sizeof *v->fixtures);
        v->over = calloc(site->n_fixtures + 1, sizeof *v->over);
        status = v->fixtures && v->over ? FC_OK : FC_ENOMEM;
    }
    if (status == FC_OK)
        judge_all(v, &judge);
    fci_judge_end(&judge);
    if (status == FC_OK && !(options && options->peak_only))
        status = add_events(v, site, options ? options : &defaults, messages);
    if (status == FC_OK)
        v->works = fci_as_tested(site, options, worst_of(v, site->n_fixtures));
    return status;
}

void
fci_verdicts_free(struct fci_verdicts *v)
{
    free(v->fixtures);
    free(v->over);
    v->fixtures = NULL;
    v->over = NULL;
}
