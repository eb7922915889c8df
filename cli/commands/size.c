/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/commands/size.c -- `flushcalc size SITE`, and with --remedy. */
#include "commands/command.h"
#include "shell/file.h"
#include "shell/folder.h"
#include "shell/load.h"
#include "shell/complain.h"
#include "shell/output.h"
#include "shell/progress.h"

#include <stdlib.h>
#include <string.h>

/* One of the two kinds of result; the other is NULL. */
struct solved {
    fc_size_result *sizes;
    fc_remedies *remedies;
};

static void
solved_free(struct solved *solved)
{
    fc_size_result_free(solved->sizes);
    fc_remedies_free(solved->remedies);
}

/* ---- Working it out ---------------------------------------------------- */

static bool
solve(const struct options *options, const struct loaded *site,
      struct solved *solved)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_size_options how = { .most_points = 0 };
    struct progress progress;
    fc_status status = FC_ENOMEM;

    how.check.seed = options->seed;
    how.check.threads = options->threads;
    how.check.one_ladder = load_is_brief(options);
    how.check.progress = progress_show;
    how.check.context = &progress;
    progress_start(&progress);
    if (messages && options->given & OPTION_REMEDY)
        status =
            fc_remedies_find(site->site, &how, &solved->remedies, messages);
    else if (messages)
        status = fc_size(site->site, &how, &solved->sizes, messages);
    progress_wipe(&progress);
    complain_messages(messages, status);
    fc_diagnostics_free(messages);
    return status == FC_OK;
}

/* ---- The site file that is written ------------------------------------ */

/* False, and said. */
static bool
pick_fits(const struct options *options)
{
    if (options->pick && !(options->write && options->given & OPTION_REMEDY)) {
        complain("--pick says which option to write; it needs --remedy and "
                 "--write");
        return false;
    }
    if (options->write && options->given & OPTION_REMEDY && !options->pick) {
        complain("--write needs --pick N, the number of the option to write; "
                 "see flushcalc size --help");
        return false;
    }
    return true;
}

/* The text that was asked for; NULL where none was.  False, and said. */
static bool
compose_site(const struct options *options, const struct solved *solved,
             char **text)
{
    const char *read = options->operands[0];
    fc_diagnostics *messages;
    fc_status status = FC_ENOMEM;
    char *folder;

    if (!options->write)
        return true;
    if (solved->sizes && !solved->sizes->found) {
        complain("no sizes work at peak, so %s is not written",
                 options->write);
        return true;
    }
    if (!folder_seen_from(options->write, strcmp(read, "-") == 0 ? NULL : read,
                          &folder))
        return false;
    messages = fc_diagnostics_new();
    if (messages && solved->remedies)
        status = fc_remedies_text(solved->remedies, options->pick - 1, folder,
                                  text, messages);
    else if (messages)
        status = fc_size_text(solved->sizes, folder, text, messages);
    complain_messages(messages, status);
    fc_diagnostics_free(messages);
    free(folder);
    return status == FC_OK;
}

/* ---- The report ------------------------------------------------------- */

static bool
compose(const struct options *options, const struct loaded *site,
        const struct solved *solved, struct output *output)
{
    fc_report *report = NULL;
    const fc_status status =
        solved->remedies
            ? fc_report_remedies(site->site, solved->remedies, &report)
            : fc_report_size(site->site, solved->sizes, &report);

    return output_compose(options, site->path, NULL, report, status, output);
}

/* What is in the file, on standard error: the report may be for a program. */
static void
say_written(const struct options *options, const struct solved *solved,
            const char *text)
{
    if (!text)
        return;
    if (solved->remedies)
        complain("%s is written, with option %zu%s", options->write,
                 (size_t)options->pick,
                 solved->remedies->remedies[options->pick - 1].reach
                         == FC_BY_UTILITY
                     ? ", which is not in your hands"
                     : "");
    else
        complain("%s is written, with the sizes chosen", options->write);
}

static bool
report(const struct options *options, const struct loaded *site,
       const struct solved *solved)
{
    struct output output = { NULL, 0 };
    char *text = NULL;
    bool done = false;

    if (!compose_site(options, solved, &text))
        return false;
    if (compose(options, site, solved, &output)) {
        if (text && !file_write_whole(options->write, text, strlen(text))) {
            fc_free(output.text);
        } else {
            say_written(options, solved, text);
            done = output_deliver(options, &output);
        }
    }
    free(text);
    return done;
}

static int
status_of_solved(const struct solved *solved)
{
    if (!solved->remedies)
        return status_of(solved->sizes->check ? worse_verdict(
                             solved->sizes->works, solved->sizes->too_high)
                                              : solved->sizes->works);
    if (solved->remedies->works == FC_WORKS
        && solved->remedies->too_high == FC_WORKS)
        return STATUS_WORKS;
    if (solved->remedies->check->n_contradictions > 0)
        return STATUS_CANNOT_TELL;
    if (solved->remedies->untested && solved->remedies->n_remedies == 0)
        return status_of(FC_CANNOT_TELL);
    for (size_t i = 0; i < solved->remedies->n_remedies; i++)
        if (solved->remedies->remedies[i].works
            && solved->remedies->remedies[i].reach == FC_IN_REACH
            && solved->remedies->remedies[i].too_high == FC_WORKS)
            return status_of(solved->remedies->untested ? FC_CANNOT_TELL
                                                        : FC_WORKS);
    return STATUS_WILL_NOT_WORK;
}

static int
run(const struct options *options)
{
    struct solved solved = { NULL, NULL };
    struct loaded *site = NULL;
    int status = STATUS_TROUBLE;

    if (pick_fits(options))
        site = load_unchecked(options, options->operands);
    if (site && solve(options, site, &solved)
        && report(options, site, &solved))
        status = status_of_solved(&solved);
    solved_free(&solved);
    loaded_free(site);
    return status;
}

const struct command command_size = {
    .name = "size",
    .operands = "SITE",
    .summary =
        "Which pipe sizes work at the lowest cost, or what fixes a building?",
    .about =
        "Every pipe with \"size = choose\" gets one of its material's "
        "sizes: of all\n"
        "combinations that give every fixture its pressure at peak, "
        "existing and after\n"
        "retrofit, one at the lowest cost, and check judges the building "
        "with them. With\n"
        "--remedy each option that may fix a building is calculated "
        "instead: pipes to\n"
        "replace, pressures, losses, valves. SITE is a site file; - reads "
        "standard input.\n",
    .status = "Exit status: 0 there are such sizes, or an option works or "
              "none is needed; 1\n"
              "there is none, or too much pressure remains; 3 cannot tell; 2 "
              "it could not be\n"
              "calculated.\n",
    .options = OPTION_REPORT | OPTION_UNITS | OPTION_SET | OPTION_SEED
               | OPTION_THREADS | OPTION_WRITE | OPTION_REMEDY | OPTION_PICK,
    .least = 1,
    .most = 1,
    .run = run,
};
