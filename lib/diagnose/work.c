/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/work.c -- a cause as work to be done. */
#include "diagnose/work.h"

fc_status
fci_work_tell(const struct fci_answering *a, fc_diagnosis *out)
{
    (void)a;
    (void)out;
    return FC_OK;
}
