/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/variants/read_site.c -- a site file becomes a site, as it is, with what
 * is set over it, or as one of its cases. */
#include "ground/diagnostics.h"
#include "ground/call.h"
#include "site/reader.h"
#include "variants/setting.h"

#include <stdlib.h>
#include <string.h>

/* What is read, and what is put over it. */
struct source {
    const char *path, *text; /* `text` NULL: the file itself */
    size_t length;
    struct fci_tables *tables; /* that others share; NULL: none */
    const fc_site *from;       /* what is set over it already; NULL: nothing */
    const char *const *settings;
    size_t n_settings;
    size_t nth_case; /* FCI_NONE: none */
    bool *unread;    /* becomes whether something was not understood; NULL */
};

const struct fci_section *
fci_case_at(const fc_site *site, size_t i)
{
    for (size_t k = 0; site && site->ini && k < site->ini->n_sections; k++)
        if (fci_is_case(&site->ini->sections[k]) && i-- == 0)
            return &site->ini->sections[k];
    return NULL;
}

/* ---- What is set ------------------------------------------------------ */

static fc_status
repeat_settings(struct fci_settings *settings, const fc_site *from)
{
    for (size_t i = 0; i < from->n_set; i++) {
        struct fci_setting *grown, *to;

        if (from->set[i].implied)
            continue; /* the one that it goes with is repeated */
        grown = fci_grow(settings->list, settings->n, &settings->room,
                         sizeof *settings->list);
        if (!grown)
            return FC_ENOMEM;
        settings->list = grown;
        to = &grown[settings->n++];
        *to = from->set[i];
        to->part = fci_arena_string(settings->arena, to->part);
        to->was = NULL;
        to->differs = false;
        if (to->key)
            to->key = fci_arena_string(settings->arena, to->key);
        if (to->value)
            to->value = fci_arena_string(settings->arena, to->value);
        if (to->text)
            to->text = fci_arena_string(settings->arena, to->text);
    }
    return settings->arena->failed ? FC_ENOMEM : FC_OK;
}

static fc_status
gather_settings(struct fci_settings *settings, const fc_site *site,
                const struct source *source, fc_diagnostics *messages)
{
    fc_status status = FC_OK, worst = FC_OK;

    if (source->from)
        worst = repeat_settings(settings, source->from);
    if (worst == FC_OK && source->nth_case != FCI_NONE)
        worst =
            fci_settings_of_case(settings, fci_case_at(site, source->nth_case),
                                 site->ini->path, messages);
    for (size_t i = 0; i < source->n_settings && worst != FC_ENOMEM; i++) {
        status = fci_settings_of_text(settings, source->settings[i], messages);
        worst = status != FC_OK ? status : worst;
    }
    return worst;
}

/* They are kept by the site, to be told. */
static fc_status
put_settings(fc_site *site, struct fci_settings *settings,
             fc_diagnostics *messages)
{
    const fc_status status =
        settings->n > 0 ? fci_settings_put(settings, site->ini, messages)
                        : FC_OK;

    if (status == FC_ENOMEM || settings->n == 0)
        return status;
    site->set = fci_arena_copy(&site->arena, settings->list,
                               settings->n * sizeof *settings->list);
    site->n_set = settings->n;
    return site->set ? status : FC_ENOMEM;
}

/* ---- Reading ---------------------------------------------------------- */

static fc_status
read_ini(struct fci_ini *ini, const struct source *source,
         fc_diagnostics *messages)
{
    return source->text ? fci_ini_read_text(ini, source->text, source->length,
                                            source->path, messages)
                        : fci_ini_read_file(ini, source->path, messages);
}

static fc_status
read_over(fc_site *site, const struct source *source,
          struct fci_settings *settings, fc_diagnostics *messages)
{
    fc_status status = read_ini(site->ini, source, messages), set;

    if (status != FC_OK && status != FC_EINPUT)
        return status;
    set = fci_reader_words(site, messages);
    if (set == FC_ENOMEM)
        return set;
    status = set != FC_OK ? set : status;
    set = gather_settings(settings, site, source, messages);
    if (set != FC_ENOMEM) {
        const fc_status put = put_settings(site, settings, messages);

        set = put != FC_OK ? put : set;
    }
    if (set == FC_ENOMEM)
        return set;
    site->unclear = set != FC_OK; /* what is missing may have been set */
    return fci_reader_site(site, set != FC_OK ? set : status, messages);
}

