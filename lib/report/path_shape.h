/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/path_shape.h -- what a pressure budget tells programs. */
#ifndef FCI_REPORT_PATH_SHAPE_H
#define FCI_REPORT_PATH_SHAPE_H

#include "page/shape.h"

/* Of fci_path_view. */
extern const struct fci_shape fci_path_shape;
/* Of fc_path, the sums alone; of fc_path_step. */
extern const struct fci_shape fci_budget_shape, fci_step_shape;

#endif
