/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/flush_words.c -- what a flush event found, in words. */
#include "check/flush_event.h"
#include "units/units.h"

#include <math.h>
#include <stdlib.h>

static struct fci_shown
show(const struct fci_findings *f, fc_dimension dimension, double value)
{
    return fci_show(f->judge->site->settings.units, dimension, value);
}

static struct fci_shown
show_pressure(const struct fci_findings *f, fc_range value)
{
    return fci_show_range(f->judge->site->settings.units, FC_PRESSURE, value);
}

/* ---- Fixtures --------------------------------------------------------- */

/* From the best end to the worst: the headline tells the former. */
static fc_range
lack_of(const fc_flush_fixture *x)
{
    const fc_range lack = { true, x->minimum.nominal - x->pressure.nominal,
                            x->minimum.low - x->pressure.high,
                            x->minimum.high - x->pressure.low };

    return lack;
}

static void
find_enough(struct fci_findings *f, const fc_flush_fixture *x, fc_state state)
{
    if (x->enough == FC_WILL_NOT_WORK)
        fci_find(f, FC_FAIL, x->name, (int)state, "flowing pressure",
                 "has %s flowing and its valve needs %s: short by %s",
                 show_pressure(f, x->pressure).text,
                 show_pressure(f, x->minimum).text,
                 show_pressure(f, lack_of(x)).text);
    else if (x->enough == FC_CANNOT_TELL)
        fci_find(f, FC_WARN, x->name, (int)state, "flowing pressure",
                 "may have %s flowing and its valve needs %s: cannot tell; "
                 "read a gauge there while these flush",
                 show_pressure(f, x->pressure).text,
                 show_pressure(f, x->minimum).text);
    else if (x->flushing > 0 && !x->minimum.given)
        fci_find(f, FC_WARN, x->name, (int)state, "valve minimum",
                 "has %s flowing; its valve states no minimum (\"minimum "
                 "flowing\") to judge that by",
                 show_pressure(f, x->pressure).text);
}

static void
find_dry(struct fci_findings *f, const fc_flush_fixture *x, fc_state state)
{
    if (x->pressure.low > 0)
        return;
    fci_find(f, x->pressure.high <= 0 ? FC_FAIL : FC_WARN, x->name, (int)state,
             "backflow",
             "%s %s at its inlet, at or below zero: water may be drawn back "
             "into the drinking water",
             x->pressure.high <= 0 ? "has" : "may have",
             show(f, FC_PRESSURE, x->pressure.low).text);
}

/* What shares the pipes: a lavatory weakens, a shower turns hot. */
static void
find_sag(struct fci_findings *f, const fc_flush_fixture *x,
         const struct fci_fixture *fixture, fc_state state)
{
    if (x->valve || x->pressure.low > (1 - FCI_SCALDING_FALL) * x->still.low)
        return;
    fci_find(f, FC_WARN, x->name, (int)state, "cold pressure",
             "falls from %s to %s while these flush, by a third or more%s",
             show(f, FC_PRESSURE, x->still.low).text,
             show(f, FC_PRESSURE, x->pressure.low).text,
             fci_has_hot_water(fixture->kind)
                 ? ": a mixer without balancing runs hot, which may scald"
                 : "");
}

/* ---- Elements --------------------------------------------------------- */

static void
find_source(struct fci_findings *f, const struct fci_element *element,
            const struct fci_at_flow *at, fc_state state)
{
    const fc_source *source = element->part->data;
    const struct fci_limit *floor =
        fci_tables_limit(f->judge->site->tables, "street main residual");

    if (at->flow < 0)
        fci_find(f, FC_WARN, element->name, (int)state, "backflow",
                 "takes in %s from another source: a check valve is missing, "
                 "or the plan is wrong",
                 show(f, FC_FLOW, -at->flow).text);
    if (source->kind != FC_STREET_MAIN)
        return;
    if (source->residual.given && fci_source_untested(source, at->flow))
        fci_find(f, FC_WARN, element->name, (int)state, "flow test",
                 "gives %s, beyond the %s it was tested at: an extrapolation",
                 show(f, FC_FLOW, at->flow).text,
                 show(f, FC_FLOW, source->residual_flow.low).text);
    if (floor && at->pressure < floor->pressure)
        fci_find(f, FC_WARN, element->name, (int)state, "street main",
                 "is drawn down to %s; a public main is not to be drawn "
                 "below %s",
                 show(f, FC_PRESSURE, at->pressure).text,
                 show(f, FC_PRESSURE, floor->pressure).text);
}

