/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/resolve.c -- the names by which parts refer to each other. */
#include "site/resolve.h"

#include <string.h>

bool
fci_resolve_note(struct fci_resolve *r, fc_status status)
{
    if (status != FC_OK && r->worst != FC_ENOMEM)
        r->worst = status;
    return r->worst != FC_ENOMEM;
}

void
fci_resolve_refuse(struct fci_resolve *r, const struct fci_part *part,
                   const char *key, const char *word,
                   const struct fci_book *book, const char *unknown,
                   const char *expected)
{
    r->site->unread = true;
    fci_resolve_note(
        r,
        fci_part_fail(part, r->messages, key, "\"%.60s\" %s", word,
                      fci_book_refusal(book, word, unknown, expected).text));
}

size_t
fci_resolve_element(struct fci_resolve *r, const struct fci_part *part,
                    const char *key, const char *name)
{
    fc_site *site = r->site;
    size_t i;

    if (!name)
        return FCI_NONE;
    i = fci_site_find_index(site, FCI_PIPE, name);
    if (i == FCI_NO_NAME) {
        fci_resolve_note(r, fci_site_unknown(site, part, key, name, FCI_PIPE,
                                             "a pipe or other element",
                                             r->messages));
        return FCI_NONE;
    }
    if (!fci_is_element(site->parts[i].kind)) {
        fci_resolve_note(r, fci_part_fail(part, r->messages, key,
                                          "\"%.60s\" is a fixture; a pipe or "
                                          "other element is expected",
                                          name));
        return FCI_NONE;
    }
    if (site->parts[i].kind == FCI_REDUCER) {
        const fc_reducer *reducer = site->parts[i].data;

        if (reducer->beside && strcmp(key, "at") != 0
            && strcmp(key, "beside") != 0) {
            fci_resolve_note(
                r,
                fci_part_fail(part, r->messages, key,
                              "\"%.60s\" is beside \"%.60s\", by which both "
                              "go; \"%.60s\" is expected",
                              name, reducer->beside, reducer->beside));
            return FCI_NONE;
        }
    }
    if (site->parts[i].kind == FCI_PIPE) {
        const fc_pipe *pipe = site->parts[i].data;

        if (pipe->to
            && fci_site_find_index(site, FCI_PIPE, pipe->to) != FCI_NO_NAME) {
            fci_resolve_note(
                r, fci_part_fail(part, r->messages, key,
                                 "\"%.60s\" closes a loop; the element at "
                                 "its end, \"%.60s\", is expected",
                                 name, pipe->to));
            return FCI_NONE;
        }
    }
    return r->place_of[i];
}

size_t
fci_resolve_fixture(struct fci_resolve *r, const struct fci_part *part,
                    const char *key, const char *name)
{
    fc_site *site = r->site;
    size_t i;

    if (!name)
        return FCI_NONE;
    i = fci_site_find_index(site, FCI_FIXTURE, name);
    if (i == FCI_NO_NAME) {
        fci_resolve_note(r,
                         fci_site_unknown(site, part, key, name, FCI_FIXTURE,
                                          "a fixture", r->messages));
        return FCI_NONE;
    }
    if (site->parts[i].kind != FCI_FIXTURE) {
        fci_resolve_note(
            r, fci_part_fail(part, r->messages, key,
                             "\"%.60s\" is a %s; a fixture is "
                             "expected",
                             name, fci_part_kinds[site->parts[i].kind].word));
        return FCI_NONE;
    }
    return r->place_of[i];
}
