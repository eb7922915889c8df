/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/resolve_fixture.c -- fixtures with their kinds, valves and heaters.
 */
#include "ground/synonyms.h"
#include "ini/field_type.h"
#include "site/resolve.h"

#include <stdio.h>
#include <string.h>

static const char *const code_names[] = { "IPC", "UPC" };
static const char *const use_names[] = { "public", "private", "assembly" };

/* ---- Kind ------------------------------------------------------------- */

/* Whether the word that was chosen is the one in the file, if it is there: a
 * word that was not understood stands as the first choice. */
static bool
understood(const struct fci_part *part, const char *key, const char *word)
{
    const struct fci_entry *entry =
        part && part->section ? fci_section_entry(part->section, key) : NULL;

    return !entry || !entry->value || fci_means("choices", entry->value, word);
}

static bool
knows_code(const fc_site *site)
{
    return understood(site->settings_part, "code",
                      code_names[site->settings.code]);
}

static void
find_kind(struct fci_resolve *r, struct fci_fixture *fixture)
{
    const fc_site *site = r->site;
    const fc_code code = site->settings.code;
    const char *name = fixture->given->kind;
    struct fci_book book;
    char unknown[80];

    if (!name)
        return;
    fixture->kind = fci_tables_fixture(site->tables, code, name);
    if (fixture->kind || !knows_code(site))
        return;
    book = fci_tables_fixtures(site->tables, code);
    snprintf(unknown, sizeof unknown, "is not in the %s fixture table",
             code_names[code]);
    fci_resolve_refuse(r, fixture->part, "kind", name, &book, unknown,
                       "a kind is expected: ");
}

static fc_status
blame_use(const struct fci_part *part, const struct fci_fixture_kind *kind,
          fc_use use, fc_diagnostics *messages)
{
    const char *code = code_names[kind->code];

    if (!kind->units[FC_PUBLIC].given && !kind->units[FC_PRIVATE].given
        && !kind->units[FC_ASSEMBLY].given)
        return fci_part_fail(part, messages, "kind",
                             "\"%.60s\" has no fixture units in the %s "
                             "table; \"fixture units\" is expected beside it",
                             kind->head.name, code);
    if (fci_part_has_key(part, "use"))
        return fci_part_fail(part, messages, "use",
                             "\"%s\" has no fixture units in the %s table "
                             "for this kind; another use, or \"fixture "
                             "units\", is expected",
                             use_names[use], code);
    return fci_part_fail(part, messages, "kind",
                         "\"%.60s\" has no fixture units in the %s table "
                         "for %s use; another \"use\", or \"fixture "
                         "units\", is expected",
                         kind->head.name, code, use_names[use]);
}

static void
check_use(struct fci_resolve *r, const struct fci_fixture *fixture)
{
    const fc_use use = fixture->given->use;

    if (!fixture->kind || fixture->kind->units[use].given
        || fixture->kind->emergency || fixture->given->fixture_units.given
        || fci_part_has_key(fixture->part, "fixture units")
        || !knows_code(r->site)
        || !understood(fixture->part, "use", use_names[use]))
        return;
    fci_resolve_note(
        r, blame_use(fixture->part, fixture->kind, use, r->messages));
}

/* ---- Valves ----------------------------------------------------------- */

/* A valve of the site, or a generic class of the tables. */
static const fc_valve *
find_valve(struct fci_resolve *r, struct fci_fixture *fixture, const char *key,
           const char *name, bool *generic)
{
    const fc_site *site = r->site;
    const struct fci_part *part = fci_site_find(site, FCI_VALVE, name);
    const struct fci_valve_class *class;
    struct fci_book book;

    if (part)
        return part->data;
    class = fci_tables_valve(site->tables, name);
    if (class) {
        *generic = true;
        return &class->valve;
    }
    if (fci_site_may_have(site, name)) {
        fci_resolve_note(r, FC_EINPUT);
        return NULL;
    }
    book = fci_tables_valves(site->tables);
    book.more = &site->names[FCI_VALVE];
    fci_resolve_refuse(r, fixture->part, key, name, &book,
                       "is neither a [valve] of this file nor a generic class",
                       "a [valve] of that name is expected, or one of: ");
    return NULL;
}

