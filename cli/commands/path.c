/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/commands/path.c -- `flushcalc path SITE FIXTURE`. */
#include "commands/command.h"
#include "shell/load.h"
#include "shell/complain.h"
#include "commands/complete.h"
#include "shell/output.h"

/* False, and said. */
static bool
find(const struct options *options, const struct loaded *site, fc_path **path)
{
    const bool asked = options->given & OPTION_STATE;
    const fc_state state = asked ? options->state : FC_RETROFIT;

    *path = load_path(options, site, options->operands[1], state);
    if (*path && asked && (*path)->state != state) {
        complain_not_converted(site);
        return false;
    }
    return *path != NULL;
}

static bool
report(const struct options *options, const struct loaded *site,
       const fc_path *path)
{
    fc_report *report = NULL;
    const fc_status status =
        fc_report_path(site->site, site->result, path,
                       options->given & OPTION_DARCY, &report);

    return output_report(options, site->path, report, status);
}

/* Only a page draws the rest of the building. */
static int
run(const struct options *options)
{
    struct loaded *site = load_unchecked(options, options->operands);
    fc_path *path = NULL;
    int status = STATUS_TROUBLE;

    if (site && find(options, site, &path)
        && (options->format != FC_HTML
            || load_check(options, site, path->end.valve != NULL))
        && report(options, site, path))
        status = status_of(worse_verdict(path->end.works, path->end.too_high));
    fc_path_free(path);
    loaded_free(site);
    return status;
}

static void
offer(const char *const *operands, size_t n, const struct completion *to)
{
    if (n == 1)
        complete_fixtures(operands, n, to);
}

const struct command command_path = {
    .name = "path",
    .operands = "SITE FIXTURE",
    .summary = "Where does the pressure go on the way to one fixture?",
    .about = "The pressure budget from the source to FIXTURE at peak, element "
             "by element, and\n"
             "the checks of that fixture. SITE is a site file; - reads "
             "standard input.\n",
    .status =
        "Exit status: 0 the fixture works; 1 it does not, or has too much "
        "pressure; 3\n"
        "these inputs cannot tell; 2 it could not be calculated.\n",
    .options = OPTION_REPORT | OPTION_UNITS | OPTION_SET | OPTION_STATE
               | OPTION_DARCY,
    .least = 2,
    .most = 2,
    .offer = offer,
    .run = run,
};
