/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/quick/site_lines.h -- figures as lines of a site file. */
#ifndef FCI_QUICK_SITE_LINES_H
#define FCI_QUICK_SITE_LINES_H

#include "quick/model.h"

#include <stdio.h>

/* In the units of the file. */
double fci_quick_us(fc_dimension dimension, double si);
/* Rounded down or up to what a gauge shows, 0.1. */
double fci_quick_rounded(double value, bool up);
/* What was given; NULL: nothing. */
const char *fci_quick_said(const struct fci_quick_model *model,
                           enum fci_quick_key key);
/* The same, where a file can hold it; else NULL. */
const char *fci_quick_written(const struct fci_quick_model *model,
                              enum fci_quick_key key);
/* "19.3..23 psi", or one figure, without the end of its line, or with it. */
void fci_quick_put_figure(FILE *out, const char *key, fc_dimension dimension,
                          fc_range range);
void fci_quick_put_range(FILE *out, const char *key, fc_dimension dimension,
                         fc_range range);
/* What is lost while so many flush, or at least while as many as are asked
 * for. */
void fci_quick_put_loss(FILE *out, const char *key,
                        const struct fci_quick_model *model, fc_range loss,
                        int flushing);
void fci_quick_put_least_loss(FILE *out, const struct fci_quick_model *model,
                              double loss);

#endif
