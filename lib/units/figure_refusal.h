/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/units/figure_refusal.h -- why a figure was not understood. */
#ifndef FCI_UNITS_FIGURE_REFUSAL_H
#define FCI_UNITS_FIGURE_REFUSAL_H

#include "units/units.h"

/* What a text should be, and where to say why it is not. */
struct fci_wanted {
    fc_dimension dimension;
    bool range;             /* `a..b` will do */
    bool leading;           /* something else may follow */
    const char *also;       /* for messages: what else would do */
    struct fci_reason *why; /* may be NULL */
};

/* Each repeats the text from..to and returns false.  `wrong`: "has no unit";
 * what is expected follows from what is wanted. */
bool fci_refuse(const struct fci_wanted *wanted, const char *from,
                const char *to, const char *wrong);
/* Other advice than the usual one. */
bool fci_refuse_for(const struct fci_wanted *wanted, const char *from,
                    const char *to, const char *wrong_and_expected);
/* These list what is known. */
bool fci_refuse_unit(const struct fci_wanted *wanted, const char *from,
                     const char *to);
bool fci_refuse_dn(const struct fci_wanted *wanted, const char *from,
                   const char *to);
bool fci_refuse_rest(const struct fci_wanted *wanted, const char *from,
                     const char *to, const char *rest);

#endif
