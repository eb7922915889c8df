/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/surge_words.c -- what is said of surges and arresters. */
#include "effects/surge_work.h"
#include "tables/tables.h"
#include "units/units.h"

#include <math.h>
#include <string.h>

/* ---- Figures in words ----------------------------------------------------
 */

static const char *
pressure_said(struct fci_surge_work *w, double si)
{
    return fci_arena_printf(
        w->e->arena, "%s",
        fci_show(w->e->result->units, FC_PRESSURE, si).text);
}

/* "up to 38 psi", "about 480 psi" where it is no bound. */
static const char *
surge_said(struct fci_surge_work *w, const fc_surge *s, double si)
{
    return fci_arena_printf(w->e->arena, "%s %s",
                            s->bound || s->arrester ? "up to" : "about",
                            pressure_said(w, si));
}

/* So long or longer: rounded up. */
const char *
fci_surge_time_said(struct fci_surge_work *w, double si)
{
    const fc_unit_system units = w->e->result->units;
    char text[40];

    fc_show(units, FC_TIME, FC_UP, si < 10 ? 2 : 0, si, text, sizeof text);
    return fci_arena_printf(w->e->arena, "%s %s", text,
                            fc_unit_name(units, FC_TIME));
}

/* To 0.01 s below 1 s: "0.02 to 0.05 s". */
const char *
fci_surge_times_said(struct fci_surge_work *w, fc_range time)
{
    const fc_unit_system units = w->e->result->units;
    const int decimals = time.low < 1 ? 2 : 1;
    char low[40], high[40];

    fc_show(units, FC_TIME, FC_NEAREST, decimals, time.low, low, sizeof low);
    fc_show(units, FC_TIME, FC_NEAREST, decimals, time.high, high,
            sizeof high);
    return fci_arena_printf(
        w->e->arena, "%s%s%s %s", low, strcmp(low, high) == 0 ? "" : " to ",
        strcmp(low, high) == 0 ? "" : high, fc_unit_name(units, FC_TIME));
}

static const char *
closing_said(struct fci_surge_work *w, const fc_surge *s)
{
    return fci_arena_printf(w->e->arena, "%s%s",
                            fci_surge_times_said(w, s->closing),
                            s->closing_usual ? " (usual; not given)" : "");
}

const char *
fci_surge_rating_said(struct fci_surge_work *w, double si)
{
    const fc_unit_system units = w->e->result->units;
    char text[40];

    size_t length;

    fc_show(units, FC_PRESSURE, FC_NEAREST, 0, si, text, sizeof text);
    length = strlen(text);
    if (length > 2 && strcmp(text + length - 2, ".0") == 0)
        text[length - 2] = '\0';
    return fci_arena_printf(w->e->arena, "%s %s", text,
                            fc_unit_name(units, FC_PRESSURE));
}

const char *
fci_surge_usual_said(struct fci_surge_work *w)
{
    const fc_range usual = w->usual_rating;
    const char *low = fci_surge_rating_said(w, usual.low);

    if (!low || usual.low >= usual.high)
        return low;
    return fci_arena_printf(w->e->arena, "%.*s to %s", (int)strcspn(low, " "),
                            low, fci_surge_rating_said(w, usual.high));
}

static const char *
rating_said(struct fci_surge_work *w, const fc_surge *s)
{
    return s->rating_usual ? fci_arena_printf(
               w->e->arena, "%s (usual; not given)", fci_surge_usual_said(w))
                           : fci_surge_rating_said(w, s->rating);
}

/* Of a static pressure that is too much. */
static const char *
give_said(const fc_surge *s)
{
    return s->rating_usual ? "; give its pressure rating" : "";
}

