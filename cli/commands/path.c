/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/commands/path.c -- `flushcalc path SITE FIXTURE`. */
#include "commands/command.h"
#include "shell/load.h"
#include "page/output.h"
#include "shell/complain.h"
#include "report/path_report.h"
#include "page/words.h"

/* The state that is meant; false, and said, where the site has none such. */
static bool
choose_state(const struct options *options, const struct loaded *site,
             fc_state *state)
{
    *state = judged_state(site->result);
    if (!(options->given & OPTION_STATE))
        return true;
    *state = options->state;
    if (*state == FC_RETROFIT && !site->result->converted) {
        complain_not_converted(site);
        return false;
    }
    return true;
}

static bool
report(const struct options *options, const struct loaded *site,
       const fc_path *path)
{
    struct report report;

    if (!report_open(&report))
        return false;
    report.page.units = site->result->units;
    if (options->format == FORMAT_JSON) {
        path_json(&report.page, site->result, path);
    } else {
        report.page.colour = !options->output && text_may_colour();
        path_text(&report.page, site->result, path,
                  options->given & OPTION_DARCY);
    }
    return report_deliver(&report, options->output);
}

static int
find_and_report(const struct options *options, const struct loaded *site)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_path *path = NULL;
    fc_state state;
    fc_status found = FC_ENOMEM;
    int status = STATUS_TROUBLE;

    if (!choose_state(options, site, &state)) {
        fc_diagnostics_free(messages);
        return STATUS_TROUBLE;
    }
    if (messages)
        found = fc_path_find(site->site, options->operands[1], state, &path,
                             messages);
    complain_messages(messages, found);
    fc_diagnostics_free(messages);
    if (found == FC_OK && report(options, site, path))
        status = status_of(path->end.works);
    fc_path_free(path);
    return status;
}

static int
run(const struct options *options)
{
    struct loaded *site = load_sites(options, options->operands, 1);
    int status = STATUS_TROUBLE;

    if (site)
        status = find_and_report(options, site);
    loaded_free(site, 1);
    return status;
}

const struct command command_path = {
    .name = "path",
    .operands = "SITE FIXTURE",
    .summary = "Where does the pressure go on the way to one fixture?",
    .help = "\n"
            "The pressure budget from the source to FIXTURE at peak, element "
            "by element, and\n"
            "the checks of that fixture. SITE is a site file; - reads "
            "standard input.\n"
            "\n"
            "  --state existing|retrofit  with which valves (retrofit, where "
            "there are any)\n"
            "  --darcy                    friction by Darcy-Weisbach too, for "
            "comparison\n"
            "  --format text|json         the form of the report (text)\n"
            "  --output FILE              write it to FILE, whole or not at "
            "all\n"
            "  --units us|si              in these units, whatever the site "
            "file says\n"
            "\n"
            "Exit status: 0 the fixture works; 1 it will not; 3 it cannot be "
            "told from these\n"
            "inputs; 2 it could not be worked out.\n",
    .options = OPTION_FORMAT | OPTION_OUTPUT | OPTION_UNITS | OPTION_STATE
               | OPTION_DARCY,
    .least = 2,
    .most = 2,
    .run = run,
};
