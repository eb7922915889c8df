/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/quick/assumed.c -- what a first answer assumes. */
#include "quick/model.h"
#include "units/units.h"

static void
assume_static(const struct fci_quick_model *m, const char **list, size_t *n,
              struct fci_arena *arena)
{
    struct fci_shown a;

    if (!m->still_known)
        list[(*n)++] = fci_arena_printf(
            arena, "Static at the valve was not read: anything in %s.",
            fci_quick_range(m, m->still, &a));
    if (fci_quick_is_given(m, FCI_Q_MAIN) && !m->has_rise && !m->still_read)
        list[(*n)++] = "The valve is not below the first gauge.";
    if (!m->still_known)
        list[(*n)++] = "Whether static is too high is not judged.";
    if (fci_quick_is_given(m, FCI_Q_UP) && !m->has_rise)
        list[(*n)++] = "up= is not used without main=.";
}

static void
assume_way(const struct fci_quick_model *m, const char **list, size_t *n)
{
    const bool any = fci_quick_is_given(m, FCI_Q_LENGTH)
                     || fci_quick_is_given(m, FCI_Q_SIZE)
                     || fci_quick_is_given(m, FCI_Q_PIPE);

    if (any && !m->has_pipe)
        list[(*n)++] = "The pipe is not used: length=, size= and pipe= are "
                       "needed together.";
    if (m->has_pipe)
        list[(*n)++] =
            "Fittings of the pipe are what is usual, and its age is "
            "not known.";
    if (m->measured)
        list[(*n)++] = "A loss at another flow is anything from the same (a "
                       "PRV, a preventer) to the square of the flow.";
    if (m->n_readings == 0 && m->open_flow > 0)
        list[(*n)++] =
            "The line was open fully, with neither hose nor bibb on it, and "
            "its flow is within 10%.";
    if (m->n_readings > 0 && m->open_flow > 0)
        list[(*n)++] = "What the open line gives is not used beside a "
                       "flowing reading.";
}

static void
assume_valve(const struct fci_quick_model *m, const char **list, size_t *n,
             struct fci_arena *arena)
{
    struct fci_shown a;
    struct fci_shown rate;

    if (!fci_quick_is_given(m, FCI_Q_NEED))
        list[(*n)++] = fci_arena_printf(
            arena,
            "The valve's minimum is not known: %s, what codes and handbooks "
            "require of such a valve.",
            fci_quick_range(m, m->minimum, &a));
    rate = fci_show_range(m->units, FC_FLOW,
                          fci_quick_rate_at(m, m->rate_pressure));
    list[(*n)++] = fci_arena_printf(
        arena, "A valve passes %s at %s (%s).", rate.text,
        fci_quick_pressure(m, m->rate_pressure, &a),
        m->rate_timed ? "the flush that was timed" : "usual of such valves");
    if (fci_quick_is_given(m, FCI_Q_FLUSH) && !m->rate_timed)
        list[(*n)++] = "The timed flush is not used without one=.";
    list[(*n)++] = "The code minimum is not judged; check does that.";
}

#define MOST_ASSUMED 16

void
fci_quick_assume(const struct fci_quick_model *m, fc_quick_result *result,
                 struct fci_arena *arena)
{
    const char **list = fci_arena_array(arena, MOST_ASSUMED, sizeof *list);
    struct fci_shown a;
    size_t n = 0;

    if (!list)
        return;
    list[n++] = fci_arena_printf(
        arena,
        "A gauge reads up to %s off, of which half is the same in all "
        "its readings.",
        fci_quick_pressure(m, m->within, &a));
    assume_static(m, list, &n, arena);
    assume_way(m, list, &n);
    assume_valve(m, list, &n, arena);
    result->assumptions = list;
    result->n_assumptions = n;
}
