/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/quick/doubts.c -- figures that cannot be true together: with them
 * nothing is certain.  Each test holds for any law of loss from the same at
 * any flow to its square, and for any usual valve. */
#include "quick/model.h"
#include "units/units.h"

#include <math.h>

static const char *const counts[] = { "one", "two", "three" };

static const char *
pressure(const struct fci_quick_model *m, double si, struct fci_shown *shown)
{
    *shown = fci_show(m->units, FC_PRESSURE, si);
    return shown->text;
}

/* More than static. */
static const char *
over_static(const struct fci_quick_model *m, const struct fci_quick_reading *r,
            struct fci_arena *arena)
{
    struct fci_shown a, b;

    if (r->pressure.low <= m->still.high)
        return NULL;
    if (!m->still_known)
        return fci_arena_printf(
            arena,
            "With %s flushing you read %s, more than the %s at the main: say "
            "how far the valve is below it (up=-10), or read both again",
            counts[r->flushing - 1], pressure(m, r->read, &a),
            pressure(m, m->figures->of[FCI_Q_MAIN].value.nominal, &b));
    return fci_arena_printf(
        arena,
        "With %s flushing you read %s, more than the static %s%s; read both "
        "again",
        counts[r->flushing - 1], pressure(m, r->read, &a),
        pressure(m, m->still.nominal, &b),
        m->still_read ? "" : ", by the main and the height");
}

/* More with more flushing, or less than any loss grows to. */
static const char *
out_of_order(const struct fci_quick_model *m,
             const struct fci_quick_reading *few,
             const struct fci_quick_reading *more, struct fci_arena *arena)
{
    const double n = (double)more->flushing / few->flushing;
    struct fci_shown a, b;

    if (more->pressure.low > few->pressure.high)
        return fci_arena_printf(
            arena,
            "With %s flushing you read %s, more than the %s with %s; read "
            "both again",
            counts[more->flushing - 1], pressure(m, more->read, &a),
            pressure(m, few->read, &b), counts[few->flushing - 1]);
    if (more->lost.low > few->lost.high * n * n)
        return fci_arena_printf(
            arena,
            "With %s flushing you read %s, less than the %s with %s allows: "
            "other water ran, or a reading is off",
            counts[more->flushing - 1], pressure(m, more->read, &a),
            pressure(m, few->read, &b), counts[few->flushing - 1]);
    return NULL;
}

/* The open line gives so little that no usual valve flushes with so much. */
static const char *
choked(const struct fci_quick_model *m, const struct fci_quick_reading *r,
       struct fci_arena *arena)
{
    const double flow = fci_quick_rate_at(m, r->pressure.low).low;
    const double part = flow / fci_quick_open_flow(m).high;
    struct fci_shown a, b;

    if (m->open_flow <= 0
        || r->lost.high
               >= (m->still.low - FCI_QUICK_OPEN_END) * fmin(part * part, 1))
        return NULL;
    b = fci_show(m->units, FC_FLOW, m->open_flow);
    return fci_arena_printf(
        arena,
        "A line that gives %s open does not leave a flush valve %s with %s "
        "flushing; measure both again",
        b.text, pressure(m, r->read, &a), counts[r->flushing - 1]);
}

/* The pipe alone loses more than was lost. */
static const char *
pipe_too_small(const struct fci_quick_model *m, struct fci_arena *arena)
{
    struct fci_shown a, b;

    if (m->n_readings == 0 || !m->pipe_loss.given
        || m->pipe_loss.low <= m->readings[0].lost.high)
        return NULL;
    return fci_arena_printf(
        arena,
        "The pipe as given would lose %s or more with %s flushing; at most "
        "%s is lost: check its length and size, or read again",
        pressure(m, m->pipe_loss.low, &a), counts[m->readings[0].flushing - 1],
        pressure(m, m->readings[0].lost.high, &b));
}

void
fci_quick_doubt(struct fci_quick_model *m, struct fci_arena *arena)
{
    const char *doubt = m->gauges_differ ? fci_quick_gauges(m, arena) : NULL;

    for (int i = 0; !doubt && i < m->n_readings; i++)
        doubt = over_static(m, &m->readings[i], arena);
    for (int i = 0; !doubt && i < m->n_readings; i++)
        for (int k = i + 1; !doubt && k < m->n_readings; k++)
            doubt = out_of_order(m, &m->readings[i], &m->readings[k], arena);
    for (int i = 0; !doubt && i < m->n_readings; i++)
        doubt = choked(m, &m->readings[i], arena);
    m->doubt = doubt ? doubt : pipe_too_small(m, arena);
}
