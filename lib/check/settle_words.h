/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/settle_words.h -- the input that a verdict turns on, in words. */
#ifndef FCI_CHECK_SETTLE_WORDS_H
#define FCI_CHECK_SETTLE_WORDS_H

#include "check/settle.h"
#include "variants/vary.h"

/* One building that might be. */
struct fci_settling {
    struct fci_unsettled *what;
    struct fci_variant variant;
    double flow; /* of the source */
};

/* The drop of an untested main, beside the inputs of the site. */
#define FCI_DROP FCI_NONE

struct fci_decider {
    size_t input; /* or FCI_DROP */
    double good, bad;
    bool flows; /* it is a flow that is drawn */
};

/* The one source; what several give together is not known by the flow of one.
 */
const struct fci_element *fci_the_source(const fc_site *site);
void fci_settling_set(struct fci_settling *s, size_t input, double value);

/* The figure at which a verdict turns as somebody may enter it; not given:
 * no figure that may be entered makes it work.  False when out of memory. */
bool fci_settling_tell(struct fci_settling *s, const struct fci_decider *c,
                       double limit, struct fci_arena *arena,
                       fc_proviso *proviso);

/* Make of a limit what is to be entered (check/settle_entered.c): `share`, as
 * a part of one.  False: there is no such figure. */
bool fci_is_enterable(const fc_site *site, const struct fci_input *input,
                      fc_proviso *proviso, bool *share);

#endif
