/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/site_line.h -- the check of a site in short. */
#ifndef FCI_CHECK_SITE_LINE_H
#define FCI_CHECK_SITE_LINE_H

#include "ground/memory.h"
#include "site/site.h"

/* What a line keeps of a result, copied into the arena; but for its path and
 * place. */
void fci_site_line_keep(fc_site_line *line, const fc_site *site,
                        const fc_check_result *result,
                        struct fci_arena *arena);

/* The worst first: 0 does not work, 1 has too much pressure, 2 is not certain,
 * 3 may have too much, 4 works; 5 is not calculated. */
int fci_site_line_rank(const fc_site_line *line);

#endif
