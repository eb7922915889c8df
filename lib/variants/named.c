/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/variants/named.c -- the parts of a site by their names: listed, changed
 * and read back. */
#include "ground/diagnostics.h"
#include "ground/call.h"
#include "ground/synonyms.h"
#include "variants/change.h"
#include "variants/part_text.h"

#include <stdlib.h>
#include <string.h>

/* ---- Names ------------------------------------------------------------ */

/* What a caller's name means.  "site": the section of that kind; "valve
 * closet": one of a kind; "riser-3": an element or a fixture. */
struct named {
    enum fci_kind kind;
    const char *name;
    size_t part; /* FCI_NO_NAME: the site has none */
};

static bool
is_of_kind(const fc_site *site, const char *text, struct named *named)
{
    const char *space = strrchr(text, ' ');
    const size_t n = space ? (size_t)(space - text) : strlen(text);
    const struct fci_part_kind *k;
    char word[FCI_PLAIN_WORDS];
    enum fci_kind kind;

    if (n >= sizeof word)
        return false;
    memcpy(word, text, n);
    word[n] = '\0';
    kind = fci_part_kind_of(word);
    if (kind == FCI_KINDS)
        return false;
    k = &fci_part_kinds[kind];
    if (k->named != (space != NULL))
        return false;
    named->kind = kind;
    named->name = k->named ? space + 1 : "";
    named->part = fci_site_find_index(site, kind, named->name);
    if (named->part != FCI_NO_NAME && site->parts[named->part].kind != kind)
        named->part = FCI_NO_NAME;
    return named->part != FCI_NO_NAME || !k->named;
}

/* FC_EUNKNOWN, said: nothing has that name. */
static fc_status
find_named(const fc_site *site, const char *text, struct named *named,
           fc_diagnostics *messages)
{
    struct fci_nearest nearest = fci_nearest_to(text);

    named->name = text;
    named->part = fci_site_find_index(site, FCI_PIPE, text);
    if (named->part != FCI_NO_NAME) {
        named->kind = site->parts[named->part].kind;
        return FC_OK;
    }
    if (is_of_kind(site, text, named))
        return FC_OK;
    fci_nearest_try_names(&nearest, &site->names[FCI_PIPE]);
    if (fci_nearest_word(&nearest))
        return fci_fail(
            messages, FC_EUNKNOWN, NULL, 0,
            "\"%.60s\" is not a part of the site; did you mean \"%s\"?", text,
            fci_nearest_word(&nearest));
    return fci_fail(
        messages, FC_EUNKNOWN, NULL, 0,
        "\"%.60s\" is not a part of the site; the name of an element or a "
        "fixture is expected, or a kind and a name, such as valve closet",
        text);
}

/* ---- Changing --------------------------------------------------------- */

fc_status
fc_site_change(fc_site *site, const char *name, const char *key,
               const char *value, fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_GIVEN(site), FCI_GIVEN(name),
                    FCI_GIVEN(key)))
        return FC_EINPUT;

    struct named named;
    struct fci_change change = { .key = key, .value = value };
    fc_status status;

    if (site->finished)
        return fci_fail(messages, FC_ESTATE, NULL, 0,
                        "the site is finished; a copy of it may be changed");
    status = find_named(site, name, &named, messages);
    if (status == FC_OK) {
        change.kind = named.kind;
        change.name = named.name;
        status = fci_site_change(site, &change, messages);
    }
    if (status == FC_OK)
        site->parts[fci_site_find_index(site, named.kind, named.name)]
            .as_file = true;
    if (status != FC_OK)
        site->broken = true;
    return status;
}

/* ---- Reading back ----------------------------------------------------- */

size_t
fc_site_count(const fc_site *site)
{
    return site ? site->n_parts : 0;
}

/* What it has as "from" or "on", or as "beside" in place of it; NULL: nothing
 * feeds it. */
static const char *
fed_by(const struct fci_part *part)
{
    const struct fci_part_kind *kind = &fci_part_kinds[part->kind];
    const char *text;
    size_t i;

    for (i = 0; i < kind->n_fields; i++)
        if (strcmp(kind->fields[i].key, "from") == 0
            || strcmp(kind->fields[i].key, "beside") == 0
            || strcmp(kind->fields[i].key, "on") == 0) {
            memcpy(&text, (const char *)part->data + kind->fields[i].offset,
                   sizeof text);
            if (text)
                return text;
        }
    return NULL;
}

fc_site_part
fc_site_part_at(const fc_site *site, size_t i)
{
    static const fc_site_part none = { .kind = "", .name = "" };

    if (!site || i >= site->n_parts)
        return none;

    const struct fci_part *part = &site->parts[i];
    const fc_site_part out = { .kind = fci_part_kinds[part->kind].word,
                               .name = part->name,
                               .from = fed_by(part),
                               .typical =
                                   part->section && part->section->typical };

    return out;
}

/* The values of a part as a site file would have them; those that a tolerance
 * widened stand as they were given. */
static fc_status
section_of(const fc_site *site, size_t i, struct fci_arena *arena,
           struct fci_section **section, fc_diagnostics *messages)
{
    const void *given = site->finished ? site->given[i] : site->parts[i].data;

    return fci_part_section(&site->parts[i], given, site->settings.units,
                            arena, section, messages);
}

fc_status
fc_site_value(const fc_site *site, const char *name, const char *key,
              char **value, fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_GIVEN(site), FCI_GIVEN(name), FCI_GIVEN(key),
                    FCI_GIVEN(value)))
        return FC_EINPUT;

    struct fci_arena arena = { 0 };
    struct fci_section *section = NULL;
    const struct fci_entry *entry = NULL;
    struct named named;
    char *text = NULL;
    fc_status status = find_named(site, name, &named, messages);

    if (status == FC_OK && named.part != FCI_NO_NAME)
        status = section_of(site, named.part, &arena, &section, messages);
    if (status == FC_OK && section)
        entry = fci_section_entry(
            section, fci_fields_key(fci_part_kinds[named.kind].fields,
                                    fci_part_kinds[named.kind].n_fields, key));
    if (entry) {
        text = strdup(entry->value);
        status = text ? FC_OK : FC_ENOMEM;
    }
    if (status == FC_OK)
        *value = text;
    fci_arena_free(&arena);
    return status;
}