/* What a caller asked for, and what was read already. */
static void
take_over(fc_site *site, const struct source *source)
{
    struct fci_tables *tables =
        source->from ? source->from->tables : source->tables;

    if (source->from && source->from->units_set)
        fc_site_set_units(site, source->from->settings.units);
    if (tables)
        site->tables = fci_tables_share(tables);
}

/* What is said of settings gets their text in place of a path. */
static fc_status
read_source(const struct source *source, fc_site **site,
            fc_diagnostics *messages)
{
    fc_site *made = fc_site_new();
    fc_diagnostics *said = fc_diagnostics_new();
    struct fci_settings settings = { 0 };
    fc_status status = FC_ENOMEM;

    if (made)
        made->ini = calloc(1, sizeof *made->ini);
    if (made && made->ini && said) {
        settings.arena = &made->arena;
        take_over(made, source);
        status = read_over(made, source, &settings, said);
        if (source->unread)
            *source->unread = made->unclear || made->unread;
        fci_failures_sort(said, 0);
        if (fci_settings_tell(&settings, said, messages) == FC_ENOMEM)
            status = FC_ENOMEM;
    }
    if (status == FC_OK)
        *site = made;
    else
        fc_site_free(made);
    fc_diagnostics_free(said);
    fci_settings_free(&settings);
    return status;
}

/* ---- Cases ------------------------------------------------------------ */

size_t
fc_site_cases(const fc_site *site)
{
    size_t n = 0;

    while (fci_case_at(site, n))
        n++;
    return n;
}

const char *
fc_site_case_name(const fc_site *site, size_t i)
{
    const struct fci_section *section = fci_case_at(site, i);

    return section ? section->name : NULL;
}

const char *
fc_site_case_title(const fc_site *site, size_t i)
{
    const struct fci_section *section = fci_case_at(site, i);
    const struct fci_entry *title =
        section ? fci_section_entry(section, "title") : NULL;

    return title ? title->value : NULL;
}

static struct source
case_of(const fc_site *site, size_t i, bool *unread)
{
    const struct source source = { .path = site->ini->path,
                                   .text = site->ini->text,
                                   .length = site->ini->length,
                                   .from = site,
                                   .nth_case = i,
                                   .unread = unread };

    return source;
}

fc_status
fc_site_case(const fc_site *site, size_t i, fc_site **changed,
             fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_GIVEN(site), FCI_GIVEN(changed)))
        return FC_EINPUT;
    if (!fci_case_at(site, i))
        return fci_fail(messages, FC_EUNKNOWN, NULL, 0,
                        "the file of the site has no case %zu; it has %zu", i,
                        fc_site_cases(site));

    const struct source source = case_of(site, i, NULL);

    return read_source(&source, changed, messages);
}

/* What is not understood in a case is an error of its file, whoever reads it.
 * One that is understood, but makes a building that cannot be calculated, is
 * told where the case is asked for. */
static fc_status
check_case(const fc_site *site, size_t i, fc_diagnostics *messages)
{
    bool unread = false;
    const struct source source = case_of(site, i, &unread);
    fc_site *changed = NULL;
    fc_status status = read_source(&source, &changed, NULL);

    if (status != FC_ENOMEM)
        status = unread ? read_source(&source, &changed, messages) : FC_OK;
    fc_site_free(changed);
    return status;
}

static fc_status
check_cases(const fc_site *site, fc_diagnostics *messages)
{
    fc_status status = FC_OK, worst = FC_OK;

    for (size_t i = 0; fci_case_at(site, i) && worst != FC_ENOMEM; i++) {
        status = check_case(site, i, messages);
        worst = status != FC_OK ? status : worst;
    }
    return worst;
}

/* ---- Calls ------------------------------------------------------------ */

static fc_status
read_checked(const struct source *source, fc_site **site,
             fc_diagnostics *messages)
{
    fc_site *made = NULL;
    fc_status status = read_source(source, &made, messages);

    if (status == FC_OK && made->n_set == 0)
        status = check_cases(made, messages);
    if (status == FC_OK)
        *site = made;
    else
        fc_site_free(made);
    return status;
}

