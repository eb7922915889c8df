/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/reader.h -- sections of a site file become parts of a site. */
#ifndef FCI_SITE_READER_H
#define FCI_SITE_READER_H

#include "site/site.h"

/* The kind of sections that are no part, but changes to others. */
#define FCI_CASE "case"
bool fci_is_case(const struct fci_section *section);

/* FCI_KINDS: of none. */
enum fci_kind fci_reader_kind(const struct fci_section *section);

/* The synonyms in the headings and keys of the site's `ini` become the words
 * that are known. */
fc_status fci_reader_words(fc_site *site, fc_diagnostics *messages);

/* Read the sections of the site's `ini`, with which something is wrong already
 * where `first` is not FC_OK, into the site, and finish it. */
fc_status fci_reader_site(fc_site *site, fc_status first,
                          fc_diagnostics *messages);

/* Read one section into the site: one part, or one for each floor of a
 * typical floor (site/typical_floors.c). */
fc_status fci_reader_section(fc_site *site, const struct fci_section *section,
                             const char *path, fc_diagnostics *messages);

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

/* Adds the n floors of a section to `all` those of a file's typical floors;
 * refused, and said once, where they become too many. */
fc_status fci_floors_count(const struct fci_section *section, const char *path,
                           size_t n, size_t *all, fc_diagnostics *messages);

/* Refuse a text with a brace that stands for no floor. */
fc_status fci_floors_bad_brace(const struct fci_section *section,
                               const char *path, int line, const char *text,
                               fc_diagnostics *messages);

/* Whether a key tells of another one that its floors do not share a value:
 * "rise.each". */
bool fci_floors_each(const char *key);

/* A text on one floor: `{floor}`, `{floor-1}` and `{floor+1}` replaced; one
 * without braces is shared.  FC_EINPUT: another brace is in it. */
fc_status fci_floors_text(const char *text, int floor, struct fci_arena *arena,
                          const char **out);

/* The section as it stands on one floor: `{floor}`, `{floor-1}` and
 * `{floor+1}` replaced, `floors` and what tells of floors left out. */
fc_status fci_floors_section(const struct fci_section *section, int floor,
                             const char *path, struct fci_arena *arena,
                             struct fci_section **out,
                             fc_diagnostics *messages);

#endif
