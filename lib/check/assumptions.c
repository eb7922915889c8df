/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/assumptions.c -- what a check took for granted, in words. */
#include "check/words.h"
#include "site/pipe_size.h"
#include "units/units.h"

#include <math.h>
#include <string.h>

/* ---- The code and its tables ------------------------------------------ */

static void
assume_code(struct fci_check_words *w)
{
    const fc_site *site = w->judge->site;

    if (site->settings.code_minimum == FC_NO)
        fci_assume(&w->found,
                   "a stated valve minimum counts alone (code minimum = no): "
                   "nothing here says that the code minimum is met");
    if (site->settings.reserve.nominal > 0)
        fci_assume(&w->found, "%s reserve at every fixture",
                   fci_show(site->settings.units, FC_PRESSURE,
                            site->settings.reserve.nominal)
                       .text);
}

static void
assume_water(struct fci_check_words *w)
{
    const fc_site *site = w->judge->site;
    const fc_unit_system units = site->settings.units;
    const double per_length =
        fc_from_si(units, FC_PRESSURE, site->water_weight)
        / fc_from_si(units, FC_LENGTH, 1);

    fci_assume(&w->found, "water at %s: %.3f %s per %s of elevation",
               fci_show(units, FC_TEMPERATURE,
                        site->settings.water_temperature.nominal)
                   .text,
               per_length, fc_unit_name(units, FC_PRESSURE),
               fc_unit_name(units, FC_LENGTH));
}

void
fci_assume_amendments(struct fci_check_words *w)
{
    const struct fci_tables *tables = w->judge->site->tables;
    const size_t n = fci_tables_count(tables);
    const struct fci_section *section;
    const struct fci_entry *source;
    bool amended;
    size_t i;

    for (i = 0; i < n; i++) {
        section = fci_tables_section(tables, i, &amended);
        if (!amended)
            continue;
        source = fci_section_entry(section, "source");
        fci_assume(&w->found, "table entry [%s %s] amended by %s (source: %s)",
                   section->kind, section->name,
                   w->judge->site->settings.tables,
                   source ? source->value : "not given");
    }
}

/* ---- Valves ----------------------------------------------------------- */

struct valve_use {
    const fc_valve *valve;
    bool assumed;
};

static bool
uses_valve(const struct fci_check_words *w, const struct fci_fixture *fixture,
           const void *data)
{
    const struct valve_use *use = data;
    int state;

    for (state = 0; state < FC_STATES; state++)
        if (fixture->valve[state] == use->valve && fixture->generic[state]
            && fixture->assumed[state] == use->assumed
            && (state == FC_EXISTING || w->judge->converted))
            return true;
    return false;
}

/* Generic classes are few, so one walk over the fixtures for each. */
static void
assume_valves(struct fci_check_words *w)
{
    const struct fci_tables *tables = w->judge->site->tables;
    const size_t n = fci_tables_count(tables);
    const struct fci_valve_class *class;
    const struct fci_section *section;
    struct valve_use use;
    const char *names;
    bool amended;
    size_t i;

    for (i = 0; i < n; i++) {
        section = fci_tables_section(tables, i, &amended);
        if (strcmp(section->kind, "valve") != 0)
            continue;
        class = fci_tables_valve(tables, section->name);
        if (!class)
            continue;
        use.valve = &class->valve;
        use.assumed = true;
        names = fci_name_some(w, uses_valve, &use);
        if (names)
            fci_assume(
                &w->found,
                "no existing valve named, so generic class \"%s\" is used: %s",
                section->name, names);
        use.assumed = false;
        names = fci_name_some(w, uses_valve, &use);
        if (names)
            fci_assume(&w->found,
                       "generic class \"%s\" is used for the valve of %s: its "
                       "data sheet may differ",
                       section->name, names);
    }
}

