/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/inputs.h -- which figures of a part may be known only as a range:
 * one row each. */
#ifndef FCI_SITE_INPUTS_H
#define FCI_SITE_INPUTS_H

#include "site/parts.h"

#include <stdint.h>

/* What one measurement would settle. */
enum fci_measured {
    FCI_IN_STATIC,
    FCI_IN_FLOW_TEST,
    FCI_IN_SOURCE_PRESSURE,
    FCI_IN_LEVEL,
    FCI_IN_LENGTH,
    FCI_IN_C,
    FCI_IN_BORE,
    FCI_IN_RISE,
    FCI_IN_FITTINGS,
    FCI_IN_SCALE,
    FCI_IN_DEVICE,
    FCI_IN_SHAPE,
    FCI_IN_SET,
    FCI_IN_FALL_OFF,
    FCI_IN_HOLD,
    FCI_IN_FLOW,
    FCI_IN_COUNT,
    FCI_IN_MINIMUM,
    FCI_MEASURED
};

/* Where a finished site has a value of a part. */
enum fci_home {
    FCI_IN_PART, /* its own struct */
    FCI_IN_ELEMENT,
    FCI_IN_PIPE,
    FCI_IN_DRAW,
    FCI_IN_FIXTURE,
    FCI_HOMES
};

struct fci_input_row {
    enum fci_kind kind;
    const char *what; /* "static pressure" */
    size_t offset;    /* of the range in its struct; FCI_NOT_OWN: it is not
                         there */
    enum fci_home home;
    size_t kept;            /* of the range there */
    fc_dimension dimension; /* FC_SIZE: any of the sizes between */
    enum fci_measured measured;
    size_t tolerance; /* of the deviation that widens it; FCI_NO_TOLERANCE */
    /* No tolerance takes it below this, nor below its value divided by that
     * (0: none). */
    double least, divisor;
};

#define FCI_NO_TOLERANCE SIZE_MAX
#define FCI_NOT_OWN SIZE_MAX

extern const struct fci_input_row fci_input_rows[];
extern const size_t fci_n_input_rows;

/* The range of a row in a part's struct, and in its home. */
static inline fc_range *
fci_input_in(const struct fci_input_row *row, void *data)
{
    return (void *)((char *)data + row->offset);
}
static inline fc_range *
fci_input_at(const struct fci_input_row *row, void *home)
{
    return (void *)((char *)home + row->kept);
}

#endif
