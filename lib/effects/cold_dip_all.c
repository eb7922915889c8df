/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/cold_dip_all.c -- the fixtures of a building that others'
 * flushes may harm.
 */
#include "effects/cold_dip.h"
#include "flow/solver.h"
#include "ground/ties.h"
#include "site/inputs.h"
#include "variants/vary.h"
#include "words/verdict.h"

#include <math.h>

static void
describe(const fc_site *site, const struct fci_fixture *fixture,
         const fc_cold_dip *dip, fc_cold_dip_fixture *f)
{
    const struct fci_fixture_kind *kind = fixture->kind;

    f->name = fixture->given->name;
    f->on = site->elements[fixture->element].name;
    f->kind = kind->head.name;
    f->count = fixture->count;
    f->emergency = kind->emergency;
    f->minimum = kind->emergency ? kind->pressure : NAN;
    f->balanced = fci_balances(fixture);
    f->heater = fixture->heater == FCI_NONE
                    ? NULL
                    : site->elements[fixture->heater].name;
    f->limit = f->emergency            ? (double)NAN
               : f->balanced == FC_YES ? dip->balanced
                                       : dip->third;
}

/* ---- The supply as one cause ------------------------------------------ */

/* What a supply gives at rest and while valves flush is one figure: the shares
 * are found with it at its low end and at its high one, and it is none of the
 * two at once.  Of one set of valves the share goes one way with the supply,
 * so that these bound it.
 *
 * Not where a PRV or a pump holds a pressure: there the share is most with the
 * supply somewhere between, where what is held at rest is no more held while
 * valves flush.  Then the share is left as the ends of the two pressures bound
 * it, each by itself, which they do wherever the supply is. */

static bool
is_held(const fc_site *site)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++) {
        const struct fci_part *part = site->elements[i].part;

        if (part->kind == FCI_REDUCER
            || (part->kind == FCI_PUMP
                && ((const fc_pump *)part->data)->hold.given))
            return true;
    }
    return false;
}

static bool
is_supply(const struct fci_input *input)
{
    const enum fci_measured of = input->row->measured;

    return of == FCI_IN_STATIC || of == FCI_IN_SOURCE_PRESSURE
           || of == FCI_IN_LEVEL;
}

static void
widen(fc_range *to, const fc_range *by, bool first)
{
    if (!to->given || !by->given)
        return;
    to->low = first ? by->low : fmin(to->low, by->low);
    to->high = first ? by->high : fmax(to->high, by->high);
    to->low = fmin(to->low, to->nominal);
    to->high = fmax(to->high, to->nominal);
}

static void
take_over(fc_cold_dip_fixture *to, const fc_cold_dip_fixture *from, bool first)
{
    int s;
    size_t k;

    for (s = 0; s < FC_STATES; s++)
        for (k = 0; k < to->states[s].n_dips; k++) {
            fc_dip *dip = &to->states[s].dips[k];
            const fc_dip *by = &from->states[s].dips[k];

            widen(&dip->fall, &by->fall, first);
            widen(&dip->apart, &by->apart, first);
        }
}

struct work {
    struct fci_arena scratch, *arena;
    const fc_site *site;
    int states;
    fc_cold_dip *dip;
    fc_cold_dip_fixture *list;
    size_t *which;
    bool bounded[FC_STATES];
    const struct fci_telling *telling;
    size_t passes; /* over all fixtures, of MOST_PASSES */
    fc_diagnostics *messages;
};

/* The site, with its supply at both ends, with the fewest fixtures. */
#define MOST_PASSES 4

static fc_status
find_states(struct work *w, const fc_site *site, struct fci_arena *arena,
            fc_cold_dip_fixture *list)
{
    const struct fci_telling pass =
        fci_telling_of(w->telling, w->passes++, MOST_PASSES);
    fc_status status = FC_OK;
    int s;

    for (s = 0; s < w->states && status == FC_OK; s++) {
        const struct fci_telling telling =
            fci_telling_of(&pass, (size_t)s, (size_t)w->states);

        status = fci_cold_dip_find(
            site, (fc_state)s, w->dip->open[s].most, &telling, arena, list,
            w->which, w->dip->n_fixtures, &w->bounded[s], w->messages);
    }
    return status;
}

static fc_status
find_with_supply(struct work *w, struct fci_variant *variant, size_t input)
{
    const fc_range range = variant->inputs[input].given;
    const double ends[] = { range.low, range.high };
    const size_t n = w->dip->n_fixtures;
    fc_status status = FC_OK;
    size_t i, k;

    for (k = 0; k < 2 && status == FC_OK; k++) {
        fc_cold_dip_fixture *list =
            fci_arena_array(&w->scratch, n, sizeof *list);

        if (!list)
            return FC_ENOMEM;
        fci_variant_set(variant, input, ends[k]);
        status = find_states(w, &variant->site, &w->scratch, list);
        for (i = 0; i < n && status == FC_OK; i++)
            take_over(&w->list[i], &list[i], k == 0);
    }
    return status;
}

