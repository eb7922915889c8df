/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/starter/rooms.c -- toilet rooms: their branches and fixtures. */
#include "starter/pen.h"

#include <string.h>

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
    const fc_range usual = fci_pen_usual(pen, FCI_USUAL_CLOSETS);
    char remark[60];

    if (!fixtures.given) {
        fci_pen_line(pen, "count", ASSUMED ": count them", "%.0f..%.0f",
                     usual.low, usual.high);
        return;
    }
    snprintf(remark, sizeof remark, ASSUMED " share of %d on a floor",
             (int)fixtures.nominal);
    fci_pen_line(pen, "count", pen->a->batteries == 1 ? NULL : remark, "%d",
                 count);
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
    const int closets = a->closets.given ? count_in(pen, a->closets, k) : 1;
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
    fci_pen_size(pen, FCI_ASK_BRANCH,
                 pen->sizes ? &pen->sizes->branch[k] : NULL);
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

void
fci_write_rooms(const struct fci_pen *pen)
{
    int k;

    for (k = 0; k < pen->a->batteries; k++)
        put_battery(pen, k);
}
