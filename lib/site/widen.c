/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/widen.c -- a single value widened by what it may be off. */
#include "site/resolve.h"

/* A single value becomes a range; a range the user gave stays. */
void
fci_widen(fc_range *value, const fc_deviation *off, double least)
{
    double amount;

    if (!value->given || !off->given || value->low < value->high)
        return;
    amount = off->is_fraction ? off->amount * value->nominal : off->amount;
    if (amount < 0) /* a share of a negative figure */
        amount = -amount;
    value->low -= amount;
    value->high += amount;
    if (value->low < least)
        value->low = least;
}
