/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/check_shape.h -- what `check` tells programs, of one site and of
 * several. */
#ifndef FCI_REPORT_CHECK_SHAPE_H
#define FCI_REPORT_CHECK_SHAPE_H

#include "page/shape.h"

extern const struct fci_shape fci_check_shape;     /* struct fci_check_view */
extern const struct fci_shape fci_chance_shape;    /* fc_chance */
extern const struct fci_shape fci_site_line_shape; /* fc_site_line */
extern const struct fci_shape fci_sweep_shape;     /* fc_sweep_result */
extern const struct fci_shape fci_sites_shape;     /* fc_checked_sites */

#endif
