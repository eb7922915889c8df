/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/commands/compare.c -- `flushcalc compare SITE...`. */
#include "commands/command.h"
#include "shell/complain.h"
#include "shell/load.h"
#include "shell/output.h"

/* What is broken does not silence the others. */
static int
run(const struct options *options)
{
    fc_comparison *comparison =
        load_comparison(options, options->operands, options->n_operands);
    fc_report *report = NULL;
    int status = STATUS_TROUBLE;

    if (comparison) {
        const fc_status made = fc_report_compare(comparison, &report);

        if (output_report(options,
                          options->n_operands == 1
                              ? comparison->buildings[0].path
                              : NULL,
                          report, made)
            && comparison->n_broken == 0)
            status = status_of(
                worse_verdict(comparison->works, comparison->too_high));
    }
    fc_comparison_free(comparison);
    return status;
}

const struct command command_compare = {
    .name = "compare",
    .operands = "SITE...",
    .summary = "Which of several changes does it?",
    .about =
        "Each SITE, each [case] of its file, and each SITE with what each "
        "--set gives, side\n"
        "by side: verdicts, least margin, flush valves at once, peak demand, "
        "and what\n"
        "differs in the inputs. What cannot be calculated does not stop the "
        "others. SITE is\n"
        "a site file; - reads standard input.\n",
    .status =
        "Exit status: 0 all work; 1 one does not, or has too much pressure; 3 "
        "nothing\n"
        "fails, but these inputs cannot tell all of it; 2 one could not be "
        "calculated.\n",
    .options = OPTION_REPORT | OPTION_UNITS | OPTION_SET | OPTION_SEED
               | OPTION_THREADS,
    .least = 1,
    .most = ANY_NUMBER,
    .run = run,
};
