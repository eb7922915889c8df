/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/commands/path.c -- `flushcalc path SITE FIXTURE`. */
#include "commands/command.h"
#include "shell/load.h"
#include "shell/complain.h"
#include "commands/complete.h"
#include "shell/output.h"

#include <string.h>

/* False, and said. */
static bool
find(const struct options *options, const struct loaded *site, fc_path **path)
{
    const bool asked = options->given & OPTION_STATE;
    const fc_state state = asked ? options->state : FC_RETROFIT;
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_status status = FC_ENOMEM;

    if (messages)
        status = fc_path_find(site->site, options->operands[1], state, path,
                              messages);
    complain_messages(messages, status);
    fc_diagnostics_free(messages);
    if (status == FC_OK && asked && (*path)->state != state)
        complain_not_converted(site);
    return status == FC_OK && (!asked || (*path)->state == state);
}

static const fc_checked_fixture *
fixture_of(const fc_check_result *result, const fc_path *path)
{
    const fc_checked_fixture *fixture = result->fixtures;

    while (strcmp(fixture->name, path->fixture) != 0)
        fixture++;
    return fixture;
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

/* The verdict is that of check, which takes long in a large building; the
 * budget, at once, tells before that whether there is such a fixture. */
static int
run(const struct options *options)
{
    struct loaded *site = load_unchecked(options, options->operands);
    const fc_checked_fixture *fixture;
    fc_path *path = NULL;
    int status = STATUS_TROUBLE;

    if (site && find(options, site, &path)
        && load_check(options, site, path->end.valve != NULL)) {
        fixture = fixture_of(site->result, path);
        if (report(options, site, path))
            status = status_of(
                worse_verdict(fixture->states[path->state].works,
                              fixture->states[path->state].too_high));
    }
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
