/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/supply.h -- what the files of supply and demand share. */
#ifndef FCI_DRAWING_SUPPLY_H
#define FCI_DRAWING_SUPPLY_H

#include "drawing/axis.h"
#include "drawing/svg.h"
#include "peak/source.h"

#include <math.h>

#define FCI_SUPPLY_WIDTH 640.0
#define FCI_SUPPLY_LEFT 64.0
#define FCI_SUPPLY_RIGHT 612.0
#define FCI_SUPPLY_TOP 48.0
#define FCI_SUPPLY_BOTTOM 352.0
#define FCI_SUPPLY_KEY 408.0 /* the first line below the axis */

/* A figure and its ends as they are printed, in the report's unit. */
struct fci_printed {
    double nominal, low, high;
};

struct fci_supply_demand {
    bool asked; /* a pressure is asked for */
    struct fci_printed flow, need;
    fc_range spare;
    fc_verdict works;
};

struct fci_supply {
    fc_unit_system units;
    const fc_source *source;
    fc_range shape;
    double weight;
    size_t n_demands;
    struct fci_supply_demand demands[FC_STATES];
    double tested; /* m3/s; 0: no flow test */
    struct fci_axis x, y;
};

struct fci_supply_look {
    const char *class, *color, *dash, *symbol, *word;
};
extern const struct fci_supply_look fci_supply_looks[FC_STATES];

/* What the source gives at a flow [m3/s], in Pa. */
static inline double
fci_supply_given(const struct fci_supply *s, double flow, enum fci_end end)
{
    return fci_source_pressure(s->source, s->shape, s->weight, flow, end);
}

/* A flow in the report's unit, in m3/s. */
static inline double
fci_supply_flow(const struct fci_supply *s, double flow)
{
    return flow / fc_from_si(s->units, FC_FLOW, 1);
}

/* Its worst and best ends are drawn where they lie apart. */
static inline bool
fci_supply_has_ends(const struct fci_supply *s)
{
    return fabs(fci_supply_given(s, 0, FCI_BEST)
                - fci_supply_given(s, 0, FCI_WORST))
               > 1
           || fabs(fci_supply_given(s, s->tested, FCI_BEST)
                   - fci_supply_given(s, s->tested, FCI_WORST))
                  > 1;
}

struct fci_said fci_supply_tell_source(const struct fci_supply *s);
struct fci_said fci_supply_tell_demand(const struct fci_supply *s,
                                       fc_state state);
struct fci_said fci_supply_tell_outcome(const struct fci_supply *s,
                                        fc_state state);
void fci_supply_key(struct fci_svg *svg, const struct fci_supply *s);

#endif
