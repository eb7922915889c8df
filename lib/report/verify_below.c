/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/verify_below.c -- claims on one screen: what stands below the
 * tables, as many sentences as fit. */
#include "page/screen.h"
#include "report/verify_report.h"

#include <math.h>
#include <string.h>

#define MOST_NAMES 2

/* ---- What would settle it ---------------------------------------------- */

static void
say_unsettled(struct fci_doc *doc, const fc_checked_claim *const *sorted,
              size_t n)
{
    struct fci_screen_part part = { doc,
                                    "What would settle it",
                                    "undecided claim",
                                    FCI_CLOSE_LINES + FCI_MINIMA_LINES,
                                    0,
                                    0 };

    for (size_t i = 0; i < n; i++)
        if (sorted[i]->verdict == FC_UNDECIDED)
            fci_screen_item(&part, fci_verify_settle(doc, sorted[i]));
    fci_screen_left(&part);
}

/* ---- Minima ------------------------------------------------------------ */

static bool
same_figure(double a, double b)
{
    return isnan(a) ? isnan(b) : a <= b && a >= b;
}

static bool
same_minima(const fc_checked_claim *a, const fc_checked_claim *b)
{
    return same_figure(a->code_minimum, b->code_minimum)
           && same_figure(a->valve_minimum, b->valve_minimum)
           && strcmp(a->kind, b->kind) == 0;
}

static const char *
minima_of(struct fci_doc *doc, const fc_checked_claim *c)
{
    const char *valve = "";

    if (!isnan(c->valve_minimum))
        valve =
            fci_arena_printf(&doc->arena, "; valve minimum %s",
                             fci_support_said(doc, c, c->valve_minimum).text);
    if (!valve)
        return NULL;
    if (isnan(c->code_minimum))
        return fci_arena_printf(&doc->arena, "%s: no code minimum%s", c->kind,
                                valve);
    return fci_arena_printf(&doc->arena, "%s: code minimum %s (%s)%s", c->kind,
                            fci_support_said(doc, c, c->code_minimum).text,
                            c->code ? c->code : "no source given", valve);
}

/* Which claims are of less than the code's or the valve's minimum. */
static const char *
name_low(struct fci_doc *doc, const fc_checked_claim *const *sorted, size_t n)
{
    const char *names = "";
    size_t low = 0;

    for (size_t i = 0; i < n && names; i++)
        if (sorted[i]->but_under && low++ < MOST_NAMES)
            names = fci_arena_printf(&doc->arena, "%s%s%s", names,
                                     low > 1 ? ", " : "", sorted[i]->name);
    if (names && low > MOST_NAMES)
        names = fci_arena_printf(&doc->arena, "%s and %zu more", names,
                                 low - MOST_NAMES);
    return names;
}

static void
say_minima(struct fci_doc *doc, const fc_checked_claim *const *sorted,
           size_t n)
{
    struct fci_screen_part part = { doc,       "Code and valve minimum",
                                    "minimum", FCI_CLOSE_LINES,
                                    0,         0 };
    const char *low = name_low(doc, sorted, n);

    if (!low || *low)
        fci_screen_item(&part, low ? fci_arena_printf(
                                   &doc->arena, "claimed below these: %s", low)
                                   : NULL);
    for (size_t i = 0; i < n; i++) {
        size_t k = 0;

        while (k < i && !same_minima(sorted[k], sorted[i]))
            k++;
        if (k == i)
            fci_screen_item(&part, minima_of(doc, sorted[i]));
    }
    fci_screen_left(&part);
}

/* ---- Warnings ---------------------------------------------------------- */

/* Whether the claim of this name is sure only if inputs are independent: its
 * verdict says nothing of that. */
static bool
is_sure_if_independent(const fc_verify_result *result, const char *claim)
{
    for (size_t i = 0; i < result->n_claims; i++)
        if (strcmp(result->claims[i].name, claim) == 0)
            return result->claims[i].doubt == FC_SURE_BY_INDEPENDENCE;
    return false;
}

/* What other parts tell. */
static bool
is_told(const fc_verify_result *result, const fc_finding *f)
{
    if (f->code == FC_FOUND_HOW_SURE)
        return !is_sure_if_independent(result, f->subject);
    return f->code == FC_FOUND_NOT_FLOWING || f->code == FC_FOUND_RESIDUAL
           || f->code == FC_FOUND_NO_PRESSURE
           || f->code == FC_FOUND_NOT_WORKED_OUT;
}

/* What concerns one claim comes first. */
static int
place_of(const fc_finding *f)
{
    return *f->subject ? 0 : 1;
}

static void
say_warnings(struct fci_doc *doc, const fc_verify_result *result)
{
    struct fci_screen_part part = { doc,       "Warnings",
                                    "warning", FCI_CLOSE_LINES - 1,
                                    0,         0 };

    for (int place = 0; place < 2; place++)
        for (size_t i = 0; i < result->n_findings; i++) {
            const fc_finding *f = &result->findings[i];

            if (f->severity >= FC_WARN && !is_told(result, f)
                && place_of(f) == place)
                fci_screen_item(
                    &part, fci_arena_printf(&doc->arena, "%s%s%s", f->subject,
                                            *f->subject ? ": " : "", f->text));
        }
    fci_screen_left(&part);
}

/* ---- All of it -------------------------------------------------------- */

void
fci_verify_below(struct fci_doc *doc, const fc_verify_result *result,
                 const fc_checked_claim *const *worst_first)
{
    say_unsettled(doc, worst_first, result->n_claims);
    say_minima(doc, worst_first, result->n_claims);
    say_warnings(doc, result);
}
