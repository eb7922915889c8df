/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/fixture_why.c -- why a fixture is judged as it is, in sentences.
 */
#include "ground/text_stream.h"
#include "page/figure.h"
#include "report/shared.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* "31.8 psi", "30.1 to 38.0 psi", with at least so many decimals. */
static struct fci_figure
said_range(fc_unit_system u, int decimals, fc_range range)
{
    const bool differs = fci_figure_differs(u, FC_PRESSURE, range);
    struct fci_figure f = { "" };

    if (differs)
        snprintf(
            f.text, sizeof f.text, "%.18s to ",
            fci_figure_with(u, FC_PRESSURE, FC_NEAREST, decimals, range.low)
                .text);
    snprintf(f.text + strlen(f.text), sizeof f.text - strlen(f.text),
             "%.16s %.6s",
             fci_figure_with(u, FC_PRESSURE, FC_NEAREST, decimals,
                             differs ? range.high : range.nominal)
                 .text,
             fc_unit_name(u, FC_PRESSURE));
    return f;
}

static struct fci_figure
said_between(fc_unit_system units, fc_range range)
{
    return said_range(units, 0, range);
}

/* "code minimum, IPC 2018, Table 604.3" */
static void
say_governor(FILE *out, const fc_fixture_state *end)
{
    if (end->governed_by == FC_VALVE_GOVERNS)
        fputs("valve minimum", out);
    else if (end->code_source)
        fprintf(out, "code minimum, %s", end->code_source);
    else
        fputs("code minimum", out);
}

static void
say_ceiling(struct fci_doc *doc, fc_range static_pressure,
            const fc_fixture_state *end)
{
    const bool both =
        end->governed_by == FC_CODE_GOVERNS && end->valve_minimum.given;
    fc_range least = end->required;
    char *governor = NULL;
    size_t size;
    FILE *out = fci_text_stream(&governor, &size);

    least.nominal -= end->reserve;
    least.low -= end->reserve;
    least.high -= end->reserve;
    if (out)
        say_governor(out, end);
    if (!out || fclose(out) != 0) {
        doc->failed = true;
        free(governor);
        return;
    }
    fci_doc_say(doc, "Static %s; required flowing %s (%s%s%s).",
                said_between(doc->units, static_pressure).text,
                said_between(doc->units, least).text, governor,
                both ? "; valve minimum " : "",
                both ? said_between(doc->units, end->valve_minimum).text : "");
    free(governor);
    if (end->reserve > 0.0)
        fci_doc_say(
            doc,
            "Reserve: %s on top of that, set by the site file; margins "
            "count it.",
            fci_figure_said(doc->units, FC_PRESSURE, end->reserve).text);
}

/* "flowing 31.8 psi"; below zero there is nothing, but the figure counts. */
static struct fci_figure
said_flowing(fc_unit_system units, fc_range flowing)
{
    struct fci_figure f;

    if (flowing.high > 0.0)
        snprintf(f.text, sizeof f.text, "flowing %.38s",
                 said_between(units, flowing).text);
    else
        snprintf(f.text, sizeof f.text, "no flow (%.28s)",
                 fci_figure_range_said(units, FC_PRESSURE, flowing).text);
    return f;
}

static void
say_margin(struct fci_doc *doc, const fc_fixture_state *end)
{
    const fc_unit_system u = doc->units;
    const fc_range m = end->margin;
    const bool differs = fci_figure_differs(u, FC_PRESSURE, m);
    const struct fci_figure low =
        fci_figure_margin_said(u, FC_PRESSURE, m.low);
    const struct fci_figure high =
        fci_figure_margin_said(u, FC_PRESSURE, m.high);
    const struct fci_figure flowing = said_flowing(u, end->flowing);
    char margin[160];

    if (m.low >= 0.0)
        snprintf(margin, sizeof margin, "%.40s to spare%s", low.text,
                 differs ? " (worst case)" : "");
    else if (m.high < 0.0 && !differs)
        snprintf(margin, sizeof margin, "short by %.40s", low.text);
    else
        snprintf(margin, sizeof margin,
                 "short by %.40s in the worst case, %.40s%s in the best",
                 low.text, high.text, m.high < 0.0 ? "" : " to spare");
    fci_doc_say(doc, "At peak: %s; %s.", flowing.text, margin);
}

void
fci_part_ceiling(struct fci_doc *doc, const char *fixture,
                 fc_range static_pressure, const fc_fixture_state *end)
{
    if (end->required.given && static_pressure.given
        && static_pressure.high < end->required.low)
        fci_doc_say(
            doc,
            "Static ceiling: %s has %s static and requires %s flowing; "
            "no pipe can fix this.",
            fixture, said_between(doc->units, static_pressure).text,
            said_between(doc->units, end->required).text);
}