/* "static 155.0 psi at riser-1 is above its 150 psi rating" */
static const char *
static_said(struct fci_surge_work *w, const fc_surge *s)
{
    const fc_unit_system units = w->e->result->units;
    const fc_range still = s->static_pressure;
    char text[40], rating[40];

    fc_show(units, FC_PRESSURE, FC_NEAREST, 0, still.high, text, sizeof text);
    fc_show(units, FC_PRESSURE, FC_NEAREST, 0, s->rating, rating,
            sizeof rating);
    if (still.high > s->rating && strcmp(text, rating) == 0)
        fc_show(units, FC_PRESSURE, FC_UP, 2, still.high, text, sizeof text);
    return fci_arena_printf(
        w->e->arena, "static %s%s %s at %s is %s %s %s rating",
        still.low < s->rating ? "up to " : "", text,
        fc_unit_name(units, FC_PRESSURE), s->at,
        still.high > s->rating ? "above" : "at",
        s->rating_usual ? "the low end of the usual" : "its",
        s->rating_usual ? fci_surge_usual_said(w)
                        : fci_surge_rating_said(w, s->rating));
}

/* What helps, after a semicolon; "" where nothing need. */
static const char *
help_said(struct fci_surge_work *w, const fc_surge *s)
{
    if (s->within == FC_WORKS)
        return "";
    if (!s->least_closing.given)
        return "; elsewhere on the way static alone is above a rating";
    if (s->least_closing.nominal <= s->closing.low)
        return "";
    return fci_arena_printf(
        w->e->arena, "; closing in %s or slower keeps it within that%s",
        fci_surge_time_said(w, s->least_closing.nominal),
        s->closing_usual ? ": take the time from its data sheet or time the "
                           "end of a flush"
                         : "");
}

/* ---- Surges --------------------------------------------------------------
 */

/* What is told of one goes for so many more, and for others beside those by
 * their surge, or their static pressure. */
static const char *
more_said(struct fci_surge_work *w, fc_state state, size_t told)
{
    const bool still = fci_surge_still(&w->fixtures[told].states[state]);
    size_t alike = 0, others = 0;
    const char *said = "";

    for (size_t i = 0; i < w->n_fixtures; i++) {
        const fc_surge *s = &w->fixtures[i].states[state];

        if (i == told || !s->surge.given || s->within == FC_WORKS)
            continue;
        if (fci_surge_still(s) == still)
            alike++;
        else
            others++;
    }
    if (alike > 0)
        said = fci_arena_printf(w->e->arena, "; %zu more fixture%s likewise",
                                alike, alike == 1 ? "" : "s");
    if (others > 0)
        said = fci_arena_printf(
            w->e->arena, "%s; %zu more fixture%s may exceed a rating by %s",
            said ? said : "", others, others == 1 ? "" : "s",
            still ? "static + surge" : "static pressure alone");
    return said;
}

static void
find_surge(struct fci_surge_work *w, fc_state state, size_t at)
{
    const fc_surge *s = &w->fixtures[at].states[state];
    const bool still = fci_surge_still(s);

    fci_find(
        &w->e->found,
        s->within == FC_WORKS           ? FC_NOTE
        : s->within == FC_WILL_NOT_WORK ? FC_FAIL
                                        : FC_WARN,
        w->fixtures[at].name, FC_IN(state), FC_FOUND_SURGE,
        still ? "{static}{when}{help}; surge {surge} more as it closes in "
                "{closing}{more}"
              : "surge {surge} as it closes in {closing}{when}; static + "
                "surge {peak} at {place}, rated {rating}{help}{more}",
        FCI_WITH(FCI_AS("surge", FC_PRESSURE, s->highest.high,
                        surge_said(w, s, s->highest.high)),
                 { "closing", FC_TIME, s->closing, closing_said(w, s) },
                 FCI_ONE("peak", FC_PRESSURE, s->peak.high),
                 FCI_WORD("place", s->at),
                 FCI_AS("rating", FC_PRESSURE, s->rating, rating_said(w, s)),
                 FCI_AS("static", FC_PRESSURE, s->static_pressure.high,
                        static_said(w, s)),
                 FCI_WORD("help", still ? give_said(s) : help_said(w, s)),
                 FCI_WORD("more", s->within == FC_WORKS
                                      ? ""
                                      : more_said(w, state, at))));
}

