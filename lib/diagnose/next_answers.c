/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/next_answers.c -- the next reading: what to do, and what each
 * answer to it would mean.
 */
#include "diagnose/answer.h"
#include "diagnose/fault_kinds.h"
#include "units/units.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

/* Predictions nearer than this part of the accuracy mean the same. */
#define SAME_ANSWER 0.5
/* An answer spans no more accuracies than this. */
#define WIDEST_ANSWER 2
/* Of an answer's weight, what a look does not reach. */
#define WORTH_TELLING 0.25
#define SAME_HEIGHT 0.15 /* m: two heights are one */

/* ---- Answers ----------------------------------------------------------- */

/* The causes from the highest prediction down. */
static void
sort_shown(const struct fci_answering *a, const double *shows, size_t *by)
{
    size_t i, j;

    for (i = 0; i < a->n; i++) {
        for (j = i; j > 0 && shows[by[j - 1]] < shows[i]; j--)
            by[j] = by[j - 1];
        by[j] = i;
    }
}

static fc_status
tell_answer(const struct fci_answering *a, const double *shows,
            const size_t *by, size_t n, fc_answer_meant *answer)
{
    bool picked[FCI_MOST_IN_PLAY] = { false }, single;
    size_t i;

    *answer =
        (fc_answer_meant){ .high = shows[by[0]], .low = shows[by[n - 1]] };
    for (i = 0; i < n; i++) {
        picked[by[i]] = true;
        answer->weight += a->causes[by[i]].weight;
        answer->value += a->causes[by[i]].weight * shows[by[i]];
    }
    answer->value /= answer->weight;
    answer->text = fci_causes_words(a->arena, a->readings, a->causes, picked,
                                    a->n, &single);
    return answer->text ? FC_OK : FC_ENOMEM;
}

/* Answers from the highest down, as ends of runs of the sorted causes. */
struct runs {
    size_t end[FCI_MOST_IN_PLAY];
    size_t n;
};

static double
weight_of(const struct fci_answering *a, const struct runs *runs,
          const size_t *by, size_t run)
{
    double sum = 0;
    size_t i;

    for (i = run > 0 ? runs->end[run - 1] : 0; i < runs->end[run]; i++)
        sum += a->causes[by[i]].weight;
    return sum;
}

/* Whether a run is too light for an answer of its own, or one too many. */
static bool
is_to_join(const struct fci_answering *a, const struct runs *runs,
           const size_t *by, size_t run)
{
    return runs->n > FCI_MOST_ANSWERS
           || weight_of(a, runs, by, run) < FCI_LEAST_ANSWER;
}

/* The lightest joins the neighbor that is nearer. */
static bool
join_lightest(const struct fci_answering *a, const double *shows,
              const size_t *by, struct runs *runs)
{
    size_t i, lightest = 0, with;
    double up, down;

    for (i = 1; i < runs->n; i++)
        if (weight_of(a, runs, by, i) < weight_of(a, runs, by, lightest))
            lightest = i;
    if (runs->n < 2 || !is_to_join(a, runs, by, lightest))
        return false;
    i = lightest;
    up = i > 0 ? shows[by[runs->end[i - 1] - 1]] - shows[by[runs->end[i - 1]]]
               : HUGE_VAL;
    down = i + 1 < runs->n
               ? shows[by[runs->end[i] - 1]] - shows[by[runs->end[i]]]
               : HUGE_VAL;
    with = up < down ? i - 1 : i;
    for (i = with; i + 1 < runs->n; i++)
        runs->end[i] = runs->end[i + 1];
    runs->n--;
    return true;
}

static fc_status
tell_answers(struct fci_answering *a, const double *shows, double within)
{
    fc_answer_meant *answers =
        fci_arena_array(a->arena, a->n, sizeof *answers);
    fc_status status = answers ? FC_OK : FC_ENOMEM;
    size_t by[FCI_MOST_IN_PLAY], first = 0, i;
    struct runs runs = { { 0 }, 0 };

    sort_shown(a, shows, by);
    for (i = 1; i <= a->n; i++) {
        if (i < a->n && shows[by[i - 1]] - shows[by[i]] <= SAME_ANSWER * within
            && shows[by[first]] - shows[by[i]] <= WIDEST_ANSWER * within)
            continue;
        runs.end[runs.n++] = i;
        first = i;
    }
    while (join_lightest(a, shows, by, &runs))
        ;
    for (i = 0, first = 0; i < runs.n && status == FC_OK; i++) {
        status = tell_answer(a, shows, by + first, runs.end[i] - first,
                             &answers[i]);
        first = runs.end[i];
    }
    a->next.n_answers = runs.n;
    a->next.answers = answers;
    return status;
}

