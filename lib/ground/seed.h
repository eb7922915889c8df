/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/seed.h -- one stream of random numbers for each block of draws.
 */
#ifndef FCI_GROUND_SEED_H
#define FCI_GROUND_SEED_H

#include <stddef.h>

/* What to seed a generator with for a block: it depends on the user's seed and
 * the block's number alone, so that blocks may be drawn by any thread in any
 * order.  At most 32 bits. */
unsigned long fci_seed_of_block(unsigned long seed, size_t block);

#endif
