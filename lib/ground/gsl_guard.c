/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/gsl_guard.c -- GSL's aborting error handler, set aside for a
 * moment. */
#include "ground/gsl_guard.h"

#include <pthread.h>
#include <stdbool.h>

static pthread_mutex_t handler_lock = PTHREAD_MUTEX_INITIALIZER;
static bool held_over_forks; /* under that lock */

static void
lock(void)
{
    pthread_mutex_lock(&handler_lock);
}

static void
unlock(void)
{
    pthread_mutex_unlock(&handler_lock);
}

gsl_error_handler_t *
fci_gsl_quiet(void)
{
    lock();
    /* A child has no thread that would give back the lock, and the handler,
     * that another one held: whoever forks waits for both. */
    if (!held_over_forks)
        held_over_forks = pthread_atfork(lock, unlock, unlock) == 0;
    return gsl_set_error_handler_off();
}

void
fci_gsl_restore(gsl_error_handler_t *host)
{
    gsl_set_error_handler(host);
    unlock();
}
