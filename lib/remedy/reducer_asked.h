/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/reducer_asked.h -- what fixtures ask of the setting of a reducer.
 */
#ifndef FCI_REMEDY_REDUCER_ASKED_H
#define FCI_REMEDY_REDUCER_ASKED_H

#include "check/judge.h"
#include "site/tree.h"

/* The end at which the pressure without flow is highest. */
#define FCI_HIGHEST FCI_BEST

/* To an element's outlet from that of the last pump that holds on the way, or
 * from the reducer's. */
struct fci_to_outlet {
    double taken; /* of the pressure at peak [Pa] */
    /* Without flow it leaves min(from - lost, cap). */
    double lost, cap;
    size_t pump; /* element; FCI_NONE: the reducer */
};

/* What one fixture asks of the setting. */
struct fci_asked {
    const struct fci_fixture *fixture;
    double height;    /* of its inlet [m] */
    double low, high; /* -INFINITY, INFINITY: nothing */
};

/* Where a reducer stands, or would, and what it does to its setting. */
struct fci_station {
    size_t outlet;   /* element */
    double still;    /* without flow, wide open, at most [Pa] */
    double fall_off; /* at peak [Pa] */
    /* The setting may be off by so much, and by this share of itself. */
    double below, above, share;
};

/* Of one site; what is found is of the station last asked for. */
struct fci_asking {
    const struct fci_judge *judge;
    const fc_site *site;
    fc_state state;
    struct fci_tree tree;
    struct fci_to_outlet *way; /* by element, from the reducer in hand */
    struct fci_asked *asked;   /* by the fixtures behind it */
};

/* Room for any station; false when out of memory. */
bool fci_asking_make(struct fci_asking *asking, const struct fci_judge *judge,
                     fc_state state, struct fci_arena *arena);
/* What every fixture behind the station asks; returns how many there are. */
size_t fci_asking_list(struct fci_asking *asking,
                       const struct fci_station *station);
/* The same of those fed from the station's own outlet of which `fed`, by
 * fixture, is true. */
size_t fci_asking_list_fed(struct fci_asking *asking,
                           const struct fci_station *station, const bool *fed);

#endif
