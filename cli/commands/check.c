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

    for (size_t i = 0; i < n; i++) {
        if (sites[i].result->works == FC_WILL_NOT_WORK)
            return FC_WILL_NOT_WORK;
        if (sites[i].result->works == FC_CANNOT_TELL)
            worst = FC_CANNOT_TELL;
    }
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
compose_text(struct page *page, const struct loaded *sites, size_t n)
{
    fc_path *path = NULL;

    if (n > 1) {
        check_text_sites(page, sites, n);
        return true;
    }
    if (!find_budget(&sites[0], &path))
        return false;
    page->units = sites[0].result->units;
    check_text(page, sites[0].result, path);
    fc_path_free(path);
    return true;
}

static bool
report(const struct options *options, const struct loaded *sites, size_t n)
{
    struct report report;
    bool composed = true;

    if (!report_open(&report))
        return false;
    if (options->format == FORMAT_JSON) {
        check_json(&report.page, sites, n, worst_of(sites, n));
    } else {
        report.page.colour = !options->output && text_may_colour();
        composed = compose_text(&report.page, sites, n);
    }
    if (!composed) {
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
        status = status_of(worst_of(sites, n));
    loaded_free(sites, n);
    return status;
}

const struct command command_check = {
    .name = "check",
    .operands = "SITE...",
    .summary = "Will every fixture work, before and after the retrofit?",
    .help =
        "\n"
        "One SITE gives a full report: the verdict, the fixture that "
        "governs and why,\n"
        "where the pressure goes, all fixtures and pipes, how many valves "
        "may flush at\n"
        "once, what was found and what was assumed. Several sites give a "
        "line each. SITE\n"
        "is a site file; - reads standard input.\n"
        "\n"
        "  --format text|json  the form of the report (text)\n"
        "  --output FILE       write it to FILE, whole or not at all\n"
        "  --units us|si       in these units, whatever the site file "
        "says\n"
        "  --seed N            draw the busiest period from this seed (1)\n"
        "  --threads N         with so many threads (as many as there "
        "are processors);\n"
        "                      the result is the same with any number\n"
        "\n"
        "Exit status: 0 all works; 1 something will not work; 3 nothing "
        "fails, but\n"
        "something cannot be told from these inputs; 2 it could not be "
        "worked out.\n",
    .options = OPTION_FORMAT | OPTION_OUTPUT | OPTION_UNITS | OPTION_SEED
               | OPTION_THREADS,
    .least = 1,
    .most = ANY_NUMBER,
    .run = run,
};
