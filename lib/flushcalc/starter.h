/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/starter.h -- a first site file from a few answers. */
#ifndef FLUSHCALC_STARTER_H
#define FLUSHCALC_STARTER_H

#include "flushcalc/base.h"

#ifdef __cplusplus
extern "C" {
#endif

/** A figure or a word that may be given, as "stories=8". */
typedef struct fc_starter_key {
    const char *key;    /* "stories" */
    const char *asks;   /* what it is: "stories" */
    const char *may_be; /* "a number, such as 8" */
    bool needed;        /* without it there is no file */
    FC_ROOM(3);
} fc_starter_key;

/** All of them, in the order in which they are asked for; how many.  The list
 * is the library's and lasts. */
size_t fc_starter_keys(const fc_starter_key **keys);

/**
 * Whether an answer by itself can be taken.
 *
 * @param key       one of fc_starter_keys()
 * @param value     as it would stand behind "="
 * @param messages  gets what is wrong; may be NULL
 *
 * @return FC_OK, FC_EINPUT or FC_ENOMEM
 */
fc_status fc_starter_try(const char *key, const char *value,
                         fc_diagnostics *messages);

/**
 * A commented site file of a building with typical floors, which reads and can
 * be checked as it is.
 *
 * What the answers do not give is a range of what is usual
 * (tables/starter.ini) or says "assumed" beside it and in the title. A pipe of
 * which no size is given may have the smallest that keeps to its velocity
 * limit at the peak demand, or the next larger one.
 *
 * @param answers   "stories=8", each key once; that one is needed
 * @param n         how many
 * @param text      malloc'ed, for fc_free(); kept on failure
 * @param messages  gets all that is wrong; may be NULL
 *
 * @return FC_OK; FC_EINPUT, and said; FC_ENOMEM
 */
fc_status fc_starter_text(const char *const *answers, size_t n, char **text,
                          fc_diagnostics *messages);

#ifdef __cplusplus
}
#endif

#endif
