/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/quick/words.c -- what a first answer says beside its figures. */
#include "quick/model.h"
#include "units/units.h"

#include <math.h>
#include <string.h>

bool
fci_quick_is_given(const struct fci_quick_model *m, enum fci_quick_key key)
{
    return m->figures->of[key].text != NULL;
}

const char *
fci_quick_pressure(const struct fci_quick_model *m, double si,
                   struct fci_shown *shown)
{
    *shown = fci_show(m->units, FC_PRESSURE, si);
    return shown->text;
}

const char *
fci_quick_range(const struct fci_quick_model *m, fc_range range,
                struct fci_shown *shown)
{
    *shown = fci_show_range(m->units, FC_PRESSURE, range);
    return shown->text;
}

/* ---- Two static gauges ------------------------------------------------- */

const char *
fci_quick_gauges(const struct fci_quick_model *m, struct fci_arena *arena)
{
    const double main = m->figures->of[FCI_Q_MAIN].value.nominal,
                 still = m->figures->of[FCI_Q_STILL].value.nominal;
    const double below = main - m->weight * m->rise;
    struct fci_shown a, b, c;

    if (!fci_quick_is_given(m, FCI_Q_MAIN)
        || !fci_quick_is_given(m, FCI_Q_STILL))
        return NULL;
    if (!m->has_rise) {
        c = fci_show(m->units, FC_LENGTH, fabs(main - still) / m->weight);
        return fci_arena_printf(arena, "Gauges %s apart: %s %s.",
                                fci_quick_pressure(m, fabs(main - still), &a),
                                c.text, still > main ? "down" : "up");
    }
    return fci_arena_printf(arena, "The gauges %s: %s by height, %s read.",
                            m->gauges_differ ? "differ" : "agree",
                            fci_quick_pressure(m, below, &a),
                            fci_quick_pressure(m, still, &b));
}

/* ---- Where it is lost -------------------------------------------------- */

static const char *
place_words(const struct fci_quick_model *m)
{
    switch (m->lost_at) {
    case FC_LOST_SHARED:
        return "One loss that all valves share fits: pipe, meter, strainer or "
               "a weak main.";
    case FC_LOST_OWN:
        return "It is this valve's own (stop, strainer, branch) or the same "
               "at any flow (PRV, preventer).";
    case FC_LOST_BOTH:
        return "Part is this valve's own or the same at any flow (PRV, "
               "preventer); the rest is shared.";
    case FC_LOST_EITHER:
        return "It may be this valve's stop or what all valves share.";
    case FC_LOST_UNKNOWN:
        break;
    }
    return "It may be this valve's stop, or pipe, meter or main.";
}

/* What the pipe as given explains of it. */
static const char *
pipe_words(const struct fci_quick_model *m, const fc_quick_result *r,
           struct fci_arena *arena)
{
    struct fci_shown shown;

    if (!r->pipe_loss.given)
        return "";
    return fci_arena_printf(arena, " The pipe would lose %s: %s.",
                            fci_quick_range(m, r->pipe_loss, &shown),
                            r->pipe_loss.high < r->lost.low
                                ? "the rest is elsewhere"
                                : "maybe all of it");
}

/* What may be lost beside a pipe. */
fc_proviso
fci_quick_proviso(const struct fci_quick_model *m, const fc_quick_result *r,
                  struct fci_arena *arena)
{
    const double rest = m->still.low - m->pipe_loss.high - m->minimum.high;
    struct fci_shown a;

    if (!m->piped || !m->still_known || r->works != FC_CANNOT_TELL
        || !m->pipe_loss.given || rest <= 0)
        return (fc_proviso){ 0 };
    a = fci_show(m->units, FC_PRESSURE,
                 fci_rounded(m->units, FC_PRESSURE, FC_DOWN, rest));
    return (fc_proviso){
        .given = true,
        .input = "loss",
        .of = "main, meter and fittings",
        .dimension = FC_PRESSURE,
        .limit = rest,
        .at_most = true,
        .flow = NAN,
        .measure = "read the gauge at the valve while it flushes",
        .text = fci_arena_printf(
            arena, "works if main, meter and fittings lose less than %s",
            a.text),
    };
}

