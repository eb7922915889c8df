/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/shell/progress.c -- how far a long calculation is, told on a terminal.
 */
#include "shell/progress.h"

#include <stdio.h>
#include <string.h>
#include <unistd.h>

#define PATIENCE 1.0 /* s, for which nothing is told */

static const char line[] = "flushcalc: calculating, ";

void
progress_start(struct progress *progress)
{
    progress->wanted =
        isatty(STDERR_FILENO)
        && clock_gettime(CLOCK_MONOTONIC, &progress->start) == 0;
    progress->shown = -1;
}

static double
seconds_since(const struct timespec *start)
{
    struct timespec now;

    if (clock_gettime(CLOCK_MONOTONIC, &now) != 0)
        return 0.0;
    return (double)(now.tv_sec - start->tv_sec)
           + 1e-9 * (double)(now.tv_nsec - start->tv_nsec);
}

void
progress_show(void *context, double done)
{
    struct progress *progress = context;
    int percent = done >= 1.0 ? 100 : done > 0.0 ? (int)(100.0 * done) : 0;

    if (!progress->wanted || percent == progress->shown
        || !(seconds_since(&progress->start) > PATIENCE))
        return;
    progress->shown = percent;
    fprintf(stderr, "\r%s%3d%%", line, percent);
    fflush(stderr);
}

void
progress_wipe(struct progress *progress)
{
    int width = (int)strlen(line) + (int)strlen("100%");

    if (progress->shown >= 0)
        fprintf(stderr, "\r%*s\r", width, "");
    progress->shown = -1;
}
