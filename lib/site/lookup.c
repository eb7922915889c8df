/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/lookup.c -- a fixture by its name. */
#include "ground/diagnostics.h"
#include "site/site.h"

#include <string.h>

/* Fixtures stand in the order of their parts. */
static size_t
place_of(const fc_site *site, const struct fci_part *part)
{
    size_t low = 0, high = site->n_fixtures;

    while (low < high) {
        const size_t middle = low + (high - low) / 2;

        if (site->fixtures[middle].part < part)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

/* "wc-2:1", where the name alone is meant. */
static bool
is_with_number(const fc_site *site, const char *name)
{
    char alone[100];
    const size_t n = strcspn(name, ":");
    size_t part;

    if (name[n] == '\0' || n >= sizeof alone)
        return false;
    memcpy(alone, name, n);
    alone[n] = '\0';
    part = fci_site_find_index(site, FCI_FIXTURE, alone);
    return part != FCI_NO_NAME && site->parts[part].kind == FCI_FIXTURE;
}

/* More of them would be long to read. */
#define FEW_FIXTURES 12

static const char *
fixture_at(const void *of, size_t i)
{
    return ((const struct fci_fixture *)of)[i].given->name;
}

static fc_status
unknown(const fc_site *site, const char *name, fc_diagnostics *messages)
{
    const struct fci_book book = { NULL, site->fixtures, site->n_fixtures,
                                   fixture_at, NULL };
    const char *nearest;

    if (is_with_number(site, name))
        return fci_fail(messages, FC_EUNKNOWN, NULL, 0,
                        "the site has no fixture \"%.60s\"; \"%.*s\" without "
                        "a number is expected here",
                        name, (int)strcspn(name, ":"), name);
    nearest = fci_book_nearest(&book, name);
    if (nearest)
        return fci_fail(
            messages, FC_EUNKNOWN, NULL, 0,
            "the site has no fixture \"%.60s\"; did you mean \"%s\"?", name,
            nearest);
    if (site->n_fixtures <= FEW_FIXTURES)
        return fci_fail(
            messages, FC_EUNKNOWN, NULL, 0,
            "the site has no fixture \"%.60s\"; %s", name,
            fci_book_names(&book, "one of these is expected: ").text);
    return fci_fail(messages, FC_EUNKNOWN, NULL, 0,
                    "the site has no fixture \"%.60s\"; the name of one of "
                    "its %zu fixtures is expected",
                    name, site->n_fixtures);
}

fc_status
fci_find_fixture_named(const fc_site *site, const char *name, size_t *fixture,
                       fc_diagnostics *messages)
{
    const size_t part = fci_site_find_index(site, FCI_FIXTURE, name);

    if (part == FCI_NO_NAME)
        return unknown(site, name, messages);
    if (site->parts[part].kind != FCI_FIXTURE)
        return fci_fail(messages, FC_EUNKNOWN, NULL, 0,
                        "\"%.60s\" is a %s; the name of a fixture is expected",
                        name, fci_part_kinds[site->parts[part].kind].word);
    *fixture = place_of(site, &site->parts[part]);
    return FC_OK;
}

fc_unit_system
fci_file_units(const fc_site *site)
{
    const fc_settings *settings =
        site->settings_part ? site->settings_part->data : NULL;

    return settings ? settings->units : FC_US;
}

const struct fci_part *
fci_price_part(const fc_site *site)
{
    for (size_t i = 0; i < site->n_parts; i++)
        if (site->parts[i].kind == FCI_FIX_PRICES)
            return &site->parts[i];
    return NULL;
}
