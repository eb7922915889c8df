/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/words/verdict.h -- the verdicts of a state in words. */
#ifndef FCI_WORDS_VERDICT_H
#define FCI_WORDS_VERDICT_H

#include "flushcalc.h"

/* The verdict on too little pressure and the one on too much, side by side:
 * "works", "too high", "cannot tell, too high". */
const char *fci_verdict_said(fc_verdict works, fc_verdict too_high);

/* The worse of two. */
fc_verdict fci_worse_of(fc_verdict a, fc_verdict b);

#endif
