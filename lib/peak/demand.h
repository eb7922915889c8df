/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/peak/demand.h -- peak demand of every element, by units and by chance.
 */
#ifndef FCI_PEAK_DEMAND_H
#define FCI_PEAK_DEMAND_H

#include "site/site.h"

/* What is downstream of one element, and the flow it comes to. */
struct fci_demand {
    double units;         /* cold, hot or total, by where the heater is */
    double other_units;   /* of those, without a flush valve */
    double falling_units; /* with UPC Table 610.10 for the valves; or NAN */
    bool valves;          /* any flush valve downstream */
    bool beyond;          /* units beyond the demand table's last row */
    double largest[FCI_ENDS];          /* single fixture flow [m3/s] */
    double steady[FCI_ENDS];           /* [demand] flows [m3/s] */
    double by_units[FCI_ENDS];         /* peak by the code [m3/s] */
    double by_other_reading[FCI_ENDS]; /* the same with its table read the
                                          other way */
    double by_probability[FCI_ENDS];   /* peak by chance; NAN: the rate or the
                                          volume of a valve is not known */
    double step; /* rates were rounded up to a multiple of this [m3/s]; 0 */
    double flow[FCI_ENDS]; /* the one that counts, by [site] peak */
    /* the same where counts of fixtures alone are at that end */
    double counted[FCI_ENDS];
};

/* What the peak demand would be if something were otherwise than the site
 * has it.  All zero: as the site has it. */
struct fci_demand_as {
    bool by_units;           /* by the fixture units of the code's table,
                                whatever the file says of them and of the
                                peak */
    bool smaller_units;      /* a flush volume that is not known is one of the
                                smaller kind */
    double longest_interval; /* between two uses [s]: a longer one counts as
                                this; 0: any */
};

/* One per element of the site, in a malloc'ed array; NULL when out of memory.
 * The elements are trees. */
struct fci_demand *fci_demand_new(const fc_site *site, fc_state state);
struct fci_demand *fci_demand_new_as(const fc_site *site, fc_state state,
                                     const struct fci_demand_as *as);

/* The flow of the code's demand table for some fixture units; beyond the last
 * row, the last two rows' line by either reading. */
double fci_demand_flow(const struct fci_curve_rows *rows,
                       fc_demand_reading reading, double units, bool valves,
                       bool *beyond);

/* Fixture units of one fixture (not times its count) in a state.  Where they
 * turn on a flush volume that is not known, the larger ones. */
struct fci_units_of_use fci_fixture_units(const struct fci_fixture *fixture,
                                          fc_state state);

/* Those of the code's table, though the fixture may state its own; not given:
 * the table has none for its use. */
struct fci_units_of_use fci_code_units(const struct fci_fixture *fixture,
                                       fc_state state);

/* Whether its units turn on a flush volume that is not known: a generic
 * class that was assumed tells none. */
bool fci_units_unknown(const struct fci_fixture *fixture, fc_state state);

/* Whether it mixes hot water with cold. */
bool fci_has_hot_water(const struct fci_fixture_kind *kind);

/* Flow of one fixture alone [m3/s]: the higher of the code's and its valve's;
 * 0 where neither says. */
fc_range fci_fixture_flow(const fc_site *site,
                          const struct fci_fixture *fixture, fc_state state);

#endif
