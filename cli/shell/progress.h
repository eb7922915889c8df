/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/progress.h -- how far a long calculation is, told on a terminal.
 */
#ifndef CLI_SHELL_PROGRESS_H
#define CLI_SHELL_PROGRESS_H

#include <stdbool.h>
#include <time.h>

struct progress {
    bool wanted; /* somebody may be watching */
    struct timespec start;
    int shown; /* the per cent on the line; -1: there is none */
};

void progress_start(struct progress *progress);
/* For fc_check_options: tells what is done, 0 to 1, of a calculation that has
 * lasted for over a second. */
void progress_show(void *progress, double done);
/* The line goes without a trace. */
void progress_wipe(struct progress *progress);

#endif
