/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/scratch.c -- a temporary file, for a reader that takes nothing but a
 * path. */
#include "ini/scratch.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <unistd.h>

bool
fci_scratch_ready(const struct fci_scratch *scratch)
{
    const int fd = open(scratch->path, O_RDONLY | O_CLOEXEC);

    return fd >= 0 && close(fd) == 0;
}

/* A file without a name cannot be left behind, nor be opened by others. */
static void
open_anonymous(struct fci_scratch *scratch)
{
    scratch->anonymous = tmpfile();
    if (!scratch->anonymous)
        return;
    scratch->fd = fileno(scratch->anonymous);
    scratch->path =
        fci_arena_printf(&scratch->arena, "/dev/fd/%d", scratch->fd);
    if (scratch->path && fci_scratch_ready(scratch))
        return;
    fclose(scratch->anonymous);
    scratch->anonymous = NULL;
    scratch->fd = -1;
}

static void
open_named(struct fci_scratch *scratch)
{
    const char *folder = getenv("TMPDIR");

    if (!folder || !*folder)
        folder = "/tmp";
    scratch->path =
        fci_arena_printf(&scratch->arena, "%s/flushcalc-XXXXXX", folder);
    if (scratch->path)
        scratch->fd = mkstemp(scratch->path);
    else
        errno = ENOMEM;
}

bool
fci_scratch_open(struct fci_scratch *scratch)
{
    *scratch = (struct fci_scratch){ .fd = -1 };
    open_anonymous(scratch);
    if (scratch->fd < 0)
        open_named(scratch);
    if (scratch->fd < 0)
        return false;
    /* Not for programs that another thread starts meanwhile. */
    fcntl(scratch->fd, F_SETFD, FD_CLOEXEC);
    return true;
}

bool
fci_scratch_write(const struct fci_scratch *scratch, const char *text,
                  size_t n)
{
    size_t done = 0;

    while (done < n) {
        const ssize_t wrote =
            pwrite(scratch->fd, text + done, n - done, (off_t)done);

        if (wrote >= 0)
            done += (size_t)wrote;
        else if (errno != EINTR)
            return false;
    }
    /* Where opening /dev/fd/N shares the position, it has to be the start. */
    return ftruncate(scratch->fd, (off_t)n) == 0
           && lseek(scratch->fd, 0, SEEK_SET) == 0;
}

void
fci_scratch_close(struct fci_scratch *scratch)
{
    if (scratch->anonymous) {
        fclose(scratch->anonymous);
    } else if (scratch->fd >= 0) {
        close(scratch->fd);
        unlink(scratch->path);
    }
    fci_arena_free(&scratch->arena);
}
