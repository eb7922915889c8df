/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/ini_blocks.h -- what screening noted, read by iniparser. */
#ifndef FCI_INI_INI_BLOCKS_H
#define FCI_INI_INI_BLOCKS_H

#include "ini/ini.h"

/* Have iniparser read what `ini` holds, and see that it finds the same.
 * FC_OK; FC_ENOMEM; FC_EIO, errno then tells why there is no temporary
 * file. */
fc_status fci_read_blocks(const struct fci_ini *ini);

#endif
