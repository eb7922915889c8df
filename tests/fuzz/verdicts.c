/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/fuzz/verdicts.c -- what several commands say of one fixture, in one
 * state, is the same. */
#include "fuzz/fuzz.h"

#include <math.h>
#include <string.h>

#define MOST_FIXTURES 3 /* that are looked at one by one */

static size_t
n_states(const fc_check_result *result)
{
    return result->converted ? FC_STATES : 1;
}

/* What pressures are solved to, in steps of two solutions [Pa]. */
#define SOLVED 0.3

static bool
same_range(fc_range a, fc_range b)
{
    return a.given == b.given
           && (!a.given
               || (fabs(a.low - b.low) <= SOLVED
                   && fabs(a.nominal - b.nominal) <= SOLVED
                   && fabs(a.high - b.high) <= SOLVED));
}

/* ---- A path ------------------------------------------------------------ */

static const char *
try_agrees(const fc_path *path, const fc_fixture_state *judged)
{
    HOLDS(path->end.works == judged->works);
    HOLDS(path->end.too_high == judged->too_high);
    HOLDS(path->end.pressure == judged->pressure);
    HOLDS(!path->end.decided_by == !judged->decided_by);
    HOLDS(same_range(path->end.flowing, judged->flowing));
    HOLDS(same_range(path->end.required, judged->required));
    return try_path(path, judged);
}

static const char *
try_path_of(const fc_site *site, const char *name, fc_state state,
            const fc_fixture_state *judged, bool told)
{
    fc_path *path = NULL;
    const char *broken;

    HOLDS((told ? fc_path_find_with(site, name, state, &fuzz_options, &path,
                                    NULL)
                : fc_path_find(site, name, state, &path, NULL))
          == FC_OK);
    broken = try_agrees(path, judged);
    fc_path_free(path);
    return broken;
}

const char *
try_paths(const fc_site *site, const fc_check_result *result)
{
    size_t i, state;

    for (i = 0; i < result->n_fixtures && i < MOST_FIXTURES; i++)
        for (state = 0; state < FC_STATES; state++) {
            const size_t judged = result->converted ? state : 0;

            ALL_HOLD(try_path_of(site, result->fixtures[i].name,
                                 (fc_state)state,
                                 &result->fixtures[i].states[judged], true));
        }
    return NULL;
}

/* ---- A flush ----------------------------------------------------------- */

static const fc_flush_fixture *
flushed_one(const fc_flush_result *flushed, const char *name)
{
    size_t i;

    for (i = 0; i < flushed->n_fixtures; i++)
        if (strcmp(flushed->fixtures[i].name, name) == 0)
            return &flushed->fixtures[i];
    return NULL;
}

/* No check says works of what lacks pressure alone, nor one that it does not
 * where a flush has enough and the peak too. */
static const char *
try_flush_agrees(const fc_flush_result *flushed, const char *name,
                 const fc_check_result *result, const fc_fixture_state *judged)
{
    const fc_flush_fixture *one = flushed_one(flushed, name);

    HOLDS(one && one->flushing == 1 && flushed->flushing == 1);
    HOLDS(result->n_contradictions == flushed->n_contradictions);
    if (flushed->bounded)
        HOLDS(same_range(one->pressure, judged->alone));
    HOLDS(judged->works != FC_WORKS || one->enough == FC_WORKS);
    HOLDS(one->enough != FC_WILL_NOT_WORK || result->n_contradictions > 0
          || judged->works == FC_WILL_NOT_WORK);
    HOLDS(one->too_high != FC_WILL_NOT_WORK || result->n_contradictions > 0
          || judged->too_high == FC_WILL_NOT_WORK);
    return NULL;
}

static const char *
try_flush_of(const fc_site *site, const fc_check_result *result, size_t i,
             fc_state state)
{
    const fc_fixture_state *judged = &result->fixtures[i].states[state];
    const fc_flushing one = { 1, result->fixtures[i].name };
    fc_flush_result *flushed = NULL;
    const char *broken;
    fc_status status;

    if (!judged->valve || !judged->alone.given)
        return NULL;
    status = fc_flush(site, state, &one, 1, &flushed, NULL);
    HOLDS(status == FC_OK);
    broken = try_flush_agrees(flushed, one.fixture, result, judged);
    fc_flush_result_free(flushed);
    return broken;
}

