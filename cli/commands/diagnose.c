/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/commands/diagnose.c -- `flushcalc diagnose SITE`. */
#include "commands/command.h"
#include "report/diagnose_report.h"
#include "shell/load.h"
#include "page/output.h"
#include "shell/complain.h"

/* What a report is made of. */
struct found_out {
    fc_diagnosis *diagnosis;
    fc_flush_result *rest; /* with nothing flushing; NULL without a sheet */
};

/* Failure is said. */
static bool
solve(const struct options *options, const struct loaded *site,
      struct found_out *out)
{
    const fc_diagnose_options how = { .state = options->state,
                                      .symptom = options->symptom };
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_status status = FC_ENOMEM;

    if (messages)
        status = fc_diagnose(site->site, &how, &out->diagnosis, messages);
    if (status == FC_OK && options->given & OPTION_SHEET)
        status = fc_flush(site->site, options->state, NULL, 0, &out->rest,
                          messages);
    complain_messages(messages, status);
    fc_diagnostics_free(messages);
    return status == FC_OK;
}

/* False, and said. */
static bool
may_fill_in(const struct options *options)
{
    const bool fits =
        !(options->given & OPTION_SHEET && options->format == FORMAT_JSON);

    if (!fits)
        complain("--sheet is a page to fill in, so it has no --format json");
    return fits;
}

static bool
report(const struct options *options, const struct found_out *out)
{
    struct report report;

    if (!report_open(&report))
        return false;
    report.page.units = out->diagnosis->units;
    if (options->format == FORMAT_JSON) {
        diagnose_json(&report.page, out->diagnosis);
    } else if (options->given & OPTION_SHEET) {
        diagnose_sheet(&report.page, out->diagnosis, out->rest);
    } else {
        report.page.colour = !options->output && text_may_colour();
        diagnose_text(&report.page, out->diagnosis);
    }
    return report_deliver(&report, options->output);
}

static int
status_of_outcome(enum outcome outcome)
{
    return outcome == OUTCOME_AS_DESCRIBED ? STATUS_WORKS
           : outcome == OUTCOME_FOUND || outcome == OUTCOME_TOO_LITTLE
               ? STATUS_WILL_NOT_WORK
               : STATUS_CANNOT_TELL;
}

static int
run(const struct options *options)
{
    struct found_out out = { NULL, NULL };
    struct loaded *site = NULL;
    int status = STATUS_TROUBLE;

    if (may_fill_in(options))
        site = load_unchecked(options, options->operands);
    if (site && solve(options, site, &out) && report(options, &out))
        status = status_of_outcome(outcome_of(out.diagnosis));
    fc_flush_result_free(out.rest);
    fc_diagnosis_free(out.diagnosis);
    loaded_free(site, 1);
    return status;
}

const struct command command_diagnose = {
    .name = "diagnose",
    .operands = "SITE",
    .summary = "What explains the gauge readings, and which to take next?",
    .help =
        "\n"
        "Each [reading] of SITE, a pressure or a flow, is set against what "
        "the "
        "site as\n"
        "described would show. Where they differ, single causes (a choked "
        "main, a reducer\n"
        "off its setting, a blocked element, a throttled stop, a valve "
        "running on, ...) are\n"
        "fitted to all of them, then pairs; and the next reading is named "
        "that tells those\n"
        "left apart best, with what each answer would mean. SITE is a site "
        "file; - reads\n"
        "standard input.\n"
        "\n"
        "  --state existing|retrofit\n"
        "                      with which valves the readings were taken "
        "(existing)\n"
        "  --symptom short|weak|long|'runs on'|noise|splash\n"
        "                      also list what no pressure shows, the easiest "
        "first\n"
        "  --sheet             a field sheet to fill in, in place of the "
        "report\n"
        "  --format text|json  the form of the report (text)\n"
        "  --output FILE       write it to FILE, whole or not at all\n"
        "  --units us|si       in these units, whatever the site file says\n"
        "\n"
        "Exit status: 0 the supply is as described; 1 a cause is found, or "
        "the supply is\n"
        "as described and too little; 3 several are left, none explains the "
        "readings, or\n"
        "they contradict each other; 2 it could not be worked out.\n",
    .options = OPTION_FORMAT | OPTION_OUTPUT | OPTION_UNITS | OPTION_STATE
               | OPTION_SYMPTOM | OPTION_SHEET,
    .least = 1,
    .most = 1,
    .run = run,
};
