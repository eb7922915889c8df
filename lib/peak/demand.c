/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/peak/demand.c -- peak demand of every element, by units and by chance.
 *
 *   [IPC-E]  International Plumbing Code, Appendix E, E103.3: fixture units
 *            are added up for each section and turned into a flow at the next
 *            tabulated row up
 *   [UPC-A]  Uniform Plumbing Code, Appendix A, Table A 103.1: closets and
 *            urinals have units by their flush volume
 *   [UPC-10] Uniform Plumbing Code, Table 610.10: units that fall with the
 *            number of flush valves
 *
 * By chance: the flush valves as peak/probability.c has them, and all else by
 * the code's units in the flush-tank column, added as it is, since nothing is
 * known of how often a lavatory runs.
 */
#include "peak/demand.h"
#include "peak/flush_time.h"
#include "peak/probability.h"
#include "site/tree.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Sums of tenths miss the row they are meant for by rounding alone. */
#define UNITS_SLACK 1e-6

/* Where hot and cold are wanted from one figure for both, each is three
 * quarters of it: the rule at the foot of the IPC's table [IPC-E]. */
#define PART_OF_TOTAL 0.75

/* ---- One fixture ------------------------------------------------------ */

bool
fci_has_hot_water(const struct fci_fixture_kind *kind)
{
    int use;

    for (use = 0; use < 3; use++)
        if (kind->units[use].given && kind->units[use].hot > 0)
            return true;
    return false;
}

static struct fci_units_of_use
stated_units(const struct fci_fixture *fixture)
{
    const double total = fixture->given->fixture_units.nominal;
    struct fci_units_of_use units = { true, total, 0, total };

    if (fci_has_hot_water(fixture->kind)) {
        units.cold = PART_OF_TOTAL * total;
        units.hot = PART_OF_TOTAL * total;
    }
    return units;
}

/* Whether the code tells its units by the flush volume [UPC-A]. */
static bool
has_units_by_volume(const struct fci_fixture *fixture)
{
    const struct fci_fixture_kind *kind = fixture->kind;

    return kind->over > 0 && kind->units_above[fixture->given->use].given;
}

/* That of the valve; of a fixture with a tank, that of its bowl. */
static fc_range
known_volume(const struct fci_fixture *fixture, fc_state state)
{
    const fc_range unknown = { false, 0, 0, 0 };
    const fc_valve *valve = fixture->valve[state];

    if (valve)
        return fixture->assumed[state] ? unknown : valve->full_flush;
    return fixture->kind->flushes ? unknown : fixture->bowl[state];
}

bool
fci_units_unknown(const struct fci_fixture *fixture, fc_state state)
{
    return has_units_by_volume(fixture) && !known_volume(fixture, state).given;
}

static struct fci_units_of_use
code_units(const struct fci_fixture *fixture, fc_state state, bool smaller)
{
    const struct fci_fixture_kind *kind = fixture->kind;
    const fc_use use = fixture->given->use;
    const fc_range volume = known_volume(fixture, state);

    if (!has_units_by_volume(fixture)
        || (volume.given ? volume.nominal <= kind->over * (1 + 1e-6)
                         : smaller))
        return kind->units[use];
    return kind->units_above[use];
}

struct fci_units_of_use
fci_code_units(const struct fci_fixture *fixture, fc_state state)
{
    return code_units(fixture, state, false);
}

static struct fci_units_of_use
units_as(const struct fci_fixture *fixture, fc_state state,
         const struct fci_demand_as *as)
{
    const struct fci_units_of_use of_code =
        code_units(fixture, state, as->smaller_units);

    return fixture->given->fixture_units.given
                   && !(as->by_units && of_code.given)
               ? stated_units(fixture)
               : of_code;
}

struct fci_units_of_use
fci_fixture_units(const struct fci_fixture *fixture, fc_state state)
{
    const struct fci_demand_as as_it_is = { 0 };

    return units_as(fixture, state, &as_it_is);
}

fc_range
fci_fixture_flow(const fc_site *site, const struct fci_fixture *fixture,
                 fc_state state)
{
    const fc_valve *valve = fixture->valve[state];
    const double code = fixture->kind->flow;
    const bool code_counts = !isnan(code)
                             && (site->settings.code_minimum != FC_NO || !valve
                                 || !valve->flow.given);
    fc_range flow = valve && valve->flow.given ? valve->flow : fc_exactly(0);

    if (code_counts) {
        flow.nominal = fmax(flow.nominal, code);
        flow.low = fmax(flow.low, code);
        flow.high = fmax(flow.high, code);
    }
    return flow;
}

/* ---- The demand table ------------------------------------------------- */

/* On the line from the row below to row `at`; below the first one printed
 * there is no line. */
