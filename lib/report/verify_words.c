/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/verify_words.c -- verdicts and figures of claims in words. */
#include "report/verify_report.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

const char *
fci_support_word(fc_support support)
{
    return fci_word_of(&fci_support_words, (int)support);
}

const char *
fci_support_shout(fc_support support)
{
    return support == FC_SUPPORTED      ? "SUPPORTED:"
           : support == FC_CONTRADICTED ? "CONTRADICTED:"
                                        : "UNDECIDED:";
}

enum fci_tint
fci_support_tint(fc_support support)
{
    return support == FC_SUPPORTED      ? FCI_GOOD
           : support == FC_CONTRADICTED ? FCI_BAD
                                        : FCI_UNSURE;
}

size_t
fci_support_count(const fc_verify_result *result, fc_support verdict)
{
    size_t n = 0;

    for (size_t i = 0; i < result->n_claims; i++)
        n += result->claims[i].verdict == verdict;
    return n;
}

const char *
fci_support_but(const fc_checked_claim *c)
{
    return !c->but_under                ? ""
           : c->verdict == FC_SUPPORTED ? ", but "
                                        : "; claimed ";
}

const char *
fci_support_misfit(struct fci_doc *doc, const fc_checked_claim *c)
{
    return c->refuted_beside
               ? fci_arena_printf(&doc->arena,
                                  "readings %s and %s do not both fit",
                                  c->refuted_by, c->refuted_beside)
               : fci_arena_printf(&doc->arena, "reading %s does not fit",
                                  c->refuted_by);
}

bool
fci_support_is_split(const fc_checked_claim *c)
{
    return c->verdict == FC_UNDECIDED && c->by_model != FC_UNDECIDED
           && !c->why_not && !c->reading && !c->refuted_by && !c->unproved
           && !fci_support_is_drawn_down(c);
}

bool
fci_support_is_drawn_down(const fc_checked_claim *c)
{
    return c->drawn_down && c->by_model == FC_SUPPORTED && !c->reading;
}

/* ---- Worst first ------------------------------------------------------ */

double
fci_support_flowing(const fc_checked_claim *c)
{
    return c->not_flowing ? (double)NAN : c->reading ? c->read : c->computed;
}

static int
rank_of(fc_support verdict)
{
    return verdict == FC_CONTRADICTED ? 0 : verdict == FC_UNDECIDED ? 1 : 2;
}

static int
compare_claims(const void *a, const void *b)
{
    const fc_checked_claim *x = *(const fc_checked_claim *const *)a;
    const fc_checked_claim *y = *(const fc_checked_claim *const *)b;
    const double left_x = fci_support_flowing(x) - x->claimed;
    const double left_y = fci_support_flowing(y) - y->claimed;

    if (x->verdict != y->verdict)
        return rank_of(x->verdict) - rank_of(y->verdict);
    if (isnan(left_x) != isnan(left_y))
        return isnan(left_x) ? -1 : 1;
    if (left_x < left_y || left_x > left_y)
        return left_x < left_y ? -1 : 1;
    return x < y ? -1 : x > y;
}

const fc_checked_claim *const *
fci_support_worst_first(struct fci_arena *arena,
                        const fc_verify_result *result)
{
    const fc_checked_claim **sorted =
        fci_arena_array(arena, result->n_claims, sizeof *sorted);

    for (size_t i = 0; sorted && i < result->n_claims; i++)
        sorted[i] = &result->claims[i];
    if (sorted)
        qsort(sorted, result->n_claims, sizeof *sorted, compare_claims);
    return sorted;
}

/* ---- Chances ---------------------------------------------------------- */

/* Whether a chance printed with so many decimals looks as if it were on the
 * other side of a limit [per cent]. */
static bool
crosses(double chance, double limit, int decimals)
{
    const double scale = pow(10, decimals);
    const double seen = round(chance * 100 * scale) / scale;

    return limit > 50 ? (seen >= limit) != (chance * 100 >= limit)
                      : (seen <= limit) != (chance * 100 <= limit);
}

