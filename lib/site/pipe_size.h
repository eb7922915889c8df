/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/pipe_size.h -- what a pipe is like at one of its material's sizes.
 */
#ifndef FCI_SITE_PIPE_SIZE_H
#define FCI_SITE_PIPE_SIZE_H

#include "site/site.h"

/* Equivalent length of its fittings [m]; what the table does not print at the
 * size counts as nothing, which a check tells. */
double fci_equivalent_length(const struct fci_pipe *pipe, double nominal);

/* What scale has left of its bore. */
fc_range fci_pipe_bore(const struct fci_pipe *pipe);

/* Pressure lost at 1 m3/s [Pa] at an end, with a bore and what its fittings
 * come to.  Its c and length are known. */
double fci_pipe_resistance(double weight, const struct fci_pipe *pipe,
                           fc_range bore, double equivalent, enum fci_end end);

/* The condition that is given of it, or of the site's pipes. */
fc_condition fci_pipe_condition(const fc_site *site,
                                const struct fci_pipe *pipe);
/* Its c by the table of its material, between aged and new unless a condition
 * is given, with what the site says a c may be off by.  `old`: it may have
 * stood for long, and not only as long as what a design reckons with. */
fc_range fci_table_c(const fc_site *site, const struct fci_pipe *pipe,
                     bool old);

/* The same pipe put in anew: what was given of it as it stands, c and inside
 * diameter, no longer holds.  It has a material. */
struct fci_pipe fci_pipe_anew(const fc_site *site,
                              const struct fci_pipe *pipe);

/* The same put in anew of another material. */
struct fci_pipe fci_pipe_of(const fc_site *site, const struct fci_pipe *pipe,
                            const struct fci_material *material);
/* Whether it is rougher than new pipe of a material that has all of its
 * fittings. */
bool fci_is_rougher(const fc_site *site, const struct fci_pipe *pipe,
                    const struct fci_material *material);

/* The length of straight pipe that its fittings are worth, nominal: of those
 * that are listed, or of what is usual where none are [m]. */
double fci_fittings_worth(const struct fci_pipe *pipe);

/* The resistance of a pipe of one of its material's sizes. */
double fci_resistance_at(double weight, const struct fci_pipe *pipe,
                         const struct fci_size *size, enum fci_end end);

#endif
