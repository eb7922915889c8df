/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/report/shared.c -- title, assumptions and cautions. */
#include "report/shared.h"

#include <ctype.h>

static void
say_title(struct page *page, const char *title)
{
    page_say(page, 0, 0, "%s", title ? title : "Site without a title");
}

void
part_title(struct page *page, const char *title)
{
    say_title(page, title);
    page_blank(page);
}

void
part_heading(struct page *page, const fc_check_result *result)
{
    say_title(page, result->title);
    if (result->address)
        page_say(page, 0, 0, "%s", result->address);
    if (result->prepared_by && result->date)
        page_say(page, 0, 0, "Prepared by %s, %s", result->prepared_by,
                 result->date);
    else if (result->prepared_by)
        page_say(page, 0, 0, "Prepared by %s", result->prepared_by);
    else if (result->date)
        page_say(page, 0, 0, "%s", result->date);
    page_blank(page);
}

#define MOST_CONTRADICTIONS 3

void
part_contradictions(struct page *page, const fc_contradiction *list, size_t n)
{
    for (size_t i = 0; i < n && i < MOST_CONTRADICTIONS; i++)
        page_say(page, 2, 4, "%s", list[i].text);
    if (n > MOST_CONTRADICTIONS)
        page_say(page, 2, 4, "and %zu more contradictions of gauge readings.",
                 n - MOST_CONTRADICTIONS);
}

void
part_overrides(struct page *page, const fc_override *overrides, size_t n)
{
    for (size_t i = 0; i < n; i++)
        page_say(page, 0, 2, "%s", overrides[i].text);
}

void
part_assumptions(struct page *page, const char *const *assumptions, size_t n)
{
    if (n == 0)
        return;
    page_heading(page, "Assumed, not given");
    for (size_t i = 0; i < n; i++)
        page_say(page, 2, 4, "- %s", assumptions[i]);
}

void
part_cautions(struct page *page)
{
    page_heading(page, "Cautions");
    for (const char *const *caution = fc_cautions(); *caution; caution++)
        page_say(page, 2, 4, "- %s", *caution);
}

void
part_proviso(struct page *page, const fc_proviso *proviso)
{
    if (!proviso->given)
        return;
    page_say(page, 0, 2, "%c%s. To settle it: %s.",
             toupper((unsigned char)*proviso->text), proviso->text + 1,
             proviso->measure);
}
