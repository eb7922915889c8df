/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/sites.c -- many site files checked at once, a line each.
 *
 * A site belongs to one thread, which keeps its line and lets go of the rest.
 * The built-in tables are read once for all of them.
 */
#include "check/judge.h"
#include "ground/memory.h"
#include "ground/pool.h"
#include "tables/tables.h"
#include "variants/setting.h"

#include <math.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>

struct sites {
    fc_checked_sites told;    /* the first, so that it stands for all of it */
    struct fci_arena *arenas; /* of each thread: what its lines point to */
    size_t n_threads;
    fc_diagnostics **messages;
};

struct job {
    struct sites *sites;
    const fc_site_file *files;
    size_t n;
    const fc_sites_options *options;
    struct fci_tables *tables;
    fc_site_line *lines;
    fc_unit_system *units; /* of each */
    unsigned threads;      /* for one site */
    atomic_size_t done;
};

/* ---- One line --------------------------------------------------------- */

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
                          .working = s->working,
                          .failing = s->failing,
                          .unclear = s->unclear };

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

static void
keep_line(const fc_site *site, const fc_check_result *result,
          struct fci_arena *arena, fc_site_line *line)
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

static fc_status
check_file(const struct job *job, size_t i, struct fci_arena *arena,
           fc_diagnostics *messages)
{
    const fc_site_file *file = &job->files[i];
    fc_check_options options = job->options->check;
    fc_check_result *result = NULL;
    fc_site *site = NULL;
    fc_status status = fci_read_site(
        job->tables, file->path, file->text, file->length,
        job->options->settings, job->options->n_settings, &site, messages);

    options.threads = job->threads;
    options.progress = NULL;
    if (status == FC_OK) {
        if (job->options->in_units)
            fc_site_set_units(site, job->options->units);
        status = fc_check_with(site, &options, &result, messages);
    }
    if (status == FC_OK) {
        job->units[i] = result->units;
        keep_line(site, result, arena, &job->lines[i]);
    }
    fc_check_result_free(result);
    fc_site_free(site);
    return status;
}

/* ---- All of them ------------------------------------------------------ */

static fc_status
check_one(void *context, size_t worker, size_t i)
{
    struct job *job = context;
    struct fci_arena *arena = &job->sites->arenas[worker];
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_site_line *line = &job->lines[i];
    const fc_check_options *check = &job->options->check;
    fc_status status;
    size_t said, done;

    if (!messages)
        return FC_ENOMEM;
    line->place = i;
    line->reason = "";
    line->path = fci_arena_string(arena, job->files[i].path);
    status = check_file(job, i, arena, messages);
    said = fc_diagnostics_count(messages);
    if (said > 0) {
        job->sites->messages[i] = messages;
    } else {
        fc_diagnostics_free(messages);
    }
    if (status == FC_ENOMEM || arena->failed)
        return FC_ENOMEM;
    if (status != FC_OK)
        line->n_errors = said > 0 ? said : 1;
    done = atomic_fetch_add(&job->done, 1) + 1;
    if (worker == 0 && check->progress)
        check->progress(check->context, (double)done / (double)job->n);
    return FC_OK;
}

/* Lines are sorted by it: what fails first. */
static int
rank_of(const fc_site_line *line)
{
    return !line->calculated                    ? 5
           : line->works == FC_WILL_NOT_WORK    ? 0
           : line->too_high == FC_WILL_NOT_WORK ? 1
           : line->works == FC_CANNOT_TELL      ? 2
           : line->too_high == FC_CANNOT_TELL   ? 3
                                                : 4;
}

/* Without a fixture that anything requires there is no margin to be short. */
static double
margin_of(const fc_site_line *line)
{
    const fc_range margin = line->states[line->judged].margin;

    return margin.given ? margin.low : INFINITY;
}

static int
worst_first(const void *a, const void *b)
{
    const fc_site_line *x = a, *y = b;
    const double left = margin_of(x), right = margin_of(y);
    int order = rank_of(x) - rank_of(y);

    if (order == 0)
        order = (left > right) - (left < right);
    if (order == 0)
        order = strcmp(x->path, y->path);
    return order ? order : (x->place > y->place) - (x->place < y->place);
}

static void
add_up(struct job *job)
{
    fc_checked_sites *told = &job->sites->told;
    size_t i;

    told->works = told->too_high = FC_WORKS;
    told->units = job->options->in_units ? job->options->units : FC_US;
    for (i = job->n; i-- > 0;) {
        const fc_site_line *line = &job->lines[i];

        if (!line->calculated) {
            told->n_broken++;
            continue;
        }
        told->units = job->units[i];
        told->works = fci_worse_of(told->works, line->works);
        told->too_high = fci_worse_of(told->too_high, line->too_high);
    }
    qsort(job->lines, job->n, sizeof *job->lines, worst_first);
    told->lines = job->lines;
    told->n_lines = job->n;
}

static fc_status
run(struct job *job)
{
    struct sites *sites = job->sites;
    const size_t processors = fci_pool_threads(job->options->check.threads);
    const size_t workers = job->n < processors ? job->n : processors;
    struct fci_arena *arena = fci_arena_of(sites);
    fc_status *statuses =
        fci_arena_array(arena, workers + 1, sizeof *statuses);
    size_t i;

    job->lines = fci_arena_array(arena, job->n + 1, sizeof *job->lines);
    job->units = fci_arena_array(arena, job->n + 1, sizeof *job->units);
    sites->messages =
        fci_arena_array(arena, job->n + 1, sizeof(fc_diagnostics *));
    sites->arenas = fci_arena_array(arena, workers + 1, sizeof *sites->arenas);
    if (arena->failed)
        return FC_ENOMEM;
    sites->told.messages = (const fc_diagnostics *const *)sites->messages;
    sites->n_threads = workers;
    job->threads = workers > 0 ? (unsigned)(processors / workers) : 1;
    fci_pool_run(check_one, job, workers, statuses, 0, job->n);
    for (i = 0; i < workers; i++)
        if (statuses[i] != FC_OK)
            return statuses[i];
    add_up(job);
    return FC_OK;
}

fc_status
fc_check_sites(const fc_site_file *files, size_t n,
               const fc_sites_options *options, fc_checked_sites **result)
{
    static const fc_sites_options defaults;
    struct sites *sites = fci_object_new(sizeof *sites);
    struct job job = { .sites = sites,
                       .files = files,
                       .n = n,
                       .options = options ? options : &defaults };
    fc_status status =
        sites ? fci_tables_read(NULL, &job.tables, NULL) : FC_ENOMEM;

    atomic_init(&job.done, 0);
    if (sites)
        sites->told.n_lines = n;
    if (status == FC_OK)
        status = run(&job);
    fci_tables_free(job.tables);
    if (status == FC_OK)
        *result = &sites->told;
    else if (sites)
        fc_checked_sites_free(&sites->told);
    return status;
}

void
fc_checked_sites_free(fc_checked_sites *told)
{
    struct sites *sites = (struct sites *)told;
    size_t i;

    if (!told)
        return;
    for (i = 0; sites->messages && i < told->n_lines; i++)
        fc_diagnostics_free(sites->messages[i]);
    for (i = 0; i < sites->n_threads; i++)
        fci_arena_free(&sites->arenas[i]);
    fci_object_free(sites);
}
