/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/words.c -- the library's judgements in words. */
#include "report/words.h"
#include "report/shapes.h"

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
