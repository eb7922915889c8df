/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/site_words.c -- findings on the building as a whole. */
#include "check/words.h"
#include "laws/friction.h"
#include "units/units.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static struct fci_shown
show(const struct fci_findings *f, fc_dimension dimension, double value)
{
    return fci_show(f->judge->site->settings.units, dimension, value);
}

/* ---- What the code's own parts disagree on ---------------------------- */

/* The document alone: the tables name it first, and how it was read after. */
static int
document_length(const char *source)
{
    const char *end = strstr(source, ", read on");

    return end ? (int)(end - source) : (int)strlen(source);
}

/* With `code minimum = no` a valve's own minimum stands alone. */
static bool
is_judged_by_code(const struct fci_findings *f,
                  const struct fci_fixture *fixture, const void *data)
{
    const fc_state state = f->judge->converted ? FC_RETROFIT : FC_EXISTING;
    const fc_valve *valve = fixture->valve[state];

    return fixture->kind == data
           && (f->judge->site->settings.code_minimum != FC_NO || !valve
               || !valve->minimum_flowing.given);
}

static bool
is_of_kind(const struct fci_findings *f, const struct fci_fixture *fixture,
           const void *data)
{
    (void)f;
    return fixture->kind == data;
}

static void
find_disagreement(struct fci_findings *f, const struct fci_fixture_kind *kind)
{
    const char *names;

    if (isnan(kind->pressure) || isnan(kind->quoted_pressure))
        return;
    names = fci_name_some(f, is_judged_by_code, kind);
    if (names)
        fci_find(f, FC_NOTE, "", FC_STATES, "code",
                 "the code asks %s of a \"%s\" (%.*s), and says %s elsewhere "
                 "(%.*s); the higher is taken: %s",
                 show(f, FC_PRESSURE, kind->pressure).text, kind->head.name,
                 document_length(kind->pressure_source), kind->pressure_source,
                 show(f, FC_PRESSURE, kind->quoted_pressure).text,
                 document_length(kind->quoted_source), kind->quoted_source,
                 names);
}

static void
find_no_need(struct fci_findings *f, const struct fci_fixture_kind *kind)
{
    const char *names;

    if (!isnan(kind->pressure) || kind->flushes)
        return;
    names = fci_name_some(f, is_of_kind, kind);
    if (names)
        fci_find(
            f, FC_NOTE, "", FC_STATES, "code",
            "the code's table gives no least flowing pressure for \"%s\"; "
            "these are judged by having water at all: %s",
            kind->head.name, names);
}

static int
by_name(const void *a, const void *b)
{
    const struct fci_fixture_kind *const *x = a, *const *y = b;

    return strcmp((*x)->head.name, (*y)->head.name);
}

/* Each kind of fixture once, in the order of their names. */
static void
find_kinds(struct fci_findings *f)
{
    const fc_site *site = f->judge->site;
    const struct fci_fixture_kind **seen =
        malloc((site->n_fixtures + 1) * sizeof *seen);
    size_t i, n = 0;

    if (!seen) {
        f->out_of_memory = true;
        return;
    }
    for (i = 0; i < site->n_fixtures; i++)
        seen[i] = site->fixtures[i].kind;
    qsort(seen, site->n_fixtures, sizeof *seen, by_name);
    for (i = 0; i < site->n_fixtures; i++)
        if (n == 0 || seen[n - 1] != seen[i])
            seen[n++] = seen[i];
    for (i = 0; i < n; i++) {
        find_disagreement(f, seen[i]);
        find_no_need(f, seen[i]);
    }
    free(seen);
}

/* ---- What was not given and matters ----------------------------------- */

static bool
lacks_supply_size(const struct fci_findings *f,
                  const struct fci_fixture *fixture, const void *data)
{
    const double least = *(const double *)data;
    const fc_state state = f->judge->converted ? FC_RETROFIT : FC_EXISTING;
    const struct fci_requirement need =
        fci_requirement_of(f->judge->site, fixture, state);

    return fixture->kind->flushes && !fixture->given->supply_size.given
           && need.supply_size == least;
}

static void
find_supply_sizes(struct fci_findings *f)
{
    const fc_site *site = f->judge->site;
    double least, last = 0;
    size_t i;

    /* least sizes are few: closets ask one, urinals another */
    for (;;) {
        const char *names;

        least = INFINITY;
        for (i = 0; i < site->n_fixtures; i++) {
            const double size =
                fci_requirement_of(site, &site->fixtures[i],
                                   f->judge->converted ? FC_RETROFIT
                                                       : FC_EXISTING)
                    .supply_size;

            if (size > last && size < least)
                least = size;
        }
        if (isinf(least))
            return;
        last = least;
        names = fci_name_some(f, lacks_supply_size, &least);
        if (names)
            fci_find(f, FC_NOTE, "", FC_STATES, "supply size",
                     "the supply size is not given, so it is not checked "
                     "(%s at least is needed): %s",
                     show(f, FC_SIZE, least).text, names);
    }
}

