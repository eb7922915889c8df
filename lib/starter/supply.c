/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/starter/supply.c -- what comes before the risers: source, service, meter
 * and preventer. */
#include "starter/pen.h"

#include <math.h>
#include <string.h>

static void
put_main(struct fci_pen *pen)
{
    fci_pen_section(pen, "source", pen->feed, NULL);
    fci_pen_line(pen, "kind", NULL, "street main");
    fci_pen_answer(pen, "static", FCI_ASK_MAIN, FCI_USUAL_STATIC,
                   ASSUMED ": read a gauge, nothing open");
    if (pen->a->text[FCI_ASK_FLOW_TEST])
        fci_pen_line(pen, "flow test", NULL, "%s",
                     pen->a->text[FCI_ASK_FLOW_TEST]);
    else
        fprintf(pen->out,
                "; flow test = ? %s at ? %s: ask the water utility\n",
                fc_unit_name(pen->a->units, FC_PRESSURE),
                fc_unit_name(pen->a->units, FC_FLOW));
}

/* As low as the water ever is: where on the way down the outlet is makes no
 * difference to a pressure. */
static void
put_outlet(const struct fci_pen *pen)
{
    const fc_unit_system system = pen->a->units;
    const fc_range level = pen->a->tank;
    char low[40];

    if (level.low == level.high) {
        fci_pen_line(pen, "elevation", "its outlet", "%s",
                     pen->a->text[FCI_ASK_TANK]);
        return;
    }
    fc_show(system, FC_LENGTH, FC_DOWN, 2, level.low, low, sizeof low);
    fci_pen_line(pen, "elevation", "its outlet", "%s %s", low,
                 fc_unit_name(system, FC_LENGTH));
}

static void
put_source(struct fci_pen *pen)
{
    const struct fci_answers *a = pen->a;

    snprintf(pen->feed, sizeof pen->feed, "%s",
             a->tank.given       ? "tank"
             : a->pressure.given ? "supply"
                                 : "main");
    if (a->tank.given) {
        fci_pen_section(pen, "source", pen->feed, NULL);
        fci_pen_line(pen, "kind", NULL, "tank");
        fci_pen_line(pen, "water level", "over the first floor", "%s",
                     a->text[FCI_ASK_TANK]);
        put_outlet(pen);
    } else if (a->pressure.given) {
        fci_pen_section(pen, "source", pen->feed, NULL);
        fci_pen_line(pen, "kind", NULL, "fixed");
        fci_pen_line(pen, "pressure", NULL, "%s", a->text[FCI_ASK_PRESSURE]);
    } else {
        put_main(pen);
    }
}

static void
put_service(struct fci_pen *pen)
{
    if (pen->a->tank.given || pen->a->pressure.given)
        return;
    fci_pen_element(pen, "pipe", "service", "main to meter");
    fci_pen_size(pen, FCI_ASK_SERVICE,
                 pen->sizes ? &pen->sizes->service : NULL);
    fci_pen_range(pen, "length", ASSUMED, FC_LENGTH,
                  fci_pen_usual(pen, FCI_USUAL_SERVICE));
}

/* Of a known size: its kind may be any. */
static void
put_any_meter(const struct fci_pen *pen)
{
    const struct fci_answers *a = pen->a;
    const struct fci_meter_kind *kind = a->meter_kind;
    char remark[80];
    size_t i = 0;

    while (i + 1 < kind->n_sizes
           && fabs(kind->sizes[i].nominal - a->meter_size.nominal) > 1e-6)
        i++;
    snprintf(remark, sizeof remark, ASSUMED ": %s, read its kind off it",
             fci_show(a->units, FC_SIZE, a->meter_size.nominal).text);
    fci_pen_line(pen, "loss", remark, "%s at %.4g %s",
                 fci_pen_digits(pen, FC_PRESSURE,
                                fci_pen_usual(pen, FCI_USUAL_METER_KIND))
                     .text,
                 fc_from_si(a->units, FC_FLOW, kind->sizes[i].flow),
                 fc_unit_name(a->units, FC_FLOW));
}

/* Where a main feeds a building there is a meter, and perhaps a preventer. */
static void
put_meter(struct fci_pen *pen)
{
    const struct fci_answers *a = pen->a;
    const bool main = !a->tank.given && !a->pressure.given;

    if (a->no_meter || (!main && !a->meter))
        return;
    fci_pen_element(pen, "meter", "meter", NULL);
    if (!a->meter) {
        fci_pen_range(pen, "loss", ASSUMED ": read kind and size off it",
                      FC_PRESSURE, fci_pen_usual(pen, FCI_USUAL_METER));
        return;
    }
    if (!a->meter_kind_given) {
        put_any_meter(pen);
        return;
    }
    fci_pen_line(pen, "kind", NULL, "%s", a->meter_kind->head.name);
    fci_pen_line(pen, "size", NULL, "%s",
                 fci_show(a->units, FC_SIZE, a->meter_size.nominal).text);
}

static void
put_backflow(struct fci_pen *pen)
{
    static const struct {
        const char *name, *remark;
        enum fci_usual_name usual;
    } of[] = {
        [FCI_PREVENTER_UNKNOWN] = { "backflow",
                                    ASSUMED ": see whether there is one",
                                    FCI_USUAL_BACKFLOW },
        [FCI_RP] = { "rp", "usual: its data sheet has a curve", FCI_USUAL_RP },
        [FCI_DOUBLE_CHECK] = { "double-check",
                               "usual: its data sheet has a curve",
                               FCI_USUAL_DOUBLE_CHECK },
    };
    const struct fci_answers *a = pen->a;
    const enum fci_preventer preventer = a->preventer;

    if (preventer == FCI_NO_PREVENTER
        || (preventer == FCI_PREVENTER_UNKNOWN
            && (a->tank.given || a->pressure.given)))
        return;
    fci_pen_element(pen, "backflow", of[preventer].name, NULL);
    fci_pen_range(pen, "loss", of[preventer].remark, FC_PRESSURE,
                  fci_pen_usual(pen, of[preventer].usual));
}

void
fci_write_supply(struct fci_pen *pen)
{
    put_source(pen);
    put_service(pen);
    put_meter(pen);
    put_backflow(pen);
}
