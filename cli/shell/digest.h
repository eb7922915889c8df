/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/digest.h -- files told apart by what is in them, and when it was
 * asked. */
#ifndef CLI_SHELL_DIGEST_H
#define CLI_SHELL_DIGEST_H

#include <stdbool.h>
#include <stddef.h>

#define DIGEST_HEX 65 /* a SHA-256 in hexadecimal digits, and the end */

struct digest {
    char hex[DIGEST_HEX]; /* "": not known */
};

struct digest digest_of(const char *text, size_t size);
/* Of a file; not known of what cannot be read twice, such as a pipe.  False,
 * and said, where it cannot be read. */
bool digest_of_file(const char *path, struct digest *digest);
/* "2026-11-29 02:05 UTC": now, or what SOURCE_DATE_EPOCH says, in seconds
 * since 1970.  False, and said, where that is no number of them. */
bool digest_date(char *text, size_t size);

#endif
