/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/change_outcomes.c -- all that a site is worked out to. */
#include "unit/change_outcomes.h"
#include "generators/sites.h"

#include <math.h>
#include <stdint.h>

/* ---- Figures and words ------------------------------------------------- */

static void
note(struct outcome *o, double x)
{
    if (o->n == o->room) {
        o->room = o->room ? 2 * o->room : 256;
        o->figures = realloc(o->figures, o->room * sizeof *o->figures);
        ck_assert_ptr_nonnull(o->figures);
    }
    o->figures[o->n++] = x;
}

static void
note_range(struct outcome *o, fc_range range)
{
    note(o, range.given);
    note(o, range.nominal);
    note(o, range.low);
    note(o, range.high);
}

static void
note_word(struct outcome *o, const char *word)
{
    fprintf(o->out, "%s\n", word ? word : "-");
}

static void
note_findings(struct outcome *o, const fc_finding *findings, size_t n)
{
    size_t i;

    for (i = 0; i < n; i++) {
        fprintf(o->out, "%d %u ", (int)findings[i].severity,
                findings[i].states);
        note_word(o, findings[i].subject);
        note_word(o, findings[i].about);
        note_word(o, findings[i].text);
    }
}

static void
note_fixture_state(struct outcome *o, const fc_fixture_state *s)
{
    const fc_range ranges[] = { s->required, s->valve_minimum, s->flowing,
                                s->margin,   s->spare,         s->alone,
                                s->shared };
    int i;
    size_t k;

    note_word(o, s->valve);
    note_word(o, s->decided_by);
    fprintf(o->out, "%d %d %d %d\n", s->valve_assumed, (int)s->governed_by,
            (int)s->pressure, (int)s->works);
    for (i = 0; i < COUNT(ranges); i++)
        note_range(o, ranges[i]);
    note(o, s->code_minimum);
    note(o, s->ladder.most);
    note(o, s->ladder.low);
    note(o, s->ladder.high);
    for (k = 0; k < s->ladder.n_pressures; k++)
        note(o, s->ladder.pressures[k]);
    note(o, s->busy.weak.estimate);
    note(o, s->busy.weak.low);
    note(o, s->busy.weak.high);
    note(o, s->busy.mean);
    note(o, s->busy.fifth);
}

static void
note_pipe(struct outcome *o, const fc_checked_pipe *p)
{
    int i;

    note_word(o, p->name);
    note_word(o, p->from);
    note_word(o, p->material);
    note_word(o, p->size);
    note(o, p->inside_diameter);
    note(o, p->length);
    note(o, p->equivalent_length);
    note(o, p->c);
    note(o, p->velocity_limit);
    for (i = 0; i < FC_STATES; i++) {
        const fc_pipe_state *s = &p->states[i];

        note(o, s->fixture_units);
        note(o, s->falling_units);
        note_range(o, s->peak_flow);
        note_range(o, s->peak_by_units);
        note_range(o, s->peak_by_probability);
        note_range(o, s->velocity);
        note_range(o, s->friction_loss);
    }
}

static void
note_state(struct outcome *o, const fc_checked_state *s)
{
    fprintf(o->out, "%d %zu %zu %zu %zu %zu\n", (int)s->works, s->working,
            s->failing, s->unclear, s->governing, s->starved);
    note_range(o, s->peak_flow);
    note_range(o, s->peak_by_units);
    note_range(o, s->peak_by_probability);
    note_range(o, s->source_pressure);
    note_range(o, s->spare_pressure);
    note(o, (double)s->states_drawn);
}

static void
note_check(struct outcome *o, const fc_check_result *r)
{
    size_t i;
    int k;

    note_word(o, r->title);
    note_word(o, r->address);
    note_word(o, r->prepared_by);
    note_word(o, r->date);
    note_word(o, r->code);
    note_word(o, r->source);
    fprintf(o->out, "%d %d %d %d\n", (int)r->peak, (int)r->units, r->converted,
            (int)r->works);
    note_range(o, r->source_static);
    for (k = 0; k < (r->converted ? FC_STATES : 1); k++)
        note_state(o, &r->states[k]);
    for (i = 0; i < r->n_fixtures; i++) {
        const fc_checked_fixture *f = &r->fixtures[i];

        note_word(o, f->name);
        note_word(o, f->on);
        note_word(o, f->kind);
        fprintf(o->out, "%d %d\n", f->count, (int)f->change);
        note(o, f->elevation);
        note_range(o, f->static_pressure);
        for (k = 0; k < (r->converted ? FC_STATES : 1); k++)
            note_fixture_state(o, &f->states[k]);
    }
    for (i = 0; i < r->n_pipes; i++)
        note_pipe(o, &r->pipes[i]);
    note_findings(o, r->findings, r->n_findings);
    for (i = 0; i < r->n_assumptions; i++)
        note_word(o, r->assumptions[i]);
}

/* Absolute pressures have places to lose: a gauge pressure of some pascals is
 * what is left of hundreds of kilopascals. */
#define ATMOSPHERE 101325.0

static void
note_flush(struct outcome *o, const fc_flush_result *r)
{
    size_t i;

    note(o, r->flow);
    for (i = 0; i < r->n_fixtures; i++) {
        note_word(o, r->fixtures[i].name);
        note_range(o, r->fixtures[i].pressure);
        note_range(o, r->fixtures[i].flow);
        note_range(o, r->fixtures[i].minimum);
        note_range(o, r->fixtures[i].still);
        fprintf(o->out, "%d\n", (int)r->fixtures[i].enough);
    }
    for (i = 0; i < r->n_elements; i++) {
        note_word(o, r->elements[i].name);
        note(o, r->elements[i].elevation);
        note(o, r->elements[i].flow);
        note(o, ATMOSPHERE + r->elements[i].pressure);
    }
    note_findings(o, r->findings, r->n_findings);
}

