/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/commands/verify.c -- `flushcalc verify SITE`. */
#include "commands/command.h"
#include "shell/load.h"
#include "shell/complain.h"
#include "shell/output.h"
#include "shell/progress.h"

#include <unistd.h>

static bool
solve(const struct options *options, const struct loaded *site,
      fc_verify_result **result)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_verify_options how = { .seed = options->seed,
                              .threads = options->threads,
                              .progress = progress_show };
    struct progress progress;
    fc_status status = FC_ENOMEM;

    how.context = &progress;
    progress_start(&progress);
    if (messages)
        status = fc_verify(site->site, &how, result, messages);
    progress_wipe(&progress);
    complain_messages(messages, status);
    fc_diagnostics_free(messages);
    return status == FC_OK;
}

static bool
report(const struct options *options, const struct loaded *site,
       const fc_verify_result *result)
{
    struct output output;
    fc_report *report = NULL;
    fc_status status;
    char date[40];

    if (!output_date(date, sizeof date))
        return false;
    status = options->given & OPTION_RECORD
                 ? fc_report_record(site->site, result, &report)
                 : fc_report_verify(site->site, result, &report);
    return output_compose(options, site->path, date, report, status, &output)
           && output_deliver(options, &output);
}

static int
status_of_support(fc_support support)
{
    return support == FC_SUPPORTED      ? STATUS_WORKS
           : support == FC_CONTRADICTED ? STATUS_WILL_NOT_WORK
                                        : STATUS_CANNOT_TELL;
}

static int
run(const struct options *options)
{
    fc_verify_result *result = NULL;
    struct loaded *site = load_unchecked(options, options->operands);
    int status = STATUS_TROUBLE;

    if (site && solve(options, site, &result) && report(options, site, result))
        status = status_of_support(result->verdict);
    fc_verify_result_free(result);
    loaded_free(site);
    return status;
}

const struct command command_verify = {
    .name = "verify",
    .operands = "SITE",
    .summary = "Are the flowing pressures claimed in a site file true?",
    .about = "Each [claim] of SITE is calculated under its own condition (one "
             "valve alone,\n"
             "the valves it names, or peak demand; all that make sense where "
             "it does not say)\n"
             "for many buildings drawn within what the inputs may be, by "
             "ranges and\n"
             "[tolerance]: supported where at least 95% of them reach the "
             "pressure claimed,\n"
             "contradicted where at most 5% do. A gauge reading under the "
             "same condition\n"
             "counts instead, within its accuracy. Nothing supports a claim "
             "whose fixture\n"
             "does not flow under it. SITE is a site file; - reads standard "
             "input.\n",
    .status = "Exit status: 0 every claim is supported; 1 one is "
              "contradicted; 3 none is, but\n"
              "one is undecided; 2 it could not be calculated.\n",
    .options = OPTION_REPORT | OPTION_UNITS | OPTION_SET | OPTION_SEED
               | OPTION_THREADS | OPTION_RECORD,
    .least = 1,
    .most = 1,
    .run = run,
};
