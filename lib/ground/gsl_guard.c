/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/gsl_guard.c -- GSL's aborting error handler, set aside for a
 * moment. */
#include "ground/gsl_guard.h"

#include <pthread.h>

static pthread_mutex_t handler_lock = PTHREAD_MUTEX_INITIALIZER;

gsl_error_handler_t *
fci_gsl_quiet(void)
{
    pthread_mutex_lock(&handler_lock);
    return gsl_set_error_handler_off();
}

void
fci_gsl_restore(gsl_error_handler_t *host)
{
    gsl_set_error_handler(host);
    pthread_mutex_unlock(&handler_lock);
}