const char *
try_alone(const fc_site *site, const fc_check_result *result)
{
    size_t i, state;

    for (i = 0; i < result->n_fixtures && i < MOST_FIXTURES; i++)
        for (state = 0; state < n_states(result); state++)
            ALL_HOLD(try_flush_of(site, result, i, (fc_state)state));
    return NULL;
}

/* ---- So many at once --------------------------------------------------- */

/* So many of those that starve a valve first: the fewer are left out where the
 * pick says.  Returns how many entries. */
static size_t
choose(const fc_check_result *result, fc_state state, int many, unsigned pick,
       fc_flushing *set, size_t most)
{
    size_t i, n = 0;
    int left = many;

    for (i = 0; i < result->n_fixtures && left > 0 && n < most; i++) {
        const fc_checked_fixture *f =
            &result->fixtures[(i + pick) % result->n_fixtures];
        const int few = f->count < left ? f->count : left;
        const int open = pick & (1u << i % 16) && i + 1 < result->n_fixtures
                             ? (few + 1) / 2
                             : few;

        if (!f->states[state].ladder.given || f->count_least < f->count)
            continue;
        set[n++] = (fc_flushing){ open, f->name };
        left -= open;
    }
    return left == 0 ? n : 0;
}

/* The set that starves the first, but for one of it. */
static size_t
choose_worst(const fc_check_result *result, fc_state state, int many,
             fc_flushing *set, size_t most)
{
    const size_t at = result->states[state].at_once->at;
    const fc_ladder *ladder = at < result->n_fixtures
                                  ? &result->fixtures[at].states[state].ladder
                                  : NULL;
    size_t i, n = 0;
    int left = many;

    for (i = 0; ladder && i < ladder->n_first && left > 0 && n < most; i++) {
        const int count = ladder->first[i].count;

        if (count <= 0)
            return 0;
        set[n++] = (fc_flushing){ count < left ? count : left,
                                  ladder->first[i].fixture };
        left -= set[n - 1].count;
    }
    return left == 0 ? n : 0;
}

static const char *
try_set(const fc_site *site, fc_state state, const fc_flushing *set, size_t n)
{
    fc_flush_result *flushed = NULL;
    fc_verdict enough;

    if (n == 0)
        return NULL;
    HOLDS(fc_flush(site, state, set, n, &flushed, NULL) == FC_OK);
    enough = flushed->enough;
    fc_flush_result_free(flushed);
    HOLDS(enough == FC_WORKS);
    return NULL;
}

#define MOST_SET 64

const char *
try_at_once(const fc_site *site, const fc_check_result *result, unsigned pick)
{
    fc_flushing set[MOST_SET];
    size_t state;

    for (state = 0; state < n_states(result); state++) {
        const fc_at_once *n = result->states[state].at_once;

        if (!n || !n->given)
            continue;
        HOLDS(n->low <= n->most && n->most <= n->high && n->low >= 0);
        HOLDS(n->high <= n->valves);
        if (n->low == 0)
            continue;
        ALL_HOLD(try_set(
            site, (fc_state)state, set,
            choose(result, (fc_state)state, n->low, pick, set, MOST_SET)));
        ALL_HOLD(try_set(
            site, (fc_state)state, set,
            choose_worst(result, (fc_state)state, n->low, set, MOST_SET)));
    }
    return NULL;
}

/* ---- Claims ------------------------------------------------------------ */

static const fc_checked_fixture *
checked_one(const fc_check_result *result, const char *name)
{
    size_t i;

    for (i = 0; i < result->n_fixtures; i++)
        if (strcmp(result->fixtures[i].name, name) == 0)
            return &result->fixtures[i];
    return NULL;
}

