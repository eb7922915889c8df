/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/assume_usual.c -- what was taken for usual, and what that did to
 * the fixture that governs: what it would have more at peak if all of it lay
 * at its best, everything else at its worst. */
#include "check/words.h"
#include "site/inputs.h"
#include "tables/tables.h"
#include "units/units.h"
#include "variants/vary.h"

#include <math.h>

/* A difference that no report shows. */
#define NO_DIFFERENCE 345.0 /* Pa: 0.05 psi */

static bool
any_pipe(const void *given)
{
    (void)given;
    return true;
}

static bool
lacks_within(const void *given)
{
    const fc_source *source = given;

    return source->kind == FC_STREET_MAIN && !source->within.given
           && !source->gauge
           && (source->residual.given || source->n_flow_test > 0);
}

static bool
lacks_fall_off(const void *given)
{
    return !((const fc_reducer *)given)->fall_off.given;
}

static bool
lacks_loss(const void *given)
{
    return ((const fc_reducer *)given)->loss.kind == FC_NO_LOSS;
}

static bool
lacks_suction(const void *given)
{
    const fc_pump *pump = given;

    return !pump->minimum_suction.given && pump->running != FC_NO;
}

static bool
has_one_point(const void *given)
{
    return ((const fc_device *)given)->loss.kind == FC_SQUARE_LOSS;
}

static bool
is_by_kind(const void *given)
{
    return ((const fc_device *)given)->loss.kind == FC_NO_LOSS;
}

/* FCI_MEASURED: no input of the pressure, but what it is held against.  Said
 * in front of the names of the elements, and behind them before and after the
 * range; FCI_USUALS: there is none to say. */
static const struct usual {
    enum fci_kind kind;
    enum fci_measured measured;
    bool (*lacks)(const void *given);
    enum fci_usual_name range;
    const char *of, *is, *more;
} usuals[] = {
    { FCI_PIPE, FCI_IN_FITTINGS, any_pipe, FCI_USUAL_FITTINGS,
      "no fittings listed for", ": they count as", " of the length" },
    { FCI_PIPE, FCI_IN_SCALE, any_pipe, FCI_USUALS, "scale in", " not known",
      ": C and bore may be those of badly scaled pipe" },
    { FCI_REDUCER, FCI_IN_FALL_OFF, lacks_fall_off, FCI_USUAL_FALL_OFF,
      "fall-off of", " not given:", " whenever water flows" },
    { FCI_REDUCER, FCI_IN_DEVICE, lacks_loss, FCI_USUAL_WIDE_OPEN, "loss of",
      " wide open not given:", " while water flows" },
    { FCI_SOURCE, FCI_IN_FLOW_TEST, lacks_within, FCI_USUAL_GAUGE,
      "each gauge reading of the flow test of", " may be off by", "" },
    { FCI_PUMP, FCI_MEASURED, lacks_suction, FCI_USUAL_SUCTION,
      "minimum suction of", " not given:", "" },
    { FCI_BACKFLOW, FCI_IN_SHAPE, has_one_point, FCI_USUALS, "loss of",
      " given at one flow",
      ": at others it may follow the square law or stay the same" },
    { FCI_METER, FCI_IN_DEVICE, is_by_kind, FCI_USUALS, "loss of",
      " not given but by kind and size",
      ": from what a good meter loses to what its standard allows "
      "(\"flushcalc tables meter\")" },
    { FCI_METER, FCI_IN_SHAPE, is_by_kind, FCI_USUALS, "loss of",
      " not given but by kind and size",
      ": more near its change-over (\"flushcalc tables meter\")" },
};

static bool
concerns(const struct usual *u, const fc_site *site,
         const struct fci_element *element)
{
    if (element->part->kind != u->kind)
        return false;
    if (u->measured == FCI_IN_FITTINGS)
        return element->pipe->allowance.given;
    if (u->measured == FCI_IN_SCALE)
        return element->pipe->scale.given;
    if (!u->lacks(site->given[element->part - site->parts]))
        return false;
    if (u->kind != FCI_METER)
        return true;
    return u->measured == FCI_IN_SHAPE
               ? element->change_over > 0
               : !fci_is_exact(
                   ((const fc_device *)element->part->data)->loss.pressure);
}

/* "riser", "riser and branch", "riser and 3 more"; NULL: none. */
static const char *
name_them(struct fci_check_words *w, const struct usual *u)
{
    const fc_site *site = w->judge->site;
    const char *first = NULL, *second = NULL;
    size_t i, n = 0;

    for (i = 0; i < site->n_elements; i++) {
        const struct fci_element *element = &site->elements[site->order[i]];

        if (!concerns(u, site, element))
            continue;
        n++;
        second = n == 2 ? element->name : second;
        first = n == 1 ? element->name : first;
    }
    return n < 2 ? first
           : n == 2
               ? fci_arena_printf(w->found.arena, "%s and %s", first, second)
               : fci_arena_printf(w->found.arena, "%s and %zu more", first,
                                  n - 1);
}

