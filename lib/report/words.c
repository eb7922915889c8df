/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/words.c -- the library's judgements in words. */
#include "report/words.h"

#include <string.h>

const char *
fci_verdict_word(fc_verdict verdict)
{
    return verdict == FC_WORKS           ? "yes"
           : verdict == FC_WILL_NOT_WORK ? "no"
                                         : "cannot tell";
}

const char *
fci_site_verdict_word(fc_verdict verdict)
{
    return verdict == FC_WORKS           ? "works"
           : verdict == FC_WILL_NOT_WORK ? "does not work"
                                         : "cannot tell";
}

const char *
fci_fixture_verdict_word(const fc_fixture_state *end)
{
    if (end->works == FC_WILL_NOT_WORK)
        return end->pressure == FC_WILL_NOT_WORK ? "short" : "fails";
    return end->works == FC_WORKS && end->too_high == FC_WILL_NOT_WORK
               ? "too high"
               : fci_site_verdict_word(end->works);
}

const char *
fci_too_high_word(fc_verdict too_high)
{
    return too_high == FC_WORKS           ? "no"
           : too_high == FC_WILL_NOT_WORK ? "yes"
                                          : "cannot tell";
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
fci_change_word(fc_change change)
{
    switch (change) {
    case FC_NOT_CONVERTED:
        break;
    case FC_KEEPS_WORKING:
        return "keeps working";
    case FC_STOPS_WORKING:
        return "stops working";
    case FC_STARTS_WORKING:
        return "starts working";
    case FC_STILL_SHORT:
        return "still short";
    case FC_CHANGE_UNKNOWN:
        return "cannot tell";
    }
    return NULL;
}

enum fci_tint
fci_change_tint(fc_change change)
{
    switch (change) {
    case FC_NOT_CONVERTED:
        break;
    case FC_KEEPS_WORKING:
    case FC_STARTS_WORKING:
        return FCI_GOOD;
    case FC_STOPS_WORKING:
    case FC_STILL_SHORT:
        return FCI_BAD;
    case FC_CHANGE_UNKNOWN:
        return FCI_UNSURE;
    }
    return FCI_PLAIN_TINT;
}

const char *
fci_governor_word(fc_governor governor)
{
    return governor == FC_CODE_GOVERNS    ? "code"
           : governor == FC_VALVE_GOVERNS ? "valve"
                                          : NULL;
}

const char *
fci_reading_word(fc_demand_reading reading)
{
    return reading == FC_INTERPOLATE ? "interpolate" : "next row";
}

const char *
fci_kind_said(const char *kind)
{
    return strcmp(kind, "prv") == 0 || strcmp(kind, "reducer") == 0 ? "PRV"
           : strcmp(kind, "backflow") == 0 ? "backflow preventer"
                                           : kind;
}

const char *
fci_severity_word(fc_severity severity)
{
    return severity == FC_FAIL   ? "fail"
           : severity == FC_WARN ? "warn"
                                 : "note";
}

const char *
fci_state_word(fc_state state)
{
    return state == FC_RETROFIT ? "retrofit" : "existing";
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
