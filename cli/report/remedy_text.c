/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/remedy_text.c -- the report of `size --remedy` for a person. */
#include "report/check_text.h"
#include "page/figure.h"
#include "report/shared.h"
#include "report/remedy_report.h"
#include "page/words.h"

static size_t
count_cures(const fc_remedies *remedies)
{
    size_t n = 0;

    for (size_t i = 0; i < remedies->n_remedies; i++)
        n += remedies->remedies[i].works;
    return n;
}

static void
say_verdict(struct page *page, const fc_remedies *remedies)
{
    size_t cures = count_cures(remedies);

    if (remedies->check->n_contradictions > 0) {
        page_say_tinted(page, TINT_UNSURE, "CANNOT TELL",
                        "what would cure it %s: gauge readings contradict the "
                        "file as entered.",
                        state_phrase(remedies->state));
        part_contradictions(page, remedies->check->contradictions,
                            remedies->check->n_contradictions);
    } else if (remedies->works == FC_WORKS && remedies->too_high == FC_WORKS)
        page_say_tinted(page, TINT_GOOD, "NOTHING TO CURE",
                        "%s: every fixture works.",
                        state_phrase(remedies->state));
    else if (remedies->untested && remedies->n_remedies == 0)
        page_say_tinted(page, TINT_UNSURE, "CANNOT TELL",
                        "%s: every fixture works while the main keeps its "
                        "static pressure, and how far it drops under flow is "
                        "not known.",
                        state_phrase(remedies->state));
    else if (remedies->untested && cures > 0)
        page_say_tinted(page, TINT_UNSURE, "CANNOT TELL",
                        "%s: %zu of %zu remedies would do alone if the main "
                        "kept its static pressure, and how far it drops under "
                        "flow is not known. Test its flow first.",
                        state_phrase(remedies->state), cures,
                        remedies->n_remedies);
    else if (cures > 0 && remedies->works == FC_CANNOT_TELL)
        page_say_tinted(page, TINT_UNSURE, "CANNOT TELL",
                        "%s whether anything needs a cure: measure first what "
                        "would settle it, below. In the worst case %zu of %zu "
                        "remedies work alone.",
                        state_phrase(remedies->state), cures,
                        remedies->n_remedies);
    else if (cures > 0)
        page_say_tinted(page, TINT_GOOD, "CURABLE",
                        "%s: %zu of %zu remedies would do alone.",
                        state_phrase(remedies->state), cures,
                        remedies->n_remedies);
    else if (remedies->n_remedies == 0)
        page_say_tinted(page, TINT_BAD, "NO CURE",
                        "%s: what fails is nothing that a lever here "
                        "changes.",
                        state_phrase(remedies->state));
    else
        page_say_tinted(page, TINT_BAD, "NO CURE",
                        "%s: none of the %zu remedies tried would do alone.",
                        state_phrase(remedies->state), remedies->n_remedies);
}

static void
say_cost(struct page *page, const fc_remedies *remedies,
         const fc_remedy *remedy)
{
    if (remedy->n_pipes == 0)
        return;
    page_say(page, 6, 6, "Pipes for %s %s.",
             figure_number(remedy->cost, remedies->by_prices ? 2 : 1).text,
             remedies->by_prices ? "by the prices given" : "inch-feet");
    remedy_pipes(page, remedies, remedy);
}

/* Numbers are those of --pick. */
static void
print_remedies(struct page *page, const fc_remedies *remedies, bool works)
{
    bool any = false;

    for (size_t i = 0; i < remedies->n_remedies; i++) {
        const fc_remedy *r = &remedies->remedies[i];

        if (r->works != works)
            continue;
        if (!any)
            page_heading(page, works ? "What would do (numbers are for --pick)"
                                     : "What would not do alone");
        any = true;
        page_say(page, 2, 6, "%zu.  %s", i + 1, r->text);
        if (works && r->too_high != FC_WORKS)
            page_say(page, 6, 6, "Too much pressure stays where it is now.");
        say_cost(page, remedies, r);
    }
}

static void
say_method(struct page *page)
{
    page_heading(page, "How it was worked out");
    page_say(
        page, 2, 2,
        "flushcalc %s; each lever alone, and a higher pressure with pipes; "
        "every input at its worst end, as far as it has to go and no "
        "further. Each that would do was put into the site file and passed "
        "check; write it with --pick N --write FILE. What a lever other than "
        "pipes costs is not known here. No other levers were tried together, "
        "such as a reducer for a low zone with larger pipes for a high one.",
        fc_version());
}

void
remedy_text(struct page *page, const fc_remedies *remedies)
{
    const fc_check_result *check = remedies->check;

    part_title(page, remedies->title);
    say_verdict(page, remedies);
    part_overrides(page, check->overrides, check->n_overrides);
    page_heading(page, "As checked");
    check_text_verdict(page, check);
    if (remedies->n_remedies > 0)
        page_say(page, 0, 0,
                 "All that follows is for the worst case: every input at the "
                 "end of its range that leaves least.");
    print_remedies(page, remedies, true);
    print_remedies(page, remedies, false);
    remedy_floors(page, remedies);
    remedy_windows(page, remedies);
    part_assumptions(page, check->assumptions, check->n_assumptions);
    say_method(page);
    part_cautions(page);
}
