/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/variants/change.h -- a site that differs from another in some keys. */
#ifndef FCI_VARIANTS_CHANGE_H
#define FCI_VARIANTS_CHANGE_H

#include "site/site.h"

/* One key of one part.  Parts that the site does not have are added to it, in
 * the order in which they come; the changes with one kind and name make up one
 * part. */
struct fci_change {
    enum fci_kind kind;
    const char *name;  /* "" or NULL where the kind has none */
    const char *key;   /* "size" */
    const char *value; /* as a site file has it, without quotes: "2-1/2 in";
                          NULL: the key is taken away */
};

/* A finished site like `site` but for the changes.  It borrows nothing from
 * `site`, which is not changed, but owns the tables together with it unless
 * they are changed.  Values are read as in a site file; the
 * messages about a part that was changed have neither file nor line.
 * FC_ESTATE: the site is not finished; otherwise as fc_site_read().
 * `*changed` is kept on failure. */
fc_status fci_site_changed(const fc_site *site,
                           const struct fci_change *changes, size_t n,
                           fc_site **changed, fc_diagnostics *messages);

#endif
