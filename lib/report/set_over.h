/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/set_over.h -- what was set over the file of a report. */
#ifndef FCI_REPORT_SET_OVER_H
#define FCI_REPORT_SET_OVER_H

#include "page/forms.h"
#include "site/site.h"

/* Told in the data of a report; over `several` files, which differ.  False:
 * out of memory. */
bool fci_set_over_data(const fc_set_value *set, size_t n, bool several,
                       struct fci_arena *arena, struct fci_data *data);
/* The same in its document. */
void fci_set_over_doc(const fc_set_value *set, size_t n, bool several,
                      struct fci_doc *doc);

#endif
