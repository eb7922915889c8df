/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/surge_rows.c -- the extremes over all flush valves, state by
 * state. */
#include "effects/surge_work.h"
#include "units/units.h"

#include <math.h>
#include <string.h>

/* ---- Extremes ------------------------------------------------------------
 */

/* The closing time that a valve must take at least; arresters that are enough
 * spare it.  INFINITY: none keeps the ratings. */
static double
least_closing(const fc_surge *s)
{
    return s->arrester && s->within == FC_WORKS ? 0
           : s->least_closing.given             ? s->least_closing.nominal
                                                : (double)INFINITY;
}

static double
highest(const fc_surge *s)
{
    return s->highest.high;
}

/* The fixture of which a figure is highest; SIZE_MAX: none has any. */
static size_t
most(const struct fci_surge_work *w, int state,
     double (*figure)(const fc_surge *s))
{
    size_t at = SIZE_MAX;

    for (size_t i = 0; i < w->n_fixtures; i++) {
        const fc_surge *s = &w->fixtures[i].states[state];

        if (s->surge.given
            && (at == SIZE_MAX
                || figure(s) > figure(&w->fixtures[at].states[state])))
            at = i;
    }
    return at;
}

/* ---- Where they are ------------------------------------------------------
 */

/* Where a row is, and more about it, by state; NULL: it is in none. */
struct basis {
    const char *at[FC_STATES], *more[FC_STATES];
};

static const char *
one_place(struct fci_arena *arena, const char *at, const char *more)
{
    return *more ? fci_arena_printf(arena, "%s, %s", at, more) : at;
}

/* The place in the state that is reported is `at`; where existing differs what
 * it rests on says how. */
static void
set_basis(struct fci_surge_work *w, const struct basis *b, fc_effect *row)
{
    struct fci_arena *arena = w->e->arena;
    const char *const *at = b->at, *const *more = b->more;
    const int one = !at[FC_RETROFIT] ? FC_EXISTING : FC_RETROFIT;
    const bool both = at[FC_EXISTING] && at[FC_RETROFIT];
    bool same_at, same_more;

    if (!at[one] || !more[one] || (both && !more[FC_EXISTING]))
        return;
    row->at = at[one];
    row->rests_on = *more[one] ? more[one] : NULL;
    if (!both)
        return;
    same_at = strcmp(at[FC_EXISTING], at[FC_RETROFIT]) == 0;
    same_more = strcmp(more[FC_EXISTING], more[FC_RETROFIT]) == 0;
    if (!same_at || !same_more)
        row->rests_on = fci_arena_printf(
            arena, "%s%sexisting: %s", more[one], *more[one] ? "; " : "",
            same_at ? more[FC_EXISTING]
            : same_more
                ? at[FC_EXISTING]
                : one_place(arena, at[FC_EXISTING], more[FC_EXISTING]));
}

/* In the column that says "up to". */
static const char *
most_said(struct fci_surge_work *w, const fc_surge *s, double si)
{
    char text[40];

    fc_show(w->e->result->units, FC_PRESSURE, FC_NEAREST, 0, si, text,
            sizeof text);
    return fci_arena_printf(w->e->arena, "%s%s",
                            s->bound || s->arrester ? "" : "about ", text);
}

/* ---- Rows ----------------------------------------------------------------
 */

static void
add_highest(struct fci_surge_work *w, fc_effect *row)
{
    struct basis b = { { NULL }, { NULL } };

    for (int i = 0; i < fci_effect_states(w->e); i++) {
        const size_t at = most(w, i, highest);
        const fc_surge *s;

        if (at == SIZE_MAX)
            continue;
        s = &w->fixtures[at].states[i];
        row->values[i] = s->highest;
        row->said[i] = most_said(w, s, s->highest.high);
        b.at[i] = w->fixtures[at].name;
        b.more[i] = fci_arena_printf(w->e->arena, "closes in %s%s",
                                     fci_surge_times_said(w, s->closing),
                                     s->closing_usual ? ", usual" : "");
    }
    set_basis(w, &b, row);
    fci_effect_row(w->e, row);
}

