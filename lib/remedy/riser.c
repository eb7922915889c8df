/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/riser.c -- a second pipe beside those in place, for a part of
 * what they feed.
 *
 * It runs beside pipes on the way to the fixture that governs, as long and as
 * high as they are, and feeds what the last of them fed there: a second riser,
 * where they are one.  Nothing is joined at its end, so that the building
 * stays a tree and check can judge it.  The least new pipe that does is
 * sought.
 */
#include "remedy/stretches.h"
#include "laws/friction.h"
#include "size/cost.h"
#include "ground/ties.h"
#include "units/units.h"

#include <math.h>
#include <stdlib.h>

/* ---- In words --------------------------------------------------------- */

static const char *
say(const struct fci_way *r, const struct fci_stretch *s,
    const struct fci_feed *feed, const fc_remedy *told)
{
    const struct fci_cures *c = r->c;
    const fc_unit_system units = c->site->settings.units;
    const char *beside = fci_way_beside(r, s);
    const char *size = fci_feed_size(c, feed);

    if (!beside || !size)
        return NULL;
    return fci_arena_printf(
        c->arena,
        "Run %s, %s, %s, beside %s (as long as %s) and feed %s from it: %s "
        "gains %s at peak; no shorter stretch does.",
        fci_way_climb(r, s) > FCI_ONE_STORY ? "a second riser"
                                            : "a second pipe",
        fci_show(units, FC_LENGTH, told->new_pipe).text, size, beside,
        s->from - s->moved > 2 ? "they are" : "it is", feed->moved[0]->name,
        told->gains, fci_show(units, FC_PRESSURE, told->gain).text);
}

/* ---- Its cost --------------------------------------------------------- */

/* The pipe that was put in, as those that are replaced are told; nothing where
 * its cost is not known. */
static fc_status
tell_pipe(const struct fci_way *r, const struct fci_feed *feed,
          const struct fci_change_list *list, fc_remedy *told)
{
    const struct fci_cures *c = r->c;
    fc_sized_pipe *out = fci_arena_array(c->arena, 1, sizeof *out);
    struct fci_judge judge = { 0 };
    struct fci_costs costs = { 0 };
    fc_site *site = NULL;
    fc_status status = out ? FC_OK : FC_ENOMEM;
    size_t i;

    if (status == FC_OK)
        status = fci_costs_make(&costs, c->site, c->arena, c->messages);
    if (status == FC_OK)
        status = fci_site_changed(c->site, list->changes, list->n, &site,
                                  c->messages);
    if (status == FC_OK)
        status = fci_judge_begin(&judge, site, c->messages);
    for (i = c->site->n_elements; status == FC_OK && i < site->n_elements;
         i++) {
        const struct fci_pipe *pipe = site->elements[i].pipe;
        const struct fci_pipe *like = c->site->elements[feed->like].pipe;
        const double cost =
            like->size ? fci_cost_at(&costs, pipe, pipe->size) : INFINITY;
        const double flow = judge.demand[c->state][i].flow[FCI_WORST];

        if (isinf(cost))
            continue;
        *out = (fc_sized_pipe){ .name = feed->name,
                                .from = c->site->elements[feed->from].name,
                                .material = like->material->head.name,
                                .size = like->size->label,
                                .length = pipe->length.nominal,
                                .cost = cost,
                                .uniform_cost = NAN,
                                .state = c->state,
                                .peak_flow = flow,
                                .velocity = fci_velocity(flow, pipe->bore.low),
                                .friction_loss = fci_friction_loss(
                                    pipe->resistance[FCI_WORST], flow),
                                .velocity_limit = like->velocity_limit };
        told->pipes = out;
        told->n_pipes = 1;
        told->cost = cost;
    }
    fci_judge_end(&judge);
    fc_site_free(site);
    return status;
}

/* ---- All -------------------------------------------------------------- */

static fc_status
tell_works(const struct fci_way *r, struct fci_cures *c,
           const struct fci_stretch *s, const struct fci_feed *feed,
           struct fci_change_list *list)
{
    fc_remedy told =
        fci_remedy_of(FC_ADD_RISER, feed->moved[0]->name, FC_NUMBER);
    fc_status status = fci_way_gain(r, list, &told.gain);

    told.works = true;
    told.new_pipe = feed->length.nominal;
    told.fixture = told.gains = r->c->site->fixtures[r->fixture].given->name;
    if (status == FC_OK)
        status = tell_pipe(r, feed, list, &told);
    if (status != FC_OK) {
        fci_change_list_free(list);
        return status;
    }
    told.text = say(r, s, feed, &told);
    return fci_cure_add(c, &told, list) ? FC_OK : FC_ENOMEM;
}

static fc_status
tell_useless(const struct fci_way *r, struct fci_cures *c, double most)
{
    fc_remedy told = fci_remedy_of(FC_ADD_RISER, NULL, FC_NUMBER);
    struct fci_change_list none = { 0 };

    told.gains = told.fixture = c->site->fixtures[r->fixture].given->name;
    told.gain = most;
    told.text =
        most < fci_pressure_step(c)
            ? fci_arena_printf(c->arena,
                               "No second pipe beside those to %s, of their "
                               "sizes, gains it anything at peak.",
                               told.fixture)
            : fci_arena_printf(
                c->arena,
                "No second pipe beside those to %s, of their sizes, does "
                "alone: it gains %s at peak at most.",
                told.fixture,
                fci_show(c->site->settings.units, FC_PRESSURE, most).text);
    return fci_cure_add(c, &told, &none) ? FC_OK : FC_ENOMEM;
}

/* Whatever else it does, the fixture that governs is still short at peak. */
static bool
stays_short(const struct fci_way *r, double gain)
{
    const fc_range margin =
        r->c->check->fixtures[r->fixture].states[r->c->state].margin;

    return margin.given && margin.low + gain < -FCI_SAME_PRESSURE;
}

/* One stretch; *works: it did, and is told. */
static fc_status
try_stretch(const struct fci_way *r, struct fci_cures *c,
            const struct fci_stretch *s, double *most, bool *works)
{
    struct fci_change_list list = { 0 };
    struct fci_feed feed;
    double gain = 0;
    fc_status status =
        fci_way_feed(r, s, &feed) && fci_feed_anew(r->c, &feed, &list)
            ? FC_OK
            : FC_ENOMEM;

    *works = false;
    if (status == FC_OK)
        status = fci_way_gain(r, &list, &gain);
    *most = fmax(*most, gain);
    if (status == FC_OK && gain > 0 && !stays_short(r, gain))
        status = fci_cure_check(c, &list, works, NULL);
    if (status == FC_OK && *works)
        return tell_works(r, c, s, &feed, &list);
    fci_change_list_free(&list);
    return status;
}

fc_status
fci_cure_riser(struct fci_cures *c)
{
    const size_t fixture = fci_cure_governing(c);
    struct fci_way r;
    fc_status status = FC_OK;
    double most = 0;
    bool works = false;
    size_t i;

    if (fixture == FCI_NONE)
        return FC_OK;
    if (!fci_way_make(&r, c, fixture))
        return FC_ENOMEM;
    for (i = 0; status == FC_OK && !works && i < r.n_stretches; i++)
        status = try_stretch(&r, c, &r.stretches[i], &most, &works);
    if (status != FC_OK || works || r.n_stretches == 0)
        return status;
    return tell_useless(&r, c, most);
}
