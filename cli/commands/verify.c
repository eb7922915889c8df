/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/commands/verify.c -- `flushcalc verify SITE`. */
#include "commands/command.h"
#include "shell/load.h"
#include "page/output.h"
#include "shell/complain.h"
#include "shell/progress.h"
#include "report/verify_report.h"

#include <string.h>
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

/* False, and said. */
static bool
may_record(const struct options *options)
{
    const bool fits =
        !(options->given & OPTION_RECORD && options->format == FORMAT_JSON);

    if (!fits)
        complain("--record is a page to sign, so it has no --format json");
    return fits;
}

/* Of what is in a file before it is read; nothing of standard input, nor of
 * what cannot be read, which is said then.  False, and said. */
static bool
digest_first(const char *path, struct digest *digest)
{
    digest->hex[0] = '\0';
    return strcmp(path, "-") == 0 || access(path, R_OK) != 0
           || digest_of_file(path, digest);
}

/* Whether a file still has what it had.  False, and said. */
static bool
is_unchanged(const char *path, const struct digest *before)
{
    struct digest now;

    if (!*before->hex)
        return true;
    if (!digest_of_file(path, &now))
        return false;
    if (strcmp(now.hex, before->hex) == 0)
        return true;
    complain("%s changed while it was calculated; run it again", path);
    return false;
}

/* What the result is of; `before`: of the site file as it was read.  False,
 * and said. */
static bool
find_origin(const struct loaded *site, const fc_verify_result *result,
            const char *path, const struct digest *before,
            struct origin *origin)
{
    *origin = (struct origin){ .site_path = path,
                               .tables_path = result->tables,
                               .site = *before->hex ? *before
                                                    : site->standard_input };
    if (!is_unchanged(path, before)
        || (result->tables
            && !digest_of_file(result->tables, &origin->tables)))
        return false;
    return digest_date(origin->date, sizeof origin->date);
}

static bool
report(const struct options *options, const fc_verify_result *result,
       const struct origin *origin)
{
    struct report report;

    if (!report_open(&report))
        return false;
    report.page.units = result->units;
    if (options->format == FORMAT_JSON) {
        verify_json(&report.page, result, origin);
    } else if (options->given & OPTION_RECORD) {
        verify_record(&report.page, result, origin);
    } else {
        report.page.colour = !options->output && text_may_colour();
        verify_text(&report.page, result);
    }
    return report_deliver(&report, options->output);
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
    struct loaded *site = NULL;
    const char *path = options->operands[0];
    struct digest before;
    struct origin origin;
    int status = STATUS_TROUBLE;

    if (may_record(options) && digest_first(path, &before))
        site = load_unchecked(options, options->operands);
    if (site && solve(options, site, &result)
        && find_origin(site, result, path, &before, &origin)
        && report(options, result, &origin))
        status = status_of_support(result->verdict);
    fc_verify_result_free(result);
    loaded_free(site, 1);
    return status;
}

const struct command command_verify = {
    .name = "verify",
    .operands = "SITE",
    .summary = "Are the flowing pressures true that a site file claims?",
    .help =
        "\n"
        "Each [claim] of SITE is calculated under its own condition (one "
        "valve alone, the\n"
        "valves it names, or peak demand; all that make sense where it does "
        "not say) for\n"
        "many buildings drawn within what the inputs may be, by ranges and "
        "[tolerance]:\n"
        "supported where at least 95% of them reach the pressure claimed, "
        "contradicted\n"
        "where at most 5% do. A gauge reading under the same condition counts "
        "instead,\n"
        "within its accuracy. Nothing supports a claim whose fixture does not "
        "flow under\n"
        "it. SITE is a site file; - reads standard input.\n"
        "\n"
        "  --record            an inspection record to sign, in place of the "
        "report\n"
        "  --format text|json  the form of the report (text)\n"
        "  --output FILE       write it to FILE, whole or not at all\n"
        "  --units us|si       in these units, whatever the site file says\n"
        "  --seed N            draw from this seed (1)\n"
        "  --threads N         with so many threads; the result is the same\n"
        "\n"
        "Exit status: 0 every claim is supported; 1 one is contradicted; 3 "
        "none is, but\n"
        "one is undecided; 2 it could not be calculated.\n",
    .options = OPTION_FORMAT | OPTION_OUTPUT | OPTION_UNITS | OPTION_SEED
               | OPTION_THREADS | OPTION_RECORD,
    .least = 1,
    .most = 1,
    .run = run,
};
