/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/folder.h -- the folders that files are in. */
#ifndef CLI_SHELL_FOLDER_H
#define CLI_SHELL_FOLDER_H

#include <stdbool.h>

/* The folder of a file as it is seen from the folder of one that is to be
 * written, to be freed; NULL where it is the same.  `file` NULL is one in the
 * working folder.  From a device or a pipe, whose text may end up anywhere, it
 * is seen by its whole path.  False, and said, where there is no folder to
 * write to. */
bool folder_seen_from(const char *written, const char *file, char **folder);

#endif
