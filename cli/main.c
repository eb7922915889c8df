/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/main.c -- which command is meant, and whether it can be run. */
#include "commands/command.h"
#include "shell/nearest.h"
#include "shell/complain.h"
#include "commands/complete.h"
#include "shell/output.h"

#include <signal.h>
#include <stdlib.h>
#include <string.h>

static const struct command command_help;

static const struct command *const commands[] = {
    &command_check, &command_compare, &command_diagnose, &command_effects,
    &command_flush, &command_help,    &command_new,      &command_path,
    &command_quick, &command_size,    &command_tables,   &command_verify,
};
#define N_COMMANDS (sizeof commands / sizeof commands[0])

static const char general_help[] =
    "\n"
    "Every command takes --help; those that report also take these:\n";

static const char general_status[] =
    "SITE is a site file; - reads one from standard input.\n"
    "\n"
    "Exit status: 0 all works; 1 something will not work; 3 nothing\n"
    "fails, but these inputs cannot tell all of it; 2 it could not be "
    "calculated.\n";

static const char notice[] =
    "Copyright (C) 2026 the flushcalc authors\n"
    "License GPLv3+: GNU GPL version 3 or later "
    "<https://www.gnu.org/licenses/>.\n"
    "This is free software: you are free to change and redistribute it.\n"
    "There is NO WARRANTY, to the extent permitted by law.\n";

/* Their names, as many as N_COMMANDS. */
static void
name_commands(const char **names)
{
    for (size_t i = 0; i < N_COMMANDS; i++)
        names[i] = commands[i]->name;
}

/* What is said where a word is no command. */
static void
complain_unknown_command(const char *name)
{
    struct nearest nearest = { name, NULL, 0 };
    const char *names[N_COMMANDS];
    char list[256];
    size_t n;

    name_commands(names);
    for (size_t i = 0; i < N_COMMANDS; i++)
        nearest_try(&nearest, names[i]);
    n = words_begun(name, names, *name ? N_COMMANDS : 0);
    words_join(list, sizeof list, names, n, "", " or ");
    if (n == 1)
        nearest.best = names[0];
    if (n > 1)
        complain("there is no command \"%s\"; it could be %s; see flushcalc "
                 "--help",
                 name, list);
    else if (nearest.best)
        complain("there is no command \"%s\"; did you mean \"%s\"? See "
                 "flushcalc --help",
                 name, nearest.best);
    else {
        name_commands(names);
        words_join(list, sizeof list, names, N_COMMANDS, "", " and ");
        complain("there is no command \"%s\"; the commands are %s; see "
                 "flushcalc --help",
                 name, list);
    }
}

static const struct command *
find_command(const char *name)
{
    for (size_t i = 0; i < N_COMMANDS; i++)
        if (strcmp(commands[i]->name, name) == 0)
            return commands[i];
    complain_unknown_command(name);
    return NULL;
}

static void
write_general_help(FILE *out)
{
    char usage[512];

    options_text("flushcalc tells whether a building's cold-water supply can "
                 "serve its flush\n"
                 "valves, existing and after a retrofit.\n"
                 "\n",
                 out);
    for (size_t i = 0; i < N_COMMANDS; i++) {
        snprintf(usage, sizeof usage, "%s flushcalc %s %s%s\n           %s\n",
                 i == 0 ? "usage:" : "      ", commands[i]->name,
                 commands[i]->options ? "[OPTION]... " : "",
                 commands[i]->operands, commands[i]->summary);
        options_text(usage, out);
    }
    options_text(general_help, out);
    options_help(OPTION_REPORT | OPTION_UNITS | OPTION_SET, NULL, out);
    fputs("Without a command:\n", out);
    options_help(OPTION_ANYWHERE, NULL, out);
    options_text(general_status, out);
}

