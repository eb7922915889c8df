/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/load.c -- sites read and checked. */
#include "shell/load.h"
#include "shell/file.h"
#include "shell/complain.h"
#include "shell/progress.h"
#include "shell/there.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#ifdef __GLIBC__
#include <malloc.h>
#endif

/* At most, of each thread [bytes]. */
#define MEMORY_KEPT (32 << 20)

static bool
is_standard_input(const char *path)
{
    return strcmp(path, "-") == 0;
}

static fc_status
read_standard_input(const struct options *options, struct loaded *loaded,
                    fc_diagnostics *messages, bool *said)
{
    size_t size = 0;
    char *text = file_read_standard_input(&size);
    fc_status status;

    if (!text) {
        *said = true;
        return FC_EIO;
    }
    status = fc_site_read_text_with(text, size, "standard input", options->set,
                                    options->n_set, &loaded->site, messages);
    free(text);
    return status;
}

bool
load_is_brief(const struct options *options)
{
    return options->format == FC_TEXT
           && !(options->given & (OPTION_FULL | OPTION_SHEET));
}

static fc_status
check(const struct options *options, struct loaded *loaded, bool busy_period,
      fc_diagnostics *messages)
{
    struct progress progress;
    fc_check_options how = { 0 };
    fc_status status;

    how.seed = options->seed;
    how.threads = options->threads;
    how.no_busy_period = !busy_period;
    how.one_ladder = how.rough = load_is_brief(options);
    how.progress = progress_show;
    how.context = &progress;
    progress_start(&progress);
    status = fc_check_with(loaded->site, &how, &loaded->result, messages);
    progress_wipe(&progress);
    return status;
}

enum depth { READ_ONLY, READ_AND_CHECK };

/* A report must not take the place of what it is about, nor follow it. */
static bool
keeps_site(const struct options *options, const char *path)
{
    const bool given = is_standard_input(path);
    const char *read = given ? "/dev/stdin" : path;
    const char *called = given ? "standard input" : path;

    if (options->output && there_is_same(options->output, read))
        complain("--output would overwrite %s with the report; another name "
                 "is expected",
                 called);
    else if (!options->output && there_is_open_as(read, STDOUT_FILENO))
        complain("standard output is %s itself; another file is expected",
                 called);
    else
        return true;
    return false;
}

/* False, and said. */
static bool
load_site(const struct options *options, struct loaded *loaded,
          enum depth depth)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_status status;
    bool said = false;

    if (!keeps_site(options, loaded->path)) {
        fc_diagnostics_free(messages);
        return false;
    }
    if (!messages) {
        complain_memory();
        return false;
    }
    if (is_standard_input(loaded->path))
        status = read_standard_input(options, loaded, messages, &said);
    else
        status = fc_site_read_with(loaded->path, options->set, options->n_set,
                                   &loaded->site, messages);
    if (status == FC_OK) {
        if (options->given & OPTION_UNITS)
            fc_site_set_units(loaded->site, options->units);
        if (depth == READ_AND_CHECK)
            status = check(options, loaded, true, messages);
    }
    if (!said)
        complain_messages(messages, status);
    fc_diagnostics_free(messages);
    return status == FC_OK;
}

static struct loaded *
load(const struct options *options, const char *path, enum depth depth)
{
    struct loaded *site = calloc(1, sizeof *site);

    if (!site) {
        complain_memory();
        return NULL;
    }
    site->path = path;
    if (!load_site(options, site, depth)) {
        loaded_free(site);
        return NULL;
    }
    if (is_standard_input(path))
        site->path = "standard input";
    return site;
}

struct loaded *
load_checked(const struct options *options, const char *const *path)
{
    return load(options, *path, READ_AND_CHECK);
}

struct loaded *
load_unchecked(const struct options *options, const char *const *path)
{
    return load(options, *path, READ_ONLY);
}

bool
load_check(const struct options *options, struct loaded *site,
           bool busy_period)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_status status = FC_ENOMEM;

    if (messages)
        status = check(options, site, busy_period, messages);
    complain_messages(messages, status);
    fc_diagnostics_free(messages);
    return status == FC_OK;
}

fc_path *
load_path(const struct options *options, const struct loaded *site,
          const char *fixture, fc_state state)
{
    struct progress progress;
    const bool brief = load_is_brief(options);
    const fc_check_options how = { .one_ladder = load_is_brief(options),
                                   .seed = options->seed,
                                   .threads = options->threads,
                                   .in_short = brief,
                                   .rough = brief,
                                   .progress = progress_show,
                                   .context = &progress };
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_path *path = NULL;
    fc_status status = FC_ENOMEM;

    progress_start(&progress);
    if (messages)
        status = fc_path_find_with(site->site, fixture, state, &how, &path,
                                   messages);
    progress_wipe(&progress);
    complain_messages(messages, status);
    fc_diagnostics_free(messages);
    return path;
}

