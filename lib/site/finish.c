/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/finish.c -- finishing a site: settings, tables, and all the rest.
 */
#include "site/resolve.h"
#include "ground/diagnostics.h"
#include "laws/water.h"

#include <string.h>

#define DEFAULT_TEMPERATURE ((60.0 - 32.0) / 1.8) /* degC: 60 degF */

/* ---- Settings and tables ---------------------------------------------- */

/* The settings that stand on their own; the tables come later. */
static void
take_settings(fc_site *site)
{
    const fc_unit_system units = site->settings.units;
    size_t i;

    for (i = 0; i < site->n_parts; i++) {
        const struct fci_part *part = &site->parts[i];

        if (part->kind == FCI_SITE) {
            site->settings_part = part;
            memcpy(&site->settings, part->data, sizeof site->settings);
        } else if (part->kind == FCI_USAGE)
            memcpy(&site->usage, part->data, sizeof site->usage);
        else if (part->kind == FCI_TOLERANCE)
            memcpy(&site->tolerance, part->data, sizeof site->tolerance);
    }
    if (site->units_set)
        site->settings.units = units;
    if (!site->settings.water_temperature.given)
        site->settings.water_temperature = fc_exactly(DEFAULT_TEMPERATURE);
    site->water_weight =
        fci_water_weight(site->settings.water_temperature.nominal);
}

/* A tables file is looked for beside the site file. */
static fc_status
tables_path(fc_site *site, char **path)
{
    const char *name = site->settings.tables;

    *path = NULL;
    if (!name)
        return FC_OK;
    if (*name == '/' || !site->folder)
        *path = fci_arena_string(&site->arena, name);
    else
        *path = fci_arena_printf(&site->arena, "%s/%s", site->folder, name);
    return *path ? FC_OK : FC_ENOMEM;
}

static fc_status
take_tables(fc_site *site, fc_diagnostics *messages)
{
    const struct fci_limit *limit;
    char *path;
    fc_status status = tables_path(site, &path);

    site->tables_path = path;
    if (status == FC_OK && site->tables
        && !fci_tables_are_of(site->tables, path)) {
        fci_tables_free(site->tables);
        site->tables = NULL;
    }
    if (status == FC_OK && !site->tables)
        status = fci_tables_read(path, &site->tables, messages);
    if (status != FC_OK)
        return status;
    limit = fci_tables_limit(site->tables, "maximum static");
    if (!site->settings.maximum_static.given && limit)
        site->settings.maximum_static = fc_exactly(limit->pressure);
    return FC_OK;
}

/* ---- The whole -------------------------------------------------------- */

static void
needs_something(struct fci_resolve *r)
{
    const struct fci_part *first =
        r->site->n_parts ? &r->site->parts[0] : NULL;
    const char *path = first ? first->path : NULL;

    if (!path && r->site->ini)
        path = r->site->ini->path;
    if (r->site->n_doubtful > 0)
        return; /* one of those may be it */
    if (r->site->n_sources == 0)
        fci_resolve_note(r, fci_fail(r->messages, FC_EINPUT, path, 0,
                                     "the site has no source; a [source] is "
                                     "needed, such as a street main"));
    if (r->site->n_fixtures == 0)
        fci_resolve_note(r, fci_fail(r->messages, FC_EINPUT, path, 0,
                                     "the site has no fixture; a [fixture] is "
                                     "needed to be judged"));
}

static void
resolve_all(struct fci_resolve *r)
{
    static void (*const steps[])(struct fci_resolve *) = {
        fci_resolve_tolerance, fci_resolve_usual,   fci_resolve_lists,
        fci_resolve_tree,      fci_resolve_pipes,   fci_resolve_meters,
        fci_resolve_fixtures,  fci_resolve_heights, fci_resolve_loops,
        fci_resolve_curves,    fci_resolve_others,  fci_resolve_looks,
        fci_resolve_feed,      needs_something,     fci_resolve_beyond,
    };
    size_t i;

    for (i = 0; i < sizeof steps / sizeof *steps; i++) {
        if (r->worst == FC_ENOMEM)
            return;
        steps[i](r);
    }
}

/* For one part behind all others (see site/resolve_feed.c). */
static bool
keep_place(fc_site *site)
{
    struct fci_part *parts =
        fci_grow(site->parts, site->n_parts, &site->parts_room, sizeof *parts);

    if (!parts)
        return false;
    site->parts = parts;
    memset(&parts[site->n_parts], 0, sizeof *parts);
    return true;
}

/* What was refused may be anything: it is not looked at again. */
static fc_status
refuse_broken(const fc_site *site, fc_diagnostics *messages)
{
    return site->broken && !site->ini
               ? fci_fail(messages, FC_EINPUT, NULL, 0,
                          "a part of the site was refused when it was added; "
                          "a site without refused parts is needed")
               : FC_OK;
}

fc_status
fci_site_finish(fc_site *site, fc_diagnostics *messages)
{
    struct fci_resolve r = { site, messages, FC_OK, NULL, NULL, 0, 0 };
    fc_status status = refuse_broken(site, messages);

    if (status == FC_OK)
        status = fci_site_check_changed(site, messages);
    if (status != FC_OK)
        return status;
    if (!keep_place(site)) /* which may move all of them */
        return FC_ENOMEM;
    take_settings(site);
    status = take_tables(site, messages);
    if (status != FC_OK)
        return status;
    r.place_of =
        fci_arena_array(&site->arena, site->n_parts + 1, sizeof *r.place_of);
    if (!r.place_of)
        return FC_ENOMEM;
    resolve_all(&r);
    if (r.worst == FC_OK && site->broken)
        r.worst = FC_EINPUT; /* the reader has said why */
    site->finished = r.worst == FC_OK;
    return r.worst;
}
