/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/starter/text.c -- the site file of a building from the answers.
 *
 * What nobody gave is a range of what is usual, or says "assumed" beside it
 * and in the title, so that no verdict on it is taken for one on a building.
 */
#include "ground/text_stream.h"
#include "site/parts.h"
#include "starter/pen.h"
#include "units/units.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define ASSUMED "assumed"
#define CLOSETS_ASSUMED 2 /* in a toilet room: common practice of offices */

/* ---- The head ---------------------------------------------------------- */

/* What the title tells of as assumed, a comma before all but the first. */
static void
add_assumed(const struct fci_pen *pen, int *n, bool assumed, const char *what)
{
    if (assumed)
        fprintf(pen->out, "%s%s", (*n)++ == 0 ? "" : ", ", what);
}

static void
put_assumed(const struct fci_pen *pen)
{
    const struct fci_answers *a = pen->a;
    const char *const *text = a->text;
    int n = 0;

    fprintf(pen->out, " (assumed: ");
    add_assumed(pen, &n, true, "lengths");
    add_assumed(pen, &n,
                !text[FCI_ASK_RISER] || !text[FCI_ASK_BRANCH]
                    || (!a->tank.given && !a->pressure.given
                        && !text[FCI_ASK_SERVICE]),
                "pipe sizes");
    add_assumed(pen, &n, !a->material_name, "material");
    add_assumed(pen, &n, !a->floor.given, "story height");
    add_assumed(pen, &n, !a->closets.given || a->batteries > 1,
                "fixture counts");
    add_assumed(pen, &n,
                !a->main.given && !a->tank.given && !a->pressure.given,
                "main");
    add_assumed(pen, &n, a->meter_size.given && !a->meter_kind_given,
                "kind of meter");
    add_assumed(pen, &n, a->booster != NULL, "booster curve");
    fprintf(pen->out, ")");
}

static void
put_title(const struct fci_pen *pen)
{
    const char *title = pen->a->title;
    const bool quotes = title && strpbrk(title, ";#") != NULL;

    fprintf(pen->out, "title = %s", quotes ? "\"" : "");
    if (title)
        fprintf(pen->out, "%s", title);
    else
        fprintf(pen->out, "Building of %d %s", pen->a->stories,
                pen->a->stories == 1 ? "story" : "stories");
    put_assumed(pen);
    fprintf(pen->out, "%s\n", quotes ? "\"" : "");
}

static void
put_head(const struct fci_pen *pen)
{
    const struct fci_answers *a = pen->a;

    fprintf(pen->out,
            "; A starter from flushcalc new: a range (..) is what is usual, "
            "and what nobody\n"
            "; gave says \"" ASSUMED "\". Put in what is there, and take it "
            "out of the title. No\n"
            "; fittings are listed, so 20 to 75%% of each pipe's length is "
            "added for them.\n"
            "[site]\n");
    put_title(pen);
    fci_pen_line(pen, "code", a->text[FCI_ASK_CODE] ? NULL : ASSUMED, "%s",
                 a->code == FC_UPC ? "upc" : "ipc");
    fci_pen_line(pen, "material", a->material_name ? NULL : ASSUMED, "%s",
                 a->material->head.name);
    if (a->units == FC_SI)
        fci_pen_line(pen, "units", NULL, "si");
}

/* ---- The supply -------------------------------------------------------- */

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

/* The size of a pipe: that given; `choose`; or the one found and the next. */
static void
put_size(const struct fci_pen *pen, enum fci_answer answer,
         const struct fci_starter_size *found)
{
    const fc_unit_system system = pen->a->units;
    char remark[120];

    if (pen->a->text[answer]) {
        fci_pen_line(pen, "size", NULL, "%s", pen->a->text[answer]);
        return;
    }
    if (!pen->sizes) {
        fci_pen_line(pen, "size", NULL, "choose");
        return;
    }
    snprintf(remark, sizeof remark, ASSUMED ": %s at %s",
             fci_show(system, FC_VELOCITY, found->velocity).text,
             fci_show(system, FC_FLOW, found->flow).text);
    if (found->next)
        fci_pen_line(pen, "size", remark, "%s .. %s", found->size->label,
                     found->next->label);
    else
        fci_pen_line(pen, "size", remark, "%s", found->size->label);
}

