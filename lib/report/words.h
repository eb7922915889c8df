/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/words.h -- the library's judgements in words. */
#ifndef FCI_PAGE_WORDS_H
#define FCI_PAGE_WORDS_H

#include "page/document.h"

const char *fci_verdict_word(fc_verdict verdict); /* for programs: "yes" */
const char *
fci_site_verdict_word(fc_verdict verdict); /* in a table: "works" */
/* The same of a fixture; one that fails for want of pressure is "short". */
const char *fci_fixture_verdict_word(const fc_fixture_state *end);
enum fci_tint fci_verdict_tint(fc_verdict verdict);
/* Of a verdict on too much pressure, for programs: "no" where it works. */
const char *fci_too_high_word(fc_verdict too_high);
/* The worse of two, as the exit status counts them. */
fc_verdict fci_worse_verdict(fc_verdict a, fc_verdict b);
/* NULL where the building is not converted. */
const char *fci_change_word(fc_change change);
enum fci_tint fci_change_tint(fc_change change);
/* "code", "valve"; NULL where nothing governs. */
const char *fci_governor_word(fc_governor governor);
/* "next row", "interpolate" */
const char *fci_reading_word(fc_demand_reading reading);
/* The kind of an element as it is said: "PRV", "backflow preventer". */
const char *fci_kind_said(const char *kind);
const char *fci_severity_word(fc_severity severity);
const char *fci_state_word(fc_state state);
/* The same of the one state that a finding concerns; NULL: not just one. */
const char *fci_finding_state_word(const fc_finding *f);
/* "as it stands", "after the retrofit" */
const char *fci_state_phrase(fc_state state);
/* The state that is judged: the one to be, where there is one. */
fc_state fci_judged_state(const fc_check_result *result);

#endif
