/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/fuzz_site.c -- what must hold whatever a site file says.
 *
 * `make fuzz CC=clang` makes a fuzzer of it (libFuzzer, with the address and
 * undefined-behaviour sanitizers); run it on a copy of the seeds:
 *
 *     cp -r tests/corpus found && tests/unit/fuzz_site -max_len=4000 found
 *
 * An input that it stops at is made small (-minimize_crash=1) and joins
 * tests/corpus/, which unit/check_corpus.c goes through in `make check`.
 */
#include "unit/fuzz_site.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define MOST_PATHS 6 /* fixtures whose pressure budget is drawn up */

/* The first condition that does not hold is the answer. */
#define HOLDS(condition)                                                      \
    do                                                                        \
        if (!(condition))                                                     \
            return #condition;                                                \
    while (0)
#define ALL_HOLD(call)                                                        \
    do {                                                                      \
        const char *broken = (call);                                          \
        if (broken)                                                           \
            return broken;                                                    \
    } while (0)

/* ---- Messages ---------------------------------------------------------- */

/* How long the UTF-8 character is that begins with this byte; 0: none does. */
static size_t
character(unsigned char first)
{
    if (first < 0x80)
        return 1;
    return first < 0xc2   ? 0
           : first < 0xe0 ? 2
           : first < 0xf0 ? 3
           : first < 0xf5 ? 4
                          : 0;
}

/* One line of UTF-8, nothing that a terminal obeys. */
static const char *
try_line(const char *text)
{
    size_t n;

    HOLDS(text && *text);
    while (*text) {
        n = character((unsigned char)*text);
        HOLDS(n > 0);
        HOLDS((unsigned char)*text >= ' ' && *text != 0x7f);
        for (text++; n > 1; n--, text++)
            HOLDS(((unsigned char)*text & 0xc0) == 0x80);
    }
    return NULL;
}

static const char *
try_messages(fc_status status, const fc_diagnostics *messages)
{
    const size_t n = fc_diagnostics_count(messages);
    size_t i;

    HOLDS((status == FC_OK) == (n == 0));
    HOLDS(n <= 51);
    for (i = 0; i < n; i++) {
        HOLDS(fc_diagnostics_at(messages, i).severity == FC_FAIL);
        HOLDS(fc_diagnostics_at(messages, i).line >= 0);
        ALL_HOLD(try_line(fc_diagnostics_at(messages, i).text));
    }
    return NULL;
}

/* ---- Figures ----------------------------------------------------------- */

static const char *
try_range(fc_range range)
{
    if (!range.given)
        return NULL;
    HOLDS(isfinite(range.low) && isfinite(range.high));
    HOLDS(range.low <= range.nominal);
    HOLDS(range.nominal <= range.high);
    return NULL;
}

static const char *
try_fixture_state(const fc_fixture_state *s)
{
    ALL_HOLD(try_range(s->required));
    ALL_HOLD(try_range(s->flowing));
    ALL_HOLD(try_range(s->margin));
    ALL_HOLD(try_range(s->spare));
    HOLDS(s->flowing.given);
    HOLDS(s->margin.given == s->required.given);
    HOLDS(s->works != FC_WORKS || s->pressure == FC_WORKS);
    HOLDS(s->pressure != FC_WILL_NOT_WORK || s->works == FC_WILL_NOT_WORK);
    HOLDS((s->works == FC_CANNOT_TELL) == (s->decided_by != NULL));
    return NULL;
}

static const char *
try_fixture(const fc_checked_fixture *fixture, size_t n_states)
{
    size_t i;

    HOLDS(fixture->count >= 1);
    HOLDS(isfinite(fixture->elevation));
    ALL_HOLD(try_range(fixture->static_pressure));
    for (i = 0; i < n_states; i++)
        ALL_HOLD(try_fixture_state(&fixture->states[i]));
    HOLDS((fixture->change == FC_NOT_CONVERTED) == (n_states == 1));
    return NULL;
}