static double
between_rows(const struct fci_curve_rows *rows, const double *flow, size_t at,
             double units)
{
    if (at == 0 || isnan(flow[at - 1]))
        return flow[at];
    return flow[at]
           - (flow[at] - flow[at - 1])
                 / (rows->units[at] - rows->units[at - 1])
                 * fmax(rows->units[at] - units, 0);
}

double
fci_demand_flow(const struct fci_curve_rows *rows, fc_demand_reading reading,
                double units, bool valves, bool *beyond)
{
    const double *flow = valves ? rows->valve : rows->tank;
    const size_t n = rows->n;
    size_t low = 0, high = n;

    *beyond = false;
    if (units <= 0)
        return 0;
    while (low < high) {
        size_t middle = low + (high - low) / 2;

        if (rows->units[middle] >= units - UNITS_SLACK)
            high = middle;
        else
            low = middle + 1;
    }
    while (low < n && isnan(flow[low])) /* rows the table leaves blank */
        low++;
    if (low < n)
        return reading == FC_INTERPOLATE ? between_rows(rows, flow, low, units)
                                         : flow[low];
    *beyond = true;
    return flow[n - 1]
           + (flow[n - 1] - flow[n - 2])
                 / (rows->units[n - 1] - rows->units[n - 2])
                 * (units - rows->units[n - 1]);
}

/* ---- Adding up -------------------------------------------------------- */

/* Sums over what is downstream that are needed on the way only. */
struct sums {
    double plain;   /* units of fixtures that 610.10 does not touch */
    double closets; /* numbers of valves that it does */
    double urinals;
    double largest_other[FCI_ENDS];
};

struct adding {
    struct fci_arena scratch;
    const fc_site *site;
    fc_state state;
    struct fci_demand_as as;
    enum fci_end counted; /* the end that counts of fixtures are taken at */
    struct fci_demand *demand;
    struct sums *sums;
    struct fci_tree tree; /* where there are heaters */
};

static void
raise_to(double *flows, fc_range flow)
{
    int end;

    for (end = 0; end < FCI_ENDS; end++)
        flows[end] =
            fmax(flows[end], fci_more_is_worse(flow, (enum fci_end)end));
}

static void
add_units(struct adding *a, const struct fci_fixture *fixture, size_t element,
          double units)
{
    const bool falling = fixture->kind->falling != FCI_NOT_FALLING
                         && !fixture->given->fixture_units.given;

    if (element == FCI_NONE)
        return;
    a->demand[element].units += units;
    if (!falling)
        a->sums[element].plain += units;
    if (!fixture->kind->flushes)
        a->demand[element].other_units += units;
}

static void
add_fixture(struct adding *a, const struct fci_fixture *fixture)
{
    const struct fci_units_of_use units = units_as(fixture, a->state, &a->as);
    const double n = fci_fixture_count(fixture, a->counted);
    const size_t at = fixture->element, heater = fixture->heater;
    const bool falling = fixture->kind->falling != FCI_NOT_FALLING
                         && !fixture->given->fixture_units.given;
    struct fci_demand *demand = &a->demand[at];

    demand->valves |= fixture->kind->flushes;
    raise_to(demand->largest, fci_fixture_flow(a->site, fixture, a->state));
    if (!fixture->kind->flushes)
        raise_to(a->sums[at].largest_other,
                 fci_fixture_flow(a->site, fixture, a->state));
    add_units(a, fixture, at, n * units.cold);
    if (fixture->kind->falling == FCI_FALLING_CLOSET && falling)
        a->sums[at].closets += n;
    if (fixture->kind->falling == FCI_FALLING_URINAL && falling)
        a->sums[at].urinals += n;
    if (heater != FCI_NONE) {
        add_units(a, fixture, heater, n * units.hot);
        add_units(a, fixture, fci_tree_meeting(&a->tree, at, heater),
                  n * (units.total - units.cold - units.hot));
    }
}

static void
add_to_parent(struct adding *a, size_t at)
{
    const size_t parent = a->site->elements[at].parent;
    const struct fci_demand *from = &a->demand[at];
    struct fci_demand *to;
    struct sums *sums;
    int end;

    if (parent == FCI_NONE)
        return;
    to = &a->demand[parent];
    sums = &a->sums[parent];
    to->units += from->units;
    to->other_units += from->other_units;
    to->valves |= from->valves;
    for (end = 0; end < FCI_ENDS; end++) {
        to->largest[end] = fmax(to->largest[end], from->largest[end]);
        to->steady[end] += from->steady[end];
        sums->largest_other[end] =
            fmax(sums->largest_other[end], a->sums[at].largest_other[end]);
    }
    sums->plain += a->sums[at].plain;
    sums->closets += a->sums[at].closets;
    sums->urinals += a->sums[at].urinals;
}

