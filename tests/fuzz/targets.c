/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/fuzz/targets.c -- one small target a surface. */
#include "fuzz/fuzz.h"
#include "report/report.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* ---- A site file, and the tables beside it ----------------------------- */

static const char *
read_with(const struct fuzz_input *input, const struct fuzz_lines *set,
          fc_site **site)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    const fc_status status =
        fuzz_read(input->text, input->site, input->path, set, site, messages);
    const char *broken = try_messages(status, messages);

    fc_diagnostics_free(messages);
    fuzz_outcome.read = status;
    if (broken)
        return broken;
    HOLDS(status == FC_OK || status == FC_EINPUT || status == FC_EIO);
    HOLDS((status == FC_OK) == (*site != NULL));
    return NULL;
}

static const char *
site_target(const struct fuzz_input *input)
{
    fc_site *site = NULL;
    const char *broken = read_with(input, NULL, &site);

    if (site && !broken)
        broken = try_site(site, input);
    fc_site_free(site);
    return broken;
}

/* A site that differs from the file's. */
static const char *
try_changed(fc_site *site, const struct fuzz_input *input)
{
    struct fuzz_input changed = *input;

    changed.changed = true;
    return try_site(site, &changed);
}

/* ---- What is set over it ----------------------------------------------- */

static const char *
try_set_later(const struct fuzz_input *input, const struct fuzz_lines *set,
              const fc_site *site)
{
    fc_site *bare = NULL, *later = NULL;
    const char *broken;

    if (fuzz_read(input->text, input->site, input->path, NULL, &bare, NULL)
        != FC_OK)
        return NULL;
    broken = fc_site_with(bare, set->lines, set->n, &later, NULL) == FC_OK
                 ? try_same(site, later)
                 : "what may be set at once may be set later";
    fc_site_free(later);
    fc_site_free(bare);
    return broken;
}

static const char *
set_target(const struct fuzz_input *input)
{
    struct fuzz_lines set;
    fc_site *site = NULL;
    const char *broken;

    fuzz_lines(input, "set", &set);
    broken = read_with(input, &set, &site);
    if (site && !broken && !fuzz_is_large(site))
        broken = try_set_later(input, &set, site);
    if (site && !broken)
        broken = try_changed(site, input);
    fc_site_free(site);
    return broken;
}

/* ---- Keys changed ------------------------------------------------------ */

/* "PART.KEY = VALUE" in its place; false: it is none. */
static bool
split_change(char *line, char **key, char **value)
{
    char *equals = strstr(line, " =");

    if (!equals)
        return false;
    *equals = '\0';
    *value = equals + 2;
    *value += **value == ' ';
    *key = strrchr(line, '.');
    if (!*key)
        return false;
    *(*key)++ = '\0';
    return true;
}

/* The value that a key has then is one that can be given. */
static const char *
try_value_back(fc_site *site, const char *name, const char *key)
{
    char *value = NULL, *again = NULL;
    fc_status status = fc_site_value(site, name, key, &value, NULL);
    const char *broken = NULL;

    HOLDS(status == FC_OK || status == FC_EINPUT);
    if (!value)
        return NULL;
    if (fc_site_change(site, name, key, value, NULL) != FC_OK)
        broken = "a value that is told is taken";
    else if (fc_site_value(site, name, key, &again, NULL) != FC_OK || !again
             || strcmp(value, again) != 0)
        broken = "a value that is told again is the same";
    fc_free(again);
    fc_free(value);
    return broken;
}

static const char *
try_change(fc_site *site, const char *name, const char *key, const char *value,
           bool *refused)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    const fc_status status =
        fc_site_change(site, name, key, *value ? value : NULL, messages);
    const char *broken = try_messages(status, messages);

    fc_diagnostics_free(messages);
    if (broken)
        return broken;
    HOLDS(status == FC_OK || status == FC_EUNKNOWN || status == FC_EINPUT);
    *refused = *refused || status != FC_OK;
    return status == FC_OK ? try_value_back(site, name, key) : NULL;
}

