/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/commands/flush.c -- `flushcalc flush SITE FIXTURE[:N]...`. */
#include "commands/command.h"
#include "shell/load.h"
#include "shell/complain.h"
#include "commands/complete.h"
#include "shell/output.h"
#include "shell/progress.h"

#include <limits.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* What is to flush, as the library takes it. */
struct event {
    fc_flushing *flushing; /* NULL: every valve */
    char **names;          /* of which they are borrowed */
    size_t n;
};

static void
event_free(struct event *event)
{
    for (size_t i = 0; event->names && i < event->n; i++)
        free(event->names[i]);
    free(event->names);
    free(event->flushing);
}

/* How many, behind the colon; 0, and said, when it is no number from 1. */
static int
read_count(const char *word, const char *digits)
{
    unsigned long count = 0;

    if (strspn(digits, "0123456789") == strlen(digits))
        count = strtoul(digits, NULL, 10);
    if (count == 0)
        complain("\"%s\": after the colon goes how many of them flush, a "
                 "whole number from 1",
                 word);
    return count > INT_MAX ? INT_MAX : (int)count; /* that many nobody has */
}

/* FIXTURE or FIXTURE:N; a name holds no colon.  False, and said. */
static bool
read_flushing(const char *word, char **name, fc_flushing *flushing)
{
    size_t length = strcspn(word, ":");

    flushing->count = 0;
    if (length == 0) {
        complain("\"%s\" names no fixture", word);
        return false;
    }
    if (word[length]) {
        flushing->count = read_count(word, word + length + 1);
        if (flushing->count == 0)
            return false;
    }
    *name = strndup(word, length);
    flushing->fixture = *name;
    if (!*name)
        complain_memory();
    return *name != NULL;
}

/* False, and said. */
static bool
read_event(const struct options *options, struct event *event)
{
    size_t n = options->n_operands - 1;

    if (options->given & OPTION_ALL) {
        if (n > 0)
            complain("--all flushes every valve, so \"%s\" is not to be "
                     "named; see flushcalc flush --help",
                     options->operands[1]);
        event->n = SIZE_MAX;
        return n == 0;
    }
    if (n == 0) {
        complain("flush needs a fixture, or --all; see flushcalc flush "
                 "--help");
        return false;
    }
    event->names = calloc(n, sizeof *event->names);
    event->flushing = calloc(n, sizeof *event->flushing);
    if (!event->names || !event->flushing) {
        complain_memory();
        return false;
    }
    event->n = n;
    for (size_t i = 0; i < n; i++)
        if (!read_flushing(options->operands[i + 1], &event->names[i],
                           &event->flushing[i]))
            return false;
    return true;
}

static fc_status
solve(const struct loaded *site, fc_state state, const struct event *event,
      fc_flush_result **result, bool say)
{
    struct progress progress;
    const fc_flush_options how = { .progress = progress_show,
                                   .context = &progress };
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_status status = FC_ENOMEM;

    progress_start(&progress);
    if (messages)
        status = fc_flush_with(site->site, state, event->flushing, event->n,
                               &how, result, messages);
    progress_wipe(&progress);
    if (say || status != FC_ESTATE)
        complain_messages(messages, status);
    fc_diagnostics_free(messages);
    return status;
}

/* In the state that is asked for, or else after the retrofit, where there is
 * one.  False, and said. */
static bool
solve_in_state(const struct options *options, const struct loaded *site,
               const struct event *event, fc_flush_result **result)
{
    bool asked = options->given & OPTION_STATE;
    fc_state state = asked ? options->state : FC_RETROFIT;
    fc_status status = solve(site, state, event, result, state == FC_EXISTING);

    if (status == FC_ESTATE && !asked)
        status = solve(site, FC_EXISTING, event, result, true);
    else if (status == FC_ESTATE && state == FC_RETROFIT)
        complain_not_converted(site);
    return status == FC_OK;
}

static bool
report(const struct options *options, const struct loaded *site,
       const fc_flush_result *result)
{
    fc_report *report = NULL;
    const fc_status status = fc_report_flush(
        site->site, result, options->given & OPTION_ALL, &report);

    return output_report(options, site->path, report, status);
}

static int
run(const struct options *options)
{
    struct event event = { 0 };
    fc_flush_result *result = NULL;
    struct loaded *site = NULL;
    int status = STATUS_TROUBLE;

    if (read_event(options, &event))
        site = load_unchecked(options, options->operands);
    if (site && solve_in_state(options, site, &event, &result)
        && report(options, site, result))
        status = status_of(worse_verdict(result->enough, result->too_high));
    fc_flush_result_free(result);
    loaded_free(site);
    event_free(&event);
    return status;
}

const struct command command_flush = {
    .name = "flush",
    .operands = "SITE FIXTURE[:N]...",
    .summary = "What would every gauge read while these valves flush?",
    .about =
        "What a gauge would read at every fixture, and downstream of every "
        "element, while N\n"
        "valves of each FIXTURE flush at once (all of them where no N is "
        "given; \"wc-*\" is\n"
        "all fixtures that it matches), and beside it the static pressure, "
        "with nothing\n"
        "flushing. SITE is a site file; - reads standard input.\n",
    .status = "Exit status: 0 every valve that flushes keeps its minimum; 1 "
              "one is below it, or\n"
              "a fixture has too much; 3 these inputs cannot tell; 2 it could "
              "not be\n"
              "calculated.\n",
    .options =
        OPTION_REPORT | OPTION_UNITS | OPTION_SET | OPTION_STATE | OPTION_ALL,
    .least = 1,
    .most = ANY_NUMBER,
    .offer = complete_fixtures,
    .run = run,
};
