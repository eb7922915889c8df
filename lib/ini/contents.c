/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/contents.c -- what a file holds, whole. */
#include "ini/contents.h"
#include "ground/diagnostics.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <unistd.h>

fc_status
fci_contents_too_large(const char *path, size_t size, bool more,
                       fc_diagnostics *messages)
{
    return fci_fail(messages, FC_EINPUT, path, 0,
                    "is %s%zu bytes long; at most %zu (64 MiB) can be read",
                    more ? "more than " : "", size, FCI_LARGEST_TEXT);
}

/* One read, of what there is. */
static ssize_t
read_more(int fd, struct fci_contents *contents)
{
    ssize_t n;

    if (contents->length == contents->room) {
        const size_t room = contents->room ? 2 * contents->room : 1u << 16;
        char *text = realloc(contents->text, room);

        if (!text) {
            errno = ENOMEM;
            return -1;
        }
        contents->text = text;
        contents->room = room;
    }
    do
        n = read(fd, contents->text + contents->length,
                 contents->room - contents->length);
    while (n < 0 && errno == EINTR);
    if (n > 0)
        contents->length += (size_t)n;
    return n;
}

static fc_status
read_all(int fd, const char *path, struct fci_contents *contents,
         fc_diagnostics *messages)
{
    ssize_t n;

    do
        n = read_more(fd, contents);
    while (n > 0 && contents->length <= FCI_LARGEST_TEXT);
    if (n < 0)
        return fci_fail_system(messages, path, "cannot be read", errno);
    if (contents->length > FCI_LARGEST_TEXT)
        return fci_contents_too_large(path, FCI_LARGEST_TEXT, true, messages);
    return FC_OK;
}

/* What is there has a kind and a size that may be read. */
static fc_status
may_be_read(const struct stat *about, const char *path, bool plain,
            fc_diagnostics *messages)
{
    const mode_t mode = about->st_mode;

    if (S_ISREG(mode))
        return about->st_size > (off_t)FCI_LARGEST_TEXT
                   ? fci_contents_too_large(path, (size_t)about->st_size,
                                            false, messages)
                   : FC_OK;
    if (plain)
        return fci_fail(messages, FC_EIO, path, 0,
                        "is a %s; a file is expected",
                        S_ISDIR(mode)    ? "folder"
                        : S_ISFIFO(mode) ? "FIFO"
                        : S_ISSOCK(mode) ? "socket"
                                         : "device");
    if (S_ISDIR(mode))
        return fci_fail(messages, FC_EIO, path, 0,
                        "is a folder; its files are expected, such as "
                        "%.200s/*.ini",
                        path);
    return FC_OK;
}

/* Opening alone may wait for the other end of a FIFO, or set a device going.
 */
fc_status
fci_contents_read(struct fci_contents *contents, const char *path, bool plain,
                  fc_diagnostics *messages)
{
    struct stat about;
    fc_status status = FC_OK;
    int fd;

    *contents = (struct fci_contents){ 0 };
    if (plain && stat(path, &about) == 0)
        status = may_be_read(&about, path, plain, messages);
    if (status != FC_OK)
        return status;
    fd =
        open(path, O_RDONLY | O_CLOEXEC | O_NOCTTY | (plain ? O_NONBLOCK : 0));
    if (fd < 0)
        return fci_fail_system(messages, path, "cannot be read", errno);
    if (fstat(fd, &about) == 0)
        status = may_be_read(&about, path, plain, messages);
    if (status == FC_OK)
        status = read_all(fd, path, contents, messages);
    close(fd);
    return status;
}
