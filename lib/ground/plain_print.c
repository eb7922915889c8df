/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/plain_print.c -- printing with a decimal point, whatever the
 * host's locale has there.
 *
 * The thread that prints has the C locale meanwhile; no other thread, and
 * nothing of the host's, sees it.
 */
#include "ground/plain_print.h"

struct fci_point
fci_point_enter(void)
{
    struct fci_point point = { newlocale(LC_ALL_MASK, "C", (locale_t)0),
                               (locale_t)0 };

    if (point.plain)
        point.host = uselocale(point.plain);
    return point;
}

void
fci_point_leave(struct fci_point point)
{
    if (!point.plain)
        return;
    uselocale(point.host);
    freelocale(point.plain);
}

int
fci_vprint(char *text, size_t size, const char *format, va_list args)
{
    const struct fci_point point = fci_point_enter();
    const int n = vsnprintf(text, size, format, args);

    fci_point_leave(point);
    return n;
}

int
fci_print(char *text, size_t size, const char *format, ...)
{
    va_list args;
    int n;

    va_start(args, format);
    n = fci_vprint(text, size, format, args);
    va_end(args);
    return n;
}

int
fci_vprint_to(FILE *out, const char *format, va_list args)
{
    const struct fci_point point = fci_point_enter();
    const int n = vfprintf(out, format, args);

    fci_point_leave(point);
    return n;
}

int
fci_print_to(FILE *out, const char *format, ...)
{
    va_list args;
    int n;

    va_start(args, format);
    n = fci_vprint_to(out, format, args);
    va_end(args);
    return n;
}