/* Of several sources nothing is bounded anyway. */
static fc_status
pair_supply(struct work *w)
{
    struct fci_variant variant;
    fc_status status;
    size_t i;

    if (w->site->n_sources != 1 || w->dip->n_fixtures == 0 || is_held(w->site))
        return FC_OK;
    status = fci_variant_make_ranged(&variant, w->site);
    for (i = 0; i < variant.n_inputs && status == FC_OK; i++)
        if (is_supply(&variant.inputs[i])) {
            status = find_with_supply(w, &variant, i);
            break;
        }
    fci_variant_free(&variant);
    return status;
}

/* ---- Fewer valves ----------------------------------------------------- */

/* Where counts are ranges the pressures are those with the most valves there
 * may be.  With the fewest some number of them leaves more, and what more
 * there are leaves no more than all of the fewest do. */
static void
take_fewest(fc_cold_dip_state *to, const fc_cold_dip_state *fewest)
{
    size_t i, k = 0;

    for (i = 0; i < to->n_dips; i++) {
        fc_dip *dip = &to->dips[i];
        const fc_dip *by;

        while (k + 1 < fewest->n_dips && fewest->dips[k + 1].open <= dip->open)
            k++;
        by = &fewest->dips[k];
        dip->surely = dip->surely && by->open == dip->open;
        if (fewest->n_dips == 0)
            dip->pressure.high = fmax(dip->pressure.high, to->at_rest.high);
        else
            dip->pressure.high = fmax(dip->pressure.high, by->pressure.high);
        dip->fall.low = by->fall.given ? fmin(dip->fall.low, by->fall.low) : 0;
        dip->apart.low =
            by->apart.given ? fmin(dip->apart.low, by->apart.low) : 0;
    }
}

static fc_status
find_fewest(struct work *w, struct fci_variant *variant)
{
    const size_t n = w->dip->n_fixtures;
    fc_cold_dip_fixture *list = fci_arena_array(&w->scratch, n, sizeof *list);
    fc_status status = FC_ENOMEM;
    size_t i;
    int s;

    if (list)
        status = find_states(w, &variant->site, &w->scratch, list);
    for (i = 0; i < n && status == FC_OK; i++)
        for (s = 0; s < w->states; s++)
            take_fewest(&w->list[i].states[s], &list[i].states[s]);
    return status;
}

static fc_status
pair_counts(struct work *w)
{
    struct fci_variant variant;
    fc_status status;
    bool any = false;
    size_t i;

    if (w->dip->n_fixtures == 0)
        return FC_OK;
    status = fci_variant_make_ranged(&variant, w->site);
    for (i = 0; i < variant.n_inputs && status == FC_OK; i++)
        if (variant.inputs[i].row->measured == FCI_IN_COUNT) {
            fci_variant_set(&variant, i, variant.inputs[i].given.low);
            any = true;
        }
    if (any && status == FC_OK)
        status = find_fewest(w, &variant);
    fci_variant_free(&variant);
    return status;
}

/* ---- Verdicts --------------------------------------------------------- */

/* That it is within its limit.  Without a heater nobody knows what hot does,
 * and a balancing valve past what it is tested for may hold all the same. */
static fc_verdict
judge_mixing(const fc_cold_dip_fixture *f, const fc_dip *dip)
{
    if (!dip->apart.given)
        return FC_CANNOT_TELL;
    if (dip->apart.high < f->limit)
        return FC_WORKS;
    return f->balanced == FC_NO && dip->apart.low >= f->limit && dip->surely
               ? FC_WILL_NOT_WORK
               : FC_CANNOT_TELL;
}

static fc_verdict
judge_emergency(const fc_cold_dip_fixture *f, const fc_dip *dip)
{
    if (isnan(f->minimum))
        return FC_CANNOT_TELL;
    if (dip->pressure.low >= f->minimum - FCI_SOLVED_TO)
        return FC_WORKS;
    return dip->surely && dip->pressure.high < f->minimum - FCI_SOLVED_TO
               ? FC_WILL_NOT_WORK
               : FC_CANNOT_TELL;
}