struct fci_figure
fci_support_percent(double share, int decimals)
{
    struct fci_figure f;

    snprintf(f.text, sizeof f.text, "%.40s%%",
             fci_figure_number(100.0 * share, decimals).text);
    return f;
}

struct fci_figure
fci_support_chance(const fc_checked_claim *c)
{
    /* what was drawn without exception is no certainty */
    const double n = c->drawn + 1.0;
    const double chance = c->certain || !(c->drawn > 1)
                              ? c->probability
                              : fmin(fmax(c->probability, 1 / n), (n - 1) / n);
    int decimals = 1;

    if (isnan(chance))
        return (struct fci_figure){ "-" };
    if (chance < 1.0 && chance > 0.9994)
        return (struct fci_figure){ ">99.9%" };
    if (chance > 0.0 && chance < 0.0006)
        return (struct fci_figure){ "<0.1%" };
    while (decimals < 6
           && (crosses(chance, 95, decimals) || crosses(chance, 5, decimals)))
        decimals++;
    return fci_support_percent(chance, decimals);
}

struct fci_figure
fci_support_draws(size_t draws)
{
    struct fci_figure f;

    if (draws < 1000)
        snprintf(f.text, sizeof f.text, "%zu", draws);
    else if (draws < 1000000)
        snprintf(f.text, sizeof f.text, "%zu,%03zu", draws / 1000,
                 draws % 1000);
    else
        snprintf(f.text, sizeof f.text, "%zu,%03zu,%03zu", draws / 1000000,
                 draws / 1000 % 1000, draws % 1000);
    return f;
}

/* ---- Pressures -------------------------------------------------------- */

struct fci_figure
fci_support_pressure(const struct fci_doc *doc, const fc_checked_claim *c,
                     double si)
{
    return fci_figure_with(doc->units, FC_PRESSURE, FC_NEAREST, c->decimals,
                           si);
}

struct fci_figure
fci_support_said(const struct fci_doc *doc, const fc_checked_claim *c,
                 double si)
{
    struct fci_figure f = fci_support_pressure(doc, c, si);
    const size_t used = strlen(f.text);

    snprintf(f.text + used, sizeof f.text - used, " %s",
             fc_unit_name(doc->units, FC_PRESSURE));
    return f;
}

struct fci_figure
fci_support_span(const struct fci_doc *doc, const fc_checked_claim *c,
                 double low, double high)
{
    struct fci_figure f = fci_support_pressure(doc, c, low);
    const struct fci_figure end = fci_support_pressure(doc, c, high);
    const size_t used = strlen(f.text);

    if (strcmp(f.text, end.text) != 0)
        snprintf(f.text + used, sizeof f.text - used, " to %.18s", end.text);
    return f;
}

#define MOST_STATED 3 /* decimals */

/* With the decimals that a gauge was read to: 24.96 psi are not 25.0. */
static struct fci_figure
as_read(fc_unit_system u, double si)
{
    const double x = fc_from_si(u, FC_PRESSURE, si);
    double scale = 1;
    int decimals = 0;

    for (; decimals < MOST_STATED; decimals++, scale *= 10)
        if (fabs(round(x * scale) / scale - x) <= 1e-9 * fabs(x))
            break;
    return fci_figure_with(u, FC_PRESSURE, FC_NEAREST,
                           decimals < MOST_STATED ? decimals : 0, si);
}

struct fci_figure
fci_reading_shown(const struct fci_doc *doc, const fc_listed_reading *r)
{
    const fc_unit_system u = doc->units;
    struct fci_figure f = { "" };

    if (!isnan(r->pressure))
        snprintf(f.text, sizeof f.text, "%.30s %s",
                 as_read(u, r->pressure).text, fc_unit_name(u, FC_PRESSURE));
    else if (!isnan(r->flow))
        f = fci_figure_said(u, FC_FLOW, r->flow);
    else
        snprintf(f.text, sizeof f.text, "a flush of %.30s",
                 fci_figure_said(u, FC_TIME, r->flush_time).text);
    return f;
}