/* ---- What a look shows ------------------------------------------------- */

/* By task: what it shows, and how it is told to somebody, of an element (`%s`)
 * and, where that differs, of a supply, a pipe and a fixture. */
struct look_words {
    fc_sight fault, sound;
    const char *element, *source, *pipe, *fixture;
};

static const struct look_words looks[] = {
    [FC_TASK_STOP] = { FC_SEEN_SHUT, FC_SEEN_OPEN,
                       "check that the valves at %s are fully open",
                       "check that the curb stop at %s is fully open",
                       "check that the valve in %s is fully open",
                       "check that the control stop of %s is fully open" },
    [FC_TASK_STRAINER] = { FC_SEEN_CLOGGED, FC_SEEN_CLEAN,
                           "open the strainer or inlet screen of %s and see "
                           "whether it is clean",
                           NULL, NULL, NULL },
    [FC_TASK_DIAL] = { FC_SEEN_TURNING, FC_SEEN_STILL,
                       "with every outlet shut, watch the dial of %s for two "
                       "minutes",
                       NULL, NULL, NULL },
    [FC_TASK_PUMP] = { FC_SEEN_STILL, FC_SEEN_TURNING, "check whether %s runs",
                       NULL, NULL, NULL },
    [FC_TASK_TAPE] = { FC_SEEN_NOTHING, FC_SEEN_NOTHING, "tape the rise of %s",
                       NULL, NULL,
                       "tape how high the inlet of %s is above its pipe" },
};

/* Of causes that the look shows as a rule, and here did not. */
static const char *
out_of_sight(const struct fci_answering *a, const double *shows,
             const fc_answer_meant *answer)
{
    bool picked[FCI_MOST_IN_PLAY], single;
    const char *words;
    double left = 0;
    size_t i;

    for (i = 0; i < a->n; i++) {
        picked[i] = shows[i] > 0 && shows[i] < 1;
        left += picked[i] ? a->causes[i].weight * (1 - shows[i]) : 0;
    }
    if (left < WORTH_TELLING * answer->weight)
        return answer->text;
    words = fci_causes_words(a->arena, a->readings, a->causes, picked, a->n,
                             &single);
    return words ? fci_arena_printf(a->arena, "%s%snot seen by this look: %s",
                                    answer->text, *answer->text ? "; or " : "",
                                    words)
                 : NULL;
}

/* The causes that it shows, or those that it leaves. */
static fc_status
tell_sight(struct fci_answering *a, const double *shows, bool fault,
           fc_sight sight)
{
    fc_answer_meant *answer =
        (fc_answer_meant *)a->next.answers + a->next.n_answers;
    bool picked[FCI_MOST_IN_PLAY] = { false }, single, any = false;
    size_t i;

    *answer = (fc_answer_meant){
        .value = NAN, .low = NAN, .high = NAN, .shows = sight, .text = ""
    };
    for (i = 0; i < a->n; i++) {
        picked[i] = fault ? shows[i] > 0 : !(shows[i] > 0);
        any |= picked[i];
        answer->weight +=
            a->causes[i].weight * (fault ? shows[i] : 1 - shows[i]);
    }
    if (answer->weight < FCI_LEAST_ANSWER)
        return FC_OK;
    if (any)
        answer->text = fci_causes_words(a->arena, a->readings, a->causes,
                                        picked, a->n, &single);
    if (!fault && answer->text)
        answer->text = out_of_sight(a, shows, answer);
    a->next.n_answers++;
    return answer->text ? FC_OK : FC_ENOMEM;
}

static fc_status
tell_sights(struct fci_answering *a, const struct fci_next *found)
{
    fc_answer_meant *answers = fci_arena_array(a->arena, 2, sizeof *answers);
    fc_status status = answers ? FC_OK : FC_ENOMEM;

    a->next.answers = answers;
    if (status == FC_OK)
        status = tell_sight(a, found->shows, true, looks[found->kind].fault);
    if (status == FC_OK)
        status = tell_sight(a, found->shows, false, looks[found->kind].sound);
    return status;
}

