/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/ini_lines.h -- screening: what the lines of a text hold. */
#ifndef FCI_INI_INI_LINES_H
#define FCI_INI_INI_LINES_H

#include "ini/ini.h"

/* Go over the lines, note in `ini` what they hold and say what is wrong with
 * the others.  FC_OK, FC_EINPUT, FC_ENOMEM or FC_EIO, which is said. */
fc_status fci_screen(struct fci_ini *ini, const char *text, size_t length,
                     fc_diagnostics *messages);

#endif
