/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/variants/change.h -- a site that differs from another in some keys. */
#ifndef FCI_VARIANTS_CHANGE_H
#define FCI_VARIANTS_CHANGE_H

#include "site/site.h"

/* One key of one part.  A part that the site does not have is added to it. */
struct fci_change {
    enum fci_kind kind;
    const char *name;  /* "" or NULL where the kind has none */
    const char *key;   /* "size"; NULL: the whole part, to be added */
    const char *value; /* as a site file has it, without quotes: "2-1/2 in";
                          NULL: the key is taken away, unless: */
    const void *data;  /* a struct of the kind, whose members for the key are
                          the value, instead of the text; NULL: none.
                          Prices take texts alone. */
};

/* A list of them under construction.  Start from { 0 }.  All that they name is
 * borrowed. */
struct fci_change_list {
    struct fci_change *changes;
    size_t n, room;
};

/* False when out of memory. */
bool fci_change_add(struct fci_change_list *list, enum fci_kind kind,
                    const char *name, const char *key, const char *value);
/* The same with the value as a struct has it: a figure stays what it is.  Only
 * what the key fills in is taken. */
bool fci_change_put(struct fci_change_list *list, enum fci_kind kind,
                    const char *name, const char *key, const void *data);
/* A part with all that its struct holds, the name too. */
bool fci_change_add_part(struct fci_change_list *list, enum fci_kind kind,
                         const void *data);
void fci_change_list_free(struct fci_change_list *list);

/* One change put into a site that is not finished.  Texts are read as in a
 * site file; the messages about a part that was changed have neither file nor
 * line.  What it must be by itself is seen to by fc_site_finish(). */
fc_status fci_site_change(fc_site *site, const struct fci_change *change,
                          fc_diagnostics *messages);

/* A finished copy of a finished site but for the changes.  `*changed` is kept
 * on failure, with the statuses of fc_site_copy(), fc_site_change() and
 * fc_site_finish(). */
fc_status fci_site_changed(const fc_site *site,
                           const struct fci_change *changes, size_t n,
                           fc_site **changed, fc_diagnostics *messages);

#endif
