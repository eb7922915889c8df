/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/alike.h -- parts told together: those of names that differ in
 * their numbers alone. */
#ifndef FCI_REPORT_ALIKE_H
#define FCI_REPORT_ALIKE_H

#include <stdbool.h>

/* "wc-3-12" and "wc-40-1", but not "wc-3". */
bool fci_names_alike(const char *a, const char *b);

#endif
