/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/commands/check.c -- `flushcalc check SITE...`. */
#include "commands/command.h"
#include "shell/complain.h"
#include "shell/load.h"
#include "shell/output.h"

#include <stdlib.h>

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
        status = fc_path_at_peak(site->site, result->fixtures[governing].name,
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

/* Too much pressure counts in the exit status as much as too little. */
static int
status_to_exit(fc_verdict works, fc_verdict too_high)
{
    return status_of(worse_verdict(works, too_high));
}

static int
run_one(const struct options *options)
{
    struct loaded *site = load_checked(options, options->operands);
    int status = STATUS_TROUBLE;

    if (site && report_one(options, site))
        status = status_to_exit(site->result->works, site->result->too_high);
    loaded_free(site);
    return status;
}

/* The status is that of the site as it is given. */
static int
run_sweep(const struct options *options)
{
    struct loaded *site = NULL;
    fc_sweep_result *sweep = NULL;
    int status = STATUS_TROUBLE;

    if (options->n_operands > 1)
        complain("--sweep takes one site, and %zu are given",
                 options->n_operands);
    else
        site = load_unchecked(options, options->operands);
    if (site)
        sweep = load_sweep(options, site);
    if (sweep) {
        fc_report *report = NULL;
        const fc_status made = fc_report_sweep(site->site, sweep, &report);

        if (output_report(options, site->path, report, made))
            status = status_to_exit(sweep->given.works, sweep->given.too_high);
    }
    fc_sweep_result_free(sweep);
    loaded_free(site);
    return status;
}

/* One bad file among several does not silence the others. */
static int
run_several(const struct options *options)
{
    fc_checked_sites *sites =
        load_lines(options, options->operands, options->n_operands);
    fc_report *report = NULL;
    int status = STATUS_TROUBLE;

    if (sites) {
        const fc_status made = fc_report_sites(sites, &report);

        if (output_report(options, NULL, report, made) && sites->n_broken == 0)
            status = status_to_exit(sites->works, sites->too_high);
    }
    fc_checked_sites_free(sites);
    return status;
}

static int
run(const struct options *options)
{
    return options->sweep            ? run_sweep(options)
           : options->n_operands > 1 ? run_several(options)
                                     : run_one(options);
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
        "each, the worst first; one that cannot be calculated has its line "
        "too. SITE is a\n"
        "site file; - reads standard input.\n",
    .status =
        "Exit status: 0 all works; 1 something does not work, or has too much "
        "pressure;\n"
        "3 nothing fails, but these inputs cannot tell all of it; 2 a site "
        "could not be\n"
        "calculated.\n",
    .options = OPTION_REPORT | OPTION_UNITS | OPTION_SET | OPTION_SWEEP
               | OPTION_SEED | OPTION_THREADS,
    .least = 1,
    .most = ANY_NUMBER,
    .run = run,
};
