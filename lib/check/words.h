/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/words.h -- what a check found, in words. */
#ifndef FCI_CHECK_WORDS_H
#define FCI_CHECK_WORDS_H

#include "check/decide.h"
#include "check/judge.h"
#include "words/findings.h"

/* What was found and assumed, and what it is about. */
struct fci_check_words {
    const struct fci_judge *judge;
    struct fci_findings found;
};

/* All that one judgement gives rise to.  `other` is the judgement in the other
 * state, or NULL.  `decided_by` where it cannot be told. */
void fci_find_fixture(struct fci_check_words *w,
                      const struct fci_fixture *fixture, fc_state state,
                      const struct fci_judgement *judgement,
                      const struct fci_judgement *other,
                      const char *decided_by);
/* Pipes, devices and the source, in a state; those alone that lead to
 * `fixture`, where that is not FCI_NONE. */
void fci_find_elements(struct fci_check_words *w, fc_state state,
                       size_t fixture);
/* Where the pressure to spare, or to be found, meets another limit first
 * (check/spare_words.c); the states of the result are filled in. */
void fci_find_spare(struct fci_check_words *w, const fc_check_result *result,
                    fc_state state);
/* What concerns the whole building and no state (check/site_words.c); of it
 * what is said of its source. */
void fci_find_site(struct fci_check_words *w);
void fci_find_untested_main(struct fci_check_words *w);
/* What the file sets otherwise than the code has it (check/overrides.c). */
void fci_find_overrides(struct fci_check_words *w);
/* Of a site that is not checked, its texts in `arena`. */
fc_status fci_overrides_of(const fc_site *site, struct fci_arena *arena,
                           struct fci_told *told);
/* What was assumed, not given, and what of it does to a fixture (FCI_NONE: to
 * none) (check/assumptions.c). */
void fci_assume_all(struct fci_check_words *w, size_t fixture, fc_state state);
/* Of it what is usual (check/assume_usual.c). */
void fci_assume_usual(struct fci_check_words *w, size_t fixture,
                      fc_state state);
/* What the site's own tables file has otherwise. */
void fci_assume_amendments(struct fci_check_words *w);
/* Of it what concerns peak demand (check/assume_peak.c). */
void fci_assume_peak(struct fci_check_words *w);

/* "wc-1, wc-2, wc-3 and 9 more" from the names of the fixtures that `belongs`
 * picks; NULL when none does or memory is out. */
const char *fci_name_some(struct fci_check_words *w,
                          bool (*belongs)(const struct fci_check_words *w,
                                          const struct fci_fixture *fixture,
                                          const void *data),
                          const void *data);

#endif
