/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/remedy/made.c -- what meters and preventers there are to put in.
 *
 * A meter loses at most what its standard allows (tables/meters*.ini), and
 * none is larger than the pipe that it stands in (common practice).  A
 * preventer loses at least what its checks hold at any flow
 * (tables/usual.ini).
 */
#include "remedy/remedies.h"
#include "units/units.h"

#include <math.h>

#define SAME_SIZE 1e-6 /* m: sizes come from texts in several units */

static struct fci_shown
show(const struct fci_cures *c, fc_dimension dimension, double value)
{
    return fci_show(c->site->settings.units, dimension, value);
}

/* Whether one that is told to lose so much loses less than what there is. */
static bool
is_less(const struct fci_cures *c, double loss, double least)
{
    return fci_figure(c, FC_PRESSURE, FC_DOWN, loss)
           < fci_figure(c, FC_PRESSURE, FC_NEAREST, least) - FCI_SAME_PRESSURE;
}

/* ---- Meters ----------------------------------------------------------- */

struct meters {
    const struct fci_cures *cures;
    const struct fci_element *element;
    double flow;    /* at peak, worst case [m3/s] */
    double largest; /* that fits in [m]; INFINITY: not known */
    const struct fci_meter_kind *kinds;
    size_t n;
};

static double
pipe_size(const struct fci_element *element)
{
    return element->pipe && element->pipe->given->size.given
               ? element->pipe->given->size.high
               : 0;
}

/* The larger of the pipe that feeds it and of those that it feeds, or its own
 * size. */
static double
line_size(const fc_site *site, size_t at)
{
    const fc_device *device = site->elements[at].part->data;
    double size = device->size.given ? device->size.nominal : 0;
    size_t i;

    for (i = site->elements[at].parent; i != FCI_NONE;
         i = site->elements[i].parent)
        if (site->elements[i].pipe) {
            size = fmax(size, pipe_size(&site->elements[i]));
            break;
        }
    for (i = 0; i < site->n_elements; i++)
        if (site->elements[i].parent == at)
            size = fmax(size, pipe_size(&site->elements[i]));
    return size > 0 ? size : INFINITY;
}

/* The most that one loses at peak; INFINITY: it does not fit, or so much must
 * not go through it. */
static double
loss_of(const struct meters *m, const struct fci_meter_kind *kind,
        const struct fci_meter_size *size)
{
    const double share = m->flow / size->flow;

    return size->nominal > m->largest + SAME_SIZE || share > 1 + 1e-9
               ? INFINITY
               : size->most * share * share + kind->change_over;
}

static fc_status
does(const struct meters *m, const struct fci_meter_kind *kind,
     const struct fci_meter_size *size, bool *works)
{
    struct fci_change_list list = { 0 };
    const char *name = m->element->name;
    fc_status status = FC_ENOMEM;

    if ((((const fc_device *)m->element->part->data)->meter_kind
         || fci_change_add(&list, FCI_METER, name, "loss", NULL))
        && fci_change_add(&list, FCI_METER, name, "kind", kind->head.name)
        && fci_change_add(&list, FCI_METER, name, "size", size->label))
        status = fci_cure_check(m->cures, &list, works, NULL);
    fci_change_list_free(&list);
    return status;
}

/* The smallest that loses no more and with which the building works. */
static fc_status
name_one(const struct meters *m, double loss, struct fci_made *made)
{
    double tried = 0, next;
    bool works = false;

    do {
        size_t i, k;

        next = INFINITY;
        for (i = 0; i < m->n && !works; i++)
            for (k = 0; k < m->kinds[i].n_sizes && !works; k++) {
                const struct fci_meter_size *size = &m->kinds[i].sizes[k];
                fc_status status;

                if (size->nominal > tried + SAME_SIZE)
                    next = fmin(next, size->nominal);
                if (fabs(size->nominal - tried) > SAME_SIZE
                    || is_less(m->cures, loss, loss_of(m, &m->kinds[i], size)))
                    continue;
                status = does(m, &m->kinds[i], size, &works);
                if (status != FC_OK)
                    return status;
                if (works)
                    made->which = fci_arena_printf(
                        m->cures->arena, ", such as a %s %s meter",
                        size->label, m->kinds[i].head.name);
            }
        tried = next;
    } while (!works && next < INFINITY);
    return made->which ? FC_OK : FC_ENOMEM;
}

static struct meters
meters_for(const struct fci_cures *c, size_t at)
{
    struct meters m = { .cures = c, .element = &c->site->elements[at] };

    m.flow = c->judge.demand[c->state][at].flow[FCI_WORST];
    m.largest = line_size(c->site, at);
    m.n = fci_tables_meters(c->site->tables, &m.kinds);
    return m;
}

