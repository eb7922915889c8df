/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/variants/site_write.h -- a site as the text of a site file. */
#ifndef FCI_VARIANTS_SITE_WRITE_H
#define FCI_VARIANTS_SITE_WRITE_H

#include "variants/change.h"

/* The text of a site file that reads as the site with the changes does.  What
 * was read from a file stands in its order with its keys and values as they
 * were written; typical floors stay so where nothing of them is changed.
 * Comments tell what a changed value was; what is added comes at the end.
 * Comments of the file are not kept.  `heading`, of any number of lines, is
 * put before it all as a comment; NULL: none.
 *
 * `*text` is malloc'ed, and kept on failure.  Statuses as of
 * fci_site_changed(); FC_EINPUT too where a site made by calls holds what a
 * file has no way to put. */
fc_status fci_site_write_text(const fc_site *site,
                              const struct fci_change *changes, size_t n,
                              const char *heading, char **text,
                              fc_diagnostics *messages);

/* The same to be put into another folder, from which that of the site file, or
 * the working folder where it was none, is seen as `folder`: a relative
 * `tables` becomes one that starts from there.  NULL: the same folder. */
fc_status fci_site_write_elsewhere(const fc_site *site,
                                   const struct fci_change *changes, size_t n,
                                   const char *heading, const char *folder,
                                   char **text, fc_diagnostics *messages);

#endif
