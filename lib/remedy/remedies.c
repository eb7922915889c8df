/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/remedies.c -- what cures a building, put together. */
#include "remedy/remedies.h"
#include "ground/call.h"
#include "peak/source.h"
#include "check/checked.h"
#include "ground/characters.h"
#include "ground/diagnostics.h"
#include "remedy/reducer_window.h"
#include "variants/site_write.h"
#include "check/refuse.h"
#include "check/settle.h"
#include "check/verdicts.h"
#include "ground/ties.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* Fixtures no further apart in height are on one floor [m]. */
#define ONE_FLOOR 0.05

#define HEADING_WIDTH 74 /* of comments in a site file, behind "; " */

/* The result and all that it borrows. */
struct kept_cures {
    fc_remedies result; /* first: the caller holds its address */
    struct fci_cures cures;
    fc_check_result *check;
};

/* ---- Levers ----------------------------------------------------------- */

struct lever {
    fc_lever lever;
    const char *word; /* for programs */
    fc_status (*cure)(struct fci_cures *cures);
    bool pressure;  /* of use only where pressure or flow is what lacks */
    bool converted; /* of use only in a building that is converted */
    const char *what;
};

#define ROW(...) { __VA_ARGS__ },
static const struct lever levers[] = { FCI_LEVER_LIST(ROW) };
#define N_LEVERS (sizeof levers / sizeof *levers)

const char *
fc_lever_word(fc_lever lever)
{
    size_t i;

    for (i = 0; i < N_LEVERS; i++)
        if (levers[i].lever == lever)
            return levers[i].word;
    return NULL;
}

/* Where a site file has no way to put a lever, the others still count; what is
 * wrong with the building itself the first one has said. */
static fc_status
pull_one(struct fci_cures *c, const struct lever *lever)
{
    fc_diagnostics *const messages = c->messages;
    fc_remedy told = fci_remedy_of(FC_COMBINE, NULL, FC_NUMBER);
    struct fci_change_list none = { 0 };
    fc_status status;

    if (lever->what)
        c->messages = NULL;
    status = lever->cure(c);
    c->messages = messages;
    if (status != FC_EINPUT || !lever->what)
        return status;
    told.text = fci_arena_printf(
        c->arena, "Cannot tell whether %s works: a site file cannot hold it.",
        lever->what);
    if (!fci_cure_add(c, &told, &none))
        return FC_ENOMEM;
    c->list[c->n - 1].unknown = true;
    return FC_OK;
}

/* Pressure lacks where a fixture is short at peak, or in the flush events
 * alone. */
static fc_status
lacks_pressure(const struct kept_cures *k, fc_diagnostics *messages,
               bool *lacks)
{
    const fc_check_options peak = { .peak_only = true,
                                    .steady_main = true,
                                    .no_proviso = true };
    fc_check_result *check = NULL;
    fc_status status = FC_OK;

    *lacks = k->cures.any_short;
    if (!*lacks && k->result.works != FC_WORKS)
        status = fci_check(k->cures.site, &peak, NULL, &check, messages);
    if (check)
        *lacks = check->works == FC_WORKS;
    fc_check_result_free(check);
    return status;
}

static fc_status
tell_gains(struct kept_cures *k)
{
    struct fci_gains gains;
    const fc_status status = fci_pipe_gains(&k->cures, &gains);

    if (status != FC_OK || gains.fixture == FCI_NONE)
        return status;
    k->result.governing = k->cures.site->fixtures[gains.fixture].given->name;
    k->result.gains = gains.list;
    k->result.n_gains = gains.n;
    k->result.together = gains.together;
    return FC_OK;
}

