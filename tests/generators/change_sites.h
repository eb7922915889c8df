/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/change_sites.h -- sites with changes, written, and made by
 * calls.
 *
 * What cannot be had fails the test with all that was said.
 */
#ifndef TESTS_GENERATORS_CHANGE_SITES_H
#define TESTS_GENERATORS_CHANGE_SITES_H

#include "variants/change.h"
#include "site/site.h"
#include "generators/sites.h"

/* One pipe, then three typical floors with a closet each. */
static const char small_text[] =
    "[site]\nmaterial = copper L\ncondition = new\n"
    "[source main]\nkind = fixed\npressure = 40 psi\n"
    "[pipe riser-0]\nfrom = main\nsize = 2 in\nlength = 20 ft\n"
    "[pipe riser-{floor}]\nfloors = 1..3\nfrom = riser-{floor-1}\n"
    "size = 2 in\nlength = 12 ft\nrise = 12 ft\n"
    "[fixture wc-{floor}]\nfloors = 1..3\non = riser-{floor}\n"
    "kind = water closet, flush valve\n";

/* What is written of a call is read back to a few units in the last place of a
 * double, 1e-15 of the figure; what is worked out is off by more where it is a
 * small difference of large pressures. */
#define LAST_PLACES 1e-9

/* Twice 70 characters. */
#define LONG_TEXT                                                             \
    "0123456789012345678901234567890123456789012345678901234567890123456789"  \
    "0123456789012345678901234567890123456789012345678901234567890123456789"

fc_site *changed_site(const fc_site *site, const struct fci_change *changes,
                      size_t n);

/* The text of a site with changes; malloc'ed. */
char *written(const fc_site *site, const struct fci_change *changes, size_t n,
              const char *heading);
/* The site that the written text reads as; in its folder. */
fc_site *read_written(const fc_site *site, const struct fci_change *changes,
                      size_t n);

/* Every part of a site added by calls, as it was given. */
fc_site *called_twin(const fc_site *site);

#endif
