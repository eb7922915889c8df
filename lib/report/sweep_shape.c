/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/sweep_shape.c -- what `check --sweep` tells programs. */
#include "report/check_shape.h"
#include "report/shapes.h"

static const struct fci_member step_rows[] = {
    FCI_TEXT(fc_sweep_step, value, "value",
             "The value, as a site file has it"),
    FCI_NUMBER(fc_sweep_step, figure, "figure",
               "Its number; of a size its place in the table"),
    FCI_SPREAD_IN(fc_sweep_step, line, &fci_site_line_shape),
    FCI_TEXT(fc_sweep_step, error, "error",
             "Why it is not calculated; null: it is"),
};
static FCI_SHAPE(step_shape, "sweep_step", fc_sweep_step, step_rows,
                 "The site with one value of the input");

static const struct fci_member flip_rows[] = {
    FCI_TEXT(fc_sweep_flip, text, "text", "In words"),
    FCI_OBJECT(fc_sweep_flip, before, "before", &step_shape,
               "The last value before it"),
    FCI_OBJECT(fc_sweep_flip, after, "after", &step_shape,
               "Its neighbor, where the verdict is another"),
};
static FCI_SHAPE(flip_shape, "sweep_flip", fc_sweep_flip, flip_rows,
                 "Where a verdict flips");

static const struct fci_member sweep_rows[] = {
    FCI_TEXT(fc_sweep_result, input, "input", "What is swept"),
    FCI_TEXT(fc_sweep_result, was, "file",
             "What the file has for it; null: nothing, or several values"),
    FCI_TEXT(fc_sweep_result, unit, "unit", "The unit of its figures"),
    FCI_SPREAD_IN(fc_sweep_result, given, &fci_site_line_shape),
    FCI_LIST(fc_sweep_result, steps, n_steps, "steps", &step_shape,
             "The steps"),
    FCI_LIST(fc_sweep_result, flips, n_flips, "flips", &flip_shape,
             "Where a verdict flips between steps"),
    FCI_TEXTS(fc_sweep_result, told, n_told, "told",
              "Of each state a sentence: where its verdicts flip"),
};
FCI_SHAPE(fci_sweep_shape, "sweep", fc_sweep_result, sweep_rows,
          "One input of a site, step by step");
