/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/fuzz/site.c -- a finished site, asked all. */
#include "fuzz/fuzz.h"
#include "report/check_shape.h"
#include "report/diagnose_shape.h"
#include "report/effects_report.h"
#include "report/path_shape.h"
#include "report/report.h"
#include "report/size_shape.h"
#include "report/verify_report.h"

#include <string.h>

const fc_check_options fuzz_options = { .threads = 1, .most_states = 300 };

/* ---- Commands ---------------------------------------------------------- */

static const char *
try_path_report(const fc_site *site, const struct fuzz_input *input,
                const fc_check_result *result)
{
    const size_t i = fuzz_pick(input, 'n') % result->n_fixtures;
    fc_report *report = NULL;
    fc_path *path = NULL;
    const char *broken;

    HOLDS(fc_path_find_with(site, result->fixtures[i].name, FC_EXISTING,
                            &fuzz_options, &path, NULL)
          == FC_OK);
    HOLDS(fc_report_path(site, result, path, true, &report) == FC_OK);
    broken = try_report(report, &fci_path_shape, input);
    fc_path_free(path);
    return broken;
}

static const char *
try_flush_report(const fc_site *site, const struct fuzz_input *input)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_flush_result *flushed = NULL;
    fc_report *report = NULL;
    const fc_status status =
        fc_flush(site, FC_EXISTING, NULL, SIZE_MAX, &flushed, messages);
    const char *broken = try_messages(status, messages);

    fc_diagnostics_free(messages);
    HOLDS((status == FC_OK) == (flushed != NULL));
    if (flushed && !broken
        && fc_report_flush(site, flushed, true, &report) == FC_OK)
        broken = try_report(report, &fci_flush_shape, input);
    fc_flush_result_free(flushed);
    return broken;
}

static const char *
try_effects_report(const fc_site *site, const struct fuzz_input *input)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_effects *effects = NULL;
    fc_report *report = NULL;
    const fc_status status = fc_effects_find(site, &effects, messages);
    const char *broken = try_messages(status, messages);

    fc_diagnostics_free(messages);
    HOLDS((status == FC_OK) == (effects != NULL));
    if (effects && !broken
        && fc_report_effects(site, effects, &report) == FC_OK)
        broken = try_report(report, &fci_effects_shape, input);
    fc_effects_free(effects);
    return broken;
}

static const char *
try_verify_report(const fc_site *site, const struct fuzz_input *input)
{
    const fc_verify_options few = { .draws = 20, .threads = 1 };
    fc_verify_result *verified = NULL;
    fc_report *report = NULL;
    const char *broken = NULL;

    if (fc_verify(site, &few, &verified, NULL) != FC_OK)
        return NULL;
    if (fc_report_verify(site, verified, &report) == FC_OK)
        broken = try_report(report, &fci_verify_shape, input);
    fc_verify_result_free(verified);
    return broken;
}

static const char *
try_diagnosis_report(const fc_site *site, const struct fuzz_input *input)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_diagnosis *diagnosis = NULL;
    fc_report *report = NULL;
    const fc_status status = fc_diagnose(site, NULL, &diagnosis, messages);
    const char *broken = try_messages(status, messages);

    fc_diagnostics_free(messages);
    HOLDS((status == FC_OK) == (diagnosis != NULL));
    if (diagnosis && !broken
        && fc_report_diagnosis(site, diagnosis, &report) == FC_OK)
        broken = try_report(report, &fci_diagnosis_shape, input);
    fc_diagnosis_free(diagnosis);
    return broken;
}

static const char *
try_remedies_report(const fc_site *site, const struct fuzz_input *input)
{
    const fc_size_options options = { .check = fuzz_options };
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_remedies *remedies = NULL;
    fc_report *report = NULL;
    const fc_status status =
        fc_remedies_find(site, &options, &remedies, messages);
    const char *broken = try_messages(status, messages);

    fc_diagnostics_free(messages);
    HOLDS((status == FC_OK) == (remedies != NULL));
    if (remedies && !broken
        && fc_report_remedies(site, remedies, &report) == FC_OK)
        broken = try_report(report, &fci_remedies_shape, input);
    fc_remedies_free(remedies);
    return broken;
}

