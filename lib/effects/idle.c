/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/idle.c -- how often a valve that nobody uses flushes by itself.
 */
#include "effects/idle.h"

#include <math.h>

#define YEAR ((size_t)FCI_YEAR_DAYS)

/* After one use the chances of so many flushes are worked out one by one, and
 * of all in so many days; and a chance that tells nothing. */
#define FEW_FLUSHES 16
#define FEW_DAYS 8.0
#define NO_CHANCE 1e-9
/* Fewer flushes in a year are none. */
#define LEAST_TOLD 1e-6

/* Hours of use that are tried between the ends. */
#define HOURS_TRIED 3
/* Lengths of spells that are tried. */
#define MOST_LENGTHS 16

/* ---- The days of a year ------------------------------------------------- */

/* Closed days from where the calendar has got to. */
struct marking {
    struct fci_calendar *calendar;
    size_t at, blocks, done, n_used;
};

/* The days of use before the next spell, then the spell. */
static void
mark_spell(struct marking *m, size_t length)
{
    const size_t until = ++m->done * m->n_used / m->blocks;

    while (m->calendar->n_used < until && m->at < YEAR) {
        m->calendar->used[m->at++] = true;
        m->calendar->n_used++;
    }
    m->at += length < YEAR - m->at ? length : YEAR - m->at;
}

static size_t
length_of(const fc_spell *spell)
{
    return (size_t)round(fmin(spell->time / FCI_DAY, FCI_YEAR_DAYS));
}

static size_t
count_of(const fc_spell *spell)
{
    return (size_t)fmin(spell->count, FCI_YEAR_DAYS);
}

/* The spells of the file, then what closed days are left, as one more list. */
static size_t
list_spells(const fc_usage *usage, size_t closed, size_t spell, size_t *counts,
            size_t *lengths)
{
    size_t n = 0;

    for (size_t i = 0; i < usage->n_closed && n < YEAR; i++) {
        const size_t length = length_of(&usage->closed[i]);
        const size_t fit = length > 0 ? closed / length : 0;
        const size_t count = count_of(&usage->closed[i]);

        lengths[n] = length;
        counts[n] = count < fit ? count : fit;
        closed -= counts[n] * length;
        n += counts[n] > 0;
    }
    if (closed >= spell && spell > 0) {
        lengths[n] = spell;
        counts[n] = closed / spell;
        closed -= counts[n++] * spell;
    }
    if (closed > 0) {
        lengths[n] = closed;
        counts[n++] = 1;
    }
    return n;
}

void
fci_mark_days(const fc_usage *usage, double days, size_t spell,
              struct fci_calendar *calendar)
{
    size_t counts[YEAR + 2], lengths[YEAR + 2], placed[YEAR + 2] = { 0 };
    const size_t n_used = (size_t)round(fmin(fmax(days, 0), FCI_YEAR_DAYS));
    struct marking m = { .calendar = calendar, .n_used = n_used };
    const size_t n = list_spells(usage, YEAR - n_used, spell, counts, lengths);

    *calendar = (struct fci_calendar){ .n_used = 0 };
    for (size_t i = 0; i < n; i++)
        m.blocks += counts[i];
    if (m.blocks == 0) {
        m.blocks = 1;
        mark_spell(&m, 0);
    }
    while (m.done < m.blocks && n > 0) {
        size_t next = 0;

        /* that of which most are still to come, for its number */
        for (size_t i = 1; i < n; i++)
            if ((counts[i] - placed[i]) * counts[next]
                > (counts[next] - placed[next]) * counts[i])
                next = i;
        placed[next]++;
        mark_spell(&m, lengths[next]);
    }
}

/* ---- Flushes ------------------------------------------------------------ */

/* One use on day `day` at the time u of its hours, which last `hours`; `gap`
 * later is the time e = u + rest of the day `ends`. */
struct gap {
    const struct fci_calendar *calendar;
    const size_t *before;  /* days of use before each day of the year */
    double hours, per_day; /* uses expected on a day of use */
    size_t day, whole;     /* whole days of the gap, */
    double rest;           /* and what it has beyond */
};

static size_t
days_before(const struct gap *g, size_t day)
{
    return g->before[day % YEAR] + day / YEAR * g->calendar->n_used;
}

/* How many uses are expected between. */
static double
expected(const struct gap *g, double u, bool next_day)
{
    const size_t ends = g->day + g->whole + next_day;
    const double e = u + g->rest - (next_day ? 1 : 0);
    const double in = fmin(fmax(e, 0), g->hours);
    double time;

    if (ends == g->day)
        return (in - u) / g->hours * g->per_day;
    time = g->hours - u;
    if (g->calendar->used[ends % YEAR])
        time += in;
    return (time / g->hours
            + (double)(days_before(g, ends) - days_before(g, g->day + 1)))
           * g->per_day;
}

/* The mean chance over u from a to b, times b - a: the number of uses that are
 * expected is linear there. */
