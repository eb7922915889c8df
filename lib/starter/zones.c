/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/starter/zones.c -- the floors of PRVs and of a booster, and the risers
 * that they make. */
#include "ground/names.h"
#include "ini/field_type.h"
#include "starter/reading.h"
#include "units/units.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- Reading ----------------------------------------------------------- */

/* A floor at *text, which is moved behind it; 0: none. */
static int
read_floor(const char **text)
{
    double number;

    *text += strspn(*text, " ");
    if (!fci_read_number(text, &number) || number < 1
        || number > FCI_MOST_STORIES || number != floor(number))
        return 0;
    *text += strspn(*text, " ");
    return (int)number;
}

/* "1..4: 60 psi"; of a booster "95 psi" too, which is for all floors: `first`
 * 0. */
static bool
read_zone(struct fci_answer_reading *r, enum fci_answer key, const char *item,
          struct fci_zone *zone)
{
    const char *text = strchr(item, ':'), *floors = item;
    struct fci_reason why;
    bool read = text != NULL || key == FCI_ASK_BOOSTER;

    if (text) {
        zone->first = zone->last = read_floor(&floors);
        if (strncmp(floors, "..", 2) == 0) {
            floors += 2;
            zone->last = read_floor(&floors);
        }
        read = floors == text && zone->first > 0 && zone->last >= zone->first;
        text++;
    } else {
        text = item;
    }
    text += strspn(text, " ");
    if (!read) {
        fci_answer_wrong(r, key,
                         "\"%.60s\"; floors and a set pressure are expected, "
                         "such as 1..4: 60 psi, or none",
                         item);
        return false;
    }
    if (!fci_read_figure(text, FC_PRESSURE, true, &zone->value, &why)) {
        fci_answer_wrong(r, key, "%s", why.text);
        return false;
    }
    if (!(zone->value.low > 0)) {
        fci_answer_wrong(r, key,
                         "\"%.60s\" is not above 0; a set pressure above 0 is "
                         "expected",
                         text);
        return false;
    }
    zone->pressure = fci_arena_string(r->arena, text);
    if (!zone->pressure)
        r->worst = FC_ENOMEM;
    return zone->pressure != NULL;
}

void
fci_answer_read_zones(struct fci_answer_reading *r, enum fci_answer key,
                      size_t most, struct fci_zone **zones, size_t *n)
{
    const char *list = r->a->text[key], *p;
    size_t room = 1;
    char item[128];

    *n = 0;
    if (!list || fci_same_name(list, "none"))
        return;
    for (p = list; *p; p++)
        room += *p == ',';
    if (room > most) {
        fci_answer_wrong(r, key, "has %zu zones; %zu at most %s expected",
                         room, most, most == 1 ? "is" : "are");
        return;
    }
    *zones = fci_arena_array(r->arena, room, sizeof **zones);
    if (!*zones) {
        r->worst = FC_ENOMEM;
        return;
    }
    while (fci_next_item(&list, item, sizeof item)) {
        if (!read_zone(r, key, item, &(*zones)[*n]))
            return;
        ++*n;
    }
}

/* ---- Risers ------------------------------------------------------------ */

/* What each floor has, from 1 on. */
struct floors {
    const struct fci_zone *prv[FCI_MOST_STORIES + 1];
    bool boosted[FCI_MOST_STORIES + 1];
};

/* Whether its floors are in the building. */
static bool
fits(struct fci_answer_reading *r, enum fci_answer key,
     const struct fci_zone *zone)
{
    if (zone->last <= r->a->stories)
        return true;
    fci_answer_wrong(r, key,
                     "names floor %d of a building of %d %s; floors from 1 to "
                     "%d are expected",
                     zone->last, r->a->stories,
                     r->a->stories == 1 ? "story" : "stories", r->a->stories);
    return false;
}

static bool
put_prv(struct fci_answer_reading *r, struct floors *floors,
        const struct fci_zone *zone)
{
    int f;

    if (!fits(r, FCI_ASK_PRV_ZONES, zone))
        return false;
    for (f = zone->first; f <= zone->last; f++) {
        if (floors->prv[f]) {
            fci_answer_wrong(r, FCI_ASK_PRV_ZONES,
                             "names floor %d twice; each floor once is "
                             "expected",
                             f);
            return false;
        }
        if (floors->boosted[f] != floors->boosted[zone->first]) {
            fci_answer_wrong(r, FCI_ASK_PRV_ZONES,
                             "%d..%d is in part on the booster; a zone that "
                             "is on it as a whole, or not at all, is expected",
                             zone->first, zone->last);
            return false;
        }
        floors->prv[f] = zone;
    }
    return true;
}

static bool
put_all(struct fci_answer_reading *r, struct floors *floors)
{
    struct fci_zone *booster = r->a->booster;
    bool good = true;
    size_t i;
    int f;

    if (booster && booster->first == 0) {
        booster->first = 1;
        booster->last = r->a->stories;
    }
    if (booster && !fits(r, FCI_ASK_BOOSTER, booster))
        return false;
    for (f = booster ? booster->first : 1; booster && f <= booster->last; f++)
        floors->boosted[f] = true;
    for (i = 0; i < r->a->n_prvs && good; i++)
        good = put_prv(r, floors, &r->a->prvs[i]);
    return good;
}

void
fci_answers_find_runs(struct fci_answer_reading *r)
{
    struct floors floors = { { NULL }, { false } };
    struct fci_answers *a = r->a;
    int f;

    if (!put_all(r, &floors))
        return;
    a->runs = fci_arena_array(r->arena, (size_t)a->stories, sizeof *a->runs);
    if (!a->runs) {
        r->worst = FC_ENOMEM;
        return;
    }
    for (f = 1; f <= a->stories; f++) {
        if (f == 1 || floors.prv[f] != floors.prv[f - 1]
            || floors.boosted[f] != floors.boosted[f - 1]) {
            a->runs[a->n_runs].first = f;
            a->runs[a->n_runs].prv = floors.prv[f];
            a->runs[a->n_runs++].boosted = floors.boosted[f];
        }
        a->runs[a->n_runs - 1].last = f;
    }
}
