/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/remedy_text.c -- the report of `size --remedy` for a person. */
#include "report/report.h"
#include "report/check_text.h"
#include "page/figure.h"
#include "report/shared.h"
#include "report/remedy_report.h"
#include "report/words.h"

static size_t
count_cures(const fc_remedies *remedies)
{
    size_t n = 0;

    for (size_t i = 0; i < remedies->n_remedies; i++)
        n += remedies->remedies[i].works;
    return n;
}

static void
say_verdict(struct fci_doc *doc, const fc_remedies *remedies)
{
    size_t cures = count_cures(remedies);

    if (remedies->check->n_contradictions > 0) {
        fci_doc_verdict(doc, FCI_UNSURE, "CANNOT TELL",
                        "what would cure it %s: gauge readings contradict the "
                        "file as entered.",
                        fci_state_phrase(remedies->state));
        fci_part_contradictions(doc, remedies->check->contradictions,
                                remedies->check->n_contradictions);
    } else if (remedies->works == FC_WORKS && remedies->too_high == FC_WORKS)
        fci_doc_verdict(doc, FCI_GOOD, "NOTHING TO CURE",
                        "%s: every fixture works.",
                        fci_state_phrase(remedies->state));
    else if (remedies->untested && remedies->n_remedies == 0)
        fci_doc_verdict(doc, FCI_UNSURE, "CANNOT TELL",
                        "%s: every fixture works while the main keeps its "
                        "static pressure, and how far it drops under flow is "
                        "not known.",
                        fci_state_phrase(remedies->state));
    else if (remedies->untested && cures > 0)
        fci_doc_verdict(doc, FCI_UNSURE, "CANNOT TELL",
                        "%s: %zu of %zu remedies would do alone if the main "
                        "kept its static pressure, and how far it drops under "
                        "flow is not known. Test its flow first.",
                        fci_state_phrase(remedies->state), cures,
                        remedies->n_remedies);
    else if (cures > 0 && remedies->works == FC_CANNOT_TELL)
        fci_doc_verdict(doc, FCI_UNSURE, "CANNOT TELL",
                        "%s whether anything needs a cure: measure first what "
                        "would settle it, below. In the worst case %zu of %zu "
                        "remedies work alone.",
                        fci_state_phrase(remedies->state), cures,
                        remedies->n_remedies);
    else if (cures > 0)
        fci_doc_verdict(doc, FCI_GOOD, "CURABLE",
                        "%s: %zu of %zu remedies would do alone.",
                        fci_state_phrase(remedies->state), cures,
                        remedies->n_remedies);
    else if (remedies->n_remedies == 0)
        fci_doc_verdict(doc, FCI_BAD, "NO CURE",
                        "%s: what fails is nothing that a lever here "
                        "changes.",
                        fci_state_phrase(remedies->state));
    else
        fci_doc_verdict(doc, FCI_BAD, "NO CURE",
                        "%s: none of the %zu remedies tried would do alone.",
                        fci_state_phrase(remedies->state),
                        remedies->n_remedies);
}

static void
say_cost(struct fci_doc *doc, const fc_remedies *remedies,
         const fc_remedy *remedy)
{
    if (remedy->n_pipes == 0)
        return;
    fci_doc_say(
        doc, "Pipes for %s %s.",
        fci_figure_number(remedy->cost, remedies->by_prices ? 2 : 1).text,
        remedies->by_prices ? "by the prices given" : "inch-feet");
    fci_remedy_pipes(doc, remedies, remedy);
}

/* Numbers are those of --pick. */
static void
print_remedies(struct fci_doc *doc, const fc_remedies *remedies, bool works)
{
    bool any = false;

    for (size_t i = 0; i < remedies->n_remedies; i++) {
        const fc_remedy *r = &remedies->remedies[i];

        if (r->works != works)
            continue;
        if (!any)
            fci_doc_heading(doc, works
                                     ? "What would do (numbers are for --pick)"
                                     : "What would not do alone");
        any = true;
        fci_doc_say(doc, "%zu.  %s", i + 1, r->text);
        if (works && r->too_high != FC_WORKS)
            fci_doc_say(doc, "Too much pressure stays where it is now.");
        say_cost(doc, remedies, r);
    }
}

static void
say_method(struct fci_doc *doc)
{
    fci_doc_heading(doc, "How it was worked out");
    fci_doc_say(
        doc,
        "flushcalc %s; each lever alone, and a higher pressure with pipes; "
        "every input at its worst end, as far as it has to go and no "
        "further. Each that would do was put into the site file and passed "
        "check; write it with --pick N --write FILE. What a lever other than "
        "pipes costs is not known here. No other levers were tried together, "
        "such as a reducer for a low zone with larger pipes for a high one.",
        fc_version());
}

void
fci_remedies_compose(struct fci_doc *doc, const void *what)
{
    const struct fci_remedies_view *view = what;
    const fc_remedies *remedies = view->remedies;
    const fc_check_result *check = remedies->check;

    fci_part_title(doc, remedies->title);
    say_verdict(doc, remedies);
    fci_part_overrides(doc, check->overrides, check->n_overrides);
    fci_doc_heading(doc, "As checked");
    fci_check_text_verdict(doc, check);
    if (remedies->n_remedies > 0)
        fci_doc_say(
            doc, "All that follows is for the worst case: every input at the "
                 "end of its range that leaves least.");
    print_remedies(doc, remedies, true);
    print_remedies(doc, remedies, false);
    fci_remedy_floors(doc, remedies);
    fci_remedy_windows(doc, remedies);
    fci_part_assumptions(doc, check->assumptions, check->n_assumptions);
    say_method(doc);
    fci_part_cautions(doc);
}