static bool
lacks_minimum(const struct fci_check_words *w,
              const struct fci_fixture *fixture, const void *data)
{
    int state;

    (void)data;
    for (state = 0; state < FC_STATES; state++)
        if (fixture->valve[state]
            && !fixture->valve[state]->minimum_flowing.given
            && (state == FC_EXISTING || w->judge->converted))
            return !isnan(fixture->kind->pressure);
    return false;
}

static void
assume_minimum(struct fci_check_words *w)
{
    const char *names = fci_name_some(w, lacks_minimum, NULL);

    if (names)
        fci_assume(
            &w->found,
            "valve minimum of %s not given: the code minimum stands in when "
            "weak flushes are counted; take it from the data sheet",
            names);
}

/* ---- Hot water -------------------------------------------------------- */

static bool
lacks_heater(const struct fci_check_words *w,
             const struct fci_fixture *fixture, const void *data)
{
    const struct fci_units_of_use units =
        fci_fixture_units(fixture, FC_EXISTING);

    (void)w;
    (void)data;
    return fixture->heater == FCI_NONE && units.hot > 0;
}

static void
assume_hot_water(struct fci_check_words *w)
{
    const char *names = fci_name_some(w, lacks_heater, NULL);

    if (names)
        fci_assume(&w->found,
                   "no [heater] serves these; their hot water is taken to "
                   "come from elsewhere and is not counted: %s",
                   names);
}

/* ---- Pipes ------------------------------------------------------------ */

/* Pipes whose roughness rests on the tables. */
struct pipe_counts {
    size_t unknown, fresh, aged;
};

static void
count_pipe(const fc_site *site, const struct fci_pipe *pipe,
           struct pipe_counts *counts)
{
    const fc_condition condition = fci_pipe_condition(site, pipe);

    if (pipe->given->c.given)
        return;
    counts->unknown += condition == FC_CONDITION_UNKNOWN;
    counts->fresh += condition == FC_NEW;
    counts->aged += condition == FC_AGED;
}

static void
assume_roughness(struct fci_check_words *w)
{
    const fc_site *site = w->judge->site;
    struct pipe_counts counts = { 0, 0, 0 };
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        if (site->elements[i].pipe)
            count_pipe(site, site->elements[i].pipe, &counts);
    if (counts.unknown > 0)
        fci_assume(&w->found,
                   "condition of %zu pipe%s not given: C may lie anywhere "
                   "between the table's aged and new values",
                   counts.unknown, counts.unknown == 1 ? "" : "s");
    if (counts.fresh > 0)
        fci_assume(&w->found,
                   "C of %zu pipe%s is the table value for new pipe",
                   counts.fresh, counts.fresh == 1 ? "" : "s");
    if (counts.aged > 0)
        fci_assume(&w->found,
                   "C of %zu pipe%s is the table value for aged pipe",
                   counts.aged, counts.aged == 1 ? "" : "s");
}

/* The first pipe with a fitting that its table does not print at that size;
 * the number of such pipes. */
static size_t
count_unprinted(const fc_site *site, const struct fci_element **first,
                const char **fitting)
{
    size_t i, k, n = 0;
    bool column, unprinted;

    for (i = 0; i < site->n_elements; i++) {
        const struct fci_pipe *pipe = site->elements[i].pipe;

        unprinted = false;
        for (k = 0; pipe && pipe->material && k < pipe->given->n_fittings;
             k++) {
            if (!isnan(fci_fittings_length(
                    pipe->material->fittings, pipe->given->fittings[k].name,
                    pipe->given->size.nominal, &column)))
                continue;
            unprinted = true;
            if (!*first) {
                *first = &site->elements[i];
                *fitting = pipe->given->fittings[k].name;
            }
        }
        n += unprinted;
    }
    return n;
}

static void
assume_fittings(struct fci_check_words *w)
{
    const struct fci_element *first = NULL;
    const char *fitting = NULL;
    const size_t n = count_unprinted(w->judge->site, &first, &fitting);

    if (n > 0)
        fci_assume(
            &w->found,
            "fittings without an equivalent length in the table at their size "
            "count as nothing: in %zu pipe%s, such as \"%s\" in %s",
            n, n == 1 ? "" : "s", fitting, first->name);
}

