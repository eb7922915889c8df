/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/symptom.c -- what no pressure shows, by what is seen or heard.
 *
 * In the order of a good plumber: what is asked, then what is looked at and
 * turned, then what is opened; the valve and its kit before the bowl.  Source:
 * common practice of those who repair flush valves.
 */
#include "diagnose/diagnose.h"

/* Before anything is turned. */
#define ASK                                                                   \
    "worse at busy times? Then read the pressure at such a time",             \
        "what work was done just before it began? Look there first"

#define COUNT(array) (sizeof(array) / sizeof *(array))

static const char *const short_flush[] = {
    ASK,
    "control stop not fully open: open it and flush again",
    "neighbors on the same branch: if they are fine, it is this valve",
    "strainer or screen of the stop clogged",
    "worn or torn diaphragm or cup",
    "wrong kit: urinal or smaller-volume kit in this valve",
    "bypass enlarged: the chamber refills too soon",
    "handle or solenoid not traveling all the way",
    "vacuum breaker worn or stuck"
};
static const char *const weak_flush[] = {
    ASK,
    "control stop not fully open: open it and flush again",
    "neighbors on the same branch: if they are weak too, read the pressure",
    "strainer or screen of the stop clogged",
    "worn diaphragm or cup",
    "wrong kit: another volume",
    "bowl not made for this valve's volume: read its marking",
    "rim holes or jets of the bowl clogged",
    "slow drain or vent: pour a bucket in and watch"
};
static const char *const long_flush[] = {
    ASK,
    "control stop too far open for worn parts",
    "kit too large: closet kit in a urinal",
    "bypass partly clogged: the chamber refills slowly",
    "worn diaphragm or cup",
    "pressure too low to refill the chamber: read the flowing pressure"
};
static const char *const runs_on[] = {
    ASK,
    "pressure too low to close: shut its stop, wait, open it slowly",
    "handle or button stuck",
    "sensor seeing a reflection, or solenoid stuck open",
    "strainer or bypass clogged",
    "debris on the seat of the main or relief valve",
    "worn relief valve or diaphragm"
};
static const char *const noise[] = {
    ASK,
    "control stop nearly closed: open it and listen again",
    "loose pipe: check hangers and clamps",
    "arrestor missing or waterlogged",
    "pressure too high: read the static pressure",
    "parts of the valve reversed or worn (chatter, hum)"
};
static const char *const splash[] = {
    ASK, "control stop too far open: close it until the bowl just clears",
    "low-volume bowl or urinal on a larger valve",
    "pressure too high: read the flowing pressure",
    "drain partly clogged: the bowl fills"
};

static const struct {
    const char *const *causes;
    size_t n;
} symptoms[] = {
    [FC_NO_SYMPTOM] = { NULL, 0 },
    [FC_SHORT_FLUSH] = { short_flush, COUNT(short_flush) },
    [FC_WEAK_FLUSH] = { weak_flush, COUNT(weak_flush) },
    [FC_LONG_FLUSH] = { long_flush, COUNT(long_flush) },
    [FC_RUNS_ON] = { runs_on, COUNT(runs_on) },
    [FC_NOISE] = { noise, COUNT(noise) },
    [FC_SPLASH] = { splash, COUNT(splash) },
};

const char *const *
fci_by_hand(fc_symptom symptom, size_t *n)
{
    const size_t i = (size_t)symptom < COUNT(symptoms) ? (size_t)symptom : 0;

    *n = symptoms[i].n;
    return symptoms[i].causes;
}
