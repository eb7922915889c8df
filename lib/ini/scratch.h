/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/scratch.h -- a temporary file, for a reader that takes nothing but a
 * path. */
#ifndef FCI_INI_SCRATCH_H
#define FCI_INI_SCRATCH_H

#include "ground/memory.h"

#include <stdbool.h>
#include <stdio.h>

struct fci_scratch {
    FILE *anonymous; /* NULL: the file has a name, to be removed */
    int fd;          /* -1: none */
    char *path;
    struct fci_arena arena;
};

/* Where these fail, errno tells why.  What was opened, or not, is closed. */
bool fci_scratch_open(struct fci_scratch *scratch);
/* Make `text` all that the file holds. */
bool fci_scratch_write(const struct fci_scratch *scratch, const char *text,
                       size_t n);
/* Whether the path can be opened just now. */
bool fci_scratch_ready(const struct fci_scratch *scratch);
void fci_scratch_close(struct fci_scratch *scratch);

#endif
