/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/sweep.c -- one input of a site, step by step.
 *
 * Each value is set over the file as text, so that a step is the site that
 * anybody would write.  Figures are whole multiples of the last digit shown,
 * and intervals are halved among these.
 */
#include "check/site_line.h"
#include "ground/call.h"
#include "check/refuse.h"
#include "check/sweep_values.h"
#include "check/sweep_words.h"
#include "ground/diagnostics.h"
#include "ground/pool.h"

#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>

/* A gap in which verdicts flip more often has only these told. */
#define FLIPS_A_GAP 64

struct found {
    fc_sweep_flip flip;
    struct found *next;
};

struct gap {
    struct found *first, *last; /* of a thread's arena */
    size_t n;
};

struct thread {
    struct fci_arena arena;
    fc_diagnostics *messages; /* of the step at hand */
};

struct sweep {
    fc_sweep_result told; /* the first, so that it stands for all of it */
    struct thread *threads;
    size_t n_threads;
    struct fci_sweep_values values;
    const fc_site *site;
    const fc_check_options *options;
    fc_sweep_step *steps;
    long *places; /* of the steps, among all values */
    struct gap *gaps;
    size_t n;           /* values to check, and gaps between them */
    atomic_size_t done; /* of these */
};

/* One thread tells how far all of them are. */
static void
tell_progress(struct sweep *s, size_t worker)
{
    const double done = (double)(atomic_fetch_add(&s->done, 1) + 1);

    if (worker == 0 && s->options && s->options->progress)
        s->options->progress(s->options->context, done / (double)s->n);
}

/* ---- One value -------------------------------------------------------- */

static fc_status
check_site(const struct sweep *s, const fc_site *site, struct fci_arena *arena,
           fc_site_line *line, fc_diagnostics *messages)
{
    static const fc_check_options defaults;
    fc_check_options options = s->options ? *s->options : defaults;
    fc_check_result *result = NULL;
    fc_status status;

    options.threads = 1;
    options.progress = NULL;
    options.no_proviso = options.in_short = true; /* a line tells neither */
    status = fc_check_with(site, &options, &result, messages);
    if (status == FC_OK)
        fci_site_line_keep(line, site, result, arena);
    fc_check_result_free(result);
    return status;
}

/* FC_OK also where it cannot be calculated; the step tells why. */
static fc_status
check_value(const struct sweep *s, struct thread *thread, long place,
            fc_sweep_step *step)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_site *site = NULL;
    const char *text;
    fc_status status = FC_ENOMEM;

    *step = (fc_sweep_step){ .figure = fci_sweep_figure(&s->values, place),
                             .value = fci_sweep_value(&s->values, place,
                                                      &thread->arena) };
    text = fci_arena_printf(&thread->arena, "%s=%s", s->values.input,
                            step->value);
    step->line.path = step->value;
    step->line.reason = "";
    if (messages && text)
        status = fc_site_with(s->site, &text, 1, &site, messages);
    if (status == FC_OK)
        status = check_site(s, site, &thread->arena, &step->line, messages);
    fc_site_free(site);
    if (status != FC_OK && status != FC_ENOMEM) {
        step->line.n_errors = fc_diagnostics_count(messages);
        step->error = fci_arena_string(
            &thread->arena, step->line.n_errors > 0
                                ? fc_diagnostics_at(messages, 0).text
                                : fc_status_text(status));
        status = FC_OK;
    }
    fc_diagnostics_free(messages);
    return thread->arena.failed ? FC_ENOMEM : status;
}

static fc_status
check_step(void *context, size_t worker, size_t i)
{
    struct sweep *s = context;
    const fc_status status =
        check_value(s, &s->threads[worker], s->places[i], &s->steps[i]);

    tell_progress(s, worker);
    return status;
}

/* ---- Where it flips --------------------------------------------------- */

/* From a value to one where a verdict is another: the first neighbors on the
 * way that halving finds, of which *from becomes the second. */
static fc_status
find_flip(struct sweep *s, struct thread *thread, long *from, long to,
          const fc_sweep_step *start, const fc_sweep_step *end,
          fc_sweep_flip *flip)
{
    long low = *from, high = to;
    fc_status status = FC_OK;

    flip->before = *start;
    flip->after = *end;
    while (labs(high - low) > 1 && status == FC_OK) {
        const long middle = low + (high - low) / 2;
        fc_sweep_step step;

        status = check_value(s, thread, middle, &step);
        if (status == FC_OK && fci_sweep_alike(&step, start)) {
            low = middle;
            flip->before = step;
        } else if (status == FC_OK) {
            high = middle;
            flip->after = step;
        }
    }
    *from = high;
    if (status == FC_OK)
        flip->text = fci_sweep_flip_text(flip, &thread->arena);
    return thread->arena.failed ? FC_ENOMEM : status;
}

static fc_status
check_gap(void *context, size_t worker, size_t i)
{
    struct sweep *s = context;
    struct gap *gap = &s->gaps[i];
    struct thread *thread = &s->threads[worker];
    const fc_sweep_step *start = &s->steps[i], *end = &s->steps[i + 1];
    long at = s->places[i];
    fc_status status = FC_OK;

    while (status == FC_OK && gap->n < FLIPS_A_GAP
           && !fci_sweep_alike(start, end)) {
        struct found *found =
            fci_arena_array(&thread->arena, 1, sizeof *found);

        if (!found)
            return FC_ENOMEM;
        status = find_flip(s, thread, &at, s->places[i + 1], start, end,
                           &found->flip);
        *(gap->last ? &gap->last->next : &gap->first) = found;
        gap->last = found;
        gap->n++;
        start = &found->flip.after;
    }
    tell_progress(s, worker);
    return status;
}

