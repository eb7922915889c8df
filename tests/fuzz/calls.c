/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/fuzz/calls.c -- a site built by calls: the parts of a file, some of
 * whose members are what no file could put there.
 *
 * A line "PART MEMBER WHAT" of the block says which, as numbers.
 */
#include "fuzz/fuzz.h"
#include "ini/field_type.h"
#include "site/site.h"

#include <math.h>
#include <stdalign.h>
#include <stdio.h>
#include <string.h>

#define LARGEST_PART 2048

/* ---- Members ----------------------------------------------------------- */

static void
odd_range(fc_range *range, unsigned what)
{
    const double x = range->given ? range->nominal : 1;
    const fc_range odd[] = {
        { 0 },
        { true, NAN, NAN, NAN },
        { true, INFINITY, INFINITY, INFINITY },
        { true, -x, -x, -x },
        { true, x, 2 * x, x / 2 },
        { true, 0, 0, 0 },
        { true, x, x / 2, 2 * x },
        { true, x / 2, x / 2, x },
        { true, 1e300, 1e300, 1e300 },
        { true, x, NAN, x },
        { true, 1e-300, 1e-300, 1e-300 },
        { true, x, -INFINITY, INFINITY },
    };

    *range = odd[what % (sizeof odd / sizeof *odd)];
}

static void
odd_text(const char **text, unsigned what)
{
    static char longest[5000];
    const char *const odd[] = {
        NULL,   "",        " ",    "a b",  "[x]",         "\xff\xfe",
        "a\nb", "{floor}", "main", "%n%s", "source main", longest,
    };

    memset(longest, 'x', sizeof longest - 1);
    *text = odd[what % (sizeof odd / sizeof *odd)];
}

static void
odd_member(char *part, const struct fci_field *field, unsigned what)
{
    char *at = part + field->offset;

    if (field->type == &fci_name_field || field->type == &fci_text_field)
        odd_text((const char **)(void *)at, what);
    else if (field->type == &fci_figure_field
             || field->type == &fci_range_field
             || field->type == &fci_price_field
             || field->type == &fci_height_field
             || field->type == &fci_size_or_choose_field
             || field->type == &fci_figure_at_field)
        odd_range((fc_range *)(void *)at, what);
    else if (field->type == &fci_choice_field
             || field->type == &fci_said_choice_field
             || field->type == &fci_yes_no_field
             || field->type == &fci_count_field) {
        static const int odd[] = { 0, 1, 2, 3, 4, -1, 99, 1000 };

        memcpy(at, &odd[what % 8], sizeof(int));
    } else if (field->type == &fci_loss_field)
        odd_range(&((fc_loss *)(void *)at)->pressure, what);
    else if (field->type == &fci_deviation_field)
        ((fc_deviation *)(void *)at)->amount = what % 2 ? NAN : -1;
    else if (field->type != &fci_skip_field && what % 2)
        *(void **)(void *)at = NULL;
}

/* ---- Calls ------------------------------------------------------------- */

static fc_status
add(fc_site *site, enum fci_kind kind, const void *data,
    fc_diagnostics *messages)
{
    switch (kind) {
    case FCI_SITE:
        return fc_site_set(site, data, messages);
    case FCI_SOURCE:
        return fc_site_add_source(site, data, messages);
    case FCI_PIPE:
        return fc_site_add_pipe(site, data, messages);
    case FCI_METER:
    case FCI_BACKFLOW:
    case FCI_DEVICE:
        return fc_site_add_device(site, data, messages);
    case FCI_REDUCER:
        return fc_site_add_reducer(site, data, messages);
    case FCI_PUMP:
        return fc_site_add_pump(site, data, messages);
    case FCI_PRESSURE_TANK:
        return fc_site_add_pressure_tank(site, data, messages);
    case FCI_FIXTURE:
        return fc_site_add_fixture(site, data, messages);
    case FCI_VALVE:
        return fc_site_add_valve(site, data, messages);
    case FCI_DEMAND:
        return fc_site_add_demand(site, data, messages);
    case FCI_PRICES:
        return fc_site_add_prices(site, data, messages);
    case FCI_HEATER:
        return fc_site_add_heater(site, data, messages);
    case FCI_FIX_PRICES:
        return fc_site_set_fix_prices(site, data, messages);
    case FCI_USAGE:
        return fc_site_set_usage(site, data, messages);
    case FCI_PEOPLE:
        return fc_site_add_people(site, data, messages);
    case FCI_READING:
        return fc_site_add_reading(site, data, messages);
    case FCI_CLAIM:
        return fc_site_add_claim(site, data, messages);
    case FCI_GAUGE:
        return fc_site_add_gauge(site, data, messages);
    case FCI_LOOK:
        return fc_site_add_look(site, data, messages);
    case FCI_FLOORS:
        return fc_site_set_floors(site, data, messages);
    default:
        return fc_site_set_tolerance(site, data, messages);
    }
}

static const char *
add_part(fc_site *site, const fc_site *from, size_t i,
         const struct fuzz_lines *calls, bool *refused)
{
    const struct fci_part_kind *kind = &fci_part_kinds[from->parts[i].kind];
    alignas(max_align_t) char part[LARGEST_PART];
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_status status;
    const char *broken;

    HOLDS(kind->size <= sizeof part);
    memcpy(part, from->given[i], kind->size);
    for (size_t k = 0; k < calls->n; k++) {
        unsigned of, member, what;

        if (sscanf(calls->lines[k], "%3u %3u %3u", &of, &member, &what) == 3
            && of % from->n_parts == i && kind->n_fields > 0)
            odd_member(part, &kind->fields[member % kind->n_fields], what);
    }
    status = add(site, from->parts[i].kind, part, messages);
    broken = try_messages(status, messages);
    fc_diagnostics_free(messages);
    if (broken)
        return broken;
    HOLDS(status == FC_OK || status == FC_EINPUT);
    *refused = *refused || status != FC_OK;
    return NULL;
}

static const char *
try_built(const struct fuzz_input *input, const fc_site *from)
{
    struct fuzz_input changed = *input;
    struct fuzz_lines calls;
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_site *site = fc_site_new();
    bool refused = false;
    const char *broken = NULL;
    fc_status status;

    changed.changed = true;
    site->tables = fci_tables_share(from->tables);
    fuzz_lines(input, "calls", &calls);
    for (size_t i = 0; i < from->n_parts && !broken; i++)
        broken = add_part(site, from, i, &calls, &refused);
    status = fc_site_finish(site, messages);
    if (!broken && !refused)
        broken = try_messages(status, messages);
    if (!broken && refused && status == FC_OK)
        broken = "a refused part keeps a site from being finished";
    if (!broken && status == FC_OK)
        broken = try_site(site, &changed);
    if (!broken && status == FC_OK && calls.n == 0
        && fc_site_units(site) == fc_site_units(from))
        broken = try_same(site, from);
    fc_diagnostics_free(messages);
    fc_site_free(site);
    return broken;
}

const char *
fuzz_calls_target(const struct fuzz_input *input)
{
    fc_site *from = NULL;
    const char *broken;

    if (fuzz_read(input->text, input->site, input->path, NULL, &from, NULL)
        != FC_OK)
        return NULL;
    broken = try_built(input, from);
    fc_site_free(from);
    return broken;
}
