/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/variants/copy.c -- a copy of a site, which may be changed, or gone back
 * to. */
#include "ground/diagnostics.h"
#include "ground/call.h"
#include "variants/change.h"

#include <string.h>

/* All parts of one file share one copy of its path. */
struct path {
    const char *from, *copy;
};

static fc_status
copy_path(struct path *path, const char **text, struct fci_arena *arena)
{
    if (!*text)
        return FC_OK;
    if (*text != path->from) {
        path->from = *text;
        path->copy = fci_arena_string(arena, *text);
    }
    *text = path->copy;
    return *text ? FC_OK : FC_ENOMEM;
}

/* The part as it was given. */
static fc_status
copy_part(const fc_site *from, size_t i, fc_site *to, struct path *path)
{
    struct fci_part part = from->parts[i];
    const void *given = from->finished ? from->given[i] : part.data;

    part.data = fci_part_copy(part.kind, given, &to->arena);
    if (part.section)
        part.section = fci_section_copy(part.section, 0, &to->arena);
    if (!part.data || (from->parts[i].section && !part.section))
        return FC_ENOMEM;
    if (fci_part_kinds[part.kind].named)
        memcpy(&part.name, part.data, sizeof part.name);
    if (!part.name || !fci_part_kinds[part.kind].named)
        part.name = "";
    if (copy_path(path, &part.path, &to->arena) != FC_OK)
        return FC_ENOMEM;
    return fci_site_enter(to, &part, NULL);
}

/* What was set over the file, to be told. */
static fc_status
copy_set(const fc_site *from, fc_site *to)
{
    struct fci_arena *arena = &to->arena;
    struct fci_setting *set = fci_arena_array(arena, from->n_set, sizeof *set);
    size_t i;

    if (!set)
        return from->n_set > 0 ? FC_ENOMEM : FC_OK;
    for (i = 0; i < from->n_set; i++) {
        set[i] = from->set[i];
        set[i].part = fci_arena_string(arena, set[i].part);
        set[i].key = set[i].key ? fci_arena_string(arena, set[i].key) : NULL;
        set[i].value =
            set[i].value ? fci_arena_string(arena, set[i].value) : NULL;
        set[i].was = set[i].was ? fci_arena_string(arena, set[i].was) : NULL;
        set[i].text =
            set[i].text ? fci_arena_string(arena, set[i].text) : NULL;
    }
    to->set = set;
    to->n_set = from->n_set;
    return arena->failed ? FC_ENOMEM : FC_OK;
}

static fc_status
copy_all(const fc_site *from, fc_site *to)
{
    struct path path = { NULL, NULL };
    fc_status status = FC_OK;
    size_t i;

    for (i = 0; i < from->n_parts && status == FC_OK; i++)
        status = copy_part(from, i, to, &path);
    if (status == FC_OK && from->folder) {
        to->folder = fci_arena_string(&to->arena, from->folder);
        status = to->folder ? FC_OK : FC_ENOMEM;
    }
    if (status == FC_OK)
        status = copy_set(from, to);
    if (status == FC_OK && fc_site_digest(from)) {
        to->digest = fci_arena_string(&to->arena, fc_site_digest(from));
        status = to->digest ? FC_OK : FC_ENOMEM;
    }
    if (from->units_set)
        fc_site_set_units(to, from->settings.units);
    if (from->tables)
        to->tables = fci_tables_share(from->tables);
    to->broken = from->broken;
    return status;
}

fc_status
fc_site_copy(const fc_site *site, fc_site **copy, fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_GIVEN(site), FCI_GIVEN(copy)))
        return FC_EINPUT;

    fc_site *to;
    fc_status status;

    to = fc_site_new();
    status = to ? copy_all(site, to) : FC_ENOMEM;
    if (status == FC_OK)
        *copy = to;
    else
        fc_site_free(to);
    return status;
}

fc_status
fci_site_changed(const fc_site *site, const struct fci_change *changes,
                 size_t n, fc_site **changed, fc_diagnostics *messages)
{
    const size_t first = fc_diagnostics_count(messages);
    fc_site *copy = NULL;
    fc_status status;
    size_t i;

    if (!site->finished)
        return fci_fail(messages, FC_ESTATE, NULL, 0,
                        "the site is not finished; a finished one is needed");
    status = fc_site_copy(site, &copy, messages);
    for (i = 0; i < n && status == FC_OK; i++)
        status = fci_site_change(copy, &changes[i], messages);
    if (status == FC_OK)
        status = fci_site_finish(copy, messages);
    fci_failures_sort(messages, first);
    if (status == FC_OK)
        *changed = copy;
    else
        fc_site_free(copy);
    return status;
}

/* ---- Finishing -------------------------------------------------------- */

/* As it was kept.  Strings of it were lent, and live on. */
static void
go_back(fc_site *site, fc_site *kept)
{
    const fc_site failed = *site;

    *site = *kept;
    *kept = failed;
    fci_arena_join(&site->arena, &kept->arena);
}

fc_status
fc_site_finish(fc_site *site, fc_diagnostics *messages)
{
    fc_site *kept = NULL;
    fc_status status;

    if (FCI_REFUSES(messages, FCI_GIVEN(site)))
        return FC_EINPUT;
    if (site->finished)
        return fci_fail(messages, FC_ESTATE, NULL, 0,
                        "the site was finished before; it can be finished "
                        "once");
    status = fc_site_copy(site, &kept, messages);
    if (status == FC_OK)
        status = fci_site_finish(site, messages);
    if (status != FC_OK && kept)
        go_back(site, kept);
    fc_site_free(kept);
    return status;
}