/* By tape: what the rise is where it is wrong, and where it is not. */
static double
told_rise(const struct fci_answering *a, const struct fci_cause *cause,
          struct fci_gauge_place place)
{
    const fc_site *site = a->readings->site;
    double rise = place.fixture == FCI_NONE
                      ? site->elements[place.element].rise.nominal
                      : site->fixtures[place.fixture].given->rise.nominal;
    size_t k;

    for (k = 0; k < cause->n_faults; k++)
        if (cause->fault[k]->kind == &fci_height
            && cause->fault[k]->element == place.element
            && cause->fault[k]->fixture == place.fixture)
            rise += cause->x[k] * cause->fault[k]->scale;
    return rise;
}

/* ---- What to do -------------------------------------------------------- */

const char *
fci_look_words(const struct fci_answering *a, fc_task task, const char *name)
{
    const fc_site *site = a->readings->site;
    const struct fci_part *part =
        &site->parts[fci_site_find_index(site, FCI_PIPE, name)];
    const struct look_words *look = &looks[task];
    const char *of = fci_part_words(a->arena, part);
    const char *words = part->kind == FCI_SOURCE    ? look->source
                        : part->kind == FCI_PIPE    ? look->pipe
                        : part->kind == FCI_FIXTURE ? look->fixture
                                                    : NULL;

    return of ? fci_arena_printf(a->arena, words ? words : look->element, of)
              : NULL;
}

/* "put the gauge at riser-4 with 2 of wc-6 open" */
static const char *
reading_words(const struct fci_answering *a)
{
    const fc_next_reading *next = &a->next;
    const char *end = fci_place_end(a->arena, a->readings->site, next->at);

    if (!end)
        return NULL;
    if (next->dimension == FC_FLOW && next->again)
        return fci_arena_printf(a->arena, "take the flow %s at %s again",
                                next->again, next->at);
    if (next->dimension == FC_FLOW)
        return fci_arena_printf(
            a->arena, "time a flush of %s, with nothing else open%s", next->at,
            next->volume > 0 ? "" : "; its volume over that time is the flow");
    if (next->other_gauge)
        return fci_arena_printf(
            a->arena, "read %s%s again with another gauge and %s open",
            next->at, end, next->flushing);
    return fci_arena_printf(
        a->arena, "%s%s%sput the gauge at %s%s with %s open",
        next->again ? "take reading " : "", next->again ? next->again : "",
        next->again ? " again: " : "", next->at, end, next->flushing);
}

static const char *
what_to_do(const struct fci_answering *a)
{
    const char *how = a->next.kind >= FC_TASK_STOP
                          ? fci_look_words(a, a->next.kind, a->next.at)
                          : reading_words(a);

    return how ? fci_arena_printf(a->arena, "%c%s",
                                  toupper((unsigned char)how[0]), how + 1)
               : NULL;
}

/* A flow also by the seconds that the flush takes. */
static const char *
shown(const struct fci_answering *a, double value)
{
    const struct fci_shown figure =
        fci_show(a->readings->site->settings.units, a->next.dimension, value);

    if (a->next.dimension == FC_FLOW && a->next.volume > 0)
        return fci_arena_printf(a->arena, "%.1f s (%s)",
                                a->next.volume / value, figure.text);
    return fci_arena_printf(a->arena, "%s", figure.text);
}

static const char *const sight_words[] = {
    [FC_SEEN_NOTHING] = "",           [FC_SEEN_OPEN] = "fully open",
    [FC_SEEN_SHUT] = "partly closed", [FC_SEEN_CLEAN] = "clean",
    [FC_SEEN_CLOGGED] = "clogged",    [FC_SEEN_TURNING] = "turning",
    [FC_SEEN_STILL] = "still",
};

static const char *
add_answer(const struct fci_answering *a, const char *text,
           const fc_answer_meant *answer, bool last)
{
    const char *low = shown(a, answer->low), *high = shown(a, answer->high);
    const char *stop = last ? "." : ";";

    if (!low || !high)
        return NULL;
    if (answer->shows != FC_SEEN_NOTHING)
        return fci_arena_printf(a->arena, "%s %s means: %s%s", text,
                                sight_words[answer->shows], answer->text,
                                stop);
    if (strcmp(low, high) == 0)
        return fci_arena_printf(a->arena, "%s %s means: %s%s", text, low,
                                answer->text, stop);
    return fci_arena_printf(a->arena, "%s %s to %s means: %s%s", text, low,
                            high, answer->text, stop);
}

