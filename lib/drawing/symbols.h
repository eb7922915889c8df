/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/symbols.h -- the symbols of a riser diagram.
 *
 *   [Y32]  ASME Y32.2.3, Graphical symbols for pipe fittings, valves and
 *          piping, and ASME Y32.4 for plumbing fixtures (1949, 1977; from
 *          memory): a valve is two triangles, a check valve one with a bar, a
 *          meter a square with an M in it
 *   [I14]  ISO 14617, Graphical symbols for diagrams: a pump is a circle with
 *          a triangle in the direction of the flow (from memory)
 */
#ifndef FCI_DRAWING_SYMBOLS_H
#define FCI_DRAWING_SYMBOLS_H

#include "drawing/svg.h"
#include "site/site.h"

/* Half of the height and of the width that a symbol takes at most [px]. */
#define FCI_SYMBOL 10.0

enum fci_mark {
    FCI_MARK_NONE,
    FCI_MARK_SHORT,
    FCI_MARK_DOUBT,
    FCI_MARK_WORKS
};

/* What stands in the line at x, y; false: nothing does, of a pipe. */
bool fci_symbol_element(struct fci_svg *svg, const struct fci_element *element,
                        double x, double y);
/* What is at the end of a line. */
void fci_symbol_outlet(struct fci_svg *svg, const struct fci_fixture *fixture,
                       double x, double y);
/* A verdict, told by a shape beside its words. */
void fci_symbol_mark(struct fci_svg *svg, enum fci_mark mark, double x,
                     double y);
/* What the symbols of a kind are called in the legend; NULL: it has none. */
const char *fci_symbol_word(const struct fci_element *element);

#endif
