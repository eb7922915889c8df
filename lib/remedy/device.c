/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/device.c -- less loss of a meter, a backflow preventer, a device
 */
#include "remedy/remedies.h"
#include "units/units.h"

#include <math.h>
#include <string.h>

struct device_lever {
    size_t element;
    double loss;    /* at peak, at the worst end [Pa] */
    double nominal; /* and at the midpoints of all inputs, as check shows it */
    int most;
    bool rounded; /* its loss goes down to figures that are written */
};

static struct fci_shown
show(const struct fci_cures *c, double pressure)
{
    return fci_show(c->site->settings.units, FC_PRESSURE, pressure);
}

/* So many steps less at peak, and in proportion at every flow; the last takes
 * it all. */
static double
loss_after(const struct fci_cures *c, const struct device_lever *lever,
           int steps)
{
    return steps == lever->most ? 0
                                : lever->loss - steps * fci_pressure_step(c);
}

static double
scaled(const struct fci_cures *c, const struct device_lever *lever,
       double factor, double loss)
{
    return lever->rounded ? fci_figure(c, FC_PRESSURE, FC_DOWN, factor * loss)
                          : factor * loss;
}

/* The low end of a constant loss, less than which none of its kind loses; but
 * no more than it was given with. */
static double
least_of_kind(const struct fci_cures *c, const struct device_lever *lever,
              const fc_range *given, double high)
{
    const struct fci_part *part = c->site->elements[lever->element].part;

    return part->kind == FCI_BACKFLOW
               ? fmin(given->low, fci_made_least(c, part->data, high))
               : 0;
}

/* A loss at `factor` times what it is at any flow; false when out of memory */
static bool
scale(const struct fci_cures *c, const struct device_lever *lever,
      double factor, fc_loss *loss)
{
    const double high = scaled(c, lever, factor, loss->pressure.high);
    double low = scaled(c, lever, factor, loss->pressure.low);
    fc_point *points;
    size_t i;

    if (loss->kind == FC_CONSTANT_LOSS)
        low = fmax(low, least_of_kind(c, lever, &loss->pressure, high));
    loss->pressure = fc_between(low, high);
    if (loss->kind != FC_CURVE_LOSS)
        return true;
    points = fci_arena_copy(c->arena, loss->points,
                            loss->n_points * sizeof *points);
    for (i = 0; points && i < loss->n_points; i++)
        points[i].y = scaled(c, lever, factor, points[i].y);
    loss->points = points;
    return points != NULL;
}

/* The loss by its kind and size is given up for a figure. */
static bool
turn_device(const struct fci_cures *c, const void *what, int steps,
            struct fci_change_list *list)
{
    const struct device_lever *lever = what;
    const struct fci_element *element = &c->site->elements[lever->element];
    const enum fci_kind kind = element->part->kind;
    fc_device *device =
        fci_arena_copy(c->arena, element->part->data, sizeof *device);

    return device
           && scale(c, lever, loss_after(c, lever, steps) / lever->loss,
                    &device->loss)
           && fci_change_put(list, kind, element->name, "loss", device)
           && (!device->meter_kind
               || (fci_change_add(list, kind, element->name, "kind", NULL)
                   && fci_change_add(list, kind, element->name, "size",
                                     NULL)));
}

/* "now 10.5 psi at peak, worst case 15.0 psi"; "at peak" left out where the
 * sentence has it. */
static const char *
now_said(const struct fci_cures *c, const struct device_lever *lever,
         const char *at_peak)
{
    const struct fci_shown nominal = show(c, lever->nominal);
    const struct fci_shown worst = show(c, lever->loss);

    return strcmp(nominal.text, worst.text) == 0
               ? fci_arena_printf(c->arena, "now %s%s", worst.text, at_peak)
               : fci_arena_printf(c->arena, "now %s%s, worst case %s",
                                  nominal.text, at_peak, worst.text);
}

static const char *
say(const struct fci_cures *c, const struct device_lever *lever,
    const fc_remedy *told, const struct fci_turned *t,
    const struct fci_made *made)
{
    const char *name = c->site->elements[lever->element].name, *end;
    const char *now =
        now_said(c, lever, t->outcome == FCI_USELESS ? " at peak" : "");

    if (!now)
        return NULL;

    if (t->outcome == FCI_USELESS)
        return fci_arena_printf(
            c->arena, "Even with no loss at all in %s (%s) %s is short.", name,
            now, t->fixture);
    if (t->outcome == FCI_SERVES && t->idle)
        return fci_cure_idle(c, t, "Less loss in a device");
    if (told->reach == FC_NOT_MADE)
        return fci_arena_printf(
            c->arena, "%s would have to lose at most %s at peak (%s), but %s.",
            name,
            fci_show_at_most(c->site->settings.units, FC_PRESSURE, told->value)
                .text,
            now, made->none);
    end = fci_cure_end(c, t, false);
    return end ? fci_arena_printf(
               c->arena,
               "Replace %s with one losing at most %s at peak (%s)%s%s.", name,
               fci_show_at_most(c->site->settings.units, FC_PRESSURE,
                                told->value)
                   .text,
               now, made->which, end)
               : NULL;
}

/* How far it has to go was sought to the last digit.  What is to be written is
 * rounded to less loss, and kept to the last digit where that would not do. */
static fc_status
take_changes(const struct fci_cures *c, const struct device_lever *lever,
             int steps, struct fci_change_list *list)
{
    struct device_lever rounded = *lever;
    bool works;
    fc_status status;

    rounded.rounded = true;
    if (!turn_device(c, &rounded, steps, list))
        return FC_ENOMEM;
    status = fci_cure_check(c, list, &works, NULL);
    if (status != FC_OK || works)
        return status;
    fci_change_list_free(list);
    return turn_device(c, lever, steps, list) ? FC_OK : FC_ENOMEM;
}

