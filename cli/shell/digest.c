/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/digest.c -- files told apart by what is in them, and when it was
 * asked.
 */
#include "shell/digest.h"
#include "shell/complain.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>

#include <nettle/sha2.h>

#define LAST_SECOND 253402300799ll /* of the year 9999 */

static struct digest
finish(struct sha256_ctx *context)
{
    uint8_t bytes[SHA256_DIGEST_SIZE];
    struct digest digest;

    sha256_digest(context, sizeof bytes, bytes);
    for (size_t i = 0; i < sizeof bytes; i++)
        snprintf(digest.hex + 2 * i, 3, "%02x", bytes[i]);
    return digest;
}

struct digest
digest_of(const char *text, size_t size)
{
    struct sha256_ctx context;

    sha256_init(&context);
    sha256_update(&context, size, (const uint8_t *)text);
    return finish(&context);
}

bool
digest_of_file(const char *path, struct digest *digest)
{
    struct sha256_ctx context;
    struct stat what;
    uint8_t part[65536];
    FILE *file;
    size_t n;
    bool read;

    digest->hex[0] = '\0';
    if (stat(path, &what) == 0 && !S_ISREG(what.st_mode))
        return true;
    file = fopen(path, "rb");
    sha256_init(&context);
    while (file && (n = fread(part, 1, sizeof part, file)) > 0)
        sha256_update(&context, n, part);
    read = file && !ferror(file);
    if (!read)
        complain("%s: %s", path, strerror(errno));
    if (file)
        fclose(file);
    if (read)
        *digest = finish(&context);
    return read;
}

bool
digest_date(char *text, size_t size)
{
    const char *set = getenv("SOURCE_DATE_EPOCH");
    char *end = NULL;
    struct tm when;
    time_t now = time(NULL);

    if (set && *set) {
        const long long seconds =
            *set >= '0' && *set <= '9' ? strtoll(set, &end, 10) : -1;

        if (seconds < 0 || seconds > LAST_SECOND || *end) {
            complain("SOURCE_DATE_EPOCH is \"%s\"; whole seconds since 1970 "
                     "are expected",
                     set);
            return false;
        }
        now = (time_t)seconds;
    }
    if (gmtime_r(&now, &when)
        && strftime(text, size, "%Y-%m-%d %H:%M UTC", &when) > 0)
        return true;
    complain("the date is not known");
    return false;
}
