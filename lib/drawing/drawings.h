/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/drawings.h -- the drawings of a page, as SVG.
 *
 * Each is an <svg> of class "drawing" with `width` and `height` in px at which
 * its text is 12 px, and a viewBox, so that a page may scale it.  It has a
 * <title> and a <desc>, no script, no style of its own that another could
 * meet, and no id, so that many may stand in one page.  Texts are of class
 * "label" and symbols of class "symbol"; none lies over another.  States and
 * failures differ in shape, dash and word as well as in color.
 */
#ifndef FCI_DRAWING_DRAWINGS_H
#define FCI_DRAWING_DRAWINGS_H

#include "flushcalc.h"

#include <libxml/xmlwriter.h>

/* What a report tells of one place, in the place of what a check tells. */
struct fci_point {
    fc_range pressure; /* not given: none is told */
    fc_range flow;     /* likewise */
    const char *word;  /* "reads 37.0 psi"; NULL: none */
    fc_verdict mark;   /* FC_WILL_NOT_WORK is marked as a failure,
                          FC_CANNOT_TELL as in doubt, where `word` is told */
    bool unmarked;     /* it has no such mark */
    bool apart;        /* drawn by itself, and not folded with others */
};

/* By the name of an element or a fixture; false: nothing is told of it. */
struct fci_points {
    bool (*at)(void *context, const char *name, struct fci_point *point);
    void *context;
};

/* All return false when out of memory, or when the writer fails; what it holds
 * back may fail still when it is flushed. */

/* The riser diagram, to scale in height, alike floors and alike branches drawn
 * once.  What is too large for one sheet is drawn on several, an <svg> each.
 * `result` may be NULL: of a site with loops or several sources; `points` may
 * be NULL. */
bool fci_draw_riser(xmlTextWriterPtr out, const fc_site *site,
                    const fc_check_result *result,
                    const struct fci_points *points);

/* The hydraulic grade along the path to a fixture, in both states; the paths
 * are to the same fixture.  NULL: that state is not there. */
bool fci_draw_profile(xmlTextWriterPtr out, const fc_site *site,
                      const fc_check_result *result,
                      const fc_path *const paths[FC_STATES]);

/* The least margin against a swept input, and where the verdict flips. */
bool fci_draw_sweep(xmlTextWriterPtr out, const fc_sweep_result *sweep);

/* Cold pressure at the fixtures that suffer most, against the number of flush
 * valves that are open. */
struct fci_dips {
    const fc_cold_dip *dip;
    fc_unit_system units;
    bool converted;
    fc_state state; /* that is judged */
};
/* Whether there is one to draw. */
bool fci_has_dips(const struct fci_dips *dips);
bool fci_draw_dips(xmlTextWriterPtr out, const struct fci_dips *dips);

/* What the source gives against what is asked of it. */
bool fci_draw_supply(xmlTextWriterPtr out, const fc_site *site,
                     const fc_check_result *result);

#endif
