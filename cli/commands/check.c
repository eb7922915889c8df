/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/commands/check.c -- `flushcalc check SITE...`. */
#include "report/check_json.h"
#include "report/check_text.h"
#include "commands/command.h"
#include "page/output.h"
#include "shell/complain.h"
#include "page/words.h"

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

/* The budget of the fixture that governs; *path stays NULL where none does.
 * False, and said, when it cannot be had. */
static bool
find_budget(const struct loaded *site, fc_path **path)
{
    fc_state state = judged_state(site->result);
    size_t governing = site->result->states[state].governing;
    fc_diagnostics *messages;
    fc_status status;

    if (governing >= site->result->n_fixtures)
        return true;
    messages = fc_diagnostics_new();
    status = messages ? fc_path_find(site->site,
                                     site->result->fixtures[governing].name,
                                     state, path, messages)
                      : FC_ENOMEM;
    complain_messages(messages, status);
    fc_diagnostics_free(messages);
    return status == FC_OK;
}

static bool
compose(struct page *page, bool json, const struct loaded *sites, size_t n)
{
    fc_path *path = NULL;

    if (n == 1 && !find_budget(&sites[0], &path))
        return false;
    if (json) {
        check_json(page, sites, n, worst_of(sites, n), path);
    } else if (n > 1) {
        check_text_sites(page, sites, n);
    } else {
        page->units = sites[0].result->units;
        check_text(page, sites[0].result, path);
    }
    fc_path_free(path);
    return true;
}

static bool
report(const struct options *options, const struct loaded *sites, size_t n)
{
    const bool json = options->format == FORMAT_JSON;
    struct report report;

    if (!report_open(&report))
        return false;
    report.page.colour = !json && !options->output && text_may_colour();
    if (!compose(&report.page, json, sites, n)) {
        report_drop(&report);
        return false;
    }
    return report_deliver(&report, options->output);
}

static int
run(const struct options *options)
{
    size_t n = options->n_operands;
    struct loaded *sites = load_sites(options, options->operands, n);
    int status = STATUS_TROUBLE;

    if (sites && report(options, sites, n))
        status = status_of(worst_to_exit(sites, n));
    loaded_free(sites, n);
    return status;
}

const struct command command_check = {
    .name = "check",
    .operands = "SITE...",
    .summary = "Will every fixture work, existing and after retrofit?",
    .help =
        "\n"
        "One SITE gives a full report: the verdict, the governing fixture and "
        "why,\n"
        "where the pressure goes, all fixtures and pipes, how many valves may "
        "flush at\n"
        "once, what was found and what was assumed. Several sites give a line "
        "each. SITE\n"
        "is a site file; - reads standard input.\n"
        "\n"
        "  --format text|json  the form of the report (text)\n"
        "  --output FILE       write it to FILE, whole or not at all\n"
        "  --units us|si       in these units, whatever the site file says\n"
        "  --seed N            draw the busiest period from this seed (1)\n"
        "  --threads N         with so many threads (as many as there are "
        "processors);\n"
        "                      the result is the same with any number\n"
        "\n"
        "Exit status: 0 all works; 1 something will not work, or has too much "
        "pressure;\n"
        "3 nothing fails, but these inputs cannot tell all of it; 2 it could "
        "not be\n"
        "calculated.\n",
    .options = OPTION_FORMAT | OPTION_OUTPUT | OPTION_UNITS | OPTION_SEED
               | OPTION_THREADS,
    .least = 1,
    .most = ANY_NUMBER,
    .run = run,
};