static const char *
try_finished(fc_site *site, const struct fuzz_input *input, bool refused)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    const fc_status status = fc_site_finish(site, messages);
    const char *broken = refused ? NULL : try_messages(status, messages);

    fc_diagnostics_free(messages);
    if (broken)
        return broken;
    HOLDS(!refused || status != FC_OK);
    HOLDS(status == FC_OK || status == FC_EINPUT || status == FC_EIO);
    return status == FC_OK ? try_changed(site, input) : NULL;
}

static const char *
change_target(const struct fuzz_input *input)
{
    struct fuzz_lines changes;
    fc_site *site = NULL, *copy = NULL;
    const char *broken = read_with(input, NULL, &site);
    bool refused = false;

    fuzz_lines(input, "change", &changes);
    if (broken || !site)
        return broken;
    if (fc_site_copy(site, &copy, NULL) != FC_OK)
        broken = "a site that is finished can be copied";
    fc_site_free(site); /* the copy borrows nothing */
    for (size_t i = 0; i < changes.n && !broken && !refused; i++) {
        char *line = changes.room + (changes.lines[i] - changes.room);
        char *key, *value;

        if (split_change(line, &key, &value))
            broken = try_change(copy, line, key, value, &refused);
    }
    if (!broken)
        broken = try_finished(copy, input, refused);
    fc_site_free(copy);
    return broken;
}

/* ---- Cases ------------------------------------------------------------- */

static const char *
try_building(const fc_site *site, const fc_compared_building *building)
{
    fc_check_result *result = NULL;
    const fc_status status = fc_check_with(site, &fuzz_options, &result, NULL);
    const char *broken = NULL;

    if (building->calculated != (status == FC_OK))
        broken = "a building is compared if it can be checked";
    else if (result
             && (result->works != building->works
                 || result->too_high != building->too_high))
        broken = "a building has the verdict of its check";
    fc_check_result_free(result);
    return broken;
}

static const char *
try_case(const fc_site *site, size_t i, const fc_compared_building *building)
{
    fc_site *of = NULL;
    const char *broken;

    if (fc_site_case(site, i, &of, NULL) != FC_OK) {
        HOLDS(!building->calculated && building->n_errors > 0);
        return NULL;
    }
    broken = try_building(of, building);
    fc_site_free(of);
    return broken;
}

static const char *
try_cases(const fc_site *site, const fc_comparison *comparison)
{
    const size_t n = fc_site_cases(site);

    HOLDS(comparison->n_buildings >= n + 1);
    ALL_HOLD(try_building(site, &comparison->buildings[0]));
    for (size_t i = 0; i < n && i < 4; i++)
        ALL_HOLD(try_case(site, i, &comparison->buildings[i + 1]));
    return NULL;
}

static const char *
cases_target(const struct fuzz_input *input)
{
    struct fuzz_lines set;
    fc_sites_options options = { .check = fuzz_options };
    const fc_site_file file = { .path = input->path,
                                .text = input->text,
                                .length = input->site };
    fc_comparison *comparison = NULL;
    fc_report *report = NULL;
    fc_site *site = NULL;
    const char *broken = read_with(input, NULL, &site);

    fuzz_lines(input, "set", &set);
    options.settings = set.lines;
    options.n_settings = set.n;
    if (!broken && fc_compare(&file, 1, &options, &comparison) != FC_OK)
        broken = "whatever there is can be compared";
    if (site && !broken) {
        fuzz_outcome.accepted = true;
        broken = try_cases(site, comparison);
    }
    if (!broken && fc_report_compare(comparison, &report) == FC_OK)
        broken = try_report(report, &fci_comparison_shape, input);
    fc_comparison_free(comparison);
    fc_site_free(site);
    return broken;
}

