/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/tables_shape.h -- what `tables` tells programs. */
#ifndef FCI_REPORT_TABLES_SHAPE_H
#define FCI_REPORT_TABLES_SHAPE_H

#include "page/shape.h"

extern const struct fci_shape fci_tables_shape; /* of fci_tables_view */

#endif