/* A source that stands on the plan alone. */
static void
find_idle_sources(struct fci_findings *f, const fc_site *site)
{
    bool *feeds = calloc(site->n_elements, sizeof *feeds);
    size_t i;

    f->out_of_memory |= !feeds;
    for (i = 0; feeds && i < site->n_elements; i++) {
        if (site->elements[i].parent != FCI_NONE)
            feeds[site->elements[i].parent] = true;
        if (site->elements[i].to != FCI_NONE)
            feeds[site->elements[i].to] = true;
    }
    for (i = 0; feeds && i < site->n_fixtures; i++)
        feeds[site->fixtures[i].element] = true;
    for (i = 0; feeds && i < site->n_elements; i++)
        if (site->elements[i].part->kind == FCI_SOURCE && !feeds[i])
            fci_find(f, FC_WARN, site->elements[i].name, FC_STATES, "source",
                     "feeds nothing: nothing says \"from = %s\"",
                     site->elements[i].name);
    free(feeds);
}

static void
find_element(struct fci_findings *f, const struct fci_element *element,
             const struct fci_at_flow *at, fc_state state)
{
    if (element->curve && at->flow > fci_curve_end(element->curve))
        fci_find(f, FC_WARN, element->name, (int)state, "curve",
                 "carries %s; its curve ends at %s and is taken on in a "
                 "straight line",
                 show(f, FC_FLOW, at->flow).text,
                 show(f, FC_FLOW, fci_curve_end(element->curve)).text);
    if (at->pressure <= 0 && element->part->kind != FCI_SOURCE)
        fci_find(f, FC_FAIL, element->name, (int)state, "backflow",
                 "has %s at its outlet, at or below zero: water may be drawn "
                 "back into the drinking water",
                 show(f, FC_PRESSURE, at->pressure).text);
}

/* ---- The whole -------------------------------------------------------- */

/* What an open valve does at a pressure below its minimum differs by its
 * kind, and nothing is promised. */
static void
find_closing(struct fci_findings *f, const struct fci_flush_event *e)
{
    const fc_flush_result *result = e->result;
    int short_ones = 0;
    size_t i;

    for (i = 0; i < result->n_fixtures; i++)
        if (result->fixtures[i].enough != FC_WORKS)
            short_ones += result->fixtures[i].flushing;
    if (!e->all)
        return;
    if (short_ones > 0)
        fci_find(f, result->enough == FC_WILL_NOT_WORK ? FC_FAIL : FC_WARN, "",
                 (int)e->state, "all at once",
                 "%d of %d valves have less than their minimum, or may have, "
                 "when all open at once, as they may when water or power "
                 "comes back: whether those close again cannot be told; "
                 "shut the stops and open them one at a time",
                 short_ones, result->flushing);
    else
        fci_find(f, FC_NOTE, "", (int)e->state, "all at once",
                 "every one of %d valves keeps its minimum when all open at "
                 "once: low pressure does not hold them open",
                 result->flushing);
}

void
fci_find_flush(struct fci_findings *f, const struct fci_flush_event *e)
{
    const fc_site *site = e->site;
    size_t i;

    find_closing(f, e);
    find_idle_sources(f, site);
    for (i = 0; i < site->n_fixtures && !f->out_of_memory; i++) {
        const fc_flush_fixture *x = &e->result->fixtures[i];

        find_enough(f, x, e->state);
        find_dry(f, x, e->state);
        find_sag(f, x, &site->fixtures[i], e->state);
    }
    for (i = 0; i < site->n_elements && !f->out_of_memory; i++) {
        find_element(f, &site->elements[i], &e->flowing[i], e->state);
        if (site->elements[i].part->kind == FCI_SOURCE)
            find_source(f, &site->elements[i], &e->flowing[i], e->state);
    }
}

/* ---- Assumptions ------------------------------------------------------ */

static bool
has_generic(const struct fci_findings *f, const struct fci_fixture *fixture,
            const void *data)
{
    const struct fci_flush_event *e = data;

    (void)f;
    return fixture->valve[e->state] && fixture->generic[e->state];
}

static bool
has_no_test(const fc_site *site)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const fc_source *source = site->elements[i].part->data;

        if (site->elements[i].part->kind == FCI_SOURCE
            && source->kind == FC_STREET_MAIN && !source->residual.given)
            return true;
    }
    return false;
}

void
fci_assume_flush(struct fci_findings *f, const struct fci_flush_event *e)
{
    const char *generic = fci_name_some(f, has_generic, e);

    fci_assume_valves(f);
    fci_assume_generic(f, generic);
    fci_assume_stops(f);
    fci_assume_others(f);
    if (has_no_test(e->site))
        fci_assume(f, "a street main without a flow test does not sag, which "
                      "is unproved");
    if (!e->result->bounded)
        fci_assume(f, e->network->meshed
                          ? "the inputs' ranges are taken at their middle: "
                            "with loops or several sources their ends bound "
                            "nothing"
                          : "the inputs' ranges are taken at their middle: "
                            "the building is too large to follow each of "
                            "them");
}
