/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/contents.h -- what a file holds, whole. */
#ifndef FCI_INI_CONTENTS_H
#define FCI_INI_CONTENTS_H

#include "flushcalc.h"

#define FCI_LARGEST_TEXT ((size_t)64 << 20)

struct fci_contents {
    char *text; /* to be freed; NULL: nothing */
    size_t length, room;
};

/* Read a file to its end.  `plain`: a device, a FIFO or a socket is refused
 * unread, which could wait or do something; else it is read as far as a file
 * may be long.  FC_EINPUT, FC_EIO, which are said, or FC_ENOMEM. */
fc_status fci_contents_read(struct fci_contents *contents, const char *path,
                            bool plain, fc_diagnostics *messages);
/* Say that a text is longer than any may be; `more`: than so much. */
fc_status fci_contents_too_large(const char *path, size_t size, bool more,
                                 fc_diagnostics *messages);

#endif
