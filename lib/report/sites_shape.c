/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/sites_shape.c -- what `check` of several sites tells programs: a
 * line each. */
#include "report/check_shape.h"
#include "report/shapes.h"

static const struct fci_member state_rows[] = {
    FCI_WORD(fc_site_state, works, "verdict", &fci_verdict_words,
             "Whether it works"),
    FCI_WORD(fc_site_state, too_high, "too_high", &fci_too_high_words,
             "Whether some fixture has too much pressure"),
    FCI_COUNT(fc_site_state, working, "fixtures_working",
              "Fixtures that work, each counted"),
    FCI_COUNT(fc_site_state, failing, "fixtures_failing",
              "Fixtures that do not"),
    FCI_COUNT(fc_site_state, unclear, "fixtures_unclear",
              "Fixtures that are not certain"),
    FCI_TEXT(fc_site_state, governing, "governing_fixture",
             "The fixture with the least margin; null: nothing is required"),
    FCI_RANGE(fc_site_state, margin, "margin", FC_PRESSURE,
              "Its flowing pressure at peak less what is required"),
    FCI_PLAIN_IF("at_once", FCI_M_INTEGER, FC_NUMBER, fc_site_state, at_once,
                 flushes, "Flush valves that starve none when open at once"),
    FCI_PLAIN_IF("at_once_worst", FCI_M_INTEGER, FC_NUMBER, fc_site_state,
                 at_once_worst, flushes, "The same in the worst case"),
};
static FCI_SHAPE(state_shape, "site_state", fc_site_state, state_rows,
                 "One of several sites in one state");

static const void *
after_retrofit(struct fci_at at, union fci_value *room)
{
    const fc_site_line *line = at.object;

    (void)room;
    return line->calculated && line->judged == FC_RETROFIT
               ? &line->states[FC_RETROFIT]
               : NULL;
}

static const struct fci_member found_rows[] = {
    FCI_WORD_IF(fc_site_line, works, calculated, "verdict", &fci_verdict_words,
                "Whether the building works; null: it could not be "
                "calculated"),
    FCI_WORD_IF(fc_site_line, too_high, calculated, "too_high",
                &fci_too_high_words,
                "Whether some fixture has too much pressure"),
    FCI_ANY_TEXT(fc_site_line, reason, "reason",
                 "What that rests on, in a word or two"),
    FCI_PLAIN_IF("warnings", FCI_M_COUNT, FC_NUMBER, fc_site_line, n_warnings,
                 calculated, "How many warnings its own report has"),
    FCI_COUNT(fc_site_line, n_errors, "errors",
              "Messages that say why it could not be calculated"),
    FCI_OBJECT_IF(fc_site_line, states[FC_EXISTING], calculated, "existing",
                  &state_shape, "The building, existing"),
    FCI_GET_OBJECT("retrofit", &state_shape, after_retrofit,
                   "The building, after retrofit; null: it is not converted"),
};
FCI_SHAPE(fci_site_line_shape, "site_found", fc_site_line, found_rows,
          "What was found of one site, in short");

static const struct fci_member line_rows[] = {
    FCI_TEXT(fc_site_line, path, "path", "The site file, as it was named"),
    FCI_TEXT(fc_site_line, title, "title", "Title of the site"),
    FCI_SPREAD_ITSELF(&fci_site_line_shape),
    FCI_TEXTS(fc_site_line, overrides, n_overrides, "overrides",
              "What the file sets otherwise than the code or the tables"),
};
static FCI_SHAPE(line_shape, "site_line", fc_site_line, line_rows,
                 "One of several sites checked, a line each, the worst first");

static const struct fci_member sites_rows[] = {
    FCI_LIST(fc_checked_sites, lines, n_lines, "sites", &line_shape,
             "The sites, the worst first"),
};
FCI_SHAPE(fci_sites_shape, "sites", fc_checked_sites, sites_rows,
          "Several sites checked");
