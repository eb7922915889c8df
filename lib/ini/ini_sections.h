/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/ini_sections.h -- sections and entries while they are put together.
 */
#ifndef FCI_INI_INI_SECTIONS_H
#define FCI_INI_INI_SECTIONS_H

#include "ini/ini.h"
#include "ini/ini_blocks.h"
#include "ground/names.h"

/* Start from { .ini = ini, .messages = messages }. */
struct fci_gathering {
    struct fci_ini *ini;
    fc_diagnostics *messages;
    struct fci_section *sections;
    size_t n_sections, sections_room;
    struct fci_entry *entries; /* of all sections, one after the other */
    size_t n_entries, entries_room;
    struct fci_block *block; /* holds the values that came last */
    struct fci_names headings, keys, values;
    struct fci_arena texts; /* of headings and values */
    /* by the numbers that `keys` and `values` give */
    struct fci_known_text *known_keys, *known_values;
    size_t n_known_keys, known_keys_room;
    size_t n_known_values, known_values_room;
    struct fci_same_value *same; /* entries whose value is an earlier one's */
    size_t n_same, same_room;
};

/* Begin a section: `[heading]` without its brackets.  Where there is one of
 * that heading already, *first becomes its line and nothing is begun;
 * otherwise 0, and of one that names floors, which may come for others of
 * them.  FC_OK or FC_ENOMEM. */
fc_status fci_gather_section(struct fci_gathering *g, const char *heading,
                             int line, int *first);
/* Add an entry to the section begun last, the same way.  FC_EIO too, which is
 * said. */
fc_status fci_gather_entry(struct fci_gathering *g, const char *key,
                           const char *value, int line, int *first);
/* Hand over to the fci_ini what was gathered.  FC_OK, FC_ENOMEM or FC_EIO,
 * which is said. */
fc_status fci_gather_end(struct fci_gathering *g);
void fci_gathering_free(struct fci_gathering *g);

#endif