fc_status
fci_read_site(struct fci_tables *tables, const char *path, const char *text,
              size_t length, const char *const *settings, size_t n,
              fc_site **site, fc_diagnostics *messages)
{
    const struct source source = { .path = path,
                                   .text = text,
                                   .length = length,
                                   .tables = tables,
                                   .settings = settings,
                                   .n_settings = n,
                                   .nth_case = FCI_NONE };

    return read_checked(&source, site, messages);
}

fc_status
fc_site_read(const char *path, fc_site **site, fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_GIVEN(path), FCI_GIVEN(site)))
        return FC_EINPUT;

    return fci_read_site(NULL, path, NULL, 0, NULL, 0, site, messages);
}

fc_status
fc_site_read_with(const char *path, const char *const *settings, size_t n,
                  fc_site **site, fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_GIVEN(path), FCI_GIVEN(site),
                    FCI_ALL_TEXTS(settings, n)))
        return FC_EINPUT;

    return fci_read_site(NULL, path, NULL, 0, settings, n, site, messages);
}

fc_status
fc_site_read_text(const char *text, size_t length, const char *name,
                  fc_site **site, fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_TEXT_OF(text, length), FCI_GIVEN(name),
                    FCI_GIVEN(site)))
        return FC_EINPUT;

    return fci_read_site(NULL, name, text ? text : "", length, NULL, 0, site,
                         messages);
}

fc_status
fc_site_read_text_with(const char *text, size_t length, const char *name,
                       const char *const *settings, size_t n, fc_site **site,
                       fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_TEXT_OF(text, length), FCI_GIVEN(name),
                    FCI_GIVEN(site), FCI_ALL_TEXTS(settings, n)))
        return FC_EINPUT;

    return fci_read_site(NULL, name, text ? text : "", length, settings, n,
                         site, messages);
}

fc_status
fc_site_with(const fc_site *site, const char *const *settings, size_t n,
             fc_site **changed, fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_GIVEN(site), FCI_GIVEN(changed),
                    FCI_ALL_TEXTS(settings, n)))
        return FC_EINPUT;

    struct source source = { .from = site,
                             .settings = settings,
                             .n_settings = n,
                             .nth_case = FCI_NONE };

    if (!site->ini)
        return fci_fail(messages, FC_ESTATE, NULL, 0,
                        "the site was not read from a file; a copy of it may "
                        "be changed");
    source.path = site->ini->path;
    source.text = site->ini->text;
    source.length = site->ini->length;
    return read_source(&source, changed, messages);
}

fc_status
fci_read_bare(const char *path, const char *text, size_t length,
              fc_site **site, fc_diagnostics *messages)
{
    const struct source source = {
        .path = path, .text = text, .length = length, .nth_case = FCI_NONE
    };

    return read_source(&source, site, messages);
}

fc_status
fci_site_bare(const fc_site *site, fc_site **bare)
{
    return fci_read_bare(site->ini->path, site->ini->text, site->ini->length,
                         bare, NULL);
}

size_t
fc_site_set_values(const fc_site *site)
{
    return site ? site->n_set : 0;
}

fc_set_value
fc_site_set_value_at(const fc_site *site, size_t i)
{
    static const fc_set_value none = { .part = "" };

    if (!site || i >= site->n_set)
        return none;

    const struct fci_setting *set = &site->set[i];
    const fc_set_value out = { .part = set->part,
                               .key = set->key,
                               .value = set->value,
                               .was = set->was,
                               .differs = set->differs,
                               .of_case = !set->text };

    return out;
}

static const char *
copy_of(const char *text, struct fci_arena *arena)
{
    return text ? fci_arena_string(arena, text) : NULL;
}

fc_set_value *
fci_set_values(const fc_site *site, struct fci_arena *arena, size_t *n)
{
    fc_set_value *values =
        site->n_set > 0 ? fci_arena_array(arena, site->n_set, sizeof *values)
                        : NULL;

    *n = site->n_set;
    for (size_t i = 0; values && i < site->n_set; i++) {
        values[i] = fc_site_set_value_at(site, i);
        values[i].part = copy_of(values[i].part, arena);
        values[i].key = copy_of(values[i].key, arena);
        values[i].value = copy_of(values[i].value, arena);
        values[i].was = copy_of(values[i].was, arena);
    }
    return arena->failed ? NULL : values;
}
