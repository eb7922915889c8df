/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/commands/diagnose.c -- `flushcalc diagnose SITE`. */
#include "commands/command.h"
#include "shell/load.h"
#include "shell/complain.h"
#include "shell/output.h"

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

/* A sheet is dated. */
static bool
report(const struct options *options, const struct loaded *site,
       const struct found_out *out)
{
    const bool sheet = options->given & OPTION_SHEET;
    struct output output;
    fc_report *report = NULL;
    fc_status status;
    char date[40];

    if (sheet && !output_date(date, sizeof date))
        return false;
    status =
        sheet ? fc_report_sheet(site->site, out->diagnosis, out->rest, &report)
              : fc_report_diagnosis(site->site, out->diagnosis, &report);
    return output_compose(options, site->path, sheet ? date : NULL, report,
                          status, &output)
           && output_deliver(options, &output);
}

static int
exit_status_of(fc_diagnosed verdict)
{
    switch (verdict) {
    case FC_CHECKS_OUT:
        return STATUS_WORKS;
    case FC_CHECKS_OUT_SHORT:
    case FC_ONE_FAULT:
    case FC_TWO_FAULTS:
        return STATUS_WILL_NOT_WORK;
    default:
        return STATUS_CANNOT_TELL;
    }
}

static int
run(const struct options *options)
{
    struct found_out out = { NULL, NULL };
    struct loaded *site = load_unchecked(options, options->operands);
    int status = STATUS_TROUBLE;

    if (site && solve(options, site, &out) && report(options, site, &out))
        status = exit_status_of(out.diagnosis->verdict);
    fc_flush_result_free(out.rest);
    fc_diagnosis_free(out.diagnosis);
    loaded_free(site);
    return status;
}

const struct command command_diagnose = {
    .name = "diagnose",
    .operands = "SITE",
    .summary = "What explains the gauge readings, and what to read next?",
    .about = "All readings and looks of SITE (a site file; - reads standard "
             "input) are set\n"
             "against the file: does it check out, within gauge error and the "
             "ranges entered?\n"
             "Where it does not, every fault (a stop partly closed, a "
             "strainer plugged, a\n"
             "pipe scaled, a valve that won't shut off, ...) and every pair "
             "of them is\n"
             "fitted. What is found comes with a work order; else the next "
             "look or reading is\n"
             "named, with what each answer would mean. Without readings: the "
             "sheet of a first\n"
             "visit.\n",
    .status =
        "Exit status: 0 it checks out; 1 one fault or two are found, or it "
        "checks out\n"
        "and falls short; 3 cannot tell yet; 2 it could not be calculated.\n",
    .own = { OPTION_STATE, "with which valves (existing)" },
    .options = OPTION_REPORT | OPTION_UNITS | OPTION_SET | OPTION_STATE
               | OPTION_SYMPTOM | OPTION_SHEET,
    .least = 1,
    .most = 1,
    .run = run,
};
