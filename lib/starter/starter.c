/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/starter/starter.c -- a first site file from a few answers. */
#include "flushcalc/starter.h"
#include "ground/call.h"
#include "ground/diagnostics.h"
#include "starter/starter.h"
#include "units/units.h"

#include <stdlib.h>
#include <string.h>

fc_status
fc_starter_try(const char *key, const char *value, fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_GIVEN(key), FCI_GIVEN(value)))
        return FC_EINPUT;

    struct fci_arena arena = { 0 };
    struct fci_answers a = { .stories = 0 };
    struct fci_tables *tables = NULL;
    const char *answer;
    fc_status status = fci_tables_read(NULL, &tables, messages);

    if (status == FC_OK) {
        answer = fci_arena_printf(&arena, "%s=%s", key, value);
        status = answer ? fci_answers_read(&answer, 1, false, tables, &arena,
                                           &a, messages)
                        : FC_ENOMEM;
    }
    fci_arena_free(&arena);
    fci_tables_free(tables);
    return status;
}

/* The text read as a site.  What the reader refuses is said without the lines
 * of a file that nobody has seen. */
static fc_status
read_back(const char *text, fc_site **site, fc_diagnostics *messages)
{
    fc_diagnostics *said = fc_diagnostics_new();
    fc_status status = FC_ENOMEM;
    size_t i;

    if (said)
        status = fc_site_read_text(text, strlen(text), "new", site, said);
    for (i = 0; status != FC_OK && status != FC_ENOMEM
                && i < fc_diagnostics_count(said);
         i++)
        status = fci_fail(messages, status, NULL, 0, "%s",
                          fc_diagnostics_at(said, i).text);
    fc_diagnostics_free(said);
    return status;
}

/* A pipe of no size that the material has would be invented. */
static fc_status
refuse_too_fast(const struct fci_answers *a,
                const struct fci_starter_sizes *sizes,
                fc_diagnostics *messages)
{
    const struct {
        const char *key;
        const struct fci_starter_size *size;
    } groups[] = { { "service", &sizes->service },
                   { "riser", &sizes->riser },
                   { "branch", &sizes->branch[0] } };
    size_t i;

    for (i = 0; i < sizeof groups / sizeof *groups; i++)
        if (groups[i].size->too_fast)
            return fci_fail(
                messages, FC_EINPUT, NULL, 0,
                "material %s has no size for the %s, %s at no more than %s; "
                "another material, or the size in place, such as %s=%s, is "
                "expected",
                a->material->head.name, groups[i].key,
                fci_show(a->units, FC_FLOW, groups[i].size->flow).text,
                fci_show(a->units, FC_VELOCITY, a->material->velocity_limit)
                    .text,
                groups[i].key, groups[i].size->size->label);
    return FC_OK;
}

/* Written without sizes, read, sized, and written with them. */
static fc_status
compose(const struct fci_answers *a, const struct fci_tables *tables,
        char **text, fc_diagnostics *messages)
{
    struct fci_starter_sizes sizes = { .boosted = 0 };
    char *unsized = NULL, *sized = NULL;
    fc_site *site = NULL;
    fc_status status = fci_starter_write(a, tables, NULL, &unsized);

    if (status == FC_OK)
        status = read_back(unsized, &site, messages);
    if (status == FC_OK)
        status = fci_starter_find_sizes(site, &sizes, messages);
    if (status == FC_OK)
        status = refuse_too_fast(a, &sizes, messages);
    if (status == FC_OK)
        status = fci_starter_write(a, tables, &sizes, &sized);
    fc_site_free(site);
    site = NULL;
    if (status == FC_OK)
        status = read_back(sized, &site, messages);
    fc_site_free(site);
    free(unsized);
    if (status == FC_OK)
        *text = sized;
    else
        free(sized);
    return status;
}

fc_status
fc_starter_text(const char *const *answers, size_t n, char **text,
                fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_ALL_TEXTS(answers, n), FCI_GIVEN(text)))
        return FC_EINPUT;

    struct fci_arena arena = { 0 };
    struct fci_answers a = { .stories = 0 };
    struct fci_tables *tables = NULL;
    fc_status status = fci_tables_read(NULL, &tables, messages);

    if (status == FC_OK)
        status =
            fci_answers_read(answers, n, true, tables, &arena, &a, messages);
    if (status == FC_OK)
        status = compose(&a, tables, text, messages);
    fci_arena_free(&arena);
    fci_tables_free(tables);
    return status;
}
