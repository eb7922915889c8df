/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/sweep_words.c -- where the verdicts of a sweep flip, in words.
 *
 * The verdict on too little pressure and the one on too much flip at values of
 * their own, and are told apart.
 */
#include "check/sweep_words.h"
#include "words/phrase.h"
#include "words/verdict.h"

#include <stdlib.h>

/* ---- One value -------------------------------------------------------- */

#define NOT_CALCULATED 3 /* beside the verdicts */

enum track { LITTLE, MUCH, TRACKS };

static int
verdict_at(const fc_sweep_step *step, fc_state state, enum track track)
{
    const fc_site_line *line = &step->line;
    const fc_site_state *s = &line->states[state];

    if (!line->calculated)
        return NOT_CALCULATED;
    if (state == line->judged)
        return (int)(track == LITTLE ? line->works : line->too_high);
    return (int)(track == LITTLE ? s->works : s->too_high);
}

static bool
alike_in(const fc_sweep_step *a, const fc_sweep_step *b, fc_state state)
{
    return verdict_at(a, state, LITTLE) == verdict_at(b, state, LITTLE)
           && verdict_at(a, state, MUCH) == verdict_at(b, state, MUCH);
}

/* The state that is judged where it is calculated at all. */
static fc_state
judged_of(const fc_sweep_step *a, const fc_sweep_step *b)
{
    return a->line.calculated ? a->line.judged : b->line.judged;
}

bool
fci_sweep_alike(const fc_sweep_step *a, const fc_sweep_step *b)
{
    return alike_in(a, b, judged_of(a, b)) && alike_in(a, b, FC_EXISTING);
}

static const char *
said(const fc_sweep_step *step, fc_state state)
{
    return step->line.calculated
               ? fci_verdict_said((fc_verdict)verdict_at(step, state, LITTLE),
                                  (fc_verdict)verdict_at(step, state, MUCH))
               : "cannot be calculated";
}

/* ---- A flip ----------------------------------------------------------- */

/* The better, the more. */
static int
merit(const fc_sweep_step *step, fc_state state)
{
    static const int merits[] = {
        [FC_WILL_NOT_WORK] = 0, [FC_CANNOT_TELL] = 1, [FC_WORKS] = 2
    };

    return step->line.calculated ? 3 * merits[verdict_at(step, state, LITTLE)]
                                       + merits[verdict_at(step, state, MUCH)]
                                 : -1;
}

static void
say_flip(const fc_sweep_flip *flip, fc_state state, const char *of,
         struct fci_words *words)
{
    const bool later =
        merit(&flip->after, state) > merit(&flip->before, state);
    const fc_sweep_step *good = later ? &flip->after : &flip->before;
    const fc_sweep_step *bad = later ? &flip->before : &flip->after;

    fci_say(words, "; ", "%s%s %s %s%s, %s at %s", of, said(good, state),
            good->figure > bad->figure ? "from" : "up to", good->value,
            good->figure > bad->figure ? " up" : "", said(bad, state),
            bad->value);
}

/* The better side is told first. */
const char *
fci_sweep_flip_text(const fc_sweep_flip *flip, struct fci_arena *arena)
{
    const fc_state judged = judged_of(&flip->before, &flip->after);
    struct fci_words words = { arena, "", 0 };

    if (!alike_in(&flip->before, &flip->after, judged))
        say_flip(flip, judged, judged == FC_RETROFIT ? "after retrofit: " : "",
                 &words);
    if (judged == FC_RETROFIT
        && !alike_in(&flip->before, &flip->after, FC_EXISTING)
        && flip->before.line.calculated && flip->after.line.calculated)
        say_flip(flip, FC_EXISTING, "existing: ", &words);
    return words.text;
}

/* ---- A state ---------------------------------------------------------- */

struct sweep_of {
    const fc_sweep_step *const *points;
    size_t n;
    fc_state state;
    struct fci_arena *arena;
};

/* What is told first of those that are there. */
static const int orders[TRACKS][4] = {
    [LITTLE] = { FC_WORKS, FC_CANNOT_TELL, FC_WILL_NOT_WORK, NOT_CALCULATED },
    [MUCH] = { FC_WILL_NOT_WORK, FC_CANNOT_TELL, FC_WORKS, NOT_CALCULATED },
};

