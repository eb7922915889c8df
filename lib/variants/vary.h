/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/variants/vary.h -- a finished site whose inputs may be given other
 * values.
 *
 * What has one cause is one input: a typical floor's value is that of all its
 * floors, the C of a material that of all its pipes (but for a smaller part of
 * each pipe's own), what a [tolerance] widens is off alike wherever it does.
 *
 * A copy that every part of the library reads as a site, with every input
 * exact: at first at its nominal value.  To draw inputs at random, or to try
 * what a fault would do, its figures are set one by one; structure and names
 * are the site's, which must outlive it.  A variant belongs to one thread.
 */
#ifndef FCI_VARIANTS_VARY_H
#define FCI_VARIANTS_VARY_H

#include "site/site.h"

/* Why several values move together. */
enum fci_tie {
    FCI_BY_ITSELF,    /* one value */
    FCI_FLOOR,        /* the elevation of one floor */
    FCI_TYPICAL,      /* one line of a typical floor's section */
    FCI_MATERIAL,     /* pipes of one material and one age */
    FCI_NOT_LISTED,   /* fittings that one person did not list */
    FCI_BY_TOLERANCE, /* one gauge, one set of plans */
    FCI_OWN_PART,     /* what a pipe's C has of its own */
    FCI_OF_MODEL      /* what the model itself may be off by */
};

/* One input that is not known exactly. */
struct fci_input {
    const char *name;       /* of the part: "riser-3"; of a material where its
                               pipes share one; of a typical floor's section
                               "each of riser-2 to riser-5" */
    const char *last_name;  /* of the part of the last place (private) */
    const char *what;       /* "length", "static pressure", "C" */
    fc_dimension dimension; /* of the value; FC_NUMBER too for C */
    fc_range given;         /* its range, low < high; where its places have
                               several, that of the first */
    const struct fci_size *sizes; /* any of these instead; NULL: a figure */
    size_t n_sizes;
    size_t element; /* that it belongs to; FCI_NONE: another, or several */
    enum fci_tie cause;
    bool usual;   /* nobody measured it: its range is what is usual */
    bool each;    /* by itself, as its typical floor says */
    bool differs; /* its places have several ranges: it is at the same part of
                     each */
    bool more_is_worse;              /* for the pressure at a fixture */
    size_t first, last, n;           /* the places of its value (private) */
    const struct fci_input_row *row; /* (private) */
    const struct fci_part *part;     /* the first (private) */
    const char *material;            /* (private) */
    const char *floor;               /* (private) */
};

/* The part of a material's range that a single pipe may be off from the
 * others: pipes of one system and age differ less from each other than such
 * systems do (common practice; nobody has published how much less). */
#define FCI_OWN_PART_OF_C 0.25
/* The forms of the friction law differ by so much (see flushcalc(1)). */
#define FCI_FRICTION_WITHIN 0.02

struct fci_variant {
    fc_site site; /* to be read only */
    const fc_site *from;
    struct fci_input *inputs;
    size_t n_inputs;
    struct fci_arena arena;
    struct fci_part *parts; /* of the elements */
    struct fci_pipe *pipes; /* by element */
    double *resistance;     /* the same, without `friction` */
    bool *changed;          /* the same: to be worked out again */
    fc_range friction;      /* of all pipes, over what the law gives */
    fc_fixture *given;      /* by fixture */
    fc_valve *valves;       /* each name once */
    const fc_valve **valves_from;
    size_t n_valves;
    size_t *valve_of; /* by fixture and state; FCI_NONE: none */
    struct fci_value_place *places;
    size_t n_places, places_room, inputs_room;
    size_t *shared; /* inputs that others may join */
    size_t n_shared, shared_room;
    bool out_of_memory;
    bool ranged; /* what is not set stays a range */
    bool left;   /* some input was left one */
};

/* FC_OK or FC_ENOMEM; freed with fci_variant_free() on any outcome.  It must
 * not be moved. */
fc_status fci_variant_make(struct fci_variant *variant, const fc_site *site);
/* The same with every input as the range that it is until it is set. */
fc_status fci_variant_make_ranged(struct fci_variant *variant,
                                  const fc_site *site);
void fci_variant_free(struct fci_variant *variant);

/* What the model itself may be off by as inputs too: the friction of all pipes
 * together, and the gauge that read a source's pressure where the site does
 * not say how well that is known.  FC_OK or FC_ENOMEM. */
fc_status fci_variant_add_model(struct fci_variant *variant);

/* Every input at a part of its range, 0 its low end and 1 its high one; NAN
 * leaves it the range that it is. */
void fci_variant_take(struct fci_variant *variant, const double *parts);
/* An input to a value within its range, or the k-th of its sizes; NAN leaves
 * it the range that it is. */
void fci_variant_set(struct fci_variant *variant, size_t input, double value);
void fci_variant_set_size(struct fci_variant *variant, size_t input, size_t k);
/* All inputs at their nominal values again, and what was set below undone. */
void fci_variant_reset(struct fci_variant *variant);

/* Whether two inputs, of variants of one site with other parts left out, are
 * the same. */
bool fci_same_input(const fc_site *site, const struct fci_input *a,
                    const struct fci_input *b);

/* What a fault changes.  Each holds until fci_variant_reset(). */

/* The struct of an element, by its kind: fc_source, fc_device, fc_reducer or
 * fc_pump.  Ranges in it are exact, and must stay so. */
void *fci_variant_data(struct fci_variant *variant, size_t element);
/* A pipe of another C or bore (0: as it is). */
void fci_variant_pipe(struct fci_variant *variant, size_t element, double c,
                      double bore);
/* A pipe of another length; what its fittings count for by it stays. */
void fci_variant_length(struct fci_variant *variant, size_t element,
                        double length);
fc_fixture *fci_variant_fixture(struct fci_variant *variant, size_t fixture);
/* NULL: none.  All fixtures with a valve of that name share it. */
fc_valve *fci_variant_valve(struct fci_variant *variant, size_t fixture,
                            fc_state state);

#endif