static const char *
try_pipe(const fc_checked_pipe *pipe, size_t n_states)
{
    size_t i;

    HOLDS(pipe->inside_diameter > 0 && isfinite(pipe->inside_diameter));
    HOLDS(pipe->length >= 0 && isfinite(pipe->length));
    HOLDS(pipe->equivalent_length >= 0 && isfinite(pipe->equivalent_length));
    for (i = 0; i < n_states; i++) {
        const fc_pipe_state *s = &pipe->states[i];

        HOLDS(s->fixture_units >= 0 && isfinite(s->fixture_units));
        HOLDS(s->peak_flow.low >= 0 && s->velocity.low >= 0);
        HOLDS(s->friction_loss.low >= 0);
        ALL_HOLD(try_range(s->peak_flow));
        ALL_HOLD(try_range(s->peak_by_units));
        ALL_HOLD(try_range(s->peak_by_probability));
        ALL_HOLD(try_range(s->velocity));
        ALL_HOLD(try_range(s->friction_loss));
    }
    return NULL;
}

static const char *
try_state(const fc_check_result *result, const fc_checked_state *s,
          size_t state)
{
    size_t i, counted[3] = { 0 };

    for (i = 0; i < result->n_fixtures; i++)
        counted[result->fixtures[i].states[state].works] +=
            (size_t)result->fixtures[i].count;
    HOLDS(s->working == counted[FC_WORKS]);
    HOLDS(s->failing == counted[FC_WILL_NOT_WORK]);
    HOLDS(s->unclear == counted[FC_CANNOT_TELL]);
    HOLDS((s->works == FC_WILL_NOT_WORK) == (s->failing > 0));
    HOLDS(s->works != FC_WORKS || s->unclear == 0);
    HOLDS(s->governing < result->n_fixtures || s->governing == SIZE_MAX);
    ALL_HOLD(try_range(s->peak_flow));
    ALL_HOLD(try_range(s->source_pressure));
    ALL_HOLD(try_range(s->spare_pressure));
    return NULL;
}

static const char *
try_result(const fc_check_result *result)
{
    const size_t n_states = result->converted ? FC_STATES : 1;
    size_t i;

    HOLDS(result->n_fixtures > 0);
    HOLDS(result->works == result->states[n_states - 1].works);
    ALL_HOLD(try_range(result->source_static));
    for (i = 0; i < n_states; i++)
        ALL_HOLD(try_state(result, &result->states[i], i));
    for (i = 0; i < result->n_fixtures; i++)
        ALL_HOLD(try_fixture(&result->fixtures[i], n_states));
    for (i = 0; i < result->n_pipes; i++)
        ALL_HOLD(try_pipe(&result->pipes[i], n_states));
    for (i = 0; i < result->n_findings; i++) {
        ALL_HOLD(try_line(result->findings[i].text));
        HOLDS(i == 0
              || result->findings[i - 1].severity
                     >= result->findings[i].severity);
    }
    for (i = 0; i < result->n_assumptions; i++)
        ALL_HOLD(try_line(result->assumptions[i]));
    return NULL;
}

/* ---- Pressure budgets -------------------------------------------------- */

/* Each step leaves the pressure before it less what it takes. */
static const char *
try_path(const fc_path *path, const fc_fixture_state *judged)
{
    size_t i;

    HOLDS(path->n_steps >= 2);
    for (i = 0; i < path->n_steps; i++) {
        const fc_path_step *s = &path->steps[i];
        const double taken = s->elevation_loss + s->friction_loss
                             + s->fitting_loss + s->device_loss + s->throttled;

        HOLDS(isfinite(s->flow) && isfinite(s->pressure) && isfinite(taken));
        if (i > 0) {
            const double before = path->steps[i - 1].pressure;

            HOLDS(fabs(before - taken - s->pressure)
                  <= 1e-6 * (1 + fabs(before) + fabs(taken)));
        }
    }
    HOLDS(
        fabs(path->steps[path->n_steps - 1].pressure - judged->flowing.nominal)
        <= 1e-6 * (1 + fabs(judged->flowing.nominal)));
    HOLDS(path->end.works == judged->works);
    return NULL;
}

static const char *
try_paths(const fc_site *site, const fc_check_result *result)
{
    size_t i, state;

    for (i = 0; i < result->n_fixtures && i < MOST_PATHS; i++)
        for (state = 0; state < FC_STATES; state++) {
            const size_t judged = result->converted ? state : 0;
            const char *broken;
            fc_path *path = NULL;

            HOLDS(fc_path_find(site, result->fixtures[i].name, (fc_state)state,
                               &path, NULL)
                  == FC_OK);
            broken = try_path(path, &result->fixtures[i].states[judged]);
            fc_path_free(path);
            if (broken)
                return broken;
        }
    return NULL;
}

/* ---- Claims ------------------------------------------------------------ */

