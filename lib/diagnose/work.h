/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/work.h -- a cause as work to be done. */
#ifndef FCI_DIAGNOSE_WORK_H
#define FCI_DIAGNOSE_WORK_H

#include "diagnose/answer.h"

/* Into the diagnosis: of what is found, or of the likeliest place. */
fc_status fci_work_tell(const struct fci_answering *answering,
                        fc_diagnosis *out);

#endif
