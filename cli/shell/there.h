/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/there.h -- where a file that is to be written comes to stand, and
 * what stands there already. */
#ifndef CLI_SHELL_THERE_H
#define CLI_SHELL_THERE_H

#include <stdbool.h>

/* The path of a file without links, to be freed; of a link to nothing that of
 * what it leads to.  NULL with errno set. */
char *there_target(const char *path);
/* Whether two names are those of one regular file, or would be if it were
 * there. */
bool there_is_same(const char *a, const char *b);
/* Whether it is the regular file that a descriptor reads or writes. */
bool there_is_open_as(const char *path, int fd);
/* Whether it is a regular file that is not empty. */
bool there_is_text(const char *path);
/* Whether that begins as site files and tables files do, with a heading in
 * brackets and a key with its value. */
bool there_is_sections(const char *path);

#endif
