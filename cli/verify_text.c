/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/verify_text.c -- the report of `verify` for a person. */
#include "verify_report.h"
#include "parts.h"
#include "table.h"
#include "words.h"

#include <math.h>

const char *
support_word(fc_support support)
{
    return support == FC_SUPPORTED      ? "supported"
           : support == FC_CONTRADICTED ? "contradicted"
                                        : "undecided";
}

static enum tint
support_tint(fc_support support)
{
    return support == FC_SUPPORTED      ? TINT_GOOD
           : support == FC_CONTRADICTED ? TINT_BAD
                                        : TINT_UNSURE;
}

struct figure
support_chance(double chance)
{
    struct figure f;

    if (isnan(chance))
        snprintf(f.text, sizeof f.text, "-");
    else if (chance < 1.0 && chance > 0.9994)
        snprintf(f.text, sizeof f.text, ">99.9 %%");
    else if (chance > 0.0 && chance < 0.0006)
        snprintf(f.text, sizeof f.text, "<0.1 %%");
    else
        snprintf(f.text, sizeof f.text, "%.1f %%", 100.0 * chance);
    return f;
}

struct figure
support_draws(size_t draws)
{
    struct figure f;

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

/* ---- The verdict ------------------------------------------------------ */

static size_t
count(const fc_verify_result *result, fc_support verdict)
{
    size_t n = 0;

    for (size_t i = 0; i < result->n_claims; i++)
        n += result->claims[i].verdict == verdict;
    return n;
}

static void
say_verdict(struct page *page, const fc_verify_result *result)
{
    const size_t n = result->n_claims;
    const enum tint tint = support_tint(result->verdict);
    const char *word = result->verdict == FC_SUPPORTED      ? "SUPPORTED"
                       : result->verdict == FC_CONTRADICTED ? "CONTRADICTED"
                                                            : "UNDECIDED";

    if (n == 1)
        page_say_tinted(page, tint, word, "the claim %s.",
                        result->claims[0].name);
    else if (count(result, result->verdict) == n)
        page_say_tinted(page, tint, word, "all %zu claims.", n);
    else
        page_say_tinted(page, tint, word,
                        "%zu of %zu claims; %zu supported, %zu undecided.",
                        count(result, result->verdict), n,
                        count(result, FC_SUPPORTED),
                        count(result, FC_UNDECIDED));
}

/* ---- The table -------------------------------------------------------- */

/* What there is to show of the claims. */
struct shown {
    bool varies; /* some input does */
    bool read;   /* some gauge was */
};

static void
add_claim(struct table *table, const struct page *page,
          const fc_checked_claim *c, struct shown shown)
{
    const fc_unit_system u = page->units;
    const fc_range interval = { true, c->computed, c->low, c->high };

    table_add(table, c->name);
    table_add(table, c->fixture);
    table_add(table, figure_of(u, FC_PRESSURE, c->claimed).text);
    table_add(table, figure_of(u, FC_PRESSURE, c->computed).text);
    if (shown.varies) {
        table_add(table, c->why_not
                             ? "-"
                             : figure_range(u, FC_PRESSURE, interval).text);
        table_add(table, support_chance(c->probability).text);
    }
    if (shown.read)
        table_add(table, figure_of(u, FC_PRESSURE, c->read).text);
    table_add_tinted(table, support_word(c->verdict),
                     support_tint(c->verdict));
}

static struct shown
find_shown(const fc_verify_result *result)
{
    struct shown shown = { result->draws > 1, false };

    for (size_t i = 0; i < result->n_claims; i++)
        shown.read |= result->claims[i].reading != NULL;
    return shown;
}

static void
print_claims(struct page *page, const fc_verify_result *result)
{
    const char *p = fc_unit_name(page->units, FC_PRESSURE);
    const struct column read = { "read", p, ALIGN_RIGHT, 0 };
    const struct column verdict = { "verdict", "", ALIGN_LEFT, 0 };
    const struct shown shown = find_shown(result);
    struct column columns[8] = {
        { "claim", "", ALIGN_LEFT, 10 },
        { "fixture", "", ALIGN_LEFT, 8 },
        { "claimed", p, ALIGN_RIGHT, 0 },
        { "computed", p, ALIGN_RIGHT, 0 },
        { "95 % within", p, ALIGN_RIGHT, 0 },
        { "reach it", "", ALIGN_RIGHT, 0 },
    };
    size_t n = shown.varies ? 6 : 4;
    struct table table;

    if (shown.read)
        columns[n++] = read;
    columns[n++] = verdict;
    table = table_new(columns, n);
    page_heading(page, "The claims");
    for (size_t i = 0; i < result->n_claims; i++)
        add_claim(&table, page, &result->claims[i], shown);
    table_print(&table, page);
    page_say(page, 2, 2,
             "Flowing pressures at the inlet of the fixture. Computed: at "
             "the middle of every range.%s",
             shown.read ? " Read: by a gauge under the claim's own "
                          "condition; \"-\" there was none."
                        : "");
}

/* ---- One claim in sentences ------------------------------------------- */

static void
say_model(struct page *page, const fc_checked_claim *c)
{
    if (c->why_not)
        page_say(page, 4, 4, "The model cannot tell: %s.", c->why_not);
    else if (c->decided_by)
        page_say(page, 4, 4,
                 "%s of the outcomes reach it: by the model %s. Most hangs on "
                 "the %s (%.0f %% of the variance).",
                 support_chance(c->probability).text,
                 support_word(c->by_model), c->decided_by, 100.0 * c->share);
    else
        page_say(page, 4, 4,
                 "Nothing that bears on it varies: by the model "
                 "%s.",
                 support_word(c->by_model));
}

static void
say_reading(struct page *page, const fc_checked_claim *c)
{
    const fc_unit_system u = page->units;

    if (c->reading)
        page_say(page, 4, 4,
                 "The reading %s decides: %s there, right within %s; so the "
                 "claim is %s.",
                 c->reading, figure_said(u, FC_PRESSURE, c->read).text,
                 figure_said(u, FC_PRESSURE, c->within).text,
                 support_word(c->verdict));
    else if (c->verdict == FC_UNDECIDED)
        page_say(page, 4, 4,
                 "A gauge at %s (%s) decides it where it is farther from %s "
                 "than it may be off.",
                 c->fixture, c->event,
                 figure_said(u, FC_PRESSURE, c->claimed).text);
}

static void
say_claim(struct page *page, const fc_checked_claim *c)
{
    struct figure supply = { "" };

    if (!isnan(c->supply)) {
        const struct figure f =
            figure_said(page->units, FC_PRESSURE, c->supply);

        snprintf(supply.text, sizeof supply.text, ", supply %.30s static",
                 f.text);
    }
    page_say(page, 2, 4, "%s: at least %s at %s, %s, %s%s%s%s.", c->name,
             figure_said(page->units, FC_PRESSURE, c->claimed).text,
             c->fixture, c->event, state_phrase(c->state), supply.text,
             c->stated_in ? "; stated in " : "",
             c->stated_in ? c->stated_in : "");
    say_model(page, c);
    say_reading(page, c);
}

static void
say_method(struct page *page, const fc_verify_result *result)
{
    page_heading(page, "How it was worked out");
    if (result->draws > 1)
        page_say(
            page, 2, 2,
            "flushcalc %s; %s buildings drawn (JCGM 101; seed %lu) within "
            "what %zu input%s may be. Supported: at least 95 %% of the "
            "outcomes reach the pressure claimed; contradicted: at most "
            "5 %%. A reading under the claim's condition decides instead, "
            "with its accuracy as guard band (JCGM 106). Share of the "
            "variance: squared correlation.",
            fc_version(), support_draws(result->draws).text, result->seed,
            result->varied, result->varied == 1 ? "" : "s");
    else
        page_say(page, 2, 2,
                 "flushcalc %s; one outcome, as no input varies. A reading "
                 "under the claim's condition decides instead, with its "
                 "accuracy as guard band (JCGM 106).",
                 fc_version());
}

void
verify_text(struct page *page, const fc_verify_result *result)
{
    const struct found found = { result->findings, result->n_findings,
                                 FC_EXISTING };

    part_title(page, result->title);
    say_verdict(page, result);
    print_claims(page, result);
    page_heading(page, "Why");
    for (size_t i = 0; i < result->n_claims; i++)
        say_claim(page, &result->claims[i]);
    part_findings(page, &found, NULL);
    part_assumptions(page, result->assumptions, result->n_assumptions);
    say_method(page, result);
    part_cautions(page);
}