static void
assume_level(struct fci_check_words *w)
{
    const fc_site *site = w->judge->site;
    size_t i, pipes = 0, fixtures = 0, n = 0;

    for (i = 0; i < site->n_elements; i++) {
        n += site->elements[i].pipe != NULL;
        pipes += site->elements[i].pipe
                 && !site->elements[i].pipe->given->rise.given
                 && !fci_has_height(&site->elements[i].height);
    }
    for (i = 0; i < site->n_fixtures; i++)
        fixtures += !site->fixtures[i].given->rise.given;
    if (pipes + fixtures > 0)
        fci_assume(&w->found,
                   "%zu of %zu pipes and %zu of %zu fixtures give no rise and "
                   "are taken as level with what feeds them",
                   pipes, n, fixtures, site->n_fixtures);
}

static void
assume_counts(struct fci_check_words *w)
{
    const fc_site *site = w->judge->site;
    const struct fci_fixture *first = NULL;
    size_t i, n = 0;

    for (i = 0; i < site->n_fixtures; i++)
        if (site->fixtures[i].many.given && n++ == 0)
            first = &site->fixtures[i];
    if (n > 0)
        fci_assume(&w->found,
                   "of %zu fixture%s whose count is a range, such as %s (%.0f "
                   "to %.0f), the figures count the most; the peak at "
                   "midpoint values counts the midpoint, rounded up",
                   n, n == 1 ? "" : "s", first->given->name, first->many.low,
                   first->many.high);
}

static void
assume_tolerance(struct fci_check_words *w)
{
    const fc_tolerance *t = &w->judge->site->tolerance;

    if (t->pressure.given || t->length.given || t->elevation.given
        || t->c.given || t->flow_test.given)
        fci_assume(&w->found, "single figures may be off by what [tolerance] "
                              "says and are taken as ranges");
}

/* The word that names the material of a pipe, where it is a synonym. */
static const char *
said_material(const fc_site *site, size_t element)
{
    const struct fci_pipe *pipe = site->elements[element].pipe;
    const char *word;

    if (!pipe || !pipe->material)
        return NULL;
    word = pipe->given->material ? pipe->given->material
                                 : site->settings.material;
    return word && !fci_same_name(word, pipe->material->head.name) ? word
                                                                   : NULL;
}

/* What a word such as "galvanized" takes for granted, once each. */
static void
assume_words(struct fci_check_words *w)
{
    const fc_site *site = w->judge->site;
    const struct fci_judgment *judgment;
    const char *word, *first;
    size_t i, k, n, judgments = fci_tables_judgments(site->tables);

    for (k = 0; k < judgments; k++) {
        judgment = fci_tables_judgment_at(site->tables, k);
        first = NULL;
        for (i = n = 0; i < site->n_elements; i++) {
            word = said_material(site, i);
            if (!word || fci_tables_judgment(site->tables, word) != judgment)
                continue;
            first = first ? first : word;
            n++;
        }
        if (n > 0)
            fci_assume(&w->found, "\"%s\", of %zu pipe%s, is read as %s: %s",
                       first, n, n == 1 ? "" : "s",
                       fci_tables_material(site->tables, first)->head.name,
                       judgment->says);
    }
}

void
fci_assume_all(struct fci_check_words *w, size_t fixture, fc_state state)
{
    fci_assume_usual(w, fixture, state);
    fci_assume_peak(w);
    assume_code(w);
    assume_valves(w);
    assume_minimum(w);
    assume_hot_water(w);
    assume_roughness(w);
    assume_words(w);
    assume_fittings(w);
    assume_level(w);
    assume_counts(w);
    assume_tolerance(w);
    assume_water(w);
    fci_assume_amendments(w);
}
