/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/variants/part_text.h -- the struct of a part as keys and values. */
#ifndef FCI_VARIANTS_PART_TEXT_H
#define FCI_VARIANTS_PART_TEXT_H

#include "site/parts.h"

/* The section that a file would have for a part with this struct, in the
 * arena, its lines 0.  Figures are in the units of `system` where ten digits
 * tell them, otherwise in those that give all digits: read back they are off
 * by a few units in the last place at most.  What is not given, or stands as
 * it would by default, has no key.  FC_EINPUT, said: a site file has no way to
 * put it (a nominal value off the middle of its range). */
fc_status fci_part_section(const struct fci_part *part, const void *data,
                           fc_unit_system system, struct fci_arena *arena,
                           struct fci_section **section,
                           fc_diagnostics *messages);

#endif