static fc_status
pull_all(struct kept_cures *k, const fc_size_options *options)
{
    bool lacks;
    fc_status status = lacks_pressure(k, k->cures.messages, &lacks);
    size_t i;

    for (i = 0; i < N_LEVERS && status == FC_OK; i++) {
        if ((lacks || !levers[i].pressure)
            && (k->result.converted || !levers[i].converted))
            status = pull_one(&k->cures, &levers[i]);
        if (options->check.progress)
            options->check.progress(options->check.context,
                                    (double)(i + 1) / N_LEVERS);
    }
    return status == FC_OK && lacks ? tell_gains(k) : status;
}

/* What does not work was tried in the worst case of every input: of a building
 * of which check cannot tell no more is known. */
static bool
say_of_worst(struct kept_cures *k, const struct fci_cure *cure,
             fc_remedy *told)
{
    const char *text = told->text;
    bool is_name;

    if (told->works || cure->unknown
        || k->check->states[k->result.state].works != FC_CANNOT_TELL)
        return true;
    /* what may be had but leaves something wrong begins with what to do */
    if (!isnan(told->value) && told->reach != FC_NOT_MADE) {
        told->text = fci_arena_printf(
            fci_arena_of(k), "%s This is so in the worst case.", text);
        return told->text != NULL;
    }
    is_name = told->subject
              && strncmp(text, told->subject, strlen(told->subject)) == 0;
    told->text =
        fci_arena_printf(fci_arena_of(k), "In the worst case %c%s",
                         is_name ? *text : fci_lower(*text), text + 1);
    return told->text != NULL;
}

static bool
tell_remedies(struct kept_cures *k)
{
    fc_remedy *told =
        fci_arena_array(fci_arena_of(k), k->cures.n + 1, sizeof *told);
    size_t i;

    for (i = 0; told && i < k->cures.n; i++) {
        told[i] = k->cures.list[i].told;
        if (!say_of_worst(k, &k->cures.list[i], &told[i]))
            return false;
    }
    k->result.remedies = told;
    k->result.n_remedies = k->cures.n;
    return told != NULL;
}

/* "a booster and PRVs" */
static bool
tell_pair(struct kept_cures *k, const struct lever *lever, const char *with,
          const char **texts)
{
    const char *text =
        fci_arena_printf(fci_arena_of(k), "%s and %s",
                         lever->what ? lever->what : "pipes", with);

    texts[k->result.n_tried++] = text;
    return text != NULL;
}

static bool
tell_tried(struct kept_cures *k)
{
    const char **texts =
        fci_arena_array(fci_arena_of(k), 3 * N_LEVERS, sizeof *texts);
    bool ok = texts != NULL;
    size_t i;

    for (i = 0; ok && i < N_LEVERS; i++) {
        const fc_lever lever = levers[i].lever;

        if (lever == FC_COMBINE)
            continue;
        ok =
            (!k->cures.with_prvs[lever]
             || tell_pair(k, &levers[i], "PRVs", texts))
            && (!k->cures.with_pipes[lever]
                || tell_pair(k, &levers[i], "pipes", texts))
            && (!k->cures.with_another[lever]
                || tell_pair(k, &levers[i],
                             "another device, a pressure, a booster or valves",
                             texts));
    }
    k->result.tried = texts;
    return ok;
}

/* ---- Floors ----------------------------------------------------------- */

static int
from_the_top(const void *a, const void *b)
{
    const fc_floor_minimum *x = a, *y = b;

    const double high = fci_coarse(x->elevation);
    const double low = fci_coarse(y->elevation);

    return (high < low) - (high > low);
}

static fc_floor_minimum
minimum_at(const struct fci_cures *c, const struct fci_fixture *fixture)
{
    const struct fci_judgement j =
        fci_judge_fixture(&c->judge, fixture, c->state);
    const bool code = c->site->settings.code_minimum != FC_NO;
    const fc_floor_minimum floor = {
        .elevation = c->judge.rest[fixture->element].elevation
                     + fixture->given->rise.nominal,
        .fixture = fixture->given->name,
        .most = j.flowing.low - c->site->settings.reserve.nominal,
        .needed = j.need.valve.given ? j.need.valve.high : NAN,
        .code = code ? j.need.code : NAN,
    };

    return floor;
}

