/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/size_sites.h -- invented sites with pipes whose size is to
 * be chosen, few enough that every combination of sizes can be made and
 * judged. */
#ifndef TESTS_GENERATORS_SIZE_SITES_H
#define TESTS_GENERATORS_SIZE_SITES_H

#include "check/judge.h"

#include <stdbool.h>
#include <stddef.h>

#define MOST_CHOSEN 6  /* pipes to be chosen */
#define MOST_OFFERED 5 /* sizes of a material, or that have a price */

/* What the sizes of one material are, and what they cost. */
struct offered {
    const char *material;
    const char *labels[MOST_OFFERED];
    double inches[MOST_OFFERED];
    double price[MOST_OFFERED]; /* per ft or m, in the site's units; 0: none */
    double each;
    size_t n;
};

struct chosen_pipe {
    char name[8];
    const struct offered *offered;
    double length;   /* nominal, in feet or, of a site in SI, in metres */
    size_t upstream; /* the nearest pipe to be chosen; SIZE_MAX: none */
    double cap;      /* the nearest pipe is in place: its inches; INFINITY */
    double least;    /* inches of the least supply on it; 0: none */
};

struct size_site {
    struct offered offered[2];
    size_t n_offered;
    bool busy, priced, metric, converted;
    struct chosen_pipe pipes[MOST_CHOSEN];
    size_t n_pipes;
    char text[12000]; /* "@0" to "@5" where the sizes stand */
};

/* What its source gives is somewhat more, or less, than the largest sizes
 * would need.  `busy`: its flush valves are on more often than the peak demand
 * has it. */
void size_site_make(struct size_site *s, unsigned long seed, bool busy);

/* The text with sizes, by their places among those offered; NULL: to be
 * chosen.  It lasts until the next call. */
const char *size_site_text(const struct size_site *s, const size_t *sizes);

/* The tables file of the invented materials that the texts refer to.  It has a
 * kind of fixture too, "trough, flush valve", without a pressure. */
void size_tables_write(void);
void size_tables_remove(void);
const char *size_tables_path(void);

/* ---- All combinations ------------------------------------------------- */

/* A site that can be given any sizes. */
struct all_sizes {
    const struct size_site *of;
    fc_site *sites[MOST_OFFERED]; /* all pipes at one place of those offered */
    struct fci_pipe *own[MOST_CHOSEN];
    size_t element[MOST_CHOSEN];
    bool fast[MOST_CHOSEN][MOST_OFFERED]; /* over its velocity limit */
    struct fci_judge judge;               /* of the first site */
};

void all_sizes_begin(struct all_sizes *all, const struct size_site *of);
void all_sizes_end(struct all_sizes *all);

/* Whether the sizes break no rule that has nothing to do with pressure. */
bool sizes_may_be(const struct all_sizes *all, const size_t *sizes);
/* Whether every fixture has at peak, in each state, what it needs and so much
 * more [Pa], and all else that a check asks for in the state to be. */
bool sizes_serve(struct all_sizes *all, const size_t *sizes, double more);
double sizes_cost(const struct size_site *s, const size_t *sizes);

/* The least cost of those that may be and serve, with `more` -INFINITY of all
 * that may be; INFINITY: none do.  Sets the sizes, and how many combinations
 * there are that may be. */
double cheapest_sizes(struct all_sizes *all, double more, size_t *sizes,
                      size_t *n_may);

#endif