/* [UPC-10] n valves of one kind together. */
static double
falling_units(const struct fci_falling_units *table, double n)
{
    if (n <= 0)
        return 0;
    if (n <= (double)table->n)
        return table->cumulative[(size_t)n - 1];
    return table->cumulative[table->n - 1]
           + table->further * (n - (double)table->n);
}

static void
turn_into_flow(struct adding *a, size_t at)
{
    const struct fci_tables *tables = a->site->tables;
    const fc_code code = a->site->settings.code;
    const fc_demand_reading reading = a->site->settings.demand;
    struct fci_demand *demand = &a->demand[at];
    const double flow =
        fci_demand_flow(fci_tables_demand(tables, code), reading,
                        demand->units, demand->valves, &demand->beyond);
    const double other = fci_demand_flow(
        fci_tables_demand(tables, code),
        reading == FC_INTERPOLATE ? FC_NEXT_ROW : FC_INTERPOLATE,
        demand->units, demand->valves, &demand->beyond);
    int end;

    for (end = 0; end < FCI_ENDS; end++) {
        demand->by_units[end] =
            fmax(flow, demand->largest[end]) + demand->steady[end];
        demand->by_other_reading[end] =
            fmax(other, demand->largest[end]) + demand->steady[end];
    }
    demand->falling_units = NAN;
    if (code == FC_UPC)
        demand->falling_units =
            a->sums[at].plain
            + falling_units(fci_tables_falling(tables, FCI_FALLING_CLOSET),
                            a->sums[at].closets)
            + falling_units(fci_tables_falling(tables, FCI_FALLING_URINAL),
                            a->sums[at].urinals);
}

static void
add_all(struct adding *a)
{
    const fc_site *site = a->site;
    size_t i;
    int end;

    for (i = 0; i < site->n_fixtures; i++)
        add_fixture(a, &site->fixtures[i]);
    for (i = 0; i < site->n_draws; i++)
        for (end = 0; end < FCI_ENDS; end++)
            a->demand[site->draws[i].element].steady[end] +=
                fci_more_is_worse(site->draws[i].flow, (enum fci_end)end);
    for (i = site->n_elements; i-- > 0;)
        add_to_parent(a, site->order[i]);
    for (i = 0; i < site->n_elements; i++)
        turn_into_flow(a, i);
}

/* ---- By chance -------------------------------------------------------- */

static double
share_of_time(const struct adding *a, struct fci_busy busy)
{
    const double longest = a->as.longest_interval;

    return longest > 0 && busy.interval > longest
               ? fmin(busy.on * busy.interval / longest, 1)
               : busy.on;
}

/* Every fixture's flush valves at one end: the longest flushes at the highest
 * rate are worst, and though the two do not go together they bound it. */
static size_t
list_valves(const struct adding *a, enum fci_end end,
            struct fci_valves *valves)
{
    const fc_site *site = a->site;
    const fc_state state = a->state;
    size_t i, n = 0;

    for (i = 0; i < site->n_fixtures; i++) {
        const struct fci_fixture *fixture = &site->fixtures[i];
        struct fci_valves *v = &valves[n];

        if (!fixture->kind->flushes)
            continue;
        v->element = fixture->element;
        v->count = fci_fixture_count(fixture, a->counted);
        v->on = share_of_time(a, fci_valve_busy(site, fixture, state, end));
        v->flow = fci_flush_lacks(fixture, state)
                      ? NAN
                      : fci_more_is_worse(fixture->valve[state]->flow, end);
        n++;
    }
    return n;
}

static bool
rates_are_exact(const fc_site *site, fc_state state)
{
    size_t i;

    for (i = 0; i < site->n_fixtures; i++)
        if (site->fixtures[i].valve[state]
            && site->fixtures[i].valve[state]->flow.low
                   < site->fixtures[i].valve[state]->flow.high)
            return false;
    return true;
}

/* Whether that is the peak that counts. */
static bool
counts_by_chance(const struct adding *a)
{
    return a->site->settings.peak == FC_PROBABILITY && !a->as.by_units;
}

static void
take_peaks(struct adding *a, const double *peaks, double step,
           enum fci_end end)
{
    const fc_site *site = a->site;
    const struct fci_curve_rows *rows =
        fci_tables_demand(site->tables, site->settings.code);
    size_t i;
    bool beyond;

    for (i = 0; i < site->n_elements; i++) {
        struct fci_demand *demand = &a->demand[i];
        const struct sums *sums = &a->sums[i];
        const double others =
            fmax(fci_demand_flow(rows, site->settings.demand,
                                 demand->other_units, false, &beyond),
                 sums->largest_other[end]);

        demand->step = fmax(demand->step, step);
        demand->by_probability[end] = NAN;
        if (!isnan(peaks[i]))
            demand->by_probability[end] =
                fmax(peaks[i] + others, demand->largest[end])
                + demand->steady[end];
        if (counts_by_chance(a))
            demand->beyond = beyond;
    }
}