/* The one to tell: that which surely does harm, or else the worst. */
static size_t
told_of(const struct fci_surge_work *w, fc_state state)
{
    size_t told = w->worst[state];

    for (size_t i = 0; i < w->n_fixtures && told != SIZE_MAX; i++) {
        const fc_surge *s = &w->fixtures[i].states[state];

        if (s->within == FC_WILL_NOT_WORK
            && (w->fixtures[told].states[state].within != FC_WILL_NOT_WORK
                || fci_surge_excess(s)
                       > fci_surge_excess(&w->fixtures[told].states[state])))
            told = i;
    }
    return told;
}

static void
judge(struct fci_surge_work *w, fc_state state, size_t told)
{
    size_t untold = 0;

    if (told != SIZE_MAX) {
        const fc_surge *s = &w->fixtures[told].states[state];

        fci_effect_judge(
            w->e, FC_SURGE_EFFECT, state, s->within,
            s->within == FC_WORKS ? fci_surge_holds(w, state)
            : fci_surge_still(s)
                ? fci_arena_printf(w->e->arena, "%s%s", static_said(w, s),
                                   give_said(s))
                : fci_arena_printf(w->e->arena,
                                   "static + surge %s at %s as %s closes, "
                                   "rated %s",
                                   surge_said(w, s, s->peak.high), s->at,
                                   w->fixtures[told].name, rating_said(w, s)));
    }
    for (size_t i = 0; i < w->n_fixtures; i++)
        untold += w->fixtures[i].states[state].valve
                  && !w->fixtures[i].states[state].surge.given;
    if (untold == 0)
        return;
    fci_find(&w->e->found, FC_WARN, "", FC_IN(state), FC_FOUND_SURGE,
             "surge of {fixtures} fixture{s}{when} not calculated: {why}",
             FCI_WITH(FCI_COUNT("fixtures", untold),
                      FCI_WORD("s", untold == 1 ? "" : "s"),
                      FCI_WORD("why",
                               w->e->network[state]->meshed
                                   ? "water may come by several ways"
                                   : "the rate of the valve is not known, no "
                                     "water flows, or no pipe feeds it")));
    fci_effect_judge(w->e, FC_SURGE_EFFECT, state, FC_CANNOT_TELL,
                     "surge of some flush valves is not known");
}

/* ---- Arresters -----------------------------------------------------------
 */

static const char *
arresters_said(struct fci_surge_work *w, const fc_arrester_need *need)
{
    return need->number == 1
               ? fci_arena_printf(w->e->arena, "one of size %s",
                                  fc_arrester_word(need->size))
               : fci_arena_printf(w->e->arena, "%d of size %s", need->number,
                                  fc_arrester_word(need->size));
}

static const char *
where_said(struct fci_surge_work *w, const fc_surge_branch *b,
           const fc_arrester_need *need)
{
    return need->number == 1
               ? fci_arena_printf(w->e->arena, "near its end, by %s", b->last)
               : fci_arena_printf(w->e->arena,
                                  "near its start, %s, and its end, %s",
                                  b->name, b->last);
}

static void
find_too_high(struct fci_surge_work *w, fc_state state,
              const fc_surge_branch *b)
{
    fci_find(&w->e->found, FC_WARN, b->name, FC_IN(state), FC_FOUND_ARRESTER,
             "{arresters} arrester{s} on it{when}, where static is up to "
             "{static}; PDI-WH201 sizes none for more than {most}, so that "
             "what the surge is with them is not known. A PRV before it, set "
             "to less, settles it",
             FCI_WITH(FCI_COUNT("arresters", b->arresters),
                      FCI_WORD("s", b->arresters == 1 ? "" : "s"),
                      FCI_ONE("static", FC_PRESSURE, b->pressure.high),
                      FCI_ONE("most", FC_PRESSURE, w->arresters->most)));
}