/* What it then loses at peak, worst case, as it is written. */
static fc_status
find_loss(const struct fci_cures *c, const struct device_lever *lever,
          int steps, double *loss)
{
    const size_t at = lever->element;
    struct fci_change_list list = { 0 };
    fc_site *site = NULL;
    fc_status status = turn_device(c, lever, steps, &list) ? FC_OK : FC_ENOMEM;

    if (status == FC_OK)
        status = fci_site_changed(c->site, list.changes, list.n, &site,
                                  c->messages);
    if (status == FC_OK)
        *loss = fci_element_loss_at(
            &site->elements[at], c->judge.demand[c->state][at].flow[FCI_WORST],
            FCI_WORST);
    fc_site_free(site);
    fci_change_list_free(&list);
    return status;
}

/* A meter is named where the building works with it: not here. */
static const char *
tell_device(const struct fci_cures *c, const void *what, int steps,
            fc_remedy *told)
{
    const struct device_lever *lever = what;
    const struct fci_element *element = &c->site->elements[lever->element];
    const char *now = now_said(c, lever, "");
    struct fci_made made = { FC_IN_REACH, "", "" };

    told->value = loss_after(c, lever, steps);
    if (!now
        || (lever->rounded
            && find_loss(c, lever, steps, &told->value) != FC_OK)
        || (element->part->kind != FCI_METER
            && fci_made_find(c, lever->element, told->value, &made) != FC_OK))
        return NULL;
    told->reach = made.reach;
    return fci_arena_printf(
        c->arena, "Replace %s with one losing at most %s at peak (%s)%s",
        element->name,
        fci_show_at_most(c->site->settings.units, FC_PRESSURE, told->value)
            .text,
        now, made.which);
}

/* Down to the least that one of its kind loses, where that is known, as it is
 * written. */
static fc_status
find_steps_made(const struct fci_cures *c, const struct device_lever *rounded,
                int *steps)
{
    const double lowest = fci_made_lowest(c, rounded->element);
    const double less = rounded->loss - lowest;
    double loss = 0;
    fc_status status = FC_OK;

    *steps = less > 0 ? (int)floor(less / fci_pressure_step(c) + 1e-6) : 0;
    while (status == FC_OK && *steps > 0) {
        status = find_loss(c, rounded, *steps, &loss);
        if (loss > lowest - FCI_SAME_PRESSURE)
            break;
        --*steps;
    }
    return status;
}

static fc_status
add_partner(struct fci_cures *c, const struct device_lever *lever,
            const fc_remedy *told)
{
    struct device_lever *rounded =
        fci_arena_copy(c->arena, lever, sizeof *rounded);
    struct fci_partner partner = {
        .told = *told,
        .kind = c->site->elements[lever->element].part->kind,
        .turn = turn_device,
        .lever = fci_arena_copy(c->arena, lever, sizeof *lever),
        .written = rounded,
        .most = lever->most,
        .tell = tell_device,
    };
    fc_status status;

    if (!partner.lever || !rounded)
        return FC_ENOMEM;
    rounded->rounded = true;
    status = find_steps_made(c, rounded, &partner.far);
    return status != FC_OK                ? status
           : fci_add_partner(c, &partner) ? FC_OK
                                          : FC_ENOMEM;
}

static fc_status
cure_with(struct fci_cures *c, const struct device_lever *lever)
{
    fc_remedy told = fci_remedy_of(
        FC_LOWER_LOSS, c->site->elements[lever->element].name, FC_PRESSURE);
    struct fci_change_list list = { 0 };
    struct fci_made made = { FC_IN_REACH, "", "" };
    struct fci_turned t;
    fc_status status = fci_cure_search(c, turn_device, lever, lever->most, &t);

    if (status != FC_OK)
        return status;
    told.now = lever->loss;
    if (t.outcome != FCI_USELESS && !(t.outcome == FCI_SERVES && t.idle)) {
        told.value = loss_after(c, lever, t.steps);
        status = fci_made_find(c, lever->element, told.value, &made);
    }
    if (status != FC_OK)
        return status;
    told.reach = made.reach;
    told.works = t.outcome == FCI_CURES && told.reach != FC_NOT_MADE;
    told.fixture = t.fixture;
    told.text = say(c, lever, &told, &t, &made);
    if (!told.works && !(t.outcome == FCI_SERVES && t.idle))
        status = add_partner(c, lever, &told);
    if (status == FC_OK && told.works)
        status = take_changes(c, lever, t.steps, &list);
    if (status != FC_OK) {
        fci_change_list_free(&list);
        return status;
    }
    return fci_cure_add(c, &told, &list) ? FC_OK : FC_ENOMEM;
}

fc_status
fci_cure_devices(struct fci_cures *c)
{
    fc_status status = FC_OK;
    size_t i;

    for (i = 0; i < c->site->n_elements && status == FC_OK; i++) {
        const size_t at = c->site->order[i];
        const struct fci_element *element = &c->site->elements[at];
        struct device_lever lever = { .element = at };

        if (!fci_part_kinds[element->part->kind].device || !c->feeds[at])
            continue;
        lever.loss = fci_element_loss_at(
            element, c->judge.demand[c->state][at].flow[FCI_WORST], FCI_WORST);
        lever.nominal = fci_element_loss_at(
            element, c->judge.demand[c->state][at].flow[FCI_NOMINAL],
            FCI_NOMINAL);
        if (!(lever.loss > fci_pressure_step(c)))
            continue;
        lever.most = (int)ceil(lever.loss / fci_pressure_step(c));
        status = cure_with(c, &lever);
    }
    return status;
}
