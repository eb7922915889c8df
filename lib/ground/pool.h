/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/pool.h -- blocks of work done by several threads. */
#ifndef FCI_GROUND_POOL_H
#define FCI_GROUND_POOL_H

#include "flushcalc.h"

/* How many threads to take: as many as asked for, or as there are processors
 * where 0 is; from 1 to 64. */
size_t fci_pool_threads(unsigned asked);

/* One block of a job by one of its workers, who do not share what they change.
 * A worker whose block fails takes no more of them. */
typedef fc_status fci_pool_block(void *job, size_t worker, size_t block);

/* Do the blocks from `first` up to `end`, each once, by `n` workers, at most
 * 64; status[worker] is FC_OK before and what its last block gave after.
 * Worker 0 is the calling thread.  Where no other can be had it does all. */
void fci_pool_run(fci_pool_block *run, void *job, size_t n, fc_status *status,
                  size_t first, size_t end);

#endif
