/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/site_words.c -- findings on the building as a whole. */
#include "check/checked.h"
#include "peak/source.h"
#include "check/drawn.h"
#include "check/words.h"
#include "laws/friction.h"
#include "site/pipe_size.h"
#include "units/units.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- What the code's own parts disagree on ---------------------------- */

/* With `code minimum = no` a valve's own minimum stands alone. */
static bool
is_judged_by_code(const struct fci_check_words *w,
                  const struct fci_fixture *fixture, const void *data)
{
    const fc_state state = w->judge->converted ? FC_RETROFIT : FC_EXISTING;
    const fc_valve *valve = fixture->valve[state];

    return fixture->kind == data
           && (w->judge->site->settings.code_minimum != FC_NO || !valve
               || !valve->minimum_flowing.given);
}

static bool
is_of_kind(const struct fci_check_words *w, const struct fci_fixture *fixture,
           const void *data)
{
    (void)w;
    return fixture->kind == data;
}

static void
find_disagreement(struct fci_check_words *w,
                  const struct fci_fixture_kind *kind)
{
    const char *names;

    if (isnan(kind->pressure) || isnan(kind->quoted_pressure))
        return;
    names = fci_name_some(w, is_judged_by_code, kind);
    if (names)
        fci_find(
            &w->found, FC_NOTE, "", 0, FC_FOUND_CODE,
            "code minimum {pressure} ({source}) is used, not the {elsewhere} "
            "of {other source}: {fixtures}",
            FCI_WITH(
                FCI_ONE("pressure", FC_PRESSURE, kind->pressure),
                FCI_WORD("source",
                         fci_document(w->found.arena, kind->pressure_source)),
                FCI_ONE("elsewhere", FC_PRESSURE, kind->quoted_pressure),
                FCI_WORD("other source",
                         fci_document(w->found.arena, kind->quoted_source)),
                FCI_WORD("fixtures", names)));
}

static void
find_no_need(struct fci_check_words *w, const struct fci_fixture_kind *kind)
{
    const char *names;

    if (!isnan(kind->pressure) || kind->flushes)
        return;
    names = fci_name_some(w, is_of_kind, kind);
    if (names)
        fci_find(&w->found, FC_NOTE, "", 0, FC_FOUND_CODE,
                 "the code table gives no minimum flowing pressure for "
                 "\"{kind}\"; judged by having water at all: {fixtures}",
                 FCI_WITH(FCI_WORD("kind", kind->head.name),
                          FCI_WORD("fixtures", names)));
}

static int
by_name(const void *a, const void *b)
{
    const struct fci_fixture_kind *const *x = a, *const *y = b;

    return strcmp((*x)->head.name, (*y)->head.name);
}

/* Each kind of fixture once, in the order of their names. */
static void
find_kinds(struct fci_check_words *w)
{
    const fc_site *site = w->judge->site;
    const struct fci_fixture_kind **seen =
        fci_arena_array(w->found.arena, site->n_fixtures + 1, sizeof *seen);
    size_t i, n = 0;

    if (!seen)
        return;
    for (i = 0; i < site->n_fixtures; i++)
        seen[i] = site->fixtures[i].kind;
    qsort(seen, site->n_fixtures, sizeof *seen, by_name);
    for (i = 0; i < site->n_fixtures; i++)
        if (n == 0 || seen[n - 1] != seen[i])
            seen[n++] = seen[i];
    for (i = 0; i < n; i++) {
        find_disagreement(w, seen[i]);
        find_no_need(w, seen[i]);
    }
}

/* ---- What was not given and matters ----------------------------------- */

static bool
lacks_supply_size(const struct fci_check_words *w,
                  const struct fci_fixture *fixture, const void *data)
{
    const double least = *(const double *)data;
    const fc_state state = w->judge->converted ? FC_RETROFIT : FC_EXISTING;
    const struct fci_requirement need =
        fci_requirement_of(w->judge->site, fixture, state);

    return fixture->kind->flushes
           && !fci_supply_of(w->judge, fixture).size.given
           && need.supply_size == least;
}

static void
find_supply_sizes(struct fci_check_words *w)
{
    const fc_site *site = w->judge->site;
    double least, last = 0;
    size_t i;

    /* least sizes are few: closets ask one, urinals another */
    for (;;) {
        const char *names;

        least = INFINITY;
        for (i = 0; i < site->n_fixtures; i++) {
            const double size =
                fci_requirement_of(site, &site->fixtures[i],
                                   w->judge->converted ? FC_RETROFIT
                                                       : FC_EXISTING)
                    .supply_size;

            if (size > last && size < least)
                least = size;
        }
        if (isinf(least))
            return;
        last = least;
        names = fci_name_some(w, lacks_supply_size, &least);
        if (names)
            fci_find(&w->found, FC_NOTE, "", 0, FC_FOUND_SUPPLY_SIZE,
                     "supply size not given, so not checked (at least "
                     "{needed} required): {fixtures}",
                     FCI_WITH(FCI_ONE("needed", FC_SIZE, least),
                              FCI_WORD("fixtures", names)));
    }
}

void
fci_find_untested_main(struct fci_check_words *w)
{
    const fc_site *site = w->judge->site;
    const struct fci_element *element = &site->elements[site->order[0]];
    const fc_source *source = element->part->data;

    if (fci_source_untested(source, 0))
        fci_find(
            &w->found, FC_WARN, element->name, 0, FC_FOUND_FLOW_TEST,
            "no flow test: its drop under flow is not known and not counted "
            "here; measure its residual at a known flow",
            NULL);
}

