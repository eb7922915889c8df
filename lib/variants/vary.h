/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/variants/vary.h -- a finished site whose inputs may be given other
 * values.
 *
 * A copy that every part of the library reads as a site, with every input
 * exact: at first at its nominal value.  To draw inputs at random, or to try
 * what a fault would do, its figures are set one by one; structure and names
 * are the site's, which must outlive it.  A variant belongs to one thread.
 */
#ifndef FCI_VARIANTS_VARY_H
#define FCI_VARIANTS_VARY_H

#include "site/inputs.h"
#include "site/site.h"

/* One input that is not known exactly. */
struct fci_input {
    const char *name;       /* of the part: "riser-3"; of a material where all
                               its pipes share one */
    const char *what;       /* "length", "static pressure", "C" */
    fc_dimension dimension; /* of the value; FC_NUMBER too for C */
    enum fci_measured measured;
    fc_range given;               /* its range, low < high */
    const struct fci_size *sizes; /* any of these instead; NULL: a figure */
    size_t n_sizes;
    size_t element;  /* that it belongs to; FCI_NONE: another, or several */
    size_t first, n; /* the places of its value (private) */
};

struct fci_variant {
    fc_site site; /* to be read only */
    const fc_site *from;
    struct fci_input *inputs;
    size_t n_inputs;
    struct fci_arena arena;
    struct fci_part *parts; /* of the elements */
    struct fci_pipe *pipes; /* by element */
    fc_fixture *given;      /* by fixture */
    fc_valve *valves;       /* each name once */
    const fc_valve **valves_from;
    size_t n_valves;
    size_t *valve_of; /* by fixture and state; FCI_NONE: none */
    struct fci_value_place *places;
    size_t n_places, places_room, inputs_room;
    bool out_of_memory;
    bool ranged; /* what is not set stays a range */
};

/* FC_OK or FC_ENOMEM; freed with fci_variant_free() on any outcome.  It must
 * not be moved. */
fc_status fci_variant_make(struct fci_variant *variant, const fc_site *site);
/* The same with every input as the range that it is until it is set. */
fc_status fci_variant_make_ranged(struct fci_variant *variant,
                                  const fc_site *site);
void fci_variant_free(struct fci_variant *variant);

/* An input to a value within its range, or the k-th of its sizes. */
void fci_variant_set(struct fci_variant *variant, size_t input, double value);
void fci_variant_set_size(struct fci_variant *variant, size_t input, size_t k);
/* All inputs at their nominal values again, and what was set below undone. */
void fci_variant_reset(struct fci_variant *variant);

/* What a fault changes.  Each holds until fci_variant_reset(). */

/* The struct of an element, by its kind: fc_source, fc_device, fc_reducer or
 * fc_pump.  Ranges in it are exact, and must stay so. */
void *fci_variant_data(struct fci_variant *variant, size_t element);
/* A pipe of another C or bore (0: as it is). */
void fci_variant_pipe(struct fci_variant *variant, size_t element, double c,
                      double bore);
fc_fixture *fci_variant_fixture(struct fci_variant *variant, size_t fixture);
/* NULL: none.  All fixtures with a valve of that name share it. */
fc_valve *fci_variant_valve(struct fci_variant *variant, size_t fixture,
                            fc_state state);

#endif