static void
add_peak(struct fci_surge_work *w, fc_effect *row)
{
    struct basis b = { { NULL }, { NULL } };

    for (int i = 0; i < fci_effect_states(w->e); i++) {
        const size_t at = most(w, i, fci_surge_excess);
        const fc_surge *s;

        if (at == SIZE_MAX)
            continue;
        s = &w->fixtures[at].states[i];
        row->values[i] = s->peak;
        row->said[i] = most_said(w, s, s->peak.high);
        b.at[i] = s->at;
        b.more[i] = fci_arena_printf(w->e->arena, "nearest its rating, %s%s",
                                     s->rating_usual
                                         ? fci_surge_usual_said(w)
                                         : fci_surge_rating_said(w, s->rating),
                                     s->rating_usual ? " (usual)" : "");
    }
    set_basis(w, &b, row);
    fci_effect_row(w->e, row);
}

static void
add_closing(struct fci_surge_work *w, fc_effect *row)
{
    struct basis b = { { NULL }, { NULL } };

    for (int i = 0; i < fci_effect_states(w->e); i++) {
        const size_t at = most(w, i, least_closing);
        const fc_surge *s;
        char text[40];
        double time;

        if (at == SIZE_MAX)
            continue;
        s = &w->fixtures[at].states[i];
        time = least_closing(s);
        b.at[i] = w->fixtures[at].name;
        b.more[i] = "";
        if (isinf(time)) {
            row->said[i] = "none is enough";
            b.more[i] = "none: static alone is above the rating";
            continue;
        }
        row->values[i] = fc_exactly(time);
        fc_show(w->e->result->units, FC_TIME, FC_UP, time < 10 ? 2 : 0, time,
                text, sizeof text);
        row->said[i] =
            time > 0 ? fci_arena_printf(w->e->arena, "%s", text) : "any";
    }
    set_basis(w, &b, row);
    fci_effect_row(w->e, row);
}

void
fci_surge_rows(struct fci_surge_work *w)
{
    const fc_unit_system units = w->e->result->units;
    const char *pressure = fc_unit_name(units, FC_PRESSURE);
    fc_effect surge = { .area = FC_SURGE_EFFECT,
                        .what = "surge up to",
                        .dimension = FC_PRESSURE,
                        .unit = pressure };
    fc_effect peak = surge;
    fc_effect time = { .area = FC_SURGE_EFFECT,
                       .what = "closing time needed",
                       .dimension = FC_TIME,
                       .unit = fc_unit_name(units, FC_TIME) };

    peak.what = "static + surge up to";
    add_highest(w, &surge);
    add_peak(w, &peak);
    add_closing(w, &time);
}

/* ---- What it rests on ----------------------------------------------------
 */

/* "the usual 125 to 200 psi rating" */
static const char *
ratings_said(struct fci_surge_work *w)
{
    const fc_site *site = w->of.site;
    const char *usual = fci_surge_usual_said(w);

    for (size_t i = 0; i < site->n_elements; i++)
        if (fci_surge_rating(&site->elements[i]).given)
            return fci_arena_printf(
                w->e->arena, "the ratings, %s where none is given,", usual);
    return fci_arena_printf(w->e->arena, "the usual %s rating", usual);
}

const char *
fci_surge_holds(struct fci_surge_work *w, fc_state state)
{
    const size_t slowest = most(w, (int)state, least_closing);
    bool arrested = false;
    double time;

    for (size_t i = 0; i < w->n_fixtures; i++)
        arrested = arrested || w->fixtures[i].states[state].arrester;
    if (slowest == SIZE_MAX)
        return NULL;
    time = least_closing(&w->fixtures[slowest].states[state]);
    return fci_arena_printf(
        w->e->arena,
        "static + surge within %s%s if valves close one at a time%s",
        ratings_said(w),
        !arrested  ? ""
        : time > 0 ? " without arresters"
                   : " with the arresters in place",
        time > 0 ? fci_arena_printf(w->e->arena, ", each in %s or more",
                                    fci_surge_time_said(w, time))
                 : "");
}
