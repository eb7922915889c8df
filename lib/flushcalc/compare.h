/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/compare.h -- several buildings, or one with changes, side by side.
 */
#ifndef FLUSHCALC_COMPARE_H
#define FLUSHCALC_COMPARE_H

#include "flushcalc/check.h"
#include "flushcalc/sites.h"

#ifdef __cplusplus
extern "C" {
#endif

/** The least margin of what one pressure-reducing valve feeds, or none. */
typedef struct fc_compared_zone {
    const char *reducer;   /* NULL: none upstream */
    const char *governing; /* NULL: nothing there requires */
    fc_range margin;
    FC_ROOM(4);
} fc_compared_zone;

/** A building in one state, in short: the figures of fc_check_with(). */
typedef struct fc_compared_state {
    fc_verdict works, too_high;
    size_t working, failing, unclear; /* fixtures, each of a group counted */
    const char *governing;            /* NULL: nothing requires */
    fc_range margin;                  /* of that fixture */
    int valves;                       /* flush valves; 0: none has a ladder */
    int at_once_low;      /* that may be open at once, inputs at their worst */
    int at_once_high;     /* and best */
    fc_chance weak;       /* the largest of any fixture; in the worst case,
                             where an input is a range */
    fc_range peak_flow;   /* at the source */
    size_t over_velocity; /* pipes whose velocity is over their limit, or may
                             be */
    size_t n_too_high;    /* fixtures that have too much pressure, or may */
    const fc_compared_zone *zones;
    size_t n_zones;
    fc_at_once_limit at_once_limit; /* as of fc_at_once */
    FC_ROOM(7);
} fc_compared_state;

typedef enum fc_variant_of {
    FC_VARIANT_FILE, /* a file as it is */
    FC_VARIANT_CASE, /* one of its cases */
    FC_VARIANT_SET   /* the file with values set over it */
} fc_variant_of;

/** One of the buildings. */
typedef struct fc_compared_building {
    const char *path; /* the file, as it was named */
    fc_variant_of of;
    const char *name;  /* of the case, or what is set; of a file its path */
    const char *title; /* NULL: not given */
    bool calculated;   /* false: only n_errors below is known */
    size_t n_errors;
    const fc_diagnostics *messages; /* NULL: nothing to say */
    fc_verdict works, too_high;     /* as of fc_check_result */
    fc_state judged;
    fc_compared_state states[FC_STATES];
    const fc_set_value *set; /* over the file */
    size_t n_set;
    const char *const *differences; /* from the first of all that could be
                                       calculated, "street.static: 79 psi ->
                                       69 psi" each */
    size_t n_differences;
    bool priced; /* pipes differ from that one, and all of them have a price */
    double cost; /* of those, at the prices of the building */
    const char *const *errors; /* n_errors: why it is not calculated,
                                  "site.ini:7: what is wrong; what is
                                  expected" each */
    const char *digest;        /* of the file; NULL: it could not be read */
    FC_ROOM(6);
} fc_compared_building;

typedef struct fc_comparison {
    const fc_compared_building *buildings; /* each file, its cases, then what
                                              is set over it */
    size_t n_buildings, n_broken;
    fc_verdict works, too_high; /* the worst of those calculated */
    fc_unit_system units;
} fc_comparison;

/**
 * Check files, their cases, and each file with each of the settings of the
 * options over it: a group each.
 *
 * @param result  set to a result to be freed; kept on failure
 *
 * @return FC_OK  also where some cannot be calculated
 *         FC_EINPUT  a file without a path, or options that cannot be
 *         FC_ENOMEM
 */
fc_status fc_compare(const fc_site_file *files, size_t n,
                     const fc_sites_options *options, fc_comparison **result);
void fc_comparison_free(fc_comparison *comparison);

#ifdef __cplusplus
}
#endif

#endif