static void
put_service(struct fci_pen *pen)
{
    if (pen->a->tank.given || pen->a->pressure.given)
        return;
    fci_pen_element(pen, "pipe", "service", "main to meter");
    put_size(pen, FCI_ASK_SERVICE, pen->sizes ? &pen->sizes->service : NULL);
    fci_pen_range(pen, "length", ASSUMED, FC_LENGTH,
                  fci_pen_usual(pen, FCI_USUAL_SERVICE));
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
    fci_pen_line(pen, "kind",
                 a->meter_kind_given ? NULL
                                     : ASSUMED ": read it off the meter",
                 "%s", a->meter_kind->head.name);
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

/* ---- Risers ------------------------------------------------------------ */

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
    char remark[40];

    snprintf(remark, sizeof remark, "floors %d to %d", a->booster->first,
             a->booster->last);
    fci_pen_element(pen, kind_word(FCI_PUMP), "booster", remark);
    fci_pen_line(pen, "hold", NULL, "%s", a->booster->pressure);
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
    put_size(pen, FCI_ASK_RISER, pen->sizes ? &pen->sizes->riser : NULL);
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
    put_size(pen, FCI_ASK_RISER, pen->sizes ? &pen->sizes->riser : NULL);
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

/* ---- Toilet rooms ------------------------------------------------------ */

/* "wc-a-{floor}"; without the letter where a floor has one toilet room. */
struct name {
    char text[40];
};

static struct name
name_in(const struct fci_pen *pen, const char *stem, int battery)
{
    struct name name;

    if (pen->a->batteries == 1)
        snprintf(name.text, sizeof name.text, "%s-{floor}", stem);
    else
        snprintf(name.text, sizeof name.text, "%s-%c-{floor}", stem,
                 'a' + battery);
    return name;
}

static void
put_floors(const struct fci_pen *pen)
{
    if (pen->a->stories == 1)
        fci_pen_line(pen, "floors", NULL, "1");
    else
        fci_pen_line(pen, "floors", NULL, "1..%d", pen->a->stories);
}

/* How many a toilet room has; `given` false: nobody said. */
static int
count_in(const struct fci_pen *pen, fc_range fixtures, int battery)
{
    return fci_share_of(fixtures, pen->a->batteries, battery);
}

static void
put_count(const struct fci_pen *pen, int count, fc_range fixtures)
{
    char remark[60] = ASSUMED;

    if (fixtures.given)
        snprintf(remark, sizeof remark, ASSUMED " share of %d on a floor",
                 (int)fixtures.nominal);
    fci_pen_line(pen, "count",
                 fixtures.given && pen->a->batteries == 1 ? NULL : remark,
                 "%d", count);
}

/* What is not known of them is asked for once. */
static void
put_valves(const struct fci_pen *pen, int battery,
           const struct fci_valve_class *const *of)
{
    if (of[FC_EXISTING])
        fci_pen_line(pen, "existing", NULL, "%s", of[FC_EXISTING]->head.name);
    else if (battery == 0)
        fprintf(pen->out,
                "; existing = ?: a generic valve of this kind is taken\n");
    if (of[FC_RETROFIT])
        fci_pen_line(pen, "retrofit", NULL, "%s", of[FC_RETROFIT]->head.name);
    else if (battery == 0)
        fprintf(pen->out, "; retrofit = ?: the new valve, a [valve] by its "
                          "data sheet\n");
}

static void
put_fixture(const struct fci_pen *pen, const char *stem, const char *kind,
            int battery, int count, fc_range fixtures,
            const struct fci_valve_class *const *valves)
{
    if (count == 0)
        return;
    fci_pen_section(pen, "fixture", name_in(pen, stem, battery).text, NULL);
    put_floors(pen);
    fci_pen_line(pen, "on", NULL, "%s", name_in(pen, "branch", battery).text);
    fci_pen_line(pen, "kind", NULL, "%s", kind);
    put_count(pen, count, fixtures);
    if (valves)
        put_valves(pen, battery, valves);
}

static bool
is_blowout(const struct fci_valve_class *valve)
{
    return valve && strncmp(valve->serves, "blowout", 7) == 0;
}

static void
put_battery(const struct fci_pen *pen, int k)
{
    const struct fci_answers *a = pen->a;
    const int closets =
        a->closets.given ? count_in(pen, a->closets, k) : CLOSETS_ASSUMED;
    const int urinals = count_in(pen, a->urinals, k);
    const int lavatories = count_in(pen, a->lavatories, k);
    const bool blowout =
        is_blowout(a->closet[FC_EXISTING])
        || (!a->closet[FC_EXISTING] && is_blowout(a->closet[FC_RETROFIT]));

    if (closets + urinals + lavatories == 0)
        return;
    fci_pen_section(pen, "pipe", name_in(pen, "branch", k).text,
                    a->batteries > 1             ? NULL
                    : a->text[FCI_ASK_BATTERIES] ? "to the toilet room"
                                                 : ASSUMED
                        ": one toilet room a floor");
    put_floors(pen);
    fci_pen_line(pen, "from", NULL, "riser-{floor}");
    put_size(pen, FCI_ASK_BRANCH, pen->sizes ? &pen->sizes->branch[k] : NULL);
    fci_pen_range(pen, "length", ASSUMED, FC_LENGTH,
                  fci_pen_usual(pen, FCI_USUAL_BRANCH));
    put_fixture(pen, "wc",
                blowout ? "water closet, blowout, flush valve"
                        : "water closet, flush valve",
                k, closets, a->closets, a->closet);
    put_fixture(pen, "urinal", "urinal, flush valve", k, urinals, a->urinals,
                a->urinal);
    put_fixture(pen, "lav", "lavatory", k, lavatories, a->lavatories, NULL);
}

/* ---- All of it --------------------------------------------------------- */

static void
put_all(struct fci_pen *pen)
{
    const struct fci_answers *a = pen->a;
    size_t i;
    int k;

    put_head(pen);
    put_source(pen);
    put_service(pen);
    put_meter(pen);
    put_backflow(pen);
    if (a->booster) {
        char before[sizeof pen->feed];

        memcpy(before, pen->feed, sizeof before);
        put_booster(pen);
        memcpy(pen->feed, before, sizeof before);
    }
    for (i = 0; i < a->n_runs; i++)
        put_run(pen, &a->runs[i]);
    put_riser(pen);
    for (k = 0; k < a->batteries; k++)
        put_battery(pen, k);
    fprintf(pen->out,
            "\n; Not in here: %s%sother fixtures, and the water\n"
            "; heater ([heater]).\n",
            a->urinals.given ? "" : "urinals, ",
            a->lavatories.given ? "" : "lavatories, ");
}

fc_status
fci_starter_write(const struct fci_answers *a, const struct fci_tables *tables,
                  const struct fci_starter_sizes *sizes, char **text)
{
    size_t size;
    FILE *out = fci_text_stream(text, &size);
    struct fci_pen pen = { out, a, tables, sizes, "" };

    if (!out)
        return FC_ENOMEM;
    put_all(&pen);
    return fclose(out) == 0 ? FC_OK : FC_ENOMEM;
}
