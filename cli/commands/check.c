/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/commands/check.c -- `flushcalc check SITE...`. */
#include "commands/command.h"
#include "shell/complain.h"
#include "shell/load.h"
#include "shell/output.h"

#include <stdlib.h>

/* The worst of all: what fails before what cannot be told. */
static fc_verdict
worst_of(const struct loaded *sites, size_t n)
{
    fc_verdict worst = FC_WORKS;

    for (size_t i = 0; i < n; i++)
        worst = worse_verdict(worst, sites[i].result->works);
    return worst;
}

/* Too much pressure counts in the exit status as much as too little. */
static fc_verdict
worst_to_exit(const struct loaded *sites, size_t n)
{
    fc_verdict worst = worst_of(sites, n);

    for (size_t i = 0; i < n; i++)
        worst = worse_verdict(worst, sites[i].result->too_high);
    return worst;
}

/* The way to the fixture that governs the state to be judged, in each state;
 * NULL where none does.  False, and said, when it cannot be had. */
static bool
find_paths(const struct loaded *site, fc_path *paths[FC_STATES])
{
    const fc_check_result *result = site->result;
    const fc_state judged = result->converted ? FC_RETROFIT : FC_EXISTING;
    const size_t governing = result->states[judged].governing;
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_status status = messages ? FC_OK : FC_ENOMEM;

    for (int s = 0;
         s <= (int)judged && governing < result->n_fixtures && status == FC_OK;
         s++)
        status = fc_path_find(site->site, result->fixtures[governing].name,
                              (fc_state)s, &paths[s], messages);
    complain_messages(messages, status);
    fc_diagnostics_free(messages);
    return status == FC_OK;
}

static bool
report_one(const struct options *options, const struct loaded *site)
{
    fc_path *paths[FC_STATES] = { NULL, NULL };
    fc_report *report = NULL;
    bool done = false;

    if (find_paths(site, paths)) {
        const fc_path *const ways[] = { paths[0], paths[1] };
        const fc_status status =
            fc_report_check(site->site, site->result, ways, &report);

        done = output_report(options, site->path, report, status);
    }
    for (int s = 0; s < FC_STATES; s++)
        fc_path_free(paths[s]);
    return done;
}

/* What a report of several sites is of. */
struct several {
    const fc_site **sites;
    const fc_check_result **results;
    const char **names;
};

static bool
report_several(const struct options *options, const struct loaded *sites,
               size_t n)
{
    struct several several = { calloc(n, sizeof *several.sites),
                               calloc(n, sizeof *several.results),
                               calloc(n, sizeof *several.names) };
    fc_report *report = NULL;
    fc_status status = FC_ENOMEM;
    bool done;

    if (several.sites && several.results && several.names) {
        for (size_t i = 0; i < n; i++) {
            several.sites[i] = sites[i].site;
            several.results[i] = sites[i].result;
            several.names[i] = sites[i].path;
        }
        status = fc_report_sites(several.sites, several.results, several.names,
                                 n, &report);
    }
    done = output_report(options, NULL, report, status);
    free(several.sites);
    free(several.results);
    free(several.names);
    return done;
}

static bool
report(const struct options *options, const struct loaded *sites, size_t n)
{
    return options->n_operands == 1 ? report_one(options, sites)
                                    : report_several(options, sites, n);
}

/* One bad file among several does not silence the others. */
static int
run(const struct options *options)
{
    size_t n = options->n_operands;
    struct loaded *sites = load_sites(options, options->operands, &n);
    int status = STATUS_TROUBLE;

    if (!sites)
        return STATUS_TROUBLE;
    if (report(options, sites, n) && n == options->n_operands)
        status = status_of(worst_to_exit(sites, n));
    loaded_free(sites, n);
    return status;
}

const struct command command_check = {
    .name = "check",
    .operands = "SITE...",
    .summary = "Will every fixture work, existing and after retrofit?",
    .about =
        "One SITE gives one screen: the verdict, both states side by side, "
        "each PRV zone\n"
        "and the pressure budget of the governing fixture. --full adds all "
        "tables: fixtures,\n"
        "flush events, pipes, findings and what was assumed. Several sites "
        "give a line\n"
        "each; one that cannot be read does not stop the others. SITE is a "
        "site file; -\n"
        "reads standard input.\n",
    .status =
        "Exit status: 0 all works; 1 something does not work, or has too much "
        "pressure;\n"
        "3 nothing fails, but these inputs cannot tell all of it; 2 a site "
        "could not be\n"
        "calculated.\n",
    .options = OPTION_REPORT | OPTION_UNITS | OPTION_SET | OPTION_SEED
               | OPTION_THREADS,
    .least = 1,
    .most = ANY_NUMBER,
    .run = run,
};