static void
find_valves(struct fci_resolve *r, struct fci_fixture *fixture)
{
    const fc_fixture *given = fixture->given;
    const char *assumed = fixture->kind ? fixture->kind->valve : NULL;

    if (given->existing)
        fixture->valve[FC_EXISTING] =
            find_valve(r, fixture, "existing", given->existing,
                       &fixture->generic[FC_EXISTING]);
    else if (assumed) {
        fixture->assumed[FC_EXISTING] = true;
        fixture->valve[FC_EXISTING] = find_valve(
            r, fixture, "kind", assumed, &fixture->generic[FC_EXISTING]);
    }
    fixture->converted = given->retrofit != NULL;
    if (fixture->converted) {
        fixture->valve[FC_RETROFIT] =
            find_valve(r, fixture, "retrofit", given->retrofit,
                       &fixture->generic[FC_RETROFIT]);
        return;
    }
    fixture->valve[FC_RETROFIT] = fixture->valve[FC_EXISTING];
    fixture->assumed[FC_RETROFIT] = fixture->assumed[FC_EXISTING];
    fixture->generic[FC_RETROFIT] = fixture->generic[FC_EXISTING];
}

/* ---- Bowls ------------------------------------------------------------ */

/* A bowl of one state alone is replaced with the valve. */
static void
find_bowls(struct fci_fixture *fixture)
{
    const fc_fixture *given = fixture->given;

    fixture->bowl[FC_EXISTING] =
        given->existing_bowl.given ? given->existing_bowl : given->bowl;
    fixture->bowl[FC_RETROFIT] =
        !fixture->converted          ? fixture->bowl[FC_EXISTING]
        : given->retrofit_bowl.given ? given->retrofit_bowl
                                     : given->bowl;
}

/* ---- Outlets ---------------------------------------------------------- */

/* Beside a flush valve, which has a rate of its own, there is no outlet. */
static void
find_outlet(struct fci_resolve *r, struct fci_fixture *fixture)
{
    const fc_fixture *given = fixture->given;
    const bool valve = given->existing || fixture->valve[FC_EXISTING];

    if (given->rate.given && valve) {
        fci_resolve_note(
            r, fci_part_fail(fixture->part, r->messages, "rate",
                             "is given with a flush valve; \"flow\" in the "
                             "[valve] that \"existing\" names is expected"));
    } else if (given->draw_per_day.given && valve) {
        fci_resolve_note(
            r, fci_part_fail(fixture->part, r->messages, "draw per day",
                             "is given with a flush valve, which draws what "
                             "its flushes take; how often it is used is "
                             "expected in [usage]"));
    } else if (given->rate.given) {
        fixture->outlet_rate = given->rate;
        fixture->outlet_pressure = given->rate_pressure;
        fixture->outlet_rate_given = true;
    } else if (fixture->kind && !valve) {
        fixture->outlet_rate = fixture->kind->outlet_rate;
        fixture->outlet_pressure = fixture->kind->outlet_pressure;
    }
}

/* ---- Mixing valves ---------------------------------------------------- */

static void
check_balanced(struct fci_resolve *r, const struct fci_fixture *fixture)
{
    if (fixture->given->balanced == FC_NOT_SAID || !fixture->kind
        || fixture->kind->mixes)
        return;
    fci_resolve_note(
        r, fci_part_fail(fixture->part, r->messages, "balanced",
                         "is given for a \"%s\", at which nobody mixes hot "
                         "and cold water; a fixture that has a mixing valve "
                         "is expected, such as a shower",
                         fixture->kind->head.name));
}

/* ---- People ----------------------------------------------------------- */

/* Whose uses are counted is asked of closets alone: urinals are used by men,
 * and of other fixtures no uses are counted. */
static void
check_used_by(struct fci_resolve *r, const struct fci_fixture *fixture)
{
    const fc_sex who = fixture->given->used_by;

    if (who == FC_ANYONE || !fixture->kind
        || fixture->kind->used == FCI_USED_AS_CLOSET)
        return;
    if (fixture->kind->used == FCI_USED_OTHERWISE)
        fci_resolve_note(
            r, fci_part_fail(fixture->part, r->messages, "used by",
                             "is given for a \"%s\", of which no uses are "
                             "counted; a water closet is expected",
                             fixture->kind->head.name));
    else if (who == FC_WOMEN)
        fci_resolve_note(
            r, fci_part_fail(fixture->part, r->messages, "used by",
                             "women is given for a \"%s\"; men, or no key, "
                             "is expected",
                             fixture->kind->head.name));
}

