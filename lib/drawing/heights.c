/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/heights.c -- heights in a drawing; see
 * heights.h. */
#include "drawing/heights.h"

#include <stdlib.h>

#define SAME 1e-6 /* m */

static int
by_height(const void *a, const void *b)
{
    const double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

bool
fci_heights_make(struct fci_heights *made, double *heights, size_t n,
                 double scale, double longest, double cut,
                 struct fci_arena *arena)
{
    size_t i, last = 0;

    *made = (struct fci_heights){ .scale = scale, .height = heights };
    made->px = fci_arena_array(arena, n + 1, sizeof *made->px);
    made->broken = fci_arena_array(arena, n + 1, sizeof *made->broken);
    if (arena->failed)
        return false;
    qsort(heights, n, sizeof *heights, by_height);
    for (i = 1; i < n; i++) {
        const double rise = heights[i] - heights[last];

        if (rise < SAME)
            continue;
        made->broken[last] = rise > longest && scale * rise > cut;
        made->any_broken |= made->broken[last];
        made->px[last + 1] =
            made->px[last] + (made->broken[last] ? cut : scale * rise);
        heights[++last] = heights[i];
    }
    made->n = n > 0 ? last + 1 : 0;
    return true;
}

double
fci_heights_at(const struct fci_heights *heights, double height)
{
    size_t low = 0, high = heights->n;

    while (high - low > 1) {
        const size_t middle = low + (high - low) / 2;

        if (heights->height[middle] <= height + SAME)
            low = middle;
        else
            high = middle;
    }
    return heights->px[low];
}
