/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/sites.c -- many site files checked at once, a line each.
 *
 * A site belongs to one thread, which keeps its line and lets go of the rest.
 * The built-in tables are read once for all of them.
 */
#include "check/judge.h"
#include "ground/call.h"
#include "check/site_line.h"
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

/* ---- One file --------------------------------------------------------- */

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
    options.no_proviso = options.in_short = true; /* a line tells neither */
    if (status == FC_OK) {
        if (job->options->in_units)
            fc_site_set_units(site, job->options->units);
        status = fc_check_with(site, &options, &result, messages);
    }
    if (status == FC_OK) {
        job->units[i] = result->units;
        fci_site_line_keep(&job->lines[i], site, result, arena);
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
    int order = fci_site_line_rank(x) - fci_site_line_rank(y);

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
    size_t n[2] = { 0, 0 }, i;

    told->works = told->too_high = FC_WORKS;
    for (i = 0; i < job->n; i++) {
        const fc_site_line *line = &job->lines[i];

        if (!line->calculated) {
            told->n_broken++;
            continue;
        }
        n[job->units[i] == FC_SI ? FC_SI : FC_US]++;
        told->works = fci_worse_of(told->works, line->works);
        told->too_high = fci_worse_of(told->too_high, line->too_high);
    }
    told->units = job->options->in_units ? job->options->units
                  : n[FC_SI] > n[FC_US]  ? FC_SI
                                         : FC_US;
    told->n_other_units = n[told->units == FC_SI ? FC_US : FC_SI];
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
    if (FCI_REFUSES(NULL, FCI_FILES(files, n), FCI_SITES_OPTIONS(options),
                    FCI_GIVEN(result)))
        return FC_EINPUT;

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