static const char *
try_claim(const fc_checked_claim *c)
{
    HOLDS(isfinite(c->claimed) && isfinite(c->elevation));
    HOLDS((c->reading != NULL) == isfinite(c->read));
    HOLDS(c->reading || c->verdict == c->by_model);
    HOLDS(c->share >= 0 && c->share <= 1);
    if (c->why_not) {
        HOLDS(isnan(c->computed) && c->by_model == FC_UNDECIDED);
        return try_line(c->why_not);
    }
    HOLDS(isfinite(c->computed) && isfinite(c->still));
    HOLDS(c->low <= c->high);
    HOLDS(c->probability >= 0 && c->probability <= 1);
    return try_line(c->event);
}

/* Where the flows do not settle is said. */
static const char *
try_claims(const fc_site *site)
{
    const fc_verify_options few = { .draws = 3, .threads = 1 };
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_verify_result *result = NULL;
    const fc_status status = fc_verify(site, &few, &result, messages);
    const char *broken = try_messages(status, messages);
    size_t i;

    fc_diagnostics_free(messages);
    HOLDS((status == FC_OK) == (result != NULL));
    for (i = 0; result && i < result->n_claims && !broken; i++)
        broken = try_claim(&result->claims[i]);
    for (i = 0; result && i < result->n_findings && !broken; i++)
        broken = try_line(result->findings[i].text);
    fc_verify_result_free(result);
    return broken;
}

/* ---- A site ------------------------------------------------------------ */

static const char *
try_check(const fc_site *site, fc_status *checked)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_check_result *result = NULL;
    const fc_status status = fc_check(site, &result, messages);
    const char *broken = try_messages(status, messages);

    fc_diagnostics_free(messages);
    if (checked)
        *checked = status;
    if (broken)
        return broken;
    if (status != FC_OK) {
        HOLDS((status == FC_EUNSUPPORTED || status == FC_EINPUT) && !result);
        return NULL;
    }
    broken = try_result(result);
    if (!broken)
        broken = try_paths(site, result);
    fc_check_result_free(result);
    return broken;
}

static const char *
try_read(const char *text, size_t length, const char *name, fc_status *read,
         fc_status *checked)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_site *site = NULL;
    const fc_status status =
        fc_site_read_text(text, length, name, &site, messages);
    const char *broken = try_messages(status, messages);

    fc_diagnostics_free(messages);
    if (read)
        *read = status;
    if (broken)
        return broken;
    if (status != FC_OK) {
        HOLDS((status == FC_EINPUT || status == FC_EIO) && !site);
        return NULL;
    }
    broken = try_check(site, checked);
    if (!broken)
        broken = try_claims(site);
    fc_site_free(site);
    return broken;
}

/* Where the line that begins the tables file stands, or NULL. */
static const char *
find_tables(const char *text, size_t length)
{
    static const char mark[] = "\n;;tables\n";
    const size_t n = sizeof mark - 1;
    size_t i;

    for (i = 0; i + n <= length; i++)
        if (memcmp(text + i, mark, n) == 0)
            return text + i + n;
    return NULL;
}

static bool
write_file(const char *path, const char *text, size_t length)
{
    FILE *file = fopen(path, "wb");
    bool whole;

    if (!file)
        return false;
    whole = fwrite(text, 1, length, file) == length;
    return fclose(file) == 0 && whole;
}

const char *
fuzz_site(const uint8_t *data, size_t length, fc_status *read,
          fc_status *checked)
{
    const char *text = (const char *)data, *broken;
    const char *tables = find_tables(text, length);
    char folder[] = "/tmp/fuzz_site-XXXXXX";
    char site[sizeof folder + 16], beside[sizeof folder + 16];

    if (!tables)
        return try_read(text, length, "nowhere/site.ini", read, checked);
    HOLDS(mkdtemp(folder));
    snprintf(site, sizeof site, "%s/site.ini", folder);
    snprintf(beside, sizeof beside, "%s/tables.ini", folder);
    if (write_file(beside, tables, length - (size_t)(tables - text)))
        broken = try_read(text, (size_t)(tables - text), site, read, checked);
    else
        broken = "the tables can be written";
    unlink(beside);
    rmdir(folder);
    return broken;
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const char *broken = fuzz_site(data, size, NULL, NULL);

    if (broken) {
        fprintf(stderr, "does not hold: %s\n", broken);
        abort();
    }
    return 0;
}
