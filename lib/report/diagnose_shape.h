/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/diagnose_shape.h -- what `diagnose` tells programs. */
#ifndef FCI_REPORT_DIAGNOSE_SHAPE_H
#define FCI_REPORT_DIAGNOSE_SHAPE_H

#include "page/shape.h"

extern const struct fci_shape fci_diagnosis_shape; /* fci_diagnosis_view */
extern const struct fci_words fci_shows_words;     /* fc_sight */

#endif