/* What nothing explains gives no answer a meaning. */
static fc_status
word_next(struct fci_answering *a)
{
    const char *text = what_to_do(a);
    size_t i;

    a->next.task = text;
    if (text)
        text =
            fci_arena_printf(a->arena, "%s%s", text,
                             a->next.n_answers > 1 ? ":"
                             : a->next.n_answers == 1
                                 ? "."
                                 : ". No fault tried explains the readings; "
                                   "this tells the nearest ones apart.");
    for (i = 0; text && i < a->next.n_answers && a->next.n_answers > 1; i++)
        text = add_answer(a, text, &a->next.answers[i],
                          i + 1 == a->next.n_answers);
    a->next.text = text;
    return text ? FC_OK : FC_ENOMEM;
}

static bool
list_flush(struct fci_answering *a, const struct fci_flushing_set *set)
{
    fc_flushing *flush = fci_arena_array(a->arena, set->n + 1, sizeof *flush);
    size_t i;

    for (i = 0; flush && i < set->n; i++) {
        flush[i].count = set->open[i].count;
        flush[i].fixture =
            a->readings->site->fixtures[set->open[i].fixture].given->name;
    }
    a->next.flush = flush;
    a->next.n_flush = set->n;
    return flush != NULL;
}

/* How long a flush takes needs its volume. */
static double
volume_of(const struct fci_answering *a, struct fci_gauge_place place)
{
    const fc_valve *valve;

    if (a->next.kind != FC_TASK_FLUSH_TIME)
        return NAN;
    valve =
        a->readings->site->fixtures[place.fixture].valve[a->readings->state];
    return valve->full_flush.given ? valve->full_flush.nominal : NAN;
}

static fc_status
tell_figures(struct fci_answering *a, const struct fci_next *found)
{
    double *shows = found->shows;
    size_t i;

    for (i = 0; i < a->n && found->kind == FC_TASK_TAPE; i++)
        shows[i] = told_rise(a, &a->causes[i], found->place);
    return tell_answers(a, shows,
                        found->kind == FC_TASK_TAPE ? SAME_HEIGHT
                        : found->kind == FC_TASK_FLUSH_TIME
                            ? FCI_FLOW_WITHIN * shows[0]
                            : fci_readings_widest(a->readings));
}

fc_status
fci_answer_tell(struct fci_answering *a, const struct fci_next *found)
{
    const bool seen = looks[found->kind].fault != FC_SEEN_NOTHING;
    fc_status status = FC_OK;

    a->next.kind = found->kind;
    a->next.other_gauge = found->other_gauge;
    a->next.at = fci_place_name(a->readings->site, found->place);
    a->next.flushing =
        fci_flushing_words(a->arena, a->readings->site, &found->set);
    a->next.apart = found->apart;
    a->next.dimension = seen                                ? FC_NUMBER
                        : found->kind == FC_TASK_TAPE       ? FC_LENGTH
                        : found->kind == FC_TASK_FLUSH_TIME ? FC_FLOW
                                                            : FC_PRESSURE;
    a->next.volume = volume_of(a, found->place);
    if (!a->next.flushing || !list_flush(a, &found->set))
        return FC_ENOMEM;
    if (found->again != FCI_NONE && !found->other_gauge)
        a->next.again = a->readings->gauges[found->again].name;
    if (a->explained)
        status = seen ? tell_sights(a, found) : tell_figures(a, found);
    return status == FC_OK ? word_next(a) : status;
}

fc_status
fci_answer_again(struct fci_answering *a, size_t gauge)
{
    const struct fci_gauge *g = &a->readings->gauges[gauge];
    const struct fci_flushing_set *set = &a->readings->events[g->event];

    a->next = (fc_next_reading){ 0 };
    a->n_looks_first = 0;
    a->next.at = fci_place_name(a->readings->site, g->place);
    a->next.flushing = fci_flushing_words(a->arena, a->readings->site, set);
    a->next.again = g->name;
    a->next.dimension = g->dimension;
    a->next.kind = g->timed ? FC_TASK_FLUSH_TIME : FC_TASK_PRESSURE;
    a->next.volume = volume_of(a, g->place);
    if (!a->next.flushing || !list_flush(a, set))
        return FC_ENOMEM;
    a->next.task = what_to_do(a);
    a->next.text =
        a->next.task ? fci_arena_printf(a->arena, "%s.", a->next.task) : NULL;
    return a->next.text ? FC_OK : FC_ENOMEM;
}