/* The one that loses least; NULL: none may pass so much. */
static const struct fci_meter_size *
best_of(const struct meters *m, const struct fci_meter_kind **kind)
{
    const struct fci_meter_size *best = NULL;
    size_t i, k;

    for (i = 0; i < m->n; i++)
        for (k = 0; k < m->kinds[i].n_sizes; k++)
            if (loss_of(m, &m->kinds[i], &m->kinds[i].sizes[k])
                < (best ? loss_of(m, *kind, best) : INFINITY)) {
                *kind = &m->kinds[i];
                best = &m->kinds[i].sizes[k];
            }
    return best;
}

static fc_status
find_meter(const struct fci_cures *c, size_t at, double loss,
           struct fci_made *made)
{
    const struct meters m = meters_for(c, at);
    const struct fci_meter_kind *best_kind = NULL;
    const struct fci_meter_size *best = best_of(&m, &best_kind);
    const char *up_to = "";

    if (best && !is_less(c, loss, loss_of(&m, best_kind, best)))
        return name_one(&m, loss, made);
    if (!isinf(m.largest))
        up_to = fci_arena_printf(c->arena, " of up to %s",
                                 show(c, FC_SIZE, m.largest).text);
    if (!up_to)
        return FC_ENOMEM;
    made->none =
        best ? fci_arena_printf(
            c->arena, "no meter%s loses that little: a %s %s meter loses %s",
            up_to, best->label, best_kind->head.name,
            show(c, FC_PRESSURE, loss_of(&m, best_kind, best)).text)
             : fci_arena_printf(c->arena, "no meter%s may pass %s", up_to,
                                show(c, FC_FLOW, m.flow).text);
    made->reach = FC_NOT_MADE;
    return made->none ? FC_OK : FC_ENOMEM;
}

/* ---- Preventers ------------------------------------------------------- */

static fc_status
find_preventer(const struct fci_cures *c, const fc_device *device, double loss,
               struct fci_made *made)
{
    const double rp =
        fci_tables_usual(c->site->tables, FCI_USUAL_RP)->range.low;
    const double dc =
        fci_tables_usual(c->site->tables, FCI_USUAL_DOUBLE_CHECK)->range.low;
    const bool is_rp = device->preventer == FC_RP;
    const double least = is_rp ? rp : dc;

    made->reach = FC_IN_REACH;
    if (is_less(c, loss, least)) {
        made->reach = FC_NOT_MADE;
        made->none = fci_arena_printf(c->arena, "no %s loses less than %s",
                                      is_rp ? "RP" : "double check",
                                      show(c, FC_PRESSURE, least).text);
    } else if (device->preventer == FC_ANY_PREVENTER && is_less(c, loss, rp)) {
        made->reach = FC_ONLY_DOUBLE_CHECK;
        made->which = fci_arena_printf(
            c->arena, "; a double check may, no RP loses less than %s",
            show(c, FC_PRESSURE, rp).text);
    }
    return made->none && made->which ? FC_OK : FC_ENOMEM;
}

double
fci_made_least(const struct fci_cures *c, const fc_device *device, double loss)
{
    const double rp =
        fci_tables_usual(c->site->tables, FCI_USUAL_RP)->range.low;
    const double dc =
        fci_tables_usual(c->site->tables, FCI_USUAL_DOUBLE_CHECK)->range.low;
    const bool may_be_rp = device->preventer == FC_RP
                           || (device->preventer == FC_ANY_PREVENTER
                               && loss >= rp - FCI_SAME_PRESSURE);

    return fmin(may_be_rp ? rp : dc, loss);
}

double
fci_made_lowest(const struct fci_cures *c, size_t element)
{
    const struct fci_part *part = c->site->elements[element].part;
    const struct meters m = meters_for(c, element);
    const struct fci_meter_kind *kind = NULL;
    const struct fci_meter_size *best;

    if (part->kind == FCI_BACKFLOW)
        return fci_tables_usual(c->site->tables,
                                ((const fc_device *)part->data)->preventer
                                        == FC_RP
                                    ? FCI_USUAL_RP
                                    : FCI_USUAL_DOUBLE_CHECK)
            ->range.low;
    best = part->kind == FCI_METER ? best_of(&m, &kind) : NULL;
    return best ? loss_of(&m, kind, best) : NAN;
}

/* ---- All -------------------------------------------------------------- */

fc_status
fci_made_find(const struct fci_cures *c, size_t element, double loss,
              struct fci_made *made)
{
    const struct fci_part *part = c->site->elements[element].part;

    if (part->kind == FCI_METER)
        return find_meter(c, element, loss, made);
    if (part->kind == FCI_BACKFLOW)
        return find_preventer(c, part->data, loss, made);
    return FC_OK;
}
