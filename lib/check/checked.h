/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/checked.h -- what the reports of the library share. */
#ifndef FCI_CHECK_CHECKED_H
#define FCI_CHECK_CHECKED_H

#include "check/events.h"
#include "readings/readings.h"

/* A judgement as the caller sees it, but for `decided_by` and what is too
 * high; texts in `arena`. */
fc_fixture_state fci_fixture_state(const struct fci_fixture *fixture,
                                   fc_state state,
                                   const struct fci_judgement *judgement,
                                   struct fci_arena *arena);
/* Readings speak against the site: it cannot be told. */
void fci_refute(fc_fixture_state *state, struct fci_arena *arena);
/* Too much pressure that is found in a model which readings refute may be. */
void fci_doubt_excess(fc_verdict *too_high, const fc_excess **excess,
                      struct fci_arena *arena);

/* As fc_check_with(), of a building that is not the one in which the readings
 * of the site were taken: weighed is what is given; NULL: no reading.  The
 * evidence must outlive the result. */
fc_status fci_check(const fc_site *site, const fc_check_options *options,
                    const struct fci_evidence *evidence,
                    fc_check_result **result, fc_diagnostics *messages);
/* One fixture of a building, judged in one state. */
struct fci_one {
    size_t fixture;
    fc_state state;
    bool told; /* with what is found of it and of what leads to it: in short
                  what a warning is, of that state; else of both states.  Not
                  told: the verdict alone */
};

/* As fc_check_with(), by the same judgement, of one fixture: the result has no
 * other, its states count that one, and in short nothing is judged in the
 * other state.  In the arena. */
fc_status
fci_check_one(const struct fci_judge *judge, const struct fci_one *one,
              const fc_check_options *options, struct fci_arena *arena,
              const fc_check_result **result, fc_diagnostics *messages);
/* What is too high, or may be, at peak and alone (`view` NULL: it was not
 * worked out), into the state. */
void fci_tell_excess(const fc_site *site, const struct fci_fixture *fixture,
                     const struct fci_judgement *judgement,
                     const struct fci_event_view *view, fc_fixture_state *s,
                     struct fci_arena *arena);
/* Too high before maybe too high, then by how much. */
bool fci_exceeds_more(const fc_excess *a, const fc_excess *b);
/* The pressure-reducing valve nearest upstream of an element's outlet; NULL:
 * there is none. */
const char *fci_reducer_over(const fc_site *site, size_t element);

/* Pressure-reducing valves and what they feed, into a state of the result
 * whose fixtures are judged (check/zones.c); false when out of memory. */
bool fci_tell_zones(const fc_site *site, const fc_check_result *result,
                    fc_state state, fc_checked_state *s,
                    struct fci_arena *arena);
/* Whether a governs before b: short before untold before works, then by the
 * margin. */
bool fci_governs(const fc_fixture_state *a, const fc_fixture_state *b);

/* The document alone, of the source of a table's figure: how it was read
 * comes after it.  NULL for NULL, or out of memory. */
const char *fci_document(struct fci_arena *arena, const char *source);

#endif
