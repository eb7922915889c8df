/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/words/assume_flow.c -- what all that works out a flush takes for
 * granted. */
#include "words/findings.h"

void
fci_assume_valves(struct fci_findings *f)
{
    fci_assume(
        f,
        "a valve's flow is its data-sheet rate, scaled by the square root of "
        "its inlet pressure; a reading is of the steady middle of a flush");
}

void
fci_assume_others(struct fci_findings *f)
{
    fci_assume(f, "fixtures other than the valves that flush are taken as "
                  "shut; steady draws are on");
}

void
fci_assume_generic(struct fci_findings *f, const char *names)
{
    if (names)
        fci_assume(f, "generic class rates are used for the valves of %s",
                   names);
}

void
fci_assume_stops(struct fci_findings *f)
{
    fci_assume(f, "a control stop has no loss unless its \"stop\" is given");
}
