/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/refuse.c -- what is refused, since it would have to be guessed. */
#include "check/refuse.h"
#include "ground/diagnostics.h"
#include "peak/flush_time.h"

#include <stdio.h>
#include <string.h>

static fc_status
refuse(const fc_site *site, enum fci_kind kind, const char *key,
       const char *what, fc_diagnostics *messages)
{
    fc_status status = FC_EUNSUPPORTED;
    size_t i;

    for (i = 0; i < site->n_parts; i++) {
        const struct fci_part *part = &site->parts[i];
        const fc_pipe *pipe = part->data;

        if (part->kind != kind
            || (kind == FCI_PIPE && strcmp(key, "to") == 0 && !pipe->to)
            || (kind == FCI_PIPE && strcmp(key, "size") == 0
                && !pipe->choose_size))
            continue;
        if (kind == FCI_PIPE && strcmp(key, "to") == 0)
            status = fci_part_fail(part, messages, key, "\"%.60s\" %s",
                                   pipe->to, what);
        else
            status = fci_part_fail(part, messages, key, "%s", what);
        break;
    }
    return status == FC_ENOMEM ? status : FC_EUNSUPPORTED;
}

static bool
chooses_sizes(const fc_site *site)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        if (site->elements[i].pipe
            && site->elements[i].pipe->given->choose_size)
            return true;
    return false;
}

fc_status
fci_refuse_no_tree(const fc_site *site, fc_diagnostics *messages)
{
    if (!site->finished)
        return fci_fail(messages, FC_ESTATE, NULL, 0,
                        "the site is not finished; a finished site is "
                        "expected");
    if (site->n_loops > site->n_pairs)
        return refuse(
            site, FCI_PIPE, "to",
            "closes a loop; pipes that branch out from one source are "
            "expected for a peak demand (\"flush\" calculates loops)",
            messages);
    if (site->n_sources > 1)
        return refuse(site, FCI_SOURCE, NULL,
                      "is one of several sources; one source is expected for "
                      "a peak demand (\"flush\" calculates several)",
                      messages);
    return FC_OK;
}

fc_status
fci_refuse_unsized(const fc_site *site, fc_diagnostics *messages)
{
    const fc_status status = fci_refuse_no_tree(site, messages);

    if (status != FC_OK || !chooses_sizes(site))
        return status;
    return refuse(site, FCI_PIPE, "size",
                  "is to be chosen; run flushcalc size, or give a nominal "
                  "size",
                  messages);
}

fc_status
fci_refuse_tank(const fc_site *site, const char *command,
                fc_diagnostics *messages)
{
    char what[160];

    if (!site->tank)
        return FC_OK;
    snprintf(what, sizeof what,
             "has a pressure that rises and falls, which %s does not follow; "
             "a source of one pressure is expected (check, flush, path, size "
             "and effects follow it)",
             command);
    return refuse(site, FCI_PRESSURE_TANK, NULL, what, messages);
}

/* By probability the rate and the volume of every flush valve count; a valve
 * that lacks one is named with the fixture that it is on. */
fc_status
fci_refuse_unknown_flush(const fc_site *site, fc_state state,
                         fc_diagnostics *messages)
{
    static const char *const keys[] = { "existing", "retrofit" };
    size_t i;

    if (site->settings.peak != FC_PROBABILITY)
        return FC_OK;
    for (i = 0; i < site->n_fixtures; i++) {
        const struct fci_fixture *fixture = &site->fixtures[i];
        const char *lacks = fci_flush_lacks(fixture, state);
        const fc_valve *valve = fixture->valve[state];

        if (!fixture->kind->flushes || !lacks)
            continue;
        if (!valve)
            return fci_part_fail(fixture->part, messages, "existing",
                                 "names no valve; a valve with \"flow\" and "
                                 "\"full flush\" is expected for peak "
                                 "demand by probability");
        return fci_part_fail(
            fixture->part, messages,
            fixture->converted ? keys[state] : keys[FC_EXISTING],
            "\"%.60s\" has no \"%s\", without which the peak demand by "
            "probability is not known; it is expected in [valve %.60s]",
            valve->name, lacks, valve->name);
    }
    return FC_OK;
}