/* Alone and at peak a claim is computed as the check does. */
static const char *
try_claim_agrees(const fc_checked_claim *c, const fc_check_result *result)
{
    const fc_checked_fixture *fixture = checked_one(result, c->fixture);
    const fc_fixture_state *s;

    HOLDS(fixture);
    s = &fixture->states[result->converted ? c->state : 0];
    if (!isfinite(c->computed) || isfinite(c->supply))
        return NULL;
    if (c->condition == FC_WHILE_ALONE && s->alone.given)
        HOLDS(fabs(c->computed - s->alone.nominal) <= SOLVED);
    if (c->condition == FC_WHILE_PEAK && s->flowing.given)
        HOLDS(fabs(c->computed - s->flowing.nominal) <= SOLVED);
    return NULL;
}

static const char *
try_all_claims(const fc_verify_result *verified, const fc_check_result *result)
{
    size_t i;

    for (i = 0; i < verified->n_claims; i++) {
        ALL_HOLD(try_claim(&verified->claims[i]));
        ALL_HOLD(try_claim_agrees(&verified->claims[i], result));
    }
    for (i = 0; i < verified->n_findings; i++)
        ALL_HOLD(try_line(verified->findings[i].text));
    return NULL;
}

/* Where the flows do not settle is said. */
const char *
try_claims(const fc_site *site, const fc_check_result *result)
{
    const fc_verify_options few = { .draws = 3, .threads = 1 };
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_verify_result *verified = NULL;
    const fc_status status = fc_verify(site, &few, &verified, messages);
    const char *broken = try_messages(status, messages);

    fc_diagnostics_free(messages);
    HOLDS((status == FC_OK) == (verified != NULL));
    if (verified && !broken)
        broken = try_all_claims(verified, result);
    fc_verify_result_free(verified);
    return broken;
}

/* ---- In short, and in a line ------------------------------------------- */

static const char *
try_same_verdicts(const fc_check_result *a, const fc_check_result *b)
{
    size_t i, state;

    HOLDS(a->works == b->works && a->too_high == b->too_high);
    HOLDS(a->n_fixtures == b->n_fixtures);
    for (state = 0; state < n_states(a); state++) {
        const fc_at_once *m = a->states[state].at_once;
        const fc_at_once *n = b->states[state].at_once;

        HOLDS(a->states[state].works == b->states[state].works);
        HOLDS(a->states[state].too_high == b->states[state].too_high);
        HOLDS(!m || !n || (m->low == n->low && m->limit == n->limit));
        for (i = 0; i < a->n_fixtures; i++)
            HOLDS(a->fixtures[i].states[state].works
                  == b->fixtures[i].states[state].works);
    }
    return NULL;
}

const char *
try_short(const fc_site *site, const fc_check_result *result)
{
    fc_check_options brief = fuzz_options;
    fc_check_result *in_short = NULL;
    const char *broken;

    brief.in_short = true;
    HOLDS(fc_check_with(site, &brief, &in_short, NULL) == FC_OK);
    broken = try_same_verdicts(result, in_short);
    fc_check_result_free(in_short);
    return broken;
}

static const char *
try_line_agrees(const fc_site_line *line, const fc_check_result *result)
{
    size_t state;

    HOLDS(line->calculated && line->n_errors == 0);
    HOLDS(line->works == result->works);
    HOLDS(line->too_high == result->too_high);
    for (state = 0; state < n_states(result); state++) {
        const fc_site_state *s = &line->states[state];
        const fc_checked_state *r = &result->states[state];

        HOLDS(s->works == r->works && s->too_high == r->too_high);
        HOLDS(s->working == r->working && s->failing == r->failing
              && s->unclear == r->unclear);
    }
    return NULL;
}

const char *
try_sites(const struct fuzz_input *input, const fc_check_result *result)
{
    const fc_site_file file = { .path = input->path,
                                .text = input->text,
                                .length = input->site };
    const fc_sites_options options = { .check = fuzz_options };
    fc_checked_sites *sites = NULL;
    const char *broken;

    HOLDS(fc_check_sites(&file, 1, &options, &sites) == FC_OK);
    broken = sites->n_lines == 1 ? try_line_agrees(&sites->lines[0], result)
                                 : "there is a line";
    fc_checked_sites_free(sites);
    return broken;
}
