/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/verify_text.c -- the report of `verify` for a person. */
#include "report/report.h"
#include "report/verify_report.h"
#include "report/shared.h"
#include "report/words.h"

#include <math.h>
#include <string.h>

const char *
fci_support_word(fc_support support)
{
    return support == FC_SUPPORTED      ? "supported"
           : support == FC_CONTRADICTED ? "contradicted"
                                        : "undecided";
}

static const char *
support_shout(fc_support support)
{
    return support == FC_SUPPORTED      ? "SUPPORTED"
           : support == FC_CONTRADICTED ? "CONTRADICTED"
                                        : "UNDECIDED";
}

static enum fci_tint
support_tint(fc_support support)
{
    return support == FC_SUPPORTED      ? FCI_GOOD
           : support == FC_CONTRADICTED ? FCI_BAD
                                        : FCI_UNSURE;
}

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
fci_support_chance(double chance)
{
    struct fci_figure f;
    int decimals = 1;

    while (decimals < 6
           && (crosses(chance, 95, decimals) || crosses(chance, 5, decimals)))
        decimals++;
    if (isnan(chance))
        snprintf(f.text, sizeof f.text, "-");
    else if (chance < 1.0 && chance > 0.9994)
        snprintf(f.text, sizeof f.text, ">99.9 %%");
    else if (chance > 0.0 && chance < 0.0006)
        snprintf(f.text, sizeof f.text, "<0.1 %%");
    else
        snprintf(f.text, sizeof f.text, "%.40s %%",
                 fci_figure_number(100.0 * chance, decimals).text);
    return f;
}

struct fci_figure
fci_support_chance_of(const fc_checked_claim *c)
{
    const double n = c->drawn + 1.0;

    if (c->certain || !(c->drawn > 1))
        return fci_support_chance(c->probability);
    return fci_support_chance(fmin(fmax(c->probability, 1 / n), (n - 1) / n));
}

