/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/site_line.c -- the check of a site in short. */
#include "check/site_line.h"
#include "variants/setting.h"

static bool
is_in(const fc_finding *f, fc_state state)
{
    return !f->states || (f->states & FC_IN(state));
}

/* What the first finding of a severity is about. */
static const char *
first_about(const fc_check_result *result, fc_state state,
            fc_severity severity)
{
    size_t i;

    for (i = 0; i < result->n_findings; i++) {
        const fc_finding *f = &result->findings[i];

        if (f->severity == severity && is_in(f, state))
            return f->about;
    }
    return NULL;
}

/* What the verdict rests on, in a word or two. */
static const char *
reason_of(const fc_check_result *result, fc_state state)
{
    const fc_checked_state *s = &result->states[state];
    const char *reason = NULL;

    if (result->works == FC_WILL_NOT_WORK)
        return first_about(result, state, FC_FAIL);
    if (result->works == FC_CANNOT_TELL && s->governing < result->n_fixtures)
        reason = result->fixtures[s->governing].states[state].decided_by;
    if (result->works == FC_CANNOT_TELL && !reason)
        reason = first_about(result, state, FC_WARN);
    if (result->works == FC_WORKS && result->too_high == FC_WILL_NOT_WORK)
        reason = first_about(result, state, FC_FAIL);
    else if (result->works == FC_WORKS && result->too_high == FC_CANNOT_TELL)
        reason = "may be too high";
    return reason;
}

static fc_site_state
state_of(const fc_check_result *result, fc_state state,
         struct fci_arena *arena)
{
    const fc_checked_state *s = &result->states[state];
    fc_site_state out = { .works = s->works,
                          .too_high = s->too_high,
                          .working = s->working,
                          .failing = s->failing,
                          .unclear = s->unclear };

    if (s->at_once) {
        out.flushes = true;
        out.at_once = s->at_once->most;
        out.at_once_worst = s->at_once->low;
    }
    if (s->governing < result->n_fixtures) {
        const fc_checked_fixture *f = &result->fixtures[s->governing];

        out.governing = fci_arena_string(arena, f->name);
        out.margin = f->states[state].margin;
    }
    return out;
}

static void
keep_overrides(const fc_check_result *result, struct fci_arena *arena,
               fc_site_line *line)
{
    const char **texts =
        fci_arena_array(arena, result->n_overrides + 1, sizeof *texts);
    size_t i;

    for (i = 0; texts && i < result->n_overrides; i++)
        texts[i] = fci_arena_string(arena, result->overrides[i].text);
    line->overrides = texts;
    line->n_overrides = result->n_overrides;
}

void
fci_site_line_keep(fc_site_line *line, const fc_site *site,
                   const fc_check_result *result, struct fci_arena *arena)
{
    const char *reason;
    size_t i;

    line->calculated = true;
    line->judged = result->converted ? FC_RETROFIT : FC_EXISTING;
    line->works = result->works;
    line->too_high = result->too_high;
    line->digest = fci_arena_string(arena, fc_site_digest(site));
    if (result->title)
        line->title = fci_arena_string(arena, result->title);
    reason = reason_of(result, line->judged);
    line->reason = fci_arena_string(arena, reason ? reason : "");
    for (i = 0; i < result->n_findings; i++)
        line->n_warnings += result->findings[i].severity == FC_WARN
                            && is_in(&result->findings[i], line->judged);
    for (i = 0; i <= (size_t)line->judged; i++)
        line->states[i] = state_of(result, (fc_state)i, arena);
    keep_overrides(result, arena, line);
    line->set = fci_set_values(site, arena, &line->n_set);
}

int
fci_site_line_rank(const fc_site_line *line)
{
    return !line->calculated                    ? 5
           : line->works == FC_WILL_NOT_WORK    ? 0
           : line->too_high == FC_WILL_NOT_WORK ? 1
           : line->works == FC_CANNOT_TELL      ? 2
           : line->too_high == FC_CANNOT_TELL   ? 3
                                                : 4;
}
