/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/page/words.c -- the library's judgements in words. */
#include "page/words.h"

const char *
verdict_word(fc_verdict verdict)
{
    return verdict == FC_WORKS           ? "yes"
           : verdict == FC_WILL_NOT_WORK ? "no"
                                         : "cannot tell";
}

const char *
site_verdict_word(fc_verdict verdict)
{
    return verdict == FC_WORKS           ? "works"
           : verdict == FC_WILL_NOT_WORK ? "will not"
                                         : "cannot tell";
}

const char *
fixture_verdict_word(const fc_fixture_state *end)
{
    if (end->pressure == FC_WILL_NOT_WORK)
        return "short";
    return end->works == FC_WORKS && end->too_high == FC_WILL_NOT_WORK
               ? "too high"
               : site_verdict_word(end->works);
}

const char *
too_high_word(fc_verdict too_high)
{
    return too_high == FC_WORKS           ? "no"
           : too_high == FC_WILL_NOT_WORK ? "yes"
                                          : "cannot tell";
}

fc_verdict
worse_verdict(fc_verdict a, fc_verdict b)
{
    if (a == FC_WILL_NOT_WORK || b == FC_WILL_NOT_WORK)
        return FC_WILL_NOT_WORK;
    return a == FC_WORKS ? b : a;
}

enum tint
verdict_tint(fc_verdict verdict)
{
    return verdict == FC_WORKS           ? TINT_GOOD
           : verdict == FC_WILL_NOT_WORK ? TINT_BAD
                                         : TINT_UNSURE;
}

const char *
change_word(fc_change change)
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

enum tint
change_tint(fc_change change)
{
    switch (change) {
    case FC_NOT_CONVERTED:
        break;
    case FC_KEEPS_WORKING:
    case FC_STARTS_WORKING:
        return TINT_GOOD;
    case FC_STOPS_WORKING:
    case FC_STILL_SHORT:
        return TINT_BAD;
    case FC_CHANGE_UNKNOWN:
        return TINT_UNSURE;
    }
    return TINT_NONE;
}

const char *
governor_word(fc_governor governor)
{
    return governor == FC_CODE_GOVERNS    ? "code"
           : governor == FC_VALVE_GOVERNS ? "valve"
                                          : NULL;
}

const char *
reading_word(fc_demand_reading reading)
{
    return reading == FC_INTERPOLATE ? "interpolate" : "next row";
}

const char *
severity_word(fc_severity severity)
{
    return severity == FC_FAIL   ? "fail"
           : severity == FC_WARN ? "warn"
                                 : "note";
}

const char *
state_word(fc_state state)
{
    return state == FC_RETROFIT ? "retrofit" : "existing";
}

const char *
finding_state_word(const fc_finding *f)
{
    return f->states == FC_IN(FC_RETROFIT)   ? "retrofit"
           : f->states == FC_IN(FC_EXISTING) ? "existing"
                                             : NULL;
}

const char *
state_phrase(fc_state state)
{
    return state == FC_RETROFIT ? "after the retrofit" : "as it stands";
}

fc_state
judged_state(const fc_check_result *result)
{
    return result->converted ? FC_RETROFIT : FC_EXISTING;
}
