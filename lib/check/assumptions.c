/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/assumptions.c -- what a check took for granted, in words. */
#include "check/words.h"
#include "units/units.h"

#include <math.h>
#include <string.h>

/* ---- The code and its tables ------------------------------------------ */

static void
assume_code(struct fci_findings *f)
{
    const fc_site *site = f->judge->site;

    if (site->settings.code_minimum == FC_NO)
        fci_assume(f, "where a valve states its own minimum, that alone "
                      "counts (code minimum = no): nothing here says that "
                      "the code's least pressure is met");
    if (site->settings.reserve.nominal > 0)
        fci_assume(f, "%s is kept in hand at every fixture",
                   fci_show(site->settings.units, FC_PRESSURE,
                            site->settings.reserve.nominal)
                       .text);
}

static void
assume_water(struct fci_findings *f)
{
    const fc_site *site = f->judge->site;
    const fc_unit_system units = site->settings.units;
    const double per_length =
        fc_from_si(units, FC_PRESSURE, site->water_weight)
        / fc_from_si(units, FC_LENGTH, 1);

    fci_assume(f, "water at %s weighs %.3f %s per %s of height",
               fci_show(units, FC_TEMPERATURE,
                        site->settings.water_temperature.nominal)
                   .text,
               per_length, fc_unit_name(units, FC_PRESSURE),
               fc_unit_name(units, FC_LENGTH));
}

static void
assume_amendments(struct fci_findings *f)
{
    const struct fci_tables *tables = f->judge->site->tables;
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
        fci_assume(f, "the table entry [%s %s] is amended by %s (source: %s)",
                   section->kind, section->name,
                   f->judge->site->settings.tables,
                   source ? source->value : "not given");
    }
}

/* ---- Valves ----------------------------------------------------------- */

struct valve_use {
    const fc_valve *valve;
    bool assumed;
};

static bool
uses_valve(const struct fci_findings *f, const struct fci_fixture *fixture,
           const void *data)
{
    const struct valve_use *use = data;
    int state;

    for (state = 0; state < FC_STATES; state++)
        if (fixture->valve[state] == use->valve && fixture->generic[state]
            && fixture->assumed[state] == use->assumed
            && (state == FC_EXISTING || f->judge->converted))
            return true;
    return false;
}

/* Generic classes are few, so one walk over the fixtures for each. */
static void
assume_valves(struct fci_findings *f)
{
    const struct fci_tables *tables = f->judge->site->tables;
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
        names = fci_name_some(f, uses_valve, &use);
        if (names)
            fci_assume(f,
                       "no existing valve is named, so the generic class "
                       "\"%s\" is taken: %s",
                       section->name, names);
        use.assumed = false;
        names = fci_name_some(f, uses_valve, &use);
        if (names)
            fci_assume(f,
                       "the generic class \"%s\" stands for the valve of %s: "
                       "its data sheet may say otherwise",
                       section->name, names);
    }
}

/* ---- Hot water -------------------------------------------------------- */

static bool
lacks_heater(const struct fci_findings *f, const struct fci_fixture *fixture,
             const void *data)
{
    const struct fci_units_of_use units =
        fci_fixture_units(fixture, FC_EXISTING);

    (void)f;
    (void)data;
    return fixture->heater == FCI_NONE && units.hot > 0;
}

static void
assume_hot_water(struct fci_findings *f)
{
    const char *names = fci_name_some(f, lacks_heater, NULL);

    if (names)
        fci_assume(f,
                   "no [heater] serves these, so their hot water is taken to "
                   "come from elsewhere and counts for nothing here: %s",
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
    const fc_condition condition =
        pipe->given->condition != FC_CONDITION_UNKNOWN
            ? pipe->given->condition
            : site->settings.condition;

    if (pipe->given->c.given)
        return;
    counts->unknown += condition == FC_CONDITION_UNKNOWN;
    counts->fresh += condition == FC_NEW;
    counts->aged += condition == FC_AGED;
}

static void
assume_roughness(struct fci_findings *f)
{
    const fc_site *site = f->judge->site;
    struct pipe_counts counts = { 0, 0, 0 };
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        if (site->elements[i].pipe)
            count_pipe(site, site->elements[i].pipe, &counts);
    if (counts.unknown > 0)
        fci_assume(f,
                   "the condition of %zu pipe%s is not given: C is taken to "
                   "lie anywhere between the table's aged and new figures",
                   counts.unknown, counts.unknown == 1 ? "" : "s");
    if (counts.fresh > 0)
        fci_assume(f, "C of %zu pipe%s is the table's for new pipe",
                   counts.fresh, counts.fresh == 1 ? "" : "s");
    if (counts.aged > 0)
        fci_assume(f, "C of %zu pipe%s is the table's for aged pipe",
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
assume_fittings(struct fci_findings *f)
{
    const struct fci_element *first = NULL;
    const char *fitting = NULL;
    const size_t n = count_unprinted(f->judge->site, &first, &fitting);

    if (n > 0)
        fci_assume(f,
                   "fittings for which the table prints no equivalent length "
                   "at their size count as nothing: in %zu pipe%s, such as "
                   "\"%s\" in %s",
                   n, n == 1 ? "" : "s", fitting, first->name);
}

static void
assume_tolerance(struct fci_findings *f)
{
    const fc_tolerance *t = &f->judge->site->tolerance;

    if (t->pressure.given || t->length.given || t->elevation.given
        || t->c.given || t->flow_test.given)
        fci_assume(f, "inputs given as single figures may be off by what "
                      "[tolerance] says, and are taken as ranges");
}

void
fci_assume_all(struct fci_findings *f)
{
    fci_assume_peak(f);
    assume_code(f);
    assume_valves(f);
    assume_hot_water(f);
    assume_roughness(f);
    assume_fittings(f);
    assume_tolerance(f);
    assume_water(f);
    assume_amendments(f);
}
