/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/ini_blocks.h -- values by way of iniparser, a block at a time. */
#ifndef FCI_INI_INI_BLOCKS_H
#define FCI_INI_INI_BLOCKS_H

#include "ini/ini.h"

/* iniparser's dictionary has room for 128 items, sections among them.  When it
 * must grow it is slow, and prints when it cannot.  The sizes also bound the
 * memory that it takes for a block. */
#define FCI_MOST_ITEMS 120u
#define FCI_BLOCK_SIZE ((size_t)40 << 10)

/* What iniparser is to read next.  Start from zero. */
struct fci_block {
    size_t n_items;
    int section; /* where the text ends, by its line; 0: in none */
    size_t n_values;
    struct fci_put_value {
        int section;
        size_t entry;         /* whose value it is, by number */
        size_t start, length; /* of what stands behind `=` in the text */
    } values[FCI_MOST_ITEMS];
    size_t length;
    char text[FCI_BLOCK_SIZE];
};

/* Put the value of an entry, which stands in this line of the section that
 * begins in that line.  False: the block is to be read first.  A section that
 * begins may want that too, so as to stay in one block. */
bool fci_block_put(struct fci_block *block, int section, int line,
                   const char *value, size_t entry);
/* Have iniparser read the block, give its values to those of the entries that
 * they were put for, and begin anew.  FC_OK, FC_ENOMEM or FC_EIO, which is
 * said. */
fc_status fci_block_read(struct fci_block *block, struct fci_ini *ini,
                         struct fci_entry *entries, fc_diagnostics *messages);

#endif
