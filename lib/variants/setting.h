/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/variants/setting.h -- a site file that is read with other values than it
 * has: set on the command line, or by a case of the file.
 *
 * What is set is put into the sections before they are read, so that it is
 * read, checked and refused as if the file had it so.
 */
#ifndef FCI_VARIANTS_SETTING_H
#define FCI_VARIANTS_SETTING_H

#include "site/site.h"

/* A list of settings under construction, in an arena.  Start from
 * { arena }. */
struct fci_settings {
    struct fci_arena *arena;
    struct fci_setting *list; /* malloc'ed */
    size_t n, room;
    const char *of;    /* "[case low street]"; NULL: of none */
    const char *title; /* of a case; NULL: none */
};

/* Add those of a text, "street.static = 69 psi; without = rp".  What is wrong
 * with it is said under its name. */
fc_status fci_settings_of_text(struct fci_settings *settings, const char *text,
                               fc_diagnostics *messages);
/* Add those of a case, at their lines. */
fc_status fci_settings_of_case(struct fci_settings *settings,
                               const struct fci_section *section,
                               const char *path, fc_diagnostics *messages);
void fci_settings_free(struct fci_settings *settings);

/* Put them into the sections of a file that was screened.  A setting's `was`
 * becomes what the file has.  Those that they imply are added: a flow test
 * keeps the static pressure of its day where that of today is set.  What is
 * wrong is said in `messages` at the line of the case, or under a line below
 * 0: see fci_settings_tell(). */
fc_status fci_settings_put(struct fci_settings *settings, struct fci_ini *ini,
                           fc_diagnostics *messages);

/* "street.static = 69 psi (file: 79 psi)", in the arena, or what is set
 * `alone`; NULL: out of memory. */
const char *fci_setting_said(const fc_set_value *setting, bool alone,
                             struct fci_arena *arena);

/* A site from a file, or from `text` in its place, with n texts set over it.
 * `tables`: those built in, which many sites share where none amends them;
 * NULL: they are read. */
fc_status fci_read_site(struct fci_tables *tables, const char *path,
                        const char *text, size_t length,
                        const char *const *settings, size_t n, fc_site **site,
                        fc_diagnostics *messages);
/* The same as the file is, its cases unread. */
fc_status fci_read_bare(const char *path, const char *text, size_t length,
                        fc_site **site, fc_diagnostics *messages);
/* A copy of what was set, in the arena; NULL: nothing, or out of memory. */
fc_set_value *fci_set_values(const fc_site *site, struct fci_arena *arena,
                             size_t *n);

/* The site of the same file without what was set; nothing is said. */
fc_status fci_site_bare(const fc_site *site, fc_site **bare);

/* The section of case i, or NULL. */
const struct fci_section *fci_case_at(const fc_site *site, size_t i);

/* The line under which entry `i` of the settings goes. */
int fci_setting_line(const struct fci_settings *settings, size_t i);

/* Messages with such lines, told as those of the texts. */
fc_status fci_settings_tell(const struct fci_settings *settings,
                            const fc_diagnostics *said,
                            fc_diagnostics *messages);

#endif
