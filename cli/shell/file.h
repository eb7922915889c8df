/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/file.h -- files read and written whole. */
#ifndef CLI_SHELL_FILE_H
#define CLI_SHELL_FILE_H

#include <stdbool.h>
#include <stddef.h>

/* Write all of it, or as much as a reader that then went away wanted; false
 * with errno set. */
bool file_write_all(int fd, const char *text, size_t size);
/* Put a file in place that holds the text, or leave what is there: false,
 * and said.  It has the rights and owners of what it replaces; the target of a
 * link is replaced, not the link.  A device, a pipe or what is open already is
 * written to as it is. */
bool file_write_whole(const char *path, const char *text, size_t size);
/* Standard input to its end, to be freed; NULL, and said. */
char *file_read_standard_input(size_t *size);

#endif
