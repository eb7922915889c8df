/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/commands/quick.c -- `flushcalc quick KEY=VALUE...`. */
#include "commands/command.h"
#include "shell/ask.h"
#include "shell/complain.h"
#include "shell/file.h"
#include "shell/output.h"

#include <stdlib.h>
#include <string.h>

/* What was asked of the user, as "key=value"; `words` to be freed. */
struct figures {
    const char *const *words;
    size_t n;
    char **asked; /* NULL: they stood on the command line */
};

static void
figures_free(struct figures *figures)
{
    if (figures->asked)
        ask_free(figures->asked, figures->n);
    free(figures->asked);
}

static bool
check_answer(const struct question *question, const char *answer,
             fc_diagnostics *why)
{
    return fc_quick_try(question->key, answer, why) == FC_OK;
}

/* False, and said. */
static bool
ask_for(struct figures *figures)
{
    const fc_quick_key *keys;
    const size_t n = fc_quick_keys(&keys);
    struct question *questions = calloc(n, sizeof *questions);

    if (!questions) {
        complain_memory();
        return false;
    }
    for (size_t i = 0; i < n; i++)
        questions[i] =
            (struct question){ keys[i].key, keys[i].asks, keys[i].may_be,
                               check_answer, false };
    figures->asked = ask_operands(questions, n, &figures->n);
    free(questions);
    figures->words = (const char *const *)figures->asked;
    return figures->asked != NULL;
}

/* Those of the command line, or those asked for; false, and said. */
static bool
find_figures(const struct options *options, struct figures *figures)
{
    figures->words = options->operands;
    figures->n = options->n_operands;
    if (figures->n > 0)
        return true;
    if (ask_can())
        return ask_for(figures);
    complain("quick needs figures, such as main=52 up=16ft still=45 one=20; "
             "see flushcalc quick --help");
    return false;
}

static fc_quick_result *
answer(const struct options *options, const struct figures *figures)
{
    const bool si = options->given & OPTION_UNITS && options->units == FC_SI;
    fc_quick_result *result = NULL;
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_status status = FC_ENOMEM;

    if (messages)
        status = fc_quick(figures->words, figures->n, si ? FC_SI : FC_US,
                          &result, messages);
    complain_messages(messages, status);
    fc_diagnostics_free(messages);
    return result;
}

/* What check says of the file that is to be written.  False, and said, when it
 * cannot be checked. */
static bool
check_text(const struct options *options, const fc_quick_result *result,
           fc_verdict *works)
{
    const fc_check_options few = { .no_busy_period = true };
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_check_result *check = NULL;
    fc_site *site = NULL;
    fc_status status = FC_ENOMEM;

    if (messages)
        status = fc_site_read_text(result->text, strlen(result->text),
                                   options->write, &site, messages);
    if (status == FC_OK)
        status = fc_check_with(site, &few, &check, messages);
    complain_messages(messages, status);
    if (status == FC_OK)
        *works = check->works;
    fc_check_result_free(check);
    fc_site_free(site);
    fc_diagnostics_free(messages);
    return status == FC_OK;
}

/* A file is written, and what check says of it where that is another
 * verdict. */
static void
say_written(const struct options *options, const fc_quick_result *result,
            fc_verdict works)
{
    static const char *const says[] = {
        [FC_CANNOT_TELL] = "cannot tell",
        [FC_WORKS] = "says that it works",
        [FC_WILL_NOT_WORK] = "says that it does not work",
    };
    const char *valves = result->valves == 1 ? "valve" : "valves";

    if (works == result->works)
        complain("%s is written, with %d %s", options->write, result->valves,
                 valves);
    else
        complain("%s is written, with %d %s; check %s: it judges by the "
                 "peak flow of the code, and by the file's ranges alone",
                 options->write, result->valves, valves, says[works]);
}

/* The report first, in memory, and the check of the file: nothing is written
 * where they cannot be made. */
static bool
report(const struct options *options, const fc_quick_result *result)
{
    struct output output;
    fc_report *report = NULL;
    fc_verdict works = FC_CANNOT_TELL;
    const fc_status status = fc_report_quick(result, &report);

    if (!output_compose(options, options->write, NULL, report, status,
                        &output))
        return false;
    if (options->write
        && (!check_text(options, result, &works)
            || !file_write_whole(options->write, result->text,
                                 strlen(result->text)))) {
        fc_free(output.text);
        return false;
    }
    if (!output_deliver(options, &output))
        return false;
    if (options->write)
        say_written(options, result, works);
    return true;
}

static int
run(const struct options *options)
{
    struct figures figures = { 0 };
    fc_quick_result *result = NULL;
    int status = STATUS_TROUBLE;

    if (find_figures(options, &figures))
        result = answer(options, &figures);
    if (result && report(options, result))
        status = status_of(worse_verdict(result->works, result->too_high));
    fc_quick_free(result);
    figures_free(&figures);
    return status;
}

static void
offer(const char *const *operands, size_t n, const struct completion *to)
{
    const fc_quick_key *keys;
    const size_t n_keys = fc_quick_keys(&keys);
    char word[40];

    for (size_t i = 0; i < n_keys; i++) {
        const size_t length = strlen(keys[i].key);
        size_t k = 0;

        while (k < n
               && (strncmp(operands[k], keys[i].key, length) != 0
                   || (operands[k][length] && operands[k][length] != '=')))
            k++;
        snprintf(word, sizeof word, "%s=", keys[i].key);
        if (k == n)
            complete_offer(to, word);
    }
}

const struct command command_quick = {
    .name = "quick",
    .operands = "KEY=VALUE...",
    .summary = "A first answer from a handful of figures, without a site file",
    .about =
        "Give what you know, in any order; without a figure, on a terminal, "
        "it asks:\n"
        "\n"
        "  main=52   static at the main or first gauge  still=45  static at "
        "the valve\n"
        "  up=16     height of the valve above that     need=25   its minimum "
        "flowing\n"
        "  one=20 two=9 three=5   pressure at the valve while 1, 2, 3 flush\n"
        "  valves=2  how many at once, of closet, blowout or urinal\n"
        "  length=60 size=1-1/4 pipe=\"copper L\"   the piping\n"
        "  flow=12, or gal=1 in=30   what the open line gives in 30 s\n"
        "  gal=3.5 flush=15          what a flush takes, and how long\n"
        "\n"
        "Bare figures are psi, ft, gal, gpm and seconds, a size inches, "
        "whatever --units\n"
        "is; others carry their unit (up=5m, 59oz). A range is 50..54.\n",
    .status = "Exit status: 0 the valve has what it requires; 1 it has not, "
              "or too much; 3 these\n"
              "figures cannot tell; 2 it could not be calculated.\n",
    .own = { OPTION_WRITE, "write a site file of these figures to FILE" },
    .options = OPTION_REPORT | OPTION_UNITS | OPTION_WRITE,
    .least = 0,
    .most = ANY_NUMBER,
    .offer = offer,
    .run = run,
};
