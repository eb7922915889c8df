/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/shapes.h -- what several reports tell programs. */
#ifndef FCI_REPORT_SHAPES_H
#define FCI_REPORT_SHAPES_H

#include "page/shape.h"

/* The words of enums. */
extern const struct fci_words fci_verdict_words, /* fc_verdict */
    fci_too_high_words,                          /* fc_verdict of too much */
    fci_state_words,                             /* fc_state */
    fci_governor_words, fci_reading_words;

/* Of fc_finding, fc_contradiction, fc_override, fc_proviso, fc_excess. */
extern const struct fci_shape fci_finding_shape, fci_contradiction_shape,
    fci_override_shape, fci_proviso_shape, fci_excess_shape;
/* Of fc_flushing: what is open of a fixture. */
extern const struct fci_shape fci_flushed_shape;
/* Of fc_fixture_state: what a fixture is judged by. */
extern const struct fci_shape fci_end_shape;

/* Of fc_check_result: findings, overrides, assumptions and cautions. */
extern const struct fci_shape fci_told_shape;

/* Of all reports. */
const void *fci_get_cautions(struct fci_at at, union fci_value *room);
#define FCI_CAUTIONS_ROW                                                      \
    FCI_GET("cautions", FCI_M_TEXTS, FC_NUMBER, fci_get_cautions,             \
            "The customary cautions of the trade")

#endif