static double
piece(const struct gap *g, double a, double b, bool next_day)
{
    double from, to, fall;

    if (!(b > a))
        return 0;
    from = expected(g, a, next_day);
    to = expected(g, b, next_day);
    fall = from - to;
    return fabs(fall) < 1e-9 ? (b - a) * exp(-to)
                             : (b - a) * exp(-to) * -expm1(-fall) / fall;
}

/* The chance that nobody comes for so long, in the mean over the hours. */
static double
chance(const struct gap *g)
{
    const double closing = fmin(fmax(g->hours - g->rest, 0), g->hours);
    const double midnight = fmin(1 - g->rest, g->hours);

    return (piece(g, 0, fmin(closing, midnight), false)
            + piece(g, closing, midnight, false)
            + piece(g, fmax(midnight, 0), g->hours, true))
           / g->hours;
}

static double
chance_after(struct gap *g, double gap)
{
    g->whole = (size_t)gap;
    g->rest = gap - (double)g->whole;
    return chance(g);
}

/* The mean of further flushes, the first of them after `gap`: their chances
 * fall so slowly that the sum is as good as an integral, from half an interval
 * before, day by day over a year, and alike over all that follow. */
static double
rarely(struct gap *g, double gap, double after)
{
    const double day_of_use = exp(-g->per_day);
    double now = chance_after(g, gap - after / 2), sum = 0;
    const size_t ends = g->day + g->whole;

    for (size_t i = 1; i <= YEAR; i++) {
        const double then =
            g->calendar->used[(ends + i) % YEAR] ? now * day_of_use : now;

        sum += (now + then) / 2;
        now = then;
    }
    return sum / after / -expm1(-g->per_day * (double)g->calendar->n_used);
}

static double
after_uses_of(struct gap *g, double after)
{
    double sum = 0, last = 1, gap = after;

    for (size_t k = 1;
         (k <= FEW_FLUSHES || gap < FEW_DAYS) && last > NO_CHANCE; k++) {
        gap = (double)k * after;
        last = chance_after(g, gap);
        sum += last;
    }
    return last > NO_CHANCE ? sum + rarely(g, gap + after, after) : sum;
}

double
fci_idle_flushes(const struct fci_calendar *calendar, double rate,
                 double hours, double after)
{
    const double uses = rate * (double)calendar->n_used;
    size_t before[YEAR], n = 0;
    struct gap g = {
        .calendar = calendar, .before = before, .hours = hours, .per_day = rate
    };
    double sum = 0;

    /* fewer than one use in a thousand years */
    if (!(uses > 1e-3))
        return FCI_YEAR_DAYS / after;
    for (size_t day = 0; day < YEAR; day++) {
        before[day] = n;
        n += calendar->used[day];
    }
    for (g.day = 0; g.day < YEAR; g.day++)
        if (calendar->used[g.day])
            sum += rate * after_uses_of(&g, after);
    return sum > LEAST_TOLD ? sum : 0;
}

/* ---- Bounds ------------------------------------------------------------- */

bool
fci_spells_are_told(const fc_usage *usage, fc_range days)
{
    double told = 0;

    for (size_t i = 0; i < usage->n_closed; i++)
        told += (double)length_of(&usage->closed[i]) * usage->closed[i].count;
    return told >= FCI_YEAR_DAYS - round(days.low);
}

/* How long the spells may be, where they are not told: single days, weekends,
 * all days at once, and about as long as one flush takes, or two, which is
 * where the flushes of a day without use are fewest and most. */
static size_t
lengths_tried(double after, size_t lengths[MOST_LENGTHS])
{
    static const size_t always[] = { 1, 2, YEAR };
    size_t n = 0;

    for (size_t i = 0; i < sizeof always / sizeof *always; i++)
        lengths[n++] = always[i];
    for (int times = 1; times <= 2; times++) {
        const double whole = floor(fmin(times * after, FCI_YEAR_DAYS));

        for (int more = -1; more <= 2; more++)
            if (whole + more >= 1)
                lengths[n++] = (size_t)(whole + more);
    }
    return n;
}

fc_range
fci_idle_bounds(const fc_usage *usage, fc_range rate, fc_range days,
                fc_range hours, double after)
{
    size_t lengths[MOST_LENGTHS];
    const size_t all = lengths_tried(after, lengths);
    const size_t n = fci_spells_are_told(usage, days) ? 1 : all;
    fc_range bounds = { true, 0, INFINITY, 0 };

    for (size_t i = 0; i < 2 * n; i++) {
        struct fci_calendar calendar;

        fci_mark_days(usage, i % 2 ? days.high : days.low, lengths[i / 2],
                      &calendar);
        for (int k = 0; k < HOURS_TRIED; k++) {
            const double part = (double)k / (HOURS_TRIED - 1);
            const double open = hours.low + part * (hours.high - hours.low);

            bounds.low =
                fmin(bounds.low,
                     fci_idle_flushes(&calendar, rate.high, open, after));
            bounds.high =
                fmax(bounds.high,
                     fci_idle_flushes(&calendar, rate.low, open, after));
        }
    }
    bounds.nominal = (bounds.low + bounds.high) / 2;
    return bounds;
}