/* UPC Table 610.10 stands beside the units of Appendix A. */
static void
find_falling_units(struct fci_check_words *w)
{
    const struct fci_judge *judge = w->judge;
    int state;

    if (judge->site->settings.code != FC_UPC
        || judge->site->settings.peak == FC_PROBABILITY)
        return;
    for (state = 0; state < FC_STATES; state++) {
        const struct fci_demand *demand = judge->demand[state];
        const size_t source = judge->site->order[0];

        if (demand && demand[source].units > 0)
            fci_find(
                &w->found, FC_NOTE, "", FC_IN(state), FC_FOUND_FIXTURE_UNITS,
                "peak demand{when} is from {units} fixture units (UPC "
                "Appendix A); by the falling units of UPC Table 610.10, "
                "{falling units}",
                FCI_WITH(
                    FCI_AS("units", FC_NUMBER, demand[source].units,
                           fci_one_decimal(demand[source].units).text),
                    FCI_AS(
                        "falling units", FC_NUMBER,
                        demand[source].falling_units,
                        fci_one_decimal(demand[source].falling_units).text)));
    }
}

/* A few valves on one branch may well be on together, which the code's units
 * count for less. */
static void
find_higher_peaks(struct fci_check_words *w)
{
    const fc_site *site = w->judge->site;
    const fc_state state = w->judge->converted ? FC_RETROFIT : FC_EXISTING;
    const struct fci_demand *demand = w->judge->demand[state];
    size_t i, higher = 0, pipes = 0;

    if (site->settings.peak == FC_PROBABILITY)
        return;
    for (i = 0; i < site->n_elements; i++)
        if (site->elements[i].pipe) {
            pipes++;
            higher += demand[i].by_probability[FCI_WORST]
                      > demand[i].by_units[FCI_WORST] * (1 + 1e-9);
        }
    if (higher > 0)
        fci_find(
            &w->found, FC_NOTE, "", FC_IN(state), FC_FOUND_PEAK_DEMAND,
            "in {higher} of {pipes} pipes the peak by probability{when} is "
            "above the code peak, which the verdict uses; set \"peak = "
            "probability\" to use it",
            FCI_WITH(FCI_COUNT("higher", higher), FCI_COUNT("pipes", pipes)));
}

static size_t
count_parts(const fc_site *site, enum fci_kind kind)
{
    size_t i, n = 0;

    for (i = 0; i < site->n_parts; i++)
        n += site->parts[i].kind == kind;
    return n;
}

/* What a check reads and does not use is said, not passed over. */
static void
find_unused(struct fci_check_words *w)
{
    const size_t claims = count_parts(w->judge->site, FCI_CLAIM);

    if (claims > 0)
        fci_find(
            &w->found, FC_WARN, "", 0, FC_FOUND_READINGS,
            "{claims} claim{s} in the file, not used by check: see verify",
            FCI_WITH(FCI_COUNT("claims", claims),
                     FCI_WORD("s", claims == 1 ? "" : "s")));
}

/* ---- Where Hazen-Williams leaves its range ---------------------------- */

#define FEWEST_BORE 0.0508            /* m: 2 in */
#define FASTEST (10 * 0.3048)         /* m/s: 10 ft/s */
#define COLDEST ((40.0 - 32.0) / 1.8) /* degC: 40 degF */
#define WARMEST ((75.0 - 32.0) / 1.8) /* degC: 75 degF */

/* The usual handbook limits of the published C: water of 40 to 75 degF, bores
 * of 2 in and more, up to about 10 ft/s (from memory). */
static void
find_formula_range(struct fci_check_words *w)
{
    const fc_site *site = w->judge->site;
    const double t = site->settings.water_temperature.nominal;
    size_t i, narrow = 0, pipes = 0;

    for (i = 0; i < site->n_elements; i++)
        if (site->elements[i].pipe) {
            pipes++;
            narrow += site->elements[i].pipe->bore.nominal
                      < FEWEST_BORE * 0.97; /* a nominal 2 in counts */
        }
    if (narrow > 0)
        fci_find(
            &w->found, FC_NOTE, "", 0, FC_FOUND_FRICTION_FORMULA,
            "{narrow} of {pipes} pipes are under 2 in, where Hazen-Williams "
            "and its C are rougher guides; \"path --darcy\" shows "
            "Darcy-Weisbach beside it",
            FCI_WITH(FCI_COUNT("narrow", narrow), FCI_COUNT("pipes", pipes)));
    if (t < COLDEST || t > WARMEST)
        fci_find(&w->found, FC_WARN, "", 0, FC_FOUND_FRICTION_FORMULA,
                 "water outside the 40 to 75 degF (4 to 24 degC) that "
                 "Hazen-Williams is meant for",
                 NULL);
}

static void
find_fast_pipes(struct fci_check_words *w)
{
    const fc_site *site = w->judge->site;
    const fc_state state = w->judge->converted ? FC_RETROFIT : FC_EXISTING;
    size_t i, fast = 0;

    for (i = 0; i < site->n_elements; i++)
        if (site->elements[i].pipe
            && fci_velocity(w->judge->demand[state][i].flow[FCI_WORST],
                            fci_pipe_bore(site->elements[i].pipe).low)
                   > FASTEST)
            fast++;
    if (fast > 0)
        fci_find(&w->found, FC_WARN, "", FC_IN(state),
                 FC_FOUND_FRICTION_FORMULA,
                 "{pipes} pipe{are} over 10 ft/s (3 m/s) at peak, outside the "
                 "usual range of Hazen-Williams",
                 FCI_WITH(FCI_COUNT("pipes", fast),
                          FCI_WORD("are", fast == 1 ? " is" : "s are")));
}

void
fci_find_site(struct fci_check_words *w)
{
    fci_find_untested_main(w);
    find_kinds(w);
    find_supply_sizes(w);
    find_falling_units(w);
    find_higher_peaks(w);
    find_formula_range(w);
    find_fast_pipes(w);
    find_unused(w);
}