static bool
add_by_chance(struct adding *a)
{
    const fc_site *site = a->site;
    const bool exact = rates_are_exact(site, a->state);
    double *peaks =
        fci_arena_array(&a->scratch, site->n_elements, sizeof *peaks);
    struct fci_valves *valves =
        fci_arena_array(&a->scratch, site->n_fixtures + 1, sizeof *valves);
    bool enough = !a->scratch.failed;
    double step = 0;
    int end;

    for (end = 0; end < FCI_ENDS && enough; end++) {
        if (end == FCI_NOMINAL || !exact)
            enough = fci_probable_peaks(
                site, valves, list_valves(a, (enum fci_end)end, valves), peaks,
                &step);
        if (enough)
            take_peaks(a, peaks, step, (enum fci_end)end);
    }
    return enough;
}

/* ---- All -------------------------------------------------------------- */

static void
choose_flow(struct adding *a)
{
    const bool by_chance = counts_by_chance(a);
    size_t i;

    for (i = 0; i < a->site->n_elements; i++) {
        struct fci_demand *demand = &a->demand[i];

        memcpy(demand->flow,
               by_chance ? demand->by_probability : demand->by_units,
               sizeof demand->flow);
    }
}

static bool
has_heaters(const fc_site *site)
{
    size_t i;

    for (i = 0; i < site->n_fixtures; i++)
        if (site->fixtures[i].heater != FCI_NONE)
            return true;
    return false;
}

struct fci_demand *
fci_demand_new(const fc_site *site, fc_state state)
{
    const struct fci_demand_as as_it_is = { 0 };

    return fci_demand_new_as(site, state, &as_it_is);
}

/* With counts at one end. */
static struct fci_demand *
count_demand(const fc_site *site, fc_state state,
             const struct fci_demand_as *as, enum fci_end counted)
{
    struct adding a = {
        .site = site, .state = state, .as = *as, .counted = counted
    };
    bool enough;

    a.demand = calloc(site->n_elements, sizeof *a.demand);
    a.sums = fci_arena_array(&a.scratch, site->n_elements, sizeof *a.sums);
    enough =
        a.demand && a.sums
        && (!has_heaters(site) || fci_tree_make(&a.tree, site, &a.scratch));
    if (enough) {
        add_all(&a);
        enough = a.as.by_units || add_by_chance(&a);
    }
    if (enough)
        choose_flow(&a);
    fci_arena_free(&a.scratch);
    if (!enough) {
        free(a.demand);
        return NULL;
    }
    return a.demand;
}

static bool
has_ranges_of_counts(const fc_site *site)
{
    size_t i;

    for (i = 0; i < site->n_fixtures; i++)
        if (!fci_is_exact(site->fixtures[i].many))
            return true;
    return false;
}

/* Of `from`, counted at an end, what is of that end. */
static void
take_end(struct fci_demand *to, const struct fci_demand *from,
         enum fci_end end)
{
    to->beyond |= from->beyond;
    to->largest[end] = from->largest[end];
    to->steady[end] = from->steady[end];
    to->by_units[end] = from->by_units[end];
    to->by_other_reading[end] = from->by_other_reading[end];
    to->by_probability[end] = from->by_probability[end];
    to->step = fmax(to->step, from->step);
    to->flow[end] = from->flow[end];
    to->counted[end] = from->flow[FCI_NOMINAL];
}

static bool
count_ends(const fc_site *site, fc_state state, const struct fci_demand_as *as,
           struct fci_demand *demand)
{
    static const enum fci_end ends[] = { FCI_WORST, FCI_BEST };
    struct fci_demand *at_end;
    size_t i, k;

    for (k = 0; k < 2; k++) {
        at_end = count_demand(site, state, as, ends[k]);
        if (!at_end)
            return false;
        for (i = 0; i < site->n_elements; i++)
            take_end(&demand[i], &at_end[i], ends[k]);
        free(at_end);
    }
    return true;
}

struct fci_demand *
fci_demand_new_as(const fc_site *site, fc_state state,
                  const struct fci_demand_as *as)
{
    struct fci_demand *demand = count_demand(site, state, as, FCI_NOMINAL);
    size_t i;
    int end;

    for (i = 0; demand && i < site->n_elements; i++)
        for (end = 0; end < FCI_ENDS; end++)
            demand[i].counted[end] = demand[i].flow[FCI_NOMINAL];
    if (demand && has_ranges_of_counts(site)
        && !count_ends(site, state, as, demand)) {
        free(demand);
        return NULL;
    }
    /* of two reducers side by side each has the flow of both */
    for (i = 0; demand && i < site->n_elements; i++)
        if (fci_is_second(&site->elements[i]))
            demand[i] = demand[site->elements[i].to];
    return demand;
}
