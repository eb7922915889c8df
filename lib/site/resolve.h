/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/resolve.h -- finishing a site, piece by piece. */
#ifndef FCI_SITE_RESOLVE_H
#define FCI_SITE_RESOLVE_H

#include "site/site.h"

/* Where a list of what flushes named a fixture last. */
struct fci_naming {
    const fc_flushing *list; /* NULL: none did */
    bool twice;              /* it names it more than once, which was said */
};

struct fci_resolve {
    fc_site *site;
    fc_diagnostics *messages;
    fc_status worst;          /* FC_ENOMEM stays; otherwise the last failure */
    size_t *place_of;         /* part -> element or fixture, by its kind */
    struct fci_naming *named; /* by fixture */
    unsigned too_wide;        /* tolerances by field, which was said */
    size_t tried;             /* names that patterns were held against */
};

/* Remember an outcome; whether to go on (memory is not out). */
bool fci_resolve_note(struct fci_resolve *r, fc_status status);

/* A word that no entry of a book has. */
void fci_resolve_refuse(struct fci_resolve *r, const struct fci_part *part,
                        const char *key, const char *word,
                        const struct fci_book *book, const char *unknown,
                        const char *expected);

/* The element called `name` that `key` of a part refers to; FCI_NONE when
 * there is none, which is reported.  NULL names were reported before. */
size_t fci_resolve_element(struct fci_resolve *r, const struct fci_part *part,
                           const char *key, const char *name);
/* The same for a fixture. */
size_t fci_resolve_fixture(struct fci_resolve *r, const struct fci_part *part,
                           const char *key, const char *name);

/* The material that `material` of a part names; NULL when no table has it,
 * which is reported. */
const struct fci_material *fci_resolve_material(struct fci_resolve *r,
                                                const struct fci_part *part,
                                                const char *name);

/* Make a single value a range by what it may be off, not going under `least`;
 * a range the user gave stays. */
void fci_widen(fc_range *value, const fc_deviation *off, double least);

void fci_resolve_lists(struct fci_resolve *r);     /* "*" in names */
void fci_resolve_tree(struct fci_resolve *r);      /* elements, their order */
void fci_resolve_pipes(struct fci_resolve *r);     /* bores, resistances */
void fci_resolve_meters(struct fci_resolve *r);    /* losses by kind, size */
void fci_resolve_curves(struct fci_resolve *r);    /* points to curves */
void fci_resolve_fixtures(struct fci_resolve *r);  /* kinds, valves, heaters */
void fci_resolve_beyond(struct fci_resolve *r);    /* what they leave open */
void fci_resolve_heights(struct fci_resolve *r);   /* rises by elevation */
void fci_resolve_loops(struct fci_resolve *r);     /* rises of their pipes */
void fci_resolve_others(struct fci_resolve *r);    /* prices, readings, ... */
void fci_resolve_looks(struct fci_resolve *r);     /* what was seen */
void fci_resolve_tolerance(struct fci_resolve *r); /* single values widened */
void fci_resolve_feed(struct fci_resolve *r);      /* of a pressure tank */
void fci_resolve_usual(struct fci_resolve *r);     /* what is not given */
/* The gauge that a part names, which there must be; NULL: none. */
const fc_gauge *fci_gauge_of(struct fci_resolve *r,
                             const struct fci_part *part, const char *name);

#endif