static void
find_untested_main(struct fci_findings *f)
{
    const fc_site *site = f->judge->site;
    const struct fci_element *element = &site->elements[site->order[0]];
    const fc_source *source = element->part->data;

    if (source->kind == FC_STREET_MAIN && !source->residual.given)
        fci_find(f, FC_WARN, element->name, FC_STATES, "flow test",
                 "has a static pressure but no flow test: it is taken not to "
                 "sag at all under flow, which is unproved; measure its "
                 "residual pressure at a known flow");
}

/* UPC Table 610.10 stands beside the units of Appendix A. */
static void
find_falling_units(struct fci_findings *f)
{
    const struct fci_judge *judge = f->judge;
    int state;

    if (judge->site->settings.code != FC_UPC
        || judge->site->settings.peak == FC_PROBABILITY)
        return;
    for (state = 0; state < FC_STATES; state++) {
        const struct fci_demand *demand = judge->demand[state];
        const size_t source = judge->site->order[0];

        if (demand && demand[source].units > 0)
            fci_find(f, FC_NOTE, "", state, "fixture units",
                     "the peak demand%s rests on %.1f fixture units (UPC "
                     "Appendix A); by the falling units of UPC Table 610.10 "
                     "there would be %.1f",
                     fci_when(judge, (fc_state)state), demand[source].units,
                     demand[source].falling_units);
    }
}

/* A few valves on one branch may well be on together, which the code's units
 * count for less. */
static void
find_higher_peaks(struct fci_findings *f)
{
    const fc_site *site = f->judge->site;
    const fc_state state = f->judge->converted ? FC_RETROFIT : FC_EXISTING;
    const struct fci_demand *demand = f->judge->demand[state];
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
        fci_find(f, FC_NOTE, "", (int)state, "peak demand",
                 "in %zu of %zu pipes the peak by probability%s is above the "
                 "code's, on which the verdict rests; with \"peak = "
                 "probability\" it rests on that",
                 higher, pipes, fci_when(f->judge, state));
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
find_unused(struct fci_findings *f)
{
    const size_t readings = count_parts(f->judge->site, FCI_READING);
    const size_t claims = count_parts(f->judge->site, FCI_CLAIM);

    if (readings + claims > 0)
        fci_find(f, FC_WARN, "", FC_STATES, "readings",
                 "the site has %zu reading%s and %zu claim%s, which a check "
                 "does not use: it judges from the supply and the piping as "
                 "given; what a static reading tells of the main is to be "
                 "entered there",
                 readings, readings == 1 ? "" : "s", claims,
                 claims == 1 ? "" : "s");
}

/* ---- Where Hazen-Williams leaves its range ---------------------------- */

#define FEWEST_BORE 0.0508            /* m: 2 in */
#define FASTEST (10 * 0.3048)         /* m/s: 10 ft/s */
#define COLDEST ((40.0 - 32.0) / 1.8) /* degC: 40 degF */
#define WARMEST ((75.0 - 32.0) / 1.8) /* degC: 75 degF */

/* The usual handbook limits of the published C: water of 40 to 75 degF, bores
 * of 2 in and more, up to about 10 ft/s (from memory). */
static void
find_formula_range(struct fci_findings *f)
{
    const fc_site *site = f->judge->site;
    const double t = site->settings.water_temperature.nominal;
    size_t i, narrow = 0, pipes = 0;

    for (i = 0; i < site->n_elements; i++)
        if (site->elements[i].pipe) {
            pipes++;
            narrow += site->elements[i].pipe->bore.nominal
                      < FEWEST_BORE * 0.97; /* a nominal 2 in counts */
        }
    if (narrow > 0)
        fci_find(f, FC_NOTE, "", FC_STATES, "friction formula",
                 "%zu of %zu pipes are under 2 in, where Hazen-Williams and "
                 "its C are rougher guides; \"path --darcy\" sets "
                 "Darcy-Weisbach beside it",
                 narrow, pipes);
    if (t < COLDEST || t > WARMEST)
        fci_find(f, FC_WARN, "", FC_STATES, "friction formula",
                 "the water is outside the 40 to 75 degF (4 to 24 degC) that "
                 "Hazen-Williams is meant for");
}

static void
find_fast_pipes(struct fci_findings *f)
{
    const fc_site *site = f->judge->site;
    const fc_state state = f->judge->converted ? FC_RETROFIT : FC_EXISTING;
    size_t i, fast = 0;

    for (i = 0; i < site->n_elements; i++)
        if (site->elements[i].pipe
            && fci_velocity(f->judge->demand[state][i].flow[FCI_WORST],
                            site->elements[i].pipe->bore.low)
                   > FASTEST)
            fast++;
    if (fast > 0)
        fci_find(f, FC_WARN, "", (int)state, "friction formula",
                 "%zu pipe%s over 10 ft/s (3 m/s) at peak, outside the usual "
                 "range of Hazen-Williams",
                 fast, fast == 1 ? " is" : "s are");
}

void
fci_find_site(struct fci_findings *f)
{
    find_untested_main(f);
    find_kinds(f);
    find_supply_sizes(f);
    find_falling_units(f);
    find_higher_peaks(f);
    find_formula_range(f);
    find_fast_pipes(f);
    find_unused(f);
}