const char *
fci_quick_found(const struct fci_quick_model *m, const fc_quick_result *r,
                struct fci_arena *arena)
{
    struct fci_shown a;
    const char *pipe;

    if (r->n_contradictions > 0)
        return NULL;
    if (m->n_readings == 0 && m->open_flow > 0) {
        a = fci_show(m->units, FC_FLOW, m->open_flow);
        return fci_arena_printf(
            arena,
            r->works == FC_CANNOT_TELL
                ? "The open line gives %s. At a valve's own flow, %s at %s, "
                  "as "
                  "much may be lost (PRV, preventer) or far less."
                : "The open line gives %s; such a valve passes %s at %s.",
            a.text,
            fci_show_range(m->units, FC_FLOW,
                           fci_quick_rate_at(m, m->rate_pressure))
                .text,
            fci_show(m->units, FC_PRESSURE, m->rate_pressure).text);
    }
    if (m->n_readings == 0 || !m->still_known)
        return NULL;
    if (r->lost.nominal <= 2 * m->within)
        return "No more is lost while it flushes than the gauge may be off.";
    pipe = pipe_words(m, r, arena);
    return pipe ? fci_arena_printf(arena, "With %d flushing %s is lost. %s%s",
                                   m->readings[0].flushing,
                                   fci_quick_pressure(m, r->lost.nominal, &a),
                                   place_words(m), pipe)
                : NULL;
}

/* ---- What comes next --------------------------------------------------- */

/* Whether what the valve requires would settle it. */
static bool
needs_minimum(const fc_quick_result *r)
{
    for (size_t i = 0; i < r->n_steps; i++)
        if (r->steps[i].flushing <= r->flushing
            && r->steps[i].enough == FC_CANNOT_TELL
            && r->steps[i].pressure.high > r->required.low)
            return !r->required_given;
    return false;
}

static const char *
next_reading(const struct fci_quick_model *m, const fc_quick_result *r)
{
    const int most =
        m->n_readings > 0 ? m->readings[m->n_readings - 1].flushing : 0;

    if (r->works == FC_CANNOT_TELL && m->flushing > most && most < FCI_Q_READ)
        return most == 0   ? "read the gauge at the valve while it alone "
                             "flushes (one=)"
               : most == 1 ? "read the gauge there while two flush (two=)"
                           : "read the gauge there while three flush (three=)";
    if (r->works != FC_WORKS && m->n_readings == 1 && most == 1)
        return "read it while two flush (two=): it tells the stop from the "
               "pipe";
    if (r->works == FC_CANNOT_TELL)
        return "read again with a finer gauge: the figures are too close";
    if (r->works == FC_WORKS && m->n_readings == 1 && most == 1
        && m->count > m->flushing && r->steps[m->flushing].enough != FC_WORKS)
        return "if two can flush at once, read it then (two=)";
    if (r->works == FC_WORKS)
        return "nothing; at the busiest time of day the main may have less";
    if (m->n_readings == 0)
        return "look where the line is choked: stop, strainer, scaled pipe; "
               "catch water nearer the main";
    if (m->lost_at == FC_LOST_OWN)
        return "open its stop fully, clean its strainer, and read again";
    return "read the first gauge while one flushes: if it falls as much, the "
           "main is weak";
}

const char *
fci_quick_next(const struct fci_quick_model *m, const fc_quick_result *r)
{
    if (m->gauges_differ)
        return "measure the height (up=) and read both gauges again, no water "
               "running";
    if (r->n_contradictions > 0)
        return "read the gauge again, with no other water running";
    if (m->still_known && r->ceiling.high < r->required.low)
        return "no pipe fixes this: it takes a booster, or a valve that "
               "requires less";
    if (!m->still_known && r->works != FC_WILL_NOT_WORK)
        return fci_quick_is_given(m, FCI_Q_MAIN)
                   ? "measure how far the valve is up (up=), or read its "
                     "static pressure (still=)"
                   : "read the static pressure at the valve (still=)";
    if (m->measured && r->works == FC_CANNOT_TELL && needs_minimum(r))
        return "look up the valve's minimum flowing pressure (need=)";
    if (r->too_high == FC_WILL_NOT_WORK)
        return "set a PRV, or put one in";
    return next_reading(m, r);
}