/* Water is counted of what flushes, and by "draw per day" of what does not. */
static void
check_uses(struct fci_resolve *r, const struct fci_fixture *fixture)
{
    if (!fixture->given->uses_per_day.given || !fixture->kind
        || fixture->kind->flushes || fixture->kind->used != FCI_USED_OTHERWISE)
        return;
    fci_resolve_note(
        r, fci_part_fail(fixture->part, r->messages, "uses per day",
                         "is given for a \"%s\", of which no uses are "
                         "counted; \"draw per day\" is expected",
                         fixture->kind->head.name));
}

/* ---- Heaters ---------------------------------------------------------- */

static void
serve(struct fci_resolve *r, const struct fci_part *part, size_t element,
      size_t i)
{
    struct fci_fixture *fixture = &r->site->fixtures[i];

    if (fixture->heater != FCI_NONE)
        fci_resolve_note(
            r, fci_part_fail(part, r->messages, "serves",
                             "\"%s\" is served already; each fixture is "
                             "expected once among the heaters",
                             fixture->given->name));
    else if (fixture->kind && !fci_takes_hot_water(fixture->kind))
        fci_resolve_note(
            r, fci_part_fail(part, r->messages, "serves",
                             "\"%s\", a \"%s\", which takes no hot water; "
                             "fixtures that do are expected, such as a "
                             "lavatory",
                             fixture->given->name, fixture->kind->head.name));
    fixture->heater = element;
}

static void
find_heaters(struct fci_resolve *r)
{
    fc_site *site = r->site;
    size_t i, k, element, fixture;

    for (i = 0; i < site->n_parts; i++) {
        const struct fci_part *part = &site->parts[i];
        const fc_heater *heater = part->data;

        if (part->kind != FCI_HEATER)
            continue;
        element = fci_resolve_element(r, part, "on", heater->on);
        for (k = 0; k < heater->n_serves && r->worst != FC_ENOMEM; k++) {
            fixture =
                fci_resolve_fixture(r, part, "serves", heater->serves[k]);
            if (fixture != FCI_NONE && element != FCI_NONE)
                serve(r, part, element, fixture);
        }
    }
}

/* ---- All -------------------------------------------------------------- */

/* As many at one place are a slip, and so are as many in all. */
static void
check_number(struct fci_resolve *r)
{
    double all = 0;

    for (size_t i = 0; i < r->site->n_fixtures; i++) {
        const struct fci_fixture *fixture = &r->site->fixtures[i];

        all += fixture->count;
        if (all <= FCI_MOST_COUNT)
            continue;
        fci_resolve_note(
            r,
            fci_part_fail(fixture->part, r->messages,
                          fixture->given->counts.given || fixture->given->count
                              ? "count"
                              : NULL,
                          "makes more than 1,000,000 fixtures of the site; "
                          "no more are expected"));
        return;
    }
}

static void
resolve_fixture(struct fci_resolve *r, const struct fci_part *part,
                struct fci_fixture *fixture)
{
    fixture->part = part;
    fixture->given = part->data;
    fixture->many = fixture->given->counts;
    fixture->count = fixture->many.given     ? (int)fixture->many.high
                     : fixture->given->count ? fixture->given->count
                                             : 1;
    fixture->heater = FCI_NONE;
    fixture->element = fci_resolve_element(r, part, "on", fixture->given->on);
    find_kind(r, fixture);
    check_use(r, fixture);
    find_valves(r, fixture);
    find_bowls(fixture);
    find_outlet(r, fixture);
    check_balanced(r, fixture);
    check_used_by(r, fixture);
    check_uses(r, fixture);
}

void
fci_resolve_fixtures(struct fci_resolve *r)
{
    fc_site *site = r->site;
    struct fci_fixture *fixture =
        fci_arena_array(&site->arena, site->n_fixtures, sizeof *fixture);
    size_t i;

    site->fixtures = fixture;
    if (!fixture) {
        fci_resolve_note(r, FC_ENOMEM);
        return;
    }
    for (i = 0; i < site->n_parts && r->worst != FC_ENOMEM; i++)
        if (site->parts[i].kind == FCI_FIXTURE)
            resolve_fixture(r, &site->parts[i], fixture++);
    if (r->worst != FC_ENOMEM) {
        check_number(r);
        find_heaters(r);
    }
}
