/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/words.c -- the library's judgements in words. */
#include "report/words.h"
#include "report/shapes.h"
#include "words/verdict.h"

#include <string.h>

const char *
fci_fixture_verdict_word(const fc_fixture_state *end)
{
    if (end->works == FC_WILL_NOT_WORK)
        return end->pressure == FC_WILL_NOT_WORK ? "short" : "fails";
    return end->works == FC_WORKS && end->too_high == FC_WILL_NOT_WORK
               ? "too high"
               : fci_word_of(&fci_verdict_words, (int)end->works);
}

fc_verdict
fci_worse_verdict(fc_verdict a, fc_verdict b)
{
    if (a == FC_WILL_NOT_WORK || b == FC_WILL_NOT_WORK)
        return FC_WILL_NOT_WORK;
    return a == FC_WORKS ? b : a;
}

enum fci_tint
fci_verdict_tint(fc_verdict verdict)
{
    return verdict == FC_WORKS           ? FCI_GOOD
           : verdict == FC_WILL_NOT_WORK ? FCI_BAD
                                         : FCI_UNSURE;
}

void
fci_cell_verdict(struct fci_grid *grid, fc_verdict works, fc_verdict too_high)
{
    fci_cell_tinted(grid, fci_verdict_said(works, too_high),
                    fci_verdict_tint(fci_worse_verdict(works, too_high)));
}

/* One that works but may have too much pressure is not certain. */
void
fci_total_add(struct fci_total *total, fc_verdict works, fc_verdict too_high)
{
    if (works == FC_WILL_NOT_WORK)
        total->fails++;
    else if (works == FC_WORKS && too_high == FC_WILL_NOT_WORK)
        total->too_high++;
    else if (works == FC_WORKS && too_high == FC_WORKS)
        total->works++;
    else
        total->unclear++;
}

void
fci_total_say(struct fci_doc *doc, const struct fci_total *total,
              const char *what)
{
    char too_high[40] = "", broken[80] = "";

    if (total->too_high > 0)
        snprintf(too_high, sizeof too_high, ", %zu too high", total->too_high);
    if (total->broken > 0)
        snprintf(broken, sizeof broken, ", %zu could not be calculated",
                 total->broken);
    fci_doc_say(doc, "%s: %zu work%s%s, %zu do%s not, %zu not certain%s.",
                what, total->works, total->works == 1 ? "s" : "", too_high,
                total->fails, total->fails == 1 ? "es" : "", total->unclear,
                broken);
}

const char *
fci_kind_said(const char *kind)
{
    return strcmp(kind, "prv") == 0        ? "PRV"
           : strcmp(kind, "backflow") == 0 ? "backflow preventer"
                                           : kind;
}

const char *
fci_finding_state_word(const fc_finding *f)
{
    return f->states == FC_IN(FC_RETROFIT)   ? "retrofit"
           : f->states == FC_IN(FC_EXISTING) ? "existing"
                                             : NULL;
}

const char *
fci_state_phrase(fc_state state)
{
    return state == FC_RETROFIT ? "after retrofit" : "existing";
}

fc_state
fci_judged_state(const fc_check_result *result)
{
    return result->converted ? FC_RETROFIT : FC_EXISTING;
}
