/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/plain_print.h -- printing with a decimal point, whatever the
 * host's locale has there.
 *
 * All that may print a figure goes through here; what prints names and whole
 * numbers alone need not. */
#ifndef FCI_GROUND_PLAIN_PRINT_H
#define FCI_GROUND_PLAIN_PRINT_H

#include <locale.h>
#include <stdarg.h>
#include <stdio.h>

/* For what another library prints: between the two this thread has the C
 * locale.  Where there is no memory for one, it keeps its own. */
struct fci_point {
    locale_t plain, host;
};
struct fci_point fci_point_enter(void);
void fci_point_leave(struct fci_point point);

/* As snprintf() and the others. */
int fci_print(char *text, size_t size, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
int fci_vprint(char *text, size_t size, const char *format, va_list args);
int fci_print_to(FILE *out, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
int fci_vprint_to(FILE *out, const char *format, va_list args);

#endif
