/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/starter/risers.c -- booster, PRVs and risers. */
#include "site/parts.h"
#include "starter/pen.h"

#include <math.h>
#include <string.h>

static const char *
kind_word(enum fci_kind kind)
{
    return fci_part_kinds[kind].word;
}

/* A head, rounded up, that gives the set pressure whatever comes in, up to the
 * peak flow rounded up. */
static void
put_booster(struct fci_pen *pen)
{
    const struct fci_answers *a = pen->a;
    const double flow =
        fc_from_si(FC_US, FC_FLOW, pen->sizes ? pen->sizes->boosted : 0);
    const double head = fc_from_si(FC_US, FC_PRESSURE, a->booster->value.high)
                        * 2.31; /* ft of water a psi */
    const int gpm = 10 * ((int)(flow / 10) + 1),
              ft = 10 * (int)(head / 10 + 1);
    char remark[40], held[80];

    snprintf(remark, sizeof remark, "floors %d to %d", a->booster->first,
             a->booster->last);
    fci_pen_element(pen, kind_word(FCI_PUMP), "booster", remark);
    /* how far a booster holds it is in the curve, which nobody gave */
    snprintf(held, sizeof held, ASSUMED ": %s once its curve is in",
             a->booster->pressure);
    fci_pen_line(
        pen, "hold", held, "1..%.0f %s",
        ceil(fc_from_si(a->units, FC_PRESSURE, a->booster->value.high)),
        fc_unit_name(a->units, FC_PRESSURE));
    fci_pen_line(pen, "curve", ASSUMED ": put in its own",
                 "0 gpm %d ft, %d gpm %d ft", ft, gpm, ft);
}

/* Of the valves of a floor over the zero of elevations. */
static fc_range
elevation_of(const struct fci_pen *pen, int floor)
{
    const struct fci_answers *a = pen->a;
    const fc_range first = a->tank.given ? fc_exactly(0)
                           : a->first_floor.given
                               ? a->first_floor
                               : fci_pen_usual(pen, FCI_USUAL_FIRST_FLOOR);
    const fc_range story =
        a->floor.given ? a->floor : fci_pen_usual(pen, FCI_USUAL_STORY);

    return fci_range_plus(
        fci_range_plus(first, 1, fci_pen_usual(pen, FCI_USUAL_VALVE_HEIGHT)),
        floor - 1, story);
}

/* From what feeds a run to the valves of its first floor; under a tank, of its
 * last. */
static void
put_foot(struct fci_pen *pen, const struct fci_run *run)
{
    const struct fci_answers *a = pen->a;
    const int floor = a->tank.given ? run->last : run->first;
    const fc_range header = fci_pen_usual(pen, FCI_USUAL_HEADER);
    const struct fci_shown valves = fci_pen_digits(
        pen, FC_LENGTH, fci_pen_usual(pen, FCI_USUAL_VALVE_HEIGHT));
    fc_range rise = elevation_of(pen, floor);
    char name[20], remark[100];

    if (a->tank.given)
        rise = fc_between(rise.low - a->tank.low, rise.high - a->tank.low);
    snprintf(name, sizeof name, "riser-%d", floor);
    fci_pen_element(pen, "pipe", name, NULL);
    fci_pen_size(pen, FCI_ASK_RISER, pen->sizes ? &pen->sizes->riser : NULL);
    fci_pen_range(
        pen, "length", ASSUMED, FC_LENGTH,
        fc_between(header.low + fmax(0, fmax(rise.low, -rise.high)),
                   header.high + fmax(fabs(rise.low), fabs(rise.high))));
    snprintf(remark, sizeof remark, "%svalves %s over the floor",
             a->tank.given || a->first_floor.given ? "" : ASSUMED "; ",
             valves.text);
    fci_pen_range(pen, "rise", remark, FC_LENGTH, rise);
}

static void
put_run(struct fci_pen *pen, const struct fci_run *run)
{
    char name[40], before[sizeof pen->feed];

    memcpy(before, pen->feed, sizeof before);
    if (run->boosted)
        snprintf(pen->feed, sizeof pen->feed, "booster");
    if (run->prv) {
        snprintf(name, sizeof name, "floors-%d-%d", run->first, run->last);
        fci_pen_element(pen, kind_word(FCI_REDUCER), name, NULL);
        fci_pen_line(pen, "set", NULL, "%s", run->prv->pressure);
        fprintf(pen->out, "; fall-off = ? %s at ? %s: from its chart\n",
                fc_unit_name(pen->a->units, FC_PRESSURE),
                fc_unit_name(pen->a->units, FC_FLOW));
    }
    put_foot(pen, run);
    memcpy(pen->feed, before, sizeof before);
}

/* From one floor to the next, in every run. */
static void
put_riser(const struct fci_pen *pen)
{
    const struct fci_answers *a = pen->a;
    const bool down = a->tank.given;
    const fc_range story =
        a->floor.given ? a->floor : fci_pen_usual(pen, FCI_USUAL_STORY);
    int listed = 0;
    size_t i;

    if (a->n_runs == (size_t)a->stories)
        return;
    fci_pen_section(pen, "pipe", "riser-{floor}", NULL);
    fprintf(pen->out, "floors = ");
    for (i = 0; i < a->n_runs; i++) {
        const int first = a->runs[i].first + !down;
        const int last = a->runs[i].last - down;

        if (first > last)
            continue;
        fprintf(pen->out, "%s%d", listed++ ? ", " : "", first);
        if (last > first)
            fprintf(pen->out, "..%d", last);
    }
    fputc('\n', pen->out);
    fci_pen_line(pen, "from", NULL, "riser-{floor%s}", down ? "+1" : "-1");
    fci_pen_size(pen, FCI_ASK_RISER, pen->sizes ? &pen->sizes->riser : NULL);
    if (down) { /* alike in their digits: no pipe falls more than its length */
        fci_pen_range(pen, "length", a->floor.given ? NULL : ASSUMED,
                      FC_LENGTH, story);
        fci_pen_range(pen, "rise", NULL, FC_LENGTH,
                      fc_between(-story.high, -story.low));
    } else {
        fci_pen_answer(pen, "length", FCI_ASK_FLOOR, FCI_USUAL_STORY, ASSUMED);
        fci_pen_answer(pen, "rise", FCI_ASK_FLOOR, FCI_USUAL_STORY, ASSUMED);
    }
}

void
fci_write_risers(struct fci_pen *pen)
{
    const struct fci_answers *a = pen->a;
    char before[sizeof pen->feed];
    size_t i;

    memcpy(before, pen->feed, sizeof before);
    if (a->booster)
        put_booster(pen);
    memcpy(pen->feed, before, sizeof before);
    for (i = 0; i < a->n_runs; i++)
        put_run(pen, &a->runs[i]);
    put_riser(pen);
}
