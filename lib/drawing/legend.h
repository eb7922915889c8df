/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/legend.h -- what the symbols of a riser diagram mean. */
#ifndef FCI_DRAWING_LEGEND_H
#define FCI_DRAWING_LEGEND_H

#include "drawing/cells.h"

/* How high it is in a width. */
double fci_legend_height(const struct fci_diagram *diagram, double width);
void fci_legend_draw(struct fci_svg *svg, const struct fci_diagram *diagram,
                     double x, double y, double width);

#endif