/* The check that a sizing tells is that of the file that it writes. */
static const char *
try_sized(const fc_size_result *sized)
{
    fc_check_result *result = NULL;
    fc_site *site = NULL;
    char *text = NULL;
    const char *broken = NULL;

    if (fc_size_text(sized, NULL, &text, NULL) != FC_OK)
        return NULL;
    HOLDS(fuzz_read(text, strlen(text), "nowhere/site.ini", NULL, &site, NULL)
          == FC_OK);
    fc_free(text);
    HOLDS(fc_check_with(site, &fuzz_options, &result, NULL) == FC_OK);
    if (sized->feasible && result->works != FC_WORKS)
        broken = "sizes that are feasible work";
    if (sized->works != result->works && sized->found)
        broken = "the sizes have the verdict of their file";
    fc_check_result_free(result);
    fc_site_free(site);
    return broken;
}

static const char *
try_size_report(const fc_site *site, const struct fuzz_input *input)
{
    const fc_size_options options = { .check = fuzz_options,
                                      .most_points = 2000 };
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_size_result *sized = NULL;
    fc_report *report = NULL;
    const fc_status status = fc_size(site, &options, &sized, messages);
    const char *broken = try_messages(status, messages);

    fc_diagnostics_free(messages);
    HOLDS((status == FC_OK) == (sized != NULL));
    if (sized && !broken && fc_report_size(site, sized, &report) == FC_OK)
        broken = try_report(report, &fci_size_shape, input);
    if (sized && !broken && !fc_site_tables_digest(site))
        broken = try_sized(sized);
    fc_size_result_free(sized);
    return broken;
}

static const char *(*const commands[])(const fc_site *,
                                       const struct fuzz_input *) = {
    try_flush_report,     try_effects_report,  try_verify_report,
    try_diagnosis_report, try_remedies_report, try_size_report
};
#define N_COMMANDS (sizeof commands / sizeof *commands)

const char *
try_commands(const fc_site *site, const struct fuzz_input *input)
{
    const size_t which = fuzz_pick(input, 'c') % N_COMMANDS;
    size_t i;

    for (i = 0; i < N_COMMANDS; i++)
        if (fuzz_thorough || i == which)
            ALL_HOLD(commands[i](site, input));
    return NULL;
}

/* ---- A check ----------------------------------------------------------- */

static const char *
try_check_report(const fc_site *site, const struct fuzz_input *input,
                 const fc_check_result *result)
{
    fc_report *report = NULL;

    HOLDS(fc_report_check(site, result, NULL, &report) == FC_OK);
    return try_report(report, &fci_check_shape, input);
}

/* The first of them are asked of every building but large ones. */
enum oracle {
    PATHS,
    ALONE,
    AT_ONCE,
    CLAIMS,
    REPORTS,
    UNITS,
    LINES,
    SHORT,
    REWRITTEN,
    COMMANDS,
    ORACLES
};

static const char *
try_oracle(fc_site *site, const struct fuzz_input *input,
           const fc_check_result *result, enum oracle which)
{
    switch (which) {
    case PATHS:
        return try_paths(site, result);
    case ALONE:
        return try_alone(site, result);
    case AT_ONCE:
        return try_at_once(site, result, fuzz_pick(input, 'a'));
    case CLAIMS:
        return try_claims(site, result);
    case REPORTS:
        ALL_HOLD(try_check_report(site, input, result));
        return try_path_report(site, input, result);
    case UNITS:
        return try_units(site, result);
    case LINES:
        return input->changed ? NULL : try_sites(input, result);
    case SHORT:
        return try_short(site, result);
    case REWRITTEN:
        return try_rewritten(site);
    default:
        return try_commands(site, input);
    }
}

bool
fuzz_is_large(const fc_site *site)
{
    return fc_site_count(site) > 60;
}

static const char *
try_checked(fc_site *site, const struct fuzz_input *input,
            const fc_check_result *result)
{
    const int always = fuzz_is_large(site) ? 0 : REPORTS;
    const int one =
        always + (int)(fuzz_pick(input, 'o') % (unsigned)(ORACLES - always));
    int which;

    ALL_HOLD(try_result(result));
    for (which = 0; which < ORACLES; which++)
        if (fuzz_thorough || which < always || which == one)
            ALL_HOLD(try_oracle(site, input, result, (enum oracle)which));
    return NULL;
}

const char *
try_site(fc_site *site, const struct fuzz_input *input)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_check_result *result = NULL;
    const fc_status status =
        fc_check_with(site, &fuzz_options, &result, messages);
    const char *broken = try_messages(status, messages);

    fc_diagnostics_free(messages);
    fuzz_outcome.checked = status;
    fuzz_outcome.accepted = status == FC_OK;
    if (broken)
        return broken;
    if (status != FC_OK) {
        HOLDS((status == FC_EUNSUPPORTED || status == FC_EINPUT
               || status == FC_ENOCONV)
              && !result);
        return try_commands(site, input);
    }
    broken = try_checked(site, input, result);
    fc_check_result_free(result);
    return broken;
}
