/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/surge_way.h -- the way from a flush valve to its source, as a
 * wave meets it. */
#ifndef FCI_EFFECTS_SURGE_WAY_H
#define FCI_EFFECTS_SURGE_WAY_H

#include "laws/surge.h"
#include "site/site.h"

/* Of a pipe, at the three ends: FCI_WORST where a surge is largest. */
struct fci_wave_pipe {
    double length, area; /* [m], [m2] */
    double speed;        /* of a wave [m/s] */
};

struct fci_surge_way {
    const size_t *elements; /* from the one that feeds the valve up, without
                               the source */
    size_t n;
    /* By end: density over area times length, of all pipes and of those up to
     * where the first one ends or branches off [Pa s2/m3]. */
    double inertia[FCI_ENDS], run_inertia[FCI_ENDS];
    double length[FCI_ENDS], run_length[FCI_ENDS];
    double time[FCI_ENDS], run_time[FCI_ENDS]; /* of a wave, there and back,
                                                  least at FCI_BEST */
    double hardest[FCI_ENDS]; /* rise by a flow of 1 m3/s stopped at once, the
                                 most of the pipes */
    double first[FCI_ENDS];   /* the same of the first pipe */
    struct fci_wave_pipe feeds[FCI_ENDS]; /* the first pipe */
    size_t run;                           /* elements of that first run */
    bool uniform; /* one pipe all the way, as it were: of one bore, with
                         nothing branching off */
    bool rigid;   /* the elasticity of some pipe is not known */
};

/* What all ways are asked for. */
struct fci_surge_site {
    const fc_site *site;
    double sound, density;
    struct fci_wave_pipe *pipes; /* by element, FCI_ENDS of each */
    bool *rigid;                 /* by element */
    size_t *children;            /* by element: how many elements it feeds */
    struct fci_follow *follow;   /* by element: its outlet, at FCI_WORST */
    double *storage;             /* by element: of it and all that it feeds,
                                    area times length over density and the
                                    square of the wave speed, the most */
};

/* What surely takes the pressure over a rating that the file gives, by
 * fixture; of the others `within` is FC_CANNOT_TELL.  In the arena; NULL: no
 * rating is given.  FC_OK, FC_ENOCONV, FC_ENOMEM and as fci_network_new(). */
fc_status fci_surges_over(const fc_site *site, fc_state state,
                          struct fci_arena *arena, const fc_surge **surges,
                          fc_diagnostics *messages);

/* Finds `follow` and `storage` once the pipes are there; false: out of
 * memory. */
bool fci_surge_follow(struct fci_surge_site *of, struct fci_arena *arena);

/* In the arena; false: out of memory. */
bool fci_surge_site_make(struct fci_surge_site *of, const fc_site *site,
                         struct fci_arena *arena);
bool fci_surge_way_make(struct fci_surge_way *way,
                        const struct fci_surge_site *of, size_t element,
                        struct fci_arena *arena);

#endif
