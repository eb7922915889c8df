/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/surge_way.c -- the way from a flush valve to its source, as a
 * wave meets it.
 *
 * A wave is fastest, and a surge largest, in a narrow pipe of stiff material
 * that is anchored throughout (restraint 1 - nu^2), and least in a wide one
 * that gives and can move (1).  Where the elasticity or the wall is not known
 * the pipe counts as rigid.
 */
#include "effects/surge_way.h"
#include "laws/surge.h"
#include "laws/water.h"
#include "site/pipe_size.h"

#include <math.h>

#define PI 3.14159265358979323846

static bool
is_elastic(const struct fci_pipe *pipe)
{
    return pipe->material && pipe->material->modulus.given && pipe->size
           && pipe->size->wall > 0 && fci_is_exact(pipe->given->size);
}

static double
wave_speed(const struct fci_surge_site *of, const struct fci_pipe *pipe,
           double bore, enum fci_end end)
{
    const double nu = is_elastic(pipe) ? pipe->material->poisson : 0;
    const double held = end == FCI_WORST  ? 1 - nu * nu
                        : end == FCI_BEST ? 1
                                          : 1 - nu * nu / 2;

    if (!is_elastic(pipe))
        return of->sound;
    return fci_wave_speed(
        of->sound, of->density, bore, pipe->size->wall,
        fci_less_is_worse(pipe->material->modulus, fci_other_end(end)), held);
}

static void
find_pipe(struct fci_surge_site *of, size_t at)
{
    const struct fci_pipe *pipe = of->site->elements[at].pipe;
    const fc_range bore = fci_pipe_bore(pipe);

    of->rigid[at] = !is_elastic(pipe);
    for (int end = 0; end < FCI_ENDS; end++) {
        const double d = fci_less_is_worse(bore, (enum fci_end)end);

        of->pipes[at * FCI_ENDS + (size_t)end] = (struct fci_wave_pipe){
            .length = fci_more_is_worse(pipe->length, (enum fci_end)end),
            .area = PI / 4 * d * d,
            .speed = wave_speed(of, pipe, d, (enum fci_end)end),
        };
    }
}

bool
fci_surge_site_make(struct fci_surge_site *of, const fc_site *site,
                    struct fci_arena *arena)
{
    const double t = site->settings.water_temperature.nominal;

    of->site = site;
    of->sound = fci_water_sound(t);
    of->density = fci_water_density(t);
    of->pipes =
        fci_arena_array(arena, site->n_elements * FCI_ENDS, sizeof *of->pipes);
    of->rigid = fci_arena_array(arena, site->n_elements, sizeof *of->rigid);
    of->children =
        fci_arena_array(arena, site->n_elements, sizeof *of->children);
    if (arena->failed)
        return false;
    for (size_t i = 0; i < site->n_elements; i++) {
        if (site->elements[i].parent != FCI_NONE
            && !fci_is_second(&site->elements[i]))
            of->children[site->elements[i].parent]++;
        if (site->elements[i].pipe)
            find_pipe(of, i);
    }
    return fci_surge_follow(of, arena);
}

/* At all three ends. */
static bool
same_pipe(const struct fci_wave_pipe *a, const struct fci_wave_pipe *b)
{
    for (int end = 0; end < FCI_ENDS; end++)
        if (fabs(a[end].area - b[end].area) > 1e-9 * a[end].area
            || fabs(a[end].speed - b[end].speed) > 1e-9 * a[end].speed)
            return false;
    return true;
}

/* The pipes of the first run: whether element i of the way goes on from it. */
static bool
goes_on(const struct fci_surge_way *way, const struct fci_surge_site *of,
        size_t i)
{
    const size_t at = way->elements[i];
    const struct fci_wave_pipe *pipe = &of->pipes[at * FCI_ENDS];

    if (of->children[at] > (i > 0))
        return false;
    return !of->site->elements[at].pipe || !(way->feeds[0].area > 0)
           || same_pipe(way->feeds, pipe);
}

static void
add_pipe(struct fci_surge_way *way, const struct fci_surge_site *of, size_t at,
         bool run)
{
    for (int end = 0; end < FCI_ENDS; end++) {
        const struct fci_wave_pipe *pipe =
            &of->pipes[at * FCI_ENDS + (size_t)end];
        const double inertia = of->density * pipe->length / pipe->area;
        /* the longest is the slowest */
        const double time = fci_return_time(
            pipe->length,
            of->pipes[at * FCI_ENDS + (size_t)fci_other_end((enum fci_end)end)]
                .speed);
        const double hard =
            fci_joukowsky(of->density, pipe->speed, 1 / pipe->area);

        if (!(way->feeds[end].area > 0)) {
            way->feeds[end] = *pipe;
            way->first[end] = hard;
        }
        way->inertia[end] += inertia;
        way->length[end] += pipe->length;
        way->time[end] += time;
        way->hardest[end] = fmax(way->hardest[end], hard);
        if (!run)
            continue;
        way->run_inertia[end] += inertia;
        way->run_length[end] += pipe->length;
        way->run_time[end] += time;
    }
}

bool
fci_surge_way_make(struct fci_surge_way *way, const struct fci_surge_site *of,
                   size_t element, struct fci_arena *arena)
{
    const struct fci_element *elements = of->site->elements;
    size_t *list, at, n = 0;
    bool run = true;

    for (at = element; elements[at].parent != FCI_NONE;
         at = elements[at].parent)
        n++;
    list = fci_arena_array(arena, n, sizeof *list);
    *way = (struct fci_surge_way){ .elements = list, .n = n };
    if (!list)
        return false;
    for (at = element, n = 0; elements[at].parent != FCI_NONE;
         at = elements[at].parent)
        list[n++] = at;
    for (size_t i = 0; i < n; i++) {
        run = run && goes_on(way, of, i);
        way->run += run;
        if (!elements[list[i]].pipe)
            continue;
        way->rigid = way->rigid || of->rigid[list[i]];
        add_pipe(way, of, list[i], run);
    }
    way->uniform = run;
    return true;
}