void
fci_part_why(struct fci_doc *doc, fc_range static_pressure,
             const fc_fixture_state *end)
{
    if (!end->required.given) {
        fci_doc_say(doc, "Neither the code nor a valve requires a flowing "
                         "pressure.");
        return;
    }
    say_ceiling(doc, static_pressure, end);
    if (!end->margin.given) {
        fci_doc_say(doc, "Its flowing pressure at peak is not known.");
        return;
    }
    say_margin(doc, end);
    if (end->decided_by && *end->decided_by)
        fci_doc_say(doc, "What would settle it: %s.", end->decided_by);
}

static bool
is_on(const fc_path *path, const char *element)
{
    for (size_t i = 0; i < path->n_steps; i++)
        if (strcmp(path->steps[i].element, element) == 0)
            return true;
    return false;
}

void
fci_part_beyond(struct fci_doc *doc, const struct fci_found *found,
                const fc_path *path)
{
    for (size_t i = 0; i < found->n; i++) {
        const fc_finding *f = &found->findings[i];
        const bool beyond = f->code == FC_FOUND_METER
                            || f->code == FC_FOUND_CURVE
                            || f->code == FC_FOUND_FLOW_TEST;

        if (beyond && f->severity == FC_WARN
            && (f->states == 0 || (f->states & FC_IN(path->state)))
            && is_on(path, f->subject))
            fci_doc_say(doc, "On the way, %s: %s.", f->subject, f->text);
    }
}

void
fci_part_too_high(struct fci_doc *doc, const fc_excess *excess,
                  const char *fixture, size_t more)
{
    const bool may = excess->too_high != FC_WILL_NOT_WORK;
    const fc_unit_system u = doc->units;
    const int decimals =
        fci_figure_apart(u, FC_PRESSURE, excess->maximum, excess->pressure);
    static const char *const limits[] = { "limit", "its valve's limit",
                                          "its own limit" };
    char others[40] = "", what[96];

    if (more > 0)
        snprintf(others, sizeof others, " and %zu more", more);
    if (excess->static_alone) {
        fci_doc_verdict(
            doc, may ? FCI_UNSURE : FCI_BAD,
            may ? "MAY BE TOO HIGH:" : "TOO HIGH:",
            "static %s at %s is above its %s rating, even before %s%s closes; "
            "needs a PRV before it, or what is rated higher.",
            said_range(u, decimals, excess->pressure).text, excess->surge_at,
            said_range(u, decimals, fc_exactly(excess->maximum)).text, fixture,
            others);
        return;
    }
    if (excess->surge_at) {
        fci_doc_verdict(
            doc, may ? FCI_UNSURE : FCI_BAD,
            may ? "MAY BE TOO HIGH:" : "TOO HIGH:",
            "static + surge %s at %s as %s%s closes, rated %s; close it "
            "slower or put in an arrester.",
            said_range(u, decimals, excess->pressure).text, excess->surge_at,
            fixture, others,
            said_range(u, decimals, fc_exactly(excess->maximum)).text);
        return;
    }
    if (may)
        snprintf(what, sizeof what, "read a gauge there %s",
                 excess->flowing ? "while it flushes alone"
                                 : "while all is shut");
    else if (excess->flowing)
        snprintf(what, sizeof what, "throttle its stop");
    else if (excess->reducer)
        snprintf(what, sizeof what, "lower the set pressure of PRV %.60s",
                 excess->reducer);
    else
        snprintf(what, sizeof what, "needs a PRV");
    fci_doc_verdict(
        doc, may ? FCI_UNSURE : FCI_BAD,
        may ? "MAY BE TOO HIGH:" : "TOO HIGH:", "%s %s at %s%s, %s %s; %s.",
        excess->flowing ? "flowing" : "static",
        said_range(u, decimals, excess->pressure).text, fixture, others,
        limits[excess->maximum_of],
        said_range(u, decimals, fc_exactly(excess->maximum)).text, what);
}

void
fci_part_spare(struct fci_doc *doc, fc_range spare, bool building)
{
    fc_unit_system u = doc->units;
    struct fci_figure low = fci_figure_margin_said(u, FC_PRESSURE, spare.low);
    struct fci_figure high =
        fci_figure_margin_said(u, FC_PRESSURE, spare.high);
    bool one = !fci_figure_differs(u, FC_PRESSURE, spare);
    const char *until = building ? "before the first fixture is short"
                                 : "before this fixture is short";
    const char *enough = building ? "for no fixture to be short"
                                  : "for this fixture to have enough";

    if (!spare.given)
        return;
    if (spare.low >= 0.0)
        fci_doc_say(doc, "The supply may fall by %s%s %s.", low.text,
                    one ? "" : " (worst case)", until);
    else if (spare.high < 0.0 && one)
        fci_doc_say(doc, "The supply must rise by %s %s.", low.text, enough);
    else if (spare.high < 0.0)
        fci_doc_say(
            doc,
            "The supply must rise by %s in the best case, %s in the worst, "
            "%s.",
            high.text, low.text, enough);
    else
        fci_doc_say(doc,
                    "Best case: the supply may fall by %s %s. Worst case: it "
                    "must rise by %s.",
                    high.text, until, low.text);
}
