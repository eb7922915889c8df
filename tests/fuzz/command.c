/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/fuzz/command.c -- the command as it is typed, on a site from standard
 * input: its exit status and what it prints agree, with each other and with
 * the library.
 *
 * The environment variable FLUSHCALC names it; without there is nothing to
 * try.
 */
#include "fuzz/fuzz.h"

#include <jansson.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#define MOST_OUTPUT 4000000

/* What it printed, to each of the two. */
struct printed {
    char *text;
    size_t size;
};

/* ---- Running it -------------------------------------------------------- */

static void
become(char *const arguments[], int in, int out, int error)
{
    const char *command = getenv("FLUSHCALC");

    dup2(in, STDIN_FILENO);
    dup2(out, STDOUT_FILENO);
    dup2(error, STDERR_FILENO);
    execv(command ? command : "", arguments);
    _exit(127);
}

static FILE *
temporary(const char *text, size_t size)
{
    FILE *file = tmpfile();

    if (file && fwrite(text, 1, size, file) == size)
        rewind(file);
    return file;
}

static struct printed
read_back(FILE *file)
{
    struct printed printed = { malloc(MOST_OUTPUT + 1), 0 };

    rewind(file);
    if (!printed.text)
        abort();
    printed.size = fread(printed.text, 1, MOST_OUTPUT, file);
    printed.text[printed.size] = '\0';
    fclose(file);
    return printed;
}

/* The exit status; below 0: it did not exit. */
static int
run_command(char *const arguments[], const struct fuzz_input *input,
            struct printed *out, struct printed *error)
{
    FILE *in = temporary(input->text, input->site);
    FILE *files[2] = { temporary("", 0), temporary("", 0) };
    int status = -1;
    pid_t child;

    if (!in || !files[0] || !files[1])
        abort();
    child = fork();
    if (child == 0)
        become(arguments, fileno(in), fileno(files[0]), fileno(files[1]));
    if (child > 0)
        waitpid(child, &status, 0);
    fclose(in);
    *out = read_back(files[0]);
    *error = read_back(files[1]);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

/* ---- What is asked of it ----------------------------------------------- */

static const char *
try_texts(struct printed printed)
{
    char *at = printed.text, *end;

    HOLDS(strlen(printed.text) == printed.size);
    HOLDS(printed.size == 0 || printed.text[printed.size - 1] == '\n');
    for (; *at; at = end + 1) {
        end = strchr(at, '\n');
        *end = '\0';
        if (*at)
            ALL_HOLD(try_line(at));
    }
    return NULL;
}

static const char *
try_printed(int status, struct printed out, struct printed error, bool json,
            bool several)
{
    HOLDS(status >= 0 && status <= 3);
    /* of several buildings those are told that could be calculated */
    HOLDS((status == 2) == (out.size == 0) || several);
    HOLDS(status != 2 || error.size > 0);
    ALL_HOLD(try_texts(error));
    if (json && out.size > 0) {
        json_t *root =
            json_loadb(out.text, out.size, JSON_REJECT_DUPLICATES, NULL);

        HOLDS(root);
        json_decref(root);
        return NULL;
    }
    return try_texts(out);
}

/* What a check exits with, by the library. */
static int
status_by_library(const struct fuzz_input *input)
{
    fc_check_result *result = NULL;
    fc_site *site = NULL;
    int status = 2;

    if (fuzz_read(input->text, input->site, "-", NULL, &site, NULL) == FC_OK
        && fc_check(site, &result, NULL) == FC_OK)
        status = result->works == FC_WILL_NOT_WORK
                         || result->too_high == FC_WILL_NOT_WORK
                     ? 1
                 : result->works == FC_WORKS && result->too_high == FC_WORKS
                     ? 0
                     : 3;
    fuzz_outcome.accepted = status != 2;
    fc_check_result_free(result);
    fc_site_free(site);
    return status;
}

static char *const commands[][6] = {
    { "flushcalc", "check", "-", NULL },
    { "flushcalc", "check", "--full", "-", NULL },
    { "flushcalc", "check", "--format", "json", "-", NULL },
    { "flushcalc", "effects", "-", NULL },
    { "flushcalc", "verify", "-", NULL },
    { "flushcalc", "diagnose", "-", NULL },
    { "flushcalc", "size", "-", NULL },
    { "flushcalc", "compare", "-", NULL },
    { "flushcalc", "flush", "-", "all", NULL },
    { "flushcalc", "effects", "--format", "json", "-", NULL },
};
#define N_COMMANDS (sizeof commands / sizeof *commands)

static const char *
try_command(const struct fuzz_input *input, size_t which)
{
    struct printed out, error;
    const int status = run_command(commands[which], input, &out, &error);
    const bool json = strcmp(commands[which][2], "--format") == 0;
    const bool several = strcmp(commands[which][1], "compare") == 0;
    const char *broken = try_printed(status, out, error, json, several);

    free(out.text);
    free(error.text);
    if (!broken && strcmp(commands[which][1], "check") == 0
        && status != status_by_library(input))
        broken = "a check exits as the library judges";
    return broken;
}

const char *
fuzz_command_target(const struct fuzz_input *input)
{
    const size_t which = fuzz_pick(input, 'w') % N_COMMANDS;

    if (!getenv("FLUSHCALC"))
        return NULL;
    ALL_HOLD(try_command(input, which < 3 ? which : 0));
    return which < 3 ? NULL : try_command(input, which);
}