/* Into the floor that is above or the same: what is least, or asks most. */
static void
fold(fc_floor_minimum *into, const fc_floor_minimum *one)
{
    if (fci_is_less(one->most, into->most)) {
        into->most = one->most;
        into->fixture = one->fixture;
    }
    into->needed = fmax(into->needed, one->needed); /* NAN gives way */
    into->code = fmax(into->code, one->code);
}

static bool
tell_floors(struct kept_cures *k)
{
    const fc_site *site = k->cures.site;
    fc_floor_minimum *floors =
        fci_arena_array(fci_arena_of(k), site->n_fixtures + 1, sizeof *floors);
    size_t i, n = 0, last = 0;

    if (!floors)
        return false;
    for (i = 0; i < site->n_fixtures; i++)
        if (site->fixtures[i].kind->flushes)
            floors[n++] = minimum_at(&k->cures, &site->fixtures[i]);
    qsort(floors, n, sizeof *floors, from_the_top);
    for (i = 1; i < n; i++)
        if (floors[last].elevation - floors[i].elevation <= ONE_FLOOR)
            fold(&floors[last], &floors[i]);
        else
            floors[++last] = floors[i];
    k->result.floors = floors;
    k->result.n_floors = n > 0 ? last + 1 : 0;
    return true;
}

/* ---- All -------------------------------------------------------------- */

static fc_status
begin(struct kept_cures *k, const fc_site *site,
      const fc_size_options *options, fc_diagnostics *messages)
{
    struct fci_cures *c = &k->cures;
    fc_status status;

    c->site = site;
    c->options = options;
    c->messages = messages;
    c->arena = fci_arena_of(k);
    c->pipes_cost = INFINITY;
    status = fci_judge_begin(&c->judge, site, messages);
    if (status != FC_OK)
        return status;
    c->state = c->judge.converted ? FC_RETROFIT : FC_EXISTING;
    status = fc_check_with(site, &options->check, &k->check, messages);
    if (status != FC_OK)
        return status;
    c->check = k->check;
    k->result.title = site->settings.title;
    k->result.units = site->settings.units;
    k->result.converted = c->judge.converted;
    k->result.state = c->state;
    k->result.works = k->check->works;
    k->result.untested = fci_untested_main(site) != NULL;
    k->result.too_high = k->check->too_high;
    k->result.by_prices = fci_has_pipe_prices(site);
    k->result.check = k->check;
    return FC_OK;
}

static fc_status
works_if_steady(const struct kept_cures *k, const fc_check_options *options,
                bool *works)
{
    struct fci_verdicts verdicts;
    const fc_status status = fci_verdicts_make(&verdicts, k->cures.site,
                                               options, k->cures.messages);

    *works = status == FC_OK && verdicts.works == FC_WORKS;
    fci_verdicts_free(&verdicts);
    return status;
}