/* ---- Answers ----------------------------------------------------------- */

/* Its site file is never surer. */
static const char *
try_quick_site(const fc_quick_result *quick)
{
    fc_flushing set = { quick->flushing, quick->fixture };
    fc_flush_result *flushed = NULL;
    fc_site *site = NULL;
    fc_verdict enough;

    HOLDS(fuzz_read(quick->text, strlen(quick->text), "quick.ini", NULL, &site,
                    NULL)
          == FC_OK);
    if (quick->flushing <= quick->valves
        && fc_flush(site, FC_EXISTING, &set, 1, &flushed, NULL) == FC_OK) {
        enough = flushed->enough;
        fc_flush_result_free(flushed);
        fc_site_free(site);
        HOLDS(enough == FC_CANNOT_TELL || enough == quick->works);
        return NULL;
    }
    fc_site_free(site);
    return NULL;
}

static const char *
quick_target(const struct fuzz_input *input)
{
    struct fuzz_lines figures;
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_quick_result *quick = NULL, *other = NULL;
    fc_report *report = NULL;
    const char *broken;
    fc_status status;

    fuzz_lines(input, "quick", &figures);
    status = fc_quick(figures.lines, figures.n, FC_US, &quick, messages);
    broken = try_messages(status, messages);
    fc_diagnostics_free(messages);
    if (broken || status != FC_OK)
        return broken;
    fuzz_outcome.accepted = true;
    if (fc_quick(figures.lines, figures.n, FC_SI, &other, NULL) != FC_OK
        || other->works != quick->works || other->too_high != quick->too_high)
        broken = "a first answer is the same in both units";
    if (!broken)
        broken = try_quick_site(quick);
    if (!broken && fc_report_quick(quick, &report) == FC_OK)
        broken = try_report(report, &fci_quick_shape, input);
    fc_quick_free(other);
    fc_quick_free(quick);
    return broken;
}

static const char *
starter_target(const struct fuzz_input *input)
{
    struct fuzz_lines answers;
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_site *site = NULL;
    char *text = NULL;
    const char *broken;
    fc_status status;

    fuzz_lines(input, "starter", &answers);
    status = fc_starter_text(answers.lines, answers.n, &text, messages);
    broken = try_messages(status, messages);
    fc_diagnostics_free(messages);
    if (broken || status != FC_OK)
        return broken;
    if (fuzz_read(text, strlen(text), "nowhere/site.ini", NULL, &site, NULL)
        != FC_OK)
        broken = "a first site file is read";
    else {
        struct fuzz_input of = *input;

        of.text = text;
        of.site = of.length = strlen(text);
        broken = try_site(site, &of);
    }
    fc_site_free(site);
    fc_free(text);
    return broken;
}

/* ---- All --------------------------------------------------------------- */

static const char *const sites[] = { "tests/corpus", "tests/cases", "examples",
                                     NULL };
static const char *const tables[] = { "tests/corpus", "tables", NULL };
static const char *const none[] = { NULL };

const struct fuzz_target fuzz_targets[] = {
    { "site", "", "", sites, site_target },
    { "tables", "tables", "\n;;tables\n", tables, site_target },
    { "set", "set", "", sites, set_target },
    { "change", "change", "", sites, change_target },
    { "cases", "cases", "", sites, cases_target },
    { "calls", "calls", "", sites, fuzz_calls_target },
    { "command", "", "", sites, fuzz_command_target },
    { "quick", "quick", "", none, quick_target },
    { "starter", "starter", "", none, starter_target },
};
const size_t fuzz_n_targets = sizeof fuzz_targets / sizeof *fuzz_targets;

const struct fuzz_target *
fuzz_target_named(const char *name)
{
    for (size_t i = 0; i < fuzz_n_targets; i++)
        if (strcmp(fuzz_targets[i].name, name) == 0)
            return &fuzz_targets[i];
    return NULL;
}