/* What no check shows of a site read from these files. */
static void
note_others(struct outcome *o, const fc_site *site)
{
    size_t i, k;

    for (i = 0; i < site->n_parts; i++) {
        const fc_prices *prices = site->parts[i].data;
        const fc_fix_prices *fix_prices = site->parts[i].data;
        const fc_reading *reading = site->parts[i].data;
        const fc_claim *claim = site->parts[i].data;
        const fc_valve *valve = site->parts[i].data;
        const fc_heater *heater = site->parts[i].data;
        const fc_gauge *gauge = site->parts[i].data;
        const fc_look *look = site->parts[i].data;
        const fc_answer *gauge_fits =
            fci_part_member(&site->parts[i], "gauge");

        if (gauge_fits && site->parts[i].kind != FCI_SOURCE
            && site->parts[i].kind != FCI_READING)
            note(o, *gauge_fits);
        if (site->parts[i].kind == FCI_VALVE) {
            note(o, valve->regulated);
        } else if (site->parts[i].kind == FCI_HEATER) {
            for (k = 0; k < heater->n_serves; k++)
                note_word(o, heater->serves[k]);
        } else if (site->parts[i].kind == FCI_PRICES) {
            note_word(o, prices->material);
            note_range(o, prices->each);
            for (k = 0; k < prices->n_prices; k++) {
                note(o, prices->prices[k].size.nominal);
                note(o, prices->prices[k].per_length);
            }
        } else if (site->parts[i].kind == FCI_FIX_PRICES) {
            note_range(o, fix_prices->meter);
            note_range(o, fix_prices->valve);
        } else if (site->parts[i].kind == FCI_READING) {
            note_word(o, reading->at);
            note_range(o, reading->pressure);
            note_range(o, reading->within);
            note_range(o, reading->flow);
            note_range(o, reading->filled_volume);
            note_range(o, reading->filled_time);
            note_range(o, reading->flush_time);
            note_word(o, reading->gauge);
            note(o, reading->dial);
            for (k = 0; k < reading->n_flushing; k++) {
                note_word(o, reading->flushing[k].fixture);
                note(o, reading->flushing[k].count);
            }
        } else if (site->parts[i].kind == FCI_GAUGE) {
            note(o, gauge->within.amount);
            note_range(o, gauge->full_scale);
            note_word(o, gauge->number);
            note_word(o, gauge->calibrated);
        } else if (site->parts[i].kind == FCI_LOOK) {
            note_word(o, look->at);
            note(o, look->shows);
            note_range(o, look->rise);
            note_range(o, look->length);
            note_range(o, look->size);
        } else if (site->parts[i].kind == FCI_CLAIM) {
            note_word(o, claim->fixture);
            note_word(o, claim->stated_in);
            note_range(o, claim->flowing);
            note(o, claim->condition);
            note(o, claim->state);
            note(o, claim->state_said);
            for (k = 0; k < claim->n_flushing; k++) {
                note_word(o, claim->flushing[k].fixture);
                note(o, claim->flushing[k].count);
            }
        }
    }
    for (i = 0; i < site->n_fixtures; i++) {
        note_range(o, site->fixtures[i].outlet_rate);
        note_range(o, site->fixtures[i].outlet_pressure);
        note(o, site->fixtures[i].outlet_rate_given);
    }
    note_range(o, site->usage.interval);
    note_range(o, site->usage.people);
    note_range(o, site->usage.long_stay_share);
}

/* ---- All of them ------------------------------------------------------- */

struct outcome
outcome_of(const fc_site *site, const fc_check_options *options)
{
    struct outcome o = { 0 };
    fc_check_result *check = NULL;
    fc_flush_result *flush = NULL;
    size_t length;

    o.out = open_memstream(&o.words, &length);
    ck_assert_ptr_nonnull(o.out);
    fprintf(o.out, "%d\n", fc_check_with(site, options, &check, NULL));
    if (check)
        note_check(&o, check);
    fc_check_result_free(check);
    fprintf(o.out, "%d\n",
            fc_flush(site, FC_EXISTING, NULL, SIZE_MAX, &flush, NULL));
    if (flush)
        note_flush(&o, flush);
    fc_flush_result_free(flush);
    note_others(&o, site);
    ck_assert_int_eq(fclose(o.out), 0);
    return o;
}

void
outcome_end(struct outcome *o)
{
    free(o->figures);
    free(o->words);
}

/* What is left of elevations of some metres that cancel counts as their share
 * of this [m]. */
#define NOTHING 1e-2

/* To a share of the larger figure; 0: the same bits. */
static void
same_outcomes(const struct outcome *one, const struct outcome *two,
              double share)
{
    size_t i;

    ck_assert_uint_eq(one->n, two->n);
    for (i = 0; i < one->n; i++) {
        const double a = one->figures[i], b = two->figures[i];

        if (memcmp(&a, &b, sizeof a) != 0
            && !(fabs(a - b) <= share * fmax(NOTHING, fmax(fabs(a), fabs(b)))))
            ck_abort_msg("figure %zu: %.17g and %.17g", i, a, b);
    }
    ck_assert_str_eq(one->words, two->words);
}

void
same_as_known(const struct outcome *known, const fc_site *site,
              const fc_check_options *options, double share)
{
    struct outcome o = outcome_of(site, options);

    ck_assert_uint_gt(o.n, 0);
    same_outcomes(known, &o, share);
    outcome_end(&o);
}

void
same_sites(const fc_site *one, const fc_site *two,
           const fc_check_options *options, double share)
{
    struct outcome known = outcome_of(one, options);

    same_as_known(&known, two, options, share);
    outcome_end(&known);
}
