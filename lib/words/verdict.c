/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/words/verdict.c -- the verdicts of a state in words. */
#include "words/verdict.h"

const char *
fci_verdict_said(fc_verdict works, fc_verdict too_high)
{
    static const char *const words[][3] = {
        [FC_WORKS] = { [FC_WORKS] = "works",
                       [FC_WILL_NOT_WORK] = "too high",
                       [FC_CANNOT_TELL] = "may be too high" },
        [FC_WILL_NOT_WORK] = { [FC_WORKS] = "does not work",
                               [FC_WILL_NOT_WORK] = "does not work, too high",
                               [FC_CANNOT_TELL] =
                                   "does not work, may be too high" },
        [FC_CANNOT_TELL] = { [FC_WORKS] = "cannot tell",
                             [FC_WILL_NOT_WORK] = "cannot tell, too high",
                             [FC_CANNOT_TELL] =
                                 "cannot tell, may be too high" },
    };

    return words[works][too_high];
}

fc_verdict
fci_worse_of(fc_verdict a, fc_verdict b)
{
    if (a == FC_WILL_NOT_WORK || b == FC_WILL_NOT_WORK)
        return FC_WILL_NOT_WORK;
    return a == FC_WORKS ? b : a;
}