static void
judge(fc_cold_dip_fixture *f, fc_cold_dip_state *told, bool bounded)
{
    size_t k;

    told->works = told->given ? FC_WORKS : FC_CANNOT_TELL;
    for (k = 0; k < told->n_dips; k++) {
        fc_dip *dip = &told->dips[k];

        dip->works = !bounded       ? FC_CANNOT_TELL
                     : f->emergency ? judge_emergency(f, dip)
                                    : judge_mixing(f, dip);
        if (fci_worse_of(told->works, dip->works) != told->works) {
            told->works = dip->works;
            told->first = (int)dip->open;
        }
    }
}

const fc_dip *
fci_first_dip(const fc_cold_dip_state *told)
{
    size_t k;

    for (k = 0; k < told->n_dips; k++)
        if (told->dips[k].open == (size_t)told->first)
            return &told->dips[k];
    return NULL;
}

/* ---- The worst of them ------------------------------------------------ */

/* How bad it is at the most valves, the worst case. */
static double
harm_of(const fc_cold_dip_fixture *f, fc_state state)
{
    const fc_cold_dip_state *told = &f->states[state];
    const fc_dip *last;

    if (!told->given || told->n_dips == 0)
        return -INFINITY;
    last = &told->dips[told->n_dips - 1];
    if (f->emergency)
        return isnan(f->minimum) ? -INFINITY : f->minimum - last->pressure.low;
    return last->fall.given ? last->apart.high - f->limit : INFINITY;
}

static size_t
worst_of(const fc_cold_dip *dip, fc_state state, bool emergency)
{
    size_t i, worst = SIZE_MAX;

    for (i = 0; i < dip->n_fixtures; i++) {
        const fc_cold_dip_fixture *f = &dip->fixtures[i];

        if (f->emergency == emergency && !isinf(harm_of(f, state))
            && (worst == SIZE_MAX
                || fci_is_less(harm_of(&dip->fixtures[worst], state),
                               harm_of(f, state))))
            worst = i;
    }
    return worst;
}

/* ---- The whole -------------------------------------------------------- */

static void
list_fixtures(struct work *w)
{
    fc_cold_dip *dip = w->dip;
    size_t i;

    dip->third = FCI_SCALDING_FALL;
    dip->balanced =
        fci_tables_usual(w->site->tables, FCI_USUAL_BALANCED)->range.low;
    for (i = 0; i < w->site->n_fixtures; i++)
        if (fci_dips(&w->site->fixtures[i])) {
            describe(w->site, &w->site->fixtures[i], dip,
                     &w->list[dip->n_fixtures]);
            w->which[dip->n_fixtures++] = i;
        }
    dip->fixtures = w->list;
}

static fc_status
count_open(struct work *w, const fc_hygiene *hygiene)
{
    bool room = true;
    int s;

    for (s = 0; s < w->states && w->dip->n_fixtures > 0 && room; s++) {
        if (hygiene && hygiene->states[s].valves > 0)
            w->dip->open[s].hygiene = hygiene->states[s].up_to;
        room = fci_cold_dip_open(w->site, (fc_state)s, w->dip);
    }
    return room ? FC_OK : FC_ENOMEM;
}

static void
judge_all(struct work *w)
{
    int s;
    size_t i;

    for (s = 0; s < FC_STATES; s++) {
        for (i = 0; i < w->dip->n_fixtures; i++)
            judge(&w->list[i], &w->list[i].states[s], w->bounded[s]);
        w->dip->deepest[s] = worst_of(w->dip, (fc_state)s, false);
        w->dip->lowest[s] = worst_of(w->dip, (fc_state)s, true);
    }
}

fc_status
fci_cold_dip_all(const fc_site *site, bool converted,
                 const fc_hygiene *hygiene, const struct fci_telling *telling,
                 struct fci_arena *arena, fc_cold_dip **told,
                 fc_diagnostics *messages)
{
    struct work w = { .arena = arena,
                      .site = site,
                      .states = converted ? FC_STATES : 1,
                      .telling = telling,
                      .messages = messages };
    fc_status status = FC_ENOMEM;

    w.dip = fci_arena_alloc(arena, sizeof *w.dip);
    w.list = fci_arena_array(arena, site->n_fixtures, sizeof *w.list);
    w.which = fci_arena_array(&w.scratch, site->n_fixtures, sizeof *w.which);
    if (w.dip && w.list && w.which) {
        list_fixtures(&w);
        status = count_open(&w, hygiene);
    }
    if (status == FC_OK)
        status = find_states(&w, site, arena, w.list);
    if (status == FC_OK)
        status = pair_supply(&w);
    if (status == FC_OK)
        status = pair_counts(&w);
    if (status == FC_OK)
        judge_all(&w);
    *told = w.dip;
    fci_arena_free(&w.scratch);
    return status;
}
