/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/change_sites.c -- sites with changes, written, and made by
 * calls. */
#include "generators/change_sites.h"
#include "variants/site_write.h"

fc_site *
changed_site(const fc_site *site, const struct fci_change *changes, size_t n)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_site *changed = NULL;
    const fc_status status =
        fci_site_changed(site, changes, n, &changed, messages);

    ck_assert_msg(status == FC_OK, "%s", all_messages(messages));
    ck_assert_uint_eq(fc_diagnostics_count(messages), 0);
    fc_diagnostics_free(messages);
    return changed;
}

char *
written(const fc_site *site, const struct fci_change *changes, size_t n,
        const char *heading)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    char *text = NULL;
    const fc_status status =
        fci_site_write_text(site, changes, n, heading, &text, messages);

    ck_assert_msg(status == FC_OK, "%s", all_messages(messages));
    fc_diagnostics_free(messages);
    return text;
}

fc_site *
read_written(const fc_site *site, const struct fci_change *changes, size_t n)
{
    char *text = written(site, changes, n, "one\n\ntwo");
    char path[1200];
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_site *read = NULL;

    snprintf(path, sizeof path, "%s/written.ini",
             site->folder ? site->folder : ".");
    ck_assert_msg(fc_site_read_text(text, strlen(text), path, &read, messages)
                      == FC_OK,
                  "%s%s", all_messages(messages), text);
    fc_diagnostics_free(messages);
    free(text);
    return read;
}

fc_site *
called_twin(const fc_site *site)
{
    fc_site *twin = fc_site_new();
    size_t i;

    ck_assert_ptr_nonnull(twin);
    for (i = 0; i < site->n_parts; i++) {
        struct fci_part part = site->parts[i];

        part.data = fci_part_copy(part.kind, site->given[i], &twin->arena);
        ck_assert_ptr_nonnull(part.data);
        part.section = NULL;
        part.path = NULL;
        part.name = fci_arena_string(&twin->arena, part.name);
        ck_assert_ptr_nonnull(part.name);
        ck_assert_int_eq(fci_site_keep(twin, &part, NULL), FC_OK);
    }
    ck_assert_int_eq(fc_site_finish(twin, NULL), FC_OK);
    return twin;
}