static void
write_command_help(const struct command *command, FILE *out)
{
    const unsigned common = OPTION_REPORT | OPTION_UNITS | OPTION_SET;

    char usage[512];

    snprintf(usage, sizeof usage, "usage: flushcalc %s %s%s\n\n%s\n\n",
             command->name, command->options ? "[OPTION]... " : "",
             command->operands, command->summary);
    options_text(usage, out);
    options_text(command->about, out);
    fputc('\n', out);
    options_help(command->options & ~common, &command->own, out);
    options_help(command->options & common, &command->own, out);
    options_help(OPTION_HELP, NULL, out);
    if (command->status) {
        fputc('\n', out);
        options_text(command->status, out);
    }
}

/* Help, of a command or of all; the version; or the schema of the JSON. */
static int
show(const struct options *options, const struct command *command)
{
    char *schema = NULL;

    if (options->given & OPTION_HELP && command)
        write_command_help(command, stdout);
    else if (options->given & OPTION_HELP)
        write_general_help(stdout);
    else if (options->given & OPTION_VERSION)
        printf("flushcalc %s\n%s", fc_version(), notice);
    else if ((schema = fc_report_schema()) != NULL)
        fputs(schema, stdout);
    else {
        complain_memory();
        return STATUS_TROUBLE;
    }
    fc_free(schema);
    return output_printed() ? STATUS_WORKS : STATUS_TROUBLE;
}

static int
run_help(const struct options *options)
{
    const struct options help = { .given = OPTION_HELP };
    const struct command *command = NULL;

    if (options->n_operands > 0) {
        command = find_command(options->operands[0]);
        if (!command)
            return STATUS_TROUBLE;
    }
    return show(&help, command);
}

static void
offer_commands(const char *const *operands, size_t n,
               const struct completion *to)
{
    (void)operands;
    for (size_t i = 0; n == 0 && i < N_COMMANDS; i++)
        complete_offer(to, commands[i]->name);
}

static const struct command command_help = {
    .name = "help",
    .operands = "[COMMAND]",
    .summary = "What a command does, and what it takes",
    .about = "The same as flushcalc COMMAND --help; without COMMAND, a line "
             "or two for each.\n",
    .most = 1,
    .offer = offer_commands,
    .run = run_help,
};

static bool
operands_fit(const struct options *options, const struct command *command)
{
    if (options->n_operands < command->least)
        complain("%s needs %s; see flushcalc %s --help", command->name,
                 options->n_operands == 0 ? "a site file" : "a fixture",
                 command->name);
    else if (options->n_operands > command->most)
        complain(
            "%s takes no further argument \"%s\"; see flushcalc %s --help",
            command->name, options->operands[command->most], command->name);
    else
        return true;
    return false;
}

static int
run(const struct options *options)
{
    const struct command *command = NULL;
    const char *names[N_COMMANDS];
    char list[256];

    if (options->command) {
        command = find_command(options->command);
        if (!command)
            return STATUS_TROUBLE;
    }
    if (options->given & (OPTION_HELP | OPTION_VERSION | OPTION_SCHEMA))
        return show(options, command);
    if (!command) {
        name_commands(names);
        words_join(list, sizeof list, names, N_COMMANDS, "", " or ");
        complain("a command is needed: %s; see flushcalc --help", list);
        return STATUS_TROUBLE;
    }
    if (!options_fit(options, command->options)
        || !operands_fit(options, command)
        || !output_keeps(options, command->makes_site))
        return STATUS_TROUBLE;
    return command->run(options);
}

int
main(int argc, char **argv)
{
    struct options options;
    int status = STATUS_TROUBLE;

    /* Writing tells of a reader that went away, and of a file that may not be
     * as large, whatever the host does. */
    signal(SIGPIPE, SIG_IGN);
    signal(SIGXFSZ, SIG_IGN);
    if (argc > 1 && strcmp(argv[1], "--complete") == 0)
        return complete_words(commands, N_COMMANDS, argv + 2,
                              (size_t)argc - 2);
    if (options_read(&options, argc, argv))
        status = run(&options);
    options_free(&options);
    return status;
}
