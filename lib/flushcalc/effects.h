/* SPDX-License-Identifier: GPL-3.0-or-later */
/* flushcalc/effects.h -- what else a retrofit changes. */
#ifndef FLUSHCALC_EFFECTS_H
#define FLUSHCALC_EFFECTS_H

#include "flushcalc/batteries.h"
#include "flushcalc/check.h"
#include "flushcalc/hygiene.h"
#include "flushcalc/renewal.h"
#include "flushcalc/surge.h"
#include "flushcalc/pressure_tank.h"
#include "flushcalc/cold_dip.h"
#include "flushcalc/restart.h"
#include "flushcalc/water_use.h"

#ifdef __cplusplus
extern "C" {
#endif

/* What is looked at, and the word for it.  One place for both. */
#define FC_EFFECT_AREA_LIST(X)                                                \
    X(FC_WATER_EFFECT, "water")                                               \
    X(FC_BATTERY_EFFECT, "batteries")                                         \
    X(FC_HYGIENE_EFFECT, "hygiene flush")                                     \
    X(FC_RENEWAL_EFFECT, "renewal")                                           \
    X(FC_SURGE_EFFECT, "surge")                                               \
    X(FC_TANK_EFFECT, "tank")                                                 \
    X(FC_RESTART_EFFECT, "restart")                                           \
    X(FC_COLD_DIP_EFFECT, "cold dip")

typedef enum fc_effect_area {
#define FC_EFFECT_AREA(area, word) area,
    FC_EFFECT_AREA_LIST(FC_EFFECT_AREA)
#undef FC_EFFECT_AREA
} fc_effect_area;

/** One figure in both states, side by side, with what it rests on. */
typedef struct fc_effect {
    fc_effect_area area;
    const char *what; /* "water a year, gal" */
    fc_dimension dimension;
    fc_range values[FC_STATES]; /* not given: it was not calculated, or there
                                   is none in that state */
    const char *unit;           /* that of the report, "gal"; where `dimension`
                                   is FC_NUMBER the one that `values` are in,
                                   "%", "h"; NULL: none */
    const char *said[FC_STATES]; /* the same in words, in the unit that `what`
                                    has, with the digits it is worth:
                                    "412,000" */
    const char *at;       /* the fixture or element; NULL: the building */
    const char *rests_on; /* "120 people, 250 days"; NULL: nothing more than
                             the file's piping; what stands before a "; " does
                             alone where there is little room */
    FC_ROOM(3);
} fc_effect;

/** Whether what an area looks at does harm, in each state. */
typedef struct fc_effect_verdict {
    fc_effect_area area;
    fc_verdict verdicts[FC_STATES]; /* of a building that is not converted the
                                       first alone */
    const char *why; /* of the state that is reported: "static + surge 172 psi
                        at wc-6, rating 150 psi" */
    const char *only_if[FC_STATES]; /* FC_WORKS holds only with this: "with
                                       stops opened in order"; NULL: at all
                                       events */
    FC_ROOM(4);
} fc_effect_verdict;

/** Everything is NULL, or none, that the site does not give rise to; the
 * findings and the assumptions say what is missing.  An area whose flows did
 * not settle is NULL too, and its verdict is FC_CANNOT_TELL. */
typedef struct fc_effects {
    const char *title;
    fc_unit_system units;
    bool converted;    /* the site has a retrofit */
    fc_state state;    /* the one that `enough` is of */
    fc_verdict enough; /* the worst of `verdicts` in that state: whether
                          anything that was looked at does harm */
    const fc_effect_verdict *verdicts; /* of the areas that are judged */
    size_t n_verdicts;
    const fc_effect *summary; /* in the order of the areas */
    size_t n_summary;
    const fc_water_use *water;
    const fc_batteries *batteries[FC_STATES];
    const fc_hygiene *hygiene;
    const fc_renewal *renewal;
    const fc_surges *surge;
    const fc_tank_water *tank;
    const fc_restart *restart;
    const fc_cold_dip *cold_dip;
    const fc_finding *findings;
    size_t n_findings;
    const char *const *assumptions;
    size_t n_assumptions;
    const fc_override *overrides; /* as of a check */
    size_t n_overrides;
    const fc_contradiction *contradictions; /* as of fc_check_result */
    size_t n_contradictions;
    FC_ROOM(12);
} fc_effects;

/** The word of an area: "water"; "" for any other number. */
const char *fc_effect_area_word(fc_effect_area area);

/**
 * What else a retrofit changes, in both states: water a year, batteries,
 * hygiene flushes, renewal, surge, tanks, the return of water, and the cold
 * pressure at other fixtures.
 *
 * @param site      a finished site; it is not changed
 * @param effects   set to a result to be freed; kept on failure; it borrows
 *                  from the site
 * @param messages  gets the reason on failure; may be NULL
 *
 * @return FC_OK
 *         FC_ESTATE        the site is not finished
 *         FC_EUNSUPPORTED  a size is yet to be chosen
 *         FC_EINPUT        loops whose ends do not fit together
 *         FC_ENOMEM
 */
fc_status fc_effects_find(const fc_site *site, fc_effects **effects,
                          fc_diagnostics *messages);

/** How to look for them.  All zero: the defaults. */
typedef struct fc_effects_options {
    void (*progress)(void *context, double done); /* as of fc_check_options */
    void *context;
    FC_ROOM(8);
} fc_effects_options;

/** As fc_effects_find(), with options; NULL is the defaults. */
fc_status fc_effects_find_with(const fc_site *site,
                               const fc_effects_options *options,
                               fc_effects **effects, fc_diagnostics *messages);
void fc_effects_free(fc_effects *effects);

#ifdef __cplusplus
}
#endif

#endif
