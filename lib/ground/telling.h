/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/telling.h -- how far a part of a calculation has come, told as
 * that of the whole. */
#ifndef FCI_GROUND_TELLING_H
#define FCI_GROUND_TELLING_H

#include <math.h>
#include <stddef.h>

struct fci_telling {
    void (*progress)(void *context, double done); /* NULL: nobody is told */
    void *context;
    double from, share; /* of the whole: where the part begins, how much it is
                         */
};

/* `done` of the part, 0 to 1. */
static inline void
fci_tell(const struct fci_telling *telling, double done)
{
    if (telling->progress)
        telling->progress(telling->context,
                          fmin(telling->from + telling->share * done, 1));
}

/* The i-th of n like parts of a part. */
static inline struct fci_telling
fci_telling_of(const struct fci_telling *whole, size_t i, size_t n)
{
    struct fci_telling part = *whole;

    part.share /= (double)n;
    part.from += part.share * (double)i;
    return part;
}

#endif
