/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/variants/site_write.h -- a site as the text of a site file. */
#ifndef FCI_VARIANTS_SITE_WRITE_H
#define FCI_VARIANTS_SITE_WRITE_H

#include "variants/change.h"

/* The text of a site file that reads as the site with the changes does.  What
 * was read from a file stands as it did, byte for byte, comments and blank
 * lines too; a value that is changed is replaced where it stood, and a comment
 * behind it tells what it was.  A typical floor of which something is changed
 * on one floor is written out, a section a floor, each with its comments.
 * Added keys come last in their section, added sections at the end. `heading`,
 * of any number of lines, is put before it all as a comment; NULL: none.
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

/* Makes comments of the readings in a text, malloc'ed: they were taken in the
 * building before a change.  FC_ENOMEM: *text stays. */
fc_status fci_leave_readings_out(char **text);

#endif
