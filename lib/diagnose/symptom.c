/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/symptom.c -- what no pressure shows, by what is seen or heard.
 *
 * In order of ease: what is looked at, then what is turned, then what is
 * opened.  Source: common practice of those who repair flush valves.
 */
#include "diagnose/diagnose.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

static const char *const short_flush[] = {
    "control stop not fully open: open it and flush again",
    "neighbours on the same branch: where they are fine, it is this valve",
    "handle or solenoid that does not travel all the way",
    "wrong kit: that of a urinal or of a smaller volume in this valve",
    "worn or torn diaphragm or cup",
    "bypass enlarged, so that the chamber refills too soon",
    "vacuum breaker worn or stuck"
};
static const char *const weak_flush[] = {
    "control stop not fully open: open it and flush again",
    "bowl not made for this valve's volume: read the marking",
    "kit of another volume in the valve",
    "rim holes or jets of the bowl clogged",
    "strainer of the valve clogged",
    "drain or vent side slow: pour a bucket in and watch"
};
static const char *const long_flush[] = {
    "control stop too far open for tired parts",
    "kit too large: that of a closet in a urinal",
    "bypass partly clogged, so that the chamber refills slowly",
    "worn diaphragm or cup",
    "pressure too low to refill the chamber: take the flowing pressure"
};
static const char *const runs_on[] = {
    "pressure too low to close on: shut its stop, wait, open it slowly",
    "handle or button stuck",
    "sensor that sees a reflection, or a solenoid stuck open",
    "strainer or bypass clogged",
    "debris on the seat of the main or relief valve",
    "worn relief valve or diaphragm"
};
static const char *const noise[] = {
    "control stop throttled hard: open it and listen again",
    "loose pipe: hangers and clamps by hand",
    "arrestor missing, or waterlogged",
    "pressure too high: take the static pressure",
    "parts of the valve reversed or worn (chatter, hum)"
};
static const char *const splash[] = {
    "control stop too far open: throttle it until the bowl still clears",
    "low-volume bowl or urinal behind a valve of more volume",
    "pressure too high: take the flowing pressure",
    "drain partly clogged, so that the bowl fills"
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
