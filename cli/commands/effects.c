/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/commands/effects.c -- `flushcalc effects SITE`. */
#include "commands/command.h"
#include "shell/complain.h"
#include "shell/load.h"
#include "shell/output.h"
#include "shell/progress.h"

static bool
find(const struct loaded *site, fc_effects **effects)
{
    struct progress progress;
    const fc_effects_options how = { .progress = progress_show,
                                     .context = &progress };
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_status status = FC_ENOMEM;

    progress_start(&progress);
    if (messages)
        status = fc_effects_find_with(site->site, &how, effects, messages);
    progress_wipe(&progress);
    complain_messages(messages, status);
    fc_diagnostics_free(messages);
    return status == FC_OK;
}

static bool
report(const struct options *options, const struct loaded *site,
       const fc_effects *effects)
{
    fc_report *report = NULL;
    const fc_status status = fc_report_effects(site->site, effects, &report);

    return output_report(options, site->path, report, status);
}

static int
run(const struct options *options)
{
    struct loaded *site = load_unchecked(options, options->operands);
    fc_effects *effects = NULL;
    int status = STATUS_TROUBLE;

    if (site && find(site, &effects) && report(options, site, effects))
        status = status_of(effects->enough);
    fc_effects_free(effects);
    loaded_free(site);
    return status;
}

const struct command command_effects = {
    .name = "effects",
    .operands = "SITE",
    .summary = "What else does the retrofit change?",
    .about =
        "Water a year, batteries, hygiene flushes, renewal of the water in "
        "the pipes, surge\n"
        "as valves close, tanks, the return of water after a shutdown, and "
        "the cold\n"
        "pressure at showers, lavatories and eyewashes, existing and after "
        "retrofit. SITE\n"
        "is a site file; - reads standard input.\n",
    .status = "Exit status: 0 nothing that could be judged does harm; 1 "
              "something does; 3\n"
              "these inputs cannot tell; 2 it could not be calculated.\n",
    .options = OPTION_REPORT | OPTION_UNITS | OPTION_SET,
    .least = 1,
    .most = 1,
    .run = run,
};
