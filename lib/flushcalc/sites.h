/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/sites.h -- many site files checked at once, a line each. */
#ifndef FLUSHCALC_SITES_H
#define FLUSHCALC_SITES_H

#include "flushcalc/check.h"

#ifdef __cplusplus
extern "C" {
#endif

/** One of the files. */
typedef struct fc_site_file {
    const char *path; /* what it is called */
    const char *text; /* what is in it; NULL: it is read by its path */
    size_t length;    /* of the text */
    FC_ROOM(8);
} fc_site_file;

/** A site in one state, in short. */
typedef struct fc_site_state {
    fc_verdict works;
    size_t working, failing, unclear; /* fixtures, each of a group counted */
    const char *governing;            /* NULL: nothing requires */
    fc_range margin;                  /* of that fixture */
    bool flushes;               /* there are flush valves of known rates: */
    int at_once, at_once_worst; /* so many at once starve none, nominal and
                                   with the inputs at their worst */
    fc_verdict too_high;        /* beside `works` */
    FC_ROOM(7);
} fc_site_state;

/** What is left of one site once it is checked. */
typedef struct fc_site_line {
    const char *path;
    bool calculated;     /* false: nothing below but n_errors is known */
    size_t n_errors;     /* messages that say why it is not */
    size_t place;        /* among the files, from 0 */
    const char *digest;  /* as fc_site_digest() */
    const char *title;   /* NULL: not given */
    fc_verdict works;    /* as of fc_check_result */
    fc_verdict too_high; /* the same */
    fc_state judged;     /* the state that both are of */
    const char *reason;  /* what they rest on, in a word or two; "" */
    size_t n_warnings;   /* findings that are FC_WARN in that state */
    fc_site_state states[FC_STATES]; /* the second only after a retrofit */
    const char *const *overrides;    /* what the file sets otherwise, a
                                        sentence each */
    size_t n_overrides;
    const fc_set_value *set; /* over the file */
    size_t n_set;
    FC_ROOM(6);
} fc_site_line;

typedef struct fc_checked_sites {
    const fc_site_line *lines; /* the worst first: what does not work, has too
                                  much pressure, cannot be told, may have too
                                  much, works; among equals the least margin,
                                  then the name; what could not be calculated
                                  last */
    size_t n_lines;
    size_t n_broken;      /* of them, not calculated */
    fc_verdict works;     /* the worst of those that are calculated */
    fc_verdict too_high;  /* the same */
    fc_unit_system units; /* of most files that are calculated; of as many
                             of each: FC_US */
    const fc_diagnostics *const *messages; /* of each file by its place; NULL:
                                              there is nothing to say */
    size_t n_other_units; /* calculated, but with other units than these */
} fc_checked_sites;

/** How to check them.  All zero: the defaults. */
typedef struct fc_sites_options {
    fc_check_options check; /* of each; `threads` take a site each, and
                               `progress` tells of all */
    bool in_units;          /* report in these, not in the files' own */
    fc_unit_system units;
    const char *const *settings; /* over each file, as of
                                    fc_site_read_with() */
    size_t n_settings;
    FC_ROOM(6);
} fc_sites_options;

/**
 * Read and check files, a thread a site.
 *
 * Each line says what fc_check_with() says of that file alone.  No more than
 * the lines is kept, so that memory does not grow with the buildings.
 *
 * @param options  NULL is the defaults
 * @param result   set to a result to be freed; kept on failure
 *
 * @return FC_OK  also where files are broken
 *         FC_EINPUT  a file without a path, or options that cannot be
 *         FC_ENOMEM
 */
fc_status fc_check_sites(const fc_site_file *files, size_t n,
                         const fc_sites_options *options,
                         fc_checked_sites **result);
void fc_checked_sites_free(fc_checked_sites *sites);

#ifdef __cplusplus
}
#endif

#endif