static fc_status
find(struct kept_cures *k, const fc_site *site, const fc_size_options *options,
     fc_diagnostics *messages)
{
    /* levers are many and short: each check tells nothing of its own */
    fc_size_options quiet = *options;
    bool steady = false;
    fc_status status;

    quiet.check.progress = NULL;
    status = fci_refuse_tank(site, "size --remedy", messages);
    if (status == FC_OK)
        status = begin(k, site, &quiet, messages);
    /* what cures a building whose main nobody tested is found as if it did not
     * drop, and told so */
    quiet.check.steady_main = quiet.check.no_proviso = true;
    if (status == FC_OK && k->result.untested)
        status = works_if_steady(k, &quiet.check, &steady);
    if (status == FC_OK)
        status = fci_reducer_windows(&k->cures.judge, k->cures.state,
                                     fci_arena_of(k), &k->result.windows,
                                     &k->result.n_windows);
    k->cures.windows = k->result.windows;
    k->cures.n_windows = k->result.n_windows;
    if (status == FC_OK
        && !(fci_cure_mark(&k->cures) && fci_pressure_levers(&k->cures)))
        status = FC_ENOMEM;
    /* of a building that its readings refute nobody knows what it lacks */
    if (status == FC_OK && !steady && k->check->n_contradictions == 0
        && (k->result.works != FC_WORKS || k->result.too_high != FC_WORKS))
        status = pull_all(k, options);
    if (status == FC_OK
        && !(tell_remedies(k) && tell_tried(k)
             && fci_name_lowest(&k->cures, &k->result) && tell_floors(k)))
        status = FC_ENOMEM;
    fci_judge_end(&k->cures.judge);
    free(k->cures.feeds);
    free(k->cures.over);
    free(k->cures.levers);
    free(k->cures.partners);
    k->cures.partners = NULL;
    k->cures.feeds = NULL;
    k->cures.over = NULL;
    k->cures.levers = NULL;
    k->cures.options = NULL;
    return status;
}

fc_status
fc_remedies_find(const fc_site *site, const fc_size_options *options,
                 fc_remedies **remedies, fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_GIVEN(site), FCI_GIVEN(remedies),
                    FCI_STATES_TRIED(options, check.most_states)))
        return FC_EINPUT;

    static const fc_size_options defaults = { .most_points = 0 };
    struct kept_cures *k = fci_object_new(sizeof *k);
    fc_status status;

    if (!k)
        return FC_ENOMEM;
    status = find(k, site, options ? options : &defaults, messages);
    if (status == FC_OK)
        *remedies = &k->result;
    else
        fc_remedies_free(&k->result);
    return status;
}

void
fc_remedies_free(fc_remedies *remedies)
{
    struct kept_cures *k = (struct kept_cures *)(void *)remedies;
    size_t i;

    if (!k)
        return;
    for (i = 0; i < k->cures.n; i++)
        fci_change_list_free(&k->cures.list[i].changes);
    free(k->cures.list);
    for (i = 0; i < k->cures.n_kept; i++)
        fc_site_free(k->cures.kept[i]);
    free(k->cures.kept);
    fc_check_result_free(k->check);
    fci_object_free(k);
}

/* With line ends for spaces, so that a comment stays readable; malloc'ed. */
static char *
wrapped(const char *text)
{
    char *copy = strdup(text), *line = copy, *space = NULL, *at;

    for (at = copy; copy && *at; at++) {
        if (*at == ' ')
            space = at;
        if (at - line >= HEADING_WIDTH && space) {
            *space = '\n';
            line = space + 1;
            space = NULL;
        }
    }
    return copy;
}

fc_status
fc_remedies_text(const fc_remedies *remedies, size_t i, const char *folder,
                 char **text, fc_diagnostics *messages)
{
    if (FCI_REFUSES(messages, FCI_GIVEN(remedies), FCI_GIVEN(text)))
        return FC_EINPUT;

    const struct kept_cures *k =
        (const struct kept_cures *)(const void *)remedies;
    const struct fci_cure *cure;
    char *heading, *made = NULL;
    fc_status status;

    if (i >= k->cures.n || !k->cures.list[i].told.works)
        return fci_fail(
            messages, FC_ESTATE, NULL, 0,
            "there is no option %zu that works; there is nothing to write",
            i + 1);
    cure = &k->cures.list[i];
    heading = wrapped(cure->told.text);
    if (!heading)
        return FC_ENOMEM;
    status = fci_site_write_elsewhere(k->cures.site, cure->changes.changes,
                                      cure->changes.n, heading, folder, &made,
                                      messages);
    free(heading);
    if (status == FC_OK)
        status = fci_leave_readings_out(&made);
    if (status == FC_OK)
        *text = made;
    else
        free(made);
    return status;
}