static void
find_arresters(struct fci_surge_work *w, fc_state state)
{
    for (size_t i = 0; i < w->n_branches; i++) {
        const fc_surge_branch *b = &w->branches[i];
        const fc_arrester_need *need = &b->states[state];

        if (b->arresters > 0 && need->units > 0
            && b->pressure.high > w->arresters->most)
            find_too_high(w, state, b);
        if (b->arresters == 0 || need->number == 0 || need->enough == FC_WORKS)
            continue;
        fci_find(
            &w->e->found, FC_WARN, b->name, FC_IN(state), FC_FOUND_ARRESTER,
            "{arresters} arrester{s} on it, enough for {served} fixture "
            "units{when}; PDI-WH201 asks for {need} for its {units} units, "
            "{where}",
            FCI_WITH(FCI_COUNT("arresters", b->arresters),
                     FCI_WORD("s", b->arresters == 1 ? "" : "s"),
                     FCI_AS("served", FC_NUMBER, b->serves,
                            fci_one_decimal(b->serves).text),
                     FCI_WORD("need", arresters_said(w, need)),
                     FCI_AS("units", FC_NUMBER, need->units,
                            fci_one_decimal(need->units).text),
                     FCI_WORD("where", where_said(w, b, need))));
    }
}

/* What stands where no flush valve's branch is serves nothing here. */
static void
assume_arresters(struct fci_surge_work *w)
{
    const fc_site *site = w->of.site;
    int standing = 0, counted = 0;

    for (size_t i = 0; i < site->n_elements; i++)
        standing +=
            site->elements[i].pipe
            && site->elements[i].pipe->given->arrester != FC_NO_ARRESTER;
    for (size_t i = 0; i < w->n_branches; i++)
        counted += w->branches[i].arresters;
    if (standing > counted)
        fci_assume(&w->e->found,
                   "%d arrester%s on no branch with flush valves: not counted",
                   standing - counted, standing - counted == 1 ? "" : "s");
    if (counted > 0)
        fci_assume(
            &w->e->found,
            "arresters that are enough for their branch keep the peak "
            "to %s, the pressure that they are tested for, within %s of pipe "
            "of where they stand; sealed ones lose their charge with age",
            fci_show(w->e->found.units, FC_PRESSURE, w->arresters->peak).text,
            fci_show(w->e->found.units, FC_LENGTH, w->arresters->two_above)
                .text);
}

/* ---- Assumptions ---------------------------------------------------------
 */

static void
assume_method(struct fci_surge_work *w)
{
    const fc_site *site = w->of.site;
    size_t usual = 0, rigid = 0;

    for (size_t i = 0; i < w->n_fixtures; i++)
        for (int s = 0; s < fci_effect_states(w->e); s++)
            usual += w->fixtures[i].states[s].valve
                     && w->fixtures[i].states[s].closing_usual;
    for (size_t i = 0; i < site->n_elements; i++)
        rigid += site->elements[i].pipe && w->of.rigid[i];
    fci_assume(&w->e->found,
               "surge: each flush valve closes while no other flows, and its "
               "opening shrinks evenly to nothing over its closing time; a "
               "valve that slams does more");
    fci_assume(&w->e->found,
               "surge is that anywhere in the pipes that the source feeds; "
               "preventers and PRVs, and maybe devices and meters, trap it; a "
               "PRV does not regulate within so short a time; the source's "
               "pressure does not rise; water that parts in a vacuum does "
               "more");
    if (usual > 0)
        fci_assume(&w->e->found,
                   "closing time not given: %s, which is usual; source: "
                   "\"flushcalc tables usual\"",
                   fci_surge_times_said(w, w->usual_closing));
    fci_assume(&w->e->found,
               "pressure rating not given: %s, which is usual; that of a "
               "flush valve counts as that of the pipe it is on",
               fci_surge_usual_said(w));
    if (rigid > 0)
        fci_assume(&w->e->found,
                   "elasticity or wall of %zu pipe%s not known: rigid, where "
                   "a surge is largest",
                   rigid, rigid == 1 ? "" : "s");
}

void
fci_surge_tell(struct fci_surge_work *w)
{
    size_t told[FC_STATES] = { SIZE_MAX, SIZE_MAX };

    for (int s = 0; s < fci_effect_states(w->e); s++) {
        told[s] = told_of(w, (fc_state)s);
        if (told[s] != SIZE_MAX)
            find_surge(w, (fc_state)s, told[s]);
        judge(w, (fc_state)s, told[s]);
        find_arresters(w, (fc_state)s);
    }
    fci_surge_rows(w);
    assume_method(w);
    assume_arresters(w);
}
