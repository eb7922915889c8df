/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/reader.h -- sections of a site file become parts of a site. */
#ifndef FCI_SITE_READER_H
#define FCI_SITE_READER_H

#include "site/site.h"

/* Read one section into the site: one part, or one for each floor of a
 * typical floor (site/typical_floors.c). */
fc_status fci_reader_section(fc_site *site, const struct fci_section *section,
                             const char *path, fc_diagnostics *messages);

/* A whole file, or `text` in its place.  `tables`: those built in, which many
 * sites share where none amends them; NULL: they are read. */
fc_status fci_reader_site(struct fci_tables *tables, const char *path,
                          const char *text, size_t length, fc_site **site,
                          fc_diagnostics *messages);

/* What a heading and its keys must be before they are read. */
fc_status fci_reader_head(const struct fci_section *section,
                          enum fci_kind kind, const char *path,
                          fc_diagnostics *messages);

/* What the heading tells, into a zeroed struct. */
void fci_reader_start(const struct fci_section *section, enum fci_kind kind,
                      void *data);

/* The struct of a part of a section that is no typical floor, into zeroed
 * `data`. */
fc_status fci_reader_data(const struct fci_section *section,
                          enum fci_kind kind, const char *path,
                          struct fci_arena *arena, void *data,
                          fc_diagnostics *messages);

/* ---- Typical floors (site/typical_floors.c)
 * ---------------------------------------- */

/* Whether the section's name holds `{floor}`. */
bool fci_floors_typical(const struct fci_section *section);

/* The section's `floors` as a list of numbers in the arena. */
fc_status fci_floors_list(const struct fci_section *section, const char *path,
                          struct fci_arena *arena, int **floors, size_t *n,
                          fc_diagnostics *messages);

/* Refuse a text with a brace that stands for no floor. */
fc_status fci_floors_bad_brace(const struct fci_section *section,
                               const char *path, int line, const char *text,
                               fc_diagnostics *messages);

/* Whether a key tells of another one that its floors do not share a value:
 * "rise.each". */
bool fci_floors_each(const char *key);

/* The section as it stands on one floor: `{floor}`, `{floor-1}` and
 * `{floor+1}` replaced, `floors` and what tells of floors left out. */
fc_status fci_floors_section(const struct fci_section *section, int floor,
                             const char *path, struct fci_arena *arena,
                             struct fci_section **out,
                             fc_diagnostics *messages);

#endif
