/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/quick/doubts.c -- figures that cannot be true together: with them
 * nothing is certain.  Each test holds for any law of loss from the same at
 * any flow to its square, and for any usual valve. */
#include "quick/model.h"
#include "units/units.h"

#include <math.h>
#include <string.h>

static const char *const counts[] = { "one", "two", "three" };

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
            counts[r->flushing - 1], fci_quick_pressure(m, r->read, &a),
            fci_quick_pressure(m, m->figures->of[FCI_Q_MAIN].value.nominal,
                               &b));
    return fci_arena_printf(
        arena,
        "With %s flushing you read %s, more than the static %s%s; read both "
        "again",
        counts[r->flushing - 1], fci_quick_pressure(m, r->read, &a),
        fci_quick_pressure(m, m->still.nominal, &b),
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
            counts[more->flushing - 1], fci_quick_pressure(m, more->read, &a),
            fci_quick_pressure(m, few->read, &b), counts[few->flushing - 1]);
    if (more->lost.low > few->lost.high * n * n)
        return fci_arena_printf(
            arena,
            "With %s flushing you read %s, less than the %s with %s allows: "
            "other water ran, or a reading is off",
            counts[more->flushing - 1], fci_quick_pressure(m, more->read, &a),
            fci_quick_pressure(m, few->read, &b), counts[few->flushing - 1]);
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
        b.text, fci_quick_pressure(m, r->read, &a), counts[r->flushing - 1]);
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
        fci_quick_pressure(m, m->pipe_loss.low, &a),
        counts[m->readings[0].flushing - 1],
        fci_quick_pressure(m, m->readings[0].lost.high, &b));
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

/* ---- Readings that contradict ------------------------------------------ */

/* With how many flushing a reading of the site was taken, in words; NULL: with
 * none. */
static const char *
flushing_word(const char *reading)
{
    for (size_t i = 0; i < sizeof counts / sizeof *counts; i++)
        if (reading && strcmp(reading, counts[i]) == 0)
            return counts[i];
    return NULL;
}

/* One that the site does not show. */
static fc_contradiction
doubt_of(const struct fci_quick_model *m)
{
    const fc_quick_key *keys;
    const struct fci_quick_reading *last = NULL;

    fc_quick_keys(&keys);
    if (m->n_readings > 0)
        last = &m->readings[m->n_readings - 1];
    return (fc_contradiction){
        .reading = last ? keys[FCI_Q_ONE + last->flushing - 1].key
                        : keys[FCI_Q_STILL].key,
        .at = FCI_QUICK_FIXTURE,
        .flushing = last ? FCI_QUICK_FIXTURE : "nothing",
        .dimension = FC_PRESSURE,
        .read = last ? last->read : m->still.nominal,
        .within = last ? last->within : m->within,
        .low = NAN,
        .high = NAN,
        .ceiling = NAN,
        .against_read = NAN,
        .apart = NAN,
        .text = m->doubt,
    };
}

static const char *
contradiction_text(const struct fci_quick_model *m, const fc_contradiction *c,
                   struct fci_arena *arena)
{
    const char *with = flushing_word(c->reading);
    struct fci_shown read;

    if (m->doubt)
        return m->doubt;
    if (!with)
        return c->text;
    return fci_arena_printf(arena,
                            "With %s flushing you read %s, which does not go "
                            "with the other figures; read it again",
                            with, fci_quick_pressure(m, c->read, &read));
}

void
fci_quick_contradict(const struct fci_quick_model *m,
                     const fc_flush_result *event, fc_quick_result *r,
                     struct fci_arena *arena)
{
    const size_t n = event->n_contradictions;
    fc_contradiction *told;

    if (n == 0 && !m->doubt)
        return;
    told = fci_arena_array(arena, n + 1, sizeof *told);
    for (size_t i = 0; told && i < n; i++) {
        told[i] = event->contradictions[i];
        told[i].text = contradiction_text(m, &told[i], arena);
    }
    if (told && n == 0)
        told[0] = doubt_of(m);
    r->contradictions = told;
    r->n_contradictions = told ? (n > 0 ? n : 1) : 0;
}
