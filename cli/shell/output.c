/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/output.c -- reports written whole or not at all. */
#include "shell/output.h"
#include "shell/complain.h"
#include "shell/file.h"
#include "shell/there.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <time.h>
#include <unistd.h>

#define LEAST_WIDTH 59
#define DEFAULT_WIDTH 79
#define MOST_WIDTH 131
#define QUOTE "'\\''" /* in single quotes */

static bool
to_terminal(const struct options *options)
{
    return !options->output && isatty(STDOUT_FILENO);
}

/* Whether a text may be colored. */
static bool
may_color(const struct options *options)
{
    const char *no_color = getenv("NO_COLOR");
    const char *term = getenv("TERM");

    return to_terminal(options) && (!no_color || !*no_color) && term && *term
           && strcmp(term, "dumb") != 0;
}

unsigned
terminal_columns(void)
{
    struct winsize size = { 0, 0, 0, 0 };

    return ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 1
               ? size.ws_col - 1U
               : 0;
}

/* Of a report; 0: no terminal. */
static unsigned
width_of(const struct options *options)
{
    unsigned columns;

    if (!to_terminal(options))
        return 0;
    columns = terminal_columns();
    if (columns == 0)
        return DEFAULT_WIDTH;
    return columns < LEAST_WIDTH  ? LEAST_WIDTH
           : columns > MOST_WIDTH ? MOST_WIDTH
                                  : columns;
}

/* A word as a shell takes it: what stands behind it. */
static char *
put_word(char *to, const char *word)
{
    static const char plain[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
                                "abcdefghijklmnopqrstuvwxyz"
                                "0123456789-_./=,:+@%";

    if (*word && word[strspn(word, plain)] == '\0')
        return stpcpy(to, word);
    *to++ = '\'';
    for (; *word; word++)
        if (*word == '\'')
            to = stpcpy(to, QUOTE);
        else
            *to++ = *word;
    *to++ = '\'';
    return to;
}

/* What makes the report again, to be freed; NULL: out of memory. */
static char *
command_of(const struct options *options)
{
    static const char name[] = "flushcalc";
    size_t size = sizeof name;
    char *text, *to;

    for (char **word = options->argv + 1; *word; word++)
        size += strlen(" ''") + strlen(QUOTE) * strlen(*word);
    text = malloc(size);
    if (!text)
        return NULL;
    to = stpcpy(text, name);
    for (char **word = options->argv + 1; *word; word++) {
        *to++ = ' ';
        to = put_word(to, *word);
    }
    *to = '\0';
    return text;
}

/* What a hand may have made, or gone on with, is not to be lost. */
bool
output_keeps(const struct options *options, bool site)
{
    const char *report = site ? NULL : options->output;
    const char *written = site ? options->output : options->write;

    if (report && written && there_is_same(report, written))
        complain("--write and --output name one file; two are expected");
    else if (written && there_is_text(written))
        complain("%s is there already, and what it holds would be lost; "
                 "another name is expected",
                 written);
    else if (report && there_is_sections(report))
        complain("--output would overwrite %s, which has sections as a site "
                 "file or a tables file has; another name is expected",
                 report);
    else
        return true;
    return false;
}

bool
output_compose(const struct options *options, const char *site,
               const char *made, fc_report *report, fc_status status,
               struct output *output)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    char *command = command_of(options);
    const fc_report_options how = {
        .site = site,
        .command = command,
        .made = made,
        .table = options->table,
        .width = width_of(options),
        .full = options->given & OPTION_FULL,
        .color = may_color(options),
        .terminal = to_terminal(options),
    };

    if (status == FC_OK)
        status = messages && command
                     ? fc_report_write(report, options->format, &how,
                                       &output->text, &output->size, messages)
                     : FC_ENOMEM;
    complain_messages(messages, status);
    fc_diagnostics_free(messages);
    free(command);
    fc_report_free(report);
    return status == FC_OK;
}

static bool
is_out(bool done)
{
    if (!done)
        complain("standard output cannot be written: %s", strerror(errno));
    return done;
}

bool
output_text(const char *text, size_t size)
{
    return is_out(file_write_all(STDOUT_FILENO, text, size)
                  && close(STDOUT_FILENO) == 0);
}

bool
output_printed(void)
{
    const bool failed = ferror(stdout);
    const bool done = fclose(stdout) == 0 && !failed;

    /* a reader that went away has seen all it wanted */
    return is_out(done || errno == EPIPE);
}

bool
output_deliver(const struct options *options, struct output *output)
{
    const bool written =
        options->output
            ? file_write_whole(options->output, output->text, output->size)
            : output_text(output->text, output->size);

    fc_free(output->text);
    return written;
}

bool
output_report(const struct options *options, const char *site,
              fc_report *report, fc_status status)
{
    struct output output;

    return output_compose(options, site, NULL, report, status, &output)
           && output_deliver(options, &output);
}

#define LAST_SECOND 253402300799ll /* of the year 9999 */

bool
output_date(char *text, size_t size)
{
    const char *set = getenv("SOURCE_DATE_EPOCH");
    char *end = NULL;
    struct tm when;
    time_t now = time(NULL);

    if (set && *set) {
        const long long seconds =
            *set >= '0' && *set <= '9' ? strtoll(set, &end, 10) : -1;

        if (seconds < 0 || seconds > LAST_SECOND || *end) {
            complain("SOURCE_DATE_EPOCH is \"%s\"; whole seconds since 1970 "
                     "are expected",
                     set);
            return false;
        }
        now = (time_t)seconds;
    }
    if (gmtime_r(&now, &when)
        && strftime(text, size, "%Y-%m-%d %H:%M UTC", &when) > 0)
        return true;
    complain("the date is not known");
    return false;
}
