/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/feed.c -- a new pipe that feeds what another element fed.
 *
 * It is as large as a pipe in place, of the same material, and new; its
 * fittings are not known, so that the usual share of its length counts.
 */
#include "remedy/remedies.h"
#include "ground/ties.h"

#include <math.h>

const char *
fci_feed_name(const struct fci_cures *c, size_t i)
{
    const char *word = fci_arena_printf(c->arena, "new-pipe-%zu", i + 1);

    return word ? fci_new_name(c, word) : NULL;
}

const char *
fci_feed_size(const struct fci_cures *c, const struct fci_feed *feed)
{
    const struct fci_pipe *like = c->site->elements[feed->like].pipe;

    return like->size ? fci_arena_printf(c->arena, "%s %s", like->size->label,
                                         like->material->head.name)
                      : fci_arena_printf(c->arena, "of the bore of %s",
                                         c->site->elements[feed->like].name);
}

const char *
fci_feed_moved(const struct fci_cures *c, const struct fci_feed *feed)
{
    const char **names =
        fci_arena_array(c->arena, feed->n_moved + 1, sizeof *names);
    size_t i;

    for (i = 0; names && i < feed->n_moved; i++)
        names[i] = feed->moved[i]->name;
    return names ? fci_join_names(c, names, feed->n_moved) : NULL;
}

/* A pipe in place of which no size is known lends its bore and its C. */
static fc_pipe *
make_pipe(const struct fci_cures *c, const struct fci_feed *feed)
{
    const struct fci_pipe *like = c->site->elements[feed->like].pipe;
    fc_pipe *pipe = fci_arena_alloc(c->arena, sizeof *pipe);

    if (!pipe)
        return NULL;
    pipe->name = feed->name;
    pipe->from = c->site->elements[feed->from].name;
    pipe->length = feed->length;
    if (feed->elevation.given) {
        pipe->elevation = feed->elevation;
        pipe->floor = feed->floor;
    } else
        pipe->rise = feed->rise;
    pipe->velocity_limit = like->given->velocity_limit;
    pipe->condition = like->given->condition;
    pipe->material = like->given->material;
    if (!like->size) {
        pipe->c = like->given->c;
        pipe->inside_diameter = like->given->inside_diameter;
    }
    return pipe;
}

static bool
add_pipe(const struct fci_cures *c, const struct fci_feed *feed,
         struct fci_change_list *list)
{
    const struct fci_pipe *like = c->site->elements[feed->like].pipe;
    const fc_pipe *pipe = make_pipe(c, feed);
    const char *put_in =
        like->size ? fci_c_put_in(c->site, like, like->material) : NULL;

    return pipe && fci_change_add_part(list, FCI_PIPE, pipe)
           && (!like->size
               || fci_change_add(list, FCI_PIPE, feed->name, "size",
                                 like->size->label))
           && (!put_in
               || fci_change_add(list, FCI_PIPE, feed->name, "c", put_in));
}

bool
fci_feed_anew(const struct fci_cures *c, const struct fci_feed *feed,
              struct fci_change_list *list)
{
    bool ok = add_pipe(c, feed, list);
    size_t i;

    for (i = 0; ok && i < feed->n_moved; i++)
        ok = fci_change_add(
            list, feed->moved[i]->kind, feed->moved[i]->name,
            feed->moved[i]->kind == FCI_FIXTURE ? "on" : "from", feed->name);
    return ok;
}

fc_status
fci_cure_flowing(const struct fci_cures *c, const struct fci_change_list *list,
                 size_t fixture, double *pressure)
{
    struct fci_judge judge = { 0 };
    fc_site *site = NULL;
    fc_status status =
        fci_site_changed(c->site, list->changes, list->n, &site, c->messages);

    if (status == FC_OK)
        status = fci_judge_begin(&judge, site, c->messages);
    if (status == FC_OK)
        *pressure =
            fci_judge_fixture(&judge, &site->fixtures[fixture], c->state)
                .flowing.low;
    fci_judge_end(&judge);
    fc_site_free(site);
    return status;
}

size_t
fci_cure_governing(const struct fci_cures *c)
{
    size_t i, found = FCI_NONE;
    double least = INFINITY;

    for (i = 0; i < c->site->n_fixtures; i++) {
        const fc_fixture_state *s = &c->check->fixtures[i].states[c->state];

        if (s->works == FC_WORKS || !s->margin.given
            || !fci_is_less(s->margin.low, least))
            continue;
        least = s->margin.low;
        found = i;
    }
    return found;
}