/* ---- All of it -------------------------------------------------------- */

static fc_status
run_blocks(struct sweep *s, fci_pool_block *block, size_t n)
{
    fc_status statuses[64] = { FC_OK };
    size_t i;

    fci_pool_run(block, s, s->n_threads, statuses, 0, n);
    for (i = 0; i < s->n_threads; i++)
        if (statuses[i] != FC_OK)
            return statuses[i];
    return FC_OK;
}

/* All that was checked, in order, is what the sentences are made of. */
static fc_status
gather_flips(struct sweep *s, size_t n_steps)
{
    struct fci_arena *arena = fci_arena_of(s);
    const fc_sweep_step **points;
    fc_sweep_flip *flips;
    size_t n = 0, n_points = 0;

    for (size_t i = 0; i + 1 < n_steps; i++)
        n += s->gaps[i].n;
    flips = fci_arena_array(arena, n + 1, sizeof *flips);
    points = fci_arena_array(arena, n_steps + 2 * n, sizeof *points);
    s->told.flips = flips;
    for (size_t i = 0; flips && points && i < n_steps; i++) {
        points[n_points++] = &s->steps[i];
        for (struct found *f = s->gaps[i].first; f; f = f->next) {
            fc_sweep_flip *flip = &flips[s->told.n_flips++];

            *flip = f->flip;
            points[n_points++] = &flip->before;
            points[n_points++] = &flip->after;
        }
    }
    s->told.told = flips && points
                       ? fci_sweep_tell(points, n_points, s->told.given.judged,
                                        arena, &s->told.n_told)
                       : NULL;
    return arena->failed ? FC_ENOMEM : FC_OK;
}

/* The same value is checked once. */
static size_t
place_steps(struct sweep *s)
{
    size_t n = 0, i;

    for (i = 0; i <= s->values.steps; i++) {
        const long place = fci_sweep_place(&s->values, i);

        if (n == 0 || place != s->places[n - 1])
            s->places[n++] = place;
    }
    return n;
}

/* Where no step can be calculated, why the first cannot. */
static fc_status
refuse_all(const struct sweep *s, size_t n, fc_diagnostics *messages)
{
    size_t i;

    for (i = 0; i < n; i++)
        if (s->steps[i].line.calculated)
            return FC_OK;
    return fci_fail(messages, FC_EINPUT, NULL, 0, "--sweep %s=%s: %s",
                    s->values.input, s->steps[0].value, s->steps[0].error);
}

static fc_status
run(struct sweep *s, fc_diagnostics *messages)
{
    struct fci_arena *arena = fci_arena_of(s);
    const size_t room = s->values.steps + 2;
    fc_status status;
    size_t n;

    s->n_threads = fci_pool_threads(s->options ? s->options->threads : 0);
    s->threads = fci_arena_array(arena, s->n_threads, sizeof *s->threads);
    s->steps = fci_arena_array(arena, room, sizeof *s->steps);
    s->places = fci_arena_array(arena, room, sizeof *s->places);
    s->gaps = fci_arena_array(arena, room, sizeof *s->gaps);
    if (arena->failed) {
        s->n_threads = 0;
        return FC_ENOMEM;
    }
    status = check_site(s, s->site, arena, &s->told.given, messages);
    n = place_steps(s);
    s->n = 2 * n - 1;
    if (status == FC_OK)
        status = run_blocks(s, check_step, n);
    if (status == FC_OK)
        status = refuse_all(s, n, messages);
    if (status == FC_OK && n > 1)
        status = run_blocks(s, check_gap, n - 1);
    s->told.steps = s->steps;
    s->told.n_steps = n;
    return status == FC_OK ? gather_flips(s, n) : status;
}

fc_status
fc_sweep(const fc_site *site, const char *what,
         const fc_check_options *options, fc_sweep_result **result,
         fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_GIVEN(site), FCI_GIVEN(what),
                    FCI_GIVEN(result), FCI_STATES_TRIED(options, most_states)))
        return FC_EINPUT;

    fc_status status = fci_refuse_no_tree(site, messages);
    struct sweep *s;

    if (status != FC_OK)
        return status;
    s = fci_object_new(sizeof *s);
    if (!s)
        return FC_ENOMEM;
    s->site = site;
    s->options = options;
    status = fci_sweep_values_read(&s->values, site, what, fci_arena_of(s),
                                   messages);
    s->told.input = s->values.input;
    s->told.unit = s->values.unit;
    s->told.was = s->values.was;
    s->told.units = site->settings.units;
    if (status == FC_OK)
        status = run(s, messages);
    if (status == FC_OK)
        *result = &s->told;
    else
        fc_sweep_result_free(&s->told);
    return status;
}

void
fc_sweep_result_free(fc_sweep_result *told)
{
    struct sweep *s = (struct sweep *)told;
    size_t i;

    if (!told)
        return;
    for (i = 0; i < s->n_threads; i++)
        fci_arena_free(&s->threads[i].arena);
    fci_object_free(s);
}
