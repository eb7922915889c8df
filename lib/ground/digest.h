/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/digest.h -- texts told apart by what is in them. */
#ifndef FCI_GROUND_DIGEST_H
#define FCI_GROUND_DIGEST_H

#include <stddef.h>

#define FCI_DIGEST_ROOM 65

/* The SHA-256 of a text, in hexadecimal. */
void fci_digest(const char *text, size_t length, char hex[FCI_DIGEST_ROOM]);

#endif
