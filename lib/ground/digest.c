/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/digest.c -- texts told apart by what is in them. */
#include "ground/digest.h"

#include <nettle/sha2.h>
#include <stdio.h>

void
fci_digest(const char *text, size_t length, char hex[FCI_DIGEST_ROOM])
{
    struct sha256_ctx context;
    uint8_t bytes[SHA256_DIGEST_SIZE];

    sha256_init(&context);
    sha256_update(&context, length, (const uint8_t *)text);
    sha256_digest(&context, sizeof bytes, bytes);
    for (size_t i = 0; i < sizeof bytes; i++)
        snprintf(hex + 2 * i, 3, "%02x", bytes[i]);
}
