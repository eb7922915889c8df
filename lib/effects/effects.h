/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/effects.h -- what else a retrofit changes, area by area. */
#ifndef FCI_EFFECTS_EFFECTS_H
#define FCI_EFFECTS_EFFECTS_H

#include "effects/uses.h"
#include "flow/solver.h"
#include "ground/telling.h"
#include "words/findings.h"

#define FCI_EFFECT_AREAS (FC_COLD_DIP_EFFECT + 1)
#define FCI_MOST_EFFECT_ROWS (4 * FCI_EFFECT_AREAS)

struct fci_effect_judged {
    bool states[FC_STATES]; /* in these it is judged */
    fc_effect_verdict verdict;
};

struct fci_effects {
    const fc_site *site;
    bool converted;
    fc_effects *result;
    struct fci_arena *arena; /* of the result */
    struct fci_arena scratch;
    /* By state; of a building that is not converted the first alone. */
    struct fci_network *network[FC_STATES];
    struct fci_solver *solver[FC_STATES];
    struct fci_year year;
    const struct fci_use *uses[FC_STATES]; /* of it, one per fixture */
    struct fci_findings found;
    fc_effect *summary; /* room for FCI_MOST_EFFECT_ROWS */
    size_t n_summary;
    struct fci_effect_judged judged[FCI_EFFECT_AREAS];
    struct fci_telling telling; /* of the area at hand */
};

/* The states there are: the first n. */
static inline int
fci_effect_states(const struct fci_effects *e)
{
    return e->converted ? FC_STATES : 1;
}

/* A row of the summary, of at most four of its area; its texts live as long
 * as the result.  What is not said of the values is said in the unit of their
 * dimension.  `what` gets that unit then, or the one that the row names.
 * A row of which nothing is given or said in any state is left out.  Out of
 * memory is told by `failed` of the arena. */
void fci_effect_row(struct fci_effects *e, const fc_effect *row);
/* "12.3 psi", "1,980 to 2,640 gal"; in the arena; NULL: not given, or out of
 * memory. */
const char *fci_effect_said(struct fci_effects *e, fc_dimension dimension,
                            fc_range value);
/* That it works in a state holds only with this: "with stops opened in
 * order". */
void fci_effect_only_if(struct fci_effects *e, fc_effect_area area,
                        fc_state state, const char *condition);
/* What an area comes to in a state, the worst of all that it says of it; `why`
 * of the worst, NULL where nothing is to be said. */
void fci_effect_judge(struct fci_effects *e, fc_effect_area area,
                      fc_state state, fc_verdict verdict, const char *why);

typedef fc_status fci_effect_find(struct fci_effects *e,
                                  fc_diagnostics *messages);

/* Have an area looked at.  Where its flows did not settle nothing can be told
 * of it, which is said with the reason, and the other areas do without.
 * FC_OK, FC_ENOMEM, and what else `find` returns. */
fc_status fci_effect_look(struct fci_effects *e, fc_effect_area area,
                          fci_effect_find *find, fc_diagnostics *messages);

/* Each area fills its part of the result.  FC_OK, FC_ENOCONV, FC_ENOMEM. */
fci_effect_find fci_effects_water, fci_effects_valves, fci_effects_batteries,
    fci_effects_hygiene, fci_effects_renewal, fci_effects_surge,
    fci_effects_tank, fci_effects_restart, fci_effects_cold_dip;

#endif
