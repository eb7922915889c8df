/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/reducer.c -- too much pressure without flow: a reducer put in, or
 * one turned down.
 *
 * Its window is known (remedy/reducer_window.c).  One that is too high comes
 * down as little as it has to; a new one gets the middle of its window, from
 * where it may be off either way.
 */
#include "remedy/remedies.h"
#include "units/units.h"

#include <math.h>

static struct fci_shown
show(const struct fci_cures *c, double pressure)
{
    return fci_show(c->site->settings.units, FC_PRESSURE, pressure);
}

static struct fci_shown
show_range(const struct fci_cures *c, fc_range pressure)
{
    return fci_show_range(c->site->settings.units, FC_PRESSURE, pressure);
}

static double
round_down(const struct fci_cures *c, double pressure)
{
    return fci_figure(c, FC_PRESSURE, FC_DOWN, pressure);
}

static const char *
with_but(const struct fci_cures *c, const char *text, const char *but)
{
    return text && but
               ? fci_arena_printf(c->arena, "%s; but then %s.", text, but)
           : text ? fci_arena_printf(c->arena, "%s.", text)
                  : NULL;
}

/* What is in the list is checked and becomes a remedy. */
static fc_status
try_changes(struct fci_cures *c, fc_remedy *told, const char *text,
            struct fci_change_list *list)
{
    const char *but = NULL;
    const fc_status status = fci_cure_bears(c, list, &told->works, &but);

    told->text = with_but(c, text, but);
    if (status != FC_OK || !told->works)
        fci_change_list_free(list);
    if (status != FC_OK)
        return status;
    return fci_cure_add(c, told, list) ? FC_OK : FC_ENOMEM;
}

/* ---- One that is there ------------------------------------------------ */

static fc_status
turn_down(struct fci_cures *c, const fc_reducer_window *w)
{
    fc_remedy told = fci_remedy_of(FC_LOWER_REDUCER, w->reducer, FC_PRESSURE);
    const struct fci_part *part =
        fci_site_find(c->site, FCI_REDUCER, w->reducer);
    const fc_reducer *given = fci_given(c->site, part);
    fc_reducer *turned = fci_arena_copy(c->arena, given, sizeof *turned);
    struct fci_change_list list = { 0 };
    const char *text;

    if (!turned)
        return FC_ENOMEM;
    if (w->set.nominal <= w->all.high)
        return FC_OK; /* it is not too high */
    told.now = given->set.nominal;
    told.value = round_down(c, w->all.high);
    told.fixture = w->all.high_first;
    turned->set = fci_moved(c, FC_PRESSURE, given->set, told.value - told.now);
    if (!fci_change_put(&list, FCI_REDUCER, w->reducer, "set", turned))
        return FC_ENOMEM;
    text = fci_arena_printf(
        c->arena, "Turn %s down (now %s, then %s); limited by static at %s",
        w->reducer, show_range(c, given->set).text,
        show_range(c, turned->set).text, told.fixture);
    return try_changes(c, &told, text, &list);
}

/* ---- A new one -------------------------------------------------------- */

static size_t
element_named(const fc_site *site, const char *name)
{
    size_t i;

    for (i = 0; i + 1 < site->n_elements; i++)
        if (fci_same_name(site->elements[i].name, name))
            break;
    return i;
}

static double
middle_of(const struct fci_cures *c, const fc_reducer_zone *zone)
{
    const double middle = round_down(c, (zone->low + zone->high) / 2);

    return middle < zone->low ? round_down(c, zone->high) : middle;
}

static fc_status
put_in(struct fci_cures *c, const fc_reducer_window *w)
{
    fc_remedy told = fci_remedy_of(FC_ADD_REDUCER, w->behind, FC_PRESSURE);
    struct fci_change_list list = { 0 };
    fc_reducer put = { .name = fci_new_name(c, "prv"), .from = w->behind };
    fc_reducer *kept;
    const char *text;

    told.value = middle_of(c, &w->all);
    told.fixture = w->all.high_first;
    put.set = fc_exactly(told.value);
    kept = fci_arena_copy(c->arena, &put, sizeof put);
    if (!put.name || !kept || !fci_change_add_part(&list, FCI_REDUCER, kept)
        || !fci_hang_behind(c, c->site, element_named(c->site, w->behind),
                            put.name, &list)) {
        fci_change_list_free(&list);
        return FC_ENOMEM;
    }
    text = fci_arena_printf(
        c->arena,
        "Install a PRV downstream of %s, set pressure %s (%s to %s works, "
        "without fall-off)",
        w->behind, show(c, told.value).text,
        show(c, fci_figure(c, FC_PRESSURE, FC_UP, w->all.low)).text,
        show(c, round_down(c, w->all.high)).text);
    return try_changes(c, &told, text, &list);
}

typedef fc_status cure_window(struct fci_cures *cures,
                              const fc_reducer_window *window);

/* Where a setting would do and one as high as can be would not: a window of a
 * reducer that is there, or of one that is not. */
static fc_status
cure_with_all(struct fci_cures *c, bool there, cure_window *cure)
{
    fc_status status = FC_OK;
    size_t i;

    for (i = 0; i < c->n_windows && status == FC_OK; i++) {
        const fc_reducer_window *w = &c->windows[i];

        if (w->all.possible && !isinf(w->all.high)
            && (w->reducer != NULL) == there)
            status = cure(c, w);
    }
    return status;
}

fc_status
fci_cure_lower_reducers(struct fci_cures *c)
{
    return cure_with_all(c, true, turn_down);
}

fc_status
fci_cure_add_reducer(struct fci_cures *c)
{
    const fc_status status = cure_with_all(c, false, put_in);

    return status == FC_OK && !c->any_short ? fci_cure_several_reducers(c)
                                            : status;
}