void
complain_not_converted(const struct loaded *site)
{
    complain("%s: no fixture has a retrofit valve, so there is only --state "
             "existing",
             site->path);
}

void
loaded_free(struct loaded *site)
{
    if (!site)
        return;
    fc_check_result_free(site->result);
    fc_site_free(site->site);
    free(site);
}

fc_sweep_result *
load_sweep(const struct options *options, const struct loaded *site)
{
    struct progress progress;
    const fc_check_options how = { .one_ladder = load_is_brief(options),
                                   .seed = options->seed,
                                   .threads = options->threads,
                                   .progress = progress_show,
                                   .context = &progress };
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_sweep_result *sweep = NULL;
    fc_status status = FC_ENOMEM;

    progress_start(&progress);
    if (messages)
        status = fc_sweep(site->site, options->sweep, &how, &sweep, messages);
    progress_wipe(&progress);
    complain_messages(messages, status);
    fc_diagnostics_free(messages);
    return sweep;
}

/* ---- Several ---------------------------------------------------------- */

static bool
standard_input_once(const char *const *paths, size_t n)
{
    size_t times = 0;

    for (size_t i = 0; i < n; i++)
        times += is_standard_input(paths[i]);
    if (times > 1)
        complain("standard input (-) can be read only once");
    return times <= 1;
}

/* False, and said. */
static bool
name_files(const struct options *options, const char *const *paths, size_t n,
           fc_site_file *files, char **text)
{
    for (size_t i = 0; i < n; i++) {
        files[i].path = paths[i];
        if (!keeps_site(options, paths[i]))
            return false;
        if (!is_standard_input(paths[i]))
            continue;
        *text = file_read_standard_input(&files[i].length);
        if (!*text)
            return false;
        files[i].path = "standard input";
        files[i].text = *text;
    }
    return true;
}

/* To be freed, and *text too; NULL, and said. */
static fc_site_file *
files_of(const struct options *options, const char *const *paths, size_t n,
         char **text)
{
    fc_site_file *files = calloc(n, sizeof *files);

    *text = NULL;
    if (!files) {
        complain_memory();
        return NULL;
    }
    if (standard_input_once(paths, n)
        && name_files(options, paths, n, files, text))
        return files;
    free(files);
    return NULL;
}

/* Many files in one call of the library. */
struct many {
    fc_site_file *files;
    char *text; /* standard input, where it is one of them */
    fc_sites_options how;
    struct progress progress;
};

/* What one site lets go of the next one takes: to give it back in between and
 * fetch it anew takes a tenth of the time. */
static void
keep_memory(void)
{
#ifdef __GLIBC__
    mallopt(M_MMAP_THRESHOLD, MEMORY_KEPT / 2);
    mallopt(M_TRIM_THRESHOLD, MEMORY_KEPT);
#endif
}

/* False, and said; many_end() comes after it all the same. */
static bool
many_begin(struct many *many, const struct options *options,
           const char *const *paths, size_t n)
{
    many->files = files_of(options, paths, n, &many->text);
    many->how = (fc_sites_options){
        .check = { .one_ladder = load_is_brief(options),
                   .seed = options->seed,
                   .threads = options->threads,
                   .progress = progress_show,
                   .context = &many->progress },
        .in_units = options->given & OPTION_UNITS,
        .units = options->units,
        .settings = options->set,
        .n_settings = options->n_set,
    };
    keep_memory();
    progress_start(&many->progress);
    return many->files != NULL;
}

static void
many_end(struct many *many, fc_status status)
{
    if (status != FC_OK)
        complain("%s", fc_status_text(status));
    free(many->text);
    free(many->files);
}

fc_checked_sites *
load_lines(const struct options *options, const char *const *paths, size_t n)
{
    struct many many;
    fc_checked_sites *sites = NULL;
    fc_status status = FC_OK;

    if (many_begin(&many, options, paths, n))
        status = fc_check_sites(many.files, n, &many.how, &sites);
    progress_wipe(&many.progress);
    for (size_t i = 0; sites && i < n; i++)
        complain_of(many.files[i].path, sites->messages[i]);
    many_end(&many, status);
    return sites;
}

fc_comparison *
load_comparison(const struct options *options, const char *const *paths,
                size_t n)
{
    struct many many;
    fc_comparison *comparison = NULL;
    fc_status status = FC_OK;

    if (many_begin(&many, options, paths, n))
        status = fc_compare(many.files, n, &many.how, &comparison);
    progress_wipe(&many.progress);
    for (size_t i = 0; comparison && i < comparison->n_buildings; i++)
        complain_of(comparison->buildings[i].path,
                    comparison->buildings[i].messages);
    many_end(&many, status);
    return comparison;
}