static const char *
range_of(struct fci_check_words *w, enum fci_usual_name name)
{
    const struct fci_tables *tables = w->judge->site->tables;
    fc_range range;

    if (name == FCI_USUALS)
        return "";
    range = fci_tables_usual(tables, name)->range;
    if (name == FCI_USUAL_FITTINGS)
        return fci_arena_printf(w->found.arena, " %.0f to %.0f%%",
                                100 * range.low, 100 * range.high);
    if (name == FCI_USUAL_GAUGE || range.low <= 0)
        return fci_arena_printf(
            w->found.arena, " up to %s",
            fci_show(w->found.units, FC_PRESSURE, range.high).text);
    return fci_arena_printf(
        w->found.arena, " %s to %s",
        fci_show(w->found.units, FC_PRESSURE, range.low).text,
        fci_show(w->found.units, FC_PRESSURE, range.high).text);
}

/* ---- What it did -------------------------------------------------------- */

static bool
is_of(const struct usual *u, const fc_site *site,
      const struct fci_input *input)
{
    return input->row && input->row->kind == u->kind
           && input->row->measured == u->measured && !input->sizes
           && (u->kind != FCI_SOURCE
               || (input->row->home == FCI_IN_PART
                   && input->row->kept == offsetof(fc_source, residual)))
           && u->lacks(site->given[input->part - site->parts]);
}

/* The least that the fixture has to spare with all of it at its best; NAN:
 * out of memory. */
static double
margin_at_best(struct fci_check_words *w, const struct usual *u,
               struct fci_variant *v, size_t fixture, fc_state state)
{
    struct fci_judge there;
    double margin = NAN;
    size_t i;

    for (i = 0; i < v->n_inputs; i++)
        if (is_of(u, w->judge->site, &v->inputs[i]))
            fci_variant_set(v, i,
                            v->inputs[i].more_is_worse
                                ? v->inputs[i].given.low
                                : v->inputs[i].given.high);
    if (fci_judge_variant(&there, w->judge, &v->site, state, false))
        margin = fci_judge_fixture(&there, &v->site.fixtures[fixture], state)
                     .margin.low;
    else
        w->found.arena->failed = true;
    fci_judge_variant_end(&there, w->judge, state);
    fci_variant_reset(v);
    return margin;
}

static const char *
worth(struct fci_check_words *w, const struct usual *u, struct fci_variant *v,
      size_t fixture, fc_state state)
{
    const struct fci_fixture *governing = &w->judge->site->fixtures[fixture];
    const double margin =
        fci_judge_fixture(w->judge, governing, state).margin.low;
    const double gained = margin_at_best(w, u, v, fixture, state) - margin;
    const char *name = governing->given->name;

    if (isnan(gained))
        return "";
    if (gained < NO_DIFFERENCE)
        return fci_arena_printf(w->found.arena,
                                "; no difference at %s at peak", name);
    return fci_arena_printf(w->found.arena, "; worth %s at %s at peak",
                            fci_show(w->found.units, FC_PRESSURE, gained).text,
                            name);
}

static void
assume_shares(struct fci_check_words *w)
{
    const fc_site *site = w->judge->site;
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const struct fci_element *element = &site->elements[i];

        if (fci_may_pass_nothing(site, element, FCI_WORST))
            fci_assume(&w->found,
                       "how much %s passes is not known without a fall-off at "
                       "a flow: %s is taken to pass all the flow, but at best",
                       element->name, fci_beside(site, element)->name);
    }
}

void
fci_assume_usual(struct fci_check_words *w, size_t fixture, fc_state state)
{
    struct fci_variant v;
    bool any = false, governs = false;
    size_t i;

    for (i = 0; i < sizeof usuals / sizeof *usuals; i++) {
        const struct usual *u = &usuals[i];
        const char *names = name_them(w, u);

        if (!names)
            continue;
        if (!any && fixture != FCI_NONE) {
            governs = fci_variant_make_ranged(&v, w->judge->site) == FC_OK;
            w->found.arena->failed |= !governs;
        }
        if (!any)
            fci_assume(
                &w->found,
                "what is not given may lie anywhere in its usual range, as "
                "follows; sources: \"flushcalc tables usual\"");
        any = true;
        fci_assume(&w->found, "%s %s%s%s%s%s", u->of, names, u->is,
                   range_of(w, u->range), u->more,
                   governs && u->measured != FCI_MEASURED
                       ? worth(w, u, &v, fixture, state)
                       : "");
    }
    assume_shares(w);
    if (any && fixture != FCI_NONE)
        fci_variant_free(&v);
}