const char *
fci_support_doubt(fc_doubt doubt)
{
    switch (doubt) {
    case FC_DOUBT_SAMPLING:
        return "sampling";
    case FC_DOUBT_MODEL:
        return "model";
    case FC_DOUBT_ALIKE:
        return "alike";
    case FC_SURE_BY_INDEPENDENCE:
        return "sure by independence";
    case FC_DOUBT_NOT_GIVEN:
        return "not given";
    default:
        return NULL;
    }
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
fci_support_interval(const struct fci_doc *doc, const fc_checked_claim *c)
{
    struct fci_figure f = fci_support_pressure(doc, c, c->low);
    const struct fci_figure high = fci_support_pressure(doc, c, c->high);
    const size_t used = strlen(f.text);

    if (strcmp(f.text, high.text) != 0)
        snprintf(f.text + used, sizeof f.text - used, "..%.20s", high.text);
    return f;
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

/* ---- The verdict ------------------------------------------------------ */

static size_t
count(const fc_verify_result *result, fc_support verdict)
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

/* Under which condition, and what is to be known of the verdict beside. */
static void
say_judged(struct fci_doc *doc, const fc_checked_claim *c, bool alone)
{
    const char *but = fci_support_but(c);
    const char *under = c->but_under ? c->but_under : "";

    if (alone)
        fci_doc_verdict(doc, support_tint(c->verdict),
                        support_shout(c->verdict),
                        "claim %s: at least %s at %s, %s%s%s.", c->name,
                        fci_support_said(doc, c, c->claimed).text, c->fixture,
                        c->judged, but, under);
    else
        fci_doc_say(doc, "%s: %s, at least %s at %s, %s%s%s.", c->name,
                    fci_support_word(c->verdict),
                    fci_support_said(doc, c, c->claimed).text, c->fixture,
                    c->judged, but, under);
    if (c->holds)
        fci_doc_say(doc, "It %s.", c->holds);
}

static void
say_verdict(struct fci_doc *doc, const fc_verify_result *result)
{
    const size_t n = result->n_claims;
    const enum fci_tint tint = support_tint(result->verdict);
    const char *word = support_shout(result->verdict);

    if (n == 1)
        say_judged(doc, &result->claims[0], true);
    else if (count(result, result->verdict) == n)
        fci_doc_verdict(doc, tint, word,
                        n == 2 ? "both claims." : "all %zu claims.", n);
    else if (result->verdict == FC_UNDECIDED)
        fci_doc_verdict(doc, tint, word, "%zu of %zu claims; %zu supported.",
                        count(result, FC_UNDECIDED), n,
                        count(result, FC_SUPPORTED));
    else
        fci_doc_verdict(doc, tint, word,
                        "%zu of %zu claims; %zu supported, %zu undecided.",
                        count(result, result->verdict), n,
                        count(result, FC_SUPPORTED),
                        count(result, FC_UNDECIDED));
    for (size_t i = 0; n > 1 && i < n; i++)
        say_judged(doc, &result->claims[i], false);
}

/* ---- The table -------------------------------------------------------- */

/* What there is to show of the claims. */
struct shown {
    bool varies; /* some input does */
    bool read;   /* some gauge was */
    bool still;  /* some claim is of no flowing condition */
    bool code;   /* the code has a minimum for some fixture */
};

static void
add_claim(struct fci_grid *table, const struct fci_doc *doc,
          const fc_checked_claim *c, struct shown shown)
{
    const bool told = !c->why_not;

    fci_cell(table, c->name);
    fci_cell(table, c->fixture);
    fci_cell(table, fci_support_pressure(doc, c, c->claimed).text);
    if (shown.code)
        fci_cell(table, fci_support_pressure(doc, c, c->code_minimum).text);
    fci_cell(table, fci_support_pressure(doc, c, c->computed).text);
    if (shown.varies) {
        fci_cell(table, told ? fci_support_interval(doc, c).text : "-");
        fci_cell(table, c->not_flowing ? "-" : fci_support_chance_of(c).text);
    }
    if (shown.read)
        fci_cell(table, fci_support_pressure(doc, c, c->read).text);
    fci_cell_tinted(table, fci_support_word(c->verdict),
                    support_tint(c->verdict));
}

static struct shown
find_shown(const fc_verify_result *result)
{
    struct shown shown = { .varies = result->draws > 1 };

    for (size_t i = 0; i < result->n_claims; i++) {
        shown.read |= result->claims[i].reading != NULL;
        shown.still |= result->claims[i].not_flowing != NULL;
        shown.code |= !isnan(result->claims[i].code_minimum);
    }
    return shown;
}

static void
print_claims(struct fci_doc *doc, const fc_verify_result *result)
{
    const char *p = fc_unit_name(doc->units, FC_PRESSURE);
    const struct fci_doc_column read = { "read", p, FCI_RIGHT, 0 };
    const struct fci_doc_column verdict = { "verdict", "", FCI_LEFT, 0 };
    const struct shown shown = find_shown(result);
    const struct fci_doc_column code = { "code", p, FCI_RIGHT, 0 };
    const struct fci_doc_column computed = { "computed", p, FCI_RIGHT, 0 };
    const struct fci_doc_column within = { "95 % within", p, FCI_RIGHT, 0 };
    const struct fci_doc_column reach = { "reach it", "", FCI_RIGHT, 0 };
    struct fci_doc_column columns[9] = {
        { "claim", "", FCI_LEFT, 10 },
        { "fixture", "", FCI_LEFT, 8 },
        { "claimed", p, FCI_RIGHT, 0 },
    };
    size_t n = 3;
    struct fci_grid *table;

    if (shown.code)
        columns[n++] = code;
    columns[n++] = computed;
    if (shown.varies) {
        columns[n++] = within;
        columns[n++] = reach;
    }
    if (shown.read)
        columns[n++] = read;
    columns[n++] = verdict;
    table = fci_grid_new(doc, columns, n);
    fci_doc_heading(doc, "The claims");
    for (size_t i = 0; i < result->n_claims; i++)
        add_claim(table, doc, &result->claims[i], shown);
    fci_doc_put(doc, table);
    fci_doc_say(
        doc,
        "Flowing pressures at the inlet of the fixture%s.%s Computed: at "
        "the middle of every range.%s",
        shown.still ? ", but where nothing flows there (see below)" : "",
        shown.code ? " Code: its minimum there." : "",
        shown.read ? " Read: by a gauge under the claim's own "
                     "condition; \"-\" there was none."
                   : "");
}

/* ---- One claim in sentences ------------------------------------------- */

/* What is computed is no flowing pressure. */
static void
say_still(struct fci_doc *doc, const fc_checked_claim *c)
{
    const struct fci_figure stands = fci_support_said(doc, c, c->computed);

    fci_doc_say(
        doc,
        "Not a flowing condition (see the warnings): the %s that stand "
        "there while it draws nothing are more than flows, and decide "
        "nothing.",
        stands.text);
}

/* " (95.6 to 96.1 %, Wilson)": what so many draws may be off by. */
static struct fci_figure
scatter_of(const fc_checked_claim *c)
{
    struct fci_figure f = { "" };

    if (!c->certain)
        snprintf(f.text, sizeof f.text, " (%.12s to %.12s %%, Wilson)",
                 fci_figure_number(100 * c->probability_low, 1).text,
                 fci_figure_number(100 * c->probability_high, 1).text);
    return f;
}

static void
say_model(struct fci_doc *doc, const fc_checked_claim *c)
{
    const char *peak = c->condition == FC_WHILE_PEAK
                           ? " Peak demand is computed, not witnessed."
                           : "";

    if (c->why_not)
        fci_doc_say(doc, "The model cannot tell: %s.", c->why_not);
    else if (c->not_flowing)
        say_still(doc, c);
    else if (c->decided_by)
        fci_doc_say(
            doc,
            "%s of the outcomes reach it%s: by the model %s. Most hangs "
            "on the %s (%s %% of the variance).%s",
            fci_support_chance_of(c).text, scatter_of(c).text,
            fci_support_word(c->by_model), c->decided_by,
            fci_figure_number(100.0 * c->share, 0).text, peak);
    else
        fci_doc_say(
            doc,
            "No input that bears on it is a range; what the model itself "
            "may be off by leaves %s %s: by the model %s.%s",
            fci_support_interval(doc, c).text,
            fc_unit_name(doc->units, FC_PRESSURE),
            fci_support_word(c->by_model), peak);
}

/* What was read under the claim's own condition. */
static void
say_read(struct fci_doc *doc, const fc_checked_claim *c)
{
    const struct fci_figure read = fci_support_said(doc, c, c->read);
    const struct fci_figure within = fci_support_said(doc, c, c->within);

    if (c->against)
        fci_doc_say(doc,
                    "The readings %s and %s cannot both be true: undecided.",
                    c->reading, c->against);
    else if (c->verdict != FC_UNDECIDED)
        fci_doc_say(
            doc,
            "The reading %s decides: %s there, right within %s; so the "
            "claim is %s.",
            c->reading, read.text, within.text, fci_support_word(c->verdict));
    else if (c->not_flowing)
        fci_doc_say(doc,
                    "The reading %s, %s there, right within %s, is of no flow "
                    "either.",
                    c->reading, read.text, within.text);
    else
        fci_doc_say(
            doc,
            "The reading %s counts, not the model: %s there, right "
            "within %s, too near to %s to decide. A more accurate gauge "
            "may.",
            c->reading, read.text, within.text,
            fci_support_said(doc, c, c->claimed).text);
}

/* What keeps the model from deciding. */
static void
say_hindrance(struct fci_doc *doc, const fc_checked_claim *c)
{
    if (c->refuted_by)
        fci_doc_say(doc,
                    "The reading %s does not fit the site as it is given (see "
                    "the warnings), so the model does not decide.",
                    c->refuted_by);
    else if (c->unproved)
        fci_doc_say(
            doc,
            "That rests on %s, which has no flow test and is taken not "
            "to sag: unproved, so the model does not decide.",
            c->unproved);
    else if (fci_support_is_drawn_down(c))
        fci_doc_say(doc, "But %s: the model does not decide.", c->drawn_down);
    else if (c->borne_out_by)
        fci_doc_say(
            doc,
            "The model alone would not decide (see the warnings), but "
            "the reading %s carried to this condition says the same: %s.",
            c->borne_out_by, fci_support_word(c->verdict));
    else if (fci_support_is_split(c))
        fci_doc_say(doc,
                    "The reading %s carried to this condition says otherwise: "
                    "undecided.",
                    c->carried_reading);
}

/* Of peak demand, or of another day: what can be read all the same. */
static void
say_what_carries(struct fci_doc *doc, const fc_checked_claim *c)
{
    const bool peak = c->condition == FC_WHILE_PEAK;
    const char *none = peak ? "No gauge can be read at peak demand"
                            : "No gauge of today can be read at the supply "
                              "of that day";
    const char *to = peak ? "the peak" : "that day";

    if (c->carried_reading && c->carried_flows)
        fci_doc_say(doc,
                    "%s; the reading %s is carried to %s and does not decide "
                    "alone.%s",
                    none, c->carried_reading, to,
                    peak ? " A gauge can decide a claim of a stated number of "
                           "valves."
                         : "");
    else if (c->why_not)
        fci_doc_say(
            doc, "%s.%s", none,
            peak ? " It can decide a claim of a stated number of valves "
                   "flushing."
                 : "");
    else
        fci_doc_say(
            doc,
            "%s. Read one at %s while %s, and give it as a [reading] "
            "with its \"flushing\": it is carried to %s, and speaks for "
            "or against the claim.%s",
            none, c->fixture,
            peak ? "a stated number of valves flush" : "the same valves flush",
            to,
            peak ? " A claim of a stated number of valves it decides." : "");
}

/* What would decide. */
static void
say_advice(struct fci_doc *doc, const fc_checked_claim *c)
{
    if (c->can_be_read)
        fci_doc_say(doc,
                    "A gauge at %s while %s%s decides it where it is farther "
                    "from %s than it may be off.",
                    c->fixture, c->event,
                    c->state == FC_RETROFIT
                        ? ", with the retrofit valves in place,"
                        : "",
                    fci_support_said(doc, c, c->claimed).text);
    else
        say_what_carries(doc, c);
    if (c->decided_by && c->by_model == FC_UNDECIDED)
        fci_doc_say(doc,
                    "The model would tell more of a closer figure for the %s.",
                    c->decided_by);
}

static void
say_reading(struct fci_doc *doc, const fc_checked_claim *c)
{
    if (c->reading)
        say_read(doc, c);
    else
        say_hindrance(doc, c);
    if (!c->reading && !c->not_flowing && c->verdict == FC_UNDECIDED)
        say_advice(doc, c);
}

/* What the code asks there, and the valve. */
static void
say_minima(struct fci_doc *doc, const fc_checked_claim *c)
{
    if (isnan(c->code_minimum))
        fci_doc_say(doc, "Code minimum: none for a %s.", c->kind);
    else
        fci_doc_say(doc, "Code minimum: %s for a %s (%s).",
                    fci_support_said(doc, c, c->code_minimum).text, c->kind,
                    c->code);
    if (!isnan(c->valve_minimum))
        fci_doc_say(doc, "Valve minimum: %s.",
                    fci_support_said(doc, c, c->valve_minimum).text);
}

/* Of several cases, the harshest. */
static void
say_case(struct fci_doc *doc, const fc_checked_claim *c)
{
    fc_checked_claim harshest = *c;

    harshest.verdict = c->harshest;
    if (c->n_cases > 1)
        fci_doc_say(doc,
                    "Judged under %zu conditions; what follows is of the "
                    "harshest.",
                    c->n_cases);
    say_model(doc, &harshest);
    say_reading(doc, &harshest);
}

static void
say_claim(struct fci_doc *doc, const fc_checked_claim *c)
{
    struct fci_figure supply = { "" };

    if (!isnan(c->supply)) {
        const struct fci_figure f =
            fci_figure_said(doc->units, FC_PRESSURE, c->supply);

        snprintf(supply.text, sizeof supply.text, ", supply %.30s static",
                 f.text);
    }
    fci_doc_say(doc, "%s: at least %s at %s, %s, %s%s%s%s.", c->name,
                fci_support_said(doc, c, c->claimed).text, c->fixture,
                c->event, fci_state_phrase(c->state), supply.text,
                c->stated_in ? "; stated in " : "",
                c->stated_in ? c->stated_in : "");
    say_case(doc, c);
    say_minima(doc, c);
}

static void
say_method(struct fci_doc *doc, const fc_verify_result *result)
{
    fci_doc_heading(doc, "How it was worked out");
    if (result->draws > 1)
        fci_doc_say(
            doc,
            "flushcalc %s; %s buildings drawn (JCGM 101; seed %lu) within "
            "what %zu input%s may be, and more where that leaves it open. "
            "Supported: at least 95 %% of the outcomes reach the pressure "
            "claimed, contradicted: at most 5 %%, clear of what they scatter "
            "by (Wilson's interval), and not only as inputs of a kind differ. "
            "A reading under the claim's condition counts instead, "
            "with its accuracy as guard band (JCGM 106). Share of the "
            "variance: squared correlation.",
            fc_version(), fci_support_draws(result->draws).text, result->seed,
            result->varied, result->varied == 1 ? "" : "s");
    else
        fci_doc_say(doc,
                    "flushcalc %s; one outcome, as no input varies. A reading "
                    "under the claim's condition counts instead, with its "
                    "accuracy as guard band (JCGM 106).",
                    fc_version());
    for (size_t i = 0; i < result->n_basis; i++)
        fci_doc_say(doc, "%s: %s.", result->basis[i].what,
                    result->basis[i].text);
    fci_doc_say(doc,
                "Supported is not approval: the code, the authority having "
                "jurisdiction and a licensed practitioner decide.");
}

/* ---- The readings ------------------------------------------------------ */

struct fci_figure
fci_reading_shown(const struct fci_doc *doc, const fc_listed_reading *r)
{
    const fc_unit_system u = doc->units;
    struct fci_figure f = { "" };

    if (!isnan(r->pressure))
        return fci_figure_said(u, FC_PRESSURE, r->pressure);
    if (!isnan(r->flow))
        return fci_figure_said(u, FC_FLOW, r->flow);
    snprintf(f.text, sizeof f.text, "a flush of %.30s",
             fci_figure_said(u, FC_TIME, r->flush_time).text);
    return f;
}

static void
say_reading_of_file(struct fci_doc *doc, const fc_listed_reading *r)
{
    fci_doc_say(doc, "%s: %s at %s while %s, %s; gauge %s, within %s%s.",
                r->name, fci_reading_shown(doc, r).text, r->at, r->event,
                fci_state_phrase(r->state), r->gauge ? r->gauge : "not named",
                fci_figure_said(doc->units, FC_PRESSURE, r->within).text,
                r->within_said ? "" : " (common practice)");
    fci_doc_say(doc, "Used for: %s.", r->used_for ? r->used_for : "no claim");
    if (r->disagrees)
        fci_doc_say(doc, "Disagrees: %s.", r->disagrees);
}

static void
say_readings(struct fci_doc *doc, const fc_verify_result *result)
{
    if (result->n_readings == 0)
        return;
    fci_doc_heading(doc, "The readings");
    for (size_t i = 0; i < result->n_readings; i++)
        say_reading_of_file(doc, &result->readings[i]);
}

void
fci_verify_compose(struct fci_doc *doc, const void *what)
{
    const struct fci_verify_view *view = what;
    const fc_verify_result *result = view->result;
    const struct fci_found found = { result->findings, result->n_findings,
                                     FC_EXISTING };

    fci_part_title(doc, result->title);
    say_verdict(doc, result);
    fci_part_overrides(doc, result->overrides, result->n_overrides);
    print_claims(doc, result);
    fci_doc_heading(doc, "Why");
    for (size_t i = 0; i < result->n_claims; i++)
        say_claim(doc, &result->claims[i]);
    say_readings(doc, result);
    fci_part_findings(doc, &found, NULL);
    fci_part_assumptions(doc, result->assumptions, result->n_assumptions);
    say_method(doc, result);
    fci_part_cautions(doc);
}
