/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/pool.c -- blocks of work done by several threads. */
#include "ground/pool.h"

#include <pthread.h>
#include <stdatomic.h>
#include <unistd.h>

#define MOST_THREADS 64

struct pool {
    fci_pool_block *run;
    void *job;
    fc_status *status;
    atomic_size_t next;
    size_t end;
};

struct worker {
    struct pool *pool;
    size_t number;
    pthread_t thread;
};

size_t
fci_pool_threads(unsigned asked)
{
    const long n = asked ? (long)asked : sysconf(_SC_NPROCESSORS_ONLN);

    return n < 1 ? 1 : n > MOST_THREADS ? MOST_THREADS : (size_t)n;
}

static void *
work(void *data)
{
    const struct worker *w = data;
    struct pool *pool = w->pool;
    fc_status *status = &pool->status[w->number];
    size_t block;

    while (*status == FC_OK
           && (block = atomic_fetch_add(&pool->next, 1)) < pool->end)
        *status = pool->run(pool->job, w->number, block);
    return NULL;
}

void
fci_pool_run(fci_pool_block *run, void *job, size_t n, fc_status *status,
             size_t first, size_t end)
{
    struct pool pool = { run, job, status, first, end };
    struct worker workers[MOST_THREADS] = { { .pool = &pool } };
    size_t started = 1, i;

    for (; started < n && started < MOST_THREADS; started++) {
        workers[started] = (struct worker){ .pool = &pool, .number = started };
        if (pthread_create(&workers[started].thread, NULL, work,
                           &workers[started])
            != 0)
            break;
    }
    work(&workers[0]);
    for (i = 1; i < started; i++)
        pthread_join(workers[i].thread, NULL);
}
