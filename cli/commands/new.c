/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/commands/new.c -- `flushcalc new KEY=VALUE...`: a first site file. */
#include "commands/command.h"
#include "shell/ask.h"
#include "shell/complain.h"
#include "shell/output.h"

#include <stdlib.h>
#include <string.h>

static bool
try_answer(const struct question *question, const char *answer,
           fc_diagnostics *why)
{
    return fc_starter_try(question->key, answer, why) == FC_OK;
}

/* ---- Answers that were asked for --------------------------------------- */

/* What is typed, as operands of ask_operands(); NULL, and said. */
static char **
ask_all(size_t *n)
{
    const fc_starter_key *keys;
    const size_t n_keys = fc_starter_keys(&keys);
    struct question *questions = calloc(n_keys, sizeof *questions);
    char **operands = NULL;

    if (!questions) {
        complain_memory();
        return NULL;
    }
    for (size_t i = 0; i < n_keys; i++)
        questions[i] =
            (struct question){ keys[i].key, keys[i].asks, keys[i].may_be,
                               try_answer, keys[i].needed };
    operands = ask_operands(questions, n_keys, n);
    free(questions);
    return operands;
}

/* ---- The file ---------------------------------------------------------- */

static bool
write_starter(const struct options *options, const char *const *answers,
              size_t n)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    struct output output = { NULL, 0 };
    fc_status status = FC_ENOMEM;

    if (messages)
        status = fc_starter_text(answers, n, &output.text, messages);
    complain_messages(messages, status);
    fc_diagnostics_free(messages);
    if (status != FC_OK)
        return false;
    output.size = strlen(output.text);
    return output_deliver(options, &output);
}

static int
run(const struct options *options)
{
    const char *const *given = options->operands;
    size_t n = options->n_operands;
    char **asked = NULL;
    bool written;

    if (n == 0 && !ask_can()) {
        complain("new needs what is known of the building, such as stories=8; "
                 "see flushcalc new --help");
        return STATUS_TROUBLE;
    }
    if (n == 0) {
        asked = ask_all(&n);
        if (!asked)
            return STATUS_TROUBLE;
        given = (const char *const *)asked;
    }
    written = write_starter(options, given, n);
    if (asked)
        ask_free(asked, n);
    free(asked);
    return written ? STATUS_WORKS : STATUS_TROUBLE;
}

static void
offer(const char *const *operands, size_t n, const struct completion *to)
{
    const fc_starter_key *keys;
    const size_t n_keys = fc_starter_keys(&keys);
    char word[40];

    for (size_t i = 0; i < n_keys; i++) {
        const size_t length = strlen(keys[i].key);
        size_t k = 0;

        while (k < n
               && (strncmp(operands[k], keys[i].key, length) != 0
                   || operands[k][length] != '='))
            k++;
        if (k < n)
            continue;
        snprintf(word, sizeof word, "%s=", keys[i].key);
        complete_offer(to, word);
    }
}

const struct command command_new = {
    .name = "new",
    .operands = "KEY=VALUE...",
    .summary = "A first site file, from what is known of a building",
    .about =
        "A commented site file with typical floors, which check takes as it "
        "is. What is\n"
        "not given is a range of what is usual, or says \"assumed\". Without "
        "KEY=VALUE, on\n"
        "a terminal, it asks in turn. Quote what has blanks:\n"
        "\n"
        "  flushcalc new stories=8 floor=12ft closets=5 urinals=2 "
        "lavatories=4 \\\n"
        "    main=60psi 'flow-test=45 psi at 500 gpm' 'meter=2 in' "
        "backflow=rp >new.ini\n"
        "  flushcalc check new.ini\n"
        "\n"
        "Only stories is needed. The others:\n"
        "  title, floor (story height), batteries (toilet rooms on a floor), "
        "closets,\n"
        "  urinals, lavatories (on a floor), existing, retrofit (valves), "
        "main (static),\n"
        "  flow-test, tank (water level), pressure (constant), first-floor "
        "(over the\n"
        "  gauge), meter, backflow, booster, prv-zones, material, service, "
        "riser, branch\n"
        "  (sizes), code, units\n",
    .options = OPTION_OUTPUT,
    .makes_site = true,
    .most = ANY_NUMBER,
    .offer = offer,
    .run = run,
};
