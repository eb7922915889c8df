/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/units/unit_table.h -- the units that are known, for those who read and
 * show figures. */
#ifndef FCI_UNITS_UNIT_TABLE_H
#define FCI_UNITS_UNIT_TABLE_H

#include "units/units.h"

/* The units of a dimension stand in the order in which a message lists
 * them. */
enum {
    FCI_PSI,
    FCI_KPA,
    FCI_BAR,
    FCI_FTH2O,
    FCI_MH2O,
    FCI_GPM,
    FCI_LPS,
    FCI_LPM,
    FCI_M3H,
    FCI_FT,
    FCI_M,
    FCI_IN,
    FCI_MM,
    FCI_FPS,
    FCI_MPS,
    FCI_GAL,
    FCI_L,
    FCI_M3,
    FCI_OZ,
    FCI_S,
    FCI_MIN,
    FCI_H,
    FCI_D,
    FCI_WEEK,
    FCI_YEAR,
    FCI_DEGF,
    FCI_DEGC,
    FCI_NO_UNIT,
    FCI_PERCENT,
    FCI_DN, /* stands before its number, in inches: see fci_dn_sizes[] */
    FCI_UNITS
};

/* SI = (figure + shift) * multiply / divide.  Both factors are whole numbers
 * that a double holds exactly, so that 1-1/4 in and 31.75 mm meet in the same
 * double. */
struct fci_unit {
    const char *name;
    fc_dimension dimension;
    double multiply, divide, shift;
};

extern const struct fci_unit fci_units[FCI_UNITS];

/* The unit at p, or NULL; *end is set behind it. */
const struct fci_unit *fci_unit_at(const char *p, const char **end);
/* Whether a figure of the dimension may be in the unit: a nominal size is
 * named by a length, and what a bill has is a volume. */
bool fci_unit_fits(const struct fci_unit *unit, fc_dimension dimension);
double fci_to_si(const struct fci_unit *unit, double figure);

/* A nominal size in inches or as DN; both name the same pipe. */
#define FCI_DN_SIZES 15
struct fci_dn_size {
    int dn;
    double inches;
};
extern const struct fci_dn_size fci_dn_sizes[FCI_DN_SIZES];

struct fci_dimension {
    const char *name, *examples; /* for messages */
    int us, si;                  /* the unit that a report uses */
};

/* NULL for what is no fc_dimension. */
const struct fci_dimension *fci_dimension(fc_dimension dimension);

#endif