static const char *const verbs[TRACKS][4] = {
    [LITTLE] = { [FC_WORKS] = "works",
                 [FC_CANNOT_TELL] = "cannot tell",
                 [FC_WILL_NOT_WORK] = "does not work",
                 [NOT_CALCULATED] = "cannot be calculated" },
    [MUCH] = { [FC_WORKS] = NULL,
               [FC_CANNOT_TELL] = "maybe too much pressure",
               [FC_WILL_NOT_WORK] = "too much pressure",
               [NOT_CALCULATED] = NULL },
};

static bool
occurs(const struct sweep_of *s, enum track track, int verdict)
{
    for (size_t i = 0; i < s->n; i++)
        if (verdict_at(s->points[i], s->state, track) == verdict)
            return true;
    return false;
}

/* " from 71.4 psi", " from 71.4 psi to 80.0 psi and up to 30.0 psi". */
static const char *
spans(const struct sweep_of *s, enum track track, int verdict)
{
    struct fci_words words = { s->arena, "", 0 };
    size_t end;

    for (size_t i = 0; i < s->n; i = end + 1) {
        const char *from = s->points[i]->value, *to;

        end = i;
        if (verdict_at(s->points[i], s->state, track) != verdict)
            continue;
        while (end + 1 < s->n
               && verdict_at(s->points[end + 1], s->state, track) == verdict)
            end++;
        to = s->points[end]->value;
        if (i == 0 && end + 1 == s->n)
            fci_say(&words, " and ", " at every step");
        else if (end + 1 == s->n)
            fci_say(&words, " and", " from %s", from);
        else if (i == 0)
            fci_say(&words, " and", " up to %s", to);
        else if (s->points[i]->figure == s->points[end]->figure)
            fci_say(&words, " and", " at %s", from);
        else
            fci_say(&words, " and", " from %s to %s", from, to);
    }
    return words.text;
}

/* Beside the first what it does not imply: that it does not work elsewhere. */
static bool
is_implied(enum track track, int lead, int verdict)
{
    return !verbs[track][verdict]
           || (track == LITTLE && lead == (int)FC_WORKS
               && verdict == (int)FC_WILL_NOT_WORK);
}

static void
say_track(const struct sweep_of *s, enum track track, struct fci_words *words)
{
    struct fci_words beside = { s->arena, "", 0 };
    int lead = -1;

    for (size_t k = 0; k < 4; k++) {
        const int verdict = orders[track][k];

        if (!verbs[track][verdict] || !occurs(s, track, verdict))
            continue;
        if (lead < 0)
            lead = verdict;
        else if (!is_implied(track, lead, verdict))
            fci_say(&beside, ", ", "%s%s", verbs[track][verdict],
                    spans(s, track, verdict));
    }
    if (lead >= 0)
        fci_say(words, "; ", "%s%s%s%s%s", verbs[track][lead],
                spans(s, track, lead), beside.n > 0 ? " (" : "", beside.text,
                beside.n > 0 ? ")" : "");
}

static bool
is_the_same(const struct sweep_of *s)
{
    for (size_t i = 1; i < s->n; i++)
        if (!alike_in(s->points[i], s->points[0], s->state))
            return false;
    return true;
}

static const char *
tell(const struct sweep_of *s, bool converted)
{
    const bool retrofit = s->state == FC_RETROFIT;
    struct fci_words words = { s->arena, "", 0 };

    if (is_the_same(s))
        return fci_arena_printf(s->arena,
                                "The verdict%s is the same at every step: %s.",
                                retrofit    ? " after retrofit"
                                : converted ? " of the existing state"
                                            : "",
                                said(s->points[0], s->state));
    for (int track = 0; track < TRACKS; track++)
        say_track(s, (enum track)track, &words);
    return words.text ? fci_arena_printf(s->arena, "%s: %s.",
                                         retrofit    ? "After retrofit"
                                         : converted ? "Existing"
                                                     : "Verdict",
                                         words.text)
                      : NULL;
}

static int
by_figure(const void *a, const void *b)
{
    const fc_sweep_step *const *x = a, *const *y = b;

    return ((*x)->figure > (*y)->figure) - ((*x)->figure < (*y)->figure);
}

const char *const *
fci_sweep_tell(const fc_sweep_step **points, size_t n, fc_state judged,
               struct fci_arena *arena, size_t *n_told)
{
    const char **told = fci_arena_array(arena, FC_STATES, sizeof *told);
    const bool converted = judged == FC_RETROFIT;

    qsort(points, n, sizeof *points, by_figure);
    *n_told = 0;
    for (int state = (int)judged; told && state >= 0; state--) {
        const struct sweep_of s = { points, n, (fc_state)state, arena };

        told[(*n_told)++] = tell(&s, converted);
    }
    return arena->failed ? NULL : told;
}
